// No silent overwrite: an edit covers what its screen showed, a deletion hides what it saw. Two
// phones, and two tabs over one store, with the rules themselves.
import "fake-indexeddb/auto";
import assert from "node:assert/strict";
import { test, type TestContext } from "node:test";
import idb from "pouchdb-adapter-idb";
import PouchDB from "pouchdb-core";
import { readDoc, rows, text, type Doc, type Rec } from "../src/records/fields";
import { Repository } from "../src/records/repository";
import { changesOf, startOf } from "../src/form/typed";
import { keepShown, shownIn } from "../src/jobbook/shown";
import { meet } from "./meet";
import { fresh } from "./office";
import { startRules } from "./rules";

PouchDB.plugin(idb);

const ask = await startRules();

function tab(t: TestContext, device: string, name = fresh(device)) {
  const db = new PouchDB(name, { adapter: "idb" });
  const repo = new Repository({
    db,
    device,
    ask,
    now: () => new Date("2026-03-10T08:00:00Z"),
    who: () => ({ by: device, unit: "in" }),
  });
  t.after(() => repo.close());
  return { db, repo, name };
}
type Tab = ReturnType<typeof tab>;

const stored = async ({ db }: Tab, id: string): Promise<Rec> => readDoc(await db.get<Doc>(id))!;

async function join(a: Tab, b: Tab, id: string): Promise<void> {
  for (let round = 0; round < 3; round++) {
    await meet(a.db, b.db);
    await Promise.all([a.repo.resolve(id), b.repo.resolve(id)]);
  }
}

const plate = { name: "plate", kind: "angle", thick: "1-3/4" };

test("two tabs of one phone: what the other saved meanwhile is not covered", async (t) => {
  const a = tab(t, "ann");
  const b = tab(t, "ann", a.name);
  const open = await a.repo.make("fixture", plate);
  const theirs = await b.repo.change(open, { thick: "1.748" });
  assert.deepEqual(theirs.met, []);
  const mine = await a.repo.change(open, { thick: "1.75", tag: "AP2" });
  assert.deepEqual(mine.met, ["thick"], "and it is told");
  assert.deepEqual(mine.clashes, ["thick"]);
  const toChoose = ({ repo }: Tab) => repo.unsettled().map(({ id }) => id);
  assert.deepEqual(toChoose(a), [open.id], "and is on the list of what is to be chosen");
  const [clash] = await b.repo.clashes(open.id);
  assert.deepEqual(clash?.values.map((v) => v.v).sort(), ["1.748", "1.75"]);

  // A choice covers exactly the values that stood there.
  const late = await b.repo.change(mine, { thick: "1.9" });
  assert.deepEqual(late.clashes, []);
  assert.deepEqual(toChoose(b), []);
  const shown = { id: open.id, heads: { thick: clash.seen }, clashes: ["thick"] };
  const chosen = await a.repo.change(shown, { thick: "1.748" });
  assert.deepEqual(chosen.met, ["thick"]);
  assert.deepEqual(chosen.clashes, ["thick"]);
});

test("a choice is taken back: all that stood against each other stands again, by who wrote it", async (t) => {
  const a = tab(t, "ann");
  const b = tab(t, "bob", a.name);
  const open = await a.repo.make("fixture", { ...plate, holes: [{ name: "A2", depth: "1" }] });
  const row = `holes#${(open.values["holes"] as { row: string }[])[0]!.row}`;
  for (const [field, one, other] of [
    ["thick", "1.03", "1.30"],
    ["tag", null, "B7"],
    [row, { name: "A2", depth: "1.03" }, { name: "A2", depth: "1.30", why: "stud" }],
  ] as const) {
    if (field === "tag") await a.repo.change(a.repo.get(open.id)!, { tag: "A1" });
    const shown = (await a.repo.doc(open.id)) && a.repo.get(open.id)!;
    await a.repo.change(shown!, { [field]: one });
    const both = await b.repo.change(shown!, { [field]: other });
    assert.deepEqual(both.clashes, [field]);
    const told = async () => {
      const [clash] = await a.repo.clashes(open.id);
      return clash!;
    };
    const before = await told();
    const whose = (c: typeof before) =>
      c.values.map((v) => JSON.stringify([v.v, v.by, v.at, v.wrote])).sort();
    for (const side of before.values) {
      const chosen = await a.repo.choose(
        both,
        await told(),
        (await told()).values.find((v) => String(JSON.stringify(v.v)) === JSON.stringify(side.v))!,
      );
      assert.deepEqual(chosen.clashes, [], "chosen");
      await a.repo.unchoose(both, before, side);
      assert.deepEqual(a.repo.get(open.id)!.clashes, [field], "and taken back");
      assert.deepEqual(whose(await told()), whose(before), "as it was written, by whom and when");
    }
    const now = await told();
    assert.deepEqual((await a.repo.choose(a.repo.get(open.id)!, now, now.values[0]!)).clashes, []);
  }
});

