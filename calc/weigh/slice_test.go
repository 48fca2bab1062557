package weigh

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawnBody(t *rapid.T, name string) Body {
	num := func(what string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name+what) }
	axes := []Axis{"", "z", "x", "y", "-x", "-y", "-z"}
	b := Body{Shape: needs[rapid.IntRange(0, len(needs)-1).Draw(t, name+"shape")].shape, A: num("a", 1, 4),
		C: num("c", .5, 3), X: num("x", -2, 2), Y: num("y", -2, 2), Z: num("z", -2, 2),
		Axis: axes[rapid.IntRange(0, len(axes)-1).Draw(t, name+"axis")], Density: num("density", .1, .4)}
	b.B = b.A * num("b", .1, .9)
	return b
}

// A point of a line lies in a body if and only if it lies in one of its chords, along every axis.
func TestChordsByPoints(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := drawnBody(rt, "")
		p := [3]float64{}
		for k := range p {
			p[k] = rapid.Float64Range(-4, 4).Draw(rt, "p")
		}
		axes, sense := b.frame()
		at := [3]float64{b.X, b.Y, b.Z}
		var q [3]float64
		for i, a := range axes {
			q[i] = p[a] - at[a]
		}
		q[2] *= sense
		want := inside(b, q)
		for i := range q { // not within a hair of an edge, where rounding decides
			for _, hair := range []float64{-1e-9, 1e-9} {
				aside := q
				aside[i] += hair
				if inside(b, aside) != want {
					return
				}
			}
		}
		for g := range 3 {
			got := false
			for _, c := range b.chords(g, p, nil) {
				if math.Abs(p[g]-c.lo) < 1e-9 || math.Abs(p[g]-c.hi) < 1e-9 {
					return // on its skin
				}
				got = got || p[g] > c.lo && p[g] < c.hi
			}
			if got != want {
				rt.Fatalf("%v along %d: %v, by the shape %v", b, g, got, want)
			}
		}
	})
}

// Random parts against a count of points: weight and balance.
func TestPartsByCountingPoints(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		list := []Body{{Shape: Box, A: 4, B: 4, C: 3, Z: -1.5, Density: .26}}
		for i := range rapid.IntRange(1, 4).Draw(rt, "n") {
			b := drawnBody(rt, string(rune('a'+i)))
			b.Void = rapid.Bool().Draw(rt, "void")
			list = append(list, b)
		}
		got, f := Weigh(list)
		if f != nil {
			return
		}
		// Points spread evenly over the box (multiples of the powers of 1/1.2207).
		const points = 12000
		weight, moment, volume := 0.0, [3]float64{}, 1.0
		for k := range 3 {
			volume *= got.Top[k] - got.Low[k]
		}
		for n := range points {
			p := [3]float64{}
			for k, a := range []float64{.8191725133961645, .6710436067037893, .5497004779019703} {
				p[k] = got.Low[k] + math.Mod(.5+a*float64(n+1), 1)*(got.Top[k]-got.Low[k])
			}
			w := 0.0
			for _, b := range list {
				axes, sense := b.frame()
				at := [3]float64{b.X, b.Y, b.Z}
				var q [3]float64
				for i, a := range axes {
					q[i] = p[a] - at[a]
				}
				q[2] *= sense
				if inside(b, q) {
					w = max(w, b.Density)
					if b.Void {
						w = 0
					}
				}
			}
			weight += w * volume / points
			for k := range 3 {
				moment[k] += w * volume / points * p[k]
			}
		}
		if math.Abs(weight-got.Weight) > .02*weight+.005*volume*.26 {
			rt.Fatalf("counted %v, worked out %v", weight, got.Weight)
		}
		for k := range 3 {
			if math.Abs(moment[k]/weight-got.Centre[k]) > .03*(got.Top[k]-got.Low[k]) {
				rt.Fatalf("balance %d counted %v, worked out %v", k, moment[k]/weight, got.Centre[k])
			}
		}
	})
}

// What is put in after a cut fills it: body, hole and the same hole's filling weigh what body and
// filling weigh.
func TestCutAndPutBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		base := Body{Shape: Box, A: 4, B: 4, C: 4, Density: .3}
		hole := drawnBody(rt, "")
		hole.Density = .3
		cut := hole
		cut.Void = true
		whole, f := Weigh([]Body{base, hole})
		require.Nil(rt, f)
		back, f := Weigh([]Body{base, cut, hole})
		require.Nil(rt, f)
		assert.InDelta(rt, whole.Weight, back.Weight, 2e-3*whole.Weight)
		twice, f := Weigh([]Body{base, cut, cut})
		if f == nil {
			once, _ := Weigh([]Body{base, cut})
			assert.InDelta(rt, once.Weight, twice.Weight, 1e-9)
		}
	})
}
