package cut

import (
	"math"

	"datumbook/calc/thread"
	"datumbook/calc/units"
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
	if !v.Has("speeds") { // speed and feed go by what is told
		got.RPM = Told(got.RPM)
	}
	pertooth, teeth := feedPer(v, m, op, d)
	perrev := worksheet.Either(op == Tap, pitch, pertooth*teeth*lighter)
	milling := op == FaceMill || op == EndMill
	set, over := perrev*got.RPM, false
	steps(v, o, "speeds", "spindle", "rpm", "rpm")
	switch {
	case op == Tap:
		o.SetStep("tooth", .0001, "in") // a lead is no choice
	case milling:
		set, over = PickFeed(v.List("feeds", "in/min"), perrev*got.RPM)
		steps(v, o, "feeds", "tablefeed", "in/min", "mm/min")
	default:
		var f float64
		f, over = PickFeed(v.List("revfeeds", "in"), perrev)
		set = f * got.RPM
		steps(v, o, "revfeeds", "tooth", "in", "mm")
	}
	actual := Surface(got.RPM, d)
	o.SetAll("rpm rpm, feed in/min, perrev in", got.RPM, set, set/got.RPM)
	o.SetIf(milling || op == Ream, "pertooth in", set/got.RPM/teeth)
	o.SetAll("speed ft/min, aimrpm rpm, aimfeed in/min, aimspeed ft/min, low ft/min, high ft/min, toprpm rpm",
		actual, aimRPM, perrev*aimRPM, aim, lo*slower, hi*slower,
		top)
	deep := m.Depth
	if v.Flag("scale") {
		deep = max(deep, throughSkin)
	} else if v.Choice("finish") == "finish" {
		deep = .010
	}
	cuts := milling || op == Bore
	o.SetIf(cuts, "depth in", deep)
	feedText := o.Fill("{tooth in} a turn", nil, set/got.RPM)
	if milling {
		feedText = o.Read("tablefeed", set, "in/min")
	}
	if op == Tap {
		feedText = o.Fill("its lead, {tooth in}, each turn", nil, pitch)
	}
	speedFirst(o, op, got.RPM, set, pitch)
	verdict := o.Fill("Set {spindle rpm} and feed {s}: that is {surface ft/min}.", []string{feedText}, got.RPM, actual)
	drop := 0.0 // the speed to drop to if it squeals
	if got.Fast {
		tooFast(v, o, m, op, d, got.RPM, top, slower)
	} else if got.Above {
		next := PickSpeed(v.List("speeds", "rpm"), aimRPM, aimRPM)
		drop = worksheet.Either(next.Fast, 0, next.RPM)
		says := o.Fill("{spindle rpm} is a step over the {two rpm} aimed at", nil, got.RPM, aimRPM)
		if !next.Fast {
			says += o.Fill(": if edges blue or squeal, drop to {spindle rpm}", nil, next.RPM)
		}
		if actual > hi*slower {
			verdict += " " + says + "."
			o.Caution(says + ".")
		} else { // within the table's range
			o.Note(says + ".")
		}
	}
	if v.Flag("scale") && cuts {
		says := o.Fill("Through scale: get under the skin in one cut, {pass in} deep or what the skin takes. A cut that "+
			"rubs the skin kills the edges", nil, deep)
		verdict += " " + says + "."
		o.Head("{=spindle rpm} rpm through scale", nil, got.RPM)
		o.Fact("get under in one cut, {=pass in} deep", nil, deep)
		o.Caution(says + worksheet.Either(v.Choice("finish") == "finish", "; a finishing cut comes after it.",
			"; ask 'power' whether the motor pulls it."))
	}
	if over {
		least := worksheet.Either(milling, o.Read("tablefeed", set, "in/min"), o.Read("tooth", set/got.RPM, "in"))
		verdict += " The smallest feed is more than aimed at."
		if milling {
			o.Head("Least feed {=tablefeed in/min} is too much", nil, set)
		} else {
			o.Head("Least feed {=tooth in} is too much", nil, set/got.RPM)
		}
		o.Fact("lighter cut, or by hand", nil)
		o.Caution("The machine's smallest feed is more than the feed aimed at: " + least +
			". Take a lighter cut, or feed by hand.")
	}
	o.NoteIf(v.Flag("scale") && !cuts, "Through scale and sand a third slower; feed so that the edges are under the "+
		"skin at once.")
	marked := v.As("maxrpm", "rpm")
	if v.Has("maxrpm") && got.RPM > .8*marked {
		o.Fact("▲ marked {=spindle rpm}: no faster", nil, marked)
	}
	o.CautionIf(v.Has("maxrpm") && !got.Fast && got.RPM > .8*marked,
		"This is near the {spindle rpm} marked on the tool: never turn it faster.", marked)
	o.CautionIf(v.Has("own") && aim > 1.3*hi*slower, "Your own surface speed is {1} times the most that the table gives "+
		"for this tool and metal.", aim/(hi*slower))
	verdict = ownFeed(v, o, m, op, d) + verdict
	load(v, o, m, op, d, pitch, got.RPM, set/got.RPM)
	if drop > 0 {
		o.Fact("a step fast: {=spindle rpm} if it squeals", nil, drop)
	}
	surface := o.Fill("{+surface ft/min}", nil, actual)
	if held := milling && heldBack(v, o, perrev*got.RPM, set); !held {
		o.Fact(surface, nil)
		surface = ""
	}
	if milling {
		o.Fact("{=tooth in} a tooth{s}", []string{worksheet.Either(v.Given("teeth"), "",
			o.Fill(" if {0} teeth", nil, teeth))}, set/got.RPM/teeth)
		o.Fact(surface, nil)
		o.Fact("start {=pass in} deep", nil, deep)
	}
	speedAsk(o, op, d)
	o.Few()
	o.SetText("verdict", verdict)
	speedSay(v, o, m, op, carbide, d, aim, aimRPM, got.RPM, actual, perrev, pertooth, teeth, lo, hi)
	return nil
}

