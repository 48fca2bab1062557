// The page's side of the worker: sends one question at a time, and only the newest of each lane. On a
// first visit the office answers until the worker can.
import { pack, unpack, type FromWorker, type ToWorker } from "./protocol";
import type { Check, Describe, Refused, Reply, UnitSystem } from "./contract.gen";

export type BridgeState =
  | "starting"
  | "ready"
  /** The worker ended and is being restarted; open questions are asked again. */
  | "restarting"
  /** It ended too often or cannot be loaded; `retry` tries once more. */
  | "stopped";

export interface Bridge {
  /**
   * All worksheets, as the build filed them; does not wait for calc.wasm. Fails where the file
   * cannot be had; ask again.
   */
  describe(): Promise<Describe>;
  /**
   * Works a worksheet out from texts as typed. A newer question in the same lane replaces an older
   * one that has no answer yet: the older promise then gives undefined. The lane is the worksheet's
   * name unless given.
   */
  run(
    name: string,
    unit: UnitSystem,
    inputs: Readonly<Record<string, string>>,
    lane?: string,
  ): Promise<Reply | undefined>;
  /**
   * One operation of the job book's rules: JSON in, JSON out. Every call is answered, in the order
   * they were made.
   */
  book(op: string, json: string): Promise<string>;
  /**
   * Every published value and what this version makes of it, as its build filed them; does not wait
   * for calc.wasm.
   */
  checks(): Promise<Check[]>;
  readonly state: BridgeState;
  /** Why it stopped, as a sentence; "" while it runs. */
  readonly trouble: string;
  /** Calls back after each change of state; returns the function that unsubscribes. */
  onState(tell: (state: BridgeState) => void): () => void;
  retry(): void;
}

/** A worker as far as the bridge needs one. */
export interface Helper {
  onmessage: ((event: { data: FromWorker }) => void) | null;
  onerror: ((event: { message?: string; preventDefault?: () => void }) => void) | null;
  postMessage(message: ToWorker): void;
  terminate(): void;
}

/** What is asked of the worker. */
type Asked = Omit<Extract<ToWorker, { kind: "run" }>, "id"> | Omit<Extract<ToWorker, { kind: "book" }>, "id">;

/** What the bridge needs from outside. */
export interface Means {
  /** What the worker's start waits for. */
  after?: Promise<unknown>;
  /** Has the office answer; undefined where it does not. Without this it is not asked. */
  office?: (asked: Asked) => Promise<string | undefined>;
  /**
   * Is told how many bytes of calc.wasm have come, and whether all of them; without this they are not
   * counted.
   */
  came?: ((bytes: number, all?: true) => void) | undefined;
  spawn(): Helper;
  /** Where calc.wasm is. */
  wasm: string;
  sheets(): Promise<Describe>;
  checks(): Promise<Check[]>;
  /** Milliseconds after which a question without an answer counts as stuck. */
  patience: number;
}

/** Crashes in a row, without an answer between them, after which it is not restarted by itself. */
const endsAllowed = 4;

interface Question {
  lane: string;
  message: Asked;
  /** How often the worker ended while working on it. */
  ends: number;
  settle(json: string | undefined): void;
}

class Calculations implements Bridge {
  state: BridgeState = "starting";
  trouble = "";

  private waiting = new Map<string, Question>();
  private current: Question | undefined;
  private currentId = 0;
  private calls = 0;
  private helper: Helper | undefined;
  private module: WebAssembly.Module | undefined;
  private ends = 0;
  private watchdog: ReturnType<typeof setTimeout> | undefined;
  private listeners = new Set<(state: BridgeState) => void>();

  constructor(private means: Means) {
    if (means.after) void means.after.then(() => this.start());
    else this.start();
  }

  describe(): Promise<Describe> {
    return this.means.sheets();
  }

  async run(
    name: string,
    unit: UnitSystem,
    inputs: Readonly<Record<string, string>>,
    lane = name,
  ): Promise<Reply | undefined> {
    const json = await this.ask(lane, { kind: "run", name, unit, pairs: pack(inputs) });
    return json === undefined ? undefined : (JSON.parse(json) as Reply);
  }

  async book(op: string, json: string): Promise<string> {
    const out = await this.ask(`\x1ebook ${++this.calls}`, { kind: "book", op, json });
    return out ?? JSON.stringify(broke);
  }

