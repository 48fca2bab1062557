package replication

import (
	"encoding/base64"
	"net/http"
	"slices"
	"strings"
	"time"

	"datumbook/store"
	"datumbook/store/revtree"
)

// attName gives the attachment a request is about; its slashes may come coded or not.
func attName(r *http.Request) (string, error) {
	name, err := param(r, "att")
	if err == nil && (name == "" || name[0] == '_') {
		err = badRequest("Attachment name '" + name + "' starts with prohibited character '_'")
	}
	return name, err
}

// getAtt answers GET and HEAD /{db}/{id}/{attachment}, whole or a range.
func (h *Handler) getAtt(w http.ResponseWriter, r *http.Request) {
	b, id, err := h.bookAndID(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	name, err := param(r, "att")
	if err != nil {
		h.fail(w, r, err)
		return
	}
	q, err := queryOf(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	d, err := h.one(b, id, q, show{})
	if err != nil {
		h.fail(w, r, err)
		return
	}
	i := slices.IndexFunc(d.Atts, func(a store.Att) bool { return a.Name == name })
	if i < 0 {
		h.fail(w, r, status(http.StatusNotFound, "not_found", "Document is missing attachment"))
		return
	}
	a := d.Atts[i]
	c, err := h.Store.OpenAtt(a)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	digest := base64.StdEncoding.EncodeToString(a.MD5[:])
	head := w.Header()
	head.Set("Content-Type", attType(a))
	head.Set("ETag", `"`+digest+`"`)
	head.Set("Cache-Control", "must-revalidate")
	head.Set("Content-Md5", digest)
	// What a phone sent is data here, never a page of ours.
	head.Set("X-Content-Type-Options", "nosniff")
	head.Set("Content-Security-Policy", "sandbox; default-src 'none'")
	http.ServeContent(w, r, "", time.Time{}, &watched{Content: c})
}

// watched ends the connection when a piece turns out damaged after the headers went out, so that no client takes a part for the whole.
type watched struct{ *store.Content }

func (c *watched) Read(p []byte) (int, error) {
	n, err := c.Content.Read(p)
	if store.KindOf(err) == store.Damaged {
		panic(http.ErrAbortHandler)
	}
	return n, err
}

// putAtt answers PUT /{db}/{id}/{attachment}?rev=: a new revision of the document with this content. Without rev the
// document is made.
func (h *Handler) putAtt(w http.ResponseWriter, r *http.Request) {
	in := &intake{s: h.Store}
	defer in.discard()
	h.changeAtt(w, r, http.StatusCreated, func(d *store.Doc, name string) error {
		blob, err := in.copy(r.Body, r.Header.Get("Content-Encoding"))
		if err != nil {
			return err
		}
		kind := r.Header.Get("Content-Type")
		if kind == "" {
			kind = "application/octet-stream"
		}
		d.Atts = slices.DeleteFunc(d.Atts, func(a store.Att) bool { return a.Name == name })
		d.Atts = append(d.Atts, store.Att{Name: name, ContentType: kind, Blob: blob})
		return nil
	})
}

// deleteAtt answers DELETE /{db}/{id}/{attachment}?rev=.
func (h *Handler) deleteAtt(w http.ResponseWriter, r *http.Request) {
	h.changeAtt(w, r, http.StatusOK, func(d *store.Doc, name string) error {
		n := len(d.Atts)
		d.Atts = slices.DeleteFunc(d.Atts, func(a store.Att) bool { return a.Name == name })
		if len(d.Atts) == n {
			return status(http.StatusNotFound, "not_found", "Document is missing attachment")
		}
		return nil
	})
}

// changeAtt makes a new revision of a document that differs in its attachments only.
func (h *Handler) changeAtt(w http.ResponseWriter, r *http.Request, code int, change func(d *store.Doc, name string) error) {
	row, err := h.tryChangeAtt(r, change)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	rev := row.Rev.String()
	w.Header().Set("ETag", `"`+rev+`"`)
	answer(w, code, map[string]any{"ok": true, "id": row.ID, "rev": rev})
}

func (h *Handler) tryChangeAtt(r *http.Request, change func(d *store.Doc, name string) error) (store.Result, error) {
	b, id, err := h.bookAndID(r)
	if err != nil {
		return store.Result{}, err
	}
	name, err := attName(r)
	if err != nil {
		return store.Result{}, err
	}
	q, err := queryOf(r)
	if err != nil {
		return store.Result{}, err
	}
	d := store.Doc{ID: id}
	if rev := ifMatch(r, q); rev != "" {
		if d.Rev, err = revtree.ParseRev(rev); err != nil {
			return store.Result{}, errBadRev
		}
		old, err := b.Get(id, d.Rev)
		if store.KindOf(err) == store.NotFound {
			return store.Result{}, status(http.StatusConflict, "conflict", "Document update conflict.")
		}
		if err != nil {
			return store.Result{}, err
		}
		d.Body = old.Body
		for _, a := range old.Atts {
			a.Stub = true
			d.Atts = append(d.Atts, a)
		}
	} else if r.Method == http.MethodDelete || strings.HasPrefix(id, "_local/") {
		return store.Result{}, status(http.StatusConflict, "conflict", "Document update conflict.")
	}
	if err := change(&d, name); err != nil {
		return store.Result{}, err
	}
	rows, err := b.Edit([]store.Doc{d})
	if err != nil {
		return store.Result{}, err
	}
	return rows[0], rows[0].Err
}
