// Package interval is the closed interval between two limits: a tolerance, a
// travel, the stock left on a casting. A zone may be empty (Lo above Hi), and
// every method says what it does then. A zone has no unit of its own; it has
// its caller's, and both ends are in the same one.
package interval

import "math"

// A Zone is every value from Lo to Hi, both ends included. It is empty when Lo
// is above Hi or either end is not a number.
type Zone struct{ Lo, Hi float64 }

// Between returns the zone whose ends are a and b in either order.
func Between(a, b float64) Zone { return Zone{Lo: min(a, b), Hi: max(a, b)} }

// About returns the zone from centre-half to centre+half. A negative half
// gives an empty zone.
func About(centre, half float64) Zone { return Zone{Lo: centre - half, Hi: centre + half} }

// Empty returns a zone that contains nothing and leaves any zone unchanged
// under Union.
func Empty() Zone { return Zone{Lo: math.Inf(1), Hi: math.Inf(-1)} }

// IsEmpty reports whether the zone contains no value at all.
func (z Zone) IsEmpty() bool { return !(z.Lo <= z.Hi) }

// Contains reports whether x lies in the zone, ends included. An empty zone
// contains nothing.
func (z Zone) Contains(x float64) bool { return z.Lo <= x && x <= z.Hi }

// ContainsZone reports whether all of o lies in z. An empty zone lies in every
// zone.
func (z Zone) ContainsZone(o Zone) bool {
	return o.IsEmpty() || (z.Lo <= o.Lo && o.Hi <= z.Hi)
}

// Intersects reports whether the two zones share a value; touching ends count.
func (z Zone) Intersects(o Zone) bool { return !z.Intersection(o).IsEmpty() }

// Intersection returns what lies in both zones, empty when nothing does.
func (z Zone) Intersection(o Zone) Zone {
	if z.IsEmpty() || o.IsEmpty() {
		return Empty()
	}
	return Zone{Lo: max(z.Lo, o.Lo), Hi: min(z.Hi, o.Hi)}
}

// Union returns the smallest zone holding both; an empty one adds nothing.
func (z Zone) Union(o Zone) Zone {
	if z.IsEmpty() {
		return o
	}
	if o.IsEmpty() {
		return z
	}
	return Zone{Lo: min(z.Lo, o.Lo), Hi: max(z.Hi, o.Hi)}
}

// Width returns Hi - Lo, and 0 for an empty zone.
func (z Zone) Width() float64 {
	if z.IsEmpty() {
		return 0
	}
	return z.Hi - z.Lo
}

// Mid returns the middle of the zone, and 0 for an empty zone.
func (z Zone) Mid() float64 {
	if z.IsEmpty() {
		return 0
	}
	return z.Lo + float64((z.Hi-z.Lo)*.5)
}

// Expanded returns the zone with margin added at both ends. A negative margin
// shrinks it and may leave it empty; an empty zone stays empty.
func (z Zone) Expanded(margin float64) Zone {
	if z.IsEmpty() {
		return Empty()
	}
	return Zone{Lo: z.Lo - margin, Hi: z.Hi + margin}
}

// Shifted returns the zone moved by d; an empty zone stays empty.
func (z Zone) Shifted(d float64) Zone {
	if z.IsEmpty() {
		return Empty()
	}
	return Zone{Lo: z.Lo + d, Hi: z.Hi + d}
}

// Clamp returns the value of the zone nearest x, and x itself for an empty
// zone.
func (z Zone) Clamp(x float64) float64 {
	if z.IsEmpty() {
		return x
	}
	return min(max(x, z.Lo), z.Hi)
}

// Room returns how far x is from the nearer end: positive inside, 0 on an end,
// negative outside. For an empty zone it returns negative infinity, which a
// caller must not print.
func (z Zone) Room(x float64) float64 {
	if z.IsEmpty() {
		return math.Inf(-1)
	}
	return min(x-z.Lo, z.Hi-x)
}

// A Verdict answers whether a value known only within some doubt lies in a
// zone.
type Verdict int

// The three answers. Close means that the doubt reaches across an end.
const (
	Out Verdict = iota
	Close
	In
)

// String returns the verdict in lower case.
func (v Verdict) String() string {
	switch v {
	case In:
		return "in"
	case Close:
		return "too close to call"
	}
	return "out"
}

// Holds tells whether x, known to within plus or minus doubt, lies in the
// zone. An empty zone holds nothing; a negative doubt is taken as none.
func (z Zone) Holds(x, doubt float64) Verdict {
	doubt = max(doubt, 0)
	switch room := z.Room(x); {
	case z.IsEmpty() || !(room >= -doubt):
		return Out
	case room < doubt:
		return Close
	}
	return In
}
