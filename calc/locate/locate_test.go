package locate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
	"pgregory.net/rapid"

	"datumbook/calc/fitting"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

func run(t testing.TB, name string, pairs ...worksheet.Pair) worksheet.Answer {
	t.Helper()
	return registrytest.Run(t, Sheets(), name, pairs...)
}

func p(key, text string) worksheet.Pair { return worksheet.Pair{Key: key, Text: text} }

// A round finder brought up to an edge stops where its rim meets it: the edge is
// found wherever it is, from either side.
func TestEdgeLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		edge, tip, gap := rapid.Float64Range(-50, 50).Draw(t, "edge"), rapid.Float64Range(.01, 1).Draw(t, "tip"), rapid.Float64Range(0, .1).Draw(t, "gap")
		side := rapid.SampledFrom([]Side{Left, Right, Front, Back}).Draw(t, "side")
		stands := edge - (tip/2 + gap)
		if side == Right || side == Back {
			stands = edge + (tip/2 + gap)
		}
		e, f := FindEdge(side, tip, gap, 0, []float64{stands})
		require.Nil(t, f)
		require.InDelta(t, edge, e.At, 1e-12)
		require.InDelta(t, edge, stands+e.Move, 1e-12)
		require.InDelta(t, stands-edge, e.Set, 1e-12) // the readout counts from the edge
	})
}

func TestMiddleLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low, width, tip := rapid.Float64Range(-20, 20).Draw(t, "low"), rapid.Float64Range(1, 20).Draw(t, "width"), rapid.Float64Range(0, .9).Draw(t, "tip")
		r := tip / 2
		for _, row := range []struct {
			p    Pair
			a, b float64
		}{{Outside, low - r, low + width + r}, {Inside, low + r, low + width - r}, {Low, low - r, low + width - r}, {High, low + r, low + width + r}} {
			for range 2 {
				m, f := FindMiddle(row.p, row.a, row.b, tip)
				require.Nil(t, f)
				require.InDelta(t, low+width/2, m.At, 1e-12)
				require.InDelta(t, width, m.Width, 1e-12)
				require.InDelta(t, m.At, row.b+m.Move, 1e-12)
				row.a, row.b = row.b, row.a // either edge first
			}
		}
	})
}

// A bore touched in known places is found, and the fit agrees with a general
// minimiser.
func TestBoreLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y, dia, tip := rapid.Float64Range(-20, 20).Draw(t, "x"), rapid.Float64Range(-20, 20).Draw(t, "y"), rapid.Float64Range(1, 12).Draw(t, "dia"), rapid.Float64Range(0, .5).Draw(t, "tip")
		inside := rapid.Bool().Draw(t, "inside")
		r := dia/2 + tip/2
		if inside {
			r = dia/2 - tip/2
		}
		var touches []fitting.Point
		n := rapid.IntRange(3, 9).Draw(t, "n")
		for i := range n {
			a := (float64(i) + rapid.Float64Range(0, .4).Draw(t, "a")) * 2 * math.Pi / float64(n)
			touches = append(touches, fitting.Point{X: x + r*math.Cos(a), Y: y + r*math.Sin(a)})
		}
		b, f := FindBore(touches, inside, tip, .0005)
		require.Nil(t, f)
		require.InDelta(t, x, b.X, 1e-9)
		require.InDelta(t, y, b.Y, 1e-9)
		require.InDelta(t, dia, b.Dia, 1e-9)
		require.InDelta(t, 0, b.Form, 1e-9)
	})
}

