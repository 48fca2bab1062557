package server_test

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/replication"
	"datumbook/server/servertest"
	"datumbook/store"
)

// withBook is an office on a store of its own with the book jobs, in which doc has a photo of 48 MiB,
// more than the system keeps for a reader who waits.
func withBook(t testing.TB) (*servertest.Office, *store.Store) {
	t.Helper()
	s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	b, err := s.CreateBook("jobs")
	require.NoError(t, err)
	_, err = b.Edit([]store.Doc{{ID: "doc", Atts: []store.Att{{Name: "photo", Blob: s.NewBlob(make([]byte, 48<<20))}}}})
	require.NoError(t, err)
	return servertest.Start(t, func(o *server.Server) {
		o.Sync = server.SyncRoutes(&replication.Handler{Store: s, IdlePoll: time.Hour})
	}), s
}

// send writes a request by hand, so that the test decides when to read and write on.
func send(t *testing.T, o *servertest.Office, token, line, headers string) (net.Conn, *bufio.Reader) {
	t.Helper()
	c := o.Dial(t)
	require.NoError(t, c.SetDeadline(time.Now().Add(time.Minute)))
	_, err := fmt.Fprintf(c, "%s HTTP/1.1\r\nHost: 127.0.0.1\r\nAuthorization: Bearer %s\r\n%s\r\n", line, token,
		headers)
	require.NoError(t, err)
	return c, bufio.NewReader(c)
}

// A device that is revoked is out at once: its feed, the download it reads slowly and the upload it
// sends slowly end, and none of them looks whole. Those of others go on.
func TestRevokedIsOut(t *testing.T) {
	o, s := withBook(t)
	token, id := o.Token(t, store.Operator)
	other, _ := o.Token(t, store.Operator)

	_, feed := send(t, o, token, "GET /sync/jobs/_changes?feed=continuous&heartbeat=60000", "")
	got, err := http.ReadResponse(feed, nil)
	require.NoError(t, err)
	line, err := bufio.NewReader(got.Body).ReadString('\n')
	require.NoError(t, err)
	require.Contains(t, line, `"doc"`)
	_, poll := send(t, o, token, "GET /sync/jobs/_changes?feed=longpoll&since=now", "")
	polled, err := http.ReadResponse(poll, nil)
	require.NoError(t, err)
	_, down := send(t, o, token, "GET /sync/jobs/doc/photo", "")
	photo, err := http.ReadResponse(down, nil)
	require.NoError(t, err)
	require.EqualValues(t, 48<<20, photo.ContentLength)
	head := "Content-Type: application/json\r\nContent-Length: 1000\r\n"
	up, answer := send(t, o, token, "PUT /sync/jobs/slow", head+"Expect: 100-continue\r\n")
	going, err := http.ReadResponse(answer, nil) // the office waits for the body
	require.NoError(t, err)
	require.Equal(t, 100, going.StatusCode)
	_, err = io.WriteString(up, `{"text":"`)
	require.NoError(t, err)
	_, others := send(t, o, other, "GET /sync/jobs/_changes?feed=longpoll&since=now", "")
	stays, err := http.ReadResponse(others, nil)
	require.NoError(t, err)

	began := time.Now()
	require.Equal(t, 204, o.Do(t, servertest.Request{Method: "DELETE", Path: "/api/devices/" + id}).Status)
	for name, body := range map[string]io.Reader{"feed": got.Body, "long poll": polled.Body, "download": photo.Body} {
		text, err := io.ReadAll(body)
		assert.Error(t, err, "%s: ended as if it were whole", name)
		assert.NotErrorIs(t, err, os.ErrDeadlineExceeded, "%s: did not end", name)
		assert.NotContains(t, string(text), "last_seq", name)
	}
	_, err = http.ReadResponse(answer, nil)
	assert.Error(t, err, "upload")
	assert.NotErrorIs(t, err, os.ErrDeadlineExceeded, "upload: did not end")
	t.Logf("all ended %v after the device was revoked", time.Since(began).Round(time.Millisecond))
	require.Eventually(t, func() bool { return strings.Count(o.Lines.String(), "answer cut off") == 4 }, 10*time.Second,
		time.Millisecond)
	assert.Equal(t, 401, o.Do(t, servertest.Request{Method: "GET", Path: "/sync/jobs", Token: token}).Status)

	b, err := s.Book("jobs")
	require.NoError(t, err)
	_, err = b.Edit([]store.Doc{{ID: "later"}})
	require.NoError(t, err)
	text, err := io.ReadAll(stays.Body)
	require.NoError(t, err)
	assert.Contains(t, string(text), "later", "another device's poll goes on")
	_, err = b.Get("slow", store.Doc{}.Rev)
	assert.Equal(t, store.NotFound, store.KindOf(err))
}

// An owner who revokes the device in hand still gets the answer.
func TestRevokingOneself(t *testing.T) {
	o, _ := withBook(t)
	token, id := o.Token(t, store.Owner)
	assert.Equal(t, 204, o.Do(t, servertest.Request{Method: "DELETE", Path: "/api/devices/" + id, Token: token}).Status)
	assert.Equal(t, 401, o.Do(t, servertest.Request{Method: "GET", Path: "/api/devices", Token: token}).Status)
}
