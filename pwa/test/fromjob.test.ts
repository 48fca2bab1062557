// What a worksheet takes from the job, and what Keep writes into it.
import "./nowindow";
import "fake-indexeddb/auto";
import assert from "node:assert/strict";
import { test, type TestContext } from "node:test";
import idb from "pouchdb-adapter-idb";
import PouchDB from "pouchdb-core";
import type { Answer, Describe, Field, Page } from "../src/engine/contract.gen";
import { pack } from "../src/engine/protocol";
import { prefillAll } from "../src/jobbook/prefill";
import { dials, offers, writeBack } from "../src/jobbook/keeping";
import { bare } from "../src/page/bare";
import { habitsOf, rememberHabits } from "../src/page/habit-inputs";
import { firstOf, takenOf, type Job } from "../src/page/use-job";
import { rows, text, type Rec } from "../src/records/fields";
import { Repository } from "../src/records/repository";
import type { Keeping, Prefill } from "../src/screen/load";
import { findRunning } from "../src/screen/running";
import { startCalc } from "./rules";

PouchDB.plugin(idb);

const { ask, run } = await startCalc();
let shops = 0;

/** A shop with a setup that runs. */
async function shop(t: TestContext) {
  const repo = new Repository({
    db: new PouchDB(`fromjob${shops++}`, { adapter: "idb" }),
    device: "ann",
    ask,
    now: () => new Date("2026-03-10T08:00:00Z"),
    who: () => ({ by: "ann", unit: "in" }),
  });
  t.after(() => repo.close());
  const id: Record<string, string> = {};
  const make = async (kind: string, set: Record<string, unknown>) =>
    (id[kind] = (await repo.make(kind, set)).id);
  await make("job", { name: "bracket" });
  await make("part", { name: "bracket", job: id["job"], weight: "120", long: "12", wide: "5", high: "8" });
  await make("feature", {
    name: "bore",
    part: id["part"],
    kind: "bore",
    nominal: "2",
    plus: ".001",
    minus: "0",
  });
  await make("fixture", { name: "plate", kind: "angle", thick: "1-1/4", high: "14" });
  await make("machine", { name: "mill", kind: "mill" });
  await make("setup", {
    name: "hung",
    state: "running",
    job: id["job"],
    part: id["part"],
    fixture: id["fixture"],
    machine: id["machine"],
    expected: [
      { station: "left", x: "0", value: "0" },
      { station: "right", x: "12", value: "+1" },
    ],
  });
  await make("step", {
    name: "bore it",
    order: "1",
    setup: id["setup"],
    feature: id["feature"],
    worksheet: "centre",
  });
  const answer = (sheet: string, inputs: Record<string, string>, unit: "in" | "mm" = "in"): Answer => {
    const said = run(sheet, unit, pack(inputs));
    const out = JSON.parse(said) as Answer;
    assert.ok(out.results, said);
    return out;
  };
  const keeping = async (sheet: string, typed: Record<string, string>): Promise<Keeping> => {
    const taken = (await prefillAll(repo, [sheet], id["step"]!)).takes[sheet]!;
    const inputs = { ...taken.inputs, ...typed };
    return { answer: answer(sheet, inputs), unit: "in", inputs, taken };
  };
  const now = (kind: string): Rec => repo.get(id[kind]!)!;
  return { repo, id, keeping, now };
}

test("a worksheet is opened from the step that asks for it, else from the next one", async (t) => {
  const { repo, id, now } = await shop(t);
  const later = await repo.make("step", {
    name: "weigh it",
    setup: id["setup"],
    order: "9",
    worksheet: "weigh",
  });
  assert.equal(await findRunning(repo, ["hole"]), id["step"]);
  assert.equal(await findRunning(repo, ["weigh"]), later.id);
  await repo.change(later, { done: true });
  await repo.change(now("step"), { done: true });
  assert.equal(await findRunning(repo, ["hole"]), id["setup"], "nothing is open");
  await repo.change(now("setup"), { state: "done" });
  assert.equal(await findRunning(repo, ["hole"]), "");
});

