import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { generate } from "lean-qr/nano";
import { readDoc, text, type Doc, type Rec } from "../src/records/fields";
import { facePlan, scenePlan, type Face, type Place, type Scene } from "../src/drawing/face";
import type { Kept } from "../src/records/kept";
import {
  bare,
  breaks,
  fill,
  halves,
  heightOf,
  lines,
  pages,
  pieces,
  type Block,
  type Line,
} from "../src/print/leaves";
import {
  askedMost,
  belongings,
  featuresOf,
  heading,
  inspection,
  labelAddress,
  lastKept,
  lifters,
  limits,
  nuts,
  parsePage,
  readingRows,
  sized,
  squares,
  stepsIn,
  together,
  warnings,
  within,
  type Look,
} from "../src/print/model";
import { kinds } from "../src/records/rules";
import { writer } from "../src/text/words";
import { startRules } from "./rules";

// The invented job, as the app ships it.
const file = JSON.parse(readFileSync("../calc/jobbook/demo/pillow-block.json", "utf8")) as { docs: Doc[] };
const recs = file.docs.map((d) => readDoc(d)!);
const look: Look = {
  all: (kind) => recs.filter((r) => r.kind === kind),
  get: (id) => recs.find((r) => r.id === id),
};
const rec = (kind: string, n: string): Rec => look.get(`${kind}:00-demo-pillow-block-${n}`)!;

const feature = (values: Record<string, string>, units: Record<string, string> = {}): Rec => ({
  ...rec("feature", "02"),
  values,
  units,
});

test("a setup shows the slots of its plate in their place and size, and no slot of unknown size", () => {
  const scene = (places: Place[]): Scene => ({
    kind: "setup",
    bodies: [{ of: "plate", low: [-8, 0, 0], top: [8, 2, 12] }],
    face: { places },
    zero: [0, 0, 0],
    used: [],
    machine: { slots: [], axes: [] },
  });
  const thin = (places: Place[]) =>
    scenePlan(scene(places))!.marks.filter((m) => m.k.includes("d-thin")).length;
  const slot: Place = { what: "slot", x: 2, y: 6, wide: 0.6875, high: 3 };
  assert.equal(thin([slot]), thin([]) + 1);
  assert.equal(thin([{ ...slot, what: "tee" }]), thin([]) + 1);
  assert.equal(thin([{ what: "slot", x: 2, y: 6 }]), thin([]));
  assert.equal(thin([{ ...slot, what: "rib" }]), thin([]), "a rib is behind the plate");
});

test("who wrote something is a name as it was given, else a phone by the first letters of its mark", () => {
  assert.equal(writer("Mill phone"), "Mill phone");
  assert.equal(writer(" 01k3bq7z00 "), "another phone (01k3)");
  assert.equal(writer("01k3bq7z00", "01k3bq7z00"), "this phone");
  assert.equal(writer("office"), "office");
});

test("a page is named by what it is and a record it is made for", async () => {
  const all = await kinds(await startRules());
  assert.deepEqual(parsePage("setup/setup:1", all), { what: "setup", id: "setup:1" });
  assert.deepEqual(parsePage("holes/fixture:1", all), { what: "holes", id: "fixture:1" });
  for (const path of [
    "",
    "setup",
    "setup/",
    "setup/job:1",
    "poem/job:1",
    "label/tool:1",
    "constructor/job:1",
  ]) {
    assert.equal(parsePage(path, all), undefined, path);
  }
});

