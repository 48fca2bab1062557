package store_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/store"
	"datumbook/store/storetest"
)

// earlier puts the sample file of an earlier format into a folder of its own, and gives its path and
// what it holds.
func earlier(t testing.TB, format int) (path, facts string) {
	data, err := os.ReadFile(fmt.Sprintf("testdata/format-%03d.db", format))
	require.NoError(t, err)
	text, err := os.ReadFile(fmt.Sprintf("testdata/format-%03d.txt", format))
	require.NoError(t, err)
	path = filepath.Join(t.TempDir(), "office.db")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	return path, string(text)
}

func upgrading(path string, change ...func(*store.Options)) store.Options {
	opt := store.Options{Path: path, Now: func() time.Time { return noon },
		Upgrade: &store.UpgradePlan{Dir: filepath.Join(filepath.Dir(path), "snapshots")}}
	for _, c := range change {
		c(&opt)
	}
	return opt
}

// Before a file of any earlier format is changed there is a verified copy of it, and afterwards it
// holds the same.
func TestUpgradeMakesACopyFirst(t *testing.T) {
	for format := 1; format < store.Format(); format++ {
		t.Run(fmt.Sprint(format), func(t *testing.T) {
			path, facts := earlier(t, format)
			opt := upgrading(path)
			s, err := store.Open(opt)
			require.NoError(t, err)
			got, err := factsOf(s)
			require.NoError(t, err)
			assert.Equal(t, facts, got)
			require.NoError(t, s.Close())

			copied := filepath.Join(opt.Upgrade.Dir, fmt.Sprintf("before-upgrade-%d-20240506-120000.db", format))
			storetest.MustVerifyFile(t, copied)
			list, err := store.UpgradeCopies(opt.Upgrade.Dir)
			require.NoError(t, err)
			require.Len(t, list, 1)
			assert.Equal(t, format, list[0].Format)
			assert.Equal(t, copied, list[0].Path)

			// The copy still has the format that the earlier program reads, and leads back to all of it.
			_, err = store.Restore(t.Context(), copied, path, noon, "test")
			require.NoError(t, err)
			s, err = store.Open(upgrading(path))
			require.NoError(t, err)
			assert.Len(t, s.Books(), 2)
			require.NoError(t, s.Close())

			entries, err := os.ReadDir(opt.Upgrade.Dir)
			require.NoError(t, err)
			assert.Len(t, entries, 1, "a store of the present format is not copied, and nothing is left over")
		})
	}
}

// With no room for the copy nothing is changed, unless it is said that it may be.
func TestUpgradeWithoutRoomIsRefused(t *testing.T) {
	path, facts := earlier(t, store.Format()-1)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	free := func(string) (uint64, error) { return 1 << 20, nil }
	_, err = store.Open(upgrading(path, func(o *store.Options) { o.Upgrade.Free = free }))
	require.Equal(t, store.Full, store.KindOf(err), "%v", err)
	assert.Contains(t, store.Sentence(err), "--upgrade-without-copy")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, before, after, "the file stays byte for byte")

	s, err := store.Open(upgrading(path, func(o *store.Options) { o.Upgrade.Free, o.Upgrade.Without = free, true }))
	require.NoError(t, err)
	got, err := factsOf(s)
	require.NoError(t, err)
	assert.Equal(t, facts, got)
	require.NoError(t, s.Close())
	list, err := store.UpgradeCopies(filepath.Join(filepath.Dir(path), "snapshots"))
	require.NoError(t, err)
	assert.Empty(t, list)
}

// Records that were damaged before do not stop the upgrade: the copy is as good as they are.
func TestUpgradeOfDamagedRecords(t *testing.T) {
	path, _ := earlier(t, store.Format()-1)
	db, err := bolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bolt.Tx) error {
		b := tx.Bucket([]byte("books")).Bucket([]byte("jobs")).Bucket([]byte("body"))
		k, v := b.Cursor().First()
		v = append([]byte{}, v...)
		v[len(v)/2] ^= 4
		return b.Put(append([]byte{}, k...), v)
	}))
	require.NoError(t, db.Close())
	s, err := store.Open(upgrading(path))
	require.NoError(t, err)
	require.NoError(t, s.Close())
	list, err := store.UpgradeCopies(filepath.Join(filepath.Dir(path), "snapshots"))
	require.NoError(t, err)
	require.Len(t, list, 1)
	report, err := store.VerifyFile(t.Context(), list[0].Path)
	require.NoError(t, err)
	assert.NotEmpty(t, report.Problems)
}

