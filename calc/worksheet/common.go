package worksheet

import "datumbook/calc/units"

// What many worksheets share.

// Practice is the source for unpublished trade practice.
var Practice = Source{Key: "practice", Title: "Common practice, no published source"}

// Verdict is the answer in a sentence or two, the first result of a worksheet.
var Verdict = Result{Key: "verdict", Label: "Answer", Kind: Text, Main: true}

// Digits and units of many results and columns.
var (
	WholeDigits = Digits{Inch: Whole, Metric: Whole}
	FineDigits  = Digits{Inch: 5, Metric: 4} // a hundredth of a thou, a tenth of a micrometre
	Thou        = Units{Inch: "thou", Metric: "um"}
	Arcsec      = Units{Inch: "arcsec", Metric: "arcsec"}
)

// Sense asks which way the needle goes; Turned reads it.
var Sense = Input{Key: "sense", Ask: "Which way does the needle go?", Box: "needle's way", Label: "A larger reading means", Kind: Choice, Default: "near", Section: "Indicator",
	Help:    "Push the tip in with a finger and watch the needle: most indicators read more when pushed in.",
	Options: []Option{{Key: "near", Label: "tip pushed in: surface nearer"}, {Key: "far", Label: "tip let out: surface farther"}}}

// Graduation asks for the step an indicator is read to.
var Graduation = Input{Key: "grad", Ask: "What is its graduation?", Box: "graduation", Needle: true,
	Label: "Indicator graduation", Kind: Length, Section: "Indicator",
	Default: "0.0005 in", Example: "0.0005", Min: "0.00001 in", Max: "0.01 in", Help: "The smallest step you read from the dial."}

// Turned is -1 if the needle moves against the surface, else 1.
func Turned(v *Values) float64 { return Either(v.Choice("sense") == "far", -1.0, 1) }

// Either gives a where a thing holds, else b.
func Either[T any](holds bool, a, b T) T {
	if holds {
		return a
	}
	return b
}

// OptionsOf makes the choices of a list, and others after them.
func OptionsOf[T any](list []T, of func(x T) Option, others ...Option) []Option {
	out := make([]Option, 0, len(list)+len(others))
	for _, x := range list {
		out = append(out, of(x))
	}
	return append(out, others...)
}

// Or gives a quantity in the named unit, or another where nothing is typed.
func (v *Values) Or(key, unit string, other float64) float64 {
	if v.Has(key) {
		return v.As(key, unit)
	}
	return other
}

// SetIf answers as SetAll does, if a condition holds.
func (o *Out) SetIf(holds bool, list string, x ...float64) {
	if holds {
		o.SetAll(list, x...)
	}
}

// RefuseIf says that it cannot be done as asked, if a condition holds. Numbers fill the places of
// the text as Fill does, here and in the next two.
func (o *Out) RefuseIf(holds bool, text string, x ...float64) { o.sayIf(holds, Refusal, text, x) }

// CautionIf says what may fail or hurt, if a condition holds.
func (o *Out) CautionIf(holds bool, text string, x ...float64) { o.sayIf(holds, Warning, text, x) }

// NoteIf says what was assumed, if a condition holds.
func (o *Out) NoteIf(holds bool, text string, x ...float64) { o.sayIf(holds, Remark, text, x) }

func (o *Out) sayIf(holds bool, l Level, text string, x []float64) {
	if holds {
		o.say(l, o.Fill(text, nil, x...))
	}
}

// Scaled writes a number with at most so many decimals and its unit; in the
// metric system times a factor first, with decimals and a unit of its own.
func (o *Out) Scaled(x float64, places int, unit string, times float64, metric int, metricUnit string) string {
	if o.System == units.MetricSystem {
		x, places, unit = float64(x*times), metric, metricUnit
	}
	return o.Dec(x, places) + unit
}

// SetRows answers a table with a row for each item of a list; nil rows are left out.
func SetRows[T any](o *Out, key string, list []T, row func(i int, x T) []Cell) {
	o.setEach(key, len(list), func(i int) []Cell { return row(i, list[i]) })
}

func (o *Out) setEach(key string, n int, row func(i int) []Cell) {
	var rows [][]Cell
	for i := range n {
		if r := row(i); r != nil {
			rows = append(rows, r)
		}
	}
	o.SetTable(key, rows)
}

// cellUnits are the letters of Cells that stand for numbers.
var cellUnits = [...]struct {
	letter byte
	unit   string
}{{'n', ""}, {'i', "in"}, {'d', "deg"}, {'a', "arcsec"}, {'%', "%"}, {'f', "lbf"}, {'/', "in/in"}, {'v', "in3"}, {'w', "lb"}}

// Cells makes a row from a letter for each cell: s is the next text, the others
// the next number - n as it is, i in inches, d in degrees, a in seconds of angle,
// % in per cent, f in lbf, / in in/in, v in cubic inches, w in pounds.
func Cells(kinds string, texts []string, x ...float64) []Cell {
	out := make([]Cell, len(kinds))
	for i := range out {
		if kinds[i] == 's' {
			out[i], texts = Txt(texts[0]), texts[1:]
			continue
		}
		for k := range cellUnits {
			if cellUnits[k].letter == kinds[i] {
				out[i] = Num(x[0], cellUnits[k].unit)
			}
		}
		x = x[1:]
	}
	return out
}
