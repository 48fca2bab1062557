package replication

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
)

// reply is an answer taken apart.
type reply struct {
	status int
	header http.Header
	body   string
	v      any // the body as JSON, if it is
}

// ask sends a request; further strings are headers, name and value in turn.
func (o *office) ask(t testing.TB, method, path, body string, headers ...string) reply {
	t.Helper()
	req, err := http.NewRequest(method, o.at()+path, strings.NewReader(body))
	require.NoError(t, err)
	for i := 0; i+1 < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	client := *o.Client()
	client.Timeout = 30 * time.Second
	resp, err := client.Do(req)
	require.NoError(t, err)
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	require.NoError(t, err)
	r := reply{status: resp.StatusCode, header: resp.Header, body: string(text)}
	if strings.HasPrefix(resp.Header.Get("Content-Type"), "application/json") && method != "HEAD" && len(text) > 0 && !strings.Contains(path, "feed=continuous") {
		require.NoError(t, json.Unmarshal(text, &r.v), r.body)
	}
	return r
}

// at gives a part of the JSON: names of members and numbers of items, by dots.
func (r reply) at(path string) any {
	v := r.v
	for _, name := range strings.Split(path, ".") {
		switch x := v.(type) {
		case map[string]any:
			v = x[name]
		case []any:
			var i int
			if _, err := fmt.Sscan(name, &i); err != nil || i >= len(x) {
				return nil
			}
			v = x[i]
		default:
			return nil
		}
	}
	return v
}

func rowsOf(t testing.TB, b *store.Book) []store.Change {
	t.Helper()
	var page store.ChangesPage
	require.NoError(t, b.View(func(view *store.View) (err error) {
		page, err = view.Changes(store.ChangesQuery{})
		return err
	}))
	return page.Rows
}

func TestErrorsAreJSONWithTheProtocolsWords(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.ask(t, "PUT", "/jobs/x", `{"n":1}`)
	for _, c := range []struct {
		name, method, path, body string
		status                   int
		word                     string
	}{
		{"no such book", "GET", "/none", "", 404, "not_found"},
		{"no such book, slash", "GET", "/none/", "", 404, "not_found"},
		{"book name", "PUT", "/Bad", "", 400, "illegal_database_name"},
		{"book is there", "PUT", "/jobs", "", 412, "file_exists"},
		{"no such document", "GET", "/jobs/none", "", 404, "not_found"},
		{"reserved id", "PUT", "/jobs/_x", "{}", 400, "bad_request"},
		{"live without revision", "PUT", "/jobs/x", "{}", 409, "conflict"},
		{"wrong revision", "PUT", "/jobs/x", `{"_rev":"1-00"}`, 409, "conflict"},
		{"bad revision", "PUT", "/jobs/x", `{"_rev":"one"}`, 400, "bad_request"},
		{"revision is a number", "PUT", "/jobs/x", `{"_rev":1}`, 400, "bad_request"},
		{"unknown member", "PUT", "/jobs/y", `{"_what":1}`, 400, "doc_validation"},
		{"not JSON", "PUT", "/jobs/y", `{"a":`, 400, "bad_request"},
		{"not an object", "PUT", "/jobs/y", `[]`, 400, "bad_request"},
		{"more after it", "PUT", "/jobs/y", `{} {}`, 400, "bad_request"},
		{"not UTF-8", "PUT", "/jobs/y", "{\"a\":\"\xff\"}", 400, "bad_request"},
		{"ids differ", "PUT", "/jobs/y", `{"_id":"z"}`, 400, "bad_request"},
		{"stub without ancestor", "PUT", "/jobs/y", `{"_attachments":{"p":{"stub":true}}}`, 412, "missing_stub"},
		{"data is no base64", "PUT", "/jobs/y", `{"_attachments":{"p":{"data":"?"}}}`, 400, "bad_request"},
		{"attachment named _", "PUT", "/jobs/y", `{"_attachments":{"_p":{"data":""}}}`, 400, "bad_request"},
		{"attachment, old revision", "PUT", "/jobs/x/p?rev=1-00", "x", 409, "conflict"},
		{"no such attachment", "GET", "/jobs/x/p", "", 404, "not_found"},
		{"bulk_docs, no docs", "POST", "/jobs/_bulk_docs", `{}`, 400, "bad_request"},
		{"bulk_docs, an array", "POST", "/jobs/_bulk_docs", `[]`, 400, "bad_request"},
		{"bulk_docs, id a number", "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":1}]}`, 400, "bad_request"},
		{"bulk_docs, reserved id", "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"_x"}]}`, 400, "bad_request"},
		{"bulk_docs, bad revision", "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"a","_rev":"x"}]}`, 400, "bad_request"},
		{"bulk_docs, docs no list", "POST", "/jobs/_bulk_docs", `{"docs":1}`, 400, "bad_request"},
		{"bulk_get, no docs", "POST", "/jobs/_bulk_get", `{}`, 400, "bad_request"},
		{"revs_diff, an array", "POST", "/jobs/_revs_diff", `[]`, 400, "bad_request"},
		{"revs_diff, bad revision", "POST", "/jobs/_revs_diff", `{"x":["a"]}`, 400, "bad_request"},
		{"since", "GET", "/jobs/_changes?since=x", "", 400, "bad_request"},
		{"feed", "GET", "/jobs/_changes?feed=x", "", 400, "bad_request"},
		{"heartbeat", "GET", "/jobs/_changes?feed=longpoll&heartbeat=x", "", 400, "bad_request"},
		{"filter", "GET", "/jobs/_changes?filter=a/b", "", 404, "not_found"},
		{"open_revs", "GET", "/jobs/x?open_revs=[1]", "", 400, "bad_request"},
		{"keys with a range", "POST", "/jobs/_all_docs?startkey=%22a%22", `{"keys":["x"]}`, 400, "query_parse_error"},
		{"limit", "GET", "/jobs/_all_docs?limit=x", "", 400, "query_parse_error"},
		{"checkpoint, wrong revision", "PUT", "/jobs/_local/c", `{"_rev":"0-4"}`, 409, "conflict"},
		{"no such checkpoint", "GET", "/jobs/_local/none", "", 404, "not_found"},
		{"checkpoint's attachment", "GET", "/jobs/_local/c/p", "", 400, "bad_request"},
		{"security", "PUT", "/jobs/_security", `{}`, 403, "forbidden"},
		{"revs limit", "PUT", "/jobs/_revs_limit", `0`, 400, "bad_request"},
		{"delete a live one without revision", "DELETE", "/jobs/x", "", 409, "conflict"},
		{"delete what is not there", "DELETE", "/jobs/none", "", 404, "not_found"},
		{"delete with a stranger's revision", "DELETE", "/jobs/none?rev=1-a", "", 404, "not_found"},
		{"percent", "GET", "/jobs/x?rev=%zz", "", 400, "bad_request"},
		{"copy to nowhere", "COPY", "/jobs/x", "", 400, "bad_request"},
		{"too many uuids", "GET", "/_uuids?count=1001", "", 400, "bad_request"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := o.ask(t, c.method, c.path, c.body)
			assert.Equal(t, c.status, r.status, r.body)
			assert.Equal(t, c.word, r.at("error"), r.body)
			assert.NotEmpty(t, r.at("reason"))
		})
	}
}

