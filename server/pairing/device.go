package pairing

import (
	"errors"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Device is one phone or office screen that was paired.
type Device struct {
	ID      string
	Name    string
	Role    Role
	Token   Hash
	Paired  time.Time
	Seen    time.Time // zero until first used; kept to about a minute
	Revoked time.Time // zero while the device is welcome
}

// Live reports whether the device is still welcome.
func (d Device) Live() bool { return d.Revoked.IsZero() }

// ErrNoDevice is returned for a device id or token hash that is not known.
var ErrNoDevice = errors.New("no such device")

// Devices keeps paired devices. Every method is safe for concurrent use; a
// change is on disk before the method returns.
type Devices interface {
	// Add keeps a new device. An id or a token hash that exists is an error.
	Add(Device) error
	// ByToken finds a device by the hash of its token, revoked ones too.
	// ErrNoDevice when there is none.
	ByToken(Hash) (Device, error)
	// All lists every device, revoked ones too, oldest first.
	All() ([]Device, error)
	// Revoke marks a device as no longer welcome. Revoking twice keeps the
	// first time. ErrNoDevice when there is none.
	Revoke(id string, at time.Time) error
	// Saw notes when a device was last heard. ErrNoDevice when there is none.
	Saw(id string, at time.Time) error
}

// Event is one line of the audit trail.
type Event struct {
	At     time.Time
	What   string // "code shown", "paired", "revoked", "wrong code", "pairing locked"
	Device string // id of the device it is about, if any
	By     string // who did it: a device's name, "office", or a network address
	Detail string
}

// Trail keeps what happened to devices. It must be on disk on return.
type Trail interface {
	Note(Event) error
}

// nameLimit is the longest device name in letters.
const nameLimit = 60

// cleanName trims a device's name and refuses what cannot be shown on one line.
func cleanName(name string) (string, error) {
	name = strings.TrimSpace(name)
	switch {
	case name == "":
		return "", &Refusal{Field: "name", Says: "give the device a name, for instance Mill phone"}
	case !utf8.ValidString(name):
		return "", &Refusal{Field: "name", Says: "the device name has letters that cannot be read; type it again"}
	case utf8.RuneCountInString(name) > nameLimit:
		return "", &Refusal{Field: "name", Says: "the device name is longer than 60 letters; use a shorter one"}
	}
	for _, r := range name {
		if !unicode.IsPrint(r) {
			return "", &Refusal{Field: "name", Says: "the device name may hold only letters, figures, signs and blanks"}
		}
	}
	return name, nil
}
