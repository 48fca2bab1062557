package main

import (
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
	phone.WaitText("Meant so?")
	phone.TapText("#answer .warn button", "Take 30 mm")
	phone.Wait("it is in millimetres", `document.querySelector("#blocks-height").value === "30 mm"`)
	phone.Wait("nothing is asked any more", `!document.querySelector("#answer .warn button")`)
	phone.TapText("button", "Undo")
	phone.Wait("what was typed is back", `document.querySelector("#blocks-height").value === "30"`)
	phone.WaitText("Meant so?")
	assert.Equal(t, "30", height())

	phone.Go("http://" + office.Addr + "/#/sheet/torque")
	phone.Type("#torque-thread", "5/8-11")
	phone.Wait("the mark is open", `!!document.querySelector("#answer .verdict .sign-open")`)
}
