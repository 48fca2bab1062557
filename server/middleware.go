package server

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"runtime/debug"
	"strings"
	"sync"
	"time"

	"github.com/rs/cors"

	"datumbook/server/pairing"
	"datumbook/server/proxy"
	"datumbook/server/web"
	"datumbook/store"
)

// handler builds the middleware, outermost last. The order matters: nothing that can fail runs
// before recover, nothing is refused without a log line, and no handler sees a request from a page
// or host that may not call.
func (s *Server) handler() http.Handler {
	h := s.router()
	h = s.allowOrigins(h)
	h = s.check(s.checkOrigin, h)
	h = s.check(s.checkScheme, h)
	h = s.check(s.checkHost, h)
	return s.watch(h)
}

// check passes on requests that a check does not refuse.
func (s *Server) check(against func(*http.Request) error, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := against(r); err != nil {
			s.fail(w, r, err)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// fail answers with an error.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) { web.Fail(w, r, err, s.Log) }

// requestKey is the context key of what the log line needs.
type requestKey struct{}

type request struct {
	id    string // repeated in 500 answers, so that the log can be searched
	route string // the path's template, without anyone's data
	came  proxy.Came
	who   pairing.Identity
}

func about(r *http.Request) *request {
	if q, ok := r.Context().Value(requestKey{}).(*request); ok {
		return q
	}
	return &request{}
}

// watch recovers, logs and counts.
func (s *Server) watch(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		q := &request{id: requestID(), route: "none", came: s.proxies.Came(r)}
		s.tellSilent(q.came)
		r = r.WithContext(context.WithValue(r.Context(), requestKey{}, q))
		out := &web.Recorder{ResponseWriter: w}
		s.metrics.inFlight.Inc()
		h := out.Header()
		h.Set("X-Request-Id", q.id)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "geolocation=(), microphone=(), payment=(), usb=(), bluetooth=(), serial=()")
		h.Set("Content-Security-Policy", web.DataPolicy)
		h.Set("Cache-Control", "no-store")

		defer func() {
			broken := recover()
			s.metrics.inFlight.Dec()
			abort := false
			if broken != nil {
				abort = s.broke(out, r, q, broken)
			}
			took := time.Since(began)
			s.metrics.count(r.Method, q.route, out.Status, took)
			s.Log.LogAttrs(r.Context(), slog.LevelInfo, "request",
				slog.String("id", q.id),
				slog.String("method", web.Shorten(r.Method, 16)),
				// never the query: client data, possibly long
				slog.String("path", web.Shorten(r.URL.EscapedPath(), 200)),
				slog.Int("status", out.Status),
				slog.Int64("bytes", out.Bytes),
				slog.Duration("took", took.Round(time.Microsecond)),
				slog.String("from", caller(r)),
				slog.String("device", q.who.Device),
				slog.String("role", q.who.Role.String()),
			)
			if abort {
				panic(http.ErrAbortHandler)
			}
		}()
		next.ServeHTTP(out, r)
		if out.Status == 0 {
			out.Status = http.StatusOK // net/http writes it when a handler wrote nothing
		}
	})
}

// broke answers a panic and reports whether the connection must be closed because part of an answer
// was sent.
func (s *Server) broke(out *web.Recorder, r *http.Request, q *request, broken any) (abort bool) {
	if err, ok := broken.(error); ok && errors.Is(err, http.ErrAbortHandler) {
		s.Log.Warn("answer cut off", "id", q.id, "method", web.Shorten(r.Method, 16), "route", q.route,
			"path", web.Shorten(r.URL.EscapedPath(), 200), "device", q.who.Device, "sent", out.Bytes)
		return true
	}
	s.metrics.panics.Inc()
	s.Log.Error("handler broke", "id", q.id, "route", q.route, "panic", fmt.Sprint(broken), "stack", string(debug.Stack()))
	if out.Status != 0 {
		return true
	}
	web.Fail(out, r, errors.New("handler broke"), slog.New(slog.DiscardHandler)) // logged already
	return false
}

// caller names the client in the log, and the proxy behind which it is.
func caller(r *http.Request) string {
	if c := about(r).came; c.Via {
		return c.From.String() + " by " + c.Conn.String()
	}
	return r.RemoteAddr
}

func requestID() string {
	var b [8]byte
	_, _ = rand.Read(b[:]) // never fails: crypto/rand ends the program instead
	return hex.EncodeToString(b[:])
}

// checkHost refuses requests that call this machine by a name that is not its own. Without it a web
// page could resolve its own name to 127.0.0.1 (DNS rebinding) and act as this machine.
func (s *Server) checkHost(r *http.Request) error {
	c := about(r).came
	for _, host := range c.Hosts {
		switch {
		case s.ourHost(r, host):
		case c.Via:
			return web.NewError(http.StatusMisdirectedRequest, "misdirected", "host", fmt.Sprintf(
				"this server is reached at %s, and the proxy says it was called %q: open that address; or let the proxy "+
					"pass on, as Host or X-Forwarded-Host, the name it was called by", s.public, web.Shorten(host, 100)))
		default:
			return web.NewError(http.StatusMisdirectedRequest, "misdirected", "host",
				"this server does not answer to that name: use one of the addresses that the office shows")
		}
	}
	return nil
}

