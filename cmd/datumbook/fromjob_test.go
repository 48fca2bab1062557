package main

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// given are the texts that stand in the boxes of a page, by input, and where they came from.
func givenOn(b *browsertest.Browser) map[string]string {
	return browsertest.Eval[map[string]string](b, `Object.fromEntries([...document.querySelectorAll(".bx input, .bx select")]
		.filter((e) => e.value).map((e) => [e.name, e.value]))`)
}

const (
	keepKey  = `.page-foot .go:not(:disabled)`
	keptKey  = `document.querySelector(".page-foot .go")?.textContent === "Kept"`
	saidUndo = `.said button`
)

// sheetOn opens a worksheet and waits until it says something.
func sheetOn(b *browsertest.Browser, address string) {
	b.Go(address)
	b.Wait("the page says something", `!!document.querySelector(".headline span")?.textContent`)
	browsertest.Eval[bool](b, `(document.activeElement?.blur(), true)`)
}

// putIn puts a text in place of what stands in a field.
func putIn(b *browsertest.Browser, selector, text string) {
	b.Wait("the field "+selector, `!!document.querySelector(`+"`"+selector+"`"+`)`)
	browsertest.Eval[bool](b, `(() => { const e = document.querySelector(`+"`"+selector+"`"+`); e.value = `+strconv.Quote(text)+`;
		e.dispatchEvent(new Event(e.tagName === "SELECT" ? "change" : "input", { bubbles: true })); return true; })()`)
}

// TestFromRunningSetup opens worksheets while the invented job's second setup runs: the boxes hold what
// the job knows, a touch tells where from, one touch keeps the answer in the setup with what it says
// of the records, and Undo takes all of it back.
func TestFromRunningSetup(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	home := "http://" + office.Addr + "/"
	phone.Go(home)
	phone.Tap(`.demo-keys button`)
	phone.WaitText("Tighten, and read again") // the next step
	setup := home + "#/setup/" + inDemo("setup", "02")
	record := func(kind, n string) string { return home + "#/record/" + inDemo(kind, n) }

	// Will it stay: fixture, part and bolts are known, and only the cut is asked.
	sheetOn(phone, home+"#/sheet/hold")
	phone.Wait("the job's numbers", `!!document.querySelector(".bx .from")`)
	given := givenOn(phone)
	assert.Equal(t, "96", given["weight"])
	assert.Equal(t, "1/2-13", given["thread"])
	phone.Tap(`.bx:has(.from) input`)
	phone.Wait("where it came from", `/Demo angle plate|Housing|Base face|Base to the plate/.test(document.querySelector(".pad-label")?.textContent)`)
	phone.Tap(`.keypad [aria-label="Close the keypad"]`)
	headline := browsertest.Eval[string](phone, `document.querySelector(".headline span").textContent`)
	require.Equal(t, "How hard a cut?", headline, "%v", given)
	assert.Equal(t, []string{"5/8", "30"}, []string{given["depth"], given["torque"]}, "what bears, and how tight")
	phone.Tap(keepKey)
	phone.WaitText("Kept under Pillow-block housing")
	phone.Wait("it says so", keptKey)
	phone.Go(setup + "?view=steps")
	phone.WaitText("Hung on an angle plate")
	phone.Go(home + "#/sheet/hold")
	phone.Wait("the same again", `!!document.querySelector(".bx .from")`)

	// A part's weight goes into the part, and Undo takes it out again with the answer.
	sheetOn(phone, home+"#/sheet/weigh")
	phone.Wait("the part's body", `!!document.querySelector(".page-foot .go:not(:disabled)")`)
	phone.Tap(keepKey)
	phone.WaitText("weight and balance too")
	phone.Go(record("part", "01") + "?view=card")
	phone.WaitText("Balances, from its left end")
	phone.Tap(saidUndo)
	phone.WaitText("Taken out again")
	phone.Wait("as it was weighed", `document.querySelector("main").textContent.includes("96")
		&& !document.querySelector("main").textContent.includes("Balances, from its left end")`)

	// Speed and feed go into the step that they are worked out for.
	sheetOn(phone, home+"#/sheet/speed?from="+inDemo("step", "09"))
	phone.Tap(keepKey)
	phone.WaitText("speed and feed too")
	phone.Go(record("step", "09"))
	phone.WaitText("Spindle speed used")

	// A line that was read goes into the setup, place by place.
	sheetOn(phone, home+"#/sheet/tram")
	last := `#tram-readings-3-1`
	phone.Wait("the places of the setup", `document.querySelectorAll(".strip-row, .strip-n").length > 4`)
	if browsertest.Eval[bool](phone, `!document.querySelector("`+last+`")`) { // a row at a time
		phone.TapText(`.strip-n`, "4")
	}
	putIn(phone, last, "1.5")
	phone.Wait("the new reading counts", `!document.querySelector(".first.stale") && document.querySelector(`+"`"+last+"`"+`).value === "1.5"`)
	phone.Tap(keepKey)
	phone.WaitText("1 reading too")
	phone.Go(setup + "?view=readings")
	phone.WaitText("+1.5 thou")
	assert.Equal(t, "right", browsertest.Eval[string](phone, `[...document.querySelectorAll(".read-line")]
		.find((e) => e.textContent.includes("+1.5 thou")).querySelector("b").textContent`), "at the place that was read")

	// A hole for the plate goes into the plate, with its reason.
	sheetOn(phone, home+"#/sheet/hole")
	assert.Equal(t, "1-3/4", givenOn(phone)["stock"])
	putIn(phone, `#hole-thread`, "3/8-16")
	putIn(phone, `#hole-stock`, "1-1/4")
	phone.Wait("an answer", `!!document.querySelector(".page-foot .go:not(:disabled)")`)
	phone.Tap(keepKey)
	phone.WaitText("Planned in 1-1/4; Demo angle plate is 1-3/4 thick.")
	phone.Tap(saidUndo)
	phone.Wait("it is typed again", `!document.querySelector(".one-hole") && !!document.querySelector("#hole-stock")`)
	putIn(phone, `#hole-stock`, "1-3/4")
	phone.Wait("an answer", `!!document.querySelector(".page-foot .go:not(:disabled)")`)
	phone.Tap(keepKey)
	phone.WaitText("Why it is in Demo angle plate")
	assert.False(t, browsertest.Eval[bool](phone, `!!document.querySelector(".one-hole .warn")`), "it is this plate's")
	assert.Contains(t, browsertest.Eval[string](phone, `document.querySelector("#hole-why").value`), "Housing")
	putIn(phone, `#hole-why`, "a stop for the housing")
	phone.TapText(`.one-hole button`, "Put the hole into Demo angle plate")
	phone.WaitText("1 hole written into Demo angle plate")
	phone.Go(record("fixture", "01") + "?view=list")
	phone.WaitText("a stop for the housing")
	phone.Tap(saidUndo)
	phone.Wait("it is out again", `!document.querySelector("main").textContent.includes("a stop for the housing")`)
}

