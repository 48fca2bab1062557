package couchcheck

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	doc = `{"_id":"p","_rev":"1-a","_revisions":{"start":1,"ids":["a"]},"_attachments":{` +
		`"one":{"content_type":"text/plain","revpos":1,"digest":"md5-XUFAKrxLKna5cZ2REBfFkg==","length":5,"follows":true},` +
		`"none":{"content_type":"text/plain","revpos":1,"data":""}}}`
	inner = "--in\r\nContent-Type: application/json\r\n\r\n" + doc +
		"\r\n--in\r\nContent-Type: text/plain\r\n\r\nhello\r\n--in--"
	outer = "--out\r\nContent-Type: multipart/related; boundary=\"in\"\r\n\r\n" + inner + "\r\n--out--"
	kind  = `multipart/mixed; boundary="out"`
)

// What CouchDB takes, the checker takes.
func TestTakesWhatCouchDBTakes(t *testing.T) {
	docs, err := Mixed(kind, []byte(outer))
	require.NoError(t, err)
	require.Len(t, docs, 1)
	assert.Equal(t, "p", docs[0].ID)
	assert.Equal(t, map[string][]byte{"one": []byte("hello"), "none": {}}, docs[0].Files)
	d, err := Related(`multipart/related; boundary=in`, []byte(inner))
	require.NoError(t, err)
	assert.Equal(t, docs[0], d)
	missing := "--out\r\nContent-Type: application/json; error=\"true\"\r\n\r\n{\"missing\":\"1-b\"}\r\n--out--"
	docs, err = Mixed(kind, []byte(missing))
	require.NoError(t, err)
	assert.Equal(t, "1-b", docs[0].Missing)
}

// What would stop CouchDB's replicator, or keep it waiting, the checker refuses, for that reason.
func TestRefusesWhatCouchDBRefuses(t *testing.T) {
	for _, c := range []struct{ name, old, with, says string }{
		{"a line end after the end", "--out--", "--out--\r\n", "follows the last boundary"},
		{"a line end after the inner end", "--in--", "--in--\r\n", "follows the last boundary"},
		{"more after the end", "--out--", "--out--x", "follows the last boundary"},
		{"no end", "\r\n--out--", "", "no boundary ends it"},
		{"cut within a part", "hello\r\n--in--", "hel", "no boundary ends it"},
		{"a bad header", "Content-Type: text/plain", "Content-Type text/plain", "no colon"},
		{"an unknown kind of part", "multipart/related", "multipart/form-data", "is not known"},
		{"a parameter too many", `Content-Type: multipart/related; boundary="in"`,
			"Content-Type: application/json; charset=utf-8", "is not known"},
		{"an empty content of its own", `"data":""`, `"length":0,"follows":true`, "five minutes"},
		{"no content", `"data":""`, `"length":0`, "neither data nor stub"},
		{"data that is not base64", `"data":""`, `"data":"?"`, "not base64"},
		{"a content that does not follow", `"data":""`, `"length":3,"follows":true`, "no part follows"},
		{"a content too short", "hello", "hell", "5 bytes are told and 4 follow"},
		{"another content", "hello", "hallo", "do not have the digest"},
		{"a content too many", "--in--", "--in\r\n\r\nx\r\n--in--", "no attachment names"},
		{"no revpos", `"revpos":1,"data"`, `"data"`, "revpos or content_type"},
		{"an unknown member", `"_id"`, `"_what":1,"_id"`, "_what"},
		{"no id", `"_id":"p",`, "", "without id"},
		{"a bad revision", `"1-a"`, `"one"`, "no revision"},
		{"32 letters that are no number", `"1-a"`, `"1-` + strings.Repeat("z", 32) + `"`, "not hexadecimal"},
		{"a path too long", `"start":1`, `"start":0`, "no path"},
		{"deleted is a text", `"_id"`, `"_deleted":"yes","_id"`, "_deleted"},
		{"half a letter", `"_id"`, `"a":"\ud83d","_id"`, "half letter"},
		{"a number beyond a double", `"_id"`, `"a":1e999,"_id"`, "beyond a double"},
		{"not UTF-8", `"_id"`, "\"a\":\"\xff\",\"_id\"", "not UTF-8"},
		{"not JSON", `{"_id"`, `["_id"`, "invalid character"},
	} {
		t.Run(c.name, func(t *testing.T) {
			body := strings.Replace(outer, c.old, c.with, 1)
			require.NotEqual(t, outer, body, "nothing was changed: this proves nothing")
			_, err := Mixed(kind, []byte(body))
			assert.ErrorContains(t, err, c.says)
		})
	}
	_, err := Mixed("application/json", []byte("{}"))
	assert.Error(t, err)
	_, err = Related("multipart/related", []byte(inner))
	assert.ErrorContains(t, err, "no boundary")
	_, err = Mixed(kind, nil)
	assert.Error(t, err)
}

