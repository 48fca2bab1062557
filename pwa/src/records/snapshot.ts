// Snapshots: the records of a long kind as held in memory, saved as one piece beside the store, so
// that thousands of records load at once. A snapshot is only a cache: without it everything is read
// again.
import type PouchDB from "pouchdb-core";
import type { Rec } from "./fields";
import { readLocal, writeLocal } from "../storage/local";

/** Raised whenever records are held differently in memory, so that an old snapshot is not used. */
const form = 2;

export interface Aside {
  /** The store's sequence number up to which it is complete. */
  seq: number;
  recs: Rec[];
}

/** undefined when there is none that this version can use. */
export async function readAside(db: PouchDB, kind: string): Promise<Aside | undefined> {
  const text = await readLocal<string>(db, `aside-${kind}`);
  if (typeof text !== "string") return undefined;
  try {
    const aside = JSON.parse(text) as Partial<Aside> & { form?: number };
    return aside.form === form && Array.isArray(aside.recs) && typeof aside.seq === "number"
      ? { seq: aside.seq, recs: aside.recs }
      : undefined;
  } catch {
    return undefined;
  }
}

export const writeAside = (db: PouchDB, kind: string, aside: Aside): Promise<void> =>
  writeLocal(db, `aside-${kind}`, JSON.stringify({ form, ...aside }));
