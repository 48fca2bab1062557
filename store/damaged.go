package store

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Wanted is an attachment whose content is damaged here. Whoever has it whole makes it whole here
// by pushing the revision, or any document with the same content.
type Wanted struct {
	Book   string `json:"book"`
	ID     string `json:"id"`
	Rev    string `json:"rev"`
	Name   string `json:"name"`
	Digest string `json:"digest"`
}

// mark is what is kept of a damaged content.
type mark struct {
	At  time.Time `json:"at"`
	Why string    `json:"why"`
}

// marks are the contents that were found damaged, as the file lists them.
type marks struct {
	mu   sync.Mutex
	of   map[[32]byte]bool
	find finder
}

func (m *marks) has(sha [32]byte) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.of[sha]
}

func (m *marks) add(sha [32]byte) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.of == nil {
		m.of = map[[32]byte]bool{}
	}
	m.of[sha] = true
}

func (m *marks) drop(shas [][32]byte) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, sha := range shas {
		delete(m.of, sha)
	}
}

func (m *marks) list() [][32]byte {
	m.mu.Lock()
	defer m.mu.Unlock()
	out := make([][32]byte, 0, len(m.of))
	for sha := range m.of {
		out = append(out, sha)
	}
	return out
}

// loadMarks reads the list when the store is opened.
func (s *Store) loadMarks(tx *bolt.Tx) error {
	b := tx.Bucket(bucketDamaged)
	if b == nil {
		return nil // a file of an earlier format, opened for reading only
	}
	return b.ForEach(func(k, _ []byte) error {
		if len(k) == 32 {
			s.marks.add([32]byte(k))
		}
		return nil
	})
}

// mark remembers that a content is damaged. A mark that cannot be written is kept in memory.
func (s *Store) mark(sha [32]byte, run uint64, why error) {
	if s.opt.ReadOnly || s.marks.has(sha) {
		return
	}
	whole := false
	err := s.update(func(tx *bolt.Tx) error {
		row, ok, err := loadBlob(tx.Bucket(bucketBlob), sha[:])
		if whole = err == nil && ok && run != 0 && row.run != run; whole {
			return nil // written anew meanwhile
		}
		b := tx.Bucket(bucketDamaged)
		if b.Get(sha[:]) != nil {
			return nil
		}
		s.opt.Log.Error("a content is damaged", "sha256", fmt.Sprintf("%x", sha), "why", why)
		if err := putJSON(b, sha[:], mark{s.opt.Now().UTC(), Sentence(why)}); err != nil {
			return err
		}
		return addEvent(tx, Event{At: s.opt.Now(), What: "damage", Who: "office", Detail: Sentence(why)})
	})
	if err != nil || !whole {
		s.marks.add(sha)
	}
}

// unmark forgets a mark over a content that was read whole after all.
func (s *Store) unmark(sha [32]byte) {
	if s.opt.ReadOnly {
		return
	}
	err := s.update(func(tx *bolt.Tx) error { return tx.Bucket(bucketDamaged).Delete(sha[:]) })
	if err == nil {
		s.marks.drop([][32]byte{sha})
	}
}

// named reports whether the body that the attachment was read from is still there and names it.
func (a *Att) named(tx *bolt.Tx) bool {
	if a.body == 0 {
		return false
	}
	b := tx.Bucket(bucketBooks).Bucket([]byte(a.book))
	if b == nil {
		return false
	}
	key := key64(a.body)
	return names(key, b.Bucket(bucketBody).Get(key), a.SHA256) > 0
}

// names counts how often a body names a content; 0 where it cannot be read.
func names(key, raw []byte, sha [32]byte) (n uint64) {
	if !bytes.Contains(raw, sha[:]) {
		return 0
	}
	v, err := unseal(key, raw)
	if err != nil {
		return 0
	}
	atts, _, _, err := splitBody(v)
	if err != nil {
		return 0
	}
	for _, a := range atts {
		if a.SHA256 == sha {
			n++
		}
	}
	return n
}

// countRefs counts the bodies that name a content, for an entry that is lost.
func countRefs(tx *bolt.Tx, sha [32]byte) (n uint64, err error) {
	books := tx.Bucket(bucketBooks)
	err = books.ForEachBucket(func(name []byte) error {
		return books.Bucket(name).Bucket(bucketBody).ForEach(func(k, raw []byte) error {
			n += names(k, raw, sha)
			return nil
		})
	})
	return n, err
}

