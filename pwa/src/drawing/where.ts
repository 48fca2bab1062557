/** Where it is: touches, patterns, handwheels, a part that lies askew. */
import { drawn, type Pad, polar, span, ROOM, times, WIDTH, type Point, type View } from "./pad";
import type { Reader } from "./read";

/** Numbered places, with the zero and the way from each to the next. */
function places(p: Pad, pts: Point[], zero: Point | undefined, ring: number, way: boolean): View {
  const [x0, x1] = span([...pts.map((q) => q[0]), ...(zero ? [zero[0] - ring, zero[0] + ring] : [])]);
  const [y0, y1] = span([...pts.map((q) => q[1]), ...(zero ? [zero[1] - ring, zero[1] + ring] : [])]);
  const v = p.view([x0, y0, x1, y1], [34, 34, WIDTH - 34, 314]);
  const at = pts.map((q): Point => [v.x(q[0]), v.y(q[1])]);
  if (zero) {
    const [zx, zy] = [v.x(zero[0]), v.y(zero[1])];
    p.line("d-axis", [zx - 26, zy], [zx + 26, zy]);
    p.line("d-axis", [zx, zy - 26], [zx, zy + 26]);
    if (ring > 0) p.round("d-ghost", zx, zy, ring * v.s);
  }
  if (way && at.length > 1) p.line("d-ext", ...at);
  // Small enough that neighbouring holes never touch, however close they stand.
  const gaps = at.slice(1, 300).map((q, i) => Math.hypot(q[0] - at[i]![0], q[1] - at[i]![1]) || 99);
  const r = Math.max(2, Math.min(6.5, ...gaps.map((g) => g * 0.3)));
  for (const [x, y] of at) {
    p.spot("d-void d-line", x, y, r);
  }
  let left = 0;
  // The last one is labelled first, so that the end of the row is known.
  const order = [...at.keys()];
  order.unshift(order.pop()!);
  for (const i of order) {
    const [hx, hy] = at[i]!;
    if (!p.near(hx + r + 6, hy - r - 1, `${i + 1}`, at.length > 40 ? "d-num" : "d-small", 16)) left++;
  }
  if (left > 0) p.note(`${left} numbers did not fit: holes are in the order of the line.`);
  return v;
}

function holes(p: Pad, r: Reader) {
  const pts = r.some("holes", 3).map((q): Point => [q[1]!, q[2]!]);
  const [x, y] = [r.typed("x"), r.typed("y")];
  const zero: Point | undefined = x !== undefined && y !== undefined ? [x, y] : undefined;
  places(p, pts, zero, (r.typed("dia") ?? 0) / 2, pts.length > 12 || r.typed("dia") === undefined);
  p.row(`Hole ${pts.length}`, r.cells("holes", pts.length - 1, 1, 2));
  p.note("Places to scale. X to the right, Y to the back. Cross: the zero.");
}

function dials(p: Pad, r: Reader) {
  const pts = r.some("holes", 2).map((q): Point => [q[0]!, q[1]!]);
  places(p, pts, [0, 0], 0, true);
  const most = 6;
  pts.slice(0, most).forEach((_, i) => {
    for (const [axis, c] of [
      ["X", 1],
      ["Y", 4],
    ] as const) {
      const back = r.rows("wheels")[i]?.[c + 2] === "past" ? ", go past and come back" : "";
      p.row(`Hole ${i + 1}: ${axis}, turns and dial`, r.cells("wheels", i, c, c + 1) + back);
    }
  });
  p.note(
    `Places to scale. The line is the way from each to the next.${pts.length > most ? " The rest stand in the table." : ""}`,
  );
}

/** The finder against an edge. */
function edge(p: Pad, r: Reader) {
  const tip = r.need("tip");
  const off = r.need("offset");
  const right = /right|back/.test(r.word("side")) ? 1 : -1;
  const upright = /front|back|near|far/.test(r.word("side"));
  const R = Math.max(tip / 2, 1e-6);
  const reach = Math.max(off, R);
  const v = p.view([-2.4 * reach, -1.2 * reach, 2.4 * reach, 1.2 * reach], [12, 20, ROOM, 220]);
  const [ex, cx, y] = [v.x(0), v.x(right * off), v.y(0)];
  if (right > 0) p.box("d-metal", v.left, v.top, ex, v.bottom, "iron");
  else p.box("d-metal", ex, v.top, v.right, v.bottom, "iron");
  p.line("d-line", [ex, v.top], [ex, v.bottom]);
  p.round("d-tool", cx, y, R * v.s);
  p.line("d-axis", [cx, v.top - 6], [cx, v.bottom + 24]);
  p.line("d-axis", [cx - R * v.s - 8, y], [cx + R * v.s + 8, y]);
  p.line("d-ext", [ex, v.bottom], [ex, v.bottom + 24]);
  p.level(ex, cx, v.bottom + 18);
  p.put((ex + cx) / 2, v.bottom + 38, r.t("offset"), "d-small", "middle");
  p.tag(cx + R * v.s * 0.7, y - R * v.s * 0.7, "Finder's tip", "=tip");
  if (r.n("at") !== undefined) p.tag(ex, v.top + 8, "Edge is at", "=at");
  p.note(`To scale. Seen from above${upright ? ", turned a quarter: the back is at the right" : ""}.`);
}

