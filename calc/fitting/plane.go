package fitting

// Plane is a plane z = P x + Q y + R fitted to readings.
type Plane struct {
	P, Q, R             float64
	PErr, QErr, RErr    float64 // standard errors from the scatter
	PUnit, QUnit, RUnit float64 // standard errors for readings of unit error
	MeanX, MeanY, MeanZ float64 // the plane passes through this point
	Scatter

	scale float64
	s     solved // in (x - MeanX)/scale and (y - MeanY)/scale
}

// FitPlane finds the plane that makes sum w (z - p x - q y - r)^2 least; a nil w
// means every weight is one. Heights are measured along z, so it is for
// surfaces near level, not for any plane in space.
//
// It needs 3 points not in one line as seen along z: otherwise ErrFew or
// ErrSpread. The spread across the line must be at least 1e-6 of the spread
// along it.
func FitPlane(p []Point3, w []float64) (Plane, error) {
	x, y, z := make([]float64, len(p)), make([]float64, len(p)), make([]float64, len(p))
	for i, v := range p {
		x[i], y[i], z[i] = v.X, v.Y, v.Z
	}
	if err := check(3, x, y, z); err != nil {
		return Plane{}, err
	}
	if err := checkWeights(w, len(p)); err != nil {
		return Plane{}, err
	}
	u, v, mx, my, scale, err := centre2(x, y, w)
	if err != nil {
		return Plane{}, err
	}
	mz := middle(z, w)
	one, h := make([]float64, len(p)), make([]float64, len(p))
	for i := range z {
		one[i], h[i] = 1, z[i]-mz
	}
	s, err := leastSquares([][]float64{one, u, v}, h, w)
	if err != nil {
		return Plane{}, err
	}
	e := make([]float64, len(p))
	for i := range e {
		e[i] = h[i] - s.beta[0] - float64(s.beta[1]*u[i]) - float64(s.beta[2]*v[i])
	}
	f := Plane{MeanX: mx, MeanY: my, MeanZ: mz + s.beta[0], scale: scale, s: s, Scatter: scatter(e, w, 3)}
	f.P, f.Q = s.beta[1]/scale, s.beta[2]/scale
	f.R = f.At(0, 0)
	f.PUnit, f.QUnit, f.RUnit = s.unit(0, 1, 0)/scale, s.unit(0, 0, 1)/scale, f.UnitAt(0, 0)
	f.PErr, f.QErr, f.RErr = f.SD*f.PUnit, f.SD*f.QUnit, f.SD*f.RUnit
	return f, nil
}

// At is the height of the plane at (x, y).
func (f Plane) At(x, y float64) float64 {
	return f.MeanZ + float64(f.P*(x-f.MeanX)) + float64(f.Q*(y-f.MeanY))
}

// UnitAt is the standard error of At(x, y) for readings of unit error; times SD
// it is the standard error from the scatter. The zero Plane gives 0.
func (f Plane) UnitAt(x, y float64) float64 {
	if f.scale == 0 {
		return 0
	}
	return f.s.unit(1, (x-f.MeanX)/f.scale, (y-f.MeanY)/f.scale)
}

// centre2 centres points and scales both coordinates alike, and refuses points
// that are together or in one line.
func centre2(x, y, w []float64) (u, v []float64, mx, my, scale float64, err error) {
	mx, my = middle(x, w), middle(y, w)
	u, v = make([]float64, len(x)), make([]float64, len(x))
	for i := range x {
		u[i], v[i] = x[i]-mx, y[i]-my
	}
	half := max(largest(u), largest(v))
	if half < smallest || half < narrow*max(largest(x), largest(y)) {
		return nil, nil, 0, 0, 0, ErrSpread
	}
	scale = pow2(half)
	for i := range u {
		u[i] /= scale
		v[i] /= scale
	}
	along, across := axes(u, v)
	if across < flat*along {
		return nil, nil, 0, 0, 0, ErrSpread
	}
	return u, v, mx, my, scale, nil
}

// flat is the least spread of points across their longest direction, as a part
// of the spread along it.
const flat = 1e-6
