/** In line and square: readings drawn much larger than the part they were taken on. */
import { arc, Pad, times, WIDTH, type Point, type View } from "./pad";
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
  const [x0, x1] = [Math.min(...xs), Math.max(...xs)];
  const s = (r - l) / (x1 - x0 || 1);
  const span = Math.max(...ys, 0) - Math.min(...ys, 0);
  const by = span > 0 ? times(high / (span * s)) : 1;
  const y = (n: number): number => top + (Math.max(...ys, 0) - n) * s * by;
  p.line("d-ghost", [l - 12, y(0)], [r + 12, y(0)]);
  return { x: (n) => l + (n - x0) * s, y, by };
}

const larger = (by: number, what = "Up and down"): string =>
  by > 1 ? `Lengths to scale. ${what} drawn ${by} times larger.` : "To scale.";

/** Stations, the line through them, and which end goes which way. */
function tram(r: Reader) {
  const p = new Pad();
  const st = r.numbers("stations", 4) as [number, number, number, number][];
  const [first, last] = [st[0], st.at(-1)];
  if (!first || !last) return undefined;
  const run = last[0] - first[0];
  const on = (x: number): number =>
    run === 0 ? first[2] : first[2] + ((last[2] - first[2]) * (x - first[0])) / run;
  const [pivot, tap] = [r.n("pivotx") ?? first[0], r.n("tapx") ?? last[0]];
  const xs = [...st.map((s) => s[0]), pivot, tap];
  const level = on(pivot);
  const c = chart(p, xs, [...st.flatMap((s) => [s[1], s[2]]), on(pivot), on(tap)], 60);
  const [x0, x1] = [Math.min(...xs), Math.max(...xs)];
  p.line("d-mark", [c.x(x0), c.y(on(x0))], [c.x(x1), c.y(on(x1))]);
  for (const [x, m, l] of st) {
    p.line("d-thin", [c.x(x), c.y(l)], [c.x(x), c.y(m)]);
    p.round("d-dot", c.x(x), c.y(m), 4);
    p.block([c.x(x) - 4, c.y(m) - 4, c.x(x) + 4, c.y(m) + 4]);
  }
  const foot: Point = [c.x(pivot), c.y(level)];
  p.face("d-tool", [foot, [foot[0] - 8, foot[1] + 14], [foot[0] + 8, foot[1] + 14]]);
  p.block([foot[0] - 9, foot[1], foot[0] + 9, foot[1] + 15]);
  const [ty, goal] = [c.y(on(tap)), c.y(level)];
  if (Math.abs(ty - goal) > 4) {
    const off = ty < goal ? -1 : 1;
    p.push(c.x(tap), ty + off * 34, c.x(tap), ty + off * 4);
    p.line("d-ghost", [c.x(pivot), goal], [c.x(tap), goal]);
    p.letter(
      c.x(tap) - 18,
      ty + off * 24,
      `Move here ${r.need("move") < 0 ? "away from" : "towards"} the indicator`,
      r.t("move"),
    );
  }
  p.letter(foot[0], foot[1] + 26, "Pivot at", r.t("pivotx"));
  p.row("Tilt over the length", r.t("total"));
  p.row("Bow of the middle", r.t("bow"));
  p.row("Sure to, plus or minus", r.t("sure"));
  p.note(`Up is towards the indicator. Dots: readings. Thick line: through them. ${larger(c.by)}`);
  return p.done();
}

/** What goes under where. */
function shim(r: Reader) {
  const p = new Pad();
  const places = r.rows("places").map((q, i) => ({
    x: r.size(q[0]) ?? i,
    y: r.size(q[1]),
    lift: typeof q[2] === "number" ? q[2] : 0,
    pack: String(q[3] ?? ""),
  }));
  if (places.length === 0) return undefined;
  const flat = places.some((q) => q.y !== undefined);
  if (flat) {
    const [xs, ys] = [places.map((q) => q.x), places.map((q) => q.y ?? 0)];
    const v: View = p.view(
      [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)],
      [40, 40, WIDTH - 40, 220],
    );
    p.put(8, 16, "Feet seen from above");
    for (const q of places) {
      const [x, y] = [v.x(q.x), v.y(q.y ?? 0)];
      p.box(q.lift > 0 ? "d-fill" : "d-tool", x - 7, y - 7, x + 7, y + 7);
      p.block([x - 8, y - 8, x + 8, y + 8]);
      p.letter(x, y - 22, `Lift ${r.cells("places", places.indexOf(q), 2)}`, q.pack || "nothing");
    }
    p.note("Places to scale. Filled: a pack goes under.");
    return p.done();
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
  p.face("d-tool", [
    [c.x(pivot), base],
    [c.x(pivot) - 7, base + 13],
    [c.x(pivot) + 7, base + 13],
  ]);
  p.block([c.x(pivot) - 8, base, c.x(pivot) + 8, base + 14]);
  places.forEach((q, i) => {
    const x = c.x(q.x);
    if (q.lift > 0) p.box("d-fill", x - 6, c.y(q.lift), x + 6, base);
    p.letter(x, base + 20, `Under ${r.cells("places", i, 0)}, lift ${r.cells("places", i, 2)}`, q.pack);
  });
  p.note(`${larger(c.by)} The triangle is where it pivots.`);
  return p.done();
}

