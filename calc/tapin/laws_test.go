package tapin

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"datumbook/calc/align"
	"datumbook/calc/head"
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
			ask := a.Next(a.E)
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

// The chance is one between 0 and 1, falls as the lean grows, and for two axes is what drawing many
// says.
func TestInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.Float64Range(0, .002).Draw(t, "lean")
		u := rapid.Float64Range(.00001, .001).Draw(t, "unit")
		allow := rapid.Float64Range(.00001, .002).Draw(t, "allow")
		p := Inside([]float64{e}, []float64{u}, allow)
		require.True(t, p >= 0 && p <= 1)
		require.LessOrEqual(t, Inside([]float64{e * 1.5}, []float64{u}, allow), p+1e-12)
		require.InDelta(t, p, Inside([]float64{-e}, []float64{u}, allow), 1e-12)
	})
	r := rand.New(rand.NewPCG(7, 7))
	in, n := 0.0, 200000.0
	for range int(n) {
		if max(math.Abs(.3+.5*r.NormFloat64()), math.Abs(-.6+.4*r.NormFloat64())) <= 1 {
			in++
		}
	}
	assert.InDelta(t, in/n, Inside([]float64{.3, -.6}, []float64{.5, .4}, 1), .004)
}

// run reads a needle of tenths, where the pairs name no other.
func run(pairs ...worksheet.Pair) worksheet.Answer {
	if !slices.ContainsFunc(pairs, func(p worksheet.Pair) bool { return p.Key == "grad" }) {
		pairs = append(pairs, worksheet.Pair{Key: "grad", Text: ".0001"})
	}
	return worksheet.Run(&tapSheet, units.InchSystem, pairs)
}

