package locate

import (
	"math"
	"strconv"

	"datumbook/calc/fitting"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

var tipInput = worksheet.Input{Key: "tip", Label: "Tip of the finder", Ask: "What tip?", Box: "tip",
	Kind: worksheet.Length, Default: "0.2 in", Example: "0.2", Min: "0 in", Max: "4 in",
	Help: "Diameter of what touches: 0.200 or 0.500 in, 10 or 6 mm are usual. Measure it once."}

var sideOptions = []worksheet.Option{{Key: "left", Label: "left of the edge"},
	{Key: "right", Label: "right of the edge"}, {Key: "front", Label: "in front of it"}, {Key: "back", Label: "behind it"}}

var edgeSheet = worksheet.Sheet{
	Name: "edge", Title: "Edge finder", Question: "Where is the edge?", Group: "where",
	About: []string{
		"When the finder kicks over, the spindle stands half its tip away from the edge. Add or take it off on the right side, and the edge is known; set the readout while touching, and it is zero.",
		"Coordinates count to the right and to the back, as the spindle stands over the part. Come to the edge from outside, slowly, and always the same way as the slack is taken up.",
	},
	Drawing: "edge",
	Inputs: []worksheet.Input{
		{Key: "side", Label: "The finder stands", Ask: "Which side?", Kind: worksheet.Choice, Default: "left", Help: "Of the edge: outside the part, or in a hole against its wall.",
			Options: sideOptions},
		tipInput,
		{Key: "reads", Label: "Readings", Ask: "What does it read?", Box: "reads", Kind: worksheet.List, Example: "3.4172, 3.4170, 3.4171", MinRows: 1, MaxRows: 10, Help: "What the readout showed at the touch; two or three tries show how well it repeats. Empty: only what to set.",
			Columns: []worksheet.Column{{Key: "read", Label: "Reading", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}}},
		{Key: "want", Label: "The edge shall be", Ask: "The edge shall be at?", Box: "edge at", Kind: worksheet.Length, Default: "0 in", Example: "0", Min: "-500 in", Max: "500 in", Help: "The coordinate you want the edge to have."},
		{Key: "gap", Label: "Paper or feeler between", Ask: "How thick a feeler?", Box: "feeler", Kind: worksheet.Length, Default: "0 in", Example: "0.003", Min: "0 in", Max: "1 in", Help: "For touching off with a pin or a cutter and a feeler. Spindle stopped for that.", Section: "More"},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "set", Label: "Set the readout, while touching, to", Kind: worksheet.Length, Main: true, Plan: true,
			Dial: "finder"},
		{Key: "move", Label: "Move to stand over the edge", Kind: worksheet.Length, Main: true, Plan: true,
			Dial: "finder", Help: "+ to the right or to the back."},
		{Key: "at", Label: "The edge is at", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Plan: true, Dial: "finder"},
		{Key: "offset", Label: "Half the tip, and the gap", Kind: worksheet.Length},
		{Key: "sure", Label: "Sure to, plus or minus", Kind: worksheet.Length, Dial: "doubt",
			Digits: worksheet.FineDigits, Help: "From the repeats, at about 95 %. The finder's own error is not in " +
				"it."},
		{Key: "spread", Label: "Readings differ by", Kind: worksheet.Length, Digits: worksheet.FineDigits},
	},
	Sources: []worksheet.Source{fromGeometry, fromGUM, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "side", Text: "left"}, {Key: "reads", Text: "3.4172, 3.4170, 3.4171 in"}},
	Compute: edgeCompute,
}

// mostSpread is the most that tries at one edge should differ by, in inches; three times it and
// they mean nothing. Common practice, no published source.
const mostSpread = .001

// Worked lines of edgeCompute.
var (
	halfTipStep      = worksheet.Step{What: "Half the tip, and the gap", Formula: "t/2 + gap", Numbers: "{len}/2 + {len}", Result: "{in}", Source: "geometry"}
	readoutWhileStep = worksheet.Step{What: "Readout while touching", Formula: "wanted - (t/2 + gap) towards the edge", Numbers: "{len}{s}{len}", Result: "{in}", Source: "geometry"}
	edgeStep         = worksheet.Step{What: "Edge", Formula: "mean reading + (t/2 + gap) towards it", Numbers: "{len}{s}{len}", Result: "{in}", Source: "geometry"}
	spreadStep       = worksheet.Step{What: "Tries differ by", Formula: "most less least", Numbers: "{s} readings",
		Result: "{in}", Source: "practice"}
	sureAboutStep = worksheet.Step{What: "Sure to, about 95 %", Formula: "U = t s/sqrt(n)", Numbers: "{s} readings",
		Result: "{in}", Source: "GUM"}
)

func edgeCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	side := Side(v.Choice("side"))
	if v.In("tip") == 0 && v.In("gap") == 0 {
		return v.Refuse("tip", "a tip of no size has no edge. Type its diameter, like 0.2.")
	}
	e, f := FindEdge(side, v.In("tip"), v.In("gap"), v.In("want"), v.List("reads", "in"))
	if f != nil {
		return f
	}
	axis, way := "X", "right"
	if side == Front || side == Back {
		axis, way = "Y", "back"
	}
	if e.Move < 0 {
		way = worksheet.Either(axis == "X", "left", "front")
	}
	says := o.Fill("While it touches, set {s} to {finder in}; the edge is then {finder in}. Move {finder in} to "+
		"the {s} to stand over it.", []string{axis, way}, e.Set, v.In("want"), e.Offset)
	askTip(v, o)
	o.AskUnit(v, "gap", 0, .25)
	agree := ""
	if v.Given("side") {
		o.Head("Touching: set {s} to {=finder in}", []string{axis}, e.Set)
	} else {
		o.Wants("side")
	}
	o.SetAll("set in, move in, offset in", e.Set, e.Move, e.Offset)
	sign := worksheet.Either(e.Move < 0, " - ", " + ")
	o.Line(&halfTipStep, nil, v.In("tip"), v.In("gap"), e.Offset)
	o.Line(&readoutWhileStep, []string{minus(sign)}, v.In("want"), e.Offset, e.Set)
	if e.HasAt {
		o.SetAll("at in, spread in", e.At, e.Spread)
		o.Line(&edgeStep, []string{sign}, e.At-e.Move, e.Offset, e.At)
		o.Line(&spreadStep, []string{strconv.Itoa(v.Rows("reads"))}, e.Spread)
		if e.Sure > 0 {
			o.Set("sure", e.Sure, "in")
			o.Line(&sureAboutStep, []string{strconv.Itoa(v.Rows("reads"))}, e.Sure)
		}
		o.AskUnits(v, "reads", farthest([]fitting.Point{{X: e.At}}), .05, mostTravel)
		apart := o.Read("hollow", e.Spread, "in")
		switch {
		case e.Spread > 3*mostSpread:
			o.HeadStop("Tries {hollow in} apart: clean it", nil, e.Spread)
			o.HeadStop("Tries far apart: clean it", nil)
			o.FactStop("burr, scale or a chip", nil)
			o.FactStop("then touch again", nil)
			o.Stop("Tries "+apart+" apart: clean it and touch again.",
				"A finder repeats to two to five tenths: a burr, a chip, scale, a finder that sticks, or a slide "+
					"that is not locked.")
		case e.Spread > mostSpread:
			says += " The tries are " + apart + " apart."
			o.Fact("▲ tries {hollow in} apart", nil, e.Spread)
			o.Caution("The touches differ by more than a thou: a burr, a chip, a finder that sticks, or a slide " +
				"that is not locked.")
		case v.Rows("reads") > 1:
			says += " The tries agree to " + worksheet.Either(e.Spread > 0, apart, "what the readout shows") + "."
			agree = "tries agree" + worksheet.Either(e.Spread > 0, " to "+apart, "")
		}
	}
	if v.Given("side") {
		o.Fact(worksheet.Either(v.In("want") == 0, "then the edge is 0", "then the edge is {=finder in}"), nil, v.In("want"))
		o.Fact(agree, nil)
		o.Fact("over it: {=finder in} {s}", []string{worksheet.Either(way == "front", "forward", way)}, e.Offset)
	}
	o.SetText("verdict", says)
	o.Note("A finder repeats to two to five tenths at best. A sawn, cast or drafted edge is worth ten thou or worse: machine a spot first, and touch it at both ends.")
	o.Note("Turn the finder at the speed its maker gives, about 1000 rpm for the common kind: faster, it can fly apart. Raise it clear before moving across.")
	return nil
}

// minus reverses the sign of a sum.
func minus(sign string) string { return worksheet.Either(sign == " + ", " - ", " + ") }

var middleSheet = worksheet.Sheet{
	Name: "middle", Title: "Middle", Question: "Where is the middle?", Group: "where",
	About: []string{
		"Touch both edges with the same finder and the tip drops out: the middle is half way between the readings. The width does not drop it out: it is less the tip outside and plus the tip in a slot.",
		"Two like edges - the left sides of two bosses - are both off by half a tip the same way, and their distance is right as read.",
		"Read a second pair farther along to see whether the slot or the part runs true to the axis.",
	},
	Drawing: "middle",
	Inputs: []worksheet.Input{
		{Key: "of", Label: "Middle of", Ask: "Which two edges?", Kind: worksheet.Choice, Default: "outside", Help: "How the two edges were touched.",
			Options: []worksheet.Option{{Key: "outside", Label: "a part or boss, from both sides"}, {Key: "inside", Label: "a slot, both walls"}, {Key: "low", Label: "like edges, both from the left or front"}, {Key: "high", Label: "like edges, both from the right or back"}}},
		{Key: "a", Label: "First reading", Ask: "First edge reads?", Box: "first edge", Kind: worksheet.Length,
			Default: "0 in", Example: "1.3175", Min: "-500 in", Max: "500 in",
			Help: "Readout at the first touch. Empty: set to zero there."},
		{Key: "b", Label: "Second reading", Ask: "Second edge reads?", Box: "second edge", Kind: worksheet.Length, Example: "4.0185", Min: "-500 in", Max: "500 in", Help: "Readout at the second touch.", Required: true},
		tipInput,
		{Key: "size", Label: "Drawn width", Ask: "How wide is it drawn?", Box: "drawn", Kind: worksheet.Length, Example: "2.5", Min: "0.001 in", Max: "500 in", Help: "To compare with. Empty: no comparison."},
		{Key: "a2", Label: "First reading there", Ask: "First edge there?", Box: "first there", Kind: worksheet.Length, Example: "1.3179", Min: "-500 in", Max: "500 in", Help: "Same edge as the first reading.", Section: "A second pair, farther along"},
		{Key: "b2", Label: "Second reading there", Ask: "Second edge there?", Box: "second there", Kind: worksheet.Length, Example: "4.0189", Min: "-500 in", Max: "500 in", Help: "Same edge as the second reading.", Section: "A second pair, farther along"},
		{Key: "apart", Label: "Farther along by", Ask: "How far along?", Box: "farther by", Kind: worksheet.Length, Example: "10", Min: "0.1 in", Max: "500 in", Help: "Distance between the two pairs, along the other axis.", Section: "A second pair, farther along"},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "middle", Label: "Middle", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Plan: true, Dial: "finder"},
		{Key: "move", Label: "Move from the second touch", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Main: true, Plan: true, Dial: "finder"},
		{Key: "half", Label: "Or set the readout there to", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Main: true, Plan: true, Dial: "finder", Help: "Then the middle is zero."},
		{Key: "width", Label: "Width", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Dial: "touch"},
		{Key: "over", Label: "Width less drawn", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "middle2", Label: "Middle, farther along", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "width2", Label: "Width, farther along", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "slope", Label: "Runs off by", Kind: worksheet.Slope},
		{Key: "angle", Label: "As an angle", Kind: worksheet.Angle},
	},
	Sources: []worksheet.Source{fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "a", Text: "1.3175 in"}, {Key: "b", Text: "4.0185 in"}, {Key: "size", Text: "2.5 in"}},
	Compute: middleCompute,
}

