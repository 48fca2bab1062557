package pairing_test

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/pairing"
	"datumbook/server/servertest"
	"datumbook/store"
)

// One contract for both keepers: the test double behaves like the office store.
func TestKeepers(t *testing.T) {
	day := time.Date(2030, 1, 2, 3, 4, 5, 0, time.UTC)
	for _, c := range []struct {
		name string
		open func(t *testing.T) pairing.Keeper
	}{
		{"memory", func(*testing.T) pairing.Keeper { return &servertest.Memory{} }},
		{"store", func(t *testing.T) pairing.Keeper {
			s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
			require.NoError(t, err)
			t.Cleanup(func() { assert.NoError(t, s.Close()) })
			return s
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := c.open(t)
			one := store.Device{ID: "a1", Name: "Mill phone", Role: store.Operator, Created: day}
			two := store.Device{ID: "b2", Name: "Desk", Role: store.Owner, Created: day.Add(time.Hour)}
			add := func(d store.Device, token byte) error {
				_, err := k.AddDevice(d, [32]byte{token})
				return err
			}
			require.NoError(t, add(two, 2))
			require.NoError(t, add(one, 1))
			assert.Error(t, add(store.Device{ID: "a1", Name: "x", Role: store.Operator, Created: day}, 3), "id twice")
			assert.Error(t, add(store.Device{ID: "c3", Name: "x",
				Role: store.Operator, Created: day}, 1), "token twice")

			got, err := k.DeviceByToken([32]byte{1})
			require.NoError(t, err)
			assert.Equal(t, one, got)
			_, err = k.DeviceByToken([32]byte{9})
			assert.Equal(t, store.NotFound, store.KindOf(err))

			all, err := k.Devices()
			require.NoError(t, err)
			require.Len(t, all, 2)
			assert.Equal(t, []string{"a1", "b2"}, []string{all[0].ID, all[1].ID}, "oldest first")

			require.NoError(t, k.RenameDevice("b2", "Bench tablet"))
			assert.Equal(t, store.NotFound, store.KindOf(k.RenameDevice("zz", "x")))
			got, err = k.DeviceByToken([32]byte{2})
			require.NoError(t, err)
			two.Name = "Bench tablet"
			assert.Equal(t, two, got)

			k.SeenDevice("a1", day.Add(2*time.Hour))
			require.NoError(t, k.RevokeDevice("a1", day.Add(3*time.Hour)))
			require.NoError(t, k.RevokeDevice("a1", day.Add(9*time.Hour)))
			got, err = k.DeviceByToken([32]byte{1})
			require.NoError(t, err, "a revoked device is still found")
			assert.Equal(t, day.Add(2*time.Hour), got.LastSeen)
			assert.Equal(t, day.Add(3*time.Hour), got.Revoked, "the first time stays")
			assert.True(t, got.IsRevoked())
			assert.Equal(t, store.NotFound, store.KindOf(k.RevokeDevice("zz", day)))
			assert.NoError(t, k.Audit(store.Event{At: day, What: "paired", Who: "office", Detail: "device a1"}))
		})
	}
}

func TestStoreKeepsTheTrail(t *testing.T) {
	s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	defer func() { assert.NoError(t, s.Close()) }()
	service := &pairing.Service{Keeper: s}
	code, err := service.Show(store.Operator, "office")
	require.NoError(t, err)
	token, dev, err := service.Trade(code.Text, "Mill phone", addr("192.0.2.9"))
	require.NoError(t, err)
	require.NoError(t, service.Revoke(dev.ID, "office"))
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
