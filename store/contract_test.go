package store_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

func TestContract(t *testing.T) {
	storetest.Run(t, func(t *testing.T) storetest.Replica {
		return storetest.Book{Book: storetest.MustBook(t, storetest.MustOpen(t), "jobs")}
	})
}

func TestContractOfTheModel(t *testing.T) {
	storetest.Run(t, func(t *testing.T) storetest.Replica { return storetest.NewModel() })
}

// TestRandomLife runs the same random operations on store and model and compares all results after
// each step.
func TestRandomLife(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s, err := store.Open(store.Options{Path: t.TempDir() + "/twin.db"})
		require.NoError(t, err)
		defer s.Close()
		b, err := s.CreateBook("jobs")
		require.NoError(t, err)
		book, model := storetest.Book{Book: b}, storetest.NewModel()
		ids := []string{"a", "b", "a/b", "ä"}
		n := 0
		known := map[string][]revtree.Rev{}
		for range rapid.IntRange(1, 25).Draw(rt, "steps") {
			switch rapid.IntRange(0, 9).Draw(rt, "step") {
			case 0: // close and open again
				require.NoError(t, s.Close())
				s, err = store.Open(store.Options{Path: s.Path()})
				require.NoError(t, err)
				b, err = s.Book("jobs")
				require.NoError(t, err)
				book.Book = b
			case 1, 2, 3:
				d := store.Doc{ID: rapid.SampledFrom(ids).Draw(rt, "id"), Deleted: rapid.Float64().Draw(rt, "gone") < 0.3}
				if revs := known[d.ID]; len(revs) > 0 && rapid.Float64().Draw(rt, "with") < 0.8 {
					d.Rev = rapid.SampledFrom(revs).Draw(rt, "rev")
				}
				n++
				d.Body = fmt.Appendf(nil, `"n":%d`, n)
				got, err := book.Edit([]store.Doc{d})
				require.NoError(t, err)
				want, _ := model.Edit([]store.Doc{d})
				sameResults(rt, want, got)
				if got[0].Err == nil {
					known[d.ID] = append(known[d.ID], got[0].Rev)
				}
			default:
				var docs []store.Doc
				for range rapid.IntRange(1, 5).Draw(rt, "batch") {
					id := rapid.SampledFrom(ids).Draw(rt, "id")
					pos := rapid.Uint64Range(1, 6).Draw(rt, "pos")
					d := store.Doc{ID: id, Deleted: rapid.Float64().Draw(rt, "gone") < 0.2}
					for range rapid.IntRange(1, int(pos)).Draw(rt, "length") {
						d.Hashes = append(d.Hashes, rapid.SampledFrom([]string{"p", "q", "r"}).Draw(rt, "hash"))
					}
					d.Rev = revtree.Rev{Pos: pos, Hash: d.Hashes[0]}
					d.Body = fmt.Appendf(nil, `"h":"%s"`, d.Rev)
					docs = append(docs, d)
					known[id] = append(known[id], d.Rev)
				}
				got, err := book.Push(docs)
				require.NoError(t, err)
				want, _ := model.Push(docs)
				sameResults(rt, want, got)
			}
			compare(rt, model, book, known)
		}
		storetest.MustVerify(t, s)
	})
}

func sameResults(t require.TestingT, want, got []store.Result) {
	require.Len(t, got, len(want))
	for i := range want {
		require.Equal(t, store.KindOf(want[i].Err), store.KindOf(got[i].Err))
		require.Equal(t, want[i].Rev, got[i].Rev)
		require.Equal(t, want[i].Written, got[i].Written)
	}
}

func compare(t require.TestingT, model, got storetest.Replica, known map[string][]revtree.Rev) {
	_, wantLast, _ := model.Rows(0)
	for _, since := range []uint64{0, wantLast / 2, wantLast, wantLast + 1} {
		want, _, _ := model.Rows(since)
		rows, last, err := got.Rows(since)
		require.NoError(t, err)
		require.Equal(t, wantLast, last)
		require.Equal(t, want, rows)
		if b, ok := got.(storetest.Book); ok && since <= wantLast {
			require.NoError(t, b.View(func(view *store.View) error {
				n, err := view.Pending(since)
				require.EqualValues(t, len(want), n, "pending after %d", since)
				return err
			}))
		}
	}
	live, deleted, _ := model.Counts()
	gotLive, gotDeleted, err := got.Counts()
	require.NoError(t, err)
	require.Equal(t, []uint64{live, deleted}, []uint64{gotLive, gotDeleted})
	asked := map[string][]revtree.Rev{}
	for _, id := range slices.Sorted(maps.Keys(known)) {
		asked[id] = append([]revtree.Rev{{Pos: 7, Hash: "none"}}, known[id]...)
		for _, rev := range append([]revtree.Rev{{}}, known[id]...) {
			want, wantErr := model.Get(id, rev)
			d, err := got.Get(id, rev)
			require.Equal(t, store.KindOf(wantErr), store.KindOf(err), "%s %s", id, rev)
			if err == nil {
				require.Equal(t, string(want.Body), string(d.Body), "%s %s", id, rev)
				require.Equal(t, want.Deleted, d.Deleted)
				require.Equal(t, want.Rev, d.Rev)
			}
		}
	}
	want, _ := model.RevsDiff(asked)
	diff, err := got.RevsDiff(asked)
	require.NoError(t, err)
	require.Equal(t, want, diff)
}
