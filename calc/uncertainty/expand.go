// Package uncertainty computes how certain a measured or computed size is, and what that means for
// accepting a part.
//
// Uncertainties are combined by JCGM 100:2008 (the GUM), decisions follow
// JCGM 106:2012. Values may be in any one unit unless a comment says otherwise.
package uncertainty

import (
	"math"

	"datumbook/calc/fitting"
)

// Given is the form in which a contribution is known.
type Given string

// The ways a contribution may be known, and what divides its value to give the
// standard uncertainty.
const (
	Standard Given = "std"   // a standard uncertainty
	Double   Given = "k2"    // an expanded uncertainty with k = 2
	At95     Given = "p95"   // half of a 95 % interval, normal: JCGM 100 4.3.4
	At99     Given = "p99"   // half of a 99 % interval, normal: JCGM 100 4.3.4
	Limit    Given = "limit" // plus or minus limits, uniform between: 4.3.7
	Triangle Given = "tri"   // plus or minus limits, triangular: 4.3.9
	Swing    Given = "swing" // plus or minus limits of a swing, U-shaped: H.1.3.4
	Step     Given = "step"  // one graduation or last digit: F.2.2.1
	Twice    Given = "twice" // the difference of two readings on one graduation
)

// divisor gives what the value is divided by.
func (g Given) divisor() float64 {
	switch g {
	case Double:
		return 2
	case At95:
		return 1.959963984540054
	case At99:
		return 2.5758293035489004
	case Limit:
		return math.Sqrt(3)
	case Triangle, Twice:
		return math.Sqrt(6)
	case Swing:
		return math.Sqrt2
	case Step:
		return math.Sqrt(12)
	}
	return 1
}

// Part is one contribution. Value is 0 or more, at most 1e9; Sens, how much the result changes for
// one unit of it, is at most 1e9 in size; DF, its degrees of freedom, is 1 or more, or 0 for
// infinitely many.
type Part struct {
	Name  string
	Given Given
	Value float64
	Sens  float64
	DF    float64
}

// Std is the part's standard uncertainty in its own unit.
func (p Part) Std() float64 { return p.Value / p.Given.divisor() }

// Share is what the part adds to the result: |c| u.
func (p Part) Share() float64 { return math.Abs(p.Sens) * p.Std() }

// Pair is a correlation between parts I and J, counted from 0.
type Pair struct {
	I, J int
	R    float64 // -1 to 1
}

// Budget is the combined uncertainty of a result.
type Budget struct {
	Std float64 // combined standard uncertainty
	DF  float64 // effective degrees of freedom; 0 for infinitely many
	K   float64 // coverage factor
	U   float64 // expanded uncertainty
}

// Error is a reason a budget was refused.
type Error string

func (e Error) Error() string { return string(e) }

// Reasons for refusing.
const (
	ErrNone    Error = "every contribution is nothing"
	ErrCorr    Error = "these correlations cannot all be true together"
	ErrDegrees Error = "fewer than one degree of freedom is left"
)

// Combine adds the parts up. cover is the part of the values the expanded
// uncertainty is to hold, such as 0.95, or 0 to take k = 2.
//
//	u_c^2 = sum (c_i u_i)^2 + 2 sum c_i u_i c_j u_j r_ij     JCGM 100 eq. 13
//	nu_eff = u_c^4 / sum ((c_i u_i)^4 / nu_i)                JCGM 100 eq. G.2b
//	U = t_p(nu_eff) u_c, nu_eff cut to a whole number        JCGM 100 G.4.1
//
// With correlation nu_eff has no meaning (G.4.1), and the normal distribution
// is taken.
func Combine(parts []Part, corr []Pair, cover float64) (Budget, error) {
	most := 0.0
	for _, p := range parts {
		most = max(most, p.Share())
	}
	if most == 0 {
		return Budget{}, ErrNone
	}
	// Relative to the largest share, against overflow and underflow.
	square, slack := 0.0, 0.0
	for _, p := range parts {
		s := p.Share() / most
		square += float64(s * s)
		if p.DF > 0 {
			slack += float64(s*s) * float64(s*s) / p.DF
		}
	}
	for _, c := range corr {
		a, b := parts[c.I], parts[c.J]
		x, y := a.Sens*a.Std()/most, b.Sens*b.Std()/most
		square += float64(2 * x * y * c.R)
	}
	if square < 1e-12 {
		return Budget{}, ErrCorr
	}
	b := Budget{Std: most * math.Sqrt(square), K: 2}
	if slack > 0 && len(corr) == 0 {
		b.DF = square * square / slack
		if b.DF > 1e6 {
			b.DF = 0
		}
	}
	if cover > 0 {
		k, err := Cover(b.DF, cover)
		if err != nil {
			return Budget{}, err
		}
		b.K = k
	}
	b.U = b.K * b.Std
	return b, nil
}

// Cover is the factor k for a part of the values: Student's t with the degrees of freedom cut to a
// whole number (JCGM 100 G.4.1), or the normal distribution's for infinitely many (df 0).
func Cover(df, cover float64) (float64, error) {
	p := 0.5 + float64(cover/2)
	if df == 0 {
		return fitting.NormalQuantile(p)
	}
	whole := math.Floor(df + 1e-9)
	if whole < 1 {
		return 0, ErrDegrees
	}
	return fitting.StudentQuantile(p, whole)
}
