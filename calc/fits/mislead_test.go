package fits

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

// Answers worked by hand from the printed tables, and what once was answered as if all were well.
func TestNothingMisleads(t *testing.T) {
	for _, row := range []struct {
		sheet, in string
		mark      worksheet.Mark
		verdict   string // a part of it
		flag      string
	}{
		// 5/8: 11/16, .688 to .698 (B18.2.8), of which .688 is the drill; .6875 - .625
		{"clear", "size=5/8", worksheet.Good, "Drill 11/16 (.6875 in) for 5/8 screws, normal fit: the hole may be " +
			".6875 in to .6980 in, .062 in more", "passes=yes"},
		{"clear", "size=7/16|bolt=.470", worksheet.Stop, "Bolt is bigger than the hole: measures .4700 in, hole " +
			".4688 in.", "passes=no"},
		{"clear", "size=7/16|bolt=.46871", worksheet.Careful, "it measures over its size", "passes=yes"},
		{"clear", "size=5/8|bolt=.5", worksheet.Careful, "Drill 11/16", "passes=yes"},
		// counterbore in a part thinner than the head is high
		{"bore", "size=1/2|thick=.4", worksheet.Stop, "Head breaks through: part .400 in, counterbore .500 in " +
			"deep.", "seats=no"},
		{"bore", "size=1/2|thick=1/2", worksheet.Stop, "Head breaks through", "seats=no"},
		// .56 - .5 = .06, under half of 1/2
		{"bore", "size=1/2|thick=.56", worksheet.Careful, ".060 in left under the head, thin.", "seats=yes"},
		{"bore", "size=1/2|thick=1", worksheet.Good, "Counterbore 13/16 in, .500 in deep; drill 9/16 (.5625 in) " +
			"through; .500 in left under the head.", "seats=yes"},
		{"bore", "size=1/2", worksheet.Open, "How thick is the part?", "seats="},
		// corners .722 + 1/16 = .7845, washer 1 + 1/16 = 1.0625: 1-1/16
		{"bore", "size=7/16|head=hex|washer=1", worksheet.Good, "Spotface 1-1/16 in, only until it is clean; drill " +
			"15/32", "seats=yes"},
		// corners 1.083 + 1/8 = 1.208, which no cutter has: 1-1/4
		{"bore", "size=5/8|head=hex", worksheet.Good, "Spotface 1-1/4 in, only", "seats=yes"},
		// 17/32 is the standard's own counterbore for 5/16
		{"bore", "size=5/16|thick=1", worksheet.Good, "Counterbore 17/32 in", "seats=yes"},
		{"bore", "size=1/2|thick=1|washer=.5", worksheet.Careful, "Counterbore", "seats=yes"},
		// .6875 - .625 = .0625
		{"room", "bolt=5/8|hole=11/16|here=8|there=8.04", worksheet.Good,
			"Both bolts go in, .022 in to spare: the centre distances differ by .040 in and may differ by .062 in.",
			"goes=yes"},
		{"room", "bolt=5/8|hole=11/16|here=8|there=8.06", worksheet.Careful, "Both bolts go in, .002 in to spare",
			"goes=yes"},
		{"room", "bolt=5/8|hole=11/16|here=8|there=8.071", worksheet.Stop,
			"Second bolt will not go in: centre distances .071 in apart, may be .062 in.", "goes=no"},
		{"room", "bolt=5/8|hole=11/16|here=8|there=8.0628", worksheet.Stop,
			"centre distances .0628 in apart, may be .0625 in.", "goes=no"},
		{"room", "bolt=5/8|hole=11/16", worksheet.Open, "Do two bolts go in?", "goes="},
		{"room", "bolt=5/8|hole=11/16|here=8|there=203", worksheet.Stop, "Second bolt will not go in", "goes=no"},
		// B18.8.2: pin .3126 to .3128, press hole .3120 to .3125; .3126 - .3124, .3128 - .3124
		{"dowel", "size=5/16|reamed=.3124", worksheet.Good, "in your hole .0002 in to .0004 in of squeeze.",
			"holds=yes"},
		{"dowel", "size=5/16|reamed=.3131", worksheet.Stop, "Hole .3131 in: the pin will drop in.", "holds=no"},
		{"dowel", "size=5/16|reamed=.3127", worksheet.Careful, "in your hole it may be loose.", "holds=no"},
		{"dowel", "size=5/16|reamed=.3", worksheet.Stop, "Hole .3000 in: too small, the pin seizes or splits the " +
			"part.", "holds=no"},
		{"dowel", "size=3/8", worksheet.Good, "Ream the press hole .3745 in to .3750 in, the slip hole .3758 in or " +
			"a little more", "holds=yes"},
		{"dowel", "size=10mm|kind=iso", worksheet.Open, "Measure the press hole", "holds="},
		// RC4, 1.19 to 1.97: hole +1.6, shaft -1.0 to -2.0; hole measured .0004 under the middle
		// 1.2508
		{"fit", "size=1.25|fit=RC4|bored=1.2504", worksheet.Good, "Turn it 1.2476 in to 1.2486 in for the hole you " +
			"have. Hole 1.2500 in to 1.2516 in. Shaft 1.2480 in to 1.2490 in.", ""},
		{"fit", "size=1.25|fit=RC4|bored=1.26", worksheet.Careful, "which is outside its limits", ""},
		{"fit", "size=1.25|fit=H7/k6", worksheet.Careful, "Could be tight or loose", ""},
		// 25 H7/g6 in inches, into the tolerance: 25.000 is .98425, 25.021 is .98508
		{"fit", "size=25mm|fit=H7/g6", worksheet.Good, "Hole .9843 in to .9850 in. Shaft .9835 in to .9839 in. It " +
			"goes in with .0004 in to .0015 in of room.", ""},
		// H7 0 to 21, p6 22 to 35 um: 1.0000 to 1.0008, 1.0009 to 1.0013; squeeze from these
		{"fit", "size=1|fit=H7/p6", worksheet.Careful, "Hole 1.0000 in to 1.0008 in. Shaft 1.0009 in to 1.0013 in. " +
			"It is pressed in with .0001 in to .0013 in of squeeze.", ""},
		// B18.8.2, oversize: pin .3759 to .3761, hole .3755
		{"dowel", "size=3/8|series=over|reamed=.3755", worksheet.Good, "Leave the press hole at .3755 in; ream " +
			"the slip hole .3766 in or a little more, drill 23/64 (.3594 in) first; in your hole .0004 in to .0006 in " +
			"of squeeze with the oversize pin.", "holds=yes"},
		{"dowel", "size=3/8|reamed=.374", worksheet.Careful, "Ream the press hole .3745 in to .3750 in", "holds=yes"},
		{"dowel", "size=3/8|slip=.02", worksheet.Careful, "20 thou of slip locates little.", "holds=yes"},
	} {
		t.Run(row.sheet+" "+row.in, func(t *testing.T) {
			a := answer(t, units.InchSystem, row.sheet, row.in)
			assert.Equal(t, row.mark, a.Mark())
			assert.Contains(t, a.Text("verdict"), row.verdict)
			if key, want, ok := strings.Cut(row.flag, "="); ok {
				assert.Equal(t, want, a.Text(key))
			}
			if row.mark == worksheet.Stop && row.sheet != "room" && row.sheet != "clear" {
				assert.Empty(t, a.Text("steps"))
			}
		})
	}
	m := answer(t, units.MetricSystem, "fit", "size=25|fit=H7/g6")
	assert.Contains(t, m.Text("verdict"), "Hole 25.000 mm to 25.020 mm. Shaft 24.980 mm to 24.992 mm.")
}

