//go:build !js

package joint

import (
	"math"

	"datumbook/calc/check"
	"datumbook/calc/engage"
	"datumbook/calc/thread"
)

const (
	kN   = 4448.2216152605 / 1e6 // kN in one lbf
	newM = .1129848290276167     // N.m in one lbf-in
)

// made is a shorthand for the checks: a thread that is known.
func made(designation string) thread.Thread {
	t, _ := thread.Parse(designation)
	return t
}

// bolt is a shorthand for the checks: a bolt that is known.
func bolt(designation, grade string) *Bolt {
	b, _ := Grade(made(designation), grade)
	return &b
}

// metal is a metal by its key.
func metal(key string) engage.Metal {
	m, _ := engage.FindMetal(key)
	return m
}

// blind is the hole of the checks: 5/8-11 drilled 17/32, .8125 deep, countersunk to 11/16.
func blind(point bool, chamfer, left float64) Hole {
	return Hole{Into: Blind, Depth: .8125, ToPoint: point, Drill: 17. / 32, Angle: 118, Chamfer: chamfer,
		Left: left, Csk: 11. / 16, CskDeg: 90, Metal: metal("grey20")}
}

// hung is the joint of the checks: a 5/8-11 grade 5 stud in the blind hole, a wide washer over a
// slot in grey iron, oiled.
func hung() Input {
	t := made("5/8-11")
	w, _ := FindWasher("wide", t)
	return Input{Thread: t, Bolt: *bolt("5/8-11", "sae5"), Hole: blind(false, 2, 1), Nut: Nut{Class: "j5"}, Washer: w,
		Seat: Seat{Slot, 11. / 16, Surfaces[0]}, K: .2, Scatter: .25, Settle: .1, Share: 1,
		Wrench: func(x float64) float64 { return math.Floor(x/60+1e-9) * 60 }}
}

