/** Reach, daylight and what fouls. */
import { Pad, ROOM, WIDTH, type Box, type View } from "./pad";
import type { Reader } from "./read";

/** Plan and side of travel, part and cutter, in the travel's own zero. */
function reach(r: Reader) {
  const p = new Pad();
  const [t0, t1, c0, c1] = [r.need("travlow"), r.need("travhigh"), r.need("crosslow"), r.need("crosshigh")];
  const [ux, uy, long, wide, dia] = [
    r.need("usedx"),
    r.need("usedy"),
    r.need("long"),
    r.need("wide"),
    r.need("cutter"),
  ];
  const start = r.n("startx") ?? ux;
  const stop = r.n("stopx") ?? ux;
  const [row0, row1] = [r.n("rowlow") ?? uy, r.n("rowhigh") ?? uy];
  const [left, right] = [r.typed("left") ?? 0, r.typed("right") ?? 0];
  const table = r.typed("table") ?? 0;
  const f0 = ux - long / 2;
  const f1 = ux + long / 2;
  const rad = dia / 2;
  const x0 = Math.min(t0, start, stop) - rad;
  const x1 = Math.max(t1, start, stop) + rad;
  const lo = Math.min(x0, f0 - left, -table / 2);
  const hi = Math.max(x1, f1 + right, table / 2);
  const y0 = Math.min(c0, row0 - rad, uy - wide / 2);
  const y1 = Math.max(c1, row1 + rad, uy + wide / 2);
  const borer = r.word("machine") === "borer";
  p.put(8, 16, borer ? "Seen from the front" : "Seen from above");
  const v = p.view([lo, y0, hi, y1], [12, 26, WIDTH - 12, 226]);
  const [X, Y] = [v.x, v.y];
  if (left + right > 0) p.box("d-ghost", X(f0 - left), Y(uy + wide / 2), X(f1 + right), Y(uy - wide / 2));
  p.box("d-metal", X(f0), Y(uy + wide / 2), X(f1), Y(uy - wide / 2), "iron");
  p.box("d-line", X(f0), Y(uy + wide / 2), X(f1), Y(uy - wide / 2));
  p.box("d-ghost", X(t0), Y(c1), X(t1), Y(c0));
  for (const y of row0 === row1 ? [row0] : [row0, row1]) {
    for (const x of [start, stop]) p.round(off(x) ? "d-badline" : "d-thin", X(x), Y(y), rad * v.s);
    p.line("d-axis", [X(start), Y(y)], [X(stop), Y(y)]);
  }
  function off(x: number): boolean {
    return x < t0 - 1e-9 || x > t1 + 1e-9;
  }
  // The window of places for the middle of the face, and its middle.
  const [w0, w1] = [r.n("xfrom"), r.n("xto")];
  if (w0 !== undefined && w1 !== undefined && w1 >= w0) {
    p.line("d-mark", [X(w0), Y(uy)], [X(w1), Y(uy)]);
    for (const w of [w0, w1]) p.line("d-mark", [X(w), Y(uy) - 6], [X(w), Y(uy) + 6]);
    const best = r.n("xplace");
    if (best !== undefined) p.round("d-fill", X(best), Y(uy), 4.5);
  }
  p.round("d-dot", X(ux), Y(uy), 3);
  side(p, r, v, { t0, t1, start, stop, f0, f1, rad, left, right, table });
  p.letter(X(f0) + 14, Y(uy + wide / 2) + 12, "Face, middle now at", r.t("usedx"));
  if (w0 !== undefined && w1 !== undefined && w1 >= w0)
    p.letter(
      X((w0 + w1) / 2),
      Y(uy) - 16,
      "Best middle, give or take half the window",
      `${r.t("xplace")}, window ${r.t("xwin")}`,
    );
  p.letter(X(t0) + 12, Y(c0) - 12, "Travel along; needed", `${r.t("travel")}; ${r.t("xneed")}`);
  p.row("Spare along", r.t("xspare"));
  p.row("Spare across", r.t("yspare"));
  p.row("Clears at left stop by", r.t("clearl"));
  p.row("Clears at right stop by", r.t("clearr"));
  p.row("Room to the column", r.t("column"));
  if (off(start) || off(stop)) p.warn("From here the cutter runs out of travel.");
  p.note(
    "Dashes: travel of the spindle's middle. Rings: cutter at both ends. Dot: the best middle. Heights not to scale.",
  );
  return p.done();
}

interface Along {
  t0: number;
  t1: number;
  start: number;
  stop: number;
  f0: number;
  f1: number;
  rad: number;
  left: number;
  right: number;
  table: number;
}

