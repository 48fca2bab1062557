package jobbook

// sound reports that a stored document certainly has no fault, much faster than a check. It scans
// the text once without building it. It is not a second set of rules: checkValue checks each value,
// as in a check, and anything unusual makes it return false, after which the check decides. An
// office receiving a whole shop's records after a day offline spends most of its time here.
//
// It is stricter than a check: every edit must be valid, replaced ones too, and a required field
// must never have been empty.
func sound(id string, doc []byte) bool {
	if len(doc) > maxBytes {
		return false
	}
	w := walk{reader: reading(string(doc)), kind: KindOf(idType(id))}
	return w.kind != nil && w.document()
}

// seenKeys is how many members an object may have here; comparing each with each would take longer
// than a check beyond that.
const seenKeys = 32

// walk reads a document without building it.
type walk struct {
	reader
	kind     *Kind // by the id, as the rules want it
	required int   // required fields seen with a value in every edit
	one      node  // the plain value read last
}

// names are the members of one object that have been met.
type names struct {
	list [seenKeys]string
	n    int
}

// fresh reports whether a name occurs for the first time, and records it.
func (m *names) fresh(key string) bool {
	for i := range m.n {
		if m.list[i] == key {
			return false
		}
	}
	if m.n == seenKeys {
		return false
	}
	m.list[m.n] = key
	m.n++
	return true
}

// key reads a member's name and the colon; first tells that no comma comes before it.
func (w *walk) key(first bool) (string, bool) {
	if w.space(); !first {
		if !w.take(',') {
			return "", false
		}
		w.space()
	}
	if w.at >= len(w.s) || w.s[w.at] != '"' {
		return "", false
	}
	key := w.string()
	w.space()
	ok := w.take(':')
	w.space()
	return key, ok && w.bad == ""
}

// ends reports whether the object or array ends here.
func (w *walk) ends(c byte) bool {
	w.space()
	return w.take(c)
}

// any reads any value. A plain one is overwritten by the next.
func (w *walk) any() *node {
	if w.at < len(w.s) {
		switch c := w.s[w.at]; {
		case c == '"':
			w.one = node{kind: text, text: w.string()}
			return &w.one
		case c == '-' || isDigit(c):
			w.one = node{kind: number, text: w.number()}
			return &w.one
		}
	}
	return w.value()
}

func (w *walk) document() bool {
	var met names
	fields, kind, form := false, false, false
	if w.space(); !w.take('{') {
		return false
	}
	w.depth++
	for first := true; !w.ends('}'); first = false {
		key, ok := w.key(first)
		if !ok || !met.fresh(key) {
			return false
		}
		if key == "f" {
			if fields = w.fields(); !fields {
				return false
			}
			continue
		}
		v := w.any()
		if v.odd {
			return false
		}
		switch key {
		case "type":
			kind = v.kind == text && v.text == w.kind.Key
		case "v":
			form = v.kind == number && v.text == "1"
		case "also", "worksheet", "_id", "_attachments":
			return false
		}
		if w.bad != "" {
			return false
		}
	}
	if w.space(); w.at < len(w.s) || !fields || !kind || !form {
		return false
	}
	need := 0
	for i := range w.kind.Fields {
		if w.kind.Fields[i].Required {
			need++
		}
	}
	return w.required == need
}

func (w *walk) fields() bool {
	var met names
	if !w.take('{') {
		return false
	}
	w.depth++
	for first := true; !w.ends('}'); first = false {
		key, ok := w.key(first)
		if !ok || !met.fresh(key) || !w.edits(key) {
			return false
		}
	}
	w.depth--
	return true
}

func (w *walk) edits(key string) bool {
	def := w.kind.Field(key)
	if !w.take('[') {
		return false
	}
	w.depth++
	filled := false
	for first := true; !w.ends(']'); first = false {
		if !first && !w.take(',') {
			return false
		}
		empty, ok := w.edit(def, key)
		if !ok {
			return false
		}
		filled = (first || filled) && !empty
	}
	w.depth--
	if def != nil && def.Required && def.Key == key && filled {
		w.required++
	}
	return true
}

// edit reads one edit and checks its value against the field; a field of a later version has no
// checks.
func (w *walk) edit(def *Field, key string) (empty, ok bool) {
	var met names
	if w.space(); !w.take('{') {
		return false, false
	}
	w.depth++
	id, unit := "", ""
	var v *node
	var plain node
	for first := true; !w.ends('}'); first = false {
		name, ok := w.key(first)
		if !ok || !met.fresh(name) {
			return false, false
		}
		each := w.any()
		if w.bad != "" || each.odd {
			return false, false
		}
		switch name {
		case "at", "by":
			if each.kind != text {
				return false, false
			}
		case "over":
			if each.kind != array {
				return false, false
			}
			for _, o := range each.list {
				if o.kind != text {
					return false, false
				}
			}
		case "id":
			id = each.text
			if each.kind != text {
				return false, false
			}
		case "unit":
			unit = each.text
			if each.kind != text {
				return false, false
			}
		case "v":
			if v = each; each == &w.one {
				plain = w.one
				v = &plain
			}
		}
	}
	w.depth--
	if id == "" || v == nil {
		return false, false
	}
	return v.kind == null, def == nil || checkValue(def, key, v, unit, false) == nil
}
