import "fake-indexeddb/auto";
import assert from "node:assert/strict";
import { test } from "node:test";
import PouchDB from "pouchdb-core";
import { openBook, type Book, type BookOptions } from "../src/records/open";
import type { NewPlan } from "../src/records/kept";
import type { Office } from "../src/sync/sync";

let serial = 0;
const fresh = (what: string) => `${what}${++serial}`;

/** An invented plan: the book does not look into answers. */
function plan(job: string, depth = "3/4"): NewPlan {
  return {
    job,
    worksheet: "hole",
    unit: "in",
    inputs: { thread: "5/8-11", depth },
    answer: { worksheet: "hole", inputs: {}, results: {}, lines: [], cautions: [], sources: [] },
  };
}

type Pushed = { _id: string; job?: string };
type Rows = Awaited<ReturnType<PouchDB["bulkDocs"]>>;

/** An office that a test can put out of reach, restore, or make refuse. */
class TestOffice implements Office {
  up = true;
  store = fresh("office");
  /** Stands in the way of what is pushed. */
  meddle: ((docs: Pushed[], store: (docs: Pushed[]) => Promise<Rows>) => Promise<Rows>) | undefined;

  identity(): Promise<string> {
    return this.up ? Promise.resolve(this.store) : Promise.reject(new TypeError("Failed to fetch"));
  }

  open(): PouchDB {
    const db = new PouchDB(this.store, { adapter: "idb" });
    const bulkDocs = db.bulkDocs.bind(db);
    db.bulkDocs = ((pushed: { docs: Pushed[] }, options: Record<string, unknown>) => {
      if (!this.up) {
        return Promise.reject(new TypeError("Failed to fetch"));
      }
      const store = (docs: Pushed[]) => bulkDocs({ ...pushed, docs } as never, options);
      return this.meddle ? this.meddle(pushed.docs, store) : store(pushed.docs);
    }) as never;
    return db;
  }

  async ids(): Promise<string[]> {
    const { rows } = await new PouchDB(this.store, { adapter: "idb" }).allDocs({});
    return rows.map((row) => row.id).sort();
  }
}

async function open(name: string, office: Office, options: BookOptions = {}): Promise<Book> {
  return openBook(name, { office, firstWait: 20, longestWait: 60, settle: 5, ...options });
}

async function until(what: string, holds: () => boolean | Promise<boolean>, ms = 5_000): Promise<void> {
  const end = Date.now() + ms;
  while (!(await holds())) {
    if (Date.now() > end) {
      assert.fail(`never happened: ${what}`);
    }
    await new Promise((done) => setTimeout(done, 10));
  }
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
  const { _id } = await book.keep(plan("Gear case"));
  await book.change(_id, { measured: ".742" });
  await book.change(_id, { note: "chips packed" });
  const kept = await book.get(_id);
  assert.equal(kept?.measured, ".742");
  assert.equal(kept?.note, "chips packed");
  await Promise.all(["a", "b", "c"].map((note) => book.change(_id, { note }))); // three windows at once
  assert.ok((await book.get(_id))?._rev.startsWith("6-"), "all three were written, one after the other");
  await book.remove(_id);
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
  assert.match(book.sync.words, /^at the office/, "known also without the office");
  const kept = [await book.keep(plan("A")), await book.keep(plan("B")), await book.keep(plan("C"))];
  await book.change(kept[0]!._id, { note: "twice written, one record" });
  await until("three wait", () => book.sync.words === "3 waiting");
  await book.close();

  book = await open(name, office);
  assert.equal(book.sync.words, "3 waiting");
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
  await desk.change(_id, { note: "seen" });
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
  assert.equal(book.sync.waiting, 1);
  await book.close();
  await other.close();
});

