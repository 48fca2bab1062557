package fits

import (
	"math"

	"datumbook/calc/drill"
)

// Fit is a class of clearance hole.
type Fit int

// The classes of ASME B18.2.8; ISO 273 calls them fine, medium and coarse.
const (
	Close Fit = iota
	Normal
	Loose
)

var fitNames = [3]string{"close", "normal", "loose"}

// String gives the class in lower case.
func (f Fit) String() string { return fitNames[f] }

func fitOf(key string) Fit {
	for i, n := range fitNames {
		if n == key {
			return Fit(i)
		}
	}
	return Normal
}

// Hole is a clearance hole. Lengths are in inches.
type Hole struct {
	Drill    string  // the drill its table names
	Dia      float64 // of that drill
	Min, Max float64 // limits of the hole
}

// Clearance gives the hole a screw passes through (ASME B18.2.8-1999, ISO 273).
// The largest metric hole is the smallest with the tolerance H12, H13 or H14.
func Clearance(s Screw, f Fit) Hole {
	if s.Metric {
		d := float64(metricRows[s.row].hole[f]) / 10
		tol := itMicrons(12+int(f), d) / 1000
		name := metricDrill(d)
		return Hole{name, d / mmPerInch, d / mmPerInch, (d + tol) / mmPerInch}
	}
	r := inchRows[s.row]
	size, _ := drill.Lookup(r.drill[f])
	return Hole{r.drill[f], size.Inches, float64(r.lim[f][0]) / 1000, float64(r.lim[f][1]) / 1000}
}

// exact takes the drill itself as the least hole, where the table gives it to three places.
func (h Hole) exact() Hole {
	if math.Abs(h.Min-h.Dia) < .00055 {
		h.Min = h.Dia
	}
	return h
}

func metricDrill(d float64) string {
	size, _ := drill.Nearest(drill.Between((d-.01)/mmPerInch, (d+.01)/mmPerInch, drill.Metric), d/mmPerInch)
	if near(size.MM, d) {
		return size.Name
	}
	return plain(d) + " mm"
}

// OtherDrill gives the smallest drill of the other system of units that makes a
// hole within the limits; ok is false where there is none.
func OtherDrill(s Screw, h Hole) (drill.Size, bool) {
	sets := []drill.Set{drill.Metric}
	if s.Metric {
		sets = []drill.Set{drill.Fraction, drill.Number, drill.Letter}
	}
	for _, d := range drill.Between(h.Min-1e-9, h.Max, sets...) {
		return d, true
	}
	return drill.Size{}, false
}
