// Reading a record: each field is the growing set of its edits, and its current values are those
// that no other edit replaces. The rules, and every change, are the calculations' own
// (calc/jobbook); this only reads, so that a screen need not wait for them.

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
}

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
  /** Fields with more than one current value. */
  clashes: string[];
  gone: boolean;
  /** Written by a newer version: shown as far as it is understood, and not changed here. */
  newer: boolean;
  demo: boolean;
  /** Names of its files. */
  files: string[];
}

/** The form of records that this version writes. */
export const formVersion = 1;

const isEdit = (e: unknown): e is Edit =>
  typeof e === "object" && e !== null && typeof (e as Edit).id === "string" && "v" in e;

/** The edits that no other edit replaces; where damaged ones replace each other in a cycle, all. */
export function heads(edits: readonly unknown[] | undefined): Edit[] {
  const all = Array.isArray(edits) ? edits.filter(isEdit) : [];
  const over = new Set(all.flatMap((e) => (e.over ?? []).filter((id) => id !== e.id)));
  const out = all.filter((e) => !over.has(e.id));
  return out.length > 0 ? out : all;
}

/** The heads that differ in what they say, in the order of their ids: the last is shown first. */
export function current(edits: readonly unknown[] | undefined): Edit[] {
  const list = heads(edits).sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
  const seen = new Set<string>();
  return list.filter((e) => {
    const said = `${e.unit ?? ""} ${canonical(e.v)}`;
    return !seen.has(said) && seen.add(said);
  });
}

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

/** Reads a stored document; undefined where it is not a record. */
export function readDoc(doc: Doc): Rec | undefined {
  if (typeof doc?._id !== "string" || typeof doc.type !== "string") return undefined;
  const rec: Rec = {
    id: doc._id,
    kind: doc.type,
    made: madeOf(doc._id),
    changed: "",
    by: "",
    values: {},
    units: {},
    clashes: [],
    gone: false,
    newer: typeof doc.v === "number" && doc.v > formVersion,
    demo: !!doc.demo,
    files: Object.keys(doc._attachments ?? {}),
  };
  if (doc.type === "kept" && typeof doc["worksheet"] === "string") {
    for (const [from, to] of oldFields) {
      const v = doc[from];
      if (v !== undefined && v !== "") rec.values[to] = v;
    }
    rec.made = typeof doc["created"] === "string" ? doc["created"] : rec.made;
    rec.changed = typeof doc["changed"] === "string" ? doc["changed"] : rec.made;
    rec.by = typeof doc["by"] === "string" ? doc["by"] : "";
  }
  const tables = new Map<string, Row[]>();
  for (const [key, edits] of Object.entries(doc.f ?? {}).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))) {
    if (!Array.isArray(edits)) continue;
    for (const e of edits) {
      if (isEdit(e) && (e.at ?? "") > rec.changed) {
        rec.changed = e.at ?? "";
        rec.by = e.by ?? "";
      }
    }
    const now = current(edits);
    if (now.length > 1) rec.clashes.push(key);
    const cut = key.indexOf("#");
    const last = now.at(-1);
    if (!last) continue;
    if (cut < 0) {
      if (key === "gone") rec.gone = last.v === true;
      else if (last.v !== null && !heavy.has(key)) {
        rec.values[key] = last.v;
        if (last.unit) rec.units[key] = last.unit;
      }
      continue;
    }
    const shown = [...now]
      .reverse()
      .find((e) => typeof e.v === "object" && e.v !== null && !Array.isArray(e.v));
    if (!shown) continue;
    const table = key.slice(0, cut);
    const row: Row = {
      ...(shown.v as Record<string, unknown>),
      row: key.slice(cut + 1),
      ...(shown.unit && { unit: shown.unit }),
    };
    tables.set(table, [...(tables.get(table) ?? []), row]);
  }
  for (const [table, rows] of tables) rec.values[table] ??= rows;
  if (!rec.made) rec.made = rec.changed;
  return rec;
}

export const text = (rec: Rec | undefined, key: string): string => {
  const v = rec?.values[key];
  return typeof v === "string" ? v : typeof v === "number" ? String(v) : "";
};

export const yes = (rec: Rec | undefined, key: string): boolean => rec?.values[key] === true;

export const rows = (rec: Rec | undefined, key: string): Row[] => {
  const v = rec?.values[key];
  return Array.isArray(v) ? (v as Row[]) : [];
};

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
