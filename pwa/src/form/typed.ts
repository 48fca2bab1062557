/** What is typed into a field and what it stands for: a worksheet's text, a record's JSON. Pure. */
import { rowsIn, type Rec, type Row } from "../records/fields";
import type { Field, RecordKind, UnitSystem } from "../engine/contract.gen";
import { pinNumber } from "./pin";
import { commaList, joinTable, splitTable } from "./rowtext";

/** A field's content while it is typed: a text, or a table's rows of texts. */
export type Typed = string | TypedRow[];

export interface TypedRow {
  /** The row's id in its record; "" for a new one, and in a worksheet. */
  row: string;
  cells: Record<string, string>;
}

/** A table's rows, whether it is a worksheet's text or a record's. */
export const rowsOf = (f: Field, typed: Typed): TypedRow[] =>
  typeof typed === "string"
    ? splitTable(typed, f.columns!.length).map((row) => ({
        row: "",
        cells: Object.fromEntries(f.columns!.map((c, j) => [c.key, row[j]!])),
      }))
    : typed;

/** Rows in the form that the table had. */
export const likeIt = (f: Field, typed: Typed, rows: TypedRow[]): Typed =>
  typeof typed === "string" ? joinTable(rows.map((r) => f.columns!.map((c) => r.cells[c.key] ?? ""))) : rows;

/** Fields that a form asks. What is stored by other means, as a picture is, is not among them. */
export const asked = (kind: RecordKind): Field[] =>
  kind.fields.filter((f) => !["pairs", "any", "photo"].includes(f.kind) && f.key !== "gone");

export const filled = (v: Typed | undefined): boolean => v !== undefined && v.length > 0;

/**
 * The text of a value as a person would type it again; a bare number of another unit system says
 * its unit.
 */
export function typedOf(f: Field, v: unknown, was: string | undefined, unit: UnitSystem): Typed {
  if (f.kind === "table") {
    return rowsIn(v).map((r) => ({
      row: r.row,
      cells: Object.fromEntries(
        (f.columns ?? []).flatMap((c) => {
          const t = one(c, r[c.key], r.unit ?? was, unit);
          return t === "" ? [] : [[c.key, t]];
        }),
      ),
    }));
  }
  return Array.isArray(v)
    ? v.map((x) => one(f.columns?.[0] ?? f, x, was, unit)).join(", ")
    : one(f, v, was, unit);
}

function one(f: Field, v: unknown, was: string | undefined, unit: UnitSystem): string {
  if (v === true) return "yes";
  if (v === false) return "no";
  const t = typeof v === "string" ? v : typeof v === "number" ? String(v) : "";
  return f.units && was && was !== unit ? pinNumber(t, f.units[was === "mm" ? "mm" : "in"]) : t;
}

/** The value of what was typed, as the rules take it; null clears. */
export function valueOf(f: Field, typed: Typed): unknown {
  if (typeof typed !== "string") {
    const rows = typed.flatMap((r) => {
      const cells = (f.columns ?? []).flatMap((c) => {
        const v = valueOf(c, r.cells[c.key] ?? "");
        return v === null ? [] : [[c.key, v] as const];
      });
      return cells.length > 0 ? [{ ...(r.row && { row: r.row }), ...Object.fromEntries(cells) }] : [];
    });
    return rows.length > 0 ? rows : null;
  }
  if (f.kind === "list") {
    const list = commaList(typed);
    return list.length > 0 ? list : null;
  }
  if (typed.trim() === "") return null;
  return f.kind === "flag" ? typed === "yes" : f.kind === "long" ? typed : typed.trim();
}

/** A changed table's value: rows that were left as they were say their id alone. */
function changedRows(f: Field, before: Typed, now: Typed): unknown {
  const was = new Map(rowsOf(f, before).map((r) => [r.row, JSON.stringify(r.cells)]));
  const is = new Map(rowsOf(f, now).map((r) => [r.row, JSON.stringify(r.cells)]));
  const rows = valueOf(f, now) as Row[] | null;
  return rows && rows.map((r) => (r.row && was.get(r.row) === is.get(r.row) ? { row: r.row } : r));
}

/** What was changed, against what the record says. */
export function changesOf(
  kind: RecordKind,
  before: Record<string, Typed>,
  now: Record<string, Typed>,
): Record<string, unknown> {
  const out: Record<string, unknown> = {};
  for (const f of asked(kind)) {
    const a = before[f.key] ?? blank(f);
    const b = now[f.key] ?? blank(f);
    if (JSON.stringify(a) === JSON.stringify(b)) continue;
    out[f.key] = f.kind === "table" ? changedRows(f, a, b) : valueOf(f, b);
  }
  return out;
}

/** What was typed into a field that is no table of a record: a text. */
export const plain = (typed: Typed): string => (typeof typed === "string" ? typed : "");

export const blank = (f: Field): Typed => (f.kind === "table" ? [] : "");

export function startOf(
  kind: RecordKind,
  rec: Rec | undefined,
  given: Record<string, string>,
  unit: UnitSystem,
): Record<string, Typed> {
  const out: Record<string, Typed> = {};
  for (const f of asked(kind)) {
    const v = rec ? rec.values[f.key] : given[f.key];
    if (v !== undefined && v !== "") out[f.key] = typedOf(f, v, rec?.units[f.key], unit);
  }
  return out;
}
