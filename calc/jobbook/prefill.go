package jobbook

// A rule for prefilling a worksheet from the job: the input, the worksheets it applies to, and the
// paths to its value, of which the first filled one is used. "machine.axes:x.travel" is the travel
// in the row of axes whose axis is x.
type rule struct{ sheets, input, from string }

// rules are tried in order; the first value found stays. Worksheets and inputs are named as
// published.
var rules = [...]rule{
	{"hole engage taptorque speed", "thread", "feature.thread feature.bolt tool.thread"},
	{"hold strap torque", "thread", "feature.bolt feature.thread"},
	{"clear bore", "size", "feature.bolt"},
	{"hole speed", "depth", "feature.depth"},
	{"engage", "length", "feature.depth"},
	{"hole", "tap", "tool.lead"},
	{"fit", "size", "feature.nominal"},
	{"centre", "size", "feature.nominal"},
	{"middle", "size", "feature.nominal feature.wide"},
	{"heat", "want", "feature.nominal"},
	{"reach", "travel", "machine.axes:x.travel"},
	{"reach", "cross", "machine.axes:y.travel"},
	{"reach", "ram", "machine.axes:ram.travel"},
	{"reach", "table", "machine.tablelong"},
	{"reach", "throat", "machine.throat"},
	{"reach facing", "long", "feature.long part.long"},
	{"reach facing", "wide", "feature.wide part.wide"},
	{"reach facing power sweep dish", "cutter", "tool.diameter"},
	{"speed drillforce", "dia", "tool.diameter feature.nominal"},
	{"speed power facing", "teeth", "tool.teeth"},
	{"speed", "speeds", "machine.speeds"},
	{"speed", "feeds", "machine.feeds"},
	{"power drillforce facing taptorque", "rpm", "step.spin"},
	{"power", "feed", "step.feed"},
	{"power drillforce", "motor", "machine.motor"},
	{"daylight", "daylight", "machine.daylight"},
	{"daylight", "knee", "machine.axes:z.travel"},
	{"daylight", "quill", "machine.axes:w.travel"},
	{"daylight", "part", "part.high"},
	{"daylight", "tool", "tool.stickout"},
	{"hold strap sling", "weight", "part.weight"},
	{"tram square bar sweep tapin", "allow", "setup.wanted"},
	{"match", "name", "part.name"},
	{"tram shim lever square bar sweep tapin", "grad", "gauge.graduation indicator.graduation"},
	{"repeat", "step", "gauge.graduation indicator.graduation"},
	{"edge middle centre", "tip", "gauge.tip indicator.tip"},
	{"dials", "leadx", "machine.axes:x.turn"},
	{"dials", "leady", "machine.axes:y.turn"},
	{"bolts row grid pairs", "lead", "machine.axes:x.turn"},
	{"bolts row grid pairs dials", "div", "machine.axes:x.division"},
	{"heat", "tpart", "setup.parttemp"},
	{"shim", "owned", "shims.sizes"},
	{"blocks", "mine", "blocks.sizes"},
}

// words maps a choice of the job book to a choice of worksheets, where both mean the same.
var words = [...][4]string{
	{"reach", "machine", "machine.kind", "mill mill turret turret borer borer"},
	{"hole", "work", "material.metal", "iron iron steel steel stainless stainless aluminium aluminium bronze bronze"},
	{"speed power drillforce taptorque", "work", "material.metal", "iron grey ductile ductile stainless stainless aluminium aluminium bronze bronze"},
	{"weigh", "metal", "material.metal", "iron grey ductile ductile steel steel stainless stainless aluminium aluminium bronze bronze"},
	{"heat", "part", "material.metal", "iron iron ductile ductile steel steel stainless stainless aluminium aluminium bronze bronze"},
	{"speed", "tool", "tool.made", "hss hss cobalt hss carbide carbide insert carbide brazed carbide"},
	{"speed", "op", "tool.kind", "facemill facemill endmill endmill drill drill reamer ream tap tap csk csink bar bore"},
	{"blocks", "set", "blocks.kind", "blocks mine"},
}