/** The same from the side: table, part, cutter at both ends, and the travel there is against what is needed. */
function side(p: Pad, r: Reader, v: View, a: Along): void {
  const top = v.bottom + 22;
  p.put(8, top, r.word("machine") === "borer" ? "Seen from above" : "Seen from the side");
  const y = top + 12;
  const X = v.x;
  for (const x of [a.start, a.stop]) {
    p.box("d-tool", X(x - a.rad), y, X(x + a.rad), y + 12);
    p.line("d-axis", [X(x), y - 6], [X(x), y + 78]);
  }
  if (a.left + a.right > 0) p.box("d-ghost", X(a.f0 - a.left), y + 18, X(a.f1 + a.right), y + 40);
  p.box("d-metal", X(a.f0), y + 12, X(a.f1), y + 40, "iron");
  p.box("d-line", X(a.f0), y + 12, X(a.f1), y + 40);
  if (a.table > 0) p.box("d-tool", X(-a.table / 2), y + 40, X(a.table / 2), y + 50);
  // Travel against need: what is beyond the travel is lined over.
  p.box("d-tool", X(a.t0), y + 58, X(a.t1), y + 66);
  const [n0, n1] = [Math.min(a.start, a.stop), Math.max(a.start, a.stop)];
  p.box("d-fill", X(Math.max(n0, a.t0)), y + 70, X(Math.min(n1, a.t1)), y + 77);
  if (n0 < a.t0) p.box("d-badline", X(n0), y + 70, X(a.t0), y + 77, "bad");
  if (n1 > a.t1) p.box("d-badline", X(a.t1), y + 70, X(n1), y + 77, "bad");
  p.put(8, y + 94, "Open bar: travel. Filled: what is needed.");
}

/** What stands between the nose and the table. */
function daylight(r: Reader) {
  const p = new Pad();
  const [tool, under, part] = [r.need("tool"), r.n("under") ?? 0, r.need("part")];
  const [depth, over, clear] = [r.n("depth") ?? 0, r.n("over") ?? 0, r.n("clear") ?? 0];
  const work = under + part;
  const up = work + over + clear + tool;
  const [low, high] = [r.n("low"), r.n("high")];
  const place = r.n("place");
  const most = r.need("daylight");
  const hang = r.typed("hang") ?? 0;
  const nose = place ?? Math.max(up, low ?? 0);
  const noses = [most, nose, high ?? 0, low ?? 0];
  const v = p.view([-4, -hang, 4, Math.max(...noses, up)], [40, 30, ROOM - 30, 340]);
  const Y = v.y;
  const cx = 110;
  // Table, fixture, part with what stands above it.
  p.iron(34, Y(0), 190, Y(0) + 8);
  if (under > 0) p.box("d-tool", cx - 44, Y(under), cx + 44, Y(0));
  p.iron(cx - 36, Y(work), cx + 36, Y(under));
  if (depth > 0) p.box("d-void d-line", cx - 9, Y(work), cx + 9, Y(work - depth));
  if (over > 0) p.box("d-tool", cx - 34, Y(work + over), cx - 20, Y(work));
  if (hang > 0) p.box("d-ghost", cx - 58, Y(0), cx - 40, Y(-hang));
  // Tool and nose at the place.
  p.box("d-tool", cx - 5, Y(nose), cx + 5, Y(Math.max(nose - tool, work)));
  p.box("d-tool", cx - 26, Y(nose) - 12, cx + 26, Y(nose));
  p.line("d-ghost", [34, Y(most)], [190, Y(most)]);
  if (low !== undefined && high !== undefined && high >= low) {
    p.line("d-mark", [200, Y(low)], [200, Y(high)]);
    for (const w of [low, high]) p.line("d-mark", [194, Y(w)], [206, Y(w)]);
  } else p.warn("No place of the nose does.");
  p.tag(190, Y(most), "Most daylight", r.t("daylight"));
  if (place !== undefined) p.tag(cx + 26, Y(nose) - 4, "Nose to table", r.t("place"));
  p.tag(cx + 5, Y(nose - tool / 2), "Tool", r.t("tool"));
  if (over > 0) p.tag(cx - 20, Y(work + over), "Stands above", r.t("over"));
  p.tag(cx + 36, Y(work), "Surface at", r.t("height"));
  if (depth > 0) p.tag(cx + 9, Y(work - depth), "Edge at depth", r.t("tip"));
  if (under > 0) p.tag(cx + 44, Y(under / 2), "Fixture", r.t("under"));
  p.row("Spare above", r.t("roomup"));
  p.row("Spare below", r.t("roomdown"));
  p.row("Stroke needed", r.t("stroke"));
  if (low !== undefined && high !== undefined) p.row("Window of the nose", `${r.t("low")} to ${r.t("high")}`);
  if (hang > 0) p.row("Hanging part clears by", r.t("hangspare"));
  p.note("Heights to scale, widths not. The bar at the right is where the nose may stand.");
  return p.done();
}

interface Thing {
  name: string;
  head: boolean;
  x: [number, number];
  y: [number, number];
  z: [number, number];
  /** Ends in half rounds in plan. */
  round: number;
}

const num = (c: string | number | undefined): number => (typeof c === "number" ? c : 0);

