package reach

import (
	"math"
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
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
}

// between gives the distance between two spans, negative where they overlap.
func between(a1, a2, b1, b2 float64) float64 { return max(b1-a2, a1-b2) }

// Between gives the distance between a box and a head part over a sweep. Sweeping a
// box over a rectangle gives a box, and a cylinder over a rectangle a box with
// round corners, so the answer is exact: in plan the distance from the work's
// rectangle to the spindle's (less the radius), upright the distance between
// the spans, joined as the sides of a right triangle.
func Between(b Box, h Head, s Sweep) float64 {
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
	switch {
	case z > 0 && plan > 0:
		return math.Hypot(z, plan)
	case z > 0:
		return z
	case plan > 0:
		return plan
	}
	return max(z, plan)
}

// work is what passes what: the boxes, the head's parts, the box that is cut (-1 for none) and the
// part of the head with the teeth (-1 for none), which reaches down to the cutting edge.
type work struct {
	boxes      []Box
	heads      []Head
	cut, teeth int
}

// within is how far above the cutting edge a round may begin to count as the cutter, inches.
const within = .5

// newWork finds the box that is cut by its name and the teeth: the lowest round near the edge.
func newWork(boxes []Box, heads []Head, skip string) work {
	w := work{boxes, heads, -1, -1}
	for i, b := range boxes {
		if skip != "" && b.Name == skip {
			w.cut = i
			break
		}
	}
	for k, h := range heads {
		if h.Round && h.Z1 <= within && h.Z2 > 0 && (w.teeth < 0 || h.Z1 < heads[w.teeth].Z1) {
			w.teeth = k
		}
	}
	return w
}

// gap gives the distance of a box, i of the boxes, from a part of the head: the teeth reach down to
// the edge against all but the part that is cut. That one is not held against the rounds that cut
// it, and counts is false.
func (w work) gap(i int, b Box, k int, h Head, s Sweep) (gap float64, counts bool) {
	if w.cut >= 0 && w.boxes[i].Name == w.boxes[w.cut].Name {
		counts = !h.Round || h.Z1 > within || b.Z2 > s.Z2+h.Z1+1e-6
		return Between(b, h, s), counts
	}
	if k == w.teeth {
		h.Z1 = min(h.Z1, 0)
	}
	return Between(b, h, s), true
}

// gaps gives every pair that counts, nearest first.
func (w work) gaps(s Sweep) []Gap {
	found := make([]Gap, 0, len(w.boxes)*len(w.heads))
	for i, b := range w.boxes {
		for k, h := range w.heads {
			if gap, counts := w.gap(i, b, k, h, s); counts {
				found = append(found, Gap{i, k, gap})
			}
		}
	}
	out := make([]Gap, 0, len(found))
	for _, i := range units.Order(len(found), func(i, j int) bool { return found[i].Distance < found[j].Distance }) {
		out = append(out, found[i])
	}
	return out
}

// wayOut is a change that clears a pair, found by trying.
type wayOut struct {
	text  string
	by    float64 // how much is changed
	uncut float64 // what of the cut part's face it leaves
}

// sides are the ways a thing or the spindle can be kept aside.
var sides = [...]struct {
	name  string
	limit string
	x, y  float64
}{{"to the right", "right of X ", 1, 0}, {"to the left", "left of X ", -1, 0}, {"towards the column", "behind Y ",
	0, 1}, {"away from the column", "in front of Y ", 0, -1}}

// clears says whether box i, standing as b, is at least room from every part of the head that
// counts.
func (w work) clears(i int, b Box, heads []Head, s Sweep, room float64) bool {
	for k, h := range heads {
		if gap, counts := w.gap(i, b, k, h, s); counts && gap < room-1e-9 {
			return false
		}
	}
	return true
}

// uncut gives how much of the cut part's face a spindle's way leaves at an end: the cutter covers
// the whole width to sqrt(r^2 - w^2) past its middle, w from there to the far long edge; and
// across, to its radius. Infinite where the part or the cutter is not known.
func (w work) uncut(s Sweep) float64 {
	if w.cut < 0 || w.teeth < 0 {
		return math.Inf(1)
	}
	b, r := w.boxes[w.cut], w.heads[w.teeth].Radius
	half := min(max(b.Y2-s.Y2, s.Y1-b.Y1, 0), r)
	past := math.Sqrt(float64(r*r) - float64(half*half))
	return max(b.X2-s.X2-past, s.X1-past-b.X1, b.Y2-s.Y2-r, s.Y1-r-b.Y1, 0)
}

