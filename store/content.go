package store

import (
	"bytes"
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

func (s *Store) content(a Att, run uint64) *Content {
	return &Content{io.NewSectionReader(&chunks{s: s, att: a, run: run, part: -1}, 0, a.Length), a}
}

// chunks reads an attachment's chunks at any offset.
type chunks struct {
	s    *Store
	att  Att
	run  uint64
	mu   sync.Mutex
	part int64 // number of the chunk in buf, -1 for none
	buf  []byte
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

func (c *chunks) load(part int64) error {
	if part == c.part {
		return nil
	}
	c.part = -1
	err := c.s.view(func(tx *bolt.Tx) error {
		v := tx.Bucket(bucketChunk).Get(chunkKey(c.run, uint32(part)))
		if v == nil || int64(len(v)) != min(chunkSize, c.att.Length-part*chunkSize) {
			return newError(Damaged, "a piece of attachment %s is missing from the store", c.att.Name)
		}
		c.buf = append(c.buf[:0], v...)
		return nil
	})
	if err == nil {
		c.part = part
	}
	return err
}

// OpenAtt opens an attachment's content for reading.
func (s *Store) OpenAtt(a Att) (*Content, error) {
	var row blobRow
	err := s.view(func(tx *bolt.Tx) error {
		var ok bool
		var err error
		if row, ok, err = loadBlob(tx.Bucket(bucketBlob), a.SHA256[:]); err == nil && !ok {
			return newError(NotFound, "attachment %s is not kept any more", a.Name)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return s.content(a, row.run), nil
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
	return b.s.content(Att{Name: "upload", Length: b.Length}, b.run), nil
}

// Again returns stored content as a Blob, so that another document can name it.
func (s *Store) Again(a Att) *Blob {
	return &Blob{Length: a.Length, MD5: a.MD5, SHA256: a.SHA256, s: s, known: true}
}
