package replication

import (
	"encoding/json"
	"net/http"
	"strings"

	"datumbook/store"
	"datumbook/store/revtree"
)

// bulkGet answers POST /{db}/_bulk_get: many revisions at once.
func (h *Handler) bulkGet(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	sh, err := q.show()
	if err != nil {
		return err
	}
	var body struct {
		Docs []wanted `json:"docs"`
	}
	if err := readJSON(r.Body, 16*mib, &body); err != nil {
		return err
	}
	if body.Docs == nil {
		return badRequest("Missing JSON list of 'docs'.")
	}
	s := newStream(w)
	s.text(`{"results":[`)
	const group = 50 // documents read in one instant of the store
	for begin := 0; begin < len(body.Docs); begin += group {
		part := body.Docs[begin:min(begin+group, len(body.Docs))]
		answers := make([][]found, len(part))
		err := b.View(func(view *store.View) error {
			for i := range part {
				if answers[i], err = part[i].find(view, sh, q.on("latest")); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return s.broke(err)
		}
		for i := range part {
			if begin+i > 0 {
				s.text(",")
			}
			if err := h.writeWanted(s, &part[i], answers[i]); err != nil {
				return s.broke(err)
			}
		}
	}
	s.text("]}\n")
	return s.end()
}

// wanted is one item of the request.
type wanted struct {
	ID    json.RawMessage `json:"id"`
	Rev   json.RawMessage `json:"rev"`
	Since json.RawMessage `json:"atts_since"`
	id    string
	rev   string
}

// found is one revision of the answer: a document or an error.
type found struct {
	doc *loaded
	rev string
	err error
}

// find looks up one item. Its errors become a row of the answer and do not fail the rest.
func (v *wanted) find(view *store.View, sh show, latest bool) ([]found, error) {
	if json.Unmarshal(v.ID, &v.id) != nil || v.id == "" {
		return []found{{err: badRequest("document id missed")}}, nil
	}
	if len(v.Since) > 0 && string(v.Since) != "null" {
		since, err := revList(string(v.Since))
		if err != nil {
			return []found{{err: err}}, nil
		}
		sh.since, sh.atts = since, true
	}
	f, err := view.Find(v.id)
	if store.KindOf(err) == store.Damaged {
		return nil, err
	}
	v.rev = strings.Trim(string(v.Rev), `"`)
	if v.rev == "null" {
		v.rev = ""
	}
	if v.rev == "" {
		v.rev = "undefined"
		if err != nil {
			return []found{{rev: v.rev, err: err}}, nil
		}
		return sh.leaves(view, f)
	}
	rev, badRev := revtree.ParseRev(v.rev)
	if badRev != nil {
		return []found{{rev: v.rev, err: errBadRev}}, nil
	}
	if err != nil {
		return []found{{rev: v.rev, err: err}}, nil
	}
	return sh.revision(view, f, rev, latest)
}

// leaves loads all leaves of a document.
func (sh show) leaves(view *store.View, f *store.Found) ([]found, error) {
	var out []found
	for _, i := range f.Tree.Leaves() {
		d, ok, err := sh.load(view, f, i)
		if err != nil {
			return nil, err
		}
		if ok {
			out = append(out, found{doc: d, rev: d.Rev.String()})
		}
	}
	return out, nil
}

// revision loads one revision, or with latest its descendant leaves.
func (sh show) revision(view *store.View, f *store.Found, rev revtree.Rev, latest bool) ([]found, error) {
	none := found{rev: rev.String(), err: status(http.StatusNotFound, "not_found", "missing")}
	i, ok := f.Tree.Find(rev)
	if !ok {
		return []found{none}, nil
	}
	nodes := []int{i}
	if latest {
		nodes = f.Tree.LatestFrom(i)
	}
	var out []found
	for _, i := range nodes {
		d, ok, err := sh.load(view, f, i)
		if err != nil {
			return nil, err
		}
		if ok {
			out = append(out, found{doc: d, rev: d.Rev.String()})
		}
	}
	if len(out) == 0 {
		return []found{none}, nil
	}
	return out, nil
}

func (h *Handler) writeWanted(s *stream, v *wanted, answers []found) error {
	s.text(`{"id":`)
	s.buf = appendString(s.buf, v.id)
	s.text(`,"docs":[`)
	for i, a := range answers {
		if i > 0 {
			s.text(",")
		}
		if a.doc != nil && a.doc.atts {
			if err := h.readable(a.doc); store.KindOf(err) == store.Damaged {
				a = found{rev: a.rev, err: err}
			}
		}
		if a.doc != nil {
			s.text(`{"ok":`)
			if err := h.writeDoc(s, a.doc); err != nil {
				return err
			}
			s.text("}")
			continue
		}
		e := errorOf(a.err)
		s.text(`{"error":{"id":`)
		s.buf = appendString(s.buf, v.id)
		s.text(`,"rev":`)
		s.buf = appendString(s.buf, a.rev)
		s.text(`,"error":`)
		s.buf = appendString(s.buf, e.Name)
		s.text(`,"reason":`)
		s.buf = appendString(s.buf, e.Message)
		s.text("}}")
	}
	s.text("]}")
	return s.spill(64 << 10)
}
