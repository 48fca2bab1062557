/**
 * Uncertainty: a reading's spread against the limits, repeats about their mean, the uncertainty
 * budget.
 */
import { bareOf, type Pad, short, span, WIDTH, wide, type Point } from "./pad";
import type { Reader } from "./read";

interface Band {
  low: number | undefined;
  high: number | undefined;
  /** The limits moved in by the guard band. */
  from: number | undefined;
  to: number | undefined;
  mean: number;
  doubt: number;
  readings: number[];
}

/**
 * The tolerance as a band between its limits, each reading a short stroke in the order they were
 * taken, and the doubt as a bar about their mean; what of it lies past a limit is what is wrong.
 */
function band(p: Pad, b: Band): (n: number) => number {
  const known = [b.low, b.high].filter((n) => n !== undefined);
  const ends = [b.from, b.to].filter((n) => n !== undefined);
  const [lo, hi] = span([...known, ...ends, ...b.readings, b.mean - 1.3 * b.doubt, b.mean + 1.3 * b.doubt]);
  const room = (hi - lo) * 0.12 || 1;
  const s = (WIDTH - 24) / (hi - lo + 2 * room);
  const X = (n: number): number => 12 + (n - lo + room) * s;
  const [left, right] = [X(b.low ?? lo - room), X(b.high ?? hi + room)];
  const [top, base, bar] = [80, 180, 162];
  if (known.length > 0) p.box("d-fine", left, top, right, base);
  const guard = (limit: number | undefined, inner: number | undefined): void => {
    if (limit !== undefined && inner !== undefined && inner !== limit)
      p.box("d-guard", X(limit), base - 8, X(inner), base);
  };
  guard(b.low, b.from);
  guard(b.high, b.to);
  const one = (bar - 22 - top) / Math.max(1, b.readings.length);
  b.readings.forEach((n, i) => {
    const y = top + 8 + i * one;
    p.line("d-line", [X(n), y], [X(n), y + Math.min(14, Math.max(3, one - 2))]);
  });
  for (const [n, key] of [
    [b.low, "low"],
    [b.high, "high"],
  ] as const)
    if (n !== undefined) p.of(key, () => p.line("d-line", [X(n), top - 6], [X(n), base + 20]));
  if (b.doubt > 0) {
    p.of("unsure", () => p.range([X(b.mean - b.doubt), bar], [X(b.mean + b.doubt), bar]));
    const past = (from: number, to: number): void => {
      if (to > from) p.line("d-badline", [X(from), bar], [X(to), bar]);
    };
    if (b.low !== undefined) past(b.mean - b.doubt, Math.min(b.low, b.mean + b.doubt));
    if (b.high !== undefined) past(Math.max(b.high, b.mean - b.doubt), b.mean + b.doubt);
  }
  p.spot("d-dot", X(b.mean), bar, 4.5);
  p.line("d-line", [12, base], [WIDTH - 12, base]);
  return X;
}

const within = (x: number, w = 92): number => Math.max(w / 2 + 4, Math.min(WIDTH - w / 2 - 4, x));

/** The boxes of the limits, at the band's ends, or where its ends would be. */
function limits(p: Pad, X: (n: number) => number, low: number | undefined, high: number | undefined): void {
  const far = (a: number, b: number): boolean => b - a >= 96;
  let [l, h] = [within(low === undefined ? 0 : X(low)), within(high === undefined ? WIDTH : X(high))];
  if (!far(l, h)) [l, h] = [Math.min(l, 168), Math.max(h, Math.min(l, 168) + 100)];
  p.ask("low", l, 236, { ...(low !== undefined && { from: [X(low), 200] as Point }) });
  p.ask("high", h, 236, { ...(high !== undefined && { from: [X(high), 200] as Point }) });
}

function accept(p: Pad, r: Reader) {
  const [mean, std] = [r.need("size"), r.need("std")];
  const [low, high] = [r.n("low"), r.n("high")];
  const X = band(p, {
    ...{ low, high, from: r.n("zonelow"), to: r.n("zonehigh"), mean, doubt: 2 * std },
    readings: [],
  });
  limits(p, X, low, high);
  p.ask("size", 68, 40, { w: 120, from: [X(mean), 154] });
  p.ask("unsure", 190, 40, { w: 104, from: [X(mean + 1.4 * std), 156] });
  p.ask("step", 304, 40, { w: 96 });
  if (r.n("zonelow") !== undefined) p.fig("zonelow", X(r.n("zonelow")!), 278, "from", 26);
  if (r.n("zonehigh") !== undefined) p.fig("zonehigh", X(r.n("zonehigh")!), 278, "to", 26);
}

function repeat(p: Pad, r: Reader) {
  const readings = r.some("each", 2).map((q) => q[1]!);
  const mean = r.need("mean");
  const X = band(p, {
    ...{ low: undefined, high: undefined, from: undefined, to: undefined, mean },
    ...{ doubt: r.n("expanded") ?? 0, readings },
  });
  p.tell(`${readings.length} readings, a stroke each, the first on top, and their mean`);
  p.fig("mean", X(mean), 40, "", 30);
  p.fig("expanded", X(mean), 64, "±", 40);
  limits(p, X, undefined, undefined);
  p.ask("step", WIDTH / 2, 236, { w: 84 });
}

/** The most causes that stand on one screen. */
const CAUSES = 9;

/** The causes as bars from the longest, their sum below. */
function sure(p: Pad, r: Reader) {
  const rows = r.rows("budget");
  if (rows.length === 0) return false;
  const share = rows.map((q) => (typeof q[5] === "number" ? Math.max(0, q[5]) : 0));
  const order = rows.map((_, i) => i).sort((a, b) => share[b]! - share[a]! || a - b);
  const shown = order.slice(0, CAUSES);
  const most = Math.sqrt(share[order[0]!]! || 1);
  const gap = Math.min(43, 212 / shown.length);
  shown.forEach((row, i) => {
    const y = 6 + i * gap;
    const q = rows[row]!;
    // As long as what each adds, not its square.
    const long = 4 + (Math.sqrt(share[row]!) / most) * 336;
    p.box("d-fill", 12, y + 17, 12 + long, y + Math.min(30, gap - 2));
    if (!p.faint) {
      const adds = String(q[3] ?? "");
      p.put(12, y + 13, short(String(q[0]), "d-name", 330 - wide(adds, "d-small")));
      p.put(WIDTH - 10, y + 13, bareOf(adds), "d-small", "end");
      p.tell(`${q[0]} ${adds}`);
    }
    p.place("parts", row, 36, y + gap / 2);
  });
  const y = 6 + shown.length * gap + 20;
  p.line("d-line", [12, y - 14], [WIDTH - 12, y - 14]);
  if (order.length > shown.length && !p.faint) p.put(12, y + 6, `${order.length - shown.length} more`);
  p.fig("expanded", 300, y + 6, "±", 20);
  p.fig("better", 180, y + 6, "halved ±", 30);
}

export const doubt = { accept, repeat, sure };
