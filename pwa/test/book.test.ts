import "fake-indexeddb/auto";
import assert from "node:assert/strict";
import { test } from "node:test";
import { openBook, type Book, type BookOptions } from "../src/records/open";
import type { Kept, NewPlan } from "../src/records/kept";
import type { Office } from "../src/sync/sync";
import { fresh, TestOffice, until, type Pushed } from "./office";
import { startRules } from "./rules";

/** An invented plan: the book does not read answers. */
function plan(job: string, depth = "3/4"): NewPlan {
  return {
    job,
    worksheet: "hole",
    unit: "in",
    inputs: { thread: "5/8-11", depth },
    answer: {
      worksheet: "hole",
      inputs: {},
      results: {},
      lines: [],
      mark: "good",
      headline: "",
      cautions: [],
      sources: [],
    },
  };
}

const ask = await startRules();

async function open(name: string, office: Office, options: BookOptions = {}): Promise<Book> {
  return openBook(name, { office, ask, firstWait: 20, longestWait: 60, settle: 5, ...options });
}

/** Waits out what may still be under way, for checks that something stays as it is. */
const settle = () => new Promise((done) => setTimeout(done, 150));

const atOffice = (book: Book) =>
  until("at the office", () => book.sync.kind === "office" && !book.sync.moving);

test("a kept plan is there at once, and after closing and opening again", async () => {
  const name = fresh("book");
  const away = new TestOffice();
  away.up = false;
  let book = await open(name, away);
  let told = 0;
  book.watch(() => told++);
  const kept = await book.keep(plan("Gear case"));
  await book.keep({ ...plan("Gear case"), note: "second" });
  await book.keep(plan("Bed plate"));
  assert.deepEqual(await book.get(kept._id), kept);
  await until("told of three", () => told === 3);
  await book.close();

  const device = book.device;
  book = await open(name, away);
  assert.equal(book.device, device, "the device's name stays");
  const list = await book.list();
  assert.deepEqual(
    list.map((k) => k.job),
    ["Bed plate", "Gear case", "Gear case"],
    "newest first",
  );
  assert.equal((await book.list("Gear case")).length, 2);
  assert.deepEqual(await book.jobs(), [
    { job: "Bed plate", count: 1 },
    { job: "Gear case", count: 2 },
  ]);
  await book.close();
});

test("note and measured depth can be added, a plan removed", async () => {
  const away = new TestOffice();
  away.up = false;
  const book = await open(fresh("book"), away);
  const first = await book.keep(plan("Gear case"));
  const { _id } = first;
  await book.change(first, { measured: ".742" });
  await book.change(first, { note: "chips packed" });
  const kept = await book.get(_id);
  assert.equal(kept?.measured, ".742");
  assert.equal(kept?.note, "chips packed");
  await Promise.all(["a", "b", "c"].map((note) => book.change(kept, { note }))); // three windows at once
  assert.ok((await book.get(_id))?._rev.startsWith("6-"), "all three were written, one after the other");
  assert.deepEqual((await book.get(_id))?.clashes, ["note"], "and none covers what it did not show");
  await book.remove((await book.get(_id))!);
  assert.equal(await book.get(_id), undefined);
  assert.deepEqual(await book.list(), []);
  assert.equal(book.sync.waiting, 1, "a removal the office has not heard of waits too");
  await book.close();
});

test("what waits is counted exactly: offline, after a reload, and once the office has it", async () => {
  const name = fresh("book");
  const office = new TestOffice();
  office.up = false;
  let book = await open(name, office);
  await book.keep(plan("Gear case"));
  await until("one waits", () => book.sync.waiting === 1);
  assert.equal(book.sync.words, "on this phone only");
  office.up = true;
  await atOffice(book);
  assert.match(book.sync.words, /^at the office \d\d:\d\d$/);
  assert.equal(book.sync.connected, true);
  await book.close();

  office.up = false;
  book = await open(name, office);
  await until("known also without the office", () => book.sync.words.startsWith("at the office"));
  const kept = [await book.keep(plan("A")), await book.keep(plan("B")), await book.keep(plan("C"))];
  await book.change(kept[0]!, { note: "twice written, one record" });
  await until("three wait", () => book.sync.words === "3 waiting");
  await book.close();

  book = await open(name, office);
  assert.match(book.sync.words, /^(3 waiting|looking …)$/, "nothing untrue before it is counted");
  await until("it is counted", () => book.sync.words === "3 waiting");
  assert.equal(book.sync.connected, false);
  office.up = true;
  book.syncNow();
  await atOffice(book);
  assert.equal(book.sync.waiting, 0);
  assert.equal((await office.ids()).length, 4);
  await book.close();
});

