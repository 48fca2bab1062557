package store

import (
	"encoding/json"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Event is an entry of the audit trail.
type Event struct {
	At     time.Time `json:"at"`
	What   string    `json:"what"`             // pair, revoke, restore, create book, ...
	Who    string    `json:"who,omitempty"`    // device id or "office"
	Detail string    `json:"detail,omitempty"` // plain words, never a secret
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
	return putJSON(b, key64(n), e)
}

// AuditTrail returns the newest entries, newest first; a limit of 0 or less means all.
func (s *Store) AuditTrail(limit int) ([]Event, error) {
	var out []Event
	err := s.view(func(tx *bolt.Tx) error {
		c := tx.Bucket(bucketAudit).Cursor()
		for k, raw := c.Last(); k != nil && (limit <= 0 || len(out) < limit); k, raw = c.Prev() {
			text, err := unseal(k, raw)
			if err != nil {
				return err
			}
			var e Event
			if err := json.Unmarshal(text, &e); err != nil {
				return err
			}
			out = append(out, e)
		}
		return nil
	})
	return out, err
}
