package fitting

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/optimize"
	"pgregory.net/rapid"
)

func TestCircle3(t *testing.T) {
	rows := []struct {
		name    string
		p       [3]Point
		x, y, r float64
	}{
		// Equal distances by hand: (2,1) to each point is sqrt 5.
		{"scalene", [3]Point{{0, 0}, {4, 0}, {1, 3}}, 2, 1, math.Sqrt(5)},
		// Thales: a right angle stands on a diameter.
		{"right angle", [3]Point{{0, 0}, {3, 0}, {0, 4}}, 1.5, 2, 2.5},
		{"quarter points", [3]Point{{1, 0}, {0, 1}, {-1, 0}}, 0, 0, 1},
		// Pythagorean points on a radius of 65 about (100, -40).
		{"whole numbers", [3]Point{{100 + 63, -40 + 16}, {100 - 33, -40 + 56}, {100 + 25, -40 - 60}}, 100, -40, 65},
		// Sagitta 1e-4 on a chord of 2: r = (1 + s^2)/(2 s).
		{"shallow", [3]Point{{-1, 0}, {0, 1e-4}, {1, 0}}, 0, 1e-4 - (1+1e-8)/2e-4, (1 + 1e-8) / 2e-4},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			c, err := FitCircle(r.p[:])
			require.NoError(t, err)
			tol := 1e-12 * r.r * r.r
			assert.InDelta(t, r.x, c.X, tol)
			assert.InDelta(t, r.y, c.Y, tol)
			assert.InDelta(t, r.r, c.R, tol)
			assert.Less(t, c.Form(), tol)
			assert.Zero(t, c.Free)
		})
	}
}

var fiveNearTwo = []Point{{2.001, 0}, {0, 1.999}, {-2.0005, 0}, {0, -2.0}, {1.4142, 1.4150}}

func TestCircleFive(t *testing.T) {
	c, err := FitCircle(fiveNearTwo)
	require.NoError(t, err)
	// No published source: the same sum minimised separately by a general solver.
	assert.InDelta(t, .00037096, c.X, 5e-9)
	assert.InDelta(t, -.00037894, c.Y, 5e-9)
	assert.InDelta(t, 2.00021052, c.R, 5e-9)
	assert.InDelta(t, .00149, c.Form(), 5e-6)
	assert.InDelta(t, 270*deg, c.Arc, .002) // from the bottom up through the right to the left
}

// gonumCircle minimises the same sum by gonum's Nelder-Mead and BFGS.
func gonumCircle(p []Point, start Circle) (x, y, r float64) {
	sum := func(v []float64) float64 {
		s := 0.0
		for _, q := range p {
			d := math.Hypot(q.X-v[0], q.Y-v[1]) - v[2]
			s += d * d
		}
		return s
	}
	grad := func(g, v []float64) {
		g[0], g[1], g[2] = 0, 0, 0
		for _, q := range p {
			h := math.Hypot(q.X-v[0], q.Y-v[1])
			d := h - v[2]
			g[0] -= 2 * d * (q.X - v[0]) / h
			g[1] -= 2 * d * (q.Y - v[1]) / h
			g[2] -= 2 * d
		}
	}
	at := []float64{start.X + .05, start.Y - .03, start.R * 1.02}
	res, err := optimize.Minimize(optimize.Problem{Func: sum, Grad: grad}, at,
		&optimize.Settings{GradientThreshold: 1e-11, MajorIterations: 2000}, &optimize.BFGS{})
	if err != nil && res == nil {
		return math.NaN(), 0, 0
	}
	return res.X[0], res.X[1], res.X[2]
}

func TestCircleAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := ringOf(t, rapid.IntRange(4, 16).Draw(t, "n"), 180)
		c, err := FitCircle(p)
		if err != nil {
			t.Fatal(err)
		}
		x, y, r := gonumCircle(p, c)
		near(t, "x", c.X, x, 1e-6)
		near(t, "y", c.Y, y, 1e-6)
		near(t, "r", c.R, r, 1e-6)
	})
}

// ringOf draws n points near a circle of radius 1 to 20, over at least the given
// arc in degrees, up to a fiftieth of the radius off.
func ringOf(t *rapid.T, n int, arc float64) []Point {
	x, y := rapid.Float64Range(-50, 50).Draw(t, "x"), rapid.Float64Range(-50, 50).Draw(t, "y")
	r := rapid.Float64Range(1, 20).Draw(t, "r")
	span := rapid.Float64Range(arc, 360*float64(n-1)/float64(n)).Draw(t, "arc")
	from := rapid.Float64Range(0, 360).Draw(t, "from")
	p := make([]Point, n)
	for i := range p {
		a := (from + span*float64(i)/float64(n-1)) * deg
		d := r * (1 + rapid.Float64Range(-.02, .02).Draw(t, "off"))
		p[i] = Point{x + d*math.Cos(a), y + d*math.Sin(a)}
	}
	return p
}

func TestCircleLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := ringOf(t, rapid.IntRange(4, 20).Draw(t, "n"), 120)
		c, err := FitCircle(p)
		if err != nil {
			t.Fatal(err)
		}
		// At the least sum the residuals are orthogonal to every way of moving.
		var s [3]float64
		for i, e := range c.Residuals {
			dx, dy := p[i].X-c.X, p[i].Y-c.Y
			d := math.Hypot(dx, dy)
			near(t, "residual", e, d-c.R, 1e-12*(100+c.R))
			s[0], s[1], s[2] = s[0]+e*dx/d, s[1]+e*dy/d, s[2]+e
		}
		for k := range s {
			near(t, "orthogonal", s[k], 0, 1e-11*(1+c.R))
		}
		// Moving, turning and scaling the points does the same to the circle.
		turn := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn")
		scale := rapid.Float64Range(.1, 10).Draw(t, "scale")
		cs, sn := scale*math.Cos(turn), scale*math.Sin(turn)
		move := func(v Point) Point { return Point{cs*v.X - sn*v.Y + 30, sn*v.X + cs*v.Y - 70} }
		q := make([]Point, len(p))
		for i := range p {
			q[i] = move(p[i])
		}
		g, err := FitCircle(q)
		if err != nil {
			t.Fatal(err)
		}
		tol := 1e-9 * scale * (1 + c.R)
		m := move(Point{c.X, c.Y})
		near(t, "x", g.X, m.X, tol)
		near(t, "y", g.Y, m.Y, tol)
		near(t, "r", g.R, scale*c.R, tol)
		near(t, "form", g.Form(), scale*c.Form(), tol)
		near(t, "arc", g.Arc, c.Arc, 1e-9)
		near(t, "centre unit", g.CentreUnit, c.CentreUnit, 1e-6*c.CentreUnit)
		if c.CentreUnit < max(c.XUnit, c.YUnit)*(1-1e-12) {
			t.Fatalf("worst direction %g is better than an axis", c.CentreUnit)
		}
	})
}

// TestCircleArcs: on a short arc the centre is known about as well as
// u/(1 - cos(half arc)): the usual rule. The law here is that CentreUnit falls
// as the arc grows, and that the rule is right within a factor of three.
func TestCircleArcs(t *testing.T) {
	last := math.Inf(1)
	for arc := 20.0; arc <= 320; arc += 20 {
		var p []Point
		for i := range 9 {
			a := arc * (float64(i)/8 - .5) * deg
			p = append(p, Point{10 * math.Cos(a), 10 * math.Sin(a)})
		}
		c, err := FitCircle(p)
		require.NoError(t, err)
		assert.InDelta(t, arc*deg, c.Arc, 1e-6)
		assert.Less(t, c.CentreUnit, last)
		last = c.CentreUnit
		if arc <= 90 {
			rule := 1 / (1 - math.Cos(arc/2*deg))
			assert.InDelta(t, 1, c.CentreUnit/rule, .67, "arc %g", arc)
		}
	}
	assert.InDelta(t, math.Sqrt(2.0/9), last, 1e-9) // evenly all round: sqrt(2/N)
}

// TestCircleUnit moves each point along its radius and adds the squares.
func TestCircleUnit(t *testing.T) {
	p := []Point{{10, 0}, {8, 6}, {0, 10}, {-6, 8}, {6, -8}}
	c, err := FitCircle(p)
	require.NoError(t, err)
	const h = 1e-5
	var x, y, r float64
	for i := range p {
		moved := append([]Point(nil), p...)
		moved[i] = Point{p[i].X * (1 + h/10), p[i].Y * (1 + h/10)}
		m, err := FitCircle(moved)
		require.NoError(t, err)
		x += (m.X - c.X) * (m.X - c.X) / h / h
		y += (m.Y - c.Y) * (m.Y - c.Y) / h / h
		r += (m.R - c.R) * (m.R - c.R) / h / h
	}
	agree(t, "x", c.XUnit, math.Sqrt(x), 5)
	agree(t, "y", c.YUnit, math.Sqrt(y), 5)
	agree(t, "r", c.RUnit, math.Sqrt(r), 5)
}

func TestCircleRefused(t *testing.T) {
	rows := []struct {
		name string
		p    []Point
		want error
	}{
		{"two points", []Point{{0, 0}, {1, 1}}, ErrFew},
		{"in a line along x", []Point{{0, 1}, {1, 1}, {2, 1}}, ErrSpread},
		{"in a slanting line", []Point{{0, .1}, {1, .2}, {2, .3}, {3, .4}}, ErrSpread},
		{"nearly in a line", []Point{{-1, 0}, {0, 1e-7}, {1, 0}}, ErrSpread},
		{"one place", []Point{{3, 4}, {3, 4}, {3, 4}, {3, 4}}, ErrSpread},
		{"two places", []Point{{3, 4}, {3, 4}, {1, 4}}, ErrSpread},
		{"two places again", []Point{{3, 4}, {3, 4}, {1, 2}, {1, 2}}, ErrSpread},
		{"straight with a wiggle", []Point{{0, 0}, {1, 1e-3}, {2, -1e-3}, {3, 1e-3}, {4, -1e-3}, {5, 0}}, ErrSpread},
		{"not a number", []Point{{0, 0}, {1, math.NaN()}, {2, 0}}, ErrFinite},
		{"too big", []Point{{0, 0}, {1, 2e90}, {2, 0}}, ErrRange},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			_, err := FitCircle(r.p)
			assert.Truef(t, errors.Is(err, r.want), "got %v, want %v", err, r.want)
		})
	}
}
