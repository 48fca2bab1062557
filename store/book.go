package store

import (
	"bytes"
	"encoding/binary"
	"maps"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	bolt "go.etcd.io/bbolt"
)

// DefaultRevsLimit is how many generations of a revision's ancestors are kept: no fewer than the
// phones keep.
const DefaultRevsLimit = 1000

// MaxID is the longest document or checkpoint id in bytes.
const MaxID = 8000

// Book is one shop book: a database of the replication protocol.
type Book struct {
	s    *Store
	name string
	seq  atomic.Uint64 // the last committed sequence
	gone atomic.Bool

	pending pending

	lostMu sync.Mutex
	lost   map[uint64]string // documents of damaged rows of the sequence, by their number

	wakeMu sync.Mutex
	waker  chan struct{}
}

// Info describes a book.
type Info struct {
	Name       string
	Docs       uint64 // documents whose winner is not a deletion
	Deleted    uint64 // documents whose winner is one
	Seq        uint64 // the last sequence given out
	RevsLimit  int
	Compacting bool
}

// state is a book's counters.
type state struct {
	seq, body, docs, deleted uint64
	limit                    uint64
}

func loadState(b *bolt.Bucket) (state, error) {
	v, err := getSealed(b, keyState)
	if err != nil {
		return state{}, err
	}
	r := reader{b: v}
	st := state{r.uvarint(), r.uvarint(), r.uvarint(), r.uvarint(), r.uvarint()}
	if r.bad || len(r.b) != 0 {
		return state{}, newError(Damaged, "a book's counters are damaged")
	}
	return st, nil
}

func (st state) save(b *bolt.Bucket) error {
	var v []byte
	for _, n := range []uint64{st.seq, st.body, st.docs, st.deleted, st.limit} {
		v = binary.AppendUvarint(v, n)
	}
	return putSealed(b, keyState, v)
}

// GoodBookName reports whether a name can be a book's: lower-case letter first, then lower-case
// letters, digits and _ $ ( ) + - /, at most 200 bytes. These are the protocol's names for
// databases.
func GoodBookName(name string) bool {
	if name == "" || len(name) > 200 || name[0] < 'a' || name[0] > 'z' {
		return false
	}
	for _, c := range []byte(name) {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && !strings.ContainsRune("_$()+-/", rune(c)) {
			return false
		}
	}
	return true
}

// CreateBook makes an empty book. Bad for a name that GoodBookName refuses, Exists if there is one
// of that name.
func (s *Store) CreateBook(name string) (*Book, error) {
	if !GoodBookName(name) {
		return nil, newError(Bad, "%q cannot name a book: only lower-case letters (a-z), digits (0-9), "+
			"and any of the characters _, $, (, ), +, -, and / are allowed, beginning with a letter", name)
	}
	book := &Book{s: s, name: name}
	err := s.commit(&job{fn: func(tx *bolt.Tx) error {
		books := tx.Bucket(bucketBooks)
		if books.Bucket([]byte(name)) != nil {
			return unwritten{newError(Exists, "the book %s exists already", name)}
		}
		b, err := books.CreateBucket([]byte(name))
		if err != nil {
			return err
		}
		for _, sub := range bookBuckets {
			if _, err := b.CreateBucket(sub); err != nil {
				return err
			}
		}
		if err := putSealed(b, keyName, []byte(name)); err != nil {
			return err
		}
		return state{limit: DefaultRevsLimit}.save(b)
	}, after: func() {
		s.booksMu.Lock()
		defer s.booksMu.Unlock()
		s.books[name] = book
	}})
	if err != nil {
		return nil, err
	}
	return book, nil
}

// Book gives an existing book; NotFound where there is none.
func (s *Store) Book(name string) (*Book, error) {
	s.booksMu.Lock()
	defer s.booksMu.Unlock()
	if b := s.books[name]; b != nil {
		return b, nil
	}
	return nil, newError(NotFound, "there is no book %s", name)
}

// Books lists the books' names in order.
func (s *Store) Books() []string {
	s.booksMu.Lock()
	defer s.booksMu.Unlock()
	names := slices.AppendSeq(make([]string, 0, len(s.books)), maps.Keys(s.books))
	slices.Sort(names)
	return names
}

