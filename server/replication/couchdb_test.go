package replication

import (
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/replication/couchcheck"
	"datumbook/store"
	"datumbook/store/revtree"
)

// What a CouchDB 3.5.0 does where the protocol is silent, line by line. The facts are from its sources.

// pushed sends documents as revisions made elsewhere.
func (o *office) pushed(t testing.TB, docs ...string) reply {
	t.Helper()
	return o.ask(t, "POST", "/jobs/_bulk_docs", `{"new_edits":false,"docs":[`+strings.Join(docs, ",")+`]}`)
}

func refusedOf(t testing.TB, o *office) []store.Refusal {
	t.Helper()
	list, err := o.Store.Refused()
	require.NoError(t, err)
	return list
}

// The end of a multipart answer is its last boundary, to the byte, also of one inside another.
func TestPartsEndExactly(t *testing.T) {
	o := mustOffice(t, "jobs")
	long := strings.Repeat("photo", 60_000)
	r := o.pushed(t, `{"_id":"m","_rev":"1-a","_attachments":{"a":{"data":"aGVsbG8="},"b":{"data":"`+encode64([]byte(long))+`"}}}`,
		`{"_id":"m","_rev":"1-b","n":1}`)
	require.Equal(t, "[]\n", r.body)
	r = o.ask(t, "GET", `/jobs/m?open_revs=all&revs=true&latest=true`, "", "Accept", "multipart/mixed")
	docs, err := couchcheck.Mixed(r.header.Get("Content-Type"), []byte(r.body))
	require.NoError(t, err)
	require.Len(t, docs, 2)
	assert.Equal(t, "1-b", docs[0].Rev)
	assert.Equal(t, map[string][]byte{"a": []byte("hello"), "b": []byte(long)}, docs[1].Files)
	r = o.ask(t, "GET", `/jobs/m?rev=1-a&attachments=true`, "", "Accept", "multipart/related")
	d, err := couchcheck.Related(r.header.Get("Content-Type"), []byte(r.body))
	require.NoError(t, err)
	assert.Len(t, d.Files, 2)
	r = o.ask(t, "GET", `/jobs/m?open_revs=["1-a","7-q"]`, "", "Accept", "multipart/mixed")
	docs, err = couchcheck.Mixed(r.header.Get("Content-Type"), []byte(r.body))
	require.NoError(t, err)
	assert.Equal(t, "7-q", docs[1].Missing)
}

// An empty content is within the document: CouchDB's reader of a part waits for its first byte.
func TestEmptyContentsAreInline(t *testing.T) {
	o := mustOffice(t, "jobs")
	require.Equal(t, "[]\n", o.pushed(t,
		`{"_id":"one","_rev":"1-a","_attachments":{"none":{"content_type":"text/plain","data":""}}}`,
		`{"_id":"two","_rev":"1-a","_attachments":{"none":{"data":""},"some":{"data":"aGVsbG8="},"then":{"data":""}}}`).body)
	for id, want := range map[string]map[string][]byte{
		"one": {"none": {}}, "two": {"none": {}, "some": []byte("hello"), "then": {}}} {
		r := o.ask(t, "GET", "/jobs/"+id+"?open_revs=all&revs=true", "", "Accept", "multipart/mixed")
		docs, err := couchcheck.Mixed(r.header.Get("Content-Type"), []byte(r.body))
		require.NoError(t, err, id)
		assert.Equal(t, want, docs[0].Files, id)
		r = o.ask(t, "GET", "/jobs/"+id+"?attachments=true", "", "Accept", "multipart/related, application/json")
		var d couchcheck.Doc
		if kind, _, _ := mime.ParseMediaType(r.header.Get("Content-Type")); kind == "application/json" {
			d, err = couchcheck.Read([]byte(r.body))
		} else {
			d, err = couchcheck.Related(r.header.Get("Content-Type"), []byte(r.body))
		}
		require.NoError(t, err, id)
		assert.Equal(t, want, d.Files, id)
	}
}

// With an empty atts_since a CouchDB wants stubs: it fetches the contents in parts afterwards.
func TestEmptyAttsSinceGivesStubs(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.pushed(t, `{"_id":"p","_rev":"1-a","_attachments":{"a":{"data":"aGVsbG8="}}}`)
	r := o.ask(t, "POST", "/jobs/_bulk_get?revs=true&latest=true&attachments=false",
		`{"docs":[{"id":"p","rev":"1-a","atts_since":[]}],"attachments":false}`)
	docs, err := couchcheck.BulkGet([]couchcheck.Asked{{ID: "p", Rev: "1-a"}}, []byte(r.body))
	require.NoError(t, err)
	assert.Equal(t, []string{"a"}, docs[0].Stubs)
	assert.Equal(t, "aGVsbG8=", o.ask(t, "POST", "/jobs/_bulk_get",
		`{"docs":[{"id":"p","rev":"1-a","atts_since":["7-x"]}]}`).at("results.0.docs.0.ok._attachments.a.data"))
}

