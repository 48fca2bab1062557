// One bad record stops nothing: thousands of documents of every shape beside good ones, read by the
// phone's reader, its repository, its search and its export, with the rules themselves.
import "fake-indexeddb/auto";
import assert from "node:assert/strict";
import { test, type TestContext } from "node:test";
import idb from "pouchdb-adapter-idb";
import PouchDB from "pouchdb-core";
import { Finder } from "../src/records/finder";
import { current, heads, nameOf, readDoc, rows, text, yes, type Doc, type Rec } from "../src/records/fields";
import { toKept } from "../src/records/kept";
import { asked, changesOf, rowsOf, startOf } from "../src/form/typed";
import { kindOf, Repository } from "../src/records/repository";
import { kinds } from "../src/records/rules";
import { exportRecords, importRecords, rescueRecords } from "../src/records/transfer";
import { fresh, until } from "./office";
import { startRules } from "./rules";

PouchDB.plugin(idb);

const ask = await startRules();

/** Numbers by chance, the same in each run. */
function dice(seed: number) {
  let s = seed;
  const next = () => {
    s = (s + 0x6d2b79f5) | 0;
    let t = Math.imul(s ^ (s >>> 15), 1 | s);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const below = (n: number) => Math.floor(next() * n);
  return { below, one: <T>(list: readonly T[]): T => list[below(list.length)]! };
}
type Dice = ReturnType<typeof dice>;

const nested = (n: number): unknown => (n === 0 ? "x" : [nested(n - 1)]);

function anything(d: Dice, depth = 3): unknown {
  switch (d.below(depth > 0 ? 9 : 5)) {
    case 0:
      return d.one([null, true, false, 0, -0, 1e300, 1e-7, 2, 12345678901234567890]);
    case 1:
    case 2:
      return d.one(["a-1", "a-2", "x", "", "in", "2026-03-09T08:00:00Z", "\u0000", "setup:s", "__proto__"]);
    case 3:
      return d.one([{ id: "a-1", v: "x" }, nested(d.one([5, 98, 200]))]);
    case 4:
      return d.one([{}, []]);
    case 5:
    case 6:
      return Array.from({ length: d.below(4) }, () => anything(d, depth - 1));
    default:
      return Object.fromEntries(
        Array.from({ length: d.below(5) }, () => [
          d.one(["id", "v", "at", "by", "over", "saw", "unit", "row", "axis", "value", "results", "name"]),
          anything(d, depth - 1),
        ]),
      );
  }
}

function edit(d: Dice): unknown {
  if (d.below(5) === 0) return anything(d);
  const more = ["over", "at", "by", "unit", "saw"].filter(() => d.below(3) === 0);
  return {
    id: `a-${d.below(4) + 1}`,
    v: d.below(3) > 0 ? d.one(["x", "y", null, true, { name: "A1", dia: ".5" }]) : anything(d),
    ...Object.fromEntries(
      more.map((key) => [
        key,
        d.below(2) > 0
          ? anything(d)
          : key === "over"
            ? ["a-1", "a-2"]
            : key === "saw"
              ? { name: "a-1" }
              : "mm",
      ]),
    ),
  };
}

let serial = 0;
function oddDoc(d: Dice): Record<string, unknown> {
  const kind = d.one([
    "fixture",
    "machine",
    "setup",
    "reading",
    "kept",
    "step",
    "crane",
    "job",
    "photo",
    "__proto__",
  ]);
  const keys = [
    "name",
    "gone",
    "holes#1",
    "holes",
    "value",
    "setup",
    "kind",
    "order",
    "answer",
    "inputs",
    "#",
    "",
    "x",
  ];
  const f = Object.fromEntries(
    keys
      .filter(() => d.below(3) === 0)
      .map((key) => [
        key,
        d.below(9) === 0 ? anything(d) : Array.from({ length: d.below(4) }, () => edit(d)),
      ]),
  );
  const doc: Record<string, unknown> = {
    _id: `${kind.replaceAll("_", "")}:odd${++serial}`,
    type: kind,
    v: 1,
    f,
  };
  for (const key of ["type", "v", "f"]) if (d.below(9) === 0) doc[key] = anything(d);
  if (d.below(9) === 0) doc["_id"] = `odd${serial}`;
  for (const key of ["also", "worksheet", "inputs", "answer", "created", "device", "demo", "by", "job"]) {
    if (d.below(6) === 0) doc[key] = anything(d);
  }
  for (const key of ["type", "v", "f"]) if (d.below(20) === 0) delete doc[key];
  return doc;
}

/** What a phone's screens ask of a record. */
function shownOf(rec: Rec): void {
  nameOf(rec);
  for (const key of Object.keys(rec.values)) {
    text(rec, key);
    yes(rec, key);
    for (const row of rows(rec, key)) assert.equal(typeof row.row, "string");
  }
  for (const unit of Object.values(rec.units)) assert.equal(typeof unit, "string");
  for (const words of [rec.id, rec.kind, rec.made, rec.changed, rec.by]) assert.equal(typeof words, "string");
}

const good = [
  { _id: "job:good", type: "job", v: 1, f: { name: [{ id: "b-1", v: "pump base" }] } },
  { _id: "fixture:good", type: "fixture", v: 1, f: { name: [{ id: "b-1", v: "angle plate" }] } },
  { _id: "note:good", type: "note", v: 1, f: { text: [{ id: "b-1", v: "beside it" }] } },
];

/** The record whose edit says in a text, not in a list, what it replaces. */
const overText = {
  _id: "fixture:over",
  type: "fixture",
  v: 1,
  f: { name: [{ id: "a-1", v: "x", over: "abc" }] },
};

function phone(t: TestContext) {
  const db = new PouchDB(fresh("odd"), { adapter: "idb" });
  const repo = new Repository({
    db,
    device: "ann",
    ask,
    now: () => new Date("2026-03-09T08:00:00Z"),
    who: () => ({ by: "ann", unit: "in" }),
  });
  t.after(() => repo.close());
  return { db, repo };
}

test("a record whose edit replaces no list is shown, and says that it needs a look", async (t) => {
  const rec = readDoc(overText)!;
  assert.equal(text(rec, "name"), "x");
  assert.equal(rec.odd, true);
  const { db, repo } = phone(t);
  for (const doc of [...good, overText]) await db.put(doc);
  await repo.load("fixture");
  assert.deepEqual(repo.all("fixture").map(nameOf), ["angle plate", "x"]);
  assert.deepEqual(
    repo.strange().map((r) => r.id),
    ["fixture:over"],
  );
  const saved = await rescueRecords(repo, "shop", ["fixture:over"]);
  assert.match(await saved.file.text(), /"over":"abc"/);
  const again = await repo.change(repo.get("fixture:over")!, { name: "typed again", kind: "angle" });
  assert.equal(again.odd, undefined, "typed again over it, it is whole");
  assert.deepEqual(repo.strange(), []);
});

test("whatever shape a document has, reading it never fails", () => {
  const d = dice(1);
  for (let n = 0; n < 6_000; n++) {
    const doc = oddDoc(d);
    const rec = readDoc(doc);
    assert.ok(rec, JSON.stringify(doc));
    assert.equal(rec.id, doc["_id"]);
    shownOf(rec);
    const kept = toKept(doc);
    if (kept) for (const typed of Object.values(kept.inputs)) assert.equal(typeof typed, "string");
    for (const list of [doc["f"], edit(d), anything(d)]) {
      heads(list);
      current(list);
    }
  }
  for (const none of [undefined, null, 5, "x", [], {}, { _id: 5 }, { _id: "" }, { _id: "_design/x" }]) {
    assert.equal(readDoc(none), undefined);
    assert.equal(toKept(none), undefined);
  }
  const poisoned = JSON.parse(
    '{"_id":"fixture:1","type":"fixture","f":{"__proto__":[{"id":"a-1","v":{"name":"x"}}],' +
      '"x":[{"id":"a-2","v":{"__proto__":1}}]}}',
  ) as unknown;
  assert.equal(text(readDoc(poisoned), "name"), "");
});

test("the phone's reader and the rules say the same of every document", async () => {
  const d = dice(2);
  interface View {
    id: string;
    problem?: string;
    gone?: boolean;
    clashes?: string[];
    heads: Rec["heads"];
    values: Record<string, unknown>;
  }
  // Left out: the first flat form, whose edits the rules make, and edits of one id, which the rules
  // put in their order first.
  const once = (f: unknown) =>
    Object.values(Object(f) as object).every((list: unknown) => {
      const ids = heads(list).map((e) => e.id);
      return new Set(ids).size === ids.length;
    });
  const docs = Array.from({ length: 1500 }, () => oddDoc(d)).filter(
    (doc) => doc["worksheet"] === undefined && once(doc["f"]),
  );
  const { views } = JSON.parse(await ask("view", JSON.stringify({ docs }))) as { views: View[] };
  assert.equal(views.length, docs.length);
  let named = 0;
  for (const [i, doc] of docs.entries()) {
    const rec = readDoc(JSON.parse(JSON.stringify(doc)))!;
    const view = views[i]!;
    const says = JSON.stringify(doc);
    const { faults } = JSON.parse(await ask("check", JSON.stringify({ doc }))) as { faults: unknown[] };
    if (view.problem) {
      assert.ok(rec.odd, says);
      continue;
    }
    assert.equal(rec.gone, view.gone ?? false, says);
    assert.deepEqual(rec.clashes, view.clashes ?? [], says);
    assert.deepEqual(rec.heads, view.heads, says);
    for (const key of Object.keys(rec.values)) assert.ok(key in view.values, says);
    if (rec.odd) {
      assert.ok(faults.length > 0, `the check names it: ${says}`);
      named++;
    }
  }
  assert.ok(named > 250, "many of them are odd");
});

test("odd documents on a phone: lists, search, what is written and the way out go on", async (t) => {
  const { db, repo } = phone(t);
  const d = dice(3);
  const odd = Array.from({ length: 200 }, () => oddDoc(d)) as unknown as Doc[];
  await db.bulkDocs([...odd, ...good, overText]);
  const kinds = [
    "job",
    "fixture",
    "note",
    "machine",
    "setup",
    "reading",
    "kept",
    "step",
    "photo",
    "crane",
    "__proto__",
  ];
  for (const kind of kinds) {
    await repo.load(kind);
    for (const rec of repo.all(kind, true)) shownOf(rec);
  }
  assert.equal(text(repo.get("fixture:good"), "name"), "angle plate");
  let walked = 0;
  await repo.walk((docs) => void (walked += docs.length));
  assert.equal(walked, odd.length + good.length + 1, "none is passed over");
  const strange = new Set(repo.strange().map((r) => r.id));
  for (const doc of odd) {
    const rec = readDoc(doc)!;
    assert.equal(strange.has(rec.id), !!rec.odd && !rec.gone, rec.id);
  }

  const finder = new Finder(repo, 0);
  await finder.start();
  assert.equal(finder.fault, "");
  assert.ok(finder.whole);
  const { hits } = await finder.find({ query: "angle plate", unit: "in" });
  assert.ok(hits.some((h) => h.id === "fixture:good"));

  const { file, records } = await exportRecords(repo, "shop", new Date());
  assert.equal(records, walked, "each goes into the file");
  const out = JSON.parse(await file.text()) as { docs: Doc[] };
  assert.deepEqual(
    new Set(out.docs.map((x) => x._id)),
    new Set([...odd, ...good, overText].map((x) => x._id)),
  );
  await exportRecords(repo, "shop", new Date(), "job:good");

  const other = phone(t);
  const report = await importRecords(other.repo, file);
  assert.equal(report.added + report.refused.length, records, "each is taken or named");
  for (const { field } of [...report.refused, ...report.look]) assert.ok(field);
  assert.ok(report.look.some((r) => r.field === "fixture:over" && /cannot be read/.test(r.message)));
  await other.repo.load("note");
  assert.equal(text(other.repo.get("note:good"), "text"), "beside it");

  // Each can be deleted: by the rules where they know it, else for good.
  for (const doc of odd.slice(0, 100)) {
    const rec = readDoc(doc)!;
    await repo.erase(rec.id, () => true);
    assert.equal(repo.get(rec.id), undefined);
    assert.ok(!repo.strange().some((r) => r.id === rec.id));
  }
});

test("copies that cannot be joined say so, are both kept, and are tried again", async (t) => {
  const db = new PouchDB(fresh("odd"), { adapter: "idb" });
  let broken = true;
  const repo = new Repository({
    db,
    device: "ann",
    ask: (op, json) =>
      op === "merge" && broken ? Promise.reject(new Error("the rules rest")) : ask(op, json),
    now: () => new Date(),
    who: () => ({ by: "ann", unit: "in" }),
    again: 20,
  });
  t.after(() => repo.close());
  const f = (id: string, v: string) => ({ text: [{ id, v }] });
  const base = { _id: "note:1", type: "note", v: 1 };
  for (const [rev, id] of [
    ["1-a", "a-1"],
    ["1-b", "b-1"],
  ] as const) {
    const doc = { ...base, _rev: rev, f: f(id, id) };
    await db.bulkDocs([doc], { new_edits: false });
  }
  await repo.load("note");
  await until("it says so", () => repo.whyApart("note:1") !== "");
  assert.deepEqual(
    repo.strange().map((r) => r.id),
    ["note:1"],
  );
  assert.match(repo.whyApart("note:1"), /the rules rest/);
  assert.equal((await db.get<Doc>("note:1", { conflicts: true }))._conflicts?.length, 1);
  broken = false;
  await until("joined", () => repo.whyApart("note:1") === "");
  assert.deepEqual(repo.get("note:1")?.clashes, ["text"]);
  assert.deepEqual(repo.strange(), []);
  assert.equal(kindOf("note:1"), "note");
});

test("the form of a record whose tables hold anything at all opens with the rows that can be read", async () => {
  const all = await kinds(ask);
  const d = dice(5);
  const table = { v: [null, 5, "x", [1], {}, { row: 5 }, { row: "0001-a", name: "A1", unit: 5 }] };
  for (const kind of all) {
    for (let n = 0; n < 40; n++) {
      const f = Object.fromEntries(
        kind.fields.flatMap((field, i) =>
          n === 0
            ? [[field.key, [{ id: `a-${i + 1}`, ...table }]]]
            : [
                [field.key, [{ id: `a-${i + 1}`, v: anything(d) }]],
                [`${field.key}#0001-b`, [{ id: `b-${i + 1}`, v: anything(d) }]],
              ],
        ),
      );
      const rec = readDoc({ _id: `${kind.key}:1`, type: kind.key, v: 1, f });
      const start = startOf(kind, rec, {}, "in");
      assert.deepEqual(changesOf(kind, start, start), {}, kind.key);
      for (const field of n === 0 ? asked(kind) : []) {
        if (field.kind !== "table") continue;
        assert.deepEqual(
          rowsOf(field, start[field.key]!).map((r) => r.row),
          ["0001-a"],
          `${kind.key} ${field.key}`,
        );
      }
    }
  }
});
