package fitting

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

func TestRigidTwoPoints(t *testing.T) {
	// By hand: the measured pair is (7.999, .008) apart, so the turn is
	// atan(.008/7.999) = .057303 deg, the stretch sqrt(7.999^2 + .008^2)/8, and
	// the error of .000996 in length is shared by the two ends.
	r, err := FitRigid([]Point{{0, 0}, {8, 0}}, []Point{{1, 2}, {8.9990, 2.0080}})
	require.NoError(t, err)
	assert.InDelta(t, .057303, r.Angle()/deg, 5e-7)
	assert.InDelta(t, math.Sqrt(7.999*7.999+.008*.008)/8, r.Stretch, 1e-15)
	assert.InDelta(t, .000996/2, r.Worst, 5e-7)
	m := r.Map(Point{4, 0})
	assert.InDelta(t, (1+8.9990)/2, m.X, 1e-15)
	assert.InDelta(t, 2.004, m.Y, 1e-15)
	assert.Equal(t, 1, r.Free)
	assert.InDelta(t, 1/math.Sqrt(32), r.AngleUnit, 1e-15)
}

func TestRigidLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 12).Draw(t, "n")
		a, b := make([]Point, n), make([]Point, n)
		turn := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn")
		c, s := math.Cos(turn), math.Sin(turn)
		dx, dy := rapid.Float64Range(-50, 50).Draw(t, "dx"), rapid.Float64Range(-50, 50).Draw(t, "dy")
		for i := range a {
			a[i] = Point{rapid.Float64Range(-9, 9).Draw(t, "x"), 10*float64(i) + rapid.Float64Range(-4, 4).Draw(t, "y")}
			b[i] = Point{c*a[i].X - s*a[i].Y + dx, s*a[i].X + c*a[i].Y + dy}
		}
		// A made move is found again, exactly.
		r, err := FitRigid(a, b)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "cos", r.Cos, c, 1e-13)
		near(t, "sin", r.Sin, s, 1e-13)
		near(t, "dx", r.DX, dx, 1e-11)
		near(t, "dy", r.DY, dy, 1e-11)
		near(t, "stretch", r.Stretch, 1, 1e-13)
		near(t, "worst", r.Worst, 0, 1e-12)
		// With errors, no small turn or shift does better, and the way back is
		// the way there.
		for i := range b {
			b[i].X += rapid.Float64Range(-.1, .1).Draw(t, "ex")
			b[i].Y += rapid.Float64Range(-.1, .1).Draw(t, "ey")
		}
		if r, err = FitRigid(a, b); err != nil {
			t.Fatal(err)
		}
		var px, py, torque float64
		for i, m := range r.Misses {
			p := r.Map(a[i])
			near(t, "miss", m.X, b[i].X-p.X, 1e-12)
			near(t, "miss", m.Y, b[i].Y-p.Y, 1e-12)
			px, py, torque = px+m.X, py+m.Y, torque+(p.X*m.Y-p.Y*m.X)
			back := r.Back(p)
			near(t, "back", back.X, a[i].X, 1e-11)
			near(t, "back", back.Y, a[i].Y, 1e-11)
			near(t, "origin", p.X, r.Cos*a[i].X-r.Sin*a[i].Y+r.DX, 1e-11)
			near(t, "origin", p.Y, r.Sin*a[i].X+r.Cos*a[i].Y+r.DY, 1e-11)
		}
		near(t, "push x", px, 0, 1e-11)
		near(t, "push y", py, 0, 1e-11)
		near(t, "torque", torque, 0, 1e-9)
		// Swapping the lists gives the move back.
		q, err := FitRigid(b, a)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "cos back", q.Cos, r.Cos, 1e-12)
		near(t, "sin back", q.Sin, -r.Sin, 1e-12)
		near(t, "SD back", q.SD, r.SD, 1e-12)
	})
}

// TestRigidBySingularValues: the turn of the plane fit is that of the
// singular-value method for flat points in space.
func TestRigidBySingularValues(t *testing.T) {
	a := []Point{{0, 0}, {10, 1}, {2, 9}, {7, 7}}
	b := []Point{{5, 1.01}, {4.02, 11}, {-4, 3}, {-1.97, 8}}
	r, err := FitRigid(a, b)
	require.NoError(t, err)
	a3, b3 := make([]Point3, len(a)), make([]Point3, len(a))
	for i := range a {
		a3[i], b3[i] = Point3{a[i].X, a[i].Y, 0}, Point3{b[i].X, b[i].Y, 0}
	}
	k := kabsch(a3, b3)
	assert.InDelta(t, r.Cos, k[0][0], 1e-14)
	assert.InDelta(t, r.Sin, k[1][0], 1e-14)
}

func TestRigidRefused(t *testing.T) {
	rows := []struct {
		name     string
		from, to []Point
		want     error
	}{
		{"one point", []Point{{1, 1}}, []Point{{2, 2}}, ErrFew},
		{"lengths", []Point{{1, 1}, {2, 2}}, []Point{{2, 2}}, ErrLength},
		{"from in one place", []Point{{1, 1}, {1, 1}}, []Point{{2, 2}, {3, 3}}, ErrSpread},
		{"to in one place", []Point{{2, 2}, {3, 3}}, []Point{{1, 1}, {1, 1}}, ErrSpread},
		{"no turn is best", []Point{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}, []Point{{1, 0}, {-1, 0}, {0, -1}, {0, 1}}, ErrSpread},
		{"not finite", []Point{{1, math.Inf(1)}, {2, 2}}, []Point{{2, 2}, {1, 1}}, ErrFinite},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			_, err := FitRigid(r.from, r.to)
			assert.Truef(t, errors.Is(err, r.want), "got %v, want %v", err, r.want)
		})
	}
}

// kabsch is the singular-value method on gonum's SVD: a second way to the turn.
func kabsch(a, b []Point3) [3][3]float64 {
	var ca, cb [3]float64
	n := float64(len(a))
	for i := range a {
		for k := range 3 {
			ca[k] += [3]float64{a[i].X, a[i].Y, a[i].Z}[k] / n
			cb[k] += [3]float64{b[i].X, b[i].Y, b[i].Z}[k] / n
		}
	}
	h := mat.NewDense(3, 3, nil)
	for i := range a {
		p := [3]float64{a[i].X - ca[0], a[i].Y - ca[1], a[i].Z - ca[2]}
		q := [3]float64{b[i].X - cb[0], b[i].Y - cb[1], b[i].Z - cb[2]}
		for r := range 3 {
			for c := range 3 {
				h.Set(r, c, h.At(r, c)+p[r]*q[c])
			}
		}
	}
	var svd mat.SVD
	svd.Factorize(h, mat.SVDFull)
	var u, v, m mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	m.Mul(&v, u.T())
	d := mat.NewDiagDense(3, []float64{1, 1, math.Copysign(1, mat.Det(&m))})
	var vd, r mat.Dense
	vd.Mul(&v, d)
	r.Mul(&vd, u.T())
	var out [3][3]float64
	for i := range 3 {
		for j := range 3 {
			out[i][j] = r.At(i, j)
		}
	}
	return out
}
