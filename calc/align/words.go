package align

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Repeats asks for the needle's own repeat, which takes the place of the usual habit.
var Repeats = worksheet.Input{Key: "repeat", Ask: "What does the needle repeat to?", Box: "repeats to", Needle: true,
	Label: "Needle repeats to", Kind: worksheet.Length, Example: "0.0001",
	Min: "0 in",
	Max: "0.01 in", Section: "Indicator",
	Help: "Standard deviation of one reading taken again: a third of what five differ by, about. Empty: a quarter " +
		"of the graduation."}

// Side asks where the indicator stands: it says which way is back.
var Side = worksheet.Input{Key: "side", Label: "Indicator stands", Ask: "Where does the indicator stand?",
	Box: "indicator", Kind: worksheet.Choice, Default: "front", Section: "Indicator",
	Help: "On which side of the face. Away from it is back, forward or down.",
	Options: []worksheet.Option{{Key: "front", Label: "before the face, on your side"},
		{Key: "column", Label: "behind it, on the column's side"}, {Key: "above", Label: "above a face that lies flat"}}}

// Way is the word for a move at an end: + is towards the indicator.
func Way(v *worksheet.Values, move float64) string {
	k := worksheet.Either(move > 0, 1, 0)
	switch v.Choice("side") {
	case "column":
		k = 1 - k
	case "above":
		k += 2
	}
	return [...]string{"back", "forward", "down", "up"}[k]
}

// ReadingColumn is a column of what an indicator shows.
func ReadingColumn(key, label, box string) worksheet.Column {
	return worksheet.Column{Key: key, Label: label, Box: box, Needle: true, Kind: worksheet.Length, Min: "-100 in",
		Max: "100 in"}
}

// FromDecision is the source of flags and doubts.
var FromDecision = worksheet.Source{Key: "JCGM 106", Title: "JCGM 106:2012 The role of measurement uncertainty in " +
	"conformity assessment: 8.2 (simple acceptance)"}

// Dialled are the units a needle is read in.
var Dialled = worksheet.Units{Inch: "thou", Metric: "mm"}

// Unread is what a dial says of a number too small for it.
const Unread = "nothing you could read"

// Read writes a length, given in inches, as it is read on a dial.
func Read(o *worksheet.Out, dial string, inches float64) string { return o.Read(dial, inches, "in") }

// Apart writes two lengths so that the larger can be told.
func Apart(o *worksheet.Out, dial string, a, b float64) (string, string) {
	if math.Abs(a-b) < 2*hair {
		a = b
	}
	return o.ReadApart(dial, a, b, "in")
}

// Steps says that the needle is read to half its graduation.
func Steps(o *worksheet.Out, grad float64) {
	half := grad / 2 * (1 + hair)
	for _, dial := range [...]string{"needle", "aim", "reads", "hollow"} {
		o.SetStep(dial, half, "in")
	}
	if grad < .0002 {
		o.SetStep("doubt", half, "in")
	}
}

// travel is more than readings of one face differ by, inches.
const travel = .1

// Slip asks whether thousandths were typed as inches, or hundredths and microns as millimetres: the
// readings differ by more than an indicator's do. The verdict is then the question, unless they are
// meant as they are.
func Slip(o *worksheet.Out, grad, low, high, over float64, asks ...Meant) bool {
	if high-low <= travel+hair || slices.ContainsFunc(asks, func(a Meant) bool { return o.Meant(a.Field) }) {
		return false
	}
	unit := "thou typed as inches"
	if o.System == units.MetricSystem {
		unit = worksheet.Either(coarse(grad), "hundredths", "microns") + " typed as millimetres"
	}
	size := "Readings " + Full(o, high-low) + " apart"
	if over == 0 {
		size = "A reading of " + Full(o, high-low)
	}
	o.SetText("verdict", size+": "+unit+"?")
	q := func(y float64) string {
		meant := Shop(noughtless(AsMeant(o, y, grad)))
		if o.System == units.MetricSystem {
			meant = AsMeant(o, y, grad) + worksheet.Either(coarse(grad), " mm", "")
		}
		return Full(o, y) + "? Or " + meant + "?"
	}
	most := worksheet.Either(-low > high, low, high)
	o.Head("Were "+unit+"?", nil)
	o.Head(q(most), nil)
	for _, a := range asks {
		o.AskIn(a.Field, q(worksheet.Either(a.Y == 0, most, a.Y)), a.Means, a.What+size+worksheet.Either(over > 0, " over "+Long(o, over), "")+
			": no indicator reads that. Were "+unit+"? Then type "+a.Means+".")
	}
	return true
}

