//go:build !js

package bench

import (
	"datumbook/calc/check"
	"datumbook/calc/units"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "divide", Rows: divideChecks()},
		{Sheet: "heat", Rows: heatChecks()},
		{Sheet: "blocks", Rows: blocksChecks()},
		{Sheet: "shims", Rows: shimsChecks()},
		{Sheet: "sine", Rows: sineChecks()},
		{Sheet: "taper", Rows: taperChecks()},
		{Sheet: "triangle", Rows: triangleChecks()},
		{Sheet: "arc", Rows: arcChecks()},
	}
}

// The published values that this package must reproduce.

const (
	mh     = "Machinery's Handbook, 31st edition"
	od1644 = "US Army course OD1644 Milling Machine Operations, lesson 1"
)

func blocksChecks() []check.Check {
	count := func(key string, h units.Length) func() float64 {
		return func() float64 {
			owned, _ := Set(key)
			s, _, _ := Blocks(h, owned, 8)
			return float64(len(s.Blocks))
		}
	}
	pieces := func(key string) func() float64 {
		return func() float64 { b, _ := Set(key); return float64(len(b)) }
	}
	// uses is 1 if the sizes are all in the set and add up to the height.
	uses := func(key string, h units.Length, sizes ...units.Length) func() float64 {
		return func() float64 {
			owned, _ := Set(key)
			for _, s := range sizes {
				h -= s
				found := false
				for _, b := range owned {
					found = found || b == s
				}
				if !found {
					return 0
				}
			}
			if h != 0 {
				return 0
			}
			return 1
		}
	}
	const published = "Published worked example of selecting gauge blocks, 81-piece set: .1002 + .126 + .750 + 3.000"
	const npl = "National Physical Laboratory, how to select gauge blocks, 112-piece set: 1.005 + 1.04 + 1.30 + 5 + 50 mm"
	return []check.Check{
		{What: "3.9762 in of the 81-piece set, blocks", Got: count("in81", in/10000*39762), Want: 4, Source: published, Provenance: check.Published},
		{What: "The published stack for 3.9762 in is of blocks in the set and adds up (1 = yes)", Got: uses("in81", in/10000*39762, in/10000*1002, in/1000*126, in/4*3, 3*in), Want: 1, Source: published, Provenance: check.Published},
		{What: "58.345 mm of the 112-piece set: the published stack is of blocks in the set and adds up (1 = yes)", Got: uses("mm112", 58345*um, 1005*um, 1040*um, 1300*um, 5*mm, 50*mm), Want: 1, Source: npl, Provenance: check.Published},
		{What: "58.345 mm of the 112-piece set, blocks: one less than published, 1.005 + 1.34 + 6 + 50", Got: count("mm112", 58345*um), Want: 4, Source: "Every height of the set by adding one block after the other", Provenance: check.Independent},
		{What: "37.785 mm of the 88-piece set, blocks: one less than by taking one decimal after the other", Got: count("mm88", 37785*um), Want: 4, Source: "Every height of the set by adding one block after the other: 1.005 + 1.28 + 5.5 + 30", Provenance: check.Independent},
		{What: "2.500 in of the 81-piece set, blocks: 2.000 + .500", Got: count("in81", in*5/2), Want: 2, Source: "Published worked example, stack for a 5 in sine bar at 30 degrees", Provenance: check.Published},
		{What: "Pieces in the 81-piece set", Got: pieces("in81"), Want: 81, Source: "Metrology course notes: .1001-.1009, .101-.149, .050-.950, 1-4 in", Provenance: check.Published},
		{What: "Pieces in the 112-piece set", Got: pieces("mm112"), Want: 112, Source: "1.0005, 1.001-1.009, 1.01-1.49, 0.5-24.5, 25-100 mm", Provenance: check.Practice},
	}
}

