//go:build !js

package align

import (
	"math"

	"datumbook/calc/check"
	"datumbook/calc/fitting"
	"datumbook/calc/units"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "tram", Rows: tramChecks()},
		{Sheet: "shim", Rows: shimChecks()},
		{Sheet: "lever", Rows: leverChecks()},
	}
}

// judged fits readings with pivot at the first and move at the last station.
func judged(x, y []float64, grad float64) Lie {
	l, _ := Judge(Run{X: x, Y: y, Noise: Noise{Grad: grad}, Pivot: x[0], Tap: x[len(x)-1], Allow: .0005})
	return l
}

// Readings of the checks. Norris: NIST StRD, linear regression.
var (
	norrisX = []float64{.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777, 558.2, .4, .6, 775.5, 666.9, 338, 447.5, 11.6, 556, 228.1, 995.8, 887.6, 120.2, .3, .3, 556.8, 339.1, 887.2, 999, 779, 11.1, 118.3, 229.2, 669.1, 448.9, .5}
	norrisY = []float64{.1, 338.8, 118.1, 888, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, .3, .1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998, 888.8, 119.6, .3, .6, 557.6, 339.3, 888, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, .2}
	gumX    = []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	gumY    = []float64{-.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160}
	fiveX   = []float64{0, 4, 8, 12, 16}
	fiveY   = []float64{0, .0015, .0035, .0050, .0060}
)

const (
	nist  = "NIST StRD, linear regression, Norris, certified values"
	gumH3 = "JCGM 100:2008 (GUM), H.3, table H.6 and clause H.3.3"
	hand  = "Worked by hand: Sxx 160, Sxy 0.062"
)

