package record

import "slices"

// version is the version of the document form this package writes.
const version = 1

// edit is one entry of a field's history. It never changes.
type edit struct {
	id, at, by string
	unit       string // what a bare number in v means: "in" or "mm"
	v          node
	over       []string
	raw        node   // the whole edit, members sorted, whatever else it holds
	same       string // equal for edits that say the same
	odd        bool   // not an edit this version can read; kept all the same
}

// field is a key with its history.
type field struct {
	key   string
	edits []edit
}

// member is one top-level member that this version does not interpret, with
// every value it has had on copies that were merged. The greatest stands under
// the name itself, the others under also.
type member struct {
	key    string
	values []node
}

// document is one thing of the job book.
type document struct {
	id, kind string
	v        string // form version as sent
	members  []member
	fields   []field
	rev      node // _rev, for the caller to write over
	files    node // _attachments
	by       string
	old      bool // was one of the first, flat kind when read
}

// Members that belong to one stored revision and not to the record: the
// replication protocol's, and who wrote the revision.
func bookkeeping(key string) bool {
	return key != "" && key[0] == '_' || key == "by" || key == "changed"
}

func readDocument(b []byte) (document, string) {
	n, problem := parse(b)
	if problem != "" {
		return document{}, problem
	}
	return toDocument(n)
}

// toDocument reads a document; nothing it holds is dropped but what
// bookkeeping names.
func toDocument(n node) (document, string) {
	if n.kind != object {
		return document{}, "this is not a record: a record is a JSON object"
	}
	d := document{id: n.str("_id"), kind: n.str("type"), by: n.str("by"), rev: *n.get("_rev"), files: sorted(*n.get("_attachments"))}
	d.old = isOld(&n)
	for i, key := range n.keys {
		v := sorted(n.list[i])
		switch {
		case d.old && d.fromOld(&n, key, v):
		case bookkeeping(key):
		case key == "f":
			d.readFields(v)
		case key == "also":
			d.readAlso(v)
		default:
			d.keep(key, v)
		}
	}
	d.v = d.top("v").text
	d.settle()
	return d, ""
}

// readAlso takes in the values that stand beside the standing ones. What
// cannot be such a value is kept under "odd".
func (d *document) readAlso(v node) {
	if v.kind != object {
		d.keep("odd", v)
		return
	}
	for i, key := range v.keys {
		if list := &v.list[i]; list.kind != array || bookkeeping(key) || key == "f" || key == "also" {
			var one node
			one.put(key, *list)
			d.keep("odd", one)
			continue
		}
		for _, each := range v.list[i].list {
			d.keep(key, each)
		}
	}
}

// keep adds a value of a top-level member.
func (d *document) keep(key string, v node) {
	for i := range d.members {
		if d.members[i].key == key {
			d.members[i].values = append(d.members[i].values, v)
			return
		}
	}
	d.members = append(d.members, member{key, []node{v}})
}

// top gives the standing value of a top-level member.
func (d *document) top(key string) *node {
	for i := range d.members {
		if m := &d.members[i]; m.key == key {
			return &m.values[len(m.values)-1]
		}
	}
	return &none
}

func (d *document) readFields(v node) {
	if v.kind != object {
		d.addEdit("", oddEdit(v))
		return
	}
	for i, key := range v.keys {
		list := v.list[i]
		if list.kind != array {
			d.addEdit(key, oddEdit(list))
			continue
		}
		if len(list.list) == 0 {
			d.field(key)
		}
		for _, e := range list.list {
			d.addEdit(key, toEdit(e))
		}
	}
}

func oddEdit(raw node) edit {
	return edit{raw: raw, odd: true, same: "?" + normal(&raw)}
}

// toEdit reads a sorted node.
func toEdit(n node) edit {
	e := edit{raw: n, id: n.str("id"), at: n.str("at"), by: n.str("by"), unit: n.str("unit")}
	seen := false
	same := node{kind: object}
	for i, key := range n.keys {
		switch key {
		case "v":
			e.v, seen = n.list[i], true
		case "over":
			for _, o := range n.list[i].list {
				if o.kind == text {
					e.over = append(e.over, o.text)
				}
			}
		}
		if key != "at" && key != "by" {
			same.put(key, n.list[i])
		}
	}
	if n.kind != object || e.id == "" || !seen {
		return oddEdit(n)
	}
	e.same = normal(&same)
	return e
}

// field finds a field, making it where there is none.
func (d *document) field(key string) *field {
	for i := range d.fields {
		if d.fields[i].key == key {
			return &d.fields[i]
		}
	}
	d.fields = append(d.fields, field{key: key})
	return &d.fields[len(d.fields)-1]
}

func (d *document) find(key string) *field {
	for i := range d.fields {
		if d.fields[i].key == key {
			return &d.fields[i]
		}
	}
	return nil
}

func (d *document) addEdit(key string, e edit) {
	f := d.field(key)
	f.edits = append(f.edits, e)
}

