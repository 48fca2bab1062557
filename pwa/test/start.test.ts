// Start's pure parts: which pages a question is about, in which order a stage shows its pages, and
// the picture of how a part sits.
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Describe } from "../src/engine/contract.gen";
import type { Rec } from "../src/records/fields";
import { rough, sceneOf } from "../src/jobbook/scene";
import { entriesOf, findPages, pageDocs, sizesOnly, type Known } from "../src/screen/pages";
import { trade } from "../src/text/trade";

const page = (name: string, title: string, stages: string, ...ways: [string, string][]) => ({
  name,
  title,
  stages: stages.split(" "),
  ways: [{ sheet: name }, ...ways.map(([sheet, chip]) => ({ sheet, chip }))],
});

const known: Known = {
  stages: [{ key: "holes", title: "Holes" }],
  pages: [
    page("hole", "Tapped hole", "holes"),
    page("bolts", "Hole pattern", "holes where", ["grid", "Grid"], ["dials", "Dials"]),
    page("engage", "Stud in its hole", "holes hold", ["torque", "How tight"]),
    page("tram", "Is it in line?", "line", ["tapin", "Tap"]),
    page("shim", "Shim it up", "line"),
    page("middle", "Pick it up", "where", ["edge", "Edge"]),
    page("skew", "Part askew", "where"),
    page("reach", "Can it reach?", "reach", ["daylight", "Heights"]),
    page("taper", "Taper", "bench"),
  ],
};

const asked = (query: string): string => {
  const { list, whole } = findPages(known, query);
  return list.map((e) => e.sheet).join(" ") + (whole ? "" : " …");
};

test("a question finds its pages by what the trade calls them, the likeliest first", () => {
  assert.match(asked("tap"), /^hole tapin/);
  assert.match(asked("1/2-13 tap"), /^hole/);
  assert.match(asked("5/16"), /^hole/);
  assert.equal(asked("shims"), "shim");
  assert.match(asked("how tight is the nut"), /^torque/);
  assert.equal(asked("backlash"), "dials");
  assert.match(asked("tap"), /^(?!.*taper)/);
  assert.match(asked("Hole pat"), /^bolts/, "while it is still being typed");
  assert.equal(asked("zyzzyva"), " …");
  assert.equal(asked("shim zyzzyva"), "shim …", "met in part");
});

test("worksheets are indexed as the records are, by their page's title and what the trade calls them", () => {
  const worksheets = [{ name: "torque", title: "How tight", question: "How tight is the nut?" }];
  const [doc] = pageDocs({ ...known, worksheets } as unknown as Describe);
  const says = (key: string) => doc?.f?.[key]?.[0]?.v;
  assert.deepEqual([doc?._id, doc?.type, says("name")], ["sheet:torque", "sheet", "Stud in its hole"]);
  assert.match(String(says("words")), /wrench/);
  assert.equal(says("asks"), "How tight. How tight is the nut?");
});

test("nothing but sizes", () => {
  assert.ok(sizesOnly("1/2-13") && sizesOnly("M12 .500"));
  assert.ok(!sizesOnly("1/2 tap") && !sizesOnly("tap"));
});

test("a stage shows what is used most first, and a page of another stage in its place", () => {
  const of = (stage: string) => entriesOf(known, stage).map((e) => e.title);
  assert.deepEqual(of("holes"), ["Tapped hole", "Hole pattern", "Stud in its hole"]);
  assert.deepEqual(of("where"), ["Pick it up", "Part askew", "Hole pattern"]);
  assert.deepEqual(of("reach"), ["Can it reach?", "Heights"]);
});

test("no worksheet has a word twice", () => {
  for (const [sheet, said] of Object.entries(trade)) {
    assert.match(said, /^[a-z0-9 -]+$/, sheet);
    assert.equal(new Set(said.split(" ")).size, said.split(" ").length, sheet);
  }
});

const rec = (kind: string, values: Record<string, unknown>): Rec =>
  ({ id: `${kind}:1`, kind, values, units: {}, clashes: [] }) as unknown as Rec;

test("the picture of how a part sits stays in its field, whatever is known of it", () => {
  const parts = [
    undefined,
    { long: "14", wide: "6-1/2", high: "9" },
    { long: "600 mm", high: ".5" },
    { long: "x" },
  ];
  const holes = [
    { row: "1", x: "-6.5", y: "-3" },
    { row: "2", x: "400", y: "0" },
  ];
  const faces = [{ row: "1", wide: "18", high: "14", left: "-9", bottom: "-7" }];
  for (const kind of ["angle", "vise", "table", "parallel", "vblock", "rotary", "chuck", "other", ""]) {
    for (const part of parts) {
      for (const feature of ["face", "bore", "slot", ""]) {
        for (const reads of [[], [0, 2, -1], [0, NaN]]) {
          const scene = sceneOf({
            fixture: kind ? rec("fixture", { kind, holes, faces }) : undefined,
            part: part && rec("part", part),
            feature: rec("feature", { kind: feature }),
            down: "-z",
            reads,
          });
          for (const [name, path] of Object.entries<string>({ ...scene })) {
            assert.ok(!/[^MmHhVvLlAaZz0-9 .-]/.test(path), `${kind} ${name}: ${path}`);
            for (const [, x, y] of path.matchAll(/M(-?[\d.]+) (-?[\d.]+)/g))
              assert.ok(
                Number(x) >= -4 && Number(x) <= 204 && Number(y) >= -2 && Number(y) <= 80,
                `${kind} ${name}: ${x} ${y}`,
              );
          }
          assert.ok(scene.part && scene.metal);
        }
      }
    }
  }
});

test("a length is read near enough for a picture", () => {
  assert.equal(rough("6-1/2"), 6.5);
  assert.equal(rough("-1-3/8"), -1.375);
  assert.equal(rough(".75"), 0.75);
  assert.equal(rough("254 mm"), 10);
  assert.equal(rough("wide"), undefined);
});
