package cut

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Headlines derived by hand, input to headline.
func TestCuttingAnswers(t *testing.T) {
	for _, c := range []struct {
		name    string
		sheet   *worksheet.Sheet
		pairs   []string
		mark    worksheet.Mark
		verdict []string
		caution []string
	}{
		// Grey iron, drill 70 to 100: 85 ft/min; 12 x 85/(pi x .53125) = 611.2: 660 is over, 325 is .53
		// of it, so the nearer: 660/611 = 1.08. pi x .53125 x 660/12 = 91.8 ft/min.
		{"drill, a step over", speedSheet, nil, worksheet.Good,
			[]string{"Set 660 rpm", ".0060 in a turn", "92 ft/min"}, nil},
		// A feed of one's own is held against the tables: 1/2 in drills to .015, face mills in grey iron
		// to .010.
		{"an own feed too heavy for a drill", speedSheet, []string{"dia", "1/2 in", "ownfeed", ".05 in", "revfeeds", ""},
			worksheet.Careful, []string{"0.05 in a turn is a heavy feed."}, []string{".0070 in to .015 in a turn"}},
		{"an own feed too heavy for a face mill", speedSheet, []string{"op", "facemill", "dia", "6 in", "speeds", "",
			"ownfeed", ".025 in"}, worksheet.Careful, []string{"0.025 in a tooth is a heavy chip"},
			[]string{".010 in a tooth is the most"}},
		{"facing with a heavy feed", facingSheet, []string{"pertooth", ".07 in"}, worksheet.Careful,
			[]string{".070 in a tooth is a heavy chip"}, []string{".020 in a tooth is the most"}},
		// 75 ft/min at 6 in: 47.7, told as 47: pi x 6 x 47/12 = 73.8; 4 teeth x .007 x 47 = 1.316.
		{"speed and feed of what is told", speedSheet, []string{"op", "facemill", "dia", "6 in", "speeds", "", "feeds", ""},
			worksheet.Good, []string{"Set 47 rpm and feed 1.3 in/min: that is 74 ft/min"}, nil},
		// .020 in all with .015 for the last would leave .005: one pass.
		{"no roughing thinner than the finish", facingSheet, []string{"stock", ".02 in"}, worksheet.Good,
			[]string{"1 pass, about", "a finishing one of .020 in"}, nil},
		{"a finish of more than the stock", facingSheet, []string{"wide", "12 in", "cutter", "3 in", "finish", ".3 in"},
			worksheet.Careful, []string{"More is to be finished than"},
			[]string{"0.3 in is more than the 0.25 in to take off. Is 0.03 in meant?"}},
		// M6 is 1 mm of pitch: 6 - 5 = 1 mm over .0068 mm a per cent: 147 %. 65 %: 6 - .442 = 5.56 mm,
		// .2188 in.
		{"a cutting tap's drill for a forming tap", tapSheet, []string{"thread", "M6", "hole", "5 mm", "tap", "form",
			"work", "mild"}, worksheet.Careful, []string{"is the drill of a cutting tap"},
			[]string{"5 mm is the drill of a cutting tap. Or 5.56 mm, for a forming"}},
		// Two figures, slower: 611.2 to 610.
		{"drill, no list", speedSheet, []string{"speeds", ""}, worksheet.Good, []string{"Set 610 rpm"}, nil},
		// A machine's own speed stands as it is: 1115 has four figures. 110 x .53125: own 153 ft/min
		// aims at 1100.
		{"the machine's own speed", speedSheet, []string{"own", "156 ft/min"}, worksheet.Careful,
			[]string{"Set 1115 rpm"}, []string{"1.6 times the most"}},
		// 50 to 100 face mill: 75 x .65 = 48.75 ft/min at 6 in: 31 rpm. .007 x 4 teeth x 31.04 = .869
		// in/min.
		// It kept .050 deep and told to get under the skin.
		{"through scale", speedSheet, []string{"op", "facemill", "dia", "6 in", "speeds", "", "scale", "yes"},
			worksheet.Careful, []string{"Set 31 rpm", ".86 in/min",
				".125 in deep"}, []string{"under the skin in one cut, .125 in deep"}},
		{"a drill through scale has no depth to set", speedSheet, []string{"scale", "yes"}, worksheet.Good,
			[]string{"Set 325 rpm"}, nil},
		// A tap or a drill has no marked limit: no word of it. 35 ft/min at 5/8: 213.9 rpm.
		{"tap", speedSheet, []string{"op", "tap", "thread", "5/8-11"}, worksheet.Good,
			[]string{"Set 210 rpm", "its lead, .0909 in, each turn"}, nil},
		{"near the marked limit", speedSheet, []string{"op", "facemill", "dia", "6 in", "speeds", "", "maxrpm", "50"},
			worksheet.Careful, []string{"Set 47 rpm"}, []string{"near the 50 rpm marked"}},
		{"far from the marked limit", speedSheet, []string{"op", "facemill", "dia", "6 in", "speeds", "", "maxrpm",
			"500"}, worksheet.Good, nil, nil},
		// Alloy steel 30 to 60 ft/min on 8 in: 28.6 rpm at most; 80 rpm is 167.6 ft/min. 8 x 60/167.6 =
		// 2.86: 2.86 in.
		{"slowest is too fast", speedSheet, []string{"op", "facemill", "work", "alloy", "dia", "8 in"}, worksheet.Stop,
			[]string{"Slowest speed 80 rpm too fast: 168 ft/min where 60 ft/min"}, nil},
		// T = 15,000 x 1.3 x (2 x .02512 x .6029 x 1.355 + .2822 x .03) = 965; two figures, more: 970.
		// M = 15,000 x 1.3 x .02512 x .3203 x 1.085 = 170 lbf-in = 14.2 lbf-ft: 15; 170 x 575/63,025 =
		// 1.553; /.75 = 2.07.
		{"drilling", drillSheet, nil, worksheet.Good, []string{"pushes with 970 lbf and twists with 15 lbf-ft",
			"2.1 hp of 3 hp"}, nil},
		{"drilling, motor not said", drillSheet, []string{"motor", ""}, worksheet.Open,
			[]string{"Whether the motor has it was not reckoned"}, nil},
		// M goes with f^.8: .010 x (1.5/2.07)^1.25 = .00668: .0065 in.
		{"drilling stalls", drillSheet, []string{"motor", "1.5 hp"}, worksheet.Stop,
			[]string{"It stalls: 2.1 hp of 1.5 hp", "Feed no more than .0065 in a turn"}, nil},
		{"a heavy feed", drillSheet, []string{"feed", ".03 in", "motor", "10 hp"}, worksheet.Careful,
			[]string{"heavy feed"}, []string{".0070 in to .015 in"}},
		// tan 30 x 2,900 x 1.3 x (15.875 - 13.494)^2 x (15.875 + 26.988)/24,000 = 22.05 N.m = 16.3
		// lbf-ft: 17.
		// Core 15.875 - 1.08253 x 2.30909 = 13.375 mm; x .6 = 8.025; pi/16 x 516.8 = 101.5 N.m = 74.8
		// lbf-ft: 74.
		{"tapping", tapSheet, nil, worksheet.Good, []string{"takes about 17 lbf-ft, dull 33 lbf-ft; it breaks near 74 " +
			"lbf-ft (reckoned)"}, nil},
		// 1/4-20 in 300 series stainless, .2 in hole: h 1.27 mm; .57735 x 4,200 x 1.43 x 1.6129 x (6.35
		// + 10.16)/24,000 = 3.85 N.m = 2.84.
		// Core 6.35 - 1.3748 = 4.975; .6: 2.985; pi/16 x 26.6 = 5.22 N.m = 3.85 lbf-ft.
		{"a dull tap breaks", tapSheet, []string{"thread", "1/4-20", "hole", ".2 in", "work", "stainless"},
			worksheet.Careful, []string{"dull or packed 5.7 lbf-ft: it breaks near 3.8 lbf-ft " +
				"(reckoned)"}, []string{"Dull or with packed chips it breaks"}},
		{"tap breaks by its maker", tapSheet, []string{"breaks", "10 lbf-ft"}, worksheet.Stop,
			[]string{"The tap breaks near 10 lbf-ft, and takes 17 lbf-ft"}, nil},
		// .235/.1: 3 of .0783; travel 14 + 6 + .5 = 20.5; feed .007 x 6 x 80 = 3.36: 6.10 min each; the
		// last at half the feed 12.2. 3 x 6.10 + 12.2 = 30.5; + 4 x .5 + 4 x 20.5/60 = 3.37: 33.9: 34.
		// Last .25 - .235 = .015.
		{"facing", facingSheet, nil, worksheet.Good, []string{"4 passes, about 34 min: 3 deep of .078 in and a finishing " +
			"one of .015 in, one row"}, nil},
		{"thou typed as inches", facingSheet, []string{"stock", "15", "depth", "1 in"}, worksheet.Careful, nil,
			[]string{"Or 15 thou?"}},
		{"millimetres typed as inches", facingSheet, []string{"long", "350"}, worksheet.Careful, nil,
			[]string{"350 in? Or 350 mm?"}},
		{"a drill in millimetres", speedSheet, []string{"dia", "12"}, worksheet.Stop, nil, []string{"12 in? Or 12 mm?"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := ask(t, c.sheet, c.pairs...)
			for _, s := range c.verdict {
				assert.Contains(t, a.Text("verdict"), s)
			}
			for _, s := range c.caution {
				assert.Contains(t, registrytest.Said(a, worksheet.Warning), s)
			}
			if c.caution == nil {
				assert.Empty(t, registrytest.Said(a, worksheet.Warning))
			}
			assert.Equal(t, c.mark, a.Mark(), "%v", a.Cautions())
			for _, x := range a.Cautions() {
				if x.Field == "" {
					continue
				}
				for i, p := range c.pairs { // what was meant is no slip
					if p == x.Field {
						again := append([]string{}, c.pairs...)
						again[i+1] = x.Means
						for _, y := range ask(t, c.sheet, again...).Cautions() {
							assert.Empty(t, y.Field, y.Text)
						}
					}
				}
			}
		})
	}
}

