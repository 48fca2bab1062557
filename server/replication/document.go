package replication

import (
	"mime"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"datumbook/server/web"
	"datumbook/store"
	"datumbook/store/revtree"
)

// getDoc answers GET /{db}/{id}, and HEAD: whether it is there, and its revision as the ETag.
func (h *Handler) getDoc(w http.ResponseWriter, r *http.Request, t target) error {
	sh, err := t.q.show()
	if err != nil {
		return err
	}
	if t.q.Has("open_revs") {
		return h.openRevs(w, r, t, sh)
	}
	rd := h.reading(w, r, t.Book, sh)
	f, err := t.load(rd)
	if err == nil {
		err = rd.contents(&f)
	}
	if err == nil {
		err = f.err
	}
	if err != nil {
		return err
	}
	d := f.doc
	w.Header().Set("ETag", `"`+d.Rev.String()+`"`)
	if none := r.Header.Get("If-None-Match"); none == w.Header().Get("ETag") && !sh.conflicts && !sh.info {
		w.WriteHeader(http.StatusNotModified)
		return nil
	}
	if sh.atts && slices.ContainsFunc(d.Atts, d.follows) && accepts(r, "multipart/related") {
		return h.related(w, d)
	}
	s := newStream(w)
	if err := h.writeDoc(s, d); err != nil {
		return s.broke(err)
	}
	s.text("\n")
	return s.end()
}

// load loads the winner, or the revision the query names.
func (t target) load(rd *reading) (out found, err error) {
	rev, err := t.q.rev("rev")
	if err != nil {
		return out, err
	}
	err = t.View(func(view *store.View) error {
		f, err := view.Find(t.id)
		if store.KindOf(err) == store.Damaged {
			return rd.damaged(t.id, rev.String(), err)
		}
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
				return errMissing
			}
			if i = at; t.q.on("latest") {
				i = f.Tree.LatestFrom(at)[0]
			}
		}
		var ok bool
		if out, ok, err = rd.load(view, f, i); err == nil && !ok {
			return errMissing
		}
		return err
	})
	if err == nil && !out.want.IsZero() {
		err = rd.now(&out)
	}
	if err == nil {
		err = out.err
	}
	return out, err
}

