package fitting

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// numAcc makes NIST's univariate accuracy sets: one middle value, then 500 pairs
// a tenth below and above.
func numAcc(mid, low, high float64) []float64 {
	x := []float64{mid}
	for range 500 {
		x = append(x, low, high)
	}
	return x
}

func TestSummariseNIST(t *testing.T) {
	rows := []struct {
		name     string
		x        []float64
		mean, sd float64
		digits   float64 // of the standard deviation; .1 in 1e7 leaves 8 in float64
	}{
		{"StRD NumAcc1", []float64{10000001, 10000003, 10000002}, 10000002, 1, 15},
		{"StRD NumAcc2", numAcc(1.2, 1.1, 1.3), 1.2, .1, 14},
		{"StRD NumAcc3", numAcc(1000000.2, 1000000.1, 1000000.3), 1000000.2, .1, 9},
		{"StRD NumAcc4", numAcc(10000000.2, 10000000.1, 10000000.3), 10000000.2, .1, 8},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			m, err := Summarise(r.x)
			require.NoError(t, err)
			agree(t, "mean", m.Mean, r.mean, 15)
			agree(t, "sd", m.SD, r.sd, r.digits)
			agree(t, "error of the mean", m.MeanErr, r.sd/math.Sqrt(float64(len(r.x))), r.digits-.1)
		})
	}
	one, err := Summarise([]float64{7})
	require.NoError(t, err)
	assert.Equal(t, Moments{N: 1, Mean: 7, Low: 7, High: 7}, one)
}

func TestSummariseAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := drawn(t, "x", rapid.IntRange(2, 50).Draw(t, "n"), 100)
		m, err := Summarise(x)
		if err != nil {
			t.Fatal(err)
		}
		mean, sd := stat.MeanStdDev(x, nil)
		near(t, "mean", m.Mean, mean, 1e-12)
		near(t, "sd", m.SD, sd, 1e-12)
		if m.Low > m.Mean || m.Mean > m.High {
			t.Fatal("mean outside the readings")
		}
	})
}

func TestNormalCDF(t *testing.T) {
	// Public test data for normal distributions, to 15 places; the same function
	// as Abramowitz and Stegun, Table 26.1.
	for _, r := range []struct{ x, p float64 }{
		{0, .5},
		{1, .841344746068543},
		{2, .977249868051821},
		{3, .998650101968370},
		{-.5, .308537538725987},
		{4, .999968328758167},
	} {
		assert.InDelta(t, r.p, NormalCDF(r.x), 6e-16, "x %g", r.x)
	}
	assert.True(t, math.IsNaN(NormalCDF(math.NaN())))
	assert.Equal(t, 0.0, NormalCDF(math.Inf(-1)))
	assert.Equal(t, 1.0, NormalCDF(math.Inf(1)))
}

func TestNormalAgainstGonum(t *testing.T) {
	last := 0.0
	for x := -37.0; x <= 8; x += .01 {
		p := NormalCDF(x)
		agree(t, "Phi("+strconv.FormatFloat(x, 'g', -1, 64)+")", p, math.Erfc(-x/math.Sqrt2)/2, 12)
		require.GreaterOrEqual(t, p, last)
		last = p
	}
	for _, p := range []float64{1e-300, 1e-100, 1e-20, 1e-9, .001, .02425, .025, .1, .3, .4999, .5, .6, .9, .975, .999, 1 - 1e-12} {
		x, err := NormalQuantile(p)
		require.NoError(t, err)
		assert.InDelta(t, distuv.UnitNormal.Quantile(p), x, 1e-9*(1+math.Abs(x)), "p %g", p)
		assert.InDelta(t, p, NormalCDF(x), 1e-12*p, "p %g", p)
	}
	for _, p := range []float64{0, 1, -1, 2, math.NaN(), math.Inf(1)} {
		_, err := NormalQuantile(p)
		assert.Error(t, err)
	}
}

