package fits

import (
	"math"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

var fitSheet = &worksheet.Sheet{
	Name: "fit", Title: "Limits and fits", Question: "How large may hole and shaft be?", Group: "fit",
	About: []string{
		"Limits of size of a hole, a shaft or both, by ISO 286 to 500 mm or by the inch classes of ANSI B4.1.",
		"ISO: the letter says where the tolerance lies, the number how wide it is; capitals are holes. H11/c11 loose, H9/d9 free running, H8/f7 running, H7/g6 sliding, H7/h6 location, H7/k6 and H7/n6 location without play, H7/p6 press, H7/s6 drive, H7/u6 shrink.",
		"ANSI B4.1: RC1 to RC9 running and sliding, LC1 to LC8 location with clearance, LT1 to LT6 either way, LN1 to LN3 location by press, FN1 to FN5 force and shrink.",
		"With the hole measured it gives the shaft to turn so that the fit comes out as if the hole were in the middle of its limits.",
	},
	Drawing: "fit",
	Inputs: []worksheet.Input{
		{Key: "size", Label: "Basic size", Kind: worksheet.Length, Required: true, Example: "25mm", Min: "0.01 in", Max: "20 in", Ask: "What size?", Box: "size", Help: "The size hole and shaft share by name."},
		{Key: "fit", Label: "Fit", Kind: worksheet.Text, Required: true, Example: "H7/g6", Canon: canonFit, Ask: "Which fit?", Box: "fit", Help: "H7/g6, H7 or g6 alone, P7/h6, or an inch class such as RC4 or FN2. Capital letters are holes."},
		{Key: "bored", Label: "Hole measured", Kind: worksheet.Length, Example: "25.03mm", Min: "0.01 in", Max: "21 in", Box: "measured", Help: "The hole as it came out. Gives the shaft that makes the same fit in it."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "holemin", Label: "Hole, least", Kind: worksheet.Length, Main: true, Dial: "least",
			Digits: worksheet.FineDigits},
		{Key: "holemax", Label: "Hole, most", Kind: worksheet.Length, Main: true, Dial: "most",
			Digits: worksheet.FineDigits},
		{Key: "shaftmin", Label: "Shaft, least", Kind: worksheet.Length, Main: true, Dial: "least",
			Digits: worksheet.FineDigits},
		{Key: "shaftmax", Label: "Shaft, most", Kind: worksheet.Length, Main: true, Dial: "most",
			Digits: worksheet.FineDigits},
		{Key: "tight", Label: "Tightest", Kind: worksheet.Length, Main: true, Dial: "most",
			Digits: worksheet.FineDigits, Help: "Room between hole and shaft; less than nothing is squeeze."},
		{Key: "loose", Label: "Loosest", Kind: worksheet.Length, Main: true, Dial: "least",
			Digits: worksheet.FineDigits},
		{Key: "kind", Label: "Kind of fit", Kind: worksheet.Text},
		{Key: "turnmin", Label: "Turn the shaft to, least", Kind: worksheet.Length, Dial: "least",
			Digits: worksheet.FineDigits},
		{Key: "turnmax", Label: "Turn the shaft to, most", Kind: worksheet.Length, Dial: "most",
			Digits: worksheet.FineDigits},
		{Key: "basic", Label: "Basic size", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "holelow", Label: "Hole, lower deviation", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "holehigh", Label: "Hole, upper deviation", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "shaftlow", Label: "Shaft, lower deviation", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "shafthigh", Label: "Shaft, upper deviation", Kind: worksheet.Length, Digits: worksheet.FineDigits},
	},
	Sources: []worksheet.Source{
		{Key: "ISO 286", Title: "ISO 286-1:2010 and 286-2:2010 ISO code system for tolerances on linear sizes"},
		{Key: "B4.1", Title: "ANSI B4.1-1967 (R2009) Preferred Limits and Fits for Cylindrical Parts, by Machinery's Handbook, 27th and 31st editions"},
		{Key: "definition", Title: "ISO 286-1, 3.3: clearance is hole less shaft"},
	},
	Example: []worksheet.Pair{{Key: "size", Text: "25mm"}, {Key: "fit", Text: "H7/g6"}},
	Compute: computeFit,
}

// canonFit puts a fit into canonical form: hole before shaft, inch classes in capitals.
func canonFit(text string) (string, *shoptext.ParseError) {
	hole, shaft, inch, f := splitFit(trim(text))
	switch {
	case f != nil:
		return text, &shoptext.ParseError{Says: "'" + clip(text) + "' is not a fit this can read.", Try: "Type it like H7/g6, H7, g6 or RC4."}
	case inch != "":
		return inch, nil
	case hole != "" && shaft != "":
		return hole + "/" + shaft, nil
	}
	return hole + shaft, nil
}

func computeFit(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	p, bad := Limits(v.Text("fit"), v.In("size"))
	if bad != nil {
		return v.Refuse(bad.Field, bad.Message)
	}
	if p.Basic+p.HoleDev[0] <= 0 || p.Basic+p.ShaftDev[0] <= 0 {
		return v.Refuse("size", "the tolerance is larger than the size itself. Choose a finer class.")
	}
	source := worksheet.Either(p.Inch, "B4.1", "ISO 286")
	span := func(lo, hi float64) string { return fine(o, lo) + " to " + fine(o, hi) }
	tight := p.HoleDev[1] - p.HoleDev[0]
	if p.HasShaft && (!p.HasHole || p.ShaftDev[1]-p.ShaftDev[0] < tight) {
		tight = p.ShaftDev[1] - p.ShaftDev[0]
	}
	inward(o, 0, tight)
	says := ""
	if p.HasHole {
		o.SetAll("holemin in, holemax in, holelow in, holehigh in", p.HoleMin, p.HoleMax, p.HoleDev[0], p.HoleDev[1])
		o.Work("Hole", "basic size + deviations", fine(o, p.Basic)+", "+span(p.HoleDev[0], p.HoleDev[1]), span(p.HoleMin, p.HoleMax), source)
		says = o.Fill("Hole {least in} to {most in}. ", nil, p.HoleMin, p.HoleMax)
		o.Head("Hole {=least in} to {=most in}", nil, p.HoleMin, p.HoleMax)
	}
	if p.HasShaft {
		o.SetAll("shaftmin in, shaftmax in, shaftlow in, shafthigh in", p.ShaftMin, p.ShaftMax, p.ShaftDev[0], p.ShaftDev[1])
		o.Work("Shaft", "basic size + deviations", fine(o, p.Basic)+", "+span(p.ShaftDev[0], p.ShaftDev[1]), span(p.ShaftMin, p.ShaftMax), source)
		says += o.Fill("Shaft {least in} to {most in}. ", nil, p.ShaftMin, p.ShaftMax)
		if !p.HasHole {
			o.Head("Shaft {=least in} to {=most in}", nil, p.ShaftMin, p.ShaftMax)
		}
	}
	o.Set("basic", p.Basic, "in")
	room := func() {}
	if p.Kind() != "" {
		both := ""
		both, room = p.both(o)
		says += both
	}
	if v.Has("bored") {
		turn, bad := p.turn(v, o)
		if bad != nil {
			return bad
		}
		says = turn + says
	}
	room()
	o.SetText("verdict", trim(says))
	o.NoteIf(p.FromMemory,
		"This row has not been compared with a printed copy of ANSI B4.1. Compare it before the part depends on it.")
	o.Note("Limits hold at 20 C (68 F), with hole and shaft at the same temperature.")
	if p.Kind() == "interference" {
		o.Hurt("Press with a press, square and greased, and stand clear; heat for a shrink fit by the book of both " +
			"metals. Cast iron hubs split: keep to the lighter press fits in them.")
	}
	o.CautionIf(p.Kind() == "transition", "It may come out loose or tight. Where it must be one of them, match the "+
		"parts by measurement, or choose another fit.")
	o.AskUnit(v, "size", .02, 12)
	return nil
}

// Worked lines of both.
var (
	tightestStep = worksheet.Step{What: "Tightest", Formula: "smallest hole - largest shaft", Numbers: "{s} - {s}", Result: "{s}", Source: "definition"}
	loosestStep  = worksheet.Step{What: "Loosest", Formula: "largest hole - smallest shaft", Numbers: "{s} - {s}", Result: "{s}", Source: "definition"}
)

// careful is what a kind of fit is careful about.
var careful = map[string]string{"interference": "▲ press fit", "transition": "▲ tight or loose"}

// both describes how hole and shaft fit; facts gives the facts of it.
func (p Pair) both(o *worksheet.Out) (says string, facts func()) {
	o.SetAll("tight in, loose in", p.Tightest, p.Loosest)
	kind := p.Kind() + " fit"
	if p.Says != "" {
		kind += ", " + p.Says
	}
	o.SetText("kind", kind)
	o.Line(&tightestStep, []string{fine(o, p.HoleMin), fine(o, p.ShaftMax), fine(o, p.Tightest)})
	o.Line(&loosestStep, []string{fine(o, p.HoleMax), fine(o, p.ShaftMin), fine(o, p.Loosest)})
	// What is read must add up: the limits as they are shown are what is worked to.
	tight, loose := read(o, "least", p.HoleMin)-read(o, "most", p.ShaftMax),
		read(o, "most", p.HoleMax)-read(o, "least", p.ShaftMin)
	o.ReadAs("tight", tight)
	o.ReadAs("loose", loose)
	facts = func() {
		o.Fact(careful[p.Kind()], nil)
		o.Fact("shaft {=least in} to {=most in}", nil, p.ShaftMin, p.ShaftMax)
		switch p.Kind() {
		case "clearance":
			o.Fact("{=most in} to {=least in} loose", nil, max(0, tight), loose)
		case "interference":
			o.Fact("{=most in} to {=least in} tight", nil, max(0, -loose), -tight)
		}
	}
	switch p.Kind() {
	case "clearance":
		return o.Fill("It goes in with {most in} to {least in} of room.", nil, max(0, tight), loose), facts
	case "interference":
		return o.Fill("It is pressed in with {most in} to {least in} of squeeze.", nil, max(0, -loose), -tight), facts
	}
	return o.Fill("Could be tight or loose: anything from {least in} of squeeze to {least in} of room.", nil,
		max(0, -tight), max(0, loose)), facts
}

// read is a length in inches as a dial shows it.
func read(o *worksheet.Out, dial string, inches float64) float64 {
	n, _ := shoptext.Parse(o.Read(dial, inches, "in"), units.Span, units.Span.Unit(o.System))
	return n.Length.Inches()
}

var shaftHoleStep = worksheet.Step{What: "Shaft for the hole as bored", Formula: "shaft limits + (hole measured - middle of hole limits)", Numbers: "{s}", Result: "{s} to {s}", Source: "definition"}

// turn returns the shaft for the hole as bored: its limits shifted by the hole's distance from the
// middle of its tolerance; and what the verdict says of it.
func (p Pair) turn(v *worksheet.Values, o *worksheet.Out) (string, *worksheet.InputError) {
	bored := v.In("bored")
	if p.Kind() == "" {
		return "", v.Refuse("bored", "a measured hole needs a hole and a shaft class to match. Type a fit like H7/g6.")
	}
	if math.Abs(bored-p.Basic) > float64(.05*p.Basic)+.05 {
		return "", v.Refuse("bored", "the hole is far from its basic size. Check the measurement, or make it the "+
			"basic size.")
	}
	move := bored - float64((p.HoleMin+p.HoleMax)*.5)
	lo, hi := p.ShaftMin+move, p.ShaftMax+move
	o.SetAll("turnmin in, turnmax in", lo, hi)
	o.Line(&shaftHoleStep, []string{fine(o, move), fine(o, lo), fine(o, hi)})
	says := o.Fill("Turn it {least in} to {most in} for the hole you have", nil, lo, hi)
	o.Head("Turn it {=least in} to {=most in}", nil, lo, hi)
	if bored < p.HoleMin-1e-9 || bored > p.HoleMax+1e-9 {
		says += ", which is outside its limits"
		o.Fact("▲ the hole is outside its limits", nil)
		o.Caution("The measured hole is outside its own limits. The shaft given still makes the fit, but the two no " +
			"longer interchange with standard parts.")
	}
	o.Fact("for the hole you have, {=micrometer in}", nil, bored)
	return says + ". ", nil
}
