package jobbook

import (
	"strconv"

	"datumbook/calc/shape"
	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// The worksheets that use the whole job at once, and their inputs from it: a part's holes with
// every fixture, touches on a rough, the rounds of a tapping in, the line of a setup.

// cells writes a worksheet's table; its separators are removed from cells.
type cells struct{ text []byte }

func (t *cells) row(list ...string) {
	if len(t.text) > 0 {
		t.text = append(t.text, "; "...)
	}
	for i, cell := range list {
		if i > 0 {
			t.text = append(t.text, ", "...)
		}
		from := len(t.text)
		t.text = append(t.text, cell...)
		for j := from; j < len(t.text); j++ {
			if c := t.text[j]; c == ',' || c == ';' {
				t.text[j] = ' '
			}
		}
	}
}

// line is one row of a table, read cell by cell.
type line struct {
	row       string
	unit      string
	v         *node
	of, table string // the role and table of a row that has a role itself
}

func (d *document) lines(table string) []line {
	if d.shown != nil {
		list := d.shown.get(table).list
		out := make([]line, len(list))
		for i, v := range list {
			out[i] = line{row: v.str("row"), unit: v.str("unit"), v: v}
		}
		return out
	}
	var out []line
	for _, r := range d.rows(table) {
		v, unit := r.field.value()
		out = append(out, line{row: r.id, unit: unit, v: v})
	}
	return out
}

// text is a cell as typed, said a length with its unit.
func (l line) text(key string) string { return plain(l.v.get(key)) }
func (l line) said(key string) string {
	return trim(shoptext.Pin(l.text(key), units.Span, units.Span.Unit(system(l.unit))))
}

// texts gives cells: each the first of its non-empty fields; a word after an equals sign is
// literal.
func texts(d interface{ said(key string) string }, fields string) []string {
	out := split(fields, ',')
	for i, each := range out {
		out[i] = ""
		for _, key := range split(each, '|') {
			if key != "" && key[0] == '=' {
				out[i] = first(out[i], key[1:])
			} else if out[i] == "" {
				out[i] = d.said(key)
			}
		}
	}
	return out
}

// first gives the first of some texts that is not empty.
func first(list ...string) string {
	for _, s := range list {
		if s != "" {
			return s
		}
	}
	return ""
}

// joined joins two texts if both are non-empty.
func joined(a, between, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + between + b
}

func has(list []string, s string) bool {
	for _, each := range list {
		if each == s {
			return true
		}
	}
	return false
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

func byMade(a, b *document) int {
	if c := compare(a.made, b.made); c != 0 {
		return c
	}
	return compare(a.id, b.id)
}

// bolt is the bolt thread of a place; "" if none.
func bolt(f *document) string {
	if !hasWord("hole slot tapped", f.text("kind")) {
		return ""
	}
	return first(f.text("bolt"), f.text("thread"))
}

func (c *context) features(part *document) []*document {
	if part == nothing {
		return nil
	}
	return c.all("feature", "part", part.id)
}

// boltedFaces are the faces of a part that have places for bolts, each by the
// first feature on it.
func (c *context) boltedFaces(part *document) []*document {
	var out []*document
	var seen []string
	for _, f := range c.features(part) {
		if face := f.text("face"); bolt(f) != "" && !has(seen, face) {
			seen = append(seen, face)
			out = append(out, f)
		}
	}
	return out
}

// opAhead: {"part":id,"docs":[...],"have":[...]} gives
// {"faces":[{"face","feature":id}],"solid","missing":[...]}: by which faces a
// part may be bolted, and whether it has surfaces that have to clean up.
func opAhead(_ *Session, in, out *node) *RecordError {
	c, f := newContext(in)
	if f != nil {
		return f
	}
	faces, solid, part := newArray(), false, c.get(in.str("part"))
	for _, f := range c.boltedFaces(part) {
		one := newObject()
		one.putStr("face", f.text("face"))
		one.putStr("feature", f.id)
		faces.add(one)
	}
	for _, f := range c.features(part) {
		solid = solid || f.text("looks") != "" && hasWord("face bore boss", f.text("kind"))
	}
	out.put("faces", faces)
	out.put("solid", flag(solid))
	out.put("missing", strs(c.missing))
	return nil
}

func turned(runs string) string {
	if runs == "y" {
		return "90"
	}
	return "0"
}

// match fills in the bolt places of one face of a part, and every fixture with the holes of its
// faces.
func (c *context) match(feature *document) {
	var pattern, faces, places, keep cells
	part, name := c.link(feature, "part"), feature.text("face")
	for _, face := range c.faces(part) {
		if face.Name != name {
			continue
		}
		for i := range face.Places {
			p := &face.Places[i]
			f := c.get(p.ID)
			if bolt(f) == "" {
				continue
			}
			row := []string{f.text("kind"), p.X.Text, p.Y.Text, bolt(f), ""}
			switch p.What {
			case shape.Slot:
				row[4] = p.Across().Text
				row = append(row, p.Long().Text, turned(p.Runs))
			case shape.Clear:
				row[4] = p.Dia.Text
			}
			pattern.row(row...)
		}
	}
	if len(c.missing) == 0 {
		c.lack("fixture") // they are many: asked for last, and once
	}
	fixtures := c.of("fixture", "", "")
	for _, f := range fixtures {
		f.shop(&faces, &places, &keep)
	}
	label := count(len(fixtures), "fixture", "fixtures") + " in the shop"
	c.put("part", string(pattern.text), joined(part.text("name"), ", ", name))
	c.put("fixtures", string(faces.text), label)
	c.put("places", string(places.text), label)
	c.put("keep", string(keep.text), label)
}

// shop adds a fixture's faces, places and keep-out areas. Places that take no bolt, such as dowel
// holes and grooves, are keep-out areas.
func (d *document) shop(faces, places, keep *cells) {
	name, fixture := joined(d.text("name"), " ", d.text("tag")), d.fixture()
	for i := range fixture.Faces {
		f := &fixture.Faces[i]
		faces.row(name, f.Name, f.Wide.Text, f.High.Text, fixture.Thick.Text, f.Left.Text, f.Bottom.Text)
	}
	for i := range fixture.Faces {
		f := &fixture.Faces[i]
		for j := range f.Places {
			p := &f.Places[j]
			_, room := p.Box()
			x, y, face := p.X.Text, p.Y.Text, f.Name
			switch {
			case !p.Set() || p.What == shape.RibGone:
			case p.What == shape.Tapped && p.Thread != "":
				places.row(name, face, "tapped", x, y, "", p.Thread)
			case p.What == shape.Clear && room:
				places.row(name, face, "hole", x, y, p.Dia.Text)
			case p.What == shape.Slot && p.Long().Known():
				places.row(name, face, "slot", x, y, p.Across().Text, "", p.Long().Text, turned(p.Runs))
			case p.What == shape.Tee && p.Long().Known():
				places.row(name, face, "tslot", x, y, p.Across().Text, "", p.Long().Text, turned(p.Runs))
			case !room:
			case p.What.Round():
				keep.row(name, face, "clear", x, y, p.Dia.Text, p.Dia.Text)
			case p.What == shape.Rib:
				keep.row(name, face, "rib", x, y, p.Wide.Text, p.High.Text)
			default:
				keep.row(name, face, "clear", x, y, p.Wide.Text, p.High.Text)
			}
		}
	}
}

// cleanup takes the finished surfaces of a part and the touches recorded on
// them: those that were touched, or where nothing was, all. Where one of a
// touch's three distances is not given, the reading is that one.
func (c *context) cleanup(part, setup *document) {
	var surfaces, touches, supports cells
	var read []*document
	features := c.features(part)
	for _, f := range features {
		for _, r := range c.all("reading", "feature", f.id) {
			if r.text("kind") == "rough" {
				read = append(read, r)
			}
		}
	}
	var touched []string
	for _, r := range arranged(read, byMade) {
		f := c.link(r, "feature")
		touched = append(touched, f.id)
		at := texts(r, "x,y,z,value")
		for i := range 3 {
			if value := at[3]; at[i] == "" && value != "" {
				if value[0] == '+' {
					value = value[1:]
				}
				at[i], at[3] = value, ""
			}
		}
		touches.row(append([]string{f.text("name")}, at[:3]...)...)
	}
	for _, f := range features {
		kind, size := f.text("kind"), ""
		if f.text("looks") == "" || !hasWord("face bore boss wall ring", kind) || len(read) > 0 && !has(touched, f.id) {
			continue
		}
		if hasWord("bore boss ring", kind) {
			size = "nominal"
		}
		surfaces.row(texts(f, "name,kind,looks,x|=0,y|=0,z|=0,"+size+",least")...)
	}
	for _, l := range setup.lines("shims") {
		if at := texts(l, "x,y,z|=0"); at[0] != "" && at[1] != "" {
			supports.row(append([]string{l.text("place")}, at...)...)
		}
	}
	c.put("features", string(surfaces.text), part.text("name"))
	c.put("touches", string(touches.text), count(len(read), "touch", "touches"))
	c.put("supports", string(supports.text), setup.title())
	if down := setup.text("downside"); len(down) == 2 {
		up := "-"
		if down[0] == '-' {
			up = "+"
		}
		c.put("up", up+down[1:], setup.title())
	}
}

// round is a round of readings with the move made before it; a place not yet read is empty.
type round struct {
	number int
	reads  []*document
	move   string
}

// rounds gives the rounds of a setup since the last first one, in order; of repeated readings the
// last counts. A round of tapping in has two ends, one of the head four sides of a sweep.
func rounds(readings []*document, kind string) []*round {
	stations := []string{"a", "b"}
	if kind == "head" {
		stations = []string{"right", "back", "left", "front"}
	}
	var out []*round
	last := &round{}
	for _, d := range readings {
		n, _ := strconv.Atoi(d.text("round"))
		if d.text("kind") != kind || n == 0 || !has(stations, d.text("station")) {
			continue
		}
		if last.number != n {
			if n == 1 {
				out = nil
			}
			last = &round{number: n, reads: make([]*document, len(stations))}
			out = append(out, last)
		}
		for i, station := range stations {
			if d.text("station") == station {
				last.reads[i] = d
			} else if last.reads[i] == nil {
				last.reads[i] = nothing
			}
		}
		last.move = first(d.text("move"), last.move)
	}
	return out
}

// tapin fills in the settings and the complete rounds. All rounds are returned too, for the page
// that continues them.
func (c *context) tapin(setup *document) {
	c.settings(setup, "")
	label := setup.title()
	mine := c.all("reading", "setup", setup.id)
	for _, kind := range [...][2]string{{"tap", "pairs"}, {"head", "sweeps"}} {
		list, table := newArray(), ""
		for _, r := range rounds(mine, kind[0]) {
			one, reads, row, full := newObject(), newArray(), "", true
			for _, d := range r.reads {
				reads.add(str(d.id))
				row = joined(row, ", ", d.said("value"))
				full = full && d != nothing
			}
			one.put("n", whole(r.number))
			one.put("reads", reads)
			one.putStr("move", r.move)
			list.add(one)
			if full {
				table = joined(table, "; ", joined(row, ", ", r.move))
			}
		}
		c.rounds.put(kind[0], list)
		c.put(kind[1], table, label)
	}
}

// settings fills in what was typed on a setup's page of tapping in: all, or the inputs named.
func (c *context) settings(setup *document, only string) {
	asked := setup.value("tapin")
	for i, key := range asked.keys {
		if only == "" || hasWord(only, key) {
			c.put(key, plain(asked.list[i]), setup.title())
		}
	}
}

// tram takes the line of a setup as its page of readings draws it. The needle is that of tapping in:
// two pages judge the same readings alike.
func (c *context) tram(setup *document, step, kind string) {
	c.settings(setup, "allow grad repeat sense")
	c.all("reading", "setup", setup.id)
	c.line("x,value", setup, step, kind)
}

// line fills in the readings of a setup: of each place the last of one kind, in the order of the
// places. Where none was read yet, the places stand there and the readings are open.
func (c *context) line(columns string, setup *document, step, kind string) {
	var order []string
	var mine []*document
	at, last := map[string][]string{}, map[string]*document{}
	place := func(name string, to []string) {
		if was := at[name]; was == nil {
			order = append(order, name)
			at[name] = to
		} else {
			for i := range to {
				to[i] = first(to[i], was[i])
			}
			at[name] = to
		}
	}
	for _, l := range setup.lines("expected") {
		if name := l.text("station"); name != "" {
			place(name, texts(l, "x,y"))
		}
	}
	for _, d := range c.of("reading", "setup", setup.id) {
		name := d.text("station")
		if kind == "" {
			name = stationOf(d)
		}
		if d.text("round") == "" && name != "" { // tapping-in rounds are separate
			mine = append(mine, d)
			place(name, texts(d, "x,y"))
		}
	}
	given := kind
	kind = first(kind, kindNext(mine, step))
	for _, d := range mine {
		if d.text("kind") == kind {
			last[first(d.text("station"), stationOf(d))] = d
		}
	}
	// A line without a distance to any of its places is one whose places share its length evenly.
	even := c.sheet == "tram" && given == ""
	for _, name := range order {
		even = even && at[name][0] == ""
	}
	var table, open cells
	from := nothing
	for _, name := range order {
		row := split(columns, ',')
		d := last[name]
		for i, key := range row {
			if key == "value" {
				row[i] = ""
				if d != nil {
					row[i] = d.said("value")
				}
			} else if row[i] = at[name][i]; d != nil {
				row[i] = first(d.said(key), row[i])
			}
		}
		if row[0] == "" && !even {
			continue
		}
		open.row(row...)
		if row[len(row)-1] != "" {
			table.row(row...)
			from = d
		}
	}
	c.take("readings", string(table.text), from, "value")
	if given == "" && len(table.text) == 0 && len(setup.lines("expected")) > 1 {
		c.take("readings", string(open.text), setup, "expected")
	}
}

// kindNext is the kind of the next reading: that of the step's last one; else of the setup's last
// one, except whole lengths, where a bare number would be inches instead of the thousandths meant.
func kindNext(readings []*document, step string) string {
	kind, own := "before", ""
	for _, d := range readings {
		k := d.text("kind")
		if k != "size" && k != "rough" {
			kind = k
		}
		if step != "" && d.text("step") == step {
			own = k
		}
	}
	return first(own, kind)
}
