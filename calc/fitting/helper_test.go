package fitting

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// digits is how many leading digits of got agree with want: NIST's log relative
// error. Fifteen and more count as all.
func digits(got, want float64) float64 {
	if got == want {
		return 17
	}
	return -math.Log10(math.Abs(got-want) / math.Abs(want))
}

// agree asserts that got has at least n right digits.
func agree(t *testing.T, name string, got, want, n float64) {
	t.Helper()
	d := digits(got, want)
	assert.GreaterOrEqualf(t, d, n, "%s: got %.17g, want %.17g: %.1f digits", name, got, want, d)
}

// drawn makes lists of ordinary readings, to a millionth: in numbers like 1e-160
// the other solvers underflow.
func drawn(t *rapid.T, name string, n int, limit float64) []float64 {
	one := rapid.Map(rapid.Float64Range(-limit, limit), func(v float64) float64 { return math.Round(v*1e6) / 1e6 })
	return rapid.SliceOfN(one, n, n).Draw(t, name)
}

// near fails the law when two numbers are further apart than tol.
func near(t *rapid.T, name string, got, want, tol float64) {
	if !(math.Abs(got-want) <= tol) {
		t.Fatalf("%s: got %.17g, want %.17g within %g", name, got, want, tol)
	}
}

// finite reports whether every number in v is.
func finite(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// wild draws any float64 at all, NaN and infinities included, with ordinary
// numbers and repeats made likely.
func wild() *rapid.Generator[float64] {
	return rapid.OneOf(
		rapid.Float64(),
		rapid.Float64Range(-10, 10),
		rapid.Float64Range(-Biggest, Biggest),
		rapid.SampledFrom([]float64{0, 1, -1, 2, 1e-300, 1e-90, Biggest, -Biggest, 1e308,
			math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, math.SmallestNonzeroFloat64}),
	)
}

// tame is wild without what check refuses.
func tame() *rapid.Generator[float64] {
	return wild().Filter(func(v float64) bool { return finite(v) && math.Abs(v) <= Biggest })
}

// UnitAt is the standard error of At(x) for readings of unit error; times SD it
// is the standard error from the scatter.
func (l Line) UnitAt(x float64) float64 {
	return length(l.meanUnit, l.SlopeUnit*(x-l.MeanX))
}

// At is the height of the wave at angle t, in radians.
func (h Harmonic) At(t float64) float64 {
	k := [5]float64{h.C, h.A, h.B, h.A2, h.B2}
	sum := 0.0
	for j := range k {
		sum += float64(k[j] * wave(j, t))
	}
	return sum
}

// studentCDF is the part of Student's t distribution with nu degrees of freedom
// below t. nu may be fractional, from 1 to 1e9; t up to 1e15 in size. The lesser
// of the part below and the part above is right to 1e-11 of itself, and the
// result is the same to the last bit on every machine.
//
// Source: A&S 26.7.1 and 26.5.8 (incomplete beta function as a continued
// fraction); above nu = 1e6 the normal distribution at A&S 26.7.8.
func studentCDF(t, nu float64) (float64, error) {
	if err := within(1e15, []float64{t, nu}); err != nil {
		return 0, err
	}
	if nu < 1 || nu > 1e9 {
		return 0, ErrRange
	}
	if t > 0 {
		return 1 - studentTail(t, nu), nil
	}
	return studentTail(-t, nu), nil
}

// String gives the status in one word.
func (s Status) String() string {
	return [...]string{"optimal", "infeasible", "unbounded"}[s]
}
