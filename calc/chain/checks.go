//go:build !js

package chain

import (
	"math"

	"datumbook/calc/check"
	"datumbook/calc/uncertainty"
)

// Checks gives what the worksheet of this package was checked against.
func Checks() []check.Proof {
	const (
		twice  = "JCGM 100:2008 (GUM), 5.2.2 and F.1.2.3: ten resistors measured with one standard of u = 100 milliohm in series"
		apart  = "JCGM 100:2008 (GUM), 5.2.2, example: the same ten taken as independent"
		limits = "JCGM 100:2008 (GUM), 4.3.7: half width over the root of 3"
		super  = "JCGM 101:2008, 9.2.3: sum of four rectangular quantities of u = 1"
		byHand = "Worked by hand"
		gauge  = "JCGM 100:2008 (GUM), H.1.6: end gauge, and the same worked through in the manual of a public uncertainty library"
		course = "Course in geometric tolerances, question with printed answer: four parts of 0.1 mm either way"
		turned = "ISO 230-1, reversal: an error of the machine changes sign against a part turned half round"
	)
	// row is a chain of n set-ups, each located on the one before, with one error each.
	row := func(n int, length float64, cause func(i int) Cause) Plan {
		p := Plan{Faces: []Face{{Name: "last", Setup: n, Looks: "top", Length: length}}}
		for i := range n {
			p.Setups = append(p.Setups, Setup{Down: "bottom", From: i, Seat: length})
			c := cause(i)
			c.Setup = i + 1
			p.Causes = append(p.Causes, c)
		}
		return p
	}
	get := func(p Plan, axis int, what func(Error) float64) func() float64 {
		return func() float64 {
			for _, e := range p.Predict() {
				if e.Axis == axis && e.Face == len(p.Faces)-1 {
					return what(e)
				}
			}
			return math.NaN()
		}
	}
	unit := func(e Error) float64 { return e.Unit }
	mean := func(e Error) float64 { return e.Mean }
	same := row(10, 1, func(int) Cause { return Cause{Kind: "way", Measured: true, Half: .2, Mark: "R"} })
	alone := row(10, 1, func(int) Cause { return Cause{Kind: "way", Measured: true, Half: .2} })
	tram := row(3, 12, func(i int) Cause {
		return Cause{Kind: "tram", Measured: true, Half: [3]float64{.0005, .0008, .0006}[i] / 6}
	})
	four := row(4, 1, func(int) Cause { return Cause{Kind: "way", Half: math.Sqrt(3) * .001} })
	block := [6]float64{25, 5.8, 3.9, 6.7, 2.9, 16.6} // nm
	end := row(len(block), 1, func(i int) Cause { return Cause{Kind: "way", Measured: true, Half: 2 * block[i]} })
	parts := row(4, 1, func(int) Cause { return Cause{Kind: "way", Measured: true, Half: .1} })
	tried := func(what func(Trial) float64) func() float64 {
		return func() float64 { return what(four.Try(four.Predict()[:1], 20000, 1)[0]) }
	}
	budget := func(p Plan, corr []uncertainty.Pair) float64 {
		var parts []uncertainty.Part
		for _, c := range p.Causes {
			parts = append(parts, uncertainty.Part{Given: uncertainty.Double, Value: c.Half, Sens: 1})
		}
		b, _ := uncertainty.Combine(parts, corr, 0)
		return b.Std
	}
	var all []uncertainty.Pair
	for i := range 10 {
		for j := range i {
			all = append(all, uncertainty.Pair{I: j, J: i, R: 1})
		}
	}
	// A head that leans 0.001 in/in: bottom, then top with the part turned over about x.
	over := func(axis int) Plan {
		return Plan{Setups: []Setup{{Down: "bottom"}, {Down: "top", From: 1}}, Causes: []Cause{{Setup: 1, Kind: "head", Axis: axis, Value: .001, Measured: true, Mark: "H"}, {Setup: 2, Kind: "head", Axis: axis, Value: .001, Measured: true, Mark: "H"}},
			Faces: []Face{{Setup: 2, Looks: "top", Length: 10}}}
	}
	return []check.Proof{{Sheet: "chain", Rows: []check.Check{
		{What: "One error that enters ten times, u 0.1: together", Got: get(same, 0, unit), Want: 1, Tol: 1e-12, Unit: "ohm", Source: twice, Provenance: check.Published},
		{What: "Ten errors apart, u 0.1: together", Got: get(alone, 0, unit), Want: .32, Tol: .005, Unit: "ohm", Source: apart, Provenance: check.Published},
		{What: "End gauge: six errors apart of 25, 5.8, 3.9, 6.7, 2.9 and 16.6, together", Got: get(end, 0, unit), Want: 32, Tol: .5, Unit: "nm", Source: gauge, Provenance: check.Published},
		{What: "Four errors of 0.1 either way: the very worst", Got: get(parts, 0, func(e Error) float64 { return e.Worst }), Want: .4, Tol: 1e-12, Unit: "mm", Source: course, Provenance: check.Published},
		{What: "The same as squares", Got: get(parts, 0, Error.Sure), Want: .2, Tol: 1e-12, Unit: "mm", Source: course, Provenance: check.Published},
		{What: "The same ten by the guide's equation 13, all correlations 1", Got: get(same, 0, unit), Want: budget(same, all), Tol: 1e-12, Unit: "ohm", Source: "JCGM 100:2008 equation 13, worksheet 'sure'", Provenance: check.Independent},
		{What: "Limits of 0.40 either way: standard uncertainty", Got: func() float64 { return Cause{Half: .40}.std() }, Want: .23, Tol: .005, Source: limits + " (copper's expansion, 0.40e-6)", Provenance: check.Memory},
		{What: "Four errors anywhere within limits, u 1: standard deviation by trials", Got: tried(func(t Trial) float64 { return t.Unit * 1000 }), Want: 2, Tol: .03, Source: super, Provenance: check.Memory},
		{What: "The same, half of what holds 95 of 100 trials", Got: tried(func(t Trial) float64 { return (t.High - t.Low) / 2 * 1000 }), Want: 3.88, Tol: .05, Source: super + ": +/- 2 sqrt 3 (2 - (3/5)^(1/4))", Provenance: check.Memory},
		{What: "Trams of 0.5, 0.8 and 0.6 thou over 6 in, over 12 in: the very worst", Got: get(tram, 0, func(e Error) float64 { return e.Worst }), Want: .0038, Tol: 1e-12, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "The same trams as squares", Got: get(tram, 0, Error.Sure), Want: .002236, Tol: 1e-6, Unit: "in", Source: byHand, Provenance: check.Independent},
		{What: "Head leaning about x, part turned over about x: top to the start cancels nothing", Got: get(over(0), 0, mean), Want: .02, Tol: 1e-15, Unit: "in", Source: byHand + ": both cuts lean the same way of the part", Provenance: check.Independent},
		{What: "Head leaning about y, part turned over about x: the two cancel", Got: get(over(1), 1, mean), Want: 0, Tol: 1e-15, Unit: "in", Source: turned, Provenance: check.Memory},
	}}}
}
