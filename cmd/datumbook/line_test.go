package main

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// TestTramByHand reads three stations along a face by touch alone, from Start, and a second round
// after the tap: the fresh round has the one before it beside it, and the face that is good enough
// is said to be. The phone knows nothing beforehand.
func TestTramByHand(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	b := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	b.Go("http://" + office.Addr + "/")
	b.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	taps := 0
	tap := func(selector string) {
		b.Wait(selector, `!!document.querySelector(`+strconv.Quote(selector)+`)`)
		b.Tap(selector)
		taps++
	}
	keys := func(list string) {
		for _, key := range strings.Fields(list) {
			tap(`.keypad [data-key="` + key + `"]`)
		}
	}
	headline := func(text string) {
		t.Helper()
		b.Wait(text, `document.querySelector(".headline span")?.textContent === `+strconv.Quote(text))
	}
	tap(`a[href="#/stage/line"]`)
	tap(`a[href="#/sheet/tram"]`)
	headline("Left end reads?")
	keys("0 next 2 sign next 4")
	headline("Right end: tap back 4 thou")
	keys("next")
	t.Logf("%d of 9 taps to the answer of three stations", taps)
	assert.LessOrEqual(t, taps, 9)
	// The keypad stands on the faint place behind the last; Next ends the strip.
	keys("next")
	b.Wait("the keypad is closed", `!document.querySelector(".keypad")`)
	assert.Equal(t, ",0 thou; ,-2 thou; ,4 thou", browsertest.Eval[string](b,
		`JSON.parse(localStorage.getItem("datumbook.draft.tram")).inputs.readings`), "in thou, with its unit")

	b.TapText(".ways .chip", "Read again")
	b.Wait("a fresh round", `document.activeElement?.id === "tapin-pairs-1-0"`)
	headline("B end: tap back 4 thou")
	keys("0 next 1")
	headline("B end: tap back 1 thou")
	keys("next")
	b.Wait("the round is over", `!document.querySelector(".keypad")`)
	assert.Equal(t, "0 thou,4 thou,,; 0 thou,1 thou,,", browsertest.Eval[string](b,
		`JSON.parse(localStorage.getItem("datumbook.draft.tram")).inputs.pairs`))
	b.TapText(".ways .chip", "Read again")
	b.Wait("another round", `document.activeElement?.id === "tapin-pairs-2-0"`)
	keys("0 next 0 next")
	headline("In line, as near as it shows")
}
