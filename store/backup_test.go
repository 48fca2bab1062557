package store_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

var noon = time.Date(2024, 5, 6, 12, 0, 0, 0, time.UTC)

// While phones push, a backup holds all that was answered before it began.
func TestBackupWhileServing(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	stop := make(chan struct{})
	var wg sync.WaitGroup
	for w := range 4 {
		wg.Go(func() {
			for i := 0; ; i++ {
				select {
				case <-stop:
					return
				default:
				}
				_, err := b.Push([]store.Doc{storetest.Doc(fmt.Sprintf("w%d-%d", w, i), "1-a", nil, `"x":1`)})
				assert.NoError(t, err)
			}
		})
	}
	for range 5 {
		before := b.Seq()
		path := filepath.Join(t.TempDir(), "b.db")
		require.NoError(t, s.Backup(path))
		storetest.MustVerifyFile(t, path)
		c, err := store.Open(store.Options{Path: path, ReadOnly: true})
		require.NoError(t, err)
		cb, err := c.Book("jobs")
		require.NoError(t, err)
		in, err := cb.Info()
		require.NoError(t, err)
		assert.GreaterOrEqual(t, in.Seq, before)
		assert.Equal(t, in.Seq, in.Docs)
		require.NoError(t, c.Close())
	}
	close(stop)
	wg.Wait()
}

func TestRestoreIsANewHistory(t *testing.T) {
	path := filepath.Join(t.TempDir(), "office.db")
	backup := filepath.Join(t.TempDir(), "backup.db")
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	b := storetest.MustBook(t, s, "jobs")
	put := func(id string) {
		_, err := b.Push([]store.Doc{storetest.Doc(id, "1-a", nil, ``)})
		require.NoError(t, err)
	}
	put("old")
	_, err = b.PutLocal(store.Local{ID: "phone", Body: []byte(`"last_seq":1`)})
	require.NoError(t, err)
	_, err = s.AddDevice(store.Device{Name: "phone", Role: store.Operator}, [32]byte{7})
	require.NoError(t, err)
	require.NoError(t, s.Backup(backup))
	put("new")
	put("newer")
	uuid, err := s.UUID()
	require.NoError(t, err)
	require.NoError(t, s.Close())

	seqs := []uint64{b.Seq()}
	uuids := map[string]bool{uuid: true}
	for range 3 { // the same backup again and again: no number is ever given out twice
		out, err := store.Restore(context.Background(), backup, path, noon, "office")
		require.NoError(t, err)
		assert.FileExists(t, out.Kept)
		storetest.MustVerifyFile(t, out.Kept)
		s, err = store.Open(store.Options{Path: path})
		require.NoError(t, err)
		b, err = s.Book("jobs")
		require.NoError(t, err)
		assert.Greater(t, b.Seq(), seqs[len(seqs)-1])
		seqs = append(seqs, b.Seq())
		uuid, err = s.UUID()
		require.NoError(t, err)
		assert.False(t, uuids[uuid])
		uuids[uuid] = true
		_, err = b.Local("phone")
		assert.Equal(t, store.NotFound, store.KindOf(err), "checkpoints are dropped")
		_, err = s.DeviceByToken([32]byte{7})
		assert.NoError(t, err, "phones stay paired")
		_, err = b.Get("new", revtree.Rev{})
		assert.Equal(t, store.NotFound, store.KindOf(err))
		_, err = b.Get("old", revtree.Rev{})
		assert.NoError(t, err)
		trail, err := s.AuditTrail(1)
		require.NoError(t, err)
		assert.Equal(t, "restore", trail[0].What)
		put("again")
		put("and again")
		assert.Equal(t, seqs[len(seqs)-1]+2, b.Seq())
		seqs = append(seqs, b.Seq())
		require.NoError(t, s.Close())
		storetest.MustVerifyFile(t, path)
	}
	_, err = store.Restore(context.Background(), path, path, noon, "office")
	assert.Equal(t, store.Bad, store.KindOf(err))
}

func TestRestoreOntoANewMachineAndOverADamagedStore(t *testing.T) {
	backup, _ := rich(t)
	path := filepath.Join(t.TempDir(), "new", "office.db")
	out, err := store.Restore(context.Background(), backup, path, noon, "office")
	require.NoError(t, err)
	assert.Empty(t, out.Kept)
	assert.Positive(t, out.Report.Docs)
	storetest.MustVerifyFile(t, path)

	require.NoError(t, os.Truncate(path, 5000))
	out, err = store.Restore(context.Background(), backup, path, noon, "office")
	require.NoError(t, err, "a destroyed store must not keep its backup out")
	assert.FileExists(t, out.Kept)
	storetest.MustVerifyFile(t, path)
}

func TestDamagedBackupIsNotPutInPlace(t *testing.T) {
	backup, _ := rich(t)
	path, _ := rich(t)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	data, err := os.ReadFile(backup)
	require.NoError(t, err)
	for i := len(data) / 2; i < len(data)/2+4096; i++ {
		data[i] ^= 0x55
	}
	require.NoError(t, os.WriteFile(backup, data, 0o600))
	_, err = store.Restore(context.Background(), backup, path, noon, "office")
	assert.Equal(t, store.Damaged, store.KindOf(err), "%v", err)
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(before, after))
}

