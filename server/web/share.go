package web

import (
	"context"
	"io"
	"net/http"
	"slices"
	"sync"
	"time"
)

// Sharing gives each device its share of the machine: no more requests at once than its own, a turn
// on the processors when those who used less have had theirs, and memory for what is large. A zero
// field sets no limit. Whoever waits for the other end of a connection, or for the disk, has no turn
// and costs no one else time.
type Sharing struct {
	Requests int   // that one device has answered at once
	Waiting  int   // that wait for that; more are refused
	Turns    int   // requests at work at once
	Free     int64 // bytes that each request may have without asking
	Memory   int64 // bytes that all requests together may have beyond that
	Device   int64 // of these, for one device with several requests

	Patience time.Duration // how long a request waits for memory; 0 means 10 s

	mu      sync.Mutex
	devices map[string]*device
	turns   int // in use
	queue   []*waiter
	held    int64
	wanting []*waiter
	holding []*Share // in the order in which they began to
}

// device is what one device has at this moment.
type device struct {
	requests int
	waiting  []chan struct{}
	used     time.Duration // of turns, halved each second
	at       time.Time
	held     int64
	shares   int
}

type waiter struct {
	s       *Share
	want    int64
	granted chan struct{}
}

// Share is one request's part. The methods of a nil Share do nothing.
type Share struct {
	f      *Sharing
	d      *device
	name   string
	ctx    context.Context
	stream bool
	turn   bool
	since  time.Time
	held   int64
	moved  int64     // bytes read and written since it holds memory
	holds  time.Time // since then

	// Evict ends the request, if another needs the memory and this one makes no headway.
	Evict func()
}

type shareKey struct{}

// WithShare returns a context that carries a request's share.
func WithShare(ctx context.Context, s *Share) context.Context {
	return context.WithValue(ctx, shareKey{}, s)
}

// ShareOf returns the share of a request; nil where it has none.
func ShareOf(ctx context.Context) *Share {
	s, _ := ctx.Value(shareKey{}).(*Share)
	return s
}

// Enter waits until the device may have one more request answered, and for a turn. A stream counts
// elsewhere. Leave must be called at the end.
func (f *Sharing) Enter(ctx context.Context, name string, stream bool) (*Share, error) {
	f.mu.Lock()
	d := f.devices[name]
	if d == nil {
		d = &device{}
		if f.devices == nil {
			f.devices = make(map[string]*device)
		}
		f.devices[name] = d
	}
	d.shares++
	s := &Share{f: f, d: d, name: name, ctx: ctx, stream: stream}
	if !stream && f.Requests > 0 && d.requests >= f.Requests {
		if len(d.waiting) >= f.Waiting {
			f.forget(s)
			f.mu.Unlock()
			err := NewError(http.StatusTooManyRequests, "too_many_requests", "device",
				"this device asks for too much at once: let it wait for its answers")
			err.Wait = time.Second
			return nil, err
		}
		ready := make(chan struct{})
		d.waiting = append(d.waiting, ready)
		f.mu.Unlock()
		select {
		case <-ready:
			f.mu.Lock()
		case <-ctx.Done():
			f.mu.Lock()
			defer f.mu.Unlock()
			if at := slices.Index(d.waiting, ready); at >= 0 {
				d.waiting = slices.Delete(d.waiting, at, at+1)
			} else {
				f.next(d) // it was given meanwhile
			}
			f.forget(s)
			return nil, context.Cause(ctx)
		}
	} else if !stream {
		d.requests++
	}
	f.mu.Unlock()
	s.Again()
	return s, nil
}

// next passes a request's place to the next that waits. The lock is held.
func (f *Sharing) next(d *device) {
	if len(d.waiting) == 0 {
		d.requests--
		return
	}
	close(d.waiting[0])
	d.waiting = d.waiting[1:]
}

// forget drops what is kept of a device without requests, but not its use of turns right away. The
// lock is held.
func (f *Sharing) forget(s *Share) {
	s.d.shares--
	if len(f.devices) < 1000 {
		return
	}
	for name, d := range f.devices {
		if d.shares == 0 && time.Since(d.at) > time.Minute {
			delete(f.devices, name)
		}
	}
}

// Leave ends the share.
func (s *Share) Leave() {
	if s == nil {
		return
	}
	s.Rest()
	s.f.mu.Lock()
	defer s.f.mu.Unlock()
	s.release()
	if !s.stream {
		s.f.next(s.d)
	}
	s.f.forget(s)
}

