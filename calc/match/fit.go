package match

import (
	"math"

	"datumbook/calc/estimate"
)

// seat is a part's place against a fixture's: the bolt is in while the place's
// centre, less the fixture's, lies within r of the parallelogram that the two
// slots span.
type seat struct {
	b, p vec // spot: centre and half slot, in the part
	a, s vec // place: centre and half slot, on the face
	r    float64
}

// nearest gives v less the point of the parallelogram {i s + j q, |i|,|j| <= 1}
// nearest to it. line is the unit normal where v lies off an edge or a segment,
// whose direction then is free; inside says that v is in the parallelogram.
func nearest(v, s, q vec) (off, line vec, inside bool) {
	ls, lq := s.size(), q.size()
	if ls < tiny && lq < tiny {
		return v, vec{}, false
	}
	det := s.cross(q)
	if math.Abs(det) <= 1e-6*ls*lq || ls < tiny || lq < tiny {
		u, h := s.times(1/max(ls, tiny)), ls+lq
		if lq > ls {
			u = q.times(1 / lq)
		}
		return offSegment(v, u, h)
	}
	i, j := v.cross(q)/det, s.cross(v)/det
	if math.Abs(i) <= 1 && math.Abs(j) <= 1 {
		return vec{}, vec{}, true
	}
	best := math.Inf(1)
	for k := range 4 {
		mid, edge, h := s, q.times(1/lq), lq
		if k > 1 {
			mid, edge, h = q, s.times(1/ls), ls
		}
		if k%2 == 1 {
			mid = mid.times(-1)
		}
		o, n, _ := offSegment(v.sub(mid), edge, h)
		if d := o.size(); d < best {
			best, off, line = d, o, n
		}
	}
	return off, line, false
}

// offSegment is nearest for a segment of half length h along the unit u.
func offSegment(v, u vec, h float64) (off, line vec, inside bool) {
	t := v.dot(u)
	if math.Abs(t) <= h {
		n := vec{-u.y, u.x}
		return n.times(n.dot(v)), n, false
	}
	if t < 0 {
		h = -h
	}
	return v.sub(u.times(h)), vec{}, false
}

// stiff says that no slot gives the bolt more room.
func (s *seat) stiff() bool { return s.s == vec{} && s.p == vec{} }

// off gives how far the seat's bolt is out of the middle of its room.
func (s *seat) off(p Pose) (off, line vec, inside bool) {
	return nearest(p.at(s.b).sub(s.a), s.s, s.p.turned(p.Cos, p.Sin))
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
		off, _, _ := s.off(p)
		least = min(least, s.r-off.size())
	}
	return least
}

// arc limits the turn: to within half of the direction (c, s), half below pi;
// a half of pi or more limits nothing.
type arc struct{ c, s, half float64 }

// turn turns the pose by a small angle about the point m of the part, keeping
// where m lies, and keeps the turn within the arc.
func turn(p Pose, by float64, m vec, lim arc) Pose {
	at := p.at(m)
	if math.Abs(by) > 1e-15 {
		sn, cs := math.Sincos(by)
		p.Cos, p.Sin = float64(p.Cos*cs)-float64(p.Sin*sn), float64(p.Sin*cs)+float64(p.Cos*sn)
		n := math.Sqrt(float64(p.Cos*p.Cos) + float64(p.Sin*p.Sin))
		p.Cos, p.Sin = p.Cos/n, p.Sin/n
	}
	if lim.half < math.Pi {
		if d := lim.from(p); math.Abs(d) > lim.half {
			sn, cs := math.Sincos(math.Copysign(lim.half, d))
			p.Cos, p.Sin = float64(lim.c*cs)-float64(lim.s*sn), float64(lim.s*cs)+float64(lim.c*sn)
		}
	}
	now := m.turned(p.Cos, p.Sin)
	p.X, p.Y = at.x-now.x, at.y-now.y
	return p
}

// from gives the angle from the middle of the arc to the pose's turn.
func (a arc) from(p Pose) float64 {
	return math.Atan2(float64(a.c*p.Sin)-float64(a.s*p.Cos), float64(a.c*p.Cos)+float64(a.s*p.Sin))
}

// middle is the middle of the spots and their reach from it.
func middle(seats []seat) (m vec, reach float64) {
	for i := range seats {
		m.x += seats[i].b.x / float64(len(seats))
		m.y += seats[i].b.y / float64(len(seats))
	}
	for i := range seats {
		reach = max(reach, seats[i].b.sub(m).size())
	}
	return m, reach
}

