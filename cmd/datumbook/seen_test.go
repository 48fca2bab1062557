package main

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// putAtOffice puts documents into an office's book, as a phone sends them.
func putAtOffice(t *testing.T, office *browsertest.Office, docs ...string) {
	body := `{"docs":[` + strings.Join(docs, ",") + `]}`
	answer, err := http.Post("http://"+office.Addr+"/sync/shop/_bulk_docs", "application/json", strings.NewReader(body))
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	require.Equal(t, http.StatusCreated, answer.StatusCode)
}

const (
	goodJob = `{"_id":"job:01KJ8Q3V7M4T9Z2XBN5C6D8F0G","type":"job","v":1,"f":{"name":[{"id":"a-1","v":"pump base"}]}}`
	goodOne = `{"_id":"fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0H","type":"fixture","v":1,
		"f":{"name":[{"id":"a-1","v":"angle plate"}],"kind":[{"id":"a-2","v":"angle"}]}}`
	oddOne = `{"_id":"fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0Q","type":"fixture","v":1,
		"f":{"name":[{"id":"a-1","v":"odd plate","over":"abc"}]}}`
	goodSetup = `{"_id":"setup:01KJ8Q3V7M4T9Z2XBN5C6D8F0S","type":"setup","v":1,
		"f":{"name":[{"id":"a-1","v":"Base down"}]}}`
	splitStep = `{"_id":"step:01KJ8Q3V7M4T9Z2XBN5C6D8F0T","type":"step","v":1,"f":{"name":[{"id":"a-1","v":"Ream"}],
		"setup":[{"id":"a-2","v":"setup:01KJ8Q3V7M4T9Z2XBN5C6D8F0S"}],"done":[{"id":"b-1","v":true}],
		"gone":[{"id":"c-1","v":true,"saw":{"name":"a-1","setup":"a-2"}}]}}`
	oddKind = `{"_id":"odd:1","type":5,"f":"nothing"}`
)

// TestOddRecord: a phone that holds a record which cannot be read in full shows everything else on
// every page, and the record itself where it can be saved and deleted.
func TestOddRecord(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	putAtOffice(t, office, goodJob, goodOne, oddOne, oddKind)
	b := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	to := func(hash string) { b.Go("http://" + office.Addr + "/#/" + hash) }
	to("jobs")
	b.AtOffice()
	b.WaitText("pump base")
	to("shop/fixture")
	b.WaitText("angle plate")
	b.WaitText("odd plate")
	b.WaitText("cannot be read in full and need a look")
	to("record/fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0H")
	b.WaitText("angle plate")
	to("record/fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0Q")
	b.WaitText("Part of this record cannot be read.")
	to("find?q=angle")
	b.Wait("it is found", `[...document.querySelectorAll(".hits b")].some((x) => x.textContent === "angle plate")`)

	to("files")
	b.WaitText("Tables for a spreadsheet")
	require.True(t, browsertest.Eval[bool](b, catchFiles))
	b.Tap(`section:nth-of-type(1) .button.go`)
	b.Wait("the file is made", `saved.length === 1`)
	ids := browsertest.Eval[[]string](b, `saved[0].text().then((t) => JSON.parse(t).docs.map((d) => d._id))`)
	assert.ElementsMatch(t, []string{"job:01KJ8Q3V7M4T9Z2XBN5C6D8F0G", "fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0H",
		"fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0Q", "odd:1"}, ids)

	to("look")
	b.WaitText("over what it was entered cannot be read")
	b.WaitText("This record does not say what it is.")
	require.True(t, browsertest.Eval[bool](b, catchFiles))
	b.TapText(`.trash li:has(code) button`, "Save it to a file")
	b.Wait("the record is in a file", `saved.length === 1`)
	assert.Contains(t, browsertest.Eval[string](b, `saved[0].text()`), `"over":"abc"`)
	b.TapText(`.trash button`, "Delete it for good")
	b.TapText(`.trash button`, "Touch once more")
	b.Wait("it is gone", `!document.body.innerText.includes("odd:1")`)
	b.TapText(`.trash button`, "Delete")
	b.WaitText("Every record on this phone can be read.")
	to("shop/fixture")
	b.WaitText("angle plate")
	b.Wait("and nothing needs a look", `!document.querySelector(".look-door")`)
}

