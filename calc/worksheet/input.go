package worksheet

import (
	"strconv"

	"datumbook/calc/field"
	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

const (
	maxRows = 200  // rows of a list or table unless the input says otherwise
	maxText = 8000 // bytes of one input's text; 150 a row where a table may have more
)

// parse reads every input of the sheet from the pairs given. A fault in what was typed counts before
// an input, or rows of it, that are missing.
func parse(s *Sheet, sys units.System, pairs []Pair) (v *Values, fault *InputError, missing bool) {
	v = &Values{System: sys, sheet: s, vals: make([]value, len(s.Inputs))}
	for _, p := range pairs {
		if p.Key == Meant {
			v.meant = p.Text
			continue
		}
		in, ok := s.Input(p.Key)
		if !ok {
			return v, &InputError{p.Key, "'" + field.Short(p.Key) + "' is not an input of " + s.Name +
				". Its inputs are " + keys(s) + "."}, false
		}
		val := v.at(in.Key)
		if val.given {
			return v, &InputError{p.Key, in.Label + " is given twice. Give it once."}, false
		}
		if text := plainText(p.Text); field.Trimmed(text) != "" {
			val.text, val.given = text, true
		}
	}
	for i := range s.Inputs {
		in, val := &s.Inputs[i], &v.vals[i]
		if !val.given {
			if in.Default == "" {
				if in.Required && fault == nil {
					fault = &InputError{in.Key, in.Missing()}
				}
				continue
			}
			val.text = in.Default
		}
		f := in.Fits(val.text, max(maxText, 150*in.MaxRows))
		if f == nil {
			f = read(in, sys, val)
		}
		if f != nil && !val.given {
			f = read(in, units.InchSystem, val) // 1/16 by default is inches also where it would be asked about
		}
		if f != nil && !val.few {
			return v, &InputError{in.Key, in.Says(f)}, false
		}
		if f != nil && fault == nil {
			fault = &InputError{in.Key, in.Says(f)}
		}
		val.set = true
	}
	return v, fault, fault != nil
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

var yesNo = &Input{Options: []Option{{Key: "yes", Label: "yes"}, {Key: "no", Label: "no"}}}

// read parses one input's text by its kind.
func read(in *Input, sys units.System, val *value) (f *shoptext.ParseError) {
	for _, w := range in.Words {
		if w.Is(val.text) {
			val.word = w.Key
			return nil
		}
	}
	text := field.Trimmed(val.text)
	switch in.Kind {
	case Choice:
		val.str, f = in.Choose(text)
		return f
	case Choices:
		for _, part := range split(val.text, ',') {
			key, f := in.Choose(part)
			if f != nil {
				return f
			}
			val.strs = append(val.strs, key)
		}
		return nil
	case Flag:
		val.str, f = yesNo.Choose(text)
		return f
	case Thread, Text:
		if val.str = text; in.Canon != nil {
			val.str, f = in.Canon(text)
		}
		return f
	case List:
		return readList(in, sys, val)
	case Table:
		return readTable(in, sys, val)
	case Drill:
		if n, err := strconv.Atoi(text); err == nil && n > 0 {
			t := strconv.Itoa(n)
			return &shoptext.ParseError{Says: "'" + t + "' could be a number drill or a size.",
				Try: "Write #" + t + ", " + t + "mm or " + t + "in."}
		}
	}
	r := in.Range(sys)
	val.num, f = r.Number(val.text)
	return f
}

// readList reads numbers set apart by commas, semicolons, new lines or, where
// none of these stands between them, spaces. A unit behind the last number
// counts for all where no other carries one: "0, 1.5, 3 thou".
func readList(in *Input, sys units.System, val *value) *shoptext.ParseError {
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
	few := in.Rows(len(parts), most(in), "number")
	if few != nil && len(parts) >= in.MinRows {
		return few
	}
	r := col.Range(sys)
	for i, part := range parts {
		n, f := r.Number(part)
		if f != nil {
			f.Says = "number " + strconv.Itoa(i+1) + ": " + f.Says
			return f
		}
		val.rows = append(val.rows, []cell{{true, n.Unit.Name, n.Value, n.Length}})
	}
	val.few = few != nil
	return few
}

// known reports whether a kind takes a unit; an unknown one stays where it was typed, so that the
// error names the right number.
func known(k Kind, unit string) bool {
	dim, ok := k.Dim()
	if !ok {
		return false
	}
	_, ok = dim.Find(unit)
	return ok
}

// readTable reads rows set apart by semicolons or new lines, cells by commas.
func readTable(in *Input, sys units.System, val *value) *shoptext.ParseError {
	rows := split(val.text, ';')
	few := in.Rows(len(rows), most(in), "row")
	if few != nil && len(rows) >= in.MinRows {
		return few
	}
	ranges := make([]field.Range, len(in.Columns))
	for j := range in.Columns {
		ranges[j] = in.Columns[j].Range(sys)
	}
	wide := len(in.Columns)
	all, cells := make([]cell, len(rows)*wide), make([]string, 0, wide)
	val.rows = make([][]cell, len(rows))
	where := func(i int) string { return "row " + strconv.Itoa(i+1) }
	var open *shoptext.ParseError // the last row is still typed
	for i, row := range rows {
		cells = splitCells(cells[:0], row)
		if len(cells) > wide {
			return &shoptext.ParseError{Try: "Set values apart by commas and rows by semicolons.",
				Says: where(i) + " has " + strconv.Itoa(len(cells)) + " values where " + strconv.Itoa(wide) + " are due."}
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
				f := &shoptext.ParseError{Says: where(i) + " has no " + col.Label + ".", Try: "Fill it in, or delete the row."}
				if i < len(rows)-1 {
					return f
				}
				if open == nil {
					open, val.gap = f, col.Question()
				}
				continue
			}
			if f := readCell(col, &ranges[j], text, &out[j]); f != nil {
				f.Says = where(i) + ", " + col.Label + ": " + f.Says
				return f
			}
		}
		val.rows[i] = out
	}
	if open != nil {
		val.rows, few = val.rows[:len(rows)-1], open
	}
	val.few = few != nil
	return few
}

func readCell(col *Column, r *field.Range, text string, c *cell) (f *shoptext.ParseError) {
	c.set = true
	switch col.Kind {
	case Text, Thread:
		c.str = text
	case Choice:
		c.str, f = col.Choose(text)
	default:
		var n shoptext.Number
		n, f = r.Number(text)
		c.str, c.x, c.length = n.Unit.Name, n.Value, n.Length
	}
	return f
}

// most gives how many rows or numbers an input takes.
func most(in *Input) int {
	if in.MaxRows == 0 {
		return maxRows
	}
	return in.MaxRows
}
