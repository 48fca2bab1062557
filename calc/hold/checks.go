//go:build !js

package hold

import (
	"datumbook/calc/check"
	"datumbook/calc/joint"
	"datumbook/calc/thread"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "torque", Rows: append(torqueChecks(), joint.Rows()...)},
		{Sheet: "hold", Rows: stayChecks()},
		{Sheet: "strap", Rows: strapChecks()},
	}
}

// bolt is a shorthand for the checks: a bolt that must be found.
func bolt(designation, grade string) *joint.Bolt {
	t, _ := thread.Parse(designation)
	b, _ := joint.Grade(t, grade)
	return &b
}

const (
	mm   = 25.4
	kN   = 4448.2216152605 / 1e6 // kN in one lbf
	newM = .1129848290276167     // N.m in one lbf-in
)

func torqueChecks() []check.Check {
	const (
		n68   = "Industrial Fasteners Institute, technical data N-68: tightening torque guide, SAE J429, 75 % of proof, plain (K 0.20)"
		proof = "ISO 898-1, table of proof loads, coarse threads"
		a574  = "ASTM A574, tensile requirements of coarse thread screws, as a bolt supplier reprints them"
		vdi   = "VDI 2230:2003, tables of preload and tightening torque, fine threads (nut face and hole of ISO 4014 and ISO 273)"
	)
	aim := func(d, g string) func() float64 { return func() float64 { return .75 * bolt(d, g).ProofLoad() } }
	pull := func(d, g string) func() float64 {
		return func() float64 { b := bolt(d, g); return b.Torque(.75*b.ProofLoad(), .2) / 12 }
	}
	load := func(d, g string) func() float64 { return func() float64 { return bolt(d, g).ProofLoad() * kN } }
	long := func(d string, kn, mu, dm float64) func() float64 {
		return func() float64 { return bolt(d, "8.8").TorqueLong(kn/kN, mu, mu, dm/mm) * newM }
	}
	return []check.Check{
		{What: "3/8-16 grade 5, clamp load", Got: aim("3/8-16", "sae5"), Want: 4941, Tol: 6, Unit: "lbf", Source: n68, Provenance: check.Published},
		{What: "3/8-16 grade 5, torque", Got: pull("3/8-16", "sae5"), Want: 30.9, Tol: .1, Unit: "lbf-ft", Source: n68, Provenance: check.Published},
		{What: "5/8-11 grade 5, clamp load", Got: aim("5/8-11", "sae5"), Want: 14400, Tol: 15, Unit: "lbf", Source: n68, Provenance: check.Published},
		{What: "5/8-11 grade 5, torque", Got: pull("5/8-11", "sae5"), Want: 150, Tol: .5, Unit: "lbf-ft", Source: n68, Provenance: check.Published},
		{What: "3/4-10 grade 8, torque", Got: pull("3/4-10", "sae8"), Want: 376, Tol: .8, Unit: "lbf-ft", Source: n68, Provenance: check.Published},
		{What: "1-8 grade 5, torque", Got: pull("1-8", "sae5"), Want: 644, Tol: 1, Unit: "lbf-ft", Source: n68, Provenance: check.Published},
		{What: "7/8-9 grade 2, torque (the weaker half of the grade)", Got: pull("7/8-9", "sae2"), Want: 167, Tol: .5, Unit: "lbf-ft", Source: n68, Provenance: check.Published},
		{What: "M8 8.8, proof load", Got: load("M8", "8.8"), Want: 21.2, Tol: .06, Unit: "kN", Source: proof, Provenance: check.Published},
		{What: "M12 8.8, proof load", Got: load("M12", "8.8"), Want: 48.9, Tol: .06, Unit: "kN", Source: proof, Provenance: check.Published},
		{What: "M12 10.9, proof load", Got: load("M12", "10.9"), Want: 70.0, Tol: .08, Unit: "kN", Source: proof, Provenance: check.Published},
		{What: "M12 12.9, proof load", Got: load("M12", "12.9"), Want: 81.8, Tol: .1, Unit: "kN", Source: proof, Provenance: check.Published},
		{What: "M16 8.8, proof load", Got: load("M16", "8.8"), Want: 91.0, Tol: .15, Unit: "kN", Source: proof, Provenance: check.Published},
		{What: "M10 4.8, proof load", Got: load("M10", "4.8"), Want: 18.0, Tol: .06, Unit: "kN", Source: proof, Provenance: check.Published},
		{What: "3/4-16, 25 kip, K 0.2: torque", Got: func() float64 { return bolt("3/4-16", "sae5").Torque(25000, .2) }, Want: 3750, Tol: .01, Unit: "lbf-in",
			Source: "Shigley's Mechanical Engineering Design, 9th ed., example 8-3 (b)", Provenance: check.Published},
		{What: "3/4-16, 25 kip, friction 0.15 both: torque the long way", Got: func() float64 { return bolt("3/4-16", "sae5").TorqueLong(25000, .15, .15, 1.25*.75) }, Want: 3551, Tol: 1, Unit: "lbf-in",
			Source: "Shigley's Mechanical Engineering Design, 9th ed., example 8-3 (c)", Provenance: check.Published},
		{What: "M12x1.25 8.8, friction 0.12, 48.0 kN: torque the long way", Got: long("M12x1.25", 48.0, .12, (16.63+13.5)/2), Want: 90, Tol: .6, Unit: "N.m", Source: vdi, Provenance: check.Published},
		{What: "M16x1.5 8.8, friction 0.10, 89.6 kN: torque the long way", Got: long("M16x1.5", 89.6, .10, (22.49+17.5)/2), Want: 189, Tol: 1, Unit: "N.m", Source: vdi, Provenance: check.Published},
		{What: "M16x1.5 8.8, friction 0.12, 87.6 kN: torque the long way", Got: long("M16x1.5", 87.6, .12, (22.49+17.5)/2), Want: 218, Tol: 1.2, Unit: "N.m", Source: vdi, Provenance: check.Published},
		{What: "5/8-11 socket head screw, breaking load", Got: func() float64 { b := bolt("5/8-11", "a574"); return b.Su * 1000 * b.Area }, Want: 38400, Tol: 50, Unit: "lbf", Source: a574, Provenance: check.Published},
		{What: "3/8-16 socket head screw, breaking load", Got: func() float64 { b := bolt("3/8-16", "a574"); return b.Su * 1000 * b.Area }, Want: 13900, Tol: 60, Unit: "lbf", Source: a574, Provenance: check.Published},
		{What: "3/8-16, 4,000 lbf, K 0.15: torque", Got: func() float64 { return bolt("3/8-16", "sae5").Torque(4000, .15) }, Want: 225, Tol: .01, Unit: "lbf-in",
			Source: "Machine Elements in Mechanical Design (textbook), example 19-1", Provenance: check.Published},
	}
}

