package weigh

import "math"

// span is a stretch of a line.
type span struct{ lo, hi float64 }

// section is a body cut across at a height: a rectangle, a ring between two radii, or a hexagon.
type section struct {
	round, hex bool
	in, out    float64 // radii; of a hexagon out is half the size across flats
	u, v       span
}

// across gives a body's section at a height w of its own frame, ok where it has one.
func (s Body) across(w float64) (c section, ok bool) {
	a, b := float64(s.A/2), float64(s.B/2)
	c = section{u: span{-a, a}, v: span{-b, b}}
	left := 1 - w/s.C // of the height
	tall := w >= 0 && w <= s.C
	lies := func(r float64) (h float64, in bool) {
		return math.Sqrt(max(float64(r*r)-float64(w*w), 0)), math.Abs(w) <= r
	}
	switch s.Shape {
	case Box:
	case Rod:
		c.round, c.out = true, a
	case Tube:
		c.round, c.in, c.out = true, b, a
	case Hex:
		c.hex, c.out = true, a
	case Cone:
		c.round, c.out = true, b+float64((a-b)*left)
	case Dome:
		c.round = true
		c.out, tall = lies(a)
		tall = tall && w >= 0
	case Ball:
		c.round = true
		c.out, tall = lies(a)
	case Pyr:
		c.u, c.v = span{-a * left, a * left}, span{-b * left, b * left}
	case Gable:
		c.u = span{-a * left, a * left}
	case Ramp:
		c.u.hi = -a + float64(s.A*left)
	case RampR:
		c.u.lo = a - float64(s.A*left)
	case Half:
		h, in := lies(a)
		c.u, tall = span{-h, h}, in && w >= 0
	case Ring:
		h, in := lies(b)
		c.round, c.in, c.out, tall = true, max(a-h, 0), a+h, in
	case Fillet:
		c.u, tall = span{0, s.hollow(w)}, w >= 0 && w <= s.A
	}
	return c, tall
}

// hollow is how far a fillet reaches at a distance along its other leg.
func (s Body) hollow(w float64) float64 {
	return s.A - math.Sqrt(max(float64(s.A*s.A)-float64((s.A-w)*(s.A-w)), 0))
}

// along adds the stretches of a line along u (k 0) or v (k 1), at q on the other.
func (c section) along(k int, q float64, out []span) []span {
	p := math.Abs(q)
	switch {
	case c.hex:
		corner := 2 * c.out / math.Sqrt(3)
		h := corner - p/math.Sqrt(3)
		if k == 1 {
			h = min(c.out, (corner-p)*math.Sqrt(3))
		}
		if h > 0 && (k == 1 || p <= c.out) {
			out = append(out, span{-h, h})
		}
	case c.round && p < c.out:
		h := math.Sqrt(float64(c.out*c.out) - float64(p*p))
		if p >= c.in {
			return append(out, span{-h, h})
		}
		g := math.Sqrt(float64(c.in*c.in) - float64(p*p))
		out = append(out, span{-h, -g}, span{g, h})
	case !c.round && k == 0 && q >= c.v.lo && q <= c.v.hi:
		out = append(out, c.u)
	case !c.round && k == 1 && q >= c.u.lo && q <= c.u.hi:
		out = append(out, c.v)
	}
	return out
}

// upright gives the stretch of a line along the body's height.
func (s Body) upright(u, v float64) span {
	a, b, r := float64(s.A/2), float64(s.B/2), math.Hypot(u, v)
	none := span{0, -1}
	high := span{0, s.C}
	root := func(x, y float64) float64 { return math.Sqrt(max(float64(x*x)-float64(y*y), 0)) }
	flat := math.Abs(u) <= a && math.Abs(v) <= b
	switch s.Shape {
	case Rod, Tube:
		if r > a || s.Shape == Tube && r < b {
			return none
		}
	case Hex:
		if math.Abs(v) > a || float64(math.Abs(u)*math.Sqrt(3))+math.Abs(v) > s.A {
			return none
		}
	case Cone:
		switch {
		case r > max(a, b):
			return none
		case r > b:
			high.hi = s.C * (a - r) / (a - b)
		case r > a:
			high.lo = s.C * (r - a) / (b - a)
		}
	case Dome, Ball:
		if r > a {
			return none
		}
		high.hi = root(a, r)
		if s.Shape == Ball {
			high.lo = -high.hi
		}
	case Ring:
		if math.Abs(r-a) > b {
			return none
		}
		h := root(b, r-a)
		return span{-h, h}
	case Fillet:
		if u < 0 || u > s.A || math.Abs(v) > b {
			return none
		}
		high.hi = s.hollow(u)
	case Half:
		if !flat {
			return none
		}
		high.hi = root(a, u)
	default:
		if !flat {
			return none
		}
		switch s.Shape {
		case Pyr:
			high.hi = s.C * (1 - max(math.Abs(u)/a, math.Abs(v)/b))
		case Gable:
			high.hi = s.C * (1 - math.Abs(u)/a)
		case Ramp:
			high.hi = s.C * (.5 - u/s.A)
		case RampR:
			high.hi = s.C * (.5 + u/s.A)
		}
	}
	return high
}

