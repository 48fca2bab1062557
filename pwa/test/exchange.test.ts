// The exchange with an office over fetch: what fails is set aside and told, and the rest goes on.
import "fake-indexeddb/auto";
import "./filereader";
import assert from "node:assert/strict";
import { test, type TestContext } from "node:test";
import { openBook, type Book, type BookOptions } from "../src/records/open";
import { answer, dice, MemoryOffice, type Doc, type Request } from "./memory";
import PouchDB from "pouchdb-core";
import { Repository } from "../src/records/repository";
import { edit, storeOf } from "./edits";
import { fresh, until } from "./office";
import { startRules } from "./rules";

const ask = await startRules();

function office(): MemoryOffice {
  const made = new MemoryOffice();
  made.serve();
  return made;
}

async function open(t: TestContext, options: BookOptions = {}, name = fresh("exchange")): Promise<Book> {
  const book = await openBook(name, { ask, firstWait: 10, longestWait: 40, settle: 5, ...options });
  t.after(() => book.close().catch(() => undefined)); // some are closed by then
  return book;
}

const hash = (n: number): string => n.toString(16).padStart(32, "0");

/** An invented record as another device made it. */
const record = (n: number, more: object = {}): Doc => ({
  _id: `note:${String(n).padStart(6, "0")}`,
  _rev: `1-${hash(n)}`,
  type: "note",
  v: 1,
  by: "another",
  f: { text: [{ id: "a-1", v: `note ${n}`, at: "2026-03-09T08:00:00Z", by: "another" }] },
  ...more,
});

const photo = (data: string) => ({
  _attachments: { image: { content_type: "image/png", data: btoa(data) } },
});

const there = (book: Book) => until("at the office", () => book.sync.kind === "office" && !book.sync.moving);

/** The records on a phone with their revisions, to be compared with the office's. */
async function state(book: Book): Promise<Record<string, string[]>> {
  const db = storeOf(book);
  const { results } = await db.changes({ since: 0, style: "all_docs", return_docs: true });
  return Object.fromEntries(
    results
      .map(({ id, changes }) => [id, changes.map(({ rev }) => rev).sort()] as const)
      .sort((a, b) => (a[0] < b[0] ? -1 : 1)),
  );
}

const ids = (docs: readonly Doc[] | undefined): string[] => (docs ?? []).map(({ _id }) => _id);

test("a fresh phone takes in 10,000 records, offers none back, and its first edit goes at once", async (t) => {
  const far = office();
  const many = 10_000;
  for (let n = 1; n <= many; n++) far.put(record(n));
  let mine: Promise<unknown>[] = [];
  const made: string[] = [];
  const book = await open(t);
  // Written here in the middle of it.
  far.before = ({ path, query }) => {
    if (path.endsWith("/_changes") && Number(query.get("since")) > 0 && mine.length < 5) {
      mine.push(book.repo.make("note", { text: `mine ${mine.length}` }).then(({ id }) => made.push(id)));
    }
    return undefined;
  };
  await until("all of it is here", () => far.counts["_bulk_get"]! >= many / 500, 120_000);
  await Promise.all(mine);
  await there(book);
  await until("what was written meanwhile is at the office", () => made.every((id) => far.docs.has(id)));
  assert.equal(made.length, 5);
  assert.equal((await state(book))[made[0]!]?.length, 1);
  assert.equal(Object.keys(await state(book)).length, many + 5);
  far.before = undefined;
  mine = [];
  const before = far.total;
  const { id } = await book.repo.make("note", { text: "the first edit" });
  await until("it is at the office", () => far.docs.has(id));
  await there(book);
  t.diagnostic(`${before} requests in all: ${JSON.stringify(far.counts)}`);
  assert.ok(far.total - before <= 6, `${far.total - before} requests for one edit`);
  const { _changes = 0, _bulk_get = 0 } = far.counts;
  assert.ok(far.total - _changes - _bulk_get <= 30, JSON.stringify(far.counts));
  assert.ok(_changes + _bulk_get <= 60, JSON.stringify(far.counts));
  assert.equal(book.sync.waiting, 0);
});

