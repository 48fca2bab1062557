package engage

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

func TestDescription(t *testing.T) {
	for _, s := range Sheets() {
		assert.Empty(t, s.CheckFields())
		for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
			a := worksheet.Run(s, sys, s.Example)
			require.Nil(t, a.Fault)
			assert.NotEmpty(t, a.Text("verdict"))
		}
	}
}

// The two ways for the joints machinists meet most. The figures follow from the
// limits of size ASME B1.1 prints, worked by hand with the formulas of its
// appendix B.
func TestJointsByHand(t *testing.T) {
	for _, r := range []struct {
		name, thread, bolt, metal string
		j, tensile, shear         float64
	}{
		{"grade 5 in class 30", "5/8-11", "5", "grey30", 2.802, 1.269, .476},
		{"grade 2 in class 30", "1/2-13", "2", "grey30", 1.710, .623, .3157},
		{"grade 5 in 6061-T6", "5/8-11", "5", "al6061", 2.0015, .906, .705},
		{"M12 8.8 in class 20", "M12", "8.8", "grey20", 0, 0, 0},
	} {
		t.Run(r.name, func(t *testing.T) {
			s := of(r.thread, r.bolt, r.metal)
			assert.InDelta(t, max(s.ByTensile, s.ByShear), s.Needed, 1e-12)
			if r.j == 0 {
				assert.Greater(t, s.ByTensile, s.ByShear, "the tensile way is the safe one in grey iron")
				return
			}
			assert.InDelta(t, r.j, s.Ratio, .002)
			assert.InDelta(t, r.tensile, s.ByTensile, .002)
			assert.InDelta(t, r.shear, s.ByShear, .002)
		})
	}
}

// At the length that was asked for, the thread bears exactly what breaks the
// bolt: the loads and the lengths are two ways to the same number.
func TestLengthMeetsLoad(t *testing.T) {
	all := thread.AllUnified()
	rapid.Check(t, func(rt *rapid.T) {
		th := all[rapid.IntRange(0, len(all)-1).Draw(rt, "thread")]
		j := Joint{Thread: th, Bolt: rapid.Float64Range(1e3, 4e5).Draw(rt, "bolt"),
			Tensile: rapid.Float64Range(500, 4e5).Draw(rt, "tensile"), Shear: rapid.Float64Range(500, 4e5).Draw(rt, "shear")}
		s, f := Length(j)
		if f != nil {
			rt.Fatalf("%s: %s", th, f.Message)
		}
		tens, _, _ := s.Strip(s.ByTensile)
		_, shear, _ := s.Strip(s.ByShear)
		if math.Abs(tens/s.Break-1) > 1e-9 || math.Abs(shear/s.Break-1) > 1e-9 {
			rt.Fatalf("%s: %v and %v of %v", th, tens, shear, s.Break)
		}
	})
}

func TestStandardThreadsAllHaveAnAnswer(t *testing.T) {
	for _, th := range thread.AllUnified() {
		s, f := Length(Joint{Thread: th, Bolt: 120e3, Tensile: 30e3, Shear: 40e3})
		require.Nil(t, f, th.String())
		assert.Greater(t, s.Needed, 0.0)
		assert.Less(t, s.Equal, 1.3*th.D, th.String())
	}
}

// Monotone: a stronger bolt, a weaker metal and a larger hole never need less
// thread.
func TestMonotone(t *testing.T) {
	base := made("5/8-11", 120e3, 30e3, 40e3)
	assert.Greater(t, made("5/8-11", 150e3, 30e3, 40e3).Needed, base.Needed)
	assert.Greater(t, made("5/8-11", 120e3, 20e3, 26e3).Needed, base.Needed)
	th, err := thread.Parse("5/8-11")
	require.NoError(t, err)
	last := 0.0
	for hole := .50; hole < .61; hole += .005 {
		s, f := Length(Joint{Thread: th, Bolt: 120e3, Tensile: 120e3, Shear: 70e3, Hole: hole})
		require.Nil(t, f)
		assert.GreaterOrEqual(t, s.Equal, last)
		last = s.Equal
	}
}

