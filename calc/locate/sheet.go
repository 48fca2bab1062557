package locate

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/fitting"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet {
	return []*worksheet.Sheet{&edgeSheet, &middleSheet, &centreSheet, &skewSheet, &boltsSheet, &rowSheet, &gridSheet, &pairsSheet, &dialsSheet}
}

// The sources of this package.
var (
	fromGeometry = worksheet.Source{Key: "geometry", Title: "Geometry of edges, circles and turned axes"}
	fromGUM      = worksheet.Source{Key: "GUM", Title: "JCGM 100:2008 Guide to the expression of uncertainty in measurement: 4.2 (repeats), F.2.2.1 (resolution), G.4 (few readings)"}
	fromMH       = worksheet.Source{Key: "MH", Title: "Machinery's Handbook, 31st edition: lengths of chords for spacing off a circle, hole coordinates for jig boring"}
)

var pointColumns = []worksheet.Column{{Key: "x", Label: "X", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}, {Key: "y", Label: "Y", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}}

// points reads a table of X and Y.
func points(v *worksheet.Values, key string) []fitting.Point {
	out := make([]fitting.Point, v.Rows(key))
	for i := range out {
		out[i].X, _ = v.Cell(key, i, 0, "in")
		out[i].Y, _ = v.Cell(key, i, 1, "in")
	}
	return out
}

// at writes a coordinate pair in full.
func at(o *worksheet.Out, p fitting.Point) string { return o.Fill("X {in}, Y {in}", nil, p.X, p.Y) }

// on writes a coordinate pair as the readout shows it.
func on(o *worksheet.Out, p fitting.Point) string {
	return o.Fill("X {readout in}, Y {readout in}", nil, p.X, p.Y)
}

const wheels = "Handwheels, for a machine without a readout"

// leadInput, divInput, turnInput and comeInput ask for the handwheels where a pattern
// offers them.
var (
	leadInput = worksheet.Input{Key: "lead", Label: "Travel in a turn", Kind: worksheet.Length, Example: "0.200", Min: "0.01 in", Max: "2 in", Help: "Of table and saddle: 0.200 in or 5 mm are usual. Empty: no handwheel table.", Section: wheels, Box: "in a turn"}
	divInput  = worksheet.Input{Key: "div", Label: "Division of the dial", Kind: worksheet.Length, Default: "0.001 in", Example: "0.001", Min: "0.0001 in", Max: "0.1 in", Help: "The smallest step of the dials.", Section: wheels}
	turnInput = worksheet.Input{Key: "clock", Label: "Turned clockwise, the dials' numbers", Kind: worksheet.Choice,
		Default: "rise", Section: wheels, Help: clockHelp, Options: clockOptions}
	comeInput = worksheet.Input{Key: "come", Label: "Come to each place", Kind: worksheet.Choice, Default: "up", Section: wheels, Help: comeHelp, Options: comeOptions}
)

const comeHelp = "Always the same way, so that the screw's slack is always on the same side. Set the zeros the same way."

const clockHelp = "As you face the handwheel. On most machines they rise."

var clockOptions = []worksheet.Option{{Key: "rise", Label: "rise"}, {Key: "fall", Label: "fall"}}

var comeOptions = []worksheet.Option{{Key: "up", Label: "with the numbers rising"}, {Key: "down", Label: "with the numbers falling"}}

var holeColumns = []worksheet.Column{{Key: "hole", Label: "Hole", Kind: worksheet.Count}, {Key: "x", Label: "X", Kind: worksheet.Length}, {Key: "y", Label: "Y", Kind: worksheet.Length}}

