package bench

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Answers worked by hand, and what once was answered as if all were well.
func TestNothingMisleads(t *testing.T) {
	for _, row := range []struct {
		sheet, in string
		mark      worksheet.Mark
		verdict   string
	}{
		{"blocks", "height=3.9762", worksheet.Good, "4 blocks make 3.9762 in: 3.0000 in + .7500 in + .1260 in + " +
			".1002 in."},
		{"blocks", "height=2.71835", worksheet.Careful, "4 blocks, .0001 in under: 2.0000 in + .5000 in + .1180 in " +
			"+ .1003 in, the nearest of this set."},
		{"blocks", "height=.075", worksheet.Stop, "This set does not make it: nearest is 1 block, .0250 in under."},
		// 5 sin 22.5 = 1.91342; 5 sin 12 1/3 = 1.06800
		{"sine", "angle=22d30'", worksheet.Good, "Stack 1.9134 in for 22° 30' on a 5.0000 in bar"},
		{"sine", "angle=12d20'", worksheet.Good, "Blocks: .9500 in + .1180 in."},
		// 5 sin 40 = 3.21394, 5 sin 25 = 2.11309
		{"sine", "angle=50", worksheet.Careful, "Use the square face."},
		{"sine", "angle=65", worksheet.Stop, "Over 60: a bar will not hold it. Set the complement, 25°, from a " +
			"square face: stack 2.1131 in."},
		{"shims", "want=.0266", worksheet.Good, "2 leaves: .0250 in + .0015 in, .0001 in short."},
		{"shims", "want=.0006|owned=.003 in", worksheet.Stop, "Thinnest leaf is too thick: .0006 in wanted, " +
			"thinnest .0030 in."},
		{"shims", "want=.0266|owned=.020 in, 1; .005 in, 1", worksheet.Careful,
			".0016 in short: no pack of these comes closer."},
		{"shims", "want=.126", worksheet.Careful, "5 leaves: .0310 in + .0250 in + .0250 in + .0250 in + .0200 in, " +
			"exactly; springy."},
		// atan(.128/5.125) = 1 deg 25' 50": the vernier's 5 minutes
		{"taper", "big=.7|small=.572|length=2.5625", worksheet.Good, "Set the slide to 1° 25': 0.5994 in/ft, 1 to " +
			"20.02, 2° 51' 41\" across."},
		{"taper", "from=angle|angle=40", worksheet.Careful, "over 10 degrees set it on a sine bar."},
		{"triangle", "a=3|b=4", worksheet.Good, "a 3.000 in, A 36° 52' 12\"; b 4.000 in, B 53° 7' 48\"; c 5.000 in, " +
			"C 90°."},
		{"triangle", "kind=any|a=3|b=4|anga=40", worksheet.Careful, "Two triangles fit."},
		// (16/4 + .25)/1 = 4.25
		{"arc", "chord=4|rise=.5", worksheet.Good, "Radius 4.250 in; chord 4.000 in, rise .500 in, angle 56° 8' " +
			"42\"; 4.165 in along the arc."},
		// c^2/(8 h^2) = 20,000: a thou of rise is 20 in
		{"arc", "chord=4|rise=.01", worksheet.Careful, "Radius 200 in, loosely"},
		{"divide", "divisions=7", worksheet.Good, "5 turns and 15 holes on the 21 circle, exactly."},
		{"divide", "divisions=127", worksheet.Careful, "Use the list of places: no circle does it exactly. Nearest " +
			"is 6 holes on the 19 circle, off 0° 0' 27\" a step"},
		{"divide", "divisions=7|plates=mine|mine=24|ratio=1", worksheet.Stop,
			"Ratio 1 with these circles has no such step: nearest is off 6° 25' 43\" in 51° 25' 43\"."},
		{"divide", "divisions=8", worksheet.Good, "5 turns, exactly."},
		// 20.005 (11.5 x 1.11 - 11.4 x 8.33)e-6 = -.00164
		{"heat", "reading=20.005|tpart=83 F|tgauge=70 F|want=20", worksheet.Careful,
			"Let it soak: part and gauge are 13 F apart. Work to 20.0016 in now"},
		{"heat", "reading=14.503|tpart=78|tgauge=78", worksheet.Good, "At 20 C (68 F) it is 14.5030 in, as read."},
		// what was not said is not nothing: a steel gauge at 83 F is .1 ppm x 8.33 off, at 68 F 11.4 x
		// 8.33 = 95 ppm, that is 1.9 thou in 20 in
		{"heat", "reading=14.503|tpart=78", worksheet.Open, "How warm is the gauge?"},
		{"heat", "reading=20.005|tpart=83F|want=20", worksheet.Open, "How warm is the gauge? For 20.0000 in at 20 C " +
			"(68 F) work to 20.0000 in if the gauge is as warm as the part, to 20.0019 in if it is at 20 C (68 F)."},
		{"heat", "reading=20.005|tpart=70F|gauge=true", worksheet.Good, "At 20 C (68 F) it is"},
		// 5 sin .01 = .00087; the thinnest block of .05 gives asin(.05/5) = .573
		{"sine", "angle=.01", worksheet.Stop, "This set does not make 0° 0' 36\": its nearest stack gives 0° 34'"},
		{"heat", "reading=14.503|tpart=120", worksheet.Stop, "Too warm to measure: 52 F over 68 F."},
	} {
		t.Run(row.sheet+" "+row.in, func(t *testing.T) {
			a := answer(t, row.sheet, row.in)
			assert.Equal(t, row.mark, a.Mark())
			assert.Contains(t, a.Text("verdict"), row.verdict)
			warnings := 0
			for _, c := range a.Cautions() {
				if c.Level == worksheet.Warning {
					warnings++
				}
			}
			assert.LessOrEqual(t, warnings, 2)
		})
	}
	stopped := answer(t, "sine", "angle=65")
	assert.Empty(t, stopped.Text("blocks"))
	assert.Equal(t, "2.11309 in", stopped.Text("other"))
	assert.Empty(t, answer(t, "heat", "reading=14.503|tpart=120|want=14.5").Text("aim"))
	open := answer(t, "heat", "reading=20.005|tpart=83F|want=20")
	assert.Empty(t, open.Text("aim")+open.Text("size")+open.Text("change"))
	assert.Empty(t, answer(t, "sine", "angle=.01").Text("blocks"))
	assert.Empty(t, answer(t, "divide", "divisions=7|plates=mine|mine=24|ratio=1").Text("holes"))
	assert.Empty(t, answer(t, "blocks", "height=.075").Text("stack"))
}

