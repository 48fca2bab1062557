// What a new record asks first, by kind: beside what it cannot be without, the few fields that are
// known when it is written down. All others stand behind More. A kind that is not here asks all.
import type { Field, RecordKind } from "../engine/contract.gen";

export const usualFields: Record<string, readonly string[]> = {
  job: ["words", "customer", "drawing", "due"],
  part: ["material", "long", "wide", "high", "weight"],
  feature: ["face", "x", "y", "nominal", "thread", "depth"],
  step: ["worksheet", "feature", "tool", "notes"],
  machine: ["tag", "axes", "tablelong", "tablewide", "daylight"],
  fixture: ["tag", "long", "wide", "high", "thick"],
  tool: ["diameter", "thread", "teeth", "flute", "stickout"],
  gauge: ["graduation", "range", "tip", "unsure"],
  set: ["sizes", "place"],
  material: ["metal", "grade", "hardness", "tensile"],
};

/** The fields that are asked first of those that a form has. */
export function askedFirst(kind: RecordKind, fields: readonly Field[]): readonly Field[] {
  const few = usualFields[kind.key];
  return few ? fields.filter((f) => f.required || few.includes(f.key)) : fields;
}
