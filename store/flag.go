package store

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"

	"datumbook/store/revtree"
)

// Flag marks a leaf that breaks the rules. The record is stored and replicated like any other.
type Flag struct {
	Book    string    `json:"book"`
	ID      string    `json:"id"`
	Rev     string    `json:"rev"`
	Reasons []string  `json:"reasons"`
	At      time.Time `json:"at"`

	By       string   `json:"by,omitempty"`       // the name of the device that sent it
	Rewrites []string `json:"rewrites,omitempty"` // those reasons that outlive the revision
}

func flagKey(book, id string, rev revtree.Rev) []byte {
	k := append([]byte(book), 0)
	k = append(append(k, id...), 0)
	return append(k, rev.String()...)
}

// addFlag flags a leaf, for what is wrong with it and for what was rewritten in it or before it.
func addFlag(tx *bolt.Tx, book, id string, rev revtree.Rev, by string, reasons, rewrites []string, at time.Time) error {
	f, key := Flag{Book: book, ID: id, Rev: rev.String(), At: at.UTC(), By: by}, flagKey(book, id, rev)
	if err := getJSON(tx.Bucket(bucketFlag), key, &f); err != nil && KindOf(err) != NotFound && KindOf(err) != Damaged {
		return err
	}
	f.Rewrites = distinct(f.Rewrites, rewrites)
	f.Reasons = distinct(f.Reasons, reasons, f.Rewrites)
	return putJSON(tx.Bucket(bucketFlag), key, f)
}

// mostRewrites bounds what one flag carries on; the trail has every one.
const mostRewrites = 50

func distinct(lists ...[]string) (out []string) {
	for _, list := range lists {
		for _, s := range list {
			if !slices.Contains(out, s) && len(out) < mostRewrites {
				out = append(out, s)
			}
		}
	}
	return out
}

// takeFlag removes the flag of a leaf that was replaced and gives what in it outlives the revision.
func takeFlag(tx *bolt.Tx, book, id string, rev revtree.Rev) (rewrites []string, err error) {
	var f Flag
	switch err := getJSON(tx.Bucket(bucketFlag), flagKey(book, id, rev), &f); KindOf(err) {
	case "", NotFound, Damaged:
		return f.Rewrites, dropFlag(tx, book, id, rev)
	default:
		return nil, err
	}
}

func dropFlag(tx *bolt.Tx, book, id string, rev revtree.Rev) error {
	return tx.Bucket(bucketFlag).Delete(flagKey(book, id, rev))
}

// Flags lists the flagged records, by book and id. A flag is removed when its revision is replaced,
// but for what was rewritten: that goes on to the next revision, until the owner has looked.
func (s *Store) Flags() ([]Flag, error) {
	var out []Flag
	err := s.view(func(tx *bolt.Tx) error {
		return eachJSON(tx.Bucket(bucketFlag), func(_ []byte, f Flag) error {
			out = append(out, f)
			return nil
		})
	})
	return out, err
}

// DropFlag removes a flag after review; the record stays as it is. A missing flag is not an error.
func (s *Store) DropFlag(book, id, rev string) error {
	r, err := revtree.ParseRev(rev)
	if err != nil {
		return newError(Bad, "%q is not a revision: take it from the list of records that need a look", rev)
	}
	return s.update(func(tx *bolt.Tx) error { return dropFlag(tx, book, id, r) })
}

// Refusal is a pushed document that the protocol's own rules forbid to store, quarantined without
// its attachment contents.
type Refusal struct {
	Number  uint64          `json:"-"`
	Book    string          `json:"book"`
	ID      string          `json:"id"`
	Rev     string          `json:"rev,omitempty"`
	Deleted bool            `json:"deleted,omitempty"`
	Reason  string          `json:"reason"`
	At      time.Time       `json:"at"`
	Body    json.RawMessage `json:"body,omitempty"` // the members as one JSON object
	Text    string          `json:"text,omitempty"` // what was sent, if not a JSON object
}

// Refuse quarantines a document that could not even be passed to Push; rev is its revision as sent.
func (s *Store) Refuse(book string, d Doc, rev string, why error) error {
	return s.RefuseBy("", book, d, rev, why)
}

// refusalRow is how it is kept.
type refusalRow struct {
	Refusal
	By string `json:"by,omitempty"` // the device that sent it
}

// RefuseBy is Refuse for a document that the device of that id sent.
func (s *Store) RefuseBy(by, book string, d Doc, rev string, why error) error {
	return s.update(func(tx *bolt.Tx) error { return addRefused(tx, s, by, book, &d, rev, why) })
}

// putRefusal stores each refused document once, however often it is sent: its number is a hash of
// its content.
func putRefusal(tx *bolt.Tx, s *Store, r refusalRow) error {
	sum := sha256.New()
	for _, part := range []string{r.Book, r.ID, r.Rev, string(r.Body), r.Text} {
		sum.Write(appendString(nil, part))
	}
	b, key := tx.Bucket(bucketRefused), sum.Sum(nil)[:8]
	if b.Get(key) != nil {
		return nil
	}
	r.At = r.At.UTC()
	if err := s.boundRefused(tx, r, key); err != nil {
		return err
	}
	s.refused.add(r.Refusal)
	return putJSON(b, key, r)
}

func addRefused(tx *bolt.Tx, s *Store, by, book string, d *Doc, rev string, why error) error {
	r := refusalRow{Refusal{Book: book, ID: d.ID, Rev: rev, Deleted: d.Deleted, Reason: Sentence(why),
		At: s.opt.Now()}, by}
	if len(d.ID) > MaxID {
		r.ID = strings.ToValidUTF8(d.ID[:MaxID], "")
	}
	if len(rev) > 1000 {
		r.Rev = strings.ToValidUTF8(rev[:1000], "")
	}
	if len(d.Body) > RefusedBytes/4 {
		r.Text = fmt.Sprintf("(%d bytes, too many to keep; they began with) {%s",
			len(d.Body), strings.ToValidUTF8(string(d.Body[:1000]), "\ufffd"))
		return putRefusal(tx, s, r)
	}
	text := slices.Concat([]byte{'{'}, d.Body, []byte{'}'})
	if json.Valid(text) {
		r.Body = text
	} else {
		r.Text = string(text)
	}
	return putRefusal(tx, s, r)
}

// Refused lists the quarantined documents, oldest first.
func (s *Store) Refused() ([]Refusal, error) {
	var out []Refusal
	err := s.view(func(tx *bolt.Tx) error {
		return eachJSON(tx.Bucket(bucketRefused), func(k []byte, r Refusal) error {
			r.Number = binary.BigEndian.Uint64(k)
			out = append(out, r)
			return nil
		})
	})
	slices.SortStableFunc(out, func(a, b Refusal) int { return a.At.Compare(b.At) })
	return out, err
}

// DropRefused deletes one after review.
func (s *Store) DropRefused(number uint64) error {
	return s.update(func(tx *bolt.Tx) error {
		s.forgetRefused(tx, key64(number))
		return dropRefused(tx, key64(number))
	})
}
