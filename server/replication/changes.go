package replication

import (
	"bytes"
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"datumbook/server/web"
	"datumbook/store"
)

// defaultIdle is how long a long poll without changes is kept open.
const defaultIdle = 50 * time.Second

// feed is one request for changes.
type feed struct {
	h     *Handler
	rd    *reading
	b     *store.Book
	s     *stream
	q     store.ChangesQuery
	left  int // rows still wanted, -1: all
	all   bool
	docs  bool
	show  show
	share *web.Share                           // nil but for a feed that waits
	match func(c store.Change, d *loaded) bool // nil: every change
	body  bool                                 // match looks at the body

	continuous bool
	events     bool   // continuous, in the form of browsers' EventSource
	interval   int    // only every so many rows and the last carry their sequence; 0: all do
	null       int    // where in the buffer the last row has null for it; 0: it has its sequence
	rows       int    // written so far
	rowSeq     uint64 // of the last one
	last       uint64
}

// changes answers GET and POST /{db}/_changes.
func (h *Handler) changes(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	f := &feed{h: h, b: b, s: newStream(w), all: q.Get("style") == "all_docs", docs: q.on("include_docs")}
	if err := f.ask(q, r); err != nil {
		return err
	}
	f.rd = h.reading(w, r, b, f.show)
	var err error
	kind := q.Get("feed")
	switch kind {
	case "", "normal":
		err = f.normal()
	case "longpoll", "continuous", "eventsource":
		var wait patience
		if wait, err = h.patience(q, kind != "longpoll"); err != nil {
			break
		}
		f.q.Descending = false
		ctx, end := h.feeds.begin(w, r)
		defer end()
		f.share = web.ShareOf(ctx)
		if kind != "longpoll" {
			f.continuous = true
			if kind == "eventsource" {
				f.events, f.s.kind = true, "text/event-stream"
			}
			err = f.stream(ctx, wait)
		} else {
			err = f.longpoll(ctx, wait)
		}
	default:
		err = badRequest("Supported `feed` types: normal, continuous, eventsource, longpoll")
	}
	if r.Context().Err() != nil {
		return nil // the client has left
	}
	return f.s.broke(err)
}

// ask reads the request's parameters.
func (f *feed) ask(q query, r *http.Request) error {
	var err error
	if f.show, err = q.show(); err != nil {
		return err
	}
	if f.left, err = q.number("limit", -1); err != nil {
		return err
	}
	if f.left == 0 {
		f.left = 1 // as CouchDB does
	}
	if f.interval, err = q.number("seq_interval", 1); err != nil || f.interval < 1 {
		return badRequest("invalid_seq_interval")
	}
	f.q.Descending = q.on("descending")
	since := q.Get("since")
	if since == "" {
		since = r.Header.Get("Last-Event-Id")
	}
	if f.q.Since, err = f.sequence(since); err != nil {
		return err
	}
	var body struct {
		IDs      []string        `json:"doc_ids"`
		Selector json.RawMessage `json:"selector"`
	}
	if r.Method == http.MethodPost {
		text, err := readAsked(r)
		if err != nil {
			return err
		}
		if len(strings.TrimSpace(string(text))) > 0 {
			if err := decodeJSON(text, &body); err != nil {
				return err
			}
		}
	}
	if v := q.Get("doc_ids"); v != "" && body.IDs == nil {
		if err := decodeJSON([]byte(v), &body.IDs); err != nil {
			return badRequest("`doc_ids` filter parameter is not a list of strings")
		}
	}
	if len(body.IDs) > maxWanted {
		return errTooMany
	}
	switch name := q.Get("filter"); {
	case name == "":
	case name == "_doc_ids":
		if body.IDs == nil {
			return badRequest("`doc_ids` filter parameter is not a list")
		}
		f.q.IDs = body.IDs
	case name == "_design":
		f.match = func(c store.Change, _ *loaded) bool { return strings.HasPrefix(c.ID, "_design/") }
	case name == "_selector":
		sel, err := parseSelector(body.Selector)
		if err != nil {
			return err
		}
		f.body = true
		f.match = func(_ store.Change, d *loaded) bool {
			return d != nil && (holdFor(r, 16*int64(len(d.Body))) != nil || sel.matches(d))
		}
	default:
		return status(http.StatusNotFound, "not_found", "filter functions are not kept here; use _doc_ids or _selector")
	}
	return nil
}

// sequence reads a since: a number, a number with a suffix as other servers send it, or now.
func (f *feed) sequence(since string) (uint64, error) {
	since = strings.Trim(since, `"`)
	if since == "" || since == "0" {
		return 0, nil
	}
	if since == "now" {
		return f.b.Seq(), nil
	}
	num, _, _ := strings.Cut(since, "-")
	n, err := strconv.ParseUint(num, 10, 64)
	if err != nil {
		return 0, badRequest("malformed sequence supplied in 'since' parameter")
	}
	return n, nil
}

