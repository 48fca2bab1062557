package fits

import (
	"math"

	"datumbook/calc/check"
)

const (
	mh1741    = "Machinery's Handbook, 31st ed., p. 1741, ASME B18.2.8 table 1a"
	mh1743    = "Machinery's Handbook, 31st ed., p. 1743, ASME B18.2.8 table 3a"
	iso273    = "ISO 273 as tabled by fastener references, H12/H13/H14 columns"
	b183      = "ASME B18.3-2003, table of socket head cap screws"
	b1821     = "ASME B18.2.1, table of hex cap screws"
	din974    = "Counterbores for ISO 4762 screws as tabled by fastener references (DIN 974-1)"
	medh      = "Mechanical Engineer's Data Handbook (Carvill), p. 299, ISO metric bolts"
	y145      = "ASME Y14.5, appendix: H = F + 2T and H = F + T"
	iso2861   = "ISO 286-2, tables of limit deviations"
	drawing   = "Machine Drawing (Narayana, Kannaiah, Venkata Reddy), tables 15.2 and 15.3, after ISO 286"
	mh718     = "Machinery's Handbook, 31st ed., table 8a, ANSI B4.1"
	mh720     = "Machinery's Handbook, 31st ed., table 8b, ANSI B4.1"
	mh726     = "Machinery's Handbook, 31st ed., table 10, ANSI B4.1"
	mh27      = "Machinery's Handbook, 27th ed., table 11, ANSI B4.1"
	mh660     = "Machinery's Handbook, 31st ed., table 12, ANSI B4.1"
	b1882     = "ASME B18.8.2-2000, hardened ground dowel pins, standard series"
	b1885m    = "ASME B18.8.5M, metric dowel pins"
	nearExact = 1e-6
)

func pub(what string, got func() float64, want, tol float64, unit, source string) check.Check {
	return check.Check{What: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Provenance: check.Published}
}

func screw(size string) Screw {
	s, f := FindScrew(size)
	if f != nil {
		return Screw{D: math.NaN()}
	}
	return s
}

func clearChecks() []check.Check {
	hole := func(size string, f Fit, get func(Hole) float64) func() float64 {
		return func() float64 { return get(Clearance(screw(size), f)) }
	}
	least, most := func(h Hole) float64 { return h.Min }, func(h Hole) float64 { return h.Max }
	mm := func(h Hole) float64 { return h.Min * mmPerInch }
	other := func(size string, f Fit) func() float64 {
		return func() float64 {
			s := screw(size)
			d, _ := OtherDrill(s, Clearance(s, f))
			return d.MM
		}
	}
	return []check.Check{
		pub("1/4, loose fit, largest hole", hole("1/4", Loose, most), .311, nearExact, "in", mh1741),
		pub("1/2, loose fit, least hole", hole("1/2", Loose, least), .609, nearExact, "in", mh1741),
		pub("5/8, loose fit, least hole", hole("5/8", Loose, least), .734, nearExact, "in", mh1741),
		pub("3/4, loose fit, largest hole", hole("3/4", Loose, most), .926, nearExact, "in", mh1741),
		pub("1-1/2, loose fit, largest hole", hole("1-1/2", Loose, most), 1.759, nearExact, "in", mh1741),
		pub("1/4, normal fit, the drill is 9/32", func() float64 { return Clearance(screw("1/4"), Normal).Dia }, 9.0/32, nearExact, "in", mh1741),
		pub("5/8, normal fit, metric drill", other("5/8", Normal), 17.5, nearExact, "mm", mh1743),
		pub("1-1/8, loose fit, least hole", hole("1-1/8", Loose, least), 1.312, nearExact, "in", mh1741),
		pub("M6, normal hole", hole("M6", Normal, mm), 6.6, nearExact, "mm", iso273),
		pub("M12, normal hole", hole("M12", Normal, mm), 13.5, nearExact, "mm", iso273),
		pub("M16, coarse hole", hole("M16", Loose, mm), 18.5, nearExact, "mm", iso273),
	}
}