// renewBlob writes a content that is damaged here anew from the one that came; one that is sound
// stays as it is.
func (w *writer) renewBlob(a Att) error {
	if a.Blob == nil || a.Blob.known {
		return nil
	}
	a.Length, a.MD5, a.SHA256 = a.Blob.Length, a.Blob.MD5, a.Blob.SHA256
	blobs, damaged := w.tx.Bucket(bucketBlob), w.tx.Bucket(bucketDamaged)
	marked := damaged.Get(a.SHA256[:]) != nil || w.b.s.marks.has(a.SHA256)
	row, ok, err := loadBlob(blobs, a.SHA256[:])
	switch {
	case err == nil && !ok && !marked:
		return nil // new
	case ok && row.run == a.Blob.run:
		return nil // this very one
	case ok && !marked && sameContent(w.tx, row.run, a.Blob):
		if a.Blob.run != 0 && w.tx.Bucket(bucketPending).Get(key64(a.Blob.run)) != nil {
			return dropRun(w.tx, a.Blob.run)
		}
		return nil
	}
	if !ok { // its entry is gone or damaged
		if row.refs, err = countRefs(w.tx, a.SHA256); err != nil {
			return err
		}
	}
	old := row.run
	if row.refs == 0 {
		if err := blobs.Delete(a.SHA256[:]); err != nil {
			return err
		}
	} else {
		row.length, row.md5 = uint64(a.Length), a.MD5
		if row.run, err = w.putBlob(a); err != nil {
			return err
		}
		if err := row.save(blobs, a.SHA256[:]); err != nil {
			return err
		}
	}
	if old != 0 {
		if err := dropPrefix(w.tx.Bucket(bucketChunk), key64(old)); err != nil {
			return err
		}
	}
	if err := damaged.Delete(a.SHA256[:]); err != nil {
		return err
	}
	w.whole = append(w.whole, a.SHA256)
	return w.repaired(Event{Detail: "the damaged content of attachment " + a.Name + " was sent again and is whole"})
}

// sameContent compares stored pieces with content that came, byte for byte.
func sameContent(tx *bolt.Tx, run uint64, b *Blob) bool {
	have := chunks{att: Att{Length: b.Length}, run: run}
	came := chunks{att: Att{Length: b.Length}, run: b.run}
	for part := int64(0); part*chunkSize < b.Length; part++ {
		data, _, err := have.piece(tx, part)
		if err != nil {
			return false
		}
		if b.run == 0 {
			if !bytes.Equal(data, b.mem[part*chunkSize:min(b.Length, (part+1)*chunkSize)]) {
				return false
			}
			continue
		}
		if sent, _, err := came.piece(tx, part); err == nil && !bytes.Equal(data, sent) {
			return false
		}
	}
	return true
}

// mendBody writes a damaged body anew from the same revision, which was pushed again.
func (w *writer) mendBody(d *Doc, number uint64, packed []byte) error {
	var atts []Att
	for _, a := range d.Atts {
		if d.Deleted {
			break
		}
		if a.Stub {
			return newError(Damaged, "document %q is damaged, and attachment %s did not come with it", d.ID, a.Name)
		}
		if err := w.renewBlob(a); err != nil {
			return err
		}
		if a.RevPos == 0 || a.RevPos > d.Rev.Pos {
			a.RevPos = d.Rev.Pos
		}
		a.Length, a.MD5, a.SHA256 = a.Blob.Length, a.Blob.MD5, a.Blob.SHA256
		// The damaged body counts among those that name the content, where there is one.
		if _, ok, err := loadBlob(w.tx.Bucket(bucketBlob), a.SHA256[:]); err != nil {
			return err
		} else if !ok {
			if err := w.takeBlob(a); err != nil {
				return err
			}
		}
		atts = append(atts, a)
	}
	slices.SortFunc(atts, func(x, y Att) int { return strings.Compare(x.Name, y.Name) })
	key := key64(number)
	if err := w.body.Put(key, seal(key, encodeBody(atts, d.Body, packed))); err != nil {
		return err
	}
	// Nothing is left that tells whether the body is the one it was: whoever sent it answers for it.
	if err := w.stamp(number); err != nil {
		return err
	}
	return w.repaired(Event{Record: d.ID,
		Detail: fmt.Sprintf("revision %s of %s in book %s was damaged, was sent again and is whole", d.Rev, d.ID, w.b.name)})
}

// repaired notes in the trail what was made whole, and by whom.
func (w *writer) repaired(e Event) error {
	e.At, e.What, e.Who, e.Device = w.b.s.opt.Now(), "repair", w.name, w.by
	if e.Who == "" {
		e.Who = "office"
	}
	return addEvent(w.tx, e)
}

// finder remembers where damaged contents are named, so that asking again costs only what changed
// since.
type finder struct {
	mu    sync.Mutex
	of    map[[32]byte]bool // the contents looked for
	books map[*Book]*foundIn
}

// foundIn is what was found in one book, up to a sequence.
type foundIn struct {
	seq uint64
	of  map[string][]foundAtt // by document
}

type foundAtt struct {
	Wanted
	sha [32]byte
}

