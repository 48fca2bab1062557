package replication

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/go-kivik/kivik/v4"
	_ "github.com/go-kivik/kivik/v4/couchdb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// kivikAt gives a client of an office. The protocol is mounted at the root here: below another path
// this client forgets to encode slashes in ids.
func kivikAt(t *testing.T, o *office) *kivik.Client {
	t.Helper()
	m := mount(o.Handler)
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.RawPath != "" {
			r.URL.RawPath = "/sync" + r.URL.RawPath
		}
		r.URL.Path = "/sync" + r.URL.Path
		m.ServeHTTP(w, r)
	}))
	t.Cleanup(srv.Close)
	client, err := kivik.New("couch", srv.URL)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, client.Close()) })
	return client
}

func attachment(name, content string) *kivik.Attachment {
	return &kivik.Attachment{Filename: name, ContentType: "text/plain", Content: io.NopCloser(strings.NewReader(content)), Size: int64(len(content))}
}

// go-kivik is a client of the protocol that shares nothing with PouchDB: it uses multipart, HEAD,
// COPY and continuous feeds.
func TestKivik(t *testing.T) {
	ctx := context.Background()
	o := mustOffice(t, "jobs")
	client := kivikAt(t, o)
	version, err := client.Version(ctx)
	require.NoError(t, err)
	assert.Equal(t, "Datumbook", version.Vendor)
	up, err := client.Ping(ctx)
	require.NoError(t, err)
	assert.True(t, up)
	there, err := client.DBExists(ctx, "jobs")
	require.NoError(t, err)
	assert.True(t, there)
	there, err = client.DBExists(ctx, "none")
	require.NoError(t, err)
	assert.False(t, there)
	require.NoError(t, client.CreateDB(ctx, "made/here"))
	assert.Equal(t, http.StatusPreconditionFailed, kivik.HTTPStatus(client.CreateDB(ctx, "made/here")))
	all, err := client.AllDBs(ctx)
	require.NoError(t, err)
	assert.Equal(t, []string{"jobs", "made/here"}, all)
	require.NoError(t, client.DestroyDB(ctx, "made/here"))

	db := client.DB("jobs")
	rev, err := db.Put(ctx, "a/b ü", map[string]any{"n": 1})
	require.NoError(t, err)
	got, err := db.GetRev(ctx, "a/b ü")
	require.NoError(t, err)
	assert.Equal(t, rev, got)
	_, err = db.Put(ctx, "a/b ü", map[string]any{"n": 2})
	assert.Equal(t, http.StatusConflict, kivik.HTTPStatus(err))
	rev, err = db.Put(ctx, "a/b ü", map[string]any{"n": 2, "_rev": rev})
	require.NoError(t, err)
	copied, err := db.Copy(ctx, "copy", "a/b ü")
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(copied, "1-"))

	// attachments: alone, and with the document as multipart/related
	rev, err = db.PutAttachment(ctx, "a/b ü", attachment("dir/x.txt", "hello"), kivik.Rev(rev))
	require.NoError(t, err)
	att, err := db.GetAttachment(ctx, "a/b ü", "dir/x.txt")
	require.NoError(t, err)
	text, err := io.ReadAll(att.Content)
	require.NoError(t, err)
	assert.Equal(t, "hello", string(text))
	meta, err := db.GetAttachmentMeta(ctx, "a/b ü", "dir/x.txt")
	require.NoError(t, err)
	assert.EqualValues(t, 5, meta.Size)
	rev, err = db.DeleteAttachment(ctx, "a/b ü", rev, "dir/x.txt")
	require.NoError(t, err)
	_, err = db.Put(ctx, "multi", map[string]any{"_attachments": &kivik.Attachments{"one": attachment("one", "first"), "two": attachment("two", strings.Repeat("second ", 100000))}})
	require.NoError(t, err)
	doc := db.Get(ctx, "multi", kivik.IncludeDocs(), kivik.Param("attachments", true))
	require.NoError(t, doc.Err())
	atts, err := doc.Attachments()
	require.NoError(t, err)
	found := map[string]int{}
	for {
		a, err := atts.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		content, err := io.ReadAll(a.Content)
		require.NoError(t, err)
		found[a.Filename] = len(content)
	}
	assert.Equal(t, map[string]int{"one": 5, "two": 700000}, found)

	rows := db.AllDocs(ctx, kivik.IncludeDocs())
	var ids []string
	for rows.Next() {
		id, err := rows.ID()
		require.NoError(t, err)
		ids = append(ids, id)
	}
	require.NoError(t, rows.Err())
	assert.Equal(t, []string{"a/b ü", "copy", "multi"}, ids)
	_, err = db.Delete(ctx, "a/b ü", rev)
	require.NoError(t, err)
	assert.Equal(t, http.StatusNotFound, kivik.HTTPStatus(db.Get(ctx, "a/b ü").Err()))
	stats, err := db.Stats(ctx)
	require.NoError(t, err)
	assert.EqualValues(t, 2, stats.DocCount)
	require.NoError(t, db.Flush(ctx))
	require.NoError(t, db.Compact(ctx))

	for _, feed := range []string{"normal", "continuous"} {
		ctx, stop := context.WithTimeout(ctx, 10*time.Second)
		changes := db.Changes(ctx, kivik.Param("feed", feed), kivik.Param("since", 0))
		var seen []string
		for len(seen) < 3 && changes.Next() {
			seen = append(seen, changes.ID())
		}
		require.NoError(t, changes.Err())
		assert.Equal(t, []string{"copy", "multi", "a/b ü"}, seen, feed)
		require.NoError(t, changes.Close())
		stop()
	}
}

// kivik's own replicator carries records and attachments from one office to another.
func TestKivikReplicates(t *testing.T) {
	ctx := context.Background()
	from, to := mustOffice(t, "jobs"), mustOffice(t, "jobs")
	src, dst := kivikAt(t, from).DB("jobs"), kivikAt(t, to).DB("jobs")
	for i := range 20 {
		rev, err := src.Put(ctx, fmt.Sprintf("doc/%d", i), map[string]any{"n": i})
		require.NoError(t, err)
		if i%4 == 0 {
			rev, err = src.Put(ctx, fmt.Sprintf("doc/%d", i), map[string]any{"_rev": rev, "_attachments": &kivik.Attachments{"p": attachment("p", strings.Repeat("x", i*1000))}})
			require.NoError(t, err)
		}
		if i%5 == 4 {
			_, err = src.Delete(ctx, fmt.Sprintf("doc/%d", i), rev)
			require.NoError(t, err)
		}
	}
	res, err := kivik.Replicate(ctx, dst, src)
	require.NoError(t, err)
	assert.Zero(t, res.DocWriteFailures)
	assert.Equal(t, listing1(t, from), listing1(t, to))
	again, err := kivik.Replicate(ctx, dst, src)
	require.NoError(t, err)
	assert.Zero(t, again.DocsWritten)
	att, err := dst.GetAttachment(ctx, "doc/16", "p")
	require.NoError(t, err)
	content, err := io.ReadAll(att.Content)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(bytes.Repeat([]byte("x"), 16000), content))
}

// listing1 gives an office's changes without their sequences.
func listing1(t *testing.T, o *office) map[string]string {
	b, err := o.Store.Book("jobs")
	require.NoError(t, err)
	rows := rowsOf(t, b)
	out := map[string]string{}
	for _, r := range rows {
		out[r.ID] = fmt.Sprint(r.Leaves, r.Deleted)
	}
	return out
}
