package servertest

import (
	"cmp"
	"slices"
	"sync"
	"time"

	"datumbook/store"
)

// Memory is a pairing.Keeper in memory.
type Memory struct {
	mu      sync.Mutex
	devices []memoryDevice
	events  []store.Event
}

type memoryDevice struct {
	store.Device
	token [32]byte
}

// AddDevice keeps a new device.
func (m *Memory) AddDevice(d store.Device, token [32]byte) (store.Device, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, have := range m.devices {
		if have.ID == d.ID || have.token == token {
			return store.Device{}, &store.Error{Kind: store.Exists, Says: "device exists already"}
		}
	}
	m.devices = append(m.devices, memoryDevice{d, token})
	return d, nil
}

// DeviceByToken finds a device by its token's hash.
func (m *Memory) DeviceByToken(token [32]byte) (store.Device, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, d := range m.devices {
		if d.token == token {
			return d.Device, nil
		}
	}
	return store.Device{}, &store.Error{Kind: store.NotFound, Says: "no device has this token"}
}

// Devices lists every device, oldest first.
func (m *Memory) Devices() ([]store.Device, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var all []store.Device
	for _, d := range m.devices {
		all = append(all, d.Device)
	}
	slices.SortStableFunc(all,
		func(a, b store.Device) int { return cmp.Or(a.Created.Compare(b.Created), cmp.Compare(a.ID, b.ID)) })
	return all, nil
}

// RenameDevice gives a device another name.
func (m *Memory) RenameDevice(id, name string) error {
	return m.change(id, func(d *store.Device) { d.Name = name })
}

// RevokeDevice revokes a device.
func (m *Memory) RevokeDevice(id string, at time.Time) error {
	return m.change(id, func(d *store.Device) {
		if !d.IsRevoked() {
			d.Revoked = at
		}
	})
}

// SeenDevice records when a device was last seen.
func (m *Memory) SeenDevice(id string, at time.Time) {
	_ = m.change(id, func(d *store.Device) { d.LastSeen = at })
}

func (m *Memory) change(id string, do func(*store.Device)) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i := range m.devices {
		if m.devices[i].ID == id {
			do(&m.devices[i].Device)
			return nil
		}
	}
	return &store.Error{Kind: store.NotFound, Says: "no device has this id"}
}

// Audit keeps an event.
func (m *Memory) Audit(e store.Event) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.events = append(m.events, e)
	return nil
}

// Events returns a copy of the events.
func (m *Memory) Events() []store.Event {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.events)
}
