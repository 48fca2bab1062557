/** In line: readings along a face, the move as an arrow, shims under an edge, a lever's stylus. */
import {
  arc,
  ASK_HIGH,
  ASK_NAME,
  bareOf,
  type Pad,
  polar,
  span,
  times,
  wide,
  WIDTH,
  type Box,
  type Point,
} from "./pad";
import type { Reader } from "./read";

/** A needle's figure as it is said: 1.5 thou is 1-1/2 thou, and an arrow has no sign. */
export const said = (text: string): string =>
  text
    .replace(/^-/, "")
    .replace(
      /^(\d*)\.(25|5|75) thou$/,
      (_, whole: string, part: string) =>
        `${whole && whole !== "0" ? `${whole}-` : ""}${{ "25": "1/4", "5": "1/2", "75": "3/4" }[part]} thou`,
    );

/** A bold figure that is a result without its sign, near a place. */
export function figure(p: Pad, text: string, x: number, y: number, name = "", most = 60): void {
  if (p.faint || !text || text.startsWith("nothing")) return;
  const size = bareOf(said(text));
  const s = name ? `${name} ${size}` : size;
  p.tell(s);
  p.near(x, y, s, "d-size", most);
}

/** A dial with its needle, and the tip of its stylus on a place. */
export function indicator(p: Pad, x: number, y: number, tip: Point, turn: number): void {
  const r = 19;
  p.line("d-line", [x, y + (tip[1] > y ? r : -r)], tip);
  p.round("d-dot", tip[0], tip[1], 3.4);
  p.round("d-tool", x, y, r);
  for (let a = 0; a < 360; a += 45) p.line("d-thin", polar(x, y, r - 4, a), polar(x, y, r, a));
  p.line("d-mark", [x, y], polar(x, y, r - 6, 90 - Math.max(-150, Math.min(150, turn))));
  p.block([x - r - 2, y - r - 2, x + r + 2, y + r + 2]);
}

/** A padlock: shut at the end that stays, open at one that may be touched to stay. */
function lock(p: Pad, x: number, y: number, shut: boolean): void {
  const k = shut ? "d-line" : "d-thin";
  p.box(shut ? "d-fill" : "d-tool", x - 7, y - 2, x + 7, y + 9);
  p.curve(k, shut ? arc(x, y - 2, 5, 180, 0) : arc(x + 5, y - 3, 5, 200, 20), y);
  p.block([x - 9, y - 9, x + 11, y + 10]);
}

/** The middles of a strip's boxes under a drawing, and of its faint one behind them. */
function strip(n: number, more: boolean): [first: number, last: number] {
  const wide = (WIDTH - 24 - (more ? 50 : 0) - (n - 1) * 6) / n;
  if (wide < 72) return [44, WIDTH - 44];
  return [12 + wide / 2, 12 + wide / 2 + (n - 1) * (wide + 6)];
}

interface Face {
  /** Places from the left: along, what the needle reads, on the line through the ends. */
  at: [x: number, y: number, line: number][];
  /** Faint: the round before. */
  before?: [x: number, y: number][];
  pivot: number;
  tap: number;
  move: number | undefined;
  /** How much is good enough. */
  allow: number;
  /** Where the indicator stands: before the face, behind it, above it. */
  side: string;
  first: number;
  last: number;
  /** No distances: the enlargement is not known. */
  counted: boolean;
  /** A place that does not repeat: where, from and to. */
  bad?: [x: number, low: number, high: number] | undefined;
  /** Which way + goes, for the needle. */
  way: number;
  aim: string;
  says: string;
}

/** The high edge of the plate, its face, and the middle of the dial, of a face that looks at you. */
const BACK = 46;
const LEVEL = 108;
const DIAL = 162;
/** Turned over for a face that looks away or up. */
const OVER = 204;

/**
 * A face from above: the plate, the line read on it much enlarged, the indicator before it, what
 * stays and what moves. Towards the indicator is down where it stands before the face.
 */