// TestTwoTabs: a form that is open while another tab saves does not cover what came, and a record
// deleted in one and changed in the other is shown in both.
func TestTwoTabs(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	putAtOffice(t, office, goodOne)
	const page, form = "record/fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0H", "edit/fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0H"
	a := browsertest.Open(t, t.TempDir(), browsertest.Desk)
	url := "http://" + office.Addr + "/#/"
	a.Go(url + page)
	a.AtOffice()
	a.WaitText("angle plate")
	b := a.Tab(browsertest.Desk)
	keep := func(tab *browsertest.Browser) { tab.TapText(".rec-form button[type=submit]", "Keep it") }
	clash := func(tab *browsertest.Browser, says ...string) {
		for _, words := range says {
			tab.Wait("the clash shows "+words,
				`[...document.querySelectorAll(".clash-line b")].some((x) => x.textContent === "`+words+`")`)
		}
	}
	settled := `!document.querySelector(".clashes") && !document.querySelector(".rec-form")`

	for _, tab := range []*browsertest.Browser{a, b} {
		tab.Go(url + form)
		tab.Wait("the form is open", `!!document.querySelector("#rec-tag")`)
	}
	b.Type("#rec-tag", "B7")
	keep(b)
	b.WaitText("angle plate kept.")
	a.Type("#rec-tag", "A9")
	a.Reload() // its draft knows what the form had shown
	a.Wait("the draft is there", `document.querySelector("#rec-tag")?.value === "A9"`)
	keep(a)
	a.WaitText("Another entry came meanwhile.")
	for _, tab := range []*browsertest.Browser{a, b} {
		clash(tab, "A9", "B7")
	}
	c := a.Tab(browsertest.Phone)
	c.Go(url + "shop/fixture")
	c.WaitText("1 record here says two things: choose which stands")
	c.TapText(".look-door .button", "See what it is")
	c.TapText(".link-card", "angle plate")
	clash(c, "A9", "B7")
	c.Close()
	// On the page of the clash nothing is chosen by itself; a choice is taken back by one key.
	b.TapText(".clashes .button", "Choose")
	for _, value := range []string{"A9", "B7"} {
		b.Wait(value+" has its key", `[...document.querySelectorAll(".side")].some((s) =>
			s.innerText.includes("`+value+`") && s.querySelector("button").textContent === "Keep `+value+`")`)
	}
	assert.Equal(t, 0.0, browsertest.Eval[float64](b, `document.querySelectorAll(".side .go").length`), "neither was tried")
	b.TapText(".side button", "Keep A9")
	b.WaitText("A9 stands")
	a.Wait("chosen in one, settled in both", settled)
	b.TapText(".page-foot button", "Undo")
	for _, value := range []string{"A9", "B7"} {
		b.Wait(value+" can be chosen again", `[...document.querySelectorAll(".side button")].some((x) => x.textContent === "Keep `+value+`")`)
	}
	clash(a, "A9", "B7")
	b.TapText(".side button", "Keep B7")
	b.WaitText("B7 stands")
	a.Wait("chosen in one, settled in both", settled)
	b.TapText(".page-foot a", "Done")
	b.Wait("and in the other", settled)

	b.Go(url + form)
	b.Type("#rec-notes", "feet scraped")
	a.TapText(".page-foot a", "Card")
	a.TapText(".foot-links button", "Delete")
	a.WaitText("This was deleted.")
	keep(b)
	b.WaitText("Another entry came meanwhile.")
	for _, tab := range []*browsertest.Browser{a, b} {
		clash(tab, "Deleted", "Changed")
		tab.Go(url + "record/fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0H?view=card")
		tab.WaitText("feet scraped")
	}
	a.TapText(".clashes .button", "Choose")
	a.TapText(".side button", "Keep it")
	a.WaitText("It stays")
	a.TapText(".page-foot a", "Done")
	for _, tab := range []*browsertest.Browser{a, b} {
		tab.Wait("it stays", settled)
		tab.Go(url + "record/fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0H?view=card")
		tab.WaitText("feet scraped")
	}

	// A step that is ticked here and deleted there says so, and is not struck out with it.
	putAtOffice(t, office, goodSetup, splitStep)
	b.Go(url + "setup/setup:01KJ8Q3V7M4T9Z2XBN5C6D8F0S?view=steps")
	const words = `[...document.querySelectorAll(".done .tick-name small")].find((x) =>
		x.textContent === "deleted on one device, changed on another")`
	b.Wait("the step says so", "!!"+words)
	assert.Equal(t, "none none", browsertest.Eval[string](b, `((x) => [x, x.parentElement].map((e) =>
		getComputedStyle(e).textDecorationLine).join(" "))(`+words+`)`))

	// A note on what the other has just deleted is kept, and that is told.
	b.Go(url + page + "?view=card")
	b.Type("#notes textarea", "crack in the web")
	a.TapText(".foot-links button", "Delete")
	b.WaitText("This was deleted.")
	b.TapText("#notes button", "Keep the note")
	b.WaitText("Note kept, but what it is about was deleted")
	b.Tap(".note-list a")
	b.WaitText("in angle plate, which was deleted")

	// Whoever deleted it is told of the note as well.
	a.Go(url + "jobs")
	a.WaitText("added to what another device deleted")
	a.TapText(".look-door button, .look-door a", "See what it is")
	a.WaitText("These were added to something that was deleted")
	a.WaitText("in angle plate, which was deleted")
	look(t, a, "stranded")
}
