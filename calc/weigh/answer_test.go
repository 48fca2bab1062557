package weigh

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// run runs a worksheet on pairs of key and text.
func run(t *testing.T, s *worksheet.Sheet, pairs ...string) worksheet.Answer {
	t.Helper()
	var in []worksheet.Pair
	for i := 0; i < len(pairs); i += 2 {
		in = append(in, worksheet.Pair{Key: pairs[i], Text: pairs[i+1]})
	}
	a := worksheet.Run(s, units.InchSystem, in)
	require.Nil(t, a.Fault, "%v", a.Fault)
	return a
}

// Headlines derived by hand, input to headline.
func TestLiftAnswers(t *testing.T) {
	const iron = "0.26"
	weigh := func(parts string) []string { return []string{"metal", "own", "density", iron, "parts", parts} }
	for _, c := range []struct {
		name    string
		sheet   *worksheet.Sheet
		pairs   []string
		mark    worksheet.Mark
		verdict []string
		caution []string
		refusal []string
	}{
		// 100 - 4 pi = 87.43 in3; x .26 = 22.73; + 10 % = 25.005, up: 26. It said 17.83 with the whole
		// rod off.
		{"a rod longer than the plate is thick", weighSheet, weigh("add, box, 10, 10, 1, 5, 5; cut, rod, 4, , 3, 5, 5"),
			worksheet.Good, []string{"26 lb to lift: it weighs 23 lb", "X 5.0 in, Y 5.0 in, Z .5 in"}, nil, nil},
		// The same hole twice is one hole.
		{"a hole entered twice", weighSheet, weigh("add, box, 10, 10, 1, 5, 5; cut, rod, 4, , 1, 5, 5; cut, rod, 4, , 1, " +
			"5, 5"), worksheet.Careful, []string{"26 lb to lift: it weighs 23 lb"}, []string{"Row 3 is row 2 again"}, nil},
		// 300 x 200 x 150 = 9,000,000 in3 of grey iron at 7.2 g/cm3, .260121: 2,341,050 lb; sizes in mm:
		// 9,000 cm3, 64.8 kg.
		{"millimetres in inch fields", weighSheet, []string{"metal", "grey", "parts", "add, box, 300, 200, 150"},
			worksheet.Careful, []string{"2342000 lb? Or are the sizes in mm?"}, []string{"Or are the sizes in mm?"}, nil},
		{"places counted from the corner", weighSheet, weigh("add, box, 12, 10, 1.5; cut, rod, 4, , 1.5, 9, 5"),
			worksheet.Careful, nil, []string{"counted from its corner?"}, nil},
		{"a cut far from the body", weighSheet, weigh("add, box, 4, 4, 1; cut, rod, 1, , 1, 80, 8"), worksheet.Careful,
			nil, []string{"Row 2 cuts where there is no metal"}, nil},
		{"diameter typed twice over", weighSheet, weigh("add, box, 5, 5, 1; cut, rod, 6, , 1"), worksheet.Careful, nil,
			[]string{"wider than the body", "half of it meant"}, nil},
		{"a hole over the edge is no slip", weighSheet, weigh("add, box, 10, 10, 1, 5, 5; cut, rod, 3, , 1, 1, 5"),
			worksheet.Good, []string{"27 lb to lift: it weighs 24 lb", "X 5.3 in"}, nil, nil},
		{"the scale counts", weighSheet, append(weigh("add, box, 10, 10, 1, 5, 5"), "scale", "31 lb"), worksheet.Careful,
			[]string{"31 lb to lift, by the scale; 26 lb reckoned"}, []string{"The scale reads 19% more"}, nil},
		// 12 x 10 x 1.5 = 180 in3 x .26 = 46.8; + 10 % = 51.5, up: 52. The scale's 20 is 57.3 % less.
		{"a lighter scale does not win", weighSheet, append(weigh("add, box, 12, 10, 1.5, 6, 5"), "scale", "20 lb"),
			worksheet.Careful, []string{"52 lb to lift, by the reckoning: the scale reads 57% less"},
			[]string{"Did hoist or blocking carry part of it"}, nil},
		// 45 is 3.8 % less than 46.8: the heavier, up to 47.
		{"a little light", weighSheet, append(weigh("add, box, 12, 10, 1.5, 6, 5"), "scale", "45 lb"),
			worksheet.Good, []string{"47 lb to lift, as reckoned; the scale reads 4% less"}, nil, nil},

		// Statics: T = 2000 x 10/12 x sqrt(104)/10 = 1699.7 in the leg that lies at atan(10/2) = 78.7
		// degrees; the other 2000 x 2/12 x sqrt(200)/10 = 471 at 45.
		{"unlike legs: the angle of the leg that pulls", slingSheet, []string{"weight", "2000 lb", "how", "two", "near",
			"10", "far", "2", "rise", "10", "rated", "2500 lbf"}, worksheet.Good,
			[]string{"Leg asks 1700 lbf at 78 deg, tag says 2500 lbf. The flattest leg lies at 45 deg."}, nil, nil},
		// 300/.75/sin 60 = 462 of 400; with a quarter to spare no angle does.
		{"a choker that no angle helps", slingSheet, []string{"weight", "600", "angle", "60", "hitch", "choker", "rated",
			"400"}, worksheet.Stop, []string{"Leg asks 475 lbf, tag says 400 lbf"}, nil, []string{"Use heavier ones."}},
		// Straight by ASME B18.15: 2,940 for 5/8.
		{"eyebolt, rated over the standard", eyeSheet(), []string{"size", "5/8", "angle", "0", "pull", "350", "rated",
			"5000", "grip", "1", "metal", "mild"}, worksheet.Good, []string{"350 lbf of the 2940 lbf",
			"by the standard, whose " +
				"table gives this size less than the maker's 5000 lbf"}, nil, nil},
		// 600/2/sin 60 = 346.4: up to the next 25: 350.
		{"no tag", slingSheet, []string{"weight", "600", "angle", "60"}, worksheet.Open,
			[]string{"Each leg pulls up to 350 lbf at 60 deg", "The tag was not said",
				"eyebolts and hook were not reckoned"}, nil, nil},
		{"within the tag", slingSheet, []string{"weight", "600", "angle", "60", "rated", "1000"}, worksheet.Good,
			[]string{"Leg asks 350 lbf at 60 deg, tag says 1000 lbf"}, nil, nil},
		// 346.4 x 1.25 = 433 is over 400
		{"little to spare", slingSheet, []string{"weight", "600", "angle", "60", "rated", "400"}, worksheet.Careful,
			[]string{"little to spare"}, []string{"a quarter is over the tag"}, nil},
		// 600/2/sin 28 = 639.0; it said "Do not lift so" beside ok = yes.
		{"too flat, within the tag", slingSheet, []string{"weight", "600", "angle", "28", "rated", "1000"},
			worksheet.Stop, []string{"28 deg is too flat: 30 deg at least"},
			[]string{"Measured from the vertical it would be 62"}, []string{"do not lift so"}},
		// leg 20, hook 9 up: asin .45 = 26.7; lugs sqrt(400 - 81) = 17.86 out; 17.86 tan 30 = 10.31:
		// 10.32.
		{"too flat by leg and rise", slingSheet, []string{"weight", "600", "leg", "20", "rise", "9"}, worksheet.Stop,
			[]string{"26 deg is too flat"}, nil, []string{"the hook 10.32 in above the lugs"}},
		// 600/2/sin 45 = 424.3 of 400; with a quarter to spare sin a = 1.25 x 300/400: 69.6: 70 degrees.
		{"over the tag", slingSheet, []string{"weight", "600", "angle", "45", "rated", "400"}, worksheet.Stop,
			[]string{"Leg asks 425 lbf, tag says 400 lbf"}, nil, []string{"at 70 degrees or steeper these would do"}},
		{"a choker", slingSheet, []string{"weight", "600", "angle", "60", "hitch", "choker", "rated", "1000"},
			worksheet.Careful, []string{"Leg asks 475 lbf"}, []string{"choke angle of 120"}, nil},

		{"eyebolt, thread not said", eyeSheet(), []string{"size", "5/8", "angle", "30", "pull", "350 lbf", "kind",
			"shoulder", "flat", "yes", "rated", "5200 lbf"}, worksheet.Open,
			[]string{"350 lbf of the 1410 lbf", "The thread that holds it was not reckoned"}, nil, nil},
		{"eyebolt, angle not said", eyeSheet(), []string{"size", "5/8", "pull", "350 lbf", "metal", "mild", "grip", "1"},
			worksheet.Open, []string{"How far the pull leans was not said",
				"a seated shoulder, a pull in the plane"}, []string{"published loads"}, nil},
		// Table at 30: 1,410; .65 x 2,940 = 1,911: the less.
		{"eyebolt, all said", eyeSheet(), []string{"size", "5/8", "angle", "30", "pull", "350 lbf", "kind", "shoulder",
			"flat", "yes", "rated", "5200 lbf", "metal", "mild", "grip", "1"}, worksheet.Good, []string{"Carries it: 350 lbf " +
			"of the 1410 lbf it may carry at 30 degrees."}, nil, nil},
		// .30 x 2,940 = 882 and the table's 890 at 60: 882, 880 on a tag; 900 at 30: 1,410 carries it.
		{"eyebolt, too much", eyeSheet(), []string{"size", "5/8", "angle", "45", "pull", "900 lbf"}, worksheet.Stop,
			[]string{"Too much: it carries 880 lbf at 45 degrees, the pull is 900 " +
				"lbf"}, nil, []string{"Leaning 30 degrees or less it carries that", "A 3/4 in eyebolt"}},
		{"eyebolt, angle from the horizontal", eyeSheet(), []string{"size", "5/8", "angle", "60", "pull", "350 lbf"},
			worksheet.Stop, []string{"it leans 60 degrees, 45 at most"},
			[]string{"A sling at 60 from the horizontal pulls at " +
				"30"}, nil},
		// 1-1/2 diameters of 5/8 in iron: .9375
		{"eyebolt, too little thread", eyeSheet(), []string{"size", "5/8", "angle", "0", "pull", "100 lbf", "metal",
			"grey30", "grip", ".6"}, worksheet.Stop, []string{"Do not lift so: .600 in of thread, needs .94 in"}, nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := run(t, c.sheet, c.pairs...)
			assert.Equal(t, c.mark, a.Mark(), "%v", a.Cautions())
			for _, s := range c.verdict {
				assert.Contains(t, a.Text("verdict"), s)
			}
			for _, s := range c.caution {
				assert.Contains(t, registrytest.Said(a, worksheet.Warning), s)
			}
			if c.caution == nil && c.mark != worksheet.Stop {
				assert.Empty(t, registrytest.Said(a, worksheet.Warning))
			}
			for _, s := range c.refusal {
				assert.Contains(t, registrytest.Said(a, worksheet.Refusal), s)
			}
			if c.mark == worksheet.Stop && c.sheet.Name != "weigh" {
				assert.Equal(t, "no", a.Text("ok"))
			}
			for _, x := range a.Cautions() { // what was meant is no slip
				for i, p := range c.pairs {
					if x.Field != "" && p == x.Field {
						again := append([]string{}, c.pairs...)
						again[i+1] = x.Means
						for _, y := range run(t, c.sheet, again...).Cautions() {
							assert.Empty(t, y.Field, "%s: %s", x.Means, y.Text)
						}
					}
				}
			}
		})
	}
}

