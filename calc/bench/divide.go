package bench

import (
	"math"
	"slices"
	"strconv"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Index is one way to step a dividing head: whole turns of the crank and holes
// more on a circle. Holes counts spaces, not the hole the pin starts in.
type Index struct {
	Circle, Turns, Holes int
	Off                  float64 // degrees of work by which one step is off
}

// Exact reports whether the step has no error.
func (i Index) Exact() bool { return i.Off == 0 }

// Divide finds how to turn the work by num/den of a revolution with a worm of
// the given ratio, on each circle: exact ones first, then the nearest. The
// numbers are whole and positive; num ratio circle must stay below 1e18.
func Divide(num, den int64, ratio int, circles []int) []Index {
	var found []Index
	for _, c := range circles {
		// Steps of the crank, in holes: num ratio c/den.
		top := num * int64(ratio) * int64(c)
		holes := (top + den/2) / den
		off := float64(holes*den-top) / float64(den) * 360 / float64(ratio) / float64(c)
		found = append(found, Index{c, int(holes / int64(c)), int(holes % int64(c)), off})
	}
	var out []Index
	for _, i := range units.Order(len(found), func(i, j int) bool {
		x, y := math.Abs(found[i].Off), math.Abs(found[j].Off)
		return x < y || x == y && found[i].Circle < found[j].Circle
	}) {
		out = append(out, found[i])
	}
	return out
}

// plates lists the hole circles of the plates in common use.
var plates = []struct {
	key     string
	circles []int
}{
	{"three", []int{15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33, 37, 39, 41, 43, 47, 49}},
	{"two", []int{24, 25, 28, 30, 34, 37, 38, 39, 41, 42, 43, 46, 47, 49, 51, 53, 54, 57, 58, 59, 62, 66}},
}

// wholeTurn is a revolution in thousandths of a second of angle.
const wholeTurn = 360 * 3600 * 1000

var divideSheet = worksheet.Sheet{
	Name: "divide", Title: "Dividing", Question: "How many turns and holes to the next division?", Group: group, Drawing: "divide",
	About: []string{
		"Turns of the crank and holes of a plate for a number of divisions or an angle, on a dividing head or rotary table of any ratio. Where no circle does it exactly, the nearest is given with its error, and a list of places that keeps the error from adding up.",
		"Holes are spaces: the hole the pin stands in is not counted.",
	},
	Inputs: []worksheet.Input{
		{Key: "divisions", Label: "Divisions", Kind: worksheet.Count, Ask: "How many?", Box: "how many", Example: "7", Min: "2", Max: "3600", Help: "Equal parts of the whole turn. Give this or the angle."},
		{Key: "angle", Label: "Angle", Kind: worksheet.Angle, Ask: "What angle?", Box: "or angle", Example: "35", Min: "0.001", Max: "360", Help: "The step in degrees. Give this or the divisions."},
		{Key: "ratio", Label: "Turns of the crank to one of the work", Kind: worksheet.Count, Ask: "What ratio?", Box: "ratio", Default: "40", Min: "1", Max: "360", Help: "40 for most dividing heads; 60, 72 or 90 for many rotary tables; 1 for direct dividing."},
		{Key: "plates", Label: "Plates", Kind: worksheet.Choice, Default: "three", Help: "The plates owned.", Options: []worksheet.Option{{Key: "three", Label: "three plates, 15 to 49"}, {Key: "two", Label: "one plate with two sides, 24 to 66"}, {Key: "mine", Label: "my own circles"}}},
		{Key: "mine", Label: "My circles", Kind: worksheet.List, Ask: "Which circles?", Box: "your circles", Example: "15 16 17 18 19 20", MaxRows: 60, Help: "Holes in each circle, where the plates are 'my own circles'.", Columns: []worksheet.Column{{Key: "holes", Label: "Holes", Kind: worksheet.Count, Min: "2", Max: "1000"}}},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "exact", Label: "Exact", Kind: worksheet.Flag},
		{Key: "turns", Label: "Whole turns", Kind: worksheet.Count, Main: true, Plan: true,
			Digits: worksheet.WholeDigits},
		{Key: "holes", Label: "Holes more", Kind: worksheet.Count, Main: true, Plan: true,
			Digits: worksheet.WholeDigits},
		{Key: "circle", Label: "On the circle of", Kind: worksheet.Count, Main: true, Plan: true,
			Digits: worksheet.WholeDigits},
		{Key: "step", Label: "Step of the work", Kind: worksheet.Angle, Dial: "sine"},
		{Key: "dial", Label: "On a degree dial of the crank", Kind: worksheet.Text, Plan: true,
			Help: "For a table whose crank has a dial in degrees and minutes of the work instead of plates."},
		{Key: "off", Label: "One step off by", Kind: worksheet.Angle, Dial: "two", Units: worksheet.Arcsec},
		{Key: "sum", Label: "Last division off by", Kind: worksheet.Angle, Dial: "two", Units: worksheet.Arcsec,
			Help: "If the same step is made every time."},
		{Key: "ways", Label: "Other circles", Kind: worksheet.Table, Plan: true,
			Columns: []worksheet.Column{{Key: "circle", Label: "Circle", Kind: worksheet.Count}, {Key: "turns",
				Label: "Turns", Kind: worksheet.Count}, {Key: "holes", Label: "Holes", Kind: worksheet.Count},
				{Key: "off", Label: "Off by", Kind: worksheet.Angle, Units: worksheet.Arcsec}}},
		{Key: "places", Label: "Places from the start", Kind: worksheet.Table, Plan: true,
			Help: "Counted from the first place each time, so that the error does not add up.",
			Columns: []worksheet.Column{{Key: "number", Label: "Division", Kind: worksheet.Count}, {Key: "turns",
				Label: "Turns", Kind: worksheet.Count}, {Key: "holes", Label: "Holes", Kind: worksheet.Count},
				{Key: "off", Label: "Off by", Kind: worksheet.Angle, Units: worksheet.Arcsec}}},
	},
	Sources: []worksheet.Source{{Key: "OD1644", Title: "US Army correspondence course OD1644 Milling Machine Operations: plain and angular indexing"}, {Key: "MH", Title: "Machinery's Handbook: indexing for angles, simple indexing"}, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "divisions", Text: "7"}},
	Compute: computeDivide,
}

