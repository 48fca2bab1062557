//go:build !js

package fits

import (
	"math"
	"strconv"

	"datumbook/calc/check"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "clear", Rows: clearChecks()},
		{Sheet: "bore", Rows: boreChecks()},
		{Sheet: "dowel", Rows: dowelChecks()},
		{Sheet: "fit", Rows: fitChecks()},
		{Sheet: "room", Rows: roomChecks()},
	}
}

const (
	mh1741   = "Machinery's Handbook, 31st ed., p. 1741, ASME B18.2.8 table 1a"
	mh1743   = "Machinery's Handbook, 31st ed., p. 1743, ASME B18.2.8 table 3a"
	iso273   = "ISO 273 as tabled by fastener references, H12/H13/H14 columns"
	b183     = "ASME B18.3-2003, table of socket head cap screws"
	b1821    = "ASME B18.2.1, table of hex cap screws"
	din974   = "Counterbores for ISO 4762 screws as tabled by fastener references (DIN 974-1)"
	medh     = "Mechanical Engineer's Data Handbook, p. 299, ISO metric bolts"
	y145     = "ASME Y14.5, appendix: H = F + 2T and H = F + T"
	m8notes  = "Notes on position tolerance of hole patterns, worked example: M8 bolt of 8.0 mm, holes of 8.5 mm"
	course   = "Course in geometric tolerances, question with printed answer: bolt at most 8.0 mm, holes at least 9.0 mm"
	virtual  = "Engineering exam preparation, problem with printed answer: hole 0.180, position 0.012, passes 0.168"
	gauge    = "A trainer's tip on ASME Y14.5: hole of 10 - 0.1 mm with position 0.6 passes a gauge pin of 9.3 mm"
	iso2861  = "ISO 286-2, tables of limit deviations"
	drawing  = "Machine Drawing, textbook, 3rd ed., tables 15.2 and 15.3, after ISO 286"
	narayana = "Machine Drawing, textbook, 3rd ed., 15.3.3, worked deviations"
	wiki     = "Encyclopaedia article on engineering fits, 50 mm H8/f7 close running fit"
	mh718    = "Machinery's Handbook, 31st ed., table 8a, ANSI B4.1"
	mh720    = "Machinery's Handbook, 31st ed., table 8b, ANSI B4.1"
	mh726    = "Machinery's Handbook, 31st ed., table 10, ANSI B4.1"
	mh27     = "Machinery's Handbook, 27th ed., table 11, ANSI B4.1"
	mh660    = "Machinery's Handbook, 31st ed., table 12, ANSI B4.1"
	b1882    = "ASME B18.8.2-2000, hardened ground dowel pins, standard series"
	b1885m   = "ASME B18.8.5M, metric dowel pins"
	b183app  = "ASME B18.3 appendix, drill and counterbore sizes"
	m6pins   = "DIN 7 / ISO 286 table of m6 pins"
	tiny     = 1e-6 // the last digit of floating point
)

// row is a check as data: of what, at which size, and which of its numbers. One function reads them
// all, since a closure for each would enlarge calc.wasm.
type row struct {
	what, of   string
	size       float64
	get        byte
	want, tol  float64
	unit       string
	source     string
	provenance check.Provenance // Published where empty
}

func checksOf(rows []row, eval func(of string, size float64, get byte) float64) []check.Check {
	var out []check.Check
	for _, r := range rows {
		if r.provenance == "" {
			r.provenance = check.Published
		}
		out = append(out, check.Check{What: r.what, Got: func() float64 { return eval(r.of, r.size, r.get) }, Want: r.want, Tol: r.tol, Unit: r.unit, Source: r.source, Provenance: r.provenance})
	}
	return out
}

func screw(size string) Screw {
	s, f := FindScrew(size)
	if f != nil {
		return Screw{D: math.NaN()}
	}
	return s
}