func sineChecks() []check.Check {
	stack := func(bar, deg float64) func() float64 { return func() float64 { return SineStack(bar, deg) } }
	const constants = mh + ", constants for a 5-inch sine bar"
	const sensitive = "Published discussion of sine bars, error of the angle by an error of the stack"
	return []check.Check{
		{What: "5 in bar at 34 deg 25 min", Got: stack(5, 34+25.0/60), Want: 2.826, Tol: .0005, Unit: "in", Source: "Handbook of Machining and Metalworking Calculations, chapter 4, sine bar procedures", Provenance: check.Published},
		{What: "5 in bar at 27 deg", Got: stack(5, 27), Want: 2.270, Tol: .0005, Unit: "in", Source: "Published worked example of a sine plate, 5 in at 27 degrees", Provenance: check.Published},
		{What: "5 in bar at 18 deg", Got: stack(5, 18), Want: 1.545, Tol: .0005, Unit: "in", Source: "Published worked example of a sine bar, 5 in at 18 degrees", Provenance: check.Published},
		{What: "5 in bar at 30 deg", Got: stack(5, 30), Want: 2.5, Tol: 1e-12, Unit: "in", Source: "sin 30 degrees is one half", Provenance: check.Exact},
		{What: "5 in bar at 5 deg", Got: stack(5, 5), Want: .43578, Tol: .000005, Unit: "in", Source: constants, Provenance: check.Memory},
		{What: "5 in bar at 22 deg 30 min", Got: stack(5, 22.5), Want: 5 * .38268, Tol: 2.6e-5, Unit: "in", Source: "Five times the sine of 22 deg 30 min, .38268, as printed for the chord of 8 holes in " + mh, Provenance: check.Published},
		{What: "5 in bar at 23 deg 41 min", Got: stack(5, 23+41.0/60), Want: 2.0084, Tol: .00005, Unit: "in", Source: "US Army TC 9-524, appendix C, sine bar or sine plate setting", Provenance: check.Published},
		{What: "2.5 in bar at 20 deg", Got: stack(2.5, 20), Want: .8551, Tol: .00005, Unit: "in", Source: "Published worked example of a 2.5 in sine bar at 20 degrees", Provenance: check.Published},
		{What: "5 in bar at 30 deg, 0.0001 in too much: turn", Got: func() float64 { return SineSlope(5, 30) * .0001 }, Want: .00132, Tol: .000005, Unit: "deg", Source: sensitive, Provenance: check.Published},
		{What: "5 in bar at 60 deg, 0.0001 in too much: turn", Got: func() float64 { return SineSlope(5, 60) * .0001 }, Want: .00229, Tol: .000005, Unit: "deg", Source: sensitive, Provenance: check.Published},
		{What: "5 in bar on a stack of 5/sqrt(2) in", Got: func() float64 { return SineAngle(5, 3.535533905932738) }, Want: 45, Tol: 1e-9, Unit: "deg", Source: "sin 45 degrees is 1/sqrt(2)", Provenance: check.Exact},
		{What: "5 in bar at 30 deg, turn for 0.0001 in by two stacks", Got: func() float64 { return SineSlope(5, 30) * .0001 * 3600 }, Want: (SineAngle(5, 2.50005) - SineAngle(5, 2.49995)) * 3600, Tol: 1e-6, Unit: "arcsec", Source: "Difference of two angles", Provenance: check.Independent},
	}
}

