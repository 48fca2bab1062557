/** A part on an angle plate, and a strap clamp. */
import { type Pad, span, WIDTH } from "./pad";
import type { Reader } from "./read";

/** Where the force pushes, as the answer says it begins: along the plate, up it, out from it. */
const WAYS: Record<string, [number, number, number]> = {
  down: [0, -1, 0],
  up: [0, 1, 0],
  left: [-1, 0, 0],
  right: [1, 0, 0],
  away: [0, 0, 1],
  towards: [0, 0, -1],
};

/** The plate from the front and from the side, one scale for both. */
function hold(p: Pad, r: Reader) {
  const [l, rt, b, t] = r.needs("left right bottom top") as [number, number, number, number];
  const studs = r.numbers("each", 2) as [number, number][];
  const [gx, gy, gz] = [r.n("cgx") ?? 0, r.need("cgy"), r.need("cgz")];
  const f = [r.n("pointx"), r.n("pointy"), r.n("pointz")];
  const force = (r.n("force") ?? 0) > 0 && f.every((x) => x !== undefined);
  const [fx, fy, fz] = force ? f : [gx, gy, gz];
  const xs = [l, rt, gx, fx!, ...studs.map((s) => s[0])];
  const ys = [b, t, gy, fy!, ...studs.map((s) => s[1])];
  const m = Math.max(rt - l, t - b) * 0.06;
  const [xa, xb] = span(xs);
  const [ya, yb] = span(ys);
  const box = [xa - m, ya - m, xb + m, yb + m] as const;
  const out = Math.max(gz * 1.7, fz!, 0.1) * 1.2 + m;
  const plate = (rt - l) * 0.09;
  const across = box[2] - box[0] + out + plate;
  const s = Math.min((WIDTH - 24 - 30) / across, 230 / (box[3] - box[1]));
  const wide = (box[2] - box[0]) * s;
  const start = (WIDTH - (across * s + 30)) / 2;
  const v = p.view(box, [start, 34, start + wide, 264], s);
  p.put(8, 16, "Seen on the face");
  p.put(WIDTH - 8, 16, "Seen from the side", "d-name", "end");
  const [X, Y] = [v.x, v.y];
  p.iron(X(l), Y(t), X(rt), Y(b));
  for (const [x, y] of studs) {
    p.spot("d-tool", X(x), Y(y), 6);
    p.round("d-dot", X(x), Y(y), 2.5);
  }
  // Side: the plate stands at the left of the part, whose depth is not among the numbers.
  const x0 = start + wide + 30 + plate * s;
  const Z = (z: number): number => x0 + z * s;
  p.iron(x0 - plate * s, Y(box[3]), x0, Y(box[1]));
  p.box("d-ghost", x0, Y(t), Z(out - m), Y(b));
  for (const [, y] of studs) p.line("d-axis", [x0 - plate * s - 6, Y(y)], [Z(gz), Y(y)]);
  const [gX, gY, gZ] = [X(gx), Y(gy), Z(gz)];
  const long = 26;
  p.balance(gX, gY);
  p.balance(gZ, gY);
  p.push(gX, gY + 8, gX, gY + 8 + long);
  p.push(gZ, gY + 8, gZ, gY + 8 + long);
  const edge = r.word("edge");
  const side = WAYS[edge.split(" ")[0]!.replace("bottom", "down").replace("top", "up")];
  if (side) {
    const [dx, dy] = side;
    const ends = [dx > 0 ? rt : l, dy > 0 ? t : b, dx < 0 ? l : rt, dy < 0 ? b : t] as const;
    p.line("d-mark", [X(ends[0]), Y(ends[1])], [X(ends[2]), Y(ends[3])]);
    p.letter(X((ends[0] + ends[2]) / 2), Y((ends[1] + ends[3]) / 2) + 12, "Would tip about", edge);
  }
  p.letter(gX + 16, gY - 10, "Weight", "=weight");
  if (force) {
    const [wx, wy, wz] = WAYS[r.word("worstway").split(" ")[0]!] ?? [0, 0, 0];
    const [px0, py0] = [X(fx!), Y(fy!)];
    arrow(p, px0, py0, wx, -wy, long);
    arrow(p, Z(fz!), py0, wz, -wy, long);
    p.letter(px0 + 14, py0 - 12, `Cutting force, worst ${r.word("worstway")}`, "=force");
  }
  if (studs[0])
    p.letter(X(studs[0][0]) - 14, Y(studs[0][1]) - 12, `${studs.length} studs, each at least`, "=least");
  const margin = r.t("margin");
  p.row(margin ? `What lets go first: margin ${margin}` : "What lets go first", "=ruling");
  if (r.word("stays") === "false") p.warn("It does not stay as it is.");
  p.note("Places to scale. Arrows: where forces act and which way. Dashes: the depth is not known.");
}

/** An arrow that starts or ends at a place; a ring where it points along the line of sight. */
function arrow(p: Pad, x: number, y: number, dx: number, dy: number, long: number): void {
  if (dx === 0 && dy === 0) p.round("d-mark", x, y, 6);
  else p.push(x - dx * long, y - dy * long, x, y);
}

/** A strap from the side: heel block, stud, work. */
function strap(p: Pad, r: Reader) {
  const [heel, nose] = r.needs("heel nose") as [number, number];
  const thick = r.typed("thick") ?? 0;
  const high = Math.max(thick, (heel + nose) * 0.14);
  const v = p.view([-0.3 * (heel + nose), 0, 1.3 * (heel + nose), high], [14, 96, WIDTH - 14, 140]);
  const [h, s, n] = [v.x(0), v.x(heel), v.x(heel + nose)];
  const [top, under] = [v.y(high), v.y(0)];
  const foot = under + 56;
  p.box("d-tool", h - 14, under, h + 14, foot);
  p.iron(n - 12, under, Math.min(WIDTH - 6, v.x(1.3 * (heel + nose))), foot);
  p.iron(h - 10, top, n + 10, under, "steel");
  p.box("d-tool", s - 5, top - 26, s + 5, foot);
  p.box("d-tool", s - 12, top - 14, s + 12, top);
  p.line("d-line", [8, foot], [WIDTH - 8, foot]);
  p.push(s, top - 58, s, top - 28);
  p.push(h, top - 40, h, top - 2);
  p.push(n, top - 40, n, top - 2);
  const dims = foot + 22;
  for (const x of [h, s, n]) p.line("d-ext", [x, foot + 4], [x, dims + 5]);
  p.level(h, s, dims);
  p.level(s, n, dims);
  p.put((h + s) / 2, dims + 18, r.t("heel"), "d-small", "middle");
  p.put((s + n) / 2, dims + 18, r.t("nose"), "d-small", "middle");
  p.tell(`Heel to stud ${r.t("heel")}, stud to work ${r.t("nose")}`);
  p.letter(s + 16, top - 44, "Stud, at least", "=least");
  p.letter(h - 16, top - 26, "On the heel, at most", "=onheel");
  p.letter(n + 16, top - 26, "On the work, at least", "=onwork");
  if (r.word("stays") === "false") p.warn("It does not stay as it is.");
  p.note("Lengths to scale. Arrows: which way.");
}

export const holding = { hold, strap };
