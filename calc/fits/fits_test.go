package fits

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/drill"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

// Every drill of the table is a drill there is, makes a hole between the limits
// of its row, and each fit is wider than the one before.
func TestClearanceTableHoldsTogether(t *testing.T) {
	for i, r := range inchRows {
		s := Screw{r.name, float64(r.d) / 10000, false, i}
		last := s.D
		for f := Close; f <= Loose; f++ {
			h := Clearance(s, f)
			_, ok := drill.Lookup(h.Drill)
			require.True(t, ok, "%s %s: drill %s", r.name, f, h.Drill)
			assert.InDelta(t, h.Min, h.Dia, .00055, "%s %s: the least hole is the drill, to three decimals", r.name, f)
			assert.Greater(t, h.Min, last)
			// H12, H13 or H14 at this size, to the thousandth and a half.
			assert.InDelta(t, itMicrons(12+int(f), h.Min*mmPerInch)/25400, h.Max-h.Min, .0061, "%s %s", r.name, f)
			last = h.Min
		}
	}
	for i, r := range metricRows {
		s := Screw{"", float64(r.d) / 10 / mmPerInch, true, i}
		last := s.D
		for f := Close; f <= Loose; f++ {
			h := Clearance(s, f)
			assert.Greater(t, h.Min, last)
			assert.Greater(t, h.Max, h.Min)
			assert.NotEmpty(t, h.Drill)
			last = h.Min
		}
	}
}

// The metric drills ASME B18.2.8 table 3a names for inch screws are no smaller
// than our least and no more than a millimetre from the drill found here.
// Source: Machinery's Handbook, 31st ed., p. 1743, normal fit.
func TestMetricDrillsForInchScrews(t *testing.T) {
	for size, mm := range map[string]float64{"3/8": 10.2, "7/16": 11.8, "1/2": 14.25, "5/8": 17.5, "3/4": 20.5, "7/8": 24, "1/4": 7.1, "5/16": 8.7} {
		s := screw(size)
		d, ok := OtherDrill(s, Clearance(s, Normal))
		require.True(t, ok)
		assert.InDelta(t, mm, d.MM, .26, size)
	}
}

func TestFindScrew(t *testing.T) {
	for text, want := range map[string]string{
		"#10": "#10", "no. 10": "#10", "No 8": "#8", "10-24": "#10", "5/8": "5/8", "5/8-11": "5/8", ".625": "5/8", "1 in": "1 in", "1-1/8": "1-1/8",
		"M12": "M12", "m12x1.25": "M12", "12mm": "M12", "M2.5": "M2.5", "#2": "#2", "0-80": "#0",
	} {
		s, f := FindScrew(text)
		require.Nil(t, f, text)
		assert.Equal(t, want, s.Name, text)
	}
	for _, text := range []string{"10", "8", "1", "", "F", "2 in", "M100", "9/16", "x", "#99", "M13"} {
		_, f := FindScrew(text)
		assert.NotNil(t, f, text)
	}
}

func TestHeadsFitTheirCounterbores(t *testing.T) {
	all := []Screw{}
	for i, r := range inchRows {
		all = append(all, Screw{r.name, float64(r.d) / 10000, false, i})
	}
	for i, r := range metricRows {
		all = append(all, Screw{plain(float64(r.d) / 10), float64(r.d) / 10 / mmPerInch, true, i})
	}
	for _, s := range all {
		seat := SocketSeat(s, Normal)
		assert.Greater(t, seat.Bore, seat.Head, s.Name)
		assert.Less(t, seat.Bore, seat.Head*1.35+.01, s.Name)
		assert.Greater(t, seat.Head, seat.Hole.Dia, s.Name)
		if hex := HexSeat(s, Normal, 0, 0); hex.HasHead {
			assert.InDelta(t, hex.Flats/cos30, hex.Head, .003*hex.Head+.001, s.Name)
			assert.Greater(t, hex.Flats, hex.Hole.Dia, s.Name)
		}
	}
}

// H7/p6 and P7/h6 are the same fit at every size: the reason for the raised
// deviations of the holes (ISO 286-1, 4.3.2.5).
func TestHoleAndShaftBasisAgree(t *testing.T) {
	for mm := 3.5; mm <= 500; mm += 3.1 {
		for _, letter := range []string{"p", "r", "s", "u", "x", "z"} {
			a, f := Limits("H7/"+letter+"6", mm/mmPerInch)
			require.Nil(t, f)
			b, f := Limits(raised(letter)+"7/h6", mm/mmPerInch)
			require.Nil(t, f)
			assert.InDelta(t, a.Tightest, b.Tightest, 1e-9, "%s %v", letter, mm)
			assert.InDelta(t, a.Loosest, b.Loosest, 1e-9, "%s %v", letter, mm)
		}
		for _, letter := range []string{"k", "m", "n"} {
			if letter == "m" && mm > 250 && mm <= 315 {
				continue // the standard's exception, M6
			}
			a, _ := Limits("H6/"+letter+"5", mm/mmPerInch)
			b, _ := Limits(raised(letter)+"6/h5", mm/mmPerInch)
			assert.InDelta(t, a.Tightest, b.Tightest, 1e-9, "%s %v", letter, mm)
		}
	}
}

