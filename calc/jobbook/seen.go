package jobbook

// What a form showed. An edit covers the edits that its form showed and no others, so that an entry
// which came while the form was open is a clash, as one from another device is; and a deletion
// hides the edits it saw.

// goneKey is the field that deletes.
const goneKey = "gone"

// belowKey stands, in what a deletion saw, for the records below the deleted one that its author
// knew of. No field has that name.
const belowKey = "*"

// oldSeen stands for the edits read from the first, flat form, whose ids only these rules make.
const oldSeen = "old"

// covers are the current edits of a field that a new edit replaces: those its form showed, as far
// as they are there; all where nothing is known of a form.
func (a *Author) covers(f *history) []*edit {
	if a.Seen == nil || f == nil {
		return f.heads()
	}
	var out []*edit
	for _, e := range f.edits {
		if !e.odd && isSeen(a.Seen[f.key], e.id) {
			out = append(out, e)
		}
	}
	return out
}

func isSeen(ids []string, id string) bool {
	return has(ids, id) || has(ids, oldSeen) && hasPrefix(id, "old-")
}

// untouched reports whether a value is the one that its form showed: then nothing was typed.
func (d *document) untouched(key string, v *node, a *Author) bool {
	if a.Seen == nil || key == goneKey && v.kind != null {
		return false
	}
	shown := a.covers(d.find(key))
	if len(shown) == 0 {
		return v.kind == null
	}
	return len(shown) == 1 && shown[0].unit == d.unitOf(key, v, a) && normal(shown[0].v) == normal(v)
}

// ids gives the ids of edits, each once; edits are in the order of their ids.
func ids(list []*edit) *node {
	out := newArray()
	for _, e := range list {
		if n := len(out.list); n == 0 || out.list[n-1].text != e.id {
			out.add(str(e.id))
		}
	}
	return out
}

// seenOf gives, field by field, the edits that an author saw, all current ones where nothing is
// known of a form: one id as a text, more as a list. Deletions themselves are not among them.
func (d *document) seenOf(a *Author) *node {
	out := newObject()
	for _, f := range d.fields {
		if list := ids(a.covers(f)); f.key == goneKey || len(list.list) == 0 {
			continue
		} else if len(list.list) == 1 {
			out.put(f.key, list.list[0])
		} else {
			out.put(f.key, list)
		}
	}
	if below, ok := a.Seen[belowKey]; ok {
		out.put(belowKey, strs(below))
	}
	return out
}

// gone reports whether the record is deleted: every current edit of "gone" says so, and together
// they saw every other current edit.
func (d *document) gone() bool {
	deleted, unseen := d.deleted()
	return deleted && unseen == nil
}

// deleted reports whether all that is said of a deletion is that it is one, and gives the last
// current edit that none of the deletions saw. Where no deletion says what it saw, as those of
// earlier versions do not, they hide the whole record.
func (d *document) deleted() (all bool, unseen *edit) {
	deletions := d.find(goneKey).heads()
	says := false
	for _, e := range deletions {
		if !e.v.yes() {
			return false, nil
		}
		says = says || e.raw.get("saw").kind == object
	}
	if !says {
		return len(deletions) > 0, nil
	}
	for _, f := range d.fields {
		if f.key == goneKey {
			continue
		}
		for _, e := range f.heads() {
			seen := false
			for _, by := range deletions {
				seen = seen || has(by.raw.get("saw").texts(f.key), e.id)
			}
			if !seen && (unseen == nil || e.at >= unseen.at) {
				unseen = e
			}
		}
	}
	return true, unseen
}

// clashesIn reports whether a field has more than one current value, or is a deletion that did not
// see everything.
func (d *document) clashesIn(f *history) bool {
	if f.key == goneKey {
		if deleted, unseen := d.deleted(); deleted {
			return unseen != nil
		}
	}
	return len(f.current()) > 1
}
