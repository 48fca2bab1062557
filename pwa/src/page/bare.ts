import type { Field, UnitSystem } from "../engine/contract.gen";
import { joinList, joinTable, splitList, splitTable } from "../form/rowtext";

/**
 * A number from the job without its unit where that is the one a bare number has: a box says a unit
 * only when it is another.
 */
function bareNumber(text: string, unit: string | undefined): string {
  if (!unit) return text;
  const out = text.replaceAll(
    new RegExp(`\\s*(?<![a-z])${unit.replace(/[^a-z0-9]/gi, "\\$&")}(?![\\w/.])`, "gi"),
    "",
  );
  const said = out.trim().replace(/^\+(?=0*\.?0*$)/, "");
  return /[a-z"']/i.test(said) || said === "" ? text : said;
}

/** The same of a whole input: of every number in a list or a table. */
export function bare(f: Field, text: string, unit: UnitSystem): string {
  const columns = f.columns ?? [];
  if (f.kind === "list") {
    return joinList(splitList(text).map((x) => bareNumber(x, columns[0]?.units?.[unit])));
  }
  if (f.kind === "table") {
    const rows = splitTable(text, columns.length);
    return joinTable(rows.map((row) => row.map((c, j) => bareNumber(c, columns[j]?.units?.[unit]))));
  }
  return f.units && f.kind !== "drill" ? bareNumber(text, f.units[unit]) : text;
}
