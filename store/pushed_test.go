package store_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

func pushedBy(b *store.Book, id string, rev revtree.Rev) (p store.Pushed, ok bool, err error) {
	err = b.View(func(view *store.View) error {
		f, err := view.Find(id)
		if err != nil {
			return err
		}
		i, found := f.Tree.Find(rev)
		if !found {
			return fmt.Errorf("no revision %s", rev)
		}
		p, ok, err = view.Pushed(f, i)
		return err
	})
	return p, ok, err
}

// openedAt opens a new store whose clock stands still, with a book and a device.
func openedAt(t *testing.T, opt store.Options) (*store.Store, *store.Book) {
	t.Helper()
	opt.Path = filepath.Join(t.TempDir(), "office.db")
	opt.Now = func() time.Time { return midday }
	s, err := store.Open(opt)
	require.NoError(t, err)
	t.Cleanup(func() {
		storetest.MustVerify(t, s)
		require.NoError(t, s.Close())
	})
	_, err = s.AddDevice(store.Device{ID: "d1", Name: "Mill phone", Role: store.Operator}, [32]byte{1})
	require.NoError(t, err)
	return s, storetest.MustBook(t, s, "jobs")
}

var midday = time.Date(2030, 3, 4, 12, 0, 0, 0, time.UTC)

func TestRevisionsSayWhoSentThem(t *testing.T) {
	s, b := openedAt(t, store.Options{})
	doc := func(id, rev string, ancestors ...string) store.Doc { return storetest.Doc(id, rev, ancestors, `"n":1`) }
	push := func(by string, docs ...store.Doc) {
		t.Helper()
		rows, err := b.PushBy(by, docs)
		require.NoError(t, err)
		for _, row := range rows {
			require.NoError(t, row.Err)
		}
	}
	push("d1", doc("a", "1-a"), doc("b", "1-a"))
	push("office", doc("a", "2-b", "a"))
	push("", doc("a", "3-c", "b", "a"))
	push("d2", doc("a", "1-a")) // known: whoever sends it again did not write it
	edited, err := b.EditBy("d3", []store.Doc{{ID: "b", Rev: storetest.Rev("1-a"), Body: []byte(`"n":2`)}})
	require.NoError(t, err)
	require.NoError(t, edited[0].Err)

	said := func(id string, rev revtree.Rev) string {
		t.Helper()
		p, ok, err := pushedBy(b, id, rev)
		require.NoError(t, err)
		if !ok {
			return "nobody"
		}
		assert.Equal(t, midday, p.At)
		return p.By
	}
	assert.Equal(t, "d1", said("a", storetest.Rev("1-a")))
	assert.Equal(t, "office", said("a", storetest.Rev("2-b")))
	assert.Equal(t, "nobody", said("a", storetest.Rev("3-c")))
	assert.Equal(t, "d3", said("b", edited[0].Rev))

	storetest.MustVerify(t, s)
	require.NoError(t, s.Compact())
	assert.Equal(t, "nobody", said("a", storetest.Rev("1-a")), "gone with the body")
	assert.Equal(t, "d3", said("b", edited[0].Rev))
}

// A damaged note is found, and one that is left without its body.
func TestVerifyChecksWhoSent(t *testing.T) {
	for _, c := range []struct {
		name, want string
		spoil      func(by *bolt.Bucket) error
	}{
		{"a flipped bit", "is damaged", func(by *bolt.Bucket) error {
			k, v := by.Cursor().First()
			v = append([]byte{}, v...)
			v[len(v)-5] ^= 1
			return by.Put(k, v)
		}},
		{"without a body", "belongs to no body", func(by *bolt.Bucket) error {
			key := []byte{0, 0, 0, 0, 0, 0, 0, 99}
			return by.Put(key, store.SealForTest(key, []byte("\x01d1")))
		}},
		{"without a name", "is damaged", func(by *bolt.Bucket) error {
			k, _ := by.Cursor().First()
			return by.Put(k, store.SealForTest(k, []byte("\x01")))
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "office.db")
			s, err := store.Open(store.Options{Path: path})
			require.NoError(t, err)
			_, err = storetest.MustBook(t, s, "jobs").PushBy("d1", []store.Doc{storetest.Doc("a", "1-a", nil, `"n":1`)})
			require.NoError(t, err)
			require.NoError(t, s.Close())
			db, err := bolt.Open(path, 0o600, nil)
			require.NoError(t, err)
			require.NoError(t, db.Update(func(tx *bolt.Tx) error {
				return c.spoil(tx.Bucket([]byte("books")).Bucket([]byte("jobs")).Bucket([]byte("by")))
			}))
			require.NoError(t, db.Close())
			report, err := store.VerifyFile(t.Context(), path)
			require.NoError(t, err)
			require.Len(t, report.Problems, 1)
			assert.Contains(t, report.Problems[0], c.want)
		})
	}
}