test("a record reaches a second device, and its change comes back", async () => {
  const office = new TestOffice();
  const phone = await open(fresh("book"), office);
  const desk = await open(fresh("book"), office);
  assert.notEqual(phone.device, desk.device);
  const { _id } = await phone.keep(plan("Gear case"));
  await until("seen at the desk", async () => (await desk.get(_id)) !== undefined);
  await desk.change((await desk.get(_id))!, { note: "seen" });
  await until("seen on the phone", async () => (await phone.get(_id))?.note === "seen");
  await atOffice(phone);
  await atOffice(desk);
  assert.equal(phone.sync.waiting + desk.sync.waiting, 0);
  await phone.close();
  await desk.close();
});

test("what came from the office does not count as waiting for it, also after a reload", async () => {
  const office = new TestOffice();
  const other = await open(fresh("book"), office);
  await other.keep(plan("A"));
  await other.keep(plan("B"));
  await atOffice(other);

  const name = fresh("book");
  office.meddle = () => Promise.reject(Object.assign(new Error("busy"), { status: 503 }));
  let book = await open(name, office);
  await until("both arrived", async () => (await book.list()).length === 2);
  await book.keep(plan("C"));
  await until("one waits", () => book.sync.waiting === 1);
  await settle();
  assert.equal(book.sync.waiting, 1);
  await book.close();
  office.up = false;
  book = await open(name, office);
  await until("it is counted", () => book.sync.words !== "looking …");
  assert.equal(book.sync.waiting, 1);
  await book.close();
  await other.close();
});

test("a refused record is told of, also after a reload, until the office takes a newer form of it", async () => {
  const name = fresh("book");
  const office = new TestOffice();
  // As an office does: it takes the rest of the batch and names the record it refuses.
  office.meddle = async (docs, store) => {
    const isBad = (doc: Pushed) => doc.f?.["jobname"]?.at(-1)?.v === "bad";
    const refused = docs.filter(isBad);
    await store(docs.filter((doc) => !isBad(doc)));
    return refused.map(({ _id }) => ({
      id: _id,
      error: true,
      name: "forbidden",
      status: 403,
      reason: "the job is closed.",
    }));
  };
  let book = await open(name, office);
  const good = await book.keep(plan("good"));
  const bad = await book.keep(plan("bad"));
  await until("refused", () => book.sync.trouble.length === 1);
  assert.equal(book.sync.trouble[0]?.id, bad._id);
  assert.match(book.sync.trouble[0].text, /the job is closed\. It is safe on this device/);
  await book.close();
  book = await open(name, office);
  assert.equal(book.sync.trouble[0]?.id, bad._id);
  office.meddle = undefined;
  await book.change(bad, { job: "reopened" });
  await until("healed", () => book.sync.trouble.length === 0);
  assert.deepEqual(await office.ids(), [good._id, bad._id].sort());
  await book.close();
});

