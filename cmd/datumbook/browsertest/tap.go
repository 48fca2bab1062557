package browsertest

import (
	"context"
	"encoding/json"
	"strconv"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// aim waits until the element that a function finds is still, in sight and uncovered, and gives the
// middle of the part that can be hit. From then on a press beside it is swallowed: a message may
// move the page under the finger, and a person would look before pressing what is there then.
// window.aimed promises the outcome of the press.
const aim = `(find, rest, again) => {
	` + frame + `
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
	const guard = (e) => {
		const kinds = ["pointerdown", "mousedown", "touchstart", "pointerup", "mouseup", "touchend", "click"];
		// A field opens the keypad as it is pressed, which may lie over it when the finger leaves.
		const ends = e.matches("input:not([type=radio], [type=checkbox]), textarea") ? "mousedown" : "click";
		let struck;
		const hit = new Promise((go) => (struck = go));
		// Its keys take a touch as it comes, and let no press follow.
		const key = e.closest(".keypad") !== null;
		const look = (event) => {
			if (!event.isTrusted) return;
			const on = event.composedPath().some((at) => at === e || at === e.control || at.control === e);
			if (!on) {
				const { left, top, right, bottom } = e.getBoundingClientRect();
				window.tapMissed = event.type + " at " + [event.clientX, event.clientY] + " met " +
					event.target.outerHTML?.slice(0, 90) + ", meant what is at " + [left, top, right, bottom].map(Math.round);
				event.stopImmediatePropagation();
				if (event.cancelable) event.preventDefault();
			}
			const down = event.type === "pointerdown";
			if (event.type === ends || (down && (!on || key))) struck(on);
		};
		kinds.forEach((kind) => window.addEventListener(kind, look, { capture: true, passive: false }));
		window.aimed = { hit, end: () => kinds.forEach((kind) => window.removeEventListener(kind, look, { capture: true })) };
	};
	return (async () => {
		let last = "", still = 0;
		for (const end = performance.now() + 90000; performance.now() < end; await frame()) {
			const e = find();
			if (!e || e.disabled) { still = 0; continue; }
			let at = spot(e);
			if (!at || again) {
				again = false;
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

// frame waits for the next frame.
const frame = `const frame = () => new Promise((go) => {
		const late = setTimeout(go, 100); // a page at rest may draw no frames
		requestAnimationFrame(() => { clearTimeout(late); go(); });
	});`

// Tap presses what a selector finds, as a finger or a mouse would, and again where the page moved
// under the finger. window.tapped is when.
func (b *Browser) Tap(selector string) {
	b.t.Helper()
	b.tap(selector, first(selector), 3)
}

// TapText presses the first visible element that a selector finds and that contains a text. It is
// looked up anew until the press, since a page that was just written to may replace it.
func (b *Browser) TapText(selector, says string) {
	b.t.Helper()
	b.tap(selector+" that says "+says, `() => [...document.querySelectorAll(`+strconv.Quote(selector)+`)].find((e) =>
		e.offsetParent && e.textContent.includes(`+strconv.Quote(says)+`))`, 3)
}

// TapAtOnce presses without waiting for the page to be still: as fast as the page answers. A press
// that missed because the page moved is repeated.
func (b *Browser) TapAtOnce(selector string) {
	b.t.Helper()
	b.tap(selector, first(selector), 0)
}

// TapRow presses keys that are all in sight and stay where they are, one after another, without
// looking between them.
func (b *Browser) TapRow(selectors ...string) {
	b.t.Helper()
	list, _ := json.Marshal(selectors)
	at := Eval[[]*struct{ X, Y float64 }](b, `(`+string(list)+`).map((s) => {
		const e = document.querySelector(s);
		const r = e?.getBoundingClientRect();
		const [x, y] = r ? [r.x + r.width / 2, r.y + r.height / 2] : [0, 0];
		return e?.contains(document.elementFromPoint(x, y)) ? { x, y } : null; })`)
	for i, spot := range at {
		require.NotNil(b.t, spot, "%s is not in sight", selectors[i])
		b.Do("tap "+selectors[i], chromedp.TapXY(spot.X, spot.Y))
	}
}

// aimAt is aim at what a function finds.
func aimAt(find string, rest int, off bool) string {
	return `(` + aim + `)(` + find + `, ` + strconv.Itoa(rest) + `, ` + strconv.FormatBool(off) + `)`
}

// aimed is the outcome of the press after aim, in the page.
const aimed = `Promise.race([window.aimed?.hit ?? true, new Promise((go) => setTimeout(go, 20000, false))])
	.then((hit) => { window.aimed?.end(); window.tapped = performance.now(); return hit; })`

// first gives a function that finds the first of what a selector finds.
func first(selector string) string {
	return `() => document.querySelector(` + strconv.Quote(selector) + `)`
}

func (b *Browser) tap(what, find string, rest int) {
	b.t.Helper()
	for miss := range 10 { // each waits a little longer for the page to be still, and off its edges
		at := Eval[*struct{ X, Y float64 }](b, aimAt(find, max(rest, miss), miss > 0))
		if at == nil {
			b.fail("there is no " + what + " to tap")
		}
		press := chromedp.MouseClickXY(at.X, at.Y)
		if b.touch {
			press = chromedp.TapXY(at.X, at.Y)
		}
		b.Do("tap "+what, press)
		if b.hit() {
			return
		}
	}
	b.fail("ten taps missed " + what + ": " + Eval[string](b, `window.tapMissed ?? ""`))
}

// hit waits for the outcome of a press. One that led to another page ended all that waited there,
// and the new page has no aim.
func (b *Browser) hit() bool {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, 30*time.Second)
	defer stop()
	if hit, err := chromedp.Run(ctx, chromedp.Evaluate[bool](aimed, chromedp.EvalAwaitPromise)); err == nil {
		return hit
	}
	return Eval[bool](b, aimed)
}

// Show scrolls what a selector finds to the middle of the screen, once it exists, nothing on the
// page is loading, and it is still.
func (b *Browser) Show(selector string) {
	b.t.Helper()
	there := Eval[bool](b, `(async (selector) => {
		`+frame+`
		let last = "", still = 0;
		for (const end = performance.now() + 90000; performance.now() < end; await frame()) {
			const e = document.querySelector(selector);
			const comes = [...document.querySelectorAll(".blank.loading, .drawing-wait, .thumb-wait")].some((w) => w.checkVisibility());
			if (!e || comes || [...document.images].some((i) => !i.complete)) { still = 0; continue; }
			e.scrollIntoView({ block: "center", behavior: "instant" });
			const { x, y, width, height } = e.getBoundingClientRect();
			const now = [x, y, width, height, document.documentElement.scrollHeight].join();
			still = now === last ? still + 1 : 0;
			last = now;
			if (still === 5) return true;
		}
		return false;
	})(`+strconv.Quote(selector)+`)`)
	if !there {
		b.fail("there is no " + selector + " to see")
	}
}
