package main

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// padUser types on the app's own keypad with real touches.
type padUser struct {
	*browsertest.Browser
	t      *testing.T
	office string
}

// newPadUser opens a worksheet's page on a phone whose preferences are these.
func newPadUser(t *testing.T, screen browsertest.Screen, prefs, sheet string) padUser {
	t.Helper()
	office := browsertest.StartOffice(t, t.TempDir())
	u := padUser{browsertest.Open(t, t.TempDir(), screen), t, office.Addr}
	u.Always(`try { localStorage.setItem("datumbook.prefs", ` + strconv.Quote(prefs) + `) } catch {}
		window.buzzed = []; navigator.vibrate = (ms) => buzzed.push(ms);`)
	u.page(sheet)
	return u
}

// page opens a worksheet's page; the keypad comes with it.
func (u padUser) page(sheet string) {
	u.t.Helper()
	u.Go("http://" + u.office + "/#/sheet/" + sheet)
	u.Wait("the keypad is open", `!!document.querySelector(".keypad")`)
}

func (u padUser) value(id string) string {
	u.t.Helper()
	return browsertest.Eval[string](u.Browser, `document.getElementById("`+id+`").value`)
}

// at is the id of the box that the keypad types into.
func (u padUser) at() string {
	u.t.Helper()
	return browsertest.Eval[string](u.Browser, `document.activeElement.id`)
}

func padKeys(keys ...string) []string {
	out := make([]string, len(keys))
	for i, key := range keys {
		out[i] = `.keypad [data-key=` + strconv.Quote(key) + `]`
	}
	return out
}

// keys touches keys at an unhurried hand's speed.
func (u padUser) keys(keys ...string) {
	u.t.Helper()
	for _, key := range padKeys(keys...) {
		u.Wait("the key "+key, `!!document.querySelector(`+strconv.Quote(key)+`)`)
		u.Fingers(0, 0, key)
	}
}

// says is what a key says.
func (u padUser) says(key string) string {
	u.t.Helper()
	return browsertest.Eval[string](u.Browser, `document.querySelector('.keypad [data-key="`+key+`"]').textContent`)
}

// TestKeypad: the first key replaces what stood in a box, a second touch places the caret in it,
// what was replaced comes back by Undo; Next and a size lately used go on to the next open box, and
// the last Next shows the answer.
func TestKeypad(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Phone, "{}", "hole")
	u.Wait("it is open on the first open box", `document.activeElement.id === "hole-thread"`)
	assert.Equal(t, "Next: plate", u.says("next"))
	assert.Equal(t, "1/2-13", u.says("size 1/2-13"), "a common thread is a key")
	u.keys("size 3/8-16")
	assert.Equal(t, "3/8-16", u.value("hole-thread"))
	require.Equal(t, "hole-stock", u.at(), "a size goes on as Next does")
	u.Wait("the next is the answer", `document.querySelector('[data-key="next"]').textContent === "Next: answer"`)
	u.keys("7", "/", "8", "next")
	u.Wait("the keypad is gone", `!document.querySelector(".keypad")`)
	u.WaitText(".656 deep")

	// Come to again, it begins anew; nothing typed is lost.
	u.Tap("#hole-stock")
	u.keys("2", "2")
	assert.Equal(t, "22", u.value("hole-stock"))
	u.keys("undo", "undo")
	assert.Equal(t, "7/8", u.value("hole-stock"))

	// A second touch is for a place in the text, and rubbing out takes one character.
	u.Tap("#hole-depth-full")
	u.keys("2")
	u.Tap("#hole-stock")
	u.Tap("#hole-stock")
	browsertest.Eval[bool](u.Browser, `(document.activeElement.setSelectionRange(1, 1), true)`)
	u.keys("5")
	assert.Equal(t, "75/8", u.value("hole-stock"))
	u.Tap("#hole-depth-full")
	u.Tap("#hole-stock")
	u.keys("back")
	assert.Equal(t, "75/", u.value("hole-stock"))

	// A word stands for a number, and the last box that is open ends it.
	u.keys("word through")
	u.Wait("the keypad is gone", `!document.querySelector(".keypad")`)
	assert.Equal(t, "through", strings.ToLower(u.value("hole-stock")))

	// What was typed once is a key from then on, the last first.
	u.Tap("#hole-thread")
	u.keys("7", "/", "1", "6", "-", "1", "4", "next")
	u.Wait("the keypad is gone", `!document.querySelector(".keypad")`)
	u.WaitText("U drill, right through")
	u.Reload()
	u.Tap("#hole-thread")
	u.keys("size 3/8-16")
	u.Tap("#hole-thread")
	first := browsertest.Eval[[]string](u.Browser, `[...document.querySelectorAll(".keypad .offer")].map((k) => k.textContent)`)
	assert.Equal(t, []string{"7/16-14", "1/2-13"}, first[:2], "without what stands there")

	// A keyboard's Enter is Next.
	browsertest.Eval[bool](u.Browser, `(document.activeElement.select(), true)`)
	u.Type("#hole-thread", "1/4-20"+kb.Enter)
	assert.Equal(t, "1/4-20", u.value("hole-thread"))
	assert.NotEqual(t, "hole-thread", u.at())
}

