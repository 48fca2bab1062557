package jobbook

import "datumbook/calc/units"

// Kind describes one kind of thing in the job book, once: from it come the
// forms, the checks, the tables and the reference page.
type Kind struct {
	Key    string
	Label  string // "Machine"
	Plural string // "Machines"
	Help   string
	Title  []string // fields that name it, in this order
	Detail []string // fields for the line under the name
	Fields []Field
}

// Type says what a field holds. Quantities carry the plain name of their
// quantity.Dim ("length", "mass", "spin" ...).
type Type string

// The types that are no quantity.
const (
	Text   Type = "text"   // one line
	Words  Type = "words"  // short texts in a row: ["left", "right"]
	Long   Type = "long"   // paragraphs
	Count  Type = "count"  // a whole number
	Thread Type = "thread" // a thread's designation
	Sheet  Type = "sheet"  // a worksheet by its name, one line
	Choice Type = "choice" // one of Options, by its key
	Flag   Type = "flag"   // true or false
	Date   Type = "date"   // 2026-03-09, or with the time after it
	Link   Type = "link"   // the id of another record
	Links  Type = "links"  // ids of other records
	List   Type = "list"   // texts of one quantity, Columns[0]
	Table  Type = "table"  // rows of Columns; each row is a field of its own
	Pairs  Type = "pairs"  // texts by name
	Any    Type = "any"    // kept as it is
	Photo  Type = "photo"  // the name of the attachment that holds the picture
)

// The quantities that fields use.
const (
	number1     Type = "number"
	length      Type = "length"
	torque      Type = "torque"
	mass        Type = "mass"
	speed       Type = "speed"
	feed        Type = "feed"
	power       Type = "power"
	spin        Type = "spin"
	stress      Type = "stress"
	temperature Type = "temperature"
	slope       Type = "slope"
	density     Type = "density"
	expansion   Type = "expansion"
)

// Field is one thing asked about a kind.
type Field struct {
	Key      string
	Label    string
	Type     Type
	Help     string
	Example  string
	Required bool
	Min, Max string   // inclusive, as shop text with unit
	Units    Units    // what a bare number means, where it is not the usual unit
	Options  []Option // for Choice
	Columns  []Field  // for Table, and one for List
	Of       []string // for Link and Links: the kinds it may name; none means any
	Most     int      // longest text in bytes, or most rows; 0 means the type's own
	Section  string   // heading in the form, "" for the main part
}

// Option is one choice.
type Option struct{ Key, Label string }

// Units names the unit of a bare number in each system.
type Units struct{ Inch, Metric string }

// dim gives the quantity behind a type.
func (t Type) dim() (units.Dim, bool) {
	if t == Count {
		return units.None, true
	}
	return units.DimOf(string(t))
}

// bare gives the unit of a bare number.
func (f *Field) bare(sys units.System) units.Unit {
	dim, _ := f.Type.dim()
	name := f.Units.Inch
	if sys == units.MetricSystem {
		name = f.Units.Metric
	}
	if name != "" {
		if u, ok := dim.Find(name); ok {
			return u
		}
	}
	return dim.Unit(sys)
}

// most is the limit on bytes or rows.
func (f *Field) most() int {
	switch {
	case f.Most > 0:
		return f.Most
	case f.Type == Long:
		return 8000
	case f.Type == Words || f.Type == Links || f.Type == List || f.Type == Table || f.Type == Pairs:
		return 400
	}
	return 200
}

// goneField is common to all kinds: deleting is a value like any other, so it
// can be undone and merged.
var goneField = Field{Key: "gone", Label: "Deleted", Type: Flag, Help: "Deleted records are kept for 30 days and can be brought back."}

// KindOf finds a kind by its key; nil for one from a newer version.
func KindOf(key string) *Kind {
	for i := range Kinds {
		if Kinds[i].Key == key {
			return &Kinds[i]
		}
	}
	return nil
}

// Field finds a field by its key; a table's row "holes#0001-mill" is found as
// its table.
func (k *Kind) Field(key string) *Field {
	base, _ := splitRow(key)
	if base == goneField.Key {
		return &goneField
	}
	if k != nil {
		for i := range k.Fields {
			if k.Fields[i].Key == base {
				return &k.Fields[i]
			}
		}
	}
	return nil
}

// splitRow parts "holes#0001-mill" into table and row.
func splitRow(key string) (table, row string) {
	for i := range len(key) {
		if key[i] == '#' {
			return key[:i], key[i+1:]
		}
	}
	return key, ""
}
