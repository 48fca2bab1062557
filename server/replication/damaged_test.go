package replication

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"log/slog"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/store"
)

// hurt closes an office's store, flips a bit at the end of the values that pick chooses, and opens
// it again. pick gets the path of buckets, the key and the value.
func hurt(t *testing.T, o *office, pick func(bucket string, k, v []byte) bool) (*office, *bytes.Buffer) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "hurt.db")
	require.NoError(t, o.Store.Backup(path))
	db, err := bolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	n := 0
	require.NoError(t, db.Update(func(tx *bolt.Tx) error {
		return tx.ForEach(func(name []byte, b *bolt.Bucket) error { return flip(string(name), b, pick, &n) })
	}))
	require.NoError(t, db.Close())
	require.Positive(t, n, "nothing was hurt: this proves nothing")
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	log := &bytes.Buffer{}
	h := &Handler{Store: s, Log: slog.New(slog.NewTextHandler(log, nil))}
	out := &office{h, httptest.NewServer(mount(h))}
	t.Cleanup(func() {
		out.Server.Close()
		assert.NoError(t, s.Close())
	})
	return out, log
}

func flip(name string, b *bolt.Bucket, pick func(bucket string, k, v []byte) bool, n *int) error {
	var keys [][]byte
	err := b.ForEach(func(k, v []byte) error {
		if v == nil {
			return flip(name+"/"+string(k), b.Bucket(k), pick, n)
		}
		if pick(name, k, v) {
			keys = append(keys, bytes.Clone(k))
		}
		return nil
	})
	for _, k := range keys {
		v := bytes.Clone(b.Get(k))
		v[len(v)-1] ^= 1
		*n++
		if err := b.Put(k, v); err != nil {
			return err
		}
	}
	return err
}

// many makes an office with documents a to e, of which c has a photo.
func many(t *testing.T) *office {
	o := mustOffice(t, "jobs")
	for _, id := range []string{"a", "b", "c", "d", "e"} {
		atts := ""
		if id == "c" {
			atts = `,"_attachments":{"photo":{"content_type":"image/jpeg","data":"` + encode64([]byte("photo")) + `"}}`
		}
		r := o.ask(t, "POST", "/jobs/_bulk_docs",
			fmt.Sprintf(`{"new_edits":false,"docs":[{"_id":%q,"_rev":"1-a","n":"of %s"%s}]}`, id, id, atts))
		require.Equal(t, "[]\n", r.body)
	}
	return o
}

const wantAll = `{"docs":[{"id":"a","rev":"1-a"},{"id":"b","rev":"1-a"},{"id":"c","rev":"1-a"},
	{"id":"d","rev":"1-a"},{"id":"e","rev":"1-a"}]}`

