package storetest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
)

// Replica is what replicas of one book must be able to do. *store.Book is one, Model another.
type Replica interface {
	// Push merges revisions made elsewhere. Known ones change nothing.
	Push([]store.Doc) ([]store.Result, error)
	// Edit makes new revisions; Conflict where the one to be replaced is not a leaf.
	Edit([]store.Doc) ([]store.Result, error)
	// Get gives the winner or a revision by name; NotFound, Deleted.
	Get(id string, rev revtree.Rev) (store.Doc, error)
	// RevsDiff gives what is missing.
	RevsDiff(map[string][]revtree.Rev) (map[string]store.Diff, error)
	// Rows gives all changes after a sequence, oldest first, and the last sequence.
	Rows(since uint64) ([]store.Change, uint64, error)
	// Counts gives the live and the deleted documents.
	Counts() (live, deleted uint64, err error)
}

// Book makes a store's book a Replica.
type Book struct{ *store.Book }

// Rows gives all changes after a sequence.
func (b Book) Rows(since uint64) ([]store.Change, uint64, error) {
	var rows []store.Change
	q := store.ChangesQuery{Since: since, Limit: 7} // small pages on purpose
	for {
		var page store.ChangesPage
		err := b.View(func(view *store.View) (err error) {
			page, err = view.Changes(q)
			return err
		})
		if err != nil {
			return nil, 0, err
		}
		rows = append(rows, page.Rows...)
		q.Since = page.Last
		if !page.More {
			return rows, page.Last, nil
		}
	}
}

// Counts gives the live and the deleted documents.
func (b Book) Counts() (uint64, uint64, error) {
	in, err := b.Info()
	return in.Docs, in.Deleted, err
}

// Rev reads a revision that is known to be good.
func Rev(s string) revtree.Rev {
	r, err := revtree.ParseRev(s)
	if err != nil {
		panic(err)
	}
	return r
}

// Doc makes a pushed revision: its name, its ancestors' hashes newest first, and its members.
func Doc(id, rev string, ancestors []string, body string) store.Doc {
	r := Rev(rev)
	return store.Doc{ID: id, Rev: r, Hashes: append([]string{r.Hash}, ancestors...), Body: []byte(body)}
}

func leaves(t *testing.T, r Replica, id string) []string {
	t.Helper()
	rows, _, err := r.Rows(0)
	require.NoError(t, err)
	for _, row := range rows {
		if row.ID == id {
			var out []string
			for _, leaf := range row.Leaves {
				out = append(out, leaf.String())
			}
			return out
		}
	}
	return nil
}

func push(t *testing.T, r Replica, docs ...store.Doc) []store.Result {
	t.Helper()
	res, err := r.Push(docs)
	require.NoError(t, err)
	require.Len(t, res, len(docs))
	return res
}