/** Boxes on the table and what the spindle carries along, from above and from the front. */
function foul(r: Reader) {
  const p = new Pad();
  const [x1, x2, y1, y2, cut] = [r.need("x1"), r.need("x2"), r.n("y1") ?? 0, r.n("y2") ?? 0, r.need("cut")];
  const pair = (a: number, b: number): [number, number] => [Math.min(a, b), Math.max(a, b)];
  const things: Thing[] = r.rows("boxes").map((b) => ({
    name: String(b[0] ?? ""),
    head: false,
    x: pair(num(b[1]), num(b[2])),
    y: pair(num(b[3]), num(b[4])),
    z: pair(num(b[5]), num(b[6])),
    round: 0,
  }));
  for (const h of r.rows("heads")) {
    const w = num(h[3]) / 2;
    const d = h[4] === undefined ? w : num(h[4]) / 2;
    const [oy, ox] = [num(h[5]), num(h[6])];
    things.push({
      name: String(h[0] ?? ""),
      head: true,
      x: [Math.min(x1, x2) + ox - w, Math.max(x1, x2) + ox + w],
      y: [Math.min(y1, y2) + oy - d, Math.max(y1, y2) + oy + d],
      z: pair(cut + num(h[1]), cut + num(h[2])),
      round: h[4] === undefined ? w : 0,
    });
  }
  const worst = r.rows("pairs")[0];
  const bad = r.word("state") === "fouls";
  const hit = (t: Thing): boolean => bad && (t.head ? t.name === worst?.[1] : t.name === worst?.[0]);
  const span = (k: "x" | "y" | "z"): [number, number] => [
    Math.min(...things.map((t) => t[k][0])),
    Math.max(...things.map((t) => t[k][1])),
  ];
  const [sx, sy, sz] = [span("x"), span("y"), span("z")];
  // What is large beside the table's things, a column, does not make them too small to see: it is cut off.
  let cropped = false;
  for (const [k, s] of [
    ["x", sx],
    ["y", sy],
    ["z", sz],
  ] as const) {
    const near = things.filter((t) => !t.head || t.round > 0 || hit(t));
    const [a, b] = [Math.min(...near.map((t) => t[k][0])), Math.max(...near.map((t) => t[k][1]))];
    const m = (b - a) * 0.12;
    if (!(m > 0)) continue;
    for (const t of things) {
      const c: [number, number] = [
        Math.max(t[k][0], Math.min(a - m, t[k][1] - 1e-3)),
        Math.min(t[k][1], Math.max(b + m, t[k][0] + 1e-3)),
      ];
      if (c[0] !== t[k][0] || c[1] !== t[k][1]) [t[k], cropped] = [c, true];
    }
    [s[0], s[1]] = span(k);
  }
  if (![...sx, ...sy, ...sz].every(Number.isFinite)) return undefined;
  // One scale for both views, side by side above each other.
  const deep = sy[1] - sy[0] + sz[1] - sz[0];
  const share = 300 / (deep || 1);
  const s = Math.min((WIDTH - 24) / (sx[1] - sx[0] || 1), share);
  p.put(8, 16, "Seen from above");
  const a = p.view([sx[0], sy[0], sx[1], sy[1]], [12, 26, WIDTH - 12, 326], s);
  views(p, things, hit, a, "y");
  const t = a.bottom + 24;
  p.put(8, t, "Seen from the front");
  const f = p.view([sx[0], sz[0], sx[1], sz[1]], [12, t + 10, WIDTH - 12, t + 310], s);
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
  for (const g of things.slice(0, 10)) {
    const at: Box = [f.x(g.x[0]), f.y(g.z[1]), f.x(g.x[1]), f.y(g.z[0])];
    const mine = r.rows("pairs").findIndex((row) => row[g.head ? 1 : 0] === g.name);
    p.letter(
      (at[0] + at[2]) / 2,
      (at[1] + at[3]) / 2,
      g.name,
      mine < 0 ? "nothing near" : r.cells("pairs", mine, 2),
    );
  }
  if (bad) p.warn(`Fouls: ${r.t("pair")}.`);
  p.note(
    `Full lines: on the table. Thin lines: what the spindle carries, all the way it goes. Sizes are each one's least clear distance; minus is foul.${cropped ? " What goes on beyond the sheet is cut off." : ""}`,
  );
  return p.done();
}

function views(p: Pad, things: Thing[], hit: (t: Thing) => boolean, v: View, k: "y" | "z"): void {
  for (const t of things) {
    const [l, top, rt, b] = [v.x(t.x[0]), v.y(t[k][1]), v.x(t.x[1]), v.y(t[k][0])];
    const kind = hit(t) ? "d-badline" : t.head ? "d-thin" : "d-line";
    if (!t.head) p.box("d-metal", l, top, rt, b, "iron");
    if (t.round > 0 && k === "y") {
      const c = t.round * v.s;
      p.curve(
        kind,
        `M${l + c} ${top}L${rt - c} ${top}A${c} ${c} 0 0 1 ${rt} ${top + c}L${rt} ${b - c}A${c} ${c} 0 0 1 ${rt - c} ${b}L${l + c} ${b}A${c} ${c} 0 0 1 ${l} ${b - c}L${l} ${top + c}A${c} ${c} 0 0 1 ${l + c} ${top}Z`,
        b,
      );
    } else p.box(kind, l, top, rt, b);
  }
}

export const machine = { reach, daylight, foul };
