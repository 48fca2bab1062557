package replication

import (
	"net/http"

	"datumbook/store"
	"datumbook/store/revtree"
)

// revsDiff answers POST /{db}/_revs_diff: which of these revisions are not here.
func (h *Handler) revsDiff(w http.ResponseWriter, r *http.Request) {
	diff, order, err := h.diff(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s := newStream(w)
	s.text("{")
	first := true
	for _, id := range order {
		d, ok := diff[id]
		if !ok {
			continue
		}
		delete(diff, id)
		if !first {
			s.text(",")
		}
		first = false
		s.buf = appendString(s.buf, id)
		s.buf = appendRevs(s.buf, `:{"missing":[`, d.Missing)
		s.buf = appendRevs(s.buf, `,"possible_ancestors":[`, sortedRevs(d.Ancestors))
		s.text("}")
		if err := s.spill(64 << 10); err != nil {
			h.broke(w, r, s, err)
		}
	}
	s.text("}\n")
	s.end()
}

// missingRevs answers POST /{db}/_missing_revs, the older form of the same question.
func (h *Handler) missingRevs(w http.ResponseWriter, r *http.Request) {
	diff, _, err := h.diff(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	out := map[string][]string{}
	for id, d := range diff {
		for _, rev := range d.Missing {
			out[id] = append(out[id], rev.String())
		}
	}
	answer(w, http.StatusOK, map[string]any{"missing_revs": out})
}

// diff reads {"id": ["rev", ...], ...} and compares; order gives the ids as they were asked.
func (h *Handler) diff(r *http.Request) (map[string]store.Diff, []string, error) {
	b, err := h.book(r)
	if err != nil {
		return nil, nil, err
	}
	asked := map[string][]revtree.Rev{}
	var order []string
	s := newScan(r.Body)
	if s.next() != '{' {
		return nil, nil, badRequest("Request body must be a JSON object")
	}
	err = s.members(func(key []byte) error {
		id, err := unquote(key)
		if err != nil {
			return err
		}
		if _, twice := asked[id]; !twice {
			order = append(order, id)
		}
		var revs []revtree.Rev
		err = s.items(func() error {
			if s.byte() != '"' {
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
			revs = append(revs, rev)
			return nil
		})
		asked[id] = append(asked[id], revs...)
		return err
	})
	if err == nil {
		err = s.eof()
	}
	if err != nil {
		return nil, nil, err
	}
	diff, err := b.RevsDiff(asked)
	return diff, order, err
}
