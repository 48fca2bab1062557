package replication

import (
	"encoding/base64"
	"fmt"
	"io"
	"slices"
	"strconv"

	"datumbook/store"
	"datumbook/store/revtree"
)

// loaded is a revision from the store with what the request asked to show.
type loaded struct {
	store.Doc
	revs             bool // _revisions, from Doc.Hashes
	conflicts        []revtree.Rev
	deletedConflicts []revtree.Rev
	info             []revInfo
	seq              uint64      // _local_seq, 0: not shown
	atts             bool        // contents inline
	has              []store.Att // what the client has already, by its atts_since
	open             []*store.Content
}

type revInfo struct {
	rev    revtree.Rev
	status string
}

// writeDoc writes a document with all requested parts.
func (h *Handler) writeDoc(s *stream, d *loaded) error {
	if err := h.writeMembers(s, d); err != nil {
		return fmt.Errorf("document %q: %w", d.ID, err)
	}
	return nil
}

func (h *Handler) writeMembers(s *stream, d *loaded) error {
	b := s.buf
	b = append(b, `{"_id":`...)
	b = appendString(b, d.ID)
	b = append(b, `,"_rev":"`...)
	b = appendRev(b, d.Rev)
	b = append(b, '"')
	if d.Deleted {
		b = append(b, `,"_deleted":true`...)
	}
	if len(d.Body) > 0 {
		b = append(b, ',')
		b = append(b, store.WellFormed(d.Body)...)
	}
	if d.revs {
		b = append(b, `,"_revisions":{"start":`...)
		b = strconv.AppendUint(b, d.Rev.Pos, 10)
		b = append(b, `,"ids":[`...)
		for i, id := range d.Hashes {
			if i > 0 {
				b = append(b, ',')
			}
			b = append(append(append(b, '"'), id...), '"')
		}
		b = append(b, `]}`...)
	}
	b = appendRevs(b, `,"_conflicts":[`, d.conflicts)
	b = appendRevs(b, `,"_deleted_conflicts":[`, d.deletedConflicts)
	for i, r := range d.info {
		if i == 0 {
			b = append(b, `,"_revs_info":[`...)
		} else {
			b = append(b, ',')
		}
		b = append(b, `{"rev":"`...)
		b = appendRev(b, r.rev)
		b = append(b, `","status":"`...)
		b = append(append(b, r.status...), `"}`...)
		if i == len(d.info)-1 {
			b = append(b, ']')
		}
	}
	if d.seq > 0 {
		b = append(b, `,"_local_seq":`...)
		b = strconv.AppendUint(b, d.seq, 10)
	}
	s.buf = b
	if len(d.Atts) > 0 {
		if err := h.writeAtts(s, d); err != nil {
			return err
		}
	}
	s.buf = append(s.buf, '}')
	return s.spill(64 << 10)
}

func (h *Handler) writeAtts(s *stream, d *loaded) error {
	for i, a := range d.Atts {
		if i == 0 {
			s.text(`,"_attachments":{`)
		} else {
			s.text(",")
		}
		s.buf = appendString(s.buf, a.Name)
		s.text(`:{"content_type":`)
		s.buf = appendString(s.buf, attType(a))
		s.text(`,"revpos":`)
		s.buf = strconv.AppendUint(s.buf, a.RevPos, 10)
		s.text(`,"digest":"` + a.Digest() + `"`)
		if !d.atts || !d.wants(a) {
			s.text(`,"length":`)
			s.buf = strconv.AppendInt(s.buf, a.Length, 10)
			s.text(`,"stub":true}`)
			continue
		}
		s.text(`,"data":"`)
		c, err := d.content(h.Store, a)
		if err != nil {
			return err
		}
		enc := base64.NewEncoder(base64.StdEncoding, s)
		if _, err := io.Copy(enc, c); err != nil {
			return err
		}
		if err := enc.Close(); err != nil {
			return err
		}
		s.text(`"}`)
	}
	s.text("}")
	return nil
}

// wants reports whether the content must be sent. It is left out only where the client proved that it
// has these bytes; the same RevPos too, because a CouchDB looks for a stub by name and RevPos.
func (d *loaded) wants(a store.Att) bool {
	return !slices.ContainsFunc(d.has, func(have store.Att) bool {
		return have.Name == a.Name && have.SHA256 == a.SHA256 && have.RevPos == a.RevPos
	})
}

