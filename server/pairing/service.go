package pairing

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/netip"
	"slices"
	"sync"
	"time"

	"datumbook/store"
)

// seenEvery is how often at most a device's last-seen time is written, so that a busy phone does
// not cost a disk write for each request.
const seenEvery = time.Minute

// Refusal is an error the caller can act on: the field, and a sentence that says what to do.
type Refusal struct {
	Field string
	Says  string
	Wait  time.Duration // time until the next attempt; zero if it does not matter
	Early bool          // the attempt came too early and was not checked
	Wrong bool          // the code is not valid
}

// Error gives the sentence.
func (r *Refusal) Error() string { return r.Says }

// Errors of a token that gives no access.
var (
	ErrUnknown = errors.New("this device is not paired with this office; pair it again with a code from the office screen")
	ErrRevoked = errors.New("this device was signed out by the owner; unsent work stays on it; ask for a new code to pair it again")
)

// Service pairs and revokes devices. Set the fields before use; methods are safe for concurrent
// use.
type Service struct {
	Keeper Keeper
	Now    func() time.Time // nil: the real clock
	Random io.Reader        // nil: crypto/rand
	Log    *slog.Logger     // nil: silent
	Opened func()           // called after a link of OpenKey was used; may be nil

	mu    sync.Mutex
	codes []Code
	open  string // the key of the link for this machine; empty until it is asked for
	wrong throttle
	seen  map[string]time.Time
}

func (s *Service) now() time.Time {
	if s.Now != nil {
		return s.Now()
	}
	return time.Now()
}

func (s *Service) random() io.Reader {
	if s.Random != nil {
		return s.Random
	}
	return rand.Reader
}

func (s *Service) log() *slog.Logger {
	if s.Log != nil {
		return s.Log
	}
	return slog.New(slog.DiscardHandler)
}

