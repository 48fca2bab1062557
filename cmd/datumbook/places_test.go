package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// touched touches the middle of the drawn face, a part of its size aside and up.
const touched = `(() => {
	const box = document.querySelector(".face-picture svg").getBoundingClientRect();
	const spot = document.createElement("i");
	spot.id = "spot";
	spot.style.cssText = "position:absolute;width:2px;height:2px;pointer-events:none;left:" + (scrollX + box.left + box.width * .62) + "px;top:" + (scrollY + box.top + box.height * .42) + "px";
	document.body.append(spot);
	return true;
})()`

// TestPlaces looks why a hole is there, puts one more where it was touched, says why, and changes it, by
// touch and with the office out of reach.
func TestPlaces(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := &thumb{Browser: browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	h.Go("http://" + office.Addr + "/")
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	hand{t, h.Browser}.loadDemo()
	h.Go("http://" + office.Addr + "/#/record/fixture:00-demo-pillow-block-01")
	h.Wait("the face is drawn", `document.querySelectorAll("[data-place]").length > 5`)
	assert.LessOrEqual(t, browsertest.Eval[float64](h.Browser, `document.documentElement.scrollHeight / innerHeight`), 1.01, "one screenful")
	h.budget(t, "why is that hole there", 1, func() {
		h.tap(`[data-place="holes.0003-demo"]`)
		h.WaitText("pump flange of the pillow block, left")
	})
	h.WaitText("1 setup")
	office.Kill()
	h.budget(t, "one more hole, its place touched and typed", 12, func() {
		h.tap(`.page-foot .go`)
		h.Wait("the plate waits", `!!document.querySelector(".placing svg")`)
		browsertest.Eval[bool](h.Browser, touched)
		h.Wait("the hand comes back", pause)
		browsertest.Eval[bool](h.Browser, `(() => {
			const at = document.querySelector("#spot").getBoundingClientRect();
			document.querySelector(".face-picture").dispatchEvent(new MouseEvent("click", { bubbles: true, clientX: at.left, clientY: at.top }));
			return true;
		})()`)
		h.taps++
		h.Wait("the nearest danger is told", `/^(Clears|Only) /.test(document.querySelector(".headline").textContent.trim())`)
		h.tap(`.choices .chip:nth-child(1)`, `#place-x`)
		h.keys("8", ".", "5", "next")
		h.Wait("it is over the edge", `/right edge/.test(document.querySelector(".headline").textContent)`)
		h.tap(`#place-x`)
		h.keys("1", "next")
	})
	browsertest.Eval[bool](h.Browser, `(document.querySelector(".keypad [data-key=close], .keypad .close")?.click(), true)`)
	h.Type("#place-why", "coolant stop")
	h.Tap(`.page-foot .go`)
	h.WaitText("coolant stop")
	h.Wait("it stands on the plate, lit", `document.querySelectorAll(".d-chosen").length === 1 && /place=holes/.test(location.hash)`)
	assert.Contains(t, browsertest.Eval[string](h.Browser, `document.querySelector(".place-card").innerText`), "B3")
	h.TapText(".place-keys .button", "Change")
	h.Wait("its place is there to change", `document.querySelector("#place-x")?.value === "1"`)
	h.TapText(".page-foot button", "More")
	h.TapText(".placing .button", "Take off the list")
	h.WaitText("B3 taken off the list")
	h.TapText(".said .button", "Undo")
	h.Wait("it is back", `[...document.querySelectorAll("main text")].some((t) => t.textContent === "B3")`)
}

// TestDrawnRecordsFit: nothing is wider than 320 px at 320 on a drawn record and its other views, and
// each drawn view is one screenful at 360 by 740.
func TestDrawnRecordsFit(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	home := "http://" + office.Addr + "/"
	h.Go(home)
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	h.loadDemo()
	for _, screen := range []browsertest.Screen{{Width: 320, Height: 640, Scale: 1, Touch: true}, {Width: 360, Height: 740, Scale: 1, Touch: true}} {
		h.Resize(screen)
		for _, hash := range []string{"record/fixture:00-demo-pillow-block-01", "record/fixture:00-demo-pillow-block-01?view=list",
			"record/fixture:00-demo-pillow-block-01?view=card", "record/fixture:00-demo-pillow-block-01?place=slots.0001-demo",
			"record/part:00-demo-pillow-block-01", "record/part:00-demo-pillow-block-01?view=card", "record/machine:00-demo-pillow-block-01",
			"record/machine:00-demo-pillow-block-02?view=card", "place/fixture:00-demo-pillow-block-01", "place/part:00-demo-pillow-block-01"} {
			h.Go(home + "?" + hash + "#/" + hash)
			h.Wait(hash, `!!document.querySelector(".page-foot") && !document.querySelector(".drawing-wait") && !document.querySelector(".blank")`)
			h.Wait(hash+" stands still", settledOrNot)
			wide := browsertest.Eval[float64](h.Browser, `document.documentElement.scrollWidth`)
			high := browsertest.Eval[float64](h.Browser, `document.documentElement.scrollHeight`) / float64(screen.Height)
			t.Logf("%s at %d: %.2f screenfuls, %v wide", hash, screen.Width, high, wide)
			assert.LessOrEqual(t, wide, float64(screen.Width), hash)
		}
	}
}

// TestFixtureRegister walks the register on the office machine by its keyboard: a place by the arrow
// keys, the table by a column, Find by its key.
func TestFixtureRegister(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Screen{Width: 1280, Height: 800, Scale: 1})}
	h.Go("http://" + office.Addr + "/")
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	h.loadDemo()
	h.Go("http://" + office.Addr + "/#/record/fixture:00-demo-pillow-block-01")
	h.Wait("face and table", `document.querySelectorAll("[data-place]").length > 5 && document.querySelectorAll(".data-table tbody tr").length > 5`)
	assert.Equal(t, 3.0, browsertest.Eval[float64](h.Browser, `document.querySelectorAll(".rail a:not(.button)").length`))
	press := `(key) => (document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true })), true)`
	browsertest.Eval[bool](h.Browser, `(`+press+`)("ArrowDown")`)
	h.Wait("the first place and its row are lit", `document.querySelector("tr.lit td")?.textContent === "A1" && document.querySelectorAll(".d-chosen").length === 1`)
	browsertest.Eval[bool](h.Browser, `(`+press+`)("ArrowDown")`)
	h.Wait("the next one", `document.querySelector("tr.lit td")?.textContent === "A2"`)
	h.TapText(".data-table th button", "X")
	h.Wait("sorted by X",
		`document.querySelector(".data-table tbody td")?.textContent === "G1" &&
			document.querySelector("th[aria-sort=ascending]")?.textContent.startsWith("X")`)
	h.TapText(".data-table th button", "X")
	h.Wait("and the other way", `document.querySelector(".data-table tbody td")?.textContent === "W1"`)
	browsertest.Eval[bool](h.Browser, `(`+press+`)("/")`)
	h.Wait("Find", `location.hash.startsWith("#/find")`)
}
