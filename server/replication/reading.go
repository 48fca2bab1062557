package replication

import (
	"fmt"
	"log/slog"
	"net/http"

	"datumbook/server/pairing"
	"datumbook/server/web"
	"datumbook/store"
	"datumbook/store/revtree"
)

// reading is what one request reads of a book: which parts of documents, and for whom.
type reading struct {
	h     *Handler
	b     *store.Book
	sh    show
	peer  bool // may be given documents too large for a phone
	share *web.Share
	held  *int64 // memory for documents
	log   *slog.Logger
}

func (h *Handler) reading(w http.ResponseWriter, r *http.Request, b *store.Book, sh show) *reading {
	return &reading{h, b, sh, isPeer(r), web.ShareOf(r.Context()), new(int64), h.logOf(w)}
}

// hold makes sure of the memory for a document of n bytes and for writing it. Peers are trusted.
func (rd *reading) hold(n int64) error {
	if rd.peer || 2*n <= *rd.held {
		return nil
	}
	*rd.held = 2 * n
	return rd.share.Hold(2 * n)
}

// logOf gives a log that repeats the request's id.
func (h *Handler) logOf(w http.ResponseWriter) *slog.Logger {
	if h.Log == nil {
		return slog.New(slog.DiscardHandler)
	}
	return h.Log.With("id", w.Header().Get("X-Request-Id"))
}

// isPeer reports whether the caller is the office machine or an owner's device, such as another
// office, and not a phone.
func isPeer(r *http.Request) bool {
	who := pairing.From(r.Context())
	return who.Role == store.Owner || who == pairing.Identity{}
}

// deviceOf names the device of a request, as the store keeps it.
func deviceOf(r *http.Request) string {
	if who := pairing.From(r.Context()); who.Device != "" {
		return who.Device
	}
	return "office"
}

// found is one revision of an answer: a document, an error, or one that is still to be read.
type found struct {
	id   string
	rev  string
	doc  *loaded
	err  error
	want revtree.Rev // still to be read
	need int64       // memory to be made sure of first
	sh   *show       // how, if not as the request says
}

// missing reports whether a document's absence is all there is to say.
func (f *found) missing() bool {
	return store.KindOf(f.err) != store.Damaged && errorOf(f.err).Name == "not_found"
}

// load reads revision i. Damage becomes the answer for this one document and does not fail the rest;
// ok is false where the body is gone.
func (rd *reading) load(view *store.View, f *store.Found, i int) (found, bool, error) {
	out := found{id: f.ID, rev: f.Tree.Nodes[i].Rev.String()}
	d, ok, err := rd.sh.load(view, f, i)
	switch {
	case store.KindOf(err) == store.Damaged:
		out.err = rd.damaged(f.ID, out.rev, err)
		return out, true, nil
	case err != nil || !ok:
		return out, ok, err
	case !rd.peer && len(d.Body) > maxRecord:
		out.err = rd.tooLarge(f.ID, len(d.Body))
		return out, true, nil
	case !rd.peer && len(d.Body) > pageBytes && 2*int64(len(d.Body)) > *rd.held:
		// It is read again once there is memory for it: no more are ever in memory than have a turn.
		out.want, out.need, out.sh = d.Rev, int64(len(d.Body)), &rd.sh
		return out, true, nil
	}
	out.doc = d
	return out, true, nil
}

// damaged logs a document, or a part of one, that cannot be read, and gives what a client is told.
func (rd *reading) damaged(id, rev string, err error) error {
	rd.log.Warn("damaged", "book", rd.b.Name(), "document", id, "rev", rev, "error", err)
	return status(http.StatusInternalServerError, "damaged", "the office cannot read this document: "+
		store.Sentence(err)+"; a device that has it still has it whole")
}

// tooLarge is the answer for a document that no phone is given.
func (rd *reading) tooLarge(id string, n int) error {
	rd.log.Warn("too large for a phone", "book", rd.b.Name(), "document", id, "bytes", n)
	return status(http.StatusRequestEntityTooLarge, "too_large", fmt.Sprintf("this document has %d bytes beside its "+
		"attachments, and a phone is given at most %d: look at it at the office", n, maxRecord))
}

