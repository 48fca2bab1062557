package bench

import "math"

// Triangle has its sides in one unit and its angles in degrees; angle i lies
// opposite side i. Unknown parts are 0.
type Triangle struct{ Side, Angle [3]float64 }

// Errors of Solve.
const (
	errThree    Error = "needs exactly three parts, one of them a side"
	errNoClose  Error = "two sides together must be longer than the third"
	errNoAngle  Error = "the angles leave nothing for the third corner: their sum must be below 180 degrees"
	errTooShort Error = "the side opposite the angle is too short to reach the third side"
)

// least is the smallest angle accepted, in degrees.
const least = 1e-3

// Solve finds the triangles with the three parts given, one of them a side. There are two where two
// sides and the angle opposite the shorter one are given and the side is long enough: the first has
// the larger angle acute.
//
// Formulas: law of sines, law of cosines, half-angle formula for three sides.
func Solve(t Triangle) ([]Triangle, error) {
	sides, angles := 0, 0
	for i := range 3 {
		if t.Side[i] > 0 {
			sides++
		}
		if t.Angle[i] > 0 {
			angles++
		}
	}
	switch {
	case sides+angles != 3 || sides == 0:
		return nil, errThree
	case sides == 3:
		return threeSides(t)
	case sides == 1:
		return twoAngles(t)
	}
	// Two sides and an angle: is the opposite side known?
	for i := range 3 {
		if t.Angle[i] > 0 && t.Side[i] == 0 {
			return twoSides(t, i), nil
		}
	}
	return opposite(t)
}

func threeSides(t Triangle) ([]Triangle, error) {
	a, b, c := t.Side[0], t.Side[1], t.Side[2]
	s := float64((a + b + c) / 2)
	// Below this the triangle is indistinguishable from a straight line.
	if min(s-a, s-b, s-c) < 1e-9*s {
		return nil, errNoClose
	}
	for i := range 3 {
		x, y, z := t.Side[i], t.Side[(i+1)%3], t.Side[(i+2)%3]
		t.Angle[i] = 2 * math.Atan2(math.Sqrt(float64((s-y)*(s-z))), math.Sqrt(float64(s*(s-x)))) / rad
	}
	return []Triangle{t}, nil
}

func twoAngles(t Triangle) ([]Triangle, error) {
	sum, open := 0.0, 0
	for i, a := range t.Angle {
		sum += a
		if a == 0 {
			open = i
		}
	}
	if 180-sum < least {
		return nil, errNoAngle
	}
	t.Angle[open] = 180 - sum
	for i := range 3 {
		if t.Side[i] > 0 {
			return []Triangle{bySines(t, t.Side[i]/math.Sin(t.Angle[i]*rad))}, nil
		}
	}
	return nil, errThree
}

// bySines fills the unknown sides: side = d sin(angle), d the circumscribed circle's diameter.
func bySines(t Triangle, d float64) Triangle {
	for i := range 3 {
		if t.Side[i] == 0 {
			t.Side[i] = d * math.Sin(t.Angle[i]*rad)
		}
	}
	return t
}

// twoSides has angle i and the two sides beside it.
func twoSides(t Triangle, i int) []Triangle {
	j, k := (i+1)%3, (i+2)%3
	b, c := t.Side[j], t.Side[k]
	h := math.Sin(t.Angle[i] / 2 * rad)
	// (b - c)^2 + 4 b c sin^2(A/2): the law of cosines without cancellation.
	t.Side[i] = math.Sqrt(float64((b-c)*(b-c)) + float64(4*b*c*h*h))
	t.Angle[j] = math.Atan2(b*math.Sin(t.Angle[i]*rad), c-float64(b*math.Cos(t.Angle[i]*rad))) / rad
	t.Angle[k] = 180 - t.Angle[i] - t.Angle[j]
	return []Triangle{t}
}

