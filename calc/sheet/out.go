package sheet

import (
	"datumbook/calc/quantity"
	"datumbook/calc/shopnum"
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

// Line is one worked line: what is computed, by which formula, with which
// numbers, to which result, on whose authority.
type Line struct{ What, Formula, Numbers, Result, Source string }

// Caution is a sentence with its level.
type Caution struct {
	Level Level
	Text  string
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
	System   quantity.System
	sheet    *Sheet
	fields   []field // by result
	lines    []Line
	cautions []Caution
	cited    []string
	fault    *Fault
}

// field is one result: its text, its value as JSON, its unit, the same in the
// other system.
type field struct {
	set               bool
	text, value, unit string
	also              string
	units             []string // for tables
	rows              []string // text of each row or sentence
}

func (o *Out) at(key string) (*Result, *field) {
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
	other := quantity.MetricSystem
	if o.System == quantity.MetricSystem {
		other = quantity.InchSystem
	}
	*f = field{set: true, text: here.text(), value: here.d.Trim(), unit: here.unit.Name}
	if there, ok := rounded(r.Kind, r.Units, r.Digits, other, x, unit); ok && there.unit.Name != here.unit.Name {
		f.also = there.text()
	}
}

// SetLength answers an exact length.
func (o *Out) SetLength(key string, l quantity.Length) { o.Set(key, l.Inches(), "in") }

// noNumber turns a result that is no number into a fault, so that it never
// reaches anybody as an answer.
func (o *Out) noNumber(label string) {
	if o.fault == nil {
		o.fault = &Fault{"", label + " could not be worked out from these numbers. Check the inputs for a size that does not belong to the others."}
	}
}

// shown is a number rounded in a unit.
type shown struct {
	d    quantity.Decimal
	unit quantity.Unit
}

func (s shown) text() string {
	switch {
	case s.unit.Name == "":
		return s.d.Trim()
	case s.unit.Name == "%":
		return s.d.Text() + "%"
	}
	d := s.d
	for d.Places > s.unit.Places() && d.Units%10 == 0 { // finer digits only where they say something
		d.Units /= 10
		d.Places--
	}
	return d.Text() + " " + s.unit.Name
}

func rounded(k Kind, over Units, digits Digits, sys quantity.System, x float64, unit string) (shown, bool) {
	u, ok := unitOf(k, over, sys)
	dim, _ := k.Dim()
	from, found := dim.Find(unit)
	if !ok || !found {
		panic("sheet: kind " + string(k) + " has no unit '" + unit + "'")
	}
	if from.Name != u.Name {
		x = u.FromBase(from.ToBase(x))
	}
	d, ok := quantity.Round(x, digits.places(sys, u))
	return shown{d, u}, ok
}

// SetText answers a text.
func (o *Out) SetText(key, text string) {
	_, f := o.at(key)
	*f = field{set: true, text: text, value: quoted(text)}
}

// SetFlag answers a yes or no.
func (o *Out) SetFlag(key string, yes bool) {
	_, f := o.at(key)
	if yes {
		*f = field{set: true, text: "yes", value: "true"}
	} else {
		*f = field{set: true, text: "no", value: "false"}
	}
}

// SetLines answers sentences in order.
func (o *Out) SetLines(key string, lines []string) {
	_, f := o.at(key)
	var text []byte
	value := []byte{'['}
	for i, l := range lines {
		if i > 0 {
			text = append(text, ' ')
			value = append(value, ',')
		}
		text = append(text, l...)
		value = AppendQuoted(value, l)
	}
	*f = field{set: true, text: string(text), value: string(append(value, ']')), rows: lines}
}

// SetTable answers rows; each row has a cell for each of the result's columns.
func (o *Out) SetTable(key string, rows [][]Cell) {
	r, f := o.at(key)
	units := make([]string, len(r.Columns))
	for j, c := range r.Columns {
		if u, ok := unitOf(c.Kind, c.Units, o.System); ok {
			units[j] = u.Name
		}
	}
	// Bytes are appended to, not strings joined: a table may be long.
	var text []byte
	value := []byte{'['}
	var texts []string
	for i, row := range rows {
		if len(row) != len(r.Columns) {
			panic("sheet: row of " + key + " has the wrong number of cells")
		}
		if i > 0 {
			text = append(text, "; "...)
			value = append(value, ',')
		}
		value = append(value, '[')
		start := len(text)
		for j, c := range row {
			if j > 0 {
				text = append(text, ", "...)
				value = append(value, ',')
			}
			t, v, ok := o.cell(r.Columns[j], c)
			if !ok {
				o.noNumber(r.Label)
				return
			}
			text = append(text, t...)
			value = append(value, v...)
		}
		value = append(value, ']')
		texts = append(texts, string(text[start:]))
	}
	*f = field{set: true, text: string(text), value: string(append(value, ']')), units: units, rows: texts}
}

func (o *Out) cell(col Column, c Cell) (text, value string, ok bool) {
	if !c.isNum {
		return c.text, quoted(c.text), true
	}
	s, ok := rounded(col.Kind, col.Units, Digits{}, o.System, c.num, c.unit)
	return s.text(), s.d.Trim(), ok
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

// Caution says what may fail or hurt.
func (o *Out) Caution(text string) { o.say(Warning, text) }

// Note says what was assumed.
func (o *Out) Note(text string) { o.say(Remark, text) }

func (o *Out) say(l Level, text string) {
	for _, c := range o.cautions {
		if c.Text == text {
			return
		}
	}
	o.cautions = append(o.cautions, Caution{l, text})
}

// Show writes a quantity with its unit in the run's system, for sentences and
// worked lines: Show(0.53125, "in", Length) gives "0.5313 in".
func (o *Out) Show(x float64, unit string, k Kind) string {
	s, ok := rounded(k, Units{}, Digits{}, o.System, x, unit)
	if !ok {
		o.noNumber(string(k))
		return "?"
	}
	return s.text()
}

// Len writes a length given in inches: "0.5313 in" or "13.494 mm".
func (o *Out) Len(inches float64) string { return o.Show(inches, "in", Length) }

// Bare writes a length given in inches as a bare number of the run's system,
// for the numbers put into a formula.
func (o *Out) Bare(inches float64) string {
	s, ok := rounded(Length, Units{}, Digits{}, o.System, inches, "in")
	if !ok {
		o.noNumber("a length")
		return "?"
	}
	return s.d.Text()
}

// Dec writes a pure number with the given decimals, trailing zeros cut.
func (o *Out) Dec(x float64, places int) string {
	d, ok := quantity.Round(x, places)
	if !ok {
		o.noNumber("a number")
		return "?"
	}
	return d.Trim()
}

// Size writes an exact length as a fraction where it is one, else as Len.
func (o *Out) Size(l quantity.Length) string {
	if text, ok := shopnum.Fraction(l); ok && o.System == quantity.InchSystem {
		return text + " in"
	}
	return o.Len(l.Inches())
}