func shimsChecks() []check.Check {
	thou := in / 1000
	stock := []units.Length{1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 25, 31}
	var owned []Leaf
	for _, t := range stock {
		owned = append(owned, Leaf{t * thou, 4})
	}
	fewest := func(want units.Length, own []Leaf) func() float64 {
		return func() float64 {
			p, err := Leaves(want, own, 6)
			if err != nil {
				return -1
			}
			return float64(len(Choose(p, 0).Blocks))
		}
	}
	off := func(want units.Length, own []Leaf, most int) func() float64 {
		return func() float64 {
			p, err := Leaves(want, own, most)
			if err != nil {
				return -1
			}
			return p[len(p)-1].Over.Inches()
		}
	}
	const by = "Every pack tried by hand"
	const (
		coins   = "Textbook problem of the fewest coins, example with printed answer: "
		example = "Published practice problem of the fewest coins, example with printed answer: "
	)
	// any is leaves of these thousandths, any number of each.
	any := func(of ...units.Length) []Leaf {
		var own []Leaf
		for _, t := range of {
			own = append(own, Leaf{t * thou, MostLeaves})
		}
		return own
	}
	pieces := []Leaf{{1005 * um, 1}, {1080 * um, 1}, {1700 * um, 1}, {4 * mm, 1}, {30 * mm, 1}}
	return []check.Check{
		{What: ".030 in of .025, .010 and .005, leaves", Got: fewest(30*thou, any(25, 10, 5)), Want: 2, Source: coins + "25, 10, 5 for 30", Provenance: check.Published},
		{What: ".011 in of .009, .006, .005 and .001, leaves (the thickest first would take three)", Got: fewest(11*thou, any(9, 6, 5, 1)), Want: 2, Source: coins + "9, 6, 5, 1 for 11 is 6 + 5", Provenance: check.Published},
		{What: ".011 in of .001, .002 and .005, leaves", Got: fewest(11*thou, any(1, 2, 5)), Want: 3, Source: example + "1, 2, 5 for 11 is 5 + 5 + 1", Provenance: check.Published},
		{What: ".003 in of .002 alone: made up exactly (1 = yes)", Got: func() float64 {
			if off(3*thou, any(2), 6)() == 0 {
				return 1
			}
			return 0
		}, Want: 0, Source: example + "2 for 3 cannot be", Provenance: check.Published},
		{What: "37.785 mm of the five pieces printed: off by", Got: off(37785*um, pieces, 5), Want: 0, Tol: 1e-12, Unit: "in", Source: "A gauge block maker's manual, worked example of a stack: 1.005 + 1.08 + 1.7 + 4 + 30 mm", Provenance: check.Published},
		{What: ".031 in of common stock, leaves", Got: fewest(31*thou, owned), Want: 1, Source: by, Provenance: check.Independent},
		{What: ".029 in of common stock, leaves (.025 + .004)", Got: fewest(29*thou, owned), Want: 2, Source: by, Provenance: check.Independent},
		{What: ".061 in of common stock, leaves (.031 + .025 + .005)", Got: fewest(61*thou, owned), Want: 3, Source: by, Provenance: check.Independent},
		{What: ".0265 in of whole thousandths, off by", Got: off(in/10000*265, owned, 4), Want: -.0005, Tol: 1e-12, Unit: "in", Source: by + "; the thinner of two equally near", Provenance: check.Independent},
		{What: ".012 in of two .005 and one .003: off by (.005 + .005 + .003)", Got: off(12*thou, []Leaf{{5 * thou, 2}, {3 * thou, 1}}, 4), Want: .001, Tol: 1e-12, Unit: "in", Source: by + ": 0, 3, 5, 8, 10, 13", Provenance: check.Independent},
		{What: ".009 in of three .003, leaves", Got: fewest(9*thou, []Leaf{{3 * thou, 3}}), Want: 3, Source: by, Provenance: check.Independent},
	}
}