function face(p: Pad, f: Face): void {
  const over = f.side === "column" || f.side === "above";
  const V = (y: number): number => (over ? OVER - y : y);
  const [x0, x1] = span([...f.at.map((q) => q[0]), f.pivot, f.tap]);
  const s = (f.last - f.first) / (x1 - x0 || 1);
  const X = (x: number): number => f.first + (x - x0) * s;
  const on = (x: number): number => {
    const [a, b] = [f.at[0]!, f.at.at(-1)!];
    return a[2] + ((b[2] - a[2]) * (x - a[0])) / (b[0] - a[0] || 1);
  };
  const level = on(f.pivot);
  const ys = [...f.at.flatMap((q) => [q[1], q[2]]), ...(f.before ?? []).map((q) => q[1]), on(f.tap)];
  if (f.bad) ys.push(f.bad[1], f.bad[2]);
  const most = Math.max(...ys.map((y) => Math.abs(y - level)), f.allow);
  const by = f.counted ? 1 : times(32 / (most * s));
  const k = f.counted ? 32 / most : by * s;
  const Y = (y: number): number => V(LEVEL + (y - level) * k);
  const from = `from ${f.side === "above" ? "the front" : "above"}`;
  p.put(8, 14, !p.faint && !f.counted && by > 1 ? `${from} · error ${by} times` : from);
  const points = f.at.map((q): Point => [X(q[0]), Y(q[1])]);
  const [left, right] = [f.first - 26, Math.min(WIDTH - 6, f.last + 26)];
  const ends: Point[] = [[left, Y(on(x0 - 26 / s))], ...points, [right, Y(on(x0 + (right - f.first) / s))]];
  p.face("d-metal", [...ends, [right, V(BACK)], [left, V(BACK)]]);
  p.line("d-line", ends[0]!, [left, V(BACK)], [right, V(BACK)], ends.at(-1)!);
  p.line("d-line", ...ends);
  p.line("d-axis", [4, Y(level)], [WIDTH - 4, Y(level)]);
  if (f.before) p.line("d-ghost", ...f.before.map((q): Point => [X(q[0]), Y(q[1])]));
  const moves = f.move !== undefined && !p.faint;
  if (moves) p.line("d-mark", [X(x0), Y(on(x0))], [X(x1), Y(on(x1))]);
  for (const q of points) p.spot("d-dot", q[0], q[1], 4);
  if (f.bad) {
    const [x, lo, hi] = [X(f.bad[0]), Y(f.bad[1]), Y(f.bad[2])];
    p.box("d-badline", x - 9, Math.min(lo, hi), x + 9, Math.max(lo, hi), "bad");
  }
  for (const end of [x0, x1]) lock(p, X(end), V(BACK + 15), Math.abs(end - f.pivot) < 1e-9);
  // The needle is read at the place that is tapped, else at the last one: its tip is there, and
  // where the arrow comes from its side it stands beside that.
  const tx = X(f.tap);
  const inward = f.tap >= f.pivot ? -1 : 1;
  const where = f.at.reduce((a, q) => (Math.abs(X(q[0]) - tx) < Math.abs(X(a[0]) - tx) ? q : a));
  const beyond = moves && f.move! < 0;
  const ix = moves ? tx + (beyond ? inward * 46 : 0) : X(where[0]);
  const surface: Point = moves ? [tx, Y(on(f.tap))] : [X(where[0]), Y(where[1])];
  const grads = ((where[1] - level) / (f.allow || most)) * 30 * f.way;
  indicator(p, ix, V(DIAL), surface, grads);
  if (moves && f.move !== undefined) {
    const towards = f.move > 0;
    const hit = towards ? V(BACK) : Y(on(f.tap));
    const from = towards ? V(12) : V(DIAL + 12);
    const px = towards ? tx : tx - inward * 12;
    p.push(px, from, px, hit + Math.sign(from - hit) * 5);
    const half = wide(said(f.says), "d-size") / 2 + 2;
    const away = tx - inward * (14 + half);
    const free = away - half >= 2 && away + half <= WIDTH - 2;
    const beside = free ? away : towards ? tx + inward * (14 + half) : ix + inward * (24 + half);
    const aside = V(DIAL) + 6;
    figure(p, f.says, beside, towards ? V(34) + (over ? 10 : 0) : free ? aside : aside - (over ? -20 : 18));
    if (f.aim && !p.faint) {
      const to = `until ${f.aim[0] === "-" ? "-" : ""}${said(f.aim).replace(/ (thou|mm)$/, "")}`;
      p.tell(`${to} on the needle`);
      p.near(ix + inward * (26 + wide(to, "d-size") / 2), aside, to, "d-size", 60);
    }
  }
}

