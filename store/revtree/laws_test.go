package revtree

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// naive is an independent model of a history: nothing but the set of parent-and-child pairs and of
// revisions that any path named. It shares no code with Tree.
type naive struct {
	revs    map[string]bool
	parent  map[string]string // child to the greatest parent that was claimed
	isOlder map[string]bool   // was ever named as a parent
	deleted map[string]bool
}

func newNaive() *naive {
	return &naive{map[string]bool{}, map[string]string{}, map[string]bool{}, map[string]bool{}}
}

func (n *naive) add(p Path) {
	name := func(i int) string { return fmt.Sprintf("%d-%s", p.Start-uint64(i), p.Hashes[i]) }
	if !n.revs[name(0)] {
		n.deleted[name(0)] = p.Deleted
	}
	for i := range p.Hashes {
		n.revs[name(i)] = true
		if i > 0 {
			n.isOlder[name(i)] = true
			if name(i) > n.parent[name(i-1)] { // same generation: the same number of digits
				n.parent[name(i-1)] = name(i)
			}
		}
	}
}

func (n *naive) leaves() []string {
	var out []string
	for r := range n.revs {
		if !n.isOlder[r] {
			out = append(out, r)
		}
	}
	sort.Strings(out)
	return out
}

// winner follows the sentence in the protocol's documentation: among the leaves that are not
// deleted, or else among all, the one with the most generations, then the one that sorts last.
func (n *naive) winner() string {
	candidates := n.leaves()
	live := slices.DeleteFunc(slices.Clone(candidates), func(r string) bool { return n.deleted[r] })
	if len(live) > 0 {
		candidates = live
	}
	sort.Slice(candidates, func(i, j int) bool {
		var a, b int
		var x, y string
		_, _ = fmt.Sscanf(strings.Replace(candidates[i], "-", " ", 1), "%d %s", &a, &x)
		_, _ = fmt.Sscanf(strings.Replace(candidates[j], "-", " ", 1), "%d %s", &b, &y)
		return a > b || a == b && x > y
	})
	if len(candidates) == 0 {
		return ""
	}
	return candidates[0]
}

// facts gives all a tree says, as text.
func facts(t *Tree) (revs, parents, leaves, deleted []string) {
	for i, n := range t.Nodes {
		revs = append(revs, n.Rev.String())
		if n.Parent >= 0 {
			parents = append(parents, t.Nodes[n.Parent].Rev.String()+">"+n.Rev.String())
		}
		if !n.Inner {
			leaves = append(leaves, n.Rev.String())
		}
		if n.Deleted {
			deleted = append(deleted, t.Nodes[i].Rev.String())
		}
	}
	for _, list := range [][]string{revs, parents, leaves, deleted} {
		sort.Strings(list)
	}
	return revs, parents, leaves, deleted
}

func (n *naive) facts() (revs, parents, leaves, deleted []string) {
	for r := range n.revs {
		revs = append(revs, r)
		if p := n.parent[r]; p != "" {
			parents = append(parents, p+">"+r)
		}
		if n.deleted[r] {
			deleted = append(deleted, r)
		}
	}
	for _, list := range [][]string{revs, parents, deleted} {
		sort.Strings(list)
	}
	return revs, parents, n.leaves(), deleted
}

// history draws the pushes of a few honest replicas: one grown tree, cut into paths of any length,
// each naming the same parent for a revision; generations stay below ten so that text and number
// order agree in the model.
func history(t *rapid.T) []Path {
	type rev struct {
		hash    string
		deleted bool
		parent  int
		pos     uint64
	}
	var revs []rev
	used := map[string]bool{}
	for range rapid.IntRange(1, 14).Draw(t, "revisions") {
		parent := rapid.IntRange(-1, len(revs)-1).Draw(t, "parent")
		pos := uint64(1)
		if parent >= 0 {
			pos = revs[parent].pos + 1
		}
		hash := rapid.SampledFrom([]string{"a", "b", "c", "00000000000000000000000000000001", "ffffffffffffffffffffffffffffffff", "zz"}).Draw(t, "hash")
		if key := fmt.Sprint(pos, hash); pos > 9 || used[key] {
			continue
		} else {
			used[key] = true
		}
		revs = append(revs, rev{hash, rapid.Float64().Draw(t, "deleted") < 0.2, parent, pos})
	}
	var paths []Path
	for range rapid.IntRange(1, 12).Draw(t, "pushes") {
		i := rapid.IntRange(0, len(revs)-1).Draw(t, "leaf")
		p := Path{Start: revs[i].pos, Deleted: revs[i].deleted}
		want := rapid.IntRange(1, 10).Draw(t, "length")
		for at := i; at >= 0 && len(p.Hashes) < want; at = revs[at].parent {
			p.Hashes = append(p.Hashes, revs[at].hash)
		}
		paths = append(paths, p)
	}
	return paths
}

func mergeAll(paths []Path) *Tree {
	t := &Tree{}
	for _, p := range paths {
		t.Merge(p)
	}
	return t
}

func TestMergeAgreesWithNaiveModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		paths := history(t)
		tree, model := &Tree{}, newNaive()
		for _, p := range paths {
			before, _, _, _ := facts(tree)
			_, _, leavesBefore, _ := facts(tree)
			out := tree.Merge(p)
			model.add(p)
			require.True(t, tree.Valid(), "%+v", tree)
			gotRevs, gotParents, gotLeaves, gotDeleted := facts(tree)
			revs, parents, leaves, _ := model.facts()
			require.Equal(t, revs, gotRevs)
			require.Equal(t, parents, gotParents)
			require.Equal(t, leaves, gotLeaves)
			require.Equal(t, slices.Contains(before, p.Leaf().String()), !out.Added)
			require.Equal(t, !slices.Equal(leavesBefore, gotLeaves), out.Leaves)
			for _, d := range gotDeleted {
				require.True(t, model.deleted[d])
			}
		}
		if win := tree.Winner(); win >= 0 && sameDeleted(tree, model) {
			require.Equal(t, model.winner(), tree.Nodes[win].Rev.String())
			require.Equal(t, win, tree.Leaves()[0])
		}
	})
}

// sameDeleted leaves out histories in which a deletion was first named as an ancestor only: then no
// one said it was one.
func sameDeleted(t *Tree, n *naive) bool {
	_, _, _, a := facts(t)
	_, _, _, b := n.facts()
	return slices.Equal(a, b)
}

func TestOrderAndRepetitionDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		paths := history(t)
		a := mergeAll(paths)
		shuffled := rapid.Permutation(append(slices.Clone(paths), paths...)).Draw(t, "order")
		b := mergeAll(shuffled)
		// A revision first met as an ancestor carries no deletion mark; leaves, which alone decide,
		// always do.
		ra, pa, la, _ := facts(a)
		rb, pb, lb, _ := facts(b)
		require.Equal(t, ra, rb)
		require.Equal(t, pa, pb)
		require.Equal(t, la, lb)
		require.Equal(t, a.Nodes[a.Winner()].Rev, b.Nodes[b.Winner()].Rev)
		for _, i := range a.Leaves() {
			j, ok := b.Find(a.Nodes[i].Rev)
			require.True(t, ok)
			require.Equal(t, a.Nodes[i].Deleted, b.Nodes[j].Deleted)
		}
	})
}

func TestMergingWhatIsThereChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		paths := history(t)
		tree := mergeAll(paths)
		before := tree.AppendBinary(nil)
		for _, p := range paths {
			out := tree.Merge(p)
			require.Equal(t, Outcome{}, out)
		}
		for i := range tree.Nodes { // any path taken out of the tree itself
			out := tree.Merge(Path{Start: tree.Nodes[i].Pos, Hashes: tree.Path(i)})
			require.Equal(t, Outcome{}, out)
		}
		require.Equal(t, before, tree.AppendBinary(nil))
	})
}

func TestConflictingParentsAreSettledAlike(t *testing.T) {
	paths := []Path{{Start: 2, Hashes: []string{"x", "a"}}, {Start: 2, Hashes: []string{"x", "b"}}, {Start: 2, Hashes: []string{"x"}}, {Start: 1, Hashes: []string{"a"}}}
	var want []byte
	for _, order := range [][]int{{0, 1, 2, 3}, {1, 0, 3, 2}, {3, 2, 1, 0}, {2, 3, 0, 1}, {2, 1, 3, 0}} {
		tree := &Tree{}
		for _, i := range order {
			tree.Merge(paths[i])
		}
		require.True(t, tree.Valid())
		got := tree.AppendBinary(nil)
		if want == nil {
			want = got
		}
		assert.Equal(t, want, got, "%v", order)
		assert.Len(t, tree.Leaves(), 1)
	}
}

func TestStemKeepsLeaves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		paths := history(t)
		tree := mergeAll(paths)
		_, _, leaves, _ := facts(tree)
		limit := rapid.IntRange(0, 12).Draw(t, "limit")
		whole := Tree{Nodes: slices.Clone(tree.Nodes)}
		cut := tree.Stem(limit)
		require.True(t, tree.Valid())
		_, _, after, _ := facts(tree)
		require.Equal(t, leaves, after)
		require.Equal(t, len(whole.Nodes), len(tree.Nodes)+len(cut))
		for _, i := range tree.Leaves() {
			j, _ := whole.Find(tree.Nodes[i].Rev)
			long, short := whole.Path(j), tree.Path(i)
			require.Equal(t, long[:min(len(long), max(limit, 1))], short[:min(len(short), max(limit, 1))])
			require.LessOrEqual(t, len(short), len(long))
		}
		for _, n := range cut {
			require.True(t, n.Inner)
		}
		require.Empty(t, tree.Stem(limit))
	})
}