// The answers without parts are read for the members that the replicator reads.
func TestReadsAnswers(t *testing.T) {
	const one = `{"_id":"a","_rev":"1-a"}`
	asked := []Asked{{"a", "1-a"}}
	docs, err := BulkGet(asked, []byte(`{"results":[{"id":"a","docs":[{"ok":`+one+`}]}]}`))
	require.NoError(t, err)
	assert.Equal(t, "a", docs[0].ID)
	for _, body := range []string{
		`{}`, `{"results":[]}`, `{"results":[{"id":"a","docs":[{"ok":` + one + `}]}],"more":1}`,
		`{"results":[{"id":"b","docs":[{"ok":` + one + `}]}]}`,
		`{"results":[{"id":"a","docs":[{"error":{"error":"not_found"}}]}]}`,
		`{"results":[{"id":"a","docs":[{"ok":` + one + `},{"ok":` + one + `}]}]}`,
	} {
		_, err := BulkGet(asked, []byte(body))
		assert.Error(t, err, body)
	}
	rows, last, err := Changes([]byte(`{"results":[{"seq":null,"id":"a","changes":[{"rev":"1-a"}]}],"last_seq":4}`))
	require.NoError(t, err)
	assert.Equal(t, "4", last)
	assert.Equal(t, []string{"1-a"}, rows[0].Revs)
	for _, body := range []string{`{"last_seq":4}`, `{"results":[]}`, `{"results":[{"id":"a"}],"last_seq":1}`,
		`{"results":[{"seq":1,"id":"a","changes":[{"rev":"x"}]}],"last_seq":1}`} {
		_, _, err := Changes([]byte(body))
		assert.Error(t, err, body)
	}
	diff, err := RevsDiff([]byte(`{"a":{"missing":["1-a"],"possible_ancestors":["2-b"]}}`))
	require.NoError(t, err)
	assert.Equal(t, map[string][]string{"a": {"1-a"}}, diff)
	_, err = RevsDiff([]byte(`{"a":{"missing":["a"]}}`))
	assert.Error(t, err)
	failed, err := BulkDocs(201, []byte(`[{"id":"a","rev":"1-a","ok":true},{"id":"b","error":"forbidden","reason":"no"}]`))
	require.NoError(t, err)
	assert.Len(t, failed, 1)
	_, err = BulkDocs(400, []byte(`{}`))
	assert.Error(t, err)
	_, err = BulkDocs(201, []byte(`[{"error":"forbidden","reason":"no"}]`))
	assert.Error(t, err)
	_, err = Saved(201, []byte(`{"rev":"1-a"}`))
	assert.NoError(t, err)
	_, err = Saved(412, []byte(`{"error":"missing_stub"}`))
	assert.Error(t, err)
	assert.NoError(t, NoSession(404, []byte(`{"error":"not_found","reason":"missing"}`)))
	assert.Error(t, NoSession(405, []byte(`{"error":"method_not_allowed"}`)))
	assert.Error(t, NoSession(404, []byte("nothing here\n")))
}
