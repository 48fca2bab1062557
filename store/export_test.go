package store

import (
	"bytes"
	"time"

	bolt "go.etcd.io/bbolt"
)

// SealForTest seals a value as the store does.
func SealForTest(key, value []byte) []byte { return seal(key, value) }

// Format is the version of the file format that this program writes.
func Format() int { return len(migrations) }

// What follows fills and reads two buckets that the format has and the program does not use: codes
// wait in memory. Files that tests made long ago have something in them.

// Code is what the bucket of codes was made for.
type Code struct {
	Role    Role      `json:"role"`
	Name    string    `json:"name"`
	Created time.Time `json:"created"`
	Expires time.Time `json:"expires"`
}

func (s *Store) AddCode(hash [32]byte, c Code) error {
	return s.update(func(tx *bolt.Tx) error { return putJSON(tx.Bucket(bucketCode), hash[:], c) })
}

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

func (s *Store) SetSetting(name string, value []byte) error {
	return s.update(func(tx *bolt.Tx) error {
		return putSealed(tx.Bucket(bucketSetting), []byte(name), bytes.Clone(value))
	})
}

func (s *Store) Setting(name string) ([]byte, error) {
	var out []byte
	err := s.view(func(tx *bolt.Tx) error {
		v, err := getSealed(tx.Bucket(bucketSetting), []byte(name))
		out = bytes.Clone(v)
		return err
	})
	return out, err
}

// DamageBody flips a bit in a stored body, as a failing disk would.
func (s *Store) DamageBody(book string, number uint64) error {
	return s.update(func(tx *bolt.Tx) error {
		b := tx.Bucket(bucketBooks).Bucket([]byte(book)).Bucket(bucketBody)
		v := bytes.Clone(b.Get(key64(number)))
		v[len(v)/2] ^= 4
		return b.Put(key64(number), v)
	})
}
