package store

import (
	"bytes"
	"crypto/md5"
	"crypto/sha256"
	"encoding/binary"
	"hash"
	"slices"

	bolt "go.etcd.io/bbolt"

	"datumbook/store/revtree"
)

const (
	chunkSize = 256 << 10
	spoolSize = 4 << 20 // content up to this much waits in memory and is written with its document
)

// Blob is received content that no document holds yet. Discard it once the document was answered,
// whatever the answer.
type Blob struct {
	Length int64
	MD5    [16]byte
	SHA256 [32]byte

	s   *Store
	mem []byte // the content, where it stayed in memory
	run uint64 // its chunks, where it was spooled

	known bool // the store has it already
	going *spooling
}

// Upload receives content of any length with little memory: beyond a few megabytes it is written to
// the store at once, and becomes visible with the document that names it.
type Upload struct {
	s      *Store
	buf    []byte
	keep   int
	run    uint64
	chunks uint32
	length int64
	md5    hash.Hash
	sha    hash.Hash
	going  *spooling
	err    error
}

// NewUpload starts one. Content of up to keep bytes stays in memory until its document is committed
// (at most 4 MiB; 0 means that much).
func (s *Store) NewUpload(keep int) *Upload {
	if keep <= 0 || keep > spoolSize {
		keep = spoolSize
	}
	return &Upload{s: s, keep: keep, md5: md5.New(), sha: sha256.New()}
}

// Write appends to the content.
func (u *Upload) Write(p []byte) (int, error) {
	if u.err != nil {
		return 0, u.err
	}
	u.md5.Write(p)
	u.sha.Write(p)
	u.length += int64(len(p))
	u.buf = append(u.buf, p...)
	for len(u.buf) >= spoolSize {
		rest := bytes.Clone(u.buf[spoolSize:])
		if u.err = u.spool(u.buf[:spoolSize]); u.err != nil {
			return 0, u.err
		}
		u.buf = rest
	}
	return len(p), nil
}

// spool writes one part of the content as chunks while more arrives; the part before it must be on
// disk by then.
func (u *Upload) spool(part []byte) error {
	if u.run == 0 {
		u.run = u.s.runs.Add(1)
	}
	if err := u.wait(); err != nil {
		return err
	}
	first, run := u.chunks, u.run
	u.chunks += uint32((len(part) + chunkSize - 1) / chunkSize)
	u.s.spooling <- struct{}{} // limits parts in flight, or memory would fill up before a slow disk
	done := make(chan struct{})
	u.going = &spooling{done: done}
	go func(g *spooling) {
		defer func() { <-u.s.spooling; close(done) }()
		g.err = u.s.commit(&job{weight: len(part), fn: func(tx *bolt.Tx) error {
			chunk := tx.Bucket(bucketChunk)
			chunk.FillPercent = 1
			if chunk.Sequence() < run { // run numbers are never reused, even after a restart
				if err := chunk.SetSequence(run); err != nil {
					return err
				}
			}
			if err := putSealed(tx.Bucket(bucketPending), key64(run), nil); err != nil {
				return err
			}
			return putChunks(chunk, run, first, part)
		}})
	}(u.going)
	return nil
}

// spooling is a part being written to disk.
type spooling struct {
	done chan struct{}
	err  error
}

func (g *spooling) wait() error {
	if g == nil {
		return nil
	}
	<-g.done
	return g.err
}

func (u *Upload) wait() error { return u.going.wait() }

func putChunks(b *bolt.Bucket, run uint64, first uint32, data []byte) error {
	for part := range slices.Chunk(data, chunkSize) {
		key := chunkKey(run, first)
		if err := b.Put(key, seal(key, append(make([]byte, 0, len(part)+sealSize), part...))); err != nil {
			return err
		}
		first++
	}
	return nil
}

// Finish ends the content and returns it as a Blob. The Push or Edit that names the Blob waits for
// a part still being written and reports its failure.
func (u *Upload) Finish() (*Blob, error) {
	if u.err != nil {
		return nil, u.err
	}
	b := &Blob{Length: u.length, s: u.s, run: u.run}
	copy(b.MD5[:], u.md5.Sum(nil))
	copy(b.SHA256[:], u.sha.Sum(nil))
	if u.run == 0 && len(u.buf) <= u.keep {
		b.mem = u.buf
	} else if len(u.buf) > 0 {
		if u.err = u.spool(u.buf); u.err != nil {
			return nil, u.err
		}
		b.run = u.run
	}
	b.going = u.going
	u.buf = nil
	return b, nil
}

// Abort drops an upload that will not be finished.
func (u *Upload) Abort() { (&Blob{s: u.s, run: u.run, going: u.going}).Discard() }