func TestSteelNeedsAboutOneDiameter(t *testing.T) {
	// Shop rule, no published source: 1 D in steel, 1-1/2 D in iron, 2 D in
	// aluminium. The rule is for ordinary bolts; the reckoning agrees within half
	// a diameter for grade 2.
	for _, r := range []struct {
		metal string
		rule  float64
	}{{"mild", 1}, {"grey30", 1.5}, {"al356", 2}} {
		s := of("1/2-13", "2", r.metal)
		assert.Less(t, s.Needed/.5, r.rule, r.metal)
	}
}

func TestRefusals(t *testing.T) {
	for _, r := range []struct {
		name, field string
		pairs       []worksheet.Pair
	}{
		{"no thread", "thread", nil},
		{"taper pipe", "thread", []worksheet.Pair{{Key: "thread", Text: "1/4 NPT"}}},
		{"own bolt without a figure", "boltsu", []worksheet.Pair{{Key: "thread", Text: "1/2-13"}, {Key: "bolt", Text: "own"}}},
		{"own metal without a figure", "tensile", []worksheet.Pair{{Key: "thread", Text: "1/2-13"}, {Key: "metal", Text: "own"}}},
		{"hole as large as the bolt", "hole", []worksheet.Pair{{Key: "thread", Text: "1/2-13"}, {Key: "hole", Text: ".5"}}},
		{"nothing left of the thread", "length", []worksheet.Pair{{Key: "thread", Text: "1/2-13"}, {Key: "length", Text: ".07"}}},
	} {
		t.Run(r.name, func(t *testing.T) {
			a := worksheet.Run(engage, units.InchSystem, r.pairs)
			require.NotNil(t, a.Fault)
			assert.Equal(t, r.field, a.Fault.Field)
		})
	}
}

func TestVerdicts(t *testing.T) {
	run := func(length string, more ...worksheet.Pair) worksheet.Answer {
		a := worksheet.Run(engage, units.InchSystem, append([]worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "metal", Text: "grey30"}, {Key: "lost", Text: "0 in"}, {Key: "length", Text: length}}, more...))
		require.Nil(t, a.Fault)
		return a
	}
	for _, c := range []struct {
		length, says string
		mark         worksheet.Mark
		holds        string
	}{
		// 5/8-11 grade 5 in class 30: 1.269 by half tensile, .476 by shear; 27,120 lbf breaks it.
		{"1.5", "Holds: the bolt breaks first. 1.500 in of full thread, 1.27 in needed.", worksheet.Good, "yes"},
		{"1.3", "Holds, just: the bolt breaks first. 1.300 in of full thread, 1.27 in needed.", worksheet.Good, "yes"},
		{"1", "Holds by one reckoning only: 1.000 in of full thread, .48 in needed by that, 1.27 in by the other.",
			worksheet.Careful, "yes"},
		// .4 in strips at .4/2 x 1.4249 x 30,000 = 8,549 lbf.
		{".4", "Too short: the thread strips at 8500 lbf, and the bolt breaks at 27000 lbf.", worksheet.Stop, "no"},
	} {
		a := run(c.length)
		assert.Equal(t, c.says, a.Text("verdict"))
		assert.Equal(t, c.mark, a.Mark(), c.length)
		assert.Equal(t, c.holds, a.Text("holds"), c.length)
	}
	assert.NotEmpty(t, run(".4").Text("ways"))
	pull := func(length, x string) worksheet.Answer {
		return run(length, worksheet.Pair{Key: "pull", Text: x})
	}
	// 1 in strips at .5 x 1.4249 x 30,000 = 21,373 lbf the careful way.
	over := pull("1", "50000")
	assert.Equal(t, worksheet.Stop, over.Mark())
	assert.Equal(t, "Does not bear that pull: 50000.0 lbf asked, 21000 lbf borne.", over.Text("verdict"))
	assert.Equal(t, "no", over.Text("holds"))
	assert.Equal(t, "Bears the pull only 1.4 times. 1.000 in of full thread.", pull("1", "15000").Text("verdict"))
	few := pull(".4", "2000")
	assert.Equal(t, worksheet.Careful, few.Mark())
	assert.Equal(t, "Bears the pull 4.0 times, but strips at 8500 lbf, before the bolt breaks.", few.Text("verdict"))
	open := worksheet.Run(engage, units.InchSystem, []worksheet.Pair{{Key: "thread", Text: "5/8-11"},
		{Key: "metal", Text: "grey30"}})
	assert.Equal(t, worksheet.Open, open.Mark())
	assert.Contains(t, open.Text("verdict"), "was not said")
}

