package fits

import (
	"math"

	"datumbook/calc/drill"
)

// Pin is a dowel pin and its press hole. Lengths are in inches.
type Pin struct {
	Nominal          float64
	Name             string
	Min, Max         float64 // of the pin
	HoleMin, HoleMax float64 // of the press hole
	Shear            float64 // single shear, lbf, least; 0 where not given
}

// inchPins are the nominal sizes of ASME B18.8.2 in ten thousandths, as the
// standard rounds them.
var inchPins = [...]struct {
	name string
	d    int
}{
	{"1/16", 625}, {"3/32", 938}, {"1/8", 1250}, {"5/32", 1562}, {"3/16", 1875}, {"1/4", 2500}, {"5/16", 3125}, {"3/8", 3750},
	{"7/16", 4375}, {"1/2", 5000}, {"5/8", 6250}, {"3/4", 7500}, {"7/8", 8750}, {"1", 10000},
}

// isoPins are the sizes of ISO 8734 in tenths of a millimetre; the sizes of ASME
// B18.8.5M are those from 3 mm, and 25 mm.
var isoPins = [...]int{10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 120, 160, 200, 250}

// The families of pins.
const (
	InchPin = "inch" // ASME B18.8.2, hardened ground machine dowel pins
	ISOPin  = "iso"  // ISO 8734, m6
	USPin   = "us"   // ASME B18.8.5M, metric
)

// pinShear is the shear strength of hardened pins, psi, that the published
// single shear loads of ASME B18.8.2 come from.
const pinShear = 130e3

// FindPin gives a pin of a family by its nominal diameter in inches. Oversize is
// the larger series for worn holes; ISO 8734 has none. ok is false for a size
// the standard does not have.
//
// Inch pins are 0.0002 in over nominal, oversize 0.0010 in, within 0.0001 in;
// their press hole is nominal to 0.0005 in under (ASME B18.8.2, table 2). ISO
// pins are m6 and usually go into H7.
func FindPin(family string, d float64, oversize bool) (Pin, bool) {
	if family == InchPin {
		for _, r := range inchPins {
			if n := float64(r.d) / 10000; math.Abs(n-d) < .00006 {
				over := .0002
				if oversize {
					over = .0010
				}
				return Pin{n, r.name, n + over - .0001, n + over + .0001, n - .0005, n, pinShear * math.Pi / 4 * float64(n*n)}, true
			}
		}
		return Pin{}, false
	}
	for _, t := range isoPins {
		mm := float64(t) / 10
		if !near(mm/mmPerInch, d) {
			continue
		}
		const um = 1 / (1000 * mmPerInch)
		n := mm / mmPerInch
		name := plain(mm) + " mm"
		if family == USPin {
			if mm < 3 {
				return Pin{}, false
			}
			lo, hi := 3.0, 8.0
			if mm > 5 {
				hi = 9
			}
			if oversize {
				lo, hi = 25, 30
				if mm > 5 {
					hi = 31
				}
			}
			return Pin{n, name, n + float64(lo*um), n + float64(hi*um), n - float64(13*um), n, 0}, true
		}
		lo, hi, _ := ShaftZone("m", 6, mm)
		_, h, _ := HoleZone("H", 7, mm)
		return Pin{n, name, n + float64(lo*um), n + float64(hi*um), n, n + float64(h*um), 0}, mm <= 20
	}
	return Pin{}, false
}

// PinDrill gives the drill to use before the reamer: the largest that leaves a
// reaming allowance of 0.008 in to 1/4, 0.010 in to 1/2 and 1/64 in above.
func PinDrill(d float64, metric bool) drill.Size {
	leave := 1.0 / 64
	switch {
	case d <= .25:
		leave = .008
	case d <= .5:
		leave = .010
	}
	sets := []drill.Set{drill.Fraction, drill.Number, drill.Letter}
	if metric {
		sets = []drill.Set{drill.Metric}
	}
	below := drill.Between(0, d-leave+1e-9, sets...)
	if len(below) == 0 {
		return drill.Size{}
	}
	return below[len(below)-1]
}