var overStep = worksheet.Step{What: "Found less drawn", Formula: "found - drawn", Numbers: "{len} - {len}",
	Result: "{in}", Source: "geometry"}

// mostOff is how far a size found may be off the drawn one without a word, in inches.
func mostOff(size float64) float64 { return max(.02, size/50) }

// mostWide is how far a width between two touches may be off the drawn one without a word, in
// inches: common practice for a machined slot or part.
const mostWide = .010

// offDrawn says how far what was found is off the drawn size: a little is as drawn, more is a
// caution, and so much that other edges were touched stops the answer.
func offDrawn(o *worksheet.Out, over, size, most float64, what, across, less, wrong, why string) string {
	off := o.Read("touch", math.Abs(over), "in") + worksheet.Either(over > 0, " too ", " less ") +
		worksheet.Either(over > 0, across, "than drawn")
	switch {
	case math.Abs(over) > max(.1, size/10):
		o.HeadStop("{=touch in} too {s}: wrong {s}?", []string{worksheet.Either(over > 0, across, less), wrong},
			math.Abs(over))
		o.HeadStop("Far too {s}: wrong {s}?", []string{worksheet.Either(over > 0, across, less), wrong})
		o.FactStop("found {=touch in}, drawn {=touch in}", nil, over+size, size)
		o.FactStop("wrong side, or wrong tip", nil)
		o.Stop(what+" "+off+".", why)
	case math.Abs(over) > most:
		o.Caution(what + " " + off + ": a wrong touch, the wrong tip, or inside taken for outside?")
		return ", " + off
	case math.Abs(over) < .0005:
		return ", as drawn"
	}
	return ""
}

// likelyTouch asks about what would bring the size found to the drawn one: touched from the other
// side, or a tip given by its radius. read is the size between the spindle's places.
func likelyTouch(v *worksheet.Values, o *worksheet.Out, read float64, outside, inside bool, other string) {
	size, tip := v.In("size"), v.In("tip")
	sign := worksheet.Either(inside, 1.0, -1)
	agrees := func(x float64) bool { return math.Abs(x-size) < .01 }
	switch {
	case !outside && !inside:
	case agrees(read - float64(sign*tip)):
		o.Ask("of", other, "Touched from the "+worksheet.Either(outside, "inside", "outside")+"? Then it is as drawn.")
	case agrees(read + float64(sign*2*tip)):
		o.Ask("tip", o.Len(2*tip), "Is "+o.Len(tip)+" the tip's radius? With twice that it is as drawn.")
	case agrees(read + float64(sign*tip/2)):
		o.Ask("tip", o.Len(tip/2), "Is the tip half that? With "+o.Len(tip/2)+" it is as drawn.")
	}
}

var runsOffStep = worksheet.Step{What: "Runs off the axis", Formula: "(middle there - middle)/distance", Numbers: "({len} - {len})/{len}", Result: "{in/in}", Source: "geometry"}

func middleCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	p, tip := Pair(v.Choice("of")), v.In("tip")
	if v.In("a") == v.In("b") {
		return v.Refuse("b", "it is the same as the first: typed twice? Type what the readout showed at the other "+
			"edge.")
	}
	m, f := FindMiddle(p, v.In("a"), v.In("b"), tip)
	if f != nil {
		o.HeadStop("Narrower than the tip", nil)
		o.FactStop("a slot? Then touched inside", nil)
		return f
	}
	o.Head("Middle at {=finder in}", nil, m.At)
	says := o.Fill("The middle is at {finder in}, {finder in} from the second touch toward the first; {touch in} "+
		"wide", nil, m.At, math.Abs(m.Move), m.Width)
	askTip(v, o)
	o.AskUnit(v, "size", .02, mostTravel)
	o.SetAll("middle in, move in, half in, width in", m.At, m.Move, m.Half, m.Width)
	formula, width, drawn := "(a + b)/2", "|b - a|", ""
	switch p {
	case Outside:
		width += " - t"
	case Inside:
		width += " + t"
	case Low:
		formula += " + t/2"
	case High:
		formula += " - t/2"
	}
	o.Work("Middle", formula, o.Fill("a {len}, b {len}", nil, v.In("a"), v.In("b")), o.Len(m.At), "geometry")
	o.Work("Width", width, "t "+o.Bare(tip), o.Len(m.Width), "geometry")
	if v.Has("size") {
		over := m.Width - v.In("size")
		o.Set("over", over, "in")
		o.Line(&overStep, nil, m.Width, v.In("size"), over)
		drawn = worksheet.Either(math.Abs(over) < .0005, "as drawn", "")
		if math.Abs(over) > mostWide {
			o.Head("Middle at {=finder in}, {=touch in} too {s}", []string{worksheet.Either(over > 0, "wide", "narrow")},
				m.At, math.Abs(over))
			o.Fact("▲ {=touch in} off drawn: edge or tip?", nil, math.Abs(over))
		}
		says += offDrawn(o, over, v.In("size"), mostWide, "Width", "wide", "narrow", "edge", "The middle of these two touches is not that of "+
			"the drawn width: another edge, the wrong tip, or inside taken for outside.")
		if math.Abs(over) > mostWide {
			likelyTouch(v, o, math.Abs(v.In("b")-v.In("a")), p == Outside, p == Inside,
				worksheet.Either(p == Outside, "inside", "outside"))
		}
	}
	o.SetText("verdict", says+".")
	for _, key := range [...]string{"a2", "b2", "apart"} {
		if !v.Has(key) && (v.Has("a2") || v.Has("b2") || v.Has("apart")) {
			return v.Refuse(key, "a second pair needs both readings and how far along it is. Type all three, or none.")
		}
	}
	if v.Has("a2") {
		n, f := FindMiddle(p, v.In("a2"), v.In("b2"), tip)
		if f != nil {
			o.HeadStop("Narrower than the tip there", nil)
			return worksheet.Refuse("b2", "Second reading there: the two touches are closer together than the tip is thick. Check the readings.")
		}
		slope := (n.At - m.At) / v.In("apart")
		if math.Abs(slope) > .0002 {
			o.Fact("▲ runs off {incline in/in}", nil, math.Abs(slope))
		}
		if math.Abs(n.Width-m.Width) > .001 {
			o.Fact("▲ tapers {=touch in}", nil, math.Abs(n.Width-m.Width))
		}
		o.SetAll("middle2 in, width2 in, slope in/in, angle rad", n.At, n.Width, slope, math.Atan(slope))
		o.Line(&runsOffStep, nil, n.At, m.At, v.In("apart"), slope)
		o.CautionIf(math.Abs(n.Width-m.Width) > .001,
			"The two widths differ by {touch in}: it tapers, and the middle depends on where you measure.",
			math.Abs(n.Width-m.Width))
		o.CautionIf(math.Abs(slope) > .0002,
			"It runs off the axis. Turn the part true, or use the worksheet 'skew' for the holes in it.")
	}
	o.Fact("{=finder in} toward the first", nil, math.Abs(m.Move))
	o.Fact("{=touch in} wide", nil, m.Width)
	o.Fact(drawn, nil)
	o.Note("Move back to the middle the way the slack is taken up: past it, and up to it again.")
	return nil
}

var centreSheet = worksheet.Sheet{
	Name: "centre", Title: "Centre of a bore", Question: "Where is the centre?", Group: "where",
	About: []string{
		"Three touches make a circle; more of them show how round it is and how sure the centre. The circle is fitted by the least squares of the distances to it, as coordinate measuring does, and the tip's diameter is put on for a bore and taken off for a boss.",
		"Touches on a short arc fix the centre poorly along the arc's middle: spread them as far round as can be reached.",
	},
	Drawing: "centre",
	Inputs: []worksheet.Input{
		{Key: "of", Label: "It is a", Ask: "Bore or boss?", Kind: worksheet.Choice, Default: "bore", Help: "Touched from inside or from outside.", Options: []worksheet.Option{{Key: "bore", Label: "bore"}, {Key: "boss", Label: "boss"}}},
		{Key: "touches", Label: "Touches", Ask: "First touch?", Box: "touch", Kind: worksheet.Table, Required: true, Example: "2.001, 0; 0, 1.999; -2.0005, 0; 0, -2", MinRows: 3, MaxRows: 40, Help: "Readout X and Y at each touch, of the spindle's centre.", Columns: pointColumns},
		tipInput,
		{Key: "repeat", Label: "A touch repeats within", Ask: "How well does a touch repeat?", Box: "repeats", Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0 in", Max: "0.05 in", Help: "Try one place three times."},
		{Key: "size", Label: "Drawn diameter", Ask: "What diameter is drawn?", Box: "drawn", Kind: worksheet.Length, Example: "4.2", Min: "0.01 in", Max: "500 in", Help: "To compare with. Empty: no comparison."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "x", Label: "Centre X", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Plan: true,
			Dial: "finder"},
		{Key: "y", Label: "Centre Y", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Plan: true,
			Dial: "finder"},
		{Key: "dia", Label: "Diameter", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Dial: "touch"},
		{Key: "form", Label: "Out of round", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Dial: "hollow", Help: "Between two circles about the centre that hold all touches."},
		{Key: "sure", Label: "Centre is sure to, plus or minus", Kind: worksheet.Length,
			Digits: worksheet.FineDigits, Main: true, Dial: "doubt", Help: "At about 95 %, in the direction it is " +
				"known worst."},
		{Key: "movex", Label: "Move from the last touch, X", Kind: worksheet.Length, Plan: true, Dial: "finder"},
		{Key: "movey", Label: "and Y", Kind: worksheet.Length, Plan: true, Dial: "finder"},
		{Key: "over", Label: "Diameter less drawn", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "arc", Label: "Touches span", Kind: worksheet.Angle, Digits: worksheet.Digits{Inch: 1, Metric: 1}},
		{Key: "circle", Label: "Circle of the spindle, diameter", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "points", Label: "Touches", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "x", Label: "X", Kind: worksheet.Length}, {Key: "y", Label: "Y", Kind: worksheet.Length}, {Key: "off", Label: "Off the circle", Kind: worksheet.Length, Units: worksheet.Thou}}},
	},
	Sources: []worksheet.Source{fromGeometry, fromGUM, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "touches", Text: "2.001 in, 0 in; 0 in, 1.999 in; -2.0005 in, 0 in; 0 in, -2 in"}},
	Compute: boreCompute,
	Half: func(v *worksheet.Values, o *worksheet.Out) {
		if n := v.Rows("touches"); n > 0 {
			o.Question(worksheet.Either(n == 1, "Second touch?", "One more touch"))
		}
	},
}

