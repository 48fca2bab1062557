// Which ways of writing a size are asked about at the first start, by the phone's language.
import assert from "node:assert/strict";
import "./nowindow";
import { test } from "node:test";
import { waysIn } from "../src/start/numbers";

test("asked where the language has millimetres or a decimal comma, and nowhere else", () => {
  const labels = (language: string) => waysIn(language).map((w) => w.label);
  for (const own of ["en-US", "en", "es-US", "en-LR", "", "no such language"])
    assert.deepEqual(labels(own), []);
  for (const all of ["de-DE", "de", "fr-CA", "pl"])
    assert.deepEqual(labels(all), ["12,5 mm", "12.5 mm", "1/2 in"]);
  for (const mm of ["en-GB", "en-AU", "ja-JP", "de-CH"]) assert.deepEqual(labels(mm), ["12.5 mm", "1/2 in"]);
  assert.deepEqual(
    waysIn("de").map((w) => [w.unit, w.comma]),
    [
      ["mm", true],
      ["mm", false],
      ["in", true],
    ],
  );
});
