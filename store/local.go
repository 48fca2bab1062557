package store

import (
	"bytes"
	"encoding/binary"

	bolt "go.etcd.io/bbolt"
)

// Local is a checkpoint: it never replicates and keeps no history. Its revision is written 0-N.
type Local struct {
	ID   string // without _local/
	N    uint64
	Body []byte // members as they were sent
}

// Local gives a checkpoint; NotFound where there is none.
func (b *Book) Local(id string) (Local, error) {
	l := Local{ID: id}
	err := b.View(func(view *View) error {
		n, body, err := getLocal(view.book.Bucket(bucketLocal), id)
		if err == nil && n == 0 {
			return newError(NotFound, "missing")
		}
		l.N, l.Body = n, bytes.Clone(body)
		return err
	})
	return l, err
}

func getLocal(b *bolt.Bucket, id string) (uint64, []byte, error) {
	v, err := getSealed(b, []byte(id))
	if err != nil || v == nil {
		return 0, nil, err
	}
	r := reader{b: v}
	n := r.uvarint()
	if r.bad || n == 0 {
		return 0, nil, newError(Damaged, "a checkpoint is damaged")
	}
	return n, r.b, nil
}

// PutLocal replaces revision 0-N (N = 0: none yet) and gives the new number; Conflict where the
// present one is another.
func (b *Book) PutLocal(l Local) (uint64, error) {
	if l.ID == "" || len(l.ID) > MaxID {
		return 0, newError(Bad, "a checkpoint's id must have 1 to %d bytes", MaxID)
	}
	return l.N + 1, b.changeLocal(l.ID, l.N, l.Body, false)
}

// DeleteLocal removes a checkpoint; NotFound where its revision is not 0-n.
func (b *Book) DeleteLocal(id string, n uint64) error { return b.changeLocal(id, n, nil, true) }

func (b *Book) changeLocal(id string, n uint64, body []byte, remove bool) error {
	return b.s.commit(&job{weight: len(body), fn: func(tx *bolt.Tx) error {
		bb, err := b.bucket(tx)
		if err != nil {
			return err
		}
		locals := bb.Bucket(bucketLocal)
		have, _, err := getLocal(locals, id)
		switch {
		case err != nil:
			return err
		case remove && (have == 0 || have != n):
			return unwritten{newError(NotFound, "missing")}
		case have != n:
			return unwritten{newError(Conflict, "Document update conflict.")}
		case remove:
			return locals.Delete([]byte(id))
		}
		v := binary.AppendUvarint(make([]byte, 0, len(body)+12), n+1)
		return putSealed(locals, []byte(id), append(v, body...))
	}})
}
