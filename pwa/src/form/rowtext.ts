// Rows as one text, as worksheets take them.

export const commaList = (text: string): string[] => splitList(text).filter(Boolean);

/**
 * The text of a list ("0, 1.5, 3 thou") and of a table ("0,1.5; 4,0"), split into cells and put
 * together again.
 */
export const splitList = (text: string): string[] =>
  text.trim() === "" ? [] : text.split(",").map((x) => x.trim());

/** Looks like a comma and parts no cells: what is typed as one is the number's own (calc/shoptext reads it). */
export const COMMA = "\u201a";

/**
 * Blank readings at the end are left out; one in the middle stays, so that rows do not jump while
 * one is retyped.
 */
export function joinList(rows: readonly string[]): string {
  const clean = rows.map((r) => r.replaceAll(",", COMMA).trimStart());
  while (clean.length > 0 && clean.at(-1)!.trim() === "") clean.pop();
  return clean.join(", ");
}

export function splitTable(text: string, columns: number): string[][] {
  if (text.trim() === "") return [];
  return text.split(";").map((row) => {
    const cells = row.split(",").map((x) => x.trim());
    while (cells.length < columns) cells.push("");
    return cells.slice(0, columns);
  });
}

/** Rows with nothing in them are left out. */
export function joinTable(rows: readonly (readonly string[])[]): string {
  return rows
    .map((row) => row.map((c) => c.replaceAll(",", COMMA).replaceAll(";", "").trimStart()))
    .filter((row) => row.some((c) => c.trim() !== ""))
    .map((row) => row.join(","))
    .join("; ");
}
