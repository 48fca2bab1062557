package jobbook

import (
	"strconv"

	"datumbook/calc/shape"
	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// opShape tells where things are: {"id" of a fixture, part, machine or setup,"docs":[...],"have":[...]}
// gives {"kind","missing":[...]} with what FORMAT.md lists for the kind. Numbers are inches, texts are
// as they were typed.
func opShape(_ *Session, in, out *node) *RecordError {
	c, f := newContext(in)
	if f != nil {
		return f
	}
	d := c.get(in.str("id"))
	out.putText("kind", d.kind)
	switch d.kind {
	case "fixture":
		if d.shown != nil { // who wrote a place stands in its history alone
			c.lack("whole " + d.id)
		}
		f := d.fixture()
		out.putText("sort", f.Kind)
		putSizes(out, "long", f.Long, "wide", f.Wide, "high", f.High, "thick", f.Thick)
		out.put("faces", c.facesNode(f.Faces, d))
	case "part":
		putSizes(out, "long", d.size("long"), "wide", d.size("wide"), "high", d.size("high"))
		out.put("faces", c.facesNode(c.faces(d), nothing))
	case "machine":
		machineNode(out, d)
	case "setup":
		c.by["setup"] = d
		c.linked()
		c.sceneNode(out)
	}
	out.put("missing", strs(c.missing))
	return nil
}

// linked follows the links of what the worksheet is opened from.
func (c *context) linked() {
	for _, w := range ways {
		if c.by[w[0]] == nil {
			if to := c.link(c.role(w[1]), w[2]); to != nothing {
				c.by[w[0]] = to
			}
		}
	}
}

// inchNode writes a length as a number.
func inchNode(l units.Length) *node {
	return &node{kind: number, text: strconv.FormatFloat(l.Inches(), 'f', -1, 64)}
}

// putSizes puts those that are known, by name.
func putSizes(out *node, pairs ...any) {
	for i := 0; i+1 < len(pairs); i += 2 {
		if s, _ := pairs[i+1].(shape.Size); s.Known() {
			key, _ := pairs[i].(string)
			out.put(key, inchNode(s.Length))
		}
	}
}

func (c *context) facesNode(faces []shape.Face, of *document) *node {
	out := newArray()
	for i := range faces {
		out.add(c.faceNode(&faces[i], of))
	}
	return out
}

// faceNode is a face with its places; of a fixture each place says by whom and when it was written.
func (c *context) faceNode(f *shape.Face, of *document) *node {
	out := newObject()
	out.putText("name", f.Name).putText("look", f.Look)
	if e, ok := f.Edge(); ok {
		for i, l := range [...]units.Length{e.Left, e.Bottom, e.Right, e.Top} {
			out.put([...]string{"left", "bottom", "right", "top"}[i], inchNode(l))
		}
	}
	places := newArray()
	for i := range f.Places {
		p := &f.Places[i]
		one := newObject()
		one.putText("table", p.Table).putText("row", p.Row).putText("id", p.ID).
			putText("name", p.Name).putStr("what", string(p.What))
		putSizes(one, "x", p.X, "y", p.Y, "dia", p.Dia, "wide", p.Wide, "high", p.High)
		if p.X.Known() && p.Y.Known() {
			one.putStr("at", p.X.Text+", "+p.Y.Text)
		}
		one.putText("says", p.Says).putText("thread", p.Thread)
		one.putText("why", p.Note.Why).putText("when", p.Note.When).putText("job", p.Note.Job)
		if p.Table != "" {
			if e := of.rowEdit(p.Table, p.Row); e != nil {
				one.putText("by", e.by).putText("written", e.at)
			}
		}
		places.add(one)
	}
	return out.put("places", places)
}

// rowEdit is the first edit of a row: who wrote it, and when.
func (d *document) rowEdit(table, row string) *edit {
	var made *edit
	f := d.find(table + "#" + row)
	if f == nil {
		return nil
	}
	for _, e := range f.edits {
		if e.at != "" && (made == nil || e.at < made.at) {
			made = e
		}
	}
	return made
}

func machineNode(out *node, d *document) {
	out.putText("sort", d.text("kind"))
	putSizes(out, "long", d.size("tablelong"), "wide", d.size("tablewide"),
		"daylight", d.size("daylight"), "throat", d.size("throat"))
	slots, axes := newArray(), newArray()
	for _, l := range d.lines("slots") {
		one := newObject()
		putSizes(one, "at", l.size("at"), "wide", l.size("wide"))
		slots.add(one)
	}
	for _, l := range d.lines("axes") {
		one := newObject().putText("axis", l.text("axis")).putText("row", l.row)
		putSizes(one, "travel", l.size("travel"))
		axes.add(one.putText("says", l.said("travel")).putText("error", l.text("error")))
	}
	out.put("slots", slots)
	out.put("axes", axes)
}

// sceneNode is a setup as machine, fixture, part and cutter, as boxes from the middle of the part: to
// the right along the table, toward the column, and up from the table.
func (c *context) sceneNode(out *node) {
	s, sits := c.scene()
	point := func(p [3]units.Length) *node {
		list := newArray()
		for _, l := range p {
			list.add(inchNode(l))
		}
		return list
	}
	bodies := newArray()
	for _, b := range s.Bodies {
		one := newObject()
		one.putStr("of", b.Of).putText("id", b.ID).putText("name", b.Name)
		bodies.add(one.put("low", point(b.Low)).put("top", point(b.Top)))
	}
	out.put("bodies", bodies)
	if s.Face != nil {
		out.put("face", c.faceNode(s.Face, nothing))
		out.put("zero", point(s.Zero))
	}
	out.put("used", strs(s.Used))
	fixture, machine := c.role("fixture"), newObject()
	out.putText("sort", fixture.text("kind"))
	machineNode(machine, c.role("machine"))
	out.put("machine", machine)
	out.putYes("sits", sits)
	if at, known := c.gravity(&s); known {
		out.put("gravity", point(at))
	}
}

// gravity is the centre of gravity of the part, where all of it is known.
func (c *context) gravity(s *shape.Scene) (at [3]units.Length, known bool) {
	sit, sits := c.sit()
	b, stands := s.Find("part")
	from, weighed := sit.balance()
	if !sits || !stands || !weighed[0] || !weighed[1] || !weighed[2] || c.role("fixture").text("kind") != "angle" {
		return at, false
	}
	at[0] = units.Length(sit.hand()) * (from[sit.across] - sit.size[sit.across]/2)
	at[1] = b.Top[1] - sit.from(sit.plate, sit.toward, from[sit.plate])
	at[2] = b.Low[2] + sit.from(sit.axis, sit.down, from[sit.axis])
	return at, true
}

// opPlacing tells what a new place comes near to: {"fixture":id,"face","x","y","thread" or "dia","unit",
// "passed":"table.row","docs":[...],"have":[...]}, of what is no hole its size along X as "dia" and along
// Y as "high" too, gives {"says","mark","near":[x,y],"from":[x,y],
// "missing":[...]}, says a headline and mark good, careful or stop.
func opPlacing(_ *Session, in, out *node) *RecordError {
	c, f := newContext(in)
	if f != nil {
		return f
	}
	d := c.get(in.str("fixture"))
	out.put("missing", strs(c.missing))
	fixture := d.fixture()
	unit := units.Span.Unit(system(in.str("unit")))
	read := func(key, label string) (units.Length, *RecordError) {
		n, fault := shoptext.ParseKept(in.str(key), units.Span, unit)
		if fault != nil {
			return 0, &RecordError{key, label + ": '" + short(in.str(key)) + "' is no length. Type it as 4, 1/2 or 12 mm."}
		}
		return n.Length, nil
	}
	x, f := read("x", "X")
	if f != nil {
		return f
	}
	y, f := read("y", "Y")
	if f != nil {
		return f
	}
	dia, _ := screw(in.str("thread"))
	if dia == 0 && in.str("dia") != "" {
		if dia, f = read("dia", "Diameter"); f != nil {
			return f
		}
	}
	high := dia
	if in.str("high") != "" {
		if high, f = read("high", "Length"); f != nil {
			return f
		}
	}
	slim := min(dia, high)
	for i := range fixture.Faces {
		if face := &fixture.Faces[i]; face.Name == in.str("face") {
			if near, ok := face.NearestSlot(x, y, slim, max(dia, high), high > dia, in.str("passed")); ok {
				says, mark := warning(near, slim, in.str("unit"))
				out.putStr("says", says).putStr("mark", mark)
				out.put("near", pointNode(near.To)).put("from", pointNode(near.From))
			}
		}
	}
	return nil
}

func pointNode(p [2]units.Length) *node {
	out := newArray()
	out.add(inchNode(p[0]))
	out.add(inchNode(p[1]))
	return out
}

// warning says in a headline how a new hole stands to what it is nearest to. Careful is less than the
// margins that a fixture is drilled by: half a bolt to a rib or a place kept clear, one bolt between
// holes, one from the edge of the hole to the edge of the plate; common practice, no published source.
func warning(d shape.Danger, dia units.Length, unit string) (says, mark string) {
	name := d.Side
	if name == "" {
		name = first(d.Name, d.What.Words())
		if d.Name == "" {
			name = "the " + name
		}
	} else {
		name = "the " + name
	}
	gap := bare(d.Gap, unit)
	switch least := dia; {
	case d.Gap < 0 && d.Side != "":
		return "Over " + name + " by " + bare(-d.Gap, unit), "stop"
	case d.Gap < 0:
		return "Runs into " + name + " by " + bare(-d.Gap, unit), "stop"
	default:
		if !d.What.Round() && d.Side == "" {
			least = dia / 2
		}
		if d.Gap < least {
			return "Only " + gap + " to " + name, "careful"
		}
		return "Clears " + name + " by " + gap, "good"
	}
}

// bare is a length to two places of an inch or a tenth of a millimetre, without its unit.
func bare(l units.Length, unit string) string {
	if unit == "mm" {
		d, _ := units.Round(l.MM(), 1)
		return d.Trim()
	}
	d, _ := units.Round(l.Inches(), 2)
	said := d.Trim()
	if len(said) > 1 && said[0] == '0' && said[1] == '.' {
		return said[1:]
	}
	return said
}
