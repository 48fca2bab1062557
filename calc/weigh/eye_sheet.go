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
			"Published tables for the same eyebolt differ. The least of them and of the maker's rating is given; " +
				"the maker's own table for the angle decides.",
			"Here the angle is from the vertical, along the shank. Sling angles are from the horizontal: a sling at 60 degrees pulls the eyebolt at 30.",
		},
		Drawing: "eyebolt",
		Inputs: []worksheet.Input{
			{Key: "size", Label: "Eyebolt", Ask: "Which eyebolt?", Box: "eyebolt", Kind: worksheet.Choice, Required: true, Example: "5/8", Help: "Its thread diameter. 'other' needs the maker's rating.", Options: sizes},
			{Key: "kind", Label: "Pattern", Kind: worksheet.Choice, Default: "shoulder", Help: "Shoulder: a flat collar under the eye that bears on the part all round.",
				Options: []worksheet.Option{{Key: "shoulder", Label: "Shoulder, seated"}, {Key: "plain", Label: "Plain, or shoulder not seated"}}},
			{Key: "angle", Label: "Pull, from the vertical", Ask: "How far over?", Box: "over", Kind: worksheet.Angle, Default: "0", Example: "30", Min: "0", Max: "90", Help: "Between the shank and the sling leg."},
			{Key: "pull", Label: "Pull", Ask: "What pull?", Box: "pull", Kind: worksheet.Force, Units: kilo, Required: true, Example: "350 lbf", Min: "0.1 lbf", Max: "200000 lbf", Help: "Tension of the sling leg on this eyebolt, not the weight of the load."},
			{Key: "rated", Label: "Maker's rating", Ask: "Marked for how much?", Box: "marked", Kind: worksheet.Force, Units: kilo, Example: "5200 lbf", Min: "1 lbf", Max: "200000 lbf", Help: "Straight pull, as marked or in the maker's table."},
			{Key: "flat", Label: "Pull in the plane of the eye", Kind: worksheet.Flag, Default: "yes", Help: "No means it pulls across the flat of the eye."},
			{Key: "metal", Label: "Tapped into", Kind: worksheet.Choice, Section: "The thread", Default: "grey20", Options: worksheet.OptionsOf(engage.Metals[:], engage.Metal.Option), Help: "The metal that holds the thread."},
			{Key: "grip", Label: "Full thread in the hole", Ask: "How much thread?", Box: "thread", Kind: worksheet.Length, Section: "The thread", Example: "1",
				Min: "0.01 in", Max: "12 in", Help: "Empty: the thread is not reckoned, and the lift not judged."},
		},
		Results: []worksheet.Result{
			worksheet.Verdict,
			{Key: "allowed", Label: "It may carry", Kind: worksheet.Force, Units: kilo, Digits: whole, Main: true, Dial: "tag"},
			{Key: "straight", Label: "In straight pull", Kind: worksheet.Force, Units: kilo, Digits: whole, Main: true,
				Dial: "tag"},
			{Key: "used", Label: "Used of what it may carry", Kind: worksheet.Percent, Main: true, Dial: "share"},
			{Key: "ok", Label: "Within its load", Kind: worksheet.Flag, Judges: true},
			{Key: "thread", Label: "Thread bears, times the pull", Kind: worksheet.Number,
				Digits: worksheet.Digits{Inch: 1, Metric: 1}, Main: true, Dial: "margin"},
			{Key: "least", Label: "Least full thread", Kind: worksheet.Length, Dial: "threadneed"},
			{Key: "listed", Label: "By the standard's table", Kind: worksheet.Force, Units: kilo, Digits: whole, Dial: "tag"},
			{Key: "part", Label: "Part of the rating at this angle", Kind: worksheet.Percent, Dial: "percent"},
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
	o.Set("angle", angle, "deg")
	if known {
		o.Line(&standardSStep, []string{e.Key, say(o, e.Listed(angle))}, angle)
	}
	o.Line(&makersReductionStep, []string{say(o, straightOf(e, rated)), say(o, straightOf(e, rated)*Part(angle))}, Part(angle))
	weak, f := eyeThread(v, o, e, known, pull)
	if f != nil {
		return f
	}
	// What must not be lifted with at all carries nothing.
	whole := v.Flag("flat") && !weak
	does := whole && allowed > 0 && angle <= SteepestPull
	o.Set("allowed", worksheet.Either(does, allowed, 0), "lbf")
	o.SetIf(whole, "straight lbf", Allowed(e, rated, 0))
	o.SetIf(does, "used %", 100*pull/allowed)
	o.SetIf(does, "part %", 100*Part(angle))
	o.SetIf(does && known, "listed lbf", e.Listed(angle))
	if whole {
		byAngle(o, e, rated, plain)
	}
	eyeFirst(v, o, e, allowed, pull, angle, plain, weak)
	eyeVerdict(v, o, e, allowed, pull, angle, plain, weak)
	if !(rated > 0) {
		o.Hurt("These are published loads for forged carbon steel eyebolts. Yours may be less: read its marking and use " +
			"the maker's table.")
	}
	o.Note("A qualified person decides the lift, by the maker's table and the local code. No home-made, bent, welded or " +
		"unmarked eyebolts; shoulder seated all round, eye turned to the pull with shims; nobody under the load.")
	o.Few()
	o.Note("The load a lift puts on an eyebolt is the tension of its sling leg, and starting and stopping add a tenth " +
		"to a quarter.")
	return nil
}

