package store

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/store/revtree"
)

func openTest(t testing.TB, change ...func(*Options)) *Store {
	t.Helper()
	opt := Options{Path: filepath.Join(t.TempDir(), "office.db")}
	for _, c := range change {
		c(&opt)
	}
	s, err := Open(opt)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	return s
}

func sound(t testing.TB, s *Store) {
	t.Helper()
	r, err := s.Verify(t.Context())
	require.NoError(t, err)
	require.Empty(t, r.Problems)
}

// While others write whatever a store takes, the file is compacted again and again. Each time the
// copy that takes its place is equal to it at that moment: every bucket, sequence, key and value.
func TestCompactionWhileOthersWrite(t *testing.T) {
	s := openTest(t)
	b, err := s.CreateBook("jobs")
	require.NoError(t, err)
	var rounds int
	s.onSwap = func(copied *bolt.DB) error {
		rounds++
		now, err := s.begin()
		if err != nil {
			return err
		}
		defer func() { _ = now.Rollback() }()
		want := dump(now)
		return copied.View(func(tx *bolt.Tx) error {
			if got := dump(tx); !slices.Equal(want, got) {
				return fmt.Errorf("compaction %d: %d entries, and %d in the copy", rounds, len(want), len(got))
			}
			return nil
		})
	}
	var stop atomic.Bool
	var done sync.WaitGroup
	var pushed [4]int
	for w := range 4 {
		done.Go(func() {
			rev := map[string]revtree.Rev{}
			var local uint64
			for n := 0; !stop.Load(); n++ {
				d := Doc{ID: fmt.Sprintf("%d-%d", w, n%97*n%31),
					Body: fmt.Appendf(nil, `"n":%d,"text":"words to fill a page %d"`, n, n*n)}
				d.Rev = rev[d.ID]
				switch {
				case n%6 == 1:
					u := s.NewUpload(1)
					_, err := u.Write(make([]byte, 1000+n%3*300_000))
					assert.NoError(t, err)
					blob, err := u.Finish()
					assert.NoError(t, err)
					d.Atts = []Att{{Name: "photo", Blob: blob}}
				case n%13 == 12 && !d.Rev.IsZero():
					d.Deleted, d.Body = true, nil
				}
				res, err := b.Edit([]Doc{d})
				if !assert.NoError(t, err) || !assert.NoError(t, res[0].Err) {
					return
				}
				rev[d.ID] = res[0].Rev
				if local, err = b.PutLocal(Local{ID: fmt.Sprint("phone", w), N: local}); !assert.NoError(t, err) {
					return
				}
				if n%40 == 20 {
					name := fmt.Sprintf("book%d", w)
					if _, err := s.CreateBook(name); !assert.NoError(t, err) {
						return
					}
					if n%80 == 60 && !assert.NoError(t, s.DeleteBook(name)) {
						return
					}
					if n%80 == 20 && !assert.NoError(t, s.DeleteBook(name)) {
						return
					}
				}
				pushed[w] = n
			}
		})
	}
	for n := range 12 {
		err := s.Compact()
		if KindOf(err) == Busy { // a slow machine: the copy could not catch up, and nothing has changed
			continue
		}
		require.NoError(t, err, "compaction %d", n)
	}
	stop.Store(true)
	done.Wait()
	require.NoError(t, s.Compact())
	assert.Positive(t, rounds)
	t.Log(rounds, "compactions,", pushed, "writes")
	sound(t, s)
	require.NoFileExists(t, s.Path()+compactingSuffix)
}

// A reader that is under way keeps neither the compaction nor other readers and writers waiting, and
// goes on seeing its own instant.
func TestCompactionDoesNotWaitForReaders(t *testing.T) {
	s := openTest(t)
	b, err := s.CreateBook("jobs")
	require.NoError(t, err)
	push := func(id string) {
		_, err := b.Push([]Doc{{ID: id, Rev: revtree.Rev{Pos: 1, Hash: "a"}, Body: []byte(`"n":1`)}})
		require.NoError(t, err)
	}
	push("before")
	require.NoError(t, b.View(func(view *View) error {
		require.NoError(t, s.Compact())
		push("after")
		_, err := b.Get("after", revtree.Rev{})
		require.NoError(t, err)
		_, err = view.Find("after")
		assert.Equal(t, NotFound, KindOf(err))
		_, err = view.Find("before")
		return err
	}))
	sound(t, s)
}

