package fitting

import "math"

// math.Exp and math.Erfc have assembly on some processors and fused steps on
// others, and their last bits differ. The functions here use only the four
// operations, rounded one by one, and powers of two, so they do not.

// ln2 in two parts: the first has zeros in its last 20 bits, so that whole
// multiples of it up to a million are exact.
const (
	ln2Hi = 6.93147180369123816490e-01
	ln2Lo = 1.90821492927058770002e-10
)

// expo is e^x, right to about 2 parts in 1e16; 0 below -745.
func expo(x float64) float64 {
	if x < -745 {
		return 0
	}
	if x > 709 {
		x = 709
	}
	k := math.Floor(x/math.Ln2 + 0.5)
	r := (x - float64(k*ln2Hi)) - float64(k*ln2Lo) // |r| <= 0.347
	sum := 0.0
	for n := 17.0; n >= 1; n-- { // r^18/18! is below 1e-24
		sum = r / n * (1 + sum)
	}
	return math.Ldexp(1+sum, int(k))
}

// log1p is the natural logarithm of 1 + x, for x >= 0.
func log1p(x float64) float64 {
	f, k := x, 0
	if x > 0.4 {
		m, e := math.Frexp(1 + x)
		if m < math.Sqrt2/2 {
			m, e = m*2, e-1
		}
		f, k = m-1, e
	}
	// ln(1+f) = 2 artanh(f/(2+f)), |f/(2+f)| <= 0.172
	z := f / (2 + f)
	z2 := z * z
	sum := 0.0
	for n := 25.0; n >= 3; n -= 2 {
		sum = z2 * (1/n + sum)
	}
	return float64(float64(k)*ln2Hi) + (float64(2*z) + (float64(2*z*sum) + float64(float64(k)*ln2Lo)))
}

// halfGamma is Gamma(a + 1/2) / Gamma(a), for a > 0.
//
// Its logarithm is ln(a)/2 - 1/(8a) + 1/(192a^3) - 1/(640a^5) + 17/(14336a^7)
// - ..., from Stirling's series for both (Abramowitz and Stegun 6.1.40); a is
// first raised to 20 by Gamma(a + 1) = a Gamma(a).
func halfGamma(a float64) float64 {
	f := 1.0
	for a < 20 {
		f *= a / (a + 0.5)
		a++
	}
	i := 1 / a
	i2 := i * i
	s := i * (-1.0/8 + float64(i2*(1.0/192+float64(i2*(-1.0/640+float64(i2*17.0/14336))))))
	return f * math.Sqrt(a) * expo(s)
}
