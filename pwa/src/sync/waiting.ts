// How many records the office lacks, counted from the records themselves so that it holds after any
// reload or crash.
import type PouchDB from "pouchdb-core";
import { readLocal, writeLocal } from "../storage/local";

/** How far the records have been pushed, and to which office store. */
export interface Pushed {
  /**
   * The store's own identity: a restored or another store counts as new, and everything is compared
   * again.
   */
  office: string;
  /** The last of this device's sequence numbers that the office confirmed. */
  seq: number;
  /** When everything was last confirmed, if it ever was. */
  confirmed?: number;
  /** When another store than before answered, and when all had been compared with it. */
  anew?: { since: number; done?: number };
}

export const readPushed = (db: PouchDB) => readLocal<Pushed>(db, "pushed");
export const writePushed = (db: PouchDB, pushed: Pushed) => writeLocal(db, "pushed", pushed);

/** Changes looked through at once. */
const page = 500;

/**
 * The records with a revision that was written on this device after the sequence number that the
 * office confirmed. What arrived from the office is not waiting for it, though it is newer. Each
 * change is looked at once, however often it is counted.
 */
export class Waiting {
  /** Each record that waits, with the sequence number of its last change. */
  private ids = new Map<string, number>();
  /** Looked through so far, and confirmed. */
  private seen = 0;
  private there = 0;

  constructor(
    private db: PouchDB,
    private device: string,
    /** Whether a revision is known to have come from the office. */
    private came: (id: string, rev: string) => boolean = () => false,
  ) {}

  /** Those beside some that are counted elsewhere. */
  count(beside: Record<string, unknown> = {}): number {
    let n = this.ids.size;
    for (const id in beside) if (this.ids.has(id)) n--;
    return n;
  }

  /** The office confirmed everything up to a sequence number; from: no more than that. */
  reached(seq: number, from = false): void {
    if (from) {
      this.ids.clear();
      this.seen = 0;
    }
    this.there = seq;
    this.seen = Math.max(this.seen, seq);
    for (const [id, at] of this.ids) if (at <= seq) this.ids.delete(id);
  }

  /** Looks through what was written since. */
  async look(): Promise<void> {
    for (;;) {
      const since = this.seen;
      const { results } = await this.db.changes({ since, limit: page, style: "all_docs", return_docs: true });
      const rows = results.map(({ id, seq, changes }) => ({
        id,
        seq,
        revs: changes.map(({ rev }) => rev).filter((rev) => !this.came(id, rev)),
      }));
      const keys = rows.flatMap(({ id, revs }) => (revs.length > 0 ? [id] : []));
      const docs = keys.length > 0 ? (await this.db.allDocs({ keys, include_docs: true })).rows : [];
      const winners = new Map(docs.map(({ id, doc }) => [id, doc]));
      for (const { id, seq, revs } of rows) {
        let mine = false;
        for (const rev of revs) {
          const top = winners.get(id);
          const doc =
            top?._rev === rev ? top : await this.db.get<{ by?: unknown }>(id, { rev }).catch(() => undefined);
          mine ||= doc?.["by"] === this.device;
        }
        if (!mine) this.ids.delete(id);
        else if (seq > this.there) this.ids.set(id, seq);
      }
      // Back at the beginning meanwhile: another store answered.
      if (this.seen >= since) this.seen = Math.max(this.seen, results.at(-1)?.seq ?? 0);
      if (results.length < page) return;
    }
  }
}