test("one damaged photo is set aside and told, the rest arrives; later it is healed", async (t) => {
  const far = office();
  for (let n = 1; n <= 30; n++) far.put(record(n, n % 5 === 0 ? photo(`photo ${n}`) : {}));
  const bad = record(10)._id;
  far.before = ({ path }) =>
    path.includes(`${encodeURIComponent(bad)}/image`)
      ? answer(500, { error: "damaged", reason: "the photo is damaged on the disk" })
      : undefined;
  const name = fresh("exchange");
  let book = await open(t, {}, name);
  await until("told", () => book.sync.words === "1 not here");
  assert.equal(book.sync.trouble.length, 1);
  assert.equal(book.sync.trouble[0]?.id, bad);
  assert.match(
    book.sync.trouble[0].text,
    /could not give it to this device: the photo is damaged on the disk\. /,
  );
  assert.equal(Object.keys(await state(book)).length, 29);
  assert.equal(far.counts["file"], 5 + 2, "tried twice, and then left alone");
  far.put(record(31));
  const mine = await book.repo.make("note", { text: "mine" });
  await until("what comes later comes", async () => (await state(book))[record(31)._id] !== undefined);
  await until("what is made here goes", () => far.docs.has(mine.id));
  assert.equal(far.counts["file"], 5 + 2);
  await book.close();

  book = await open(t, {}, name);
  assert.equal(book.sync.words, "1 not here", "also after a reload, before the office answers");
  await until("connected", () => book.sync.connected);
  assert.equal(far.counts["file"], 5 + 2, "not tried again at each start");
  far.before = undefined;
  book.syncNow();
  await there(book);
  assert.deepEqual(book.sync.trouble, []);
  assert.equal(await (await book.repo.file(bad, "image"))!.text(), "photo 10");
  assert.deepEqual(await state(book), far.state());
});

test("what was set aside is tried again after an hour, and a new revision of it at once", async (t) => {
  const far = office();
  let hours = 0;
  const now = () => new Date(Date.UTC(2026, 2, 9, 8 + hours));
  for (let n = 1; n <= 3; n++) far.put(record(n, photo(`photo ${n}`)));
  const fails = new Set([record(1)._id, record(2)._id]);
  far.before = ({ path }) =>
    [...fails].some((id) => path.includes(`${encodeURIComponent(id)}/image`))
      ? answer(404, { error: "not_found", reason: "missing" })
      : undefined;
  const book = await open(t, { now, look: 20 });
  await until("told", () => book.sync.words === "2 not here");
  fails.delete(record(1)._id);
  far.put({
    ...record(1, photo("photo 1 again")),
    _rev: `2-${hash(91)}`,
    _revisions: { start: 2, ids: [hash(91), hash(1)] },
  });
  await until("the new revision came", () => book.sync.words === "1 not here");
  assert.equal(book.sync.trouble[0]?.id, record(2)._id);
  fails.clear();
  const asked = far.counts["welcome"]!;
  await until("the office was looked at again", () => far.counts["welcome"]! > asked + 2);
  assert.equal(book.sync.words, "1 not here", "its hour is not over");
  hours = 2;
  await there(book);
  assert.deepEqual(await state(book), far.state());
});

test("a record whose name no address can hold arrives with its files", async (t) => {
  const far = office();
  const odd = ["..", ".", "a/../b", "\ud800", "%2e%2e", "+ ä?#"];
  odd.forEach((_id, i) => far.put({ ...record(i, photo(`photo of ${i}`)), _id }));
  far.put({
    ...record(77),
    _attachments: { "a/../b": { content_type: "text/plain", data: btoa("a file") } },
  });
  far.put(record(50));
  const book = await open(t);
  await there(book);
  assert.deepEqual(await state(book), far.state());
  for (const [i, id] of odd.entries()) {
    assert.equal(await (await book.repo.file(id, "image"))?.text(), `photo of ${i}`, id);
  }
  assert.equal(await (await book.repo.file(record(77)._id, "a/../b"))?.text(), "a file");
  assert.deepEqual(book.sync.trouble, []);
});

