/** Matching sizes: sections and tolerance zones. */
import { figure, stopped } from "./figures";
import { bareOf, drawn, life, type Pad, type Point, span, times } from "./pad";
import type { Reader } from "./read";
import { spread } from "./scale";

/** Where the figures at the left end, and where the boxes at the right stand. */
const [LEFT, RIGHT] = [98, 310];

/** A screw through two plates: the upper one cut, the lower one faint, its thread held there. */
function screw(p: Pad, up: number, thick: number, below: number, wide: number) {
  const v = p.view([-wide, -thick - below, wide, up], [106, 26, 232, 300], 150 / wide);
  return { v, X: v.x, Y: (deep: number) => v.y(-deep) };
}

/** The lower plate, faint, with the screw's end in it. */
function lower(p: Pad, s: ReturnType<typeof screw>, thick: number, d: number): void {
  const end = s.v.bottom;
  p.line("d-ghost", [s.v.left, s.Y(thick)], [s.v.left, end]);
  p.line("d-ghost", [s.v.right, s.Y(thick)], [s.v.right, end]);
  p.line("d-ghost", [s.v.left, end], [s.v.right, end]);
  for (const k of [-1, 1]) {
    const [a, b] = [s.X(k * d * 0.42), s.X((k * d) / 2)];
    p.box("d-zone", Math.min(a, b), s.Y(thick), Math.max(a, b), end - 8, "thread");
  }
  p.box("d-tool", s.X(-d * 0.42), s.Y(thick), s.X(d * 0.42), end - 8);
}

/** Cut metal on both sides of a hole, with its outline. */
function sides(p: Pad, s: ReturnType<typeof screw>, hole: number, top: number, end: number): void {
  for (const k of [-1, 1]) {
    const [a, b] = [s.X((k * hole) / 2), k < 0 ? s.v.left : s.v.right];
    p.box("d-metal", Math.min(a, b), s.Y(top), Math.max(a, b), s.Y(end), "iron");
    p.line("d-line", [b, s.Y(top)], [a, s.Y(top)], [a, s.Y(end)], [b, s.Y(end)]);
  }
}

/** A screw in its clearance hole. */
function clear(p: Pad, r: Reader) {
  const hole = r.need("dia");
  const d = hole * 0.94; // what it measures may be any size
  const shank = Math.min(r.need("screw"), 1.8 * hole);
  const thick = 2 * d;
  const s = screw(p, 0.8 * d, thick, 1.1 * d, 1.15 * d);
  const bad = stopped(p, r);
  p.ask("size", 50, s.Y(0.5 * thick), { from: [s.X(-0.2 * d), s.Y(0.4 * thick)], w: 92 });
  p.ask("bolt", RIGHT, s.Y(0.8 * thick), { from: [s.X(0.3 * d), s.Y(0.7 * thick)], w: 92 });
  sides(p, s, hole, 0, thick);
  lower(p, s, thick, d);
  p.of("size", () => p.box("d-tool", s.X(-shank / 2), s.Y(0), s.X(shank / 2), s.Y(thick)));
  p.box("d-tool", s.X(-0.75 * d), s.Y(-0.66 * d), s.X(0.75 * d), s.Y(0));
  for (const k of [-0.38, 0.38]) p.line("d-thin", [s.X(k * d), s.Y(-0.66 * d)], [s.X(k * d), s.Y(0)]);
  if (bad)
    for (const k of [-1, 1]) {
      const [a, b] = [s.X((k * hole) / 2), s.X((k * shank) / 2) + k * 4];
      p.box("d-badline", Math.min(a, b), s.Y(0), Math.max(a, b), s.Y(thick), "bad");
    }
  p.line("d-axis", [s.X(0), s.v.top - 4], [s.X(0), s.v.bottom + 6]);
  figure(p, r, "drill", "drill", [LEFT, s.Y(0.5 * thick) + 44], "end");
  const at = s.v.right + 16;
  figure(p, r, "max", "hole, most", [at, 34]);
  figure(p, r, "min", "least", [at, 74]);
  if (!bad) figure(p, r, "play", "more than bolt", [at, s.Y(0.8 * thick) + 44], "start", 100);
  p.tell("Section, to scale");
}