// _revisions says which revision a pushed document is, whatever its _rev says.
func TestRevisionsDecide(t *testing.T) {
	o := mustOffice(t, "jobs")
	require.Equal(t, "[]\n", o.pushed(t,
		`{"_id":"a","_rev":"9-z","_revisions":{"start":2,"ids":["b","a"]},"n":1}`,
		`{"_id":"b","_revisions":{"start":3,"ids":["c"]},"n":2}`).body)
	assert.Equal(t, "2-b", o.ask(t, "GET", "/jobs/a", "").at("_rev"))
	assert.Equal(t, "3-c", o.ask(t, "GET", "/jobs/b", "").at("_rev"))
	r := o.ask(t, "PUT", "/jobs/c?new_edits=false", `{"_rev":"1-x","_revisions":{"start":2,"ids":["y","x"]}}`)
	assert.Equal(t, "2-y", r.at("rev"), r.body)
	assert.Empty(t, refusedOf(t, o))
}

// What a replicator notes in the document of its task is kept like any other member.
func TestReplicationMembersAreKept(t *testing.T) {
	o := mustOffice(t, "jobs")
	const members = `"source":"x","_replication_id":"r1","_replication_state":"completed",` +
		`"_replication_state_time":"2026-01-02T03:04:05Z","_replication_state_reason":null,"_replication_stats":{"docs_read":1}`
	require.Equal(t, "[]\n", o.pushed(t, `{"_id":"task","_rev":"1-a",`+members+`}`).body)
	assert.Contains(t, o.ask(t, "GET", "/jobs/task", "").body, members)
	r := o.ask(t, "PUT", "/jobs/task", `{"_rev":"1-a","_replication_state":"failed"}`)
	assert.Equal(t, 201, r.status, r.body)
	_, err := couchcheck.Read([]byte(o.ask(t, "GET", "/jobs/task", "").body))
	assert.NoError(t, err)
}

// A row of an edit that was refused names the document and why, and no revision.
func TestConflictRowsCarryNoRev(t *testing.T) {
	o := mustOffice(t, "jobs")
	one := o.ask(t, "PUT", "/jobs/a", `{"n":1}`).at("rev")
	r := o.ask(t, "POST", "/jobs/_bulk_docs", fmt.Sprintf(`{"docs":[{"_id":"a","_rev":"1-zz"},{"_id":"a"},{"_id":"a","_rev":%q}]}`, one))
	for _, row := range []string{"0", "1"} {
		assert.Equal(t, "conflict", r.at(row+".error"))
		assert.Nil(t, r.at(row+".rev"), r.body)
	}
	assert.NotNil(t, r.at("2.rev"))
}