/** A lever indicator's stylus against the surface: what the needle shows and what the surface moved. */
function lever(r: Reader) {
  const p = new Pad();
  const a = (r.need("angle") * Math.PI) / 180;
  const [tx, ty, long] = [150, 150, 110];
  p.iron(12, ty + 6, 222, ty + 48);
  const pivot: Point = [tx - long * Math.cos(a), ty - long * Math.sin(a)];
  p.line("d-line", pivot, [tx, ty]);
  p.round("d-dot", tx, ty, 6);
  p.round("d-tool", pivot[0], pivot[1], 12);
  p.line("d-axis", [tx - long, ty], [tx + 60, ty]);
  p.curve("d-dim", arc(tx, ty, 46, 180, 180 - (a * 180) / Math.PI));
  // The tip swings square to the stylus; the surface moves straight up.
  const show = 56;
  const [sx, sy] = [tx + show * Math.sin(a), ty - show * Math.cos(a)];
  p.push(tx, ty, sx, sy);
  p.line("d-ghost", [sx, sy], [tx, sy]);
  p.upright(tx + 64, ty, sy);
  p.tag(sx, sy, "Needle shows", r.t("reading"));
  p.tag(tx + 64, (ty + sy) / 2, "It moved", r.t("true"));
  p.tag(tx - 44, ty - 12, "Stylus angle", r.t("angle"));
  p.row("Times", r.t("factor"));
  p.row("Reads too much by", r.t("error"));
  p.note("Angle true. Both moves drawn to one scale, much larger than life.");
  return p.done();
}

/** A clock of readings with the side that is nearest. */
function sweep(r: Reader) {
  const p = new Pad();
  const points = r.numbers("points", 4) as [number, number, number, number][];
  if (points.length === 0) return undefined;
  const [cx, cy, R, most] = [180, 152, 74, 22];
  const mean = r.n("mean") ?? 0;
  const half = (r.n("over") ?? 0) / 2;
  const nearest = r.n("nearest") ?? 0;
  const dev = points.map((q) => q[1] - mean);
  const top = Math.max(half, ...dev.map(Math.abs));
  const s = top > 0 ? most / top : 0;
  const at = (deg: number, d: number): Point => [
    cx + (R + d * s) * Math.cos((deg * Math.PI) / 180),
    cy - (R + d * s) * Math.sin((deg * Math.PI) / 180),
  ];
  p.round("d-ghost", cx, cy, R);
  const ring: Point[] = [];
  for (let a = 0; a < 360; a += 6) ring.push(at(a, half * Math.cos(((a - nearest) * Math.PI) / 180)));
  p.face("d-flank", ring);
  const sides =
    r.word("machine") === "level" ? ["right", "top", "left", "bottom"] : ["right", "back", "left", "front"];
  points.forEach((q, i) => {
    const e = at(q[0], dev[i]!);
    p.line("d-thin", at(q[0], 0), e);
    p.round("d-dot", e[0], e[1], 4);
    p.block([e[0] - 5, e[1] - 5, e[0] + 5, e[1] + 5]);
  });
  const seen = new Set<number>();
  points.forEach((q, i) => {
    const turn = ((q[0] % 360) + 360) % 360;
    if (seen.has(turn)) return;
    seen.add(turn);
    const text = r.cells("points", i, 1);
    const out = R + most + 10;
    const [ux, uy] = [Math.cos((turn * Math.PI) / 180), -Math.sin((turn * Math.PI) / 180)];
    if (turn % 90 !== 0) {
      p.near(cx + ux * (out + 22), cy + uy * (out + 6) + 4, text, "d-small", 30);
      return;
    }
    const a = turn === 0 ? "start" : turn === 180 ? "end" : "middle";
    const y = turn === 90 ? cy - out - 16 : turn === 270 ? cy + out + 12 : cy - 4;
    p.put(cx + ux * (a === "middle" ? 0 : out), y, sides[turn / 90]!, "d-name", a);
    p.put(cx + ux * (a === "middle" ? 0 : out), y + 16, text, "d-small", a);
  });
  if (half > 0) {
    const e = at(nearest, -R / s + (R * 0.7) / s);
    p.push(cx, cy, e[0], e[1]);
    p.letter(cx - (e[0] - cx) * 0.5, cy - (e[1] - cy) * 0.5, "Nearest at", r.t("nearest"));
  }
  p.row("Lean over the swing", r.t("over"));
  p.row("Right-left tilt", r.t("tiltx"));
  p.row("Back-front tilt", r.t("tilty"));
  p.row("Sure to, plus or minus", r.t("sure"));
  p.note(
    "Seen from above the work. Outside the dashed ring: nearer. The full ring is the tilt alone; readings much larger than the swing.",
  );
  if (r.word("machine") === "level") return level(p);
  return p.done();
}

