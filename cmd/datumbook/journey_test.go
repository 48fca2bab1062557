package main

import (
	"testing"

	"datumbook/cmd/datumbook/browsertest"
)

// slipOver is true once the keypad accepts a second hit on the same key; one that comes sooner is
// dropped as a slip of the glove.
const slipOver = `performance.now() - tapped > (JSON.parse(localStorage["datumbook.prefs"] ?? "{}").double ?? 60)`

// tapKeys taps keys of the app's own keypad, by what they type or their name.
func tapKeys(b *browsertest.Browser, keys ...string) {
	for i, k := range keys {
		if i > 0 && keys[i-1] == k {
			b.Wait("a second hit is no slip", slipOver)
		}
		b.Tap(`.keypad [data-key="` + k + `"]`)
	}
}

// keepUnder keeps an answer under a new job, with a note, where no setup runs: Keep asks under which.
func keepUnder(b *browsertest.Browser, job, note string) {
	askUnder(b, job, note)
	b.Tap(`.page-foot .go`)
	b.WaitText("Kept")
}

// askUnder types the name of the job that Keep asks for, in place of the one that stands there.
func askUnder(b *browsertest.Browser, job, note string) {
	browsertest.Eval[bool](b, `(document.activeElement?.blur(), true)`) // closes the keypad
	b.Wait("there is an answer to keep", `!!document.querySelector(".page-foot .go:not([aria-disabled])")`)
	b.Tap(`.page-foot .go`)
	b.Wait("it asks for the job", `!!document.querySelector("#keep-job")`)
	browsertest.Eval[bool](b, `(document.querySelector("#keep-job").select(), true)`)
	b.Type(`#keep-job`, job)
	if note != "" {
		b.TapText(`#keep .button`, "Note")
		b.Type(`#keep-note`, note)
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
	phone.Wait("the worksheets are listed", `!!document.querySelector('a[href="#/stage/holes"]')`)
	phone.Wait("the app is ready for offline", `navigator.serviceWorker && navigator.serviceWorker.controller !== null`)
	phone.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	phone.AtOffice()

	gate.Shut()
	phone.Go(gate.URL() + "/")
	phone.WaitText("No job on this phone yet") // loads late and moves what is below it
	phone.Tap(`a[href="#/stage/holes"]`)
	phone.Tap(`a[href*="sheet/hole"]`)
	phone.Tap(`#hole-thread`)
	tapKeys(phone, "3", "/", "8", "-", "1", "6", "next")
	tapKeys(phone, "7", "/", "8")
	phone.Tap(`.keypad [aria-label="Close the keypad"]`)
	phone.WaitText("5/16 drill, .656 deep")
	phone.WaitText(".125 floor")
	keepUnder(phone, "Bearing plate", "for the stop on the plate")
	phone.Close()

	phone = browsertest.Open(t, profile, browsertest.Phone)
	phone.Go(gate.URL() + "/#/job/Bearing%20plate")
	phone.WaitText("for the stop on the plate")
	phone.WaitText("2 here only") // the job that Keep made, and the answer

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
