//go:build !js

package head

import (
	"math"

	"datumbook/calc/align"
	"datumbook/calc/check"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "sweep", Rows: sweepChecks()},
		{Sheet: "dish", Rows: dishChecks()},
		{Sheet: "square", Rows: squareChecks()},
		{Sheet: "bar", Rows: barChecks()},
	}
}

const (
	byHand  = "Worked by hand"
	trigFit = "L. V. Fausett, Applied Numerical Analysis (trigonometric regression over half a turn), as reproduced in a public library's reference page"
	groove  = "Published rule for a groove cut with a tilted end mill: sine of the tilt = cutter radius / groove radius"
	iso     = "Published rule for a spindle square to a plane, as in ISO 230-1: deviation over the diameter of the circle swept"
	mandrel = "Published rule of alignment by half a turn: the offset is half the indicator's whole reading, the mean is free of it; numbers by hand"
	reverse = "Published rule of reversal for levels: the readings are table plus level and table less level, the error half their difference; numbers by hand"
)

func lean(dia float64, angle, y []float64) Lean {
	l, _ := Judge(Sweep{Angle: angle, Y: y, Dia: dia, Noise: align.Noise{Grad: .0005}, Allow: .0005})
	return l
}

var quarter = []float64{0, 90, 180, 270}

// halfTurn is the published data: 0.5 + 1/3 cos t + 1/4 sin t - 1/4 cos 2t -
// 1/3 sin 2t at seven angles over half a turn.
func halfTurn() Lean {
	var a, y []float64
	for i := range 7 {
		t := float64(float64(30*i) * degree)
		a = append(a, float64(30*i))
		y = append(y, .5+float64(math.Sin(t)*.25)+float64(math.Cos(t)/3)-float64(math.Sin(2*t)/3)-float64(math.Cos(2*t)*.25))
	}
	return lean(2, a, y)
}

