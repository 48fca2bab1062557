import { useEffect, useState } from "preact/hooks";
import { inPocket, putInPocket } from "./pocket";

/** What a person chose about this phone; kept in local storage, read before first paint. */
export interface Prefs {
  unit: "in" | "mm";
  /** A comma typed in a number is its decimal point. */
  comma: boolean;
  glove: boolean;
  hand: "right" | "left";
  look: "auto" | "bright" | "dim";
  keypad: "touch" | "always" | "never";
  /**
   * Milliseconds within which a second hit on the same key is dropped in gloves: one bounce of a
   * finger, less than any meant hit takes. 0 lets all through.
   */
  double: number;
  /** Comma list of the drill sets in the shop, "" for the usual. */
  drills: string;
  /** Who works on this phone, as it stands beside what they write; "" for the phone's own name. */
  who: string;
  /**
   * What a bare number means where a reading is typed: "thou" is thousandths, or micrometres in a
   * metric book.
   */
  bare: "thou" | "in" | "mm";
  /** Readings are said aloud as they are taken. */
  speak: boolean;
}

const KEY = "datumbook.prefs";
const BOUNCE = 60;
const first: Prefs = {
  unit: "in",
  comma: false,
  glove: false,
  hand: "right",
  look: "auto",
  keypad: "touch",
  double: BOUNCE,
  drills: "",
  who: "",
  bare: "thou",
  speak: false,
};

function read(): Prefs {
  const kept = Object(inPocket(KEY)) as Record<string, unknown>;
  const known = Object.entries(first).filter(([key, like]) => typeof kept[key] === typeof like);
  const all: Prefs = { ...first, ...Object.fromEntries(known.map(([key]) => [key, kept[key]])) };
  return { ...all, double: Math.min(all.double, BOUNCE) }; // longer ones could once be chosen
}

let now = read();
const listeners = new Set<() => void>();

export const prefs = (): Prefs => now;

/** Whether nothing was chosen on this phone so far. */
export const nothingChosen = (): boolean => inPocket(KEY) === undefined;

export function setPrefs(change: Partial<Prefs>): void {
  now = { ...now, ...change };
  putInPocket(KEY, now);
  dress();
  for (const tell of listeners) tell();
}

export function usePrefs(): Prefs {
  const [, draw] = useState(0);
  useEffect(() => {
    const tell = () => draw((n) => n + 1);
    listeners.add(tell);
    return () => void listeners.delete(tell);
  }, []);
  return now;
}

// Another window of the app may change them too.
addEventListener("storage", (e) => {
  if (e.key !== KEY) return;
  now = read();
  dress();
  for (const tell of listeners) tell();
});

/** Sets theme, glove and hand on the root element, where the style sheets find them. */
export function dress(): void {
  const root = document.documentElement;
  const dark = matchMedia("(prefers-color-scheme: dark)").matches;
  const look = now.look === "auto" ? (dark ? "dim" : "bright") : now.look;
  root.dataset["look"] = look;
  root.dataset["glove"] = now.glove ? "yes" : "no";
  root.dataset["hand"] = now.hand;
  const theme = document.querySelector('meta[name="theme-color"]');
  theme?.setAttribute("content", look === "dim" ? "#20408f" : "#1c3c94");
}

matchMedia("(prefers-color-scheme: dark)").addEventListener("change", dress);
