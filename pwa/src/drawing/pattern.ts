/** Holes in a pattern, and the way to them by handwheel. */
import { figure, stopped } from "./figures";
import { type Pad, polar, span, type Point, type View, WIDTH } from "./pad";
import { Missing, type Reader } from "./read";

/** Coordinates are written at each hole of so few; of more at the one that was touched. */
const FEW = 6;

/** Where the pattern is drawn: boxes stand over and under it. */
const AREA = [52, 74, WIDTH - 52, 232] as const;

const rad = (deg: number): number => (deg * Math.PI) / 180;

/** A place turned by an angle and shifted. */
const put = ([x, y]: Point, deg: number, [dx, dy]: Point): Point => [
  dx + x * Math.cos(rad(deg)) - y * Math.sin(rad(deg)),
  dy + x * Math.sin(rad(deg)) + y * Math.cos(rad(deg)),
];

/**
 * The holes: those of the answer, or, where it cannot be done and gives no coordinates, as they
 * were asked for, so that what is wrong can be seen.
 */
function holesOf(r: Reader): Point[] {
  const given = r.numbers("holes", 3).map((q): Point => [q[1]!, q[2]!]);
  if (given.length > 0) return given;
  const at: Point = [r.typed("x") ?? 0, r.typed("y") ?? 0];
  const list = (n: number, of: (i: number) => Point): Point[] =>
    Array.from({ length: Math.min(n, 100) }, (_, i) => of(i));
  switch (r.answer.worksheet) {
    case "bolts": {
      const n = r.need("n");
      const spread = r.typed("spread");
      const step =
        (spread === undefined ? 360 / n : spread / Math.max(1, n - 1)) * (r.word("way") === "cw" ? -1 : 1);
      const from =
        (r.typed("first") ?? 0) * (r.word("way") === "cw" ? -1 : 1) + (r.word("start") === "top" ? 90 : 0);
      return list(n, (i) => put([r.need("dia") / 2, 0], from + i * step, at));
    }
    case "row": {
      const n = r.need("n");
      const gap = r.typed("pitch") ?? (r.typed("over") ?? 0) / Math.max(1, n - 1);
      const start = r.word("from") === "middle" ? -(gap * (n - 1)) / 2 : 0;
      return list(n, (i) => put([start + i * gap, 0], r.typed("angle") ?? 0, at));
    }
    case "grid": {
      const [nx, ny] = [r.need("nx"), r.need("ny")];
      const [px, py] = [r.typed("px") ?? 0, r.typed("py") ?? 0];
      const mid: Point = r.word("from") === "middle" ? [-(px * (nx - 1)) / 2, -(py * (ny - 1)) / 2] : [0, 0];
      return list(nx * ny, (i) => {
        const row = Math.floor(i / nx);
        const back = row % 2 === 1 && r.word("order") !== "rows";
        const col = back ? nx - 1 - (i % nx) : i % nx;
        return put([mid[0] + col * px, mid[1] + row * py], r.typed("angle") ?? 0, at);
      });
    }
    case "pairs":
      return r
        .numbers("pairs", 2)
        .flatMap(([along, across]): Point[] =>
          [across! / 2, ...(across! ? [-across / 2] : [])].map((y) =>
            put([along!, y], r.typed("angle") ?? 0, at),
          ),
        );
  }
  throw new Missing("holes");
}

/** A length of a table as it is set on a readout or a dial, in its own unit. */
function set(n: unknown, unit: string, fine = false): string {
  if (typeof n !== "number") return "";
  const step = unit === "mm" ? 0.005 : 0.0005;
  const to = fine ? n : Math.round(n / step) * step;
  const text = unit === "mm" ? to.toFixed(3) : to.toFixed(fine ? 4 : 4).replace(/^(-?)0\./, "$1.");
  return fine ? text.replace(/(\.\d\d\d)0+$/, "$1") : text;
}

/** X and Y of a hole. */
function coordinates(r: Reader, i: number): string[] {
  const found = r.answer.results["holes"];
  const row = Array.isArray(found?.value) ? found.value[i] : undefined;
  return Array.isArray(row) ? [1, 2].map((c) => set(row[c], found?.units?.[c] ?? "")) : [];
}

/** The two that stand nearest to each other. */
function nearest(pts: Point[]): [number, number] | undefined {
  let best: [number, number] | undefined;
  let least = Infinity;
  pts.forEach((a, i) =>
    pts.slice(0, i).forEach((b, j) => {
      const d = Math.hypot(a[0] - b[0], a[1] - b[1]);
      if (d < least - 1e-9) [least, best] = [d, [j, i]];
    }),
  );
  return best;
}

