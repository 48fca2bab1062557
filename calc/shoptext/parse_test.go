package shoptext_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

var inch, mm = units.Span.Unit(units.InchSystem), units.Span.Unit(units.MetricSystem)

// The readings are common practice, no published source; the factors are exact
// (1 in = 25.4 mm, international yard and pound agreement of 1959).
func TestParseLength(t *testing.T) {
	const in = units.Inch
	for _, row := range []struct {
		text string
		bare units.Unit
		want units.Length
	}{
		{"5/8", inch, in * 5 / 8},
		{"1-3/8", inch, in * 11 / 8},
		{"1 3/8", inch, in * 11 / 8},
		{"1+3/8", inch, in * 11 / 8},
		{"-1-3/8", inch, -in * 11 / 8},
		{".750", inch, in * 3 / 4},
		{"0.015", inch, 15 * units.Thou},
		{"3/4+.015", inch, in*3/4 + 15*units.Thou},
		{"3/4-.015", inch, in*3/4 - 15*units.Thou},
		{"3/4 + 15 thou", inch, in*3/4 + 15*units.Thou},
		{"19.05mm", inch, 19050 * units.Micrometre},
		{"19.05 mm", inch, in * 3 / 4},
		{"10.2", mm, 10200 * units.Micrometre},
		{"1/2in", mm, in / 2},
		{"17/32", inch, in * 17 / 32},
		{"27/64", inch, in * 27 / 64},
		{"15 thou", inch, 15 * units.Thou},
		{"2 tenths", inch, 2 * units.Tenth},
		{"38\"", inch, 38 * in},
		{"3'-2 5/8\"", inch, 38*in + in*5/8},
		{"3' 2 5/8\"", inch, 38*in + in*5/8},
		{"3ft", inch, 36 * in},
		{"#7", inch, 2010 * units.Tenth},
		{"No. 7", inch, 2010 * units.Tenth},
		{"7 drill", inch, 2010 * units.Tenth},
		{"F", inch, 2570 * units.Tenth},
		{"f drill", inch, 2570 * units.Tenth},
		{"½", inch, in / 2},
		{"1½", inch, in * 3 / 2},
		{"2−1⁄4", inch, in * 9 / 4},
		{"1-9/8", inch, in * 17 / 8},
		{"5 um", inch, 5 * units.Micrometre},
		{"0", inch, 0},
		// One unit at the end of a sum holds for all of it: so a shop writes it.
		{"10+5 mm", inch, 15 * units.Millimetre},
		{"10+5 mm", mm, 15 * units.Millimetre},
		{"19+.05mm", inch, 19050 * units.Micrometre},
		{"1+1/2 in", mm, in * 3 / 2},
		{"3/4+1/8 mm", mm, 875 * units.Micrometre},
		{"3/4 in", mm, in * 3 / 4},
		{".75", mm, 750 * units.Micrometre},
		// A decimal comma, ISO 80000-1:2009, 7.3.2, where it cannot mark thousands.
		{"12,5", mm, 12500 * units.Micrometre},
		{"0,125", inch, 125 * units.Thou},
		{",25", inch, in / 4},
		{"1250,125", mm, 1250125 * units.Micrometre},
		{"12,5+,25", mm, 12750 * units.Micrometre},
		{"12\u201a5 mm", inch, 12500 * units.Micrometre},
	} {
		t.Run(row.text, func(t *testing.T) {
			n, f := shoptext.Parse(row.text, units.Span, row.bare)
			require.Nil(t, f)
			assert.Equal(t, row.want, n.Length)
			assert.InDelta(t, row.want.MM(), n.Base(), 1e-9)
		})
	}
}

