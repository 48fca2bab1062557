package fits

import (
	"datumbook/calc/worksheet"
)

var dowelSheet = &worksheet.Sheet{
	Name: "dowel", Title: "Dowel pins", Question: "Which holes for the dowel pins?", Group: "fit",
	About: []string{
		"A dowel pin is pressed into one part and slides into the other. The pin's size, the reamed press hole, what to drill first, and the slip hole in the other part.",
		"Oversize pins are for holes that have been used before.",
	},
	Drawing: "dowel",
	Inputs: []worksheet.Input{
		{Key: "kind", Label: "Pins", Kind: worksheet.Choice, Default: InchPin, Help: "Hardened ground dowel pins.",
			Options: []worksheet.Option{{Key: InchPin, Label: "Inch (ASME B18.8.2)"}, {Key: ISOPin, Label: "Metric m6 (ISO 8734)"}, {Key: USPin, Label: "Metric (ASME B18.8.5M)"}}},
		{Key: "size", Label: "Pin", Kind: worksheet.Length, Required: true, Example: "3/8", Min: "0.03 in", Max: "1.1 in", Ask: "Which pin?", Box: "pin", Help: "Nominal diameter: 3/8, or 10mm for metric pins."},
		{Key: "series", Label: "Series", Kind: worksheet.Choice, Default: "standard", Help: "Oversize for a hole that was used before.",
			Options: []worksheet.Option{{Key: "standard", Label: "Standard"}, {Key: "over", Label: "Oversize"}}},
		{Key: "reamed", Label: "Press hole measured", Kind: worksheet.Length, Example: ".3748", Min: "0.03 in", Max: "1.2 in", Box: "press hole", Help: "The hole as it came out. Gives the squeeze of this pin in it."},
		{Key: "slip", Label: "Slip fit, least", Kind: worksheet.Length, Section: "Slip hole", Default: "0.0005 in", Min: "0 in", Max: "0.05 in", Help: "Room the pin has at least in the other part."},
		{Key: "spread", Label: "Spacing error", Kind: worksheet.Length, Section: "Slip hole", Default: "0 in", Example: ".001", Min: "0 in", Max: "0.2 in", Box: "spacing", Help: "How much the distance between two pins and between their slip holes may differ. It opens the slip holes."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "holds", Label: "Pin is tight in the press hole", Kind: worksheet.Flag, Judges: true},
		{Key: "pressmin", Label: "Press hole, least", Kind: worksheet.Length, Main: true, Dial: "least",
			Digits: worksheet.FineDigits},
		{Key: "pressmax", Label: "Press hole, most", Kind: worksheet.Length, Main: true, Dial: "most",
			Digits: worksheet.FineDigits},
		{Key: "slipmin", Label: "Slip hole, least", Kind: worksheet.Length, Main: true, Dial: "least",
			Digits: worksheet.FineDigits},
		{Key: "drill", Label: "Drill before reaming", Kind: worksheet.Text, Main: true},
		{Key: "pinmin", Label: "Pin, least", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "pinmax", Label: "Pin, most", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "tight", Label: "Most squeeze", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "least", Label: "Least squeeze", Kind: worksheet.Length, Digits: worksheet.FineDigits, Help: "Less than nothing is room."},
		{Key: "here", Label: "Squeeze in the measured hole", Kind: worksheet.Text},
		{Key: "dia", Label: "Drill diameter", Kind: worksheet.Length},
		{Key: "nominal", Label: "Nominal", Kind: worksheet.Length},
		{Key: "shear", Label: "Single shear, least", Kind: worksheet.Force, Dial: "grip",
			Digits: worksheet.WholeDigits, Help: "Breaking load of the pin, not a working load."},
		{Key: "steps", Label: "Steps", Kind: worksheet.Lines, Plan: true},
	},
	Sources: []worksheet.Source{
		{Key: "B18.8.2", Title: "ASME B18.8.2-2000 Taper Pins, Dowel Pins, Straight Pins, Grooved Pins, and Spring Pins (Inch Series), table 2"},
		{Key: "ISO 8734", Title: "ISO 8734:1997 Parallel pins of hardened steel (dowel pins), m6; holes by ISO 286-2:2010"},
		{Key: "B18.8.5M", Title: "ASME B18.8.5M-1994 Machine Dowel Pins, Hardened Ground (Metric Series)"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "size", Text: "3/8 in"}},
	Compute: computeDowel,
}

