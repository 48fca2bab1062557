package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook"
	"datumbook/calc/jobbook/demo"
	"datumbook/calc/registry"
	"datumbook/cmd/datumbook/browsertest"
	"datumbook/server/peer"
)

var screens = flag.String("screens", "", "also write a picture of every screen into this folder, to be looked at")

var everyLook = flag.Bool("everylook", false, "take every screen in every look and run axe-core in each, not by turns")

// What a finger needs, in CSS px. Bare: WCAG 2.2, 2.5.8 (AA). Glove: 19 mm,
// the key size for arctic mittens of MIL-STD-1472E, 5.4.3.1.3.3, at 160 CSS px
// to the inch, as pwa/LOOK.md has it.
const (
	bareTarget  = 24
	gloveTarget = 120
)

// Most layout shift while the start page loads, as the Layout Instability specification scores it:
// 0.1 is commonly called good (common practice, no published source); here nothing under a thumb
// may move.
const mostShift = 0.005

// screen is one screen of the app in one state.
type screen struct {
	name string
	hash string            // its address
	till string            // a selector of what has to be there before it is checked
	set  map[string]string // what local storage holds before it is opened
	anew string            // reload the page: in a browser that fails in this way, "no" for none
	do   string            // what is then done on it; may await
	show string            // a selector of what that makes appear
	bare bool              // only for bare hands, as the bare keypad is
	worn bool              // gloves are on by the setting, not only by the style
}

// at gives a screen that is reached by its address alone.
func at(hash string) screen { return screen{name: hash, hash: hash} }

// demoID is a record of the invented job.
func demoID(kind string, n int) string {
	return kind + ":" + demo.Prefix + fmt.Sprintf("%02d", n)
}

func escaped(page, id string) string { return "#/" + page + "/" + url.PathEscape(id) }

// between gives what stands between two marks in a source file.
func between(t *testing.T, path, from, to string) string {
	t.Helper()
	source, err := os.ReadFile(filepath.Join("..", "..", "pwa", "src", filepath.FromSlash(path)))
	require.NoError(t, err)
	_, rest, ok := strings.Cut(string(source), from)
	require.True(t, ok, "%s has no %q", path, from)
	part, _, ok := strings.Cut(rest, to)
	require.True(t, ok, "%s has no %q after %q", path, to, from)
	return part
}

var quoted = regexp.MustCompile(`"([a-z]+)"`)

func words(text string) []string {
	var out []string
	for _, m := range quoted.FindAllStringSubmatch(text, -1) {
		out = append(out, m[1])
	}
	return out
}

// routeTable is every page that the app's own route table names.
func routeTable(t *testing.T) []string {
	t.Helper()
	var out []string
	pages := between(t, "screen/route.ts", "export type Route =", "/**")
	for _, m := range regexp.MustCompile(`page: "([a-z]+)"`).FindAllStringSubmatch(pages, -1) {
		if m[1] != "office" && m[1] != "book" { // these two have the views below
			out = append(out, m[1])
		}
	}
	out = append(out, words(between(t, "screen/route.ts", "export type OfficeView =", ";"))...)
	out = append(out, bookViews(t)...)
	require.Greater(t, len(out), 20)
	return out
}

// bookViews is every page of the job book.
func bookViews(t *testing.T) []string {
	return words(between(t, "screen/route.ts", "export const views = [", "]"))
}

// kinds is every kind of record.
func kinds() []string {
	var out []string
	for _, k := range jobbook.Kinds {
		out = append(out, k.Key)
	}
	return out
}

// owned is every list of what the shop owns.
func owned(t *testing.T) []string {
	return words(between(t, "jobbook/shop.tsx", "const OWNED = [", "]"))
}

