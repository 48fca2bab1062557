package locate

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// answer runs a worksheet on inputs written as key=text|key=text.
func answer(t testing.TB, sys units.System, name, in string) worksheet.Answer {
	t.Helper()
	return registrytest.Answer(t, Sheets(), sys, name, in)
}

const round = "2.001,0; 0,1.999; -2.0005,0; 0,-2"

// Answers worked by hand, and what once was answered as if all were well. gone is withheld.
func TestNothingMisleads(t *testing.T) {
	for _, row := range []struct {
		sheet, in string
		mark      worksheet.Mark
		verdict   string // a part of it
		gone      string
	}{
		// half the tip from the edge
		{"edge", "side=right|reads=5.1, 5.1002", worksheet.Good, "set X to .1000 in", ""},
		{"edge", "side=front|reads=5.1, 5.102", worksheet.Careful, "The tries are 2 thou apart.", ""},
		{"edge", "side=front|reads=5.1, 5.104", worksheet.Stop, "Tries 4 thou apart: clean it and touch again.",
			"set move at"},
		// (1.3175 + 4.0185)/2 = 2.668; 2.701 less the tip .2
		{"middle", "a=1.3175|b=4.0185|size=2.5", worksheet.Good, "The middle is at 2.6680 in, 1.3505 in from the " +
			"second touch toward the first; 2.501 in wide.", ""},
		{"middle", "a=1.3175|b=4.0185|size=2.46", worksheet.Careful, "2.501 in wide", ""},
		{"middle", "a=1.3175|b=4.0185|size=2.4", worksheet.Careful, "2.501 in wide, .101 in too wide", ""},
		{"middle", "a=1.3175|b=4.0185|size=4", worksheet.Stop, "Width 1.499 in less than drawn.", "middle move half"},
		// chords of 4.0015 and 3.999 about (.00025, -.0005); 4.000 and the tip .2
		{"centre", "touches=" + round + "|size=4.2", worksheet.Good, "The centre is at X .0005 in, Y -.0005 in; the " +
			"bore is 4.200 in across, 1.3 thou out of round, as drawn.", ""},
		{"centre", "touches=2.001,0; 0,1.999; -2.0005,0; 0,-2.06", worksheet.Stop,
			"A touch is 55.8 thou off a circle through the others.", "x y movex movey"},
		{"centre", "touches=" + round + "; 1.4142,1.4142; 1.38,-1.38; -1.4142,1.4142", worksheet.Stop,
			"Touch 6 is ", "x y movex movey"},
		{"centre", "touches=" + round + "|size=2.1", worksheet.Stop, "Diameter 2.100 in too large.", "x y"},
		{"centre", "touches=2,0; 1.97,.35; 1.88,.68", worksheet.Stop, "Centre sure to 21.8 thou only", "x y movex movey"},
		{"centre", "touches=2,0; 1.732,1; 1,1.732", worksheet.Careful, "only", ""},
		// features half an inch wrong
		{"skew", "features=0,0,1,2; 8,0,9.499,2.008|places=4,3", worksheet.Stop,
			"Does not fit the drawing: .499 in off.", "where zerox zeroy angle slope"},
		{"skew", "features=0,0,1,2; 80,0,81.5,2.008|places=4,3", worksheet.Stop,
			"Does not fit the drawing: .500 in off.", "where zerox zeroy angle slope"},
		{"skew", "features=0,0,1,2; 8,0,9,2; 8,6,9,8; 0,6,1,8.5|places=4,3", worksheet.Stop,
			"Does not fit the drawing", "where zerox zeroy"},
		{"skew", "features=0,0,1,2; 8,0,9.007,2|places=4,3", worksheet.Careful,
			"features .007 in farther than drawn.", ""},
		// atan(.008/7.999) = 206.3"
		{"skew", "features=0,0,1,2; 8,0,8.999,2.008|places=4,3", worksheet.Good,
			"The part lies at 0° 3' 26\", its zero at X .9995 in, Y 2.0000 in.", ""},
		// 2 sin 15 = .5176 from hole to hole
		{"bolts", "dia=2|n=12|hole=.6", worksheet.Stop, "Holes run into each other: .600 in holes, .518 in apart.",
			"steps"},
		{"bolts", "dia=4|n=12|hole=7/8", worksheet.Careful, ".160 in of metal between holes 1 and 2: thin.", ""},
		// 8 sin 4.5 = .6277; nothing of a circle that cannot be drilled is left to follow
		{"bolts", "dia=8|n=40|hole=.7", worksheet.Stop, "Holes run into each other: .700 in holes, .628 in apart.",
			"holes angles wheels steps"},
		{"row", "n=5|pitch=1.5|hole=2|lead=.2", worksheet.Stop, "Holes run into each other", "holes wheels steps"},
		{"grid", "nx=3|ny=2|px=1|py=2|hole=1.1", worksheet.Stop, "Holes run into each other", "holes"},
		{"row", "n=1|x=2|y=1", worksheet.Good, "1 hole, at X 2.0000 in, Y 1.0000 in.", ""},
		{"grid", "nx=1|ny=1|x=2|y=1", worksheet.Good, "1 hole, at X 2.0000 in, Y 1.0000 in.", ""},
		{"bolts", "dia=8|n=1", worksheet.Good, "1 hole on 8.0000 in, at X 4.0000 in, Y .0000 in.", ""},
		{"pairs", "pairs=2,0", worksheet.Good, "1 hole about a line", ""},
		{"edge", "side=left", worksheet.Good, "Move .1000 in to the right to stand over it.", ""},
		{"edge", "side=back", worksheet.Good, "Move .1000 in to the front to stand over it.", ""},
		{"dials", "holes=1,1;2,.5", worksheet.Good, "2 places; go past and come back once. Hole 1:", ""},
		{"dials", "holes=1,1;.5,.5", worksheet.Good, "2 places; go past and come back 2 times.", ""},
		{"bolts", "dia=8|n=6", worksheet.Good, "6 holes on 8.0000 in, 4.000 in from each to the next. Hole 1 is at " +
			"X 4.0000 in, Y .0000 in.", ""},
		{"row", "n=5|pitch=1.5|hole=2", worksheet.Stop, "Holes run into each other: 2.000 in holes, 1.500 in " +
			"apart.", ""},
		{"pairs", "pairs=0, 3; 2.5, 3; 0, 3", worksheet.Careful, "One is typed twice.", ""},
		{"dials", "holes=3.5625,0;1,1", worksheet.Good, "Hole 1: X clockwise to 17 turns, dial .163 in, Y stays at " +
			"0 turns, dial .000 in.", ""},
		{"dials", "holes=3.5625,0;1,1|clock=fall", worksheet.Good, "X counter-clockwise to 17 turns", ""},
		{"dials", "holes=3.5625,0;1,1|come=down", worksheet.Good, "X clockwise past it by half a turn or more, then " +
			"counter-clockwise to 17 turns", ""},
	} {
		t.Run(row.sheet+" "+row.in, func(t *testing.T) {
			a := answer(t, units.InchSystem, row.sheet, row.in)
			assert.Equal(t, row.mark, a.Mark())
			assert.Contains(t, a.Text("verdict"), row.verdict)
			for _, key := range strings.Fields(row.gone) {
				assert.Empty(t, a.Text(key), key)
			}
		})
	}
}

