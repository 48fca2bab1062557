package fitting

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	line := func(x, y, w []float64) error { _, err := FitLine(x, y, w); return err }
	wave := func(x, y []float64, second bool) error { _, err := FitHarmonic(x, y, second); return err }
	plane := func(w []float64, p ...Point3) error { _, err := FitPlane(p, w); return err }
	sum := func(x ...float64) error { _, err := Summarise(x); return err }
	type f = []float64
	rows := []struct {
		name string
		err  error
		want error
	}{
		{"line: one point", line(f{1}, f{1}, nil), ErrFew},
		{"line: none", line(nil, nil, nil), ErrFew},
		{"line: lengths", line(f{1, 2}, f{1}, nil), ErrLength},
		{"line: weights' length", line(f{1, 2}, f{1, 2}, f{1}), ErrLength},
		{"line: one station", line(f{3, 3, 3}, f{1, 2, 3}, nil), ErrSpread},
		{"line: stations a rounding apart", line(f{1e6, 1e6 + 1e-9}, f{1, 2}, nil), ErrSpread},
		{"line: not a number", line(f{1, nan}, f{1, 2}, nil), ErrFinite},
		{"line: infinite", line(f{1, 2}, f{1, inf}, nil), ErrFinite},
		{"line: too big", line(f{1, 2}, f{1, 1e91}, nil), ErrRange},
		{"line: no weight", line(f{1, 2}, f{1, 2}, f{1, 0}), ErrWeight},
		{"line: weight below zero", line(f{1, 2}, f{1, 2}, f{1, -1}), ErrWeight},
		{"line: weight not a number", line(f{1, 2}, f{1, 2}, f{1, nan}), ErrFinite},
		{"wave: two readings", wave(f{0, 1}, f{0, 1}, false), ErrFew},
		{"wave: four readings and a second", wave(f{0, 1, 2, 3}, f{0, 1, 2, 3}, true), ErrFew},
		{"wave: angle a turn away", wave(f{0, 1, 1 + 2*math.Pi}, f{0, 1, 2}, false), ErrSpread},
		{"wave: four angles and a second", wave(f{0, 1, 2, 3, 3}, f{0, 1, 2, 3, 4}, true), ErrSpread},
		{"wave: angle in the millions", wave(f{0, 1, 2e6}, f{0, 1, 2}, false), ErrRange},
		{"plane: two points", plane(nil, Point3{}, Point3{1, 1, 1}), ErrFew},
		{"plane: in a line along x", plane(nil, Point3{0, 5, 0}, Point3{1, 5, 0}, Point3{2, 5, 1}), ErrSpread},
		{"plane: in a slanting line", plane(nil, Point3{0, .1, 0}, Point3{1, .4, 0}, Point3{2, .7, 1}), ErrSpread},
		{"plane: one above another", plane(nil, Point3{1, 1, 0}, Point3{1, 1, 1}, Point3{1, 1, 2}), ErrSpread},
		{"plane: weight", plane(f{1, 1, 0}, Point3{}, Point3{1, 0, 0}, Point3{0, 1, 0}), ErrWeight},
		{"plane: infinite", plane(nil, Point3{}, Point3{inf, 0, 0}, Point3{0, 1, 0}), ErrFinite},
		{"mean: none", sum(), ErrFew},
		{"mean: not a number", sum(1, nan), ErrFinite},
		{"mean: too big", sum(1, -1e91), ErrRange},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			assert.Truef(t, errors.Is(r.err, r.want), "got %v, want %v", r.err, r.want)
		})
	}
}

