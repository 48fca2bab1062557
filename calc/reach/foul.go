package reach

import (
	"math"

	"datumbook/calc/units"
)

// Box is a box fixed to the table, edges along the axes, inches from the
// table's zero; Z is up.
type Box struct {
	Name                   string
	X1, X2, Y1, Y2, Z1, Z2 float64
}

// Head is a part of the head that travels with the spindle: round about the
// spindle's axis, or a box with its middle off it. Z is from the cutting edge
// up.
type Head struct {
	Name   string
	Round  bool
	Radius float64 // round: radius
	HalfX  float64 // box: half its length along x
	HalfY  float64
	OffX   float64 // box: its middle from the spindle
	OffY   float64
	Z1, Z2 float64
}

// Sweep is the rectangle the spindle's axis goes over, and the lowest and the
// highest place of the cutting edge while it does.
type Sweep struct{ X1, X2, Y1, Y2, Z1, Z2 float64 }

// Gap is how far apart a box and a swept part of the head are.
type Gap struct {
	Box, Head int
	Distance  float64 // negative: depth of the interference
	Move      Push    // the shortest way out of an interference
}

// Push is a direction to get clear.
type Push int

// The ways to get clear.
const (
	Right Push = iota // move the work to the right
	Left
	Back // towards the column
	Front
	Down // lower the work, or pack the tool higher
)

var pushNames = [...]string{"to the right", "to the left", "towards the column", "away from the column", "down"}

// String names the way.
func (p Push) String() string { return pushNames[p] }

// between gives the distance between two spans, negative where they overlap.
func between(a1, a2, b1, b2 float64) float64 { return max(b1-a2, a1-b2) }

// Between gives the gap between a box and a head part over a sweep. Sweeping a
// box over a rectangle gives a box, and a cylinder over a rectangle a box with
// round corners, so the answer is exact: in plan the distance from the work's
// rectangle to the spindle's (less the radius), upright the distance between
// the spans, joined as the sides of a right triangle.
func Between(b Box, h Head, s Sweep) (distance float64, move Push) {
	z := between(b.Z1, b.Z2, s.Z1+h.Z1, s.Z2+h.Z2)
	x1, x2, y1, y2 := s.X1, s.X2, s.Y1, s.Y2
	r := h.Radius
	if !h.Round {
		x1, x2 = x1+h.OffX-h.HalfX, x2+h.OffX+h.HalfX
		y1, y2 = y1+h.OffY-h.HalfY, y2+h.OffY+h.HalfY
		r = 0
	}
	dx, dy := between(b.X1, b.X2, x1, x2), between(b.Y1, b.Y2, y1, y2)
	plan := math.Hypot(max(dx, 0), max(dy, 0)) - r
	if dx <= 0 && dy <= 0 {
		plan = max(dx, dy) - r
	}
	move = cheapest(b, x1-r, x2+r, y1-r, y2+r, s.Z1+h.Z1)
	switch {
	case z > 0 && plan > 0:
		return math.Hypot(z, plan), move
	case z > 0:
		return z, move
	case plan > 0:
		return plan, move
	}
	return max(z, plan), move
}

// cheapest gives the shortest straight way out of the swept box; lowering the
// work counts to the underside of the head part only.
func cheapest(b Box, x1, x2, y1, y2, z1 float64) Push {
	ways := [...]float64{Right: x2 - b.X1, Left: b.X2 - x1, Back: y2 - b.Y1, Front: b.Y2 - y1, Down: b.Z2 - z1}
	best := Down
	for p, d := range ways {
		if d > 0 && d < ways[best] {
			best = Push(p)
		}
	}
	return best
}

// Gaps gives every pair, nearest first.
func Gaps(boxes []Box, heads []Head, s Sweep) []Gap {
	found := make([]Gap, 0, len(boxes)*len(heads))
	for i, b := range boxes {
		for k, h := range heads {
			d, m := Between(b, h, s)
			found = append(found, Gap{i, k, d, m})
		}
	}
	out := make([]Gap, 0, len(found))
	for _, i := range units.Order(len(found), func(i, j int) bool { return found[i].Distance < found[j].Distance }) {
		out = append(out, found[i])
	}
	return out
}
