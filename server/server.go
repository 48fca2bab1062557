package server

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"datumbook/server/pairing"
	"datumbook/server/proxy"
	"datumbook/server/web"
	"datumbook/store"
)

// The timeouts of every connection; routes have their own too.
const (
	headerTime = 10 * time.Second // to send the request's headers
	idleTime   = 2 * time.Minute  // between requests on one connection
	closeTime  = 15 * time.Second // that Close waits for requests in flight

	// patience is how long a body may stall, in either direction, unless Server.Patience is set.
	patience = 30 * time.Second

	// headerBytes is the largest size of a request's headers. A replication client may list a
	// thousand revisions of 35 letters in a query.
	headerBytes = 64 << 10
)

// Server is one office server. Set the fields, then Open. The zero value of an optional field turns
// its feature off.
type Server struct {
	Addr string // host:port; port 0 takes a free one; empty means 127.0.0.1:8470

	Assets  fs.FS            // the built app
	Sheets  Sheets           // the worksheets
	Rules   Rules            // of the job book; nil: no such route
	Pairing *pairing.Service // pairing and tokens; nil: no such routes, and no token is valid
	Sync    []web.Route      // the replication protocol, mounted under /sync

	TLS     *tls.Config // HTTPS on Addr when set
	Hosts   []string    // further names this machine is reached by, such as datumbook.local
	Origins []string    // pages of other origins that may call, such as https://office.example:8443

	// Public is the address by which phones reach a proxy before this server, such as
	// https://office.example, and Proxies are the addresses and networks that the connections of this
	// proxy come from: what it says of its clients is believed. Both or neither.
	Public  string
	Proxies []string

	StartAddr string                                 // where the plain-HTTP start page listens; empty for none
	Start     func(app string) (http.Handler, error) // makes the start page for the app's address

	Fingerprint string    // of the certificate that phones install, for the office screen
	Until       time.Time // when the certificate that phones trust expires; zero if none

	Reviews ReviewList // the review list; nil: no such routes

	Trail Trail // the audit trail; nil: no such route

	Backup func(ctx context.Context, to io.Writer) error // writes a whole copy of the store; nil: no such route

	// Wanted lists the attachments that phones should send again; nil: no such route.
	Wanted func(ctx context.Context) ([]store.Wanted, error)

	Peers Peers // the office's copies elsewhere; nil: no such routes

	Patience time.Duration // how long a body may stall; zero means 30 s

	// Peer reports whether the other end of a connection within this machine is a process of the
	// user that serves. nil: nobody can tell, and then every request needs a token.
	Peer func(net.Conn) bool

	// Prove answers a nonce with what only this data folder's server can know, so that commands do
	// not show their token to another program that took its port. nil: no such route.
	Prove func(nonce string) string

	Ready   func() error // why the server cannot work; nil when it can
	Version string
	Now     func() time.Time
	Log     *slog.Logger

	mu       sync.Mutex
	listener net.Listener
	server   *http.Server
	start    net.Listener
	startSrv *http.Server
	routes   []web.Route
	loopback bool // listens on loopback only
	public   string
	proxies  proxy.Named
	proxied  bool      // a proxy may run on this machine: no connection within it is this machine's own
	silent   sync.Once // says that a proxy does not tell whom it serves
	hosts    map[string]bool
	origins  map[string]bool
	metrics  *metrics
	running  running
	sharing  *web.Sharing
	closing  context.Context
	end      context.CancelFunc
	failed   chan error
	serving  sync.WaitGroup
}

// DefaultAddr is the default address to listen on.
const DefaultAddr = "127.0.0.1:8470"

// Open listens and serves. It reports at once, in words, an address that is in use, not ours, or
// not allowed.
func (s *Server) Open() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.server != nil {
		return errors.New("the server is open already")
	}
	if s.Log == nil {
		s.Log = slog.New(slog.DiscardHandler)
	}
	if s.Now == nil {
		s.Now = time.Now
	}
	if s.Patience <= 0 {
		s.Patience = patience
	}
	addr := s.Addr
	if addr == "" {
		addr = DefaultAddr
	}
	l, err := listen(addr)
	if err != nil {
		return err
	}
	var start net.Listener
	if s.StartAddr != "" {
		if start, err = listen(s.StartAddr); err != nil {
			_ = l.Close()
			return err
		}
	}

	s.listener, s.start = l, start
	s.loopback = isLoopback(l.Addr())
	if s.hosts, err = hostSet(s.Hosts); err == nil {
		s.origins, err = originSet(s.Origins)
	}
	if err == nil {
		err = s.readProxies()
	}
	var page http.Handler
	if err == nil && start != nil {
		page, err = s.Start(s.PhoneURL())
	}
	if err != nil {
		_ = l.Close()
		if start != nil {
			_ = start.Close()
		}
		return err
	}
	s.metrics = newMetrics()
	if s.Peers != nil {
		s.metrics.registry.MustRegister(peerFigures{s.Peers})
	}
	s.sharing = newSharing()
	s.closing, s.end = context.WithCancel(context.Background())
	s.failed = make(chan error, 2)
	s.server = s.httpServer(s.handler())
	s.server.TLSConfig = s.TLS
	s.serve(func() error {
		if s.TLS != nil {
			return s.server.ServeTLS(l, "", "")
		}
		return s.server.Serve(l)
	})
	if start != nil {
		s.startSrv = s.httpServer(s.startHandler(page))
		s.startSrv.ReadTimeout = headerTime
		s.startSrv.WriteTimeout = s.Patience
		s.serve(func() error { return s.startSrv.Serve(start) })
	}
	return nil
}

