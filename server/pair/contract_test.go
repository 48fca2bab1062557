package pair_test

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/pair"
	"datumbook/store"
)

// keeper is what both keepers of devices are.
type keeper interface {
	pair.Devices
	pair.Trail
}

// One contract, both keepers: the double that other tests lean on behaves like
// the office store.
func TestKeepers(t *testing.T) {
	day := time.Date(2030, 1, 2, 3, 4, 5, 0, time.UTC)
	for _, c := range []struct {
		name string
		open func(t *testing.T) keeper
	}{
		{"memory", func(*testing.T) keeper { return &pair.Memory{} }},
		{"store", func(t *testing.T) keeper {
			s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
			require.NoError(t, err)
			t.Cleanup(func() { assert.NoError(t, s.Close()) })
			return pair.Kept{Store: s}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := c.open(t)
			one := pair.Device{ID: "a1", Name: "Mill phone", Role: pair.Hand, Token: pair.Hash{1}, Paired: day}
			two := pair.Device{ID: "b2", Name: "Desk", Role: pair.Owner, Token: pair.Hash{2}, Paired: day.Add(time.Hour)}
			require.NoError(t, k.Add(two))
			require.NoError(t, k.Add(one))
			assert.Error(t, k.Add(pair.Device{ID: "a1", Name: "x", Role: pair.Hand, Token: pair.Hash{3}, Paired: day}), "id twice")
			assert.Error(t, k.Add(pair.Device{ID: "c3", Name: "x", Role: pair.Hand, Token: pair.Hash{1}, Paired: day}), "token twice")

			got, err := k.ByToken(pair.Hash{1})
			require.NoError(t, err)
			assert.Equal(t, one, got)
			_, err = k.ByToken(pair.Hash{9})
			assert.ErrorIs(t, err, pair.ErrNoDevice)

			all, err := k.All()
			require.NoError(t, err)
			require.Len(t, all, 2)
			assert.Equal(t, []string{"a1", "b2"}, []string{all[0].ID, all[1].ID}, "oldest first")

			require.NoError(t, k.Saw("a1", day.Add(2*time.Hour)))
			require.NoError(t, k.Revoke("a1", day.Add(3*time.Hour)))
			require.NoError(t, k.Revoke("a1", day.Add(9*time.Hour)))
			got, err = k.ByToken(pair.Hash{1})
			require.NoError(t, err, "a revoked device is still found")
			assert.Equal(t, day.Add(2*time.Hour), got.Seen)
			assert.Equal(t, day.Add(3*time.Hour), got.Revoked, "the first time stays")
			assert.False(t, got.Live())
			assert.ErrorIs(t, k.Revoke("zz", day), pair.ErrNoDevice)
			assert.NoError(t, k.Note(pair.Event{At: day, What: "paired", Device: "a1", By: "office"}))
		})
	}
}

func TestStoreKeepsTheTrail(t *testing.T) {
	s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	defer func() { assert.NoError(t, s.Close()) }()
	k := pair.Kept{Store: s}
	desk := &pair.Desk{Devices: k, Trail: k}
	code, err := desk.Show(pair.Hand, "office")
	require.NoError(t, err)
	token, dev, err := desk.Trade(code.Text, "Mill phone", addr("192.0.2.9"))
	require.NoError(t, err)
	require.NoError(t, desk.Revoke(dev.ID, "office"))
	lines, err := s.AuditTrail(0)
	require.NoError(t, err)
	require.Len(t, lines, 3)
	assert.Equal(t, "revoked", lines[0].What)
	assert.Equal(t, "paired", lines[1].What)
	assert.Equal(t, "192.0.2.9", lines[1].Who)
	assert.Equal(t, "code shown", lines[2].What)
	for _, l := range lines {
		assert.NotContains(t, l.Detail+l.Who, code.Digits())
		assert.NotContains(t, l.Detail+l.Who, token)
	}
}
