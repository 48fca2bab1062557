package align

import (
	"math"
	"strconv"

	"datumbook/calc/fitting"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Needle is the quality of readings that were fitted, where what is left off the fit is their
// scatter.
type Needle struct {
	Grad float64 // graduation, inches
	SD   float64 // scatter of the readings about what was fitted, inches
	Free int     // degrees of freedom of SD; 0 if none
}

// One is the standard uncertainty of one reading, inches: the graduation as a uniform width Grad,
// and the scatter.
//
// Source: JCGM 100:2008, F.2.2.1 (resolution) and 5.1.2 (sum of squares).
func (n Needle) One() float64 {
	return math.Sqrt(float64(n.SD*n.SD) + float64(n.Grad*n.Grad)/12)
}

// Factor is the coverage factor for about 95 %: 2, or more if the scatter is from few readings. One
// degree of freedom is too few for Student's t, and 2 is kept.
//
// Source: JCGM 100:2008, G.4.1 (Welch-Satterthwaite) and G.3.
func (n Needle) Factor() float64 {
	if n.Free < 2 || n.SD == 0 {
		return 2
	}
	part := n.SD / n.One()
	p2 := part * part
	nu := math.Floor(float64(n.Free) / float64(p2*p2))
	if nu > 1e6 {
		return 2
	}
	t, err := fitting.StudentQuantile(.975, nu)
	if err != nil {
		return 2
	}
	return max(2, t)
}

// Sure is the half width, at about 95 %, of a result whose standard error would be unit for
// readings of standard error 1.
func (n Needle) Sure(unit float64) float64 { return n.Factor() * n.One() * unit }

// Fine writes a small length: hundred thousandths of an inch or tenths of a
// micrometre, trailing zeros cut.
func Fine(o *worksheet.Out, inches float64) string {
	return o.Scaled(inches, 5, " in", 25.4, 4, " mm")
}

// FineBare is Fine without the unit.
func FineBare(o *worksheet.Out, inches float64) string {
	return o.Scaled(inches, 5, "", 25.4, 4, "")
}

// Full writes a needle's length, given in inches, with all its digits: as typed, or for a worked
// line. The unit is the needle's, as everywhere: thou or millimetres.
func Full(o *worksheet.Out, inches float64) string {
	return FullBare(o, inches) + worksheet.Either(o.System == units.MetricSystem, " mm", " thou")
}

// FullBare is Full without the unit.
func FullBare(o *worksheet.Out, inches float64) string {
	if o.System == units.MetricSystem {
		return o.Dec(inches*25.4, 5)
	}
	return noughtless(o.Dec(inches*1000, 4))
}

// Long writes a distance along a face, given in inches, as it was typed.
func Long(o *worksheet.Out, inches float64) string {
	if o.System == units.MetricSystem {
		return o.Dec(inches*25.4, 1) + " mm"
	}
	return noughtless(o.Dec(inches, 2)) + " in"
}

// noughtless drops the nought before a decimal point.
func noughtless(s string) string {
	switch {
	case len(s) > 1 && s[:2] == "0.":
		return s[1:]
	case len(s) > 2 && s[:3] == "-0.":
		return "-" + s[2:]
	}
	return s
}

// DMS writes an angle given in radians in degrees, minutes and seconds.
func DMS(rad float64) string {
	tenths := math.Floor(float64(math.Abs(rad)*(180/math.Pi)*36000) + .5)
	sign := worksheet.Either(rad < 0 && tenths > 0, "-", "")
	n := int64(tenths)
	sec := n % 600
	return sign + strconv.FormatInt(n/36000, 10) + " deg " + strconv.FormatInt(n/600%60, 10) + "' " +
		strconv.FormatInt(sec/10, 10) + "." + strconv.FormatInt(sec%10, 10) + "\""
}