/** An upright plate is looked at from the operator's side. */
function level(p: Pad) {
  const pic = p.done();
  pic.says = pic.says.replace("Seen from above the work", "Seen from the spindle");
  for (const w of pic.words) w.s = w.s.replace("Seen from above the work", "Seen from the spindle");
  return pic;
}

/** The hollow a leaning face mill leaves. */
function dish(r: Reader) {
  const p = new Pad();
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
  p.letter(X(off) + 34, top + (hollow * s * by) / 2, "Hollow", r.t("hollow"));
  p.level(X(-width / 2), X(width / 2), under + 18);
  p.letter(X(0), under + 18, "Width of cut", r.t("width") || r.t("cutter"));
  p.letter(X(off - cutter / 2) + 14, 35, "Face mill", r.t("cutter"));
  p.row("Ridge between passes", r.t("ridge"));
  p.row("Most tilt for the flatness", r.t("most"));
  p.note(`Widths to scale. The hollow drawn ${by} times larger.`);
  return p.done();
}

/** Slide and square against the true upright. */
function square(r: Reader) {
  const p = new Pad();
  const hs = r.numbers("readings", 1).map((q) => q[0]!);
  const [h0, h1] = [Math.min(...hs), Math.max(...hs)];
  const [m, o] = [r.n("machine") ?? 0, r.n("object") ?? 0];
  if (!(h1 > h0)) return undefined;
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
  p.tag(lean(m), Y(h1), "Machine's slide", r.t("machine"));
  p.tag((x0 + lean(o)) / 2, (y0 + Y(h1)) / 2, "Square itself", r.t("object"));
  p.tag(x0 + 5, Y(h0) - 6, "Out by", r.t("out"));
  p.row("Height read over", r.t("height"));
  p.row("Sure to, plus or minus", r.t("sure"));
  p.note(
    `Heights to scale. Leans drawn ${by} times larger. Thick: the slide. Thin: the square. Dashes: truly upright. Right is towards the indicator.`,
  );
  return p.done();
}

/** A test bar: the axis, and the bar that runs out about it. */
function bar(r: Reader) {
  const p = new Pad();
  const pts = r.numbers("points", 3) as [number, number, number][];
  if (pts.length === 0) return undefined;
  const c = chart(
    p,
    [0, ...pts.map((q) => q[0])],
    pts.flatMap((q) => [q[1], q[1] + q[2], q[1] - q[2]]),
    54,
    100,
    60,
  );
  p.box("d-metal", 12, c.y(0) - 26, 60, c.y(0) + 26, "steel");
  p.box("d-line", 12, c.y(0) - 26, 60, c.y(0) + 26);
  p.line("d-mark", ...pts.map((q): Point => [c.x(q[0]), c.y(q[1])]));
  for (const k of [1, -1]) p.line("d-thin", ...pts.map((q): Point => [c.x(q[0]), c.y(q[1] + k * q[2])]));
  for (const q of pts) {
    p.round("d-dot", c.x(q[0]), c.y(q[1]), 4);
    p.upright(c.x(q[0]), c.y(q[1] + Math.abs(q[2])), c.y(q[1] - Math.abs(q[2])));
  }
  const end = pts.at(-1)!;
  p.letter(c.x(end[0]) - 22, c.y(end[1]) - 20, "Axis out of line by", r.t("out"));
  p.row("Bar runs out by itself", r.t("tir"));
  p.row("Slope of the axis", r.t("slope"));
  p.row("Sure to, plus or minus", r.t("sure"));
  p.note(
    `Up is towards the indicator. Thick line: the spindle's axis. Thin: the bar, half a turn apart. ${larger(c.by)}`,
  );
  return p.done();
}

export const line = { tram, shim, lever, sweep, dish, square, bar };
