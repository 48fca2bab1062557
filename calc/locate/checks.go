//go:build !js

package locate

import (
	"math"

	"datumbook/calc/check"
	"datumbook/calc/fitting"
	"datumbook/calc/units"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "edge", Rows: edgeChecks()},
		{Sheet: "middle", Rows: middleChecks()},
		{Sheet: "centre", Rows: boreChecks()},
		{Sheet: "skew", Rows: skewChecks()},
		{Sheet: "bolts", Rows: boltsChecks()},
		{Sheet: "row", Rows: rowChecks()},
		{Sheet: "grid", Rows: gridChecks()},
		{Sheet: "pairs", Rows: pairsChecks()},
		{Sheet: "dials", Rows: dialsChecks()},
	}
}

const (
	byHand   = "Worked by hand"
	chords   = "Table of pitch circle chords, chord = diameter x constant, as in Machinery's Handbook, lengths of chords"
	navy     = "US Navy training manual, table 16-2, constants for locating the centres of flange boltholes"
	scipy    = "Published worked example of a least squares circle, six points, minimised by a general library"
	gander   = "W. Gander, G. H. Golub, R. Strebel, Least-squares fitting of circles and ellipses, BIT 34 (1994) 558"
	borg     = "I. Borg, P. Groenen, Modern Multidimensional Scaling, 2nd ed., section 19.4: turned 30 degrees, halved, shifted by (1, 2)"
	finder   = "The rim of a round tip is half its diameter from the spindle's axis"
	gumH2    = "JCGM 100:2008 (GUM), H.2, table H.2: five readings of a potential"
	gumT     = "JCGM 100:2008 (GUM), 4.4.3, table 1: twenty readings of a temperature"
	ea       = "US Navy training course 14071, chapter 7, figures 7-9 and 7-10: a line 520.16 ft long bearing S 61 deg 25 min E"
	ea2      = "US Navy training course 14070, chapter 7, figure 7-15: traverse table, 15-1/2 degrees"
	turned   = "PostGIS manual, ST_Rotate: 50, 50 and 100, 50 turned 30 degrees about 50, 160"
	ganos    = "Cloud database manual, ST_Rotate: 1, 2 and 2, 2 turned 30 degrees about -1, -1"
	mirror   = "School textbook exercise with published solution: image of a point in a line, "
	midpoint = "School exercise with printed answer, midpoint of "
	twenty   = "Published page on a lathe's dials: 20 threads to the inch, 0.050 inch or 1.27 mm a turn"
	ten      = "Ten points equally spaced on a circle of 1, test data of a university course on algorithms, printed to six places"
	screw    = "Encyclopaedia Britannica, micrometer: 40 threads to the inch, each turn moves the spindle 0.025 inch"
)

func edgeOf(side Side, tip, gap, want float64, reads ...float64) Edge {
	e, _ := FindEdge(side, tip, gap, want, reads)
	return e
}

// volts and warm are the GUM's readings that edges are averaged over.
var (
	volts = []float64{5.007, 4.994, 5.005, 4.990, 4.999}
	warm  = []float64{96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72}
)