  checks(): Promise<Check[]> {
    return this.means.checks();
  }

  onState(tell: (state: BridgeState) => void): () => void {
    this.listeners.add(tell);
    return () => this.listeners.delete(tell);
  }

  retry(): void {
    if (this.state === "stopped") {
      this.ends = 0;
      this.turn("restarting");
      this.start();
    }
  }

  private ask(lane: string, message: Question["message"]): Promise<string | undefined> {
    return new Promise((settle) => {
      this.waiting.get(lane)?.settle(undefined);
      const question = { lane, message, ends: 0, settle };
      this.waiting.set(lane, question);
      this.next();
      void this.askOffice(question);
    });
  }

  /**
   * Until the arithmetic is here the office is asked beside it. Whichever answers first is heard:
   * both run the same code, so that nothing is drawn anew when the phone takes over.
   */
  private async askOffice(question: Question): Promise<void> {
    const { office } = this.means;
    if (this.module || !office || (question.message.kind === "book" && !alone.has(question.message.op)))
      return;
    const json = await office(question.message).catch(() => undefined);
    if (json === undefined) return; // it waits for the phone's own
    question.settle(json);
    if (this.waiting.get(question.lane) === question) this.waiting.delete(question.lane);
  }

  private start(): void {
    let helper: Helper;
    try {
      helper = this.means.spawn();
    } catch (cause) {
      this.stop(`The calculations could not be started (${String(cause)}).`);
      return;
    }
    this.helper = helper;
    helper.onmessage = ({ data }) => {
      if (this.helper === helper) {
        this.hear(data);
      }
    };
    helper.onerror = (event) => {
      event.preventDefault?.();
      if (this.helper === helper) {
        this.ended(event.message ?? "the worker failed");
      }
    };
    // Starting can hang as well as answering can; loading may take as long as the network needs.
    if (this.module) {
      this.watch();
    }
    const { wasm, came } = this.means;
    helper.postMessage({ kind: "start", from: this.module ?? wasm, count: !!came });
  }

  private hear(message: FromWorker): void {
    switch (message.kind) {
      case "came":
        this.means.came?.(message.bytes, message.all);
        return;
      case "compiled":
        this.module = message.module;
        this.watch();
        return;
      case "unloaded":
        this.dismiss();
        this.stop(`The calculations could not be loaded (${message.why}).`);
        return;
      case "ready":
        this.unwatch();
        this.turn("ready");
        this.next();
        return;
      case "answer": {
        const question = this.current;
        if (!question || message.id !== this.currentId) {
          return;
        }
        this.unwatch();
        this.ends = 0;
        this.current = undefined;
        // Superseded while it was being worked out: the newer answer follows at once.
        question.settle(this.waiting.has(question.lane) ? undefined : message.json);
        this.next();
        return;
      }
      case "ended":
        this.ended(message.why);
    }
  }

  private next(): void {
    if (this.state !== "ready" || this.current || !this.helper) {
      return;
    }
    for (const [lane, question] of this.waiting) {
      this.waiting.delete(lane);
      this.current = question;
      this.currentId++;
      this.watch();
      this.helper.postMessage({ ...question.message, id: this.currentId });
      return;
    }
  }

  private dismiss(): void {
    this.unwatch();
    if (this.helper) {
      this.helper.onmessage = this.helper.onerror = null;
      this.helper.terminate();
      this.helper = undefined;
    }
  }

  private ended(why: string): void {
    this.dismiss();
    const question = this.current;
    this.current = undefined;
    if (question) {
      question.ends++;
      if (this.waiting.has(question.lane)) {
        question.settle(undefined);
      } else if (question.ends < 2) {
        // Asked again first, in its old place, unless it is what crashes the worker each time.
        this.waiting = new Map([[question.lane, question], ...this.waiting]);
      } else {
        question.settle(JSON.stringify(broke));
      }
    }
    this.ends++;
    if (this.ends > endsAllowed) {
      this.stop(`The calculations ended again and again (${why}).`);
      return;
    }
    this.turn("restarting");
    this.start();
  }

  private stop(trouble: string): void {
    this.trouble = `${trouble} What you typed is still here. Try again, or reload the page.`;
    this.turn("stopped");
  }

