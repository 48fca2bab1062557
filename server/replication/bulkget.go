package replication

import (
	"encoding/json"
	"fmt"
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
	docs, err := readWanted(r)
	if err != nil {
		return err
	}
	rd := h.reading(w, r, b, sh)
	s := newStream(w)
	s.text(`{"results":[`)
	for begin, end := 0, 0; begin < len(docs); begin = end {
		var answers [][]found
		err := b.View(func(view *store.View) error {
			for size := 0; end < len(docs) && len(answers) < pageDocs && size < pageBytes; end++ {
				rows, err := docs[end].find(view, *rd, q.on("latest"))
				if err != nil {
					return err
				}
				if len(rows) > 0 && rows[0].doc != nil {
					size += len(rows[0].doc.Body)
				}
				size += len(rows) * rowBytes
				answers = append(answers, rows)
			}
			return nil
		})
		if err != nil {
			return s.broke(err)
		}
		for i, rows := range answers {
			if begin+i > 0 {
				s.text(",")
			}
			if err := rd.writeWanted(s, docs[begin+i].id, rows); err != nil {
				return s.broke(err)
			}
			answers[i] = nil
		}
	}
	s.text("]}\n")
	return s.end()
}

// readWanted reads {"docs": [{"id", "rev"}, ...]}.
func readWanted(r *http.Request) (docs []wanted, err error) {
	s := newSource(r.Body)
	if s.lacks('{') {
		return nil, badRequest("Request body must be a JSON object")
	}
	size := int64(0)
	err = s.members(func(name []byte) error {
		if string(name) != `"docs"` || s.kind() != '[' {
			return s.skip()
		}
		docs = []wanted{}
		return s.items(func() error {
			raw, err := s.value(nil)
			if err != nil {
				return err
			}
			if len(docs) == maxWanted {
				return errTooMany
			}
			var v wanted
			if err := decodeJSON(raw, &v); err != nil {
				return err
			}
			docs = append(docs, v)
			size += int64(3*len(raw) + 300)
			return holdFor(r, size)
		})
	})
	if err == nil {
		err = s.eof()
	}
	if err == nil && docs == nil {
		err = badRequest("Missing JSON list of 'docs'.")
	}
	return docs, err
}

var errTooMany = status(http.StatusRequestEntityTooLarge, "too_large",
	fmt.Sprintf("ask for at most %d documents at once", maxWanted))

// wanted is one item of the request.
type wanted struct {
	ID    json.RawMessage `json:"id"`
	Rev   json.RawMessage `json:"rev"`
	Since json.RawMessage `json:"atts_since"`
	id    string
	rev   string
}

// find looks up one item. Its errors, damage too, become a row of the answer and do not fail the
// rest.
func (v *wanted) find(view *store.View, rd reading, latest bool) ([]found, error) {
	if json.Unmarshal(v.ID, &v.id) != nil || v.id == "" {
		return []found{{err: badRequest("document id missed")}}, nil
	}
	if len(v.Since) > 0 && string(v.Since) != "null" {
		since, err := revList(string(v.Since))
		if err != nil {
			return []found{{err: err}}, nil
		}
		if len(since) > 0 { // an empty list asks for stubs
			rd.sh.since, rd.sh.atts = since, true
		}
	}
	f, err := view.Find(v.id)
	v.rev = strings.Trim(string(v.Rev), `"`)
	if v.rev == "null" || v.rev == "" {
		v.rev = "undefined"
	}
	switch store.KindOf(err) {
	case "", store.NotFound:
	case store.Damaged:
		return []found{{id: v.id, rev: v.rev, err: rd.damaged(v.id, v.rev, err)}}, nil
	default:
		return nil, err
	}
	if v.rev == "undefined" {
		if err != nil {
			return []found{{rev: v.rev, err: err}}, nil
		}
		return rd.leaves(view, f)
	}
	rev, badRev := revtree.ParseRev(v.rev)
	if badRev != nil {
		return []found{{rev: v.rev, err: errBadRev}}, nil
	}
	if err != nil {
		return []found{{rev: v.rev, err: err}}, nil
	}
	return rd.revision(view, f, rev, latest)
}

func (rd *reading) writeWanted(s *stream, id string, answers []found) error {
	s.text(`{"id":`)
	s.buf = appendString(s.buf, id)
	s.text(`,"docs":[`)
	for i := range answers {
		a := &answers[i]
		if err := rd.now(a); err != nil {
			return err
		}
		if i > 0 {
			s.text(",")
		}
		if a.doc != nil {
			s.text(`{"ok":`)
			if err := rd.h.writeDoc(s, a.doc); err != nil {
				return err
			}
			s.text("}")
			a.doc = nil
			continue
		}
		s.text(`{"error":{"id":`)
		s.buf = appendString(s.buf, id)
		s.text(`,"rev":`)
		s.buf = appendString(s.buf, a.rev)
		s.writeTrouble(a.err)
		s.text("}}")
	}
	s.text("]}")
	return s.spill(64 << 10)
}
