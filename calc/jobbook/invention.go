package jobbook

// demoMark is in every id of an invented record, after its kind.
const demoMark = ":00-demo-"

// Invention is a book's records of a demo job.
type Invention struct {
	Plain   []*Record // unchanged: removed for good
	Changed []*Record // by a person: deleted like any other record, so that it can be restored
	Gone    []*Record // deleted by hand: restored when the job is loaded again
	Own     int       // a person's own records that link to it: they stay
}

// InventionIn finds the demo records among some records.
func InventionIn(docs []*Record) Invention {
	var out Invention
	for _, d := range docs {
		if d.top("demo").kind == null {
			if d.leadsTo(demoMark) {
				out.Own++
			}
			continue
		}
		gone := d.gone()
		switch typed := d.typedIn(); {
		case !typed:
			out.Plain = append(out.Plain, d)
		case !gone:
			out.Changed = append(out.Changed, d)
		}
		if gone {
			out.Gone = append(out.Gone, d)
		}
	}
	return out
}

// typedIn reports whether anyone but the demo's author edited a record.
func (d *document) typedIn() bool {
	for _, f := range d.fields {
		for _, e := range f.edits {
			if f.key != "gone" && !hasPrefix(e.id, "demo-") {
				return true
			}
		}
	}
	return false
}

// leadsTo reports whether a mark occurs anywhere in a record's text.
func (d *document) leadsTo(mark string) bool {
	for text := d.node(false).json(); len(text) >= len(mark); text = text[1:] {
		if hasPrefix(text, mark) {
			return true
		}
	}
	return false
}

// opInvention: {"docs"} gives {"plain":[id],"changed":[id],"gone":[id],"own"} as InventionIn does.
func opInvention(_ *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	found := InventionIn(docs)
	ids := func(list []*Record) *node {
		ids := newArray()
		for _, d := range list {
			ids.add(str(d.id))
		}
		return ids
	}
	out.put("plain", ids(found.Plain)).put("changed", ids(found.Changed)).put("gone", ids(found.Gone))
	out.put("own", whole(found.Own))
	return nil
}
