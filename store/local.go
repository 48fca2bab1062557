package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"slices"
	"sync"
	"time"
	"unicode/utf8"

	bolt "go.etcd.io/bbolt"
)

// Local is a checkpoint: it never replicates and keeps no history. Its revision is written 0-N.
//
// A checkpoint is answered from memory and rides with the next commit of whatever kind, or goes by
// itself after [localsWait]. After a crash the one before may be back, which costs its replica a
// comparison. It is never ahead of the documents it speaks of: those were answered, hence on disk,
// before it was sent, and nothing is told of changes that are not.
type Local struct {
	ID   string // without _local/
	N    uint64
	Body []byte // members as they were sent
}

const (
	localsWait = 2 * time.Second // how long a checkpoint waits for another commit
	localsKept = 1 << 20         // bytes that may wait; more are committed at once
)

// locals are a store's checkpoints that are not on disk yet.
type locals struct {
	mu    sync.Mutex
	of    map[localKey]*waiting
	bytes int
	due   chan struct{} // tells the committer that there are some
}

type localKey struct {
	b  *Book
	id string
}

// waiting is a checkpoint to be written, or with n 0 to be removed.
type waiting struct {
	n    uint64
	body []byte
}

func (w *waiting) size(key localKey) int { return len(w.body) + len(key.id) + 100 }

// set replaces what waits under a key; nil drops it.
func (l *locals) set(key localKey, w *waiting) {
	if old := l.of[key]; old != nil {
		l.bytes -= old.size(key)
		delete(l.of, key)
	}
	if w != nil {
		l.of[key] = w
		l.bytes += w.size(key)
	}
}

// Local gives a checkpoint; NotFound where there is none.
func (b *Book) Local(id string) (Local, error) {
	l := Local{ID: id}
	b.s.locals.mu.Lock()
	w := b.s.locals.of[localKey{b, id}]
	b.s.locals.mu.Unlock()
	err := b.View(func(view *View) error {
		if w != nil {
			l.N, l.Body = w.n, w.body
		} else {
			l.N, l.Body = getLocal(view.book.Bucket(bucketLocal), id)
		}
		if l.Body = bytes.Clone(l.Body); l.N == 0 {
			return newError(NotFound, "missing")
		}
		return nil
	})
	return l, err
}