// TestNoDigitIsLost: with bare hands every touch counts, two thumbs down at once and a key hit again
// at once included.
func TestNoDigitIsLost(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Phone, "{}", "hole")
	// As fast as touches come at all, Next between them.
	u.Wait("it is open on the first open box", `document.activeElement.id === "hole-thread"`)
	u.Fingers(0, 0, padKeys("1", "/", "2", "-", "1", "3", "next", "1", "1", ".", "5")...)
	assert.Equal(t, "1/2-13", u.value("hole-thread"))
	assert.Equal(t, "11.5", u.value("hole-stock"))

	const typed = "2222139577"
	for _, down := range []time.Duration{20 * time.Millisecond, 90 * time.Millisecond} {
		u.Tap("#hole-thread")
		u.Tap("#hole-stock")
		at := u.Fingers(60*time.Millisecond, down, padKeys(strings.Split(typed, "")...)...)
		assert.Equal(t, typed, u.value("hole-stock"), "fingers down for %v, at %v", down, at)
		t.Logf("%d digits, a finger down for %v, the last after %v", len(typed), down, at[len(at)-1])
	}
}

// TestKeypadInGloves: a bounce of the finger is no second hit and does not buzz, a second hit a
// moment later is one; the headline and the number stand over the keys.
func TestKeypadInGloves(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Phone, `{"glove":true,"double":400}`, "hole")
	u.Tap("#hole-stock")
	browsertest.Eval[bool](u.Browser, `(() => { window.bounce = (key, after) => new Promise((done) => {
		const hit = () => document.querySelector('.keypad [data-key="' + key + '"]').click();
		buzzed.length = 0; hit(); const from = performance.now(); // the guard counts from before
		const look = () => performance.now() - from >= after ? (hit(), done(true)) : setTimeout(look);
		look(); }); return true })()`)
	bounce := func(key string, after int) int {
		browsertest.Eval[bool](u.Browser, fmt.Sprintf(`bounce(%q, %d)`, key, after))
		return browsertest.Eval[int](u.Browser, `buzzed.length`)
	}
	assert.Equal(t, 1, bounce("7", 0), "a bounce")
	assert.Equal(t, "7", u.value("hole-stock"))
	assert.Equal(t, 2, bounce("8", 61), "two hits, whatever longer guard was once set")
	assert.Equal(t, "788", u.value("hole-stock"))
	sizes := browsertest.Eval[[]float64](u.Browser, `[...document.querySelectorAll(".keypad .key")].flatMap((k) => {
		const r = k.getBoundingClientRect(); return [r.width, r.height]; })`)
	for _, s := range sizes {
		assert.GreaterOrEqual(t, s, 120.0)
	}
	u.sees(`.headline span`, `.pad-text > span`)
}

// sees checks that what selectors find is on the screen, whole, and that nothing lies over it.
func (u padUser) sees(selectors ...string) {
	u.t.Helper()
	for _, selector := range selectors {
		fault := browsertest.Eval[string](u.Browser, `((e) => {
			if (!e) return "is not there";
			const range = document.createRange(); range.selectNodeContents(e);
			for (const r of range.getClientRects()) {
				if (r.width === 0) continue;
				if (r.left < 0 || r.top < 0 || r.right > innerWidth + 1 || r.bottom > innerHeight + 1) return "is off the screen: " + JSON.stringify(r);
				for (const y of [r.top + 2, r.bottom - 2]) {
					const on = document.elementFromPoint(r.left + r.width / 2, y);
					if (!on || !(e.contains(on) || on.contains(e))) return "lies under " + (on?.className || on?.tagName);
				}
			}
			return ""; })(document.querySelector(`+strconv.Quote(selector)+`))`)
		assert.Empty(u.t, fault, selector)
	}
}

