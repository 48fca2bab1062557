/** Which keys stand where. Pure: kind of field, units and hand size in, pages of keys out. */

export type Act =
  | { do: "type"; text: string }
  | { do: "unit"; name: string }
  | { do: "series"; name: string }
  | { do: "fit"; name: string }
  | { do: "back" | "undo" | "clear" | "sign" | "next" | "close" | "same" }
  | { do: "page"; to: number };

export interface Key {
  /** Stable name, for tests and for telling double hits. */
  id: string;
  label: string;
  act: Act;
  /** How many columns it takes. */
  wide?: number;
  face?: "digit" | "mark" | "tool" | "go";
}

export interface Page {
  /** Label of the key that leads here. */
  name: string;
  columns: number;
  rows: Key[][];
}

export const NUMERIC = new Set(
  (
    "length reading angle count number percent thread drill list table force torque mass speed feed power stress " +
    "temperature area volume density spin time slope removal expansion"
  ).split(" "),
);

const t = (text: string, label = text): Key => ({
  id: text,
  label,
  act: { do: "type", text },
  face: /^\d$/.test(text) ? "digit" : "mark",
});
const u = (name: string): Key => ({
  id: `unit ${name}`,
  label: name,
  act: { do: "unit", name },
  face: "tool",
});
const s = (name: string): Key => ({
  id: `series ${name}`,
  label: name,
  act: { do: "series", name },
  face: "tool",
});
const f = (name: string): Key => ({ id: `fit ${name}`, label: name, act: { do: "fit", name }, face: "tool" });
const BACK: Key = { id: "back", label: "⌫", act: { do: "back" }, face: "tool" };
const UNDO: Key = { id: "undo", label: "Undo", act: { do: "undo" }, face: "tool" };
const CLEAR: Key = { id: "clear", label: "Clear", act: { do: "clear" }, face: "tool" };
const SIGN: Key = { id: "sign", label: "±", act: { do: "sign" }, face: "mark" };
const NEXT: Key = { id: "next", label: "Next", act: { do: "next" }, face: "go" };
const SAME: Key = { id: "same", label: "Same again", act: { do: "same" }, face: "tool" };
const CLOSE: Key = { id: "close", label: "Close", act: { do: "close" }, face: "tool" };
const page = (to: number, label: string): Key => ({
  id: `page ${to} ${label}`,
  label,
  act: { do: "page", to },
  face: "tool",
});

/**
 * Units offered for a kind: those of the worksheet's own description, for lengths the shop's three.
 */
export function unitsFor(kind: string, units: Record<string, string> = {}): string[] {
  if (kind === "length" || kind === "drill") return ["in", "mm", "thou"];
  if (kind === "reading") return [...new Set([units["in"] || "thou", "in", "mm"])];
  return [...new Set([units["in"], units["mm"]].filter((x): x is string => !!x && x !== "%"))];
}

