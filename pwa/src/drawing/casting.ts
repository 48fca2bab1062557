/** Does it clean up: the finished part in its rough, from above and from the front. */
import { type Pad, span, times, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";

type Three = readonly [number, number, number];

/** A surface of the finished part, with what was touched on it. */
interface Surface {
  name: string;
  kind: string;
  at: Three;
  dir: Three;
  dia: number;
  /** Where each touch lies, its stock, and what of it is to spare. */
  touches: { on: Three; stock: number; spare: number }[];
  row: number;
}

const dot = (a: Three, b: Three): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const plus = (a: Three, b: Three, k: number): Three => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]];
const num = (c: string | number | undefined): number => (typeof c === "number" ? c : 0);

/** Where a touch lies on the finished surface, and which way its stock stands out. */
function foot(s: Surface, p: Three): { on: Three; out: Three } {
  const off: Three = [p[0] - s.at[0], p[1] - s.at[1], p[2] - s.at[2]];
  if (s.kind === "face" || s.kind === "wall") {
    const out = s.kind === "face" ? s.dir : ([-s.dir[0], -s.dir[1], -s.dir[2]] as const);
    return { on: plus(p, s.dir, -dot(off, s.dir)), out };
  }
  const radial = plus(off, s.dir, -dot(off, s.dir));
  const d = Math.hypot(...radial) || 1;
  const unit: Three = [radial[0] / d, radial[1] / d, radial[2] / d];
  const inward = s.kind === "bore" ? -1 : 1;
  return { on: plus(p, unit, s.dia / 2 - d), out: [inward * unit[0], inward * unit[1], inward * unit[2]] };
}

function surfacesOf(r: Reader): Surface[] {
  const out = r.rows("outline").map((q, row): Surface => {
    const [x, y, z, nx, ny, nz, dia] = q.slice(2).map(num) as [...number[]] & { length: 7 };
    return {
      name: String(q[0]),
      kind: String(q[1]),
      at: [x!, y!, z!],
      dir: [nx!, ny!, nz!],
      dia: dia!,
      touches: [],
      row,
    };
  });
  for (const q of r.rows("stock")) {
    const s = out.find((o) => o.name === String(q[0]));
    if (s) s.touches.push({ on: [num(q[1]), num(q[2]), num(q[3])], stock: num(q[5]), spare: num(q[6]) });
  }
  return out;
}

/** One of the two views: which coordinates go right and up, and which one is looked along. */
interface Look {
  u: 0 | 1 | 2;
  v: 0 | 1 | 2;
  along: 0 | 1 | 2;
}
const ABOVE: Look = { u: 0, v: 1, along: 2 };
const FRONT: Look = { u: 0, v: 2, along: 1 };

/** Whether a surface is seen as a line, or a circle, in a view. */
const shows = (s: Surface, l: Look): boolean =>
  s.kind === "face" || s.kind === "wall" ? Math.abs(s.dir[l.along]) < 0.7 : Math.abs(s.dir[l.along]) > 0.7;

export function cleanup(p: Pad, r: Reader): false | void {
  const all = surfacesOf(r).filter((s) => s.touches.length > 0);
  if (all.length === 0) return false;
  const most = Math.max(...all.flatMap((s) => s.touches.map((t) => Math.abs(t.stock))), 1e-6);
  // The finished surfaces by their touches' feet; rounds by their whole circle.
  const feet = (s: Surface): Three[] => s.touches.map((t) => foot(s, t.on).on);
  const ends = (k: 0 | 1 | 2): [number, number] =>
    span(
      all.flatMap((s) => (s.dia > 0 ? [s.at[k] - s.dia / 2, s.at[k] + s.dia / 2] : feet(s).map((f) => f[k]))),
    );
  const wide = (k: 0 | 1 | 2): number => ends(k)[1] - ends(k)[0];
  // From the front only where something was touched at several heights, or nothing shows from above.
  const above = all.some((s) => shows(s, ABOVE));
  const front = !above || (all.some((s) => shows(s, FRONT)) && wide(2) > 0.02 * wide(0));
  const views = [...(above ? [ABOVE] : []), ...(front ? [FRONT] : [])];
  const size = views.reduce((sum, l) => sum + wide(l.v), 0);
  const s = Math.min((WIDTH - 110) / Math.max(wide(0), 0.2), (276 - 52 * views.length) / Math.max(size, 0.2));
  const by = Math.max(1, times(20 / (most * s)));
  let top = 34;
  for (const l of views) {
    const [u0, u1] = ends(l.u);
    const [v0, v1] = ends(l.v);
    const U = (n: number): number => WIDTH / 2 + (n - (u0 + u1) / 2) * s;
    const V = (n: number): number => top + (v1 - n) * s;
    const at = (q: Three): Point => [U(q[l.u]), V(q[l.v])];
    for (const one of all.filter((o) => shows(o, l))) draw(p, one, l, at, s, by, [u0, u1, v0, v1]);
    top += (v1 - v0) * s + 52;
  }
  const low = Math.min(300, top + 4);
  if (p.faint || r.answer.mark !== "stop") {
    p.fig("least", 90, low, "least");
    p.fig("laid", 260, low, "as laid out");
  }
  if (by > 1 && !p.faint) p.near(WIDTH / 2, low + 16, `stock ${by} times`, "d-name", 60);
  p.tell(`${all.length} surfaces to scale, stock ${by} times; least ${r.t("least")}`);
}