/** The place that does not repeat, of readings as typed. */
function unsteady(reads: [number, number][]): [number, number, number] | undefined {
  let worst: [number, number, number] | undefined;
  for (const [x] of reads) {
    const [lo, hi] = span(reads.filter((q) => Math.abs(q[0] - x) < 1e-6).map((q) => q[1]));
    if (!worst || hi - lo > worst[2] - worst[1]) worst = [x, lo, hi];
  }
  return worst && worst[2] > worst[1] ? worst : undefined;
}

/** Which station each reading belongs to, row by row as they were typed: the stations are in order. */
function stationOf(r: Reader): number[] {
  const typed = r.rows("readings").map(([at], i) => (typeof at === "number" ? at : i));
  const order = [...new Set(typed)].sort((a, b) => a - b);
  return typed.map((at) => order.indexOf(at));
}

/** Stations, the line through them, and which end goes which way. */
function tram(p: Pad, r: Reader) {
  const rows = r.rows("stations");
  const counted = rows.some((q) => typeof q[0] === "string");
  const at = rows.map((q, i): [number, number, number] => [
    counted ? i : Number(q[0]),
    Number(q[1]),
    Number(q[2]),
  ]);
  if (at.length < 2) return false;
  const [x0, x1] = [at[0]![0], at.at(-1)![0]];
  const end = (key: string, usual: number): number => {
    const word = r.word(key);
    const n = r.n(`${key}x`);
    if (n !== undefined && !counted) return n;
    return word === "first" ? x0 : word === "middle" ? (x0 + x1) / 2 : word === "last" ? x1 : usual;
  };
  const pivot = end("pivot", x0);
  let tap = end("tap", x1);
  if (Math.abs(tap - pivot) < 1e-9) tap = pivot === x1 ? x0 : x1;
  const way = r.word("sense") === "far" ? -1 : 1;
  const reads = r
    .rows("readings")
    .flatMap((q): [number, number][] =>
      typeof q[0] === "number" && typeof q[1] === "number" ? [[q[0], way * q[1]]] : [],
    );
  const [first, last] = at.length > 2 ? strip(at.length, !p.faint) : [66, WIDTH - 66];
  long(p, r, "length", first, last);
  face(p, {
    at,
    pivot,
    tap,
    move: r.n("move"),
    allow: r.n("allow") ?? 0.0005,
    side: r.word("side"),
    first,
    last,
    counted,
    bad: r.answer.mark === "stop" ? unsteady(reads) : undefined,
    way,
    aim: r.t("aim"),
    says: r.t("move"),
  });
  if (r.word("bowed") === "true") {
    const y = r.word("side") === "front" ? 82 : 132;
    figure(p, r.t("straight"), (first + last) / 2, y, r.word("shape").replace(/^one.*/, "off"));
  }
  const over = r.word("side") === "column" || r.word("side") === "above";
  const lockY = over ? OVER - BACK - 15 : BACK + 15;
  p.pick("pivot", "first", first - 24, lockY - 24, first + 24, lockY + 20);
  p.pick("pivot", "last", last - 24, lockY - 24, last + 24, lockY + 20);
  if (!counted)
    stationOf(r).forEach((k, i) => {
      const q = at[k];
      if (q) p.place("readings", i, first + ((q[0] - x0) * (last - first)) / (x1 - x0), LEVEL);
    });
  p.tell(`The face seen with its indicator, read at ${at.length} places`);
}