/** Two edges and the middle between them. */
function middle(p: Pad, r: Reader) {
  const [a, b, mid, width] = [r.need("a"), r.need("b"), r.need("middle"), r.need("width")];
  const tip = r.typed("tip") ?? 0;
  const out = Math.max(Math.abs(b - a) / 2, width / 2) + tip;
  const inside = !/outside/.test(r.word("of"));
  const v = p.view([mid - out, -out * 0.35, mid + out, out * 0.35], [14, 30, WIDTH - 14, 150]);
  const [l, rt] = [v.x(mid - width / 2), v.x(mid + width / 2)];
  const [t, bt] = [v.top, v.bottom];
  if (inside) {
    p.box("d-metal", 6, t, l, bt, "iron");
    p.box("d-metal", rt, t, WIDTH - 6, bt, "iron");
  } else p.box("d-metal", l, t, rt, bt, "iron");
  for (const x of [l, rt]) p.line("d-line", [x, t], [x, bt]);
  const y = (t + bt) / 2;
  for (const x of [a, b]) {
    p.round("d-tool", v.x(x), y, Math.max(3, (tip / 2) * v.s));
    p.round("d-dot", v.x(x), y, 2);
    const c = Math.max(4, (tip / 2) * v.s);
    p.block([v.x(x) - c, y - c, v.x(x) + c, y + c]);
  }
  p.line("d-mark", [v.x(mid), t - 12], [v.x(mid), bt + 12]);
  p.line("d-ext", [l, bt], [l, bt + 24]);
  p.line("d-ext", [rt, bt], [rt, bt + 24]);
  p.level(l, rt, bt + 20);
  p.letter(v.x(mid), t - 14, "Middle", "=middle");
  p.letter(v.x(a), y - 18, "First touch", "=a");
  p.letter(v.x(b), y - 18, "Second touch", "=b");
  p.letter((l + rt) / 2 + 24, bt + 20, "Edge to edge", "=width");
  p.note(inside ? "X" : "Along the line of the touches to scale, seen from above.");
}

/** Touches about the fitted circle, what they are off it drawn larger. */
function centre(p: Pad, r: Reader) {
  const [x, y, dia] = [r.need("x"), r.need("y"), r.need("circle", "dia")];
  const pts = r.numbers("points", 3) as [number, number, number][];
  const R = 96;
  const [cx, cy] = [180, 130];
  const s = (2 * R) / dia;
  const most = Math.max(...pts.map((q) => Math.abs(q[2])), 0);
  const by = most > 0 ? times(22 / (most * s)) : 1;
  p.round("d-flank", cx, cy, R);
  p.line("d-axis", [cx - R - 12, cy], [cx + R + 12, cy]);
  p.line("d-axis", [cx, cy - R - 12], [cx, cy + R + 12]);
  p.spot("d-dot", cx, cy, 4);
  const at = (q: [number, number, number], d: number): Point => {
    return polar(cx, cy, R + d, (Math.atan2(q[1] - y, q[0] - x) * 180) / Math.PI);
  };
  pts.forEach((q) => {
    const e = at(q, q[2] * s * by);
    p.line("d-thin", at(q, 0), e);
    p.spot("d-void d-line", e[0], e[1], 4.5);
  });
  pts.forEach((q, i) => {
    const e = at(q, 30);
    p.near(e[0], e[1] + 4, `${i + 1}`, "d-small", 20);
  });
  p.letter(cx + 20, cy - 16, "Centre", `${r.t("x")}, ${r.t("y")}`);
  p.note(`Circle and directions to scale. Off the circle ${drawn(by)}.`);
}

