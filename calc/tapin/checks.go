//go:build !js

package tapin

import (
	"math"

	"datumbook/calc/check"
)

// Checks gives what the worksheet of this package was checked against.
func Checks() []check.Proof {
	const (
		gum     = "JCGM 100:2008 (GUM), F.2.2.1: u = 0.29 times the resolution"
		table   = "Standard normal distribution: Abramowitz and Stegun, table 26.1"
		sandia  = "Sandia National Laboratories, uncertainty library, test values of process risk"
		weights = "Worked by hand: weighted mean of two values"
		rule    = "Printed table of the normal distribution, the 68-95-99.7 rule"
		height  = "Published worked example of the Kalman filter for a quantity that stands still: height of a building guessed 60 m sure to 15, ten readings sure to 5"
	)
	in := func(allow float64, pairs ...float64) func() float64 {
		var e, u []float64
		for i := 0; i < len(pairs); i += 2 {
			e, u = append(e, pairs[i]), append(u, pairs[i+1])
		}
		return func() float64 { return Inside(e, u, allow) }
	}
	story := func(get func(Story) float64, t Task, pairs ...Pair) func() float64 {
		return func() float64 {
			s, f := Follow(t, pairs)
			if f != nil {
				return math.NaN()
			}
			return get(s)
		}
	}
	task := Task{Way: Shim, Span: 12, Allow: .0005, Certain: .95, Grad: 1e-9, Pivot: "a", Reach: 12}
	lean := func(s Story) float64 { return s.Leans[0].T }
	// 0.006 leans, 0.004 asked away from it, 0.002 + 0.0004 left: the move gave 0.9.
	gave := []Pair{{B: .006}, {B: .0024, At: "b", Ask: -.004, HasAsk: true}}
	// Readings of a constant quantity, with the repeatability alone.
	building := func() float64 {
		a := Axis{Model: Model{Guess: 1, Repeat: 5 / math.Sqrt2}, E: 60, VarE: 225, R: 1}
		for _, y := range []float64{48.54, 47.11, 55.01, 55.15, 49.89, 40.85, 46.72, 50.05, 51.27, 49.95} {
			a.Step(0, y)
		}
		return a.E
	}
	sweep := func(k int) func() float64 {
		return func() float64 {
			s, _ := Sweeps(Task{Way: Head, Span: 10, Allow: .0005, Certain: .95, Grad: .0005},
				[]Round{{Right: .003, Left: -.001, Back: .0005, Front: .0015}})
			return s.Leans[k].T
		}
	}
	return []check.Proof{{Sheet: "tapin", Rows: []check.Check{
		{What: "One reading to a step of 1, standard uncertainty behind the lean", Got: func() float64 { return math.Sqrt(Model{Grad: 1}.reading() / 2) }, Want: .29, Tol: .005, Source: gum, Provenance: check.Published},
		{What: "Difference of two readings to 0.0005 in", Got: func() float64 { return math.Sqrt(Model{Grad: .0005}.reading()) }, Want: .0005 / math.Sqrt(12) * math.Sqrt2, Tol: 1e-15, Unit: "in", Source: "JCGM 100:2008 (GUM), 5.1.2 with F.2.2.1", Provenance: check.Exact},
		{What: "Lean of nothing, sure to 1: chance within 1", Got: in(1, 0, 1), Want: .6826895, Tol: 1e-7, Source: table, Provenance: check.Published},
		{What: "Lean of nothing, sure to 1: chance within 1.96", Got: in(1.96, 0, 1), Want: .9500042, Tol: 1e-7, Source: table, Provenance: check.Published},
		{What: "Lean of nothing, sure to 1: chance within 2", Got: in(2, 0, 1), Want: .9545, Tol: .00005, Source: rule, Provenance: check.Published},
		{What: "Lean of nothing, sure to 1: chance within 3", Got: in(3, 0, 1), Want: .9973, Tol: .00005, Source: rule, Provenance: check.Published},
		{What: "A quantity read ten times without a move, from a poor guess", Got: building, Want: 49.57, Tol: .005, Unit: "m", Source: height, Provenance: check.Published},
		{What: "Limits 9 to 11, u 0.4 about 10: chance outside", Got: func() float64 { return 1 - in(1, 0, .4)() }, Want: .01242, Tol: .000005, Source: sandia, Provenance: check.Independent},
		{What: "Limits 9 to 11, u 0.4 about 10.5: chance outside", Got: func() float64 { return 1 - in(1, .5, .4)() }, Want: .10574, Tol: .000006, Source: sandia, Provenance: check.Independent},
		{What: "Sweep of 10 in, right 3, left -1 thou: right-left lean", Got: sweep(0), Want: .004, Tol: 1e-12, Unit: "in", Source: "ISO 230-1: difference over the diameter", Provenance: check.Memory},
		{What: "The same sweep, back 0.5, front 1.5 thou: nod", Got: sweep(1), Want: -.001, Tol: 1e-12, Unit: "in",
			Source: "ISO 230-1: difference over the diameter", Provenance: check.Memory},
		{What: "Leans 6 thou, 4 asked, leans 2.4: it gives 0.9, held against a guess of 0.95 sure to 0.12 and a scatter of 0.1", Got: story(func(s Story) float64 { return s.Axes[0].R }, task, gave...),
			Want: (.9/.095/.095 + .95/.12/.12) / (1/.095/.095 + 1/.12/.12), Tol: 1e-6, Source: weights, Provenance: check.Independent},
		{What: "The same, what is left to lean", Got: story(lean, task, gave...), Want: .0024, Tol: 1e-9, Unit: "in", Source: "Worked by hand", Provenance: check.Independent},
		{What: "Read again without a move: mean of 0.4 and 0.6 thou", Got: story(lean, Task{Way: Tap, Span: 12, Allow: .0002, Certain: .95, Grad: 1e-9, Repeat: .0001, Pivot: "a"}, Pair{B: .0004}, Pair{B: .0006, At: "none"}), Want: .0005, Tol: 1e-10, Unit: "in", Source: weights, Provenance: check.Independent},
	}}}
}
