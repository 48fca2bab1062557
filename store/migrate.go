package store

import (
	"bytes"
	"crypto/rand"
	"encoding/binary"
	"slices"

	bolt "go.etcd.io/bbolt"
)

// migrations bring a file from the format of their index to the next one; the current format is
// their number. Each runs in the transaction that records it, and is never changed once released.
var migrations = []func(s *Store, tx *bolt.Tx) error{
	createFormat1,
	packedBodies,
	sealedPieces,
	whoPushed,
	namedBooks,
}

// createFormat1 makes the buckets of a new store.
func createFormat1(s *Store, tx *bolt.Tx) error {
	for _, name := range bucketsOf(topBuckets, 1) {
		if _, err := tx.CreateBucket(name); err != nil {
			return err
		}
	}
	meta := tx.Bucket(bucketMeta)
	if err := putSealed(meta, keyUUID, []byte(NewID())); err != nil {
		return err
	}
	when, err := s.opt.Now().UTC().MarshalText()
	if err != nil {
		return err
	}
	return putSealed(meta, keyCreated, when)
}

// packedBodies is format 2, in which a body's members may be compressed. Older bodies stay as they
// are; the new number keeps programs that cannot decompress from opening the file.
func packedBodies(*Store, *bolt.Tx) error { return nil }

// sealedPieces is format 3, in which each piece of an attachment ends in its own sum, and contents
// that were found damaged are listed. Older pieces are sealed by the upkeep, in small steps.
func sealedPieces(_ *Store, tx *bolt.Tx) error {
	if _, err := tx.CreateBucketIfNotExists(bucketDamaged); err != nil {
		return err
	}
	if k, _ := tx.Bucket(bucketChunk).Cursor().First(); k == nil {
		return nil
	}
	return putSealed(tx.Bucket(bucketMeta), keyUnsealed, nil)
}

// namedBooks is format 5, in which each book holds its own name under a sum: a book whose key was hurt
// would pass for another one, and what is in it would be missed by nobody.
func namedBooks(_ *Store, tx *bolt.Tx) error {
	books := tx.Bucket(bucketBooks)
	return books.ForEachBucket(func(name []byte) error {
		return putSealed(books.Bucket(name), keyName, bytes.Clone(name))
	})
}

// checkName refuses a book that is not called what it says; those of earlier formats do not say.
func checkName(b *bolt.Bucket, name string) error {
	v, err := getSealed(b, keyName)
	switch {
	case err != nil || v != nil && !GoodBookName(string(v)):
		return newError(Damaged, "the name that the book %q holds is damaged: restore a backup", name)
	case v != nil && string(v) != name:
		return newError(Damaged, "the name of the book %s is damaged, it stands as %q: restore a backup", v, name)
	}
	return nil
}

func readFormat(tx *bolt.Tx) (int, error) {
	meta := tx.Bucket(bucketMeta)
	if meta == nil {
		if k, _ := tx.Cursor().First(); k != nil {
			return 0, newError(Foreign, "the file is not a Datumbook store")
		}
		return 0, nil
	}
	v, err := getSealed(meta, keyFormat)
	if err != nil {
		return 0, err
	}
	if len(v) != 4 {
		return 0, newError(Damaged, "the store's format number is damaged")
	}
	return int(binary.BigEndian.Uint32(v)), nil
}

// checkFormat refuses files that this program cannot read as they are. Those of earlier formats can
// be read: what is newer than they are is missing there.
func checkFormat(tx *bolt.Tx) error {
	have, err := readFormat(tx)
	switch {
	case err != nil:
		return err
	case have > len(migrations):
		return newer(have, nil)
	case have == 0:
		return newError(Damaged, "the store has no format number: restore a backup")
	}
	for _, name := range bucketsOf(topBuckets, have) {
		if tx.Bucket(name) == nil {
			return newError(Damaged, "the store lacks its %s: restore a backup", name)
		}
	}
	return nil
}

// bucketSince gives the format in which a bucket came, where that was not the first.
var bucketSince = map[string]int{string(bucketDamaged): 3, string(bucketBy): 4}

// bucketsOf gives those of topBuckets or bookBuckets that a file of a format has.
func bucketsOf(all [][]byte, format int) [][]byte {
	later := func(name []byte) bool { return bucketSince[string(name)] > format }
	return slices.DeleteFunc(slices.Clone(all), later)
}

// migrate brings the file to the current format.
func (s *Store) migrate(tx *bolt.Tx) error {
	have, err := readFormat(tx)
	if err != nil {
		return err
	}
	if have > len(migrations) {
		return checkFormat(tx)
	}
	for ; have < len(migrations); have++ {
		if err := migrations[have](s, tx); err != nil {
			return err
		}
		if err := putSealed(tx.Bucket(bucketMeta), keyFormat, binary.BigEndian.AppendUint32(nil, uint32(have+1))); err != nil {
			return err
		}
	}
	return nil
}

// epoch is the step by which a restore raises every book's sequence: more than any store assigns
// between two backups, and small enough that thousands of restores stay within what JSON numbers
// keep.
const epoch = 1 << 32

// renew gives the store a new identity: another uuid, no checkpoints, sequences beyond any assigned
// here or, as far as given says, by the store being replaced. A random part keeps two copies of one
// backup apart.
func renew(tx *bolt.Tx, given map[string]uint64) error {
	if err := putSealed(tx.Bucket(bucketMeta), keyUUID, []byte(NewID())); err != nil {
		return err
	}
	var r [1]byte
	rand.Read(r[:])
	books := tx.Bucket(bucketBooks)
	return books.ForEachBucket(func(name []byte) error {
		b := books.Bucket(name)
		if err := b.DeleteBucket(bucketLocal); err != nil {
			return err
		}
		if _, err := b.CreateBucket(bucketLocal); err != nil {
			return err
		}
		st, err := loadState(b)
		if err != nil {
			return err
		}
		st.seq = (max(st.seq, given[string(name)])/epoch + 1 + uint64(r[0])) * epoch
		return st.save(b)
	})
}

// sequences returns the last sequence of every book, as far as readable.
func sequences(tx *bolt.Tx) map[string]uint64 {
	given := map[string]uint64{}
	books := tx.Bucket(bucketBooks)
	if books == nil {
		return given
	}
	_ = books.ForEachBucket(func(name []byte) error {
		if st, err := loadState(books.Bucket(name)); err == nil {
			given[string(name)] = st.seq
		}
		return nil
	})
	return given
}
