// Geometry of the drawings: the hole's section, scale, labels, broken edges.
import assert from "node:assert/strict";
import { test } from "node:test";
import { holePlan, type HoleSizes } from "../src/drawing/hole-plan";
import { brokenEdge, fitScale, spread } from "../src/drawing/scale";

// 5/8-11, 1.000 of full thread, bottoming tap of 1.5 pitches, one pitch for chips, 17/32 drill at
// 118 degrees.
const ledge: HoleSizes = {
  drill: 0.5313,
  major: 0.625,
  full: 1,
  reach: 1.1364,
  shoulder: 1.2273,
  tip: 1.3869,
  stock: 1.6,
  cskDia: 0.66,
  cskDepth: 0.064,
  pitch: 1 / 11,
};

const near = (a: number, b: number, tol = 1e-9) => assert.ok(Math.abs(a - b) <= tol, `${a} is not ${b}`);

test("the section is to scale: one scale for widths and depths", () => {
  const p = holePlan(ledge)!;
  near(2 * p.halfDrill, ledge.drill * p.scale);
  near(2 * p.halfMajor, ledge.major * p.scale);
  near(p.full - p.surface, ledge.full * p.scale);
  near(p.reach - p.surface, ledge.reach * p.scale);
  near(p.shoulder - p.surface, ledge.shoulder * p.scale);
  near(p.tip - p.surface, ledge.tip * p.scale);
  near(p.back! - p.surface, ledge.stock! * p.scale);
  near(p.csk!.half * 2, ledge.cskDia! * p.scale);
  near(p.floor!.to - p.floor!.from, (ledge.stock! - ledge.tip) * p.scale, 1e-6);
});

test("the drawn point has the drill's angle", () => {
  const p = holePlan(ledge)!;
  const half = (Math.atan2(p.halfDrill, p.tip - p.shoulder) * 180) / Math.PI;
  near(half, 59, 0.05);
});

test("a hole through the back says so, by its point or wholly", () => {
  assert.equal(holePlan(ledge)!.breaks, "no");
  assert.equal(holePlan({ ...ledge, stock: 1.3 })!.breaks, "point");
  assert.equal(holePlan({ ...ledge, stock: 0.95 })!.breaks, "drill");
  assert.equal(holePlan({ ...ledge, stock: 1.3 })!.floor, undefined);
});

test("without a known stock the section ends below the point and claims no back face", () => {
  const p = holePlan({ ...ledge, stock: undefined })!;
  assert.equal(p.back, undefined);
  assert.equal(p.floor, undefined);
  assert.ok(p.bottom > p.tip);
  assert.equal(p.depths.at(-1)!.y, p.bottom, "its box points at the broken edge");
});

test("boxes keep apart, in order, and inside the sheet, whatever the hole", () => {
  let seed = 7;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  for (let i = 0; i < 2000; i++) {
    const drill = 0.05 + 3 * random();
    const full = random() * random() * 8;
    const reach = full + random();
    const shoulder = reach + random() * 0.5;
    const tip = shoulder + drill * 0.3;
    const p = holePlan({
      drill,
      major: drill * (1 + 0.2 * random()),
      full,
      reach,
      shoulder,
      tip,
      stock: random() < 0.2 ? undefined : random() * 2 * tip + 0.01,
      pitch: 0.02 + random() / 8,
    })!;
    const at = p.depths.map((d) => d.label);
    for (let k = 1; k < at.length; k++) assert.ok(at[k]! - at[k - 1]! >= 59.999, `boxes ${at.join(", ")}`);
    assert.ok(at[0]! >= 40 && at.at(-1)! + 22 <= 336, `boxes ${at.join(", ")}`);
    assert.ok(Math.max(p.bottom, p.tip) + 8 <= 326, `${p.bottom}, ${p.tip}`);
    assert.ok(p.halfMajor * 2 <= p.right - p.left, "the hole is inside the stock");
    for (const [x, y] of p.teeth) assert.ok(Number.isFinite(x) && Number.isFinite(y));
  }
});

test("a hole that goes through has its thickness, and what comes out of the back is meant", () => {
  const p = holePlan({ ...ledge, stock: 1, through: true })!;
  assert.equal(p.breaks, "no");
  assert.deepEqual(
    p.depths.map((d) => d.key),
    ["full", "back"],
  );
  near(p.depths[1]!.y, p.back!);
});

test("what is no hole is not drawn", () => {
  assert.equal(holePlan({ ...ledge, drill: 0 }), undefined);
  assert.equal(holePlan({ ...ledge, tip: NaN }), undefined);
  assert.equal(holePlan({ ...ledge, shoulder: 2 }), undefined);
  assert.equal(holePlan({ ...ledge, full: -1 }), undefined);
});

test("teeth reach the major diameter in the full thread and fade out by the tap's end", () => {
  const p = holePlan(ledge)!;
  assert.ok(p.teeth.length > 0);
  const crest = Math.max(...p.teeth.map(([x]) => x));
  near(crest - p.x, p.halfMajor, 1e-6);
  for (const [x, y] of p.teeth) {
    if (y > p.full + ledge.pitch! * p.scale) assert.ok(x < p.x + p.halfMajor - 0.5, `a full tooth at ${y}`);
    assert.ok(y <= p.reach + 1e-6);
  }
  assert.deepEqual(holePlan({ ...ledge, pitch: undefined })!.teeth, []);
});

test("the scale fits the tighter of width and height", () => {
  assert.equal(fitScale({ w: 2, h: 1 }, { w: 100, h: 100 }), 50);
  assert.equal(fitScale({ w: 1, h: 4 }, { w: 100, h: 100 }), 25);
  assert.equal(fitScale({ w: 1, h: 1 }, { w: 100, h: 100 }, 10), 10);
  assert.equal(fitScale({ w: 0, h: 0 }, { w: 100, h: 100 }), 0);
});

test("labels that have room stay where they are; crowded ones part evenly", () => {
  assert.deepEqual(spread([10, 60, 110], 20, 0, 200), [10, 60, 110]);
  assert.deepEqual(spread([50, 50], 20, 0, 200), [40, 60]);
  assert.deepEqual(spread([0, 1, 2], 20, 0, 200), [0, 20, 40]);
  assert.deepEqual(spread([199, 200], 20, 0, 200), [180, 200]);
  assert.deepEqual(spread([60, 10], 20, 0, 200), [60, 10]);
  assert.deepEqual(spread([], 20, 0, 200), []);
});

test("a broken edge starts and ends on its line", () => {
  const d = brokenEdge(34, 56, 300);
  assert.ok(d.startsWith("M34 56Q"));
  assert.ok(d.endsWith(" 34 300"));
});
