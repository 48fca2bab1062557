package align

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What is said first, of every mark and every way: the mark, the headline and the facts, with what
// was typed as "key=text". Figures are those of TestVerdicts, by hand.
func TestFirst(t *testing.T) {
	const m = units.MetricSystem
	const good, careful, stop, open = worksheet.Good, worksheet.Careful, worksheet.Stop, worksheet.Open
	is := func(sys units.System, typed string, mark worksheet.Mark, says, facts string) {
		t.Helper()
		registrytest.First{Sys: sys, Typed: typed, Mark: mark, Says: says, Facts: facts}.Check(t, Sheets())
	}
	// Along a face: nothing, one end, and the ends in their order.
	is(0, "tram", "", "Left end reads?", "")
	is(0, "tram|readings=, 0", "", "Right end reads?", "")
	is(0, "tram|readings=, 0; , 2 thou; , 4 thou", careful, "Right end: tap back 4 thou",
		"4 out, sure to ±.6 · no bow to read · until it reads 0")
	is(0, "tram|readings=, 0; , 2 thou; , 4 thou|length=15", careful, "Right end: tap back 4 thou",
		"4 out in 15, sure to ±.6 · no bow to read · until it reads 0")
	is(0, "tram|readings=, 0; , 2 thou; , 4 thou|side=column", careful, "Right end: tap forward 4 thou",
		"4 out, sure to ±.6 · no bow to read · until it reads 0")
	is(0, "tram|readings=, 0; , -2 thou; , -4 thou|side=above", careful, "Right end: tap up 4 thou",
		"4 out, sure to ±.6 · no bow to read · until it reads 0")
	is(0, "tram|readings=, 0; , 1.5 thou; , 1.5 thou|pivot=last", careful, "Left end: tap forward 1-1/2 thou",
		"1-1/2 out, sure to ±.6 · proud 3/4 in the middle")
	is(0, "tram|readings=, 0; , 1 thou; , 2 thou|pivot=middle", careful, "Right end: tap back 1 thou",
		"2 out, sure to ±.6 · no bow to read · until it reads +1")
	is(0, "tram|readings=0,0; 20,.004|tap=18", careful, "At 18 in: tap back 3-1/2 thou",
		"4 out in 20, sure to ±.6 · until it reads 0")
	is(m, "tram|readings=, 0; , .05; , .1|length=380", careful, "Right end: tap back 0.1 mm",
		"0.1 out in 380, sure to ±0.016 · no bow to read")
	is(0, "tram|readings=0,0; 7,0; 14,0|allow=.0015", good, "In line",
		"within 1-1/2 over 14 · nothing more you could read")
	is(0, "tram|readings=0,0; 14,.0005|allow=.0015", good, "In line", "1/2 off over 14, 1-1/2 wanted · sure to ±.6")
	is(0, "tram|readings=, 0; , 0; , 0", careful, "In line, as near as it shows",
		"one more reading of each end · sure only to ±.6")
	is(0, "tram|readings=0,0; 14,0; 0,0; 14,0", good, "In line", "within 1/2 over 14 · nothing more you could read")
	is(0, "tram|readings=0,0; 7,-.002; 14,0|allow=.0015", careful, "In line, middle hollow 2 thou",
		"leave the ends · do not pull a lug into the hollow")
	is(0, "tram|readings=0,0; 3,-.002; 14,0|allow=.0015", careful, "In line, hollow 2 thou at 3 in",
		"leave the ends · do not pull a lug into the hollow")
	is(0, "tram|readings=0,0; 4,.003; 8,-.003; 14,0|allow=.0015", careful, "In line, but wavy by 5 thou",
		"leave the ends, moving one is no cure · within 1-1/2 over 14")
	is(0, "tram|readings=0,0; 4,0; 8,0; 10,.004; 14,0|allow=.0015", careful, "In line, one place 4 thou off",
		"place at 10 in: wipe, read again · within 1-1/2 over 14")
	is(0, "tram|readings=0,0; 14,0; 0,.003", stop, "Left end reads 3 thou apart",
		"read twice: loose, or a chip · nothing moved till it repeats")
	is(0, "tram|readings=0,0; 14,.0007; 0,.001", stop, "Left end reads 1 thou off now",
		"something moved: read all again · stand, part, clamp, warmth")
	// Slips.
	is(0, "tram|readings=, 0; , .5", open, "500 thou? Or 1/2 thou?", "")
	is(0, "tram|readings=, 0; , 500 thou", open, "500 thou? Or 1/2 thou?", "")
	is(m, "tram|readings=, 0; , 5", open, "5 mm? Or 0.05 mm?", "")
	is(m, "tram|readings=, 0; , 5|grad=.002", open, "5 mm? Or 5 um?", "")
	// Shims.
	is(0, "shim", "", "Left end reads?", "")
	is(0, "shim|by=amounts", "", "How thick is the gap?", "")
	is(0, "shim|by=amounts|amounts=.0265", good, ".025 + .0015", "exact · lift 26-1/2 · 2 leaves")
	is(0, "shim|by=amounts|amounts=.0265, .012", good, "Gap 1 .025+.0015, gap 2 .012", "exact · lift 26-1/2 · 2 leaves")
	is(0, "shim|by=amounts|amounts=.0005", stop, "Thinnest leaf is too thick",
		"lift .5 thou, thinnest 1 · paper or stone the other side")
	is(0, "shim|by=amounts|amounts=.0002", good, "No shim needed", "low by 1/4, near enough")
	is(0, "shim|by=amounts|amounts=.4", careful, ".031 + .031 + .025",
		"▲ 313 short: the drawer has no closer · lift 400 · 3 leaves")
	is(0, "shim|readings=,,4.6 thou; ,,2.3 thou; ,,0", good, ".003 + .0015 under the right",
		"pack .1 short · lift 4-1/2 · 2 leaves")
	is(0, "shim|readings=0,,0; 16,,16.6 thou|under=-2", good, ".015 + .002 + .0015 at -2 in",
		"pack .2 short · lift 18-3/4 · 3 leaves")
	is(0, "shim|readings=0,,16.6 thou; 16,,0|under=0|pivot=16", careful, ".015 + .0015 under the right",
		"▲ the other edge than named · pack .1 short · lift 16-1/2")
	is(0, "shim|readings=,,0; ,,0", good, "No shim needed", "nothing you could read is low")
	is(0, "shim|readings=0,,0; 16,,0; 0,,4 thou", stop, "Left end reads 4 thou apart",
		"read twice: loose, or a chip · nothing moved till it repeats")
	is(0, "shim|by=feet|readings=0,0,0; 10,0,5 thou; 10,8,12 thou; 0,8,7 thou", good, "Foot 1 .012, 2 more",
		"exact · lift 12 · foot 3 stays")
	is(0, "shim|by=feet|readings=0,0,0; 10,0,0; 10,8,14 thou; 0,8,14 thou", good, "Foot 1 .012+.002, foot 2 .012+.002",
		"exact · lift 14 · feet 3, 4 stay")
	is(m, "shim|readings=,,0; ,,.42 mm|owned=.05, .1, .2, .3", careful, "0.3 + 0.1 under the left",
		"▲ 0.02 short: the drawer has no closer · lift 0.42")
	// A lever's stylus.
	is(0, "lever", "", "Needle moved?", "")
	is(0, "lever|reading=4 thou|angle=60", careful, "It moved 2 thou, not 4", "needle shows 4 · stylus 60° · lay it flatter")
	is(0, "lever|reading=4 thou|angle=20", good, "It moved 3-3/4 thou", "needle shows 4 · stylus 20°")
	is(0, "tram|readings=, 0; , 500 thou|meant=readings", careful,
		"Right end: tap back 499-3/4 thou", "500 out, sure to ±.6 · until it reads 0")
	is(0, "lever|reading=4|angle=20", careful, "4000 thou? Or 4 thou?", "")
}

