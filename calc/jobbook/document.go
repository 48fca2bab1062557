package jobbook

// version is the version of the document form this package writes.
const version = 1

// edit is one entry of a field's history. It never changes.
type edit struct {
	id, at, by string
	unit       string // what a bare number in v means: "in" or "mm"
	v          *node
	over       []string
	raw        *node  // the whole edit, members sorted, unknown ones included
	odd        bool   // malformed for this version; kept all the same
	part       bool   // its value can be read; when, by whom or over what it was made cannot
	same       string // cached result of says
}

// history is a key with its edits.
type history struct {
	key   string
	edits []*edit
}

// member is one top-level member that this version does not interpret, with every value it has had
// on copies that were merged. The greatest is stored under the name itself, the others under also.
type member struct {
	key    string
	values []*node
}

// document is one record of the job book.
type document struct {
	id, kind string
	v        string // form version as sent
	members  []*member
	fields   []*history
	rev      *node // _rev, for the caller to replace
	files    *node // _attachments
	by       string
	made     string // when it was created, as given in a view
	shown    *node  // of a view, its values: the tables are read from there
	old      bool   // was in the first, flat format when read
	unread   *node  // the whole, where nothing of it can be read
}

// bookkeeping names members of one stored revision, not of the record: the replication protocol's,
// and who wrote the revision.
func bookkeeping(key string) bool {
	return key != "" && key[0] == '_' || key == "by" || key == "changed"
}

func readDocument(b []byte) (*document, string) {
	n, problem := parseTo(maxDepth, b)
	if problem != "" {
		return nil, problem
	}
	return toDocument(n)
}

// toDocument reads a document; only bookkeeping members are dropped. It never fails: a document
// with a problem is one without fields, kept as it was sent.
func toDocument(n *node) (d *document, problem string) {
	d = &document{id: n.str("_id"), kind: n.str("type"), by: n.str("by"), rev: n.get("_rev"),
		files: sorted(n.get("_attachments"))}
	switch {
	case n.kind != object:
		d.unread = n
		return d, "this is not a record: a record is a JSON object"
	case n.odd:
		d.unread = n
		return d, unreadJSON
	}
	d.old = isOld(n)
	for i, key := range n.keys {
		v := sorted(n.list[i])
		switch {
		case d.old && d.fromOld(n, key, v):
		case bookkeeping(key):
		case key == "f":
			d.readFields(v)
		case key == "also":
			d.readAlso(v)
		default:
			d.keep(key, v)
		}
	}
	d.settle()
	return d, ""
}

// fromView reads a record in the form of a view: current values without history; nil where it is a
// stored document.
func fromView(n *node) *document {
	values, units := n.get("values"), n.get("units")
	if values.kind != object {
		return nil
	}
	d := &document{id: n.str("id"), kind: n.str("type"), made: n.str("made"), rev: none, files: none, shown: values}
	k := KindOf(d.kind)
	for i, key := range values.keys {
		if def := k.Field(key); def == nil || def.Kind != Table {
			d.fields = append(d.fields, &history{key, []*edit{{v: values.list[i], unit: units.str(key)}}})
		}
	}
	return d
}

// readAlso reads the values stored under also. Malformed ones are kept under "odd".
func (d *document) readAlso(v *node) {
	if v.kind != object {
		d.keep("odd", v)
		return
	}
	for i, key := range v.keys {
		if list := v.list[i]; list.kind != array || bookkeeping(key) || key == "f" || key == "also" {
			one := newObject()
			one.put(key, list)
			d.keep("odd", one)
			continue
		}
		for _, each := range v.list[i].list {
			d.keep(key, each)
		}
	}
}

// keep adds a value of a top-level member.
func (d *document) keep(key string, v *node) {
	for _, m := range d.members {
		if m.key == key {
			m.values = append(m.values, v)
			return
		}
	}
	d.members = append(d.members, &member{key, []*node{v}})
}

// top returns a top-level member's current value.
func (d *document) top(key string) *node {
	for _, m := range d.members {
		if m.key == key {
			return m.values[len(m.values)-1]
		}
	}
	return none
}

func (d *document) readFields(v *node) {
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
		f := d.field(key)
		if f.edits == nil {
			f.edits = make([]*edit, 0, len(list.list))
		}
		for _, e := range list.list {
			f.edits = append(f.edits, toEdit(e))
		}
	}
}

func oddEdit(raw *node) *edit { return &edit{raw: raw, odd: true} }

// says is equal for edits that say the same. Most edits stand alone in their field and are never
// compared.
func (e *edit) says() string {
	switch {
	case e.same != "":
	case e.odd:
		e.same = "?" + normal(e.raw)
	default:
		same := newObject()
		for i, key := range e.raw.keys {
			if key != "at" && key != "by" {
				same.put(key, e.raw.list[i])
			}
		}
		e.same = normal(same)
	}
	return e.same
}

// toEdit reads a sorted node.
func toEdit(n *node) *edit {
	e := &edit{raw: n, id: n.str("id"), at: n.str("at"), by: n.str("by"), unit: n.str("unit")}
	for i, key := range n.keys {
		m := n.list[i]
		switch key {
		case "v":
			e.v = m
		case "at", "by", "unit":
			e.part = e.part || m.kind != text
		case "over":
			if m.kind == array {
				e.over = n.texts(key)
			}
			e.part = e.part || m.kind != array || len(e.over) < len(m.list)
		}
	}
	if n.kind != object || e.id == "" || e.v == nil {
		return oddEdit(n)
	}
	return e
}

