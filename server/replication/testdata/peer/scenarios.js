'use strict';
const assert = require('assert');
const crypto = require('crypto');
const path = require('path');

let count = 0;
const local = (t) => new t.PouchDB(path.join(t.folder, 'db' + (++count)));
const remote = (t, name) => new t.PouchDB(t.address + '/' + name);

// all gives everything a database holds, in a form that can be compared.
async function all(db) {
  const out = {};
  // Winners by _changes: the peer's own allDocs leaves out ids beyond the Basic Latin and Latin-1
  // letters.
  const list = await db.changes({ since: 0 });
  const changes = await db.changes({ since: 0, style: 'all_docs' });
  for (const row of changes.results) {
    const revs = await db.get(row.id, { open_revs: 'all', revs: true });
    out[row.id] = revs.map((r) => r.ok).filter(Boolean).map((d) => {
      for (const a of Object.values(d._attachments || {})) delete a.revpos;
      return d;
    }).sort((a, b) => (a._rev < b._rev ? -1 : 1));
  }
  return { winners: Object.fromEntries(list.results.map((r) => [r.id, r.deleted ? null : r.changes[0].rev])), docs: out };
}

async function same(a, b) {
  assert.deepStrictEqual(await all(a), await all(b));
}

function whole(result, what) {
  assert.strictEqual(result.ok, true, what);
  assert.strictEqual(result.doc_write_failures, 0, what);
  assert.deepStrictEqual(result.errors, [], what);
}

const noises = new Map();
const noise = (n, seed) => {
  const key = n + '/' + seed;
  if (noises.has(key)) return noises.get(key);
  const out = Buffer.alloc(n);
  let x = seed || 1;
  for (let i = 0; i < n; i++) { x = (x * 1103515245 + 12345) & 0x7fffffff; out[i] = x >> 16; }
  noises.set(key, out);
  return out;
};
const md5 = (b) => 'md5-' + crypto.createHash('md5').update(b).digest('base64');

