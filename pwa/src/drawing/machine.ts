/** Reach, daylight and what fouls. */
import { type Pad, polar, ROOM, span, type Point, WIDTH, type Box, type View } from "./pad";
import type { Reader } from "./read";

type Four = [number, number, number, number];

/** Plan and side of travel, part and cutter, in the travel's own zero. */
function reach(p: Pad, r: Reader) {
  const [t0, t1, c0, c1] = r.needs("travlow travhigh crosslow crosshigh") as Four;
  const [ux, uy, long, wide, dia] = r.needs("usedx usedy long wide cutter") as [...Four, number];
  const ends = [r.n("startx") ?? ux, r.n("stopx") ?? ux];
  const rows = [r.n("rowlow") ?? uy, r.n("rowhigh") ?? uy];
  const [f0, f1, rad] = [ux - long / 2, ux + long / 2, dia / 2];
  const [over0, over1] = [f0 - (r.typed("left") ?? 0), f1 + (r.typed("right") ?? 0)];
  const table = (r.typed("table") ?? 0) / 2;
  const [x0, x1] = span([
    ...ends.flatMap((x) => [x - rad, x + rad]),
    t0 - rad,
    t1 + rad,
    over0,
    over1,
    -table,
    table,
  ]);
  const [y0, y1] = span([c0, c1, uy - wide / 2, uy + wide / 2, ...rows.flatMap((y) => [y - rad, y + rad])]);
  const borer = r.word("machine") === "borer";
  const sides = ["Seen from above", borer ? "Seen from the front" : "Seen from the side"];
  if (borer) sides.reverse();
  p.put(8, 16, sides[0]!);
  const v = p.view([x0, y0, x1, y1], [12, 26, WIDTH - 12, 226]);
  const [X, Y] = [v.x, v.y];
  const [top, foot] = [Y(uy + wide / 2), Y(uy - wide / 2)];
  const beyond = (x: number): boolean => x < t0 - 1e-9 || x > t1 + 1e-9;
  // The same from the side, with the heights as given.
  const y = v.bottom + 34;
  p.put(8, y - 12, sides[1]!);
  if (over1 - over0 > long) {
    p.box("d-ghost", X(over0), top, X(over1), foot);
    p.box("d-ghost", X(over0), y + 18, X(over1), y + 40);
  }
  p.iron(X(f0), top, X(f1), foot);
  p.iron(X(f0), y + 12, X(f1), y + 40);
  p.box("d-ghost", X(t0), Y(c1), X(t1), Y(c0));
  for (const x of ends) {
    for (const row of rows) p.round(beyond(x) ? "d-badline" : "d-thin", X(x), Y(row), rad * v.s);
    p.box("d-tool", X(x - rad), y, X(x + rad), y + 12);
    p.line("d-axis", [X(x), y - 6], [X(x), y + 78]);
  }
  for (const row of rows) p.line("d-axis", [X(ends[0]!), Y(row)], [X(ends[1]!), Y(row)]);
  if (table > 0) p.box("d-tool", X(-table), y + 40, X(table), y + 50);
  // Travel against need: what is beyond the travel is hatched.
  const [n0, n1] = span(ends);
  p.box("d-tool", X(t0), y + 58, X(t1), y + 66);
  const [m0, m1] = [Math.max(n0, t0), Math.min(n1, t1)];
  if (m1 > m0) p.box("d-fill", X(m0), y + 70, X(m1), y + 77);
  if (n0 < t0) p.box("d-badline", X(n0), y + 70, X(Math.min(n1, t0)), y + 77, "bad");
  if (n1 > t1) p.box("d-badline", X(Math.max(n0, t1)), y + 70, X(n1), y + 77, "bad");
  p.put(8, y + 94, "Open bar: travel. Filled: needed.");
  p.letter(X(f0) + 14, top + 12, "Face, middle now at", "=usedx");
  // The range of positions for the middle of the face, and its midpoint.
  const [w0, w1] = [r.n("xfrom") ?? 1, r.n("xto") ?? 0];
  if (w1 >= w0) {
    p.range([X(w0), Y(uy)], [X(w1), Y(uy)]);
    p.round("d-fill", X((w0 + w1) / 2), Y(uy), 4.5);
    p.letter(X((w0 + w1) / 2), Y(uy) - 16, "Best middle", `${r.t("xplace")}, window ${r.t("xwin")}`);
  }
  p.round("d-dot", X(ux), Y(uy), 3);
  p.letter(X(t0) + 12, Y(c0) - 12, "Travel along; needed", `${r.t("travel")}; ${r.t("xneed")}`);
  if (ends.some(beyond)) p.warn("From here the cutter runs out of travel.");
  p.note("Dashes: travel. Rings: cutter at both ends. Heights not to scale.");
}