// Where the mark turns to stop, the length is the shorter of the two reckoned, and the worked line
// says so.
func TestTurnsAtTheShorterLength(t *testing.T) {
	at := func(length float64) worksheet.Answer {
		d, _ := units.Round(length, 6)
		return worksheet.Run(engage, units.InchSystem, []worksheet.Pair{{Key: "thread", Text: "1/2-13"},
			{Key: "metal", Text: "grey20"}, {Key: "lost", Text: "0"}, {Key: "length", Text: d.Text()}})
	}
	low, high := .2, 2.0
	require.Equal(t, worksheet.Stop, at(low).Mark())
	require.NotEqual(t, worksheet.Stop, at(high).Mark())
	for range 40 {
		if mid := (low + high) / 2; at(mid).Mark() == worksheet.Stop {
			low = mid
		} else {
			high = mid
		}
	}
	a := at(high)
	assert.Contains(t, a.Text("byshear"), strconv.FormatFloat(high, 'f', 4, 64))
	found := false
	for _, l := range a.Lines() {
		found = found || l.Result == a.Text("byshear")
	}
	assert.True(t, found, "a worked line ends in the length it turned at")
}

func TestRandomInputsNeverBreak(t *testing.T) {
	threads := []string{"0-80", "1/4-20", "5/8-11", "6-4", "M3", "M64x4", "M12x1.25", "2-20", "1-40", "5/8-100"}
	s := engage
	rapid.Check(t, func(rt *rapid.T) {
		pick := func(in string) string {
			i, _ := s.Input(in)
			return i.Options[rapid.IntRange(0, len(i.Options)-1).Draw(rt, in)].Key
		}
		num := func(name string, lo, hi float64) string {
			d, _ := units.Round(rapid.Float64Range(lo, hi).Draw(rt, name), 4)
			return d.Text()
		}
		a := worksheet.Run(s, units.InchSystem, []worksheet.Pair{
			{Key: "thread", Text: threads[rapid.IntRange(0, len(threads)-1).Draw(rt, "thread")]},
			{Key: "bolt", Text: pick("bolt")}, {Key: "metal", Text: pick("metal")},
			{Key: "length", Text: num("length", .01, 40)}, {Key: "pull", Text: num("pull", 0, 2e6)}, {Key: "hole", Text: num("hole", .02, 6)},
			{Key: "boltsu", Text: num("boltsu", 1, 400)}, {Key: "tensile", Text: num("tensile", .5, 400)},
		})
		if a.Fault == nil && a.Text("verdict") == "" {
			rt.Fatal("no verdict")
		}
	})
}

func TestNeededRefusesWhatItDoesNotKnow(t *testing.T) {
	th, err := thread.Parse("1/2-13")
	require.NoError(t, err)
	for _, r := range []struct{ grade, metal, field string }{{"none", "mild", "bolt"}, {"5", "cheese", "metal"}} {
		_, f := Needed(th, r.grade, r.metal, 0)
		require.NotNil(t, f)
		assert.Equal(t, r.field, f.Field)
	}
	_, f := Needed(thread.Thread{}, "5", "mild", 0)
	require.NotNil(t, f)
	assert.Equal(t, "thread", f.Field)
}

// A length far past the bolt's diameter is asked about: 25 in the inch system is likely 25 mm,
// 1.57 diameters of 5/8-11.
func TestLikelyMillimetres(t *testing.T) {
	asked := func(sys units.System, length string) (means string) {
		a := worksheet.Run(engage, sys, []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "length", Text: length}})
		require.Nil(t, a.Fault)
		for _, c := range a.Cautions() {
			if c.Field == "length" {
				assert.Equal(t, worksheet.Careful, a.Mark())
				means = c.Means
			}
		}
		return means
	}
	assert.Equal(t, "25 mm", asked(units.InchSystem, "25"))
	assert.Empty(t, asked(units.InchSystem, "25 in"))
	assert.Empty(t, asked(units.InchSystem, "2.5"))
}
