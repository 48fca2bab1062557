package replication

import (
	"fmt"
	"log/slog"
	"net/http"

	"datumbook/server/web"
	"datumbook/store"
	"datumbook/store/revtree"
)

// revsDiff answers POST /{db}/_revs_diff: which of these revisions are not here.
func (h *Handler) revsDiff(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	lacking, order, err := diff(h.logOf(w), r, b)
	if err != nil {
		return err
	}
	s := newStream(w)
	s.text("{")
	first := true
	for _, id := range order {
		d, ok := lacking[id]
		if !ok {
			continue
		}
		delete(lacking, id)
		if !first {
			s.text(",")
		}
		first = false
		s.buf = appendString(s.buf, id)
		s.buf = appendRevs(s.buf, `:{"missing":[`, d.Missing)
		s.buf = appendRevs(s.buf, `,"possible_ancestors":[`, sortedRevs(d.Ancestors))
		s.text("}")
		if err := s.spill(64 << 10); err != nil {
			return s.broke(err)
		}
	}
	s.text("}\n")
	return s.end()
}

// missingRevs answers POST /{db}/_missing_revs, the older form of the same request.
func (h *Handler) missingRevs(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	lacking, _, err := diff(h.logOf(w), r, b)
	if err != nil {
		return err
	}
	out := map[string][]string{}
	for id, d := range lacking {
		for _, rev := range d.Missing {
			out[id] = append(out[id], rev.String())
		}
	}
	return web.JSON(w, http.StatusOK, map[string]any{"missing_revs": out})
}

// diff reads {"id": ["rev", ...], ...} and compares; order returns the ids as sent.
func diff(log *slog.Logger, r *http.Request, b *store.Book) (map[string]store.Diff, []string, error) {
	asked := map[string][]revtree.Rev{}
	n, size := 0, int64(0)
	var order []string
	s := newSource(r.Body)
	if s.lacks('{') {
		return nil, nil, badRequest("Request body must be a JSON object")
	}
	err := s.members(func(name []byte) error {
		id, err := unquote(name)
		if err != nil {
			return err
		}
		if _, twice := asked[id]; !twice {
			order = append(order, id)
			asked[id] = nil
			size += int64(2*len(id)) + 200
		}
		return s.items(func() error {
			if s.lacks('"') {
				return errBadRev
			}
			text, err := s.text()
			if err != nil {
				return err
			}
			rev, err := revtree.ParseRev(text)
			if err != nil {
				return errBadRev
			}
			asked[id] = append(asked[id], rev)
			if n++; n+len(order) > maxNamed {
				return status(http.StatusRequestEntityTooLarge, "too_large",
					fmt.Sprintf("ask about at most %d documents and revisions at once", maxNamed))
			}
			size += int64(len(text)) + 100
			return holdFor(r, size)
		})
	})
	if err == nil {
		err = s.eof()
	}
	if err != nil {
		return nil, nil, err
	}
	lacking, err := b.RevsDiff(asked)
	for id, d := range lacking {
		if d.Damaged {
			log.Warn("damaged", "book", b.Name(), "document", id, "what", "its history")
		}
	}
	return lacking, order, err
}
