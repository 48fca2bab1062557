// Reading a record: each field is the growing set of its edits, and its current values are those
// that no other edit replaces. The rules, and every change, are the calculations' own
// (calc/jobbook); this only reads, so that a screen need not wait for them. Reading never fails,
// whatever shape a document has: what cannot be read is left out, and the record says so.

/** One entry of a field's history. It never changes. */
export interface Edit {
  id: string;
  at?: string;
  by?: string;
  /** What a bare number in it means. */
  unit?: string;
  v: unknown;
  /** Edits it replaces. */
  over?: string[];
  /** Of a deletion: the current edits of the other fields that its author saw. */
  saw?: Heads;
}

/** The ids of edits by field: one as a text, more as a list. */
export type Heads = Record<string, string | string[]>;

/** A record as it is stored. */
export interface Doc {
  _id: string;
  _rev?: string;
  _deleted?: boolean;
  _conflicts?: string[];
  _attachments?: Record<
    string,
    { content_type: string; length?: number; digest?: string; data?: Blob | string }
  >;
  type: string;
  v?: number;
  f?: Record<string, Edit[]>;
  demo?: string;
  [more: string]: unknown;
}

/** A row of a table: its cells by column, and its own id. */
export interface Row {
  row: string;
  unit?: string;
  [column: string]: unknown;
}

/** A record as a screen shows it. */
export interface Rec {
  id: string;
  kind: string;
  /** When it was made, RFC 3339; "" when it does not say. */
  made: string;
  changed: string;
  by: string;
  values: Record<string, unknown>;
  units: Record<string, string>;
  /** The current edits of each field: what a screen that shows the record has shown of it. */
  heads: Heads;
  /** Fields with more than one current value. */
  clashes: string[];
  gone: boolean;
  /** Of one deleted: the records below it that whoever deleted it knew of; without it, all. */
  below?: string[];
  /** Written by a newer version: shown as far as it is understood, and not changed here. */
  newer: boolean;
  /** Something in it has a shape that no version writes: it needs a look. */
  odd?: boolean;
  demo: boolean;
  /** Names of its files. */
  files: string[];
}

/** The form of records that this version writes. */
export const formVersion = 1;

const isObject = (x: unknown): x is Record<string, unknown> =>
  typeof x === "object" && x !== null && !Array.isArray(x);

const isEdit = (e: unknown): e is Edit =>
  isObject(e) && typeof e["id"] === "string" && e["id"] !== "" && "v" in e;

const textOr = (x: unknown): string => (typeof x === "string" ? x : "");

/** Whether an edit says in a form that can be read when, by whom and over what it was made. */
const isWhole = (e: Edit): boolean =>
  [e.at, e.by, e.unit].every((x) => x === undefined || typeof x === "string") &&
  (e.over === undefined || (Array.isArray(e.over) && e.over.every((id) => typeof id === "string")));

const idsOf = (x: unknown): string[] =>
  typeof x === "string" ? [x] : Array.isArray(x) ? x.filter((id) => typeof id === "string") : [];

/**
 * The edits that no other edit replaces, in the order of their ids; where damaged ones replace each
 * other in a cycle, all.
 */
export function heads(edits: unknown): Edit[] {
  const all = Array.isArray(edits) ? edits.filter(isEdit) : [];
  const over = new Set(
    all.flatMap((e) => (Array.isArray(e.over) ? idsOf(e.over).filter((id) => id !== e.id) : [])),
  );
  const out = all.filter((e) => !over.has(e.id));
  return (out.length > 0 ? out : all).sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
}

/** The heads that differ in what they say, in the order of their ids: the last is shown first. */
export function current(edits: unknown): Edit[] {
  const list = heads(edits);
  if (list.length < 2) return list;
  const seen = new Set<string>();
  return list.filter((e) => {
    const said = `${textOr(e.unit)} ${canonical(e.v)}`;
    return !seen.has(said) && seen.add(said);
  });
}

/** The ids of edits in the form of Heads. */
function asHeads(list: readonly Edit[]): string | string[] {
  const ids = [...new Set(list.map((e) => e.id))];
  return ids.length === 1 ? ids[0]! : ids;
}

/** Current edits under which those of the first, flat form stand for the rules. */
const oldEdits = "old";

/** JSON with the members of every object in the order of their names. */
export function canonical(v: unknown): string {
  return JSON.stringify(v, (_, x: unknown) =>
    typeof x === "object" && x !== null && !Array.isArray(x)
      ? Object.fromEntries(Object.entries(x).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0)))
      : x,
  );
}

/** Not held in memory with the rest: a kept answer is many times the size of everything else. */
const heavy = new Set(["answer"]);

const letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/**
 * When an id was made: its first ten letters are milliseconds since 1970 in base 32. "" where it
 * says nothing.
 */
export function madeOf(id: string): string {
  const name = id.slice(id.indexOf(":") + 1);
  if (/^\d{8}T\d{9}Z-/.test(name)) {
    const [, y, mo, d, h, mi, s, ms] = /^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)(\d{3})/.exec(name)!;
    return `${y}-${mo}-${d}T${h}:${mi}:${s}.${ms}Z`;
  }
  if (!/^[0-9A-HJKMNP-TV-Z]{26}$/.test(name)) return "";
  // Two noughts and 48 bits of milliseconds: ten letters of five bits.
  let bits = 0n;
  for (const c of name.slice(0, 10)) bits = bits * 32n + BigInt(letters.indexOf(c));
  const ms = Number(bits);
  return ms > 0 && ms < 8.64e15 ? new Date(ms).toISOString() : "";
}

/** Flat members of the first kept results, and their fields. */
const oldFields: [string, string][] = [
  ["job", "jobname"],
  ["worksheet", "worksheet"],
  ["unit", "unit"],
  ["inputs", "inputs"],
  ["note", "note"],
  ["measured", "measured"],
];

/** How deep a document may nest for the rules to read it. */
const maxDepth = 100;

const tooDeep = (x: unknown, left: number): boolean =>
  typeof x === "object" && x !== null && (left === 0 || Object.values(x).some((y) => tooDeep(y, left - 1)));

const kindIn = (id: string): string => id.slice(0, Math.max(0, id.indexOf(":")));

/** A record of which nothing is known but its name. */
export const blankOf = (id: string, kind: string): Rec => ({
  id,
  kind,
  made: madeOf(id),
  changed: "",
  by: "",
  values: {},
  units: {},
  heads: {},
  clashes: [],
  gone: false,
  newer: false,
  demo: false,
  files: [],
});

/** Reads a stored document, whatever it is; undefined where it has no id, or is the store's own. */
export function readDoc(doc: unknown): Rec | undefined {
  const id = isObject(doc) ? doc["_id"] : undefined;
  if (typeof id !== "string" || id === "" || id.startsWith("_")) return undefined;
  try {
    if (!tooDeep(doc, maxDepth)) return readFields(doc as Doc);
  } catch {
    // it is shown as one that cannot be read
  }
  return { ...blankOf(id, kindIn(id)), odd: true };
}

function readFields(doc: Doc): Rec {
  const kind = textOr(doc.type);
  const rec = blankOf(doc._id, kind);
  rec.newer = typeof doc.v === "number" && doc.v > formVersion;
  rec.demo = !!doc.demo;
  if (isObject(doc._attachments)) rec.files = Object.keys(doc._attachments);
  if (kind === "kept" && typeof doc["worksheet"] === "string") {
    for (const [from, to] of oldFields) {
      const v = doc[from];
      if (v === undefined || v === null || v === "") continue;
      rec.values[to] = v;
      rec.heads[to] = oldEdits;
    }
    if (doc["answer"]) rec.heads["answer"] = oldEdits;
    rec.made = textOr(doc["created"]) || rec.made;
    rec.changed = textOr(doc["changed"]) || rec.made;
    rec.by = textOr(doc["by"]);
  }
  const fields = isObject(doc.f) ? Object.entries(doc.f as Record<string, unknown>) : [];
  const tables = new Map<string, Row[]>();
  for (const [key, edits] of fields.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))) {
    if (!Array.isArray(edits) || key === "__proto__") {
      rec.odd = true;
      continue;
    }
    for (const e of edits) {
      if (!isEdit(e)) rec.odd = true;
      else if (textOr(e.at) > rec.changed) {
        rec.changed = textOr(e.at);
        rec.by = textOr(e.by);
      }
    }
    const now = current(edits);
    const last = now.at(-1);
    if (!last) continue;
    const all = heads(edits);
    if (!all.every(isWhole)) rec.odd = true;
    rec.heads[key] = asHeads(all);
    if (now.length > 1) rec.clashes.push(key);
    const cut = key.indexOf("#");
    if (cut < 0 || cut === key.length - 1) {
      if (key !== "gone" && last.v !== null && !heavy.has(key)) {
        rec.values[key] = last.v;
        if (textOr(last.unit)) rec.units[key] = textOr(last.unit);
      }
      continue;
    }
    const shown = [...now].reverse().find((e) => isObject(e.v)) ?? now.find((e) => e.v !== null);
    if (!shown) continue;
    const table = key.slice(0, cut);
    const row: Row = {
      ...(isObject(shown.v) && shown.v),
      row: key.slice(cut + 1),
      ...(textOr(shown.unit) && { unit: textOr(shown.unit) }),
    };
    tables.set(table, [...(tables.get(table) ?? []), row]);
  }
  for (const [table, rows] of tables) rec.values[table] ??= rows;
  readGone(rec, Object.fromEntries(fields));
  if (!rec.made) rec.made = rec.changed;
  if (isOdd(doc, rec)) rec.odd = true;
  return rec;
}

