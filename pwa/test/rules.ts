// The rules of the job book themselves, in calc.wasm as the phone has it.
import "go:wasm_exec";
import { readFileSync } from "node:fs";
import { calcOf, type Calc } from "../src/engine/module";
import type { Ask } from "../src/records/rules";

/** Starts them; each has a memory of its own, as each phone has. */
export const startRules = async (): Promise<Ask> => (await startCalc()).ask;

/** The rules and the worksheets. */
export async function startCalc(): Promise<{ ask: Ask; run: Calc["run"] }> {
  const go = new Go();
  const wasm = readFileSync(new URL("calc.wasm", import.meta.url));
  const { instance } = await WebAssembly.instantiate(wasm, go.importObject);
  void go.run(instance);
  const calc = calcOf(go, instance);
  return {
    ask: (op, json) => Promise.resolve(calc.book(op, json)),
    run: (name, unit, pairs) => calc.run(name, unit, pairs),
  };
}