// A body that is damaged is told in its own row; every other document is given.
func TestDamagedBodyStopsNothing(t *testing.T) {
	o, log := hurt(t, many(t), func(bucket string, k, v []byte) bool {
		return bucket == "books/jobs/body" && binary.BigEndian.Uint64(k) == 3
	})
	r := o.ask(t, "POST", "/jobs/_bulk_get?revs=true&latest=true", wantAll)
	require.Equal(t, 200, r.status)
	for i, id := range []string{"a", "b", "c", "d", "e"} {
		row := fmt.Sprintf("results.%d.", i)
		assert.Equal(t, id, r.at(row+"id"))
		if id != "c" {
			assert.Equal(t, "of "+id, r.at(row+"docs.0.ok.n"))
			continue
		}
		assert.Equal(t, "damaged", r.at(row+"docs.0.error.error"), r.body)
		assert.Equal(t, "c", r.at(row+"docs.0.error.id"))
		assert.Equal(t, "1-a", r.at(row+"docs.0.error.rev"))
		assert.NotEmpty(t, r.at(row+"docs.0.error.reason"))
	}
	assert.Contains(t, log.String(), "level=WARN")
	assert.Contains(t, log.String(), "document=c")
	for _, path := range []string{"/jobs/_all_docs?include_docs=true", "/jobs/_changes?include_docs=true",
		"/jobs/_changes?include_docs=true&attachments=true&feed=longpoll",
		"/jobs/_changes?include_docs=true&descending=true"} {
		r := o.ask(t, "GET", path, "")
		require.Equal(t, 200, r.status, path)
		rows, ok := r.at("rows").([]any)
		if !ok {
			rows = r.at("results").([]any)
		}
		require.Len(t, rows, 5, path)
		for _, row := range rows {
			m := row.(map[string]any)
			if m["id"] == "c" {
				assert.Nil(t, m["doc"], path)
				assert.Equal(t, "damaged", m["error"], path)
				assert.NotEmpty(t, m["reason"])
				continue
			}
			assert.NotNil(t, m["doc"], path)
			assert.Nil(t, m["error"])
		}
	}
	r = o.ask(t, "POST", "/jobs/_changes?filter=_selector&include_docs=true", `{"selector":{"n":{"$gt":""}}}`)
	assert.Len(t, r.at("results"), 5, "what cannot be judged is told")
	r = o.ask(t, "GET", `/jobs/c?open_revs=["1-a","9-q"]`, "")
	assert.Equal(t, "1-a", r.at("0.missing"))
	assert.Equal(t, "damaged", r.at("0.error"))
	assert.Nil(t, r.at("1.error"))
	mixed := o.ask(t, "GET", "/jobs/c?open_revs=all", "", "Accept", "multipart/mixed")
	assert.Equal(t, 200, mixed.status)
	assert.Contains(t, mixed.body, `"error":"damaged"`)
	r = o.ask(t, "GET", "/jobs/c", "")
	assert.Equal(t, 500, r.status)
	assert.Equal(t, "damaged", r.at("error"))
	r = o.ask(t, "POST", "/jobs/_revs_diff", `{"a":["1-a"],"c":["1-a","2-b"],"x":["1-a"]}`)
	assert.Equal(t, map[string]any{"c": map[string]any{"missing": []any{"2-b"}, "possible_ancestors": []any{"1-a"}},
		"x": map[string]any{"missing": []any{"1-a"}}}, r.v)
}

