package storetest

import (
	"slices"
	"sort"
	"strings"

	"datumbook/store"
	"datumbook/store/revtree"
)

// Model is a model of the store: the same contract kept with plain maps, without trees, files or
// indexes. A history is a set of revisions and of the parents claimed for each.
type Model struct {
	docs map[string]*modelDoc
	seq  uint64
}

type modelDoc struct {
	seq    uint64
	revs   map[revtree.Rev]bool        // all that any path named
	parent map[revtree.Rev]revtree.Rev // greatest parent claimed
	older  map[revtree.Rev]bool        // ever named as a parent
	bodies map[revtree.Rev]store.Doc
}

// NewModel makes an empty one.
func NewModel() *Model { return &Model{docs: map[string]*modelDoc{}} }

func (m *Model) doc(id string) *modelDoc {
	d := m.docs[id]
	if d == nil {
		d = &modelDoc{revs: map[revtree.Rev]bool{}, parent: map[revtree.Rev]revtree.Rev{}, older: map[revtree.Rev]bool{}, bodies: map[revtree.Rev]store.Doc{}}
		m.docs[id] = d
	}
	return d
}

// leaves gives the leaves, winner first: live before deleted, longer before shorter, greater before
// smaller.
func (d *modelDoc) leaves() []revtree.Rev {
	var out []revtree.Rev
	for r := range d.revs {
		if !d.older[r] {
			out = append(out, r)
		}
	}
	sort.Slice(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if x, y := d.bodies[a].Deleted, d.bodies[b].Deleted; x != y {
			return y
		}
		if a.Pos != b.Pos {
			return a.Pos > b.Pos
		}
		return a.Hash > b.Hash
	})
	return out
}

func (m *Model) merge(doc store.Doc) bool {
	d := m.doc(doc.ID)
	before := d.leaves()
	known := d.revs[doc.Rev]
	for i := range doc.Hashes {
		r := revtree.Rev{Pos: doc.Rev.Pos - uint64(i), Hash: doc.Hashes[i]}
		d.revs[r] = true
		if i > 0 {
			child := revtree.Rev{Pos: r.Pos + 1, Hash: doc.Hashes[i-1]}
			d.older[r] = true
			if r.Hash > d.parent[child].Hash {
				d.parent[child] = r
			}
		}
	}
	if !known {
		d.bodies[doc.Rev] = doc
	}
	if !slices.Equal(before, d.leaves()) {
		m.seq++
		d.seq = m.seq
	}
	return !known
}

// Push merges revisions.
func (m *Model) Push(docs []store.Doc) ([]store.Result, error) {
	order := make([]int, len(docs))
	for i := range order {
		order[i] = i
	}
	// Several revisions of one document take the places of that document, oldest first.
	for id := range m.idsOf(docs) {
		var places []int
		for i := range docs {
			if docs[i].ID == id {
				places = append(places, i)
			}
		}
		sorted := slices.Clone(places)
		sort.SliceStable(sorted, func(i, j int) bool { return docs[sorted[i]].Rev.Compare(docs[sorted[j]].Rev) < 0 })
		for k, place := range places {
			order[place] = sorted[k]
		}
	}
	res := make([]store.Result, len(docs))
	for _, i := range order {
		d := docs[i]
		res[i] = store.Result{ID: d.ID, Rev: d.Rev}
		if err := store.CheckID(d.ID); err != nil {
			res[i].Err = err
			continue
		}
		if slices.ContainsFunc(d.Atts, func(a store.Att) bool { return a.Stub }) {
			res[i].Err = &store.Error{Kind: store.MissingStub, Says: "stub"}
			continue
		}
		res[i].Written = m.merge(d)
	}
	return res, nil
}

func (m *Model) idsOf(docs []store.Doc) map[string]bool {
	ids := map[string]bool{}
	for _, d := range docs {
		ids[d.ID] = true
	}
	return ids
}

