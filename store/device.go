package store

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Role says how much a caller may do. Each role includes the ones before it.
type Role string

// The roles, from least to most.
const (
	Anyone   Role = ""       // no token: the app's own files, pairing, the health probe
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

// IsRevoked reports whether the device was shut out.
func (d Device) IsRevoked() bool { return !d.Revoked.IsZero() }

type deviceRow struct {
	Device
	Token []byte `json:"token"` // SHA-256 of the token
}

// AddDevice keeps a device under the SHA-256 of its token. An empty ID is filled in with a random one, returned.
// A name must not be empty; a role must be one of the three; a token may belong to one device only.
func (s *Store) AddDevice(d Device, token [32]byte) (Device, error) {
	if err := d.check(); err != nil {
		return Device{}, err
	}
	if d.ID == "" {
		d.ID = newID()
	}
	return d, s.update(func(tx *bolt.Tx) error { return addDevice(tx, d, token) })
}

func (d Device) check() error {
	if strings.TrimSpace(d.Name) == "" {
		return newError(Bad, "a device needs a name")
	}
	_, err := ParseRole(string(d.Role))
	return err
}

func addDevice(tx *bolt.Tx, d Device, token [32]byte) error {
	if tx.Bucket(bucketDevice).Get([]byte(d.ID)) != nil || tx.Bucket(bucketToken).Get(token[:]) != nil {
		return newError(Exists, "a device with this id or token is there already")
	}
	if err := putSealed(tx.Bucket(bucketToken), token[:], []byte(d.ID)); err != nil {
		return err
	}
	return putJSON(tx.Bucket(bucketDevice), []byte(d.ID), deviceRow{d, token[:]})
}

// DeviceByToken finds the device that the token with this SHA-256 belongs to; NotFound where there is none. A revoked
// device is returned too, so that its holder can be told.
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

// Device gives one device; NotFound where there is none.
func (s *Store) Device(id string) (Device, error) {
	var row deviceRow
	err := s.view(func(tx *bolt.Tx) error { return getJSON(tx.Bucket(bucketDevice), []byte(id), &row) })
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

// RevokeDevice shuts a device out from this moment; its token is kept, so that it can be told why. NotFound where there
// is none; revoking twice keeps the first time.
func (s *Store) RevokeDevice(id string, at time.Time) error {
	return s.changeDevice(id, func(d *Device) {
		if d.Revoked.IsZero() {
			d.Revoked = at.UTC()
		}
	})
}

// RenameDevice gives a device another name; NotFound where there is none, Bad for an empty name.
func (s *Store) RenameDevice(id, name string) error {
	if strings.TrimSpace(name) == "" {
		return newError(Bad, "a device needs a name")
	}
	return s.changeDevice(id, func(d *Device) { d.Name = name })
}

func (s *Store) changeDevice(id string, change func(*Device)) error {
	return s.update(func(tx *bolt.Tx) error {
		var row deviceRow
		if err := getJSON(tx.Bucket(bucketDevice), []byte(id), &row); err != nil {
			return err
		}
		change(&row.Device)
		return putJSON(tx.Bucket(bucketDevice), []byte(id), row)
	})
}

// SeenDevice notes that a device was here. The note is kept in memory and written with the next commit of anything, or at Close:
// it costs no flush of its own.
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

// writeSeen puts the noted times into the transaction, at most one write per device and minute.
func (s *Store) writeSeen(tx *bolt.Tx, all bool) error {
	s.seenMu.Lock()
	defer s.seenMu.Unlock()
	if !s.seenNew {
		return nil
	}
	ids := make([]string, 0, len(s.seen))
	for id := range s.seen {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	b := tx.Bucket(bucketDevice)
	for _, id := range ids {
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

// Code is a pairing code that waits to be traded for a token, kept as the SHA-256 of what was shown.
type Code struct {
	Role    Role      `json:"role"`
	Name    string    `json:"name"` // proposed device name, may be empty
	Created time.Time `json:"created"`
	Expires time.Time `json:"expires"`
}

// AddCode keeps a pairing code. Bad for an unknown role, Exists for one that waits already.
func (s *Store) AddCode(hash [32]byte, c Code) error {
	if c.Role.rank() < 1 {
		return newError(Bad, "role %q is none of owner, hand, reader", c.Role)
	}
	return s.update(func(tx *bolt.Tx) error {
		if tx.Bucket(bucketCode).Get(hash[:]) != nil {
			return newError(Exists, "this code waits already")
		}
		return putJSON(tx.Bucket(bucketCode), hash[:], c)
	})
}

// TakeCode trades a code for a device, in one transaction: the code is gone and the device is there, or neither. The
// device gets the code's role, and its name where d has none. NotFound for a code that does not wait or has run out at the time at.
func (s *Store) TakeCode(hash [32]byte, at time.Time, d Device, token [32]byte) (Device, error) {
	if d.ID == "" {
		d.ID = newID()
	}
	var made Device
	err := s.update(func(tx *bolt.Tx) error {
		made = d
		var c Code
		if err := getJSON(tx.Bucket(bucketCode), hash[:], &c); err != nil {
			return err
		}
		if !at.Before(c.Expires) {
			return newError(NotFound, "this code has run out")
		}
		made.Role = c.Role
		if made.Name == "" {
			made.Name = c.Name
		}
		if err := made.check(); err != nil {
			return err
		}
		if err := tx.Bucket(bucketCode).Delete(hash[:]); err != nil {
			return err
		}
		return addDevice(tx, made, token)
	})
	if err != nil {
		return Device{}, err
	}
	return made, nil
}

// Codes lists the codes that wait and have not run out at the time at.
func (s *Store) Codes(at time.Time) ([]Code, error) {
	var out []Code
	err := s.view(func(tx *bolt.Tx) error {
		return eachJSON(tx.Bucket(bucketCode), func(_ []byte, c Code) error {
			if at.Before(c.Expires) {
				out = append(out, c)
			}
			return nil
		})
	})
	return out, err
}

// DropCodes forgets the codes that have run out at the time at, and with all every one.
func (s *Store) DropCodes(at time.Time, all bool) error {
	return s.update(func(tx *bolt.Tx) error {
		b := tx.Bucket(bucketCode)
		var gone [][]byte
		err := eachJSON(b, func(k []byte, c Code) error {
			if all || !at.Before(c.Expires) {
				gone = append(gone, bytes.Clone(k))
			}
			return nil
		})
		for _, k := range gone {
			if err == nil {
				err = b.Delete(k)
			}
		}
		return err
	})
}

// Setting gives a small value the server keeps, nil where there is none.
func (s *Store) Setting(name string) ([]byte, error) {
	var out []byte
	err := s.view(func(tx *bolt.Tx) error {
		v, err := getSealed(tx.Bucket(bucketSetting), []byte(name))
		out = bytes.Clone(v)
		return err
	})
	return out, err
}

// SetSetting keeps a small value; nil forgets it.
func (s *Store) SetSetting(name string, value []byte) error {
	return s.update(func(tx *bolt.Tx) error {
		if value == nil {
			return tx.Bucket(bucketSetting).Delete([]byte(name))
		}
		return putSealed(tx.Bucket(bucketSetting), []byte(name), bytes.Clone(value))
	})
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