// heldBack says that the machine has no feed near the one aimed at: its next is faster, or there is
// none.
func heldBack(v *worksheet.Values, o *worksheet.Out, aim, set float64) bool {
	if set >= .8*aim {
		return false
	}
	next := math.Inf(1)
	for _, f := range v.List("feeds", "in/min") {
		if f > set {
			next = min(next, f)
		}
	}
	if math.IsInf(next, 0) {
		o.Fact("held back: no faster feed", nil)
		return true
	}
	o.Fact("held back: next feed is {=tablefeed in/min}", nil, next)
	return true
}

// ownFeed says that a feed typed in place of the table's is a heavy one.
func ownFeed(v *worksheet.Values, o *worksheet.Out, m Material, op Op, d float64) string {
	own, most := v.In("ownfeed"), m.MostFeed(op, d)
	thick := own
	if (op == FaceMill || op == EndMill) && v.Has("width") {
		thick /= Thinned(v.In("width"), d)
	}
	if op == Tap || thick <= most*(1+1e-9) {
		return ""
	}
	o.AskMillimetres(own > 6*most && own/25.4 < most, "ownfeed", own)
	lo, hi := DrillFeed(d)
	switch op {
	case Drill:
		o.Caution(o.Fill("Drills of this size are fed {two in} to {two in} a turn.", nil, lo, hi))
	case FaceMill, EndMill, Ream:
		o.Caution(o.Fill("{two in} a tooth is the most that is usual for this tool and metal.", nil, most))
	default:
		o.Caution(o.Fill("{two in} a turn is the most that is usual for this tool and metal.", nil, most))
	}
	typed := o.Scaled(own, 4, " in", 25.4, 3, " mm")
	if op != Drill && op != Csink && op != Bore {
		o.Head("{=tooth in} a tooth: edges will chip", nil, own)
		o.Fact("{=tooth in} is the most that is usual", nil, most)
	} else {
		o.Head("{=tooth in} a turn is a heavy feed", nil, own)
		o.Fact("{=tooth in} is the most that is usual", nil, worksheet.Either(op == Drill, hi, most))
	}
	if op == FaceMill || op == EndMill {
		return typed + " a tooth is a heavy chip: edges will break. "
	}
	return typed + worksheet.Either(op == Ream, " a tooth", " a turn") + " is a heavy feed. "
}