// The move is the lean by hand: 6 x .9/(.9^2 + .25^2 + (.15 x .9)^2) = 6.06, toward leaving too
// little in half tenths 6.05; a shim gives .95 to .12 and .1: 4.1.
func TestAnswers(t *testing.T) {
	span := worksheet.Pair{Key: "span", Text: "12 in"}
	p := func(text string) worksheet.Pair { return worksheet.Pair{Key: "pairs", Text: text} }
	const out = "Out of line by 6 thou over 12 in, wanted within .5 thou. "
	for _, c := range []struct {
		name  string
		pairs []worksheet.Pair
		mark  worksheet.Mark
		says  string
	}{
		{"far end, away", []worksheet.Pair{p("0, .006"), span}, worksheet.Careful, out +
			"Tap end B 6.05 thou away from the indicator, until the needle there reads -.05 thou."},
		{"the other end stays", []worksheet.Pair{p("0, .006"), span, {Key: "pivot", Text: "b"}}, worksheet.Careful,
			out + "Tap end A 6.05 thou towards the indicator, until the needle there reads 6.05 thou."},
		{"neither stays: away from the indicator", []worksheet.Pair{p(".006, 0"), span, {Key: "pivot", Text: "free"}},
			worksheet.Careful, out + "Tap end A 3.1 thou away from the indicator, until the needle there reads 2.9 " +
				"thou."},
		{"a needle that goes the other way", []worksheet.Pair{p("0, -.006"), span, {Key: "sense", Text: "far"}},
			worksheet.Careful, out + "Tap end B 6.05 thou away from the indicator, until the needle there reads " +
				".05 thou."},
		{"tapped farther out", []worksheet.Pair{p("0, .006"), span, {Key: "reach", Text: "24"}}, worksheet.Careful,
			out + "Tap end B 12.1 thou away from the indicator, until the needle there reads -.05 thou."},
		{"shim in", []worksheet.Pair{p("0, -.004"), span, {Key: "mode", Text: "shim"}}, worksheet.Careful,
			"Out of line by 4 thou over 12 in, wanted within .5 thou. Put in 4.1 thou of shim more under end B."},
		{"shim out", []worksheet.Pair{p("0, .004"), span, {Key: "mode", Text: "shim"}}, worksheet.Careful,
			"Out of line by 4 thou over 12 in, wanted within .5 thou. Take out 4.1 thou of shim from under end B."},
		{"good", []worksheet.Pair{p("0, 0"), span}, worksheet.Good,
			"In line: nothing you could read over 12 in, wanted within .5 thou, sure to .15 thou. Leave it, " +
				"tighten in steps, and read once more."},
		{"read again", []worksheet.Pair{p("0, .0003"), span, {Key: "repeat", Text: ".0001"}}, worksheet.Careful,
			"In line, as near as this needle shows: .3 thou over 12 in, wanted within .5 thou, sure only to .35 " +
				"thou. 2 more readings of each end that agree make it sure. Move nothing, read again, and add the " +
				"row " +
				"with 'none' as what was moved."},
		{"blind", []worksheet.Pair{p("0, 0"), span, {Key: "grad", Text: ".001"}}, worksheet.Careful,
			"In line, as near as this needle shows: nothing you could read over 12 in, wanted within .5 thou, sure " +
				"only to 1.2 thou. A needle of .1 thou would settle it; more readings with this one do not. Leave " +
				"it, " +
				"tighten in steps, and read once more."},
		{"loose", []worksheet.Pair{p("0, 0; 0, .002, none"), span}, worksheet.Stop,
			"End B reads 2 thou apart: it does not repeat."},
		{"head", []worksheet.Pair{{Key: "mode", Text: "head"}, {Key: "sweeps", Text: ".012, 0, 0, .012"},
			{Key: "span", Text: "10"}}, worksheet.Careful,
			"Right and left out of square by 12 thou over 10 in, nearer at the right, wanted within .5 thou. Back " +
				"and front out of square by 12 thou over 10 in, nearer at the front, wanted within .5 thou." +
				" Turn the right-left adjuster 1/8 turn, the way that swings the top to the left. Turn the nod " +
				"adjuster 1/8 turn, the way that swings the top to the back."},
		{"a head's nod that is in", []worksheet.Pair{{Key: "mode", Text: "head"},
			{Key: "sweeps", Text: ".006, 0, -.006, 0"}, {Key: "span", Text: "10"}}, worksheet.Careful,
			"Right and left out of square by 12 thou over 10 in, nearer at the right, wanted within .5 thou. Back " +
				"and front are within what you want. Turn the right-left adjuster 1/8 turn, the way that swings " +
				"the top to the left."},
		{"a head that does not close", []worksheet.Pair{{Key: "mode", Text: "head"},
			{Key: "sweeps", Text: ".003, 0, 0, 0"}, {Key: "span", Text: "10"}}, worksheet.Stop,
			"The sides do not add up: 3 thou between right and left, and back and front."},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := run(c.pairs...)
			require.Nil(t, a.Fault, "%v", a.Fault)
			assert.Equal(t, c.says, a.Text("verdict"))
			assert.Equal(t, c.mark, a.Mark())
			moves := a.Text("end") + a.Text("move") + a.Text("aim") + a.Text("turnx")
			assert.Equal(t, strings.HasPrefix(c.says, "Out") || strings.Contains(c.says, "out of square"),
				moves != "", "moved if and only if out")
		})
	}
}

// The same readings have one verdict, whichever worksheet they are given to.
func TestOneJudgement(t *testing.T) {
	pair := func(key, text string) worksheet.Pair { return worksheet.Pair{Key: key, Text: text} }
	tramSheet, sweepSheet := registrytest.Find(t, align.Sheets(), "tram"), registrytest.Find(t, head.Sheets(), "sweep")
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', 6, 64) }
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.SampledFrom([]float64{.0001, .0005, .001}).Draw(t, "grad")
		allow, grad := pair("allow", number(float64(rapid.IntRange(1, 20).Draw(t, "allow"))*.0001)),
			pair("grad", number(g))
		read := func() string { return number(float64(rapid.IntRange(-3, 3).Draw(t, "y")) * g) }
		pairs, line, sweeps, round := "", "", "", ""
		for i := range rapid.IntRange(1, 3).Draw(t, "times") {
			a, b := read(), read()
			again := worksheet.Either(i > 0, ",none", "")
			pairs += a + "," + b + again + ";"
			line += "0," + a + ";12," + b + ";"
			four := [4]string{read(), read(), read(), read()}
			sweeps += strings.Join(four[:], ",") + worksheet.Either(i > 0, ",0,0", "") + ";"
			for k, y := range four {
				round += strconv.Itoa(90*k) + "," + y + ";"
			}
		}
		same := func(a, b worksheet.Answer, flag string, keys ...string) {
			require.Nil(t, a.Fault, "%v", a.Fault)
			require.Nil(t, b.Fault, "%v", b.Fault)
			require.Equal(t, a.Text(flag), b.Text("done"), "%s | %s", a.Text("verdict"), b.Text("verdict"))
			require.Equal(t, a.Mark(), b.Mark(), "%s | %s", a.Text("verdict"), b.Text("verdict"))
			for i := 0; i < len(keys); i += 2 {
				require.Equal(t, a.Text(keys[i]), b.Text(keys[i+1]))
			}
		}
		tram := worksheet.Run(tramSheet, units.InchSystem, []worksheet.Pair{pair("readings", line), allow, grad})
		tapped := run(pair("pairs", pairs), pair("span", "12"), allow, grad)
		same(tram, tapped, "inline", "total", "lean", "sure", "sure")
		if tram.Mark() != worksheet.Stop {
			said, _, _ := strings.Cut(tram.Text("verdict"), " Keep ")
			require.True(t, strings.HasPrefix(tapped.Text("verdict"), said), "%s | %s", said, tapped.Text("verdict"))
		}
		swept := worksheet.Run(sweepSheet, units.InchSystem,
			[]worksheet.Pair{pair("readings", round), pair("swing", "10"), allow, grad})
		turned := run(pair("mode", "head"), pair("sweeps", sweeps), pair("span", "10"), allow, grad)
		same(swept, turned, "square", "sure", "sure", "closure", "closure")
	})
}

