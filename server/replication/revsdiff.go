package replication

import (
	"fmt"
	"log/slog"
	"net/http"
	"strings"

	"datumbook/server/web"
	"datumbook/store"
	"datumbook/store/revtree"
)

// revsDiff answers POST /{db}/_revs_diff: which of these revisions are not here.
func (h *Handler) revsDiff(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	lacking, odd, order, err := diff(h.logOf(w), r, b)
	if err != nil {
		return err
	}
	s := newStream(w)
	s.text("{")
	first := true
	for _, id := range order {
		d, ok := lacking[id]
		if !ok && odd[id] == nil {
			continue
		}
		if !first {
			s.text(",")
		}
		first = false
		s.buf = appendString(s.buf, id)
		s.text(`:{"missing":[`)
		s.buf = appendTexts(s.buf, append(textsOf(d.Missing), odd[id]...))
		s.text("]")
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
	lacking, odd, _, err := diff(h.logOf(w), r, b)
	if err != nil {
		return err
	}
	out := odd
	for id, d := range lacking {
		out[id] = append(out[id], textsOf(d.Missing)...)
	}
	return web.JSON(w, http.StatusOK, map[string]any{"missing_revs": out})
}

// isRevElsewhere reports whether a text has the form that other ends take as a revision.
func isRevElsewhere(text string) bool {
	num, _, ok := strings.Cut(text, "-")
	return ok && num != "" && strings.Trim(num, "0123456789") == ""
}

func textsOf(revs []revtree.Rev) []string {
	out := make([]string, 0, len(revs))
	for _, rev := range revs {
		out = append(out, rev.String())
	}
	return out
}

// appendTexts appends strings as the items of a JSON list.
func appendTexts(b []byte, list []string) []byte {
	for i, text := range list {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendString(b, text)
	}
	return b
}

// diff reads {"id": ["rev", ...], ...} and compares; order returns each id once, as sent. What cannot
// be a revision here is odd, and missing: it is refused for itself when it is pushed, while an error
// now would stop all that its replicator has behind it.
func diff(log *slog.Logger, r *http.Request, b *store.Book) (
	lacking map[string]store.Diff, odd map[string][]string, order []string, err error) {
	asked := map[string][]revtree.Rev{}
	odd = map[string][]string{}
	n, size := 0, int64(0)
	s := newSource(r.Body)
	if s.lacks('{') {
		return nil, nil, nil, badRequest("Request body must be a JSON object")
	}
	err = s.members(func(name []byte) error {
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
			rev, err := readRev(text)
			switch {
			case err == nil:
				asked[id] = append(asked[id], rev)
			case isRevElsewhere(text):
				odd[id] = append(odd[id], text)
			default:
				return errBadRev
			}
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
		return nil, nil, nil, err
	}
	lacking, err = b.RevsDiff(asked)
	for id, d := range lacking {
		if d.Damaged {
			log.Warn("damaged", "book", b.Name(), "document", id, "what", "its history")
		}
	}
	return lacking, odd, order, err
}