func TestBoreAgainstGonum(t *testing.T) {
	touches := pts(2.001, .002, .4, 1.961, -2.0005, 0, .1, -1.9981, 1.4142, 1.4150, -1.41, 1.417)
	b, f := FindBore(touches, true, 0, 0)
	require.Nil(t, f)
	sum := func(v []float64) float64 {
		s := 0.0
		for _, q := range touches {
			e := math.Hypot(q.X-v[0], q.Y-v[1]) - v[2]
			s += e * e
		}
		return s
	}
	r, err := optimize.Minimize(optimize.Problem{Func: sum}, []float64{0, 0, 2}, nil, &optimize.NelderMead{})
	require.NoError(t, err)
	assert.InDelta(t, r.X[0], b.X, 1e-5)
	assert.InDelta(t, r.X[1], b.Y, 1e-5)
	assert.InDelta(t, r.X[2], b.R, 1e-5)
	assert.LessOrEqual(t, sum([]float64{b.X, b.Y, b.R}), r.F+1e-15)
}

// The second way to the turn: singular values, as Kabsch's paper has it.
func TestFrameAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(t, "n")
		angle := rapid.Float64Range(-3, 3).Draw(t, "angle")
		cos, sin := math.Cos(angle), math.Sin(angle)
		var fs []Feature
		var mx, my, ax, ay float64
		for i := range n {
			a := fitting.Point{X: float64(3*i) + rapid.Float64Range(0, 1).Draw(t, "x"), Y: rapid.Float64Range(-5, 5).Draw(t, "y")}
			b := fitting.Point{X: 7 + a.X*cos - a.Y*sin + rapid.Float64Range(-.01, .01).Draw(t, "ex"), Y: -2 + a.X*sin + a.Y*cos + rapid.Float64Range(-.01, .01).Draw(t, "ey")}
			fs = append(fs, Feature{a, b})
			ax, ay, mx, my = ax+a.X/float64(n), ay+a.Y/float64(n), mx+b.X/float64(n), my+b.Y/float64(n)
		}
		fr, f := FindFrame(fs)
		require.Nil(t, f)
		h := mat.NewDense(2, 2, nil)
		for _, k := range fs {
			u, v := []float64{k.Part.X - ax, k.Part.Y - ay}, []float64{k.Machine.X - mx, k.Machine.Y - my}
			for i := range 2 {
				for j := range 2 {
					h.Set(i, j, h.At(i, j)+v[i]*u[j])
				}
			}
		}
		var svd mat.SVD
		require.True(t, svd.Factorize(h, mat.SVDFull))
		var u, v, rot mat.Dense
		svd.UTo(&u)
		svd.VTo(&v)
		d := mat.NewDiagDense(2, []float64{1, math.Copysign(1, mat.Det(&u)*mat.Det(&v))})
		rot.Product(&u, d, v.T())
		require.InDelta(t, rot.At(1, 0), fr.Sin, 1e-9)
		require.InDelta(t, rot.At(0, 0), fr.Cos, 1e-9)
		for _, k := range fs {
			m := fr.Map(k.Part)
			back := fr.Back(m)
			require.InDelta(t, k.Part.X, back.X, 1e-9)
			require.InDelta(t, k.Part.Y, back.Y, 1e-9)
		}
	})
}

func TestCircleLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Circle{X: rapid.Float64Range(-20, 20).Draw(t, "x"), Y: rapid.Float64Range(-20, 20).Draw(t, "y"), Dia: rapid.Float64Range(.1, 40).Draw(t, "dia"),
			Holes: rapid.IntRange(2, 60).Draw(t, "n"), First: rapid.Float64Range(-360, 360).Draw(t, "first"), Clockwise: rapid.Bool().Draw(t, "cw")}
		if rapid.Bool().Draw(t, "arc") {
			c.Spread = rapid.Float64Range(1, 359).Draw(t, "spread")
		}
		holes := c.Places()
		require.Len(t, holes, c.Holes)
		for i, h := range holes {
			require.InDelta(t, c.Dia/2, math.Hypot(h.X-c.X, h.Y-c.Y), 1e-12*c.Dia+1e-13)
			if i > 0 {
				require.InDelta(t, c.Chord(), math.Hypot(h.X-holes[i-1].X, h.Y-holes[i-1].Y), 1e-9)
			}
		}
		last := holes[len(holes)-1]
		if gap := math.Hypot(last.X-holes[0].X, last.Y-holes[0].Y); c.Spread == 0 && c.Holes > 2 {
			require.InDelta(t, c.Chord(), gap, 1e-9) // it closes
		} else if c.Spread > 0 {
			require.InDelta(t, c.Dia*math.Sin(c.Spread/2*degree), gap, 1e-9)
		}
	})
}

func TestGridAndPairLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Grid{X: rapid.Float64Range(-9, 9).Draw(t, "x"), Y: rapid.Float64Range(-9, 9).Draw(t, "y"), Columns: rapid.IntRange(1, 8).Draw(t, "nx"), Rows: rapid.IntRange(1, 8).Draw(t, "ny"),
			Across: rapid.Float64Range(.1, 4).Draw(t, "px"), Up: rapid.Float64Range(.1, 4).Draw(t, "py"), Angle: rapid.Float64Range(-180, 180).Draw(t, "angle"),
			Middle: true, BackAndForward: rapid.Bool().Draw(t, "fro")}
		holes := g.Places()
		require.Len(t, holes, g.Columns*g.Rows)
		var x, y float64
		for _, h := range holes {
			x, y = x+h.X/float64(len(holes)), y+h.Y/float64(len(holes))
		}
		require.InDelta(t, g.X, x, 1e-9)
		require.InDelta(t, g.Y, y, 1e-9)
		if len(holes) > 1 {
			want := math.Inf(1)
			if g.Columns > 1 {
				want = min(want, g.Across)
			}
			if g.Rows > 1 {
				want = min(want, g.Up)
			}
			_, _, near, ok := nearest(holes)
			require.True(t, ok)
			require.InDelta(t, want, near, 1e-9)
		}
		l := CentreLine{g.X, g.Y, g.Angle}
		couple := Couple{rapid.Float64Range(-9, 9).Draw(t, "along"), rapid.Float64Range(.1, 9).Draw(t, "across")}
		two := l.Places([]Couple{couple})
		require.Len(t, two, 2)
		mate := l.Mirror(two[0])
		require.InDelta(t, two[1].X, mate.X, 1e-9)
		require.InDelta(t, two[1].Y, mate.Y, 1e-9)
		again := l.Mirror(mate)
		require.InDelta(t, two[0].X, again.X, 1e-9)
		require.InDelta(t, couple.Across, math.Hypot(two[0].X-two[1].X, two[0].Y-two[1].Y), 1e-9)
	})
}

// Cranking by what the table says brings the slide to the place, with the backlash always on one
// side.
func TestDialsByCranking(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		per := rapid.Int64Range(2, 400).Draw(t, "divisions")
		div := rapid.SampledFrom([]units.Length{units.Thou, units.Tenth, units.Millimetre / 50}).Draw(t, "div")
		d := Dial{Lead: units.Length(per) * div, Div: div, Falls: rapid.Bool().Draw(t, "falls"), Down: rapid.Bool().Draw(t, "down")}
		require.Nil(t, d.Check("lead", "div"))
		var at []units.Length
		for range rapid.IntRange(1, 10).Draw(t, "n") {
			at = append(at, units.Length(rapid.Int64Range(-1e12, 1e12).Draw(t, "at")))
		}
		slack := units.Length(rapid.Int64Range(0, per/2).Draw(t, "slack")) * div
		way, sign := int64(1), units.Length(1)
		if d.Down {
			way = -1
		}
		if d.Falls {
			sign = -1
		}
		// The nut sits against the flank it was left on: the slide is behind the screw by the
		// backlash when the last motion was against the approach.
		screw, slide := units.Length(0), units.Length(0)
		turn := func(by units.Length) {
			screw += by
			if dir := units.Length(way); by*dir > 0 {
				if (screw-slide)*dir > 0 {
					slide = screw
				}
			} else if by*dir < 0 {
				if (slide-screw)*dir > slack {
					slide = screw + slack*dir
				}
			}
		}
		for i, s := range d.Stops(at) {
			require.GreaterOrEqual(t, s.Reading, units.Length(0))
			require.Less(t, s.Reading, d.Lead)
			require.Equal(t, s.Count, s.Turns*per+int64(s.Reading/div))
			require.Equal(t, at[i], sign*units.Length(s.Count)*div+s.Over)
			require.LessOrEqual(t, 2*s.Over, div)
			require.LessOrEqual(t, -2*s.Over, div)
			goal := units.Length(s.Count) * div
			if s.Past {
				over := goal - units.Length(way)*(d.Lead/2+div)
				turn(over - screw)
			}
			turn(goal - screw)
			require.Equal(t, goal, slide, "stop %d", i)
		}
	})
}

