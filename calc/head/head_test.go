package head

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
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
		l, f := Judge(Sweep{Angle: a, Y: y, Dia: 2 * r, Grad: .0005, Allow: .0005})
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
			a = append(a, float64(i)*360/float64(n)+rapid.Float64Range(0, 10).Draw(t, "a"))
			y = append(y, math.Round(rapid.Float64Range(-.01, .01).Draw(t, "y")*1e6)/1e6)
		}
		l, f := Judge(Sweep{Angle: a, Y: y, Dia: 2, Grad: .0005})
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
		u := Upright{Grad: .0001, Allow: .0005}
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
		p, f := Point(Barred{Z: u.H, A: u.A, B: u.B, Grad: .0001})
		require.Nil(t, f)
		require.InDelta(t, m, p.Slope, 1e-13)
	})
}

func TestSweepSheet(t *testing.T) {
	four := []worksheet.Pair{{Key: "right", Text: ".003"}, {Key: "back", Text: ".0005"}, {Key: "left", Text: "-.001"}, {Key: "front", Text: ".0015"}, {Key: "swing", Text: "10"}}
	a := run(t, "sweep", append(four, worksheet.Pair{Key: "distx", Text: "8"}, worksheet.Pair{Key: "pitchx", Text: ".05"}, worksheet.Pair{Key: "cutter", Text: "6"}, worksheet.Pair{Key: "width", Text: "4"})...)
	require.Nil(t, a.Fault)
	assert.Equal(t, "Out of square by 0.00412 in over 10.0000 in: 0.004 in nearer at the right, 0.001 in nearer at the front.", a.Text("verdict"))
	assert.Equal(t, "0.064", a.Text("turnx"))
	assert.Equal(t, "0.0010 in", a.Text("mean"))
	assert.Contains(t, a.Rows("todo")[0], "Swing the top of the head to the left")
	assert.Contains(t, a.Rows("todo")[1], "Nod the top of the head to the back")
	level := run(t, "sweep", append(four, worksheet.Pair{Key: "machine", Text: "level"})...)
	assert.Contains(t, level.Rows("todo")[0], "Move the right side of the plate away")
	radius := run(t, "sweep", append(four[:4:4], worksheet.Pair{Key: "swing", Text: "5"}, worksheet.Pair{Key: "is", Text: "radius"})...)
	assert.Equal(t, a.Text("tiltx"), radius.Text("tiltx"))
	table := run(t, "sweep", worksheet.Pair{Key: "readings", Text: "0,.003; 90,.0005; 180,-.001; 270,.0015"}, worksheet.Pair{Key: "swing", Text: "10"})
	assert.Equal(t, a.Text("tilty"), table.Text("tilty"))
	far := run(t, "sweep", append(four, worksheet.Pair{Key: "sense", Text: "far"})...)
	assert.Contains(t, far.Text("verdict"), "nearer at the left")
	open := run(t, "sweep", worksheet.Pair{Key: "right", Text: ".003"}, worksheet.Pair{Key: "back", Text: "-.0005"}, worksheet.Pair{Key: "left", Text: "-.001"}, worksheet.Pair{Key: "front", Text: ".0005"}, worksheet.Pair{Key: "swing", Text: "10"})
	assert.Contains(t, open.Cautions()[0].Text, "do not close")
}

func TestStates(t *testing.T) {
	for _, row := range []struct {
		name, right, grad string
		says              string
	}{
		{"square", ".0001", ".0001", "Square within what you allow"},
		{"exact", "0", ".0001", "Square, as closely as these readings tell"},
		{"coarse", ".001", ".01", "cannot tell"},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := run(t, "sweep", worksheet.Pair{Key: "readings", Text: "0," + row.right + ";90,0;180,-" + row.right + ";270,0"}, worksheet.Pair{Key: "swing", Text: "10"}, worksheet.Pair{Key: "grad", Text: row.grad})
			require.Nil(t, a.Fault)
			assert.Contains(t, a.Text("verdict"), row.says)
		})
	}
}

func TestRefusals(t *testing.T) {
	swing := worksheet.Pair{Key: "swing", Text: "10"}
	for _, row := range []struct {
		name, sheet, field, says string
		pairs                    []worksheet.Pair
	}{
		{"two sides", "sweep", "right", "three sides", []worksheet.Pair{swing, {Key: "right", Text: "0"}, {Key: "left", Text: "0"}}},
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

func TestSquareSheet(t *testing.T) {
	a := run(t, "square", worksheet.Pair{Key: "readings", Text: "0,0,0; 6,.0008,.0002; 12,.0016,.0004"}, worksheet.Pair{Key: "grad", Text: ".0001"})
	assert.Equal(t, "The machine's slide is out of square by 0.001 in over 12.0000 in, its top towards the indicator. Of the readings, the square's own error is 0.0006 in.", a.Text("verdict"))
	k := run(t, "square", worksheet.Pair{Key: "turned", Text: "no"}, worksheet.Pair{Key: "readings", Text: "0,0; 12,.0016"}, worksheet.Pair{Key: "error", Text: ".0006"}, worksheet.Pair{Key: "grad", Text: ".0001"})
	assert.Equal(t, "0.0010 in", k.Text("out"))
}
