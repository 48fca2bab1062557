// The way out with no network: everything in one file, read in elsewhere without doubling anything.
import type PouchDB from "pouchdb-core";
import { noteImported, type Imported } from "../sync/waiting";

export interface ImportReport {
  /** Records in the file. */
  read: number;
  /** Of them, new here or newer than what was here. */
  added: number;
  /** Already here. */
  already: number;
}

/** A document with its history of revisions, as replication itself would carry it. */
interface Carried {
  _id: string;
  _rev: string;
  _revisions: { start: number; ids: string[] };
}

interface Carrier {
  datumbook: 1;
  book: string;
  made: string;
  docs: Carried[];
}

/** What is wrong with a file, said to the person who chose it. */
export class NotOurFile extends Error {
  override name = "NotOurFile";
}

/** Everything in the book, deletions and versions in conflict included, as one file. */
export async function exportBook(db: PouchDB, book: string, now: Date): Promise<File> {
  const changes = await db.changes({ since: 0, style: "all_docs", return_docs: true });
  const wanted = changes.results.flatMap((row) => row.changes.map(({ rev }) => ({ id: row.id, rev })));
  const docs: unknown[] = [];
  for (let at = 0; at < wanted.length; at += 200) {
    const got = await db.bulkGet({ docs: wanted.slice(at, at + 200), revs: true, attachments: true });
    for (const { docs: found } of got.results) {
      docs.push(...found.flatMap((doc) => (doc.ok ? [doc.ok] : [])));
    }
  }
  const carrier = { datumbook: 1, book, made: now.toISOString(), docs };
  const name = `datumbook-${book}-${now.toISOString().slice(0, 16).replace(/[:T]/g, "")}.json`;
  return new File([JSON.stringify(carrier)], name, { type: "application/json" });
}

/** Reads such a file in. What is here already stays as it is; revisions from both sides are merged, none is lost. */
export async function importBook(db: PouchDB, file: Blob): Promise<ImportReport> {
  const carrier = read(await file.text());
  const byId = new Map<string, string[]>();
  for (const doc of carrier.docs) {
    byId.set(doc._id, [...(byId.get(doc._id) ?? []), doc._rev]);
  }
  const missing = byId.size === 0 ? {} : await db.revsDiff(Object.fromEntries(byId));
  const fresh = carrier.docs.filter((doc) => missing[doc._id]?.missing.includes(doc._rev));
  const revs: Imported = {};
  for (const doc of fresh) {
    (revs[doc._id] ??= []).push(doc._rev);
  }
  const added = Object.keys(revs).length;
  if (added > 0) {
    await noteImported(db, revs);
    const rows = await db.bulkDocs(fresh, { new_edits: false });
    const failed = rows.find((row) => row.error);
    if (failed) {
      throw new Error(`Record ${failed.id} could not be stored: ${failed.reason ?? failed.message}`);
    }
  }
  return { read: byId.size, added, already: byId.size - added };
}

function read(text: string): Carrier {
  let carrier: Partial<Carrier> | null;
  try {
    carrier = JSON.parse(text) as Partial<Carrier> | null;
  } catch {
    throw new NotOurFile(
      "This file is not whole, or is not a Datumbook file. Choose one that Datumbook saved.",
    );
  }
  if (typeof carrier?.datumbook === "number" && carrier.datumbook > 1) {
    throw new NotOurFile(
      "This file was saved by a newer Datumbook. Update this device first, then read it in.",
    );
  }
  if (carrier?.datumbook !== 1 || !Array.isArray(carrier.docs)) {
    throw new NotOurFile("This is not a Datumbook file. Choose one that Datumbook saved.");
  }
  for (const doc of carrier.docs as (Partial<Carried> | null)[]) {
    const { start, ids } = doc?._revisions ?? {};
    if (typeof doc?._id !== "string" || !doc._id || doc._id.startsWith("_") || !Array.isArray(ids)) {
      throw new NotOurFile("This file holds something that is not a record, so nothing was read in.");
    }
    if (doc._rev !== `${start}-${ids[0]}`) {
      throw new NotOurFile(
        `The history of record ${doc._id} in this file is damaged, so nothing was read in.`,
      );
    }
  }
  return carrier as Carrier;
}
