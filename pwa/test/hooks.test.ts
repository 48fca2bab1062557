// What the worksheets over the whole job take from it: of the invented job, and in the corners.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { readDoc, text, type Doc, type Rec } from "../src/records/fields";
import { toKept, type Kept } from "../src/records/kept";
import {
  boltedFaces,
  fillChain,
  fillCleanup,
  fillMatch,
  fillTapin,
  fixtureName,
  rounds,
  roundText,
  type Look,
} from "../src/jobbook/hooks";

const demo = JSON.parse(readFileSync("../calc/jobbook/demo/pillow-block.json", "utf8")) as { docs: Doc[] };
const records = demo.docs.flatMap((d) => readDoc(d) ?? []);

const look = (list: readonly Rec[]): Look => ({
  all: (kind) => list.filter((r) => r.kind === kind),
  get: (id) => list.find((r) => r.id === id),
});
const shop = look(records);
const named = (kind: string, name: string): Rec =>
  records.find((r) => r.kind === kind && text(r, "name").includes(name))!;
const kept = demo.docs.map(toKept).filter((k): k is Kept => k !== undefined);

const filled: Record<string, () => { inputs: Record<string, string> }> = {
  match: () => fillMatch(shop, named("feature", "Foot slots")),
  cleanup: () => fillCleanup(shop, named("part", "Housing").id, named("setup", "Bored side down")),
  chain: () => fillChain(shop, named("job", "Pillow-block").id, kept),
  tapin: () => fillTapin(shop, named("setup", "Base to the plate")),
};

for (const [sheet, fill] of Object.entries(filled)) {
  test(`the invented job's kept ${sheet} is what the job gives`, () => {
    const was = kept.find((k) => k.worksheet === sheet);
    if (process.env["SHOW"]) console.log(sheet, JSON.stringify(fill().inputs, null, 1));
    assert.deepEqual(fill().inputs, was?.inputs);
  });
}

let count = 0;
/** A record as it would be read: made one after the other. */
const rec = (kind: string, id: string, values: Record<string, unknown>): Rec => ({
  id: `${kind}:${id}`,
  kind,
  made: `2026-03-09T10:00:${String(count++).padStart(2, "0")}Z`,
  changed: "",
  by: "",
  values,
  units: {},
  clashes: [],
  gone: false,
  newer: false,
  demo: false,
  files: [],
});

test("a part's places are those of one face, and names lose what would part cells", () => {
  const part = rec("part", "p", { name: "part" });
  const hole = rec("feature", "h", {
    part: part.id,
    kind: "hole",
    face: "side",
    bolt: "M12",
    x: "10mm",
    y: "0",
  });
  const tapped = rec("feature", "t", {
    part: part.id,
    kind: "tapped",
    face: "top",
    thread: "1/2-13",
    x: "1",
    y: "2",
  });
  const bare = rec("feature", "b", { part: part.id, kind: "hole", face: "back" });
  const plate = rec("fixture", "f", {
    name: "plate; big, old",
    tag: "F9",
    holes: [
      { row: "1", name: "A", x: "1", y: "2", kind: "tapped", thread: "M12", unit: "mm" },
      { row: "2", name: "B", x: "3", y: "4", kind: "dowel", dia: ".5" },
      { row: "3", name: "C", kind: "tapped", thread: "M12" },
      { row: "4", name: "D", x: "5", y: "6", kind: "clear" },
    ],
    ribs: [{ row: "1", face: "behind", x: "0", y: "0", long: "8", thick: "1", runs: "y" }],
  });
  const all = look([part, hole, tapped, bare, plate]);
  assert.deepEqual(
    boltedFaces(all, part.id).map((f) => f.face),
    ["side", "top"],
  );
  const { inputs, from } = fillMatch(all, tapped);
  assert.equal(inputs["part"], "tapped, 1 in, 2 in, 1/2-13, ");
  assert.equal(fillMatch(all, hole).inputs["part"], "hole, 10mm, 0 in, M12, ");
  assert.equal(fixtureName(plate), "plate  big  old F9");
  assert.equal(inputs["fixtures"], "plate  big  old F9, , , , , , ");
  assert.equal(inputs["places"], "plate  big  old F9, , tapped, 1 mm, 2 mm, , M12", "no place, no hole");
  assert.equal(
    inputs["keep"],
    "plate  big  old F9, , clear, 3 in, 4 in, .5 in, .5 in; plate  big  old F9, , rib, 0 in, 0 in, 1 in, 8 in",
    "a dowel hole is kept clear of, and a rib behind a face nobody named stands behind all",
  );
  assert.equal(from["part"], "part, top");
});