// A document without a revision among pushed ones, and one with an unknown member, refuse the batch,
// as they do at a CouchDB: a replicator halves it. Nothing of it is lost: what was at fault is set
// aside whole, once, and the others are taken when they come again.
func TestFaultsThatRefuseABatch(t *testing.T) {
	for _, c := range []struct{ name, doc, word, says, kept string }{
		{"no revision", `{"_id":"bad","kept":"whole"}`, "bad_request", "`_rev` or `_revisions`", `{"kept":"whole"}`},
		{"no revision but null", `{"_id":"bad","_rev":null,"n":1}`, "bad_request", "`_rev` or `_revisions`", `{"n":1}`},
		{"unknown member", `{"_id":"bad","_rev":"1-a","_what":[1.50],"n":1}`, "doc_validation", "_what", `{"_what":[1.50],"n":1}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := mustOffice(t, "jobs")
			for range 2 {
				r := o.pushed(t, `{"_id":"good","_rev":"1-a"}`, c.doc)
				assert.Equal(t, 400, r.status, r.body)
				assert.Equal(t, c.word, r.at("error"))
				assert.Contains(t, r.at("reason"), c.says)
				assert.Equal(t, 404, o.ask(t, "GET", "/jobs/good", "").status, "nothing of the batch is stored")
			}
			list := refusedOf(t, o)
			require.Len(t, list, 1)
			assert.Equal(t, "bad", list[0].ID)
			assert.Equal(t, c.kept, string(list[0].Body))
			assert.Equal(t, "[]\n", o.pushed(t, `{"_id":"good","_rev":"1-a"}`).body)
			r := o.ask(t, "PUT", "/jobs/bad?new_edits=false", c.doc)
			assert.Equal(t, 400, r.status)
			assert.Equal(t, c.word, r.at("error"))
			assert.Len(t, refusedOf(t, o), 1)
		})
	}
	o := mustOffice(t, "jobs")
	r := o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"a"},{"_id":"b","_what":1}]}`)
	assert.Equal(t, 400, r.status)
	assert.Equal(t, "doc_validation", r.at("error"))
	assert.Equal(t, 404, o.ask(t, "GET", "/jobs/a", "").status)
	// Only what a CouchDB can hold itself stays a row: refusing its batch would stop it for good.
	r = o.pushed(t, `{"_id":"a","_rev":"1-a"}`, `{"_id":"b","_rev":"1-a","_access":["x"]}`)
	assert.Equal(t, 201, r.status, r.body)
	assert.Equal(t, "forbidden", r.at("0.error"))
	assert.Equal(t, 200, o.ask(t, "GET", "/jobs/a", "").status)
	assert.JSONEq(t, `{"_access":["x"]}`, string(refusedOf(t, o)[0].Body))
}

// A stub stands for bytes that are here, and else is 412: never other bytes under the new revision.
func TestStubsForBytesNotHere(t *testing.T) {
	o := mustOffice(t, "jobs")
	require.Equal(t, "[]\n", o.pushed(t, `{"_id":"p","_rev":"1-a","_attachments":{"a":{"content_type":"t/x","data":"b2xk"}}}`).body)
	// The revision between was not sent: it may have had other bytes.
	for _, stub := range []string{`{"stub":true}`, `{"stub":true,"revpos":1}`, `{"stub":true,"revpos":2}`,
		`{"stub":true,"digest":"md5-sorryIDoNotReallyExist=="}`,
		`{"stub":true,"revpos":1,"digest":"` + digestOf("new") + `"}`} {
		r := o.ask(t, "PUT", "/jobs/p?new_edits=false",
			`{"_rev":"3-c","_revisions":{"start":3,"ids":["c","b","a"]},"_attachments":{"a":`+stub+`}}`)
		assert.Equal(t, 412, r.status, "%s: %s", stub, r.body)
		assert.Equal(t, "missing_stub", r.at("error"))
		assert.Equal(t, "1-a", o.ask(t, "GET", "/jobs/p", "").at("_rev"))
	}
	r := o.ask(t, "PUT", "/jobs/p?new_edits=false", `{"_rev":"3-c","_revisions":{"start":3,"ids":["c","b","a"]},`+
		`"_attachments":{"a":{"stub":true,"revpos":1,"digest":"`+digestOf("old")+`"}}}`)
	require.Equal(t, 201, r.status, "the digest names bytes that are here: %s", r.body)
	assert.Equal(t, "old", o.ask(t, "GET", "/jobs/p/a", "").body)
	assert.Empty(t, refusedOf(t, o), "what came whole then is no longer set aside")
	// On the parent itself a stub needs no digest.
	assert.Equal(t, 201, o.ask(t, "PUT", "/jobs/p", `{"_rev":"3-c","_attachments":{"a":{"stub":true}}}`).status)
	// A sibling's bytes are not an ancestor's.
	o.pushed(t, `{"_id":"s","_rev":"1-a"}`, `{"_id":"s","_rev":"2-b","_revisions":{"start":2,"ids":["b","a"]}}`,
		`{"_id":"s","_rev":"2-c","_revisions":{"start":2,"ids":["c","a"]},"_attachments":{"a":{"data":"b2xk"}}}`)
	r = o.ask(t, "PUT", "/jobs/s", `{"_rev":"2-b","_attachments":{"a":{"stub":true,"revpos":2,"digest":"`+digestOf("old")+`"}}}`)
	assert.Equal(t, 412, r.status, r.body)
}

// New bytes get the new generation, whatever is sent, inline, as a part or at their own address.
func TestRevposOfNewBytes(t *testing.T) {
	o := mustOffice(t, "jobs")
	r := o.ask(t, "PUT", "/jobs/p", `{"_attachments":{"a":{"revpos":7,"data":"b25l"}}}`)
	assert.EqualValues(t, 1, o.ask(t, "GET", "/jobs/p", "").at("_attachments.a.revpos"))
	body := "--x\r\nContent-Type: application/json\r\n\r\n" + fmt.Sprintf(`{"_rev":%q,"_attachments":{"a":{"revpos":1,`+
		`"follows":true,"length":3}}}`, r.at("rev")) + "\r\n--x\r\n\r\ntwo\r\n--x--"
	r = o.ask(t, "PUT", "/jobs/p", body, "Content-Type", "multipart/related; boundary=x")
	require.Equal(t, 201, r.status, r.body)
	assert.EqualValues(t, 2, o.ask(t, "GET", "/jobs/p", "").at("_attachments.a.revpos"))
	r = o.ask(t, "PUT", "/jobs/p/a?rev="+r.at("rev").(string), "three")
	require.Equal(t, 201, r.status, r.body)
	assert.EqualValues(t, 3, o.ask(t, "GET", "/jobs/p", "").at("_attachments.a.revpos"))
	assert.Equal(t, "[]\n", o.pushed(t, `{"_id":"q","_rev":"4-d","_attachments":{"a":{"revpos":9,"data":"b25l"},"b":{"data":"b25l"}}}`).body)
	assert.EqualValues(t, 4, o.ask(t, "GET", "/jobs/q", "").at("_attachments.a.revpos"))
	assert.EqualValues(t, 4, o.ask(t, "GET", "/jobs/q", "").at("_attachments.b.revpos"))
}

// A part whose bytes do not have the digest that is told of them is refused with its document.
func TestPartsWithAnotherDigest(t *testing.T) {
	o := mustOffice(t, "jobs")
	body := func(digest, content string) string {
		return "--x\r\nContent-Type: application/json\r\n\r\n" +
			`{"_rev":"1-a","_attachments":{"a":{"follows":true,"length":5,"digest":"` + digest + `"}}}` +
			"\r\n--x\r\n\r\n" + content + "\r\n--x--"
	}
	for _, query := range []string{"?new_edits=false", ""} {
		r := o.ask(t, "PUT", "/jobs/d"+query, body(digestOf("hello"), "hallo"), "Content-Type", "multipart/related; boundary=x")
		assert.Equal(t, 400, r.status, r.body)
		assert.Contains(t, r.at("reason"), `attachment "a"`)
		assert.Equal(t, 404, o.ask(t, "GET", "/jobs/d", "").status)
	}
	assert.Equal(t, 201, o.ask(t, "PUT", "/jobs/d?new_edits=false", body(digestOf("hello"), "hello"),
		"Content-Type", "multipart/related; boundary=x").status)
}

// A checkpoint that is deleted is at revision 0-0, whichever way it went.
func TestDeletedCheckpointsAnswer00(t *testing.T) {
	o := mustOffice(t, "jobs")
	put := func() {
		t.Helper()
		require.Equal(t, "0-1", o.ask(t, "PUT", "/jobs/_local/c", `{"n":1}`).at("rev"))
	}
	put()
	assert.Equal(t, "0-0", o.ask(t, "DELETE", "/jobs/_local/c?rev=0-1", "").at("rev"))
	put()
	assert.Equal(t, "0-0", o.ask(t, "PUT", "/jobs/_local/c", `{"_rev":"0-1","_deleted":true}`).at("rev"))
	put()
	assert.Equal(t, "0-0", o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"_local/c","_rev":"0-1","_deleted":true}]}`).at("0.rev"))
	put()
}

// With seq_interval rows in between have no sequence, counted off as CouchDB does; the last row always
// has, so that a client can go on from there.
func TestSeqInterval(t *testing.T) {
	o := mustOffice(t, "jobs")
	for i := range 700 {
		o.pushed(t, fmt.Sprintf(`{"_id":"d%03d","_rev":"1-a","odd":%t}`, i, i%2 == 1))
	}
	seqs := func(r reply) (out []any) {
		require.Equal(t, 200, r.status, r.body)
		for i := range r.at("results").([]any) {
			out = append(out, r.at(fmt.Sprintf("results.%d.seq", i)))
		}
		return out
	}
	ask := func(query string) []any { return seqs(o.ask(t, "GET", "/jobs/_changes?"+query, "")) }
	assert.Equal(t, []any{nil, nil, 3.0, nil, nil, 6.0, nil, 8.0}, ask("seq_interval=3&limit=8"))
	assert.Equal(t, []any{1.0, nil, nil, nil, nil, 6.0}, ask("seq_interval=5")[:6], "off the default limit of 10^15")
	all := ask("seq_interval=250")
	require.Len(t, all, 700)
	assert.Equal(t, 700.0, all[699])
	real := 0
	for i, seq := range all {
		if seq != nil {
			real++
			assert.EqualValues(t, i+1, seq)
		}
	}
	assert.Equal(t, 4, real, "1, 251, 501 and the last")
	assert.Equal(t, []any{nil, nil, 6.0}, seqs(o.ask(t, "POST", "/jobs/_changes?filter=_selector&seq_interval=9&limit=3",
		`{"selector":{"odd":true}}`)), "a filter's last row too")
	assert.Len(t, ask("seq_interval=9&since=700"), 0)
	assert.NotContains(t, ask("seq_interval=9&include_docs=true"), nil, "with documents every row has it")
	lines := strings.Split(strings.TrimSpace(o.ask(t, "GET", "/jobs/_changes?feed=continuous&timeout=1&seq_interval=9&limit=3", "").body), "\n")
	require.Len(t, lines, 4)
	assert.Contains(t, lines[0], `{"seq":null,`)
	assert.Contains(t, lines[2], `{"seq":3,`)
	for _, bad := range []string{"0", "-1", "x"} {
		assert.Equal(t, 400, o.ask(t, "GET", "/jobs/_changes?seq_interval="+bad, "").status)
	}
}

// Design documents and checkpoints are listed with the options of _all_docs.
func TestDesignDocsAndLocalDocs(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.pushed(t, `{"_id":"Z","_rev":"1-a"}`, `{"_id":"_design/a","_rev":"1-a","n":1}`, `{"_id":"_design/b","_rev":"1-b"}`,
		`{"_id":"_design/c","_rev":"1-c","_deleted":true}`, `{"_id":"zz","_rev":"1-a"}`)
	for _, id := range []string{"x", "b/1", "ü"} {
		require.Equal(t, 201, o.ask(t, "PUT", "/jobs/_local/"+strings.NewReplacer("/", "%2F", "ü", "%C3%BC").Replace(id), `{"n":1}`).status)
	}
	o.ask(t, "PUT", "/jobs/_local/gone", `{}`)
	o.ask(t, "DELETE", "/jobs/_local/gone?rev=0-1", "")
	ids := func(method, path, body string) (out []any) {
		t.Helper()
		r := o.ask(t, method, "/jobs/"+path, body)
		require.Equal(t, 200, r.status, r.body)
		for _, row := range r.at("rows").([]any) {
			out = append(out, row.(map[string]any)["key"])
		}
		return out
	}
	r := o.ask(t, "GET", "/jobs/_design_docs?update_seq=true", "")
	assert.EqualValues(t, 2, r.at("total_rows"))
	assert.EqualValues(t, 5, r.at("update_seq"))
	assert.Equal(t, "1-a", r.at("rows.0.value.rev"))
	const a, b, none = "_design/a", "_design/b", "_design/none"
	for _, c := range []struct {
		path string
		want []any
	}{
		{"_design_docs", []any{a, b}}, {"_design_docs?descending=true", []any{b, a}},
		{"_design_docs?limit=1", []any{a}}, {"_design_docs?skip=1", []any{b}}, {"_design_docs?descending=true&skip=1", []any{a}},
		{"_design_docs?startkey=%22_design/b%22", []any{b}}, {"_design_docs?endkey=%22_design/a%22", []any{a}},
		{"_design_docs?startkey=%22A%22&endkey=%22zz%22", []any{a, b}}, {"_design_docs?startkey=%22zz%22&endkey=%22A%22&descending=true", []any{b, a}},
		{"_design_docs?startkey=%22a%22", nil}, {"_design_docs?endkey=%22A%22", nil}, {"_design_docs?key=%22_design/b%22", []any{b}},
		{"_design_docs?key=%22Z%22", nil}, {"_design_docs?endkey=%22_design/b%22&inclusive_end=false", []any{a}},
		{"_local_docs", []any{"_local/b/1", "_local/x", "_local/ü"}}, {"_local_docs?descending=true&limit=1", []any{"_local/ü"}},
		{"_local_docs?startkey=%22_local/x%22&skip=1", []any{"_local/ü"}}, {"_local_docs?endkey=%22_local/x%22&inclusive_end=false", []any{"_local/b/1"}},
		{"_local_docs?key=%22_local/x%22", []any{"_local/x"}}, {"_local_docs?startkey=%22a%22", nil}, {"_local_docs?limit=0", nil},
	} {
		assert.Equal(t, c.want, ids("GET", c.path, ""), c.path)
	}
	assert.Equal(t, []any{b, none, a}, ids("POST", "_design_docs", `{"keys":["_design/b","Z","_design/none","_design/a"]}`))
	assert.Equal(t, []any{"_local/x", "_local/none"}, ids("POST", "_local_docs", `{"keys":["_local/x","Z","_local/none"]}`))
	r = o.ask(t, "POST", "/jobs/_design_docs", `{"keys":["_design/none","_design/a"],"include_docs":true}`)
	assert.Equal(t, "not_found", r.at("rows.0.error"))
	assert.EqualValues(t, 1, r.at("rows.1.doc.n"))
	r = o.ask(t, "GET", "/jobs/_local_docs?include_docs=true&update_seq=true", "")
	assert.Contains(t, r.body, `"total_rows":null,"offset":null,"update_seq":null`)
	assert.Equal(t, "0-1", r.at("rows.1.value.rev"))
	assert.Equal(t, map[string]any{"_id": "_local/x", "_rev": "0-1", "n": 1.0}, r.at("rows.1.doc"))
	r = o.ask(t, "POST", "/jobs/_local_docs", `{"keys":["_local/none"]}`)
	assert.Equal(t, "not_found", r.at("rows.0.error"))
}

func TestPurgedInfosLimit(t *testing.T) {
	o := mustOffice(t, "jobs", "more")
	assert.Equal(t, "1000\n", o.ask(t, "GET", "/jobs/_purged_infos_limit", "").body)
	assert.Equal(t, true, o.ask(t, "PUT", "/jobs/_purged_infos_limit", "50").at("ok"))
	assert.Equal(t, "50\n", o.ask(t, "GET", "/jobs/_purged_infos_limit", "").body)
	assert.Equal(t, "1000\n", o.ask(t, "GET", "/more/_purged_infos_limit", "").body)
	for _, bad := range []string{"0", "-1", `"x"`, "1.5", ""} {
		assert.Equal(t, 400, o.ask(t, "PUT", "/jobs/_purged_infos_limit", bad).status, bad)
	}
}

// The largest document is as large as CouchDB lets it be, counted as it counts: texts by their bytes,
// fractions as short ones.
func TestLargestDocument(t *testing.T) {
	assert.Equal(t, 8_000_000, maxDoc)
	for members, want := range map[string]int{
		``: 2, `"a":1`: 7, `"a":"x"`: 9, `"a":"\u00fc\n\""`: 12, `"a":[],"b":{}`: 15, `"a":[1,2,[3]]`: 15,
		`"a":{"b":null,"c":true}`: 25, `"a":1.23456`: 9, `"a":-0.5`: 10, `"a":1e300`: 11, `"a":1e11`: 10,
		`"a":0.0`: 9, `"a":-0`: 7, `"a":1e-5`: 10, `"a":1.5e-11`: 11, `"a":1e-101`: 12, `"a":-123456`: 13, `"a":false`: 11,
	} {
		assert.Equal(t, want, countJSON([]byte(members)), members)
	}
	o := mustOffice(t, "jobs")
	put := func(members string) int { return o.ask(t, "PUT", "/jobs/"+store.NewID(), "{"+members+"}").status }
	text := func(n int) string { return `"a":"` + strings.Repeat("x", n-8) + `"` } // {"a":""} are 8
	assert.Equal(t, 201, put(text(8_000_000)))
	assert.Equal(t, 413, put(text(8_000_001)))
	escaped := `"a":"` + strings.Repeat(`\n`, 100) + strings.Repeat("x", 8_000_000-8-100) + `"`
	assert.Equal(t, 201, put(escaped))
	assert.Equal(t, 413, put(escaped+`,"b":1`))
	r := o.pushed(t, `{"_id":"big","_rev":"1-a",`+text(8_000_001)+`}`, `{"_id":"small","_rev":"1-a"}`)
	assert.Equal(t, "forbidden", r.at("0.error"))
	assert.Equal(t, 200, o.ask(t, "GET", "/jobs/small", "").status)
}

// Half a surrogate pair is refused at the door wherever it stands, in a sentence that names the
// member; so is a number beyond a double. One such record stops a cluster for good.
func TestHalfLettersAreRefused(t *testing.T) {
	for _, c := range []struct{ name, doc, says string }{
		{"a text", `{"_id":"a","_rev":"1-a","note":"cut \ud83d"}`, `member "note"`},
		{"the second half", `{"_id":"a","_rev":"1-a","note":"\uDE00 off"}`, `member "note"`},
		{"two first halves", `{"_id":"a","_rev":"1-a","note":"\ud83d\ud83d\ude00"}`, `\ud83d`},
		{"deep inside", `{"_id":"a","_rev":"1-a","f":{"x":[{"v":"\ud800"}]}}`, `member "f"`},
		{"the name of a member", `{"_id":"a","_rev":"1-a","\ud800":1}`, `\ud800`},
		{"the name of a member inside", `{"_id":"a","_rev":"1-a","f":{"\ud800":1}}`, `member "f"`},
		{"the id", `{"_id":"a\ud800","_rev":"1-a"}`, "_id: "},
		{"an attachment's name", `{"_id":"a","_rev":"1-a","_attachments":{"p\udc00":{"data":""}}}`, `attachment "p\udc00"`},
		{"an attachment's type", `{"_id":"a","_rev":"1-a","_attachments":{"p":{"content_type":"\ud800","data":""}}}`, "attachment p"},
		{"a number", `{"_id":"a","_rev":"1-a","n":1e999}`, `member "n"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := mustOffice(t, "jobs")
			r := o.pushed(t, c.doc, `{"_id":"good","_rev":"1-a","note":"\ud83d\ude00 \\ud800"}`)
			assert.Equal(t, 201, r.status, r.body)
			require.Len(t, r.v, 1, r.body)
			assert.Equal(t, "forbidden", r.at("0.error"))
			assert.Contains(t, r.at("0.reason"), c.says)
			assert.Equal(t, 200, o.ask(t, "GET", "/jobs/good", "").status, "a whole letter is one, and a backslash is none")
			assert.EqualValues(t, 1, o.ask(t, "GET", "/jobs", "").at("doc_count"))
			require.Len(t, refusedOf(t, o), 1)
			r = o.ask(t, "POST", "/jobs", strings.Replace(c.doc, `"_rev":"1-a",`, "", 1))
			assert.Equal(t, 400, r.status, r.body)
			assert.Contains(t, r.at("reason"), c.says)
		})
	}
	o := mustOffice(t, "jobs")
	assert.Equal(t, 400, o.ask(t, "PUT", "/jobs/_local/x", `{"a":"\ud800"}`).status)
	assert.Equal(t, 400, o.ask(t, "POST", "/jobs/_revs_diff", `{"a\ud800":["1-a"]}`).status)
}