// emptyScreens is what an app without records shows.
func emptyScreens(t *testing.T) []screen {
	out := []screen{at("#/"), at("#/jobs"), at("#/begin"), at("#/stock/material"), at("#/shop"), at("#/find"), at("#/deleted"), at("#/look"),
		at("#/files"), at("#/where"), at("#/sheet/hole"), at("#/sheet/tram"), at("#/readings"), at("#/shared?as=full")}
	for _, s := range owned(t) {
		out = append(out, at("#/shop/"+s))
	}
	// pages of records that do not exist, or were deleted
	for _, page := range append(bookViews(t), "job") {
		if kind := map[string]string{"job": "job", "compare": "kept"}[page]; kind != "" {
			out = append(out, at(escaped(page, kind+":"+nobody)))
		} else if !slices.Contains([]string{"begin", "stock", "shop", "find", "deleted", "look", "files", "new", "print"}, page) {
			out = append(out, at(escaped(page, "setup:"+nobody)))
		}
	}
	return append(out, at("#/new/nonsense"), at("#/print/nonsense"), at("#/print/"+url.PathEscape("setup/setup:"+nobody)), at("#/sheet/nonsense"), at("#/reference/nonsense"), at("#/job/nobody"))
}

// fullScreens is every page, with the invented job on it.
func fullScreens(t *testing.T) []screen {
	setup, job, fixture := demoID("setup", 2), demoID("job", 1), demoID("fixture", 1)
	out := []screen{
		{name: "home", hash: "#/", till: ".running-name"},
		at("#/stage/holes"), at("#/stage/line"), at("#/stage/bench"),
		at("#/jobs"), at(escaped("job", job)), at("#/job/Gear%20case"),
		at("#/shared?as=away"), at("#/checked"), at("#/settings"), at("#/where"), at("#/pair"), at("#/open"), at("#/office"),
		at(escaped("setup", setup)), at(escaped("setup", demoID("setup", 1))), at(escaped("setup", demoID("setup", 4))),
		at(escaped("setup", setup) + "?view=steps"), at(escaped("setup", setup) + "?view=readings"), at(escaped("setup", setup) + "?view=sits"),
		{name: "readings", hash: escaped("readings", setup), do: `document.activeElement.blur()`},
		{name: "readings of a bore", hash: escaped("readings", demoID("setup", 4)), do: `document.activeElement.blur()`},
		{name: "more of readings", hash: escaped("readings", setup) + "?view=more", do: `document.activeElement.blur()`},
		at(escaped("tap", setup)), at(escaped("tap", setup) + "?view=more"), at(escaped("tap", setup) + "?view=rounds"), at(escaped("tap", demoID("setup", 4))),
		at(escaped("place", fixture)), at(escaped("place", demoID("part", 1))), at("#/begin"), at("#/begin?job=" + url.QueryEscape(job)), at("#/stock"), at("#/stock/machine"), at("#/stock/fixture?back=%23%2Fbegin"),
		at(escaped("repeat", job)), at("#/shop"), at("#/deleted"), at("#/files"), at("#/files?job=" + url.QueryEscape(job)),
		{name: "find", hash: "#/find?q=5%2F8-11", till: ".hits .link-card"},
		{name: "find an answer", hash: "#/find?q=where+are+the+brass+shims", till: ".hit.best"},
		{name: "find a place", hash: "#/find?q=which+hole+is+for+an+older+bracket", till: ".hit.best .place-drawing"},
		{name: "find nothing", hash: "#/find?q=zyzzyva", till: ".blank.empty"},
		at(escaped("history", fixture)), at(escaped("history", setup)), at(escaped("repeat", setup)), at(escaped("note", setup)),
		{name: "two values", hash: escaped("record", "fixture:"+clashing), till: ".clashes"}, {name: "two hands", hash: escaped("clash", "fixture:"+clashing), till: ".side .button"},
		at(escaped("record", "job:"+overlong)), at("#/job/job:" + overlong),
		at(escaped("edit", "job:"+overlong)), at(escaped("history", "job:"+overlong)),
		at(escaped("record", "fixture:"+newer)),
		{name: "needs a look", hash: "#/look", till: ".trash li p"}, at(escaped("record", "fixture:"+unreadable)),
	}
	for _, s := range owned(t) {
		out = append(out, at("#/shop/"+s))
	}
	for n := range 3 {
		out = append(out, at(escaped("compare", demoID("kept", n+1))))
	}
	for _, k := range kinds() {
		out = append(out, at(escaped("record", demoID(k, 1))), at(escaped("edit", demoID(k, 1))), at("#/new/"+k))
	}
	for _, page := range jobbook.Pages {
		for _, kind := range page.Kinds {
			hash := "#/print/" + url.PathEscape(page.Key+"/"+demoID(kind, 1))
			name := "print " + page.Key + " " + kind
			out = append(out, screen{name: name, hash: hash, till: `.paper[data-ready="yes"]`})
		}
	}
	groups := map[string]bool{}
	for _, s := range registry.All() {
		out = append(out,
			screen{name: "sheet " + s.Name, hash: "#/sheet/" + s.Name, till: ".board .drawing", set: example(t, s.Name)})
		// Their reference pages differ in words alone: one of each group.
		if !groups[s.Group] {
			groups[s.Group] = true
			out = append(out, screen{name: "reference " + s.Name, hash: "#/reference/" + s.Name, till: ".reference"})
		}
	}
	return out
}

