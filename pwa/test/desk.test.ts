// The office's one headline, and tables that are sorted and copied.
import assert from "node:assert/strict";
import { test } from "node:test";
import { wellOf, type Known } from "../src/office/well";
import { asCells, sorted } from "../src/ui/table";

const now = Date.parse("2026-11-30T12:00:00Z");
const device = (name: string, seen: string): Known["devices"][number] => ({
  id: name,
  name,
  role: "hand",
  paired: "2026-01-01T00:00:00Z",
  seen,
});
const fine: Known = {
  devices: [device("desk", "2026-11-30T11:00:00Z"), device("mill", "2026-11-29T11:00:00Z")],
  look: 0,
  lost: 0,
  copies: 0,
  until: "2027-06-01T00:00:00Z",
  now,
};

test("the office says the one thing that is not well, worst first", () => {
  const says = (change: Partial<Known>) => wellOf({ ...fine, ...change });
  assert.equal(says({}).level, "good");
  assert.equal(says({ look: 2, lost: 3, until: "2026-12-03T00:00:00Z" }).says, "2 records need a look");
  assert.equal(says({ lost: 1 }).says, "1 picture has not come");
  assert.equal(says({ until: "2026-12-03T00:00:00Z" }).says, "Certificate: 2 days left");
  assert.equal(says({ until: "2026-11-01T00:00:00Z" }).level, "refuse");
  const old = device("borer", "2026-11-20T12:00:00Z");
  assert.equal(says({ devices: [...fine.devices, old] }).says, "borer: silent 10 days");
  assert.equal(
    says({ devices: [...fine.devices, { ...old, revoked: "2026-11-21T00:00:00Z" }] }).level,
    "good",
  );
  assert.equal(says({ devices: fine.devices.slice(0, 1) }).at, "let-in");
  assert.deepEqual(
    [says({ copies: 1 }).says, says({ copies: 2 }).at, says({ copies: 1, lost: 1 }).at],
    ["1 copy is not kept up", "copies", "look"],
  );
  for (const look of [1, 99_999]) assert.ok(says({ look }).says.length <= 34);
  const long = device("the phone at the far end of the shop", "2026-01-01T00:00:00Z");
  assert.ok(says({ devices: [long, ...fine.devices] }).says.length <= 34);
});

test("a table sorts by a length's size, not its text, and leaves what is not known last", () => {
  const rows = [
    { key: "a", cells: { name: "A10", x: "1-1/2" }, at: { x: 1.5 } },
    { key: "b", cells: { name: "A9", x: ".75" }, at: { x: 0.75 } },
    { key: "c", cells: { name: "B1", x: undefined }, at: { x: undefined } },
    { key: "d", cells: { name: "A2", x: "12 mm" }, at: { x: 12 / 25.4 } },
  ];
  const order = (by: string, down = false) =>
    sorted(rows, by, down)
      .map((r) => r.key)
      .join("");
  assert.equal(order("name"), "dbac");
  assert.equal(order("x"), "dbac");
  assert.equal(order("x", true), "abdc");
  assert.equal(order(""), "abcd");
});

test("a copied table is cells for a spreadsheet", () => {
  const columns = [
    { key: "name", label: "Place" },
    { key: "why", label: "Why" },
  ];
  const text = asCells(columns, [{ key: "a", cells: { name: "A1", why: "left\tstud,\nbracket" } }]);
  assert.equal(text, "Place\tWhy\nA1\tleft stud, bracket");
});
