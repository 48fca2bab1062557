package cut

import "math"

// RPM gives the spindle speed for a surface speed v in ft/min at a diameter d
// in inches: n = 12 v/(pi d).
func RPM(v, d float64) float64 { return 12 * v / float64(math.Pi*d) }

// Surface gives the surface speed in ft/min of a spindle speed at a diameter.
func Surface(rpm, d float64) float64 { return float64(math.Pi*d) * rpm / 12 }

// Speed is a spindle speed chosen from the machine's own.
type Speed struct {
	RPM   float64
	Above bool // it is above the target speed
	Fast  bool // even the machine's slowest speed exceeds the cap
}

// PickSpeed chooses from the machine's list: the next at or below the target; if that is less than
// three quarters of it, the neighbour with the smaller ratio to it, the upper one only up to the
// cap. Without a list, the target itself.
func PickSpeed(list []float64, aim, most float64) Speed {
	if len(list) == 0 {
		return Speed{RPM: min(aim, most)}
	}
	below, above, slowest := 0.0, math.Inf(1), math.Inf(1)
	for _, n := range list {
		slowest = min(slowest, n)
		if n > most*(1+1e-9) {
			continue
		}
		if n <= aim*(1+1e-9) {
			below = max(below, n)
		} else {
			above = min(above, n)
		}
	}
	none := math.IsInf(above, 0)
	switch {
	case below == 0 && none:
		return Speed{RPM: slowest, Above: true, Fast: true}
	case below == 0:
		return Speed{RPM: above, Above: true}
	case below < .75*aim && !none && above/aim < aim/below:
		return Speed{RPM: above, Above: true}
	}
	return Speed{RPM: below}
}

// PickFeed chooses the largest feed of the list at or below the target, else the smallest; over
// reports the latter.
func PickFeed(list []float64, aim float64) (feed float64, over bool) {
	if len(list) == 0 {
		return aim, false
	}
	best, least := 0.0, math.Inf(1)
	for _, f := range list {
		least = min(least, f)
		if f <= aim*(1+1e-9) {
			best = max(best, f)
		}
	}
	if best == 0 {
		return least, true
	}
	return best, false
}

// DrillFeed gives the range of feeds per turn for a drill by its diameter, in
// (NAVEDTRA 14345, drill feeds).
func DrillFeed(d float64) (lo, hi float64) {
	switch {
	case d < 1.0/8:
		return .001, .002
	case d < 1.0/4:
		return .002, .004
	case d < 1.0/2:
		return .004, .007
	case d <= 1:
		return .007, .015
	}
	return .015, .025
}

// heavyDrill is how many times the table's largest feed is called a heavy one. Common practice, no
// published source.
const heavyDrill = 1.5

// MostFeed gives the largest feed that is not called heavy: of mills and reamers per tooth, else
// per turn. That of a face mill is the table's; others may go past theirs by half.
func (m Material) MostFeed(op Op, d float64) float64 {
	_, drill := DrillFeed(d)
	switch op {
	case FaceMill:
		return m.Face.hi
	case EndMill:
		return heavyDrill * m.EndFeed(d)
	case Ream:
		return heavyDrill * .0025
	case Bore:
		return heavyDrill * m.BoreFeed.hi
	}
	return heavyDrill * drill
}

// Told rounds a spindle speed down to the two figures it is told by.
func Told(rpm float64) float64 {
	unit := 1.0
	for rpm >= 100*unit {
		unit *= 10
	}
	for unit > 1e-9 && rpm < 10*unit {
		unit /= 10
	}
	return math.Floor(rpm/unit+1e-6) * unit
}

// Deep returns the factors on speed and feed in a hole of the given depth in diameters (published
// drill guide, deep holes: 3, 4, 5, 6 diameters).
func Deep(diameters float64) (speed, feed float64) {
	switch {
	case diameters >= 6:
		return .60, .80
	case diameters >= 5:
		return .70, .80
	case diameters >= 4:
		return .80, .90
	case diameters >= 3:
		return .90, .90
	}
	return 1, 1
}

// EndFeed gives the feed per tooth of an end mill of diameter d, in: linear between the table's 1/4
// in and 1 in cutters, proportional below, constant above.
func (m Material) EndFeed(d float64) float64 {
	switch {
	case d <= .25:
		return m.End.lo * d / .25
	case d >= 1:
		return m.End.hi
	}
	return m.End.at((d - .25) / .75)
}

// Thinning gives by how much the feed per tooth may rise where the width of cut
// ae is less than half the diameter d, so that the thickest chip stays the same:
// 1/(2 sqrt(ae/d - (ae/d)^2)), at most 2; Thinned has no such limit.
func Thinning(ae, d float64) float64 { return min(Thinned(ae, d), 2) }

// Thinned gives how many times the feed per tooth is the thickest chip of a side cut.
func Thinned(ae, d float64) float64 {
	x := ae / d
	if x >= .5 || x <= 0 {
		return 1
	}
	return 1 / float64(2*math.Sqrt(x-float64(x*x)))
}

// Op is a machining operation.
type Op string

// The operations.
const (
	FaceMill Op = "facemill"
	EndMill  Op = "endmill"
	Drill    Op = "drill"
	Ream     Op = "ream"
	Tap      Op = "tap"
	Csink    Op = "csink"
	Bore     Op = "bore"
)

// Range gives the surface speeds for an operation with high speed steel or
// carbide, ft/min. Carbide drills run at twice high speed steel (NAVEDTRA 14345:
// two to three times), carbide reamers at three times, boring at twice (shop
// table); countersinks at a quarter to a half of the drill's speed (practice).
func (m Material) Range(op Op, carbide bool) (lo, hi float64) {
	s, times := m.Mill, 1.0
	switch op {
	case Drill:
		s, times = m.Drill, 2
	case Ream:
		s, times = span{.8 * m.Ream, m.Ream}, 3
	case Tap:
		s = m.Tap
	case Csink:
		s, times = span{.25 * m.Drill.lo, .5 * m.Drill.lo}, 2
	case Bore:
		s, times = m.Bore, 2
	default:
		if carbide {
			return m.Carbide.lo, m.Carbide.hi
		}
	}
	if !carbide {
		times = 1
	}
	return s.lo * times, s.hi * times
}
