package jobbook

// Record is a record for Go programs that hold the shop's records and call the rules directly.
type Record = document

// Join reads a store's copies of one record, the winner first, and merges them, to be written over
// the winner; if the copies cannot be merged, the winner stays as it is. One that cannot be read is
// a record without fields, kept as it is stored.
func Join(copies ...[]byte) (*Record, error) {
	list := make([]*document, len(copies))
	for i, text := range copies {
		d, problem := readDocument(text)
		switch {
		case problem != "" && i > 0:
			return list[0], nil
		case problem != "" && (d == nil || d.unread.kind != object):
			return nil, &RecordError{"", sentence(problem)}
		}
		list[i] = d
	}
	all, f := merged(list)
	if f != nil || len(list) == 1 {
		return list[0], nil
	}
	all.rev, all.by = list[0].rev, list[0].by
	return all, nil
}

// ID is the record's id, "" where it has none.
func (d *document) ID() string { return d.id }

// Kind is the key of its kind, "" where it is no record of the job book.
func (d *document) Kind() string { return d.kind }

// Title names it in a list.
func (d *document) Title() string { return d.title() }

// Text is a field as a line of text, "" where it is none.
func (d *document) Text(key string) string { return d.text(key) }

// Gone reports whether it is deleted and can be restored.
func (d *document) Gone() bool { return d.gone() }

// JSON is the record in canonical form, with the revision it was read from.
func (d *document) JSON() []byte { return appendNode(nil, d.node(true)) }

// Removal is the deletion that removes the record from a store for good.
func (d *document) Removal() []byte {
	mark := newObject().putStr("_id", d.id).put("_rev", d.rev).putYes("_deleted", true)
	return appendNode(nil, mark.putStr("type", d.kind))
}

// Anew is the record's JSON without its revision, for a store without it.
func (d *document) Anew() []byte { return appendNode(nil, d.node(false)) }

// Delete deletes the record restorably, or restores it.
func (d *document) Delete(gone bool, a Author) *RecordError {
	set := newObject().put("gone", none)
	if gone {
		set.list[0] = flag(true)
	}
	if faults := d.change(set, &a); faults != nil {
		return &faults[0]
	}
	return nil
}

// plainFiles keeps each file's type and content: what a store adds is not part of the record. A
// file without content is the stored one of that name.
func (d *document) plainFiles(here *document) {
	files := newObject()
	for i, name := range d.files.keys {
		if file := d.files.list[i]; file.kind == object && d.files.kind == object {
			one := newObject()
			for j, key := range file.keys {
				if key == "content_type" || key == "data" {
					one.put(key, file.list[j])
				}
			}
			if one.str("data") == "" && here != nil && here.files.get(name).kind == object {
				one = here.files.get(name)
			}
			files.put(name, one)
		}
	}
	d.files = files
}
