package main

import (
	"testing"

	"datumbook/cmd/datumbook/browsertest"
)

// TestStayTaps asks whether a part stays, on a phone whose running setup knows fixture, part and
// bolts: only the cut is asked.
func TestStayTaps(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := &thumb{Browser: browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	h.Go("http://" + office.Addr + "/")
	h.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	hand{t, h.Browser}.loadDemo()
	h.budget(t, "will it stay, from a running setup", 6, func() {
		h.tap(`.tile[href="#/stage/hold"]`, `main a[href="#/sheet/hold"]`)
		h.Wait("the keypad is open on the cut", `!!document.querySelector(".keypad") && document.activeElement?.name === "force"`)
		h.keys("1", "5", "0", "next")
		h.reads(`^(Stays|Nuts \d|Not enough|Turns|Slips|Tips|It falls|Do not land|Nuts need)`)
	})
	t.Log(browsertest.Eval[string](h.Browser, `document.querySelector(".first").innerText`))
}
