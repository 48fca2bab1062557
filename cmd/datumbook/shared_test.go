package main

import (
	"encoding/base64"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// TestShared: photos that are shared to the app wait through an end of it, are asked about, and go to
// the setup that runs; each is kept once. The home screen's other keys lead where they say.
func TestShared(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	h := hand{t, browsertest.Open(t, t.TempDir(), browsertest.Phone)}
	home := "http://" + office.Addr + "/"
	h.Go(home)
	h.WaitText("No job on this phone yet")
	h.Wait("it works with no signal", `document.documentElement.dataset.stored === "all" && !!navigator.serviceWorker.controller`)
	office.Kill()
	picture, err := os.ReadFile(upright(t))
	require.NoError(t, err)
	share := func(photos int) {
		t.Helper()
		assert.True(t, browsertest.Eval[bool](h.Browser, fmt.Sprintf(`(async () => {
			const bytes = Uint8Array.from(atob(%q), (c) => c.charCodeAt(0));
			const form = new FormData();
			for (let n = 0; n < %d; n++) form.append("photo", new File([bytes], "one.jpg", { type: "image/jpeg" }));
			return (await fetch("/share", { method: "POST", body: form, redirect: "manual" })).type === "opaqueredirect";
		})()`, base64.StdEncoding.EncodeToString(picture), photos)))
	}
	shown := func(photos int) {
		t.Helper()
		h.Wait(fmt.Sprint(photos, " photos stand upright"), fmt.Sprintf(`[...document.querySelectorAll(".thumb img")]
			.filter((e) => e.naturalHeight > e.naturalWidth && (e.alt || e.parentElement.textContent).startsWith("photo")).length === %d`, photos))
	}
	running := inDemo("setup", "02")
	atSetup := func() {
		t.Helper()
		h.Wait("the running setup", fmt.Sprintf(`location.hash === %q`, "#/setup/"+running))
		h.WaitText("kept on this phone.")
		h.open("#/setup/" + running + "?view=sits")
	}

	share(1)
	h.Go(home + "?again")
	h.touch(`.home-first .button`, "Shared photo: which setup?")
	h.WaitText("It waits here for a setup.")
	shown(1)
	h.open("#/")
	h.loadDemo()
	h.open("#/shared")
	h.touch(`.link-card`, "Base to the plate")
	atSetup()
	shown(1)
	h.WaitText("Photo kept on this phone.")

	// The app ends between keeping it and taking it out of the box.
	share(2)
	browsertest.Eval[bool](h.Browser, `(window.del = IDBObjectStore.prototype.delete, IDBObjectStore.prototype.delete = function (key) {
		if (this.name === "photos") throw new Error("the app ends");
		return del.call(this, key);
	}, true)`)
	h.open("#/shared?as=now")
	h.WaitText("the app ends")
	h.Go(home + "?ended#/shared")
	h.touch(`.link-card`, "Base to the plate")
	atSetup()
	shown(3)

	share(1)
	h.open("#/shared?as=now")
	atSetup()
	shown(4)
	h.touch(`.said button`, "Undo")
	shown(3)
	h.open("#/shared?as=full")
	h.WaitText("It is still where you shared it from.")
	h.WaitText("No shared photo waits here.")

	h.part("the home screen's keys", func() {
		h.open("#/readings")
		h.Wait("the running setup's", fmt.Sprintf(`location.hash === %q && !!document.querySelector("#reading")`, "#/readings/"+running))
		h.Tap("#reading")
		tapKeys(h.Browser, "7")
		h.open("#/launch")
		h.Wait("it stays as it is", fmt.Sprintf(`location.hash === %q`, "#/readings/"+running))
		assert.Equal(t, "7", browsertest.Eval[string](h.Browser, `document.querySelector(".keypad") && document.activeElement.value`))
		h.Go(home + "?icon#/launch")
		h.Wait("Start", `location.hash === "#/" && !!document.querySelector(".running-name")`)
	})
	h.part("asked once how sizes are written", func() {
		h.Always(`Object.defineProperty(navigator, "languages", { value: ["de-DE"] })`)
		browsertest.Eval[bool](h.Browser, `(localStorage.removeItem("datumbook.prefs"), true)`)
		h.Reload()
		h.touch(`.ask-numbers button`, "12,5 mm")
		h.Wait("it is not asked any more", `!document.querySelector(".ask-numbers")`)
		h.Go(home + "?typed#/sheet/hole")
		h.Wait("its box", `!!document.querySelector("#hole-stock")`)
		h.Type("#hole-stock", "12,125")
		assert.Regexp(t, `12\.125$`, browsertest.Eval[string](h.Browser, `document.querySelector("#hole-stock").value`))
		h.Go(home + "?asked#/")
		h.Wait("Start", `!!document.querySelector(".running-name")`)
		assert.False(t, browsertest.Eval[bool](h.Browser, `!!document.querySelector(".ask-numbers")`))
	})
	h.part("what was kept in a tab is moved by one touch", func() {
		assert.False(t, browsertest.Eval[bool](h.Browser, `!!document.querySelector(".install-row")`), "this browser installs nothing")
		h.Always(`Object.defineProperty(Navigator.prototype, "standalone", { value: false })`) // as an iPhone's
		h.Reload()
		h.touch(`.install-row a`, "On the home screen")
		h.WaitText("What was kept in this tab does not go there by itself.")
		h.touch(`.hint a`, "Save everything")
		h.WaitText("is in your downloads.")
		h.open("#/")
		h.touch(`.install-row button`, "Not now")
		h.Wait("it goes", `!document.querySelector(".install-row")`)
	})
}
