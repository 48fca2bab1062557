package browsertest

import (
	"strconv"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// aim waits until what a selector finds lies still, in sight and uncovered, and
// gives the middle of the part that can be hit. From then on a press beside it
// goes nowhere: words that come meanwhile may push the screen from under the
// finger, and a person would look before pressing what has come there. What
// became of the press stands in window.aimed.
const aim = `(selector, rest) => {
	window.aimed?.end();
	const spot = (e) => {
		const lines = [...e.getClientRects()].filter((r) => r.width > 0 && r.height > 0);
		const r = lines[0];
		if (!r) return null;
		const x = (Math.max(r.left, 0) + Math.min(r.right, innerWidth)) / 2;
		const y = (Math.max(r.top, 0) + Math.min(r.bottom, innerHeight)) / 2;
		// At an edge it is hit or not by a part of a pixel.
		const whole = [-3, 0, 3].every((off) => {
			const top = document.elementFromPoint(x, y + off);
			return top && (e.contains(top) || top.closest("label")?.control === e);
		});
		return whole ? { x, y } : null;
	};
	const frame = () => new Promise((go) => {
		const late = setTimeout(go, 100); // a page at rest may draw no frames
		requestAnimationFrame(() => { clearTimeout(late); go(); });
	});
	const guard = (e) => {
		const kinds = ["pointerdown", "mousedown", "touchstart", "pointerup", "mouseup", "touchend", "click"];
		// A field opens the keypad as it is pressed, which may lie over it when the finger leaves.
		const ends = e.matches("input:not([type=radio], [type=checkbox]), textarea") ? "mousedown" : "click";
		const look = (event) => {
			if (!event.isTrusted) return;
			const hit = event.composedPath().some((at) => at === e || at === e.control || at.control === e);
			if (!hit) {
				event.stopImmediatePropagation();
				if (event.cancelable) event.preventDefault();
			}
			if (event.type === ends || (event.type === "pointerdown" && !hit)) window.aimed.hit ??= hit;
		};
		kinds.forEach((kind) => window.addEventListener(kind, look, { capture: true, passive: false }));
		window.aimed = { hit: null, end: () => kinds.forEach((kind) => window.removeEventListener(kind, look, { capture: true })) };
	};
	return (async () => {
		let last = "", still = 0;
		for (const end = performance.now() + 90000; performance.now() < end; await frame()) {
			const e = document.querySelector(selector);
			if (!e || e.disabled) { still = 0; continue; }
			let at = spot(e);
			if (!at) {
				e.scrollIntoView({ block: "center", inline: "center", behavior: "instant" });
				at = spot(e);
			}
			if (!at) { // something lies over the lower half
				scrollBy({ top: e.getBoundingClientRect().top - innerHeight / 4, behavior: "instant" });
				at = spot(e);
			}
			const now = at ? at.x + " " + at.y : "";
			still = at && now === last ? still + 1 : 0;
			last = now;
			if (!at || still < rest) continue;
			guard(e);
			return at;
		}
		return null;
	})();
}`

// Tap presses what a selector finds, as a finger or a mouse would, and presses
// again where the screen moved under the finger.
func (b *Browser) Tap(selector string) {
	b.t.Helper()
	b.tap(selector, 3)
}

// TapAtOnce presses without waiting for the screen to come to rest: as fast as
// the page answers. A press that the screen moved from under is made again.
func (b *Browser) TapAtOnce(selector string) {
	b.t.Helper()
	b.tap(selector, 0)
}

func (b *Browser) tap(selector string, rest int) {
	b.t.Helper()
	for range 10 {
		at := Eval[*struct{ X, Y float64 }](b, `(`+aim+`)(`+strconv.Quote(selector)+`, `+strconv.Itoa(rest)+`)`)
		if at == nil {
			b.Wait("there is "+selector+" to tap", `false`)
		}
		press := chromedp.MouseClickXY(at.X, at.Y)
		if b.touch {
			press = chromedp.TapXY(at.X, at.Y)
		}
		b.Do("tap "+selector, press)
		// Another page has no aim any more: the press led there.
		for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
			const hit = `(window.aimed?.hit && window.aimed.end(), window.aimed ? String(window.aimed.hit) : "true")`
			switch Eval[string](b, hit) {
			case "true":
				return
			case "false":
				end = time.Time{}
			}
		}
	}
	require.FailNow(b.t, "ten taps missed", selector)
}