// TestKeypadHasRoom: on every kind of screen, with the phone's text as it is and twice as large,
// the headline, what is typed, Close and Next are in sight while the keypad is open, no word on a
// key is cut, and nothing is wider than the screen.
func TestKeypadHasRoom(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Phone, "{}", "hole")
	for key, draft := range example(t, "hole") {
		browsertest.Eval[bool](u.Browser, `(localStorage.setItem(`+quote(key)+`, `+quote(draft)+`), true)`)
	}
	boxes := []string{"#hole-thread", "#hole-stock"}
	for _, s := range []struct {
		name          string
		width, height int64
		text          int // percent
		prefs         string
	}{
		{"a phone", 360, 740, 100, `{"keypad":"always"}`},
		{"a phone, left hand", 360, 740, 100, `{"keypad":"always","hand":"left"}`},
		{"a small phone", 320, 568, 100, `{"keypad":"always"}`},
		{"a phone, large text", 360, 740, 200, `{"keypad":"always"}`},
		{"a small phone, large text", 320, 640, 200, `{"keypad":"always"}`},
		{"gloves", 360, 740, 100, `{"keypad":"always","glove":true}`},
		{"gloves, a small phone", 320, 640, 100, `{"keypad":"always","glove":true}`},
		{"landscape", 740, 360, 100, `{"keypad":"always"}`},
		{"landscape, left hand", 740, 360, 100, `{"keypad":"always","hand":"left"}`},
		{"landscape, large text", 740, 360, 200, `{"keypad":"always"}`},
		{"landscape, a small phone", 568, 320, 100, `{"keypad":"always"}`},
		{"landscape, gloves", 740, 360, 100, `{"keypad":"always","glove":true}`},
	} {
		t.Run(s.name, func(t *testing.T) {
			u := padUser{u.Browser, t, u.office}
			u.Resize(browsertest.Screen{Width: s.width, Height: s.height, Scale: 1, Touch: true})
			u.Always(`try { localStorage.setItem("datumbook.prefs", ` + strconv.Quote(s.prefs) + `) } catch {}
				document.addEventListener("DOMContentLoaded", () => { document.documentElement.style.fontSize = "` + strconv.Itoa(s.text) + `%" });`)
			u.Go("about:blank")
			u.Go("http://" + u.office + "/#/sheet/hole")
			u.WaitText(".656 deep")
			for _, box := range boxes {
				u.Wait("the keypad is open on "+box, `(() => { const e = document.querySelector("`+box+`");
					if (document.activeElement !== e) e?.focus();
					return !!document.querySelector(".keypad") && document.querySelector(".pad-label")?.textContent.startsWith(e.dataset.label); })()`)
				for page := range 8 {
					glove := strings.Contains(s.prefs, "glove")
					u.sees(".headline span", ".pad-text > span", `.keypad [data-key="next"]`)
					if !glove {
						u.sees(`.pad-head [data-key="close"]`)
					}
					cut := browsertest.Eval[[]string](u.Browser, `[...document.querySelectorAll(".keypad .key")].filter((k) => {
						const range = document.createRange(); range.selectNodeContents(k);
						const [a, b] = [range.getBoundingClientRect(), k.getBoundingClientRect()];
						return a.left < b.left || a.right > b.right || a.top < b.top - 1 || a.bottom > b.bottom + 1 ||
							b.left < 0 || b.top < 0 || b.right > innerWidth + 0.5 || b.bottom > innerHeight + 0.5; }).map((k) => k.textContent)`)
					assert.Empty(t, cut, "cut keys, page %d of %s", page+1, box)
					if !browsertest.Eval[bool](u.Browser, `((k) => (k?.click(), !!k))(document.querySelector('.keypad [data-key^="page"]'))`) {
						break
					}
				}
			}
			wide := browsertest.Eval[int64](u.Browser, `document.documentElement.scrollWidth`)
			assert.LessOrEqual(t, wide, s.width, "the page is wider than the screen")
		})
	}
}