/** The dimension along a face: its length is typed, or worked out of the places. */
function long(p: Pad, r: Reader, key: string, first: number, last: number): void {
  const y = 214;
  p.of(key, () => p.level(first, last, y));
  for (const x of [first, last]) p.line("d-ext", [x, y - 12], [x, y + 6]);
  p.ask(key, (first + last) / 2, y, { w: 84, ...(r.n(key) !== undefined && { worked: key }) });
}

/** The rounds so far: the last as a face, the one before faint, each lean against what is wanted. */
function tapin(p: Pad, r: Reader) {
  if (r.word("mode") === "head") return turnedIn(p, r);
  const pairs = r
    .rows("pairs")
    .map((q): [number, number] => [Number(q[0] ?? NaN), Number(q[1] ?? NaN)])
    .filter((q) => q.every(Number.isFinite));
  const now = pairs.at(-1);
  if (!now) return false;
  const way = r.word("sense") === "far" ? -1 : 1;
  const [a, b] = [way * now[0], way * now[1]];
  const last = pairs.at(-2);
  const at = r.word("end").toLowerCase();
  const move = r.n("move");
  const moved = at === "a" ? 0 : 1;
  face(p, {
    at: [
      [0, a, a],
      [1, b, b],
    ],
    ...(last && { before: [[0, way * last[0]] as [number, number], [1, way * last[1]] as [number, number]] }),
    pivot: 1 - moved,
    tap: moved,
    move: r.word("mode") === "tap" ? move : undefined,
    allow: r.need("allow"),
    side: r.word("side"),
    first: 66,
    last: WIDTH - 92,
    counted: true,
    bad: r.answer.mark === "stop" && r.word("pivot") ? unsteadyEnd(pairs, way) : undefined,
    way,
    aim: r.t("aim"),
    says: r.t("move"),
  });
  if (r.word("mode") === "shim" && move !== undefined && !p.faint) {
    const x = moved ? WIDTH - 92 : 66;
    p.box("d-fill", x - 9, BACK - 8, x + 9, BACK);
    figure(p, r.t("move"), x, BACK - 16, move < 0 ? "out" : "in");
  }
  p.pick("pivot", "a", 42, BACK - 6, 90, BACK + 38);
  p.pick("pivot", "b", WIDTH - 116, BACK - 6, WIDTH - 68, BACK + 38);
  rounds(p, r, [112, 16, moved && move !== undefined && move > 0 ? 220 : WIDTH - 12, 40]);
  p.tell(`The two ends after round ${pairs.length}, and the leans so far`);
}

/** The end that reads two things though nothing was moved. */
function unsteadyEnd(pairs: [number, number][], way: number): [number, number, number] | undefined {
  const two = pairs.slice(-2).map((q) => [way * q[0], way * q[1]]);
  if (two.length < 2) return undefined;
  const end = Math.abs(two[1]![1]! - two[0]![1]!) >= Math.abs(two[1]![0]! - two[0]![0]!) ? 1 : 0;
  const [lo, hi] = span(two.map((q) => q[end]!));
  return hi > lo ? [end, lo, hi] : undefined;
}

