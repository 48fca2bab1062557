/**
 * Reads an answer for its drawing: lengths in inches whatever they were typed in, angles in
 * degrees.
 */
import type { Answer, Cell, Given } from "../engine/contract.gen";

/** Units to the one unit the drawings reckon in; any other unit is left as it is. */
const TO: Record<string, number> = {
  thou: 0.001,
  tenths: 0.0001,
  ft: 12,
  mm: 1 / 25.4,
  cm: 1 / 2.54,
  m: 1000 / 25.4,
  um: 0.001 / 25.4,
  rad: 180 / Math.PI,
  arcmin: 1 / 60,
  arcsec: 1 / 3600,
  "in/ft": 1 / 12,
  "thou/ft": 1 / 12000,
  "mm/m": 1 / 1000,
};

/** Decimals a length is written with, at least. */
const PLACES: Record<string, number> = { in: 4, mm: 3, thou: 1, um: 1 };

/** Thrown where a number that the drawing needs is missing from the answer. */
export class Missing extends Error {}

export class Reader {
  /** Inches to the unit of a bare length in a typed table. */
  private readonly bare: number;

  constructor(readonly answer: Answer) {
    const units = Object.values(answer.results).flatMap((r) => [r.unit, ...(r.units ?? [])]);
    this.bare = units.includes("mm") && !units.includes("in") ? TO["mm"]! : 1;
  }

  private found(key: string): (Given & { shown?: string }) | undefined {
    return this.answer.results[key] ?? this.answer.inputs[key];
  }

  private number(g: Given | undefined): number | undefined {
    const v = g?.value;
    return typeof v === "number" && Number.isFinite(v) ? v * (TO[g!.unit] ?? 1) : undefined;
  }

  /** A result, or where there is none an input. */
  n(key: string): number | undefined {
    return this.number(this.found(key));
  }

  need(...keys: string[]): number {
    for (const k of keys) {
      const n = this.n(k);
      if (n !== undefined) return n;
    }
    throw new Missing(keys.join());
  }

  /** What was typed, where a result has the same name. */
  typed(key: string): number | undefined {
    return this.number(this.answer.inputs[key]);
  }

  /** A length written out in a cell of text. */
  size(s: string | number | undefined): number | undefined {
    if (typeof s !== "string") return s;
    const n = parseFloat(s);
    return Number.isFinite(n) ? n * (TO[s.split(" ")[1] ?? ""] ?? 1) : undefined;
  }

  /** Cells of a result's table with their units. */
  cells(key: string, row: number, ...columns: number[]): string {
    const found = this.answer.results[key];
    const cells = Array.isArray(found?.value) ? found.value[row] : undefined;
    if (!Array.isArray(cells)) return "";
    return columns
      .map((c) => {
        const [v, unit] = [cells[c], found?.units?.[c] ?? ""];
        if (typeof v !== "number") return String(v ?? "");
        // As many places as its texts have: 2 in is written 2.0000 in.
        const text = String(v);
        const places = Math.max(
          PLACES[unit] ?? 0,
          text.includes("e") ? 7 : (text.split(".")[1]?.length ?? 0),
        );
        return `${v.toFixed(places)} ${unit}`.trim();
      })
      .join(", ");
  }

  /** A choice or a flag as it stands. */
  word(key: string): string {
    return String(this.found(key)?.value ?? "");
  }

  /** As text, with its unit. */
  t(key: string): string {
    const g = this.found(key);
    if (!g) return "";
    if (g.shown) return g.shown;
    return g.unit && /[0-9]$/.test(g.text) ? `${g.text} ${g.unit}` : g.text;
  }

  /** The rows of a table or list, lengths in inches. */
  rows(key: string): (string | number | undefined)[][] {
    const r = this.answer.results[key];
    const g = r ?? this.answer.inputs[key];
    if (!Array.isArray(g?.value)) return [];
    const scale = (c: Cell, j: number): string | number | undefined => {
      if (typeof c === "number")
        return c * (r?.units ? (TO[r.units[j] ?? ""] ?? 1) : g.unit ? (TO[g.unit] ?? 1) : this.bare);
      return c === null ? undefined : String(c);
    };
    return g.value.map((row, j) => (Array.isArray(row) ? row.map(scale) : [scale(row, j)]));
  }

  /** Rows with 0 in place of what is not a number; never empty. */
  filled(key: string): number[][] {
    const list = this.rows(key).map((b) => b.map((c) => (typeof c === "number" ? c : 0)));
    if (list.length === 0) throw new Missing(key);
    return list;
  }

  /** Rows of numbers for a drawing that needs at least one. */
  some(key: string, columns: number): number[][] {
    const list = this.numbers(key, columns);
    if (list.length === 0) throw new Missing(key);
    return list;
  }

  /** Several at once, "key key". */
  needs(keys: string): number[] {
    return keys.split(" ").map((k) => this.need(k));
  }

  /** Rows of numbers only; a row with a gap is left out. */
  numbers(key: string, columns: number): number[][] {
    return this.rows(key)
      .map((r) => r.slice(0, columns))
      .filter((r): r is number[] => r.length === columns && r.every((c) => typeof c === "number"));
  }
}
