package match

import "math"

// bored is a planned hole in a plate of some thickness.
type bored struct {
	thick float64
	hole  NewHole
	ok    bool // the plate is thick enough
}

// chart is a grid over a face: bounds for a whole square save checking all places and ribs for most
// positions of the part.
type chart struct {
	reach  []float64 // half slot of each spot
	known  []bored
	made   []NewHole // the hole each spot needs, without its position
	side   float64   // of a square, in
	nx, ny int       // how many
	deep   []float64 // depth of the square's middle in the smallest hole's keep-out zone
	old    []uint16  // a bit for each spot that may use an existing place in the square
	stray  bool      // some existing place reaches beyond the face
	edge   float64   // least edge distance of new holes
	open   []cell    // squares of shifts
	evals  int       // positions tried
	top    score     // of the face, where found
	found  bool
	most   int     // most new holes accepted
	near   float64 // largest distance from the middle accepted
}

// draw builds the chart of a face for the planner's spots.
func (p *planner) draw() {
	c, f := p.chart, p.plate
	p.reach = p.reach[:0]
	for i := range p.spots {
		p.reach = append(p.reach, along(p.spots[i], p.spots[i].Bolt.Dia).size())
	}
	r, between, rib, bolt := math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1)
	c.edge = math.Inf(1)
	for i := range p.made {
		d := p.made[i].Bolt.Dia
		bolt = min(bolt, d)
		r = min(r, float64(max(d, p.made[i].Dia)/2))
		c.edge = min(c.edge, margin(p.rules.Edge, usualEdge, d))
		between = min(between, margin(p.rules.Between, usualBetween, d))
		rib = min(rib, margin(p.rules.Rib, usualRib, d))
	}
	c.side = max(bolt/3, max(f.Width, f.Height)/200)
	c.nx, c.ny = int(f.Width/c.side)+1, int(f.Height/c.side)+1
	n := c.nx * c.ny
	if cap(c.deep) < n {
		c.deep, c.old = make([]float64, n), make([]uint16, n)
	}
	c.deep, c.old, c.stray = c.deep[:n], c.old[:n], false
	clear(c.deep)
	clear(c.old)
	for j := range f.Places {
		pl := &f.Places[j]
		at, half := vec{pl.X, pl.Y}, vec{}
		if pl.Kind == Slot || pl.Kind == Tee {
			half = lengthwise(*pl)
		}
		size := max(pl.Size, pl.Bolt.Dia)
		if pl.Kind == Tee {
			size *= teeBody
		}
		p.mark(at, half, float64(size/2)+between+r, 0)
		done := uint16(0)
		for k := range p.spots {
			if p.rooms[k][j] < 0 || done&(1<<k) != 0 {
				continue
			}
			bits := uint16(0) // of all spots with the same reach
			for i := k; i < len(p.spots); i++ {
				if p.rooms[i][j] == p.rooms[k][j] && p.reach[i] == p.reach[k] && p.spots[i].Bolt == p.spots[k].Bolt {
					bits |= 1 << i
				}
			}
			done |= bits
			p.mark(at, along(*pl, p.spots[k].Bolt.Dia), p.rooms[k][j]+p.reach[k]+float64(c.side*.7072), bits)
		}
	}
	for i := range f.Keep {
		k := &f.Keep[i]
		p.mark(vec{k.X, k.Y}, vec{float64(k.Wide / 2), float64(k.High / 2)}, rib+r, 1<<15)
	}
}

// mark updates the squares whose middles are within r of a line of half length h about a point, or
// of a rectangle of half size h if bit is the highest. With no bit, or the highest, it records the
// depth inside, else the bit.
func (p *planner) mark(at, h vec, r float64, bit uint16) {
	c, f := p.chart, p.plate
	w := vec{math.Abs(h.x) + r, math.Abs(h.y) + r}
	at.x, at.y = at.x-f.Left, at.y-f.Bottom
	if bit > 0 && bit < 1<<15 && (at.x < w.x || at.y < w.y || at.x+w.x > f.Width || at.y+w.y > f.Height) {
		c.stray = true
	}
	x0, x1 := max(0, int((at.x-w.x)/c.side)), min(c.nx-1, int((at.x+w.x)/c.side))
	y0, y1 := max(0, int((at.y-w.y)/c.side)), min(c.ny-1, int((at.y+w.y)/c.side))
	point := h == vec{}
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			v := vec{float64((float64(x)+.5)*c.side) - at.x, float64((float64(y)+.5)*c.side) - at.y}
			var d float64
			switch {
			case bit == 1<<15:
				dx, dy := math.Abs(v.x)-h.x, math.Abs(v.y)-h.y
				d = max(dx, dy)
				if d > 0 {
					d = vec{max(dx, 0), max(dy, 0)}.size()
				}
			case point:
				d = math.Sqrt(float64(v.x*v.x) + float64(v.y*v.y))
			default:
				d, _ = apart(v, h, vec{})
			}
			i := float64(r - d)
			if k := y*c.nx + x; bit > 0 && bit < 1<<15 {
				if i >= 0 {
					c.old[k] |= bit
				}
			} else if i > c.deep[k] {
				c.deep[k] = i
			}
		}
	}
}

// served reports whether a bolt may find an existing place at a point, by the chart.
func (p *planner) served(v vec, i int) bool {
	x, y := v.x-p.plate.Left, v.y-p.plate.Bottom
	if x < 0 || y < 0 || x > p.plate.Width || y > p.plate.Height {
		return p.stray
	}
	return p.old[int(y/p.side)*p.nx+int(x/p.side)]&(1<<i) != 0
}

// may reports whether, by the chart, a shift may give a plan as good as the best: each spot may use
// an existing place or a new hole.
func (p *planner) may(x, y float64, at []vec) bool {
	c, f := p.chart, p.plate
	fresh, off, edge := 0, float64(c.side*.7072)+tiny, c.edge-tiny
	x, y = x-f.Left, y-f.Bottom
	for i := range at {
		u, v := at[i].x+x, at[i].y+y
		if u < 0 || v < 0 || u > f.Width || v > f.Height {
			if !c.stray {
				return false
			}
			continue
		}
		k := int(v/c.side)*c.nx + int(u/c.side)
		if c.old[k]&(1<<i) != 0 {
			continue
		}
		if fresh++; fresh > p.most || c.deep[k] > off || u < edge || v < edge || f.Width-u < edge || f.Height-v < edge {
			return false
		}
	}
	return true
}

// blocked reports that, by the chart, no shift within out of one allows new holes for all spots.
func (p *planner) blocked(shift vec, at []vec, out float64) bool {
	c, f := p.chart, p.plate
	deep, edge := float64(c.side*.7072)+out+tiny, c.edge-out-tiny
	for i := range at {
		u, v := at[i].x+shift.x-f.Left, at[i].y+shift.y-f.Bottom
		if u < edge || v < edge || f.Width-u < edge || f.Height-v < edge {
			return true
		}
		if u >= 0 && v >= 0 && u <= f.Width && v <= f.Height && c.deep[int(v/c.side)*c.nx+int(u/c.side)] > deep {
			return true
		}
	}
	return false
}
