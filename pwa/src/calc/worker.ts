// Runs calc.wasm beside the page, so that typing never waits for an answer.
import "go:wasm_exec";
import type { FromWorker, ToWorker } from "./protocol";

const scope = self as unknown as DedicatedWorkerGlobalScope;

function tell(message: FromWorker): void {
  scope.postMessage(message);
}

function ended(why: string): void {
  globalThis.datumbook = undefined;
  tell({ kind: "ended", why });
}

async function start(module: WebAssembly.Module): Promise<void> {
  const go = new Go();
  const instance = await WebAssembly.instantiate(module, go.importObject);
  // The Go program sets globalThis.datumbook before it first waits, that is before run gives back its promise.
  const over = go.run(instance);
  if (globalThis.datumbook) {
    tell({ kind: "ready", version: globalThis.datumbook.version });
  }
  await over;
  ended("the calculations stopped by themselves");
}

function answer(message: Exclude<ToWorker, { kind: "start" }>): void {
  const calc = globalThis.datumbook;
  if (!calc) {
    ended("the calculations are not running");
    return;
  }
  try {
    const json: unknown =
      message.kind === "run"
        ? calc.run(message.name, message.unit, message.pairs)
        : calc.book(message.op, message.json);
    if (typeof json !== "string") {
      // A Go program that exits in the middle of a call gives nothing back.
      ended("the calculations broke off");
      return;
    }
    tell({ kind: "answer", id: message.id, json });
  } catch (cause) {
    ended(String(cause));
  }
}

scope.onmessage = ({ data }: MessageEvent<ToWorker>) => {
  if (data.kind === "start") {
    start(data.module).catch((cause) => ended(String(cause)));
  } else {
    answer(data);
  }
};
