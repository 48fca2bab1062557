package main

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// idleAtMill are the words of a screen of the mill that are not the name of a key, a record, a place
// or a view, nor the headline and its facts, as wordsBeside counts them for the worksheets.
const idleAtMill = `(() => {
	const own = ".hand, .small-key, .step-name, .spots, .edge-drawing, .page-foot, .chip, .key, .top, .first, .unseen, select, option, [data-name]";
	const out = [];
	const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
	for (let n; (n = walk.nextNode()); ) {
		const e = n.parentElement;
		if (e.closest(own) || !e.getClientRects().length) continue;
		out.push(...n.data.split(/\s+/).filter((w) => /[a-z]{2}/i.test(w)));
	}
	return out;
})()`

// coveredKeys are the keys of a screen that its foot or the edge of the screen covers in part.
const coveredKeys = `(() => {
	const low = document.querySelector(".page-foot").getBoundingClientRect().top;
	return [...document.querySelectorAll("main .hand, main .small-key, main .spot-key")]
		.filter((e) => e.getBoundingClientRect().bottom > low + 0.5).map((e) => e.textContent);
})()`

// atStep waits for a step of a setup's page.
func atStep(h *thumb, name string) {
	h.Wait("the step "+name, `document.querySelector(".at-mill .step-name")?.textContent === `+strconv.Quote(name))
}