module.exports = {
  // push, pull into an empty database, push and pull again: nothing to do.
  async pushPull(t) {
    const a = local(t), b = local(t), r = remote(t, 'jobs');
    const odd = ['a/b', 'grüße', 'x+y z', '%2F', 'q?r=1&s', 'a#b', '日本', ':', "it's"];
    await a.bulkDocs(odd.map((id) => ({ _id: id, n: 1.5, text: 'Ø 19 mm — "casting"' })));
    for (let i = 0; i < 30; i++) await a.put({ _id: 'doc' + i, i, deep: { list: [1, { x: null }] } });
    const doc = await a.get('doc3');
    await a.put({ ...doc, again: true });
    await a.remove(await a.get('doc4'));
    whole(await a.replicate.to(r), 'push');
    await same(a, r);
    whole(await b.replicate.from(r), 'pull');
    await same(a, b);
    const again = await a.replicate.to(r);
    whole(again, 'push again');
    assert.strictEqual(again.docs_written, 0);
    assert.strictEqual((await b.replicate.from(r)).docs_written, 0);
  },

  async many(t) {
    const book = t.args[3] || 'jobs';
    const n = Number(t.args[0]), size = Number(t.args[1]), batch = Number(t.args[2]);
    const a = local(t), b = local(t), r = remote(t, book);
    const docs = [];
    for (let i = 0; i < n; i++) docs.push({ _id: 'm' + String(i).padStart(7, '0'), i, pad: 'x'.repeat(size) });
    for (let i = 0; i < n; i += 1000) await a.bulkDocs(docs.slice(i, i + 1000));
    let begin = Date.now();
    whole(await a.replicate.to(r, { batch_size: batch }), 'push');
    const push = Date.now() - begin;
    begin = Date.now();
    whole(await b.replicate.from(r, { batch_size: batch }), 'pull');
    const pull = Date.now() - begin;
    begin = performance.now();
    assert.strictEqual((await a.replicate.to(r, { batch_size: batch })).docs_written, 0);
    const nothing = performance.now() - begin;
    assert.strictEqual((await r.info()).doc_count, n);
    assert.strictEqual((await b.info()).doc_count, n);
    return { push, pull, nothing };
  },

  // two phones edit the same documents, both ways; both and the office agree on winner and
  // conflicts.
  async conflicts(t) {
    const a = local(t), b = local(t), r = remote(t, 'jobs');
    for (let i = 0; i < 10; i++) await a.put({ _id: 'c' + i, from: 'a' });
    whole(await a.replicate.to(r), 'push');
    whole(await b.replicate.from(r), 'pull');
    for (let i = 0; i < 10; i++) {
      await a.put({ ...(await a.get('c' + i)), from: 'a2' });
      await b.put({ ...(await b.get('c' + i)), from: 'b2' });
      if (i % 2) await b.put({ ...(await b.get('c' + i)), from: 'b3' });
      if (i % 3 === 0) await a.remove(await a.get('c' + i));
    }
    for (let round = 0; round < 2; round++) {
      for (const db of [a, b]) { const s = await db.sync(r); whole(s.push, 'push'); whole(s.pull, 'pull'); }
    }
    await same(a, b);
    await same(a, r);
    for (let i = 0; i < 10; i++) {
      const x = await a.get('c' + i, { conflicts: true }), y = await r.get('c' + i, { conflicts: true });
      assert.deepStrictEqual(x, y);
      assert.strictEqual((x._conflicts || []).length, i % 3 === 0 ? 0 : 1, 'conflicts of c' + i);
    }
    // settle one at the office: delete the losers there, pull everywhere
    const doc = await r.get('c1', { conflicts: true });
    for (const rev of doc._conflicts) await r.remove('c1', rev);
    whole(await a.replicate.from(r), 'pull'); whole(await b.replicate.from(r), 'pull');
    await same(a, b);
    assert.strictEqual((await b.get('c1', { conflicts: true }))._conflicts, undefined);
  },

  async deletes(t) {
    const a = local(t), b = local(t), r = remote(t, 'jobs');
    for (let i = 0; i < 20; i++) await a.put({ _id: 'd' + i, i });
    whole(await a.replicate.to(r), 'push');
    whole(await b.replicate.from(r), 'pull');
    for (let i = 0; i < 20; i += 2) {
      const d = await b.get('d' + i);
      await b.put({ ...d, _deleted: true, why: 'scrapped' });
    }
    whole(await b.replicate.to(r), 'push');
    whole(await a.replicate.from(r), 'pull');
    assert.strictEqual((await a.info()).doc_count, 10);
    assert.strictEqual((await r.info()).doc_count, 10);
    await same(a, r);
    const [gone] = await a.get('d0', { open_revs: 'all' });
    assert.strictEqual(gone.ok.why, 'scrapped');
    await a.put({ _id: 'd0', again: true }); // made anew over a deletion
    whole(await a.replicate.to(r), 'push');
    assert.strictEqual((await r.get('d0')).again, true);
    assert.ok((await r.get('d0'))._rev.startsWith('3-'));
  },

  async attachments(t) {
    const a = local(t), b = local(t), r = remote(t, 'jobs');
    const sizes = t.args.map(Number);
    for (const n of sizes) {
      await a.put({ _id: 'att' + n, _attachments: {
        'photo.jpg': { content_type: 'image/jpeg', data: noise(n, n + 1) },
        'dir/näme.txt': { content_type: 'text/plain; charset=utf-8', data: Buffer.from('Maß ' + n) },
      } });
    }
    whole(await a.replicate.to(r, { batch_size: 2 }), 'push');
    whole(await b.replicate.from(r, { batch_size: 2 }), 'pull');
    for (const n of sizes) {
      for (const db of [a, b, r]) {
        const got = await db.getAttachment('att' + n, 'photo.jpg');
        assert.ok(noise(n, n + 1).equals(Buffer.from(got)), 'bytes of ' + n);
        const meta = (await db.get('att' + n))._attachments;
        assert.strictEqual(meta['photo.jpg'].digest, md5(noise(n, n + 1)));
        assert.strictEqual(meta['photo.jpg'].length, n);
        assert.strictEqual(String(await db.getAttachment('att' + n, 'dir/näme.txt')), 'Maß ' + n);
      }
    }
    await same(a, b);
    await same(a, r);
    // an edit leaves the unchanged attachment in place
    await b.put({ ...(await b.get('att' + sizes[0])), note: 'edited' });
    whole(await b.replicate.to(r, { batch_size: 2 }), 'push the edit');
    whole(await a.replicate.from(r, { batch_size: 2 }), 'pull the edit');
    await same(a, b);
    const inline = await r.get('att' + sizes[0], { attachments: true });
    assert.ok(noise(sizes[0], sizes[0] + 1).equals(Buffer.from(inline._attachments['photo.jpg'].data, 'base64')));
  },

  // live both ways: what either side writes arrives at the other.
  async live(t) {
    const a = local(t), b = local(t), r = remote(t, 'jobs');
    const syncs = [a, b].map((db) => db.sync(r, { live: true, retry: true, heartbeat: 500 }));
    for (let i = 0; i < 20; i++) await (i % 2 ? a : b).put({ _id: 'l' + i, i });
    const end = Date.now() + 20000;
    for (;;) {
      const counts = await Promise.all([a, b, r].map(async (db) => (await db.info()).doc_count));
      if (counts.every((n) => n === 20)) break;
      assert.ok(Date.now() < end, 'live: ' + counts);
      await new Promise((ok) => setTimeout(ok, 50));
    }
    syncs.forEach((s) => s.cancel());
    await new Promise((ok) => setTimeout(ok, 200));
    await same(a, b);
  },

  // three offices in a ring, fed at each, replicated by PouchDB until nothing moves.
  async ring(t) {
    const names = ['ring1', 'ring2', 'ring3'], dbs = names.map((n) => remote(t, n));
    for (let i = 0; i < 3; i++) {
      for (let k = 0; k < 15; k++) await dbs[i].put({ _id: 'r' + k, at: i, k });
      await dbs[i].put({ _id: 'own' + i, _attachments: { p: { content_type: 'text/plain', data: Buffer.from('ring ' + i) } } });
    }
    for (let moved = 1, round = 0; moved; round++) {
      assert.ok(round < 6, 'the ring does not come to rest');
      moved = 0;
      for (let i = 0; i < 3; i++) {
        const res = await t.PouchDB.replicate(dbs[i], dbs[(i + 1) % 3]);
        whole(res, 'ring');
        moved += res.docs_written;
      }
    }
    await same(dbs[0], dbs[1]);
    await same(dbs[1], dbs[2]);
    assert.strictEqual((await dbs[0].get('r3', { conflicts: true }))._conflicts.length, 2);
  },

  // one push, for tests that cut it off or spoil it on the way; retried until it is through.
  async pushUntilDone(t) {
    const n = Number(t.args[0]);
    const a = local(t), r = remote(t, 'jobs');
    for (let i = 0; i < n; i++) await a.put({ _id: 'p' + i, i });
    for (let tries = 0; ; tries++) {
      try { whole(await a.replicate.to(r, { batch_size: 10, batches_limit: 1 }), 'push'); return { tries }; } catch (err) {
        assert.ok(tries < 60, String(err));
        await new Promise((ok) => setTimeout(ok, 20));
      }
    }
  },
  async pullUntilDone(t) {
    const n = Number(t.args[0]);
    const a = local(t), r = remote(t, 'jobs');
    for (let tries = 0; ; tries++) {
      try {
        whole(await a.replicate.from(r, { batch_size: 10, batches_limit: 1 }), 'pull');
        assert.strictEqual((await a.info()).doc_count, n);
        return { tries };
      } catch (err) {
        assert.ok(tries < 60, String(err));
        await new Promise((ok) => setTimeout(ok, 20));
      }
    }
  },

  // generated histories: the same revisions, in another order for each, must give the same winner,
  // conflicts and leaves
  async histories(t) {
    let x = Number(t.args[0]);
    const rnd = (n) => { x = (x * 1103515245 + 12345) & 0x7fffffff; return (x >> 8) % n; };
    const a = local(t), r = remote(t, 'jobs');
    for (let d = 0; d < 40; d++) {
      const nodes = [];
      for (let i = 0; i < 1 + rnd(12); i++) {
        const parent = nodes.length && rnd(5) ? nodes[rnd(nodes.length)] : null;
        const pos = parent ? parent.pos + 1 : 1;
        nodes.push({ pos, hash: crypto.createHash('md5').update(d + '/' + i).digest('hex'), parent, gone: rnd(5) === 0, i });
      }
      const docs = nodes.map((n) => {
        const ids = [];
        for (let at = n; at; at = at.parent) ids.push(at.hash);
        const doc = { _id: 'h' + d, _rev: n.pos + '-' + n.hash, _revisions: { start: n.pos, ids }, i: n.i };
        if (n.gone) doc._deleted = true;
        return doc;
      });
      const shuffled = () => docs.map((doc) => [rnd(1000), doc]).sort((p, q) => p[0] - q[0]).map((p) => p[1]);
      for (const db of [a, r]) {
        for (const doc of shuffled()) if (rnd(4)) await db.bulkDocs([doc], { new_edits: false });
        await db.bulkDocs(shuffled(), { new_edits: false });
      }
      const sides = [];
      for (const db of [a, r]) {
        const leaves = (await db.get('h' + d, { open_revs: 'all' })).map((row) => row.ok._rev + (row.ok._deleted ? ' gone ' : ' ') + row.ok.i).sort();
        let winner = null;
        try { winner = await db.get('h' + d, { conflicts: true, revs: true }); } catch (err) { assert.strictEqual(err.status, 404); }
        if (winner && winner._conflicts) winner._conflicts.sort();
        sides.push({ leaves, winner });
      }
      assert.deepStrictEqual(sides[0], sides[1]);
    }
  },

  // a phone that stays awake and does what it is told, a line at a time, in one session
  async phone(t) {
    const a = local(t), r = remote(t, 'jobs');
    const lines = require('readline').createInterface({ input: process.stdin });
    process.stdout.write('ready\n');
    for await (const line of lines) {
      const [what, from, to] = line.split(' ');
      if (what === 'put') for (let i = Number(from); i < Number(to); i++) await a.put({ _id: 'p' + i, i });
      if (what === 'push') whole(await a.replicate.to(r), 'push');
      if (what === 'pull') whole(await a.replicate.from(r), 'pull');
      process.stdout.write('done\n');
    }
  },
};