// A refused answer gives nothing to set.
func TestRefusedSpeedGivesNothingToSet(t *testing.T) {
	a := ask(t, speedSheet, "op", "facemill", "work", "alloy", "dia", "8 in")
	for _, key := range []string{"rpm", "feed", "perrev", "pertooth", "depth"} {
		assert.Empty(t, a.Text(key), key)
	}
	// 8 x 60/167.6 = 2.86: a third of the cutter is no way out, 2.86 for 5 is.
	assert.NotContains(t, registrytest.Said(a, worksheet.Refusal), "a cutter of")
	assert.Contains(t, registrytest.Said(ask(t, speedSheet, "op", "facemill", "work", "alloy", "dia", "5 in"),
		worksheet.Refusal),
		"a cutter of 2.86 in or less")
	assert.NotEqual(t, worksheet.Stop, ask(t, speedSheet, "op", "facemill", "work", "alloy", "dia", "2.86 in").Mark())
	assert.Contains(t, registrytest.Said(a, worksheet.Refusal), "carbide")
	assert.NotEqual(t, worksheet.Stop, ask(t, speedSheet, "op", "facemill", "work", "alloy", "dia", "8 in", "tool",
		"carbide").Mark())
}

// The holes and feeds given as ways out are tried.
func TestWaysOutDo(t *testing.T) {
	assert.NotEqual(t, worksheet.Stop, ask(t, drillSheet, "motor", "1.5 hp", "feed", ".0065 in").Mark())
	a := ask(t, tapSheet, "breaks", "10 lbf-ft")
	assert.Contains(t, registrytest.Said(a, worksheet.Refusal), "A hole of .5530 in would do")
	assert.NotEqual(t, worksheet.Stop, ask(t, tapSheet, "breaks", "10 lbf-ft", "hole", ".553 in").Mark())
	assert.NotContains(t, registrytest.Said(ask(t, tapSheet, "breaks", "2 lbf-ft"), worksheet.Refusal), "would do",
		"no thread is left")
}