// NewBlob makes a Blob of bytes in memory; the bytes must not be changed afterwards.
func (s *Store) NewBlob(data []byte) *Blob {
	return &Blob{Length: int64(len(data)), MD5: md5.Sum(data), SHA256: sha256.Sum256(data), s: s, mem: data}
}

// Discard removes spooled chunks that no document refers to, and leaves content that one refers to.
func (b *Blob) Discard() {
	if b == nil || b.run == 0 {
		return
	}
	_ = b.going.wait() // a failed write may still have left earlier parts
	_ = b.s.update(func(tx *bolt.Tx) error {
		if tx.Bucket(bucketPending).Get(key64(b.run)) == nil {
			return nil
		}
		return dropRun(tx, b.run)
	})
}

// dropRun removes a pending run with its chunks.
func dropRun(tx *bolt.Tx, run uint64) error {
	if err := dropPrefix(tx.Bucket(bucketChunk), key64(run)); err != nil {
		return err
	}
	return tx.Bucket(bucketPending).Delete(key64(run))
}

// dropPending removes what uploads left behind when the store was last closed or killed.
func dropPending(tx *bolt.Tx) error {
	var runs []uint64
	err := tx.Bucket(bucketPending).ForEach(func(k, _ []byte) error {
		runs = append(runs, binary.BigEndian.Uint64(k))
		return nil
	})
	for _, run := range runs {
		if err == nil {
			err = dropRun(tx, run)
		}
	}
	return err
}

// blobRow is what is kept of a content: where its chunks are and how many bodies name it.
type blobRow struct {
	run    uint64
	length uint64
	md5    [16]byte
	refs   uint64
}

func (r blobRow) save(b *bolt.Bucket, sha []byte) error {
	v := binary.AppendUvarint(nil, r.run)
	v = binary.AppendUvarint(v, r.length)
	v = append(v, r.md5[:]...)
	return putSealed(b, sha, binary.AppendUvarint(v, r.refs))
}

func loadBlob(b *bolt.Bucket, sha []byte) (row blobRow, ok bool, err error) {
	v, err := getSealed(b, sha)
	if err != nil || v == nil {
		return row, false, err
	}
	r := reader{b: v}
	row = blobRow{run: r.uvarint(), length: r.uvarint()}
	copy(row.md5[:], r.bytes(16))
	row.refs = r.uvarint()
	if r.bad || len(r.b) != 0 {
		return row, false, newError(Damaged, "the entry of an attachment is damaged")
	}
	return row, true, nil
}

// attach resolves the attachments of a new revision and counts their references. On an edit new
// bytes get the new generation as their RevPos and the parent's own bytes keep the parent's,
// whatever was sent: a replica that has the parent would otherwise keep its old bytes under the new
// revision. On a push the sender's RevPos is kept where it can be true.
func (w *writer) attach(d *Doc, p revtree.Path, t *revtree.Tree, edit bool) ([]Att, error) {
	if len(d.Atts) == 0 || d.Deleted {
		return nil, nil
	}
	before, err := w.kept(p, t)
	if err != nil {
		return nil, err
	}
	atts := make([]Att, 0, len(d.Atts))
	for _, a := range d.Atts {
		possible := a.RevPos > 0 && a.RevPos <= p.Start
		if a.Stub {
			old, ok, err := w.ancestorAtt(a, p, t)
			if err != nil {
				return nil, err
			}
			if !ok {
				return nil, newError(MissingStub, "Invalid attachment stub in %s for %s", d.ID, a.Name)
			}
			if a.ContentType != "" {
				old.ContentType = a.ContentType
			}
			switch i := named(before, a.Name); {
			case !edit && possible:
				old.RevPos = a.RevPos
			case i < 0 || before[i].SHA256 != old.SHA256:
				old.RevPos = p.Start // the bytes of an older ancestor are new ones to whoever has the parent
			}
			atts = append(atts, old)
			continue
		}
		a.Length, a.MD5, a.SHA256 = a.Blob.Length, a.Blob.MD5, a.Blob.SHA256
		if edit || !possible {
			a.RevPos = p.Start
		}
		if i := named(before, a.Name); edit && i >= 0 && before[i].SHA256 == a.SHA256 {
			a.RevPos = before[i].RevPos
		}
		atts = append(atts, a)
	}
	slices.SortFunc(atts, func(x, y Att) int { return bytes.Compare([]byte(x.Name), []byte(y.Name)) })
	for _, a := range atts {
		if err := w.takeBlob(a); err != nil {
			return nil, err
		}
	}
	return atts, nil
}

func named(atts []Att, name string) int {
	return slices.IndexFunc(atts, func(a Att) bool { return a.Name == name })
}