func TestWelcomeKeepsItsName(t *testing.T) {
	o := mustOffice(t, "jobs")
	r := o.ask(t, "GET", "/", "")
	assert.Equal(t, "Welcome", r.at("couchdb"))
	assert.Len(t, r.at("uuid"), 32)
	assert.Equal(t, r.at("uuid"), o.ask(t, "GET", "/", "").at("uuid"))
	assert.Len(t, o.ask(t, "GET", "/_uuids?count=3", "").at("uuids"), 3)
	assert.Equal(t, []any{"jobs"}, o.ask(t, "GET", "/_all_dbs", "").v)
}

func TestInfoAndSmallEndpoints(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.ask(t, "PUT", "/jobs/x", `{}`)
	for _, path := range []string{"/jobs", "/jobs/"} {
		r := o.ask(t, "GET", path, "")
		assert.Equal(t, 200, r.status)
		assert.Equal(t, "jobs", r.at("db_name"))
		assert.EqualValues(t, 1, r.at("doc_count"))
		assert.EqualValues(t, 1, r.at("update_seq"))
		assert.Equal(t, "0", r.at("instance_start_time"))
		assert.Equal(t, 200, o.ask(t, "HEAD", path, "").status)
	}
	assert.Equal(t, 404, o.ask(t, "HEAD", "/none", "").status)
	r := o.ask(t, "POST", "/jobs/_ensure_full_commit", "")
	assert.Equal(t, 201, r.status)
	assert.Equal(t, true, r.at("ok"))
	assert.Equal(t, "1000\n", o.ask(t, "GET", "/jobs/_revs_limit", "").body)
	assert.Equal(t, 200, o.ask(t, "PUT", "/jobs/_revs_limit", "50").status)
	assert.Equal(t, "50\n", o.ask(t, "GET", "/jobs/_revs_limit", "").body)
	assert.NotNil(t, o.ask(t, "GET", "/jobs/_security", "").at("members.names"))
	assert.Equal(t, 201, o.ask(t, "PUT", "/more/", "").status)
	assert.Equal(t, 200, o.ask(t, "DELETE", "/more/", "").status)
	assert.Equal(t, 400, o.ask(t, "DELETE", "/jobs?rev=1-a", "").status)
	assert.Equal(t, 202, o.ask(t, "POST", "/jobs/_compact", "").status)
	require.Eventually(t, func() bool { return o.ask(t, "GET", "/jobs", "").at("compact_running") == false }, 10*time.Second, 10*time.Millisecond)
}

