package main

import (
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

var pictures = flag.Bool("pictures", false, "renew the README's pictures")

// slipOver is true once the keypad accepts a second hit on the same key; one that comes sooner is
// dropped as a slip of the glove.
const slipOver = `performance.now() - tapped > (JSON.parse(localStorage["datumbook.prefs"] ?? "{}").double ?? 120)`

// tapKeys taps keys of the app's own keypad, by what they type or their name.
func tapKeys(b *browsertest.Browser, keys ...string) {
	for i, k := range keys {
		if i > 0 && keys[i-1] == k {
			b.Wait("a second hit is no slip", slipOver)
		}
		b.Tap(`.keypad [data-key="` + k + `"]`)
	}
}

// TestJourney is the main use from start to end: load at the office, go offline, plan a hole by the
// keypad, keep it, close, reopen still offline, come back in reach, survive a killed server, and
// find the record on the office machine.
func TestJourney(t *testing.T) {
	t.Parallel()
	data, profile := t.TempDir(), t.TempDir()
	gate := browsertest.NewGate(t)
	office := browsertest.StartOffice(t, data)
	gate.To(office.Addr)

	phone := browsertest.Open(t, profile, browsertest.Phone)
	phone.Go(gate.URL() + "/")
	phone.Wait("the worksheets are listed", `!!document.querySelector('a[href*="sheet/hole"]')`)
	phone.Wait("the app is ready for offline", `navigator.serviceWorker && navigator.serviceWorker.controller !== null`)
	phone.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	phone.AtOffice()

	gate.Shut()
	phone.Go(gate.URL() + "/")
	phone.WaitText("No job on this phone yet") // loads late and moves what is below it
	phone.Tap(`a[href*="sheet/hole"]`)
	phone.Tap(`#hole-thread`)
	tapKeys(phone, "3", "/", "8", "-", "1", "6", "next", "next") // no depth: as deep as it goes
	tapKeys(phone, "7", "/", "8")
	phone.Tap(`.keypad [aria-label="Close the keypad"]`)
	phone.WaitText(".656 in deep to the shoulder")
	phone.WaitText(".125 in floor")
	if *pictures {
		phone.Wait("the top stands still", `scrollTo({ top: 0, behavior: "instant" }), scrollY === 0`)
		require.NoError(t, os.MkdirAll("pictures", 0o755))
		require.NoError(t, os.WriteFile("pictures/hole.png", phone.Picture(), 0o644))
	}
	phone.Type(`#keep-job`, "Bearing plate")
	phone.Type(`#keep-note`, "for the stop on the plate")
	phone.Tap(`#keep button[type=submit]`)
	phone.WaitText("Kept")
	phone.Close()

	phone = browsertest.Open(t, profile, browsertest.Phone)
	phone.Go(gate.URL() + "/#/job/Bearing%20plate")
	phone.WaitText("for the stop on the plate")
	phone.WaitText("1 waiting")

	gate.Open()
	phone.AtOffice()
	phone.Close()

	office.Kill()
	office = browsertest.StartOffice(t, data)
	gate.To(office.Addr)
	desk := browsertest.Open(t, t.TempDir(), browsertest.Desk)
	desk.Go(gate.URL() + "/#/job/Bearing%20plate")
	desk.WaitText("for the stop on the plate")
	desk.WaitText("5/16")
}