// ancestors goes over what the path's known ancestors hold, nearest first, until use is satisfied.
// A body that is damaged or not kept any more is passed over.
func (w *writer) ancestors(p revtree.Path, t *revtree.Tree, use func(atts []Att, parent bool) (done bool)) error {
	for i := 1; i < len(p.Hashes); i++ {
		at, ok := t.Find(revtree.Rev{Pos: p.Start - uint64(i), Hash: p.Hashes[i]})
		if !ok {
			continue
		}
		for first := at; at >= 0; at = t.Nodes[at].Parent {
			if t.Nodes[at].Body == 0 {
				continue
			}
			atts, _, err := getBody(w.body, t.Nodes[at].Body)
			if KindOf(err) == Damaged {
				continue
			}
			if err != nil || use(atts, i == 1 && at == first) {
				return err
			}
		}
		return nil
	}
	return nil
}

// kept gives the attachments of the nearest ancestor whose body is kept.
func (w *writer) kept(p revtree.Path, t *revtree.Tree) (out []Att, err error) {
	err = w.ancestors(p, t, func(atts []Att, _ bool) bool {
		out = atts
		return true
	})
	return out, err
}

// ancestorAtt finds what a stub stands for. With a digest that is the nearest ancestor's attachment
// of that name and digest. Without, it is what the parent has under the name, if the RevPos, where one
// is given, agrees. Where the parent's body is not here, nothing tells whether an older ancestor's bytes
// are those that are meant.
func (w *writer) ancestorAtt(stub Att, p revtree.Path, t *revtree.Tree) (old Att, ok bool, err error) {
	err = w.ancestors(p, t, func(atts []Att, parent bool) bool {
		i := named(atts, stub.Name)
		if stub.MD5 == [16]byte{} {
			ok = i >= 0 && parent && (stub.RevPos == 0 || stub.RevPos == atts[i].RevPos)
		} else if ok = i >= 0 && stub.MD5 == atts[i].MD5; !ok {
			return false
		}
		if ok {
			old = atts[i]
		}
		return true
	})
	return old, ok, err
}

// takeBlob stores new content, or counts one more reference to content that is stored.
func (w *writer) takeBlob(a Att) error {
	if err := w.renewBlob(a); err != nil {
		return err
	}
	blobs := w.tx.Bucket(bucketBlob)
	row, ok, err := loadBlob(blobs, a.SHA256[:])
	if err != nil {
		return err
	}
	if ok {
		row.refs++
		return row.save(blobs, a.SHA256[:])
	}
	if a.Blob == nil || a.Blob.known {
		return newError(Damaged, "the content of attachment %s is missing from the store", a.Name)
	}
	row = blobRow{length: uint64(a.Length), md5: a.MD5, refs: 1}
	if row.run, err = w.putBlob(a); err != nil {
		return err
	}
	return row.save(blobs, a.SHA256[:])
}

// putBlob gives the run of new content: the one it was spooled to, or one it is written to here.
func (w *writer) putBlob(a Att) (uint64, error) {
	if run := a.Blob.run; run != 0 {
		pending := w.tx.Bucket(bucketPending)
		if pending.Get(key64(run)) == nil {
			return 0, newError(Failed, "the content of attachment %s was discarded before its document came", a.Name)
		}
		return run, pending.Delete(key64(run))
	}
	run := w.b.s.runs.Add(1)
	chunk := w.tx.Bucket(bucketChunk)
	chunk.FillPercent = 1
	if err := chunk.SetSequence(max(chunk.Sequence(), run)); err != nil {
		return 0, err
	}
	return run, putChunks(chunk, run, 0, a.Blob.mem)
}

// releaseBody drops the references of a body that is about to be deleted, and content without
// references.
func releaseBody(tx *bolt.Tx, key, raw []byte) error {
	v, err := unseal(key, raw)
	if err != nil {
		return err
	}
	atts, _, _, err := splitBody(v)
	if err != nil {
		return err
	}
	blobs := tx.Bucket(bucketBlob)
	for _, a := range atts {
		row, ok, err := loadBlob(blobs, a.SHA256[:])
		if err != nil || !ok || row.refs == 0 {
			continue // damaged: what is counted there is not known, so nothing is dropped
		}
		if row.refs--; row.refs > 0 {
			if err := row.save(blobs, a.SHA256[:]); err != nil {
				return err
			}
			continue
		}
		if err := dropPrefix(tx.Bucket(bucketChunk), key64(row.run)); err != nil {
			return err
		}
		if err := blobs.Delete(a.SHA256[:]); err != nil {
			return err
		}
		if err := tx.Bucket(bucketDamaged).Delete(a.SHA256[:]); err != nil {
			return err
		}
	}
	return nil
}
