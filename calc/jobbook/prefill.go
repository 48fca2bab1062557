package jobbook

// A rule for prefilling a worksheet from the job: the input, the worksheets it applies to, and the
// paths to its value, of which the first filled one is used. "machine.axes:x.travel" is the travel
// in the row of axes whose axis is x.
type rule struct{ sheets, input, from string }

// rules are tried in order; the first value found stays. Paths stand in the order of trust: setup,
// step, feature, part, fixture, machine, tool, gauge. Worksheets and inputs are named as published.
var rules = [...]rule{
	{"hole", "thread", "asked.thread feature.thread feature.bolt undrilled.thread tool.thread"},
	{"engage torque", "thread", "bolt.thread hole.thread feature.thread feature.bolt tool.thread"},
	{"hold strap", "thread", "bolt.thread hole.thread feature.bolt feature.thread"},
	{"taptorque speed", "thread", "feature.thread tool.thread"},
	{"hold strap torque", "grade", "bolt.grade"},
	{"hold strap torque", "torque", "bolt.torque"},
	{"clear bore", "size", "feature.bolt bolt.thread"},
	{"speed", "depth", "feature.depth"},
	{"hole", "tap", "tool.lead"},
	{"room", "hole", "feature.nominal"},
	{"fit", "size", "feature.nominal"},
	{"heat", "want", "feature.nominal"},
	{"centre", "size", "feature.nominal"},
	{"middle", "size", "between.wide boss.nominal"},
	{"taper", "big", "turned.nominal"},
	{"taper", "length", "turned.depth turned.long"},
	{"bolts row grid pairs", "hole", "feature.nominal"},
	{"reach", "travel", "machine.axes:x.travel"},
	{"reach", "cross", "machine.axes:y.travel"},
	{"reach", "ram", "machine.axes:ram.travel"},
	{"reach", "table", "machine.tablelong"},
	{"reach", "throat", "machine.throat"},
	{"dish sweep", "width", "feature.wide"},
	{"reach facing", "long", "feature.long part.long"},
	{"reach facing", "wide", "feature.wide part.wide"},
	{"reach facing power sweep dish", "cutter", "mill.diameter"},
	{"speed", "dia", "tool.diameter feature.nominal"},
	{"drillforce", "dia", "drill.diameter feature.nominal"},
	{"bore", "thick", "drilled.depth"},
	{"daylight", "under", "base.high"},
	{"dowel", "size", "drilled.nominal"},
	{"speed power facing", "teeth", "tool.teeth"},
	{"speed", "speeds", "machine.speeds"},
	{"speed", "feeds", "machine.feeds"},
	{"power drillforce facing taptorque", "rpm", "cutting.spin"},
	{"power", "feed", "cutting.feed"},
	{"power drillforce speed", "motor", "machine.motor"},
	{"daylight", "daylight", "machine.daylight"},
	{"daylight", "knee", "machine.axes:z.travel"},
	{"daylight", "quill", "machine.axes:w.travel"},
	{"daylight", "part", "part.high"},
	{"daylight", "tool", "tool.stickout"},
	{"daylight", "depth", "feature.depth"},
	{"hold strap sling", "weight", "part.weight"},
	{"hold", "su", "material.tensile"},
	{"tram square bar sweep tapin", "allow", "setup.wanted"},
	{"match", "name", "part.name"},
	{"tram shim lever square bar sweep tapin", "grad", "needle.graduation indicator.graduation"},
	{"repeat", "step", "gauge.graduation indicator.graduation"},
	{"repeat", "other", "gauge.unsure"},
	{"square", "within", "master.unsure"},
	{"edge middle centre skew", "tip", "gauge.tip finder.tip indicator.tip"},
	{"square", "height", "upright.high"},
	{"square", "foot", "upright.wide"},
	{"dials", "leadx", "machine.axes:x.turn"},
	{"dials", "leady", "machine.axes:y.turn"},
	{"bolts row grid pairs", "lead", "machine.axes:x.turn"},
	{"bolts row grid pairs dials", "div", "machine.axes:x.division"},
	{"sweep", "distx", "machine.swingarm"},
	{"sweep", "pitchx", "machine.swingpitch"},
	{"sweep", "disty", "machine.nodarm"},
	{"sweep", "pitchy", "machine.nodpitch"},
	{"tapin", "armx", "machine.swingarm"},
	{"tapin", "leadx", "machine.swingpitch"},
	{"tapin", "army", "machine.nodarm"},
	{"tapin", "leady", "machine.nodpitch"},
	{"heat", "tpart", "setup.parttemp"},
	{"heat", "tgauge", "setup.machinetemp"},
	{"sling", "rated", "slings.rated"},
	{"eyebolt", "rated", "eyes.rated"},
	{"divide", "ratio", "fixture.ratio"},
	{"shim", "owned", "shims.sizes"},
	{"blocks", "mine", "blocks.sizes"},
}

