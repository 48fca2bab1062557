package shoptext

import (
	"strconv"

	"datumbook/calc/units"
)

// Inches writes a length in inches with the given decimals: 0.5313.
func Inches(l units.Length, places int) string {
	d, _ := units.Round(l.Inches(), places)
	return d.Text()
}

// Fraction writes a length that is a whole number of 64ths as a machinist
// does: 17/32, 1-3/8, 2. ok is false for any other length.
func Fraction(l units.Length) (text string, ok bool) {
	const part = units.Inch / 64
	if l%part != 0 {
		return "", false
	}
	n := int64(l / part)
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, num, den := n/64, n%64, int64(64)
	for num > 0 && num%2 == 0 {
		num, den = num/2, den/2
	}
	switch {
	case num == 0:
		return sign + strconv.FormatInt(whole, 10), true
	case whole == 0:
		return sign + strconv.FormatInt(num, 10) + "/" + strconv.FormatInt(den, 10), true
	}
	return sign + strconv.FormatInt(whole, 10) + "-" + strconv.FormatInt(num, 10) + "/" + strconv.FormatInt(den, 10), true
}

// Nearest writes a length as the nearest 64th and what is over in ten
// thousandths: 27/64 + .0046.
func Nearest(l units.Length) string {
	const part = units.Inch / 64
	n := l / part
	if rest := l - n*part; rest*2 > part {
		n++
	} else if rest*2 < -part {
		n--
	}
	text, _ := Fraction(n * part)
	over, _ := units.Round((l - n*part).Inches(), 4)
	switch {
	case over.Units == 0:
		return text
	case over.Units > 0:
		return text + " + " + over.Text()[1:]
	}
	return text + " - " + over.Text()[2:]
}
