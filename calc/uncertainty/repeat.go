package uncertainty

import (
	"math"

	"datumbook/calc/fitting"
)

// Readings is the result of repeated readings of one size.
type Readings struct {
	fitting.Moments
	Std float64 // standard uncertainty of the mean with graduation and gauge
	One float64 // the same of one more reading
	DF  float64 // effective degrees of freedom of Std; 0 for infinitely many
	K   float64
	U   float64 // expanded uncertainty of the mean
	Far int     // the reading farthest from the mean, counted from 0
	Off float64 // how far it is off, in standard deviations; 0 where they are all alike
}

// Repeat evaluates at least 2 readings taken alike. step is the graduation or last digit read to,
// other the standard uncertainty that every reading has in common (gauge, master, temperature),
// both 0 where there is none.
//
//	u^2 = s^2/n + step^2/12 + other^2     JCGM 100 4.2.3, F.2.2.1
func Repeat(x []float64, step, other, cover float64) (Readings, error) {
	m, err := fitting.Summarise(x)
	if err != nil {
		return Readings{}, err
	}
	if m.N < 2 {
		return Readings{}, fitting.ErrFew
	}
	r := Readings{Moments: m}
	for i, v := range x {
		if math.Abs(v-m.Mean) > math.Abs(x[r.Far]-m.Mean) {
			r.Far = i
		}
	}
	if m.SD > 0 {
		r.Off = math.Abs(x[r.Far]-m.Mean) / m.SD
	}
	parts := []Part{{Given: Standard, Value: m.MeanErr, Sens: 1, DF: float64(m.N - 1)}, {Given: Step, Value: step, Sens: 1}, {Given: Standard, Value: other, Sens: 1}}
	b, err := Combine(parts, nil, cover)
	if err == ErrNone {
		return r, nil // all equal, and nothing else known: U is 0 and K too
	}
	if err != nil {
		return Readings{}, err
	}
	r.Std, r.DF, r.K, r.U = b.Std, b.DF, b.K, b.U
	s := step / math.Sqrt(12)
	r.One = math.Sqrt(float64(m.SD*m.SD) + float64(s*s) + float64(other*other))
	return r, nil
}