// Worked lines of computeDowel.
var (
	slipHoleStep    = worksheet.Step{What: "Slip hole", Formula: "largest pin + slip + spacing error", Numbers: "{s} + {s} + {s}", Result: "{s}", Source: "practice"}
	drillBeforeStep = worksheet.Step{What: "Drill before reaming", Formula: "nominal - reaming allowance", Numbers: "{s}", Result: "{s}", Source: "practice"}
)

func computeDowel(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	kind, over := v.Choice("kind"), v.Choice("series") == "over"
	if kind == ISOPin && over {
		return v.Refuse("series", "ISO 8734 has no oversize series. Ream for the next larger pin.")
	}
	p, ok := FindPin(kind, v.In("size"), over)
	if !ok {
		sizes := "1/16, 3/32, 1/8, 5/32, 3/16, 1/4, 5/16, 3/8, 7/16, 1/2, 5/8, 3/4, 7/8 and 1 in"
		switch kind {
		case ISOPin:
			sizes = "1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16 and 20 mm"
		case USPin:
			sizes = "3, 4, 5, 6, 8, 10, 12, 16, 20 and 25 mm"
		}
		return v.Refuse("size", "there is no such pin in this standard. The sizes are "+sizes+".")
	}
	source := "ISO 8734"
	switch kind {
	case InchPin:
		source = "B18.8.2"
	case USPin:
		source = "B18.8.5M"
	}
	d := PinDrill(p.Nominal, kind != InchPin)
	slip := p.Max + v.In("slip") + v.In("spread")
	o.SetAll("pinmin in, pinmax in, pressmin in, pressmax in, tight in, least in, slipmin in",
		p.Min, p.Max, p.HoleMin, p.HoleMax, p.Max-p.HoleMin, p.Min-p.HoleMax,
		slip)
	o.SetText("drill", drillSize(o, d.Name, d.Inches))
	o.SetAll("dia in, nominal in", d.Inches, p.Nominal)
	o.SetIf(p.Shear > 0, "shear lbf", p.Shear)
	series := worksheet.Either(over, "oversize series", "standard series")
	inward(o, p.HoleMin, p.HoleMax)
	press := o.Fill("{least in} to {most in}", nil, p.HoleMin, p.HoleMax)
	says := o.Fill("Ream the press hole {s}, the slip hole {least in} or a little more; drill {s} first",
		[]string{press, drillSize(o, d.Name, d.Inches)}, slip)
	steps := []string{
		"Clamp both parts together and drill " + drillSize(o, d.Name, d.Inches) + " through both where you can.",
		"Ream the press hole to " + press + ".",
		o.Fill("Take the parts apart and ream the other to {least in} or a little more.", nil, slip),
		"Press the pin in; do not strike it. Where the hole is blind leave a vent for the air.",
	}
	if r := v.In("reamed"); r >= p.HoleMin { // it is reamed, and no reamer makes it smaller
		says = o.Fill("Leave the press hole at {micrometer in}; ream the slip hole {least in} or a little more, "+
			"drill {s} first", []string{drillSize(o, d.Name, d.Inches)}, r, slip)
		steps = []string{
			"Clamp the parts in place, spot the slip hole from the press hole, and drill it " +
				drillSize(o, d.Name, d.Inches) + ".",
			o.Fill("Ream the slip hole to {least in} or a little more.", nil, slip), steps[3]}
	}
	o.Head("Ream {=least in} to {=most in}", nil, p.HoleMin, p.HoleMax)
	o.SetLines("steps", steps)
	if s := v.In("slip"); s > mostSlip {
		o.Ask("slip", o.Len(s/10), o.Fill("A slip fit of {needle in}? The parts would not come back to one place. "+
			"Or {needle in}?", nil, s, s/10))
		says += o.Fill("; {needle in} of slip locates little", nil, s)
	}
	o.Work("Pin", "table, "+series, p.Name, fine(o, p.Min)+" to "+fine(o, p.Max), source)
	o.Work("Press hole", "table", p.Name, fine(o, p.HoleMin)+" to "+fine(o, p.HoleMax), source)
	o.Line(&slipHoleStep, []string{fine(o, p.Max), fine(o, v.In("slip")), fine(o, v.In("spread")), fine(o, slip)})
	o.Line(&drillBeforeStep, []string{p.Name, drillSize(o, d.Name, d.Inches)})
	switch {
	case v.Has("reamed"):
		if tight := measured(v, o, p); tight != "" {
			says += tight + worksheet.Either(over, " with the oversize pin", "")
		}
	case p.Min > p.HoleMax:
		o.SetFlag("holds", true)
	default:
		o.Fact("▲ may be loose: measure the hole", nil)
		says += ". Measure the press hole: in its larger half this pin may be loose"
	}
	o.Fact("drill {s} first", []string{d.Name})
	o.Fact("slip hole {=least in}", nil, slip)
	o.Fact("pin {=micrometer in}", nil, (p.Min+p.Max)/2)
	o.SetText("verdict", says+".")
	o.Note("Wear eye protection: hardened pins splinter when they are struck or pressed crooked.")
	return nil
}

