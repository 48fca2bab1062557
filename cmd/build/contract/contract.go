// Package contract is the JSON that worksheets and the job book write, as Go structs. The
// TypeScript types of the app are made from this file, and its test reads everything that is
// written back through these structs, refusing members that do not stand here: what is sent is
// typed, and what is typed is sent.
package contract

import _ "embed"

// Text is this file, from which the TypeScript types are made.
//
//go:embed contract.go
var Text string

// UnitSystem is what a bare number means.
type UnitSystem string

// Kind is what a field or result is. A quantity is written with its own unit; the rest say how the
// text is read.
type Kind string

// Level is how strong a caution is.
type Level string

// Mark sums an answer up: open is where what it depends on was not said.
type Mark string

// Describe is the build's list of worksheets.
type Describe struct {
	Groups     []Group `json:"groups"`
	Worksheets []Sheet `json:"worksheets"`
	Stages     []Stage `json:"stages"`
	Pages      []Page  `json:"pages"`
}

// Stage is a part of the job, under which pages are found.
type Stage struct {
	Key   string `json:"key"`
	Title string `json:"title"`
}

// Page is one screen: it asks, one of its worksheets answers. Its name is that of its first worksheet.
type Page struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	// Where it stands, its home first.
	Stages []string `json:"stages"`
	// Its pictogram; that of its stage where it has none.
	Icon string `json:"icon,omitempty"`
	Ways []Way  `json:"ways"`
}

// Way is one of the worksheets of a page. Lists of keys are set apart by spaces.
type Way struct {
	Sheet string `json:"sheet"`
	// The chip that picks it, or inputs any of which picks it once it is typed.
	Chip string `json:"chip,omitempty"`
	When string `json:"when,omitempty"`
	// Inputs on the drawing in the order of Next; Next passes one with ? behind it.
	Boxes string `json:"boxes,omitempty"`
	// An input whose rows are places on the drawing; of its columns the one typed in a strip, or two
	// strips first/second, and the one above it.
	List string `json:"list,omitempty"`
	Flat string `json:"flat,omitempty"`
	// Choices under the drawing, and results on it.
	Chips string `json:"chips,omitempty"`
	Bold  string `json:"bold,omitempty"`
	// Inputs remembered from the last time.
	Habit string `json:"habit,omitempty"`
	// Inputs taken from the answer of another way: load=sling.worst; and inputs that are set.
	Takes string `json:"takes,omitempty"`
	// Choices that come with its chip, and typical inputs of it: from=pins.
	Sets string `json:"sets,omitempty"`
	Like string `json:"like,omitempty"`
	// Names of the first and the last place of a strip, set apart by a comma.
	Ends string `json:"ends,omitempty"`
}

// Group is a heading under which worksheets stand together.
type Group struct {
	Key   string `json:"key"`
	Title string `json:"title"`
}

// Source is a publication a worksheet rests on.
type Source struct {
	Key   string `json:"key"`
	Title string `json:"title"`
}

// Option is one choice, or a word that stands for a number.
type Option struct {
	Key   string `json:"key"`
	Label string `json:"label"`
	// Its name on a chip, where the label is longer.
	Short string `json:"short,omitempty"`
}

// Units is what a bare number means in each unit system; "" where it has no unit.
type Units struct {
	In string `json:"in"`
	MM string `json:"mm"`
}

// Field is one thing asked: an input of a worksheet, a field of a record, or a column of either's
// tables.
type Field struct {
	Key   string `json:"key"`
	Label string `json:"label"`
	Kind  Kind   `json:"kind"`
	// The question while it is open, and its name in an empty box; else the label.
	Ask      string `json:"ask,omitempty"`
	Box      string `json:"box,omitempty"`
	Help     string `json:"help,omitempty"`
	Example  string `json:"example,omitempty"`
	Default  string `json:"default,omitempty"`
	Required bool   `json:"required,omitempty"`
	// The cell of a table may be left empty.
	Optional bool `json:"optional,omitempty"`
	// The column of a result is read finer than on a handwheel.
	Fine bool `json:"fine,omitempty"`
	// Read on an indicator: in a box on a drawing a bare number is thou, or 0.01 mm.
	Needle bool `json:"needle,omitempty"`
	// Fields of one name offer the sizes lately typed in any of them.
	Lately string `json:"lately,omitempty"`
	// Heading in the form; none is the main part, any other is shown folded.
	Section string `json:"section,omitempty"`
	// What a bare number means.
	Units Units `json:"units,omitzero"`
	// Inclusive limits, with their unit.
	Min     string   `json:"min,omitempty"`
	Max     string   `json:"max,omitempty"`
	Options []Option `json:"options,omitempty"`
	// Words taken instead of a number, shown as chips beside the field.
	Words   []Option `json:"words,omitempty"`
	Columns []Field  `json:"columns,omitempty"`
	// Kinds that a link may lead to; none means any.
	Of []string `json:"of,omitempty"`
	// Longest text in bytes, where it is not the usual one.
	Most int `json:"most,omitempty"`
}

