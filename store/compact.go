package store

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
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
	s.notCompacted.Store(nil)
	go func() {
		defer s.compacting.Store(false)
		err := s.compact()
		var e *Error
		if errors.As(err, &e) {
			s.notCompacted.Store(e)
		}
		if err != nil && KindOf(err) != Closed {
			s.opt.Log.Error("the store could not be compacted", "error", err)
		}
	}()
	return nil
}

// NotCompacted gives why the compaction that was started last failed; nil where it did not.
func (s *Store) NotCompacted() error {
	if e := s.notCompacted.Load(); e != nil {
		return e
	}
	return nil
}

// Compact drops the bodies of non-leaf revisions, with the attachments only they name, and rewrites
// the file without its free pages, which frees disk space. Trees are kept. Reading and writing go on
// meanwhile; no write waits for longer than a small step. After a crash either the old or the new
// file is there, complete. Busy where it is being compacted already, or so much is written that the
// copy cannot catch up.
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
	if err := s.dropOldBodies(context.Background(), false); err != nil {
		return err
	}
	return s.rewrite(context.Background())
}

// dropOldBodies drops the bodies of revisions that are not leaves, in all books; at leisure, or as
// fast as others leave it time.
func (s *Store) dropOldBodies(ctx context.Context, leisure bool) error {
	for _, name := range s.Books() {
		b, err := s.Book(name)
		if err != nil {
			continue // removed meanwhile
		}
		if err := b.dropOldBodies(ctx, leisure); err != nil && KindOf(err) != NotFound {
			return err
		}
	}
	return nil
}

// Limits of one step: documents looked at by a reader, bodies dropped by a writer.
const (
	oldLook = 2000
	oldDrop = 500
	oldTime = 20 * time.Millisecond // of the writer, whatever is left
)