// example is a worksheet's example, typed and not yet kept.
func example(t *testing.T, name string) map[string]string {
	t.Helper()
	s, ok := registry.Find(name)
	require.True(t, ok, name)
	inputs := map[string]string{}
	for _, p := range s.Example {
		inputs[p.Key] = p.Text
	}
	draft, err := json.Marshal(map[string]any{"inputs": inputs, "more": map[string]string{"unit": "in"}})
	require.NoError(t, err)
	return map[string]string{"datumbook.draft." + name: string(draft)}
}

// Ids of records for states that the invented job has not.
const (
	clashing = "01ARYZ6S41TSV4RRFFQ69G5FA1"
	overlong = "01ARYZ6S41TSV4RRFFQ69G5FA2"
	nobody   = "01ARYZ6S41TSV4RRFFQ69G5FAV" // an id that no record has
	newer    = "01ARYZ6S41TSV4RRFFQ69G5FA3"

	unreadable = "01ARYZ6S41TSV4RRFFQ69G5FA4"
)

// rareRecords are a fixture that two devices wrote differently, a job whose every text is as long
// as it may be, one of a later version, one that cannot be read in full, and an answer that was kept
// under a name only.
func rareRecords() []map[string]any {
	edit := func(id string, v any) map[string]any {
		return map[string]any{"id": id, "at": "2026-03-02T09:12:00Z", "by": "bench", "v": v, "unit": "in"}
	}
	one := func(v any) []any { return []any{edit("a-1", v)} }
	long := strings.Repeat("Schmiedepressengrundplattenbefestigungsbohrung 5/8-11 ", 60)
	return []map[string]any{
		{"_id": "fixture:" + clashing, "type": "fixture", "v": 1, "f": map[string]any{
			"name": one("Plate with two minds"), "kind": one("angle plate"),
			"thick": []any{edit("a-2", "1-3/4"), edit("b-1", "1.765")},
			"notes": []any{edit("a-3", "Scraped in May."), edit("b-2", nil)}}},
		{"_id": "job:" + overlong, "type": "job", "v": 1, "f": map[string]any{
			"name": one(long[:180]), "customer": one(long[:100]), "words": one(long), "drawing": one(long[:70]), "state": one("running")}},
		{"_id": "fixture:" + newer, "type": "fixture", "v": 99, "f": map[string]any{"name": one("From a later version")}},
		{"_id": "fixture:" + unreadable, "type": "fixture", "v": 1, "f": map[string]any{
			"name": []any{map[string]any{"id": "a-1", "v": "Plate that needs a look", "over": "abc"}}}},
		{"_id": "kept:" + clashing, "type": "kept", "v": 1, "f": map[string]any{
			"worksheet": one("hole"), "jobname": one("Gear case"), "unit": one("in"), "note": one("by name alone"),
			"inputs": one(map[string]any{"thread": "5/8-11"})}},
	}
}

func send(t *testing.T, office string, docs []map[string]any) {
	t.Helper()
	body, err := json.Marshal(map[string]any{"docs": docs})
	require.NoError(t, err)
	answer, err := http.Post("http://"+office+"/sync/shop/_bulk_docs", "application/json", bytes.NewReader(body))
	require.NoError(t, err)
	defer answer.Body.Close()
	require.Less(t, answer.StatusCode, 300)
}

