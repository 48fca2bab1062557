package store

import (
	"bytes"
	"encoding/binary"
	"maps"
	"slices"
	"sync"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Local is a checkpoint: it never replicates and keeps no history. Its revision is written 0-N.
type Local struct {
	ID   string // without _local/
	N    uint64
	Body []byte // members as they were sent
}

// Checkpoints wait in memory for the next commit, at most for localDelay: a phone that pushes writes one after each batch
// and waits for the answer, and would otherwise wait for two flushes more each time. Nothing is lost with one: it names
// records that are on disk already, and a phone whose checkpoint is older than it remembers, or gone, compares from there on
// once more. Records are never answered before they are on disk.
const localDelay = time.Second

// localRow is a checkpoint as it is to be; n is 0 where it is removed.
type localRow struct {
	n    uint64
	body []byte
}

// localRows are a book's checkpoints that wait. The lock may be held while a read transaction is opened, never the other
// way round outside the committer.
type localRows struct {
	mu   sync.Mutex
	rows map[string]*localRow
}

// Local gives a checkpoint; NotFound where there is none.
func (b *Book) Local(id string) (Local, error) {
	b.locals.mu.Lock()
	defer b.locals.mu.Unlock()
	n, body, err := b.local(id)
	if err == nil && n == 0 {
		err = fault(NotFound, "missing")
	}
	return Local{id, n, body}, err
}

// local reads a checkpoint that waits or is on disk: 0 where there is none. The lock is held.
func (b *Book) local(id string) (n uint64, body []byte, err error) {
	row := b.locals.rows[id]
	err = b.s.view(func(tx *bolt.Tx) error {
		bb, err := b.bucket(tx)
		if err != nil || row != nil {
			return err
		}
		n, body, err = getLocal(bb.Bucket(bucketLocal), id)
		body = bytes.Clone(body)
		return err
	})
	if err == nil && row != nil {
		n, body = row.n, bytes.Clone(row.body)
	}
	return n, body, err
}

func getLocal(b *bolt.Bucket, id string) (uint64, []byte, error) {
	v, err := getSealed(b, []byte(id))
	if err != nil || v == nil {
		return 0, nil, err
	}
	r := reader{b: v}
	n := r.uvarint()
	if r.bad || n == 0 {
		return 0, nil, fault(Damaged, "a checkpoint is damaged")
	}
	return n, r.b, nil
}

// PutLocal replaces revision 0-N (N = 0: none yet) and gives the new number; Conflict where the present one is another.
func (b *Book) PutLocal(l Local) (uint64, error) {
	if l.ID == "" || len(l.ID) > MaxID {
		return 0, fault(Bad, "a checkpoint's id must have 1 to %d bytes", MaxID)
	}
	return l.N + 1, b.changeLocal(l.ID, l.N, l.Body, false)
}

// DeleteLocal removes a checkpoint; NotFound where its revision is not 0-n.
func (b *Book) DeleteLocal(id string, n uint64) error { return b.changeLocal(id, n, nil, true) }

func (b *Book) changeLocal(id string, n uint64, body []byte, remove bool) error {
	s := b.s
	if s.opt.ReadOnly {
		return fault(ReadOnly, "the store was opened for reading only")
	}
	if err := b.noteLocal(id, n, body, remove); err != nil {
		return err
	}
	armed := s.localsDue.Swap(true)
	if s.localsWait.Add(int64(len(body)+len(id))) > groupBytes || s.localsLate.Load() {
		return s.FlushLocals() // the disk refused some: from then on each is told whether it was taken, until all are
	}
	if !armed {
		s.flushLocalsSoon()
	}
	return nil
}

func (s *Store) flushLocalsSoon() { time.AfterFunc(localDelay, func() { _ = s.FlushLocals() }) }

func (b *Book) noteLocal(id string, n uint64, body []byte, remove bool) error {
	b.locals.mu.Lock()
	defer b.locals.mu.Unlock()
	if isClosed(b.s.closing) { // Close writes what waits after this, under the lock
		return fault(Closed, "the store is closed")
	}
	have, _, err := b.local(id)
	switch {
	case err != nil:
		return err
	case remove && (have == 0 || have != n):
		return fault(NotFound, "missing")
	case have != n:
		return fault(Conflict, "Document update conflict.")
	}
	row := &localRow{n: n + 1, body: bytes.Clone(body)}
	if remove {
		row = &localRow{}
	}
	if b.locals.rows == nil {
		b.locals.rows = map[string]*localRow{}
	}
	b.locals.rows[id] = row
	return nil
}

// lastLocals writes the checkpoints that wait when the committer has ended and no more can come.
func (s *Store) lastLocals() {
	waiting := false
	s.booksMu.Lock()
	for _, b := range s.books {
		b.locals.mu.Lock()
		waiting = waiting || len(b.locals.rows) > 0
		b.locals.mu.Unlock()
	}
	s.booksMu.Unlock()
	if !waiting {
		return
	}
	s.localsDue.Store(true)
	var done func()
	err := s.write(func(tx *bolt.Tx) (err error) {
		done, err = s.writeLocals(tx)
		return err
	})
	if err == nil {
		done()
	} else if KindOf(err) != Closed {
		s.opt.Log.Warn("checkpoints could not be written; phones will compare more than they need to", "error", err)
	}
}

// FlushLocals returns once all checkpoints written so far are on disk.
func (s *Store) FlushLocals() error {
	if !s.localsDue.Load() {
		return nil
	}
	err := s.update(func(*bolt.Tx) error { return nil })
	if late := err != nil && KindOf(err) != Closed; late != s.localsLate.Swap(late) && late {
		s.opt.Log.Warn("checkpoints could not be written; phones will compare more than they need to", "error", err)
	}
	return err
}

// writeLocals puts what waits into the transaction; done takes it off once that is on disk. It comes first in a transaction, so
// that a book removed in it takes its checkpoints along and one made anew under the name has none.
func (s *Store) writeLocals(tx *bolt.Tx) (done func(), err error) {
	if !s.localsDue.Load() {
		return func() {}, nil
	}
	s.booksMu.Lock()
	books := slices.Collect(maps.Values(s.books))
	s.booksMu.Unlock()
	written := map[*Book]map[string]*localRow{}
	for _, b := range books {
		b.locals.mu.Lock()
		rows := maps.Clone(b.locals.rows)
		b.locals.mu.Unlock()
		bb := tx.Bucket(bucketBooks).Bucket([]byte(b.name))
		if len(rows) == 0 || bb == nil {
			continue
		}
		written[b] = rows
		locals := bb.Bucket(bucketLocal)
		for _, id := range slices.Sorted(maps.Keys(rows)) {
			if row := rows[id]; row.n == 0 {
				err = locals.Delete([]byte(id))
			} else {
				v := binary.AppendUvarint(make([]byte, 0, len(row.body)+12), row.n)
				err = putSealed(locals, []byte(id), append(v, row.body...))
			}
			if err != nil {
				return nil, err
			}
		}
	}
	return func() {
		s.localsWait.Store(0)
		s.localsDue.Store(false)
		left := false
		for _, b := range books {
			b.locals.mu.Lock()
			for id, row := range written[b] {
				if b.locals.rows[id] == row {
					delete(b.locals.rows, id)
				}
			}
			left = left || len(b.locals.rows) > 0
			b.locals.mu.Unlock()
		}
		if left && s.localsDue.CompareAndSwap(false, true) { // written meanwhile by one who saw that a commit was due
			s.flushLocalsSoon()
		}
	}, nil
}
