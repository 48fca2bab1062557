package replication

import (
	"log/slog"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/gorilla/mux"

	"datumbook/server/pairing"
	"datumbook/server/web"
	"datumbook/store"
	"datumbook/store/revtree"
)

// Handler serves the protocol from one store.
type Handler struct {
	Store   *store.Store
	Version string // of the program, for the welcome
	Log     *slog.Logger

	// IdlePoll is how long a long poll without changes is kept open; 0 means 50 s. It must be
	// shorter than the timeouts of proxies and phones, and ends the polls of phones that are gone.
	IdlePoll time.Duration

	Trouble func() error     // why this office cannot keep records safe at present; nil: never
	Copies  func() error     // what is wrong with its copies elsewhere, for the office machine alone; nil: never
	Now     func() time.Time // nil: the real clock

	feeds feeds
}

const (
	kib   = 1 << 10
	mib   = 1 << 20
	quick = 30 * time.Second
	slow  = 10 * time.Minute
)

// Routes is the whole table. Paths are relative to where it is mounted; documents' ids and books'
// names are matched as sent, so that an encoded slash stays in its segment.
func (h *Handler) Routes() []web.Route {
	const r, w, o = store.Reader, store.Operator, store.Owner
	var table []web.Route
	add := func(methods, path string, role store.Role, body int64, longest time.Duration, do web.Handler) {
		for method := range strings.FieldsSeq(methods) {
			table = append(table, web.Route{Method: method, Path: path, Role: role, Body: body, Time: longest,
				Handler: h.answered(do)})
		}
	}
	// the server
	add("GET HEAD", "/", r, 0, quick, h.welcome)
	add("GET", "/_all_dbs", r, 0, quick, h.books)
	add("GET", "/_uuids", r, 0, quick, h.uuids)
	add("GET HEAD", "/_up", r, 0, quick, h.up)

	// a book
	for _, path := range []string{"/{db}", "/{db}/"} {
		add("GET HEAD", path, r, 0, quick, h.inBook(h.info))
		add("PUT", path, o, 4*kib, quick, h.createBook)
		add("DELETE", path, o, 4*kib, slow, h.inBook(h.deleteBook))
		add("POST", path, w, maxRequest, slow, h.inBook(h.postDoc))
	}
	add("GET", "/{db}/_changes", r, 0, 0, h.inBook(h.changes))
	add("POST", "/{db}/_changes", r, maxAsk, 0, h.inBook(h.changes))
	add("POST", "/{db}/_revs_diff", r, maxAsk, slow, h.inBook(h.revsDiff))
	add("POST", "/{db}/_missing_revs", r, maxAsk, slow, h.inBook(h.missingRevs))
	add("POST", "/{db}/_bulk_docs", w, maxRequest, slow, h.inBook(h.bulkDocs))
	add("POST", "/{db}/_bulk_get", r, maxAsk, slow, h.inBook(h.bulkGet))
	add("GET", "/{db}/_all_docs", r, 0, slow, h.inBook(h.allDocs))
	add("POST", "/{db}/_all_docs", r, maxAsk, slow, h.inBook(h.allDocs))
	add("GET", "/{db}/_design_docs", r, 0, slow, h.inBook(h.designDocs))
	add("POST", "/{db}/_design_docs", r, maxAsk, slow, h.inBook(h.designDocs))
	add("GET", "/{db}/_local_docs", r, 0, slow, h.inBook(h.localDocs))
	add("POST", "/{db}/_local_docs", r, maxAsk, slow, h.inBook(h.localDocs))
	add("POST", "/{db}/_ensure_full_commit", w, 4*kib, quick, h.inBook(h.ensureFullCommit))
	add("POST", "/{db}/_compact", o, 4*kib, slow, h.inBook(h.compact))
	add("GET", "/{db}/_revs_limit", r, 0, quick, h.inBook(h.revsLimit))
	add("PUT", "/{db}/_revs_limit", o, 4*kib, quick, h.inBook(h.setRevsLimit))
	add("GET", "/{db}/_purged_infos_limit", r, 0, quick, h.inBook(h.purgedLimit))
	add("PUT", "/{db}/_purged_infos_limit", o, 4*kib, quick, h.inBook(h.setPurgedLimit))
	add("GET", "/{db}/_security", r, 0, quick, h.inBook(h.security))
	add("PUT", "/{db}/_security", o, 64*kib, quick, h.setSecurity)

	// checkpoints
	add("GET", "/{db}/_local/{id}", r, 0, quick, h.of(localID, h.getLocal))
	add("PUT", "/{db}/_local/{id}", w, maxLocal, quick, h.of(localID, h.putLocal))
	add("DELETE", "/{db}/_local/{id}", w, 4*kib, quick, h.of(localID, h.deleteLocal))
	add("GET", "/{db}/_local/{id}/{att:.+}", r, 0, quick, h.noLocalAtt)

	// documents; design documents are documents with a slash in the name
	for _, path := range []string{"/{db}/_design/{ddoc}", "/{db}/{id}"} {
		add("GET HEAD", path, r, 0, slow, h.of(docID, h.getDoc))
		add("PUT", path, w, maxRequest, slow, h.of(docID, h.writeOne))
		add("DELETE", path, w, 4*kib, quick, h.of(docID, h.deleteDoc))
		add("COPY", path, w, 4*kib, quick, h.of(docID, h.copyDoc))
		att := path + "/{att:.+}"
		add("GET HEAD", att, r, 0, slow, h.of(docID, h.getAtt))
		add("PUT", att, w, maxRequest, slow, h.of(docID, h.putAtt))
		add("DELETE", att, w, 4*kib, quick, h.of(docID, h.deleteAtt))
	}
	return table
}

