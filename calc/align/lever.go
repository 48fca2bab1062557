package align

import (
	"math"

	"datumbook/calc/worksheet"
)

// Stylus is the geometry of a lever indicator. Lengths are in inches.
type Stylus struct {
	Angle      float64 // between the stylus and the surface, degrees; 0 is along it
	Self       float64 // angle the tip is ground to read true at, degrees; 0 for a ball
	Made, Used float64 // length the dial was made for and length fitted; 0 for the same
}

// Factor is what a reading is multiplied by to give the true movement:
// cos(angle) for a ball tip, from the angle the tip reads true at, times the
// stylus lengths' ratio.
//
// Source: geometry of a lever whose tip moves on an arc; the factors are printed
// in tables for lever-type dial test indicators.
func (s Stylus) Factor() (float64, *worksheet.InputError) {
	const rad = math.Pi / 180
	f := math.Cos(s.Angle*rad) / math.Cos(s.Self*rad)
	if s.Made > 0 && s.Used > 0 {
		f *= s.Used / s.Made
	} else if s.Made > 0 || s.Used > 0 {
		key, says := "used", "Stylus fitted: its length is missing. Type both stylus lengths, or neither."
		if s.Made == 0 {
			key, says = "made", "Stylus the dial was made for: its length is missing. Type both stylus lengths, or neither."
		}
		return 0, worksheet.Refuse(key, says)
	}
	return f, nil
}
