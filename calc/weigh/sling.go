package weigh

import (
	"math"

	"datumbook/calc/worksheet"
)

// LeastAngle is the least angle of a sling leg from the horizontal, degrees:
// below it the sling standards do not rate a sling (ASME B30.9; 29 CFR
// 1926.251).
const LeastAngle = 30

// Factor gives how many times its share of the weight a leg carries at an angle
// from the horizontal, above 0 to 90 degrees: 1/sin(angle), which is the leg's
// length over its rise.
func Factor(degrees float64) float64 { return 1 / math.Sin(degrees*math.Pi/180) }

// Lug is where a leg is hooked on, in inches from the plumb line through the
// hook, and Rise how far the hook is above it.
type Lug struct{ X, Y, Rise float64 }

// Leg is what one leg carries. Length is in inches, Angle in degrees from the
// horizontal, Tension and Inward in the unit of the weight.
type Leg struct {
	Length, Angle   float64
	Tension, Inward float64
}

// Hang gives the most each leg can be made to carry by a rigid load that hangs from one hook plumb
// over its centre of gravity. With two legs, or three in a triangle, statics sets what each
// carries. With more the share is indeterminate, and a rigid load may hang on two or three of them:
// the worst such case is taken for each leg.
//
// The weight is carried by tensions T along the legs:
//
//	sum(T x/L) = 0,  sum(T y/L) = 0,  sum(T rise/L) = weight
//
// The fault names lugs.
func Hang(weight float64, lugs []Lug) ([]Leg, *worksheet.InputError) {
	legs := make([]Leg, len(lugs))
	size := 0.0
	for i, l := range lugs {
		if !(l.Rise > 0) {
			return nil, worksheet.Refuse("lugs", "the hook must be above every lug. Give its rise over each.")
		}
		out := math.Hypot(l.X, l.Y)
		legs[i].Length = math.Hypot(out, l.Rise)
		legs[i].Angle = math.Atan2(l.Rise, out) * 180 / math.Pi
		size = max(size, out)
	}
	hangs := false
	take := func(at []int, q []float64) {
		for _, x := range q {
			if x < -1e-9*weight {
				return
			}
		}
		hangs = true
		for k, i := range at {
			legs[i].Tension = max(legs[i].Tension, q[k]*legs[i].Length)
		}
	}
	for i := range lugs {
		if math.Hypot(lugs[i].X, lugs[i].Y) <= 1e-6*(size+lugs[i].Rise) {
			take([]int{i}, []float64{weight / lugs[i].Rise})
		}
		for k := i + 1; k < len(lugs); k++ {
			if q, ok := two(weight, lugs[i], lugs[k], size); ok {
				take([]int{i, k}, q)
			}
			for m := k + 1; m < len(lugs); m++ {
				if q, ok := three(weight, lugs[i], lugs[k], lugs[m], size); ok {
					take([]int{i, k, m}, q)
				}
			}
		}
	}
	if !hangs {
		says := "the centre of gravity lies outside the lugs seen from above, so the load would swing until it does not. Move the lugs, or the hook over the centre of gravity."
		if len(lugs) == 2 {
			says = "the centre of gravity does not lie between the two lugs seen from above, so the load would swing. Move the lugs, or the hook over the centre of gravity."
		}
		return nil, worksheet.Refuse("lugs", says)
	}
	for i := range legs {
		legs[i].Inward = legs[i].Tension * math.Cos(legs[i].Angle*math.Pi/180)
	}
	return legs, nil
}

// two solves for two legs: the plumb line must lie between their lugs. The
// numbers are tension over length.
func two(w float64, a, b Lug, size float64) ([]float64, bool) {
	cross := float64(a.X*b.Y) - float64(a.Y*b.X)
	dot := float64(a.X*b.X) + float64(a.Y*b.Y)
	la, lb := math.Hypot(a.X, a.Y), math.Hypot(b.X, b.Y)
	if math.Abs(cross) > 1e-6*size*size || dot >= 0 || la == 0 || lb == 0 {
		return nil, false
	}
	// qa la = qb lb, qa rise a + qb rise b = w
	qa := w / (a.Rise + float64(la/lb*b.Rise))
	return []float64{qa, qa * la / lb}, true
}

// three solves for three legs by Cramer's rule.
func three(w float64, a, b, c Lug, size float64) ([]float64, bool) {
	x := func(p, q Lug) float64 { return float64(p.X*q.Y) - float64(p.Y*q.X) }
	qa, qb, qc := x(b, c), x(c, a), x(a, b)
	det := float64(qa*a.Rise) + float64(qb*b.Rise) + float64(qc*c.Rise)
	rise := max(a.Rise, b.Rise, c.Rise)
	if math.Abs(det) <= 1e-6*size*size*rise {
		return nil, false
	}
	k := w / det
	return []float64{k * qa, k * qb, k * qc}, true
}
