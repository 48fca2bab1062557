package units

import "math"

// tie is how far below a half, in units of the last place, a number may lie and still be rounded
// up: a value that is a half by definition comes out of floating point slightly to either side,
// depending on the machine.
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
			return Decimal{}, false // larger than 9e15: not a plausible result
		}
		places--
	}
}

// Float gives the decimal as a float64.
func (d Decimal) Float() float64 { return float64(d.Units) / pow10(d.Places) }

// Text writes the decimal with all its places, and a leading zero.
func (d Decimal) Text() string {
	var room [48]byte
	return string(d.Append(room[:0]))
}

// Trim writes the decimal without trailing zeros: a JSON number.
func (d Decimal) Trim() string { return d.Short(0).Text() }

// Short gives the decimal with trailing zeros dropped, down to the given
// places.
func (d Decimal) Short(places int) Decimal {
	for d.Places > places {
		tenth := d.Units / 10
		if 10*tenth != d.Units {
			break
		}
		d.Units = tenth
		d.Places--
	}
	return d
}

// Append writes the decimal behind b as Text does.
func (d Decimal) Append(b []byte) []byte {
	n, places := d.Units, d.Places
	if n < 0 {
		b = append(b, '-')
		n = -n
	}
	var digits [40]byte // from the end: 19 of an int64, at most 9 places, a point
	i := len(digits)
	for at := 0; n > 0 || at <= places; at++ {
		if at == places && at > 0 {
			i--
			digits[i] = '.'
		}
		i--
		tenth := n / 10
		if n < 1<<32 { // a multiplication, where WebAssembly has no quick division
			tenth = int64(uint64(n) * 0xcccccccd >> 35)
		}
		digits[i] = byte('0' + n - 10*tenth)
		n = tenth
	}
	return append(b, digits[i:]...)
}

func pow10(n int) float64 {
	p := 1.0
	for range n {
		p *= 10
	}
	return p
}
