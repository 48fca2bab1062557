package browsertest

import (
	"context"
	"strconv"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// Fingers touches what selectors find, one after another, as a hand does that looks only where it
// aims: one every gap, each finger down as long as down says. Where that is longer than the gap two
// fingers are down at once, as two thumbs are. It gives when each touch came to the browser.
func (b *Browser) Fingers(gap, down time.Duration, selectors ...string) []time.Duration {
	b.t.Helper()
	var on []*input.TouchPoint
	send := func(what input.DispatchTouchEventType) {
		b.t.Helper()
		b.Do("touch", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			points := append([]*input.TouchPoint{}, on...)
			_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: what, TouchPoints: points})
			return err
		}))
	}
	lift := func() {
		on = on[1:]
		if len(on) == 0 {
			send(input.DispatchTouchEventTypeTouchEnd)
		} else {
			send(input.DispatchTouchEventTypeTouchMove) // the one that is missing has left
		}
	}
	var at, ends []time.Duration
	begun := time.Now()
	until := func(when time.Duration) { time.Sleep(when - time.Since(begun)) } // a hand's speed
	for i, selector := range selectors {
		start := time.Duration(i) * gap
		for len(ends) > 0 && ends[0] <= start {
			until(ends[0])
			lift()
			ends = ends[1:]
		}
		until(start)
		spot := Eval[*struct{ X, Y float64 }](b, `((e) => { const r = e?.getBoundingClientRect();
			return r ? { x: r.x + r.width / 2, y: r.y + r.height / 2 } : null; })(document.querySelector(`+strconv.Quote(selector)+`))`)
		require.NotNil(b.t, spot, "there is no %s to touch", selector)
		id := float64(i)
		on = append(on, &input.TouchPoint{X: spot.X, Y: spot.Y, ID: &id})
		send(input.DispatchTouchEventTypeTouchStart)
		at = append(at, time.Since(begun))
		ends = append(ends, max(start, at[i])+down)
	}
	for _, end := range ends {
		until(end)
		lift()
	}
	return at
}

// Mouse presses or releases the mouse's left button at a point.
func (b *Browser) Mouse(what input.DispatchMouseEventType, x, y float64) {
	b.t.Helper()
	b.Do("mouse", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchMouseEvent,
			input.DispatchMouseEventParams{Type: what, X: x, Y: y, Button: input.MouseButtonLeft, ClickCount: 1})
		return err
	}))
}
