// Package fitting fits simple shapes to readings and says how well they fit:
// lines, planes, once-per-turn waves, circles, rigid moves, and the
// best corner of a set of linear limits. It knows nothing of the trade; callers
// give the numbers a meaning.
//
// Every fit returns its residuals and two kinds of error for each coefficient.
// An Err field is the standard error judged from the scatter of the readings
// themselves; it is 0 when there are no readings to spare (Free is 0), which
// means "not known", not "exact". A Unit field is the standard error the
// coefficient would have if every reading had a standard error of one; multiply
// it by the reading's own uncertainty when there is nothing to spare.
//
// # Range and sameness
//
// Readings may be anything up to Biggest in size; NaN, infinities and larger
// values give an error, so finite numbers go in and finite numbers come out.
// Products are rounded before they are added, and exp, log and the normal and
// Student distributions are built here from the four operations and square
// roots, so the same readings give the same bits on every machine. The
// exceptions use the sine, cosine or arctangent of the standard library and may
// differ in the last bits from one processor to another: the harmonic fit, and
// the fields and methods named Angle, Arc and Direction.
package fitting

import "math"

// Error is a reason a fit was refused. The values below are the only ones
// returned, so a caller can compare and put them in its own words.
type Error string

// Error gives the reason in plain words.
func (e Error) Error() string { return string(e) }

// Reasons for refusing.
const (
	ErrFew    Error = "too few points for this fit: take more readings"
	ErrSpread Error = "points are not spread enough to fix the answer: take readings further apart"
	ErrFinite Error = "a value is not a finite number: check the readings"
	ErrRange  Error = "a value is outside the range that can be worked with: check the readings and units"
	ErrLength Error = "the lists have different lengths: give one value of each for every point"
	ErrWeight Error = "a weight is not between 1e-30 and 1e30: give every reading a positive weight"
	ErrSettle Error = "the calculation did not settle: check for readings far from the rest"
)

// Biggest is the largest size a reading or coordinate may have.
const Biggest = 1e90

// smallest is the least spread of coordinates that is worked with; below it
// squares of the spread would leave the range of float64.
const smallest = 1e-90

// narrow is the least spread of coordinates as a part of their distance from
// the origin: below one in 1e9 fewer than seven digits of the spread are left.
const narrow = 1e-9

// Point is a place in a plane. Both coordinates have the same unit.
type Point struct{ X, Y float64 }

// Point3 is a place in space. All coordinates have the same unit.
type Point3 struct{ X, Y, Z float64 }

// Scatter is what a fit leaves over.
type Scatter struct {
	N         int       // readings used
	Free      int       // readings to spare: N less the number of coefficients
	Residuals []float64 // reading less fitted value, in the order given
	SD        float64   // standard deviation about the fit, sqrt(sum w e^2 / Free); 0 if Free is 0
	Low, High float64   // smallest and largest residual
}

// Range is the largest residual less the smallest.
func (s Scatter) Range() float64 { return s.High - s.Low }

// scatter fills a Scatter from the residuals of a fit with k coefficients.
func scatter(e, w []float64, k int) Scatter {
	s := Scatter{N: len(e), Free: len(e) - k, Residuals: e, Low: e[0], High: e[0]}
	for _, v := range e {
		s.Low, s.High = min(s.Low, v), max(s.High, v)
	}
	if s.Free > 0 {
		s.SD = norm(weighted(e, w)) / math.Sqrt(float64(s.Free))
	}
	return s
}

// check refuses lists of different lengths, short lists, and values that are
// not finite or are larger than Biggest.
func check(least int, lists ...[]float64) error {
	for _, l := range lists {
		if len(l) != len(lists[0]) {
			return ErrLength
		}
	}
	if len(lists[0]) < least {
		return ErrFew
	}
	return within(Biggest, lists...)
}

// within refuses values that are not finite or larger in size than limit.
func within(limit float64, lists ...[]float64) error {
	for _, l := range lists {
		for _, v := range l {
			switch a := math.Abs(v); {
			case a <= limit:
			case a <= math.MaxFloat64:
				return ErrRange
			default: // too large for any number, or none
				return ErrFinite
			}
		}
	}
	return nil
}

// checkWeights accepts nil, or n weights between 1e-30 and 1e30.
func checkWeights(w []float64, n int) error {
	if w == nil {
		return nil
	}
	if len(w) != n {
		return ErrLength
	}
	for _, v := range w {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return ErrFinite
		}
		if v < 1e-30 || v > 1e30 {
			return ErrWeight
		}
	}
	return nil
}

// weighted is v with each value multiplied by the root of its weight.
func weighted(v, w []float64) []float64 {
	if w == nil {
		return v
	}
	out := make([]float64, len(v))
	for i := range v {
		out[i] = v[i] * math.Sqrt(w[i])
	}
	return out
}

// largest is the greatest size in v.
func largest(v []float64) float64 {
	m := 0.0
	for _, x := range v {
		if x = math.Abs(x); !(x <= m) { // the built-in max is a call in WebAssembly
			m = x
		}
	}
	return m
}

// norm is the root of the sum of squares, without overflow or underflow.
func norm(v []float64) float64 {
	m := largest(v)
	if m == 0 {
		return 0
	}
	scale := pow2(m)
	sum := 0.0
	for _, x := range v {
		x /= scale
		sum += float64(x * x)
	}
	return scale * math.Sqrt(sum)
}

// length is the distance from the origin to (x, y). It is used instead of
// math.Hypot, whose last bit depends on the processor.
func length(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

// pow2 is the power of two next above v > 0: scaling by it loses nothing.
func pow2(v float64) float64 {
	_, e := math.Frexp(v)
	return math.Ldexp(1, e)
}

// middle is the weighted mean, found in two passes so that readings far from
// zero and close together lose no digits.
func middle(x, w []float64) float64 {
	wt := func(i int) float64 {
		if w == nil {
			return 1
		}
		return w[i]
	}
	total, first := 0.0, 0.0
	for i := range x {
		total += wt(i)
		first += float64(wt(i) * (x[i] - x[0]))
	}
	m := x[0] + first/total
	second := 0.0
	for i := range x {
		second += float64(wt(i) * (x[i] - m))
	}
	return m + second/total
}

// centre subtracts the weighted mean and divides by a power of two, so that the
// results lie within -1 and 1. It refuses a spread too small to work with.
func centre(x, w []float64) (u []float64, mean, scale float64, err error) {
	mean = middle(x, w)
	u = make([]float64, len(x))
	for i := range x {
		u[i] = x[i] - mean
	}
	half := largest(u)
	if half < smallest || half < narrow*largest(x) {
		return nil, 0, 0, ErrSpread
	}
	scale = pow2(half)
	for i := range u {
		u[i] /= scale
	}
	return u, mean, scale, nil
}
