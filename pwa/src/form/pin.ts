/**
 * When what a bare number means changes, the numbers already typed keep their old meaning: their
 * unit is written out.
 */
import type { Field, Sheet, UnitSystem } from "../engine/contract.gen";
import { joinTable, splitTable } from "./rowtext";

const most = 64;

/** Units of length by their system: the system's own, and its others. */
const units: Record<UnitSystem, [own: string, others: string]> = {
  in: ['in|inch|inches|"', "thou|th|mil|tenths?|ft|foot|feet|'"],
  mm: ["mm|millimet(?:re|er)", "um|microns?|[µμ]m|cm|m"],
};
const is = (unit: string, list: readonly string[]): boolean =>
  new RegExp(`^(?:${list.join("|")})$`, "i").test(unit);
const systemOf = (unit: string): UnitSystem | undefined =>
  (["in", "mm"] as const).find((system) => is(unit, units[system]));

const anyUnit = Object.values(units).flat().join("|");
/** One number, its parts by themselves, and the unit behind it. */
const TERM = new RegExp(
  String.raw`((?:(\d+)[- ])?(\d+)/(\d+)(?!/)|(\d*)\.(\d+)|\d+\.?)(?:\s*((?:${anyUnit})(?![a-z])))?`,
  "iy",
);
const NEXT = /\s*([-+]?)\s*/y;

export const clean = (text: string): string =>
  text
    .replace(/[\u00bc-\u00be\u215b-\u215e]/g, (c) => ` ${c.normalize("NFKC")}`)
    .replace(/[\u2010-\u2015\u2212]/g, "-")
    .replace(/[\u2032\u2019]/g, "'")
    .replace(/[\u2033\u201d]|''/g, '"')
    .replace(/[\u2044\u2215]/g, "/")
    .trim()
    .replace(/\s+/g, " ")
    .replace(/\u201a/g, ",")
    .replace(/[\d.,]+/g, decimal);

/** A number with its decimal comma as a point; one that may mark thousands stays, to be refused. */
function decimal(number: string): string {
  const [, whole, part] = /^(\d*),(\d+)$/.exec(number) ?? [];
  if (whole === undefined || part === undefined) return number;
  return part.length === 3 && Number(whole) > 0 && whole.length <= 3 ? number : `${whole}.${part}`;
}

const tooLong = ([, all, whole, top, bottom]: RegExpExecArray): boolean =>
  all!.replace(/\D/g, "").length > 15 ||
  (bottom !== undefined && (!Number(bottom) || [whole ?? 0, top, bottom].some((n) => Number(n) > 1e6)));

/**
 * What calc/shoptext's Pin makes of a length, where there is no time to ask it: 3/4+.015 is 3/4
 * in+.015 in.
 */
export function pinNumber(text: string, unit: string): string {
  const s = clean(text);
  if (!unit || text.length > most) return text;
  const ends: number[] = [];
  const given: string[] = [];
  let last: RegExpExecArray | undefined;
  let n = 0;
  const next = (from: number) => ((NEXT.lastIndex = from), NEXT.exec(s)![1]!);
  for (let sign = next(0); n === 0 || NEXT.lastIndex < s.length; n++) {
    const joined = sign || n === 0 || /^(ft|foot|feet|')$/i.test(last![7] ?? "");
    const unclear =
      sign === "-" && last && /^\d+$/.test(last[0]) && /^\d+(?![\d./])/.test(s.slice(NEXT.lastIndex));
    TERM.lastIndex = NEXT.lastIndex;
    const m = TERM.exec(s);
    if (!joined || unclear || !m || tooLong(m) || n === 8) return text;
    last = m;
    if (m[7]) given.push(m[7]);
    else ends.push(m.index + m[1]!.length);
    sign = next(TERM.lastIndex);
    if (sign && NEXT.lastIndex === s.length) return text;
  }
  const [mine, its] = [systemOf(unit), given[0] && systemOf(given[0])];
  if (ends.length === 0 || (its && !mine) || given.some((u) => systemOf(u) !== its)) return text;
  let pinned = unit;
  if (its && its !== mine) {
    if (given.length > 1 || !last![7] || !is(last![7], [units[its][0]])) return text;
    pinned = its;
  }
  const out = ends.reduceRight((t, end) => `${t.slice(0, end)} ${pinned}${t.slice(end)}`, s);
  return out.length > most ? text : out;
}

/**
 * The same of what is being typed: a fraction where bare numbers are metric stays as it is, to be
 * asked about.
 */
export const pinTyped = (text: string, unit: string): string =>
  text.includes("/") && systemOf(unit) === "mm" ? text : pinNumber(text, unit);

function pin(input: Field, text: string, was: UnitSystem): string {
  const unit = input.units?.[was] ?? "";
  if (input.kind === "list") {
    const u = (input.columns?.[0]?.units ?? input.units)?.[was] ?? "";
    return text
      .split(",")
      .map((c) => pinTyped(c.trim(), u))
      .join(", ");
  }
  if (input.kind === "table") {
    const columns = input.columns ?? [];
    return joinTable(
      splitTable(text, columns.length).map((row) =>
        row.map((c, j) => pinTyped(c, columns[j]?.units?.[was] ?? "")),
      ),
    );
  }
  if (!input.units || input.units.in === input.units.mm || input.kind === "drill") return text;
  return pinTyped(text, unit);
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
