package store

import (
	"bytes"
	"encoding/binary"
	"io"

	bolt "go.etcd.io/bbolt"
)

// snapshotPages reads the pages of bbolt's file for comparing two snapshots of it. bbolt writes a
// changed page to another place and does not use the place of a page again while a transaction that
// can see it is open. So a page number that two open snapshots have in common stands for the same
// bytes, and for all that lies below.
type snapshotPages struct {
	r    io.ReaderAt
	size int
}

// tree is a bucket in a snapshot: the page it begins at, or the one page that lies in its value. The
// zero tree is empty.
type tree struct {
	root   uint64
	inline []byte
}

const bucketHead = 16 // root page and sequence

// treeOf reads a bucket's value.
func treeOf(v []byte) (t tree, seq uint64, err error) {
	if len(v) < bucketHead {
		return t, 0, newError(Damaged, "a bucket of the store is damaged: it is too short")
	}
	t.root, seq = binary.LittleEndian.Uint64(v), binary.LittleEndian.Uint64(v[8:])
	if t.root == 0 {
		t.inline = v[bucketHead:]
	}
	return t, seq, nil
}

// rootOf gives the tree of a transaction's top bucket.
func rootOf(tx *bolt.Tx) tree { return tree{root: uint64(tx.Cursor().Bucket().Root())} }

// read gives a whole page in memory of its own.
func (p *snapshotPages) read(id uint64) ([]byte, error) {
	b := make([]byte, p.size)
	if _, err := p.r.ReadAt(b, int64(id)*int64(p.size)); err != nil {
		return nil, wrapError(Damaged, err, "page %d of the store cannot be read", id)
	}
	over := int(binary.LittleEndian.Uint32(b[12:]))
	if binary.LittleEndian.Uint64(b) != id || over >= 1<<20 {
		return nil, newError(Damaged, "page %d of the store is damaged: it says it is another one", id)
	}
	if over > 0 {
		b = append(make([]byte, 0, (over+1)*p.size), b...)[:(over+1)*p.size]
		if _, err := p.r.ReadAt(b[p.size:], int64(id+1)*int64(p.size)); err != nil {
			return nil, wrapError(Damaged, err, "page %d of the store cannot be read", id)
		}
	}
	return b, nil
}

func isBranch(page []byte) bool { return binary.LittleEndian.Uint16(page[8:])&pageBranch != 0 }

// children gives the pages below a branch.
func children(page []byte) ([]uint64, error) {
	n := int(binary.LittleEndian.Uint16(page[10:]))
	if pageHead+n*elemSize > len(page) {
		return nil, newError(Damaged, "a page of the store is damaged: its entries do not fit")
	}
	out := make([]uint64, n)
	for i := range out {
		out[i] = binary.LittleEndian.Uint64(page[pageHead+i*elemSize+8:])
	}
	return out, nil
}

// height gives how many branches lie between a page and the leaves.
func (p *snapshotPages) height(id uint64) (int, error) {
	for h := 0; h < 64; h++ {
		page, err := p.read(id)
		if err != nil {
			return 0, err
		}
		if !isBranch(page) {
			return h, nil
		}
		below, err := children(page)
		if err != nil || len(below) == 0 {
			return 0, newError(Damaged, "a page of the store is damaged: nothing lies below it")
		}
		id = below[0]
	}
	return 0, newError(Damaged, "the store's pages are nested too deep")
}

// below replaces each branch by the pages below it.
func (p *snapshotPages) below(ids []uint64) ([]uint64, error) {
	var out []uint64
	for _, id := range ids {
		page, err := p.read(id)
		if err != nil {
			return nil, err
		}
		if !isBranch(page) {
			out = append(out, id)
			continue
		}
		next, err := children(page)
		if err != nil {
			return nil, err
		}
		out = append(out, next...)
	}
	return out, nil
}