// inBook makes a handler of one that takes a book and the request's query.
func (h *Handler) inBook(do func(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error) web.Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		name, err := param(r, "db")
		if err != nil {
			return err
		}
		if strings.HasPrefix(name, "_") {
			return status(http.StatusNotFound, "not_found", "missing")
		}
		b, err := h.Store.Book(name)
		if err != nil {
			return status(http.StatusNotFound, "not_found", "no_db_file")
		}
		q, err := url.ParseQuery(r.URL.RawQuery)
		if err != nil {
			return errBadQuery
		}
		return do(w, r, b, query{q})
	}
}

var errBadQuery = badRequest("the query is not well formed")

// target is the document or checkpoint that a request is about.
type target struct {
	*store.Book
	id string
	q  query
}

// of makes a handler of one that takes a document or checkpoint, whose id is read by id.
func (h *Handler) of(id func(*http.Request) (string, error),
	do func(w http.ResponseWriter, r *http.Request, t target) error) web.Handler {
	return h.inBook(func(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
		name, err := id(r)
		if err != nil {
			return err
		}
		return do(w, r, target{b, name, q})
	})
}

// param returns a decoded path variable.
func param(r *http.Request, name string) (string, error) {
	v, err := url.PathUnescape(mux.Vars(r)[name])
	if err != nil {
		return "", badRequest("the address is not well percent-coded")
	}
	return v, nil
}

// docID returns the id of the document a request is about.
func docID(r *http.Request) (string, error) {
	if _, design := mux.Vars(r)["ddoc"]; design {
		name, err := param(r, "ddoc")
		return "_design/" + name, err
	}
	id, err := param(r, "id")
	if err != nil {
		return "", err
	}
	return id, store.CheckOldID(id)
}

// localID returns the id of the checkpoint a request is about.
func localID(r *http.Request) (string, error) { return param(r, "id") }

// query reads a request's query values.
type query struct{ url.Values }

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

// Records is the version of the record format in this office. It is raised when apps that know only
// older versions could misread records; such an app stops syncing and asks to be updated.
const Records = 1

// welcome answers for the server itself. Its uuid identifies the store's history to replicas.
func (h *Handler) welcome(w http.ResponseWriter, r *http.Request) error {
	id, err := h.Store.UUID()
	if err != nil {
		return err
	}
	now := time.Now
	if h.Now != nil {
		now = h.Now
	}
	own := map[string]any{"records": Records, "time": now().UTC().Format(time.RFC3339)}
	if err := h.trouble(r); err != nil {
		own["trouble"] = err.Error()
	}
	return web.JSON(w, http.StatusOK, map[string]any{
		"couchdb": "Welcome", "uuid": id, "version": "3.3.0", // the protocol's level, for clients
		"vendor": map[string]string{"name": "Datumbook", "version": h.Version}, "features": []string{},
		"datumbook": own,
	})
}

// trouble is what a device is told that stands between it and the office; the office machine is told
// of its copies too, which are no business of the phones.
func (h *Handler) trouble(r *http.Request) error {
	if h.Trouble != nil {
		if err := h.Trouble(); err != nil {
			return err
		}
	}
	if h.Copies != nil && pairing.From(r.Context()).OfOffice() {
		return h.Copies()
	}
	return nil
}

func (h *Handler) up(w http.ResponseWriter, r *http.Request) error {
	if _, err := h.Store.UUID(); err != nil {
		return err
	}
	return web.JSON(w, http.StatusOK, map[string]string{"status": "ok"})
}

func (h *Handler) books(w http.ResponseWriter, r *http.Request) error {
	return web.JSON(w, http.StatusOK, h.Store.Books())
}

func (h *Handler) uuids(w http.ResponseWriter, r *http.Request) error {
	q, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return errBadQuery
	}
	n, err := query{q}.number("count", 1)
	if err != nil {
		return err
	}
	if n > 1000 {
		return badRequest("count parameter too large")
	}
	ids := make([]string, n)
	for i := range ids {
		ids[i] = store.NewID()
	}
	return web.JSON(w, http.StatusOK, map[string]any{"uuids": ids})
}
