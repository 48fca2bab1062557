package thread

import "math"

// round returns x to the given number of decimals, halves away from zero, in
// the way of ASME B1.30: a value within a billionth of a half is taken as a
// half, since binary fractions put exact halves a hair to either side.
func round(x float64, places int) float64 {
	k := 1.0
	for range places {
		k *= 10
	}
	n := math.Floor(float64(math.Abs(x)*k) + 0.5 + float64(1e-9*k))
	return math.Copysign(n/k, x)
}

// unifiedRule is one class of ASME B1.1: its pitch diameter tolerance as a
// multiple of the class 2A tolerance (B1.1 section 5, table of tolerance
// ratios), and which side of the joint it is.
type unifiedRule struct {
	class    string
	external bool
	ratio    float64
}

var unifiedRules = [...]unifiedRule{
	{"1A", true, 1.5}, {"2A", true, 1}, {"3A", true, 0.75},
	{"1B", false, 1.95}, {"2B", false, 1.3}, {"3B", false, 0.975},
}

// engagement returns the length of engagement LE that the standard's tables are
// made for: one diameter for UNC, UNF, 4UN, 6UN and 8UN, nine pitches for
// everything else (B1.1 section 5).
func engagement(t Thread) float64 {
	if t.Series == "UNC" || t.Series == "UNF" || t.Series == "UN" && t.TPI <= 8 {
		return t.D
	}
	return 9 * t.Pitch
}

// pitchTolerance2A returns Td2 of class 2A to six decimals:
//
//	Td2 = 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3)     B1.1 section 5
func pitchTolerance2A(t Thread) float64 {
	le := engagement(t)
	return round(float64(0.0015*math.Cbrt(t.D))+float64(0.0015*math.Sqrt(le))+
		float64(0.015*twoThirds(t.Pitch)), 6)
}

// twoThirds returns p^(2/3).
func twoThirds(p float64) float64 {
	c := math.Cbrt(p)
	return float64(c * c)
}

// minorTolerance returns TD1 of an internal thread, B1.1 section 5.
func minorTolerance(t Thread, class string) float64 {
	p, p2 := t.Pitch, float64(t.Pitch*t.Pitch)
	coarse := float64(0.25*p) - float64(0.40*p2)
	if class != "3B" && t.D >= 0.25 {
		if t.TPI < 4 {
			return 0.15 * p
		}
		return coarse
	}
	tol := float64(0.05*twoThirds(p)) + float64(0.03*p/t.D) - 0.002
	least := coarse
	if class == "3B" {
		least = float64(0.23*p) - float64(1.5*p2)
		if t.TPI < 13 {
			least = 0.12 * p
		}
	}
	return max(min(tol, 0.394*p), least)
}

func unifiedLimits(t Thread, class string) (Limits, error) {
	var rule unifiedRule
	for _, r := range unifiedRules {
		if r.class == class {
			rule = r
		}
	}
	if rule.class == "" {
		return Limits{}, &Error{
			Says: "a Unified thread has no class " + quote(class) + "; it is 1B, 2B or 3B for a hole and 1A, 2A or 3A for a screw",
			Try:  "2B",
		}
	}
	p := round(t.Pitch, 8)
	t.Pitch = p
	td2a := pitchTolerance2A(t)
	tol := round(float64(rule.ratio*td2a), 4)
	basicPitch := round(t.D-float64(pitchRatio*p), 4)
	if rule.external {
		return unifiedExternal(t, rule, td2a, tol, basicPitch), nil
	}
	return unifiedInternal(t, rule, tol, basicPitch), nil
}

// unifiedExternal: dmax = D - es, dmin = dmax - Td, d2max = d2 - es,
// d2min = d2max - Td2; UNR minor maximum d2max - 0.54127 P (B1.1 section 8).
func unifiedExternal(t Thread, rule unifiedRule, td2a, tol, basicPitch float64) Limits {
	es := 0.0
	if rule.class != "3A" {
		es = round(float64(0.3*td2a), 4)
	}
	k := 0.06
	if rule.class == "1A" {
		k = 0.09
	}
	td := round(float64(k*twoThirds(t.Pitch)), 4)
	dmax := round(t.D-es, 4)
	d2max := round(basicPitch-es, 4)
	return Limits{
		Class: rule.class, External: true,
		Major:     both(round(dmax-td, 4), dmax),
		Pitch:     both(round(d2max-tol, 4), d2max),
		Minor:     atMost(round(d2max-float64(minorRatio/2*t.Pitch), 4)),
		Allowance: es, TolMajor: td, TolPitch: tol,
	}
}

// unifiedInternal: D1min = D1, D1max = D1 + TD1, D2min = D2, D2max = D2 + TD2,
// major minimum D. Minor diameters are rounded as B1.1 prints them: four
// decimals below #6 (0.138), and from there three decimals for classes 1B and
// 2B, and for 3B a three-decimal minimum beside a four-decimal maximum.
func unifiedInternal(t Thread, rule unifiedRule, tol, basicPitch float64) Limits {
	exactMin := t.D - float64(minorRatio*t.Pitch)
	exactTol := minorTolerance(t, rule.class)
	lo := round(exactMin, 4)
	hi := round(exactMin+exactTol, 4)
	switch {
	case t.D < 0.138:
		hi = round(lo+round(exactTol, 4), 4)
	case rule.class == "3B":
		lo = round(lo, 3)
	default:
		lo, hi = round(lo, 3), round(hi, 3)
	}
	return Limits{
		Class:    rule.class,
		Major:    atLeast(round(t.D, 4)),
		Pitch:    both(basicPitch, round(basicPitch+tol, 4)),
		Minor:    both(lo, hi),
		TolPitch: tol, TolMinor: round(hi-lo, 4),
	}
}
