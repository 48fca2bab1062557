/** Where it is: an edge, a middle, a bore touched with a finder; a part that lies askew. */
import { bareOf, drawn, type Pad, polar, span, times, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";

const num = (c: string | number | undefined): number => (typeof c === "number" ? c : 0);

const stopped = (p: Pad, r: Reader): boolean => !p.faint && r.answer.mark === "stop";

/** The part, and the finder on the side where it stands. */
const PART = [116, 102, 244, 230] as const;
const FINDER = 43;

/** For each side: where the figure of the setting and the box of the edge's place stand. */
const CORNERS: Record<string, [Point, Point]> = {
  left: [
    [66, 46],
    [52, 296],
  ],
  right: [
    [294, 46],
    [308, 296],
  ],
  back: [
    [62, 36],
    [308, 46],
  ],
  front: [
    [62, 318],
    [308, 296],
  ],
};

/** The finder against an edge: the side where it stands is touched. */
function edge(p: Pad, r: Reader) {
  const [l, t, rt, b] = PART;
  const [cx, cy] = [(l + rt) / 2, (t + b) / 2];
  const off = FINDER + ((r.typed("gap") ?? 0) > 0 ? 7 : 0);
  const stands: Record<string, Point> = {
    left: [l - off, cy],
    right: [rt + off, cy],
    back: [cx, t - off],
    front: [cx, b + off],
  };
  const side = r.word("side");
  const [x, y] = stands[side] ?? stands["left"]!;
  const [figure, box] = CORNERS[side] ?? CORNERS["left"]!;
  const upright = side === "left" || side === "right";
  const bad = stopped(p, r);
  const open = r.answer.mark === "open";
  r.need("offset");
  const [ex, ey] = upright ? [side === "left" ? l : rt, cy] : [cx, side === "back" ? t : b];
  // The boxes first: none moves for what is drawn.
  if (!open) p.ask("tip", x, y + 6, { w: 64 });
  p.ask("want", ...box, {
    w: 84,
    ...(!open && { from: upright ? ([ex, b] as Point) : ([rt, ey] as Point) }),
  });
  if (open) p.ask("tip", 308, 296, { w: 84 });
  p.iron(l, t, rt, b);
  for (const [key, to] of Object.entries(stands)) {
    const on = key === side && !open;
    p.round(on ? (bad ? "d-badline" : "d-tool") : "d-ghost", to[0], to[1], FINDER);
    if (on) p.block([to[0] - FINDER, to[1] - FINDER, to[0] + FINDER, to[1] + FINDER]);
  }
  p.pick("side", "left", 0, t, l, b);
  p.pick("side", "right", rt, t, WIDTH, b);
  p.pick("side", "back", l, 0, rt, t);
  p.pick("side", "front", l, b, rt, b + t);
  if (open) {
    p.tell("No side chosen yet: 4 sides");
    return;
  }
  const line: Point[] = upright
    ? [
        [ex, t],
        [ex, b],
      ]
    : [
        [l, ey],
        [rt, ey],
      ];
  p.of("want", () => p.line(bad ? "d-badline" : "d-mark", ...line));
  // What the readout is set to stands on the finder's axis; how far over the edge, beside it.
  p.fig("set", ...figure, `set ${upright ? "X" : "Y"}`);
  if (upright) {
    p.line("d-axis", [x, figure[1] + 8], [x, y + FINDER + 8]);
    p.level(x, ex, y + FINDER + 14);
    shift(p, r, "move", (x + ex) / 2, y + FINDER + 34);
    p.fig("at", ex, t - 8);
  } else {
    p.line("d-axis", [figure[0] - 20, y], [x + FINDER + 8, y]);
    p.upright(l - 14, y, ey);
    shift(p, r, "move", l - 48, (y + ey) / 2 + 6);
    p.fig("at", l - 40, ey + (side === "back" ? 22 : -12));
  }
  p.tell(`Seen from above, tip ${r.t("tip")}`);
}

/** A move beside its arrow: which way is drawn, so it has no sign. */
function shift(p: Pad, r: Reader, key: string, x: number, y: number): void {
  const size = p.faint ? "" : bareOf(r.t(key)).replace(/^-/, "");
  if (!size) return;
  p.near(x, y, size, "d-size", 60);
  p.tell(`move ${size}`);
}

/** What is touched from outside at each of the two edges, by how they were touched. */
const OUTSIDE: Record<string, [boolean, boolean]> = {
  outside: [true, true],
  inside: [false, false],
  low: [true, false],
  high: [false, true],
};
const keyOf = (a: boolean, b: boolean): string =>
  Object.keys(OUTSIDE).find((k) => OUTSIDE[k]![0] === a && OUTSIDE[k]![1] === b)!;

/** Two edges and the middle between them; touching beside an edge says from where it was touched. */
function middle(p: Pad, r: Reader) {
  const [a, b] = [r.need("a"), r.need("b")];
  const tip = r.typed("tip") ?? 0;
  const [outL, outR] = OUTSIDE[r.word("of")] ?? [true, true];
  const [low, high] = [Math.min(a, b), Math.max(a, b)];
  if (!(high > low)) return false;
  const s = 188 / (high - low);
  const X = (n: number): number => 86 + (n - low) * s;
  const c = Math.max(5, Math.min(40, (tip / 2) * s));
  const [t, bt] = [116, 212];
  const y = (t + bt) / 2;
  // An edge lies half the finder from where it stood, on the side away from it.
  const [l, rt] = [X(low) + (outL ? c : -c), X(high) + (outR ? -c : c)];
  const mid = (l + rt) / 2;
  const bad = stopped(p, r);
  const [first, second] = a <= b ? ["a", "b"] : ["b", "a"];
  p.ask(first, 56, 40, { from: [X(low), y - c], w: 104 });
  p.ask(second, 304, 40, { from: [X(high), y - c], w: 104 });
  p.ask("tip", 46, 284, { w: 84, from: [X(low), y + c] });
  p.ask("size", 180, 284, { w: 84 });
  const metal = (x0: number, x1: number): void => {
    if (x1 > x0) p.box("d-metal", x0, t, x1, bt, bad ? "bad" : "iron");
  };
  // Metal lies behind an edge, seen from the finder; two that look alike are two bosses.
  if (outL && outR) metal(l, rt);
  else {
    if (outL) metal(l, l + 46);
    else metal(Math.max(6, outR ? l - 46 : 6), l);
    if (outR) metal(rt - 46, rt);
    else metal(rt, outL ? Math.min(354, rt + 46) : 354);
  }
  for (const x of [l, rt]) p.line(bad ? "d-badline" : "d-line", [x, t], [x, bt]);
  for (const x of [X(low), X(high)]) {
    p.round("d-tool", x, y, c);
    p.round("d-dot", x, y, 2);
    p.block([x - c, y - c, x + c, y + c]);
  }
  p.line("d-axis", [mid, 72], [mid, bt + 18]);
  p.pick("of", keyOf(true, outR), 0, t, l, bt);
  p.pick("of", keyOf(false, outR), l, t, Math.max(l, mid), bt);
  p.pick("of", keyOf(outL, false), Math.min(mid, rt), t, rt, bt);
  p.pick("of", keyOf(outL, true), rt, t, WIDTH, bt);
  for (const x of [l, rt]) p.line("d-ext", [x, bt], [x, bt + 34]);
  p.of("size", () => p.level(l, rt, bt + 28));
  p.fig("middle", mid, 66);
  p.fig("width", Math.min(mid + 62, 300), bt + 23);
  const from = X(b);
  if (r.n("move") !== undefined && Math.abs(from - mid) > 30) {
    p.push(from + (from > mid ? -c : c), y, mid, y);
    shift(p, r, "move", (from + mid) / 2, y - 14);
  }
  p.tell("Seen from above");
}

/** The circle through touches, by the least squares of its equation: enough for a picture. */
function through(pts: readonly Point[]): [number, number, number] | undefined {
  const n = pts.length;
  const mx = pts.reduce((q, e) => q + e[0], 0) / n;
  const my = pts.reduce((q, e) => q + e[1], 0) / n;
  let [uu, uv, vv, ur, vr] = [0, 0, 0, 0, 0];
  for (const [x, y] of pts) {
    const [u, v] = [x - mx, y - my];
    const rr = u * u + v * v;
    [uu, uv, vv, ur, vr] = [uu + u * u, uv + u * v, vv + v * v, ur + u * rr, vr + v * rr];
  }
  const det = 2 * (uu * vv - uv * uv);
  if (!(Math.abs(det) > 1e-12 * uu * vv)) return undefined;
  const [cu, cv] = [(vv * ur - uv * vr) / det, (uu * vr - uv * ur) / det];
  return [cu + mx, cv + my, Math.sqrt(cu * cu + cv * cv + (uu + vv) / n)];
}

/** Touches about the fitted circle, what they are off it drawn larger. */
function centre(p: Pad, r: Reader) {
  const pts = r.numbers("points", 3) as [number, number, number][];
  const bad = stopped(p, r);
  // A refused answer has no centre: the picture's own stands for it.
  const own = through(pts.map((q): Point => [q[0], q[1]]));
  const [x, y] = [r.n("x") ?? own?.[0] ?? 0, r.n("y") ?? own?.[1] ?? 0];
  const dia = r.need("circle");
  const [cx, cy, R] = [180, 146, 88];
  const s = (2 * R) / dia;
  const bore = r.word("of") === "bore";
  const c = Math.max(4, Math.min(24, ((r.typed("tip") ?? 0) / 2) * s));
  const rim = bore ? R + c : R - c;
  p.ask("size", 312, 40, { w: 84, from: polar(cx, cy, rim, 45) });
  p.ask("tip", 48, 40, { w: 76 });
  const most = Math.max(...pts.map((q) => Math.abs(q[2])), 0);
  const by = most > 0 ? times(22 / (most * s)) : 1;
  if (bore) {
    p.box("d-metal", cx - 126, cy - 126, cx + 126, cy + 122, "iron");
    p.round("d-void d-line", cx, cy, rim);
  } else p.round("d-metal d-line", cx, cy, Math.max(rim, 12), "iron");
  p.round(bad ? "d-badline" : "d-ghost", cx, cy, R);
  p.line("d-axis", [cx - R - 16, cy], [cx + R + 16, cy]);
  p.line("d-axis", [cx, cy - R - 16], [cx, cy + R + 16]);
  p.block([cx - 4, cy - 4, cx + 4, cy + 4]);
  p.round("d-dot", cx, cy, 4);
  const stray = bad ? Number(/^Touch (\d+)/.exec(r.answer.headline)?.[1] ?? 0) - 1 : -1;
  pts.forEach((q, i) => {
    const way = (Math.atan2(q[1] - y, q[0] - x) * 180) / Math.PI;
    const e = polar(cx, cy, R + q[2] * s * by, way);
    p.line("d-thin", polar(cx, cy, R, way), e);
    p.spot(i === stray ? "d-badline" : "d-tool", e[0], e[1], 6);
    p.place("touches", i, e[0], e[1]);
  });
  p.fig("x", cx, cy - 14, "X");
  p.fig("y", cx, cy + 28, "Y");
  if (!bad) {
    p.fig("dia", 310, 290, "⌀");
    p.fig("form", 96, 290, "out of round");
  }
  if (by > 1 && !p.faint) p.put(cx, 310, `touches ${by} times`, "d-name", "middle");
  p.tell(`Circle to scale, off it ${drawn(by)}`);
}

/** What was found over what is drawn, the turn enlarged. */
function skew(p: Pad, r: Reader) {
  const rows = r.rows("features");
  const found = rows.map((q): Point => [Number(q[2]), Number(q[3])]);
  const along = rows.length === 2 && rows.every((q) => q[0] === undefined);
  const tan = r.n("slope");
  const angle = r.n("angle") ?? (tan !== undefined ? (Math.atan(tan) * 180) / Math.PI : 0);
  const first = found[0];
  if (!first || found.length < 2) return false;
  const zero: Point = [r.n("zerox") ?? first[0], r.n("zeroy") ?? first[1]];
  const want = r.numbers("where", 4).map((q): Point => [q[2]!, q[3]!]);
  const bad = stopped(p, r);
  const by = Math.abs(angle) > 1e-9 ? Math.max(1, times(Math.min(1e5, 7 / Math.abs(angle)))) : 1;
  // About the part's zero everything is turned back as it is drawn, and on by the enlarged angle.
  const turned = (q: Point, deg: number): Point => {
    const a = (deg * Math.PI) / 180;
    const [dx, dy] = [q[0] - zero[0], q[1] - zero[1]];
    return [zero[0] + dx * Math.cos(a) - dy * Math.sin(a), zero[1] + dx * Math.sin(a) + dy * Math.cos(a)];
  };
  const lies = (q: Point): Point => turned(q, angle * (by - 1));
  const square = (q: Point): Point => turned(q, -angle);
  // Without an answer the drawing is laid on the first place that was found.
  const [px, py] = [num(rows[0]![0]), num(rows[0]![1])];
  const drawnPlaces = rows.map((q, i): Point =>
    bad && !along ? [first[0] + num(q[0]) - px, first[1] + num(q[1]) - py] : square(found[i]!),
  );
  const all = [zero, ...found.map(lies), ...want.map(lies), ...drawnPlaces];
  const [x0, x1] = span(all.map((q) => q[0]));
  const [y0, y1] = span(all.map((q) => q[1]));
  const m = Math.max(x1 - x0, y1 - y0, 0.1) * 0.08;
  const top = along ? 84 : 30;
  const v = p.view([x0 - m, y0 - m, x1 + m, y1 + m], [46, top, WIDTH - 46, 226]);
  const at = (q: Point): Point => [v.x(q[0]), v.y(q[1])];
  if (along) p.ask("tip", 52, 40, { w: 76 });
  else p.none("tip side");
  const [zx, zy] = at(zero);
  const drawnAt = drawnPlaces.map(at);
  const foundAt = found.map((q) => at(lies(q)));
  const stray = Number(/^hole (\d+)/.exec(r.answer.facts?.[0] ?? "")?.[1] ?? 0) - 1;
  p.line("d-ghost", ...drawnAt);
  if (along) {
    const [a, b] = foundAt as [Point, Point];
    p.line("d-mark", a, b);
    const flat = Math.abs(b[0] - a[0]) >= Math.abs(b[1] - a[1]);
    const [l, rt] = [Math.min(a[0], b[0]), Math.max(a[0], b[0])];
    const [t, bt] = [Math.min(a[1], b[1]), Math.max(a[1], b[1])];
    if (flat) {
      p.pick("side", "back", l, Math.max(64, t - 50), rt, (t + bt) / 2);
      p.pick("side", "front", l, (t + bt) / 2, rt, bt + 50);
    } else {
      p.pick("side", "left", Math.max(0, l - 60), t, (l + rt) / 2, bt);
      p.pick("side", "right", (l + rt) / 2, t, Math.min(WIDTH, rt + 60), bt);
    }
  } else for (const q of drawnAt) p.round("d-ghost", q[0], q[1], 7);
  foundAt.forEach((q, i) => {
    p.spot(bad && (stray < 0 || stray === i) ? "d-badline" : "d-void d-line", q[0], q[1], 7);
    p.place("features", i, q[0], q[1]);
  });
  want.forEach((q, i) => {
    const [x, y] = at(lies(q));
    p.line("d-thin", [x - 5, y - 5], [x + 5, y + 5]);
    p.line("d-thin", [x - 5, y + 5], [x + 5, y - 5]);
    p.block([x - 6, y - 6, x + 6, y + 6]);
    p.place("places", i, x, y);
  });
  if (!bad) {
    p.spot("d-dot", zx, zy, 4);
    p.fig("zerox", zx + 18, zy + 34, "X");
    p.fig("zeroy", zx + 18, zy + 52, "Y");
    const far = found.length - 1;
    p.fig("slope", (foundAt[0]![0] + foundAt[far]![0]) / 2, (foundAt[0]![1] + foundAt[far]![1]) / 2 - 12);
  }
  want.slice(0, 3).forEach((q, i) => {
    const [x, y] = at(lies(q));
    const says = r.cells("where", i, 2, 3).replace(/ (in|mm)/g, "");
    if (!p.faint && says) p.near(x, y - 14, says, "d-small", 70);
    p.tell(`Place ${i + 1} at ${says}`);
  });
  if (by > 1 && !p.faint) p.near(WIDTH - 80, v.bottom + 42, `turned ${by} times`, "d-name", 60);
  p.tell(`Seen from above, ${found.length} places found, dashed as drawn`);
}

export const where = { edge, middle, centre, skew };
