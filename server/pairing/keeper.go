package pairing

import (
	"errors"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"datumbook/store"
)

// ErrNoDevice is returned for a device id that is not known.
var ErrNoDevice = errors.New("no such device")

// Keeper keeps paired devices and the audit trail; *store.Store is one. Methods are safe for
// concurrent use; all but SeenDevice have written to disk when they return.
type Keeper interface {
	// AddDevice keeps a new device under the SHA-256 of its token. An id or a
	// token that exists is an error.
	AddDevice(d store.Device, token [32]byte) (store.Device, error)
	// DeviceByToken finds a device by the SHA-256 of its token, revoked ones
	// too. store.NotFound when there is none.
	DeviceByToken(token [32]byte) (store.Device, error)
	// Devices lists every device, revoked ones too, oldest first.
	Devices() ([]store.Device, error)
	// RenameDevice gives a device another name. store.NotFound when there is none.
	RenameDevice(id, name string) error
	// RevokeDevice revokes a device. Revoking twice keeps the first time. store.NotFound when there
	// is none.
	RevokeDevice(id string, at time.Time) error
	// SeenDevice records when a device was last seen.
	SeenDevice(id string, at time.Time)
	// Audit adds an entry to the audit trail.
	Audit(store.Event) error
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