const LETTERS = [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"];

/** The marks a kind of field needs, the most used first. */
function marks(kind: string): string[] {
  switch (kind) {
    case "thread":
      return ["/", "-", ".", "M", "x", "#"];
    case "drill":
      return ["/", ".", "#", "-"];
    case "angle":
      return [".", "°", "'", '"', "±"];
    case "count":
      return [];
    case "reading":
      return ["±", "."];
    case "percent":
    case "temperature":
      return [".", "±"];
    case "slope":
      return [".", "/", ":", "±"];
    case "length":
      return ["/", "-", ".", "+", "±", "#"];
    default:
      return ["/", "-", ".", "+", "±"];
  }
}

const mark = (m: string): Key => (m === "±" ? SIGN : t(m));

function tools(kind: string, units: readonly string[]): Key[] {
  if (kind === "thread") return [...["UNC", "UNF", "UNEF", "UN"].map(s), ...["2B", "3B", "6H"].map(f)];
  return kind === "reading" ? [SAME, ...units.map(u)] : units.map(u);
}

const wide = (key: Key, n: number): Key => (n > 1 ? { ...key, wide: n } : key);

/** Splits keys into rows; the last key of a short row grows to fill it. */
function rows(keys: Key[], columns: number): Key[][] {
  const out: Key[][] = [];
  for (let i = 0; i < keys.length; i += columns) {
    const row = keys.slice(i, i + columns);
    const last = row.length - 1;
    row[last] = wide(row[last]!, columns - last);
    out.push(row);
  }
  return out;
}

/** Bare hand: digits, a column of marks, a column of tools under the thumb. */
function bare(kind: string, units: readonly string[], hand: "right" | "left"): Page[] {
  const all = marks(kind);
  const side = all.filter((m) => m !== ".").map(mark);
  const columns = side.length > 0 ? 5 : 4;
  const row = (digits: Key[], tool: Key): Key[] => {
    const m = side.shift();
    const w = columns - digits.reduce((n, k) => n + (k.wide ?? 1), 0) - (m ? 1 : 0);
    const end = [...(m ? [m] : []), wide(tool, w)];
    return hand === "left" ? [wide(tool, w), ...digits, ...(m ? [m] : [])] : [...digits, ...end];
  };
  const main = [
    row([t("7"), t("8"), t("9")], BACK),
    row([t("4"), t("5"), t("6")], UNDO),
    row([t("1"), t("2"), t("3")], kind === "drill" ? page(1, "A–Z") : CLEAR),
    row(all.includes(".") ? [t("."), t("0")] : [wide(t("0"), 2)], NEXT),
  ];
  const pages: Page[] = [
    { name: "123", columns, rows: [...rows([...side, ...tools(kind, units)], columns), ...main] },
  ];
  if (kind === "drill") {
    const letters = LETTERS.map((c) => t(c));
    const ends = [page(0, "123"), BACK, wide(NEXT, 2)];
    const last = letters.slice(24);
    pages.push({
      name: "A–Z",
      columns: 6,
      rows: [
        ...rows(letters.slice(0, 24), 6),
        hand === "left" ? [...ends.reverse(), ...last] : [...last, ...ends],
      ],
    });
  }
  return pages;
}

/** Glove: pages of five rows of three; at 360 px across each key is 120 px, 19 mm nominal. */
function glove(kind: string, units: readonly string[], hand: "right" | "left"): Page[] {
  const all = marks(kind).map(mark);
  const [a, b, c] = all;
  const turn = (row: Key[]): Key[] => (hand === "left" ? row.reverse() : row);
  const four = b ? [t("0"), a!, b] : a ? [wide(t("0"), 2), a] : [wide(t("0"), 3)];
  const five = c ? turn([c, BACK, NEXT]) : turn([BACK, wide(NEXT, 2)]);
  const pages: Page[] = [
    {
      name: "123",
      columns: 3,
      rows: [[t("7"), t("8"), t("9")], [t("4"), t("5"), t("6")], [t("1"), t("2"), t("3")], four, five],
    },
  ];
  const more = (name: string, keys: Key[]) =>
    pages.push({ name, columns: 3, rows: [...rows(keys, 3), turn([UNDO, CLEAR, CLOSE])] });
  const rest = [...all.slice(3), ...tools(kind, units)];
  if (kind === "drill") {
    const letters = LETTERS.map((c) => t(c));
    more("A–L", letters.slice(0, 12));
    more("M–X", letters.slice(12, 24));
    more("Y Z mm", [...letters.slice(24), ...rest]);
  } else if (kind === "thread") {
    more("M UNC", rest);
  } else {
    more(units.length > 0 ? `+ ${units.at(-1)}` : "more", rest);
  }
  return pages;
}

export function layout(
  kind: string,
  units: Record<string, string> | undefined,
  size: "glove" | "bare",
  hand: "right" | "left",
): Page[] {
  const names = unitsFor(kind, units);
  return size === "glove" ? glove(kind, names, hand) : bare(kind, names, hand);
}