// access checks screens and collects their faults.
type access struct {
	t       *testing.T
	b       *browsertest.Browser
	home    string
	axe     string
	faults  map[string][]string // fault to the screens that have it
	looks   int
	touched int
}

// eval runs a script and waits for it.
func (a *access) eval(script string) {
	browsertest.Eval[bool](a.b, `(async () => { `+script+`; return true })()`)
}

// open goes to a screen and brings it into its state.
func (a *access) open(s screen) {
	a.t.Helper()
	for key, value := range s.set {
		a.eval(`localStorage.setItem(` + quote(key) + `, ` + quote(value) + `)`)
	}
	if s.anew != "" {
		a.eval(`localStorage.setItem("access.fails", ` + quote(s.anew) + `)`)
		a.b.Go("about:blank")
		a.b.Go(a.home + s.hash)
	}
	a.b.Equip(a.axe)
	script := `const { go, settle, unfold } = datumbookAccess; `
	if s.do != "" {
		script += `await go("#/nowhere", ""); `
	}
	script += `await go(` + quote(s.hash) + `, ` + quote(s.till) + `); await unfold(); `
	if s.do != "" {
		script += s.do + `; await settle(` + quote(s.show) + `); `
	}
	a.eval(script)
}

// accessSizes are the devices. On the office computer only the page's style differs.
var accessSizes = []struct {
	name string
	browsertest.Screen
}{{"phone", browsertest.Screen{Width: 360, Height: 740, Scale: 1, Touch: true}}, {"desk", browsertest.Desk}}

// visit checks a screen on the phone and on the office computer. Its script runs on each, since
// what it shows may vanish, as a message at the foot does.
func (a *access) visit(s screen) {
	a.t.Helper()
	for i, size := range accessSizes {
		a.b.Resize(size.Screen)
		if i == 0 || s.do != "" {
			a.open(s)
		}
		bare, glove := bareTarget, gloveTarget
		if s.bare || (i > 0 && !s.worn) { // nobody wears gloves at the desk
			glove = 0
		}
		if s.worn {
			bare = 0
		}
		// axe-core is run on the phone, in the bright and the dim theme by turns. Its own rule of contrast
		// takes longer than all the others: one screen in three has it as well as ours.
		axe, turn := "", a.looks/len(accessSizes)
		if i == 0 {
			axe = []string{"bright", "dim"}[turn%2]
			if *everyLook {
				axe = "bright dim"
			}
		}
		got := browsertest.Eval[struct {
			Faults  map[string][]string
			Touched int
		}](a.b, fmt.Sprintf(`datumbookAccess.look({ axe: %q, contrast: %v, bare: %d, glove: %d, asGlove: %v })`,
			axe, *everyLook || turn%3 == 0, bare, glove, s.worn))
		a.looks++
		a.touched += got.Touched
		assert.Positive(a.t, got.Touched, s.name)
		for look, faults := range got.Faults {
			for _, f := range faults {
				a.faults[look+": "+f] = append(a.faults[look+": "+f], s.name+" on the "+size.name)
			}
		}
		a.picture(s, size.name, s.worn)
		if i == 0 {
			a.elsewhere(s, turn, glove)
		}
	}
}

// notch is what a phone on its side keeps free at each end.
const notch = 47

func keepFree(b *browsertest.Browser, px int64) {
	b.Do("keep the ends free", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetSafeAreaInsetsOverride, emulation.SetSafeAreaInsetsOverrideParams{
			Insets: &emulation.SafeAreaInsets{Left: new(px), Right: new(px)}})
		return err
	}))
}

