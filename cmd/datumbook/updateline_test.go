package main

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// newerFound is a browser in which a newer version is found when letUpdate is called.
const newerFound = `{
	const waiting = Object.assign(new EventTarget(), { scriptURL: new URL("/sw.js", location.href).href, state: "installed", postMessage() {} });
	navigator.serviceWorker.register = () => new Promise((go) => {
		window.letUpdate = () => (go(Object.assign(new EventTarget(), { waiting, update: async () => {} })), true);
	});
}`

// TestUpdateLine shows the offer of a newer version: over the head of the four pages of the foot,
// where it covers no key and moves nothing, and never on a page that something is typed on.
func TestUpdateLine(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	h.before(newerFound)
	const where = `[...document.querySelectorAll(".top, .bar, main, main a, main button, main input")].map((e) => { const r = e.getBoundingClientRect(); return e.className + " " + r.x + " " + r.y + " " + r.width; }).join("\n")`
	for _, size := range []struct {
		name   string
		screen browsertest.Screen
		gloves bool
	}{{"phone", browsertest.Phone, false}, {"phone-gloves", browsertest.Phone, true}, {"desk", browsertest.Desk, false}, {"desk-gloves", browsertest.Desk, true}} {
		h.Resize(size.screen)
		h.Go("http://" + office.Addr + "/#/")
		browsertest.Eval[bool](h.Browser, `(localStorage.setItem("datumbook.prefs", JSON.stringify({ glove: `+strconv.FormatBool(size.gloves)+` })), true)`)
		h.Reload()
		h.AtOffice()
		h.Wait("Start", `!!document.querySelector(".demo-keys button") && document.querySelectorAll(".tile").length === 9 && typeof letUpdate === "function" && document.fonts.status === "loaded"`)
		assert.Equal(t, size.gloves, browsertest.Eval[bool](h.Browser, `document.documentElement.dataset.glove === "yes"`), size.name)
		before := browsertest.Eval[string](h.Browser, where)
		browsertest.Eval[bool](h.Browser, `letUpdate()`)
		h.WaitText("Use new version")
		assert.Equal(t, before, browsertest.Eval[string](h.Browser, where), size.name+": nothing moves")
		h.shot("update-" + size.name)
		assert.Empty(t, browsertest.Eval[string](h.Browser, `(() => {
			const at = (what) => document.querySelector(what).getBoundingClientRect();
			const line = at(".update"), top = at(".top");
			return [
				(line.bottom > top.bottom || line.top < top.top) && "it stands out of the head",
				(line.left < 0 || line.right > innerWidth) && "it stands out of the screen",
				at(".sync-mark").left < line.right && "it lies over where the records are",
			].filter(Boolean).join("; ");
		})()`), size.name)
		h.open("#/sheet/hole")
		h.Wait("the form", `!!document.querySelector("main input")`)
		assert.False(t, browsertest.Eval[bool](h.Browser, `!!document.querySelector(".update")`), "not where something is typed")
		h.open("#/jobs")
		h.touch(`.update button`, "Later")
		h.Wait("the line is gone", `!document.querySelector(".update")`)
		h.open("#/")
		h.Wait("Start", `!!document.querySelector(".tile")`)
		assert.False(t, browsertest.Eval[bool](h.Browser, `!!document.querySelector(".update")`), "later is later")
	}
}