// bareHost gives a host as names are compared: in small letters, without port, brackets and last dot.
func bareHost(host string) string {
	host = strings.ToLower(host)
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	return strings.TrimSuffix(strings.TrimSuffix(strings.TrimPrefix(host, "["), "]"), ".")
}

func (s *Server) ourHost(r *http.Request, called string) bool {
	host := bareHost(called)
	if host == "" {
		return false
	}
	// The commands of this machine call it localhost, also where they look like its proxy.
	c := about(r).came
	if s.hosts[host] || c.Via && s.isPublic(called) || host == "localhost" && !c.Told && c.Conn.IsLoopback() {
		return true
	}
	// Unlike a name, an address cannot be rebound. The connection's local address is ours, whatever
	// DHCP assigned.
	ip, err := netip.ParseAddr(host)
	if err != nil {
		return false
	}
	local, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	if !ok {
		return false
	}
	ap, err := netip.ParseAddrPort(local.String())
	return err == nil && ap.Addr().Unmap().WithZone("") == ip.Unmap().WithZone("")
}

// direct reports whether nothing speaks for a proxy between the caller and this server. Where one may
// run on this machine that cannot be told of any connection within it: a proxy may say nothing.
func (s *Server) direct(r *http.Request) bool {
	c := about(r).came
	return !s.proxied && !c.Via && !c.Told
}

// fromHere reports whether the caller is this machine itself and not a client behind a local proxy.
func (s *Server) fromHere(r *http.Request) bool { return s.direct(r) && remote(r).IsLoopback() }

// fromThisMachine also takes a connection to one of this machine's outer addresses, which has the
// same address at both ends.
func (s *Server) fromThisMachine(r *http.Request) bool {
	if s.fromHere(r) {
		return true
	}
	local, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	if !ok || !s.direct(r) {
		return false
	}
	ap, err := netip.ParseAddrPort(local.String())
	return err == nil && ap.Addr().Unmap().WithZone("") == remote(r)
}

// peerKey is the context key of a connection's peer check.
type peerKey struct{}

// connected prepares the question whose the other end of a new connection is. It is asked at most
// once for each connection, and only when a request depends on it.
func (s *Server) connected(ctx context.Context, c net.Conn) context.Context {
	if s.Peer == nil {
		return ctx
	}
	return context.WithValue(ctx, peerKey{}, sync.OnceValue(func() bool { return s.Peer(c) }))
}

// fromUs reports whether the caller is the user that serves, by the operating system's word.
func (s *Server) fromUs(r *http.Request) bool {
	ask, ok := r.Context().Value(peerKey{}).(func() bool)
	return ok && s.fromHere(r) && ask()
}

// remote gives the caller's network address, also of one behind a named proxy.
func remote(r *http.Request) netip.Addr { return about(r).came.From }

// checkOrigin refuses requests that a page of another origin makes, unless the
// owner named that origin.
func (s *Server) checkOrigin(r *http.Request) error {
	if r.URL.Path == sharePath && r.Header.Get("Origin") == "null" && r.Header.Get("Sec-Fetch-Site") == "none" {
		return nil // no page asks, but the phone, for someone who shares a photo
	}
	if o := r.Header.Values("Origin"); len(o) > 1 || len(o) == 1 && !s.ourPage(r) && !s.origins[strings.ToLower(o[0])] {
		return web.NewError(http.StatusForbidden, "forbidden", "origin",
			"pages of that origin may not call this server; the owner can name it with --origin")
	}
	return nil
}

// ourPage reports whether the request is not from another site's page, by two headers that browsers
// do not let pages forge.
func (s *Server) ourPage(r *http.Request) bool {
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
	default:
		return false
	}
	o := r.Header.Get("Origin")
	if o == "" {
		return true
	}
	if c := about(r).came; c.Via && (c.Told || s.isPublic(r.Host)) {
		return strings.EqualFold(o, s.public)
	}
	scheme := "http://"
	if r.TLS != nil {
		scheme = "https://"
	}
	return strings.EqualFold(o, scheme+r.Host)
}

// allowOrigins answers CORS preflight requests and adds CORS headers for the origins that the owner
// named, and no others.
func (s *Server) allowOrigins(next http.Handler) http.Handler {
	if len(s.origins) == 0 {
		return next
	}
	return cors.New(cors.Options{
		// A function, because an empty list of names would mean every origin.
		AllowOriginFunc:  func(origin string) bool { return s.origins[strings.ToLower(origin)] },
		AllowedMethods:   []string{http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodDelete},
		AllowedHeaders:   []string{"Accept", "Authorization", "Content-Type", "If-Match", "If-None-Match", "Range"},
		ExposedHeaders:   []string{"ETag", "Retry-After", "X-Request-Id"},
		AllowCredentials: true,
		MaxAge:           7200,
	}).Handler(next)
}

