package replication

import (
	"mime"
	"net/http"
	"net/url"
	"strings"

	"datumbook/store"
	"datumbook/store/revtree"
)

// getDoc answers GET /{db}/{id}.
func (h *Handler) getDoc(w http.ResponseWriter, r *http.Request) {
	b, id, err := h.bookAndID(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	q, err := queryOf(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	sh, err := q.show()
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if q.Has("open_revs") {
		h.openRevs(w, r, b, id, q, sh)
		return
	}
	d, err := h.one(b, id, q, sh)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	w.Header().Set("ETag", `"`+d.Rev.String()+`"`)
	if none := r.Header.Get("If-None-Match"); none == w.Header().Get("ETag") && !sh.conflicts && !sh.info {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	if sh.atts && len(d.Atts) > 0 && accepts(r, "multipart/related") {
		h.related(w, r, d)
		return
	}
	s := newStream(w)
	if err := h.writeDoc(s, d); err != nil {
		h.broke(w, r, s, err)
		return
	}
	s.text("\n")
	s.end()
}

// one loads the winner, or the revision the query names.
func (h *Handler) one(b *store.Book, id string, q query, sh show) (*loaded, error) {
	rev, err := q.rev("rev")
	if err != nil {
		return nil, err
	}
	var d *loaded
	err = b.View(func(view *store.View) error {
		f, err := view.Find(id)
		if err != nil {
			return err
		}
		i := f.Tree.Winner()
		if rev.IsZero() {
			if f.Deleted() {
				return status(http.StatusNotFound, "not_found", "deleted")
			}
		} else {
			at, ok := f.Tree.Find(rev)
			if !ok {
				return status(http.StatusNotFound, "not_found", "missing")
			}
			if i = at; q.on("latest") {
				i = f.Tree.LatestFrom(at)[0]
			}
		}
		var ok bool
		if d, ok, err = sh.load(view, f, i); err == nil && !ok {
			return status(http.StatusNotFound, "not_found", "missing")
		}
		return err
	})
	return d, err
}

// openRevs answers GET /{db}/{id}?open_revs=: several revisions, as JSON or as multipart/mixed.
func (h *Handler) openRevs(w http.ResponseWriter, r *http.Request, b *store.Book, id string, q query, sh show) {
	var rows []found
	all := q.Get("open_revs") == "all" || q.Get("open_revs") == `"all"`
	var revs []revtree.Rev
	var err error
	if !all {
		if revs, err = revList(q.Get("open_revs")); err != nil {
			h.fail(w, r, err)
			return
		}
	}
	err = b.View(func(view *store.View) error {
		f, err := view.Find(id)
		switch {
		case store.KindOf(err) == store.NotFound && !all:
			for _, rev := range revs {
				rows = append(rows, found{rev: rev.String(), err: err})
			}
			return nil
		case err != nil:
			return err
		case all:
			rows, err = sh.leaves(view, f)
			return err
		}
		for _, rev := range revs {
			got, err := sh.revision(view, f, rev, q.on("latest"))
			if err != nil {
				return err
			}
			for _, row := range got {
				if !hasRev(rows, row) {
					rows = append(rows, row)
				}
			}
		}
		return nil
	})
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if accepts(r, "multipart/mixed") {
		h.mixed(w, r, rows)
		return
	}
	s := newStream(w)
	s.text("[")
	for i, row := range rows {
		if i > 0 {
			s.text(",")
		}
		if row.doc == nil {
			s.text(`{"missing":`)
			s.buf = appendString(s.buf, row.rev)
			s.text("}")
			continue
		}
		s.text(`{"ok":`)
		if err := h.writeDoc(s, row.doc); err != nil {
			h.broke(w, r, s, err)
			return
		}
		s.text("}")
	}
	s.text("]\n")
	s.end()
}

func hasRev(rows []found, row found) bool {
	for _, have := range rows {
		if have.doc != nil && row.doc != nil && have.rev == row.rev {
			return true
		}
	}
	return false
}

// headDoc answers HEAD /{db}/{id}: whether it is there, and its revision as the ETag.
func (h *Handler) headDoc(w http.ResponseWriter, r *http.Request) { h.getDoc(w, r) }

// putDoc answers PUT /{db}/{id}, as JSON or as multipart/related with attachments behind the document.
func (h *Handler) putDoc(w http.ResponseWriter, r *http.Request) {
	b, id, err := h.bookAndID(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.writeOne(w, r, b, id)
}

// writeOne stores the document in the body under id; "" takes the document's own id, or a new one.
func (h *Handler) writeOne(w http.ResponseWriter, r *http.Request, b *store.Book, id string) {
	in := &intake{s: h.Store}
	defer in.discard()
	d, err := in.one(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	switch {
	case id == "" && !d.hasID:
		id = store.NewID()
	case id == "":
		id = d.id
	case d.hasID && d.id != id:
		h.fail(w, r, badRequest("Document ID in the body does not match the address"))
		return
	}
	d.id, d.hasID = id, true
	q, err := queryOf(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if rev := ifMatch(r, q); rev != "" {
		if d.rev != "" && d.rev != rev {
			h.fail(w, r, badRequest("Document rev from request body and query string have different values"))
			return
		}
		d.rev = rev
	}
	push := q.Get("new_edits") == "false"
	rows, err := h.save(b, []incoming{d}, push)
	if err == nil {
		err = rows[0].Err
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.saved(w, b, rows[0])
}

// one reads the document of a request.
func (in *intake) one(r *http.Request) (incoming, error) {
	kind, params, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if kind == "multipart/related" {
		return in.related(r.Body, params["boundary"])
	}
	s := newScan(r.Body)
	if c := s.next(); c != '{' && s.err == nil {
		return incoming{}, badRequest("Document must be a JSON object")
	}
	d, _, err := in.doc(s, nil)
	if err == nil {
		err = s.eof()
	}
	return d, err
}

// ifMatch gives the revision that a request wants to replace, from the query or the header.
func ifMatch(r *http.Request, q query) string {
	if rev := strings.Trim(q.Get("rev"), `"`); rev != "" {
		return rev
	}
	return strings.Trim(r.Header.Get("If-Match"), `"`)
}

func (h *Handler) saved(w http.ResponseWriter, b *store.Book, row store.Result) {
	rev := string(appendRev(nil, row.Rev)) // 0-N of a checkpoint too
	w.Header().Set("ETag", `"`+rev+`"`)
	w.Header().Set("Location", "/"+url.PathEscape(b.Name())+"/"+url.PathEscape(row.ID))
	answer(w, http.StatusCreated, map[string]any{"ok": true, "id": row.ID, "rev": rev})
}

// deleteDoc answers DELETE /{db}/{id}?rev=: a new revision that says the document is gone.
func (h *Handler) deleteDoc(w http.ResponseWriter, r *http.Request) {
	b, id, err := h.bookAndID(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	q, err := queryOf(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	d := store.Doc{ID: id, Deleted: true}
	if rev := ifMatch(r, q); rev != "" {
		if d.Rev, err = revtree.ParseRev(rev); err != nil {
			h.fail(w, r, errBadRev)
			return
		}
	} else if _, err := b.Get(id, revtree.Rev{}); err != nil {
		h.fail(w, r, err) // a document that is not there cannot be deleted; one that is needs its revision
		return
	}
	if !d.Rev.IsZero() {
		if _, err := b.Get(id, d.Rev); store.KindOf(err) == store.NotFound && err.Error() == "missing" {
			if _, err := b.Get(id, revtree.Rev{}); store.KindOf(err) == store.NotFound {
				h.fail(w, r, err)
				return
			}
		}
	}
	rows, err := b.Edit([]store.Doc{d})
	if err == nil {
		err = rows[0].Err
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	rev := rows[0].Rev.String()
	w.Header().Set("ETag", `"`+rev+`"`)
	answer(w, http.StatusOK, map[string]any{"ok": true, "id": id, "rev": rev})
}

// copyDoc answers COPY /{db}/{id} with Destination: id[?rev=].
func (h *Handler) copyDoc(w http.ResponseWriter, r *http.Request) {
	b, id, err := h.bookAndID(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	q, err := queryOf(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	from, err := q.rev("rev")
	if err != nil {
		h.fail(w, r, err)
		return
	}
	to, rest, _ := strings.Cut(r.Header.Get("Destination"), "?")
	if to, err = url.PathUnescape(to); err != nil || to == "" {
		h.fail(w, r, badRequest("Destination header is mandatory for COPY."))
		return
	}
	if err := store.CheckID(to); err != nil {
		h.fail(w, r, err)
		return
	}
	src, err := b.Get(id, from)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	dst := store.Doc{ID: to, Body: src.Body}
	values, err := url.ParseQuery(rest)
	if err == nil && values.Get("rev") != "" {
		dst.Rev, err = revtree.ParseRev(values.Get("rev"))
	}
	if err != nil {
		h.fail(w, r, errBadRev)
		return
	}
	for _, a := range src.Atts {
		dst.Atts = append(dst.Atts, store.Att{Name: a.Name, ContentType: a.ContentType, Blob: h.Store.Again(a)})
	}
	rows, err := b.Edit([]store.Doc{dst})
	if err == nil {
		err = rows[0].Err
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.saved(w, b, rows[0])
}

// accepts reports whether a request asks for a kind of answer by name.
func accepts(r *http.Request, kind string) bool {
	for _, v := range r.Header.Values("Accept") {
		for _, part := range strings.Split(v, ",") {
			if name, _, _ := strings.Cut(part, ";"); strings.EqualFold(strings.TrimSpace(name), kind) {
				return true
			}
		}
	}
	return false
}