// fixed says whether a thing belongs to the machine, by its name, and cannot be moved or cut down.
func fixed(name string) bool {
	name = strings.ToLower(name)
	for _, word := range [...]string{"column", "table", "machine", "knee", "floor", "apron", "saddle", "bed", "ram",
		"overarm"} {
		for _, part := range strings.FieldsFunc(name, func(r rune) bool { return r < 'a' || r > 'z' }) {
			if part == word {
				return true
			}
		}
	}
	return false
}

// least finds by halving the least change, up to most, from which on a condition holds, and rounds
// it up to a step; 0 where it does not hold even then.
func least(most, step float64, holds func(by float64) bool) float64 {
	if !(most > 0) || !holds(most) {
		return 0
	}
	lo, hi := 0.0, most
	for range 50 {
		if mid := (lo + hi) / 2; holds(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	hi = math.Ceil(hi/step-1e-6) * step
	if !holds(hi) {
		return 0
	}
	return hi
}

// waysOut gives what clears a box from everything on the spindle: made lower by no more than half,
// put aside without meeting another box, the spindle kept to no less than half its way, or what it
// meets carried higher on a longer holder. The part that is cut and the machine stay as they are.
func (w work) waysOut(g Gap, s Sweep, room, step float64) (ways []wayOut) {
	boxes, heads, i, k := w.boxes, w.heads, g.Box, g.Head
	b := boxes[i]
	if i != w.cut {
		if by := least((b.Z2-b.Z1)/2, step, func(by float64) bool {
			c := b
			c.Z2 -= by
			return w.clears(i, c, heads, s, room)
		}); by > 0 && !fixed(b.Name) {
			ways = append(ways, wayOut{text: "shorter", by: by})
		}
		best := wayOut{}
		for _, d := range sides {
			at := func(by float64) Box {
				c := b
				c.X1, c.X2, c.Y1, c.Y2 = c.X1+float64(by*d.x), c.X2+float64(by*d.x), c.Y1+float64(by*d.y), c.Y2+float64(by*d.y)
				return c
			}
			by := least(12, step, func(by float64) bool { return w.clears(i, at(by), heads, s, room) })
			if by > 0 && (best.by == 0 || by < best.by) && !meetsMore(boxes, i, at(by)) {
				best = wayOut{text: d.name, by: by}
			}
		}
		if best.by > 0 {
			ways = append(ways, best)
		}
	}
	best := wayOut{}
	for _, d := range sides {
		long := worksheet.Either(d.x != 0, s.X2-s.X1, s.Y2-s.Y1)
		kept := func(by float64) Sweep {
			t := s
			switch {
			case d.x > 0:
				t.X1 += by
			case d.x < 0:
				t.X2 -= by
			case d.y > 0:
				t.Y1 += by
			default:
				t.Y2 -= by
			}
			return t
		}
		if by := least(long/2, step, func(by float64) bool { return w.clears(i, b, heads, kept(by), room) }); by > 0 &&
			(best.by == 0 || by < best.by) {
			best = wayOut{d.limit, by, w.uncut(kept(by))}
		}
	}
	if best.by > 0 && !math.IsInf(best.uncut, 1) {
		ways = append(ways, best)
	}
	lowest := heads[0].Z1
	for _, h := range heads {
		lowest = min(lowest, h.Z1)
	}
	if heads[k].Z1 > lowest+1e-9 { // not the cutter itself
		if by := least(6, step, func(by float64) bool {
			up := append([]Head{}, heads...)
			for j := range up {
				if up[j].Z1 > lowest+1e-9 {
					up[j].Z1, up[j].Z2 = up[j].Z1+by, up[j].Z2+by
				}
			}
			return w.clears(i, b, up, s, room)
		}); by > 0 {
			ways = append(ways, wayOut{text: "longer", by: by})
		}
	}
	return ways
}

// meetsMore says whether a box moved would stand in another that it did not stand in before.
func meetsMore(boxes []Box, i int, moved Box) bool {
	in := func(a, b Box) bool {
		return max(between(a.X1, a.X2, b.X1, b.X2), between(a.Y1, a.Y2, b.Y1, b.Y2), between(a.Z1, a.Z2, b.Z1, b.Z2)) < -1e-9
	}
	for j, b := range boxes {
		if j != i && in(moved, b) && !in(boxes[i], b) {
			return true
		}
	}
	return false
}