// The tables never fall with the size nor with the grade, and the letters stand
// in order.
func TestISOTablesRise(t *testing.T) {
	for g := 1; g <= 18; g++ {
		last := 0.0
		for _, e := range steps {
			it := itMicrons(g, e)
			assert.GreaterOrEqual(t, it, last)
			assert.Greater(t, it, itMicrons(g-1, e))
			last = it
		}
	}
	for _, rows := range [][]deviation{below[:], above[:]} {
		for _, r := range rows {
			last := int16(-2)
			for _, x := range r.um {
				if x != none {
					assert.GreaterOrEqual(t, x, last, r.letter)
					last = x
				}
			}
		}
	}
	for _, e := range halves {
		last := -1e9
		for _, letter := range []string{"a", "b", "c", "d", "e", "f", "g", "h", "k", "m", "n", "p", "r", "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc"} {
			lo, _, ok := ShaftZone(letter, 6, e)
			if ok {
				assert.Greater(t, lo, last, "%s at %v", letter, e)
				last = lo
			}
		}
	}
}

// The formulas of ISO 286-1 come within rounding of its tables for the letters that follow one: a
// check of every cell for typing errors.
func TestDeviationsFollowTheirFormulas(t *testing.T) {
	for i := 3; i < len(halves); i++ { // from 10 mm; below it the tables go their own way
		from := halves[i-1]
		d := math.Sqrt(from * halves[i])
		it7 := itMicrons(7, halves[i])
		for letter, want := range map[string]float64{
			"t": it7 + .63*d, "u": it7 + d, "v": it7 + 1.25*d, "x": it7 + 1.6*d, "y": it7 + 2*d, "z": it7 + 2.5*d,
			"za": itMicrons(8, halves[i]) + 3.15*d, "zb": itMicrons(9, halves[i]) + 4*d, "zc": itMicrons(10, halves[i]) + 5*d,
			"a": cond(d <= 120, 265+1.3*d, 3.5*d), "b": cond(d <= 160, 140+.85*d, 1.8*d),
		} {
			got, ok := find(above[:], letter, halves[i])
			if !ok {
				if got, ok = find(below[:], letter, halves[i]); !ok {
					continue
				}
			}
			assert.InDelta(t, want, got, .07*want+2.5, "%s to %v", letter, halves[i])
		}
	}
}

func cond(b bool, x, y float64) float64 {
	if b {
		return x
	}
	return y
}

// The shaft's tolerance of every B4.1 class is one of the standard's grades, and
// clearance classes clear while force classes squeeze.
func TestB41HoldsTogether(t *testing.T) {
	for _, c := range b41Classes {
		require.Len(t, c.low, len(c.high), c.name)
		ends := b41Ends[:]
		if c.force {
			ends = forceEnds[:]
		}
		require.LessOrEqual(t, len(c.high), len(ends), c.name)
		lastHigh, lastLow := 0.0, 0.0
		for i := range c.high {
			if c.high[i] == no {
				continue
			}
			p, f := Limits(c.name, float64(ends[i])/100)
			require.Nil(t, f, "%s %v", c.name, ends[i])
			assert.Greater(t, p.ShaftMax, p.ShaftMin, c.name)
			switch c.name[:2] {
			case "RC", "LC":
				assert.Equal(t, "clearance", p.Kind(), "%s %v", c.name, ends[i])
			case "LT":
				assert.Equal(t, "transition", p.Kind(), "%s %v", c.name, ends[i])
			default:
				assert.Equal(t, "interference", p.Kind(), "%s %v", c.name, ends[i])
			}
			assert.GreaterOrEqual(t, math.Abs(p.ShaftDev[1])+1e-9, lastHigh, "%s %v", c.name, ends[i])
			assert.GreaterOrEqual(t, p.Loosest-p.Tightest+1e-9, lastLow, "%s %v", c.name, ends[i])
			lastHigh, lastLow = math.Abs(p.ShaftDev[1]), p.Loosest-p.Tightest
		}
	}
}

