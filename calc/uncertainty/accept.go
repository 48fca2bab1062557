package uncertainty

import (
	"math"

	"datumbook/calc/fitting"
)

// Rule says who is protected by the guard band.
type Rule string

// The rules of JCGM 106:2012, 8.
const (
	ProveIn  Rule = "in"     // guarded acceptance, 8.3.2: who gets the part is protected
	Share    Rule = "simple" // simple acceptance, 8.2: both share the risk
	ProveOut Rule = "out"    // guarded rejection, 8.3.3: who makes the part is protected
)

// Limits are the ends of the tolerance; an open end is an infinity.
type Limits struct{ Low, High float64 }

// Zone is the acceptance zone: the limits moved in or out by a guard band of
// 0 or more. It is empty where Low is above High.
func (l Limits) Zone(rule Rule, guard float64) Limits {
	switch rule {
	case ProveIn:
		return Limits{l.Low + guard, l.High - guard}
	case ProveOut:
		return Limits{l.Low - guard, l.High + guard}
	}
	return l
}

// Holds says whether a value lies in the zone, ends included. It allows for the rounding of sums: a
// size typed as the zone's end is inside.
func (l Limits) Holds(y float64) bool {
	hair := float64(1e-12 * (1 + math.Abs(y)))
	return y >= l.Low-hair && y <= l.High+hair
}

// Empty reports whether guard bands took the whole tolerance.
func (l Limits) Empty() bool {
	return l.Low > l.High+float64(1e-12*(1+math.Abs(l.High)))
}

// Conforms is the probability that the true value lies within the limits when
// y was measured with a standard uncertainty u above 0, normal:
//
//	p_c = Phi((T_U - y)/u) - Phi((T_L - y)/u)     JCGM 106 eq. 7
func (l Limits) Conforms(y, u float64) float64 {
	high, low := (l.High-y)/u, (l.Low-y)/u
	if low > 0 { // both tails above: take them as lower tails, for precision
		high, low = -low, -high
	}
	return max(0, phi(high)-phi(low))
}

func phi(z float64) float64 {
	switch {
	case math.IsInf(z, 1):
		return 1
	case math.IsInf(z, -1):
		return 0
	}
	return fitting.NormalCDF(z)
}

// Guard is the guard band, in standard uncertainties, that gives at least the
// probability wanted at the edge of the zone when only one limit is near:
// JCGM 106 7.3, table 1. p is from 0.5 to 1 - 1e-12.
func Guard(p float64) float64 {
	z, err := fitting.NormalQuantile(min(max(p, 0.5), 1-1e-12))
	if err != nil {
		return 0 // unreachable: the range is within that of the quantile
	}
	return z
}