func sweepChecks() []check.Check {
	four := func() Lean { return lean(10, quarter, []float64{.003, -.0005, -.001, .0005}) }
	eight := func() Lean {
		return lean(10, []float64{0, 45, 90, 135, 180, 225, 270, 315}, []float64{.00280, .001419, -.00050, -.001409, -.00120, -.000419, .00090, .002409})
	}
	two := func() Lean { return lean(10, []float64{0, 180, 0}, []float64{.0015, -.0005, .0015}) }
	const made = "Readings made from A 0.0020, B -0.0007 and a twist of 0.0003, rounded to a millionth"
	return []check.Check{
		{What: "Trigonometric regression over half a turn, cosine coefficient", Got: func() float64 { return halfTurn().X }, Want: .3333333, Tol: 5e-8, Unit: "", Source: trigFit, Provenance: check.Published},
		{What: "Trigonometric regression over half a turn, sine coefficient", Got: func() float64 { return halfTurn().Y }, Want: .25, Tol: 5e-8, Unit: "", Source: trigFit, Provenance: check.Published},
		{What: "Trigonometric regression over half a turn, mean", Got: func() float64 { return halfTurn().Mean }, Want: .5, Tol: 5e-8, Unit: "", Source: trigFit, Provenance: check.Published},
		{What: "Trigonometric regression over half a turn, amplitude of the second wave", Got: func() float64 { return halfTurn().Second }, Want: math.Sqrt(.25*.25 + .3333333*.3333333), Tol: 5e-8, Unit: "", Source: trigFit, Provenance: check.Published},
		{What: "Right +3, left -1 thou on 10 in: tilt in a foot", Got: func() float64 { return 12 * four().X }, Want: .0048, Tol: 1e-12, Unit: "in", Source: iso + "; 4 thou on 10 in", Provenance: check.Published},
		{What: "Back -0.5, front +0.5 thou on 10 in: nod in a foot", Got: func() float64 { return 12 * four().Y }, Want: -.0012, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "The same four readings, closure", Got: func() float64 { return four().Closure }, Want: .002, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Eight readings, right-left part", Got: func() float64 { return eight().X * 5 }, Want: .002, Tol: 5e-7, Unit: "in", Source: made, Provenance: check.Independent},
		{What: "Eight readings, back-front part", Got: func() float64 { return eight().Y * 5 }, Want: -.0007, Tol: 5e-7, Unit: "in", Source: made, Provenance: check.Independent},
		{What: "Eight readings, direction of the lean", Got: func() float64 { return eight().Direction }, Want: -19.29, Tol: .005, Unit: "deg", Source: made, Provenance: check.Independent},
		{What: "Eight readings, twice-a-turn wave", Got: func() float64 { return eight().Second }, Want: .0003, Tol: 5e-7, Unit: "in", Source: made, Provenance: check.Independent},
		{What: "Right +1.5, left -0.5 thou on 10 in, nothing else read: tilt in a foot",
			Got: func() float64 { return 12 * two().X }, Want: .0024, Tol: 1e-12, Unit: "in", Source: byHand,
			Provenance: check.Independent},
		{What: "The same, where both sides meet", Got: func() float64 { return two().Axes[0].Mean }, Want: .0005,
			Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Return to the first side to 1 unit: at most",
			Got: func() float64 { return (&align.Noise{Grad: 1}).Return() }, Want: 1.08, Tol: .005, Unit: "unit",
			Source: byHand + ": 2 sqrt(2 (1/16 + 1/12))", Provenance: check.Independent},
		{What: "Four sides to 1 unit, closure: at most",
			Got: func() float64 { return (&align.Noise{Grad: 1}).Closure() }, Want: 1.53, Tol: .005, Unit: "unit",
			Source: byHand + ": 2 sqrt(4 (1/16 + 1/12))", Provenance: check.Independent},
		{What: "One side high by 0.3 mm on 300 mm, lean over the circle", Got: func() float64 { return lean(300, quarter, []float64{.3, 0, 0, 0}).X }, Want: .001, Tol: 1e-12, Unit: "mm/mm", Source: iso, Provenance: check.Published},
	}
}

func dishChecks() []check.Check {
	dish := func(d, b, tilt float64) Face { return Dish(Pass{Dia: d, Width: b, Along: tilt}) }
	asin := func(deg float64) float64 { return math.Tan(deg * degree) }
	// sagitta of the groove: R - sqrt(R^2 - w^2)
	near := func(r, bigR, w float64) float64 { return bigR - math.Sqrt((bigR-w)*(bigR+w)) }
	// bowl is a wide ring tilted so that it leaves a hollow of a radius.
	bowl := func(radius, width float64) func() float64 {
		return func() float64 { return dish(200, width, math.Tan(math.Asin(100/radius))).Hollow }
	}
	const (
		maker  = "A telescope maker's account of milling mirrors with a tilted ring: 4 in cutter, radius 96 in, 1.19 degrees"
		mirror = "Published worked example, depth of a telescope mirror: "
	)
	return []check.Check{
		{What: "4 in ring tilted 1.19 degrees, radius of the hollow", Got: func() float64 { return dish(4, 2, asin(1.19)).Radius }, Want: 96, Tol: .41, Unit: "in", Source: maker, Provenance: check.Published},
		{What: "Hollow of 192 in radius, 10 in wide", Got: bowl(192, 10), Want: .0651, Tol: .0001, Unit: "in", Source: mirror + "10 in across, focus at 96 in", Provenance: check.Published},
		{What: "Hollow of 156 in radius, 13 in wide", Got: bowl(156, 13), Want: .135, Tol: .001, Unit: "in", Source: mirror + "13 in across, focus at 78 in, 0.135 and a bit", Provenance: check.Published},
		{What: "Half-inch radius cutter tilted 30 degrees, radius of the groove", Got: func() float64 { return dish(1, .5, asin(30)).Radius }, Want: 1, Tol: 1e-12, Unit: "in", Source: groove, Provenance: check.Published},
		{What: "Half-inch radius cutter for a groove of 0.75 in radius, sine of the tilt", Got: func() float64 { return .5 / dish(1, .5, math.Tan(math.Asin(.5/.75))).Radius }, Want: .6667, Tol: .00005, Unit: "", Source: groove, Provenance: check.Published},
		{What: "One inch cutter at 10 degrees, depth of a groove 0.2 in wide by its radius", Got: func() float64 { return dish(1, .2, asin(10)).Hollow }, Want: near(.5, .5/math.Sin(10*degree), .1), Tol: 2e-5, Unit: "in", Source: groove + ", sagitta of that radius", Provenance: check.Published},
		{What: "6 in cutter, 4 in cut, 1 thou in a foot", Got: func() float64 { return dish(6, 4, .001/12).Hollow }, Want: 6.366e-5, Tol: 5e-9, Unit: "in", Source: byHand + ": (3 - sqrt 5)/12000", Provenance: check.Independent},
		{What: "8 in cutter cutting its full width, 1 thou in a foot", Got: func() float64 { return dish(8, 8, .001/12).Hollow }, Want: .000333, Tol: 5e-7, Unit: "in", Source: byHand + ": D/2 sin(phi)", Provenance: check.Independent},
		{What: "100 mm cutter, 60 mm cut, 0.05 on 300 mm", Got: func() float64 { return dish(100, 60, .05/300).Hollow }, Want: .00167, Tol: 5e-6, Unit: "mm", Source: byHand + ": 10 mm x 1/6000", Provenance: check.Independent},
		{What: "100 mm cutter, 60 mm cut, tilt for that hollow", Got: func() float64 { return MostTilt(Pass{Dia: 100, Width: 60}, .01/6) }, Want: .05 / 300, Tol: 1e-9, Unit: "mm/mm", Source: byHand + ": the same backwards", Provenance: check.Independent},
	}
}

// Straight lines with published slopes, as readings along a height or a bar.
var (
	gumX      = []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	gumY      = []float64{-.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160}
	anscombeX = []float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}
	anscombeY = []float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}
)

