// Export and import by file with the real rules: nothing doubled, nothing lost, and the older form
// of file too.
import "fake-indexeddb/auto";
import "./filereader";
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test, type TestContext } from "node:test";
import { openBook, type Book } from "../src/records/open";
import { readDoc, text } from "../src/records/fields";
import {
  csvFile,
  exportRecords,
  importRecords,
  invention,
  loadDemo,
  removeDemo,
  rescueRecords,
} from "../src/records/transfer";
import { fresh, TestOffice, until } from "./office";
import { startRules } from "./rules";

const demo = readFileSync("../calc/jobbook/demo/pillow-block.json", "utf8");
globalThis.fetch = () => Promise.resolve(new Response(demo));

async function open(t: TestContext, office = new TestOffice(false)): Promise<Book> {
  const quick = { firstWait: 20, longestWait: 60, settle: 5 };
  const book = await openBook(fresh("files"), { office, ask: await startRules(), ...quick });
  t.after(() => book.close());
  return book;
}

const bring = async (book: Book, file: Blob | string) => {
  const { added, changed, same } = await importRecords(book.repo, new Blob([file]));
  return [added, changed, same];
};

test("everything goes into one file and comes in elsewhere without doubling", async (t) => {
  const from = await open(t);
  const picture = new Blob([new Uint8Array([0, 1, 2, 255])], { type: "image/png" });
  const photo = await from.repo.make(
    "photo",
    { name: "Ö, 5° & <b>", image: "image" },
    { files: { image: picture } },
  );
  const gone = await from.repo.make("note", { text: "a mistake" });
  await from.repo.remove(gone);
  for (let n = 0; n < 60; n++) await from.repo.make("note", { text: `note ${n}` });
  const seen: number[] = [];
  const { file, records } = await exportRecords(from.repo, "shop", new Date(2026, 2, 9), "", (n) =>
    seen.push(n),
  );
  assert.equal(records, 62);
  assert.deepEqual(seen, [50, 62]);
  assert.match(file.name, /^datumbook-shop-\d{4}-\d\d-\d{6}\.json$/);

  const office = new TestOffice(true);
  const to = await open(t, office);
  await to.repo.make("note", { text: "own" });
  await until("at the office", () => to.sync.kind === "office" && !to.sync.moving);
  office.up = false;
  assert.deepEqual(await bring(to, file), [62, 0, 0]);
  assert.deepEqual(await bring(to, file), [0, 0, 62], "a second time changes nothing");
  const image = await to.repo.file(photo.id, "image");
  assert.deepEqual(new Uint8Array(await image!.arrayBuffer()), new Uint8Array([0, 1, 2, 255]));
  assert.equal(text(to.repo.get(photo.id), "name"), "Ö, 5° & <b>");
  assert.equal(to.repo.get(gone.id)?.gone, true, "what was removed stays removed");
  await until("what came by the file waits for the office", () => to.sync.words === "62 waiting");
  office.up = true;
  to.syncNow();
  await until("it has it", () => to.sync.kind === "office" && !to.sync.moving);
  assert.equal((await office.ids()).length, 63);
  assert.deepEqual(
    await bring(from, (await exportRecords(to.repo, "shop", new Date())).file),
    [1, 0, 62],
    "and back",
  );
});

test("a file of one job is named for it; two at a time wait for each other", async (t) => {
  const book = await open(t);
  const both = await Promise.all([bring(book, demo), bring(book, demo)]);
  assert.deepEqual(both, [
    [89, 0, 0],
    [0, 0, 89],
  ]);
  const job = "job:00-demo-pillow-block-01";
  const { file, records } = await exportRecords(book.repo, "shop", new Date(), job);
  assert.match(file.name, /^datumbook-pillow-block-housing-with-pump-flange-/);
  const other = await open(t);
  assert.deepEqual(await bring(other, file), [records, 0, 0]);
  assert.ok(records < 89, "without what it did not use");
  const csv = await csvFile(book.repo, "fixture", "holes");
  assert.equal(csv.name, "fixture-holes.csv");
  const bytes = new Uint8Array(await csv.arrayBuffer());
  assert.deepEqual([...bytes.slice(0, 3)], [0xef, 0xbb, 0xbf], "the mark by which spreadsheets know UTF-8");
});