// clearRows: size is the fit; get is n for the least hole, x for the most, d for
// the drill, m for the least hole in millimetres, o for the drill of the other
// system in millimetres.
var clearRows = []row{
	{"1/4, loose fit, largest hole", "1/4", 2, 'x', .311, tiny, "in", mh1741, ""},
	{"1/2, loose fit, least hole", "1/2", 2, 'n', .609, tiny, "in", mh1741, ""},
	{"5/8, loose fit, least hole", "5/8", 2, 'n', .734, tiny, "in", mh1741, ""},
	{"3/4, loose fit, largest hole", "3/4", 2, 'x', .926, tiny, "in", mh1741, ""},
	{"1-1/8, loose fit, least hole", "1-1/8", 2, 'n', 1.312, tiny, "in", mh1741, ""},
	{"1-1/2, loose fit, largest hole", "1-1/2", 2, 'x', 1.759, tiny, "in", mh1741, ""},
	{"1/4, normal fit, the drill is 9/32", "1/4", 1, 'd', 9.0 / 32, tiny, "in", mh1741, ""},
	{"5/8, normal fit, metric drill", "5/8", 1, 'o', 17.5, tiny, "mm", mh1743, ""},
	{"M6, normal hole", "M6", 1, 'm', 6.6, tiny, "mm", iso273, ""},
	{"M12, normal hole", "M12", 1, 'm', 13.5, tiny, "mm", iso273, ""},
	{"M16, coarse hole", "M16", 2, 'm', 18.5, tiny, "mm", iso273, ""},
}

func clearChecks() []check.Check {
	return checksOf(clearRows, func(of string, size float64, get byte) float64 {
		s := screw(of)
		h := Clearance(s, Fit(size))
		switch get {
		case 'n':
			return h.Min
		case 'x':
			return h.Max
		case 'd':
			return h.Dia
		case 'm':
			return h.Min * mmPerInch
		}
		d, _ := OtherDrill(s, h)
		return d.MM
	})
}

// boreRows: size is 0 for a socket head and 1 for a hexagon; get is h for the
// head across, t for its height, f for the flats, b for the bore; capitals are
// in millimetres.
var boreRows = []row{
	{"#10 socket head, diameter", "#10", 0, 'h', .312, tiny, "in", b183, ""},
	{"1/2 socket head, diameter", "1/2", 0, 'h', .750, tiny, "in", b183, ""},
	{"3/4 socket head, diameter", "3/4", 0, 'h', 1.125, tiny, "in", b183, ""},
	{"3/4 socket head, height", "3/4", 0, 't', .750, tiny, "in", b183, ""},
	{"5/8 hexagon head, across corners", "5/8", 1, 'h', 1.083, tiny, "in", b1821, ""},
	{"1 in hexagon head, height", "1 in", 1, 't', .627, tiny, "in", b1821, ""},
	{"3/8 hexagon head, across flats", "3/8", 1, 'f', .562, tiny, "in", b1821, ""},
	{"M12 counterbore", "M12", 0, 'B', 20, tiny, "mm", din974, ""},
	{"M20 counterbore", "M20", 0, 'B', 33, tiny, "mm", din974, ""},
	{"M16 hexagon head, across corners", "M16", 1, 'H', 27.7, .05, "mm", medh, ""},
	{"1/2 counterbore for a socket head", "1/2", 0, 'b', 20.65 / mmPerInch, .025 / mmPerInch, "in", "Published table of counterbores for socket heads, to 0.05 mm: 1/2 screw, 20.65 mm", ""},
	{"3/4 counterbore for a socket head", "3/4", 0, 'b', 1 + 3.0/16, tiny, "in", b183app, check.Memory},
}

func boreChecks() []check.Check {
	return checksOf(boreRows, func(of string, size float64, get byte) float64 {
		s := SocketSeat(screw(of), Normal)
		if size == 1 {
			s = HexSeat(screw(of), Normal, 0, 0)
		}
		switch get {
		case 'h':
			return s.Head
		case 't':
			return s.High
		case 'f':
			return s.Flats
		case 'b':
			return s.Bore
		case 'B':
			return s.Bore * mmPerInch
		}
		return s.Head * mmPerInch
	})
}

