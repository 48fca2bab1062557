package server

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/gorilla/mux"

	"datumbook/server/web"
	"datumbook/store"
)

const (
	kib = 1 << 10

	short = 10 * time.Second // for answers from memory

	appPath   = "/{file:.*}" // what no other route has taken
	sharePath = "/share"     // named by the manifest (cmd/build)
)

// table is every route. The roles test walks it.
func (s *Server) table() []web.Route {
	files := s.assets()
	routes := []web.Route{
		// probes
		{Method: "GET", Path: "/healthz", Time: short, Handler: s.health},
		{Method: "HEAD", Path: "/healthz", Time: short, Handler: s.health},
		{Method: "GET", Path: "/metrics", Role: store.Owner, Time: short,
			Handler: s.metrics.serve, Near: true, Plain: true},

		// a CouchDB asks for a session at the root first, and goes on with the token as a password
		{Method: "GET", Path: "/_session", Time: short, Handler: noSession, Plain: true},
		{Method: "POST", Path: "/_session", Body: 4 * kib, Time: short, Handler: noSession, Plain: true},

		// worksheets
		{Method: "GET", Path: "/api/calc", Role: store.Reader, Time: short, Handler: s.calcList, Near: true},
		{Method: "POST", Path: "/api/calc/{name}", Role: store.Reader, Body: 1024 * kib, Time: short,
			Handler: s.calcRun, Near: true, Free: true},

		{Method: "GET", Path: "/api/me", Role: store.Reader, Time: short, Handler: s.me},
		{Method: "GET", Path: "/api/office", Role: store.Reader, Time: short, Handler: s.office},
	}
	if s.Rules != nil {
		routes = append(routes, web.Route{Method: "POST", Path: "/api/rules/{op}", Role: store.Reader, Body: 1024 * kib,
			Time: short, Handler: s.ruling, Near: true})
	}
	if s.Pairing != nil { // pairing
		routes = append(routes,
			web.Route{Method: "POST", Path: "/api/pair", Body: 4 * kib, Time: short, Handler: s.pairTrade, Plain: true},
			web.Route{Method: "POST", Path: "/api/open", Body: 4 * kib, Time: short, Handler: s.openTrade, Plain: true},
			web.Route{Method: "POST", Path: "/api/open/link", Role: store.Owner, Body: 4 * kib, Time: short,
				Handler: s.openShow, Plain: true},
			web.Route{Method: "POST", Path: "/api/pair/code", Role: store.Owner, Body: 4 * kib, Time: short,
				Handler: s.pairShow, Plain: true},
			web.Route{Method: "GET", Path: "/api/devices", Role: store.Owner, Time: short, Handler: s.deviceList},
			web.Route{Method: "POST", Path: "/api/devices/{id}", Role: store.Reader, Body: 4 * kib, Time: short,
				Handler: s.deviceRename},
			web.Route{Method: "DELETE", Path: "/api/devices/{id}", Role: store.Owner, Time: short,
				Handler: s.deviceRevoke})
	}
	if s.Prove != nil {
		routes = append(routes, web.Route{Method: "GET", Path: "/api/prove", Time: short, Handler: s.prove, Plain: true})
	}
	if s.Reviews != nil {
		routes = append(routes,
			web.Route{Method: "GET", Path: "/api/look", Role: store.Owner, Time: short, Handler: s.reviewList},
			web.Route{Method: "POST", Path: "/api/look", Role: store.Owner, Body: 4 * kib, Time: short,
				Handler: s.reviewSettle})
	}
	if s.Trail != nil {
		routes = append(routes, web.Route{Method: "GET", Path: "/api/audit", Role: store.Owner, Time: short,
			Handler: s.audit})
	}
	if s.Backup != nil {
		routes = append(routes, web.Route{Method: "GET", Path: "/api/backup", Role: store.Owner,
			Handler: s.backup, Plain: true})
	}
	if s.Wanted != nil {
		routes = append(routes, web.Route{Method: "GET", Path: "/api/wanted", Role: store.Reader, Time: short,
			Handler: s.wanted})
	}
	if s.Peers != nil {
		routes = append(routes,
			web.Route{Method: "GET", Path: "/api/peers", Role: store.Owner, Time: short, Handler: s.peerList},
			web.Route{Method: "POST", Path: "/api/peers/reread", Role: store.Owner, Body: 4 * kib, Time: short,
				Handler: s.peerReread})
	}
	// the replication protocol
	routes = append(routes, s.Sync...)
	// what was shared to the app and its service worker did not take
	routes = append(routes, web.Route{Method: "POST", Path: sharePath, Body: 64 << 20, Time: 2 * time.Minute,
		Handler: sharedAway, Plain: true})
	// the app: all other addresses
	for _, method := range []string{"GET", "HEAD"} {
		routes = append(routes, web.Route{Method: method, Path: appPath, Time: 2 * time.Minute,
			Handler: files.serve, Plain: true})
	}
	return routes
}

// Routes gives the table of an open server.
func (s *Server) Routes() []web.Route { return slices.Clone(s.routes) }

// router turns the table into a handler. It matches the path as it was sent, still percent-coded,
// and never cleans or redirects: a document id may hold a coded slash, and redirects break
// replication clients.
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
	// The app serves all other addresses, but not by a catch-all route: that would turn a wrong
	// method elsewhere into a file not found.
	m.NotFoundHandler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if web.IsData(r.URL.Path) {
			s.fail(w, r, errNothingHere)
		} else if h := app[r.Method]; h != nil {
			h.ServeHTTP(w, r)
		} else {
			s.wrongMethod(w, r, []string{"GET", "HEAD"})
		}
	})
	m.MethodNotAllowedHandler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.wrongMethod(w, r, methods(m, r))
	})
	return m
}

func (s *Server) wrongMethod(w http.ResponseWriter, r *http.Request, allowed []string) {
	list := strings.Join(allowed, ", ")
	w.Header().Set("Allow", list)
	s.fail(w, r, web.NewError(http.StatusMethodNotAllowed, "method_not_allowed", "method",
		"this address takes only "+list))
}

// methods returns the methods that an address allows.
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
