package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook/demo"
	"datumbook/cmd/datumbook/browsertest"
)

// hand is the operator of a phone in the browser tests of the demo job.
type hand struct {
	t *testing.T
	*browsertest.Browser
}

// part is one part of the test, with the time it took.
func (h hand) part(name string, walk func()) {
	h.t.Helper()
	began := time.Now()
	walk()
	h.t.Logf("%s: %.1f s", name, time.Since(began).Seconds())
}

// open goes to one of the app's pages by its own address, without loading the
// page anew.
func (h hand) open(page string) {
	h.t.Helper()
	browsertest.Eval[bool](h.Browser, `(location.hash = `+strconv.Quote(page)+`, true)`)
}

// start goes to the first page.
func (h hand) start() {
	h.t.Helper()
	h.open("#/")
	h.Wait("the start", `!!document.querySelector(".home .running-name")`)
}

// touch presses what a selector finds and that contains a text, in the middle of the screen where
// neither head nor foot covers it. An open keypad, which covers half of it, is closed first.
func (h hand) touch(selector, says string) {
	h.t.Helper()
	if browsertest.Eval[bool](h.Browser, `!!document.querySelector(".keypad")`) {
		h.Tap(`.keypad [aria-label="Close the keypad"]`)
		h.Wait("the keypad is gone", `!document.querySelector(".keypad")`)
	}
	h.TapText(selector, says)
}

// shot reports what is wider than the screen, and saves a picture where one was asked for.
func (h hand) shot(name string) {
	h.t.Helper()
	out := browsertest.Eval[string](h.Browser, `document.documentElement.scrollWidth <= innerWidth ? "" : [...document.querySelectorAll("main *")]
		.filter((e) => e.getBoundingClientRect().right > innerWidth && !e.closest(".table-wrap")).map((e) => e.outerHTML.slice(0, 160)).slice(0, 3).join("; ")`)
	assert.Empty(h.t, out, "%s: this stands out of the screen", name)
	if *papers != "" {
		require.NoError(h.t, os.WriteFile(filepath.Join(*papers, "demo-"+name+".png"), h.Picture(), 0o644))
	}
}

// inDemo is the id of a record of the invented job, as it stands in an address.
func inDemo(kind, n string) string { return url.QueryEscape(kind + ":" + demo.Prefix + n) }

// atPlace waits until a place shows its last reading.
func (h hand) atPlace(place, value string) {
	h.t.Helper()
	h.Wait(place+" reads "+value, fmt.Sprintf(`[...document.querySelectorAll(".spot-key")].some((c) => c.querySelector("small").textContent === %q && c.querySelector("b").textContent === %q)`, place, strings.TrimSuffix(value, " thou")))
}

// stored gives the ids of all records on the device, from the browser's own
// database under the app.
const stored = `new Promise((go, no) => {
	const open = indexedDB.open("_pouch_datumbook-shop");
	open.onerror = () => no(open.error);
	open.onsuccess = () => {
		const all = open.result.transaction("document-store").objectStore("document-store").getAllKeys();
		all.onerror = () => no(all.error);
		all.onsuccess = () => { open.result.close(); go(all.result); };
	};
})`

// officeRecord is a record as the office has it: each edit of a field has a value.
type officeRecord struct {
	ID  string
	Doc struct {
		Type string
		F    map[string]json.RawMessage
	}
}

// atOffice gives all that the office has.
func atOffice(t *testing.T, office *browsertest.Office) []officeRecord {
	t.Helper()
	answer, err := http.Get("http://" + office.Addr + "/sync/shop/_all_docs?include_docs=true")
	require.NoError(t, err)
	defer answer.Body.Close()
	var all struct{ Rows []officeRecord }
	require.NoError(t, json.NewDecoder(answer.Body).Decode(&all))
	return all.Rows
}

// says gives a field's value; "" where it has none, or more than one.
func (r officeRecord) says(key string) string {
	var edits []struct{ V any }
	if json.Unmarshal(r.Doc.F[key], &edits) != nil || len(edits) != 1 {
		return ""
	}
	return fmt.Sprint(edits[0].V)
}

// gauge types as a gauge on the phone's keyboard plug does: the digits and Enter, each a key that goes
// down and up, three milliseconds after the one before by the keyboard's own clock.
func (h hand) gauge(digits string) { h.t.Helper(); h.sends(digits, "Enter") }