const (
	gumH3    = "JCGM 100:2008 (GUM), H.3, table H.6 and clause H.3.3: slope 0.00218"
	anscombe = "F. J. Anscombe, Graphs in statistical analysis, The American Statistician 27 (1973) 17, data set I: slope 0.500"
)

// pair gives readings of which the mean is y and half the difference d times x.
func pair(x, y []float64, d float64) (a, b []float64) {
	for i := range x {
		a, b = append(a, y[i]+float64(d*x[i])), append(b, y[i]-float64(d*x[i]))
	}
	return a, b
}

func squareChecks() []check.Check {
	reversed := func(x, y []float64, d float64) Stand {
		a, b := pair(x, y, d)
		s, _ := Reverse(Upright{H: x, A: a, B: b, Noise: align.Noise{Grad: .0005}, Allow: .0005})
		return s
	}
	h := []float64{0, 6, 12}
	turned := func(piece bool) Stand {
		s, _ := Reverse(Upright{H: h, A: []float64{0, .0008, .0016}, B: []float64{0, .0002, .0004},
			Noise: align.Noise{Grad: .0005}, Allow: .0005, Piece: piece})
		return s
	}
	six := func() Stand {
		s, _ := Reverse(Upright{H: []float64{0, 6}, A: []float64{0, .0012}, B: []float64{0, -.0004},
			Noise: align.Noise{Grad: .0001}, Allow: .0005})
		return s
	}
	known := func() Stand {
		s, _ := Reverse(Upright{H: []float64{0, 300}, A: []float64{0, .012}, Noise: align.Noise{Grad: .001},
			Allow: .01, Square: .003 / 300})
		return s
	}
	return []check.Check{
		{What: "Thermometer of the GUM as readings up a square that itself leans 0.001, turned: slope of the slide",
			Got: func() float64 { return reversed(gumX, gumY, .001).Least[0] }, Want: .00218, Tol: .000005,
			Source: gumH3, Provenance: check.Published},
		{What: "Data set I of Anscombe as readings up a square that itself leans 0.03, turned: slope of the slide",
			Got: func() float64 { return reversed(anscombeX, anscombeY, .03).Least[0] }, Want: .5, Tol: .0005,
			Source: anscombe, Provenance: check.Published},
		{What: "0.02 mm on a metre as an angle", Got: func() float64 {
			s, _ := Reverse(Upright{H: []float64{0, 1000}, A: []float64{0, .02}, Noise: align.Noise{Grad: .001}})
			return math.Atan(s.Machine) / degree * 3600
		}, Want: 4, Tol: .15, Unit: "arcsec", Source: "A level maker's instructions: a division of 4 seconds is 0.02 mm in 1000 mm", Provenance: check.Published},
		{What: "Square turned: +1.6 then +0.4 thou up 12 in, the machine", Got: func() float64 { return turned(false).Machine * 12 }, Want: .001, Tol: 1e-12, Unit: "in", Source: reverse, Provenance: check.Exact},
		{What: "Square turned: +1.6 then +0.4 thou up 12 in, the square", Got: func() float64 { return turned(false).Object * 12 }, Want: .0006, Tol: 1e-12, Unit: "in", Source: reverse, Provenance: check.Exact},
		{What: "Plate turned, read from the other side: the plate", Got: func() float64 { return turned(true).Object * 12 }, Want: .001, Tol: 1e-12, Unit: "in", Source: reverse, Provenance: check.Exact},
		{What: "Plate turned, read from the other side: the machine", Got: func() float64 { return turned(true).Machine * 12 }, Want: .0006, Tol: 1e-12, Unit: "in", Source: reverse, Provenance: check.Exact},
		{What: "Up 6 in, 1.2 thou, turned -0.4: the machine",
			Got: func() float64 { return six().T }, Want: .0004, Tol: 1e-12, Unit: "in", Source: reverse,
			Provenance: check.Independent},
		{What: "Up 6 in, 1.2 thou, turned -0.4: the square",
			Got: func() float64 { return six().Object * 6 }, Want: .0008, Tol: 1e-12, Unit: "in", Source: reverse,
			Provenance: check.Independent},
		{What: "Known square 3 um out on 300 mm, reading 12 um: the column",
			Got: func() float64 { return known().T }, Want: .009, Tol: 1e-12, Unit: "mm", Source: byHand,
			Provenance: check.Independent},
		{What: "One reading to 1 unit, standard uncertainty behind the answer", Got: func() float64 {
			s, _ := Reverse(Upright{H: []float64{0, 1}, A: []float64{0, 0}, Noise: align.Noise{Grad: 1, Habit: 1e-9}})
			return s.U / 2 / math.Sqrt2
		}, Want: .29, Tol: .005, Unit: "unit", Source: "JCGM 100:2008 (GUM), F.2.2.1: u = 0.29 times the resolution", Provenance: check.Published},
		{What: "Two readings to 1 unit, doubt of the lean between them", Got: func() float64 {
			s, _ := Reverse(Upright{H: []float64{0, 1}, A: []float64{0, 0}, Noise: align.Noise{Grad: 1}})
			return s.U
		}, Want: 1.1538, Tol: .0001, Unit: "unit", Source: byHand + ": sqrt(2.306^2 x 2/16 + 8/12)",
			Provenance: check.Independent},
		{What: "0.2908 mm on a metre as an angle", Got: func() float64 {
			s, _ := Reverse(Upright{H: []float64{0, 1000}, A: []float64{0, .2908}, Noise: align.Noise{Grad: .001}})
			return math.Atan(s.Machine) / degree * 3600
		}, Want: 60, Tol: .02, Unit: "arcsec", Source: "Printed conversion, one minute of arc: 0.2908 mm/m", Provenance: check.Published},
		{What: "Five thousandths in a foot as an angle", Got: func() float64 {
			s, _ := Reverse(Upright{H: []float64{0, 12}, A: []float64{0, .005}, Noise: align.Noise{Grad: .0005}})
			return math.Atan(s.Machine) / degree * 3600
		}, Want: 85.9, Tol: .05, Unit: "arcsec", Source: byHand + ": 0.005/12 of 206265 seconds", Provenance: check.Independent},
	}
}

