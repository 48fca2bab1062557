package bench

import (
	"math"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// SineStack is the stack under a sine bar: bar sin(angle). The bar's length
// between its rolls is in any unit, the angle in degrees from 0 to 90.
func SineStack(bar, deg float64) float64 { return float64(bar * math.Sin(deg*rad)) }

// SineAngle is the angle in degrees of a bar on a stack: asin(stack/bar). A
// stack taller than the bar gives 90.
func SineAngle(bar, stack float64) float64 { return math.Asin(min(1, stack/bar)) / rad }

// SineSlope is how many degrees the angle turns for each unit of stack:
// 1/(bar cos(angle)), as near 90 degrees as 89.9.
func SineSlope(bar, deg float64) float64 {
	return 1 / (bar * math.Cos(min(deg, 89.9)*rad)) / rad
}

var sineSheet = worksheet.Sheet{
	Name: "sine", Title: "Sine bar", Question: "What stack gives this angle?", Group: group, Drawing: "sine",
	About: []string{
		"Stack from angle or angle from stack, for a bar or plate by the distance between its rolls. The stack is rounded to what the set owned can make and handed to the block search, and the angle that stack truly gives is shown.",
		"The steeper the bar, the more an error of the stack turns it: above 45 degrees set the complement from a square face, above 60 degrees the bar no longer holds the angle.",
	},
	Inputs: []worksheet.Input{
		{Key: "angle", Label: "Angle", Kind: worksheet.Angle, Ask: "What angle?", Example: "22d30'", Min: "0", Max: "90", Help: "The angle wanted. Give this or the stack."},
		{Key: "stack", Label: "Stack", Kind: worksheet.Length, Ask: "What stack?", Example: "1.9134", Min: "0 in", Max: "40 in", Help: "The height under the roll. Give this or the angle."},
		{Key: "bar", Label: "Bar", Kind: worksheet.Length, Ask: "How far apart are the rolls?", Default: "5 in", Example: "5", Min: "1 in", Max: "60 in", Help: "Distance between the centres of the rolls."},
		{Key: "zero", Label: "Stack at level", Kind: worksheet.Length, Section: "Fine points", Default: "0 in", Min: "0 in", Max: "10 in", Help: "Height under the roll when the bar is level, for a plate whose rolls do not rest at one height."},
		{Key: "set", Label: "Set", Kind: worksheet.Choice, Section: "Fine points", Default: "usual", Help: "The blocks owned. 'usual' is the 81-piece inch set, or with metric units the 88-piece one.",
			Options: []worksheet.Option{{Key: "usual", Label: "usual"}, {Key: "in81", Label: "81-piece inch"}, {Key: "in36", Label: "36-piece inch"}, {Key: "mm47", Label: "47-piece metric"}, {Key: "mm88", Label: "88-piece metric"}, {Key: "mm112", Label: "112-piece metric"}}},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "stack", Label: "Stack", Kind: worksheet.Length, Main: true, Dial: "block",
			Digits: worksheet.FineDigits},
		{Key: "angle", Label: "Angle", Kind: worksheet.Angle, Main: true, Dial: "sine"},
		{Key: "dms", Label: "Degrees, minutes, seconds", Kind: worksheet.Text},
		{Key: "made", Label: "Stack as made up", Kind: worksheet.Length, Plan: true, Dial: "block",
			Digits: worksheet.Digits{Inch: 6, Metric: 5}},
		{Key: "gives", Label: "Angle it gives", Kind: worksheet.Text},
		{Key: "error", Label: "Angle off by", Kind: worksheet.Angle, Dial: "two", Units: worksheet.Arcsec},
		{Key: "sens", Label: "Angle turned by 0.0001 in (2.5 um) of stack", Kind: worksheet.Angle, Main: true,
			Dial: "two", Units: worksheet.Arcsec},
		{Key: "blocks", Label: "Blocks", Kind: worksheet.Text, Main: true, Plan: true},
		{Key: "other", Label: "Stack for the complement", Kind: worksheet.Length, Dial: "block",
			Digits: worksheet.FineDigits},
		{Key: "bar", Label: "Bar", Kind: worksheet.Length},
	},
	Sources: []worksheet.Source{srcGeometry, {Key: "MH", Title: "Machinery's Handbook, 31st edition: sine bar, table of constants for a 5-inch sine bar"}, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "angle", Text: "22d30'"}, {Key: "bar", Text: "5 in"}},
	Compute: computeSine,
}

// Worked lines of computeSine.
var (
	angleStep     = worksheet.Step{What: "Angle", Formula: "a = asin(h/L)", Numbers: "asin({len}/{len})", Result: "{5} deg", Source: "geometry"}
	stackStep2    = worksheet.Step{What: "Stack", Formula: "h = L sin(a)", Numbers: "{len} x sin({5})", Result: "{in}", Source: "geometry"}
	turnErrorStep = worksheet.Step{What: "Turn for an error dh of the stack", Formula: "da = dh/(L cos a)", Numbers: "0.0001/({4} x cos {3}), in inches", Result: "{2} arcsec", Source: "geometry"}
)

// coarse is how many seconds of angle a made up stack may be off without a word: a tenth of a thou
// on a 5 in bar is 4.
const coarse = 10

// useless is how many seconds the made up stack may be off and still be set. Common practice, no
// published source.
const useless = 60

