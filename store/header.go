package store

import (
	"cmp"
	"encoding/binary"
	"errors"
	"hash/fnv"
	"io"
	"io/fs"
	"os"
	"slices"
)

// header is the content of bbolt's two header pages. They are read here first because bbolt maps a
// file without comparing its length with the header, and reading past the end would crash the
// process.
type header struct {
	fresh    bool // no file yet, or an empty one
	torn     bool // one of the two pages is invalid
	pageSize int64
	root     uint64 // page of the top bucket
	free     uint64 // page of the free list
	pages    uint64 // one past the highest page in use
	tx       uint64
}

const (
	boltMagic   = 0xED0CDAED
	boltVersion = 2
	pageHead    = 16
	metaSize    = 64
	noFreelist  = ^uint64(0)
)

// readHeader checks the two header pages and the file's length.
func readHeader(path string) (header, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return header{fresh: true}, nil
	}
	if err != nil {
		return header{}, openError(path, err)
	}
	defer f.Close()
	return fileHeader(f, path)
}

// fileHeader returns the valid header page, the newer one if both are.
func fileHeader(f *os.File, path string) (header, error) {
	info, err := f.Stat()
	if err != nil {
		return header{}, openError(path, err)
	}
	if info.IsDir() {
		return header{}, newError(Foreign, "%s is a folder, not a store", path)
	}
	if info.Size() == 0 {
		return header{fresh: true}, nil
	}
	pages := readMetas(f)
	if len(pages) == 0 {
		if sniff(f) {
			return header{}, newError(Damaged, "both header pages of %s are damaged; restore a backup", path)
		}
		return header{}, newError(Foreign,
			"%s is not a Datumbook store, or its beginning is destroyed; restore a backup", path)
	}
	best := slices.MaxFunc(pages, func(a, b header) int { return cmp.Compare(a.tx, b.tx) })
	best.torn = len(pages) == 1
	if want := int64(best.pages) * best.pageSize; info.Size() < want {
		return header{}, newError(Damaged,
			"%s is cut short: %d bytes of %d are there; restore a backup", path, info.Size(), want)
	}
	if best.root >= best.pages || (best.free != noFreelist && best.free >= best.pages) {
		return header{}, newError(Damaged, "the header of %s points outside the file; restore a backup", path)
	}
	return best, nil
}

// readMetas returns the valid header pages. The second one's offset depends on the page size, which
// may be readable only there: the usual sizes are tried.
func readMetas(f io.ReaderAt) (pages []header) {
	sizes := []int64{4096, 16384, 65536, 8192, 32768, 2048, 1024}
	if first, ok := readMeta(f, 0, 0); ok {
		pages, sizes = append(pages, first), []int64{first.pageSize}
	}
	for _, size := range sizes {
		if second, ok := readMeta(f, size, size); ok {
			return append(pages, second)
		}
	}
	return pages
}

// readMeta reads the header page at an offset; page size 0 takes the size stored in the page.
func readMeta(f io.ReaderAt, off, pageSize int64) (header, bool) {
	var b [pageHead + metaSize]byte
	if _, err := f.ReadAt(b[:], off); err != nil {
		return header{}, false
	}
	// Linux and Windows machines that run this are little-endian; bbolt writes its pages in the
	// machine's own order.
	le := binary.LittleEndian
	m := b[pageHead:]
	sum := fnv.New64a()
	sum.Write(m[:56])
	if le.Uint32(m) != boltMagic || le.Uint32(m[4:]) != boltVersion || sum.Sum64() != le.Uint64(m[56:]) {
		return header{}, false
	}
	h := header{pageSize: int64(le.Uint32(m[8:])), root: le.Uint64(m[16:]), free: le.Uint64(m[32:]), pages: le.Uint64(m[40:]), tx: le.Uint64(m[48:])}
	return h, h.pageSize > 0 && (pageSize == 0 || h.pageSize == pageSize)
}

// sniff reports whether either usual place of a header page still has bbolt's magic number.
func sniff(f io.ReaderAt) bool {
	var b [4]byte
	for _, off := range []int64{0, 4096, 16384} {
		if _, err := f.ReadAt(b[:], off+pageHead); err == nil && binary.LittleEndian.Uint32(b[:]) == boltMagic {
			return true
		}
	}
	return false
}
