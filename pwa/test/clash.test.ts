import assert from "node:assert/strict";
import { test } from "node:test";
import { apartBy, bars, splitHole, type Half } from "../src/drawing/clash";
import { boxOf, WIDTH, type Picture } from "../src/drawing/pad";

const half = (name: string, texts: Record<string, string>, more: Partial<Half> = {}): Half => ({
  name,
  texts,
  sizes: Object.fromEntries(Object.entries(texts).map(([k, v]) => [k, Number(v)])),
  ...more,
});

/** Nothing runs off the sheet, and no word lies over another. */
function readable({ words, w, h }: Picture): void {
  const boxes = words.map((word) => [word.s, boxOf(word)] as const);
  for (const [s, [l, t, r, b]] of boxes) {
    assert.ok(l >= 0 && t >= 0 && r <= w && b <= h, `${s} runs off the sheet`);
    for (const [other, [l2, t2, r2, b2]] of boxes)
      if (s !== other) assert.ok(r <= l2 || r2 <= l || b <= t2 || b2 <= t, `${s} lies over ${other}`);
  }
  assert.equal(w, WIDTH);
  assert.ok(h <= 292, `${h} high`);
}

test("two depths in one plate: what is wrong with one is drawn at that one alone", () => {
  const [a, b] = [half("RB", { depth: "1.03" }), half("KM", { depth: "1.30" })];
  const with1 = (s: Half): Half => ({ ...s, sizes: { ...s.sizes, thread: 0.5, threadpitch: 1 / 13 } });
  const shown = splitHole(with1(a), with1(b), 1.25, false)!;
  assert.deepEqual(shown.wrong, ["", "through by .05"]);
  const bad = shown.picture.marks.filter((m) => m.k === "d-badline");
  assert.equal(bad.length, 1);
  const xs = [...bad[0]!.d.matchAll(/[ML](-?[\d.]+) /g)].map((m) => Number(m[1]));
  assert.ok(Math.min(...xs) >= WIDTH / 2, "right of the centre line");
  readable(shown.picture);
  for (const text of ["1.03", "1.30", "RB", "KM", "through by .05"])
    assert.ok(
      shown.picture.words.some((w) => w.s === text),
      text,
    );
});

test("the point alone comes through; through on purpose is right; a thread past its hole is not", () => {
  const of = (more: Partial<Half>, texts: Record<string, string> = { depth: "1.2" }): string[] =>
    splitHole(half("RB", { depth: "1" }), half("KM", texts, more), 1.25, false)!.wrong;
  // 1.2 and a point of .3 of 1/2 in reach 1.35.
  assert.deepEqual(of({ sizes: { depth: 1.2, dia: 0.5 } }), ["", "point through by .1"]);
  assert.deepEqual(of({ sizes: { depth: 1.2, dia: 0.5 }, through: true }), ["", ""]);
  assert.deepEqual(of({}, { depth: ".80", full: ".95" })[1], "thread .15 past the hole");
  assert.deepEqual(splitHole(half("a", { depth: "1" }), half("b", { depth: "9" }), undefined, false)!.wrong, [
    "",
    "",
  ]);
  assert.equal(splitHole(half("a", {}), half("b", {}), undefined, false), undefined, "nothing to draw");
});

test("any two halves make a drawing that can be read", () => {
  let seed = 7;
  const rnd = (most: number): number => ((seed = (seed * 48271) % 2147483647) / 2147483647) * most;
  for (let n = 0; n < 2000; n++) {
    const one = (name: string): Half => {
      const keys = ["depth", "full", "dia", "thread"].filter(() => rnd(1) < 0.6);
      const texts = Object.fromEntries(keys.map((k) => [k, rnd(k === "depth" ? 4 : 2).toFixed(3)]));
      return half(name, texts, { through: rnd(1) < 0.1 });
    };
    const shown = splitHole(
      one("RB"),
      one("a very long name of a hand"),
      rnd(1) < 0.5 ? rnd(3) : undefined,
      rnd(1) < 0.5,
    );
    if (shown) {
      for (const m of shown.picture.marks) assert.doesNotMatch(m.d, /NaN|Infinity|undefined/);
      assert.ok(shown.picture.h < 400);
    }
  }
});

test("two lengths are bars to one scale from one zero; what is too small to see is drawn larger", () => {
  const long = bars([
    { name: "RB", size: 16, text: "16" },
    { name: "KM", size: 8, text: "8" },
  ])!;
  readable(long.picture);
  const ends = long.picture.marks
    .filter((m) => m.k === "d-metal")
    .map((m) => [...m.d.matchAll(/[ML](-?[\d.]+) /g)].map((x) => Number(x[1])))
    .map((xs) => Math.max(...xs) - Math.min(...xs));
  assert.ok(Math.abs(ends[0]! - 2 * ends[1]!) < 0.5, "half as long");
  const near = bars([
    { name: "RB", size: 16, text: "16" },
    { name: "KM", size: 16.01, text: "16.01" },
  ])!;
  assert.match(near.picture.says, /difference drawn \d+ times larger/);
  readable(near.picture);
  readable(
    bars([
      { name: "RB", size: -2, text: "-2" },
      { name: "KM", size: 3, text: "3" },
    ])!.picture,
  );
  assert.equal(bars([{ name: "RB", size: 0, text: "0" }]), undefined);
});

test("how far two are apart", () => {
  assert.equal(apartBy(1.03, 1.3, false), ".27");
  assert.equal(apartBy(1, 1.0002, false), ".0002");
  assert.equal(apartBy(1, 2, true), "25.4");
});
