package match

import (
	"math"
	"slices"
)

// score is the ranking of plans.
type score struct {
	pose     Pose
	fresh    int     // new holes
	thin     int     // of them with less thread than usually wanted
	spare    float64 // least clearance beyond the margins
	distance float64 // of the part's middle from the face's
}

// better prefers fewer holes, then thread that is long enough, then the middle
// of the face, then room to spare.
func (a *score) better(b *score) bool {
	for _, d := range [...]float64{
		float64(a.fresh - b.fresh),
		float64(a.thin - b.thin),
		math.Round((a.distance - b.distance) * 100),
		math.Round((b.spare - a.spare) * 100),
	} {
		if d != 0 {
			return d < 0
		}
	}
	return false
}

// turned returns the bolts' places at a quarter turn.
func (p *planner) turned(c, s float64) []vec {
	p.at = p.at[:0]
	for _, v := range p.points {
		p.at = append(p.at, v.turned(c, s))
	}
	return p.at
}

// turn looks for the best plan at one quarter turn.
func (p *planner) turn(q int, flip bool) {
	c, s := quarter(q)
	at := p.turned(c, s)
	pose := Pose{Cos: c, Sin: s, Flip: flip}
	if p.fresh {
		mid, ok := p.nearestFree(at, true) // the part's middle on the face's centre line
		if !ok {
			mid, ok = p.nearestFree(at, false)
		}
		if ok {
			pose.X, pose.Y = mid.x, mid.y
			p.plan(pose, at, nil)
		}
		return
	}
	// With a bolt in the middle of an existing place, every position that uses an existing hole at
	// this turn is tried.
	for i := range p.spots {
		for j := range p.plate.Places {
			if p.rooms[i][j] < 0 || p.evals > maxEvals {
				continue
			}
			pl := &p.plate.Places[j]
			pose.X, pose.Y = pl.X-at[i].x, pl.Y-at[i].y
			if p.may(pose.X, pose.Y, at) {
				p.plan(pose, at, nil)
			}
		}
	}
}

// plan evaluates a pose: which bolts find a place, and whether holes can be drilled for the others.
// It keeps the score if it is the best so far; d, if given, gets the details.
func (p *planner) plan(pose Pose, at []vec, d *Drilling) {
	n := score{pose: pose, spare: math.Inf(1)}
	var used [MaxSpots]int16
	var made [MaxSpots]struct {
		vec
		dia float64
	}
	olds := 0
	for i := range at {
		v := vec{at[i].x + pose.X, at[i].y + pose.Y}
		if p.served(v, i) {
			if old, ok := p.serves(i, pose, used[:olds]); ok {
				used[olds] = int16(old.Place)
				olds++
				if d != nil {
					d.Old = append(d.Old, old)
				}
				continue
			}
		}
		h := &p.made[i]
		spare, near, what := p.spare(v, h.Bolt.Dia, h.Dia, -tiny)
		if spare < -tiny || n.fresh >= p.most && d == nil {
			return
		}
		for k := range n.fresh { // the part's own places may be too near one another
			gap := made[k].sub(v).size() - float64(made[k].dia/2) - float64(h.Bolt.Dia/2)
			spare = min(spare, gap-margin(p.rules.Between, usualBetween, h.Bolt.Dia))
		}
		n.spare = min(n.spare, spare)
		made[n.fresh].vec, made[n.fresh].dia = v, h.Bolt.Dia
		n.fresh++
		if h.Thin {
			n.thin++
		}
		if d != nil {
			h := *h
			h.X, h.Y, h.Near, h.What = v.x, v.y, near, what
			d.New = append(d.New, h)
		}
	}
	m := vec{}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range at {
		m.x += v.x / float64(len(at))
		m.y += v.y / float64(len(at))
		lo, hi = min(lo, v.x), max(hi, v.x)
	}
	face := p.middle()
	n.distance = vec{m.x + pose.X - face.x, m.y + pose.Y - face.y}.size()
	if d != nil {
		d.score = n
		d.Pose, d.Spare, d.Distance = pose, n.spare, n.distance
		d.Centred = math.Abs(float64((lo+hi)/2)+pose.X-face.x) < .01
		return
	}
	// Without new holes it is a match: left to Find.
	if n.fresh > 0 && (!p.found || n.better(&p.top)) {
		p.top, p.found, p.most, p.near = n, true, n.fresh, min(p.near, n.distance+.01)
	}
}

// serves reports whether spot i finds an existing place with room at the pose.
func (p *planner) serves(i int, pose Pose, used []int16) (Seat, bool) {
	half := along(p.spots[i], p.spots[i].Bolt.Dia).turned(pose.Cos, pose.Sin)
	c := pose.at(vec{p.spots[i].X, p.spots[i].Y})
	span := half.size()
	best := Seat{Room: -1}
	for j, r := range p.rooms[i] {
		if r < 0 {
			continue
		}
		// Comparisons by hand: max is a function call in WebAssembly.
		pl := &p.plate.Places[j]
		w, reach := vec{c.x - pl.X, c.y - pl.Y}, r+span+pl.Length
		if w.x > reach || w.x < -reach || w.y > reach || w.y < -reach || slices.Contains(used, int16(j)) && pl.Kind != Slot && pl.Kind != Tee {
			continue
		}
		d, _ := apart(w, along(*pl, p.spots[i].Bolt.Dia), half)
		if d = max(0, d); r-d > best.Room {
			best = Seat{i, j, c.x, c.y, d, r - d, r}
		}
	}
	return best, best.Room >= 0
}

