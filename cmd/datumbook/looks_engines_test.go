package main

import (
	"fmt"
	"net/url"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// TestLooks looks at the main screens in the engines that TestAccess does not run in: Firefox in
// colours of the user's own, and WebKit.
func TestLooks(t *testing.T) {
	t.Parallel()
	for name, colours := range map[string]string{"firefox": "forced", "webkit": ""} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			office := browsertest.StartOffice(t, t.TempDir())
			e := browsertest.OpenEngine(t, name, colours)
			home := "http://" + office.Addr + "/"
			e.Go(home)
			e.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
			e.Tap(".demo-keys button")
			e.WaitText("Tighten, and read again")
			looksIn(t, e, home)
		})
	}
}

// looksIn holds five screens with the invented job to axe-core's rules and to the room that a finger
// needs, bare and in gloves, upright and on the phone's side, with text as it is and twice as large;
// and two papers to their sheets, each with its head and number.
func looksIn(t *testing.T, e *browsertest.Engine, home string) {
	t.Helper()
	axe, err := os.ReadFile("../../pwa/node_modules/axe-core/axe.min.js")
	require.NoError(t, err, "npm --prefix pwa ci")
	var ok bool
	for key, draft := range example(t, "hole") {
		e.Eval(`(localStorage.setItem(`+quote(key)+`, `+quote(draft)+`), true)`, &ok)
	}
	e.Go(home)
	e.Equip(string(axe))
	var forced bool
	e.Eval(`matchMedia("(forced-colors: active)").matches`, &forced)
	assert.Equal(t, e.Name == "firefox", forced, "it is Firefox that has colours of the user's own")
	for _, s := range []struct{ hash, till string }{
		{"#/", ".next-step"},
		{"#/sheet/hole", ".board .drawing"},
		{"#/setup/" + inDemo("setup", "02"), ".sits svg"},
		{"#/readings/" + inDemo("setup", "02"), ".spot-key"},
		{"#/record/" + inDemo("fixture", "01"), ".face-picture svg"},
	} {
		e.Eval(fmt.Sprintf(`datumbookAccess.go(%q, %q).then(() => (document.activeElement.blur(), true))`, s.hash, s.till), &ok)
		var got struct {
			Faults  map[string][]string
			Touched int
		}
		e.Eval(fmt.Sprintf(`datumbookAccess.look({ axe: "bright", contrast: false, bare: %d, glove: %d })`, bareTarget, gloveTarget), &got)
		assert.Positive(t, got.Touched, s.hash)
		for look, faults := range got.Faults {
			if forced { // the user's colours are the user's
				faults = slices.DeleteFunc(faults, func(f string) bool { return strings.HasPrefix(f, "contrast of ") })
			}
			assert.Empty(t, faults, "%s %s, %s", e.Name, s.hash, look)
		}
		if forced {
			var faults []string
			e.Eval(`datumbookAccess.forced()`, &faults)
			assert.Empty(t, faults, "%s %s in forced colours", e.Name, s.hash)
		}
		var large, lying []string
		e.Eval(`datumbookAccess.large(true)`, &large)
		assert.Empty(t, large, "%s %s, large text", e.Name, s.hash)
		e.Size(740, 360)
		e.Eval(fmt.Sprintf(`datumbookAccess.worn(%d, true)`, gloveTarget), &lying)
		assert.Empty(t, lying, "%s %s, gloves on its side", e.Name, s.hash)
		e.Size(360, 740)
	}
	for _, what := range []string{"card/" + demoID("fixture", 1), "setup/" + demoID("setup", 2)} {
		hash := "#/print/" + url.QueryEscape(what) + "?paper=letter"
		e.Eval(fmt.Sprintf(`datumbookAccess.go(%q, ".paper[data-ready]").then(() => true)`, hash), &ok)
		var sheets int
		e.Eval(`document.querySelectorAll(".paper-sheet, .paper-leaf").length`, &sheets)
		printed := browsertest.Sheets(t, e.Print())
		assert.Len(t, printed, sheets, "%s: %s", e.Name, what)
		for i, s := range printed {
			assert.Greater(t, s.Ink, .005, "%s: %s has a blank page", e.Name, what)
			assert.Contains(t, s.Text, fmt.Sprintf("%d of %d", i+1, sheets), "%s: %s", e.Name, what)
			assert.Contains(t, s.Text, "INVENTED", "%s: %s", e.Name, what)
		}
	}
}
