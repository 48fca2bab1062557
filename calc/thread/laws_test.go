package thread_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/thread"
)

var unifiedClasses = []string{"1A", "2A", "3A", "1B", "2B", "3B"}

func isoClasses() []string {
	var list []string
	for g := '3'; g <= '9'; g++ {
		for _, p := range "GHefgh" {
			list = append(list, string(g)+string(p))
		}
	}
	return append(list, "4H5H", "5H6H", "4g6g", "5g6g", "7g6g", "9g8g", "3h4h", "5h4h", "5h6h", "7h6h", "7e6e")
}

// checkOrder: every limit is finite and positive, each minimum is below its
// maximum, minor below pitch below major, and the tolerances and the allowance
// add up.
func checkOrder(t require.TestingT, th thread.Thread, l thread.Limits) {
	name := th.String() + " " + l.Class
	const eps = 1.01e-3
	for _, s := range []thread.Span{l.Major, l.Pitch, l.Minor} {
		for _, x := range []float64{s.Min, s.Max} {
			require.False(t, math.IsNaN(x) || math.IsInf(x, 0) || x < 0, name)
		}
		require.True(t, s.HasMin || s.HasMax, name)
		if s.Has() {
			require.Less(t, s.Min, s.Max, name)
			require.True(t, s.Holds(s.Min) && s.Holds(s.Max) && !s.Holds(s.Max+1) && !s.Holds(s.Min-1), name)
		}
	}
	b := th.Basic()
	require.True(t, b.Core < b.Minor && b.Minor < b.Pitch && b.Pitch < b.Major, name)
	require.Greater(t, l.TolPitch, 0.0, name)
	require.GreaterOrEqual(t, l.Allowance, 0.0, name)
	require.True(t, l.Pitch.Has(), name)
	if l.External {
		require.True(t, l.Major.Has() && !l.Minor.HasMin && l.Minor.HasMax, name)
		require.Less(t, l.Minor.Max, l.Pitch.Max, name)
		require.Less(t, l.Pitch.Max, l.Major.Min, name)
		require.InDelta(t, th.D, l.Major.Max+l.Allowance, 6e-5, name)
		require.InDelta(t, l.Major.Max-l.Major.Min, l.TolMajor, 1e-9, name)
		require.LessOrEqual(t, l.Pitch.Max, b.Pitch+eps, name)
	} else {
		require.True(t, l.Major.HasMin && !l.Major.HasMax && l.Minor.Has(), name)
		require.Less(t, l.Minor.Max, l.Major.Min, name)
		require.Less(t, l.Minor.Min, l.Pitch.Min, name)
		require.Less(t, l.Pitch.Max, l.Major.Min, name)
		require.InDelta(t, th.D, l.Major.Min-l.Allowance, 6e-5, name)
		require.InDelta(t, l.Minor.Max-l.Minor.Min, l.TolMinor, 1e-9, name)
		require.GreaterOrEqual(t, l.Pitch.Min, b.Pitch-eps, name)
		require.GreaterOrEqual(t, l.Minor.Min, b.Minor-eps, name)
	}
	require.InDelta(t, l.Pitch.Max-l.Pitch.Min, l.TolPitch, 1e-9, name)
}

func TestLimitsAreOrderedForEverySizeAndClass(t *testing.T) {
	n := 0
	for _, th := range thread.AllUnified() {
		for _, c := range unifiedClasses {
			l, err := th.Limits(c)
			require.NoError(t, err, "%s %s", th, c)
			checkOrder(t, th, l)
			n++
		}
	}
	for _, th := range thread.AllISO() {
		for _, c := range isoClasses() {
			if l, err := th.Limits(c); err == nil {
				checkOrder(t, th, l)
				n++
			}
		}
		// The ordinary pair exists for every listed size.
		_, err := th.InternalLimits()
		require.NoError(t, err, th.String())
		_, err = th.ExternalLimits()
		require.NoError(t, err, th.String())
	}
	t.Log(len(thread.AllUnified()), "Unified and", len(thread.AllISO()), "metric threads,", n, "sets of limits")
	assert.Greater(t, n, 10000)
}