// roomRows: get is F for the tolerance of fixed bolts in holes of a size, f of
// floating ones, H and h for the hole a tolerance needs, L for one that is not
// projected, s for how much centre distances may differ, o for opening one hole
// when they differ by a size; the bolt is that of the text, 0.625 where there is
// none.
var roomRows = []row{
	{"bolts 8.0 mm in holes of 8.5, floating: each part", "8", 8.5, 'f', .5, tiny, "mm", m8notes, ""},
	{"screws 8.0 mm in holes of 8.5, fixed: each part", "8", 8.5, 'F', .25, tiny, "mm", m8notes, ""},
	{"bolts 8.0 mm in holes of 9.0, floating: each part", "8", 9, 'f', 1, tiny, "mm", course, ""},
	{"a pin of 0.168 in a hole of 0.180: position tolerance", ".168", .18, 'f', .012, tiny, "in", virtual, ""},
	{"hole for a pin of 9.3 mm with a tolerance of 0.6", "9.3", .6, 'h', 9.9, tiny, "mm", gauge, ""},
	{"studs 0.625 in holes of 0.688, fixed: each part", "", .688, 'F', .0315, tiny, "in", y145, check.Exact},
	{"bolts 0.625 in holes of 0.688, floating: each part", "", .688, 'f', .063, tiny, "in", y145, check.Exact},
	{"hole for a 0.625 bolt, floating, tolerance 0.031", "", .031, 'h', .656, tiny, "in", y145, check.Exact},
	{"hole for a 0.625 stud, fixed, tolerance 0.014 on each part", "", .014, 'H', .653, tiny, "in", y145, check.Exact},
	{"hole for a 0.625 stud, fixed, tolerance 0.010, not projected, plate as thick as the thread is deep", "", .01, 'L', .665, tiny, "in",
		"ASME Y14.5, appendix B.5: H = F + T1 + T2 (1 + 2P/D)", check.Memory},
	{"two 0.625 studs, holes 0.688: most the centre distances may differ", "", .688, 's', .063, .0002, "in",
		"Brute force: the plate is pushed along the line of centres until neither stud touches, in steps of 0.0001 in", check.Independent},
	{"one hole opened so that studs 0.080 too far apart go in, the other 0.688", "", .080, 'o', .722, .0003, "in",
		"Brute force: the hole is opened in steps of 0.0001 in and the plate pushed about until both studs pass", check.Independent},
}

func roomChecks() []check.Check {
	return checksOf(roomRows, func(of string, size float64, get byte) float64 {
		f := .625
		if of != "" {
			f, _ = strconv.ParseFloat(of, 64)
		}
		switch get {
		case 'F', 's':
			r, _ := Fixed(f, size, 0, 0)
			if get == 's' {
				return r.Spacing
			}
			return r.First
		case 'f':
			r, _ := Floating(f, size, size)
			return r.First
		case 'h':
			return HoleForFloating(f, size)
		case 'H':
			return HoleForFixed(f, size, 0, 0)
		case 'L':
			return HoleForFixed(f, size, 1, 1)
		}
		return OpenOne(f, size, 0, .688)
	})
}

// fitRows: size is in millimetres for ISO 286, which answers in micrometres, and
// in inches for ANSI B4.1, which answers in thousandths; get is l and h for the
// shaft's lower and upper deviation, H for the hole's upper, t and o for the
// tightest and loosest.
var fitRows = []row{
	{"P7 over 18 to 30 mm, upper deviation", "P7", 25, 'H', -14, .001, "um", drawing, ""},
	{"s over 180 to 200 mm, lower deviation", "s6", 190, 'l', 122, .001, "um", drawing, ""},
	{"zc over 14 to 18 mm, lower deviation", "zc8", 16, 'l', 150, .001, "um", drawing, ""},
	{"a over 450 to 500 mm, upper deviation", "a11", 480, 'h', -1650, .001, "um", drawing, ""},
	{"M6 over 250 to 315 mm, upper deviation", "M6", 280, 'H', -9, .001, "um", drawing, ""},
	{"J8 over 120 to 180 mm, upper deviation", "J8", 150, 'H', 41, .001, "um", drawing, ""},
	{"25 H7/g6, loosest", "H7/g6", 25, 'o', 41, .001, "um", iso2861, check.Memory},
	{"50 H7/p6, most squeeze", "H7/p6", 50, 't', -42, .001, "um", iso2861, check.Memory},
	{"25 H8/f7, tightest", "H8/f7", 25, 't', 20, .001, "um", iso2861, check.Memory},
	{"25 H7, upper deviation", "H7", 25, 'H', 21, .001, "um", narayana, ""},
	{"40 C11, upper deviation", "C11", 40, 'H', 280, .001, "um", narayana, ""},
	{"25 h9, lower deviation", "h9", 25, 'l', -52, .001, "um", narayana, ""},
	{"40 h11, lower deviation", "h11", 40, 'l', -160, .001, "um", narayana, ""},
	{"50 H8/f7, tightest", "H8/f7", 50, 't', 25, .001, "um", wiki, ""},
	{"50 H8/f7, loosest", "H8/f7", 50, 'o', 89, .001, "um", wiki, ""},
	{"25 j6, lower deviation", "j6", 25, 'l', -4, .001, "um", iso2861, check.Memory},
	{"RC4 over 0.71 to 1.19 in, loosest", "RC4", 1, 'o', 2.8, .001, "thou", mh718, ""},
	{"RC1 over 15.75 to 19.69 in, loosest", "RC1", 18, 'o', 3.0, .001, "thou", mh718, ""},
	{"RC8 over 1.19 to 1.97 in, shaft's lower deviation", "RC8", 1.5, 'l', -7.5, .001, "thou", mh720, ""},
	{"RC9 over 0.71 to 1.19 in, loosest", "RC9", 1, 'o', 15.5, .001, "thou", mh720, ""},
	{"LT5 over 1.97 to 3.15 in, most squeeze", "LT5", 2.5, 't', -1.5, .001, "thou", mh726, ""},
	{"LN2 over 3.15 to 4.73 in, least squeeze", "LN2", 4, 'o', -.2, .001, "thou", mh660, ""},
	{"FN2 over 1.19 to 1.58 in, least squeeze", "FN2", 1.5, 'o', -.8, .001, "thou", mh27, ""},
	{"FN4 over 0.95 to 1.19 in, most squeeze", "FN4", 1, 't', -2.3, .001, "thou", mh27, ""},
	{"FN5 over 2.56 to 3.15 in, most squeeze", "FN5", 3, 't', -7.2, .001, "thou", mh27, ""},
	{"IT7 over 18 to 30 mm by the formula 16 (0.45 D^(1/3) + 0.001 D), D = sqrt(18 x 30)", "H7", 25, 'H', 20.92, .5, "um",
		"ISO 286-1, derivation of the standard tolerances, by hand", check.Independent},
}

