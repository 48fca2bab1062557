package worksheet

import (
	"slices"
	"strings"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// Values are the inputs of one run, parsed and within their limits. Asking for
// a key the sheet does not have is a bug of ours and panics; the registry's fuzz
// test shows it unreachable.
type Values struct {
	System units.System
	sheet  *Sheet
	vals   []value
	meant  string
}

// Meant is the key of a pair that is no input of any worksheet: the inputs, set apart by spaces, whose
// numbers are meant as they are typed, however odd. No question is asked about them.
const Meant = "meant"

// Meant says whether an input's number is meant as it is typed.
func (v *Values) Meant(key string) bool { return slices.Contains(strings.Fields(v.meant), key) }

// value is one parsed input.
type value struct {
	text  string // as typed, or the default
	given bool   // typed by the user
	set   bool   // typed or by default
	few   bool   // fewer rows than are needed, or the last one is half typed
	gap   string // what the last row is asked for
	word  string
	num   shoptext.Number
	str   string
	strs  []string
	rows  [][]cell
}

// cell is one place of a list or table: a text, or a number in the unit that str
// names. A table may have 72,000 of them, so a cell holds no shoptext.Number.
type cell struct {
	set    bool
	str    string
	x      float64
	length units.Length
}

func (v *Values) at(key string) *value {
	for i := range v.sheet.Inputs {
		if v.sheet.Inputs[i].Key == key {
			return &v.vals[i]
		}
	}
	panic("sheet: " + v.sheet.Name + " has no input " + key)
}

// Has says whether the input holds anything, typed or by default.
func (v *Values) Has(key string) bool { return v.at(key).set }

// Given says whether the user typed it.
func (v *Values) Given(key string) bool { return v.at(key).given }

// Word gives the key of the word chosen in place of a number, or "".
func (v *Values) Word(key string) string { return v.at(key).word }

// Length gives an exact length, 0 where nothing was typed.
func (v *Values) Length(key string) units.Length { return v.at(key).num.Length }

// In gives a length in inches, 0 where nothing was typed.
func (v *Values) In(key string) float64 { return v.at(key).num.Length.Inches() }

// MM gives a length in millimetres, 0 where nothing was typed.
func (v *Values) MM(key string) float64 { return v.at(key).num.Length.MM() }

// Num gives a pure number, count or percentage as typed.
func (v *Values) Num(key string) float64 { return v.at(key).num.Value }

// As gives a quantity in the named unit ("lbf", "ksi", "in"), 0 where nothing
// was typed.
func (v *Values) As(key, unit string) float64 {
	in, _ := v.sheet.Input(key)
	n := &v.at(key).num
	return convert(in.Kind, n.Value, n.Unit.Name, n.Length, unit, key, v.at(key).set)
}

// convert gives x, read in the unit from, in another; length is the same where
// it is one.
func convert(k Kind, x float64, from string, length units.Length, unit, key string, set bool) float64 {
	dim, ok := k.Dim()
	if dim == units.Span { // exact lengths stay exact
		switch unit {
		case "in":
			return length.Inches()
		case "mm":
			return length.MM()
		}
	}
	u, found := dim.Find(unit)
	if !ok || !found {
		panic("sheet: " + key + " has no unit " + unit)
	}
	if !set {
		return 0
	}
	if from == u.Name {
		return x
	}
	was, _ := dim.Find(from)
	return u.FromBase(was.ToBase(x))
}

// Choice gives the key of the option chosen, or "".
func (v *Values) Choice(key string) string { return v.at(key).str }

// Text gives a text or designation in its full form, or "".
func (v *Values) Text(key string) string { return v.at(key).str }

// Typed gives the text as it was typed.
func (v *Values) Typed(key string) string { return v.at(key).text }

// Choices says whether an option is among those chosen.
func (v *Values) Choices(key, option string) bool {
	for _, s := range v.at(key).strs {
		if s == option {
			return true
		}
	}
	return false
}

// Flag gives a yes or no.
func (v *Values) Flag(key string) bool { return v.at(key).str == "yes" }

// Rows gives how many rows a list or table has.
func (v *Values) Rows(key string) int { return len(v.at(key).rows) }

// Cell gives a number of a table in the named unit; set is false where the
// cell was left empty. Column 0 of a list holds its numbers.
func (v *Values) Cell(key string, row, col int, unit string) (x float64, set bool) {
	in, _ := v.sheet.Input(key)
	c := &v.at(key).rows[row][col]
	return convert(in.Columns[col].Kind, c.x, c.str, c.length, unit, key, c.set), c.set
}

// CellText gives a text or choice of a table.
func (v *Values) CellText(key string, row, col int) string { return v.at(key).rows[row][col].str }

// List gives the numbers of a list in the named unit.
func (v *Values) List(key, unit string) []float64 {
	out := make([]float64, v.Rows(key))
	for i := range out {
		out[i], _ = v.Cell(key, i, 0, unit)
	}
	return out
}

// Label gives an input's label, for sentences.
func (v *Values) Label(key string) string {
	in, ok := v.sheet.Input(key)
	if !ok {
		panic("sheet: " + v.sheet.Name + " has no input " + key)
	}
	return in.Label
}

// Missing makes the error for an input that has to be filled in after all.
func (v *Values) Missing(key string) *InputError {
	in, _ := v.sheet.Input(key)
	return &InputError{key, in.Missing()}
}

// Refuse makes an error for an input: "Label: what is wrong".
func (v *Values) Refuse(key, says string) *InputError {
	return &InputError{key, v.Label(key) + ": " + says}
}