func (h hand) sends(digits, end string) {
	h.t.Helper()
	h.Do("the gauge sends "+digits, chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
		at := float64(time.Now().UnixMilli()) / 1000
		for _, key := range append(strings.Split(digits, ""), end) {
			text, code := key, int64(0)
			switch key {
			case "Enter":
				text, code = "\r", 13
			case "Tab":
				text, code = "", 9
			}
			at += .003
			stamp := input.TimeSinceEpoch(at)
			for _, p := range []input.DispatchKeyEventParams{
				{Type: input.DispatchKeyEventTypeKeyDown, Key: key, Text: text, WindowsVirtualKeyCode: code, Timestamp: stamp},
				{Type: input.DispatchKeyEventTypeKeyUp, Key: key, Timestamp: stamp}} {
				if _, err := cdp.Call(ctx, to, input.DispatchKeyEvent, p); err != nil {
					return err
				}
			}
		}
		return nil
	}))
}

// casting is a picture as a phone's camera would give it, drawn here.
func casting(t *testing.T) string {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 48, 32))
	for y := range 32 {
		for x := range 48 {
			m.Set(x, y, color.RGBA{uint8(90 + 3*x), uint8(90 + 3*x), uint8(100 + 4*y), 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, m))
	path := filepath.Join(t.TempDir(), "casting.png")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	return path
}

// TestDemoJob works the invented job for a shift at the mill, on a phone by touch, with no signal
// from the second step on: readings by keypad and by a gauge that types, ticks, tram, a bore's
// centre, a photo, a note, the setup after this one, a hole planned and measured, the inspection
// sheet, search, and the setup repeated for another job. All of it is there after a reload and
// after the page was closed, and once the office is reachable it has all of it, each thing once.
func TestDemoJob(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	gate := browsertest.NewGate(t)
	gate.To(office.Addr)
	profile := t.TempDir()
	h := hand{t, browsertest.Open(t, profile, browsertest.Phone)}
	home := gate.URL() + "/"
	job, setup, next := inDemo("job", "01"), inDemo("setup", "02"), inDemo("setup", "03")

	// The first step, while the office is in reach.
	h.Go(home)
	h.WaitText("Load an invented job to look round")
	h.shot("empty")
	h.Tap(`.demo-keys button`)
	h.WaitText("Base to the plate")
	h.Wait("the app is ready for offline", `navigator.serviceWorker && navigator.serviceWorker.controller !== null`)
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	var invented struct{ Docs []json.RawMessage }
	require.NoError(t, json.Unmarshal(demo.File, &invented))
	require.Eventually(t, func() bool { return len(atOffice(t, office)) == len(invented.Docs) }, time.Minute, 100*time.Millisecond, "the invented job reaches the office")
	h.AtOffice()
	gate.Shut()

	h.part("the running setup", func() {
		h.Go(home)
		h.WaitText("Tighten, and read again")
		h.shot("start")
		h.touch(`a.running-name`, "Base to the plate")
		h.WaitText("Step 5 of 7")
		h.shot("setup")
		h.touch(`.page-foot a`, "Steps")
		h.WaitText("Shim the right foot")
		h.shot("steps")
		h.Tap(`.top .back`)
		h.WaitText("Step 5 of 7")
		h.Tap(`.top .back`)
		h.Wait("the start", `!!document.querySelector(".home .running-name")`)
	})

	h.part("readings", func() {
		h.touch(`.mill-keys a`, "Take a reading")
		h.Wait("an indicator's reading is asked for, in thousandths", `document.querySelector("#reading")?.dataset.bare === "thou"`)
		h.shot("reading")
		browsertest.Eval[bool](h.Browser, `((e) => (e.value = "check", e.dispatchEvent(new Event("change", { bubbles: true }))))(document.querySelector("#when"))`)
		// A touch and a number: where, how much, take it.
		h.Tap(`#reading`) // left is next
		tapKeys(h.Browser, "sign", "1", ".", "5", "next")
		h.atPlace("left", "-1.5 thou")
		tapKeys(h.Browser, "same") // to the place that comes next by itself
		h.atPlace("left middle", "-1.5 thou")
		h.shot("keypad")
		h.touch(`.page-foot button`, "Undo")
		h.WaitText("left middle -1.5 thou taken back.")
		h.Wait("the place is open again", `[...document.querySelectorAll(".spot-key.open")].some((c) => c.querySelector("small").textContent === "left middle")`)
		// A gauge that types like a keyboard, while no field has the focus.
		browsertest.Eval[bool](h.Browser, `(document.activeElement?.blur(), true)`)
		for _, one := range []struct{ place, typed, value string }{{"left middle", "-0.5", "-0.5 thou"}, {"right middle", "0.5", "+0.5 thou"}, {"right", "1.5", "+1.5 thou"}} {
			h.gauge(one.typed)
			h.atPlace(one.place, one.value)
		}
		h.Wait("what the line says", `!!document.querySelector(".first .sign")`)
		h.touch(`.page-foot button`, "Take it")
		h.WaitText("Type the reading first.")
		h.shot("readings")
	})

	h.part("tram from the readings", func() {
		h.start()
		h.touch(`.mill-sheets a`, "Is it in line?")
		h.Wait("the readings are there", `[...document.querySelectorAll(".strip input")].some((e) => e.value.includes("-6"))`)
		h.shot("tram")
		h.touch(`.page-foot .go`, "Keep")
		h.WaitText("Kept under Pillow-block housing")
	})

	h.part("ticks", func() {
		h.start()
		h.touch(`.mill-keys button`, "Done")
		h.WaitText("Tighten, and read again: ticked.")
		h.WaitText("Face the flange")
		h.touch(`.mill-keys button`, "Done")
		h.WaitText("Face the flange: ticked.")
		h.touch(`.said button`, "Undo")
		h.Wait("it is the next step again", `document.querySelector(".next-step")?.innerText.includes("Face the flange")`)
		h.shot("ticked")
	})

	h.part("centre of the bore", func() {
		h.open("#/sheet/centre?from=" + setup)
		// Three touches on a circle about 0.1, -0.2 of radius 2.
		for i, at := range [][2]string{{"2.1", "-.2"}, {".1", "1.8"}, {"-1.9", "-.2"}} {
			if i > 0 {
				h.touch(`.strip-n`, "+")
			}
			for j, text := range at {
				cell := fmt.Sprintf("#centre-touches-%d-%d", i, j)
				h.Wait("an empty place", `document.querySelector("`+cell+`")?.value === ""`)
				h.Type(cell, text)
			}
		}
		h.Wait("the centre", `/X \.1000[^]*-\.2000/.test(document.querySelector("#answer").innerText)`)
		h.shot("centre")
		h.touch(`.page-foot .go`, "Keep")
		h.WaitText("Kept under Pillow-block housing")
	})

	h.part("photo and note", func() {
		h.open("#/setup/" + setup)
		h.Wait("the photo's key", `!!document.querySelector(".take-photo input[type=file]")`)
		h.Do("take a photo", chromedp.SetUploadFiles(chromedp.CSS(`.take-photo input[type=file]`), []string{casting(t)}, chromedp.NodeReady))
		h.WaitText("Photo kept on this phone.")
		h.touch(`a.hand`, "Note")
		h.Wait("the note's field", `document.activeElement?.tagName === "TEXTAREA"`)
		h.Type(`textarea`, "Shim under the right foot is the brass one")
		h.shot("note")
		h.touch(`form button[type=submit]`, "Keep the note")
		h.WaitText("Note kept.")
		h.touch(`.page-foot a`, "Sits")
		h.Wait("both are with the setup", `document.querySelector("#notes")?.innerText.includes("the brass one") && document.querySelectorAll(".photos .thumb img").length === 2`)
		browsertest.Eval[bool](h.Browser, `(document.querySelector(".photos").scrollIntoView({ block: "start", behavior: "instant" }), true)`)
		h.shot("kept")
	})

	h.part("the datum handed on", func() {
		state := func(setup, says string) {
			h.t.Helper()
			h.open("#/setup/" + setup + "?view=sits")
			h.Wait(setup+" is "+says, fmt.Sprintf(`location.hash.includes(%q) && document.querySelector("input[name=state]:checked")?.value === %q`, setup, says))
		}
		h.open("#/job/" + job)
		h.WaitText("Base down, cap face and cap holes")
		h.shot("job")
		// With steps open the setup that ran is planned again; after Undo it runs.
		h.touch(`a.link-card`, "Base down, cap face and cap holes")
		h.touch(`.hand`, "Run this setup")
		h.WaitText("3 Base down, cap face and cap holes is now the running one. 2 Base to the plate, face and bore the flange runs no longer: planned.")
		h.shot("running")
		state(setup, "planned")
		h.touch(`.said button`, "Undo")
		state(setup, "running")
		state(next, "planned")
		// With its last steps ticked, the next setup takes over.
		h.start()
		for _, step := range []string{"Face the flange", "Rough the bore to 3.960"} {
			h.Wait(step+" is next", fmt.Sprintf(`document.querySelector(".next-step")?.innerText.includes(%q)`, step))
			h.touch(`.mill-keys button`, "Done")
			h.WaitText(step + ": ticked.")
		}
		h.shot("ended")
		h.touch(`.mill-keys button`, "Next setup")
		h.WaitText("2 Base to the plate, face and bore the flange runs no longer: done.")
		h.Wait("the next one stands first", `document.querySelector(".running-name")?.innerText.includes("Base down, cap face")`)
		h.shot("handed")
		h.touch(`.said button`, "Undo")
		h.Wait("the one before stands first again", `document.querySelector(".running-name")?.innerText.includes("Base to the plate")`)
		// Its own page leads to the next one's.
		h.touch(`a.running-name`, "Base to the plate")
		h.Wait("the setup's page", `!document.querySelector(".home") && !!document.querySelector(".at-mill")`)
		h.touch(`main button`, "Done here: on to 3 Base down, cap face")
		h.Wait("the next one's page", fmt.Sprintf(`location.hash.endsWith(%q) && document.querySelector(".step-at")?.textContent.includes("Step 1 of 3")`, next))
		state(setup, "done")
		h.start()
		h.Wait("it stands first", `document.querySelector(".running-name")?.innerText.includes("Base down, cap face")`)
	})

	h.part("a hole planned and measured", func() {
		h.touch(`a.running-name`, "Base down")
		h.touch(`.page-foot a`, "Steps")
		h.touch(`#steps a.button`, "hole")
		h.Wait("it takes from the job", `document.querySelectorAll(".bx .from").length > 0`)
		h.Wait("thread and depth are the feature's", `document.querySelector("#hole-thread")?.value === "1/2-13"`)
		h.WaitText("27/64")
		h.shot("hole")
		h.touch(`.page-foot .go`, "Keep")
		h.WaitText("Kept under Pillow-block housing")
		h.open("#/setup/" + next + "?view=steps")
		h.touch(`.kept-line a`, "1/2-13")
		h.WaitText("Planned")
		h.touch(`.measured:nth-of-type(2) button`, "What was found")
		h.WaitText("Drill to the shoulder")
		h.Type(`.measured input`, "1.250")
		h.touch(`.measured button`, "Keep what was found")
		h.Wait("it is held against the plan", `document.querySelector(".compare .off")?.textContent.includes("+0.019 in off")`)
		h.shot("found")
	})

	h.part("inspection sheet", func() {
		h.open("#/job/" + job + "?view=card")
		h.touch(`a.button`, "Inspection sheet")
		h.Wait("it is drawn", `document.querySelector(".paper")?.dataset.ready === "yes"`)
		h.WaitText("Main bore")
		h.shot("inspection")
	})

	h.part("found again", func() {
		h.open("#/find")
		h.Wait("all was read", `document.querySelector(".find")?.dataset.whole === "yes"`)
		h.Type(`#find`, "brass one")
		h.Wait("the note", `document.querySelector(".hits .link-card")?.innerText.includes("brass one")`)
		h.shot("find")
	})

	h.part("repeated in a new job", func() {
		h.open("#/setup/" + setup + "?view=sits")
		h.touch(`a.button`, "Repeat in another job")
		h.Wait("it asks for a name", `!!document.querySelector("#repeat-name")`)
		h.Type(`#repeat-name`, "Second housing")
		h.shot("repeat")
		h.touch(`button[type=submit]`, "Repeat it")
		h.WaitText("Copied. The readings stand as expected ones.")
		h.touch(`.page-foot a`, "Sits")
		h.WaitText("in Second housing")
		h.touch(`.page-foot a`, "Readings")
		h.touch(`a.button`, "Take a reading")
		h.WaitText("last time")
		h.shot("again")
	})

	// None of it depends on the page that stood open.
	there := func() {
		h.t.Helper()
		h.open("#/setup/" + setup + "?view=sits")
		h.Wait("photo and note", `document.querySelector("#notes")?.innerText.includes("the brass one") && document.querySelectorAll(".photos .thumb img").length === 2`)
		h.open("#/setup/" + setup + "?view=steps")
		h.Wait("ticks", `document.querySelectorAll("#steps .done").length === 7`)
		h.WaitText("Is it in line?")
		h.WaitText("Centre of a bore")
		h.open("#/readings/" + setup)
		for place, value := range map[string]string{"left": "-1.5 thou", "left middle": "-0.5 thou", "right middle": "+0.5 thou", "right": "+1.5 thou"} {
			h.atPlace(place, value)
		}
		h.open("#/jobs")
		h.WaitText("Second housing")
	}
	h.Reload()
	there()
	h.Close()
	h.Browser = browsertest.Open(t, profile, browsertest.Phone)
	h.Go(home)
	h.Wait("what waits is counted", `/^\d+ waiting/.test(document.querySelector(".sync-words")?.textContent ?? "")`)
	there()
	mine := browsertest.Eval[[]string](h.Browser, stored)

	gate.Open()
	h.AtOffice()

	var ids []string
	says := map[string]int{}
	photo := ""
	for _, r := range atOffice(t, office) {
		ids = append(ids, r.ID)
		if strings.Contains(r.ID, demo.Prefix) {
			continue
		}
		switch r.Doc.Type {
		case "reading":
			says[r.says("station")+" "+r.says("value")+" "+r.says("gone")]++
		case "kept":
			says[r.says("worksheet")]++
		case "note":
			says[r.says("text")]++
		case "job":
			says[r.says("name")]++
		case "photo":
			says["photo"]++
			photo = r.ID
		default:
			says[r.Doc.Type]++
		}
	}
	slices.Sort(mine)
	slices.Sort(ids)
	assert.Equal(t, mine, ids, "the office has what the phone has, each record once")
	assert.Equal(t, map[string]int{
		"left -1.5 thou ": 1, "left middle -1.5 thou true": 1, "left middle -0.5 thou ": 1, "right middle +0.5 thou ": 1, "right +1.5 thou ": 1,
		"tram": 1, "centre": 1, "hole": 1, "photo": 1, "Second housing": 1, "setup": 1, "step": 7,
		"Shim under the right foot is the brass one": 1,
	}, says)
	picture, err := http.Get("http://" + office.Addr + "/sync/shop/" + url.PathEscape(photo) + "/image.jpg")
	require.NoError(t, err)
	defer picture.Body.Close()
	seen, err := jpeg.Decode(picture.Body)
	require.NoError(t, err)
	assert.Equal(t, image.Rect(0, 0, 48, 32), seen.Bounds(), "the photo itself")

	// The office machine shows the same as the phone.
	h.Browser = browsertest.Open(t, t.TempDir(), browsertest.Desk)
	h.Go("http://" + office.Addr + "/#/setup/" + setup + "?view=sits")
	h.Wait("it has come", `document.querySelector("#notes")?.innerText.includes("the brass one") && document.querySelectorAll(".photos .thumb img").length === 2`)
	h.shot("desk-setup")
	for _, page := range []struct{ name, at, until string }{
		{"desk-start", "#/", "Base down, cap face"},
		{"desk-readings", "#/readings/" + setup, "4 of 4 read"},
		{"desk-job", "#/job/" + job, "Face the cap seat"},
		{"desk-inspection", "#/print/" + url.QueryEscape("inspection/job:"+demo.Prefix+"01"), "Main bore"},
		{"desk-jobs", "#/jobs", "Second housing"},
	} {
		h.open(page.at)
		h.WaitText(page.until)
		assert.NotContains(t, browsertest.Eval[string](h.Browser, `document.body.innerText`), "this phone", page.name)
		h.shot(page.name)
	}
}

// How browsers behave in a window that may store nothing: some refuse when asked, some have no such
// question, some have no local storage either.
var noStore = map[string]string{
	"refused": `IDBFactory.prototype.open = function () {
		const asked = new EventTarget();
		Object.defineProperty(asked, "error", { value: new DOMException("A mutation operation was attempted on a database that did not allow mutations.", "InvalidStateError") });
		asked.addEventListener("error", (e) => asked.onerror?.(e));
		setTimeout(() => asked.dispatchEvent(new Event("error")));
		return asked;
	};`,
	"forbidden": `IDBFactory.prototype.open = () => { throw new DOMException("The operation is insecure.", "SecurityError"); };
		Object.defineProperty(window, "localStorage", { get() { throw new DOMException("The operation is insecure.", "SecurityError"); } });`,
	"missing": `Object.defineProperty(window, "indexedDB", { value: undefined });`,
}

// before runs a script on every page, before the page's own scripts.
func (h hand) before(script string) {
	h.t.Helper()
	h.Do("prepare the window", chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
		_, err := cdp.Call(ctx, to, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	}))
}