// square finds the pose of least squares near p by Gauss and Newton's steps:
// a bolt in a slot counts only across it.
func square(seats []seat, p Pose, lim arc) Pose {
	m, reach := middle(seats)
	reach = max(reach, tiny)
	for range 12 {
		var a [3][4]float64 // normal equations for dx, dy and turn x reach
		row := func(jx, jy, jt, e float64) {
			j := [4]float64{jx, jy, jt, -e}
			for i := range 3 {
				for k := range 4 {
					a[i][k] += float64(j[i] * j[k])
				}
			}
		}
		for i := range seats {
			off, line, inside := seats[i].off(p)
			if inside {
				continue
			}
			arm := seats[i].b.sub(m).turned(p.Cos, p.Sin).times(1 / reach)
			if line != (vec{}) {
				row(line.x, line.y, float64(line.y*arm.x)-float64(line.x*arm.y), off.dot(line))
				continue
			}
			row(1, 0, -arm.y, off.x)
			row(0, 1, arm.x, off.y)
		}
		step := solve3(&a)
		p.X += step[0]
		p.Y += step[1]
		p = turn(p, max(-.5, min(.5, step[2]/reach)), m, lim)
		if math.Abs(step[0])+math.Abs(step[1])+math.Abs(step[2]) < 1e-12 {
			break
		}
	}
	return p
}

// solve3 solves the normal equations with a touch of damping, so that a way the
// slots leave free is simply not gone.
func solve3(a *[3][4]float64) (x [3]float64) {
	damp := float64(1e-10 * (a[0][0] + a[1][1] + a[2][2] + 1e-3))
	for i := range 3 {
		a[i][i] += damp
	}
	for i := range 3 {
		for k := i + 1; k < 3; k++ {
			f := a[k][i] / a[i][i]
			for j := i; j < 4; j++ {
				a[k][j] -= float64(f * a[i][j])
			}
		}
	}
	for i := 2; i >= 0; i-- {
		x[i] = a[i][3]
		for k := i + 1; k < 3; k++ {
			x[i] -= float64(a[i][k] * x[k])
		}
		x[i] /= a[i][i]
	}
	return x
}

// best raises the least room from p as far as it goes: cutting planes in the
// shift and a small turn, each solved as a linear programme, about the exact
// pose. The rule for a unit direction n is
//
//	n . v - h(n) <= r - t,  h(n) = |n . s| + |n . q|
//
// h being the reach of the slots' parallelogram in that direction.
func best(seats []seat, p Pose, lim arc) (Pose, float64) {
	m, reach := middle(seats)
	reach = max(reach, tiny)
	top := room(seats, p)
	dirs := make([][]vec, len(seats))
	for i := range dirs {
		dirs[i] = []vec{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}
	}
	size := 0.0
	for i := range seats {
		size = max(size, seats[i].r)
		if n, ok := away(&seats[i], p); ok {
			dirs[i] = append(dirs[i], n)
		}
	}
	trust, lost := max(4*size, 4*math.Abs(top))+tiny, 0
	for range 40 {
		var rows [][]float64
		var rhs []float64
		limit := func(x, y, t, room, at float64) {
			rows, rhs = append(rows, []float64{x, y, t, room}), append(rhs, at)
		}
		for i := range seats {
			s := &seats[i]
			q := s.p.turned(p.Cos, p.Sin)
			v := p.at(s.b).sub(s.a)
			arm := s.b.sub(m).turned(p.Cos, p.Sin).times(1 / reach)
			for _, n := range dirs[i] {
				limit(n.x, n.y, float64(n.y*arm.x)-float64(n.x*arm.y), 1, s.r+math.Abs(n.dot(s.s))+math.Abs(n.dot(q))-n.dot(v))
			}
		}
		up, down := trust, trust
		if lim.half < math.Pi {
			d := lim.from(p)
			up, down = min(up, max(0, lim.half-d)*reach), min(down, max(0, lim.half+d)*reach)
		}
		for k, most := range [...]float64{trust, trust, up} {
			var row [3]float64
			row[k] = 1
			least := trust
			if k == 2 {
				least = down
			}
			limit(row[0], row[1], row[2], 0, most)
			limit(-row[0], -row[1], -row[2], 0, least)
		}
		o, err := estimate.Maximise([]float64{0, 0, 0, 1}, rows, rhs)
		if err != nil || o.Status != estimate.Optimal || o.Value-top < settled {
			break
		}
		next := p
		next.X += o.X[0]
		next.Y += o.X[1]
		next = turn(next, o.X[2]/reach, m, lim)
		for i := range seats {
			if n, ok := away(&seats[i], next); ok {
				dirs[i] = append(dirs[i], n)
			}
		}
		if r := room(seats, next); r > top {
			p, top, lost = next, r, 0
		} else if lost++; lost > 4 { // not for want of cuts: the turn bends too much
			trust, lost = trust/2, 0
		}
	}
	return p, top
}

// away gives the unit direction in which the seat is off.
func away(s *seat, p Pose) (vec, bool) {
	off, _, _ := s.off(p)
	d := off.size()
	if d < tiny {
		return vec{}, false
	}
	return off.times(1 / d), true
}
