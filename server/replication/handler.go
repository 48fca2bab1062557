package replication

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"log/slog"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/gorilla/mux"

	"datumbook/store"
	"datumbook/store/revtree"
)

// Handler answers the protocol out of one store.
type Handler struct {
	Store   *store.Store
	Log     *slog.Logger // nil: silent
	Version string       // of the program, for the welcome

	// IdlePoll is how long a long poll without news is kept; 0 means 50 s. It must be shorter than what proxies and
	// phones put up with, and ends the polls of phones that have vanished.
	IdlePoll time.Duration
}

// Route is one line of the table.
type Route struct {
	Method  string
	Path    string // gorilla/mux template, to be matched on the escaped path without cleaning
	Role    store.Role
	Body    int64         // largest request body in bytes, unpacked; 0: none
	Time    time.Duration // longest answer; 0: as long as the client listens
	Handler http.HandlerFunc
}

const (
	kib   = 1 << 10
	mib   = 1 << 20
	quick = 30 * time.Second
	slow  = 10 * time.Minute
)

// Routes is the whole table. Paths are relative to where it is mounted; documents' ids and books' names are matched as
// sent, so that a coded slash stays inside its segment.
func (h *Handler) Routes() []Route {
	const r, w, o = store.Reader, store.Hand, store.Owner
	return []Route{
		// the server
		{"GET", "/", r, 0, quick, h.welcome},
		{"GET", "/_all_dbs", r, 0, quick, h.books},
		{"GET", "/_uuids", r, 0, quick, h.uuids},
		{"GET", "/_up", r, 0, quick, h.up},
		{"HEAD", "/_up", r, 0, quick, h.up},
		{"HEAD", "/", r, 0, quick, h.welcome},

		// a book
		{"GET", "/{db}", r, 0, quick, h.info},
		{"GET", "/{db}/", r, 0, quick, h.info},
		{"HEAD", "/{db}", r, 0, quick, h.info},
		{"HEAD", "/{db}/", r, 0, quick, h.info},
		{"PUT", "/{db}", o, 4 * kib, quick, h.createBook},
		{"PUT", "/{db}/", o, 4 * kib, quick, h.createBook},
		{"DELETE", "/{db}", o, 4 * kib, slow, h.deleteBook},
		{"DELETE", "/{db}/", o, 4 * kib, slow, h.deleteBook},
		{"POST", "/{db}", w, maxRequest, slow, h.postDoc},
		{"POST", "/{db}/", w, maxRequest, slow, h.postDoc},
		{"GET", "/{db}/_changes", r, 0, 0, h.changes},
		{"POST", "/{db}/_changes", r, 16 * mib, 0, h.changes},
		{"POST", "/{db}/_revs_diff", r, 16 * mib, slow, h.revsDiff},
		{"POST", "/{db}/_missing_revs", r, 16 * mib, slow, h.missingRevs},
		{"POST", "/{db}/_bulk_docs", w, maxRequest, slow, h.bulkDocs},
		{"POST", "/{db}/_bulk_get", r, 16 * mib, slow, h.bulkGet},
		{"GET", "/{db}/_all_docs", r, 0, slow, h.allDocs},
		{"POST", "/{db}/_all_docs", r, 16 * mib, slow, h.allDocs},
		{"POST", "/{db}/_ensure_full_commit", w, 4 * kib, quick, h.ensureFullCommit},
		{"POST", "/{db}/_compact", o, 4 * kib, slow, h.compact},
		{"GET", "/{db}/_revs_limit", r, 0, quick, h.revsLimit},
		{"PUT", "/{db}/_revs_limit", o, 4 * kib, quick, h.setRevsLimit},
		{"GET", "/{db}/_security", r, 0, quick, h.security},
		{"PUT", "/{db}/_security", o, 64 * kib, quick, h.setSecurity},

		// checkpoints
		{"GET", "/{db}/_local/{id}", r, 0, quick, h.getLocal},
		{"PUT", "/{db}/_local/{id}", w, mib, quick, h.putLocal},
		{"DELETE", "/{db}/_local/{id}", w, 4 * kib, quick, h.deleteLocal},
		{"GET", "/{db}/_local/{id}/{att:.+}", r, 0, quick, h.noLocalAtt},

		// documents; design documents are documents with a slash in the name
		{"GET", "/{db}/_design/{ddoc}", r, 0, slow, h.getDoc},
		{"HEAD", "/{db}/_design/{ddoc}", r, 0, slow, h.headDoc},
		{"PUT", "/{db}/_design/{ddoc}", w, maxRequest, slow, h.putDoc},
		{"DELETE", "/{db}/_design/{ddoc}", w, 4 * kib, quick, h.deleteDoc},
		{"COPY", "/{db}/_design/{ddoc}", w, 4 * kib, quick, h.copyDoc},
		{"GET", "/{db}/_design/{ddoc}/{att:.+}", r, 0, slow, h.getAtt},
		{"HEAD", "/{db}/_design/{ddoc}/{att:.+}", r, 0, slow, h.getAtt},
		{"PUT", "/{db}/_design/{ddoc}/{att:.+}", w, maxRequest, slow, h.putAtt},
		{"DELETE", "/{db}/_design/{ddoc}/{att:.+}", w, 4 * kib, quick, h.deleteAtt},
		{"GET", "/{db}/{id}", r, 0, slow, h.getDoc},
		{"HEAD", "/{db}/{id}", r, 0, slow, h.headDoc},
		{"PUT", "/{db}/{id}", w, maxRequest, slow, h.putDoc},
		{"DELETE", "/{db}/{id}", w, 4 * kib, quick, h.deleteDoc},
		{"COPY", "/{db}/{id}", w, 4 * kib, quick, h.copyDoc},
		{"GET", "/{db}/{id}/{att:.+}", r, 0, slow, h.getAtt},
		{"HEAD", "/{db}/{id}/{att:.+}", r, 0, slow, h.getAtt},
		{"PUT", "/{db}/{id}/{att:.+}", w, maxRequest, slow, h.putAtt},
		{"DELETE", "/{db}/{id}/{att:.+}", w, 4 * kib, quick, h.deleteAtt},
	}
}

