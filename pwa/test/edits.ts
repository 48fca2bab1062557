// Edits and deletions straight in a phone's own storage, as screens make them through the rules.
import PouchDB from "pouchdb-core";
import type { Book } from "../src/records/open";

interface Edit {
  id: string;
  at: string;
  by: string;
  v: string;
  over?: string[];
}

interface Doc {
  _id: string;
  _rev: string;
  type: string;
  f?: Record<string, Edit[]>;
}

export const storeOf = (book: Book): PouchDB => new PouchDB(`datumbook-${book.name}`, { adapter: "idb" });

let serial = 0;

/** Puts a value over all that a field says; false where there is no such record, or not this one now. */
export async function edit(book: Book, id: string, field: string, v: string): Promise<boolean> {
  const db = storeOf(book);
  const { device: by } = book;
  const at = new Date().toISOString();
  try {
    const doc = await db.get<Doc>(id);
    const before = doc.f?.[field] ?? [];
    const past = new Set(before.flatMap(({ over = [] }) => over));
    const over = before.map(({ id }) => id).filter((id) => !past.has(id));
    const next: Edit = { id: `${by}-e${++serial}`, at, by, v, ...(over.length > 0 && { over }) };
    await db.put({ ...doc, by, changed: at, f: { ...doc.f, [field]: [...before, next] } });
    return true;
  } catch (cause) {
    return passed(cause);
  }
}

/** Deletes the revision that counts, for good. */
export async function erase(book: Book, id: string): Promise<boolean> {
  const db = storeOf(book);
  try {
    const { _rev, type } = await db.get<Doc>(id);
    await db.put({ _id: id, _rev, _deleted: true, type, by: book.device, changed: new Date().toISOString() });
    return true;
  } catch (cause) {
    return passed(cause);
  }
}

function passed(cause: unknown): false {
  const { status } = cause as { status?: number };
  if (status === 404 || status === 409) return false;
  throw cause;
}