test("a deletion against a change is taken back as well", async (t) => {
  const a = tab(t, "ann");
  const b = tab(t, "bob", a.name);
  for (const drop of [true, false]) {
    const open = await a.repo.make("fixture", plate);
    await a.repo.remove(open);
    const both = await b.repo.change(open, { notes: "feet scraped" });
    assert.deepEqual(both.clashes, ["gone"]);
    const [clash] = await b.repo.clashes(open.id);
    const side = clash!.values.find((v) => (v.v === true) === drop)!;
    const chosen = await b.repo.choose(both, clash!, side);
    assert.deepEqual([chosen.gone, chosen.clashes], [drop, []]);
    await b.repo.unchoose(both, clash!, side);
    const now = b.repo.get(open.id)!;
    assert.deepEqual([now.gone, now.clashes, now.values["notes"]], [false, ["gone"], "feet scraped"]);
  }
});

test("both tabs save in one moment: one after the other, and both values stand", async (t) => {
  const a = tab(t, "ann");
  const b = tab(t, "ann", a.name);
  const open = await a.repo.make("fixture", plate);
  await Promise.all([a.repo.change(open, { thick: "1" }), b.repo.change(open, { thick: "2" })]);
  const [clash] = await a.repo.clashes(open.id);
  assert.deepEqual(clash?.values.map((v) => v.v).sort(), ["1", "2"]);
});

test("what a form did not touch is no entry, and says nothing of a clash", async (t) => {
  const a = tab(t, "ann");
  const hole = (name: string, dia: string) => ({ name, kind: "dowel", dia });
  const open = await a.repo.make(
    "fixture",
    { ...plate, thick: "44", holes: [hole("A", "5"), hole("B", "5")] },
    { unit: "mm" },
  );
  const fixture = (await a.repo.kinds()).find((k) => k.key === "fixture")!;
  const before = startOf(fixture, open, {}, "in");
  const table = before["holes"];
  assert.ok(Array.isArray(table));
  const now = {
    ...before,
    holes: table.map((r, i) => (i === 1 ? { ...r, cells: { ...r.cells, dia: ".2" } } : r)),
  };
  const set = changesOf(fixture, before, now);
  const first = rows(open, "holes")[0]!.row;
  const other = await a.repo.change(open, { [`holes#${first}`]: hole("A", "5.1") }, "mm");
  assert.deepEqual(other.met, []);
  const saved = await a.repo.change(open, set, "in");
  assert.deepEqual(saved.met, []);
  assert.deepEqual(saved.clashes, []);
  assert.deepEqual(
    rows(saved, "holes").map((r) => [r["dia"], r.unit]),
    [
      ["5.1", "mm"],
      [".2", "in"],
    ],
  );
});

test("a tick covers what the list showed, and its Undo covers the tick", async (t) => {
  const a = tab(t, "ann");
  const b = tab(t, "ann", a.name);
  const step = await a.repo.make("step", { name: "face", setup: "setup:1" });
  const mine = await a.repo.change(step, { done: true, who: "ann" });
  const same = await b.repo.change(step, { done: true, who: "bob" });
  assert.deepEqual(same.met, ["who"], "ticked in both, by two");
  const undone = await a.repo.change(mine, { done: null });
  assert.deepEqual(undone.clashes, ["who"]);
  assert.equal(undone.values["done"], undefined);
});

test("what a draft showed is kept with it", async (t) => {
  const a = tab(t, "ann");
  const open = await a.repo.make("fixture", plate);
  const draft = keepShown(open);
  await a.repo.change(open, { thick: "1.748" });
  const saved = await a.repo.change(shownIn(open.id, draft)!, { thick: "1.75" });
  assert.deepEqual(saved.met, ["thick"]);
  for (const more of [undefined, "{", "null", '{"heads":null}']) {
    assert.equal(shownIn(open.id, more === undefined ? {} : { shown: more }), undefined);
  }
});

test("a deletion here and a change there: the record is shown, and one chooses", async (t) => {
  for (const choice of [null, true]) {
    const a = tab(t, "ann");
    const b = tab(t, "bob");
    const open = await a.repo.make("fixture", plate);
    await join(a, b, open.id);
    const gone = await a.repo.remove(open);
    assert.equal(gone.gone, true);
    await b.repo.change(await stored(b, open.id), { thick: "1.748" });
    await join(a, b, open.id);
    for (const one of [a, b]) {
      const rec = await stored(one, open.id);
      assert.equal(rec.gone, false);
      assert.deepEqual(rec.clashes, ["gone"]);
      assert.equal(text(rec, "thick"), "1.748");
      const [clash] = await one.repo.clashes(open.id);
      assert.deepEqual(
        clash?.values.map((v) => [v.v, v.by]),
        [
          [true, "ann"],
          [null, "bob"],
        ],
      );
    }
    const chosen = await b.repo.change(await stored(b, open.id), { gone: choice });
    assert.deepEqual([chosen.gone, chosen.clashes], [choice === true, []]);
    await join(a, b, open.id);
    assert.deepEqual(await stored(a, open.id), await stored(b, open.id));
    assert.equal((await stored(a, open.id)).gone, choice === true);
  }
});

