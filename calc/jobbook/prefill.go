package jobbook

// A rule of what a worksheet takes from the job: the input, the worksheets it
// holds for, and where the value is looked for, the first that is filled in.
// "machine.axes:x.travel" is the travel in the row of axes whose axis is x.
type rule struct{ sheets, input, from string }

// rules are tried in order; what is found first stays. Worksheets and inputs
// are named as they are published.
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
	{"tram square bar sweep tapin", "grad", "gauge.graduation indicator.graduation"},
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

// words maps a choice of the job book to a choice of worksheets, where both
// mean the same thing and nothing has to be guessed.
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

// context is what a step leads to.
type context struct {
	docs    []*document
	by      map[string]*document // by role
	missing []string
}

func (c *context) find(id string) *document {
	for _, d := range c.docs {
		if d.id == id {
			return d
		}
	}
	return nil
}

// follow finds the record that a link of another names and gives it a role.
func (c *context) follow(role, from, field string) {
	d := c.by[from]
	if d == nil || c.by[role] != nil {
		return
	}
	id := d.text(field)
	if id == "" {
		return
	}
	if to := c.find(id); to != nil {
		c.by[role] = to
		return
	}
	for _, m := range c.missing {
		if m == id {
			return
		}
	}
	c.missing = append(c.missing, id)
}

// ways are the links that are followed, in order: role, from, field.
var ways = [...][3]string{
	{"setup", "step", "setup"}, {"feature", "step", "feature"}, {"tool", "step", "tool"}, {"gauge", "step", "gauge"},
	{"machine", "setup", "machine"}, {"fixture", "setup", "fixture"}, {"part", "setup", "part"}, {"part", "feature", "part"},
	{"indicator", "setup", "indicator"}, {"material", "part", "material"}, {"platemetal", "fixture", "material"},
}

// opPrefill: {"worksheet","step", "setup", "feature" or "part":id,"docs":[...]} gives
// {"inputs":{key:text},"from":{key:{"id","field","label"}},"missing":[id]}.
// What is missing can be added to docs for a fuller answer; all records of
// kind set are wanted too, for the shims and blocks owned.
func opPrefill(_ *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	c := &context{docs: docs, by: map[string]*document{}}
	for _, role := range []string{"setup", "step", "feature", "part"} {
		if id := in.str(role); id != "" {
			if c.by[role] = c.find(id); c.by[role] == nil {
				delete(c.by, role)
				c.missing = append(c.missing, id)
			}
		}
	}
	for _, w := range ways {
		c.follow(w[0], w[1], w[2])
	}
	for _, d := range docs {
		if d.kind == "set" && !d.gone() && (d.text("kind") == "shims" || d.text("kind") == "blocks") && c.by[d.text("kind")] == nil {
			c.by[d.text("kind")] = d
		}
	}
	inputs, from := c.fill(in.str("worksheet"), in.str("step"), in.str("setup"))
	out.put("inputs", inputs)
	out.put("from", from)
	out.put("missing", strs(c.missing))
	return nil
}

func (c *context) fill(sheet, step, setup string) (inputs, from *node) {
	inputs, from = newObject(), newObject()
	put := func(key, said string, d *document, field string) {
		if said == "" || inputs.get(key).kind != null {
			return
		}
		inputs.putStr(key, said)
		one := newObject()
		one.putStr("id", d.id)
		one.putStr("field", field)
		one.putStr("label", d.title()+", "+labelOf(d.kind, field))
		from.put(key, one)
	}
	for i := range rules {
		if r := &rules[i]; hasWord(r.sheets, sheet) {
			for _, path := range split(r.from, ' ') {
				if d, field, said := c.at(path); d != nil {
					put(r.input, said, d, field)
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
					put(w[1], pairs[j+1], d, field)
				}
			}
		}
	}
	c.special(sheet, step, setup, put)
	return inputs, from
}

// special fills what is more than one field.
func (c *context) special(sheet, step, setup string, put func(key, said string, d *document, field string)) {
	if fixture := c.by["fixture"]; fixture != nil {
		feature := c.by["feature"]
		// A hole for a bolt of the part goes into the fixture; a tapped hole of the part does not.
		if sheet == "hole" && (feature == nil || feature.text("thread") == "") {
			put("stock", fixture.said("thick"), fixture, "thick")
		}
		if k := fixture.text("kind"); sheet == "daylight" && (k == "table" || k == "vise" || k == "parallel") {
			put("under", fixture.said("high"), fixture, "high")
		}
	}
	if set := c.by["shims"]; set != nil && sheet == "shims" {
		put("owned", set.sizes("; ", 24), set, "sizes") // rows here, at most 24 of them
	}
	if f := c.by["feature"]; f != nil && sheet == "accept" {
		for _, limit := range [...][2]string{{"low", "minus"}, {"high", "plus"}} {
			if size, off := f.said("nominal"), f.said(limit[1]); size != "" && off != "" {
				if off[0] != '-' && off[0] != '+' {
					off = "+" + off
				}
				put(limit[0], size+off, f, limit[1])
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
		put("readings", list, last, "value")
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
		if d.kind != "reading" || d.gone() || d.text("round") != "" { // rounds of tapping in are another matter
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
	return arranged(ofSetup, func(a, b *document) int { return compare(a.id, b.id) })
}

// at reads a path of a rule; d is nil where the record is not at hand.
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
	for _, r := range d.rows(table[0]) {
		row, unit := r.field.value()
		if row.str(def.Columns[0].Key) != table[1] {
			continue
		}
		for i := range def.Columns {
			if def.Columns[i].Key == p[2] {
				return d, r.field.key, saying(&def.Columns[i], row.get(p[2]), unit)
			}
		}
	}
	return d, table[0], ""
}

// said is a value with the unit a bare number in it has; a list's values stand
// behind each other.
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