// frame gives which axis of the part each of the body's own lies along, and the sense of its
// height.
func (s Body) frame() (axes [3]int, sense float64) {
	axis := s.Axis
	sense = 1
	if len(axis) == 2 { // "-x", "-y", "-z"
		axis, sense = axis[1:], -1
	}
	switch axis {
	case "x":
		return [3]int{1, 2, 0}, sense
	case "y":
		return [3]int{0, 2, 1}, sense
	}
	return [3]int{0, 1, 2}, sense
}

// chords adds the stretches that lie in the body of a line along an axis of the part through p.
func (s Body) chords(g int, p [3]float64, out []span) []span {
	axes, sense := s.frame()
	at := [3]float64{s.X, s.Y, s.Z}
	var q [3]float64
	k := 0
	for i, a := range axes {
		q[i] = p[a] - at[a]
		if a == g {
			k = i
		}
	}
	q[2] *= sense
	first := len(out)
	if k == 2 {
		if c := s.upright(q[0], q[1]); c.hi > c.lo {
			if sense < 0 {
				c = span{-c.hi, -c.lo}
			}
			out = append(out, c)
		}
	} else if c, ok := s.across(q[2]); ok {
		out = c.along(k, q[1-k], out)
	}
	for i := range out[first:] {
		out[first+i].lo += at[g]
		out[first+i].hi += at[g]
	}
	return out
}

// piece is a stretch of a line with the density there, 0 for none.
type piece struct {
	span
	density float64
}

// lay makes the stretches of a body solid or void among the pieces of a line. Where two solids lie
// in one place the heavier metal is reckoned.
func lay(line []piece, b *Body, chords []span) []piece {
	for _, c := range chords {
		for i := 0; i < len(line); i++ {
			p := line[i]
			lo, hi := max(p.lo, c.lo), min(p.hi, c.hi)
			if lo >= hi {
				continue
			}
			mid := piece{span{lo, hi}, max(p.density, b.Density)}
			if b.Void {
				mid.density = 0
			}
			line[i] = mid
			if p.lo < lo {
				line = append(line, piece{span{p.lo, lo}, p.density})
			}
			if p.hi > hi {
				line = append(line, piece{span{hi, p.hi}, p.density})
			}
		}
	}
	return line
}

// change is what a row of the list adds or takes away.
type change struct {
	volume, weight float64
	moment         [3]float64
	own            float64    // the body's own volume, found the same way
	mid            [3]float64 // and its moment
}

// insert puts a number among others in their order.
func insert(list []float64, x float64) []float64 {
	list = append(list, x)
	for i := len(list) - 1; i > 0 && list[i] < list[i-1]; i-- {
		list[i], list[i-1] = list[i-1], list[i]
	}
	return list
}

// sliced works out what row i changes of the rows before it that it meets, by lines along the first
// of its own axes. The places of the lines are cut at the ends of every body and crowd toward them,
// where round bodies begin and end (Fejer's rule): with 300 lines across, to about a thousandth of
// what the bodies have in common.
func sliced(bodies []Body, placed []Placed, i int, meets []int, lines int) (d change) {
	axes, _ := bodies[i].frame()
	g := axes[0]
	a, b := (g+1)%3, (g+2)%3
	var nodes [2][][2]float64 // place and weight
	for k, ax := range []int{a, b} {
		lo, hi := placed[i].Low[ax], placed[i].Top[ax]
		ends := []float64{lo, hi}
		for _, j := range meets {
			for _, x := range []float64{placed[j].Low[ax], placed[j].Top[ax]} {
				if x > lo && x < hi {
					ends = insert(ends, x)
				}
			}
		}
		n := min(max(lines/(len(ends)-1), 3), 100)
		for e := 1; e < len(ends); e++ {
			if ends[e]-ends[e-1] <= 1e-9*(hi-lo) {
				continue
			}
			half, mid := float64((ends[e]-ends[e-1])/2), float64((ends[e]+ends[e-1])/2)
			for m := range n {
				s, c := math.Sincos(math.Pi * (float64(m) + .5) / float64(n))
				// the sine's half wave adds up to 2 only in the limit: divided by its sum
				w := float64(half*s) * 2 * math.Sin(math.Pi/float64(2*n))
				nodes[k] = append(nodes[k], [2]float64{mid - float64(half*c), w})
			}
		}
	}
	var own, other []span
	var line []piece
	for _, x := range nodes[0] {
		for _, y := range nodes[1] {
			var p [3]float64
			p[a], p[b] = x[0], y[0]
			own, line = bodies[i].chords(g, p, own[:0]), line[:0]
			for _, c := range own {
				line = append(line, piece{c, 0})
			}
			if len(line) == 0 {
				continue
			}
			for _, j := range meets {
				other = bodies[j].chords(g, p, other[:0])
				line = lay(line, &bodies[j], other)
			}
			area := float64(x[1] * y[1])
			for _, c := range line {
				v := float64(area * (c.hi - c.lo))
				p[g] = (c.lo + c.hi) / 2
				w := c.density
				if !bodies[i].Void {
					w = max(bodies[i].Density-c.density, 0)
				}
				d.own += v
				if (c.density > 0) == bodies[i].Void {
					d.volume += v
				}
				d.weight += float64(v * w)
				for k := range 3 {
					d.mid[k] += float64(v * p[k])
					d.moment[k] += float64(float64(v*w) * p[k])
				}
			}
		}
	}
	return d
}
