// The keypad's editing of text and its keys' places.
import assert from "node:assert/strict";
import { test } from "node:test";
import { layout, type Page } from "../src/form/keypad/layout";
import {
  back,
  clear,
  doubleGuard,
  entry,
  fit,
  series,
  sign,
  type,
  undo,
  unit,
  type Entry,
} from "../src/form/keypad/logic";

const typed = (...keys: string[]): Entry => keys.reduce((e, k) => type(e, k), entry(""));

test("typing puts characters at the caret and in place of a selection", () => {
  assert.equal(typed("1", "-", "3", "/", "8").text, "1-3/8");
  assert.equal(type(entry("13/8", 1), "-").text, "1-3/8");
  const e = type(entry("5/8-11", 4, 6), "18");
  assert.deepEqual([e.text, e.from, e.to], ["5/8-18", 6, 6]);
});

test("rubbing out takes the selection, else one character, else the whole unit", () => {
  assert.equal(back(entry("3/4")).text, "3/");
  assert.equal(back(entry("3/4", 0, 2)).text, "4");
  assert.equal(back(entry("")).text, "");
  assert.equal(back(entry("19.05 mm")).text, "19.05");
  assert.equal(back(entry("15 thou")).text, "15");
  assert.equal(back(entry("3/4", 0)).text, "3/4");
});

test("undo walks back through every change, clearing included", () => {
  let e = clear(typed("3", "/", "4"));
  assert.equal(e.text, "");
  e = undo(e);
  assert.equal(e.text, "3/4");
  e = undo(undo(e));
  assert.equal(e.text, "3");
  assert.equal(undo(undo(undo(e))).text, "");
});

test("undo after any key gives back the text before it", () => {
  const keys: ((e: Entry) => Entry)[] = [
    (e) => type(e, "7"),
    back,
    clear,
    sign,
    (e) => unit(e, "mm", ["in", "mm"]),
    (e) => series(e, "UNC"),
    (e) => fit(e, "2B"),
  ];
  for (const text of ["5/8-11", "M12x1.75", "-1-3/8", "19.05 mm", "15 thou", "#7", "1/4-20 UNC-2B"]) {
    for (const key of keys) {
      const before = entry(text);
      const after = key(before);
      assert.equal(after.text === text ? text : undo(after).text, text);
      assert.ok(after.from >= 0 && after.to <= after.text.length, `caret within ${after.text}`);
    }
  }
});

test("no more than fifty changes are remembered", () => {
  let e = entry("");
  for (let i = 0; i < 200; i++) e = type(e, "1");
  assert.equal(e.past.length, 50);
});

test("the sign governs the whole number and comes off again", () => {
  assert.equal(sign(entry("1-3/8")).text, "-1-3/8");
  assert.equal(sign(sign(entry("1-3/8"))).text, "1-3/8");
  assert.equal(sign(entry("+.015")).text, "-.015");
  assert.equal(sign(entry("")).text, "-");
  assert.equal(sign(entry("12", 1)).from, 2);
});

test("a unit follows the number, replaces another, and comes off when hit again", () => {
  const all = ["in", "mm", "thou"];
  assert.equal(unit(entry("19.05"), "mm", all).text, "19.05 mm");
  assert.equal(unit(entry("19.05 mm"), "in", all).text, "19.05 in");
  assert.equal(unit(entry("19.05mm"), "mm", all).text, "19.05");
  assert.equal(unit(entry("15"), "thou", all).text, "15 thou");
  assert.equal(unit(entry('3/4"'), "mm", all).text, "3/4 mm");
  assert.equal(unit(entry(""), "mm", all).text, "");
  assert.equal(unit(entry("90"), "ft-lb", ["ft-lb", "N m"]).text, "90 ft-lb");
  assert.equal(unit(entry("90 ft-lb"), "N m", ["ft-lb", "N m"]).text, "90 N m");
});

test("a series goes after the size and before the class", () => {
  assert.equal(series(entry("5/8-11"), "UNC").text, "5/8-11 UNC");
  assert.equal(series(entry("5/8-11 UNC"), "UNF").text, "5/8-11 UNF");
  assert.equal(series(entry("5/8-11 UNC-2B"), "UNF").text, "5/8-11 UNF-2B");
  assert.equal(series(entry("5/8-11-3B"), "UNC").text, "5/8-11 UNC-3B");
  assert.equal(series(entry("5/8-11 UNEF"), "UNEF").text, "5/8-11");
  assert.equal(series(entry(""), "UNC").text, "");
});