func computeSine(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	bar, zero, deg := v.In("bar"), v.In("zero"), v.As("angle", "deg")
	switch {
	case v.Given("angle") && v.Given("stack"):
		o.HeadStop("Angle or stack, not both", nil)
		return v.Refuse("stack", "angle and stack are both given. Give one and leave the other empty.")
	case !v.Given("angle") && !v.Given("stack"):
		return v.Refuse("angle", "is missing, and so is the stack. Type one of them, like 22d30'.")
	case v.Given("stack"):
		h := v.In("stack") - zero
		if h < 0 || h > bar {
			o.HeadStop(worksheet.Either(h < 0, "Lower than the bar at level", "Taller than the bar is long"), nil)
			return v.Refuse("stack", "it must lie between the stack at level and that and the bar's length. Check both.")
		}
		deg = SineAngle(bar, h)
		o.Line(&angleStep, nil, h, bar, deg)
	default:
		o.Line(&stackStep2, nil, bar, deg, SineStack(bar, deg))
	}
	stack := SineStack(bar, deg) + zero
	o.SetAll("stack in, angle deg", stack, deg)
	o.SetText("dms", dms(deg))
	o.SetAll("bar in, other in", bar, SineStack(bar, 90-deg)+zero)
	slope := SineSlope(bar, deg)
	o.Set("sens", slope*0.0001*3600, "arcsec")
	o.Line(&turnErrorStep, nil, bar, deg, slope*0.36)

	owned, metric := chosen(v)
	want := units.FromInches(stack)
	step := in / 10000
	if metric {
		step = worksheet.Either(v.Choice("set") == "mm47", 5*um, um)
	}
	round := (want + step/2) / step * step
	made, found, _ := Blocks(round, owned, 6)
	if !found && round > 0 {
		below, above, _ := Nearest(want, owned, 6)
		made = below
		if below.Blocks == nil || above.Blocks != nil && above.Total-want < want-below.Total {
			made = above
		}
	}
	o.AskUnit(v, "stack", .05, 1.2*bar)
	byStack := v.Given("stack")
	if byStack {
		o.Head("Makes {sine deg}", nil, deg)
	} else {
		o.Head("Stack {=block in}", nil, worksheet.Either(made.Blocks != nil, made.Total.Inches(), stack))
	}
	if deg > 45 {
		o.Fact("over 45° set the complement {=block in}", nil, SineStack(bar, 90-deg)+zero)
	}
	says := o.Fill("Stack {block in} for {sine deg} on a {in} bar", nil, stack, deg, bar)
	if byStack {
		says = o.Fill("It makes {sine deg} on a {in} bar", nil, deg, bar)
	}
	complement := o.Fill("{sine deg}, from a square face: stack {block in}", nil, 90-deg, SineStack(bar, 90-deg)+zero)
	if made.Blocks != nil {
		o.SetText("blocks", listed(made.Blocks, metric))
		o.SetLength("made", made.Total)
		if h := made.Total.Inches() - zero; h >= 0 && h <= bar {
			gives := SineAngle(bar, h)
			o.SetText("gives", dms(gives))
			o.Set("error", (gives-deg)*3600, "arcsec")
			if off := math.Abs(gives-deg) * 3600; off >= .5 && !byStack {
				says += o.Fill("; made up it gives {sine deg}", nil, gives)
				if off > useless {
					o.HeadStop("This set cannot make {sine deg}", nil, deg)
					o.FactStop("nearest stack gives {sine deg}", nil, gives)
					o.FactStop("take another set", nil)
					o.Stop(o.Fill("This set does not make {sine deg}: its nearest stack gives {sine deg}.", nil, deg, gives),
						"The blocks turn the bar more than a minute off. Take another set, or a plate that "+
							"stands on blocks when it is level.")
				}
				if off > coarse && off <= useless {
					o.Caution(o.Fill("The blocks of this set turn the bar {two arcsec} off.", nil, off))
					o.Fact("▲ {0}\" off with these blocks", nil, off)
				}
			}
			if !byStack {
				o.Fact("makes {sine deg}", nil, gives)
			}
		}
		o.Fact("{s}", []string{fromTop(o, made.Blocks, metric)})
		says += ". Blocks: " + listed(made.Blocks, metric)
	} else if round > 0 {
		says += ". This set cannot make a stack near that height"
		o.Fact("▲ no such stack in this set", nil)
		o.Caution("This set cannot make a stack near that height.")
	}
	o.Fact(worksheet.Either(o.System == units.MetricSystem, "a micrometre turns it {1}\"", "a tenth turns it {1}\""), nil,
		slope*3600*worksheet.Either(o.System == units.MetricSystem, .001/25.4, .0001))
	switch {
	case deg > 60:
		o.HeadStop("Over 60°: a bar will not hold it", nil)
		o.FactStop("{sine deg} from a square face: stack {=block in}", nil, 90-deg, SineStack(bar, 90-deg)+zero)
		o.Stop("Over 60: a bar will not hold it. Set the complement, "+complement+".",
			o.Fill("An error of the stack turns the bar {1} times as far as near level, and the work slides.", nil,
				1/math.Cos(min(deg, 89.9)*rad)))
	case deg > 45:
		says += ". Use the square face"
		if !byStack {
			o.Head("Stack {=block in}: use the square face", nil, stack)
		}
		o.Caution("Above 45 degrees set the complement, " + complement + ": the stack's error turns the bar less.")
	}
	o.SetText("verdict", says+".")
	o.Note("Clamp work on a sine plate by its own clamps and stop, and do not cut on a bar that only rests on its blocks.")
	o.Cite("MH")
	o.Cite("practice")
	return nil
}
