// Package field describes an input of a worksheet, a field of a record or a column of either's
// tables, and what it may contain: one set of kinds, limit checks, sentences and JSON.
package field

import (
	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// Kind is the type of a field, or of a result's value.
type Kind string

// The kinds. Quantities carry the plain name of their units.Dim.
const (
	Length       Kind = "length"
	Angle        Kind = "angle"
	Number       Kind = "number"
	Count        Kind = "count" // a whole number
	Percent      Kind = "percent"
	Force        Kind = "force"
	Torque       Kind = "torque"
	Mass         Kind = "mass"
	SurfaceSpeed Kind = "speed"
	TableFeed    Kind = "feed"
	Power        Kind = "power"
	Stress       Kind = "stress"
	Temperature  Kind = "temperature"
	Area         Kind = "area"
	Volume       Kind = "volume"
	Density      Kind = "density"
	Spin         Kind = "spin"
	Time         Kind = "time"
	Slope        Kind = "slope"
	Removal      Kind = "removal"
	Expansion    Kind = "expansion"

	Choice  Kind = "choice"  // one of Options, by its key
	Choices Kind = "choices" // any of Options, as a comma list
	Thread  Kind = "thread"  // a thread's designation
	Drill   Kind = "drill"   // a drill's name or size
	Text    Kind = "text"    // one line
	Flag    Kind = "flag"    // yes or no
	List    Kind = "list"    // values of one kind (Columns[0]) in a row
	Table   Kind = "table"   // rows of Columns
	Lines   Kind = "lines"   // results only: sentences in order

	Long  Kind = "long"  // records only, as all that follow: paragraphs
	Sheet Kind = "sheet" // a worksheet by its name
	Date  Kind = "date"  // 2026-03-09, or with the time after it
	Link  Kind = "link"  // the id of another record
	Pairs Kind = "pairs" // texts by name
	Any   Kind = "any"   // kept as it is
	Photo Kind = "photo" // the name of the attachment that holds the picture
)

// Kinds lists every kind, for generated types in other languages.
func Kinds() []Kind {
	return []Kind{Length, Angle, Number, Count, Percent, Force, Torque, Mass, SurfaceSpeed, TableFeed, Power, Stress,
		Temperature, Area, Volume, Density, Spin, Time, Slope, Removal, Expansion, Choice, Choices, Thread, Drill, Text, Flag,
		List, Table, Lines, Long, Sheet, Date, Link, Pairs, Any, Photo}
}

// Dim gives the quantity behind a kind; ok is false for kinds that are no
// single quantity.
func (k Kind) Dim() (units.Dim, bool) {
	switch k {
	case Count:
		return units.None, true
	case Drill, Length: // the most frequent; others are looked up by name
		return units.Span, true
	case Text, Choice:
		return units.None, false
	}
	return units.DimOf(string(k))
}

// Unit gives the unit of a kind in a system, honouring an override.
func (k Kind) Unit(over Units, s units.System) (units.Unit, bool) {
	dim, ok := k.Dim()
	if !ok {
		return units.Unit{}, false
	}
	if name := over.name(s); name != "" {
		return dim.Find(name)
	}
	return dim.Unit(s), true
}

// Option is one choice, or a word that stands for a number. Short is its name on a chip where the
// label is a sentence.
type Option struct{ Key, Label, Short string }

// Units names the unit of a bare number in each system, where it is not the
// kind's usual one.
type Units struct{ Inch, Metric string }

func (u Units) name(s units.System) string {
	if s == units.MetricSystem {
		return u.Metric
	}
	return u.Inch
}

// Field describes one input.
type Field struct {
	Key      string
	Label    string
	Kind     Kind
	Ask      string // the question while it is open, "How thick?"; "" for the label with its mark
	Box      string // its name in an empty box on a drawing, at most 16 characters; "" for the label
	Help     string // one or two sentences
	Example  string // a valid text
	Default  string // text taken when nothing is typed; "" for none
	Required bool
	Optional bool     // of a column: cells may be empty; other columns' are required
	Fine     bool     // of a column of results: read finer than on a handwheel
	Needle   bool     // read on an indicator: in a box on a drawing a bare number is thou, or 0.01 mm
	Lately   string   // a name shared by fields: sizes lately typed in one are keys in all; "" for none
	Section  string   // heading in the form, "" for the main part
	Min, Max string   // inclusive limits as shop text with unit, "" for none
	Units    Units    // what a bare number means, where it is not the usual unit
	Options  []Option // for Choice and Choices
	Words    []Option // words accepted in place of a number
	Columns  []Field  // for List (one) and Table
	MinRows  int
	MaxRows  int      // most rows or values; 0 means the usual number
	Most     int      // longest text in bytes; 0 means the kind's own
	Of       []string // for Link: the kinds of record it may name; none means any
	// Canon checks a text kind (Thread, Text) and gives its full form.
	Canon func(text string) (string, *shoptext.ParseError)
}

// Question asks for the field: "How thick?".
func (f *Field) Question() string {
	if f.Ask != "" {
		return f.Ask
	}
	return f.Label + "?"
}

// Unit gives the unit of a bare number.
func (f *Field) Unit(s units.System) (units.Unit, bool) { return f.Kind.Unit(f.Units, s) }

// Measured reports whether the field takes numbers with a unit.
func (f *Field) Measured() bool {
	if dim, ok := f.Kind.Dim(); ok && dim != units.None {
		return true
	}
	for i := range f.Columns {
		if f.Columns[i].Measured() {
			return true
		}
	}
	return false
}
