//go:build !js

package reach

import (
	"math"

	"datumbook/calc/check"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "daylight", Rows: daylightChecks()},
		{Sheet: "foul", Rows: foulChecks()},
		{Sheet: "reach", Rows: reachChecks()},
	}
}

func reachChecks() []check.Check {
	const (
		fmp   = "Fundamentals of Machining Processes, 2nd ed., example in 6.3: face milling a slot, cutter 30 mm, face 300 mm, run-out 3 mm each end"
		gate  = "Published worked problem on milling time: face 300 mm, cutter 100 mm, run-out 5 mm each end, cutting at full width"
		plain = "Double precision from the formula"
	)
	need := func(l, d, c, w float64, e Ends) func() float64 {
		return func() float64 { lo, hi := Path(l, d, c, Approach(d, w), e); return hi - lo }
	}
	a := func(d, b float64) func() float64 { return func() float64 { return Approach(d, b/2) } }
	return []check.Check{
		{What: "Length of travel", Got: need(300, 30, 3, 15, FromLow), Want: 321, Tol: 1e-9, Unit: "mm", Source: fmp, Provenance: check.Published},
		{What: "Approach at full width", Got: a(30, 30), Want: 15, Tol: 1e-9, Unit: "mm", Source: fmp, Provenance: check.Published},
		{What: "Length of travel", Got: need(300, 100, 5, 50, FromLow), Want: 360, Tol: 1e-9, Unit: "mm", Source: gate, Provenance: check.Published},
		{What: "Approach, cutter 100 mm at full width", Got: a(100, 100), Want: 50, Tol: 1e-9, Unit: "mm", Source: gate + ": 360 less 300 less twice 5", Provenance: check.Published},
		{What: "Travel to clear both ends: 14 in face, 6 in cutter, 1/4 in run-out", Got: need(14, 6, .25, 2, ClearBoth), Want: 20.5, Tol: 1e-9, Unit: "in", Source: "L + D + 2c, as cutter makers print it for face milling time", Provenance: check.Published},
		{What: "Approach, cutter 8 in, face 5 in", Got: a(8, 5), Want: .8775, Tol: 5e-5, Unit: "in", Source: plain, Provenance: check.Independent},
		{What: "Approach, cutter 6 in, face 4 in", Got: a(6, 4), Want: .7639, Tol: 5e-5, Unit: "in", Source: plain, Provenance: check.Independent},
		{What: "Approach, cutter 4 in, face 3 in", Got: a(4, 3), Want: .6771, Tol: 5e-5, Unit: "in", Source: plain, Provenance: check.Independent},
		{What: "Approach, cutter 6 in, face 5 in, .4 in off its middle", Got: a(6, 5.8), Want: 2.2319, Tol: 5e-5, Unit: "in",
			Source: "3 - sqrt(3^2 - 2.9^2), by hand", Provenance: check.Independent},
		{What: "Approach, cutter 10 in, face 8 in (the 3-4-5 triangle)", Got: a(10, 8), Want: 2, Tol: 1e-12, Unit: "in", Source: "5 - sqrt(5^2 - 4^2)", Provenance: check.Exact},
		{What: "Window with 22 in of travel, same face", Got: func() float64 {
			lo, hi := Path(14, 6, .25, 0, ClearBoth)
			f, t := Window(lo, hi, -11, 11)
			return t - f
		}, Want: 1.5, Tol: 1e-12, Unit: "in", Source: "22 - 20.5", Provenance: check.Exact},
		{What: "Ram 18 in swung 30 degrees: to the right", Got: func() float64 { x, _ := Swing(18, 30); return x }, Want: 9, Tol: 1e-12, Unit: "in", Source: "sin 30 = 1/2", Provenance: check.Exact},
		{What: "Ram 18 in swung 30 degrees: out", Got: func() float64 { _, y := Swing(18, 30); return y }, Want: 15.588457268, Tol: 1e-9, Unit: "in", Source: "cos 30 = sqrt(3)/2", Provenance: check.Exact},
	}
}