test("limits from a size and its two deviations", () => {
  const rows: [string, Rec, [string, string] | undefined][] = [
    // 4.000 +0.0014 -0: H7 of ISO 286-1 for 4 in by ANSI B4.1.
    ["unilateral", feature({ nominal: "4.000", plus: ".0014", minus: "0" }), ["4.0000 in", "4.0014 in"]],
    ["bilateral", feature({ nominal: "1-3/8", plus: ".002", minus: "-.001" }), ["1.3740 in", "1.3770 in"]],
    [
      "below the size",
      feature({ nominal: "2", plus: "-.0005", minus: "-.0012" }),
      ["1.9988 in", "1.9995 in"],
    ],
    [
      "typed in millimetres",
      feature({ nominal: "50", plus: "0.025", minus: "0" }, { nominal: "mm", plus: "mm", minus: "mm" }),
      ["50.000 mm", "50.025 mm"],
    ],
    [
      "with its own unit",
      feature({ nominal: "50mm", plus: ".001", minus: "-.001 in" }),
      ["49.9746 mm", "50.0254 mm"],
    ],
    ["no tolerance", feature({ nominal: "4.000" }), undefined],
    ["turned round", feature({ nominal: "4", plus: "-.001", minus: ".001" }), undefined],
    ["no number", feature({ nominal: "four", plus: ".001", minus: "0" }), undefined],
  ];
  for (const [name, f, want] of rows) {
    const got = limits(f);
    assert.deepEqual(got && [got.low, got.high], want, name);
  }
  assert.equal(
    limits(feature({ nominal: "4.000", plus: ".0014", minus: "0" }))!.tolerance,
    "+.0014 in / 0 in",
  );
});

test("in or out by the number alone includes both limits", () => {
  const l = limits(feature({ nominal: "4.000", plus: ".0014", minus: "0" }));
  const rows: [string, boolean | undefined][] = [
    ["4.000 in", true],
    ["4.0014 in", true],
    ["3.9999 in", false],
    ["4.0015 in", false],
    ["101.61 mm", true],
    ["big", undefined],
  ];
  for (const [value, want] of rows) assert.equal(within(l, value), want, value);
  assert.equal(within(undefined, "4 in"), undefined);
});

test("a bare number keeps the unit it was typed in", () => {
  assert.equal(sized(feature({ value: "+2" }), "value", true), "+2 thou");
  assert.equal(sized(feature({ value: "-.5" }, { value: "mm" }), "value", true), "-.5 um");
  assert.equal(sized(feature({ x: "6-1/2" }), "x"), "6-1/2 in");
  assert.equal(sized(feature({ x: "165mm" }), "x"), "165mm");
  assert.equal(sized(feature({}), "x"), "");
});

test("an inspection sheet has every feature, with a blank where nothing was measured", () => {
  const rows = inspection(look, rec("job", "01"));
  assert.equal(new Set(rows.map((r) => r.feature.id)).size, 7);
  const bore = rows.find((r) => r.feature.id === rec("feature", "02").id)!;
  assert.equal(text(bore.reading, "value"), "3.958 in");
  assert.equal(rows.filter((r) => r.reading).length, 2);
  assert.deepEqual(featuresOf(look, rec("part", "01")).length, 7);
  // An acceptance kept from the step that finishes the bore stands with it, and no blank beside it.
  const kept = { ...rec("kept", "01"), values: { worksheet: "accept", step: rec("step", "15").id } };
  const seat = { ...rec("kept", "02"), values: { worksheet: "accept", feature: rec("feature", "07").id } };
  const more = inspection(
    { ...look, all: (k) => (k === "kept" ? [kept, seat] : look.all(k)) },
    rec("job", "01"),
  );
  assert.equal(more.length, rows.length + 1);
  assert.equal(more.filter((m) => m.kept && m.feature.id === bore.feature.id).length, 1);
  const filled = more.filter((m) => m.feature.id === rec("feature", "07").id);
  assert.deepEqual([filled.length, filled[0]?.kept?.id], [1, seat.id]);
});

test("a job's history holds what belongs to it and nothing of the shop", () => {
  const all = belongings(look, rec("job", "01"));
  assert.equal(new Set(all.map((r) => r.id)).size, all.length, "each once");
  const count = (kind: string) => all.filter((r) => r.kind === kind).length;
  assert.deepEqual(
    ["part", "feature", "setup", "step", "reading", "kept", "note", "photo", "fixture"].map(count),
    [1, 7, 4, 16, 31, 9, 2, 2, 0],
  );
});