/** The most that stock is drawn out from its surface, px. */
const MARGIN = 24;

/** A place of a view on the sheet. */
function place(l: Look, u: number, v: number, like: Three, at: (q: Three) => Point): Point {
  const q: [number, number, number] = [...like];
  [q[l.u], q[l.v]] = [u, v];
  return at(q);
}

/** A finished surface, and over it the rough as it was touched, its stock enlarged. */
function draw(
  p: Pad,
  one: Surface,
  l: Look,
  at: (q: Three) => Point,
  s: number,
  by: number,
  [u0, u1, v0, v1]: [number, number, number, number],
): void {
  const rough = one.touches.map((t) => {
    const f = foot(one, t.on);
    // What stands out too far to be stock, a slip or a riser, ends at the sheet's margin.
    const out = Math.max(-MARGIN, Math.min(MARGIN, t.stock * by * s)) / s;
    return { on: at(f.on), out: at(plus(f.on, f.out, out)), bad: t.spare < -1e-4 };
  });
  const keep = one.kind === "wall" || one.kind === "ring";
  const short = rough.some((q) => q.bad);
  if (one.dia > 0) {
    const [x, y] = at(one.at);
    p.round("d-line", x, y, (one.dia / 2) * s);
    if (short) p.round("d-badline", x, y, (one.dia / 2) * s);
  } else {
    const ends = [...rough].sort((a, b) => a.on[0] - b.on[0] || a.on[1] - b.on[1]);
    // A face along an axis goes from end to end of the part, another from touch to touch.
    const [left, low] = place(l, u0, v0, one.at, at);
    const [right, high] = place(l, u1, v1, one.at, at);
    const [x, y] = ends[0]!.on;
    const upright = Math.abs(one.dir[l.u]) > 0.99;
    const level = Math.abs(one.dir[l.v]) > 0.99;
    const from: Point = upright ? [x, low] : level ? [left, y] : [x, y];
    const to: Point = upright ? [x, high] : level ? [right, y] : ends.at(-1)!.on;
    p.line(short ? "d-badline" : "d-line", from, to);
    if (!keep) p.line("d-ghost", ...ends.map((q) => q.out));
  }
  for (const q of rough) {
    p.line(q.bad ? "d-badline" : "d-way", q.on, q.out);
    const [x, y] = q.out;
    p.line("d-thin", [x - 4, y - 4], [x + 4, y + 4]);
    p.line("d-thin", [x - 4, y + 4], [x + 4, y - 4]);
    p.block([x - 4, y - 4, x + 4, y + 4]);
  }
  const n = rough.length;
  const mx = rough.reduce((q, e) => q + e.on[0] / n, 0);
  const my = rough.reduce((q, e) => q + e.on[1] / n, 0);
  p.place("features", one.row, mx, my);
  // The name stands on the part's side of its surface.
  const ox = rough.reduce((q, e) => q + e.out[0] - e.on[0], 0);
  const oy = rough.reduce((q, e) => q + e.out[1] - e.on[1], 0);
  const far = Math.hypot(ox, oy) || 1;
  p.near(mx - (ox / far) * 26, my + 4 - (oy / far) * 14, one.name.slice(0, 16), "d-name", 50);
}