// dropOldBodies looks for documents with old bodies as a reader, and writes only where there are
// some, in steps between which others write.
func (b *Book) dropOldBodies(ctx context.Context, leisure bool) error {
	var after []byte
	for more := true; more; {
		var ids []string
		err := b.View(func(view *View) (err error) {
			c := view.doc.Cursor()
			k, v := c.Seek(after)
			if after != nil && bytes.Equal(k, after) {
				k, v = c.Next()
			}
			for n := 0; k != nil && n < oldLook; k, v = c.Next() {
				rec, _ := decodeRecord(k, v) // a damaged one has no bodies that are known
				if len(rec.old()) > 0 {
					ids = append(ids, string(k))
				}
				after = append(after[:0], k...)
				n++
			}
			more = k != nil
			return nil
		})
		if err != nil {
			return err
		}
		for len(ids) > 0 {
			began := time.Now()
			if ids, err = b.dropOldBodiesOf(ids); err != nil {
				return err
			}
			if leisure {
				if err := b.s.pause(ctx, began); err != nil {
					return err
				}
			}
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
	}
	return nil
}

// old gives the nodes that are not leaves and have a body.
func (r *record) old() (nodes []int) {
	for i := range r.tree.Nodes {
		if n := &r.tree.Nodes[i]; n.Inner && n.Body != 0 {
			nodes = append(nodes, i)
		}
	}
	return nodes
}

// dropOldBodiesOf drops some old bodies of documents in one transaction and gives the documents that
// are left.
func (b *Book) dropOldBodiesOf(ids []string) (left []string, err error) {
	err = b.s.update(func(tx *bolt.Tx) error {
		left = ids
		w, err := b.writer(tx)
		if err != nil {
			return err
		}
		began := time.Now()
		for n := 0; len(left) > 0 && n < oldDrop && time.Since(began) < oldTime; {
			id := left[0]
			rec, err := getRecord(w.doc, id)
			if KindOf(err) == Damaged {
				left = left[1:]
				continue
			}
			if err != nil {
				return err
			}
			old := rec.old()
			if left = left[1:]; len(old) > oldDrop-n {
				old, left = old[:oldDrop-n], ids[len(ids)-len(left)-1:]
			}
			n += len(old)
			dropped := false
			for _, i := range old {
				err := w.dropBody(rec.tree.Nodes[i].Body)
				if KindOf(err) == Damaged {
					continue // it may name contents, which cannot be told
				}
				if err != nil {
					return err
				}
				rec.tree.Nodes[i].Body, dropped = 0, true
			}
			if !dropped {
				continue
			}
			if err := w.doc.Put([]byte(id), rec.encode(id)); err != nil {
				return err
			}
		}
		return nil
	})
	return left, err
}

// compactingSuffix ends the name of the copy that a compaction writes.
const compactingSuffix = ".compacting"

// tidy removes temporary files that a killed process left beside the file: a compaction's copy, also
// of a file that has been renamed since, a restore's, a new store that was never renamed. No other
// process compacts or restores the file that this one has locked; one that works on another file in
// the same folder writes to its copy all the time, or is done within minutes.
func (s *Store) tidy() {
	dir, name := filepath.Split(s.opt.Path)
	s.dropFiles(dir, 0, func(f string) bool { return f == name+compactingSuffix })
	s.dropFiles(dir, 10*time.Minute, func(f string) bool {
		return strings.HasSuffix(f, compactingSuffix) || strings.HasSuffix(f, restoringSuffix)
	})
	s.drop(filepath.Join(dir, ".datumbook-*.new"), time.Minute)
}

// drop removes files that match a pattern and are older than an age; those left only take space.
// Only the file's name is a pattern, the folder is taken as it is.
func (s *Store) drop(pattern string, age time.Duration) {
	dir, name := filepath.Split(pattern)
	s.dropFiles(dir, age, func(f string) bool {
		ok, err := filepath.Match(name, f)
		return ok && err == nil
	})
}

func (s *Store) dropFiles(dir string, age time.Duration, match func(name string) bool) {
	if dir == "" {
		dir = "."
	}
	list, err := os.ReadDir(dir)
	if err != nil {
		return // what cannot be listed holds nothing of ours
	}
	for _, entry := range list {
		if !match(entry.Name()) || !entry.Type().IsRegular() {
			continue
		}
		path := filepath.Join(dir, entry.Name())
		if info, err := entry.Info(); err != nil || time.Since(info.ModTime()) < age {
			continue
		}
		if err := os.Remove(path); err != nil {
			s.opt.Log.Warn("a file that a killed process left could not be removed", "file", path, "error", err)
		}
	}
}

// The rounds in which a copy catches up with what is written meanwhile.
const (
	roundShort   = 40 * time.Millisecond  // a round that took less leaves little for the last
	roundsFree   = 6                      // after these, writers are held back half of the time
	roundsMost   = 60                     // then it is given up
	roundHold    = 100 * time.Millisecond // for how long at once they are
	rewriteBatch = 2 << 20                // bytes of one transaction of the copy
)

// rewrite copies the file without its free pages and replaces it with the copy. It copies one
// snapshot, then in rounds what was written since, until little is left; only the last round and the
// swap keep writers waiting.
func (s *Store) rewrite(ctx context.Context) error {
	temp := s.opt.Path + compactingSuffix
	if err := os.Remove(temp); err != nil && !errors.Is(err, os.ErrNotExist) {
		return wrapError(Failed, err, "the remains of an earlier compaction could not be removed")
	}
	dst, mapped, err := openMapped(temp, s.opt)
	if err != nil {
		os.Remove(temp) // a full disk has room for its name
		return err
	}
	undo := func(err error) error {
		_ = dst.Close()
		os.Remove(temp)
		return writeError(err)
	}
	dst.NoSync, dst.NoGrowSync = true, true // grows by what is written and is flushed at the end
	file, err := os.Open(s.opt.Path)
	if err != nil {
		return undo(err)
	}
	defer file.Close()
	f := &follower{snapshotPages: snapshotPages{file, dst.Info().PageSize}, dst: dst, fresh: true, batch: rewriteBatch,
		pulse: func() error {
			if isClosed(s.closing) {
				return newError(Closed, "the store is closed")
			}
			return ctx.Err()
		}}
	c := &catchUp{s: s, f: f}
	defer c.end()
	if s.wide() {
		err = c.rounds(ctx)
	}
	if err == nil {
		err = dst.Sync() // so that the last flush has little to write
	}
	if err != nil {
		return undo(err)
	}
	swapped := false
	err = s.alone(func() error {
		if err := c.round(); err != nil {
			return err
		}
		c.end()
		// A commit with flushes makes both header pages of the copy agree with what is on disk.
		dst.NoSync, dst.NoGrowSync = false, false
		if err := dst.Update(func(*bolt.Tx) error { return nil }); err != nil {
			return err
		}
		if s.onSwap != nil {
			if err := s.onSwap(dst); err != nil {
				return err
			}
		}
		swapped = true
		return s.swap(dst, temp, mapped)
	})
	if !swapped {
		return undo(err)
	}
	return err
}

// wide reports whether the file can double without being mapped anew. bbolt maps a file anew only
// when no transaction is open, which two overlapping snapshots never allow.
func (s *Store) wide() bool {
	size, err := s.Size()
	return err == nil && 2*size < s.mapped
}

// catchUp brings a copy up to the present, from snapshot to snapshot.
type catchUp struct {
	s    *Store
	f    *follower
	from *bolt.Tx // what the copy holds
}

func (c *catchUp) end() {
	if c.from != nil {
		_ = c.from.Rollback()
		c.from = nil
	}
}

// round brings the copy to what is committed now.
func (c *catchUp) round() error {
	to, err := c.s.begin()
	if err != nil {
		return err
	}
	var was tree
	if c.from != nil {
		was = rootOf(c.from)
	}
	err = c.s.safely(func() error { return c.f.follow(was, rootOf(to)) })
	c.end()
	c.from, c.f.fresh = to, false
	return err
}

func (c *catchUp) rounds(ctx context.Context) error {
	for n := range roundsMost {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		ease := func() {}
		if n >= roundsFree {
			ease = c.s.holdBack()
		}
		began := time.Now()
		err := c.round()
		ease()
		if err != nil || time.Since(began) < roundShort {
			return err
		}
	}
	return newError(Busy, "so much is written that the store cannot be compacted now; it is tried again later")
}

// holdBack keeps writers waiting half of the time, for a moment each, until the function it gives is
// called.
func (s *Store) holdBack() (ease func()) {
	stop, done := make(chan struct{}), make(chan struct{})
	wait := func() error {
		select {
		case <-stop:
		case <-time.After(roundHold):
		}
		return nil
	}
	go func() {
		defer close(done)
		for !isClosed(stop) && s.alone(wait) == nil {
			_ = wait()
		}
	}()
	return func() { close(stop); <-done }
}

// swap puts the copy in the file's place. Readers that are under way end with the old file, which
// is closed after them; nobody waits for them.
func (s *Store) swap(dst *bolt.DB, temp string, mapped int64) error {
	if windows { // an open file can be neither renamed nor replaced there
		s.mu.Lock() // waits for readers
		defer s.mu.Unlock()
		return s.swapClosed(dst, temp)
	}
	// The copy is locked before it is renamed and until the store is closed: no other process can
	// open it in between.
	if err := os.Rename(temp, s.opt.Path); err != nil {
		_ = dst.Close()
		os.Remove(temp)
		return writeError(err)
	}
	err := syncDir(filepath.Dir(s.opt.Path))
	s.mu.Lock()
	old := s.db
	s.db, s.mapped = dst, mapped
	s.mu.Unlock()
	s.replaced.Go(func() {
		if err := old.Close(); err != nil {
			s.opt.Log.Warn("the file from before the compaction could not be closed", "error", err)
		}
	})
	return err
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
