package jobbook

import (
	"strconv"
	"strings"

	"datumbook/calc/units"
)

// How a part sits in a setup: what the worksheets of holding and hitting take from it.

// sitting is a part in a setup. Axes are those of the part as it is drawn: 0 along, 1 across, 2 up.
type sitting struct {
	part   *document
	size   [3]units.Length
	known  [3]bool
	like   string    // a length it was made from, for its unit
	axis   int       // that stands upright
	down   int       // its end that is down: -1 or 1
	face   *document // against the plate; nothing where it is not said
	plate  int       // the axis that points at the plate
	toward int       // its end that is there
	across int       // the third axis: along the plate
}

// sit reads how the part of a setup sits: the side that is down, the face against the plate, by its
// link or its name; where no face is named the thin way of the part points at the plate.
func (c *context) sit() (s sitting, ok bool) {
	setup := c.role("setup")
	s.part, s.face = c.role("part"), nothing
	for i, key := range [...]string{"long", "wide", "high"} {
		said := s.part.said(key)
		s.size[i], s.known[i] = lengthOf(said)
		s.like = first(s.like, said)
	}
	s.axis, s.down = upright(setup), -1
	if up(setup)[0] == '-' {
		s.down = 1
	}
	s.face = c.against(setup, s.axis)
	if look := s.face.text("looks"); len(look) == 2 {
		s.plate, s.toward = axisOf(look)
	} else {
		a, b := (s.axis+1)%3, (s.axis+2)%3
		s.plate, s.toward = a, -1
		if s.size[b] < s.size[a] {
			s.plate = b
		}
	}
	s.across = 3 - s.axis - s.plate
	return s, s.known[0] && s.known[1] && s.known[2]
}

func axisOf(look string) (axis, end int) {
	end = 1
	if look[0] == '-' {
		end = -1
	}
	return int(look[1]-'x') % 3, end
}

// against is the face of the part that is bolted to the plate: the one it is located on, or the one
// named, if that stands upright.
func (c *context) against(setup *document, axis int) *document {
	stands := func(f *document) bool {
		look := f.text("looks")
		if len(look) != 2 {
			return false
		}
		a, _ := axisOf(look)
		return a != axis
	}
	if f := c.role("seat"); stands(f) {
		return f
	}
	if name := setup.text("against"); name != "" {
		for _, f := range c.features(c.role("part")) {
			if f.text("kind") == "face" && stands(f) && (sameName(f.text("name"), name) || sameName(f.text("face"), name)) {
				return f
			}
		}
	}
	return nothing
}

// bearing is width and height of what bears on the plate.
func (s *sitting) bearing() (wide, high units.Length) {
	wide, high = s.size[s.across], s.size[s.axis]
	a, ok := lengthOf(s.face.said("long"))
	b, of := lengthOf(s.face.said("wide"))
	if !ok || !of {
		return wide, high
	}
	// The longer way of the face lies where the part is long enough for it.
	if a < b {
		a, b = b, a
	}
	if a <= wide && (b <= high && wide >= high || a > high) {
		return a, b
	}
	return b, a
}

// hand is 1 where the across axis of the part points right as the plate is faced, else -1: up, then
// out from the plate, make it by the right hand.
func (s *sitting) hand() int {
	side := s.down * s.toward
	if (s.axis+1)%3 != s.plate {
		side = -side
	}
	return side
}

// balance is the centre of gravity of the part in its three directions, from its lower ends.
func (s *sitting) balance() (at [3]units.Length, known [3]bool) {
	for i, key := range [...]string{"balx", "baly", "balz"} {
		at[i], known[i] = lengthOf(s.part.said(key))
	}
	return at, known
}

// from is a distance along an axis from one of its ends.
func (s *sitting) from(axis, end int, at units.Length) units.Length {
	if end < 0 {
		return at
	}
	return s.size[axis] - at
}

// hung fills in a part on an upright plate. Zero is the middle of the lower edge of what bears on it.
// A part that stands on a stop begins there, one whose place nobody wrote down has its middle on the
// studs'.
func (c *context) hung() {
	material := c.role("material")
	c.say("su", ironOf(material), material, "Metal")
	c.say("lug", material.metal(4), material, "Metal")
	c.stops()
	s, ok := c.sit()
	c.flange(&s)
	if !ok {
		return
	}
	from := s.face
	if from == nothing {
		from = s.part
	}
	wide, high := s.bearing()
	put := func(key string, l units.Length, d *document, what string) { c.say(key, telling(l, s.like), d, what) }
	put("width", wide, from, "Width and Height")
	put("height", high, from, "Width and Height")
	at, weighed := s.balance()
	y, z, what := high/2, s.size[s.plate]/2, "taken in its middle"
	if weighed[s.axis] {
		y, what = s.from(s.axis, s.down, at[s.axis])-(s.size[s.axis]-high)/2, "Balances"
	}
	put("cgy", y, s.part, what)
	what = "taken in its middle"
	if weighed[s.plate] {
		z, what = s.from(s.plate, s.toward, at[s.plate]), "Balances"
	}
	put("cgz", z, s.part, what)
	if weighed[s.across] {
		put("cgx", units.Length(s.hand())*(at[s.across]-s.size[s.across]/2), s.part, "Balances")
	}
	c.onPlate(high, s.like)
}

