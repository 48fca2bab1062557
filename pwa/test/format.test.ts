// An update of the app that changes this device's own storage: nothing lost, a copy kept until the
// office has all.
import "fake-indexeddb/auto";
import assert from "node:assert/strict";
import { test } from "node:test";
import PouchDB from "pouchdb-core";
import { NewerStore, openStore, steps, type Step } from "../src/storage/format";
import { deviceName } from "../src/storage/local";
import { openBook } from "../src/records/open";
import type { NewPlan } from "../src/records/kept";
import { fresh as named, TestOffice, until } from "./office";
import { startRules } from "./rules";

const fresh = () => named("format");

const plan = (job: string): NewPlan => ({
  job,
  worksheet: "hole",
  unit: "in",
  inputs: { thread: "5/8-11" },
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
});

const quick = { ask: await startRules(), firstWait: 20, longestWait: 60, settle: 5 };

async function databases(book: string): Promise<string[]> {
  const all = await indexedDB.databases();
  return all
    .map((d) => d.name!.replace("_pouch_", ""))
    .filter((n) => n.startsWith(`datumbook-${book}`))
    .sort();
}

interface Doc {
  _id: string;
  _rev?: string;
  repo?: string;
}

/** An invented change of format: each record gets a repo, unless it has one. */
const shelve: Step = async (db) => {
  const { rows } = await db.allDocs({ include_docs: true });
  const docs = rows.map((row) => row.doc as unknown as Doc).filter((doc) => !doc.repo);
  await db.bulkDocs(docs.map((doc) => ({ ...doc, repo: "A" })));
};
const nothing: Step = () => Promise.resolve();

/**
 * A store as the first app left it, before formats were marked: a record with a past, two in
 * conflict, one deleted.
 */
async function first(book: string): Promise<string> {
  const db = new PouchDB(`datumbook-${book}`, { adapter: "idb" });
  const device = await deviceName(db);
  const { rev } = await db.put({ _id: "a", n: 1 });
  await db.put({ _id: "a", _rev: rev, n: 2 });
  const past = (id: string, hash: string) => ({
    _id: id,
    _rev: `1-${hash}`,
    _revisions: { start: 1, ids: [hash] },
  });
  const one = "1".repeat(32);
  const two = "2".repeat(32);
  await db.bulkDocs([past("b", one), past("b", two)], { new_edits: false });
  const gone = await db.put({ _id: "c" });
  await db.put({ _id: "c", _rev: gone.rev, _deleted: true });
  await db.close();
  return device;
}

test("from the first format to the present one", async () => {
  const book = fresh();
  const device = await first(book);
  const { db, copyKept } = await openStore(book);
  assert.equal(await deviceName(db), device);
  assert.equal((await db.get<{ n: number }>("a")).n, 2);
  assert.equal(copyKept(), steps.length > 0);
  await db.close();
  await (await openStore(book)).db.close();
});

test("records, their past, conflicts, deletions come along; the copy stays until told", async () => {
  const book = fresh();
  const device = await first(book);
  const { db, copyKept, synced } = await openStore(book, [nothing, shelve]);
  assert.equal(await deviceName(db), device);
  assert.deepEqual(
    (await db.allDocs({ include_docs: true })).rows.map(({ id, doc }) => [id, doc?.["repo"]]),
    [
      ["a", "A"],
      ["b", "A"],
    ],
  );
  const a = await db.get<{ n: number; _revisions: { start: number } }>("a", { revs: true });
  assert.equal(a.n, 2);
  assert.equal(a._revisions.start, 3);
  const b = await db.get<{ _conflicts: string[] }>("b", { conflicts: true });
  assert.equal(b._conflicts.length, 1);
  await assert.rejects(db.get("c"), { reason: "deleted" });
  assert.equal(copyKept(), true);
  assert.deepEqual(await databases(book), [`datumbook-${book}`, `datumbook-${book}-3`]);
  await synced();
  assert.equal(copyKept(), false);
  assert.deepEqual(await databases(book), [`datumbook-${book}-3`]);
  await db.close();
  const again = await openStore(book, [nothing, shelve]);
  assert.equal(again.copyKept(), false);
  assert.equal((await again.db.get<{ n: number }>("a")).n, 2);
  await again.db.close();
});

test("a new device makes only the present format", async () => {
  const book = fresh();
  const { db, copyKept } = await openStore(book, [nothing, nothing]);
  assert.equal(copyKept(), false);
  assert.deepEqual(await databases(book), [`datumbook-${book}-3`]);
  await db.close();
});

test("a change cut off half way begins again and ends whole", async () => {
  const book = fresh();
  await first(book);
  const power: Step = async (db) => {
    await db.put({ _id: "half" });
    throw new Error("the battery is empty");
  };
  await assert.rejects(openStore(book, [power]), /battery/);
  assert.deepEqual(await databases(book), [`datumbook-${book}`, `datumbook-${book}-2`]);
  const { db, copyKept } = await openStore(book, [shelve]);
  assert.equal(copyKept(), true);
  assert.equal((await db.get<Doc>("a")).repo, "A");
  await db.close();
});

test("an older app does not touch what a newer one took over", async () => {
  const book = fresh();
  await first(book);
  const { db } = await openStore(book, [nothing]);
  await assert.rejects(openStore(book), NewerStore);
  await db.close();
});

test("what a window of the old app wrote meanwhile is taken over before the copy goes", async () => {
  const book = fresh();
  await first(book);
  const { db, copyKept, synced } = await openStore(book, [nothing]);
  const old = new PouchDB(`datumbook-${book}`, { adapter: "idb" });
  await old.put({ _id: "late" });
  await old.close();
  await synced();
  assert.equal(copyKept(), true, "it has yet to reach the office");
  assert.equal((await db.get<Doc>("late"))._id, "late");
  await synced();
  assert.equal(copyKept(), false);
  await db.close();
});

test("the book keeps the copy while work waits, and lets it go once the office has all", async () => {
  const name = fresh();
  const office = new TestOffice(false);
  let book = await openBook(name, { office, ...quick });
  const kept = await book.keep(plan("Pump"));
  const { device } = book;
  await book.close();

  book = await openBook(name, { office, ...quick, steps: [nothing] });
  assert.equal(book.device, device);
  assert.equal(book.sync.words, "on this phone only");
  assert.equal(book.sync.waiting, 1);
  assert.equal((await book.get(kept._id))?.job, "Pump");
  assert.deepEqual(await databases(name), [`datumbook-${name}`, `datumbook-${name}-2`]);
  office.up = true;
  book.syncNow();
  await until("at the office", () => book.sync.kind === "office");
  await until("the copy went", async () => (await databases(name)).length === 1);
  assert.deepEqual(await office.ids(), [kept._id]);
  await book.close();
});