func barChecks() []check.Check {
	half := func(x, y []float64, d float64) Pointing {
		a, b := pair(x, y, d)
		p, _ := Point(Barred{Z: x, A: a, B: b, Noise: align.Noise{Grad: .0005}, Allow: .0005})
		return p
	}
	// crooked is a true spindle with a bar of the given run-out.
	crooked := func() Pointing {
		b := make([]float64, len(gumY))
		for i, y := range gumY {
			b[i] = -y
		}
		p, _ := Point(Barred{Z: gumX, A: gumY, B: b, Noise: align.Noise{Grad: .0005}, Allow: .0005})
		return p
	}
	bar := func() Pointing {
		p, _ := Point(Barred{Z: []float64{1, 13}, A: []float64{0, .002}, B: []float64{.001, .0006},
			Noise: align.Noise{Grad: .0005}, Allow: .0005})
		return p
	}
	pure := func() Pointing { // a bent bar in a true spindle
		p, _ := Point(Barred{Z: []float64{0, 150, 300}, A: []float64{.01, .02, .03}, B: []float64{-.01, -.02, -.03},
			Noise: align.Noise{Grad: .001}, Allow: .01})
		return p
	}
	return []check.Check{
		{What: "Thermometer of the GUM as a spindle with a bar bent by 0.001: slope of the spindle",
			Got: func() float64 { return half(gumX, gumY, .001).Least[0] }, Want: .00218, Tol: .000005, Source: gumH3,
			Provenance: check.Published},
		{What: "The same as a bar in a true spindle: slope of the bar",
			Got: func() float64 { return crooked().Least[1] }, Want: .00218, Tol: .000005, Source: gumH3,
			Provenance: check.Published},
		{What: "Data set I of Anscombe as a spindle with a bar bent by 0.03: slope of the spindle",
			Got: func() float64 { return half(anscombeX, anscombeY, .03).Least[0] }, Want: .5, Tol: .0005,
			Source: anscombe, Provenance: check.Published},
		{What: "A bar that runs 0.004 either way: full run-out", Got: func() float64 {
			p, _ := Point(Barred{Z: []float64{0, 1}, A: []float64{.004, .004}, B: []float64{-.004, -.004},
				Noise: align.Noise{Grad: .0005}})
			return p.TIR
		}, Want: .008, Tol: 1e-12, Unit: "in", Source: "A rubber moulder's design guide, total indicator reading: 0.004 either way is 0.008", Provenance: check.Published},
		{What: "Readings 0, 1 thou at the nose and 2, 0.6 a foot out: the spindle over the length",
			Got: func() float64 { return bar().T }, Want: .0008, Tol: 1e-12, Unit: "in", Source: mandrel,
			Provenance: check.Exact},
		{What: "The same readings, the bar's full run-out", Got: func() float64 { return bar().TIR }, Want: .0014, Tol: 1e-12, Unit: "in", Source: mandrel, Provenance: check.Exact},
		{What: "The same readings, the bar against the spindle over the length", Got: func() float64 { return bar().BarSlope * 12 }, Want: .0012, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "A bent bar in a true spindle, the spindle over the length",
			Got: func() float64 { return pure().T }, Want: 0, Tol: 1e-15, Unit: "mm", Source: mandrel,
			Provenance: check.Exact},
		{What: "A bent bar in a true spindle, full run-out at the end", Got: func() float64 { return pure().TIR }, Want: .06, Tol: 1e-12, Unit: "mm", Source: mandrel, Provenance: check.Exact},
		{What: "Mean of two readings to 1 unit, standard uncertainty", Got: func() float64 {
			p, _ := Point(Barred{Z: []float64{0, 1}, A: []float64{0, 0}, B: []float64{0, 0},
				Noise: align.Noise{Grad: 1, Habit: 1e-9}})
			return p.U / 2 / math.Sqrt2
		}, Want: .204, Tol: .0005, Unit: "unit", Source: "JCGM 100:2008 (GUM), F.2.2.1 and 4.2.3: 0.289/sqrt 2", Provenance: check.Published},
		{What: "Four readings to 1 unit, half a turn apart, doubt of the axis", Got: func() float64 {
			p, _ := Point(Barred{Z: []float64{0, 1}, A: []float64{0, 0}, B: []float64{0, 0},
				Noise: align.Noise{Grad: 1}})
			return p.U
		}, Want: .8159, Tol: .0001, Unit: "unit", Source: byHand + ": sqrt(2.306^2/16 + 4/12)",
			Provenance: check.Independent},
	}
}
