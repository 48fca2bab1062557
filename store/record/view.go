package record

import "slices"

// View flattens a document for a screen:
//
//	{"id","type","label","title","detail","demo","gone","newer","values":{field:value},"units":{field:"mm"},
//	 "clashes":[field],"made":{"at","by"},"changed":{"at","by"}}
//
// A table is an array of rows, each with its "row". Members that are empty or
// false are left out.
func View(doc []byte) ([]byte, error) {
	d, problem := readDocument(doc)
	if problem != "" {
		return nil, &Fault{"", problem}
	}
	n := d.view()
	return appendNode(nil, &n), nil
}

func (d *document) view() node {
	k := KindOf(d.kind)
	out := node{kind: object}
	out.put("id", str(d.id))
	out.put("type", str(d.kind))
	if k != nil {
		out.put("label", str(k.Label))
	} else {
		out.put("label", str("From a newer version"))
	}
	out.put("title", str(d.title()))
	out.putText("detail", d.detail())
	out.putText("demo", d.top("demo").text)
	if d.gone() {
		out.put("gone", flag(true))
	}
	values, units, clashes := node{kind: object}, node{kind: object}, node{kind: array}
	newer := d.newer() || k == nil
	for i := range d.fields {
		f := &d.fields[i]
		if len(f.current()) > 1 {
			clashes.list = append(clashes.list, str(f.key))
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
	d.viewTables(&values, &units)
	if newer {
		out.put("newer", flag(true))
	}
	out.put("values", values)
	if len(units.list) > 0 {
		out.put("units", units)
	}
	if len(clashes.list) > 0 {
		out.put("clashes", clashes)
	}
	made, changed := d.times()
	out.put("made", stamp(made))
	out.put("changed", stamp(changed))
	return out
}

// viewTables adds each table's rows. A row's unit stands in the row when it is
// given.
func (d *document) viewTables(values, units *node) {
	for i := range d.fields {
		table, row := splitRow(d.fields[i].key)
		if row == "" || values.get(table).kind != null {
			continue
		}
		list := node{kind: array}
		for _, r := range d.rows(table) {
			v, unit := r.field.value()
			if v.kind != object { // one of several current values is 'cleared'
				for _, h := range r.field.current() {
					if h.v.kind == object {
						v, unit = h.v, h.unit
					}
				}
			}
			shown := node{kind: object}
			shown.put("row", str(r.id))
			shown.putText("unit", unit)
			for j, key := range v.keys {
				if key != "row" && (key != "unit" || unit == "") {
					shown.put(key, v.list[j])
				}
			}
			list.list = append(list.list, shown)
		}
		if len(list.list) > 0 {
			values.put(table, list)
		}
	}
}

func stamp(e edit) node {
	out := node{kind: object}
	out.put("at", str(e.at))
	out.put("by", str(e.by))
	return out
}

// times finds the first and the last edit by what their clocks said; for
// people to read, nothing is decided by it.
func (d *document) times() (first, last edit) {
	for i := range d.fields {
		for _, e := range d.fields[i].edits {
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
	if made := d.top("created").text; made != "" { // the first kept results
		first.at, first.by = made, d.top("device").text
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

// line joins fields as a person would say them.
func (d *document) line(k *Kind, keys []string) string {
	out := ""
	for _, key := range keys {
		def := k.Field(key)
		v, unit := d.find(key).value()
		if v.kind == null || def == nil {
			continue
		}
		said := saying(def, &v, unit)
		if said == "" {
			continue
		}
		if out != "" {
			if def.Type == Text || def.Type == length && len(out) < 30 {
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

// cut takes at most n bytes and never half a letter.
func cut(s string, n int) string {
	if len(s) <= n {
		return s
	}
	for n > 0 && s[n]&0xC0 == 0x80 {
		n--
	}
	return s[:n]
}

// saying is a value in words: a choice by its label, a bare number with its
// unit.
func saying(def *Field, v *node, unit string) string {
	s := plain(v)
	switch {
	case def.Type == Choice:
		for _, o := range def.Options {
			if o.Key == s {
				return o.Label
			}
		}
	case def.Type == Date && len(s) > 10:
		return s[:10]
	case isBare(s):
		if dim, ok := def.Type.dim(); ok && dim != 0 {
			return s + " " + def.bare(system(unit)).Name
		}
	}
	return s
}

// isBare tells whether a number was typed without a unit.
func isBare(s string) bool {
	for i := range len(s) {
		if c := s[i]; !isDigit(c) && c != '.' && c != '/' && c != '-' && c != '+' && c != ' ' {
			return false
		}
	}
	return s != ""
}

// Clashes lists the fields with more than one current value:
// [{"field","label","values":[{"id","at","by","unit","v"}]}].
func Clashes(doc []byte) ([]byte, error) {
	d, problem := readDocument(doc)
	if problem != "" {
		return nil, &Fault{"", problem}
	}
	n := d.clashes()
	return appendNode(nil, &n), nil
}

func (d *document) clashes() node {
	out := node{kind: array}
	for i := range d.fields {
		f := &d.fields[i]
		current := f.current()
		if len(current) < 2 {
			continue
		}
		one, values := node{kind: object}, node{kind: array}
		one.put("field", str(f.key))
		one.put("label", str(labelOf(d.kind, f.key)))
		for j := range current {
			values.list = append(values.list, told(&current[j]))
		}
		one.put("values", values)
		out.list = append(out.list, one)
	}
	return out
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

func told(e *edit) node {
	out := node{kind: object}
	out.put("id", str(e.id))
	out.put("at", str(e.at))
	out.put("by", str(e.by))
	out.putText("unit", e.unit)
	out.put("v", e.v)
	return out
}

// History lists every edit of a document, first to last: an edit stands after
// those it replaces, and otherwise by what the clocks said.
// [{"field","label","id","at","by","unit","v","over":[...],"current":true}]
func History(doc []byte) ([]byte, error) {
	d, problem := readDocument(doc)
	if problem != "" {
		return nil, &Fault{"", problem}
	}
	n := d.history()
	return appendNode(nil, &n), nil
}

type step struct {
	key     string
	e       edit
	at      string // the latest clock of it and of what it replaces
	depth   int
	current bool
}

func (d *document) history() node {
	var list []step
	for i := range d.fields {
		list = append(list, d.fields[i].steps()...)
	}
	slices.SortStableFunc(list, func(a, b step) int {
		if c := compare(a.at, b.at); c != 0 {
			return c
		}
		if a.depth != b.depth {
			return a.depth - b.depth
		}
		return compare(a.e.id, b.e.id)
	})
	out := node{kind: array}
	for i := range list {
		s := &list[i]
		one := node{kind: object}
		one.put("field", str(s.key))
		one.put("label", str(labelOf(d.kind, s.key)))
		t := told(&s.e)
		for j := range t.keys {
			one.put(t.keys[j], t.list[j])
		}
		if len(s.e.over) > 0 {
			one.put("over", strs(s.e.over))
		}
		if s.current {
			one.put("current", flag(true))
		}
		out.list = append(out.list, one)
	}
	return out
}

// steps orders one field's edits. Each pass carries the latest clock over one
// more link; a ring stops at as many passes as there are edits.
func (f *field) steps() []step {
	var list []step
	at := map[string]int{}
	for _, e := range f.edits {
		if !e.odd {
			at[e.id] = len(list)
			list = append(list, step{key: f.key, e: e, at: e.at})
		}
	}
	for moved, pass := true, 0; moved && pass <= len(list); pass++ {
		moved = false
		for i := range list {
			for _, o := range list[i].e.over {
				j, ok := at[o]
				if !ok || j == i {
					continue
				}
				if list[j].at > list[i].at {
					list[i].at, moved = list[j].at, true
				}
				if list[j].depth >= list[i].depth && list[i].depth < len(list) {
					list[i].depth, moved = list[j].depth+1, true
				}
			}
		}
	}
	for _, h := range f.heads() {
		for i := range list {
			if list[i].e.same == h.same {
				list[i].current = true
			}
		}
	}
	return list
}
