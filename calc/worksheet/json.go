package worksheet

import (
	"strconv"
	"unicode/utf8"

	"datumbook/calc/units"
)

// writer builds JSON by hand: the order of the description is kept, numbers are
// written as rounded, and the phone is spared the reflection of encoding/json.
type writer struct {
	b     []byte
	comma bool
}

func (w *writer) open(c byte) { w.sep(); w.b = append(w.b, c); w.comma = false }
func (w *writer) end(c byte)  { w.b = append(w.b, c); w.comma = true }

func (w *writer) sep() {
	if w.comma {
		w.b = append(w.b, ',')
	}
}

func (w *writer) key(k string) {
	w.sep()
	w.b = append(w.b, '"') // our own keys hold nothing to be escaped
	w.b = append(w.b, k...)
	w.b = append(w.b, '"', ':')
	w.comma = false
}

func (w *writer) str(s string) { w.sep(); w.b = AppendQuoted(w.b, s); w.comma = true }
func (w *writer) raw(s string) { w.sep(); w.b = append(w.b, s...); w.comma = true }

func (w *writer) field(k, v string) { w.key(k); w.str(v) }

func (w *writer) flag(k string, v bool) { w.key(k); w.raw(strconv.FormatBool(v)) }

func quoted(s string) string { return string(AppendQuoted(nil, s)) }

// AppendQuoted writes a JSON string (RFC 8259 section 7). Bytes that are not
// UTF-8 become the replacement character.
func AppendQuoted(b []byte, s string) []byte {
	return append(appendEscaped(append(b, '"'), s), '"')
}

// appendEscaped writes what stands between the quotes.
func appendEscaped(b []byte, s string) []byte {
	const hex = "0123456789abcdef"
	start := 0 // of what can be copied as it is
	for i := 0; i < len(s); {
		c := s[i]
		if c >= 0x20 && c < utf8.RuneSelf && c != '"' && c != '\\' {
			i++
			continue
		}
		r, size := utf8.DecodeRuneInString(s[i:])
		if c >= utf8.RuneSelf && (r != utf8.RuneError || size > 1) {
			i += size
			continue
		}
		b = append(b, s[start:i]...)
		switch {
		case c == '"' || c == '\\':
			b = append(b, '\\', c)
		case c == '\n':
			b = append(b, '\\', 'n')
		case c < 0x20:
			b = append(b, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
		default:
			b = append(b, "\ufffd"...)
		}
		i += size
		start = i
	}
	return append(b, s[start:]...)
}

// JSON writes the answer, or the fault, in the published form.
func (a Answer) JSON() []byte {
	if a.Fault != nil {
		return a.Fault.JSON()
	}
	size := 12 << 10
	for i := range a.Values.vals { // a long table stands there as typed and as read
		size += 3 * len(a.Values.vals[i].text)
	}
	w := &writer{b: make([]byte, 0, size)}
	w.open('{')
	w.field("worksheet", a.Sheet.Name)
	w.key("inputs")
	w.open('{')
	for i := range a.Sheet.Inputs {
		in, val := &a.Sheet.Inputs[i], &a.Values.vals[i]
		w.key(in.Key)
		w.open('{')
		w.field("text", val.text)
		w.key("value")
		var unit string
		w.b, unit = val.appendJSON(w.b, in, a.Values.System)
		w.comma = true
		w.field("unit", unit)
		w.end('}')
	}
	w.end('}')
	w.key("results")
	w.open('{')
	for i := range a.Sheet.Results {
		f := &a.Out.fields[i]
		if !f.set {
			continue
		}
		w.key(a.Sheet.Results[i].Key)
		w.open('{')
		f.json(w)
		if f.units != nil {
			w.key("units")
			w.open('[')
			for _, u := range f.units {
				w.str(u)
			}
			w.end(']')
		}
		w.end('}')
	}
	w.end('}')
	a.writeTail(w)
	w.end('}')
	return w.b
}

// json writes a result's text, value, unit and the same in the other system.
func (f *field) json(w *writer) {
	w.key("text")
	if f.kind == asNumber { // a number and its unit hold nothing to be escaped
		w.b = append(f.here.append(append(w.b, '"')), '"')
	} else if f.kind == asLines {
		w.b = append(w.b, '"')
		for i, l := range f.rows {
			if i > 0 {
				w.b = append(w.b, ' ')
			}
			w.b = appendEscaped(w.b, l)
		}
		w.b = append(w.b, '"')
	} else {
		w.b = AppendQuoted(w.b, f.text)
	}
	w.comma = true
	w.key("value")
	w.b = f.appendValue(w.b)
	w.comma = true
	w.field("unit", f.here.unit)
	if f.there.unit != "" {
		w.key("also")
		w.b = append(f.there.append(append(w.b, '"')), '"')
	}
}

func (a Answer) writeTail(w *writer) {
	w.key("lines")
	w.open('[')
	for _, l := range a.Out.lines {
		w.open('{')
		w.field("what", l.What)
		w.field("formula", l.Formula)
		w.field("numbers", l.Numbers)
		w.field("result", l.Result)
		w.field("source", l.Source)
		w.end('}')
	}
	w.end(']')
	w.key("cautions")
	w.open('[')
	for _, c := range a.Out.cautions {
		w.open('{')
		w.field("level", string(c.Level))
		w.field("text", c.Text)
		w.end('}')
	}
	w.end(']')
	w.key("sources")
	w.open('[')
	for _, s := range a.Sheet.Sources {
		for _, c := range a.Out.cited {
			if c == s.Key {
				w.open('{')
				w.field("key", s.Key)
				w.field("title", s.Title)
				w.end('}')
			}
		}
	}
	w.end(']')
}

// JSON writes the fault in the published form.
func (f *InputError) JSON() []byte {
	w := &writer{}
	w.open('{')
	w.key("error")
	w.open('{')
	w.field("field", f.Field)
	w.field("message", f.Message)
	w.end('}')
	w.end('}')
	return w.b
}

// appendJSON writes an input's value, and gives its unit.
func (v *value) appendJSON(b []byte, in *Input, sys units.System) (value []byte, unit string) {
	switch {
	case !v.set:
		return append(b, "null"...), ""
	case v.word != "":
		return AppendQuoted(b, v.word), ""
	}
	switch in.Kind {
	case Choice, Thread, Text:
		return AppendQuoted(b, v.str), ""
	case Flag:
		return strconv.AppendBool(b, v.str == "yes"), ""
	case Choices:
		b = append(b, '[')
		for i, s := range v.strs {
			b = AppendQuoted(comma(b, i), s)
		}
		return append(b, ']'), ""
	case List:
		u, _ := unitOf(in.Columns[0].Kind, in.Columns[0].Units, sys)
		b = append(b, '[')
		for i, row := range v.rows {
			b = appendCell(comma(b, i), &in.Columns[0], &row[0], sys)
		}
		return append(b, ']'), u.Name
	case Table:
		b = append(b, '[')
		for i, row := range v.rows {
			b = append(comma(b, i), '[')
			for j := range row {
				b = appendCell(comma(b, j), &in.Columns[j], &row[j], sys)
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
func appendCell(b []byte, col *Column, c *cell, sys units.System) []byte {
	u, isQuantity := unitOf(col.Kind, col.Units, sys)
	switch {
	case !c.set:
		return append(b, "null"...)
	case !isQuantity:
		return AppendQuoted(b, c.str)
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