// Run checks the contract on replicas that open gives.
func Run(t *testing.T, open func(t *testing.T) Replica) {
	t.Run("push is a union", func(t *testing.T) {
		r := open(t)
		push(t, r, Doc("x", "2-b", []string{"a"}, `"n":2`), Doc("x", "2-c", []string{"a"}, `"n":3`))
		assert.Equal(t, []string{"2-c", "2-b"}, leaves(t, r, "x"))
		d, err := r.Get("x", revtree.Rev{})
		require.NoError(t, err)
		assert.Equal(t, `"n":3`, string(d.Body))
		d, err = r.Get("x", Rev("2-b"))
		require.NoError(t, err)
		assert.Equal(t, `"n":2`, string(d.Body))
		_, err = r.Get("x", Rev("1-a"))
		assert.Equal(t, store.NotFound, store.KindOf(err))
	})
	t.Run("repeating changes nothing", func(t *testing.T) {
		r := open(t)
		doc := Doc("x", "1-a", nil, `"n":1`)
		assert.True(t, push(t, r, doc)[0].Written)
		_, last, err := r.Rows(0)
		require.NoError(t, err)
		assert.False(t, push(t, r, doc, doc)[0].Written)
		_, again, err := r.Rows(0)
		require.NoError(t, err)
		assert.Equal(t, last, again)
	})
	t.Run("one row a document, sequences grow", func(t *testing.T) {
		r := open(t)
		push(t, r, Doc("a", "1-a", nil, ``), Doc("b", "1-a", nil, ``), Doc("c", "1-a", nil, ``))
		rows, last, err := r.Rows(0)
		require.NoError(t, err)
		require.Len(t, rows, 3)
		assert.Equal(t, []string{"a", "b", "c"}, []string{rows[0].ID, rows[1].ID, rows[2].ID})
		push(t, r, Doc("b", "2-b", []string{"a"}, ``))
		rows, next, err := r.Rows(last)
		require.NoError(t, err)
		require.Len(t, rows, 1)
		assert.Equal(t, "b", rows[0].ID)
		assert.Greater(t, next, last)
		rows, _, err = r.Rows(0)
		require.NoError(t, err)
		require.Len(t, rows, 3)
		assert.Equal(t, "b", rows[2].ID)
	})
	t.Run("since beyond the end begins again", func(t *testing.T) {
		r := open(t)
		push(t, r, Doc("a", "1-a", nil, ``))
		rows, _, err := r.Rows(1 << 40)
		require.NoError(t, err)
		assert.Len(t, rows, 1)
	})
	t.Run("generations in any order in a batch", func(t *testing.T) {
		r := open(t)
		push(t, r, Doc("x", "3-c", []string{"b", "a"}, `"n":3`), Doc("x", "1-a", nil, `"n":1`), Doc("x", "2-b", []string{"a"}, `"n":2`))
		assert.Equal(t, []string{"3-c"}, leaves(t, r, "x"))
		d, err := r.Get("x", Rev("1-a"))
		require.NoError(t, err)
		assert.Equal(t, `"n":1`, string(d.Body))
	})
	t.Run("a deletion uncovers the next leaf", func(t *testing.T) {
		r := open(t)
		push(t, r, Doc("x", "2-b", []string{"a"}, `"n":2`), Doc("x", "2-c", []string{"a"}, `"n":3`))
		gone := Doc("x", "3-d", []string{"c", "a"}, `"why":"scrapped"`)
		gone.Deleted = true
		push(t, r, gone)
		assert.Equal(t, []string{"2-b", "3-d"}, leaves(t, r, "x"))
		d, err := r.Get("x", Rev("3-d"))
		require.NoError(t, err)
		assert.True(t, d.Deleted)
		assert.Equal(t, `"why":"scrapped"`, string(d.Body))
		live, deleted, err := r.Counts()
		require.NoError(t, err)
		assert.Equal(t, []uint64{1, 0}, []uint64{live, deleted})
		gone = Doc("x", "3-e", []string{"b", "a"}, ``)
		gone.Deleted = true
		push(t, r, gone)
		_, err = r.Get("x", revtree.Rev{})
		assert.Equal(t, store.Deleted, store.KindOf(err))
		live, deleted, err = r.Counts()
		require.NoError(t, err)
		assert.Equal(t, []uint64{0, 1}, []uint64{live, deleted})
	})
	t.Run("edits replace leaves only", func(t *testing.T) {
		r := open(t)
		edit := func(id, rev, body string, gone bool) store.Result {
			d := store.Doc{ID: id, Body: []byte(body), Deleted: gone}
			if rev != "" {
				d.Rev = Rev(rev)
			}
			res, err := r.Edit([]store.Doc{d})
			require.NoError(t, err)
			return res[0]
		}
		first := edit("x", "", `"n":1`, false)
		require.NoError(t, first.Err)
		assert.EqualValues(t, 1, first.Rev.Pos)
		assert.Equal(t, store.Conflict, store.KindOf(edit("x", "", `"n":2`, false).Err), "live and no revision named")
		assert.Equal(t, store.Conflict, store.KindOf(edit("x", "1-none", `"n":2`, false).Err), "unknown revision")
		assert.Equal(t, store.Conflict, store.KindOf(edit("y", "1-none", `"n":2`, false).Err), "unknown document")
		second := edit("x", first.Rev.String(), `"n":2`, false)
		require.NoError(t, second.Err)
		assert.Equal(t, store.Conflict, store.KindOf(edit("x", first.Rev.String(), `"n":3`, false).Err), "not a leaf any more")
		gone := edit("x", second.Rev.String(), ``, true)
		require.NoError(t, gone.Err)
		again := edit("x", "", `"n":9`, false)
		require.NoError(t, again.Err)
		assert.EqualValues(t, 4, again.Rev.Pos, "made anew, it continues the deleted one")
	})
	t.Run("missing revisions and what they may have grown from", func(t *testing.T) {
		r := open(t)
		push(t, r, Doc("x", "2-b", []string{"a"}, ``))
		diff, err := r.RevsDiff(map[string][]revtree.Rev{"x": {Rev("3-c"), Rev("2-b"), Rev("1-a")}, "y": {Rev("1-z")}, "z": {}})
		require.NoError(t, err)
		assert.Equal(t, map[string]store.Diff{
			"x": {Missing: []revtree.Rev{Rev("3-c")}, Ancestors: []revtree.Rev{Rev("2-b")}},
			"y": {Missing: []revtree.Rev{Rev("1-z")}},
		}, diff)
	})
	t.Run("a document refused does not stop the others", func(t *testing.T) {
		r := open(t)
		res := push(t, r, Doc("_bad", "1-a", nil, ``), Doc("good", "1-a", nil, ``), store.Doc{ID: "stub", Rev: Rev("1-a"), Hashes: []string{"a"}, Atts: []store.Att{{Name: "p", Stub: true}}})
		assert.Equal(t, store.Bad, store.KindOf(res[0].Err))
		assert.NoError(t, res[1].Err)
		assert.Equal(t, store.MissingStub, store.KindOf(res[2].Err))
		assert.Equal(t, []string{"1-a"}, leaves(t, r, "good"))
		assert.Empty(t, leaves(t, r, "stub"))
	})
	t.Run("numbers and texts are kept as sent", func(t *testing.T) {
		r := open(t)
		body := `"n":1.10,"big":123456789012345678901234567890,"e":1e-7,"t":"\u00d8 \ud83d\ude00 Ø","z":-0.0`
		push(t, r, Doc("x", "1-a", nil, body))
		d, err := r.Get("x", revtree.Rev{})
		require.NoError(t, err)
		assert.Equal(t, body, string(d.Body))
	})
}
