// Runs calc.wasm beside the page, so that typing never waits for an answer.
import "go:wasm_exec";
import { calcOf, environment, type Calc } from "./module";
import type { BookCall, FromWorker, Run, Start, ToWorker } from "./protocol";

const scope = self as unknown as DedicatedWorkerGlobalScope;

let calc: Calc | undefined;

/**
 * How often, and for how many milliseconds at most, an idle worksheet is run again, and after how
 * long it counts as idle.
 */
const warmRuns = 200;
const warmTime = 1000;
const restTime = 1000;
const warmed = new Set<string>();
let resting: ReturnType<typeof setTimeout> | undefined;

function tell(message: FromWorker): void {
  scope.postMessage(message);
}

function ended(why: string): void {
  calc = undefined;
  tell({ kind: "ended", why });
}

/** The same answer, telling how much of it has come. */
function counted({ body, headers }: Response): Response {
  let bytes = 0;
  const count = new TransformStream<Uint8Array, Uint8Array>({
    transform(piece, to) {
      tell({ kind: "came", bytes: (bytes += piece.length) });
      to.enqueue(piece);
    },
    flush: () => tell({ kind: "came", bytes, all: true }),
  });
  return new Response(body!.pipeThrough(count), { headers });
}

/** Compiles here and not in the page: compiling five megabytes would delay its first screen. */
async function load(url: string, count: boolean): Promise<WebAssembly.Module | undefined> {
  try {
    const response = await fetch(url);
    if (!response.ok) {
      throw new Error(`the answer was ${response.status}`);
    }
    const module = await WebAssembly.compileStreaming(count ? counted(response) : response);
    tell({ kind: "compiled", module });
    return module;
  } catch (cause) {
    tell({ kind: "unloaded", why: cause instanceof Error ? cause.message : String(cause) });
    return undefined;
  }
}

async function start({ from, count }: Start): Promise<void> {
  const module = typeof from === "string" ? await load(from, count) : from;
  if (!module) {
    return;
  }
  const go = new Go();
  go.env = environment;
  const instance = await WebAssembly.instantiate(module, go.importObject);
  // The Go program has set itself up when it first waits, that is when run gives back its promise.
  const over = go.run(instance);
  calc = calcOf(go, instance);
  tell({ kind: "ready" });
  await over;
  ended("the calculations stopped by themselves");
}

/**
 * A browser optimises a calculation only after it has run for a while: when idle, the worksheet
 * just opened is run again, one run at a time, so that the next key is answered quickly.
 */
function warm(question: Run, runs = 0, spent = 0): void {
  if (warmed.has(question.name)) {
    return;
  }
  resting = setTimeout(
    () => {
      const from = performance.now();
      try {
        calc?.run(question.name, question.unit, question.pairs);
      } catch (cause) {
        ended(String(cause));
        return;
      }
      spent += performance.now() - from;
      if (runs + 1 < warmRuns && spent < warmTime) {
        warm(question, runs + 1, spent);
      } else {
        warmed.add(question.name);
      }
    },
    runs === 0 ? restTime : 0,
  );
}

function answer(message: Run | BookCall): void {
  clearTimeout(resting);
  if (!calc) {
    ended("the calculations are not running");
    return;
  }
  try {
    const json =
      message.kind === "run"
        ? calc.run(message.name, message.unit, message.pairs)
        : calc.book(message.op, message.json);
    tell({ kind: "answer", id: message.id, json });
    if (message.kind === "run") {
      warm(message);
    }
  } catch (cause) {
    ended(String(cause));
  }
}

scope.onmessage = ({ data }: MessageEvent<ToWorker>) => {
  if (data.kind === "start") {
    start(data).catch((cause) => ended(String(cause)));
  } else {
    answer(data);
  }
};
