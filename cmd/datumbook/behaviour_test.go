package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// TestWayBackFromViews: Back leads past the views of a page that were closed by their own keys, from
// one to the other too, to where the page was opened from; after a reload as well.
func TestWayBackFromViews(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	b := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	home := "http://" + office.Addr + "/"
	b.Go(home)
	b.Go(home + "#/stage/line")
	b.Wait("the stage", `!!document.querySelector('a[href="#/sheet/blocks"]') || !!document.querySelector("main a")`)
	b.Go(home + "#/sheet/blocks")
	b.Type("#blocks-height", "1.2345")
	browsertest.Eval[bool](b, `(document.activeElement.blur(), true)`)
	key := func(says, view string) {
		b.TapText(".page-foot a", says)
		b.Wait(says+" leads to "+view, `document.querySelector(".page")?.className.includes("view-`+view+`")`)
	}
	key("More", "more")
	key("More", "board")
	key("Why", "why")
	key("More", "more")
	key("More", "board")
	key("More", "more")
	b.Reload()
	b.Wait("More again", `document.querySelector(".page")?.className.includes("view-more")`)
	key("More", "board")
	b.Tap(".top .back")
	b.Wait("the stage", `location.hash === "#/stage/line"`)
}

// TestMessageOverFoot: what Keep says leaves the head and the headline in sight; while the keypad is open it
// lies over the head alone, and it goes when it is touched.
func TestMessageOverFoot(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Phone, "{}", "blocks")
	covered := `(() => {
		const said = document.querySelector(".said").getBoundingClientRect();
		return [...document.querySelectorAll(".top, .first, .page-foot a, .keypad")].filter((e) => e.checkVisibility({ visibilityProperty: true })).filter((e) => {
			const r = e.getBoundingClientRect();
			return r.bottom > said.top + 1 && r.top < said.bottom - 1;
		}).map((e) => e.className).join(); })()`
	u.keys("3", "0", "next")
	u.TapText("#answer .slip-keys button", "30 mm")
	u.Wait("it is said", `!!document.querySelector(".said")`)
	assert.Empty(t, browsertest.Eval[string](u.Browser, covered))
	u.Tap("#blocks-height")
	u.Wait("the keypad", `!!document.querySelector(".keypad")`)
	u.Wait("it is not in the way of what is typed", covered+` === "top"`)
	u.Tap(".said p")
	u.Wait("it is gone", `!document.querySelector(".said")`)
}

// TestChoiceBeforeKeypad: where a choice under the drawing is asked for first the keypad stays closed
// until it is made; another way of a page opens it on its first open box.
func TestChoiceBeforeKeypad(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	b := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	b.Go("http://" + office.Addr + "/#/sheet/speed")
	b.Wait("it asks for the tool", `document.querySelector(".headline span")?.textContent === "Which tool?"`)
	b.Wait("the page stands still", settled)
	assert.False(t, browsertest.Eval[bool](b, `!!document.querySelector(".keypad")`))
	putIn(b, `select[name="op"]`, "facemill")
	b.Wait("the keypad", `!!document.querySelector(".keypad")`)

	b.Go("http://" + office.Addr + "/#/sheet/bolts")
	b.Wait("the keypad", `!!document.querySelector(".keypad")`)
	b.Tap(`.keypad [data-key="close"]`)
	b.Wait("it is closed", `!document.querySelector(".keypad")`)
	b.TapText(`.ways .chip`, "Grid")
	b.Wait("the keypad of the other way", `!!document.querySelector(".keypad") && document.activeElement.dataset.open === "yes"`)
}

// TestLowScreenInGloves: headline and a whole cell are in sight together, between them and the foot
// nothing else.
func TestLowScreenInGloves(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	b := browsertest.Open(t, t.TempDir(), browsertest.Screen{Width: 740, Height: 360, Scale: 1, Touch: true})
	b.Always(`try { localStorage.setItem("datumbook.prefs", '{"glove":true,"keypad":"keyboard"}') } catch {}`)
	b.Go("http://" + office.Addr + "/#/sheet/hole")
	for key, draft := range example(t, "hole") {
		browsertest.Eval[bool](b, `(localStorage.setItem(`+quote(key)+`, `+quote(draft)+`), true)`)
	}
	b.Reload()
	b.WaitText(".656 deep")
	b.Show("#hole-stock")
	assert.Empty(t, browsertest.Eval[string](b, `(() => {
		const [head, cell, foot] = [".first", ".cell:has(#hole-stock)", ".page-foot"].map((s) => document.querySelector(s).getBoundingClientRect());
		const end = foot.left > 0 ? innerHeight : foot.top; // the foot may stand at the hand's side
		return cell.height >= 120 && head.top >= 0 && end - head.bottom >= cell.height
			? "" : [head.top, head.bottom, cell.top, cell.bottom, end].join(); })()`))
}

// TestCloseInGloves: every keypad in gloves can be closed by a key at most one page away.
func TestCloseInGloves(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Phone, `{"glove":true}`, "hole")
	u.Wait("it is open on the thread", `document.activeElement.id === "hole-thread"`)
	u.keys("close")
	u.Wait("it is closed", `!document.querySelector(".keypad")`)
	u.Tap("#hole-stock")
	if !browsertest.Eval[bool](u.Browser, `!!document.querySelector('.keypad [data-key="close"]')`) {
		u.Tap(`.keypad [data-key^="page"]`)
	}
	u.keys("close")
	u.Wait("it is closed", `!document.querySelector(".keypad")`)
}

// TestFaultSaidOnce: what is wrong with what is typed is said on the keypad alone while that is open,
// and under the headline after it.
func TestFaultSaidOnce(t *testing.T) {
	t.Parallel()
	u := newPadUser(t, browsertest.Screen{Width: 320, Height: 640, Scale: 1, Touch: true}, "{}", "hole")
	u.Wait("it is open on the thread", `document.activeElement.id === "hole-thread"`)
	u.keys("/")
	u.Wait("it is wrong", `!!document.querySelector(".pad-fault")`)
	assert.Equal(t, "Thread: '/' has no threads per inch; write the size, a hyphen and the threads per inch. Type it like 3/8-16.",
		browsertest.Eval[string](u.Browser, `document.querySelector(".pad-fault").textContent`))
	assert.False(t, browsertest.Eval[bool](u.Browser, `document.querySelector(".facts.wrong").checkVisibility()`))
	u.keys("close")
	u.Wait("it is said under the headline", `document.querySelector(".facts.wrong")?.checkVisibility()`)
}