// What is likely a slip is asked about with its likely meaning.
func TestSlips(t *testing.T) {
	for _, row := range []struct{ sheet, in, field, means string }{
		{"edge", "tip=.1", "tip", "0.2 in"},
		{"edge", "tip=5mm", "tip", "10 mm"},
		{"middle", "a=1|b=2|tip=3mm", "tip", "6 mm"},
		{"middle", "a=1.3175|b=4.0185|size=2.901", "of", "inside"},
		{"middle", "a=1.3175|b=4.0185|size=2.301", "tip", "0.4000 in"},
		{"centre", "touches=" + round + "|size=2.1", "size", "4.2000 in"},
		{"centre", "of=boss|touches=" + round + "|size=4.2", "of", "bore"},
		{"centre", "touches=" + round + "; 0,-2", "touches", "2.001,0; 0,1.999; -2.0005,0; 0,-2"},
		{"pairs", "pairs=0, 3; 2.5, 3; 0, 3", "pairs", "0, 3; 2.5, 3"},
		{"dials", "holes=1,2;3,4;1,2", "holes", "1,2; 3,4"},
		{"dials", "holes=90,0;150,25", "holes", "90 mm,0 mm;150 mm,25 mm"},
		{"skew", "features=0,0,1,2; 8,0,9,2; 8,0,9,2|places=4,3", "features", "0,0,1,2; 8,0,9,2"},
		{"bolts", "dia=200|n=6", "dia", "200 mm"},
		{"dials", "holes=50,60;1,1", "holes", "50 mm,60 mm;1 mm,1 mm"}, // 250 turns
		{"grid", "nx=3|ny=2|px=50|py=50", "px", "50 mm"}, {"grid", "nx=3|ny=2|px=50|py=50", "py", "50 mm"},
		{"row", "n=3|pitch=50", "pitch", "50 mm"},
	} {
		found := false
		for _, c := range answer(t, units.InchSystem, row.sheet, row.in).Cautions() {
			found = found || c.Field == row.field && c.Means == row.means
		}
		assert.True(t, found, "%v", row)
	}
	for _, row := range []struct{ sheet, in string }{{"edge", "tip=.5"}, {"middle", "a=1.3175|b=4.0185|size=2.5"},
		{"dials", "holes=3.5625,0;1,1"}, {"bolts", "dia=8|n=6"}} {
		for _, c := range answer(t, units.InchSystem, row.sheet, row.in).Cautions() {
			assert.Empty(t, c.Means, "%v", row)
		}
	}
}

