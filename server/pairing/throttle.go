package pairing

import (
	"net/netip"
	"time"
)

// The limits on guessing. Eight digits and lockAfter guesses: one success in ten million codes.
const (
	lockAfter   = 10               // wrong codes, from any address, that revoke every code
	calmAfter   = 15 * time.Minute // without a wrong code, after which counts restart
	slowFirst   = time.Second      // wait after an address's first wrong code; doubles each time
	slowLongest = 5 * time.Minute
	addressMost = 4096 // addresses remembered at once
)

// throttle counts wrong codes. It is not safe for concurrent use: the service
// holds its lock. The clock is given with each call.
type throttle struct {
	wrong int       // since the last calm
	last  time.Time // of the last wrong code
	from  map[netip.Addr]*slow
}

type slow struct {
	wrong int
	until time.Time // no try before this
	last  time.Time
}

// place reduces an address to what one caller controls: an IPv6 host has a whole /64, so its count
// is per /64.
func place(a netip.Addr) netip.Addr {
	a = a.Unmap().WithZone("")
	if a.Is6() {
		if p, err := a.Prefix(64); err == nil {
			return p.Addr()
		}
	}
	return a
}

// wait returns how long an address must wait; zero if it may try.
func (t *throttle) wait(now time.Time, a netip.Addr) time.Duration {
	if s := t.from[place(a)]; s != nil && now.Before(s.until) {
		return s.until.Sub(now)
	}
	return 0
}

// miss counts a wrong code and reports whether it locks.
func (t *throttle) miss(now time.Time, a netip.Addr) (locks bool) {
	if now.Sub(t.last) >= calmAfter {
		t.wrong = 0
	}
	t.wrong++
	t.last = now

	if t.from == nil {
		t.from = make(map[netip.Addr]*slow)
	}
	key := place(a)
	s := t.from[key]
	if s == nil {
		t.forget(now)
		s = &slow{}
		t.from[key] = s
	}
	if now.Sub(s.last) >= calmAfter {
		s.wrong = 0
	}
	s.wrong++
	s.last = now
	s.until = now.Add(min(slowFirst<<min(s.wrong-1, 20), slowLongest))
	if t.wrong >= lockAfter {
		t.wrong = 0
		return true
	}
	return false
}

// hit clears an address after a valid code.
func (t *throttle) hit(a netip.Addr) { delete(t.from, place(a)) }

// fresh resets the common count, for a code just shown.
func (t *throttle) fresh() { t.wrong = 0 }

// forget evicts addresses: expired ones first, then the least recently seen.
func (t *throttle) forget(now time.Time) {
	if len(t.from) < addressMost {
		return
	}
	var oldest netip.Addr
	var when time.Time
	for a, s := range t.from {
		if now.Sub(s.last) >= calmAfter {
			delete(t.from, a)
			continue
		}
		if when.IsZero() || s.last.Before(when) {
			oldest, when = a, s.last
		}
	}
	if len(t.from) >= addressMost {
		delete(t.from, oldest)
	}
}