// context holds the records linked from a step, setup, feature, part or job, and the inputs a
// worksheet gets from them.
type context struct {
	docs                 []*document
	by                   map[string]*document // by role
	have                 map[string]bool      // once missing; now provided, or known not to exist
	missing              []string             // what to bring for a fuller answer, as FORMAT.md says
	inputs, from, rounds *node
}

func newContext(in *node) (*context, *RecordError) {
	list := in.get("docs")
	if list.kind != array {
		return nil, &RecordError{"docs", "The request has no list 'docs'."}
	}
	c := &context{by: map[string]*document{}, have: map[string]bool{}, inputs: newObject(), from: newObject(),
		rounds: newObject()}
	for _, n := range list.list {
		d := fromView(n)
		if d == nil {
			d, _ = toDocument(n)
			d.made = n.str("made")
		}
		c.docs = append(c.docs, d)
	}
	for _, key := range in.texts("have") {
		c.have[key] = true
	}
	return c, nil
}

// lack records once what to provide.
func (c *context) lack(key string) {
	if !c.have[key] {
		c.have[key] = true
		c.missing = append(c.missing, key)
	}
}

// nothing stands for a record that was not provided: it has no fields.
var nothing = &document{}

// get finds a record, or notes that it is missing.
func (c *context) get(id string) *document {
	for _, d := range c.docs {
		if d.id == id {
			return d
		}
	}
	if id != "" {
		c.lack(id)
	}
	return nothing
}

// link finds the record that a field of another names.
func (c *context) link(from *document, field string) *document { return c.get(from.text(field)) }

// role finds the record that has a role.
func (c *context) role(name string) *document {
	if d := c.by[name]; d != nil {
		return d
	}
	return nothing
}

// of returns the provided records in order of creation.
func (c *context) of(kind, field, id string) []*document {
	var out []*document
	for _, d := range c.docs {
		if d.kind == kind && !d.gone() && (field == "" || d.text(field) == id) {
			out = append(out, d)
		}
	}
	return arranged(out, byMade)
}

// all returns them too, and asks for all of them.
func (c *context) all(kind, field, id string) []*document {
	c.lack(joined(kind, " ", joined(field, " ", id)))
	return c.of(kind, field, id)
}

// put fills an input unless it is filled; label says where it came from.
func (c *context) put(key, said, label string) {
	one := newObject()
	one.putStr("label", label)
	c.fill(key, said, one)
}

// take fills an input with what stands in a field.
func (c *context) take(key, said string, d *document, field string) {
	one := newObject()
	one.putStr("id", d.id)
	one.putStr("field", field)
	one.putStr("label", d.title()+", "+labelOf(d.kind, field))
	c.fill(key, said, one)
}

func (c *context) fill(key, said string, from *node) {
	if said != "" && c.inputs.get(key).kind == null {
		c.inputs.putStr(key, said)
		c.from.put(key, from)
	}
}

// ways are the links followed, in order: role, from, field.
var ways = [...][3]string{
	{"setup", "step", "setup"}, {"feature", "step", "feature"}, {"tool", "step", "tool"}, {"gauge", "step", "gauge"},
	{"machine", "setup", "machine"}, {"fixture", "setup", "fixture"}, {"part", "setup", "part"}, {"part", "feature", "part"},
	{"indicator", "setup", "indicator"}, {"material", "part", "material"}, {"platemetal", "fixture", "material"},
	{"job", "setup", "job"}, {"job", "part", "job"},
}