// Edit makes new revisions, named as the store names them.
func (m *Model) Edit(docs []store.Doc) ([]store.Result, error) {
	var res []store.Result
	for _, doc := range docs {
		r := store.Result{ID: doc.ID, Rev: doc.Rev}
		var leaves []revtree.Rev
		d := m.docs[doc.ID]
		if d != nil {
			leaves = d.leaves()
		}
		parent := doc.Rev
		switch {
		case !parent.IsZero() && !slices.Contains(leaves, parent),
			parent.IsZero() && len(leaves) > 0 && !d.bodies[leaves[0]].Deleted:
			r.Err = &store.Error{Kind: store.Conflict, Says: "conflict"}
			res = append(res, r)
			continue
		case parent.IsZero() && len(leaves) > 0:
			parent = leaves[0]
		}
		hash := store.NewHash(parent, &doc)
		doc.Rev = revtree.Rev{Pos: parent.Pos + 1, Hash: hash}
		doc.Hashes = []string{hash}
		for at := parent; !at.IsZero(); at = d.parent[at] {
			doc.Hashes = append(doc.Hashes, at.Hash)
		}
		if d != nil && d.revs[doc.Rev] {
			r.Err = &store.Error{Kind: store.Conflict, Says: "conflict"}
			res = append(res, r)
			continue
		}
		r.Rev, r.Written = doc.Rev, m.merge(doc)
		res = append(res, r)
	}
	return res, nil
}

// Get gives the winner or a revision by name.
func (m *Model) Get(id string, rev revtree.Rev) (store.Doc, error) {
	d := m.docs[id]
	if d == nil {
		return store.Doc{}, &store.Error{Kind: store.NotFound, Says: "missing"}
	}
	if rev.IsZero() {
		rev = d.leaves()[0]
		if d.bodies[rev].Deleted {
			return store.Doc{}, &store.Error{Kind: store.Deleted, Says: "deleted"}
		}
	}
	doc, ok := d.bodies[rev]
	if !ok {
		return store.Doc{}, &store.Error{Kind: store.NotFound, Says: "missing"}
	}
	return doc, nil
}

// RevsDiff gives what is missing.
func (m *Model) RevsDiff(asked map[string][]revtree.Rev) (map[string]store.Diff, error) {
	out := map[string]store.Diff{}
	for id, revs := range asked {
		var diff store.Diff
		d := m.docs[id]
		var last uint64
		for _, r := range revs {
			if d == nil || !d.revs[r] {
				diff.Missing = append(diff.Missing, r)
				last = max(last, r.Pos)
			}
		}
		if len(diff.Missing) == 0 {
			continue
		}
		if d != nil {
			for _, r := range d.leaves() {
				if r.Pos < last {
					diff.Ancestors = append(diff.Ancestors, r)
				}
			}
			sort.Slice(diff.Ancestors, func(i, j int) bool { return diff.Ancestors[i].Compare(diff.Ancestors[j]) < 0 })
		}
		out[id] = diff
	}
	return out, nil
}

// Rows gives all changes after a sequence.
func (m *Model) Rows(since uint64) ([]store.Change, uint64, error) {
	if since > m.seq {
		since = 0
	}
	var rows []store.Change
	for id, d := range m.docs {
		if d.seq > since {
			leaves := d.leaves()
			rows = append(rows, store.Change{Seq: d.seq, ID: id, Deleted: d.bodies[leaves[0]].Deleted, Leaves: leaves})
		}
	}
	sort.Slice(rows, func(i, j int) bool { return rows[i].Seq < rows[j].Seq })
	return rows, m.seq, nil
}

// Counts gives the live and the deleted documents.
func (m *Model) Counts() (live, deleted uint64, err error) {
	for _, d := range m.docs {
		if d.bodies[d.leaves()[0]].Deleted {
			deleted++
		} else {
			live++
		}
	}
	return live, deleted, nil
}

// IDs lists the documents.
func (m *Model) IDs() []string {
	var out []string
	for id := range m.docs {
		out = append(out, id)
	}
	slices.SortFunc(out, strings.Compare)
	return out
}
