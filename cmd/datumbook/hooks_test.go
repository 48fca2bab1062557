package main

import (
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook/demo"
	"datumbook/cmd/datumbook/browsertest"
)

// TestWholeJob runs the worksheets that use the whole job on the invented job, on a phone at the
// mill with no signal from the second step on: a part that fits no plate and the holes drilled for
// it, the chain of setups, the rough casting, tapping in, and removing the invented job without
// losing what was added to it.
func TestWholeJob(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	gate := browsertest.NewGate(t)
	gate.To(office.Addr)
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	home := gate.URL() + "/"
	phone.Go(home)
	phone.WaitText("Load an invented job to look round")
	phone.Tap(`.demo-keys button`)
	phone.WaitText("Base to the plate")
	phone.Wait("the app is ready for offline", `navigator.serviceWorker && navigator.serviceWorker.controller !== null`)
	phone.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	phone.AtOffice()
	gate.Shut()

	id := func(kind, n string) string { return url.QueryEscape(kind + ":" + demo.Prefix + n) }
	shot := func(name string) {
		out := browsertest.Eval[string](phone, `document.documentElement.scrollWidth <= innerWidth ? "" : [...document.querySelectorAll("main *")]
			.filter((e) => e.getBoundingClientRect().right > innerWidth && !e.closest(".table-wrap")).map((e) => e.outerHTML.slice(0, 160)).slice(0, 3).join("; ")`)
		assert.Empty(t, out, "%s: this stands out of the screen", name)
		if *papers != "" {
			require.NoError(t, os.WriteFile(filepath.Join(*papers, "job-"+name+".png"), phone.Picture(), 0o644))
		}
	}
	see := func(name, selector string) {
		phone.Show(selector)
		shot(name)
	}
	match := `a[href*="sheet/match"][href*="` + id("feature", "06") + `"]`

	t.Run("which fixture takes it", func(t *testing.T) {
		phone.Go(home + "#/job/" + id("job", "01") + "?view=part")
		phone.WaitText("Before the cut")
		see("ahead", `section[aria-label="Before the cut"]`)
		phone.Tap(match)
		phone.WaitText("drill 2 x 1/2-13 in Demo angle plate F1")
		shot("match")
		phone.Tap(`.page-foot .go`)
		phone.WaitText("Kept under Pillow-block housing")
		see("drill", `section[aria-label^="Drilled"]`)
		phone.Tap(`section[aria-label^="Drilled"] .button.go`)
		phone.WaitText("The 2 holes stand in Demo angle plate.")
		phone.Tap(`section[aria-label^="Drilled"] a.button`)
		phone.TapText(`.page-foot a`, "Places")
		phone.WaitText("to take Housing, its place 2")
		for _, says := range []string{"H5", "H6", "1/2-13 UNC"} {
			phone.WaitText(says)
		}
		see("holes", `.place-list.only`)
		phone.Go(home + "#/job/" + id("job", "01") + "?view=part")
		phone.Tap(match)
		phone.Wait("the holes are there now", `document.querySelector(".headline span")?.textContent.startsWith("Demo angle plate F1")`)
		phone.Tap(`.page-foot .go`)
		phone.WaitText("The fixtures found")
		phone.Tap(`section[aria-label="The fixtures found"] a.link-card`)
		phone.TapText(`.page-foot a`, "Places")
		phone.WaitText("an older bracket, kept for stops")
	})

	t.Run("will it come out square", func(t *testing.T) {
		phone.Go(home + "#/job/" + id("job", "01") + "?view=part")
		phone.Tap(`a[href*="sheet/chain"]`)
		phone.WaitText("May not come out: .3 of 1 thou")
		phone.WaitText("Cap seat to Base face")
		phone.Tap(`.list-key[name="causes"]`)
		phone.Tap(`.strip .from`)
		phone.WaitText("head of set-up 1, plate of set-up 2, tram of set-up 2, plate of set-up 4; the rest assumed")
		shot("chain")
	})

	t.Run("does the rough clean up", func(t *testing.T) {
		phone.Go(home + "#/setup/" + id("setup", "01") + "?view=steps")
		phone.Tap(`a[href*="sheet/cleanup"]`)
		phone.WaitText("Cleans up: .075 at the thinnest")
		phone.Tap(`.page-foot .go`)
		see("cleanup", `section[aria-label="Keep in the setup what to set"]`)
		phone.Tap(`section[aria-label="Keep in the setup what to set"] .button.go`)
		phone.WaitText("Shims and steps are in 1 Bored side down")
		phone.Tap(`section[aria-label="Keep in the setup what to set"] a.button`)
		phone.WaitText("Shim .100 in under front right jack.")
		phone.WaitText("touch it off again: every coordinate and zero from before it was shimmed or turned is dead")
	})

	t.Run("tap it in", func(t *testing.T) {
		phone.Go(home + "#/setup/" + id("setup", "02"))
		phone.Tap(`a[href*="#/tap/"]`)
		phone.WaitText("Good enough: tighten, read again")
		phone.Wait("each tap so far", `document.querySelectorAll(".tap-chart .d-dot").length === 3`)
		shot("tapped")
		phone.TapText(`.page-foot a`, "Rounds")
		phone.TapText(`button`, "Begin anew")
		phone.WaitText("Read end A")
		phone.Tap(`#reading`)
		tapKeys(phone, "0", "next")
		phone.WaitText("Round 1: Reading at end B")
		tapKeys(phone, "6", "next")
		phone.WaitText("B end: tap back 6 thou")
		phone.Wait("the move and where it should land", `document.querySelector(".e-aim")?.textContent === "6" && !!document.querySelector(".c-hollow")`)
		shot("tapping")
		phone.Tap(`.hand.main`) // tapped: read it
		tapKeys(phone, "0", "next")
		phone.WaitText("Round 2: Reading at end B")
		tapKeys(phone, "2", "next")
		phone.WaitText("B end: tap back") // it has worked out how little the plate gives
		phone.Wait("the second tap is on the chart", `document.querySelectorAll(".tap-chart .d-dot").length === 2`)
		shot("told")
		phone.TapText(`.page-foot a`, "Rounds")
		phone.TapText(`button`, "Keep the sequence")
		phone.WaitText("Kept with the setup.")
		phone.Reload()
		phone.Wait("nothing of it was lost", `document.querySelectorAll("tbody tr").length === 2`)
		phone.TapText(`.page-foot a`, "Rounds")

		// A tap that did nothing is one touch, and so is taking that back.
		count := `document.querySelectorAll(".tap-chart .d-dot").length`
		phone.TapText(`.hand`, "It did not move")
		phone.WaitText("Kept as: it did not move.")
		phone.Wait("it has stuck", count+` === 3 && document.querySelector(".facts").textContent.includes("it stuck")`)
		phone.Tap(`.said .button`)
		phone.Wait("it is taken back", count+` === 2`)
	})

	t.Run("the head", func(t *testing.T) {
		phone.Go(home + "#/tap/" + id("setup", "03"))
		phone.WaitText("Tapping in")
		phone.Go(home + "#/tap/" + id("setup", "03") + "?view=more")
		phone.Tap(`label:has(input[name="tapin-mode"][value="head"])`)
		phone.Type(`#tapin-span`, "10")
		phone.Tap(`.keypad [data-key="close"]`)
		phone.TapText(`.page-foot a`, "More")
		for i, keys := range [][]string{{"3"}, {"1"}, {"sign", "1"}, {"1"}} {
			phone.WaitText("Round 1: Reading at " + []string{"right", "back", "left", "front"}[i])
			tapKeys(phone, append(keys, "next")...)
		}
		phone.Wait("what is turned", `!!document.querySelector(".first .sign") && !!document.querySelector(".drawing")`)
		t.Log(browsertest.Eval[string](phone, `document.querySelector(".headline span").textContent`))
		shot("head")
	})

	t.Run("nothing of one's own is lost", func(t *testing.T) {
		phone.Go(home + "#/files")
		phone.WaitText("Take the invented job out")
		phone.Tap(`.demo-keys button`)
		phone.WaitText("14 things you added under it stay on this phone")
		phone.WaitText("3 invented records you changed go to Deleted things")
		shot("removing")
		phone.Tap(`.demo-keys button`)
		phone.WaitText("89 invented records taken out.")
		phone.Go(home + "#/deleted")
		phone.WaitText("Demo angle plate")
		phone.Go(home + "#/find")
		phone.Type(`input[type="search"], #find`, "tapping")
		phone.Wait("they are found", `document.querySelectorAll("a.link-card").length > 0`)
		shot("found")
	})
}
