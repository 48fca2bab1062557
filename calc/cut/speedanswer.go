package cut

import (
	"datumbook/calc/sheet"
	"datumbook/calc/shopnum"
	"datumbook/calc/thread"
)

// canon checks a designation for the runner.
func canon(text string) (string, *shopnum.Fault) {
	t, err := thread.Parse(text)
	if err != nil {
		return text, &shopnum.Fault{Says: "'" + text + "': " + err.Error() + ".", Try: "Type it like 5/8-11 or M12."}
	}
	return t.String(), nil
}

// inches gives a thread's diameter and pitch in inches.
func inches(t thread.Thread) (d, pitch float64) {
	if t.System == thread.ISO {
		return t.D / 25.4, t.Pitch / 25.4
	}
	return t.D, t.Pitch
}

func speedCompute(v *sheet.Values, o *sheet.Out) *sheet.Fault {
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
		d, pitch = inches(t)
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
	perrev := pertooth * teeth * lighter
	if op == Tap {
		perrev = pitch
	}
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
	o.Set("rpm", got.RPM, "rpm")
	o.Set("feed", set, "in/min")
	o.Set("perrev", set/got.RPM, "in")
	if milling || op == Ream {
		o.Set("pertooth", set/got.RPM/teeth, "in")
	}
	o.Set("speed", actual, "ft/min")
	o.Set("aimrpm", aimRPM, "rpm")
	o.Set("aimfeed", perrev*aimRPM, "in/min")
	o.Set("aimspeed", aim, "ft/min")
	o.Set("low", lo*slower, "ft/min")
	o.Set("high", hi*slower, "ft/min")
	o.Set("toprpm", top, "rpm")
	if milling || op == Bore {
		o.Set("depth", startDepth(m, v.Choice("finish") == "finish"), "in")
	}
	feedText := o.Len(set/got.RPM) + " a turn"
	if milling {
		feedText = o.Show(set, "in/min", sheet.TableFeed)
	}
	verdict := "Set " + o.Dec(got.RPM, 0) + " rpm and feed " + feedText + ": that is " + o.Show(actual, "ft/min", sheet.SurfaceSpeed) + "."
	if got.Fast || v.Has("maxrpm") && got.RPM > v.As("maxrpm", "rpm") {
		verdict = "The machine's slowest, " + o.Dec(got.RPM, 0) + " rpm, is too fast for this tool: " + o.Show(actual, "ft/min", sheet.SurfaceSpeed) + " where " + o.Show(Surface(top, d), "ft/min", sheet.SurfaceSpeed) + " is the most."
		o.Refuse("No spindle speed of this machine is slow enough for this tool and metal. Take a smaller diameter, carbide, or back gear.")
	} else if got.Above {
		o.Caution("The speed set lies above the one aimed at, because the next slower one is far below it. Watch the edges; drop to the slower one if they blue or squeal.")
	}
	if over {
		o.Caution("The machine's smallest feed is more than the feed aimed at: take a lighter cut, or feed by hand.")
	}
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
func feedPer(v *sheet.Values, m Material, op Op, d float64) (per, edges float64) {
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
	at := .25
	if m.Soft {
		at = .75
	}
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

func startDepth(m Material, finish bool) float64 {
	if finish {
		return .010
	}
	return m.Depth
}

func speedSay(v *sheet.Values, o *sheet.Out, m Material, op Op, carbide bool, d, aim, aimRPM, rpm, actual, perrev, pertooth, teeth, lo, hi float64) {
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
		o.Work("Surface speed", "as typed", "", o.Show(aim, "ft/min", sheet.SurfaceSpeed), "practice")
	} else {
		o.Work("Surface speed, "+m.Label, "range by tool and metal, place in it by the set-up, less for scale and depth",
			o.Show(lo, "ft/min", sheet.SurfaceSpeed)+" to "+o.Show(hi, "ft/min", sheet.SurfaceSpeed), o.Show(aim, "ft/min", sheet.SurfaceSpeed), src)
	}
	o.Work("Spindle speed aimed at", "n = V/(pi D)", o.Show(aim, "ft/min", sheet.SurfaceSpeed)+"/(pi x "+o.Len(d)+")", o.Dec(aimRPM, 0)+" rpm", "geometry")
	o.Work("Spindle speed set", "next at or below; the nearer neighbour where that is under 3/4", "", o.Dec(rpm, 0)+" rpm, "+o.Show(actual, "ft/min", sheet.SurfaceSpeed), "practice")
	switch op {
	case Tap:
		o.Work("Feed", "one pitch a turn", "", o.Len(perrev), "geometry")
		o.Note("A tap feeds itself by its pitch: lead screw, tension-compression holder or a loose quill. Halve the speed for a bottoming tap and for reversing by hand.")
	case FaceMill, EndMill:
		o.Work("Table feed aimed at", "vf = fz z n", o.Len(pertooth)+" x "+o.Dec(teeth, 0)+" x "+o.Dec(rpm, 0), o.Show(perrev*rpm, "in/min", sheet.TableFeed), "makers")
	case Ream:
		o.Work("Feed aimed at", "0.0025 in a flute and turn", o.Len(pertooth)+" x "+o.Dec(teeth, 0), o.Len(perrev)+" a turn", "makers")
	case Bore:
		o.Work("Feed aimed at", "by metal and cut", "", o.Len(perrev)+" a turn", "shop")
		o.Note("A long bar chatters before the table's speed: start at the low end, and halve the speed rather than the feed.")
	case Csink:
		o.Work("Feed aimed at", "half the drill's", "", o.Len(perrev)+" a turn", "practice")
	default:
		o.Work("Feed aimed at", "by diameter; iron and soft metals high in the range", "", o.Len(perrev)+" a turn", "Navy")
	}
	if v.Flag("scale") {
		o.Note("First cut through scale and sand: get under the skin in one cut, and slow; a cut that rubs the skin kills the edges.")
	}
	if !v.Has("maxrpm") {
		o.Caution("The cutter's own limit is not known: never turn a cutter faster than its maker marks on it.")
	}
	o.Note("Tables are starting values for sharp tools and a sound set-up. Eye protection on, guard in place; stop the spindle to clear chips.")
}
