package store

import (
	"bytes"
	"errors"
	"io"
	"sync"

	bolt "go.etcd.io/bbolt"
)

// Content reads an attachment. Each read takes a short transaction of its own and at most one chunk of memory, so a slow client
// holds nothing up.
type Content struct {
	Att
	s    *Store
	run  uint64
	mu   sync.Mutex
	off  int64
	part int64 // number of the chunk in buf, -1 for none
	buf  []byte
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
	return &Content{Att: a, s: s, run: row.run, part: -1}, nil
}

// Read reads on from the present place.
func (c *Content) Read(p []byte) (int, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.off >= c.Length {
		return 0, io.EOF
	}
	part := c.off / chunkSize
	if part != c.part {
		err := c.s.view(func(tx *bolt.Tx) error {
			v := tx.Bucket(bucketChunk).Get(chunkKey(c.run, uint32(part)))
			if v == nil || int64(len(v)) != min(chunkSize, c.Length-part*chunkSize) {
				return newError(Damaged, "a piece of attachment %s is missing from the store", c.Name)
			}
			c.buf = append(c.buf[:0], v...)
			return nil
		})
		if err != nil {
			c.part = -1
			return 0, err
		}
		c.part = part
	}
	n := copy(p, c.buf[c.off-part*chunkSize:])
	c.off += int64(n)
	return n, nil
}

// Seek moves the present place.
func (c *Content) Seek(off int64, whence int) (int64, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch whence {
	case io.SeekStart:
	case io.SeekCurrent:
		off += c.off
	case io.SeekEnd:
		off += c.Length
	default:
		return 0, errors.New("seek: unknown whence")
	}
	if off < 0 {
		return 0, errors.New("seek: before the beginning")
	}
	c.off = off
	return off, nil
}

// Kept gives how many bytes of the content wait in memory.
func (b *Blob) Kept() int64 { return int64(len(b.mem)) }

// Open reads a content that no document has taken yet.
func (b *Blob) Open() (io.Reader, error) {
	if b.run == 0 {
		return bytes.NewReader(b.mem), nil
	}
	if err := b.going.wait(); err != nil {
		return nil, err
	}
	return &Content{Att: Att{Name: "upload", Length: b.Length}, s: b.s, run: b.run, part: -1}, nil
}

// Again gives kept content once more, to be named by another document.
func (s *Store) Again(a Att) *Blob {
	return &Blob{Length: a.Length, MD5: a.MD5, SHA256: a.SHA256, s: s, known: true}
}
