package main

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"datumbook/calc/pages"
	"datumbook/calc/registry"
	"datumbook/cmd/datumbook/browsertest"
)

// inSight says what keeps the box that has the focus from standing whole between the headline and the
// keypad, "" where nothing does.
const inSight = `(() => {
	const box = document.activeElement?.closest(".bx"), pad = document.querySelector(".keypad");
	if (!box || !pad) return "no box has the focus";
	const [b, high, low] = [box.getBoundingClientRect(), document.querySelector(".first").getBoundingClientRect(), pad.getBoundingClientRect()];
	const list = box.closest(".strip.flat")?.getBoundingClientRect();
	if (high.top < 0 || high.bottom > low.top) return "the headline is not in sight";
	if (b.top < high.bottom - 1 || b.bottom > low.top + 1 || b.left < (list?.left ?? 0) - 1 || b.right > (list?.right ?? innerWidth) + 1)
		return document.activeElement.id + " at " + [b.top, b.bottom].map(Math.round) + ", seen from " + Math.round(high.bottom) + " to " + Math.round(low.top);
	return "";
})()`

// TestTypedInSight opens the page of every worksheet with the keypad, on a phone and on a small one:
// the box that is typed in stands whole between the headline and the keypad, the first one as the page
// comes and the last one as it is come to.
func TestTypedInSight(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	b := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	home := "http://" + office.Addr + "/"
	b.Always(`try { localStorage.setItem("datumbook.prefs", '{"keypad":"always"}') } catch {}`)
	b.Go(home)
	b.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	for _, screen := range []browsertest.Screen{browsertest.Phone, {Width: 320, Height: 640, Scale: 1, Touch: true}} {
		for _, s := range registry.All() {
			if *only != "" && !slices.Contains(strings.Split(*only, ","), s.Name) {
				continue
			}
			page, _ := pages.Find(registry.All(), s.Name)
			b.Go(home + "#/nowhere")
			b.Wait("another page", `!document.querySelector(".page")`)
			b.Resize(screen)
			browsertest.Eval[bool](b, `(localStorage.removeItem("datumbook.draft.`+page.Name+`"), window.lastSettled = "", true)`)
			b.Go(home + "#/sheet/" + s.Name)
			b.Wait(s.Name+" is drawn", settled)
			for _, which := range []string{"0", "-1"} {
				// A page that asks for a choice first, and one that asks for nothing, opens no keypad by itself.
				there := browsertest.Eval[bool](b, `(() => {
					const all = [...document.querySelectorAll(".bx input[data-pad]")].filter((e) => e.checkVisibility());
					const el = all.at(`+which+`);
					if (`+which+` === 0 ? !document.querySelector(".keypad") : true) el?.focus({ preventScroll: true });
					return !!el;
				})()`)
				if !there {
					break
				}
				at := fmt.Sprintf("%s, box %s, %d px", s.Name, which, screen.Width)
				browsertest.Eval[bool](b, `(window.lastSeen = "", true)`)
				b.Wait(at+" stands still", `((now) => { const still = window.lastSeen === now && !document.querySelector(".drawing-wait"); window.lastSeen = now; return still; })(
					scrollY + `+inSight+`)`)
				if fault := browsertest.Eval[string](b, inSight); fault != "" {
					b.Wait(at+": "+fault, inSight+` === ""`)
				}
			}
		}
	}
}
