/**
 * Pictures of records: a face with its places, a part, a machine, a setup in two views that line up.
 * All sizes come from the calculations (`shape`), in inches.
 */
import { type Box, Pad, type Picture, type Point, polar, type View, WIDTH } from "./pad";
import { Reader } from "./read";

export interface Place {
  /** Where it stands in its record, or the record that it is. */
  table?: string;
  row?: string;
  id?: string;
  name?: string;
  what: string;
  x?: number;
  y?: number;
  dia?: number;
  wide?: number;
  high?: number;
  /** X and Y, its sizes, its thread, as they were typed. */
  at?: string;
  says?: string;
  thread?: string;
  why?: string;
  when?: string;
  job?: string;
  by?: string;
  written?: string;
}

export interface Face {
  name?: string;
  look?: string;
  left?: number;
  bottom?: number;
  right?: number;
  top?: number;
  places: Place[];
}

export interface Faces {
  kind: "fixture" | "part";
  sort?: string;
  long?: number;
  wide?: number;
  high?: number;
  thick?: number;
  faces: Face[];
}

export interface Room {
  kind: "machine";
  sort?: string;
  long?: number;
  wide?: number;
  daylight?: number;
  throat?: number;
  slots: { at?: number; wide?: number }[];
  axes: { axis?: string; row?: string; travel?: number; says?: string; error?: string }[];
}

export interface Scene {
  kind: "setup";
  sort?: string;
  /** From one corner to the other: along the table, toward the column, up. */
  bodies: { of: string; id?: string; name?: string; low: Three; top: Three }[];
  face?: Face;
  zero?: Three;
  /** Rows of the holes that the bolts are in. */
  used: string[];
  gravity?: Three;
  machine: Omit<Room, "kind">;
}

type Three = [number, number, number];

/** What names a place in an address, and on the drawing. */
export const keyOf = (p: Place): string => p.id ?? `${p.table ?? ""}.${p.row ?? ""}`;

/** What is not there to be used, and is left out where only nuts or a pair are to be seen. */
const GHOSTS = new Set(["rib", "ribgone", "keep", "area", "other", "repair"]);
const ROUND = new Set(["tapped", "clear", "dowel", "bore", "plug", "hole", "boss"]);
export const isRound = (p: Place): boolean => ROUND.has(p.what);

export const isSet = (p: Place): p is Place & { x: number; y: number } =>
  p.x !== undefined && p.y !== undefined;

/** A size as it is written on a drawing: without a nought before the point, or behind. */
export const written = (n: number): string => String(Number(n.toFixed(4))).replace(/^(-?)0\./, "$1.");

const empty = new Reader({ inputs: {}, results: {} } as ConstructorParameters<typeof Reader>[0]);
const pad = (): Pad => new Pad(empty);

/** The room that a face takes, its places with it. */
export function outline(f: Face): Box {
  const on = f.places.filter(isSet);
  const half = (p: Place, k: "wide" | "high") => ((isRound(p) ? p.dia : p[k]) ?? 0) / 2;
  const all = (pick: (p: Place & { x: number; y: number }) => number[]) => on.flatMap(pick);
  const xs = all((p) => [p.x - half(p, "wide"), p.x + half(p, "wide")]);
  const ys = all((p) => [p.y - half(p, "high"), p.y + half(p, "high")]);
  if (f.right === undefined || f.top === undefined) {
    if (xs.length === 0) return [-1, -1, 1, 1];
    return [Math.min(...xs) - 1, Math.min(...ys) - 1, Math.max(...xs) + 1, Math.max(...ys) + 1];
  }
  // A long slot may run out of the face; a place that is off it altogether is drawn where it is.
  const out = on.filter((p) => p.x < f.left! || p.x > f.right! || p.y < f.bottom! || p.y > f.top!);
  const px = [f.left!, f.right, ...out.map((p) => p.x)];
  const py = [f.bottom!, f.top, ...out.map((p) => p.y)];
  return [Math.min(...px), Math.min(...py), Math.max(...px), Math.max(...py)];
}