// throughSkin is the least depth, inches, of a first cut under sand and skin of a raw casting.
// Common practice, no published source.
const throughSkin = 1. / 8

// steps makes a dial read a machine's own figures as they stand in its list.
func steps(v *worksheet.Values, o *worksheet.Out, key, dial, inch, metric string) {
	unit := worksheet.Either(v.System == units.MetricSystem, metric, inch)
	list := v.List(key, unit)
	if len(list) == 0 {
		return
	}
	step := 1.0
	for _, x := range list {
		for step > 1e-5 && math.Abs(x/step-math.Round(x/step)) > 1e-4 {
			step /= 10
		}
	}
	o.SetStep(dial, step, unit)
}

// tooFast stops where the machine's slowest speed is more than top, with what would do. Slower is
// what scale and depth leave of the tables' speeds.
func tooFast(v *worksheet.Values, o *worksheet.Out, m Material, op Op, d, rpm, top, slower float64) {
	const refusal = "No spindle speed of this machine is slow enough for this tool and metal."
	if marked := v.As("maxrpm", "rpm"); v.Has("maxrpm") && rpm > marked {
		o.HeadStop("Cutter marked {=spindle rpm}: no faster", nil, marked)
		o.HeadStop("Slowest speed is too fast", nil) // where a speed is typed with many decimals
		o.FactStop("slowest here is {=spindle rpm}", nil, rpm)
		o.FactStop("back gear, or another tool", nil)
		o.Stop(o.Fill("Slowest speed {spindle rpm} too fast: the tool is marked {spindle rpm}.", nil, rpm, marked),
			refusal+" Back gear, or another tool.")
		return
	}
	actual, most := Surface(rpm, d), Surface(top, d)
	is, limit := o.ReadApart("surface", actual, most, "ft/min")
	ways := " Use back gear"
	o.HeadStop("Slowest {=spindle rpm} too fast: {=spindle rpm} at most", nil, rpm, top)
	o.HeadStop("Slowest {=spindle rpm} is too fast", nil, rpm)
	o.FactStop("back gear", nil)
	if _, fast := m.Range(op, true); op != Tap && v.Choice("tool") != "carbide" && fast*slower >= actual {
		ways += ", or carbide, which stands it"
		o.FactStop("or carbide", nil)
	}
	if least := d * most / actual; (op == FaceMill || op == EndMill) && least > d/2 {
		ways += o.Fill(", or a cutter of {left in} or less", nil, least)
		o.FactStop("or a cutter under {=left in}", nil, least)
	}
	o.Stop(o.Fill("Slowest speed {spindle rpm} too fast: {s} where {s} is the most.", []string{is, limit}, rpm),
		refusal+ways+".")
}

// speedAsk asks about sizes that are likely in the other unit.
func speedAsk(o *worksheet.Out, op Op, d float64) {
	most := map[Op]float64{FaceMill: 16, EndMill: 4, Drill: 3, Ream: 4, Csink: 4, Bore: 24}[op]
	o.AskMillimetres(op != Tap && d > most, "dia", d)
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
	o.NoteIf((op == FaceMill || op == EndMill) && d >= 2 && !v.Has("maxrpm"),
		"The cutter's own limit was not said: never turn it faster than its maker marks on it.")
	o.NoteIf((op == FaceMill || op == EndMill || op == Ream) && !v.Given("teeth"),
		"Reckoned for {0} teeth: type how many it has.", teeth)
	o.Note("Tables are starting values for sharp tools and a sound set-up. Eye protection on, guard in place; stop the spindle to clear chips.")
}