// An older store may hold such a record. It is given out in a form that every replica can read and
// that keeps its digits; coming back like that it is the same record.
func TestOldRecordsStopNoCluster(t *testing.T) {
	o := mustOffice(t, "jobs")
	b, err := o.Store.Book("jobs")
	require.NoError(t, err)
	rev := revtree.Rev{Pos: 1, Hash: "a"}
	_, err = b.Push([]store.Doc{{ID: "old", Rev: rev, Body: []byte(`"note":"cut \ud83d off \ud83d\ude00","n":[1e999,-2E+400,1.50],"v":"1e999"`),
		Atts: []store.Att{{Name: "p", Blob: o.Store.NewBlob([]byte("hello"))}}}})
	require.NoError(t, err)
	want := `"note":"cut \ufffd off \ud83d\ude00","n":["1e999","-2E+400",1.50],"v":"1e999"`
	for _, path := range []string{"/jobs/old", "/jobs/old?open_revs=all", "/jobs/_all_docs?include_docs=true", "/jobs/_changes?include_docs=true"} {
		assert.Contains(t, o.ask(t, "GET", path, "").body, want, path)
	}
	r := o.ask(t, "GET", "/jobs/old?open_revs=all&revs=true", "", "Accept", "multipart/mixed")
	docs, err := couchcheck.Mixed(r.header.Get("Content-Type"), []byte(r.body))
	require.NoError(t, err)
	assert.Equal(t, "hello", string(docs[0].Files["p"]))
	r = o.ask(t, "POST", "/jobs/_bulk_get?revs=true", `{"docs":[{"id":"old","rev":"1-a"}]}`)
	_, err = couchcheck.BulkGet([]couchcheck.Asked{{ID: "old", Rev: "1-a"}}, []byte(r.body))
	require.NoError(t, err)
	back := `{"_id":"old","_rev":"1-a",` + want + `,"_attachments":{"p":{"data":"aGVsbG8="}}}`
	assert.Equal(t, "[]\n", o.pushed(t, back).body)
	assert.Empty(t, refusedOf(t, o), "the same record")
}