// raise gives a closed store a format that this program does not know.
func raise(t testing.TB, path string) {
	db, err := bolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bolt.Tx) error {
		return tx.Bucket([]byte("meta")).Put([]byte("format"), store.SealForTest([]byte("format"), []byte{0, 0, 0, 99}))
	}))
	require.NoError(t, db.Close())
}

// A file of a later format stays byte for byte as it is, and the sentence names the way back.
func TestNewerFormatIsLeftAlone(t *testing.T) {
	path, _ := rich(t)
	opt := upgrading(path)
	s, err := store.Open(opt)
	require.NoError(t, err)
	copied, err := s.CopyBefore(t.Context(), *opt.Upgrade)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	later := filepath.Join(opt.Upgrade.Dir, "before-upgrade-98-20240601-120000.db") // newer, and no better for us
	require.NoError(t, os.WriteFile(later, []byte("x"), 0o600))
	raise(t, path)
	files := func() map[string]string {
		all := map[string]string{}
		require.NoError(t, filepath.WalkDir(filepath.Dir(path), func(name string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			text, err := os.ReadFile(name)
			all[name] = string(text)
			return err
		}))
		return all
	}
	before := files()
	for range 2 {
		_, err = store.Open(opt)
		require.Equal(t, store.Newer, store.KindOf(err), "%v", err)
		assert.Contains(t, store.Sentence(err), "use a newer Datumbook")
		assert.Contains(t, store.Sentence(err), "'datumbook restore "+copied+"'")
	}
	require.Equal(t, before, files())

	// The way back works with what it names: the newer file is kept beside it.
	out, err := store.Restore(t.Context(), copied, path, noon, "test")
	require.NoError(t, err)
	assert.FileExists(t, out.Kept)
	s, err = store.Open(opt)
	require.NoError(t, err)
	storetest.MustVerify(t, s)
	require.NoError(t, s.Close())
}

// What holds the same already is not written a second time; the daily snapshots push no copy out, and
// after eight weeks it goes.
func TestCopiesBeforeAnUpgradeAreKeptForWeeks(t *testing.T) {
	s, plan := snapshotStore(t)
	upgrade := store.UpgradePlan{Dir: plan.Dir}
	storetest.MustBook(t, s, "more")
	daily, err := s.Snapshot(t.Context(), plan, noon)
	require.NoError(t, err)
	first, err := s.CopyBefore(t.Context(), upgrade)
	require.NoError(t, err)
	a, err := os.Stat(daily)
	require.NoError(t, err)
	b, err := os.Stat(first)
	require.NoError(t, err)
	assert.True(t, os.SameFile(a, b), "another name for the day's snapshot")
	again, err := s.CopyBefore(t.Context(), upgrade)
	require.NoError(t, err)
	assert.Equal(t, first, again)
	storetest.MustBook(t, s, "third")
	second, err := s.CopyBefore(t.Context(), upgrade)
	require.NoError(t, err)
	assert.NotEqual(t, first, second)
	storetest.MustVerifyFile(t, second)

	list, err := store.UpgradeCopies(plan.Dir)
	require.NoError(t, err)
	require.Len(t, list, 2)
	made := list[1].Time
	for _, d := range []int{1, 2, 3, 4, 5, 40} {
		_, err := s.Snapshot(t.Context(), plan, made.Add(time.Duration(d)*day))
		require.NoError(t, err)
		assert.FileExists(t, first)
		assert.FileExists(t, second)
	}
	_, err = s.Snapshot(t.Context(), plan, made.Add(57*day))
	require.NoError(t, err)
	assert.NoFileExists(t, first)
	assert.NoFileExists(t, second)

	// Records come first: on a full disk the copies go too, behind the snapshots, and never the last file.
	third, err := s.CopyBefore(t.Context(), upgrade)
	require.NoError(t, err)
	for range 10 {
		_, err := store.DropOldest(plan.Dir, made.Add(58*day))
		require.NoError(t, err)
	}
	assert.NoFileExists(t, third)
	last, err := store.Snapshots(plan.Dir)
	require.NoError(t, err)
	require.Len(t, last, 1)
	require.NoError(t, os.Remove(last[0].Path))
	third, err = s.CopyBefore(t.Context(), upgrade)
	require.NoError(t, err)
	gone, err := store.DropOldest(plan.Dir, made.Add(58*day))
	require.NoError(t, err)
	assert.False(t, gone)
	assert.FileExists(t, third)
}