// words maps a choice of the job book to a choice of worksheets, where both mean the same.
var words = [...][4]string{
	{"reach", "machine", "machine.kind", "mill mill turret turret borer borer"},
	{"sweep", "machine", "machine.kind", "mill vertical turret vertical vbm vertical drill vertical borer level"},
	{"hole", "work", "holemetal.metal", "iron iron steel steel stainless stainless aluminium aluminium bronze bronze"},
	{"weigh", "metal", "material.metal", "iron grey ductile ductile steel steel stainless stainless aluminium aluminium bronze bronze"},
	{"heat", "part", "material.metal", "iron iron ductile ductile steel steel stainless stainless aluminium aluminium bronze bronze"},
	{"speed", "tool", "tool.made", "hss hss cobalt hss carbide carbide insert carbide brazed carbide"},
	{"speed", "op", "tool.kind", "facemill facemill flycutter facemill endmill endmill drill drill reamer ream tap tap csk csink cbore csink bar bore"},
	{"speed taptorque", "tap", "tool.lead", "plug plug bottoming bottoming"},
	{"engage", "bolt", "bolt.grade", "rod rod sae2 2 sae5 5 sae8 8 a574 socket 4.6 4.6 8.8 8.8 10.9 10.9 12.9 12.9"},
	{"middle", "of", "feature.kind", "slot inside boss outside edge outside"},
	{"centre", "of", "feature.kind", "boss boss bore bore hole bore"},
	{"blocks", "set", "blocks.kind", "blocks mine"},
}

// context holds the records linked from a step, setup, feature, part or job, and the inputs a
// worksheet gets from them.
type context struct {
	sheet                string
	docs                 []*document
	by                   map[string]*document // by role
	marked               map[string]line      // rows of a record's table that have a role
	have                 map[string]bool      // once missing; now provided, or known not to exist
	missing              []string             // what to bring for a fuller answer, as FORMAT.md says
	inputs, from, rounds *node
}

