package jobbook

// RecordError is something wrong with a record or a request, for the person at the
// screen: which field, and what to do.
type RecordError struct{ Field, Message string }

func (f *RecordError) Error() string {
	if f.Field == "" {
		return f.Message
	}
	return f.Field + ": " + f.Message
}

// merged makes one document of copies of one record: every edit of all of them, in one order and
// one form, whoever merges them, when, and how often. It refuses documents of different records,
// and two different files under one attachment name; then keep all copies.
func merged(docs []*document) (*document, *RecordError) {
	if len(docs) == 0 {
		return nil, &RecordError{"", "There is nothing to merge. Hand over at least one copy."}
	}
	out := &document{id: docs[0].id, kind: docs[0].kind, rev: none, files: newObject()}
	for _, d := range docs {
		if d.id != out.id {
			return nil, &RecordError{"_id", "These are copies of different things, " + out.id + " and " + d.id + ". Merge copies of one thing."}
		}
		if d.unread != nil {
			return nil, &RecordError{"", sentence(unreadJSON)}
		}
		for _, m := range d.members {
			for _, v := range m.values {
				out.keep(m.key, v)
			}
		}
		for _, f := range d.fields {
			out.field(f.key)
			for _, e := range f.edits {
				out.addEdit(f.key, e)
			}
		}
		if f := out.mergeFiles(d.files); f != nil {
			return nil, f
		}
	}
	out.settle()
	if k := out.top("type"); k.kind == text {
		out.kind = k.text
	}
	return out, nil
}

// mergeFiles joins attachment tables. A file never changes under its name: a
// new picture is a new record.
func (d *document) mergeFiles(files *node) *RecordError {
	if files.kind != object {
		return nil
	}
	for i, name := range files.keys {
		mine := d.files.get(name)
		theirs := files.list[i]
		switch {
		case theirs.kind != object:
		case mine.kind == null:
			d.files.put(name, theirs)
		case mine.str("digest") != theirs.str("digest") || mine.str("digest") == "" && mine.str("data") != theirs.str("data"):
			return &RecordError{name, "Two different files are called " + name + " here. Keep both copies, and add one of them as a new photo."}
		case longer(theirs.json(), mine.json()) > 0:
			d.files.list[d.files.at(name)] = theirs
		}
	}
	d.files = sorted(d.files)
	return nil
}

// at finds a member's position; -1 where there is none.
func (n *node) at(key string) int {
	for i, k := range n.keys {
		if k == key {
			return i
		}
	}
	return -1
}