// Meant is what is to be typed in a field in place of a slip, and the reading of a field of one.
type Meant struct {
	Field, Means, What string
	Y                  float64
}

// coarse is a needle of hundredths of a millimetre, not of microns.
func coarse(grad float64) bool { return grad*25.4 > .0049 }

// AsMeant writes a reading, given in inches, as it was likely meant.
func AsMeant(o *worksheet.Out, y, grad float64) string {
	switch {
	case y == 0:
		return "0"
	case o.System != units.MetricSystem:
		return o.Dec(y, 6) + " thou"
	case coarse(grad):
		return o.Dec(y*.254, 6)
	}
	return o.Dec(y*25.4, 6) + " um"
}

// Table makes Meant of a table: the first columns as they are, the rest readings.
func Table(v *worksheet.Values, o *worksheet.Out, key string, first, readings int, grad float64,
	places string) []Meant {
	var rows []string
	for i := range v.Rows(key) {
		var cells []string
		for j := range first + readings {
			x, set := v.Cell(key, i, j, places)
			switch {
			case !set:
				cells = append(cells, "")
			case j >= first:
				y, _ := v.Cell(key, i, j, "in")
				cells = append(cells, AsMeant(o, y, grad))
			case places == "in" && o.System == units.MetricSystem:
				cells = append(cells, o.Dec(x*25.4, 6))
			default:
				cells = append(cells, o.Dec(x, 6))
			}
		}
		rows = append(rows, strings.TrimRight(strings.Join(cells, ", "), ", "))
	}
	return []Meant{{Field: key, Means: strings.Join(rows, "; ")}}
}

// size is the lean as the needle shows it. Where it would read the same as what is allowed though
// it is not, all of the answer is told with a digit more.
func (l *Lean) size(o *worksheet.Out) string {
	off := math.Abs(l.T)
	if math.Abs(off-l.Allow) > 2*hair && Read(o, "needle", off) == Read(o, "needle", l.Allow) {
		o.SetStep("needle", l.noise.Grad/20, "in")
	}
	s, _ := Apart(o, "needle", off, l.Allow)
	return s
}

// Says writes the lean as a verdict that an action or nothing may follow: in and out are what it is
// called, over what it was read across, ends what is read again to be surer.
func (l *Lean) Says(o *worksheet.Out, in, out, over, ends string) string {
	wanted, sure := ", wanted within "+Full(o, l.Allow), Read(o, "doubt", l.U)
	size := l.size(o) + over
	switch {
	case l.Out && l.Sure:
		return out + " by " + size + wanted + "."
	case l.Out:
		return out + " by " + size + wanted + ", as near as this needle shows: sure only to " + sure + "."
	case l.Sure:
		return in + ": " + size + wanted + ", sure to " + sure + "."
	}
	return in + ", as near as this needle shows: " + size + wanted + ", sure only to " + sure + ". " + l.Cure(o, ends)
}

// Needles sold, coarsest first, in inches and in millimetres.
var (
	inchNeedles = []float64{.001, .0005, .0001, .00005}
	mmNeedles   = []float64{.01 / 25.4, .002 / 25.4, .001 / 25.4}
)

// Cure says what would make sure of a lean that is not: readings more, or a finer needle.
func (l *Lean) Cure(o *worksheet.Out, ends string) string {
	switch {
	case l.More == 1:
		return "One more reading of " + ends + " that agrees makes it sure."
	case l.More > 1:
		return strconv.Itoa(l.More) + " more readings of " + ends + " that agree make it sure."
	}
	if g := l.finer(needles(o)); g > 0 {
		return "A needle of " + Full(o, g) + " would settle it; more readings with this one do not."
	}
	return "It lies so near the limit that no needle settles it: bring it nearer, or allow more."
}