// group is a job of studs and loads for the checks, in any consistent units.
func group(studs [][2]float64, loads ...Load) Held {
	return Job{Studs: studs, Bolt: &joint.Bolt{}, Contact: Contact{-1e3, 1e3, 0, 1e3}, Loads: loads, Mu: .12}.Analyse()
}

func stayChecks() []check.Check {
	const (
		shig = "Shigley's Mechanical Engineering Design, 9th ed., example 8-7"
		dme  = "Design of Machine Elements, 3rd ed. (textbook), threaded joints, "
	)
	four := [][2]float64{{75, 60}, {75, -60}, {-75, -60}, {-75, 60}}
	shear := func(i int) func() float64 {
		return func() float64 { return group(four, Load{Vec{0, -16, 0}, Vec{425, 0, 0}}).Studs[i].Shear }
	}
	// Two pairs of studs at two heights, the pull down at a distance from the face.
	tilted := func(low, high, p, e float64) (tension, sheared float64) {
		h := group([][2]float64{{-10, high}, {10, high}, {-10, low}, {10, low}}, Load{Vec{0, -p, 0}, Vec{0, 0, e}})
		return h.Studs[h.WorstBolt].Tension, h.Pull / 4
	}
	const worksUp = "Statics worked apart from this program, in double precision"
	worked := func(mu float64) Held {
		return Job{Studs: [][2]float64{{-4, 5}, {4, 5}}, Contact: Contact{-6, 6, 0, 8}, Bolt: bolt("5/8-11",
			"sae5"), Mu: mu, Preload: joint.Preload{Min: 3564},
			Loads: []Load{{Vec{0, -180, 0}, Vec{0, 5, 0}}, {Vec{150, -60, 0}, Vec{0, 5, 0}}}}.Analyse()
	}
	tipped := func() Held {
		return Job{Studs: [][2]float64{{-4, 2}, {4, 2}, {0, 7}}, Contact: Contact{-6, 6, 0, 8},
			Bolt: bolt("5/8-11", "sae5"), Mu: .12, Preload: joint.Preload{Min: 3564},
			Loads: []Load{{Vec{0, -180, 0}, Vec{0, 4, 3.25}}, {Vec{0, 0, 200}, Vec{0, 5.5, 0}}}}.Analyse()
	}
	hang := func(mu, s float64) Held {
		b := bolt("5/8-11", "sae5")
		return Job{Studs: [][2]float64{{-4, 5}, {4, 5}}, Contact: Contact{-6, 6, 0, 8}, Bolt: b, Mu: mu,
			Preload: joint.Scattered(.75*b.ProofLoad(), s, 0),
			Loads:   []Load{{Vec{0, -180, 0}, Vec{0, 5, 3.5}}, {Vec{250, 0, 0}, Vec{0, 5, 0}}}}.Analyse()
	}
	return []check.Check{
		{What: "Four bolts, 16 kN at 425 mm: near bolts", Got: shear(0), Want: 21.0, Tol: .05, Unit: "kN", Source: shig, Provenance: check.Published},
		{What: "Four bolts, 16 kN at 425 mm: far bolts", Got: shear(2), Want: 14.8, Tol: .06, Unit: "kN", Source: shig, Provenance: check.Published},
		{What: "Bracket, 25 kN at 100 mm, bolts at 150 and 25 mm: core area for 76 MPa shear", Got: func() float64 {
			t, s := tilted(25, 150, 25000, 100)
			return hypot(t/2, s) / 76
		}, Want: 98.022213, Tol: 1e-5, Unit: "mm2", Source: dme + "example 7.5", Provenance: check.Published},
		{What: "Bracket, 25 kN at 500 mm, bolts at 550 and 50 mm: core area for 35 MPa", Got: func() float64 {
			t, s := tilted(50, 550, 25000, 500)
			return (float64(t/2) + hypot(t/2, s)) / 35
		}, Want: 401.446244, Tol: 1e-5, Unit: "mm2", Source: dme + "example 7.6", Provenance: check.Published},
		{What: "Bracket pulled off by 20 kN at 550 mm, bolts at 450 and 50 mm: core area for 75 MPa", Got: func() float64 {
			h := group([][2]float64{{0, 450}, {0, 50}}, Load{Vec{0, 0, 20000}, Vec{0, 550, 0}})
			return h.Studs[0].Tension / 75
		}, Want: 455.284553, Tol: 1e-5, Unit: "mm2", Source: dme + "example 7.8", Provenance: check.Published},
		{What: "Four bolts 200 by 150 mm, 10 kN at 500 mm: most loaded bolt", Got: func() float64 {
			h := group([][2]float64{{100, 75}, {100, -75}, {-100, 75}, {-100, -75}}, Load{Vec{0, -10000, 0}, Vec{500, 0, 0}})
			return h.Studs[h.WorstPin].Shear
		}, Want: 12093.4, Tol: .1, Unit: "N", Source: dme + "example 7.3", Provenance: check.Memory},
		{What: "Four bolts at 2 by 1.5 in, 1,000 lbf down at 6 in: near bolts", Got: func() float64 {
			return group([][2]float64{{2, 1.5}, {2, -1.5}, {-2, 1.5}, {-2, -1.5}}, Load{Vec{0, -1000, 0}, Vec{6, 0, 0}}).Studs[0].Shear
		}, Want: 813.9, Tol: .05, Unit: "lbf", Source: "Direct and moment parts added as vectors, in double precision", Provenance: check.Independent},
		{What: "Two 5/8-11 grade 5 studs, friction 0.15, scatter 35 %: slip capacity over a margin of 2", Got: func() float64 { h := hang(.15, .35); return h.Slip * h.Pull / 2 }, Want: 1404.7, Tol: 1, Unit: "lbf",
			Source: "n mu Fmin/SF in double precision from the printed grade 5 figures", Provenance: check.Independent},
		{What: "Same, 180 lb and 250 lbf sideways: pull", Got: func() float64 { return hang(.15, .35).Pull }, Want: 308.06, Tol: .01, Unit: "lbf", Source: "sqrt(180^2 + 250^2)", Provenance: check.Exact},
		{What: "Two studs 5 in up, 180 lb at 3.5 in: added tension each", Got: func() float64 { h := hang(.15, .35); return h.Studs[0].Tension }, Want: 63, Tol: .01, Unit: "lbf", Source: "M h/sum h^2 = 180 x 3.5 x 5/50", Provenance: check.Exact},
		{What: "Two studs, 3,564 lbf each at least, friction 0.10: slipping under 180 + 60 lbf down and 150 " +
			"across", Got: func() float64 { return worked(.10).Slip }, Want: 2.519, Tol: .002, Unit: "",
			Source: worksUp, Provenance: check.Independent},
		{What: "Same, friction 0.12", Got: func() float64 { return worked(.12).Slip }, Want: 3.022, Tol: .002,
			Unit: "", Source: worksUp, Provenance: check.Independent},
		{What: "Same, friction 0.20", Got: func() float64 { return worked(.20).Slip }, Want: 5.037, Tol: .003,
			Unit: "", Source: worksUp, Provenance: check.Independent},
		{What: "180 lb at 3.25 and 200 lbf off the plate at 5.5, studs at 2, 2 and 7: tipping moment",
			Got: func() float64 { return tipped().Moment }, Want: 1685, Tol: .01, Unit: "lbf-in", Source: worksUp,
			Provenance: check.Independent},
		{What: "Same: pull of the upper stud by tipping", Got: func() float64 { return tipped().Moment * 7 / 57 },
			Want: 206.9, Tol: .05, Unit: "lbf", Source: worksUp, Provenance: check.Independent},
		{What: "Same: holding moment, 3,564 lbf each", Got: func() float64 { return tipped().Hold }, Want: 39204,
			Tol: .5, Unit: "lbf-in", Source: worksUp, Provenance: check.Independent},
		{What: "Same: margin on tipping", Got: func() float64 { return tipped().Tip }, Want: 23.27, Tol: .01,
			Unit: "", Source: worksUp, Provenance: check.Independent},
		{What: "1/2-13 grade 8, breaking load", Got: func() float64 { b := bolt("1/2-13", "sae8"); return b.Su * 1000 * b.Area }, Want: 21285, Tol: 10, Unit: "lbf",
			Source: "SAE J429 grade 8, 150,000 psi on the stress area 0.1419 in2 of ASME B1.1", Provenance: check.Published},
		{What: "5/8-11 grade 5 as a pin, threads in the plane", Got: func() float64 { return bolt("5/8-11", "sae5").ShearLoad() }, Want: 16272, Tol: 15, Unit: "lbf",
			Source: "0.60 x 120 ksi x 0.226 in2 (stress area of ASME B1.1)", Provenance: check.Independent},
	}
}

