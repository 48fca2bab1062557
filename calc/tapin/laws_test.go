package tapin

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

// One reading at a time gives what fitting all at once by generalised least
// squares gives: the second way to lean and response. The unknowns are the
// first lean, the response and the slip of each move; the guess and the slips
// are observations too.
func TestSameAsAllAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Model{Guess: .9, GuessUnit: .25, Scatter: 0, Grad: .0001, Repeat: .0001}
		y := rapid.Float64Range(-.02, .02).Draw(t, "first")
		truth := rapid.Float64Range(.6, 1.2).Draw(t, "response")
		a := Start(m, y)
		n := rapid.IntRange(1, 6).Draw(t, "moves")
		rows, want := [][]float64{{1, 0}}, []float64{y}
		sd := []float64{math.Sqrt(m.reading())}
		lean, asked := y, 0.0
		for range n {
			ask := a.Next()
			asked += ask
			lean += truth * ask
			y := lean + rapid.Float64Range(-.0002, .0002).Draw(t, "noise")
			a.Step(ask, y)
			if a.Stuck || a.Wrong || a.VarR > .0624 {
				return // friction or a surprise: not learned from, by rule
			}
			rows, want, sd = append(rows, []float64{1, asked}), append(want, y), append(sd, math.Sqrt(m.reading()))
		}
		rows, want, sd = append(rows, []float64{0, 1}), append(want, m.Guess), append(sd, m.GuessUnit)
		x, b := mat.NewDense(len(rows), 2, nil), mat.NewVecDense(len(rows), nil)
		for i := range rows {
			x.Set(i, 0, rows[i][0]/sd[i])
			x.Set(i, 1, rows[i][1]/sd[i])
			b.SetVec(i, want[i]/sd[i])
		}
		var fit mat.VecDense
		require.NoError(t, fit.SolveVec(x, b))
		require.InDelta(t, fit.AtVec(1), a.R, 1e-8)
		require.InDelta(t, fit.AtVec(0)+fit.AtVec(1)*asked, a.E, 1e-9)
		var normal, inverse mat.Dense
		normal.Mul(x.T(), x)
		require.NoError(t, inverse.Inverse(&normal))
		require.InEpsilon(t, inverse.At(0, 0)+2*asked*inverse.At(0, 1)+asked*asked*inverse.At(1, 1), a.VarE, 1e-6)
	})
}

// The chance is one between 0 and 1, falls as the lean grows, and for two axes
// is what drawing many says.
func TestInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.Float64Range(0, .002).Draw(t, "lean")
		u := rapid.Float64Range(.00001, .001).Draw(t, "unit")
		allow := rapid.Float64Range(.00001, .002).Draw(t, "allow")
		p := Inside([]float64{e}, []float64{u}, allow)
		require.True(t, p >= 0 && p <= 1)
		require.LessOrEqual(t, Inside([]float64{e * 1.5}, []float64{u}, allow), p+1e-12)
		require.InDelta(t, p, Inside([]float64{-e}, []float64{u}, allow), 1e-12)
		two := Inside([]float64{e, 0}, []float64{u, u}, allow)
		require.LessOrEqual(t, two, p+1e-9)
		require.InDelta(t, two, Inside([]float64{0, e}, []float64{u, u}, allow), .001)
	})
	r := rand.New(rand.NewPCG(7, 7))
	in, n := 0.0, 200000.0
	for range int(n) {
		if math.Hypot(.3+.5*r.NormFloat64(), -.6+.4*r.NormFloat64()) <= 1 {
			in++
		}
	}
	assert.InDelta(t, in/n, Inside([]float64{.3, -.6}, []float64{.5, .4}, 1), .004)
}

func run(pairs ...worksheet.Pair) worksheet.Answer {
	return worksheet.Run(&tapSheet, units.InchSystem, pairs)
}

func TestAnswers(t *testing.T) {
	span := worksheet.Pair{Key: "span", Text: "12 in"}
	p := func(text string) worksheet.Pair { return worksheet.Pair{Key: "pairs", Text: text} }
	for _, c := range []struct {
		name  string
		pairs []worksheet.Pair
		says  string
	}{
		{"far end, away", []worksheet.Pair{p("0, .006"), span}, "Tap end B by 0.00606 in away from the indicator"},
		{"the other end stays", []worksheet.Pair{p("0, .006"), span, {Key: "pivot", Text: "b"}}, "Tap end A by 0.00606 in towards the indicator"},
		{"neither stays: away from the indicator", []worksheet.Pair{p(".006, 0"), span, {Key: "pivot", Text: "free"}}, "Tap end A by 0.00311 in away"},
		{"a needle that goes the other way", []worksheet.Pair{p("0, -.006"), span, {Key: "sense", Text: "far"}}, "Tap end B by 0.00606 in away from the indicator: until the needle there reads 0.00006 in"},
		{"tapped farther out", []worksheet.Pair{p("0, .006"), span, {Key: "reach", Text: "24"}}, "Tap end B by 0.01212 in away"},
		{"shim in", []worksheet.Pair{p("0, -.004"), span, {Key: "mode", Text: "shim"}}, "Put in 0.0041 in of shim more under end B"},
		{"shim out", []worksheet.Pair{p("0, .004"), span, {Key: "mode", Text: "shim"}}, "Take out 0.0041 in of shim from under end B"},
		{"good", []worksheet.Pair{p("0, 0"), span}, "Good enough"},
		{"read again", []worksheet.Pair{p("0, .0003"), span, {Key: "repeat", Text: ".0001"}}, "read again"},
		{"blind", []worksheet.Pair{p("0, 0"), span, {Key: "grad", Text: ".001"}, {Key: "allow", Text: ".0005"}}, "As near as this indicator can tell"},
		{"head", []worksheet.Pair{{Key: "mode", Text: "head"}, {Key: "sweeps", Text: ".004, 0, 0, .004"}, {Key: "span", Text: "10"}}, "right-left adjuster 0.058 of a turn, the way that swings the top to the left. Turn the nod adjuster 0.058 of a turn, the way that swings the top to the back"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := run(c.pairs...)
			require.Nil(t, a.Fault, "%v", a.Fault)
			assert.Contains(t, a.Text("verdict"), c.says)
		})
	}
}

