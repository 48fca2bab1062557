// What the worksheets over the whole job take from it: of the invented job, and in the corners.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { readDoc, text, type Doc, type Rec } from "../src/book/fields";
import { toKept, type Kept } from "../src/book/records";
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
} from "../src/screens/book/hooks";

const demo = JSON.parse(
  readFileSync("../store/record/demo/pillow-block.json", "utf8"),
) as { docs: Doc[] };
const records = demo.docs.flatMap((d) => readDoc(d) ?? []);

const look = (list: readonly Rec[]): Look => ({
  all: (kind) => list.filter((r) => r.kind === kind),
  get: (id) => list.find((r) => r.id === id),
});
const shop = look(records);
const named = (kind: string, name: string): Rec =>
  records.find((r) => r.kind === kind && text(r, "name").includes(name))!;
const kept = demo.docs.flatMap((d): Kept[] => toKept(d) ?? []);

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
