package match

import "math"

// seat is a part's place against a fixture's: the bolt is in while the place's
// centre, less the fixture's, lies within r of the parallelogram that the two
// slots span.
type seat struct {
	b, p vec // spot: centre and half slot, in the part
	a, s vec // place: centre and half slot, on the face
	r    float64
}

// apart gives how far v lies outside the parallelogram {i s + j q, |i|,|j| <= 1},
// less than nothing inside it, and the unit direction in which it is left.
func apart(v, s, q vec) (d float64, out vec) {
	ls, lq, det := s.size(), q.size(), s.cross(q)
	if ls+lq == 0 {
		return outside(v, vec{1, 0}, 0)
	}
	if math.Abs(det) <= 1e-9*ls*lq { // one slot, or two that run alike
		if ls < lq {
			return outside(v, q.times(1/lq), ls+lq)
		}
		return outside(v, s.times(1/ls), ls+lq)
	}
	i, j := v.cross(q)/det, s.cross(v)/det
	if i < 0 {
		i, s = -i, s.times(-1)
	}
	if j < 0 {
		j, q = -j, q.times(-1)
	}
	u, w := s.times(1/ls), q.times(1/lq)
	across := math.Abs(det)
	if i <= 1 && j <= 1 { // the nearer of the two edges it is next to
		n, d := vec{w.y, -w.x}, float64((i-1)*across)/lq
		if e := float64((j-1)*across) / ls; e > d {
			n, d = vec{u.y, -u.x}, e
			if n.dot(q) < 0 {
				n = n.times(-1)
			}
		} else if n.dot(s) < 0 {
			n = n.times(-1)
		}
		return d, n
	}
	d = math.Inf(1)
	if i > 1 {
		d, out = outside(v.sub(s), w, lq)
	}
	if j > 1 {
		if e, n := outside(v.sub(q), u, ls); e < d {
			d, out = e, n
		}
	}
	return d, out
}

// outside is apart for a segment of half length h along the unit u.
func outside(v, u vec, h float64) (float64, vec) {
	t := v.dot(u)
	if math.Abs(t) <= h { // the exact direction, even where there is next to no distance
		if d := u.cross(v); d < 0 {
			return -d, vec{u.y, -u.x}
		} else {
			return d, vec{-u.y, u.x}
		}
	}
	v = v.sub(u.times(math.Copysign(h, t)))
	d := v.size()
	if d < 1e-13 {
		return 0, u
	}
	return d, v.times(1 / d)
}

// stiff reports that no slot gives the bolt more play.
func (s *seat) stiff() bool { return s.s == vec{} && s.p == vec{} }

// off returns the bolt's distance from the middle of its play.
func (s *seat) off(p Pose) float64 {
	d, _ := apart(p.at(s.b).sub(s.a), s.s, s.p.turned(p.Cos, p.Sin))
	return max(0, d)
}

// room gives the least room at the pose.
func room(seats []seat, p Pose) float64 {
	least := math.Inf(1)
	for i := range seats {
		s := &seats[i]
		if s.stiff() {
			x := float64(p.Cos*s.b.x) - float64(p.Sin*s.b.y) + p.X - s.a.x
			y := float64(p.Sin*s.b.x) + float64(p.Cos*s.b.y) + p.Y - s.a.y
			least = min(least, s.r-math.Sqrt(float64(x*x)+float64(y*y)))
			continue
		}
		least = min(least, s.r-s.off(p))
	}
	return least
}

// The fit maximises the play of the tightest bolt over the shift x and the turn. With v = R b + x -
// a a bolt in its seat keeps, for every unit direction n,
//
//	n . v - h(n) <= r - room,  h(n) = |n . s| + |n . R p|
//
// h being the support function of the slots' parallelogram. At one turn this is a linear programme
// in x and room with infinitely many rows, solved by exchange: three balanced directions fix the
// shift, and the worst bolt there gives the next. Weights w with sum of w n = 0 eliminate the shift
// from the sum of their rows, so at any other turn too
//
//	room <= sum of w (r + h(n) + n . a - n . R b)
//
// a sinusoid of the turn. With these bounds the turns are searched by branch and bound: a stretch
// is discarded only when the bounds from its ends allow no more room than was found.

