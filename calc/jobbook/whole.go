package jobbook

import (
	"strconv"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// The worksheets that use the whole job at once, and what each takes from it: a
// part's holes with every fixture, the chain of setups with what was read in
// each, touches on a rough, the rounds of a tapping in, the line of a setup.

// cells writes a worksheet's table: no cell holds what parts cells.
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
	row  string // "" where the row itself says it, as those of a view do
	unit string
	v    *node
}

func (d *document) lines(table string) []line {
	if d.shown != nil {
		list := d.shown.get(table).list
		out := make([]line, len(list))
		for i, v := range list {
			out[i] = line{unit: v.str("unit"), v: v}
		}
		return out
	}
	var out []line
	for _, r := range d.rows(table) {
		v, unit := r.field.value()
		out = append(out, line{r.id, unit, v})
	}
	return out
}

// text is a cell as it was typed, said a length with its unit.
func (l line) text(key string) string { return plain(l.v.get(key)) }
func (l line) said(key string) string {
	return trim(shoptext.Pin(l.text(key), units.Span, units.Span.Unit(system(l.unit))))
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

// name is what a record is called in a list.
func (d *document) name() string {
	name := first(d.text("name"), d.text("text"), d.text("jobname"), d.text("worksheet"))
	for i := range len(name) {
		if name[i] == '\n' {
			name = name[:i]
			break
		}
	}
	if order := d.text("order"); d.kind == "setup" && order != "" {
		return order + " " + trim(name)
	}
	return trim(name)
}

func byMade(a, b *document) int {
	if c := compare(a.made, b.made); c != 0 {
		return c
	}
	return compare(a.id, b.id)
}

// byOrder goes by the number in "order", and by when they were made where that
// does not decide; what has no number comes last.
func byOrder(a, b *document) int {
	of := func(d *document) float64 {
		n, f := shoptext.ParseKept(d.text("order"), units.None, units.None.Unit(units.InchSystem))
		if f != nil {
			return 1e300
		}
		return n.Value
	}
	switch m, n := of(a), of(b); {
	case m < n:
		return -1
	case m > n:
		return 1
	}
	return byMade(a, b)
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

// bolt is the thread of the bolts of a place; "" where it is none.
func bolt(f *document) string {
	if !hasWord("hole slot tapped", f.text("kind")) {
		return ""
	}
	return first(f.text("bolt"), f.text("thread"))
}

func (c *context) features(part *document) []*document { return c.all("feature", "part", part.id) }

// boltedFaces are the faces of a part that have places for bolts, each by the
// first feature on it.
func (c *context) boltedFaces(part *document) []*document {
	var out []*document
	seen := map[string]bool{}
	for _, f := range c.features(part) {
		if face := f.text("face"); bolt(f) != "" && !seen[face] {
			seen[face] = true
			out = append(out, f)
		}
	}
	return out
}

// opAhead: {"part":id,"docs":[...],"have":[...]} gives {"faces":[{"face","feature":id}],"solid"} and what is lacking, as
// prefill does: what a part can be asked before it is cut, by which faces it may be bolted and whether it has surfaces
// that have to clean up.
func opAhead(_ *Session, in, out *node) *RecordError {
	c, f := newContext(in)
	if f != nil {
		return f
	}
	faces, solid := newArray(), false
	if part := c.get(in.str("part")); part != nil {
		for _, f := range c.boltedFaces(part) {
			one := newObject()
			one.putStr("face", f.text("face"))
			one.putStr("feature", f.id)
			faces.add(one)
		}
		for _, f := range c.features(part) {
			solid = solid || f.text("looks") != "" && hasWord("face bore boss", f.text("kind"))
		}
	}
	out.put("faces", faces)
	out.put("solid", flag(solid))
	c.lacks(out)
	return nil
}

func turned(runs string) string {
	if runs == "y" {
		return "90"
	}
	return "0"
}

// match takes the places for bolts on one face of a part, and every fixture
// with the holes of its faces.
func (c *context) match(feature *document) {
	part := c.link(feature, "part")
	if part == nil {
		return
	}
	var pattern, faces, places, keep cells
	face := feature.text("face")
	for _, f := range c.features(part) {
		thread, kind := bolt(f), f.text("kind")
		if thread == "" || f.text("face") != face {
			continue
		}
		row := []string{kind, "", "", thread, ""}
		if kind != "tapped" {
			row[4] = first(f.said("nominal"), f.said("wide"))
		}
		if kind == "slot" {
			row = append(row, f.said("long"), turned(f.text("runs")))
		}
		row[1], row[2] = f.said("x"), f.said("y")
		pattern.row(row...)
		for _, l := range f.lines("also") {
			row[1], row[2] = l.said("x"), l.said("y")
			pattern.row(row...)
		}
	}
	c.put("part", string(pattern.text), joined(part.name(), ", ", face))
	fixtures := c.of("fixture", "", "")
	if len(c.missing) == 0 && len(c.wanted) == 0 {
		c.want("fixture", "", "") // they are many: they are brought last, and once
	}
	for _, f := range fixtures {
		f.shop(&faces, &places, &keep)
	}
	label := count(len(fixtures), "fixture", "fixtures") + " in the shop"
	c.put("fixtures", string(faces.text), label)
	c.put("places", string(places.text), label)
	c.put("keep", string(keep.text), label)
}

// fixtureName is how a fixture is called in the table.
func fixtureName(f *document) string { return joined(f.name(), " ", f.text("tag")) }

// shop adds a fixture's faces, places and what is to be kept clear of. What is
// no place for a bolt, as a dowel hole is not, is kept clear of; a rib behind a
// face that has no holes, no slots and no size stands behind all that have.
func (f *document) shop(faces, places, keep *cells) {
	name := fixtureName(f)
	sizes, holes, slots := f.lines("faces"), f.lines("holes"), f.lines("slots")
	var known []string
	for _, list := range [][]line{sizes, holes, slots} {
		for _, l := range list {
			if face := l.text("face"); !has(known, face) {
				known = append(known, face)
			}
		}
	}
	for _, face := range known {
		size := line{v: none}
		for _, l := range sizes {
			if size.v == none && l.text("face") == face {
				size = l
			}
		}
		faces.row(name, face, size.said("wide"), size.said("high"), f.said("thick"), size.said("left"), size.said("bottom"))
	}
	block := func(l line, kind, wide, high string) {
		face, x, y := l.text("face"), l.said("x"), l.said("y")
		if x == "" || y == "" || wide == "" || high == "" {
			return
		}
		behind := known
		if has(known, face) {
			behind = []string{face}
		}
		for _, k := range behind {
			keep.row(name, k, kind, x, y, wide, high)
		}
	}
	for _, l := range holes {
		x, y, dia, thread, face := l.said("x"), l.said("y"), l.said("dia"), l.text("thread"), l.text("face")
		switch kind := l.text("kind"); {
		case x == "" || y == "": // nobody wrote down where it is
		case kind == "tapped" && thread != "":
			places.row(name, face, "tapped", x, y, "", thread)
		case kind == "clear" && dia != "":
			places.row(name, face, "hole", x, y, dia)
		default:
			block(l, "clear", dia, dia)
		}
	}
	for _, l := range slots {
		x, y, long, kind := l.said("x"), l.said("y"), l.said("long"), "slot"
		if l.text("kind") == "tee" {
			kind = "tslot"
		}
		if x != "" && y != "" && long != "" {
			places.row(name, l.text("face"), kind, x, y, l.said("wide"), "", long, turned(l.text("runs")))
		}
	}
	for _, l := range f.lines("ribs") {
		wide, high := l.said("long"), l.said("thick")
		if l.text("runs") == "y" {
			wide, high = high, wide
		}
		block(l, "rib", wide, high)
	}
	for _, l := range f.lines("keepout") {
		block(l, "clear", l.said("wide"), l.said("high"))
	}
}

// cleanup takes the finished surfaces of a part and the touches recorded on
// them: those that were touched, or where nothing was, all. Where one of a
// touch's three distances is not given, the reading is that one.
func (c *context) cleanup(part *document) {
	var features, touches, supports cells
	var read []*document
	all := c.features(part)
	for _, f := range all {
		for _, r := range c.all("reading", "feature", f.id) {
			if r.text("kind") == "rough" {
				read = append(read, r)
			}
		}
	}
	touched := map[string]bool{}
	for _, r := range arranged(read, byMade) {
		row := []string{c.find(r.text("feature")).name(), r.said("x"), r.said("y"), r.said("z")}
		touched[r.text("feature")] = true
		for i := range row {
			if i > 0 && row[i] == "" {
				if row[i] = r.said("value"); row[i] != "" && row[i][0] == '+' {
					row[i] = row[i][1:]
				}
				break
			}
		}
		touches.row(row...)
	}
	for _, f := range all {
		if f.text("looks") == "" || !hasWord("face bore boss wall ring", f.text("kind")) || len(read) > 0 && !touched[f.id] {
			continue
		}
		round := ""
		if hasWord("bore boss ring", f.text("kind")) {
			round = f.said("nominal")
		}
		features.row(f.name(), f.text("kind"), f.text("looks"), first(f.said("x"), "0"), first(f.said("y"), "0"), first(f.said("z"), "0"), round, f.said("least"))
	}
	c.put("features", string(features.text), part.name())
	c.put("touches", string(touches.text), count(len(read), "touch", "touches"))
	setup := c.by["setup"]
	if setup == nil {
		return
	}
	for _, l := range setup.lines("shims") {
		if x, y := l.said("x"), l.said("y"); x != "" && y != "" {
			supports.row(l.text("place"), x, y, first(l.said("z"), "0"))
		}
	}
	c.put("supports", string(supports.text), setup.name())
	if down := setup.text("downside"); len(down) == 2 {
		up := "-" + down[1:]
		if down[0] == '-' {
			up = "+" + down[1:]
		}
		c.put("up", up, setup.name())
	}
}

// round is a round of readings with the move made before it; a place that was
// not read yet is nil.
type round struct {
	number int
	reads  []*document
	move   string
}

// rounds gives the rounds of a setup since the last first one, in order; a
// place read twice counts as read last. A round of tapping in has two ends, one
// of the head four sides of a sweep.
func rounds(readings []*document, kind string) []*round {
	stations := []string{"a", "b"}
	if kind == "head" {
		stations = []string{"right", "back", "left", "front"}
	}
	var out []*round
	for _, d := range readings {
		n, _ := strconv.Atoi(d.text("round"))
		for i, station := range stations {
			if d.text("kind") != kind || n == 0 || d.text("station") != station {
				continue
			}
			if len(out) == 0 || out[len(out)-1].number != n {
				if n == 1 {
					out = nil
				}
				out = append(out, &round{number: n, reads: make([]*document, len(stations))})
			}
			last := out[len(out)-1]
			last.reads[i] = d
			last.move = first(d.text("move"), last.move)
		}
	}
	return out
}

// tapin takes what was asked once and the rounds that were read in full. All
// rounds are answered too, for the page that goes on with them.
func (c *context) tapin(setup *document) {
	asked := setup.value("tapin")
	for i, key := range asked.keys {
		c.put(key, plain(asked.list[i]), setup.name())
	}
	mine := c.all("reading", "setup", setup.id)
	c.rounds = newObject()
	for _, kind := range [...][2]string{{"tap", "pairs"}, {"head", "sweeps"}} {
		list, table := newArray(), ""
		for _, r := range rounds(mine, kind[0]) {
			one, reads, row, full := newObject(), newArray(), "", true
			for _, d := range r.reads {
				if d == nil {
					full = false
					reads.add(str(""))
					continue
				}
				reads.add(str(d.id))
				row = joined(row, ", ", d.said("value"))
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
		c.put(kind[1], table, setup.name())
	}
}

// joined puts two texts together where both are there.
func joined(a, between, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + between + b
}

// tram takes the line of a setup as its page of readings draws it: of each
// place the last reading of one kind.
func (c *context) tram(setup *document, step, kind string) {
	var mine []*document
	for _, d := range c.all("reading", "setup", setup.id) {
		if d.text("round") == "" { // rounds of tapping in are another matter
			mine = append(mine, d)
		}
	}
	if kind == "" {
		kind = kindNext(mine, step)
	}
	var order []string
	at, last := map[string]string{}, map[string]*document{}
	place := func(name, x string) {
		if name != "" && !has(order, name) {
			order = append(order, name)
		}
		at[name] = first(x, at[name])
	}
	for _, l := range setup.lines("expected") {
		place(l.text("station"), l.said("x"))
	}
	for _, d := range mine {
		place(d.text("station"), d.said("x"))
		if d.text("kind") == kind {
			last[d.text("station")] = d
		}
	}
	var table cells
	var from *document
	for _, name := range order {
		d := last[name]
		if d == nil {
			continue
		}
		if x, v := first(d.said("x"), at[name]), d.said("value"); x != "" && v != "" {
			table.row(x, v)
			from = d
		}
	}
	if from != nil {
		c.take("readings", string(table.text), from, "value")
	}
}

// kindNext is the kind that is read next: that of the step's own last reading;
// else of the setup's last one, but never by itself a whole length, since a
// bare number would then be inches where a hand means thousandths.
func kindNext(readings []*document, step string) string {
	kind := ""
	for _, d := range readings {
		if k := d.text("kind"); k != "size" && k != "rough" {
			kind = k
		}
	}
	for _, d := range readings {
		if step != "" && d.text("step") == step {
			kind = d.text("kind")
		}
	}
	return first(kind, "before")
}