func TestBulkDocsEdits(t *testing.T) {
	o := mustOffice(t, "jobs")
	r := o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"a","n":1},{"n":2},{"_id":"a","n":3}]}`)
	assert.Equal(t, 201, r.status)
	assert.Equal(t, true, r.at("0.ok"))
	assert.Len(t, r.at("1.id"), 32)
	assert.Equal(t, "conflict", r.at("2.error"))
	assert.Equal(t, "a", r.at("2.id"))
	again := o.ask(t, "PUT", "/jobs/b", `{"n":1}`)
	assert.Equal(t, r.at("0.rev"), again.at("rev"), "the same content gives the same revision")
}

func TestPushAnswersOnlyWhatIsRefused(t *testing.T) {
	o := mustOffice(t, "jobs")
	push := `{"new_edits":false,"docs":[
		{"_id":"a","_rev":"2-b","_revisions":{"start":2,"ids":["b","a"]},"n":1.50},
		{"_id":"_odd","_rev":"1-a"},
		{"_id":"b","_rev":"1-a","_deleted":"yes"},
		{"_id":"c","_rev":"nonsense"},
		{"_id":"d","_rev":"1-a","_attachments":{"p":{"stub":true}}},
		{"_id":"e","_rev":"3-x"}]}`
	for range 2 { // a repeated push changes nothing
		r := o.ask(t, "POST", "/jobs/_bulk_docs", push)
		assert.Equal(t, 201, r.status)
		require.Len(t, r.v, 4, r.body)
		for _, id := range []string{"b", "c", "_odd", "d"} {
			found := false
			for _, row := range r.v.([]any) {
				m := row.(map[string]any)
				if m["id"] == id {
					found = true
					assert.Equal(t, "forbidden", m["error"], "any other word stops a replicator for ever")
				}
			}
			assert.True(t, found, id)
		}
		assert.EqualValues(t, 2, o.ask(t, "GET", "/jobs", "").at("update_seq"))
	}
	refused, err := o.Store.Refused()
	require.NoError(t, err)
	assert.Len(t, refused, 4, "what is refused is kept aside, once")
	r := o.ask(t, "POST", "/jobs/_revs_diff", `{"a":["2-b","1-a","3-c"],"e":["3-x"],"z":["1-q"]}`)
	assert.Equal(t, map[string]any{"a": map[string]any{"missing": []any{"3-c"}, "possible_ancestors": []any{"2-b"}}, "z": map[string]any{"missing": []any{"1-q"}}}, r.v)
	assert.Contains(t, o.ask(t, "GET", "/jobs/a", "").body, `"n":1.50`, "numbers are kept as sent")
	assert.Equal(t, []any{"3-c"}, o.ask(t, "POST", "/jobs/_missing_revs", `{"a":["3-c"]}`).at("missing_revs.a"))
}

func TestBulkGet(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.ask(t, "POST", "/jobs/_bulk_docs", `{"new_edits":false,"docs":[
		{"_id":"a","_rev":"1-a","n":1},
		{"_id":"a","_rev":"2-b","_revisions":{"start":2,"ids":["b","a"]},"n":2},
		{"_id":"a","_rev":"2-c","_revisions":{"start":2,"ids":["c","a"]},"n":3}]}`)
	r := o.ask(t, "POST", "/jobs/_bulk_get?revs=true&latest=true", `{"docs":[{"id":"a","rev":"2-b"},{"id":"a","rev":"1-a"},{"id":"a"},{"id":"none","rev":"1-x"},{"id":"a","rev":"9-q"},{"rev":"1-a"},{"id":"a","rev":"junk"}]}`)
	require.Equal(t, 200, r.status)
	assert.Equal(t, "2-b", r.at("results.0.docs.0.ok._rev"))
	assert.Equal(t, []any{"b", "a"}, r.at("results.0.docs.0.ok._revisions.ids"))
	assert.Equal(t, "2-c", r.at("results.1.docs.0.ok._rev"), "replaced meanwhile: the newer leaves")
	assert.Equal(t, "2-b", r.at("results.1.docs.1.ok._rev"))
	assert.Len(t, r.at("results.2.docs"), 2)
	assert.Equal(t, "not_found", r.at("results.3.docs.0.error.error"))
	assert.Equal(t, "none", r.at("results.3.id"))
	assert.Equal(t, "not_found", r.at("results.4.docs.0.error.error"))
	assert.Equal(t, "bad_request", r.at("results.5.docs.0.error.error"))
	assert.Equal(t, "bad_request", r.at("results.6.docs.0.error.error"))
	plain := o.ask(t, "POST", "/jobs/_bulk_get", `{"docs":[{"id":"a","rev":"1-a"}]}`)
	assert.EqualValues(t, 1, plain.at("results.0.docs.0.ok.n"))
	assert.Nil(t, plain.at("results.0.docs.0.ok._revisions"))
}

func TestDocumentReading(t *testing.T) {
	o := mustOffice(t, "jobs")
	gone := `{"_id":"a","_rev":"3-d","_deleted":true,"why":"scrapped","_revisions":{"start":3,"ids":["d","c","a"]}}`
	o.ask(t, "POST", "/jobs/_bulk_docs", `{"new_edits":false,"docs":[
		{"_id":"a","_rev":"2-b","_revisions":{"start":2,"ids":["b","a"]},"n":2},
		{"_id":"a","_rev":"2-e","_revisions":{"start":2,"ids":["e","a"]},"n":5},`+gone+`]}`)
	r := o.ask(t, "GET", "/jobs/a?conflicts=true&deleted_conflicts=true&revs=true&revs_info=true&local_seq=true", "")
	assert.Equal(t, "2-e", r.at("_rev"))
	assert.Equal(t, []any{"2-b"}, r.at("_conflicts"))
	assert.Equal(t, []any{"3-d"}, r.at("_deleted_conflicts"))
	assert.EqualValues(t, 2, r.at("_revisions.start"))
	assert.Equal(t, "missing", r.at("_revs_info.1.status"))
	assert.NotNil(t, r.at("_local_seq"))
	r = o.ask(t, "GET", "/jobs/a", "")
	assert.Equal(t, `"2-e"`, r.header.Get("ETag"))
	assert.Equal(t, 304, o.ask(t, "GET", "/jobs/a", "", "If-None-Match", `"2-e"`).status)
	head := o.ask(t, "HEAD", "/jobs/a", "")
	assert.Equal(t, 200, head.status)
	assert.Equal(t, `"2-e"`, head.header.Get("ETag"))
	assert.EqualValues(t, 2, o.ask(t, "GET", "/jobs/a?rev=2-b", "").at("n"))
	assert.Equal(t, 404, o.ask(t, "GET", "/jobs/a?rev=1-a", "").status)
	assert.Equal(t, "2-e", o.ask(t, "GET", "/jobs/a?rev=1-a&latest=true", "").at("_rev"))
	r = o.ask(t, "GET", "/jobs/a?rev=3-d", "")
	assert.Equal(t, true, r.at("_deleted"))
	assert.Equal(t, "scrapped", r.at("why"))
	r = o.ask(t, "GET", "/jobs/a?open_revs=all", "")
	assert.Len(t, r.v, 3)
	r = o.ask(t, "GET", `/jobs/a?open_revs=["2-b","7-q"]&revs=true`, "")
	assert.Equal(t, "2-b", r.at("0.ok._rev"))
	assert.Equal(t, "7-q", r.at("1.missing"))
	r = o.ask(t, "GET", `/jobs/none?open_revs=["2-b"]`, "")
	assert.Equal(t, "2-b", r.at("0.missing"))
	assert.Equal(t, 404, o.ask(t, "GET", "/jobs/none?open_revs=all", "").status)
}

func TestWritingAndDeleting(t *testing.T) {
	o := mustOffice(t, "jobs")
	one := o.ask(t, "PUT", "/jobs/a%2Fb%20%C3%BC", `{"n":1}`)
	require.Equal(t, 201, one.status, one.body)
	assert.Equal(t, "a/b ü", one.at("id"))
	assert.EqualValues(t, 1, o.ask(t, "GET", "/jobs/a%2fb%20%c3%bc", "").at("n"))
	two := o.ask(t, "PUT", "/jobs/a%2Fb%20%C3%BC?rev="+one.at("rev").(string), `{"n":2}`)
	require.Equal(t, 201, two.status, two.body)
	three := o.ask(t, "PUT", "/jobs/a%2Fb%20%C3%BC", `{"n":3}`, "If-Match", `"`+two.at("rev").(string)+`"`)
	require.Equal(t, 201, three.status, three.body)
	assert.Equal(t, 409, o.ask(t, "DELETE", "/jobs/a%2Fb%20%C3%BC?rev="+one.at("rev").(string), "").status)
	gone := o.ask(t, "DELETE", "/jobs/a%2Fb%20%C3%BC?rev="+three.at("rev").(string), "")
	assert.Equal(t, 200, gone.status, gone.body)
	r := o.ask(t, "GET", "/jobs/a%2Fb%20%C3%BC", "")
	assert.Equal(t, 404, r.status)
	assert.Equal(t, "deleted", r.at("reason"))
	again := o.ask(t, "PUT", "/jobs/a%2Fb%20%C3%BC", `{"n":9}`)
	assert.Equal(t, 201, again.status)
	assert.True(t, strings.HasPrefix(again.at("rev").(string), "5-"))
	post := o.ask(t, "POST", "/jobs", `{"n":1}`)
	assert.Equal(t, 201, post.status)
	assert.Len(t, post.at("id"), 32)
	assert.Equal(t, 201, o.ask(t, "PUT", "/jobs/p?new_edits=false", `{"_rev":"4-zz","n":1}`).status)
	assert.Equal(t, "4-zz", o.ask(t, "GET", "/jobs/p", "").at("_rev"))
	copied := o.ask(t, "COPY", "/jobs/p", "", "Destination", "p%2F2")
	assert.Equal(t, 201, copied.status, copied.body)
	assert.EqualValues(t, 1, o.ask(t, "GET", "/jobs/p%2F2", "").at("n"))
	assert.Equal(t, 409, o.ask(t, "COPY", "/jobs/p", "", "Destination", "p%2F2").status)
	assert.Equal(t, 201, o.ask(t, "COPY", "/jobs/p", "", "Destination", "p%2F2?rev="+copied.at("rev").(string)).status)
	design := o.ask(t, "PUT", "/jobs/_design/views", `{"language":"none"}`)
	assert.Equal(t, 201, design.status, design.body)
	assert.Equal(t, "_design/views", o.ask(t, "GET", "/jobs/_design%2Fviews", "").at("_id"))
	assert.Equal(t, "none", o.ask(t, "GET", "/jobs/_design/views", "").at("language"))
}

func TestAllDocs(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.ask(t, "POST", "/jobs/_bulk_docs", `{"new_edits":false,"docs":[{"_id":"a","_rev":"1-a","n":1},{"_id":"b","_rev":"1-b","_deleted":true},{"_id":"c","_rev":"1-c"},{"_id":"d","_rev":"1-d"},{"_id":"e","_rev":"1-e"},{"_id":"e","_rev":"1-f"}]}`)
	ids := func(r reply) string {
		var out []string
		rows, _ := r.at("rows").([]any)
		for _, row := range rows {
			m := row.(map[string]any)
			if m["error"] != nil {
				out = append(out, "!"+fmt.Sprint(m["key"]))
			} else {
				out = append(out, fmt.Sprint(m["id"]))
			}
		}
		return strings.Join(out, " ")
	}
	for query, want := range map[string]string{
		``:                                "a c d e",
		`?descending=true`:                "e d c a",
		`?limit=2`:                        "a c",
		`?limit=0`:                        "",
		`?skip=1&limit=2`:                 "c d",
		`?startkey="c"`:                   "c d e",
		`?start_key="bb"&end_key="d"`:     "c d",
		`?endkey="d"&inclusive_end=false`: "a c",
		`?descending=true&startkey="d"&endkey="c"`: "d c",
		`?descending=true&startkey="dd"`:           "d c a",
		`?descending=true&startkey="zz"&limit=1`:   "e",
		`?key="c"`:                                 "c",
		`?key="b"`:                                 "",
		`?keys=["d","none","b","a"]`:               "d !none b a",
		`?startkey="f"`:                            "",
		`?endkey="0"`:                              "",
	} {
		r := o.ask(t, "GET", "/jobs/_all_docs"+strings.ReplaceAll(query, `"`, "%22"), "")
		require.Equal(t, 200, r.status, query)
		assert.Equal(t, want, ids(r), query)
		assert.EqualValues(t, 4, r.at("total_rows"))
	}
	r := o.ask(t, "POST", "/jobs/_all_docs?include_docs=true&conflicts=true&update_seq=true", `{"keys":["b","e","a"]}`)
	assert.Equal(t, true, r.at("rows.0.value.deleted"))
	assert.Nil(t, r.at("rows.0.doc"))
	assert.Equal(t, []any{"1-e"}, r.at("rows.1.doc._conflicts"))
	assert.EqualValues(t, 1, r.at("rows.2.doc.n"))
	assert.EqualValues(t, 6, r.at("update_seq"))
}

