package store

import (
	"bytes"
	"context"
	"crypto/md5"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"log/slog"
	"os"
	"slices"

	bolt "go.etcd.io/bbolt"
)

// Report is what a verification found.
type Report struct {
	Books, Docs, Revisions, Bodies, Attachments int
	Bytes                                       int64    // of attachments, read and digested
	Problems                                    []string // plain sentences; none for a sound store

	Hurt   [][32]byte // the contents among the problems, by their SHA-256
	astray []uint64   // runs of pieces that belong to nothing
}

func (r *Report) problem(format string, args ...any) {
	if len(r.Problems) < maxProblems {
		r.Problems = append(r.Problems, fmt.Sprintf(format, args...))
	}
}

// Verify checks everything in the open store while it serves: bbolt's pages; each document's tree,
// bodies, sequence row and counts, both ways; each attachment's length, digests and references; all
// check sums. An error means that it could not run; its findings are in the report.
func (s *Store) Verify(ctx context.Context) (Report, error) {
	s.upkeep.Lock() // a compaction would wait for this reader and block all others behind it
	defer s.upkeep.Unlock()
	var r Report
	err := s.view(func(tx *bolt.Tx) error {
		f, err := os.Open(s.opt.Path)
		if err != nil {
			return openError(s.opt.Path, err)
		}
		defer f.Close()
		if err := r.pages(f, s.opt.Path, uint64(tx.ID())); err != nil || len(r.Problems) > 0 {
			return err
		}
		return r.contents(ctx, tx)
	})
	if err == nil {
		s.learn(&r)
	}
	return r, err
}

// VerifyFile verifies a store or backup that no one has open for writing. A file that is no store,
// cut short, or locked is refused with an error; damage within it is in the report.
func VerifyFile(ctx context.Context, path string) (Report, error) {
	var r Report
	f, err := os.Open(path)
	if err != nil {
		if os.IsNotExist(err) {
			return r, wrapError(Missing, err, "there is no store at %s", path)
		}
		return r, openError(path, err)
	}
	defer f.Close()
	head, err := fileHeader(f, path)
	if err != nil {
		return r, err
	}
	if head.fresh {
		return r, newError(Foreign, "%s is empty", path)
	}
	if head.torn {
		r.problem("one of the two header pages is damaged: the last change before the damage may be missing")
	}
	// Opened read-only, bbolt takes the lock and reads the headers only: no page is trusted before
	// it is checked.
	db, err := openBolt(path, Options{ReadOnly: true, LockWait: 1e9})
	if err != nil {
		return r, err
	}
	defer db.Close()
	if err := r.pages(f, path, 0); err != nil || len(r.Problems) > 0 {
		return r, err
	}
	err = catchDamage(slog.New(slog.DiscardHandler), func() error {
		return db.View(func(tx *bolt.Tx) error {
			if err := checkFormat(tx); err != nil {
				return err
			}
			return r.contents(ctx, tx)
		})
	})
	return r, err
}

// pages checks the pages as of transaction number tx, or the newest for 0.
func (r *Report) pages(f *os.File, path string, tx uint64) error {
	for range 3 { // the header of an open store may be replaced meanwhile
		head, err := fileHeader(f, path)
		if err != nil {
			return err
		}
		for _, page := range append(readMetas(f), head) {
			if page.tx == tx || tx == 0 && page.tx == head.tx {
				r.Problems = append(r.Problems, checkPages(f, page, false)...)
				return nil
			}
		}
	}
	return newError(Failed, "the store changed too fast to be verified; try again")
}

// contents checks the data on the pages.
func (r *Report) contents(ctx context.Context, tx *bolt.Tx) error {
	format, err := readFormat(tx)
	if err != nil {
		r.problem("the store's format number is damaged")
		return nil
	}
	buckets := bucketsOf(topBuckets, format)
	for _, name := range buckets {
		if tx.Bucket(name) == nil {
			r.problem("the store lacks its %s", name)
			return nil
		}
	}
	if v, err := getSealed(tx.Bucket(bucketMeta), keyUUID); err != nil || len(v) == 0 {
		r.problem("the store's identity is damaged")
	}
	refs := map[[32]byte]uint64{}
	books := tx.Bucket(bucketBooks)
	err = books.ForEach(func(name, v []byte) error {
		if v != nil {
			r.problem("an entry among the books is none")
			return nil
		}
		r.Books++
		return r.book(ctx, format, string(name), books.Bucket(name), refs)
	})
	if err != nil {
		return err
	}
	if err := r.blobs(ctx, tx, refs); err != nil {
		return err
	}
	for _, name := range buckets {
		switch string(name) {
		case string(bucketBooks), string(bucketBlob), string(bucketChunk):
			continue
		}
		if err := r.sealed(tx.Bucket(name), "an entry in "+string(name)); err != nil {
			return err
		}
	}
	r.devices(tx)
	return ctx.Err()
}

