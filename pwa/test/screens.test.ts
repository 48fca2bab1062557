// The screens' pure parts: addresses, rows, units pinned to numbers, the themes' contrasts.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import type { Sheet } from "../src/engine/contract.gen";
import { href, parseRoute, recordHref, views, type Route } from "../src/screen/route";
import { pinNumber, pinTyped, pinUnits } from "../src/form/pin";
import { joinList, joinTable, splitList, splitTable } from "../src/form/rowtext";

test("every page's address leads back to it", () => {
  const routes: Route[] = [
    { page: "home" },
    { page: "stage", stage: "holes" },
    { page: "sheet", sheet: "hole" },
    { page: "sheet", sheet: "hole", record: "k 1/2", job: "Pump & cover #3" },
    { page: "jobs" },
    { page: "job", job: "Pillow block 5/8-11 100%" },
    { page: "reference", sheet: "hole" },
    { page: "checked" },
    { page: "settings" },
    { page: "office", view: "where" },
    { page: "office", view: "pair" },
    { page: "office", view: "office" },
    { page: "sheet", sheet: "hole", from: "step:01ARYZ6S41TSV4RRFFQ69G5FAV" },
    ...views.map((view): Route => ({
      page: "book",
      view,
      id: "setup:01ARYZ6S41TSV4RRFFQ69G5FAV",
      more: { job: "a & b" },
    })),
    { page: "book", view: "find", id: "", more: {} },
  ];
  for (const r of routes) assert.deepEqual(parseRoute(href(r)), r);
  assert.deepEqual(parseRoute(recordHref("fixture:7", "slots.0002-mill")), {
    page: "book",
    view: "record",
    id: "fixture:7",
    more: { place: "slots.0002-mill" },
  });
});

test("an address that is none leads to the start", () => {
  for (const h of ["", "#", "#/", "#/nowhere", "#/sheet/", "#/reference", "#//"]) {
    assert.deepEqual(parseRoute(h), { page: "home" });
  }
  assert.deepEqual(parseRoute("#/job/"), { page: "jobs" });
  assert.deepEqual(parseRoute("#/job/100%"), { page: "job", job: "100%" });
});

test("lists and tables come apart and together again", () => {
  assert.deepEqual(splitList("0, 1.5, 3 thou"), ["0", "1.5", "3 thou"]);
  assert.equal(joinList(["0", "1.5", "3 thou", ""]), "0, 1.5, 3 thou");
  assert.equal(joinList(["0", "", "3"]), "0, , 3");
  assert.deepEqual(splitTable("0,1.5; 4,0", 2), [
    ["0", "1.5"],
    ["4", "0"],
  ]);
  assert.equal(
    joinTable([
      ["0", "1.5"],
      ["", ""],
      ["4", "0"],
    ]),
    "0,1.5; 4,0",
  );
  assert.equal(joinTable([["1;2", "3,4"]]), "12,3\u201a4", "a comma that is typed is the number's own");
  assert.equal(joinList(["3,4", "5"]), "3\u201a4, 5");
  for (const text of ["0,1.5; 4,0", "1-3/8,2; .5,3 thou; 7,8"])
    assert.equal(joinTable(splitTable(text, 2)), text);
});

test("a bare number keeps its meaning when the unit is changed", () => {
  assert.equal(pinNumber("3/4", "in"), "3/4 in");
  assert.equal(pinNumber("1-3/8", "in"), "1-3/8 in");
  assert.equal(pinNumber("-1-3/8", "in"), "-1-3/8 in");
  assert.equal(pinNumber("3/4+.015", "in"), "3/4 in+.015 in");
  assert.equal(pinNumber("19.05mm", "in"), "19.05mm");
  assert.equal(pinNumber("15 thou", "in"), "15 thou");
  assert.equal(pinNumber("through", "in"), "through");
  assert.equal(pinNumber("", "in"), "");
  assert.equal(pinNumber("12,5", "mm"), "12.5 mm");
  assert.equal(pinNumber("12\u201a5+,25", "mm"), "12.5 mm+.25 mm");
  assert.equal(pinNumber("0,125", "in"), "0.125 in");
  assert.equal(pinNumber("1250,125", "mm"), "1250.125 mm");
  for (const unclear of ["12,125", "1,2,5", "1,250.5", "1.250,5", "12,"])
    assert.equal(pinNumber(unclear, "mm"), unclear);
});

