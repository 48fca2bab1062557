package fitting

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

func TestMaximise(t *testing.T) {
	rows := []struct {
		name   string
		c      []float64
		a      [][]float64
		b      []float64
		status Status
		value  float64
		x      []float64 // nil when not the only best point
	}{
		{"two limits by hand", []float64{1, 1}, [][]float64{{1, 0}, {0, 1}}, []float64{3, -4}, Optimal, -1, []float64{3, -4}},
		// Hillier and Lieberman's glass example (from memory): 3x + 5y.
		{"glass", []float64{3, 5}, [][]float64{{1, 0}, {0, 2}, {3, 2}, {-1, 0}, {0, -1}}, []float64{4, 12, 18, 0, 0}, Optimal, 36, []float64{2, 6}},
		// Beale 1955 (from memory): the largest-coefficient rule cycles on it;
		// the value 1/20 follows by hand from x3 = 1, x1 = .04.
		{"Beale's cycle", []float64{.75, -150, .02, -6},
			[][]float64{{.25, -60, -.04, 9}, {.5, -90, -.02, 3}, {0, 0, 1, 0}, {-1, 0, 0, 0}, {0, -1, 0, 0}, {0, 0, -1, 0}, {0, 0, 0, -1}},
			[]float64{0, 0, 1, 0, 0, 0, 0}, Optimal, .05, []float64{.04, 0, 1, 0}},
		// Klee and Minty 1972, three unknowns (from memory): 10000 by hand.
		{"Klee and Minty", []float64{100, 10, 1}, [][]float64{{1, 0, 0}, {20, 1, 0}, {200, 20, 1}, {-1, 0, 0}, {0, -1, 0}, {0, 0, -1}},
			[]float64{1, 100, 10000, 0, 0, 0}, Optimal, 10000, []float64{0, 0, 10000}},
		{"equality both ways", []float64{1, -1}, [][]float64{{1, 1}, {-1, -1}, {1, -1}}, []float64{2, -2, 1}, Optimal, 1, []float64{1.5, .5}},
		{"quarrel", []float64{1}, [][]float64{{1}, {-1}}, []float64{1, -2}, Infeasible, 0, nil},
		{"impossible row of zeros", []float64{1, 0}, [][]float64{{1, 0}, {0, 0}}, []float64{1, -1}, Infeasible, 0, nil},
		{"idle row of zeros", []float64{1, 0}, [][]float64{{1, 0}, {0, 0}}, []float64{1, 1}, Optimal, 1, []float64{1, 0}},
		{"no limit", []float64{1, 1}, [][]float64{{1, -1}}, []float64{1}, Unbounded, 0, nil},
		{"no limits at all", []float64{0, 1}, nil, nil, Unbounded, 0, nil},
		{"nothing to gain, no limits", []float64{0, 0}, nil, nil, Optimal, 0, []float64{0, 0}},
		{"unknown that does not matter", []float64{1, 0}, [][]float64{{1, 0}}, []float64{7}, Optimal, 7, []float64{7, 0}},
		{"half a strip", []float64{0, 1}, [][]float64{{1, 0}, {-1, 0}}, []float64{1, 1}, Unbounded, 0, nil},
		{"quarrel wins over no limit", []float64{0, 1}, [][]float64{{1, 0}, {-1, 0}}, []float64{1, -2}, Infeasible, 0, nil},
		{"same limit three times", []float64{1, 2}, [][]float64{{1, 1}, {1, 1}, {2, 2}, {-1, 0}}, []float64{1, 1, 2, 0}, Optimal, 2, []float64{0, 1}},
		{"a hair of a coefficient", []float64{1}, [][]float64{{1}, {1e-309}}, []float64{1, 1}, Optimal, 1, []float64{1}},
		{"far limit beside near ones", []float64{1}, [][]float64{{1}, {8.5e-14}}, []float64{1, 1}, Optimal, 1, []float64{1}},
		{"units far apart", []float64{1e-6, 1e6}, [][]float64{{1e-6, 0}, {0, 1e6}, {1e-6, 1e6}}, []float64{1, 1, 1.5}, Optimal, 1.5, nil},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			o, err := Maximise(r.c, r.a, r.b)
			require.NoError(t, err)
			require.Equal(t, r.status, o.Status)
			if r.status == Optimal {
				assert.InDelta(t, r.value, o.Value, 1e-12*(1+math.Abs(r.value)))
			}
			if r.x != nil {
				assert.InDeltaSlice(t, r.x, o.X, 1e-12*(1+largest(r.x)))
			}
			prices(t, r.c, r.a, r.b, o)
		})
	}
}

