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
		phone.Go(home + "#/job/" + id("job", "01"))
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
		phone.WaitText("to take Housing, its place 2")
		for _, says := range []string{"H5", "H6", "1/2-13 UNC", "Pillow-block housing"} {
			phone.WaitText(says)
		}
		see("holes", `.table-wrap[aria-label="Holes"]`)
		phone.Go(home + "#/job/" + id("job", "01"))
		phone.Tap(match)
		phone.Wait("the holes are there now", `document.querySelector(".headline span")?.textContent.startsWith("Demo angle plate F1")`)
		phone.Tap(`.page-foot .go`)
		phone.WaitText("The fixtures found")
		phone.Tap(`section[aria-label="The fixtures found"] a.link-card`)
		phone.WaitText("an older bracket, kept for stops")
	})

	t.Run("will it come out square", func(t *testing.T) {
		phone.Go(home + "#/job/" + id("job", "01"))
		phone.Tap(`a[href*="sheet/chain"]`)
		phone.WaitText("May not come out: .3 of 1 thou")
		phone.WaitText("Cap seat to Base face")
		phone.Tap(`.list-key[name="causes"]`)
		phone.Tap(`.strip .from`)
		phone.WaitText("head of set-up 1, plate of set-up 2, tram of set-up 2, plate of set-up 4; the rest assumed")
		shot("chain")
	})

	t.Run("does the rough clean up", func(t *testing.T) {
		phone.Go(home + "#/setup/" + id("setup", "01"))
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
		phone.Wait("the sequence", `[...document.querySelectorAll("button")].some((b) => b.textContent === "Begin anew")`)
		phone.WaitText("In line: nothing you could read over 12 in")
		shot("tapped")
		browsertest.Eval[bool](phone, `([...document.querySelectorAll("button")].find((b) => b.textContent === "Begin anew").click(), true)`)
		phone.WaitText("Read both ends; then it says what to move.")
		phone.Tap(`#reading`)
		tapKeys(phone, "0", "next")
		phone.WaitText("Round 1: Reading at end B")
		tapKeys(phone, "6", "next")
		phone.WaitText("Tap end B 6 thou away from the indicator")
		phone.WaitText("Moved as told")
		shot("tapping")
		tapKeys(phone, "0", "next")
		phone.WaitText("Round 2: Reading at end B")
		tapKeys(phone, "2", "next")
		phone.WaitText("Round 3: Reading at end A")
		phone.WaitText("Out of line by 2 thou") // it has worked out how little the plate gives
		phone.Tap(`.keypad [aria-label="Close the keypad"]`)
		see("told", `section[aria-label="Next move"]`)
		browsertest.Eval[bool](phone, `([...document.querySelectorAll("button")].find((b) => b.textContent.startsWith("Keep the sequence")).click(), true)`)
		phone.WaitText("Kept with the setup.")
		phone.Reload()
		phone.WaitText("Round 3: Reading at end A") // nothing of it was lost
	})

	t.Run("the head", func(t *testing.T) {
		phone.Go(home + "#/tap/" + id("setup", "03"))
		phone.WaitText("Tapping in")
		phone.TapText(`summary`, "How it is done")
		phone.Tap(`label:has(input[name="tapin-mode"][value="head"])`)
		phone.Type(`#tapin-span`, "10")
		phone.Type(`#reading`, "3")
		for _, value := range []string{"1", "-1", "1"} {
			phone.Tap(`.take button[type=submit]`)
			phone.Wait("it is taken", `document.querySelector("#reading").value === ""`)
			phone.Type(`#reading`, value)
		}
		phone.Tap(`.take button[type=submit]`)
		phone.WaitText("Swing the top of the head to the left")
		see("head", `section[aria-label="Next move"]`)
	})

	t.Run("nothing of one's own is lost", func(t *testing.T) {
		phone.Go(home + "#/job/" + id("job", "01"))
		phone.WaitText("Take the invented job out")
		phone.Tap(`.demo-keys button`)
		phone.WaitText("12 things you added under it stay on this phone")
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