// Printed limits of clearance and interference, thousandths of an inch, for all
// ranges to 19.69 in. Source: Machinery's Handbook, 31st ed., tables 8a and 12.
func TestB41PrintedLimits(t *testing.T) {
	for class, want := range map[string][13][2]float64{
		"RC3": {{.3, .95}, {.4, 1.2}, {.5, 1.5}, {.6, 1.7}, {.8, 2.1}, {1, 2.6}, {1.2, 3.1}, {1.4, 3.7}, {1.6, 4.2}, {2, 5}, {2.5, 5.7}, {3, 6.6}, {4, 8.1}},
		"RC4": {{.3, 1.3}, {.4, 1.6}, {.5, 2}, {.6, 2.3}, {.8, 2.8}, {1, 3.6}, {1.2, 4.2}, {1.4, 5}, {1.6, 5.7}, {2, 6.6}, {2.5, 7.5}, {3, 8.7}, {4, 10.5}},
		"RC6": {{.6, 2.2}, {.8, 2.7}, {1, 3.3}, {1.2, 3.8}, {1.6, 4.8}, {2, 6.1}, {2.5, 7.3}, {3, 8.7}, {3.5, 10}, {4, 11.3}, {5, 13}, {6, 15.5}, {8, 18}},
		"LN3": {{-.75, -.1}, {-.9, -.1}, {-1.2, -.2}, {-1.4, -.3}, {-1.7, -.4}, {-2, -.4}, {-2.3, -.4}, {-2.9, -.6}, {-3.5, -.9}, {-4.2, -1.2}, {-4.7, -1.5}, {-5.9, -2.3}, {-6.6, -2.5}},
	} {
		for i, w := range want {
			p, f := Limits(class, float64(b41Ends[i])/100)
			require.Nil(t, f)
			assert.InDelta(t, w[0], p.Tightest*1000, 1e-6, "%s range %d tightest", class, i)
			assert.InDelta(t, w[1], p.Loosest*1000, 1e-6, "%s range %d loosest", class, i)
		}
	}
}

func TestFitRefusals(t *testing.T) {
	for _, r := range []struct{ size, fit, field string }{
		{"25mm", "", "fit"}, {"25mm", "Q7", "fit"}, {"25mm", "H7/G7", "fit"}, {"25mm", "RC10", "fit"}, {"25mm", "FN9", "fit"},
		{"501mm", "H7", "size"}, {"12 in", "FN2", "size"}, {"2.5 in", "LC7", "size"}, {"25mm", "t25", "fit"}, {"10mm", "cd4/H", "fit"}, {"0.3mm", "h18", "size"},
	} {
		a := worksheet.Run(fitSheet, units.MetricSystem, []worksheet.Pair{{Key: "size", Text: r.size}, {Key: "fit", Text: r.fit}})
		require.NotNil(t, a.Fault, "%s %s", r.size, r.fit)
		assert.Equal(t, r.field, a.Fault.Field, "%s %s", r.size, r.fit)
	}
}

func TestFitNames(t *testing.T) {
	for text, want := range map[string]string{"H7/g6": "H7/g6", "g6/H7": "H7/g6", "H7 g6": "H7/g6", "rc4": "RC4", "js6": "js6", "JS7": "JS7", " h6 ": "h6"} {
		got, f := canonFit(text)
		require.Nil(t, f, text)
		assert.Equal(t, want, got)
	}
}

// The shaft turned for a hole as bored has the room the fit asks for.
func TestShaftForTheHoleAsBored(t *testing.T) {
	a := worksheet.Run(fitSheet, units.MetricSystem, []worksheet.Pair{{Key: "size", Text: "25mm"}, {Key: "fit", Text: "H7/g6"}, {Key: "bored", Text: "25.0305mm"}})
	require.Nil(t, a.Fault)
	assert.Contains(t, a.Text("turnmin"), "25.000")
	assert.Contains(t, a.Text("turnmax"), "25.013")
}