// plan types a hole.
func (h hand) plan(home string) {
	h.t.Helper()
	h.Go(home + "#/sheet/hole")
	h.Wait("the drawing", `!!document.querySelector("#hole-depth-full")`)
	for _, one := range [][2]string{{"#hole-thread", "5/8-11"}, {"#hole-depth-full", "3/4"}, {"#hole-stock", ".95"}} {
		browsertest.Eval[bool](h.Browser, `(document.querySelector("`+one[0]+`").select(), true)`)
		h.Type(one[0], one[1])
	}
	h.Wait("it is worked out", workedOut)
}

// workedOut tells that the headline answers all of what plan typed.
const workedOut = `!!document.querySelector(".headline")?.textContent.includes(".232 below the plate")`

// typed gives the values of plan's fields.
const typed = `(() => {
	const draft = (name) => JSON.parse(localStorage["datumbook.draft." + name] ?? "{}").inputs ?? {};
	const hole = Object.keys(localStorage).filter((k) => /^datumbook\.draft\.hole/.test(k)).map((k) => draft(k.slice(16)))[0] ?? {};
	const keep = draft("keep hole");
	return [hole.thread, hole.depth, hole.stock, keep.job, keep.note].filter(Boolean).join(" | ");
})()`

const wasTyped = "5/8-11 | 3/4 | .95"

