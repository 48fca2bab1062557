package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// emulate sets what the phone's user asks of every page, as less motion or colours of their own.
func emulate(b *browsertest.Browser, features ...*emulation.MediaFeature) {
	b.Do("set the user's wishes", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
		return err
	}))
}

// TestForcedColours: where the user has colours of their own, boxes, keys and chosen options are
// told apart by edges and by those colours, and the drawing is drawn in them.
func TestForcedColours(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Phone, "{}", "hole")
	for key, draft := range example(t, "hole") {
		browsertest.Eval[bool](u.Browser, `(localStorage.setItem(`+quote(key)+`, `+quote(draft)+`), true)`)
	}
	for _, shade := range []string{"dark", "light"} {
		emulate(u.Browser, &emulation.MediaFeature{Name: "forced-colors", Value: "active"},
			&emulation.MediaFeature{Name: "prefers-reduced-motion", Value: "reduce"},
			&emulation.MediaFeature{Name: "prefers-color-scheme", Value: shade})
		u.Reload()
		u.WaitText(".656 deep")
		u.Wait("the drawing is there", `!!document.querySelector(".drawing .d-line")`)
		u.Tap("#hole-stock")
		u.Wait("the keypad is open", `!!document.querySelector(".keypad")`)
		u.Equip("")
		faults := browsertest.Eval[[]string](u.Browser, `datumbookAccess.forced()`)
		there := browsertest.Eval[bool](u.Browser, `[
			".choices [aria-pressed=true]", ".key.go", ".page-foot .go", "#hole-stock:focus", ".drawing .d-line",
		].every((s) => document.querySelector(s))`)
		assert.True(t, there, "all that it looks at")
		assert.Empty(t, faults, shade)
		if *screens != "" {
			require.NoError(t, os.WriteFile(filepath.Join(*screens, "forced."+shade+".png"), u.Picture(), 0o644))
		}
	}
}

// TestWhatMoves: coming to a box moves the page within what an eye follows, and at once where less
// motion is asked for; the last Next leads back to answer and drawing.
func TestWhatMoves(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Screen{Width: 320, Height: 568, Scale: 1, Touch: true}, "{}", "hole")
	for key, draft := range example(t, "hole") {
		browsertest.Eval[bool](u.Browser, `(localStorage.setItem(`+quote(key)+`, `+quote(draft)+`), true)`)
	}
	for _, wish := range []string{"no-preference", "reduce"} {
		emulate(u.Browser, &emulation.MediaFeature{Name: "prefers-reduced-motion", Value: wish})
		u.Reload()
		u.WaitText(".656 deep")
		// How often the page moves on its way; frames come every sixtieth of a second, however busy the machine is.
		browsertest.Eval[bool](u.Browser, `(() => {
			const [frame, begun] = [requestAnimationFrame, performance.now()];
			let n = 0;
			window.requestAnimationFrame = (f) => frame(() => f(Math.min(performance.now(), begun + 16 * ++n)));
			window.moves = new Set();
			addEventListener("scroll", () => moves.add(scrollY));
			return true; })()`)
		browsertest.Eval[bool](u.Browser, `(document.querySelector("#hole-stock").focus({ preventScroll: true }), true)`)
		u.Wait("the box stands over the keypad", `(() => { const pad = document.querySelector(".keypad"); if (!pad) return false;
			const r = document.querySelector("#hole-stock").getBoundingClientRect();
			return r.top > document.querySelector(".first").getBoundingClientRect().bottom && r.bottom < pad.getBoundingClientRect().top; })()`)
		u.Wait("it was told", `moves.has(scrollY)`)
		steps := browsertest.Eval[int](u.Browser, `moves.size`)
		if wish == "reduce" {
			assert.Equal(t, 1, steps, "at once")
		} else {
			assert.Greater(t, steps, 2, "in steps")
		}
		u.keys("next")
		u.Wait("answer and drawing are seen", `!document.querySelector(".keypad") && scrollY === 0`)
	}
}
