// Where one was: how far the page was scrolled, which folds stood open, what was typed into a search
// field; kept for each entry of the window's history, so that Back returns to the same place, after
// a reload as well.
import { useRef, useState } from "preact/hooks";

interface Place {
  y: number;
  /** Folds by their heading, whether open. */
  folds: Record<string, boolean>;
  /** What screens keep here, by a name of theirs. */
  kept: Record<string, unknown>;
  /** The page that one came from, by its address. */
  from: string;
}

/** What stands in the history's own state: the entry's number, and how many lie behind it. */
interface Stamp {
  here: number;
  behind: number;
}

const KEY = "datumbook.here";
/** So many entries are remembered. */
const most = 60;

const places = new Map<number, Place>(remembered());
let now: Stamp = { here: 0, behind: 0 };
let place: Place = { y: 0, folds: {}, kept: {}, from: "" };
let shown = "";

function remembered(): [number, Place][] {
  try {
    const kept = JSON.parse(sessionStorage.getItem(KEY) ?? "[]") as [number, Partial<Place>][];
    return kept.map(([n, p]) => [
      n,
      { y: Number(p.y) || 0, folds: { ...p.folds }, kept: { ...p.kept }, from: String(p.from ?? "") },
    ]);
  } catch {
    return []; // switched off, or not written by this app
  }
}

function remember(): void {
  const newest = [...places].sort(([a], [b]) => a - b).slice(-most);
  try {
    sessionStorage.setItem(KEY, JSON.stringify(newest));
  } catch {
    // only this window's memory has it
  }
}

/** Folds of the page with a name each, that of its heading, and a number where two have the same. */
function folds(): [string, HTMLDetailsElement][] {
  const met = new Map<string, number>();
  return [...document.querySelectorAll<HTMLDetailsElement>("main details")].map((d) => {
    const name = d.querySelector("summary")?.textContent ?? "";
    const n = (met.get(name) ?? 0) + 1;
    met.set(name, n);
    return [`${name} ${n}`, d];
  });
}

/** Notes how the page stands. Called before another takes its place. */
export function leave(): void {
  place.y = scrollY;
  place.folds = Object.fromEntries(folds().map(([name, d]) => [name, d.open]));
  remember();
}

/** Takes note of the page just come to; true where one has been on it before. */
export function arrive(): boolean {
  const state = Object(history.state) as Partial<Stamp>;
  const known = typeof state.here === "number" ? places.get(state.here) : undefined;
  const from = shown;
  shown = location.hash;
  if (known) {
    now = { here: state.here!, behind: Number(state.behind) || 0 };
    place = known;
    return true;
  }
  const first = now.here === 0;
  now = { here: Math.max(0, ...places.keys()) + 1, behind: first ? 0 : now.behind + 1 };
  place = { y: 0, folds: {}, kept: {}, from };
  places.set(now.here, place);
  history.replaceState({ ...state, ...now }, "");
  return false;
}

/** Notes the place before the window goes away, and keeps the browser from scrolling by itself. */
export function watchPlaces(): void {
  history.scrollRestoration = "manual";
  addEventListener("pagehide", leave);
  document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && leave());
}

/**
 * Brings the page to where it was. It comes bit by bit, so this goes on as it grows, until a hand
 * touches it or it had time enough. Gives the function that ends it.
 */
export function restore(main: HTMLElement): () => void {
  const { y, folds: were } = place;
  const stood = new WeakSet<HTMLDetailsElement>();
  const put = () => {
    for (const [name, d] of folds()) {
      if (stood.has(d) || were[name] === undefined) continue;
      stood.add(d);
      d.open = were[name];
    }
    if (document.documentElement.scrollHeight - innerHeight >= y - 1)
      scrollTo({ top: y, behavior: "instant" });
  };
  const watch = new ResizeObserver(put);
  const kinds = ["pointerdown", "touchstart", "wheel", "keydown"] as const;
  const end = () => {
    clearTimeout(late);
    watch.disconnect();
    for (const kind of kinds) removeEventListener(kind, end, true);
  };
  const late = setTimeout(end, 10_000);
  for (const kind of kinds) addEventListener(kind, end, { capture: true, passive: true });
  watch.observe(main);
  put();
  return end;
}

/** Goes back in this window; where nothing lies behind, as after a link from elsewhere, to `else`. */
export function goBack(instead: string): void {
  if (now.behind > 0) history.back();
  else location.hash = instead;
}

/** Shows an address in place of the one shown: no step of the way back leads to that. */
export function goOver(to: string): void {
  history.replaceState(history.state, "", to);
  dispatchEvent(new HashChangeEvent("hashchange"));
}

/** Closes what was opened over a page: back where one came from it, else the page takes its place. */
export function goUp(page: string): void {
  if (place.from === page && now.behind > 0) history.back();
  else goOver(page);
}

/** State that stays with the page's entry in the history. */
export function useHere<T extends string | number | boolean>(name: string, first: T): [T, (to: T) => void] {
  const mine = useRef(place.kept);
  const [value, set] = useState<T>(() => {
    const kept = mine.current[name];
    return typeof kept === typeof first ? (kept as T) : first;
  });
  const keep = (to: T) => {
    mine.current[name] = to;
    set(to);
  };
  return [value, keep];
}
