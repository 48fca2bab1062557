package store

import (
	"encoding/binary"
	"slices"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"

	"datumbook/store/revtree"
)

// bucketBy holds who pushed a revision and when it came: by the number of its body, the office's
// time in milliseconds and the device's id. Revisions of earlier formats, and those that were
// written here without a name, have no entry.
var bucketBy = []byte("by")

// whoPushed is the format in which books have that bucket.
func whoPushed(_ *Store, tx *bolt.Tx) error {
	books := tx.Bucket(bucketBooks)
	return books.ForEachBucket(func(name []byte) error {
		_, err := books.Bucket(name).CreateBucketIfNotExists(bucketBy)
		return err
	})
}

// Pushed says who sent a revision, and when it came by the office's clock.
type Pushed struct {
	By string
	At time.Time
}

// Pushed gives who sent the revision at index i of the tree; ok is false where it is not known.
func (view *View) Pushed(f *Found, i int) (p Pushed, ok bool, err error) {
	return readPushed(view.book.Bucket(bucketBy), f.Tree.Nodes[i].Body)
}

func readPushed(b *bolt.Bucket, body uint64) (p Pushed, ok bool, err error) {
	if b == nil || body == 0 {
		return p, false, nil
	}
	v, err := getSealed(b, key64(body))
	if v == nil || err != nil {
		return p, false, err
	}
	p, err = decodePushed(v)
	return p, err == nil, err
}

func decodePushed(v []byte) (Pushed, error) {
	r := reader{b: v}
	at := r.uvarint()
	by := string(r.b)
	if r.bad || by == "" || at > 1<<52 {
		return Pushed{}, newError(Damaged, "the note of who sent a revision is damaged")
	}
	return Pushed{by, time.UnixMilli(int64(at)).UTC()}, nil
}

// stamp notes who sent the body that was just written.
func (w *writer) stamp(body uint64) error {
	b := w.book.Bucket(bucketBy)
	if b == nil || w.by == "" {
		return nil
	}
	b.FillPercent = 0.95 // only appended to
	v := binary.AppendUvarint(nil, uint64(max(0, w.b.s.opt.Now().UnixMilli())))
	return putSealed(b, key64(body), append(v, w.by...))
}

// dropStamp drops the note with its body.
func dropStamp(book *bolt.Bucket, body uint64) error {
	if b := book.Bucket(bucketBy); b != nil {
		return b.Delete(key64(body))
	}
	return nil
}

// stamps checks the notes of a book against the bodies its trees name.
func (r *Report) stamps(name string, b *bolt.Bucket, named map[uint64]bool) error {
	if b == nil {
		return nil // of an earlier format
	}
	return b.ForEach(func(k, v []byte) error {
		text, err := unseal(k, v)
		if err == nil {
			_, err = decodePushed(text)
		}
		switch {
		case v == nil || err != nil:
			r.problem("book %s: the note of who sent a revision (%q) is damaged", name, k)
		case len(k) != 8 || !named[binary.BigEndian.Uint64(k)]:
			r.problem("book %s: a note of who sent a revision belongs to no body", name)
		}
		return nil
	})
}

// Compared is what a revision did to the record it was made from.
type Compared struct {
	Flags        []string // why the record needs a look, in plain sentences
	What, Detail string   // for the audit trail: what happened to which record; empty for nothing
}

// PeerSender begins the name of the sender of what another office or database sent: its address follows.
const PeerSender = "peer:"

// nameOf gives a device's name, for sentences.
func (s *Store) nameOf(by string) string {
	switch by {
	case "":
		return ""
	case "office":
		return "the office machine"
	}
	name := by
	if at, ok := strings.CutPrefix(by, PeerSender); ok {
		return "the copy at " + at
	}
	_ = s.view(func(tx *bolt.Tx) error {
		var row deviceRow
		if err := getJSON(tx.Bucket(bucketDevice), []byte(by), &row); err == nil {
			name = row.Name
		}
		return nil
	})
	return name
}

