// The keypad's editing of text and its keys' places.
import assert from "node:assert/strict";
import { test } from "node:test";
import { lately, used } from "../src/form/habit";
import { gloveKeys, layout, type Form, type Hand, type Offers, type Page } from "../src/form/keypad/layout";
import {
  back,
  clear,
  doubleGuard,
  entry,
  fit,
  half,
  series,
  sign,
  type,
  undo,
  unit,
  units,
  type Entry,
} from "../src/form/keypad/logic";
import { inOther } from "../src/form/keypad/other";

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
    (e) => half(e, false),
    (e) => units(e, ["mm"], ["in", "mm", "thou"]),
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

test("a half is added as a needle shows it, and comes off again", () => {
  const of = (text: string, metric = false) => half(entry(text), metric).text;
  assert.equal(of(""), "1/2");
  assert.equal(of("-"), "-1/2");
  assert.equal(of("2"), "2-1/2");
  assert.equal(of("-2"), "-2-1/2");
  for (const text of ["", "-", "2", "-12", "+3"]) {
    assert.equal(of(of(text)), text, `off again: ${text}`);
    assert.equal(of(of(text, true), true), text, `off again: ${text}`);
  }
  assert.equal(of("2 1/2"), "2");
  assert.equal(of("2", true), "2.5");
  assert.equal(of("2.5"), "2");
  for (const text of ["3/8", "2.25", "2 mm", "1-3/8"]) assert.equal(of(text), text, "no half of that");
  assert.equal(half(entry("7", 0, 1), false).text, "1/2", "what stood there is replaced");
});

test("one key turns through the units, and leaves out the one that is meant without", () => {
  const all = ["in", "mm", "thou"];
  const turn = (text: string, ...names: string[]) => units(entry(text), names, all).text;
  assert.equal(turn("1.25", "mm"), "1.25 mm");
  assert.equal(turn("1.25 mm", "mm"), "1.25");
  assert.equal(turn("1.25 in", "mm"), "1.25 mm");
  assert.equal(turn("2", "mm", "in"), "2 mm");
  assert.equal(turn("2 mm", "mm", "in"), "2 in");
  assert.equal(turn("2 in", "mm", "in"), "2");
});

test("the other system's size is told of plain lengths only", () => {
  assert.equal(inOther("1.25", "in"), "31.75 mm");
  assert.equal(inOther("1-1/4", "in"), "31.75 mm");
  assert.equal(inOther("-1 1/4", "in"), "-31.75 mm");
  assert.equal(inOther("3/4+.015", "in"), "19.43 mm");
  assert.equal(inOther("2 thou", "in"), "0.051 mm");
  assert.equal(inOther("2", "thou"), "0.051 mm");
  assert.equal(inOther("19.05 mm", "in"), ".7500 in");
  assert.equal(inOther("19.05", "mm"), ".7500 in");
  for (const text of ["", "-", "1-", "3/", "#7", "F", "through", "1/0", "1.2.3", "90 lbf", "1/2-13"])
    assert.equal(inOther(text, "in"), "", text);
});