// Worked lines of computeDivide.
var (
	turnsCrankStep = worksheet.Step{What: "Turns of the crank for one division", Formula: "ratio/divisions",
		Numbers: "{s}/{s}", Result: "{6}", Source: "OD1644"}
	offHoleStep = worksheet.Step{What: "One step off by, and half a hole of the largest circle",
		Formula: "(holes/(ratio circle) - step) 360", Numbers: "ratio {s}, circle {s}",
		Result: "{2} arcsec, {2} arcsec", Source: "OD1644"}
	turnsCrankStep2 = worksheet.Step{What: "Turns of the crank", Formula: "angle x ratio/360", Numbers: "{6} x {s}/360", Result: "{6}", Source: "MH"}
)

func computeDivide(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	var circles []int
	for _, p := range plates {
		if p.key == v.Choice("plates") {
			circles = p.circles
		}
	}
	if circles == nil {
		if v.Rows("mine") == 0 {
			return v.Refuse("mine", "the plates are your own and no circles are given. Type the holes of each circle.")
		}
		for _, c := range v.List("mine", "") {
			circles = append(circles, int(c))
		}
	}
	num, den, times := int64(1), int64(v.Num("divisions")), int(v.Num("divisions"))
	switch byN, byAngle := v.Given("divisions"), v.Given("angle"); {
	case byN && byAngle:
		o.HeadStop("Number or angle, not both", nil)
		return v.Refuse("angle", "divisions and angle are both given. Give one and leave the other empty.")
	case !byN && !byAngle:
		return v.Refuse("divisions", "is missing, and so is the angle. Type one of them, like 7.")
	case byAngle:
		num, den, times = int64(math.Round(v.As("angle", "deg")*wholeTurn/360)), wholeTurn, 1
	}
	ratio := int(v.Num("ratio"))
	ways := Divide(num, den, ratio, circles)
	best := ways[0]
	if best.Turns == 0 && best.Holes == 0 {
		o.HeadStop("Less than half a hole", nil)
		o.FactStop("more holes, or a higher ratio", nil)
		return v.Refuse("ratio", "the step is less than half a hole of every circle. Take plates with more holes or a higher ratio.")
	}
	step := float64(num) * 360 / float64(den)
	o.SetFlag("exact", best.Exact())
	o.SetAll("turns, holes, circle, step deg, off arcsec, sum arcsec",
		float64(best.Turns), float64(best.Holes), float64(best.Circle), step, best.Off*3600, best.Off*3600*float64(times))
	turns := int64(ratio) * num / den
	rest := step - float64(turns)*360/float64(ratio)
	dial := dms(max(0, rest))
	if turns > 0 {
		dial = plural(int(turns), "turn") + " and " + dial
	}
	o.SetText("dial", dial)
	move := func(turns, holes, circle int) string {
		on := plural(holes, "hole") + " on the " + strconv.Itoa(circle) + " circle"
		switch {
		case holes == 0:
			return plural(turns, "turn")
		case turns == 0:
			return on
		}
		return plural(turns, "turn") + " and " + on
	}
	verdict := move(best.Turns, best.Holes, best.Circle)
	o.Head("{s}", []string{best.move(true)})
	// Counted from the start a place is off by half a hole at the most.
	half := 180 / float64(ratio) / float64(slices.Max(circles))
	switch off := math.Abs(best.Off); {
	case best.Exact():
		verdict += ", exactly."
	case off*3600 < 0.5 && off*float64(times)*3600 < 30:
		verdict += ", to half a second of angle."
	case times == 1 && off > step/20, times > 1 && half > step/20:
		o.HeadStop("Ratio {s} has no such step", []string{strconv.Itoa(ratio)})
		o.FactStop("nearest is {s} off", []string{slight(o, off)})
		o.FactStop("other plates, or a higher ratio", nil)
		o.Stop(o.Fill("Ratio {s} with these circles has no such step: nearest is off {sine deg} in {sine deg}.",
			[]string{strconv.Itoa(ratio)}, off, step),
			"Take plates with more or other holes, a higher ratio, or compound or differential dividing by the "+
				"head's own table.")
	case times == 1:
		verdict += o.Fill(", off {sine deg}.", nil, off)
		o.Caution("Not exact: no circle of these does it.")
		o.Head("{s}: {s} off", []string{best.move(false), slight(o, off)})
		o.Fact("no circle does it exactly", nil)
	default:
		verdict = o.Fill("Use the list of places: no circle does it exactly. Nearest is {s}, off {sine deg} a step, "+
			"{sine deg} at the last.", []string{verdict}, off, off*float64(times))
		o.Head("{s}: {s} a step", []string{best.move(false), slight(o, off)})
		o.Head("{s}: {s} a step, {s} in all", []string{best.move(false), slight(o, off),
			slight(o, off*float64(times))})
		o.Fact(worksheet.Either(times <= mostPlaces, "use the places: it does not add up", "it adds up: compound dividing"), nil)
		o.Caution("Made step by step the error adds up into the last space. Count from the start by the list of " +
			"places, or use compound or differential dividing by the head's own table.")
	}
	if best.Holes > 0 {
		o.Fact("sector {s}", []string{plural(best.Holes, "space")})
		o.Fact("the pin's own hole not counted", nil)
	}
	o.Line(&offHoleStep, []string{strconv.Itoa(ratio), strconv.Itoa(best.Circle)}, best.Off*3600, half*3600)
	o.SetText("verdict", verdict)
	var rows [][]worksheet.Cell
	for _, w := range ways[1:] {
		if best.Exact() && !w.Exact() || len(rows) == 6 {
			break
		}
		rows = append(rows, indexRow(w.Circle, w.Turns, w.Holes, w.Off))
	}
	o.SetTable("ways", rows)
	if !best.Exact() && times > 1 && times <= mostPlaces {
		o.SetTable("places", places(times, ratio, slices.Max(circles)))
		o.NoteIf(half <= step/20, "The list of places is for the "+strconv.Itoa(slices.Max(circles))+" circle.")
	}
	if times > 1 {
		o.Line(&turnsCrankStep, []string{strconv.Itoa(ratio), strconv.Itoa(times)}, float64(ratio)/float64(times))
	} else {
		o.Line(&turnsCrankStep2, []string{strconv.Itoa(ratio)}, step, step*float64(ratio)/360)
	}
	o.Work("On the circle of "+strconv.Itoa(best.Circle), "whole turns, and the rest times the circle's holes", strconv.Itoa(best.Turns)+" + "+strconv.Itoa(best.Holes)+"/"+strconv.Itoa(best.Circle),
		o.Dec(float64(best.Turns)+float64(best.Holes)/float64(best.Circle), 6), "OD1644")
	o.Note("Turn the crank one way only and come up to every hole from the same side; if it is passed, go back half a turn and come again. Lock the spindle before cutting.")
	o.Cite("practice")
	return nil
}

