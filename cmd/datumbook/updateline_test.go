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

// TestUpdateLine shows the offer of a newer version while a form is on the screen: nothing of the
// form moves, the offer lies between head and foot, and the page's last line can be scrolled above
// it.
func TestUpdateLine(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	h.before(newerFound)
	const where = `[...document.querySelectorAll(".top, .bar, #hole-thread, #hole-depth, #hole-stock, #keep-job, main")].map((e) => { const r = e.getBoundingClientRect(); return e.id + e.className + " " + r.x + " " + r.y + " " + r.width; }).join("\n")`
	for _, size := range []struct {
		name   string
		screen browsertest.Screen
		gloves bool
	}{{"phone", browsertest.Phone, false}, {"phone-gloves", browsertest.Phone, true}, {"desk", browsertest.Desk, false}, {"desk-gloves", browsertest.Desk, true}} {
		h.Resize(size.screen)
		h.Go("http://" + office.Addr + "/#/sheet/hole")
		browsertest.Eval[bool](h.Browser, `(localStorage.setItem("datumbook.prefs", JSON.stringify({ glove: `+strconv.FormatBool(size.gloves)+` })), true)`)
		h.Reload()
		h.Wait("the form", `!!document.querySelector("#hole-stock") && !!document.querySelector("#keep-job") && typeof letUpdate === "function" && document.querySelector(".sync-words")?.textContent.startsWith("at the office") && document.fonts.status === "loaded"`)
		assert.Equal(t, size.gloves, browsertest.Eval[bool](h.Browser, `document.documentElement.dataset.glove === "yes"`), size.name)
		before := browsertest.Eval[string](h.Browser, where)
		browsertest.Eval[bool](h.Browser, `letUpdate()`)
		h.WaitText("A newer Datumbook is on this device.")
		assert.Equal(t, before, browsertest.Eval[string](h.Browser, where), size.name+": nothing moves")
		h.shot("update-" + size.name)
		assert.Empty(t, browsertest.Eval[string](h.Browser, `(() => {
			const at = (what) => document.querySelector(what).getBoundingClientRect();
			const line = at(".update"), bar = at(".bar"), top = at(".top");
			scrollTo({ top: document.documentElement.scrollHeight, behavior: "instant" });
			const last = [...document.querySelectorAll("main :is(a, button, summary, p)")].filter((e) => e.checkVisibility() && e.getBoundingClientRect().height > 0).map((e) => e.getBoundingClientRect().bottom);
			return [
				line.bottom > (bar.top > 200 ? bar.top : innerHeight) && "it lies over the foot: " + line.bottom + " over " + bar.top,
				line.top < top.bottom && "it lies over the head",
				line.left < 0 || line.right > innerWidth ? "it stands out" : "",
				Math.max(...last) > line.top && "the last line stays under it: " + Math.max(...last) + " under " + line.top,
			].filter(Boolean).join("; ");
		})()`), size.name)
		h.touch(`.update button`, "Later")
		h.Wait("the line is gone", `!document.querySelector(".update")`)
	}
}
