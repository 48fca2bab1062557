package weigh

import (
	"math"

	"datumbook/calc/engage"
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Eyebolt is a size of forged carbon steel eyebolt, shoulder pattern, with its
// safe working loads in pounds by the angle of the pull from the vertical, 0,
// 30, 60 and 90 degrees; 0 is not recommended.
type Eyebolt struct {
	Key, Thread string
	Dia         float64
	Load        [4]float64
}

// Eyebolts lists ASME B18.15, as reproduced for carbon steel (ASTM A489).
var Eyebolts = [...]Eyebolt{
	{"1/4", "1/4-20", .25, [4]float64{400, 75, 0, 0}},
	{"3/8", "3/8-16", .375, [4]float64{1000, 400, 220, 180}},
	{"1/2", "1/2-13", .5, [4]float64{1840, 850, 520, 440}},
	{"5/8", "5/8-11", .625, [4]float64{2940, 1410, 890, 740}},
	{"3/4", "3/4-10", .75, [4]float64{4340, 2230, 1310, 1140}},
	{"1", "1-8", 1, [4]float64{7880, 3850, 2630, 2320}},
	{"1-1/4", "1-1/4-7", 1.25, [4]float64{12600, 6200, 4125, 3690}},
	{"1-1/2", "1-1/2-6", 1.5, [4]float64{18260, 9010, 6040, 5460}},
	{"2", "2-4.5", 2, [4]float64{32500, 15970, 10910, 9740}},
}

// FindEyebolt looks a size up.
func FindEyebolt(key string) (Eyebolt, bool) {
	return units.First(Eyebolts[:], func(e Eyebolt) bool { return e.Key == key })
}

// SteepestPull is the most a pull on a shoulder eyebolt may lean from the
// vertical, degrees; StraightPull the most that still counts as vertical.
const (
	SteepestPull = 45
	StraightPull = 5
)

// Part returns the fraction of its vertical rating that makers allow a shoulder eyebolt at an angle
// from the vertical, by the next larger angle they table: 80 % to 15 degrees, 65 % to 30, 30 % to
// 45 and 25 % to 90.
func Part(degrees float64) float64 {
	switch {
	case degrees <= StraightPull:
		return 1
	case degrees <= 15:
		return .80
	case degrees <= 30:
		return .65
	case degrees <= 45:
		return .30
	}
	return .25
}

// Listed gives the load of ASME B18.15 at an angle, by the next larger angle
// tabled. 0 is not recommended.
func (e Eyebolt) Listed(degrees float64) float64 {
	switch {
	case degrees <= StraightPull:
		return e.Load[0]
	case degrees <= 30:
		return e.Load[1]
	case degrees <= 60:
		return e.Load[2]
	}
	return e.Load[3]
}

// Allowed returns the least of the standard's table, a rating's part at the angle, and the part of
// the maker's rating if given. Rated is the maker's vertical rating, 0 where it is not known; e.Dia
// is 0 for a size the table does not have.
func Allowed(e Eyebolt, rated, degrees float64) float64 {
	out := math.Inf(1)
	if e.Dia > 0 {
		out = min(e.Listed(degrees), e.Load[0]*Part(degrees))
	}
	if rated > 0 {
		out = min(out, rated*Part(degrees))
	}
	if math.IsInf(out, 1) {
		return 0
	}
	return out
}

// eyeboltTensile is the least tensile strength of ASTM A489 steel, psi.
const eyeboltTensile = 65e3

// Grip returns how many times the pull the tapped thread holds, by the weaker of the two ways of
// engage, for the length of full thread in inches.
func Grip(e Eyebolt, m engage.Metal, length, pull float64) (float64, *worksheet.InputError) {
	t, err := thread.Parse(e.Thread)
	if err != nil {
		return 0, worksheet.Refuse("size", err.Error()+".")
	}
	s, f := engage.Length(engage.Joint{Thread: t, Bolt: eyeboltTensile, Tensile: m.Tensile, Shear: m.Shear})
	if f != nil {
		return 0, f
	}
	a, b, _ := s.Strip(length)
	return min(a, b) / pull, nil
}