  private turn(state: BridgeState): void {
    if (state !== "stopped") {
      this.trouble = "";
    }
    this.state = state;
    for (const tell of [...this.listeners]) {
      tell(state);
    }
  }

  private watch(): void {
    this.unwatch();
    this.watchdog = setTimeout(() => this.ended("no answer in time"), this.means.patience);
  }

  private unwatch(): void {
    clearTimeout(this.watchdog);
  }
}

/** The rules' operations that need nothing but their request: any office of this version can answer them. */
export const alone = new Set(
  "describe check new edit merge view clashes history prefill ahead repeat readings found shape placing".split(
    " ",
  ),
);

const broke: Refused = {
  error: {
    field: "",
    message: "The calculations broke off on this entry, twice. Change a number and they carry on.",
  },
};

/** The bridge over any worker; the app uses startBridge. */
export function makeBridge(means: Means): Bridge {
  return new Calculations(means);
}

// Addresses of the files of this build, put in by it.
declare const WORKER_URL: string;
declare const WASM_URL: string;
declare const SHEETS_URL: string;
declare const CHECKS_URL: string;

async function fetchGood(url: string): Promise<Response> {
  const response = await fetch(url);
  if (!response.ok) {
    throw new Error(`the answer was ${response.status}`);
  }
  return response;
}

/**
 * Asks the office what the worker would be asked. One that says no, or is none, is not asked for the
 * like again: a page may come from a server that has no office.
 */
export function officeAsker(token: () => string | undefined, ask: typeof fetch = fetch): Means["office"] {
  const no = new Set<string>();
  return async (asked) => {
    const { kind } = asked;
    if (no.has(kind) || !navigator.onLine) return undefined;
    const known = token();
    const run = kind === "run";
    const response = await ask(
      run ? `/api/calc/${asked.name}?unit=${asked.unit}` : `/api/rules/${asked.op}`,
      {
        method: "POST",
        headers: { "Content-Type": "application/json", ...(known && { Authorization: `Bearer ${known}` }) },
        body: run ? JSON.stringify(unpack(asked.pairs)) : asked.json,
      },
    );
    const { ok, status, headers } = response;
    // 422 is an answer too: what was typed is refused.
    if ((ok || (run && status === 422)) && headers.get("Content-Type") === "application/json") {
      const text = await response.text();
      JSON.parse(text);
      return text;
    }
    if (status < 500 && status !== 429 && status !== 413) no.add(kind);
    return undefined;
  };
}

/** What a first visit does otherwise than a later one. */
export type FirstVisit = Pick<Means, "office" | "came"> & {
  /** Settles once the first screen has what it needs of the line. */
  shown: () => Promise<unknown>;
};

/** Starts the calculations in a worker, from the addresses that the build put into this bundle. */
export function startBridge(visit?: FirstVisit): Bridge {
  // Both start now, side by side: the form needs the first, the first answer the second. On a first
  // visit, which has the office for that, calc.wasm leaves the line to the first screen.
  const sheets = fetchGood(SHEETS_URL).then((response) => response.json() as Promise<Describe>);
  sheets.catch(() => undefined); // reported to whoever calls describe
  let first: Promise<Describe> | undefined = sheets;
  const bridge = makeBridge({
    ...(visit && {
      after: sheets.then(visit.shown, visit.shown).catch(() => undefined),
      office: visit.office,
      came: visit.came,
    }),
    spawn: () => new Worker(WORKER_URL) as Helper,
    wasm: WASM_URL,
    sheets: () => {
      const given = first ?? fetchGood(SHEETS_URL).then((response) => response.json() as Promise<Describe>);
      given.catch(() => (first = undefined));
      return given;
    },
    checks: async () => (await fetchGood(CHECKS_URL)).json() as Promise<Check[]>,
    patience: 30_000,
  });
  addEventListener("online", () => bridge.retry());
  // What the line broke off is fetched again.
  let came = false;
  let wait = 5_000;
  bridge.onState((state) => {
    came ||= state === "ready";
    if (came || state !== "stopped") return;
    setTimeout(() => bridge.retry(), wait);
    wait = Math.min(2 * wait, 60_000);
  });
  return bridge;
}
