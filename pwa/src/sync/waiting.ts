// How many records the office lacks, counted from the records themselves so that it holds after any reload or crash.
import type PouchDB from "pouchdb-core";
import { readLocal, writeLocal } from "../storage/local";

/** How far the records have been pushed, and to which office store. */
export interface Pushed {
  /** The store's own identity: a restored or another store counts as new, and everything is compared again. */
  office: string;
  /** The last of this device's sequence numbers that the office confirmed. */
  seq: number;
  /** When everything was last confirmed, if it ever was. */
  confirmed?: number;
  /** When another store than before answered, and when all had been compared with it. */
  anew?: { since: number; done?: number };
}

/** Revisions that came in by a file and so were written here, whoever wrote them first. */
export type Imported = Record<string, string[]>;

export const readPushed = (db: PouchDB) => readLocal<Pushed>(db, "pushed");
export const writePushed = (db: PouchDB, pushed: Pushed) => writeLocal(db, "pushed", pushed);
export const readImported = async (db: PouchDB) => (await readLocal<Imported>(db, "imported")) ?? {};

/** Notes revisions from a file before they are written: a crash in between must not hide them from the count. */
export async function noteImported(db: PouchDB, revs: Imported): Promise<void> {
  const known = await readImported(db);
  for (const [id, list] of Object.entries(revs)) {
    known[id] = [...new Set([...(known[id] ?? []), ...list])];
  }
  await writeLocal(db, "imported", known);
}

export const forgetImported = (db: PouchDB) => writeLocal<Imported>(db, "imported", {});

/**
 * Counts the records with a revision that was written on this device, or read in here from a file, after the
 * sequence number that the office confirmed. What arrived from the office is not waiting for it, though it is newer.
 */
export async function countWaiting(
  db: PouchDB,
  since: number,
  device: string,
  /** Whether an office was ever met: until then nothing can have come from one, and all there is was written here. */
  met = true,
): Promise<number> {
  if (!met) {
    // Told by the store itself, also where there are very many. What was made and deleted before then, no office lacks.
    return (await db.info()).doc_count;
  }
  const [changes, imported] = await Promise.all([
    db.changes({ since, style: "all_docs", include_docs: true, return_docs: true }),
    readImported(db),
  ]);
  let waiting = 0;
  for (const row of changes.results) {
    for (const { rev } of row.changes) {
      if (imported[row.id]?.includes(rev)) {
        waiting++;
        break;
      }
      const doc =
        row.doc?._rev === rev
          ? row.doc
          : await db.get<{ by?: unknown }>(row.id, { rev }).catch(() => undefined);
      if (doc?.by === device) {
        waiting++;
        break;
      }
    }
  }
  return waiting;
}