func TestLimitsAreOrderedForAnythingParsed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		th := drawThread(t)
		in, err := th.InternalLimits()
		require.NoError(t, err)
		ex, err := th.ExternalLimits()
		require.NoError(t, err)
		checkOrder(t, th, in)
		checkOrder(t, th, ex)
		// A screw at its largest enters a hole at its smallest.
		require.LessOrEqual(t, ex.Major.Max, in.Major.Min)
		require.LessOrEqual(t, ex.Pitch.Max, in.Pitch.Min+1.01e-4)
	})
}

// Class 3 is tighter than 2 and 2 than 1; the ratios are those of B1.1.
func TestClassesNest(t *testing.T) {
	for _, th := range thread.AllUnified() {
		var l [6]thread.Limits
		for i, c := range unifiedClasses {
			l[i], _ = th.Limits(c)
		}
		for i := 0; i < 6; i += 3 {
			assert.Greater(t, l[i].TolPitch, l[i+1].TolPitch, th.String())
			assert.Greater(t, l[i+1].TolPitch, l[i+2].TolPitch, th.String())
		}
		assert.InDelta(t, 1.3*l[1].TolPitch, l[4].TolPitch, 2.5e-4, th.String())
		assert.InDelta(t, .75*l[1].TolPitch, l[2].TolPitch, 2.5e-4, th.String())
		assert.Zero(t, l[2].Allowance)
	}
}

// r40 is the preferred number series of ISO 3 that the tolerances of ISO 965-1
// are taken from, as that standard writes it in micrometres.
var r40 = []float64{1, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2, 2.12, 2.24, 2.36, 2.5, 2.65, 2.8, 3, 3.15, 3.35, 3.55, 3.75, 4, 4.25, 4.5, 4.75, 5, 5.3, 5.6, 6, 6.3, 6.7, 7.1, 7.5, 8, 8.5, 9, 9.5}

// step returns the place of a tolerance in the series, counted from 1.
func step(t *testing.T, mm float64) int {
	um := mm * 1000
	decade := 0
	for um >= 9.99 {
		um, decade = um/10, decade+1
	}
	best, off := 0, math.Inf(1)
	for i, v := range r40 {
		if d := math.Abs(um - v); d < off {
			best, off = i, d
		}
	}
	require.LessOrEqual(t, off, 0.051, "%v is not a preferred number", mm)
	return 40*decade + best
}

// A second way to every pitch diameter tolerance: the grades of ISO 965-1 stand
// whole steps of R40 apart, so each follows from grade 6 alone. A slip of a
// digit anywhere in the tables breaks this.
func TestISOGradesAreWholeStepsApart(t *testing.T) {
	screw := map[string]int{"3": -12, "4": -8, "5": -4, "7": 4, "8": 8, "9": 12}
	nut := map[string]int{"4": -3, "5": 1, "6": 5, "7": 9, "8": 13}
	n := 0
	for _, th := range thread.AllISO() {
		l6, err := th.Limits("6h")
		require.NoError(t, err)
		s6 := step(t, l6.TolPitch)
		for g, d := range screw {
			crest := "6h"
			if l, err := th.Limits(g + "h" + crest); err == nil {
				assert.Equal(t, s6+d, step(t, l.TolPitch), "%s grade %s", th, g)
				n++
			}
		}
		for g, d := range nut {
			for _, crest := range []string{"4H", "5H", "6H"} {
				if l, err := th.Limits(g + "H" + crest); err == nil {
					assert.Equal(t, s6+d, step(t, l.TolPitch), "%s grade %s", th, g)
					n++
					break
				}
			}
		}
	}
	t.Log(n, "tolerances checked")
	assert.Greater(t, n, 2000)
}