// opPrefill: {"worksheet","step", "setup", "feature", "part" or "job":id,"kind",
// "docs":[...],"have":[...]} gives {"inputs":{key:text},"from":{key:{"id","field",
// "label"}},"links":{kind:id},"job":name,"missing":[...]}, and for a tapping in
// "rounds". Kind is the kind of reading a line is of, where it is not the last.
func opPrefill(_ *Session, in, out *node) *RecordError {
	c, f := newContext(in)
	if f != nil {
		return f
	}
	for _, role := range []string{"setup", "step", "feature", "part", "job"} {
		if d := c.get(in.str(role)); d != nothing {
			c.by[role] = d
		}
	}
	for _, w := range ways {
		if c.by[w[0]] == nil {
			if to := c.link(c.role(w[1]), w[2]); to != nothing {
				c.by[w[0]] = to
			}
		}
	}
	sheet, kind := in.str("worksheet"), in.str("kind")
	if hasWord("shim shims blocks", sheet) {
		for _, d := range c.all("set", "", "") {
			if kind := d.text("kind"); (kind == "shims" || kind == "blocks") && c.by[kind] == nil {
				c.by[kind] = d
			}
		}
	}
	c.whole(sheet, in.str("step"), kind)
	c.rules(sheet)
	if kind == "" { // a line of one kind uses no readings of another
		c.special(sheet, in.str("step"), in.str("setup"))
	}
	links := newObject()
	for _, role := range []string{"step", "setup", "job"} {
		links.putText(role, c.role(role).id)
	}
	links.putText("feature", first(c.role("step").text("feature"), in.str("feature")))
	out.put("inputs", c.inputs)
	out.put("from", c.from)
	out.put("links", links)
	out.putStr("job", c.role("job").text("name"))
	out.put("rounds", c.rounds)
	out.put("missing", strs(c.missing))
	return nil
}

// whole fills inputs that need the whole job.
func (c *context) whole(sheet, step, kind string) {
	setup, part, job, feature := c.role("setup"), c.role("part"), c.role("job"), c.role("feature")
	if part == nothing && job != nothing && hasWord("match cleanup", sheet) {
		if parts := c.all("part", "job", job.id); len(parts) > 0 {
			part = parts[0]
		}
	}
	if feature == nothing && part != nothing && sheet == "match" {
		if faces := c.boltedFaces(part); len(faces) > 0 {
			feature = faces[0]
		}
	}
	switch {
	case sheet == "match" && feature != nothing:
		c.match(feature)
	case sheet == "cleanup" && part != nothing:
		c.cleanup(part, setup)
	case sheet == "tapin" && setup != nothing:
		c.tapin(setup)
	case sheet == "tram" && setup != nothing:
		c.tram(setup, step, kind)
	case sheet == "chain" && job != nothing:
		c.chain(job)
	}
}

// rules fills what one field of a record says.
func (c *context) rules(sheet string) {
	for i := range rules {
		if r := &rules[i]; hasWord(r.sheets, sheet) {
			for _, path := range split(r.from, ' ') {
				if d, field, said := c.at(path); d != nil {
					c.take(r.input, said, d, field)
				}
			}
		}
	}
	for i := range words {
		w := &words[i]
		if !hasWord(w[0], sheet) {
			continue
		}
		if d, field, said := c.at(w[2]); d != nil {
			pairs := split(w[3], ' ')
			for j := 0; j+1 < len(pairs); j += 2 {
				if pairs[j] == d.text(field) && said != "" {
					c.take(w[1], pairs[j+1], d, field)
				}
			}
		}
	}
}