// settle puts everything into the one order and drops what is there twice.
func (d *document) settle() {
	slices.SortFunc(d.members, func(a, b member) int { return compare(a.key, b.key) })
	for i := range d.members {
		m := &d.members[i]
		m.values = distinct(m.values)
		if m.key == "v" { // the newer form stands; that the older one was there says nothing
			m.values = m.values[len(m.values)-1:]
		}
	}
	slices.SortFunc(d.fields, func(a, b field) int { return compare(a.key, b.key) })
	for i := range d.fields {
		f := &d.fields[i]
		slices.SortFunc(f.edits, orderEdits)
		f.edits = slices.CompactFunc(f.edits, func(a, b edit) bool { return a.odd == b.odd && a.same == b.same })
	}
	d.v = d.top("v").text
}

// orderEdits orders by id, then by what is said, then by how it is written,
// longest first: of two edits that say the same the first is kept, and the
// longest has every digit.
func orderEdits(a, b edit) int {
	if c := compare(a.id, b.id); c != 0 {
		return c
	}
	if c := compare(a.same, b.same); c != 0 {
		return c
	}
	return longer(string(appendNode(nil, &b.raw)), string(appendNode(nil, &a.raw)))
}

// distinct orders values, the greatest last, and drops what is there twice.
func distinct(values []node) []node {
	type keyed struct {
		norm, raw string
		n         node
	}
	list := make([]keyed, len(values))
	for i, v := range values {
		list[i] = keyed{normal(&v), string(appendNode(nil, &v)), v}
	}
	slices.SortFunc(list, func(a, b keyed) int {
		if c := longer(a.norm, b.norm); c != 0 {
			return c
		}
		return longer(b.raw, a.raw)
	})
	list = slices.CompactFunc(list, func(a, b keyed) bool { return a.norm == b.norm })
	out := values[:0]
	for _, k := range list {
		out = append(out, k.n)
	}
	return out
}

// node gives the canonical document; with is what else the caller wants on it:
// "_rev", "_attachments" and "by" of the revision it is written over.
func (d *document) node(withRev bool) node {
	out := node{kind: object}
	if d.files.kind == object {
		out.put("_attachments", d.files)
	}
	out.put("_id", str(d.id))
	if withRev {
		if d.rev.kind == text {
			out.put("_rev", d.rev)
		}
		out.putText("by", d.by)
	}
	also := node{kind: object}
	for _, m := range d.members {
		last := len(m.values) - 1
		out.put(m.key, m.values[last])
		if last > 0 {
			also.put(m.key, arrayOf(m.values[:last]))
		}
	}
	if d.v == "" {
		out.put("v", whole(version))
	}
	if len(also.list) > 0 {
		out.put("also", also)
	}
	f := node{kind: object}
	for _, fl := range d.fields {
		list := node{kind: array}
		for _, e := range fl.edits {
			list.list = append(list.list, e.raw)
		}
		f.put(fl.key, list)
	}
	out.put("f", f)
	return sorted(out)
}

// heads are the edits that no other edit replaces. Where damaged edits replace
// each other in a ring, all are shown rather than none.
func (f *field) heads() []edit {
	if f == nil {
		return nil
	}
	over := map[string]bool{}
	for i := range f.edits {
		for _, id := range f.edits[i].over {
			if id != f.edits[i].id {
				over[id] = true
			}
		}
	}
	var out, all []edit
	for _, e := range f.edits {
		if e.odd {
			continue
		}
		all = append(all, e)
		if !over[e.id] {
			out = append(out, e)
		}
	}
	if len(out) == 0 {
		return all
	}
	return out
}

// current are the heads that differ in what they say, the same value once.
func (f *field) current() []edit {
	heads := f.heads()
	out := heads[:0:0]
	for _, h := range heads {
		seen := false
		for i := range out {
			seen = seen || out[i].unit == h.unit && normal(&out[i].v) == normal(&h.v)
		}
		if !seen {
			out = append(out, h)
		}
	}
	return out
}

// value is the one a screen shows first: of several current ones the last in
// order, so that every device shows the same.
func (f *field) value() (v node, unit string) {
	if heads := f.current(); len(heads) > 0 {
		last := &heads[len(heads)-1]
		return last.v, last.unit
	}
	return node{}, ""
}

func (d *document) value(key string) node {
	v, _ := d.find(key).value()
	return v
}

func (d *document) text(key string) string {
	v := d.value(key)
	return plain(&v)
}

// plain gives a value as a line of text: strings and numbers as they are.
func plain(v *node) string {
	switch v.kind {
	case text, number:
		return v.text
	case truth:
		if v.yes() {
			return "yes"
		}
		return "no"
	}
	return ""
}

func (d *document) gone() bool {
	v := d.value("gone")
	return v.yes()
}

// newer tells that the document was written by a later version of the form.
func (d *document) newer() bool {
	return d.v != "" && (longer(d.v, "1") > 0)
}