// Wanted lists the attachments whose content is damaged, of revisions that are leaves. When ctx
// ends it gives what was found until then; the next call goes on from there.
func (s *Store) Wanted(ctx context.Context) ([]Wanted, error) {
	shas := s.marks.list()
	f := &s.marks.find
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, sha := range shas {
		if !f.of[sha] { // everything must be looked through again
			f.of, f.books = map[[32]byte]bool{}, map[*Book]*foundIn{}
			for _, sha := range shas {
				f.of[sha] = true
			}
			break
		}
	}
	out := []Wanted{}
	if len(shas) == 0 {
		return out, nil
	}
	for _, name := range s.Books() {
		b, err := s.Book(name)
		if err != nil {
			continue // removed meanwhile
		}
		found := f.books[b]
		if found == nil {
			found = &foundIn{of: map[string][]foundAtt{}}
			f.books[b] = found
		}
		if err := found.look(ctx, b, f.of); err != nil && KindOf(err) != NotFound {
			return nil, err
		}
		for _, atts := range found.of {
			for _, a := range atts {
				if slices.Contains(shas, a.sha) {
					out = append(out, a.Wanted)
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b Wanted) int {
		return slices.Compare([]string{a.Book, a.ID, a.Rev, a.Name}, []string{b.Book, b.ID, b.Rev, b.Name})
	})
	return out, nil
}

// look goes through what changed since the last look, in short transactions.
func (f *foundIn) look(ctx context.Context, b *Book, shas map[[32]byte]bool) error {
	for more := true; more && ctx.Err() == nil; {
		err := b.View(func(view *View) error {
			more = false
			c := view.seq.Cursor()
			k, v := c.Seek(key64(f.seq + 1))
			for n := 0; k != nil; k, v = c.Next() {
				if n++; n > 500 {
					more = true
					return nil
				}
				if len(k) == 8 {
					f.seq = binary.BigEndian.Uint64(k)
				}
				if row, err := decodeRow(k, v); err == nil {
					f.document(view, row.ID, shas)
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func (f *foundIn) document(view *View, id string, shas map[[32]byte]bool) {
	delete(f.of, id)
	rec, err := getRecord(view.doc, id)
	if err != nil {
		return
	}
	for _, i := range rec.tree.Leaves() {
		n := &rec.tree.Nodes[i]
		v, err := getSealed(view.body, key64(n.Body))
		if err != nil || v == nil || n.Deleted {
			continue
		}
		atts, _, _, err := splitBody(v)
		if err != nil {
			continue
		}
		for _, a := range atts {
			if shas[a.SHA256] {
				f.of[id] = append(f.of[id], foundAtt{Wanted{view.b.name, id, n.Rev.String(), a.Name, a.Digest()}, a.SHA256})
			}
		}
	}
}

// learn takes over what a verification found of the open store or of a copy of it: damaged contents
// are looked at again and marked. Pieces that belong to nothing are removed if all contents are
// sound, since then nothing can be missing them.
func (s *Store) learn(r *Report) {
	for _, sha := range r.Hurt {
		if s.marks.has(sha) {
			continue
		}
		a := Att{Name: fmt.Sprintf("%x", sha[:4]), SHA256: sha}
		c := &chunks{s: s, att: a, part: -1}
		err := s.view(func(tx *bolt.Tx) error {
			row, ok, err := loadBlob(tx.Bucket(bucketBlob), sha[:])
			if err == nil && !ok {
				err = newError(Damaged, "the content of an attachment is missing from the store")
			}
			c.att.Length = int64(row.length)
			return err
		})
		if err == nil {
			err = c.check(true)
		}
		if KindOf(err) == Damaged {
			s.mark(sha, c.run, err)
		}
	}
	if len(r.astray) == 0 || len(r.Hurt) > 0 || len(r.astray) < len(r.Problems) || s.opt.ReadOnly {
		return
	}
	err := s.update(func(tx *bolt.Tx) error {
		astray := map[uint64]bool{}
		for _, run := range r.astray {
			astray[run] = tx.Bucket(bucketPending).Get(key64(run)) == nil
		}
		err := tx.Bucket(bucketBlob).ForEach(func(sha, _ []byte) error {
			row, _, err := loadBlob(tx.Bucket(bucketBlob), sha)
			astray[row.run] = false
			return err
		})
		if err != nil {
			return err
		}
		for run, is := range astray {
			if is {
				if err := dropPrefix(tx.Bucket(bucketChunk), key64(run)); err != nil {
					return err
				}
			}
		}
		return addEvent(tx, Event{At: s.opt.Now(), What: "repair", Who: "office",
			Detail: "pieces of attachments that belong to nothing were removed"})
	})
	if err != nil {
		s.opt.Log.Error("pieces of attachments that belong to nothing could not be removed", "error", err)
	}
}

// rowOf works out a damaged row of the sequence from the document that says it is there.
func (view *View) rowOf(seq uint64) (c Change, ok bool) {
	b := view.b
	b.lostMu.Lock()
	defer b.lostMu.Unlock()
	id, known := b.lost[seq]
	rec, err := getRecord(view.doc, id)
	if !known || err != nil || rec.seq != seq {
		id = ""
		cur := view.doc.Cursor()
		for k, v := cur.First(); k != nil; k, v = cur.Next() {
			if rec, err = decodeRecord(k, v); err == nil && rec.seq == seq {
				id = string(k)
				break
			}
		}
		if b.lost == nil {
			b.lost = map[uint64]string{}
		}
		b.lost[seq] = id
	}
	if id == "" {
		return Change{}, false
	}
	return Change{seq, id, !rec.live(), leafRevs(&rec.tree)}, true
}
