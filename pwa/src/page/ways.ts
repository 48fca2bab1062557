/** What a page asks, from its description and what is typed: pure, so that it is tested without a screen. */
import type { Describe, Field, Page, Sheet, UnitSystem, Way } from "../engine/contract.gen";
import { pinNumber } from "../form/pin";
import { splitList, splitTable } from "../form/rowtext";

export type Texts = Record<string, string>;

export const words = (list: string | undefined): string[] => (list ?? "").split(" ").filter(Boolean);

/** An input on the drawing. Next passes a quiet one by. */
export interface Box {
  key: string;
  quiet: boolean;
}

export const boxesOf = (way: Way): Box[] =>
  words(way.boxes).map((k) => ({ key: k.replace(/\?$/, ""), quiet: k.endsWith("?") }));

export const typed = (texts: Readonly<Texts>, key: string): boolean => (texts[key] ?? "").trim() !== "";

/** Inputs and their texts, as "from=pins apart=3in" has them. */
export const pairsOf = (list: string | undefined): [key: string, text: string][] =>
  words(list).map((p) => [p.slice(0, p.indexOf("=")), p.slice(p.indexOf("=") + 1)]);

/** What tells the ways of a page apart: several may be of one worksheet, each with its choices. */
export const keyOf = (way: Way): string => (way.sets ? `${way.sheet} ${way.sets}` : way.sheet);

/**
 * The worksheet that answers: the one whose chip was touched; else one that what is typed picks;
 * else the one that was opened.
 */
export function wayOf(page: Page, texts: Readonly<Texts>, chosen: string, opened: string): Way {
  const stands = (w: Way): boolean =>
    !!w.sets && pairsOf(w.sets).every(([k, v]) => (texts[`${w.sheet}.${k}`] ?? texts[k]) === v);
  // Of one worksheet's ways the one whose choices are made, else the one that makes none.
  const named = (name: string): Way | undefined =>
    page.ways.find((w) => keyOf(w) === name && w.sets) ??
    page.ways.find((w) => w.sheet === name && stands(w)) ??
    page.ways.find((w) => w.sheet === name);
  const picks = (w: Way): boolean => words(w.when).some((k) => typed(texts, k));
  const chip = named(chosen);
  // What no chip picks follows what is typed, also after a chip was touched.
  const silent = page.ways.find((w) => !w.chip && picks(w));
  return silent ?? chip ?? page.ways.find(picks) ?? named(opened) ?? page.ways[0]!;
}

/** Inputs of any worksheet of the page, so that one can be typed that picks another worksheet. */
export function fieldOf(describe: Describe, page: Page, way: Way, key: string): Field | undefined {
  for (const w of [way, ...page.ways]) {
    const f = sheetOf(describe, w.sheet)?.inputs.find((i) => i.key === key);
    if (f) return f;
  }
  return undefined;
}

export const sheetOf = (describe: Describe, name: string): Sheet | undefined =>
  describe.worksheets.find((s) => s.name === name);

/** The page that a worksheet stands on. */
export const pageOf = (describe: Describe, name: string): Page | undefined =>
  describe.pages.find((p) => p.ways.some((w) => w.sheet === name));

/** Inputs on the drawing of another way of the same worksheet: they are not asked in this one. */
function elsewhere(page: Page, way: Way): Set<string> {
  const own = new Set(boxesOf(way).map((b) => b.key));
  return new Set(
    page.ways
      .filter((w) => w !== way && w.sheet === way.sheet)
      .flatMap((w) => boxesOf(w).map((b) => b.key))
      .filter((k) => !own.has(k)),
  );
}

/** What is typed, as far as a worksheet asks for it, with the choices that come with its way. */
export function inputsOf(sheet: Sheet, texts: Readonly<Texts>, page: Page, way: Way): Texts {
  const not = elsewhere(page, way);
  const taken = sheet.inputs.filter((i) => typed(texts, i.key) && !not.has(i.key));
  return {
    ...Object.fromEntries(taken.map((i) => [i.key, texts[i.key]!])),
    ...Object.fromEntries(pairsOf(way.sets)),
  };
}

/** What is typed once a way's chip is touched: with its choices, and without those of the others. */
export function picked(page: Page, way: Way, texts: Readonly<Texts>): Texts {
  const next = { ...texts };
  for (const w of page.ways) if (w.sheet === way.sheet) for (const [k] of pairsOf(w.sets)) delete next[k];
  // The hole that was touched is another one in another pattern.
  delete next["at"];
  return { ...next, ...Object.fromEntries(pairsOf(way.sets)) };
}

const alike = (a: Field, b: Field): boolean =>
  a.kind === b.kind &&
  a.columns?.length === b.columns?.length &&
  (!a.options || !b.options || a.options.some((o) => b.options!.some((other) => other.key === o.key)));