// mostPlaces is how many places are listed.
const mostPlaces = 200

// move says how far the crank goes: 3 turns + 21 holes, circle 33, or short: 3 + 21 on 33.
func (i Index) move(long bool) string {
	turns, holes, circle := strconv.Itoa(i.Turns), strconv.Itoa(i.Holes), strconv.Itoa(i.Circle)
	switch {
	case i.Holes == 0:
		return plural(i.Turns, "turn") + worksheet.Either(long, ", to the same hole", "")
	case long && i.Turns == 0:
		return plural(i.Holes, "hole") + ", circle " + circle
	case long:
		return plural(i.Turns, "turn") + " + " + plural(i.Holes, "hole") + ", circle " + circle
	case i.Turns == 0:
		return holes + " on " + circle
	}
	return turns + " + " + holes + " on " + circle
}

// slight writes a small angle in degrees: in seconds, minutes or degrees, whichever it fills.
func slight(o *worksheet.Out, deg float64) string {
	switch s := math.Abs(deg) * 3600; {
	case s < 9.95:
		return o.Dec(s, 1) + "\""
	case s < 59.5:
		return o.Dec(s, 0) + "\""
	case s < 59.5*60:
		return o.Dec(s/60, 0) + "'"
	default:
		return o.Dec(s/3600, 1) + "°"
	}
}

func indexRow(a, turns, holes int, off float64) []worksheet.Cell {
	return worksheet.Cells("nnna", nil, float64(a), float64(turns), float64(holes), off*3600)
}

// places lists where each division lies, counted from the start on one circle.
func places(n, ratio, circle int) [][]worksheet.Cell {
	var rows [][]worksheet.Cell
	for i := 1; i <= n; i++ {
		x := Divide(int64(i), int64(n), ratio, []int{circle})[0]
		rows = append(rows, indexRow(i, x.Turns, x.Holes, x.Off))
	}
	return rows
}
