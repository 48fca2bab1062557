package weigh

import (
	"datumbook/calc/engage"
	"datumbook/calc/worksheet"
)

func eyeSheet() *worksheet.Sheet {
	whole := worksheet.Digits{Inch: worksheet.Whole, Metric: 3}
	size := func(e Eyebolt) worksheet.Option { return worksheet.Option{Key: e.Key, Label: e.Key + " in"} }
	sizes := worksheet.OptionsOf(Eyebolts[:], size, worksheet.Option{Key: "other", Label: "Another size"})
	return &worksheet.Sheet{
		Name: "eyebolt", Title: "Eyebolt", Question: "What may the eyebolt carry at that angle?", Group: "lift",
		About: []string{
			"An eyebolt is strong along its shank and weak across it. At 45 degrees a shoulder eyebolt keeps less than a third of its rating; a plain one without a shoulder is for straight pulls only.",
			"Published tables for the same eyebolt differ. The maker's own table comes first; without it the least of the published ones is given.",
			"Here the angle is from the vertical, along the shank. Sling angles are from the horizontal: a sling at 60 degrees pulls the eyebolt at 30.",
		},
		Drawing: "eyebolt",
		Inputs: []worksheet.Input{
			{Key: "size", Label: "Eyebolt", Kind: worksheet.Choice, Required: true, Example: "5/8", Help: "Its thread diameter. 'other' needs the maker's rating.", Options: sizes},
			{Key: "kind", Label: "Pattern", Kind: worksheet.Choice, Default: "shoulder", Help: "Shoulder: a flat collar under the eye that bears on the part all round.",
				Options: []worksheet.Option{{Key: "shoulder", Label: "Shoulder, seated"}, {Key: "plain", Label: "Plain, or shoulder not seated"}}},
			{Key: "angle", Label: "Pull, from the vertical", Kind: worksheet.Angle, Default: "0", Example: "30", Min: "0", Max: "90", Help: "Between the shank and the sling leg."},
			{Key: "pull", Label: "Pull", Kind: worksheet.Force, Units: kilo, Required: true, Example: "350 lbf", Min: "0.1 lbf", Max: "200000 lbf", Help: "Tension of the sling leg on this eyebolt, not the weight of the load."},
			{Key: "rated", Label: "Maker's rating", Kind: worksheet.Force, Units: kilo, Example: "5200 lbf", Min: "1 lbf", Max: "200000 lbf", Help: "Straight pull, as marked or in the maker's table."},
			{Key: "flat", Label: "Pull in the plane of the eye", Kind: worksheet.Flag, Default: "yes", Help: "No means it pulls across the flat of the eye."},
			{Key: "metal", Label: "Tapped into", Kind: worksheet.Choice, Section: "The thread", Default: "grey20", Options: worksheet.OptionsOf(engage.Metals[:], engage.Metal.Option), Help: "The metal that holds the thread."},
			{Key: "grip", Label: "Full thread in the hole", Kind: worksheet.Length, Section: "The thread", Example: "1", Min: "0.01 in", Max: "12 in", Help: "Empty: the thread is not checked."},
		},
		Results: []worksheet.Result{
			worksheet.Verdict,
			{Key: "allowed", Label: "It may carry", Kind: worksheet.Force, Units: kilo, Digits: whole, Main: true},
			{Key: "straight", Label: "In straight pull", Kind: worksheet.Force, Units: kilo, Digits: whole, Main: true},
			{Key: "used", Label: "Used of what it may carry", Kind: worksheet.Percent, Main: true},
			{Key: "ok", Label: "Within its load", Kind: worksheet.Flag},
			{Key: "thread", Label: "Thread bears, times the pull", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 1, Metric: 1}, Main: true},
			{Key: "least", Label: "Least full thread", Kind: worksheet.Length},
			{Key: "listed", Label: "By the standard's table", Kind: worksheet.Force, Units: kilo, Digits: whole},
			{Key: "part", Label: "Part of the rating at this angle", Kind: worksheet.Percent},
			{Key: "angle", Label: "Pull, from the vertical", Kind: worksheet.Angle, Digits: worksheet.Digits{Inch: 1, Metric: 1}},
			{Key: "byangle", Label: "By angle", Kind: worksheet.Table, Columns: []worksheet.Column{
				{Key: "angle", Label: "From the vertical, to", Kind: worksheet.Angle}, {Key: "load", Label: "May carry", Kind: worksheet.Force, Units: kilo}}},
		},
		Sources: []worksheet.Source{
			{Key: "B18.15", Title: "ASME B18.15-2015 Forged Eyebolts: working loads by angle, engagement; ASTM A489"},
			{Key: "B30.26", Title: "ASME B30.26 Rigging Hardware: use of eyebolts; makers' reductions by angle"},
			{Key: "B1.1", Title: "ASME B1.1-2003, appendix B: thread strength"},
			worksheet.Practice,
		},
		Example: []worksheet.Pair{{Key: "size", Text: "5/8"}, {Key: "angle", Text: "30"}, {Key: "pull", Text: "350 lbf"}, {Key: "metal", Text: "grey30"}, {Key: "grip", Text: "1 in"}},
		Compute: computeEye,
	}
}

