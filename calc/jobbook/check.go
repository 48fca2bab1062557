package jobbook

import (
	"strconv"

	"datumbook/calc/shoptext"
	"datumbook/calc/thread"
	"datumbook/calc/units"
)

// Report is what a check found.
type Report struct {
	Faults []RecordError
	Newer  []string // fields, or "type", that come from a newer version and are kept as they are
}

// Check reads a document and names everything in its current values that the
// rules object to. Nothing is lost by a fault: the document is kept all the
// same.
func Check(doc []byte) Report {
	d, problem := readDocument(doc)
	if problem != "" {
		return Report{Faults: []RecordError{{"", sentence(problem)}}}
	}
	return d.check()
}

// Sentences gives the faults of a stored document in plain sentences, for the
// office's list of records that need a look.
func Sentences(id string, doc []byte) []string {
	if sound(id, doc) {
		return nil
	}
	return sentences(id, doc)
}

func sentences(id string, doc []byte) []string {
	d, problem := readDocument(doc)
	if problem != "" {
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

func (d *document) check() Report {
	var r Report
	k := KindOf(d.kind)
	switch {
	case d.kind == "":
		r.Faults = append(r.Faults, RecordError{"type", "This record does not say what it is. Make it again."})
	case d.newer() || k == nil:
		r.Newer = append(r.Newer, "type")
	}
	if t := idType(d.id); k != nil && t != d.kind {
		r.Faults = append(r.Faults, RecordError{"_id", "The id '" + short(d.id) + "' does not begin with " + d.kind + ": as the ids of its kind do."})
	}
	for _, f := range d.fields {
		def := k.Field(f.key)
		for _, e := range f.edits {
			if e.odd {
				r.Faults = append(r.Faults, RecordError{f.key, "An entry in the history of " + nameOf(def, f.key) + " cannot be read. It is kept as it is."})
			}
		}
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
				r.Faults = append(r.Faults, RecordError{f.Key, f.Label + " is missing." + like(f)})
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

func like(f *Field) string {
	if f.Example == "" {
		return " Fill it in."
	}
	return " Type it like " + f.Example + "."
}

// short cuts what was typed before it is quoted back.
func short(s string) string {
	n := 0
	for i := range s {
		if n++; n > 40 {
			return s[:i] + "..."
		}
	}
	return s
}

// idType gives what stands before the colon of an id.
func idType(id string) string {
	for i := range len(id) {
		if id[i] == ':' {
			return id[:i]
		}
	}
	return ""
}

// checkValue holds one value against its field; empty is always allowed here.
// What is fresh, and not kept so already, is asked what it leaves open.
func checkValue(f *Field, key string, v *node, unit string, fresh bool) *RecordError {
	if v.kind == null {
		return nil
	}
	says := ""
	switch f.Type {
	case Table:
		if _, row := splitRow(key); row != "" {
			return checkRow(f, key, v, unit, fresh)
		}
		says = f.Label + " is written row by row here. Add its rows one at a time."
	case List:
		if says = rows(f, v); says != "" {
			break
		}
		for i := range v.list {
			if s := checkOne(&f.Columns[0], v.list[i], unit, fresh); s != "" {
				says = f.Label + ", number " + strconv.Itoa(i+1) + ": " + s
				break
			}
		}
	case Words, Links:
		if says = rows(f, v); says != "" {
			break
		}
		one := Field{Label: f.Label, Type: Text, Of: f.Of}
		if f.Type == Links {
			one.Type = Link
		}
		for i := range v.list {
			if s := checkOne(&one, v.list[i], unit, fresh); s != "" {
				says = s
				break
			}
		}
	default:
		says = checkOne(f, v, unit, fresh)
	}
	if says == "" {
		return nil
	}
	return &RecordError{key, says}
}

// rows checks that a value is an array that is not too long.
func rows(f *Field, v *node) string {
	switch {
	case v.kind != array:
		return f.Label + " has to be a list. Type its values one by one."
	case len(v.list) > f.most():
		return f.Label + " has " + strconv.Itoa(len(v.list)) + " values, and " + strconv.Itoa(f.most()) + " is the most. Take some out."
	}
	return ""
}

func checkRow(f *Field, key string, v *node, unit string, fresh bool) *RecordError {
	if v.kind != object {
		return &RecordError{key, f.Label + ": a row has to name its columns. Type it again."}
	}
	for i := range f.Columns {
		c := &f.Columns[i]
		cell := v.get(c.Key)
		says := ""
		if cell.kind == null || cell.kind == text && trim(cell.text) == "" {
			if c.Required {
				says = c.Label + " is missing." + like(c)
			}
		} else {
			says = checkOne(c, cell, unit, fresh)
		}
		if says != "" {
			return &RecordError{key, f.Label + ": " + says}
		}
	}
	return nil
}

// longest is the most that one input of a kept worksheet may hold: the holes of
// 200 fixtures with long names take 800,000 bytes.
const longest = 1_200_000

// checkOne checks a single value and says what is wrong, or "".
func checkOne(f *Field, v *node, unit string, fresh bool) string {
	if dim, ok := f.Type.dim(); ok {
		if v.kind != text && v.kind != number {
			return f.Label + " has to be a number." + like(f)
		}
		_, fault := readNumber(f, v.text, unit)
		if fault == nil && fresh {
			_, fault = shoptext.Parse(v.text, dim, f.bare(system(unit)))
		}
		if fault != nil {
			return f.Label + ": " + fault.Says + " " + fault.Try
		}
		return ""
	}
	switch f.Type {
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
		if len(v.list) > f.most() {
			return f.Label + " has more than " + strconv.Itoa(f.most()) + " texts. Take some out."
		}
		for i := range v.list {
			if v.list[i].kind != text || len(v.list[i].text) > longest {
				return f.Label + ": '" + short(v.keys[i]) + "' is not a text, or is longer than 1,200,000 characters. Type it again."
			}
		}
		return ""
	}
	if v.kind != text {
		return f.Label + " has to be a text." + like(f)
	}
	switch f.Type {
	case Choice:
		for _, o := range f.Options {
			if o.Key == v.text {
				return ""
			}
		}
		says := f.Label + ": '" + short(v.text) + "' is not one of its choices. Choose one of: "
		for i, o := range f.Options {
			if i > 0 {
				says += ", "
			}
			says += o.Label
		}
		return says + "."
	case Thread:
		if _, err := thread.Parse(v.text); err != nil {
			return f.Label + ": " + err.Error() + " Type it like 5/8-11 or M12x1.75."
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
		for _, of := range f.Of {
			if of == t {
				return ""
			}
		}
		if len(f.Of) > 0 {
			return f.Label + ": '" + short(v.text) + "' is not a " + f.Of[0] + ". Choose a " + f.Of[0] + "."
		}
	default:
		if n := len(v.text); n > f.most() {
			return f.Label + " is " + strconv.Itoa(n) + " characters long, and " + strconv.Itoa(f.most()) + " is the most. Shorten it."
		}
		if f.Type != Long && hasControl(v.text) {
			return f.Label + " has to fit on one line. Take the line breaks out."
		}
	}
	return ""
}

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

// readNumber reads a quantity as it was kept and holds it against the field's
// limits.
func readNumber(f *Field, typed, unit string) (shoptext.Number, *shoptext.ParseError) {
	dim, _ := f.Type.dim()
	bare := f.bare(system(unit))
	n, fault := shoptext.ParseKept(typed, dim, bare)
	if fault != nil {
		return n, fault
	}
	if f.Type == Count && n.Value != float64(int64(n.Value)) {
		return n, &shoptext.ParseError{Says: "'" + short(typed) + "' is not a whole number.", Try: "Type a whole number."}
	}
	low, high := holds(f, dim, bare, f.Min, n, false), holds(f, dim, bare, f.Max, n, true)
	if low && high {
		return n, nil
	}
	says := "'" + short(typed) + "' is more than " + f.Max + ", the most this takes."
	if !low {
		says = "'" + short(typed) + "' is less than " + f.Min + ", the least this takes."
	}
	switch {
	case f.Max == "":
		return n, &shoptext.ParseError{Says: says, Try: "Type " + f.Min + " or more."}
	case f.Min == "":
		return n, &shoptext.ParseError{Says: says, Try: "Type " + f.Max + " or less."}
	}
	return n, &shoptext.ParseError{Says: says, Try: "Type a value from " + f.Min + " to " + f.Max + "."}
}

// holds tells whether a number keeps to one limit.
func holds(f *Field, dim units.Dim, bare units.Unit, limit string, n shoptext.Number, upper bool) bool {
	if limit == "" {
		return true
	}
	a, b := n.Base(), limitIn(f, dim, bare, limit)
	if dim == units.Span {
		a = n.Length.MM()
	}
	if upper {
		return a <= b
	}
	return a >= b
}

// bound is a limit as a field's list has it.
type bound struct {
	text, unit string
	dim        units.Dim
}

// limitIn gives a limit: millimetres for a length, else the base unit.
func limitIn(f *Field, dim units.Dim, bare units.Unit, limit string) float64 {
	if b, ok := bounds[bound{limit, bare.Name, dim}]; ok {
		return b
	}
	return readLimit(f, dim, bare, limit)
}

func readLimit(f *Field, dim units.Dim, bare units.Unit, limit string) float64 {
	l, fault := shoptext.Parse(limit, dim, bare)
	if fault != nil {
		panic("record: the limit '" + limit + "' of " + f.Key + " cannot be read: " + fault.Says)
	}
	if dim == units.Span {
		return l.Length.MM()
	}
	return l.Base()
}

func trim(s string) string {
	for s != "" && (s[0] == ' ' || s[0] == '\n' || s[0] == '\t' || s[0] == '\r') {
		s = s[1:]
	}
	for s != "" && (s[len(s)-1] == ' ' || s[len(s)-1] == '\n' || s[len(s)-1] == '\t' || s[len(s)-1] == '\r') {
		s = s[:len(s)-1]
	}
	return s
}