const wasNamed = " | Pump cover | ledge by the inlet"

// TestNoStorage opens the app in windows that store nothing: it says so in plain words with what to
// do, works out what it can, and what was typed stays.
func TestNoStorage(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	home := "http://" + office.Addr + "/"
	for name, script := range noStore {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
			h.before(script)
			h.Go(home)
			h.WaitText("This window stores nothing: it is private,")
			h.WaitText("Open the app in an ordinary window.")
			assert.Equal(t, "nothing is kept here", browsertest.Eval[string](h.Browser, `document.querySelector(".sync-words").textContent`))
			h.plan(home) // worksheets need no store
			askUnder(h.Browser, "Pump cover", "ledge by the inlet")
			h.touch(`.page-foot .go`, "Keep")
			assert.True(t, browsertest.Eval[bool](h.Browser, `!document.querySelector(".said")`), "it cannot be kept")
			assert.Contains(t, browsertest.Eval[string](h.Browser, `document.querySelector("#keep-fault").innerText`), "Open the app in an ordinary window.")
			// Without a store it stays where it was typed.
			value := func(selector string) string {
				return browsertest.Eval[string](h.Browser, `document.querySelector("`+selector+`").value`)
			}
			assert.Equal(t, wasNamed, " | "+value("#keep-job")+" | "+value("#keep-note"))
			h.touch(`.back`, "")
			h.Wait("the drawing again", `!!document.querySelector("#hole-thread")`)
			assert.Equal(t, wasTyped, value("#hole-thread")+" | "+value("#hole-depth-full")+" | "+value("#hole-stock"))
			for _, page := range []string{"jobs", "find", "shop", "where", "files", "settings"} {
				h.open("#/" + page)
				h.Wait(page+" says it", `location.hash.endsWith("`+page+`") && document.querySelector("main").innerText.includes("Open the app in an ordinary window.")`)
				assert.NotRegexp(t, `idb|IDB|Error|insecure|undefined`, browsertest.Eval[string](h.Browser, `document.querySelector("main").innerText`), page)
				h.shot("nostore-" + name + "-" + page)
			}
		})
	}
}
