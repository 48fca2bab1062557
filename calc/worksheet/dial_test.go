package worksheet

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/units"
)

// Steps and safe sides as a machinist would read them. Common practice, no published source.
func TestRead(t *testing.T) {
	for _, row := range []struct {
		dial string
		x    float64
		unit string
		inch string
		mm   string
	}{
		{"quill", .81254, "in", ".813 in", "20.65 mm"},
		{"left", .2196, "in", ".219 in", "5.56 mm"},
		{"left", 1.2396, "in", "1.23 in", "31.4 mm"},
		{"left", -.0004, "in", "-.001 in", "-0.02 mm"},
		{"spare", 7.5, "in", "7.50 in", "190.4 mm"},
		{"mark", .7670, "in", "49/64 in", "19.0 mm"},
		{"seat", .66, "in", "11/16 in", "17.0 mm"},
		{"needle", .0021, "in", "2 thou", "0.055 mm"},
		{"needle", -.00009, "in", "nothing you could read", "nothing you could read"},
		{"aim", -.00249, "in", "-2.25 thou", "-0.06 mm"},
		{"doubt", .00041, "in", ".5 thou", "0.012 mm"},
		{"wrench", 55.7, "lbf-ft", "55 lbf-ft", "75 N.m"},
		{"wrench", 29.7, "lbf-ft", "29 lbf-ft", "40 N.m"},
		{"wrench", 30, "lbf-ft", "30 lbf-ft", "40 N.m"},
		{"pull", 15608, "lbf", "16000 lbf", "69000 N"},
		{"lift", 17.83, "lb", "18 lb", "8.5 kg"},
		{"lift", 1201, "lb", "1250 lb", "560 kg"},
		{"tag", 1219, "lbf", "1210 lbf", "5.40 kN"},
		{"margin", 2.57, "", "2.5", "2.5"},
		{"margin", 3.9, "", "3.5", "3.5"},
		{"lay", 44.9, "deg", "44 deg", "44 deg"},
		{"swivel", 30.25, "deg", "30° 15'", "30° 15'"},
		{"sine", 1.0003, "deg", "1° 0' 1\"", "1° 0' 1\""},
		{"three", .00012345, "", "0.000123", "0.000123"},
		{"share", 99.2, "%", "100%", "100%"},
		{"turn", .34, "", "1/4", "1/4"},
		{"turn", .1, "", "1/16", "1/16"},
	} {
		inch, mm := &Out{}, &Out{System: units.MetricSystem}
		assert.Equal(t, row.inch, inch.Read(row.dial, row.x, row.unit), row.dial)
		assert.Equal(t, row.mm, mm.Read(row.dial, row.x, row.unit), row.dial)
	}
}

// A graduation said by the run takes the place of the dial's own step.
func TestSetStep(t *testing.T) {
	o := &Out{}
	o.SetStep("needle", .00005, "in")
	assert.Equal(t, "2.1 thou", o.Read("needle", .00212, "in"))
	metric := &Out{}
	metric.SetStep("needle", .005, "mm")
	assert.Equal(t, "2.1 thou", metric.Read("needle", .00212, "in"))
	assert.Equal(t, "It reads 2.1 thou.", metric.Fill("It reads {needle in}.", nil, .00212))
	a, b := o.ReadApart("spare", 1.0012, 1.0028, "in")
	assert.Equal(t, "1.001 in", a)
	assert.Equal(t, "1.002 in", b)
}

// A number read on a dial is no more than a step from itself, on the safe side of it; read again it
// is the same.
func TestReadIsSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &Dials[rapid.IntRange(0, len(Dials)-1).Draw(t, "dial")]
		x := rapid.Float64Range(-5000, 5000).Draw(t, "x")
		if d.Most > 0 {
			x = min(x, d.Most)
		}
		if math.Abs(x) < .001 || d.Form == Fractions || d.Form == Minutes || d.Form == Seconds {
			return
		}
		u := ""
		k := Number
		if d.Units.Inch != "" {
			u = d.Units.Inch
			k = kindOf(u)
		}
		o := &Out{}
		r := o.read(d, k, Units{}, units.InchSystem, x, u, 1)
		text, by := r.text(), r.by()
		if text == "nothing you could read" {
			return
		}
		got, step := leading(t, text), leading(t, by)
		require.LessOrEqual(t, math.Abs(got-x), step*(1+1e-5))
		switch d.Safe {
		case Less:
			require.LessOrEqual(t, got, x+1e-6*step)
		case More:
			require.GreaterOrEqual(t, got, x-1e-6*step)
		case Toward:
			require.LessOrEqual(t, math.Abs(got), math.Abs(x)+1e-6*step)
		default:
			require.LessOrEqual(t, math.Abs(got-x), step*.50001)
		}
	})
}

// leading reads the number at the start of a text.
func leading(t *rapid.T, text string) float64 {
	end := 0
	for end < len(text) && (text[end] >= '0' && text[end] <= '9' || text[end] == '.' || text[end] == '-') {
		end++
	}
	x, err := strconv.ParseFloat(text[:end], 64)
	require.NoError(t, err, text)
	return x
}
