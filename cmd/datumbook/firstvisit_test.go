package main

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/jobbook/demo"
	"datumbook/cmd/datumbook/browsertest"
)

// moves notes the largest window of layout shifts that no touch or key made (as the standard's own
// figure does), and which elements moved.
const moves = `(() => {
	const seen = window.moved = { most: 0, what: [] };
	let from = 0, last = 0, sum = 0;
	new PerformanceObserver((list) => {
		for (const e of list.getEntries()) {
			if (e.hadRecentInput) continue;
			if (e.startTime - last > 1000 || e.startTime - from > 5000) [from, sum] = [e.startTime, 0];
			last = e.startTime;
			seen.most = Math.max(seen.most, sum += e.value);
			seen.what.push(e.value.toFixed(3) + ": " + e.sources.map((s) => (s.node?.className || s.node?.nodeName) + " " +
				[s.previousRect, s.currentRect].map((r) => [r.x, r.y, r.width, r.height].map(Math.round)).join(" to ")).join(", "));
		}
	}).observe({ type: "layout-shift", buffered: true });
})()`

// TestFirstVisit is a phone's first visit while calc.wasm does not come: the office works a sheet out,
// the running setup is there, and a reading is taken and kept. Then it comes: the phone takes over,
// stores itself and says so. Nothing was fetched twice, and the job that arrived moved nothing.
func TestFirstVisit(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	asks := countBetween(t, office.Addr)
	comes := make(chan struct{})
	asks.before = func(r *http.Request) {
		if strings.HasSuffix(r.URL.Path, ".wasm") {
			select {
			case <-comes:
			case <-r.Context().Done():
			}
		}
	}
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone, asks.key())
	phone.Always(moves)
	still := func(phone *browsertest.Browser, what string) {
		t.Helper()
		moved := browsertest.Eval[struct {
			Most float64
			What []string
		}](phone, `window.moved`)
		t.Logf("%s: moved by %.3f of .050", what, moved.Most)
		assert.LessOrEqual(t, moved.Most, .05, "%s: %s", what, strings.Join(moved.What, "\n"))
		browsertest.Eval[bool](phone, `(window.moved.most = 0, window.moved.what.length = 0, true)`)
	}
	phone.Go(asks.URL + "/")
	phone.Wait("Start", `document.querySelectorAll(".tile").length === 9`)
	phone.WaitText("No job on this phone yet")
	bringDemo(t, office.Addr)
	phone.Wait("the running setup", `document.querySelector(".mill")?.dataset.kind === "running" && !!document.querySelector(".scene path")`)
	still(phone, "Start, the first job")

	phone.Tap(`.mill-keys a`)
	phone.Tap("#reading")
	tapKeys(phone, "7", "next")
	phone.Wait("the reading is kept", stored+`.then((all) => all.some((id) => id.startsWith("reading:") && !id.includes("`+demo.Prefix+`")))`)
	phone.Go(asks.URL + "/#/sheet/hole")
	phone.Type("#hole-thread", "5/8-11")
	phone.Type("#hole-depth-full", "3/4")
	phone.WaitText("17/32")
	assert.Zero(t, browsertest.Eval[int](phone, `performance.getEntriesByType("resource")
		.filter((e) => e.name.endsWith(".wasm") && e.responseEnd).length`),
		"the office's answers")

	phone.Go(asks.URL + "/#/")
	close(comes)
	phone.WaitText("MB")
	phone.WaitText("Works with no signal from now on")
	phone.Wait("all is stored", `document.documentElement.dataset.stored === "all"`)
	phone.Wait("it is said once", `!document.querySelector(".storing")`)
	assert.Empty(t, asks.twice(), "fetched more than once")

	other := browsertest.Open(t, t.TempDir(), browsertest.Phone, asks.key())
	other.Always(moves)
	other.Go(asks.URL + "/#/job/job:" + demo.Prefix + "01")
	other.WaitText("4 Finish bore and foot slots")
	other.AtOffice()
	still(other, "a job's page, its records on their way")
}
