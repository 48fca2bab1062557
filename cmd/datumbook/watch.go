package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"time"

	"datumbook/store"
)

// snapshotDir is where the daily snapshots are kept, inside the data folder.
const snapshotDir = "snapshots"

const (
	snapshotEvery = 24 * time.Hour
	// spareRoom stays free on the disk for the records: snapshots make way for them, never the
	// other way round.
	spareRoom = 512 << 20
	// watchEvery is how often the office looks after itself.
	watchEvery = time.Minute
)

// watch looks after the store while the office serves: daily snapshots, room on the disk, the
// clock. What is wrong it says to whoever asks the office.
type watch struct {
	st   *store.Store
	data string
	keep int // snapshots; 0 makes none
	log  *slog.Logger
	now  func() time.Time
	free func(dir string) (uint64, error)

	mu       sync.Mutex
	snapshot error // why the last snapshot failed; nil once one succeeded
	clock    error // what is wrong with the clock
	tried    time.Time
}

func (w *watch) plan() store.SnapshotPlan {
	return store.SnapshotPlan{Dir: filepath.Join(w.data, snapshotDir), Every: snapshotEvery, Keep: w.keep,
		Reserve: spareRoom, Free: w.free}
}

// run works until ctx ends; the function it gives ends it and waits for a snapshot in the making.
func (w *watch) run(ctx context.Context) (wait func()) {
	ctx, stop := context.WithCancel(ctx)
	var going sync.WaitGroup
	going.Go(func() {
		tick := time.NewTicker(watchEvery)
		defer tick.Stop()
		for {
			w.look(ctx)
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
			}
		}
	})
	return func() { stop(); going.Wait() }
}

// look does once what is due.
func (w *watch) look(ctx context.Context) {
	now := w.now()
	if err := w.st.Probe(); err != nil {
		w.log.Error("the records cannot be written", "err", err)
	}
	clock := checkTime(w.data, now)
	w.mu.Lock()
	fresh := clock != nil && w.clock == nil
	w.clock = clock
	last, tried := w.snapshot, w.tried
	w.mu.Unlock()
	again := time.Hour
	if last != nil {
		again = 10 * time.Minute
	}
	// Without the lock: this may look through all records, and phones ask for the trouble meanwhile.
	if store.KindOf(last) == store.Damaged && w.hurt(ctx) {
		again = snapshotEvery // it would be the same copy again
	}
	due := w.keep > 0 && now.Sub(tried).Abs() >= again
	if fresh {
		w.log.Warn("the clock is not right", "err", clock)
	}
	if !due {
		return
	}
	path, err := w.st.Snapshot(ctx, w.plan(), now)
	if ctx.Err() != nil {
		return
	}
	if err != nil {
		w.log.Error("the daily snapshot could not be made", "err", err)
	} else if path != "" {
		w.log.Info("snapshot made", "file", path)
	}
	w.mu.Lock()
	w.snapshot, w.tried = err, now
	w.mu.Unlock()
}

// hurt reports whether the store has damaged contents that no phone has mended yet.
func (w *watch) hurt(ctx context.Context) bool {
	list, err := w.st.Wanted(ctx)
	return err == nil && len(list) > 0
}

// trouble gives why the office cannot write or cannot snapshot, as a sentence for phones; nil while
// it can.
func (w *watch) trouble() error {
	if err := w.st.Trouble(); err != nil {
		return fmt.Errorf("the office machine cannot write: %s", store.Sentence(err))
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.snapshot != nil {
		return fmt.Errorf("the office machine makes no snapshots: %s", store.Sentence(w.snapshot))
	}
	return nil
}

// makeRoom removes the oldest snapshot when the disk is full, so that records can be kept.
func (w *watch) makeRoom() bool {
	gone, err := store.DropOldest(filepath.Join(w.data, snapshotDir), w.now())
	switch {
	case err != nil:
		w.log.Error("the disk is full and no snapshot could be removed", "err", err)
	case gone:
		w.log.Warn("the disk is full: the oldest snapshot made way for records")
	}
	return gone
}

// clockFile keeps the latest time at which the office ran, and since when the clock has been behind
// it.
const clockFile = "clock.json"

type lastTime struct {
	Latest time.Time `json:"latest"`
	Behind time.Time `json:"behind,omitzero"`
}

const (
	clockSlack = 5 * time.Minute
	// clockTrust is for how long a clock that was set back is told about; then it is believed, and
	// the time before it was the wrong one.
	clockTrust = 24 * time.Hour
)

// checkTime compares the clock with the latest time at which the office ran: time does not run
// backwards. Records do not depend on clocks; dates on them, snapshots and certificates do.
func checkTime(data string, now time.Time) error {
	name := filepath.Join(data, clockFile)
	var last lastTime
	if text, err := os.ReadFile(name); err == nil {
		_ = json.Unmarshal(text, &last) // what is not ours is written anew
	}
	was := last
	switch {
	case now.Before(programTime):
		return fmt.Errorf("it says %s, before this program was made: set the date", sayTime(now))
	case last.Latest.Sub(now) <= clockSlack:
		last = lastTime{Latest: later(last.Latest, now)}
	case last.Behind.IsZero() || now.Before(last.Behind):
		last.Behind = now
	case now.Sub(last.Behind) >= clockTrust:
		last = lastTime{Latest: now}
	}
	if last.Latest.Sub(was.Latest).Abs() >= watchEvery || !last.Behind.Equal(was.Behind) {
		text, err := json.Marshal(last)
		if err == nil {
			err = os.WriteFile(name, append(text, '\n'), 0o600)
		}
		if err != nil {
			return nil //nolint:nilerr // a full disk says nothing about the clock
		}
	}
	if last.Behind.IsZero() {
		return nil
	}
	return fmt.Errorf("it was set back to %s, and the office ran at %s before; check the date",
		sayTime(now), sayTime(last.Latest))
}

// programTime is before any use of this program: a clock that says less was never set.
var programTime = time.Date(2026, time.January, 1, 0, 0, 0, 0, time.UTC)

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func sayTime(t time.Time) string { return t.Format("2 Jan 2006 15:04") }

// notice is what phones are told: trouble, else a clock that is wrong, which stops nothing.
func (w *watch) notice() error {
	if err := w.trouble(); err != nil {
		return err
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.clock != nil {
		return fmt.Errorf("the office machine's clock: %w", w.clock)
	}
	return nil
}

// ready reports why the office cannot do its work.
func (w *watch) ready() error {
	_, err := w.st.UUID()
	return errors.Join(err, w.trouble())
}
