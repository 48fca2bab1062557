package weigh

import (
	"math"

	"datumbook/calc/check"
)

const (
	mhGravity = "Machinery's Handbook, 31st ed., pp. 230-233, center of gravity"
	slingBook = "Sling tension tables in trade use, after ASME B30.9 and 29 CFR 1926.251"
	b1815     = "ASME B18.15, working loads of carbon steel shoulder eyebolts"
	byMakers  = "Makers' reduction of eyebolt ratings by angle, as published for a 3/8 in eyebolt rated 1,550 lb"
)

func pub(what string, got func() float64, want, tol float64, unit, source string) check.Check {
	return check.Check{What: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Provenance: check.Published}
}

func height(b Body) func() float64 { return func() float64 { return b.local().centre[2] } }

// weighChecks: bodies, a worked example, and slices in place of formulas.
func weighChecks() []check.Check {
	steel := 489.0 / 1728
	copper := 556.0 / 1728
	worked := func() Total {
		t, _ := Weigh([]Body{
			{Shape: Rod, A: 2.5, C: 8, Density: steel},
			{Shape: Rod, A: 1.5, C: 6, Void: true, Density: steel},
			{Shape: Cone, A: 2.5, C: 6, Z: 8, Density: copper},
		})
		return t
	}
	perFoot := func(key string) func() float64 {
		return func() float64 { d, _ := Density(key); return d * 1728 }
	}
	frustum := Body{Shape: Cone, A: 6, B: 2, C: 5}
	return []check.Check{
		pub("half a ball of radius 1, balance above its flat", height(Body{Shape: Dome, A: 2}), 3.0/8, 1e-9, "in", mhGravity),
		pub("cone 4 high, balance above its base", height(Body{Shape: Cone, A: 3, C: 4}), 1, 1e-9, "in", mhGravity),
		pub("pyramid 4 high, balance above its base", height(Body{Shape: Pyr, A: 3, B: 2, C: 4}), 1, 1e-9, "in", mhGravity),
		pub("half round of radius 1, balance above its flat", height(Body{Shape: Half, A: 2, B: 1}), .42441, 5e-5, "in", mhGravity),
		pub("fillet of radius 1, area", func() float64 { return Body{Shape: Fillet, A: 1, B: 1}.local().volume }, .2146, 5e-5, "in2", mhGravity),
		pub("fillet of radius 1, balance from the corner", func() float64 { return Body{Shape: Fillet, A: 1, B: 1}.local().centre[0] }, .2234, 5e-5, "in", mhGravity),
		pub("steel cylinder 2.5 by 8, bored 1.5 by 6, with a copper cone 6 high on it: balance above the bottom", func() float64 { return worked().Centre[2] }, 5.808, .001, "in",
			"Statics exercise with published solution, steel 489 and copper 556 lb/ft3"),
		pub("steel, a cubic foot", perFoot("steel"), 490, .5, "lb", "Unit weights in rigging handbooks"),
		pub("grey iron, density", func() float64 { d, _ := Density("grey"); return d / poundsPerInch3 }, 7.2, 1e-9, "g/cm3", "Material data for ASTM A48 grey iron, 450 lb/ft3 or 7.2 g/cm3"),
		{What: "frustum 6 to 2, 5 high, balance above its base", Got: height(frustum), Want: sliced(frustum), Tol: 1e-6, Unit: "in",
			Source: "100,000 thin discs added up", Provenance: check.Independent},
		{What: "iron plate 12 x 10 x 1.5, 0.26 lb/in3, 4 in hole at (9, 5): weight", Got: func() float64 { return plate().Weight }, Want: .26 * (180 - math.Pi*4*1.5), Tol: 1e-6, Unit: "lb",
			Source: "By hand", Provenance: check.Independent},
		{What: "the same plate, balance in X", Got: func() float64 { return plate().Centre[0] }, Want: (180*6 - math.Pi*4*1.5*9) / (180 - math.Pi*4*1.5), Tol: 1e-6, Unit: "in",
			Source: "By hand", Provenance: check.Independent},
	}
}

func plate() Total {
	t, _ := Weigh([]Body{{Shape: Box, A: 12, B: 10, C: 1.5, X: 6, Y: 5, Density: .26}, {Shape: Rod, A: 4, C: 1.5, X: 9, Y: 5, Void: true, Density: .26}})
	return t
}

