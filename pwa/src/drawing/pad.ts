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
  /** Key of the input it belongs to: lit while that is typed. */
  of?: string | undefined;
}

/** How an input's box stands on a drawing. */
export interface AskWays {
  /** Where its leader goes to, and where that bends on its way. */
  from?: Point;
  by?: Point[];
  /** A result that stands there in bold until something is typed. */
  worked?: string;
  /** Other inputs that are set when it is typed: the dimension typed in decides what it means. */
  when?: Record<string, string>;
  /** What it is called there, where its input stands on the drawing more than once. */
  name?: string;
  w?: number;
}

/** The place of an input's box; x and y are its middle. */
export interface Asking extends AskWays {
  key: string;
  x: number;
  y: number;
  w: number;
}

/** A place of a list's row, and an area that makes a choice. */
export interface Spot {
  key: string;
  row: number;
  x: number;
  y: number;
}
export interface Area {
  key: string;
  value: string;
  box: Box;
}

interface Word {
  x: number;
  y: number;
  s: string;
  k: string;
  a: "start" | "middle" | "end";
  /** The result in it, as it is read. */
  own?: string;
}

export interface Picture {
  w: number;
  h: number;
  marks: Mark[];
  words: Word[];
  says: string;
  asks: Asking[];
  spots: Spot[];
  areas: Area[];
  /** Inputs that mean nothing as things stand: their boxes wait under More. */
  none: string[];
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
/** Where the column of labels starts. */
const TAGS = 240;

const EM: Record<string, number> = {
  ...{ "d-size": 16, "d-typed": 16, "d-small": 13, "d-typed-small": 13, "d-name": 13, "d-warn": 15 },
  ...{ "d-num": 11, "d-least": 11, "d-typed-least": 11 },
};

/** Estimated width of a text, not less than what the phone's own sans serif needs. */
export function wide(s: string, k: string): number {
  const bold = k !== "d-name" && k !== "d-num";
  let w = 0;
  for (const c of s)
    w += /[ .,:;'|il!]/.test(c)
      ? 0.34
      : /[-/]/.test(c)
        ? 0.44
        : /[mwMW%+]/.test(c)
          ? 0.95
          : /[A-Z]/.test(c)
            ? 0.72
            : 0.62;
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

/** Whether a straight line from one point to another comes into a box. */
function meets([l, t, r, low]: Box, [x0, y0]: Point, [x1, y1]: Point): boolean {
  let [from, to] = [0, 1];
  for (const [at, way, least, most] of [
    [x0, x1 - x0, l - 2, r + 2],
    [y0, y1 - y0, t - 2, low + 2],
  ] as const) {
    if (Math.abs(way) < 1e-9) {
      if (at < least || at > most) return false;
      continue;
    }
    const [a, b] = [(least - at) / way, (most - at) / way];
    from = Math.max(from, Math.min(a, b));
    to = Math.min(to, Math.max(a, b));
  }
  return from <= to;
}

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

/** Size of a box: as wide as it is unless it says otherwise, as high as a thumb, its name above it. */
export const ASK_WIDE = 88;
export const ASK_HIGH = 44;
export const ASK_NAME = 14;

/** Room of a box with its name. */
export const askBox = (x: number, y: number, w: number): Box => [
  x - w / 2,
  y - ASK_HIGH / 2 - ASK_NAME,
  x + w / 2,
  y + ASK_HIGH / 2,
];

/** How large a number can be in a box, so that all of it is seen. */
export const boxSize = (text: string, w: number): number =>
  Math.min(17, ((w - 10) / (wide(text, "d-size") || 1)) * EM["d-size"]!);

/** What stands at an input's place where no box stands over it: its name, and its value. */
export interface Told {
  name: string;
  text: string;
  /** Typed, and not usual or worked out. */
  own: boolean;
}

/** A size as it stands on a drawing: its unit is said once, beside the page's name. */
export const bareOf = (text: string): string => text.replace(/^(-?[\d./-]*\d) (in|mm)$/, "$1");

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
  private readonly leads: [Point, Point][] = [];
  private readonly grounds: Box[] = [];
  readonly asks: Asking[] = [];
  readonly spots: Spot[] = [];
  readonly areas: Area[] = [];
  private readonly absent: string[] = [];
  private owner: string | undefined;

  /**
   * With `faint` it is drawn from typical proportions: no figure of it is true. With `tells` no
   * boxes stand over it: what would stand in them is written in their places.
   */
  constructor(
    private readonly r: Pick<Reader, "t">,
    readonly faint = false,
    private readonly tells?: (key: string, how: AskWays) => Told,
  ) {}

  /** What is drawn meanwhile belongs to an input: it is lit while that is typed. */
  of(key: string, draw: () => void): void {
    const before = this.owner;
    const from = this.marks.length;
    this.owner = key;
    draw();
    for (const m of this.marks.slice(from)) m.of ??= key;
    this.owner = before;
  }

  /**
   * The place of an input's box, moved to the nearest free one, with a leader where it is not where
   * it was wanted.
   */
  ask(key: string, x: number, y: number, how: AskWays = {}): void {
    const told = this.tells?.(key, how);
    // Of what is not known there is nothing to lead to.
    if (told && !told.text) return;
    const w = how.w ?? ASK_WIDE;
    const at = this.freeBox(x, y, w);
    const from = how.from ?? (Math.hypot(at[0] - x, at[1] - y) > 1 ? ([x, y] as Point) : undefined);
    if (from) {
      const way = [from, ...(how.by ?? []), at];
      this.of(key, () => this.line("d-lead", ...way));
      way.slice(1).forEach((q, i) => this.leads.push([way[i]!, q]));
    }
    this.asks.push({ ...how, key, x: at[0], y: at[1], w });
    if (told) this.told(told, at, w);
    const text = this.faint ? "" : this.r.t(how.worked ?? key);
    if (text) this.tell(`${key} ${text}`);
    this.taken.push(askBox(at[0], at[1], w));
    this.reach(at[1] + ASK_HIGH / 2);
  }

  /** Name and value in the place of a box, on a ground of their own as the box has. */
  private told({ name, text, own }: Told, [x, y]: Point, w: number): void {
    const lines = wrap(name, "d-name", w);
    const words: Word[] = [
      ...lines.map((s, i): Word => {
        const [x1, y1] = [x, y - 12 - (lines.length - 1 - i) * 13];
        return { x: x1, y: y1, s, k: wide(s, "d-name") > w ? "d-num" : "d-name", a: "middle" };
      }),
      { x, y: y + 6, ...sized(text, w, own ? "d-typed" : "d-size"), a: "middle" },
    ];
    for (const word of words) {
      const b = boxOf(word);
      if (b[0] < 2) word.x += 2 - b[0];
      if (b[2] > WIDTH - 2) word.x -= b[2] - WIDTH + 2;
      const [l, t, r, low] = boxOf(word);
      this.grounds.push([l - 2, t - 1, r + 2, low + 1]);
    }
    this.words.push(...words);
  }

  private freeBox(x: number, y: number, w: number): Point {
    for (let r = 0; r <= 140; r += 6) {
      for (let i = 0; i < (r === 0 ? 1 : 24); i++) {
        const [bx, by] = polar(x, y, r, 90 - i * 15);
        const cx = Math.max(w / 2 + 2, Math.min(WIDTH - w / 2 - 2, bx));
        const cy = Math.max(ASK_HIGH / 2 + ASK_NAME, by);
        const b = askBox(cx, cy, w);
        if (this.asks.every((a) => apart(b, askBox(a.x, a.y, a.w))) && this.taken.every((t) => apart(b, t)))
          return [cx, cy];
      }
    }
    return [Math.max(w / 2 + 2, Math.min(WIDTH - w / 2 - 2, x)), Math.max(ASK_HIGH / 2 + ASK_NAME, y)];
  }

  /** A result in bold, as near to a place as there is room, with a name before it; never boxed. */
  fig(key: string, x: number, y: number, name = "", most = 60): void {
    const size = this.faint ? "" : bareOf(this.r.t(key));
    if (!size) return;
    const text = name ? `${name} ${size}` : size;
    this.tell(text);
    if (this.near(x, y, text, "d-size", most)) this.words.at(-1)!.own = size;
  }

  /** A figure in bold at its place, as large as its room allows. */
  bold(size: string, x: number, y: number, room: number, a: Word["a"] = "start"): void {
    if (this.faint || !size) return;
    const of = sized(size, room);
    this.put(x, y, size, of.k, a);
    this.words.at(-1)!.own = size;
  }

  /** Inputs that mean nothing as things stand: "teeth width" of a drill. */
  none(keys: string): void {
    this.absent.push(...keys.split(" "));
  }

  /** A result in bold at a place that is kept free for it. */
  figure(key: string, x: number, y: number, k = "d-size"): void {
    const size = this.faint ? "" : bareOf(this.r.t(key));
    if (!size) return;
    this.tell(`${key} ${size}`);
    this.put(x, y, size, k, "middle");
    this.words.at(-1)!.own = size;
  }

  /** A place of a list's row, to be touched. */
  place(key: string, row: number, x: number, y: number): void {
    this.spots.push({ key, row, x, y });
  }

  /** An area that makes a choice when it is touched. */
  pick(key: string, value: string, x0: number, y0: number, x1: number, y1: number): void {
    this.areas.push({
      key,
      value,
      box: [Math.min(x0, x1), Math.min(y0, y1), Math.max(x0, x1), Math.max(y0, y1)],
    });
  }

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
  dimension(a: Point, b: Point): void {
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

  private clear(b: Box, leads = false): boolean {
    return (
      b[0] >= 1 &&
      b[2] <= WIDTH - 1 &&
      b[1] >= 1 &&
      this.taken.every((t) => apart(b, t)) &&
      !(leads && this.leads.some(([from, to]) => meets(b, from, to)))
    );
  }

  /** Text as near to a place as there is free room; false where there is none within reach. */
  near(x: number, y: number, s: string, k = "d-name", most = 40): boolean {
    // Off the leaders of the boxes, where there is room for that.
    for (const leads of [true, false])
      for (let r = 0; r <= most; r += 5) {
        for (let i = 0; i < (r === 0 ? 1 : 16); i++) {
          const [wx, wy] = polar(x, y, r, 90 - i * 22.5);
          if (!this.clear(boxOf({ x: wx, y: wy, s, k, a: "middle" }), leads)) continue;
          this.put(wx, wy, s, k, "middle");
          return true;
        }
      }
    return false;
  }

  /** Lines one under another, as near to a place as there is room for all, plainly apart from what stands there. */
  stack(x: number, y: number, lines: string[], k = "d-num", most = 40): boolean {
    const high = (EM[k] ?? 13) * 1.15;
    const half = Math.max(...lines.map((s) => wide(s, k))) / 2 + 3;
    for (let r = 0; r <= most; r += 5) {
      for (let i = 0; i < (r === 0 ? 1 : 16); i++) {
        const [wx, wy] = polar(x, y, r, 90 - i * 22.5);
        const top = wy - (high * lines.length) / 2;
        if (!this.clear([wx - half, top - 1, wx + half, top + high * lines.length + 1], true)) continue;
        lines.forEach((s, n) => this.put(wx, top + high * (n + 0.8), s, k, "middle"));
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
    this.listing(s, name, this.size(size));
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
    if (text) this.listing("", name, text);
  }

  /** A name with its size, or a dash where a refused answer withholds it. */
  private listing(letter: string, name: string, size: string): void {
    if (this.faint) return;
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
    if (!text || this.faint) return;
    this.tags.push({ from: [x, y], name, size: text });
    this.tell(`${name} ${text}`);
  }

  /** How it was drawn, in small text at the foot. */
  note(s: string): void {
    if (this.faint) return;
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
      this.put(TAGS, y + 14, t.size, sized(t.size, WIDTH - 2 - TAGS).k);
    });
    this.list();
    for (const [s, k] of this.notes) {
      const warn = k === "d-warn";
      const lines = wrap(s, k, WIDTH - 16 - (warn ? 26 : 0));
      const y0 = this.low + 20;
      if (warn) this.curve("d-warn-sign", `M17 ${px(y0 - 13)}l8 15h-16z`);
      lines.forEach((l, i) => this.put(warn ? 34 : 8, y0 + i * 18, l, k));
    }
    const h = Math.ceil(this.low + 10);
    for (const [l, t, r, b] of this.grounds) this.box("d-ground", l, t, r, b);
    return {
      w: WIDTH,
      h,
      marks: this.marks,
      words: this.words,
      says: `${this.says.map((s) => s.replace(/[.;]$/, "")).join("; ")}.`,
      asks: this.tells ? [] : this.asks,
      spots: this.spots,
      // What lies under the drawing is not under a finger that touches it.
      areas: this.areas.map(({ box: [l, t, r, b], ...a }) => ({ ...a, box: [l, t, r, Math.min(b, h)] })),
      none: this.absent,
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
      this.put(x + lead, y + 17, size, sized(size, width).k);
      if (wideRow || column === 1) {
        column = 0;
        y += 40;
      } else column = 1;
    }
  }
}

/** A size, as large as its room allows, and never cut: a part of a number is another number. */
function sized(s: string, room: number, k: "d-size" | "d-typed" = "d-size"): { s: string; k: string } {
  const [small, least] =
    k === "d-size" ? (["d-small", "d-least"] as const) : (["d-typed-small", "d-typed-least"] as const);
  return { s, k: [k, small].find((one) => wide(s, one) <= room) ?? least };
}
