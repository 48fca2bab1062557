package store_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/storetest"
)

const day = 24 * time.Hour

func snapshotStore(t testing.TB) (*store.Store, store.SnapshotPlan) {
	s := storetest.MustOpen(t)
	storetest.MustBook(t, s, "jobs")
	return s, store.SnapshotPlan{Dir: filepath.Join(t.TempDir(), "snapshots"), Every: day, Keep: 3}
}

// stamps gives the times of the snapshots, newest first.
func stamps(t testing.TB, dir string) []time.Time {
	list, err := store.Snapshots(dir)
	require.NoError(t, err)
	out := make([]time.Time, len(list))
	for i, f := range list {
		out[i] = f.Time
	}
	return out
}

func TestSnapshotsAreKeptAndThinned(t *testing.T) {
	s, plan := snapshotStore(t)
	for i := range 6 {
		now := noon.Add(time.Duration(i) * day)
		path, err := s.Snapshot(t.Context(), plan, now)
		require.NoError(t, err)
		assert.FileExists(t, path)
		again, err := s.Snapshot(t.Context(), plan, now.Add(time.Hour))
		require.NoError(t, err)
		assert.Empty(t, again, "none is due within a day")
	}
	foreign := filepath.Join(plan.Dir, "snapshot-mine.db")
	require.NoError(t, os.WriteFile(foreign, nil, 0o600))
	assert.Equal(t, []time.Time{noon.Add(5 * day), noon.Add(4 * day), noon.Add(3 * day)}, stamps(t, plan.Dir))
	assert.FileExists(t, foreign)
	none, err := store.Snapshots(filepath.Join(plan.Dir, "none"))
	require.NoError(t, err)
	assert.Empty(t, none)
	_, err = s.Snapshot(t.Context(), store.SnapshotPlan{Dir: plan.Dir, Every: day}, noon)
	assert.Equal(t, store.Bad, store.KindOf(err))
}

// A clock that once was years ahead stamped a snapshot: it must not stop the daily ones until then,
// nor push sound ones out.
func TestStampsFromTheFutureAreIgnored(t *testing.T) {
	s, plan := snapshotStore(t)
	for _, now := range []time.Time{noon, noon.Add(day), noon.Add(900 * day)} {
		_, err := s.Snapshot(t.Context(), plan, now)
		require.NoError(t, err)
	}
	for i := 2; i < 6; i++ {
		path, err := s.Snapshot(t.Context(), plan, noon.Add(time.Duration(i)*day))
		require.NoError(t, err)
		assert.NotEmpty(t, path, "day %d", i)
	}
	assert.Equal(t, []time.Time{noon.Add(900 * day), noon.Add(5 * day), noon.Add(4 * day), noon.Add(3 * day)},
		stamps(t, plan.Dir))
}

// disk is a disk of a given size that holds only the snapshots.
func disk(size uint64) func(string) (uint64, error) {
	return func(dir string) (uint64, error) {
		entries, err := os.ReadDir(dir)
		used := uint64(0)
		for _, e := range entries {
			if info, err := e.Info(); err == nil {
				used += uint64(info.Size())
			}
		}
		return size - min(size, used), err
	}
}

// Snapshots serve the store: they never eat into its reserve, and the older ones go first.
func TestSnapshotsLeaveTheStoreItsRoom(t *testing.T) {
	s, plan := snapshotStore(t)
	first, err := s.Snapshot(t.Context(), plan, noon)
	require.NoError(t, err)
	info, err := os.Stat(first)
	require.NoError(t, err)
	one := uint64(info.Size())
	plan.Keep, plan.Reserve = 10, 5*one
	plan.Free = disk(8 * one) // room for three beside the reserve
	for i := 1; i < 6; i++ {
		path, err := s.Snapshot(t.Context(), plan, noon.Add(time.Duration(i)*day))
		require.NoError(t, err)
		assert.NotEmpty(t, path)
	}
	assert.Equal(t, []time.Time{noon.Add(5 * day), noon.Add(4 * day), noon.Add(3 * day)}, stamps(t, plan.Dir))

	plan.Free = disk(6*one + one/2) // the records grew: none is due, and yet two make way
	_, err = s.Snapshot(t.Context(), plan, noon.Add(5*day+time.Hour))
	require.NoError(t, err)
	assert.Equal(t, []time.Time{noon.Add(5 * day)}, stamps(t, plan.Dir))

	_, err = s.Snapshot(t.Context(), plan, noon.Add(6*day))
	require.Equal(t, store.Full, store.KindOf(err), "%v", err)
	assert.Contains(t, store.Sentence(err), "MB are needed")
	assert.Equal(t, []time.Time{noon.Add(5 * day)}, stamps(t, plan.Dir), "the last one always stays")
}