// elsewhere checks a screen that is open on the phone in other looks: with large text, and by turns in
// gloves on its side, in gloves on a phone 375 wide, and in colours of the user's own. On every other
// screen axe-core is run in one of them.
func (a *access) elsewhere(s screen, turn, glove int) {
	a.t.Helper()
	note := func(look string, faults []string) {
		for _, f := range faults {
			a.faults[look+": "+f] = append(a.faults[look+": "+f], s.name)
		}
	}
	var looks []func(axe bool)
	if !s.worn {
		looks = append(looks, func(axe bool) {
			a.b.Resize(browsertest.Screen{Width: 320, Height: 740, Scale: 1, Touch: true})
			note("large text", browsertest.Eval[[]string](a.b, fmt.Sprintf(`datumbookAccess.large(%v)`, axe)))
		})
	}
	turns := []func(axe bool){a.forced(note)}
	if glove > 0 {
		ask := fmt.Sprintf(`datumbookAccess.worn(%d, %%v)`, glove)
		turns = append(turns, func(axe bool) {
			a.b.Resize(browsertest.Screen{Width: 740 + 2*notch, Height: 360, Scale: 1, Touch: true})
			keepFree(a.b, notch)
			note("gloves, on its side", browsertest.Eval[[]string](a.b, fmt.Sprintf(ask, axe)))
			keepFree(a.b, 0)
		}, func(axe bool) {
			a.b.Resize(browsertest.Screen{Width: 375, Height: 667, Scale: 1, Touch: true})
			faults := browsertest.Eval[[]string](a.b, fmt.Sprintf(ask, axe))
			// The keypad's keys are lower there, and Settings says so.
			note("gloves, 375 wide", slices.DeleteFunc(faults, func(f string) bool { return strings.Contains(f, "div.keypad") }))
		})
	}
	if !*everyLook {
		turns = turns[turn%len(turns):][:1]
	}
	looks = append(looks, turns...)
	for n, look := range looks {
		look(*everyLook || turn%4 == 2*n)
	}
}

// forced looks at a screen in colours of the user's own.
func (a *access) forced(note func(look string, faults []string)) func(axe bool) {
	return func(axe bool) {
		emulate(a.b, &emulation.MediaFeature{Name: "forced-colors", Value: "active"},
			&emulation.MediaFeature{Name: "prefers-reduced-motion", Value: "reduce"})
		note("forced colours", browsertest.Eval[[]string](a.b, fmt.Sprintf(`datumbookAccess.forced(%v)`, axe)))
		emulate(a.b, &emulation.MediaFeature{Name: "forced-colors"}, &emulation.MediaFeature{Name: "prefers-reduced-motion"})
	}
}

// picture saves pictures of a screen where the flag asks for them.
func (a *access) picture(s screen, size string, worn bool) {
	if *screens == "" {
		return
	}
	for look, glove := range map[string]string{"bright": "no", "dim": "no", "glove": "yes"} {
		if look != "glove" && worn {
			glove = "yes"
		}
		shade := strings.Replace(look, "glove", "bright", 1)
		a.eval(`Object.assign(document.documentElement.dataset, { look: "` + shade + `", glove: "` + glove + `" })`)
		name := regexp.MustCompile(`[^-\w]+`).ReplaceAllString(s.name, "_") + "." + size + "." + look + ".png"
		require.NoError(a.t, os.WriteFile(filepath.Join(*screens, name), a.b.Picture(), 0o644))
	}
	a.eval(`Object.assign(document.documentElement.dataset, { look: "bright", glove: "` + map[bool]string{true: "yes", false: "no"}[worn] + `" })`)
}

func quote(text string) string {
	out, _ := json.Marshal(text)
	return string(out)
}

// fails makes a browser, before the page's own scripts run, lack or report something, as local
// storage says.
const fails = `(() => {
	const shifts = (window.datumbookShifts = []);
	new PerformanceObserver((list) => {
		for (const e of list.getEntries())
			if (!e.hadRecentInput)
				shifts.push({ value: e.value, by: e.sources.map((s) => (s.node?.className || s.node?.nodeName) + " from " + s.previousRect.y + " to " + s.currentRect.y).join(", ") });
	}).observe({ type: "layout-shift", buffered: true });
	const how = (() => { try { return localStorage.getItem("access.fails"); } catch { return null; } })();
	if (how === "arithmetic") window.Worker = class extends EventTarget {
		constructor() { super(); setTimeout(() => this.dispatchEvent(new ErrorEvent("error", { message: "no arithmetic here" }))); }
		set onerror(f) { this.addEventListener("error", f); }
		postMessage() {}
		terminate() {}
	};
	if (how === "store") Object.defineProperty(window, "indexedDB", { value: undefined });
	if (how === "update") {
		const waiting = Object.assign(new EventTarget(), { scriptURL: new URL("/sw.js", location.href).href, state: "installed", postMessage() {} });
		navigator.serviceWorker.register = async () => Object.assign(new EventTarget(), { waiting, update: async () => {} });
	}
})()`

