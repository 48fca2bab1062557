package store

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"time"

	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// StartCompact starts Compact in the background; Info.Compacting reports when it has ended. Busy,
// if one is running, is no error.
func (s *Store) StartCompact() error {
	if s.opt.ReadOnly {
		return newError(ReadOnly, "the store was opened for reading only")
	}
	if !s.compacting.CompareAndSwap(false, true) {
		return nil
	}
	go func() {
		defer s.compacting.Store(false)
		if err := s.compact(); err != nil && KindOf(err) != Closed {
			s.opt.Log.Error("the store could not be compacted", "error", err)
		}
	}()
	return nil
}

// Compact drops the bodies of non-leaf revisions, with the attachments only they name, and rewrites
// the file without its free pages, which frees disk space. Trees are kept. Reading goes on
// meanwhile; writing goes on while bodies are dropped and waits while the file is copied. After a
// crash either the old or the new file is there, complete.
func (s *Store) Compact() error {
	if !s.compacting.CompareAndSwap(false, true) {
		return newError(Busy, "the store is being compacted already")
	}
	defer s.compacting.Store(false)
	return s.compact()
}

func (s *Store) compact() error {
	s.upkeep.Lock()
	defer s.upkeep.Unlock()
	for _, name := range s.Books() {
		b, err := s.Book(name)
		if err != nil {
			continue // removed meanwhile
		}
		if err := b.dropOldBodies(); err != nil && KindOf(err) != NotFound {
			return err
		}
	}
	return s.alone(s.rewrite)
}

// dropOldBodies goes through the documents in steps, so that pushes can run in between.
func (b *Book) dropOldBodies() error {
	const step = 256
	var after []byte
	for done := false; !done; {
		next := after
		err := b.s.update(func(tx *bolt.Tx) error {
			w, err := b.writer(tx)
			if err != nil {
				return err
			}
			done = false
			next = after
			type entry struct {
				id  string
				rec record
			}
			var old []entry
			c := w.doc.Cursor()
			k, v := c.Seek(after)
			if after != nil && bytes.Equal(k, after) {
				k, v = c.Next()
			}
			for n := 0; k != nil && n < step; k, v = c.Next() {
				rec, _ := decodeRecord(k, v) // a damaged one has no bodies that are known
				for i := range rec.tree.Nodes {
					if rec.tree.Nodes[i].Inner && rec.tree.Nodes[i].Body != 0 {
						old = append(old, entry{string(k), rec})
						break
					}
				}
				next = bytes.Clone(k)
				n++
			}
			done = k == nil
			for _, e := range old {
				for i := range e.rec.tree.Nodes {
					n := &e.rec.tree.Nodes[i]
					if !n.Inner {
						continue
					}
					err := w.dropBody(n.Body)
					if KindOf(err) == Damaged {
						continue // it may name contents, which cannot be told
					}
					if err != nil {
						return err
					}
					n.Body = 0
				}
				if err := w.doc.Put([]byte(e.id), e.rec.encode(e.id)); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
		after = next
	}
	return nil
}

// compactingSuffix ends the name of the copy that a compaction writes.
const compactingSuffix = ".compacting"

// tidy removes temporary files that a killed process left beside the file: a compaction's copy, a
// new store that was never renamed. No other process compacts the file that this one has locked;
// one that creates a store in the same folder is done within a minute.
func (s *Store) tidy() {
	s.drop(s.opt.Path+compactingSuffix, 0)
	s.drop(filepath.Join(filepath.Dir(s.opt.Path), ".datumbook-*.new"), time.Minute)
}

// drop removes files that match a pattern and are older than an age; those left only take space.
func (s *Store) drop(pattern string, age time.Duration) {
	left, err := filepath.Glob(pattern)
	if err != nil {
		return // the folder's name is not a valid pattern
	}
	for _, path := range left {
		if info, err := os.Stat(path); err != nil || time.Since(info.ModTime()) < age {
			continue
		}
		if err := os.Remove(path); err != nil {
			s.opt.Log.Warn("a file that a killed process left could not be removed", "file", path, "error", err)
		}
	}
}

// rewrite copies the file without its free pages and replaces it with the copy. Nothing is written
// meanwhile.
func (s *Store) rewrite() error {
	path := s.opt.Path
	temp := path + compactingSuffix
	if err := os.Remove(temp); err != nil && !errors.Is(err, os.ErrNotExist) {
		return wrapError(Failed, err, "the remains of an earlier compaction could not be removed")
	}
	dst, err := openBolt(temp, s.opt)
	if err != nil {
		return err
	}
	undo := func(err error) error {
		_ = dst.Close()
		os.Remove(temp)
		return writeError(err)
	}
	dst.NoSync, dst.NoGrowSync = true, true // grows by what is written and is flushed at the end
	if err := bolt.Compact(dst, s.db, 4<<20); err != nil {
		return undo(err)
	}
	dst.NoSync, dst.NoGrowSync = false, false
	// A last commit with flushes makes both header pages of the copy agree with what is on disk.
	if err := dst.Sync(); err != nil {
		return undo(err)
	}
	if err := dst.Update(func(tx *bolt.Tx) error { return nil }); err != nil {
		return undo(err)
	}
	s.mu.Lock() // waits for readers
	defer s.mu.Unlock()
	if windows { // an open file can be neither renamed nor replaced there
		return s.swapClosed(dst, temp)
	}
	// The copy is locked before it is renamed and until the store is closed: no other process can
	// open it in between.
	if err := os.Rename(temp, path); err != nil {
		return undo(err)
	}
	old := s.db
	s.db = dst
	err = syncDir(filepath.Dir(path))
	return errors.Join(err, old.Close())
}

func (s *Store) swapClosed(dst *bolt.DB, temp string) error {
	err := errors.Join(dst.Close(), s.db.Close())
	if err == nil {
		err = os.Rename(temp, s.opt.Path)
	}
	var openErr error
	for range 20 {
		if s.db, openErr = openBolt(s.opt.Path, s.opt); openErr == nil || !errors.Is(openErr, berrors.ErrTimeout) {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	if openErr != nil {
		s.db = nil
	}
	return errors.Join(err, openErr)
}

// syncDir makes a rename in a folder durable.
func syncDir(dir string) error {
	if windows {
		return nil // folders cannot be flushed there
	}
	d, err := os.Open(dir)
	if err != nil {
		return wrapError(Failed, err, "the folder %s could not be flushed", dir)
	}
	defer d.Close()
	if err := d.Sync(); err != nil {
		return wrapError(Failed, err, "the folder %s could not be flushed", dir)
	}
	return nil
}