func daylightChecks() []check.Check {
	s := Stack{Daylight: 19, Knee: 16, Quill: 5, Tool: 4.5, Under: 2, Part: 6, Depth: 1.2, Over: .75, Clear: .5}
	shut := s
	shut.Part = 12
	knee := s
	knee.Quill = 0
	const (
		lesson = "Course in the design of machine tools, choosing the layout of a small mill, worked example: fixture 150, part 150, longest tool 150, room to change it 50 mm"
		data   = "A builder's printed data of a vertical mill: "
	)
	// least is the nose to table with the table as near as its travel lets it.
	least := func(most, travel float64) func() float64 {
		return func() float64 { return -Stack{Daylight: most, Knee: travel}.Fits().RoomDown }
	}
	vice := Stack{Daylight: 600, Knee: 350, Quill: 100, Tool: 150, Under: 150, Part: 150, Clear: 50}
	return []check.Check{
		{What: "Part 150 mm tall in a vice of 150 under a tool of 150: daylight with 50 to change tools", Got: func() float64 { return vice.Fits().Low }, Want: 500, Tol: 1e-9, Unit: "mm", Source: lesson, Provenance: check.Published},
		{What: "Nose to table 24.0 in at most, travel 20.0: at least", Got: least(24, 20), Want: 4, Tol: 1e-9, Unit: "in", Source: data + "24.0 to 4.0 in, travel 20.0 in", Provenance: check.Published},
		{What: "Nose to table 30 in at most, travel 24: at least", Got: least(30, 24), Want: 6, Tol: 1e-9, Unit: "in", Source: data + "6 to 30 in, travel 24 in", Provenance: check.Published},
		{What: "Nose to table 742 mm at most, travel 635: at least", Got: least(742, 635), Want: 107, Tol: 1e-9, Unit: "mm", Source: data + "742 to 107 mm, travel 635 mm", Provenance: check.Published},
		{What: "Nose to table 350 mm at most, travel 250: at least", Got: least(350, 250), Want: 100, Tol: 1e-9, Unit: "mm", Source: data + "350 to 100 mm, travel 250 mm", Provenance: check.Published},
		{What: "Stack of 4.5 + 2 + 6 + 0.75 + 0.5 under 19 in: spare above", Got: func() float64 { return s.Fits().RoomUp }, Want: 5.25, Tol: 1e-12, Unit: "in", Source: "19 - 13.75", Provenance: check.Exact},
		{What: "Same, least nose to table", Got: func() float64 { return s.Fits().Low }, Want: 13.75, Tol: 1e-12, Unit: "in", Source: "4.5 + 2 + 6 + 0.75 + 0.5", Provenance: check.Exact},
		{What: "Same, most nose to table with 5 in of quill", Got: func() float64 { return s.Fits().High }, Want: 16.3, Tol: 1e-12, Unit: "in", Source: "4.5 + 8 - 1.2 + 5", Provenance: check.Exact},
		{What: "Same, spare quill", Got: func() float64 { return s.Fits().Quill }, Want: 2.55, Tol: 1e-12, Unit: "in", Source: "5 - (1.2 + 0.75 + 0.5)", Provenance: check.Exact},
		{What: "Part 6 in taller: short above by", Got: func() float64 { return -shut.Fits().RoomUp }, Want: .75, Tol: 1e-12, Unit: "in", Source: "19.75 - 19", Provenance: check.Exact},
		{What: "Knee fed: nose to table at depth", Got: func() float64 { return knee.Fits().Low }, Want: 11.3, Tol: 1e-12, Unit: "in", Source: "4.5 + 8 - 1.2", Provenance: check.Exact},
		{What: "Head tilted 60 degrees, arm 10 in: nose rises", Got: func() float64 { _, z := Tilt(10, 60); return z }, Want: 5, Tol: 1e-12, Unit: "in", Source: "10 (1 - cos 60)", Provenance: check.Exact},
	}
}

