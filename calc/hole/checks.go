//go:build !js

package hole

import (
	"datumbook/calc/check"
	"datumbook/calc/drill"
	"datumbook/calc/thread"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "hole", Rows: checks()},
	}
}

// plan is a shorthand for the checks: a plan that must be valid.
func plan(designation string, set func(*Input)) Plan {
	t, err := thread.Parse(designation)
	if err != nil {
		return Plan{}
	}
	in := Input{Thread: t, To: ToThread, Tap: Bottoming, Work: Iron, Point: 118, Chips: 1, Csk: 0, CskDeg: 90, Sets: drill.Sets[:3]}
	set(&in)
	p, f := Make(in)
	if f != nil {
		return Plan{}
	}
	return p
}

// checks are the published values that the plan must reproduce.
func checks() []check.Check {
	published := []check.Check{
		{What: "2-56 with a #50 drill, percentage of thread", Got: percentAs("2-56", .0700), Want: 69, Tol: .5, Unit: "%",
			Source: "Machinery's Handbook, 31st ed., p. 2155, tap drill sizes", Provenance: check.Published},
		{What: "4-40 with a #42 drill, percentage of thread", Got: percentAs("4-40", .0935), Want: 57, Tol: .5, Unit: "%",
			Source: "Machinery's Handbook, 31st ed., p. 2155, tap drill sizes", Provenance: check.Published},
		{What: "0-80 with a 1.20 mm drill, percentage of thread", Got: percentAs("0-80", 1.20/25.4), Want: 79, Tol: .5, Unit: "%",
			Source: "Machinery's Handbook, 31st ed., p. 2155, tap drill sizes", Provenance: check.Published},
		{What: "5/8-11 UNC-2B, least minor diameter", Got: func() float64 { return plan("5/8-11", deep(1)).Limits.Minor.Min }, Want: .527, Tol: .00005, Unit: "in",
			Source: "ASME B1.1, table of limits of size", Provenance: check.Published},
		{What: "5/8-11 UNC-2B, most minor diameter", Got: func() float64 { return plan("5/8-11", deep(1)).Limits.Minor.Max }, Want: .546, Tol: .00005, Unit: "in",
			Source: "ASME B1.1, table of limits of size", Provenance: check.Published},
		{What: "M12x1.75-6H, most minor diameter", Got: func() float64 { return plan("M12", deep(1)).Limits.Minor.Max }, Want: 10.441, Tol: .0005, Unit: "mm",
			Source: "ASME B1.13M, table of limits of size, internal 6H", Provenance: check.Published},
		{What: "Point of a 118 degree drill, part of its diameter", Got: func() float64 { return pointLength(1, 118) }, Want: .3, Tol: .0005, Unit: "d",
			Source: "Fundamentals of Machining Processes, 2nd ed., 5.3: approach of a drill by the cotangent of half its point angle; (1/2) cot 59 by table", Provenance: check.Exact},
	}
	return append(published, practice()...)
}

// practice checks the usual shop practice: a ledge of almost an inch, drilled about three quarters
// and tapped 5/8-11 with a bottoming tap, is done every day.
func practice() []check.Check {
	ledge := func() Plan {
		return plan("5/8-11", func(in *Input) { in.Depth, in.To, in.Stock, in.Chips = .75, ToShoulder, .95, -1 })
	}
	yes := func(b bool) float64 {
		if b {
			return 1
		}
		return 0
	}
	return []check.Check{
		{What: "0.95 in ledge drilled 3/4 in to the shoulder and tapped 5/8-11 to the bottom: workable (1 = yes)",
			Got: func() float64 { return yes(ledge().Fits) }, Want: 1, Unit: "", Source: "Workshop habit", Provenance: check.Practice},
		{What: "the same ledge drilled 3/4 in to the point: workable (1 = yes)",
			Got: func() float64 {
				return yes(plan("5/8-11", func(in *Input) { in.Depth, in.To, in.Stock = .75, ToPoint, .95 }).Fits)
			}, Want: 1, Unit: "", Source: "Workshop habit", Provenance: check.Practice},
		{What: "the same ledge, floor under the point of a 17/32 drill", Got: func() float64 { return ledge().Floor }, Want: .95 - .75 - .1596, Tol: .0001, Unit: "in",
			Source: "Cone height by hand: 17/64 divided by tan 59 degrees is 0.1596", Provenance: check.Independent},
	}
}

func deep(d float64) func(*Input) { return func(in *Input) { in.Depth, in.Stock = d, 10 } }

func percentAs(designation string, dia float64) func() float64 {
	return func() float64 {
		return plan(designation, func(in *Input) { in.Depth, in.Stock, in.Drill = .25, 10, dia }).Pick.Percent
	}
}
