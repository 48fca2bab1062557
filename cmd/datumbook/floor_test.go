package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/pwa/floor"
)

// tooOld are browsers below the floor, by what they have not.
var tooOld = map[string]string{
	"a copy of what is stored": `delete window.structuredClone`,
	"a look behind in a pattern": `window.RegExp = new Proxy(RegExp, { construct(R, [s, f]) {
		if (String(s).includes("(?<=")) throw new SyntaxError("Invalid regular expression");
		return new R(s, f);
	} })`,
	"a way to ask what is in a thing": `CSS.supports = () => false`,
}

// TestReadmeNamesTheFloor holds README to the list that linter and bundler have.
func TestReadmeNamesTheFloor(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	for _, b := range floor.Oldest() {
		assert.Contains(t, strings.Join(strings.Fields(string(readme)), " "), b.Said+" "+b.Version)
	}
}

// TestTooOld opens the app in browsers below the floor: they are told so, and what they would need,
// in place of an empty page.
func TestTooOld(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	for what, gone := range tooOld {
		t.Run(what, func(t *testing.T) {
			h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
			h.Always(gone)
			h.Go("http://" + office.Addr + "/")
			h.WaitText("This browser is too old for Datumbook.")
			assert.Contains(t, browsertest.Eval[string](h.Browser, `document.body.innerText`), floor.Said())
			assert.Zero(t, browsertest.Eval[int](h.Browser, `document.querySelector("#app").childElementCount`))
		})
	}
}

// TestFloor takes from a browser of today what the platform has learned since the floor, by the
// compatibility data of the linter, and does the main things in it: the list is long, and what the
// app uses of it where it is there is in pwa/floor/guarded.json.
func TestFloor(t *testing.T) {
	t.Parallel()
	above, err := exec.CommandContext(t.Context(), "node", "../../pwa/floor/above.js").Output()
	require.NoError(t, err)
	var all [][]string
	require.NoError(t, json.Unmarshal(above, &all))
	require.Greater(t, len(all), 500)

	office := browsertest.StartOffice(t, t.TempDir())
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	h.Always(`(() => {
		window.takenAway = 0;
		for (const path of ` + string(above) + `) {
			const name = path.pop();
			const from = path.reduce((o, key) => o?.[key], window);
			try {
				if (from && name in from && delete from[name]) takenAway++;
			} catch {
				// it cannot be taken away
			}
		}
		const make = createImageBitmap;
		window.createImageBitmap = (from, how) => {
			if (how?.imageOrientation === "from-image") throw new TypeError("from-image is not a valid enum value");
			return make(from, how);
		};
	})()`)
	home := "http://" + office.Addr + "/"
	h.Go(home)
	h.WaitText("No job on this phone yet")
	h.loadDemo()
	assert.Greater(t, browsertest.Eval[int](h.Browser, `takenAway`), 100)

	h.part("a worksheet", func() {
		h.Go(home + "?hole#/sheet/hole")
		h.Tap("#hole-thread")
		tapKeys(h.Browser, "3", "/", "8", "-", "1", "6", "next")
		h.WaitText("5/16 drill") // ASME B1.1 and the tables of tap drills
	})
	h.part("a place is touched", func() {
		h.Go(home + "?plate#/record/" + inDemo("fixture", "01"))
		h.Tap(`[data-place="holes.0003-demo"]`)
		h.WaitText("pump flange of the pillow block")
	})
	h.part("a reading", func() {
		h.Go(home + "?read#/readings/" + inDemo("setup", "02"))
		h.Tap("#reading")
		tapKeys(h.Browser, "1")
		h.Tap(`.keypad .key.go`)
		h.atPlace("left", "+1")
	})
	h.part("a photo that was taken upright", func() {
		h.Go(home + "?photo#/setup/" + inDemo("setup", "02"))
		h.Wait("the photo's key", `!!document.querySelector(".hand-keys input[type=file]")`)
		h.Do("take a photo", chromedp.SetUploadFiles(chromedp.CSS(`.hand-keys input[type=file]`), []string{upright(t)}, chromedp.NodeReady))
		h.WaitText("Photo kept on this phone.")
		h.Go(home + "?seen#/setup/" + inDemo("setup", "02") + "?view=sits")
		h.Wait("it stands upright", `[...document.querySelectorAll(".thumb img")].some((e) => e.naturalHeight > e.naturalWidth)`)
	})
	h.part("the next start, with no signal", func() {
		office.Kill()
		h.Reload()
		h.Wait("it stands upright", `[...document.querySelectorAll(".thumb img")].some((e) => e.naturalHeight > e.naturalWidth)`)
	})
}

// upright is a picture as a phone held upright takes it: lying, with a mark that it is to be turned
// (Exif 2.32, tag 0x0112: 6 is turned by a quarter to the right).
func upright(t *testing.T) string {
	t.Helper()
	var lying bytes.Buffer
	require.NoError(t, jpeg.Encode(&lying, image.NewGray(image.Rect(0, 0, 48, 32)), nil))
	exif := []byte("\xff\xe1\x00\x22Exif\x00\x00" + // a segment of 34 bytes
		"MM\x00\x2a\x00\x00\x00\x08" + // the most significant byte first; the list is at byte 8
		"\x00\x01" + "\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00" + // one entry
		"\x00\x00\x00\x00") // and no other list
	file := slices.Concat(lying.Bytes()[:2], exif, lying.Bytes()[2:])
	path := filepath.Join(t.TempDir(), "upright.jpg")
	require.NoError(t, os.WriteFile(path, file, 0o644))
	return path
}
