//go:build !js

package weigh

import (
	"math"

	"datumbook/calc/check"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "eyebolt", Rows: eyeChecks()},
		{Sheet: "weigh", Rows: weighChecks()},
		{Sheet: "sling", Rows: slingChecks()},
	}
}

const (
	mhGravity = "Machinery's Handbook, 31st ed., pp. 230-233, center of gravity"
	slingBook = "Sling tension tables in trade use, after ASME B30.9 and 29 CFR 1926.251"
	b1815     = "ASME B18.15, working loads of carbon steel shoulder eyebolts"
	byMakers  = "Makers' reduction of eyebolt ratings by angle, as published for a 3/8 in eyebolt rated 1,550 lb"
)

// row is a check as data: one function reads them all, since a closure for each would enlarge
// calc.wasm.
type row struct {
	what       string
	get        byte
	x          float64
	want, tol  float64
	unit       string
	source     string
	provenance check.Provenance // Published where empty
}

func checksOf(rows []row, eval func(get byte, x float64) float64) []check.Check {
	var out []check.Check
	for _, r := range rows {
		if r.provenance == "" {
			r.provenance = check.Published
		}
		out = append(out, check.Check{What: r.what, Got: func() float64 { return eval(r.get, r.x) }, Want: r.want, Tol: r.tol, Unit: r.unit, Source: r.source, Provenance: r.provenance})
	}
	return out
}

const byHand = "By hand"

var weighRows = []row{
	{"half a ball of radius 1, balance above its flat", 'd', 0, 3.0 / 8, 1e-9, "in", mhGravity, ""},
	{"cone 4 high, balance above its base", 'c', 0, 1, 1e-9, "in", mhGravity, ""},
	{"pyramid 4 high, balance above its base", 'p', 0, 1, 1e-9, "in", mhGravity, ""},
	{"half round of radius 1, balance above its flat", 'h', 0, .42441, 5e-5, "in", mhGravity, ""},
	{"fillet of radius 1, area", 'F', 0, .2146, 5e-5, "in2", mhGravity, ""},
	{"fillet of radius 1, balance from the corner", 'f', 0, .2234, 5e-5, "in", mhGravity, ""},
	{"steel cylinder 2.5 by 8, bored 1.5 by 6, with a copper cone 6 high on it: balance above the bottom", 'w', 0, 5.808, .001, "in",
		"Statics exercise with published solution, steel 489 and copper 556 lb/ft3", ""},
	{"steel, a cubic foot", 's', 0, 490, .5, "lb", "Unit weights in rigging handbooks", ""},
	{"grey iron, density", 'g', 0, 7.2, 1e-9, "g/cm3", "Material data for ASTM A48 grey iron, 450 lb/ft3 or 7.2 g/cm3", ""},
	{"frustum 6 to 2, 5 high, balance above its base", 'o', 0, 1.73076923, 1e-6, "in", "100,000 thin discs added up", check.Independent},
	{"iron plate 12 x 10 x 1.5, 0.26 lb/in3, 4 in hole at (9, 5): weight", 'W', 0, .26 * (180 - math.Pi*4*1.5), 1e-6, "lb", byHand, check.Independent},
	{"the same plate, balance in X", 'X', 0, (180*6 - math.Pi*4*1.5*9) / (180 - math.Pi*4*1.5), 1e-6, "in", byHand, check.Independent},
}

func weighChecks() []check.Check {
	return checksOf(weighRows, func(get byte, _ float64) float64 {
		switch get {
		case 'd':
			return Body{Shape: Dome, A: 2}.local().centre[2]
		case 'c':
			return Body{Shape: Cone, A: 3, C: 4}.local().centre[2]
		case 'p':
			return Body{Shape: Pyr, A: 3, B: 2, C: 4}.local().centre[2]
		case 'h':
			return Body{Shape: Half, A: 2, B: 1}.local().centre[2]
		case 'F':
			return Body{Shape: Fillet, A: 1, B: 1}.local().volume
		case 'f':
			return Body{Shape: Fillet, A: 1, B: 1}.local().centre[0]
		case 's', 'g':
			if get == 's' {
				d, _ := Density("steel")
				return d * 1728
			}
			d, _ := Density("grey")
			return d / poundsPerInch3
		case 'o':
			return Body{Shape: Cone, A: 6, B: 2, C: 5}.local().centre[2]
		case 'w':
			const steel, copper = 489.0 / 1728, 556.0 / 1728
			t, _ := Weigh([]Body{{Shape: Rod, A: 2.5, C: 8, Density: steel}, {Shape: Rod, A: 1.5, C: 6, Void: true, Density: steel}, {Shape: Cone, A: 2.5, C: 6, Z: 8, Density: copper}})
			return t.Centre[2]
		}
		t, _ := Weigh([]Body{{Shape: Box, A: 12, B: 10, C: 1.5, X: 6, Y: 5, Density: .26}, {Shape: Rod, A: 4, C: 1.5, X: 9, Y: 5, Void: true, Density: .26}})
		if get == 'W' {
			return t.Weight
		}
		return t.Centre[0]
	})
}

