package fitting

// Quad is a parabola y = A + B x + C x^2 fitted to readings.
type Quad struct {
	A, B, C             float64
	AErr, BErr, CErr    float64 // standard errors from the scatter
	AUnit, BUnit, CUnit float64 // standard errors for readings of unit error
	Scatter

	mean, scale float64
	k           [3]float64 // coefficients in (x - mean)/scale
}

// FitQuad finds the parabola that makes sum w (y - a - b x - c x^2)^2 least; a
// nil w means every weight is one. x is centred and scaled before solving:
// unscaled normal equations lose most digits when x is large.
//
// It needs 3 points at 3 different x: otherwise ErrFew or ErrSpread.
func FitQuad(x, y, w []float64) (Quad, error) {
	if err := check(3, x, y); err != nil {
		return Quad{}, err
	}
	if err := checkWeights(w, len(x)); err != nil {
		return Quad{}, err
	}
	u, m, h, err := centre(x, w)
	if err != nil {
		return Quad{}, err
	}
	one, u2 := make([]float64, len(u)), make([]float64, len(u))
	for i := range u {
		one[i], u2[i] = 1, u[i]*u[i]
	}
	s, err := leastSquares([][]float64{one, u, u2}, y, w)
	if err != nil {
		return Quad{}, err
	}
	q := Quad{mean: m, scale: h, k: [3]float64{s.beta[0], s.beta[1], s.beta[2]}}
	e := make([]float64, len(u))
	for i := range u {
		e[i] = y[i] - horner(q.k, u[i])
	}
	q.Scatter = scatter(e, w, 3)

	// With u = (x - m)/h and t = m/h: a = k0 - k1 t + k2 t^2,
	// b = (k1 - 2 k2 t)/h, c = k2/h^2.
	t := m / h
	q.A = horner(q.k, -t)
	q.B = (q.k[1] - float64(2*q.k[2]*t)) / h
	q.C = q.k[2] / h / h
	q.AUnit = s.unit(1, -t, t*t)
	q.BUnit = s.unit(0, 1, -2*t) / h
	q.CUnit = s.unit(0, 0, 1) / h / h
	q.AErr, q.BErr, q.CErr = q.SD*q.AUnit, q.SD*q.BUnit, q.SD*q.CUnit
	return q, nil
}

// Middle is how far the parabola stands above its own chord midway between x1
// and x2, -C ((x2 - x1)/2)^2: positive when the middle is high.
func (q Quad) Middle(x1, x2 float64) float64 {
	h := (x2 - x1) / 2 / q.scale
	return -q.k[2] * h * h
}

// MiddleUnit is the standard error of Middle for readings of unit error; times
// SD it is the standard error from the scatter.
func (q Quad) MiddleUnit(x1, x2 float64) float64 {
	h := (x2 - x1) / 2
	return q.CUnit * h * h
}

// horner is k0 + k1 u + k2 u^2.
func horner(k [3]float64, u float64) float64 {
	return k[0] + float64(u*(k[1]+float64(u*k[2])))
}
