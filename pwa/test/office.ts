// An office for tests, in one program with the phones.
import assert from "node:assert/strict";
import PouchDB from "pouchdb-core";
import type { Doc } from "../src/records/fields";
import type { Office } from "../src/sync/sync";

let serial = 0;
export const fresh = (what: string) => `${what}${++serial}`;

export type Pushed = { _id: string; f?: Doc["f"] };
type Rows = Awaited<ReturnType<PouchDB["bulkDocs"]>>;

/** An office that a test can make unreachable, restore, or make refuse. */
export class TestOffice implements Office {
  constructor(public up = true) {}
  store = fresh("office");
  /** Intercepts what is pushed. */
  meddle: ((docs: Pushed[], store: (docs: Pushed[]) => Promise<Rows>) => Promise<Rows>) | undefined;

  identity(): Promise<string> {
    return this.up ? Promise.resolve(this.store) : Promise.reject(new TypeError("Failed to fetch"));
  }

  open(): PouchDB {
    const db = new PouchDB(this.store, { adapter: "idb" });
    const bulkDocs = db.bulkDocs.bind(db);
    db.bulkDocs = ((pushed: { docs: Pushed[] }, options: Record<string, unknown>) => {
      if (!this.up) {
        return Promise.reject(new TypeError("Failed to fetch"));
      }
      const store = (docs: Pushed[]) => bulkDocs({ ...pushed, docs } as never, options);
      return this.meddle ? this.meddle(pushed.docs, store) : store(pushed.docs);
    }) as never;
    return db;
  }

  async ids(): Promise<string[]> {
    const { rows } = await new PouchDB(this.store, { adapter: "idb" }).allDocs({});
    return rows.map((row) => row.id).sort();
  }
}

export async function until(
  what: string,
  holds: () => boolean | Promise<boolean>,
  ms = 5_000,
): Promise<void> {
  const end = Date.now() + ms;
  while (!(await holds())) {
    if (Date.now() > end) {
      assert.fail(`never happened: ${what}`);
    }
    await new Promise((done) => setTimeout(done, 10));
  }
}