func edgeChecks() []check.Check {
	return []check.Check{
		{What: "0.200 tip at the left edge, readout for the edge at zero", Got: func() float64 { return edgeOf(Left, .2, 0, 0).Set }, Want: -.1, Tol: 1e-12, Unit: "in", Source: finder, Provenance: check.Exact},
		{What: "0.200 tip at the right edge, readout for the edge at zero", Got: func() float64 { return edgeOf(Right, .2, 0, 0).Set }, Want: .1, Tol: 1e-12, Unit: "in", Source: finder, Provenance: check.Exact},
		{What: "0.500 tip in front of an edge, move to stand over it", Got: func() float64 { return edgeOf(Front, .5, 0, 0).Move }, Want: .25, Tol: 1e-12, Unit: "in", Source: finder, Provenance: check.Exact},
		{What: "10 mm tip behind an edge that shall be at 50 mm", Got: func() float64 { return edgeOf(Back, 10, 0, 50).Set }, Want: 55, Tol: 1e-12, Unit: "mm", Source: byHand, Provenance: check.Independent},
		{What: "0.250 pin with a 3 thou feeler at the left, move to the edge", Got: func() float64 { return edgeOf(Left, .25, .003, 0).Move }, Want: .128, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Three readings 3.4172, 3.4170, 3.4171 at the left, the edge", Got: func() float64 { return edgeOf(Left, .2, 0, 0, 3.4172, 3.4170, 3.4171).At }, Want: 3.5171, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "0.500 cutter for a shelf 0.250 wide, readout for its edge at 0.250", Got: func() float64 { return edgeOf(Left, .5, 0, .25).Set }, Want: 0, Tol: 1e-12, Unit: "in", Source: "Open book on the vertical mill, chapter 7, cutter radius compensation: worked example", Provenance: check.Published},
		{What: "Five readings of a tip of no width, the edge: their mean", Got: func() float64 { return edgeOf(Left, 0, 0, 0, volts...).At }, Want: 4.9990, Tol: 1e-9, Unit: "", Source: gumH2, Provenance: check.Published},
		{What: "The same readings, 95 % half width over Student's 2.78: standard uncertainty", Got: func() float64 { return edgeOf(Left, 0, 0, 0, volts...).Sure / 2.78 }, Want: .0032, Tol: .00005, Unit: "", Source: gumH2 + "; table G.2, 4 to spare", Provenance: check.Published},
		{What: "Twenty readings of a tip of no width, the edge: their mean", Got: func() float64 { return edgeOf(Right, 0, 0, 0, warm...).At }, Want: 100.145, Tol: .0005, Unit: "", Source: gumT, Provenance: check.Published},
		{What: "The same readings, 95 % half width over Student's 2.09: standard uncertainty", Got: func() float64 { return edgeOf(Right, 0, 0, 0, warm...).Sure / 2.09 }, Want: .333, Tol: .001, Unit: "", Source: gumT + "; table G.2, 19 to spare", Provenance: check.Published},
		{What: "Repeats that scatter by 1 with two to spare, 95 % half width of their mean", Got: func() float64 { return edgeOf(Left, .2, 0, 0, 0, 1, 2).Sure }, Want: 4.30 / math.Sqrt(3), Tol: .005, Unit: "", Source: "JCGM 100:2008 (GUM), table G.2: t = 4.30 for 2 degrees of freedom, and 4.2.3", Provenance: check.Published},
	}
}

func middleChecks() []check.Check {
	m := func(p Pair, a, b, t float64) Middle { r, _ := FindMiddle(p, a, b, t); return r }
	return []check.Check{
		{What: "Part touched at 1.3175 and 4.0185 with a 0.200 tip, middle", Got: func() float64 { return m(Outside, 1.3175, 4.0185, .2).At }, Want: 2.668, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "The same part, width", Got: func() float64 { return m(Outside, 1.3175, 4.0185, .2).Width }, Want: 2.501, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Buttons of 10 mm measured 97.5 mm over their outsides: from centre to centre", Got: func() float64 { return m(Outside, 0, 97.5, 10).Width }, Want: 87.5, Tol: 1e-12, Unit: "mm", Source: "Published worked example of toolmakers' buttons for a pair of gears", Provenance: check.Published},
		{What: "Middle of 0 and 7", Got: func() float64 { return m(Inside, 0, 7, .2).At }, Want: 3.5, Tol: 1e-12, Unit: "", Source: midpoint + "(0, 1) and (7, 5)", Provenance: check.Published},
		{What: "Middle of 1 and 5", Got: func() float64 { return m(Outside, 1, 5, .2).At }, Want: 3, Tol: 1e-12, Unit: "", Source: midpoint + "(0, 1) and (7, 5)", Provenance: check.Published},
		{What: "Middle of -2 and 4", Got: func() float64 { return m(Inside, -2, 4, .2).At }, Want: 1, Tol: 1e-12, Unit: "", Source: midpoint + "x of (-2, 5) and (4, -9)", Provenance: check.Published},
		{What: "Middle of -5 and 9", Got: func() float64 { return m(Outside, -5, 9, .2).At }, Want: 2, Tol: 1e-12, Unit: "", Source: midpoint + "y of (2, -5) and (2, 9)", Provenance: check.Published},
		{What: "Slot touched at -0.3 and 0.3 with a 0.200 tip, width", Got: func() float64 { return m(Inside, -.3, .3, .2).Width }, Want: .8, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Slot touched at -0.3 and 0.3, middle", Got: func() float64 { return m(Inside, -.3, .3, .2).At }, Want: 0, Tol: 1e-12, Unit: "in", Source: "Half way between, whatever the tip", Provenance: check.Exact},
		{What: "Like edges touched from the left at 1 and 5, their middle", Got: func() float64 { return m(Low, 1, 5, .2).At }, Want: 3.1, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Like edges touched from the right at 1 and 5, their distance", Got: func() float64 { return m(High, 1, 5, .2).Width }, Want: 4, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Spindle 1.4505 past the middle of that part: half of the way back on the readout", Got: func() float64 { return m(Outside, 1.3175, 4.0185, .2).Half }, Want: 1.3505, Tol: 1e-12, Unit: "in", Source: "Half of b - a, by hand", Provenance: check.Independent},
	}
}

func pts(v ...float64) []fitting.Point {
	var out []fitting.Point
	for i := 0; i+1 < len(v); i += 2 {
		out = append(out, fitting.Point{X: v[i], Y: v[i+1]})
	}
	return out
}

func boreChecks() []check.Check {
	six := func() Bore {
		b, _ := FindBore(pts(9, 34, 35, 10, -13, 6, 10, -14, 23, 27, 0, -10), true, 0, 0)
		return b
	}
	ggs := func() Bore { b, _ := FindBore(pts(1, 7, 2, 6, 5, 8, 7, 7, 9, 5, 3, 7), true, 0, 0); return b }
	five := func() Bore {
		b, _ := FindBore(pts(2.001, 0, 0, 1.999, -2.0005, 0, 0, -2, 1.4142, 1.4150), true, .2, .0005)
		return b
	}
	printed := func() Bore { b, _ := FindBore(pts(1, -6, 2, 1, 5, 2), true, 0, 0); return b }
	const circum = "Published programming exercise, circle through three points: (1, -6), (2, 1), (5, 2)"
	three := func(inside bool) Bore { b, _ := FindBore(pts(0, 0, 4, 0, 1, 3), inside, .2, 0); return b }
	return []check.Check{
		{What: "Six points, centre X", Got: func() float64 { return six().X }, Want: 10.50009, Tol: 5e-6, Unit: "", Source: scipy, Provenance: check.Published},
		{What: "Six points, centre Y", Got: func() float64 { return six().Y }, Want: 9.65995, Tol: 5e-6, Unit: "", Source: scipy, Provenance: check.Published},
		{What: "Six points, radius", Got: func() float64 { return six().R }, Want: 23.33353, Tol: 5e-6, Unit: "", Source: scipy, Provenance: check.Published},
		{What: "Three touches (1, -6) (2, 1) (5, 2), centre X", Got: func() float64 { return printed().X }, Want: 5, Tol: 1e-9, Unit: "", Source: circum, Provenance: check.Published},
		{What: "Three touches (1, -6) (2, 1) (5, 2), centre Y", Got: func() float64 { return printed().Y }, Want: -3, Tol: 1e-9, Unit: "", Source: circum, Provenance: check.Published},
		{What: "Three touches (1, -6) (2, 1) (5, 2), radius", Got: func() float64 { return printed().R }, Want: 5, Tol: 1e-9, Unit: "", Source: circum, Provenance: check.Published},
		{What: "Six points on a short arc, centre X", Got: func() float64 { return ggs().X }, Want: 4.7398, Tol: .00005, Unit: "", Source: gander, Provenance: check.Memory},
		{What: "Six points on a short arc, centre Y", Got: func() float64 { return ggs().Y }, Want: 2.9835, Tol: .00005, Unit: "", Source: gander, Provenance: check.Memory},
		{What: "Six points on a short arc, radius", Got: func() float64 { return ggs().R }, Want: 4.7142, Tol: .00005, Unit: "", Source: gander, Provenance: check.Memory},
		{What: "Three touches (0,0) (4,0) (1,3), diameter of a bore with a 0.200 tip", Got: func() float64 { return three(true).Dia }, Want: 2*math.Sqrt(5) + .2, Tol: 1e-12, Unit: "in", Source: byHand + ": equal distances from (2, 1)", Provenance: check.Independent},
		{What: "The same three touches round a boss, diameter", Got: func() float64 { return three(false).Dia }, Want: 2*math.Sqrt(5) - .2, Tol: 1e-12, Unit: "in", Source: byHand + ": equal distances from (2, 1)", Provenance: check.Independent},
		{What: "Five touches near a 2 in radius, centre X", Got: func() float64 { return five().X }, Want: .00037096, Tol: 5e-9, Unit: "in", Source: "The same sum made least by a general solver", Provenance: check.Independent},
		{What: "Five touches near a 2 in radius, out of round", Got: func() float64 { return five().Form }, Want: .00149, Tol: 5e-6, Unit: "in", Source: "The same sum made least by a general solver", Provenance: check.Independent},
	}
}

func frame(v ...float64) Frame {
	var f []Feature
	for i := 0; i+3 < len(v); i += 4 {
		f = append(f, Feature{fitting.Point{X: v[i], Y: v[i+1]}, fitting.Point{X: v[i+2], Y: v[i+3]}})
	}
	r, _ := FindFrame(f)
	return r
}

func skewChecks() []check.Check {
	mds := func() Frame { return frame(1, 2, .93, 3.12, -1, 2, .07, 2.62, -1, -2, 1.07, .88, 1, -2, 1.93, 1.38) }
	two := func() Frame { return frame(0, 0, 1, 2, 8, 0, 8.999, 2.008) }
	held := func() fitting.Point { f := two(); f.HoldFirst(); return f.Place(fitting.Point{X: 4, Y: 3}) }
	rot := func() fitting.Point {
		return frame(50, 160, 50, 160, 50, 50, 105, 64.7372055837117).Place(fitting.Point{X: 100, Y: 50})
	}
	tri := func() Frame { return frame(0, 0, 2, 1, 5, 0, 5, 5) } // a 3-4-5 triangle
	return []check.Check{
		{What: "Four points turned and halved, angle found", Got: func() float64 { return mds().Angle }, Want: 30, Tol: .1, Unit: "deg", Source: borg, Provenance: check.Published},
		{What: "Four points turned and halved, stretch that would fit", Got: func() float64 { return mds().Stretch + 1 }, Want: .5, Tol: .002, Unit: "", Source: borg, Provenance: check.Published},
		{What: "Four points turned and halved, where the zero goes, X", Got: func() float64 { return mds().Place(fitting.Point{}).X }, Want: 1, Tol: .005, Unit: "", Source: borg, Provenance: check.Published},
		{What: "Four points turned and halved, where the zero goes, Y", Got: func() float64 { return mds().Place(fitting.Point{}).Y }, Want: 2, Tol: .005, Unit: "", Source: borg, Provenance: check.Published},
		{What: "Two points turned about the first, angle found", Got: func() float64 { return frame(50, 160, 50, 160, 50, 50, 105, 64.7372055837117).Angle }, Want: 30, Tol: 1e-9, Unit: "deg", Source: turned, Provenance: check.Published},
		{What: "The same, where a third point goes, X", Got: func() float64 { return rot().X }, Want: 148.301270189222, Tol: 1e-9, Unit: "", Source: turned, Provenance: check.Published},
		{What: "The same, where a third point goes, Y", Got: func() float64 { return rot().Y }, Want: 89.7372055837117, Tol: 1e-9, Unit: "", Source: turned, Provenance: check.Published},
		{What: "Holes 8 in apart found at (1, 2) and (8.999, 2.008), angle", Got: func() float64 { return two().Angle }, Want: .057303, Tol: 5e-7, Unit: "deg", Source: byHand + ": atan(0.008/7.999)", Provenance: check.Independent},
		{What: "The same holes, distance found less drawn", Got: func() float64 { return two().Stretch * 8 }, Want: -.000996, Tol: 5e-7, Unit: "in", Source: byHand + ": sqrt(7.999^2 + 0.008^2) - 8", Provenance: check.Independent},
		{What: "The same holes, the first held: place (4, 3), X", Got: func() float64 { return held().X }, Want: 4.996998, Tol: 5e-7, Unit: "in", Source: byHand + ": 1 + 4 cos - 3 sin", Provenance: check.Independent},
		{What: "The same holes, the first held: place (4, 3), Y", Got: func() float64 { return held().Y }, Want: 5.003999, Tol: 5e-7, Unit: "in", Source: byHand + ": 2 + 4 sin + 3 cos", Provenance: check.Independent},
		{What: "A part turned so that 5 along it is 3 right and 4 back: (0, 5) of it, X", Got: func() float64 { return tri().Place(fitting.Point{Y: 5}).X }, Want: -2, Tol: 1e-12, Unit: "in", Source: byHand + ": 2 - 4", Provenance: check.Independent},
		{What: "The same part: (0, 5) of it, Y", Got: func() float64 { return tri().Place(fitting.Point{Y: 5}).Y }, Want: 4, Tol: 1e-12, Unit: "in", Source: byHand + ": 1 + 3", Provenance: check.Independent},
	}
}

func boltsChecks() []check.Check {
	chord := func(n int) func() float64 { return func() float64 { return Circle{Dia: 1, Holes: n}.Chord() } }
	hole := func(c Circle, i int, y bool) func() float64 {
		return func() float64 {
			p := c.Places()[i]
			if y {
				return p.Y
			}
			return p.X
		}
	}
	var rows []check.Check
	for _, r := range []struct {
		name string
		n    int
		c    float64
	}{{"3", 3, .86603}, {"5", 5, .58779}, {"7", 7, .43388}, {"8", 8, .38268}, {"11", 11, .28173}, {"17", 17, .18375}, {"30", 30, .10453}} {
		rows = append(rows, check.Check{What: "Chord of " + r.name + " holes on a circle of 1", Got: chord(r.n), Want: r.c, Tol: 5.1e-6, Unit: "", Source: chords, Provenance: check.Published})
	}
	for _, r := range []struct {
		name string
		n    int
		c    float64
	}{{"6", 6, .5}, {"9", 9, .342}, {"12", 12, .2588}, {"20", 20, .1564}} {
		rows = append(rows, check.Check{What: "Chord of " + r.name + " boltholes on a circle of 1", Got: chord(r.n), Want: r.c, Tol: .00005, Unit: "", Source: navy, Provenance: check.Published})
	}
	jig := Circle{X: .5, Y: .5, Dia: 1, Holes: 5, First: 90} // Y upwards here, downwards in the table
	return append(rows,
		check.Check{What: "Five holes on a circle of 1, hole 1 at the top, from the left and top tangents: hole 2, x", Got: hole(jig, 1, false), Want: .024472, Tol: 5e-7, Unit: "", Source: ten, Provenance: check.Published},
		check.Check{What: "The same, hole 2, y down from the top", Got: func() float64 { return 1 - hole(jig, 1, true)() }, Want: .345492, Tol: 5e-7, Unit: "", Source: ten, Provenance: check.Published},
		check.Check{What: "Twelve holes on 8 in straddling the centre lines, hole 1, X", Got: hole(Circle{Dia: 8, Holes: 12, First: 15}, 0, false), Want: 3.8637, Tol: .00005, Unit: "in", Source: byHand + ": 4 cos 15", Provenance: check.Independent},
		check.Check{What: "Five holes on 6.5 in from the top, hole 2, X", Got: hole(Circle{Dia: 6.5, Holes: 5, First: 90}, 1, false), Want: -3.0909, Tol: .00005, Unit: "in", Source: byHand + ": 3.25 cos 162", Provenance: check.Independent},
		check.Check{What: "Five holes on 6.5 in from the top, hole 3, Y", Got: hole(Circle{Dia: 6.5, Holes: 5, First: 90}, 2, true), Want: -2.6293, Tol: .00005, Unit: "in", Source: byHand + ": 3.25 sin 234", Provenance: check.Independent},
		check.Check{What: "Four holes over a quarter turn, angle between them", Got: func() float64 { return Circle{Dia: 8, Holes: 4, Spread: 90}.Step() }, Want: 30, Tol: 1e-12, Unit: "deg", Source: "Four holes have three gaps", Provenance: check.Exact},
	)
}

func rowChecks() []check.Check {
	x := func(g Grid, i int) func() float64 { return func() float64 { return g.Places()[i].X } }
	y := func(g Grid, i int) func() float64 { return func() float64 { return g.Places()[i].Y } }
	bearing := Grid{Columns: 2, Rows: 1, Across: 520.16, Angle: 61 + 25.0/60}
	tilted := Grid{X: 1, Y: 2, Columns: 3, Rows: 1, Across: 5, Angle: math.Atan2(4, 3) / degree}
	return []check.Check{
		{What: "Five holes 1.5 in apart from 0, the last", Got: x(Grid{Columns: 5, Rows: 1, Across: 1.5}, 4), Want: 6, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Five holes 1.5 in apart about 0, the first", Got: x(Grid{Columns: 5, Rows: 1, Across: 1.5, Middle: true}, 0), Want: -3, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Row at the slope of a 3-4-5 triangle, third hole, X", Got: x(tilted, 2), Want: 7, Tol: 1e-12, Unit: "in", Source: byHand + ": 1 + 2 x 3", Provenance: check.Independent},
		{What: "Row at the slope of a 3-4-5 triangle, third hole, Y", Got: y(tilted, 2), Want: 10, Tol: 1e-12, Unit: "in", Source: byHand + ": 2 + 2 x 4", Provenance: check.Independent},
		{What: "Row at 61 deg 25 min, second hole 520.16 on, along the line of counting", Got: x(bearing, 1), Want: 248.86, Tol: .005, Unit: "ft", Source: ea, Provenance: check.Published},
		{What: "The same, across it", Got: y(bearing, 1), Want: 456.76, Tol: .005, Unit: "ft", Source: ea, Provenance: check.Published},
		{What: "Row at 15-1/2 degrees, hole 70 on, X", Got: x(Grid{Columns: 2, Rows: 1, Across: 70, Angle: 15.5}, 1), Want: 67.45, Tol: .0051, Unit: "ft", Source: ea2, Provenance: check.Published},
		{What: "Row at 15-1/2 degrees, hole 25 on, X", Got: x(Grid{Columns: 2, Rows: 1, Across: 25, Angle: 15.5}, 1), Want: 24.09, Tol: .0051, Unit: "ft", Source: ea2, Provenance: check.Published},
		{What: "Row along Y, second hole, X", Got: x(Grid{X: .25, Columns: 2, Rows: 1, Across: 3, Angle: 90}, 1), Want: .25, Tol: 0, Unit: "in", Source: "A quarter turn moves nothing along X", Provenance: check.Exact},
		{What: "Half of a six-hole circle of 1 by rows: chord against row spacing", Got: func() float64 {
			return math.Abs(Grid{Columns: 2, Rows: 1, Across: Circle{Dia: 1, Holes: 6}.Chord()}.Places()[1].X)
		}, Want: .5, Tol: .00005, Unit: "", Source: navy, Provenance: check.Published},
	}
}

func gridChecks() []check.Check {
	g := Grid{Columns: 4, Rows: 3, Across: 1, Up: 2}
	far := func(g Grid) func() float64 {
		return func() float64 {
			p := g.Places()
			a, b := p[0], p[len(p)-1]
			return math.Hypot(b.X-a.X, b.Y-a.Y)
		}
	}
	fro := g
	fro.BackAndForward = true
	rot := Grid{X: 50, Y: 160, Columns: 2, Rows: 2, Across: 50, Up: -110, Angle: 30}.Places()
	low := Grid{X: -1, Y: -1, Columns: 4, Rows: 2, Across: 1, Up: 3, Angle: 30}.Places()
	of := func(x float64) func() float64 { return func() float64 { return x } }
	skewed := g
	skewed.Angle, skewed.X, skewed.Y = 30, 2, 7
	return []check.Check{
		{What: "4 by 3 holes over 3 by 4 in, diagonal", Got: far(g), Want: 5, Tol: 1e-12, Unit: "in", Source: byHand + ": 3-4-5 triangle", Provenance: check.Independent},
		{What: "The same turned 30 degrees and shifted, diagonal", Got: far(skewed), Want: 5, Tol: 1e-12, Unit: "in", Source: "Turning and shifting change no distance", Provenance: check.Exact},
		{What: "To and fro, fifth hole, X", Got: func() float64 { return fro.Places()[4].X }, Want: 3, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "2 by 2 holes 2 in apart about the middle turned 45 degrees, hole 1, Y", Got: func() float64 {
			return Grid{Columns: 2, Rows: 2, Across: 2, Up: 2, Middle: true, Angle: 45}.Places()[0].Y
		}, Want: -1.41421, Tol: 5e-6, Unit: "in", Source: "Square root of 2", Provenance: check.Exact},
		{What: "Four holes of a square on a circle of 1, side", Got: func() float64 {
			c := Circle{Dia: 1, Holes: 4, First: 45}.Places()
			return c[0].X - c[1].X
		}, Want: .7071, Tol: .00005, Unit: "", Source: navy, Provenance: check.Published},
		{What: "2 by 2 holes 50 by -110 turned 30 degrees about hole 1, hole 3, X", Got: of(rot[2].X), Want: 105, Tol: 1e-9, Unit: "", Source: turned, Provenance: check.Published},
		{What: "The same, hole 3, Y", Got: of(rot[2].Y), Want: 64.7372055837117, Tol: 1e-9, Unit: "", Source: turned, Provenance: check.Published},
		{What: "The same, hole 4, X", Got: of(rot[3].X), Want: 148.301270189222, Tol: 1e-9, Unit: "", Source: turned, Provenance: check.Published},
		{What: "The same, hole 4, Y", Got: of(rot[3].Y), Want: 89.7372055837117, Tol: 1e-9, Unit: "", Source: turned, Provenance: check.Published},
		{What: "4 by 2 holes 1 by 3 turned 30 degrees about hole 1 at -1, -1: hole 7, X", Got: of(low[6].X), Want: -.767949192431122, Tol: 1e-9, Unit: "", Source: ganos, Provenance: check.Published},
		{What: "The same, hole 8, Y", Got: of(low[7].Y), Want: 3.09807621135332, Tol: 1e-9, Unit: "", Source: ganos, Provenance: check.Published},
		{What: "4 by 3 holes, how many", Got: func() float64 { return float64(len(g.Places())) }, Want: 12, Unit: "", Source: byHand, Provenance: check.Independent},
	}
}

func pairsChecks() []check.Check {
	l := CentreLine{X: 1, Y: 2, Angle: math.Atan2(4, 3) / degree}
	p := func(i int) fitting.Point { return l.Places([]Couple{{5, 10}, {0, 0}})[i] }
	mate := func(x, y float64, l CentreLine) fitting.Point { return l.Mirror(fitting.Point{X: x, Y: y}) }
	seven := CentreLine{X: 1, Y: 2, Angle: math.Atan2(-1, 3) / degree}      // x + 3y = 7
	thirteen := CentreLine{X: -12, Y: 5, Angle: math.Atan2(-4, 7) / degree} // 4x + 7y + 13 = 0
	four := CentreLine{X: -4, Angle: math.Atan2(1, 3) / degree}             // x - 3y + 4 = 0
	couple := func() []fitting.Point { return seven.Places([]Couple{{0, 2 * math.Sqrt(40)}}) }
	return []check.Check{
		{What: "Pair 5 along a 3-4-5 line through (1, 2), 10 across: left hole, X", Got: func() float64 { return p(0).X }, Want: 0, Tol: 1e-12, Unit: "in", Source: byHand + ": 1 + 3 - 4", Provenance: check.Independent},
		{What: "The same, left hole, Y", Got: func() float64 { return p(0).Y }, Want: 9, Tol: 1e-12, Unit: "in", Source: byHand + ": 2 + 4 + 3", Provenance: check.Independent},
		{What: "The same, right hole, X", Got: func() float64 { return p(1).X }, Want: 8, Tol: 1e-12, Unit: "in", Source: byHand + ": 1 + 3 + 4", Provenance: check.Independent},
		{What: "The same, right hole, Y", Got: func() float64 { return p(1).Y }, Want: 3, Tol: 1e-12, Unit: "in", Source: byHand + ": 2 + 4 - 3", Provenance: check.Independent},
		{What: "A hole on the line is one hole, X", Got: func() float64 { return p(2).X }, Want: 1, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Mate of (3, 8) across x + 3y = 7, X", Got: func() float64 { return mate(3, 8, seven).X }, Want: -1, Tol: 1e-12, Unit: "", Source: mirror + "(3, 8) in x + 3y = 7", Provenance: check.Published},
		{What: "Mate of (3, 8) across x + 3y = 7, Y", Got: func() float64 { return mate(3, 8, seven).Y }, Want: -4, Tol: 1e-12, Unit: "", Source: mirror + "(3, 8) in x + 3y = 7", Provenance: check.Published},
		{What: "Mate of (-8, 12) across 4x + 7y + 13 = 0, X", Got: func() float64 { return mate(-8, 12, thirteen).X }, Want: -16, Tol: 1e-12, Unit: "", Source: mirror + "(-8, 12) in 4x + 7y + 13 = 0", Provenance: check.Published},
		{What: "Mate of (-8, 12) across 4x + 7y + 13 = 0, Y", Got: func() float64 { return mate(-8, 12, thirteen).Y }, Want: -2, Tol: 1e-12, Unit: "", Source: mirror + "(-8, 12) in 4x + 7y + 13 = 0", Provenance: check.Published},
		{What: "Mate of (1, 2) across x - 3y + 4 = 0, X", Got: func() float64 { return mate(1, 2, four).X }, Want: 1.2, Tol: 1e-12, Unit: "", Source: mirror + "(1, 2) in x - 3y + 4 = 0", Provenance: check.Published},
		{What: "Mate of (1, 2) across x - 3y + 4 = 0, Y", Got: func() float64 { return mate(1, 2, four).Y }, Want: 1.4, Tol: 1e-12, Unit: "", Source: mirror + "(1, 2) in x - 3y + 4 = 0", Provenance: check.Published},
		{What: "Pair across x + 3y = 7 at (1, 2), as far apart as (3, 8) and its image: left hole, Y", Got: func() float64 { return couple()[0].Y }, Want: 8, Tol: 1e-12, Unit: "", Source: mirror + "(3, 8) in x + 3y = 7; foot (1, 2)", Provenance: check.Published},
		{What: "The same pair, right hole, X", Got: func() float64 { return couple()[1].X }, Want: -1, Tol: 1e-12, Unit: "", Source: mirror + "(3, 8) in x + 3y = 7; foot (1, 2)", Provenance: check.Published},
		{What: "Mate of (3, 1) across a line at 45 degrees through 0, X", Got: func() float64 { return CentreLine{Angle: 45}.Mirror(fitting.Point{X: 3, Y: 1}).X }, Want: 1, Tol: 1e-12, Unit: "in", Source: "A line at 45 degrees exchanges X and Y", Provenance: check.Exact},
	}
}

func stops(lead, div units.Length, at ...units.Length) []Stop {
	return Dial{Lead: lead, Div: div}.Stops(at)
}

func dialsChecks() []check.Check {
	fifth := func(at ...units.Length) []Stop { return stops(units.Inch/5, units.Thou, at...) }
	yes := func(b bool) float64 {
		if b {
			return 1
		}
		return 0
	}
	return []check.Check{
		{What: "One turn of a screw of 40 threads to the inch", Got: func() float64 {
			return float64(stops(units.Inch/40, units.Thou, 25*units.Thou)[0].Turns)
		}, Want: 1, Unit: "turns", Source: screw, Provenance: check.Published},
		{What: "0.562 in on a screw of 40 threads to the inch, turns", Got: func() float64 {
			return float64(stops(units.Inch/40, units.Thou, 562*units.Thou)[0].Turns)
		}, Want: 22, Unit: "turns", Source: screw + "; 22 x 0.025 + 0.012", Provenance: check.Published},
		{What: "0.562 in on a screw of 40 threads to the inch, dial", Got: func() float64 {
			return stops(units.Inch/40, units.Thou, 562*units.Thou)[0].Reading.Inches()
		}, Want: .012, Tol: 1e-12, Unit: "in", Source: screw + "; 22 x 0.025 + 0.012", Provenance: check.Published},
		{What: "0.050 in on a screw of 20 threads to the inch, turns", Got: func() float64 {
			return float64(stops(units.Inch/20, units.Thou, 50*units.Thou)[0].Turns)
		}, Want: 1, Unit: "turns", Source: twenty, Provenance: check.Published},
		{What: "1.27 mm on a screw of 20 threads to the inch, turns", Got: func() float64 {
			return float64(stops(units.Inch/20, units.Thou, 127*units.Millimetre/100)[0].Turns)
		}, Want: 1, Unit: "turns", Source: twenty, Provenance: check.Published},
		{What: "3.5625 in on a 0.200 screw, turns", Got: func() float64 { return float64(fifth(35625 * units.Tenth)[0].Turns) }, Want: 17, Unit: "turns", Source: byHand, Provenance: check.Independent},
		{What: "3.5625 in on a 0.200 screw, dial to the thou", Got: func() float64 { return fifth(35625 * units.Tenth)[0].Reading.Inches() }, Want: .163, Tol: 1e-12, Unit: "in", Source: byHand + ": 0.1625, halves up", Provenance: check.Independent},
		{What: "-0.050 in on a 0.200 screw, dial", Got: func() float64 { return fifth(-50 * units.Thou)[0].Reading.Inches() }, Want: .150, Tol: 1e-12, Unit: "in", Source: byHand + ": one turn back and 0.150 up", Provenance: check.Independent},
		{What: "A place that lies back is gone past (1 = yes)", Got: func() float64 { return yes(fifth(units.Inch, units.Inch/2)[1].Past) }, Want: 1, Unit: "", Source: "Slack is taken up by coming to every place the same way", Provenance: check.Practice},
		{What: "A place that lies ahead is come up to (1 = yes)", Got: func() float64 { return yes(!fifth(units.Inch/2, units.Inch)[1].Past) }, Want: 1, Unit: "", Source: "Slack is taken up by coming to every place the same way", Provenance: check.Practice},
		{What: "37.3 mm on a 5 mm screw, dial", Got: func() float64 {
			return stops(5*units.Millimetre, units.Millimetre/50, 373*units.Millimetre/10)[0].Reading.MM()
		}, Want: 2.3, Tol: 1e-12, Unit: "mm", Source: byHand + ": seven turns and 2.30", Provenance: check.Independent},
	}
}