test("a record that the office cannot read, or keeps from phones, does not stop the others", async (t) => {
  const far = office();
  for (let n = 1; n <= 20; n++) far.put(record(n));
  const row = (n: number, error: string) => ({
    id: record(n)._id,
    docs: [{ error: { id: record(n)._id, rev: `1-${hash(n)}`, error, reason: `it is ${error}` } }],
  });
  far.before = async ({ path, body }) => {
    if (!path.endsWith("/_bulk_get")) return undefined;
    const asked = body.docs as unknown as { id: string; rev: string }[];
    const good = asked.filter(({ id }) => !["3", "7", "9"].some((n) => id === record(Number(n))._id));
    const given = await fetchPlain(far, good);
    // The third is left out without a word.
    return answer(200, { results: [row(3, "damaged"), ...given, row(7, "too_large")] });
  };
  const book = await open(t);
  await until("told", () => book.sync.words === "2 not here");
  assert.deepEqual(
    book.sync.trouble.map(({ id }) => id),
    [record(3)._id, record(9)._id],
  );
  assert.match(book.sync.trouble[0]!.text, /it is damaged/);
  assert.match(book.sync.trouble[1]!.text, /did not give it/);
  assert.match(book.sync.note!, /^One record is larger than phones take/);
  assert.equal(Object.keys(await state(book)).length, 17);
});

/** What the office itself would answer. */
async function fetchPlain(far: MemoryOffice, docs: { id: string; rev: string }[]): Promise<unknown[]> {
  const { before } = far;
  far.before = undefined;
  const said = await fetch("https://office.invalid/sync/x/_bulk_get", {
    method: "POST",
    body: JSON.stringify({ docs }),
  });
  far.before = before;
  return ((await said.json()) as { results: unknown[] }).results;
}

test("where the office answers for no batch with some record in it, the others come by halves", async (t) => {
  const far = office();
  for (let n = 1; n <= 40; n++) far.put(record(n));
  const bad = new Set([record(1)._id, record(2)._id, record(23)._id]);
  far.before = ({ path, body }) =>
    path.endsWith("/_bulk_get") && (body.docs as unknown as { id: string }[]).some(({ id }) => bad.has(id))
      ? answer(500, { error: "internal", reason: "the page could not be read" })
      : undefined;
  const book = await open(t);
  await until("told", () => book.sync.words === "3 not here");
  assert.equal(Object.keys(await state(book)).length, 37);
  far.before = undefined;
  book.syncNow();
  await there(book);
  assert.deepEqual(await state(book), far.state());
});

test("an office that answers no batch at all has trouble itself: nothing is set aside", async (t) => {
  const far = office();
  for (let n = 1; n <= 40; n++) far.put(record(n));
  far.before = ({ path }) =>
    path.endsWith("/_bulk_get") ? answer(500, { error: "internal", reason: "the disk is gone" }) : undefined;
  const book = await open(t);
  await until("told", () => book.sync.words === "not up to date");
  assert.match(book.sync.trouble[0]!.text, /500: the disk is gone/);
  const mine = await book.repo.make("note", { text: "mine" });
  await until("what is made here goes all the same", () => far.docs.has(mine.id));
  far.before = undefined;
  await there(book);
  assert.deepEqual(await state(book), far.state());
});

test("a record that this device cannot store does not stop the others", async (t) => {
  const far = office();
  for (let n = 1; n <= 20; n++) far.put(record(n, n === 4 ? { _odd: true } : {}));
  const book = await open(t);
  await until("told", () => book.sync.words === "1 not here");
  assert.equal(book.sync.trouble[0]?.id, record(4)._id);
  assert.match(book.sync.trouble[0].text, /this device could not store it: .*_odd/);
  assert.equal(Object.keys(await state(book)).length, 19);
});

test("what the office does not take is found by halves, told and set aside; the rest goes on", async (t) => {
  for (const status of [400, 413, 500]) {
    const far = office();
    far.before = ({ path }) => (path === "/sync/" ? answer(503, {}) : undefined);
    const book = await open(t);
    const made: string[] = [];
    for (let n = 0; n < 30; n++) made.push((await book.repo.make("note", { text: `mine ${n}` })).id);
    const bad = new Set([made[6]!, made[7]!, made[20]!]);
    far.before = ({ path, body }) =>
      path.endsWith("/_bulk_docs") && ids(body.docs).some((id) => bad.has(id))
        ? answer(status, { error: "no", reason: "it is too much" })
        : undefined;
    book.syncNow();
    await until("told", () => book.sync.trouble.length === 3);
    assert.deepEqual(book.sync.trouble.map(({ id }) => id).sort(), [...bad].sort(), String(status));
    assert.match(
      book.sync.trouble[0]!.text,
      /did not take this record: it is too much\. It is safe on this device/,
    );
    await until("the rest is there", () => far.docs.size === 27);
    await until("they wait", () => book.sync.words === "3 waiting");
    const later = await book.repo.make("note", { text: "later" });
    await until("what follows goes", () => far.docs.has(later.id));
    bad.delete(made[6]!);
    assert.ok(await edit(book, made[6]!, "text", "shorter"));
    await until("a new form of it goes", () => book.sync.words === "2 waiting");
    bad.clear();
    book.syncNow();
    await there(book);
    assert.deepEqual(await state(book), far.state());
    assert.deepEqual(book.sync.trouble, []);
  }
});