func TestChangesNormal(t *testing.T) {
	o := mustOffice(t, "jobs")
	for i := range 5 {
		o.ask(t, "PUT", fmt.Sprintf("/jobs/d%d", i), fmt.Sprintf(`{"n":%d,"kind":"k%d"}`, i, i%2))
	}
	o.ask(t, "POST", "/jobs/_bulk_docs", `{"new_edits":false,"docs":[{"_id":"d1","_rev":"1-0","x":1}]}`)
	rev := o.ask(t, "GET", "/jobs/d2", "").at("_rev").(string)
	o.ask(t, "DELETE", "/jobs/d2?rev="+rev, "")
	ids := func(r reply) (out []string) {
		rows, _ := r.at("results").([]any)
		for _, row := range rows {
			out = append(out, row.(map[string]any)["id"].(string))
		}
		return out
	}
	r := o.ask(t, "GET", "/jobs/_changes?style=all_docs", "")
	assert.Equal(t, []string{"d0", "d3", "d4", "d1", "d2"}, ids(r))
	assert.Len(t, r.at("results.3.changes"), 2)
	assert.Equal(t, true, r.at("results.4.deleted"))
	assert.EqualValues(t, 7, r.at("last_seq"))
	r = o.ask(t, "GET", "/jobs/_changes", "")
	assert.Len(t, r.at("results.3.changes"), 1)
	r = o.ask(t, "GET", "/jobs/_changes?limit=2", "")
	assert.Equal(t, []string{"d0", "d3"}, ids(r))
	assert.EqualValues(t, 4, r.at("last_seq"))
	assert.EqualValues(t, 3, r.at("pending"), "d4, d1, d2 are left, whatever sequences were replaced")
	r = o.ask(t, "GET", "/jobs/_changes?feed=longpoll&limit=1&since=4", "")
	assert.Equal(t, []string{"d4"}, ids(r))
	assert.EqualValues(t, 2, r.at("pending"))
	assert.EqualValues(t, 0, o.ask(t, "GET", "/jobs/_changes?since=4", "").at("pending"))
	r = o.ask(t, "GET", "/jobs/_changes?seq_interval=2&limit=3", "")
	assert.Equal(t, []any{nil, 4.0, 5.0}, []any{r.at("results.0.seq"), r.at("results.1.seq"), r.at("results.2.seq")})
	assert.EqualValues(t, 5, r.at("last_seq"), "the end is told all the same")
	assert.Equal(t, 400, o.ask(t, "GET", "/jobs/_changes?seq_interval=x", "").status)
	r = o.ask(t, "GET", "/jobs/_changes?limit=0", "")
	assert.Len(t, ids(r), 1)
	assert.Equal(t, []string{"d4", "d1", "d2"}, ids(o.ask(t, "GET", "/jobs/_changes?since=4", "")))
	assert.Equal(t, []string{"d4", "d1", "d2"}, ids(o.ask(t, "GET", "/jobs/_changes?since=%224-abc%22", "")), "sequences of other servers' form")
	assert.Empty(t, ids(o.ask(t, "GET", "/jobs/_changes?since=now", "")))
	assert.Len(t, ids(o.ask(t, "GET", "/jobs/_changes?since=99999", "")), 5, "a since beyond ours starts again")
	assert.Equal(t, []string{"d2", "d1"}, ids(o.ask(t, "GET", "/jobs/_changes?descending=true&limit=2", "")))
	r = o.ask(t, "POST", "/jobs/_changes?filter=_doc_ids&include_docs=true", `{"doc_ids":["d4","d0","none"]}`)
	assert.Equal(t, []string{"d0", "d4"}, ids(r))
	assert.EqualValues(t, 4, r.at("results.1.doc.n"))
	assert.EqualValues(t, 7, r.at("last_seq"))
	r = o.ask(t, "POST", "/jobs/_changes?filter=_selector", `{"selector":{"kind":"k1","n":{"$gte":2}}}`)
	assert.Equal(t, []string{"d3"}, ids(r))
	r = o.ask(t, "POST", "/jobs/_changes?filter=_selector&limit=1", `{"selector":{"$or":[{"n":4},{"_id":{"$in":["d0"]}}]}}`)
	assert.Equal(t, []string{"d0"}, ids(r))
	assert.Equal(t, 400, o.ask(t, "POST", "/jobs/_changes?filter=_selector", `{"selector":{"n":{"$where":1}}}`).status)
	r = o.ask(t, "GET", "/jobs/_changes?include_docs=true&conflicts=true", "")
	assert.Len(t, r.at("results.3.doc._conflicts"), 1)
	assert.Equal(t, true, r.at("results.4.doc._deleted"))
}