func TestDowelsHoldTogether(t *testing.T) {
	for _, fam := range []string{InchPin, ISOPin, USPin} {
		for _, over := range []bool{false, true} {
			for _, r := range inchPins {
				if p, ok := FindPin(fam, float64(r.d)/10000, over); ok {
					assert.Greater(t, p.Max, p.Min)
					assert.Greater(t, p.HoleMax, p.HoleMin)
					assert.Greater(t, p.Max, p.HoleMin, r.name)
					assert.Less(t, PinDrill(p.Nominal, false).Inches, p.HoleMin)
					assert.Greater(t, PinDrill(p.Nominal, false).Inches, p.Nominal*.7)
				}
			}
			for _, m := range isoPins {
				if p, ok := FindPin(fam, float64(m)/10/mmPerInch, over); ok && fam != InchPin {
					assert.Greater(t, p.Max, p.HoleMin, p.Name)
					assert.Less(t, PinDrill(p.Nominal, true).Inches, p.HoleMin, p.Name)
				}
			}
		}
	}
	a := worksheet.Run(dowelSheet, units.InchSystem, []worksheet.Pair{{Key: "size", Text: "3/8"}, {Key: "reamed", Text: ".3752"}})
	require.Nil(t, a.Fault)
	assert.Contains(t, a.Text("here"), "loose")
	a = worksheet.Run(dowelSheet, units.InchSystem, []worksheet.Pair{{Key: "size", Text: "9/16"}})
	require.NotNil(t, a.Fault)
	assert.Equal(t, "size", a.Fault.Field)
}

func TestRoomLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := rapid.Float64Range(.05, 2).Draw(rt, "bolt")
		tol := rapid.Float64Range(.0001, .2).Draw(rt, "tol")
		plate := rapid.Float64Range(.05, 4).Draw(rt, "plate")
		depth := rapid.Float64Range(.05, 4).Draw(rt, "depth")
		for _, d := range []float64{0, depth} {
			r, bad := Fixed(f, HoleForFixed(f, tol, plate, d), plate, d)
			if bad != nil || math.Abs(r.First-tol) > 1e-12 {
				rt.Fatal("fixed does not turn round")
			}
		}
		r, bad := Floating(f, HoleForFloating(f, tol), HoleForFloating(f, tol))
		if bad != nil || math.Abs(r.First-tol) > 1e-12 {
			rt.Fatal("floating does not turn round")
		}
		differ := rapid.Float64Range(0, .5).Draw(rt, "differ")
		open := OpenBoth(f, differ, tol)
		if open-f+tol+1e-12 < differ {
			rt.Fatal("opening both is not enough")
		}
		one := OpenOne(f, differ, tol, f+tol)
		if (one-f)/2+tol/2+tol/2+tol/2+1e-12 < differ {
			rt.Fatal("opening one is not enough")
		}
	})
}

func TestRoomRefusals(t *testing.T) {
	for _, r := range []struct {
		field string
		pairs []worksheet.Pair
	}{
		{"bolt", nil},
		{"hole", []worksheet.Pair{{Key: "bolt", Text: ".5"}}},
		{"hole", []worksheet.Pair{{Key: "bolt", Text: ".5"}, {Key: "hole", Text: ".5"}}},
		{"hole2", []worksheet.Pair{{Key: "how", Text: "floating"}, {Key: "bolt", Text: ".5"}, {Key: "hole", Text: ".6"}, {Key: "hole2", Text: ".4"}}},
		{"depth", []worksheet.Pair{{Key: "bolt", Text: ".5"}, {Key: "hole", Text: ".6"}, {Key: "plate", Text: "1"}}},
	} {
		a := worksheet.Run(roomSheet, units.InchSystem, r.pairs)
		require.NotNil(t, a.Fault)
		assert.Equal(t, r.field, a.Fault.Field)
	}
}

func TestTwoHolesSaysSo(t *testing.T) {
	a := worksheet.Run(roomSheet, units.InchSystem, []worksheet.Pair{{Key: "bolt", Text: "5/8"}, {Key: "hole", Text: "11/16"}, {Key: "here", Text: "8"}, {Key: "there", Text: "8.1"}})
	require.Nil(t, a.Fault)
	assert.Equal(t, "no", a.Text("goes"))
	assert.Equal(t, "0.7250 in", a.Text("open"))
	assert.Equal(t, "0.7625 in", a.Text("openone"))
}

// The two brute force figures of the room checks, found here by search.
func TestRoomByPushing(t *testing.T) {
	passes := func(stud, h1, h2, differ float64) bool {
		for push := -.2; push <= .2; push += .00005 {
			if math.Abs(push) <= (h1-stud)/2 && math.Abs(push-differ) <= (h2-stud)/2 {
				return true
			}
		}
		return false
	}
	differ := 0.0
	for passes(.625, .688, .688, differ) {
		differ += .0001
	}
	hole := .688
	for !passes(.625, .688, hole, .080) {
		hole += .0001
	}
	want := map[byte]float64{'s': differ, 'o': hole}
	for _, r := range roomRows {
		if w, ok := want[r.get]; ok {
			assert.InDelta(t, w, r.want, r.tol, r.what)
			delete(want, r.get)
		}
	}
	assert.Empty(t, want)
}