// knot is a turn.
type knot struct{ at, c, s float64 }

// pull is one direction in which a bolt limits the shift.
type pull struct {
	i int
	n vec
}

// cut is what is known from one turn: at any other the room is at most
// k - (c cos + s sin) + the sizes of the kinks' (x cos + y sin).
type cut struct {
	k, c, s float64
	kink    [3]vec
	bend    float64 // the kinks' sum
}

// stretch is a piece of the turns still open, with the bounds of its two ends.
type stretch struct {
	lo, hi knot
	a, b   cut
	most   float64
	next   float64 // where to look next
}

// fitter does one fit at a time and reuses its lists.
type fitter struct {
	seats []seat
	hold  [3]pull
	v, q  [MaxSpots]vec
	open  []stretch
	cap   float64 // the least r: upper bound of every fit
	room  float64 // best so far
	turn  knot
	shift vec
	most  float64 // upper bound of every fit
	tol   float64 // tolerance for the best
	turns int     // looked at
}

// maxTurns ends a fit whose bounds do not converge; none has been seen.
const maxTurns = 4000

// fit looks for the most room with turns from lo to hi, first at the turn start. It stops as soon
// as the room is enough, or cannot become so.
func (f *fitter) fit(seats []seat, lo, hi, start knot, enough, worth float64) {
	f.cap, f.room, f.turns = math.Inf(1), math.Inf(-1), 0
	f.seats, f.tol = seats, settled
	for i := range seats {
		f.cap = min(f.cap, seats[i].r)
		if seats[i].p != (vec{}) {
			f.tol = settledSlots
		}
	}
	f.most = f.cap
	enough = min(enough, f.cap-tiny)
	f.hold = [3]pull{{0, vec{1, 0}}, {0, vec{-.5, .8660254037844386}}, {0, vec{-.5, -.8660254037844386}}}
	first := f.look(start, worth)
	f.open = f.open[:0]
	if lo.at < start.at {
		f.add(stretch{lo: lo, hi: start, a: first, b: first}, worth)
	}
	if start.at < hi.at {
		f.add(stretch{lo: start, hi: hi, a: first, b: first}, worth)
	}
	for {
		k, most := -1, max(f.room+f.tol, worth)
		for i := range f.open {
			if f.open[i].most > most {
				k, most = i, f.open[i].most
			}
		}
		f.most = min(f.most, most)
		if k < 0 || f.room >= enough || f.turns >= maxTurns {
			return
		}
		g := f.open[k]
		f.open[k] = f.open[len(f.open)-1]
		f.open = f.open[:len(f.open)-1]
		mid := knot{at: g.next}
		mid.s, mid.c = math.Sincos(g.next)
		c := f.look(mid, worth)
		f.add(stretch{lo: g.lo, hi: mid, a: g.a, b: c}, worth)
		f.add(stretch{lo: mid, hi: g.hi, a: c, b: g.b}, worth)
	}
}

// add computes a stretch's bound and keeps the stretch if it may improve. Over a stretch a cut lies
// below the chord through its ends, except for its bend.
func (f *fitter) add(g stretch, worth float64) {
	w := g.hi.at - g.lo.at
	al, ah, bl, bh := g.a.over(g.lo), g.a.over(g.hi), g.b.over(g.lo), g.b.over(g.hi)
	a, b := g.a.rise(&g, w), g.b.rise(&g, w)
	al, ah, bl, bh = al+a, ah+a, bl+b, bh+b
	l, h := min(al, bl), min(ah, bh)
	g.most, g.next = max(l, h), float64((g.lo.at+g.hi.at)/2)
	if (al-bl)*(ah-bh) < 0 {
		u := (al - bl) / (al - bl + bh - ah)
		if x := al + float64(u*(ah-al)); x > g.most {
			g.most = x
			g.next = g.lo.at + float64(w*max(.05, min(.95, u)))
		}
	}
	if g.most > max(f.room+f.tol, worth) && w > 1e-12 {
		f.open = append(f.open, g)
	}
}

