package peer

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"slices"
	"sync"
	"time"

	"datumbook/store"
)

const (
	pageRows  = 500     // changes compared at once
	askDocs   = 200     // documents asked for at once
	sendDocs  = 500     // documents sent at once
	sendBytes = 4 << 20 // and their bytes

	// photosAtOnce are carried side by side: over a long line most of each one's time is waiting.
	photosAtOnce = 6

	noteEvery  = 5 * time.Second // while there is more to carry
	retryAside = time.Hour

	// refusedInRow is how many records alone may fail in a way that could be the end's own fault.
	refusedInRow = 20
)

// leg carries what changed at one end over to the other.
type leg struct {
	from, to *end
	book     *store.Book // of this office
	id       string      // of the peer
	out      bool        // from this office
	log      *slog.Logger
	now      func() time.Time
	rest     func(time.Duration) <-chan time.Time
	tell     *Leg // guarded by mu
	mu       *sync.Mutex

	// careful: the last attempt failed in a way that may be the fault of one record, so that halves
	// are tried.
	careful bool

	name           string
	ids            [2]string // of source and target
	source, target checkpoint
	aside          asides
	since          string
	last           json.RawMessage
	noted          time.Time
	unnoted        bool // it has moved since
	carriedSome    bool // something of it was lacking
	unasked        map[string]bool
	live           bool      // there is no more than what was carried
	tried          time.Time // when what is set aside was tried again
	inRow          int
}

// doc is a revision as it is sent.
type doc struct {
	id, rev string
	text    json.RawMessage
}

// told changes what is said of the leg.
func (l *leg) told(change func(*Leg)) {
	l.mu.Lock()
	defer l.mu.Unlock()
	change(l.tell)
}

// run works until ctx ends or an end fails.
func (l *leg) run(ctx context.Context) error {
	err := l.follow(ctx)
	l.careful = err != nil && doubtful(err)
	return err
}

func (l *leg) follow(ctx context.Context) error {
	if err := l.begin(ctx); err != nil {
		return err
	}
	for live := false; ; {
		if err := l.again(ctx); err != nil {
			return err
		}
		asked := time.Now()
		wait := time.Duration(0)
		if live {
			wait = pollTime
			if l.unnoted {
				wait = noteEvery
			}
		}
		got, err := l.from.changes(ctx, l.since, pageRows, wait)
		if err != nil {
			return at(l.from, "what changed there cannot be read", err)
		}
		l.waits(got)
		if err := l.carry(ctx, revsOf(got.Results)); err != nil {
			return err
		}
		moved := len(got.Last) > 0 && sequence(got.Last) != l.since
		if moved {
			l.reach(got.Last)
		}
		idle := live && len(got.Results) == 0
		live = len(got.Results) < pageRows
		l.live = live
		l.unnoted = l.unnoted || moved
		// What the target had already, as what was just sent there by the other leg, is noted in a while.
		due := idle || live && l.carriedSome || l.now().Sub(l.noted) >= noteEvery
		if l.unnoted && due || len(l.aside.list) != l.own().Aside {
			if err := l.note(ctx); err != nil {
				return err
			}
		}
		l.careful = false
		l.well(live)
		if idle {
			if err := l.check(ctx); err != nil {
				return err
			}
		}
		if (idle || !moved && live) && time.Since(asked) < leastPoll {
			if err := l.pause(ctx, leastPoll); err != nil {
				return err // some proxies end a wait at once
			}
		}
	}
}

// leastPoll is how long a wait for changes takes at least.
const leastPoll = time.Second

func (l *leg) pause(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-l.rest(d):
		return nil
	}
}

// well tells that a page has been carried over.
func (l *leg) well(live bool) {
	l.told(func(t *Leg) {
		t.State, t.Fault, t.FaultAt = Carrying, "", time.Time{}
		if live {
			t.State, t.Waiting, t.Success = UpToDate, 0, l.now()
		}
	})
}

// reach moves the leg to a place in the source's sequence.
func (l *leg) reach(seq json.RawMessage) {
	l.since, l.last = sequence(seq), seq
	l.told(func(t *Leg) { t.since = l.since })
}

func (l *leg) waits(got page) {
	n := int64(len(got.Results))
	if got.Pending != nil {
		n += *got.Pending
	}
	l.told(func(t *Leg) {
		t.Waiting = n
		if n > 0 && t.Fault == "" { // until it is over nobody knows whether it goes on failing
			t.State = Carrying
		}
	})
}

func revsOf(rows []change) map[string][]string {
	revs := make(map[string][]string, len(rows))
	for _, row := range rows {
		for _, c := range row.Changes {
			revs[row.ID] = append(revs[row.ID], c.Rev)
		}
	}
	return revs
}

// at says at which end something went wrong; the other one is named where this is shown.
func at(e *end, what string, err error) error {
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case e.near:
		return fmt.Errorf("this office: %s: %w", what, err)
	case isStatus(err, 0):
		return err // out of reach, it matters little what for
	}
	return fmt.Errorf("%s: %w", what, err)
}

var errItself = errors.New("that address is this office itself: name another one")

