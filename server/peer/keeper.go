package peer

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"slices"
	"strconv"
	"sync"
	"time"

	"datumbook/server/web"
	"datumbook/store"
)

// The states of a leg.
const (
	Starting = "starting"
	UpToDate = "up to date"
	Carrying = "carrying"
	Failing  = "failing"
)

// Leg is what is told of one direction.
type Leg struct {
	State   string    `json:"state"`
	Line    string    `json:"line"`    // all of it in words, as of this moment
	Waiting int64     `json:"waiting"` // changes not carried over yet; -1: not known
	Carried int64     `json:"carried"` // revisions, since the office started
	Success time.Time `json:"success,omitzero"`
	Fault   string    `json:"fault,omitempty"`
	FaultAt time.Time `json:"fault_at,omitzero"` // since when
	Faults  int64     `json:"faults"`            // since the office started
	Skew    string    `json:"skew,omitempty"`
	SkewAt  time.Time `json:"skew_at,omitzero"`
	Aside   []Aside   `json:"aside,omitempty"`

	since string
}

// State is what is told of a peer.
type State struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	URL  string `json:"url"`
	Book string `json:"book"`
	Way  Way    `json:"way"`
	Out  *Leg   `json:"out,omitempty"`
	In   *Leg   `json:"in,omitempty"`
}

// Legs gives the legs there are.
func (s State) Legs() map[string]*Leg {
	legs := map[string]*Leg{}
	if s.Out != nil {
		legs["out"] = s.Out
	}
	if s.In != nil {
		legs["in"] = s.In
	}
	return legs
}

// Keeper runs the peers of an office. Set the fields, then Open.
type Keeper struct {
	Dir    string // the data folder
	Store  *store.Store
	Routes []web.Route // of the replication protocol, relative to its root
	Log    *slog.Logger
	Now    func() time.Time // nil: the real clock

	// Rest gives a channel that is sent on after a rest; nil: a timer's.
	Rest func(time.Duration) <-chan time.Time

	mu    sync.Mutex
	near  *near
	ctx   context.Context
	end   context.CancelFunc
	peers map[string]*running

	broken error // why the list cannot be read
}

// running is a peer at work.
type running struct {
	Peer
	out, in *Leg
	mu      sync.Mutex // of both
	end     context.CancelFunc
	going   sync.WaitGroup
}

// skewTold is for how long it is told that the ends' notes differed.
const skewTold = 24 * time.Hour

const (
	leastWait = time.Second
	mostWait  = 5 * time.Minute
	shutWait  = time.Minute // at least, where a peer does not let this office in
)

// Open starts the peers of the list. A list that cannot be read stops nothing else: it is told.
func (k *Keeper) Open() {
	if k.Log == nil {
		k.Log = slog.New(slog.DiscardHandler)
	}
	if k.Now == nil {
		k.Now = time.Now
	}
	if k.Rest == nil {
		k.Rest = time.After
	}
	k.near = newNear(k.Routes, k.Log)
	k.ctx, k.end = context.WithCancel(context.Background())
	k.peers = map[string]*running{}
	if err := k.Reread(); err != nil {
		k.Log.Error("no copy elsewhere is kept up", "err", err)
	}
}

// Close ends all legs, wherever they are.
func (k *Keeper) Close() {
	k.end()
	k.mu.Lock()
	defer k.mu.Unlock()
	for _, p := range k.peers {
		p.going.Wait()
	}
	k.near.close()
}

// Reread takes up what was added to the list, and ends what was taken off it.
func (k *Keeper) Reread() error {
	list, err := Read(k.Dir)
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.broken = err; err != nil {
		return err
	}
	if k.ctx.Err() != nil {
		return errors.New("the office is closing")
	}
	for id, p := range k.peers {
		if !slices.Contains(list, p.Peer) {
			p.end()
			p.going.Wait()
			delete(k.peers, id)
		}
	}
	for _, p := range list {
		if k.peers[p.ID] == nil {
			k.peers[p.ID] = k.start(p)
		}
	}
	return nil
}

// start begins a peer's legs.
func (k *Keeper) start(p Peer) *running {
	ctx, stop := context.WithCancel(k.ctx)
	r := &running{Peer: p, end: stop}
	book, err := k.Store.Book(p.Book)
	var far *end
	if err == nil {
		far, err = newEnd(p)
	}
	for _, out := range []bool{true, false} {
		if out && p.Way == In || !out && p.Way == Out {
			continue
		}
		told := &Leg{State: Starting, Waiting: -1}
		l := &leg{book: book, out: out, log: k.Log, now: k.Now, rest: k.Rest, tell: told, mu: &r.mu, id: p.ID}
		if out {
			r.out = told
		} else {
			r.in = told
		}
		if err != nil {
			told.State, told.Fault, told.FaultAt = Failing, err.Error(), k.Now()
			continue
		}
		l.from, l.to = k.near.end(p.Book, p), far
		if !out {
			l.from, l.to = far, l.from
		}
		l.recall()
		r.going.Go(func() { k.keep(ctx, l) })
	}
	return r
}