// turns bisects a pull or a rating between one that stops and one that does not.
func turns(t *testing.T, s *worksheet.Sheet, stops, does float64, pairs ...string) float64 {
	for range 40 {
		mid := (stops + does) / 2
		d, _ := units.Round(mid, 6)
		if run(t, s, append(pairs, d.Text()+" lbf")...).Mark() == worksheet.Stop {
			stops = mid
		} else {
			does = mid
		}
	}
	return does
}

// Where the mark turns, a worked line shows the number it turned at.
func TestMarksTurnAtWorkedLines(t *testing.T) {
	shows := func(a worksheet.Answer, want string) {
		t.Helper()
		for _, l := range a.Lines() {
			if l.Result == want {
				return
			}
		}
		t.Errorf("no line shows %s: %v", want, a.Lines())
	}
	d, _ := units.Round(turns(t, slingSheet, 100, 900, "weight", "600", "angle", "60", "rated"), 0)
	shows(run(t, slingSheet, "weight", "600", "angle", "60", "rated", "500"), d.Text()+" lbf")
	d, _ = units.Round(turns(t, eyeSheet(), 3000, 100, "size", "5/8", "angle", "30", "kind", "shoulder", "flat", "yes",
		"metal", "mild", "grip", "2", "pull"), 0)
	shows(run(t, eyeSheet(), "size", "5/8", "angle", "30", "pull", "500"), d.Text()+" lbf")
}