// book checks one book.
func (r *Report) book(ctx context.Context, format int, name string, b *bolt.Bucket, refs map[[32]byte]uint64) error {
	buckets := bucketsOf(bookBuckets, format)
	for _, sub := range buckets {
		if b.Bucket(sub) == nil {
			r.problem("book %s lacks its %s", name, sub)
			return nil
		}
	}
	if err := checkName(b, name); err != nil || format >= bookNames && b.Get(keyName) == nil {
		r.problem("the name of the book that stands as %q is damaged", name)
	}
	_ = b.ForEach(func(k, v []byte) error {
		_, err := unseal(k, v)
		known := err == nil && slices.ContainsFunc(bookKeys, func(key []byte) bool { return bytes.Equal(k, key) })
		if v == nil {
			known = slices.ContainsFunc(buckets, func(sub []byte) bool { return bytes.Equal(k, sub) })
		}
		if !known {
			r.problem("book %s: its entry %q is damaged, or is none that a book has", name, k)
		}
		return nil
	})
	st, err := loadState(b)
	if err != nil {
		r.problem("the counters of book %s are damaged", name)
		return nil
	}
	doc, body, seq := b.Bucket(bucketDoc), b.Bucket(bucketBody), b.Bucket(bucketSeq)
	named := make(map[uint64]bool)
	var live, deleted uint64
	n := 0
	err = doc.ForEach(func(k, v []byte) error {
		if n++; n%1000 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		rec, err := decodeRecord(k, v)
		if err != nil {
			r.problem("book %s: the history of document %q is damaged", name, k)
			return nil
		}
		r.Docs++
		r.Revisions += len(rec.tree.Nodes)
		if rec.live() {
			live++
		} else {
			deleted++
		}
		for i := range rec.tree.Nodes {
			node := &rec.tree.Nodes[i]
			switch {
			case node.Body == 0 && !node.Inner:
				r.problem("book %s: revision %s of document %q is a leaf and has no body", name, node.Rev, k)
			case node.Body == 0:
			case named[node.Body]:
				r.problem("book %s: body %d belongs to two revisions", name, node.Body)
			case node.Body > st.body:
				r.problem("book %s: body %d is beyond the counter", name, node.Body)
			case body.Get(key64(node.Body)) == nil:
				r.problem("book %s: the body of revision %s of document %q is missing", name, node.Rev, k)
			default:
				named[node.Body] = true
			}
		}
		key := key64(rec.seq)
		row := seq.Get(key)
		if rec.seq > st.seq || row == nil || !bytes.Equal(row, seal(key, encodeRow(string(k), !rec.live(), leafRevs(&rec.tree)))) {
			r.problem("book %s: document %q and row %d of the sequence do not agree", name, k, rec.seq)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if live != st.docs || deleted != st.deleted {
		r.problem("book %s counts %d documents and %d deletions, and has %d and %d", name, st.docs, st.deleted, live, deleted)
	}
	rows := uint64(0)
	err = seq.ForEach(func(k, v []byte) error {
		rows++
		if len(k) != 8 {
			r.problem("book %s: a row of the sequence has no number", name)
			return nil
		}
		c, err := decodeRow(k, v)
		if err != nil {
			r.problem("book %s: row %d of the sequence is damaged", name, binary.BigEndian.Uint64(k))
			return nil
		}
		if rec, err := getRecord(doc, c.ID); err != nil || rec.seq != c.Seq {
			r.problem("book %s: row %d of the sequence names document %q, which is not there or elsewhere", name, c.Seq, c.ID)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if rows != live+deleted {
		r.problem("book %s has %d documents and %d rows in its sequence", name, live+deleted, rows)
	}
	err = body.ForEach(func(k, v []byte) error {
		if n++; n%1000 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		r.Bodies++
		if len(k) != 8 || !named[binary.BigEndian.Uint64(k)] {
			r.problem("book %s: a body belongs to no revision", name)
			return nil
		}
		text, err := unseal(k, v)
		if err != nil {
			r.problem("book %s: body %d is damaged", name, binary.BigEndian.Uint64(k))
			return nil
		}
		atts, members, err := decodeBody(text)
		if err != nil || !json.Valid(slices.Concat([]byte{'{'}, members, []byte{'}'})) {
			r.problem("book %s: body %d is not what was once taken in", name, binary.BigEndian.Uint64(k))
			return nil
		}
		for _, a := range atts {
			refs[a.SHA256]++
		}
		return nil
	})
	if err != nil {
		return err
	}
	if err := r.stamps(name, b.Bucket(bucketBy), named); err != nil {
		return err
	}
	return r.sealed(b.Bucket(bucketLocal), "book "+name+": a checkpoint")
}

// sealed checks the sums of a bucket's entries.
func (r *Report) sealed(b *bolt.Bucket, what string) error {
	return b.ForEach(func(k, v []byte) error {
		if _, err := unseal(k, v); v == nil || err != nil {
			r.problem("%s (%q) is damaged", what, k)
		}
		return nil
	})
}

func (r *Report) hurt(sha []byte) {
	if len(r.Hurt) < maxProblems {
		r.Hurt = append(r.Hurt, [32]byte(sha))
	}
}

// blobs checks the attachments' contents.
func (r *Report) blobs(ctx context.Context, tx *bolt.Tx, refs map[[32]byte]uint64) error {
	runs := map[uint64]bool{}
	chunks := tx.Bucket(bucketChunk)
	err := tx.Bucket(bucketBlob).ForEach(func(sha, v []byte) error {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if len(sha) != 32 {
			r.problem("an attachment's entry has no digest")
			return nil
		}
		row, ok, err := loadBlob(tx.Bucket(bucketBlob), sha)
		if err != nil || !ok {
			r.problem("the entry of attachment %x is damaged", sha)
			r.hurt(sha)
			delete(refs, [32]byte(sha))
			return nil
		}
		r.Attachments++
		if want := refs[[32]byte(sha)]; want != row.refs {
			r.problem("attachment %x is named by %d bodies and counts %d", sha, want, row.refs)
		}
		delete(refs, [32]byte(sha))
		runs[row.run] = true
		sum, sum5 := sha256.New(), md5.New()
		var length uint64
		next := uint32(0)
		c := chunks.Cursor()
		for k, part := c.Seek(key64(row.run)); len(k) == 12 && bytes.HasPrefix(k, key64(row.run)); k, part = c.Next() {
			if binary.BigEndian.Uint32(k[8:]) != next {
				r.problem("piece %d of attachment %x is missing", next, sha)
				r.hurt(sha)
				return nil
			}
			if whole := int(min(chunkSize, row.length-min(row.length, length))); len(part) == whole+sealSize {
				if part, err = unseal(k, part); err != nil {
					break
				}
			}
			next++
			length += uint64(len(part))
			sum.Write(part)
			sum5.Write(part)
		}
		r.Bytes += int64(length)
		if err != nil || length != row.length || !bytes.Equal(sum.Sum(nil), sha) || !bytes.Equal(sum5.Sum(nil), row.md5[:]) {
			r.problem("the content of attachment %x is damaged", sha)
			r.hurt(sha)
		}
		return nil
	})
	if err != nil {
		return err
	}
	for sha, n := range refs {
		r.problem("attachment %x is named by %d bodies and is not there", sha[:], n)
		r.hurt(sha[:])
	}
	pending := tx.Bucket(bucketPending)
	last := ^uint64(0)
	return chunks.ForEach(func(k, v []byte) error {
		if len(k) != 12 {
			r.problem("a piece of an attachment has no number")
			return nil
		}
		if run := binary.BigEndian.Uint64(k); run != last {
			last = run
			if !runs[run] && pending.Get(key64(run)) == nil {
				r.problem("pieces of an attachment (run %d) belong to nothing", run)
				r.astray = append(r.astray, run)
			}
		}
		return nil
	})
}

// devices checks that tokens and devices match.
func (r *Report) devices(tx *bolt.Tx) {
	devices, tokens := tx.Bucket(bucketDevice), tx.Bucket(bucketToken)
	count := 0
	_ = eachJSON(devices, func(id []byte, row deviceRow) error {
		count++
		if v, err := getSealed(tokens, row.Token); err != nil || !bytes.Equal(v, id) {
			r.problem("device %s and its token do not belong together", id)
		}
		return nil
	})
	if n := tokens.Stats().KeyN; n != count {
		r.problem("there are %d devices and %d tokens", count, n)
	}
}
