package replication

import (
	"context"
	"strconv"
	"time"

	"datumbook/store"
)

// patience is how long a feed waits for changes and how often it sends a heartbeat.
type patience struct {
	beat, idle time.Duration // 0: never
}

func (h *Handler) patience(q query, continuous bool) (patience, error) {
	p := patience{idle: h.IdlePoll}
	if p.idle == 0 {
		p.idle = defaultIdle
	}
	if v := q.Get("heartbeat"); v == "true" {
		p.beat = time.Minute
	} else if v != "" && v != "false" {
		ms, err := q.number("heartbeat", 0)
		if err != nil || ms < 1 {
			return p, badRequest("The heartbeat value should be a positive integer (in milliseconds).")
		}
		p.beat = max(time.Duration(ms)*time.Millisecond, 100*time.Millisecond)
	}
	ms, err := q.number("timeout", 0)
	if err != nil {
		return p, err
	}
	if t := time.Duration(ms) * time.Millisecond; t > 0 && (t < p.idle || continuous) {
		p.idle = t
	}
	if continuous && p.beat > 0 {
		p.idle = 0 // as long as the client listens
	}
	return p, nil
}

// longpoll answers as soon as there is a row.
func (f *feed) longpoll(ctx context.Context, wait patience) error {
	f.s.text("{\"results\":[\n")
	end, stop := after(wait.idle)
	defer stop()
	for {
		changed := f.b.Changed()
		for {
			more, err := f.page()
			if gone(err) && f.s.sent {
				return f.finish()
			}
			if err != nil {
				return err
			}
			if f.rows > 0 {
				if more {
					return f.rest()
				}
				return f.finish()
			}
			if !more {
				break
			}
		}
		again, err := f.wait(ctx, changed, end, wait.beat)
		if err != nil {
			return err
		}
		if !again {
			return f.finish()
		}
	}
}

// gone reports whether the book was removed, or the store closed, while a client waited: its answer
// then ends as one without changes.
func gone(err error) bool {
	return store.KindOf(err) == store.NotFound || store.KindOf(err) == store.Closed
}

// finish ends the answer without reading more rows.
func (f *feed) finish() error {
	f.endRow()
	f.s.text("\n],\n")
	return f.end()
}

// end writes the sequence the answer has reached.
func (f *feed) end() error {
	f.endRow()
	pending, err := f.pending()
	if err != nil {
		return err
	}
	if f.continuous {
		f.s.text("{")
	}
	f.s.text(`"last_seq":`)
	f.s.buf = strconv.AppendUint(f.s.buf, f.last, 10)
	f.s.text(`,"pending":`)
	f.s.buf = strconv.AppendUint(f.s.buf, pending, 10)
	f.s.text("}\n")
	return f.s.end()
}

// stream writes a line for each change, until the client leaves.
func (f *feed) stream(ctx context.Context, wait patience) error {
	for {
		changed := f.b.Changed()
		before := f.rows
		for {
			more, err := f.page()
			if gone(err) && f.s.sent {
				return f.close()
			}
			if err != nil {
				return err
			}
			if f.left == 0 {
				return f.close()
			}
			if !more {
				break
			}
		}
		f.endRow()
		if err := f.s.flush(); err != nil {
			return err
		}
		end, stop := after(wait.idle)
		again, err := f.wait(ctx, changed, end, wait.beat)
		stop()
		if err != nil {
			return err
		}
		if !again && f.rows == before {
			return f.close()
		}
	}
}

func (f *feed) close() error {
	if f.events {
		return f.s.end() // the browser reconnects and sends the id of its last row
	}
	return f.end()
}

// wait waits for changes, writing a newline each beat; false: timed out.
func (f *feed) wait(ctx context.Context, changed <-chan struct{}, end <-chan time.Time, beat time.Duration) (bool, error) {
	// The headers are sent now, so that the client knows it is connected.
	if err := f.s.flush(); err != nil {
		return false, err
	}
	f.share.Release()
	*f.rd.held = 0
	f.share.Rest() // another has its turn meanwhile
	defer f.share.Again()
	var tick <-chan time.Time
	if beat > 0 {
		t := time.NewTicker(beat)
		defer t.Stop()
		tick = t.C
	}
	for {
		select {
		case <-changed:
			return true, nil
		case <-end:
			return false, nil
		case <-ctx.Done():
			// The client has left, or the server closes: end the answer properly if it can still be
			// sent.
			return false, nil
		case <-tick:
			if f.events {
				f.s.text("event: heartbeat\ndata: \n")
			}
			f.s.text("\n")
			if err := f.s.flush(); err != nil {
				return false, err
			}
		}
	}
}

func after(d time.Duration) (<-chan time.Time, func()) {
	if d <= 0 {
		return nil, func() {}
	}
	t := time.NewTimer(d)
	return t.C, func() { t.Stop() }
}
