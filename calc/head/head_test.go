package head

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"datumbook/calc/align"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

func run(t testing.TB, name string, pairs ...worksheet.Pair) worksheet.Answer {
	t.Helper()
	return registrytest.Run(t, Sheets(), name, pairs...)
}

// A surface is read by a tip swung on a tilted spindle in space: the second way
// to the tilt. The spindle's top leans by the given slopes to the right and to
// the back; its arm goes round at right angles to it.
func TestSweepInSpace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ax, ay := rapid.Float64Range(-.002, .002).Draw(t, "right"), rapid.Float64Range(-.002, .002).Draw(t, "back")
		const r = 5.0
		n := math.Sqrt(1 + ax*ax + ay*ay)
		k := [3]float64{ax / n, ay / n, 1 / n} // the spindle, upwards
		u := [3]float64{k[2], 0, -k[0]}        // a direction across it, to the right
		un := math.Hypot(u[0], u[2])
		u[0], u[2] = u[0]/un, u[2]/un
		v := [3]float64{k[1]*u[2] - k[2]*u[1], k[2]*u[0] - k[0]*u[2], k[0]*u[1] - k[1]*u[0]}
		var a, y []float64
		for i := range 12 {
			at := float64(30*i) * degree
			a = append(a, float64(30*i))
			y = append(y, -r*(math.Cos(at)*u[2]+math.Sin(at)*v[2])) // lower arm, nearer table
		}
		l, f := Judge(Sweep{Angle: a, Y: y, Dia: 2 * r, Noise: align.Noise{Grad: .0005}, Allow: .0005})
		require.Nil(t, f)
		require.InDelta(t, ax, l.X, 1e-7) // + right reads nearer when the top leans right
		require.InDelta(t, ay, l.Y, 1e-7)
		require.InDelta(t, 0, l.Second, 1e-12)
	})
}

func TestSweepAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 24).Draw(t, "n")
		var a, y []float64
		for i := range n {
			a = append(a, float64(i)*360/float64(n)+rapid.Float64Range(.1, 10).Draw(t, "a"))
			y = append(y, math.Round(rapid.Float64Range(-.01, .01).Draw(t, "y")*1e6)/1e6)
		}
		l, f := Judge(Sweep{Angle: a, Y: y, Dia: 2, Noise: align.Noise{Grad: .0005}})
		require.Nil(t, f)
		m := mat.NewDense(n, 5, nil)
		for i := range a {
			t := a[i] * degree
			m.SetRow(i, []float64{1, math.Cos(t), math.Sin(t), math.Cos(2 * t), math.Sin(2 * t)})
		}
		var x mat.VecDense
		require.NoError(t, x.SolveVec(m, mat.NewVecDense(n, y)))
		require.InDelta(t, x.AtVec(1), l.X, 1e-11)
		require.InDelta(t, x.AtVec(2), l.Y, 1e-11)
		require.InDelta(t, math.Hypot(x.AtVec(3), x.AtVec(4)), l.Second, 1e-11)
	})
}

// simulate finds the hollow by running the tips of a tilted cutter along the
// feed: the second way to the dish.
func simulate(p Pass) float64 {
	phi := math.Atan(p.Along)
	r := p.Dia / 2
	low, high := math.Inf(1), math.Inf(-1)
	for i := range 2001 {
		y := p.Offset - p.Width/2 + p.Width*float64(i)/2000
		// The tip at angle t stands at across r sin t, along r cos t; tilted, its
		// height is r cos t sin phi. The lowest that passes y shapes the floor.
		z := math.Inf(1)
		for _, sign := range []float64{1, -1} {
			c := sign * math.Sqrt(max(0, 1-y*y/r/r))
			z = min(z, r*c*math.Sin(phi))
		}
		low, high = min(low, z), max(high, z)
	}
	return high - low
}

func TestDishBySimulation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Pass{Dia: rapid.Float64Range(.5, 12).Draw(t, "dia"), Along: rapid.Float64Range(0, .05).Draw(t, "tilt")}
		p.Width = p.Dia * rapid.Float64Range(.01, 1).Draw(t, "width")
		p.Offset = (p.Dia - p.Width) / 2 * rapid.Float64Range(-1, 1).Draw(t, "offset")
		require.InDelta(t, simulate(p), Dish(p).Hollow, 1e-4*p.Dia*p.Along+1e-12)
	})
}

func TestDishLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Pass{Dia: rapid.Float64Range(.5, 12).Draw(t, "dia"), Along: rapid.Float64Range(1e-6, .05).Draw(t, "tilt")}
		p.Width = p.Dia * rapid.Float64Range(.01, .9).Draw(t, "width")
		f := Dish(p)
		wider, steeper := p, p
		wider.Width *= 1.1
		steeper.Along *= 2
		require.Greater(t, Dish(wider).Hollow, f.Hollow)
		require.Greater(t, Dish(steeper).Hollow, f.Hollow)
		require.InEpsilon(t, p.Along, MostTilt(p, f.Hollow), 1e-9)
	})
}

// Turning the square changes the sign of its error and nothing else.
func TestReversalLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, s := rapid.Float64Range(-.001, .001).Draw(t, "machine"), rapid.Float64Range(-.001, .001).Draw(t, "square")
		u := Upright{Noise: align.Noise{Grad: .0001}, Allow: .0005}
		for _, h := range []float64{1, 4, 7, 11} {
			u.H = append(u.H, h)
			u.A = append(u.A, .002+h*(m+s))
			u.B = append(u.B, -.001+h*(m-s))
		}
		a, f := Reverse(u)
		require.Nil(t, f)
		require.InDelta(t, m, a.Machine, 1e-13)
		require.InDelta(t, s, a.Object, 1e-13)
		u.Piece = true
		b, f := Reverse(u)
		require.Nil(t, f)
		require.InDelta(t, m, b.Object, 1e-13)
		require.InDelta(t, s, b.Machine, 1e-13)
		p, f := Point(Barred{Z: u.H, A: u.A, B: u.B, Noise: align.Noise{Grad: .0001}})
		require.Nil(t, f)
		require.InDelta(t, m, p.Slope, 1e-13)
	})
}

func p(key, text string) worksheet.Pair { return worksheet.Pair{Key: key, Text: text} }

// sides gives the four readings, over a swing of 10 in.
func four(right, back, left, front string, more ...worksheet.Pair) []worksheet.Pair {
	return append([]worksheet.Pair{p("right", right), p("back", back), p("left", left), p("front", front),
		p("swing", "10")}, more...)
}

func TestSweepSheet(t *testing.T) {
	a := run(t, "sweep", four(".003", ".0005", "-.001", ".0015", p("distx", "8"), p("pitchx", ".05"),
		p("cutter", "6"), p("width", "4"))...)
	require.Nil(t, a.Fault)
	assert.Equal(t, "Right and left out of square by 4 thou over 10 in, nearer at the right, wanted within .5 thou."+
		" Back and front out of square by 1 thou over 10 in, nearer at the front, wanted within .5 thou, as near "+
		"as this needle shows: sure only to .6 thou."+
		" Swing the top of the head to the left until right and left both read 1 thou. Nod the top of the head to "+
		"the back until back and front both read 1 thou.", a.Text("verdict"))
	assert.Equal(t, "0.064", a.Text("turnx")) // 4/10 thou an inch, 8 in, .05 a turn
	shown, _, _ := a.Shown("turnx")
	assert.Equal(t, "1/16", shown)
	assert.Equal(t, "0.0010 in", a.Text("mean"))
	assert.Contains(t, a.Rows("todo")[0], "Swing the top of the head to the left")
	assert.Contains(t, a.Rows("todo")[1], "Nod the top of the head to the back")
	level := run(t, "sweep", four(".003", ".0005", "-.001", ".0015", p("machine", "level"))...)
	assert.Contains(t, level.Rows("todo")[0], "Move the right side of the plate away")
	assert.Contains(t, level.Rows("todo")[1], "Move the bottom of the plate away")
	radius := run(t, "sweep", p("right", ".003"), p("back", ".0005"), p("left", "-.001"), p("front", ".0015"),
		p("swing", "5"), p("is", "radius"))
	assert.Equal(t, a.Text("tiltx"), radius.Text("tiltx"))
	table := run(t, "sweep", p("readings", "0,.003; 90,.0005; 180,-.001; 270,.0015"), p("swing", "10"))
	assert.Equal(t, a.Text("tilty"), table.Text("tilty"))
	far := run(t, "sweep", four(".003", ".0005", "-.001", ".0015", p("sense", "far"))...)
	assert.Contains(t, far.Text("verdict"), "nearer at the left")
}