// What all patterns answer.
var (
	holesResult = worksheet.Result{Key: "holes", Label: "Coordinates", Kind: worksheet.Table, Plan: true,
		Columns: holeColumns}
	wheelsResult = worksheet.Result{Key: "wheels", Label: "Handwheels", Kind: worksheet.Table, Plan: true,
		Help: "Turns from the zero and what the dial shows. 'past' means: go past by half a turn or more, then come " +
			"back to it.", Columns: []worksheet.Column{
			{Key: "hole", Label: "Hole", Kind: worksheet.Count},
			{Key: "xturns", Label: "X turns", Kind: worksheet.Count}, {Key: "xdial", Label: "X dial",
				Kind: worksheet.Length}, {Key: "xhow", Label: "X", Kind: worksheet.Text},
			{Key: "yturns", Label: "Y turns", Kind: worksheet.Count}, {Key: "ydial", Label: "Y dial",
				Kind: worksheet.Length}, {Key: "yhow", Label: "Y", Kind: worksheet.Text}}}
	stepsResult = worksheet.Result{Key: "steps", Label: "Step by step", Kind: worksheet.Lines, Plan: true}
	nearResult  = worksheet.Result{Key: "near", Label: "Metal between the nearest two holes",
		Kind: worksheet.Length, Dial: "left"}
	acrossInput = worksheet.Input{Key: "hole", Label: "Hole diameter", Kind: worksheet.Length, Example: "1/2",
		Min: "0.005 in", Max: "20 in", Box: "hole size", Help: "To see whether the holes run into each other. Empty: not looked at."}
)

// nearest finds the two holes that stand closest; ok is false for fewer than two.
func nearest(p []fitting.Point) (i, j int, apart float64, ok bool) {
	least := math.Inf(1)
	for b := range p {
		for a := range b {
			dx, dy := p[b].X-p[a].X, p[b].Y-p[a].Y
			if d := float64(dx*dx) + float64(dy*dy); d < least-1e-12 {
				i, j, least, ok = a, b, d, true
			}
		}
	}
	if !ok {
		return 0, 0, 0, false
	}
	return i, j, math.Sqrt(least), true
}

var betweenStep = worksheet.Step{What: "Metal between the nearest two holes", Formula: "distance - hole diameter",
	Numbers: "{len} - {len}", Result: "{in}", Source: "geometry"}

// crowded judges holes that stand close, and gives what the verdict says of it.
func crowded(v *worksheet.Values, o *worksheet.Out, holes []fitting.Point) string {
	i, j, apart, ok := nearest(holes)
	if !ok {
		return ""
	}
	two := "Holes " + strconv.Itoa(i+1) + " and " + strconv.Itoa(j+1)
	d := v.In("hole")
	metal := apart - d
	if d > 0 {
		o.Set("near", metal, "in")
		o.Line(&betweenStep, nil, apart, d, metal)
	}
	switch {
	case d == 0 && apart < .001:
		o.Head("Two holes stand in one place", nil)
		o.Head("{s} stand in one place", []string{two})
		o.Caution(two + " stand in one place.")
		return " " + two + " stand in one place."
	case d == 0:
	case metal <= 0:
		dia, between := o.ReadApart("touch", d, apart, "in")
		o.HeadStop("Holes run into each other", nil)
		o.FactStop("holes under {=left in}", nil, apart)
		o.FactStop("{s} holes", []string{strings.TrimSuffix(strings.TrimSuffix(dia, " in"), " mm")})
		o.FactStop("{s}", []string{"holes " + strconv.Itoa(i+1) + " and " + strconv.Itoa(j+1)})
		o.Stop("Holes run into each other: "+dia+" holes, "+between+" apart.",
			two+" overlap. Check the spacing, or take fewer or smaller holes.")
	case metal < d/4:
		which := []string{strconv.Itoa(i + 1), strconv.Itoa(j + 1)}
		o.Head("Holes {s} and {s} nearly meet", which)
		o.Head("Only {=left in} between {s} and {s}", which, metal)
		o.Head("Only {=left in} between holes {s} and {s}", which, metal)
		o.Fact("▲ the drill may break through", nil)
		says := o.Fill("{left in} of metal between holes {s} and {s}", which, metal)
		o.Caution("Only " + says + ": less than a quarter of their diameter. The drill may break through.")
		return " " + says + ": thin."
	}
	return ""
}

// counted writes how many holes there are.
func counted(n int) string { return worksheet.Either(n == 1, "1 hole", strconv.Itoa(n)+" holes") }

// setHoles answers the coordinates.
func setHoles(o *worksheet.Out, holes []fitting.Point) {
	worksheet.SetRows(o, "holes", holes, func(i int, p fitting.Point) []worksheet.Cell {
		return worksheet.Cells("nii", nil, float64(i+1), p.X, p.Y)
	})
}