// Worked lines of boreCompute.
var (
	circleSpindleStep = worksheet.Step{What: "Circle of the spindle's centre", Formula: "sum of (distance - R)^2 least", Numbers: "{s} touches", Result: "{s}, R {in}", Source: "geometry"}
	centreIsStep      = worksheet.Step{What: "Centre is sure to, about 95 %", Formula: "U = k u, times what the spread of the touches makes of it", Numbers: "k {2}, u {len}, x {2}", Result: "{in}", Source: "GUM"}
)

// mostDoubt is the most a centre may be in doubt and still be one, in inches. Common practice, no
// published source.
const mostDoubt = .005

// stray finds the touch that is farthest off the circle through the others. k is -1 where they
// cannot tell which one it is; with three there are no others to make a circle.
func stray(touches []fitting.Point) (k int, miss float64) {
	k = -1
	if len(touches) < 4 {
		return k, 0
	}
	best := math.Inf(1)
	for i := range touches {
		rest := append(append([]fitting.Point{}, touches[:i]...), touches[i+1:]...)
		c, err := fitting.FitCircle(rest)
		if err != nil {
			continue
		}
		dx, dy := touches[i].X-c.X, touches[i].Y-c.Y
		off := math.Abs(math.Sqrt(float64(dx*dx)+float64(dy*dy)) - c.R)
		switch form := c.Form(); {
		case len(touches) == 4: // three always make a circle
			if miss == 0 || off < miss {
				miss = off
			}
		case form < best:
			best, miss, k = form, off, i
		}
	}
	if k >= 0 && best > miss/4 {
		k = -1
	}
	return k, miss
}

func boreCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	touches := points(v, "touches")
	inside := v.Choice("of") == "bore"
	b, f := FindBore(touches, inside, v.In("tip"), v.In("repeat"))
	if f != nil {
		o.HeadStop(worksheet.Either(f.Field == "tip", "Narrower than the tip", "The touches make no circle"), nil)
		return f
	}
	o.Head("Centre X {=finder in}, Y {=finder in}", nil, b.X, b.Y)
	centre, drawn := fitting.Point{X: b.X, Y: b.Y}, ""
	says := o.Fill("The centre is at X {finder in}, Y {finder in}; the {s} is {touch in} across",
		[]string{v.Choice("of")}, b.X, b.Y, b.Dia)
	if len(touches) > 3 {
		says += o.Fill(", {hollow in} out of round", nil, b.Form)
	}
	askTip(v, o)
	askTwice(v, o, "touches", "Touch", touches)
	o.AskUnits(v, "touches", farthest(touches), .05, mostTravel)
	o.SetAll("x in, y in, dia in, circle in", b.X, b.Y, b.Dia, 2*b.R)
	o.SetIf(len(touches) > 3, "form in", b.Form)
	o.Set("sure", b.Sure, "in")
	last := touches[len(touches)-1]
	o.SetAll("movex in, movey in, arc deg", b.X-last.X, b.Y-last.Y, b.Arc)
	worksheet.SetRows(o, "points", touches, func(i int, p fitting.Point) []worksheet.Cell {
		return worksheet.Cells("iii", nil, p.X, p.Y, b.Residuals[i])
	})
	o.Line(&circleSpindleStep, []string{strconv.Itoa(len(touches)), at(o, centre)}, b.R)
	sign := worksheet.Either(inside, " + ", " - ")
	o.Work("Diameter", "2 R"+sign+"t", o.Fill("2 x {len}{s}{len}", []string{sign}, b.R, v.In("tip")), o.Len(b.Dia), "geometry")
	o.Line(&centreIsStep, nil, b.Needle.Factor(), b.Needle.One(), b.CentreUnit, b.Sure)
	if v.Has("size") {
		over := b.Dia - v.In("size")
		o.Set("over", over, "in")
		o.Line(&overStep, nil, b.Dia, v.In("size"), over)
		drawn = worksheet.Either(math.Abs(over) < .0005, ", as drawn", "")
		if math.Abs(over) > mostOff(v.In("size")) {
			o.Fact("▲ {=touch in} too {s}", []string{worksheet.Either(over > 0, "large", "small")}, math.Abs(over))
		}
		says += offDrawn(o, over, v.In("size"), mostOff(v.In("size")), "Diameter", "large", "small", "touch", "The touches do not make the drawn circle: a "+
			"wrong touch, the wrong tip, or a boss taken for a bore.")
		switch twice := 2 * v.In("size"); {
		case math.Abs(over) <= mostOff(v.In("size")):
		case math.Abs(b.Dia-twice) <= mostOff(twice):
			o.Ask("size", o.Len(twice), "Is "+v.Typed("size")+" the radius? The diameter found is "+o.Read("touch",
				b.Dia, "in")+".")
		default:
			likelyTouch(v, o, 2*b.R, !inside, inside, worksheet.Either(inside, "boss", "bore"))
		}
	}
	if b.Arc < 90 {
		says += o.Fill("; sure to {doubt in} only", nil, b.Sure)
		o.Fact("▲ short arc: sure to {doubt in} only", nil, b.Sure)
	}
	if k, miss := stray(touches); miss > max(.025, b.Dia/250) {
		which := "A touch"
		if k >= 0 {
			which = "Touch " + strconv.Itoa(k+1)
		}
		o.HeadStop("{s} is {hollow in} off a circle", []string{which}, miss)
		o.HeadStop("{s} is far off a circle", []string{which})
		o.FactStop("keyway, chip or a wrong number", nil)
		o.FactStop("touch it again", nil)
		o.Stop(which+" is "+o.Read("hollow", miss, "in")+" off a circle through the others.",
			"It does not belong: a wrong number, a keyway or a chip. Touch again; a cast bore has no one centre, so "+
				"bore a ring true first.")
	}
	if b.Sure > mostDoubt {
		o.HeadStop("Centre sure to {doubt in} only", nil, b.Sure)
		o.HeadStop("These touches fix no centre", nil)
		o.FactStop("touch farther round", nil)
		o.FactStop("cast: bore a ring true first", nil)
		o.Stop(o.Fill("Centre sure to {doubt in} only: not round, or touched on too short an arc.", nil, b.Sure),
			"No hole is bored from a centre known so badly. Touch farther round; a cast bore has no one centre, so "+
				"bore a ring true first.")
	}
	o.SetText("verdict", says+".")
	o.NoteIf(len(touches) == 3, "Three touches always make a circle, a wrong one too. A fourth shows it.")
	o.CautionIf(b.Arc < 90,
		"The touches span only {lay deg}: the centre is uncertain towards and away from them. Reach farther round.",
		b.Arc)
	uneven := len(touches) > 3 && b.Form > 4*max(v.In("repeat"), .0005)
	if uneven {
		o.Fact("▲ {hollow in} out of round", nil, b.Form)
	}
	o.Fact("{s} {=touch in}{s}", []string{v.Choice("of"), drawn}, b.Dia)
	if len(touches) > 3 && !uneven {
		o.Fact("{hollow in} out of round", nil, b.Form)
	}
	if b.Arc >= 90 {
		o.Fact("sure to {doubt in}", nil, b.Sure)
	}
	o.CautionIf(uneven, "Out of round by {hollow in}: a worn or cast bore has no one centre, or a touch is wrong. Look at the worst "+
		"in the table.", b.Form)
	return nil
}

