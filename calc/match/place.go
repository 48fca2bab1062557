package match

import (
	"math"
	"slices"
)

// turn looks for the best plan at one quarter turn.
func (p *planner) turn(q int, flip bool) (Drilling, bool) {
	c, s := quarter(q)
	at := make([]vec, len(p.points))
	for i, v := range p.points {
		at[i] = v.turned(c, s)
	}
	pose := Pose{Cos: c, Sin: s, Flip: flip}
	var top Drilling
	found := false
	// With a bolt in the middle of a place there already is, every position
	// that uses an old hole at this turn is gone through.
	for i := range p.spots {
		for j := range p.plate.Places {
			if p.fresh || p.rooms[i][j] < 0 || *p.evals > maxEvals {
				continue
			}
			pl := p.plate.Places[j]
			pose.X, pose.Y = pl.X-at[i].x, pl.Y-at[i].y
			d, ok := p.plan(pose, at)
			if ok && (!found || betterPlan(&d, &top)) {
				top, found = d, true
			}
		}
	}
	if !p.fresh {
		return top, found
	}
	mid, ok := p.nearestFree(at, true) // the part's middle on the face's centre line
	if !ok {
		mid, ok = p.nearestFree(at, false)
	}
	if !ok {
		return top, false
	}
	pose.X, pose.Y = mid.x, mid.y
	return p.plan(pose, at)
}

// plan takes stock of a pose: which bolts find a place, and whether the others
// may be drilled for.
func (p *planner) plan(pose Pose, at []vec) (Drilling, bool) {
	d := Drilling{Pose: pose, Spare: math.Inf(1)}
	shift := vec{pose.X, pose.Y}
	var used []int
	for i := range p.spots {
		v := vec{at[i].x + shift.x, at[i].y + shift.y}
		if old, ok := p.serves(i, pose, used); ok {
			d.Old, used = append(d.Old, old), append(used, old.Place)
			continue
		}
		h := p.made[i]
		h.X, h.Y = v.x, v.y
		var spare float64
		spare, h.Near, h.What = p.spare(v, h.Bolt.Dia, h.Dia, -tiny)
		if spare < -tiny {
			return d, false
		}
		for k := range d.New { // the part's own places may be too near one another
			o := &d.New[k]
			gap := vec{o.X - v.x, o.Y - v.y}.size() - float64(o.Bolt.Dia/2) - float64(h.Bolt.Dia/2)
			spare = min(spare, gap-margin(p.rules.Between, usualBetween, h.Bolt.Dia))
		}
		d.Spare = min(d.Spare, spare)
		d.New = append(d.New, h)
	}
	if len(d.New) == 0 {
		return d, false // then it is a match, and not ours to find
	}
	m := vec{}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range at {
		m.x += v.x / float64(len(at))
		m.y += v.y / float64(len(at))
		lo, hi = min(lo, v.x), max(hi, v.x)
	}
	face := p.middle()
	d.Distance = vec{m.x + shift.x - face.x, m.y + shift.y - face.y}.size()
	d.Centred = math.Abs(float64((lo+hi)/2)+shift.x-face.x) < .01
	return d, true
}

// serves says whether spot i finds an old place with room at the pose.
func (p *planner) serves(i int, pose Pose, used []int) (Seat, bool) {
	half := along(p.spots[i], p.spots[i].Bolt.Dia).turned(pose.Cos, pose.Sin)
	c := pose.at(vec{p.spots[i].X, p.spots[i].Y})
	span := half.size()
	best := Seat{Room: -1}
	for j, r := range p.rooms[i] {
		pl := &p.plate.Places[j]
		w := c.sub(vec{pl.X, pl.Y})
		if r < 0 || max(math.Abs(w.x), math.Abs(w.y)) > r+span+pl.Length || slices.Contains(used, j) && pl.Kind != Slot && pl.Kind != Tee {
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

// spare is how much further a hole of the bolt's diameter at v stands clear
// than its margins ask; near is the distance that rules, edge to edge, and what
// says of what. It stops looking below enough.
func (p *planner) spare(v vec, bolt, dia, enough float64) (spare, near float64, what Hazard) {
	*p.evals++
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
		w := v.sub(vec{pl.X, pl.Y})
		size := max(pl.Size, pl.Bolt.Dia)
		if pl.Kind == Tee {
			size *= teeBody
		}
		// Only what is nearer than what was found can rule.
		if max(math.Abs(w.x), math.Abs(w.y)) > spare+between+float64(size/2)+r+float64(pl.Length/2) {
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

// nearestFree finds the shift nearest to the middle of the face at which every
// hole keeps its margins. Room changes no faster than the shift, so a square
// whose middle lacks more than its half diagonal holds no answer: branch and
// bound, down to 1/64 in. With line set only shifts up and down are tried.
func (p *planner) nearestFree(at []vec, line bool) (vec, bool) {
	m := vec{}
	for _, v := range at {
		m.x += v.x / float64(len(at))
		m.y += v.y / float64(len(at))
	}
	goal := p.middle().sub(m)
	open := []cell{{goal, max(p.plate.Width, p.plate.Height) / 2, 0}}
	for len(open) > 0 && *p.evals < maxEvals {
		k := 0 // the square nearest to the goal
		for i := range open {
			if open[i].reach < open[k].reach {
				k = i
			}
		}
		c := open[k]
		open[k] = open[len(open)-1]
		open = open[:len(open)-1]
		least, enough := math.Inf(1), -float64(c.half*math.Sqrt2)
		for i := range at {
			s, _, _ := p.spare(vec{at[i].x + c.at.x, at[i].y + c.at.y}, p.made[i].Bolt.Dia, p.made[i].Dia, enough)
			if least = min(least, s); least < enough {
				break
			}
		}
		if c.half <= fine/2 || c.at == goal {
			if least >= 0 {
				return c.at, true
			}
			if c.half <= fine/2 {
				continue
			}
		}
		if least < enough {
			continue
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
			open = append(open, n)
		}
	}
	return vec{}, false
}
