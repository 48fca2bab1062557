package store

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
)

// pageWalk checks bbolt's pages with plain reads. bbolt's own Tx.Check trusts the page numbers and
// lengths it finds, in its own goroutine: on some damage it reads outside the mapped file, and that
// memory fault cannot be recovered.
type pageWalk struct {
	r        io.ReaderAt
	h        header
	used     []uint64 // a bit for each page: reached, or free
	problems []string
	quick    bool // read only the first page of multi-page entries
	depth    int
	buf      [][]byte // a page buffer for each depth
}

const (
	pageBranch   = 0x01
	pageLeaf     = 0x02
	pageFreelist = 0x10
	elemSize     = 16
	elemBucket   = 0x01
	maxProblems  = 100
)

// checkPages walks all pages reachable from a header and returns the problems as sentences. quick
// skips all but the first page of long entries.
func checkPages(r io.ReaderAt, h header, quick bool) []string {
	w := &pageWalk{r: r, h: h, quick: quick, used: make([]uint64, h.pages/64+1)}
	w.mark(0, 0, "header")
	w.mark(1, 0, "header")
	w.tree(h.root, nil, nil)
	if h.free != noFreelist {
		w.freelist()
		for p := uint64(0); p < h.pages; p++ {
			if w.used[p/64]&(1<<(p%64)) == 0 {
				w.problem("page %d is neither used nor free", p)
			}
		}
	}
	return w.problems
}

func (w *pageWalk) problem(format string, args ...any) {
	if len(w.problems) < maxProblems {
		w.problems = append(w.problems, fmt.Sprintf(format, args...))
	}
}

// mark marks pages as used; false if one already was.
func (w *pageWalk) mark(page, overflow uint64, as string) bool {
	for p := page; p <= page+overflow; p++ {
		if w.used[p/64]&(1<<(p%64)) != 0 {
			w.problem("page %d is used twice, the second time as %s", p, as)
			return false
		}
		w.used[p/64] |= 1 << (p % 64)
	}
	return true
}

// load reads a whole page into the current depth's buffer.
func (w *pageWalk) load(page uint64) ([]byte, bool) {
	if page < 2 || page >= w.h.pages {
		w.problem("page %d lies outside the file", page)
		return nil, false
	}
	if w.depth > 64 {
		w.problem("page %d is nested too deep", page)
		return nil, false
	}
	for len(w.buf) <= w.depth {
		w.buf = append(w.buf, nil)
	}
	size := int(w.h.pageSize)
	b := w.buf[w.depth]
	if cap(b) < size {
		b = make([]byte, size)
	}
	b = b[:size]
	if _, err := w.r.ReadAt(b, int64(page)*w.h.pageSize); err != nil {
		w.problem("page %d cannot be read: %v", page, err)
		return nil, false
	}
	if id := binary.LittleEndian.Uint64(b); id != page {
		w.problem("page %d says it is page %d", page, id)
		return nil, false
	}
	over := uint64(binary.LittleEndian.Uint32(b[12:]))
	if over >= w.h.pages-page {
		w.problem("page %d says it goes on beyond the file", page)
		return nil, false
	}
	if over > 0 && !(w.quick && binary.LittleEndian.Uint16(b[8:]) == pageLeaf) {
		if n := (int(over) + 1) * size; cap(b) < n {
			b = append(make([]byte, 0, n), b...)[:n]
		} else {
			b = b[:n]
		}
		if _, err := w.r.ReadAt(b[size:], int64(page+1)*w.h.pageSize); err != nil {
			w.problem("page %d cannot be read: %v", page, err)
			return nil, false
		}
	}
	w.buf[w.depth] = b
	return b, true
}

// tree checks a page and all below it. Keys must be at least low, and below high if given.
func (w *pageWalk) tree(page uint64, low, high []byte) {
	b, ok := w.load(page)
	if !ok {
		return
	}
	over := uint64(binary.LittleEndian.Uint32(b[12:]))
	if !w.mark(page, over, "data") {
		return
	}
	w.depth++
	defer func() { w.depth-- }()
	w.elements(b, fmt.Sprintf("page %d", page), low, high)
}

