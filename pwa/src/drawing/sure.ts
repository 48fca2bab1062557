/**
 * Uncertainty: a reading's spread against the limits, repeats about their mean, the uncertainty
 * budget.
 */
import { life, type Pad, short, span, WIDTH, wide, type Point } from "./pad";
import type { Reader } from "./read";

/** Height of a bell curve over its top, z standard deviations off the middle. */
const bell = (z: number): number => Math.exp((-z * z) / 2);

function accept(p: Pad, r: Reader) {
  const [size, std] = [r.need("size"), r.need("std")];
  const [low, high, z0, z1] = [r.n("low"), r.n("high"), r.n("zonelow"), r.n("zonehigh")];
  const known = [low, high, z0, z1].filter((x) => x !== undefined);
  const [a, b] = span([...known, size - 4 * std, size + 4 * std]);
  const pad = (b - a) * 0.08 || 1;
  const s = (WIDTH - 24) / (b - a + 2 * pad);
  const X = (n: number): number => 12 + (n - a + pad) * s;
  const [top, base] = [34, 134];
  const [l, h] = [low ?? a - pad, high ?? b + pad];
  // The acceptance zone is plain, the guard band between it and the limit is hatched.
  p.box("d-tool", X(l), base, X(h), base + 18);
  const [g0, g1] = [z0 ?? l, z1 ?? h];
  if (g1 > g0) p.box("d-fill", X(g0), base + 4, X(g1), base + 14);
  const guard = (m: number, z: number): void => {
    const [from, to] = span([m, z]);
    if (to > from) p.box("d-badline", X(from), base, X(to), base + 18, "bad");
  };
  guard(l, g0);
  guard(h, g1);
  const curve: Point[] = [];
  for (let i = -40; i <= 40; i++) curve.push([X(size + (i / 10) * std), base - (base - top) * bell(i / 10)]);
  p.face("d-metal", curve);
  p.line("d-line", ...curve);
  p.line("d-axis", [X(size), top - 10], [X(size), base + 26]);
  p.letter(X(size), top - 16, "It measures", "=size");
  const limit = (m: number | undefined, name: string, key: string): void => {
    if (m === undefined) return;
    p.line("d-line", [X(m), top], [X(m), base + 26]);
    p.letter(X(m), base + 38, name, key);
  };
  limit(low, "Lower limit", "=low");
  limit(high, "Upper limit", "=high");
  limit(z0, "Accept from", "=zonelow");
  limit(z1, "Accept to", "=zonehigh");
  p.note(`The hill is where the true size may be. Lined: guard band. Sizes ${life(s)}.`);
}

function repeat(p: Pad, r: Reader) {
  const each = r.some("each", 2).map((q) => q[1]!);
  const mean = r.need("mean");
  const exp = r.n("expanded") ?? 0;
  const all = [...each, mean - exp, mean + exp];
  const [lo, hi] = span(all);
  const [top, high] = [24, 150];
  const s = hi > lo ? high / (hi - lo) : 1;
  const Y = (n: number): number => top + (hi - n) * s;
  const X = (i: number): number => 34 + (i * 176) / Math.max(1, each.length - 1);
  p.box("d-metal", 14, Y(mean + exp), 224, Y(mean - exp));
  p.line("d-mark", [14, Y(mean)], [224, Y(mean)]);
  each.forEach((q, i) => {
    p.line("d-thin", [X(i), Y(mean)], [X(i), Y(q)]);
    p.spot("d-dot", X(i), Y(q), each.length > 30 ? 2.5 : 4.5);
  });
  const low = Math.max(Y(lo), top + 40) + 18;
  for (const i of [0, each.length - 1]) p.put(X(i), low, `${i + 1}`, "d-name", "middle");
  p.tag(224, Y(mean + exp), "Plus or minus", "=expanded");
  p.tag(224, Y(mean), "Mean", "=mean");
  p.note(`Readings in their order, ${life(s)}. Grey: the mean, plus or minus.`);
}