func boreChecks() []check.Check {
	socket := func(size string, get func(Seat) float64) func() float64 {
		return func() float64 { return get(SocketSeat(screw(size), Normal)) }
	}
	hex := func(size string, get func(Seat) float64) func() float64 {
		return func() float64 { return get(HexSeat(screw(size), Normal, 0, 0)) }
	}
	head := func(s Seat) float64 { return s.Head }
	mem := func(what string, got func() float64, want float64) check.Check {
		return check.Check{What: what, Got: got, Want: want, Tol: nearExact, Unit: "in", Source: "ASME B18.3 appendix, drill and counterbore sizes", Provenance: check.Memory}
	}
	bore := func(s Seat) float64 { return s.Bore }
	return []check.Check{
		pub("#10 socket head, diameter", socket("#10", head), .312, nearExact, "in", b183),
		pub("1/2 socket head, diameter", socket("1/2", head), .750, nearExact, "in", b183),
		pub("3/4 socket head, diameter", socket("3/4", head), 1.125, nearExact, "in", b183),
		pub("3/4 socket head, height", socket("3/4", func(s Seat) float64 { return s.High }), .750, nearExact, "in", b183),
		pub("5/8 hexagon head, across corners", hex("5/8", head), 1.083, nearExact, "in", b1821),
		pub("1 hexagon head, height", hex("1 in", func(s Seat) float64 { return s.High }), .627, nearExact, "in", b1821),
		pub("3/8 hexagon head, across flats", hex("3/8", func(s Seat) float64 { return s.Flats }), .562, nearExact, "in", b1821),
		pub("M12 counterbore", socket("M12", func(s Seat) float64 { return s.Bore * mmPerInch }), 20, nearExact, "mm", din974),
		pub("M20 counterbore", socket("M20", func(s Seat) float64 { return s.Bore * mmPerInch }), 33, nearExact, "mm", din974),
		pub("M16 hexagon head, across corners", hex("M16", func(s Seat) float64 { return s.Head * mmPerInch }), 27.7, .05, "mm", medh),
		mem("1/2 counterbore for a socket head", socket("1/2", bore), 13.0/16),
		mem("3/4 counterbore for a socket head", socket("3/4", bore), 1+3.0/16),
	}
}

func roomChecks() []check.Check {
	fixed := func(f, h, p, d float64, get func(Room) float64) func() float64 {
		return func() float64 { r, _ := Fixed(f, h, p, d); return get(r) }
	}
	each := func(r Room) float64 { return r.First }
	second := func(what string, got func() float64, want, tol float64, source string) check.Check {
		return check.Check{What: what, Got: got, Want: want, Tol: tol, Unit: "in", Source: source, Provenance: check.Independent}
	}
	return []check.Check{
		pub("studs 0.625 in holes of 0.688, fixed: each part", fixed(.625, .688, 0, 0, each), .0315, nearExact, "in", y145),
		pub("bolts 0.625 in holes of 0.688, floating: each part", func() float64 { r, _ := Floating(.625, .688, .688); return r.First }, .063, nearExact, "in", y145),
		pub("hole for a 0.250 bolt, floating, tolerance 0.031", func() float64 { return HoleForFloating(.25, .031) }, .281, nearExact, "in", y145),
		pub("hole for a 0.250 stud, fixed, tolerance 0.014 on each part", func() float64 { return HoleForFixed(.25, .014, 0, 0) }, .278, nearExact, "in", y145),
		pub("the same hole turned round gives the tolerance again", fixed(.25, .278, 0, 0, each), .014, nearExact, "in", y145),
		{What: "fixed, not projected, plate as thick as the thread is deep: hole for tolerance 0.010 on a 0.500 stud", Got: func() float64 { return HoleForFixed(.5, .01, 1, 1) }, Want: .54, Tol: nearExact, Unit: "in",
			Source: "ASME Y14.5, appendix B.5: H = F + T1 + T2 (1 + 2P/D)", Provenance: check.Memory},
		second("two 0.625 studs, holes 0.688: most the centre distances may differ", fixed(.625, .688, 0, 0, func(r Room) float64 { return r.Spacing }), tryStuds(.625, .688), .0002,
			"Brute force: the plate is pushed along the line of centres in steps of 0.0001 in until neither stud touches"),
		second("one hole opened so that studs 0.040 apart too far go in", func() float64 { return OpenOne(.625, .080, 0, .688) }, tryOne(.625, .688, .080), .0003,
			"Brute force: the hole is opened in steps of 0.0001 in and the plate pushed about until both studs pass"),
	}
}