func TestSheets(t *testing.T) {
	e := run(t, "edge", p("side", "right"), p("reads", "5.1, 5.1002"))
	assert.Equal(t, "While it touches, set X to .1000 in; the edge is then .0000 in. "+
		"Move .1000 in to the left to stand over it. "+
		"The tries agree to .2 thou.", e.Text("verdict"))
	assert.Equal(t, "5.0001 in", e.Text("at"))
	y := run(t, "edge", p("side", "front"))
	assert.Contains(t, y.Text("verdict"), "set Y to -.1000 in")
	m := run(t, "middle", p("a", "1.3175"), p("b", "4.0185"), p("a2", "1.3195"), p("b2", "4.0205"), p("apart", "10"), p("size", "2.5"))
	assert.Equal(t, "The middle is at 2.6680 in, 1.3505 in from the second touch toward the first; 2.501 in wide.",
		m.Text("verdict"))
	assert.Contains(t, m.Text("slope"), "0.0024")
	b := run(t, "bolts", p("dia", "8"), p("n", "6"), p("lead", ".2"))
	assert.Equal(t, "1, 4.0000 in, 0.0000 in", b.Rows("holes")[0])
	assert.Equal(t, "2, 2.0000 in, 3.4641 in", b.Rows("holes")[1])
	assert.Equal(t, "2, 10, 0.0000 in, past, 17, 0.0640 in, on", b.Rows("wheels")[1])
	assert.Contains(t, b.Rows("steps")[1], "X counter-clockwise past it by half a turn or more, then clockwise to "+
		"10 turns")
	top := run(t, "bolts", p("dia", "6.5"), p("n", "5"), p("start", "top"), p("way", "cw"))
	assert.Equal(t, "2, 3.0909 in, 1.0043 in", top.Rows("holes")[1])
	arc := run(t, "bolts", p("dia", "8"), p("n", "4"), p("spread", "90"))
	assert.Equal(t, "3", arc.Text("gaps"))
	assert.Equal(t, "4, 0.0000 in, 4.0000 in", arc.Rows("holes")[3])
	s := run(t, "skew", p("features", "0,0,1,2; 8,0,8.999,2.008"), p("places", "4,3; 0,0"))
	assert.Equal(t, "4.0000 in, 3.0000 in, 4.9965 in, 5.0040 in", s.Rows("where")[0])
	held := run(t, "skew", p("features", "0,0,1,2; 8,0,8.999,2.008"), p("places", "4,3; 0,0"), p("hold", "first"))
	assert.Equal(t, "4.0000 in, 3.0000 in, 4.9970 in, 5.0040 in", held.Rows("where")[0])
	assert.Equal(t, "0.0000 in, 0.0000 in, 1.0000 in, 2.0000 in", held.Rows("where")[1])
	assert.Equal(t, "0.0010 in", held.Text("worst"))
	edge := run(t, "skew", p("features", ",,1,2; ,,4,6"), p("places", "5,0"))
	assert.Equal(t, "5.0000 in, 0.0000 in, 4.0000 in, 6.0000 in", edge.Rows("where")[0])
	d := run(t, "dials", p("holes", "3.5625, 0; 1, 1"))
	assert.Equal(t, "1, 17, 0.1630 in, on, 0, 0.0000 in, on", d.Rows("wheels")[0])
	assert.Equal(t, "1", d.Text("back"))
	fall := run(t, "dials", p("holes", "0.05, 0"), p("xdial", "fall"))
	assert.Equal(t, "1, -1, 0.1500 in, past, 0, 0.0000 in, on", fall.Rows("wheels")[0])
	assert.Equal(t, "Hole 1: X counter-clockwise past it by half a turn or more, then clockwise to 1 turn below "+
		"zero, dial .150 in; "+
		"Y stays at 0 turns, dial .000 in.", fall.Rows("steps")[0])
	r := run(t, "row", p("n", "5"), p("over", "6"), p("from", "middle"), p("angle", "90"))
	assert.Equal(t, "1, 0.0000 in, -3.0000 in", r.Rows("holes")[0])
	one := run(t, "pairs", p("one", "1,2"), p("angle", "90"))
	assert.Equal(t, "2, -1.0000 in, 2.0000 in", one.Rows("holes")[1])
}