var skewSheet = worksheet.Sheet{
	Name: "skew", Title: "Part lying askew", Question: "Where are the part's places on the machine?", Group: "where",
	About: []string{
		"Two features that are known on the part and found on the machine tell how the part lies; from there every place of the drawing has its machine coordinates, without shifting the part. More than two features are fitted by least squares, and what is left over shows which one does not belong.",
		"An edge will do: two touches along it, the part's places left empty. The part's zero is then the first touch and its X runs along the edge.",
	},
	Drawing: "skew",
	Inputs: []worksheet.Input{
		{Key: "features", Label: "Features", Ask: "Where is hole 1?", Box: "hole", Kind: worksheet.Table, Required: true, Example: "0, 0, 1, 2; 8, 0, 8.999, 2.008", MinRows: 2, MaxRows: 20,
			Help: "Place on the part (X, Y), then where the machine found it (X, Y). For an edge leave the part's places empty.",
			Columns: []worksheet.Column{{Key: "px", Label: "Part X", Kind: worksheet.Length, Min: "-500 in", Max: "500 in", Optional: true}, {Key: "py", Label: "Part Y", Kind: worksheet.Length, Min: "-500 in", Max: "500 in", Optional: true},
				{Key: "mx", Label: "Machine X", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}, {Key: "my", Label: "Machine Y", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}}},
		{Key: "tip", Label: "Tip of the finder", Ask: "What tip?", Box: "tip", Kind: worksheet.Length, Example: "0.2",
			Min: "0 in", Max: "4 in", Help: "For an edge that was touched: half of it is taken off. Empty: the places are " +
				"those of the edge itself."},
		{Key: "side", Label: "The finder stood", Ask: "Which side did it stand?", Kind: worksheet.Choice,
			Help: "Of the edge, as it touched.", Options: sideOptions},
		{Key: "places", Label: "Places wanted", Ask: "Which place do you want?", Box: "wanted", Kind: worksheet.Table, Example: "4, 3; 6, 1.5", MinRows: 1, MaxRows: 100, Help: "Places on the part, X and Y. Empty: only how it lies.", Columns: pointColumns},
		{Key: "hold", Label: "What is left over", Ask: "Share what is left?", Kind: worksheet.Choice, Default: "share", Help: "Where the features do not quite agree with the drawing: shared by all of them, or the first one stays where it is.",
			Options: []worksheet.Option{{Key: "share", Label: "Share it"}, {Key: "first", Label: "Hold the first"}}},
		{Key: "apart", Label: "Allowed in the distance", Ask: "How far off may they be?", Box: "allowed", Kind: worksheet.Length, Default: "0.005 in", Example: "0.005", Min: "0 in", Max: "1 in", Help: "How much the features' distances may differ from the drawing."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "fits", Label: "The features agree with the drawing", Kind: worksheet.Flag, Judges: true},
		{Key: "angle", Label: "Lies at", Kind: worksheet.Angle, Main: true, Plan: true, Dial: "sine",
			Digits: worksheet.Digits{Inch: 5, Metric: 5}, Help: "Part's X to machine's X, counter-clockwise."},
		{Key: "slope", Label: "Runs off by", Kind: worksheet.Slope, Main: true, Plan: true, Dial: "incline"},
		{Key: "zerox", Label: "Part's zero at X", Kind: worksheet.Length, Main: true, Plan: true, Dial: "readout"},
		{Key: "zeroy", Label: "and Y", Kind: worksheet.Length, Main: true, Plan: true, Dial: "readout"},
		{Key: "distance", Label: "Distance found less drawn", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Main: true, Dial: "touch"},
		{Key: "worst", Label: "Worst feature off by", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "where", Label: "Places", Kind: worksheet.Table, Plan: true, Columns: []worksheet.Column{
			{Key: "px", Label: "Part X", Kind: worksheet.Length}, {Key: "py", Label: "Part Y", Kind: worksheet.Length}, {Key: "mx", Label: "Machine X", Kind: worksheet.Length}, {Key: "my", Label: "Machine Y", Kind: worksheet.Length}}},
		{Key: "left", Label: "Left over at the features", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "feature", Label: "Feature", Kind: worksheet.Count}, {Key: "dx", Label: "X", Kind: worksheet.Length, Units: worksheet.Thou}, {Key: "dy", Label: "Y", Kind: worksheet.Length, Units: worksheet.Thou}}},
	},
	Sources: []worksheet.Source{fromGeometry, {Key: "Kabsch", Title: "W. Kabsch, Acta Crystallographica A32 (1976) 922: best rotation between two sets of points"}, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "features", Text: "0 in, 0 in, 1 in, 2 in; 8 in, 0 in, 8.999 in, 2.008 in"}, {Key: "places", Text: "4 in, 3 in"}},
	Compute: skewCompute,
	Half: func(v *worksheet.Values, o *worksheet.Out) {
		if v.Rows("features") > 0 {
			o.Question("And hole 2?")
		}
	},
}

