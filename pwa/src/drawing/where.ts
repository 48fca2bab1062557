/** Where it is: touches, patterns, handwheels, a part that lies askew. */
import { Pad, ROOM, times, WIDTH, type Point, type View } from "./pad";
import type { Reader } from "./read";

const span = (list: number[]): [number, number] => [Math.min(...list), Math.max(...list)];

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
  // Holes never touch in the drawing, however close they stand.
  let gap = Infinity;
  for (let i = 1; i < at.length && i < 300; i++)
    gap = Math.min(gap, Math.hypot(at[i]![0] - at[i - 1]![0], at[i]![1] - at[i - 1]![1]) || Infinity);
  const r = Math.max(2, Math.min(6.5, gap * 0.3));
  for (const [x, y] of at) {
    p.round("d-void d-line", x, y, r);
    p.block([x - r - 1, y - r - 1, x + r + 1, y + r + 1]);
  }
  let left = 0;
  const order = at.map((_, i) => i);
  // The last one before the rest, so that the end of the row is known.
  order.sort((a, b) => Number(b === 0 || b === at.length - 1) - Number(a === 0 || a === at.length - 1));
  for (const i of order)
    if (!p.near(at[i]![0] + r + 6, at[i]![1] - r - 1, `${i + 1}`, at.length > 40 ? "d-num" : "d-small", 16))
      left++;
  if (left > 0) p.note(`${left} numbers did not fit: holes are in the order of the line.`);
  return v;
}

function holes(r: Reader) {
  const p = new Pad();
  const pts = r.numbers("holes", 3).map((q): Point => [q[1]!, q[2]!]);
  if (pts.length === 0) return undefined;
  const [x, y] = [r.typed("x"), r.typed("y")];
  const zero: Point | undefined = x !== undefined && y !== undefined ? [x, y] : undefined;
  places(p, pts, zero, (r.typed("dia") ?? 0) / 2, pts.length > 12 || r.typed("dia") === undefined);
  p.row("Hole 1", r.cells("holes", 0, 1, 2));
  p.row(`Hole ${pts.length}`, r.cells("holes", pts.length - 1, 1, 2));
  for (const [k, name] of [
    ["chord", "Each to the next"],
    ["close", "First to last"],
    ["pitch", "Spacing"],
    ["width", "Wide"],
    ["height", "High"],
    ["nearest", "Nearest two"],
  ] as const)
    if (r.n(k) !== undefined) p.row(name, r.t(k));
  p.note(
    "Places to scale, rings for holes not. X to the right, Y to the back. Cross: the pattern's own zero.",
  );
  return p.done();
}

function dials(r: Reader) {
  const p = new Pad();
  const pts = r.numbers("holes", 2).map((q): Point => [q[0]!, q[1]!]);
  if (pts.length === 0) return undefined;
  places(p, pts, [0, 0], 0, true);
  const most = 6;
  pts.slice(0, most).forEach((_, i) => {
    const back = (c: number): string =>
      r.rows("wheels")[i]?.[c] === "past" ? ", go past and come back" : "";
    p.row(`Hole ${i + 1}: X, turns and dial`, `${r.cells("wheels", i, 1, 2)}${back(3)}`);
    p.row(`Hole ${i + 1}: Y, turns and dial`, `${r.cells("wheels", i, 4, 5)}${back(6)}`);
  });
  p.note(
    `Places to scale. The line is the way from each to the next.${pts.length > most ? " The rest stand in the table." : ""}`,
  );
  return p.done();
}

/** The finder against an edge. */
function edge(r: Reader) {
  const p = new Pad();
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
  p.tag(cx + R * v.s * 0.7, y - R * v.s * 0.7, "Finder's tip", r.t("tip"));
  if (r.n("at") !== undefined) p.tag(ex, v.top + 8, "Edge is at", r.t("at"));
  p.row("Edge to spindle's middle", r.t("offset"));
  p.row("Move over the edge", r.t("move"));
  p.row("Or set the readout to", r.t("set"));
  p.note(`To scale. Seen from above${upright ? ", turned a quarter: the back is at the right" : ""}.`);
  return p.done();
}

