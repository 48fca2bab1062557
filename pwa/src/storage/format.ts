// How records are laid out in this device's own storage, and how an update of the app changes that.
//
// Each format has a database of its own. A step copies everything over, histories and photos
// included, and then makes the changes of the new format; only when that is whole does the new one
// count. The old one stays unchanged until the office has confirmed that it has everything in the
// new one.
import PouchDB from "pouchdb-core";
import { readLocal, writeLocal } from "./local";

/**
 * Changes a store that holds everything of the previous format into the next one. Must be
 * idempotent.
 */
export type Step = (db: PouchDB) => Promise<void>;

/** The steps from format 1 on: the first leads from 1 to 2. There is one format so far. */
export const steps: readonly Step[] = [];

/** This device's records are in a newer format: a newer app was here. */
export class NewerStore extends Error {
  override name = "NewerStore";
  constructor() {
    super(
      "A newer Datumbook has been used on this device and keeps the records in its own form. Update the app: close every window of it and open it again while the office can be reached. Nothing was changed or lost.",
    );
  }
}

interface Mark {
  format: number;
  /** The format whose database is still kept as a copy; 0 for none. */
  copy: number;
}

export interface OpenStore {
  db: PouchDB;
  /** Whether an old copy is still kept. */
  copyKept: () => boolean;
  /**
   * The office has everything: what the old copy gained since is taken over, and it is deleted.
   */
  synced: () => Promise<void>;
}

/**
 * Local notes that move with the records. The push checkpoint is not among them: the new store has
 * sequence numbers of its own.
 */
const notes = ["device", "refused", "imported"];

const nameOf = (book: string, format: number): string =>
  format === 1 ? `datumbook-${book}` : `datumbook-${book}-${format}`;

const open = (book: string, format: number): PouchDB =>
  new PouchDB(nameOf(book, format), { adapter: "idb", auto_compaction: false });

/** Opens the records of a book in the newest format, migrating older ones. */
export async function openStore(book: string, way: readonly Step[] = steps): Promise<OpenStore> {
  const format = way.length + 1;
  const db = open(book, format);
  let mark = await readLocal<Mark>(db, "format");
  if (mark && mark.format > format) {
    await db.close();
    throw new NewerStore();
  }
  if (!mark) {
    const copy = await bringAlong(db, book, format, way);
    mark = { format, copy };
    await writeLocal(db, "format", mark);
    if (copy > 0) {
      await markOld(book, copy, format);
    }
  }
  let copy = mark.copy;
  let clearing = false;
  return {
    db,
    copyKept: () => copy > 0,
    synced: async () => {
      if (copy === 0 || clearing) return;
      clearing = true;
      try {
        const old = open(book, copy);
        if ((await carry(old, db)) > 0) {
          // A window of the old app wrote after the change: that has to reach the office first.
          await old.close();
          return;
        }
        await old.destroy();
        copy = 0;
        await writeLocal<Mark>(db, "format", { format, copy });
      } finally {
        clearing = false;
      }
    },
  };
}

/** Migrates from the newest older format there is, and gives its number; 0 where there is none. */
async function bringAlong(db: PouchDB, book: string, format: number, way: readonly Step[]): Promise<number> {
  for (let older = format - 1; older >= 1; older--) {
    if (!(await exists(book, older))) continue;
    const old = open(book, older);
    const { update_seq } = await old.info();
    if (update_seq === 0 && !(await readLocal(old, "device"))) {
      await old.close(); // opening it created it, where the browser does not list databases
      continue;
    }
    await carry(old, db);
    for (const note of notes) {
      const is = await readLocal(old, note);
      if (is !== undefined) await writeLocal(db, note, is);
    }
    await old.close();
    for (const step of way.slice(older - 1)) {
      await step(db);
    }
    return older;
  }
  return 0;
}

/**
 * Whether there may be a store of that format; true where the browser does not list what is there.
 */
async function exists(book: string, format: number): Promise<boolean> {
  if (typeof indexedDB.databases !== "function") return true;
  const all = await indexedDB.databases();
  return all.some(({ name }) => name === `_pouch_${nameOf(book, format)}`);
}

/** So that an older app that still runs does not write to a database that nobody reads. */
async function markOld(book: string, older: number, format: number): Promise<void> {
  const old = open(book, older);
  await writeLocal<Mark>(old, "format", { format, copy: 0 });
  await old.close();
}

/**
 * Copies revisions that the other store lacks, with their histories and photos; gives how many
 * records had some.
 */
async function carry(from: PouchDB, to: PouchDB): Promise<number> {
  const changes = await from.changes({ since: 0, style: "all_docs", return_docs: true });
  let records = 0;
  for (let at = 0; at < changes.results.length; at += 20) {
    const slice = changes.results.slice(at, at + 20);
    const missing = await to.revsDiff(
      Object.fromEntries(slice.map((row) => [row.id, row.changes.map(({ rev }) => rev)])),
    );
    const wanted = Object.entries(missing).flatMap(([id, { missing }]) =>
      missing.map((rev) => ({ id, rev })),
    );
    records += Object.keys(missing).length;
    if (wanted.length === 0) continue;
    const got = await from.bulkGet({ docs: wanted, revs: true, attachments: true });
    const docs = got.results.flatMap(({ docs }) => docs.flatMap((doc) => (doc.ok ? [doc.ok] : [])));
    const failed = (await to.bulkDocs(docs, { new_edits: false })).find((row) => row.error);
    if (failed) {
      throw new Error(
        `The update could not take over record ${failed.id} (${failed.reason ?? failed.message}). The records are kept as they were; free some room on this device and open the app again.`,
      );
    }
  }
  return records;
}