// Ways out are opened far enough: with them the bolts go in.
func TestRoomWaysWork(t *testing.T) {
	for _, there := range []string{"8.071", "8.09", "8.2"} {
		a := answer(t, units.InchSystem, "room", "bolt=5/8|hole=11/16|here=8|there="+there)
		open, _, _ := a.Shown("open")
		b := answer(t, units.InchSystem, "room", "bolt=5/8|hole="+strings.TrimSuffix(open,
			" in")+" in|here=8|there="+there)
		assert.Equal(t, "yes", b.Text("goes"), there)
	}
	none := answer(t, units.InchSystem, "room", "bolt=5/8|hole=11/16|here=8|there=9.5")
	assert.Empty(t, none.Text("open"), "a hole opened by more than itself is no way out")
}

// The cutter is one that is sold, never smaller than what the head needs, for every screw.
func TestSeatIsACutter(t *testing.T) {
	for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
		for _, r := range inchRows {
			for _, head := range []string{"socket", "hex"} {
				if head == "hex" && r.flats == 0 {
					continue
				}
				size := strings.TrimSuffix(r.name, " in")
				if size == "1" {
					size = "1 in"
				}
				a := answer(t, sys, "bore", "thick=4 in|size="+size+"|head="+head)
				x, err := strconv.ParseFloat(a.Value("bore"), 64)
				require.NoError(t, err)
				steps := x * 64
				if sys == units.MetricSystem {
					steps = x * 2
				}
				require.InDelta(t, steps, float64(int(steps+.5)), .01, "%s %v", r.name, x)
				across, err := strconv.ParseFloat(a.Value("head"), 64)
				require.NoError(t, err)
				require.Greater(t, x, across, r.name)
			}
		}
	}
}

