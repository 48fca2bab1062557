package fitting

import "math"

// Harmonic is a wave r = C + A cos t + B sin t, with A2 cos 2t + B2 sin 2t if
// asked for, fitted to readings at any angles.
type Harmonic struct {
	C, A, B             float64
	A2, B2              float64 // 0 unless Second
	CErr, AErr, BErr    float64 // standard errors from the scatter
	A2Err, B2Err        float64
	CUnit, AUnit, BUnit float64 // standard errors for readings of unit error
	A2Unit, B2Unit      float64
	Second              bool // the twice-per-turn part was fitted
	Scatter
}

// FitHarmonic finds the wave that makes sum (r - fitted)^2 least. Angles t are
// in radians, in any order, up to 1e6 in size. It needs readings at 3 different
// angles, or at 5 with second: otherwise ErrFew or ErrSpread. Angles a whole
// turn apart are the same angle.
func FitHarmonic(t, r []float64, second bool) (Harmonic, error) {
	k := 3
	if second {
		k = 5
	}
	if err := check(k, t, r); err != nil {
		return Harmonic{}, err
	}
	if largest(t) > 1e6 {
		return Harmonic{}, ErrRange
	}
	cols := make([][]float64, k)
	for j := range cols {
		cols[j] = make([]float64, len(t))
		for i := range t {
			cols[j][i] = wave(j, t[i])
		}
	}
	if distinct(t) < k {
		return Harmonic{}, ErrSpread
	}
	s, err := leastSquares(cols, r, nil)
	if err != nil {
		return Harmonic{}, err
	}
	e := make([]float64, len(r))
	for i := range e {
		e[i] = r[i]
		for j := range cols {
			e[i] -= float64(s.beta[j] * cols[j][i])
		}
	}
	h := Harmonic{C: s.beta[0], A: s.beta[1], B: s.beta[2], Second: second, Scatter: scatter(e, nil, k)}
	unit := func(j int) float64 {
		g := make([]float64, k)
		g[j] = 1
		return s.unit(g...)
	}
	h.CUnit, h.AUnit, h.BUnit = unit(0), unit(1), unit(2)
	h.CErr, h.AErr, h.BErr = h.SD*h.CUnit, h.SD*h.AUnit, h.SD*h.BUnit
	if second {
		h.A2, h.B2 = s.beta[3], s.beta[4]
		h.A2Unit, h.B2Unit = unit(3), unit(4)
		h.A2Err, h.B2Err = h.SD*h.A2Unit, h.SD*h.B2Unit
	}
	return h, nil
}

// Amplitude is half the swing of the once-per-turn part, sqrt(A^2 + B^2).
func (h Harmonic) Amplitude() float64 { return norm([]float64{h.A, h.B}) }

// Direction is the angle, in radians from -pi to pi, at which the once-per-turn
// part is highest; 0 if there is none.
func (h Harmonic) Direction() float64 { return math.Atan2(h.B, h.A) }

// Amplitude2 is half the swing of the twice-per-turn part.
func (h Harmonic) Amplitude2() float64 { return norm([]float64{h.A2, h.B2}) }

// wave is the j-th of 1, cos t, sin t, cos 2t, sin 2t.
func wave(j int, t float64) float64 {
	switch j {
	case 0:
		return 1
	case 1:
		return math.Cos(t)
	case 2:
		return math.Sin(t)
	case 3:
		return math.Cos(2 * t)
	}
	return math.Sin(2 * t)
}

// distinct counts the angles that differ by more than 1e-6 radian, whole turns
// apart.
func distinct(t []float64) int {
	var seen []float64
next:
	for _, a := range t {
		for _, b := range seen {
			if math.Abs(math.Sin((a-b)/2)) < 5e-7 {
				continue next
			}
		}
		seen = append(seen, a)
	}
	return len(seen)
}