func TestCompactGivesSpaceBack(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	photo := func(n int) *store.Blob { return s.NewBlob(storetest.Content("photo", 0, n)) }
	rev := revtree.Rev{}
	for i := range 60 {
		d := store.Doc{ID: "much-edited", Rev: rev, Body: fmt.Appendf(nil, `"n":%d,"pad":"%020000d"`, i, i)}
		d.Atts = []store.Att{{Name: "p", Blob: photo(i)}, {Name: "same", Blob: s.NewBlob([]byte("always the same"))}}
		res, err := b.Edit([]store.Doc{d})
		require.NoError(t, err)
		require.NoError(t, res[0].Err)
		rev = res[0].Rev
	}
	_, err := b.Push([]store.Doc{storetest.Doc("much-edited", "2-zz", []string{"yy"}, `"branch":true`)})
	require.NoError(t, err)
	before, err := s.Size()
	require.NoError(t, err)
	// Reading goes on while the file is exchanged.
	stop := make(chan struct{})
	var wg sync.WaitGroup
	wg.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
			}
			_, err := b.Get("much-edited", revtree.Rev{})
			assert.NoError(t, err)
		}
	})
	require.NoError(t, s.Compact())
	close(stop)
	wg.Wait()
	after, err := s.Size()
	require.NoError(t, err)
	assert.Less(t, after, before/2)
	report := storetest.MustVerify(t, s)
	assert.Equal(t, 2, report.Bodies, "one for each leaf")
	assert.Equal(t, 2, report.Attachments)
	d, err := b.Get("much-edited", revtree.Rev{})
	require.NoError(t, err)
	assert.Len(t, d.Hashes, 60, "the tree is kept")
	assert.Len(t, d.Atts, 2)
	_, err = b.Edit([]store.Doc{{ID: "much-edited", Rev: rev, Atts: []store.Att{{Name: "same", Stub: true}}}})
	require.NoError(t, err)
	require.NoError(t, s.Compact())
	_, err = store.Open(store.Options{Path: s.Path(), LockWait: 10 * time.Millisecond})
	assert.Equal(t, store.Busy, store.KindOf(err), "the new file is guarded like the old one")
	assert.NoFileExists(t, s.Path()+".compacting")
}

func TestRevsLimit(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	in, err := b.Info()
	require.NoError(t, err)
	assert.Equal(t, 1000, in.RevsLimit)
	require.NoError(t, b.SetRevsLimit(10))
	rev := revtree.Rev{}
	for range 30 {
		res, err := b.Edit([]store.Doc{{ID: "x", Rev: rev}})
		require.NoError(t, err)
		rev = res[0].Rev
	}
	d, err := b.Get("x", revtree.Rev{})
	require.NoError(t, err)
	assert.Len(t, d.Hashes, 10)
	assert.Equal(t, store.Bad, store.KindOf(b.SetRevsLimit(0)))
	report := storetest.MustVerify(t, s)
	assert.Equal(t, 10, report.Bodies, "what is cut takes its body along")
}

func TestDeletedBookLeavesNothing(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	_, err := b.Edit([]store.Doc{{ID: "x", Atts: []store.Att{{Name: "p", Blob: s.NewBlob([]byte("photo"))}}}})
	require.NoError(t, err)
	changed := b.Changed()
	require.NoError(t, s.DeleteBook("jobs"))
	<-changed
	_, err = b.Get("x", revtree.Rev{})
	assert.Equal(t, store.NotFound, store.KindOf(err))
	_, err = b.Push([]store.Doc{storetest.Doc("x", "1-a", nil, ``)})
	assert.Equal(t, store.NotFound, store.KindOf(err))
	assert.Equal(t, store.NotFound, store.KindOf(s.DeleteBook("jobs")))
	assert.Zero(t, storetest.MustVerify(t, s).Attachments)
	again := storetest.MustBook(t, s, "jobs")
	in, err := again.Info()
	require.NoError(t, err)
	assert.Zero(t, in.Docs)
}

// What a killed process left half done does not fill the disk for ever.
func TestLeftoversAreRemoved(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "office.db")
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	require.NoError(t, s.Close())
	snaps := filepath.Join(dir, "snapshots")
	require.NoError(t, os.Mkdir(snaps, 0o700))
	old := time.Now().Add(-time.Hour)
	gone := []string{path + ".compacting", filepath.Join(dir, ".datumbook-1.new"), filepath.Join(snaps, ".datumbook-2.part"),
		filepath.Join(snaps, "unverified-20260101-000000.db")}
	stay := []string{filepath.Join(dir, "notes.txt"), filepath.Join(snaps, "mine.part")}
	for _, name := range append(append([]string{}, gone...), stay...) {
		require.NoError(t, os.WriteFile(name, []byte("half"), 0o600))
		require.NoError(t, os.Chtimes(name, old, old))
	}
	fresh := filepath.Join(dir, ".datumbook-3.new") // perhaps another process's, this moment
	require.NoError(t, os.WriteFile(fresh, nil, 0o600))
	s, err = store.Open(store.Options{Path: path})
	require.NoError(t, err)
	_, err = s.Snapshot(t.Context(), store.SnapshotPlan{Dir: snaps, Every: time.Hour, Keep: 1}, time.Now())
	require.NoError(t, err)
	require.NoError(t, s.Close())
	for _, name := range gone {
		assert.NoFileExists(t, name)
	}
	for _, name := range append(stay, fresh) {
		assert.FileExists(t, name)
	}
}