// onPlate has the studs from the middle of the lower edge.
func (c *context) onPlate(high units.Length, like string) {
	h, ok := c.hang(high)
	if !ok {
		return
	}
	var rows cells
	for i := range h.x {
		rows.row(telling(h.x[i]-h.middle, like), telling(h.y[i]-h.bottom, like))
	}
	c.say("studs", string(rows.text), c.role("fixture"), h.what)
}

func ends(v []units.Length) (low, high units.Length) {
	low, high = v[0], v[0]
	for _, x := range v[1:] {
		low, high = min(low, x), max(high, x)
	}
	return low, high
}

// beneath tells of a stop whether the part stands on it: by its name, or by what the setup says of
// the face that is down.
func (c *context) beneath(l line) bool {
	down := chunks(c.role("setup").text("down"))
	on := has(down, "stop") || has(down, "stops")
	for _, w := range chunks(l.text("place")) {
		if hasWord("beneath below under underneath bottom foot down", w) || on && has(down, w) {
			return true
		}
	}
	return false
}

// stops are those of the setup: beneath, and at both sides.
func (c *context) stops() {
	setup := c.role("setup")
	sides := map[string]bool{}
	for _, l := range setup.lines("stops") {
		if c.beneath(l) {
			c.take("ledge", "yes", setup, "stops")
			continue
		}
		for _, w := range chunks(l.text("place")) {
			if hasWord("left right", w) {
				sides[w] = true
			}
		}
	}
	if len(sides) == 2 {
		c.take("sides", "yes", setup, "stops")
	}
}

// flange is what a nut bears on: the bolt hole or slot in the face against the plate.
func (c *context) flange(s *sitting) {
	for _, f := range c.features(s.part) {
		if f.text("bolt") == "" || s.face != nothing && !sameName(f.text("face"), s.face.text("face")) {
			continue
		}
		if f.text("kind") == "slot" {
			c.take("bears", "slot", f, "kind")
			c.give("seat", f, "wide")
		} else {
			c.give("seat", f, "nominal")
		}
		c.give("thick", f, "depth")
		return
	}
}

// ironOf is the tensile strength of a grey iron by its class.
func ironOf(material *document) string {
	if class, is := strings.CutPrefix(material.metal(2), "grey"); is {
		return class + " ksi"
	}
	return ""
}

// strapped fills in a part under straps: as high as it stands, a clamp for each bolt.
func (c *context) strapped() {
	setup := c.role("setup")
	if n := len(setup.lines("bolts")); n > 0 && c.role("fixture").text("kind") != "angle" {
		c.take("clamps", strconv.Itoa(n), setup, "bolts")
	}
	high := [...]string{"long", "wide", "high"}[upright(setup)]
	if part := c.role("part"); part != nothing {
		c.give("height", part, high)
	}
}

// passing fills in what stands on the table and what the cutter is, for what hits what: the cutter
// over the whole of the face. Lengths run along the table, toward the column and up.
func (c *context) passing() {
	scene, ok := c.scene()
	part, stands := scene.Find("part")
	if !ok || !stands {
		return
	}
	like, of := c.role("part").said("long"), c.role("part")
	tell := func(l units.Length) string { return telling(l, like) }
	var rows cells
	for _, b := range scene.Bodies {
		if b.Of != "cutter" {
			rows.row(first(map[string]string{"part": "part"}[b.Of], b.Name), tell(b.Low[0]), tell(b.Top[0]), tell(b.Low[1]), tell(b.Top[1]),
				tell(b.Low[2]), tell(b.Top[2]))
		}
	}
	c.say("boxes", string(rows.text), of, "Length, Width and Height")
	c.say("skip", "part", of, "what is cut")
	c.say("cut", tell(part.Top[2]), of, "its top")
	tool := c.role("tool")
	dia, out := tool.size("diameter"), tool.size("stickout")
	if !dia.Known() || !out.Known() {
		return
	}
	var heads cells
	heads.row("cutter", "0 in", telling(out.Length, out.Text), dia.Text)
	c.say("heads", string(heads.text), tool, "Diameter and Stick-out")
	reach := part.Top[0] - part.Low[0]
	if face := c.role("feature").size("long"); face.Known() && face.Length < reach {
		reach = face.Length
	}
	way := reach/2 + dia.Length/2 + units.Inch/4
	c.say("x1", tell(-way), tool, "Diameter, over the face")
	c.say("x2", tell(way), tool, "Diameter, over the face")
}
