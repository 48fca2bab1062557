package cut

import (
	"math"

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

func powerCompute(v *sheet.Values, o *sheet.Out) *sheet.Fault {
	m, _ := Find(v.Choice("work"))
	c := Milling{Depth: v.In("depth"), Width: v.In("width"), Feed: v.As("feed", "in/min"), Cutter: v.In("cutter"), Teeth: v.Num("teeth"), RPM: v.As("rpm", "rpm")}
	if c.Width > c.Cutter*(1+1e-9) {
		return v.Refuse("width", "it is more than the cutter's diameter. One pass cuts no wider than the cutter; give the width of one pass.")
	}
	hb := m.HB
	if v.Has("hb") {
		hb = v.Num("hb")
	}
	fz := c.PerTooth()
	kp, inside := m.PowerConstant(hb, fz)
	factor := FeedFactor(fz)
	if len(m.Kp) == 0 {
		factor = 1
	}
	if v.Has("kp") {
		kp, inside = v.Num("kp"), true
	}
	w := wear(v.Choice("wear"), 1.15)
	q := c.Removal()
	hp := PowerAtCutter(kp, factor, q, w)
	e := efficiency(v.Choice("drive"))
	surface := Surface(c.RPM, c.Cutter)
	mean := Tangential(hp, surface)
	teeth := c.Engaged()
	hold := mean * math.Ceil(teeth-1e-9) / teeth // each tooth pushes mean/teeth
	o.Set("removal", q, "in3/min")
	o.Set("power", hp, "hp")
	o.Set("motorpower", hp/e, "hp")
	o.Set("force", hold, "lbf")
	o.Set("mean", mean, "lbf")
	o.Set("torque", SpindleTorque(hp, c.RPM), "lbf-in")
	o.Set("speed", surface, "ft/min")
	o.Set("pertooth", fz, "in")
	o.Set("engaged", teeth, "")
	o.Set("constant", kp, "")
	if kc := m.Specific(fz); kc > 0 && len(m.Kp) > 0 {
		o.Set("second", kc*hpPerKc*q, "hp")
	}
	atMotor := o.Show(hp/e, "hp", sheet.Power)
	holdText := o.Show(hold, "lbf", sheet.Force)
	verdict := "It takes " + atMotor + " at the motor; hold the part against " + holdText + "."
	if v.Has("motor") {
		rated := v.As("motor", "hp")
		o.Set("share", 100*hp/e/rated, "%")
		deepest := c.Depth * rated * e / hp
		if deepest < 1e4 {
			o.Set("deepest", deepest, "in")
		}
		s := o.Dec(100*hp/e/rated, 0)
		switch {
		case hp/e > rated:
			verdict = "Too much: it takes " + atMotor + ", " + s + " % of the motor. " + o.Len(deepest) + " deep is the motor's rating."
			o.Refuse("The cut asks more than the motor is rated for. Take less depth, width or feed.")
		case hp/e > .85*rated:
			verdict = "Close: it takes " + atMotor + ", " + s + " % of the motor; hold the part against " + holdText + "."
			o.Caution("Little is left for a hard spot or a dulling edge.")
		default:
			verdict = "It pulls it: " + atMotor + ", " + s + " % of the motor; hold the part against " + holdText + "."
		}
	}
	o.SetText("verdict", verdict)
	src := m.KpFrom
	if v.Has("kp") {
		src = "practice"
	} else if len(m.Kp) == 0 {
		src = "makers"
	}
	o.Work("Metal removed", "Q = ap ae vf", o.Bare(c.Depth)+" x "+o.Bare(c.Width)+" x "+o.Show(c.Feed, "in/min", sheet.TableFeed), o.Show(q, "in3/min", sheet.Removal), "geometry")
	o.Work("Feed per tooth", "fz = vf/(z n)", o.Dec(c.Teeth, 0)+" teeth, "+o.Dec(c.RPM, 0)+" rpm", o.Len(fz), "geometry")
	o.Work("Power at the cutter, "+m.Label+" at "+o.Dec(hb, 0)+" HB", "Pc = Kp C Q W (hp, in3/min)", o.Dec(kp, 3)+" x "+o.Dec(factor, 3)+" x "+o.Dec(q, 3)+" x "+o.Dec(w, 2), o.Show(hp, "hp", sheet.Power), src)
	o.Work("Power at the motor", "Pm = Pc/E", o.Show(hp, "hp", sheet.Power)+" / "+o.Dec(e, 2), atMotor, "MH")
	o.Work("Mean force along the rim", "Ft = 33000 Pc/V", o.Dec(hp, 3)+" hp at "+o.Dec(surface, 1)+" ft/min", o.Show(mean, "lbf", sheet.Force), "MH")
	o.Work("Teeth cutting at once", "z asin(ae/D)/pi", "", o.Dec(teeth, 2), "geometry")
	o.Work("Most force, the whole number of teeth in the cut", "Ft x teeth rounded up/teeth", o.Show(mean, "lbf", sheet.Force)+" x "+o.Dec(math.Ceil(teeth-1e-9), 0)+"/"+o.Dec(teeth, 2), holdText, "practice")
	if !inside {
		o.Caution("This hardness lies outside the table of power constants for this metal; the nearest is taken.")
	}
	if src == "MH iron" {
		o.Note("The power constant of this metal is from memory of the handbook: confirm it before you rely on it.")
	}
	o.Note("Feed factor C, edge factor W and drive efficiency are from memory of the handbook; belts slip and edges dull, so stay under the rating. Take twice the force for a dull cutter or a hard skin.")
	return nil
}

// wear gives W of the handbook, from memory: sharp 1, in use as given, dull 1.5.
func wear(key string, used float64) float64 {
	switch key {
	case "sharp":
		return 1
	case "dull":
		return 1.5
	}
	return used
}

func drillCompute(v *sheet.Values, o *sheet.Out) *sheet.Fault {
	m, _ := Find(v.Choice("work"))
	kd := m.Kd
	if v.Has("kd") {
		kd = v.Num("kd")
	}
	d := Drilling{D: v.In("dia"), Feed: v.In("feed"), RPM: v.As("rpm", "rpm"), Kd: kd, Split: v.Choice("point") == "split", Piloted: v.Choice("point") == "pilot", Wear: wear(v.Choice("wear"), 1.30)}
	if v.Choice("wear") == "dull" {
		d.Wear = 1.5
	}
	e := efficiency(v.Choice("drive"))
	o.Set("thrust", d.Thrust(), "lbf")
	o.Set("torque", d.Torque(), "lbf-in")
	o.Set("power", d.Power(), "hp")
	o.Set("motorpower", d.Power()/e, "hp")
	o.Set("force", d.Torque()/(d.D/2), "lbf")
	o.Set("speed", Surface(d.RPM, d.D), "ft/min")
	o.Set("feedrate", d.Feed*d.RPM, "in/min")
	o.Set("factor", kd, "")
	thrust, torque := o.Show(d.Thrust(), "lbf", sheet.Force), o.Show(d.Torque(), "lbf-in", sheet.Torque)
	verdict := "It pushes with " + thrust + " and twists with " + torque + "; " + o.Show(d.Power()/e, "hp", sheet.Power) + " at the motor."
	if v.Has("motor") {
		share := 100 * d.Power() / e / v.As("motor", "hp")
		o.Set("share", share, "%")
		if share > 100 {
			verdict = "Too much for the motor: " + o.Show(d.Power()/e, "hp", sheet.Power) + " is asked, " + o.Dec(share, 0) + " % of it. Thrust " + thrust + ", torque " + torque + "."
			o.Refuse("The hole asks more than the motor is rated for. Drill it in two steps, or feed less.")
		}
	}
	o.SetText("verdict", verdict)
	a, b, j := d.chisel()
	ff, ft, fm := Factors(d.Feed, d.D)
	o.Work("Thrust (in, lbf)", "T = 2 Kd Ff FT B W + Kd D^2 J W", "Kd "+o.Dec(kd, 0)+", Ff "+o.Dec(ff, 4)+", FT "+o.Dec(ft, 3)+", B "+o.Dec(b, 3)+", J "+o.Dec(j, 3)+", W "+o.Dec(d.Wear, 2), thrust, "MH")
	o.Work("Torque (in, lbf-in)", "M = Kd Ff FM A W", "Kd "+o.Dec(kd, 0)+", Ff "+o.Dec(ff, 4)+", FM "+o.Dec(fm, 3)+", A "+o.Dec(a, 3)+", W "+o.Dec(d.Wear, 2), torque, "MH")
	o.Work("Power at the drill", "Pc = M N/63025", o.Dec(d.Torque(), 1)+" x "+o.Dec(d.RPM, 0)+"/63025", o.Show(d.Power(), "hp", sheet.Power), "MH")
	if t, q, ok := Maker(m.Key, d.D, d.Feed); ok {
		o.Set("thrust2", t, "lbf")
		o.Set("torque2", q, "lbf-in")
		o.Work("A second way, sharp", "T = 570 K D f^0.85, M = K D^2 (0.630 + 16.84 f)/100 (mm, N, N.m)", "", o.Show(t, "lbf", sheet.Force)+", "+o.Show(q, "lbf-in", sheet.Torque), "makers")
	}
	if !v.Has("kd") {
		o.Cite("MH iron")
		o.Note("The work material factor is from memory of the handbook: confirm it before you rely on it.")
	}
	o.Caution("As the point breaks through the drill pulls itself in and the twist jumps: clamp against twice the torque, and ease the feed.")
	o.Note("Never hold a part in the hand under a drill; a stop to the left of it takes the twist.")
	return nil
}

// tapFactors: K by tap, thread and metal, from a tap maker's technical pages.
// Columns: steel coarse, steel fine, iron and aluminium coarse, fine, brass.
var tapFactors = [...]struct {
	key string
	k   [5]float64
}{
	{"plug", [5]float64{1.35, 1.15, 1.25, 1.08, 1.60}}, {"bottoming", [5]float64{1.43, 1.50, 1.30, 1.25, 1.68}},
	{"spiral", [5]float64{1.15, 1.25, 1.05, 1.10, .85}}, {"gun", [5]float64{.95, 1.00, .80, 1.00, .75}},
	{"form", [5]float64{3.4, 2.9, 3.1, 2.7, 4.0}}, // two to three times the plug tap: two and a half
}

// TapFactor gives K for a tap, a coarse or fine thread and a metal.
func TapFactor(tap string, coarse bool, work string) float64 {
	col := 0
	switch work {
	case "greysoft", "grey", "greyhard", "ductile", "malleable", "aluminium":
		col = 2
	case "brass", "bronze":
		col = 4
	}
	if !coarse && col < 4 {
		col++
	}
	for _, f := range tapFactors {
		if f.key == tap {
			return f.k[col]
		}
	}
	return tapFactors[0].k[col]
}

func tapCompute(v *sheet.Values, o *sheet.Out) *sheet.Fault {
	t, err := thread.Parse(v.Text("thread"))
	if err != nil {
		return v.Refuse("thread", err.Error()+". Type it like 5/8-11 or M12.")
	}
	d, pitch := inches(t)
	hole := v.In("hole")
	forming := v.Choice("tap") == "form"
	least := d - float64(1.3*pitch)
	if hole >= d || hole < least {
		return v.Refuse("hole", "a hole of "+o.Len(hole)+" is no tap drill for "+t.String()+". It lies between "+o.Len(max(least, 0))+" and "+o.Len(d)+".")
	}
	m, _ := Find(v.Choice("work"))
	kc := m.Tapping
	if v.Has("kc") {
		kc = v.As("kc", "MPa")
	}
	k := TapFactor(v.Choice("tap"), t.Coarse, m.Key)
	cutHole := hole
	if forming { // the plug tap's hole for the same thread, times two and a half
		cutHole = d - float64(pitch*.9743)
	}
	nm := TapTorque(float64(d*25.4), float64(cutHole*25.4), kc, k)
	o.Set("torque", nm, "N.m")
	o.Set("double", 2*nm, "N.m")
	percent := 100 * (d - hole) / float64(1.29903811*pitch)
	if forming {
		percent = (d - hole) / float64(.0068*pitch)
	}
	o.Set("percent", percent, "%")
	o.Set("factor", k, "")
	o.Set("resistance", kc, "MPa")
	text := o.Show(nm, "N.m", sheet.Torque)
	verdict := "The tap takes about " + text + " in a clean hole; reckon with " + o.Show(2*nm, "N.m", sheet.Torque) + " when it dulls or the chips pack."
	if v.Has("rpm") {
		o.Set("power", nm/.1129848290276167*v.As("rpm", "rpm")/63025, "hp")
	}
	if v.Has("breaks") {
		b := v.As("breaks", "N.m")
		o.Set("share", 100*nm/b, "%")
		switch {
		case nm > b:
			verdict = "It breaks: the tap takes about " + text + " and breaks at " + o.Show(b, "N.m", sheet.Torque) + "."
			o.Refuse("The torque is more than the tap stands. Drill larger, or take a stronger tap.")
		case nm > b/2:
			o.Caution("More than half of what breaks the tap: oil, clear chips, and drill a larger hole if the thread allows.")
		}
	}
	o.SetText("verdict", verdict)
	o.Work("Tapping torque (mm, N/mm2)", "tan 30 kc K (D - Do)^2 (D + 2 Do)/24000", "kc "+o.Dec(kc, 0)+", K "+o.Dec(k, 2)+", D "+o.Dec(d*25.4, 3)+", Do "+o.Dec(cutHole*25.4, 3), text, "makers")
	if forming {
		o.Note("A forming tap takes two to three times a cutting tap; two and a half is reckoned, on the cutting tap's hole.")
	}
	if math.Abs(percent-70) > 25 && !forming {
		o.Caution("This hole leaves " + o.Dec(percent, 0) + " % of thread: check the tap drill.")
	}
	o.Note("Cutting resistance is for sound metal and a sharp, oiled tap. Where it sticks, back it off; never lean on it. A broken tap is sharp: glasses on, no fingers.")
	return nil
}