// Rows gives what the joint was checked against.
func Rows() []check.Check {
	const (
		hand  = "The joint's formulas worked apart from this program, in double precision"
		vdi   = "A sensor maker's torque list after VDI 2230, friction 0.14, 90 % of yield"
		b1831 = "ASME B18.31.2, tap-end studs, table"
		j995  = "SAE J995, proof stress of nuts, on the stress area of ASME B1.1"
		n898  = "ISO 898-2, proof loads of style 1 nuts"
		alex  = "Curves of E. M. Alexander, SAE paper 770420, where they join"
	)
	var out []check.Check
	add := func(what string, got func() float64, want, tol float64, unit, source string, p check.Provenance) {
		out = append(out, check.Check{What: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source,
			Provenance: p})
	}
	second := func(what string, got func() float64, want, tol float64, unit string) {
		add(what, got, want, tol, unit, hand, check.Independent)
	}
	u := func(h Hole) Usable { u, _ := h.Thread(made("5/8-11")); return u }
	second("Hole .8125 to the shoulder, bottoming tap: tap stops at", func() float64 {
		return u(blind(false, 2,
			1)).Stop
	}, .7216, 5e-5, "in")
	second("Same: last full thread", func() float64 { return u(blind(false, 2, 1)).Full }, .5398, 5e-5, "in")
	second("Same: countersink takes", func() float64 { return u(blind(false, 2, 1)).Loss }, .07075, 1e-5, "in")
	second("Same: usable thread", func() float64 { return u(blind(false, 2, 1)).Usable }, .4690, 5e-5, "in")
	second("Same hole, .8125 to the point: shoulder", func() float64 { return u(blind(true, 2, 1)).Shoulder },
		.6529, 5e-5, "in")
	second("Same: usable thread", func() float64 { return u(blind(true, 2, 1)).Usable }, .3094, 5e-5, "in")
	second("Plug tap of 4 pitches: last full thread", func() float64 { return u(blind(false, 4, 1)).Full }, .3580,
		5e-5, "in")
	second("Bottoming tap of 1.5 pitches, half a pitch left: last full thread",
		func() float64 { return u(blind(false, 1.5, .5)).Full }, .6307, 5e-5, "in")

	strip := func(d string, su float64, m string, length float64) Strip {
		s, _ := Stripped(made(d), su, &Hole{Metal: metal(m)}, length)
		return s
	}
	c20 := func() Strip { return strip("5/8-11", 120, "grey20", .4690) }
	second("5/8-11 in class 20, .4690 of thread, half tensile", func() float64 { return c20().Half }, 6684, 3, "lbf")
	second("Same, VDI 2230 before the factors", func() float64 { s := c20(); return s.VDI / C3(s.Rs) }, 12030, 6, "lbf")
	second("Same, direct shear", func() float64 { return c20().Shear }, 17377, 8, "lbf")
	second("Same, RP-1228", func() float64 { return c20().Rough }, 7229, 4, "lbf")
	second("Same, the stud's thread by half its tensile strength",
		func() float64 { s := c20(); return s.Stud / .6 * .5 / C2(s.Rs) }, 28092, 15, "lbf")
	second("5/8-11 in class 30, .4974: strength ratio", func() float64 {
		return strip("5/8-11", 120, "grey30",
			.4974).Rs
	}, .5353, 1e-4, "")
	second("Same: hole's thread", func() float64 { return strip("5/8-11", 120, "grey30", .4974).VDI }, 19976, 15, "lbf")
	second("Same: stud's thread", func() float64 { return strip("5/8-11", 120, "grey30", .4974).Stud }, 32066, 15,
		"lbf")
	for _, r := range [][2]float64{{.5, 1.050}, {.6, 1.027}, {.7, .9918}, {.8, .9533}, {.9, .9191}} {
		second("Factor C3", func() float64 { return C3(r[0]) }, r[1], 6e-4, "")
	}
	for _, r := range [][2]float64{{1.2, .9626}, {1.4, 1.062}, {1.6, 1.137}, {2, 1.167}} {
		second("Factor C2", func() float64 { return C2(r[0]) }, r[1], 6e-4, "")
	}
	for _, r := range [][2]float64{{1.4, .75}, {1.5, .84}, {1.6, .91}, {1.7, .96}, {1.8, .99}} {
		second("Factor C1", func() float64 { return C1(r[0]) }, r[1], 1e-9, "")
	}
	add("C1 where the wall is thick enough", func() float64 { return C1(1.9 - 1e-12) }, 1, 1e-9, "", alex, check.Memory)
	add("C3 where it joins C2", func() float64 { return C3(1 - 1e-12) }, .897, 1e-3, "", alex, check.Memory)
	add("C2 where it joins C3", func() float64 { return C2(1 + 1e-12) }, .897, 1e-3, "", alex, check.Memory)

	second("5/8-11 grade 5: three quarters of the proof load", func() float64 {
		return .75 * bolt("5/8-11",
			"sae5").ProofLoad()
	}, 14408, 4, "lbf")
	add("5/8-11 nut of grade 5, proof load", func() float64 {
		return (Nut{Class: "j5"}).Proof(made("5/8-11"),
			bolt("5/8-11", "sae5"))
	}, 27120, 10, "lbf", j995, check.Published)
	add("1/2-13 nut of grade 2, proof load", func() float64 {
		return (Nut{Class: "j2"}).Proof(made("1/2-13"),
			bolt("1/2-13", "sae2"))
	}, 12771, 6, "lbf", j995, check.Published)
	add("5/8-11 nut of grade 8, proof load", func() float64 {
		return (Nut{Class: "j8"}).Proof(made("5/8-11"),
			bolt("5/8-11", "sae8"))
	}, 33900, 12, "lbf", j995, check.Published)
	for _, r := range []struct {
		d, class string
		want     float64
	}{{"M8", "n8", 31.8}, {"M8", "n10", 38.1}, {"M10", "n8", 50.5}, {"M10", "n10", 60.3}, {"M12", "n10", 88.5},
		{"M14", "n8", 101.2}, {"M14", "n10", 120.8}, {"M16", "n8", 138.2}, {"M24", "n8", 324.8}, {"M24", "n10",
			374.2}} {
		add(r.d+" nut of class "+r.class[1:]+", proof load",
			func() float64 { return (Nut{Class: r.class}).Proof(made(r.d), bolt(r.d, "8.8")) * kN }, r.want,
			.004*r.want, "kN", n898, check.Published)
	}
	add("5/8-11 tap end, nominal", func() float64 { return TapEnd(made("5/8-11")) }, .938, 1e-9, "in", b1831,
		check.Published)
	add("5/8-11 tap-end stud, longest point", func() float64 { return StudPoint * made("5/8-11").Pitch }, .182,
		5e-4, "in", b1831, check.Published)

	bear := func(d, washer string, o Opening, wide float64) Bearing {
		t := made(d)
		w, _ := FindWasher(washer, t)
		if washer == "plate" {
			w = Washer{.688, 1.75, .375, .375, true}
		}
		return Bear(t, w, Seat{o, wide, Surfaces[0]})
	}
	const slot = 11. / 16
	second("5/8 nut on a round hole of 11/16: area", func() float64 {
		return bear("5/8-11", "", Round,
			slot).Area
	}, .2313, 1e-4, "in2")
	second("Bare on a slot of 11/16", func() float64 { return bear("5/8-11", "", Slot, slot).Area }, .06978, 5e-5,
		"in2")
	second("Wide washer: circle pressed", func() float64 { return bear("5/8-11", "wide", Slot, slot).Circle },
		1.090, 5e-4, "in")
	second("Wide washer on a round hole", func() float64 { return bear("5/8-11", "wide", Round, slot).Area },
		.5619, 6e-4, "in2")
	second("Wide washer on the slot", func() float64 { return bear("5/8-11", "wide", Slot, slot).Area }, .2372,
		1e-4, "in2")
	second("Wide washer at the end of an open slot", func() float64 {
		return bear("5/8-11", "wide", OpenSlot,
			slot).Area
	}, .3998, 1e-4, "in2")
	second("Wide washer over the slot, 18,010 lbf: pressure", func() float64 {
		return 18.010 / bear("5/8-11",
			"wide", Slot, slot).Area
	}, 75.92, .05, "ksi")
	second("Half of what class 20 iron takes, at a lip", func() float64 {
		return bear("5/8-11", "wide", Slot,
			slot).Limit
	}, 43.5, .02, "ksi")
	second("Plate washer 3/8 thick over the slot: pressure", func() float64 {
		return 18.010 / bear("5/8-11",
			"plate", Slot, slot).Area
	}, 24.53, .02, "ksi")
	square := func(b Bearing) float64 { return b.Area * 645.16 }
	second("M12 nut on iron, hole 13.5", func() float64 { return square(bear("M12", "", Round, 13.5/mm)) }, 73.29,
		.01, "mm2")
	second("M12 nut, 36.66 kN: pressure", func() float64 {
		return 36660 / square(bear("M12", "", Round,
			13.5/mm))
	}, 500.2, .1, "MPa")
	second("M12 on an ISO 7089 washer, hole 13.5", func() float64 {
		return square(bear("M12", "iso7089", Round,
			13.5/mm))
	}, 190.2, .1, "mm2")
	second("M12 on an ISO 7093-1 washer over a slot of 14", func() float64 {
		return square(bear("M12", "iso7093",
			Slot, 14/mm))
	}, 83.09, .01, "mm2")
	second("M12 nut on a slot of 14", func() float64 { return square(bear("M12", "", Slot, 14/mm)) }, 15.72, .01, "mm2")

	done := func(scatter float64) Result { in := hung(); in.Scatter = scatter; r, _ := in.Make(); return r }
	second("Joint of 5/8-11 grade 5, hole .8125, wide washer over a slot: weakest part bears",
		func() float64 { return done(.25).Weakest.Bears }, 6684, 3, "lbf")
	second("Same, seat at the slot's lip", func() float64 { return done(.25).Bearing.Bears }, 10320, 6, "lbf")
	second("Same: torque", func() float64 { return done(.25).Cap / 12 }, 55.70, .03, "lbf-ft")
	second("Same: set on a wrench", func() float64 { return done(.25).Most / 12 }, 55, 1e-9, "lbf-ft")
	second("Same: tension at most", func() float64 { return done(.25).Preload.Max }, 6600, .01, "lbf")
	second("Same: tension at least, 10 % lost", func() float64 { return done(.25).Preload.Min }, 3564, .01, "lbf")
	second("Not oiled, scatter 35 %: torque", func() float64 { return done(.35).Cap / 12 }, 51.57, .03, "lbf-ft")
	for _, r := range [][2]float64{{.25, 29.7}, {.40, 47.5}, {.55, 65.3}, {.75, 89.1}, {.9375, 111.3}} {
		second("Torque a length of thread in class 20 takes, half tensile", func() float64 {
			s := strip("5/8-11", 120, "grey20", r[0])
			return bolt("5/8-11", "sae5").Torque(s.Half/1.25, .2) / 12
		}, r[1], .06, "lbf-ft")
	}

	settles := func(grip float64) Settling { return bolt("5/8-11", "sae5").Settles(grip, 14.5e6, 2) }
	second("Stud of 5/8-11, grip 1.384: stiffness", func() float64 { return settles(1.384).Stud / 1e6 }, 3.996,
		.003, "1e6 lbf/in")
	second("Iron clamped by it: stiffness", func() float64 { return settles(1.384).Clamped / 1e6 }, 8.813, .003,
		"1e6 lbf/in")
	for _, r := range [][2]float64{{1.384, 1678}, {3, 968}, {6, 558}} {
		second("Tension lost by settling", func() float64 { return settles(r[0]).Lost }, r[1], 1.5, "lbf")
	}
	long := func() LengthOf { in := hung(); return in.StudLength(1.250, .5398) }
	second("Stud for a lug of 1.250, .5398 in: out", func() float64 { return long().Out }, 2.151, 6e-4, "in")
	second("Same: from stock", func() float64 { return long().Stock }, 2.75, 1e-9, "in")
	second("Same: past the nut", func() float64 { return long().Past }, .279, 6e-4, "in")
	for _, r := range [][2]float64{{.5, 3.352}, {1, 6.704}, {1.5, 10.056}} {
		second("5/8-11 stud bent by 90 lbf landed on it", func() float64 {
			return bolt("5/8-11",
				"sae5").Landing(90, r[0])
		}, r[1], .012, "ksi")
	}
	gjl := func() Strip {
		s, _ := Stripped(made("M12"), 800/ksi, &Hole{Metal: engage.Metal{Key: "grey", Tensile: 250 / ksi * 1000,
			Shear: 225 / ksi * 1000}}, 12/mm)
		return s
	}
	second("M12 8.8 in GJL-250: strength ratio", func() float64 { return gjl().Rs }, .6451, 4e-4, "")
	second("Same: thread for 36.66 kN, VDI 2230", func() float64 { return 36.66 / (gjl().VDI * kN) * 12 }, 6.164,
		.01, "mm")
	second("Same: by half tensile", func() float64 { return 36.66 / (gjl().Half * kN) * 12 }, 11.23, .01, "mm")
	breaks := func() float64 {
		b := bolt("M12", "8.8")
		return b.Su * 1000 * b.Area / gjl().VDI
	}
	second("Same: the stud breaks first from", func() float64 { return 12 * breaks() }, 11.34, .02, "mm")
	add("Same, in diameters", breaks, 1.0, .06, "d",
		"A fastener maker's trials, M6 to M16 of class 8.8 in GJL-250", check.Published)
	second("1/2-13 in class 30, .750: half tensile", func() float64 {
		return strip("1/2-13", 120, "grey30",
			.75).Half
	}, 12639, 8, "lbf")
	second("Same: direct shear, 40 ksi", func() float64 { return strip("1/2-13", 120, "grey30", .75).Shear },
		33705, 20, "lbf")
	second("Same: the stud's thread by half its tensile strength", func() float64 {
		s := strip("1/2-13", 120, "grey30", .75)
		return s.Stud / .6 * .5 / C2(s.Rs)
	}, 35052, 20, "lbf")

	// VDI 2230: nut faces by ISO 4032, medium holes.
	for _, r := range []struct {
		d, grade   string
		face, hole float64
		kn         float64
		printed    float64
	}{{"M8", "8.8", 11.6, 9, 18.13, 27.3}, {"M10", "8.8", 14.6, 11, 28.82, 54}, {"M12", "8.8", 16.6, 13.5, 41.98, 93},
		{"M16", "8.8", 22.5, 17.5, 78.92, 230}, {"M12", "10.9", 16.6, 13.5, 61.66, 137}} {
		pull := func() float64 { return bolt(r.d, r.grade).AtYield(.9, .14) }
		second(r.d+" "+r.grade+": assembly preload", func() float64 { return pull() * kN }, r.kn, .02, "kN")
		add(r.d+" "+r.grade+": tightening torque", func() float64 {
			return bolt(r.d, r.grade).TorqueLong(pull(), .14, .14, (r.face+r.hole)/2/mm) * newM
		}, r.printed, .012*r.printed, "N.m", vdi, check.Published)
	}
	add("M12 8.8: assembly preload", func() float64 { return bolt("M12", "8.8").AtYield(.9, .14) * kN }, 41.9, .1,
		"kN", "A fastener maker's table after VDI 2230, friction 0.14", check.Published)
	add("M12, 41.9 kN, tightening factor 1.8: least preload",
		func() float64 { s := .8 / 2.8; return Scattered(41.9/(1+s), s, 0).Min }, 23.3, .05, "kN",
		"A fastener maker's example after VDI 2230", check.Published)
	for _, r := range [][2]float64{{.10, 60.30}, {.12, 70.32}, {.14, 80.34}, {.16, 90.36}} {
		second("M12 8.8, 36.66 kN: torque the long way", func() float64 {
			return bolt("M12", "8.8").TorqueLong(36.66/kN, r[0], r[0], 14.8/mm) * newM
		}, r[1], .55, "N.m")
	}
	return out
}