// Each by hand: an axis is one side less the one across, over the swing; two readings are sure to
// 1.154 graduations.
func TestSweepAnswers(t *testing.T) {
	swing := p("swing", "10")
	for _, row := range []struct {
		name  string
		pairs []worksheet.Pair
		mark  worksheet.Mark
		says  string
		todo  int
	}{
		{"right and left alone, and back to the first", []worksheet.Pair{p("right", ".0015"), p("left", "-.0005"),
			p("readings", "0,.0015"), swing}, worksheet.Careful,
			"Right and left out of square by 2 thou over 10 in, nearer at the right, wanted within .5 thou. Back " +
				"and front were not read: that axis is not judged. Swing the top of the head to the left until " +
				"right and left both read .5 thou.", 2},
		{"square on the one axis read", []worksheet.Pair{p("right", ".0001"), p("left", "0"), p("grad", ".0001"),
			swing}, worksheet.Good,
			"Right and left square: .1 thou over 10 in, nearer at the right, wanted within .5 thou, sure to .15 " +
				"thou. Back and front were not read: that axis is not judged.", 0},
		{"back and front alone", []worksheet.Pair{p("back", "0"), p("front", ".003"), swing}, worksheet.Careful,
			"Back and front out of square by 3 thou over 10 in, nearer at the front, wanted within .5 thou. Right " +
				"and left were not read: that axis is not judged. Nod the top of the head to the back until back " +
				"and front both read 1.5 thou.", 2},
		{"right and left out, back and front zero", four(".002", "0", "-.002", "0"), worksheet.Careful,
			"Right and left out of square by 4 thou over 10 in, nearer at the right, wanted within .5 thou. Back " +
				"and front are within what you want. Swing the top of the head to the left until right and left " +
				"both read 0 thou.", 2},
		// (1.5 - .5) - 0 = 1 thou, over 1.53 x .5.
		{"does not close", four(".0015", "0", "-.0005", "0"), worksheet.Stop,
			"The sides do not add up: 1 thou between right and left, and back and front.", 0},
		{"does not close, swept twice", four(".0015", "0", "-.0005", "0",
			p("readings", "0,.0015; 90,0; 180,-.0005; 270,0")), worksheet.Careful,
			"Right and left out of square by 2 thou over 10 in, nearer at the right, wanted within .5 thou. Back " +
				"and front are within what you want. Swing the top of the head to the left until right and left " +
				"both read .5 thou.", 2},
		// .6 is over 1.08 x .5.
		{"the first side reads otherwise at the end", four("0", "0", "0", "0", p("readings", "0,.0006")),
			worksheet.Stop,
			"The right reads .6 thou off what it read at first: something moved.", 0},
		{"does not repeat", four("0", "0", "0", "0", p("readings", "90,.0015")), worksheet.Stop,
			"The back reads 1.5 thou apart: it does not repeat.", 0},
		{"square, by tenths", four(".0001", "0", "0", ".0001", p("grad", ".0001")), worksheet.Good,
			"Right and left square: .1 thou over 10 in, nearer at the right, wanted within .5 thou, sure to .15 " +
				"thou. Back and front square: .1 thou over 10 in, nearer at the front, wanted within .5 thou, sure " +
				"to .15 thou.", 0},
		{"coarse", four(".001", "0", "-.001", "0", p("grad", ".01"), p("allow", ".005")), worksheet.Careful,
			"Right and left square, as near as this needle shows: nothing you could read over 10 in, wanted within " +
				"5 thou, sure only to 11.6 thou. A needle of 1 thou would settle it; more readings with this one " +
				"do not. Back and front square, as near as this needle shows: nothing you could read over 10 in, " +
				"wanted within 5 thou, sure only to 11.6 thou. A needle of 1 thou would settle it; more readings " +
				"with this one do not.", 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := run(t, "sweep", row.pairs...)
			require.Nil(t, a.Fault, "%v", a.Fault)
			assert.Equal(t, row.says, a.Text("verdict"))
			assert.Equal(t, row.mark, a.Mark())
			assert.Len(t, a.Rows("todo"), row.todo)
		})
	}
	one := run(t, "sweep", p("right", "0"), p("left", "0"), p("grad", ".0001"), swing)
	assert.Empty(t, one.Text("square"), "the whole is not judged")
	assert.Equal(t, "yes", one.Text("squarex"))
	assert.Empty(t, one.Text("tilty"))
	cut := run(t, "sweep", p("right", "0"), p("left", "0"), p("cutter", "6"), p("feed", "y"), swing)
	assert.Empty(t, cut.Text("hollow"), "of an axis not read")
}

