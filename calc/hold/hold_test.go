package hold

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/joint"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) {
	registrytest.Worksheets(t, Sheets(), Checks())
	registrytest.Cautioned(t, Sheets())
}

// The elastic bolt group a second way: the part turns about the centre where
// pull and twist cancel, and each stud's force goes with its distance from it.
func TestShearByCentreOfTurning(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(rt, "n")
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		studs := make([][2]float64, n)
		var cx, cy float64
		for i := range studs {
			studs[i] = [2]float64{f("x", -9, 9), 10 + f("y", -9, 9)}
			cx += studs[i][0] / float64(n)
			cy += studs[i][1] / float64(n)
		}
		r2 := 0.0
		for _, s := range studs {
			r2 += math.Pow(s[0]-cx, 2) + math.Pow(s[1]-cy, 2)
		}
		l := Load{Vec{f("fx", -500, 500), f("fy", -500, 500), 0}, Vec{f("px", -20, 20), f("py", 0, 20), 5}}
		h := group(studs, l)
		m := (l.At.X-cx)*l.F.Y - (l.At.Y-cy)*l.F.X
		if math.Abs(m) < 1 || r2 < 1 {
			return
		}
		// Centre: v + w x r = 0 with w = m/r2, v = F/n.
		w := m / r2
		ox, oy := cx-l.F.Y/float64(n)/w, cy+l.F.X/float64(n)/w
		for i, s := range studs {
			want := math.Abs(w) * math.Hypot(s[0]-ox, s[1]-oy)
			assert.InDelta(rt, want, h.Studs[i].Shear, 1e-6*(1+want))
		}
	})
}

// Tipping a second way: open the part by an angle about the edge and find, by
// halving, the angle at which springs at the studs balance the moment.
func TestTippingBySprings(t *testing.T) {
	studs := [][2]float64{{-3, 2}, {3, 2}, {-3, 7}, {3, 7}}
	h := Job{Studs: studs, Bolt: &joint.Bolt{}, Contact: Contact{-5, 5, 0, 9}, Loads: []Load{{Vec{0, -400, 0},
		Vec{0, 4, 6}}}, Mu: .1}.Analyse()
	moment := func(angle float64) (m float64) {
		for _, s := range studs {
			m += angle * s[1] * s[1]
		}
		return m
	}
	lo, hi := 0.0, 1e6
	for range 200 {
		if mid := (lo + hi) / 2; moment(mid) < 400*6 {
			lo = mid
		} else {
			hi = mid
		}
	}
	assert.Equal(t, BottomEdge, h.Edge)
	assert.InDelta(t, lo*7, h.Studs[2].Tension, 1e-6)
	assert.InDelta(t, lo*2, h.Studs[0].Tension, 1e-6)
}

func TestLawsOfHolding(t *testing.T) {
	job := func(mu, weight, torque float64, ledge bool) Held {
		b := bolt("5/8-11", "sae5")
		return Job{Studs: [][2]float64{{-4, 5}, {4, 5}}, Contact: Contact{-6, 6, 0, 8}, Bolt: b, Mu: mu, OnLedge: ledge,
			Preload: joint.Scattered(b.Tension(torque, .2), .3, .05),
			Loads:   []Load{{Vec{0, -weight, 0}, Vec{0, 4, 3}}, {Vec{60, 0, 10}, Vec{1, 5, 4}}}}.Analyse()
	}
	rapid.Check(t, func(rt *rapid.T) {
		mu := rapid.Float64Range(.05, .5).Draw(rt, "mu")
		w := rapid.Float64Range(1, 2000).Draw(rt, "w")
		q := rapid.Float64Range(100, 3000).Draw(rt, "q")
		a := job(mu, w, q, false)
		assert.LessOrEqual(rt, a.Turn, a.Slip*(1+1e-9), "the worst stud never does better than all together")
		assert.Greater(rt, job(mu*1.1, w, q, false).Slip, a.Slip, "more friction, more margin")
		assert.Less(rt, job(mu, w*1.1, q, false).Slip, a.Slip, "more weight, less margin")
		assert.Greater(rt, job(mu, w, q*1.1, false).Tip, a.Tip, "more torque, more against tipping")
		assert.Greater(rt, job(mu, w, q, true).Slip, a.Slip, "a ledge helps")
		assert.Less(rt, job(mu, w, q*1.1, false).Bolt, a.Bolt, "more torque, nearer the proof load")
	})
}

func TestTorqueRoundTrip(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := bolt("M16", "8.8")
		k := rapid.Float64Range(.05, .6).Draw(rt, "k")
		f := rapid.Float64Range(1, 1e5).Draw(rt, "f")
		assert.InDelta(rt, f, b.Tension(b.Torque(f, k), k), 1e-6*f)
	})
}

func TestStudsOnTheTippingEdgeHoldNothing(t *testing.T) {
	h := Job{Studs: [][2]float64{{-3, 0}, {3, 0}}, Contact: Contact{-5, 5, 0, 9}, Preload: joint.Preload{Aim: 1000,
		Min: 1000, Max: 1000}, Bolt: bolt("1/2-13", "sae5"),
		Loads: []Load{{Vec{0, -100, 0}, Vec{0, 4, 6}}}, Mu: .2}.Analyse()
	assert.Zero(t, h.Tip)
}

