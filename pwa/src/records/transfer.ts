// Records in and out by file, in the form that calc/jobbook/FORMAT.md writes down, and the invented job, which is such a
// file. Worked through in slices, so that a large book needs little more room than its file.
import { NotOurFile } from "./revisions-file";
import { readDoc, type Doc } from "./fields";
import type { RecordKind } from "../engine/contract.gen";
import { plainFiles, type Shelf } from "./repository";

const slice = 50;

declare const DEMO_URL: string;

/** How far it is, for a line on the screen. */
export type Tell = (done: number, all: number) => void;

export interface Report {
  added: number;
  changed: number;
  same: number;
  /** Records with fields that now have two values. */
  clashes: { id: string; fields: string[] }[];
  /** Records left out, each with the reason in a sentence; its id is the field. */
  refused: { field: string; message: string }[];
}

async function everything(shelf: Shelf): Promise<Doc[]> {
  const all: Doc[] = [];
  await shelf.walk(async (docs) => void all.push(...docs));
  return all;
}

/** Everything, or what belongs to one job, as one file with its pictures inside. */
export async function exportRecords(
  shelf: Shelf,
  book: string,
  now: Date,
  job?: { id: string; name: string },
  tell: Tell = () => undefined,
): Promise<{ file: File; records: number }> {
  const docs = await everything(shelf);
  const ids = job
    ? (await shelf.ask<{ ids: string[] }>("belongs", { job: job.id, docs })).ids
    : docs.map((d) => d._id);
  const made = now.toISOString();
  const head = { datumbook: 1, form: "records", book, made, ...(job && { job: job.id }) };
  const parts: string[] = [`${JSON.stringify(head).slice(0, -1)},"docs":[`];
  for (let at = 0; at < ids.length; at += slice) {
    const whole = await shelf.whole(ids.slice(at, at + slice));
    const { file } = await shelf.ask<{ file: { docs: unknown[] } }>("export", { docs: whole, book, made });
    if (file.docs.length > 0) {
      parts.push(parts.length > 1 ? "," : "", file.docs.map((d) => JSON.stringify(d)).join(","));
    }
    tell(Math.min(at + slice, ids.length), ids.length);
  }
  parts.push("]}");
  const mark = job ? plainName(job.name) : book;
  const name = `datumbook-${mark}-${made.slice(0, 16).replace(/[:T]/g, "")}.json`;
  return { file: new File(parts, name, { type: "application/json" }), records: ids.length };
}

/** What every file system takes. */
const plainName = (name: string): string =>
  name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "")
    .slice(0, 40) || "job";

/** Whether a file holds records one by one; the older form holds revisions, and is read in by book/export. */
export async function holdsRecords(file: Blob): Promise<boolean> {
  return (await file.slice(0, 400).text()).includes('"form":"records"');
}

/** Reads such a file in. What is here is merged with it, and nothing is overwritten. */
export async function importRecords(
  shelf: Shelf,
  text: string,
  tell: Tell = () => undefined,
): Promise<Report> {
  let file: { datumbook?: unknown; form?: unknown; docs?: unknown } | null;
  try {
    file = JSON.parse(text) as typeof file;
  } catch {
    throw new NotOurFile(
      "This file is not whole, or is not a Datumbook file. Choose one that Datumbook saved.",
    );
  }
  if (typeof file?.datumbook === "number" && file.datumbook > 1) {
    throw new NotOurFile(
      "This file was saved by a newer Datumbook. Update this device first, then read it in.",
    );
  }
  if (file?.datumbook !== 1 || file.form !== "records" || !Array.isArray(file.docs)) {
    throw new NotOurFile("This is not a Datumbook file. Choose one that Datumbook saved.");
  }
  const docs = file.docs as Doc[];
  const out: Report = { added: 0, changed: 0, same: 0, clashes: [], refused: [] };
  for (let at = 0; at < docs.length; at += slice) {
    const theirs = docs.slice(at, at + slice).map((d) => (d?._attachments ? plainFiles(d) : d));
    const ids = theirs.flatMap((d) => (typeof d?._id === "string" && d._id ? [d._id] : []));
    // Pictures are compared by what they hold, so those here are read too.
    const mine = await shelf.whole([...new Set(ids)]);
    const got = await shelf.ask<Report & { put: Doc[] }>("import", { mine, theirs });
    await shelf.put(got.put);
    out.added += got.added;
    out.changed += got.changed;
    out.same += got.same;
    out.clashes.push(...got.clashes);
    out.refused.push(...got.refused);
    tell(Math.min(at + slice, docs.length), docs.length);
  }
  return out;
}

/** Every table of the book: each kind of record, and each table inside one. */
export const tablesOf = (
  kinds: readonly RecordKind[],
): { kind: RecordKind; tables: { key: string; label: string }[] }[] =>
  kinds.map((kind) => ({ kind, tables: kind.fields.filter((f) => f.kind === "table") }));

/** One table for a spreadsheet. */
export async function csvFile(shelf: Shelf, kind: string, table = ""): Promise<File> {
  const docs = (await everything(shelf)).map(({ _attachments, ...rest }) => rest);
  const { name, csv } = await shelf.ask<{ name: string; csv: string }>("csv", { kind, table, docs });
  return new File(["\ufeff", csv], name, { type: "text/csv" });
}

/** Puts the invented job into the book; what was deleted of it comes back. */
export async function loadDemo(shelf: Shelf, tell?: Tell): Promise<Report> {
  const answer = await fetch(DEMO_URL);
  if (!answer.ok) throw new Error(`The invented job could not be fetched (${answer.status}).`);
  const report = await importRecords(shelf, await answer.text(), tell);
  for (const d of await everything(shelf)) if (d.demo && readDoc(d)?.gone) await shelf.restore(d._id);
  return report;
}

/** What of the invented job is on this device, and what a person put to it. */
export interface Invention {
  /** As it came: taken out for good. */
  plain: string[];
  /** Changed by hand: deleted like any other record, so that what was typed can be brought back. */
  changed: string[];
  /** A person's own records that lead to it: they stay. */
  own: number;
}

export async function invention(shelf: Shelf): Promise<Invention> {
  const out: Invention = { plain: [], changed: [], own: 0 };
  for (const d of await everything(shelf)) {
    if (!d.demo) {
      if (JSON.stringify(d.f ?? {}).includes(":00-demo-")) out.own++;
      continue;
    }
    const edits = Object.entries(d.f ?? {}).filter(([key]) => key !== "gone");
    const typed = edits.some(([, list]) => Array.isArray(list) && list.some((e) => !/^demo-/.test(e.id)));
    (typed ? out.changed : out.plain).push(d._id);
  }
  return out;
}

/** Takes the invented job out, and tells how many records that were. Nothing that a person typed is lost. */
export async function removeDemo(shelf: Shelf, found: Invention): Promise<number> {
  for (const id of found.plain) await shelf.erase(id);
  for (const id of found.changed) await shelf.remove(id);
  return found.plain.length + found.changed.length;
}

/** Hands a file to the browser's downloads. */
export function download(file: File): void {
  const url = URL.createObjectURL(file);
  const a = document.createElement("a");
  a.href = url;
  a.download = file.name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