func TestFriction(t *testing.T) {
	a := run(worksheet.Pair{Key: "pairs", Text: "0, .006; 0, .006"}, worksheet.Pair{Key: "span", Text: "12"})
	assert.Contains(t, a.Text("history"), "stuck")
	assert.Equal(t, "90.0%", a.Text("gain")) // nothing learned of the response
	assert.NotEmpty(t, a.Text("sticks"))
	a = run(worksheet.Pair{Key: "pairs", Text: "0, .006; 0, .011"}, worksheet.Pair{Key: "span", Text: "12"})
	assert.Contains(t, a.Text("history"), "wrong way")
	assert.Equal(t, "90.0%", a.Text("gain"))
	require.NotEmpty(t, a.Cautions())
	assert.Equal(t, worksheet.Refusal, a.Cautions()[0].Level)
}

// A row that says what was told equals a row that says nothing.
func TestAsTold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		task := Task{Way: Tap, Span: 12, Allow: .0005, Certain: .95, Grad: .0001, Repeat: .0001, Pivot: rapid.SampledFrom([]string{"a", "b", "free"}).Draw(t, "pivot")}
		first := Pair{B: rapid.Float64Range(.002, .02).Draw(t, "lean")}
		s, f := Follow(task, []Pair{first})
		require.Nil(t, f)
		next := Pair{A: rapid.Float64Range(-.001, .001).Draw(t, "a"), B: rapid.Float64Range(-.001, .004).Draw(t, "b")}
		told := next
		told.At, told.Ask, told.HasAsk = s.At, s.Ask[0], true
		one, f := Follow(task, []Pair{first, next})
		require.Nil(t, f)
		two, f := Follow(task, []Pair{first, told})
		require.Nil(t, f)
		require.Equal(t, one.Axes, two.Axes)
	})
}

func TestRefusals(t *testing.T) {
	span := worksheet.Pair{Key: "span", Text: "12"}
	for _, c := range []struct {
		name, field string
		pairs       []worksheet.Pair
	}{
		{"nothing read", "pairs", []worksheet.Pair{span}},
		{"no sweep", "sweeps", []worksheet.Pair{span, {Key: "mode", Text: "head"}}},
		{"no spacing", "span", []worksheet.Pair{{Key: "pairs", Text: "0, 0"}}},
		{"moved before the first", "pairs", []worksheet.Pair{span, {Key: "pairs", Text: "0, .006, b, .003"}}},
		{"turned before the first", "sweeps", []worksheet.Pair{span, {Key: "mode", Text: "head"}, {Key: "sweeps", Text: "0, 0, 0, 0, 1"}}},
		{"moved nothing by something", "pairs", []worksheet.Pair{span, {Key: "pairs", Text: "0, .006; 0, .006, none, .003"}}},
		{"a mile", "pairs", []worksheet.Pair{span, {Key: "pairs", Text: "0, 63360"}}},
		{"no tolerance", "allow", []worksheet.Pair{span, {Key: "pairs", Text: "0, 0"}, {Key: "allow", Text: "0"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := run(c.pairs...)
			require.NotNil(t, a.Fault)
			assert.Equal(t, c.field, a.Fault.Field)
			assert.NotEmpty(t, a.Fault.Message)
		})
	}
}

// Reading again and again, moving nothing, comes to an end: it is good enough,
// blind, or wants a move.
func TestComesToAnEnd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		task := Task{Way: Tap, Span: 12, Allow: rapid.Float64Range(.0001, .002).Draw(t, "allow"), Certain: .95, Grad: rapid.Float64Range(.00005, .001).Draw(t, "grad"), Repeat: rapid.Float64Range(0, .0005).Draw(t, "repeat"), Pivot: "a"}
		pairs := []Pair{{B: rapid.Float64Range(-.003, .003).Draw(t, "lean")}}
		for range 12 {
			s, f := Follow(task, pairs)
			require.Nil(t, f)
			if s.State != Again {
				return
			}
			pairs = append(pairs, Pair{B: pairs[0].B, At: "none"})
		}
		t.Fatalf("still reading after %d", len(pairs))
	})
}