test("a setup's steps stand in order and its readings as they were read", () => {
  const setup = rec("setup", "02");
  assert.deepEqual(
    stepsIn(look, setup).map((s) => text(s, "order")),
    ["1", "2", "3", "4", "5", "6", "7"],
  );
  assert.equal(readingRows(look, setup).length, 15);
  assert.deepEqual(heading(look, setup), {
    job: "Pillow-block housing with pump flange",
    drawing: "DEMO-100 rev. B",
    part: "Housing, C-7 (invented)",
  });
});

const block = (key: string, ...highs: number[]): Block<number> => ({
  key,
  head: 30,
  rows: highs.map((high, i) => ({ high, el: i })),
});

test("rows that do not fit go on in order, none twice, none lost, under a heading each", () => {
  const [now, rest] = fill(block("steps", 40, 40, 40), 115);
  assert.deepEqual([now.rows.length, rest.rows.length, heightOf(now)], [2, 1, 110]);
  assert.equal(fill(block("steps", 40), 69)[0].rows.length, 0, "no heading without a row");
  let seed = 5;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  for (let n = 0; n < 300; n++) {
    const blocks = ["a", "b", "c"].map((key) =>
      block(key, ...Array.from({ length: Math.floor(random() * 30) }, () => 10 + random() * 200)),
    );
    const leaves = pages(blocks, 500);
    for (const leaf of leaves) {
      assert.ok(leaf.length > 0 && leaf.every((b) => b.rows.length > 0));
      assert.ok(leaf.reduce((h, b) => h + heightOf(b), 0) <= 500);
    }
    for (const b of blocks) {
      const there = leaves.flat().filter((x) => x.key === b.key);
      assert.deepEqual(
        there.flatMap((x) => x.rows.map((r) => r.el)),
        b.rows.map((r) => r.el),
      );
    }
  }
  assert.equal(pages([block("a", 900)], 500).length, 1, "a row higher than a page is printed all the same");
  const flat = pages([{ ...block("a"), rows: [1, 2, 3].map((el) => ({ high: 400, flat: 100, el })) }], 500);
  assert.equal(flat.length, 1, "over the whole width a row is less high");
});

test("lines of a text: by its words, a long word broken, each line of its own", () => {
  const by = (s: string) => s.length * 10;
  const rows: [string, number, number][] = [
    ["", 100, 1],
    ["one two", 100, 1],
    ["one two three", 100, 2],
    ["one\ntwo", 100, 2],
    ["aaaaaaaaaaaaaaaaaaaaaaaaa", 100, 3],
    ["one aaaaaaaaaaaaaaaaaaaaaaaaa b", 100, 4],
  ];
  for (const [s, width, n] of rows) assert.equal(lines(s, width, { by }), n, s);
  const long = "a word and more ".repeat(200).trim();
  assert.equal(pieces(long).join(" "), long);
  assert.ok(pieces(long).every((s) => s.length <= 600));
});

test("a torque in its pulls, sizes with their unit said once", () => {
  assert.deepEqual(halves("30 lbf-ft"), { half: "15", full: "30", unit: "lbf-ft" });
  assert.deepEqual(halves("35 lbf-ft"), { half: "18", full: "35", unit: "lbf-ft" });
  assert.deepEqual(halves("7.5 Nm"), { half: "3.8", full: "7.5", unit: "Nm" });
  for (const none of ["", "tight", "0 lbf-ft"]) assert.equal(halves(none), undefined);
  const { unit, cut, of } = bare(["2.75 in", "", "1-1/4 in"]);
  assert.deepEqual([unit, cut("2.75 in"), cut("through"), of("X")], ["in", "2.75", "through", "X, in"]);
  const both = bare(["2.75 in", "30 mm"]);
  assert.deepEqual([both.unit, both.cut("30 mm"), both.of("X")], ["", "30 mm", "X"]);
});

