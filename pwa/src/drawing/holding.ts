/** A part on an angle plate, and a strap clamp. */
import { arc, type Pad, polar, WIDTH, type Point } from "./pad";
import type { Reader } from "./read";
import { px } from "./scale";

/** Where the force pushes, as the answer says it begins: along the plate, up it, out from it. */
const WAYS: Record<string, [number, number, number]> = {
  down: [0, -1, 0],
  up: [0, 1, 0],
  left: [-1, 0, 0],
  right: [1, 0, 0],
  away: [0, 0, 1],
  towards: [0, 0, -1],
};

/** The plate from the front and from the side, one scale for both; under it what lets go. */
function hold(p: Pad, r: Reader) {
  const [l, rt, b, t] = r.needs("left right bottom top") as [number, number, number, number];
  const studs = r.numbers("each", 2) as [number, number][];
  const [gx, gy, gz] = [r.n("cgx") ?? 0, r.need("middle"), r.need("cgz")];
  const [fx, fy, fz] = r.needs("pointx pointy pointz") as [number, number, number];
  const force = (r.n("force") ?? 0) > 0;
  const [top, low] = [76, 176];
  // The face and the side share a scale, so that they line up as on a drawing.
  const s = Math.min(126 / (rt - l), (low - top) / (t - b), 80 / Math.max(gz, 0.01));
  const X = (n: number): number => 174 + (n - (l + rt) / 2) * s;
  const Y = (n: number): number => (top + low) / 2 - (n - (b + t) / 2) * s;
  const [x0, y0, x1, y1] = [X(l), Y(t), X(rt), Y(b)];
  const side = 268; // where the plate's face stands in the other view
  const Z = (z: number): number => Math.min(side + z * s, 350);
  const [gX, gY, gZ] = [X(gx), Math.max(top - 4, Math.min(low + 4, Y(gy))), Z(gz)];
  const nut = Math.min(Z(Math.max(r.n("thick") ?? gz * 0.35, 0.02)), 340);
  const [fX, fY] = [Math.max(102, Math.min(240, X(fx))), Math.max(top - 4, Math.min(low + 4, Y(fy)))];
  const [wx, wy, wz] = force ? (WAYS[r.word("worstway").split(" ")[0]!] ?? [0, 0, 0]) : [0, 0, 0];
  const tail = (x: number, d: number): Point => [x - d * 24, fY + wy * 24];
  const last = studs.at(-1)!;
  // Each box has a place of its own, so that none moves while another is typed.
  p.ask("force", 41, 39, { w: 78, from: force ? tail(fX, wx) : [x0, y0] });
  p.ask("torque", 134, 39, { w: 102, worked: "torque", from: [X(studs[0]![0]), Y(studs[0]![1])] });
  p.ask("thread", 228, 39, { w: 82, from: [nut + 3, Y(last[1])] });
  p.ask("depth", 315, 39, { w: 86, from: [side - 7, Y(last[1])] });
  p.ask("height", 41, 126, { w: 78 });
  p.ask("cgy", 45, 228, { w: 86, from: [x0 - 24, (gY + y1) / 2] });
  p.ask("width", 135, 228, { w: 86 });
  p.ask("weight", 225, 228, { w: 86, from: [gX, gY + 34] });
  p.ask("cgz", 315, 228, { w: 86 });
  const ruling = r.word("ruling");
  const bad = r.word("stays") === "false";
  // A joint that is not to be made so has no margins: what of it gives is what is wrong.
  const gives = bad && r.n("ratio") === undefined ? r.word("weakest") : "";
  const loose = bad && !gives && /slip|turn/.test(ruling);
  p.box("d-ghost", x0 - 6, top - 8, x1 + 6, low + 8);
  p.iron(x0, y0, x1, y1, loose ? "bad" : "iron");
  if (loose) p.box("d-badline", x0, y0, x1, y1);
  stops(p, r, x0, y0, x1, y1);
  const edge = EDGES[r.word("edge").split(" ")[0]!];
  if (edge && !gives && /tip/.test(ruling)) {
    const [ex, ey] = edge;
    p.line(
      bad ? "d-badline" : "d-mark",
      [X(ex > 0 ? rt : l), Y(ey > 0 ? t : b)],
      [X(ex < 0 ? l : rt), Y(ey < 0 ? b : t)],
    );
  }
  // From the side: the part reaches to twice its balance, or past the sheet.
  p.iron(side - 14, top - 8, side, low + 8, "steel");
  const end = Z(2 * gz);
  p.line("d-line", [end, y0], [side, y0], [side, y1], [end, y1]);
  p.line(end < 350 ? "d-line" : "d-line d-open", [end, y0], [end, y1]);
  for (const y of new Set(studs.map((q) => q[1]))) {
    p.line("d-axis", [side - 20, Y(y)], [nut + 10, Y(y)]);
    p.box(/nut|washer/.test(gives) ? "d-tool d-badline" : "d-tool", nut, Y(y) - 5, nut + 7, Y(y) + 5);
    if (/hole|thread/.test(gives)) {
      p.line("d-badline", [side - 13, Y(y) - 3], [side, Y(y) - 3]);
      p.line("d-badline", [side - 13, Y(y) + 3], [side, Y(y) + 3]);
    } else if (/stud/.test(gives)) p.line("d-badline", [side, Y(y)], [nut, Y(y)]);
  }
  studs.forEach(([x, y], i) => {
    nutOf(p, X(x), Y(y), gives !== "");
    p.place("studs", i, X(x), Y(y));
  });
  p.of("weight", () => {
    p.push(gX, gY + 8, gX, gY + 34);
    p.push(gZ, gY + 8, gZ, gY + 34);
  });
  p.balance(gX, gY);
  p.balance(gZ, gY, 7);
  if (force) {
    p.of("force", () => {
      arrow(p, fX, fY, wx, -wy, 24);
      arrow(p, Math.max(side, Z(fz)), fY, wz, -wy, 24);
    });
  }
  if (loose && /slip/.test(ruling)) p.push((x0 + x1) / 2 + 20, y1 - 10, (x0 + x1) / 2 + 20, y1 + 14, "-bad");
  if (loose && /turn/.test(ruling))
    turns(
      p,
      studs.map(([x, y]) => [X(x), Y(y)]),
    );
  p.of("height", () => p.upright(x0 - 12, y0, y1));
  p.of("cgy", () => {
    p.line("d-ext", [x0 - 28, gY], [gX, gY]);
    p.upright(x0 - 24, gY, y1);
  });
  p.of("width", () => p.level(x0, x1, low + 16));
  p.of("cgz", () => p.level(side, gZ, low + 16));
  links(p, r, 258, bad);
}