// unshared gives the leaves that only one of two trees has, in the order of their keys. It reads the
// branches above them and nothing of what they share. All leaves of a tree lie equally deep, so both
// trees are gone down level by level.
func (p *snapshotPages) unshared(a, b uint64) (onlyA, onlyB []uint64, err error) {
	up, err := p.height(a)
	if err != nil {
		return nil, nil, err
	}
	upB, err := p.height(b)
	if err != nil {
		return nil, nil, err
	}
	onlyA, onlyB = []uint64{a}, []uint64{b}
	for ; up > upB; up-- {
		if onlyA, err = p.below(onlyA); err != nil {
			return nil, nil, err
		}
	}
	for ; upB > up; upB-- {
		if onlyB, err = p.below(onlyB); err != nil {
			return nil, nil, err
		}
	}
	for ; ; up-- {
		onlyA, onlyB = without(onlyA, onlyB), without(onlyB, onlyA)
		if up == 0 {
			return onlyA, onlyB, nil
		}
		if onlyA, err = p.below(onlyA); err == nil {
			onlyB, err = p.below(onlyB)
		}
		if err != nil {
			return nil, nil, err
		}
	}
}

// without gives the ids that are not in another list, in a list of its own.
func without(ids, others []uint64) []uint64 {
	has := make(map[uint64]bool, len(others))
	for _, id := range others {
		has[id] = true
	}
	var out []uint64
	for _, id := range ids {
		if !has[id] {
			out = append(out, id)
		}
	}
	return out
}

// entries goes over the entries of leaves, page by page.
type entries struct {
	p         *snapshotPages
	queue     []uint64 // pages to come
	page      []byte
	at, count int

	key, value []byte
	bucket     bool
	ok         bool // there is an entry
}

// begin gives the entries of a tree's leaves that ids lists, or of its inline page.
func (p *snapshotPages) begin(t tree, ids []uint64) (*entries, error) {
	e := &entries{p: p, queue: ids}
	if len(t.inline) >= pageHead {
		e.page, e.count = t.inline, int(binary.LittleEndian.Uint16(t.inline[10:]))
	}
	return e, e.next()
}

func (e *entries) next() error {
	for e.at >= e.count {
		if e.ok = len(e.queue) > 0; !e.ok {
			return nil
		}
		page, err := e.p.read(e.queue[0])
		if err != nil {
			return err
		}
		e.queue = e.queue[1:]
		if isBranch(page) {
			below, err := children(page)
			if err != nil {
				return err
			}
			e.queue = append(below, e.queue...)
			continue
		}
		e.page, e.at, e.count = page, 0, int(binary.LittleEndian.Uint16(page[10:]))
	}
	le, head := binary.LittleEndian, pageHead+e.at*elemSize
	if head+elemSize > len(e.page) {
		return newError(Damaged, "a page of the store is damaged: its entries do not fit")
	}
	elem := e.page[head:]
	from := uint64(head) + uint64(le.Uint32(elem[4:]))
	mid := from + uint64(le.Uint32(elem[8:]))
	end := mid + uint64(le.Uint32(elem[12:]))
	if end > uint64(len(e.page)) {
		return newError(Damaged, "a page of the store is damaged: an entry lies outside it")
	}
	e.key, e.value, e.bucket = e.page[from:mid:mid], e.page[mid:end:end], le.Uint32(elem)&elemBucket != 0
	e.ok = true
	e.at++
	return nil
}

// compared gives the entries in which two trees may differ.
func (p *snapshotPages) compared(a, b tree) (ea, eb *entries, err error) {
	var idsA, idsB []uint64
	switch {
	case a.root != 0 && b.root != 0:
		if idsA, idsB, err = p.unshared(a.root, b.root); err != nil {
			return nil, nil, err
		}
	case a.root != 0:
		idsA = []uint64{a.root}
	case b.root != 0:
		idsB = []uint64{b.root}
	}
	if ea, err = p.begin(a, idsA); err == nil {
		eb, err = p.begin(b, idsB)
	}
	return ea, eb, err
}

// follower brings a copy of a store from one snapshot to another: what the second has and the first
// has not is put, the other way about is deleted.
type follower struct {
	snapshotPages
	dst   *bolt.DB
	tx    *bolt.Tx
	path  [][]byte     // of the bucket that is written
	b     *bolt.Bucket // that bucket in tx; nil if it must be looked up
	size  int          // bytes written in tx
	fresh bool         // the copy is being filled for the first time, in the order of its keys
	pulse func() error // called between transactions; an error ends the copying
	batch int          // bytes of one transaction
}