// TestKeepMakesTheJob keeps an answer where no setup runs: one touch asks which job, with a name filled
// in, the next makes it; Undo takes both away. What seldom changes stands there the next time.
func TestKeepMakesTheJob(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	home := "http://" + office.Addr + "/"
	work := func() {
		sheetOn(phone, home+"#/sheet/hole")
		putIn(phone, `#hole-thread`, "3/8-16")
		putIn(phone, `#hole-stock`, "7/8")
		phone.Wait("an answer", `!!document.querySelector(".page-foot .go:not(:disabled)")`)
	}
	oneJob := func() {
		phone.Go(home + "#/jobs")
		phone.Wait("one job", `document.querySelectorAll('main a[href*="#/job/"]').length === 1`)
	}
	work()
	putIn(phone, `#hole-work`, "steel")
	phone.Tap(keepKey)
	phone.WaitText("Which job?")
	name := browsertest.Eval[string](phone, `document.querySelector("#keep-job").value`)
	assert.True(t, strings.HasPrefix(name, "Tapped hole 3/8-16, "), name)
	phone.Tap(keepKey)
	phone.WaitText("Kept under Tapped hole 3/8-16")
	phone.Tap(saidUndo)
	phone.WaitText("Taken out again")
	phone.Go(home + "#/jobs")
	phone.WaitText("No jobs on this phone yet")

	work()
	assert.Equal(t, "steel", browsertest.Eval[string](phone, `document.querySelector("#hole-work").value`), "as the last time")
	phone.Tap(keepKey)
	putIn(phone, `#keep-job`, "Bearing plate")
	phone.Tap(keepKey)
	phone.WaitText("Kept under Bearing plate")
	oneJob()

	// The next answer goes under it with one touch of its name.
	work()
	phone.Tap(keepKey)
	phone.TapText(`#keep .chip`, "Bearing plate")
	phone.WaitText("Kept under Bearing plate")
	phone.Wait("the page is back", `!document.querySelector("#keep")`)
	oneJob() // and no second one is made
}