export interface Plan extends Picture {
  view: View;
  /** Each place that was drawn, in pixels, with its half width. */
  places: { key: string; x: number; y: number; r: number }[];
}

/** A round place by its diameter, another by how long it is along X and along Y. */
interface Put {
  x: number;
  y: number;
  dia: number;
  box?: (number | undefined)[];
  near?: number[];
  from?: number[];
  bad?: boolean;
}

export interface Ways {
  /** The place that is chosen. */
  lit?: string | undefined;
  /** A place that is being put: where, how large, and what it is nearest to. */
  put?: Put | undefined;
  /** Room for it, in pixels. */
  high?: number;
  wide?: number;
  /** Sizes of the whole along its edges. */
  sizes?: boolean;
  /** No place but the chosen one has a name. */
  alone?: boolean;
  /** Nuts by the keys of their places, each with its turn: no other place has a name then. */
  nuts?: Record<string, string> | undefined;
  /** Two places with the distance between them: no other place has a name then. */
  pair?: readonly [string, string] | undefined;
}

/** A face, looked at, true to scale: every place in its own place and size. */
export function facePlan(f: Face, ways: Ways = {}): Plan {
  const { lit, put, high = 276, wide = WIDTH, sizes = true, alone, nuts, pair } = ways;
  const p = pad();
  const side = wide < WIDTH ? 3 : 14;
  const [x0, y0, x1, y1] = outline(f);
  const v = p.view(
    [x0, y0, x1, y1],
    [sizes ? 44 : side, sizes ? 26 : 12, wide - side, high - (put ? 30 : 8)],
  );
  const sized = f.right !== undefined && f.top !== undefined;
  if (sized) {
    const [l, t, r, b] = [v.x(f.left!), v.y(f.top!), v.x(f.right!), v.y(f.bottom!)];
    p.box("d-metal", l, t, r, b);
    p.box("d-line", l, t, r, b);
    if (sizes) measure(p, f, v);
  } else p.box("d-ghost", v.x(x0), v.y(y1), v.x(x1), v.y(y0));
  const places: Plan["places"] = [];
  const few = nuts ?? pair;
  const drawn = f.places.filter(isSet).filter((q) => !few || !GHOSTS.has(q.what));
  // What lies behind or is no longer there first, then what is cut, holes last.
  const order = ["rib", "ribgone", "keep", "area", "other", "repair", "groove", "slot", "tee"];
  const rank = (q: Place) => (order.indexOf(q.what) + order.length + 1) % (order.length + 1);
  for (const q of [...drawn].sort((a, b) => rank(a) - rank(b)))
    places.push(onFace(p, v, q, keyOf(q) === lit));
  for (const q of drawn) p.block(around(v, q));
  if (pair) between(p, v, drawn, pair);
  const chosen = drawn.find((q) => keyOf(q) === lit);
  for (const q of [...(chosen ? [chosen] : []), ...drawn.filter((q) => q !== chosen)]) {
    if (!q.name || (alone && q !== chosen) || (few && !pair?.includes(keyOf(q)))) continue;
    const y = v.y(q.y) - Math.min(46, sizeOf(q, "high", v) + 8);
    p.near(v.x(q.x), y, q.name, q === chosen ? "d-typed-small" : "d-name", 44);
  }
  if (!few) zeroAt(p, v, x0, y0, x1, y1);
  for (const q of nuts ? drawn : []) nut(p, v, q, nuts![keyOf(q)]);
  if (put) cross(p, v, put, f);
  p.tell(`Looking at ${f.name ?? "the face"}, to scale, ${drawn.length} places`);
  return { ...p.done(), w: wide, view: v, places };
}

/** A nut with its turn in it. */
function nut(p: Pad, v: View, q: Place & { x: number; y: number }, turn: string | undefined): void {
  if (!turn) return;
  const [x, y] = [v.x(q.x), v.y(q.y)];
  const corner = (_: unknown, i: number) => polar(x, y, 12, i * 60);
  p.face("d-void d-line", Array.from({ length: 6 }, corner));
  p.put(x, y + 4.6, turn, "d-small", "middle");
}

