package fitting

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// NIST StRD, linear regression, Pontius (load cell, lower difficulty): two runs
// of 20 loads.
var pontiusY = []float64{
	.11019, .21956, .32949, .43899, .54803, .65694, .76562, .87487, .98292, 1.09146,
	1.20001, 1.30822, 1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844,
	.11052, .22018, .32939, .43886, .54798, .65739, .76596, .87474, .98300, 1.09150,
	1.20004, 1.30818, 1.41613, 1.52408, 1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829,
}

func TestQuadPontius(t *testing.T) {
	x := make([]float64, 40)
	for i := range x {
		x[i] = 150000 * float64(i%20+1)
	}
	q, err := FitQuad(x, pontiusY, nil)
	require.NoError(t, err)
	// Certified values.
	agree(t, "B0", q.A, 0.673565789473684e-03, 11)
	agree(t, "B1", q.B, 0.732059160401003e-06, 13)
	agree(t, "B2", q.C, -0.316081871345029e-14, 11)
	agree(t, "sd B0", q.AErr, 0.107938612033077e-03, 12)
	agree(t, "sd B1", q.BErr, 0.157817399981659e-09, 12)
	agree(t, "sd B2", q.CErr, 0.486652849992036e-16, 12)
	agree(t, "residual sd", q.SD, 0.205177424076185e-03, 12)
	assert.Equal(t, 37, q.Free)
}

func TestQuadFiveStations(t *testing.T) {
	// By hand with orthogonal polynomials on five even stations: the quadratic
	// term is sum(y P2)/(14 h^2), P2 = 2 -1 -2 -1 2, h = 4.
	y := []float64{0, .0015, .0035, .0050, .0060}
	c := (2*y[0] - y[1] - 2*y[2] - y[3] + 2*y[4]) / 14 / 16
	q, err := FitQuad([]float64{0, 4, 8, 12, 16}, y, nil)
	require.NoError(t, err)
	assert.InDelta(t, c, q.C, 1e-19)
	assert.InDelta(t, -c*64, q.Middle(0, 16), 1e-17)
	assert.InDelta(t, .00042857, q.Middle(0, 16), 5e-9)
	assert.InDelta(t, q.At(8)-(q.At(0)+q.At(16))/2, q.Middle(0, 16), 1e-17)
	assert.InDelta(t, 64*q.CUnit, q.MiddleUnit(0, 16), 1e-15)
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

func TestQuadAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 20).Draw(t, "n")
		x, y := spreadX(t, n), drawn(t, "y", n, 10)
		q, err := FitQuad(x, y, nil)
		if err != nil {
			t.Fatal(err)
		}
		// A second way: gonum's QR on the same centred columns.
		m := 0.0
		for _, v := range x {
			m += v / float64(n)
		}
		a := mat.NewDense(n, 3, nil)
		for i, v := range x {
			a.SetRow(i, []float64{1, v - m, (v - m) * (v - m)})
		}
		var beta mat.VecDense
		if err := beta.SolveVec(a, mat.NewVecDense(n, y)); err != nil {
			t.Fatal(err)
		}
		near(t, "c", q.C, beta.AtVec(2), 1e-9)
		near(t, "b", q.B, beta.AtVec(1)-2*m*beta.AtVec(2), 1e-7)
		near(t, "mean height", q.At(m), beta.AtVec(0), 1e-8)
	})
}

func TestQuadLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 20).Draw(t, "n")
		x, y := spreadX(t, n), drawn(t, "y", n, 10)
		w := rapid.SliceOfN(rapid.Float64Range(.1, 10), n, n).Draw(t, "w")
		q, err := FitQuad(x, y, w)
		if err != nil {
			t.Fatal(err)
		}
		var s [3]float64
		for i, e := range q.Residuals {
			u := (x[i] - q.mean) / q.scale
			s[0] += w[i] * e
			s[1] += w[i] * e * u
			s[2] += w[i] * e * u * u
			near(t, "residual", e, y[i]-q.At(x[i]), 1e-12)
			near(t, "coefficients", q.At(x[i]), q.A+x[i]*(q.B+x[i]*q.C), 1e-7)
		}
		for k := range s {
			near(t, "orthogonal", s[k], 0, 1e-9)
		}
		// Shifting x moves the curve and leaves its bend.
		d := rapid.Float64Range(-20, 20).Draw(t, "shift")
		moved := make([]float64, n)
		for i := range x {
			moved[i] = x[i] + d
		}
		p, err := FitQuad(moved, y, w)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "bend", p.C, q.C, 1e-9)
		near(t, "height", p.At(d+x[0]), q.At(x[0]), 1e-9)
		near(t, "SD", p.SD, q.SD, 1e-9)
	})
}

// TestQuadUnit finds the standard errors by moving each reading in turn.
func TestQuadUnit(t *testing.T) {
	x, y := []float64{1, 2, 4, 7, 11}, []float64{3, 1, 4, 1, 5}
	q, err := FitQuad(x, y, nil)
	require.NoError(t, err)
	var a, b, c float64
	for i := range y {
		moved := append([]float64(nil), y...)
		moved[i]++
		m, err := FitQuad(x, moved, nil)
		require.NoError(t, err)
		a += (m.A - q.A) * (m.A - q.A)
		b += (m.B - q.B) * (m.B - q.B)
		c += (m.C - q.C) * (m.C - q.C)
	}
	agree(t, "a", q.AUnit, math.Sqrt(a), 12)
	agree(t, "b", q.BUnit, math.Sqrt(b), 12)
	agree(t, "c", q.CUnit, math.Sqrt(c), 12)
}
