// Search: the index lives in the worker and is filled from the records in slices, so that neither
// typing nor an answer waits for it.
import type { Doc } from "./fields";
import type { Repository } from "./repository";

/** A text in parts, of which each second is what was asked for. */
export type Marked = string[];

export interface Hit {
  id: string;
  type: string;
  label?: string;
  title: string;
  detail?: string;
  date?: string;
  by?: string;
  /** The title of what it belongs to. */
  on?: string;
  demo?: string;
  gone?: boolean;
  /** The title. */
  name?: Marked;
  /** The field or row that answers best, and why a row is there. */
  line?: Marked;
  why?: Marked;
  /** What the field is called. */
  field?: string;
  /** The row, as slots.0002-mill. */
  place?: string;
}

export interface Answers {
  hits: Hit[];
  total: number;
  /** How many of each kind, whatever kinds were asked for. */
  kinds: Record<string, number>;
}

export interface Asked {
  query: string;
  unit: "in" | "mm";
  kinds?: string[];
  /** Records that a hit has to be linked to, directly or through others. */
  to?: string[];
  most?: number;
}

export class Finder {
  /** Records read so far; the index is whole when `whole` is true. */
  done = 0;
  whole = false;
  fault = "";
  private listeners = new Set<() => void>();
  private going: Promise<void> | undefined;
  private pending = new Map<string, Doc>();
  private extra: readonly Doc[] = [];
  private flushing: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private repo: Repository,
    private rest = 4,
  ) {
    repo.onDoc((doc) => {
      if (this.going) this.queue(doc);
    });
  }

  /** What is no record and is to be found among them: the pages. */
  add(docs: readonly Doc[]): void {
    this.extra = docs;
    if (this.whole) for (const doc of docs) this.queue(doc);
  }

  private queue(doc: Doc): void {
    this.pending.set(doc._id, doc);
    this.flushing ??= setTimeout(() => void this.flush(), 300);
  }

  /** Starts reading the records, once. */
  start(): Promise<void> {
    this.going ??= this.fill().catch((cause: unknown) => {
      this.fault = cause instanceof Error ? cause.message : String(cause);
      this.going = undefined;
      this.tell();
    });
    return this.going;
  }

  /** The worker was restarted and its index is empty. */
  forget(): void {
    if (!this.going) return;
    this.going = undefined;
    this.done = 0;
    this.whole = false;
    void this.start();
  }

  onChange(tell: () => void): () => void {
    this.listeners.add(tell);
    return () => void this.listeners.delete(tell);
  }

  async find(asked: Asked): Promise<Answers> {
    await this.flush();
    return this.repo.ask<Answers>("find", { most: 50, ...asked });
  }

  private async fill(): Promise<void> {
    let first = true;
    await this.repo.walk(async (docs, done) => {
      await this.repo.ask("index", { docs: docs.map(light), ...(first && { clear: true }) });
      first = false;
      this.done = done;
      this.tell();
      await new Promise((go) => setTimeout(go, this.rest));
    }, 100);
    await this.repo.ask("index", { docs: this.extra });
    // The first query sorts the index; better now than when someone waits for it.
    await this.repo.ask("find", { query: "a", most: 1 });
    this.whole = true;
    this.tell();
  }

  /** Adds what was written since. */
  private async flush(): Promise<void> {
    clearTimeout(this.flushing);
    this.flushing = undefined;
    if (this.pending.size === 0) return;
    const all = [...this.pending.values()];
    this.pending.clear();
    await this.repo
      .ask("index", {
        docs: all.filter((d) => !d._deleted).map(light),
        remove: all.filter((d) => d._deleted).map((d) => d._id),
      })
      .catch(() => {
        for (const doc of all) if (!this.pending.has(doc._id)) this.pending.set(doc._id, doc);
      });
    this.tell();
  }

  private tell(): void {
    for (const tell of [...this.listeners]) tell();
  }
}

/**
 * Without a kept result's answer, which is long and says nothing that its inputs and note do not.
 */
function light(doc: Doc): Doc {
  const { _attachments, answer, ...rest } = doc;
  void _attachments;
  void answer;
  if (!rest.f?.["answer"]) return rest;
  const f = { ...rest.f };
  delete f["answer"];
  return { ...rest, f };
}
