// The pages and the stages they stand in, as Start and the search show them. The description brings
// them; until it is here, as it said them the last time.
import { useEffect, useState } from "preact/hooks";
import type { Describe, Page, Stage, Way } from "../engine/contract.gen";
import { idle, trade } from "../text/trade";
import type { Doc } from "../records/fields";
import { useApp } from "./context";
import { inPocket, putInPocket } from "./pocket";

type KnownPage = Pick<Page, "name" | "title" | "stages" | "icon"> & { ways: Pick<Way, "sheet" | "chip">[] };

export interface Known {
  stages: Stage[];
  pages: KnownPage[];
}

/** A page as a key leads to it: a worksheet of it, its name, its picture. */
export interface Entry {
  sheet: string;
  title: string;
  icon: string;
  /** Its stage, whose picture stands for it where it has none. */
  stage: string;
  /** Every worksheet of the page. */
  sheets: string[];
}

const KEY = "datumbook.pages";

/** Only what a key shows: the rest of the description is long. */
const brief = ({ stages, pages }: Describe): Known => ({
  stages: stages.map(({ key, title }) => ({ key, title })),
  pages: pages.map(({ name, title, stages: at, icon, ways }) => ({
    name,
    title,
    stages: at,
    ...(icon && { icon }),
    ways: ways.map(({ sheet, chip }) => ({ sheet, ...(chip && { chip }) })),
  })),
});

function before(): Known | undefined {
  const kept = Object(inPocket(KEY)) as Partial<Known>;
  const pages = Array.isArray(kept.pages) ? kept.pages : [];
  const whole = pages.every((p) => p?.name && p.title && Array.isArray(p.stages) && Array.isArray(p.ways));
  return Array.isArray(kept.stages) && pages.length > 0 && whole ? (kept as Known) : undefined;
}

/** undefined before they are known on this phone for the first time. */
export function usePages(): Known | undefined {
  const { describe } = useApp();
  const [first] = useState(() => (describe ? undefined : before()));
  const [now, set] = useState(() => describe && brief(describe));
  useEffect(() => {
    if (!describe) return;
    const known = brief(describe);
    set(known);
    if (JSON.stringify(before()) !== JSON.stringify(known)) putInPocket(KEY, known);
  }, [describe]);
  return now ?? first;
}

/** What a stage shows first: what is used most. Pages that are not named here come after these. */
const order: Record<string, string> = {
  holes: "hole bolts clear engage",
  line: "tram sweep shim square chain bar lever",
  where: "middle skew bolts cleanup",
  reach: "reach daylight foul",
  hold: "hold match engage",
  cut: "speed facing power",
  lift: "sling weigh",
  fits: "clear room fit dowel",
  bench: "repeat heat blocks divide taper triangle arc sure",
};

/** Worksheets that are opened by a key of their own though they stand on another's page. */
const icons: Record<string, string> = { daylight: "heights" };

const onPage = (p: KnownPage, sheet: string): boolean => p.ways.some((w) => w.sheet === sheet);

/** The key to a worksheet: that of its page, named for its way where it is not the first. */
export function entryOf({ pages }: Known, sheet: string): Entry | undefined {
  const page = pages.find((p) => p.name === sheet) ?? pages.find((p) => onPage(p, sheet));
  if (!page) return undefined;
  const chip = page.name === sheet ? "" : page.ways.find((w) => w.sheet === sheet)?.chip;
  return {
    sheet,
    title: page.name !== sheet && icons[sheet] && chip ? chip : page.title,
    icon: icons[sheet] ?? page.icon ?? page.name,
    stage: page.stages[0] ?? "",
    sheets: page.ways.map((w) => w.sheet),
  };
}

/** The keys of a stage, what is used most at the front. */
export function entriesOf(known: Known, stage: string): Entry[] {
  const named = (order[stage] ?? "").split(" ").filter((sheet) => known.pages.some((p) => onPage(p, sheet)));
  const rest = known.pages.filter(
    (p) => p.stages.includes(stage) && !named.some((sheet) => onPage(p, sheet)),
  );
  return [...named, ...rest.map((p) => p.name)].flatMap((sheet) => entryOf(known, sheet) ?? []);
}