// openRevs answers GET /{db}/{id}?open_revs=: several revisions, as JSON or as multipart/mixed. One
// that cannot be read counts as missing there, and says why.
func (h *Handler) openRevs(w http.ResponseWriter, r *http.Request, t target, sh show) error {
	var rows []found
	open := t.q.Get("open_revs")
	all := open == "all" || open == `"all"`
	var revs []revtree.Rev
	var err error
	if !all {
		if revs, err = revList(open); err != nil {
			return err
		}
	}
	rd := h.reading(w, r, t.Book, sh)
	err = t.View(func(view *store.View) error {
		f, err := view.Find(t.id)
		kind := store.KindOf(err)
		if kind == store.Damaged {
			err = rd.damaged(t.id, "", err)
		}
		switch {
		case (kind == store.NotFound || kind == store.Damaged) && !all:
			for _, rev := range revs {
				rows = append(rows, found{rev: rev.String(), err: err})
			}
			return nil
		case err != nil:
			return err
		case all:
			rows, err = rd.leaves(view, f)
			return err
		}
		for _, rev := range revs {
			got, err := rd.revision(view, f, rev, t.q.on("latest"))
			if err != nil {
				return err
			}
			for _, row := range got {
				if row.doc != nil {
					row.doc, row.want = nil, row.doc.Rev // read again when it is written
					row.need = 0
				}
				if !hasRev(rows, row) {
					rows = append(rows, row)
				}
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if accepts(r, "multipart/mixed") {
		return rd.mixed(w, rows)
	}
	s := newStream(w)
	s.text("[")
	for i := range rows {
		if i > 0 {
			s.text(",")
		}
		row := &rows[i]
		if err := rd.now(row); err != nil {
			return s.broke(err)
		}
		if row.doc == nil {
			s.buf = row.appendMissing(s.buf)
			continue
		}
		s.text(`{"ok":`)
		if err := h.writeDoc(s, row.doc); err != nil {
			return s.broke(err)
		}
		s.text("}")
		row.doc = nil
	}
	s.text("]\n")
	return s.end()
}

// appendMissing writes the row of a revision that is not given, with the reason where there is more
// to say.
func (f *found) appendMissing(b []byte) []byte {
	s := stream{buf: append(b, `{"missing":`...)}
	s.buf = appendString(s.buf, f.rev)
	if !f.missing() {
		s.writeTrouble(f.err)
	}
	return append(s.buf, '}')
}

func hasRev(rows []found, row found) bool {
	for _, have := range rows {
		if !have.want.IsZero() && have.want == row.want {
			return true
		}
	}
	return false
}

// writeOne answers PUT /{db}/{id}, as JSON or as multipart/related with attachments behind the
// document. Where the target has no id it is the document's own, or a new one.
func (h *Handler) writeOne(w http.ResponseWriter, r *http.Request, t target) error {
	in, err := h.intake(r)
	if err != nil {
		return err
	}
	defer in.discard()
	d, err := in.one(r)
	if err != nil {
		return err
	}
	switch {
	case t.id == "" && !d.hasID:
		d.id = store.NewID()
	case t.id != "" && d.hasID && d.id != t.id:
		return badRequest("Document ID in the body does not match the address")
	case t.id != "":
		d.id = t.id
	}
	d.hasID = true
	if rev := ifMatch(r, t.q); rev != "" {
		if d.rev != "" && d.rev != rev {
			return badRequest("Document rev from request body and query string have different values")
		}
		d.rev = rev
	}
	rows, err := h.save(r, t.Book, []incoming{d}, t.q.Get("new_edits") == "false")
	if err == nil {
		err = rows[0].Err
	}
	if err != nil {
		return err
	}
	locate(w, t.Book, rows[0].ID)
	return saved(w, http.StatusCreated, rows[0])
}

// one reads the document of a request.
func (in *intake) one(r *http.Request) (incoming, error) {
	kind, params, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if kind == "multipart/related" {
		return in.related(r.Body, params["boundary"])
	}
	return in.alone(r.Body)
}

// ifMatch gives the revision that a request wants to replace, from the query or the header.
func ifMatch(r *http.Request, q query) string {
	if rev := strings.Trim(q.Get("rev"), `"`); rev != "" {
		return rev
	}
	return strings.Trim(r.Header.Get("If-Match"), `"`)
}

// edit makes one new revision.
func edit(r *http.Request, b *store.Book, d store.Doc) (store.Result, error) {
	var rows []store.Result
	err := resting(r, func() (err error) {
		rows, err = b.EditBy(deviceOf(r), []store.Doc{d})
		return err
	})
	if err != nil {
		return store.Result{}, err
	}
	return rows[0], rows[0].Err
}

func locate(w http.ResponseWriter, b *store.Book, id string) {
	w.Header().Set("Location", "/"+url.PathEscape(b.Name())+"/"+url.PathEscape(id))
}

func saved(w http.ResponseWriter, code int, row store.Result) error {
	rev := string(appendRev(nil, row.Rev)) // 0-N of a checkpoint too
	w.Header().Set("ETag", `"`+rev+`"`)
	return web.JSON(w, code, map[string]any{"ok": true, "id": row.ID, "rev": rev})
}

// deleteDoc answers DELETE /{db}/{id}?rev=: a new revision marked as deleted.
func (h *Handler) deleteDoc(w http.ResponseWriter, r *http.Request, t target) error {
	d := store.Doc{ID: t.id, Deleted: true}
	if rev := ifMatch(r, t.q); rev != "" {
		var err error
		if d.Rev, err = revtree.ParseRev(rev); err != nil {
			return errBadRev
		}
		if _, err := t.Get(t.id, d.Rev); store.KindOf(err) == store.NotFound && err.Error() == "missing" {
			if _, err := t.Get(t.id, revtree.Rev{}); store.KindOf(err) == store.NotFound {
				return err
			}
		}
	} else if _, err := t.Get(t.id, revtree.Rev{}); err != nil {
		return err // a missing document cannot be deleted; an existing one needs its revision
	}
	row, err := edit(r, t.Book, d)
	if err != nil {
		return err
	}
	return saved(w, http.StatusOK, row)
}

// copyDoc answers COPY /{db}/{id} with Destination: id[?rev=].
func (h *Handler) copyDoc(w http.ResponseWriter, r *http.Request, t target) error {
	from, err := t.q.rev("rev")
	if err != nil {
		return err
	}
	to, rest, _ := strings.Cut(r.Header.Get("Destination"), "?")
	if to, err = url.PathUnescape(to); err != nil || to == "" {
		return badRequest("Destination header is mandatory for COPY.")
	}
	if err := store.CheckID(to); err != nil {
		return err
	}
	src, err := t.Get(t.id, from)
	if err != nil {
		return err
	}
	dst := store.Doc{ID: to, Body: src.Body}
	values, err := url.ParseQuery(rest)
	if err == nil && values.Get("rev") != "" {
		dst.Rev, err = revtree.ParseRev(values.Get("rev"))
	}
	if err != nil {
		return errBadRev
	}
	for _, a := range src.Atts {
		if err := checkAttName(a.Name, true); err != nil {
			return err
		}
		dst.Atts = append(dst.Atts, store.Att{Name: a.Name, ContentType: a.ContentType, Blob: h.Store.Again(a)})
	}
	row, err := edit(r, t.Book, dst)
	if err != nil {
		return err
	}
	locate(w, t.Book, row.ID)
	return saved(w, http.StatusCreated, row)
}

// accepts reports whether a request names a media type in Accept.
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
