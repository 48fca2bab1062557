package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

var pictures = flag.Bool("pictures", false, "renew the pictures of the main screens")

// shown is one of the main screens: where, on what, and what is typed.
type shown struct {
	name, hash  string
	look, glove bool // dim, in gloves
	wide        bool // landscape
	page        string
	typed       map[string]string
	drawn       string // of the job book: what shows that it is whole
}

// mainScreens are the pages that work things out and the job book's, all with invented numbers.
var mainScreens = []shown{
	{name: "start", hash: ""},
	{name: "start-dim", hash: "", look: true},
	{name: "start-gloves", hash: "", glove: true},
	{name: "stage", hash: "stage/line"},
	{name: "hole", hash: "sheet/hole?job=x", page: "hole", typed: plateHole},
	{name: "hole-dim", hash: "sheet/hole?job=x", look: true, page: "hole", typed: plateHole},
	{name: "hole-gloves", hash: "sheet/hole?job=x", glove: true, page: "hole", typed: plateHole},
	{name: "hole-landscape", hash: "sheet/hole?job=x", wide: true, page: "hole", typed: plateHole},
	{name: "hole-stop", hash: "sheet/hole?job=x", page: "hole", typed: map[string]string{"thread": "3/8-16", "stock": "7/8", "depth": "5/8"}},
	{name: "hole-empty", hash: "sheet/hole?job=x"},
	{name: "tram", hash: "sheet/tram?job=x", page: "tram", typed: map[string]string{"readings": "0,0 thou;7,-2 thou;14,4 thou"}},
	{name: "pattern", hash: "sheet/bolts?job=x", page: "bolts", typed: map[string]string{"dia": "5.5", "n": "6"}},
	{name: "middle", hash: "sheet/middle?job=x", page: "middle", typed: map[string]string{"a": "0", "b": "3.864"}},
	{name: "reach", hash: "sheet/reach?job=x", page: "reach", typed: map[string]string{"travel": "30", "cross": "12", "long": "17", "wide": "4", "cutter": "5"}},
	{name: "hold", hash: "sheet/hold?job=x", page: "hold", typed: map[string]string{"studs": "-3.25,6;3.25,6", "left": "-5", "right": "5", "bottom": "0", "top": "8",
		"weight": "46", "cgy": "4", "cgz": "3", "force": "60", "thread": "1/2-13", "torque": "25"}},
	{name: "sling", hash: "sheet/sling?job=x", page: "sling", typed: map[string]string{"weight": "420"}},
	{name: "sling-dim", hash: "sheet/sling?job=x", look: true, page: "sling", typed: map[string]string{"weight": "420"}},
	{name: "speed", hash: "sheet/speed?job=x", page: "speed", typed: map[string]string{"op": "facemill", "dia": "5", "teeth": "8", "tool": "carbide"}},
	{name: "why", hash: "sheet/hole?job=x&view=why", page: "hole", typed: plateHole},
	{name: "steps", hash: "sheet/hole?job=x&view=steps", page: "hole", typed: plateHole},
	{name: "setup", hash: "setup/" + inDemo("setup", "02"), drawn: ".sits svg"},
	{name: "setup-gloves", hash: "setup/" + inDemo("setup", "02"), glove: true, drawn: ".sits svg"},
	{name: "readings", hash: "readings/" + inDemo("setup", "02"), drawn: ".spot-key"},
	{name: "indicate", hash: "tap/" + inDemo("setup", "02"), drawn: ".headline span"},
	{name: "job", hash: "job/" + inDemo("job", "01"), drawn: ".link-list li + li"},
	{name: "begin", hash: "begin?job=" + inDemo("job", "01"), drawn: ".pick-card.on svg"},
	{name: "fixture", hash: "record/" + inDemo("fixture", "01"), drawn: ".face-picture svg"},
	{name: "place", hash: "place/" + inDemo("fixture", "01"), drawn: ".face-picture svg"},
	{name: "find", hash: "find?q=where+does+the+strap+pass", drawn: ".place-drawing .d-chosen"},
}

var plateHole = map[string]string{"thread": "3/8-16", "stock": "7/8"}

// TestPictures holds the README's pictures to what they are said to be; with -pictures it takes them
// anew, to be looked at.
func TestPictures(t *testing.T) {
	t.Parallel()
	if *pictures {
		takePictures(t)
	}
	for _, s := range mainScreens {
		body, err := os.ReadFile(filepath.Join("pictures", s.name+".png"))
		require.NoError(t, err)
		config, err := png.DecodeConfig(bytes.NewReader(body))
		require.NoError(t, err, s.name)
		width, height := 360, 740
		if s.wide {
			width, height = 740, 360
		}
		assert.Equal(t, [2]int{width, height}, [2]int{config.Width, config.Height}, s.name)
	}
}

func takePictures(t *testing.T) {
	office := browsertest.StartOffice(t, t.TempDir())
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	home := "http://" + office.Addr + "/"
	h.Go(home)
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	h.loadDemo()
	require.NoError(t, os.MkdirAll("pictures", 0o755))
	for _, s := range mainScreens {
		screen := browsertest.Screen{Width: 360, Height: 740, Scale: 1, Touch: true}
		if s.wide {
			screen.Width, screen.Height = 740, 360
		}
		h.Go(home + "#/checked")
		h.Wait("another page", `!document.querySelector(".page, .home")`)
		h.Resize(screen)
		prefs, err := json.Marshal(map[string]any{"look": map[bool]string{false: "bright", true: "dim"}[s.look], "glove": s.glove})
		require.NoError(t, err)
		draft, err := json.Marshal(map[string]any{"inputs": s.typed})
		require.NoError(t, err)
		browsertest.Eval[bool](h.Browser, `(Object.keys(localStorage).filter((k) => k.startsWith("datumbook.draft.")).forEach((k) => localStorage.removeItem(k)),
			localStorage["datumbook.prefs"] = `+"`"+string(prefs)+"`"+`, true)`)
		if s.page != "" {
			browsertest.Eval[bool](h.Browser, `(localStorage["datumbook.draft.`+s.page+`"] = `+"`"+string(draft)+"`"+`, true)`)
		}
		h.Go(home + "?" + s.name + "#/" + s.hash) // another page, so that it starts anew
		switch {
		case s.drawn != "":
			h.Wait(s.name, fmt.Sprintf(`!!document.querySelector(%q)`, s.drawn))
		case s.page == "" && s.hash != "sheet/hole?job=x":
			h.Wait(s.name, `document.querySelectorAll(".tile").length > 3 && (location.hash.length > 3 || !!document.querySelector(".running-name"))`)
		default:
			h.Wait(s.name, `!!document.querySelector(".headline span")?.textContent && (/view=/.test(location.hash) || !!document.querySelector(".picture svg"))`)
		}
		browsertest.Eval[bool](h.Browser, `(document.activeElement?.blur(), scrollTo(0, 0), true)`)
		h.AtOffice()
		h.Wait(s.name+" stands still", settledOrNot)
		require.NoError(t, os.WriteFile(filepath.Join("pictures", s.name+".png"), h.Picture(), 0o644))
	}
}

// settledOrNot is true once the page has not changed from one look to the next.
const settledOrNot = `(() => {
	const now = document.querySelector("main").innerHTML;
	const still = window.lastLook === now;
	window.lastLook = now;
	return still;
})()`