// byAngle lists what it may carry by the angle of the pull.
func byAngle(o *worksheet.Out, e Eyebolt, rated float64, plain bool) {
	angles := []float64{StraightPull, 15, 30, SteepestPull}
	worksheet.SetRows(o, "byangle", angles, func(_ int, a float64) []worksheet.Cell {
		x := Allowed(e, rated, a)
		if plain && a > StraightPull {
			x = 0
		}
		return worksheet.Cells("df", nil, a, x)
	})
}

func straightOf(e Eyebolt, rated float64) float64 {
	return worksheet.Either(rated > 0, rated, e.Load[0])
}

// eyeVerdict judges: what was not said of the load's way is named, and without thread and angle it
// is not judged at all.
func eyeVerdict(v *worksheet.Values, o *worksheet.Out, e Eyebolt, allowed, pull, angle float64, plain, weak bool) {
	lean := o.Dec(angle, 1) + " degrees"
	carries, _ := o.ReadApart("tag", allowed, pull, "lbf")
	asks := typed(o, pull)
	text := "Carries it: " + asks + " of the " + carries + " it may carry at " + lean + "."
	if pull > .8*allowed {
		text = "Carries it, just: " + asks + " of the " + carries + " it may carry at " + lean + "."
	}
	says := worksheet.Either(v.Has("rated"), "", " Its maker's rating was not said.")
	if rated := v.As("rated", "lbf"); e.Dia > 0 && rated*Part(angle) > allowed+1e-9 {
		says = " That is by the standard, whose table gives this size less than the maker's " + typed(o, rated) +
			" straight would."
	}
	unsaid := ""
	for _, u := range [...]struct{ key, text string }{{"kind", "a seated shoulder"},
		{"flat", "a pull in the plane of its eye"}, {"metal", "soft grey iron under it"}} {
		if !v.Given(u.key) {
			unsaid += worksheet.Either(unsaid == "", " Reckoned with ", ", ") + u.text
		}
	}
	if unsaid != "" {
		says += unsaid + "."
	}
	open := false
	if !v.Given("angle") {
		open, says = true, " How far the pull leans was not said: straight was reckoned."+says
	}
	if !v.Has("grip") || !(e.Dia > 0) {
		open, says = true, " The thread that holds it was not reckoned."+says
	}
	switch {
	case !v.Flag("flat"):
		o.Stop("Do not lift so: across its flat an eyebolt bends at a fraction of its rating.",
			"The pull must lie in the plane of the eye. Shim under the shoulder to turn the eye, or use a swivel hoist ring.")
	case plain && angle > StraightPull:
		o.Stop("Do not lift so: a plain eyebolt, or one whose shoulder does not seat, is for straight pulls only.",
			"Plain eyebolts bend at an angle. Use a seated shoulder eyebolt or a swivel hoist ring, or a spreader that pulls "+
				"straight up.")
	case angle > SteepestPull:
		o.Stop("Do not lift so: it leans "+lean+", 45 at most.",
			"The pull leans more than 45 degrees from the vertical, which is outside what the rigging standards allow a "+
				"shoulder eyebolt. Use longer sling legs, a spreader, or a swivel hoist ring.")
		up := o.Dec(90-angle, 1)
		o.Ask("angle", up, o.Dec(angle, 1)+" from the vertical? A sling at "+o.Dec(angle, 1)+
			" from the horizontal pulls at "+up+".")
	case allowed == 0:
		o.Stop("Do not lift so: the standard does not recommend this size at "+lean+".",
			"This size is not recommended at this angle."+eyeWays(o, e, v.As("rated", "lbf"), pull, angle))
	case pull > allowed:
		o.Stop("Too much: it carries "+carries+" at "+lean+", the pull is "+asks+".",
			"The eyebolt is overloaded."+eyeWays(o, e, v.As("rated", "lbf"), pull, angle))
	case pull > .8*allowed:
		o.Hurt("Less than a fifth of its load is to spare, and starting and stopping add up to a quarter.")
	}
	if do := v.Flag("flat") && angle <= SteepestPull && pull <= allowed && !weak; !open || !do {
		o.SetFlag("ok", do)
	}
	o.SetText("verdict", text+says)
}

