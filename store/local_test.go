package store_test

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

// afterCrash opens what a power cut at this moment would leave: the file as it is.
func afterCrash(t *testing.T, s *store.Store) *store.Store {
	t.Helper()
	data, err := os.ReadFile(s.Path())
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "crashed.db")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	c, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, c.Close()) })
	return c
}

// localOf gives a checkpoint's number and text, or the kind of refusal.
func localOf(t *testing.T, s *store.Store, id string) string {
	t.Helper()
	b, err := s.Book("jobs")
	require.NoError(t, err)
	l, err := b.Local(id)
	if err != nil {
		return string(store.KindOf(err))
	}
	return fmt.Sprintf("0-%d %s", l.N, l.Body)
}

// A checkpoint is answered from memory, is seen at once, and rides with the next commit. After a
// crash before that the older one is back.
func TestCheckpointsRideWithTheNextCommit(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	put := func(n uint64, body string) {
		t.Helper()
		got, err := b.PutLocal(store.Local{ID: "phone", N: n, Body: []byte(body)})
		require.NoError(t, err)
		assert.Equal(t, n+1, got)
	}
	push := func(id string) {
		t.Helper()
		_, err := b.Push([]store.Doc{storetest.Doc(id, "1-a", nil, ``)})
		require.NoError(t, err)
	}
	put(0, `"last_seq":1`)
	push("a")
	before := s.Stats().Commits
	for n := range uint64(20) {
		put(n+1, fmt.Sprintf(`"last_seq":%d`, n+2))
	}
	assert.Less(t, s.Stats().Commits, before+10, "some may be due by time, not twenty")
	assert.Equal(t, `0-21 "last_seq":21`, localOf(t, s, "phone"))
	for _, n := range []uint64{0, 20, 22} {
		_, err := b.PutLocal(store.Local{ID: "phone", N: n})
		assert.Equal(t, store.Conflict, store.KindOf(err))
		assert.Equal(t, store.NotFound, store.KindOf(b.DeleteLocal("phone", n)))
	}
	push("b")
	assert.Equal(t, `0-21 "last_seq":21`, localOf(t, afterCrash(t, s), "phone"))

	require.NoError(t, b.DeleteLocal("phone", 21))
	assert.Equal(t, "not found", localOf(t, s, "phone"))
	assert.Equal(t, store.NotFound, store.KindOf(b.DeleteLocal("phone", 21)))
	push("c")
	assert.Equal(t, "not found", localOf(t, afterCrash(t, s), "phone"))
	put(0, `"again":true`)
	assert.Equal(t, `0-1 "again":true`, localOf(t, s, "phone"))

	// The book goes, and another of its name has no checkpoint.
	require.NoError(t, s.DeleteBook("jobs"))
	_, err := b.PutLocal(store.Local{ID: "phone", N: 1})
	assert.Equal(t, store.NotFound, store.KindOf(err))
	b = storetest.MustBook(t, s, "jobs")
	assert.Equal(t, "not found", localOf(t, s, "phone"))
	put(0, `"new":true`)
	require.NoError(t, s.Close())
	_, err = b.PutLocal(store.Local{ID: "phone", N: 1})
	assert.Equal(t, store.Closed, store.KindOf(err))
	again, err := store.Open(store.Options{Path: s.Path()})
	require.NoError(t, err)
	assert.Equal(t, `0-1 "new":true`, localOf(t, again, "phone"), "closing writes it")
	require.NoError(t, again.Close())
}

// Without any other write a checkpoint is on disk after a few seconds; and when many gather they do
// not wait, so that memory is bounded.
func TestCheckpointsDoNotWaitForEver(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	before := s.Stats().Commits
	_, err := b.PutLocal(store.Local{ID: "phone", Body: []byte(`"last_seq":1`)})
	require.NoError(t, err)
	assert.Eventually(t, func() bool { return s.Stats().Commits > before }, time.Minute, 5*time.Millisecond)
	assert.Equal(t, `0-1 "last_seq":1`, localOf(t, afterCrash(t, s), "phone"))

	before = s.Stats().Commits
	body := []byte(`"x":"` + strings.Repeat("x", 100<<10) + `"`)
	for i := range 60 {
		_, err := b.PutLocal(store.Local{ID: fmt.Sprint(i), Body: body})
		require.NoError(t, err)
	}
	assert.GreaterOrEqual(t, s.Stats().Commits, before+5)
}

// Many writers of one checkpoint: each number is given once.
func TestCheckpointNumbersAreGivenOnce(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	var wg sync.WaitGroup
	var mu sync.Mutex
	given := map[uint64]int{}
	for w := range 8 {
		wg.Go(func() {
			for i := range 100 {
				l, err := b.Local("shared")
				if err != nil && store.KindOf(err) != store.NotFound {
					t.Error(err)
				}
				n, err := b.PutLocal(store.Local{ID: "shared", N: l.N})
				if err == nil {
					mu.Lock()
					given[n]++
					mu.Unlock()
				} else if store.KindOf(err) != store.Conflict {
					t.Error(err)
				}
				if i%10 == 0 {
					_, err := b.Push([]store.Doc{storetest.Doc(fmt.Sprintf("%d-%d", w, i), "1-a", nil, ``)})
					assert.NoError(t, err)
				}
			}
		})
	}
	wg.Wait()
	for n, times := range given {
		assert.Equal(t, 1, times, "0-%d", n)
	}
	l, err := b.Local("shared")
	require.NoError(t, err)
	assert.EqualValues(t, len(given), l.N)
}

