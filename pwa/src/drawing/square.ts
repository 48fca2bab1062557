/** Square: a head swept round, the hollow it cuts, a plate or a square read upright, a bar. */
import { figure, indicator } from "./line";
import { type Pad, polar, span, times, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";

const SIDES = ["right", "back", "left", "front"];

/** A head from one side: its body leaning, the spindle under it, which way its top goes. */
function leaning(p: Pad, x: number, y: number, lean: number, out: boolean, name: string, turn: string): void {
  // A turn about the table, its top going where the near side is.
  const at = (dx: number, dy: number): Point => [x + dx + (lean * (60 - dy)) / 60, y + dy + (lean * dx) / 60];
  p.put(x, y - 4, name, "d-name", "middle");
  p.line("d-ghost", [x, y + 2], [x, y + 88]);
  const box = (x0: number, y0: number, x1: number, y1: number): Point[] => [
    at(x0, y0),
    at(x1, y0),
    at(x1, y1),
    at(x0, y1),
  ];
  const draw = (k: string, q: Point[]) => p.face(k, q);
  draw("d-metal d-line", box(-17, 8, 17, 46));
  draw("d-tool", box(-9, 46, 9, 60));
  draw("d-tool", box(-22, 60, 22, 67));
  p.line("d-line", [x - 40, y + 88], [x + 40, y + 88]);
  p.block([x - 42, y - 16, x + 42, y + 92]);
  if (!out || p.faint) return;
  const [tx, ty] = at(0, 16);
  const back = lean > 0 ? -1 : 1;
  p.push(tx - back * 8, ty, tx + back * 30, ty);
  if (turn) figure(p, `${turn} turn`, x, y + 108, "", 20);
}

/** Readings round a circle: a box at each side, and the head that leans. */
function sweep(p: Pad, r: Reader) {
  const level = r.word("machine") === "level";
  const sides = level ? ["right", "top", "left", "bottom"] : SIDES;
  const [cx, cy, R] = [122, 140, 82];
  const read = SIDES.map((key) => r.typed(key));
  const points = r.numbers("points", 4);
  if (points.length === 0 && !p.faint) return false;
  const way = r.word("sense") === "far" ? -1 : 1;
  const known = points.map((q) => q[1]!);
  const [lo, hi] = known.length ? span(known) : [0, 0];
  const mean = (lo + hi) / 2;
  const most = Math.max((hi - lo) / 2, r.n("allow") ?? 0, 1e-9);
  const at = (deg: number, y: number): Point => polar(cx, cy, R + ((y - mean) / most) * 20, deg);
  p.put(8, 14, level ? "from the spindle" : "from above");
  p.round("d-flank", cx, cy, R);
  p.line("d-ext", [cx - R - 20, cy], [cx + R + 20, cy]);
  p.line("d-ext", [cx, cy - R - 20], [cx, cy + R + 20]);
  // The lean alone, as a ring off the circle.
  const half = (r.n("over") ?? 0) / 2;
  const nearest = ((r.n("nearest") ?? 0) * Math.PI) / 180;
  if (half > 0) {
    const ring = Array.from({ length: 60 }, (_, i) => i * 6);
    p.face(
      "d-ghost",
      ring.map((a) => at(a, mean + half * Math.cos((a * Math.PI) / 180 - nearest))),
    );
  }
  const cutter = r.typed("cutter");
  const swing = r.n("dia");
  if (cutter !== undefined && swing !== undefined && cutter <= swing)
    p.round("d-ghost", cx, cy, (R * cutter) / swing);
  const stop = r.answer.mark === "stop";
  // Right and left together against back and front.
  if (stop) for (const k of [0, 90]) p.line("d-badline", polar(cx, cy, R, k), polar(cx, cy, R, 180 + k));
  read.forEach((y, i) => {
    if (y === undefined) return;
    p.round("d-dot", ...at(i * 90, way * y), 4);
  });
  SIDES.forEach((key, i) => {
    const [x, y] = polar(cx, cy, R, i * 90);
    p.ask(key, x, y, { w: 74 });
    p.tell(`${sides[i]} ${p.faint ? "" : r.t(key)}`);
  });
  p.ask("swing", cx, cy + 4, { w: 78 });
  p.ask("cutter", 226, 284, { w: 84 });
  const lean = (k: number): number | undefined => {
    const list = points.filter((q) => q[0] === 90 * k || q[0] === 180 + 90 * k);
    const a = list.find((q) => q[0] === 90 * k);
    const b = list.find((q) => q[0] === 180 + 90 * k);
    return a && b ? a[1]! - b[1]! : undefined;
  };
  const allow = r.n("allow") ?? 0;
  ["from the front", "from the side"].forEach((name, k) => {
    const t = lean(k);
    if (t === undefined && k === 1) return;
    const out = !stop && t !== undefined && Math.abs(t) > allow + 1e-9;
    const size = t === undefined ? 0 : (t / (2 * most)) * 14;
    leaning(p, 302, 26 + k * 128, size, out, name, r.t(k ? "turny" : "turnx"));
  });
  if (r.t("hollow")) figure(p, r.t("hollow"), 302, 290, "hollow", 25);
  if (r.answer.mark !== "stop" && !r.t("turnx") && !r.t("turny") && r.word("square") !== "true")
    figure(p, r.t("mean"), 60, 290, "meet at", 25);
}

/** The hollow a leaning face mill leaves. */
function dish(p: Pad, r: Reader) {
  const cutter = r.need("cutter");
  const width = r.typed("width") ?? cutter;
  const hollow = r.need("hollow");
  const off = Math.max(-width / 2, Math.min(width / 2, r.n("offset") ?? 0));
  const s = (WIDTH - 72) / Math.max(cutter + 2 * Math.abs(off), width);
  const by = hollow > 0 ? times(40 / (hollow * s)) : 1;
  const X = (x: number): number => WIDTH / 2 + x * s;
  const top = 128;
  const far = width / 2 + Math.abs(off);
  const face: Point[] = [];
  for (let i = 0; i <= 24; i++) {
    const x = -width / 2 + (width * i) / 24;
    face.push([X(x), top + hollow * s * by * (1 - ((x - off) / far) ** 2)]);
  }
  const deep = hollow * s * by;
  const under = top + 92;
  if (!p.faint && by > 1) p.put(8, 14, `hollow ${by} times`);
  p.face("d-metal", [...face, [X(width / 2), under], [X(-width / 2), under]], "iron");
  p.line("d-line", ...face);
  p.line("d-ghost", [X(-width / 2) - 10, top], [X(width / 2) + 10, top]);
  const bad = r.word("flat") === "false";
  if (bad) p.line("d-badline", ...face);
  p.box("d-tool", X(off - cutter / 2), 84, X(off + cutter / 2), 104);
  p.box("d-tool", X(off) - 24, 40, X(off) + 24, 84);
  p.line("d-axis", [X(off), 24], [X(off), under + 6]);
  p.block([X(off) - 26, 38, X(off) + 26, 84]);
  p.block([X(off - cutter / 2), 83, X(off + cutter / 2), 106]);
  p.upright(X(off), top, top + deep);
  figure(p, r.t("hollow"), X(off) + 44, top + deep / 2 + 6);
  p.ask("along", 56, 44, { w: 92, from: [X(off) - 24, 60] });
  p.ask("cutter", WIDTH - 62, 44, { w: 92, from: [X(off) + Math.min(cutter * s * 0.3, 70), 88] });
  p.level(X(-width / 2), X(width / 2), under + 34);
  p.ask("width", 110, under + 34, { w: 92 });
  p.ask("flat", 260, under + 34, { w: 100 });
}

/** What stands upright, and the slide that was run up it, against the true vertical. */
function square(p: Pad, r: Reader) {
  const rows = r.rows("readings");
  const n = rows.length;
  if (n < 2) return false;
  const counted = rows.some((q) => typeof q[0] !== "number");
  const hs = rows.map((q, i) => (counted ? i : Number(q[0])));
  const [h0, h1] = span(hs);
  if (!(h1 > h0)) return false;
  const plate = r.word("turned") === "plate";
  const out = r.n("out") ?? 0;
  const other = r.n("other") ?? 0;
  const [base, high, x0] = [174, 134, 130];
  const Y = (h: number): number => base - ((h - h0) / (h1 - h0)) * high;
  const most = Math.max(Math.abs(out), Math.abs(other), r.n("allow") ?? 0, 1e-9);
  const shift = (lean: number, h: number): number => ((lean * (h - h0)) / (h1 - h0) / most) * 34;
  const tall = r.n("height");
  const by = !p.faint && tall !== undefined ? times(34 / ((most * high) / tall)) : 1;
  p.put(8, 14, by > 1 ? `from the side · lean ${by} times` : "from the side");
  p.line("d-line", [4, base], [WIDTH - 4, base]);
  // The plate, or the square, stands to the left of its face; the indicator is on the right.
  const together = r.word("turned") === "no";
  const lean = plate || together ? out : other;
  const face = [h0, h1].map((h): Point => [x0 + shift(lean, h), Y(h)]);
  const [low, top] = face as [Point, Point];
  const foot = plate ? 96 : 64;
  const body: Point[] = [
    low,
    top,
    [top[0] - 24, top[1]],
    [low[0] - 24, base - 22],
    [x0 - foot, base - 22],
    [x0 - foot, base],
  ];
  p.face("d-metal", body);
  p.line("d-line", ...body, low);
  p.line("d-axis", [x0, base], [x0, Y(h1) - 12]);
  const slide = together ? 0 : plate ? other : out;
  if (!together) p.line("d-ghost", [x0 + 62, base - 8], [x0 + 62 + shift(slide, h1), Y(h1)]);
  if (r.answer.mark === "stop") p.line("d-badline", low, top);
  for (const h of hs) p.spot("d-dot", x0 + shift(lean, h), Y(h), 4);
  const where = hs.length > 2 ? hs[1]! : (h0 + h1) / 2;
  indicator(p, x0 + 72, Y(where), [x0 + shift(lean, where), Y(where)], out > 0 ? 40 : -40);
  hs.forEach((h, i) => p.place("readings", i, x0 + shift(lean, h), Y(h)));
  if (r.word("is") === "false" && r.answer.mark !== "stop" && !p.faint) {
    const s = Math.sign(out) || 1;
    const [tx, ty] = plate || together ? top : ([x0 + 62 + shift(slide, h1), Y(h1)] as Point);
    p.push(tx, ty - 10, tx + s * 40, ty - 10);
  }
  p.of("height", () => p.upright(WIDTH - 16, base, Y(h1)));
  p.line("d-ext", [top[0] + 6, Y(h1)], [WIDTH - 8, Y(h1)]);
  p.ask("height", WIDTH - 62, 116, { w: 80, ...(tall !== undefined && { worked: "height" }) });
  figure(p, r.t("out"), 262, 46, plate || together ? "leans" : "slide");
  if (r.t("other")) figure(p, r.t("other"), 262, 68, plate ? "machine" : "square");
  if (plate) {
    const shim = r.n("shim");
    if (shim !== undefined && !p.faint) {
      const x = out > 0 ? x0 - 8 : x0 - foot + 8;
      p.box("d-fill", x - 8, base, x + 8, base + 6);
      figure(p, r.t("shim"), x, base + 22, "shim");
    }
    p.ask("foot", 48, 112, { w: 84, from: [x0 - foot / 2, base - 22] });
  }
  p.tell(`Seen from the side, read at ${n} heights`);
}

/** A test bar: the spindle's axis, and the bar that runs out about it. */
function bar(p: Pad, r: Reader) {
  const rows = r.rows("points");
  if (rows.length < 2) return false;
  const counted = rows.some((q) => typeof q[0] === "string");
  const pts = rows.map((q, i): [number, number, number, number] => [
    counted ? i : Number(q[0]),
    Number(q[1]),
    Number(q[2]),
    i,
  ]);
  pts.sort((a, b) => a[0] - b[0]);
  const [z0, z1] = [pts[0]![0], pts.at(-1)![0]];
  const [left, right] = [96, WIDTH - 40];
  const X = (z: number): number => left + ((right - left) * (z - z0)) / (z1 - z0 || 1);
  const ref = pts[0]![1];
  const most = Math.max(...pts.map((q) => Math.abs(q[1] - ref) + Math.abs(q[2])), r.n("allow") ?? 0, 1e-9);
  const level = 76;
  const Y = (y: number): number => level - ((y - ref) / most) * 30;
  const s = (right - left) / (z1 - z0 || 1);
  const by = counted ? 1 : times(30 / (most * s));
  p.put(8, 14, !p.faint && by > 1 ? `from the side · error ${by} times` : "from the side");
  p.face("d-metal", [
    [8, level - 44],
    [44, level - 44],
    [70, level - 20],
    [70, level + 20],
    [44, level + 44],
    [8, level + 44],
  ]);
  p.line(
    "d-line",
    [8, level - 44],
    [44, level - 44],
    [70, level - 20],
    [70, level + 20],
    [44, level + 44],
    [8, level + 44],
  );
  p.block([8, level - 44, 70, level + 44]);
  p.line("d-axis", [4, level], [WIDTH - 4, level]);
  const bad = r.answer.mark === "stop";
  const thick = 13;
  const edge = (k: number, d: number): Point[] => pts.map((q): Point => [X(q[0]), Y(q[1] + k * q[2]) + d]);
  const bars = [...edge(1, -thick), ...edge(1, thick).reverse()];
  p.face("d-metal", bars);
  p.line(bad ? "d-badline" : "d-line", ...bars, bars[0]!);
  p.line("d-ghost", ...edge(-1, -thick));
  p.line("d-ghost", ...edge(-1, thick));
  p.line("d-mark", ...pts.map((q): Point => [X(q[0]), Y(q[1])]));
  const far = pts.at(-1)!;
  indicator(
    p,
    X(far[0]) - 30,
    26,
    [X(far[0]) - 30, Y(far[1]) - thick - 30 / 30],
    (far[1] - ref > 0 ? 1 : -1) * 40,
  );
  if (r.word("inline") === "false" && !p.faint) {
    const up = Math.sign(far[1] - ref) || 1;
    p.push(X(far[0]) + 14, level + up * 4, X(far[0]) + 14, level - up * 34);
  }
  const y = 156;
  p.level(left, right, y);
  for (const x of [left, right]) p.line("d-ext", [x, level + 34], [x, y + 6]);
  p.ask("length", (left + right) / 2, y, { w: 92 });
  figure(p, r.t("out"), right - 62, level + 50, "spindle");
  figure(p, r.t("tir"), 138, level + 50, "bar");
  for (const q of pts) p.place("readings", q[3], X(q[0]), level);
  p.tell(`The bar from the side, read at ${pts.length} places`);
}

export const upright = { sweep, dish, square, bar };
