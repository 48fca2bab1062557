// Package revtree holds a document's history: the revisions, their parents, which are leaves, and
// which leaf wins. It knows nothing of bodies, files or HTTP. The rules are those of the CouchDB
// replication protocol, so that every replica that has seen the same revisions, in whatever order
// and however often, agrees.
//
// A tree is a set of revisions, each with at most one known parent. Merging adds the revisions of a
// path and is a union: a revision that two paths give different parents (which no honest replica
// produces) takes the greater one, and a revision once named as a parent never becomes a leaf, so
// order and repetition do not matter even then.
package revtree

import (
	"cmp"
	"errors"
	"slices"
	"strconv"
	"strings"
)

// Rev names a revision: its generation, from 1, and its hash, which is opaque.
type Rev struct {
	Pos  uint64
	Hash string
}

// MaxPos is the greatest generation that can be read and kept: 2^53 - 1, the greatest whole number
// every JSON reader keeps.
const MaxPos = 1<<53 - 1

// MaxNew is the greatest generation taken from a replica, unless the document's own history has come
// near it: an edit a second takes four months to get there. Beyond it, somebody takes the last place
// and leaves no room for a next edit.
const MaxNew = 10_000_000

// MaxHash is the greatest length of a hash in bytes.
const MaxHash = 255

// ErrRev is returned for text that is not a revision.
var ErrRev = errors.New("invalid revision: write generation, hyphen, hash, as 3-6f1c0e")

// ParseRev reads "N-hash": N from 1 to MaxPos without leading zeros, hash of 1 to MaxHash bytes
// without commas or controls.
func ParseRev(s string) (Rev, error) {
	num, hash, ok := strings.Cut(s, "-")
	if !ok || num == "" || num[0] < '1' || num[0] > '9' || len(num) > 16 || !GoodHash(hash) {
		return Rev{}, ErrRev
	}
	pos, err := strconv.ParseUint(num, 10, 64)
	if err != nil || pos > MaxPos {
		return Rev{}, ErrRev
	}
	return Rev{pos, hash}, nil
}

// GoodHash reports whether a text can be a revision's hash.
func GoodHash(hash string) bool {
	if hash == "" || len(hash) > MaxHash {
		return false
	}
	for i := 0; i < len(hash); i++ {
		if c := hash[i]; c <= ' ' || c == ',' || c == '"' || c == '\\' || c >= 0x7f {
			return false
		}
	}
	return true
}

// String gives "N-hash", and "" for the zero Rev.
func (r Rev) String() string {
	if r.Pos == 0 {
		return ""
	}
	return strconv.FormatUint(r.Pos, 10) + "-" + r.Hash
}

// IsZero reports whether r is the zero Rev.
func (r Rev) IsZero() bool { return r.Pos == 0 }

// Compare orders revisions by generation, then by the bytes of the hash.
func (r Rev) Compare(o Rev) int {
	if c := cmp.Compare(r.Pos, o.Pos); c != 0 {
		return c
	}
	return strings.Compare(r.Hash, o.Hash)
}

// Node is a revision in a tree.
type Node struct {
	Rev
	Parent  int    // index of the parent in Nodes, or -1 where none is known
	Inner   bool   // it has a child
	Deleted bool   // it is a deletion
	Body    uint64 // where its body is kept; 0 where it is not
}

// Tree is a document's history. The zero Tree is empty. Nodes are in the order of Rev.Compare.
type Tree struct {
	Nodes []Node
}

// Find gives the index of a revision.
func (t *Tree) Find(r Rev) (int, bool) {
	// The newest generations are asked for most, and most histories are one chain: check the end
	// first.
	if n := len(t.Nodes); n > 0 && t.Nodes[n-1].Rev == r {
		return n - 1, true
	}
	return slices.BinarySearchFunc(t.Nodes, r, func(n Node, r Rev) int { return n.Rev.Compare(r) })
}

// Leaves gives the indexes of all leaves, the winner first, the others in the winner's order.
func (t *Tree) Leaves() []int {
	leaves := make([]int, 0, 1)
	for i := range t.Nodes {
		if !t.Nodes[i].Inner {
			leaves = append(leaves, i)
		}
	}
	if len(leaves) > 1 {
		slices.SortFunc(leaves, func(a, b int) int { return -order(&t.Nodes[a], &t.Nodes[b]) })
	}
	return leaves
}

// Winner gives the index of the winning leaf, or -1 in an empty tree.
func (t *Tree) Winner() int {
	best := -1
	for i := range t.Nodes {
		if !t.Nodes[i].Inner && (best < 0 || order(&t.Nodes[i], &t.Nodes[best]) > 0) {
			best = i
		}
	}
	return best
}

// order is the winner rule: live before deleted, then the greater generation, then the greater hash
// by byte order.
func order(a, b *Node) int {
	if a.Deleted != b.Deleted {
		if a.Deleted {
			return -1
		}
		return 1
	}
	return a.Rev.Compare(b.Rev)
}

// Path gives the hashes from a node back to its oldest known ancestor, newest first: the protocol's
// _revisions.ids.
func (t *Tree) Path(i int) []string {
	var ids []string
	for ; i >= 0; i = t.Nodes[i].Parent {
		ids = append(ids, t.Nodes[i].Hash)
	}
	return ids
}

// Missing gives those of revs that the tree does not have, in their order.
func (t *Tree) Missing(revs []Rev) []Rev {
	var out []Rev
	for _, r := range revs {
		if _, ok := t.Find(r); !ok {
			out = append(out, r)
		}
	}
	return out
}

// PossibleAncestors gives the leaves that lie before the latest of the missing revisions, in tree
// order.
func (t *Tree) PossibleAncestors(missing []Rev) []Rev {
	var last uint64
	for _, r := range missing {
		last = max(last, r.Pos)
	}
	var out []Rev
	for i := range t.Nodes {
		if !t.Nodes[i].Inner && t.Nodes[i].Pos < last {
			out = append(out, t.Nodes[i].Rev)
		}
	}
	return out
}

// LatestFrom returns the leaves descending from node i, winner first; the node itself if it is a
// leaf.
func (t *Tree) LatestFrom(i int) []int {
	if !t.Nodes[i].Inner {
		return []int{i}
	}
	var out []int
	for _, leaf := range t.Leaves() {
		for j := leaf; j >= 0 && t.Nodes[j].Pos >= t.Nodes[i].Pos; j = t.Nodes[j].Parent {
			if j == i {
				out = append(out, leaf)
				break
			}
		}
	}
	return out
}