/** A head let in or seated. */
function bore(p: Pad, r: Reader) {
  const [big, hole] = [r.need("bore"), r.need("dia", "hole")];
  const d = hole * 0.92;
  const depth = r.n("depth") ?? Math.max(0, (r.n("high") ?? 0) + (r.typed("below") ?? 0));
  const high = r.n("high") ?? 0.6 * d;
  const head = r.n("head") ?? big * 0.9;
  const sunk = depth > 0;
  const thick = r.typed("thick") ?? depth + Math.max(0.8 * d, high * 0.5);
  const up = Math.max(0.15 * d, high - depth) + 0.1 * d;
  const s = screw(p, up, Math.max(thick, depth), 0.9 * d, big * 0.66);
  const bad = stopped(p, r);
  const cut = Math.min(depth, thick);
  const end = Math.max(thick, depth);
  const names = Math.max(s.Y((depth + end) / 2), sunk ? 138 : 98);
  p.ask("size", 50, names, { from: [s.X(-0.2 * d), s.Y((depth + end) / 2)], w: 92 });
  const out = s.v.right + 28;
  const plate = Math.max(s.Y(thick * 0.62), 104);
  if (sunk) {
    p.ask("below", RIGHT, 40, { from: [s.v.right + 16, s.Y(Math.max(0, (depth - high) / 2))], w: 92 });
    p.none("washer");
  } else {
    p.ask("washer", RIGHT, 40, { from: [s.X(head / 2), s.Y(0) - 1], w: 92 });
  }
  p.ask("thick", RIGHT, plate, { from: [(sunk ? out : s.v.right + 14) + 3, s.Y(thick * 0.62)], w: 92 });
  sides(p, s, hole, 0, thick);
  if (sunk) {
    p.box("d-void", s.X(-big / 2), s.Y(0) - 1, s.X(big / 2), s.Y(cut));
    for (const k of [-1, 1])
      p.line(
        "d-line",
        [s.X((k * big) / 2), s.Y(0)],
        [s.X((k * big) / 2), s.Y(cut)],
        [s.X((k * hole) / 2), s.Y(cut)],
      );
  } else
    for (const k of [-1, 1])
      p.line("d-mark", [s.X((k * hole) / 2), s.Y(0) + 2], [s.X((k * big) / 2), s.Y(0) + 2]);
  lower(p, s, Math.max(thick, depth), d);
  p.box("d-tool", s.X(-d / 2), s.Y(cut), s.X(d / 2), s.Y(Math.max(thick, depth)));
  p.of("size", () => p.box("d-tool", s.X(-head / 2), s.Y(depth - high), s.X(head / 2), s.Y(depth)));
  if (sunk && head < big)
    p.box("d-thin", s.X(-d * 0.3), s.Y(depth - high), s.X(d * 0.3), s.Y(depth - high * 0.5));
  if (bad) {
    p.face(
      "d-badline",
      [
        [s.X(-big / 2), s.Y(cut) - 6],
        [s.X(big / 2), s.Y(cut) - 6],
        [s.X(big / 2), s.Y(Math.max(depth, thick))],
        [s.X(-big / 2), s.Y(Math.max(depth, thick))],
      ],
      "bad",
    );
  }
  p.line("d-axis", [s.X(0), s.v.top - 4], [s.X(0), s.v.bottom + 6]);
  const right = s.v.right;
  p.of("thick", () => {
    p.line("d-ext", [right + 2, s.Y(thick)], [out + 4, s.Y(thick)]);
    p.line("d-ext", [right + 2, s.Y(0)], [out + 4, s.Y(0)]);
    p.upright(sunk ? out : right + 14, s.Y(0), s.Y(thick));
  });
  if (sunk) {
    p.line("d-ext", [s.X(big / 2) + 2, s.Y(depth)], [right + 18, s.Y(depth)]);
    p.upright(right + 14, s.Y(0), s.Y(depth));
  }
  figure(p, r, "bore", sunk ? "counterbore" : "spotface", [LEFT, 34], "end");
  if (sunk) figure(p, r, "depth", "deep", [LEFT, 74], "end");
  figure(p, r, "drill", "drill", [LEFT, names + 44], "end");
  if (!bad) figure(p, r, "left", "left under", [RIGHT - 46, plate + 44]);
  p.tell("Section, to scale");
}