// over is the bound at a turn.
func (c *cut) over(k knot) float64 {
	x := c.k - float64(c.c*k.c) - float64(c.s*k.s)
	if c.bend > 0 {
		for i := range c.kink {
			x += math.Abs(float64(c.kink[i].x*k.c) + float64(c.kink[i].y*k.s))
		}
	}
	return x
}

// rise bounds how far the bound may exceed its chord: the second derivative is c cos + s sin, and
// at least what its own line and bulge make it.
func (c *cut) rise(g *stretch, w float64) float64 {
	l, h := float64(c.c*g.lo.c)+float64(c.s*g.lo.s), float64(c.c*g.hi.c)+float64(c.s*g.hi.s)
	ww := float64(w*w) / 8
	return float64(ww * (c.bend + max(0, float64(ww*(math.Abs(c.c)+math.Abs(c.s)))-min(l, h))))
}

// worst gives the least room at a shift, the bolt that has it and the direction
// in which that is off.
func (f *fitter) worst(x vec) (least float64, worst int, dir vec) {
	least = math.Inf(1)
	for i := range f.seats {
		s := &f.seats[i]
		v := vec{f.v[i].x + x.x, f.v[i].y + x.y}
		var d float64
		var out vec
		if s.stiff() {
			d = math.Sqrt(float64(v.x*v.x) + float64(v.y*v.y))
			if s.r-d < least {
				out = vec{1, 0}
				if d > 1e-13 {
					out = vec{v.x / d, v.y / d}
				}
			}
		} else {
			d, out = apart(v, s.s, f.q[i])
		}
		if s.r-d < least {
			least, worst, dir = s.r-d, i, out
		}
	}
	return least, worst, dir
}

// look solves for the shift at one turn and returns its cut.
func (f *fitter) look(at knot, worth float64) cut {
	f.turns++
	n := len(f.seats)
	for i := range n {
		s := &f.seats[i]
		f.v[i] = vec{float64(at.c*s.b.x) - float64(at.s*s.b.y) - s.a.x, float64(at.s*s.b.x) + float64(at.c*s.b.y) - s.a.y}
		f.q[i] = vec{float64(at.c*s.p.x) - float64(at.s*s.p.y), float64(at.s*s.p.x) + float64(at.c*s.p.y)}
	}
	for i := range n {
		if s := &f.seats[i]; s.r == f.cap && s.stiff() { // in the middle of the tightest hole
			x := f.v[i].times(-1)
			if least, _, _ := f.worst(x); least >= f.cap-1e-12 {
				f.room, f.shift, f.turn = f.cap, x, at
				return cut{k: f.cap}
			}
		}
	}
	if c, done := f.pair(at); done {
		return c
	}
	var w [3]float64
	for step := 0; ; step++ {
		var g [3]float64
		for k := range f.hold {
			h := &f.hold[k]
			s, v, q := &f.seats[h.i], &f.v[h.i], &f.q[h.i]
			g[k] = s.r - float64(h.n.x*v.x) - float64(h.n.y*v.y) + math.Abs(float64(h.n.x*s.s.x)+float64(h.n.y*s.s.y)) + math.Abs(float64(h.n.x*q.x)+float64(h.n.y*q.y))
		}
		n0 := f.hold[0].n
		d1, d2 := f.hold[1].n.sub(n0), f.hold[2].n.sub(n0)
		det := float64(d1.x*d2.y) - float64(d1.y*d2.x)
		w[1] = (float64(n0.y*d2.x) - float64(n0.x*d2.y)) / det
		w[2] = (float64(n0.x*d1.y) - float64(n0.y*d1.x)) / det
		w[0] = 1 - w[1] - w[2]
		g1, g2 := g[1]-g[0], g[2]-g[0]
		x := vec{(float64(g1*d2.y) - float64(g2*d1.y)) / det, (float64(g2*d1.x) - float64(g1*d2.x)) / det}
		top := g[0] - float64(n0.x*x.x) - float64(n0.y*x.y)
		least, worst, dir := f.worst(x)
		f.keep(min(least, f.cap), x, at)
		if top-least < 1e-12 || least >= f.cap || top < max(worth, f.room) || step == 60 {

			break
		}
		// Its direction replaces one whose weight would become negative.
		e := dir.sub(n0)
		var m [3]float64
		m[1] = (float64(e.x*d2.y) - float64(e.y*d2.x)) / det
		m[2] = (float64(d1.x*e.y) - float64(d1.y*e.x)) / det
		m[0] = 1 - m[1] - m[2]
		// Three almost collinear points fix nothing: det times m is the area left.
		out, share, floor := -1, math.Inf(1), max(1e-9, 1e-12/math.Abs(det))
		for k := range m {
			if m[k] > floor && max(0, w[k]) < share*m[k] {
				out, share = k, max(0, w[k])/m[k]
			}
		}
		if out < 0 {
			break
		}
		f.hold[out] = pull{worst, dir}
	}
	return f.cut(w)
}

