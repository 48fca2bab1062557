// What an indicator's box makes of what is typed, and how a kept text stands in it.
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Field } from "../src/engine/contract.gen";
import { inOwn, needleShown, needleText, needleUsual, shifted } from "../src/form/needle";

test("a bare number is thou, or hundredths of a millimetre; what says its unit stays", () => {
  const typed: [string, string, string][] = [
    ["2", "2 thou", "0.02 mm"],
    ["-1.5", "-1.5 thou", "-0.015 mm"],
    ["+2", "+2 thou", "+0.02 mm"],
    [".5", ".5 thou", "0.005 mm"],
    ["2.", "2. thou", "0.02 mm"],
    ["0", "0 thou", "0 mm"],
    ["250", "250 thou", "2.5 mm"],
    ["1/2", "1/2 thou", "1/2"],
    ["-1-1/2", "-1-1/2 thou", "-1-1/2"],
    // Not whole yet, or with a unit.
    ["", "", ""],
    ["-", "-", "-"],
    ["1/", "1/", "1/"],
    [".002 in", ".002 in", ".002 in"],
    ["0.05 mm", "0.05 mm", "0.05 mm"],
  ];
  for (const [as, inch, metric] of typed) {
    assert.equal(needleText(as, "in"), inch, as);
    assert.equal(needleText(as, "mm"), metric, as);
  }
});

test("a kept text stands there in thou or hundredths, and means what it meant", () => {
  const kept: [string, string, string][] = [
    ["2 thou", "2", "2 thou"],
    ["+1.5 thou", "+1.5", "+1.5 thou"],
    [".002 in", "2", ".002 in"],
    ["0.0005 in", ".5", "0.0005 in"],
    ["1/2 thou", "1/2", "1/2 thou"],
    ["1/64 in", "1/64 in", "1/64 in"],
    ["0.05 mm", "0.05 mm", "5"],
    ["12 um", "12 um", "1.2"],
    // Bare: inches or millimetres, as before there were such boxes.
    [".004", "4", "0.4"],
    ["-.004", "-4", "-0.4"],
    ["0", "0", "0"],
    ["1/2", "1/2 in", "1/2 mm"],
    ["", "", ""],
    ["through", "through", "through"],
  ];
  for (const [text, inch, metric] of kept) {
    assert.equal(needleShown(text, "in"), inch, text);
    assert.equal(needleShown(text, "mm"), metric, text);
  }
  assert.equal(needleUsual("0.0005 in", "in"), ".5");
  assert.equal(needleUsual("0.0005 in", "mm"), "1.27");
  assert.equal(needleUsual("first", "in"), "first");
});

test("typed and shown are each other's way back", () => {
  for (const number of ["0", "1", "-1", "2.5", "-0.5", "10", "100", "12.25", "0.02", "1000"]) {
    for (const unit of ["in", "mm"] as const) {
      const again = needleShown(needleText(number, unit), unit);
      assert.equal(Number(again), Number(number), `${number} ${unit}`);
    }
    assert.equal(Number(shifted(number, 3)), Number(number) * 1000);
    assert.ok(Math.abs(Number(shifted(number, -2)) - Number(number) / 100) < 1e-12);
  }
  assert.equal(shifted("1/2", 1), undefined);
  assert.equal(shifted("", 1), undefined);
});

test("a usual value and an example are told in the unit of their box, without naming it", () => {
  const field = (more: object) => ({ key: "x", label: "X", kind: "length", ...more }) as Field;
  const length = field({ units: { in: "in", mm: "mm" } });
  const needle = field({ units: { in: "in", mm: "mm" }, needle: true });
  assert.equal(inOwn(length, "1/4 in", "in"), "1/4");
  assert.equal(inOwn(length, "1/4 in", "mm"), "6.35");
  assert.equal(inOwn(length, "0 in", "mm"), "0");
  assert.equal(inOwn(length, "0.0005 in", "mm"), "0.0005 in", "too fine to be told in hundredths");
  assert.equal(inOwn(needle, "0.0001", "in"), ".1");
  assert.equal(inOwn(needle, "0.0005 in", "mm"), "1.27");
  assert.equal(inOwn(field({}), "first", "in"), "first");
});
