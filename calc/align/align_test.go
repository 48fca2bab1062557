package align

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"datumbook/calc/fitting"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

// run runs a worksheet of this package in inches.
func run(t testing.TB, name string, pairs ...worksheet.Pair) worksheet.Answer {
	t.Helper()
	return registrytest.Run(t, Sheets(), name, pairs...)
}

func TestVerdicts(t *testing.T) {
	for _, row := range []struct{ name, readings, says string }{
		{"bow and not tilt", "0, 0; 8, .003; 16, 0", "In line, but bowed: the middle is 0.003 in proud of the ends. Do not move an end, that would put it out of line."},
		{"hollow", "0, 0; 8, -.003; 16, 0", "In line, but bowed: the middle is 0.003 in short of the ends. Do not move an end, that would put it out of line."},
		{"tilt", "0, 0; 8, .003; 16, .006", "Out of line by 0.006 in over 16.0000 in: with the pivot at x = 0.0000 in, move x = 16.0000 in by 0.006 in away from the indicator."},
		{"other way", "0, .006; 8, .003; 16, 0", "Out of line by 0.006 in over 16.0000 in: with the pivot at x = 0.0000 in, move x = 16.0000 in by 0.006 in towards the indicator."},
		{"in line", "0, 0; 8, 0; 16, 0", "In line, as closely as these readings tell: 0.00041 in either way over 16.0000 in."},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := run(t, "tram", worksheet.Pair{Key: "readings", Text: row.readings})
			require.Nil(t, a.Fault)
			assert.Equal(t, row.says, a.Text("verdict"))
		})
	}
	both := run(t, "tram", worksheet.Pair{Key: "readings", Text: "0, 0; 4, .0045; 8, .008; 12, .0085; 16, .008"})
	assert.Contains(t, both.Text("verdict"), "bowed too")
	cannot := run(t, "tram", worksheet.Pair{Key: "readings", Text: "0, 0; 8, .003; 16, .006"}, worksheet.Pair{Key: "grad", Text: ".01"})
	assert.Contains(t, cannot.Text("verdict"), "cannot tell")
}

// The needle left at the tapping point is tapped to what the pivot reads.
func TestAim(t *testing.T) {
	a := run(t, "tram", worksheet.Pair{Key: "readings", Text: "0, .002; 10, .004"}, worksheet.Pair{Key: "tap", Text: "20"})
	assert.Equal(t, "-0.0040 in", a.Text("move"))
	assert.Equal(t, "0.0020 in", a.Text("aim"))
	far := run(t, "tram", worksheet.Pair{Key: "readings", Text: "0, .002; 10, .004"}, worksheet.Pair{Key: "tap", Text: "20"}, worksheet.Pair{Key: "sense", Text: "far"})
	assert.Equal(t, "0.0040 in", far.Text("move"))
	assert.Equal(t, "0.0020 in", far.Text("aim"))
}

func TestLooseness(t *testing.T) {
	a := run(t, "tram", worksheet.Pair{Key: "readings", Text: "0, 0; 8, .003; 16, .006; 0, .002"})
	require.NotEmpty(t, a.Cautions())
	assert.Equal(t, worksheet.Refusal, a.Cautions()[0].Level)
	assert.Equal(t, "0.0020 in", a.Text("repeat"))
}

// Pontius (NIST StRD, linear regression, quadratic): the bow is the certified
// B2 times the square of half the length.
func TestBowPontius(t *testing.T) {
	var x []float64
	for _, v := range []float64{150, 300, 450, 600, 750, 900, 1050, 1200, 1350, 1500, 1650, 1800, 1950, 2100, 2250, 2400, 2550, 2700, 2850, 3000} {
		x = append(x, v*1000)
	}
	x = append(x, x...)
	y := []float64{.11019, .21956, .32949, .43899, .54803, .65694, .76562, .87487, .98292, 1.09146, 1.20001, 1.30822, 1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844,
		.11052, .22018, .32939, .43886, .54798, .65739, .76596, .87474, .98300, 1.09150, 1.20004, 1.30818, 1.41613, 1.52408, 1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829}
	l, f := Judge(Run{X: x, Y: y, Grad: .00001, Pivot: x[0], Tap: x[19]})
	require.Nil(t, f)
	half := (3000 - 150) * 1000.0 / 2
	assert.InEpsilon(t, 3.16081871345029e-15*half*half, l.Bow, 1e-9)
	assert.InEpsilon(t, 2.05177424076185e-4, l.Needle.SD, 1e-9)
}

// readings draws stations and readings to a millionth.
func readings(t *rapid.T) (x, y []float64) {
	n := rapid.IntRange(3, 20).Draw(t, "n")
	for i := range n {
		x = append(x, float64(i)*rapid.Float64Range(.5, 3).Draw(t, "step"))
		y = append(y, math.Round(rapid.Float64Range(-.02, .02).Draw(t, "y")*1e6)/1e6)
	}
	return x, y
}

func TestAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := readings(t)
		l, f := Judge(Run{X: x, Y: y, Grad: .0005, Pivot: -1, Tap: 40})
		if f != nil {
			return
		}
		_, b := stat.LinearRegression(x, y, nil, false)
		require.InDelta(t, b, l.Slope, 1e-12)
	})
}

// Putting the move in and reading again shows no tilt, and the same bow.
func TestMoveCures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := readings(t)
		r := Run{X: x, Y: y, Grad: .0005, Pivot: rapid.Float64Range(-5, 5).Draw(t, "pivot"), Tap: rapid.Float64Range(6, 60).Draw(t, "tap"), Allow: .0005}
		l, f := Judge(r)
		if f != nil {
			return
		}
		after := make([]float64, len(y))
		for i := range y {
			after[i] = y[i] + l.Move*(x[i]-r.Pivot)/(r.Tap-r.Pivot)
		}
		m, f := Judge(Run{X: x, Y: after, Grad: .0005, Pivot: r.Pivot, Tap: r.Tap, Allow: .0005})
		require.Nil(t, f)
		require.InDelta(t, 0, m.Total, 1e-12)
		require.InDelta(t, l.Bow, m.Bow, 1e-11)
		require.NotEqual(t, Tilted, m.State)
	})
}

// brute tries every pack by counting up, as a second method.
func brute(owned []units.Length, each, most int, want units.Length) []units.Length {
	near := make([]units.Length, most+1)
	have := make([]bool, most+1)
	var walk func(i, left int, sum units.Length)
	walk = func(i, left int, sum units.Length) {
		if i == len(owned) {
			n := most - left
			if d := abs(sum - want); !have[n] || d < near[n] {
				near[n], have[n] = d, true
			}
			return
		}
		for k := 0; k <= min(each, left); k++ {
			walk(i+1, left-k, sum+units.Length(k)*owned[i])
		}
	}
	walk(0, most, 0)
	for n := range have {
		if !have[n] {
			return near[:n]
		}
	}
	return near
}

func TestPacksAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		owned := rapid.SliceOfNDistinct(rapid.Int64Range(5, 400), 1, 8, rapid.ID).Draw(t, "owned")
		var list []units.Length
		for _, n := range owned {
			list = append(list, units.Length(n)*units.Tenth)
		}
		each, most := rapid.IntRange(1, 3).Draw(t, "each"), rapid.IntRange(1, 4).Draw(t, "most")
		want := units.Length(rapid.Int64Range(0, 1200).Draw(t, "want")) * units.Tenth
		packs := Packs(list, each, most, want)
		near := brute(list, each, most, want)
		require.Len(t, packs, len(near))
		for n, p := range packs {
			require.Len(t, p.Leaves, n)
			require.Equal(t, near[n], abs(p.Over(want)))
			var sum units.Length
			for i, l := range p.Leaves {
				sum += l
				require.True(t, i == 0 || l <= p.Leaves[i-1])
			}
			require.Equal(t, p.Total, sum)
		}
		pick := Choose(packs, want, 2*units.Tenth)
		for _, p := range packs {
			if abs(p.Over(want)) <= 2*units.Tenth {
				require.LessOrEqual(t, len(pick.Leaves), len(p.Leaves))
			}
		}
	})
}

func TestFeetLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := rapid.Float64Range(-.01, .01).Draw(t, "p"), rapid.Float64Range(-.01, .01).Draw(t, "q")
		var h []fitting.Point3
		var feet []fitting.Point
		for _, c := range [][2]float64{{0, 0}, {12, 0}, {12, 9}, {0, 9}, {6, 2}} {
			h = append(h, fitting.Point3{X: c[0], Y: c[1], Z: .003 + p*c[0] + q*c[1]})
			feet = append(feet, fitting.Point{X: c[0], Y: c[1]})
		}
		lifts, _, f := Feet(h, feet)
		require.Nil(t, f)
		least := math.Inf(1)
		for i, l := range lifts {
			require.GreaterOrEqual(t, l.Lift, 0.0)
			require.InDelta(t, lifts[0].Lift+h[0].Z, l.Lift+h[i].Z, 1e-12) // all level when lifted
			least = min(least, l.Lift)
		}
		require.Zero(t, least)
	})
}