// compare compares each document of a batch with the nearest revision it was made from whose body
// is known, here or in the batch. It runs before the transaction, so that no other writer waits.
func (b *Book) compare(by, name string, docs []Doc, edit bool) ([]Compared, error) {
	judge := b.s.opt.Compare
	if judge == nil {
		return nil, nil
	}
	out := make([]Compared, len(docs))
	bases := make([][]byte, len(docs))
	sent := map[string][]int{}
	for i := range docs {
		sent[docs[i].ID] = append(sent[docs[i].ID], i)
	}
	err := b.View(func(view *View) error {
		for i := range docs {
			d := &docs[i]
			if !edit && len(d.Hashes) < 2 || edit && d.Rev.IsZero() || isDesign(d.ID) {
				continue // made from nothing, or no record
			}
			rec, err := getRecord(view.doc, d.ID)
			if KindOf(err) == Damaged {
				continue // writing it tells
			}
			if err != nil {
				return err
			}
			if _, known := rec.tree.Find(d.Rev); known && !edit {
				continue // sent again
			}
			if bases[i], err = view.base(&rec.tree, d, edit, docs, sent[d.ID]); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	whole := func(members []byte) []byte { return slices.Concat([]byte{'{'}, members, []byte{'}'}) }
	for i := range docs {
		if bases[i] == nil {
			continue
		}
		var after []byte
		if !docs[i].Deleted {
			after = whole(docs[i].Body)
		}
		out[i] = judge(b.name, docs[i].ID, by, name, whole(bases[i]), after)
	}
	return out, nil
}

// base finds the body of the nearest revision that a document was made from; nil where none is
// known or it is a deletion.
func (view *View) base(t *revtree.Tree, d *Doc, edit bool, docs []Doc, sent []int) ([]byte, error) {
	rev, hashes := d.Rev, []string{d.Rev.Hash}
	if !edit {
		rev.Pos, hashes = d.Rev.Pos-1, d.Hashes[1:]
	}
	for _, hash := range hashes {
		rev.Hash = hash
		for _, k := range sent {
			if docs[k].Rev == rev && !edit {
				if docs[k].Deleted {
					return nil, nil
				}
				return append([]byte{}, docs[k].Body...), nil
			}
		}
		if i, ok := t.Find(rev); ok && t.Nodes[i].Body != 0 {
			if t.Nodes[i].Deleted {
				return nil, nil
			}
			_, members, err := getBody(view.body, t.Nodes[i].Body)
			if KindOf(err) == Damaged {
				return nil, nil // it is told of elsewhere, and does not keep a phone from sending
			}
			return append([]byte{}, members...), err
		}
		rev.Pos--
	}
	return nil, nil
}

// told carries on what a replaced leaf was flagged for that the owner has not looked at yet, and
// notes in the trail and the review list what the new revision did.
func (w *writer) told(d *Doc, rev revtree.Rev, rec *record, wasLive bool, reasons []string, c Compared) error {
	now := w.b.s.opt.Now()
	carried := append(slices.Clone(c.Flags), w.carried...)
	w.carried = nil
	at := rev
	if d.Deleted {
		win := rec.tree.Winner()
		if rec.tree.Nodes[win].Deleted {
			carried = nil // the trail has it
		}
		at = rec.tree.Nodes[win].Rev
	}
	if len(reasons)+len(carried) > 0 {
		if err := addFlag(w.tx, w.b.name, d.ID, at, w.name, reasons, carried, now); err != nil {
			return err
		}
	}
	event := Event{At: now, Who: w.name, Device: w.by, Record: d.ID}
	for _, says := range c.Flags {
		event.What, event.Detail = "rewritten", c.Detail+": "+says
		if err := addEvent(w.tx, event); err != nil {
			return err
		}
	}
	if c.What == "" || d.Deleted && (!wasLive || rec.live()) {
		return nil // the removal of a merged copy removes no record
	}
	event.What, event.Detail = c.What, c.Detail
	return addEvent(w.tx, event)
}