/** The pattern as places on the sheet, with the cross of its zero or its middle. */
function spread(
  pts: Point[],
  around: Point[],
  area: readonly [number, number, number, number],
): { v: View; at: Point[] } {
  const [x0, x1] = span([...pts, ...around].map((q) => q[0]));
  const [y0, y1] = span([...pts, ...around].map((q) => q[1]));
  const [l, t, r, b] = area;
  const s = Math.min(x1 > x0 ? (r - l) / (x1 - x0) : Infinity, y1 > y0 ? (b - t) / (y1 - y0) : Infinity);
  const scale = Number.isFinite(s) ? s : 1;
  const x = (n: number): number => (l + r) / 2 + (n - (x0 + x1) / 2) * scale;
  const y = (n: number): number => (t + b) / 2 - (n - (y0 + y1) / 2) * scale;
  const v: View = { s: scale, x, y, left: x(x0), right: x(x1), top: y(y1), bottom: y(y0) };
  return { v, at: pts.map((q): Point => [x(q[0]), y(q[1])]) };
}

/**
 * The holes with their numbers; touched, one stands in the headline, and its X and Y beside it in
 * bold. Those of the others stand towards `out` of them, where there is room.
 */
function rings(
  p: Pad,
  r: Reader,
  at: Point[],
  s: number,
  key = "at",
  out: (at: Point) => Point = () => [0, 1],
  round = false,
): void {
  const dia = r.typed("hole");
  // Small enough that neighbouring holes never touch, however close they stand.
  const gaps = at.slice(1, 300).map((q, i) => Math.hypot(q[0] - at[i]![0], q[1] - at[i]![1]) || 99);
  const small = Math.max(2, Math.min(7, ...gaps.map((g) => g * 0.3)));
  const R = dia === undefined ? small : Math.max(2, Math.min((dia / 2) * s, 40));
  const bad = stopped(p, r) ? nearest(at) : undefined;
  const now = Math.round(r.typed("at") ?? 0) - 1;
  at.forEach(([x, y], i) => {
    if (bad?.includes(i)) {
      p.round("d-badline", x, y, R, "bad");
      p.block([x - R, y - R, x + R, y + R]);
    } else p.spot(i === now ? "d-void d-mark" : "d-void d-line", x, y, R);
  });
  if (p.faint) return;
  // The one that was touched is labelled first, then the last one, so that the end of the row is known.
  const order = [...at.keys()];
  order.unshift(order.pop()!);
  const told = key === "at" && r.rows("holes").length > 0;
  const chosen = told && now >= 0 && now < at.length;
  if (chosen) order.sort((a, b) => Number(b === now) - Number(a === now));
  // A place to touch for each, as long as a thumb can tell them apart.
  const apart = Math.min(48, ...gaps);
  const beside = (i: number): Point => {
    const [hx, hy] = at[i]!;
    const [ux, uy] = out(at[i]!);
    return [hx + ux * (R + 28), hy + uy * (R + 18)];
  };
  // Where holes stand close round a circle their numbers stand outside it.
  const number = (i: number): Point => {
    const [hx, hy] = at[i]!;
    const [ux, uy] = out(at[i]!);
    return at.length > 9 && round ? [hx + ux * (R + 10), hy + uy * (R + 8) + 4] : [hx + R + 7, hy - R - 2];
  };
  for (const i of order) {
    const [hx, hy] = at[i]!;
    const [nx, ny] = number(i);
    const name = `${i + 1}`;
    if (at.length > 40 || !p.near(nx, ny, name, "d-small", 18))
      if (!p.near(nx, ny, name, "d-num", 24)) p.near(2 * hx - nx, 2 * hy - ny + 8, name, "d-num", 24);
    if (!chosen || i !== now) continue;
    const [x = "", y = ""] = coordinates(r, i);
    const w = Math.min(24, apart / 2);
    if (!p.stack(...beside(i), [`X ${x}`, `Y ${y}`], "d-small", 110))
      p.stack(...beside(i), [`X ${x} Y ${y}`], "d-small", 300);
    p.block([hx - w, hy - w, hx + w, hy + w]);
  }
  if (told && at.length <= FEW)
    for (const i of order) if (i !== now) p.stack(...beside(i), coordinates(r, i), "d-num", 44);
  if (at.length <= 30 && apart >= 22)
    at.forEach(([x, y], i) => {
      const w = Math.min(24, apart / 2);
      if (key === "at") p.pick("at", `${i + 1}`, x - w, y - w, x + w, y + w);
    });
}