// Each pass's dial, in both systems: the last is the stock as typed.
func TestFacingDials(t *testing.T) {
	a := ask(t, facingSheet)
	assert.Equal(t, []string{"Pass 1: dial .078 in from touch-off, up .078; 7 min.",
		"Pass 2: dial .156 in from touch-off, up .078; 7 min.", "Pass 3: dial .235 in from touch-off, up .079; 7 min.",
		"Finishing: dial .250 in from touch-off, up .015; 13 min."}, a.Rows("dialled"))
	m := worksheet.Run(facingSheet, units.MetricSystem,
		withPairs(facingSheet.Example, worksheet.Pair{Key: "stock", Text: "6 mm"}))
	require.Nil(t, m.Fault)
	rows := m.Rows("dialled")
	assert.Equal(t, "Finishing: dial 6.000 mm from touch-off, up 0.40; 13 min.", rows[len(rows)-1])
}

// A main quantity is told as finely as it is set or read, on every worksheet of the package.
func TestMainResultsHaveDials(t *testing.T) {
	for _, s := range Sheets() {
		for _, r := range s.Results {
			if _, quantity := r.Kind.Dim(); quantity && r.Main && r.Kind != worksheet.Count {
				assert.NotEmpty(t, r.Dial, "%s %s", s.Name, r.Key)
			}
		}
	}
}

