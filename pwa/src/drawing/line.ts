/** In line and square: readings drawn much larger than the part they were taken on. */
import { arc, drawn, life, type Pad, polar, span, times, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";

interface Chart {
  x: (n: number) => number;
  /** Deviation to pixels, up being towards the indicator. */
  y: (n: number) => number;
  /** How many times larger than lengths deviations are drawn. */
  by: number;
}

/** Lengths across to scale, deviations up by a round number of times the same scale. */
function chart(p: Pad, xs: number[], ys: number[], top = 40, high = 120, l = 24, r = WIDTH - 24): Chart {
  const [x0, x1] = span(xs);
  const s = (r - l) / (x1 - x0 || 1);
  const [y0, y1] = span([...ys, 0]);
  const by = y1 > y0 ? times(high / ((y1 - y0) * s)) : 1;
  const y = (n: number): number => top + (y1 - n) * s * by;
  p.line("d-ghost", [l - 12, y(0)], [r + 12, y(0)]);
  return { x: (n) => l + (n - x0) * s, y, by };
}

const larger = (by: number): string => `Lengths to scale. Up and down ${drawn(by)}.`;

/** Stations, the line through them, and which end goes which way. */
function tram(p: Pad, r: Reader) {
  const st = r.numbers("stations", 4) as [number, number, number, number][];
  const [first, last] = [st[0], st.at(-1)];
  if (!first || !last) return false;
  const run = last[0] - first[0];
  const on = (x: number): number =>
    run === 0 ? first[2] : first[2] + ((last[2] - first[2]) * (x - first[0])) / run;
  const [pivot, tap] = [r.n("pivotx") ?? first[0], r.n("tapx") ?? last[0]];
  const xs = [...st.map((s) => s[0]), pivot, tap];
  const level = on(pivot);
  const c = chart(p, xs, [...st.flatMap((s) => [s[1], s[2]]), on(pivot), on(tap)], 60);
  const [x0, x1] = span(xs);
  p.line("d-mark", [c.x(x0), c.y(on(x0))], [c.x(x1), c.y(on(x1))]);
  for (const [x, m, l] of st) {
    p.line("d-thin", [c.x(x), c.y(l)], [c.x(x), c.y(m)]);
    p.spot("d-dot", c.x(x), c.y(m), 4);
  }
  p.pivot(c.x(pivot), c.y(level));
  if (r.word("bowed") === "true") {
    const worst = st.reduce((a, q) => (Math.abs(q[3]) > Math.abs(a[3]) ? q : a));
    p.letter(c.x(worst[0]), c.y(worst[1]) - 16, "Farthest off the line", "=bow");
  }
  const [ty, goal] = [c.y(on(tap)), c.y(level)];
  const move = r.n("move"); // only where one is ordered
  if (move !== undefined && Math.abs(ty - goal) > 4) {
    const off = ty < goal ? -1 : 1;
    p.push(c.x(tap), ty + off * 34, c.x(tap), ty + off * 4);
    p.line("d-ghost", [c.x(pivot), goal], [c.x(tap), goal]);
    p.letter(
      c.x(tap) - 18,
      ty + off * 24,
      `Move here ${move < 0 ? "away from" : "towards"} the indicator`,
      r.t("move"),
    );
  }
  p.letter(c.x(pivot), c.y(level) + 26, "Pivot at", "=pivotx");
  p.note(`Up is towards the indicator. Dots: readings. Thick line: through the ends. ${larger(c.by)}`);
}

/** Which shim goes under which support. */
function shim(p: Pad, r: Reader) {
  const places = r.rows("places").map((q, i) => ({
    x: r.size(q[0]) ?? i,
    y: r.size(q[1]),
    lift: typeof q[2] === "number" ? q[2] : 0,
    pack: String(q[3] ?? ""),
  }));
  if (places.length === 0) return false;
  const flat = places.some((q) => q.y !== undefined);
  if (flat) {
    const [xs, ys] = [places.map((q) => q.x), places.map((q) => q.y ?? 0)];
    const [x0, x1] = span(xs);
    const [y0, y1] = span(ys);
    const v = p.view([x0, y0, x1, y1], [40, 40, WIDTH - 40, 220]);
    p.put(8, 16, "Feet seen from above");
    for (const q of places) {
      const [x, y] = [v.x(q.x), v.y(q.y ?? 0)];
      p.box(q.lift > 0 ? "d-fill" : "d-tool", x - 7, y - 7, x + 7, y + 7);
      p.block([x - 8, y - 8, x + 8, y + 8]);
      p.letter(x, y - 22, `Lift ${r.cells("places", places.indexOf(q), 2)}`, q.pack || "nothing");
    }
    p.note("Places to scale. Filled: a pack goes under.");
    return;
  }
  const read = r.numbers("readings", 1).map((q) => q[0]!);
  const pivot = r.typed("pivot") ?? read[0] ?? Math.min(...places.map((q) => q.x)) - 1;
  const c = chart(
    p,
    [...places.map((q) => q.x), ...read, pivot],
    places.map((q) => q.lift),
    50,
    90,
  );
  const base = c.y(0);
  const at = [[pivot, 0] as const, ...places.map((q) => [q.x, q.lift] as const)].sort((a, b) => a[0] - b[0]);
  const under = at.map(([x, l]): Point => [c.x(x), c.y(l)]);
  p.face("d-metal", [...under, ...under.map((q): Point => [q[0], q[1] - 24]).reverse()], "iron");
  p.line("d-line", ...under);
  p.line("d-line", [12, base], [WIDTH - 12, base]);
  p.pivot(c.x(pivot), base);
  places.forEach((q, i) => {
    const x = c.x(q.x);
    if (q.lift > 0) p.box("d-fill", x - 6, c.y(q.lift), x + 6, base);
    p.letter(
      x,
      base + 20,
      `Under ${r.cells("places", i, 0) || `place ${i + 1}`}, lift ${r.cells("places", i, 2)}`,
      q.pack,
    );
  });
  p.note(`${larger(c.by)} The triangle is where it pivots.`);
}

/**
 * A lever indicator's stylus against the surface: what the needle shows and what the surface moved.
 */
function lever(p: Pad, r: Reader) {
  const a = r.need("angle");
  const [tx, ty, long] = [150, 150, 110];
  p.iron(12, ty + 6, 222, ty + 48);
  const pivot = polar(tx, ty, long, 180 - a);
  p.line("d-line", pivot, [tx, ty]);
  p.round("d-dot", tx, ty, 6);
  p.round("d-tool", pivot[0], pivot[1], 12);
  p.line("d-axis", [tx - long, ty], [tx + 60, ty]);
  p.curve("d-dim", arc(tx, ty, 46, 180, 180 - a));
  // The tip swings square to the stylus; the surface moves straight up.
  const [sx, sy] = polar(tx, ty, 56, 90 - a);
  p.push(tx, ty, sx, sy);
  p.line("d-ghost", [sx, sy], [tx, sy]);
  p.upright(tx + 64, ty, sy);
  p.tag(sx, sy, "Needle shows", "=reading");
  p.tag(tx + 64, (ty + sy) / 2, "It moved", "=true");
  p.tag(tx - 44, ty - 12, "Stylus angle", "=angle");
  p.note("Angle true. Moves much larger than life.");
}

/** Readings around a dial, with the nearest side marked. */
function sweep(p: Pad, r: Reader) {
  const points = r.some("points", 4) as [number, number, number, number][];
  const [cx, cy, R, most] = [180, 152, 74, 22];
  const mean = r.n("mean") ?? 0;
  const half = (r.n("over") ?? 0) / 2;
  const nearest = r.n("nearest") ?? 0;
  const dev = points.map((q) => q[1] - mean);
  const top = Math.max(half, ...dev.map(Math.abs));
  const s = top > 0 ? most / top : 0;
  const at = (deg: number, d: number): Point => polar(cx, cy, R + d * s, deg);
  p.round("d-ghost", cx, cy, R);
  const ring: Point[] = [];
  for (let a = 0; a < 360; a += 6) ring.push(at(a, half * Math.cos(((a - nearest) * Math.PI) / 180)));
  p.face("d-flank", ring);
  const upright = r.word("machine") === "level";
  const sides = ["right", upright ? "top" : "back", "left", upright ? "bottom" : "front"];
  points.forEach((q, i) => {
    const e = at(q[0], dev[i]!);
    p.line("d-thin", at(q[0], 0), e);
    p.spot("d-dot", e[0], e[1], 4);
  });
  const seen = new Set<number>();
  points.forEach((q, i) => {
    const turn = ((q[0] % 360) + 360) % 360;
    if (seen.has(turn)) return;
    seen.add(turn);
    const [x, y] = polar(cx, cy, R + most + 36, turn);
    if (turn % 90 === 0) p.near(x, y - 6, sides[turn / 90]!);
    const text = r.cells("points", i, 1);
    p.near(x, y + 10, text, "d-small");
    p.tell(`${turn} ${text}`);
  });
  if (half > 0) {
    const e = polar(cx, cy, R * 0.7, nearest);
    p.push(cx, cy, ...e);
    p.letter(cx - (e[0] - cx) * 0.5, cy - (e[1] - cy) * 0.5, "Nearest at", "=nearest");
  }
  p.note(
    `Seen ${upright ? "from the spindle" : "from above"}. Outside the dashed ring: nearer. Full ring: the tilt alone. Readings enlarged.`,
  );
}

/** The hollow a leaning face mill leaves. */
function dish(p: Pad, r: Reader) {
  const cutter = r.need("cutter");
  const width = r.typed("width") ?? cutter;
  const hollow = r.need("hollow");
  const off = Math.max(-width / 2, Math.min(width / 2, r.n("offset") ?? 0));
  const s = (WIDTH - 60) / Math.max(cutter + 2 * Math.abs(off), width);
  const by = hollow > 0 ? times(44 / (hollow * s)) : 1;
  const X = (x: number): number => WIDTH / 2 + x * s;
  const top = 70;
  const far = width / 2 + Math.abs(off);
  const face: Point[] = [];
  for (let i = 0; i <= 24; i++) {
    const x = -width / 2 + (width * i) / 24;
    face.push([X(x), top + hollow * s * by * (1 - ((x - off) / far) ** 2)]);
  }
  const under = top + 44 + 44;
  p.face("d-metal", [...face, [X(width / 2), under], [X(-width / 2), under]], "iron");
  p.line("d-line", ...face);
  p.line("d-ghost", [X(-width / 2) - 10, top], [X(width / 2) + 10, top]);
  p.box("d-tool", X(off - cutter / 2), 26, X(off + cutter / 2), 44);
  p.line("d-axis", [X(off), 10], [X(off), under + 8]);
  p.upright(X(off) + 16, top, top + hollow * s * by);
  p.letter(X(off) + 34, top + (hollow * s * by) / 2, "Hollow", "=hollow");
  p.level(X(-width / 2), X(width / 2), under + 18);
  p.letter(X(0), under + 18, "Width of cut", r.t("width") || r.t("cutter"));
  p.letter(X(off - cutter / 2) + 14, 35, "Face mill", "=cutter");
  p.note(`Widths to scale. The hollow ${drawn(by)}.`);
}

/** Slide and square against the true vertical. */
function square(p: Pad, r: Reader) {
  const hs = r.numbers("readings", 1).map((q) => q[0]!);
  const [h0, h1] = span(hs);
  const [m, o] = [r.n("machine") ?? 0, r.n("object") ?? 0];
  if (!(h1 > h0)) return false;
  const s = 200 / (h1 - h0);
  const most = Math.max(Math.abs(m), Math.abs(o)) * (h1 - h0);
  const by = most > 0 ? times(70 / (most * s)) : 1;
  const [x0, y0] = [110, 236];
  const Y = (h: number): number => y0 - (h - h0) * s;
  const lean = (k: number): number => x0 + k * (h1 - h0) * s * by;
  p.iron(12, y0, 210, y0 + 16);
  p.line("d-ghost", [x0, y0], [x0, Y(h1) - 14]);
  p.line("d-mark", [x0, y0], [lean(m), Y(h1)]);
  p.line("d-line", [x0, y0], [lean(o), Y(h1)]);
  for (const h of hs) p.line("d-thin", [x0 - 5, Y(h)], [x0 + 5, Y(h)]);
  p.tag(lean(m), Y(h1), "Machine's slide", "=machine");
  p.tag((x0 + lean(o)) / 2, (y0 + Y(h1)) / 2, "Square itself", "=object");
  p.tag(x0 + 5, Y(h0) - 6, "Out by", "=out");
  p.note(
    `Heights to scale. Leans ${drawn(by)}. Thick: the slide. Thin: the square. Dashes: truly upright. Right is towards the indicator.`,
  );
}

/** A test bar: the axis, and the bar that runs out about it. */
function bar(p: Pad, r: Reader) {
  const pts = r.some("points", 3) as [number, number, number][];
  const c = chart(
    p,
    [0, ...pts.map((q) => q[0])],
    pts.flatMap((q) => [q[1], q[1] + q[2], q[1] - q[2]]),
    54,
    100,
    60,
  );
  p.iron(12, c.y(0) - 26, 60, c.y(0) + 26, "steel");
  p.line("d-mark", ...pts.map((q): Point => [c.x(q[0]), c.y(q[1])]));
  for (const k of [1, -1]) p.line("d-thin", ...pts.map((q): Point => [c.x(q[0]), c.y(q[1] + k * q[2])]));
  for (const q of pts) {
    p.round("d-dot", c.x(q[0]), c.y(q[1]), 4);
    p.upright(c.x(q[0]), c.y(q[1] + Math.abs(q[2])), c.y(q[1] - Math.abs(q[2])));
  }
  const end = pts.at(-1)!;
  p.letter(c.x(end[0]) - 22, c.y(end[1]) - 20, "Axis out of line by", "=out");
  p.note(
    `Up is towards the indicator. Thick line: the spindle's axis. Thin: the bar, half a turn apart. ${larger(c.by)}`,
  );
}

/** Lean after every move, against the target. */
function tapin(p: Pad, r: Reader) {
  const allow = r.need("allow");
  const n = r.filled("history");
  if (n.length === 0) return false;
  const [lo, hi] = span([...n.map((q) => q[5]!), ...n.map((q) => q[6]!), allow, -allow]);
  const s = 150 / (hi - lo);
  const Y = (d: number): number => 24 + (hi - d) * s;
  const last = n.at(-1)![0]!;
  const X = (row: number): number => 30 + (last > 1 ? ((row - 1) * 180) / (last - 1) : 90);
  p.box("d-metal", 12, Y(allow), 224, Y(-allow));
  p.line("d-axis", [12, Y(0)], [224, Y(0)]);
  const axes = r.rows("history").map((q) => String(q[1] ?? ""));
  [...new Set(axes)].forEach((axis, k) => {
    const mine = n.filter((_, i) => axes[i] === axis);
    p.line(k ? "d-ghost" : "d-line", ...mine.map((q): Point => [X(q[0]!), Y(q[6]!)]));
    for (const q of mine) p.spot(k ? "d-void d-line" : "d-dot", X(q[0]!), Y(q[5]!), 4);
    const end = axes.lastIndexOf(axis);
    p.letter(X(n[end]![0]!) - 4, Y(n[end]![6]!) - 18, axis || "Lean", r.cells("history", end, 6));
  });
  p.tag(224, Y(allow), "Wanted within", "=allow");
  p.note(`Readings in their order, ${life(s)}. Line: the lean, best known. Grey: good enough.`);
}

export const line = { tram, shim, lever, sweep, dish, square, bar, tapin };