test("a change to a record that was deleted in another tab is told of", async (t) => {
  const a = tab(t, "ann");
  const b = tab(t, "ann", a.name);
  const open = await a.repo.make("fixture", plate);
  await b.repo.remove(open);
  const saved = await a.repo.change(open, { thick: "1.75" });
  assert.deepEqual([saved.met, saved.gone, saved.clashes], [["gone"], false, ["gone"]]);
  // Deleted with a form open elsewhere that changed it before: the deletion did not see that.
  const two = await a.repo.make("fixture", plate);
  await a.repo.change(two, { thick: "1.75" });
  const gone = await b.repo.remove(two);
  assert.deepEqual([gone.met, gone.gone], [["gone"], false]);
});

test("a record erased for good here and changed there stays, and joining does not delete it", async (t) => {
  const a = tab(t, "ann");
  const b = tab(t, "bob");
  const open = await a.repo.make("fixture", plate);
  await join(a, b, open.id);
  assert.equal(await a.repo.erase(open.id, (doc) => doc._rev !== undefined), true);
  assert.equal(a.repo.get(open.id), undefined);
  await b.repo.change(await stored(b, open.id), { thick: "1.748" });
  await join(a, b, open.id);
  await join(a, b, open.id);
  for (const one of [a, b]) {
    const rec = await stored(one, open.id);
    assert.deepEqual([rec.gone, text(rec, "thick")], [false, "1.748"]);
    one.repo.arrived(await one.db.get<Doc>(open.id, { conflicts: true }), open.id, false);
    assert.equal(text(one.repo.get(open.id), "thick"), "1.748");
  }

  // One that is no longer as the list showed it is not erased.
  const note = await a.repo.make("note", { text: "one" });
  const gone = await a.repo.remove(note);
  await a.repo.restore(gone);
  assert.equal(await a.repo.erase(note.id, (doc) => !!readDoc(doc)?.gone), false);
  assert.equal(text(a.repo.get(note.id), "text"), "one");
});

test("the first flat kept results: a change of one covers it, and one that came meanwhile stays", async (t) => {
  const a = tab(t, "ann");
  const flat = {
    _id: "kept:20260309T080000123Z-a1-x",
    type: "kept",
    job: "pump",
    worksheet: "hole",
    unit: "in",
    inputs: { thread: "5/8-11" },
    answer: { worksheet: "hole", results: {}, cautions: [] },
    note: "first",
    created: "2026-03-09T08:00:00Z",
  };
  await a.db.put(flat);
  const open = await stored(a, flat._id);
  const one = await a.repo.change(open, { note: "second" });
  assert.deepEqual([one.met, one.clashes], [[], []]);
  const two = await a.repo.change(open, { note: "third" });
  assert.deepEqual(two.met, ["note"]);
  const gone = await a.repo.remove(two);
  assert.deepEqual([gone.gone, gone.met], [true, []]);

  await a.db.put({ ...flat, _id: "kept:20260309T080000123Z-a1-y" });
  const away = await a.repo.remove(await stored(a, "kept:20260309T080000123Z-a1-y"));
  assert.deepEqual([away.gone, away.met], [true, []], "deleted as it was");
});

test("what this version writes, the version before reads: a deletion is one, and keeps what it saw", async (t) => {
  const a = tab(t, "ann");
  const open = await a.repo.make("fixture", plate);
  await a.repo.remove(open);
  const doc = await a.db.get<Doc>(open.id);
  const gone = doc.f!["gone"]!.at(-1)!;
  assert.deepEqual(gone.saw, { ...open.heads, "*": [] });
  assert.deepEqual([gone.v, gone.over], [true, undefined]);
});

test("what was added below a record that another phone deleted is told of; what it knew of is not", async (t) => {
  const a = tab(t, "ann");
  const b = tab(t, "bob");
  const setup = await a.repo.make("setup", { name: "first face" });
  const known = await a.repo.make("note", { about: setup.id, text: "mind the core hole" });
  await join(a, b, setup.id);
  const other = await b.repo.make("reading", { setup: setup.id, kind: "check", station: "1", value: "2" });
  const note = await b.repo.make("note", { about: setup.id, text: "the plate rocks" });
  await a.repo.remove(await stored(a, setup.id));
  await join(a, b, setup.id);
  const later = [tab(t, "ann", a.name), tab(t, "bob", b.name)] as const; // as after a new start
  for (const { repo } of later) {
    await Promise.all(["setup", "note", "reading"].map((kind) => repo.load(kind)));
    assert.equal(repo.get(setup.id)?.gone, true);
    assert.deepEqual(
      repo
        .stranded()
        .map((r) => r.id)
        .sort(),
      [other.id, note.id].sort(),
      "and not the note that was known",
    );
  }
  // Brought back, it is nobody's trouble any more; deleted knowingly, neither.
  const { repo } = later[1];
  const back = await repo.restore(await stored(b, setup.id));
  assert.deepEqual(repo.stranded(), []);
  await repo.remove(back);
  assert.deepEqual(repo.stranded(), []);
  assert.ok(repo.get(known.id));
});