func (s *Server) httpServer(h http.Handler) *http.Server {
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: headerTime,
		// Each route sets its own deadlines; these apply until then.
		ReadTimeout:    2 * s.Patience,
		WriteTimeout:   2 * s.Patience,
		IdleTimeout:    idleTime,
		MaxHeaderBytes: headerBytes,
		ConnContext:    s.connected,
		ErrorLog:       slog.NewLogLogger(s.Log.Handler(), slog.LevelDebug),
	}
}

func (s *Server) serve(run func() error) {
	s.serving.Go(func() {
		if err := run(); err != nil && !errors.Is(err, http.ErrServerClosed) {
			s.failed <- err
		}
	})
}

// Failed receives an error if serving ends unexpectedly.
func (s *Server) Failed() <-chan error { return s.failed }

// Close stops listening, ends long polls, lets every other request finish and returns when the last
// has been answered. Requests that outlast ctx or fifteen seconds are cut off and the error says
// so.
func (s *Server) Close(ctx context.Context) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.server == nil {
		return nil
	}
	ctx, cancel := context.WithTimeout(ctx, closeTime)
	defer cancel()
	s.end()
	var errs []error
	for _, srv := range []*http.Server{s.server, s.startSrv} {
		if srv == nil {
			continue
		}
		if err := srv.Shutdown(ctx); err != nil {
			_ = srv.Close()
			errs = append(errs, fmt.Errorf("requests still running were cut off: %w", err))
		}
	}
	s.serving.Wait()
	s.server, s.startSrv = nil, nil
	return errors.Join(errs...)
}

// URL gives the address that the server itself listens at, also when the port was chosen by the
// system. A server that listens everywhere gives the first further name it has.
func (s *Server) URL() string {
	scheme := "http"
	if s.TLS != nil {
		scheme = "https"
	}
	return s.url(scheme, s.listener)
}

// PhoneURL gives the address that phones open: that of the proxy before the server, if there is one.
func (s *Server) PhoneURL() string {
	if s.public != "" {
		return s.public
	}
	return s.URL()
}

// StartURL gives the start page's address; empty when there is none.
func (s *Server) StartURL() string {
	if s.start == nil {
		return ""
	}
	return s.url("http", s.start)
}

func (s *Server) url(scheme string, l net.Listener) string {
	host, port, err := net.SplitHostPort(l.Addr().String())
	if err != nil {
		return scheme + "://" + l.Addr().String()
	}
	if ip, err := netip.ParseAddr(host); err == nil && ip.IsUnspecified() {
		host = "localhost"
		if len(s.Hosts) > 0 {
			host = s.Hosts[0]
		}
	}
	return scheme + "://" + net.JoinHostPort(host, port)
}

// Port gives the port that is listened on.
func (s *Server) Port() int {
	_, port, _ := net.SplitHostPort(s.listener.Addr().String())
	n, _ := strconv.Atoi(port)
	return n
}

// Windows' own numbers for an address in use, a port not allowed, and an
// address that is not this machine's; on other systems they match nothing.
const (
	winInUse    = syscall.Errno(10048)
	winForbids  = syscall.Errno(10013)
	winNotOurs  = syscall.Errno(10049)
	busyAddress = "address %s is in use: another program, perhaps another Datumbook, listens there; stop it or choose another port, for instance --addr %s"
)

// listen listens on addr and explains errors.
func listen(addr string) (net.Listener, error) {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, fmt.Errorf("address %q is not host:port; use for instance 127.0.0.1:8470: %w", addr, err)
	}
	l, err := net.Listen("tcp", addr)
	switch {
	case err == nil:
		return l, nil
	case errors.Is(err, syscall.EADDRINUSE), errors.Is(err, winInUse):
		return nil, fmt.Errorf(busyAddress+": %w", addr, net.JoinHostPort(host, "0"), err)
	case errors.Is(err, syscall.EACCES), errors.Is(err, winForbids):
		return nil, fmt.Errorf("address %s is not allowed for this user: choose a port above 1023: %w", addr, err)
	case errors.Is(err, syscall.EADDRNOTAVAIL), errors.Is(err, winNotOurs):
		return nil, fmt.Errorf("address %s is not an address of this machine: use 127.0.0.1 for this machine alone or one of its own addresses: %w", addr, err)
	default:
		return nil, fmt.Errorf("listen on %s: %w", addr, err)
	}
}

// isLoopback reports whether only this machine can reach an address.
func isLoopback(a net.Addr) bool {
	ap, err := netip.ParseAddrPort(a.String())
	return err == nil && ap.Addr().Unmap().IsLoopback()
}

// hostSet reads the further names. A name with a port or a scheme is refused, since it would never
// match.
func hostSet(names []string) (map[string]bool, error) {
	set := make(map[string]bool)
	for _, n := range names {
		low := strings.TrimSuffix(strings.ToLower(n), ".")
		if low == "" || strings.ContainsAny(low, "/:@ *") && !isAddress(low) {
			return nil, fmt.Errorf("host name %q is not a plain name or address: leave out scheme and port, for instance datumbook.local", n)
		}
		set[low] = true
	}
	return set, nil
}

func isAddress(s string) bool {
	_, err := netip.ParseAddr(s)
	return err == nil
}