// Thousandths typed as inches are asked about.
func TestSlips(t *testing.T) {
	for _, row := range []struct {
		sheet, field, means string
		pairs               []worksheet.Pair
	}{
		{"sweep", "right", "3 thou", four("3", "0", "-1", "0")},
		{"sweep", "readings", "0, 0.5 thou; 90, 0; 180, 0", []worksheet.Pair{p("readings", "0,.5; 90,0; 180,0"),
			p("swing", "10")}},
		{"square", "readings", "0, 0, 0; 12, 1.6 thou, 0.4 thou", []worksheet.Pair{p("readings", "0,0,0; 12,1.6,.4")}},
		{"square", "readings", "0, 0; 12, 1.6 thou", []worksheet.Pair{p("readings", "0,0; 12,1.6"), p("turned", "no")}},
		{"bar", "readings", "1, 0, 1 thou; 13, 2 thou, 0.6 thou", []worksheet.Pair{p("readings", "1,0,1; 13,2,.6")}},
		{"dish", "along", "1 thou/ft", []worksheet.Pair{p("cutter", "6"), p("along", "1")}},
	} {
		a := run(t, row.sheet, row.pairs...)
		require.Nil(t, a.Fault, "%v", a.Fault)
		require.NotEmpty(t, a.Cautions())
		assert.Equal(t, row.field, a.Cautions()[0].Field)
		assert.Equal(t, row.means, a.Cautions()[0].Means)
		for _, key := range []string{"square", "is", "inline"} {
			for _, r := range registrytest.Find(t, Sheets(), row.sheet).Results {
				if r.Key == key {
					assert.Empty(t, a.Text(key))
				}
			}
		}
		if len(row.pairs) > 3 {
			continue
		}
		for i := range row.pairs {
			if row.pairs[i].Key == row.field {
				row.pairs[i].Text = row.means
			}
		}
		meant := run(t, row.sheet, row.pairs...)
		require.Nil(t, meant.Fault, "%v", meant.Fault)
		for _, c := range meant.Cautions() {
			assert.Empty(t, c.Field)
		}
	}
	metric := worksheet.Run(registrytest.Find(t, Sheets(), "sweep"), units.MetricSystem,
		[]worksheet.Pair{p("right", "4"), p("left", "0"), p("swing", "250"), p("grad", "0.01")})
	assert.Equal(t, "0.04", metric.Cautions()[0].Means)
}

