package web

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// enter takes a share and gives it back when the test ends.
func enter(t *testing.T, f *Sharing, device string, stream bool) *Share {
	t.Helper()
	s, err := f.Enter(t.Context(), device, stream)
	require.NoError(t, err)
	return s
}

// waiting waits until so many wait for a turn.
func waiting(t *testing.T, f *Sharing, n int) {
	t.Helper()
	require.Eventually(t, func() bool {
		f.mu.Lock()
		defer f.mu.Unlock()
		return len(f.queue) == n
	}, 10*time.Second, time.Millisecond)
}

// A device has so many requests answered at once; more wait, and still more are refused.
func TestRequestsOfOneDevice(t *testing.T) {
	f := &Sharing{Requests: 2, Waiting: 1}
	one, two := enter(t, f, "a", false), enter(t, f, "a", false)
	enter(t, f, "b", false).Leave()
	enter(t, f, "a", true).Leave() // a stream counts elsewhere
	third := make(chan *Share)
	go func() {
		s, err := f.Enter(t.Context(), "a", false)
		assert.NoError(t, err)
		third <- s
	}()
	require.Eventually(t, func() bool {
		f.mu.Lock()
		defer f.mu.Unlock()
		return len(f.devices["a"].waiting) == 1
	}, 10*time.Second, time.Millisecond)
	_, err := f.Enter(t.Context(), "a", false)
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, http.StatusTooManyRequests, e.Status)
	assert.Positive(t, e.Wait)
	one.Leave()
	s := <-third
	gone, leave := context.WithCancel(t.Context())
	leave()
	_, err = f.Enter(gone, "a", false)
	assert.ErrorIs(t, err, context.Canceled)
	two.Leave()
	s.Leave()
	assert.Zero(t, f.devices["a"].requests)
	assert.Zero(t, f.devices["a"].shares)
}

// Who used the processors least has the next turn, however many wait, and however long.
func TestTurnsGoToThoseWhoUsedLeast(t *testing.T) {
	f := &Sharing{Turns: 1}
	busy := enter(t, f, "hostile", false)
	f.mu.Lock()
	busy.d.used, busy.d.at = time.Hour, time.Now()
	f.mu.Unlock()
	order := make(chan string, 10)
	for range 5 {
		go func() {
			s, err := f.Enter(t.Context(), "hostile", false)
			assert.NoError(t, err)
			order <- "hostile"
			s.Leave()
		}()
	}
	waiting(t, f, 5)
	go func() {
		s, err := f.Enter(t.Context(), "honest", false)
		assert.NoError(t, err)
		order <- "honest"
		s.Leave()
	}()
	waiting(t, f, 6)
	busy.Leave()
	assert.Equal(t, "honest", <-order)
	for range 5 {
		assert.Equal(t, "hostile", <-order)
	}
	require.Eventually(t, func() bool {
		f.mu.Lock()
		defer f.mu.Unlock()
		return f.turns == 0
	}, 10*time.Second, time.Millisecond)
}

// Nobody keeps a turn who waits for the other end.
func TestReadingAndWritingCostNoTurn(t *testing.T) {
	f := &Sharing{Turns: 1}
	slow := enter(t, f, "a", false)
	in, out := io.Pipe()
	r := httptest.NewRequest("POST", "/", in)
	slow.Body(r)
	read := make(chan error, 1)
	go func() {
		_, err := io.ReadAll(r.Body)
		read <- err
	}()
	enter(t, f, "b", false).Leave() // while the first reads
	require.NoError(t, out.Close())
	require.NoError(t, <-read)
	rec := httptest.NewRecorder()
	w := slow.Writer(rec)
	_, err := w.Write([]byte("x"))
	require.NoError(t, err)
	require.NoError(t, http.NewResponseController(w).Flush())
	assert.True(t, rec.Flushed)
	assert.True(t, slow.turn, "it goes on with a turn")
	slow.Leave()
	var none *Share
	none.Rest()
	none.Again()
	require.NoError(t, none.Hold(1<<40))
	none.Leave()
}