// tryStuds finds by trial how much wider two studs may stand than the holes.
func tryStuds(stud, hole float64) float64 {
	differ := 0.0
	for passes(stud, hole, hole, differ) {
		differ += .0001
	}
	return differ
}

// tryOne finds by trial the hole that lets studs in whose distance differs.
func tryOne(stud, stays, differ float64) float64 {
	h := stays
	for !passes(stud, stays, h, differ) {
		h += .0001
	}
	return h
}

// passes pushes a plate with holes h1 and h2 along two studs.
func passes(stud, h1, h2, differ float64) bool {
	for push := -.2; push <= .2; push += .00005 {
		if math.Abs(push) <= (h1-stud)/2 && math.Abs(push-differ) <= (h2-stud)/2 {
			return true
		}
	}
	return false
}

func fitChecks() []check.Check {
	um := func(class string, mm float64, get func(Pair) float64) func() float64 {
		return func() float64 {
			p, f := Limits(class, mm/mmPerInch)
			if f != nil {
				return math.NaN()
			}
			return get(p) * mmPerInch * 1000
		}
	}
	thou := func(class string, in float64, get func(Pair) float64) func() float64 {
		return func() float64 {
			p, f := Limits(class, in)
			if f != nil {
				return math.NaN()
			}
			return get(p) * 1000
		}
	}
	shaftLow := func(p Pair) float64 { return p.ShaftDev[0] }
	shaftHigh := func(p Pair) float64 { return p.ShaftDev[1] }
	holeHigh := func(p Pair) float64 { return p.HoleDev[1] }
	tight := func(p Pair) float64 { return p.Tightest }
	loose := func(p Pair) float64 { return p.Loosest }
	mem := func(what string, got func() float64, want float64) check.Check {
		return check.Check{What: what, Got: got, Want: want, Tol: .001, Unit: "um", Source: iso2861, Provenance: check.Memory}
	}
	return []check.Check{
		pub("P7 over 18 to 30 mm, upper deviation", um("P7", 25, holeHigh), -14, .001, "um", drawing),
		pub("s over 180 to 200 mm, lower deviation", um("s6", 190, shaftLow), 122, .001, "um", drawing),
		pub("zc over 14 to 18 mm, lower deviation", um("zc8", 16, shaftLow), 150, .001, "um", drawing),
		pub("a over 450 to 500 mm, upper deviation", um("a11", 480, shaftHigh), -1650, .001, "um", drawing),
		pub("M6 over 250 to 315 mm, upper deviation", um("M6", 280, holeHigh), -9, .001, "um", drawing),
		pub("J8 over 120 to 180 mm, upper deviation", um("J8", 150, holeHigh), 41, .001, "um", drawing),
		mem("25 H7/g6, loosest", um("H7/g6", 25, loose), 41),
		mem("50 H7/p6, most squeeze", um("H7/p6", 50, tight), -42),
		mem("25 H8/f7, tightest", um("H8/f7", 25, tight), 20),
		mem("25 j6, lower deviation", um("j6", 25, shaftLow), -4),
		pub("RC4 over 0.71 to 1.19 in, loosest", thou("RC4", 1, loose), 2.8, .001, "thou", mh718),
		pub("RC1 over 15.75 to 19.69 in, loosest", thou("RC1", 18, loose), 3.0, .001, "thou", mh718),
		pub("RC8 over 1.19 to 1.97 in, shaft's lower deviation", thou("RC8", 1.5, shaftLow), -7.5, .001, "thou", mh720),
		pub("RC9 over 0.71 to 1.19 in, loosest", thou("RC9", 1, loose), 15.5, .001, "thou", mh720),
		pub("LT5 over 1.97 to 3.15 in, most squeeze", thou("LT5", 2.5, tight), -1.5, .001, "thou", mh726),
		pub("LN2 over 3.15 to 4.73 in, least squeeze", thou("LN2", 4, loose), -.2, .001, "thou", mh660),
		pub("FN2 over 1.19 to 1.58 in, least squeeze", thou("FN2", 1.5, loose), -.8, .001, "thou", mh27),
		pub("FN4 over 0.95 to 1.19 in, most squeeze", thou("FN4", 1, tight), -2.3, .001, "thou", mh27),
		pub("FN5 over 2.56 to 3.15 in, most squeeze", thou("FN5", 3, tight), -7.2, .001, "thou", mh27),
		{What: "IT7 over 18 to 30 mm by the formula 16 (0.45 D^(1/3) + 0.001 D)", Got: um("H7", 25, holeHigh), Want: 16 * (.45*math.Cbrt(math.Sqrt(18*30)) + .001*math.Sqrt(18*30)), Tol: .5, Unit: "um",
			Source: "ISO 286-1, derivation of the standard tolerances", Provenance: check.Independent},
	}
}