// tap presses what a selector finds by script, typed puts a text into a field
// as typing does.
const (
	tapJS   = `const tap = (what) => { const el = document.querySelector(what); if (!el) throw new Error("no " + what + " here: " + document.body.innerText); el.click(); }; `
	typedJS = `const typed = (what, text) => { const el = document.querySelector(what); Object.getOwnPropertyDescriptor(Object.getPrototypeOf(el), "value").set.call(el, text); el.dispatchEvent(new Event("input", { bubbles: true })); el.dispatchEvent(new Event("change", { bubbles: true })); }; `
)

// prefs is what local storage holds where the user changed a setting.
func prefs(text string) map[string]string { return map[string]string{"datumbook.prefs": text} }

// doing lets the screens' own scripts tap and type.
func doing(screens []screen) []screen {
	for i := range screens {
		if screens[i].do != "" {
			screens[i].do = tapJS + typedJS + screens[i].do
		}
	}
	return screens
}

// shownStates are screens after actions on them: opened parts, faults and messages.
func shownStates(t *testing.T) []screen {
	t.Helper()
	setup, fixture := demoID("setup", 2), demoID("fixture", 1)
	const pair = `const { code } = await (await fetch("/api/pair/code", { method: "POST", headers: { "Content-Type": "application/json" }, body: '{"role":"owner"}' })).json();
		typed("#pair-code", code); typed("#pair-name", "Bench"); await settle(""); tap("form button[type=submit]")`
	const choose = `const all = new DataTransfer(); all.items.add(new File([text], "chosen.json", { type: "application/json" }));
		const field = document.querySelector('input[type="file"]'); field.files = all.files; field.dispatchEvent(new Event("change", { bubbles: true }))`
	return doing([]screen{
		{name: "sheet with a mistake", hash: "#/sheet/hole", set: example(t, "hole"), till: "#hole-stock", do: `typed("#hole-stock", "three")`, show: ".facts.wrong"},
		{name: "sheet that refuses", hash: "#/sheet/hole", set: example(t, "hole"), till: "#hole-depth-full", do: `typed("#hole-depth-full", "3")`, show: ".first.is-refuse"},
		{name: "row of a table open", hash: "#/sheet/weigh", set: example(t, "weigh"), till: ".strip-n", do: `tap(".strip-n")`, show: ".strip-card"},
		{name: "search", hash: "#/", do: `typed("#find", "1/2 tap")`, show: ".hits .hit"},
		{name: "install", hash: "#/settings", do: `dispatchEvent(Object.assign(new Event("beforeinstallprompt"), { prompt() {} }))`, show: ".hint"},
		{name: "ticked", hash: escaped("setup", setup) + "?view=steps", till: ".tick", do: `tap("li:not(.done) .tick")`, show: ".said .button"},
		{name: "photo open", hash: escaped("record", fixture) + "?view=card", till: ".thumb img",
			do: `tap(".thumb")`, show: "dialog[open]:has(.go:focus) img"},
		{name: "form refused", hash: "#/new/fixture", do: `tap("form [type=submit]")`, show: ".fault"},
		{name: "form with a mistake", hash: escaped("edit", fixture), do: `typed("input[data-pad=length]", "wide")`, show: ".fault"},
		{name: "row of a form open", hash: escaped("edit", fixture), do: `tap(".row-text")`, show: ".row-open"},
		{name: "code refused", hash: "#/pair", do: `typed("#pair-code", "12"); await settle(""); tap("form button[type=submit]")`, show: ".fault"},
		{name: "code shown", hash: "#/office", till: "#let-in", do: `tap("#let-in .form-foot button")`, show: ".pair-code img"},
		{name: "paired", hash: "#/pair", do: pair, show: ".state-line"},
		{name: "shut out?", hash: "#/office", till: "#devices li", do: `tap("#devices li button")`, show: ".twice"},
		{name: "files brought in", hash: "#/files", do: `const text = '{"datumbook":1,"form":"records","docs":[{"_id":"fixture:` + clashing + `","type":"fixture","v":1,"f":{"name":[{"id":"c-9","v":"A third mind"}]}},{"_id":"x","type":""}]}'; ` + choose, show: `[role=status] ul`},
		{name: "file of something else", hash: "#/files", do: `const text = "words"; ` + choose, show: ".fault"},
		{name: "taken out", hash: escaped("record", demoID("gauge", 2)), do: `document.querySelector(".gone button")?.click();
			const key = () => [...document.querySelectorAll(".foot-links button")].find((b) => b.textContent === "Delete");
			await datumbookAccess.wait("the key that deletes", key); key().click()`, show: ".said .button"},
		{name: "deleted", hash: "#/deleted", till: ".trash li"},
		{name: "gone", hash: escaped("record", demoID("gauge", 2)), till: ".gone"},
	})
}