func TestLongpoll(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.IdlePoll = 300 * time.Millisecond
	o.ask(t, "PUT", "/jobs/a", `{}`)
	r := o.ask(t, "GET", "/jobs/_changes?feed=longpoll&since=0", "")
	assert.Len(t, r.at("results"), 1, "rows there are answer at once")
	begin := time.Now()
	r = o.ask(t, "GET", "/jobs/_changes?feed=longpoll&since=1&heartbeat=100", "")
	assert.Empty(t, r.at("results"))
	assert.EqualValues(t, 1, r.at("last_seq"))
	assert.GreaterOrEqual(t, time.Since(begin), 250*time.Millisecond, "an idle poll ends by itself, not before its time")
	assert.Contains(t, r.body, "\n\n", "heartbeats")
	o.IdlePoll = 20 * time.Second
	got := make(chan reply)
	go func() { got <- o.ask(t, "GET", "/jobs/_changes?feed=longpoll&since=1", "") }()
	go func() {
		got <- o.ask(t, "POST", "/jobs/_changes?feed=longpoll&since=1&filter=_doc_ids", `{"doc_ids":["c"]}`)
	}()
	time.Sleep(50 * time.Millisecond)
	o.ask(t, "PUT", "/jobs/b", `{}`)
	assert.Equal(t, "b", (<-got).at("results.0.id"))
	select {
	case r := <-got:
		t.Fatal("a poll for another document woke: ", r.body)
	case <-time.After(100 * time.Millisecond):
	}
	o.ask(t, "PUT", "/jobs/c", `{}`)
	assert.Equal(t, "c", (<-got).at("results.0.id"))
	go func() { got <- o.ask(t, "GET", "/jobs/_changes?feed=longpoll&since=3&timeout=50", "") }()
	assert.Empty(t, (<-got).at("results"))
	go func() { got <- o.ask(t, "GET", "/jobs/_changes?feed=longpoll&since=3", "") }()
	time.Sleep(50 * time.Millisecond)
	o.ask(t, "DELETE", "/jobs", "")
	assert.Equal(t, 200, (<-got).status, "the book went: the poll ends")
}

func TestContinuous(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.ask(t, "PUT", "/jobs/a", `{}`)
	resp, err := http.Get(o.at() + "/jobs/_changes?feed=continuous&heartbeat=100&style=all_docs")
	require.NoError(t, err)
	defer resp.Body.Close()
	lines := make(chan string)
	go func() {
		defer close(lines)
		buf := make([]byte, 4096)
		rest := ""
		for {
			n, err := resp.Body.Read(buf)
			rest += string(buf[:n])
			for {
				line, after, ok := strings.Cut(rest, "\n")
				if !ok {
					break
				}
				rest = after
				lines <- line
			}
			if err != nil {
				return
			}
		}
	}()
	assert.Contains(t, <-lines, `"id":"a"`)
	assert.Equal(t, "", <-lines, "heartbeat")
	o.ask(t, "PUT", "/jobs/b", `{}`)
	for line := range lines {
		if line != "" {
			assert.Contains(t, line, `"id":"b"`)
			break
		}
	}
	r := o.ask(t, "GET", "/jobs/_changes?feed=continuous&timeout=50&since=1", "")
	assert.Contains(t, r.body, `"id":"b"`)
	assert.Contains(t, r.body, `"last_seq":2`)
	r = o.ask(t, "GET", "/jobs/_changes?feed=continuous&limit=1", "")
	assert.Equal(t, 1, strings.Count(r.body, `"id"`))
	assert.Contains(t, r.body, `{"last_seq":1,"pending":1}`)
}