// Worked lines of computeEye.
var (
	standardSStep       = worksheet.Step{What: "By the standard's table", Formula: "next larger angle tabled", Numbers: "{s} in, {1} deg", Result: "{s}", Source: "B18.15"}
	makersReductionStep = worksheet.Step{What: "By the makers' reduction", Formula: "rating x part at the angle", Numbers: "{s} x {2}", Result: "{s}", Source: "B30.26"}
)

func computeEye(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	e, known := FindEyebolt(v.Choice("size"))
	rated, pull, angle := v.As("rated", "lbf"), v.As("pull", "lbf"), v.As("angle", "deg")
	if !known && !(rated > 0) {
		return v.Refuse("rated", "it is missing. A size that is not in the table needs the maker's rating.")
	}
	plain := v.Choice("kind") == "plain"
	allowed := Allowed(e, rated, angle)
	if plain && angle > StraightPull {
		allowed = 0
	}
	o.SetAll("allowed lbf, straight lbf, part %, angle deg", allowed, Allowed(e, rated, 0), 100*Part(angle), angle)
	if known {
		o.Set("listed", e.Listed(angle), "lbf")
		o.Line(&standardSStep, []string{e.Key, say(o, e.Listed(angle))}, angle)
	}
	o.SetIf(allowed > 0, "used %", 100*pull/allowed)
	o.Line(&makersReductionStep, []string{say(o, straightOf(e, rated)), say(o, straightOf(e, rated)*Part(angle))}, Part(angle))
	angles := []float64{StraightPull, 15, 30, SteepestPull}
	worksheet.SetRows(o, "byangle", angles, func(_ int, a float64) []worksheet.Cell {
		x := Allowed(e, rated, a)
		if plain && a > StraightPull {
			x = 0
		}
		return worksheet.Cells("df", nil, a, x)
	})
	weak, f := eyeThread(v, o, e, known, pull)
	if f != nil {
		return f
	}
	eyeVerdict(v, o, allowed, pull, angle, plain, weak)
	o.CautionIf(!(rated > 0),
		"These are published loads for forged carbon steel eyebolts. Yours may be less: read its marking and use the maker's table.")
	o.Caution("A qualified person decides the lift. No home-made, bent, welded or unmarked eyebolts; shoulder seated all round, eye turned to the pull with shims; nobody under the load.")
	o.Caution("The load a lift puts on an eyebolt is the tension of its sling leg, and starting and stopping add a tenth to a quarter.")
	return nil
}

func straightOf(e Eyebolt, rated float64) float64 {
	return worksheet.Either(rated > 0, rated, e.Load[0])
}

