package main

import (
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// writer is a thumb that types words as well; each letter counts.
type writer struct {
	thumb
	letters int
}

// write taps a field and types words into it, as the phone's own keyboard does.
func (w *writer) write(selector, text string) {
	w.tap(selector)
	w.Type(selector, text)
	w.letters += len(text)
}

// TestFirstJob is the first job on a phone that knows nothing yet, up to its running setup, with no
// network from the second step on: a machine, an angle plate with two tapped holes typed in, a part.
// 40 taps, digits counted, and 40 letters at most.
func TestFirstJob(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	gate := browsertest.NewGate(t)
	gate.To(office.Addr)
	w := &writer{thumb: thumb{Browser: browsertest.Open(t, t.TempDir(), browsertest.Phone)}}
	w.Go(gate.URL() + "/")
	w.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	taps, letters := 0, 0
	part := func(name string, work func()) {
		t.Helper()
		work()
		t.Logf("%s: %d taps, %d letters", name, w.taps, w.letters)
		taps, letters = taps+w.taps, letters+w.letters
		w.taps, w.letters = 0, 0
	}
	part("new setup, machine", func() {
		w.tap(`.mill-idle .go`)
		gate.Shut()
		w.tap(`section[aria-label="On which machine?"] .pick-card:first-child`)
		w.Wait("it is chosen", `document.querySelector(".pick-card.on")?.innerText.includes("Turret mill")`)
	})
	part("fixture from stock", func() {
		w.tap(`section[aria-label="Held in what?"] .pick-card:last-child`, `.stock .pick-card.ready:first-child`, `.sizes .button:nth-child(3)`)
		w.Wait("its record", `document.querySelector("h1").innerText.includes("Angle plate 16 x 12 x 10")`)
	})
	part("two tapped holes", func() {
		for i, hole := range [][]string{{"sign", "3", ".", "2", "5"}, {"3", ".", "2", "5"}} {
			w.tap(`.page-foot .go`, `#place-x`)
			w.keys(hole...)
			w.keys("next", "8", "next", "size 1/2-13")
			if i == 0 {
				assert.Equal(t, "-3.25", browsertest.Eval[string](w.Browser, `document.querySelector("#place-x").value`))
			}
			w.tap(`.page-foot .go`)
			w.Wait("it stands on the plate", `location.hash.startsWith("#/record/") && document.querySelectorAll("[data-place]").length === `+string(rune('1'+i)))
		}
		w.tap(`.foot-links .go`)
		w.Wait("all is chosen still", `document.querySelectorAll(".pick-card.on").length > 1 && [...document.querySelectorAll(".pick-card.on")].slice(0, 2).every((c, i) => c.innerText.includes(["Turret mill", "Angle plate 16"][i]))`)
	})
	part("the part, and it runs", func() {
		w.write(`#begin-part`, "pump bracket")
		w.tap(`.page-foot .go`)
		w.Wait("the setup's page", `location.hash.startsWith("#/setup/")`)
	})
	t.Logf("first job to running setup: %d taps of 40, %d letters of 40", taps, letters)
	assert.LessOrEqual(t, taps, 40)
	assert.LessOrEqual(t, letters, 40)

	w.Go(gate.URL() + "/")
	w.Wait("it runs", `document.querySelector(".running-name")?.innerText.includes("1 Angle plate 16 x 12 x 10")`)
	// It is all there once the network is.
	gate.Open()
	of := map[string]officeRecord{}
	require.Eventually(t, func() bool {
		for _, r := range atOffice(t, office) {
			of[r.Doc.Type] = r
		}
		return len(of) == 5
	}, time.Minute, 50*time.Millisecond, "job, part, machine, fixture and setup reach the office")
	setup := of["setup"]
	assert.Equal(t, []string{"1", of["job"].ID, of["part"].ID, of["machine"].ID, of["fixture"].ID},
		[]string{setup.says("order"), setup.says("job"), setup.says("part"), setup.says("machine"), setup.says("fixture")})
	assert.Equal(t, "pump bracket", of["job"].says("name"))
	assert.Equal(t, "pump bracket", of["part"].says("name"))
	assert.NotEmpty(t, setup.says("when"))
	assert.Equal(t, "1-1/4 in", of["fixture"].says("thick"))
	holes := 0
	for key, edits := range of["fixture"].Doc.F {
		if strings.HasPrefix(key, "holes#") {
			holes++
			assert.Regexp(t, `"name":"A[12]".*"thread":"1/2-13"`, string(edits))
		}
	}
	assert.Equal(t, 2, holes)
}

// TestNewSetup: from a job's page all is chosen; a metal and a part made on the way are taken up where
// they were wanted; More brings what was chosen into the whole form; the new setup says what the one
// before it says that still holds.
func TestNewSetup(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	h.Go("http://" + office.Addr + "/")
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	h.loadDemo()
	job := "#/job/" + url.QueryEscape(demoID("job", 1))
	h.open(job)
	h.touch(`.page-foot .go`, "New setup")
	h.Wait("three are chosen", `document.querySelectorAll(".pick-card.on").length === 3`)
	h.Wait("what runs it", `document.querySelector(".page-foot .go").innerText === "Run setup 5"`)
	h.touch(`section[aria-label="Held in what?"] .pick-card`, "others")
	h.touch(`.pick-card`, "On the table")
	h.Wait("it is chosen", `[...document.querySelectorAll(".pick-card.on")].some((c) => c.innerText.includes("On the table"))`)

	h.part("a part with a metal, both new", func() {
		h.touch(`.page-foot a`, "New card")
		h.touch(`.pick-card`, "Part")
		h.fill("rec-", "name", "Spacer", "long", "4")
		h.touch(`a.chip`, "New material")
		h.touch(`.pick-card.ready`, "Grey iron")
		h.touch(`.sizes .button`, "class 30")
		h.Wait("the part's form has it", `document.querySelector("#rec-material")?.selectedOptions[0].text === "Grey iron class 30" && document.querySelector("#rec-name").value === "Spacer"`)
		h.keep("Spacer")
		h.Wait("it is chosen, and the table still", `["On the table", "Spacer"].every((name) => [...document.querySelectorAll(".pick-card.on")].some((c) => c.innerText.includes(name)))`)
	})
	h.part("the whole form", func() {
		h.touch(`.page-foot button`, "More")
		h.Wait("the form", `document.querySelector("#rec-part")?.selectedOptions[0].text === "Spacer" && document.querySelector("#rec-order").value === "5"`)
		h.Wait("the zero is handed on", `document.querySelector("#rec-datum").value.startsWith("From 4 ")`)
		h.touch(`.back`, "")
	})
	h.Wait("as it was left", `document.querySelectorAll(".pick-card.on").length === 3 && document.querySelector(".pick-card.on span").innerText !== ""`)
	h.touch(`.page-foot .go`, "Run setup 5")
	h.Wait("the setup's page", `location.hash.startsWith("#/setup/")`)
	setup := func(order string) officeRecord {
		var out officeRecord
		require.Eventually(t, func() bool {
			for _, r := range atOffice(t, office) {
				if r.Doc.Type == "setup" && r.says("order") == order {
					out = r
				}
			}
			return out.ID != ""
		}, time.Minute, 50*time.Millisecond, "setup %s reaches the office", order)
		return out
	}
	made := setup("5")
	assert.Contains(t, made.says("datum"), "From 4 ")
	assert.Equal(t, setup("4").says("machine"), made.says("machine"))
	assert.Empty(t, made.says("fixture"))
	assert.Equal(t, "On the table", made.says("name"))

	h.part("the job again", func() {
		h.open(job)
		h.touch(`.page-foot a`, "Card")
		h.touch(`a.button`, "Repeat the job")
		h.Wait("its name", `!!document.querySelector("#repeat-name")?.value`)
		h.write("#repeat-name", " 2")
		h.touch(`form [type=submit]`, "Repeat it")
		h.Wait("the new job", `!document.querySelector("#repeat-name") && document.querySelectorAll(".link-list li").length >= 5 && document.body.innerText.includes("planned · 0 of 7 ticked")`)
	})
}
