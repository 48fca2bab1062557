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

/**
 * Counts the records with a revision that was written on this device after the sequence number that
 * the office confirmed. What arrived from the office is not waiting for it, though it is newer.
 */
export async function countWaiting(
  db: PouchDB,
  since: number,
  device: string,
  /**
   * Whether an office was ever met: until then nothing can have come from one, and all there is was
   * written here.
   */
  met = true,
): Promise<number> {
  if (!met) {
    // The store's own count, quick however many there are. What was made and deleted before then,
    // no office lacks.
    return (await db.info()).doc_count;
  }
  const changes = await db.changes({ since, style: "all_docs", include_docs: true, return_docs: true });
  let waiting = 0;
  for (const row of changes.results) {
    for (const { rev } of row.changes) {
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
