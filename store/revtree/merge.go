package revtree

import "slices"

// Path is a revision with its ancestors as a replica sends it: hashes newest first, the first at
// generation Start.
type Path struct {
	Start   uint64
	Hashes  []string
	Deleted bool
	Body    uint64 // where the store will keep the newest revision's body, if it turns out to be new
}

// Leaf gives the path's newest revision.
func (p Path) Leaf() Rev { return Rev{p.Start, p.Hashes[0]} }

// Valid reports whether a path can be merged: at least one hash, no more hashes than generations,
// all well formed.
func (p Path) Valid() bool {
	if len(p.Hashes) == 0 || p.Start > MaxPos || uint64(len(p.Hashes)) > p.Start {
		return false
	}
	for _, h := range p.Hashes {
		if !GoodHash(h) {
			return false
		}
	}
	return true
}

// Outcome says what a merge changed.
type Outcome struct {
	Added   bool // the path's newest revision was not in the tree; its body belongs to it now
	Changed bool // anything was added or joined: the tree must be written
	Leaves  bool // the set of leaves differs: readers see a change
}

// Merge adds a valid path to the tree.
func (t *Tree) Merge(p Path) Outcome {
	var out Outcome
	if n := len(t.Nodes); n == 0 {
		return t.first(p)
	}
	_, known := t.Find(p.Leaf())
	out.Added = !known
	// From the oldest to the newest, so that each finds its parent. Indexes shift when a node is
	// put in before the end, hence parents are looked up by name until all are in.
	fresh := 0
	for i := len(p.Hashes) - 1; i >= 0; i-- {
		if _, ok := t.Find(Rev{p.Start - uint64(i), p.Hashes[i]}); !ok {
			fresh++
		}
	}
	if fresh > 0 {
		t.insert(p)
		out.Changed = true
	}
	if out.Added {
		i, _ := t.Find(p.Leaf())
		t.Nodes[i].Deleted, t.Nodes[i].Body = p.Deleted, p.Body
		out.Leaves = true
	}
	parent, _ := t.Find(Rev{p.Start - uint64(len(p.Hashes)-1), p.Hashes[len(p.Hashes)-1]})
	for i := len(p.Hashes) - 2; i >= 0; i-- {
		child, _ := t.Find(Rev{p.Start - uint64(i), p.Hashes[i]})
		if !t.Nodes[parent].Inner {
			t.Nodes[parent].Inner = true
			out.Changed, out.Leaves = true, true
		}
		if old := t.Nodes[child].Parent; old < parent { // -1: none; of two parents the greater
			t.Nodes[child].Parent = parent
			out.Changed = true
		}
		parent = child
	}
	return out
}

// first makes the tree of a document that was not there: a chain.
func (t *Tree) first(p Path) Outcome {
	n := len(p.Hashes)
	t.Nodes = make([]Node, n)
	for i := range t.Nodes {
		t.Nodes[i] = Node{Rev: Rev{p.Start - uint64(n-1-i), p.Hashes[n-1-i]}, Parent: i - 1, Inner: i < n-1}
	}
	t.Nodes[n-1].Deleted, t.Nodes[n-1].Body = p.Deleted, p.Body
	return Outcome{Added: true, Changed: true, Leaves: true}
}

// insert adds the path's unknown revisions as nodes without parents and keeps the order and the
// parents' indexes right.
func (t *Tree) insert(p Path) {
	old := t.Nodes
	nodes := make([]Node, 0, len(old)+len(p.Hashes))
	moved := make([]int, len(old)) // where each old node went
	i := 0
	for j := len(p.Hashes) - 1; j >= 0; j-- {
		r := Rev{p.Start - uint64(j), p.Hashes[j]}
		for i < len(old) && old[i].Rev.Compare(r) < 0 {
			moved[i] = len(nodes)
			nodes = append(nodes, old[i])
			i++
		}
		if i < len(old) && old[i].Rev == r {
			continue
		}
		nodes = append(nodes, Node{Rev: r, Parent: -1, Inner: j > 0})
	}
	for ; i < len(old); i++ {
		moved[i] = len(nodes)
		nodes = append(nodes, old[i])
	}
	for _, at := range moved {
		if parent := nodes[at].Parent; parent >= 0 {
			nodes[at].Parent = moved[parent]
		}
	}
	t.Nodes = nodes
}

// Stem removes revisions that are limit or more generations behind all their leaves, and returns
// the nodes removed. It never removes a leaf, nor a revision that a leaf still reaches within the
// limit. A limit below 1 counts as 1.
func (t *Tree) Stem(limit int) []Node {
	limit = max(limit, 1)
	if len(t.Nodes) <= limit {
		return nil
	}
	far := make([]int, len(t.Nodes)) // steps to the nearest descendant leaf; 0: none
	for i := range t.Nodes {
		if t.Nodes[i].Inner {
			continue
		}
		for j, steps := i, 1; j >= 0 && (far[j] == 0 || steps < far[j]); j, steps = t.Nodes[j].Parent, steps+1 {
			far[j] = steps
		}
	}
	if !slices.ContainsFunc(far, func(steps int) bool { return steps > limit }) {
		return nil
	}
	var cut []Node
	moved := make([]int, len(t.Nodes))
	kept := make([]Node, 0, len(t.Nodes))
	for i, n := range t.Nodes {
		if far[i] > limit {
			moved[i] = -1
			cut = append(cut, n)
			continue
		}
		moved[i] = len(kept)
		if n.Parent >= 0 {
			n.Parent = moved[n.Parent]
		}
		kept = append(kept, n)
	}
	t.Nodes = kept
	return cut
}