test("a refused record is told of, also after a reload, until the office takes a newer form of it", async () => {
  const name = fresh("book");
  const office = new TestOffice();
  // As an office would: it takes the rest of the batch and names the record it refuses.
  office.meddle = async (docs, store) => {
    const refused = docs.filter((doc) => doc.job === "bad");
    await store(docs.filter((doc) => doc.job !== "bad"));
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
  await book.change(bad._id, { job: "reopened" });
  await until("healed", () => book.sync.trouble.length === 0);
  assert.deepEqual(await office.ids(), [good._id, bad._id].sort());
  await book.close();
});

test("records refused without saying which go on counting as waiting, and are offered again", async () => {
  const office = new TestOffice();
  const book = await open(fresh("book"), office);
  await book.keep(plan("A"));
  await atOffice(book);
  office.meddle = () => Promise.resolve([{ error: true, name: "forbidden", status: 403 }]);
  await book.keep(plan("B"));
  await until("trouble", () => book.sync.trouble.length > 0);
  assert.equal(book.sync.words, "1 waiting");
  assert.match(book.sync.trouble[0]!.text, /1 records were not taken/);
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
  await a.change(_id, { note: "from a" });
  await b.change(_id, { note: "from b" });
  office.up = true;
  a.syncNow();
  b.syncNow();
  for (const book of [a, b]) {
    await until(
      "a version in conflict is known",
      async () => (await book.get(_id))?._conflicts?.length === 1,
    );
    await atOffice(book);
  }
  assert.equal((await a.get(_id))?.note, (await b.get(_id))?.note, "both show the same one");
  await a.close();
  await b.close();
});

test("everything goes into one file and comes in elsewhere without doubling", async () => {
  const away = new TestOffice();
  away.up = false;
  const from = await open(fresh("book"), away);
  const kept = await from.keep(plan("Gear case"));
  const gone = await from.keep(plan("Mistake"));
  await from.remove(gone._id);
  const file = await from.exportAll();
  assert.match(file.name, /^datumbook-book\d+-\d{4}-\d\d-\d\d\d{4}\.json$/);

  const office = new TestOffice();
  const to = await open(fresh("book"), office);
  await to.keep(plan("Own"));
  await atOffice(to);
  office.up = false;
  assert.deepEqual(await to.importAll(file), { read: 2, added: 2, already: 0 });
  assert.deepEqual(
    await to.importAll(file),
    { read: 2, added: 0, already: 2 },
    "a second time changes nothing",
  );
  assert.deepEqual(await to.get(kept._id), kept, "the same record, its revision too");
  assert.equal((await to.list()).length, 2, "what was removed stays removed");
  await until("what came by the file waits for the office", () => to.sync.words === "2 waiting");
  office.up = true;
  to.syncNow();
  await atOffice(to);
  assert.deepEqual(await from.importAll(await to.exportAll()), { read: 3, added: 1, already: 2 });
  await from.close();
  await to.close();
});

test("a file that is not ours or is damaged is refused whole, in words", async () => {
  const away = new TestOffice();
  away.up = false;
  const book = await open(fresh("book"), away);
  await book.keep(plan("Gear case"));
  const whole = await (await book.exportAll()).text();
  const rows: [string, string, RegExp][] = [
    ["cut short", whole.slice(0, -20), /not whole/],
    ["empty", "", /not whole/],
    ["another program's", '{"records":[]}', /not a Datumbook file/],
    ["null", "null", /not a Datumbook file/],
    ["newer", '{"datumbook":2,"docs":[]}', /newer Datumbook/],
    ["a row that is no record", '{"datumbook":1,"docs":[null]}', /not a record/],
    ["a hidden id", whole.replace('"_id":"kept:', '"_id":"_design/'), /not a record/],
    ["a changed revision", whole.replace(/"_rev":"1-./, '"_rev":"1-x'), /history .* damaged/],
  ];
  const other = await open(fresh("book"), away);
  for (const [name, text, says] of rows) {
    await assert.rejects(other.importAll(new Blob([text])), says, name);
  }
  assert.deepEqual(await other.list(), []);
  await book.close();
  await other.close();
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
  assert.equal(book.sync.waiting, 1);
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