func foulChecks() []check.Check {
	gap := func(b Box, h Head, s Sweep) func() float64 {
		return func() float64 { return Between(b, h, s) }
	}
	post := Box{"post", 3, 4, 4, 5, 0, 10}
	still := Sweep{}
	const space = "School exercise with printed answer, distance of two points in space: "
	const circle = "Exercise with printed answer, shortest distance from a point to a circle"
	// round is how far a corner stands from a round head at zero.
	round := func(x, y, r float64) func() float64 {
		return gap(Box{"corner", x, x, y, y, 0, 1}, Head{Round: true, Radius: r, Z2: 1}, still)
	}
	// points is the distance of a corner from a head without size.
	points := func(x, y, z, u, v, w float64) func() float64 {
		return gap(Box{"corner", x, x, y, y, z, z}, Head{Round: true}, Sweep{u, u, v, v, w, w})
	}
	return []check.Check{
		{What: "Corner of a post 3, 4 from the spindle, round of radius 2", Got: gap(post, Head{Round: true, Radius: 2, Z2: 1}, still), Want: 3, Tol: 1e-12, Unit: "in", Source: "3-4-5 triangle: 5 - 2", Provenance: check.Exact},
		{What: "Same, round of radius 6: fouls", Got: gap(post, Head{Round: true, Radius: 6, Z2: 1}, still), Want: -1, Tol: 1e-12, Unit: "in", Source: "5 - 6", Provenance: check.Exact},
		{What: "Same, spindle run 3 to the right, radius 2", Got: gap(post, Head{Round: true, Radius: 2, Z2: 1}, Sweep{X2: 3}), Want: 2, Tol: 1e-12, Unit: "in", Source: "4 - 2", Provenance: check.Exact},
		{What: "Stud end 1/2 in under the cutter body", Got: gap(Box{"stud", -1, 1, -1, 1, 0, 5.5}, Head{Round: true, Radius: 3, Z2: 2}, Sweep{Z1: 6, Z2: 6}), Want: .5, Tol: 1e-12, Unit: "in", Source: "6 - 5.5", Provenance: check.Exact},
		{What: "3 under and 4 aside: straight-line distance", Got: gap(Box{"wall", 6, 8, -1, 1, 0, 3}, Head{Round: true, Radius: 2, Z2: 2}, Sweep{Z1: 6, Z2: 6}), Want: 5, Tol: 1e-12, Unit: "in", Source: "3-4-5 triangle", Provenance: check.Exact},
		{What: "Corner at (-2, 1, 3), edge at (2, -3, 1): distance", Got: points(-2, 1, 3, 2, -3, 1), Want: 6, Tol: 1e-12, Unit: "", Source: space + "(-2, 1, 3) and (2, -3, 1)", Provenance: check.Published},
		{What: "Corner at (3, 2, -1), edge at (5, -1, 6): distance", Got: points(3, 2, -1, 5, -1, 6), Want: 7.874, Tol: .0005, Unit: "", Source: space + "(3, 2, -1) and (5, -1, 6)", Provenance: check.Published},
		{What: "Corner at (5, 12) from the spindle, round of radius 3", Got: round(5, 12, 3), Want: 10, Tol: 1e-12, Unit: "", Source: circle, Provenance: check.Published},
		{What: "Corner at (35, 42), spindle at (4, 6), round of radius 5", Got: round(31, 36, 5), Want: 42.5079, Tol: .00005, Unit: "", Source: circle, Provenance: check.Published},
		{What: "Corner at (4, 5), round of radius 3", Got: round(4, 5, 3), Want: math.Sqrt(41) - 3, Tol: 1e-12, Unit: "", Source: circle, Provenance: check.Published},
		{What: "Corner of an 8 by 6 part turned about its middle", Got: func() float64 { return Swept(-4, 4, -3, 3, 0, 0) }, Want: 5, Tol: 1e-12, Unit: "in", Source: "3-4-5 triangle", Provenance: check.Exact},
		{What: "Corner of a 24 by 10 part turned about its end", Got: func() float64 { return Swept(0, 24, -5, 5, 0, 0) }, Want: math.Sqrt(601), Tol: 1e-12, Unit: "in", Source: "sqrt(24^2 + 5^2)", Provenance: check.Exact},
	}
}