// A store of an earlier format takes names from its first opening on.
func TestOlderStoreLearnsWhoSends(t *testing.T) {
	data, err := os.ReadFile("testdata/format-002.db")
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "old.db")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	b, err := s.Book("jobs")
	require.NoError(t, err)
	d, err := b.Get("doc-1", revtree.Rev{})
	require.NoError(t, err)
	_, ok, err := pushedBy(b, "doc-1", d.Rev)
	require.NoError(t, err)
	assert.False(t, ok)
	rows, err := b.EditBy("d1", []store.Doc{{ID: "doc-1", Rev: d.Rev, Body: []byte(`"n":2`)}})
	require.NoError(t, err)
	p, ok, err := pushedBy(b, "doc-1", rows[0].Rev)
	require.NoError(t, err)
	assert.True(t, ok)
	assert.Equal(t, "d1", p.By)
	storetest.MustVerify(t, s)
	require.NoError(t, s.Close())
}

// lines compares as the rules of records do, on bodies that list words.
func lines(_, id, _, by string, before, after []byte) store.Compared {
	c := store.Compared{Detail: id + " by " + by}
	if after == nil {
		c.What = "removed"
		return c
	}
	for _, word := range strings.Fields(string(before)) {
		if strings.HasPrefix(word, "w") && !strings.Contains(string(after), word) {
			c.Flags = append(c.Flags, word+" was taken out by "+by)
		}
	}
	return c
}

func words(id, rev string, ancestors []string, text string) store.Doc {
	return storetest.Doc(id, rev, ancestors, `"text":" `+text+` "`)
}

// What was rewritten stays on the list, through later revisions, until the owner has looked, and in
// the trail for good.
func TestRewrittenRecordIsFlaggedUntilLookedAt(t *testing.T) {
	s, b := openedAt(t, store.Options{Compare: lines})
	push := func(docs ...store.Doc) {
		t.Helper()
		rows, err := b.PushBy("d1", docs)
		require.NoError(t, err)
		for _, row := range rows {
			require.NoError(t, row.Err)
		}
	}
	flags := func() string {
		t.Helper()
		all, err := s.Flags()
		require.NoError(t, err)
		var out []string
		for _, f := range all {
			assert.Equal(t, "Mill phone", f.By)
			out = append(out, f.ID+"@"+f.Rev+" "+strings.Join(f.Reasons, ", "))
		}
		return strings.Join(out, "; ")
	}
	push(words("a", "1-a", nil, "w1 w2"))
	push(words("a", "2-b", []string{"a"}, "w1 w2 w3"))
	assert.Empty(t, flags())
	push(words("a", "3-c", []string{"b", "a"}, "w1"))
	const taken = "w2 was taken out by Mill phone, w3 was taken out by Mill phone"
	assert.Equal(t, "a@3-c "+taken, flags())
	push(words("a", "3-c", []string{"b", "a"}, "w1"))
	push(words("a", "4-d", []string{"c", "b", "a"}, "w1 w2 w3"))
	assert.Equal(t, "a@4-d "+taken, flags(), "carried on")

	// the intermediate revision was never sent: compared with the one before
	push(words("a", "6-f", []string{"e", "d", "c"}, "w1 w3"))
	assert.Equal(t, "a@6-f w2 was taken out by Mill phone, w3 was taken out by Mill phone", flags(), "the same once")
	require.NoError(t, s.DropFlag("jobs", "a", "6-f"))
	push(words("a", "7-9", []string{"f"}, "w1 w3"))
	assert.Empty(t, flags())

	// several of one document in one request
	push(words("b", "1-a", nil, "w1"), words("b", "2-b", []string{"a"}, "w1 w2"),
		words("b", "3-c", []string{"b", "a"}, "w2"))
	assert.Equal(t, "b@3-c w1 was taken out by Mill phone", flags())
	gone := words("b", "4-d", []string{"c"}, "")
	gone.Deleted = true
	push(gone)
	assert.Empty(t, flags(), "a removed record is in the trail")

	trail, err := s.AuditTrail(0)
	require.NoError(t, err)
	var said []string
	for _, e := range trail {
		assert.Equal(t, "d1", e.Device)
		assert.Equal(t, "Mill phone", e.Who)
		said = append(said, e.What+" "+e.Record)
	}
	assert.Equal(t, []string{"removed b", "rewritten b", "rewritten a", "rewritten a", "rewritten a"}, said)
}

