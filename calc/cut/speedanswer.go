package cut

import (
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

func speedCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	m, _ := Find(v.Choice("work"))
	op := Op(v.Choice("op"))
	carbide := v.Choice("tool") == "carbide" && op != Tap
	d, pitch := v.In("dia"), 0.0
	if op == Tap {
		if !v.Has("thread") {
			return v.Refuse("thread", "a tap needs its thread. Type it like 5/8-11 or M12.")
		}
		t, err := thread.Parse(v.Text("thread"))
		if err != nil {
			return v.Refuse("thread", err.Error()+". Type it like 5/8-11 or M12.")
		}
		d, pitch = t.Inches(t.D), t.Inches(t.Pitch)
	} else if !v.Has("dia") {
		return v.Refuse("dia", "it is needed for this tool. Fill it in.")
	}
	lo, hi := m.Range(op, carbide)
	share := map3(v.Choice("setup"))
	aim := span{lo, hi}.at(share)
	most := hi
	if v.Has("own") {
		aim = v.As("own", "ft/min")
		most = max(aim, hi)
	}
	slower, lighter := 1.0, 1.0
	if v.Flag("scale") {
		slower = .65
	}
	if op == Drill && v.Has("depth") {
		s, f := Deep(v.In("depth") / d)
		slower, lighter = slower*s, f
	}
	aim, most = aim*slower, most*slower
	top := RPM(most, d)
	if v.Has("maxrpm") {
		top = min(top, v.As("maxrpm", "rpm"))
	}
	aimRPM := min(RPM(aim, d), top)
	got := PickSpeed(v.List("speeds", "rpm"), aimRPM, top)
	pertooth, teeth := feedPer(v, m, op, d)
	perrev := worksheet.Either(op == Tap, pitch, pertooth*teeth*lighter)
	milling := op == FaceMill || op == EndMill
	set, over := perrev*got.RPM, false
	switch {
	case op == Tap:
	case milling:
		set, over = PickFeed(v.List("feeds", "in/min"), perrev*got.RPM)
	default:
		var f float64
		f, over = PickFeed(v.List("revfeeds", "in"), perrev)
		set = f * got.RPM
	}
	actual := Surface(got.RPM, d)
	o.SetAll("rpm rpm, feed in/min, perrev in", got.RPM, set, set/got.RPM)
	o.SetIf(milling || op == Ream, "pertooth in", set/got.RPM/teeth)
	o.SetAll("speed ft/min, aimrpm rpm, aimfeed in/min, aimspeed ft/min, low ft/min, high ft/min, toprpm rpm",
		actual, aimRPM, perrev*aimRPM, aim, lo*slower, hi*slower,
		top)
	o.SetIf(milling || op == Bore, "depth in", worksheet.Either(v.Choice("finish") == "finish", .010, m.Depth))
	feedText := o.Len(set/got.RPM) + " a turn"
	if milling {
		feedText = o.Show(set, "in/min", worksheet.TableFeed)
	}
	verdict := o.Fill("Set {0} rpm and feed {s}: that is {ft/min}.", []string{feedText}, got.RPM, actual)
	if got.Fast || v.Has("maxrpm") && got.RPM > v.As("maxrpm", "rpm") {
		verdict = o.Fill("The machine's slowest, {0} rpm, is too fast for this tool: {ft/min} where {ft/min} is the most.", nil, got.RPM, actual, Surface(top, d))
		o.Refuse("No spindle speed of this machine is slow enough for this tool and metal. Take a smaller diameter, carbide, or back gear.")
	} else if got.Above {
		o.Caution("The speed set lies above the one aimed at, because the next slower one is far below it. Watch the edges; drop to the slower one if they blue or squeal.")
	}
	o.CautionIf(over,
		"The machine's smallest feed is more than the feed aimed at: take a lighter cut, or feed by hand.")
	o.SetText("verdict", verdict)
	speedSay(v, o, m, op, carbide, d, aim, aimRPM, got.RPM, actual, perrev, pertooth, teeth, lo, hi)
	return nil
}

func map3(setup string) float64 {
	switch setup {
	case "weak":
		return 0
	case "stiff":
		return 1
	}
	return .5
}