// begin finds the place where both ends' notes agree.
func (l *leg) begin(ctx context.Context) (err error) {
	if l.ids, err = l.identities(ctx); err != nil {
		return err
	}
	if l.ids[0] == l.ids[1] {
		return errItself
	}
	l.name = nameOf(l.ids[0], l.ids[1], l.out)
	if l.source, l.target, err = l.notes(ctx); err != nil {
		return err
	}
	if err := l.aside.open(l.book, l.name); err != nil {
		return err
	}
	since, skew := common(l.source, l.target)
	if own := l.own(); len(l.aside.list) < own.Aside {
		since, skew = nil, true // what was set aside was lost with the office's newest notes
	}
	if len(since) == 0 {
		since = json.RawMessage("0")
	}
	l.reach(since)
	l.told(func(t *Leg) {
		t.Aside = slices.Clone(l.aside.list)
		if t.Fault == "" {
			t.State = Carrying
		}
		if skew {
			t.Skew = l.skewed()
			t.SkewAt = l.now()
		}
	})
	if skew {
		l.log.Warn("the notes of both ends differ", "peer", l.far().name, "out", l.out, "since", l.since)
	}
	l.noted, l.unnoted, l.carriedSome = l.now(), false, false
	return nil
}

func (l *leg) identities(ctx context.Context) (ids [2]string, err error) {
	for i, e := range []*end{l.from, l.to} {
		if ids[i], err = e.identity(ctx); err != nil {
			return ids, at(e, "it cannot be asked", err)
		}
	}
	return ids, nil
}

func (l *leg) notes(ctx context.Context) (source, target checkpoint, err error) {
	if source, err = l.from.note(ctx, l.name); err != nil {
		return source, target, at(l.from, "its note of how far this is cannot be read", err)
	}
	if target, err = l.to.note(ctx, l.name); err != nil {
		return source, target, at(l.to, "its note of how far this is cannot be read", err)
	}
	return source, target, nil
}

// errMoved ends a leg that has to begin anew.
var errMoved = errors.New("an end is not what it was: it is compared again")

// check looks, while nothing happens, whether both ends still are what they were: one may have been put
// back from a backup, and would otherwise lack what came after it until something else is carried.
func (l *leg) check(ctx context.Context) error {
	ids, err := l.identities(ctx)
	if err != nil {
		return err
	}
	source, target, err := l.notes(ctx)
	if err != nil {
		return err
	}
	if ids != l.ids || source.Rev != l.source.Rev || target.Rev != l.target.Rev ||
		source.Session != l.source.Session || target.Session != l.target.Session {
		return errMoved
	}
	return nil
}

// skewed says from where the leg goes on where the notes differ.
func (l *leg) skewed() string {
	place := "from the last place that both noted"
	if l.since == "0" {
		place = "from the beginning"
	}
	return "the two ends had not noted the same place, as after a crash or a backup that was put back: " +
		"everything is compared again " + place
}

func (l *leg) own() *checkpoint {
	if l.out {
		return &l.source
	}
	return &l.target
}

func (l *leg) far() *end {
	if l.out {
		return l.to
	}
	return l.from
}

// note writes how far the leg is: what was set aside first, then both ends, the target's before the
// source's.
func (l *leg) note(ctx context.Context) error {
	m := mark{Session: store.NewID(), Recorded: l.last, At: l.now().UTC().Format(time.RFC3339)}
	l.own().Aside = len(l.aside.list)
	l.source.add(m)
	l.target.add(m)
	for _, end := range []struct {
		*end
		note *checkpoint
	}{{l.to, &l.target}, {l.from, &l.source}} {
		err := end.keep(ctx, l.name, end.note)
		if isStatus(err, http.StatusConflict) {
			return errMoved // it is not the note that was read
		}
		if err != nil {
			return at(end.end, "the note of how far this is cannot be written", err)
		}
	}
	l.noted, l.unnoted, l.carriedSome = l.now(), false, false
	if l.aside.shorter { // now that the note says how long it is
		if err := l.listed(); err != nil {
			return err
		}
	}
	return l.remember()
}

// again tries what was set aside, at the beginning and by the hour.
func (l *leg) again(ctx context.Context) error {
	if l.now().Sub(l.tried) < retryAside {
		return nil
	}
	l.tried = l.now()
	if len(l.aside.list) == 0 {
		return nil
	}
	var ids []string
	for _, one := range l.aside.list {
		if !slices.Contains(ids, one.ID) {
			ids = append(ids, one.ID)
		}
	}
	var rows []change
	for some := range slices.Chunk(ids, askDocs) {
		list, err := l.leaves(ctx, some)
		if err != nil {
			return err
		}
		rows = append(rows, list...)
	}
	revs := revsOf(rows)
	for _, id := range ids {
		if revs[id] == nil { // it is not there any more
			l.aside.drop(id)
		}
	}
	return l.carry(ctx, revs)
}

// leaves gives the revisions that documents have at the source now.
func (l *leg) leaves(ctx context.Context, ids []string) ([]change, error) {
	var p page
	err := l.from.ask(ctx, http.MethodPost, "/_changes?filter=_doc_ids&style=all_docs",
		map[string]any{"doc_ids": ids}, &p)
	if err == nil && !p.whole() {
		err = garbage()
	}
	if err != nil {
		return nil, at(l.from, "what was set aside cannot be asked for", err)
	}
	return p.Results, nil
}
