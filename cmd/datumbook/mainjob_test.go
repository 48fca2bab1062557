package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// keyIn types a number or a size into a field with the keys of the app's own keypad.
func (h hand) keyIn(selector, text string) {
	h.t.Helper()
	h.Tap(selector)
	h.Wait("the keypad is open on "+selector, `!!document.querySelector(".keypad") && document.activeElement === document.querySelector(`+strconv.Quote(selector)+`)`)
	for i, c := range text {
		h.Tap(`.keypad [data-key="` + string(c) + `"]`)
		h.Wait("the key was taken", fmt.Sprintf(`document.querySelector(%q).value === %q`, selector, text[:i+1]))
	}
	h.Tap(`.keypad [aria-label="Close the keypad"]`)
	h.Wait("the keypad is gone", `!document.querySelector(".keypad")`)
}

// pick touches one option of a choice by its key.
func (h hand) pick(name, option string) {
	h.t.Helper()
	h.Tap(fmt.Sprintf(`label:has(> input[name=%q][value=%q])`, name, option))
	h.Wait(name+" took "+option, fmt.Sprintf(`document.querySelector('input[name="%s"][value="%s"]').checked`, name, option))
}

// write types words, as the phone's own keyboard does.
func (h hand) write(selector, words string) {
	h.t.Helper()
	h.Tap(selector)
	h.Type(selector, words)
}

// keep keeps a record's form and waits until it says so.
func (h hand) keep(name string) {
	h.t.Helper()
	h.touch(`.rec-form button[type=submit]`, "Keep it")
	h.Wait(name+" is kept", fmt.Sprintf(`!document.querySelector(".rec-form") && document.body.innerText.includes(%q)`, name))
}

// fill fills in fields of a form: sizes by the app's keypad, choices by touch, all else as words.
func (h hand) fill(prefix string, answers ...string) {
	h.t.Helper()
	for i := 0; i < len(answers); i += 2 {
		id, text := prefix+answers[i], answers[i+1]
		h.Wait(id+" is asked", fmt.Sprintf(`!!document.getElementById(%q) || !!document.querySelector('input[name="%s"]')`, id, id))
		if h.has(`input[type=radio][name="` + id + `"]`) {
			h.pick(id, text)
		} else if h.has(`[id="` + id + `"][data-pad]`) {
			h.keyIn(`[id="`+id+`"]`, text)
		} else {
			h.write(`[id="`+id+`"]`, text)
		}
	}
}

func (h hand) has(selector string) bool {
	h.t.Helper()
	return browsertest.Eval[bool](h.Browser, `!!document.querySelector(`+strconv.Quote(selector)+`)`)
}

// row adds a row to a table, whose section may be folded, and fills in its fields.
func (h hand) row(section, table string, answers ...string) {
	h.t.Helper()
	if folded := "details:not([open]) > summary"; browsertest.Eval[bool](h.Browser, fmt.Sprintf(`[...document.querySelectorAll(%q)].some((s) => s.textContent.includes(%q))`, folded, section)) {
		h.touch(folded, section)
	}
	h.Wait("the table "+table, fmt.Sprintf(`(() => {
		const one = [...document.querySelectorAll("fieldset.rows")].find((f) => f.querySelector("legend").textContent === %q);
		const add = [...(one?.querySelectorAll(".chips .chip") ?? [])].at(-1);
		if (!add) return false;
		document.querySelectorAll("[data-add]").forEach((e) => e.removeAttribute("data-add"));
		add.setAttribute("data-add", "yes");
		return true;
	})()`, table))
	h.Tap(`[data-add]`)
	h.fill("rec-"+strings.ToLower(table)+"-", answers...)
}