test("the older file, of revisions, comes in: copies of one record are merged, removals passed over", async (t) => {
  const rev = (_id: string, hash: string, more: object) => ({
    _id,
    _rev: `2-${hash}`,
    _revisions: { start: 2, ids: [hash, "a"] },
    type: _id.split(":")[0],
    by: "another",
    ...more,
  });
  const note = (id: string, v: string) => ({ v: 1, f: { text: [{ id, v }] } });
  const kept = { worksheet: "hole", inputs: { thread: "5/8-11" }, answer: { worksheet: "hole" }, unit: "in" };
  const file = JSON.stringify({
    datumbook: 1,
    book: "shop",
    made: "2026-03-09T08:00:00Z",
    docs: [
      rev("note:1", "b", note("a-1", "one")),
      rev("note:1", "c", note("b-1", "another")),
      rev("note:2", "d", { _deleted: true }),
      rev("kept:20260309T080000123Z-a1-x", "e", {
        ...kept,
        job: "Pump",
        device: "a1",
        note: "",
        created: "2026",
      }),
    ],
  });
  const book = await open(t);
  const report = await importRecords(book.repo, new Blob([file]));
  assert.deepEqual([report.added, report.changed, report.same], [2, 0, 0]);
  assert.deepEqual(report.clashes, [{ id: "note:1", fields: ["text"] }]);
  assert.deepEqual(await bring(book, file), [0, 0, 2]);
  const [plan] = await book.list("Pump");
  assert.equal(plan?.inputs["thread"], "5/8-11");
  const doc = await book.repo.doc(plan._id);
  assert.ok(doc?.f && !("worksheet" in doc), "in the form of today");
  assert.equal(await book.repo.doc("note:2"), undefined);
});

test("with the rules stopped the records still get out, and come in elsewhere", async (t) => {
  const book = await open(t);
  await bring(book, demo);
  const { file, records } = await rescueRecords(book.repo, "shop");
  assert.equal(records, 89);
  const other = await open(t);
  assert.deepEqual(await bring(other, file), [89, 0, 0]);
  assert.deepEqual(await bring(other, demo), [0, 0, 89]);
});

test("a file that is not ours or is damaged is refused whole, in words", async (t) => {
  const book = await open(t);
  const rows: [string, string, RegExp][] = [
    ["cut short", demo.slice(0, -20), /not whole/],
    ["empty", "", /not whole/],
    ["another program's", '{"records":[]}', /not a Datumbook file/],
    ["newer", '{"datumbook":2,"docs":[]}', /newer Datumbook/],
  ];
  for (const [name, file, says] of rows) await assert.rejects(bring(book, file), says, name);
  assert.equal((await exportRecords(book.repo, "shop", new Date())).records, 0);
});

test("the invented job goes out again, and nothing that a person typed with it", async (t) => {
  const book = await open(t);
  const { repo } = book;
  assert.equal((await loadDemo(repo)).added, 89);
  const plate = readDoc(await repo.doc("fixture:00-demo-pillow-block-01"))!;
  await repo.change(plate, { tag: "F9" });
  const own = await repo.make("note", { text: "mine", about: "fixture:00-demo-pillow-block-01" });
  const found = await invention(repo);
  assert.deepEqual([found.plain.length, found.changed.length, found.own], [88, 1, 1]);
  assert.equal(await removeDemo(repo), 89);
  assert.equal((await repo.doc(own.id))?.type, "note");
  assert.deepEqual(await invention(repo).then((f) => [f.plain, f.changed]), [[], []]);
  assert.equal((await loadDemo(repo)).added, 88);
  await repo.load("fixture");
  assert.equal(text(repo.get("fixture:00-demo-pillow-block-01"), "tag"), "F9", "what was typed came back");
  assert.equal(repo.get("fixture:00-demo-pillow-block-01")?.gone, false);
});
