package thread

import "math"

// What only the laws ask of a thread.

// HeightPercent returns the same hole's thread height as a percentage of the
// basic height 5H/8 = 0.54126588 P: 100 (D - hole) / (1.08253175 P), larger
// than PercentOfThread by exactly 1.2.
func (t Thread) HeightPercent(hole float64) float64 {
	return 100 * (t.D - hole) / float64(minorRatio*t.Pitch)
}

// MinorArea returns the area at the external thread's minor diameter, in2 or
// mm2: pi/4 (D - 1.3 P)^2 for Unified (FED-STD-H28/2), pi/4 d3^2 for metric.
func (t Thread) MinorArea() float64 {
	d := t.D - float64(1.3*t.Pitch)
	if t.System == ISO {
		d = t.Basic().Core
	}
	return math.Pi / 4 * float64(d*d)
}

// Has reports whether both limits are given.
func (s Span) Has() bool { return s.HasMin && s.HasMax }

// Holds reports whether x is within the limits that are given.
func (s Span) Holds(x float64) bool {
	return (!s.HasMin || s.Min <= x) && (!s.HasMax || x <= s.Max)
}

// Mean returns the middle of the lead's range, in threads.
func (c Chamfer) Mean() float64 { return (c.Min + c.Max) / 2 }

// Listed returns the standard threads with this thread's diameter, coarse
// first; none when the diameter is not a standard one.
func (t Thread) Listed() []Thread {
	var list []Thread
	all := AllUnified
	if t.System == ISO {
		all = AllISO
	}
	for _, o := range all() {
		if o.D == t.D {
			list = append(list, o)
		}
	}
	return list
}

// Choice returns which choice of ISO 261 a metric diameter is, 1, 2 or 3, and 0
// for a diameter that is not listed.
func Choice(d float64) int {
	r, ok := isoSizeFor(d)
	if !ok {
		return 0
	}
	return r.choice
}