function cross(p: Pad, x: number, y: number, long = 16): void {
  p.line("d-axis", [x - long, y], [x + long, y]);
  p.line("d-axis", [x, y - long], [x, y + long]);
}

/** The way from the middle of a pattern to a place. */
const away =
  ([cx, cy]: Point) =>
  ([x, y]: Point): Point => {
    const far = Math.hypot(x - cx, y - cy) || 1;
    return [(x - cx) / far, (y - cy) / far];
  };

/** Boxes of the zero's place, at the lower edge. */
function zero(p: Pad, y = 276): void {
  p.ask("x", 48, y, { w: 80 });
  p.ask("y", 132, y, { w: 80 });
}

function circle(p: Pad, r: Reader, pts: Point[]): void {
  const mid: Point = [r.typed("x") ?? 0, r.typed("y") ?? 0];
  const own = (r.typed("hole") ?? 0) / 2;
  const R = r.need("dia") / 2 + own;
  const { v, at } = spread(
    pts,
    [
      [mid[0] - R, mid[1] - R],
      [mid[0] + R, mid[1] + R],
    ],
    [84, 78, WIDTH - 84, 220],
  );
  const [cx, cy] = [v.x(mid[0]), v.y(mid[1])];
  const ring = (R - own) * v.s;
  p.ask("dia", 52, 40, { from: polar(cx, cy, ring, 135), w: 92 });
  p.ask("n", cx, cy + 7, { w: 64 });
  p.ask("first", 310, 40, { from: [at[0]![0] + 6, at[0]![1] - 6], w: 84 });
  zero(p);
  p.of("dia", () => p.round("d-ghost", cx, cy, ring));
  cross(p, cx, cy, ring + 10);
  if (at.length > 1) {
    p.line("d-ext", at[0]!, at[1]!);
    figure(p, r, "chord", "apart", [352, 270], "end");
  }
  if (at.length > 3) figure(p, r, "across", "check across", [270, 270], "end");
  rings(p, r, at, v.s, "at", away([cx, cy]), true);
}

function row(p: Pad, r: Reader, pts: Point[]): void {
  const { v, at } = spread(pts, [], AREA);
  const [a, b, z] = [at[0]!, at[1] ?? at[0]!, at.at(-1)!];
  p.ask("n", 48, 40, { w: 76 });
  p.ask("pitch", 180, 40, {
    from: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2],
    w: 92,
    worked: "pitch",
    when: { over: "" },
  });
  p.ask("over", 308, 40, { from: z, w: 92, worked: "over", when: { pitch: "" } });
  zero(p);
  p.ask("angle", 312, 276, { w: 84 });
  p.line("d-axis", a, z);
  rings(p, r, at, v.s);
}

function grid(p: Pad, r: Reader, pts: Point[]): void {
  const { v, at } = spread(pts, [], [112, 92, 254, 184]);
  const nx = r.need("nx");
  const back = r.word("order") !== "rows";
  const [a, b] = [at[0]!, at[1] ?? at[0]!];
  const up = at[back ? Math.min(2 * nx - 1, at.length - 1) : Math.min(nx, at.length - 1)]!;
  const gap: Point = [(a[0] + b[0]) / 2, a[1]];
  p.ask("nx", 180, 40, { w: 84 });
  p.ask("ny", 312, 124, { w: 84 });
  p.ask("px", Math.max(60, Math.min(300, gap[0])), 238, { from: [gap[0], Math.max(a[1], up[1]) + 4], w: 92 });
  p.ask("py", 48, Math.max(60, (a[1] + up[1]) / 2), {
    from: [Math.min(a[0], up[0]), (a[1] + up[1]) / 2],
    w: 84,
  });
  zero(p, 300);
  p.line("d-ext", ...at);
  figure(p, r, "diagonal", "check corners", [352, 294], "end");
  rings(p, r, at, v.s, "at", away([(v.left + v.right) / 2, (v.top + v.bottom) / 2]));
}

