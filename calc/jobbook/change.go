package jobbook

import "strconv"

// Author says who writes an edit. Device is unique; Counter is raised past every edit of that
// device the document holds, so that a counter that started again never gives an id twice in one
// document. At is RFC 3339 text, for people to read; nothing is decided by it. Unit, "in" or "mm",
// says what bare numbers in the values mean.
type Author struct {
	Device, By, At, Unit string
	Counter              int
	// Units names the unit of a field's bare numbers where it is not Unit: a
	// form gives a field it did not change the unit it came with.
	Units map[string]string
	// Seen lists by field the ids of the edits that were shown when the values were typed; nil covers
	// the newest, for a person who sees them.
	Seen map[string][]string
	// again reports that the values were stored before, in another record.
	again bool
}

// unit is the unit of bare numbers in one field.
func (a *Author) unit(key string) string {
	if u := a.Units[key]; u != "" {
		return u
	}
	return a.Unit
}

// change sets fields of a document and raises the author's counter past the edits made: set is an
// object of field and value, null to clear. An edit replaces the values of its field that were seen,
// so it also settles a clash. A table takes either one row ("holes#0001-mill", an object or null) or
// all its rows as an array of objects, where "row" names a row that is there already and rows not
// listed are cleared, but for those that were not seen; one of its "row" alone stays. Values that
// break a rule are refused as a whole, with every fault.
func (d *document) change(set *node, a *Author) []RecordError {
	k := KindOf(d.kind)
	if k == nil || d.newer() {
		return []RecordError{{"type", "This record comes from a newer version of Datumbook. Update this device to change it; it is kept as it is."}}
	}
	if a.Device == "" {
		return []RecordError{{"", "The device has no name. Give it one in the settings."}}
	}
	a.Counter = max(a.Counter, d.counter(a.Device)+1)
	var faults []RecordError
	next := newObject()
	for i, key := range set.keys {
		v := sorted(set.list[i])
		def := k.Field(key)
		_, row := splitRow(key)
		switch {
		case def == nil:
			faults = append(faults, RecordError{key, "A " + k.Label + " has no field '" + short(key) + "'."})
		case def.Kind == Table && row == "":
			faults = append(faults, d.changeTable(def, v, next, a)...)
		case def.Kind != Table && row != "" || len(row) > 80 || hasControl(row):
			faults = append(faults, RecordError{key, def.Label + " has no row '" + short(row) + "'."})
		default:
			next.put(key, v)
		}
	}
	for i, key := range next.keys {
		def, v := k.Field(key), next.list[i]
		if v.kind == text && def.Kind != Long && def.Kind != Any { // trim unintended spaces
			v = str(trim(v.text))
		}
		if v.kind == text && v.text == "" || v.kind == array && len(v.list) == 0 {
			v = none
		}
		next.list[i] = v
		_, row := splitRow(key)
		if v.kind == null && def.Required && row == "" {
			faults = append(faults, RecordError{key, def.Missing()})
			continue
		}
		typed := !a.again && !d.stands(key, v, a) && !d.untouched(key, v, a)
		if f := checkValue(def, key, v, a.unit(key), typed); f != nil {
			faults = append(faults, *f)
		}
	}
	if faults != nil {
		return faults
	}
	for i, key := range next.keys {
		d.set(key, next.list[i], a)
	}
	d.settle()
	return nil
}

// changeTable turns a whole table into edits of its rows.
func (d *document) changeTable(def *Field, v, next *node, a *Author) []RecordError {
	if v.kind == null {
		v = newArray()
	}
	if says := rows(def, v); says != "" {
		return []RecordError{{def.Key, says}}
	}
	listed := map[string]bool{}
	last := 0
	for _, row := range d.rows(def.Key) {
		last = max(last, rowNumber(row.id))
	}
	for i := range v.list {
		one := v.list[i]
		if one.kind != object {
			return []RecordError{{def.Key, def.Label + ": a row has to name its columns. Type it again."}}
		}
		id := one.str("row")
		clean := newObject()
		for j, c := range one.keys {
			if c != "row" && c != "unit" {
				clean.put(c, one.list[j])
			}
		}
		unit := one.str("unit") // as in the view: an unchanged row stays as it was
		if id == "" || d.find(def.Key+"#"+id) == nil {
			last++
			id = pad(last, 4) + "-" + a.Device
		}
		if listed[id] {
			return []RecordError{{def.Key, def.Label + ": one row is given twice. Give it once."}}
		}
		listed[id] = true
		if len(one.keys) == 1 && one.str("row") == id {
			continue
		}
		next.put(def.Key+"#"+id, clean)
		if unit != "" {
			if a.Units == nil {
				a.Units = map[string]string{}
			}
			a.Units[def.Key+"#"+id] = unit
		}
	}
	for _, row := range d.rows(def.Key) {
		if !listed[row.id] && (a.Seen == nil || len(a.covers(row.field)) > 0) {
			next.put(def.Key+"#"+row.id, none)
		}
	}
	return nil
}

