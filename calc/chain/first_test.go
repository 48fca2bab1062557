package chain

import (
	"testing"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What is said first of how the worst face comes out, of every mark. One part on its seat of ten inches,
// its top over ten inches to its bottom, and a plate that leans.
func TestFirst(t *testing.T) {
	const good, careful, stop, open = worksheet.Good, worksheet.Careful, worksheet.Stop, worksheet.Open
	const faces = "|faces=bottom, 1, bottom, face, 0, 10; top, 2, top, face, 1, 10"
	const setups = "chain|setups=bottom, top, 0, 10; top, bottom, 1, 10|causes="
	is := func(typed string, mark worksheet.Mark, says, facts string) {
		t.Helper()
		registrytest.First{Typed: typed, Mark: mark, Says: says, Facts: facts}.Check(t, Sheets())
	}
	is("chain", "", "Which setups?", "")
	is("chain|setups=bottom, top, 0, 10", "", "What may be off?", "")
	is(setups+"2, seat, x, , .0005", "", "Which face to which?", "")
	is(setups+"2, seat, x, , .0002"+faces+", .001", good, "Comes out: 0 of 1 thou",
		"top to bottom · sure to .3 · even at the worst")
	// The limits .5 and .6 are ±.9 together, 1.1 at the very worst.
	is(setups+"2, seat, x, , .0005; 2, plate, x, , .0006"+faces+", .001", careful, "Should come out: 0 of 1 thou",
		"read the plate of setup 2: ±1 becomes ±.7 · top to bottom")
	is(setups+"2, seat, x, .0006, .0007"+faces+", .001", stop, "May not: Top .6 ± .7 of 1 thou",
		"shim its front .6 in setup 2 · top to bottom · sure to .7")
	is(setups+"2, seat, x, .002, .0002"+faces+", .001", stop, "Top comes out 2 of 1 thou",
		"shim its front 2 in setup 2 · top to bottom · sure to .2")
	is(setups+"2, seat, x, .0006, .0007"+faces, open, "Top .6 ± .7 thou. Allowed?", "")
	// A face may be called anything.
	is(setups+"2, seat, x, .002, .0002|faces=b, 1, bottom, face, 0, 10; {s} of a name with far too many letters, 2, top, "+
		"face, 1, 10, .001", stop, "Off by 2 of 1 thou", "shim its front 2 in setup 2 · sure to .2")
	registrytest.First{Sys: units.MetricSystem, Typed: "chain|setups=a, top, 0, 250; b, bottom, 1, 250|causes=2, seat, x, .05, .005|" +
		"faces=bottom, 1, bottom, face, 0, 250; top, 2, top, face, 1, 250, .025", Mark: stop,
		Says: "Top comes out 0.05 of 0.025 mm", Facts: "shim its front 0.05 in setup 2 · top to bottom"}.
		Check(t, Sheets())
}