func dowelChecks() []check.Check {
	pin := func(family string, d float64, over bool, get func(Pin) float64) func() float64 {
		return func() float64 {
			p, ok := FindPin(family, d, over)
			if !ok {
				return math.NaN()
			}
			return get(p)
		}
	}
	most := func(p Pin) float64 { return p.Max }
	least := func(p Pin) float64 { return p.Min }
	return []check.Check{
		pub("1/4 pin, most", pin(InchPin, .25, false, most), .2503, nearExact, "in", b1882),
		pub("1/4 pin, least", pin(InchPin, .25, false, least), .2501, nearExact, "in", b1882),
		pub("3/8 pin, press hole, least", pin(InchPin, .375, false, func(p Pin) float64 { return p.HoleMin }), .3745, nearExact, "in", b1882),
		pub("1 pin, press hole, most", pin(InchPin, 1, false, func(p Pin) float64 { return p.HoleMax }), 1, nearExact, "in", b1882),
		pub("1/2 pin, single shear", pin(InchPin, .5, false, func(p Pin) float64 { return p.Shear }), 25500, 60, "lbf", b1882),
		pub("1 pin, single shear", pin(InchPin, 1, false, func(p Pin) float64 { return p.Shear }), 102000, 150, "lbf", b1882),
		pub("6 mm pin, most", pin(USPin, 6/mmPerInch, false, func(p Pin) float64 { return p.Max * mmPerInch }), 6.009, nearExact, "mm", b1885m),
		pub("10 mm pin, press hole, least", pin(USPin, 10/mmPerInch, false, func(p Pin) float64 { return p.HoleMin * mmPerInch }), 9.987, nearExact, "mm", b1885m),
		pub("3 mm oversize pin, least", pin(USPin, 3/mmPerInch, true, func(p Pin) float64 { return p.Min * mmPerInch }), 3.025, nearExact, "mm", b1885m),
		pub("8 mm m6 pin, most", pin(ISOPin, 8/mmPerInch, false, func(p Pin) float64 { return p.Max * mmPerInch }), 8.015, nearExact, "mm", "DIN 7 / ISO 286 table of m6 pins"),
		pub("12 mm m6 pin, least", pin(ISOPin, 12/mmPerInch, false, func(p Pin) float64 { return p.Min * mmPerInch }), 12.007, nearExact, "mm", "DIN 7 / ISO 286 table of m6 pins"),
	}
}
