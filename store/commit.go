package store

import (
	"errors"
	"slices"
	"sync/atomic"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Limits of one commit: functions beyond them wait for the next commit, which bounds memory.
const (
	groupBytes = 8 << 20
	groupJobs  = 512
)

// job is a function waiting for a commit. It may run more than once, so it must set all its results
// each time.
type job struct {
	fn     func(*bolt.Tx) error
	weight int    // bytes it will write, roughly
	after  func() // called once it is on disk, before done; may be nil
	alone  func() error
	done   chan error
	clean  error
}

// unwritten wraps the error of a function that has written nothing, so the rest of its group need
// not run again.
type unwritten struct{ error }

func (u unwritten) Unwrap() error { return u.error }

// update runs fn in a write transaction shared with other waiting writers, and returns once it is
// on disk.
func (s *Store) update(fn func(*bolt.Tx) error) error { return s.commit(&job{fn: fn}) }

// alone runs fn between two commits, with no other writes.
func (s *Store) alone(fn func() error) error { return s.commit(&job{alone: fn}) }

func (s *Store) commit(j *job) error {
	if s.opt.ReadOnly {
		return newError(ReadOnly, "the store was opened for reading only")
	}
	j.done = make(chan error, 1)
	select {
	case <-s.closing:
		return newError(Closed, "the store is closed")
	default:
	}
	select {
	case s.jobs <- j:
		return <-j.done
	case <-s.closing:
		return newError(Closed, "the store is closed")
	}
}

// run is the committer: it takes all waiting jobs, commits them, answers, and starts again.
func (s *Store) run() {
	defer close(s.stopped)
	var group []*job
	var late <-chan time.Time // when checkpoints have waited long enough
	for {
		group = group[:0]
		weight := 0
		select {
		case j := <-s.jobs:
			group = append(group, j)
			weight = j.weight
		case <-s.locals.due:
			if late == nil {
				late = time.After(localsWait)
			}
			continue
		case <-late:
			if late = nil; s.writeLocals() {
				late = time.After(localsWait)
			}
			continue
		case <-s.closing:
			s.writeLocals()
			return
		}
	fill:
		for group[len(group)-1].alone == nil && weight < groupBytes && len(group) < groupJobs {
			select {
			case j := <-s.jobs:
				group = append(group, j)
				weight += j.weight
			default:
				break fill
			}
		}
		last := group[len(group)-1]
		if last.alone != nil {
			group = group[:len(group)-1]
		}
		s.commitGroup(group)
		if last.alone != nil {
			began := time.Now()
			err := s.safely(last.alone)
			s.stats.hold.Store(max(s.stats.hold.Load(), int64(time.Since(began))))
			last.done <- err
		}
	}
}

// commitGroup commits all functions of a group together. One that fails is taken out and run again
// by itself.
func (s *Store) commitGroup(group []*job) {
	var solo []*job
	for len(group) > 0 {
		failed := -1
		var locals map[localKey]*waiting
		err := s.write(func(tx *bolt.Tx) error {
			for i, j := range group {
				j.clean = nil
				err := j.fn(tx)
				var u unwritten
				if errors.As(err, &u) {
					j.clean, err = u.error, nil
				}
				if err != nil {
					failed = i
					return err
				}
			}
			var err error
			if locals, err = s.locals.write(tx); err != nil {
				return err
			}
			return s.writeSeen(tx, false)
		})
		if err == nil {
			s.locals.written(locals)
		}
		if failed >= 0 && len(group) > 1 {
			solo = append(solo, group[failed])
			group = slices.Delete(slices.Clone(group), failed, failed+1)
			continue
		}
		// A full disk may refuse the whole group and still have space for single functions.
		if err != nil && len(group) > 1 {
			solo = append(solo, group...)
			break
		}
		for _, j := range group {
			answer := err
			if answer == nil {
				answer = j.clean
				if j.after != nil {
					j.after()
				}
			}
			j.done <- answer
		}
		break
	}
	for _, j := range solo {
		s.commitGroup([]*job{j})
	}
}

// write runs fn in one bbolt transaction and counts it. fn runs again where the disk was full and
// room could be made.
func (s *Store) write(fn func(*bolt.Tx) error) error {
	s.mu.RLock()
	defer s.mu.RUnlock()
	if s.db == nil {
		return newError(Closed, "the store is closed")
	}
	own := false // the error is fn's own, not the disk's
	try := func() error {
		return s.safely(func() error {
			return s.db.Update(func(tx *bolt.Tx) error {
				s.db.AllocSize = allocSize(tx.Size())
				err := fn(tx)
				own = err != nil
				return err
			})
		})
	}
	err := try()
	for KindOf(err) == Full && s.opt.Room != nil && s.opt.Room() {
		err = try()
	}
	var e *Error
	switch {
	case err == nil:
		s.trouble.Store(nil)
	case (!own || KindOf(err) == Full) && errors.As(err, &e):
		s.trouble.Store(e)
	}
	if err == nil {
		s.stats.commits.Add(1)
		if d := s.opt.TestOnlyFlushDelay; d > 0 {
			time.Sleep(2 * d)
		}
	}
	return err
}

// allocSize gives the step by which a file of a size grows. Each step costs a flush of its own, within
// a commit, so a large file takes larger ones; what is not written to takes no room on the disk.
func allocSize(size int64) int { return int(min(max(size/8, allocLeast), allocMost)) }

const (
	allocLeast = 4 << 20
	allocMost  = 64 << 20
)

type counters struct {
	commits, calls, docs, merged atomic.Uint64
	hold                         atomic.Int64
}

// Stats counts what happened since the store was opened.
type Stats struct {
	Commits uint64 // bbolt commits, of two flushes each
	Calls   uint64 // pushes and edits acknowledged
	Docs    uint64 // documents in them
	Written uint64 // documents among them that were new

	LongestHold time.Duration // that a compaction kept writers waiting at once
}

// Stats gives the counts since opening.
func (s *Store) Stats() Stats {
	return Stats{s.stats.commits.Load(), s.stats.calls.Load(), s.stats.docs.Load(), s.stats.merged.Load(),
		time.Duration(s.stats.hold.Load())}
}
