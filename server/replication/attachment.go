package replication

import (
	"encoding/base64"
	"net/http"
	"slices"
	"time"

	"datumbook/store"
	"datumbook/store/revtree"
)

var (
	errNoAtt    = status(http.StatusNotFound, "not_found", "Document is missing attachment")
	errConflict = status(http.StatusConflict, "conflict", "Document update conflict.")
)

// getAtt answers GET and HEAD /{db}/{id}/{attachment}, whole or a range.
func (h *Handler) getAtt(w http.ResponseWriter, r *http.Request, t target) error {
	name, err := param(r, "att")
	if err != nil {
		return err
	}
	d, err := t.load(show{})
	if err != nil {
		return err
	}
	i := slices.IndexFunc(d.Atts, func(a store.Att) bool { return a.Name == name })
	if i < 0 {
		return errNoAtt
	}
	a := d.Atts[i]
	c, err := h.Store.OpenAtt(a)
	if err != nil {
		return err
	}
	digest := base64.StdEncoding.EncodeToString(a.MD5[:])
	head := w.Header()
	head.Set("Content-Type", attType(a))
	head.Set("ETag", `"`+digest+`"`)
	head.Set("Cache-Control", "must-revalidate")
	head.Set("Content-Md5", digest)
	// Uploaded content is data, never a page of ours.
	head.Set("X-Content-Type-Options", "nosniff")
	head.Set("Content-Security-Policy", "sandbox; default-src 'none'")
	http.ServeContent(w, r, "", time.Time{}, &watched{Content: c})
	return nil
}

// watched cuts the connection if a chunk is damaged after the headers were sent, so that no client
// takes a part for the whole.
type watched struct{ *store.Content }

func (c *watched) Read(p []byte) (int, error) {
	n, err := c.Content.Read(p)
	if store.KindOf(err) == store.Damaged {
		panic(http.ErrAbortHandler)
	}
	return n, err
}

// putAtt answers PUT /{db}/{id}/{attachment}?rev=: a new revision of the document with this
// content. Without rev the document is made.
func (h *Handler) putAtt(w http.ResponseWriter, r *http.Request, t target) error {
	in := &intake{s: h.Store}
	defer in.discard()
	return changeAtt(w, r, t, http.StatusCreated, func(d *store.Doc, name string) error {
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
func (h *Handler) deleteAtt(w http.ResponseWriter, r *http.Request, t target) error {
	return changeAtt(w, r, t, http.StatusOK, func(d *store.Doc, name string) error {
		n := len(d.Atts)
		d.Atts = slices.DeleteFunc(d.Atts, func(a store.Att) bool { return a.Name == name })
		if len(d.Atts) == n {
			return errNoAtt
		}
		return nil
	})
}

// changeAtt makes a new revision of a document that differs in its attachments only. Slashes in
// names may be percent-encoded or not.
func changeAtt(w http.ResponseWriter, r *http.Request, t target, code int,
	change func(d *store.Doc, name string) error) error {
	name, err := param(r, "att")
	if err != nil {
		return err
	}
	if name == "" || name[0] == '_' {
		return badRequest("Attachment name '" + name + "' starts with prohibited character '_'")
	}
	d := store.Doc{ID: t.id}
	if rev := ifMatch(r, t.q); rev != "" {
		if d.Rev, err = revtree.ParseRev(rev); err != nil {
			return errBadRev
		}
		old, err := t.Get(t.id, d.Rev)
		if store.KindOf(err) == store.NotFound {
			return errConflict
		}
		if err != nil {
			return err
		}
		d.Body = old.Body
		for _, a := range old.Atts {
			a.Stub = true
			d.Atts = append(d.Atts, a)
		}
	} else if r.Method == http.MethodDelete {
		return errConflict
	}
	if err := change(&d, name); err != nil {
		return err
	}
	row, err := edit(r, t.Book, d)
	if err != nil {
		return err
	}
	return saved(w, code, row)
}