// Worked lines of skewCompute.
var (
	turnLeastStep = worksheet.Step{What: "Turn, by least squares", Formula: "tan(angle) = sum(a x b)/sum(a . b)", Numbers: "{s} features", Result: "{5} deg", Source: "Kabsch"}
	machineSStep  = worksheet.Step{What: "Machine's place of a part's place", Formula: "X = X0 + x cos - y sin, Y = Y0 + x sin + y cos", Numbers: "X0 {len}, Y0 {len}, cos {7}, sin {7}", Result: "in the table", Source: "geometry"}
)

// distanceStep and worstStep show what the features are judged by.
var (
	distanceStep = worksheet.Step{What: "Distance found less drawn", Formula: "stretch x distance of the first and " +
		"the last feature", Numbers: "{7} x {len}", Result: "{in}; allowed {in}", Source: "geometry"}
	worstStep = worksheet.Step{What: "Worst feature off by", Formula: "what is left over at it",
		Numbers: "allowed {len}", Result: "{in}", Source: "geometry"}
)

// wrongFeatures is how many times what is allowed the features may be off before they are not the
// drawing's. Common practice, no published source.
const wrongFeatures = 5

// judgeFeatures says whether what was found can be what is drawn, and gives the end of the verdict.
// More than .01 an inch, or five times what is allowed, is another feature or a wrong number.
func judgeFeatures(v *worksheet.Values, o *worksheet.Out, features []Feature, fr Frame, worst float64) string {
	distance, per, allowed := float64(fr.Stretch*fr.Length), math.Abs(fr.Stretch), v.In("apart")
	off := math.Abs(distance)
	o.Line(&distanceStep, nil, fr.Stretch, fr.Length, distance, allowed)
	o.Line(&worstStep, nil, allowed, worst)
	if len(features) > 2 {
		off = max(off, worst)
	}
	found, drawn := make([]fitting.Point, len(features)), make([]fitting.Point, len(features))
	for i, f := range features {
		found[i], drawn[i] = f.Machine, f.Part
	}
	_ = askTwice(v, o, "features", "Feature", drawn) || askTwice(v, o, "features", "Feature", found)
	o.AskUnits(v, "features", farthest(found), .05, mostTravel)
	o.SetFlag("fits", off <= allowed)
	far := o.Read("touch", off, "in")
	switch {
	case per > .01 && off > allowed || off > wrongFeatures*max(allowed, .005):
		o.HeadStop("Does not fit the drawing: {=touch in}", nil, off)
		o.HeadStop("Does not fit the drawing", nil)
		which, says := "These are not the features drawn, two are exchanged, or a number is wrong.",
			"two exchanged, or a wrong number"
		if k := odd(features, allowed); k >= 0 {
			says = "hole " + strconv.Itoa(k+1) + " does not belong"
			which = "Feature " + strconv.Itoa(k+1) + " does not belong: without it the others agree. Find it again, " +
				"or leave it out."
		}
		o.FactStop(says, nil)
		o.Stop("Does not fit the drawing: "+far+" off.", which)
	case off > allowed:
		o.Head("Holes off the drawing", nil)
		o.Head("Holes {=touch in} {s}", []string{worksheet.Either(distance > 0, "farther than drawn", "off the drawing")}, off)
		o.Fact(worksheet.Either(v.Choice("hold") == "first", "the first is held", "shared between them"), nil)
		o.Fact("check the tip", nil)
		o.Caution("The features are " + far + " off the drawing. A casting may be so; a wrong feature would be too. " +
			"Check before drilling.")
		return ", features " + far + worksheet.Either(distance > 0, " farther than drawn", " off the drawing")
	}
	return ""
}