// held gives the attachments of those revisions in atts_since that d grew from. A RevPos does not
// tell whether an ancestor has the same bytes, only its own entry does: one whose body is not kept
// any more counts as having none.
func (sh show) held(view *store.View, f *store.Found, d *loaded) (atts []store.Att, err error) {
	left := sinceRevs
	for _, r := range slices.Backward(sh.since) { // they come oldest first
		i := d.Rev.Pos - r.Pos
		if r.Pos > d.Rev.Pos || i >= uint64(len(d.Hashes)) || d.Hashes[i] != r.Hash || left == 0 {
			continue
		}
		at, _ := f.Tree.Find(r)
		have, ok, err := view.Doc(f, at)
		if err != nil && store.KindOf(err) != store.Damaged {
			return nil, err
		}
		if left--; ok {
			atts = append(atts, have.Atts...)
		}
	}
	return atts, nil
}

// sinceRevs is how many revisions of one atts_since are looked up.
const sinceRevs = 20

// content gives the content of an attachment, opened before the answer began where it was.
func (d *loaded) content(s *store.Store, a store.Att) (*store.Content, error) {
	for i, c := range d.open {
		if c.Name == a.Name {
			d.open = slices.Delete(d.open, i, i+1)
			return c, nil
		}
	}
	return s.OpenAtt(a)
}

func attType(a store.Att) string {
	if a.ContentType == "" {
		return "application/octet-stream"
	}
	return a.ContentType
}

func appendRev(b []byte, r revtree.Rev) []byte {
	b = strconv.AppendUint(b, r.Pos, 10)
	return append(append(b, '-'), r.Hash...)
}

func appendRevs(b []byte, name string, revs []revtree.Rev) []byte {
	if len(revs) == 0 {
		return b
	}
	b = append(b, name...)
	for i, r := range revs {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(appendRev(append(b, '"'), r), '"')
	}
	return append(b, ']')
}

// show says which parts of a document a request wants.
type show struct {
	revs, conflicts, deletedConflicts, info, seq, atts bool
	since                                              []revtree.Rev
}

func (q query) show() (show, error) {
	sh := show{revs: q.on("revs"), conflicts: q.on("conflicts"), deletedConflicts: q.on("deleted_conflicts"),
		info: q.on("revs_info"), seq: q.on("local_seq"), atts: q.on("attachments")}
	if q.on("meta") {
		sh.conflicts, sh.deletedConflicts, sh.info = true, true, true
	}
	if v := q.Get("atts_since"); v != "" {
		var err error
		if sh.since, err = revList(v); err != nil {
			return sh, err
		}
		sh.atts = true
	}
	return sh, nil
}

// revList reads a JSON array of revisions.
func revList(text string) ([]revtree.Rev, error) {
	var list []string
	if err := decodeJSON([]byte(text), &list); err != nil {
		return nil, badRequest("a list of revisions must be a JSON array of strings")
	}
	revs := make([]revtree.Rev, len(list))
	for i, s := range list {
		r, err := revtree.ParseRev(s)
		if err != nil {
			return nil, errBadRev
		}
		revs[i] = r
	}
	return revs, nil
}

// load reads revision i of a document with what is to be shown. ok is false where its body is gone.
func (sh show) load(view *store.View, f *store.Found, i int) (*loaded, bool, error) {
	doc, ok, err := view.Doc(f, i)
	if err != nil || !ok {
		return nil, ok, err
	}
	d := &loaded{Doc: doc, revs: sh.revs, atts: sh.atts}
	if sh.revs || sh.info || len(sh.since) > 0 {
		d.Hashes = f.Tree.Path(i)
	}
	if len(sh.since) > 0 && len(d.Atts) > 0 {
		if d.has, err = sh.held(view, f, d); err != nil {
			return nil, false, err
		}
	}
	if sh.seq {
		d.seq = f.Seq
	}
	if sh.conflicts || sh.deletedConflicts {
		for _, leaf := range f.Tree.Leaves() {
			n := f.Tree.Nodes[leaf]
			switch {
			case leaf == i:
			case n.Deleted && sh.deletedConflicts:
				d.deletedConflicts = append(d.deletedConflicts, n.Rev)
			case !n.Deleted && sh.conflicts:
				d.conflicts = append(d.conflicts, n.Rev)
			}
		}
	}
	if sh.info {
		for at := i; at >= 0; at = f.Tree.Nodes[at].Parent {
			n := f.Tree.Nodes[at]
			state := "available"
			if n.Body == 0 {
				state = "missing"
			} else if n.Deleted {
				state = "deleted"
			}
			d.info = append(d.info, revInfo{n.Rev, state})
		}
	}
	return d, true, nil
}

// sortedRevs orders revisions as answers list them.
func sortedRevs(revs []revtree.Rev) []revtree.Rev {
	slices.SortFunc(revs, revtree.Rev.Compare)
	return revs
}
