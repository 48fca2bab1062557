// What Go's wasm_exec.js and the program it starts put into the worker's global scope.
declare class Go {
  importObject: WebAssembly.Imports;
  /** Fulfilled when the Go program returns. */
  run(instance: WebAssembly.Instance): Promise<void>;
}

declare namespace globalThis {
  var datumbook:
    | {
        version: string;
        run(name: string, unit: "in" | "mm", pairs: string): string;
        book(op: string, json: string): string;
      }
    | undefined;
}

declare module "go:wasm_exec" {}