func far(step float64, i int) string { return strconv.FormatFloat(step*float64(i), 'f', -1, 64) }

// Places without distances share the length evenly: the same lean, move and judgement as with
// distances typed that are even, whatever the length.
func TestCounted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 7).Draw(t, "places")
		step := rapid.SampledFrom([]float64{1, 2.5, 7}).Draw(t, "apart")
		plain, placed := "", ""
		for i := range n {
			y := strconv.FormatFloat(float64(rapid.IntRange(-12, 12).Draw(t, "reading"))/2, 'f', 1, 64) + " thou; "
			plain += ", " + y
			placed += far(step, i) + ", " + y
		}
		pivot := rapid.SampledFrom([]string{"first", "middle", "last"}).Draw(t, "stays")
		a := worksheet.Run(&tramSheet, units.InchSystem, []worksheet.Pair{p("readings", plain), p("pivot", pivot)})
		b := worksheet.Run(&tramSheet, units.InchSystem, []worksheet.Pair{p("readings", placed), p("pivot", pivot)})
		c := worksheet.Run(&tramSheet, units.InchSystem, []worksheet.Pair{p("readings", plain), p("pivot", pivot),
			p("length", far(step, n-1))})
		require.Nil(t, a.Fault, "%v", a.Fault)
		require.Nil(t, b.Fault, "%v", b.Fault)
		for _, r := range tramSheet.Results {
			switch r.Key {
			case "stations", "verdict", "shape", "lies", "slope", "perfoot", "per100", "angle", "dms", "length", "pivotx", "tapx":
			default:
				require.Equal(t, b.Text(r.Key), a.Text(r.Key), r.Key)
			}
			require.Equal(t, b.Text(r.Key), c.Text(r.Key), "%s, by the length", r.Key)
		}
		require.Equal(t, b.Mark(), a.Mark())
	})
}

// A step of half a thou is said as a fraction, any other as the dial has it.
func TestShop(t *testing.T) {
	for in, want := range map[string]string{"0.5 thou": "1/2 thou", ".5 thou": "1/2 thou", "1.5 thou": "1-1/2 thou",
		"-.25 thou": "-1/4 thou", "-2.75 thou": "-2-3/4 thou", "10.5 thou": "10-1/2 thou", "4 thou": "4 thou",
		"1.55 thou": "1.55 thou", "0.5 mm": "0.5 mm", Unread: Unread, "-0.5 thou": "-1/2 thou", "20.5": "20.5"} {
		assert.Equal(t, want, Shop(in), in)
	}
}