// rowNumber reads the number a row's id begins with.
func rowNumber(id string) int {
	end := 0
	for end < len(id) && end < 9 && isDigit(id[end]) {
		end++
	}
	n, _ := strconv.Atoi(id[:end])
	return n
}

func pad(n, width int) string {
	s := strconv.Itoa(n)
	for len(s) < width {
		s = "0" + s
	}
	return s
}

// tableRow is one row of a table that is not cleared.
type tableRow struct {
	id    string
	field *history
}

// rows lists a table's rows in the order of their ids.
func (d *document) rows(table string) []tableRow {
	var out []tableRow
	for _, f := range d.fields {
		if base, row := splitRow(f.key); base == table && row != "" {
			shown := false
			for _, h := range f.current() {
				shown = shown || h.v.kind != null
			}
			if shown {
				out = append(out, tableRow{row, f})
			}
		}
	}
	return out
}

// set adds one edit, unless it repeats the only current value.
func (d *document) set(key string, v *node, a *Author) {
	f := d.find(key)
	if len(f.heads()) == 0 && v.kind == null || d.stands(key, v, a) || d.untouched(key, v, a) {
		return
	}
	unit := d.unitOf(key, v, a)
	e := newObject()
	e.putStr("id", a.Device+"-"+strconv.Itoa(a.Counter))
	a.Counter++
	e.putText("at", a.At)
	e.putText("by", a.By)
	e.putText("unit", unit)
	if def := KindOf(d.kind).Field(key); def == nil || def.Kind != Any {
		v = asText(v)
	}
	e.put("v", v)
	if over := ids(a.covers(f)); len(over.list) > 0 {
		e.put("over", over)
	}
	if key == goneKey && v.yes() {
		e.put("saw", d.seenOf(a))
	}
	d.addEdit(key, toEdit(sorted(e)))
	d.by = a.Device
}

// asText gives a value with its fractions as texts: a replica that reads and writes a number anew may
// lose digits that somebody gave, 1.50 becomes 1.5.
func asText(v *node) *node {
	switch v.kind {
	case number:
		for i := range len(v.text) {
			if c := v.text[i]; c == '.' || c == 'e' || c == 'E' {
				return str(v.text)
			}
		}
	case array, object:
		out := *v
		out.list = make([]*node, len(v.list))
		for i := range v.list {
			out.list[i] = asText(v.list[i])
		}
		return &out
	}
	return v
}

// stands reports whether a value is the field's only current one.
func (d *document) stands(key string, v *node, a *Author) bool {
	heads := d.find(key).heads()
	if key == goneKey && v.yes() {
		return d.gone()
	}
	return len(heads) == 1 && heads[0].unit == d.unitOf(key, v, a) && normal(heads[0].v) == normal(v)
}

// unitOf is the unit stored with a value: none where a bare number is impossible.
func (d *document) unitOf(key string, v *node, a *Author) string {
	if def := KindOf(d.kind).Field(key); def != nil && v.kind != null && def.Measured() {
		return a.unit(key)
	}
	return ""
}

// counter is the highest number of a device's edits in the document.
func (d *document) counter(device string) int {
	most := 0
	for _, f := range d.fields {
		for _, e := range f.edits {
			id := e.id
			if len(id) > len(device)+1 && id[:len(device)] == device && id[len(device)] == '-' {
				if n, err := strconv.Atoi(id[len(device)+1:]); err == nil {
					most = max(most, n)
				}
			}
		}
	}
	return most
}