func eyeVerdict(v *worksheet.Values, o *worksheet.Out, allowed, pull, angle float64, plain, weak bool) {
	ok := pull <= allowed && allowed > 0
	text := o.Fill("Within its load: {s} of the {s} it may carry at {1} degrees.", []string{say(o, pull), say(o, allowed)}, angle)
	switch {
	case !v.Flag("flat"):
		ok, text = false, "Do not lift so: across its flat an eyebolt bends at a fraction of its rating."
		o.Refuse("The pull must lie in the plane of the eye. Shim under the shoulder to turn the eye, or use a swivel hoist ring.")
	case plain && angle > StraightPull:
		ok, text = false, "Do not lift so: a plain eyebolt, or one whose shoulder does not seat, is for straight pulls only."
		o.Refuse("Plain eyebolts bend at an angle. Use a seated shoulder eyebolt or a swivel hoist ring, or a spreader that pulls straight up.")
	case angle > SteepestPull:
		ok, text = false, "Do not lift so: more than 45 degrees from the vertical is outside what the rigging standards allow a shoulder eyebolt."
		o.Refuse("The pull leans more than 45 degrees. Use longer sling legs, a spreader, or a swivel hoist ring.")
	case allowed == 0:
		text = "Do not lift so: the standard does not recommend this size at this angle."
		o.Refuse("This size is not recommended at this angle. Take a larger one or pull straight.")
	case !ok:
		text = o.Fill("Too much: {s} on an eyebolt that may carry {s} at {1} degrees.", []string{say(o, pull), say(o, allowed)}, angle)
		o.Refuse("The eyebolt is overloaded. Take a larger one, more of them with an equaliser, or pull straighter.")
	case weak:
		ok, text = false, "Do not lift so: the eyebolt would bear it, the thread in the part does not bear enough."
	case pull > .8*allowed:
		o.Caution("Less than a fifth of its load is to spare.")
	}
	o.SetFlag("ok", ok)
	o.SetText("verdict", text)
}

// Worked lines of eyeThread.
var (
	leastFullStep   = worksheet.Step{What: "Least full thread", Formula: "1 diameter in steel, 1-1/2 in iron and bronze, 2 in aluminium", Numbers: "{s} in", Result: "{in}", Source: "B18.15"}
	threadBearsStep = worksheet.Step{What: "Thread bears, times the pull", Formula: "least stripping load / pull", Numbers: "{in}, {s}", Result: "{1}", Source: "B1.1"}
)

// eyeThread checks the thread that holds it: the engagement ASME B18.15 asks
// for, and five times the pull against stripping. Weak says that it is short.
func eyeThread(v *worksheet.Values, o *worksheet.Out, e Eyebolt, known bool, pull float64) (weak bool, f *worksheet.InputError) {
	if !known {
		return false, nil
	}
	m, _ := engage.FindMetal(v.Choice("metal"))
	least := float64(m.Rule * e.Dia)
	o.Set("least", least, "in")
	o.Line(&leastFullStep, []string{e.Key}, least)
	if !v.Has("grip") {
		o.Note("The thread in the part was not checked. Type how much full thread there is.")
		return false, nil
	}
	times, f := Grip(e, m, v.In("grip"), pull)
	if f != nil {
		return false, v.Refuse("size", f.Message)
	}
	o.Set("thread", times, "")
	o.Line(&threadBearsStep, []string{m.Label}, v.In("grip"), times)
	if v.In("grip") < least-1e-9 {
		weak = true
		o.Refuse(o.Fill("Too little thread: this metal wants {in} of full thread for the eyebolt to carry its load.", nil, least))
	}
	if times < 5 {
		weak = true
		o.Refuse("The thread bears less than five times the pull. Look for more thread, a larger eyebolt, or a bolt right through with a nut.")
	}
	if m.Brittle {
		o.Cite("practice")
		o.Caution("Grey iron of an unknown casting is not to be trusted with a lifting thread until it has been proof tested.")
	}
	return weak, nil
}
