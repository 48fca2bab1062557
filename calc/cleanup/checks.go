//go:build !js

package cleanup

import (
	"math"

	"datumbook/calc/check"
)

// Checks gives what the worksheets of this room were checked against.
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

// bore is a 2 in bore touched at the four quarters of a rough hole that is
// round, 1.8 in, and out by (.03, -.02).
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

func checks() []check.Check {
	const lp = "Linear programme of first order in the turn, block 10 x 6 in, solved by a separate program"
	of := func(a Ask, get func(r Result) float64) func() float64 {
		return func() float64 { r, _, _ := Solve(a); return get(r) }
	}
	least := func(r Result) float64 { return r.Least }
	return []check.Check{
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