// TestNothingWild gives every fit any numbers at all: none may panic, every
// refusal must be an Error, and no answer may hold a NaN or an infinity.
func TestNothingWild(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := wild()
		if rapid.Bool().Draw(t, "tame") {
			num = tame()
		}
		n := rapid.IntRange(0, 7).Draw(t, "n")
		list := func(name string) []float64 { return rapid.SliceOfN(num, n, n).Draw(t, name) }
		x, y, z := list("x"), list("y"), list("z")
		var w []float64
		if rapid.Bool().Draw(t, "weighted") {
			w = rapid.SliceOfN(rapid.OneOf(rapid.Float64Range(1e-30, 1e30), rapid.SampledFrom([]float64{1, 1e-30, 1e30})), n, n).Draw(t, "w")
		}
		good := func(what string, err error, v ...float64) {
			if err != nil {
				var e Error
				if !errors.As(err, &e) {
					t.Fatalf("%s: %v is not an Error", what, err)
				}
				return
			}
			if !finite(v...) {
				t.Fatalf("%s: not finite: %v", what, v)
			}
		}
		left := func(s Scatter) []float64 { return append(s.Residuals, s.SD, s.Low, s.High, s.Range()) }

		l, err := FitLine(x, y, w)
		good("line", err, append(left(l.Scatter), l.Intercept, l.Slope, l.MeanX, l.MeanY, l.InterceptErr, l.SlopeErr, l.InterceptUnit, l.SlopeUnit, l.R, l.At(1), l.UnitAt(1))...)
		h, err := FitHarmonic(x, y, rapid.Bool().Draw(t, "second"))
		good("wave", err, append(left(h.Scatter), h.C, h.A, h.B, h.A2, h.B2, h.CErr, h.AErr, h.BErr, h.A2Err, h.B2Err, h.CUnit, h.AUnit, h.BUnit, h.A2Unit, h.B2Unit, h.Amplitude(), h.Amplitude2(), h.Direction(), h.At(1))...)
		p2, p3, to2 := make([]Point, n), make([]Point3, n), make([]Point, n)
		for i := range x {
			p2[i], to2[i] = Point{x[i], y[i]}, Point{y[i], z[i]}
			p3[i] = Point3{x[i], y[i], z[i]}
		}
		p, err := FitPlane(p3, w)
		good("plane", err, append(left(p.Scatter), p.P, p.Q, p.R, p.PErr, p.QErr, p.RErr, p.PUnit, p.QUnit, p.RUnit, p.MeanX, p.MeanY, p.MeanZ)...)
		c, err := FitCircle(p2)
		good("circle", err, append(left(c.Scatter), c.X, c.Y, c.R, c.XErr, c.YErr, c.RErr, c.CentreErr, c.XUnit, c.YUnit, c.RUnit, c.CentreUnit, c.Arc, c.Form())...)
		if err == nil && (c.R <= 0 || c.Arc < 0 || c.Arc > 2*math.Pi) {
			t.Fatalf("circle: radius %g, arc %g", c.R, c.Arc)
		}
		r, err := FitRigid(p2, to2)
		good("rigid", err, r.Cos, r.Sin, r.DX, r.DY, r.Stretch, r.SD, r.Worst, r.AngleErr, r.AngleUnit, r.CentreErr, r.CentreUnit, r.Angle(), r.Map(Point{}).X, r.Back(Point{}).Y)
		m, err := Summarise(x)
		good("mean", err, m.Mean, m.SD, m.MeanErr, m.Low, m.High)
		if n > 1 {
			o, err := Maximise(x[:2], [][]float64{y[:2], z[:2], {1, 0}, {-1, 0}, {0, 1}, {0, -1}}, []float64{x[1], z[0], 1, 1, 1, 1})
			good("program", err, append(append(append(o.X, o.Duals...), o.Slack...), o.Value)...)
		}
		if n > 0 {
			v, err := NormalQuantile(x[0])
			good("normal", err, v)
			v, err = StudentQuantile(x[0], y[0])
			good("student", err, v)
			v, err = studentCDF(x[0], y[0])
			good("student part", err, v)
			if err == nil && (v < 0 || v > 1) {
				t.Fatalf("part %g", v)
			}
		}
	})
}

// TestSameTwice: no fit changes what it is given, and the same readings give the
// same bits.
func TestSameTwice(t *testing.T) {
	x, y := append([]float64(nil), norrisX...), append([]float64(nil), norrisY...)
	w := make([]float64, len(x))
	for i := range w {
		w[i] = 1 + float64(i%3)
	}
	run := func() []any {
		l, _ := FitLine(x, y, w)
		h, _ := FitHarmonic(x, y, true)
		c, _ := FitCircle(fiveNearTwo)
		o, _ := Maximise([]float64{3, 5}, [][]float64{{1, 0}, {0, 2}, {3, 2}}, []float64{4, 12, 18})
		return []any{l, h, c, o}
	}
	assert.Equal(t, run(), run())
	assert.Equal(t, norrisX, x)
	assert.Equal(t, norrisY, y)
}