// DeleteBook removes a book with everything in it. NotFound where there is none.
func (s *Store) DeleteBook(name string) error {
	err := s.commit(&job{fn: func(tx *bolt.Tx) error {
		b := tx.Bucket(bucketBooks).Bucket([]byte(name))
		if b == nil {
			return unwritten{newError(NotFound, "there is no book %s", name)}
		}
		err := b.Bucket(bucketBody).ForEach(func(k, raw []byte) error { return releaseBody(tx, k, raw) })
		if err != nil {
			return err
		}
		if err := dropPrefix(tx.Bucket(bucketFlag), append([]byte(name), 0)); err != nil {
			return err
		}
		return tx.Bucket(bucketBooks).DeleteBucket([]byte(name))
	}, after: func() {
		s.booksMu.Lock()
		b := s.books[name]
		delete(s.books, name)
		s.booksMu.Unlock()
		if b != nil {
			b.gone.Store(true)
			b.wake(0)
		}
	}})
	return err
}

func (s *Store) loadBook(tx *bolt.Tx, name string) (*Book, error) {
	b := &Book{s: s, name: name}
	in := tx.Bucket(bucketBooks).Bucket([]byte(name))
	if err := checkName(in, name); err != nil {
		return nil, err
	}
	st, err := loadState(in)
	b.seq.Store(st.seq)
	return b, err
}

// bucket finds the book's bucket in a transaction.
func (b *Book) bucket(tx *bolt.Tx) (*bolt.Bucket, error) {
	if v := tx.Bucket(bucketBooks).Bucket([]byte(b.name)); v != nil && !b.gone.Load() {
		return v, nil
	}
	return nil, unwritten{newError(NotFound, "there is no book %s", b.name)}
}

// Name gives the book's name.
func (b *Book) Name() string { return b.name }

// Info gives the book's counts.
func (b *Book) Info() (in Info, err error) {
	err = b.View(func(view *View) error {
		in, err = view.Info()
		return err
	})
	return in, err
}

// SetRevsLimit sets how many generations are kept, at least 1. It takes effect on a document when
// it is next written.
func (b *Book) SetRevsLimit(limit int) error {
	if limit < 1 {
		return newError(Bad, "the revision limit must be at least 1")
	}
	return b.s.update(func(tx *bolt.Tx) error {
		bb, err := b.bucket(tx)
		if err != nil {
			return err
		}
		st, err := loadState(bb)
		if err != nil {
			return err
		}
		st.limit = uint64(limit)
		return st.save(bb)
	})
}

// purgedLimit is how many purges a database of the protocol remembers to begin with.
const purgedLimit = 1000

// PurgedLimit gives how many purges the book says it remembers. Nothing is purged here; it is kept for
// replicas that set and read it.
func (b *Book) PurgedLimit() (n int, err error) {
	err = b.View(func(view *View) error {
		v, err := getSealed(view.book, keyPurged)
		if n = purgedLimit; v != nil {
			r := reader{b: v}
			n = int(r.uvarint())
		}
		return err
	})
	return n, err
}

// SetPurgedLimit sets it, at least 1.
func (b *Book) SetPurgedLimit(n int) error {
	if n < 1 {
		return newError(Bad, "the limit of purges must be a whole number of at least 1")
	}
	return b.s.update(func(tx *bolt.Tx) error {
		bb, err := b.bucket(tx)
		if err != nil {
			return err
		}
		return putSealed(bb, keyPurged, binary.AppendUvarint(nil, uint64(n)))
	})
}

// Seq returns the last committed sequence without reading the file.
func (b *Book) Seq() uint64 { return b.seq.Load() }

// Changed gives a channel that is closed at the next commit that changes the book, or when the book
// or the store goes. Take it before reading, then read, then wait.
func (b *Book) Changed() <-chan struct{} {
	b.wakeMu.Lock()
	defer b.wakeMu.Unlock()
	if b.waker == nil {
		b.waker = make(chan struct{})
		if b.gone.Load() {
			close(b.waker)
			return b.waker
		}
	}
	return b.waker
}

func (b *Book) wake(seq uint64) {
	if seq > 0 {
		b.seq.Store(seq)
	}
	b.wakeMu.Lock()
	defer b.wakeMu.Unlock()
	if b.waker != nil && !(seq == 0 && isClosed(b.waker)) {
		close(b.waker)
	}
	b.waker = nil
}

func isClosed(c chan struct{}) bool {
	select {
	case <-c:
		return true
	default:
		return false
	}
}

func dropPrefix(b *bolt.Bucket, prefix []byte) error {
	var keys [][]byte
	c := b.Cursor()
	for k, _ := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, _ = c.Next() {
		keys = append(keys, slices.Clone(k))
	}
	for _, k := range keys {
		if err := b.Delete(k); err != nil {
			return err
		}
	}
	return nil
}