func TestStemmedBranchesRejoin(t *testing.T) {
	tree := mergeAll([]Path{{Start: 3, Hashes: []string{"c", "b", "a"}}})
	tree.Stem(1)
	tree.Merge(Path{Start: 5, Hashes: []string{"e", "d"}}) // a stranger that shares no revision
	require.Len(t, tree.Leaves(), 2)
	out := tree.Merge(Path{Start: 5, Hashes: []string{"e", "d", "c", "b"}}) // the same with a longer memory
	require.True(t, out.Leaves)
	require.False(t, out.Added)
	require.Len(t, tree.Leaves(), 1)
	require.Equal(t, []string{"e", "d", "c", "b"}, tree.Path(tree.Winner()))
}

func TestWinnerRule(t *testing.T) {
	// The protocol's documentation: not deleted first, then the longer history, then the greater
	// hash.
	for _, c := range []struct {
		name  string
		paths []Path
		want  string
	}{
		{"only one", []Path{{Start: 1, Hashes: []string{"a"}}}, "1-a"},
		{"greater hash", []Path{{Start: 1, Hashes: []string{"a"}}, {Start: 1, Hashes: []string{"b"}}}, "1-b"},
		{"longer beats greater", []Path{{Start: 2, Hashes: []string{"a", "a"}}, {Start: 1, Hashes: []string{"f"}}}, "2-a"},
		{"live beats longer", []Path{{Start: 9, Hashes: []string{"f"}, Deleted: true}, {Start: 1, Hashes: []string{"a"}}}, "1-a"},
		{"all deleted", []Path{{Start: 2, Hashes: []string{"a"}, Deleted: true}, {Start: 1, Hashes: []string{"f"}, Deleted: true}}, "2-a"},
		{"ten is more than nine", []Path{{Start: 10, Hashes: []string{"a"}}, {Start: 9, Hashes: []string{"f"}}}, "10-a"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tree := mergeAll(c.paths)
			assert.Equal(t, c.want, tree.Nodes[tree.Winner()].Rev.String())
		})
	}
}

func TestMissingAndAncestors(t *testing.T) {
	tree := mergeAll([]Path{{Start: 3, Hashes: []string{"c", "b", "a"}}, {Start: 2, Hashes: []string{"x", "a"}}})
	missing := tree.Missing([]Rev{{3, "c"}, {1, "a"}, {4, "d"}, {2, "y"}})
	assert.Equal(t, []Rev{{4, "d"}, {2, "y"}}, missing)
	assert.Equal(t, []Rev{{2, "x"}, {3, "c"}}, tree.PossibleAncestors(missing))
	assert.Empty(t, tree.PossibleAncestors([]Rev{{2, "y"}}))
	i, _ := tree.Find(Rev{1, "a"})
	var latest []string
	for _, l := range tree.LatestFrom(i) {
		latest = append(latest, tree.Nodes[l].Rev.String())
	}
	assert.Equal(t, []string{"3-c", "2-x"}, latest)
}

func TestEncodingRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tree := mergeAll(history(t))
		for i := range tree.Nodes {
			if rapid.Bool().Draw(t, "body") {
				tree.Nodes[i].Body = rapid.Uint64Range(1, 1<<60).Draw(t, "number")
			}
		}
		b := tree.AppendBinary(nil)
		back, err := Decode(b)
		require.NoError(t, err)
		require.Equal(t, tree.Nodes, back.Nodes)
		for cut := range b {
			_, err := Decode(b[:cut])
			require.Error(t, err)
		}
	})
}

func TestParseRev(t *testing.T) {
	for _, s := range []string{"1-a", "12-6f1c0e", "9007199254740991-x"} {
		r, err := ParseRev(s)
		require.NoError(t, err)
		assert.Equal(t, s, r.String())
	}
	for _, s := range []string{"", "1", "1-", "-a", "0-a", "01-a", "a-1", "1-a,b", "1-a b", "9007199254740992-x", "99999999999999999999-x", "+1-a", "1-\x00", "1-" + strings.Repeat("a", 256)} {
		_, err := ParseRev(s)
		assert.Error(t, err, "%q", s)
	}
}

// Run with: go test -fuzz FuzzDecode ./store/revtree
func FuzzDecode(f *testing.F) {
	f.Add([]byte{0})
	f.Add(mergeAll([]Path{{Start: 3, Hashes: []string{"c", "b", "a"}}, {Start: 2, Hashes: []string{"00000000000000000000000000000001", "a"}, Deleted: true}}).AppendBinary(nil))
	f.Fuzz(func(t *testing.T, b []byte) {
		tree, err := Decode(b)
		if err != nil {
			return
		}
		require.True(t, tree.Valid())
		require.Equal(t, b, tree.AppendBinary(nil))
	})
}

// Run with: go test -fuzz FuzzParseRev ./store/revtree
func FuzzParseRev(f *testing.F) {
	for _, s := range []string{"1-a", "0-1", "12-6f1c0e", "1--"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if r, err := ParseRev(s); err == nil {
			require.Equal(t, s, r.String())
		}
	})
}