// Lugs mirrored left to right pull the same.
func TestMirroredLugs(t *testing.T) {
	a := run(t, slingSheet, "weight", "600", "how", "lugs", "lugs", "12,8,40; -10,8,40; 0,-9,40")
	b := run(t, slingSheet, "weight", "600", "how", "lugs", "lugs", "-12,8,40; 10,8,40; 0,-9,40")
	for _, key := range []string{"tension", "need", "angle", "inward"} {
		assert.Equal(t, a.Text(key), b.Text(key), key)
	}
}

func TestMainResultsHaveDials(t *testing.T) {
	for _, s := range Sheets() {
		for _, r := range s.Results {
			if _, quantity := r.Kind.Dim(); quantity && r.Main && r.Kind != worksheet.Count {
				assert.NotEmpty(t, r.Dial, "%s %s", s.Name, r.Key)
			}
		}
	}
}

// A refused lift shows no figure that could be lifted by.
func TestRefusedLiftsKeepNoFigures(t *testing.T) {
	assert.Empty(t, run(t, slingSheet, "weight", "600", "angle", "25", "rated", "2000").Text("margin"))
	for _, more := range [][]string{{"flat", "no", "angle", "30"}, {"angle", "60"}, {"angle", "30", "grip", ".3"}} {
		a := run(t, eyeSheet(), append([]string{"size", "5/8", "pull", "350", "metal", "grey30"}, more...)...)
		assert.Equal(t, worksheet.Stop, a.Mark())
		assert.Equal(t, "0 lbf", a.Text("allowed"))
		assert.Empty(t, a.Text("used")+a.Text("listed"))
	}
}

// Weights are told as finely as a scale of their size: 0.01 kg is not nothing, a thousand tons has
// no pounds.
func TestWeightsByTheirSize(t *testing.T) {
	assert.Equal(t, "2341000 lb", shown(t, units.InchSystem, "add, box, 300, 200, 150"))
	// 1 x 1 x 1.5 cm3 x 7.2 g/cm3 = .0108 kg
	assert.Equal(t, "0.011 kg", shown(t, units.MetricSystem, "add, box, 10, 10, 15"))
}

func shown(t *testing.T, sys units.System, parts string) string {
	a := worksheet.Run(weighSheet, sys, []worksheet.Pair{{Key: "parts", Text: parts}})
	require.Nil(t, a.Fault)
	text, _, _ := a.Shown("weight")
	return text
}