// patternWheels answers the handwheel table of a pattern, where it was asked for.
func patternWheels(v *worksheet.Values, o *worksheet.Out, holes []fitting.Point) *worksheet.InputError {
	i := goTo(v, o, holes)
	if !v.Has("lead") {
		o.Note("For a readout the slack of the screws does not matter to where the holes are; without one, type the travel in a turn for the handwheels.")
		return nil
	}
	d := Dial{Lead: v.Length("lead"), Div: v.Length("div"), Down: v.Choice("come") == "down",
		Anti: v.Choice("clock") == "fall"}
	if f := d.Check("lead", "div"); f != nil {
		return f
	}
	stepWheel(v, o)
	setWheels(o, holes, d, d)
	if i >= 0 {
		headStop(o, i, d.Stops(lengths(holes, false))[i], d.Stops(lengths(holes, true))[i])
	}
	return nil
}

// lengths gives the X or the Y of places as exact lengths.
func lengths(p []fitting.Point, y bool) []units.Length {
	out := make([]units.Length, len(p))
	for i := range p {
		out[i] = units.FromInches(p[i].X)
		if y {
			out[i] = units.FromInches(p[i].Y)
		}
	}
	return out
}

var turnsDialStep = worksheet.Step{What: "Turns and dial, hole 1, X", Formula: "turns = X/travel rounded down, the rest is on the dial", Numbers: "{len}/{len}", Result: "{s} turns, dial {in}", Source: "practice"}

// setWheels answers the handwheel table and the steps.
func setWheels(o *worksheet.Out, holes []fitting.Point, dx, dy Dial) {
	sx, sy := dx.Stops(lengths(holes, false)), dy.Stops(lengths(holes, true))
	var rows [][]worksheet.Cell
	var steps []string
	worst := units.Length(0)
	for i := range holes {
		rows = append(rows, append(append([]worksheet.Cell{worksheet.Num(float64(i+1), "")}, stopCells(sx[i])...), stopCells(sy[i])...))
		steps = append(steps, "Hole "+strconv.Itoa(i+1)+": X "+stopText(o, dx, sx[i])+"; Y "+stopText(o, dy, sy[i])+".")
		for _, s := range []Stop{sx[i], sy[i]} {
			worst = max(worst, s.Over, -s.Over)
		}
	}
	o.SetTable("wheels", rows)
	o.SetLines("steps", steps)
	if len(holes) > 0 {
		p, s := holes[0], sx[0]
		o.Line(&turnsDialStep, []string{strconv.FormatInt(s.Turns, 10)}, p.X, dx.Lead.Inches(), s.Reading.Inches())
	}
	o.Note(o.Fill("Zero both dials over the pattern's zero, come to it turning {s}, and count turns from there by a "+
		"mark on the wheel, not from hole to hole. Lock the slide you are not moving. The dials' divisions leave "+
		"out up to {doubt in}.", []string{clock(!dx.Down != dx.Anti)}, worst.Inches()))
}

// stepWheel says how finely the handwheels' dials are read.
func stepWheel(v *worksheet.Values, o *worksheet.Out) {
	if o.System == units.MetricSystem {
		o.SetStep("wheel", v.Length("div").MM(), "mm")
		return
	}
	o.SetStep("wheel", v.Length("div").Inches(), "in")
}

func stopCells(s Stop) []worksheet.Cell {
	how := worksheet.Either(s.Past, "past", "on")
	return worksheet.Cells("nis", []string{how}, float64(s.Turns), s.Reading.Inches())
}

// clock names a way of turning a handwheel, as one faces it.
func clock(with bool) string { return worksheet.Either(with, "clockwise", "counter-clockwise") }

// stopText says how to come to a place: which way to turn, to how many turns from the zero, and
// what the dial then shows.
func stopText(o *worksheet.Out, d Dial, s Stop) string {
	turns := s.Turns
	if turns < 0 {
		turns = -turns
	}
	where := worksheet.Either(turns == 1, "1 turn", strconv.FormatInt(turns, 10)+" turns")
	if s.Turns < 0 {
		where += " below zero"
	}
	where += ", dial " + o.Read("wheel", s.Reading.Inches(), "in")
	rising := !d.Anti // clockwise
	to := clock(!d.Down == rising)
	switch {
	case s.Move == 0:
		return "stays at " + where
	case s.Past:
		return clock(d.Down == rising) + " past it by half a turn or more, then " + to + " to " + where
	}
	return to + " to " + where
}
