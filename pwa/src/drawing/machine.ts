/** What the machine reaches: over a face, under its spindle. */
import { type Pad, span, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";
import { px } from "./scale";

type Four = [number, number, number, number];

const stopped = (p: Pad, r: Reader): boolean => !p.faint && r.answer.mark === "stop";
/** A number kept between two others. */
const within = (n: number, low: number, high: number): number => Math.max(low, Math.min(high, n));

/**
 * The face on the table with the cutter at both ends of its way, and the travel under it: what is
 * left of it at each end is what is to spare. An end that need not be cleared is touched.
 */
function reach(p: Pad, r: Reader) {
  const [t0, t1, c0, c1] = r.needs("travlow travhigh crosslow crosshigh") as Four;
  const [ux, uy, long, wide, dia] = r.needs("usedx usedy long wide cutter") as [...Four, number];
  const [start, stop] = [r.n("startx") ?? ux, r.n("stopx") ?? ux];
  const rows = [...new Set([r.n("rowlow") ?? uy, r.n("rowhigh") ?? uy])];
  const [f0, f1, rad] = [ux - long / 2, ux + long / 2, dia / 2];
  const [left, right] = [f0 - (r.typed("left") ?? 0), f1 + (r.typed("right") ?? 0)];
  const rear = uy + wide / 2 + (r.typed("rear") ?? 0);
  const half = (r.typed("table") ?? 0) / 2;
  const room = r.n("column");
  const near = room !== undefined && room < wide * 0.6 && r.word("machine") !== "borer";
  const column = Math.min(...rows) + (r.typed("throat") ?? 0);
  const sx = [start - rad, stop - rad, start + rad, stop + rad, t0, t1, left, right];
  const sy = [c0, c1, uy - wide / 2, rear, ...rows.flatMap((y) => [y - rad, y + rad])];
  if (near) sy.push(column, column + wide * 0.2);
  const [x0, x1] = span(sx);
  const [y0, y1] = span(sy);
  const v = p.view([x0, y0, x1, y1], [16, 82, WIDTH - 24, 218]);
  const [X, Y] = [v.x, v.y];
  const [top, foot] = [Y(uy + wide / 2), Y(uy - wide / 2)];
  const [n0, n1] = [Math.min(start, stop), Math.max(start, stop)];
  const bar = v.bottom + 16;
  const row = bar + 66;
  const upright = WIDTH - 10;
  const over = Math.min(top, Y(Math.max(...rows)) - rad * v.s) - 8;
  // Boxes first, each at its own place: none moves while another is typed.
  p.ask("cutter", 54, 40, { w: 104, from: [X(n0), Y(rows.at(-1)!) - rad * v.s] });
  p.ask("long", 180, 40, { w: 104, from: [X(ux), over] });
  p.ask("wide", 306, 40, { w: 104, from: [upright, top] });
  p.ask("atx", 54, row, { w: 104, ...(r.typed("atx") !== undefined && { from: [X(ux), Y(uy)] as Point }) });
  p.ask("travel", 180, row, { w: 104, from: [180, bar + 5] });
  p.ask("cross", 306, row, { w: 104, from: [X(t1), Y(c0)] });
  bed(p, r, half > 0 ? [X(-half), X(half)] : [2, WIDTH - 2], v.top, v.bottom, Y(uy));
  p.of("travel", () => p.box("d-ghost", X(t0), Y(c1), X(t1), Y(c0)));
  if (left < f0 || right > f1 || rear > uy + wide / 2)
    p.box("d-ghost", Math.max(2, X(left)), Y(rear), Math.min(WIDTH - 2, X(right)), foot);
  p.box("d-void d-line", X(f0), top, X(f1), foot);
  const beyond = (x: number): boolean => x < t0 - 1e-9 || x > t1 + 1e-9;
  const off = (y: number): boolean => y < c0 - 1e-9 || y > c1 + 1e-9;
  const ring = rad * v.s;
  p.of("cutter", () => {
    for (const y of rows) p.curve("d-sweep", stadium(X(n0), X(n1), Y(y), ring), Y(y) + ring);
    for (const y of rows) {
      p.round(beyond(stop) || off(y) ? "d-badline" : "d-way d-goal", X(stop), Y(y), ring);
      p.round(beyond(start) || off(y) ? "d-badline" : "d-way", X(start), Y(y), ring);
      p.line("d-way", [X(start), Y(y)], [X(stop), Y(y)]);
      p.head(X(stop), Y(y), stop - start, 0, "d-pushhead", 12);
    }
  });
  if (near) wall(p, r, X(f0), X(f1), Y(column), Y(rear), v.top);
  p.of("long", () => {
    for (const x of [f0, f1]) p.line("d-ext", [X(x), top - 2], [X(x), over - 4]);
    p.level(X(f0), X(f1), over);
  });
  p.of("wide", () => {
    for (const y of [top, foot]) p.line("d-ext", [X(f1) + 3, y], [upright + 4, y]);
    p.upright(upright, top, foot);
  });
  ends(p, r, X(n0), X(n1), v.top, v.bottom);
  // Travel over need: what is missing is lined.
  p.box("d-tool", X(t0), bar - 5, X(t1), bar + 5);
  const [m0, m1] = [Math.max(n0, t0), Math.min(n1, t1)];
  if (m1 > m0) p.box("d-fill", X(m0), bar - 5, X(m1), bar + 5);
  if (n0 < t0) p.box("d-badline", X(n0), bar - 6, X(Math.min(n1, t0)), bar + 6, "bad");
  if (n1 > t1) p.box("d-badline", X(Math.max(n0, t1)), bar - 6, X(n1), bar + 6, "bad");
  p.block([X(t0), bar - 6, X(t1), bar + 6]);
  const at = bar + 22;
  if ((r.n("sparel") ?? -1) >= 0) p.fig("sparel", within(X(t0) + 30, 46, 120), at, "clear", 24);
  if ((r.n("sparer") ?? -1) >= 0) p.fig("sparer", within(X(t1) - 30, 240, 312), at, "clear", 60);
  // Where its middle is put, from that of the table.
  if (Math.abs(r.n("xplace") ?? 0) >= 0.005 && Math.abs(X(ux) - X(0)) > 14) {
    p.push(within(X(0), 6, WIDTH - 6), foot + 8, X(ux), foot + 8);
    p.fig("xplace", (X(0) + X(ux)) / 2, foot + 28);
  }
  p.round("d-dot", X(ux), Y(uy), 3.5);
  if ((r.n("rows") ?? 1) > 1) p.fig("rows", X(ux), (Y(uy) + foot) / 2 + 6, "passes");
  p.tell(r.word("machine") === "borer" ? "Seen from the front" : "Seen from above");
}

/** All that a round cutter goes over between two ends of its way. */
const stadium = (x0: number, x1: number, y: number, r: number): string =>
  `M${px(x0)} ${px(y - r)}L${px(x1)} ${px(y - r)}A${px(r)} ${px(r)} 0 0 1 ${px(x1)} ${px(y + r)}` +
  `L${px(x0)} ${px(y + r)}A${px(r)} ${px(r)} 0 0 1 ${px(x0)} ${px(y - r)}Z`;

/** The table with its slots, as long as it is, or from edge to edge of the sheet. */
function bed(p: Pad, r: Reader, [x0, x1]: [number, number], top: number, low: number, y: number): void {
  if (r.word("machine") === "borer") return;
  const [a, b] = [Math.max(2, x0), Math.min(WIDTH - 2, x1)];
  const deep = Math.min(44, (low - top) / 2);
  const mid = within(y, top + deep, low - deep);
  if (b <= a) return;
  p.box("d-bed", a, mid - deep, b, mid + deep);
  for (const k of [-0.55, 0, 0.55]) {
    for (const side of [-2, 2]) p.line("d-ext", [a, mid + k * deep + side], [b, mid + k * deep + side]);
  }
}

/** The ends of the cutter's way: touching one says whether it must be cleared. */
function ends(p: Pad, r: Reader, x0: number, x1: number, top: number, low: number): void {
  const now = r.word("ends");
  const mid = (x0 + x1) / 2;
  p.pick("ends", now === "right" ? "both" : "right", 0, top, Math.min(x0 + 24, mid), low);
  p.pick("ends", now === "left" ? "both" : "left", Math.max(x1 - 24, mid), top, WIDTH, low);
}

/** The column behind the part, and what of the part stands in it. */
function wall(p: Pad, r: Reader, x0: number, x1: number, y: number, rear: number, top: number): void {
  p.iron(x0 - 10, Math.min(top, y - 10), x1 + 10, y, "steel");
  if (rear < y) p.box("d-badline", x0, rear, x1, y, "bad");
  else if (!p.faint) p.fig("column", (x0 + x1) / 2, (y + rear) / 2 + 6);
  p.tell(`column ${r.t("column")}`);
}

/** What stands between the nose and the table. */
function daylight(p: Pad, r: Reader) {
  const [tool, under, part] = [r.need("tool"), r.n("under") ?? 0, r.need("part")];
  const [depth, over, clear] = [r.n("depth") ?? 0, r.n("over") ?? 0, r.n("clear") ?? 0];
  const work = under + part;
  const up = work + over + clear + tool;
  const most = r.need("daylight") + (r.n("tiltz") ?? 0);
  const [low, high, place] = [r.n("low"), r.n("high"), r.n("place")];
  const hang = r.typed("hang") ?? 0;
  const nose = Math.min(place ?? up, most);
  const bad = stopped(p, r);
  const v = p.view([-4, -hang, 4, Math.max(most, high ?? 0, work + over)], [104, 34, 250, 284]);
  const Y = v.y;
  const cx = 178;
  const table = Y(0);
  const column = (i: number): number => 44 + i * 62;
  p.ask("over", 308, column(0), { from: [cx - 40, Y(work + over)], w: 92 });
  p.ask("depth", 308, column(1), { from: [cx + 9, Y(work - depth / 2)], w: 92 });
  p.ask("part", 308, column(2), { from: [cx + 48, Y(under + part / 2)], w: 92 });
  p.ask("under", 308, column(3), { from: [cx + 56, Y(under / 2)], w: 92 });
  p.ask("tool", 52, column(0), { from: [cx - 5, Y(nose - tool / 2)], w: 92 });
  p.ask("daylight", 52, column(1), { from: [108, Y(most * 0.8)], w: 92 });
  p.ask("knee", 52, column(2), { from: [112, Y(Math.max(most - (r.n("knee") ?? 0) / 2, 0))], w: 92 });
  p.ask("quill", 52, column(3), { w: 92 });
  if (r.word("feed") === "knee") p.none("quill");
  // Table, fixture, part with what stands above it.
  p.iron(104, table, 252, Math.min(table + 10, 300));
  if (under > 0) p.box("d-tool", cx - 56, Y(under), cx + 56, table);
  p.iron(cx - 48, Y(work), cx + 48, Y(under));
  if (depth > 0) p.box("d-void d-line", cx - 9, Y(work), cx + 9, Y(work - depth));
  if (over > 0) p.box("d-tool", cx - 46, Y(work + over), cx - 30, Y(work));
  if (hang > 0) p.box("d-ghost", cx - 68, table, cx - 56, Y(-hang));
  // Daylight from the table to the nose with the knee down; the nose may stand along the knee's way.
  p.of("daylight", () => {
    p.line("d-ext", [104, Y(most)], [cx + 60, Y(most)]);
    p.upright(108, Y(most), table);
  });
  p.of("knee", () => p.line("d-way", [114, Y(most)], [114, Y(Math.max(0, most - (r.n("knee") ?? 0)))]));
  if (low !== undefined && high !== undefined && high >= low) p.range([122, Y(low)], [122, Y(high)]);
  const tip = nose - tool;
  p.of("tool", () => {
    if (depth > 0 && !bad) p.box("d-ghost", cx - 6, Y(work - depth + tool), cx + 6, Y(work - depth));
    p.box("d-tool", cx - 6, Y(nose), cx + 6, Y(Math.max(tip, work - depth)));
    p.box("d-tool", cx - 30, Math.max(6, Y(nose) - 14), cx + 30, Y(nose));
  });
  const wants = work + over + clear;
  if (bad && tip < wants - 1e-9) p.box("d-badline", cx - 10, Y(wants), cx + 10, Y(Math.max(tip, 0)), "bad");
  else if (bad) p.box("d-badline", cx - 10, Y(work), cx + 10, Y(work - Math.max(depth, 0.2)), "bad");
  if (place !== undefined) {
    p.line("d-ext", [cx + 30, Y(place)], [246, Y(place)]);
    p.upright(242, Y(place), table);
    p.fig("place", 232, (Y(place) + Y(work)) / 2, "", 90);
  }
  if (!bad && tip > work + over) p.fig("spare", cx + 30, (Y(tip) + Y(work + over)) / 2 + 6, "", 90);
  p.tell("Heights to scale, seen from the front");
}

interface Thing {
  name: string;
  head: boolean;
  row: number;
  x: [number, number];
  y: [number, number];
  z: [number, number];
  /** Ends in half rounds in plan. */
  round: number;
}

const num = (c: string | number | undefined): number => (typeof c === "number" ? c : 0);

/** What stands on the table and what the spindle carries along its way. */
function thingsOf(r: Reader): Thing[] {
  const [x1, x2, y1, y2, cut] = [r.need("x1"), r.need("x2"), r.n("y1") ?? 0, r.n("y2") ?? 0, r.need("cut")];
  const pair = (a: number, b: number): [number, number] => [Math.min(a, b), Math.max(a, b)];
  const things: Thing[] = r.rows("boxes").map((b, row) => ({
    name: String(b[0] ?? ""),
    head: false,
    row,
    x: pair(num(b[1]), num(b[2])),
    y: pair(num(b[3]), num(b[4])),
    z: pair(num(b[5]), num(b[6])),
    round: 0,
  }));
  r.rows("heads").forEach((h, row) => {
    const w = num(h[3]) / 2;
    const d = h[4] === undefined ? w : num(h[4]) / 2;
    const [oy, ox] = [num(h[5]), num(h[6])];
    things.push({
      name: String(h[0] ?? ""),
      head: true,
      row,
      x: [Math.min(x1, x2) + ox - w, Math.max(x1, x2) + ox + w],
      y: [Math.min(y1, y2) + oy - d, Math.max(y1, y2) + oy + d],
      z: pair(cut + num(h[1]), cut + num(h[2])),
      round: h[4] === undefined ? w : 0,
    });
  });
  return things;
}

const reachOf = (list: Thing[], k: "x" | "y" | "z"): [number, number] => span(list.flatMap((t) => t[k]));

/**
 * Cuts off what is much larger than the things on the table, such as a column, so that they stay
 * large enough to see.
 */
function crop(things: Thing[], hit: (t: Thing) => boolean): void {
  for (const k of ["x", "y", "z"] as const) {
    const near = things.filter((t) => !t.head || t.round > 0 || hit(t));
    const [a, b] = reachOf(near, k);
    const m = (b - a) * 0.12;
    if (!(m > 0)) continue;
    for (const t of things)
      t[k] = [
        Math.max(t[k][0], Math.min(a - m, t[k][1] - 1e-3)),
        Math.min(t[k][1], Math.max(b + m, t[k][0] + 1e-3)),
      ];
  }
}

/** Boxes on the table and what the spindle carries along, from above and from the front. */
function foul(p: Pad, r: Reader) {
  const things = thingsOf(r);
  const worst = r.rows("pairs")[0];
  const state = r.word("state");
  const bad = state === "fouls" || state === "too near";
  const hit = (t: Thing): boolean => bad && (t.head ? t.name === worst?.[1] : t.name === worst?.[0]);
  crop(things, hit);
  const [sx, sy, sz] = [reachOf(things, "x"), reachOf(things, "y"), reachOf(things, "z")];
  if (![...sx, ...sy, ...sz].every(Number.isFinite)) return false;
  p.ask("x1", 52, 40);
  p.ask("cut", 180, 40);
  p.ask("x2", 308, 40);
  // One scale for both views, one above the other.
  const s = Math.min((WIDTH - 24) / (sx[1] - sx[0] || 1), 206 / (sy[1] - sy[0] + sz[1] - sz[0] || 1));
  const a = p.view([sx[0], sy[0], sx[1], sy[1]], [12, 76, WIDTH - 12, 282], s);
  const top = a.bottom + 16;
  const f = p.view([sx[0], sz[0], sx[1], sz[1]], [12, top, WIDTH - 12, top + 210], s);
  views(p, things, hit, a, "y");
  views(p, things, hit, f, "z");
  const [A, B] = [things.find((g) => !g.head && hit(g)), things.find((g) => g.head && hit(g))];
  if (A && B) {
    for (const [v, k] of [
      [a, "y"],
      [f, "z"],
    ] as const) {
      const o = [
        Math.max(A.x[0], B.x[0]),
        Math.max(A[k][0], B[k][0]),
        Math.min(A.x[1], B.x[1]),
        Math.min(A[k][1], B[k][1]),
      ] as const;
      if (o[2] > o[0] && o[3] > o[1]) p.box("d-badline", v.x(o[0]), v.y(o[3]), v.x(o[2]), v.y(o[1]), "bad");
    }
  }
  const cut = f.y(r.need("cut"));
  p.of("cut", () => p.line("d-way", [8, cut], [WIDTH - 8, cut]));
  const way = [r.need("x1"), r.need("x2")].map((x): Point => [f.x(x), f.bottom + 8]);
  for (const [i, key] of (["x1", "x2"] as const).entries())
    p.of(key, () => p.line("d-axis", [way[i]![0], a.top], way[i]!));
  for (const g of things) {
    const [mx, my] = [(f.x(g.x[0]) + f.x(g.x[1])) / 2, (f.y(g.z[0]) + f.y(g.z[1])) / 2];
    const ay = (a.y(g.y[0]) + a.y(g.y[1])) / 2;
    // The things of the table are touched from above, what is on the spindle from the front.
    p.place(g.head ? "heads" : "boxes", g.row, mx, g.head ? my : ay);
    if (things.length <= 10) p.near(mx, my + 4, g.name, "d-name", 60);
    p.tell(`${g.name}${hit(g) ? " is hit" : ""}`);
  }
  if (r.n("nearest") !== undefined && !bad) p.fig("nearest", 180, a.bottom + 12, "nearest", 90);
  p.tell(`Above and front to scale, nearest ${r.t("nearest")}`);
}

function views(
  p: Pad,
  things: Thing[],
  hit: (t: Thing) => boolean,
  v: ReturnType<Pad["view"]>,
  k: "y" | "z",
): void {
  for (const t of things) {
    const [l, top, rt, b] = [v.x(t.x[0]), v.y(t[k][1]), v.x(t.x[1]), v.y(t[k][0])];
    const kind = hit(t) ? "d-badline" : t.head ? "d-thin" : "d-line";
    if (!t.head) p.box("d-metal", l, top, rt, b, "iron");
    if (t.round > 0 && k === "y") {
      // Rounded corners: the cutter at the four ends of its path.
      const c = t.round * v.s;
      const ring: Point[] = [];
      for (let deg = 0; deg <= 360; deg += 10) {
        const [ux, uy] = [c * Math.cos((deg * Math.PI) / 180), -c * Math.sin((deg * Math.PI) / 180)];
        ring.push([ux < 0 ? l + c + ux : rt - c + ux, uy < 0 ? top + c + uy : b - c + uy]);
      }
      p.face(kind, ring);
    } else p.box(kind, l, top, rt, b);
  }
}

export const machine = { reach, daylight, foul };