/** What of one circle stands outside another beside it: the part that does not go in. */
function sickle(x: number, y: number, R: number, by: number, r: number): string {
  const d = Math.abs(by);
  const side = by < 0 ? -1 : 1;
  const a = (d * d + R * R - r * r) / (2 * d);
  const h = Math.sqrt(Math.max(0, R * R - a * a));
  const at = (s: number): string => `${(x + side * a).toFixed(1)} ${(y + s * h).toFixed(1)}`;
  const big = a > d ? 0 : 1;
  const [out, back] = side > 0 ? [1, 0] : [0, 1];
  return `M${at(-1)}A${r} ${r} 0 ${big} ${out} ${at(1)}A${R} ${R} 0 0 ${back} ${at(-1)}Z`;
}

/** Two holes over two bolts, from above: what they may be off, drawn larger. */
function room(p: Pad, r: Reader) {
  const bolt = r.need("bolt");
  const hole = r.n("hole") ?? r.need("need");
  const floating = r.word("how") === "floating";
  const under = floating ? (r.n("hole2") ?? hole) : bolt;
  const [here, there] = [r.typed("here"), r.typed("there")];
  const off = here !== undefined && there !== undefined ? there - here : 0;
  const [R, y] = [46, 148];
  const [x1, x2] = [92, 268];
  const s = (2 * R) / hole;
  const slack = Math.max(hole - bolt, 1e-6) / 2;
  const by = times(15 / (slack * s));
  const rb = Math.max(12, R - slack * s * by);
  const move = Math.max(-44, Math.min(44, (off / 2) * s * by));
  p.ask("hole", 56, 40, { from: [x1 - R * 0.7, y - R * 0.7], w: 92 });
  p.ask("here", 180, 40, { from: [180, 84], w: 92 });
  p.ask("bolt", 56, 262, { from: [x1 - move - rb * 0.5, y + rb * 0.5], w: 92 });
  p.ask("there", 180, 262, { from: [180, 218], w: 92 });
  if (floating) p.ask("hole2", 304, 262, { from: [x2 + move + R * 0.6, y + R * 0.8], w: 92 });
  else p.none("hole2");
  p.box("d-metal", 8, y - R - 14, 352, y + R + 14, "iron");
  p.box("d-line", 8, y - R - 14, 352, y + R + 14);
  const ru = Math.max(rb + 1, rb + ((under - bolt) / 2) * s * by);
  const bad = stopped(p, r);
  const shift = floating ? move / 2 : move;
  for (const [x, k] of [
    [x1, -1],
    [x2, 1],
  ] as const) {
    p.of("hole", () => p.round("d-void d-line", x, y, R));
    if (floating) p.round("d-ghost", x + k * move, y, Math.min(ru, R + 6));
    p.of("bolt", () => p.round("d-metal", x + k * shift, y, rb, "steel"));
    p.round("d-line", x + k * shift, y, rb);
    if (bad && Math.abs(shift) + rb > R) p.curve("d-badline", sickle(x, y, R, k * shift, rb), y + R);
    if (bad && Math.abs(shift) + rb > R)
      p.marks.push({ k: "", d: sickle(x, y, R, k * shift, rb), lining: "bad" });
    p.line("d-axis", [x, y - R - 24], [x, y + R + 8]);
    p.line("d-axis", [x + k * shift, y - R - 8], [x + k * shift, y + R + 26]);
  }
  p.of("here", () => p.level(x1, x2, y - R - 18));
  p.of("there", () => p.level(x1 - shift, x2 + shift, y + R + 20));
  if (!figure(p, r, "differ", "differ", [180, y - 10], "middle"))
    figure(
      p,
      r,
      r.n("hole") === undefined ? "need" : "each",
      r.n("hole") === undefined ? "hole" : "may be off",
      [180, y - 10],
      "middle",
    );
  if (!figure(p, r, bad ? "open" : "spare", bad ? "open both to" : "to spare", [304, 34], "middle"))
    figure(p, r, "spacing", "centres may vary", [304, 34], "middle", 104);
  if (!p.faint) p.put(352, 300, `gap ${drawn(by)}`, "d-name", "end");
  p.tell("From above");
}