// What is likely a slip is asked about with its likely meaning.
func TestSlips(t *testing.T) {
	asked := func(a worksheet.Answer) string {
		for _, c := range a.Cautions() {
			if c.Means != "" {
				return c.Field + "=" + c.Means
			}
		}
		return ""
	}
	for _, row := range [][3]string{
		{"shims", "want=.5", "want=.5 mm"},
		{"blocks", "height=25", "height=25 mm"},
		{"heat", "reading=14.5|tpart=25|tgauge=68 F", "tpart=25 C"},
		{"heat", "reading=368|want=14.5|tpart=70|tgauge=70", "reading=368 mm"},
		{"arc", "chord=4|rise=70", "rise=70 mm"},
		{"triangle", "a=3|b=102", "b=102 mm"},
		{"taper", "big=30|small=25|length=100", "big=30 mm"},
		{"blocks", "height=3.9762", ""},
		{"heat", "reading=14.5|tpart=75|tgauge=70", ""},
	} {
		assert.Equal(t, row[2], asked(answer(t, row[0], row[1])), "%v", row)
	}
	m := worksheet.Run(registrytest.Find(t, Sheets(), "heat"), units.MetricSystem, pairs("reading=300|tpart=68"))
	require.Nil(t, m.Fault)
	assert.Equal(t, "tpart=68 F", asked(m))
}

// At the limit between two marks a worked line shows the number at that limit.
func TestLimitsAreShown(t *testing.T) {
	for _, row := range []struct {
		sheet, before, after string
		low, high            float64
		line                 string
	}{
		{"heat", "reading=10|tgauge=105 F|tpart=", " F", 105, 115, "22.22 C"},
		{"heat", "reading=10|tgauge=70 F|tpart=", " F", 70, 80, "2 C"},
		{"sine", "angle=", "", 40, 50, "sin(45"},
		{"sine", "angle=", "", 55, 65, "sin(60"},
		{"heat", "reading=10|tpart=70 F|tgauge=", " F", 70, 80, "-2 C"},
		{"taper", "from=angle|angle=", "", 15, 25, "tan(10 deg)"},
	} {
		run := func(x float64) worksheet.Answer {
			return answer(t, row.sheet, row.before+strconv.FormatFloat(x, 'f', 10, 64)+row.after)
		}
		at := registrytest.Turn(t, row.low, row.high, run)
		assert.Contains(t, registrytest.Worked(at), row.line, "%v", row)
	}
}