func TestParseRefusals(t *testing.T) {
	for _, row := range []struct{ text, says string }{
		{"", "empty"},
		{"3/", "no bottom number"},
		{"3/0", "divides by zero"},
		{"1/2/4", "one stroke too many"},
		{"1-3", "fraction missing, or a thread"},
		{"10-24", "fraction missing, or a thread"},
		{"1,250", "comma"}, // thousands, or a decimal
		{"12,125", "comma"},
		{"1,2,5", "comma"},
		{"1,250.5", "comma"},
		{"1.250,5", "comma"},
		{"12,", "comma"},
		{"1.2.3", "two points"},
		{".", "no digits"},
		{"abc", "not a number"},
		{"5 kg", "unit this does not take"},
		// A unit that is not at the end, or is a part of a unit, may leave the bare terms in
		// inches.
		{"10+5 mm+2", "unit behind each part"},
		{"19 mm+.05", "unit behind each part"},
		{"3/4+15 um", "unit behind each part"},
		{"1in+2mm", "mixes inch and metric"},
		{"3/4+", "stops short"},
		{"1.5/2", "point inside a fraction"},
		{"12345678901234567890", "more digits"},
		{"999999999999 m", "too large"},
		{"#999", "no number"},
		{"1111111111111111111111111111111111111111111111111111111111111111111111", "longer"},
	} {
		t.Run(row.text, func(t *testing.T) {
			_, f := shoptext.Parse(row.text, units.Span, inch)
			require.NotNil(t, f)
			assert.Contains(t, f.Says, row.says)
			assert.NotEmpty(t, f.Try)
		})
	}
}

// TestBareFraction: 3/4 where bare numbers are metric is inches that nobody
// marked as often as not, so it is asked about; what was kept so is read still.
func TestBareFraction(t *testing.T) {
	um, _ := units.Span.Find("um")
	for _, row := range []struct {
		text      string
		bare      units.Unit
		says, try string
	}{
		{"3/4", mm, "'3/4' is a fraction without a unit.", "Write 3/4 in, or .75 mm."},
		{"-3/4", mm, "'-3/4' is a fraction without a unit.", "Write -3/4 in, or -.75 mm."},
		{"1 1/2", mm, "'1 1/2' is a fraction without a unit.", "Write 1 1/2 in, or 1.5 mm."},
		{"1-1/2", mm, "'1-1/2' is a fraction without a unit.", "Write 1-1/2 in, or 1.5 mm."},
		{"1½", mm, "'1½' is a fraction without a unit.", "Write 1 1/2 in, or 1.5 mm."},
		{"10+1/2", mm, "'10+1/2' is a fraction without a unit.", "Write 10+1/2 in, or 10.5 mm."},
		{"1/3", mm, "'1/3' is a fraction without a unit.", "Write 1/3 in, or .3333 mm."},
		{"+1/2", um, "'+1/2' is a fraction without a unit.", "Write +1/2 thou, or .5 um."},
		{"5 mm+1/2", mm, "'5 mm+1/2' has a part without a unit; write the unit behind each part.",
			"Type it like 3/4, 1-3/8, .750 or 19.05mm."},
		{"1/2+5 um", mm, "'1/2+5 um' has a part without a unit; write the unit behind each part.",
			"Type it like 3/4, 1-3/8, .750 or 19.05mm."},
	} {
		_, f := shoptext.Parse(row.text, units.Span, row.bare)
		if assert.NotNil(t, f, row.text) {
			assert.Equal(t, shoptext.ParseError{Says: row.says, Try: row.try}, *f)
		}
		_, f = shoptext.ParseKept(row.text, units.Span, row.bare)
		assert.Nil(t, f, row.text)
	}
	for dim := units.Angle; dim <= units.Percent; dim++ {
		_, f := shoptext.Parse("3/4", dim, dim.Unit(units.MetricSystem))
		assert.Nil(t, f, "%s: only a length is asked about", dim.Name())
	}
}

func TestParseAngle(t *testing.T) {
	deg := units.Angle.Unit(units.InchSystem)
	for _, row := range []struct {
		text string
		want float64
	}{
		{"118", 118}, {"14d2'10\"", 14 + 2.0/60 + 10.0/3600}, {"14:02:10", 14 + 2.0/60 + 10.0/3600},
		{"14 2 10", 14 + 2.0/60 + 10.0/3600}, {"14.036", 14.036}, {"-0:30", -0.5}, {"22d30'", 22.5},
		{"82°", 82}, {"82 deg", 82}, {"30 arcmin", 0.5}, {"14°2'10\"", 14 + 2.0/60 + 10.0/3600},
	} {
		n, f := shoptext.Parse(row.text, units.Angle, deg)
		if assert.Nil(t, f, row.text) {
			assert.InDelta(t, row.want, n.Base(), 1e-12, row.text)
		}
	}
}