test("readings of a line go to their places; those that the setup gave are not taken twice", async (t) => {
  const { repo, id, keeping } = await shop(t);
  assert.equal(
    (await prefillAll(repo, ["tram"], id["setup"]!)).takes["tram"]!.inputs["readings"],
    "0 in, ; 12 in, ",
  );
  const first = await writeBack(repo, await keeping("tram", { readings: "0, 0; 6, .5 thou; 12, 2 thou" }));
  assert.equal(first.what, "3 readings");
  const said = () =>
    repo
      .all("reading")
      .map((r) => `${text(r, "station")} ${text(r, "x")} ${text(r, "value")} ${text(r, "kind")}`);
  assert.deepEqual(said().sort(), [
    "left 0 in 0 thou before",
    "middle 6 in +0.5 thou before",
    "right 12 in +2 thou before",
  ]);
  const again = await keeping("tram", {});
  assert.equal((await writeBack(repo, again)).what, "", "all of them are there");
  const more = await writeBack(repo, {
    ...(await keeping("tram", { readings: "0 in, 0 thou; 12 in, 1 thou; 6 in, +0.5 thou" })),
  });
  assert.equal(more.what, "1 reading");
  await more.undo();
  await first.undo();
  assert.deepEqual(said(), []);
});

test("speed and feed, weight and balance, shims and zero are written; Undo leaves what was changed since", async (t) => {
  const { repo, keeping, now } = await shop(t);
  const speed = await writeBack(
    repo,
    await keeping("speed", { op: "facemill", dia: "4", teeth: "6", speeds: "80, 135", feeds: "2, 4" }),
  );
  assert.equal(speed.what, "speed and feed");
  assert.deepEqual([text(now("step"), "spin"), text(now("step"), "feed")], ["80 rpm", "2 in/min"]);
  await repo.change(now("step"), { feed: "3 in/min" });
  await speed.undo();
  assert.deepEqual([text(now("step"), "spin"), text(now("step"), "feed")], ["", "3 in/min"]);

  const weigh = await writeBack(repo, await keeping("weigh", { metal: "grey" }));
  assert.equal(weigh.what, "weight and balance");
  assert.deepEqual([text(now("part"), "balx"), text(now("part"), "balz")], ["6.0 in", "4.0 in"]);
  assert.notEqual(text(now("part"), "weight"), "120");
  await weigh.undo();
  assert.deepEqual([text(now("part"), "weight"), text(now("part"), "balx")], ["120", ""]);

  const shim = await writeBack(repo, await keeping("shim", { readings: "2, 0, .004; 8, 0, .002; 14, 0, 0" }));
  assert.equal(shim.what, "shims");
  assert.deepEqual(
    rows(now("setup"), "shims").map((r) => [r["place"], r["thick"]]),
    [["14 in", "0.004 in"]],
  );
  await shim.undo();
  assert.deepEqual(rows(now("setup"), "shims"), []);

  const zero = await writeBack(repo, await keeping("edge", { side: "left", tip: ".2", reads: "3.4172" }));
  assert.equal(zero.what, "zero");
  const first = text(now("setup"), "zero");
  assert.match(first, /-\.1/);
  // Another way does not take the first one's dials away; the same one read again is put right.
  await writeBack(repo, await keeping("edge", { side: "back", tip: ".2", reads: "1.25" }));
  assert.equal(text(now("setup"), "zero"), `${first}; bore: Touching: set Y to .1000`);
  await writeBack(repo, await keeping("edge", { side: "back", tip: ".5", reads: "1.25" }));
  assert.equal(text(now("setup"), "zero"), `${first}; bore: Touching: set Y to .2500`);
  assert.equal(dials("by hand; bore: X 1", "slot", "Y 3"), "by hand; bore: X 1; slot: Y 3");
  assert.equal(dials("a long one; short", "", "new", 12), "short; new", "the oldest gives way");
});

test("a size goes to its feature with its doubt; what says stop writes nothing", async (t) => {
  const { repo, keeping, now } = await shop(t);
  const k = await keeping("accept", { size: "2.0005", unsure: ".0002" });
  assert.equal((await writeBack(repo, k)).what, "1 reading");
  const [read] = repo.all("reading");
  assert.deepEqual(
    ["kind", "value", "unsure", "station"].map((key) => text(read, key)),
    ["size", "2.0005 in", "0.0002 in", "bore"],
  );
  assert.equal(text(read, "feature"), now("feature").id);
  const far = await keeping("accept", { size: "2.5", unsure: ".0002" });
  assert.equal(far.answer.mark, "stop");
  assert.equal((await writeBack(repo, far)).what, "");
});

