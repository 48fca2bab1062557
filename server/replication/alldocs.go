package replication

import (
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"datumbook/store"
)

// allDocs answers GET and POST /{db}/_all_docs.
func (h *Handler) allDocs(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	return h.list(w, r, b, &listing{}, q)
}

// designDocs answers GET and POST /{db}/_design_docs: design documents alone.
func (h *Handler) designDocs(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	return h.list(w, r, b, &listing{design: true}, q)
}

// localDocs answers GET and POST /{db}/_local_docs: checkpoints alone.
func (h *Handler) localDocs(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	return h.list(w, r, b, &listing{local: true}, q)
}

func (h *Handler) list(w http.ResponseWriter, r *http.Request, b *store.Book, a *listing, q query) error {
	a.h, a.s, a.docs = h, newStream(w), q.on("include_docs")
	keys, err := a.ask(q, r)
	if err != nil {
		return err
	}
	a.rd = h.reading(w, r, b, a.show)
	if a.local {
		err = a.locals(b, keys)
	} else if keys != nil {
		err = a.byKeys(b, *keys)
	} else {
		err = a.byRange(b)
	}
	return a.s.broke(err)
}

// listing is one request for documents.
type listing struct {
	h    *Handler
	rd   *reading
	s    *stream
	q    store.AllQuery
	docs bool
	seq  bool
	show show
	rows int

	design bool // design documents alone
	local  bool // checkpoints alone
}

// Ids of design documents have this before them; the first id behind them all would be designEnd.
const (
	designStart = "_design/"
	designEnd   = "_design0"
)

// ask reads the parameters from query or body, which use the same names. keys is nil unless the
// request names documents.
func (a *listing) ask(q query, r *http.Request) (keys *[]string, err error) {
	values := map[string]json.RawMessage{}
	if r.Method == http.MethodPost {
		text, err := readAsked(r)
		if err != nil {
			return nil, err
		}
		if len(strings.TrimSpace(string(text))) > 0 {
			if err := decodeJSON(text, &values); err != nil {
				return nil, err
			}
			if values == nil { // the body was null
				values = map[string]json.RawMessage{}
			}
		}
	}
	for name := range q.Values {
		values[name] = json.RawMessage(q.Get(name))
	}
	parse := func(name string, v any) bool {
		raw, ok := values[name]
		if !ok || err != nil {
			return false
		}
		if json.Unmarshal(raw, v) != nil {
			err = status(http.StatusBadRequest, "query_parse_error", "invalid value for "+name)
			return false
		}
		return true
	}
	inclusive := true
	var key string
	a.q.Limit = -1
	parse("limit", &a.q.Limit)
	parse("skip", &a.q.Skip)
	parse("descending", &a.q.Descending)
	parse("inclusive_end", &inclusive)
	parse("include_docs", &a.docs)
	parse("conflicts", &a.show.conflicts)
	parse("attachments", &a.show.atts)
	parse("update_seq", &a.seq)
	for _, name := range []string{"startkey", "start_key"} {
		if parse(name, &a.q.Start) {
			a.q.HasStart = true
		}
	}
	for _, name := range []string{"endkey", "end_key"} {
		if parse(name, &a.q.End) {
			a.q.HasEnd = true
		}
	}
	a.q.ExcludeEnd = !inclusive
	ranged := a.q.HasStart || a.q.HasEnd
	if parse("key", &key) {
		a.q.Start, a.q.End, a.q.HasStart, a.q.HasEnd, a.q.ExcludeEnd = key, key, true, true, false
		ranged = true
	}
	var list []string
	if parse("keys", &list) {
		if ranged {
			return nil, status(http.StatusBadRequest, "query_parse_error", "`keys` is incompatible with `key`, `start_key` and `end_key`")
		}
		if list == nil {
			list = []string{}
		}
		if len(list) > maxWanted {
			return nil, errTooMany
		}
		keys = &list
	}
	if err == nil && (a.q.Limit < -1 || a.q.Skip < 0) {
		err = status(http.StatusBadRequest, "query_parse_error", "limit and skip must not be negative")
	}
	return keys, err
}