// follow brings the copy from a to b; a zero tree stands for an empty store.
func (f *follower) follow(a, b tree) (err error) {
	if f.tx, err = f.dst.Begin(true); err != nil {
		return err
	}
	defer func() {
		if f.tx != nil {
			_ = f.tx.Rollback()
			f.tx = nil
		}
	}()
	f.path, f.b, f.size = nil, nil, 0
	if err := f.diff(a, b); err != nil {
		return err
	}
	tx := f.tx
	f.tx = nil
	return tx.Commit()
}

// in gives the bucket that is written.
func (f *follower) in() *bolt.Bucket {
	if f.b != nil {
		return f.b
	}
	f.b = f.tx.Cursor().Bucket()
	for _, name := range f.path {
		f.b = f.b.Bucket(name)
	}
	switch {
	case f.fresh:
		f.b.FillPercent = 1
	case len(f.path) > 0 && appended(f.path[len(f.path)-1]):
		f.b.FillPercent = 0.95
	}
	return f.b
}

// appended reports whether a bucket of this name is only appended to.
func appended(name []byte) bool {
	return bytes.Equal(name, bucketBody) || bytes.Equal(name, bucketSeq) || bytes.Equal(name, bucketChunk)
}

// wrote counts what was written and starts another transaction where this one is large enough.
func (f *follower) wrote(n int) error {
	if f.size += n + elemSize; f.size < f.batch {
		return nil
	}
	tx := f.tx
	f.tx, f.b, f.size = nil, nil, 0
	if err := tx.Commit(); err != nil {
		return err
	}
	if err := f.pulse(); err != nil {
		return err
	}
	var err error
	f.tx, err = f.dst.Begin(true)
	return err
}

func (f *follower) diff(a, b tree) error {
	old, now, err := f.compared(a, b)
	if err != nil {
		return err
	}
	for old.ok || now.ok {
		order := 0
		switch {
		case !now.ok:
			order = -1
		case !old.ok:
			order = 1
		default:
			order = bytes.Compare(old.key, now.key)
		}
		if order < 0 || order == 0 && old.bucket != now.bucket {
			if err := f.remove(old.key, old.bucket); err != nil {
				return err
			}
		}
		if order >= 0 {
			var was []byte
			if order == 0 && old.bucket == now.bucket {
				was = old.value
			}
			if err := f.put(now, was); err != nil {
				return err
			}
			if err := now.next(); err != nil {
				return err
			}
		}
		if order <= 0 {
			if err := old.next(); err != nil {
				return err
			}
		}
	}
	return nil
}

func (f *follower) remove(key []byte, bucket bool) error {
	var err error
	if bucket {
		err = f.in().DeleteBucket(key)
	} else {
		err = f.in().Delete(key)
	}
	if err == nil {
		err = f.wrote(len(key))
	}
	return err
}

// put writes an entry; was is its value in the first snapshot, nil where it had none.
func (f *follower) put(now *entries, was []byte) error {
	if was != nil && bytes.Equal(was, now.value) {
		return nil
	}
	if !now.bucket {
		if err := f.in().Put(now.key, now.value); err != nil {
			return err
		}
		return f.wrote(len(now.key) + len(now.value))
	}
	b, seq, err := treeOf(now.value)
	if err != nil {
		return err
	}
	var a tree
	var had uint64
	if was != nil {
		if a, had, err = treeOf(was); err != nil {
			return err
		}
	} else if _, err := f.in().CreateBucket(now.key); err != nil {
		return err
	}
	if seq != had {
		if err := f.in().Bucket(now.key).SetSequence(seq); err != nil {
			return err
		}
	}
	if a.root == b.root && bytes.Equal(a.inline, b.inline) {
		return nil
	}
	f.path, f.b = append(f.path, now.key), nil
	if err := f.diff(a, b); err != nil {
		return err
	}
	f.path, f.b = f.path[:len(f.path)-1], nil
	return nil
}