test("only sizes are pinned: threads, drills, angles and counts stay as they are", () => {
  const input = (key: string, kind: string, inch: string, mm: string) => ({
    key,
    kind,
    units: { in: inch, mm },
  });
  const sheet = {
    inputs: [
      input("depth", "length", "in", "mm"),
      input("thread", "thread", "", ""),
      input("drill", "drill", "in", "mm"),
      input("point", "angle", "deg", "deg"),
      { ...input("list", "list", "", ""), columns: [input("x", "length", "in", "mm")] },
      {
        ...input("table", "table", "", ""),
        columns: [input("x", "length", "in", "mm"), input("n", "count", "", "")],
      },
    ],
  } as unknown as Sheet;
  const texts = {
    depth: "3/4",
    thread: "5/8-11",
    drill: "7",
    point: "118",
    list: "1, 2 mm",
    table: "1,2; 3,4",
  };
  assert.deepEqual(pinUnits(sheet, texts, "in"), {
    depth: "3/4 in",
    thread: "5/8-11",
    drill: "7",
    point: "118",
    list: "1 in, 2 mm",
    table: "1 in,2; 3 in,4",
  });
});

// WCAG 2.2, success criteria 1.4.6 (7:1 for text) and 1.4.11 (3:1 for edges): relative luminance of
// sRGB.
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p) as [number, number];
  return (x + 0.05) / (y + 0.05);
}

function looks(): Record<string, Record<string, string>> {
  const css = readFileSync("src/ui/tokens.css", "utf8");
  const block = (from: number): Record<string, string> =>
    Object.fromEntries(
      [...css.slice(from, css.indexOf("}", from)).matchAll(/--([\w-]+): (#[0-9a-f]{6});/g)].map((m) => [
        m[1]!,
        m[2]!,
      ]),
    );
  return { bright: block(0), dim: block(css.indexOf('[data-look="dim"]')) };
}

test("the contrast of known pairs is as published", () => {
  // WCAG 2 definitions: black on white is 21; #767676 is the well-known grey of 4.54 on white.
  assert.ok(Math.abs(contrast("#000000", "#ffffff") - 21) < 1e-9);
  assert.ok(Math.abs(contrast("#767676", "#ffffff") - 4.54) < 0.005);
});

const TEXT: [string, string][] = [
  ["ink", "plate"],
  ["ink", "ground"],
  ["quiet", "plate"],
  ["quiet", "ground"],
  ["ondye", "dye"],
  ["link", "plate"],
  ["link", "ground"],
  ["refuse", "plate"],
  ["refuse", "refuse-bed"],
  ["ink", "refuse-bed"],
  ["caution", "caution-bed"],
  ["ink", "caution-bed"],
  ["note", "note-bed"],
  ["ink", "note-bed"],
  ["plate", "ink"],
];
const EDGES: [string, string][] = [
  ["edge", "plate"],
  ["edge", "ground"],
  ["good", "plate"],
  ["caution", "plate"],
  ["scribe", "metal"],
  ["scribe", "plate"],
  ["zone", "plate"],
  ["metal-line", "metal"],
];

test("both looks reach 7:1 for text and numbers and 3:1 for edges and drawn lines, and LOOK.md gives these figures", () => {
  const doc = readFileSync("LOOK.md", "utf8").replace(/ +/g, " ");
  for (const [look, colours] of Object.entries(looks())) {
    assert.ok(Object.keys(colours).length >= 18, `${look}: ${Object.keys(colours).length} colours found`);
    const check = (pairs: [string, string][], least: number) => {
      for (const [a, b] of pairs) {
        const c = contrast(colours[a]!, colours[b]!);
        assert.ok(c >= least, `${look}: ${a} on ${b} is ${c.toFixed(2)}`);
      }
    };
    check(TEXT, 7);
    check(EDGES, 3);
  }
  const { bright, dim } = looks() as { bright: Record<string, string>; dim: Record<string, string> };
  for (const [a, b] of [...TEXT, ...EDGES]) {
    const row = `| ${a} on ${b} | ${contrast(bright[a]!, bright[b]!).toFixed(1)} | ${contrast(dim[a]!, dim[b]!).toFixed(1)} |`;
    assert.ok(doc.includes(row), `LOOK.md lacks: ${row}`);
  }
});

test("a unit goes behind the bare numbers of a text as calc/shoptext's Pin puts it, text for text", () => {
  const table = JSON.parse(readFileSync("../calc/shoptext/testdata/pin.json", "utf8")) as {
    Units: string[];
    Rows: [string, ...string[]][];
  };
  assert.ok(table.Rows.length > 400);
  for (const [text, ...pinned] of table.Rows) {
    assert.deepEqual(
      table.Units.map((unit) => pinNumber(text, unit)),
      pinned,
      text,
    );
  }
});

test("a bare fraction of millimetres that is being typed is not pinned but asked about", () => {
  assert.equal(pinTyped("3/4", "mm"), "3/4");
  assert.equal(pinTyped("1 1/2", "um"), "1 1/2");
  assert.equal(pinTyped("3/4", "in"), "3/4 in");
  assert.equal(pinTyped(".75", "mm"), ".75 mm");
});