// Thousandths typed as inches are asked about, rows and moves and all.
func TestSlip(t *testing.T) {
	for _, c := range [][4]string{
		{"tap", "pairs", "0, 6; 0, 1.5, b, -4", "0, 6 thou; 0, 1.5 thou, b, -4 thou"},
		{"tap", "pairs", "0, .5", "0, 0.5 thou"},
		{"head", "sweeps", "3, .5, -1, 1.5", "3 thou, 0.5 thou, -1 thou, 1.5 thou"},
	} {
		span, mode := worksheet.Pair{Key: "span", Text: "12"}, worksheet.Pair{Key: "mode", Text: c[0]}
		a := run(span, mode, worksheet.Pair{Key: c[1], Text: c[2]})
		require.Nil(t, a.Fault, "%v", a.Fault)
		require.NotEmpty(t, a.Cautions())
		assert.Equal(t, c[1], a.Cautions()[0].Field)
		assert.Equal(t, c[3], a.Cautions()[0].Means)
		assert.Equal(t, worksheet.Open, a.Mark())
		assert.Empty(t, a.Text("move"))
		meant := run(span, mode, worksheet.Pair{Key: c[1], Text: c[3]})
		require.Nil(t, meant.Fault, "%v", meant.Fault)
		assert.NotEqual(t, worksheet.Open, meant.Mark())
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
		{"no swing", "span", []worksheet.Pair{{Key: "sweeps", Text: "0, 0, 0, 0"}, {Key: "mode", Text: "head"}}},
		{"no spacing, tapped farther out", "span", []worksheet.Pair{{Key: "pairs", Text: "0, 0"}, {Key: "reach", Text: "15"}}},
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

// What the needle is tapped to is a mark of its dial, and short of what was reckoned: 1.6 less
// 1.975 is -.375, and -.25 leaves too little where -.5 would go past. Worked by hand.
func TestAimIsShort(t *testing.T) {
	a := run(worksheet.Pair{Key: "pairs", Text: "0 in, 0.0060 in; 0 in, 0.0016 in"},
		worksheet.Pair{Key: "span", Text: "12 in"}, worksheet.Pair{Key: "grad", Text: ".0005 in"})
	require.Nil(t, a.Fault)
	assert.Contains(t, a.Text("verdict"), "until the needle there reads -.25 thou")
	shown, _, _ := a.Shown("aim")
	assert.Equal(t, "-.25 thou", shown)
}

// A turn that no wrench makes is told by the needle.
func TestSmallTurnIsToldByTheNeedle(t *testing.T) {
	a := run(worksheet.Pair{Key: "mode", Text: "head"}, worksheet.Pair{Key: "span", Text: "10 in"},
		worksheet.Pair{Key: "sweeps", Text: ".003 in, .0005 in, -.001 in, .0015 in"})
	require.Nil(t, a.Fault)
	assert.Contains(t, a.Text("verdict"), "Swing the top of the head to the left until right and left both read 1 thou.")
	assert.NotContains(t, a.Text("verdict"), "less than 1/16")
}
