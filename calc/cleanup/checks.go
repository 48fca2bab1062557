//go:build !js

package cleanup

import (
	"math"

	"datumbook/calc/check"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof { return []check.Proof{{Sheet: "cleanup", Rows: checks()}} }

// block is a block 10 x 6 in touched at eight places, moved in its plane.
func block(free string) Ask {
	a := Ask{Pivot: [3]float64{5, 3, 0}, MaxTurn: .2, MaxShift: 1}
	for i, c := range "xyzabc" {
		for _, f := range free {
			a.Free[i] = a.Free[i] || f == c
		}
	}
	a.Features = []Feature{
		{Name: "left", Dir: [3]float64{-1, 0, 0}},
		{Name: "right", Dir: [3]float64{1, 0, 0}, At: [3]float64{10, 0, 0}},
		{Name: "bottom", Dir: [3]float64{0, -1, 0}},
		{Name: "top", Dir: [3]float64{0, 1, 0}, At: [3]float64{0, 6, 0}},
	}
	for i, p := range [][2]float64{{-.10, 1}, {-.16, 5}, {10.22, 1}, {10.12, 5}, {1, -.05}, {9, -.13}, {1, 6.24}, {9, 6.14}} {
		a.Touches = append(a.Touches, Touch{i / 2, [3]float64{p[0], p[1], 0}})
	}
	return a
}

// bore is a 2 in bore touched at the four quarters of a rough hole that is round, 1.8 in, and off
// centre by (.03, -.02).
func bore() Ask {
	a := Ask{Free: [6]bool{true, true}, MaxShift: 1, MaxTurn: .1}
	a.Features = []Feature{{Kind: Bore, Dir: [3]float64{0, 0, 1}, Radius: 1}}
	for k := range 4 {
		s, c := math.Sincos(float64(k) * math.Pi / 2)
		a.Touches = append(a.Touches, Touch{0, [3]float64{float64(.9*c) + .03, float64(.9*s) - .02, 0}})
	}
	return a
}

// slab is a slab 2 in thick with one face to cut and .5 in of wall behind it.
func slab(get func(r Result) float64) func() float64 {
	return func() float64 {
		r, _, _ := Solve(Ask{Free: [6]bool{2: true}, MaxShift: 1, MaxTurn: .1,
			Features: []Feature{{Name: "top", Dir: [3]float64{0, 0, 1}, At: [3]float64{0, 0, 2}}, {Name: "wall", Kind: Wall, Dir: [3]float64{0, 0, 1}, At: [3]float64{0, 0, 2}, Need: .5}},
			Touches:  []Touch{{0, [3]float64{1, 1, 2.15}}, {1, [3]float64{1, 1, 1.55}}}})
		return get(r)
	}
}

// triangle is a rough triangle touched on its three sides, and in it a part of
// no size: its sides all lie at the start. The least stock at its best is the
// radius of the inscribed circle, and the shift leads to that circle's middle.
func triangle(a, b, c [2]float64, get func(r Result) float64) func() float64 {
	ask := Ask{Free: [6]bool{true, true}, MaxShift: 50, MaxTurn: .1}
	corner := [][2]float64{a, b, c}
	for i, p := range corner {
		q, o := corner[(i+1)%3], corner[(i+2)%3]
		out := [3]float64{q[1] - p[1], p[0] - q[0], 0}
		out = scale(out, 1/math.Sqrt(dot(out, out)))
		if dot(out, [3]float64{o[0] - p[0], o[1] - p[1], 0}) > 0 {
			out = scale(out, -1)
		}
		ask.Features = append(ask.Features, Feature{Dir: out})
		ask.Touches = append(ask.Touches, Touch{i, [3]float64{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2, 0}})
	}
	return func() float64 { r, _, _ := Solve(ask); return get(r) }
}

func checks() []check.Check {
	const lp = "Linear programme of first order in the turn, block 10 x 6 in, solved by a separate program"
	of := func(a Ask, get func(r Result) float64) func() float64 {
		return func() float64 { r, _, _ := Solve(a); return get(r) }
	}
	least := func(r Result) float64 { return r.Least }
	along := func(k int) func(r Result) float64 { return func(r Result) float64 { return r.Move.Shift[k] } }
	type xy = [2]float64
	const (
		school = "School exercise with printed answer, circle in the triangle of "
		help   = "Help of a mathematics program, worked example, circle in the triangle of "
	)
	return []check.Check{
		{What: "Part of no size in a rough triangle of sides 13, 14 and 15: least stock", Got: triangle(xy{}, xy{14, 0}, xy{5, 12}, least), Want: 4, Tol: 1e-6, Source: school + "sides 13, 14, 15", Provenance: check.Published},
		{What: "The same in a triangle of (-36, 7), (20, 7), (0, -8): shift in X", Got: triangle(xy{-36, 7}, xy{20, 7}, xy{0, -8}, along(0)), Want: -1, Tol: 1e-5, Source: school + "(-36, 7), (20, 7), (0, -8): middle (-1, 0)", Provenance: check.Published},
		{What: "The same in a triangle of (7, -36), (7, -20), (-8, 0): shift in Y", Got: triangle(xy{7, -36}, xy{7, -20}, xy{-8, 0}, along(1)), Want: -21, Tol: 1e-5, Source: school + "(7, -36), (7, -20), (-8, 0): middle (4, -21)", Provenance: check.Published},
		{What: "The same in a triangle of (0, 0), (2, 0), (1, 3): least stock", Got: triangle(xy{}, xy{2, 0}, xy{1, 3}, least), Want: 3 / (math.Sqrt(10) + 1), Tol: 1e-7, Source: help + "(0, 0), (2, 0), (1, 3): radius 3/(root of 10 + 1)", Provenance: check.Published},
		{What: "The same in a triangle of (0, 0), (3, 0), (0, 5): shift in X", Got: triangle(xy{}, xy{3, 0}, xy{0, 5}, along(0)), Want: 1.08, Tol: .005, Source: help + "(0, 0), (3, 0), (0, 5): middle 1.08, 1.08", Provenance: check.Published},
		{What: "Block of eight touches as laid out, least stock", Got: of(block("xyc"), func(r Result) float64 { return r.Laid }), Want: .05, Tol: 1e-9, Unit: "in", Source: lp, Provenance: check.Independent},
		{What: "Block, shift alone: least stock", Got: of(block("xy"), least), Want: .095, Tol: 1e-8, Unit: "in", Source: lp, Provenance: check.Independent},
		{What: "Block, shift alone: shift in Y", Got: of(block("xy"), func(r Result) float64 { return r.Move.Shift[1] }), Want: .045, Tol: 1e-6, Unit: "in", Source: lp, Provenance: check.Independent},
		{What: "Block, shift and turn: least stock", Got: of(block("xyc"), least), Want: .105, Tol: 2e-5, Unit: "in", Source: lp, Provenance: check.Independent},
		{What: "Block, shift and turn: turn", Got: of(block("xyc"), func(r Result) float64 { return r.Move.Angle[2] * 180 / math.Pi }), Want: -.14324, Tol: 2e-4, Unit: "deg", Source: lp, Provenance: check.Independent},
		{What: "Round rough hole 1.8 in, out of the middle, in a 2 in bore: least stock after the shift", Got: of(bore(), least), Want: .1, Tol: 1e-8, Unit: "in", Source: "By hand: with the axes on each other (2 - 1.8)/2 everywhere", Provenance: check.Exact},
		{What: "The same bore: shift in X", Got: of(bore(), func(r Result) float64 { return r.Move.Shift[0] }), Want: .03, Tol: 1e-6, Unit: "in", Source: "By hand: the shift is the hole's own", Provenance: check.Exact},
		{What: "Face with .15 in of stock over a wall .05 in too thin: stock once the wall is kept", Got: slab(least), Want: .1, Tol: 1e-6, Unit: "in", Source: "By hand: the face moves out by .05 in", Provenance: check.Exact},
	}
}
