package pairing

import (
	"cmp"
	"crypto/subtle"
	"errors"
	"slices"
	"sync"
	"time"
)

// Memory is a Devices and Trail that forgets everything when the program
// ends: the double that tests use.
type Memory struct {
	mu      sync.Mutex
	devices []Device
	events  []Event
}

// Add keeps a new device.
func (m *Memory) Add(d Device) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, have := range m.devices {
		if have.ID == d.ID || have.Token == d.Token {
			return errors.New("device exists already")
		}
	}
	m.devices = append(m.devices, d)
	return nil
}

// ByToken finds a device by its token's hash.
func (m *Memory) ByToken(h Hash) (Device, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, d := range m.devices {
		if subtle.ConstantTimeCompare(d.Token[:], h[:]) == 1 {
			return d, nil
		}
	}
	return Device{}, ErrNoDevice
}

// All lists every device, oldest first.
func (m *Memory) All() ([]Device, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	all := slices.Clone(m.devices)
	slices.SortStableFunc(all, func(a, b Device) int { return cmp.Or(a.Paired.Compare(b.Paired), cmp.Compare(a.ID, b.ID)) })
	return all, nil
}

// Revoke marks a device as no longer welcome.
func (m *Memory) Revoke(id string, at time.Time) error {
	return m.change(id, func(d *Device) {
		if d.Live() {
			d.Revoked = at
		}
	})
}

// Saw notes when a device was last heard.
func (m *Memory) Saw(id string, at time.Time) error {
	return m.change(id, func(d *Device) { d.Seen = at })
}

func (m *Memory) change(id string, do func(*Device)) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i := range m.devices {
		if m.devices[i].ID == id {
			do(&m.devices[i])
			return nil
		}
	}
	return ErrNoDevice
}

// Note keeps an event.
func (m *Memory) Note(e Event) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.events = append(m.events, e)
	return nil
}

// Events gives a copy of what was noted.
func (m *Memory) Events() []Event {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.events)
}