test("rounds begin anew at the first, a place read twice counts as read last, half a round waits", () => {
  const reading = (round: string, station: string, value: string, move?: string) =>
    rec("reading", `${round}${station}${value}`, {
      kind: "tap",
      round,
      station,
      value,
      ...(move && { move }),
    });
  const list = [
    reading("1", "a", "+9"),
    reading("1", "b", "+9"),
    reading("1", "a", "0"),
    reading("1", "b", "+6"),
    reading("2", "a", "0", "b, -0.006 in"),
    reading("2", "b", "+2"),
    reading("2", "b", "+1"),
    reading("3", "a", "0", "none"),
    rec("reading", "x", { kind: "before", station: "a", value: "+1" }),
  ];
  const all = rounds(list, "tap");
  assert.equal(roundText(all), "0 thou, +6 thou; 0 thou, +1 thou, b, -0.006 in");
  assert.equal(all.at(-1)?.reads.filter(Boolean).length, 1);
  const anew = [...list, reading("1", "a", "+.5"), reading("1", "b", "0")];
  assert.equal(roundText(rounds(anew, "tap")), "+.5 thou, 0 thou");
  assert.equal(roundText(rounds(list, "head")), "");
});

test("a rough that nobody touched gives its surfaces, a touch the one distance it was read for", () => {
  const part = rec("part", "p", { name: "part" });
  const top = rec("feature", "t", { name: "top", part: part.id, kind: "face", looks: "+z", z: "4" });
  const wall = rec("feature", "w", { name: "wall", part: part.id, kind: "wall", looks: "-z", least: "1/2" });
  const hole = rec("feature", "h", { name: "hole", part: part.id, kind: "hole", looks: "+z" });
  const none = look([part, top, wall, hole]);
  assert.equal(
    fillCleanup(none, part.id, undefined).inputs["features"],
    "top, face, +z, 0, 0, 4 in, , ; wall, wall, -z, 0, 0, 0, , 1/2 in",
  );
  const touch = rec("reading", "1", { kind: "rough", feature: top.id, x: "1", y: "2", value: "+4.12 in" });
  const { inputs } = fillCleanup(look([part, top, wall, touch]), part.id, undefined);
  assert.equal(inputs["touches"], "top, 1 in, 2 in, 4.12 in");
  assert.equal(inputs["features"], "top, face, +z, 0, 0, 4 in, , ", "what was not touched is left out");
  assert.equal(inputs["up"], undefined);
});

test("what was read is used, what was not is assumed, and what serves twice has one mark", () => {
  const { inputs, from } = fillChain(shop, named("job", "Pillow-block").id, []);
  const causes = inputs["causes"]!.split("; ").map((r) => r.split(", "));
  assert.equal(from["causes"], "read: plate of set-up 2, plate of set-up 4; the rest assumed");
  const plates = causes.filter((c) => c[1] === "plate");
  assert.deepEqual(
    plates.map((c) => [c[0], c[3], c[6]]),
    [
      ["2", ".2 thou", "F1 plate"],
      ["4", "", "F1 plate"],
    ],
  );
  assert.deepEqual(
    causes.filter((c) => c[1] === "head" && c[2] === "x").map((c) => c[6]),
    ["D1 head", "D1 head", "D1 head", "D2 head"],
  );
  assert.ok(causes.filter((c) => c[1] === "seat").every((c) => c[3] === "" && c[4] === "0.0005 in"));
  const read = fillChain(shop, named("job", "Pillow-block").id, kept);
  assert.equal(
    read.from["causes"],
    "read: head of set-up 1, plate of set-up 2, tram of set-up 2, plate of set-up 4; the rest assumed",
  );
});
