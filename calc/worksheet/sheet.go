// Package worksheet describes a worksheet once (inputs, results, limits and sources) and runs it.
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
	"datumbook/calc/field"
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
	// Half says what is known while an input is still missing, by Head and Fact; nil for nothing.
	Half func(v *Values, o *Out)
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

// An input and a column of a table are fields, as those of a record are.
type (
	Kind   = field.Kind
	Input  = field.Field
	Column = field.Field
	Option = field.Option
	Units  = field.Units
)

// The kinds.
const (
	Length       = field.Length
	Angle        = field.Angle
	Number       = field.Number
	Count        = field.Count
	Percent      = field.Percent
	Force        = field.Force
	Torque       = field.Torque
	Mass         = field.Mass
	SurfaceSpeed = field.SurfaceSpeed
	TableFeed    = field.TableFeed
	Power        = field.Power
	Stress       = field.Stress
	Temperature  = field.Temperature
	Area         = field.Area
	Volume       = field.Volume
	Density      = field.Density
	Spin         = field.Spin
	Time         = field.Time
	Slope        = field.Slope
	Removal      = field.Removal
	Expansion    = field.Expansion
	Choice       = field.Choice
	Choices      = field.Choices
	Thread       = field.Thread
	Drill        = field.Drill
	Text         = field.Text
	Flag         = field.Flag
	List         = field.List
	Table        = field.Table
	Lines        = field.Lines
)

// Result is one thing answered.
type Result struct {
	Key     string
	Label   string
	Kind    Kind
	Help    string
	Main    bool // shown large, first
	Plan    bool // what is to be done or set: not given in an answer that holds a refusal
	Judges  bool // a flag that says whether it will do: no in an answer that holds a refusal
	Units   Units
	Digits  Digits
	Dial    string   // key of what it is set or read on: how finely it is told
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