func TestParseOtherKinds(t *testing.T) {
	for _, row := range []struct {
		text string
		dim  units.Dim
		unit string
		want float64
	}{
		{"150 lbf-ft", units.Torque, "lbf-ft", 150},
		{"88 N.m", units.Torque, "N.m", 88},
		{"180 lb", units.Mass, "lb", 180},
		{"80 ft/min", units.SurfaceSpeed, "ft/min", 80},
		{"80 sfm", units.SurfaceSpeed, "ft/min", 80},
		{"68F", units.Temperature, "F", 68},
		{"20 C", units.Temperature, "C", 20},
		{"1-1/2 hp", units.Power, "hp", 1.5},
		{"-3", units.None, "", -3},
		{"75%", units.Percent, "%", 75},
		{".602 tpf", units.Slope, "in/ft", 0.602},
	} {
		n, f := shoptext.Parse(row.text, row.dim, row.dim.Unit(units.InchSystem))
		if assert.Nil(t, f, row.text) {
			assert.Equal(t, row.unit, n.Unit.Name, row.text)
			assert.InDelta(t, row.want, n.Value, 1e-12, row.text)
		}
	}
	f, _ := shoptext.Parse("68F", units.Temperature, units.Temperature.Unit(units.InchSystem))
	assert.InDelta(t, 20, f.Base(), 1e-12, "68 F is 20 C, the reference temperature of ISO 1")
}

// TestFractionRoundTrip is a law: what is written is read back to the same length.
func TestFractionRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := units.Length(rapid.Int64Range(-64*1000, 64*1000).Draw(t, "64ths")) * units.Inch / 64
		text, ok := shoptext.Fraction(l)
		require.True(t, ok)
		n, f := shoptext.Parse(text, units.Span, inch)
		require.Nil(t, f, text)
		require.Equal(t, l, n.Length, text)
	})
}

// TestDecimalRoundTrip is the same law for ten thousandths and micrometres.
func TestDecimalRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenths := rapid.Int64Range(-1e9, 1e9).Draw(t, "tenths")
		l := units.Length(tenths) * units.Tenth
		n, f := shoptext.Parse(shoptext.Inches(l, 4), units.Span, inch)
		require.Nil(t, f)
		require.Equal(t, l, n.Length)
		d, ok := units.Round(l.MM(), 5)
		require.True(t, ok)
		n, f = shoptext.Parse(d.Text(), units.Span, mm)
		require.Nil(t, f)
		require.Equal(t, l, n.Length, "a tenth is 2.54 um exactly")
	})
}

func TestNearest(t *testing.T) {
	n, _ := shoptext.Parse(".4265", units.Span, inch)
	assert.Equal(t, "27/64 + .0046", shoptext.Nearest(n.Length))
	n, _ = shoptext.Parse(".420", units.Span, inch)
	assert.Equal(t, "27/64 - .0019", shoptext.Nearest(n.Length))
}

// FuzzParse: any text is read or refused with a sentence, never a panic, and a
// read length is finite. Run: go test ./calc/shoptext -fuzz FuzzParse
func FuzzParse(f *testing.F) {
	for _, s := range []string{"5/8", "1-3/8", "3/4+.015", "19.05mm", "#7", "F", "3'-2 5/8\"", "14d2'10\"", "1e9", "½", "-", "#", "''"} {
		f.Add(s, uint8(units.Span))
		f.Add(s, uint8(units.Angle))
	}
	f.Fuzz(func(t *testing.T, s string, d uint8) {
		dim := units.Dim(d % uint8(units.Percent+1))
		n, fault := shoptext.Parse(s, dim, dim.Unit(units.InchSystem))
		if fault != nil {
			if fault.Says == "" || fault.Try == "" {
				t.Fatalf("%q refused without a sentence", s)
			}
			return
		}
		if n.Value != n.Value || n.Value > 1e20 || n.Value < -1e20 {
			t.Fatalf("%q read as %v", s, n.Value)
		}
	})
}