// amongDesign keeps the range that is asked for within the design documents.
func (a *listing) amongDesign() {
	low, high, hasLow, hasHigh := &a.q.Start, &a.q.End, a.q.HasStart, a.q.HasEnd
	if a.q.Descending {
		low, high, hasLow, hasHigh = high, low, hasHigh, hasLow
	}
	if !hasLow || *low < designStart { // no document has this id, nor the one below
		*low = designStart
	}
	if !hasHigh || *high > designEnd {
		*high = designEnd
	}
	a.q.HasStart, a.q.HasEnd = true, true
}

// total counts the documents that the listing is of.
func (a *listing) total(view *store.View, in store.Info) (n uint64, err error) {
	if !a.design {
		return in.Docs, nil
	}
	q := store.AllQuery{Start: designStart, HasStart: true, End: designEnd, HasEnd: true, Limit: -1}
	for {
		page, err := view.All(q)
		n += uint64(len(page.Rows))
		if err != nil || !page.More {
			return n, err
		}
		q = page.Next
	}
}

func (a *listing) begin(in store.Info, total uint64, offset int) {
	a.s.text(`{"total_rows":`)
	a.s.buf = strconv.AppendUint(a.s.buf, total, 10)
	a.s.text(`,"offset":` + strconv.Itoa(offset))
	if a.seq {
		a.s.text(`,"update_seq":`)
		a.s.buf = strconv.AppendUint(a.s.buf, in.Seq, 10)
	}
	a.s.text(",\"rows\":[\n")
}

// byRange walks the ids in order.
func (a *listing) byRange(b *store.Book) error {
	if a.design {
		a.amongDesign()
	}
	first := true
	for {
		var page store.AllPage
		err := b.View(func(view *store.View) error {
			if first {
				in, err := view.Info()
				if err != nil {
					return err
				}
				total, err := a.total(view, in)
				if err != nil {
					return err
				}
				a.begin(in, total, min(a.q.Skip, int(total)))
				first = false
			}
			var err error
			page, err = view.All(a.q)
			return err
		})
		if err != nil {
			return err
		}
		if err := a.page(page.Rows); err != nil {
			return err
		}
		if !page.More {
			break
		}
		a.q = page.Next
	}
	a.s.text("\n]}\n")
	return a.s.end()
}

// part gives those of the names, in their order, that the request wants; of other kinds of documents
// than are listed nothing is said.
func (a *listing) part(keys []string, prefix string) []string {
	if a.q.Descending {
		slices.Reverse(keys)
	}
	keys = keys[min(a.q.Skip, len(keys)):]
	if a.q.Limit >= 0 {
		keys = keys[:min(a.q.Limit, len(keys))]
	}
	return slices.DeleteFunc(keys, func(key string) bool { return !strings.HasPrefix(key, prefix) })
}