// turns bisects an input between a value that stops and one that does not, and gives the place.
func turns(t *testing.T, s *worksheet.Sheet, key, unit string, stops, does float64) float64 {
	for range 40 {
		mid := (stops + does) / 2
		d, _ := units.Round(mid, 9)
		if ask(t, s, key, d.Text()+" "+unit).Mark() == worksheet.Stop {
			stops = mid
		} else {
			does = mid
		}
	}
	return does
}

// Where the mark turns, a worked line shows the number it turned at.
func TestMarksTurnAtWorkedLines(t *testing.T) {
	line := func(a worksheet.Answer, what string) string {
		for _, l := range a.Lines() {
			if l.What == what {
				return l.Result
			}
		}
		return ""
	}
	d, _ := units.Round(turns(t, drillSheet, "motor", "hp", 1, 4)*.75, 2)
	assert.Equal(t, d.Text()+" hp", line(ask(t, drillSheet), "Power at the drill"))
	d, _ = units.Round(turns(t, tapSheet, "breaks", "lbf-ft", 5, 40), 2)
	assert.Equal(t, d.Text()+" lbf-ft", line(ask(t, tapSheet), "Tapping torque (mm, N/mm2)"))
}

// The mirror image of a cut: spindle and side turned round.
func TestMirroredCut(t *testing.T) {
	a := ask(t, powerSheet, "width", "2 in", "offset", "1 in")
	b := ask(t, powerSheet, "width", "2 in", "offset", "-1 in", "hand", "left")
	for _, key := range []string{"force", "ahead", "worst", "mean"} {
		assert.Equal(t, a.Text(key), b.Text(key), key)
	}
	assert.Equal(t, "-"+b.Text("across"), a.Text("across"))
}

// More than two cautions are not read: the lesser are notes.
func TestFewCautions(t *testing.T) {
	a := ask(t, speedSheet, "op", "facemill", "dia", "1 in", "feeds", "40", "own", "400 ft/min", "scale", "yes",
		"maxrpm", "1200")
	n := 0
	for _, c := range a.Cautions() {
		if c.Level == worksheet.Warning {
			n++
		}
	}
	assert.Equal(t, 2, n, "%v", a.Cautions())
	assert.Contains(t, registrytest.Said(a, worksheet.Remark), "times the most")
}
