package store

import (
	"encoding/binary"
	"encoding/json"
	"slices"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Event is an entry of the audit trail.
type Event struct {
	Number uint64    `json:"-"`
	At     time.Time `json:"at"`
	What   string    `json:"what"`             // paired, revoked, restore, deleted, rewritten, ...
	Who    string    `json:"who,omitempty"`    // who did it: a device's name, an address or "office"
	Detail string    `json:"detail,omitempty"` // plain words, never a secret
	Device string    `json:"device,omitempty"` // id of the device that did it, or that it was done to
	Record string    `json:"record,omitempty"` // id of the record that it was done to
}

// The trail is bounded, or a device could fill the disk. Each sort has its own room, so that many
// of one do not push out another: strangers' guesses no pairing, deletions no restore.
const (
	mostGuesses = 1_000
	mostRecords = 20_000 // deletions and rewritten entries
	mostOthers  = 20_000
	trimEvery   = 1_000 // entries between two looks, which read the whole trail
	longDetail  = 1_000 // bytes
)

// sort tells which room an event is in.
func (e *Event) sort() int {
	switch e.What {
	case "wrong code", "pairing locked":
		return 0
	case "deleted", "restored", "removed", "rewritten":
		return 1
	}
	return 2
}

// Audit adds an entry to the trail.
func (s *Store) Audit(e Event) error {
	return s.update(func(tx *bolt.Tx) error { return addEvent(tx, e) })
}

func addEvent(tx *bolt.Tx, e Event) error {
	b := tx.Bucket(bucketAudit)
	n, err := b.NextSequence()
	if err != nil {
		return err
	}
	e.At = e.At.UTC()
	if len(e.Detail) > longDetail {
		e.Detail = string([]rune(e.Detail[:longDetail])) // a letter cut in two becomes a mark
	}
	if n%trimEvery == 0 {
		if err := trimTrail(b); err != nil {
			return err
		}
	}
	return putJSON(b, key64(n), e)
}

// trimTrail drops the oldest entries of each sort beyond its room.
func trimTrail(b *bolt.Bucket) error {
	room := [...]int{mostGuesses, mostRecords, mostOthers}
	var drop [][]byte
	c := b.Cursor()
	for k, raw := c.Last(); k != nil; k, raw = c.Prev() {
		var e Event
		if text, err := unseal(k, raw); err != nil || json.Unmarshal(text, &e) != nil {
			continue // verify tells of it
		}
		if room[e.sort()]--; room[e.sort()] < 0 {
			drop = append(drop, slices.Clone(k))
		}
	}
	for _, k := range drop {
		if err := b.Delete(k); err != nil {
			return err
		}
	}
	return nil
}

// AuditTrail returns the newest entries, newest first; a limit of 0 or less means all.
func (s *Store) AuditTrail(limit int) ([]Event, error) {
	var out []Event
	err := s.EachEvent(0, func(e Event) bool {
		out = append(out, e)
		return limit <= 0 || len(out) < limit
	})
	return out, err
}

// EachEvent gives the entries, newest first, until fn says no: those before a number, or all for 0.
// An entry that is damaged is left out; Verify tells of it.
func (s *Store) EachEvent(before uint64, fn func(Event) bool) error {
	return s.view(func(tx *bolt.Tx) error {
		c := tx.Bucket(bucketAudit).Cursor()
		k, raw := c.Last()
		if before > 0 {
			if k, _ = c.Seek(key64(before)); k == nil {
				k, raw = c.Last()
			} else {
				k, raw = c.Prev()
			}
		}
		for ; k != nil; k, raw = c.Prev() {
			text, err := unseal(k, raw)
			if err != nil {
				continue
			}
			var e Event
			if err := json.Unmarshal(text, &e); err != nil {
				continue
			}
			e.Number = binary.BigEndian.Uint64(k)
			if !fn(e) {
				return nil
			}
		}
		return nil
	})
}