// Release gives back the memory that the request holds, before it waits for something.
func (s *Share) Release() {
	if s == nil {
		return
	}
	s.f.mu.Lock()
	defer s.f.mu.Unlock()
	s.release()
}

func (s *Share) release() {
	if s.held == 0 {
		return
	}
	s.f.held -= s.held
	s.d.held -= s.held
	s.held = 0
	s.f.holding = slices.DeleteFunc(s.f.holding, func(o *Share) bool { return o == s })
	s.f.grant()
}

// move counts bytes that were read or written.
func (s *Share) move(n int) {
	s.f.mu.Lock()
	defer s.f.mu.Unlock()
	s.moved += int64(n)
}

// A request that holds memory others wait for must make some headway.
const (
	headwayAfter = 5 * time.Second
	headway      = 16 << 10 // bytes a second
)

// evict ends requests that make too little headway, those that hold longest first, until what is
// waited for is free.
func (f *Sharing) evict(now time.Time) {
	f.mu.Lock()
	left := f.held - (f.Memory - f.Memory/4)
	for _, w := range f.wanting {
		left += w.want
	}
	var ends []func()
	for _, s := range f.holding {
		long := now.Sub(s.holds)
		if left <= 0 || long < headwayAfter {
			break
		}
		if s.Evict != nil && !s.turn && float64(s.moved) < headway*long.Seconds() {
			ends = append(ends, s.Evict)
			s.Evict = nil
			left -= s.held
		}
	}
	f.mu.Unlock()
	for _, end := range ends {
		end()
	}
}

// Rest gives the turn to another, before something that is waited for. It tells whether there was one
// to give.
func (s *Share) Rest() (had bool) {
	if s == nil {
		return false
	}
	f := s.f
	f.mu.Lock()
	defer f.mu.Unlock()
	if !s.turn {
		return false
	}
	s.turn = false
	now := time.Now()
	s.d.settle(now)
	s.d.used += now.Sub(s.since)
	if len(f.queue) == 0 {
		f.turns--
		return true
	}
	// The one that used least goes first; of equals the one that waits longest.
	best := 0
	for i, w := range f.queue {
		w.s.d.settle(now)
		if w.s.d.used < f.queue[best].s.d.used {
			best = i
		}
	}
	w := f.queue[best]
	f.queue = slices.Delete(f.queue, best, best+1)
	w.s.turn, w.s.since = true, now
	close(w.granted)
	return true
}

func (d *device) settle(now time.Time) {
	for since := now.Sub(d.at); since >= time.Second && d.used > 0; since -= time.Second {
		d.used /= 2
		d.at = d.at.Add(time.Second)
	}
	if d.used == 0 {
		d.at = now
	}
}

// Again waits for a turn after Rest.
func (s *Share) Again() {
	if s == nil {
		return
	}
	f := s.f
	f.mu.Lock()
	if s.turn || f.Turns == 0 {
		f.mu.Unlock()
		return
	}
	if f.turns < f.Turns {
		f.turns++
		s.turn, s.since = true, time.Now()
		f.mu.Unlock()
		return
	}
	w := &waiter{s: s, granted: make(chan struct{})}
	f.queue = append(f.queue, w)
	f.mu.Unlock()
	select {
	case <-w.granted:
	case <-s.ctx.Done(): // it will end soon; without a turn
		f.mu.Lock()
		if at := slices.Index(f.queue, w); at >= 0 {
			f.queue = slices.Delete(f.queue, at, at+1)
		}
		f.mu.Unlock()
	}
}

// grantMore gives to those that have begun, while nobody else can begin. The lock is held.
func (f *Sharing) grantMore() {
	for _, w := range slices.Clone(f.wanting) {
		if w.s.held > 0 && f.held+w.want <= f.Memory {
			f.give(w)
		}
	}
}

// give gives what one waits for. The lock is held.
func (f *Sharing) give(w *waiter) {
	f.wanting = slices.DeleteFunc(f.wanting, func(o *waiter) bool { return o == w })
	f.held += w.want
	if w.s.held == 0 {
		w.s.holds, w.s.moved = time.Now(), 0
		f.holding = append(f.holding, w.s)
	}
	w.s.d.held += w.want
	w.s.held += w.want
	close(w.granted)
}

func (d *device) before(o *device) bool {
	return d.held < o.held || d.held == o.held && d.used < o.used
}

