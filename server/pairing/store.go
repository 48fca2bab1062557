package pairing

import (
	"fmt"
	"strings"
	"time"

	"datumbook/store"
)

// Kept is Devices and Trail in the office store.
type Kept struct{ Store *store.Store }

// Add keeps a new device.
func (k Kept) Add(d Device) error {
	_, err := k.Store.AddDevice(store.Device{ID: d.ID, Name: d.Name, Role: store.Role(d.Role.String()), Created: d.Paired}, d.Token)
	return err
}

// ByToken finds a device by its token's hash.
func (k Kept) ByToken(h Hash) (Device, error) {
	d, err := k.Store.DeviceByToken(h)
	if store.KindOf(err) == store.NotFound {
		return Device{}, ErrNoDevice
	}
	if err != nil {
		return Device{}, err
	}
	out, err := fromStore(d)
	// The store found the device under this very hash.
	out.Token = h
	return out, err
}

// All lists every device, oldest first. The store does not give tokens' hashes
// away: they are zero here.
func (k Kept) All() ([]Device, error) {
	all, err := k.Store.Devices()
	if err != nil {
		return nil, err
	}
	out := make([]Device, 0, len(all))
	for _, d := range all {
		one, err := fromStore(d)
		if err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	return out, nil
}

func fromStore(d store.Device) (Device, error) {
	role, err := ParseRole(string(d.Role))
	if err != nil {
		return Device{}, fmt.Errorf("device %s: %w", d.ID, err)
	}
	return Device{ID: d.ID, Name: d.Name, Role: role, Paired: d.Created, Seen: d.LastSeen, Revoked: d.Revoked}, nil
}

// Revoke marks a device as no longer welcome.
func (k Kept) Revoke(id string, at time.Time) error {
	err := k.Store.RevokeDevice(id, at)
	if store.KindOf(err) == store.NotFound {
		return ErrNoDevice
	}
	return err
}

// Saw notes when a device was last heard; the store writes it with its next
// commit.
func (k Kept) Saw(id string, at time.Time) error {
	k.Store.SeenDevice(id, at)
	return nil
}

// Note adds a line to the store's audit trail.
func (k Kept) Note(e Event) error {
	detail := e.Detail
	if e.Device != "" {
		detail = strings.TrimSpace("device " + e.Device + " " + detail)
	}
	return k.Store.Audit(store.Event{At: e.At, What: e.What, Who: e.By, Detail: detail})
}
