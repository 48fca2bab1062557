package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// stuck is a browser whose store does not answer until it is released.
const stuck = `{
	const open = IDBFactory.prototype.open;
	const held = [];
	IDBFactory.prototype.open = function (...asked) {
		const request = {};
		held.push(() => {
			const real = open.apply(this, asked);
			for (const on of ["onupgradeneeded", "onsuccess", "onerror", "onblocked"]) real[on] = (event) => request[on]?.(event);
		});
		return request;
	};
	window.letGo = () => { IDBFactory.prototype.open = open; held.forEach((go) => go()); return true; };
}`

// TestStuckStore opens the app while the browser's store does not answer, as when another window
// locks it. Every page that waits for it says so within seconds with what to do, what is typed
// stays, and once the store answers all of it goes on by itself.
func TestStuckStore(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	home := "http://" + office.Addr + "/"
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	h.before(stuck)
	h.Go(home)
	for _, page := range []string{"", "jobs", "find", "shop", "setup/" + inDemo("setup", "02")} {
		h.open("#/" + page)
		h.WaitText("The browser's store on this device does not answer")
		h.WaitText("Close the other windows, then load this page again.")
		assert.Equal(t, "looking …", browsertest.Eval[string](h.Browser, `document.querySelector(".sync-words").textContent.trim()`), page)
		h.shot("stuck-" + page[:min(4, len(page))])
	}
	h.open("#/sheet/hole")
	h.plan(home)
	h.shot("stuck-hole")
	askUnder(h.Browser, "Pump cover", "ledge by the inlet")
	h.WaitText("The browser's store on this device does not answer")
	assert.True(t, browsertest.Eval[bool](h.Browser, `letGo()`))
	h.AtOffice()
	h.Wait("the fault is gone", `!document.querySelector("#keep-fault")`)
	assert.Equal(t, wasTyped+wasNamed, browsertest.Eval[string](h.Browser, typed))
	h.touch(`.page-foot .go`, "Keep")
	h.WaitText("Kept under Pump cover")
}