// some reads revisions in one instant, in their order, until they are enough for one page: at least
// one, if any is asked for. The zero Rev asks for the winner.
func (rd *reading) some(ask []found) (out []found, err error) {
	if len(ask) > 0 {
		if err := rd.hold(ask[0].need); err != nil {
			return nil, err
		}
	}
	err = rd.b.View(func(view *store.View) error {
		for size := 0; len(out) < len(ask) && len(out) < pageDocs && size < pageBytes; {
			f, err := rd.one(view, ask[len(out)])
			if err != nil {
				return err
			}
			if f.need > 0 {
				if len(out) == 0 {
					out = append(out, f)
				}
				return nil
			}
			if f.doc != nil {
				size += len(f.doc.Body)
			}
			out = append(out, f)
		}
		return nil
	})
	if err == nil && len(out) == 1 && out[0].need > 0 {
		return rd.some(out)
	}
	return out, err
}

func (rd *reading) one(view *store.View, ask found) (found, error) {
	if ask.err != nil || ask.doc != nil {
		return ask, nil
	}
	none := found{id: ask.id, rev: ask.rev, err: errMissing}
	if ask.sh != nil {
		own := *rd
		own.sh, rd = *ask.sh, &own
	}
	f, err := view.Find(ask.id)
	switch store.KindOf(err) {
	case "":
	case store.NotFound:
		return none, nil
	case store.Damaged:
		none.err = rd.damaged(ask.id, ask.rev, err)
		return none, nil
	default:
		return none, err
	}
	i := f.Tree.Winner()
	if !ask.want.IsZero() {
		var ok bool
		if i, ok = f.Tree.Find(ask.want); !ok {
			return none, nil
		}
	}
	out, ok, err := rd.load(view, f, i)
	if err == nil && !ok {
		return none, nil
	}
	return out, err
}

// now reads one revision that is still to be read, and opens the contents that go with it, so that
// all that is damaged is told before the first byte of the document is written.
func (rd *reading) now(f *found) error {
	if f.err != nil || f.doc == nil && f.want.IsZero() {
		return nil
	}
	if f.doc == nil {
		got, err := rd.some([]found{*f})
		if err != nil {
			return err
		}
		*f = got[0]
	}
	return rd.contents(f)
}

// contents opens the attachments of a document that are sent with it.
func (rd *reading) contents(f *found) error {
	if f.doc == nil || !f.doc.atts {
		return nil
	}
	for _, a := range f.doc.Atts {
		if !f.doc.wants(a) {
			continue
		}
		c, err := rd.h.Store.OpenAtt(a)
		switch store.KindOf(err) {
		case "":
			f.doc.open = append(f.doc.open, c)
		case store.Damaged, store.NotFound:
			f.doc, f.err = nil, rd.damaged(f.id, f.rev, err)
			return nil
		default:
			return err
		}
	}
	return nil
}

// leaves gives all leaves of a document, the first read already.
func (rd *reading) leaves(view *store.View, f *store.Found) ([]found, error) {
	return rd.nodes(view, f, f.Tree.Leaves())
}

// revision gives one revision, or with latest its descendant leaves.
func (rd *reading) revision(view *store.View, f *store.Found, rev revtree.Rev, latest bool) ([]found, error) {
	none := []found{{id: f.ID, rev: rev.String(), err: errMissing}}
	i, ok := f.Tree.Find(rev)
	if !ok {
		return none, nil
	}
	nodes := []int{i}
	if latest {
		nodes = f.Tree.LatestFrom(i)
	}
	out, err := rd.nodes(view, f, nodes)
	if err == nil && len(out) == 0 {
		return none, nil
	}
	return out, err
}

// nodes reads the first and leaves the others, which are leaves and so have bodies, for when they
// are written: a document may have very many.
func (rd *reading) nodes(view *store.View, f *store.Found, nodes []int) (out []found, err error) {
	for k, i := range nodes {
		if k > 0 {
			rev := f.Tree.Nodes[i].Rev
			out = append(out, found{id: f.ID, rev: rev.String(), want: rev, sh: &rd.sh})
			continue
		}
		first, ok, err := rd.load(view, f, i)
		if err != nil {
			return nil, err
		}
		if ok {
			out = append(out, first)
		}
	}
	return out, nil
}

// writeTrouble writes error and reason as further members of a row.
func (s *stream) writeTrouble(err error) {
	e := errorOf(err)
	s.text(`,"error":`)
	s.buf = appendString(s.buf, e.Name)
	s.text(`,"reason":`)
	s.buf = appendString(s.buf, e.Message)
}

var errMissing = status(http.StatusNotFound, "not_found", "missing")
