package store

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"

	bolt "go.etcd.io/bbolt"

	"datumbook/store/revtree"
)

// View reads a book at one instant. It is valid only inside the function passed to Book.View; what
// it returns is a copy and stays valid.
type View struct {
	b                    *Book
	book, doc, body, seq *bolt.Bucket

	// upTo is the last sequence that is told. A reader may see a commit before it is flushed; a
	// replica that heard of it would count as having what a power cut can still take back.
	upTo uint64
}

// View runs fn over one instant of the book. Keep it short: never write to a client or wait inside.
func (b *Book) View(fn func(*View) error) error {
	upTo := b.seq.Load()
	return b.s.view(func(tx *bolt.Tx) error {
		bb, err := b.bucket(tx)
		if err != nil {
			return err
		}
		return fn(&View{b, bb, bb.Bucket(bucketDoc), bb.Bucket(bucketBody), bb.Bucket(bucketSeq), upTo})
	})
}

// Found is a document's history.
type Found struct {
	ID   string
	Seq  uint64
	Tree revtree.Tree
}

// Deleted reports whether the winner is a deletion.
func (f *Found) Deleted() bool { return f.Tree.Nodes[f.Tree.Winner()].Deleted }

// Find gives a document's history; NotFound where the book never had it.
func (view *View) Find(id string) (*Found, error) {
	rec, err := getRecord(view.doc, id)
	if err != nil {
		return nil, err
	}
	if len(rec.tree.Nodes) == 0 {
		return nil, newError(NotFound, "missing")
	}
	return &Found{id, rec.seq, rec.tree}, nil
}

// Doc gives the revision at index i of the tree. ok is false where its body is not kept any more.
func (view *View) Doc(f *Found, i int) (d Doc, ok bool, err error) {
	n := &f.Tree.Nodes[i]
	d = Doc{ID: f.ID, Rev: n.Rev, Deleted: n.Deleted}
	if n.Body == 0 {
		return d, false, nil
	}
	d.Atts, d.Body, err = getBody(view.body, n.Body)
	for i := range d.Atts {
		d.Atts[i].book, d.Atts[i].body = view.b.name, n.Body
	}
	return d, err == nil, err
}

// Get gives the winner, or the revision named; NotFound where there is none or its body is gone,
// Deleted where no revision is named and the winner is a deletion.
func (b *Book) Get(id string, rev revtree.Rev) (Doc, error) {
	var d Doc
	err := b.View(func(view *View) error {
		f, err := view.Find(id)
		if err != nil {
			return err
		}
		i := f.Tree.Winner()
		if rev.IsZero() {
			if f.Tree.Nodes[i].Deleted {
				return newError(Deleted, "deleted")
			}
		} else {
			var ok bool
			if i, ok = f.Tree.Find(rev); !ok {
				return newError(NotFound, "missing")
			}
		}
		var ok bool
		if d, ok, err = view.Doc(f, i); err == nil && !ok {
			return newError(NotFound, "missing")
		}
		d.Hashes = f.Tree.Path(i)
		return err
	})
	return d, err
}

// Info gives the book's counts at this instant.
func (view *View) Info() (Info, error) {
	st, err := loadState(view.book)
	return Info{view.b.name, st.docs, st.deleted, min(st.seq, view.upTo), int(st.limit), view.b.s.compacting.Load()}, err
}

// Diff is what one document lacks.
type Diff struct {
	Missing   []revtree.Rev
	Ancestors []revtree.Rev // leaves that the missing ones may have grown from
	Damaged   bool          // the document's history cannot be read: all that was asked counts as missing
}

// RevsDiff compares revisions with what the book has, in one instant; documents that lack nothing
// are left out.
func (b *Book) RevsDiff(asked map[string][]revtree.Rev) (map[string]Diff, error) {
	out := map[string]Diff{}
	err := b.View(func(view *View) error {
		for id, revs := range asked {
			rec, err := getRecord(view.doc, id)
			if KindOf(err) == Damaged {
				out[id] = Diff{Missing: revs, Damaged: true}
				continue
			}
			if err != nil {
				return err
			}
			if missing := rec.tree.Missing(revs); len(missing) > 0 {
				out[id] = Diff{Missing: missing, Ancestors: rec.tree.PossibleAncestors(missing)}
			}
		}
		return nil
	})
	return out, err
}

// AllQuery asks for documents in the order of their ids' bytes.
type AllQuery struct {
	Start, End       string // "" means open
	HasStart, HasEnd bool
	ExcludeEnd       bool
	Descending       bool
	Skip, Limit      int  // Limit below 0 means all
	Docs             bool // with bodies
	After            string
	HasAfter         bool // continue after this id: a later page of the same query
}

// AllRow is a live document, or a damaged one: then Err says so, and where its history is damaged
// only the id is known.
type AllRow struct {
	Found *Found
	Rev   revtree.Rev
	Doc   Doc
	Err   error // Damaged: of the document nothing but its id, or nothing but its history, can be read
}

// AllPage is one page of the result; More says that another follows: query again with Next.
type AllPage struct {
	Rows []AllRow
	More bool
	Next AllQuery
}

