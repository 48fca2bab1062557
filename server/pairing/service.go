package pairing

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/netip"
	"slices"
	"sync"
	"time"
)

// seenEvery is how often at most a device's last-seen time is written, so that
// a phone that syncs all day does not cost a disk write a request.
const seenEvery = time.Minute

// Refusal is a refusal that the caller can act on: which field, and a sentence
// that says what would do.
type Refusal struct {
	Field string
	Says  string
	Wait  time.Duration // how long to hold off before the next try; zero if it does not matter
	Early bool          // the try came before a wait was over and was not looked at
	Wrong bool          // the code is not one that opens
}

// Error gives the sentence.
func (r *Refusal) Error() string { return r.Says }

// Reasons why a token does not open the door.
var (
	ErrUnknown = errors.New("this device is not paired with this office; pair it again with a code from the office screen")
	ErrRevoked = errors.New("this device was signed out by the owner; unsent work stays on it; ask for a new code to pair it again")
)

// Desk is where devices are let in and shown out. Set the fields before use;
// every method is safe for concurrent use.
type Desk struct {
	Devices Devices
	Trail   Trail            // may be nil: nothing is noted
	Now     func() time.Time // nil: the real clock
	Random  io.Reader        // nil: crypto/rand
	Log     *slog.Logger     // nil: silent

	mu    sync.Mutex
	codes []Code
	guard throttle
	seen  map[string]time.Time
}

func (d *Desk) now() time.Time {
	if d.Now != nil {
		return d.Now()
	}
	return time.Now()
}

func (d *Desk) random() io.Reader {
	if d.Random != nil {
		return d.Random
	}
	return rand.Reader
}

func (d *Desk) log() *slog.Logger {
	if d.Log != nil {
		return d.Log
	}
	return slog.New(slog.DiscardHandler)
}