func TestRefusals(t *testing.T) {
	for _, row := range []struct {
		name, sheet, field, says string
		pairs                    []worksheet.Pair
	}{
		{"no tip", "edge", "tip", "no size", []worksheet.Pair{p("tip", "0")}},
		{"thick tip", "middle", "b", "closer together", []worksheet.Pair{p("a", "1"), p("b", "1.1")}},
		{"half a second pair", "middle", "b2", "all three", []worksheet.Pair{p("a", "1"), p("b", "2"), p("a2", "1")}},
		{"thick tip there", "middle", "b2", "closer together", []worksheet.Pair{p("a", "1"), p("b", "2"), p("a2", "1"), p("b2", "1.1"), p("apart", "5")}},
		{"touches in a line", "centre", "touches", "not spread", []worksheet.Pair{p("touches", "0,0;1,1;2,2")}},
		{"tip over the boss", "centre", "tip", "larger than", []worksheet.Pair{p("of", "boss"), p("touches", "0.1,0;0,0.1;-0.1,0"), p("tip", ".3")}},
		{"one place", "skew", "features", "lie apart", []worksheet.Pair{p("features", "0,0,1,1;0,0,1,1")}},
		{"half a place", "skew", "features", "only one", []worksheet.Pair{p("features", "0,,1,1;1,1,2,2")}},
		{"three edge touches", "skew", "features", "two touches", []worksheet.Pair{p("features", ",,1,1;,,2,2;,,3,3")}},
		{"one hole's spread", "bolts", "spread", "no spread", []worksheet.Pair{p("dia", "4"), p("n", "1"), p("spread", "30")}},
		{"odd dial", "bolts", "div", "whole number", []worksheet.Pair{p("dia", "4"), p("n", "3"), p("lead", ".2"), p("div", ".003")}},
		{"both", "row", "over", "both typed", []worksheet.Pair{p("n", "3"), p("pitch", "1"), p("over", "2")}},
		{"neither", "row", "pitch", "missing", []worksheet.Pair{p("n", "3")}},
		{"one hole's length", "row", "over", "no length", []worksheet.Pair{p("n", "1"), p("over", "2")}},
		{"long row", "row", "pitch", "longer", []worksheet.Pair{p("n", "100"), p("pitch", "6")}},
		{"no columns", "grid", "px", "missing", []worksheet.Pair{p("nx", "2"), p("ny", "1")}},
		{"no rows", "grid", "py", "missing", []worksheet.Pair{p("nx", "1"), p("ny", "2")}},
		{"many", "grid", "ny", "more than 100", []worksheet.Pair{p("nx", "40"), p("ny", "40"), p("px", "1"), p("py", "1")}},
		{"large", "grid", "px", "larger", []worksheet.Pair{p("nx", "5"), p("ny", "1"), p("px", "200")}},
		{"nothing", "pairs", "pairs", "no hole", nil},
		{"odd dials", "dials", "div", "whole number", []worksheet.Pair{p("holes", "1,1"), p("leady", ".1255")}},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := run(t, row.sheet, row.pairs...)
			require.NotNil(t, a.Fault)
			assert.Equal(t, row.field, a.Fault.Field)
			assert.Contains(t, a.Fault.Message, row.says)
		})
	}
}
