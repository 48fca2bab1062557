// Package reach answers whether the machine reaches a cut: the travels it needs, the window of
// places for the part that works, the stack of tool and work under the spindle, and what collides.
// Lengths are inches.
package reach

import "math"

// Approach gives how far a cutter of diameter d has to go on after its front
// has touched the end of the face until it cuts the full width, w being the
// half-width to the far side of the cutter's middle: A = d/2 - sqrt((d/2)^2 -
// w^2), and d/2 where the face is wider than the cutter (milling time formulas,
// Fundamentals of Machining Processes, 2nd ed., 6.3).
func Approach(d, w float64) float64 {
	r := float64(d / 2)
	if w >= r {
		return r
	}
	return r - math.Sqrt(float64(r*r)-float64(w*w))
}

// Rows gives how many passes side by side a cutter of diameter d needs over a
// face of width b, and how far apart the first and the last stand. The outer
// passes hang edge over the face; a pass stands at most step beside the last.
func Rows(b, d, edge, step float64) (n int, span float64) {
	span = b + float64(2*edge) - d
	if span <= 1e-9 {
		return 1, 0
	}
	return 1 + int(math.Ceil(span/step-1e-9)), span
}

// Half gives the half-width that counts for Approach when a face of width b is
// cut in the n rows of Rows: the face's own half for one pass; for several what
// the outer row cuts beyond its middle, or half the way between rows where that
// is more.
func Half(b, d, edge float64, n int, span float64) float64 {
	if n == 1 {
		return b / 2
	}
	return max(float64(d/2)-edge, span/float64(n-1)/2)
}

// Ends says how far the cutter has to run at the ends of the face.
type Ends int

// The ways to run out.
const (
	ClearBoth Ends = iota // clear of the face at both ends
	FromLow               // starts clear at the low end, stops when the face is cut
	FromHigh              // the same from the high end
)

// Path returns the travel the cutter's middle needs along a face from -l/2 to l/2: lo and hi, with
// run-out c and approach A = Approach(d, w).
//
//	clear both ends:  L + D + 2c
//	clear one end:    L + A + 2c  (c before it touches, c after the face is cut)
func Path(l, d, c, a float64, ends Ends) (lo, hi float64) {
	out := float64(l/2) + float64(d/2) + c
	in := min(float64(l/2)-(float64(d/2)-a)+c, out)
	switch ends {
	case FromLow:
		return -out, in
	case FromHigh:
		return -in, out
	}
	return -out, out
}

// Window gives the places of a part, measured at its middle, for which a path
// from lo to hi about that middle stays inside a travel from tlo to thi. It is
// empty (from > to) where the path is longer than the travel; from - to is then
// what is missing.
func Window(lo, hi, tlo, thi float64) (from, to float64) { return tlo - lo, thi - hi }

// Swing gives the spindle's place from the turret's axis for a ram reaching r
// swung by an angle in degrees: x = r sin, y = r cos.
func Swing(r, degrees float64) (x, y float64) {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return float64(r * s), float64(r * c)
}

// Tilt gives how far the spindle nose moves sideways and up when a head with
// its pivot arm above the nose is tilted by an angle in degrees.
func Tilt(arm, degrees float64) (side, up float64) {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return float64(arm * s), float64(arm * (1 - c))
}

// Swept gives the radius the farthest corner of a rectangle sweeps about a
// point: sqrt(a^2 + b^2) to that corner.
func Swept(x1, x2, y1, y2, px, py float64) float64 {
	return math.Hypot(max(math.Abs(x1-px), math.Abs(x2-px)), max(math.Abs(y1-py), math.Abs(y2-py)))
}