/** Each lean so far against the band that is wanted, the next landing hollow. */
function rounds(p: Pad, r: Reader, [left, top, right, low]: Box): void {
  const rows = r.rows("history");
  const n = r.filled("history");
  const allow = r.need("allow");
  const axes = [...new Set(rows.map((q) => String(q[1] ?? "")))];
  const [lo, hi] = span([...n.flatMap((q) => [q[5]!, q[6]!]), allow, -allow]);
  const high = low - top;
  const Y = (d: number): number => top + ((hi - d) / (hi - lo)) * high;
  const last = Math.max(...n.map((q) => q[0]!));
  const X = (row: number): number => left + 12 + ((right - left - 24) * (row - 1)) / Math.max(last, 3);
  p.box("d-metal", left, Y(allow), right, Y(-allow));
  p.line("d-axis", [left, Y(0)], [right, Y(0)]);
  axes.forEach((axis, k) => {
    const mine = n.filter((_, i) => String(rows[i]![1] ?? "") === axis);
    p.line(k ? "d-ghost" : "d-line", ...mine.map((q): Point => [X(q[0]!), Y(q[5]!)]));
    for (const q of mine) p.spot(k ? "d-void d-line" : "d-dot", X(q[0]!), Y(q[5]!), 3.4);
    const end = mine.at(-1)!;
    if (r.n("move") !== undefined || r.n("turnx") !== undefined) {
      p.line("d-ghost", [X(end[0]!), Y(end[5]!)], [X(last + 1), Y(0)]);
      p.round("d-void d-thin", X(last + 1), Y(0), 3.4);
    }
  });
  p.block([left, top - 6, right, top + high + 6]);
}

/** A head that is turned in: the four sides of the last sweep, the one before faint. */
function turnedIn(p: Pad, r: Reader) {
  const sweeps = r
    .rows("sweeps")
    .map((q) => q.slice(0, 4).map((c) => (typeof c === "number" ? c : NaN)))
    .filter((q) => q.every(Number.isFinite));
  const now = sweeps.at(-1);
  if (!now) return false;
  const before = sweeps.at(-2);
  const [cx, cy, R] = [104, 100, 74];
  const mean = now.reduce((x, y) => x + y, 0) / 4;
  const most = Math.max(...[...now, ...(before ?? [])].map((y) => Math.abs(y - mean)), 1e-9);
  const ring = (k: string, list: number[]) =>
    p.face(
      k,
      list.map((y, i) => polar(cx, cy, R + ((y - mean) / most) * 22, i * 90)),
    );
  p.put(8, 14, "from above");
  p.round("d-axis", cx, cy, R);
  if (before) ring("d-ghost", before);
  ring("d-flank", now);
  ["right", "back", "left", "front"].forEach((side, i) => {
    const [x, y] = polar(cx, cy, R + ((now[i]! - mean) / most) * 22, i * 90);
    p.spot("d-dot", x, y, 4);
    p.near(...polar(cx, cy, R - 26, i * 90), side);
  });
  figure(p, r.t("turnx"), 290, 60, "right-left");
  figure(p, r.t("turny"), 290, 100, "nod");
  rounds(p, r, [212, 132, WIDTH - 10, 190]);
  p.tell(`The four sides after sweep ${sweeps.length}, and the leans so far`);
}

