// What was typed on this phone the last time and seldom changes: the metal, the tap, the machine's
// dials. It stands there again where no setup says otherwise.
import type { Page } from "../engine/contract.gen";
import { inPocket, putInPocket } from "../screen/pocket";
import { typed, words, type Texts } from "./ways";

const KEY = "datumbook.habits";

const all = (): Record<string, unknown> => Object(inPocket(KEY)) as Record<string, unknown>;

/** The inputs that a page remembers; of those that are not alike each by its worksheet's own name. */
const keysOf = (page: Page, clashes: readonly string[]): string[] => [
  ...new Set(
    page.ways.flatMap((w) => words(w.habit).map((k) => (clashes.includes(k) ? `${w.sheet}.${k}` : k))),
  ),
];

/** What a page had the last time. */
export function habitsOf(page: Page, clashes: readonly string[]): Texts {
  const kept = Object(all()[page.name]) as Record<string, unknown>;
  return Object.fromEntries(
    keysOf(page, clashes).flatMap((key) => {
      const text = kept[key];
      return typeof text === "string" && text ? [[key, text]] : [];
    }),
  );
}

/** Remembers what a page has now, once it has answered; what was emptied is forgotten. */
export function rememberHabits(page: Page, clashes: readonly string[], texts: Readonly<Texts>): void {
  const keys = keysOf(page, clashes);
  if (keys.length === 0) return;
  const now = Object.fromEntries(keys.flatMap((key) => (typed(texts, key) ? [[key, texts[key]!]] : [])));
  putInPocket(KEY, { ...all(), [page.name]: now });
}
