/**
 * What stands on which page of paper. Heights are pixels of paper, 96 to the inch, rather too large
 * than too small: what does not fit goes on, by whole rows, on a page of its own. Pure.
 */
import { wide } from "../drawing/pad";

/** One row with its height in its column, and over the whole width of a page where that is another. */
export interface Row<T> {
  high: number;
  flat?: number;
  el: T;
}

/** Rows under one heading. */
export interface Block<T> {
  key: string;
  /** Height of the heading and what goes with it. */
  head: number;
  rows: Row<T>[];
}

const sum = (rows: readonly Row<unknown>[]): number => rows.reduce((n, r) => n + r.high, 0);

export const heightOf = ({ head, rows }: Block<unknown>): number => (rows.length > 0 ? head + sum(rows) : 0);

/** As many rows as fit into a room, and those that go on elsewhere. */
export function fill<T>(block: Block<T>, room: number): [Block<T>, Block<T>] {
  let n = 0;
  for (let left = room - block.head; n < block.rows.length; n++) if ((left -= block.rows[n]!.high) < 0) break;
  return [
    { ...block, rows: block.rows.slice(0, n) },
    { ...block, rows: block.rows.slice(n) },
  ];
}

const flattened = <T>(block: Block<T>): Block<T> => ({
  ...block,
  rows: block.rows.map((r) => ({ ...r, high: r.flat ?? r.high })),
});

/** Blocks on as many pages as they need. No heading stands without a row under it. */
export function pages<T>(blocks: readonly Block<T>[], room: number): Block<T>[][] {
  const out: Block<T>[][] = [];
  let left = 0;
  for (let block of blocks.map(flattened)) {
    while (block.rows.length > 0) {
      let [now, rest] = fill(block, left);
      if (now.rows.length === 0) {
        out.push([]);
        left = room;
        [now, rest] = fill(block, room);
        // A row higher than a page breaks where the browser breaks it.
        if (now.rows.length === 0) [now, rest] = fill(block, Infinity);
      }
      out.at(-1)!.push(now);
      left -= heightOf(now);
      block = rest;
    }
  }
  return out;
}

/** A line of what flows: where it stands, and what goes with it. */
export interface Line {
  top: number;
  bottom: number;
  /** Height of the table's head that is repeated over it at the top of a sheet. */
  again: number;
  /** A heading: never the last on a sheet. */
  keep: boolean;
  /** Begins a sheet in any case. */
  anew: boolean;
}

/** Which lines begin a sheet. What is higher than a sheet has one for itself and its heading. */
export function breaks(all: readonly Line[], room: number): number[] {
  const out = all.length > 0 ? [0] : [];
  for (let i = 1; i < all.length; i++) {
    const { anew, bottom } = all[i]!;
    const start = out.at(-1)!;
    const { top, again } = all[start]!;
    if (!anew && bottom - top + again <= room) continue;
    let at = i;
    while (!anew && at > start && all[at - 1]!.keep) at--;
    if (at > start) out.push(at);
  }
  return out;
}

/** The width of a text in pixels; where no browser measures it, estimated. */
export type Measure = (text: string, em: number, bold: boolean) => number;
export const guess: Measure = (text, em, bold) => (wide(text, bold ? "d-small" : "d-name") * em) / 13;

/** How many lines a text takes in a width, in letters of a height. */
export function lines(
  text: string,
  width: number,
  how: { em?: number; bold?: boolean; by?: Measure } = {},
): number {
  const { em = 13, bold = false, by = guess } = how;
  let n = 0;
  for (const line of text.split("\n")) {
    let at = "";
    n++;
    for (const word of line.split(" ")) {
      const on = at ? `${at} ${word}` : word;
      if (at && by(on, em, bold) > width) {
        n++;
        at = word;
      } else at = on;
      // A word wider than a line is broken.
      for (let w = by(at, em, bold); w > width; w -= width) {
        n++;
        at = at.slice(-Math.max(1, Math.floor((at.length * (w - width)) / w)));
      }
    }
  }
  return n;
}

/** A long text in pieces that are not too high to stand together. */
export function pieces(text: string, most = 600): string[] {
  return text.split("\n").flatMap((line) => {
    const out: string[] = [];
    for (const word of line.split(" ")) {
      const last = out.at(-1);
      if (last !== undefined && last.length + word.length < most) out[out.length - 1] = `${last} ${word}`;
      else out.push(word);
    }
    return out;
  });
}

/** A torque by halves and whole, to two figures, with its unit; undefined where it is no number. */
export function halves(torque: string): { half: string; full: string; unit: string } | undefined {
  const m = /^(\d*\.?\d+) ?(.*)$/.exec(torque.trim());
  if (!m || !(Number(m[1]) > 0)) return undefined;
  return { half: String(Number((Number(m[1]) / 2).toPrecision(2))), full: m[1]!, unit: m[2]! };
}

/** Sizes without the unit that all of them have; a heading says it once. */
export function bare(sizes: readonly string[]) {
  const units = new Set(sizes.filter(Boolean).map((s) => /\d (in|mm|thou|um)$/.exec(s)?.[1] ?? ""));
  const unit = units.size === 1 ? [...units][0]! : "";
  return {
    unit,
    cut: (s: string) => (unit && s.endsWith(` ${unit}`) ? s.slice(0, -unit.length - 1) : s),
    of: (head: string) => (unit ? `${head}, ${unit}` : head),
  };
}