/** Keys that inputs of several worksheets of a page have that are not alike: their texts are kept apart. */
export function clashesOf(describe: Describe, page: Page): string[] {
  const seen = new Map<string, Field>();
  const out = new Set<string>();
  for (const w of page.ways)
    for (const f of sheetOf(describe, w.sheet)?.inputs ?? []) {
      const other = seen.get(f.key);
      if (other && !alike(other, f)) out.add(f.key);
      seen.set(f.key, f);
    }
  return [...out];
}

const moved = (texts: Readonly<Texts>, names: (readonly [from: string, to: string])[]): Texts => {
  const next = { ...texts };
  for (const [from, to] of names) {
    const text = next[from];
    if (text === undefined) continue;
    delete next[from];
    next[to] = text;
  }
  return next;
};

/** The texts of a worksheet by names that no other one of its page has. */
export const aside = (texts: Readonly<Texts>, clashes: readonly string[], sheet: string): Texts =>
  moved(
    texts,
    clashes.map((k) => [k, `${sheet}.${k}`] as const),
  );

/** The texts by the keys that the worksheet itself has. */
export const onto = (texts: Readonly<Texts>, clashes: readonly string[], sheet: string): Texts =>
  moved(
    texts,
    clashes.map((k) => [`${sheet}.${k}`, k] as const),
  );

/** Inputs that stand neither on the drawing nor under it; with them those that it leaves out. */
export function restOf(sheet: Sheet, page: Page, way: Way, none: readonly string[] = []): Field[] {
  const shown = new Set([
    ...boxesOf(way).flatMap((b) => (none.includes(b.key) ? [] : [b.key])),
    ...words(way.chips),
    ...words(way.list),
    ...elsewhere(page, way),
    ...page.ways.filter((w) => w.sheet === way.sheet).flatMap((w) => pairsOf(w.sets).map(([k]) => k)),
  ]);
  return sheet.inputs.filter((i) => !shown.has(i.key));
}

/**
 * Boxes of what an answer asks for that has no place on the page, as figures of one's own: they stand
 * there once they are asked for, and as long as something is typed.
 */
export function askedFor(
  sheet: Sheet,
  page: Page,
  way: Way,
  texts: Readonly<Texts>,
  wanted: string,
  before: ReadonlySet<string>,
): Box[] {
  const key = (f: Field): string => `${sheet.name}.${f.key}`;
  return restOf(sheet, page, way)
    .filter((f) => f.kind !== "choice" && (f.key === wanted || (before.has(key(f)) && typed(texts, f.key))))
    .map((f) => ({ key: f.key, quiet: false }));
}

/** Whether a box still wants a value: nothing is typed, and nothing is usual there. */
export const isOpen = (box: Box, field: Field | undefined, texts: Readonly<Texts>): boolean =>
  !box.quiet && !typed(texts, box.key) && !field?.default;

/** The way's typical inputs with their units written out, as they are typed in either system. */
export function typical(sheet: Sheet, unit: UnitSystem, way?: Way): Texts {
  return Object.fromEntries(
    (way?.like ? pairsOf(way.like) : sheet.sample).map(([key = "", text = ""]) => {
      const f = sheet.inputs.find((i) => i.key === key);
      return [key, unit === "in" || !f ? text : pinned(f, text)];
    }),
  );
}

function pinned(f: Field, text: string): string {
  if (f.kind === "list") {
    const u = f.columns?.[0]?.units?.in ?? "";
    return splitList(text)
      .map((x) => pinNumber(x, u))
      .join(", ");
  }
  if (f.kind === "table") {
    const columns = f.columns ?? [];
    return splitTable(text, columns.length)
      .map((row) => {
        const units = columns.map((c) => c.units);
        return row.map((c, j) => (units[j] ? pinNumber(c, units[j].in) : c)).join(",");
      })
      .join("; ");
  }
  return f.units && f.units.in !== f.units.mm && f.kind !== "drill" ? pinNumber(text, f.units.in) : text;
}

/** The name in an empty box. */
export const boxName = (f: Field): string => f.box ?? f.label.toLowerCase();

/** Whether the rows of a list go on from what was taken from another way's answer: a round each. */
export const goesOn = (way: Way, list: string): boolean => takesOf(way).some(([input]) => input === list);

/** Inputs that one worksheet takes from another's answer: input, worksheet, result. */
export const takesOf = (way: Way): [input: string, sheet: string, result: string][] =>
  words(way.takes).map((t) => {
    const [input = "", from = ""] = t.split("=");
    const [sheet = "", result = ""] = from.split(".");
    return [input, sheet, result];
  });