// sliced finds the balance of a frustum by adding up thin discs.
func sliced(b Body) float64 {
	const n = 100000
	volume, moment := 0.0, 0.0
	for i := range n {
		h := (float64(i) + .5) / n * b.C
		d := b.A + (b.B-b.A)*h/b.C
		v := d * d
		volume += v
		moment += v * h
	}
	return moment / volume
}

func slingChecks() []check.Check {
	var out []check.Check
	for _, r := range []struct{ deg, factor float64 }{{75, 1.035}, {60, 1.155}, {50, 1.305}, {45, 1.414}, {30, 2}} {
		out = append(out, pub("factor at a number of degrees, "+[]string{"75", "60", "50", "45", "30"}[len(out)], func() float64 { return Factor(r.deg) }, r.factor, .0006, "", slingBook))
	}
	four := func() []Lug {
		return []Lug{{12, 8, 40}, {-12, 8, 40}, {-12, -8, 40}, {12, -8, 40}}
	}
	hang := func(w float64, i int, lugs ...Lug) func() float64 {
		return func() float64 {
			l, f := Hang(w, lugs)
			if f != nil {
				return math.NaN()
			}
			return l[i].Tension
		}
	}
	h60 := math.Sqrt(3)
	return append(out,
		pub("10,000 lb on two legs at 60 degrees, each", func() float64 { return 10000 / 2 * Factor(60) }, 5775, 5, "lbf", slingBook),
		pub("1,000 lb on two legs at 45 degrees, each", func() float64 { return 1000 / 2 * Factor(45) }, 707, .5, "lbf", slingBook),
		pub("10,000 lb hung 2 from one lug and 8 from the other, near lug with legs upright", hang(10000, 0, Lug{-2, 0, 1e6}, Lug{8, 0, 1e6}), 8000, .01, "lbf", "Rigging handbooks: share of each pick point by the distance of the other"),
		check.Check{What: "1,000 lb, hook 6 up, lugs 2 and 3 from the balance: leg at 2", Got: hang(1000, 0, Lug{-2, 0, 6}, Lug{3, 0, 6}), Want: 1000 * 3 * math.Hypot(2, 6) / (6 * 5), Tol: 1e-6, Unit: "lbf",
			Source: "T1 = W D2 S1 / (H (D1 + D2)), by hand", Provenance: check.Independent},
		check.Check{What: "two legs by their lugs are the two legs by their angle", Got: hang(600, 1, Lug{-1, 0, h60}, Lug{1, 0, h60}), Want: 600 / (2 * math.Sin(math.Pi/3)), Tol: 1e-6, Unit: "lbf",
			Source: "W / (2 sin 60 degrees), by hand", Provenance: check.Independent},
		check.Check{What: "four lugs in a rectangle: the worst leg carries half", Got: hang(1000, 2, four()...), Want: 500 * math.Sqrt(12*12+8*8+40*40) / 40, Tol: 1e-6, Unit: "lbf",
			Source: "Rigid load on two legs across, by hand", Provenance: check.Independent},
	)
}

func eyeChecks() []check.Check {
	listed := func(key string, deg float64) func() float64 {
		return func() float64 { e, _ := FindEyebolt(key); return e.Listed(deg) }
	}
	made := func(deg float64) func() float64 { return func() float64 { return 1550 * Part(deg) } }
	return []check.Check{
		pub("1/2, straight", listed("1/2", 0), 1840, 0, "lbf", b1815),
		pub("5/8, 30 degrees", listed("5/8", 30), 1410, 0, "lbf", b1815),
		pub("3/4, 60 degrees", listed("3/4", 60), 1310, 0, "lbf", b1815),
		pub("1, 90 degrees", listed("1", 90), 2320, 0, "lbf", b1815),
		pub("2, straight", listed("2", 0), 32500, 0, "lbf", b1815),
		pub("3/4: twice the straight load is the proof load", func() float64 { return 2 * listed("3/4", 0)() }, 8680, 0, "lbf", "ASTM A489, proof loads"),
		pub("1: twice the straight load is the proof load", func() float64 { return 2 * listed("1", 0)() }, 15760, 0, "lbf", "ASTM A489, proof loads"),
		pub("3/8 rated 1,550, 15 degrees", made(15), 1240, .5, "lbf", byMakers),
		pub("3/8 rated 1,550, 90 degrees", made(90), 388, .6, "lbf", byMakers),
	}
}