/** How far two places are from each other. */
function between(p: Pad, v: View, all: (Place & { x: number; y: number })[], pair: readonly string[]): void {
  const [a, b] = pair.map((key) => all.find((q) => keyOf(q) === key));
  if (!a || !b) return;
  const far = written(Math.hypot(b.x - a.x, b.y - a.y));
  // Under them, or beside where they stand one over the other.
  const [dx, dy] = Math.abs(b.x - a.x) < Math.abs(b.y - a.y) ? [16, 0] : [0, 16];
  const [from, to] = [a, b].map((q) => [v.x(q.x) + dx, v.y(q.y) + dy] as const) as [Point, Point];
  p.dimension(from, to);
  p.put((from[0] + to[0]) / 2, (from[1] + to[1]) / 2 + 4.6, far, "d-small", "middle");
}

const sizeOf = (q: Place, k: "wide" | "high", v: View): number =>
  Math.max(3, (((isRound(q) ? q.dia : q[k]) ?? 0) / 2) * v.s);

/** Places that are cut into a face and longer than wide. */
const CUT = new Set(["slot", "tee", "groove"]);

const around = (v: View, q: Place & { x: number; y: number }): Box => {
  if (!isRound(q) && !CUT.has(q.what)) return [0, 0, 0, 0];
  const [w, h] = [sizeOf(q, "wide", v), sizeOf(q, "high", v)];
  return [v.x(q.x) - w, v.y(q.y) - h, v.x(q.x) + w, v.y(q.y) + h];
};

/** One place in its own way of drawing; what it is lies in the line, never in colour alone. */
function onFace(
  p: Pad,
  v: View,
  q: Place & { x: number; y: number },
  lit: boolean,
): { key: string; x: number; y: number; r: number } {
  const [x, y] = [v.x(q.x), v.y(q.y)];
  const [w, h] = [sizeOf(q, "wide", v), sizeOf(q, "high", v)];
  const known = q.wide !== undefined && q.high !== undefined;
  p.of(keyOf(q), () => {
    if (isRound(q)) {
      p.round(q.what === "boss" ? "d-metal" : "d-void d-thin", x, y, w);
      if (q.what === "tapped") p.round("d-flank", x, y, w + 2.5);
      if (q.what === "plug") p.line("d-thin", [x - w, y + w], [x + w, y - w]);
      if (q.what === "dowel") {
        p.line("d-thin", [x - w - 3, y], [x + w + 3, y]);
        p.line("d-thin", [x, y - w - 3], [x, y + w + 3]);
      }
    } else if (q.what === "rib" || q.what === "ribgone" || q.what === "keep" || !known) {
      if (known) p.box("d-ghost", x - w, y - h, x + w, y + h);
      if (q.what === "ribgone") {
        p.line("d-ext", [x - w, y - h], [x + w, y + h]);
        p.line("d-ext", [x - w, y + h], [x + w, y - h]);
      }
      if (!known) p.round("d-ghost", x, y, 5);
    } else if (q.what === "repair") p.box("d-thin", x - w, y - h, x + w, y + h, "steel");
    else if (q.what === "area" || q.what === "other") p.box("d-ghost", x - w, y - h, x + w, y + h);
    else {
      p.box("d-void d-thin", x - w, y - h, x + w, y + h);
      if (q.what === "tee")
        p.box(
          "d-ghost",
          x - w * (w < h ? 1.8 : 1),
          y - h * (w < h ? 1 : 1.8),
          x + w * (w < h ? 1.8 : 1),
          y + h * (w < h ? 1 : 1.8),
        );
    }
  });
  if (lit) {
    if (isRound(q)) p.round("d-chosen", x, y, w + 7);
    else p.box("d-chosen", x - w - 3, y - h - 3, x + w + 3, y + h + 3);
  }
  return { key: keyOf(q), x, y, r: Math.max(w, h) };
}