// errBusy is the answer where there is no memory for a request.
func errBusy() error {
	err := NewError(http.StatusServiceUnavailable, "unavailable", "body",
		"the office has much to do at this moment: send it again, or less at once")
	err.Wait = 5 * time.Second
	return err
}

// Hold makes sure that the request may have n bytes of memory in all, and waits for them. They are
// given back when it leaves.
func (s *Share) Hold(n int64) error {
	if s == nil || s.f.Memory == 0 || n <= s.f.Free {
		return nil
	}
	f := s.f
	f.mu.Lock()
	if n -= f.Free; n <= s.held {
		f.mu.Unlock()
		return nil
	}
	n = (n + 1<<18 - 1) &^ (1<<18 - 1) // in steps
	w := &waiter{s: s, want: n - s.held, granted: make(chan struct{})}
	f.wanting = append(f.wanting, w)
	f.grant()
	f.mu.Unlock()
	select {
	case <-w.granted:
		return nil
	default:
	}
	patience := f.Patience
	if patience == 0 {
		patience = 10 * time.Second
	}
	s.Rest()
	defer s.Again()
	end := time.NewTimer(patience)
	defer end.Stop()
	look := time.NewTicker(time.Second)
	defer look.Stop()
	err := error(nil)
	for err == nil {
		select {
		case <-w.granted:
			return nil
		case now := <-look.C:
			f.evict(now)
		case <-end.C:
			err = errBusy()
		case <-s.ctx.Done():
			err = context.Cause(s.ctx)
		}
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if at := slices.Index(f.wanting, w); at >= 0 {
		f.wanting = slices.Delete(f.wanting, at, at+1)
		return err
	}
	return nil // given meanwhile
}

// grant gives memory to those that wait: first to the device that has least, of equals to the one that
// used the processors least. Nobody who wants less overtakes them, or who wants much would never get
// it. The lock is held.
func (f *Sharing) grant() {
	now := time.Now()
	for {
		best := -1
		for i, w := range f.wanting {
			alone := w.s.d.held == w.s.held // then it may have all there is
			if !alone && w.s.d.held+w.want > f.Device {
				continue
			}
			w.s.d.settle(now)
			if best < 0 || w.s.d.before(f.wanting[best].s.d) {
				best = i
			}
		}
		if best < 0 {
			return
		}
		// A quarter is kept for those that have begun and turn out to need more: if all were given
		// away, they might wait for each other.
		most := f.Memory
		if f.wanting[best].s.held == 0 {
			most -= most / 4
		}
		if f.held+f.wanting[best].want > most && (f.held > 0 || f.wanting[best].want > f.Memory) {
			if f.wanting[best].s.held == 0 {
				f.grantMore()
			}
			return
		}
		f.give(f.wanting[best])
	}
}

// Held gives the bytes that all requests have now beyond what is free.
func (f *Sharing) Held() int64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.held
}

// Writer rests while an answer is written. A request that rests already, such as a feed that writes a
// heartbeat, goes on resting.
func (s *Share) Writer(w http.ResponseWriter) http.ResponseWriter { return &sharedWriter{w, s} }

type sharedWriter struct {
	http.ResponseWriter
	share *Share
}

func (w *sharedWriter) Write(p []byte) (int, error) {
	had := w.share.Rest()
	n, err := w.ResponseWriter.Write(p)
	w.share.move(n)
	if had {
		w.share.Again()
	}
	return n, err
}

func (w *sharedWriter) Flush() {
	if w.share.Rest() {
		defer w.share.Again()
	}
	_ = http.NewResponseController(w.ResponseWriter).Flush()
}

// Unwrap lets http.ResponseController reach the connection.
func (w *sharedWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// Body rests while a request is read.
func (s *Share) Body(r *http.Request) {
	if r.Body != nil && r.Body != http.NoBody {
		r.Body = &sharedBody{r.Body, s}
	}
}

type sharedBody struct {
	io.ReadCloser
	share *Share
}

func (b *sharedBody) Read(p []byte) (int, error) {
	had := b.share.Rest()
	n, err := b.ReadCloser.Read(p)
	b.share.move(n)
	if had {
		b.share.Again()
	}
	return n, err
}

// CutOff ends the connection of an answer, also one that waits for the other side.
func CutOff(w http.ResponseWriter) {
	for {
		switch x := w.(type) {
		case *Recorder:
			x.Cut()
			return
		case interface{ Unwrap() http.ResponseWriter }:
			w = x.Unwrap()
		default:
			return
		}
	}
}