// mostSlip is the most room that still locates a part, in inches. Common practice, no published
// source.
const mostSlip = .005

// mostSqueeze is three times the most a standard pin is pressed by, in inches: beyond it the pin
// seizes half way or splits the part. Common practice, no published source.
const mostSqueeze = .0025

// measured judges the press hole as measured, and gives the end of the verdict.
func measured(v *worksheet.Values, o *worksheet.Out, p Pin) string {
	r := v.In("reamed")
	lo, hi := p.Min-r, p.Max-r
	hole := o.Read("micrometer", r, "in")
	bare := []string{figure(hole)}
	o.SetFlag("holds", lo > 0 && hi <= mostSqueeze)
	switch {
	case hi > mostSqueeze:
		o.SetText("here", o.Fill("{most in} to {least in} of squeeze", nil, lo, hi))
		o.HeadStop("Hole {s}: too small for the pin", bare)
		o.FactStop("ream {=least in} to {=most in}", nil, p.HoleMin, p.HoleMax)
		o.FactStop("{=least in} of squeeze splits it", nil, hi)
		o.Stop("Hole "+hole+": too small, the pin seizes or splits the part.",
			o.Fill("{least in} of squeeze is more than three times what such a pin is pressed by. Measure again, or "+
				"ream it.", nil, hi))
	case lo > 0:
		o.SetText("here", o.Fill("{most in} to {least in} of squeeze", nil, lo, hi))
		o.Head("Hardly any squeeze in your hole", nil)
		if lo >= 1e-4 {
			o.Head("{=most in} squeeze in your hole", nil, lo)
		}
		o.Fact(worksheet.Either(r < p.HoleMin-1e-9, "▲ hole is under its limits", ""), nil)
		o.Fact("most {=least in}", nil, hi)
		o.CautionIf(r < p.HoleMin-1e-9,
			"The hole is smaller than the standard's press hole. The pin may seize half way, or split a thin wall "+
				"of cast iron.")
		return o.Fill("; in your hole {most in} to {least in} of squeeze", nil, lo, hi)
	case hi < 0:
		o.SetText("here", o.Fill("loose by {most in} to {least in}", nil, -hi, -lo))
		o.HeadStop("Hole {s}: pin will drop in", bare)
		kind := v.Choice("kind")
		q, ok := FindPin(kind, p.Nominal, kind != ISOPin)
		o.FactStop(worksheet.Either(ok && q.Min > r, "oversize pin", "ream for the next pin"), nil)
		o.FactStop("loose by {=most in}", nil, -hi)
		o.Stop("Hole "+hole+": the pin will drop in.", "This pin is loose in the hole. Use an oversize pin, or ream "+
			"for the next size.")
	default:
		o.SetText("here", o.Fill("from {least in} loose to {most in} of squeeze", nil, -lo, hi))
		o.Head("May be loose in your hole", nil)
		o.Fact("▲ pick the pin, or oversize", nil)
		o.Caution("This pin may be loose in the hole. Pick one by measurement, or use an oversize pin.")
		return "; in your hole it may be loose"
	}
	return ""
}
