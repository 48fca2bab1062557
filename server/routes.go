package server

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/gorilla/mux"

	"datumbook/server/pairing"
)

const (
	kib = 1 << 10

	short = 10 * time.Second // for answers out of memory

	appPath = "/{file:.*}" // what no other route has taken
)

// Route is one line of the table.
type Route struct {
	Method  string
	Path    string           // a gorilla/mux template, matched on the escaped path
	Role    pairing.Role     // the least that is let in
	Body    int64            // largest body in bytes, packed and unpacked; zero: none
	Time    time.Duration    // longest; zero: a stream that ends by itself
	Handler http.HandlerFunc // sees only requests that passed every door

	near  bool // this machine itself is let in without a token, also on the shop's network
	plain bool // never packed with gzip: ready-packed files, secrets
}

// table is every route. The roles test walks it.
func (s *Server) table() []Route {
	files := s.assets()
	routes := []Route{
		// probes
		{Method: "GET", Path: "/healthz", Role: pairing.Anyone, Time: short, Handler: s.health},
		{Method: "HEAD", Path: "/healthz", Role: pairing.Anyone, Time: short, Handler: s.health},
		{Method: "GET", Path: "/metrics", Role: pairing.Owner, Time: short, Handler: s.metrics.serve, near: true, plain: true},

		// worksheets
		{Method: "GET", Path: "/api/calc", Role: pairing.Reader, Time: short, Handler: s.calcList},
		{Method: "POST", Path: "/api/calc/{name}", Role: pairing.Reader, Body: 1024 * kib, Time: short, Handler: s.calcRun},

		// who gets in
		{Method: "POST", Path: "/api/pair", Role: pairing.Anyone, Body: 4 * kib, Time: short, Handler: s.pairTrade, plain: true},
		{Method: "POST", Path: "/api/pair/code", Role: pairing.Owner, Body: 4 * kib, Time: short, Handler: s.pairShow, plain: true},
		{Method: "GET", Path: "/api/me", Role: pairing.Reader, Time: short, Handler: s.me},
		{Method: "GET", Path: "/api/office", Role: pairing.Reader, Time: short, Handler: s.office},
		{Method: "GET", Path: "/api/devices", Role: pairing.Owner, Time: short, Handler: s.deviceList},
		{Method: "DELETE", Path: "/api/devices/{id}", Role: pairing.Owner, Time: short, Handler: s.deviceRevoke},
	}
	if s.Looks != nil {
		routes = append(routes,
			Route{Method: "GET", Path: "/api/look", Role: pairing.Owner, Time: short, Handler: s.lookList},
			Route{Method: "POST", Path: "/api/look", Role: pairing.Owner, Body: 4 * kib, Time: short, Handler: s.lookSettle})
	}
	if s.Backup != nil {
		routes = append(routes, Route{Method: "GET", Path: "/api/backup", Role: pairing.Owner, Handler: s.backup, plain: true})
	}
	// the replication protocol
	routes = append(routes, s.Sync...)
	// the app: what nothing above has taken
	for _, method := range []string{"GET", "HEAD"} {
		routes = append(routes, Route{Method: method, Path: appPath, Role: pairing.Anyone, Time: 2 * time.Minute, Handler: files.serve, plain: true})
	}
	return routes
}

// isOurs reports whether a path belongs to the API or the protocol, so that a
// mistake there gets an error in JSON and never a page.
func isOurs(path string) bool {
	for _, area := range []string{"/api", "/sync"} {
		if path == area || strings.HasPrefix(path, area+"/") {
			return true
		}
	}
	return false
}

// Routes gives the table of an open server.
func (s *Server) Routes() []Route { return slices.Clone(s.routes) }

// router turns the table into a handler. It matches the path as it was sent,
// still percent-coded, and never cleans or redirects: a document id may hold a
// coded slash, and a redirect breaks replication clients.
func (s *Server) router() http.Handler {
	s.routes = s.table()
	m := mux.NewRouter().UseEncodedPath().SkipClean(true)
	app := make(map[string]http.Handler)
	for _, rt := range s.routes {
		if rt.Path == appPath {
			app[rt.Method] = s.admit(rt)
			continue
		}
		m.Handle(rt.Path, s.admit(rt)).Methods(rt.Method)
	}
	// The app takes what is left, and not as a route that matches everything:
	// to such a one a wrong method elsewhere would look like a file not found.
	m.NotFoundHandler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if isOurs(r.URL.Path) {
			fail(w, r, fault(http.StatusNotFound, "not_found", "path", "there is nothing at this address"))
		} else if h := app[r.Method]; h != nil {
			h.ServeHTTP(w, r)
		} else {
			wrongMethod(w, r, []string{"GET", "HEAD"})
		}
	})
	m.MethodNotAllowedHandler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		wrongMethod(w, r, methods(m, r))
	})
	return m
}

func wrongMethod(w http.ResponseWriter, r *http.Request, allowed []string) {
	list := strings.Join(allowed, ", ")
	w.Header().Set("Allow", list)
	fail(w, r, fault(http.StatusMethodNotAllowed, "method_not_allowed", "method", "this address takes only "+list))
}

// methods gives the methods that an address takes.
func methods(m *mux.Router, r *http.Request) []string {
	var out []string
	for _, method := range []string{"GET", "HEAD", "POST", "PUT", "DELETE", "COPY"} {
		probe := r.Clone(r.Context())
		probe.Method = method
		var match mux.RouteMatch
		if m.Match(probe, &match) && match.MatchErr == nil {
			out = append(out, method)
		}
	}
	return out
}