test("a hole for the plate is offered, one of the part is not", async (t) => {
  const { repo, id, keeping } = await shop(t);
  assert.equal(offers(repo, await keeping("hole", { thread: "3/8-16" })), true);
  const tapped = await repo.make("feature", {
    name: "cover",
    part: id["part"],
    kind: "tapped",
    thread: "3/8-16",
    depth: "1",
  });
  await repo.change(repo.get(id["step"]!)!, { feature: tapped.id });
  assert.equal(offers(repo, await keeping("hole", { stock: "2" })), false);
});

const page: Page = {
  name: "a",
  title: "A",
  stages: [],
  ways: [
    { sheet: "a", chip: "A", boxes: "", habit: "metal tap" },
    { sheet: "b", chip: "", boxes: "", when: "picks", habit: "metal" },
  ],
};

test("a page takes what the job gives each of its worksheets, and begins with what is next", () => {
  const inputs = (...keys: string[]) => keys.map((key) => ({ key }));
  const worksheets = [
    { name: "a", inputs: inputs("one", "both") },
    { name: "b", inputs: inputs("both", "two", "picks") },
  ];
  const describe = { worksheets } as unknown as Describe;
  const takes = (of: Record<string, string>): Prefill => ({
    inputs: of,
    from: of,
    links: {},
    at: {},
    job: "",
  });
  const given = { a: takes({ one: "1", both: "a" }), b: takes({ both: "b", two: "2", picks: "p" }) };
  const job = { id: "setup:1", takes: given, best: "" } as unknown as Job;
  assert.deepEqual(takenOf(describe, page, "a", job, "in").inputs, {
    one: "1",
    both: "a",
    two: "2",
    picks: "p",
  });
  assert.deepEqual(takenOf(describe, page, "b", job, "in").inputs, {
    one: "1",
    both: "b",
    two: "2",
    picks: "p",
  });
  const next = { ...job, best: "b" };
  assert.equal(firstOf(page, "a", next), "b");
  assert.equal(takenOf(describe, page, "a", next, "in").inputs["both"], "b");
  assert.equal(firstOf(page, "b", { ...job, best: "a" }), "b", "what was asked for by its name");
});

test("a number from the job says its unit only where that is another than the page's", () => {
  const length = { units: { in: "in", mm: "mm" } };
  const reading = { units: { in: "thou", mm: "um" } };
  const say = (f: object, text: string, unit: "in" | "mm" = "in") => bare(f as Field, text, unit);
  assert.equal(say({ kind: "length", ...length }, "1-3/4 in"), "1-3/4");
  assert.equal(say({ kind: "length", ...length }, "4.000 in-.001 in"), "4.000-.001");
  assert.equal(say({ kind: "length", ...length }, "19.05mm"), "19.05mm");
  assert.equal(say({ kind: "length", ...length }, "19.05mm", "mm"), "19.05");
  assert.equal(
    say({ kind: "length", ...length }, "3/4 in+15 thou"),
    "3/4 in+15 thou",
    "one of them is another",
  );
  assert.equal(say({ kind: "thread" }, "1/2-13"), "1/2-13");
  assert.equal(say({ kind: "feed", units: { in: "in/min", mm: "mm/min" } }, "2.5 in/min"), "2.5");
  assert.equal(say({ kind: "length", ...length }, "2.5 in/min"), "2.5 in/min");
  const table = { kind: "table", columns: [length, reading] };
  assert.equal(say(table, "0 in, +1 thou; 300 mm, "), "0,+1; 300 mm,");
});

test("what a page is said to remember stands there the next time", (t) => {
  const store = new Map<string, string>();
  const value = {
    getItem: (key: string) => store.get(key) ?? null,
    setItem: (key: string, text: string) => void store.set(key, text),
  };
  Object.defineProperty(globalThis, "localStorage", { value, configurable: true });
  t.after(() => Object.defineProperty(globalThis, "localStorage", { value: undefined, configurable: true }));
  assert.deepEqual(habitsOf(page, []), {});
  rememberHabits(page, [], { metal: "steel", tap: "", thread: "3/8-16" });
  assert.deepEqual(habitsOf(page, []), { metal: "steel" });
  rememberHabits(page, [], { tap: "plug" });
  assert.deepEqual(habitsOf(page, []), { tap: "plug" });
});
