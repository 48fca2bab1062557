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
		{Sheet: "weigh", Rows: append(weighChecks(), meetChecks()...)},
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

// meetChecks are parts whose bodies meet, in iron of .26 lb/in3: weights, common volumes and a
// balance, from the formulas of segment, lens, cap and crossed cylinders.
func meetChecks() (out []check.Check) {
	const density = .26
	box := func(a, b, c float64) Body {
		return Body{Shape: Box, A: a, B: b, C: c, X: a / 2, Y: b / 2, Density: density}
	}
	cut := func(s Shape, a, b, c, x, y, z float64) Body {
		return Body{Shape: s, A: a, B: b, C: c, X: x, Y: y, Z: z, Void: true, Density: density}
	}
	add := func(what, source, unit string, want, tol float64, get func(t Total) float64, list ...Body) {
		out = append(out, check.Check{What: what, Got: func() float64 {
			t, f := Weigh(list)
			if f != nil {
				return math.NaN()
			}
			return get(t)
		}, Want: want, Tol: tol, Unit: unit, Source: source, Provenance: check.Independent})
	}
	weight := func(t Total) float64 { return t.Weight }
	volume := func(t Total) float64 { return t.Volume }
	last := func(t Total) float64 { return t.Bodies[len(t.Bodies)-1].Volume }
	const (
		hand    = "By hand, counted apart on a grid of points: "
		crossed = "8 x integral of r^2 cos^2 t sqrt(R^2 - r^2 sin^2 t), counted apart on a grid of points"
	)
	plate, slab := box(10, 10, 1), box(10, 10, 2)
	hole := cut(Rod, 4, 0, 1, 5, 5, 0)
	tall := cut(Rod, 4, 0, 3, 5, 5, 0)
	const h3 = "10 x 10 x 1 plate, "
	add(h3+"rod 4 in standing 3 high cut from it", hand+"pi 2^2 x 1 is all there is", "lb", 22.73, .005, weight, plate,
		tall)
	add(h3+"the same: volume left", hand+"100 - 4 pi", "in3", 87.43, .005, volume, plate, tall)
	add(h3+"the same hole entered twice", hand+"a hole is cut once", "lb", 22.73, .005, weight, plate, hole, hole)
	pair := []Body{plate, cut(Rod, 4, 0, 1, 3.5, 5, 0), cut(Rod, 4, 0, 1, 6.5, 5, 0)}
	add(h3+"two holes of 4, centres 3 apart: the second takes", hand+"pi 2^2 less the lens of 1.813", "in3",
		4*math.Pi-1.813, .001, last, pair...)
	add(h3+"two holes of 4, centres 3 apart", hand+"removed 23.32", "lb", 19.94, .005, weight, pair...)
	edge := []Body{plate, cut(Rod, 3, 0, 1, 1, 5, 0)}
	add(h3+"hole of 3, centre 1 from the edge: removed", hand+"pi 1.5^2 less the segment outside, .7744", "in3", 6.294,
		.001, last, edge...)
	add(h3+"the same: weight", hand+"100 - 6.294", "lb", 24.36, .005, weight, edge...)
	add(h3+"the same: removed metal's centre from the edge", hand+"segment's centroid", "in", 1.148, .001,
		func(t Total) float64 { return t.Bodies[1].Centre[0] }, edge...)
	add(h3+"the same: balance", hand+"moments", "in", 5.259, .001, func(t Total) float64 { return t.Centre[0] }, edge...)
	add(h3+"box 6 x 6 cut, centred on a corner", hand+"it takes 3 x 3", "lb", 23.66, .005, weight, plate,
		cut(Box, 6, 6, 1, 0, 0, 0))
	add("10 x 10 x 3 block, ball of 4 centred .5 below the top cut: removed", hand+"pi 4^3/6 less the cap of 10.60",
		"in3", 22.91, .005, last, box(10, 10, 3), cut(Ball, 4, 0, 0, 5, 5, 2.5))
	add("the same: weight", hand+"300 - 22.91", "lb", 72.04, .005, weight, box(10, 10, 3), cut(Ball, 4, 0, 0, 5, 5, 2.5))
	bar := Body{Shape: Rod, A: 6, C: 8, Z: -4, Density: density}
	through := func(r, l float64) Body { return Body{Shape: Rod, A: 2 * r, C: l, X: -l / 2, Axis: "x", Void: true} }
	add("bar 6 in, 8 long, cross hole of 3: common", crossed, "in3", 41.04, .005, last, bar, through(1.5, 8))
	add("the same: weight", crossed, "lb", 48.14, .005, weight, bar, through(1.5, 8))
	add("crossed rods of 3 and 1 in: common", crossed, "in3", 2.323, .001, last,
		Body{Shape: Rod, A: 3, C: 8, Z: -4, Density: density}, through(.5, 8))
	ball := Body{Shape: Ball, A: 6, Density: density}
	add("ball of 6 bored 2 through: left", "pi H^3/6 with H = 2 sqrt(3^2 - 1^2)", "in3", 94.78, .005, volume, ball,
		through(1, 8))
	add("10 x 10 x 2 plate, pocket 4 x 4 x .75 and a hole of 2 in it, through", hand+"200 - 12 - 1.25 pi", "lb", 47.86,
		.005, weight,
		slab, cut(Box, 4, 4, .75, 5, 5, 1.25), cut(Rod, 2, 0, 2, 5, 5, 0))
	bores := []Body{box(10, 10, 1.5)}
	for i := range 4 {
		x, y := 2.5+float64(5*(i%2)), 2.5+float64(5*(i/2))
		bores = append(bores, cut(Rod, 1, 0, 1.5, x, y, 0), cut(Rod, 2, 0, .5, x, y, 1))
	}
	add("10 x 10 x 1.5 plate, four holes of 1 with counterbores of 2, .5 deep", hand+"2.356 in3 each", "lb", 36.55,
		.005, weight, bores...)
	drill := func(axis Axis) []Body {
		pl := .5 / math.Tan(59*math.Pi/180)
		down, point := cut(Rod, 1, 0, 2, 5, 5, 3), cut(Cone, 1, 0, pl, 5, 5, 1)
		down.Axis, point.Axis = axis, axis
		return []Body{box(10, 10, 3), down, point}
	}
	add("hole of 1, 2 deep with its 118 degree point: removed", "pi/4 x 2 + pi/12 x .3004, point .0787", "in3", 1.649,
		.001, func(t Total) float64 { return 300 - t.Volume }, drill("-z")...)
	post := []Body{{Shape: Box, A: 10, B: 6, C: 2, Density: density}, {Shape: Rod, A: 4, C: 6, Z: 1, Density: density}}
	add("post of 4, 6 high, let 1 in into a 10 x 6 x 2 base, both added", hand+"120 + 24 pi - 4 pi", "lb", 47.54, .005,
		weight, post...)
	add("balls of radius 3 and 2, centres 4 apart: common", "pi (R+r-d)^2 (d^2 + 2d(R+r) - 3(R-r)^2)/(12 d)", "in3",
		3.469, .004, last, ball, cut(Ball, 4, 0, 0, 4, 0, 0))
	add("cap 1 high of a ball of radius 3", "pi h^2 (3R - h)/3", "in3", 8.378, .001, last, ball,
		cut(Box, 8, 8, 2, 0, 0, 2))
	return out
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
