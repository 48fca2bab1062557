package main

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/server/replication/peertest"
)

// peerFolder is where the published PouchDB is installed.
const peerFolder = "../../server/replication/testdata/peer"

// peerPage is a page of another origin with PouchDB and two phones' databases on it.
const peerPage = `<!doctype html><meta charset="utf-8"><title>peer</title><body><script src="/pouchdb.min.js"></script><script>
const office = new URLSearchParams(location.search).get("office");
let token = "";
const withToken = (url, opts) => { opts.headers.set("Authorization", "Bearer " + token); return PouchDB.fetch(url, opts); };
const a = new PouchDB("a"), b = new PouchDB("b"), far = new PouchDB(office + "/sync/shop", {skip_setup: true, fetch: withToken});
const pair = async code => {
	const r = await fetch(office + "/api/pair", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({code, name: "a page"})});
	token = (await r.json()).token;
	return r.status;
};
const whole = r => { if (!r.ok || r.doc_write_failures || r.errors.length) throw new Error(JSON.stringify(r)); return r; };
const push = async db => whole(await db.replicate.to(far)), pull = async db => whole(await db.replicate.from(far));
const state = async db => {
	const out = {};
	for (const row of (await db.changes({since: 0, style: "all_docs", include_docs: true})).results) {
		const {_attachments, ...doc} = row.doc;
		out[row.id] = [row.changes.map(c => c.rev).sort(), JSON.stringify(doc, Object.keys(doc).sort()),
			Object.entries(_attachments || {}).map(([name, att]) => [name, att.digest, att.length, att.content_type])];
	}
	return JSON.stringify(Object.entries(out).sort((x, y) => x[0] < y[0] ? -1 : 1));
};
const equal = async () => { const all = await Promise.all([a, b, far].map(state)); return all[0] === all[1] && all[1] === all[2] ? "" : all.join("\n"); };
const bytes = async (db, id) => Array.from(new Uint8Array(await (await db.getAttachment(id, "photo")).arrayBuffer()));
</script>`

// peerInBrowser opens a page of another origin, which the office was told to allow.
func peerInBrowser(t *testing.T) (phone *browsertest.Browser, gate *browsertest.Gate, restart func()) {
	script, err := os.ReadFile(filepath.Join(peertest.Install(t, peerFolder), "node_modules/pouchdb/dist/pouchdb.min.js"))
	require.NoError(t, err)
	site := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/pouchdb.min.js" {
			w.Header().Set("Content-Type", "text/javascript")
			_, _ = w.Write(script)
			return
		}
		w.Header().Set("Content-Type", "text/html")
		_, _ = w.Write([]byte(peerPage))
	}))
	t.Cleanup(site.Close)
	data := t.TempDir()
	gate = browsertest.NewGate(t)
	office := browsertest.StartOffice(t, data, "--origin", site.URL)
	gate.To(office.Addr)
	phone = browsertest.Open(t, t.TempDir(), browsertest.Desk)
	phone.Go(site.URL + "/?office=" + gate.URL())
	phone.Wait("PouchDB is there", `typeof equal === "function"`)
	return phone, gate, func() {
		office.Kill()
		office = browsertest.StartOffice(t, data, "--origin", site.URL)
		gate.To(office.Addr)
	}
}

