package main

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// TestSlip: a likely slip is asked about under the headline, with a key that puts in what was
// likely meant; Undo brings back what was typed. An answer that depends on what was not said has
// the open sign.
func TestSlip(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	height := func() string {
		return browsertest.Eval[string](phone, `document.querySelector("#blocks-height").value`)
	}
	phone.Go("http://" + office.Addr + "/#/sheet/blocks")
	phone.Type("#blocks-height", "30")
	phone.WaitText("30 in? Or 30 mm?")
	phone.TapText("#answer .slip-keys button", "30 mm")
	phone.Wait("it is in millimetres", `document.querySelector("#blocks-height").value === "30 mm"`)
	phone.Wait("nothing is asked any more", `!document.querySelector("#answer .slip-keys")`)
	phone.TapText("button", "Undo")
	phone.Wait("what was typed is back", `document.querySelector("#blocks-height").value === "30"`)
	phone.WaitText("30 in? Or 30 mm?")
	assert.Equal(t, "30", height())
	phone.TapText("#answer .slip-keys button", "30 in") // as it was typed
	phone.Wait("nothing is asked any more", `!document.querySelector("#answer .slip-keys")`)
	assert.Equal(t, "30", height())

	// Of a list as well: while it is asked nothing is kept, and what is meant as it is typed is answered.
	phone.Go("http://" + office.Addr + "/#/sheet/tram")
	for i, text := range []string{"500", "-2", "400"} {
		phone.Type("#tram-readings-"+strconv.Itoa(i)+"-1", text)
	}
	phone.Wait("it is asked about", `document.querySelector(".headline span")?.textContent === "500 thou? Or 1/2 thou?"`)
	phone.Wait("it is not kept", `document.querySelector(".page-foot .go").disabled`)
	phone.TapText("#answer .slip-keys button", "500 thou")
	phone.Wait("the answer", `/: tap /.test(document.querySelector(".headline span")?.textContent)
		&& !document.querySelector(".page-foot .go").disabled && !document.querySelector(".slip-keys")`)
	phone.Type("#tram-readings-0-1", "0") // behind what stands there
	phone.Wait("another slip is asked about", `document.querySelector(".headline span")?.textContent.startsWith("5000 thou?")
		&& !!document.querySelector(".slip-keys")`)

	phone.Go("http://" + office.Addr + "/#/sheet/torque")
	phone.Type("#torque-thread", "5/8-11")
	phone.Wait("the mark is open", `!!document.querySelector("#answer .headline .sign-open")`)
}