// elements checks the inside of a branch or leaf page, which may also lie inline in a value.
func (w *pageWalk) elements(b []byte, name string, low, high []byte) {
	if len(b) < pageHead {
		w.problem("%s is too short", name)
		return
	}
	flags := binary.LittleEndian.Uint16(b[8:])
	count := int(binary.LittleEndian.Uint16(b[10:]))
	if flags != pageBranch && flags != pageLeaf {
		w.problem("%s is of an unknown kind", name)
		return
	}
	if pageHead+count*elemSize > len(b) {
		if flags == pageBranch || !w.quick {
			w.problem("%s says it has %d entries, which do not fit", name, count)
		}
		return
	}
	if flags == pageBranch && count == 0 {
		w.problem("%s has no entries", name)
		return
	}
	keys := make([][]byte, count)
	for i := range keys {
		at := pageHead + i*elemSize
		e := b[at:]
		var pos, ksize, vsize uint64
		if flags == pageBranch {
			pos, ksize = uint64(binary.LittleEndian.Uint32(e)), uint64(binary.LittleEndian.Uint32(e[4:]))
		} else {
			pos, ksize, vsize = uint64(binary.LittleEndian.Uint32(e[4:])), uint64(binary.LittleEndian.Uint32(e[8:])), uint64(binary.LittleEndian.Uint32(e[12:]))
		}
		begin := uint64(at) + pos
		if begin < uint64(pageHead+count*elemSize) || begin+ksize+vsize > uint64(len(b)) {
			if flags == pageBranch || !w.quick {
				w.problem("entry %d of %s lies outside it", i, name)
			}
			return
		}
		key := b[begin : begin+ksize]
		keys[i] = key
		if (i > 0 && bytes.Compare(keys[i-1], key) >= 0) || bytes.Compare(key, low) < 0 || (high != nil && bytes.Compare(key, high) >= 0) {
			w.problem("entry %d of %s is out of order", i, name)
			return
		}
		if flags == pageLeaf {
			switch kind := binary.LittleEndian.Uint32(e); {
			case kind == elemBucket:
				w.bucket(b[begin+ksize:begin+ksize+vsize], fmt.Sprintf("entry %d of %s", i, name))
			case kind != 0:
				w.problem("entry %d of %s is of an unknown kind", i, name)
			}
		}
	}
	if flags != pageBranch {
		return
	}
	for i := range keys {
		next := high
		if i+1 < count {
			next = keys[i+1]
		}
		w.tree(binary.LittleEndian.Uint64(b[pageHead+i*elemSize+8:]), keys[i], next)
	}
}

// bucket checks a bucket's value: its tree, or its inline page.
func (w *pageWalk) bucket(v []byte, name string) {
	if len(v) < 16 {
		w.problem("%s is too short for a bucket", name)
		return
	}
	if root := binary.LittleEndian.Uint64(v); root != 0 {
		w.tree(root, nil, nil)
		return
	}
	if len(v) >= 16+pageHead && binary.LittleEndian.Uint16(v[16+8:]) != pageLeaf {
		w.problem("%s has an inline page of an unknown kind", name)
		return
	}
	w.elements(v[16:], name, nil, nil)
}

// freelist checks that no page listed as free is in use.
func (w *pageWalk) freelist() {
	b, ok := w.load(w.h.free)
	if !ok {
		return
	}
	le := binary.LittleEndian
	if le.Uint16(b[8:]) != pageFreelist {
		w.problem("the list of free pages is of another kind")
		return
	}
	if !w.mark(w.h.free, uint64(le.Uint32(b[12:])), "the list of free pages") {
		return
	}
	count, ids := uint64(le.Uint16(b[10:])), b[pageHead:]
	if count == 0xffff {
		count, ids = le.Uint64(ids), ids[8:]
	}
	if count > uint64(len(ids)/8) {
		w.problem("the list of free pages is longer than its pages")
		return
	}
	last := uint64(1)
	for i := range count {
		id := le.Uint64(ids[8*i:])
		if id >= w.h.pages || id <= last {
			w.problem("the list of free pages names page %d out of order or outside the file", id)
			return
		}
		last = id
		w.mark(id, 0, "free")
	}
}
