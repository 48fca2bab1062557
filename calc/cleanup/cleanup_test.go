//go:build !js

package cleanup

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestBlock(t *testing.T) {
	r, f, _ := Solve(block("xyc"))
	require.Equal(t, Fine, f)
	assert.InDelta(t, .105, r.Least, 2e-5)
	assert.InDelta(t, .05, r.Laid, 1e-12)
	for j, want := range []float64{.105, .175, .215, .105, .105, .165, .185, .105} {
		assert.InDelta(t, want, r.Stocks[j].Best, 1e-4, "%d", j)
	}
	assert.InDelta(t, .010, r.Move.Shift[0], 2e-4) // the reference is of first order in the turn
	assert.InDelta(t, .045, r.Move.Shift[1], 1e-4)
	assert.InDelta(t, -.0025, r.Move.Angle[2], 1e-5)
	assert.True(t, r.Cleans)
	r, f, _ = Solve(block("xy"))
	require.Equal(t, Fine, f)
	assert.InDelta(t, .095, r.Least, 1e-9)
	assert.InDelta(t, .195, r.Most, 1e-9)
}

// worst is the least spare at a move, found without the package's own measuring.
func worst(a Ask, shift, w [3]float64) float64 {
	rot := rotation(w)
	low := math.Inf(1)
	for _, t := range a.Touches {
		f := a.Features[t.Feature]
		// The feature moves: its point and its direction.
		at := apply(&rot, sub(f.At, a.Pivot))
		for k := range at {
			at[k] += a.Pivot[k] + shift[k]
		}
		n := apply(&rot, f.Dir)
		q := sub(t.P, at)
		h := dot(n, q)
		r := math.Sqrt(max(0, dot(q, q)-h*h))
		s := 0.0
		switch f.Kind {
		case Face:
			s = h
		case Wall:
			s = -h
		case Bore:
			s = f.Radius - r
		default:
			s = r - f.Radius
		}
		low = min(low, s-f.Need)
	}
	return low
}

// drawn draws a box with a bore, its rough touched off at random.
func drawn(t *rapid.T) Ask {
	a := Ask{Pivot: [3]float64{5, 3, 2}, MaxTurn: .05, MaxShift: 1, Free: [6]bool{true, true, true, true, true, true}}
	size := [3]float64{10, 6, 4}
	num := func(what string) float64 { return rapid.Float64Range(-.1, .3).Draw(t, what) }
	for k := range 3 {
		for _, side := range []float64{-1, 1} {
			f := Feature{Kind: Face}
			f.Dir[k] = side
			if side > 0 {
				f.At[k] = size[k]
			}
			a.Features = append(a.Features, f)
			for i := range 4 {
				p := [3]float64{1, 1, 1}
				u, v := (k+1)%3, (k+2)%3
				if i%2 == 1 {
					p[u] = size[u] - 1
				}
				if i/2 == 1 {
					p[v] = size[v] - 1
				}
				p[k] = f.At[k] + side*num("stock")
				a.Touches = append(a.Touches, Touch{len(a.Features) - 1, p})
			}
		}
	}
	a.Features = append(a.Features, Feature{Kind: Bore, At: [3]float64{5, 3, 0}, Dir: [3]float64{0, 0, 1}, Radius: 1.5, Need: .01})
	for i := range 6 {
		r := 1.5 - num("bore")
		th := float64(i) * math.Pi / 3
		a.Touches = append(a.Touches, Touch{6, [3]float64{5 + r*math.Cos(th), 3 + r*math.Sin(th), 1 + float64(i%3)}})
	}
	return a
}

// TestBrute: nothing found by random descent on the exact geometry betters the
// answer, and the answer is what it says.
func TestBrute(t *testing.T) {
	settled, proved := 0, 0
	defer func() {
		assert.GreaterOrEqual(t, float64(proved), .9*float64(settled), "nine castings in ten come with their proof")
	}()
	rapid.Check(t, func(t *rapid.T) {
		a := drawn(t)
		r, f, _ := Solve(a)
		require.Equal(t, Fine, f)
		require.InDelta(t, worst(a, r.Move.Shift, r.Move.Angle), r.Least, 1e-9)
		require.GreaterOrEqual(t, r.Least, r.Laid-2e-6)
		// The proof: the shares' sum of what is spare is the answer, and no small
		// move changes it.
		sum, spare, grad := 0.0, 0.0, [6]float64{}
		for _, s := range r.Stocks {
			sum += s.Share
			spare += s.Share * s.Spare
			for k := range grad {
				grad[k] += s.Share * s.grad[k]
			}
		}
		require.InDelta(t, 1, sum, 1e-9)
		if !r.Limit {
			settled++
		}
		if r.Proved {
			proved++
			require.InDelta(t, r.Least, spare, 1e-5)
			for k := range grad {
				require.InDelta(t, 0, grad[k], 5e-3, "%v", grad)
			}
		}
		state := rapid.Uint32().Draw(t, "seed") | 1
		rnd := func() float64 { state = state*1664525 + 1013904223; return float64(state>>8)/(1<<23) - 1 }
		for _, from := range [][6]float64{{}, {r.Move.Shift[0], r.Move.Shift[1], r.Move.Shift[2], r.Move.Angle[0], r.Move.Angle[1], r.Move.Angle[2]}} {
			x := from
			try := func(y [6]float64) float64 {
				return worst(a, [3]float64{y[0], y[1], y[2]}, [3]float64{y[3], y[4], y[5]})
			}
			v, step := try(x), .1
			for step > 5e-4 {
				better := false
				for range 60 {
					y := x
					for k := range y {
						d := step * rnd()
						if k > 2 {
							d /= 5
						}
						y[k] += d
					}
					if w := try(y); w > v && math.Abs(y[3]) < .05 && math.Abs(y[4]) < .05 && math.Abs(y[5]) < .05 {
						x, v, better = y, w, true
					}
				}
				if !better {
					step /= 2
				}
			}
			// To two tenths of a thou, far under what a rough casting can be
			// touched to. Where touches lie all but on a bore's axis the search
			// stops short by up to 8e-5 in (measured over thousands of castings);
			// elsewhere it comes to less than 2e-5.
			require.LessOrEqual(t, v, r.Least+2e-4)
		}
	})
}
