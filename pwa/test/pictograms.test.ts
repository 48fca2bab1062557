// A picture for every stage, kind of record, state and page, each in paths a browser reads.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Pictogram, pictured } from "../src/ui/pictograms";

const words = (text: string) => text.split(" ");
const stages = words("holes line where reach hold cut lift fits bench");
const kinds = words("machine fixture cutter gauge material part job setup reading photo note");
const states = words("good careful stop noted waiting going office unreachable two trouble");

interface Drawn {
  props: { class: string; children: ({ props: { d: string } } | "" | undefined)[] };
}
const drawn = (name: string, or?: string) =>
  (Pictogram({ name, ...(or !== undefined && { or }) }) as unknown as Drawn).props.children.flatMap((c) =>
    c ? [c.props.d] : [],
  );

test("every stage, kind and state has a picture of its own", () => {
  const all = [...stages, ...kinds, ...states];
  for (const name of all) assert.ok(pictured.includes(name), name);
  assert.equal(new Set(pictured.map((name) => drawn(name).join())).size, pictured.length);
});

test("each is two strokes at least, of paths only", () => {
  for (const name of pictured) {
    const strokes = drawn(name);
    assert.ok(strokes.length >= 2, name);
    for (const d of strokes) assert.match(d, /^M[-\d.MmLlHhVvAaZz ]+$/, name);
  }
});

test("what has no picture of its own shows its stage's", () => {
  assert.deepEqual(drawn("tram"), drawn("line"));
  assert.deepEqual(drawn("no page", "hold"), drawn("hold"));
  assert.deepEqual(drawn("no page"), [""]);
});