/** Which shim goes under which support. */
function shim(p: Pad, r: Reader) {
  const places = r.rows("places").map((q, i) => ({
    x: r.size(q[0]),
    y: r.size(q[1]),
    name: String(q[0] ?? ""),
    lift: typeof q[2] === "number" ? q[2] : 0,
    pack: String(q[3] ?? "").replace(/ (in|mm)$/, ""),
    row: i,
  }));
  if (places.length === 0) return r.word("by") === "edge" ? edge(p, r, undefined) : false;
  if (places.some((q) => q.y !== undefined)) {
    const [xs, ys] = [places.map((q) => q.x ?? 0), places.map((q) => q.y ?? 0)];
    const [x0, x1] = span(xs);
    const [y0, y1] = span(ys);
    const v = p.view([x0, y0, x1, y1], [56, 44, WIDTH - 56, 176]);
    p.put(8, 14, "from above");
    p.box("d-metal", v.left - 26, v.top - 16, v.right + 26, v.bottom + 16);
    p.box("d-line", v.left - 26, v.top - 16, v.right + 26, v.bottom + 16);
    for (const q of places) {
      const [x, y] = [v.x(q.x ?? 0), v.y(q.y ?? 0)];
      p.box(q.lift > 0 ? "d-fill" : "d-tool", x - 9, y - 9, x + 9, y + 9);
      p.block([x - 10, y - 10, x + 10, y + 10]);
      if (r.rows("feet").length === 0) p.place("readings", q.row, x, y);
    }
    for (const q of places) {
      const text = q.pack && q.pack !== "none" ? q.pack : "stays";
      const y = v.y(q.y ?? 0);
      p.near(v.x(q.x ?? 0), y + (y > 110 ? -16 : 28), p.faint ? "" : text, "d-small", 40);
      p.tell(`${q.row + 1} ${text}`);
    }
    return;
  }
  if (r.word("by") === "edge") return edge(p, r, places[0]);
  // Gaps by themselves: a bar each, as high as its lift.
  const most = Math.max(...places.map((q) => q.lift), 1e-9);
  const wide = (WIDTH - 24) / places.length;
  places.forEach((q, i) => {
    const x = 12 + wide * (i + 0.5);
    p.box("d-fill", x - 12, 170 - (q.lift / most) * 110, x + 12, 170);
    p.near(x, 188, q.pack === "none" ? "–" : q.pack, "d-small", 30);
    p.tell(`${i + 1} ${q.pack}`);
  });
  p.line("d-line", [8, 170], [WIDTH - 8, 170]);
  p.tell(`${places.length} gaps, each as high as its lift`);
}

/** The wedge under an edge with its pack, the plate as it stood faint. */
function edge(
  p: Pad,
  r: Reader,
  q: { x: number | undefined; name: string; lift: number; pack: string } | undefined,
) {
  const reads = r
    .rows("readings")
    .map((c, i) => ({
      row: i,
      x: typeof c[0] === "number" ? c[0] : i,
      y: typeof c[2] === "number" ? c[2] : 0,
    }))
    .sort((a, b) => a.x - b.x);
  const [lo, hi] = [reads[0], reads.at(-1)];
  if (!lo || !hi) return false;
  const way = r.word("sense") === "far" ? -1 : 1;
  const right = q
    ? q.name.includes("right") || (q.x !== undefined && q.x > (lo.x + hi.x) / 2)
    : way * (hi.y - lo.y) < 0;
  const [first, last] = reads.length > 2 ? strip(reads.length, !p.faint) : [66, WIDTH - 66];
  const lift = q && q.lift > 0 ? 24 : 0;
  const [base, high] = [152, 76];
  const [left, end] = [Math.max(4, first - 40), Math.min(WIDTH - 4, last + 40)];
  // How far a place is lifted, from the pivot's end to the pack's.
  const up = (x: number): number => (lift * (right ? x - left : end - x)) / (end - left);
  p.put(8, 14, "from the front");
  const body: Point[] = [
    [left, base - up(left)],
    [end, base - up(end)],
    [end, base - high],
    [left, base - high],
  ];
  p.face("d-metal", body);
  p.line("d-line", ...body, body[0]!);
  p.line("d-line", [4, base], [WIDTH - 4, base]);
  if (lift > 0) p.line("d-ghost", [left, base - high + up(left)], [end, base - high + up(end)]);
  for (const c of reads) {
    const x = first + ((last - first) * (c.x - lo.x)) / (hi.x - lo.x || 1);
    p.spot("d-dot", x, base - high + up(x), 4);
    p.place("readings", c.row, x, base - high);
  }
  const px = right ? last : first;
  if (lift > 0) {
    p.box("d-fill", px - 16, base - up(px), px + 16, base);
    p.block([px - 18, base - up(px), px + 18, base + 2]);
    if (!p.faint && q) {
      p.near(px, base + 22, q.pack, "d-size", 60);
      p.tell(`${q.pack} under the ${right ? "right" : "left"}`);
    }
    figure(p, r.t("need"), (first + last) / 2, base - 34, "lift");
  } else if (r.answer.mark === "stop") {
    p.box("d-badline", px - 16, base - 8, px + 16, base, "bad");
  }
  p.pivot(right ? first : last, base);
  for (const [key, x] of [
    [right ? "pivot" : "under", first],
    [right ? "under" : "pivot", last],
  ] as const)
    p.ask(key, x, 224, { w: 92 });
  p.tell(`The edge from the front, read at ${reads.length} places`);
}

