package peer

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"time"

	"datumbook/store"
)

// checkpoint is the note that both ends keep of how far a leg is.
type checkpoint struct {
	Rev     string          `json:"_rev,omitempty"`
	Session string          `json:"session_id,omitempty"`
	Last    json.RawMessage `json:"source_last_seq,omitempty"`
	History []mark          `json:"history,omitempty"`
	Aside   int             `json:"aside,omitempty"` // how many are listed, in this office's own note
}

// mark is one time that both ends noted. Its session is drawn anew for each, so that the same session
// means the same place.
type mark struct {
	Session  string          `json:"session_id"`
	Recorded json.RawMessage `json:"recorded_seq"`
	At       string          `json:"end_time"`
}

// marks are kept in full so far back, and sparsely beyond it: an end that was put back from a backup of
// last week still has one in common with the other. Some ends take no note beyond 64 KiB, and a
// cluster's sequences are long.
const (
	marksFull  = 25
	marksMost  = 50
	marksBytes = 40 << 10
)

// add puts a mark in front and thins out old ones.
func (c *checkpoint) add(m mark) {
	c.Session, c.Last = m.Session, m.Recorded
	c.History = append([]mark{m}, c.History...)
	full := marksFull
	for len(c.History) > marksMost || len(c.History) > 2 && c.size() > marksBytes {
		full = min(full, len(c.History)/2)
		kept := slices.Clone(c.History[:full])
		for i, m := range c.History[full:] {
			if (len(c.History)-full-i)%2 == 1 { // the oldest stays
				kept = append(kept, m)
			}
		}
		c.History = kept
	}
}

func (c *checkpoint) size() (n int) {
	for _, m := range c.History {
		n += len(m.Recorded) + len(m.Session) + len(m.At) + 60
	}
	return n
}

// common gives the newest place that both ends noted; skew reports that they were not at the same.
func common(source, target checkpoint) (since json.RawMessage, skew bool) {
	if source.Session == "" && target.Session == "" {
		return nil, false
	}
	if source.Session == target.Session {
		return source.Last, false
	}
	noted := make(map[string]bool, len(target.History))
	for _, m := range target.History {
		noted[m.Session] = true
	}
	for _, m := range source.History {
		if noted[m.Session] {
			return m.Recorded, true
		}
	}
	return nil, true
}

// nameOf names a leg's notes by the histories of both ends, so that another history begins anew, and
// by the end that works it: two offices may follow each other.
func nameOf(source, target string, out bool) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "datumbook leg %v\n%s\n%s", out, source, target))
	return "datumbook-" + hex.EncodeToString(sum[:16])
}

// note reads an end's note; an empty one where there is none.
func (e *end) note(ctx context.Context, name string) (c checkpoint, err error) {
	err = e.ask(ctx, http.MethodGet, "/_local/"+name, nil, &c)
	if isStatus(err, http.StatusNotFound) {
		return checkpoint{}, nil
	}
	return c, err
}

// keep writes an end's note and learns its revision.
func (e *end) keep(ctx context.Context, name string, c *checkpoint) error {
	var done struct {
		OK  bool   `json:"ok"`
		Rev string `json:"rev"`
	}
	err := e.ask(ctx, http.MethodPut, "/_local/"+name, c, &done)
	switch {
	case err != nil:
		return err
	case !done.OK || done.Rev == "":
		return garbage()
	}
	c.Rev = done.Rev
	return nil
}

// Aside is a record that a leg could not carry over.
type Aside struct {
	ID     string    `json:"id"`
	Rev    string    `json:"rev,omitempty"` // empty: any of its revisions
	Reason string    `json:"reason"`
	At     time.Time `json:"at"`
}

// mostAside records may be set aside; more are no fault of theirs.
const mostAside = 1000

// asides are what a leg has set aside, kept in this office beside its note and written before it.
type asides struct {
	book *store.Book
	name string
	n    uint64 // of the kept note
	list []Aside

	shorter bool // than what is saved
}

// open reads what was set aside.
func (a *asides) open(book *store.Book, name string) error {
	*a = asides{book: book, name: name + "-aside"}
	l, err := book.Local(a.name)
	switch {
	case store.KindOf(err) == store.NotFound:
		return nil
	case err != nil:
		return err
	}
	a.n = l.N
	var body struct{ Aside []Aside }
	// What cannot be read is found again, since notes and list are of the same commit or later.
	_ = json.Unmarshal([]byte("{"+string(l.Body)+"}"), &body)
	a.list = body.Aside
	return nil
}

// save writes the list.
func (a *asides) save() error {
	text, err := json.Marshal(map[string]any{"aside": a.list})
	if err != nil {
		return err
	}
	n, err := a.book.PutLocal(store.Local{ID: a.name, N: a.n, Body: text[1 : len(text)-1]})
	if err == nil {
		a.n, a.shorter = n, false
	}
	return err
}

var errManyAside = errors.New("it refuses more than a thousand records, so it is not they that are at fault: " +
	"see what it says of them, and ask whoever keeps it")

// add lists a record, in place of what was said of it before.
func (a *asides) add(one Aside) error {
	one.Reason = clean(one.Reason)
	for i, have := range a.list {
		if have.ID == one.ID && have.Rev == one.Rev {
			a.list[i] = one
			return nil
		}
	}
	if len(a.list) >= mostAside {
		return errManyAside
	}
	a.list = append(a.list, one)
	return nil
}

// drop takes a record off the list, with all its revisions. It is saved with the next note, so that a
// crash between the two leaves the list longer than the note says, never shorter.
func (a *asides) drop(id string) {
	kept := slices.DeleteFunc(slices.Clone(a.list), func(one Aside) bool { return one.ID == id })
	a.shorter = a.shorter || len(kept) < len(a.list)
	a.list = kept
}

// has reports whether a revision is on the list.
func (a *asides) has(id, rev string) bool {
	return slices.ContainsFunc(a.list, func(one Aside) bool { return one.ID == id && (one.Rev == rev || one.Rev == "") })
}