test("nuts stand in their order at the places their holes have", () => {
  const places = [
    { what: "tapped", name: "B1", x: -2.75, y: 0 },
    { what: "tapped", name: " b2 ", x: 2.75, y: 0 },
  ];
  const at = (order: unknown[]) =>
    nuts(
      {
        ...rec("setup", "02"),
        values: {
          bolts: ["b2", "strap", "B1"].map((hole, i) => ({ row: String(i), hole, order: order[i] })),
        },
      },
      places,
    ).map(({ row, place }) => [row["hole"], place?.x]);
  assert.deepEqual(at(["2", "3", "1"]), [
    ["B1", -2.75],
    ["b2", 2.75],
    ["strap", undefined],
  ]);
  assert.deepEqual(at([]), [
    ["b2", 2.75],
    ["strap", undefined],
    ["B1", -2.75],
  ]);
});

test("a label has the two holes that most setups were bolted to, with the distance between them", () => {
  const fixture = { ...rec("fixture", "01"), id: "fixture:f" };
  fixture.values = {
    holes: ["A", "B", "C"].map((name) => ({ row: name, name, face: name === "C" ? "left" : "upright" })),
  };
  const on = (...holes: string[]): Rec => ({
    ...rec("setup", "02"),
    values: { fixture: fixture.id, bolts: holes.map((hole) => ({ row: hole, hole })) },
  });
  const asked = (...setups: Rec[]) =>
    askedMost({ all: (kind) => (kind === "setup" ? setups : []), get: () => undefined }, fixture)?.map(
      (r) => r["name"],
    );
  assert.deepEqual(asked(on("a", "b"), on("B", "C")), ["A", "B"]);
  assert.equal(asked(on("A"), on("B", "C"), on()), undefined, "one bolt, two faces, none");
  const face: Face = {
    left: -4,
    right: 4,
    bottom: -3,
    top: 3,
    places: [
      { what: "tapped", table: "holes", row: "A", name: "A", x: -1.5, y: -1, dia: 0.5 },
      { what: "tapped", table: "holes", row: "B", name: "B", x: 1.5, y: 1.25, dia: 0.5 },
      { what: "tapped", table: "holes", row: "D", name: "D", x: 3, y: 0, dia: 0.5 },
    ],
  };
  const said = facePlan(face, { pair: ["holes.A", "holes.B"] }).words.map((w) => w.s);
  assert.ok(said.includes("3.75"), "the long side of 3 and 2.25");
  assert.ok(said.includes("A") && said.includes("B") && !said.includes("D"));
  const turns = facePlan(face, { nuts: { "holes.D": "1", "holes.A": "2" } }).words.map((w) => w.s);
  assert.ok(turns.includes("1") && turns.includes("2") && !turns.includes("D"));
});

test("two warnings at most: refusals first, the usual one unless two refuse, only what stands last", () => {
  const kept = (id: string, worksheet: string, ...levels: string[]) =>
    ({
      _id: id,
      worksheet,
      answer: { cautions: levels.map((level, i) => ({ level, text: `${id}${i}` })) },
    }) as unknown as Kept;
  const said = (...list: Kept[]) => warnings(list, "usual").map((w) => w.text);
  assert.deepEqual(said(), ["usual"]);
  assert.deepEqual(said(kept("a", "hole", "note", "caution", "caution"), kept("b", "tram", "caution")), [
    "a1",
    "usual",
  ]);
  assert.deepEqual(said(kept("a", "hole", "caution"), kept("b", "hold", "refuse", "refuse")), ["b0", "b1"]);
  assert.deepEqual(said(kept("a", "hole", "caution"), kept("b", "hold", "refuse")), ["b0", "a0"]);
  assert.deepEqual(said(kept("a", "hole", "refuse"), kept("b", "hole")), ["usual"], "planned anew since");
  assert.deepEqual(
    lastKept([kept("a", "hole"), kept("b", "tram"), kept("c", "hole")]).map((k) => k._id),
    ["b", "c"],
  );
});

