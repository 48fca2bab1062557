package worksheet

import (
	"strconv"
	"strings"

	"datumbook/calc/field"
	"datumbook/calc/units"
)

// JSON writes the answer, or the error, in the published form.
func (a Answer) JSON() []byte {
	if a.Fault != nil {
		w := &field.Writer{}
		a.Fault.open(w)
		a.writeHead(w)
		w.Mark("open", a.missing || a.Out != nil && a.Out.next != "")
		w.End('}')
		return w.B
	}
	w := &field.Writer{B: make([]byte, 0, a.size())}
	w.Open('{')
	w.Text("worksheet", a.Sheet.Name)
	w.Key("inputs")
	w.Open('{')
	for i := range a.Sheet.Inputs {
		in, val := &a.Sheet.Inputs[i], &a.Values.vals[i]
		w.Key(in.Key)
		w.Open('{')
		w.Text("text", val.text)
		w.Key("value")
		grown, unit := val.appendJSON(w.B, in, a.Values.System)
		w.Put(grown)
		w.Text("unit", unit)
		w.End('}')
	}
	w.End('}')
	w.Key("results")
	w.Open('{')
	for i := range a.Sheet.Results {
		f := &a.Out.fields[i]
		if !f.set {
			continue
		}
		w.Key(a.Sheet.Results[i].Key)
		w.Open('{')
		f.json(w)
		if r := &a.Sheet.Results[i]; r.Dial != "" && f.kind == asNumber {
			text, also, step := a.Out.shown(r, f)
			w.Text("shown", text)
			if also != "" {
				w.Text("shownalso", also)
			}
			w.Text("step", step)
		}
		if f.units != nil {
			w.Strs("units", f.units)
		}
		w.End('}')
	}
	w.End('}')
	a.writeTail(w)
	w.End('}')
	return w.B
}

// size is about how many bytes the answer takes as JSON, rather more than less: growing costs a
// phone more than the room.
func (a Answer) size() int {
	const each = 72 // names, marks and numbers of an input, a result or a line
	n := 2048 + each*(len(a.Sheet.Inputs)+len(a.Out.lines)+len(a.Out.cautions))
	for i := range a.Values.vals { // a long table appears as typed and as read
		n += 3 * len(a.Values.vals[i].text)
	}
	for i := range a.Out.fields {
		f := &a.Out.fields[i]
		if !f.set {
			continue
		}
		n += 2*each + len(f.text) + len(f.value)
		if f.kind == asLines {
			for _, l := range f.rows {
				n += 2 * len(l)
			}
		}
	}
	for i := range a.Out.lines {
		l := &a.Out.lines[i]
		n += len(l.What) + len(l.Formula) + len(l.Numbers) + len(l.Result)
	}
	for i := range a.Out.cautions {
		n += len(a.Out.cautions[i].Text)
	}
	return n
}

// json writes a result's text, value, unit and the same in the other system.
func (f *found) json(w *field.Writer) {
	w.Key("text")
	switch f.kind {
	case asNumber: // a number and its unit need no escaping
		w.Put(append(f.here.append(append(w.B, '"')), '"'))
	case asLines:
		w.Str(strings.Join(f.rows, " "))
	default:
		w.Str(f.text)
	}
	w.Key("value")
	w.Put(f.appendValue(w.B))
	w.Text("unit", f.here.unit)
	if f.there.unit != "" {
		w.Key("also")
		w.Put(append(f.there.append(append(w.B, '"')), '"'))
	}
}

func (a Answer) writeTail(w *field.Writer) {
	w.Key("lines")
	w.Open('[')
	for _, l := range a.Out.lines {
		w.Open('{')
		w.Text("what", l.What)
		w.Text("formula", l.Formula)
		w.Text("numbers", l.Numbers)
		w.Text("result", l.Result)
		w.Text("source", l.Source)
		w.End('}')
	}
	w.End(']')
	w.Text("mark", string(a.Mark()))
	a.writeHead(w)
	w.Key("cautions")
	w.Open('[')
	for _, c := range a.Out.cautions {
		w.Open('{')
		w.Text("level", string(c.Level))
		w.Text("text", c.Text)
		if c.Field != "" {
			w.Text("field", c.Field)
			w.Text("means", c.Means)
			w.Text("asks", c.Asks)
		}
		w.End('}')
	}
	w.End(']')
	w.Key("sources")
	w.Open('[')
	for _, s := range a.Sheet.Sources {
		for _, c := range a.Out.cited {
			if c == s.Key {
				w.Open('{')
				w.Text("key", s.Key)
				w.Text("title", s.Title)
				w.End('}')
			}
		}
	}
	w.End(']')
}

// JSON writes the error in the published form.
func (f *InputError) JSON() []byte {
	w := &field.Writer{}
	f.open(w)
	w.End('}')
	return w.B
}

// open begins the published form of an error.
func (f *InputError) open(w *field.Writer) {
	w.Open('{')
	w.Key("error")
	w.Open('{')
	w.Text("field", f.Field)
	w.Text("message", f.Message)
	w.End('}')
}

// appendJSON writes an input's value, and gives its unit.
func (v *value) appendJSON(b []byte, in *Input, sys units.System) (value []byte, unit string) {
	switch {
	case !v.set:
		return append(b, "null"...), ""
	case v.word != "":
		return field.AppendQuoted(b, v.word), ""
	}
	switch in.Kind {
	case Choice, Thread, Text:
		return field.AppendQuoted(b, v.str), ""
	case Flag:
		return strconv.AppendBool(b, v.str == "yes"), ""
	case Choices:
		b = append(b, '[')
		for i, s := range v.strs {
			b = field.AppendQuoted(comma(b, i), s)
		}
		return append(b, ']'), ""
	case List:
		u, isQuantity := in.Columns[0].Unit(sys)
		b = append(b, '[')
		for i, row := range v.rows {
			b = appendCell(comma(b, i), &in.Columns[0], &row[0], &u, isQuantity)
		}
		return append(b, ']'), u.Name
	case Table:
		of := make([]units.Unit, len(in.Columns)) // looked up once, for all rows
		isQuantity := make([]bool, len(in.Columns))
		for j := range of {
			of[j], isQuantity[j] = in.Columns[j].Unit(sys)
		}
		b = append(b, '[')
		for i, row := range v.rows {
			b = append(comma(b, i), '[')
			for j := range row {
				b = appendCell(comma(b, j), &in.Columns[j], &row[j], &of[j], isQuantity[j])
			}
			b = append(b, ']')
		}
		return append(b, ']'), ""
	}
	return appendPlain(b, v.num.Value), v.num.Unit.Name
}

// comma writes one before every item but the first.
func comma(b []byte, i int) []byte {
	if i > 0 {
		return append(b, ',')
	}
	return b
}

// appendCell writes a list's or table's number in the unit of its column.
func appendCell(b []byte, col *Column, c *cell, u *units.Unit, isQuantity bool) []byte {
	switch {
	case !c.set:
		return append(b, "null"...)
	case !isQuantity:
		return field.AppendQuoted(b, c.str)
	case c.str == u.Name:
		return appendPlain(b, c.x)
	}
	return appendPlain(b, convert(col.Kind, c.x, c.str, c.length, u.Name, col.Key, true))
}

// appendPlain writes a typed number: the shortest digits that read back the same.
func appendPlain(b []byte, x float64) []byte {
	if x == 0 {
		return append(b, '0') // never -0
	}
	return strconv.AppendFloat(b, x, 'f', -1, 64)
}
