// Two stores take in what the other has, as the exchange with the office does.
import assert from "node:assert/strict";
import type PouchDB from "pouchdb-core";

export async function meet(a: PouchDB, b: PouchDB): Promise<void> {
  await send(a, b);
  await send(b, a);
}

async function send(from: PouchDB, to: PouchDB): Promise<void> {
  const { results } = await from.changes({ since: 0, style: "all_docs", return_docs: true });
  const revs = results.map(({ id, changes }) => [id, changes.map(({ rev }) => rev)] as const);
  const lacks = Object.entries(await to.revsDiff(Object.fromEntries(revs)));
  const docs = lacks.flatMap(([id, { missing }]) => missing.map((rev) => ({ id, rev })));
  if (docs.length === 0) return;
  const got = (await from.bulkGet({ docs, revs: true, attachments: true })).results;
  const whole = got.flatMap(({ docs }) => docs.flatMap(({ ok }) => (ok ? [ok] : [])));
  assert.deepEqual(await to.bulkDocs(whole, { new_edits: false }), []);
}
