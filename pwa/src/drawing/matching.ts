/** Which fixture takes a part: its bolts over the holes of a face, and the holes to drill. */
import { type Pad, polar, short, span, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";

/** A slot's outline; one no longer than it is wide is a hole. */
function slot(x: number, y: number, across: number, long: number, angle: number): Point[] {
  const half = Math.max(0, long - across) / 2;
  const out: Point[] = [];
  for (let a = -90; a < 270; a += 15)
    out.push(polar(...polar(x, y, a < 90 ? half : -half, angle), across / 2, angle + a));
  return out;
}

type Seven = [number, number, number, number, number, number, number];

const nought = (c: string | number | undefined): number => (typeof c === "number" ? c : 0);

/** The face that is drawn: that of the answer, else the first that was given, with its holes. */
function faceOf(r: Reader): { edge: Box; holes: Seven[]; kept: number[][] } | undefined {
  const of = (row: (string | number | undefined)[], at: number): Box => {
    const [wide, high] = [nought(row[at]), nought(row[at + 1])];
    return { left: nought(row[at + 3]), bottom: nought(row[at + 4]), wide, high };
  };
  const face = r.rows("face")[0];
  if (face) {
    const [left, bottom, wide, high] = face.slice(2).map(nought) as [number, number, number, number];
    return {
      edge: { left, bottom, wide, high },
      holes: r.rows("facing").map((q) => q.map(nought) as Seven),
      kept: r.rows("blocked").map((q) => q.slice(1).map(nought)),
    };
  }
  const first = r.rows("fixtures")[0];
  if (!first) return undefined;
  const mine = (q: (string | number | undefined)[]): boolean => q[0] === first[0] && q[1] === first[1];
  return {
    edge: of(first, 2),
    holes: r
      .rows("places")
      .filter(mine)
      .map((q) => [0, nought(q[3]), nought(q[4]), nought(q[5]), 0, nought(q[7]), nought(q[8])]),
    kept: r
      .rows("keep")
      .filter(mine)
      .map((q) => q.slice(3).map(nought)),
  };
}

interface Box {
  left: number;
  bottom: number;
  wide: number;
  high: number;
}

/** A fixture's face with what is in it, the part's bolts where they go, and the holes to drill. */
export function match(p: Pad, r: Reader): false | void {
  const face = faceOf(r);
  const part = r.rows("part");
  if (!face || part.length === 0) return false;
  const seated = r
    .rows("bolts")
    .map((q) => ({ row: nought(q[0]) - 1, at: [nought(q[3]), nought(q[4])] as Point }));
  const drill = r.rows("holes").map((q) => ({
    row: Number(/place (\d+)/.exec(String(q[10] ?? ""))?.[1] ?? 0) - 1,
    at: [nought(q[0]), nought(q[1])] as Point,
  }));
  const none = seated.length + drill.length === 0;
  // What goes nowhere is laid on the middle of the face as it is drawn.
  const own = part.map((q): Point => [nought(q[1]), nought(q[2])]);
  const [px0, px1] = span(own.map((q) => q[0]));
  const [py0, py1] = span(own.map((q) => q[1]));
  const { left, bottom, wide, high } = face.edge;
  const shift: Point = [left + wide / 2 - (px0 + px1) / 2, bottom + high / 2 - (py0 + py1) / 2];
  const lost = none ? own.map((q): Point => [q[0] + shift[0], q[1] + shift[1]]) : [];
  const all = [...seated.map((b) => b.at), ...drill.map((b) => b.at), ...lost];
  const [x0, x1] = span([left, left + wide, ...all.map((q) => q[0]), ...face.holes.map((q) => q[1])]);
  const [y0, y1] = span([bottom, bottom + high, ...all.map((q) => q[1]), ...face.holes.map((q) => q[2])]);
  const others = p.faint ? [] : othersOf(r);
  const v = p.view([x0, y0, x1, y1], [24, 20, WIDTH - 24, 262 - 24 * others.length]);
  const [X, Y] = [v.x, v.y];
  if (wide > 0 && high > 0) p.iron(X(left), Y(bottom + high), X(left + wide), Y(bottom));
  for (const [x, y, w, h] of face.kept as [number, number, number, number][]) {
    const [a, b] = [Math.max(x0, x - w / 2), Math.min(x1, x + w / 2)];
    if (b > a) p.box("d-ghost", X(a), Y(Math.min(y1, y + h / 2)), X(b), Y(Math.max(y0, y - h / 2)));
  }
  for (const [, x, y, across, , long, angle] of face.holes)
    p.face("d-void d-thin", slot(X(x), Y(y), Math.max(5, across * v.s), long * v.s, angle));
  // The part as far as its bolts stand, see-through.
  const m = Math.max(14, 0.4 * v.s);
  const [bx0, bx1] = span(all.map((q) => X(q[0])));
  const [by0, by1] = span(all.map((q) => Y(q[1])));
  p.box(
    none ? "d-badline" : "d-way",
    Math.max(3, bx0 - m),
    Math.max(3, by0 - m),
    Math.min(WIDTH - 3, bx1 + m),
    Math.min(v.bottom + 14, by1 + m),
  );
  for (const b of seated) {
    p.spot("d-fill", X(b.at[0]), Y(b.at[1]), 5);
    p.place("part", b.row, X(b.at[0]), Y(b.at[1]));
  }
  for (const b of drill) {
    p.spot("d-void d-mark", X(b.at[0]), Y(b.at[1]), 7);
    if (b.row >= 0) p.place("part", b.row, X(b.at[0]), Y(b.at[1]));
  }
  lost.forEach((q, i) => {
    p.spot("d-badline", X(q[0]), Y(q[1]), 6);
    p.place("part", i, X(q[0]), Y(q[1]));
  });
  if (drill.length > 1) apart(p, v, drill[0]!.at, drill[1]!.at, r);
  if (drill.length === 0 && !none) {
    const tight = r.rows("bolts").map((q) => nought(q[6]));
    const worst = seated[tight.indexOf(Math.min(...tight))];
    if (worst) p.fig("room", X(worst.at[0]), Y(worst.at[1]) - 18, "", 70);
  }
  const [zx, zy] = [r.n("px"), r.n("py")];
  if (zx !== undefined && zy !== undefined && !p.faint) {
    const inside = X(zx) > 2 && X(zx) < WIDTH - 2 && Y(zy) > 2 && Y(zy) < v.bottom + 8;
    if (inside) {
      p.line("d-thin", [X(zx) - 7, Y(zy)], [X(zx) + 7, Y(zy)]);
      p.line("d-thin", [X(zx), Y(zy) - 7], [X(zx), Y(zy) + 7]);
    }
    p.fig("px", 84, v.bottom + 22, "zero X", 90);
    p.fig("py", 214, v.bottom + 22, "Y", 90);
  }
  others.forEach(([name, why], i) => {
    const y = v.bottom + 52 + 24 * i;
    p.line("d-ext", [8, y - 18], [WIDTH - 8, y - 18]);
    p.put(12, y, short(name, "d-name", 190));
    p.put(WIDTH - 12, y, short(why, "d-small", 140), "d-small", "end");
    p.tell(`${name}: ${why}`);
  });
  p.tell(`Looking at the face, to scale; ${drill.length} to drill, ${seated.length} in old holes`);
}

/** How many other faces stand under the one that is drawn. */
const OTHERS = 3;

/** The faces that are not drawn, best first, each with its reason. */
function othersOf(r: Reader): [name: string, why: string][] {
  const face = r.rows("face")[0] ?? r.rows("fixtures")[0];
  return r
    .rows("why")
    .filter((q) => q[0] !== face?.[0] || (q[1] || undefined) !== (face?.[1] || undefined))
    .slice(0, OTHERS)
    .map((q) => [[q[0], q[1]].filter(Boolean).join(", "), String(q[2] ?? "")]);
}

/** How far the first two holes to drill stand from each other. */
function apart(p: Pad, v: ReturnType<Pad["view"]>, a: Point, b: Point, r: Reader): void {
  const [from, to]: [Point, Point] = [
    [v.x(a[0]), v.y(a[1])],
    [v.x(b[0]), v.y(b[1])],
  ];
  p.line("d-dim", from, to);
  const unit = r.answer.results["holes"]?.units?.[0] === "mm" ? 25.4 : 1;
  const size = Math.hypot(b[0] - a[0], b[1] - a[1]) * unit;
  const text = unit === 1 ? size.toFixed(3).replace(/^0/, "") : size.toFixed(2);
  if (!p.faint) p.near((from[0] + to[0]) / 2, (from[1] + to[1]) / 2 - 6, text, "d-small", 60);
}