func newContext(in *node) (*context, *RecordError) {
	list := in.get("docs")
	if list.kind != array {
		return nil, &RecordError{"docs", "The request has no list 'docs'."}
	}
	c := &context{by: map[string]*document{}, marked: map[string]line{}, have: map[string]bool{}, inputs: newObject(),
		from: newObject(), rounds: newObject()}
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

// give fills an input with a field as it stands.
//
//go:noinline
func (c *context) give(key string, d *document, field string) { c.take(key, d.said(field), d, field) }

// take fills an input with what stands in a field.
func (c *context) take(key, said string, d *document, field string) {
	one := newObject()
	one.putStr("id", d.id)
	one.putStr("field", field)
	label := labelOf(d.kind, field)
	if table, row := splitRow(field); row != "" {
		def := KindOf(d.kind).Field(table)
		for _, l := range d.lines(table) {
			if l.row == row {
				label = joined(def.Label, ": ", saying(&def.Columns[0], l.v.get(def.Columns[0].Key), l.unit))
			}
		}
	}
	one.putStr("label", d.title()+", "+label)
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
	{"seat", "setup", "seat"}, {"indicator", "setup", "indicator"}, {"material", "part", "material"},
	{"platemetal", "fixture", "material"}, {"job", "setup", "job"}, {"job", "part", "job"},
}

// opened are the kinds of record a worksheet may be opened from, in the order of trust.
var opened = [...]string{"setup", "step", "feature", "part", "job", "fixture", "machine", "tool", "gauge"}

// opPrefill: {"worksheet" or "worksheets":[...], one or more of opened:id, "row" of the fixture's
// holes,"kind","docs":[...],"have":[...]} gives {"inputs":{key:text},"from":{key:{"id","field",
// "label"}},"links":{kind:id},"job":name,"at":{kind:id},"missing":[...]}, and for a tapping in
// "rounds"; of several worksheets {"worksheets":{name:that},"best":name,"missing":[...]}, the best one
// where the step or its feature tells which. Kind is the kind of
// reading a line is of, where it is not the last. A kept result has its links; "at" are the other
// records that the worksheet was opened at.
func opPrefill(_ *Session, in, out *node) *RecordError {
	list := in.texts("worksheets")
	if in.get("worksheets").kind != array {
		_, missing, f := prefill(in, out, in.str("worksheet"))
		out.put("missing", strs(missing))
		return f
	}
	all, best := newObject(), ""
	var missing []string
	for _, sheet := range list {
		one := newObject()
		c, more, f := prefill(in, one, sheet)
		if f != nil {
			return f
		}
		best = first(best, c.asks(list))
		for _, key := range more {
			if !has(missing, key) {
				missing = append(missing, key)
			}
		}
		all.put(sheet, one)
	}
	out.put("worksheets", all)
	out.putText("best", best)
	out.put("missing", strs(missing))
	return nil
}

// asks gives the worksheet of some that the step opens, else the one that picks up such a feature;
// "" where nothing tells them apart.
func (c *context) asks(list []string) string {
	asked := c.role("step").text("worksheet")
	if has(list, asked) {
		return asked
	}
	for _, p := range [...][2]string{{"middle", "slot"}, {"centre", "bore boss hole"}, {"edge", "edge face"}} {
		if has(list, "centre") && has(list, p[0]) && hasWord(p[1], c.role("feature").text("kind")) {
			return p[0]
		}
	}
	return ""
}

// prefill answers for one worksheet, and says what to bring for a fuller answer.
func prefill(in, out *node, sheet string) (*context, []string, *RecordError) {
	c, f := newContext(in)
	if f != nil {
		return nil, nil, f
	}
	for _, role := range opened {
		if d := c.get(in.str(role)); d != nothing {
			c.by[role] = d
		}
	}
	c.linked()
	c.sheet = sheet
	step, kind := in.str("step"), in.str("kind")
	other := c.unsuited(in.str("feature"))
	c.roles(in.str("row"))
	c.whole(step, kind, in.str("feature") != "")
	if kind == "" { // a line of one kind uses no readings of another
		c.special(step, in.str("setup"))
	}
	c.rules(sheet)
	c.later()
	links := newObject()
	for _, role := range []string{"step", "setup", "job"} {
		if role != "step" || !other {
			links.putText(role, c.role(role).id)
		}
	}
	links.putText("feature", c.role("feature").id)
	at := newObject()
	for _, role := range []string{"part", "fixture", "machine", "tool"} {
		at.putText(role, c.role(role).id)
	}
	out.put("inputs", c.inputs)
	out.put("from", c.from)
	out.put("links", links)
	out.put("at", at)
	out.putStr("job", c.role("job").text("name"))
	out.put("rounds", c.rounds)
	return c, c.missing, nil
}

// whole fills inputs that need the whole job.
func (c *context) whole(step, kind string, asked bool) {
	sheet, setup, part, job, feature := c.sheet, c.role("setup"), c.role("part"), c.role("job"), c.role("feature")
	if part == nothing && job != nothing && hasWord("match cleanup", sheet) {
		if parts := c.all("part", "job", job.id); len(parts) > 0 {
			part = parts[0]
		}
	}
	// A fixture is sought for the face that is to lie against it: the one asked about, else the one the
	// part is located on, else the first with places for bolts.
	if part != nothing && sheet == "match" && !asked && bolt(feature) == "" {
		if faces := c.boltedFaces(part); len(faces) > 0 {
			feature = faces[0]
			for _, f := range faces {
				if sameName(f.text("face"), c.role("seat").text("face")) {
					feature = f
				}
			}
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
				if pairs[j] == said {
					c.take(w[1], pairs[j+1], d, field)
				}
			}
		}
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
	if l, ok := c.marked[p[0]]; ok {
		d := c.role(l.of)
		table := KindOf(d.kind).Field(l.table)
		if table == nil || table.Kind != Table {
			return nil, "", ""
		}
		said := plain(l.v.get(p[1]))
		if def := columnOf(table, p[1]); def.Kind != Choice {
			said = saying(def, l.v.get(p[1]), l.unit)
		}
		return d, l.table + "#" + l.row, said
	}
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
			return d, table[0] + "#" + l.row, saying(columnOf(def, p[2]), l.v.get(p[2]), l.unit)
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
