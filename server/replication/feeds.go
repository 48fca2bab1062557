package replication

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"sync"
	"time"

	"datumbook/server/pairing"
	"datumbook/server/web"
)

// feeds are the answers that stay open, oldest first. A device, and all devices together, have only
// so many: the oldest gives way to the newest, which is the one that somebody reads.
type feeds struct {
	mu    sync.Mutex
	open  []*openFeed
	grace time.Duration // 0 means gracePeriod
}

type openFeed struct {
	device string
	cancel context.CancelCauseFunc
	w      http.ResponseWriter
	ended  chan struct{}
	leaves bool // it was told to give way
}

// errGaveWay is the cause that the context of a feed has which gave way to a newer one.
var errGaveWay = errors.New("a newer feed of this device took its place")

// gracePeriod is how long a feed that gives way may take to end its answer properly.
const gracePeriod = time.Second

// begin makes room for one more feed and counts it. end must be called when it has ended.
func (f *feeds) begin(w http.ResponseWriter, r *http.Request) (ctx context.Context, end func()) {
	ctx, cancel := context.WithCancelCause(r.Context())
	share := web.ShareOf(ctx)
	mine := &openFeed{pairing.From(ctx).Device, cancel, w, make(chan struct{}), false}
	f.mu.Lock()
	for {
		old := f.tooMany(mine.device)
		if old == nil {
			break
		}
		old.leaves = true
		f.mu.Unlock()
		share.Rest() // the old one needs a turn to end, and others have theirs meanwhile
		old.giveWay(f.grace)
		share.Again()
		f.mu.Lock()
	}
	f.open = append(f.open, mine)
	f.mu.Unlock()
	return ctx, func() {
		cancel(context.Canceled)
		f.mu.Lock()
		defer f.mu.Unlock()
		if at := slices.Index(f.open, mine); at >= 0 {
			f.open = slices.Delete(f.open, at, at+1)
		}
		close(mine.ended)
	}
}

// tooMany gives the feed that has to go before a device may have one more, or nil. The office
// machine itself is bound by the number of all feeds alone. The lock is held.
func (f *feeds) tooMany(device string) *openFeed {
	counts := map[string]int{}
	all := 0
	for _, o := range f.open {
		if !o.leaves {
			counts[o.device]++
			all++
		}
	}
	whose := device
	if device == "" || counts[device] < deviceFeeds {
		if all < allFeeds {
			return nil
		}
		for d, n := range counts { // one of those who have most
			if n > counts[whose] {
				whose = d
			}
		}
	}
	for _, o := range f.open {
		if o.device == whose && !o.leaves {
			return o
		}
	}
	return nil
}

// giveWay ends a feed, and waits for it: properly, or where its client does not even read that, by
// force.
func (o *openFeed) giveWay(grace time.Duration) {
	if grace == 0 {
		grace = gracePeriod
	}
	o.cancel(errGaveWay)
	t := time.NewTimer(grace)
	defer t.Stop()
	select {
	case <-o.ended:
		return
	case <-t.C:
		web.CutOff(o.w)
	}
	t.Reset(grace)
	select {
	case <-o.ended:
	case <-t.C:
	}
}
