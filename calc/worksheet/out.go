package worksheet

import (
	"slices"
	"strings"

	"datumbook/calc/field"
	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// Level is how strong a caution is.
type Level string

// The levels: the thing cannot be done as asked; it can but may hurt or fail;
// something was assumed.
const (
	Refusal Level = "refuse"
	Warning Level = "caution"
	Remark  Level = "note"
)

// Line is one worked line: what is computed, by which formula, with which numbers, to which result,
// by which source.
type Line struct{ What, Formula, Numbers, Result, Source string }

// Caution is a sentence with its level. One that asks about a likely slip names the field, and
// gives the text that was likely meant.
type Caution struct {
	Level        Level
	Text         string
	Field, Means string
	Asks         string // the question in a headline: "300 in? Or 300 mm?"
	rank         int    // of two of one level the lower comes first
}

// Cell is one place of a result table: a number in a unit, or a text.
type Cell struct {
	text  string
	num   float64
	unit  string
	isNum bool
}

// Num makes a cell of a number in the named unit.
func Num(x float64, unit string) Cell { return Cell{num: x, unit: unit, isNum: true} }

// Txt makes a cell of a text.
func Txt(s string) Cell { return Cell{text: s} }

// Out collects what a worksheet answers. Numbers are given in any unit of their
// kind and rounded to the result's declared decimals on the way in.
type Out struct {
	System   units.System
	sheet    *Sheet
	values   *Values
	fields   []found // by result
	lines    []Line
	cautions []Caution
	cited    []string
	fault    *InputError
	stop     string // the verdict where it cannot be done
	first    head   // what is said first, and in its place where it cannot be done
	halt     head
	wants    string // input to ask for next
	next     string // or a question of its own
	steps    []step // of dials, where the run says them

	text, value []byte // room in which a table is written, used again for the next
}

// found is one result. Numbers and sentences are kept as they are and written
// only where they are asked for: most answers are written once, as JSON.
type found struct {
	set         bool
	kind        form
	here, there shown   // a number in the run's system and in the other, if that differs
	x           float64 // the number as it was worked out, and its unit
	unit        string
	text, value string   // of a text, flag or table: as read, and as JSON
	units       []string // of a table's columns
	rows        []string // text of each row or sentence
}

// form is how a result is kept.
type form uint8

const (
	asText form = iota
	asNumber
	asLines
)

// appendText writes the text a reader sees.
func (f *found) appendText(b []byte) []byte {
	switch {
	case f.kind == asNumber && f.set:
		return f.here.append(b)
	case f.kind == asLines:
		return append(b, strings.Join(f.rows, " ")...)
	}
	return append(b, f.text...)
}

// appendValue writes the value as JSON.
func (f *found) appendValue(b []byte) []byte {
	switch {
	case f.kind == asNumber && f.set:
		return f.here.d.Short(0).Append(b)
	case f.kind == asLines:
		b = append(b, '[')
		for i, l := range f.rows {
			if i > 0 {
				b = append(b, ',')
			}
			b = field.AppendQuoted(b, l)
		}
		return append(b, ']')
	}
	return append(b, f.value...)
}

func (o *Out) at(key string) (*Result, *found) {
	i, ok := o.sheet.result(key)
	if !ok {
		panic("sheet: " + o.sheet.Name + " has no result " + key)
	}
	return &o.sheet.Results[i], &o.fields[i]
}

// Set answers a quantity: x in the named unit.
func (o *Out) Set(key string, x float64, unit string) {
	r, f := o.at(key)
	here, ok := rounded(r.Kind, r.Units, r.Digits, o.System, x, unit)
	if !ok {
		o.noNumber(r.Label)
		return
	}
	*f = found{set: true, kind: asNumber, here: here, x: x, unit: unit}
	if there, ok := rounded(r.Kind, r.Units, r.Digits, o.other(), x, unit); ok && there.unit != here.unit {
		f.there = there
	}
}

// ReadAs has the dial of a result that was answered show another number, in the unit it was
// answered in: one reckoned from the limits as they are shown. Text and value keep their digits.
func (o *Out) ReadAs(key string, x float64) {
	_, f := o.at(key)
	f.x = x
}

// other is the system of units the run is not in.
func (o *Out) other() units.System {
	if o.System == units.MetricSystem {
		return units.InchSystem
	}
	return units.MetricSystem
}

// SetLength answers an exact length.
func (o *Out) SetLength(key string, l units.Length) { o.Set(key, l.Inches(), "in") }

// noNumber turns a NaN or infinite result into an error, so that it is never shown as an answer.
func (o *Out) noNumber(label string) {
	if o.fault == nil {
		o.fault = &InputError{"", label + " could not be worked out from these numbers. Check the inputs for a size that does not belong to the others."}
	}
}

// shown is a number rounded in a unit.
type shown struct {
	d     units.Decimal
	unit  string
	least int // decimals shown even where they are zeros
}

// append writes the number with its unit behind b.
func (s shown) append(b []byte) []byte {
	switch s.unit {
	case "":
		return s.d.Short(0).Append(b)
	case "%":
		return append(s.d.Append(b), '%')
	}
	b = s.d.Short(s.least).Append(b) // finer digits only if not zero
	return append(append(b, ' '), s.unit...)
}

func rounded(k Kind, over Units, digits Digits, sys units.System, x float64, unit string) (shown, bool) {
	r := roundTo(k, over, digits, sys)
	return r.rounded(x, unit)
}

// rounder rounds numbers of one kind: a column of a table has many.
type rounder struct {
	kind   Kind
	unit   units.Unit
	ok     bool // it is a quantity
	places int
}

func roundTo(k Kind, over Units, digits Digits, sys units.System) rounder {
	u, ok := k.Unit(over, sys)
	return rounder{k, u, ok, digits.places(sys, u)}
}

func (r *rounder) rounded(x float64, unit string) (shown, bool) {
	if !r.ok || unit != r.unit.Name {
		dim, _ := r.kind.Dim()
		from, found := dim.Find(unit)
		if !r.ok || !found {
			panic("sheet: kind " + string(r.kind) + " has no unit '" + unit + "'")
		}
		if from.Name != r.unit.Name {
			x = r.unit.FromBase(from.ToBase(x))
		}
	}
	d, ok := units.Round(x, r.places)
	return shown{d, r.unit.Name, r.unit.Places()}, ok
}

// SetText answers a text.
func (o *Out) SetText(key, text string) {
	_, f := o.at(key)
	*f = found{set: true, text: text, value: string(field.AppendQuoted(nil, text))}
}

// SetFlag answers a yes or no.
func (o *Out) SetFlag(key string, yes bool) {
	_, f := o.at(key)
	if yes {
		*f = found{set: true, text: "yes", value: "true"}
	} else {
		*f = found{set: true, text: "no", value: "false"}
	}
}

// SetLines answers sentences in order.
func (o *Out) SetLines(key string, lines []string) {
	_, f := o.at(key)
	*f = found{set: true, kind: asLines, rows: lines}
}

// SetTable answers rows; each row has a cell for each of the result's columns.
func (o *Out) SetTable(key string, rows [][]Cell) {
	r, f := o.at(key)
	units, in := make([]string, len(r.Columns)), make([]rounder, len(r.Columns))
	for j := range r.Columns {
		c := &r.Columns[j]
		in[j] = roundTo(c.Kind, c.Units, Digits{}, o.System)
		units[j] = in[j].unit.Name
	}
	// Appended to bytes, not joined strings: a table may be long.
	text, value := o.text[:0], append(o.value[:0], '[')
	ends := make([]int, len(rows))
	for i, row := range rows {
		if len(row) != len(r.Columns) {
			panic("sheet: row of " + key + " has the wrong number of cells")
		}
		if i > 0 {
			text = append(text, "; "...)
			value = append(value, ',')
		}
		value = append(value, '[')
		for j, c := range row {
			if j > 0 {
				text = append(text, ", "...)
				value = append(value, ',')
			}
			if !c.isNum {
				text = append(text, c.text...)
				value = field.AppendQuoted(value, c.text)
				continue
			}
			s, ok := in[j].rounded(c.num, c.unit)
			if !ok {
				o.noNumber(r.Label)
				return
			}
			text = s.append(text)
			value = s.d.Short(0).Append(value)
		}
		value = append(value, ']')
		ends[i] = len(text)
	}
	value = append(value, ']')
	o.text, o.value = text, value
	*f = found{set: true, text: string(text), value: string(value), units: units, rows: make([]string, len(rows))}
	start := 0
	for i, end := range ends {
		f.rows[i] = f.text[start:end]
		start = end + len("; ")
	}
}

// Work adds a worked line. The source is the key of one of the sheet's sources.
func (o *Out) Work(what, formula, numbers, result, source string) {
	o.lines = append(o.lines, Line{what, formula, numbers, result, source})
	o.Cite(source)
}

// Cite names a source of the sheet that the answer rests on.
func (o *Out) Cite(source string) {
	for _, c := range o.cited {
		if c == source {
			return
		}
	}
	for _, s := range o.sheet.Sources {
		if s.Key == source {
			o.cited = append(o.cited, source)
			return
		}
	}
	panic("sheet: " + o.sheet.Name + " has no source " + source)
}

// Refuse says that it cannot be done as asked.
func (o *Out) Refuse(text string) { o.say(Refusal, text) }

// Stop refuses as [Out.Refuse] does, with the verdict that goes with it; the first one counts.
func (o *Out) Stop(verdict, text string) {
	if o.stop == "" {
		o.stop = verdict
	}
	o.Refuse(text)
}

// settle puts the gravest caution first, and makes verdict and flags say what a refusal says:
// whatever was worked out besides, the verdict is that of the first refusal, nothing that judges
// says yes, and no plan is given.
func (o *Out) settle() {
	slices.SortStableFunc(o.cautions, func(a, b Caution) int { return a.rank - b.rank })
	for _, c := range o.cautions {
		if c.Level != Refusal {
			continue
		}
		for i, r := range o.sheet.Results {
			switch {
			case r.Plan:
				o.fields[i] = found{}
			case r.Judges && o.fields[i].set:
				o.SetFlag(r.Key, false)
			case r.Key == Verdict.Key && o.stop != "":
				o.SetText(r.Key, o.stop)
			case r.Key == Verdict.Key:
				o.SetText(r.Key, c.Text)
			}
		}
		return
	}
}

// Ask says that a number is likely a slip: what is odd about it, and what was likely meant instead
// of it, as it would be typed. Nothing is asked about what is meant as it is.
func (o *Out) Ask(field, means, text string) {
	in, _ := o.sheet.Input(field)
	typed, unit := "", ""
	if o.values != nil {
		typed = o.values.Typed(field)
		unit = bareUnit(in, o.System, typed)
	}
	o.AskIn(field, question(typed, unit, means, in), means, text)
}

// AskIn asks as [Out.Ask] does of a list or table, whose whole text has no room on a key; asks is
// the question.
func (o *Out) AskIn(field, asks, means, text string) {
	if o.Meant(field) {
		return
	}
	o.add(Caution{Level: Warning, Text: text, Field: field, Means: means, Asks: asks, rank: 1})
}

// Meant says whether an input's number is meant as it is typed.
func (o *Out) Meant(field string) bool { return o.values != nil && o.values.Meant(field) }

// bareUnit is the unit that a number typed without one was read in.
func bareUnit(in *Input, sys units.System, typed string) string {
	if n := len(typed); n == 0 || typed[n-1] != '.' && (typed[n-1] < '0' || typed[n-1] > '9') {
		return ""
	}
	u, _ := in.Unit(sys)
	return u.Name
}

// Hurt is a caution about what can hurt someone; it stands before the others.
func (o *Out) Hurt(text string) { o.add(Caution{Level: Warning, Text: text, rank: 2}) }

// Caution says what may fail or spoil the work.
func (o *Out) Caution(text string) { o.say(Warning, text) }

// Note says what was assumed.
func (o *Out) Note(text string) { o.say(Remark, text) }

// say adds a sentence: refusals are ranked 0, cautions 3, notes 4.
func (o *Out) say(l Level, text string) {
	rank := 4
	switch l {
	case Refusal:
		rank = 0
	case Warning:
		rank = 3
	}
	o.add(Caution{Level: l, Text: text, rank: rank})
}

// add adds a sentence that is not there yet.
func (o *Out) add(c Caution) {
	for _, is := range o.cautions {
		if is.Text == c.Text {
			return
		}
	}
	o.cautions = append(o.cautions, c)
}

// Show writes a quantity with its unit in the run's system, for sentences and
// worked lines: Show(0.53125, "in", Length) gives "0.5313 in".
func (o *Out) Show(x float64, unit string, k Kind) string {
	var room [48]byte
	return string(o.show(room[:0], x, unit, k))
}

// show writes as Show does, behind b.
func (o *Out) show(b []byte, x float64, unit string, k Kind) []byte {
	s, ok := rounded(k, Units{}, Digits{}, o.System, x, unit)
	if !ok {
		o.noNumber(string(k))
		return append(b, '?')
	}
	return s.append(b)
}

// Len writes a length given in inches: "0.5313 in" or "13.494 mm".
func (o *Out) Len(inches float64) string { return o.Show(inches, "in", Length) }

// Bare writes a length given in inches as a bare number of the run's system,
// for the numbers put into a formula.
func (o *Out) Bare(inches float64) string {
	var room [48]byte
	return string(o.bare(room[:0], inches))
}

// bare writes as Bare does, behind b.
func (o *Out) bare(b []byte, inches float64) []byte {
	s, ok := rounded(Length, Units{}, Digits{}, o.System, inches, "in")
	if !ok {
		o.noNumber("a length")
		return append(b, '?')
	}
	return s.d.Append(b)
}

// Dec writes a pure number with the given decimals, trailing zeros cut.
func (o *Out) Dec(x float64, places int) string {
	var room [48]byte
	return string(o.dec(room[:0], x, places))
}

// dec writes as Dec does, behind b.
func (o *Out) dec(b []byte, x float64, places int) []byte {
	d, ok := units.Round(x, places)
	if !ok {
		o.noNumber("a number")
		return append(b, '?')
	}
	return d.Short(0).Append(b)
}

// Size writes an exact length as a fraction where it is one, else as Len.
func (o *Out) Size(l units.Length) string {
	if text, ok := shoptext.Fraction(l); ok && o.System == units.InchSystem {
		return text + " in"
	}
	return o.Len(l.Inches())
}