// What is asked, typed in place of what was typed, is not asked again.
func TestMeaningsHold(t *testing.T) {
	for _, row := range []struct{ sheet, rest, field, text string }{
		{"edge", "side=left", "tip", ".1"}, {"dials", "come=up", "holes", "1,2;3,4;1,2"}, {"dials", "come=up",
			"holes", "90,0;150,25"},
		{"pairs", "angle=0", "pairs", "0, 3; 2.5, 3; 0, 3"}, {"centre", "of=bore", "touches", round + "; 0,-2"},
		{"bolts", "n=6", "dia", "200"},
	} {
		a := answer(t, units.InchSystem, row.sheet, row.rest+"|"+row.field+"="+row.text)
		means := ""
		for _, c := range a.Cautions() {
			if c.Field == row.field {
				means = c.Means
			}
		}
		require.NotEmpty(t, means, "%v", row)
		for _, c := range answer(t, units.InchSystem, row.sheet, row.rest+"|"+row.field+"="+means).Cautions() {
			assert.NotEqual(t, row.field, c.Field, "%v %s", row, means)
		}
	}
}

// Seen in a mirror, an answer is the mirror of the answer.
func TestMirrored(t *testing.T) {
	value := func(a worksheet.Answer, key string) float64 {
		x, err := strconv.ParseFloat(a.Value(key), 64)
		require.NoError(t, err, key)
		return x
	}
	a := answer(t, units.InchSystem, "middle", "a=1.3175|b=4.0185|size=2.4")
	b := answer(t, units.InchSystem, "middle", "a=-1.3175|b=-4.0185|size=2.4")
	assert.InDelta(t, value(a, "middle"), -value(b, "middle"), 1e-9)
	assert.Equal(t, a.Mark(), b.Mark())
	assert.Equal(t, strings.ReplaceAll(a.Text("verdict"), "at ", "at -"), b.Text("verdict"))
	left, right := answer(t, units.InchSystem, "edge", "side=left|reads=3.4171"), answer(t, units.InchSystem,
		"edge", "side=right|reads=-3.4171")
	assert.InDelta(t, value(left, "at"), -value(right, "at"), 1e-9)
	assert.InDelta(t, value(left, "set"), -value(right, "set"), 1e-9)
	c := answer(t, units.InchSystem, "centre", "touches=2.001,0; 0,1.999; -2.0005,0; 0,-2.06")
	d := answer(t, units.InchSystem, "centre", "touches=-2.001,0; 0,1.999; 2.0005,0; 0,-2.06")
	assert.Equal(t, c.Text("verdict"), d.Text("verdict"))
	e := answer(t, units.InchSystem, "skew", "features=0,0,1,2; 8,0,8.999,2.008|places=4,3")
	f := answer(t, units.InchSystem, "skew", "features=0,0,-1,2; -8,0,-8.999,2.008|places=-4,3")
	assert.InDelta(t, value(e, "angle"), -value(f, "angle"), 1e-9)
	assert.InDelta(t, value(e, "zerox"), -value(f, "zerox"), 1e-9)
}

// At the limit between two marks a worked line shows the number at that limit.
func TestLimitsAreShown(t *testing.T) {
	for _, row := range []struct {
		sheet, before, after string
		low, high            float64
		line                 string
	}{
		{"edge", "side=left|reads=1.0000, ", "", 1.0025, 1.004, "0.0030 in"},
		{"edge", "side=left|reads=1.0000, ", "", 1.0002, 1.002, "0.0010 in"},
		{"middle", "a=1.3175|size=2.5|b=", "", 4.02, 4.15, "2.5100 - 2.5000"},
		{"skew", "features=0,0,1,2; 8,0,", ",2", 9.001, 9.01, "0.0050 in; allowed 0.0050 in"},
		{"skew", "features=0,0,1,2; 8,0,", ",2", 9.01, 9.05, "0.0250 in; allowed 0.0050 in"},
		{"centre", "touches=2,0; 1.732,1; 1,1.732|repeat=", "", .0002, .01, "0.0050 in"},
		{"bolts", "n=6|hole=1|dia=", "", 1.5, 2.1, "1.0000 - 1.0000"},
		{"row", "n=3|hole=1|pitch=", "", 1.1, 1.5, "0.2500 in"},
	} {
		run := func(x float64) worksheet.Answer {
			return answer(t, units.InchSystem, row.sheet, row.before+strconv.FormatFloat(x, 'f', 9, 64)+row.after)
		}
		at := registrytest.Turn(t, row.low, row.high, run)
		assert.Contains(t, registrytest.Worked(at), row.line, "%v", row)
	}
}