// What is likely a slip is asked about with its likely meaning.
func TestSlips(t *testing.T) {
	for _, row := range [][4]string{
		{"room", "bolt=5/8|hole=11/16|here=8|there=203", "there", "203 mm"},
		{"bore", "size=1/2|thick=25", "thick", "25 mm"},
		{"dowel", "size=3/8|slip=.02", "slip", "0.0020 in"},
		{"clear", "size=5/8|bolt=.5", "size", "1/2"},
		{"bore", "size=1/2|thick=1|washer=.5", "washer", "1"},
	} {
		found := false
		for _, c := range answer(t, units.InchSystem, row[0], row[1]).Cautions() {
			found = found || c.Field == row[2] && c.Means == row[3]
		}
		assert.True(t, found, "%v", row)
	}
}

// At the limit between two answers a worked line shows the number: the bolt that just passes, the
// part that the head just breaks through, the distance that just does.
func TestLimitsAreShown(t *testing.T) {
	for _, row := range []struct {
		sheet, in, key string
		low, high      float64
		line           string
	}{
		{"clear", "size=7/16", "bolt", .45, .48, "0.4688 - 0.4688"},
		{"bore", "size=1/2", "thick", .3, .6, "0.5000 - 0.5000"},
		{"room", "bolt=5/8|hole=11/16|here=8", "there", 8.057, 8.08, "8.0625 - 8.0000"},
	} {
		run := func(x float64) worksheet.Answer {
			return answer(t, units.InchSystem, row.sheet, row.in+"|"+row.key+"="+strconv.FormatFloat(x, 'f', 10, 64))
		}
		at := registrytest.Turn(t, row.low, row.high, run)
		assert.Contains(t, registrytest.Worked(at), row.line, row.sheet)
	}
}

// The numbers of the headline and the main results add up, for every fit and size: room or squeeze
// is that of the limits as they are shown.
func TestFitAddsUp(t *testing.T) {
	for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
		for _, class := range []string{"H7/g6", "H7/h6", "H8/f7", "H7/k6", "H7/p6", "H7/s6", "RC4", "FN2"} {
			for _, size := range []string{"1 in", "25mm", "3/8 in", "3 in", "100mm"} {
				a := answer(t, sys, "fit", "size="+size+"|fit="+class)
				read := func(key string) float64 {
					text, _, _ := a.Shown(key)
					x, err := strconv.ParseFloat(strings.Fields(text)[0], 64)
					require.NoError(t, err)
					return x
				}
				require.InDelta(t, read("holemin")-read("shaftmax"), read("tight"), 1e-7, "%s %s", size, class)
				require.InDelta(t, read("holemax")-read("shaftmin"), read("loose"), 1e-7, "%s %s", size, class)
			}
		}
	}
	full := answer(t, units.InchSystem, "fit", "size=1|fit=H7/p6") // 0 - 35 um, 21 - 22 um
	assert.Equal(t, "-0.00138 in", full.Text("tight"))
	assert.Equal(t, "-0.00004 in", full.Text("loose"))
}

// No hole is opened so far that the nut falls through: 5/8 is .938 across flats (ASME B18.2.1), so
// .875 at most. One to .625 + .4 - .0625 = .9625 is not offered, both to .825 are.
func TestNutCoversTheHole(t *testing.T) {
	a := answer(t, units.InchSystem, "room", "bolt=5/8|hole=11/16|here=8|there=8.2")
	ways := a.Text("ways")
	assert.Contains(t, ways, "Open both holes of this part to .8250 in or more, drill 53/64")
	assert.NotContains(t, ways, "31/32")
	assert.Contains(t, ways, "Open no hole past .875 in: a nut .9380 in across its flats would not bear, "+
		"or fall through.")
	assert.Empty(t, a.Text("openone"))
	few := answer(t, units.InchSystem, "room", "bolt=5/8|hole=11/16|here=8|there=8.09")
	assert.Contains(t, few.Text("ways"), "Open one of the two to .7425 in or more, drill 3/4")
	assert.NotContains(t, few.Text("ways"), "fall through")
	m := answer(t, units.MetricSystem, "room", "bolt=16|hole=18|here=200|there=205")
	assert.Contains(t, m.Text("ways"), "Slot one hole")
	assert.NotContains(t, m.Text("ways"), "Open one of")
}
