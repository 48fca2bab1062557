package store

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"
	"pgregory.net/rapid"
)

// dump gives all buckets, sequences, keys and values of a snapshot, in order.
func dump(tx *bolt.Tx) []string {
	var out []string
	var walk func(path string, b *bolt.Bucket)
	walk = func(path string, b *bolt.Bucket) {
		_ = b.ForEach(func(k, v []byte) error {
			if sub := b.Bucket(k); v == nil && sub != nil {
				out = append(out, fmt.Sprintf("%s/%x sequence %d", path, k, sub.Sequence()))
				walk(path+"/"+fmt.Sprintf("%x", k), sub)
			} else {
				out = append(out, fmt.Sprintf("%s/%x = %x", path, k, v))
			}
			return nil
		})
	}
	walk("", tx.Cursor().Bucket())
	return out
}

// writes makes random changes in a transaction: keys in order and in none, small values and values
// of many pages, buckets made, removed, nested and emptied, sequences.
func writes(t *rapid.T, tx *bolt.Tx, n int) {
	name := rapid.Custom(func(t *rapid.T) []byte { return []byte{'a' + byte(rapid.IntRange(0, 4).Draw(t, "bucket"))} })
	key := rapid.Custom(func(t *rapid.T) []byte { return key64(rapid.Uint64Range(0, 600).Draw(t, "key")) })
	for range n {
		b := tx.Cursor().Bucket()
		for depth := rapid.IntRange(1, 3).Draw(t, "depth"); depth > 0; depth-- {
			k := name.Draw(t, "name")
			sub := b.Bucket(k)
			if sub == nil {
				require.NoError(t, b.Delete(k)) // a value in the place
				var err error
				sub, err = b.CreateBucket(k)
				require.NoError(t, err)
			}
			b = sub
		}
		switch rapid.IntRange(0, 9).Draw(t, "what") {
		case 0:
			require.NoError(t, b.SetSequence(rapid.Uint64Range(0, 9).Draw(t, "sequence")))
		case 1:
			k := name.Draw(t, "name")
			if b.Bucket(k) != nil {
				require.NoError(t, b.DeleteBucket(k))
			} else { // a value where a bucket may come
				require.NoError(t, b.Put(k, []byte("a value")))
			}
		case 2, 3: // a stretch of keys goes
			from := rapid.Uint64Range(0, 600).Draw(t, "from")
			for k := from; k < from+rapid.Uint64Range(1, 200).Draw(t, "length"); k++ {
				require.NoError(t, b.Delete(key64(k)))
			}
		case 4, 5: // a stretch comes
			from := rapid.Uint64Range(0, 600).Draw(t, "from")
			v := bytes.Repeat([]byte{byte(from)}, rapid.IntRange(0, 300).Draw(t, "size"))
			for k := from; k < from+rapid.Uint64Range(1, 200).Draw(t, "length"); k++ {
				require.NoError(t, b.Put(key64(k), v))
			}
		case 6:
			require.NoError(t, b.Put(key.Draw(t, "key"), make([]byte, rapid.IntRange(3000, 40_000).Draw(t, "large"))))
		default:
			require.NoError(t, b.Put(key.Draw(t, "key"), rapid.SliceOfN(rapid.Byte(), 0, 40).Draw(t, "value")))
		}
	}
}

// What a follower makes of a copy is the later snapshot, key by key and bucket by bucket, whatever
// was written in between; while later writes go on, and in transactions of any size.
func TestFollowerMakesTheLaterSnapshot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp("", "follow-*") //nolint:usetesting // one for each draw
		require.NoError(t, err)
		defer os.RemoveAll(dir)
		open := func(name string) *bolt.DB {
			db, err := openBoltIn(filepath.Join(dir, name), Options{LockWait: 1e9}, 64<<20) // wide enough on every system
			require.NoError(t, err)
			db.NoSync = true
			return db
		}
		src, dst := open("src"), open("dst")
		defer func() { require.NoError(t, src.Close()); require.NoError(t, dst.Close()) }()
		file, err := os.Open(src.Path())
		require.NoError(t, err)
		defer file.Close()
		f := &follower{snapshotPages: snapshotPages{file, src.Info().PageSize}, dst: dst, fresh: true,
			batch: rapid.SampledFrom([]int{500, 20_000, 2 << 20}).Draw(t, "batch")}
		f.pulse = func() error { // others write meanwhile, which must not matter
			return src.Update(func(tx *bolt.Tx) error { writes(t, tx, 3); return nil })
		}
		var from, to *bolt.Tx
		defer func() { // before the files are closed, which waits for these
			for _, tx := range []*bolt.Tx{from, to} {
				if tx != nil {
					_ = tx.Rollback()
				}
			}
		}()
		at := tree{}
		for range rapid.IntRange(1, 6).Draw(t, "rounds") {
			for range rapid.IntRange(0, 3).Draw(t, "commits") {
				require.NoError(t, src.Update(func(tx *bolt.Tx) error {
					writes(t, tx, rapid.IntRange(0, 20).Draw(t, "writes"))
					return nil
				}))
			}
			to, err = src.Begin(false)
			require.NoError(t, err)
			want := dump(to)
			require.NoError(t, f.follow(at, rootOf(to)))
			if from != nil {
				require.NoError(t, from.Rollback())
			}
			from, to, at, f.fresh = to, nil, rootOf(to), false
			require.NoError(t, dst.View(func(tx *bolt.Tx) error {
				require.Equal(t, want, dump(tx))
				return nil
			}))
			require.Equal(t, want, dump(from), "the snapshot itself")
		}
	})
}

// What two snapshots share is not read: after a change of one record among many, a few pages are.
func TestFollowerReadsOnlyWhatChanged(t *testing.T) {
	db, _, err := openMapped(filepath.Join(t.TempDir(), "many.db"), Options{LockWait: 1e9})
	require.NoError(t, err)
	defer db.Close()
	require.NoError(t, db.Update(func(tx *bolt.Tx) error {
		b, err := tx.CreateBucket([]byte("doc"))
		for i := uint64(0); i < 100_000 && err == nil; i++ {
			err = b.Put(key64(i), make([]byte, 100))
		}
		return err
	}))
	a, err := db.Begin(false)
	require.NoError(t, err)
	defer func() { _ = a.Rollback() }()
	require.NoError(t, db.Update(func(tx *bolt.Tx) error { return tx.Bucket([]byte("doc")).Put(key64(50_000), []byte("new")) }))
	b, err := db.Begin(false)
	require.NoError(t, err)
	defer func() { _ = b.Rollback() }()
	file, err := os.Open(db.Path())
	require.NoError(t, err)
	defer file.Close()
	p := snapshotPages{file, db.Info().PageSize}
	onlyA, onlyB, err := p.unshared(uint64(a.Bucket([]byte("doc")).Root()), uint64(b.Bucket([]byte("doc")).Root()))
	require.NoError(t, err)
	require.Len(t, onlyA, 1)
	require.Len(t, onlyB, 1)
}
