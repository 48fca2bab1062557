// What Go's wasm_exec.js and the program it starts put into the worker's global scope.
declare class Go {
  importObject: WebAssembly.Imports;
  /** The program's environment variables. */
  env: Record<string, string>;
  /** Whether the Go program has ended, by itself or by a panic. */
  exited: boolean;
  /** Fulfilled when the Go program returns. */
  run(instance: WebAssembly.Instance): Promise<void>;
}

declare module "go:wasm_exec" {}
