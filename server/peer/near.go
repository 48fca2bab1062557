package peer

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"strings"
	"sync"

	"github.com/gorilla/mux"

	"datumbook/server/pairing"
	"datumbook/server/web"
	"datumbook/store"
)

// near serves this office's own protocol to its legs, without a network: the same handlers, limits
// and errors as for any other client.
type near struct {
	listener *inside
	server   *http.Server
	client   *http.Client
	closing  context.CancelFunc
}

func newNear(routes []web.Route, log *slog.Logger) *near {
	m := mux.NewRouter().UseEncodedPath().SkipClean(true)
	closing, end := context.WithCancel(context.Background())
	limits := web.Limits{Patience: stall, Closing: closing}
	for _, rt := range routes {
		m.Handle("/sync"+rt.Path, web.Serve(func(w http.ResponseWriter, r *http.Request) error {
			limited, stop, err := limits.Apply(w, r, rt)
			if err != nil {
				return err
			}
			defer stop()
			sender := store.PeerSender + r.Header.Get("Datumbook-Peer")
			who := pairing.Identity{Device: sender, Name: sender, Role: store.Owner}
			web.Serve(rt.Handler, log).ServeHTTP(w, limited.WithContext(pairing.With(limited.Context(), who)))
			return nil
		}, log)).Methods(rt.Method)
	}
	n := &near{listener: &inside{open: make(chan net.Conn), closed: make(chan struct{})}, closing: end}
	n.server = &http.Server{Handler: m, ReadHeaderTimeout: stall,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelDebug)}
	n.client = clientOf(&http.Transport{DialContext: n.listener.dial, DisableCompression: true,
		MaxIdleConnsPerHost: photosAtOnce + 2, IdleConnTimeout: stall})
	go func() {
		if err := n.server.Serve(n.listener); !errors.Is(err, http.ErrServerClosed) {
			log.Error("the office's own end of its peers is gone", "err", err)
		}
	}()
	return n
}

// end gives a book of this office, as one of its peers sees it.
func (n *near) end(book string, p Peer) *end {
	return &end{name: "this office", near: true, base: "http://near/sync/" + url.PathEscape(book), client: n.client,
		auth: func(r *http.Request) { r.Header.Set("Datumbook-Peer", headerText(p.Name())) }}
}

// headerText keeps what a header may hold: an address has nothing else.
func headerText(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, s)
}

// close ends what is still asked; the legs have ended before.
func (n *near) close() {
	n.closing()
	_ = n.server.Close()
	n.client.CloseIdleConnections()
}

// inside listens for connections from within the program.
type inside struct {
	open   chan net.Conn
	closed chan struct{}
	once   sync.Once
}

func (l *inside) dial(ctx context.Context, _, _ string) (net.Conn, error) {
	client, server := net.Pipe()
	select {
	case l.open <- server:
		return client, nil
	case <-l.closed:
		return nil, net.ErrClosed
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// Accept waits for a connection.
func (l *inside) Accept() (net.Conn, error) {
	select {
	case c := <-l.open:
		return c, nil
	case <-l.closed:
		return nil, net.ErrClosed
	}
}

// Close ends Accept.
func (l *inside) Close() error {
	l.once.Do(func() { close(l.closed) })
	return nil
}

// Addr is no address anybody could reach.
func (l *inside) Addr() net.Addr { return &net.UnixAddr{Name: "near", Net: "inside"} }
