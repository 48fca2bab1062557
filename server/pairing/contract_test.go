package pairing_test

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/pairing"
	"datumbook/store"
)

// keeper is what both keepers of devices are.
type keeper interface {
	pairing.Devices
	pairing.Trail
}

// One contract, both keepers: the double that other tests lean on behaves like
// the office store.
func TestKeepers(t *testing.T) {
	day := time.Date(2030, 1, 2, 3, 4, 5, 0, time.UTC)
	for _, c := range []struct {
		name string
		open func(t *testing.T) keeper
	}{
		{"memory", func(*testing.T) keeper { return &pairing.Memory{} }},
		{"store", func(t *testing.T) keeper {
			s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
			require.NoError(t, err)
			t.Cleanup(func() { assert.NoError(t, s.Close()) })
			return pairing.Kept{Store: s}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := c.open(t)
			one := pairing.Device{ID: "a1", Name: "Mill phone", Role: pairing.Hand, Token: pairing.Hash{1}, Paired: day}
			two := pairing.Device{ID: "b2", Name: "Desk", Role: pairing.Owner, Token: pairing.Hash{2}, Paired: day.Add(time.Hour)}
			require.NoError(t, k.Add(two))
			require.NoError(t, k.Add(one))
			assert.Error(t, k.Add(pairing.Device{ID: "a1", Name: "x", Role: pairing.Hand, Token: pairing.Hash{3}, Paired: day}), "id twice")
			assert.Error(t, k.Add(pairing.Device{ID: "c3", Name: "x", Role: pairing.Hand, Token: pairing.Hash{1}, Paired: day}), "token twice")

			got, err := k.ByToken(pairing.Hash{1})
			require.NoError(t, err)
			assert.Equal(t, one, got)
			_, err = k.ByToken(pairing.Hash{9})
			assert.ErrorIs(t, err, pairing.ErrNoDevice)

			all, err := k.All()
			require.NoError(t, err)
			require.Len(t, all, 2)
			assert.Equal(t, []string{"a1", "b2"}, []string{all[0].ID, all[1].ID}, "oldest first")

			require.NoError(t, k.Saw("a1", day.Add(2*time.Hour)))
			require.NoError(t, k.Revoke("a1", day.Add(3*time.Hour)))
			require.NoError(t, k.Revoke("a1", day.Add(9*time.Hour)))
			got, err = k.ByToken(pairing.Hash{1})
			require.NoError(t, err, "a revoked device is still found")
			assert.Equal(t, day.Add(2*time.Hour), got.Seen)
			assert.Equal(t, day.Add(3*time.Hour), got.Revoked, "the first time stays")
			assert.False(t, got.Live())
			assert.ErrorIs(t, k.Revoke("zz", day), pairing.ErrNoDevice)
			assert.NoError(t, k.Note(pairing.Event{At: day, What: "paired", Device: "a1", By: "office"}))
		})
	}
}

func TestStoreKeepsTheTrail(t *testing.T) {
	s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	defer func() { assert.NoError(t, s.Close()) }()
	k := pairing.Kept{Store: s}
	desk := &pairing.Desk{Devices: k, Trail: k}
	code, err := desk.Show(pairing.Hand, "office")
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