// TestPouchDBInBrowser: PouchDB's own build in Chromium exchanges records with
// the program that serves, from a page of another origin.
func TestPouchDBInBrowser(t *testing.T) {
	t.Parallel()
	phone, gate, restart := peerInBrowser(t)
	js := func(what, script string) string {
		t.Helper()
		out := browsertest.Eval[string](phone, `(async () => { `+script+`; return ""; })().catch(e => "failed: " + (e.message || e.name) + " " + JSON.stringify(e) + e.stack)`)
		require.False(t, strings.HasPrefix(out, "failed: "), "%s %s", what, out)
		return out
	}
	same := func(what string) {
		t.Helper()
		require.Empty(t, browsertest.Eval[string](phone, `equal()`), what)
	}

	refused := browsertest.Eval[float64](phone, `fetch(office + "/sync/shop").then(r => r.status)`)
	require.EqualValues(t, http.StatusUnauthorized, refused, "a page of another origin is no owner, also on this machine")
	resp, err := http.Post(gate.URL()+"/api/pair/code", "application/json", strings.NewReader(`{"role":"hand"}`))
	require.NoError(t, err)
	var shown struct{ Code string }
	require.NoError(t, json.NewDecoder(resp.Body).Decode(&shown))
	require.NoError(t, resp.Body.Close())
	require.EqualValues(t, http.StatusCreated, browsertest.Eval[float64](phone, `pair(`+strconv.Quote(shown.Code)+`)`))

	js("push", `await a.bulkDocs(Array.from({length: 250}, (_, i) => ({_id: "job/" + i + " ä%2F", reading: i / 8, note: "Ø 19 mm — \"flange\""}))); await push(a)`)
	js("pull", `await pull(b)`)
	same("push and pull")
	assert.Equal(t, "0 0", js("nothing to do", `return (await push(a)).docs_written + " " + (await pull(b)).docs_written`))

	js("photos", `const noise = n => { const out = new Uint8Array(n); for (let i = 0; i < n; i += 65536) crypto.getRandomValues(out.subarray(i, Math.min(n, i + 65536))); return out; };
		window.photos = {};
		for (const n of [0, 1, 65537, 900000]) {
			photos["photo" + n] = Array.from(noise(n));
			await a.put({_id: "photo" + n, _attachments: {photo: {content_type: "image/jpeg", data: new Blob([new Uint8Array(photos["photo" + n])], {type: "image/jpeg"})}}});
		}
		await push(a); await pull(b)`)
	assert.Empty(t, js("the photos' bytes", `for (const id in photos) for (const db of [b, far]) {
		const got = await bytes(db, id);
		if (got.length !== photos[id].length || got.some((x, i) => x !== photos[id][i])) return id + " is another";
	}`))
	same("photos")

	js("conflicts and deletions", `for (let i = 0; i < 6; i++) {
			const id = "job/" + i + " ä%2F", x = await a.get(id), y = await b.get(id);
			await a.put({...x, from: "a"}); await b.put({...y, from: "b"});
			if (i % 2) await b.put({...(await b.get(id)), from: "b again"});
		}
		await a.remove(await a.get("job/10 ä%2F")); await b.put({...(await b.get("job/11 ä%2F")), _deleted: true, why: "scrapped"});
		await push(a); await push(b); await pull(a); await pull(b); await pull(a)`)
	same("conflicts and deletions")
	assert.Equal(t, "1 1 1", js("each sees the conflict", `return (await Promise.all([a, b, far].map(async db => (await db.get("job/0 ä%2F", {conflicts: true}))._conflicts.length))).join(" ")`))
	js("settled at the office", `const doc = await far.get("job/0 ä%2F", {conflicts: true}); await far.remove(doc._id, doc._conflicts[0]); await pull(a); await pull(b)`)
	same("a settled conflict")
	assert.Equal(t, "none none", js("settled", `return (await Promise.all([a, b].map(async db => (await db.get("job/0 ä%2F", {conflicts: true}))._conflicts || "none"))).join(" ")`))

	// live, both ways, over a cut network and a killed office
	js("live", `window.live = [a, b].map(db => { const s = db.sync(far, {live: true, retry: true, back_off_function: () => 100});
		window.trouble = []; s.on("denied", e => trouble.push(e)); s.on("error", e => trouble.push(e)); s.catch(() => {}); return s; });
		await a.put({_id: "live1", from: "a"})`)
	phone.Wait("a's record is at b", `b.get("live1").then(() => true, () => false)`)
	gate.Shut()
	js("while the network is gone", `await a.put({_id: "live2", from: "a"}); await b.put({_id: "live3", from: "b"})`)
	restart()
	gate.Open()
	phone.Wait("both are everywhere", `Promise.all([b.get("live2"), a.get("live3"), far.get("live2"), far.get("live3")]).then(() => true, () => false)`)
	assert.Equal(t, "[]", js("no trouble", `live.forEach(s => s.cancel()); return JSON.stringify(trouble)`))
	phone.Wait("all are equal", `equal().then(x => x === "")`)
	same("live")
}
