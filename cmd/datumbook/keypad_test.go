package main

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/cmd/datumbook/browsertest"
)

// TestKeypad: with bare hands no hit is ever dropped; the first key replaces what stood in a field,
// a second touch places the caret in it, and what was replaced comes back by Undo.
func TestKeypad(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	value := func(id string) string {
		return browsertest.Eval[string](phone, `document.querySelector("#`+id+`").value`)
	}
	hits := func(keys ...string) { // all at one moment, closer than any hand can
		t.Helper()
		for _, key := range keys {
			phone.Wait("the key "+key, `!!document.querySelector('.keypad [data-key=`+strconv.Quote(key)+`]')`)
		}
		script := ""
		for _, key := range keys {
			script += `document.querySelector('.keypad [data-key=` + strconv.Quote(key) + `]').click();`
		}
		browsertest.Eval[bool](phone, `(() => { `+script+` return true })()`)
	}
	phone.Go("http://" + office.Addr + "/#/sheet/hole")
	phone.Tap("#hole-stock")
	hits("2", "2", "2", "2")
	assert.Equal(t, "2222", value("hole-stock"))

	// Come to again, it begins anew.
	phone.Tap("#hole-depth")
	hits("1")
	phone.Tap("#hole-stock")
	hits("1", "6")
	assert.Equal(t, "16", value("hole-stock"))
	hits("undo", "undo")
	assert.Equal(t, "2222", value("hole-stock"), "nothing typed is lost")

	// So it is where Next leads to it.
	phone.Tap("#hole-depth")
	hits("2", "next", "3")
	assert.Equal(t, "2", value("hole-depth"))
	next := browsertest.Eval[string](phone, `document.activeElement.id`)
	assert.Equal(t, "3", value(next))

	// A second touch is for a place in the text, and rubbing out takes one character.
	phone.Tap("#hole-depth")
	phone.Tap("#hole-depth")
	browsertest.Eval[bool](phone, `(document.activeElement.setSelectionRange(1, 1), true)`)
	hits("5")
	assert.Equal(t, "25", value("hole-depth"))
	phone.Tap("#hole-stock")
	hits("4", "4", "4")
	phone.Tap("#hole-depth")
	phone.Tap("#hole-stock")
	hits("back")
	assert.Equal(t, "44", value("hole-stock"))

	// In gloves a hit that follows too soon is a slip.
	browsertest.Eval[bool](phone, `(localStorage.setItem("datumbook.prefs", JSON.stringify({ glove: true })), true)`)
	phone.Reload()
	phone.Tap("#hole-stock")
	hits("7", "7")
	assert.Equal(t, "7", value("hole-stock"))
}