// Old bodies are dropped in steps, so that no write waits long, by the upkeep itself.
func TestOldBodiesGoInSteps(t *testing.T) {
	s := openTest(t)
	b, err := s.CreateBook("jobs")
	require.NoError(t, err)
	const revs = oldDrop + oldDrop/2 + 7 // of each document
	rev := map[string]revtree.Rev{}
	for n := range revs {
		var docs []Doc
		for _, id := range []string{"a", "b"} {
			docs = append(docs, Doc{ID: id, Rev: rev[id], Body: fmt.Appendf(nil, `"n":%d`, n)})
		}
		require.NoError(t, editAll(b, docs, rev))
	}
	_, err = b.Edit([]Doc{{ID: "never changed", Body: []byte(`"n":1`)}})
	require.NoError(t, err)
	assert.EqualValues(t, 2*revs-2, s.oldBodies.Load())
	before := s.Stats().Commits
	require.NoError(t, s.Tend(t.Context()))
	assert.GreaterOrEqual(t, s.Stats().Commits-before, uint64(2*revs/oldDrop))
	require.NoError(t, b.View(func(view *View) error {
		assert.Equal(t, 3, view.body.Stats().KeyN)
		return nil
	}))
	assert.Zero(t, s.oldBodies.Load())
	sound(t, s)
	// It does not look again before there is enough.
	require.NoError(t, editAll(b, []Doc{{ID: "a", Rev: rev["a"], Body: []byte(`"n":0`)}}, rev))
	before = s.Stats().Commits
	require.NoError(t, s.Tend(t.Context()))
	assert.Equal(t, before, s.Stats().Commits)
}

func editAll(b *Book, docs []Doc, rev map[string]revtree.Rev) error {
	res, err := b.Edit(docs)
	for _, r := range res {
		err = errors.Join(err, r.Err)
		rev[r.ID] = r.Rev
	}
	return err
}

// A file that is mostly free pages is compacted by the upkeep, if the disk has room for the copy.
func TestCompactsItself(t *testing.T) {
	free := uint64(1000)
	s := openTest(t, func(o *Options) { o.Free = func(string) (uint64, error) { return free, nil } })
	b, err := s.CreateBook("jobs")
	require.NoError(t, err)
	rev := map[string]revtree.Rev{}
	photo := make([]byte, 3<<20)
	for i := range 30 {
		photo[0] = byte(i)
		u := s.NewUpload(1)
		_, err := u.Write(photo)
		require.NoError(t, err)
		blob, err := u.Finish()
		require.NoError(t, err)
		require.NoError(t, editAll(b, []Doc{{ID: fmt.Sprint(i), Atts: []Att{{Name: "photo", Blob: blob}}}}, rev))
	}
	large, err := s.Size()
	require.NoError(t, err)
	used, err := s.used()
	require.NoError(t, err)
	assert.InEpsilon(t, 90<<20, used, 0.1)
	require.NoError(t, s.Tend(t.Context()))
	size, err := s.Size()
	require.NoError(t, err)
	assert.Equal(t, large, size, "nothing to gain")
	for id, r := range rev {
		require.NoError(t, editAll(b, []Doc{{ID: id, Rev: r, Deleted: true}}, rev))
	}
	s.oldBodies.Store(oldBodiesMany)
	require.NoError(t, s.Tend(t.Context()))
	size, err = s.Size()
	require.NoError(t, err)
	assert.GreaterOrEqual(t, size, large, "no room for the copy")
	free = 1 << 40
	require.NoError(t, s.Tend(t.Context()))
	size, err = s.Size()
	require.NoError(t, err)
	assert.Less(t, size, int64(8<<20))
	sound(t, s)
}

// Closing the store ends a compaction that is under way; nothing is left of it.
func TestClosingEndsACompaction(t *testing.T) {
	s := openTest(t)
	b, err := s.CreateBook("jobs")
	require.NoError(t, err)
	for i := range 40 {
		blob := s.NewBlob(append(make([]byte, 1<<20), byte(i)))
		doc := Doc{ID: fmt.Sprint(i), Atts: []Att{{Name: "photo", Blob: blob}}}
		require.NoError(t, editAll(b, []Doc{doc}, map[string]revtree.Rev{}))
	}
	done := make(chan error)
	go func() { done <- s.Compact() }()
	for !s.compacting.Load() {
		_, err := os.Stat(s.Path() + compactingSuffix)
		if err == nil {
			break
		}
	}
	require.NoError(t, s.Close())
	if err := <-done; err != nil {
		assert.Equal(t, Closed, KindOf(err), "%v", err)
	}
	assert.NoFileExists(t, s.Path()+compactingSuffix)
	r, err := VerifyFile(t.Context(), s.Path())
	require.NoError(t, err)
	assert.Empty(t, r.Problems)
}

// What killed processes left is removed at the next start, also in a folder whose name looks like a
// pattern and beside a file that was renamed since; what is being written is not.
func TestLeftoversUnderOtherNames(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "shop [old]*")
	path := filepath.Join(dir, "office.db")
	s, err := Open(Options{Path: path})
	require.NoError(t, err)
	require.NoError(t, s.Close())
	age := func(name string, age time.Duration) string {
		name = filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(name, []byte("half"), 0o600))
		at := time.Now().Add(-age)
		require.NoError(t, os.Chtimes(name, at, at))
		return name
	}
	gone := []string{age("office.db.compacting", 0), age("before.db.compacting", time.Hour),
		age("office.db.restoring", time.Hour),
		age(".datumbook-1.new", time.Hour)}
	stay := []string{age("other.db.compacting", 0), age("notes.compacting.txt", time.Hour), age(".datumbook-2.new", 0)}
	s, err = Open(Options{Path: path})
	require.NoError(t, err)
	require.NoError(t, s.Close())
	for _, name := range gone {
		assert.NoFileExists(t, name)
	}
	for _, name := range stay {
		assert.FileExists(t, name)
	}
}