/** Edges a part may tip about, the way they lie from the middle. */
const EDGES: Record<string, readonly [number, number]> = {
  bottom: [0, -1],
  top: [0, 1],
  left: [-1, 0],
  right: [1, 0],
};

/** A nut from the front, as a hexagon about its stud. */
function nutOf(p: Pad, x: number, y: number, bad: boolean): void {
  const at = (i: number, n: number): Point => [
    x + n * Math.cos((i * Math.PI) / 3),
    y + n * Math.sin((i * Math.PI) / 3),
  ];
  p.face(
    "d-tool",
    [0, 1, 2, 3, 4, 5].map((i) => at(i, 9)),
  );
  p.round(bad ? "d-badline" : "d-thin", x, y, 4.5);
  p.block([x - 10, y - 10, x + 10, y + 10]);
}

/** Stops beneath and at both sides; the places are touched to set them. */
function stops(p: Pad, r: Reader, x0: number, y0: number, x1: number, y1: number): void {
  if (r.word("ledge") === "true") p.box("d-metal d-line", x0 + 6, y1, x1 - 6, y1 + 6, "steel");
  if (r.word("sides") !== "true") return;
  p.box("d-metal d-line", x0 - 6, y0 + 6, x0, y1 - 6, "steel");
  p.box("d-metal d-line", x1, y0 + 6, x1 + 6, y1 - 6, "steel");
}

/** A bent arrow about the middle of the studs. */
function turns(p: Pad, studs: Point[]): void {
  const x = studs.reduce((a, q) => a + q[0], 0) / studs.length;
  const y = studs.reduce((a, q) => a + q[1], 0) / studs.length;
  p.curve("d-badline", arc(x, y, 22, 60, 300), y + 22);
  const [ex, ey] = polar(x, y, 22, 60);
  p.head(ex, ey, 1, 0.6, "d-pushhead-bad", 12);
}

/** Ways to let go as links of a chain, the weakest first and thick. */
function links(p: Pad, r: Reader, top: number, bad: boolean): void {
  const all = (
    [
      ["slip", "slips"],
      ["turn", "turns"],
      ["tip", "tips"],
    ] as const
  )
    .flatMap(([key, name]) => {
      const n = r.n(key);
      return n === undefined || p.faint ? [] : [{ key, name, n }];
    })
    .sort((a, b) => a.n - b.n);
  if (all.length === 0) return;
  const w = 100;
  const start = (WIDTH - (all.length * w - (all.length - 1) * 4)) / 2;
  all.forEach((_, i) => {
    const x = start + i * (w - 4);
    const k = i > 0 ? "d-link" : bad ? "d-link d-badline" : "d-link d-weak";
    p.curve(k, pill(x + 2, top, x + w - 2, top + 36), top + 38);
  });
  all.forEach((one, i) => {
    const x = start + i * (w - 4) + w / 2;
    p.figure(one.key, x, top + 16);
    p.put(x, top + 30, one.name, "d-name", "middle");
  });
}

