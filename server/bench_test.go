package server_test

import (
	"io"
	"net/http"
	"testing"
	"time"

	"datumbook/server"
	"datumbook/server/servertest"
	"datumbook/server/web"
	"datumbook/store"
)

// BenchmarkMiddleware measures what it costs a small request with a token, on
// one kept-alive connection.
func BenchmarkMiddleware(b *testing.B) {
	o := servertest.Start(b, func(s *server.Server) {
		s.Log = nil
		s.Sync = []web.Route{{Method: "GET", Path: "/sync/{db}/_up", Role: store.Reader, Time: time.Second,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				w.WriteHeader(http.StatusNoContent)
			})}}
	})
	token, _ := o.Token(b, store.Reader)
	r, err := http.NewRequest("GET", o.Local()+"/sync/book/_up", nil)
	if err != nil {
		b.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+token)
	for b.Loop() {
		got, err := http.DefaultClient.Do(r)
		if err != nil {
			b.Fatal(err)
		}
		_, _ = io.Copy(io.Discard, got.Body)
		_ = got.Body.Close()
	}
}

// BenchmarkBare is the same request with net/http alone, to compare.
func BenchmarkBare(b *testing.B) {
	s := &http.Server{Addr: "127.0.0.1:0", ReadHeaderTimeout: time.Second, Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.WriteHeader(http.StatusNoContent)
	})}
	l := listenLocal(b)
	go func() { _ = s.Serve(l) }()
	b.Cleanup(func() { _ = s.Close() })
	for b.Loop() {
		got, err := http.Get("http://" + l.Addr().String())
		if err != nil {
			b.Fatal(err)
		}
		_, _ = io.Copy(io.Discard, got.Body)
		_ = got.Body.Close()
	}
}