/** Two edges and the middle between them. */
function middle(r: Reader) {
  const p = new Pad();
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
  p.letter(v.x(mid), t - 14, "Middle", r.t("middle"));
  p.letter(v.x(a), y - 18, "First touch", r.t("a"));
  p.letter(v.x(b), y - 18, "Second touch", r.t("b"));
  p.letter((l + rt) / 2 + 24, bt + 20, "Edge to edge", r.t("width"));
  p.row("Move from the second", r.t("move"));
  if (r.n("angle") !== undefined) p.row("Lies askew by", r.t("angle"));
  p.note(
    inside
      ? "Along the line of the touches to scale; the slot seen from above."
      : "Along the line of the touches to scale, seen from above.",
  );
  return p.done();
}

/** Touches about the fitted circle, what they are off it drawn larger. */
function centre(r: Reader) {
  const p = new Pad();
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
  p.round("d-dot", cx, cy, 4);
  p.block([cx - 5, cy - 5, cx + 5, cy + 5]);
  const at = (q: [number, number, number], d: number): Point => {
    const a = Math.atan2(q[1] - y, q[0] - x);
    return [cx + (R + d) * Math.cos(a), cy - (R + d) * Math.sin(a)];
  };
  pts.forEach((q) => {
    const e = at(q, q[2] * s * by);
    p.line("d-thin", at(q, 0), e);
    p.round("d-void d-line", e[0], e[1], 4.5);
    p.block([e[0] - 5, e[1] - 5, e[0] + 5, e[1] + 5]);
  });
  pts.forEach((q, i) => {
    const e = at(q, 30);
    p.near(e[0], e[1] + 4, `${i + 1}`, "d-small", 20);
  });
  p.letter(cx + 20, cy - 16, "Centre", `${r.t("x")}, ${r.t("y")}`);
  p.row("Across", r.t("dia"));
  p.row("Out of round", r.t("form"));
  p.row("Sure to, plus or minus", r.t("sure"));
  pts.slice(0, 4).forEach((_, i) => p.row(`Touch ${i + 1} off the circle`, r.cells("points", i, 2)));
  p.note(`Circle and directions to scale. Off the circle drawn ${by} times larger.`);
  return p.done();
}

/** The part's own axes in the machine's. */
function skew(r: Reader) {
  const p = new Pad();
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
  const ray = (deg: number, long: number): Point => [
    zx + long * Math.cos((deg * Math.PI) / 180),
    zy - long * Math.sin((deg * Math.PI) / 180),
  ];
  const far = Math.max(60, Math.min(v.right - zx, 240));
  p.line("d-ghost", [zx, zy], [zx + far, zy]);
  p.line("d-ghost", [zx, zy], [zx, Math.max(12, v.top)]);
  const lim = (q: Point): Point => [Math.max(6, Math.min(WIDTH - 6, q[0])), Math.max(6, q[1])];
  p.line("d-mark", [zx, zy], lim(ray(angle * by, far)));
  p.round("d-dot", zx, zy, 4);
  p.block([zx - 5, zy - 5, zx + 5, zy + 5]);
  for (const q of feats) {
    const [x, y] = [v.x(q[0]), v.y(q[1])];
    p.round("d-void d-line", x, y, 6);
    p.block([x - 7, y - 7, x + 7, y + 7]);
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
  p.row("Lies at", r.t("angle"));
  p.row("Worst left over", r.t("worst"));
  p.note(
    `Places to scale. Dashes: the machine's axes. Thick: the part's X${by > 1 ? `, turned ${by} times as far as it is` : ""}. Rings: what was found.`,
  );
  return p.done();
}

export const where = { holes, dials, edge, middle, centre, skew };