func TestShimEdge(t *testing.T) {
	pairs := []worksheet.Pair{{Key: "readings", Text: "2,,0.0046; 8,,0.0023; 14,,0"}}
	a := run(t, "shim", pairs...)
	require.Nil(t, a.Fault)
	assert.Equal(t, "Lift 0.0046 in under x = 14.0000 in: 0.003 + 0.0015 in.", a.Text("verdict"))
	wrong := run(t, "shim", append(pairs, worksheet.Pair{Key: "under", Text: "2"}, worksheet.Pair{Key: "pivot", Text: "14"})...)
	assert.Equal(t, "Lift 0.0046 in under x = 14.0000 in: 0.003 + 0.0015 in.", wrong.Text("verdict"))
	assert.Contains(t, wrong.Cautions()[0].Text, "makes it worse")
	metric := run(t, "shim", worksheet.Pair{Key: "by", Text: "amounts"}, worksheet.Pair{Key: "amounts", Text: "0.35 mm"},
		worksheet.Pair{Key: "owned", Text: "0.05, 0.1, 0.2, 0.3 mm"}, worksheet.Pair{Key: "near", Text: "0"})
	assert.Equal(t, "2", metric.Text("leaves"))
	assert.Equal(t, "0.0000 in", metric.Text("over"))
}

func TestLeverLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 74).Draw(t, "angle")
		lo, f := Stylus{Angle: a}.Factor()
		require.Nil(t, f)
		hi, f := Stylus{Angle: a + 1}.Factor()
		require.Nil(t, f)
		require.Greater(t, lo, hi)
		self, f := Stylus{Angle: a, Self: a}.Factor()
		require.Nil(t, f)
		require.Equal(t, 1.0, self)
		// A lever worked out point by point: the tip rises by the arc's chord.
		const r, turn = .8, 1e-7
		rad := a * math.Pi / 180
		rise := r * (math.Sin(rad+turn) - math.Sin(rad-turn))
		require.InDelta(t, rise/(2*r*turn), lo, 1e-6)
	})
}

func TestRefusals(t *testing.T) {
	for _, row := range []struct {
		name, sheet, field, says string
		pairs                    []worksheet.Pair
	}{
		{"short", "tram", "readings", "less than 0.1 in", []worksheet.Pair{{Key: "readings", Text: "0, 0; .05, .001"}}},
		{"same place", "tram", "readings", "not spread", []worksheet.Pair{{Key: "readings", Text: "3, 0; 3, .001"}}},
		{"one", "tram", "readings", "at least 2", []worksheet.Pair{{Key: "readings", Text: "3, 0"}}},
		{"tap at pivot", "tram", "tap", "at the pivot", []worksheet.Pair{{Key: "readings", Text: "0, 0; 8, .001"}, {Key: "pivot", Text: "8"}}},
		{"no readings", "shim", "readings", "nothing is typed", nil},
		{"no amounts", "shim", "amounts", "nothing is typed", []worksheet.Pair{{Key: "by", Text: "amounts"}}},
		{"feet in a line", "shim", "readings", "not in one line", []worksheet.Pair{{Key: "by", Text: "feet"}, {Key: "readings", Text: "0,0,0; 1,1,0; 2,2,0"}}},
		{"feet without y", "shim", "readings", "has no y", []worksheet.Pair{{Key: "by", Text: "feet"}, {Key: "readings", Text: "0,0,0; 1,,0; 2,3,0"}}},
		{"shim at pivot", "shim", "under", "tilts nothing", []worksheet.Pair{{Key: "readings", Text: "0,,0; 8,,.001"}, {Key: "pivot", Text: "3"}, {Key: "under", Text: "3"}}},
		{"one stylus", "lever", "used", "missing", []worksheet.Pair{{Key: "reading", Text: ".001"}, {Key: "angle", Text: "10"}, {Key: "made", Text: "1"}}},
		{"other stylus", "lever", "made", "missing", []worksheet.Pair{{Key: "reading", Text: ".001"}, {Key: "angle", Text: "10"}, {Key: "used", Text: "1"}}},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := run(t, row.sheet, row.pairs...)
			require.NotNil(t, a.Fault)
			assert.Equal(t, row.field, a.Fault.Field)
			assert.Contains(t, a.Fault.Message, row.says)
		})
	}
}

func TestDMS(t *testing.T) {
	for _, row := range []struct {
		deg  float64
		says string
	}{{0, "0 deg 0' 0.0\""}, {14.0361111, "14 deg 2' 10.0\""}, {-.0222028, "-0 deg 1' 19.9\""}, {1.99999999, "2 deg 0' 0.0\""}} {
		assert.Equal(t, row.says, DMS(row.deg*math.Pi/180))
	}
}

func BenchmarkShimWorst(b *testing.B) {
	var owned []units.Length
	for i := range 24 {
		owned = append(owned, units.Length(3+7*i)*units.Tenth+units.Length(i*i)*units.Micrometre/7)
	}
	for b.Loop() {
		for i := range 8 {
			Packs(owned, 5, 4, units.Length(211+97*i)*units.Tenth)
		}
	}
}