// tableB1 is Table B.1 of NIST Technical Note 1297 (the same as Table G.2 of the
// GUM, JCGM 100:2008): t for degrees of freedom and central fraction, the three
// odd fractions standing for one, two and three normal standard deviations. Its
// 1.70 for 35 degrees and 90 % is a misprint for 1.69: the table of critical
// values in the NIST/SEMATECH e-Handbook (1.3.6.7.2) has 1.697 at 30 and 1.684 at
// 40, and 1.70 cannot lie between them.
const tableB1 = `
1 1.84 6.31 12.71 13.97 63.66 235.80
2 1.32 2.92 4.30 4.53 9.92 19.21
3 1.20 2.35 3.18 3.31 5.84 9.22
4 1.14 2.13 2.78 2.87 4.60 6.62
5 1.11 2.02 2.57 2.65 4.03 5.51
6 1.09 1.94 2.45 2.52 3.71 4.90
7 1.08 1.89 2.36 2.43 3.50 4.53
8 1.07 1.86 2.31 2.37 3.36 4.28
9 1.06 1.83 2.26 2.32 3.25 4.09
10 1.05 1.81 2.23 2.28 3.17 3.96
11 1.05 1.80 2.20 2.25 3.11 3.85
12 1.04 1.78 2.18 2.23 3.05 3.76
13 1.04 1.77 2.16 2.21 3.01 3.69
14 1.04 1.76 2.14 2.20 2.98 3.64
15 1.03 1.75 2.13 2.18 2.95 3.59
16 1.03 1.75 2.12 2.17 2.92 3.54
17 1.03 1.74 2.11 2.16 2.90 3.51
18 1.03 1.73 2.10 2.15 2.88 3.48
19 1.03 1.73 2.09 2.14 2.86 3.45
20 1.03 1.72 2.09 2.13 2.85 3.42
25 1.02 1.71 2.06 2.11 2.79 3.33
30 1.02 1.70 2.04 2.09 2.75 3.27
35 1.01 1.70 2.03 2.07 2.72 3.23
40 1.01 1.68 2.02 2.06 2.70 3.20
45 1.01 1.68 2.01 2.06 2.69 3.18
50 1.01 1.68 2.01 2.05 2.68 3.16
100 1.005 1.660 1.984 2.025 2.626 3.077
1e9 1.000 1.645 1.960 2.000 2.576 3.000`

func TestStudentTable(t *testing.T) {
	fraction := []float64{2*NormalCDF(1) - 1, .90, .95, 2*NormalCDF(2) - 1, .99, 2*NormalCDF(3) - 1}
	for line := range strings.Lines(strings.TrimSpace(tableB1)) {
		f := strings.Fields(line)
		nu, err := strconv.ParseFloat(f[0], 64)
		require.NoError(t, err)
		for k, s := range f[1:] {
			if f[0] == "35" && s == "1.70" {
				s = "1.69"
			}
			want, err := strconv.ParseFloat(s, 64)
			require.NoError(t, err)
			got, err := StudentQuantile((1+fraction[k])/2, nu)
			require.NoError(t, err)
			places := len(s) - 1 - strings.IndexByte(s, '.')
			assert.InDelta(t, want, got, .5001*math.Pow10(-places), "nu %g, column %d", nu, k)
		}
	}
}

// finiteStudent is the part below t for whole nu, as the finite sums of A&S
// 26.7.3 and 26.7.4: a way that shares nothing with the continued fraction.
func finiteStudent(t float64, nu int) float64 {
	n := float64(nu)
	theta := math.Atan(t / math.Sqrt(n))
	c, s := math.Cos(theta), math.Sin(theta)
	sum := 0.0
	if nu%2 == 1 {
		for k, term := 1, c; k < nu; k += 2 {
			sum += term
			term *= c * c * float64(k+1) / float64(k+2)
		}
		return .5 + (theta+s*sum)/math.Pi
	}
	for k, term := 0, 1.0; k < nu; k += 2 {
		sum += term
		term *= c * c * float64(k+1) / float64(k+2)
	}
	return .5 + s*sum/2
}

