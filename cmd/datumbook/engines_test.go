package main

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/jobbook/demo"
	"datumbook/cmd/datumbook/browsertest"
)

// TestEngines does the main journey in each engine: the first visit, a hole, a face in line, the
// invented job with a reading and a photo, the office gone, the next start without it, the office
// back with all that was written meanwhile, a newer version, and paper. The digits are the same in
// all of them.
func TestEngines(t *testing.T) {
	t.Parallel()
	for name := range browsertest.Engines {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			mainJourney(t, name)
		})
	}
}

func mainJourney(t *testing.T, name string) {
	office := browsertest.StartOffice(t, t.TempDir())
	between := standBetween(t, office.Addr)
	gate := browsertest.NewGate(t)
	gate.To(between.Listener.Addr().String())
	e := browsertest.OpenEngine(t, name)
	home := gate.URL() + "/"
	e.Go(home)
	e.WaitText("No job on this phone yet")
	e.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	// Where the driver has no touch, the app would leave the keyboard to do the typing.
	var ok bool
	e.Eval(`(localStorage.setItem("datumbook.prefs", '{"keypad":"always"}'), true)`, &ok)
	e.Reload()
	e.WaitText("No job on this phone yet")

	hash := func(to string) {
		t.Helper()
		e.Eval(fmt.Sprintf(`(location.hash = %q, true)`, to), &ok)
	}
	press := func(keys ...string) {
		t.Helper()
		for _, k := range keys {
			e.Tap(`.keypad [data-key="` + k + `"]`)
		}
	}

	// A hole and a line, typed with the keypad.
	hash("#/sheet/hole")
	e.Wait("the drawing", `!!document.querySelector(".board .drawing")`)
	e.Tap("#hole-thread")
	press("3", "/", "8", "-", "1", "6", "next")
	press("7", "/", "8", "next")
	e.WaitText(".656 deep")

	hash("#/")
	e.Tap(".demo-keys button")
	e.WaitText("Tighten, and read again")
	all := fmt.Sprintf(`%s.then((all) => all.filter((id) => id.includes(%q)).length >= %d)`,
		stored, ":"+demo.Prefix, strings.Count(string(demo.File), `"_id"`))
	e.Wait("all of the invented job is kept", all)
	e.Wait("the office has everything", `document.querySelector(".sync-words")?.textContent.startsWith("at the office")`)

	// The office is gone; a reading, a photo, and the next start do not need it.
	gate.Shut()
	hash("#/readings/" + inDemo("setup", "02"))
	e.Tap("#reading")
	press("1")
	e.Tap(".keypad .key.go")
	e.Wait("the reading stands at its place", `[...document.querySelectorAll(".spot-key b")].some((b) => b.textContent === "+1")`)
	hash("#/setup/" + inDemo("setup", "02"))
	e.Wait("the photo's key", `!!document.querySelector(".hand-keys input[type=file]")`)
	e.File(".hand-keys input[type=file]", upright(t))
	e.WaitText("Photo kept on this phone.")
	e.Reload()
	hash("#/setup/" + inDemo("setup", "02") + "?view=sits")
	e.Wait("the photo stands upright", `[...document.querySelectorAll(".thumb img")].some((i) => i.naturalHeight > i.naturalWidth)`)
	hash("#/sheet/tram")
	e.Wait("a worksheet is worked out", `document.querySelectorAll(".headline").length > 0`)

	// Back again.
	gate.Open()
	e.Wait("the office has everything", `document.querySelector(".sync-words")?.textContent.startsWith("at the office")`)
	readings := 0
	for _, r := range atOffice(t, office) {
		if r.Doc.Type == "reading" && !strings.Contains(r.ID, demo.Prefix) {
			readings++
		}
	}
	assert.Equal(t, 1, readings, "the reading at the office")

	// A newer version, taken at once.
	between.with(laterVersion(t, office))
	hash("#/")
	e.Eval(`(window.older = true, navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => true))`, &ok)
	e.Tap(".update .button")
	e.Wait("the newer version has the page", `!window.older && document.documentElement.dataset.stored === "all"`)
	e.WaitText("Tighten, and read again")

	hash("#/print/" + url.QueryEscape("setup/setup:"+demo.Prefix+"03") + "?paper=letter")
	e.Wait("the sheet is whole", `document.querySelector(".paper-setup")?.dataset.ready === "yes"`)
	sheets := browsertest.Sheets(t, e.Print())
	assert.Len(t, sheets, 1)
	for _, s := range sheets {
		assert.Greater(t, s.Ink, .01, "a blank page")
		assert.Contains(t, s.Text, "Drill and tap four cap holes")
	}
}

// laterVersion answers for the service worker as an office with a newer version of the app does.
func laterVersion(t *testing.T, office *browsertest.Office) func(http.ResponseWriter, *http.Request) bool {
	return func(w http.ResponseWriter, r *http.Request) bool {
		if r.URL.Path != "/sw.js" {
			return false
		}
		is, err := http.Get("http://" + office.Addr + r.URL.Path)
		if !assert.NoError(t, err) {
			return false
		}
		defer is.Body.Close()
		body, err := io.ReadAll(is.Body)
		assert.NoError(t, err)
		w.Header().Set("Content-Type", is.Header.Get("Content-Type"))
		_, _ = w.Write(append(body, "\n// newer\n"...))
		return true
	}
}
