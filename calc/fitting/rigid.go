package fitting

import "math"

// Rigid is a turn and a shift that lay one set of points on another without
// stretching: to = turn(from) + shift.
type Rigid struct {
	Cos, Sin   float64 // of the turn, counter-clockwise from +X to +Y
	DX, DY     float64 // where the origin goes
	Stretch    float64 // scale that would fit best; 1 when spacings agree. Not applied
	Misses     []Point // to less mapped from, in the order given
	SD         float64 // sqrt(sum of squared misses / Free), per coordinate
	Worst      float64 // largest distance missed
	N, Free    int     // points; coordinates to spare, 2N - 3
	AngleErr   float64 // standard error of the turn from the scatter, radians
	AngleUnit  float64 // standard error of the turn for coordinates of unit error
	CX, CY     float64 // centre of the from points, where the shift is best known
	CentreErr  float64 // standard error of each coordinate of the mapped centre
	CentreUnit float64
	mx, my     float64 // where the centre goes
}

// FitRigid finds the turn and shift that make the sum of squared distances
// between to and the moved from least, point i going to point i. It needs 2
// points that are not in one place: otherwise ErrFew or ErrSpread. The lists
// must be of one length.
//
// With centred points a and b the turn has sin and cos in the proportion of
// sum(a x b) and sum(a . b); it is the plane case of Kabsch, Acta
// Crystallographica A32 (1976) 922.
func FitRigid(from, to []Point) (Rigid, error) {
	ax, ay, bx, by := make([]float64, len(from)), make([]float64, len(from)), make([]float64, len(to)), make([]float64, len(to))
	for i, p := range from {
		ax[i], ay[i] = p.X, p.Y
	}
	for i, p := range to {
		bx[i], by[i] = p.X, p.Y
	}
	if err := check(2, ax, ay, bx, by); err != nil {
		return Rigid{}, err
	}
	r := Rigid{N: len(from), Free: 2*len(from) - 3}
	scaleA, err := centrePair(ax, ay, &r.CX, &r.CY)
	if err != nil {
		return Rigid{}, err
	}
	scaleB, err := centrePair(bx, by, &r.mx, &r.my)
	if err != nil {
		return Rigid{}, err
	}
	c := dot(ax, bx) + dot(ay, by)
	s := dot(ax, by) - dot(ay, bx)
	h := length(c, s)
	na, nb := length(norm(ax), norm(ay)), length(norm(bx), norm(by))
	if h < rank*na*nb { // the points answer to each other in no direction
		return Rigid{}, ErrSpread
	}
	r.Cos, r.Sin = c/h, s/h
	r.Stretch = h / na / na * (scaleB / scaleA)
	r.DX = r.mx - (float64(r.Cos*r.CX) - float64(r.Sin*r.CY))
	r.DY = r.my - (float64(r.Sin*r.CX) + float64(r.Cos*r.CY))
	miss := make([]float64, 0, 2*r.N)
	r.Misses = make([]Point, r.N)
	for i := range r.Misses {
		x := float64(r.Cos*ax[i]) - float64(r.Sin*ay[i])
		y := float64(r.Sin*ax[i]) + float64(r.Cos*ay[i])
		m := Point{float64(bx[i]*scaleB) - float64(x*scaleA), float64(by[i]*scaleB) - float64(y*scaleA)}
		r.Misses[i] = m
		miss = append(miss, m.X, m.Y)
		r.Worst = max(r.Worst, norm(miss[2*i:]))
	}
	r.SD = norm(miss) / math.Sqrt(float64(r.Free))
	r.AngleUnit = 1 / (na * scaleA)
	r.CentreUnit = 1 / math.Sqrt(float64(r.N))
	r.AngleErr, r.CentreErr = r.SD*r.AngleUnit, r.SD*r.CentreUnit
	return r, nil
}

// Angle is the turn in radians, counter-clockwise, from -pi to pi.
func (r Rigid) Angle() float64 { return math.Atan2(r.Sin, r.Cos) }

// Map gives where a from point lands.
func (r Rigid) Map(p Point) Point {
	x, y := p.X-r.CX, p.Y-r.CY
	return Point{
		r.mx + (float64(r.Cos*x) - float64(r.Sin*y)),
		r.my + (float64(r.Sin*x) + float64(r.Cos*y)),
	}
}

// Back gives the from point that lands on p.
func (r Rigid) Back(p Point) Point {
	x, y := p.X-r.mx, p.Y-r.my
	return Point{
		r.CX + (float64(r.Cos*x) + float64(r.Sin*y)),
		r.CY + (float64(r.Cos*y) - float64(r.Sin*x)),
	}
}

// centrePair takes the means from x and y, and scales both alike, in place.
func centrePair(x, y []float64, mx, my *float64) (scale float64, err error) {
	*mx, *my = middle(x, nil), middle(y, nil)
	size := max(largest(x), largest(y))
	for i := range x {
		x[i] -= *mx
		y[i] -= *my
	}
	half := max(largest(x), largest(y))
	if half < smallest || half < narrow*size {
		return 0, ErrSpread
	}
	scale = pow2(half)
	for i := range x {
		x[i] /= scale
		y[i] /= scale
	}
	return scale, nil
}
