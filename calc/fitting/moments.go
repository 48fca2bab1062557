package fitting

import "math"

// Moments is what a list of repeated readings comes to.
type Moments struct {
	N         int
	Mean      float64
	SD        float64 // standard deviation of one reading, sqrt(sum (x - mean)^2 / (n-1)); 0 if N is 1
	MeanErr   float64 // standard error of the mean, SD / sqrt(n); 0 if N is 1, meaning not known
	Low, High float64 // smallest and largest reading
}

// Summarise gives the mean and scatter of repeated readings: 1 or more for the
// mean, 2 or more for the rest.
//
// Source: JCGM 100:2008 (GUM) 4.2.1 to 4.2.3, equations 3, 4, 5.
func Summarise(x []float64) (Moments, error) {
	if err := check(1, x); err != nil {
		return Moments{}, err
	}
	m := Moments{N: len(x), Mean: middle(x, nil), Low: x[0], High: x[0]}
	d := make([]float64, len(x))
	for i, v := range x {
		d[i] = v - m.Mean
		m.Low, m.High = min(m.Low, v), max(m.High, v)
	}
	if m.N > 1 {
		m.SD = norm(d) / math.Sqrt(float64(m.N-1))
		m.MeanErr = m.SD / math.Sqrt(float64(m.N))
	}
	return m, nil
}

const invSqrt2Pi = 0.398942280401432677939946059934

// NormalCDF is the part of a standard normal distribution below x, from 0 to 1.
// It is right to 1e-13 of itself for x > -37 (below -38.6 it is 0), and the same
// to the last bit on every machine. An x that is not a number gives an x that
// is not a number.
func NormalCDF(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x > 0:
		return 1 - NormalCDF(-x)
	case x < -39:
		return 0
	case x > -3:
		// 1/2 + phi(x) (x + x^3/3 + x^5/15 + ...): Abramowitz and Stegun 26.2.11.
		x2 := x * x
		term, sum := x, x
		for n := 3.0; math.Abs(term) > 1e-17*math.Abs(sum); n += 2 {
			term = float64(term * (x2 / n))
			sum += term
		}
		return 0.5 + float64(normalDensity(x)*sum)
	}
	// phi(x) / (t + 1/(t + 2/(t + 3/(t + ...)))), t = -x: A&S 26.2.14.
	t := -x
	f := t
	for n := 120.0; n >= 1; n-- {
		f = t + n/f
	}
	return normalDensity(x) / f
}

// normalDensity is exp(-x^2/2)/sqrt(2 pi). The square is taken in two parts, the
// first exact, or its rounding would show in the far tail.
func normalDensity(x float64) float64 {
	hi := float64(math.Trunc(x*16) / 16)
	lo := x - hi
	return invSqrt2Pi * expo(-0.5*float64(hi*hi)) * expo(-0.5*float64(lo*(hi+x)))
}

// NormalQuantile is the x below which the part p of a standard normal
// distribution lies, to 1e-12. p is from 1e-300 to 1 - 1e-16, else ErrRange.
func NormalQuantile(p float64) (float64, error) {
	if math.IsNaN(p) {
		return 0, ErrFinite
	}
	if p < 1e-300 || p > 1-1e-16 {
		return 0, ErrRange
	}
	if p == 0.5 {
		return 0, nil
	}
	if p > 0.5 {
		x, err := NormalQuantile(1 - p) // exact: p >= 1/2
		return -x, err
	}
	// A&S 26.2.23 is right to 4.5e-4; each step below triples the digits.
	t := math.Sqrt(2 * log1p(1/p-1))
	x := -(t - (2.515517+float64(t*(0.802853+float64(t*0.010328))))/
		(1+float64(t*(1.432788+float64(t*(0.189269+float64(t*0.001308)))))))
	for range 3 {
		u := (NormalCDF(x) - p) / normalDensity(x)
		x -= u / (1 + float64(0.5*x*u)) // Halley: phi' = -x phi
	}
	return x, nil
}

// studentTail is the part above t >= 0.
func studentTail(t, nu float64) float64 {
	if nu > 1e6 {
		return NormalCDF(-t * (1 - 0.25/nu) / math.Sqrt(1+float64(t/nu*t/2)))
	}
	a, w := float64(nu/2), float64(t/nu*t) // halving is a product too
	x, y := 1/(1+w), w/(1+w)               // x + y = 1, neither found by subtraction
	// x^a y^(1/2) / B(a, 1/2), with Gamma(1/2) = sqrt(pi)
	front := expo(-float64(a*log1p(w))) * math.Sqrt(y) * halfGamma(a) / math.Sqrt(math.Pi)
	if x < (a+1)/(a+2.5) {
		return front / a * betaFraction(x, a, 0.5) / 2
	}
	return (1 - float64(2*front*betaFraction(y, 0.5, a))) / 2
}

// betaFraction is the continued fraction 1/(1 + d1/(1 + d2/(1 + ...))) of A&S
// 26.5.8, by Lentz's method.
func betaFraction(x, a, b float64) float64 {
	const tiny = 1e-300
	safe := func(v float64) float64 {
		if math.Abs(v) < tiny {
			return tiny
		}
		return v
	}
	c, d, f := 1.0, 0.0, 1.0
	for i := 1; i < 20000; i++ {
		m := float64(i / 2)
		k := m * (b - m) * x / ((a + 2*m - 1) * (a + 2*m)) // d(2m)
		if i%2 == 1 {
			k = -(a + m) * (a + b + m) * x / ((a + 2*m) * (a + 2*m + 1)) // d(2m+1)
		}
		d = 1 / safe(1+float64(k*d))
		c = safe(1 + k/c)
		step := float64(c * d)
		f *= step
		if math.Abs(step-1) < 1e-16 {
			break
		}
	}
	return 1 / f
}

// StudentQuantile is the t below which the part p of Student's t distribution
// with nu degrees of freedom lies, to 1e-11 of itself. p is from 1e-12 to
// 1 - 1e-12 and nu, which may be fractional, from 1 to 1e9; else ErrRange.
func StudentQuantile(p, nu float64) (float64, error) {
	if err := within(1e9, []float64{p, nu}); err != nil {
		return 0, err
	}
	if p < 1e-12 || p > 1-1e-12 || nu < 1 {
		return 0, ErrRange
	}
	if p == 0.5 {
		return 0, nil
	}
	if p > 0.5 {
		t, err := StudentQuantile(1-p, nu)
		return -t, err
	}
	// The tail at 1.2e12 is below 1e-12 even for nu = 1: halve towards p on a
	// scale of ratios, then finish with Newton steps kept inside the bracket.
	lo, hi := 0.0, 1e13
	z, err := NormalQuantile(p)
	if err != nil {
		return 0, err
	}
	t := -z
	for range 200 {
		miss := studentTail(t, nu) - p
		if miss > 0 {
			lo = t
		} else {
			hi = t
		}
		next := t + miss/studentDensity(t, nu)
		if !(next > lo && next < hi) {
			next = math.Sqrt(max(lo, 1e-3)) * math.Sqrt(hi)
			if hi < 2*lo || hi < 1e-2 {
				next = (lo + hi) / 2
			}
		}
		if math.Abs(next-t) <= 1e-15*t {
			return -next, nil
		}
		t = next
	}
	return -t, nil
}

// studentDensity is Gamma((nu+1)/2)/(Gamma(nu/2) sqrt(nu pi)) (1+t^2/nu)^-((nu+1)/2).
func studentDensity(t, nu float64) float64 {
	return halfGamma(nu/2) / math.Sqrt(nu*math.Pi) * expo(-float64((nu+1)/2*log1p(t/nu*t)))
}