/** The worksheets as the index of the records takes them: each by its page's title. */
export const pageDocs = ({ pages, worksheets }: Describe): Doc[] =>
  worksheets.map(({ name, title, question }) => {
    const says = (v: string) => [{ id: "-", v }];
    const page = pages.find((p) => onPage(p, name))?.title ?? title;
    const f = { name: says(page), words: says(trade[name] ?? ""), asks: says(`${title}. ${question}`) };
    return { _id: `${SHEET}:${name}`, type: SHEET, f };
  });

/** What a worksheet is in the index. */
export const SHEET = "sheet";

/** "tapping", "tapped" and "taps" are all about a tap. */
function stem(word: string): string {
  const cut = word.replace(/(ing|ed|es|s)$/, "");
  return cut.length < 3 ? word : cut.replace(/([b-df-hj-np-tv-z])\1$/, "$1");
}

const wordsOf = (text: string): string[] =>
  text
    .toLowerCase()
    .split(/[^\p{L}\p{N}.#/-]+/u)
    .filter(Boolean);

/** A size, as 1/2-13, M12, 5/16 or 1.250, tells of no page by itself. */
const isSize = (word: string): boolean => /^[#.]?\d|^m\d/.test(word);

/** Nothing but sizes. */
export const sizesOnly = (query: string): boolean => wordsOf(query).every(isSize);

/** How well a word is met in a list: fully counts more than in its beginning. */
function met(word: string, list: readonly string[], whole: number, begun: number): number {
  const short = stem(word);
  if (list.some((one) => one === word || stem(one) === short)) return whole;
  const begins = (one: string) => one.startsWith(short) || (one.length > 3 && word.startsWith(one));
  return word.length > 1 && list.some(begins) ? begun : 0;
}

export interface PagesFound {
  list: Entry[];
  /** Whether every word of the question was met; else it may be about something else. */
  whole: boolean;
}

/**
 * The pages that a question is about, the likeliest first: by their titles, by what their
 * worksheets ask, and by what the trade calls them.
 */
export function findPages(known: Known, query: string, describe?: Describe): PagesFound {
  const all = wordsOf(query);
  const asked = all.filter((word) => !isSize(word) && !idle.includes(word));
  const told = asked.length > 0 ? asked : all.some(isSize) ? ["thread"] : all;
  const found: { sheet: string; page: KnownPage; hits: number; score: number; at: number }[] = [];
  known.pages.forEach((page, at) => {
    const title = wordsOf(page.title);
    for (const { sheet } of page.ways) {
      const said = (trade[sheet] ?? "").split(" ");
      const own = describe?.worksheets.find((s) => s.name === sheet);
      const asks = own ? wordsOf(`${own.title} ${own.question} ${sheet}`) : [sheet];
      const scores = told.map((word) => {
        const front = 3 - Math.min(3, Math.max(0, said.indexOf(word)) / 2);
        return Math.max(met(word, said, 8 + front, 4), met(word, title, 9, 5), met(word, asks, 6, 3));
      });
      const hits = scores.filter((s) => s > 0).length;
      const score = scores.reduce((sum, s) => sum + s, 0);
      if (hits > 0) found.push({ sheet, page, hits, score, at });
    }
  });
  found.sort((a, b) => b.hits - a.hits || b.score - a.score || a.at - b.at);
  const { hits: best = 0, score: top = 0 } = found[0] ?? {};
  const seen = new Set<KnownPage>();
  const list = found
    .filter(({ page, hits, score }) => hits === best && score * 2 > top && !seen.has(page) && seen.add(page))
    .slice(0, 6)
    .flatMap(({ sheet }) => entryOf(known, sheet) ?? []);
  return { list, whole: best === told.length };
}