/** What stands between the nose and the table. */
function daylight(p: Pad, r: Reader) {
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
  if (low !== undefined && high !== undefined && high >= low) p.range([200, Y(low)], [200, Y(high)]);
  else p.warn("No place of the nose does.");
  p.tag(190, Y(most), "Most daylight", "=daylight");
  if (place !== undefined) p.tag(cx + 26, Y(nose) - 4, "Nose to table", "=place");
  p.tag(cx + 5, Y(nose - tool / 2), "Tool", "=tool");
  if (over > 0) p.tag(cx - 20, Y(work + over), "Stands above", "=over");
  p.tag(cx + 36, Y(work), "Surface at", "=height");
  if (depth > 0) p.tag(cx + 9, Y(work - depth), "Edge at depth", "=tip");
  if (under > 0) p.tag(cx + 44, Y(under / 2), "Fixture", "=under");
  p.note("Heights to scale, widths not. Thick bar: where the nose may stand.");
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
function foul(p: Pad, r: Reader) {
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
  const bad = r.word("state") === "fouls" || r.word("state") === "too near";
  const hit = (t: Thing): boolean => bad && (t.head ? t.name === worst?.[1] : t.name === worst?.[0]);
  const reach = (list: Thing[], k: "x" | "y" | "z"): [number, number] => span(list.flatMap((t) => t[k]));
  const [sx, sy, sz] = [reach(things, "x"), reach(things, "y"), reach(things, "z")];
  // What is much larger than the things on the table, such as a column, is cut off, so that they
  // stay large enough to see.
  let cropped = false;
  for (const [k, s] of [
    ["x", sx],
    ["y", sy],
    ["z", sz],
  ] as const) {
    const near = things.filter((t) => !t.head || t.round > 0 || hit(t));
    const [a, b] = reach(near, k);
    const m = (b - a) * 0.12;
    if (!(m > 0)) continue;
    for (const t of things) {
      const c: [number, number] = [
        Math.max(t[k][0], Math.min(a - m, t[k][1] - 1e-3)),
        Math.min(t[k][1], Math.max(b + m, t[k][0] + 1e-3)),
      ];
      if (c[0] !== t[k][0] || c[1] !== t[k][1]) [t[k], cropped] = [c, true];
    }
    [s[0], s[1]] = reach(things, k);
  }
  if (![...sx, ...sy, ...sz].every(Number.isFinite)) return false;
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
    `Thin lines: what the spindle carries, all its way. Sizes: the least clear distance, minus where it fouls.${cropped ? " Large things are cut off." : ""}`,
  );
}

function views(p: Pad, things: Thing[], hit: (t: Thing) => boolean, v: View, k: "y" | "z"): void {
  for (const t of things) {
    const [l, top, rt, b] = [v.x(t.x[0]), v.y(t[k][1]), v.x(t.x[1]), v.y(t[k][0])];
    const kind = hit(t) ? "d-badline" : t.head ? "d-thin" : "d-line";
    if (!t.head) p.box("d-metal", l, top, rt, b, "iron");
    if (t.round > 0 && k === "y") {
      // Rounded corners: the cutter at the four ends of its path.
      const c = t.round * v.s;
      const ring: Point[] = [];
      for (let a = 0; a <= 360; a += 10) {
        const [ux, uy] = polar(0, 0, c, a);
        ring.push([ux < 0 ? l + c + ux : rt - c + ux, uy < 0 ? top + c + uy : b - c + uy]);
      }
      p.face(kind, ring);
    } else p.box(kind, l, top, rt, b);
  }
}

export const machine = { reach, daylight, foul };