func triangleChecks() []check.Check {
	part := func(t Triangle, which int, get func(Triangle) float64) func() float64 {
		return func() float64 {
			s, err := Solve(t)
			if err != nil || which >= len(s) {
				return -1
			}
			return get(s[which])
		}
	}
	side := func(i int) func(Triangle) float64 { return func(t Triangle) float64 { return t.Side[i] } }
	angle := func(i int) func(Triangle) float64 { return func(t Triangle) float64 { return t.Angle[i] } }
	three := Triangle{Side: [3]float64{3, 4, 0}, Angle: [3]float64{0, 0, 90}}
	two := Triangle{Side: [3]float64{0, 8, 13}, Angle: [3]float64{0, 31, 0}}
	sas := Triangle{Side: [3]float64{6.9, 2.6, 0}, Angle: [3]float64{0, 0, 117}}
	wedge := Triangle{Side: [3]float64{10, 0, 12}, Angle: [3]float64{0, 30, 0}}
	swing := Triangle{Side: [3]float64{6, 8, 0}, Angle: [3]float64{35, 0, 0}}
	const sines = "OpenStax Precalculus, section 8.1"
	const cosines = "OpenStax Precalculus, section 8.2"
	const lib = "Triangle library trigonometry-calculator 2.0.0, its documentation"
	return []check.Check{
		{What: "Legs 3 and 4: long side", Got: part(three, 0, side(2)), Want: 5, Tol: 1e-12, Source: "Euclid, Elements I.47", Provenance: check.Exact},
		{What: "Sides 5 and 7 with 120 degrees between", Got: part(Triangle{Side: [3]float64{5, 7, 0}, Angle: [3]float64{0, 0, 120}}, 0, side(2)), Want: 10.44, Tol: .005, Source: "Published worked example of the law of cosines: sqrt(109)", Provenance: check.Published},
		{What: "a 7, b 5, B 40 degrees: angle A", Got: part(Triangle{Side: [3]float64{7, 5, 0}, Angle: [3]float64{0, 40, 0}}, 0, angle(0)), Want: 64.15, Tol: .01, Unit: "deg", Source: "Published worked example, ambiguous case", Provenance: check.Published},
		{What: "a 7, b 5, B 40 degrees, the other triangle: side c", Got: part(Triangle{Side: [3]float64{7, 5, 0}, Angle: [3]float64{0, 40, 0}}, 1, side(2)), Want: 3.18, Tol: .005, Source: "Published worked example, ambiguous case", Provenance: check.Published},
		{What: "a 20, b 25, c 18: angle A", Got: part(Triangle{Side: [3]float64{20, 25, 18}}, 0, angle(0)), Want: 52.4, Tol: .05, Unit: "deg", Source: cosines + ", example 2", Provenance: check.Published},
		{What: "a 10, c 12, B 30 degrees: side b", Got: part(wedge, 0, side(1)), Want: 6.013, Tol: .0005, Source: cosines + ", example 1", Provenance: check.Published},
		{What: "a 10, c 12, B 30 degrees: angle A", Got: part(wedge, 0, angle(0)), Want: 56.3, Tol: .05, Unit: "deg", Source: cosines + ", example 1", Provenance: check.Published},
		{What: "a 6, b 8, A 35 degrees: angle B", Got: part(swing, 0, angle(1)), Want: 49.9, Tol: .05, Unit: "deg", Source: sines + ", example 2", Provenance: check.Published},
		{What: "a 6, b 8, A 35 degrees: side c", Got: part(swing, 0, side(2)), Want: 10.4, Tol: .05, Source: sines + ", example 2", Provenance: check.Published},
		{What: "a 6, b 8, A 35 degrees, the other triangle: side c", Got: part(swing, 1, side(2)), Want: 2.7, Tol: .05, Source: sines + ", example 2", Provenance: check.Published},
		{What: "b 9, c 12, C 85 degrees: side a", Got: part(Triangle{Side: [3]float64{0, 9, 12}, Angle: [3]float64{0, 0, 85}}, 0, side(0)), Want: 8.8, Tol: .05, Source: sines + ", example 3", Provenance: check.Published},
		{What: "a 6.9, b 2.6, C 117 degrees: side c", Got: part(sas, 0, side(2)), Want: 8.405901446641815, Tol: 1e-9, Source: lib, Provenance: check.Independent},
		{What: "a 6.9, b 2.6, C 117 degrees: angle A", Got: part(sas, 0, angle(0)), Want: 47.00257739237024, Tol: 1e-9, Unit: "deg", Source: lib, Provenance: check.Independent},
		{What: "b 8, c 13, B 31 degrees: angle A", Got: part(two, 0, angle(0)), Want: 92.18193954206835, Tol: 1e-9, Unit: "deg", Source: lib, Provenance: check.Independent},
		{What: "b 8, c 13, B 31 degrees, the other triangle: side a", Got: part(two, 1, side(0)), Want: 6.764779420434399, Tol: 1e-9, Source: lib, Provenance: check.Independent},
	}
}