func flag(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// faced judges readings with a needle of half a thou or another, and what is allowed.
func faced(grad, allow float64, x, y []float64) Lie {
	l, _ := Judge(Run{X: x, Y: y, Noise: Noise{Grad: grad}, Pivot: x[0], Tap: x[len(x)-1], Allow: allow})
	return l
}

const (
	worked = "Worked by hand from the end-point line, the minimum zone, and a doubt of repeats and graduation alone"
	zones  = "Worked by a second program: every direction tried for the closest parallel lines"
)

func tramChecks() []check.Check {
	five := func() Lie { return judged(fiveX, fiveY, .0005) }
	moved := func() Lie {
		l, _ := Judge(Run{X: fiveX, Y: fiveY, Noise: Noise{Grad: .0005}, Pivot: 0, Tap: 22, Allow: .0005})
		return l
	}
	even := []float64{0, 4.5, 9, 13.5, 18}
	hollow := func() Lie { return faced(.0005, .0015, even, []float64{0, -.0016, -.0024, -.0016, 0}) }
	uneven := func() Lie {
		return faced(.0005, .0015, []float64{0, 4, 8, 12, 18}, []float64{0, -.0024, -.0016, -.0008, 0})
	}
	crown := func() Lie { return faced(.0005, .0015, even, []float64{0, .0016, .0024, .0016, 0}) }
	tick := func() Lie { return faced(.0005, .0015, []float64{0, 4, 8, 12}, []float64{0, .0005, 0, .0005}) }
	pair := func() Lie { return faced(.0005, .0015, []float64{0, 12}, []float64{0, .0005}) }
	out := func() Lie { return faced(.0005, .0015, even, []float64{0, -.0008, -.0006, .0007, .0030}) }
	bent := func() Lie {
		return faced(.0005, .0005, []float64{0, 3, 6, 9, 12, 15}, []float64{.0012, .0009, .0004, .0001, .0002, .0004})
	}
	spot := func() Lie {
		return faced(.0005, .0005, []float64{0, 4, 8, 12, 16}, []float64{0, .0002, .0018, .0003, .0002})
	}
	metric := func() Lie {
		return faced(.01, .02, []float64{0, 100, 200, 300, 400, 500}, []float64{0, .012, .018, .020, .016, .008})
	}
	times := func(n int) Lie { // zeros at both ends, read so often
		var x, y []float64
		for range n {
			x, y = append(x, 0, 12), append(y, 0, 0)
		}
		return faced(.0005, .0005, x, y)
	}
	fine := func() Lie { return faced(.0001, .0005, []float64{0, 12}, []float64{0, .0004}) }
	thrice := func() Lie {
		return faced(.0001, .0005, []float64{0, 0, 0, 12, 12, 12}, []float64{0, 0, .0001, .0004, .0004, .0003})
	}
	drift := func() float64 {
		return Drift([]float64{0, 4, 8, 12, 16, 0}, []float64{0, .0004, .0011, .0016, .0024, .0006})
	}
	undrift := func() float64 { return undrifted([]float64{0, .0004, .0011, .0016, .0024}, .0006)[4] }
	part, plate := Strip{2, 6, 18, 14.5e6}, Strip{3, 8, 18, 14.5e6}
	closes := func(s Strip) func() float64 { return func() float64 { f, _ := s.Close(.0024); return f } }
	const beam = "Worked by hand: strip on two supports, F = 48 E I h/L^3"
	row := func(what string, got func() float64, want, tol float64, unit, source string) check.Check {
		return check.Check{What: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source,
			Provenance: check.Independent}
	}
	in := func(l func() Lie, get func(Lie) float64) func() float64 { return func() float64 { return get(l()) } }
	lean := func(l Lie) float64 { return l.T }
	doubt := func(l Lie) float64 { return l.U }
	zoned := func(l Lie) float64 { return l.Shape.Zone }
	least := func(l Lie) float64 { return l.Least * (l.Last - l.First) }
	sure := func(l Lie) float64 { return flag(!l.Out && l.Sure) }
	return []check.Check{
		{What: "Norris, slope of the line by least squares",
			Got: func() float64 { return judged(norrisX, norrisY, .0005).Least }, Want: 1.00211681802045, Tol: 1e-13,
			Unit: "", Source: nist, Provenance: check.Published},
		{What: "Thermometer of the GUM, slope by least squares",
			Got: func() float64 { return judged(gumX, gumY, .0005).Least }, Want: .00218, Tol: .000005, Unit: "1",
			Source: gumH3, Provenance: check.Published},
		{What: "Least squares line of data set I of Anscombe, slope", Got: func() float64 {
			return judged([]float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5},
				[]float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}, .0005).Least
		}, Want: .5, Tol: .0005, Unit: "", Source: "F. J. Anscombe, Graphs in statistical analysis, The American Statistician 27 (1973) 17; data and line y = 3.00 + 0.500 x as reprinted by a dictionary of statistics and a data library", Provenance: check.Published},
		{What: "A reading to 1 unit of resolution, standard uncertainty", Got: func() float64 { return Needle{Grad: 1}.One() }, Want: .29, Tol: .005, Unit: "unit", Source: "JCGM 100:2008 (GUM), F.2.2.1: u = 0.29 times the resolution", Provenance: check.Published},
		{What: "Student's factor, 95 %, eight readings to spare",
			Got: func() float64 { t, _ := (&Noise{Grad: 1}).factors(); return t }, Want: 2.31, Tol: .005, Unit: "",
			Source: "JCGM 100:2008 (GUM), table G.2", Provenance: check.Published},
		{What: "Student's factor, 95 %, 10 readings to spare", Got: func() float64 { return Needle{SD: 1, Free: 10}.Factor() }, Want: 2.23, Tol: .005, Unit: "", Source: "JCGM 100:2008 (GUM), table G.2", Provenance: check.Published},
		row("Plate read 0, 1.5, 3.5, 5, 6 thou at 4 in steps, lean in a foot",
			func() float64 { return 12 * five().Slope }, .0045, 1e-12, "in", "Worked by hand: 6 thou in 16 in"),
		row("The same plate by least squares, in a foot", func() float64 { return 12 * five().Least }, .00465, 1e-12,
			"in", hand),
		row("The same plate, most off the line of its ends",
			func() float64 { return five().Shape.Off }, .0005, 1e-12, "in", "Worked by hand: 3.5 less half of 6 thou"),
		row("The same plate, move 22 in from the pivot", func() float64 { return moved().Move }, -.00825, 1e-12, "in",
			"Worked by hand: 6 thou in 16 in, times 22"),
		row("Hollow of five stations, lean", in(hollow, lean), 0, 1e-12, "in", worked),
		row("Hollow of five stations, doubt", in(hollow, doubt), .000577, 5e-7, "in", worked),
		row("Hollow of five stations, straight within", in(hollow, zoned), .0024, 1e-9, "in", zones),
		row("Hollow of five stations: in line, and sure (1 = yes)", in(hollow, sure), 1, 0, "", worked),
		row("Hollow read at uneven stations, lean", in(uneven, lean), 0, 1e-12, "in", worked),
		row("Hollow read at uneven stations, the false lean of least squares", in(uneven, least), .000767, 5e-7, "in",
			worked),
		row("Hollow read at uneven stations, straight within", in(uneven, zoned), .0024, 1e-9, "in", zones),
		row("Crown of five stations, a flat part at the middle rocks through", func() float64 {
			l := crown()
			c := l.Shape.Lies(l.Places, 9)
			return (c.Slope[0] - c.Slope[1]) / 2 * 18
		}, .0032, 5e-9, "in", worked),
		row("One tick up at four stations, doubt", in(tick, doubt), .000577, 5e-7, "in", worked),
		row("One tick up at four stations: in line, and sure (1 = yes)", in(tick, sure), 1, 0, "", worked),
		row("One tick up at two stations, lean", in(pair, lean), .0005, 1e-12, "in", worked),
		row("One tick up at two stations: in line, and sure (1 = yes)", in(pair, sure), 1, 0, "", worked),
		row("Lean of three thou with a hollow, move", func() float64 { return out().Move }, -.003, 1e-12, "in", worked),
		row("Lean of three thou with a hollow, straight within", in(out, zoned), .0021, 1e-9, "in", zones),
		row("Six stations, lean by the ends", in(bent, lean), -.0008, 1e-12, "in", worked),
		row("Six stations, by least squares", in(bent, least), -.000914, 5e-7, "in", worked),
		row("Six stations, straight within", in(bent, zoned), .00062, 1e-9, "in", zones),
		row("One high spot, straight within", in(spot, zoned), .0017, 1e-9, "in", zones),
		row("One high spot is told from a crown (1 = yes)", func() float64 { return flag(spot().Shape.Form == Spot) },
			1, 0, "", worked),
		row("Crown in millimetres, lean", in(metric, lean), .008, 1e-12, "mm", worked),
		row("Crown in millimetres, by least squares", in(metric, least), .007714, 5e-7, "mm", worked),
		row("Crown in millimetres, straight within", in(metric, zoned), .0152, 5e-6, "mm", zones),
		row("Zeros at both ends read once, doubt", func() float64 { return times(1).U }, .000577, 5e-7, "in", worked),
		row("Zeros at both ends read twice, doubt", func() float64 { return times(2).U }, .000478, 5e-7, "in", worked),
		row("Zeros at both ends read thrice, doubt", func() float64 { return times(3).U }, .000447, 5e-7, "in", worked),
		row("Four tenths with a tenth needle, doubt", in(fine, doubt), .000115, 5e-7, "in", worked),
		row("Read thrice, lean", in(thrice, lean), .0003, 1e-12, "in", worked),
		row("Read thrice, doubt", in(thrice, doubt), .0000894, 5e-8, "in", worked),
		row("The first station reads six tenths more at the end, drift", drift, .0006, 1e-12, "in", worked),
		row("The last of five with that taken off", undrift, .00192, 1e-12, "in", worked),
		row("Six of iron, 2 thick, over a hollow of 2.4 thou in 18 in, bolt in the middle", closes(part), 1146, .5,
			"lbf", beam),
		row("The same, bending stress", func() float64 { _, s := part.Close(.0024); return s }, 1289, .5, "psi", beam),
		row("The same, .75 thick", closes(Strip{.75, 6, 18, 14.5e6}), 60.4, .05, "lbf", beam),
		row("The same, 3 thick", closes(Strip{3, 6, 18, 14.5e6}), 3866, 1, "lbf", beam),
		row("On a plate 8 by 3, what the part takes of it", func() float64 { return part.Springs(.0024, plate) },
			.001964, 5e-7, "in", beam),
	}
}