interface Zone {
  name: string;
  low: number;
  high: number;
  lining: string;
  /** Results at its ends. */
  keys: readonly [low: string, high: string];
}

/** Zones of sizes as upright bars from one line, to one scale much larger than life. */
function zones(p: Pad, r: Reader, list: Zone[], zero: number, own?: number) {
  const all = [zero, ...list.flatMap((z) => [z.low, z.high])];
  const [lo, hi] = span(all);
  const [top, high] = [92, 176];
  const s = hi > lo ? high / (hi - lo) : 1;
  const Y = (n: number): number => top + (hi - n) * s;
  const room = 116 / list.length;
  list.forEach((z, i) => {
    const [x0, x1] = [122 + i * room, 122 + i * room + room * 0.72];
    const [a, b] = [Y(z.high), Math.max(Y(z.low), Y(z.high) + 3)];
    p.box("d-metal", x0, a, x1, b, z.lining);
    p.box("d-line", x0, a, x1, b);
    p.put((x0 + x1) / 2, top - 12, z.name, "d-name", "middle");
  });
  p.of("size", () => p.line("d-mark", [104, Y(zero)], [256, Y(zero)]));
  // The limits: of the first bar at the left, of the others at the right.
  for (const left of [true, false]) {
    const ends = list.flatMap((z, i) =>
      (i === 0) === left
        ? ([[z.keys[1], z.high, i], ...(z.low < z.high ? [[z.keys[0], z.low, i]] : [])] as [
            string,
            number,
            number,
          ][])
        : [],
    );
    const at = spread(
      ends.map((e) => Y(e[1])),
      24,
      own !== undefined || left ? 96 : 96,
      300,
    );
    ends.forEach(([key, n, i], k) => {
      const size = p.faint ? "" : bareOf(r.t(key));
      if (!size) return;
      const x = left ? 122 + i * room : 122 + i * room + room * 0.72;
      const to = left ? 100 : 258;
      p.line("d-ext", [x, Y(n)], [to, at[k]!]);
      p.bold(size, left ? 94 : 264, at[k]! + 5, 90, left ? "end" : "start");
      p.tell(`${list[i]!.name} ${r.t(key)}`);
    });
  }
  return { s, Y };
}

/** Hole and shaft about the size's line. */
function fit(p: Pad, r: Reader): false | void {
  const list: Zone[] = [];
  const [hl, hh, sl, sh] = ["holelow", "holehigh", "shaftlow", "shafthigh"].map((k) => r.n(k));
  if (hl !== undefined && hh !== undefined)
    list.push({ name: "hole", low: hl, high: hh, lining: "iron", keys: ["holemin", "holemax"] });
  if (sl !== undefined && sh !== undefined)
    list.push({ name: "shaft", low: sl, high: sh, lining: "steel", keys: ["shaftmin", "shaftmax"] });
  if (list.length === 0) return false;
  p.ask("size", 52, 40, { w: 92 });
  p.ask("fit", 180, 40, { w: 104 });
  p.ask("bored", 306, 40, { w: 96 });
  const { s, Y } = zones(p, r, list, 0);
  const bored = r.typed("bored");
  const basic = r.n("basic");
  if (bored !== undefined && basic !== undefined && hl !== undefined && hh !== undefined) {
    const y = Math.max(84, Math.min(276, Y(bored - basic)));
    const out = bored - basic < hl - 1e-9 || bored - basic > hh + 1e-9;
    p.of("bored", () => p.line(out ? "d-badline" : "d-mark", [116, y], [164, y]));
  }
  if (list.length === 2) {
    figure(p, r, "tight", "tightest", [94, 306], "end");
    figure(p, r, "loose", "loosest", [264, 306]);
  }
  if (!p.faint) p.put(180, 312, life(s).replace("drawn ", ""), "d-name", "middle");
  p.tell("Zones about the size");
}