function sure(p: Pad, r: Reader) {
  const rows = r.rows("budget");
  if (rows.length === 0) return false;
  const share = rows.map((q) => (typeof q[5] === "number" ? q[5] : 0));
  const most = Math.max(...share.map(Math.abs), 1);
  const both = share.some((x) => x < 0);
  const [zero, long] = both ? [WIDTH / 2, 160] : [12, 262];
  rows.forEach((q, i) => {
    const y = 18 + i * 42;
    const text = `${r.cells("budget", i, 5)}`;
    p.put(12, y, short(String(q[0]), "d-name", 190));
    p.put(WIDTH - 8, y, String(q[3] ?? ""), "d-small", "end");
    const e = zero + (share[i]! / most) * long;
    const [x0, x1] = span([zero, e, zero + 1]);
    if (e < zero) p.box("d-badline", x0, y + 7, x1, y + 21, "bad");
    else p.box("d-fill", x0, y + 7, x1, y + 21);
    const side = e + 8 + wide(text, "d-small") < WIDTH ? e + 8 : e - 8 - wide(text, "d-small");
    p.put(side, y + 19, text, "d-small");
    p.tell(`${q[0]} ${text}`);
  });
  p.note("Bars: share of the sum of squares. At the right: what each adds.");
}

/** Every face's lean: expected value, its uncertainty, the worst case, and what is allowed. */
function chain(p: Pad, r: Reader) {
  const rows = r.rows("errors").slice(0, 20);
  const n = r.filled("errors");
  const limits = rows.map((q) => r.size(q[8]) ?? 0);
  const most = Math.max(...rows.flatMap((_, i) => [Math.abs(n[i]![4]!) + n[i]![5]!, n[i]![6]!, limits[i]!]));
  const s = most > 0 ? 160 / most : 0;
  const X = (d: number): number => WIDTH / 2 + d * s;
  rows.forEach((q, i) => {
    const y = 18 + i * 44;
    const [mid, pm, worst, limit] = [n[i]![4]!, n[i]![5]!, n[i]![6]!, limits[i]!];
    const name = short(`${q[0]} to ${q[1]}, about ${q[2]}`, "d-name", 220);
    const says = short(String(q[9] ?? ""), "d-small", 110);
    p.put(12, y, name);
    p.put(WIDTH - 8, y, says, "d-small", "end");
    p.line("d-thin", [X(-worst), y + 18], [X(worst), y + 18]);
    p.box("d-fill", X(mid - pm), y + 12, X(mid + pm), y + 24);
    p.spot("d-void d-line", X(mid), y + 18, 3);
    if (limit > 0) for (const k of [-limit, limit]) p.line("d-line", [X(k), y + 8], [X(k), y + 28]);
    p.tell(`${name} ${r.cells("errors", i, 4)} ${says}`);
  });
  p.line("d-axis", [X(0), 22], [X(0), 4 + rows.length * 44]);
  p.note(
    `Leans ${life(s)}. Ring: expected. Bar: plus or minus. Thin: the very worst. Upright marks: allowed.`,
  );
}

/** The stock on every surface as the part is set best, and as it was laid out. */
function cleanup(p: Pad, r: Reader) {
  const rows = r.filled("surfaces").slice(0, 20);
  const [lo, hi] = span([0, ...rows.flatMap((q) => q.slice(1, 4))]);
  const s = hi > lo ? (WIDTH - 40) / (hi - lo) : 0;
  const X = (d: number): number => 20 + (d - lo) * s;
  rows.forEach(([, laid, least, most], i) => {
    const y = 18 + i * 44;
    const name = short(String(r.rows("surfaces")[i]![0]), "d-name", 180);
    p.put(12, y, name);
    p.put(WIDTH - 8, y, `least ${r.cells("surfaces", i, 2)}`, "d-small", "end");
    p.tell(`${name} least ${r.cells("surfaces", i, 2)}`);
    p.line("d-thin", [X(least!), y + 18], [X(most!), y + 18]);
    const [x0, x1] = [X(Math.min(0, least!)), X(Math.max(0, least!))];
    if (least! < 0) p.box("d-badline", x0, y + 11, x1, y + 25, "bad");
    else p.box("d-fill", x0, y + 11, x1, y + 25);
    p.spot("d-void d-line", X(laid!), y + 18, 3);
  });
  p.line("d-line", [X(0), 26], [X(0), 2 + rows.length * 44]);
  if (r.word("cleans") === "false") p.warn("It does not clean up.");
  p.note(`Stock ${life(s)}. Bar: the least as set best. Thin: up to the most. Ring: the least as laid out.`);
}

export const doubt = { accept, repeat, sure, chain, cleanup };
