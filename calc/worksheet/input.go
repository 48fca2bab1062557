package worksheet

import (
	"math"
	"strconv"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

const (
	maxRows = 200  // rows of a list or table unless the input says otherwise
	maxText = 8000 // bytes of one input's text; 150 a row where a table may have more
)

// parse reads every input of the sheet from the pairs given.
func parse(s *Sheet, sys units.System, pairs []Pair) (*Values, *InputError) {
	v := &Values{System: sys, sheet: s, vals: make([]value, len(s.Inputs))}
	for _, p := range pairs {
		in, ok := s.Input(p.Key)
		if !ok {
			return v, &InputError{p.Key, "'" + short(p.Key) + "' is not an input of " + s.Name + ". Its inputs are " + keys(s) + "."}
		}
		val := v.at(in.Key)
		if val.given {
			return v, &InputError{p.Key, in.Label + " is given twice. Give it once."}
		}
		if text := plainText(p.Text); trimmed(text) != "" {
			val.text, val.given = text, true
		}
	}
	for i := range s.Inputs {
		in, val := &s.Inputs[i], &v.vals[i]
		if !val.given {
			if in.Default == "" {
				if in.Required {
					return v, &InputError{in.Key, in.Label + " is missing." + forExample(in)}
				}
				continue
			}
			val.text = in.Default
		}
		if most := max(maxText, 150*in.MaxRows); len(val.text) > most {
			return v, &InputError{in.Key, in.Label + " is longer than " + strconv.Itoa(most) + " characters. Shorten it."}
		}
		f := read(in, sys, val)
		if f != nil && !val.given {
			f = read(in, units.InchSystem, val) // 1/16 by default is inches also where it would be asked about
		}
		if f != nil {
			return v, f
		}
		val.set = true
	}
	return v, nil
}

func forExample(in *Input) string {
	if in.Example == "" {
		return ""
	}
	return " Type it like " + in.Example + "."
}

func keys(s *Sheet) string {
	out := ""
	for i := range s.Inputs {
		if i > 0 {
			out += ", "
		}
		out += s.Inputs[i].Key
	}
	return out
}

// short cuts what a user typed before it is quoted back.
func short(s string) string {
	if len(s) > 40 {
		return s[:40] + "..."
	}
	return s
}

// read parses one input's text by its kind.
func read(in *Input, sys units.System, val *value) *InputError {
	for _, w := range in.Words {
		if sameWord(val.text, w) {
			val.word = w.Key
			return nil
		}
	}
	switch in.Kind {
	case Choice:
		key, f := choose(in.Options, trimmed(val.text))
		val.str = key
		return in.fault(f)
	case Choices:
		for _, part := range split(val.text, ',') {
			key, f := choose(in.Options, part)
			if f != nil {
				return in.fault(f)
			}
			val.strs = append(val.strs, key)
		}
		return nil
	case Flag:
		key, f := choose([]Option{{"yes", "yes"}, {"no", "no"}}, trimmed(val.text))
		val.str = key
		return in.fault(f)
	case Thread, Text:
		val.str = trimmed(val.text)
		if in.Canon == nil {
			return nil
		}
		canon, f := in.Canon(val.str)
		val.str = canon
		return in.fault(f)
	case List:
		return readList(in, sys, val)
	case Table:
		return readTable(in, sys, val)
	case Drill:
		if n, err := strconv.Atoi(trimmed(val.text)); err == nil && n > 0 {
			t := strconv.Itoa(n)
			return in.fault(&shoptext.ParseError{Says: "'" + t + "' could be a number drill or a size.", Try: "Write #" + t + ", " + t + "mm or " + t + "in."})
		}
	}
	r := rangeOf(in.Kind, in.Units, in.Min, in.Max, sys)
	n, f := r.number(val.text)
	val.num = n
	return in.fault(f)
}

// fault puts the input's label to what was wrong; nil stays nil.
func (in *Input) fault(f *shoptext.ParseError) *InputError {
	if f == nil {
		return nil
	}
	return about(in, f)
}

// span is what a quantity may be: its limits are read once, however many rows
// of a table are held against them.
type span struct {
	kind         Kind
	dim          units.Dim
	bare         units.Unit
	low, high    string // as described
	lo, hi       float64
	hasLo, hasHi bool
}

func rangeOf(k Kind, over Units, low, high string, sys units.System) *span {
	r := &span{kind: k, low: low, high: high}
	r.dim, _ = k.Dim()
	r.bare, _ = unitOf(k, over, sys)
	r.lo, r.hasLo = limit(r.dim, r.bare, low)
	r.hi, r.hasHi = limit(r.dim, r.bare, high)
	return r
}

// number reads a quantity and holds it against its limits.
func (r *span) number(text string) (shoptext.Number, *shoptext.ParseError) {
	n, f := shoptext.Parse(text, r.dim, r.bare)
	if f != nil {
		return n, f
	}
	if r.kind == Count && n.Value != math.Trunc(n.Value) {
		return n, &shoptext.ParseError{Says: "'" + short(trimmed(text)) + "' is not a whole number.", Try: "Type a whole number."}
	}
	base := n.Base()
	if r.dim == units.Span {
		base = n.Length.MM()
	}
	tooLow, tooHigh := r.hasLo && base < r.lo, r.hasHi && base > r.hi
	if !tooLow && !tooHigh {
		return n, nil
	}
	says := "'" + short(trimmed(text)) + "' is more than " + r.high + ", the most this takes."
	if tooLow {
		says = "'" + short(trimmed(text)) + "' is less than " + r.low + ", the least this takes."
	}
	try := "Type a value from " + r.low + " to " + r.high + "."
	switch {
	case !r.hasHi:
		try = "Type " + r.low + " or more."
	case !r.hasLo:
		try = "Type " + r.high + " or less."
	}
	return n, &shoptext.ParseError{Says: says, Try: try}
}

// limit reads a limit of the description.
func limit(dim units.Dim, bare units.Unit, text string) (float64, bool) {
	if text == "" {
		return 0, false
	}
	n, f := shoptext.Parse(text, dim, bare)
	if f != nil {
		panic("sheet: limit '" + text + "' cannot be read: " + f.Says)
	}
	if dim == units.Span {
		return n.Length.MM(), true
	}
	return n.Base(), true
}

// choose finds an option by key or label.
func choose(options []Option, text string) (string, *shoptext.ParseError) {
	for i := range options {
		if sameWord(text, options[i]) {
			return options[i].Key, nil
		}
	}
	list := ""
	for i, o := range options {
		if i > 0 {
			list += ", "
		}
		list += o.Key
	}
	return "", &shoptext.ParseError{Says: "'" + short(text) + "' is not one of its choices.", Try: "Choose one of: " + list + "."}
}

// readList reads numbers set apart by commas, semicolons, new lines or, where
// none of these stands between them, spaces. A unit behind the last number
// counts for all where no other carries one: "0, 1.5, 3 thou".
func readList(in *Input, sys units.System, val *value) *InputError {
	parts := split(val.text, ',')
	if len(parts) == 1 {
		parts = words(parts[0])
	}
	col := &in.Columns[0]
	if unit := lastUnit(parts); unit != "" && known(col.Kind, unit) {
		for i := range len(parts) - 1 {
			parts[i] += " " + unit
		}
	}
	if f := in.rowCount(len(parts), "number"); f != nil {
		return f
	}
	r := rangeOf(col.Kind, col.Units, col.Min, col.Max, sys)
	for i, part := range parts {
		n, f := r.number(part)
		if f != nil {
			f.Says = "number " + strconv.Itoa(i+1) + ": " + f.Says
			return in.fault(f)
		}
		val.rows = append(val.rows, []cell{{true, n.Unit.Name, n.Value, n.Length}})
	}
	return nil
}

// known says whether a kind takes a unit; an unknown one is left where it was
// typed, so that the right number is named.
func known(k Kind, unit string) bool {
	dim, ok := k.Dim()
	if !ok {
		return false
	}
	_, ok = dim.Find(unit)
	return ok
}

// readTable reads rows set apart by semicolons or new lines, cells by commas.
func readTable(in *Input, sys units.System, val *value) *InputError {
	rows := split(val.text, ';')
	if f := in.rowCount(len(rows), "row"); f != nil {
		return f
	}
	ranges := make([]*span, len(in.Columns))
	for j := range in.Columns {
		if col := &in.Columns[j]; col.Kind != Text && col.Kind != Thread && col.Kind != Choice {
			ranges[j] = rangeOf(col.Kind, col.Units, col.Min, col.Max, sys)
		}
	}
	wide := len(in.Columns)
	all, cells := make([]cell, len(rows)*wide), make([]string, 0, wide)
	val.rows = make([][]cell, len(rows))
	where := func(i int) string { return "row " + strconv.Itoa(i+1) }
	for i, row := range rows {
		cells = splitCells(cells[:0], row)
		if len(cells) > wide {
			return in.fault(&shoptext.ParseError{Says: where(i) + " has " + strconv.Itoa(len(cells)) + " values where " + strconv.Itoa(wide) + " are due.",
				Try: "Set values apart by commas and rows by semicolons."})
		}
		out := all[i*wide : (i+1)*wide : (i+1)*wide]
		for j := range in.Columns {
			col, text := &in.Columns[j], ""
			if j < len(cells) {
				text = cells[j]
			}
			if text == "" {
				if col.Optional {
					continue
				}
				return in.fault(&shoptext.ParseError{Says: where(i) + " has no " + col.Label + ".", Try: "Fill it in, or delete the row."})
			}
			if f := readCell(col, ranges[j], text, &out[j]); f != nil {
				f.Says = where(i) + ", " + col.Label + ": " + f.Says
				return in.fault(f)
			}
		}
		val.rows[i] = out
	}
	return nil
}

func readCell(col *Column, r *span, text string, c *cell) (f *shoptext.ParseError) {
	c.set = true
	switch col.Kind {
	case Text, Thread:
		c.str = text
	case Choice:
		c.str, f = choose(col.Options, text)
	default:
		var n shoptext.Number
		n, f = r.number(text)
		c.str, c.x, c.length = n.Unit.Name, n.Value, n.Length
	}
	return f
}

func (in *Input) rowCount(n int, what string) *InputError {
	most := in.MaxRows
	if most == 0 {
		most = maxRows
	}
	switch {
	case n < in.MinRows:
		return in.fault(&shoptext.ParseError{Says: "has " + strconv.Itoa(n) + " " + what + "s where at least " + strconv.Itoa(in.MinRows) + " are needed.", Try: "Add more."})
	case n > most:
		return in.fault(&shoptext.ParseError{Says: "has " + strconv.Itoa(n) + " " + what + "s where " + strconv.Itoa(most) + " is the most.", Try: "Take some out."})
	}
	return nil
}
