package shoptext

import (
	"math"
	"math/bits"

	"datumbook/calc/units"
)

// toLength turns num/den of a unit into whole picometres, rounded to the nearest. The product is
// formed in 128 bits, so that it is exact before the one division. It refuses overflow.
func toLength(t term, unit *units.Unit) (units.Length, bool) {
	pm := uint64(math.Round(unit.Scale * float64(units.Millimetre)))
	hi, lo := bits.Mul64(t.num, pm)
	if hi >= t.den {
		return 0, false
	}
	quo, rem := bits.Div64(hi, lo, t.den)
	if rem >= t.den-rem {
		quo++
	}
	if quo > 1<<61 {
		return 0, false
	}
	return units.Length(quo), true
}
