// An office for tests, in one program with the phones.
import assert from "node:assert/strict";
import PouchDB from "pouchdb-core";
import type { Doc } from "../src/records/fields";
import type { Refusal, Remote, Sent, Wanted } from "../src/sync/remote";
import type { Office, Welcome } from "../src/sync/sync";

let serial = 0;
export const fresh = (what: string) => `${what}${++serial}`;

export type Pushed = Sent & { f?: Doc["f"] };

const away = () => Promise.reject(new TypeError("Failed to fetch"));

/** An office that a test can make unreachable, restore, or make refuse. */
export class TestOffice implements Office {
  constructor(public up = true) {}
  store = fresh("office");
  /** What it says of itself beside its identity. */
  says: Omit<Welcome, "office"> = {};
  /** Intercepts what is pushed. */
  meddle: ((docs: Pushed[], store: (docs: Pushed[]) => Promise<Refusal[]>) => Promise<Refusal[]>) | undefined;
  /** Intercepts whatever else is asked; what it throws is the answer. */
  asked: ((what: keyof Remote, given: readonly unknown[]) => void | Promise<void>) | undefined;
  /** How often each thing was asked. */
  counts: Record<string, number> = {};

  welcome(): Promise<Welcome> {
    this.counts["welcome"] = (this.counts["welcome"] ?? 0) + 1;
    return this.up ? Promise.resolve({ office: this.store, ...this.says }) : away();
  }

  open(signal: AbortSignal): Remote {
    const { store } = this;
    const db = new PouchDB(store, { adapter: "idb" });
    const guard =
      <Given extends readonly unknown[], T>(what: keyof Remote, act: (...given: Given) => Promise<T>) =>
      async (...given: Given): Promise<T> => {
        this.counts[what] = (this.counts[what] ?? 0) + 1;
        if (!this.up || signal.aborted) return away();
        await this.asked?.(what, given);
        return act(...given);
      };
    return {
      changes: guard("changes", async (since, limit, live) => {
        for (;;) {
          const page = await db.changes({ since, limit, style: "all_docs", return_docs: true });
          if (page.results.length > 0 || !live) return page;
          await new Promise((done) => setTimeout(done, 10));
          if (!this.up || signal.aborted || this.store !== store) return away();
        }
      }),
      get: guard("get", async (docs, files) => {
        const got = await db.bulkGet({ docs: [...docs], revs: true, latest: true, attachments: files });
        return got.results as Awaited<ReturnType<Remote["get"]>>;
      }),
      file: guard("file", ({ id, rev }, name) => db.getAttachment(id, name, { rev })),
      missing: guard("missing", (revs) => db.revsDiff(revs)),
      take: guard("take", (docs) => {
        const take = (some: readonly Sent[]) =>
          db.bulkDocs(structuredClone([...some]), { new_edits: false }) as Promise<Refusal[]>;
        return this.meddle ? this.meddle([...docs], take) : take(docs);
      }),
      wanted: guard("wanted", (): Promise<Wanted[]> => Promise.resolve([])),
    };
  }

  async ids(): Promise<string[]> {
    const { rows } = await new PouchDB(this.store, { adapter: "idb" }).allDocs({});
    return rows.map((row) => row.id).sort();
  }
}

export async function until(
  what: string,
  holds: () => boolean | Promise<boolean>,
  ms = 30_000,
): Promise<void> {
  const end = Date.now() + ms;
  while (!(await holds())) {
    if (Date.now() > end) {
      assert.fail(`never happened: ${what}`);
    }
    await new Promise((done) => setTimeout(done, 10));
  }
}