// pair starts with the two bolts, at least one without slots, that limit each other most, and is
// done if no third limits more.
func (f *fitter) pair(at knot) (c cut, done bool) {
	top, n := f.cap, vec{}
	var a, b int
	for i := range f.seats {
		if !f.seats[i].stiff() {
			continue
		}
		for j := range f.seats {
			s := &f.seats[j]
			stiff := s.stiff()
			if stiff && j <= i {
				continue
			}
			r := f.seats[i].r
			v := f.v[j].sub(f.v[i])
			var d float64
			var out vec
			if stiff {
				d = math.Sqrt(float64(v.x*v.x) + float64(v.y*v.y))
			} else {
				d, out = apart(v, s.s, f.q[j])
			}
			if t := float64((r + s.r - d) / 2); t < top && d > tiny {
				if stiff {
					out = v.times(1 / d)
				}
				top, n, a, b = t, out, i, j
			}
		}
	}
	if top == f.cap {
		return c, false
	}
	x := f.v[a].add(n.times(f.seats[a].r - top)).times(-1)
	least, worst, dir := f.worst(x)
	f.keep(min(least, f.cap), x, at)
	f.hold = [3]pull{{a, n.times(-1)}, {b, n}, {worst, dir}}
	if math.Abs(n.cross(dir)) < 1e-6 { // three in line fix nothing
		f.hold[2].n = vec{-n.y, n.x}
	}
	return f.cut([3]float64{.5, .5, 0}), least >= top-1e-12
}

// keep notes a shift that is better than any so far; a negligible gain is not worth leaving a
// quarter turn for.
func (f *fitter) keep(r float64, x vec, at knot) {
	if r > f.room && (at.at == f.turn.at || r > f.room+settled) {
		f.room, f.shift, f.turn = r, x, at
	}
}

// cut computes the bound of the active directions and their weights.
func (f *fitter) cut(w [3]float64) (c cut) {
	for k := range f.hold {
		h := &f.hold[k]
		s := &f.seats[h.i]
		u := vec{float64(w[k] * h.n.x), float64(w[k] * h.n.y)}
		c.k += float64(w[k]*s.r) + u.dot(s.a) + math.Abs(u.dot(s.s))
		c.c += u.dot(s.b)
		c.s += s.b.cross(u)
		if s.p != (vec{}) {
			c.kink[k] = vec{u.dot(s.p), s.p.cross(u)}
			c.bend += c.kink[k].size()
		}
	}
	return c
}

func (k knot) back() knot { return knot{-k.at, k.c, -k.s} }
