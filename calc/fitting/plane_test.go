package fitting

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

func TestPlaneHollow(t *testing.T) {
	// By hand: the four corners of a rectangle fix the slopes, and a centre
	// reading changes neither; it lowers the plane by a fifth of what it is low.
	p, err := FitPlane([]Point3{{0, 0, .0010}, {10, 0, .0030}, {10, 8, .0046}, {0, 8, .0026}, {5, 4, .0018}}, nil)
	require.NoError(t, err)
	assert.InDelta(t, .0002, p.P, 1e-17)
	assert.InDelta(t, .0002, p.Q, 1e-17)
	assert.InDelta(t, .0008, p.R, 1e-17)
	assert.InDeltaSlice(t, []float64{.0002, .0002, .0002, .0002, -.0008}, p.Residuals, 1e-17)
	assert.InDelta(t, 1.0/10, p.PUnit, 1e-15) // Sxx = 4 x 25
	assert.InDelta(t, 1.0/8, p.QUnit, 1e-15)  // Syy = 4 x 16
	assert.InDelta(t, math.Sqrt(.2), p.UnitAt(5, 4), 1e-15)
	assert.Equal(t, 2, p.Free)
}

// patch draws n points of which three are well apart.
func patch(t *rapid.T, n int) []Point3 {
	p := []Point3{{X: 0, Y: 0}, {X: 10, Y: 1}, {X: 2, Y: 9}}
	for len(p) < n {
		p = append(p, Point3{X: rapid.Float64Range(-20, 20).Draw(t, "x"), Y: rapid.Float64Range(-20, 20).Draw(t, "y")})
	}
	for i := range p {
		p[i].Z = rapid.Float64Range(-5, 5).Draw(t, "z")
	}
	return p
}

func TestPlaneLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 20).Draw(t, "n")
		pts := patch(t, n)
		w := rapid.SliceOfN(rapid.Float64Range(.1, 10), n, n).Draw(t, "w")
		f, err := FitPlane(pts, w)
		if err != nil {
			t.Fatal(err)
		}
		var s [3]float64
		a, b := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
		for i, e := range f.Residuals {
			s[0] += w[i] * e
			s[1] += w[i] * e * pts[i].X
			s[2] += w[i] * e * pts[i].Y
			near(t, "residual", e, pts[i].Z-f.At(pts[i].X, pts[i].Y), 1e-11)
			r := math.Sqrt(w[i])
			a.SetRow(i, []float64{r * pts[i].X, r * pts[i].Y, r})
			b.SetVec(i, r*pts[i].Z)
		}
		for k := range s {
			near(t, "orthogonal", s[k], 0, 1e-9)
		}
		// A second opinion: gonum's QR.
		var beta mat.VecDense
		if err := beta.SolveVec(a, b); err != nil {
			t.Fatal(err)
		}
		near(t, "p", f.P, beta.AtVec(0), 1e-10)
		near(t, "q", f.Q, beta.AtVec(1), 1e-10)
		near(t, "r", f.R, beta.AtVec(2), 1e-9)
		// Turning the table turns the slope with it.
		c, sn := math.Cos(.7), math.Sin(.7)
		turned := make([]Point3, n)
		for i, v := range pts {
			turned[i] = Point3{c*v.X - sn*v.Y + 3, sn*v.X + c*v.Y - 8, v.Z + 2}
		}
		g, err := FitPlane(turned, w)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "p turned", g.P, c*f.P-sn*f.Q, 1e-10)
		near(t, "q turned", g.Q, sn*f.P+c*f.Q, 1e-10)
		near(t, "SD", g.SD, f.SD, 1e-10)
	})
}

// TestPlaneUnit finds the standard errors by moving each reading in turn.
func TestPlaneUnit(t *testing.T) {
	pts := []Point3{{1, 1, 0}, {4, 0, 1}, {7, 5, 2}, {2, 9, 0}, {3, 3, 1}}
	f, err := FitPlane(pts, nil)
	require.NoError(t, err)
	var p, q, r, far float64
	sq := func(v float64) float64 { return v * v }
	for i := range pts {
		moved := append([]Point3(nil), pts...)
		moved[i].Z++
		m, err := FitPlane(moved, nil)
		require.NoError(t, err)
		p, q, r = p+sq(m.P-f.P), q+sq(m.Q-f.Q), r+sq(m.R-f.R)
		far += sq(m.At(20, -3) - f.At(20, -3))
	}
	agree(t, "p", f.PUnit, math.Sqrt(p), 13)
	agree(t, "q", f.QUnit, math.Sqrt(q), 13)
	agree(t, "r", f.RUnit, math.Sqrt(r), 13)
	agree(t, "far", f.UnitAt(20, -3), math.Sqrt(far), 13)
	assert.Zero(t, Plane{}.UnitAt(1, 1))
}