// So is a history; the change of the document stays in the feed.
func TestDamagedHistoryStopsNothing(t *testing.T) {
	o, log := hurt(t, many(t), func(bucket string, k, v []byte) bool {
		return bucket == "books/jobs/doc" && string(k) == "c"
	})
	r := o.ask(t, "POST", "/jobs/_bulk_get", wantAll)
	require.Equal(t, 200, r.status)
	assert.Equal(t, "damaged", r.at("results.2.docs.0.error.error"))
	assert.Equal(t, "of e", r.at("results.4.docs.0.ok.n"))
	assert.Contains(t, log.String(), "document=c")
	r = o.ask(t, "GET", "/jobs/_changes?include_docs=true&style=all_docs", "")
	require.Len(t, r.at("results"), 5)
	assert.Equal(t, "c", r.at("results.2.id"))
	assert.Equal(t, "damaged", r.at("results.2.error"))
	assert.Equal(t, "of d", r.at("results.3.doc.n"))
	r = o.ask(t, "POST", "/jobs/_changes?filter=_doc_ids", `{"doc_ids":["a","c","e"]}`)
	assert.Len(t, r.at("results"), 2, r.body)
	for _, r := range []reply{o.ask(t, "GET", "/jobs/_all_docs", ""), o.ask(t, "GET",
		"/jobs/_all_docs?include_docs=true", ""),
		o.ask(t, "POST", "/jobs/_all_docs?include_docs=true", `{"keys":["a","b","c","d","e"]}`)} {
		require.Equal(t, 200, r.status)
		require.Len(t, r.at("rows"), 5, r.body)
		assert.Equal(t, "c", r.at("rows.2.key"))
		assert.Equal(t, "damaged", r.at("rows.2.error"))
		assert.Equal(t, "d", r.at("rows.3.id"))
	}
	log.Reset()
	r = o.ask(t, "POST", "/jobs/_revs_diff", `{"a":["1-a"],"c":["1-a"]}`)
	assert.Equal(t, map[string]any{"c": map[string]any{"missing": []any{"1-a"}}}, r.v,
		"a phone's good copy is asked for")
	assert.Contains(t, log.String(), "document=c")
	r = o.ask(t, "GET", `/jobs/c?open_revs=["1-a"]`, "")
	assert.Equal(t, "damaged", r.at("0.error"), r.body)

	// What is pushed with it is stored, and the good copy is kept aside.
	r = o.ask(t, "POST", "/jobs/_bulk_docs",
		`{"new_edits":false,"docs":[{"_id":"c","_rev":"1-a","n":"of c"},{"_id":"f","_rev":"1-a"}]}`)
	require.Equal(t, 201, r.status, r.body)
	assert.Equal(t, "forbidden", r.at("0.error"))
	assert.Equal(t, "c", r.at("0.id"))
	assert.Equal(t, 200, o.ask(t, "GET", "/jobs/f", "").status)
	refused, err := o.Store.Refused()
	require.NoError(t, err)
	require.Len(t, refused, 1)
	assert.JSONEq(t, `{"n":"of c"}`, string(refused[0].Body))
	r = o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"c"},{"_id":"g"}]}`)
	assert.Equal(t, "damaged", r.at("0.error"), r.body)
	assert.Equal(t, true, r.at("1.ok"))
}

// A row of the sequence that is damaged is logged and made anew from its document.
func TestDamagedSequenceRowStopsNothing(t *testing.T) {
	o, log := hurt(t, many(t), func(bucket string, k, v []byte) bool {
		return bucket == "books/jobs/seq" && binary.BigEndian.Uint64(k) == 3
	})
	for path, first := range map[string]string{"": "a", "&descending=true": "e", "&feed=longpoll": "a"} {
		log.Reset()
		r := o.ask(t, "GET", "/jobs/_changes?style=all_docs"+path, "")
		require.Equal(t, 200, r.status, path)
		assert.Len(t, r.at("results"), 5, path)
		assert.Equal(t, first, r.at("results.0.id"), path)
		assert.Contains(t, log.String(), "row 3 of the sequence", path)
	}
}

// Contents that are damaged are told before the document that they would come with.
func TestDamagedContentStopsNothing(t *testing.T) {
	o, log := hurt(t, many(t), func(bucket string, k, v []byte) bool { return bucket == "blob" })
	r := o.ask(t, "POST", "/jobs/_bulk_get?attachments=true", wantAll)
	require.Equal(t, 200, r.status)
	assert.Equal(t, "damaged", r.at("results.2.docs.0.error.error"), r.body)
	assert.Equal(t, "of e", r.at("results.4.docs.0.ok.n"))
	assert.Contains(t, log.String(), "document=c")
	r = o.ask(t, "POST", "/jobs/_bulk_get", wantAll)
	assert.Equal(t, "of c", r.at("results.2.docs.0.ok.n"), "the document itself is whole")
	r = o.ask(t, "GET", "/jobs/_changes?include_docs=true&attachments=true", "")
	assert.Equal(t, "damaged", r.at("results.2.error"))
	assert.Equal(t, "of e", r.at("results.4.doc.n"))
	r = o.ask(t, "GET", "/jobs/c?open_revs=all&attachments=true", "")
	assert.Equal(t, "damaged", r.at("0.error"))
	for _, path := range []string{"/jobs/c/photo", "/jobs/c?attachments=true"} {
		r = o.ask(t, "GET", path, "")
		assert.Equal(t, 500, r.status, path)
		assert.Equal(t, "damaged", r.at("error"), path)
		assert.NotEmpty(t, r.at("reason"))
	}
	r = o.ask(t, "GET", "/jobs/c?attachments=true", "", "Accept", "multipart/related")
	assert.Equal(t, 500, r.status, r.body)
}

// Ids and names that no address or JSON can name are refused at every door, and only they.
func TestNamesThatNoAddressHas(t *testing.T) {
	o := mustOffice(t, "jobs")
	require.Equal(t, 201, o.ask(t, "PUT", "/jobs/fine", `{"_attachments":{"a..b/.c/...":{"data":""}}}`).status)
	fine := o.ask(t, "GET", "/jobs/fine", "").at("_rev").(string)
	for _, id := range []string{".", ".."} {
		coded := strings.ReplaceAll(id, ".", "%2E")
		for _, r := range []reply{
			o.ask(t, "PUT", "/jobs/"+coded, `{}`),
			o.ask(t, "PUT", "/jobs/"+coded+"?new_edits=false", `{"_rev":"1-a"}`),
			o.ask(t, "POST", "/jobs", `{"_id":"`+id+`"}`),
			o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"`+id+`"}]}`),
			o.ask(t, "COPY", "/jobs/fine", "", "Destination", coded),
			o.ask(t, "PUT", "/jobs/"+coded+"/p", "x"),
			o.ask(t, "PUT", "/jobs/fine/x/"+coded+"/y?rev="+fine, "x"),
			o.ask(t, "PUT", "/jobs/other/"+coded, "x"),
			o.ask(t, "PUT", "/jobs/other", `{"_attachments":{"a/`+id+`":{"data":""}}}`),
			o.ask(t, "PUT", "/jobs/other?new_edits=false", `{"_rev":"1-a","_attachments":{"`+id+`/b":{"data":""}}}`),
		} {
			assert.Equal(t, 400, r.status, r.body)
			assert.Contains(t, r.at("reason"), `"`+id+`"`)
		}
	}
	for _, r := range []reply{
		o.ask(t, "PUT", "/jobs/%ff", `{}`),
		o.ask(t, "COPY", "/jobs/fine", "", "Destination", "%ff"),
		o.ask(t, "PUT", "/jobs/other/%ff", "x"),
		o.ask(t, "PUT", "/jobs/other", "{\"_attachments\":{\"\xff\":{\"data\":\"\"}}}"),
		o.ask(t, "POST", "/jobs", "{\"_id\":\"\xff\"}"),
	} {
		assert.Equal(t, 400, r.status, r.body)
		assert.Contains(t, r.at("reason"), "UTF-8")
	}

	// In a push each is a row, and the rest of the batch is stored.
	docs := []string{`{"_id":".","_rev":"1-a"}`, `{"_id":"..","_rev":"1-a"}`, "{\"_id\":\"\xffx\",\"_rev\":\"1-a\"}",
		"{\"_id\":\"text\",\"_rev\":\"1-a\",\"a\":\"\xff\"}",
		"{\"_id\":\"name\",\"_rev\":\"1-a\",\"_attachments\":{\"\xff\":{\"data\":\"\"}}}",
		`{"_id":"dots","_rev":"1-a","_attachments":{"x/..":{"data":""}}}`,
		`{"_id":"far","_rev":"1000000000000000-a","_revisions":{"start":1000000000000000,"ids":["a"]}}`,
		`{"_id":"farther","_rev":"100000000000000000000-a"}`, "{\"_id\":\"rev\",\"_rev\":\"1-\xff\"}",
		`{"_id":"good","_rev":"10000000-a"}`}
	r := o.ask(t, "POST", "/jobs/_bulk_docs", `{"new_edits":false,"docs":[`+strings.Join(docs, ",")+`]}`)
	require.Equal(t, 201, r.status, r.body)
	require.Len(t, r.v, 9, r.body)
	for i, id := range []string{".", "..", "\ufffdx", "text", "name", "dots", "far", "farther", "rev"} {
		found := false
		for _, row := range r.v.([]any) {
			if m := row.(map[string]any); m["id"] == id {
				found = true
				assert.Equal(t, "forbidden", m["error"], i)
			}
		}
		assert.True(t, found, "%s: %s", id, r.body)
	}
	assert.Equal(t, "10000000-a", o.ask(t, "GET", "/jobs/good", "").at("_rev"))
	grown := `{"new_edits":false,"docs":[{"_id":"good","_rev":"%d-b"}]}`
	assert.Equal(t, "[]\n", o.ask(t, "POST", "/jobs/_bulk_docs", fmt.Sprintf(grown, 10_001_000)).body)
	r = o.ask(t, "POST", "/jobs/_bulk_docs", fmt.Sprintf(grown, 10_002_001))
	assert.Contains(t, r.at("0.reason"), "beyond generation 10002000")
	refused, err := o.Store.Refused()
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(refused), 9)
}