func strapChecks() []check.Check {
	const table = "A workholding maker's published table of strap clamp forces, lever 2 to 1, stud at a third of 100 ksi yield"
	work := func(tension float64) func() float64 {
		return func() float64 { w, _ := Strap{1, 1}.Share(tension); return w }
	}
	torque := func(d string, tension float64) func() float64 {
		return func() float64 { t, _ := thread.Parse(d); b := joint.Size(t); return b.Torque(tension, .2) / 12 }
	}
	return []check.Check{
		{What: "5/8-11 stud at 7,400 lbf: on the work", Got: work(7400), Want: 3700, Tol: .5, Unit: "lbf", Source: table, Provenance: check.Published},
		{What: "1/2-13 stud at 4,600 lbf: on the work", Got: work(4600), Want: 2300, Tol: .5, Unit: "lbf", Source: table, Provenance: check.Published},
		{What: "3/4-10 stud at 11,000 lbf: on the work", Got: work(11000), Want: 5500, Tol: .5, Unit: "lbf", Source: table, Provenance: check.Published},
		{What: "5/8-11 stud at 7,400 lbf: torque", Got: torque("5/8-11", 7400), Want: 77, Tol: .6, Unit: "lbf-ft", Source: table, Provenance: check.Published},
		{What: "3/4-10 stud at 11,000 lbf: torque", Got: torque("3/4-10", 11000), Want: 138, Tol: .6, Unit: "lbf-ft", Source: table, Provenance: check.Published},
		{What: "1-8 stud at 20,000 lbf: torque", Got: torque("1-8", 20000), Want: 333, Tol: .6, Unit: "lbf-ft", Source: table, Provenance: check.Published},
		{What: "3,000 lbf stud, 3 in heel, 2 in nose: on the work", Got: func() float64 { w, _ := Strap{3, 2}.Share(3000); return w }, Want: 1800, Tol: 1e-9, Unit: "lbf", Source: "Law of the lever: 3000 x 3/5", Provenance: check.Exact},
		{What: "Same, on the heel", Got: func() float64 { _, h := Strap{3, 2}.Share(3000); return h }, Want: 1200, Tol: 1e-9, Unit: "lbf", Source: "Law of the lever: 3000 x 2/5", Provenance: check.Exact},
		{What: "Bar 1 x 1 in, 1,200 lbf mid way of 4 in: bending", Got: func() float64 { return Strap{2, 2}.Bending(1200, 1, 1, 0) }, Want: 7.2, Tol: 1e-9, Unit: "ksi",
			Source: "Simple beam, load in the middle: M = W l/4, Z = b h^2/6 (Machinery's Handbook, beams)", Provenance: check.Memory},
	}
}
