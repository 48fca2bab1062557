package store

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Role says how much a caller may do. Each role includes the ones before it.
type Role string

// The roles, from least to most.
const (
	Anyone   Role = ""       // no token: the app's own files, pairing, health probes
	Reader   Role = "reader" // sees jobs and records, changes nothing
	Operator Role = "hand"   // a machinist: reads and writes records
	Owner    Role = "owner"  // also pairs and revokes devices, creates books, takes backups
)

// String gives the role's word as it is stored and shown.
func (r Role) String() string {
	if r == Anyone {
		return "anyone"
	}
	return string(r)
}

// Allows reports whether r is enough where need is asked for.
func (r Role) Allows(need Role) bool { return r.rank() >= need.rank() }

func (r Role) rank() int { return slices.Index([]Role{Anyone, Reader, Operator, Owner}, r) }

// ParseRole reads a role that a device can have: "owner", "hand" or "reader".
func ParseRole(text string) (Role, error) {
	if r := Role(text); r.rank() > 0 {
		return r, nil
	}
	return Anyone, newError(Bad, "role %q is not known: use owner, hand or reader", text)
}

// Device is a phone or other client that was paired. Zero times mean "not yet".
type Device struct {
	ID       string    `json:"id"`
	Name     string    `json:"name"`
	Role     Role      `json:"role"`
	Created  time.Time `json:"created"`
	LastSeen time.Time `json:"last_seen"`
	Revoked  time.Time `json:"revoked"`
}

// IsRevoked reports whether the device was revoked.
func (d Device) IsRevoked() bool { return !d.Revoked.IsZero() }

type deviceRow struct {
	Device
	Token []byte `json:"token"` // SHA-256 of the token
}

// AddDevice keeps a device under the SHA-256 of its token. An empty ID is filled in with a random
// one, returned. A name must not be empty; a role must be one of the three; a token may belong to
// one device only.
func (s *Store) AddDevice(d Device, token [32]byte) (Device, error) {
	if strings.TrimSpace(d.Name) == "" {
		return Device{}, newError(Bad, "a device needs a name")
	}
	if _, err := ParseRole(string(d.Role)); err != nil {
		return Device{}, err
	}
	if d.ID == "" {
		d.ID = NewID()
	}
	return d, s.update(func(tx *bolt.Tx) error {
		devices, tokens := tx.Bucket(bucketDevice), tx.Bucket(bucketToken)
		if devices.Get([]byte(d.ID)) != nil || tokens.Get(token[:]) != nil {
			return newError(Exists, "a device with this id or token is there already")
		}
		if err := putSealed(tokens, token[:], []byte(d.ID)); err != nil {
			return err
		}
		return putJSON(devices, []byte(d.ID), deviceRow{d, token[:]})
	})
}

// DeviceByToken finds the device that the token with this SHA-256 belongs to; NotFound where there
// is none. A revoked device is returned too, so that its user can be told.
func (s *Store) DeviceByToken(token [32]byte) (Device, error) {
	var row deviceRow
	err := s.view(func(tx *bolt.Tx) error {
		id, err := getSealed(tx.Bucket(bucketToken), token[:])
		if err != nil {
			return err
		}
		if id == nil {
			return newError(NotFound, "no device has this token")
		}
		return getJSON(tx.Bucket(bucketDevice), id, &row)
	})
	return s.withSeen(row.Device), err
}

// Devices lists all devices, revoked ones too, oldest first.
func (s *Store) Devices() ([]Device, error) {
	var out []Device
	err := s.view(func(tx *bolt.Tx) error {
		return eachJSON(tx.Bucket(bucketDevice), func(_ []byte, row deviceRow) error {
			out = append(out, s.withSeen(row.Device))
			return nil
		})
	})
	slices.SortStableFunc(out, func(a, b Device) int { return a.Created.Compare(b.Created) })
	return out, err
}

// RenameDevice gives a device another name. NotFound where there is none.
func (s *Store) RenameDevice(id, name string) error {
	if strings.TrimSpace(name) == "" {
		return newError(Bad, "a device needs a name")
	}
	return s.changeDevice(id, func(row *deviceRow) bool {
		row.Name = name
		return true
	})
}

// RevokeDevice revokes a device at once; its token is kept, so that a refusal can say why. NotFound
// where there is none; revoking twice keeps the first time.
func (s *Store) RevokeDevice(id string, at time.Time) error {
	return s.changeDevice(id, func(row *deviceRow) bool {
		if row.IsRevoked() {
			return false
		}
		row.Revoked = at.UTC()
		return true
	})
}

// changeDevice writes a device again where change says that it did something to it.
func (s *Store) changeDevice(id string, change func(*deviceRow) bool) error {
	return s.update(func(tx *bolt.Tx) error {
		var row deviceRow
		if err := getJSON(tx.Bucket(bucketDevice), []byte(id), &row); err != nil || !change(&row) {
			return err
		}
		return putJSON(tx.Bucket(bucketDevice), []byte(id), row)
	})
}

// SeenDevice records when a device was last seen. The time is kept in memory and written with the
// next commit or at Close, so it costs no extra flush.
func (s *Store) SeenDevice(id string, at time.Time) {
	s.seenMu.Lock()
	defer s.seenMu.Unlock()
	if at.After(s.seen[id]) {
		s.seen[id] = at.UTC()
		s.seenNew = true
	}
}

func (s *Store) withSeen(d Device) Device {
	s.seenMu.Lock()
	defer s.seenMu.Unlock()
	if at := s.seen[d.ID]; at.After(d.LastSeen) {
		d.LastSeen = at
	}
	return d
}

// writeSeen writes the recorded times, at most once per device and minute.
func (s *Store) writeSeen(tx *bolt.Tx, all bool) error {
	s.seenMu.Lock()
	defer s.seenMu.Unlock()
	if !s.seenNew {
		return nil
	}
	b := tx.Bucket(bucketDevice)
	for _, id := range slices.Sorted(maps.Keys(s.seen)) {
		var row deviceRow
		if err := getJSON(b, []byte(id), &row); KindOf(err) == NotFound {
			continue
		} else if err != nil {
			return err
		}
		gap := s.seen[id].Sub(row.LastSeen)
		if gap <= 0 || (!all && gap < time.Minute) {
			continue
		}
		row.LastSeen = s.seen[id]
		if err := putJSON(b, []byte(id), row); err != nil {
			return err
		}
	}
	s.seenNew = false
	return nil
}

func putJSON(b *bolt.Bucket, key []byte, v any) error {
	text, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return putSealed(b, key, text)
}

func getJSON(b *bolt.Bucket, key []byte, v any) error {
	text, err := getSealed(b, key)
	if err != nil {
		return err
	}
	if text == nil {
		return newError(NotFound, "there is no such entry")
	}
	return json.Unmarshal(text, v)
}

func eachJSON[T any](b *bolt.Bucket, fn func(key []byte, v T) error) error {
	return b.ForEach(func(k, raw []byte) error {
		text, err := unseal(k, raw)
		if err != nil {
			return err
		}
		var v T
		if err := json.Unmarshal(text, &v); err != nil {
			return err
		}
		return fn(k, v)
	})
}