// Result is one thing answered.
type Result struct {
	Key     string  `json:"key"`
	Label   string  `json:"label"`
	Kind    Kind    `json:"kind"`
	Help    string  `json:"help"`
	Main    bool    `json:"main,omitempty"`
	Units   Units   `json:"units,omitzero"`
	Columns []Field `json:"columns,omitempty"`
}

// Sheet is the description of one worksheet.
type Sheet struct {
	Name     string `json:"name"`
	Title    string `json:"title"`
	Question string `json:"question"`
	Group    string `json:"group"`
	// Name of its drawing in src/drawing; "" when it has none.
	Drawing string   `json:"drawing"`
	About   []string `json:"about"`
	Inputs  []Field  `json:"inputs"`
	Results []Result `json:"results"`
	Sources []Source `json:"sources"`
	// Inputs that work, each as its key and its text.
	Sample [][]string `json:"sample"`
}

// Given is an input as it was read.
type Given struct {
	Text  string `json:"text"`
	Value any    `json:"value" ts:"Value"`
	Unit  string `json:"unit"`
}

// Found is one result.
type Found struct {
	Text  string `json:"text"`
	Value any    `json:"value" ts:"Value"`
	Unit  string `json:"unit"`
	// The same size in the other unit system.
	Also string `json:"also,omitempty"`
	// As it is read on its dial, here and in the other unit system, and the step of the dial.
	Shown     string `json:"shown,omitempty"`
	ShownAlso string `json:"shownalso,omitempty"`
	Step      string `json:"step,omitempty"`
	// Unit of each column of a table.
	Units []string `json:"units,omitempty"`
}

// Line is one worked line: the formula in its source's letters, the numbers put in, the result.
type Line struct {
	What    string `json:"what"`
	Formula string `json:"formula"`
	Numbers string `json:"numbers"`
	Result  string `json:"result"`
	Source  string `json:"source"`
}

// Caution is a sentence with its level.
type Caution struct {
	Level Level  `json:"level"`
	Text  string `json:"text"`
	// Of a likely slip that is asked about.
	Field string `json:"field,omitempty"`
	// What was likely meant there, as it would be typed.
	Means string `json:"means,omitempty"`
	// The question in a headline.
	Asks string `json:"asks,omitempty"`
}

// Answer is what a worksheet answers. A result that does not apply is absent.
type Answer struct {
	Worksheet string           `json:"worksheet"`
	Inputs    map[string]Given `json:"inputs"`
	Results   map[string]Found `json:"results"`
	Lines     []Line           `json:"lines"`
	Mark      Mark             `json:"mark"`
	// What is said first, and at most three facts; an answer kept before there were any has none.
	Headline string    `json:"headline"`
	Facts    []string  `json:"facts,omitempty"`
	Cautions []Caution `json:"cautions"`
	Sources  []Source  `json:"sources"`
}

// FieldFault is what was wrong with one field; field is "" for the whole.
type FieldFault struct {
	Field   string `json:"field"`
	Message string `json:"message"`
}

// Refused stands in place of an answer.
type Refused struct {
	Error FieldFault `json:"error"`
	// What is asked next, and what is known already.
	Headline string   `json:"headline,omitempty"`
	Facts    []string `json:"facts,omitempty"`
	// Nothing is wrong with what is typed: there is more to come.
	Open bool `json:"open,omitempty"`
}

// Check is a published value, and what the calculations of this version make of it.
type Check struct {
	// Name of the worksheet it belongs to.
	Sheet string `json:"sheet"`
	What  string `json:"what"`
	// As printed, as worked out by this version, and how far apart they may be.
	Expected  string `json:"expected"`
	Got       string `json:"got"`
	Tolerance string `json:"tolerance"`
	Unit      string `json:"unit"`
	Source    string `json:"source"`
	// How the printed value was come by: read, computed, from memory.
	Provenance string `json:"provenance"`
	Pass       bool   `json:"pass"`
}

// RecordKinds is everything the job book knows.
type RecordKinds struct {
	// The version of the form of records.
	Version int          `json:"version"`
	Kinds   []RecordKind `json:"kinds"`
}

// RecordKind is one kind of thing in the job book.
type RecordKind struct {
	Key    string `json:"key"`
	Label  string `json:"label"`
	Plural string `json:"plural"`
	Help   string `json:"help"`
	// Fields that name it, and those for the line under the name.
	Title  []string `json:"title"`
	Detail []string `json:"detail"`
	// Pages that are made for one, and whether the pages read them.
	Pages   []string `json:"pages"`
	OnPaper bool     `json:"onpaper,omitempty"`
	// What there is of them as tables for a spreadsheet: under "" the records, then each table
	// inside one.
	Tables []Option `json:"tables"`
	Fields []Field  `json:"fields"`
}
