// Package worksheet describes a worksheet once - what it asks, what it answers, by
// which limits and on whose authority - and runs it.
//
// From the one description come the form on the phone, the command line, the
// HTTP call, the reference page and the TypeScript types. A calculation is a
// plain typed Go function in its own package; its sheet.go holds a Sheet whose
// Compute reads Values, calls the function and writes an Out.
//
// Running a sheet gives an Answer, whose JSON is the same byte for byte on
// every machine: each number is rounded once, to its declared decimals, as it
// leaves the worksheet, and the writer keeps the order of the description.
package worksheet

import (
	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// Sheet is the description of one worksheet. Names and keys are short, lower
// case and never change once published: people script against them.
type Sheet struct {
	Name     string   // command name: "hole"
	Title    string   // "Tapped hole"
	Question string   // what the machinist asks: "Which drill, how deep, and does it fit?"
	Group    string   // key of the group it stands in
	About    []string // paragraphs for the reference page
	Drawing  string   // name of the drawing that goes with it, or ""
	Inputs   []Input
	Results  []Result
	Sources  []Source
	Example  []Pair // inputs that work, for the help text and the reference page
	Compute  func(v *Values, o *Out) *InputError
}

// Group is a heading under which worksheets stand together.
type Group struct{ Key, Title string }

// Pair is one input as typed.
type Pair struct{ Key, Text string }

// Source is a publication a worksheet rests on.
type Source struct {
	Key   string // short name used in worked lines: "B1.1"
	Title string // full title with edition
}

// Kind says what is typed into an input or read from a result.
type Kind string

// The kinds. Quantity kinds carry the plain name of their quantity.Dim.
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

	Choice  Kind = "choice"  // one of Options
	Choices Kind = "choices" // any of Options, as a comma list
	Thread  Kind = "thread"  // a thread's designation
	Drill   Kind = "drill"   // a drill's name or size
	Text    Kind = "text"
	Flag    Kind = "flag"  // yes or no
	List    Kind = "list"  // numbers of one kind (Columns[0]) in a row
	Table   Kind = "table" // rows of Columns, "0,1; 4,0"
	Lines   Kind = "lines" // results only: sentences in order
)

// Kinds lists every kind, for the types that other languages know them by.
func Kinds() []Kind {
	return []Kind{Length, Angle, Number, Count, Percent, Force, Torque, Mass, SurfaceSpeed, TableFeed, Power, Stress, Temperature,
		Area, Volume, Density, Spin, Time, Slope, Removal, Expansion, Choice, Choices, Thread, Drill, Text, Flag, List, Table, Lines}
}

// Dim gives the quantity behind a kind; ok is false for kinds that are no
// single quantity.
func (k Kind) Dim() (units.Dim, bool) {
	switch k {
	case Count:
		return units.None, true
	case Drill, Length: // most of them; the others are looked for by name
		return units.Span, true
	case Text, Choice:
		return units.None, false
	}
	return units.DimOf(string(k))
}

// Option is one choice, or a word that stands for a number.
type Option struct{ Key, Label string }

// Units names the unit for each system, where it is not the kind's usual one.
type Units struct{ Inch, Metric string }

func (u Units) name(s units.System) string {
	if s == units.MetricSystem {
		return u.Metric
	}
	return u.Inch
}

// Input is one thing asked.
type Input struct {
	Key      string
	Label    string
	Kind     Kind
	Help     string // one or two sentences
	Example  string // a text that would do
	Default  string // text taken when nothing is typed; "" for none
	Required bool
	Section  string   // heading in the form, "" for the main part
	Min, Max string   // inclusive limits as shop text with unit, "" for none
	Units    Units    // what a bare number means, where it is not the usual unit
	Options  []Option // for Choice and Choices
	Words    []Option // words accepted in place of a number
	Columns  []Column // for List (one) and Table
	MinRows  int
	MaxRows  int // 0 means 200
	// Canon checks a text kind (Thread, Text) and gives its full form.
	Canon func(text string) (string, *shoptext.ParseError)
}

// Column is one column of a table or the numbers of a list.
type Column struct {
	Key      string
	Label    string
	Kind     Kind // a quantity kind, Count, Text or Choice
	Units    Units
	Min, Max string
	Options  []Option
	Optional bool // the cell may be left empty
}

// Result is one thing answered.
type Result struct {
	Key     string
	Label   string
	Kind    Kind
	Help    string
	Main    bool // shown large, first
	Units   Units
	Digits  Digits
	Columns []Column // for Table
}

// Digits declares the decimals of a result in each system. 0 takes the unit's
// usual decimals, Whole rounds to whole numbers.
type Digits struct{ Inch, Metric int }

// Whole asks for no decimals.
const Whole = -1

func (d Digits) places(s units.System, u units.Unit) int {
	n := d.Inch
	if s == units.MetricSystem {
		n = d.Metric
	}
	switch {
	case n == Whole:
		return 0
	case n == 0:
		return u.Places()
	}
	return n
}

// unitOf gives the unit of a kind in a system, honouring an override.
func unitOf(k Kind, over Units, s units.System) (units.Unit, bool) {
	dim, ok := k.Dim()
	if !ok {
		return units.Unit{}, false
	}
	if name := over.name(s); name != "" {
		return dim.Find(name)
	}
	return dim.Unit(s), true
}

// Input finds an input by key.
func (s *Sheet) Input(key string) (*Input, bool) {
	for i := range s.Inputs {
		if s.Inputs[i].Key == key {
			return &s.Inputs[i], true
		}
	}
	return nil, false
}

func (s *Sheet) result(key string) (int, bool) {
	for i := range s.Results {
		if s.Results[i].Key == key {
			return i, true
		}
	}
	return 0, false
}
