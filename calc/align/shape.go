package align

import "math"

// Form is what a face is along a line, its lean apart.
type Form int

// The forms.
const (
	Straight Form = iota // as far as the needle shows
	Hollow
	Crown
	Wavy
	Spot // one place off its neighbours, which agree: a chip or a burr first
)

// Shape is how straight a face is.
type Shape struct {
	Form Form
	Zone float64 // between the two closest parallel lines that hold every place
	At   Place   // of the places, the one farthest off the line through the ends, or the spot
	Off  float64 // how far, + towards the indicator
	hull []Place // where a straightedge can lie
}

// ShapeOf finds the shape of places in order of x; their ends are the line it is told from.
//
// Source: ISO 12780-1 and ISO 230-1, 3.4: the least straightness error is by the minimum zone.
func ShapeOf(places []Place, grad float64) Shape {
	s := Shape{At: places[0], Zone: zone(places), hull: hull(places)}
	low, high := 0.0, 0.0
	last := len(places) - 1
	for _, p := range places[1:last] {
		off := p.Mid() - along(places[0], places[last], p.X)
		low, high = min(low, off), max(high, off)
		if s.Off == 0 || beats(math.Abs(off), math.Abs(s.Off), p, s.At) {
			s.At, s.Off = p, off
		}
	}
	switch {
	case s.Zone <= grad+hair:
	case s.spot(places, grad):
		s.Form = Spot
	case high <= float64(grad/2)+hair:
		s.Form = Hollow
	case low >= -float64(grad/2)-hair:
		s.Form = Crown
	default:
		s.Form = Wavy
	}
	return s
}

// along is the height at x of the line through two places.
func along(a, b Place, x float64) float64 {
	return a.Mid() + float64((b.Mid()-a.Mid())*((x-a.X)/(b.X-a.X)))
}

// zone tries the direction of every pair of places: of the two closest parallel lines that hold all
// one goes through two of them.
func zone(places []Place) float64 {
	if len(places) < 3 {
		return 0
	}
	best := math.Inf(1)
	for i, a := range places {
		for _, b := range places[i+1:] {
			low, high := 0.0, 0.0
			for _, p := range places {
				off := p.Mid() - along(a, b, p.X)
				low, high = min(low, off), max(high, off)
			}
			best = min(best, high-low)
		}
	}
	return best
}

// spot looks for one inner place more than three graduations off the line of its neighbours, where
// the others make a straight line without it.
func (s *Shape) spot(places []Place, grad float64) bool {
	if len(places) < 4 {
		return false
	}
	for i := 1; i < len(places)-1; i++ {
		off := places[i].Mid() - along(places[i-1], places[i+1], places[i].X)
		if math.Abs(off) <= float64(3*grad)+hair {
			continue
		}
		rest := append(append([]Place(nil), places[:i]...), places[i+1:]...)
		if zone(rest) <= grad+hair {
			s.At, s.Off = places[i], off
			return true
		}
	}
	return false
}

// hull gives the places a straightedge can touch, from one end to the other.
func hull(places []Place) []Place {
	var out []Place
	for _, p := range places {
		for len(out) > 1 && out[len(out)-1].Mid() <= along(out[len(out)-2], p, out[len(out)-1].X)+hair {
			out = out[:len(out)-1]
		}
		out = append(out, p)
	}
	return out
}

// Contact is where a stiff flat part lies on the face.
type Contact struct {
	A, B  Place      // it lies on these two, A = B where it rocks on one
	Slope [2]float64 // in/in; two of them where it rocks, else the same
	Rocks bool
	Gap   float64 // the most that is open under it, between A and B
	GapAt float64
}

// Lies gives the edge of the hull that straddles the middle of the part; on a corner of it the part
// rocks between the two edges there.
func (s *Shape) Lies(places []Place, middle float64) Contact {
	h := s.hull
	slope := func(i int) float64 { return (h[i+1].Mid() - h[i].Mid()) / (h[i+1].X - h[i].X) }
	i := 0
	for i < len(h)-2 && middle > h[i+1].X+1e-6 {
		i++
	}
	if i < len(h)-2 && math.Abs(middle-h[i+1].X) < 1e-6 {
		return Contact{A: h[i+1], B: h[i+1], Slope: [2]float64{slope(i), slope(i + 1)}, Rocks: true}
	}
	c := Contact{A: h[i], B: h[i+1], Slope: [2]float64{slope(i), slope(i)}}
	for _, p := range places {
		if p.X > c.A.X && p.X < c.B.X {
			if gap := along(c.A, c.B, p.X) - p.Mid(); gap > c.Gap {
				c.Gap, c.GapAt = gap, p.X
			}
		}
	}
	return c
}

// Strip is a part bolted down over a gap, as a strip of even thickness. Lengths are in inches.
type Strip struct{ Thick, Wide, Span, E float64 } // E in psi

// stiff is the force in the middle for an inch of bend there: 48 E I/L^3.
func (s Strip) stiff() float64 {
	i := float64(s.Wide*s.Thick*s.Thick*s.Thick) / 12
	return 48 * s.E * i / float64(s.Span*s.Span*s.Span)
}

// Close is the force of a bolt in the middle, lbf, and the bending stress, psi, that close a gap.
//
// Source: beam theory, a strip on two supports loaded in the middle.
func (s Strip) Close(gap float64) (force, stress float64) {
	return s.stiff() * gap, 6 * s.E * s.Thick * gap / float64(s.Span*s.Span)
}

// Springs is what of a gap between two strips pulled together the first one takes, and springs back
// by when it is let go.
func (s Strip) Springs(gap float64, under Strip) float64 {
	return gap * under.stiff() / (under.stiff() + s.stiff())
}
