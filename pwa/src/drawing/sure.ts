/** How sure: the reading's spread against the limits, repeats about their mean, what the doubt is made of. */
import { Pad, short, times, WIDTH, wide, type Point } from "./pad";
import type { Reader } from "./read";

/** Height of a bell curve over its top, z standard deviations off the middle. */
const bell = (z: number): number => Math.exp((-z * z) / 2);

function accept(r: Reader) {
  const p = new Pad();
  const [size, std] = [r.need("size"), r.need("std")];
  const [low, high, z0, z1] = [r.n("low"), r.n("high"), r.n("zonelow"), r.n("zonehigh")];
  const marks = [low, high].filter((x): x is number => x !== undefined);
  const all = [...marks, size - 4 * std, size + 4 * std];
  const [a, b] = [Math.min(...all), Math.max(...all)];
  const pad = (b - a) * 0.08 || 1;
  const s = (WIDTH - 24) / (b - a + 2 * pad);
  const X = (n: number): number => 12 + (n - a + pad) * s;
  const [top, base] = [34, 134];
  const [l, h] = [low ?? a - pad, high ?? b + pad];
  // What may be accepted is plain, what lies between it and the limit is lined.
  p.box("d-tool", X(l), base, X(h), base + 18);
  const [g0, g1] = [z0 ?? l, z1 ?? h];
  if (g1 > g0) p.box("d-fill", X(g0), base + 4, X(g1), base + 14);
  if (z0 !== undefined && z0 > l) p.box("d-badline", X(l), base, X(Math.min(z0, h)), base + 18, "bad");
  if (z1 !== undefined && z1 < h) p.box("d-badline", X(Math.max(z1, l)), base, X(h), base + 18, "bad");
  const curve: Point[] = [];
  for (let i = -40; i <= 40; i++) curve.push([X(size + (i / 10) * std), base - (base - top) * bell(i / 10)]);
  p.face("d-metal", curve);
  p.line("d-line", ...curve);
  p.line("d-axis", [X(size), top - 10], [X(size), base + 26]);
  for (const m of marks) p.line("d-line", [X(m), top], [X(m), base + 26]);
  p.letter(X(size), top - 16, "It measures", r.t("size"));
  if (low !== undefined) p.letter(X(low), base + 38, "Lower limit", r.t("low"));
  if (high !== undefined) p.letter(X(high), base + 38, "Upper limit", r.t("high"));
  if (g1 > g0 && (z0 !== undefined || z1 !== undefined))
    p.letter(
      (X(g0) + X(g1)) / 2,
      base + 34,
      "Accept between",
      [r.t("zonelow"), r.t("zonehigh")].filter(Boolean).join(" and "),
    );
  p.row("It is inside with", r.t("inside"));
  p.row("Guard band", r.t("guard"));
  p.note(
    `The hill is where the true size may be. Lined: guard band. Sizes about ${times(s / 96)} times life.`,
  );
  return p.done();
}

function repeat(r: Reader) {
  const p = new Pad();
  const each = r
    .rows("each")
    .map((q) => (typeof q[1] === "number" ? q[1] : NaN))
    .filter(Number.isFinite);
  const mean = r.need("mean");
  if (each.length === 0) return undefined;
  const exp = r.n("expanded") ?? 0;
  const all = [...each, mean - exp, mean + exp];
  const [lo, hi] = [Math.min(...all), Math.max(...all)];
  const [top, high] = [24, 150];
  const s = hi > lo ? high / (hi - lo) : 1;
  const Y = (n: number): number => top + (hi - n) * s;
  const X = (i: number): number => 34 + (i * 176) / Math.max(1, each.length - 1);
  p.box("d-metal", 14, Y(mean + exp), 224, Y(mean - exp));
  p.line("d-mark", [14, Y(mean)], [224, Y(mean)]);
  each.forEach((q, i) => {
    p.line("d-thin", [X(i), Y(mean)], [X(i), Y(q)]);
    p.round("d-dot", X(i), Y(q), each.length > 30 ? 2.5 : 4.5);
    p.block([X(i) - 5, Y(q) - 5, X(i) + 5, Y(q) + 5]);
  });
  const low = Math.max(Y(lo), top + 40) + 18;
  for (const i of [0, each.length - 1]) p.put(X(i), low, `${i + 1}`, "d-name", "middle");
  p.tag(224, Y(mean + exp), "Plus or minus", r.t("expanded"));
  p.tag(224, Y(mean), "Mean", r.t("mean"));
  p.row("Scatter of one", r.t("sd"));
  p.row("Highest less lowest", r.t("range"));
  p.note(
    `Readings in their order, to one scale, about ${times(s / 96)} times life. Grey: the mean, plus or minus.`,
  );
  return p.done();
}

function sure(r: Reader) {
  const p = new Pad();
  const rows = r.rows("budget");
  if (rows.length === 0) return undefined;
  const share = rows.map((q) => (typeof q[5] === "number" ? q[5] : 0));
  const most = Math.max(...share.map(Math.abs), 1);
  const zero = share.some((x) => x < 0) ? WIDTH / 2 : 12;
  const long = share.some((x) => x < 0) ? 160 : 262;
  rows.forEach((q, i) => {
    const y = 18 + i * 42;
    const text = `${r.cells("budget", i, 5)}`;
    p.put(12, y, short(String(q[0]), "d-name", 190));
    p.put(WIDTH - 8, y, String(q[3] ?? ""), "d-small", "end");
    const e = zero + (share[i]! / most) * long;
    p.box(
      share[i]! < 0 ? "d-badline" : "d-fill",
      Math.min(zero, e),
      y + 7,
      Math.max(zero, e, zero + 1),
      y + 21,
      share[i]! < 0 ? "bad" : undefined,
    );
    const side = e + 8 + wide(text, "d-small") < WIDTH ? e + 8 : e - 8 - wide(text, "d-small");
    p.put(side, y + 19, text, "d-small");
  });
  p.row("All together, one standard", r.t("std"));
  p.row("Plus or minus", r.t("expanded"));
  p.note("Bars: share of the sum of squares. At the right: what each adds.");
  return p.done();
}

export const doubt = { accept, repeat, sure };