// A known revision that a CouchDB wrote anew is the same: it orders members, spells numbers and
// escapes texts its own way. One that says something else is set aside.
func TestSameRevisionIsCanonical(t *testing.T) {
	o := mustOffice(t, "jobs")
	doc := func(members string) string { return `{"_id":"a","_rev":"1-a",` + members + `}` }
	require.Equal(t, "[]\n", o.pushed(t, doc(`"b":{"y":1.50,"x":[1e3,10000000000000000000001]},"a":"ü\/\u0041"`)).body)
	for _, same := range []string{
		`"a":"\u00fc/A","b":{"x":[1000.0,10000000000000000000001],"y":1.5}`,
		`"a":"ü/A","b":{"y":15e-1,"x":[1000,10000000000000000000001]}`,
	} {
		assert.Equal(t, "[]\n", o.pushed(t, doc(same)).body)
		assert.Empty(t, refusedOf(t, o), same)
	}
	assert.Contains(t, o.ask(t, "GET", "/jobs/a", "").body, `"y":1.50`, "what came first stays, to the digit")
	for i, other := range []string{
		`"a":"ü/A","b":{"x":[1000,10000000000000000000002],"y":1.5}`, `"a":"ü/A","b":{"x":[10000000000000000000001,1000],"y":1.5}`,
		`"a":"ü/a","b":{"x":[1000,10000000000000000000001],"y":1.5}`, `"a":"ü/A","b":{"x":[1000,10000000000000000000001],"y":1.5},"c":null`,
	} {
		assert.Equal(t, "[]\n", o.pushed(t, doc(other)).body)
		assert.Len(t, refusedOf(t, o), i+1, other)
	}
	// The first one arriving again settles none of them: each is the only copy of what it says.
	o.pushed(t, doc(`"b":{"y":1.50,"x":[1e3,10000000000000000000001]},"a":"ü/A"`))
	assert.Len(t, refusedOf(t, o), 4)
}