/** Whether what stands beside the fields has a shape that no version writes. */
function isOdd(doc: Doc, rec: Rec): boolean {
  const files: unknown = doc._attachments;
  return (
    rec.kind === "" ||
    rec.kind !== kindIn(rec.id) ||
    (doc.f !== undefined && !isObject(doc.f)) ||
    (doc.v !== undefined && doc.v !== null && typeof doc.v !== "number") ||
    (files !== undefined && !(isObject(files) && Object.values(files).every(isObject)))
  );
}

/** Stands, in what a deletion saw, for the records below the deleted one. */
export const below = "*";

/** The kinds of record that lie below others, and the fields that say which. */
export const underlings = ["part", "feature", "setup", "step", "reading", "note", "photo", "kept"];
const owners = ["setup", "job", "part", "about", "step", "feature"];

/** The records that another lies below, the nearest page it is shown on first. */
export const ownersOf = (rec: Rec): string[] =>
  underlings.includes(rec.kind) ? owners.map((key) => text(rec, key)).filter((id) => id) : [];

/**
 * A record is deleted where every current edit of "gone" says so and together they saw every other
 * current edit; else it is shown, and that is a clash. A deletion by an earlier version does not
 * say what it saw, and hides all.
 */
function readGone(rec: Rec, fields: Record<string, unknown>): void {
  const list = heads(fields["gone"]);
  if (list.length === 0 || list.some((e) => e.v !== true)) return;
  const saws = list.flatMap((e) => (isObject(e.saw) ? [e.saw] : []));
  const unseen = Object.entries(rec.heads).some(
    ([key, ids]) =>
      key !== "gone" &&
      saws.length > 0 &&
      idsOf(ids).some((id) => !saws.some((saw) => Object.hasOwn(saw, key) && idsOf(saw[key]).includes(id))),
  );
  rec.gone = !unseen;
  if (saws.length > 0 && saws.every((saw) => Object.hasOwn(saw, below))) {
    rec.below = saws.flatMap((saw) => idsOf(saw[below]));
  }
  rec.clashes = rec.clashes.filter((key) => key !== "gone");
  if (unseen) rec.clashes = [...rec.clashes, "gone"].sort();
}

/**
 * The fields of a change, or rows of its tables, in which an edit that its screen had not shown
 * stands beside it; "gone" where the record was deleted meanwhile.
 */
export function metIn(shown: Pick<Rec, "clashes">, set: object, now: Rec): string[] {
  return now.clashes.filter(
    (key) => key in set || (!shown.clashes.includes(key) && (key === "gone" || key.split("#")[0]! in set)),
  );
}

export const text = (rec: Rec | undefined, key: string): string => {
  const v = rec?.values[key];
  return typeof v === "string" ? v : typeof v === "number" ? String(v) : "";
};

export const yes = (rec: Rec | undefined, key: string): boolean => rec?.values[key] === true;

/** The rows in the value of a table; what else stands in one that is odd is left out. */
export const rowsIn = (v: unknown): Row[] =>
  Array.isArray(v)
    ? (v as unknown[]).filter((r): r is Row => isObject(r) && typeof r["row"] === "string")
    : [];

export const rows = (rec: Rec | undefined, key: string): Row[] => rowsIn(rec?.values[key]);

/** What a record is called in a list. */
export function nameOf(rec: Rec): string {
  const name = text(rec, "name") || text(rec, "text") || text(rec, "jobname") || text(rec, "worksheet");
  const order = text(rec, "order");
  const line = name.split("\n")[0]!.trim();
  if (rec.kind === "reading") return `${text(rec, "station")} ${text(rec, "value")}`.trim();
  return rec.kind === "setup" && order ? `${order} ${line}` : line;
}

/** Order by the number in "order", then by when they were made. */
export function byOrder(a: Rec, b: Rec): number {
  const n = (r: Rec) => {
    const x = parseFloat(text(r, "order"));
    return Number.isNaN(x) ? Infinity : x;
  };
  return n(a) - n(b) || byMade(a, b);
}

export const byMade = (a: Rec, b: Rec): number =>
  a.made < b.made ? -1 : a.made > b.made ? 1 : a.id < b.id ? -1 : a.id > b.id ? 1 : 0;
