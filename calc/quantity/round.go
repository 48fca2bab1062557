package quantity

import (
	"math"
	"strconv"
)

// tie is how far below a half, in units of the last place, a number may lie and
// still be rounded up: a value that is a half by definition comes out of
// floating point a hair to either side, on different machines to different
// sides.
const tie = 1e-6

// maxUnits bounds the scaled number so that it stays a whole number in a
// float64 and in an int64.
const maxUnits = 1 << 53

// Decimal is a number rounded to a fixed number of decimals: Units x 10^-Places.
type Decimal struct {
	Units  int64
	Places int
}

// Round rounds x half away from zero to the given decimals (0 to 9). Numbers
// too large to keep that many decimals exactly lose decimals, not digits. NaN
// and infinities are not rounded: ok is false.
func Round(x float64, places int) (d Decimal, ok bool) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return Decimal{}, false
	}
	for {
		scaled := x * pow10(places)
		if math.Abs(scaled) < maxUnits {
			n := math.Floor(math.Abs(scaled) + 0.5 + tie)
			if x < 0 {
				n = -n
			}
			return Decimal{int64(n), places}, true
		}
		if places == 0 {
			return Decimal{}, false // larger than 9e15: no answer of this trade
		}
		places--
	}
}

// Float gives the decimal as a float64.
func (d Decimal) Float() float64 { return float64(d.Units) / pow10(d.Places) }

// Text writes the decimal with all its places, and a leading zero.
func (d Decimal) Text() string {
	n, neg := d.Units, d.Units < 0
	if neg {
		n = -n
	}
	s := strconv.FormatInt(n, 10)
	for len(s) <= d.Places {
		s = "0" + s
	}
	if d.Places > 0 {
		s = s[:len(s)-d.Places] + "." + s[len(s)-d.Places:]
	}
	if neg {
		s = "-" + s
	}
	return s
}

// Trim writes the decimal without trailing zeros: a JSON number.
func (d Decimal) Trim() string {
	for d.Places > 0 && d.Units%10 == 0 {
		d.Units /= 10
		d.Places--
	}
	return d.Text()
}

func pow10(n int) float64 {
	p := 1.0
	for range n {
		p *= 10
	}
	return p
}
