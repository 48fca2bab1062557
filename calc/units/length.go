// Package units holds the typed values of the trade and the units they are
// typed and read in.
//
// A Length is a whole number of picometres, so that everything a machinist
// writes on a drawing is held exactly: one inch is 25.4 mm by definition
// (international yard and pound agreement, 1959), 1/64 in is 396,875,000 pm
// and a tenth (0.0001 in) is 2,540,000 pm. The other quantities are float64
// values with a named unit; Dim lists the units of each.
package units

import "math"

// Length is a length in picometres. The range is about plus or minus 9,200
// kilometres, which no machine reaches.
type Length int64

// Lengths that are exact by definition.
const (
	Picometre  Length = 1
	Micrometre        = 1_000_000 * Picometre
	Millimetre        = 1_000 * Micrometre
	Metre             = 1_000 * Millimetre
	Inch              = 25_400 * Micrometre
	Foot              = 12 * Inch
	Thou              = Inch / 1_000  // 0.001 in
	Tenth             = Inch / 10_000 // 0.0001 in, a tenth of a thou
)

// Inches reads the length in inches.
func (l Length) Inches() float64 { return float64(l) / float64(Inch) }

// MM reads the length in millimetres.
func (l Length) MM() float64 { return float64(l) / float64(Millimetre) }

// FromInches returns the length nearest to x inches. The error is at most half
// a picometre, far below anything measured in a shop.
func FromInches(x float64) Length { return fromFloat(x, Inch) }

// FromMM returns the length nearest to x millimetres.
func FromMM(x float64) Length { return fromFloat(x, Millimetre) }

// fromFloat clamps instead of overflowing; NaN becomes 0. Both are unreachable
// from a worksheet, whose inputs are limited and whose results are guarded.
func fromFloat(x float64, unit Length) Length {
	pm := math.Round(x * float64(unit))
	switch {
	case pm != pm:
		return 0
	case pm >= math.MaxInt64:
		return math.MaxInt64
	case pm <= math.MinInt64:
		return math.MinInt64
	}
	return Length(pm)
}
