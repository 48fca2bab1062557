package jobbook

import (
	"slices"
	"strconv"
	"strings"

	"datumbook/calc/field"
	"datumbook/calc/shoptext"
	"datumbook/calc/thread"
	"datumbook/calc/units"
)

// Report is what a check found.
type Report struct {
	Faults []RecordError
	Newer  []string // fields, or "type", that come from a newer version and are kept as they are
}

// Check reads a document and lists every fault in its current values. A document with faults is
// stored all the same.
func Check(doc []byte) Report {
	d, problem := readDocument(doc)
	if d == nil {
		return Report{Faults: []RecordError{{"", sentence(problem)}}}
	}
	return d.check()
}

// Sentences gives the faults of a stored document in plain sentences, for the office's review list.
func Sentences(id string, doc []byte) []string {
	if sound(id, doc) {
		return nil
	}
	return sentences(id, doc)
}

func sentences(id string, doc []byte) []string {
	d, problem := readDocument(doc)
	if d == nil {
		return []string{sentence(problem)}
	}
	if d.id == "" {
		d.id = id
	}
	var out []string
	for _, f := range d.check().Faults {
		out = append(out, f.Message)
	}
	return out
}

func sentence(s string) string {
	if s != "" && 'a' <= s[0] && s[0] <= 'z' {
		s = string(s[0]-'a'+'A') + s[1:]
	}
	return s + "."
}

// unreadable says what of a record this version cannot read, though no newer version wrote it so.
func (d *document) unreadable() (out []RecordError) {
	say := func(key, says string) { out = append(out, RecordError{key, says}) }
	if d.unread != nil {
		says := "this is not a record: a record is a JSON object"
		if d.unread.kind == object {
			says = unreadJSON
		}
		say("", sentence(says)+" It is kept as it is.")
		return out
	}
	if d.kind == "" {
		say("type", "This record does not say what it is. Make it again.")
	}
	if k := KindOf(d.kind); idType(d.id) != d.kind && (k != nil || d.kind != "" && d.id != "") {
		say("_id", "The id '"+short(d.id)+"' does not begin with "+d.kind+": as the ids of its kind do.")
	}
	if form := d.top("v"); form.kind != number && form.kind != null {
		say("v", "The number of this record's form cannot be read. It is kept as it is.")
	}
	strange := d.files.kind != null && d.files.kind != object
	for _, file := range d.files.list {
		strange = strange || file.kind != object
	}
	if strange {
		say("_attachments", "The list of this record's files cannot be read. It is kept as it is.")
	}
	for _, f := range d.fields {
		name := nameOf(KindOf(d.kind).Field(f.key), f.key)
		for _, e := range f.edits {
			if e.odd && f.key == "" {
				say(f.key, "The fields of this record cannot be read. They are kept as they are.")
			} else if e.odd {
				say(f.key, "An entry in the history of "+name+" cannot be read. It is kept as it is.")
			}
		}
		for _, e := range f.heads() {
			if e.part {
				say(f.key, name+": when, by whom or over what it was entered cannot be read. It is kept as it is. "+
					"Look whether the value is right, and type it again.")
			}
		}
	}
	return out
}

func (d *document) check() Report {
	r := Report{Faults: d.unreadable()}
	if d.unread != nil {
		return r
	}
	k := KindOf(d.kind)
	if d.kind != "" && (d.newer() || k == nil) {
		r.Newer = append(r.Newer, "type")
	}
	for _, f := range d.fields {
		def := k.Field(f.key)
		if def == nil {
			if k != nil && f.key != "" {
				r.Newer = append(r.Newer, f.key)
			}
			continue
		}
		for _, h := range f.current() {
			if fault := checkValue(def, f.key, h.v, h.unit, false); fault != nil {
				r.Faults = append(r.Faults, *fault)
			}
		}
	}
	if k != nil && !d.newer() && !d.gone() {
		for i := range k.Fields {
			f := &k.Fields[i]
			if v := d.value(f.Key); f.Required && v.kind == null {
				r.Faults = append(r.Faults, RecordError{f.Key, f.Missing()})
			}
		}
	}
	return r
}

func nameOf(def *Field, key string) string {
	if def == nil {
		return "'" + short(key) + "'"
	}
	return def.Label
}

// idType returns the part of an id before the colon.
func idType(id string) string {
	t, _, found := strings.Cut(id, ":")
	if !found {
		return ""
	}
	return t
}

// checkValue checks one value against its field; empty is always allowed here. Only new values are
// queried about ambiguous fractions.
func checkValue(f *Field, key string, v *node, unit string, fresh bool) *RecordError {
	if v.kind == null {
		return nil
	}
	says := ""
	switch f.Kind {
	case Table:
		if _, row := splitRow(key); row != "" {
			says = checkRow(f, v, unit, fresh)
		} else {
			says = f.Label + " is written row by row here. Add its rows one at a time."
		}
	case List:
		says = checkList(f, v, unit, fresh)
	default:
		says = checkOne(f, v, unit, fresh)
	}
	if says == "" {
		return nil
	}
	return &RecordError{key, says}
}