// The agreeing sweep more never makes it worse, and mirrored sides swap their names.
func TestSweepLaws(t *testing.T) {
	tenths := rapid.IntRange(-20, 20)
	rapid.Check(t, func(t *rapid.T) {
		s := Sweep{Dia: 10, Noise: align.Noise{Grad: rapid.SampledFrom([]float64{.0001, .0005}).Draw(t, "grad")},
			Allow: float64(rapid.IntRange(1, 20).Draw(t, "allow")) * .0001}
		for range rapid.IntRange(1, 2).Draw(t, "sweeps") {
			for k := range 4 {
				s.Angle = append(s.Angle, float64(90*k))
				s.Y = append(s.Y, float64(tenths.Draw(t, "y"))*s.Noise.Grad)
			}
		}
		was, f := Judge(s)
		require.Nil(t, f)
		mirror := s
		mirror.Angle = nil
		for _, a := range s.Angle {
			mirror.Angle = append(mirror.Angle, math.Mod(540-a, 360))
		}
		m, f := Judge(mirror)
		require.Nil(t, f)
		require.InDelta(t, -was.X, m.X, 1e-12)
		require.InDelta(t, was.Y, m.Y, 1e-12)
		require.Equal(t, was.Open, m.Open)
		require.Equal(t, was.Trouble == nil, m.Trouble == nil)
		i := rapid.IntRange(0, len(s.Y)-1).Draw(t, "again")
		s.Angle, s.Y = append(s.Angle, s.Angle[i]), append(s.Y, s.Y[i])
		is, f := Judge(s)
		require.Nil(t, f)
		require.True(t, was.Trouble != nil || is.Trouble == nil)
		require.True(t, was.Open || !is.Open)
		for k := range 2 {
			require.InDelta(t, was.Axes[k].T, is.Axes[k].T, 1e-12)
			require.LessOrEqual(t, is.Axes[k].U, was.Axes[k].U+1e-15)
			require.True(t, is.Axes[k].Sure || !was.Axes[k].Sure)
		}
	})
}

func TestRefusals(t *testing.T) {
	swing := worksheet.Pair{Key: "swing", Text: "10"}
	for _, row := range []struct {
		name, sheet, field, says string
		pairs                    []worksheet.Pair
	}{
		{"one side", "sweep", "right", "two sides", []worksheet.Pair{swing, {Key: "right", Text: "0"}}},
		{"two sides not across", "sweep", "readings", "across",
			[]worksheet.Pair{swing, {Key: "right", Text: "0"}, {Key: "back", Text: "0"}}},
		{"one angle", "sweep", "readings", "not spread", []worksheet.Pair{swing, {Key: "readings", Text: "0,0;0,0;360,.001"}}},
		{"no distance", "sweep", "distx", "missing", []worksheet.Pair{swing, {Key: "readings", Text: "0,0;90,0;180,.001"}, {Key: "pitchx", Text: ".05"}}},
		{"wide cut", "sweep", "width", "wider", []worksheet.Pair{swing, {Key: "readings", Text: "0,0;90,0;180,.001"}, {Key: "cutter", Text: "2"}, {Key: "width", Text: "3"}}},
		{"wide pass", "dish", "width", "wider", []worksheet.Pair{{Key: "cutter", Text: "2"}, {Key: "width", Text: "3"}}},
		{"beyond", "dish", "offset", "beyond", []worksheet.Pair{{Key: "cutter", Text: "4"}, {Key: "width", Text: "3"}, {Key: "offset", Text: "1"}}},
		{"offset, no width", "dish", "width", "off the middle", []worksheet.Pair{{Key: "cutter", Text: "4"}, {Key: "offset", Text: "1"}}},
		{"wide step", "dish", "step", "standing", []worksheet.Pair{{Key: "cutter", Text: "4"}, {Key: "step", Text: "5"}}},
		{"not turned", "square", "readings", "after turning", []worksheet.Pair{{Key: "readings", Text: "0,0;6,.001"}}},
		{"low", "square", "readings", "less than 0.1", []worksheet.Pair{{Key: "readings", Text: "0,0,0;.05,.001,0"}}},
		{"short bar", "bar", "readings", "less than 0.1", []worksheet.Pair{{Key: "readings", Text: "0,0,0;.05,.001,0"}}},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := run(t, row.sheet, row.pairs...)
			require.NotNil(t, a.Fault)
			assert.Equal(t, row.field, a.Fault.Field)
			assert.Contains(t, a.Fault.Message, row.says)
		})
	}
}