// field finds a field, making it where there is none.
func (d *document) field(key string) *history {
	f := d.find(key)
	if f == nil {
		f = &history{key: key}
		d.fields = append(d.fields, f)
	}
	return f
}

// find finds a field; nil where there is none.
func (d *document) find(key string) *history {
	for _, f := range d.fields {
		if f.key == key {
			return f
		}
	}
	return nil
}

func (d *document) addEdit(key string, e *edit) {
	f := d.field(key)
	f.edits = append(f.edits, e)
}

// settle sorts everything and drops duplicates.
func (d *document) settle() {
	d.members = arranged(d.members, func(a, b *member) int { return compare(a.key, b.key) })
	for _, m := range d.members {
		m.values = distinct(m.values)
		if m.key == "v" { // the newer version wins; the older one is dropped
			m.values = m.values[len(m.values)-1:]
		}
	}
	d.fields = arranged(d.fields, func(a, b *history) int { return compare(a.key, b.key) })
	for _, f := range d.fields {
		f.edits = arranged(f.edits, orderEdits)
		kept := f.edits[:0]
		for _, e := range f.edits {
			if n := len(kept); n == 0 || kept[n-1].odd != e.odd || kept[n-1].says() != e.says() {
				kept = append(kept, e)
			}
		}
		f.edits = kept
	}
	d.v = d.top("v").text
}

// orderEdits orders by id, then by meaning, then by text, longest first: of two equal edits the
// first is kept, and the longest has every digit.
func orderEdits(a, b *edit) int {
	if c := compare(a.id, b.id); c != 0 {
		return c
	}
	if c := compare(a.says(), b.says()); c != 0 {
		return c
	}
	return longer(b.raw.json(), a.raw.json())
}

// distinct sorts values, the greatest last, and drops duplicates.
func distinct(values []*node) []*node {
	if len(values) < 2 {
		return values
	}
	values = arranged(values, func(a, b *node) int {
		if c := longer(normal(a), normal(b)); c != 0 {
			return c
		}
		return longer(b.json(), a.json())
	})
	out := values[:1]
	for _, v := range values[1:] {
		if normal(v) != normal(out[len(out)-1]) {
			out = append(out, v)
		}
	}
	return out
}

// node gives the canonical document; withRev adds what the caller wants on a
// revision it is going to write: "_rev" and "by".
func (d *document) node(withRev bool) *node {
	if d.unread != nil {
		return d.asSent(withRev)
	}
	out := newObject()
	if len(d.files.list) > 0 {
		out.put("_attachments", d.files)
	}
	out.putStr("_id", d.id)
	if withRev {
		if d.rev.kind == text {
			out.put("_rev", d.rev)
		}
		out.putText("by", d.by)
	}
	also := newObject()
	for _, m := range d.members {
		last := len(m.values) - 1
		out.put(m.key, m.values[last])
		if last > 0 {
			also.put(m.key, &node{kind: array, list: m.values[:last]})
		}
	}
	if d.top("v").kind == null && out.at("v") < 0 {
		out.put("v", whole(version))
	}
	if len(also.list) > 0 {
		out.put("also", also)
	}
	f := newObject()
	for _, fl := range d.fields {
		list := newArray()
		for _, e := range fl.edits {
			list.add(e.raw)
		}
		f.put(fl.key, list)
	}
	out.put("f", f)
	return sorted(out)
}

// asSent is a document that cannot be read, without what the store adds.
func (d *document) asSent(withRev bool) *node {
	if d.unread.kind != object {
		return d.unread
	}
	out := newObject()
	for i, key := range d.unread.keys {
		switch {
		case key == "_attachments" && d.files.kind == object:
			if len(d.files.list) > 0 {
				out.put(key, d.files)
			}
		case key == "_id" || withRev && (key == "_rev" || key == "by") || !bookkeeping(key):
			out.put(key, d.unread.list[i])
		}
	}
	return out
}

// heads are the edits that no other edit replaces. If malformed edits replace each other in a
// cycle, all are heads.
func (f *history) heads() []*edit {
	if f == nil {
		return nil
	}
	if len(f.edits) == 1 && !f.edits[0].odd {
		return f.edits[:1:1]
	}
	var out, all []*edit
	for _, e := range f.edits {
		if e.odd {
			continue
		}
		all = append(all, e)
		if !f.replaced(e.id) {
			out = append(out, e)
		}
	}
	if len(out) == 0 {
		return all
	}
	return out
}

func (f *history) replaced(id string) bool {
	for _, e := range f.edits {
		if e.id == id {
			continue
		}
		for _, o := range e.over {
			if o == id {
				return true
			}
		}
	}
	return false
}

// current are the heads that differ in what they say, the same value once.
func (f *history) current() []*edit {
	heads := f.heads()
	if len(heads) < 2 {
		return heads
	}
	var out []*edit
	for _, h := range heads {
		seen := false
		for _, o := range out {
			seen = seen || o.unit == h.unit && normal(o.v) == normal(h.v)
		}
		if !seen {
			out = append(out, h)
		}
	}
	return out
}

// value is the one a screen shows first: the last in order, so that all devices agree.
func (f *history) value() (v *node, unit string) {
	if heads := f.heads(); len(heads) > 0 {
		last := heads[len(heads)-1]
		return last.v, last.unit
	}
	return none, ""
}

func (d *document) value(key string) *node {
	v, _ := d.find(key).value()
	return v
}

func (d *document) text(key string) string { return plain(d.value(key)) }

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

// newer reports that the document has a later format version.
func (d *document) newer() bool { return d.top("v").kind == number && longer(d.v, "1") > 0 }