test("a class of fit goes to the end and replaces the one there", () => {
  assert.equal(fit(entry("5/8-11 UNC"), "2B").text, "5/8-11 UNC-2B");
  assert.equal(fit(entry("5/8-11 UNC-2B"), "3B").text, "5/8-11 UNC-3B");
  assert.equal(fit(entry("5/8-11 UNC-3B"), "3B").text, "5/8-11 UNC");
  assert.equal(fit(entry("M12x1.75"), "6H").text, "M12x1.75-6H");
  assert.equal(fit(entry("M12x1.75-6h"), "6H").text, "M12x1.75");
  assert.equal(fit(entry("5/8-11"), "2B").text, "5/8-11-2B", "eleven threads per inch are not a class");
});

test("a second hit on the same key too soon is a slip; another key is not", () => {
  const guard = doubleGuard();
  assert.ok(guard("1", 0, 120));
  assert.ok(!guard("1", 60, 120));
  assert.ok(guard("1", 130, 120));
  assert.ok(guard("2", 140, 120));
  assert.ok(guard("1", 150, 120));
  const open = doubleGuard();
  assert.ok(open("1", 0, 0) && open("1", 1, 0), "nothing is dropped when the guard is off");
});

const KINDS = [
  "length",
  "angle",
  "count",
  "number",
  "percent",
  "thread",
  "drill",
  "temperature",
  "slope",
  "torque",
  "list",
];
const units = { in: "in", mm: "mm" };
const flat = (pages: Page[]) => pages.flatMap((p) => p.rows.flat());

test("every kind has all digits, the marks it is written with, rub out, undo and next, in either hand and size", () => {
  for (const kind of KINDS) {
    for (const size of ["glove", "bare"] as const) {
      for (const hand of ["left", "right"] as const) {
        const ids = flat(layout(kind, units, size, hand)).map((k) => k.id);
        for (const id of [..."0123456789", "back", "undo", "next"])
          assert.ok(ids.includes(id), `${kind} ${size} ${id}`);
      }
    }
  }
  const has = (kind: string, ids: string[]) => {
    for (const size of ["glove", "bare"] as const) {
      const there = flat(layout(kind, units, size, "right")).map((k) => k.id);
      for (const id of ids) assert.ok(there.includes(id), `${kind} ${size} ${id}`);
    }
  };
  has("length", ["/", "-", ".", "+", "sign", "#", "unit in", "unit mm", "unit thou"]);
  has("thread", [
    "/",
    "-",
    ".",
    "M",
    "x",
    "#",
    "series UNC",
    "series UNF",
    "series UNEF",
    "fit 2B",
    "fit 3B",
    "fit 6H",
  ]);
  has("drill", ["/", ".", "#", ..."ABCDEFGHIJKLMNOPQRSTUVWXYZ", "unit mm"]);
});

test("every row fills its page's columns exactly", () => {
  for (const kind of KINDS) {
    for (const size of ["glove", "bare"] as const) {
      for (const hand of ["left", "right"] as const) {
        for (const page of layout(kind, units, size, hand)) {
          for (const row of page.rows) {
            const width = row.reduce((n, k) => n + (k.wide ?? 1), 0);
            assert.equal(width, page.columns, `${kind} ${size} ${hand}: ${row.map((k) => k.id).join(" ")}`);
          }
        }
      }
    }
  }
});

test("a glove page has at most five rows of three, so that 120 px keys fit a screen of 360 x 740", () => {
  for (const kind of KINDS) {
    for (const page of layout(kind, units, "glove", "right")) {
      assert.equal(page.columns, 3);
      assert.ok(page.rows.length <= 5, `${kind} ${page.name} has ${page.rows.length} rows`);
    }
  }
});

test("next stands at the thumb's side", () => {
  const rowOf = (pages: Page[]) => pages[0]!.rows.find((r) => r.some((k) => k.id === "next"))!;
  for (const size of ["glove", "bare"] as const) {
    assert.equal(rowOf(layout("length", units, size, "right")).at(-1)!.id, "next");
    assert.equal(rowOf(layout("length", units, size, "left"))[0]!.id, "next");
  }
});
