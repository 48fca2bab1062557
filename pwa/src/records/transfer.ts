// Export and import by file, and the invented job, which is such a file. The rules (calc/jobbook)
// decide the file's form, what goes into it and how it is merged; they hold one file open at a
// time.
import { readDoc, type Doc } from "./fields";
import type { Repository } from "./repository";

/** Bytes of a file that are handed over at a time. */
const piece = 1 << 20;

declare const DEMO_URL: string;

/** Progress, for a line on the screen. */
export type Tell = (done: number, all: number) => void;

/** A file being written or read: the records needed next, and the progress. */
interface Part {
  ids: string[];
  done: number;
  all: number;
}

export interface Report {
  added: number;
  changed: number;
  same: number;
  /** Records with fields that now have two values. */
  clashes: { id: string; fields: string[] }[];
  /** Records left out, each with the reason in a sentence; its id is the field. */
  refused: { field: string; message: string }[];
  /** Records taken as they are, though something in them cannot be read. */
  look: { field: string; message: string }[];
}

let turn: Promise<unknown> = Promise.resolve();

/** One file after the other. */
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const mine = turn.then(work);
  turn = mine.catch(() => undefined);
  return mine;
}

async function everything(repo: Repository): Promise<Doc[]> {
  const all: Doc[] = [];
  await repo.walk((docs) => void all.push(...docs));
  return all;
}

/**
 * Everything, or some records, as such a file without the rules, which may have stopped: each record
 * as it is stored.
 */
export async function rescueRecords(
  repo: Repository,
  book: string,
  ids?: readonly string[],
): Promise<{ file: File; records: number }> {
  const docs = await repo.whole(ids ?? (await everything(repo)).map((d) => d._id));
  const text = JSON.stringify({ datumbook: 1, form: "records", book, docs });
  const file = new File([text], `datumbook-${book}.json`, { type: "application/json" });
  return { file, records: docs.length };
}

/** Everything, or what belongs to one job, as one file with its pictures inside. */
export const exportRecords = (
  repo: Repository,
  book: string,
  now: Date,
  job = "",
  tell: Tell = () => undefined,
): Promise<{ file: File; records: number }> =>
  inTurn(async () => {
    const all = await everything(repo);
    const docs = job ? all : all.map(({ _id }) => ({ _id }));
    const given = { docs, book, made: now.toISOString(), job };
    const { name, ...begun } = await repo.ask<Part & { name: string }>("export", given);
    const parts: string[] = [];
    let next: Part = begun;
    do {
      const one = await repo.ask<Part & { text: string }>("write", { docs: await repo.whole(next.ids) });
      parts.push(one.text);
      tell(one.done, one.all);
      next = one;
    } while (next.ids.length > 0);
    return { file: new File(parts, name, { type: "application/json" }), records: next.all };
  });

/** Imports a file. What is here is merged with it, and nothing is overwritten. */
export const importRecords = (repo: Repository, file: Blob, tell: Tell = () => undefined): Promise<Report> =>
  inTurn(async () => {
    await repo.ask("open", { bytes: file.size });
    const decoder = new TextDecoder();
    for (let at = 0; at < file.size; at += piece) {
      const bytes = await file.slice(at, at + piece).arrayBuffer();
      await repo.ask("feed", { text: decoder.decode(bytes, { stream: true }) });
    }
    let out = await repo.ask<Report & Part & { put: Doc[] }>("take", {});
    while (out.ids.length > 0) {
      // Pictures are compared by what they hold, so those here are read too.
      out = await repo.ask("take", { mine: await repo.whole(out.ids) });
      await repo.put(out.put);
      tell(out.done, out.all);
    }
    return out;
  });

/** One table for a spreadsheet. */
export async function csvFile(repo: Repository, kind: string, table = ""): Promise<File> {
  const docs = await everything(repo);
  const { name, csv } = await repo.ask<{ name: string; csv: string }>("csv", { kind, table, docs });
  return new File([csv], name, { type: "text/csv" });
}

/** Loads the invented job; what was deleted of it is restored. */
export async function loadDemo(repo: Repository, tell?: Tell): Promise<Report> {
  const answer = await fetch(DEMO_URL);
  if (!answer.ok) throw new Error(`The invented job could not be fetched (${answer.status}).`);
  const report = await importRecords(repo, await answer.blob(), tell);
  for (const id of (await invention(repo)).gone) {
    const rec = readDoc(await repo.doc(id));
    if (rec) await repo.restore(rec);
  }
  return report;
}

/** What of the invented job is on this device, and what a person added to it. */
export interface Invention {
  /** Unchanged: purged. */
  plain: string[];
  /** Changed by hand: deleted like any other record, so that what was typed can be restored. */
  changed: string[];
  /** Deleted by hand. */
  gone: string[];
  /** A person's own records that lead to it: they stay. */
  own: number;
}

export const invention = async (repo: Repository): Promise<Invention> =>
  inventionIn(repo, await everything(repo));

const inventionIn = (repo: Repository, docs: Doc[]): Promise<Invention> => repo.ask("invention", { docs });

/**
 * Removes the invented job and gives how many records that were. Nothing that a person typed is
 * lost.
 */
export async function removeDemo(repo: Repository): Promise<number> {
  const docs = await everything(repo);
  const revs = new Map(docs.map((d) => [d._id, d._rev]));
  const { plain, changed } = await inventionIn(repo, docs);
  let out = 0;
  // One that was changed in this moment is no longer plain: it stays.
  for (const id of plain) if (await repo.erase(id, (d) => d._rev === revs.get(id))) out++;
  for (const doc of docs) {
    if (!changed.includes(doc._id)) continue;
    await repo.remove(readDoc(doc)!);
    out++;
  }
  return out;
}