// keypads are the keypads of every kind of field, bare and in gloves, each of
// their pages.
func keypads() []screen {
	pads := []struct {
		name, hash, field string
		pages             int // at most
	}{
		{"thread", "#/sheet/hole", "#hole-thread", 4}, {"length", "#/sheet/hole", "#hole-stock", 3},
		{"drill", "#/sheet/hole", "input[data-pad=drill]", 4},
		{"reading", escaped("readings", demoID("setup", 2)), "input[data-pad=reading]", 2},
	}
	var in []screen
	for _, worn := range []bool{false, true} {
		how := map[bool]string{false: "bare", true: "glove"}[worn]
		for i, p := range pads {
			for at := range p.pages {
				s := screen{name: fmt.Sprintf("%s keypad %s %d", how, p.name, at+1), hash: p.hash, till: p.field, bare: !worn, worn: worn, show: ".keypad." + how,
					do: fmt.Sprintf(`const field = document.querySelector('%s'); field.focus(); await settle(".keypad.%s");
						for (let n = 0; n < %d; n++) { document.querySelector('.keypad [data-key^="page"]')?.click(); await settle("") }`, p.field, how, at)}
				if i == 0 && at == 0 {
					s.set, s.anew = prefs(map[bool]string{false: `{"keypad":"always"}`, true: `{"keypad":"always","glove":true,"hand":"left"}`}[worn]), "no"
				}
				in = append(in, s)
			}
		}
	}
	return doing(in)
}

// failing are screens in browsers that lack something.
func failing() []screen {
	fixture, job := demoID("fixture", 1), demoID("job", 1)
	return []screen{
		{name: "no arithmetic", hash: "#/", anew: "arithmetic"},
		{name: "sheet with no arithmetic", hash: "#/sheet/tram", till: ".blank.broken"}, {name: "checks with no arithmetic", hash: "#/checked"},
		{name: "form with no arithmetic", hash: "#/new/fixture", till: ".blank.broken"},
		{name: "no store", hash: "#/", anew: "store"},
		{name: "jobs with no store", hash: "#/jobs"}, {name: "job with no store", hash: escaped("job", job)}, {name: "files with no store", hash: "#/files"},
		{name: "sheet with no store", hash: "#/sheet/hole", till: ".page-foot"}, {name: "where with no store", hash: "#/where"}, {name: "paper with no store", hash: "#/print/" + url.PathEscape("card/"+fixture)},
		{name: "update", hash: "#/", anew: "update", till: ".update"},
	}
}

// still checks that nothing on the start page moves while it loads.
func (a *access) still(what string) {
	a.t.Helper()
	a.b.Equip(a.axe)
	a.eval(`await datumbookAccess.settle(".sync-mark.office")`)
	shifts := browsertest.Eval[[]struct {
		Value float64
		By    string
	}](a.b, `datumbookShifts`)
	sum := 0.0
	for _, s := range shifts {
		sum += s.Value
	}
	assert.LessOrEqual(a.t, sum, mostShift, "%s moves while it comes: %+v", what, shifts)
}

