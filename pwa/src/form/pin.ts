/** When what a bare number means changes, the numbers already typed keep their old meaning: their unit is written out. */
import type { Field, Sheet, UnitSystem } from "../engine/contract.gen";
import { joinTable, splitTable } from "./typed";

/** One number as calc/shoptext reads it: mixed, fraction, decimal, whole. */
const TERM = String.raw`(?:\d+[- ]\d+/\d+|\d+/\d+|\d*\.\d+|\d+\.?)`;
const SUM = new RegExp(String.raw`^[-+]?\s*${TERM}(?:\s*[-+]\s*${TERM})*$`);
const UNCLEAR = /(^|[-+\s])\d+\s*-\s*\d+(?![\d./])/;

/** 3/4+.015 becomes 3/4 in+.015 in; a text that holds letters or marks, or cannot be read, stays as it is. */
export function pinNumber(text: string, unit: string): string {
  const t = text.trim();
  if (!unit || !SUM.test(t) || UNCLEAR.test(t)) return text;
  return t.replace(new RegExp(String.raw`(${TERM})\s*`, "g"), (_, n: string) => `${n} ${unit}`);
}

function pin(input: Field, text: string, was: UnitSystem): string {
  const unit = input.units?.[was] ?? "";
  if (input.kind === "list") {
    const u = (input.columns?.[0]?.units ?? input.units)?.[was] ?? "";
    return text
      .split(",")
      .map((c) => pinNumber(c.trim(), u))
      .join(", ");
  }
  if (input.kind === "table") {
    const columns = input.columns ?? [];
    return joinTable(
      splitTable(text, columns.length).map((row) =>
        row.map((c, j) => pinNumber(c, columns[j]?.units?.[was] ?? "")),
      ),
    );
  }
  if (!input.units || input.units.in === input.units.mm || input.kind === "drill") return text;
  return pinNumber(text, unit);
}

export function pinUnits(
  sheet: Sheet,
  texts: Readonly<Record<string, string>>,
  was: UnitSystem,
): Record<string, string> {
  const out: Record<string, string> = { ...texts };
  for (const input of sheet.inputs) {
    const text = out[input.key];
    if (text) out[input.key] = pin(input, text, was);
  }
  return out;
}
