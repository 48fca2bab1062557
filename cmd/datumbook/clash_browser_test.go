package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// split is a fixture of which two hands wrote two things: how deep a hole is, in a plate that one of
// the depths goes through, and how long it is. The first depth was read afterwards.
const (
	splitFixture = `{"_id":"fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F1A","type":"fixture","v":1,"f":{
		"name":[{"id":"a-1","v":"Angle plate"}],"kind":[{"id":"a-2","v":"angle"}],"thick":[{"id":"a-3","v":"1.25","unit":"in"}],
		"holes#0001-a":[{"id":"a-4","at":"2026-03-09T09:14:00Z","by":"RB","unit":"in","v":{"name":"A2","thread":"1/2-13","depth":"1.03"}},
			{"id":"b-4","at":"2026-03-09T09:31:00Z","by":"KM","unit":"in","v":{"name":"A2","thread":"1/2-13","depth":"1.30"}}],
		"long":[{"id":"a-5","by":"RB","v":"16","unit":"in"},{"id":"b-5","by":"KM","v":"16.062","unit":"in"}]}}`
	readDepth = `{"_id":"reading:01KJ8Q3V7M4T9Z2XBN5C6D8F1R","type":"reading","v":1,"f":{
		"fixture":[{"id":"a-1","v":"fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F1A"}],"value":[{"id":"a-2","v":"1.30 in","unit":"in"}]}}`
)

// headSays waits for a state of the head, and compares sign, words and ground with what they are
// then: two words at most beside a number, and only trouble changes the ground.
func headSays(t *testing.T, b *browsertest.Browser, state, words string) {
	t.Helper()
	b.Wait("the head is "+state, fmt.Sprintf(`(() => {
		const way = document.querySelector(".sync-way");
		return way?.dataset.state === %q && !!way.querySelector(".pict-" + way.dataset.state) &&
			way.querySelector(".sync-short").textContent.startsWith(%q);
	})()`, state, words))
	said := browsertest.Eval[string](b, `document.querySelector(".sync-short").textContent`)
	assert.LessOrEqual(t, len(strings.FieldsFunc(said, func(r rune) bool { return r == ' ' || r >= '0' && r <= ':' })), 2, said)
	assert.Equal(t, state == "trouble", browsertest.Eval[bool](b,
		`getComputedStyle(document.querySelector(".sync-way")).backgroundColor !== "rgba(0, 0, 0, 0)"`), "its own ground")
	assert.Equal(t, state == "trouble", browsertest.Eval[bool](b, `!!document.querySelector(".strip-wrong")`), "a strip under it")
}

// TestTwoHands: the head leads to what two hands wrote; the one that was read stands left and dyed,
// what is wrong with the other is drawn; one clash after the other is settled, each by one touch.
func TestTwoHands(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	putAtOffice(t, office, splitFixture, readDepth)
	b := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	home := "http://" + office.Addr + "/"
	b.Go(home)
	headSays(t, b, "two", "1 differs")
	b.Go(home + "#/settings")
	b.Reload() // a page that loads no fixtures
	headSays(t, b, "two", "1 differs")
	b.Tap(".sync-way")
	b.WaitText("Two depths, .27 apart")
	b.WaitText("Hole A2")
	assert.Equal(t, []string{"1.30", "1.03"}, browsertest.Eval[[]string](b,
		`[...document.querySelectorAll(".side-value")].map((x) => x.textContent)`), "the one that was read stands left")
	assert.Equal(t, "Keep 1.30", browsertest.Eval[string](b, `[...document.querySelectorAll(".side .go")].map((x) => x.textContent).join()`))
	assert.Equal(t, "through by .05", browsertest.Eval[string](b,
		`document.querySelector(".side:has(.go) .side-wrong").textContent`))
	assert.True(t, browsertest.Eval[bool](b, `document.querySelector(".clashing .picture").textContent.includes("through by .05")`))
	one := browsertest.Eval[float64](b, `document.documentElement.scrollHeight`)
	assert.LessOrEqual(t, one, 740.0, "one screenful")
	look(t, b, "two-hands")
	b.Resize(browsertest.Screen{Width: 320, Height: 640, Scale: 1, Touch: true})
	b.Wait("one under the other", `(([a, b]) => a.left === b.left && a.bottom <= b.top)(
		[...document.querySelectorAll(".side")].map((x) => x.getBoundingClientRect()))`)
	assert.LessOrEqual(t, browsertest.Eval[float64](b, `document.documentElement.scrollWidth`), 320.0)
	b.Resize(browsertest.Phone)

	b.TapText(".page-foot a", "History")
	b.WaitText("Every change to this")
	browsertest.Eval[bool](b, `(history.back(), true)`)
	b.TapText(".side button", "Keep 1.03")
	b.WaitText("1.03 stands")
	b.TapText(".page-foot button", "Next")
	b.WaitText("Two lengths, .062 apart")
	b.Wait("two bars", `document.querySelectorAll(".clashing .picture .d-metal").length === 2`)
	b.TapText(".page-foot a", "Later")
	b.Wait("nothing was chosen", `document.querySelector(".sync-way")?.dataset.state === "two"`)
	b.Tap(".sync-way")
	b.TapText(".side button", "Keep 16")
	b.TapText(".page-foot a", "Done")
	headSays(t, b, "office", "")
}