// Mount adds the table to a router under a prefix, without roles and with body limits only: for a store that one person
// uses on one machine, and for tests. The router must use encoded paths and not clean them.
func (h *Handler) Mount(m *mux.Router, prefix string) {
	for _, rt := range h.Routes() {
		m.Path(prefix + rt.Path).Methods(rt.Method).HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if !h.unpack(w, r, rt.Body) {
				return
			}
			if rt.Time > 0 {
				ctx, stop := context.WithTimeout(r.Context(), rt.Time)
				defer stop()
				r = r.WithContext(ctx)
			}
			rt.Handler(w, r)
		})
	}
}

// param gives a path variable with its percent-coding undone.
func param(r *http.Request, name string) (string, error) {
	v, err := url.PathUnescape(mux.Vars(r)[name])
	if err != nil {
		return "", badRequest("the address is not well percent-coded")
	}
	return v, nil
}

// book finds the book a request is about.
func (h *Handler) book(r *http.Request) (*store.Book, error) {
	name, err := param(r, "db")
	if err != nil {
		return nil, err
	}
	if strings.HasPrefix(name, "_") {
		return nil, status(http.StatusNotFound, "not_found", "missing")
	}
	b, err := h.Store.Book(name)
	if err != nil {
		return nil, status(http.StatusNotFound, "not_found", "no_db_file")
	}
	return b, nil
}

// docID gives the document a request is about.
func docID(r *http.Request) (string, error) {
	if _, design := mux.Vars(r)["ddoc"]; design {
		name, err := param(r, "ddoc")
		return "_design/" + name, err
	}
	id, err := param(r, "id")
	if err != nil {
		return "", err
	}
	return id, store.CheckID(id)
}

// bookAndID is what most document requests begin with.
func (h *Handler) bookAndID(r *http.Request) (*store.Book, string, error) {
	b, err := h.book(r)
	if err != nil {
		return nil, "", err
	}
	id, err := docID(r)
	return b, id, err
}

// query reads one request's query values.
type query struct{ url.Values }

func queryOf(r *http.Request) (query, error) {
	v, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return query{}, badRequest("the query is not well formed")
	}
	return query{v}, nil
}

func (q query) on(name string) bool { return q.Get(name) == "true" }

// number reads a whole number, or gives def where it is missing.
func (q query) number(name string, def int) (int, error) {
	v := q.Get(name)
	if v == "" {
		return def, nil
	}
	n, err := strconv.Atoi(v)
	if err != nil || n < 0 {
		return 0, status(http.StatusBadRequest, "query_parse_error", "Invalid value for integer: "+strconv.Quote(v))
	}
	return n, nil
}

// rev reads a revision; the zero Rev where it is missing.
func (q query) rev(name string) (revtree.Rev, error) {
	v := strings.Trim(q.Get(name), `"`)
	if v == "" {
		return revtree.Rev{}, nil
	}
	rev, err := revtree.ParseRev(v)
	if err != nil {
		return rev, errBadRev
	}
	return rev, nil
}

// Records is the form of the records that this office keeps. It rises when an app that knows only the form before could
// misread them; such an app stops exchanging records and asks to be updated.
const Records = 1

// welcome answers for the server as a whole. Its uuid names the store's history to replicas.
func (h *Handler) welcome(w http.ResponseWriter, r *http.Request) {
	id, err := h.Store.UUID()
	if err != nil {
		h.fail(w, r, err)
		return
	}
	answer(w, http.StatusOK, map[string]any{
		"couchdb": "Welcome", "uuid": id, "version": "3.3.0", // the protocol's level, which some clients look at
		"vendor": map[string]string{"name": "Datumbook", "version": h.Version}, "features": []string{},
		"datumbook": map[string]int{"records": Records},
	})
}

func (h *Handler) up(w http.ResponseWriter, r *http.Request) {
	if _, err := h.Store.UUID(); err != nil {
		h.fail(w, r, err)
		return
	}
	answer(w, http.StatusOK, map[string]string{"status": "ok"})
}

func (h *Handler) books(w http.ResponseWriter, r *http.Request) {
	answer(w, http.StatusOK, h.Store.Books())
}

func (h *Handler) uuids(w http.ResponseWriter, r *http.Request) {
	q, err := queryOf(r)
	n := 1
	if err == nil {
		n, err = q.number("count", 1)
	}
	if err == nil && n > 1000 {
		err = status(http.StatusBadRequest, "bad_request", "count parameter too large")
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	ids := make([]string, n)
	for i := range ids {
		var b [16]byte
		rand.Read(b[:])
		ids[i] = hex.EncodeToString(b[:])
	}
	answer(w, http.StatusOK, map[string]any{"uuids": ids})
}