// Two branches are merged as phones do it: the union over the winner, the other leaf removed. That
// rewrites and removes nothing.
func TestHonestMergeIsNotTold(t *testing.T) {
	s, b := openedAt(t, store.Options{Compare: lines})
	loser := words("a", "3-d", []string{"b"}, "")
	loser.Deleted = true
	for _, d := range []store.Doc{
		words("a", "1-a", nil, "w1"), words("a", "2-b", []string{"a"}, "w1 w2"), words("a", "2-c", []string{"a"}, "w1 w3"),
		words("a", "3-e", []string{"c", "a"}, "w1 w2 w3"), loser,
	} {
		_, err := b.PushBy("d1", []store.Doc{d})
		require.NoError(t, err)
	}
	flags, err := s.Flags()
	require.NoError(t, err)
	assert.Empty(t, flags)
	trail, err := s.AuditTrail(0)
	require.NoError(t, err)
	assert.Empty(t, trail)
}

// A flag on a branch that loses goes on to the record as it is after the merge.
func TestFlagOfALosingBranchStays(t *testing.T) {
	s, b := openedAt(t, store.Options{Compare: lines})
	loser := words("a", "3-d", []string{"b"}, "")
	loser.Deleted = true
	for _, d := range []store.Doc{
		words("a", "1-a", nil, "w1 w2"), words("a", "2-b", []string{"a"}, "w1"), words("a", "2-c", []string{"a"}, "w1 w2 w3"),
		words("a", "3-e", []string{"c", "a"}, "w1 w2 w3"), loser,
	} {
		_, err := b.PushBy("d1", []store.Doc{d})
		require.NoError(t, err)
	}
	flags, err := s.Flags()
	require.NoError(t, err)
	require.Len(t, flags, 1)
	assert.Equal(t, "3-e", flags[0].Rev)
	assert.Equal(t, []string{"w2 was taken out by Mill phone"}, flags[0].Reasons)
}

// The trail keeps the newest of each sort: many of one do not push out another.
func TestTrailIsBounded(t *testing.T) {
	s, b := openedAt(t, store.Options{Compare: lines})
	require.NoError(t, s.Audit(store.Event{At: midday, What: "restore", Who: "office"}))
	for range 20 {
		var docs []store.Doc
		for i := range 150 {
			docs = append(docs, words(fmt.Sprint("d", i), "1-a", nil, "w1"))
		}
		for i := range docs {
			gone := docs[i]
			gone.Rev, gone.Hashes, gone.Deleted = storetest.Rev("2-b"), []string{"b", "a"}, true
			docs = append(docs, gone)
		}
		_, err := b.PushBy("d1", docs)
		require.NoError(t, err)
	}
	var guesses sync.WaitGroup
	for range 100 {
		guesses.Go(func() {
			for i := range 25 {
				assert.NoError(t, s.Audit(store.Event{At: midday, What: "wrong code", Who: fmt.Sprint(i)}))
			}
		})
	}
	guesses.Wait()
	require.NoError(t, s.Audit(store.Event{At: midday, What: "deleted", Detail: strings.Repeat("é", 4_000)}))
	trail, err := s.AuditTrail(0)
	require.NoError(t, err)
	count := map[string]int{}
	for _, e := range trail {
		count[e.What]++
	}
	assert.Equal(t, 1, count["restore"])
	assert.Equal(t, 150, count["removed"])
	assert.GreaterOrEqual(t, count["wrong code"], 1_000)
	assert.Less(t, count["wrong code"], 2_100)
	assert.Less(t, len(trail[0].Detail), 1_100)

	var some []uint64
	require.NoError(t, s.EachEvent(trail[3].Number, func(e store.Event) bool {
		some = append(some, e.Number)
		return len(some) < 2
	}))
	assert.Equal(t, []uint64{trail[4].Number, trail[5].Number}, some)
}