// middle is the middle of the face.
func (p *planner) middle() vec {
	return vec{p.plate.Left + float64(p.plate.Width/2), p.plate.Bottom + float64(p.plate.Height/2)}
}

func margin(given, usual, dia float64) float64 {
	if given >= 0 {
		return given
	}
	return float64(usual * dia)
}

// spare is the clearance beyond the margins of a hole of the bolt's diameter at v; near is the
// critical distance, edge to edge, and what is the object. It stops below enough.
func (p *planner) spare(v vec, bolt, dia, enough float64) (spare, near float64, what Hazard) {
	p.evals++
	f := p.plate
	r := float64(max(bolt, dia) / 2)
	spare = math.Inf(1)
	take := func(d, least float64, h Hazard) {
		if d-least < spare {
			spare, near, what = d-least, d, h
		}
	}
	edge := min(min(v.x-f.Left, f.Left+f.Width-v.x), min(v.y-f.Bottom, f.Bottom+f.Height-v.y))
	take(edge-r, margin(p.rules.Edge, usualEdge, bolt)-r, EdgeNear)
	between := margin(p.rules.Between, usualBetween, bolt)
	for i := range f.Places {
		if spare < enough {
			return spare, near, what
		}
		pl := &f.Places[i]
		w, size := vec{v.x - pl.X, v.y - pl.Y}, pl.Size
		if size < pl.Bolt.Dia {
			size = pl.Bolt.Dia
		}
		if pl.Kind == Tee {
			size *= teeBody
		}
		// Only objects nearer than the nearest so far count.
		if most := spare + between + float64(size/2) + r + float64(pl.Length/2); w.x > most || w.x < -most || w.y > most || w.y < -most {
			continue
		}
		d := w.size()
		if pl.Kind == Slot || pl.Kind == Tee {
			d, _ = apart(w, lengthwise(*pl), vec{})
		}
		take(d-float64(size/2)-r, between, HoleNear)
	}
	rib := margin(p.rules.Rib, usualRib, bolt)
	for i := range f.Keep {
		k := &f.Keep[i]
		dx, dy := math.Abs(v.x-k.X)-float64(k.Wide/2), math.Abs(v.y-k.Y)-float64(k.High/2)
		d := max(dx, dy) // inside: how deep
		if d > 0 {
			d = vec{max(dx, 0), max(dy, 0)}.size()
		}
		what := KeepNear
		if k.Rib {
			what = RibNear
		}
		take(d-r, rib, what)
	}
	return spare, near, what
}

// lengthwise is half of the line down the middle of a slot.
func lengthwise(p Place) vec {
	if p.Kind == Tee {
		p.Kind, p.Size = Slot, 0
	}
	return along(p, 0)
}

// cell is a square of shifts still open.
type cell struct {
	at    vec
	half  float64
	reach float64 // no shift in it is nearer to the middle
}

// nearestFree finds the shift nearest to the middle of the face at which every hole keeps its
// margins, among those nearer than the best plan so far. Clearance changes no faster than the
// shift, so a square whose middle lacks more than its half diagonal has no solution: branch and
// bound, down to 1/64 in. With line set only shifts up and down are tried, at any distance.
func (p *planner) nearestFree(at []vec, line bool) (vec, bool) {
	m := vec{}
	for _, v := range at {
		m.x += v.x / float64(len(at))
		m.y += v.y / float64(len(at))
	}
	goal := p.middle().sub(m)
	p.open = append(p.open[:0], cell{goal, max(p.plate.Width, p.plate.Height) / 2, 0})
	for len(p.open) > 0 && p.evals < maxEvals {
		c := p.nearest()
		if !line && c.reach > p.near {
			break
		}
		out := float64(c.half * math.Sqrt2)
		if p.blocked(c.at, at, out) {
			continue
		}
		if c.half < p.side || c.at == goal {
			least := math.Inf(1)
			for i := range at {
				s, _, _ := p.spare(vec{at[i].x + c.at.x, at[i].y + c.at.y}, p.made[i].Bolt.Dia, p.made[i].Dia, -out)
				if least = min(least, s); least < -out {
					break
				}
			}
			if least >= 0 && (c.half <= fine/2 || c.at == goal) {
				return c.at, true
			}
			if c.half <= fine/2 || least < -out {
				continue
			}
		}
		h := float64(c.half / 2)
		for k, d := range [...]vec{{-h, -h}, {-h, h}, {h, -h}, {h, h}} {
			if line && k > 1 {
				break
			}
			n := cell{at: vec{c.at.x + d.x, c.at.y + d.y}, half: h}
			if line {
				n.at.x = goal.x
			}
			off := n.at.sub(goal)
			n.reach = vec{max(0, math.Abs(off.x)-h), max(0, math.Abs(off.y)-h)}.size()
			p.push(n)
		}
	}
	return vec{}, false
}

// push and nearest keep the open squares as a heap, the one nearest to the goal
// on top.
func (p *planner) push(c cell) {
	p.open = append(p.open, c)
	for i := len(p.open) - 1; i > 0; {
		up := (i - 1) / 2
		if p.open[up].reach <= p.open[i].reach {
			break
		}
		p.open[up], p.open[i] = p.open[i], p.open[up]
		i = up
	}
}

func (p *planner) nearest() cell {
	top, last := p.open[0], len(p.open)-1
	p.open[0] = p.open[last]
	p.open = p.open[:last]
	for i := 0; ; {
		k := 2*i + 1
		if k+1 < last && p.open[k+1].reach < p.open[k].reach {
			k++
		}
		if k >= last || p.open[i].reach <= p.open[k].reach {
			return top
		}
		p.open[k], p.open[i] = p.open[i], p.open[k]
		i = k
	}
}