// feed=eventsource is the continuous feed in the form that browsers' EventSource reads.
func TestEventSource(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.ask(t, "PUT", "/jobs/a", `{}`)
	o.ask(t, "PUT", "/jobs/b", `{}`)
	resp, err := http.Get(o.at() + "/jobs/_changes?feed=eventsource&timeout=350&heartbeat=100&limit=2")
	require.NoError(t, err)
	defer resp.Body.Close()
	assert.Equal(t, "text/event-stream", resp.Header.Get("Content-Type"))
	text, err := io.ReadAll(resp.Body)
	require.NoError(t, err)
	assert.Regexp(t, "^data: {\"seq\":1,\"id\":\"a\",.*}\nid: 1\n\ndata: {\"seq\":2,\"id\":\"b\",.*}\nid: 2\n\n$", string(text))
	req, err := http.NewRequest("GET", o.at()+"/jobs/_changes?feed=eventsource&heartbeat=100", nil)
	require.NoError(t, err)
	req.Header.Set("Last-Event-Id", "1")
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	resp, err = http.DefaultClient.Do(req.WithContext(ctx))
	require.NoError(t, err)
	defer resp.Body.Close()
	const beat = "event: heartbeat\ndata: \n\n"
	got := ""
	for b := bufio.NewReader(resp.Body); err == nil && !strings.HasSuffix(got, beat); {
		var line string
		line, err = b.ReadString('\n')
		got += line
	}
	assert.NotContains(t, got, `"a"`, "it goes on after the last row the browser has")
	assert.Contains(t, got, `"b"`)
	assert.Contains(t, got, beat)
	assert.Equal(t, 400, o.ask(t, "GET", "/jobs/_changes?feed=eventsource&heartbeat=0", "").status)
}

func TestAttachments(t *testing.T) {
	o := mustOffice(t, "jobs")
	content := strings.Repeat("0123456789", 60000)
	r := o.ask(t, "PUT", "/jobs/doc/dir%2Fphoto%20%C3%BC", content, "Content-Type", "image/jpeg")
	require.Equal(t, 201, r.status, r.body)
	for _, path := range []string{"/jobs/doc/dir%2Fphoto%20%C3%BC", "/jobs/doc/dir/photo%20%C3%BC"} {
		got := o.ask(t, "GET", path, "")
		assert.Equal(t, content, got.body)
		assert.Equal(t, "image/jpeg", got.header.Get("Content-Type"))
		assert.Equal(t, fmt.Sprint(len(content)), got.header.Get("Content-Length"))
	}
	part := o.ask(t, "GET", "/jobs/doc/dir/photo%20%C3%BC", "", "Range", "bytes=262140-262149")
	assert.Equal(t, 206, part.status)
	assert.Equal(t, content[262140:262150], part.body)
	assert.Equal(t, 304, o.ask(t, "GET", "/jobs/doc/dir/photo%20%C3%BC", "", "If-None-Match", part.header.Get("ETag")).status)
	doc := o.ask(t, "GET", "/jobs/doc", "")
	assert.Equal(t, true, doc.at("_attachments.dir/photo ü.stub"), doc.body)
	// a stub keeps what the parent has
	rev := doc.at("_rev").(string)
	r = o.ask(t, "PUT", "/jobs/doc", `{"_rev":"`+rev+`","n":1,"_attachments":{"dir/photo ü":{"stub":true},"new":{"content_type":"text/plain","data":"aGVsbG8="}}}`)
	require.Equal(t, 201, r.status, r.body)
	in := o.ask(t, "GET", "/jobs/doc?attachments=true", "")
	assert.Equal(t, "aGVsbG8=", in.at("_attachments.new.data"))
	assert.EqualValues(t, 2, in.at("_attachments.new.revpos"))
	since := o.ask(t, "GET", "/jobs/doc?atts_since=[%22"+rev+"%22]&revs=true", "")
	assert.Equal(t, "aGVsbG8=", since.at("_attachments.new.data"))
	assert.Nil(t, since.at("_attachments.dir/photo ü.data"), "the client has it")
	rev = in.at("_rev").(string)
	r = o.ask(t, "DELETE", "/jobs/doc/new?rev="+rev, "")
	assert.Equal(t, 200, r.status, r.body)
	assert.Equal(t, 404, o.ask(t, "GET", "/jobs/doc/new", "").status)
	assert.Equal(t, "hello", o.ask(t, "GET", "/jobs/doc/new?rev="+rev, "").body)
	var packed bytes.Buffer
	zip := gzip.NewWriter(&packed)
	_, _ = zip.Write([]byte("packed on the way"))
	require.NoError(t, zip.Close())
	r = o.ask(t, "PUT", "/jobs/zip", `{"_attachments":{"p":{"content_type":"text/plain","encoding":"gzip","data":"`+encode64(packed.Bytes())+`"}}}`)
	require.Equal(t, 201, r.status, r.body)
	assert.Equal(t, "packed on the way", o.ask(t, "GET", "/jobs/zip/p", "").body)
	assert.Equal(t, 201, o.ask(t, "PUT", "/jobs/empty/p", "").status)
	assert.EqualValues(t, 0, o.ask(t, "GET", "/jobs/empty", "").at("_attachments.p.length"))
}

