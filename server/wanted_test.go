package server_test

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/server"
	"datumbook/server/replication"
	"datumbook/server/servertest"
	"datumbook/store"
)

// flipPhoto flips a bit of every stored piece that holds some bytes.
func flipPhoto(t *testing.T, path string, part []byte) {
	t.Helper()
	db, err := bolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	defer func() { require.NoError(t, db.Close()) }()
	require.NoError(t, db.Update(func(tx *bolt.Tx) error {
		chunks := tx.Bucket([]byte("chunk"))
		flipped := map[string][]byte{}
		require.NoError(t, chunks.ForEach(func(k, v []byte) error {
			if at := bytes.Index(v, part); at >= 0 {
				hurt := bytes.Clone(v)
				hurt[at] ^= 1
				flipped[string(k)] = hurt
			}
			return nil
		}))
		require.Len(t, flipped, 1)
		for k, v := range flipped {
			if err := chunks.Put([]byte(k), v); err != nil {
				return err
			}
		}
		return nil
	}))
}

// A photo with a flipped bit is told, and not a byte of it served, by every way that would send it;
// its document is on the list of what is wanted; and the phone's own copy, sent again with its
// revision, makes it whole.
func TestDamagedPhotoIsToldAndRepaired(t *testing.T) {
	path := filepath.Join(t.TempDir(), "office.db")
	st, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	_, err = st.CreateBook("shop")
	require.NoError(t, err)
	start := func() *servertest.Office {
		return servertest.Start(t, func(s *server.Server) {
			s.Sync = server.SyncRoutes(&replication.Handler{Store: st})
			s.Wanted = st.Wanted
		})
	}
	o := start()
	photo := make([]byte, 400_000)
	for i := range photo[:399_000/4] {
		binary.LittleEndian.PutUint32(photo[4*i:], uint32(i)*2654435761)
	}
	copy(photo[300_000:], "the flange, from the left")
	text := base64.StdEncoding.EncodeToString(photo)
	doc := func(id string) string {
		return `{"_id":"` + id + `","_rev":"1-a","_revisions":{"start":1,"ids":["a"]},"type":"photo",` +
			`"_attachments":{"photo":{"content_type":"image/jpeg","data":"` + text + `"}}}`
	}
	push := func(docs ...string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "POST", Path: "/sync/shop/_bulk_docs",
			Body: `{"new_edits":false,"docs":[` + strings.Join(docs, ",") + `]}`})
	}
	got := push(doc("photo:1"), `{"_id":"note","_rev":"1-b","_revisions":{"start":1,"ids":["b"]},"text":"sound"}`)
	require.Equal(t, 201, got.Status, got.Body)
	require.JSONEq(t, `[]`, got.Body)
	get := func(path string, header ...string) servertest.Answer {
		q := servertest.Request{Method: "GET", Path: path, Header: map[string]string{"Accept": "application/json"}}
		for i := 0; i < len(header); i += 2 {
			q.Header[header[i]] = header[i+1]
		}
		return o.Do(t, q)
	}
	require.Equal(t, string(photo), get("/sync/shop/photo%3A1/photo").Body)
	require.JSONEq(t, `{"wanted":[]}`, get("/api/wanted").Body)

	require.NoError(t, st.Close())
	flipPhoto(t, path, []byte("the flange, from the left"))
	st, err = store.Open(store.Options{Path: path})
	require.NoError(t, err)
	defer func() { require.NoError(t, st.Close()) }()
	o = start()
	told := func(name string, got servertest.Answer) {
		t.Helper()
		assert.Equal(t, 500, got.Status, name)
		var fault struct{ Error, Reason string }
		read(t, got.Body, &fault)
		assert.Equal(t, "damaged", fault.Error, name)
		assert.Contains(t, fault.Reason, "photo", name)
		assert.Less(t, len(got.Body), 300, name)
	}
	told("the content", get("/sync/shop/photo%3A1/photo?rev=1-a"))
	told("a sound part of it", get("/sync/shop/photo%3A1/photo", "Range", "bytes=0-9"))
	told("with its document", get("/sync/shop/photo%3A1?attachments=true"))
	told("in parts", get("/sync/shop/photo%3A1?attachments=true", "Accept", "multipart/related"))
	parts := get("/sync/shop/photo%3A1?open_revs=all&attachments=true", "Accept", "multipart/mixed").Body
	assert.Contains(t, parts, `{"missing":"1-a","error":"damaged"`, "a part of its own says so")
	assert.NotContains(t, parts, "from the left")
	bulk := o.Do(t, servertest.Request{Method: "POST", Path: "/sync/shop/_bulk_get?attachments=true&revs=true",
		Body: `{"docs":[{"id":"photo:1","rev":"1-a"},{"id":"note","rev":"1-b"}]}`})
	assert.Equal(t, 200, bulk.Status)
	var rows struct {
		Results []struct {
			Docs []struct {
				Ok    map[string]any
				Error struct{ ID, Rev, Error, Reason string }
			}
		}
	}
	read(t, bulk.Body, &rows)
	require.Len(t, rows.Results, 2)
	assert.Equal(t, "damaged", rows.Results[0].Docs[0].Error.Error)
	assert.Equal(t, "1-a", rows.Results[0].Docs[0].Error.Rev)
	assert.Equal(t, "sound", rows.Results[1].Docs[0].Ok["text"])
	assert.Equal(t, 200, get("/sync/shop/photo%3A1").Status, "the document itself is sound")

	digest := get("/sync/shop/photo%3A1").Body
	assert.JSONEq(t, fmt.Sprintf(`{"wanted":[{"book":"shop","id":"photo:1","rev":"1-a","name":"photo","digest":%q}]}`,
		digest[strings.Index(digest, "md5-"):][:28]), get("/api/wanted").Body)

	require.JSONEq(t, `[]`, push(doc("photo:1")).Body)
	got = get("/sync/shop/photo%3A1/photo?rev=1-a")
	assert.Equal(t, 200, got.Status)
	assert.True(t, string(photo) == got.Body)
	assert.JSONEq(t, `{"wanted":[]}`, get("/api/wanted").Body)
	trail, err := st.AuditTrail(1)
	require.NoError(t, err)
	assert.Equal(t, "repair", trail[0].What)
}