// special fills inputs that need more than one field.
func (c *context) special(sheet, step, setup string) {
	if fixture := c.by["fixture"]; fixture != nil {
		feature := c.by["feature"]
		// A hole for a bolt of the part goes into the fixture; a tapped hole of the part does not.
		if sheet == "hole" && (feature == nil || feature.text("thread") == "") {
			c.take("stock", fixture.said("thick"), fixture, "thick")
		}
		if k := fixture.text("kind"); sheet == "daylight" && (k == "table" || k == "vise" || k == "parallel") {
			c.take("under", fixture.said("high"), fixture, "high")
		}
	}
	if set := c.by["shims"]; set != nil && sheet == "shims" {
		c.take("owned", set.sizes("; ", 24), set, "sizes") // rows, at most 24 of them
	}
	if f := c.by["feature"]; f != nil && sheet == "accept" {
		for _, limit := range [...][2]string{{"low", "minus"}, {"high", "plus"}} {
			if size, off := f.said("nominal"), f.said(limit[1]); size != "" && off != "" {
				if off[0] != '-' && off[0] != '+' {
					off = "+" + off
				}
				c.take(limit[0], size+off, f, limit[1])
			}
		}
	}
	pattern := ""
	switch sheet {
	case "tram":
		pattern = "xv"
	case "shim":
		pattern = "xyv"
	case "repeat":
		pattern = "v"
	}
	if pattern == "" {
		return
	}
	if of := c.role("setup"); of != nothing {
		c.all("reading", "setup", of.id)
	}
	list, last := "", (*document)(nil)
	for _, d := range readings(c.docs, step, setup, c.by["setup"]) {
		row := ""
		for _, col := range pattern {
			field := "value"
			if col != 'v' {
				field = string(col)
			}
			said := d.said(field)
			if said == "" {
				row = ""
				break
			}
			if row != "" {
				row += ", "
			}
			row += said
		}
		if row == "" {
			continue
		}
		if list != "" {
			list += "; "
		}
		list += row
		last = d
	}
	if last != nil {
		c.take("readings", list, last, "value")
	}
}

// readings gives the readings of a step, or where it has none of its setup, in
// the order they were taken.
func readings(docs []*document, step, setup string, of *document) []*document {
	if setup == "" && of != nil {
		setup = of.id
	}
	var ofStep, ofSetup []*document
	for _, d := range docs {
		if d.kind != "reading" || d.gone() || d.text("round") != "" { // not tapping-in rounds
			continue
		}
		if step != "" && d.text("step") == step {
			ofStep = append(ofStep, d)
		}
		if setup != "" && d.text("setup") == setup {
			ofSetup = append(ofSetup, d)
		}
	}
	if len(ofStep) > 0 {
		ofSetup = ofStep
	}
	return arranged(ofSetup, byMade)
}

// at resolves a rule's path; d is nil where the record was not provided.
func (c *context) at(path string) (d *document, field, said string) {
	p := split(path, '.')
	d = c.by[p[0]]
	if d == nil {
		return nil, "", ""
	}
	table := split(p[1], ':')
	if len(table) == 1 {
		return d, p[1], d.said(p[1])
	}
	def := KindOf(d.kind).Field(table[0])
	if def == nil || def.Kind != Table { // a link to a record of another kind
		return d, table[0], ""
	}
	for _, l := range d.lines(table[0]) {
		if l.text(def.Columns[0].Key) == table[1] {
			return d, table[0] + "#" + first(l.row, l.text("row")), saying(columnOf(def, p[2]), l.v.get(p[2]), l.unit)
		}
	}
	return d, table[0], ""
}

// said is a value with the unit of its bare numbers; a list's values are joined.
func (d *document) said(key string) string {
	def := KindOf(d.kind).Field(key)
	v, unit := d.find(key).value()
	if def == nil || def.Kind == Choice {
		return plain(v)
	}
	if def.Kind != List {
		return saying(def, v, unit)
	}
	return listed(def, v, unit, ", ", len(v.list))
}

func (d *document) sizes(between string, most int) string {
	v, unit := d.find("sizes").value()
	return listed(KindOf("set").Field("sizes"), v, unit, between, most)
}

func listed(def *Field, v *node, unit, between string, most int) string {
	out := ""
	for i, each := range v.list {
		if i >= most {
			break
		}
		if i > 0 {
			out += between
		}
		out += saying(&def.Columns[0], each, unit)
	}
	return out
}

func split(s string, by byte) []string {
	var out []string
	start := 0
	for i := range len(s) {
		if s[i] == by {
			out = append(out, s[start:i])
			start = i + 1
		}
	}
	return append(out, s[start:])
}

func hasWord(list, word string) bool {
	for _, w := range split(list, ' ') {
		if w == word {
			return true
		}
	}
	return false
}
