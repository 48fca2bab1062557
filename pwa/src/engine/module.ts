// How calc.wasm is asked: a request is written into its memory, the answer read from there. Its
// functions are exported by Go itself, so no object of JavaScript is kept alive on its side.
interface Exports {
  /** Where a request of so many bytes may be written. */
  room(bytes: number): number;
  /** Answer the request and give the length of the answer in bytes. */
  answerSheet: () => number;
  answerBook: () => number;
  /** Where the answer stands. */
  answer(): number;
  mem: WebAssembly.Memory;
}

export interface Calc {
  run(name: string, unit: string, pairs: string): string;
  book(op: string, json: string): string;
}

/**
 * The Go program's environment. An answer leaves some 50 kB behind, and the collector writes its
 * marks between answers, which slows all of them: with a heap of 16 MB instead of 4 before it
 * starts, an answer takes a tenth to a quarter less. A book of many records may not grow so.
 */
export const environment = { GOGC: "400", GOMEMLIMIT: "192MiB" };

/**
 * Wraps an instance that the program has started. A program that ends in the middle of a call
 * throws from here.
 */
export function calcOf(program: { exited: boolean }, instance: WebAssembly.Instance): Calc {
  const go = instance.exports as unknown as Exports;
  const encoder = new TextEncoder();
  const decoder = new TextDecoder();
  const ask = (request: string, answer: () => number): string => {
    const bytes = encoder.encode(request);
    const to = go.room(bytes.length) >>> 0;
    // The memory's buffer is another one whenever the memory has grown.
    new Uint8Array(go.mem.buffer, to, bytes.length).set(bytes);
    const length = answer();
    if (program.exited) {
      throw new Error("the calculations broke off");
    }
    return decoder.decode(new Uint8Array(go.mem.buffer, go.answer() >>> 0, length));
  };
  return {
    run: (name, unit, pairs) => ask(`${name}\n${unit}\n${pairs}`, go.answerSheet),
    book: (op, json) => ask(`${op}\n${json}`, go.answerBook),
  };
}