// opposite has a side, the angle across from it, and one more side.
func opposite(t Triangle) ([]Triangle, error) {
	i, j := 0, 0
	for n := range 3 {
		switch {
		case t.Angle[n] > 0:
			i = n
		case t.Side[n] > 0:
			j = n
		}
	}
	k := 3 - i - j
	sin := t.Side[j] * math.Sin(t.Angle[i]*rad) / t.Side[i]
	if sin > 1+1e-9 {
		return nil, errTooShort
	}
	acute := math.Asin(min(1, sin)) / rad
	var out []Triangle
	for _, a := range [2]float64{acute, 180 - acute} {
		s := t
		s.Angle[j] = a
		s.Angle[k] = 180 - t.Angle[i] - a
		if s.Angle[k] < least || a < least/10 || len(out) == 1 && 180-2*acute < least {
			continue
		}
		out = append(out, bySines(s, t.Side[i]/math.Sin(t.Angle[i]*rad)))
	}
	if len(out) == 0 {
		return nil, errTooShort
	}
	return out, nil
}

// Area is half of one side times its height: (1/2) a b sin C.
func (t Triangle) Area() float64 { return t.Side[0] * t.Side[1] * math.Sin(t.Angle[2]*rad) / 2 }

// Arc is a part of a circle: radius, chord, rise (sagitta) of the chord's
// middle to the arc, in one unit, and the angle at the centre in degrees.
type Arc struct{ Radius, Chord, Rise, Angle float64 }

// Errors of SolveArc.
const (
	errTwo   Error = "needs exactly two of radius, chord, rise and angle"
	errChord Error = "the chord is longer than twice the radius"
	errRise  Error = "the rise is more than twice the radius"
)

// SolveArc finds an arc from two of its four parts; unknown parts are 0. From
// radius and chord it takes the arc of half a circle or less.
func SolveArc(a Arc) (Arc, error) {
	n := 0
	for _, x := range [4]float64{a.Radius, a.Chord, a.Rise, a.Angle} {
		if x > 0 {
			n++
		}
	}
	if n != 2 {
		return a, errTwo
	}
	half := a.Angle / 2 * rad
	switch {
	case a.Chord > 0 && a.Rise > 0: // r = (c^2/4 + h^2)/(2h)
		a.Radius = (float64(a.Chord/4*a.Chord) + float64(a.Rise*a.Rise)) / (2 * a.Rise)
		half = 2 * math.Atan2(2*a.Rise, a.Chord)
	case a.Radius > 0 && a.Chord > 0:
		if a.Chord > 2*a.Radius {
			return a, errChord
		}
		half = math.Asin(a.Chord / (2 * a.Radius))
	case a.Radius > 0 && a.Rise > 0: // c = 2 sqrt(h (2r - h))
		if a.Rise > 2*a.Radius {
			return a, errRise
		}
		half = 2 * math.Asin(math.Sqrt(a.Rise/(2*a.Radius)))
	case a.Chord > 0:
		a.Radius = a.Chord / (2 * math.Sin(half))
	case a.Rise > 0:
		s := math.Sin(half / 2)
		a.Radius = a.Rise / (2 * s * s)
	}
	a.Angle = 2 * half / rad
	if a.Chord == 0 {
		a.Chord = max(0, 2*a.Radius*math.Sin(half))
	}
	if a.Rise == 0 { // h = r (1 - cos(t/2)) = 2 r sin^2(t/4)
		s := math.Sin(half / 2)
		a.Rise = 2 * a.Radius * s * s
	}
	return a, nil
}

// Length is the length along the arc: r t.
func (a Arc) Length() float64 { return a.Radius * a.Angle * rad }

// Segment is the area between chord and arc: r^2 (t - sin t)/2.
func (a Arc) Segment() float64 {
	t := float64(a.Angle * rad)
	part := t - math.Sin(t)
	if t < 0.01 { // cancellation: series t^3/6 (1 - t^2/20)
		part = t * t * t / 6 * (1 - float64(t*t)/20)
	}
	return a.Radius * a.Radius / 2 * part
}