// The formulas of ISO 965-1 section 13 give the tables within the rounding to
// preferred numbers and the adjustments made by hand: Td2(6) = 90 P^0.4 d^0.1,
// Td(6) = 180 P^(2/3) - 3.15 P^(-1/2), TD1(6) = 433 P - 190 P^1.22 to P 0.8 and
// 230 P^0.7 above; es(g) = 15 + 11 P.
func TestISOTablesFollowTheirFormulas(t *testing.T) {
	ranges := []float64{0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45, 90, 180, 355}
	for _, th := range thread.AllISO() {
		p := th.Pitch
		i := 0
		for th.D > ranges[i+1] {
			i++
		}
		d := math.Sqrt(ranges[i] * ranges[i+1])
		h, err := th.Limits("6h")
		require.NoError(t, err)
		assert.InEpsilon(t, 90*math.Pow(p, .4)*math.Pow(d, .1), 1000*h.TolPitch, 0.06, "Td2 %s", th)
		assert.InEpsilon(t, 180*math.Pow(p, 2.0/3)-3.15/math.Sqrt(p), 1000*h.TolMajor, 0.06, "Td %s", th)
		g, err := th.Limits("6g")
		require.NoError(t, err)
		assert.InDelta(t, 15+11*p, 1000*g.Allowance, 4, "g %s", th)
		if n, err := th.Limits("6H"); err == nil {
			want := 230 * math.Pow(p, .7)
			if p <= 0.8 {
				want = 433*p - 190*math.Pow(p, 1.22)
			}
			assert.InEpsilon(t, want, 1000*n.TolMinor, 0.06, "TD1 %s", th)
		}
		if e, err := th.Limits("6e"); err == nil {
			assert.InDelta(t, 50+11*p, 1000*e.Allowance, 6, "e %s", th)
		}
		if f, err := th.Limits("6f"); err == nil {
			assert.InDelta(t, 30+11*p, 1000*f.Allowance, 4, "f %s", th)
		}
	}
}

// Percent of thread: the two bases stand 1.2 apart, D less one pitch is always
// 76.98 %, and the inverses return what they were given.
func TestPercentLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		th := drawThread(t)
		pc := rapid.Float64Range(1, 100).Draw(t, "percent")
		hole := th.HoleForPercent(pc)
		require.InDelta(t, pc, th.PercentOfThread(hole), 1e-9)
		require.InDelta(t, 1.2*pc, th.HeightPercent(hole), 1e-9)
		require.InDelta(t, pc, th.FormingPercent(th.FormingHole(pc)), 1e-9)
		require.InDelta(t, 76.98, th.PercentOfThread(th.D-th.Pitch), 0.005)
		require.Greater(t, th.FormingHole(pc), hole, "a forming tap wants the larger hole")
		require.Less(t, th.MinorArea(), th.StressArea())
		require.Less(t, th.StressArea(), math.Pi/4*th.D*th.D)
	})
}

// Worked values: percentages and forming holes from the formulas of Machinery's
// Handbook; the 1.0825 P basis from ASME B1.1.
func TestPercentWorked(t *testing.T) {
	for _, c := range []struct {
		thread    string
		hole      float64
		us, ratio float64
	}{{"1/2-13", 27.0 / 64, 78.18, 93.8}, {"5/8-11", 17.0 / 32, 79.39, 95.3}, {"3/4-10", 21.0 / 32, 72.17, 86.6}, {"M12", 10.2, 79.18, 95.0}} {
		th, err := thread.Parse(c.thread)
		require.NoError(t, err)
		assert.InDelta(t, c.us, th.PercentOfThread(c.hole), .006, c.thread)
		assert.InDelta(t, c.ratio, th.HeightPercent(c.hole), .06, c.thread)
	}
	q, _ := thread.Parse("1/4-20")
	assert.InDelta(t, .2279, q.FormingHole(65), 5e-5)
	m, _ := thread.Parse("M10")
	assert.InDelta(t, 9.337, m.FormingHole(65), 5e-4)
}