// Show creates a one-time code for a device with the given role. by is the caller, for the audit
// trail. It ends a lock, since the owner is present.
func (s *Service) Show(role store.Role, by string) (Code, error) {
	if _, err := store.ParseRole(string(role)); err != nil {
		return Code{}, &Refusal{Field: "role", Says: "say what the device may do: owner, hand or reader"}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.now()
	s.dropOld(now)
	if len(s.codes) >= codesAtOnce {
		return Code{}, &Refusal{Field: "code", Says: "eight codes are out already; use one of them or wait ten minutes",
			Wait: s.codes[0].Expires.Sub(now), Early: true}
	}
	for {
		text, err := newCode(s.random())
		if err != nil {
			return Code{}, err
		}
		if slices.ContainsFunc(s.codes, func(c Code) bool { return c.Text == text }) {
			continue
		}
		c := Code{Text: text, Role: role, Expires: now.Add(codeLife)}
		s.codes = append(s.codes, c)
		s.wrong.fresh()
		s.note("code shown", "", by, "for a new "+role.String())
		return c, nil
	}
}

// Trade exchanges a code for a device token. The token is returned only here; only its hash is
// kept. from is the caller's network address. A wrong code makes that address wait, longer each
// time; ten that begin like a code withdraw that code.
func (s *Service) Trade(code, name string, from netip.Addr) (token string, dev store.Device, err error) {
	name, err = cleanName(name)
	if err != nil {
		return "", store.Device{}, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.now()
	if wait := s.wrong.wait(now, from); wait > 0 {
		return "", store.Device{}, &Refusal{Field: "code", Wait: wait, Early: true,
			Says: fmt.Sprintf("that was one wrong code too many; wait %s and try again", inWords(wait))}
	}
	s.dropOld(now)
	text, ok := readCode(code)
	at := -1
	if ok {
		at = findCode(s.codes, text, now)
	}
	if at < 0 {
		return "", store.Device{}, s.refuse(now, from, text)
	}

	// The code is used up only when the device is on disk, so that it can be tried again after a
	// full disk.
	token, dev, err = s.admit(name, s.codes[at].Role, from.String())
	if err != nil {
		return "", store.Device{}, fmt.Errorf("keep the new device: %w", err)
	}
	s.codes = slices.Delete(s.codes, at, at+1)
	s.wrong.hit(from)
	return token, dev, nil
}

// admit creates a token, stores a new device under its hash and audits it. by is who paired it.
func (s *Service) admit(name string, role store.Role, by string) (token string, dev store.Device, err error) {
	if token, err = newToken(s.random()); err != nil {
		return "", dev, err
	}
	var id [8]byte
	if _, err = io.ReadFull(s.random(), id[:]); err != nil {
		return "", dev, fmt.Errorf("draw a device id: %w", err)
	}
	hash, _ := hashToken(token)
	dev = store.Device{ID: hex.EncodeToString(id[:]), Name: name, Role: role, Created: s.now().UTC()}
	if dev, err = s.Keeper.AddDevice(dev, hash); err != nil {
		return "", dev, err
	}
	s.note("paired", dev.ID, by, name+" as "+role.String())
	return token, dev, nil
}

// refuse counts a wrong code and builds the refusal, which is the same whatever was wrong. The
// service is locked; text is empty for what cannot be a code.
func (s *Service) refuse(now time.Time, from netip.Addr, text string) error {
	s.note("wrong code", "", from.String(), "")
	s.wrong.miss(now, from)
	for i := range s.codes {
		if text != "" && s.codes[i].begins(text) {
			s.codes[i].near++
		}
	}
	s.codes = slices.DeleteFunc(s.codes, func(c Code) bool {
		if c.near < nearMost {
			return false
		}
		s.note("pairing locked", "", from.String(),
			"ten wrong codes that began like one that was out; that one is withdrawn")
		return true
	})
	return &Refusal{Field: "code", Wait: s.wrong.wait(now, from), Wrong: true,
		Says: "that code is not known; codes have eight digits, are good once and for ten minutes; " +
			"check it or ask for a new one"}
}

func (s *Service) dropOld(now time.Time) {
	s.codes = slices.DeleteFunc(s.codes, func(c Code) bool { return !now.Before(c.Expires) })
}

// Who finds a token's device: ErrUnknown or ErrRevoked if it gives no access, another error if the
// store fails.
func (s *Service) Who(token string) (Identity, error) {
	hash, ok := hashToken(token)
	if !ok {
		return Identity{}, ErrUnknown
	}
	dev, err := s.Keeper.DeviceByToken(hash)
	switch {
	case store.KindOf(err) == store.NotFound:
		return Identity{}, ErrUnknown
	case err != nil:
		return Identity{}, fmt.Errorf("look the device up: %w", err)
	case dev.IsRevoked():
		return Identity{}, ErrRevoked
	}
	s.saw(dev)
	return Identity{Device: dev.ID, Name: dev.Name, Role: dev.Role}, nil
}

// saw records the last-seen time, at most once a minute for each device.
func (s *Service) saw(dev store.Device) {
	now := s.now().UTC()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.seen == nil {
		s.seen = make(map[string]time.Time)
	}
	last, ok := s.seen[dev.ID]
	if !ok {
		last = dev.LastSeen
	}
	if since := now.Sub(last); since < 0 || since >= seenEvery {
		s.seen[dev.ID] = now
		s.Keeper.SeenDevice(dev.ID, now)
	}
}

// List gives every device, revoked ones too, oldest first.
func (s *Service) List() ([]store.Device, error) { return s.Keeper.Devices() }

// Revoke revokes a device. The next request with its token is refused; its local data stays.
// ErrNoDevice when there is none.
func (s *Service) Revoke(id, by string) error {
	err := s.Keeper.RevokeDevice(id, s.now().UTC())
	if store.KindOf(err) == store.NotFound {
		return ErrNoDevice
	}
	if err == nil {
		s.note("revoked", id, by, s.nameOf(id))
	}
	return err
}

// Rename gives a device another name: what it was called when it was paired may be a guess. The
// office machine's own devices are known by theirs. ErrNoDevice when there is none.
func (s *Service) Rename(id, name, by string) (string, error) {
	name, err := cleanName(name)
	if err != nil {
		return "", err
	}
	was := s.nameOf(id)
	if ofOffice(was) || ofOffice(name) {
		return "", &Refusal{Field: "name",
			Says: "the office machine is known by that name; give another device another one"}
	}
	err = s.Keeper.RenameDevice(id, name)
	if store.KindOf(err) == store.NotFound {
		return "", ErrNoDevice
	}
	if err == nil && name != was {
		s.note("renamed", id, by, was+" to "+name)
	}
	return name, err
}

// nameOf gives a device's name, for the trail.
func (s *Service) nameOf(id string) string {
	all, _ := s.Keeper.Devices() // without them the id says it
	for _, d := range all {
		if d.ID == id {
			return d.Name
		}
	}
	return ""
}

// note audits an event, and which device it is about.
func (s *Service) note(what, device, by, detail string) {
	err := s.Keeper.Audit(store.Event{At: s.now().UTC(), What: what, Who: by, Detail: detail, Device: device})
	if err != nil {
		s.log().Error("audit trail not written", "what", what, "device", device, "error", err)
	}
}

// inWords rounds a wait up to whole seconds or minutes.
func inWords(w time.Duration) string {
	if w <= time.Second {
		return "a second"
	}
	if s := int((w + time.Second - 1) / time.Second); s < 90 {
		return fmt.Sprintf("%d seconds", s)
	}
	return fmt.Sprintf("%d minutes", int((w+time.Minute-1)/time.Minute))
}