func TestRoomIsMadeFromTheOldest(t *testing.T) {
	dir := t.TempDir()
	put := func(name string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte("x"), 0o600))
		return path
	}
	future := put("snapshot-20990101-000000.db")
	older, newest := put("snapshot-20240101-000000.db"), put("snapshot-20240301-000000.db")
	damaged := put("damaged-20240401-000000.db")
	for _, next := range []string{damaged, older, future} {
		gone, err := store.DropOldest(dir, noon)
		require.NoError(t, err)
		assert.True(t, gone)
		assert.NoFileExists(t, next)
		assert.FileExists(t, newest)
	}
	gone, err := store.DropOldest(dir, noon)
	require.NoError(t, err)
	assert.False(t, gone)
	assert.FileExists(t, newest)
}

// A copy that does not verify gets another name, is told about, and pushes no sound one out.
func TestDamagedSnapshotIsRenamed(t *testing.T) {
	s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	defer s.Close()
	plan := store.SnapshotPlan{Dir: filepath.Join(t.TempDir(), "snapshots"), Every: day, Keep: 1}
	_, err = s.Snapshot(t.Context(), plan, noon)
	require.NoError(t, err)
	b := storetest.MustBook(t, s, "more")
	_, err = b.Push([]store.Doc{storetest.Doc("a", "1-a", nil, `"n":1`)})
	require.NoError(t, err)
	require.NoError(t, s.DamageBody("more", 1))
	for i := 1; i < 3; i++ {
		_, err = s.Snapshot(t.Context(), plan, noon.Add(time.Duration(i)*day))
		require.Equal(t, store.Damaged, store.KindOf(err), "%v", err)
		assert.Contains(t, store.Sentence(err), "damaged-")
	}
	assert.Equal(t, []time.Time{noon}, stamps(t, plan.Dir), "the sound one stays")
	left, err := filepath.Glob(filepath.Join(plan.Dir, "damaged-*.db"))
	require.NoError(t, err)
	assert.Len(t, left, 1, "the damaged ones do not gather")
}

// Whatever the clock did: once it tells the truth again there is a snapshot of the last two days. (A
// stamp from the future becomes an ordinary one when its time comes, and then stands for a day.)
func TestSnapshotsUnderAnyClock(t *testing.T) {
	for seed := range uint64(4) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			jumpingClock(t, seed, 120)
		})
	}
}

// jumpingClock lets days go by under a clock that jumps.
func jumpingClock(t testing.TB, seed uint64, days int) (made, jumps int) {
	s, plan := snapshotStore(t)
	rng := rand.New(rand.NewPCG(seed, 11))
	var off time.Duration
	truth := map[string]time.Time{} // when each was really made
	sane := time.Duration(0)        // for how long the clock has told the truth
	for step := range 4 * days {
		now := noon.Add(time.Duration(step) * day / 4)
		if rng.IntN(12) == 0 {
			jumps++
			off, sane = 0, 0
			if rng.IntN(2) == 0 {
				off = time.Duration(rng.IntN(4000)-2000) * 5 * time.Hour
			}
		}
		path, err := s.Snapshot(context.Background(), plan, now.Add(off))
		require.NoError(t, err)
		if path != "" {
			made++
			truth[filepath.Base(path)] = now
		}
		if off != 0 {
			continue
		}
		if sane += day / 4; sane < day+day/4 {
			continue
		}
		var newest time.Time
		list, err := store.Snapshots(plan.Dir)
		require.NoError(t, err)
		for _, f := range list {
			if at := truth[filepath.Base(f.Path)]; at.After(newest) {
				newest = at
			}
		}
		require.LessOrEqual(t, now.Sub(newest), 2*day, "step %d", step)
	}
	entries, err := os.ReadDir(plan.Dir)
	require.NoError(t, err)
	for _, e := range entries {
		require.True(t, strings.HasPrefix(e.Name(), "snapshot-"), e.Name())
	}
	return made, jumps
}

// BenchmarkJumpingClock prints what a thousand days under a jumping clock leave.
func BenchmarkJumpingClock(b *testing.B) {
	var made, jumps int
	for b.Loop() {
		made, jumps = jumpingClock(b, 7, 1000)
	}
	b.ReportMetric(float64(jumps), "jumps")
	b.ReportMetric(float64(made), "snapshots")
}
