package jobbook

import (
	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// view flattens a document for a screen:
//
//	{"id","type","label","title","detail","demo","gone","newer","values":{field:value},"units":{field:"mm"},
//	 "heads":{field:[edit ids]},"clashes":[field],"made":{"at","by"},"changed":{"at","by"}}
//
// A table is an array of rows, each with its "row". Members that are empty or false are left out.
func (d *document) view() *node {
	k := KindOf(d.kind)
	out := newObject()
	out.putStr("id", d.id)
	out.putStr("type", d.kind)
	if k != nil {
		out.putStr("label", k.Label)
	} else {
		out.putStr("label", "From a newer version")
	}
	out.putStr("title", d.title())
	out.putText("detail", d.detail())
	out.putText("demo", d.top("demo").text)
	out.putYes("gone", d.gone())
	values, units, heads, clashes := newObject(), newObject(), newObject(), newArray()
	newer := d.newer() || k == nil
	for _, f := range d.fields {
		if d.clashesIn(f) {
			clashes.add(str(f.key))
		}
		if list := ids(f.heads()); len(list.list) == 1 {
			heads.put(f.key, list.list[0])
		} else if len(list.list) > 1 {
			heads.put(f.key, list)
		}
		if f.key == "gone" {
			continue
		}
		newer = newer || k.Field(f.key) == nil
		if _, row := splitRow(f.key); row != "" {
			continue
		}
		v, unit := f.value()
		if v.kind != null {
			values.put(f.key, v)
			units.putText(f.key, unit)
		}
	}
	d.viewTables(values, units)
	out.putYes("newer", newer)
	out.put("values", values)
	if len(units.list) > 0 {
		out.put("units", units)
	}
	out.put("heads", heads)
	if len(clashes.list) > 0 {
		out.put("clashes", clashes)
	}
	made, changed := d.times()
	out.put("made", stamp(made))
	out.put("changed", stamp(changed))
	return out
}

// viewTables adds each table's rows. A row has its unit if one is known.
func (d *document) viewTables(values, units *node) {
	for _, f := range d.fields {
		table, row := splitRow(f.key)
		if row == "" || values.get(table).kind != null {
			continue
		}
		list := newArray()
		for _, r := range d.rows(table) {
			v, unit := r.field.value()
			if v.kind != object { // one of several current values is 'cleared'
				for _, h := range r.field.current() {
					if h.v.kind == object {
						v, unit = h.v, h.unit
					}
				}
			}
			shown := newObject()
			shown.putStr("row", r.id)
			shown.putText("unit", unit)
			for j, key := range v.keys {
				if key != "row" && (key != "unit" || unit == "") {
					shown.put(key, v.list[j])
				}
			}
			list.add(shown)
		}
		if len(list.list) > 0 {
			values.put(table, list)
		}
	}
}

func stamp(e *edit) *node {
	out := newObject()
	out.putStr("at", e.at)
	out.putStr("by", e.by)
	return out
}

// times finds the first and the last edit by their clocks; for display only.
func (d *document) times() (first, last *edit) {
	first, last = &edit{}, &edit{}
	for _, f := range d.fields {
		for _, e := range f.edits {
			if e.at == "" {
				continue
			}
			if first.at == "" || e.at < first.at {
				first = e
			}
			if e.at > last.at {
				last = e
			}
		}
	}
	if made := d.top("created").text; made != "" { // the first stored results
		first = &edit{at: made, by: d.top("device").text}
	}
	return first, last
}

// title names the document in a list.
func (d *document) title() string {
	if k := KindOf(d.kind); k != nil {
		if t := d.line(k, k.Title); t != "" {
			return t
		}
		return k.Label
	}
	if t := d.text("name"); t != "" {
		return t
	}
	return d.id
}

func (d *document) detail() string {
	if k := KindOf(d.kind); k != nil {
		return d.line(k, k.Detail)
	}
	return ""
}

// line joins fields for display.
func (d *document) line(k *Kind, keys []string) string {
	out := ""
	for _, key := range keys {
		def := k.Field(key)
		v, unit := d.find(key).value()
		if v.kind == null || def == nil {
			continue
		}
		said := saying(def, v, unit)
		if said == "" {
			continue
		}
		if out != "" {
			if def.Kind == Text || def.Kind == Length && len(out) < 30 {
				out += " "
			} else {
				out += ", "
			}
		}
		out += said
	}
	if len(out) > 120 {
		out = cut(out, 117) + "..."
	}
	return out
}

// cut takes at most n bytes and never splits a letter.
func cut(s string, n int) string {
	if len(s) <= n {
		return s
	}
	for n > 0 && s[n]&0xC0 == 0x80 {
		n--
	}
	return s[:n]
}

// saying is a value in words: a choice by its label, bare numbers with their
// unit.
func saying(def *Field, v *node, unit string) string {
	s := plain(v)
	switch {
	case def.Kind == Choice:
		for _, o := range def.Options {
			if o.Key == s {
				return o.Label
			}
		}
	case def.Kind == Date && len(s) > 10:
		return s[:10]
	}
	if dim, ok := def.Kind.Dim(); ok {
		u, _ := def.Unit(system(unit))
		return shoptext.Pin(s, dim, u)
	}
	return s
}

// clashes lists the fields with more than one current value, and all current edits that were shown
// so: [{"field","label","seen":[edit ids],"of":{key:inches},"values":[{"id","at","by","unit","v","wrote",
// "also":[by],"in":{key:inches}}]}]. A value has the moment and the hand that first wrote it in the
// edit "wrote", and who else wrote the same. "of" has the lengths of the record, "in" those of the
// value. Where a deletion did not see everything, the last edit that it did not see stands against
// it, with v null.
func (d *document) clashes() *node {
	out, of := newArray(), newObject()
	k := KindOf(d.kind)
	for _, f := range d.fields {
		if _, row := splitRow(f.key); row == "" {
			v, unit := f.value()
			sizes(k, f.key, v, unit, of)
		}
	}
	for _, f := range d.fields {
		if !d.clashesIn(f) {
			continue
		}
		one, values := newObject(), newArray()
		one.putStr("field", f.key)
		one.putStr("label", labelOf(d.kind, f.key))
		one.put("seen", ids(f.heads()))
		one.put("of", of)
		for _, e := range f.current() {
			first := f.first(e)
			said := told(&edit{id: e.id, at: first.at, by: first.by, unit: e.unit, v: e.v})
			in := newObject()
			sizes(k, f.key, e.v, e.unit, in)
			values.add(said.putStr("wrote", first.id).put("also", strs(f.also(first))).put("in", in))
		}
		if _, unseen := d.deleted(); f.key == goneKey && unseen != nil {
			values.add(told(&edit{id: unseen.id, at: unseen.at, by: unseen.by, v: none}))
		}
		one.put("values", values)
		out.add(one)
	}
	return out
}

func (e *edit) saysAs(o *edit) bool { return e.unit == o.unit && normal(e.v) == normal(o.v) }

// first is the edit in which a hand first wrote what an edit says: what that replaces may say the
// same, as where a choice was made and taken back.
func (f *history) first(e *edit) *edit {
	for range f.edits {
		before := e
		for _, o := range f.edits {
			if before == e && o != e && !o.odd && has(e.over, o.id) && o.saysAs(e) {
				before = o
			}
		}
		if before == e {
			break
		}
		e = before
	}
	return e
}

// also lists who else wrote what an edit says. An edit over several chose among them.
func (f *history) also(e *edit) (by []string) {
	for _, o := range f.edits {
		if !o.odd && len(o.over) < 2 && o.saysAs(e) && o.by != e.by && !has(by, o.by) {
			by = append(by, o.by)
		}
	}
	return by
}

// sizes puts the lengths of a value in inches under their keys, those of a row under its columns'; a
// thread is its diameter, and its pitch stands under "threadpitch".
func sizes(k *Kind, key string, v *node, unit string, into *node) {
	def := k.Field(key)
	if def == nil {
		return
	}
	if _, row := splitRow(key); row == "" {
		column(def, v, unit, into)
		return
	}
	for i := range def.Columns {
		column(&def.Columns[i], v.get(def.Columns[i].Key), unit, into)
	}
}

func column(def *Field, v *node, unit string, into *node) {
	put := func(key string, l units.Length) {
		if d, ok := units.Round(l.Inches(), 6); ok {
			into.putStr(key, d.Trim())
		}
	}
	if v.kind != text {
		return
	}
	if n, fault := readNumber(def, v.text, unit); def.Kind == Length && fault == nil {
		put(def.Key, n.Length)
	}
	if dia, pitch := screw(v.text); def.Kind == Thread && dia > 0 {
		put(def.Key, dia)
		put(def.Key+"pitch", pitch)
	}
}

func labelOf(kind, key string) string {
	def := KindOf(kind).Field(key)
	_, row := splitRow(key)
	switch {
	case def == nil:
		return key
	case row != "":
		return def.Label + ", row " + row
	}
	return def.Label
}

func told(e *edit) *node {
	out := newObject()
	out.putStr("id", e.id)
	out.putStr("at", e.at)
	out.putStr("by", e.by)
	out.putText("unit", e.unit)
	out.put("v", e.v)
	return out
}

// event is an edit in its place in the history.
type event struct {
	key     string
	e       *edit
	at      string // the latest clock of it and of what it replaces
	depth   int
	current bool
}

// history lists every edit of a document, first to last: an edit comes after those it replaces,
// otherwise by its clock. [{"field","label","id","at","by","unit","v","over":[...],"current":true}]
func (d *document) history() *node {
	var list []*event
	for _, f := range d.fields {
		list = append(list, f.events()...)
	}
	list = arranged(list, func(a, b *event) int {
		if c := compare(a.at, b.at); c != 0 {
			return c
		}
		if a.depth != b.depth {
			return a.depth - b.depth
		}
		return compare(a.e.id, b.e.id)
	})
	out := newArray()
	for _, s := range list {
		one := told(s.e)
		one.putStr("field", s.key)
		one.putStr("label", labelOf(d.kind, s.key))
		if len(s.e.over) > 0 {
			one.put("over", strs(s.e.over))
		}
		one.putYes("current", s.current)
		out.add(one)
	}
	return out
}

// events orders one field's edits. Each pass propagates the latest clock over one more link; a
// cycle ends after as many passes as edits.
func (f *history) events() []*event {
	var list []*event
	at := map[string]*event{}
	for _, e := range f.edits {
		if !e.odd {
			ev := &event{key: f.key, e: e, at: e.at}
			at[e.id] = ev
			list = append(list, ev)
		}
	}
	for moved, pass := true, 0; moved && pass <= len(list); pass++ {
		moved = false
		for _, ev := range list {
			for _, o := range ev.e.over {
				before := at[o]
				if before == nil || before == ev {
					continue
				}
				if before.at > ev.at {
					ev.at, moved = before.at, true
				}
				if before.depth >= ev.depth && ev.depth < len(list) {
					ev.depth, moved = before.depth+1, true
				}
			}
		}
	}
	for _, h := range f.heads() {
		for _, ev := range list {
			ev.current = ev.current || ev.e == h
		}
	}
	return list
}