// TestMainJob does the main job on a phone by touch alone, with what `task run` serves: a part with
// its slots, an angle plate with its holes and slots, which fixture takes the part, the missing
// hole planned, and everything kept. After a reload with no network it is found again.
func TestMainJob(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	gate := browsertest.NewGate(t)
	gate.To(office.Addr)
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	h.Go(gate.URL() + "/")
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	h.AtOffice()

	h.part("the fixture", func() {
		h.touch(`.bar a`, "Shop")
		h.touch(`a.link-card`, "Fixtures")
		h.touch(`a.button.go`, "fixture")
		h.touch(`.pick-card`, "another")
		h.fill("rec-", "name", "Plate four", "kind", "angle", "thick", "1-1/2")
		h.Tap(".more-fields")
		h.row("Its face", "Faces", "face", "upright", "wide", "20", "high", "16", "left", "-10", "bottom", "-8")
		h.row("Its face", "Slots", "name", "S1", "face", "upright",
			"x", "0", "y", "5", "wide", "9/16", "long", "6", "runs", "x", "kind", "through")
		h.row("Its face", "Holes", "name", "A1", "face", "upright",
			"x", "-4", "y", "0", "kind", "tapped", "thread", "1/2-13", "why", "left end of the bearing stand")
		h.keep("Plate four")
	})
	h.part("the job and its part", func() {
		h.open("#/jobs")
		h.touch(`a`, "New job")
		h.fill("rec-", "name", "Bearing stand")
		h.keep("Bearing stand")
		h.touch(`.page-foot a`, "Part")
		h.touch(`a.button`, "Add the part")
		h.fill("rec-", "name", "Stand casting")
		h.keep("Stand casting")
		h.touch(`.page-foot a`, "Part")
		h.touch(`a.button`, "Add a face, hole or bore")
		h.Tap(".more-fields")
		h.fill("rec-", "name", "Foot slots", "kind", "slot", "face", "foot", "x", "4", "y", "0", "long", "1", "wide", "9/16", "runs", "x", "bolt", "1/2-13")
		h.row("", "The same again at")
		h.fill("rec-also-", "x", "-4", "y", "0")
		h.keep("Foot slots")
	})
	h.part("which fixture takes it", func() {
		h.touch(`.page-foot a`, "Part")
		h.touch(`a[href*="sheet/match"]`, "")
		h.WaitText("drill 1 x 1/2-13 in Plate four")
		h.WaitText("an old one serves")
		h.touch(`.page-foot .go`, "Keep")
		h.WaitText("Kept under Bearing stand")
	})
	h.part("the hole planned", func() {
		h.touch(`.back`, "") // from what Keep offers
		h.Wait("the drawing", `!!document.querySelector(".view-board")`)
		h.touch(`.back`, "")
		h.open("#/")
		h.touch(`a[href="#/stage/holes"]`, "")
		h.touch(`a[href*="sheet/hole"]`, "")
		h.Wait("the drawing", `!!document.querySelector("#hole-thread")`)
		h.keyIn("#hole-thread", "1/2-13")
		h.keyIn("#hole-stock", "1-1/2")
		h.WaitText("27/64")
		keepUnder(h.Browser, "Bearing stand", "right end, drilled with the plate flat")
		require.Eventually(t, func() bool {
			return slices.ContainsFunc(atOffice(t, office), func(r officeRecord) bool { return r.says("worksheet") == "hole" })
		}, time.Minute, 50*time.Millisecond, "the plan reaches the office")
	})
	h.part("found again with no network", func() {
		gate.Shut()
		h.Go(gate.URL() + "/")
		h.open("#/find")
		h.Wait("all was read", `document.querySelector(".find")?.dataset.whole === "yes"`)
		h.write("#find", "left end of the bearing stand")
		h.touch(`.hits .link-card`, "Plate four")
		h.WaitText("left end of the bearing stand")
		h.open("#/jobs")
		h.touch(`a.link-card`, "Bearing stand")
		h.touch(`.page-foot a`, "Worked out")
		h.WaitText("right end, drilled with the plate flat")
		h.touch(`.kept-line a`, "1/2-13")
		h.WaitText("27/64")
	})

	// What was touched is what the office has.
	of := map[string]officeRecord{}
	for _, r := range atOffice(t, office) {
		of[r.Doc.Type+" "+r.says("name")+r.says("worksheet")] = r
	}
	plate := of["fixture Plate four"]
	assert.Equal(t, "1-1/2", plate.says("thick"))
	row := func(r officeRecord, table string) map[string]any {
		for key, edits := range r.Doc.F {
			var all []struct{ V map[string]any }
			if strings.HasPrefix(key, table+"#") && assert.NoError(t, json.Unmarshal(edits, &all)) && assert.Len(t, all, 1) {
				return all[0].V
			}
		}
		return nil
	}
	assert.Equal(t, map[string]any{"name": "A1", "face": "upright", "x": "-4", "y": "0", "kind": "tapped", "thread": "1/2-13",
		"why": "left end of the bearing stand"}, row(plate, "holes"))
	assert.Equal(t, map[string]any{"name": "S1", "face": "upright", "x": "0", "y": "5", "wide": "9/16", "long": "6", "runs": "x",
		"kind": "through"}, row(plate, "slots"))
	assert.Equal(t, map[string]any{"x": "-4", "y": "0"}, row(of["feature Foot slots"], "also"))
	assert.Contains(t, of, "kept match")
	assert.Contains(t, of, "kept hole")
	assert.Len(t, of, 6, "each thing once")
}