func arcChecks() []check.Check {
	get := func(a Arc, f func(Arc) float64) func() float64 {
		return func() float64 {
			s, err := SolveArc(a)
			if err != nil {
				return -1
			}
			return f(s)
		}
	}
	chord, radius := func(a Arc) float64 { return a.Chord }, func(a Arc) float64 { return a.Radius }
	const sections = "Help of a school mathematics program, circular sections, worked examples"
	return []check.Check{
		{What: "Radius 1, 60 degrees: chord", Got: get(Arc{Radius: 1, Angle: 60}, func(a Arc) float64 { return a.Chord }), Want: 1, Tol: 1e-12, Source: "Euclid, Elements IV.15: side of the hexagon", Provenance: check.Exact},
		{What: "Radius 35, 60 degrees: length along the arc", Got: get(Arc{Radius: 35, Angle: 60}, Arc.Length), Want: 36.645, Tol: .011, Source: mh + ", p. 78, worked with 0.01745 for a degree", Provenance: check.Published},
		{What: "Radius 60, rise 8: chord", Got: get(Arc{Radius: 60, Rise: 8}, chord), Want: 59.86, Tol: .011, Source: mh + ", p. 79, worked from a rounded root", Provenance: check.Published},
		{What: "Chord 16, rise 6: radius", Got: get(Arc{Chord: 16, Rise: 6}, radius), Want: 8 + 1.0/3, Tol: 1e-12, Source: mh + ", p. 79", Provenance: check.Published},
		{What: "Radius 12, rise 2: chord", Got: get(Arc{Radius: 12, Rise: 2}, chord), Want: 13.27, Tol: .005, Source: mh + ", p. 50", Provenance: check.Published},
		{What: "Radius 12, rise 2: angle", Got: get(Arc{Radius: 12, Rise: 2}, func(a Arc) float64 { return a.Angle }), Want: 67.13, Tol: .02, Unit: "deg", Source: mh + ", p. 50, from rounded steps", Provenance: check.Published},
		{What: "Radius 12, rise 2: length along the arc", Got: get(Arc{Radius: 12, Rise: 2}, Arc.Length), Want: 14.06, Tol: .005, Source: mh + ", p. 50", Provenance: check.Published},
		{What: "Radius 12, rise 2: area of the segment", Got: get(Arc{Radius: 12, Rise: 2}, Arc.Segment), Want: 18.01, Tol: .04, Source: mh + ", p. 50, from rounded steps", Provenance: check.Published},
		{What: "Chord 21, rise 6: radius", Got: get(Arc{Chord: 21, Rise: 6}, radius), Want: 12.1875, Tol: 1e-9, Source: sections, Provenance: check.Published},
		{What: "Chord 21, rise 6: angle", Got: get(Arc{Chord: 21, Rise: 6}, func(a Arc) float64 { return a.Angle }), Want: 118.97953, Tol: 5e-6, Unit: "deg", Source: sections, Provenance: check.Published},
		{What: "Chord 21, rise 6: length along the arc", Got: get(Arc{Chord: 21, Rise: 6}, Arc.Length), Want: 25.308373, Tol: 5e-7, Source: sections, Provenance: check.Published},
		{What: "Chord 21, rise 6: area of the segment", Got: get(Arc{Chord: 21, Rise: 6}, Arc.Segment), Want: 89.254148, Tol: 5e-7, Source: sections, Provenance: check.Published},
		{What: "Radius 1.2732395, 45 degrees: rise", Got: get(Arc{Radius: 1.2732395, Angle: 45}, func(a Arc) float64 { return a.Rise }), Want: .096919589, Tol: 1e-8, Source: sections, Provenance: check.Published},
		{What: "Chord 8, rise 2: radius", Got: get(Arc{Chord: 8, Rise: 2}, func(a Arc) float64 { return a.Radius }), Want: 5, Tol: 1e-12, Source: "Right triangle 3, 4, 5 in the circle", Provenance: check.Exact},
		{What: "Radius 5, rise 8: chord", Got: get(Arc{Radius: 5, Rise: 8}, func(a Arc) float64 { return a.Chord }), Want: 8, Tol: 1e-12, Source: "Right triangle 3, 4, 5 in the circle", Provenance: check.Exact},
		{What: "Radius 5, chord 8: rise", Got: get(Arc{Radius: 5, Chord: 8}, func(a Arc) float64 { return a.Rise }), Want: 2, Tol: 1e-12, Source: "Right triangle 3, 4, 5 in the circle", Provenance: check.Exact},
	}
}