// tell reports what was found.
func (a *access) tell() {
	a.t.Logf("%d looks, %d targets measured", a.looks, a.touched)
	for _, f := range slices.Sorted(maps.Keys(a.faults)) {
		on := a.faults[f]
		assert.Fail(a.t, f, "on %d screens: %s", len(on), strings.Join(on[:min(len(on), 5)], ", "))
	}
}

// newAccess opens the app, empty, in a browser and with an office of its own.
func newAccess(t *testing.T) (a *access, office *browsertest.Office, gate *browsertest.Gate) {
	source, err := os.ReadFile("../../pwa/node_modules/axe-core/axe.min.js")
	require.NoError(t, err, "npm --prefix pwa ci")
	data := t.TempDir()
	// A copy that is out of reach, so that the office's page tells of one.
	_, err = peer.Add(data, peer.Peer{URL: "https://127.0.0.1:1/sync/shop", Book: "shop", Way: peer.Both})
	require.NoError(t, err)
	office = browsertest.StartOffice(t, data)
	gate = browsertest.NewGate(t)
	gate.To(office.Addr)
	b := browsertest.Open(t, t.TempDir(), accessSizes[0].Screen)
	a = &access{t: t, b: b, home: gate.URL() + "/", axe: string(source), faults: map[string][]string{}}
	b.Always(fails)
	b.Go(a.home)
	b.WaitText("No job on this phone yet")
	return a, office, gate
}

// fill imports the invented job and the rare records.
func (a *access) fill(office *browsertest.Office) {
	var invented struct{ Docs []json.RawMessage }
	require.NoError(a.t, json.Unmarshal(demo.File, &invented))
	rare := rareRecords()
	a.b.Tap(`.demo-keys button`)
	a.b.WaitText("Base to the plate")
	send(a.t, office.Addr, rare)
	a.b.Wait("all of it is stored", fmt.Sprintf(`%s.then((ids) => ids.length === %d)`, stored, len(invented.Docs)+len(rare)))
	a.b.Go(a.home + "#/jobs")
	a.b.WaitText("Gear case") // the last of them is on the page
	a.b.Go(a.home + "#/")
	a.b.WaitText("Base to the plate")
}

// TestAccess checks every screen of the app, in its empty, full, wrong and open states, on the
// phone and on the office computer, in the bright and the dim theme, against axe-core's rules and
// the size that a finger needs. Its parts run in parallel, each in a browser of its own.
func TestAccess(t *testing.T) {
	full := fullScreens(t)
	for _, page := range routeTable(t) {
		assert.True(t, slices.ContainsFunc(full, func(s screen) bool {
			path, _, _ := strings.Cut(strings.TrimPrefix(s.hash, "#/"), "?")
			first, _, _ := strings.Cut(path, "/")
			return first == page || page == "home" && s.hash == "#/"
		}), "no screen of the page %q is looked at", page)
	}
	visits := func(name string, screens []screen, filled bool) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			a, office, _ := newAccess(t)
			defer a.tell()
			if filled {
				a.fill(office)
			}
			for _, s := range screens {
				a.visit(s)
			}
		})
	}
	part := (len(full) + 1) / 2
	for i, some := range slices.Collect(slices.Chunk(full, part)) {
		visits(fmt.Sprintf("full %d", i+1), some, true)
	}
	visits("shown", shownStates(t), true)
	visits("keypads", keypads(), true)
	visits("empty", emptyScreens(t), false)
	t.Run("failing", func(t *testing.T) {
		t.Parallel()
		a, office, gate := newAccess(t)
		defer a.tell()
		a.still("the empty start page")
		a.fill(office)
		for _, size := range accessSizes {
			a.b.Resize(size.Screen)
			a.open(screen{hash: "#/", till: ".next-step", anew: "no"})
			a.open(screen{hash: "#/", till: ".next-step", anew: "no"}) // now its room is stored
			a.still("the start page on the " + size.name)
		}
		for _, s := range failing() {
			a.visit(s)
		}
		gate.Shut()
		for _, s := range []screen{
			{name: "office out of reach", hash: "#/office", till: ".blank.broken", anew: "no"},
			{name: "where out of reach", hash: "#/where", till: ".causes"},
		} {
			a.visit(s)
		}
	})
}
