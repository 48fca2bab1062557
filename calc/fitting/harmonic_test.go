package fitting

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const deg = math.Pi / 180

func TestHarmonicEqual(t *testing.T) {
	// Eight readings made from C .0005, A .0020, B -.0007, A2 .0003 and rounded
	// to six places.
	r := []float64{.00280, .001419, -.00050, -.001409, -.00120, -.000419, .00090, .002409}
	a := make([]float64, 8)
	var sumA, sumB float64
	for i := range a {
		a[i] = float64(i) * 45 * deg
		sumA += r[i] * math.Cos(a[i]) / 4 // (2/N) sum r cos t, for equal spacing
		sumB += r[i] * math.Sin(a[i]) / 4
	}
	for _, second := range []bool{false, true} {
		h, err := FitHarmonic(a, r, second)
		require.NoError(t, err)
		assert.InDelta(t, sumA, h.A, 1e-17)
		assert.InDelta(t, sumB, h.B, 1e-17)
		assert.InDelta(t, .0020, h.A, 5e-7)
		assert.InDelta(t, -.0007, h.B, 5e-7)
		assert.InDelta(t, .002119, h.Amplitude(), 5e-7)
		assert.InDelta(t, -19.29, h.Direction()/deg, .005)
		assert.InDelta(t, .5, h.AUnit, 1e-15) // sqrt(2/N)
		assert.Equal(t, second, h.Second)
		if second {
			assert.InDelta(t, .0003, h.Amplitude2(), 5e-7)
			assert.Less(t, h.SD, 1e-6)
			assert.Equal(t, 3, h.Free)
		} else {
			assert.InDelta(t, .0003*math.Sqrt(4.0/5), h.SD, 1e-6)
			assert.Zero(t, h.Amplitude2())
		}
	}
}

func TestHarmonicFour(t *testing.T) {
	// Quarter points: A is half the difference right less left, B likewise, C
	// the mean, and the closure shows as the residual.
	h, err := FitHarmonic([]float64{0, 90 * deg, 180 * deg, 270 * deg}, []float64{.0030, -.0005, -.0010, .0005}, false)
	require.NoError(t, err)
	assert.InDelta(t, .0020, h.A, 1e-17)
	assert.InDelta(t, -.0005, h.B, 1e-17)
	assert.InDelta(t, .0005, h.C, 1e-17)
	assert.InDeltaSlice(t, []float64{.0005, -.0005, .0005, -.0005}, h.Residuals, 1e-17)
}

// dial draws n angles no two closer than 10 degrees, some a turn or two away.
func dial(t *rapid.T, n int) []float64 {
	a := make([]float64, n)
	at := rapid.Float64Range(0, 360).Draw(t, "start")
	for i := range a {
		turns := rapid.IntRange(-2, 2).Draw(t, "turns")
		a[i] = (at + 360*float64(turns)) * deg
		at += rapid.Float64Range(10, 360/float64(n)).Draw(t, "step")
	}
	return a
}

func TestHarmonicLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		second := rapid.Bool().Draw(t, "second")
		n := rapid.IntRange(5, 24).Draw(t, "n")
		a := dial(t, n)
		want := Harmonic{C: 1, A: 2, B: -3}
		if second {
			want.A2, want.B2 = .5, .25
		}
		r := make([]float64, n)
		for i := range a {
			r[i] = want.At(a[i])
		}
		// A made wave is found again.
		h, err := FitHarmonic(a, r, second)
		if err != nil {
			t.Fatal(err)
		}
		tol := 1e-12 * (1 + h.AUnit + h.BUnit + h.CUnit + h.A2Unit + h.B2Unit)
		near(t, "C", h.C, want.C, tol)
		near(t, "A", h.A, want.A, tol)
		near(t, "B", h.B, want.B, tol)
		near(t, "A2", h.A2, want.A2, tol)
		near(t, "B2", h.B2, want.B2, tol)
		// Residuals are orthogonal to every part of the wave.
		y := drawn(t, "y", n, 5)
		h, err = FitHarmonic(a, y, second)
		if err != nil {
			t.Fatal(err)
		}
		for j := range map[bool]int{false: 3, true: 5}[second] {
			s := 0.0
			for i, e := range h.Residuals {
				s += e * wave(j, a[i])
			}
			near(t, "orthogonal", s, 0, 1e-9)
		}
		// Turning the dial turns the direction and nothing else.
		for i := range a {
			a[i] += .5
		}
		g, err := FitHarmonic(a, y, second)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "amplitude", g.Amplitude(), h.Amplitude(), 1e4*tol)
		near(t, "SD", g.SD, h.SD, 1e-9)
		near(t, "highest", g.At(h.Direction()+.5), h.At(h.Direction()), 1e4*tol)
	})
}