const checkpointEnv = "DATUMBOOK_TEST_CHECKPOINTS"

func init() { children[checkpointEnv] = checkpointChild }

// checkpointChild pushes documents one after the other, and after each says in a checkpoint how far
// it has come, as replicators do.
func checkpointChild(path string) error {
	s, err := store.Open(store.Options{Path: path})
	if err != nil {
		return err
	}
	b, err := s.Book("jobs")
	if store.KindOf(err) == store.NotFound {
		b, err = s.CreateBook("jobs")
	}
	if err != nil {
		return err
	}
	errs := make(chan error)
	for w := range 4 {
		go func() {
			errs <- func() error {
				id := fmt.Sprint("phone-", w)
				l, err := b.Local(id)
				if err != nil && store.KindOf(err) != store.NotFound {
					return err
				}
				from := 0
				_, _ = fmt.Sscanf(string(l.Body), `"last":%d`, &from)
				for n := from + 1; ; n++ {
					if _, err := b.Push([]store.Doc{storetest.Doc(fmt.Sprintf("%d-%d", w, n), "1-a", nil, ``)}); err != nil {
						return err
					}
					if l.N, err = b.PutLocal(store.Local{ID: id, N: l.N, Body: fmt.Appendf(nil, `"last":%d`, n)}); err != nil {
						return err
					}
					if n == from+1 {
						fmt.Println("begun")
					}
				}
			}()
		}()
	}
	return <-errs
}

// Whenever the office is killed, no checkpoint speaks of a document that it does not have.
func TestCheckpointsAreNeverAhead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "kill.db")
	rng := rand.New(rand.NewPCG(*seed, 9))
	told := 0
	for range max(10, *kills/10) {
		cmd := exec.Command(os.Args[0], "-test.run=^$")
		cmd.Env = append(os.Environ(), storetest.ChildEnv+"="+path, checkpointEnv+"=1")
		cmd.Stderr = os.Stderr
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		_, err = bufio.NewReader(out).ReadString('\n')
		require.True(t, err == nil || errors.Is(err, io.EOF))
		time.AfterFunc(time.Duration(rng.Int64N(int64(30*time.Millisecond))), func() { _ = cmd.Process.Kill() })
		_, _ = io.Copy(io.Discard, out)
		_ = cmd.Wait()
		s, err := store.Open(store.Options{Path: path})
		require.NoError(t, err)
		b, err := s.Book("jobs")
		require.NoError(t, err)
		for w := range 4 {
			l, err := b.Local(fmt.Sprint("phone-", w))
			if store.KindOf(err) == store.NotFound {
				continue
			}
			require.NoError(t, err)
			last := 0
			_, err = fmt.Sscanf(string(l.Body), `"last":%d`, &last)
			require.NoError(t, err)
			for n := 1; n <= last; n++ {
				_, err := b.Get(fmt.Sprintf("%d-%d", w, n), revtree.Rev{})
				require.NoError(t, err, "the checkpoint says %d, seed %d", last, *seed)
			}
			told = max(told, last)
		}
		require.NoError(t, s.Close())
	}
	assert.Positive(t, told, "no checkpoint was ever kept: this proves nothing")
	storetest.MustVerifyFile(t, path)
}

// A change that readers can see already, but whose commit is not flushed yet, is not told: a replica
// would count it as had, and a power cut could still take it back.
func TestChangesAreToldWhenFlushed(t *testing.T) {
	s := storetest.MustOpen(t, func(o *store.Options) { o.TestOnlyFlushDelay = 20 * time.Millisecond })
	b := storetest.MustBook(t, s, "jobs")
	_, err := b.Push([]store.Doc{storetest.Doc("a", "1-a", nil, ``)})
	require.NoError(t, err)
	done := make(chan error, 1)
	go func() {
		_, err := b.Push([]store.Doc{storetest.Doc("b", "1-a", nil, ``)})
		done <- err
	}()
	seen := false
	for !seen { // until the transaction is visible, flushed or not
		_, err := b.Get("b", revtree.Rev{})
		seen = err == nil
	}
	var told uint64
	require.NoError(t, b.View(func(view *store.View) error {
		for _, q := range []store.ChangesQuery{{}, {Descending: true}, {IDs: []string{"a", "b"}}} {
			before := b.Seq() // what was flushed before this instant, at least
			page, err := view.Changes(q)
			require.NoError(t, err)
			told = page.Current
			assert.LessOrEqual(t, told, before)
			for _, row := range page.Rows {
				assert.LessOrEqual(t, row.Seq, told)
			}
		}
		in, err := view.Info()
		assert.Equal(t, told, in.Seq)
		return err
	}))
	require.NoError(t, <-done)
	assert.EqualValues(t, 2, b.Seq())
	rows, _, err := storetest.Book{Book: b}.Rows(told)
	require.NoError(t, err)
	assert.Len(t, rows, int(2-told))
}

// A checkpoint's id can be named in an address and in JSON, like a document's.
func TestCheckpointIDs(t *testing.T) {
	b := storetest.MustBook(t, storetest.MustOpen(t), "jobs")
	for _, id := range []string{"", ".", "..", "a\xff", strings.Repeat("x", store.MaxID+1)} {
		_, err := b.PutLocal(store.Local{ID: id})
		assert.Equal(t, store.Bad, store.KindOf(err), "%q", id)
	}
	for _, id := range []string{"...", "a/..", "é", strings.Repeat("x", store.MaxID)} {
		_, err := b.PutLocal(store.Local{ID: id})
		assert.NoError(t, err, "%q", id)
	}
}