/** The part's own axes in the machine's. */
function skew(p: Pad, r: Reader) {
  const zero: Point = [r.need("zerox"), r.need("zeroy")];
  const angle = r.need("angle");
  const feats = r.numbers("features", 4).map((q): Point => [q[2]!, q[3]!]);
  const want = r.numbers("where", 4).map((q): Point => [q[2]!, q[3]!]);
  const all = [zero, ...feats, ...want];
  const [x0, x1] = span(all.map((q) => q[0]));
  const [y0, y1] = span(all.map((q) => q[1]));
  const m = Math.max(x1 - x0, y1 - y0, 0.1) * 0.12;
  const v = p.view([x0 - m, y0 - m, x1 + m, y1 + m], [30, 30, WIDTH - 30, 260]);
  const by = angle === 0 ? 1 : times(Math.min(1e6, 12 / Math.abs(angle)));
  const [zx, zy] = [v.x(zero[0]), v.y(zero[1])];
  const far = Math.max(60, Math.min(v.right - zx, 240));
  p.line("d-ghost", [zx, zy], [zx + far, zy]);
  p.line("d-ghost", [zx, zy], [zx, Math.max(12, v.top)]);
  const lim = (q: Point): Point => [Math.max(6, Math.min(WIDTH - 6, q[0])), Math.max(6, q[1])];
  p.line("d-mark", [zx, zy], lim(polar(zx, zy, far, angle * by)));
  p.spot("d-dot", zx, zy, 4);
  for (const q of feats) {
    const [x, y] = [v.x(q[0]), v.y(q[1])];
    p.spot("d-void d-line", x, y, 6);
  }
  p.letter(zx - 18, zy + 18, "Part's zero", `${r.t("zerox")}, ${r.t("zeroy")}`);
  want.forEach((q, i) => {
    const [x, y] = [v.x(q[0]), v.y(q[1])];
    p.line("d-thin", [x - 5, y - 5], [x + 5, y + 5]);
    p.line("d-thin", [x - 5, y + 5], [x + 5, y - 5]);
    p.block([x - 6, y - 6, x + 6, y + 6]);
    if (i < 8)
      p.letter(x + 16, y - 14, `Part ${r.cells("where", i, 0, 1)} lies at`, r.cells("where", i, 2, 3));
  });
  p.note(
    `Places to scale. Dashes: the machine's axes. Thick: the part's X${by > 1 ? `, turned ${by} times as far as it is` : ""}. Rings: what was found.`,
  );
}

/** A slot's outline; one no longer than it is wide is a hole. */
function slot(x: number, y: number, across: number, long: number, angle: number): Point[] {
  const half = Math.max(0, long - across) / 2;
  const out: Point[] = [];
  for (let a = -90; a < 270; a += 15)
    out.push(polar(...polar(x, y, a < 90 ? half : -half, angle), across / 2, angle + a));
  return out;
}

/** A fixture's face with what is in it, the part's bolts where they go, and the holes to drill. */
function match(p: Pad, r: Reader) {
  const [, , left, bottom, wide, high] = r.filled("face")[0] as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const facing = r.rows("facing").map((q) => q.map((c) => (typeof c === "number" ? c : 0)));
  const bolts = r.rows("bolts").map((q): Point => [Number(q[3]), Number(q[4])]);
  const drill = r.rows("holes").map((q): Point => [Number(q[0]), Number(q[1])]);
  const [x0, x1] = span([
    left,
    left + wide,
    ...[...bolts, ...drill].map((q) => q[0]),
    ...facing.map((q) => q[1]!),
  ]);
  const [y0, y1] = span([
    bottom,
    bottom + high,
    ...[...bolts, ...drill].map((q) => q[1]),
    ...facing.map((q) => q[2]!),
  ]);
  const v = p.view([x0, y0, x1, y1], [24, 24, WIDTH - 24, 330]);
  p.iron(v.x(left), v.y(bottom + high), v.x(left + wide), v.y(bottom));
  for (const q of r.rows("blocked")) {
    const [x, y, w, h] = q.slice(1).map(Number) as [number, number, number, number];
    const [a, b] = [Math.max(x0, x - w / 2), Math.min(x1, x + w / 2)];
    p.box("d-tool", v.x(a), v.y(Math.min(y1, y + h / 2)), v.x(b), v.y(Math.max(y0, y - h / 2)));
  }
  for (const [, x, y, across, , long, angle] of facing as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ][])
    p.face("d-void d-thin", slot(v.x(x), v.y(y), Math.max(5, across * v.s), long * v.s, angle));
  for (const q of bolts) p.spot("d-fill", v.x(q[0]), v.y(q[1]), 4);
  for (const q of drill) p.spot("d-void d-mark", v.x(q[0]), v.y(q[1]), 6);
  bolts.forEach((q, i) =>
    p.letter(
      v.x(q[0]) + 14,
      v.y(q[1]) - 12,
      `Place ${r.cells("bolts", i, 0)} of the part, room`,
      r.cells("bolts", i, 6),
    ),
  );
  drill.forEach((q, i) =>
    p.letter(v.x(q[0]) + 14, v.y(q[1]) - 12, r.cells("holes", i, 4), r.cells("holes", i, 0, 1)),
  );
  p.note(
    "To scale, looking at the face. Dots: the part's bolts. Thick rings: holes to drill. Plain: ribs and places kept clear.",
  );
}

export const where = { holes, dials, edge, middle, centre, skew, match };
