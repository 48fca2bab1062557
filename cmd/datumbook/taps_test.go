package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// thumb taps at a hand's speed, a tap each 350 ms at the earliest, and counts. Every digit counts.
type thumb struct {
	*browsertest.Browser
	taps int
}

// pause waits until a hand would be there again.
const pause = `performance.now() - (window.tapped ?? -1e9) >= 350`

func (h *thumb) tap(selectors ...string) {
	for _, s := range selectors {
		h.Wait("the hand comes back", pause)
		h.Tap(s)
		h.taps++
	}
}

// keys taps keys of the app's own keypad.
func (h *thumb) keys(keys ...string) {
	for _, k := range keys {
		h.tap(`.keypad [data-key="` + k + `"]`)
	}
}

// reads waits for a headline.
func (h *thumb) reads(pattern string) {
	h.Wait("the headline says "+pattern, `/`+pattern+`/.test(document.querySelector(".headline span")?.textContent ?? "") && !document.querySelector(".first.stale")`)
}

// budget counts the taps of a task from where the phone stands.
func (h *thumb) budget(t *testing.T, what string, most int, task func()) {
	t.Helper()
	h.taps = 0
	task()
	t.Logf("%s: %d taps of %d", what, h.taps, most)
	assert.LessOrEqual(t, h.taps, most, what)
}

// TestTaps does the tasks that worksheets are opened for most, by touch alone. The phone knows the
// usual sizes of threads; for the travel, a machine's travels from the last time.
func TestTaps(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := &thumb{Browser: browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	start := func() {
		h.Go("http://" + office.Addr + "/")
		h.Wait("Start", `document.querySelectorAll(".tile").length === 9`)
	}
	start()
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	page := func(stage, sheet string) {
		h.tap(`.tile[href="#/stage/`+stage+`"]`, `main a[href="#/sheet/`+sheet+`"]`)
		h.Wait("the keypad is open", `!!document.querySelector(".keypad")`)
	}
	h.budget(t, "tapped hole from Start", 9, func() {
		page("holes", "hole")
		h.tap(`.keypad [data-key="size 3/8-16"]`)
		h.keys("7", "/", "8", "next")
		h.reads(`^5\/16 drill, \.656 deep`)
	})
	start()
	h.budget(t, "tram, three stations, from Start", 9, func() {
		page("line", "tram")
		h.keys("0", "next", "2", "sign", "next", "4", "next")
		h.reads(`^Right end: tap (back|forward) `)
	})
	start()
	h.budget(t, "slot middle from Start", 8, func() {
		page("where", "middle")
		h.keys("3", ".", "8", "6", "4", "next")
		h.reads(`^Middle at `)
	})
	start()
	h.budget(t, "sling from Start", 6, func() {
		page("lift", "sling")
		h.keys("4", "2", "0", "next")
		h.reads(`^Each leg 250 lbf at 60°`)
	})
	// The travels were typed the last time.
	h.Go("http://" + office.Addr + "/#/sheet/reach")
	h.Wait("the drawing", `!!document.querySelector("#reach-travel")`)
	for _, one := range [][2]string{{"travel", "30"}, {"cross", "14"}, {"long", "10"}, {"wide", "4"}, {"cutter", "4"}} {
		h.Type("#reach-"+one[0], one[1])
	}
	h.reads(`^Reaches, `)
	start()
	browsertest.Eval[bool](h.Browser, `(localStorage.removeItem("datumbook.draft.reach"), true)`)
	h.budget(t, "travel from Start", 9, func() {
		page("reach", "reach")
		h.keys("1", "7", "next", "4", "next", "5", "next")
		h.reads(`^Reaches, `)
	})

	// A setup runs: what its records know is there already.
	start()
	hand{t, h.Browser}.loadDemo()
	h.budget(t, "will it stay, from a setup", 6, func() {
		h.tap(`.tile[href="#/stage/hold"]`, `main a[href="#/sheet/hold"]`)
		h.Wait("the cut is asked", `document.activeElement?.name === "force"`)
		h.keys("1", "5", "0", "next")
		h.reads(`^(Stays|Nuts|Not enough|Slips|Turns|Tips|Strips)`)
	})
	start()
	h.budget(t, "tapped hole from a setup", 6, func() {
		h.tap(`.tile[href="#/stage/holes"]`, `main a[href="#/sheet/hole"]`)
		h.Wait("it is drawn", `!!document.querySelector(".headline span")?.textContent`)
		if browsertest.Eval[bool](h.Browser, `!!document.querySelector("input[name=thread][data-open=yes]")`) {
			h.tap(`.keypad [data-key="size 1/2-13"]`)
		}
		if browsertest.Eval[bool](h.Browser, `!!document.querySelector("input[name=stock][data-open=yes]")`) {
			h.keys("2", "next")
		}
		h.reads(` drill, `)
	})
}
