package store_test

import (
	"fmt"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/storetest"
)

// A checkpoint is answered without a commit of its own, is read back at once, refuses what does not follow on it, goes to
// disk with the next push or by itself within moments, and is there after the store was closed.
func TestCheckpointsWaitForACommit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	b := storetest.MustBook(t, s, "jobs")
	commits := s.Stats().Commits
	for n := range uint64(50) {
		got, err := b.PutLocal(store.Local{ID: "phone", N: n, Body: fmt.Appendf(nil, `"last_seq":%d`, n)})
		require.NoError(t, err)
		require.Equal(t, n+1, got)
		l, err := b.Local("phone")
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf(`"last_seq":%d`, n), string(l.Body))
		_, err = b.PutLocal(store.Local{ID: "phone", N: n})
		require.Equal(t, store.Conflict, store.KindOf(err))
	}
	assert.LessOrEqual(t, s.Stats().Commits-commits, uint64(3), "commits for 50 checkpoints; one a second is due")
	_, err = b.Push([]store.Doc{storetest.Doc("x", "1-a", nil, ``)})
	require.NoError(t, err)
	require.NoError(t, b.DeleteLocal("phone", 50))
	assert.Equal(t, store.NotFound, store.KindOf(b.DeleteLocal("phone", 50)))
	_, err = b.Local("phone")
	assert.Equal(t, store.NotFound, store.KindOf(err))
	for _, id := range []string{"a", "b", "c"} {
		_, err = b.PutLocal(store.Local{ID: id, Body: []byte(`"last_seq":1`)})
		require.NoError(t, err)
	}
	require.NoError(t, b.DeleteLocal("b", 1))
	require.NoError(t, s.Close())
	_, err = b.PutLocal(store.Local{ID: "d"})
	assert.Equal(t, store.Closed, store.KindOf(err))

	s, err = store.Open(store.Options{Path: path})
	require.NoError(t, err)
	defer s.Close()
	b, err = s.Book("jobs")
	require.NoError(t, err)
	for id, kind := range map[string]store.Kind{"a": "", "b": store.NotFound, "c": "", "d": store.NotFound, "phone": store.NotFound} {
		_, err := b.Local(id)
		assert.Equal(t, kind, store.KindOf(err), id)
	}
	commits = s.Stats().Commits
	_, err = b.PutLocal(store.Local{ID: "alone"})
	require.NoError(t, err)
	require.Eventually(t, func() bool { return s.Stats().Commits > commits }, 20*time.Second, 10*time.Millisecond, "it is written without a push")
	require.NoError(t, s.FlushLocals())
	assert.Equal(t, commits+1, s.Stats().Commits, "nothing waits any more")
	storetest.MustVerify(t, s)
}

// A book that is removed takes its waiting checkpoints along: one made anew under its name must not believe that phones have
// sent what it lacks.
func TestCheckpointsGoWithTheirBook(t *testing.T) {
	s := storetest.MustOpen(t)
	for range 20 {
		b := storetest.MustBook(t, s, "jobs")
		_, err := b.PutLocal(store.Local{ID: "phone", Body: []byte(`"last_seq":7`)})
		require.NoError(t, err)
		var both sync.WaitGroup
		both.Go(func() { assert.NoError(t, s.DeleteBook("jobs")) })
		both.Go(func() {
			_, err := s.CreateBook("jobs")
			assert.Contains(t, []store.Kind{"", store.Exists}, store.KindOf(err))
		})
		both.Wait()
		_, err = b.PutLocal(store.Local{ID: "phone", N: 1})
		assert.Equal(t, store.NotFound, store.KindOf(err))
		if _, err := s.CreateBook("jobs"); err != nil {
			require.Equal(t, store.Exists, store.KindOf(err))
		}
		b, err = s.Book("jobs")
		require.NoError(t, err)
		_, err = b.Local("phone")
		assert.Equal(t, store.NotFound, store.KindOf(err))
		require.NoError(t, s.DeleteBook("jobs"))
	}
}

// Of many who write one checkpoint at once each number is given to one.
func TestCheckpointsOneAtATime(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	var all sync.WaitGroup
	for w := range 8 {
		all.Go(func() {
			for done := 0; done < 50; {
				l, err := b.Local("shared")
				if store.KindOf(err) != store.NotFound && !assert.NoError(t, err) {
					return
				}
				if _, err = b.PutLocal(store.Local{ID: "shared", N: l.N, Body: []byte(`"x":1`)}); err == nil {
					done++
				} else if !assert.Equal(t, store.Conflict, store.KindOf(err)) {
					return
				}
				if done%16 == w {
					_, err := b.Push([]store.Doc{storetest.Doc(fmt.Sprint(w, done), "1-a", nil, ``)})
					assert.NoError(t, err)
				}
			}
		})
	}
	all.Wait()
	l, err := b.Local("shared")
	require.NoError(t, err)
	assert.EqualValues(t, 400, l.N)
}