var slingRows = []row{
	{"factor at 75 degrees", 'f', 75, 1.035, .0006, "", slingBook, ""},
	{"factor at 60 degrees", 'f', 60, 1.155, .0006, "", slingBook, ""},
	{"factor at 50 degrees", 'f', 50, 1.305, .0006, "", slingBook, ""},
	{"factor at 45 degrees", 'f', 45, 1.414, .0006, "", slingBook, ""},
	{"factor at 30 degrees", 'f', 30, 2, .0006, "", slingBook, ""},
	{"10,000 lb on two legs at 60 degrees, each", 'F', 60, 5775, 5, "lbf", slingBook, ""},
	{"10,000 lb on two legs at 45 degrees, each", 'F', 45, 7070, 2, "lbf", slingBook, ""},
	{"10,000 lb hung 2 from one lug and 8 from the other, near lug with legs upright", 'u', 0, 8000, .01, "lbf", "Rigging handbooks: share of each pick point by the distance of the other", ""},
	{"1,000 lb, hook 6 up, lugs 2 and 3 from the balance: leg at 2", 't', 0, 632.455532, 1e-5, "lbf", "T1 = W D2 S1 / (H (D1 + D2)), by hand", check.Independent},
	{"600 lb on two lugs 1 either side, hook sqrt(3) up", 's', 0, 346.410162, 1e-5, "lbf", "W / (2 sin 60 degrees), by hand", check.Independent},
	{"1,000 lb on four lugs at (12, 8), hook 40 up: the worst leg", 'r', 0, 531.507291, 1e-5, "lbf", "Rigid load on two legs across, half x leg / rise, by hand", check.Independent},
}

func slingChecks() []check.Check {
	return checksOf(slingRows, func(get byte, x float64) float64 {
		hang := func(w float64, lugs ...Lug) float64 {
			l, f := Hang(w, lugs)
			if f != nil {
				return math.NaN()
			}
			return l[0].Tension
		}
		switch get {
		case 'f':
			return Factor(x)
		case 'F':
			return 10000 / 2 * Factor(x)
		case 'u':
			return hang(10000, Lug{-2, 0, 1e6}, Lug{8, 0, 1e6})
		case 't':
			return hang(1000, Lug{-2, 0, 6}, Lug{3, 0, 6})
		case 's':
			return hang(600, Lug{-1, 0, math.Sqrt(3)}, Lug{1, 0, math.Sqrt(3)})
		}
		return hang(1000, Lug{12, 8, 40}, Lug{-12, 8, 40}, Lug{-12, -8, 40}, Lug{12, -8, 40})
	})
}

// eyeRows: get is the size's place in Eyebolts as a letter from a, or the sign
// for a maker's rating; x is the angle.
var eyeRows = []row{
	{"1/2, straight", 'c', 0, 1840, 0, "lbf", b1815, ""},
	{"5/8, 30 degrees", 'd', 30, 1410, 0, "lbf", b1815, ""},
	{"3/4, 60 degrees", 'e', 60, 1310, 0, "lbf", b1815, ""},
	{"1 in, 90 degrees", 'f', 90, 2320, 0, "lbf", b1815, ""},
	{"2 in, straight", 'i', 0, 32500, 0, "lbf", b1815, ""},
	{"3/4, straight: half its proof load of 8,680", 'e', 0, 8680. / 2, 0, "lbf", "ASTM A489, proof loads", ""},
	{"1 in, straight: half its proof load of 15,760", 'f', 0, 15760. / 2, 0, "lbf", "ASTM A489, proof loads", ""},
	{"3/8 rated 1,550, 15 degrees", '*', 15, 1240, .5, "lbf", byMakers, ""},
	{"3/8 rated 1,550, 90 degrees", '*', 90, 388, .6, "lbf", byMakers, ""},
}

func eyeChecks() []check.Check {
	return checksOf(eyeRows, func(get byte, x float64) float64 {
		if get == '*' {
			return 1550 * Part(x)
		}
		return Eyebolts[get-'a'].Listed(x)
	})
}