func taperChecks() []check.Check {
	// whole is the whole angle of a ratio in seconds of angle.
	whole := func(ratio float64) func() float64 {
		return func() float64 { return 2 * TaperHalf(1, 0, ratio) * 3600 }
	}
	arcsec := func(d, m, s float64) float64 { return float64(d*3600) + float64(m*60) + s }
	const series = "Series of conical tapers, ISO 1119 and GOST 8593-81: whole angle"
	const morse = "Published table of Morse tapers (ASME B5.10): No. 2, 0.7000 to 0.5720 in, 0.5994 per foot"
	return []check.Check{
		{What: "Taper 1:3", Got: whole(3), Want: arcsec(18, 55, 29), Tol: .6, Unit: "arcsec", Source: series, Provenance: check.Published},
		{What: "Taper 1:5", Got: whole(5), Want: arcsec(11, 25, 16), Tol: .6, Unit: "arcsec", Source: series, Provenance: check.Published},
		{What: "Taper 1:10", Got: whole(10), Want: arcsec(5, 43, 29), Tol: .6, Unit: "arcsec", Source: series, Provenance: check.Published},
		{What: "Taper 1:12", Got: whole(12), Want: arcsec(4, 46, 19), Tol: .6, Unit: "arcsec", Source: series, Provenance: check.Published},
		{What: "Taper 1:20", Got: whole(20), Want: arcsec(2, 51, 51), Tol: .6, Unit: "arcsec", Source: series, Provenance: check.Published},
		{What: "Taper 1:50", Got: whole(50), Want: arcsec(1, 8, 45), Tol: .6, Unit: "arcsec", Source: series, Provenance: check.Published},
		{What: "0.5994 per foot: half angle", Got: func() float64 { return TaperHalf(.5994, 0, 12) }, Want: 1.4307, Tol: .0002, Unit: "deg", Source: morse, Provenance: check.Published},
		{What: "0.7000 to 0.5720 in over 2-9/16 in: taper per foot", Got: func() float64 { return (.7 - .572) / 2.5625 * 12 }, Want: .5994, Tol: .00005, Unit: "in/ft", Source: morse, Provenance: check.Published},
		{What: "Balls of 40 and 32 mm with centres 80 mm apart: half angle by its sine, 1/20", Got: func() float64 { return DiscsHalf(40, 32, 80) }, Want: 2.8660, Tol: .00005, Unit: "deg", Source: "asin 0.05 by table", Provenance: check.Independent},
		{What: "Over 0.5 in pins on a straight 1 in plug", Got: func() float64 { return PinsEnd(2, .5, 0) }, Want: 1, Tol: 1e-12, Unit: "in", Source: "Sum of the diameters", Provenance: check.Exact},
	}
}