func with(s *worksheet.Sheet, changes ...worksheet.Pair) []worksheet.Pair {
	pairs := append([]worksheet.Pair{}, s.Example...)
next:
	for _, c := range changes {
		for i := range pairs {
			if pairs[i].Key == c.Key {
				pairs[i].Text = c.Text
				continue next
			}
		}
		pairs = append(pairs, c)
	}
	return pairs
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		name, field string
		sheet       *worksheet.Sheet
		change      []worksheet.Pair
	}{
		{"stud outside the face", "studs", staySheet(), []worksheet.Pair{{Key: "studs", Text: "-4,5; 40,5"}}},
		{"two studs in one place", "studs", staySheet(), []worksheet.Pair{{Key: "studs", Text: "-4,5; -4,5"}}},
		{"one stud", "studs", staySheet(), []worksheet.Pair{{Key: "studs", Text: "-4,5"}}},
		{"face without size", "right", staySheet(), []worksheet.Pair{{Key: "width", Text: ""}, {Key: "left",
			Text: "6"}, {Key: "right", Text: "6"}}},
		{"face without height", "height", staySheet(), []worksheet.Pair{{Key: "studs", Text: "-4,0; 4,0"},
			{Key: "height", Text: ""}}},
		{"no width", "width", staySheet(), []worksheet.Pair{{Key: "width", Text: ""}, {Key: "left", Text: "-6"}}},
		{"metric class in SAE", "grade", torqueSheet(), []worksheet.Pair{{Key: "thread", Text: "M16"},
			{Key: "washer", Text: "none"}}},
		{"washer the table has not", "washer", torqueSheet(), []worksheet.Pair{{Key: "thread", Text: "7/8-9"}}},
		{"washer no wider than its hole", "washerod", torqueSheet(), []worksheet.Pair{{Key: "washer",
			Text: "hard"}, {Key: "washerod", Text: "5/8"}, {Key: "washerthick", Text: "1/8"}}},
		{"hole under the nut too narrow", "seat", torqueSheet(), []worksheet.Pair{{Key: "seat", Text: "1/2"}}},
		{"boss too narrow", "wall", torqueSheet(), []worksheet.Pair{{Key: "wall", Text: ".87"}}},
		{"both torque and tension", "tension", torqueSheet(), []worksheet.Pair{{Key: "torque", Text: "50"}, {Key: "tension", Text: "5000"}}},
		{"own figures missing", "proof", torqueSheet(), []worksheet.Pair{{Key: "grade", Text: "own"}}},
		{"own figures turned round", "tensile", torqueSheet(), []worksheet.Pair{{Key: "grade", Text: "own"}, {Key: "proof", Text: "100"}, {Key: "tensile", Text: "50"}}},
		{"slot wider than strap", "wide", strapSheet(), []worksheet.Pair{{Key: "wide", Text: "0.6"}, {Key: "thick", Text: "1/2"}}},
		{"no clamps", "clamps", strapSheet(), []worksheet.Pair{{Key: "clamps", Text: "0"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(c.sheet, units.InchSystem, with(c.sheet, c.change...))
			require.NotNil(t, a.Fault)
			assert.Equal(t, c.field, a.Fault.Field, a.Fault.Message)
		})
	}
}

// A share of the proof load is what to aim at at most: no part is pulled past what it bears for it.
func TestShareIsCapped(t *testing.T) {
	a := worksheet.Run(staySheet(), units.InchSystem, with(staySheet(), worksheet.Pair{Key: "percent", Text: "90"}, worksheet.Pair{Key: "method", Text: "feel"}))
	require.Nil(t, a.Fault)
	assert.Equal(t, worksheet.Good, a.Mark())
	most, _ := strconv.ParseFloat(a.Value("most"), 64)
	assert.Less(t, most, 6684.0)
}

// Any numbers within the limits give an answer or a refusal, never no number.
func TestTotal(t *testing.T) {
	grade := rapid.SampledFrom([]string{"rod", "sae1", "sae2", "sae5", "sae8", "a574", "4.6", "8.8", "12.9"})
	threads := rapid.SampledFrom([]string{"1/4-20", "3/8-16", "5/8-11", "1-8", "M6", "M16", "M36"})
	rapid.Check(t, func(rt *rapid.T) {
		num := func(name string, lo, hi float64, unit string) worksheet.Pair {
			d, _ := units.Round(rapid.Float64Range(lo, hi).Draw(rt, name), 3)
			return worksheet.Pair{Key: name, Text: d.Text() + unit}
		}
		s := staySheet()
		pairs := with(s, num("weight", 0, 20000, " lb"), num("force", 0, 50000, " lbf"), num("cgz", 0, 200, " in"), num("cgy", -200, 200, " in"),
			num("mu", .02, .8, ""), num("percent", 1, 100, ""), num("scatter", 0, 60, ""), num("wanted", 1, 20, ""),
			worksheet.Pair{Key: "grade", Text: grade.Draw(rt, "grade")}, worksheet.Pair{Key: "thread", Text: threads.Draw(rt, "thread")},
			worksheet.Pair{Key: "way", Text: rapid.SampledFrom([]string{"any", "up", "out", "in", "left"}).Draw(rt, "way")})
		a := worksheet.Run(s, units.InchSystem, pairs)
		if a.Fault != nil {
			assert.NotContains(rt, a.Fault.Message, "could not be worked out")
			assert.NotEmpty(rt, a.Fault.Field)
		}
		p := strapSheet()
		a = worksheet.Run(p, units.MetricSystem, with(p, num("heel", .1, 40, " in"), num("nose", .1, 40, " in"), num("force", 0, 50000, " lbf"), num("lift", 0, 50000, " lbf"),
			num("height", 0, 200, " in"), num("arm", 0, 200, " in"), num("cgarm", 0, 200, " in"), num("weight", 0, 20000, " lb")))
		require.Nil(rt, a.Fault)
	})
}