/** Leaves that fill a gap. */
function shims(p: Pad, r: Reader) {
  const leaves = r.numbers("leaves", 1).map((l) => l[0]!);
  const total = leaves.reduce((a, b) => a + b, 0);
  const want = r.n("want") ?? total;
  const most = Math.max(total, want);
  if (!(most > 0)) return false;
  const [top, high] = [66, 128];
  const s = high / most;
  const base = top + high;
  const goal = base - want * s;
  const by = times(s / 96);
  if (!p.faint && by > 1) p.put(WIDTH - 8, 14, `gap ${by} times`, "d-name", "end");
  p.iron(12, goal - 42, 240, goal);
  p.iron(12, base, 240, base + 42);
  let y = base;
  for (const [i, leaf] of leaves.entries()) {
    const h = leaf * s;
    p.box("d-fill", 104, y - h, 208, y);
    p.box("d-line", 104, y - h, 208, y);
    if (!p.faint) p.near(296, y - h / 2 + 5, leafMark(r.cells("leaves", i, 0)), "d-small", 90);
    y -= h;
  }
  if (leaves.length === 0 && r.answer.mark === "stop") p.box("d-badline", 104, goal, 208, base, "bad");
  p.line("d-ext", [26, goal], [100, goal]);
  p.upright(40, base, goal);
  p.ask("want", 62, (goal + base) / 2 + 7, { w: 88 });
  if (leaves.length > 0) figure(p, r.t("total"), 156, base + 70, "pack");
  if (r.n("off")) figure(p, r.t("off"), 280, base + 70, (r.n("off") ?? 0) > 0 ? "over" : "short");
  p.tell(`The gap between two faces, filled with ${leaves.length} leaves`);
}

/** A leaf as it is marked: .0250 in is .025. */
const leafMark = (text: string): string =>
  text
    .replace(/ (in|mm)$/, "")
    .replace(/^0\./, ".")
    .replace(/^(\.\d{3})0$/, "$1");

/**
 * A lever indicator's stylus against the surface: what the needle shows and what the surface moved.
 */
function lever(p: Pad, r: Reader) {
  const a = r.need("angle");
  const [tx, ty, length] = [196, 206, 118];
  p.iron(12, ty + 6, WIDTH - 12, ty + 44);
  const pivot = polar(tx, ty, length, 180 - a);
  p.line("d-axis", [tx - length - 10, ty], [tx + 70, ty]);
  p.of("angle", () => p.curve("d-dim", arc(tx, ty, 62, 180, 180 - a)));
  p.line("d-line", pivot, [tx, ty]);
  p.round("d-dot", tx, ty, 6);
  p.round("d-tool", pivot[0], pivot[1], 12);
  p.block([tx - 8, ty - 8, tx + 8, ty + 8]);
  // The tip swings square to the stylus; the surface moves straight up.
  const [sx, sy] = polar(tx, ty, 64, 90 - a);
  p.push(tx, ty, sx, sy);
  p.line("d-ghost", [sx, sy], [tx + 84, sy]);
  p.upright(tx + 76, ty, sy);
  figure(p, r.t("true"), tx + 120, (ty + sy) / 2, "");
  const dial: Point = [
    Math.max(40, Math.min(300, pivot[0])),
    Math.max(ASK_HIGH / 2 + ASK_NAME + 4, pivot[1] - 56),
  ];
  p.ask("reading", dial[0] + 70, dial[1], { w: 84, from: pivot });
  p.ask("angle", 56, 40, { w: 84, from: polar(tx, ty, 62, 180 - a / 2) });
}

export const line = { tram, shim, shims, lever, tapin };
