package store

import (
	"bytes"
	"context"
	"encoding/binary"
	"os"
	"path/filepath"
	"sync"
	"time"

	bolt "go.etcd.io/bbolt"
)

// When the upkeep does something by itself.
const (
	oldBodiesMany  = 5000           // this many old bodies have gathered
	oldBodiesEvery = 24 * time.Hour // or this much time has gone by
	worthBytes     = 64 << 20       // compacting the file gives this much back, and half of it
)

// tending is what the upkeep remembers.
type tending struct {
	mu      sync.Mutex
	dropped time.Time // when old bodies were last looked for
}

// Tend does what a store needs from time to time, in small steps between which others write: it
// seals the pieces of attachments that an earlier format wrote without a sum, drops old bodies once
// many have gathered or a day has passed, and compacts the file where that is worth while and the
// disk has room for the copy. It ends early with ctx, and goes on the next time.
func (s *Store) Tend(ctx context.Context) error {
	if s.opt.ReadOnly {
		return newError(ReadOnly, "the store was opened for reading only")
	}
	s.tending.mu.Lock()
	defer s.tending.mu.Unlock()
	if err := s.sealPieces(ctx); err != nil {
		return err
	}
	// The steady clock of the process: one that is set does not matter.
	last := s.tending.dropped
	if last.IsZero() || time.Since(last) > oldBodiesEvery || s.oldBodies.Load() >= oldBodiesMany {
		s.oldBodies.Store(0)
		s.tending.dropped = time.Now()
		if err := s.dropOldBodies(ctx, true); err != nil {
			return err
		}
	}
	worth, err := s.worthCompacting()
	if err != nil || !worth || !s.compacting.CompareAndSwap(false, true) {
		return err
	}
	defer s.compacting.Store(false)
	s.upkeep.Lock()
	defer s.upkeep.Unlock()
	return s.rewrite(ctx)
}

// worthCompacting reports whether a copy of the file would be less than half as large and much
// smaller, and whether there is room for it.
func (s *Store) worthCompacting() (bool, error) {
	size, err := s.Size()
	if err != nil {
		return false, err
	}
	used, err := s.used()
	if err != nil || size-used < worthBytes || used > size/2 {
		return false, err
	}
	if s.opt.Free == nil {
		return true, nil
	}
	free, err := s.opt.Free(filepath.Dir(s.opt.Path))
	return err == nil && int64(min(free, 1<<62)) > used+used/4+worthBytes, err
}

// used gives the bytes of the file's pages that are not free.
func (s *Store) used() (int64, error) {
	file, err := os.Open(s.opt.Path)
	if err != nil {
		return 0, openError(s.opt.Path, err)
	}
	defer file.Close()
	used := int64(-1)
	for range 3 { // its header may be replaced meanwhile
		err := s.view(func(tx *bolt.Tx) error {
			for _, h := range readMetas(file) {
				if h.tx != uint64(tx.ID()) || h.free == noFreelist {
					continue
				}
				p := snapshotPages{file, int(h.pageSize)}
				page, err := p.read(h.free)
				if err != nil {
					return err
				}
				free := uint64(binary.LittleEndian.Uint16(page[10:]))
				if free == 0xffff {
					free = binary.LittleEndian.Uint64(page[pageHead:])
				}
				used = int64(h.pages-min(free, h.pages)) * h.pageSize
			}
			return nil
		})
		if err != nil || used >= 0 {
			return used, err
		}
	}
	return 0, newError(Failed, "the store changed too fast to be measured")
}

// pause waits as long as the last step took, so that upkeep takes at most half of a busy disk's time.
func (s *Store) pause(ctx context.Context, since time.Time) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-s.closing:
		return newError(Closed, "the store is closed")
	case <-time.After(time.Since(since)):
		return nil
	}
}

// sealPieces gives the pieces of an earlier format their own sums, a content at a time, each checked
// as a whole before.
func (s *Store) sealPieces(ctx context.Context) error {
	var after []byte
	hurt := false
	for {
		var a Att
		err := s.view(func(tx *bolt.Tx) error {
			if tx.Bucket(bucketMeta).Get(keyUnsealed) == nil {
				return nil
			}
			blobs := tx.Bucket(bucketBlob)
			c := blobs.Cursor()
			sha, _ := c.Seek(after)
			if after != nil && bytes.Equal(sha, after) {
				sha, _ = c.Next()
			}
			if len(sha) != 32 {
				return nil
			}
			row, _, err := loadBlob(blobs, sha)
			a = Att{Name: "of an earlier format", SHA256: [32]byte(sha), Length: int64(row.length)}
			if KindOf(err) == Damaged {
				a.Length, err = -1, nil
			}
			return err
		})
		if err != nil {
			return err
		}
		if a.SHA256 == [32]byte{} {
			break
		}
		after = bytes.Clone(a.SHA256[:])
		if a.Length >= 0 {
			err = s.sealContent(ctx, a)
		} else {
			err = newError(Damaged, "the entry of an attachment is damaged")
		}
		switch KindOf(err) {
		case "", NotFound: // released meanwhile
		case Damaged:
			hurt = true
			s.mark(a.SHA256, 0, err)
		default:
			return err
		}
	}
	if after == nil || hurt {
		return nil
	}
	return s.update(func(tx *bolt.Tx) error { return tx.Bucket(bucketMeta).Delete(keyUnsealed) })
}

// sealContent seals the pieces of one content that have no sum yet.
func (s *Store) sealContent(ctx context.Context, a Att) error {
	c := &chunks{s: s, att: a, part: -1}
	open := false
	pieces := (a.Length + chunkSize - 1) / chunkSize
	err := s.view(func(tx *bolt.Tx) error {
		if _, err := c.place(tx); err != nil {
			return err
		}
		for part := range pieces {
			v := tx.Bucket(bucketChunk).Get(chunkKey(c.run, uint32(part)))
			open = open || int64(len(v)) != min(chunkSize, a.Length-part*chunkSize)+sealSize
		}
		return nil
	})
	if err != nil || !open {
		return err
	}
	if err := c.check(false); err != nil {
		return err
	}
	for first := int64(0); first < pieces; first += checkPieces {
		began := time.Now()
		last := min(first+checkPieces, pieces)
		err := s.commit(&job{weight: int(last-first) * chunkSize, fn: func(tx *bolt.Tx) error {
			b := tx.Bucket(bucketChunk)
			b.FillPercent = 1
			for part := first; part < last; part++ {
				data, err := c.sound(tx, part)
				if err != nil {
					return unwritten{newError(NotFound, "the content changed meanwhile")}
				}
				key := chunkKey(c.run, uint32(part))
				if err := b.Put(key, seal(key, append(make([]byte, 0, len(data)+sealSize), data...))); err != nil {
					return err
				}
			}
			return nil
		}})
		if err != nil {
			return err
		}
		if err := s.pause(ctx, began); err != nil {
			return err
		}
	}
	return nil
}