// tenths turns ten-thousandths of an inch into lengths.
func tenths(n ...int) []units.Length {
	out := make([]units.Length, len(n))
	for i := range n {
		out[i] = units.Length(n[i]) * units.Tenth
	}
	return out
}

func shimChecks() []check.Check {
	usual := tenths(10, 15, 20, 30, 40, 50, 60, 70, 80, 100, 120, 150, 200, 250, 310)
	pack := func(want int) Pack {
		w := units.Length(want) * units.Tenth
		return Choose(Packs(usual, 2, 4, w), w, 0)
	}
	plane := []fitting.Point3{{X: 0, Y: 0, Z: .0010}, {X: 10, Y: 0, Z: .0030}, {X: 10, Y: 8, Z: .0046}, {X: 0, Y: 8, Z: .0026}, {X: 5, Y: 4, Z: .0018}}
	foot := func(i int) func() float64 {
		return func() float64 {
			f, _, _ := Feet(plane, []fitting.Point{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 8}, {X: 0, Y: 8}})
			return f[i].Lift
		}
	}
	const byHand = "Worked by hand: plane of slopes 0.0002 in/in both ways"
	const gauge = "Gauge-block practice: the 81-block set makes 3.9762 as 0.1002 + 0.126 + 0.750 + 3.000"
	blocks := append(tenths(1001, 1002, 1003, 1004, 1005, 1006, 1007, 1008, 1009, 1260), tenths(500, 1000, 2500, 5000, 7500, 10000, 20000, 30000, 40000)...)
	// A shaft 12 thou off at one plane and 7 thou at another 14 in on, its feet 26 in apart.
	shaft := func() float64 {
		f, _, _ := Feet([]fitting.Point3{{X: 0, Y: 0, Z: .012}, {X: 14, Y: 0, Z: .007}, {X: 0, Y: 8, Z: .012}, {X: 14, Y: 8, Z: .007}}, []fitting.Point{{X: 26, Y: 4}, {X: 52, Y: 4}})
		return math.Abs(f[1].Lift - f[0].Lift)
	}
	return []check.Check{
		{What: "Shaft falling 5 thou in 14 in, feet 26 in apart: shim of one over the other", Got: shaft, Want: .0093, Tol: .00005, Unit: "in", Source: "Machinery Component Maintenance, textbook, p. 203, alignment by reversed indicators: (.012 - .007)(14 + 12)/14", Provenance: check.Published},
		{What: "Level of 0.02 mm/m out by 2 divisions on 200 mm: shim", Got: func() float64 { return 200 * judged([]float64{0, 1000}, []float64{0, .04}, .001).Slope }, Want: .008, Tol: 1e-12, Unit: "mm", Source: "A level maker's instructions, worked example: 0.02/1000 x 200 x 2", Provenance: check.Published},
		{What: "1 ft level out by 1/8 in, base plate of 4 ft: shim", Got: func() float64 { return 48 * judged([]float64{0, 12}, []float64{0, .125}, .001).Slope }, Want: .5, Tol: 1e-12, Unit: "in", Source: "Millwrights' examination, practice question with printed answer", Provenance: check.Published},
		{What: "Plate tilted 4.5 thou in a foot, shim 12 in from the pivot",
			Got: func() float64 { return 12 * judged(fiveX, fiveY, .0005).Slope }, Want: .0045, Tol: 1e-12,
			Unit: "in", Source: "Worked by hand: 6 thou in 16 in", Provenance: check.Independent},
		{What: "Coupling of 5 in open by 12 thou, bolts 30 in apart: shim", Got: func() float64 { return 30 * judged([]float64{0, 5}, []float64{0, .012}, .0005).Slope }, Want: .072, Tol: 1e-12, Unit: "in", Source: "A chiller maker's manual, alignment of couplings: S = M L/D, worked example", Provenance: check.Published},
		{What: "Four feet, lift at (0, 0)", Got: foot(0), Want: .0036, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Four feet, lift at (10, 0)", Got: foot(1), Want: .0016, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Four feet, lift at (10, 8)", Got: foot(2), Want: 0, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Four feet, lift at (0, 8)", Got: foot(3), Want: .0020, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Pack for 11.5 thou from usual stock, total", Got: func() float64 { return pack(115).Total.Inches() }, Want: .0115, Tol: 1e-12, Unit: "in", Source: "Added by hand: 0.010 + 0.0015", Provenance: check.Independent},
		{What: "Pack for 11.5 thou from usual stock, leaves", Got: func() float64 { return float64(len(pack(115).Leaves)) }, Want: 2, Unit: "", Source: "Added by hand: 0.010 + 0.0015", Provenance: check.Independent},
		{What: "3.9762 in from gauge blocks by the same search, total", Got: func() float64 {
			w := 39762 * units.Tenth
			return Choose(Packs(blocks, 1, 4, w), w, 0).Total.Inches()
		}, Want: 3.9762, Tol: 1e-12, Unit: "in", Source: gauge, Provenance: check.Published},
		{What: "3.9762 in from gauge blocks by the same search, blocks", Got: func() float64 {
			w := 39762 * units.Tenth
			return float64(len(Choose(Packs(blocks, 1, 4, w), w, 0).Leaves))
		}, Want: 4, Unit: "", Source: gauge, Provenance: check.Published},
	}
}

func leverChecks() []check.Check {
	at := func(deg float64) func() float64 {
		return func() float64 { k, _ := Stylus{Angle: deg}.Factor(); return k }
	}
	const table = "Compensation table published for lever-type dial test indicators to JIS B 7533"
	var rows []check.Check
	for _, r := range []struct {
		name       string
		deg, value float64
	}{{"10", 10, .98}, {"20", 20, .94}, {"30", 30, .87}, {"40", 40, .77}, {"50", 50, .64}, {"60", 60, .50}} {
		rows = append(rows, check.Check{What: "Factor at " + r.name + " degrees", Got: at(r.deg), Want: r.value, Tol: .005, Unit: "", Source: table, Provenance: check.Published})
	}
	return append(rows,
		check.Check{What: "0.200 mm shown at 30 degrees, true movement", Got: func() float64 { return .2 * at(30)() }, Want: .174, Tol: .0015, Unit: "mm", Source: table + ", worked example", Provenance: check.Published},
		check.Check{What: "4 thou shown at 60 degrees, true movement", Got: func() float64 { return .004 * at(60)() }, Want: .002, Tol: 1e-12, Unit: "in", Source: "Published example of cosine error: 0.004 in x 0.50", Provenance: check.Published},
	)
}