test("sizes lately used come first, and once", () => {
  const kept = new Map<string, string>();
  globalThis.localStorage = {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, text: string) => void kept.set(key, text),
  } as Storage;
  assert.equal(lately("thread", "in")[0], "1/2-13", "a common thread at first");
  used("thread", "in", " 7/16-14 ");
  used("thread", "in", "1/2-13");
  used("thread", "in", "7/16-14");
  assert.deepEqual(lately("thread", "in").slice(0, 3), ["7/16-14", "1/2-13", "3/8-16"]);
  assert.ok(!lately("thread", "in", "7/16-14").includes("7/16-14"), "not what stands there");
  assert.deepEqual(lately("thread", "mm")[0], "M12", "metric habits are apart");
  for (let i = 1; i < 20; i++) used("drill", "in", `#${i}`);
  used("drill", "in", "a text that is longer than any size");
  used("drill", "in", " ");
  assert.deepEqual(lately("drill", "in"), ["#19", "#18", "#17", "#16", "#15", "#14", "#13", "#12"]);
  kept.set("datumbook.habit", "[1]");
  assert.deepEqual(lately("drill", "in"), [], "what cannot be read is no habit");
  assert.deepEqual(lately("", "in"), []);
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
const inch = { in: "in", mm: "mm" };
const FORMS = ["five", "side", "three", "low"] as const;
const HANDS = ["right", "left"] as const;
const OFFERS = {
  none: { words: [], sizes: [] },
  word: { words: [{ key: "through", label: "through" }], sizes: [] },
  sizes: { words: [], sizes: ["1/2-13", "3/8-16", "5/8-11", "M12x1.75", "1/4-20", "#10-24"] },
  both: { words: [{ key: "through", label: "through" }], sizes: ["1-1/4", "3/4"] },
};
const every = (pages: Page[]) => pages.flatMap((p) => [...p.head, ...p.strip, ...p.rows.flat()]);
const ids = (pages: Page[]) => every(pages).map((k) => k.id);

/** Every pad there is. */
function pads(look: (pages: Page[], what: string, form: Form, kind: string, hand: Hand) => void): void {
  for (const kind of KINDS)
    for (const form of FORMS)
      for (const hand of HANDS)
        for (const [name, offers] of Object.entries(OFFERS))
          look(layout(kind, inch, form, hand, offers), `${kind} ${form} ${hand} ${name}`, form, kind, hand);
}

test("every kind has all digits, the marks it is written with, rub out and next, in every form", () => {
  pads((pages, what) => {
    const there = ids(pages);
    for (const id of [..."0123456789", "back", "next"]) assert.ok(there.includes(id), `${what}: ${id}`);
    assert.ok(there.includes("undo"), what);
  });
  const has = (kind: string, names: string) => {
    for (const form of FORMS) {
      const there = ids(layout(kind, inch, form, "right"));
      for (const id of names.split(" ")) assert.ok(there.includes(id), `${kind} ${form} ${id}`);
    }
  };
  has("length", "/ - . + sign # half units clear");
  for (const form of FORMS) assert.ok(ids(layout("length", inch, form, "right")).includes("unit thou"), form);
  has("reading", "sign half same units .");
  has("thread", "/ - . M x #");
  for (const form of FORMS) {
    const there = ids(layout("thread", inch, form, "right"));
    for (const id of ["series UNC", "series UNF", "series UNEF", "fit 2B", "fit 3B", "fit 6H"])
      assert.ok(there.includes(id), `${form} ${id}`);
  }
  has("drill", "/ . # units " + [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"].join(" "));
});

test("every page can be turned to, and back to the first", () => {
  pads((pages, what) => {
    const names = pages.map((p) => p.name);
    assert.equal(new Set(names).size, names.length, `${what}: ${names.join(", ")}`);
    const reached = new Set([names[0]!]);
    for (const name of reached)
      for (const key of every(pages.filter((p) => p.name === name)))
        if (key.act.do === "page") {
          assert.ok(names.includes(key.act.to), `${what}: to ${key.act.to}`);
          reached.add(key.act.to);
        }
    assert.equal(reached.size, names.length, what);
  });
});

test("no key stands twice on a page", () => {
  pads((pages, what) => {
    for (const page of pages) {
      const there = ids([page]);
      assert.equal(new Set(there).size, there.length, `${what} ${page.name}: ${there.join(" ")}`);
    }
  });
});

test("every row fills its page's columns exactly", () => {
  pads((pages, what) => {
    for (const page of pages)
      for (const row of page.rows) {
        const width = row.reduce((n, k) => n + (k.wide ?? 1), 0);
        assert.equal(width, page.columns, `${what} ${page.name}: ${row.map((k) => k.id).join(" ")}`);
      }
  });
});

test("the rows have room: four of five keys under a hand, five of three in gloves, three on a low screen", () => {
  const most = { five: [4, 5], side: [4, 4], three: [5, 3], low: [3, 5] } as const;
  pads((pages, what, form) => {
    for (const page of pages) {
      if (page.name === "A–Z") continue; // 26 letters, six abreast
      const [rows, columns] = most[form];
      assert.equal(page.columns, columns, what);
      assert.ok(page.rows.length <= rows, `${what} ${page.name} has ${page.rows.length} rows`);
      assert.ok(page.strip.length <= 5, `${what} ${page.name}: ${page.strip.length} in the strip`);
      if (form === "three" || form === "low") assert.equal(page.strip.length, 0, what);
    }
  });
});

test("the digits keep their places whatever field and page, under one hand", () => {
  const places = new Map<string, string>();
  pads((pages, what, form, _, hand) => {
    for (const page of pages) {
      page.rows.forEach((row, r) => {
        const from = page.rows.length - r; // the pad stands at the foot
        let column = 0;
        for (const key of row) {
          // The nought has another neighbour where there is no point, and in gloves.
          if (/^[1-9]$/.test(key.id)) {
            const at = `${from} ${column}`;
            const of = `${form} ${hand} ${key.id}`;
            assert.equal(at, places.get(of) ?? at, `${what} ${page.name}: ${key.id}`);
            places.set(of, at);
          }
          column += key.wide ?? 1;
        }
      });
    }
  });
  assert.equal(places.size, FORMS.length * HANDS.length * 9);
});

test("next stands at the thumb's side, on every page", () => {
  pads((pages, what, _, __, hand) => {
    for (const page of pages) {
      const row = page.rows.find((r) => r.some((k) => k.id === "next"))!;
      assert.equal(row, page.rows.at(-1), `${what} ${page.name}`);
      assert.equal((hand === "right" ? row.at(-1) : row[0])!.id, "next", `${what} ${page.name}`);
    }
  });
});

test("words and sizes are offered on the first page, and go on by themselves", () => {
  for (const form of FORMS) {
    const first = (kind: string, offers: Offers) =>
      every(layout(kind, inch, form, "right", offers).slice(0, 1));
    const sizes = first("thread", OFFERS.sizes).filter((k) => k.act.do === "offer");
    assert.ok(sizes.length >= 4, form);
    assert.deepEqual(sizes[0]!.act, { do: "offer", text: "1/2-13" });
    const word = every(layout("length", inch, form, "right", OFFERS.word)).filter(
      (k) => k.id === "word through",
    );
    assert.equal(word.length, 1, form);
  }
  const upright = layout("length", inch, "five", "right", OFFERS.word)[0]!;
  assert.equal(upright.strip.length, 0, "a lone word needs no row of its own");
  assert.ok(ids([upright]).includes("word through"));
});

test("in gloves Settings says what the keypad's keys have where they have no 19 mm", () => {
  const rows: [string, number, number, [number, number]][] = [
    ["360 x 740", 360, 740, [19, 19]],
    ["the same on its side", 740, 360, [19, 19]],
    ["375 x 667", 375, 667, [16, 16]],
    ["320 x 568", 320, 568, [13, 13]],
    ["a tablet", 810, 1080, [19, 19]],
  ];
  for (const [name, w, h, want] of rows) assert.deepEqual(gloveKeys(w, h), want, name);
});