// prices checks an answer against the theory of duals: which alone proves an optimum or
// infeasibility.
func prices(t require.TestingT, c []float64, a [][]float64, b []float64, o Optimum) {
	if o.Status == Unbounded {
		require.Nil(t, o.Duals)
		return
	}
	require.Len(t, o.Duals, len(b))
	down := make([]float64, len(c)) // A' y
	by := 0.0
	for i, y := range o.Duals {
		require.GreaterOrEqual(t, y, 0.0)
		by += b[i] * y
		for j := range c {
			down[j] += a[i][j] * y
		}
	}
	if o.Status == Infeasible {
		for j := range down {
			require.InDelta(t, 0, down[j], 1e-8)
		}
		require.Less(t, by, 0.0)
		return
	}
	tol := 1e-8 * (1 + largest(c))
	for j := range c {
		require.InDelta(t, c[j], down[j], tol)
	}
	require.InDelta(t, o.Value, by, 1e-8*(1+math.Abs(o.Value)))
	for i, s := range o.Slack {
		require.GreaterOrEqual(t, s, -1e-8*(largest(a[i])+math.Abs(b[i])))
		require.InDelta(t, 0, s*o.Duals[i], 1e-7*(1+math.Abs(o.Value)))
	}
}

// TestMaximiseEvenStock is the layout problem on a plane: a block 10 by 6, its
// rough sides measured at eight points, moved and turned about its middle so
// that the least stock is greatest. Answer from another solver.
func TestMaximiseEvenStock(t *testing.T) {
	var a [][]float64
	var b []float64
	side := func(x, y, nx, ny, at float64) {
		a = append(a, []float64{nx, ny, ny*(x-5) - nx*(y-3), 1})
		b = append(b, nx*x+ny*y-at)
	}
	side(-.10, 1, -1, 0, 0)
	side(-.16, 5, -1, 0, 0)
	side(10.22, 1, 1, 0, 10)
	side(10.12, 5, 1, 0, 10)
	side(1, -.05, 0, -1, 0)
	side(9, -.13, 0, -1, 0)
	side(1, 6.24, 0, 1, 6)
	side(9, 6.14, 0, 1, 6)
	o, err := Maximise([]float64{0, 0, 0, 1}, a, b)
	require.NoError(t, err)
	require.Equal(t, Optimal, o.Status)
	assert.InDeltaSlice(t, []float64{.010, .045, -.0025, .105}, o.X, 1e-12)
	sum := 0.0
	for _, y := range o.Duals {
		sum += y
	}
	assert.InDelta(t, 1, sum, 1e-12) // the shortage is shared out whole
	prices(t, []float64{0, 0, 0, 1}, a, b, o)
}

// box draws a small program inside -10..10 on each unknown, often degenerate:
// whole numbers make limits meet in one point.
func box(t *rapid.T) (c []float64, a [][]float64, b []float64) {
	n := rapid.IntRange(1, 3).Draw(t, "n")
	num := rapid.Map(rapid.Float64Range(-5, 5), func(v float64) float64 { return math.Round(v*1e9) / 1e9 })
	if rapid.Bool().Draw(t, "whole") {
		num = rapid.Map(rapid.IntRange(-3, 3), func(i int) float64 { return float64(i) })
	}
	row := rapid.SliceOfN(num, n, n)
	c = row.Draw(t, "c")
	for range rapid.IntRange(0, 6).Draw(t, "m") {
		a, b = append(a, row.Draw(t, "a")), append(b, num.Draw(t, "b"))
	}
	for j := range n {
		up, down := make([]float64, n), make([]float64, n)
		up[j], down[j] = 1, -1
		a, b = append(a, up, down), append(b, 10, 10)
	}
	return c, a, b
}