func TestClassesLeftOut(t *testing.T) {
	for in, want := range map[string][2]string{
		"5/8-11": {"2B", "2A"}, "5/8-11 UNC-3B": {"3B", "2A"}, "5/8-11 UNC-3A": {"2B", "3A"},
		"M12": {"6H", "6g"}, "M12-5H": {"5H", "6g"}, "M1.4": {"5H", "6h"}, "M1": {"5H", "6h"}, "M1x0.2": {"4H", "6h"}, "M2x0.25": {"5H", "6g"},
	} {
		th, err := thread.Parse(in)
		require.NoError(t, err, in)
		assert.Equal(t, want, [2]string{th.InternalClass(), th.ExternalClass()}, in)
	}
}

func TestSystemsAndZeroThread(t *testing.T) {
	assert.Equal(t, []string{"Unified", "in", "ISO metric", "mm"},
		[]string{thread.Unified.String(), thread.Unified.Unit(), thread.ISO.String(), thread.ISO.Unit()})
	assert.Empty(t, thread.Thread{}.String())
	assert.Equal(t, []int{1, 2, 3, 0}, []int{thread.Choice(12), thread.Choice(14), thread.Choice(15), thread.Choice(13)})
	for _, c := range [][2]float64{{math.NaN(), 13}, {.5, math.NaN()}, {math.Inf(1), 13}, {.05, 80}, {.5, 0}, {-1, 13}} {
		_, err := thread.NewUnified(c[0], c[1])
		assert.Error(t, err, "%v", c)
		_, err = thread.NewISO(c[0], c[1])
		assert.Error(t, err, "%v", c)
	}
}

// Series counts of ASME B1.1: 33 UNC, 24 UNF of which 0 to 12 and 1/4 to 1-1/2,
// 25 UNEF from 12 to 1-11/16; and every first and second choice of ISO 261 with
// a coarse pitch to M68.
func TestSeriesAreComplete(t *testing.T) {
	n := map[string]int{}
	seen := map[string]bool{}
	for _, th := range thread.AllUnified() {
		n[th.Series]++
		if th.Series == "UN" {
			n[strconv.FormatFloat(th.TPI, 'f', -1, 64)+"UN"]++
		}
		assert.False(t, seen[th.String()], th.String())
		seen[th.String()] = true
	}
	assert.Equal(t, 33, n["UNC"])
	assert.Equal(t, 24, n["UNF"])
	assert.Equal(t, 25, n["UNEF"])
	for _, s := range []string{"4UN", "6UN", "8UN", "12UN", "16UN", "20UN", "28UN", "32UN"} {
		assert.Positive(t, n[s], s)
	}
	t.Log(n)
	coarse := 0
	for _, th := range thread.AllISO() {
		assert.False(t, seen[th.String()], th.String())
		seen[th.String()] = true
		if th.Coarse && thread.Choice(th.D) < 3 {
			coarse++
			bare, err := thread.Parse("M" + strconv.FormatFloat(th.D, 'f', -1, 64))
			require.NoError(t, err)
			assert.Equal(t, th, bare)
		}
	}
	assert.Equal(t, 38, coarse)
}

func TestChamfers(t *testing.T) {
	// TM 9-254 para 4-27 for the hand taps (a maker's sheet after ASME B94.9 prints
	// the same and 2 to 2-1/2 for semi-bottoming), Machinery's Handbook 31 p. 985
	// for forming taps; DIN 2197 forms from two public reproductions.
	for key, want := range map[string][2]float64{
		"taper": {7, 10}, "plug": {3, 5}, "bottoming": {1, 2}, "forming plug": {3, 5}, "forming bottoming": {1, 2.5},
		"A": {6, 8}, "B": {3.5, 5.5}, "C": {2, 3}, "D": {3.5, 5}, "E": {1.5, 2}, "F": {1, 1.5}, "semi-bottoming": {2, 2.5},
	} {
		c, ok := thread.LookupChamfer(key)
		require.True(t, ok, key)
		assert.Equal(t, want, [2]float64{c.Min, c.Max}, key)
		assert.Equal(t, (want[0]+want[1])/2, c.Mean())
		assert.NotEmpty(t, c.Source)
	}
	assert.Len(t, thread.Chamfers, 12)
	_, ok := thread.LookupChamfer("G")
	assert.False(t, ok)
}
