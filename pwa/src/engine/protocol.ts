// Messages between the page and the worker that runs calc.wasm.
import type { UnitSystem } from "./contract.gen";

/**
 * The first message: where calc.wasm is, or the module a worker before this one compiled from it.
 */
export interface Start {
  kind: "start";
  from: string | WebAssembly.Module;
  /** Tell how much of it has come. */
  count: boolean;
}

export interface Run {
  kind: "run";
  id: number;
  name: string;
  unit: UnitSystem;
  pairs: string;
}

/** An operation of the job book's rules. */
export interface BookCall {
  kind: "book";
  id: number;
  op: string;
  json: string;
}

export type ToWorker = Start | Run | BookCall;

export type FromWorker =
  /** So many bytes of calc.wasm have come, unpacked; with `all`, the last of them. */
  | { kind: "came"; bytes: number; all?: true }
  /** Kept by the page, so that a restart loads and compiles nothing. */
  | { kind: "compiled"; module: WebAssembly.Module }
  | { kind: "unloaded"; why: string }
  | { kind: "ready" }
  | { kind: "answer"; id: number; json: string }
  /** The Go program returned or panicked: this worker answers no more. */
  | { kind: "ended"; why: string };

/**
 * Joins what was typed as calc.wasm reads it: unit separator after a key, record separator between
 * pairs.
 */
export function pack(inputs: Readonly<Record<string, string>>): string {
  return Object.entries(inputs)
    .filter(([, text]) => text !== "")
    .map(([key, text]) => key + "\x1f" + text.replace(/[\x1e\x1f]/g, " "))
    .join("\x1e");
}

/** What was packed. */
export const unpack = (pairs: string): Record<string, string> =>
  Object.fromEntries(pairs ? pairs.split("\x1e").map((pair) => pair.split("\x1f") as [string, string]) : []);