/** A link of a chain: a bar with round ends. */
function pill(x0: number, y0: number, x1: number, y1: number): string {
  const h = (y1 - y0) / 2;
  return `M${px(x0 + h)} ${px(y0)}L${px(x1 - h)} ${px(y0)}A${px(h)} ${px(h)} 0 0 1 ${px(x1 - h)} ${px(y1)}L${px(x0 + h)} ${px(y1)}A${px(h)} ${px(h)} 0 0 1 ${px(x0 + h)} ${px(y0)}Z`;
}

/** An arrow that starts or ends at a place; a ring where it points along the line of sight. */
function arrow(p: Pad, x: number, y: number, dx: number, dy: number, long: number): void {
  if (dx === 0 && dy === 0) p.round("d-mark", x, y, 6);
  else p.push(x - dx * long, y - dy * long, x, y);
}

/** A strap from the side: heel block, stud, part; under it what lets go. */
function strap(p: Pad, r: Reader) {
  const [heel, nose] = r.needs("heel nose") as [number, number];
  const thick = r.typed("thick");
  const s = 148 / (heel + nose);
  const [h, n] = [98, 246];
  const x = h + heel * s;
  const high = Math.max(12, Math.min((thick ?? (heel + nose) * 0.16) * s, 44));
  const [under, foot] = [152, 190];
  const top = under - high;
  p.ask("clamps", 44, 39, { w: 82, from: [h - 12, top + 4] });
  p.ask("torque", 138, 39, { w: 102, worked: "torque", from: [x - 6, top - 10] });
  p.ask("thread", 233, 39, { w: 82, from: [x + 2, top - 20] });
  p.ask("force", 318, 39, { w: 80, from: [318, foot - 22] });
  p.ask("thick", 37, 140, { w: 70 });
  p.ask("heel", 45, 242, { w: 86, from: [(h + x) / 2, foot + 16] });
  p.ask("nose", 135, 242, { w: 86, from: [(x + n) / 2, foot + 16] });
  p.ask("wide", 225, 242, { w: 86, from: [x + 18, under - 3] });
  p.ask("weight", 315, 242, { w: 86, from: [282, foot - 10] });
  const bad = r.word("stays") === "false";
  const [slip, tip] = [r.n("slip") ?? Infinity, r.n("tip") ?? Infinity];
  const bends =
    bad && r.n("bending") === undefined && !Number.isFinite(Math.min(slip, tip)) && thick !== undefined;
  p.line("d-line", [4, foot], [356, foot]);
  p.box("d-tool", h - 13, under, h + 13, foot);
  p.of("weight", () => p.iron(n - 14, under, 300, foot, bad && !bends && slip < tip ? "bad" : "iron"));
  p.of("thick", () => p.of("wide", () => bar(p, h - 16, n + 12, x, top, under, bends)));
  p.of("thread", () => p.box("d-tool", x - 5, top - 24, x + 5, foot));
  p.box("d-tool", x - 13, top - 13, x + 13, top);
  p.push(h, top - 34, h, top - 3);
  p.push(n, top - 34, n, top - 3);
  p.of("force", () => p.push(346, foot - 22, 304, foot - 22, bad && !bends && slip < tip ? "-bad" : ""));
  if (thick !== undefined) p.of("thick", () => p.upright(h - 22, top, under));
  for (const at of [h, x, n]) p.line("d-ext", [at, foot + 3], [at, foot + 20]);
  p.of("heel", () => p.level(h, x, foot + 14));
  p.of("nose", () => p.level(x, n, foot + 14));
  p.fig("onheel", h - 46, top - 14, "", 20);
  p.fig("onwork", n + 48, top - 14, "", 20);
  links(p, r, 272, bad);
}

/** The bar of a strap, bent down at its ends where it does not bear its stud. */
function bar(p: Pad, l: number, rt: number, at: number, top: number, under: number, bends: boolean): void {
  if (!bends) return p.iron(l, top, rt, under, "steel");
  const edge = (y: number, back = false): string => {
    const [a, b] = back ? [rt, l] : [l, rt];
    return `${px(a)} ${px(y - 7)}Q${px(at)} ${px(y + 13)} ${px(b)} ${px(y - 7)}`;
  };
  const d = `M${edge(top)}L${edge(under, true)}Z`;
  p.curve("d-metal", d, under + 6);
  p.curve("d-badline", d, under + 6);
}

export const holding = { hold, strap };