// Locals gives the ids of the checkpoints, without _local/, in the order of their bytes.
func (b *Book) Locals() (ids []string, err error) {
	b.s.locals.mu.Lock()
	waits := map[string]bool{} // and whether it is there once it is written
	for key, w := range b.s.locals.of {
		if key.b == b {
			waits[key.id] = w.n > 0
		}
	}
	b.s.locals.mu.Unlock()
	err = b.View(func(view *View) error {
		return view.book.Bucket(bucketLocal).ForEach(func(k, _ []byte) error {
			if _, wait := waits[string(k)]; !wait {
				ids = append(ids, string(k))
			}
			return nil
		})
	})
	for id, there := range waits {
		if there {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids, err
}

// getLocal reads a checkpoint; 0 where there is none. A damaged one counts as none: its replica then
// compares everything again, and would otherwise be stuck.
func getLocal(b *bolt.Bucket, id string) (n uint64, body []byte) {
	v, err := getSealed(b, []byte(id))
	if err != nil {
		return 0, nil
	}
	r := reader{b: v}
	n = r.uvarint()
	return n, r.b
}

// PutLocal replaces revision 0-N (N = 0: none yet) and gives the new number; Conflict where the
// present one is another.
func (b *Book) PutLocal(l Local) (uint64, error) {
	if l.ID == "" || len(l.ID) > MaxID {
		return 0, newError(Bad, "a checkpoint's id must have 1 to %d bytes", MaxID)
	}
	if !utf8.ValidString(l.ID) || l.ID == "." || l.ID == ".." {
		return 0, newError(Bad, "a checkpoint's id must be UTF-8, and not \".\" or \"..\", which no address can name")
	}
	return l.N + 1, b.changeLocal(l.ID, l.N, &waiting{l.N + 1, bytes.Clone(l.Body)})
}

// DeleteLocal removes a checkpoint; NotFound where its revision is not 0-n.
func (b *Book) DeleteLocal(id string, n uint64) error {
	if n == 0 {
		return newError(NotFound, "missing")
	}
	return b.changeLocal(id, n, &waiting{})
}

func (b *Book) changeLocal(id string, n uint64, w *waiting) error {
	s, key := b.s, localKey{b, id}
	if s.opt.ReadOnly {
		return newError(ReadOnly, "the store was opened for reading only")
	}
	full, before, err := b.keepLocal(key, n, w)
	if err != nil {
		return err
	}
	if !full {
		select {
		case s.locals.due <- struct{}{}:
		default: // the committer knows
		}
		return nil
	}
	err = s.update(func(*bolt.Tx) error { return nil }) // they ride with it
	if err != nil {
		s.locals.mu.Lock()
		defer s.locals.mu.Unlock()
		if s.locals.of[key] == w {
			s.locals.set(key, before)
		}
	}
	return err
}

// keepLocal puts a checkpoint among those that wait, if it replaces revision 0-n. full says that
// too many wait.
func (b *Book) keepLocal(key localKey, n uint64, w *waiting) (full bool, before *waiting, err error) {
	l := &b.s.locals
	l.mu.Lock()
	defer l.mu.Unlock()
	if isClosed(b.s.closing) { // looked at under the lock: what waits now is written by Close
		return false, nil, newError(Closed, "the store is closed")
	}
	err = b.View(func(view *View) error {
		before = l.of[key]
		var have uint64
		if before != nil {
			have = before.n
		} else {
			have, _ = getLocal(view.book.Bucket(bucketLocal), key.id)
		}
		switch {
		case have == n:
			return nil
		case w.n == 0:
			return newError(NotFound, "missing")
		default:
			return newError(Conflict, "Document update conflict.")
		}
	})
	if err != nil {
		return false, nil, unwrapped(err)
	}
	l.set(key, w)
	return l.bytes > localsKept, before, nil
}

// unwrapped gives the error that a function which writes nothing returned.
func unwrapped(err error) error {
	var u unwritten
	if errors.As(err, &u) {
		return u.error
	}
	return err
}

// write writes all checkpoints that wait, and gives them, to be dropped once they are on disk.
func (l *locals) write(tx *bolt.Tx) (map[localKey]*waiting, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.of) == 0 {
		return nil, nil
	}
	wrote := make(map[localKey]*waiting, len(l.of))
	for key, w := range l.of {
		wrote[key] = w
		bb, err := key.b.bucket(tx)
		if err != nil {
			continue // removed meanwhile, with its checkpoints
		}
		locals := bb.Bucket(bucketLocal)
		if w.n == 0 {
			err = locals.Delete([]byte(key.id))
		} else {
			v := binary.AppendUvarint(make([]byte, 0, len(w.body)+12+sealSize), w.n)
			err = putSealed(locals, []byte(key.id), append(v, w.body...))
		}
		if err != nil {
			return nil, err
		}
	}
	return wrote, nil
}

// written drops checkpoints that are on disk now, unless others have taken their place.
func (l *locals) written(wrote map[localKey]*waiting) {
	if len(wrote) == 0 {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	for key, w := range wrote {
		if l.of[key] == w {
			l.set(key, nil)
		}
	}
}

// writeLocals commits the checkpoints that wait, if any. What cannot be written goes on waiting.
func (s *Store) writeLocals() (left bool) {
	s.locals.mu.Lock()
	none := len(s.locals.of) == 0
	s.locals.mu.Unlock()
	if none {
		return false
	}
	var wrote map[localKey]*waiting
	err := s.write(func(tx *bolt.Tx) (err error) {
		wrote, err = s.locals.write(tx)
		return err
	})
	if err != nil {
		s.opt.Log.Warn("checkpoints could not be written", "error", err)
		return true
	}
	s.locals.written(wrote)
	return false
}