// byKeys looks up the documents named, in their order.
func (a *listing) byKeys(b *store.Book, keys []string) error {
	prefix := ""
	if a.design {
		prefix = designStart
	}
	keys = a.part(keys, prefix)
	err := b.View(func(view *store.View) error {
		in, err := view.Info()
		if err != nil {
			return err
		}
		total, err := a.total(view, in)
		a.begin(in, total, 0)
		return err
	})
	if err != nil {
		return err
	}
	for len(keys) > 0 {
		part := keys[:min(100, len(keys))]
		keys = keys[len(part):]
		rows := make([]store.AllRow, len(part))
		err := b.View(func(view *store.View) error {
			for i, id := range part {
				f, err := view.Find(id)
				switch store.KindOf(err) {
				case "":
					rows[i] = store.AllRow{Found: f, Rev: f.Tree.Nodes[f.Tree.Winner()].Rev}
				case store.NotFound, store.Damaged:
					rows[i] = store.AllRow{Found: &store.Found{ID: id}, Err: err}
				default:
					return err
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		if err := a.page(rows); err != nil {
			return err
		}
	}
	a.s.text("\n]}\n")
	return a.s.end()
}

// page writes rows, and reads their documents where they are asked for.
func (a *listing) page(rows []store.AllRow) error {
	docs := make([]found, len(rows))
	for i, row := range rows {
		docs[i] = found{id: row.Found.ID, rev: row.Rev.String(), want: row.Rev, err: row.Err}
		switch {
		case store.KindOf(row.Err) == store.Damaged:
			docs[i].err = a.rd.damaged(row.Found.ID, "", row.Err)
		case row.Err == nil && row.Found.Deleted():
			docs[i].err = errMissing
		}
	}
	read := 0
	for i, row := range rows {
		if a.docs && i == read {
			some, err := a.rd.some(docs[i:])
			if err != nil {
				return err
			}
			read += copy(docs[i:], some)
		}
		if a.docs {
			if err := a.rd.contents(&docs[i]); err != nil {
				return err
			}
		}
		if err := a.row(row, &docs[i]); err != nil {
			return err
		}
		docs[i] = found{}
	}
	return nil
}

// row writes one row. A document that is not given has null in its place, and the row says why.
func (a *listing) row(row store.AllRow, d *found) error {
	if a.rows > 0 {
		a.s.text(",\n")
	}
	a.rows++
	id := row.Found.ID
	if row.Err != nil {
		a.s.text(`{"key":`)
		a.s.buf = appendString(a.s.buf, id)
		if store.KindOf(row.Err) == store.NotFound {
			a.s.text(`,"error":"not_found"`)
		} else {
			a.s.writeTrouble(d.err)
		}
		a.s.text("}")
		return a.s.spill(64 << 10)
	}
	a.s.text(`{"id":`)
	a.s.buf = appendString(a.s.buf, id)
	a.s.text(`,"key":`)
	a.s.buf = appendString(a.s.buf, id)
	a.s.text(`,"value":{"rev":"`)
	a.s.buf = appendRev(a.s.buf, row.Rev)
	a.s.text(`"`)
	if row.Found.Deleted() {
		a.s.text(`,"deleted":true`)
	}
	a.s.text("}")
	if a.docs {
		if err := a.h.writeIncluded(a.s, d); err != nil {
			return err
		}
	}
	a.s.text("}")
	return a.s.spill(64 << 10)
}

// locals answers with checkpoints. As at a CouchDB, they are not counted and have no place in the
// sequence.
func (a *listing) locals(b *store.Book, keys *[]string) error {
	var ids []string
	if keys != nil {
		ids = a.part(*keys, localStart)
	} else {
		all, err := b.Locals()
		if err != nil {
			return err
		}
		ids = a.inRange(all)
	}
	a.s.text(`{"total_rows":null,"offset":null`)
	if a.seq {
		a.s.text(`,"update_seq":null`)
	}
	a.s.text(",\"rows\":[\n")
	for _, id := range ids {
		l, err := b.Local(id[len(localStart):])
		if store.KindOf(err) == store.NotFound && keys == nil {
			continue // removed meanwhile
		}
		if err != nil && store.KindOf(err) != store.NotFound {
			return err
		}
		if a.rows++; a.rows > 1 {
			a.s.text(",\n")
		}
		a.localRow(id, l)
		if err := a.s.spill(64 << 10); err != nil {
			return err
		}
	}
	a.s.text("\n]}\n")
	return a.s.end()
}

const localStart = "_local/"

// inRange gives the whole ids of those checkpoints that the request wants.
func (a *listing) inRange(ids []string) []string {
	var out []string
	for _, id := range ids {
		id = localStart + id
		from, to := strings.Compare(id, a.q.Start), strings.Compare(id, a.q.End)
		if a.q.Descending {
			from, to = -from, -to
		}
		if a.q.HasStart && from < 0 || a.q.HasEnd && (to > 0 || to == 0 && a.q.ExcludeEnd) {
			continue
		}
		out = append(out, id)
	}
	return a.part(out, localStart)
}

func (a *listing) localRow(id string, l store.Local) {
	s := a.s
	if l.N == 0 {
		s.text(`{"key":`)
		s.buf = appendString(s.buf, id)
		s.text(`,"error":"not_found"}`)
		return
	}
	s.text(`{"id":`)
	s.buf = appendString(s.buf, id)
	s.text(`,"key":`)
	s.buf = appendString(s.buf, id)
	s.text(`,"value":{"rev":"0-`)
	s.buf = strconv.AppendUint(s.buf, l.N, 10)
	s.text(`"}`)
	if a.docs {
		s.text(`,"doc":`)
		s.buf = appendLocal(s.buf, l)
	}
	s.text("}")
}