// odd finds the one feature without which the others agree with the drawing, or -1.
func odd(features []Feature, allowed float64) int {
	which := -1
	if len(features) < 4 {
		return which // of three, any two agree as well
	}
	for k := range features {
		rest := append(append([]Feature{}, features[:k]...), features[k+1:]...)
		fr, f := FindFrame(rest)
		if f != nil {
			continue
		}
		worst := 0.0
		for _, m := range fr.Misses {
			worst = max(worst, math.Sqrt(float64(m.X*m.X)+float64(m.Y*m.Y)))
		}
		if worst <= max(allowed, .005) {
			if which >= 0 {
				return -1
			}
			which = k
		}
	}
	return which
}

// level is the largest slope that is set right by swinging the part: beyond it the part lies at an
// angle on purpose.
const level = .2

// runsOff heads the answer with how the part lies.
func runsOff(o *worksheet.Out, fr Frame) {
	slope := fr.Sin / fr.Cos
	switch {
	case math.Abs(fr.Sin) >= level || fr.Cos <= 0:
		o.Head("Lies at {sine deg}", nil, fr.Angle)
	case math.Abs(slope) < lying:
		o.Head("Lies straight", nil)
	case o.System == units.MetricSystem:
		o.Head("Runs off {incline in/in}", nil, math.Abs(slope))
	default:
		o.Head("Runs off {=incline in/in} thou a foot", nil, math.Abs(slope))
	}
}

// lying is the least slope that an indicator shows over a foot.
const lying = .00025 / 12

// lies says where the part's zero lies, and how to swing it straight in place of going by it.
func lies(o *worksheet.Out, fr Frame, zero fitting.Point) {
	o.Fact("zero X {=readout in} Y {=readout in}", nil, zero.X, zero.Y)
	off := float64(fr.Sin * fr.Length)
	if math.Abs(fr.Sin) < level && fr.Cos > 0 && math.Abs(fr.Sin/fr.Cos) >= lying {
		o.Fact("or right end {s} {=touch in} in {=rule in}", []string{worksheet.Either(off > 0, "forward", "back")},
			math.Abs(off), fr.Length)
		o.Fact("{sine deg}", nil, fr.Angle)
	}
}

func skewCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	var features []Feature
	empty := 0
	for i := range v.Rows("features") {
		px, a := v.Cell("features", i, 0, "in")
		py, b := v.Cell("features", i, 1, "in")
		mx, _ := v.Cell("features", i, 2, "in")
		my, _ := v.Cell("features", i, 3, "in")
		if !a && !b {
			empty++
		} else if !a || !b {
			return v.Refuse("features", "row "+strconv.Itoa(i+1)+" has only one of the part's two places. Fill in both, or leave both empty for an edge.")
		}
		features = append(features, Feature{fitting.Point{X: px, Y: py}, fitting.Point{X: mx, Y: my}})
	}
	edge := empty > 0
	if edge && (empty != 2 || len(features) != 2) {
		return v.Refuse("features", "an edge is two touches with the part's places empty. Fill the places in for anything else.")
	}
	tipped := edge && v.In("tip") > 0
	if edge {
		p, q := features[0].Machine, features[1].Machine
		if tipped && !v.Has("side") {
			return v.Refuse("side", "half the tip is taken off on the side where the finder stood. Choose it.")
		}
		if tipped {
			var ok bool
			if p, q, ok = OffTip(p, q, Side(v.Choice("side")), v.In("tip")); !ok {
				return v.Refuse("side", "the edge runs the other way. Choose one of the two sides that lie along it.")
			}
		}
		features = AlongEdge(p, q)
	}
	fr, f := FindFrame(features)
	if f != nil {
		return f
	}
	if v.Choice("hold") == "first" {
		fr.HoldFirst()
	}
	zero := fr.Place(fitting.Point{})
	o.Set("angle", fr.Angle, "deg")
	o.SetIf(math.Abs(fr.Sin) < .2 && fr.Cos > 0, "slope in/in", fr.Sin/fr.Cos)
	o.SetAll("zerox in, zeroy in", zero.X, zero.Y)
	o.SetIf(!edge, "distance in", float64(fr.Stretch*fr.Length))
	if places := points(v, "places"); len(places) > 0 {
		worksheet.SetRows(o, "where", places, func(_ int, p fitting.Point) []worksheet.Cell {
			m := fr.Place(p)
			return worksheet.Cells("iiii", nil, p.X, p.Y, m.X, m.Y)
		})
	}
	worst := 0.0
	worksheet.SetRows(o, "left", fr.Misses, func(i int, m fitting.Point) []worksheet.Cell {
		dx, dy := m.X-fr.Shift.X, m.Y-fr.Shift.Y
		worst = max(worst, math.Sqrt(float64(dx*dx)+float64(dy*dy)))
		return worksheet.Cells("nii", nil, float64(i+1), dx, dy)
	})
	o.Set("worst", worst, "in")
	o.Line(&turnLeastStep, []string{strconv.Itoa(len(features))}, fr.Angle)
	o.Line(&machineSStep, nil, zero.X, zero.Y, fr.Cos, fr.Sin)
	runsOff(o, fr)
	says := o.Fill("The part lies at {sine deg}, its zero at {s}", []string{on(o, zero)}, fr.Angle)
	if edge {
		o.SetFlag("fits", true)
		o.NoteIf(!tipped, "From an edge the part's zero is the first touch of the spindle, half a tip off the edge "+
			"itself: type the tip, and it is taken off.")
	} else {
		says += judgeFeatures(v, o, features, fr, worst)
	}
	lies(o, fr, zero)
	o.SetText("verdict", says+".")
	o.NoteIf(!edge && len(features) == 2 && v.Choice("hold") == "share",
		"Two features fit any distance half way. A third would show which one is off.")
	o.Note("Check one place by hand before the first chip: a sign the wrong way round mirrors the pattern.")
	return nil
}