/** Width over the face, height beside it. */
function measure(p: Pad, f: Face, v: View): void {
  const [l, t, r, b] = [v.x(f.left!), v.y(f.top!), v.x(f.right!), v.y(f.bottom!)];
  p.level(l, r, t - 12);
  p.put((l + r) / 2, t - 8, written(f.right! - f.left!), "d-small", "middle");
  p.upright(l - 12, t, b);
  p.put(l - 16, (t + b) / 2 + 4, written(f.top! - f.bottom!), "d-small", "end");
}

/** The zero that all X and Y are counted from. */
function zeroAt(p: Pad, v: View, x0: number, y0: number, x1: number, y1: number): void {
  if (x0 > 0 || y0 > 0 || x1 < 0 || y1 < 0) return;
  const [x, y] = [v.x(0), v.y(0)];
  p.line("d-axis", [x, y - 12], [x, y + 12]);
  p.line("d-axis", [x - 12, y], [x + 12, y]);
}

/** A place that is being put: a cross-hair in a ring as wide as a thumb, and the nearest danger. */
function cross(p: Pad, v: View, put: Put, f: Face): void {
  const [x, y] = [v.x(put.x), v.y(put.y)];
  const [zx, zy] = [v.x(0), v.y(0)];
  const low = v.bottom + 14;
  p.line("d-ext", [x, y], [x, low]);
  p.line("d-ext", [x, y], [WIDTH - 10, y]);
  if (Math.abs(x - zx) > 4) p.level(zx, x, low);
  if (Math.abs(y - zy) > 4 && f.right !== undefined) p.upright(Math.min(WIDTH - 12, v.right + 8), y, zy);
  p.round("d-ghost", x, y, 24);
  const [w = 0, h = 0] = (put.box ?? []).map((n) => ((n ?? 0) / 2) * v.s);
  if (w > 0 && h > 0) p.box("d-void d-chosen", x - w, y - h, x + w, y + h);
  else if (put.dia > 0) p.round("d-void d-chosen", x, y, Math.max(3, (put.dia / 2) * v.s));
  p.line("d-typedline", [x - 14, y], [x + 14, y]);
  p.line("d-typedline", [x, y - 14], [x, y + 14]);
  if (put.near && put.from) {
    const [a, b] = [put.from, put.near];
    p.line(put.bad ? "d-badline" : "d-mark", [v.x(a[0]!), v.y(a[1]!)], [v.x(b[0]!), v.y(b[1]!)]);
  }
}

/** A machine from above: its table with the slots, and how far it travels. */
export function machinePlan(m: Room, high = 240): Picture {
  const p = pad();
  const travel = (axis: string) => m.axes.find((a) => a.axis === axis)?.travel;
  const [x, y] = [travel("x"), travel("y")];
  const long = m.long ?? x ?? 30;
  const wide = m.wide ?? 10;
  const span = Math.max(long, x ?? 0);
  const deep = Math.max(wide, y ?? 0);
  const v = p.view([-span / 2, -deep / 2, span / 2, deep / 2], [30, 22, WIDTH - 74, high - 66]);
  if (m.long !== undefined) {
    p.box("d-metal", v.x(-long / 2), v.y(wide / 2), v.x(long / 2), v.y(-wide / 2));
    p.box("d-line", v.x(-long / 2), v.y(wide / 2), v.x(long / 2), v.y(-wide / 2));
    p.put(
      (v.x(-long / 2) + v.x(long / 2)) / 2,
      v.y(wide / 2) - 8,
      `table ${written(long)}`,
      "d-small",
      "middle",
    );
    for (const s of m.slots) {
      if (s.at === undefined) continue;
      const [at, w] = [s.at - wide / 2, (s.wide ?? 0.5) / 2];
      p.box("d-void d-thin", v.x(-long / 2), v.y(at + w), v.x(long / 2), v.y(at - w));
    }
  }
  if (x !== undefined) {
    p.line("d-dim", [v.x(-x / 2), v.bottom + 18], [v.x(x / 2), v.bottom + 18]);
    p.range([v.x(-x / 2), v.bottom + 18], [v.x(x / 2), v.bottom + 18]);
    p.put(v.x(0), v.bottom + 36, `X ${written(x)}`, "d-size", "middle");
  }
  if (y !== undefined) {
    p.range([v.right + 14, v.y(-y / 2)], [v.right + 14, v.y(y / 2)]);
    p.put(v.right + 22, v.y(0) + 5, `Y ${written(y)}`, "d-size");
  }
  if (m.daylight !== undefined) p.put(8, v.bottom + 36, `daylight ${written(m.daylight)}`, "d-small");
  p.tell("The table from above, to scale, with the travels");
  return p.done();
}