// forMouse comes to a page's last box, and says what a click of the mouse meets, in place of what it
// would do.
const forMouse = `(box) => {
	window.met = undefined;
	window.made = undefined;
	window.pressed ??= window.addEventListener("pointerdown", (e) => {
		if (e.isTrusted) window.made = e.target.closest("[data-key], [data-seen]")?.dataset.seen ?? "nothing";
	}, true) ?? true;
	window.taken ??= window.addEventListener("click", (e) => {
		if (!e.isTrusted) return;
		window.met = e.target.closest("[data-key], [data-seen]")?.dataset.seen ?? "nothing";
		e.preventDefault();
		e.stopImmediatePropagation();
	}, true) ?? true;
	document.activeElement.blur();
	const at = [...document.querySelectorAll(box)].filter((e) => e.checkVisibility()).at(-1);
	at.focus();
	at.scrollIntoView({ block: "start", behavior: "instant" });
	document.querySelectorAll("[data-seen]").forEach((e) => delete e.dataset.seen);
	return at.id;
}`

// TestMousePress: with the keypad open a press of the mouse is taken by what it was made on, however
// the page moves as the keypad goes.
func TestMousePress(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Screen{Width: 800, Height: 600, Scale: 1}, `{"keypad":"always"}`, "hole")
	// A page that glides would be waited for.
	u.Always(`window.matchMedia = ((all) => (q) => q.includes("reduced-motion") ? { matches: true } : all.call(window, q))(matchMedia)`)
	frames := func() {
		t.Helper()
		browsertest.Eval[bool](u.Browser, `new Promise((go) =>
			requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(go, 0, true))))`)
	}
	pressed := 0
	for _, at := range []struct{ page, box string }{
		{"sheet/hole", "input[data-pad]"}, {"new/machine", "form input[data-pad]"},
	} {
		u.Go("http://" + u.office + "/?" + at.page + "#/" + at.page)
		u.Wait("its boxes", `!!document.querySelector(`+strconv.Quote(at.box)+`)`)
		for n, all, again := 0, 1, 0; n < all; n++ {
			browsertest.Eval[string](u.Browser, `(`+forMouse+`)(`+strconv.Quote(at.box)+`)`)
			u.Wait("the keypad is open", `!!document.querySelector(".keypad")`)
			u.Wait("the page's end", `(scrollTo({ top: 9999, behavior: "instant" }),
				window.stood = scrollY === window.stoodAt ? (window.stood ?? 0) + 1 : 0, window.stoodAt = scrollY, stood > 9)`)
			spot := browsertest.Eval[struct {
				All  int
				X, Y float64
				Says string
			}](u.Browser, fmt.Sprintf(`((n) => {
				const mid = (e) => { const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; };
				const keys = [...document.querySelectorAll("a, button, summary, [role=button]")].filter((e) =>
					!e.closest(".keypad") && e.contains(document.elementFromPoint(...mid(e))));
				const e = keys[n];
				if (e) e.dataset.seen = "it";
				const [x, y] = e ? mid(e) : [0, 0];
				return { all: keys.length, x, y, says: e?.outerHTML.slice(0, 90) ?? "" };
			})(%d)`, n))
			if all = spot.All; n >= all {
				break
			}
			u.Mouse(input.DispatchMouseEventTypeMousePressed, spot.X, spot.Y)
			frames()
			u.Mouse(input.DispatchMouseEventTypeMouseReleased, spot.X, spot.Y)
			frames()
			// A page that has moved since it was looked at is looked at again; what counts is from the press on.
			if made := browsertest.Eval[string](u.Browser, `window.made ?? "no press"`); made != "it" && again < 3 {
				t.Logf("%s: the press was made on %s, for %s", at.page, made, spot.Says)
				n, again = n-1, again+1
				continue
			}
			again = 0
			assert.Equal(t, "it", browsertest.Eval[string](u.Browser, `window.met ?? "no click"`), "%s: %s", at.page, spot.Says)
			u.Wait("the keypad is gone", `!document.querySelector(".keypad")`)
			pressed++
		}
	}
	t.Log(pressed, "keys pressed")
	assert.GreaterOrEqual(t, pressed, 8)

	// A key of the pad takes it as it is made, and once.
	u.page("hole")
	key := browsertest.Eval[struct{ X, Y float64 }](u.Browser, `(({ x, y }) => ({ x: x + 20, y: y + 20 }))(
		document.querySelector('.keypad [data-key="7"]').getBoundingClientRect())`)
	u.Mouse(input.DispatchMouseEventTypeMousePressed, key.X, key.Y)
	assert.Equal(t, "7", u.value("hole-thread"))
	u.Mouse(input.DispatchMouseEventTypeMouseReleased, key.X, key.Y)
	frames()
	assert.Equal(t, "7", u.value("hole-thread"))
}