// Warn adds the caution of a lean that is out, or not sure to be in.
func (l *Lean) Warn(o *worksheet.Out, ends string) {
	switch {
	case l.Out && l.Sure:
		o.Caution("More than you allow: what is cut now comes out as far off.")
	case l.Out:
		o.Caution("More than you allow, by what was read. " + l.Cure(o, ends))
	case !l.Sure:
		o.Caution("The doubt of " + Read(o, "doubt", l.U) + " reaches past what you allow.")
	}
}

// Says stops an answer for a trouble; place names where it is.
func (t *Trouble) Says(o *worksheet.Out, place string) {
	size, limit := Apart(o, "needle", t.Size, t.Limit)
	t.first(o, place, size)
	if t.Drift {
		o.Stop(Upper(place)+" reads "+size+" off what it read at first: something moved.",
			"More than "+limit+" between the first reading and the return to it: look for what moved - the stand, "+
				"the part, a clamp, warmth - and read the whole again. Nothing is moved on these readings.")
		return
	}
	o.Stop(Upper(place)+" reads "+size+" apart: it does not repeat.",
		"One place read twice may differ by "+limit+" with this needle: something is loose - a gib, the "+
			"indicator's arm, the part - or a chip came under the tip. Find it and read again; nothing is moved "+
			"until it repeats.")
}

// Upper writes a sentence's first letter, a plain small one, large.
func Upper(s string) string { return string(s[0]-'a'+'A') + s[1:] }

// Worked lines of a lean.
var (
	repeatStep = worksheet.Step{What: "A reading repeats to, of {s}", Formula: "s = sqrt((8 s0^2 + SS)/(8 + n))",
		Numbers: "s0 {s}, SS {s}, n {0}", Result: "{s}", Source: "GUM"}
	doubtStep = worksheet.Step{What: "Sure to, {s}", Formula: "U = sqrt(t^2 s^2 sum(w^2/m) + k^2 sum(w^2) d^2/12)",
		Numbers: "t {3}, s {s}, sum {3}, k {2}, sum {3}, d {s}", Result: "{s}", Source: "GUM"}
	ruleStep = worksheet.Step{What: "Held against what is allowed", Formula: "|T| <= A: in",
		Numbers: "T {s}, A {s}", Result: "{s}", Source: "JCGM 106"}
	sureStep = worksheet.Step{What: "And the doubt", Formula: "{s}", Numbers: "{s}", Result: "{s}",
		Source: "JCGM 106"}
)

// Work writes how a lean was judged.
func (l *Lean) Work(o *worksheet.Out, name string) {
	n := &l.noise
	t, k := n.factors()
	var many, once float64
	for i, w := range l.squares {
		many += w / float64(l.counts[i])
		once += w
	}
	line := func(step worksheet.Step, title string, s []string, x ...float64) {
		step.What = o.Fill(step.What, []string{title})
		o.Line(&step, s, x...)
	}
	how := worksheet.Either(n.Habit > 0, "the repeat typed, and the repeats",
		"a quarter of the graduation, and the repeats")
	line(repeatStep, how, []string{FullBare(o, n.prior()), o.Dec(n.ss*worksheet.Either(o.System == units.MetricSystem,
		25.4*25.4, 1e6), 6), Full(o, n.SD())}, float64(n.free))
	line(doubtStep, name, []string{FullBare(o, n.SD()), FullBare(o, n.Grad), Full(o, l.U)}, t, many, k, once)
	o.Line(&ruleStep, []string{FullBare(o, math.Abs(l.T)), FullBare(o, l.Allow), worksheet.Either(l.Out, "out", "in")})
	step := sureStep
	sign := worksheet.Either(l.Out, " - ", " + ")
	sum := math.Abs(l.T) + worksheet.Either(l.Out, -l.U, l.U)
	step.Formula = "|T|" + sign + "U " + worksheet.Either(l.Out, "> A", "<= A")
	o.Line(&step, []string{FullBare(o, math.Abs(l.T)) + sign + FullBare(o, l.U) + " = " + FullBare(o, sum) + ", A " +
		FullBare(o, l.Allow),
		worksheet.Either(l.Sure, "sure", "not sure")})
}
