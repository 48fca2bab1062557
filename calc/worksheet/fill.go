package worksheet

import (
	"strings"

	"datumbook/calc/units"
)

// Every call site costs some sixty bytes of WebAssembly. With these functions a worksheet keeps its
// sentences and worked lines as data, with places for numbers, and passes all numbers in one call.

// Step is a worked line as data. Numbers and Result hold places, filled in
// order: Numbers first.
type Step struct{ What, Formula, Numbers, Result, Source string }

// Fill fills the places of a template in order, each from the next number:
//
//	{3}    a pure number with at most that many decimals
//	{len}  a length given in inches, as a bare number of the run's system
//	{in}   a length given in inches, with its unit in the run's system
//	{lbf}  any other unit: a quantity given in that unit, shown in the run's system
//	{quill in}  a quantity given in that unit, as it is read on a dial (see Dials); {margin } a pure
//	            number
//	{=quill in} the same without its unit, {+quill in} with it, thousands set apart: for headlines
//	{=in}  a length given in inches that was typed, without its unit and not rounded
//
// and {s} from the next string. A template asking for more than it is given is
// a bug of ours and panics; with nothing to fill in, it is a text as it stands,
// so that one with a name that a person gave may be passed on.
func (o *Out) Fill(template string, s []string, x ...float64) string {
	text, _, _ := o.fill(template, s, x)
	return text
}

// fill does the work of Fill and returns the rest.
func (o *Out) fill(template string, s []string, x []float64) (string, []string, []float64) {
	if len(s) == 0 && len(x) == 0 {
		return template, s, x
	}
	var room [256]byte // most sentences fit: one allocation, for the text itself
	b, start := room[:0], 0
	for i := 0; i < len(template); i++ {
		if template[i] != '{' {
			continue
		}
		b = append(b, template[start:i]...)
		end := i + 1
		for template[end] != '}' {
			end++
		}
		place := template[i+1 : end]
		if place == "s" {
			b = append(b, s[0]...)
			s = s[1:]
		} else {
			b = o.number(b, place, x[0])
			x = x[1:]
		}
		i, start = end, end+1
	}
	if start == 0 {
		return template, s, x
	}
	return string(append(b, template[start:]...)), s, x
}

// number writes one number by its place, behind b.
func (o *Out) number(b []byte, place string, x float64) []byte {
	if place[0] == '=' || place[0] == '+' {
		return append(b, o.told(place[1:], place[0] == '=', x)...)
	}
	for i := range place {
		if place[i] == ' ' {
			return append(b, o.Read(place[:i], x, place[i+1:])...)
		}
	}
	switch {
	case place == "len":
		return o.bare(b, x)
	case place == "in":
		return o.show(b, x, place, Length)
	case len(place) == 1 && place[0] >= '0' && place[0] <= '9':
		return o.dec(b, x, int(place[0]-'0'))
	}
	return o.show(b, x, place, kindOf(place))
}

// told writes a number on a dial as a headline does: thousands set apart, bare without its unit.
func (o *Out) told(place string, bare bool, x float64) string {
	dial, unit, dialled := strings.Cut(place, " ")
	if !dialled {
		return o.asTyped(x)
	}
	d := DialOf(dial)
	text := o.read(d, kindOf(unit), Units{}, o.System, x, unit, 1).text()
	if u, _ := kindOf(unit).Unit(d.Units, o.System); bare && u.Name != "" {
		text = strings.TrimSuffix(strings.TrimSuffix(text, u.Name), " ")
	}
	return grouped(text)
}

// asTyped writes a length in inches as a bare number of the run's system, with the digits it has.
func (o *Out) asTyped(inches float64) string {
	if o.System == units.MetricSystem {
		return o.Dec(inches*25.4, 4)
	}
	return string(withoutNought([]byte(o.Dec(inches, 6))))
}

// kindOf finds the kind a unit belongs to.
func kindOf(unit string) Kind {
	switch unit {
	case "":
		return Number
	case "in": // by far the most frequent
		return Length
	}
	for d := units.Span; d <= units.Percent; d++ {
		list := d.Units()
		for i := range list {
			if list[i].Name == unit {
				return Kind(d.Name())
			}
		}
	}
	panic("sheet: no kind has the unit " + unit)
}

// Line adds a worked line from its template; numbers and strings are those of
// Step.Numbers, then those of Step.Result.
func (o *Out) Line(step *Step, s []string, x ...float64) {
	numbers, s, x := o.fill(step.Numbers, s, x)
	result, _, _ := o.fill(step.Result, s, x)
	o.Work(step.What, step.Formula, numbers, result, step.Source)
}

// SetAll answers several quantities, one number for each result of the list.
// The list names their keys, each with the unit its number is given in where it
// has one: "need in, pull lbf, rows".
func (o *Out) SetAll(list string, x ...float64) {
	for i, item := range split(list, ',') {
		key, unit := item, ""
		for j := range len(item) {
			if item[j] == ' ' {
				key, unit = item[:j], item[j+1:]
			}
		}
		o.Set(key, x[i], unit)
	}
}

// SetTexts answers several texts, one for each key of the list.
func (o *Out) SetTexts(list string, texts ...string) {
	for i, key := range split(list, ',') {
		o.SetText(key, texts[i])
	}
}