// Design documents are code of some replica: the shop's rules never see one.
func TestRulesLeaveDesignDocsAlone(t *testing.T) {
	var seen []string
	s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "o.db"),
		Rules: func(_, id string, _ []byte) []string { seen = append(seen, id); return []string{"never right"} }})
	require.NoError(t, err)
	defer s.Close()
	_, err = s.CreateBook("jobs")
	require.NoError(t, err)
	o := &office{&Handler{Store: s}, httptest.NewServer(mount(&Handler{Store: s}))}
	defer o.Server.Close()
	o.pushed(t, `{"_id":"_design/x","_rev":"1-a","language":"javascript"}`, `{"_id":"a","_rev":"1-a"}`)
	o.ask(t, "PUT", "/jobs/_design/y", `{"views":{}}`)
	assert.Equal(t, []string{"a"}, seen)
	flags, err := s.Flags()
	require.NoError(t, err)
	require.Len(t, flags, 1)
	assert.Equal(t, "a", flags[0].ID)
}

// What was refused is not waiting for a look any more once the same revision has arrived whole; what
// was refused of other revisions, documents and books still is.
func TestRefusedRowsGoOnceTheRevisionArrives(t *testing.T) {
	o := mustOffice(t, "jobs", "more")
	bad := func(id, rev string) string { return fmt.Sprintf(`{"_id":%q,"_rev":%q,"n":1e999}`, id, rev) }
	stub := `{"_id":"s","_rev":"1-a","_attachments":{"p":{"stub":true}}}`
	require.Len(t, o.pushed(t, bad("a", "1-a"), bad("a", "1-b"), bad("b", "1-a"), stub).v, 4)
	o.ask(t, "POST", "/more/_bulk_docs", `{"new_edits":false,"docs":[`+bad("a", "1-a")+`]}`)
	require.Len(t, refusedOf(t, o), 5)
	require.Equal(t, "[]\n", o.pushed(t, `{"_id":"a","_rev":"1-a","n":"1e999"}`).body)
	left := func() (out []string) {
		for _, r := range refusedOf(t, o) {
			out = append(out, r.Book+" "+r.ID+" "+r.Rev)
		}
		return out
	}
	assert.ElementsMatch(t, []string{"jobs a 1-b", "jobs b 1-a", "jobs s 1-a", "more a 1-a"}, left())
	require.Equal(t, "[]\n", o.pushed(t, `{"_id":"s","_rev":"1-a","_attachments":{"p":{"data":"aGVsbG8="}}}`).body)
	assert.ElementsMatch(t, []string{"jobs a 1-b", "jobs b 1-a", "more a 1-a"}, left())
	require.Len(t, o.pushed(t, bad("a", "1-a")).v, 1, "refused again: it is still what it is")
	require.Equal(t, "[]\n", o.pushed(t, `{"_id":"a","_rev":"1-a","n":"1e999"}`).body)
	assert.ElementsMatch(t, []string{"jobs a 1-b", "jobs b 1-a", "more a 1-a"}, left(), "known already, and so here")
}

