/** A record's form: what stands in its fields, and what of it was changed. Pure. */
import type { Rec, Row } from "../records/fields";
import type { Input, Kind as InputKind, RecordField, RecordKind, UnitSystem } from "../engine/contract.gen";
import { pinNumber } from "./pin";

/** A field's content while it is typed: a text, or a table's rows of texts. */
export type Typed = string | TypedRow[];

export interface TypedRow {
  /** The row's id; "" for a new one. */
  row: string;
  cells: Record<string, string>;
}

/** Fields that a form asks. What is stored by other means, as a picture is, is not among them. */
export const asked = (kind: RecordKind): RecordField[] =>
  kind.fields.filter((f) => !["pairs", "any", "photo"].includes(f.type) && f.key !== "gone");

/** The text of a value as a person would type it again; a bare number of another unit system says its unit. */
export function typedOf(f: RecordField, v: unknown, was: string | undefined, unit: UnitSystem): Typed {
  if (f.type === "table") {
    return (Array.isArray(v) ? (v as Row[]) : []).map((r) => ({
      row: r.row,
      cells: Object.fromEntries(
        (f.columns ?? []).flatMap((c) => {
          const t = one(c, r[c.key], r.unit ?? was, unit);
          return t === "" ? [] : [[c.key, t]];
        }),
      ),
    }));
  }
  if (Array.isArray(v)) {
    const c = f.type === "list" ? (f.columns?.[0] ?? f) : f;
    return v.map((x) => one(c, x, was, unit)).join(", ");
  }
  return one(f, v, was, unit);
}

function one(f: RecordField, v: unknown, was: string | undefined, unit: UnitSystem): string {
  if (v === true) return "yes";
  if (v === false) return "no";
  const t = typeof v === "string" ? v : typeof v === "number" ? String(v) : "";
  return f.bare && was && was !== unit ? pinNumber(t, f.bare[was === "mm" ? "mm" : "in"]) : t;
}

/** The value of what was typed, as the rules take it; null clears. */
export function valueOf(f: RecordField, typed: Typed): unknown {
  if (typeof typed !== "string") {
    const rows = typed.flatMap((r) => {
      const cells = Object.entries(r.cells).filter(([, t]) => t.trim() !== "");
      if (cells.length === 0) return [];
      const row: Record<string, unknown> = r.row ? { row: r.row } : {};
      for (const [key, t] of cells)
        row[key] = single(
          f.columns?.find((c) => c.key === key),
          t,
        );
      return [row];
    });
    return rows.length > 0 ? rows : null;
  }
  if (f.type === "list" || f.type === "words" || f.type === "links") {
    const list = typed
      .split(",")
      .map((t) => t.trim())
      .filter(Boolean);
    return list.length > 0 ? list : null;
  }
  return typed.trim() === "" ? null : single(f, typed);
}

const single = (f: RecordField | undefined, t: string): unknown =>
  f?.type === "flag" ? t === "yes" : f?.type === "long" ? t : t.trim();

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
    if (JSON.stringify(a) !== JSON.stringify(b)) out[f.key] = valueOf(f, b);
  }
  return out;
}

export const blank = (f: RecordField): Typed => (f.type === "table" ? [] : "");

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

/** The worksheet form's own field draws it: a record's field in its words. */
export function inputOf(f: RecordField): Input {
  const kind = f.type === "list" || f.type === "words" ? "text" : f.type;
  return {
    key: f.key,
    label: f.label,
    kind: kind as InputKind,
    help: f.help ?? "",
    example: f.example ?? "",
    default: "",
    required: f.required ?? false,
    section: f.section ?? "",
    ...(f.bare ? { units: f.bare } : f.columns?.[0]?.bare ? { units: f.columns[0].bare } : {}),
    ...(f.options ? { options: f.options } : {}),
  };
}
