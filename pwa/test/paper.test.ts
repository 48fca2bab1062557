import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { generate } from "lean-qr/nano";
import { readDoc, text, type Doc, type Rec } from "../src/records/fields";
import {
  belongings,
  featuresOf,
  heading,
  inspection,
  labelAddress,
  limits,
  parsePage,
  readingRows,
  sized,
  spots,
  squares,
  stepsIn,
  together,
  within,
  type Look,
} from "../src/print/model";
import { kinds } from "../src/records/rules";
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

test("holes are mapped face by face in thousandths", () => {
  assert.deepEqual(spots(rec("fixture", "01")), [
    {
      face: "upright",
      list: [
        { name: "A1", x: -6500, y: -3000 },
        { name: "A2", x: 6500, y: -3000 },
        { name: "B1", x: -2750, y: 0 },
        { name: "B2", x: 2750, y: 0 },
      ],
    },
  ]);
  assert.deepEqual(spots(rec("fixture", "02")), []);
});

test("a label's code leads to the page, and its path covers the dark squares alone", () => {
  const to = labelAddress("https://datumbook.local:8470", rec("fixture", "01"));
  assert.equal(to, "https://datumbook.local:8470/#/record/fixture%3A00-demo-pillow-block-01");
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
