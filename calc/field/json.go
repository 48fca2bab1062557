package field

import (
	"strconv"
	"unicode/utf8"

	"datumbook/calc/units"
)

// Writer builds JSON by hand: order is kept, numbers are written as rounded, and the phone does not
// load encoding/json's reflection.
type Writer struct {
	B     []byte
	comma bool
}

// Open begins an object or an array, by its bracket.
func (w *Writer) Open(c byte) { w.sep(); w.B = append(w.B, c); w.comma = false }

// End ends what was begun.
func (w *Writer) End(c byte) { w.B = append(w.B, c); w.comma = true }

func (w *Writer) sep() {
	if w.comma {
		w.B = append(w.B, ',')
	}
}

// Key writes a member's name; our names need no escaping.
func (w *Writer) Key(k string) {
	w.sep()
	w.B = append(append(append(w.B, '"'), k...), '"', ':')
	w.comma = false
}

// Put writes a non-text value by its append function.
func (w *Writer) Put(grown []byte) { w.B = grown; w.comma = true }

// Str writes a text.
func (w *Writer) Str(s string) { w.sep(); w.Put(AppendQuoted(w.B, s)) }

// Text writes a member that is a text.
func (w *Writer) Text(k, v string) { w.Key(k); w.Str(v) }

// Given writes a text member unless it is empty.
func (w *Writer) Given(k, v string) {
	if v != "" {
		w.Text(k, v)
	}
}

// Mark writes a member that is true, if it is.
func (w *Writer) Mark(k string, yes bool) {
	if yes {
		w.Key(k)
		w.Put(append(w.B, "true"...))
	}
}

// Strs writes a member that is an array of texts.
func (w *Writer) Strs(k string, list []string) {
	w.Key(k)
	w.Open('[')
	for _, s := range list {
		w.Str(s)
	}
	w.End(']')
}

// asItIs are the bytes that stand in a JSON string as they are: most that is written are.
var asItIs = func() (plain [256]bool) {
	for c := byte(0x20); c < utf8.RuneSelf; c++ {
		plain[c] = c != '"' && c != '\\'
	}
	return plain
}()

// AppendQuoted writes a JSON string (RFC 8259 section 7) with as few escapes as possible, so that a
// text has one form only. Bytes that are not UTF-8 become the replacement character.
func AppendQuoted(b []byte, s string) []byte {
	const hex = "0123456789abcdef"
	b = append(b, '"')
	start := 0 // of the part to copy unchanged
	for i := 0; i < len(s); {
		c := s[i]
		if asItIs[c] {
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
	return append(append(b, s[start:]...), '"')
}

// WriteAll writes a member that is an array of fields, if there are any. Empty attributes are left
// out: they were a fifth of what a phone reads before it shows the first form.
func WriteAll(w *Writer, key string, fields []Field) {
	if len(fields) == 0 {
		return
	}
	w.Key(key)
	w.Open('[')
	for i := range fields {
		fields[i].write(w)
	}
	w.End(']')
}

func (f *Field) write(w *Writer) {
	w.Open('{')
	w.Text("key", f.Key)
	w.Text("label", f.Label)
	w.Text("kind", string(f.Kind))
	w.Given("ask", f.Ask)
	w.Given("box", f.Box)
	w.Given("help", f.Help)
	w.Given("example", f.Example)
	w.Given("default", f.Default)
	w.Mark("required", f.Required)
	w.Mark("optional", f.Optional)
	w.Mark("fine", f.Fine)
	w.Mark("needle", f.Needle)
	w.Given("lately", f.Lately)
	w.Given("section", f.Section)
	WriteUnits(w, f.Kind, f.Units)
	w.Given("min", f.Min)
	w.Given("max", f.Max)
	writeOptions(w, "options", f.Options)
	writeOptions(w, "words", f.Words)
	WriteAll(w, "columns", f.Columns)
	if len(f.Of) > 0 {
		w.Strs("of", f.Of)
	}
	if f.Most > 0 {
		w.Key("most")
		w.Put(strconv.AppendInt(w.B, int64(f.Most), 10))
	}
	w.End('}')
}

// WriteUnits writes what a bare number of a kind means, where it has a unit.
func WriteUnits(w *Writer, k Kind, over Units) {
	inch, _ := k.Unit(over, units.InchSystem)
	metric, _ := k.Unit(over, units.MetricSystem)
	if inch.Name == "" && metric.Name == "" {
		return
	}
	w.Key("units")
	w.Open('{')
	w.Text("in", inch.Name)
	w.Text("mm", metric.Name)
	w.End('}')
}

func writeOptions(w *Writer, key string, options []Option) {
	if len(options) == 0 {
		return
	}
	w.Key(key)
	w.Open('[')
	for _, o := range options {
		w.Open('{')
		w.Text("key", o.Key)
		w.Text("label", o.Label)
		w.Given("short", o.Short)
		w.End('}')
	}
	w.End(']')
}