// most is the limit on the bytes of a text, or on rows.
func most(f *Field) int {
	switch {
	case f.Most > 0:
		return f.Most
	case f.MaxRows > 0:
		return f.MaxRows
	case f.Kind == Long:
		return 8000
	case f.Kind == List || f.Kind == Table || f.Kind == Pairs:
		return 400
	}
	return 200
}

// rows checks that a value is an array that is not too long.
func rows(f *Field, v *node) string {
	if v.kind != array {
		return f.Label + " has to be a list. Type its values one by one."
	}
	return f.Says(f.Rows(len(v.list), most(f), "value"))
}

func checkList(f *Field, v *node, unit string, fresh bool) string {
	if says := rows(f, v); says != "" {
		return says
	}
	for i := range v.list {
		if says := checkOne(&f.Columns[0], v.list[i], unit, fresh); says != "" {
			return f.Label + ", number " + strconv.Itoa(i+1) + ": " + says
		}
	}
	return ""
}

func checkRow(f *Field, v *node, unit string, fresh bool) string {
	if v.kind != object {
		return f.Label + ": a row has to name its columns. Type it again."
	}
	for i := range f.Columns {
		c := &f.Columns[i]
		cell := v.get(c.Key)
		says := ""
		if cell.kind == null || cell.kind == text && trim(cell.text) == "" {
			if !c.Optional {
				says = c.Missing()
			}
		} else {
			says = checkOne(c, cell, unit, fresh)
		}
		if says != "" {
			return f.Label + ": " + says
		}
	}
	return ""
}

// longest is the most that one input of a kept worksheet may hold: the holes of
// 200 fixtures with long names take 800,000 bytes.
const longest = 1_200_000

// checkOne checks a single value and says what is wrong, or "".
func checkOne(f *Field, v *node, unit string, fresh bool) string {
	if _, ok := f.Kind.Dim(); ok {
		if v.kind != text && v.kind != number {
			return f.Label + " has to be a number." + f.Like()
		}
		r := f.Range(system(unit))
		read := r.Kept
		if fresh {
			read = r.Number
		}
		_, fault := read(v.text)
		return f.Says(fault)
	}
	switch f.Kind {
	case Any:
		return ""
	case Flag:
		if v.kind != truth {
			return f.Label + " is yes or no. Choose one."
		}
		return ""
	case Pairs:
		if v.kind != object {
			return f.Label + " has to be texts by name. Open the worksheet again."
		}
		for i := range v.list {
			if v.list[i].kind != text || len(v.list[i].text) > longest {
				return f.Label + ": '" + short(v.keys[i]) + "' is not a text, or is longer than 1,200,000 characters. Type it again."
			}
		}
		return f.Says(f.Rows(len(v.list), most(f), "text"))
	}
	if v.kind != text {
		return f.Label + " has to be a text." + f.Like()
	}
	switch f.Kind {
	case Choice:
		for _, o := range f.Options {
			if o.Key == v.text {
				return ""
			}
		}
		return f.Says(f.NoChoice(v.text))
	case Thread:
		if _, err := thread.Parse(v.text); err != nil {
			return f.Label + ": " + err.Error() + " Type it like 3/8-16 or M12x1.75."
		}
	case Date:
		if _, ok := readDate(v.text); !ok {
			return f.Label + ": '" + short(v.text) + "' is not a date. Type it like 2026-03-09."
		}
	case Link:
		t := idType(v.text)
		if t == "" || len(v.text) > 200 {
			return f.Label + ": '" + short(v.text) + "' names no record. Choose one from the list."
		}
		if len(f.Of) > 0 && !slices.Contains(f.Of, t) {
			return f.Label + ": '" + short(v.text) + "' is not a " + f.Of[0] + ". Choose a " + f.Of[0] + "."
		}
	default:
		if fault := f.Fits(v.text, most(f)); fault != nil {
			return f.Says(fault)
		}
		if f.Kind != Long && hasControl(v.text) {
			return f.Label + " has to fit on one line. Take the line breaks out."
		}
	}
	return ""
}

func short(s string) string { return field.Short(s) }

func trim(s string) string { return field.Trimmed(s) }

func hasControl(s string) bool {
	for i := range len(s) {
		if s[i] < 0x20 {
			return true
		}
	}
	return false
}

func system(unit string) units.System {
	if unit == "mm" {
		return units.MetricSystem
	}
	return units.InchSystem
}

// readNumber reads a quantity as stored and checks the field's limits.
func readNumber(f *Field, typed, unit string) (shoptext.Number, *shoptext.ParseError) {
	r := f.Range(system(unit))
	return r.Kept(typed)
}