func divideChecks() []check.Check {
	three, two := plates[0].circles, plates[1].circles
	// step is what the circle asked for moves, in holes; -1 where it is not exact.
	step := func(num, den int64, ratio int, circles []int, circle int) func() float64 {
		return func() float64 {
			for _, w := range Divide(num, den, ratio, circles) {
				if w.Circle == circle && w.Exact() {
					return float64(w.Turns*circle + w.Holes)
				}
			}
			return -1
		}
	}
	nearest := func(num, den int64, ratio int, circles []int, what func(Index) float64) func() float64 {
		return func() float64 { return what(Divide(num, den, ratio, circles)[0]) }
	}
	deg := func(x float64) int64 { return int64(x * wholeTurn / 360) }
	const old = "Machinery's Handbook, 1916: indexing for angles"
	return []check.Check{
		{What: "6 divisions on the 18 circle: 6 turns and 12 holes", Got: step(1, 6, 40, three, 18), Want: 6*18 + 12, Unit: "holes", Source: od1644, Provenance: check.Published},
		{What: "6 divisions on the 39 circle: 6 turns and 26 holes", Got: step(1, 6, 40, three, 39), Want: 6*39 + 26, Unit: "holes", Source: od1644, Provenance: check.Published},
		{What: "42 divisions on the 42 circle: 40 holes", Got: step(1, 42, 40, two, 42), Want: 40, Unit: "holes", Source: od1644, Provenance: check.Published},
		{What: "42 divisions on the 21 circle: 20 holes", Got: step(1, 42, 40, three, 21), Want: 20, Unit: "holes", Source: od1644, Provenance: check.Published},
		{What: "54 minutes on the 20 circle: 2 holes", Got: step(deg(.9), wholeTurn, 40, three, 20), Want: 2, Unit: "holes", Source: od1644, Provenance: check.Published},
		{What: "24 minutes: one hole of 22.5 is wanted; nearest, the 23 circle", Got: nearest(deg(.4), wholeTurn, 40, []int{15, 16, 17, 18, 19, 20, 21, 23}, func(i Index) float64 { return float64(i.Circle*1000 + i.Holes) }), Want: 23001, Source: od1644, Provenance: check.Published},
		{What: "35 degrees on the 18 circle: 3 turns and 16 holes", Got: step(deg(35), wholeTurn, 40, three, 18), Want: 3*18 + 16, Unit: "holes", Source: old, Provenance: check.Published},
		{What: "11-1/2 degrees on the 18 circle: 1 turn and 5 holes", Got: step(deg(11.5), wholeTurn, 40, three, 18), Want: 18 + 5, Unit: "holes", Source: old, Provenance: check.Published},
		{What: "7 divisions on the 21 circle: 5 turns and 15 holes", Got: step(1, 7, 40, three, 21), Want: 5*21 + 15, Unit: "holes", Source: "Published worked example of indexing, 7 divisions", Provenance: check.Published},
		{What: "7 divisions on the 49 circle: 5 turns and 35 holes", Got: step(1, 7, 40, three, 49), Want: 5*49 + 35, Unit: "holes", Source: "Published worked example of indexing, 7 divisions", Provenance: check.Published},
		{What: "127 divisions: exact circles of the three plates", Got: func() float64 {
			n := 0.0
			for _, w := range Divide(1, 127, 40, three) {
				if w.Exact() {
					n++
				}
			}
			return n
		}, Want: 0, Source: "127 is prime and larger than every circle", Provenance: check.Exact},
	}
}

func heatChecks() []check.Check {
	const swyt = "Journal of Research of NIST 99 (1994) 31"
	const table = "Fundamentals of Materials Science and Engineering, 3rd edition, table B.6"
	return []check.Check{
		{What: "Expansion of steel", Got: func() float64 { return expansion("steel") }, Want: 11.5, Unit: "ppm/K", Source: swyt + "; JCGM 100:2008, H.1.2", Provenance: check.Published},
		{What: "Expansion of aluminium 6061", Got: func() float64 { return expansion("aluminium") }, Want: 23.6, Unit: "ppm/K", Source: table, Provenance: check.Published},
		{What: "Expansion of aluminium 6061 against the general figure for aluminium", Got: func() float64 { return expansion("aluminium") }, Want: 23.1, Tol: .6, Unit: "ppm/K", Source: swyt, Provenance: check.Published},
		{What: "Expansion of free-cutting brass", Got: func() float64 { return expansion("brass") * 5 / 9 }, Want: 11.4, Tol: .05, Unit: "ppm/F", Source: table, Provenance: check.Published},
		{What: "Expansion of ductile iron 60-40-18", Got: func() float64 { return expansion("ductile") * 5 / 9 }, Want: 6.2, Tol: .05, Unit: "ppm/F", Source: table, Provenance: check.Published},
		{What: "Expansion of bearing bronze", Got: func() float64 { return expansion("bronze") * 5 / 9 }, Want: 10, Tol: .05, Unit: "ppm/F", Source: table, Provenance: check.Published},
		{What: "50 mm steel end gauge 0.05 C warmer than its standard, difference", Got: func() float64 { return 50e6 * (Grown(11.5, 20.05) - Grown(11.5, 20)) }, Want: 28.75, Tol: .01, Unit: "nm",
			Source: "JCGM 100:2008, H.1: l alpha theta; 16.6 nm is this divided by the square root of 3", Provenance: check.Published},
		{What: "Part and gauge alike, any temperature: reading unchanged", Got: func() float64 { return At20(12.3456, 11.5, 33, 11.5, 33) }, Want: 12.3456, Tol: 1e-12, Unit: "in", Source: "ISO 1: sizes are compared, not lengths", Provenance: check.Exact},
	}
}
