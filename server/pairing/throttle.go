package pairing

import (
	"net/netip"
	"time"
)

// The limits on guessing. They must let nobody in, and let nobody keep an honest phone out: a wrong
// code slows the address that sent it, and withdraws a code only where it was a try at that code.
//
// For each code that is out, of eight digits and for ten minutes:
//   - From one address, or one network of IPv6, there are ten tries: one success in ten million.
//   - From a whole network of 254 addresses there are some 1,300, since after crowdAfter wrong codes
//     every address waits longer from its first one on: one success in 75,000.
//   - From any number of addresses: after nearMost tries with the code's first three digits the code
//     is withdrawn, and the other five are hit by one of them once in 10,000. It takes about 10,000
//     tries to come that far, from some 2,000 addresses: only then is pairing denied, for that code.
//
// The answer to a wrong code does not tell whether it began right. An address that has not tried yet
// never waits, whatever others do.
const (
	nearMost    = 10               // wrong codes that begin like a code, which withdraw that code
	crowdAfter  = 100              // wrong codes from all addresses after which each waits longer
	slowCrowd   = 30 * time.Second // the first wait then
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

// miss counts a wrong code.
func (t *throttle) miss(now time.Time, a netip.Addr) {
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
	first := slowFirst
	if t.wrong > crowdAfter {
		first = slowCrowd
	}
	s.until = now.Add(min(first<<min(s.wrong-1, 20), slowLongest))
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