// Memory beyond what is free is shared out: all together have a limit, and one device with several
// requests has a smaller one. Who waits in vain is told to come again.
func TestMemoryIsSharedOut(t *testing.T) {
	const mib = 1 << 20
	f := &Sharing{Free: mib, Memory: 16 * mib, Device: 4 * mib, Patience: time.Millisecond}
	a, a2, b := enter(t, f, "a", false), enter(t, f, "a", false), enter(t, f, "b", false)
	require.NoError(t, a.Hold(mib), "free")
	assert.Zero(t, f.Held())
	require.NoError(t, a.Hold(4*mib))
	assert.EqualValues(t, 3*mib, f.Held())
	require.NoError(t, a.Hold(2*mib), "it has that already")
	assert.EqualValues(t, 3*mib, f.Held())
	var e *Error
	require.ErrorAs(t, a2.Hold(4*mib), &e)
	assert.Equal(t, http.StatusServiceUnavailable, e.Status)
	assert.Positive(t, e.Wait)
	require.NoError(t, b.Hold(8*mib), "alone it may have more than a device's share")
	require.ErrorAs(t, a.Hold(11*mib), &e)
	assert.EqualValues(t, 10*mib, f.Held())

	f.Patience = time.Minute
	got := make(chan error, 1)
	go func() { got <- a2.Hold(5 * mib) }()
	require.Eventually(t, func() bool {
		f.mu.Lock()
		defer f.mu.Unlock()
		return len(f.wanting) == 1
	}, 10*time.Second, time.Millisecond)
	b.Leave()
	a.Leave() // then it is the device's only one
	require.NoError(t, <-got)
	gone, leave := context.WithCancelCause(t.Context())
	c, err := f.Enter(gone, "c", false)
	require.NoError(t, err)
	go func() { got <- c.Hold(10 * mib) }()
	why := errors.New("left")
	leave(why)
	require.ErrorIs(t, <-got, why)
	c.Leave()
	a2.Leave()
	assert.Zero(t, f.Held())
}

// A packed body may unpack to a megabyte, and beyond that to fifty times its length.
func TestUnpacks(t *testing.T) {
	assert.False(t, Unpacks(1<<20, 1))
	assert.True(t, Unpacks(1<<20+1, 1))
	assert.False(t, Unpacks(50<<20, 1<<20))
	assert.True(t, Unpacks(50<<20+1, 1<<20))
}

// A connection that was cut off reads and writes nothing more, whatever deadline is set after it.
func TestCutOff(t *testing.T) {
	rec := &Recorder{ResponseWriter: httptest.NewRecorder(), patience: time.Hour}
	f := &Sharing{}
	s := enter(t, f, "a", false)
	defer s.Leave()
	w := s.Writer(rec)
	_, err := w.Write([]byte("x"))
	require.NoError(t, err)
	CutOff(w)
	_, err = w.Write([]byte("y"))
	assert.ErrorIs(t, err, errCut)
	b := &body{ReadCloser: io.NopCloser(bytes.NewReader([]byte("z"))), rc: http.NewResponseController(rec),
		out: rec, patience: time.Hour}
	_, err = b.Read(make([]byte, 1))
	assert.ErrorIs(t, err, errCut)
	CutOff(httptest.NewRecorder())
}

// Who holds memory that others wait for and makes no headway is cut off; a slow one that does is not.
func TestNoHeadwayNoMemory(t *testing.T) {
	const mib = 1 << 20
	f := &Sharing{Memory: 8 * mib, Device: 8 * mib, Patience: time.Minute}
	cut := map[string]bool{}
	shares := map[string]*Share{}
	for _, name := range []string{"slow", "stalled", "new"} {
		s := enter(t, f, name, false)
		s.Evict = func() { cut[name] = true }
		require.NoError(t, s.Hold(2*mib))
		s.Rest()
		shares[name] = s
	}
	now := shares["new"].holds
	shares["slow"].holds, shares["stalled"].holds = now.Add(-10*time.Second), now.Add(-10*time.Second)
	shares["slow"].move(200 << 10)
	shares["stalled"].move(10)
	f.evict(now.Add(time.Second))
	assert.Empty(t, cut, "nobody waits")
	wants := enter(t, f, "wants", false)
	got := make(chan error, 1)
	go func() { got <- wants.Hold(mib) }()
	require.Eventually(t, func() bool {
		f.mu.Lock()
		defer f.mu.Unlock()
		return len(f.wanting) == 1
	}, 10*time.Second, time.Millisecond)
	f.evict(now.Add(time.Second))
	f.evict(now.Add(time.Second))
	assert.Equal(t, map[string]bool{"stalled": true}, cut)
	shares["new"].Release()
	require.NoError(t, <-got)
	wants.Leave()
	assert.EqualValues(t, 4*mib, f.Held())
	for _, s := range shares {
		s.Leave()
	}
	assert.Zero(t, f.Held())
	assert.Empty(t, f.holding)
}

// A feed rests while it waits for news. Its heartbeats, and what it flushes or reads then, do not
// take a turn again: a few idle feeds would have all of them.
func TestHeartbeatTakesNoTurn(t *testing.T) {
	f := &Sharing{Turns: 1}
	feed := enter(t, f, "a", true)
	defer feed.Leave()
	w := feed.Writer(httptest.NewRecorder())
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "/", bytes.NewReader([]byte("x")))
	feed.Body(r)
	feed.Rest()
	_, err := w.Write([]byte("\n"))
	require.NoError(t, err)
	require.NoError(t, http.NewResponseController(w).Flush())
	_, err = io.ReadAll(r.Body)
	require.NoError(t, err)
	f.mu.Lock()
	turns := f.turns
	f.mu.Unlock()
	assert.Zero(t, turns, "nobody is at work")
}
