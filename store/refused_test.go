package store_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

// What was refused is remembered over a restart, and dropped once the same revision has arrived; a copy
// with other content of a revision that is known stays, however often the known one is sent.
func TestRefusedIsDroppedOnceItArrived(t *testing.T) {
	opt := store.Options{Path: t.TempDir() + "/o.db"}
	s, err := store.Open(opt)
	require.NoError(t, err)
	b, err := s.CreateBook("jobs")
	require.NoError(t, err)
	rev := revtree.Rev{Pos: 1, Hash: "a"}
	stub := store.Doc{ID: "a", Rev: rev, Atts: []store.Att{{Name: "p", Stub: true}}}
	rows, err := b.Push([]store.Doc{stub, {ID: "b", Rev: rev, Body: []byte(`"n":1`)}, {ID: "b", Rev: rev, Body: []byte(`"n":2`)}})
	require.NoError(t, err)
	require.Equal(t, store.MissingStub, store.KindOf(rows[0].Err))
	list, err := s.Refused()
	require.NoError(t, err)
	require.Len(t, list, 2)
	require.NoError(t, s.Close())

	s, err = store.Open(opt)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	b, err = s.Book("jobs")
	require.NoError(t, err)
	_, err = b.Push([]store.Doc{{ID: "a", Rev: rev, Atts: []store.Att{{Name: "p", Blob: s.NewBlob([]byte("x"))}}},
		{ID: "b", Rev: rev, Body: []byte(`"n":1.0`)}})
	require.NoError(t, err)
	list, err = s.Refused()
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, "b", list[0].ID)
	assert.JSONEq(t, `{"n":2}`, string(list[0].Body), "it is the only copy of this")
}

// Members are given as they are wherever every replica can read them.
func TestWellFormed(t *testing.T) {
	for _, c := range []struct{ members, want string }{
		{``, ``}, {`"a":1.50,"b":"\ud83d\ude00 \\ud83d \"1e999\""`, ``}, {`"a":1e308,"b":-1E-999`, ``},
		{`"\ud83d":"\uDE00\ud83d"`, `"\ufffd":"\ufffd\ufffd"`}, {`"a":"\ud83d\ud83d\ude00\ud83"`, `"a":"\ufffd\ud83d\ude00\ud83"`},
		{`"a":[1e999,-1E+400,{"b":2e308}],"c":1`, `"a":["1e999","-1E+400",{"b":"2e308"}],"c":1`},
		{`"a":"\ud800",
"n":1e309`, `"a":"\ufffd",
"n":"1e309"`},
	} {
		want := c.want
		if want == "" {
			want = c.members
		}
		got := string(store.WellFormed([]byte(c.members)))
		assert.Equal(t, want, got)
		assert.Equal(t, got, string(store.WellFormed([]byte(got))), "once is enough")
	}
}

// Checkpoints are listed as they are answered: those that wait for a commit too, and not those that
// are removed but not yet on disk.
func TestLocalsAreListed(t *testing.T) {
	s := storetest.MustOpen(t)
	b, other := storetest.MustBook(t, s, "jobs"), storetest.MustBook(t, s, "more")
	for _, id := range []string{"b", "a", "c"} {
		_, err := b.PutLocal(store.Local{ID: id})
		require.NoError(t, err)
	}
	ids := func() []string {
		t.Helper()
		out, err := b.Locals()
		require.NoError(t, err)
		return out
	}
	assert.Equal(t, []string{"a", "b", "c"}, ids())
	_, err := b.Edit([]store.Doc{{ID: "doc"}}) // they ride with it
	require.NoError(t, err)
	assert.Equal(t, []string{"a", "b", "c"}, ids())
	require.NoError(t, b.DeleteLocal("b", 1))
	_, err = b.PutLocal(store.Local{ID: "d"})
	require.NoError(t, err)
	assert.Equal(t, []string{"a", "c", "d"}, ids())
	out, err := other.Locals()
	require.NoError(t, err)
	assert.Empty(t, out)
}
