package store

import (
	"bytes"
	"crypto/sha256"
	"io"
	"sync"

	bolt "go.etcd.io/bbolt"
)

// Content reads an attachment. Each read uses its own short transaction and at most one chunk of
// memory, so a slow client blocks nothing.
type Content struct {
	*io.SectionReader
	Att
}

// checkPieces is how many pieces one transaction checks.
const checkPieces = 16

// chunks reads an attachment's chunks at any offset.
type chunks struct {
	s       *Store
	att     Att
	run     uint64
	pending bool     // no document names it yet
	sums    []uint32 // of pieces without a sum of their own, as the check found them
	mu      sync.Mutex
	part    int64 // number of the chunk in buf, -1 for none
	buf     []byte
}

func (c *chunks) open() *Content {
	return &Content{io.NewSectionReader(c, 0, c.att.Length), c.att}
}

// ReadAt reads from one chunk after the other.
func (c *chunks) ReadAt(p []byte, off int64) (n int, err error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for n < len(p) && off < c.att.Length {
		if err := c.load(off / chunkSize); err != nil {
			return n, err
		}
		k := copy(p[n:], c.buf[off%chunkSize:])
		n += k
		off += int64(k)
	}
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

// load reads a piece. One that is not there any more, or damaged since the check, may meanwhile
// have been written anew elsewhere.
func (c *chunks) load(part int64) error {
	if part == c.part {
		return nil
	}
	c.part = -1
	err := c.s.view(func(tx *bolt.Tx) error {
		data, err := c.sound(tx, part)
		if KindOf(err) == Damaged && !c.pending {
			moved, placeErr := c.place(tx)
			if placeErr != nil {
				return placeErr
			}
			if moved {
				data, err = c.sound(tx, part)
			}
		}
		c.buf = append(c.buf[:0], data...)
		return err
	})
	if err == nil {
		c.part = part
	} else if KindOf(err) == Damaged && !c.pending {
		c.s.mark(c.att.SHA256, c.run, err)
	}
	return err
}

// place looks up where the content's pieces are; moved tells that they were elsewhere before.
func (c *chunks) place(tx *bolt.Tx) (moved bool, err error) {
	row, ok, err := loadBlob(tx.Bucket(bucketBlob), c.att.SHA256[:])
	switch {
	case err != nil:
		return false, err
	case !ok && c.att.named(tx):
		return false, newError(Damaged, "the content of attachment %s is missing from the store", c.att.Name)
	case !ok:
		return false, newError(NotFound, "attachment %s is not kept any more", c.att.Name)
	}
	moved = row.run != c.run
	c.run = row.run
	if moved {
		c.sums = nil
	}
	return moved, nil
}

// piece reads one piece. It says whether the piece has a sum of its own, which is then right; the
// pieces of earlier formats have none, which their length tells.
func (c *chunks) piece(tx *bolt.Tx, part int64) (data []byte, sealed bool, err error) {
	key := chunkKey(c.run, uint32(part))
	v := tx.Bucket(bucketChunk).Get(key)
	whole := min(chunkSize, c.att.Length-part*chunkSize)
	switch {
	case v == nil, int64(len(v)) != whole && int64(len(v)) != whole+sealSize:
		return nil, false, newError(Damaged, "a piece of attachment %s is missing from the store", c.att.Name)
	case int64(len(v)) == whole:
		return v, false, nil
	}
	if data, err = unseal(key, v); err != nil {
		return nil, true, newError(Damaged, "a piece of attachment %s is damaged", c.att.Name)
	}
	return data, true, nil
}

// sound reads a piece that was checked.
func (c *chunks) sound(tx *bolt.Tx, part int64) ([]byte, error) {
	data, sealed, err := c.piece(tx, part)
	if err == nil && !sealed &&
		(part >= int64(len(c.sums)) || c.sums[part] != sumOf(chunkKey(c.run, uint32(part)), data)) {
		return nil, newError(Damaged, "a piece of attachment %s is damaged", c.att.Name)
	}
	return data, err
}

// check reads all pieces, so that damage is told before the first byte is served. Their own sums are
// checked; with whole, or where pieces have none, the digest of the content is.
func (c *chunks) check(whole bool) error {
	digest, n := sha256.New(), (c.att.Length+chunkSize-1)/chunkSize
	for part := int64(0); ; {
		again := false
		err := c.s.view(func(tx *bolt.Tx) error {
			moved, err := c.place(tx)
			if err != nil {
				return err
			}
			if moved {
				part = 0
				digest.Reset()
			}
			for end := min(part+checkPieces, n); part < end; part++ {
				data, sealed, err := c.piece(tx, part)
				if err != nil {
					return err
				}
				if !sealed && !whole {
					whole, again = true, true
					return nil
				}
				if whole {
					digest.Write(data)
				}
				if !sealed {
					c.sums = append(c.sums[:min(part, int64(len(c.sums)))], make([]uint32, max(0, part-int64(len(c.sums))))...)
					c.sums = append(c.sums, sumOf(chunkKey(c.run, uint32(part)), data))
				}
			}
			return nil
		})
		switch {
		case err != nil:
			return err
		case again:
			part = 0
		case part < n:
		case whole && [32]byte(digest.Sum(nil)) != c.att.SHA256:
			return newError(Damaged, "the content of attachment %s is damaged", c.att.Name)
		default:
			return nil
		}
	}
}

// OpenAtt opens an attachment's content for reading. All of it is checked first: Damaged means that
// not one byte can be had. A content found damaged is remembered, see [Store.Wanted].
func (s *Store) OpenAtt(a Att) (*Content, error) {
	c := &chunks{s: s, att: a, part: -1}
	marked := s.marks.has(a.SHA256)
	err := c.check(marked)
	switch {
	case KindOf(err) == Damaged:
		s.mark(a.SHA256, c.run, err)
		return nil, err
	case err != nil:
		return nil, err
	case marked:
		s.unmark(a.SHA256)
	}
	return c.open(), nil
}

// Kept returns how many bytes of the content are in memory.
func (b *Blob) Kept() int64 { return int64(len(b.mem)) }

// Open reads content that no document refers to yet.
func (b *Blob) Open() (io.Reader, error) {
	if b.run == 0 {
		return bytes.NewReader(b.mem), nil
	}
	if err := b.going.wait(); err != nil {
		return nil, err
	}
	c := &chunks{s: b.s, att: Att{Name: "upload", Length: b.Length}, run: b.run, pending: true, part: -1}
	return c.open(), nil
}

// Again returns stored content as a Blob, so that another document can name it.
func (s *Store) Again(a Att) *Blob {
	return &Blob{Length: a.Length, MD5: a.MD5, SHA256: a.SHA256, s: s, known: true}
}