test("how many lift", () => {
  const rows = [
    ["", ""],
    ["heavy", ""],
    ["50 lb", "one"],
    ["22 kg", "one"],
    ["51 lb", "two"],
    ["40 kg", "two"],
    ["91 lb", "hoist"],
    ["210 lb", "hoist"],
  ];
  for (const [weight, is] of rows) assert.equal(lifters(weight!), is, weight);
});

test("a label's code leads to the page, and its path covers the dark squares alone", () => {
  const to = labelAddress("https://datumbook.local:8470", rec("fixture", "01"));
  assert.equal(to, "https://datumbook.local:8470/#/record/fixture%3A00-demo-pillow-block-01");
  assert.equal(
    labelAddress("https://datumbook.local:8470", rec("setup", "02")),
    "https://datumbook.local:8470/#/setup/setup%3A00-demo-pillow-block-02",
  );
  const code = generate(to);
  const dark = new Set<string>();
  for (const m of squares(code).matchAll(/M(\d+) (\d+)h(\d+)/g)) {
    for (let i = 0; i < Number(m[3]); i++) dark.add(`${Number(m[1]) + i} ${m[2]}`);
  }
  for (let y = 0; y < code.size; y++) {
    for (let x = 0; x < code.size; x++) assert.equal(dark.has(`${x} ${y}`), code.get(x, y), `${x} ${y}`);
  }
  // ISO/IEC 18004, 5.3: finder patterns in three corners, seven squares across, the second ring
  // light.
  for (const [x, y] of [
    [0, 0],
    [code.size - 7, 0],
    [0, code.size - 7],
  ] as const) {
    assert.ok(dark.has(`${x} ${y}`) && dark.has(`${x + 6} ${y + 6}`) && dark.has(`${x + 3} ${y + 3}`));
    assert.ok(!dark.has(`${x + 1} ${y + 1}`));
  }
});

test("changes written in one go stand together", () => {
  const line = (at: string, by: string, n: number) => ({ at, by, n });
  const [a, b] = [rec("setup", "01"), rec("setup", "02")];
  const past = [
    { rec: a, line: line("1", "x", 1) },
    { rec: a, line: line("1", "x", 2) },
    { rec: b, line: line("1", "x", 3) },
    { rec: b, line: line("1", "y", 4) },
    { rec: b, line: line("2", "y", 5) },
  ];
  assert.deepEqual(
    together(past).map((g) => g.lines.map((l) => l.n)),
    [[1, 2], [3], [4], [5]],
  );
});

test("what flows is cut between its lines: no heading is the last, a table's head has its room", () => {
  // Letters are lines 10 high: h a heading, t a row under a head of 10, n one that begins a sheet; a figure
  // is a line so many times as high.
  const flow = (said: string): Line[] => {
    let top = 5;
    return [...said].map((c) => {
      const line = { top, bottom: (top += 10 * (Number(c) || 1)), again: c === "t" ? 10 : 0 };
      return { ...line, keep: c === "h", anew: c === "n" };
    });
  };
  const rows: [string, number[]][] = [
    ["", []],
    ["xxxx", [0]],
    ["xxxxx", [0, 4]],
    ["xxxhx", [0, 3]],
    ["xxhhx", [0, 2]],
    ["xxxnx", [0, 3]],
    ["xxhnx", [0, 3]],
    ["tttttttt", [0, 3, 6]],
    ["x9x", [0, 1, 2]],
    ["xh9xxxx", [0, 1, 3]],
    ["hhhhhx", [0]],
  ];
  for (const [said, want] of rows) {
    const all = flow(said);
    const got = breaks(all, 40);
    assert.deepEqual(got, want, said);
  }
});