// originSet reads the named origins.
func originSet(names []string) (map[string]bool, error) {
	set := make(map[string]bool)
	for _, n := range names {
		u, err := url.Parse(n)
		if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.Path != "" || u.RawQuery != "" ||
			u.Fragment != "" || u.User != nil || strings.Contains(n, "*") {
			return nil, fmt.Errorf("origin %q is not a scheme and a host: use for instance https://office.example:8443, without a path or a star", n)
		}
		set[strings.ToLower(n)] = true
	}
	return set, nil
}

// admit is the middleware of one route: limits, token, role.
func (s *Server) admit(rt web.Route) http.Handler {
	serve := web.Serve(rt.Handler, s.Log)
	if !rt.Plain {
		serve = squeeze(serve)
	}
	limits := web.Limits{Patience: s.Patience, Closing: s.closing}
	return web.Serve(func(w http.ResponseWriter, r *http.Request) error {
		q := about(r)
		q.route = rt.Path
		limited, stop, err := limits.Apply(w, r, rt)
		if err != nil {
			return err
		}
		defer stop()
		if q.who, err = s.identify(r, rt); err != nil {
			return err
		}
		if !q.who.Role.Allows(rt.Role) {
			return web.NewError(http.StatusForbidden, "forbidden", "role",
				fmt.Sprintf("this needs the role %s and this device is a %s: ask the owner", rt.Role, q.who.Role))
		}
		ctx, cancel := context.WithCancelCause(pairing.With(limited.Context(), q.who))
		defer cancel(context.Canceled)
		out, _ := w.(*web.Recorder)
		err = s.running.begin(q, func() {
			cancel(errRevoked)
			out.Cut()
		})
		if err != nil {
			return err
		}
		defer s.running.end(q)
		if rt.Role == store.Anyone {
			serve.ServeHTTP(w, limited.WithContext(ctx))
		} else if err := s.share(w, limited.WithContext(ctx), q, serve); err != nil {
			return err
		}
		if errors.Is(context.Cause(ctx), errRevoked) {
			panic(http.ErrAbortHandler) // whatever was sent, it is not whole
		}
		return nil
	}, s.Log)
}

// identify finds the caller. A token that is sent must be valid, also from this machine; routes
// open to anyone ignore it.
func (s *Server) identify(r *http.Request, rt web.Route) (pairing.Identity, error) {
	if rt.Role == store.Anyone {
		return pairing.Identity{}, nil
	}
	token, sent := tokenOf(r)
	if !sent {
		if s.loopback && s.ourPage(r) && s.fromUs(r) {
			return pairing.Identity{Name: "office", Role: store.Owner}, nil
		}
		if rt.Near && s.fromHere(r) && s.ourPage(r) {
			return pairing.Identity{Name: "this machine", Role: rt.Role}, nil
		}
		// A phone on its first visit has the answer before it has the arithmetic.
		if rt.Free && s.ourPage(r) {
			return pairing.Identity{Device: "unpaired", Name: "a device that is not paired", Role: rt.Role}, nil
		}
		if s.loopback && s.fromHere(r) {
			return pairing.Identity{}, unauthorized("token", "this browser or program is not paired with this office yet: "+
				"open the link that 'datumbook open' prints, or pair it with a code from the office screen")
		}
		return pairing.Identity{}, unauthorized("token",
			"this device is not paired with this office yet: pair it with a code from the office screen")
	}
	who, err := pairing.Identity{}, pairing.ErrUnknown
	if s.Pairing != nil {
		who, err = s.Pairing.Who(token)
	}
	switch {
	case errors.Is(err, pairing.ErrRevoked):
		err = unauthorized("revoked", err.Error())
	case errors.Is(err, pairing.ErrUnknown):
		err = unauthorized("token", err.Error())
	}
	return who, err
}

func unauthorized(field, message string) error {
	return web.NewError(http.StatusUnauthorized, "unauthorized", field, message)
}

// tokenOf reads the device token from the Authorization header: as a bearer
// token, as the app sends it, or as a Basic password, which is all that some
// replication clients can send. Any other scheme counts as a wrong token.
func tokenOf(r *http.Request) (token string, sent bool) {
	h := r.Header.Values("Authorization")
	if len(h) == 0 {
		return "", false
	}
	if len(h) > 1 {
		return "", true
	}
	if scheme, rest, ok := strings.Cut(h[0], " "); ok && strings.EqualFold(scheme, "Bearer") {
		return strings.TrimSpace(rest), true
	}
	if _, password, ok := r.BasicAuth(); ok {
		return password, true
	}
	return "", true
}

// startHandler refuses requests for the start page under other host names.
func (s *Server) startHandler(next http.Handler) http.Handler {
	return s.watch(s.check(s.checkHost, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		about(r).route = "start page"
		r.Body = http.MaxBytesReader(w, r.Body, 0)
		next.ServeHTTP(w, r)
	})))
}