test("a record refused without saying which is found by halves, told, and goes on waiting", async () => {
  const office = new TestOffice();
  const book = await open(fresh("book"), office);
  await book.keep(plan("A"));
  await atOffice(book);
  office.up = false;
  const kept: Kept[] = [];
  for (const job of ["B", "C", "D", "E", "F"]) kept.push(await book.keep(plan(job)));
  const bad = kept[2]!._id;
  office.meddle = async (docs, store) => {
    await store(docs.filter(({ _id }) => _id !== bad));
    return docs.some(({ _id }) => _id === bad) ? [{ error: true, name: "forbidden", status: 403 }] : [];
  };
  office.up = true;
  book.syncNow();
  await until("trouble", () => book.sync.trouble.length > 0);
  await until("the rest is there", async () => (await office.ids()).length === 5);
  await until("one waits", () => book.sync.words === "1 waiting");
  assert.equal(book.sync.trouble[0]?.id, bad);
  assert.match(book.sync.trouble[0].text, /did not take this record: forbidden/);
  office.meddle = undefined;
  book.syncNow();
  await atOffice(book);
  assert.equal(book.sync.trouble.length, 0);
  assert.equal((await office.ids()).length, 6);
  await book.close();
});

test("a store that was never met, or was restored, is compared from the beginning", async () => {
  const office = new TestOffice();
  const book = await open(fresh("book"), office);
  await book.keep(plan("A"));
  await book.keep(plan("B"));
  await atOffice(book);
  office.up = false;
  await book.keep(plan("C"));
  await until("the break was noticed", () => book.sync.words === "1 waiting" && !book.sync.connected);
  office.store = fresh("office"); // an older backup: nothing of it there
  office.meddle = () => Promise.reject(Object.assign(new Error("busy"), { status: 503 }));
  office.up = true;
  await until("all three wait", () => book.sync.waiting === 3);
  assert.equal(book.sync.words, "on this phone only", "no claim that this office ever had it");
  office.meddle = undefined;
  await atOffice(book);
  assert.equal((await office.ids()).length, 3);
  await book.close();
});

test("changes made on two devices at once are both kept", async () => {
  const office = new TestOffice();
  const a = await open(fresh("book"), office);
  const b = await open(fresh("book"), office);
  const { _id } = await a.keep(plan("Gear case"));
  await until("on both", async () => (await b.get(_id)) !== undefined);
  await atOffice(a);
  office.up = false;
  await a.change((await a.get(_id))!, { note: "from a" });
  await b.change((await b.get(_id))!, { note: "from b" });
  office.up = true;
  a.syncNow();
  b.syncNow();
  for (const book of [a, b]) {
    await until("both are known", async () => (await book.get(_id))?.clashes?.join() === "note");
    await atOffice(book);
  }
  assert.equal((await a.get(_id))?.note, (await b.get(_id))?.note, "both show the same one");
  await a.close();
  await b.close();
});

test("a store not met before is told of, everything is compared with it, and then that is told", async () => {
  const name = fresh("book");
  const office = new TestOffice();
  let book = await open(name, office);
  const first = await book.keep(plan("A"));
  await atOffice(book);
  assert.equal(book.sync.note, undefined);
  office.store = fresh("restored");
  office.meddle = () => Promise.reject(Object.assign(new Error("busy"), { status: 503 }));
  await book.close();
  book = await open(name, office);
  await until("the new store was met", () => book.sync.note !== undefined);
  assert.match(book.sync.note!, /put back from a backup.*is being compared/);
  await until("it is counted anew", () => book.sync.waiting === 1);
  office.meddle = undefined;
  book.syncNow();
  await atOffice(book);
  assert.deepEqual(await office.ids(), [first._id]);
  assert.match(book.sync.note!, /had been compared with them/);
  await book.close();
});

test("a reader's device takes in what others keep and tells what it cannot send", async () => {
  const office = new TestOffice();
  const hand = await open(fresh("book"), office);
  const reader = await open(fresh("book"), office, { role: () => "reader" });
  const { _id } = await hand.keep(plan("A"));
  await until("seen by the reader", async () => (await reader.get(_id)) !== undefined);
  await until("all there", () => reader.sync.kind === "office");
  assert.equal(reader.sync.trouble.length, 0);
  const own = await reader.keep(plan("B"));
  await until("told", () => reader.sync.trouble.length === 1);
  assert.equal(reader.sync.trouble[0]!.wall, "reader");
  assert.equal(reader.sync.waiting, 1);
  assert.deepEqual(await office.ids(), [_id]);
  assert.equal((await reader.get(own._id))?.job, "B");
  await hand.close();
  await reader.close();
});
