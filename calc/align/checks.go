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
	l, _ := Judge(Run{X: x, Y: y, Grad: grad, Pivot: x[0], Tap: x[len(x)-1], Allow: .0005})
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

func tramChecks() []check.Check {
	gum := func() Lie { return judged(gumX, gumY, .0005) }
	five := func() Lie { return judged(fiveX, fiveY, .0005) }
	bow := func() Lie { return judged([]float64{0, 8, 16}, []float64{0, .003, 0}, .0005) }
	moved := func() Lie {
		l, _ := Judge(Run{X: fiveX, Y: fiveY, Grad: .0005, Pivot: 0, Tap: 22, Allow: .0005})
		return l
	}
	return []check.Check{
		{What: "Norris, slope of the line", Got: func() float64 { return judged(norrisX, norrisY, .0005).Slope }, Want: 1.00211681802045, Tol: 1e-13, Unit: "", Source: nist, Provenance: check.Published},
		{What: "Norris, standard deviation of the slope", Got: func() float64 {
			l, err := fitting.FitLine(norrisX, norrisY, nil)
			if err != nil {
				return math.NaN()
			}
			return judged(norrisX, norrisY, .0005).SlopeUnit * l.SD
		}, Want: .429796848199937e-3, Tol: 1e-15, Unit: "", Source: nist, Provenance: check.Published},
		{What: "Thermometer of the GUM, slope", Got: func() float64 { return gum().Slope }, Want: .00218, Tol: .000005, Unit: "1", Source: gumH3, Provenance: check.Published},
		{What: "Thermometer of the GUM, standard uncertainty of the slope", Got: func() float64 {
			l, err := fitting.FitLine(gumX, gumY, nil)
			if err != nil {
				return math.NaN()
			}
			return gum().SlopeUnit * l.SD
		}, Want: .00067, Tol: .000005, Unit: "1", Source: gumH3, Provenance: check.Published},
		{What: "Least squares line of data set I of Anscombe, slope", Got: func() float64 {
			return judged([]float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}, []float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}, .0005).Slope
		}, Want: .5, Tol: .0005, Unit: "", Source: "F. J. Anscombe, Graphs in statistical analysis, The American Statistician 27 (1973) 17; data and line y = 3.00 + 0.500 x as reprinted by a dictionary of statistics and a data library", Provenance: check.Published},
		{What: "Plate read 0, 1.5, 3.5, 5, 6 thou at 4 in steps, tilt in a foot", Got: func() float64 { return 12 * five().Slope }, Want: .00465, Tol: 1e-12, Unit: "in", Source: hand, Provenance: check.Independent},
		{What: "The same plate, spread off the line", Got: func() float64 { return five().Spread }, Want: .0006, Tol: 1e-12, Unit: "in", Source: hand, Provenance: check.Independent},
		{What: "The same plate, bow of the middle over the ends", Got: func() float64 { return five().Bow }, Want: .00042857, Tol: 5e-9, Unit: "in", Source: "Parabola by a general solver", Provenance: check.Independent},
		{What: "The same plate, move 22 in from the pivot", Got: func() float64 { return moved().Move }, Want: -.008525, Tol: 1e-12, Unit: "in", Source: hand, Provenance: check.Independent},
		{What: "Both ends zero and three thou in the middle: in line (1 = yes)", Got: func() float64 { return flag(bow().State == InLine) }, Want: 1, Unit: "", Source: "Workshop habit", Provenance: check.Practice},
		{What: "Both ends zero and three thou in the middle: bowed (1 = yes)", Got: func() float64 { return flag(bow().Bowed) }, Want: 1, Unit: "", Source: "Workshop habit", Provenance: check.Practice},
		{What: "A reading to 1 unit of resolution, standard uncertainty", Got: func() float64 { return Needle{Grad: 1}.One() }, Want: .29, Tol: .005, Unit: "unit", Source: "JCGM 100:2008 (GUM), F.2.2.1: u = 0.29 times the resolution", Provenance: check.Published},
		{What: "Student's factor, 95 %, 10 readings to spare", Got: func() float64 { return Needle{SD: 1, Free: 10}.Factor() }, Want: 2.23, Tol: .005, Unit: "", Source: "JCGM 100:2008 (GUM), table G.2", Provenance: check.Published},
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
		{What: "Plate tilted 4.65 thou in a foot, shim 12 in from the pivot", Got: func() float64 { return 12 * judged(fiveX, fiveY, .0005).Slope }, Want: .00465, Tol: 1e-12, Unit: "in", Source: hand, Provenance: check.Independent},
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