// By hand: half the sum and half the difference of what top and bottom read apart; four readings
// turned round are sure to .816 graduations.
func TestSquareSheet(t *testing.T) {
	for _, row := range []struct {
		name  string
		pairs []worksheet.Pair
		mark  worksheet.Mark
		says  string
	}{
		{"turned", []worksheet.Pair{p("readings", "0,0,0; 6,.0008,.0002; 12,.0016,.0004"), p("grad", ".0001")},
			worksheet.Careful,
			"The machine's slide is out of square by 1 thou over 12 in, its top towards the indicator, wanted " +
				"within .5 thou. The square itself leans .6 thou."},
		{"turned over six", []worksheet.Pair{p("readings", "0,0,0; 6,.0012,-.0004"), p("grad", ".0001")},
			worksheet.Good,
			"The machine's slide is square: .4 thou over 6 in, its top towards the indicator, wanted within .5 " +
				"thou, sure to .1 thou. The square itself leans .8 thou."},
		{"plate turned", []worksheet.Pair{p("readings", "0,0,0; 12,.0016,.0004"), p("grad", ".0001"),
			p("turned", "plate")}, worksheet.Careful,
			"The plate is out of square by 1 thou over 12 in, its top towards the indicator, wanted within .5 " +
				"thou. The machine itself leans .6 thou."},
		{"one tick", []worksheet.Pair{p("readings", "0,0,0; 6,.0005,0; 12,.0005,0"), p("allow", ".001")},
			worksheet.Good,
			"The machine's slide is square: .25 thou over 12 in, its top towards the indicator, wanted within 1 " +
				"thou, sure to .5 thou. The square itself leans .25 thou."},
		{"nothing known of the square", []worksheet.Pair{p("readings", "0,0; 12,.001"), p("turned", "no")},
			worksheet.Open,
			"Leans 1 thou over 12 in, its top towards the indicator, machine and square together: turn the square " +
				"and read again to part them."},
		{"its error known", []worksheet.Pair{p("readings", "0,0; 12,.0016"), p("turned", "no"), p("error", ".0006"),
			p("grad", ".0001")}, worksheet.Careful,
			"What was read is out of square by 1 thou over 12 in, its top towards the indicator, wanted within .5 " +
				"thou."},
		// .115 of the needle and .2 of the certificate.
		{"certified", []worksheet.Pair{p("readings", "0,0; 12,.0001"), p("turned", "no"), p("within", ".0002"),
			p("grad", ".0001")}, worksheet.Good,
			"What was read is square: .1 thou over 12 in, its top towards the indicator, wanted within .5 thou, " +
				"sure to .35 thou."},
		{"does not repeat", []worksheet.Pair{p("readings", "0,0,0; 12,0,0; 12,.002,0")}, worksheet.Stop,
			"The place at 12 in reads 2 thou apart: it does not repeat."},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := run(t, "square", row.pairs...)
			require.Nil(t, a.Fault, "%v", a.Fault)
			assert.Equal(t, row.says, a.Text("verdict"))
			assert.Equal(t, row.mark, a.Mark())
		})
	}
}

// By hand: .2 + .06 less .0 + .1, halved, is .8 thou over 12; the bar is off by 1.4 at the end.
func TestBarSheet(t *testing.T) {
	a := run(t, "bar", p("readings", "1,0,.001; 13,.002,.0006"), p("grad", ".0001"))
	assert.Equal(t, "The spindle is out of line by .8 thou over 12 in, its far end towards the indicator, wanted "+
		"within .5 thou. The bar runs out 1.4 thou by itself.", a.Text("verdict"))
	good := run(t, "bar", p("readings", "1,0,.001; 13,.0002,.001"), p("grad", ".0001"))
	assert.Equal(t, worksheet.Good, good.Mark())
	loose := run(t, "bar", p("readings", "1,0,0; 13,0,0; 13,.002,0"))
	assert.Equal(t, worksheet.Stop, loose.Mark())
}

// A hollow rounded up does not cross what is wanted.
func TestDishSheet(t *testing.T) {
	a := run(t, "dish", p("cutter", "6"), p("width", "4"), p("along", ".0064"),
		p("flat", ".00045")) // 64 times 6.366 millionths
	assert.Equal(t, "Hollows .41 thou over 4 in of cut, you want .45 thou.", a.Text("verdict"))
	assert.Equal(t, worksheet.Good, a.Mark())
	more := run(t, "dish", p("cutter", "6"), p("width", "4"), p("along", ".009"))
	assert.Equal(t, "Hollows .6 thou over 4 in of cut, you want .5 thou: lean less, or cut narrower.",
		more.Text("verdict"))
	assert.Equal(t, worksheet.Careful, more.Mark())
}
