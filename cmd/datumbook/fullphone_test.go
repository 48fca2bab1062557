package main

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook/demo"
	"datumbook/cmd/datumbook/browsertest"
)

// room sets how many bytes the browser gives an origin; nil restores the default.
func (h hand) room(origin string, bytes *float64) {
	h.t.Helper()
	h.Do("change the room", chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
		_, err := cdp.Call(ctx, to, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: origin, QuotaSize: bytes})
		return err
	}))
}

// saysFull waits for a fault and compares it with the sentence for a full phone.
func (h hand) saysFull(where, selector string) {
	h.t.Helper()
	h.Wait(where+" says something", `!!document.querySelector(`+"`"+selector+"`"+`)?.innerText`)
	said := browsertest.Eval[string](h.Browser, `document.querySelector(`+"`"+selector+"`"+`).innerText`)
	for _, must := range []string{"room for Datumbook is full", "What you typed is still here", "Free some room", "bring the records to the office", "save everything to a file"} {
		assert.Contains(h.t, said, must, where)
	}
	assert.NotRegexp(h.t, `private|ordinary window|idb|IDB|Error|undefined`, said, where)
	assert.Equal(h.t, 1, strings.Count(said, "Free some room"), where)
}

// TestFullPhone sets the browser's quota to one byte in the middle of a shift with no signal. A
// worksheet's result, a note and a photo find no room: each says so in the same plain words, what
// was typed stays, also over a reload, and what was kept before is still read. The waiting records
// reach the office from the full phone. Once there is room the same keys keep what was not stored,
// and the office has each thing once.
func TestFullPhone(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	gate := browsertest.NewGate(t)
	gate.To(office.Addr)
	profile := t.TempDir()
	h := hand{t, browsertest.Open(t, profile, browsertest.Phone)}
	home := gate.URL() + "/"
	setup := inDemo("setup", "02")
	h.Go(home)
	h.WaitText("Load an invented job to look round")
	h.Wait("the app is ready for offline", `navigator.serviceWorker && navigator.serviceWorker.controller !== null`)
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	h.AtOffice()
	gate.Shut()
	h.Tap(`.demo-keys button`)
	h.WaitText("Base to the plate")
	var invented struct{ Docs []json.RawMessage }
	require.NoError(t, json.Unmarshal(demo.File, &invented))
	h.Wait("all of it waits", fmt.Sprintf(`document.querySelector(".sync-words")?.textContent === "%d waiting"`, len(invented.Docs)))
	before := browsertest.Eval[[]string](h.Browser, stored)

	// A browser reads its quota when it opens a store.
	h.Close()
	h.Browser = browsertest.Open(t, profile, browsertest.Phone)
	h.room(gate.URL(), new(float64(1)))

	kept := func() {
		h.t.Helper()
		h.start()
		h.WaitText("Tighten, and read again")
		h.open("#/readings/" + setup)
		h.Wait("its readings", `document.querySelectorAll(".spot-key").length > 3`)
		assert.Equal(t, before, browsertest.Eval[[]string](h.Browser, stored), "what was kept is there, and nothing half kept")
	}
	h.part("a result", func() {
		h.plan(home)
		h.touch(`.page-foot .go`, "Keep")
		h.saysFull("a result", ".said")
		h.shot("full-result")
		headSays(t, h.Browser, "trouble", "not kept")
		h.Wait("the key that leads to the room", `document.querySelector(".strip-wrong .button")?.textContent === "Free room"`)
		assert.Equal(t, wasTyped, browsertest.Eval[string](h.Browser, typed))
		kept()
		h.open("#/sheet/hole")
		h.Reload()
		h.Wait("what was typed is back", typed+` === "`+wasTyped+`"`)
		kept()
	})
	h.part("a note", func() {
		h.open("#/note/" + setup)
		h.Type(`textarea`, "Shim under the right foot is the brass one")
		h.touch(`form button[type=submit]`, "Keep the note")
		h.saysFull("a note", "main .fault")
		h.shot("full-note")
		h.Reload()
		h.Wait("what was typed is back", `document.querySelector("textarea")?.value === "Shim under the right foot is the brass one"`)
	})
	h.part("a photo", func() {
		h.open("#/setup/" + setup)
		h.Wait("the photo's key", `!!document.querySelector(".take-photo input[type=file]")`)
		h.Do("take a photo", chromedp.SetUploadFiles(chromedp.CSS(`.take-photo input[type=file]`), []string{casting(t)}, chromedp.NodeReady))
		h.saysFull("a photo", ".take-photo .fault")
		h.start()
		h.touch(`.mill-keys button`, "Done")
		h.saysFull("a tick", ".said")
		h.shot("full-photo")
		kept()
	})
	h.part("what waits goes to the office", func() {
		gate.Open()
		var there []string
		require.Eventually(t, func() bool {
			there = nil
			for _, r := range atOffice(t, office) {
				there = append(there, r.ID)
			}
			return len(there) >= len(before)
		}, time.Minute, 200*time.Millisecond, "all that waits reaches the office")
		slices.Sort(there)
		slices.Sort(before)
		assert.Equal(t, before, there)
		h.AtOffice()
		h.shot("full-office")
		gate.Shut()
	})
	h.part("room again", func() {
		h.open("#/setup/" + setup)
		h.Wait("the photo's key", `!!document.querySelector(".take-photo input[type=file]")`)
		h.Do("take a photo", chromedp.SetUploadFiles(chromedp.CSS(`.take-photo input[type=file]`), []string{casting(t)}, chromedp.NodeReady))
		h.saysFull("a photo", ".take-photo .fault")
		h.room(gate.URL(), nil)
		h.touch(`.take-photo .again`, "Try to keep this photo again")
		h.WaitText("Photo kept on this phone.")
		h.touch(`a.hand`, "Note")
		h.touch(`form button[type=submit]`, "Keep the note")
		h.WaitText("Note kept.")
		h.open("#/sheet/hole")
		h.Wait("it is worked out", workedOut)
		assert.Equal(t, wasTyped, browsertest.Eval[string](h.Browser, typed))
		h.touch(`.page-foot .go`, "Keep")
		h.WaitText("Kept under Pillow-block housing")
	})
	gate.Open()
	h.AtOffice()
	says := map[string]int{}
	for _, r := range atOffice(t, office) {
		if !strings.Contains(r.ID, demo.Prefix) {
			says[strings.TrimSpace(r.Doc.Type+" "+r.says("text")+r.says("worksheet"))]++
		}
	}
	assert.Equal(t, map[string]int{"photo": 1, "note Shim under the right foot is the brass one": 1, "kept hole": 1}, says)
}