func fitChecks() []check.Check {
	return checksOf(fitRows, func(of string, size float64, get byte) float64 {
		in, k := size, 1000.0
		if _, _, inch, _ := splitFit(of); inch == "" {
			in, k = size/mmPerInch, 1000*mmPerInch
		}
		p, f := Limits(of, in)
		if f != nil {
			return math.NaN()
		}
		switch get {
		case 'l':
			return k * p.ShaftDev[0]
		case 'h':
			return k * p.ShaftDev[1]
		case 'H':
			return k * p.HoleDev[1]
		case 't':
			return k * p.Tightest
		}
		return k * p.Loosest
	})
}

// dowelRows: the text is the family; size is in inches, or millimetres for the
// metric families; get is n and x for the pin, N and X for its press hole, s for
// single shear, O for the least oversize pin.
var dowelRows = []row{
	{"1/4 pin, most", InchPin, .25, 'x', .2503, tiny, "in", b1882, ""},
	{"1/4 pin, least", InchPin, .25, 'n', .2501, tiny, "in", b1882, ""},
	{"3/8 pin, press hole, least", InchPin, .375, 'N', .3745, tiny, "in", b1882, ""},
	{"1 in pin, press hole, most", InchPin, 1, 'X', 1, tiny, "in", b1882, ""},
	{"1/2 pin, single shear", InchPin, .5, 's', 25500, 60, "lbf", b1882, ""},
	{"1 in pin, single shear", InchPin, 1, 's', 102000, 150, "lbf", b1882, ""},
	{"6 mm pin, most", USPin, 6, 'x', 6.009, tiny, "mm", b1885m, ""},
	{"10 mm pin, press hole, least", USPin, 10, 'N', 9.987, tiny, "mm", b1885m, ""},
	{"3 mm oversize pin, least", USPin, 3, 'O', 3.025, tiny, "mm", b1885m, ""},
	{"8 mm m6 pin, most", ISOPin, 8, 'x', 8.015, tiny, "mm", m6pins, ""},
	{"12 mm m6 pin, least", ISOPin, 12, 'n', 12.007, tiny, "mm", m6pins, ""},
}

func dowelChecks() []check.Check {
	return checksOf(dowelRows, func(of string, size float64, get byte) float64 {
		k := mmPerInch
		if of == InchPin {
			k = 1
		}
		p, ok := FindPin(of, size/k, get == 'O')
		if !ok {
			return math.NaN()
		}
		switch get {
		case 'x':
			return k * p.Max
		case 'N':
			return k * p.HoleMin
		case 'X':
			return k * p.HoleMax
		case 's':
			return p.Shear
		}
		return k * p.Min
	})
}
