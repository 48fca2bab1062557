package thread

import "math"

// round returns x to the given number of decimals with halves to the even digit, the rounding of
// ASME B1.30. A value within 1e-4 of a unit of a half is taken as the half, since binary fractions
// put exact halves slightly to either side. Halves matter: 5/8-11 class 2A (.62335 to .6234), all
// 64 threads per inch, and 10-24 and 1-3/4-5 class 2B come out as printed only in this way.
func round(x float64, places int) float64 {
	k := 1.0
	for range places {
		k *= 10
	}
	scaled := float64(math.Abs(x) * k)
	n := math.Floor(scaled)
	part := scaled - n
	switch {
	case math.Abs(part-0.5) < 1e-4:
		if math.Mod(n, 2) == 1 {
			n++
		}
	case part > 0.5:
		n++
	}
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

// engagement returns the length of engagement LE that the standard's tables are made for: one
// diameter for UNC, UNF, 4UN, 6UN and 8UN, nine pitches for all others (B1.1 section 5). 12-32 UNEF
// is printed with one diameter.
//
// The printed tables give a few secondary diameters of the constant pitch series,
// such as 15/16, 2-3/8 and 5-3/4, the tolerance of a neighbouring diameter, which
// moves a pitch diameter limit by .0001; here every size has its own.
func engagement(t Thread) float64 {
	switch {
	case t.Series == "UNC", t.Series == "UNF",
		t.Series == "UN" && t.TPI <= 8,
		t.Series == "UNEF" && t.D < 0.25:
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
	coarse := float64(0.25*p) - float64(0.4*p2)
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
			Try:  unifiedName(t) + " " + t.Series + "-2B",
		}
	}
	t.D, t.Pitch = round(t.D, 4), round(t.Pitch, 8)
	td2 := pitchTolerance2A(t)
	tol := round(float64(rule.ratio*td2), 6)
	if rule.external {
		return unifiedExternal(t, rule, td2, tol), nil
	}
	return unifiedInternal(t, rule, tol), nil
}

// unifiedExternal: dmax = D - es, dmin = dmax - Td, d2max = dmax - 2 has,
// d2min = d2max - Td2, UNR d3max = dmax - 2 hs (B1.1 section 8). As in the worked
// examples of B1.30, tolerances and thread heights are held to six decimals and
// each limit is rounded to four before the next is taken from it.
func unifiedExternal(t Thread, rule unifiedRule, td2, tol float64) Limits {
	es := 0.0
	if rule.class != "3A" {
		es = round(float64(0.3*td2), 6)
	}
	k := 0.06
	if rule.class == "1A" {
		k = 0.09
	}
	td := round(float64(k*twoThirds(t.Pitch)), 6)
	dmax := round(t.D-es, 4)
	dmin := round(dmax-td, 4)
	d2max := round(dmax-round(float64(pitchRatio*t.Pitch), 6), 4)
	d2min := round(d2max-tol, 4)
	return Limits{
		Class: rule.class, External: true,
		Major:     both(dmin, dmax),
		Pitch:     both(d2min, d2max),
		Minor:     atMost(round(dmax-round(float64(unrRatio*t.Pitch), 6), 4)),
		Allowance: round(t.D-dmax, 4),
		TolMajor:  round(dmax-dmin, 4), TolPitch: round(d2max-d2min, 4),
	}
}

// unifiedInternal: D1min = D1, D1max = D1 + TD1, D2min = D2, D2max = D2 + TD2,
// major minimum D (B1.1 section 8). Minor diameters are printed to four decimals
// below #6 (0.138 in); from there to three for classes 1B and 2B, and for 3B a
// three-decimal minimum beside a four-decimal maximum.
func unifiedInternal(t Thread, rule unifiedRule, tol float64) Limits {
	d2min := round(t.D-round(float64(pitchRatio*t.Pitch), 6), 4)
	d2max := round(d2min+tol, 4)
	lo := round(t.D-round(float64(minorRatio*t.Pitch), 6), 4)
	hi := round(lo+round(minorTolerance(t, rule.class), 4), 4)
	if t.D >= 0.138 {
		lo = round(lo, 3)
		if rule.class != "3B" {
			hi = round(hi, 3)
		}
	}
	return Limits{
		Class:    rule.class,
		Major:    atLeast(t.D),
		Pitch:    both(d2min, d2max),
		Minor:    both(lo, hi),
		TolPitch: round(d2max-d2min, 4), TolMinor: round(hi-lo, 4),
	}
}