// keep runs a leg, and again after a rest that grows from one failure to the next.
func (k *Keeper) keep(ctx context.Context, l *leg) {
	wait := time.Duration(0)
	for {
		carried := l.carried()
		err := l.run(ctx)
		if ctx.Err() != nil {
			return
		}
		if l.carried() > carried {
			wait = 0 // it had got on meanwhile
		}
		wait = restAfter(err, wait)
		l.told(func(t *Leg) {
			if errors.Is(err, errMoved) {
				t.State = Starting
				return
			}
			if t.Fault != err.Error() {
				k.Log.Warn("a peer cannot be kept equal", "peer", l.far().name, "out", l.out, "err", err)
			}
			if t.FaultAt.IsZero() {
				t.FaultAt = k.Now()
			}
			t.State, t.Fault = Failing, err.Error()
			t.Faults++
		})
		select {
		case <-ctx.Done():
			return
		case <-k.Rest(wait - time.Duration(rand.Int64N(int64(wait)/4+1))):
		}
	}
}

// restAfter gives the rest after a failure, from the one before. A part of chance is taken off it by
// the caller, so that many offices do not come back at one instant.
func restAfter(err error, before time.Duration) time.Duration {
	wait := min(max(2*before, leastWait), mostWait)
	var f *Fault
	if errors.As(err, &f) {
		switch f.Status {
		case http.StatusUnauthorized, http.StatusForbidden, http.StatusNotFound:
			wait = max(wait, shutWait)
		}
		wait = max(wait, min(f.Wait, mostWait))
	}
	return wait
}

// States tells of all peers, in the order of their ids.
func (k *Keeper) States() []State {
	k.mu.Lock()
	defer k.mu.Unlock()
	out := make([]State, 0, len(k.peers))
	for _, p := range k.peers {
		s := State{ID: p.ID, Name: p.Name(), URL: p.URL, Book: p.Book, Way: p.Way}
		p.mu.Lock()
		s.Out, s.In = p.out.copied(), p.in.copied()
		p.mu.Unlock()
		if s.Out != nil && s.Out.State != UpToDate {
			s.Out.Waiting = k.pending(p.Book, s.Out.since)
		}
		for _, l := range s.Legs() {
			if k.Now().Sub(l.SkewAt) > skewTold {
				l.Skew = ""
			}
			l.Line = l.Says(k.Now())
		}
		out = append(out, s)
	}
	slices.SortFunc(out, func(a, b State) int {
		if a.ID < b.ID {
			return -1
		}
		return 1
	})
	return out
}

func (l *Leg) copied() *Leg {
	if l == nil {
		return nil
	}
	c := *l
	c.Aside = slices.Clone(l.Aside)
	return &c
}

// pending counts what this office has changed since a sequence; -1 where that is not known.
func (k *Keeper) pending(book, since string) int64 {
	n, err := strconv.ParseUint(since, 10, 64)
	b, bookErr := k.Store.Book(book)
	if err != nil || bookErr != nil {
		return -1
	}
	var left uint64
	err = b.View(func(view *store.View) error {
		left, err = view.Pending(n)
		return err
	})
	if err != nil {
		return -1
	}
	return int64(left)
}

// memory is what an office that starts while a peer is away still knows of a leg.
type memory struct {
	Name    string    `json:"name"` // of its notes
	Since   string    `json:"since"`
	Success time.Time `json:"success"`
}

func (l *leg) memoryID() string {
	if l.out {
		return "datumbook-peer-" + l.id + "-out"
	}
	return "datumbook-peer-" + l.id + "-in"
}

// remember keeps how far a leg is, for an office that starts while the peer is away.
func (l *leg) remember() error {
	var equal time.Time
	l.told(func(t *Leg) { equal = t.Success })
	if l.live {
		equal = l.now()
	}
	text, err := json.Marshal(memory{l.name, l.since, equal.UTC()})
	if err != nil {
		return err
	}
	have, err := l.book.Local(l.memoryID())
	if err != nil && store.KindOf(err) != store.NotFound {
		return err
	}
	_, err = l.book.PutLocal(store.Local{ID: l.memoryID(), N: have.N, Body: text[1 : len(text)-1]})
	return err
}

// recall tells what is known of a leg before its peer was reached.
func (l *leg) recall() {
	have, err := l.book.Local(l.memoryID())
	var m memory
	if err != nil || json.Unmarshal([]byte("{"+string(have.Body)+"}"), &m) != nil {
		return // nothing is known, which is told as such
	}
	var list asides
	if list.open(l.book, m.Name) != nil {
		list.list = nil
	}
	l.told(func(t *Leg) { t.since, t.Success, t.Aside = m.Since, m.Success, list.list })
}

func (l *leg) carried() (n int64) {
	l.told(func(t *Leg) { n = t.Carried })
	return n
}