/** A pin in two plates: squeeze and slip drawn larger. */
function dowel(p: Pad, r: Reader) {
  const [lo, hi, pl, ph] = r.needs("pinmin pinmax pressmin pressmax") as [number, number, number, number];
  const slip = r.need("slipmin");
  const reamed = r.typed("reamed");
  const press = reamed ?? (pl + ph) / 2;
  const pin = (lo + hi) / 2;
  const half = 34;
  const by = times(9 / ((Math.max(slip - pin, Math.abs(pin - press), 1e-6) / 2) * ((2 * half) / pin)));
  const wide = (hole: number): number =>
    Math.max(10, Math.min(56, half + ((hole - pin) / 2) * ((2 * half) / pin) * by));
  const [x, l, rt, top, mid, end] = [176, 106, 246, 70, 160, 262];
  const bad = stopped(p, r);
  p.ask("size", 50, 40, { from: [x - half * 0.6, top - 18], w: 92 });
  p.ask("spread", RIGHT, 40, { from: [x + wide(slip), top + 14], w: 96 });
  p.ask("reamed", RIGHT, 214, { from: [x + wide(press), 214], w: 96 });
  const plate = (y0: number, y1: number, w: number, lining: string, k: string): void => {
    for (const side of [-1, 1]) {
      const [a, b] = [x + side * w, side < 0 ? l : rt];
      p.box("d-metal", Math.min(a, b), y0, Math.max(a, b), y1, lining);
      p.line("d-line", [b, y0], [a, y0]);
      p.line("d-line", [b, y1], [a, y1]);
      p.line(k, [a, y0], [a, y1]);
    }
  };
  p.of("spread", () => plate(top, mid, wide(slip), "steel", "d-line"));
  p.of("reamed", () => plate(mid, end, wide(press), "iron", "d-line"));
  const tall: Point[] = [
    [x - half + 6, top - 34],
    [x + half - 6, top - 34],
    [x + half, top - 26],
    [x + half, end - 18],
    [x + half - 6, end - 10],
    [x - half + 6, end - 10],
    [x - half, end - 18],
    [x - half, top - 26],
  ];
  p.of("size", () => p.face("d-tool", tall));
  for (const side of [-1, 1]) {
    const [a, b] = [x + side * wide(press), x + side * half];
    if (Math.abs(a - b) < 1) continue;
    const squeezed = side * (b - a) > 0;
    if (squeezed || bad)
      p.box(
        bad ? "d-badline" : "d-thin",
        Math.min(a, b),
        mid,
        Math.max(a, b),
        end - 18,
        bad ? "bad" : "thread",
      );
  }
  p.line("d-axis", [x, top - 42], [x, end + 8]);
  figure(p, r, "slipmin", "slip hole", [LEFT - 4, top + 38], "end");
  figure(p, r, "pressmax", "press, most", [LEFT - 4, mid + 30], "end");
  figure(p, r, "pressmin", "least", [LEFT - 4, mid + 70], "end");
  figure(p, r, "drill", "drill first", [12, end + 20], "start", 150);
  if (!p.faint) p.put(356, end + 44, `fits ${drawn(by)}`, "d-name", "end");
  p.tell("Section of two plates and the pin");
}

export const size = { clear, bore, room, fit, dowel };