// Documents that an earlier version took under such names can be read, and deleted, and nothing else.
func TestOldNamesCanBeDeleted(t *testing.T) {
	path := filepath.Join(t.TempDir(), "old.db")
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	b, err := s.CreateBook("jobs")
	require.NoError(t, err)
	ids := map[string]string{"00": ".", "000": "..", "0000": "\xff"} // by stand-ins of other lengths
	for id := range ids {
		_, err := b.Edit([]store.Doc{{ID: id, Body: []byte(`"n":1`)}})
		require.NoError(t, err)
	}
	require.NoError(t, s.Close())
	rename(t, path, ids)
	s, err = store.Open(store.Options{Path: path})
	require.NoError(t, err)
	h := &Handler{Store: s}
	o := &office{h, httptest.NewServer(mount(h))}
	defer func() {
		o.Server.Close()
		assert.NoError(t, s.Close())
	}()
	rows := o.ask(t, "GET", "/jobs/_changes?include_docs=true", "")
	assert.Len(t, rows.at("results"), 2, "what no JSON can name is left out: asking for it in vain would stop a cluster")
	assert.EqualValues(t, 3, rows.at("last_seq"))
	assert.Len(t, o.ask(t, "GET", "/jobs/_changes?limit=2", "").at("results"), 2)
	for at, id := range map[string]string{"%2E": ".", "%2E%2E": "..", "%FF": "\xff"} {
		r := o.ask(t, "GET", "/jobs/"+at, "")
		require.Equal(t, 200, r.status, r.body)
		rev := r.at("_rev").(string)
		assert.Equal(t, 400, o.ask(t, "PUT", "/jobs/"+at, `{"_rev":"`+rev+`","n":2}`).status)
		if id != "\xff" {
			got := o.ask(t, "POST", "/jobs/_bulk_get", `{"docs":[{"id":"`+id+`","rev":"`+rev+`"}]}`)
			assert.EqualValues(t, 1, got.at("results.0.docs.0.ok.n"), got.body)
			r = o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"`+id+`","_rev":"`+rev+`","_deleted":true}]}`)
			assert.Equal(t, true, r.at("0.ok"), r.body)
		} else {
			assert.Equal(t, 200, o.ask(t, "DELETE", "/jobs/"+at+"?rev="+rev, "").status)
		}
		assert.Equal(t, 404, o.ask(t, "GET", "/jobs/"+at, "").status)
	}
	assert.EqualValues(t, 0, o.ask(t, "GET", "/jobs", "").at("doc_count"))
	r := o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":".","_deleted":true}]}`)
	assert.NotEqual(t, true, r.at("1.ok"))
}