function pairs(p: Pad, r: Reader, pts: Point[]): void {
  const mid: Point = [r.typed("x") ?? 0, r.typed("y") ?? 0];
  const { v, at } = spread(pts, [mid], [52, 30, WIDTH - 52, 186]);
  const angle = r.typed("angle") ?? 0;
  const far = 400;
  const lim = (q: Point): Point => [Math.max(6, Math.min(WIDTH - 6, q[0])), Math.max(6, Math.min(202, q[1]))];
  zero(p, 236);
  p.ask("angle", 312, 236, { w: 84 });
  // The centre line, as far as the sheet goes.
  const [zx, zy] = [v.x(mid[0]), v.y(mid[1])];
  const ends = [angle, angle + 180].map((a): Point => {
    const [ex, ey] = polar(zx, zy, far, a);
    const t = Math.min(
      1,
      ...[
        [ex - zx, ex > zx ? WIDTH - 6 - zx : 6 - zx],
        [ey - zy, ey > zy ? 202 - zy : 6 - zy],
      ].map(([d, room]) => (Math.abs(d!) > 1e-6 ? Math.abs(room! / d!) : 1)),
    );
    return lim([zx + (ex - zx) * t, zy + (ey - zy) * t]);
  });
  p.line("d-axis", ...ends);
  p.spot("d-dot", zx, zy, 3);
  const rows = r.numbers("pairs", 2);
  let i = 0;
  rows.forEach(([, across], k) => {
    const two = across ? 2 : 1;
    if (at[i]) p.place("pairs", k, ...at[i]!);
    if (two === 2 && at[i] && at[i + 1]) p.line("d-ext", at[i]!, at[i + 1]!);
    i += two;
  });
  rings(p, r, at, v.s, "pairs");
  figure(p, r, "nearest", "nearest", [220, 230], "middle", 88);
}

const kinds: Record<string, (p: Pad, r: Reader, pts: Point[]) => void> = { bolts: circle, row, grid, pairs };

function holes(p: Pad, r: Reader): void {
  const pts = holesOf(r);
  if (pts.length === 0) throw new Missing("holes");
  kinds[r.answer.worksheet]!(p, r, pts);
  pts.slice(0, FEW).forEach((_, i) => {
    const text = coordinates(r, i).join(", ");
    if (text && !p.faint) p.tell(`hole ${i + 1} ${text}`);
  });
  p.tell(`${pts.length} places from above`);
}

/** How a dial stands: turns from the zero, and what it shows. */
function stop(r: Reader, i: number, c: number): string {
  const found = r.answer.results["wheels"];
  const row = Array.isArray(found?.value) ? found.value[i] : undefined;
  if (!Array.isArray(row)) return "";
  const turns = Number(row[c]);
  const dial = set(row[c + 1], found?.units?.[c + 1] ?? "", true);
  return turns < 0 ? `${-turns} below 0, ${dial}` : `${turns} + ${dial}`;
}

/** Places for the handwheels, and how the dials stand at the one gone to and the next. */
function dials(p: Pad, r: Reader): void {
  const pts = r.some("holes", 2).map((q): Point => [q[0]!, q[1]!]);
  const { v, at } = spread(pts, [[0, 0]], [44, 72, WIDTH - 44, 180]);
  p.ask("leadx", 60, 40, { w: 104 });
  p.ask("leady", 300, 40, { w: 104 });
  cross(p, v.x(0), v.y(0));
  p.line("d-ext", ...at);
  at.forEach(([x, y], i) => p.place("holes", i, x, y));
  rings(p, r, at, v.s, "places");
  const now = Math.max(1, Math.min(pts.length, Math.round(r.typed("at") ?? 1)));
  if (!p.faint) {
    // One line each: touched, it is the one gone to.
    for (let i = now - 1, y = 220; i < Math.min(pts.length, now + 1); i++, y += 43) {
      const k = i === now - 1 ? "d-small" : "d-name";
      const [x1, y1] = [stop(r, i, 1), stop(r, i, 4)];
      p.put(10, y, `${i + 1}`, "d-size");
      p.put(40, y, `X ${x1}`, k);
      p.put(204, y, `Y ${y1}`, k);
      const row = r.rows("wheels")[i] ?? [];
      if (row[3] === "past") p.put(40, y + 14, "go past, come back", "d-num");
      if (row[6] === "past") p.put(204, y + 14, "go past, come back", "d-num");
      p.tell(`place ${i + 1} X ${x1}, Y ${y1}`);
      p.line("d-ext", [8, y + 20], [352, y + 20]);
      p.pick("at", `${i + 1}`, 4, y - 22, 356, y + 20);
    }
  }
  p.tell("Places from above, to scale");
}

export const pattern = { holes, dials };