// Show draws a one-time code for a device that will have the given role. by
// says who asked, for the trail. It ends a lock: the owner has looked.
func (d *Desk) Show(role Role, by string) (Code, error) {
	if role == Anyone || role > Owner {
		return Code{}, &Refusal{Field: "role", Says: "say what the device may do: owner, hand or reader"}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	now := d.now()
	d.dropOld(now)
	if len(d.codes) >= codesAtOnce {
		return Code{}, &Refusal{Field: "code", Says: "eight codes are out already; use one of them or wait ten minutes",
			Wait: d.codes[0].Expires.Sub(now), Early: true}
	}
	for {
		text, err := newCode(d.random())
		if err != nil {
			return Code{}, err
		}
		if slices.ContainsFunc(d.codes, func(c Code) bool { return c.Text == text }) {
			continue
		}
		c := Code{Text: text, Role: role, Expires: now.Add(codeLife)}
		d.codes = append(d.codes, c)
		d.guard.fresh()
		d.note(Event{At: now, What: "code shown", By: by, Detail: "for a new " + role.String()})
		return c, nil
	}
}

// Trade gives a device token for a code. The token is shown this once; only
// its hash is kept. from is the caller's network address. A wrong code makes
// that address wait, longer each time; ten wrong codes withdraw every code.
func (d *Desk) Trade(code, name string, from netip.Addr) (token string, dev Device, err error) {
	name, err = cleanName(name)
	if err != nil {
		return "", Device{}, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	now := d.now()
	if wait := d.guard.wait(now, from); wait > 0 {
		return "", Device{}, &Refusal{Field: "code", Wait: wait, Early: true,
			Says: fmt.Sprintf("that was one wrong code too many; wait %s and try again", inWords(wait))}
	}
	d.dropOld(now)
	text, ok := readCode(code)
	at := -1
	if ok {
		at = findCode(d.codes, text, now)
	}
	if at < 0 {
		return "", Device{}, d.wrong(now, from)
	}

	token, err = newToken(d.random())
	if err != nil {
		return "", Device{}, err
	}
	id := make([]byte, 8)
	if _, err = io.ReadFull(d.random(), id); err != nil {
		return "", Device{}, fmt.Errorf("draw a device id: %w", err)
	}
	hash, _ := hashToken(token)
	dev = Device{ID: hex.EncodeToString(id), Name: name, Role: d.codes[at].Role, Token: hash, Paired: now.UTC()}
	// The code is spent only when the device is on disk: a full disk must not
	// cost the machinist a walk back to the office.
	if err = d.Devices.Add(dev); err != nil {
		return "", Device{}, fmt.Errorf("keep the new device: %w", err)
	}
	d.codes = slices.Delete(d.codes, at, at+1)
	d.guard.hit(from)
	d.note(Event{At: now, What: "paired", Device: dev.ID, By: from.String(), Detail: dev.Name + " as " + dev.Role.String()})
	return token, dev, nil
}

// wrong counts a wrong code and words the refusal. The desk is locked.
func (d *Desk) wrong(now time.Time, from netip.Addr) error {
	d.note(Event{At: now, What: "wrong code", By: from.String()})
	locks := d.guard.miss(now, from)
	wait := d.guard.wait(now, from)
	if locks {
		d.codes = nil
		d.note(Event{At: now, What: "pairing locked", By: from.String(), Detail: "ten wrong codes; every code that was out is withdrawn"})
		return &Refusal{Field: "code", Wait: wait, Wrong: true, Says: "too many wrong codes; every code is withdrawn; ask the office to show a new one"}
	}
	return &Refusal{Field: "code", Wait: wait, Wrong: true, Says: "that code is not known; codes have eight digits, are good once and for ten minutes; check it or ask for a new one"}
}

func (d *Desk) dropOld(now time.Time) {
	d.codes = slices.DeleteFunc(d.codes, func(c Code) bool { return !now.Before(c.Expires) })
}

// Who tells whose token it is: ErrUnknown or ErrRevoked when it opens nothing,
// another error when the store cannot be asked.
func (d *Desk) Who(token string) (Identity, error) {
	hash, ok := hashToken(token)
	if !ok {
		return Identity{}, ErrUnknown
	}
	dev, err := d.Devices.ByToken(hash)
	if errors.Is(err, ErrNoDevice) {
		return Identity{}, ErrUnknown
	}
	if err != nil {
		return Identity{}, fmt.Errorf("look the device up: %w", err)
	}
	if subtle.ConstantTimeCompare(dev.Token[:], hash[:]) != 1 {
		return Identity{}, ErrUnknown
	}
	if !dev.Live() {
		return Identity{}, ErrRevoked
	}
	d.saw(dev)
	return Identity{Device: dev.ID, Name: dev.Name, Role: dev.Role}, nil
}

// saw writes the last-seen time, at most once a minute for each device. A
// failure to write it is logged: it is no reason to turn a phone away.
func (d *Desk) saw(dev Device) {
	now := d.now().UTC()
	d.mu.Lock()
	if d.seen == nil {
		d.seen = make(map[string]time.Time)
	}
	last, ok := d.seen[dev.ID]
	if !ok {
		last = dev.Seen
	}
	if since := now.Sub(last); since >= 0 && since < seenEvery {
		d.mu.Unlock()
		return
	}
	d.seen[dev.ID] = now
	d.mu.Unlock()
	if err := d.Devices.Saw(dev.ID, now); err != nil {
		d.log().Warn("last-seen time not kept", "device", dev.ID, "error", err)
	}
}

// List gives every device, revoked ones too, oldest first.
func (d *Desk) List() ([]Device, error) { return d.Devices.All() }

// Revoke signs a device out. The next request with its token is refused; what
// it holds stays on it. ErrNoDevice when there is none.
func (d *Desk) Revoke(id, by string) error {
	now := d.now().UTC()
	if err := d.Devices.Revoke(id, now); err != nil {
		return err
	}
	d.note(Event{At: now, What: "revoked", Device: id, By: by})
	return nil
}

func (d *Desk) note(e Event) {
	if d.Trail == nil {
		return
	}
	e.At = e.At.UTC()
	if err := d.Trail.Note(e); err != nil {
		d.log().Error("audit trail not written", "what", e.What, "device", e.Device, "error", err)
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
