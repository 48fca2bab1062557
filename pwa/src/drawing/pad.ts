/** The canvas of the drawings: lines and text in pixels, labels that avoid each other. */
import type { Reader } from "./read";
import { fitScale, path, px, spread } from "./scale";

export type Point = readonly [number, number];

export interface Mark {
  /** Class: how the line or face looks. */
  k: string;
  d: string;
  /** Name of the hatching laid over it. */
  lining?: string | undefined;
  /** Id of the clip path it is kept within. */
  within?: string | undefined;
}

interface Word {
  x: number;
  y: number;
  s: string;
  k: string;
  a: "start" | "middle" | "end";
}

export interface Picture {
  w: number;
  h: number;
  marks: Mark[];
  words: Word[];
  says: string;
}

export interface View {
  /** Pixels per inch. */
  s: number;
  x: (n: number) => number;
  y: (n: number) => number;
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Left, top, right, bottom. */
export type Box = readonly [number, number, number, number];

export const WIDTH = 360;
/** Where the column of labels starts, and the room left of it. */
const TAGS = 240;
export const ROOM = 216;

const EM: Record<string, number> = { "d-size": 16, "d-small": 13, "d-name": 13, "d-warn": 15, "d-num": 11 };

/** Estimated width of a text, not less than what the phone's own sans serif needs. */
export function wide(s: string, k: string): number {
  const bold = k === "d-size" || k === "d-small" || k === "d-warn";
  let w = 0;
  for (const c of s)
    w += /[ .,:;'|il!]/.test(c) ? 0.34 : /[mwMW%+]/.test(c) ? 0.95 : /[A-Z]/.test(c) ? 0.72 : 0.62;
  return w * (EM[k] ?? 13) * (bold ? 1.12 : 1);
}

export function boxOf(w: Word): Box {
  const em = EM[w.k] ?? 13;
  const long = wide(w.s, w.k);
  const left = w.a === "start" ? w.x : w.a === "end" ? w.x - long : w.x - long / 2;
  return [left, w.y - em * 0.78, left + long, w.y + em * 0.22];
}

const apart = (a: Box, b: Box, gap = 2): boolean =>
  a[2] + gap <= b[0] || b[2] + gap <= a[0] || a[3] + gap <= b[1] || b[3] + gap <= a[1];

/** Breaks a sentence into lines no wider than a width. */
export function wrap(s: string, k: string, width: number): string[] {
  const out: string[] = [];
  for (const word of s.split(" ")) {
    const last = out.at(-1);
    if (last !== undefined && wide(`${last} ${word}`, k) <= width) out[out.length - 1] = `${last} ${word}`;
    else out.push(word);
  }
  return out;
}

/** Cuts a name that is too long to stand beside its line. */
export function short(s: string, k: string, width: number): string {
  if (wide(s, k) <= width) return s;
  let n = s.length;
  while (n > 1 && wide(`${s.slice(0, n)}…`, k) > width) n--;
  return `${s.slice(0, n).trimEnd()}…`;
}

/** A round number, 1, 2 or 5 with noughts, that enlarges by no more than asked: never under 1. */
export function times(most: number): number {
  if (!(most > 1) || !Number.isFinite(most)) return 1;
  const ten = 10 ** Math.floor(Math.log10(most));
  return ten * (most / ten >= 5 ? 5 : most / ten >= 2 ? 2 : 1);
}

const circle = (x: number, y: number, r: number): string =>
  `M${px(x - r)} ${px(y)}A${px(r)} ${px(r)} 0 1 0 ${px(x + r)} ${px(y)}A${px(r)} ${px(r)} 0 1 0 ${px(x - r)} ${px(y)}Z`;

/** The place at a distance and an angle from another, degrees counter-clockwise from the right. */
export function polar(x: number, y: number, r: number, deg: number): Point {
  const a = (deg * Math.PI) / 180;
  return [x + r * Math.cos(a), y - r * Math.sin(a)];
}

export const span = (list: number[]): [number, number] => [Math.min(...list), Math.max(...list)];

/** Says how many times larger than the rest something is drawn. */
export const drawn = (by: number): string => (by > 1 ? `drawn ${by} times larger` : "to scale");

/** Says how much larger than life a scale is, a CSS pixel being 1/96 in. */
export const life = (s: number): string => drawn(times(s / 96));

/** Part of a circle from one angle to another, degrees counter-clockwise from the right. */
export function arc(x: number, y: number, r: number, from: number, to: number): string {
  const at = (a: number) => polar(x, y, r, a).map(px).join(" ");
  const big = Math.abs(to - from) > 180 ? 1 : 0;
  return `M${at(from)}A${px(r)} ${px(r)} 0 ${big} ${to > from ? 0 : 1} ${at(to)}`;
}

interface Tag {
  from: Point;
  name: string;
  size: string;
}

export class Pad {
  readonly marks: Mark[] = [];
  readonly words: Word[] = [];
  private taken: Box[] = [];
  private tags: Tag[] = [];
  private listed: [string, string, string][] = [];
  private notes: [string, string][] = [];
  private says: string[] = [];
  private low = 0;
  private letters = 0;

  constructor(private readonly r: Reader) {}

  /** A size as it is, or of a key, "=key", what the answer has. */
  private size(s: string): string {
    return s[0] === "=" ? this.r.t(s.slice(1)) : s;
  }

  /**
   * One scale both ways: the sizes x0, y0, x1, y1 fitted into a box, y up, aligned to the top,
   * centred sideways.
   */
  view([x0, y0, x1, y1]: Box, [l, t, r, b]: Box, most = Infinity): View {
    const s = fitScale({ w: x1 - x0, h: y1 - y0 }, { w: r - l, h: b - t }, most) || 1;
    const left = (l + r) / 2 - ((x1 - x0) / 2) * s;
    const x = (n: number): number => left + (n - x0) * s;
    const y = (n: number): number => t + (y1 - n) * s;
    return { s, x, y, left, right: x(x1), top: t, bottom: y(y0) };
  }

  private reach(y: number): void {
    this.low = Math.max(this.low, y);
  }

  line(k: string, ...points: Point[]): void {
    this.marks.push({ k, d: path(points) });
    for (const p of points) this.reach(p[1]);
  }

  face(k: string, points: readonly Point[], lining?: string): void {
    const d = path(points, true);
    this.marks.push({ k, d });
    if (lining) this.marks.push({ k: "", d, lining });
    for (const p of points) this.reach(p[1]);
  }

  box(k: string, x0: number, y0: number, x1: number, y1: number, lining?: string): void {
    this.face(
      k,
      [
        [x0, y0],
        [x1, y0],
        [x1, y1],
        [x0, y1],
      ],
      lining,
    );
  }

  /** Cut metal, as a box. */
  iron(x0: number, y0: number, x1: number, y1: number, lining = "iron"): void {
    this.box("d-metal", x0, y0, x1, y1, lining);
    this.box("d-line", x0, y0, x1, y1);
  }

  /** A ring or a dot that no label may cover. */
  spot(k: string, x: number, y: number, r: number): void {
    this.round(k, x, y, r);
    this.block([x - r - 1, y - r - 1, x + r + 1, y + r + 1]);
  }

  /** A pivot: a triangle under a point. */
  pivot(x: number, y: number): void {
    this.face("d-tool", [
      [x, y],
      [x - 8, y + 14],
      [x + 8, y + 14],
    ]);
    this.block([x - 9, y, x + 9, y + 15]);
  }

  round(k: string, x: number, y: number, r: number, lining?: string): void {
    const d = circle(x, y, r);
    this.marks.push({ k, d });
    if (lining) this.marks.push({ k: "", d, lining });
    this.reach(y + r);
  }

  curve(k: string, d: string, lowest = 0): void {
    this.marks.push({ k, d });
    this.reach(lowest);
  }

  /** An arrowhead with its point at x, y, pointing along dx, dy. */
  head(x: number, y: number, dx: number, dy: number, k = "d-arrow", long = 9): void {
    const n = Math.hypot(dx, dy) || 1;
    const [ux, uy] = [dx / n, dy / n];
    const [bx, by] = [x - ux * long, y - uy * long];
    const half = long * 0.36;
    this.face(k, [
      [x, y],
      [bx - uy * half, by + ux * half],
      [bx + uy * half, by - ux * half],
    ]);
  }

  /** A force or a move: a thick arrow from one point to another. */
  push(x0: number, y0: number, x1: number, y1: number, kind = ""): void {
    const n = Math.hypot(x1 - x0, y1 - y0) || 1;
    this.line(`d-push${kind}`, [x0, y0], [x1 - ((x1 - x0) / n) * 8, y1 - ((y1 - y0) / n) * 8]);
    this.head(x1, y1, x1 - x0, y1 - y0, `d-pushhead${kind}`, 13);
    for (let i = 0; i <= 4; i++) {
      const [x, y] = [x0 + ((x1 - x0) * i) / 4, y0 + ((y1 - y0) * i) / 4];
      this.block([x - 4, y - 4, x + 4, y + 4]);
    }
  }

  /** A dimension line between two places, arrows inside or, where it is short, pointing in. */
  private dimension(a: Point, b: Point): void {
    const n = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
    const [ux, uy] = [(b[0] - a[0]) / n, (b[1] - a[1]) / n];
    const out = n < 22 ? 14 : 0;
    const k = out ? 1 : -1;
    this.line("d-dim", [a[0] - ux * out, a[1] - uy * out], [b[0] + ux * out, b[1] + uy * out]);
    this.head(...a, ux * k, uy * k);
    this.head(...b, -ux * k, -uy * k);
  }

  level(x0: number, x1: number, y: number): void {
    this.dimension([Math.min(x0, x1), y], [Math.max(x0, x1), y]);
  }

  upright(x: number, y0: number, y1: number): void {
    this.dimension([x, Math.min(y0, y1)], [x, Math.max(y0, y1)]);
  }

  /** A permitted range: a thick line with end marks. */
  range(a: Point, b: Point): void {
    this.line("d-mark", a, b);
    const [dx, dy] = a[0] === b[0] ? [6, 0] : [0, 6];
    for (const [x, y] of [a, b]) this.line("d-mark", [x - dx, y - dy], [x + dx, y + dy]);
  }

  /** Balance point: a circle quartered. */
  balance(x: number, y: number, r = 8): void {
    this.round("d-void d-thin", x, y, r);
    for (const a of [0, 180]) {
      this.curve("d-arrow", `M${px(x)} ${px(y)}L${arc(x, y, r, a, a + 90).slice(1)}Z`, y + r);
    }
    this.block([x - r, y - r, x + r, y + r]);
  }

  /** Keeps labels off a place. */
  block(b: Box): void {
    this.taken.push(b);
  }

  /** Text at a place, whatever it overlaps. */
  put(x: number, y: number, s: string, k = "d-name", a: Word["a"] = "start"): void {
    const w: Word = { x, y, s, k, a };
    const b = boxOf(w);
    // Nothing runs off the sheet.
    if (b[0] < 2) w.x += 2 - b[0];
    if (b[2] > WIDTH - 2) w.x -= b[2] - WIDTH + 2;
    this.words.push(w);
    this.taken.push(boxOf(w));
    this.reach(y + 4);
  }

  private clear(b: Box): boolean {
    return b[0] >= 1 && b[2] <= WIDTH - 1 && b[1] >= 1 && this.taken.every((t) => apart(b, t));
  }

  /** Text as near to a place as there is free room; false where there is none within reach. */
  near(x: number, y: number, s: string, k = "d-name", most = 40): boolean {
    for (let r = 0; r <= most; r += 5) {
      for (let i = 0; i < (r === 0 ? 1 : 16); i++) {
        const [wx, wy] = polar(x, y, r, 90 - i * 22.5);
        if (!this.clear(boxOf({ x: wx, y: wy, s, k, a: "middle" }))) continue;
        this.put(wx, wy, s, k, "middle");
        return true;
      }
    }
    return false;
  }

  /**
   * A letter in a ring near a place, tied to it where it had to move, and what it stands for in the
   * list below.
   */
  letter(x: number, y: number, name: string, size: string): void {
    const s = String.fromCharCode(65 + (this.letters++ % 26));
    this.told(s, name, this.size(size));
    const r = 9;
    for (let off = 0; off <= 120; off += 6) {
      for (let i = 0; i < (off === 0 ? 1 : 16); i++) {
        const [cx, cy] = polar(x, y, off, 90 - i * 22.5);
        const b: Box = [cx - r, cy - r, cx + r, cy + r];
        if (!this.clear(b)) continue;
        if (off > 0) this.line("d-ext", [x, y], [cx, cy]);
        this.round("d-void d-thin", cx, cy, r);
        this.words.push({ x: cx, y: cy + 4.4, s, k: "d-small", a: "middle" });
        this.taken.push(b);
        return;
      }
    }
  }

  /** A number in the list below that has no place of its own in the drawing. */
  row(name: string, size: string): void {
    const text = this.size(size);
    if (text) this.told("", name, text);
  }

  /** A name with its size, or a dash where a refused answer withholds it. */
  private told(letter: string, name: string, size: string): void {
    const text = size || "–";
    this.listed.push([letter, name, text]);
    this.tell(`${name} ${text}`);
  }

  /** A part of the description for those who do not see the drawing. */
  tell(s: string): void {
    this.says.push(s);
  }

  /** A label in the column at the right, tied to the place it is of. */
  tag(x: number, y: number, name: string, size: string): void {
    const text = this.size(size);
    if (!text) return;
    this.tags.push({ from: [x, y], name, size: text });
    this.tell(`${name} ${text}`);
  }

  /** How it was drawn, in small text at the foot. */
  note(s: string): void {
    this.notes.push([s, "d-name"]);
    this.tell(s);
  }

  /** A fault, at the foot, with its sign. */
  warn(s: string): void {
    this.notes.push([s, "d-warn"]);
    this.says.push(s);
  }

  /** Places the labels, the list and the notes, and gives the picture. */
  done(): Picture {
    const gap = 38;
    this.tags.sort((a, b) => a.from[1] - b.from[1]);
    const need = (this.tags.length - 1) * gap;
    const low = 18;
    const at = spread(
      this.tags.map((t) => t.from[1]),
      gap,
      low,
      Math.max(this.low - 14, low + need),
    );
    this.tags.forEach((t, i) => {
      const y = at[i]!;
      this.line("d-ext", t.from, [TAGS - 16, y], [TAGS - 4, y]);
      this.put(TAGS, y - 2, short(t.name, "d-name", WIDTH - 2 - TAGS), "d-name");
      this.put(TAGS, y + 14, ...fitted(t.size, WIDTH - 2 - TAGS));
    });
    this.list();
    for (const [s, k] of this.notes) {
      const warn = k === "d-warn";
      const lines = wrap(s, k, WIDTH - 16 - (warn ? 26 : 0));
      const y0 = this.low + 20;
      if (warn) this.curve("d-warn-sign", `M17 ${px(y0 - 13)}l8 15h-16z`);
      lines.forEach((l, i) => this.put(warn ? 34 : 8, y0 + i * 18, l, k));
    }
    return {
      w: WIDTH,
      h: Math.ceil(this.low + 10),
      marks: this.marks,
      words: this.words,
      says: `${this.says.map((s) => s.replace(/[.;]$/, "")).join("; ")}.`,
    };
  }

  /** The list under the drawing, two to a line where they fit. */
  private list(): void {
    let y = this.low + 24;
    let column = 0;
    for (const [letter, name, size] of this.listed) {
      const lead = letter ? 26 : 0;
      const room = 168 - lead;
      const wideRow = wide(name, "d-name") > room || wide(size, "d-small") > room;
      if (wideRow && column === 1) {
        column = 0;
        y += 40;
      }
      const x = 8 + column * 176;
      const width = wideRow ? 344 - lead : room;
      if (letter) {
        this.round("d-void d-thin", x + 10, y + 4, 9);
        this.words.push({ x: x + 10, y: y + 8.4, s: letter, k: "d-small", a: "middle" });
      }
      this.put(x + lead, y, short(name, "d-name", width), "d-name");
      this.put(x + lead, y + 17, ...fitted(size, width));
      if (wideRow || column === 1) {
        column = 0;
        y += 40;
      } else column = 1;
    }
  }
}

/** A size, as large as its room allows. */
function fitted(s: string, room: number): [string, string] {
  return wide(s, "d-size") <= room ? [s, "d-size"] : [short(s, "d-small", room), "d-small"];
}