// All gives a page of at most 1,000 documents or about a megabyte of bodies.
func (view *View) All(q AllQuery) (AllPage, error) {
	var page AllPage
	rows, length := 0, 0
	c := view.doc.Cursor()
	first, step := c.First, c.Next
	start, hasStart := q.Start, q.HasStart
	if q.HasAfter {
		start, hasStart = q.After, true
	}
	if q.Descending {
		first, step = c.Last, c.Prev
	}
	var k, v []byte
	if hasStart {
		k, v = c.Seek([]byte(start))
		if q.Descending && (k == nil || string(k) > start) {
			if k == nil {
				k, v = c.Last()
			} else {
				k, v = c.Prev()
			}
		}
		if q.HasAfter && string(k) == start {
			k, v = step()
		}
	} else {
		k, v = first()
	}
	for ; k != nil && q.Limit != 0; k, v = step() {
		if q.HasEnd {
			past := bytes.Compare(k, []byte(q.End))
			if q.Descending {
				past = -past
			}
			if past > 0 || (past == 0 && q.ExcludeEnd) {
				break
			}
		}
		if rows == 1000 || length > 1<<20 {
			page.More = true
			break
		}
		q.After, q.HasAfter = string(k), true
		rows++
		rec, err := decodeRecord(k, v)
		if err == nil && !rec.live() {
			continue
		}
		if q.Skip > 0 {
			q.Skip--
			continue
		}
		f := &Found{string(k), rec.seq, rec.tree}
		row := AllRow{Found: f, Err: err}
		if err == nil {
			win := rec.tree.Winner()
			row.Rev = rec.tree.Nodes[win].Rev
			if q.Docs {
				row.Doc, _, row.Err = view.Doc(f, win)
				length += len(row.Doc.Body)
			}
		}
		page.Rows = append(page.Rows, row)
		if q.Limit > 0 {
			q.Limit--
		}
	}
	page.Next = q
	return page, nil
}

// Change is a row of _changes: a document at its newest sequence.
type Change struct {
	Seq     uint64
	ID      string
	Deleted bool          // the winner is a deletion
	Leaves  []revtree.Rev // winner first
}

// ChangesQuery asks for changes after Since (descending: from the newest back to Since).
type ChangesQuery struct {
	Since      uint64
	Limit      int // at most this many rows; 0 or less, or more than 1,000, gives pages of 1,000
	Descending bool
	Before     uint64   // descending: continue before this sequence; 0: from the newest
	IDs        []string // only these documents; nil means all
}

// ChangesPage is one page of the feed.
type ChangesPage struct {
	Rows    []Change
	Last    uint64   // the last row's sequence; the present one where the page reaches the end
	More    bool     // rows follow
	Current uint64   // the book's sequence at this instant
	Damaged []string // what could not be read and is left out
}

// pageLeaves is about how many leaves the rows of one page may have.
const pageLeaves = 20_000

// Changes gives a page of changes. A Since beyond the book's sequence starts from the beginning.
func (view *View) Changes(q ChangesQuery) (ChangesPage, error) {
	st, err := loadState(view.book)
	if err != nil {
		return ChangesPage{}, err
	}
	if q.Since > st.seq {
		q.Since = 0
	}
	upTo := max(min(st.seq, view.upTo), q.Since)
	page := ChangesPage{Current: upTo, Last: upTo}
	if q.Limit <= 0 || q.Limit > 1000 {
		q.Limit = 1000
	}
	if q.IDs != nil {
		err := view.changesOf(q, &page)
		return page, err
	}
	c := view.seq.Cursor()
	step := c.Next
	leaves := 0
	var k, v []byte
	switch {
	case q.Descending && q.Before == 0:
		k, v = c.Last()
		step = c.Prev
	case q.Descending:
		if k, _ = c.Seek(key64(q.Before)); k == nil {
			k, v = c.Last()
		} else {
			k, v = c.Prev()
		}
		step = c.Prev
	default:
		k, v = c.Seek(key64(q.Since + 1))
	}
	for ; k != nil; k, v = step() {
		seq := binary.BigEndian.Uint64(k)
		if seq > upTo && q.Descending {
			continue
		}
		if seq > upTo || q.Descending && seq <= q.Since {
			break
		}
		if len(page.Rows) == q.Limit || leaves > pageLeaves {
			page.More = true
			break
		}
		row, err := decodeRow(k, v)
		if err != nil {
			page.Damaged = append(page.Damaged, fmt.Sprintf("row %d of the sequence", seq))
			var ok bool
			if row, ok = view.rowOf(seq); !ok {
				continue // no document says that it is here
			}
		}
		leaves += len(row.Leaves)
		page.Rows = append(page.Rows, row)
	}
	if n := len(page.Rows); n > 0 && (page.More || q.Descending) {
		page.Last = page.Rows[n-1].Seq
	}
	return page, nil
}

// changesOf looks up the given documents instead of walking the sequence.
func (view *View) changesOf(q ChangesQuery, page *ChangesPage) error {
	seen := map[string]bool{}
	for _, id := range q.IDs {
		if seen[id] {
			continue
		}
		seen[id] = true
		rec, err := getRecord(view.doc, id)
		if KindOf(err) == Damaged {
			page.Damaged = append(page.Damaged, fmt.Sprintf("the history of document %q", id))
			continue
		}
		if err != nil {
			return err
		}
		if rec.seq > q.Since && rec.seq <= page.Current && (q.Before == 0 || rec.seq < q.Before) {
			page.Rows = append(page.Rows, Change{rec.seq, id, !rec.live(), leafRevs(&rec.tree)})
		}
	}
	slices.SortFunc(page.Rows, func(a, b Change) int {
		less := a.Seq < b.Seq
		if less != q.Descending {
			return -1
		}
		return 1
	})
	if len(page.Rows) > q.Limit {
		page.Rows, page.More = page.Rows[:q.Limit], true
	}
	if n := len(page.Rows); n > 0 && (page.More || q.Descending) {
		page.Last = page.Rows[n-1].Seq
	}
	return nil
}
