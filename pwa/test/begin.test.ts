// A new setup: what stands ready to be added passes the rules, what a setup hands on, and what a new
// record asks first.
import assert from "node:assert/strict";
import { test } from "node:test";
import { inherited } from "../src/jobbook/setups";
import { fromStock, likeStock, ofStock, stock, stockId, unmade, type StockKind } from "../src/jobbook/stock";
import { askedFirst, usualFields } from "../src/jobbook/usual";
import { readDoc, text } from "../src/records/fields";
import { call, kinds, makeDoc, type Ask } from "../src/records/rules";
import { chance } from "../src/storage/chance";
import { Pictogram, pictured } from "../src/ui/pictograms";
import { startRules } from "./rules";

const who = { device: "d", by: "", at: "2026-03-02T08:00:00Z", unit: "in" as const };
const make = (ask: Ask, type: string, set: Record<string, unknown>) =>
  makeDoc(ask, { type, ms: 1, chance: chance(20), set, ...who });

test("all that stands ready passes the rules, and is drawn and named before it is made", async () => {
  const ask = await startRules();
  const seen = new Set<string>();
  for (const kind of Object.keys(stock) as StockKind[]) {
    for (const group of stock[kind]) {
      const picture = Pictogram({ name: group.picture }) as unknown as { props: { children: unknown[] } };
      assert.ok(pictured.includes(group.picture) || group.picture === "mill", `${group.key}'s picture`);
      assert.ok(picture.props.children[0], group.key);
      for (const size of group.sizes) {
        const doc = await make(ask, kind, ofStock(group, size));
        const { faults } = await call<{ faults?: unknown[] }>(ask, "check", { doc });
        assert.deepEqual(faults ?? [], [], `${group.key} ${size.name}`);
        const id = stockId(group, size);
        assert.ok(!seen.has(id), id);
        seen.add(id);
        const rec = readDoc({ ...doc })!;
        assert.equal(text(rec, "name"), text(likeStock(kind, id), "name"));
        assert.deepEqual(fromStock(kind, id), ofStock(group, size));
      }
    }
  }
  assert.ok(seen.size > 40);
  assert.equal(likeStock("machine", "machine:x"), undefined);
});

test("a metal that stands ready is one the worksheets know", async () => {
  const ask = await startRules();
  for (const group of stock.material) {
    for (const size of group.sizes) {
      const shop = {
        part: await make(ask, "part", { name: "p", material: "material:m" }),
        material: { ...(await make(ask, "material", ofStock(group, size))), _id: "material:m" },
      };
      const feature = await make(ask, "feature", {
        name: "f",
        kind: "tapped",
        thread: "1/2-13",
        part: shop.part._id,
      });
      const docs = [shop.part, shop.material, feature];
      const given = { worksheet: "engage", feature: feature._id, docs };
      const { inputs } = await call<{ inputs: Record<string, string> }>(ask, "prefill", given);
      const word: Record<string, RegExp> = {
        iron: new RegExp(`^grey${size.name.slice(-2)}$`),
        ductile: new RegExp(`^ductile${size.name.slice(0, 2)}$`),
        steel: size.name === "cast" ? /^caststeel$/ : /^mild$/,
        aluminium: size.name === "6061" ? /^al6061$/ : /^al356$/,
        bronze: /^bronze$/,
      };
      assert.match(inputs["metal"] ?? inputs["hole"] ?? JSON.stringify(inputs), word[group.key]!, size.name);
    }
  }
});

test("a setup hands on what still holds", async () => {
  const all = await kinds(await startRules());
  const kind = all.find((k) => k.key === "setup")!;
  const one = {
    ...unmade("setup", {
      order: "1",
      name: "bore up",
      machine: "machine:m",
      fixture: "fixture:f",
      datum: "centre line, foot",
      indicator: "gauge:g",
      wanted: ".001",
      sign: "toward the spindle",
      stands: "along the table",
      zero: "X 4.000",
      down: "foot",
      notes: "mine",
      state: "done",
    }),
    units: { wanted: "in" },
  };
  const on = { machine: "machine:m", fixture: "fixture:f" };
  const same = inherited(one, kind, "in", on);
  assert.deepEqual(same, {
    indicator: "gauge:g",
    wanted: ".001",
    sign: "toward the spindle",
    stands: "along the table",
    datum: "From 1 bore up: centre line, foot",
  });
  const elsewhere = inherited(one, kind, "mm", { ...on, machine: "machine:n" });
  assert.equal(elsewhere["stands"], undefined, "another machine: it stands anew");
  assert.equal(elsewhere["wanted"], ".001 in", "typed in inches it stays inches");
  const two = unmade("setup", { order: "2", name: "foot up", datum: same["datum"] });
  assert.equal(inherited(two, kind, "in", on)["datum"], same["datum"], "the zero is still that of setup 1");
  assert.deepEqual(inherited(undefined, kind, "in", on), {});
});

test("a new record asks first what is there to be asked, six fields at most beside its needed ones", async () => {
  for (const kind of await kinds(await startRules())) {
    const few = usualFields[kind.key];
    if (!few) continue;
    for (const key of few)
      assert.ok(
        kind.fields.some((f) => f.key === key),
        `${kind.key} ${key}`,
      );
    assert.ok(few.length <= 6);
    const first = askedFirst(kind, kind.fields).map((f) => f.key);
    for (const f of kind.fields) if (f.required) assert.ok(first.includes(f.key), `${kind.key} ${f.key}`);
  }
});
