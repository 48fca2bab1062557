package jobbook

import (
	"datumbook/calc/shape"
	"datumbook/calc/units"
)

// hanging is where a part hangs on the face of a fixture: the middle of what bears on it along the
// face, and its lower edge, in the coordinates of the face.
type hanging struct {
	middle, bottom units.Length
	x, y           []units.Length // of the studs
	what           string
}

// hang reads it from the places of two or more studs. A part that stands on a stop begins there, one
// whose place nobody wrote down has its middle on the studs'.
func (c *context) hang(high units.Length) (h hanging, ok bool) {
	for _, l := range c.studs() {
		x, y := l.size("x"), l.size("y")
		if !x.Known() || !y.Known() {
			return h, false
		}
		h.x, h.y = append(h.x, x.Length), append(h.y, y.Length)
	}
	if len(h.x) < 2 {
		return h, false
	}
	left, right := ends(h.x)
	low, top := ends(h.y)
	h.middle, h.bottom, h.what = (left+right)/2, (low+top)/2-high/2, "Holes; the part taken in the middle of them"
	for _, l := range c.role("setup").lines("stops") {
		if at, ok := lengthOf(l.said("at")); ok && c.beneath(l) && at < low && top < at+high {
			h.bottom, h.what = at, "Holes, from the stop beneath"
		}
	}
	return h, true
}

// scene puts together what stands on the table: the part with its middle over the zero of X and Y,
// the fixture under it or behind it, the cutter before the face that is cut. What no record says is
// left out.
func (c *context) scene() (s shape.Scene, sits bool) {
	sit, sits := c.sit()
	d := c.role("fixture")
	fixture := d.fixture()
	upright := fixture.Kind == "angle"
	x, y := c.ground(&sit, upright)
	var under units.Length
	if hasWord("table vise parallel vblock rotary", fixture.Kind) && fixture.High.Known() {
		under = fixture.High.Length
	}
	if upright {
		for i := range fixture.Faces {
			if _, sized := fixture.Faces[i].Edge(); sized && s.Face == nil {
				s.Face = &fixture.Faces[i]
			}
		}
	}
	for _, l := range c.studs() {
		s.Used = append(s.Used, l.row)
	}
	back := y / 2
	plate := shape.Body{Of: "plate", ID: d.id, Name: d.title(), Low: [3]units.Length{-fixture.Long.Length / 2, back, 0},
		Top: [3]units.Length{fixture.Long.Length / 2, back + fixture.Thick.Length, fixture.High.Length}}
	if s.Face != nil {
		_, bears := sit.bearing()
		e, _ := s.Face.Edge()
		// The face ends where the plate does, above; what it lacks below is foot.
		s.Zero = [3]units.Length{-(e.Left + e.Right) / 2, back, max(fixture.High.Length-e.High(), 0) - e.Bottom}
		if hang, ok := c.hang(bears); ok && sits {
			s.Zero[0] = -hang.middle
			under = s.Zero[2] + hang.bottom - (sit.size[sit.axis]-bears)/2
		}
		plate.Low[0], plate.Top[0] = s.Zero[0]+e.Left, s.Zero[0]+e.Right
		if !fixture.High.Known() {
			plate.Top[2] = e.High()
		}
	}
	top := under + sit.size[sit.axis]
	if sits {
		part := c.role("part")
		s.Bodies = append(s.Bodies, shape.Body{Of: "part", ID: part.id, Name: part.title(),
			Low: [3]units.Length{-x / 2, -y / 2, under},
			Top: [3]units.Length{x / 2, y / 2, top}})
	}
	switch {
	case upright && fixture.Thick.Known() && plate.Top[0] > plate.Low[0] && plate.Top[2] > 0:
		s.Bodies = append(s.Bodies, plate)
		if fixture.Wide.Length > fixture.Thick.Length {
			foot := plate
			foot.Of, foot.Name = "foot", foot.Name+" foot"
			foot.Top[1], foot.Top[2] = back+fixture.Wide.Length, fixture.Thick.Length
			s.Bodies = append(s.Bodies, foot)
		}
	case under > 0 && fixture.Wide.Known():
		long := fixture.Long
		if !long.Known() {
			long = fixture.Wide
		}
		s.Bodies = append(s.Bodies, shape.Body{Of: "base", ID: d.id, Name: d.title(),
			Low: [3]units.Length{-long.Length / 2, -fixture.Wide.Length / 2, 0},
			Top: [3]units.Length{long.Length / 2, fixture.Wide.Length / 2, under}})
	}
	if sits {
		c.cutter(&s, y, under, top)
	}
	return s, sits
}

// ground is the room of the part on the table, along it and toward the column: on an upright plate
// its thin way or the face against the plate looks at the column, else it lies as it was turned.
func (c *context) ground(s *sitting, upright bool) (x, y units.Length) {
	if upright {
		return s.size[s.across], s.size[s.plate]
	}
	x, y = s.size[(s.axis+1)%3], s.size[(s.axis+2)%3]
	if s.axis == 1 {
		x, y = y, x
	}
	if n := c.role("setup").text("turn"); n == "1" || n == "3" {
		x, y = y, x
	}
	return x, y
}

// cutter stands over the part, on a horizontal mill before it.
func (c *context) cutter(s *shape.Scene, y, under, top units.Length) {
	tool := c.role("tool")
	dia, out := tool.size("diameter"), tool.size("stickout")
	if !dia.Known() || !out.Known() {
		return
	}
	r, mid := dia.Length/2, (under+top)/2
	b := shape.Body{Of: "cutter", ID: tool.id, Name: tool.title(),
		Low: [3]units.Length{-r, -r, top}, Top: [3]units.Length{r, r, top + out.Length}}
	if c.role("machine").text("kind") == "borer" {
		b.Low, b.Top = [3]units.Length{-r, -y/2 - out.Length, mid - r}, [3]units.Length{r, -y / 2, mid + r}
	}
	s.Bodies = append(s.Bodies, b)
}
