// The box of photos that were shared to the app.
import assert from "node:assert/strict";
import "./nowindow";
import "fake-indexeddb/auto";
import { test } from "node:test";
import type { Rec } from "../src/records/fields";
import type { Repository } from "../src/records/repository";
import { dropShared, putBack, putShared, shared } from "../src/storage/shared";
import { setupsToAsk } from "../src/jobbook/shared";

test("what is shared waits on disk, in its order, until it is taken out", async () => {
  assert.deepEqual(await shared(), []);
  assert.deepEqual(await indexedDB.databases(), [], "a look makes no box");
  await putShared([new Blob(["one"]), new Blob(["two"])]);
  await putShared([new Blob(["three"])]);
  const all = await shared();
  assert.equal(all.length, 3);
  assert.ok(all.every((p, i) => i === 0 || p.ms >= all[i - 1]!.ms));
  assert.match(all[0]!.chance, /^[0-9a-f]{20}$/);
  await dropShared(all[1]!);
  assert.deepEqual(
    (await shared()).map((p) => p.chance),
    [all[0]!.chance, all[2]!.chance],
  );
  await putBack(all[1]!);
  assert.equal((await shared()).length, 3);
  for (const p of await shared()) await dropShared(p);
  assert.deepEqual(await shared(), []);
});

test("nothing of it is kept where there is no room for all", async () => {
  // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own this
  const add = IDBObjectStore.prototype.put;
  let left = 1;
  IDBObjectStore.prototype.put = function (what: unknown) {
    if (left-- > 0) return add.call(this, what);
    throw new DOMException("no room", "QuotaExceededError");
  };
  await assert.rejects(putShared([new Blob(["one"]), new Blob(["two"])]));
  IDBObjectStore.prototype.put = add;
  assert.deepEqual(await shared(), []);
});

test("asked for a setup, the one that runs is first", () => {
  const rec = (id: string, state: string, changed: string) =>
    ({ id, changed, values: { state }, gone: false }) as unknown as Rec;
  const all = [
    rec("old", "done", "2"),
    rec("plan", "planned", "3"),
    rec("new", "", "4"),
    rec("run", "running", "1"),
  ];
  const repo = { all: () => [...all] } as unknown as Repository;
  assert.deepEqual(
    setupsToAsk(repo).map((s) => s.id),
    ["run", "new", "plan", "old"],
  );
});