func TestMultipart(t *testing.T) {
	o := mustOffice(t, "jobs")
	big := strings.Repeat("photo", 200000)
	body := "--abc\r\nContent-Type: application/json\r\n\r\n" +
		`{"n":1,"_attachments":{"one":{"follows":true,"content_type":"text/plain","length":5},"two":{"follows":true,"content_type":"image/jpeg","length":1000000}}}` +
		"\r\n--abc\r\n\r\nhello\r\n--abc\r\nContent-Disposition: attachment; filename=\"two\"\r\n\r\n" + big + "\r\n--abc--"
	r := o.ask(t, "PUT", "/jobs/m", body, "Content-Type", `multipart/related; boundary="abc"`)
	require.Equal(t, 201, r.status, r.body)
	assert.Equal(t, big, o.ask(t, "GET", "/jobs/m/two", "").body)
	for name, wrong := range map[string]string{
		"one part missing": strings.Replace(body, "--abc\r\n\r\nhello\r\n", "", 1),
		"one part cut":     strings.Replace(body, "hello", "hel", 1),
		"cut off":          body[:len(body)/2],
		"one part more":    strings.Replace(body, "\r\n--abc--", "\r\n--abc\r\n\r\nx\r\n--abc--", 1),
		"nothing":          "",
	} {
		r := o.ask(t, "PUT", "/jobs/wrong", wrong, "Content-Type", `multipart/related; boundary="abc"`)
		assert.Equal(t, 400, r.status, "%s: %s", name, r.body)
	}
	assert.Equal(t, 404, o.ask(t, "GET", "/jobs/wrong", "").status)

	r = o.ask(t, "GET", "/jobs/m?attachments=true", "", "Accept", "multipart/related, application/json")
	kind, params, err := mime.ParseMediaType(r.header.Get("Content-Type"))
	require.NoError(t, err)
	require.Equal(t, "multipart/related", kind)
	assert.Equal(t, []string{`{"_id":"m"`, "hello", big[:10]}, parts(t, r.body, params["boundary"]))
	r = o.ask(t, "GET", `/jobs/m?open_revs=["`+o.ask(t, "GET", "/jobs/m", "").at("_rev").(string)+`","9-q"]&revs=true`, "", "Accept", "multipart/mixed")
	kind, params, err = mime.ParseMediaType(r.header.Get("Content-Type"))
	require.NoError(t, err)
	require.Equal(t, "multipart/mixed", kind)
	found := parts(t, r.body, params["boundary"])
	require.Len(t, found, 2)
	assert.Contains(t, found[1], `{"missing"`)
}

// parts gives the beginning of each part.
func parts(t *testing.T, body, boundary string) []string {
	t.Helper()
	mr := multipart.NewReader(strings.NewReader(body), boundary)
	var out []string
	for {
		p, err := mr.NextRawPart()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err)
		text, err := io.ReadAll(p)
		require.NoError(t, err)
		out = append(out, string(text[:min(10, len(text))]))
	}
}

func TestLocals(t *testing.T) {
	o := mustOffice(t, "jobs")
	const id = "/jobs/_local/PvrXqCd9%3D%3D"
	r := o.ask(t, "PUT", id, `{"last_seq":1,"history":[{"last_seq":1}]}`)
	assert.Equal(t, 201, r.status)
	assert.Equal(t, "0-1", r.at("rev"))
	assert.Equal(t, 409, o.ask(t, "PUT", id, `{"last_seq":2}`).status)
	assert.Equal(t, "0-2", o.ask(t, "PUT", id, `{"_id":"_local/PvrXqCd9==","_rev":"0-1","last_seq":2}`).at("rev"))
	r = o.ask(t, "GET", id, "")
	assert.Equal(t, map[string]any{"_id": "_local/PvrXqCd9==", "_rev": "0-2", "last_seq": 2.0}, r.v)
	info := o.ask(t, "GET", "/jobs", "")
	assert.EqualValues(t, 0, info.at("update_seq"))
	assert.EqualValues(t, 0, info.at("doc_count"))
	assert.Equal(t, 404, o.ask(t, "DELETE", id+"?rev=0-1", "").status)
	assert.Equal(t, 200, o.ask(t, "DELETE", id+"?rev=0-2", "").status)
	assert.Equal(t, 404, o.ask(t, "GET", id, "").status)
}