test("an office that takes nothing at all has trouble itself: nothing is set aside", async (t) => {
  const far = office();
  far.put(record(1));
  const book = await open(t);
  await there(book);
  far.before = ({ path }) =>
    path.endsWith("/_bulk_docs") ? answer(500, { error: "internal", reason: "no room" }) : undefined;
  for (let n = 0; n < 40; n++) await book.repo.make("note", { text: `mine ${n}` });
  await until("told", () => book.sync.words === "40 waiting" && book.sync.trouble.length > 0);
  far.put(record(2));
  await until("what comes comes", async () => (await state(book))[record(2)._id] !== undefined);
  await until("tried some times", () => far.counts["_bulk_docs"]! > 40);
  assert.deepEqual(
    book.sync.trouble.map(({ id, text }) => [id, /500: no room/.test(text)]),
    [[undefined, true]],
  );
  far.before = undefined;
  await there(book);
  assert.deepEqual(await state(book), far.state());
  assert.deepEqual(book.sync.trouble, []);
});

test("what the office says of itself is shown until it is gone; a clock that is off is told", async (t) => {
  const far = office();
  const now = Date.UTC(2026, 2, 9, 8);
  far.says = { trouble: "The office's disk is full.", time: new Date(now - 12 * 60_000).toISOString() };
  const book = await open(t, { look: 20, now: () => new Date(now) });
  await until("told", () => book.sync.trouble[0]?.text === "The office's disk is full.");
  assert.match(book.sync.clock!, /^This device's clock is 12 minutes ahead/);
  far.says = { time: new Date(now - 4 * 60_000).toISOString() };
  await until("gone", () => book.sync.trouble.length === 0 && book.sync.clock === undefined);
});

test("a photo that the office lost is sent again by a phone that has it", async (t) => {
  const far = office();
  const sent: Doc[] = [];
  for (let n = 1; n <= 3; n++) far.put(record(n, photo(`photo ${n}`)));
  const first = await open(t);
  await there(first);
  const digest = far.docs.get(record(2)._id)!.leaves.get(`1-${hash(2)}`)!._attachments!["image"]!.digest!;
  const lost = { book: first.name, id: record(2)._id, rev: `1-${hash(2)}`, name: "image", digest };
  far.wanted = [
    lost,
    { ...lost, book: "another", id: record(1)._id, rev: `1-${hash(1)}` },
    { ...lost, id: record(3)._id, rev: `1-${hash(3)}` }, // another digest: not the photo it was
    { ...lost, id: "photo:none" },
  ];
  far.before = ({ path, body }) => {
    if (path.endsWith("/_bulk_docs")) sent.push(...body.docs!);
    return undefined;
  };
  await first.close();
  const again = await open(t, {}, first.name);
  await until("it was sent", () => sent.length > 0);
  await there(again);
  assert.deepEqual(ids(sent), [record(2)._id]);
  assert.equal(atob(sent[0]!._attachments!["image"]!.data!), "photo 2");
  assert.deepEqual(sent[0]!._revisions, { start: 1, ids: [hash(2)] });
});

test("an office restored while a push goes on gets everything", async (t) => {
  const far = office();
  far.before = ({ path }) => (path === "/sync/" ? answer(503, {}) : undefined);
  const book = await open(t);
  const pad = "x".repeat(300_000);
  const db = storeOf(book);
  for (let n = 0; n < 10; n++) await db.put({ _id: `note:${n}`, by: book.device, pad });
  let batches = 0;
  far.before = ({ path }) => {
    if (path.endsWith("/_bulk_docs") && ++batches === 2) {
      assert.ok(far.docs.size > 0 && far.docs.size < 10);
      far.docs.clear(); // an older backup answers at the same address from now on
      far.uuid = "second";
    }
    return undefined;
  };
  book.syncNow();
  await until("all of it is at the office that is there now", () => far.docs.size === 10);
  await there(book);
  assert.equal(far.uuid, "second");
  assert.deepEqual(await state(book), far.state());
  assert.match(book.sync.note!, /had been compared/);
});

test("requests cut at random, in either direction: in the end all have everything", async (t) => {
  const rounds = 10;
  const chance = dice(20_260_309);
  const far = office();
  let cuts = 0;
  const cut = ({ path }: Request) => {
    // A page of changes that fails while what it follows is under way is the worst of them.
    if (chance(path.endsWith("/_changes") ? 3 : 6) > 0) return;
    cuts++;
    throw new TypeError("Failed to fetch");
  };
  let n = 0;
  for (let k = 0; k < 400; k++) far.put(record(++n, chance(50) === 0 ? photo(`photo ${n}`) : {}));
  far.before = (request) => (cut(request), undefined);
  far.after = cut;
  const names = [fresh("exchange"), fresh("exchange"), fresh("exchange")];
  let books = await Promise.all(names.map((name) => open(t, { firstWait: 2, longestWait: 10 }, name)));
  const made: string[] = [];
  for (let round = 0; round < rounds; round++) {
    for (let k = chance(30); k > 0; k--) far.put(record(++n));
    for (const book of books) {
      for (let k = chance(4); k > 0; k--) made.push((await book.repo.make("note", { text: `${round}` })).id);
      const some = made[chance(made.length)];
      if (some) await edit(book, some, "text", `changed ${round}`);
    }
    if (chance(4) === 0) {
      // Killed at whatever point it is, and started again.
      const which = chance(books.length);
      await books[which]!.close();
      const again = await open(t, { firstWait: 2, longestWait: 10 }, names[which]);
      books = books.map((book, i) => (i === which ? again : book));
    }
  }
  far.before = far.after = undefined;
  const all = async () => {
    const want = JSON.stringify(far.state());
    const have = await Promise.all(books.map(async (book) => JSON.stringify(await state(book))));
    return (
      have.every((one) => one === want) && books.every(({ sync }) => sync.kind === "office" && !sync.moving)
    );
  };
  await until("all are equal", all, 60_000);
  assert.ok(cuts > 100, `only ${cuts} requests were cut`);
  assert.ok(made.every((id) => far.docs.has(id)));
  for (const book of books) assert.deepEqual(book.sync.trouble, []);
  t.diagnostic(`${cuts} requests cut, ${far.docs.size} records`);
});

test("devices that merge the same revisions write the same ones, whenever they do it", async () => {
  const repos = ["ann", "bob", "cid"].map((device, i) => {
    const db = new PouchDB(fresh("merge"), { adapter: "idb" });
    const now = () => new Date(Date.UTC(2026, 2, 9, 8, i));
    return { db, repo: new Repository({ db, device, ask, now, who: () => ({ by: device, unit: "in" }) }) };
  });
  const first = record(1);
  const told = (by: string, v: string) => ({
    ...record(1),
    _rev: `2-${hash(by.charCodeAt(0))}`,
    _revisions: { start: 2, ids: [hash(by.charCodeAt(0)), hash(1)] },
    ...{ by, changed: `2026-03-09T07:00:0${by.charCodeAt(0) % 10}Z` },
    f: {
      text: [...(first["f"] as { text: object[] }).text, { id: `${by}-1`, at: "", by, v, over: ["a-1"] }],
    },
  });
  const revs: string[] = [];
  for (const { db, repo } of repos) {
    await db.bulkDocs([first, told("x", "one"), told("y", "two"), told("z", "three")], { new_edits: false });
    await repo.resolve(first._id);
    const { results } = await db.changes({ since: 0, style: "all_docs", return_docs: true });
    revs.push(JSON.stringify(results[0]!.changes.map(({ rev }) => rev).sort()));
    assert.equal((await repo.clashes(first._id)).length, 1, "all three values stand");
    assert.equal(
      (await db.get<{ _conflicts?: string[] }>(first._id, { conflicts: true }))._conflicts,
      undefined,
    );
  }
  assert.deepEqual(revs, [revs[0], revs[0], revs[0]]);
});