// TestOddRevisions: revisions that a CouchDB takes, or stops at, and that are none here. They are missing
// in a comparison and refused for themselves, and never stop what is beside them. Seen with CouchDB 3.5.0,
// which reads a hash of 32 letters as hexadecimal digits.
func TestOddRevisions(t *testing.T) {
	o := mustOffice(t, "shop")
	ask := func(path, body string) (int, string) {
		t.Helper()
		resp, err := http.Post(o.at()+"/shop/"+path, "application/json", strings.NewReader(body))
		require.NoError(t, err)
		defer resp.Body.Close()
		text, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		return resp.StatusCode, string(text)
	}
	const good = "1-967a00dff5e02add41819138abb3284d"
	for _, odd := range []string{"1-a b,c", "0-abc", "1-", "20000000-967a00dff5e02add41819138abb3284d",
		"1-zz7a00dff5e02add41819138abb3284d"} {
		status, text := ask("_revs_diff", `{"p":["`+odd+`","`+good+`"]}`)
		assert.Equal(t, 200, status, text)
		assert.Contains(t, text, `"`+odd+`"`)
		assert.Contains(t, text, `"`+good+`"`)
		status, text = ask("_bulk_docs", `{"new_edits":false,"docs":[{"_id":"odd","_rev":"`+odd+`","v":1},`+
			`{"_id":"beside","_rev":"`+good+`","v":1}]}`)
		assert.Equal(t, 201, status, text)
		assert.Contains(t, text, `"id":"odd"`)
		assert.Contains(t, text, `"error":"forbidden"`)
		assert.NotContains(t, text, "beside")
	}
	status, text := ask("_bulk_docs", `{"new_edits":false,"docs":[{"_id":"odd","_rev":"2-`+good[2:]+`",`+
		`"_revisions":{"start":2,"ids":["`+good[2:]+`","zz7a00dff5e02add41819138abb3284d"]}}]}`)
	assert.Equal(t, 201, status)
	assert.Contains(t, text, `"error":"forbidden"`)

	upper := "1-" + strings.ToUpper(good[2:])
	status, text = ask("_bulk_docs", `{"new_edits":false,"docs":[{"_id":"upper","_rev":"`+upper+`","v":1}]}`)
	assert.Equal(t, 201, status)
	assert.JSONEq(t, `[]`, text)
	_, text = ask("_revs_diff", `{"upper":["`+upper+`","`+good+`"]}`)
	assert.JSONEq(t, `{}`, text)
	_, text = ask("_bulk_get", `{"docs":[{"id":"upper"}]}`)
	assert.Contains(t, text, good)

	status, text = ask("_bulk_docs", `{"new_edits":false,"docs":[{"_id":"name","_rev":"`+good+`",`+
		`"_attachments":{"a\nb.txt":{"data":""}}}]}`)
	assert.Equal(t, 201, status)
	assert.Contains(t, text, "control character")
}