// Checkpoints may come in a batch: they are kept, never counted, never refused into the list of
// what needs a look.
func TestLocalsInABatch(t *testing.T) {
	o := mustOffice(t, "jobs")
	r := o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"_local/a","last_seq":1},{"_id":"doc"},{"_id":"_local/a","last_seq":2},{"_id":"_local/a","_rev":"0-1","last_seq":3},{"_id":"_local/b","_rev":"0-4"},{"_id":"_local/c","_rev":"1-x"}]}`)
	require.Equal(t, 201, r.status, r.body)
	assert.Equal(t, "0-1", r.at("0.rev"))
	assert.Equal(t, "_local/a", r.at("0.id"))
	assert.Equal(t, true, r.at("1.ok"))
	assert.Equal(t, "conflict", r.at("2.error"))
	assert.Equal(t, "0-2", r.at("3.rev"))
	assert.Equal(t, "conflict", r.at("4.error"))
	assert.Equal(t, "bad_request", r.at("5.error"))
	assert.EqualValues(t, 3, o.ask(t, "GET", "/jobs/_local/a", "").at("last_seq"))
	r = o.ask(t, "POST", "/jobs/_bulk_docs", `{"new_edits":false,"docs":[{"_id":"_local/p","last_seq":7},{"_id":"_local/p","last_seq":8}]}`)
	assert.Equal(t, 201, r.status)
	require.Len(t, r.v, 1, "only what is refused: %s", r.body)
	assert.EqualValues(t, 7, o.ask(t, "GET", "/jobs/_local/p", "").at("last_seq"))
	assert.Equal(t, 400, o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"_local/q"},{"_id":"_odd"}]}`).status)
	assert.Equal(t, 404, o.ask(t, "GET", "/jobs/_local/q", "").status, "a batch refused as a whole writes nothing")
	assert.Equal(t, "0-1", o.ask(t, "POST", "/jobs", `{"_id":"_local/q","x":1}`).at("rev"))
	r = o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"_local/q","_rev":"0-1","_deleted":true},{"_id":"_local/none","_deleted":true}]}`)
	assert.Equal(t, "0-0", r.at("0.rev"))
	assert.Equal(t, "not_found", r.at("1.error"))
	assert.Equal(t, 404, o.ask(t, "GET", "/jobs/_local/q", "").status)
	info := o.ask(t, "GET", "/jobs", "")
	assert.EqualValues(t, 1, info.at("update_seq"))
	assert.EqualValues(t, 1, info.at("doc_count"))
	refused, err := o.Store.Refused()
	require.NoError(t, err)
	assert.Empty(t, refused)
}

func TestBodiesPackedAndTooLarge(t *testing.T) {
	o := mustOffice(t, "jobs")
	var packed bytes.Buffer
	zip := gzip.NewWriter(&packed)
	_, err := zip.Write([]byte(`{"docs":[{"_id":"z"}]}`))
	require.NoError(t, err)
	require.NoError(t, zip.Close())
	r := o.ask(t, "POST", "/jobs/_bulk_docs", packed.String(), "Content-Encoding", "gzip")
	assert.Equal(t, 201, r.status, r.body)
	assert.Equal(t, 200, o.ask(t, "GET", "/jobs/z", "").status)
	assert.Equal(t, 415, o.ask(t, "POST", "/jobs/_bulk_docs", "x", "Content-Encoding", "br").status)
	r = o.ask(t, "PUT", "/jobs/big", `{"a":"`+strings.Repeat("x", maxDoc+10)+`"}`)
	assert.Equal(t, 413, r.status)
	assert.Equal(t, "too_large", r.at("error"))
	r = o.ask(t, "PUT", "/jobs/_local/big", `{"a":"`+strings.Repeat("x", mib)+`"}`)
	assert.Equal(t, 413, r.status)
	deep := strings.Repeat("[", 600) + strings.Repeat("]", 600)
	assert.Equal(t, 400, o.ask(t, "PUT", "/jobs/deep", `{"a":`+deep+`}`).status)
	// a small packed body that unpacks without end
	packed.Reset()
	zip = gzip.NewWriter(&packed)
	_, err = zip.Write([]byte(`{"a":"`))
	require.NoError(t, err)
	for range 40 {
		_, err = zip.Write(bytes.Repeat([]byte("x"), mib))
		require.NoError(t, err)
	}
	require.NoError(t, zip.Close())
	assert.Equal(t, 413, o.ask(t, "PUT", "/jobs/bomb", packed.String(), "Content-Encoding", "gzip").status)
}

func TestEveryRouteHasItsRow(t *testing.T) {
	h := &Handler{}
	seen := map[string]bool{}
	for _, rt := range h.Routes() {
		key := rt.Method + " " + rt.Path
		assert.False(t, seen[key], key)
		seen[key] = true
		assert.NotNil(t, rt.Handler, key)
		assert.Contains(t, []store.Role{store.Reader, store.Operator, store.Owner}, rt.Role, key)
		if rt.Method == "PUT" || rt.Method == "COPY" || (rt.Method == "DELETE") {
			assert.NotEqual(t, store.Reader, rt.Role, "%s changes something", key)
		}
	}
}

// A document longer than what an answer gathers before it is sent comes whole as a part too.
func TestLongDocumentsAsParts(t *testing.T) {
	o := mustOffice(t, "jobs")
	long := strings.Repeat("x", 200<<10)
	r := o.ask(t, "PUT", "/jobs/long", `{"text":"`+long+`","_attachments":{"p":{"data":"aGVsbG8="}},"n":1.10}`)
	require.Equal(t, 201, r.status, r.body)
	for _, c := range []struct{ path, accept string }{
		{"/jobs/long?attachments=true", "multipart/related"},
		{"/jobs/long?open_revs=all&attachments=true", "multipart/mixed"},
	} {
		r := o.ask(t, "GET", c.path, "", "Accept", c.accept)
		assert.Equal(t, 200, r.status)
		assert.Contains(t, r.header.Get("Content-Type"), c.accept)
		assert.Contains(t, r.body, `"text":"`+long+`","n":1.10`)
		assert.Contains(t, r.body, "\r\n\r\nhello\r\n")
	}
}

// What follows an attachment's data is read as if the data had not been there, also where pieces
// end anywhere.
func TestDataIsReadPast(t *testing.T) {
	s, err := store.Open(store.Options{Path: t.TempDir() + "/o.db"})
	require.NoError(t, err)
	defer s.Close()
	data := encode64(bytes.Repeat([]byte("photo"), 20_000))
	doc := func(id string) string {
		return `{"_id":"` + id + `","a":[1,{"b":2.50}],"_attachments":{"p":{"content_type":"x/y","data" : "` +
			data + `","revpos":1},"q":{"data":""}},"z":1e2}`
	}
	text := `{"docs":[` + doc("one") + `,` + doc("two") + `],"new_edits":false}`
	for _, r := range []io.Reader{strings.NewReader(text), iotest.OneByteReader(strings.NewReader(text))} {
		in := &intake{s: s}
		docs, edits, err := in.batch(r)
		require.NoError(t, err)
		assert.False(t, edits)
		require.Len(t, docs, 2)
		for i, id := range []string{"one", "two"} {
			assert.Equal(t, id, docs[i].id)
			assert.Equal(t, `"a":[1,{"b":2.50}],"z":1e2`, string(docs[i].body))
			require.Len(t, docs[i].atts, 2)
			assert.Equal(t, "x/y", docs[i].atts[0].Type)
			assert.EqualValues(t, 100_000, docs[i].atts[0].blob.Length)
			assert.EqualValues(t, 1, docs[i].atts[0].RevPos)
			assert.EqualValues(t, 0, docs[i].atts[1].blob.Length)
		}
		in.discard()
	}
	for _, bad := range []string{
		`{"docs":[` + doc("one") + `}`, `{"docs":[` + doc("one") + `]]`,
		`{"docs":[{"_attachments":{"p":{"data":"QUJD"]`, `{"docs":[{"_attachments":{"p":{"data":"QUJD`,
	} {
		_, _, err := (&intake{s: s}).batch(strings.NewReader(bad))
		assert.Equal(t, 400, errorOf(err).Status, "%v", err)
	}
}