// rename moves documents to other ids, as only an earlier version could have stored them.
func rename(t *testing.T, path string, ids map[string]string) {
	t.Helper()
	db, err := bolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bolt.Tx) error {
		book := tx.Bucket([]byte("books")).Bucket([]byte("jobs"))
		docs, seqs := book.Bucket([]byte("doc")), book.Bucket([]byte("seq"))
		for from, to := range ids {
			old := docs.Get([]byte(from))
			if err := docs.Put([]byte(to), sealed([]byte(to), bytes.Clone(old[:len(old)-4]))); err != nil {
				return err
			}
			if err := docs.Delete([]byte(from)); err != nil {
				return err
			}
		}
		rows := map[string][]byte{}
		if err := seqs.ForEach(func(k, v []byte) error {
			n, w := binary.Uvarint(v)
			id := ids[string(v[w:w+int(n)])]
			row := append(binary.AppendUvarint(nil, uint64(len(id))), id...)
			rows[string(k)] = sealed(k, append(row, v[w+int(n):len(v)-4]...))
			return nil
		}); err != nil {
			return err
		}
		for k, v := range rows {
			if err := seqs.Put([]byte(k), v); err != nil {
				return err
			}
		}
		return nil
	}))
	require.NoError(t, db.Close())
}

// sealed appends the store's check sum over key and value.
func sealed(key, value []byte) []byte {
	table := crc32.MakeTable(crc32.Castagnoli)
	return binary.BigEndian.AppendUint32(value, crc32.Update(crc32.Checksum(key, table), table, value))
}
