package fitting

import "math"

// Line is a straight line y = Intercept + Slope x fitted to readings.
type Line struct {
	Intercept, Slope float64
	MeanX, MeanY     float64 // the line passes through this point

	InterceptErr, SlopeErr   float64 // standard errors from the scatter
	InterceptUnit, SlopeUnit float64 // standard errors for readings of unit error
	R                        float64 // correlation, -1 to 1; 0 if all y are equal
	Scatter

	meanUnit float64
}

// FitLine finds the line that makes sum w (y - a - b x)^2 least. A nil w means
// every weight is one. Weights are usually one over the square of each
// reading's standard error; SD and the Unit fields are then in those terms.
//
// It needs 2 points at different x (half the spread at least 1e-9 of the
// largest x): otherwise ErrFew or ErrSpread.
//
// Source: JCGM 100:2008 (GUM) H.3.2, equations H.13a to H.13f, in centred form.
func FitLine(x, y, w []float64) (Line, error) {
	if err := check(2, x, y); err != nil {
		return Line{}, err
	}
	if err := checkWeights(w, len(x)); err != nil {
		return Line{}, err
	}
	u, mx, scale, err := centre(x, w)
	if err != nil {
		return Line{}, err
	}
	my := middle(y, w)
	v := make([]float64, len(y))
	for i := range y {
		v[i] = y[i] - my
	}
	sxx, sxy, sy := dotw(u, u, w), dotw(u, v, w), norm(weighted(v, w))
	sx := math.Sqrt(sxx)
	b := sxy / sxx
	l := Line{Slope: b / scale, MeanX: mx, MeanY: my}
	l.Intercept = my - float64(l.Slope*mx)
	if sy > 0 {
		l.R = max(-1, min(1, sxy/sx/sy))
	}
	e := make([]float64, len(u))
	for i := range u {
		e[i] = v[i] - float64(b*u[i])
	}
	l.Scatter = scatter(e, w, 2)
	l.SlopeUnit = 1 / sx / scale
	l.meanUnit = 1 / math.Sqrt(sumWeights(w, len(x)))
	l.InterceptUnit = length(l.meanUnit, mx/scale/sx)
	l.SlopeErr = l.SD * l.SlopeUnit
	l.InterceptErr = l.SD * l.InterceptUnit
	return l, nil
}

// At is the height of the line at x.
func (l Line) At(x float64) float64 { return l.MeanY + float64(l.Slope*(x-l.MeanX)) }

// sumWeights is the total weight of n readings.
func sumWeights(w []float64, n int) float64 {
	if w == nil {
		return float64(n)
	}
	t := 0.0
	for _, v := range w {
		t += v
	}
	return t
}