// feedPer gives the feed for one edge and how many edges share a turn.
func feedPer(v *worksheet.Values, m Material, op Op, d float64) (per, edges float64) {
	finish := v.Choice("finish") == "finish"
	edges = v.Num("teeth")
	switch op {
	case FaceMill:
		per = m.Face.at(.5)
		if finish {
			per = m.Face.lo
		}
	case EndMill:
		per = m.EndFeed(d)
		if finish {
			per /= 2
		}
	case Ream:
		per = .0025
	default:
		edges = 1
	}
	lo, hi := DrillFeed(d)
	at := worksheet.Either(m.Soft, .75, .25)
	switch op {
	case Drill:
		per = span{lo, hi}.at(at)
	case Csink:
		per = min(span{lo, hi}.at(at)/2, .010)
	case Bore:
		per = m.BoreFeed.at(.5)
		if finish {
			per = m.BoreFeed.lo
		}
	}
	if v.Has("ownfeed") && op != Tap {
		per = v.In("ownfeed")
	}
	if (op == FaceMill || op == EndMill) && v.Has("width") && !v.Has("ownfeed") {
		per *= Thinning(v.In("width"), d)
	}
	return per, edges
}

// Worked lines of speedSay.
var (
	surfaceSpeedStep    = worksheet.Step{What: "Surface speed", Formula: "as typed", Numbers: "", Result: "{ft/min}", Source: "practice"}
	spindleSpeedStep    = worksheet.Step{What: "Spindle speed aimed at", Formula: "n = V/(pi D)", Numbers: "{ft/min}/(pi x {in})", Result: "{0} rpm", Source: "geometry"}
	spindleSpeedSetStep = worksheet.Step{What: "Spindle speed set", Formula: "next at or below; the nearer neighbour where that is under 3/4", Numbers: "", Result: "{0} rpm, {ft/min}", Source: "practice"}
	feedStep            = worksheet.Step{What: "Feed", Formula: "one pitch a turn", Numbers: "", Result: "{in}", Source: "geometry"}
	tableFeedAimedStep  = worksheet.Step{What: "Table feed aimed at", Formula: "vf = fz z n", Numbers: "{in} x {0} x {0}", Result: "{in/min}", Source: "makers"}
	feedAimedStep       = worksheet.Step{What: "Feed aimed at", Formula: "0.0025 in a flute and turn", Numbers: "{in} x {0}", Result: "{in} a turn", Source: "makers"}
	feedAimedStep2      = worksheet.Step{What: "Feed aimed at", Formula: "by metal and cut", Numbers: "", Result: "{in} a turn", Source: "shop"}
	feedAimedStep3      = worksheet.Step{What: "Feed aimed at", Formula: "half the drill's", Numbers: "", Result: "{in} a turn", Source: "practice"}
	feedAimedStep4      = worksheet.Step{What: "Feed aimed at", Formula: "by diameter; iron and soft metals high in the range", Numbers: "", Result: "{in} a turn", Source: "Navy"}
)

func speedSay(v *worksheet.Values, o *worksheet.Out, m Material, op Op, carbide bool, d, aim, aimRPM, rpm, actual, perrev, pertooth, teeth, lo, hi float64) {
	src := "shop"
	switch op {
	case Ream, Tap:
		src = "makers"
	case Csink:
		src = "practice"
	default:
		if carbide {
			src = "practice"
		}
	}
	if v.Has("own") {
		o.Line(&surfaceSpeedStep, nil, aim)
	} else {
		o.Work("Surface speed, "+m.Label, "range by tool and metal, place in it by the set-up, less for scale and depth",
			o.Fill("{ft/min} to {ft/min}", nil, lo, hi), o.Show(aim, "ft/min", worksheet.SurfaceSpeed), src)
	}
	o.Line(&spindleSpeedStep, nil, aim, d, aimRPM)
	o.Line(&spindleSpeedSetStep, nil, rpm, actual)
	switch op {
	case Tap:
		o.Line(&feedStep, nil, perrev)
		o.Note("A tap feeds itself by its pitch: lead screw, tension-compression holder or a loose quill. Halve the speed for a bottoming tap and for reversing by hand.")
	case FaceMill, EndMill:
		o.Line(&tableFeedAimedStep, nil, pertooth, teeth, rpm, perrev*rpm)
	case Ream:
		o.Line(&feedAimedStep, nil, pertooth, teeth, perrev)
	case Bore:
		o.Line(&feedAimedStep2, nil, perrev)
		o.Note("A long bar chatters before the table's speed: start at the low end, and halve the speed rather than the feed.")
	case Csink:
		o.Line(&feedAimedStep3, nil, perrev)
	default:
		o.Line(&feedAimedStep4, nil, perrev)
	}
	o.NoteIf(v.Flag("scale"),
		"First cut through scale and sand: get under the skin in one cut, and slow; a cut that rubs the skin kills the edges.")
	o.CautionIf(!v.Has("maxrpm"),
		"The cutter's own limit is not known: never turn a cutter faster than its maker marks on it.")
	o.Note("Tables are starting values for sharp tools and a sound set-up. Eye protection on, guard in place; stop the spindle to clear chips.")
}
