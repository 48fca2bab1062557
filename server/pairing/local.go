package pairing

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"datumbook/store"
)

// localFile holds this machine's own owner token, mode 0600: its readers can read the store beside
// it anyway.
const localFile = "office.token"

// Names of this machine's own devices in lists: its browsers, and its commands. Before there was a
// link for browsers, the commands had the first name.
const (
	localName    = "this machine"
	commandsName = "this machine's commands"
)

// ofOffice reports whether a name is that of one of the office machine's own devices.
func ofOffice(name string) bool { return name == localName || name == commandsName }

// OfOffice reports whether a caller is the office machine itself: its user, a browser it let in by its
// link, or one of its commands.
func (id Identity) OfOffice() bool {
	return id.Role == store.Owner && (id.Device == "" || ofOffice(id.Name))
}

// LocalToken gives the owner token of the office machine itself, for the
// commands that speak to the server. It is kept in a file in the data folder,
// which only the user that serves can read. When the file is missing, or its device was
// revoked or is not in the store (a restored backup), a new one is made.
func (s *Service) LocalToken(dir string) (string, error) {
	token, err := ReadLocalToken(dir)
	if err == nil {
		who, err := s.Who(token)
		switch {
		case err == nil && who.Role == store.Owner:
			return token, nil
		case err != nil && !errors.Is(err, ErrUnknown) && !errors.Is(err, ErrRevoked):
			return "", err
		}
	} else if !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if token, _, err = s.admit(commandsName, store.Owner, "office"); err != nil {
		return "", fmt.Errorf("keep this machine's own device: %w", err)
	}
	return token, writeLocalToken(dir, token)
}

// ReadLocalToken reads the token that a server keeps in its data folder;
// fs.ErrNotExist when there is none.
func ReadLocalToken(dir string) (string, error) {
	text, err := os.ReadFile(filepath.Join(dir, localFile))
	if err != nil {
		return "", fmt.Errorf("read this machine's token: %w", err)
	}
	return strings.TrimSpace(string(text)), nil
}

// writeLocalToken replaces the file atomically. A lost token is made again at the next start, so no
// sync. os.CreateTemp opens with mode 0600.
func writeLocalToken(dir, token string) error {
	f, err := os.CreateTemp(dir, localFile+".new-*")
	if err != nil {
		return fmt.Errorf("keep this machine's token: %w", err)
	}
	_, err = f.WriteString(token + "\n")
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(f.Name(), filepath.Join(dir, localFile))
	}
	if err != nil {
		_ = os.Remove(f.Name())
		return fmt.Errorf("keep this machine's token: %w", err)
	}
	return nil
}

// HasOwner reports whether any device but this machine is an owner not revoked, so that a first
// start on the shop's network can show a code for one.
func (s *Service) HasOwner() (bool, error) {
	all, err := s.Keeper.Devices()
	if err != nil {
		return false, err
	}
	for _, dev := range all {
		if !dev.IsRevoked() && dev.Role == store.Owner && !ofOffice(dev.Name) {
			return true, nil
		}
	}
	return false, nil
}
