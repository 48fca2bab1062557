package fitting

import (
	"math"
	"slices"
)

// Circle is a circle fitted to points in a plane.
type Circle struct {
	X, Y, R             float64 // centre and radius
	XErr, YErr, RErr    float64 // standard errors from the scatter
	XUnit, YUnit, RUnit float64 // standard errors for points of unit error along the radius
	CentreErr           float64 // as XErr, in the direction the centre is worst known
	CentreUnit          float64
	Arc                 float64 // radians from first point to last, as seen from the centre
	Scatter                     // residual: distance from the centre less R
}

// Form is the least distance between two circles about the fitted centre that
// hold every point between them.
func (c Circle) Form() float64 { return c.Range() }

// shallow is the largest radius, as a multiple of the spread of the points,
// that is called a circle and not a straight line.
const shallow = 1e5

// FitCircle finds the circle that makes the sum of squared distances from the
// points to it least, sum (sqrt((x-a)^2 + (y-b)^2) - r)^2: the orthogonal
// distance fit, not the algebraic one, which is only the start. Three points
// give the circle through them.
//
// It needs 3 points, not in a line: otherwise ErrFew or ErrSpread. The radius
// may be up to 1e5 times the spread of the points. Look at Arc and CentreUnit:
// a short arc fixes the centre poorly.
//
// Method: start from Kasa's algebraic fit, then Gauss-Newton steps damped as by
// Levenberg and Marquardt until the steps vanish.
func FitCircle(p []Point) (Circle, error) {
	x, y := make([]float64, len(p)), make([]float64, len(p))
	for i, v := range p {
		x[i], y[i] = v.X, v.Y
	}
	if err := check(3, x, y); err != nil {
		return Circle{}, err
	}
	u, v, mx, my, scale, err := centre2(x, y, nil)
	if err != nil {
		return Circle{}, err
	}
	g, err := kasa(u, v)
	if err != nil {
		return Circle{}, err
	}
	if len(p) > 3 {
		if g, err = refine(u, v, g); err != nil {
			return Circle{}, err
		}
	}
	cols, e := slopes(u, v, g)
	s, err := leastSquares(cols, e, nil)
	if err != nil || g.r > shallow {
		return Circle{}, ErrSpread
	}
	for i := range e {
		e[i] *= scale
	}
	c := Circle{X: mx + float64(g.a*scale), Y: my + float64(g.b*scale), R: g.r * scale}
	c.Scatter = scatter(e, nil, 3)
	c.XUnit, c.YUnit, c.RUnit = s.unit(1, 0, 0), s.unit(0, 1, 0), s.unit(0, 0, 1)
	c.CentreUnit = worst(s.rinv[0], s.rinv[1])
	c.XErr, c.YErr, c.RErr, c.CentreErr = c.SD*c.XUnit, c.SD*c.YUnit, c.SD*c.RUnit, c.SD*c.CentreUnit
	c.Arc = arc(u, v, g)
	return c, nil
}

// ring is a circle in scaled coordinates.
type ring struct{ a, b, r float64 }

// kasa makes sum (u^2 + v^2 - 2 a u - 2 b v - k)^2 least; r^2 = a^2 + b^2 + k.
// For three points it is the circle through them.
func kasa(u, v []float64) (ring, error) {
	n := len(u)
	u2, v2, one, q := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range u {
		u2[i], v2[i], one[i] = 2*u[i], 2*v[i], 1
		q[i] = float64(u[i]*u[i]) + float64(v[i]*v[i])
	}
	s, err := leastSquares([][]float64{one, u2, v2}, q, nil)
	if err != nil {
		return ring{}, err
	}
	g := ring{a: s.beta[1], b: s.beta[2]}
	// s.beta[0] + a^2 + b^2 is the mean squared distance from the centre.
	g.r = math.Sqrt(max(0, s.beta[0]+float64(g.a*g.a)+float64(g.b*g.b)))
	return g, nil
}

// slopes gives how each residual changes with a, b and r, with the sign turned
// so that solving cols beta = e gives the step to take; and the residuals.
func slopes(u, v []float64, g ring) (cols [][]float64, e []float64) {
	n := len(u)
	ca, cb, cr := make([]float64, n), make([]float64, n), make([]float64, n)
	e = make([]float64, n)
	for i := range u {
		dx, dy := u[i]-g.a, v[i]-g.b
		d := length(dx, dy)
		if d > 0 { // a point at the centre pulls no way
			ca[i], cb[i] = dx/d, dy/d
		}
		cr[i] = 1
		e[i] = d - g.r
	}
	return [][]float64{ca, cb, cr}, e
}

// refine moves g to the least sum of squared distances: damped steps down to
// where the sum is flat to rounding, then plain ones while they keep shrinking.
func refine(u, v []float64, g ring) (ring, error) {
	damp := 1e-3
	_, e := slopes(u, v, g)
	cost := norm(e)
	for range 500 {
		to, size, err := step(u, v, g, damp)
		if err != nil {
			return ring{}, err
		}
		if to.r > shallow {
			return ring{}, ErrSpread
		}
		_, e := slopes(u, v, to)
		next := norm(e)
		if next < cost && to.r > 0 {
			g, cost = to, next
			damp = max(damp/10, 1e-12)
		} else {
			damp *= 10
		}
		if size < 1e-7*(1+g.r) {
			return polish(u, v, g), nil
		}
	}
	return ring{}, ErrSettle
}

// polish takes undamped steps until they vanish or stop shrinking.
func polish(u, v []float64, g ring) ring {
	last := math.Inf(1)
	for range 100 {
		to, size, err := step(u, v, g, 0)
		if err != nil || size >= last {
			break
		}
		g, last = to, size
	}
	return g
}

// step is one Gauss-Newton step, damped by three more rows that each wish one
// part of it to be zero, and its size.
func step(u, v []float64, g ring, damp float64) (ring, float64, error) {
	cols, e := slopes(u, v, g)
	if damp > 0 {
		for j := range cols {
			extra := make([]float64, 3)
			extra[j] = damp * max(norm(cols[j]), 1e-6)
			cols[j] = append(cols[j], extra...)
		}
		e = append(e, 0, 0, 0)
	}
	s, err := leastSquares(cols, e, nil)
	if err != nil {
		return ring{}, 0, err
	}
	return ring{g.a + s.beta[0], g.b + s.beta[1], g.r + s.beta[2]}, norm(s.beta), nil
}

// arc is a whole turn less the widest gap between neighbouring points, as seen
// from the centre.
func arc(u, v []float64, g ring) float64 {
	t := make([]float64, len(u))
	for i := range u {
		t[i] = math.Atan2(v[i]-g.b, u[i]-g.a)
	}
	slices.Sort(t)
	gap := t[0] + 2*math.Pi - t[len(t)-1]
	for i := 1; i < len(t); i++ {
		gap = max(gap, t[i]-t[i-1])
	}
	return 2*math.Pi - gap
}

// worst is the greatest length of cos(t) a + sin(t) b over all t.
func worst(a, b []float64) float64 {
	aa, ab, bb := dot(a, a), dot(a, b), dot(b, b)
	return math.Sqrt((aa + bb + length(aa-bb, 2*ab)) / 2)
}
