/** When what a bare number means changes, the numbers already typed keep their old meaning: their unit is written out. */
import type { Input, Sheet, UnitSystem } from "../engine/contract.gen";
import { joinTable, splitTable } from "./rowtext";

const BARE = /^[-+\d./\s]*\d[-+\d./\s]*$/;

/** 3/4+.015 becomes 3/4 in+.015 in; a text that already holds letters or marks stays as it is. */
export function pinNumber(text: string, unit: string): string {
  if (!unit || !BARE.test(text)) return text;
  const terms = text.trim().split(/(?<=[\d.])\s*(?=[+])|(?<=[\d.])(?<!^\s*[-+]?\d+)\s*(?=-)/);
  return terms.map((t) => `${t.trim()} ${unit}`).join("");
}

function pin(input: Input, text: string, was: UnitSystem): string {
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
