/** The keypad's text editing: pure, so that it is tested without a screen. */

/** A field's state: its text, the selection, and earlier texts for Undo (newest last). */
export interface Entry {
  readonly text: string;
  readonly from: number;
  readonly to: number;
  readonly past: readonly string[];
}

const PAST = 50;

export const entry = (text: string, from = text.length, to = from, past: readonly string[] = []): Entry => ({
  text,
  from,
  to,
  past,
});

function change(e: Entry, text: string, caret: number): Entry {
  if (text === e.text) return { ...e, from: caret, to: caret };
  return { text, from: caret, to: caret, past: [...e.past, e.text].slice(-PAST) };
}

/** Puts characters in place of the selection. */
export function type(e: Entry, what: string): Entry {
  return change(e, e.text.slice(0, e.from) + what + e.text.slice(e.to), e.from + what.length);
}

/** Rubs out the selection, else the character before the caret, else a whole unit there. */
export function back(e: Entry): Entry {
  if (e.from !== e.to) return change(e, e.text.slice(0, e.from) + e.text.slice(e.to), e.from);
  if (e.from === 0) return e;
  const before = e.text.slice(0, e.from);
  const unit = /\s*(thou|mm|in)$/.exec(before);
  const cut = unit ? before.length - unit[0].length : before.length - 1;
  return change(e, e.text.slice(0, cut) + e.text.slice(e.from), cut);
}

export const clear = (e: Entry): Entry => change(e, "", 0);

/** Undo: the text before; the caret goes to the end. */
export function undo(e: Entry): Entry {
  const text = e.past.at(-1);
  if (text === undefined) return e;
  return { text, from: text.length, to: text.length, past: e.past.slice(0, -1) };
}

/** Changes the sign of the whole number: -1-3/8 is minus one and three eighths. */
export function sign(e: Entry): Entry {
  const lead = /^\s*/.exec(e.text)?.[0].length ?? 0;
  const first = e.text[lead];
  if (first === "-" || first === "+") {
    const text = (first === "+" ? "-" : "") + e.text.slice(lead + 1);
    return change(e, text, Math.max(0, e.to + text.length - e.text.length));
  }
  return change(e, "-" + e.text.slice(lead), e.to - Math.min(lead, e.to) + 1);
}

/**
 * Puts a unit after the number, in place of one already there; the same unit again takes it off.
 */
export function unit(e: Entry, name: string, all: readonly string[]): Entry {
  const text = e.text.trimEnd();
  if (text === "") return e;
  const had = unitOf(text, all);
  const bare = had ? text.slice(0, -had.length).trimEnd() : text;
  if (bare === "") return e;
  const next = had === name ? bare : `${bare} ${name}`;
  return change(e, next, next.length);
}

/** Puts the next of some units after the number, after the last none. */
export function units(e: Entry, names: readonly string[], all: readonly string[]): Entry {
  const at = names.indexOf(unitOf(e.text, all));
  return unit(e, names[Math.min(at + 1, names.length - 1)]!, all); // the last, hit again, comes off
}

/** The unit that a text ends with; "" where it says none. */
export const unitOf = (text: string, all: readonly string[]): string =>
  [...all, '"']
    .sort((a, b) => b.length - a.length)
    .find(
      (u) =>
        text.trimEnd().toLowerCase().endsWith(u.toLowerCase()) &&
        /[\d.\s/"]$/.test(text.trimEnd().slice(0, -u.length)),
    ) ?? "";

/** Adds a half, as a needle shows it; again takes it off. Where a bare number is metric it is .5. */
export function half(e: Entry, metric: boolean): Entry {
  const all = e.to > e.from && e.to - e.from === e.text.length; // what stood there is replaced
  const [, mark = "", body = ""] = /^\s*([-+]?)(.*?)\s*$/.exec(all ? "" : e.text)!;
  const had = /^(?:(\d+)[- ])?1\/2$|^(\d*)\.5$/.exec(body);
  const added = metric ? `${body}.5` : body ? `${body}-1/2` : "1/2";
  const next = had ? (had[1] ?? had[2] ?? "") : /^\d*$/.test(body) ? added : undefined;
  return next === undefined ? e : change(e, mark + next, mark.length + next.length);
}

/** Puts a text in place of all. */
export const replace = (e: Entry, text: string): Entry => change(e, text, text.length);

const SERIES = /\s*(UNEF|UNC|UNF|UNS|UN)\b(-?[123][AB])?/i;
const CLASS = /-(?:[123][ABab]|[3-9][GHgheEfF](?:[3-9][gh])?)$/;

/** Puts a thread series after the size, keeping the class; the same series again takes it off. */
export function series(e: Entry, name: string): Entry {
  if (e.text.trim() === "") return e;
  const had = SERIES.exec(e.text);
  if (had) {
    const tail = had[2] ?? "";
    const same = had[1]?.toUpperCase() === name;
    const text = e.text.replace(SERIES, same ? tail : ` ${name}${tail}`);
    return change(e, text, text.length);
  }
  const cls = CLASS.exec(e.text)?.[0] ?? "";
  const text = `${e.text.slice(0, e.text.length - cls.length).trimEnd()} ${name}${cls}`;
  return change(e, text, text.length);
}

/** Puts a class of fit at the end, in place of one there; the same class again takes it off. */
export function fit(e: Entry, name: string): Entry {
  const text = e.text.trimEnd();
  if (text === "") return e;
  const had = CLASS.exec(text)?.[0] ?? "";
  const bare = text.slice(0, text.length - had.length);
  const next = had.toLowerCase() === `-${name}`.toLowerCase() ? bare : `${bare}-${name}`;
  return change(e, next, next.length);
}

/** Lets a hit through unless the same key was hit less than ms ago. */
export function doubleGuard(): (key: string, at: number, ms: number) => boolean {
  let last = "";
  let when = -Infinity;
  return (key, at, ms) => {
    const slip = key === last && at - when < ms;
    if (!slip) {
      last = key;
      when = at;
    }
    return !slip;
  };
}