/** The scene in two views that line up: from the front, and from the right. */
export function scenePlan(s: Scene, high = 200): Picture | undefined {
  const solid = s.bodies.filter((b) => b.of !== "cutter");
  if (solid.length === 0) return undefined;
  const p = pad();
  const lows = (i: number) => Math.min(...s.bodies.map((b) => b.low[i]!));
  const tops = (i: number) => Math.max(...s.bodies.map((b) => b.top[i]!));
  const base = Math.min(0, lows(2));
  const front = tops(0) - lows(0);
  const side = tops(1) - lows(1);
  const gap = 26;
  const scale = Math.min((WIDTH - 24 - gap) / (front + side), (high - 44) / (tops(2) - base));
  const top = 18;
  const y = (z: number) => top + (tops(2) - z) * scale;
  const left = (WIDTH - gap - (front + side) * scale) / 2;
  const fx = (n: number) => left + (n - lows(0)) * scale;
  // From the right: the column is at the left of this view.
  const sx = (n: number) => left + front * scale + gap + (tops(1) - n) * scale;
  const order = ["foot", "plate", "base", "part", "cutter"];
  const bodies = [...s.bodies].sort((a, b) => order.indexOf(a.of) - order.indexOf(b.of));
  const look: Record<string, string> = { part: "d-void d-line", cutter: "d-cutter" };
  for (const b of bodies) {
    const metal = b.of !== "part" && b.of !== "cutter";
    for (const [x, i] of [
      [fx, 0],
      [sx, 1],
    ] as const) {
      const [a, c] = [x(b.low[i]), x(b.top[i])];
      const box = [Math.min(a, c), y(b.top[2]), Math.max(a, c), y(b.low[2])] as const;
      if (metal) p.box("d-metal", ...box);
      p.box(metal ? "d-thin" : (look[b.of] ?? "d-line"), ...box);
    }
  }
  if (s.face && s.zero) {
    const [zx, , zz] = s.zero;
    for (const q of s.face.places.filter(isSet)) {
      const used = q.table === "holes" && s.used.includes(q.row ?? "");
      const [hx, hy] = [fx(q.x + zx), y(q.y + zz)];
      const r = Math.max(2, ((isRound(q) ? (q.dia ?? 0.4) : 0) / 2) * scale);
      if (isRound(q)) p.round(used ? "d-fill" : "d-thin", hx, hy, used ? Math.max(3.5, r) : r);
      else if (CUT.has(q.what) && q.wide !== undefined && q.high !== undefined) {
        const [w, h] = [Math.max(1, (q.wide / 2) * scale), Math.max(1, (q.high / 2) * scale)];
        p.box("d-thin", hx - w, hy - h, hx + w, hy + h);
      }
      if (used && q.name) p.near(hx, hy - r - 8, q.name, "d-small", 30);
    }
  }
  const floor = y(0);
  p.line("d-line", [6, floor], [WIDTH - 6, floor]);
  for (let x = 10; x < WIDTH - 6; x += 12) p.line("d-ext", [x, floor + 7], [x + 6, floor]);
  if (s.gravity) {
    p.balance(fx(s.gravity[0]), y(s.gravity[2]), 6);
    p.balance(sx(s.gravity[1]), y(s.gravity[2]), 6);
  }
  p.put(fx((lows(0) + tops(0)) / 2), 11, "from the front", "d-name", "middle");
  p.put(sx((lows(1) + tops(1)) / 2), 11, "from the right", "d-name", "middle");
  p.tell("The setup from the front and from the right, to one scale");
  return p.done();
}
