package main

import (
	"strconv"
	"testing"

	"datumbook/cmd/datumbook/browsertest"
)

// TestTypedRules types into the pages of the bench: the dimension typed in rules, a limit typed
// beside readings picks the worksheet that judges, and no digit is lost when what is typed changes
// what is drawn.
func TestTypedRules(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	b := browsertest.Open(t, t.TempDir(), browsertest.Screen{Width: 360, Height: 740, Scale: 1})
	page := func(sheet string) { b.Go("http://" + office.Addr + "/?" + sheet + "#/sheet/" + sheet) }
	says := func(want string) {
		b.Wait(want, `document.querySelector(".headline span")?.textContent.startsWith(`+strconv.Quote(want)+`)`)
	}
	empty := func(name string) {
		b.Wait(name+" is worked out", `(e => e.value === "" && /\d/.test(e.placeholder))(document.querySelector("input[name=`+
			name+`]"))`)
	}

	page("repeat")
	says("What does it read?")
	b.Type(".strip [data-cell='0 0'] input", "1.25")
	says("Read it again")
	b.Type(".strip [data-cell='1 0'] input", "1.2502")
	b.Type(".strip [data-cell='2 0'] input", "1.2501")
	says("1.2501 ± .00025")
	b.Type(".picture input[name=step]", ".0001")
	says("1.2501 ± .00021") // more is known of a step than of a scatter of three
	b.Type(".picture input[name=high]", "1.2505")
	says("Good: inside by .0004")
	b.Type(".strip [data-cell='3 0'] input", "1.2512")
	says("In doubt: .0001 inside the limit") // the doubt follows the readings

	page("taper")
	says("Large end?")
	b.TapText("button", "Over pins")
	says("Pins how thick?")
	b.Type(".picture input[name=pin]", ".25")
	b.Type(".picture input[name=low]", "1.2")
	b.Type(".picture input[name=high]", "1.3")
	b.Type(".picture input[name=blocks]", "1")
	says("Set the slide 2° 50'")
	b.TapText("button", "Drawn")
	says("Large end?")
	b.Type(".picture input[name=big]", ".7")
	b.Type(".picture input[name=small]", ".572")
	b.Type(".picture input[name=length]", "2.5625")
	says("Set the slide 1° 25'")
	b.Type(".picture input[name=rate]", "1")
	says("Set the slide 2° 25'")
	empty("small")

	page("triangle")
	b.Type(".picture input[name=a]", "3")
	b.Type(".picture input[name=b]", "4")
	says("c 5.000, A 36° 52' 12\"")
	b.Type(".picture input[name=c]", "6")
	says("b 5.196, A 30°")
	empty("b")

	page("sine")
	b.Type(".picture input[name=angle]", "12d20'")
	says("Stack 1.0680")
	b.Type(".picture input[name=stack]", "2")
	says("Makes 23° 34'")
	empty("angle")
}