// TestAtTheMill shows the running setup, its readings and its indicating in within one screenful of
// 360 x 740, none of them wider than 320 px there; a reading, a photo and a note are counted in taps
// from the setup's page.
func TestAtTheMill(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := &thumb{Browser: browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	home := "http://" + office.Addr + "/"
	h.Go(home)
	h.WaitText("Load an invented job to look round")
	h.Tap(`.demo-keys button`)
	h.WaitText("Base to the plate")
	h.AtOffice()
	setup := inDemo("setup", "02")
	to := func(page string) {
		t.Helper()
		browsertest.Eval[bool](h.Browser, `(location.hash = `+strconv.Quote(page)+`, true)`)
	}

	narrow := browsertest.Screen{Width: 320, Height: 640, Scale: 1, Touch: true}
	for _, page := range []struct{ name, hash, till string }{
		{"setup", "#/setup/" + setup, `document.querySelector(".step-name")?.textContent === "Tighten, and read again" && document.querySelectorAll(".small-key").length === 3`},
		{"planned", "#/setup/" + inDemo("setup", "03"), `document.querySelector(".step-name")?.textContent === "Face the cap seat" && !!document.querySelector(".hand.go")`},
		{"done", "#/setup/" + inDemo("setup", "01"), `document.querySelector(".step-at")?.textContent.includes("Done")`},
		{"readings", "#/readings/" + setup, `document.querySelectorAll(".spot-key").length === 4 && !!document.querySelector(".first .sign")`},
		{"indicating", "#/tap/" + setup, `document.querySelectorAll(".tap-chart .d-dot").length === 3`},
		{"steps", "#/setup/" + setup + "?view=steps", `document.querySelectorAll(".ticks li").length === 7`},
		{"all readings", "#/setup/" + setup + "?view=readings", `document.querySelectorAll(".read-line").length > 8`},
		{"sits", "#/setup/" + setup + "?view=sits", `document.querySelectorAll(".facts").length > 2`},
		{"rounds", "#/tap/" + setup + "?view=rounds", `document.querySelectorAll("tbody tr").length === 3`},
	} {
		to(page.hash)
		h.Wait(page.name, page.till)
		browsertest.Eval[bool](h.Browser, `(document.activeElement?.blur(), scrollTo(0, 0), true)`)
		h.Wait("the keypad is closed", `!document.querySelector(".keypad") && !document.documentElement.dataset.padOpen`)
		high := browsertest.Eval[float64](h.Browser, `document.documentElement.scrollHeight / innerHeight`)
		idle := browsertest.Eval[[]string](h.Browser, idleAtMill)
		h.Resize(narrow)
		wide := browsertest.Eval[float64](h.Browser, `document.documentElement.scrollWidth`)
		h.Resize(browsertest.Phone)
		assert.LessOrEqual(t, wide, 320.0, page.name)
		if strings.Contains(page.hash, "view=") {
			t.Logf("%-12s %.2f screenfuls, %.0f of 320 px", page.name, high, wide)
			continue
		}
		t.Logf("%-12s %.2f of 1.0 screenfuls, %.0f of 320 px, %d of 12 words %v", page.name, high, wide, len(idle), idle)
		assert.LessOrEqual(t, high, 1.001, page.name)
		assert.Empty(t, browsertest.Eval[[]string](h.Browser, coveredKeys), page.name)
		assert.LessOrEqual(t, len(idle), 12, "%s: %s", page.name, strings.Join(idle, " "))
	}

	to("#/setup/" + setup)
	atStep(h, "Tighten, and read again")
	value := func(place string) string {
		return `[...document.querySelectorAll(".spot-key")].find((e) => e.querySelector("small").textContent === ` + strconv.Quote(place) + `)?.querySelector("b").textContent`
	}
	h.budget(t, "three readings from the setup, the first of them +1", 8, func() {
		h.tap(`.hand.main`)
		h.Wait("the keypad is open", `!!document.querySelector(".keypad")`)
		h.keys("1", "next", "2", "next", "same")
		h.Wait("the third is like the second", value("right middle")+` === "+2"`)
		h.keys("undo")
		h.WaitText("right middle +2 thou taken back.")
		h.Wait("the place is open again", value("right middle")+` !== "+2"`)
	})
	// A place that is not in the row: its name and how far along.
	h.tap(`.keypad [data-key="place"]`)
	h.Type(`#place-name`, "rib")
	h.Type(`#place-x`, "8")
	h.TapText(`.place-form .button`, "Use this place")
	h.Wait("it is next, the last from the left", `document.querySelector(".spot-key.end.now small")?.textContent === "rib"`)
	h.Wait("the keypad asks for it", `document.querySelector(".pad-label")?.textContent.includes("rib")`)
	h.keys("close")
	h.Tap(`.top .back`)
	atStep(h, "Tighten, and read again")

	h.budget(t, "a photo from the setup", 1, func() {
		// The camera's own field is what the key opens: it is one touch, and the picture comes.
		assert.Equal(t, "environment", browsertest.Eval[string](h.Browser, `document.querySelector(".hand-keys input[type=file]").getAttribute("capture")`))
		browsertest.Eval[bool](h.Browser, `(document.querySelector(".hand-keys input[type=file]").addEventListener("click", (e) => { e.preventDefault(); window.camera = true; }), true)`)
		h.tap(`.hand.main + .take-photo .hand`)
		h.Wait("the camera is asked", `window.camera === true`)
	})
	h.Do("the picture", chromedp.SetUploadFiles(chromedp.CSS(`.hand-keys input[type=file]`), []string{casting(t)}, chromedp.NodeReady))
	h.WaitText("Photo kept on this phone.")
	h.budget(t, "a note from the setup", 1, func() {
		h.tap(`a.hand[href*="#/note/"]`)
		h.Wait("the keyboard may type", `document.activeElement?.tagName === "TEXTAREA"`)
	})
	// Dictated, and the page goes before the phone's keyboard has ended it.
	browsertest.Eval[bool](h.Browser, `((e) => {
		for (const [type, text] of [["insertFromDictation", "nuts"],
			["insertCompositionText", "nuts too"], ["insertReplacementText", "nuts to"]]) {
			e.dispatchEvent(new CompositionEvent("compositionstart", { bubbles: true }));
			e.value = text;
			e.dispatchEvent(new InputEvent("input", { bubbles: true, inputType: type, data: text, isComposing: true }));
		}
		return true;
	})(document.activeElement)`)
	h.Reload()
	h.Wait("what was dictated is there", `document.querySelector("textarea")?.value === "nuts to"`)
	h.Type(`textarea`, " 30")
	h.TapText(`form button`, "Keep the note")
	h.WaitText("Note kept.")
	atStep(h, "Tighten, and read again")
	// The watch of a pass was started 252 seconds ago, by another run of the page.
	h.budget(t, "a pass timed", 2, func() {
		h.tap(`.hand.watch`)
		h.Wait("it runs", `!!document.querySelector(".hand.watch.on")`)
		browsertest.Eval[bool](h.Browser, `((all) => {
			for (const one of Object.values(all)) Object.assign(one, { at: one.at - 252000, run: 1 });
			return (localStorage["datumbook.passes"] = JSON.stringify(all)), true;
		})(JSON.parse(localStorage["datumbook.passes"]))`)
		h.Reload()
		h.Wait("it runs on", `/^4:1\d$/.test(document.querySelector(".hand.watch.on b")?.textContent)`)
		h.tap(`.hand.watch`)
	})
	h.Wait("kept with the step", `/pass 4\.\d+ min/.test(document.querySelector(".step-facts")?.textContent)`)
	h.TapText(`.said button`, "Undo")
	h.Wait("it runs as before", `!!document.querySelector(".hand.watch.on") &&
		!document.querySelector(".step-facts").textContent.includes("pass")`)
	// A start that cannot be is told, and the time typed instead.
	browsertest.Eval[bool](h.Browser, `(localStorage["datumbook.passes"] =
		localStorage["datumbook.passes"].replace(/"at":\d+/, '"at":9e15'), true)`)
	h.tap(`.hand.watch`)
	h.WaitText("clock was set back")
	h.Type(`#took`, "3.5")
	h.TapText(`.watch-typed button`, "Keep it")
	h.Wait("what was typed is kept", `document.querySelector(".step-facts")?.textContent.includes("pass 3.5 min") &&
		!document.querySelector(".hand.watch.on")`)
	h.budget(t, "a step done", 1, func() {
		h.tap(`.hand.watch + .hand`)
		atStep(h, "Face the flange")
	})
	h.Wait("what the step is cut with, as its main key", `document.querySelector(".hand.main")?.getAttribute("href")?.includes("sheet/facing")`)
	h.TapText(`.said button`, "Undo")
	atStep(h, "Tighten, and read again")
}

// onReadings opens the readings of a setup that has none yet.
func onReadings(t *testing.T) hand {
	t.Helper()
	office := browsertest.StartOffice(t, t.TempDir())
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	h.Go("http://" + office.Addr + "/")
	h.loadDemo()
	h.open("#/readings/" + inDemo("setup", "04"))
	h.Wait("the keypad is open", `!!document.querySelector(".keypad")`)
	return h
}

// TestReadingSlip: a bare number that no indicator reads in thousandths is asked about; as a size it
// waits at a place for sizes, as it was typed it is kept in thou.
func TestReadingSlip(t *testing.T) {
	t.Parallel()
	h := onReadings(t)
	asked := `document.querySelector(".headline span")?.textContent === `
	count := `document.querySelectorAll(".spot-key:not(.open)").length`
	before := browsertest.Eval[int](h.Browser, count)
	tapKeys(h.Browser, "1", "1", ".", "0", "0", "2", "next")
	h.Wait("it is asked about", asked+`"11.002 thou? Or 11.002 in?"`)
	h.Wait("nothing is kept", count+` === `+strconv.Itoa(before))
	h.TapText(".slip-keys button", "11.002 in")
	waits := `document.querySelector("#when")?.value === "size" && document.querySelector("#reading").value === "11.002 in"`
	h.Wait("it is a size, not kept yet", waits)
	h.Reload()
	h.Wait("a size also after a reload", waits+` && !!document.querySelector(".keypad")`)
	tapKeys(h.Browser, "next")
	h.WaitText("Size 11.002 in kept.")
	h.Wait("a needle is read next", `document.querySelector("#when").value !== "size" && document.querySelector("#reading").value === ""`)
	browsertest.Eval[bool](h.Browser, `(document.querySelector(".said p").click(), true)`)
	tapKeys(h.Browser, "0", ".", "1", "2", "5", "next")
	h.Wait("it is asked about", asked+`"0.125 thou? Or 0.125 in?"`)
	h.TapText(".slip-keys button", "0.125 thou") // as it was typed
	h.Wait("it is kept in thou", `[...document.querySelectorAll(".spot-key b")].some((b) => b.textContent === "+0.125")`)
	h.Wait("the keypad is there for the next", `!!document.querySelector(".keypad") && document.querySelector("#reading").value === ""`)

	// In gloves the keypad gives way to the question, and comes back.
	browsertest.Eval[bool](h.Browser, `(localStorage["datumbook.prefs"] = '{"glove":true}', true)`)
	h.Reload()
	h.Wait("the keys of gloves", `document.documentElement.dataset.glove === "yes" && !!document.querySelector(".keypad")`)
	tapKeys(h.Browser, "1", ".", "0", "2", "5", "next")
	h.Wait("it is asked about", asked+`"1.025 thou? Or 1.025 in?"`)
	h.Wait("its keys are free", `!document.querySelector(".keypad")`)
	h.TapText(".slip-keys button", "1.025 thou")
	h.Wait("it is kept", `[...document.querySelectorAll(".spot-key b")].some((b) => b.textContent === "+1.025")`)
	h.Wait("and the keypad is back", `!!document.querySelector(".keypad")`)
}

// TestManyPlaces reads eight places: the row moves, its first and last stay, and the one that is
// typed into is in sight.
func TestManyPlaces(t *testing.T) {
	t.Parallel()
	h := onReadings(t)
	for i := range 3 {
		n := strconv.Itoa(i + 1)
		h.Wait("place "+n, `document.querySelector(".spot-key.now small")?.textContent === "`+n+`" && document.querySelector("#reading").value === ""`)
		tapKeys(h.Browser, n, "next")
	}
	// The others by a gauge and a scanner: while the field has the focus the keypad gives way to the first
	// key; none is lost in the haste, and what is no reading is told and not taken.
	h.gauge("+0.0012")
	h.Wait("the keypad has closed", `!document.querySelector(".keypad")`)
	h.sends("0,5mm", "Tab")
	h.gauge("-2")
	at := func(place, value string) {
		t.Helper()
		h.Wait(place+" is "+value, `[...document.querySelectorAll(".spot-key")]
			.find((e) => e.querySelector("small").textContent === "`+place+`")?.querySelector("b").textContent === "`+value+`"`)
	}
	at("4", "+0.0012 in")
	at("5", "+0.5 mm")
	at("6", "-2")
	h.gauge("4006381333931")
	h.WaitText("“4006381333931” is no reading and was not taken.")
	browsertest.Eval[bool](h.Browser, `(document.activeElement.blur(), true)`)
	h.gauge("A12-0047")
	h.WaitText("“A12-0047” is no reading and was not taken.")
	h.gauge("+3")
	h.gauge("-.5")
	at("7", "+3")
	at("8", "-.5")
	assert.False(t, browsertest.Eval[bool](h.Browser, `!!document.querySelector(".keypad")`))
	h.Wait("eight are read", `document.querySelectorAll(".spot-key:not(.open)").length === 8`)
	inside := `((r) => r.left >= -1 && r.right <= innerWidth + 1)`
	h.Wait("first and last are in sight", `[...document.querySelectorAll(".spot-key")].filter((e, i, all) => i === 0 || i === all.length - 1).every((e) => `+inside+`(e.getBoundingClientRect()))`)
	h.Wait("and what is typed into", inside+`(document.querySelector(".spot-field").getBoundingClientRect())`)
	assert.LessOrEqual(t, browsertest.Eval[float64](h.Browser, `document.documentElement.scrollWidth`), 360.0)
}