func TestStudentFinite(t *testing.T) {
	for _, nu := range []int{1, 2, 3, 4, 5, 7, 10, 16, 29, 30, 99, 100, 1001} {
		for x := -40.0; x <= 40; x += .21 {
			got, err := studentCDF(x, float64(nu))
			require.NoError(t, err)
			require.InDelta(t, finiteStudent(x, nu), got, 2e-13, "nu %d t %g", nu, x)
		}
	}
}

func TestStudentLarge(t *testing.T) {
	// No published source: the incomplete beta integral in 40-digit arithmetic.
	for _, r := range []struct{ t, nu, above float64 }{
		{2, 1000, .022885173246625820024},
		{2.42, 30000, .0077632045442189577791},
		{3, 100000, .001350230442032359595},
		{10, 100000, 7.816507650103639002e-24},
	} {
		got, err := studentCDF(-r.t, r.nu)
		require.NoError(t, err)
		agree(t, "part above", got, r.above, 11.9)
	}
}

func TestStudentAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nu := math.Exp(rapid.Float64Range(0, math.Log(1e3)).Draw(t, "ln nu")) // theirs loses digits above
		p := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "p")
		d := distuv.StudentsT{Sigma: 1, Nu: nu}
		x, err := StudentQuantile(p, nu)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "their part below our t", d.CDF(x), p, 1e-9)
		c, err := studentCDF(x, nu)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "round trip", c, p, 1e-11*min(p, 1-p)+1e-16)
		// More freedom, less spread; a greater part, a greater t.
		more, err := StudentQuantile(p, nu*1.5)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(more) > math.Abs(x)*(1+1e-12) {
			t.Fatalf("nu %g gives %g, 1.5 times as many give %g", nu, x, more)
		}
		up, err := StudentQuantile(p+(1-p)/1e3, nu)
		if err != nil {
			t.Fatal(err)
		}
		if up <= x {
			t.Fatal("not monotone in p")
		}
	})
}

func TestStudentSeam(t *testing.T) {
	// The two methods meet at nu = 1e6.
	for _, p := range []float64{1e-10, .001, .025, .2, .6, .995} {
		a, err := StudentQuantile(p, 1e6)
		require.NoError(t, err)
		b, err := StudentQuantile(p, 1e6+1)
		require.NoError(t, err)
		assert.InDelta(t, a, b, 1e-10*math.Abs(a))
	}
	for _, r := range []struct{ p, nu float64 }{{0, 5}, {1, 5}, {.5, .9}, {.3, 1e10}, {math.NaN(), 5}, {.3, math.Inf(1)}, {1e-13, 5}} {
		_, err := StudentQuantile(r.p, r.nu)
		assert.Error(t, err)
	}
	for _, r := range []struct{ t, nu float64 }{{math.NaN(), 5}, {1e16, 5}, {1, .5}, {1, 2e9}} {
		_, err := studentCDF(r.t, r.nu)
		assert.Error(t, err)
	}
}

// TestPortable holds our own exp, log and gamma ratio to the standard library's.
func TestPortable(t *testing.T) {
	for x := -744.0; x < 709; x += .173 {
		if want := math.Exp(x); want > 1e-307 {
			agree(t, "exp", expo(x), want, 15)
		}
	}
	assert.Equal(t, 0.0, expo(-746))
	for x := 1e-300; x < 1e300; x *= 1.7 {
		agree(t, "log1p", log1p(x), math.Log1p(x), 15)
	}
	for a := .5; a < 200; a += .13 {
		p, _ := math.Lgamma(a + .5)
		q, _ := math.Lgamma(a)
		agree(t, "gamma ratio", halfGamma(a), math.Exp(p-q), 12.5)
	}
	assert.InDelta(t, math.Sqrt(math.Pi)/2, halfGamma(1), 1e-14)
	assert.InDelta(t, 1/math.Sqrt(math.Pi), halfGamma(.5), 1e-14)
}
