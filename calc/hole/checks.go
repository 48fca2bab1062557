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
		{What: "Point of a 118 degree drill, part of its diameter",
			Got: func() float64 { return thread.PointLength(1, 118) }, Want: .3, Tol: .0005, Unit: "d",
			Source: "Fundamentals of Machining Processes, 2nd ed., 5.3: approach of a drill by the cotangent of half its point angle; (1/2) cot 59 by table", Provenance: check.Exact},
	}
	return append(append(append(published, practice()...), usable()...), bites()...)
}

// usable checks the thread of a blind hole as drilled: 5/8-11, worked from TM 9-254's chamfers by
// the formula of thread.Blind, and the default drills against the tables.
func usable() []check.Check {
	const source = "Depth budget by hand: zt = Hs - g, Lf = zt - c P, Lu = Lf - (Dc - D1)/2; chamfers by TM 9-254"
	b := thread.Blind{Pitch: 1. / 11, Depth: .8125, Drill: 17. / 32, Angle: 118, Below: 1, Chamfer: 2, Csk: .6875,
		CskDeg: 90, Minor: .546}
	left := func(change func(b *thread.Blind), full bool) func() float64 {
		return func() float64 {
			b := b
			change(&b)
			_, lf, lu := b.Usable()
			if full {
				return lf
			}
			return lu
		}
	}
	row := func(what string, want float64, got func() float64) check.Check {
		return check.Check{What: what, Got: got, Want: want, Tol: .0001, Unit: "in", Source: source,
			Provenance: check.Independent}
	}
	drilled := func(designation, drill string) check.Check {
		return check.Check{What: designation + ", default drill is " + drill + " (1 = yes)", Got: func() float64 {
			p := plan(designation, func(in *Input) { in.Depth, in.Stock, in.Usual = 1, 10, true })
			if p.Pick.Name == drill {
				return 1
			}
			return 0
		}, Want: 1, Source: "A tap maker's published table of tap drills", Provenance: check.Published}
	}
	return []check.Check{
		row("5/8-11 drilled .8125 to the shoulder, bottoming tap, countersunk 11/16: usable thread", .4690,
			left(func(*thread.Blind) {}, false)),
		row("The same depth to the point of a 17/32 drill: usable thread", .3094,
			left(func(b *thread.Blind) { b.ToPoint = true }, false)),
		row("The same hole with a plug tap of 4 pitches alone: full thread", .3580,
			left(func(b *thread.Blind) { b.Chamfer = 4 }, true)),
		row("The same hole, chamfer 1.5 and half a pitch of chip room: full thread", .6307,
			left(func(b *thread.Blind) { b.Chamfer, b.Below = 1.5, .5 }, true)),
		drilled("5/8-11", "17/32"), drilled("3/8-16", "5/16"), drilled("8-32", "#29"), drilled("9/16-18", "33/64"),
		drilled("1/4-28", "#3"),
	}
}

// bites checks where a tap first cuts after another: the formula of thread.FirstBite by hand.
func bites() []check.Check {
	const source = "Geometry of two chamfers: zb = z1 - (c1 - c2) P, or z1 c2/c1"
	var out []check.Check
	add := func(what string, z1, c1, z2, c2, p float64, unit string, at, free, turns float64) {
		b := func() thread.Bite { return thread.FirstBite(z1, c1, z2, c2, p) }
		out = append(out,
			check.Check{What: what + ": tap's end at the first bite", Got: func() float64 { return b().Tip },
				Want: at, Tol: .0005 * max(1, at), Unit: unit, Source: source, Provenance: check.Independent},
			check.Check{What: what + ": turns free", Got: func() float64 { return b().Free }, Want: free, Tol: .005,
				Unit: "", Source: source, Provenance: check.Independent},
			check.Check{What: what + ": turns from the bite", Got: func() float64 { return b().Turns }, Want: turns,
				Tol: .0005, Unit: "", Source: source, Provenance: check.Independent})
	}
	const p = 1. / 11
	add("5/8-11 to .767, plug 4, bottoming 1.5", .7670, 4, .7670, 1.5, p, "in", .5398, 5.938, 2.500)
	add("5/8-11 to .767, plug 5, bottoming 1", .7670, 5, .7670, 1, p, "in", .4034, 4.438, 4)
	add("5/8-11 to .767, plug 3, bottoming 2", .7670, 3, .7670, 2, p, "in", .6761, 7.438, 1)
	add("5/8-11 to .767, taper 8.5 never full, plug 4", .7670, 8.5, .7670, 4, p, "in", .3610, 3.971, 4.467)
	add("M12 to 26, plug 4, bottoming 2", 26, 4, 26, 2, 1.75, "mm", 22.50, 12.86, 2)
	add("5/8-11 to 1.25, plug 4, bottoming 1.5", 1.25, 4, 1.25, 1.5, p, "in", 1.023, 11.25, 2.5)
	return out
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
