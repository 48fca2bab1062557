package server_test

import (
	"encoding/json"
	"io"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/replication"
	"datumbook/server/web"
	"datumbook/store"
)

func read(t *testing.T, body string, v any) {
	t.Helper()
	require.NoError(t, json.Unmarshal([]byte(body), v), body)
}

// does makes a route's handler of one that has no error to give.
func does(h http.HandlerFunc) web.Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		h(w, r)
		return nil
	}
}

// realProtocol is the replication protocol over a store of its own.
func realProtocol(t testing.TB) []web.Route {
	s := emptyStore(t)
	_, err := s.CreateBook("book")
	require.NoError(t, err)
	return server.SyncRoutes(&replication.Handler{Store: s, IdlePoll: 10 * time.Millisecond})
}

// emptyStore is a store without a book.
func emptyStore(t testing.TB) *store.Store {
	s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}

// protocol is a stub for the routes under /sync, with known answers.
func protocol() []web.Route {
	ok := func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		_, _ = io.WriteString(w, `{"ok":true}`)
	}
	take := func(w http.ResponseWriter, r *http.Request) {
		n, err := io.Copy(io.Discard, r.Body)
		if err != nil {
			http.Error(w, err.Error(), http.StatusRequestEntityTooLarge)
			return
		}
		w.Header().Set("Content-Type", "application/json")
		_ = json.NewEncoder(w).Encode(map[string]int64{"got": n})
	}
	return []web.Route{
		{Method: "GET", Path: "/sync/_stand-in", Role: store.Reader, Time: time.Second, Handler: does(ok)},
		{Method: "PUT", Path: "/sync/_stand-in", Role: store.Owner, Body: 1 << 10, Time: time.Second,
			Handler: does(ok)},
		{Method: "POST", Path: "/sync/_stand-in/_bulk_docs", Role: store.Operator, Body: 1 << 20, Time: 2 * time.Second,
			Handler: does(take)},
		{Method: "GET", Path: "/sync/_stand-in/_big", Role: store.Reader, Time: time.Second,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				w.Header().Set("Content-Type", "application/json")
				_, _ = io.WriteString(w, `{"big":"`+strings.Repeat("x", 4000)+`"}`)
			})},
	}
}

func listenLocal(t testing.TB) net.Listener {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	return l
}
