// What a page asks: the way that answers, what is asked of its worksheet, and what stands under More.
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Describe, Field, Page, Sheet } from "../src/engine/contract.gen";
import {
  aside,
  askedFor,
  boxesOf,
  clashesOf,
  inputsOf,
  keyOf,
  onto,
  pairsOf,
  picked,
  restOf,
  takesOf,
  typical,
  wayOf,
} from "../src/page/ways";

const field = (key: string, more: Partial<Field> = {}): Field => ({
  key,
  label: key,
  kind: "length",
  ...more,
});
const sheet = (name: string, keys: string): Sheet =>
  ({
    name,
    inputs: keys.split(" ").map((k) => field(k)),
    sample: [["big", "1"]],
    results: [],
  }) as unknown as Sheet;

const taper = sheet("taper", "from big small pin low overall");
const page: Page = {
  name: "taper",
  title: "Taper",
  stages: ["bench"],
  ways: [
    { sheet: "taper", chip: "Drawn", boxes: "big small?" },
    { sheet: "taper", chip: "Over pins", sets: "from=pins", boxes: "pin low", like: "pin=.25in low=1.2in" },
  ],
};
const [drawn, pins] = page.ways as [Page["ways"][0], Page["ways"][0]];

test("several ways of one worksheet are told apart by the choices they make", () => {
  assert.deepEqual(page.ways.map(keyOf), ["taper", "taper from=pins"]);
  assert.equal(wayOf(page, {}, "", "taper"), drawn);
  assert.equal(wayOf(page, {}, "taper from=pins", "taper"), pins);
  // A kept answer names its worksheet alone, and opens on the way its choices say.
  assert.equal(wayOf(page, { from: "pins", pin: "1" }, "taper", "taper"), pins);
  assert.equal(wayOf(page, { from: "ends" }, "taper", "taper"), drawn);
});

test("a chip brings its choices and takes out those of the others", () => {
  const over = picked(page, pins, { big: "1" });
  assert.deepEqual(over, { big: "1", from: "pins" });
  assert.deepEqual(picked(page, drawn, over), { big: "1" });
  // A hole that was touched is none of another pattern.
  assert.deepEqual(picked(page, drawn, { big: "1", at: "5" }), { big: "1" });
});

test("what stands on another way's drawing is not asked of this one", () => {
  const texts = { big: ".7", pin: ".25", overall: "10" };
  assert.deepEqual(inputsOf(taper, texts, page, drawn), { big: ".7", overall: "10" });
  assert.deepEqual(inputsOf(taper, texts, page, pins), { pin: ".25", overall: "10", from: "pins" });
  assert.deepEqual(
    restOf(taper, page, drawn).map((f) => f.key),
    ["overall"],
  );
});

test("what is asked for and has no place gets a box while it is asked for, or typed", () => {
  const keys = (texts: Record<string, string>, wanted: string, before: string[]): string[] =>
    askedFor(taper, page, drawn, texts, wanted, new Set(before)).map((b) => b.key);
  assert.deepEqual(keys({}, "overall", []), ["overall"]);
  assert.deepEqual(keys({ overall: "1" }, "", ["taper.overall"]), ["overall"]);
  assert.deepEqual(keys({ overall: "1" }, "", []), [], "typed under More it stays there");
  assert.deepEqual(keys({}, "", ["taper.overall"]), []);
  assert.deepEqual(keys({}, "big", []), [], "it has its box");
  assert.deepEqual(keys({}, "pin", []), [], "it is asked on another way");
});

test("inputs of one name that are not alike keep their texts apart", () => {
  const kinds = (name: string, inputs: Field[]): Sheet => ({ ...sheet(name, "x"), inputs });
  const [a, b] = ["a", "b"].map((key) => ({ key, label: key }));
  const tram = kinds("tram", [
    field("pivot"),
    field("allow"),
    field("side", { kind: "choice", options: [a!, b!] }),
  ]);
  const tapin = kinds("tapin", [
    field("pivot", { kind: "choice", options: [a!, b!] }),
    field("allow"),
    field("side", { kind: "choice", options: [b!] }),
  ]);
  const described = { worksheets: [tram, tapin] } as unknown as Describe;
  const both: Page = {
    ...page,
    ways: [
      { sheet: "tram", chip: "First" },
      { sheet: "tapin", chip: "Again" },
    ],
  };
  const clashes = clashesOf(described, both);
  assert.deepEqual(clashes, ["pivot"]);
  const typed = { pivot: "2", allow: "1", side: "b" };
  const gone = onto(aside(typed, clashes, "tram"), clashes, "tapin");
  assert.deepEqual(gone, { "tram.pivot": "2", allow: "1", side: "b" });
  const back = onto(aside({ ...gone, pivot: "a" }, clashes, "tapin"), clashes, "tram");
  assert.deepEqual(back, { ...typed, "tapin.pivot": "a" });
});

test("a way has typical inputs of its own", () => {
  assert.deepEqual(typical(taper, "in", pins), { pin: ".25in", low: "1.2in" });
  assert.deepEqual(typical(taper, "in", drawn), { big: "1" });
});

test("lists of keys and pairs", () => {
  assert.deepEqual(boxesOf(drawn), [
    { key: "big", quiet: false },
    { key: "small", quiet: true },
  ]);
  assert.deepEqual(pairsOf("a=1 b=x=y"), [
    ["a", "1"],
    ["b", "x=y"],
  ]);
  assert.deepEqual(takesOf({ sheet: "x", takes: "size=repeat.mean unsure=repeat.expanded" }), [
    ["size", "repeat", "mean"],
    ["unsure", "repeat", "expanded"],
  ]);
});

test("limits typed beside readings are answered by the other worksheet", () => {
  const inside: Page = {
    name: "repeat",
    title: "Is it inside?",
    stages: ["bench"],
    ways: [
      { sheet: "repeat", boxes: "readings" },
      { sheet: "accept", when: "low high", boxes: "readings low high" },
    ],
  };
  assert.equal(wayOf(inside, { readings: "1" }, "", "accept").sheet, "accept");
  assert.equal(wayOf(inside, { readings: "1" }, "", "repeat").sheet, "repeat");
  assert.equal(wayOf(inside, { readings: "1", high: "2" }, "", "repeat").sheet, "accept");
  assert.equal(wayOf(inside, { readings: "1", high: " " }, "", "repeat").sheet, "repeat");
});