// page reads and writes one page of rows; more says that rows are left and wanted.
func (f *feed) page() (more bool, err error) {
	f.q.Limit = pageRows
	if f.match == nil && f.left >= 0 {
		f.q.Limit = min(f.q.Limit, f.left)
	}
	var page store.ChangesPage
	err = f.b.View(func(view *store.View) (err error) {
		page, err = view.Changes(f.q)
		return err
	})
	if err != nil {
		return false, err
	}
	for _, what := range page.Damaged {
		f.rd.log.Warn("damaged", "book", f.b.Name(), "what", what)
	}
	f.last = page.Last
	docs := make([]found, len(page.Rows)) // those from read on are still to be read
	for i, c := range page.Rows {
		docs[i] = found{id: c.ID, rev: c.Leaves[0].String(), want: c.Leaves[0]}
	}
	read := 0
	for i, c := range page.Rows {
		f.q.Since, f.q.Before = f.next(c.Seq)
		if !utf8.ValidString(c.ID) { // of an earlier version: no request can name it, and asking for it fails
			f.rd.log.Warn("left out: its id is not UTF-8", "book", f.b.Name(), "document", strconv.Quote(c.ID))
			read = max(read, i+1)
			docs[i] = found{}
			continue
		}
		if i == read && (f.docs || f.body) {
			some, err := f.rd.some(docs[i:])
			if err != nil {
				return false, err
			}
			read += copy(docs[i:], some)
		}
		if unread := docs[i].err != nil && !docs[i].missing(); f.match != nil && !unread && !f.match(c, docs[i].doc) {
			docs[i] = found{}
			continue
		}
		var d *found
		if f.docs {
			d = &docs[i]
			if err := f.rd.contents(d); err != nil {
				return false, err
			}
		}
		if err := f.row(c, d); err != nil {
			return false, err
		}
		docs[i] = found{}
		if f.left > 0 {
			if f.left--; f.left == 0 {
				f.last = c.Seq
				return false, nil
			}
		}
	}
	if !page.More && !f.q.Descending {
		f.q.Since = page.Last
	}
	return page.More, nil
}

// next returns where the page after a row begins.
func (f *feed) next(seq uint64) (since, before uint64) {
	if f.q.Descending {
		return f.q.Since, seq
	}
	return seq, 0
}

// skips reports whether the next row has no sequence, which rows are counted off as CouchDB does: from
// the limit down, or from its default. A row with its document may be on its way before it is known
// that it is the last, so it has its sequence.
func (f *feed) skips() bool {
	left := int64(f.left)
	if left < 0 {
		left = 1_000_000_000_000_000 - int64(f.rows) + 1
	}
	return !f.docs && left%int64(f.interval) != 0
}

// endRow gives the last row that was written its sequence: a client goes on from there.
func (f *feed) endRow() {
	if f.null > 0 {
		rest := bytes.Clone(f.s.buf[f.null+len("null"):])
		f.s.buf = append(strconv.AppendUint(f.s.buf[:f.null], f.rowSeq, 10), rest...)
		f.null = 0
	}
}

// row writes one change. A document that is not given has null in its place, and the row says why.
func (f *feed) row(c store.Change, d *found) error {
	if err := f.s.spill(64 << 10); err != nil {
		return err
	}
	b := f.s.buf
	if !f.continuous && f.rows > 0 {
		b = append(b, ",\n"...)
	}
	f.rows++
	f.rowSeq = c.Seq
	if f.events {
		b = append(b, "data: "...)
	}
	b = append(b, `{"seq":`...)
	if f.null = 0; f.skips() {
		f.null = len(b)
		b = append(b, "null"...)
	} else {
		b = strconv.AppendUint(b, c.Seq, 10)
	}
	b = append(b, `,"id":`...)
	b = appendString(b, c.ID)
	b = append(b, `,"changes":[`...)
	leaves := c.Leaves
	if !f.all {
		leaves = leaves[:1]
	}
	for i, rev := range leaves {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, `{"rev":"`...)
		b = append(appendRev(b, rev), `"}`...)
	}
	b = append(b, ']')
	if c.Deleted {
		b = append(b, `,"deleted":true`...)
	}
	f.s.buf = b
	if d != nil {
		if err := f.h.writeIncluded(f.s, d); err != nil {
			return err
		}
	}
	f.s.text("}")
	switch {
	case f.events:
		f.s.text("\nid: ")
		f.s.buf = strconv.AppendUint(f.s.buf, c.Seq, 10)
		f.s.text("\n\n")
	case f.continuous:
		f.s.text("\n")
	}
	return nil
}

// writeIncluded writes the document of a row, or why it is not given.
func (h *Handler) writeIncluded(s *stream, d *found) error {
	s.text(`,"doc":`)
	if d.doc != nil {
		return h.writeDoc(s, d.doc)
	}
	s.text("null")
	if d.err != nil && !d.missing() {
		s.writeTrouble(d.err)
	}
	return nil
}

// normal answers with all there is.
func (f *feed) normal() error {
	f.s.text("{\"results\":[\n")
	return f.rest()
}

// rest writes the remaining rows and ends the answer.
func (f *feed) rest() error {
	for {
		more, err := f.page()
		if err != nil {
			return err
		}
		if !more {
			break
		}
	}
	return f.finish()
}

// pending counts the documents that changed after the last row, filtered or not, as CouchDB counts
// them.
func (f *feed) pending() (n uint64, err error) {
	if f.q.Descending || f.b.Seq() <= f.last {
		return 0, nil
	}
	err = f.b.View(func(view *store.View) error {
		n, err = view.Pending(f.last)
		return err
	})
	if gone(err) {
		return 0, nil // the rows before were whole
	}
	return n, err
}
