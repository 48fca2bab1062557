package fitting

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"
)

// NIST StRD, linear regression, Norris (lower difficulty): 36 observations.
var (
	norrisX = []float64{.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777, 558.2, .4, .6, 775.5, 666.9, 338, 447.5, 11.6, 556, 228.1, 995.8, 887.6, 120.2, .3, .3, 556.8, 339.1, 887.2, 999, 779, 11.1, 118.3, 229.2, 669.1, 448.9, .5}
	norrisY = []float64{.1, 338.8, 118.1, 888, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, .3, .1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998, 888.8, 119.6, .3, .6, 557.6, 339.3, 888, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, .2}
)

func TestLineNorris(t *testing.T) {
	l, err := FitLine(norrisX, norrisY, nil)
	require.NoError(t, err)
	// Certified values.
	agree(t, "B0", l.Intercept, -0.262323073774029, 12)
	agree(t, "B1", l.Slope, 1.00211681802045, 14)
	agree(t, "sd B0", l.InterceptErr, 0.232818234301152, 13)
	agree(t, "sd B1", l.SlopeErr, 0.429796848199937e-03, 13)
	agree(t, "residual sd", l.SD, 0.884796396144373, 13)
	agree(t, "R squared", l.R*l.R, 0.999993745883712, 14)
	assert.Equal(t, 36, l.N)
	assert.Equal(t, 34, l.Free)
}

func TestLineFiveStations(t *testing.T) {
	// Worked by hand: x 0..16 by 4, Sxx = 160, Sxy = .062, mean y .0032.
	l, err := FitLine([]float64{0, 4, 8, 12, 16}, []float64{0, .0015, .0035, .0050, .0060}, nil)
	require.NoError(t, err)
	assert.InDelta(t, .062/160, l.Slope, 1e-17)
	assert.InDelta(t, .0032-8*.062/160, l.Intercept, 1e-17)
	assert.InDeltaSlice(t, []float64{-.0001, -.00015, .0003, .00025, -.0003}, l.Residuals, 1e-16)
	assert.InDelta(t, .0006, l.Range(), 1e-16)
	assert.InDelta(t, math.Sqrt(2.75e-7/3), l.SD, 1e-15)
	assert.InDelta(t, 1/math.Sqrt(160), l.SlopeUnit, 1e-15)
}

func TestLineTwoPoints(t *testing.T) {
	l, err := FitLine([]float64{1, 3}, []float64{2, 8}, nil)
	require.NoError(t, err)
	assert.Equal(t, 3.0, l.Slope)
	assert.Equal(t, -1.0, l.Intercept)
	assert.Zero(t, l.Free)
	assert.Zero(t, l.SlopeErr)
	assert.InDelta(t, math.Sqrt(2)/2, l.SlopeUnit, 1e-15) // difference of two unit errors over 2
}

// TestLineFarFromZero is the reason the fit is centred: sums of squares of x
// near 1e8 hold nothing of a spread of 4.
func TestLineFarFromZero(t *testing.T) {
	x, y := []float64{1e8, 1e8 + 1, 1e8 + 2, 1e8 + 3, 1e8 + 4}, []float64{1, 3, 5, 7, 9}
	l, err := FitLine(x, y, nil)
	require.NoError(t, err)
	assert.Equal(t, 2.0, l.Slope)
	assert.Equal(t, 0.0, l.SD)
	assert.Equal(t, 5.0, l.At(1e8+2))
}

func TestLineAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 40).Draw(t, "n")
		x, y := spreadX(t, n), drawn(t, "y", n, 10)
		w := rapid.SliceOfN(rapid.Float64Range(.1, 10), n, n).Draw(t, "w")
		l, err := FitLine(x, y, w)
		if err != nil {
			t.Fatal(err)
		}
		a, b := stat.LinearRegression(x, y, w, false)
		near(t, "slope", l.Slope, b, 1e-9)
		near(t, "intercept", l.Intercept, a, 1e-8)
		if c := stat.Correlation(x, y, w); finite(c) {
			near(t, "correlation", l.R, c, 1e-9)
		}
	})
}

func TestLineLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 30).Draw(t, "n")
		x, y := spreadX(t, n), drawn(t, "y", n, 10)
		w := rapid.SliceOfN(rapid.Float64Range(.1, 10), n, n).Draw(t, "w")
		l, err := FitLine(x, y, w)
		if err != nil {
			t.Fatal(err)
		}
		// Residuals are orthogonal to 1 and to x.
		s0, s1 := 0.0, 0.0
		for i, e := range l.Residuals {
			s0 += w[i] * e
			s1 += w[i] * e * (x[i] - l.MeanX)
		}
		near(t, "sum of residuals", s0, 0, 1e-10)
		near(t, "residuals against x", s1, 0, 1e-8)
		// Adding a line to the readings adds it to the fit and to nothing else.
		p, q := rapid.Float64Range(-5, 5).Draw(t, "p"), rapid.Float64Range(-5, 5).Draw(t, "q")
		z := make([]float64, n)
		for i := range y {
			z[i] = y[i] + p + q*x[i]
		}
		m, err := FitLine(x, z, w)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "slope", m.Slope, l.Slope+q, 1e-9)
		near(t, "intercept", m.Intercept, l.Intercept+p, 1e-8)
		near(t, "SD", m.SD, l.SD, 1e-8)
		// Two of each reading, or weights doubled, is the same line.
		d, err := FitLine(append(x, x...), append(y, y...), append(w, w...))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "doubled", d.Slope, l.Slope, 1e-9)
		near(t, "doubled unit", d.SlopeUnit, l.SlopeUnit/math.Sqrt2, 1e-9*l.SlopeUnit)
	})
}

// TestLineUnit finds the standard errors a second way: by moving each reading
// in turn and adding the squares of what the answer does (GUM 5.1.2).
func TestLineUnit(t *testing.T) {
	x, y := []float64{1, 2, 4, 7, 11}, []float64{3, 1, 4, 1, 5}
	at := func(l Line) [3]float64 { return [3]float64{l.Slope, l.Intercept, l.At(20)} }
	l, err := FitLine(x, y, nil)
	require.NoError(t, err)
	var sum [3]float64
	for i := range y {
		moved := append([]float64(nil), y...)
		moved[i]++
		m, err := FitLine(x, moved, nil)
		require.NoError(t, err)
		for k := range sum {
			d := at(m)[k] - at(l)[k]
			sum[k] += d * d
		}
	}
	assert.InDelta(t, math.Sqrt(sum[0]), l.SlopeUnit, 1e-14)
	assert.InDelta(t, math.Sqrt(sum[1]), l.InterceptUnit, 1e-14)
	assert.InDelta(t, math.Sqrt(sum[2]), l.UnitAt(20), 1e-14)
}

// spreadX draws n stations no two closer than 1/2.
func spreadX(t *rapid.T, n int) []float64 {
	x := make([]float64, n)
	at := rapid.Float64Range(-50, 50).Draw(t, "start")
	for i := range x {
		x[i] = at
		at += rapid.Float64Range(.5, 5).Draw(t, "step")
	}
	return rapid.Permutation(x).Draw(t, "order")
}