// corners tries every corner: n limits at a time, met exactly.
func corners(c []float64, a [][]float64, b []float64) (best float64, found bool) {
	n := len(c)
	best = math.Inf(-1)
	pick := make([]int, n)
	var walk func(k, from int)
	walk = func(k, from int) {
		if k == n {
			m, r := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
			for i, p := range pick {
				size := largest(a[p]) // or the other solver calls small rows singular
				if size < 1e-30 {
					return
				}
				for j := range n {
					m.Set(i, j, a[p][j]/size)
				}
				r.SetVec(i, b[p]/size)
			}
			var x mat.VecDense
			if x.SolveVec(m, r) != nil {
				return
			}
			for i := range a {
				if mat.Dot(mat.NewVecDense(n, a[i]), &x) > b[i]+1e-8*largest(a[i]) {
					return
				}
			}
			found = true
			best = max(best, mat.Dot(mat.NewVecDense(n, c), &x))
			return
		}
		for i := from; i < len(a); i++ {
			pick[k] = i
			walk(k+1, i+1)
		}
	}
	walk(0, 0)
	return best, found
}

func TestMaximiseAgainstCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, a, b := box(t)
		o, err := Maximise(c, a, b)
		if err != nil {
			t.Fatal(err)
		}
		prices(t, c, a, b, o)
		best, found := corners(c, a, b)
		if found != (o.Status == Optimal) {
			// Too close to call only if the best corner misses by a hair.
			loose := append([]float64(nil), b...)
			for i := range loose {
				loose[i] += 1e-7 * largest(a[i])
			}
			if p, err := Maximise(c, a, loose); err != nil || p.Status != Optimal {
				t.Fatalf("corner found %v, status %v", found, o.Status)
			}
			return
		}
		if found {
			near(t, "value", o.Value, best, 1e-6)
		}
	})
}

func TestMaximiseAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "n")
		m := rapid.IntRange(n+1, 14).Draw(t, "m")
		c := drawn(t, "c", n, 5)
		var a [][]float64
		g := mat.NewDense(m+2*n, n, nil)
		b := make([]float64, 0, m+2*n)
		for i := range m {
			a = append(a, drawn(t, "a", n, 5))
			g.SetRow(i, a[i])
			b = append(b, rapid.Float64Range(.1, 10).Draw(t, "b"))
		}
		for j := range n {
			up, down := make([]float64, n), make([]float64, n)
			up[j], down[j] = 1, -1
			a = append(a, up, down)
			b = append(b, 10, 10)
			g.SetRow(m+2*j, up)
			g.SetRow(m+2*j+1, down)
		}
		o, err := Maximise(c, a, b)
		if err != nil {
			t.Fatal(err)
		}
		if o.Status != Optimal {
			t.Fatalf("status %v with the origin allowed", o.Status)
		}
		prices(t, c, a, b, o)
		minus := make([]float64, n)
		for j := range c {
			minus[j] = -c[j]
		}
		cs, as, bs := lp.Convert(minus, g, b, nil, nil)
		f, _, err := lp.Simplex(cs, as, bs, 1e-12, nil)
		if err != nil {
			return // the other solver gave up; the duals have already proved ours
		}
		near(t, "value", o.Value, -f, 1e-7*(1+math.Abs(f)))
	})
}

// TestMaximiseDuals moves a limit and sees the price paid.
func TestMaximiseDuals(t *testing.T) {
	c := []float64{3, 5}
	a := [][]float64{{1, 0}, {0, 2}, {3, 2}, {-1, 0}, {0, -1}}
	b := []float64{4, 12, 18, 0, 0}
	o, err := Maximise(c, a, b)
	require.NoError(t, err)
	for i := range b {
		moved := append([]float64(nil), b...)
		moved[i] += .125
		m, err := Maximise(c, a, moved)
		require.NoError(t, err)
		assert.InDelta(t, o.Duals[i], (m.Value-o.Value)/.125, 1e-12)
	}
}

func TestMaximiseRefused(t *testing.T) {
	rows := []struct {
		name string
		c    []float64
		a    [][]float64
		b    []float64
		want error
	}{
		{"no unknowns", nil, nil, nil, ErrFew},
		{"limits without sizes", []float64{1}, [][]float64{{1}}, nil, ErrLength},
		{"short row", []float64{1, 2}, [][]float64{{1}}, []float64{1}, ErrLength},
		{"not a number", []float64{1}, [][]float64{{math.NaN()}}, []float64{1}, ErrFinite},
		{"too big", []float64{1}, [][]float64{{1}}, []float64{1e16}, ErrRange},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			_, err := Maximise(r.c, r.a, r.b)
			assert.Truef(t, errors.Is(err, r.want), "got %v, want %v", err, r.want)
		})
	}
	assert.Equal(t, "optimal infeasible unbounded", Optimal.String()+" "+Infeasible.String()+" "+Unbounded.String())
}