// eyeWays gives what would carry the pull: the same eyebolt pulled straighter, or the next size
// that does it at this angle.
func eyeWays(o *worksheet.Out, e Eyebolt, rated, pull, angle float64) (ways string) {
	if a, ok := straighter(e, rated, pull, angle); ok {
		ways = o.Fill(" Leaning {0} degrees or less it carries that.", nil, a)
	}
	if big := bigger(e, pull, angle); big != "" {
		ways += " A " + big + " in eyebolt may carry it by the published tables, if its thread holds."
	}
	return ways
}

func straighter(e Eyebolt, rated, pull, angle float64) (float64, bool) {
	for _, a := range [...]float64{SteepestPull, 30, 15, StraightPull} {
		if a < angle && Allowed(e, rated, a) >= pull {
			return a, true
		}
	}
	return 0, false
}

func bigger(e Eyebolt, pull, angle float64) string {
	for _, big := range Eyebolts {
		if big.Dia > e.Dia && e.Dia > 0 && Allowed(big, 0, angle) >= pull {
			return big.Key
		}
	}
	return ""
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
		o.HeadStop("Eye's thread {=thread in}, needs {=threadneed in}", nil, v.In("grip"), least)
		o.HeadStop("Too little thread for that eye", nil)
		o.Stop(o.Fill("Do not lift so: {thread in} of thread, needs {threadneed in}.", nil, v.In("grip"), least),
			"Too little thread: this metal wants that much full thread for the eyebolt to carry its load.")
	}
	if times < 5 {
		weak = true
		bears, _ := o.ReadApart("margin", times, 5, "")
		o.HeadStop("Thread bears {s} times, 5 wanted", []string{bears})
		o.FactStop("more thread, a larger eye, or a nut behind", nil)
		o.Stop("Do not lift so: the thread bears "+bears+" times the pull, 5 is asked.",
			"The thread bears less than five times the pull. Look for more thread, a larger eyebolt, or a bolt right through "+
				"with a nut.")
	}
	if m.Brittle {
		o.Cite("practice")
		o.Hurt("Grey iron of an unknown casting is not to be trusted with a lifting thread until it has been proof tested.")
	}
	return weak, nil
}
