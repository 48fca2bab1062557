package cut

import (
	"math"
	"strings"

	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Worked lines of drillCompute.
var (
	thrustLbfStep  = worksheet.Step{What: "Thrust (in, lbf)", Formula: "T = 2 Kd Ff FT B W + Kd D^2 J W", Numbers: "Kd {0}, Ff {4}, FT {3}, B {3}, J {3}, W {2}", Result: "{s}", Source: "MH"}
	torqueLbfStep  = worksheet.Step{What: "Torque (in, lbf-in)", Formula: "M = Kd Ff FM A W", Numbers: "Kd {0}, Ff {4}, FM {3}, A {3}, W {2}", Result: "{s}", Source: "MH"}
	powerDrillStep = worksheet.Step{What: "Power at the drill", Formula: "Pc = M N/63025", Numbers: "{1} x {0}/63025", Result: "{hp}", Source: "MH"}
	secondWayStep  = worksheet.Step{What: "A second way, sharp", Formula: "T = 570 K D f^0.85, M = K D^2 (0.630 + 16.84 f)/100 (mm, N, N.m)", Numbers: "", Result: "{lbf}, {lbf-in}", Source: "makers"}
)

func drillCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	m, _ := Find(v.Choice("work"))
	kd := v.Or("kd", "", m.Kd)
	d := Drilling{D: v.In("dia"), Feed: v.In("feed"), RPM: v.As("rpm", "rpm"), Kd: kd, Split: v.Choice("point") == "split", Piloted: v.Choice("point") == "pilot", Wear: drillWear(v.Choice("wear"))}
	e := efficiency(v.Choice("drive"))
	at := d.Power() / e
	o.SetAll("thrust lbf, torque lbf-in, power hp, motorpower hp, force lbf, speed ft/min, feedrate in/min, factor",
		d.Thrust(), d.Torque(), d.Power(), at, d.Torque()/(d.D/2), Surface(d.RPM, d.D),
		d.Feed*d.RPM, kd)
	does := o.Fill("It pushes with {push lbf} and twists with {push lbf-in}", nil, d.Thrust(), d.Torque())
	verdict := does + o.Fill("; {motor hp} at the motor. Whether the motor has it was not reckoned: type its power.",
		nil, at)
	o.Head("Pushes {+push lbf}", nil, d.Thrust())
	if v.Has("motor") {
		rated := v.As("motor", "hp")
		o.Set("share", 100*at/rated, "%")
		o.SetFlag("ok", at <= rated)
		bare, has := ofMotor(o, at, rated)
		takes, _ := o.ReadApart("motor", at, rated, "hp")
		o.Head("Pushes {+push lbf}, {s} of {s}", []string{bare, has}, d.Thrust())
		switch verdict = does + "; " + takes + " of " + has + " at the motor."; {
		case at > rated:
			stalls(o, d, at, rated, e)
		case at > .85*rated:
			verdict = "It drills, just: " + takes + " of " + has + ". " + does + "."
			o.Head("Drills, just: {s} of {s}", []string{bare, has})
			o.Fact("pushes {+push lbf}", nil, d.Thrust())
			o.Caution("Little of the motor is left for a hard spot or a dull point.")
		}
	} else {
		o.Wants("motor")
	}
	lo, hi := DrillFeed(d.D)
	if d.Feed > heavyDrill*hi {
		verdict = o.Fill("{tooth in} a turn is a heavy feed. ", nil, d.Feed) + verdict
		o.Head("{=tooth in} a turn is a heavy feed", nil, d.Feed)
		o.Fact("usual {=tooth in} to {=tooth in}", nil, lo, hi)
		o.Caution(o.Fill("Drills of this size are fed {tooth in} to {tooth in} a turn.", nil, lo, hi))
		o.AskMillimetres(d.Feed/25.4 < hi && d.Feed > 6*hi, "feed", d.Feed)
	}
	o.Fact("twists {+push lbf-in}", nil, d.Torque())
	o.SetText("verdict", verdict)
	thrust, torque := o.Show(d.Thrust(), "lbf", worksheet.Force), o.Show(d.Torque(), "lbf-in", worksheet.Torque)
	a, b, j := d.chisel()
	ff, ft, fm := Factors(d.Feed, d.D)
	o.Line(&thrustLbfStep, []string{thrust}, kd, ff, ft, b, j, d.Wear)
	o.Line(&torqueLbfStep, []string{torque}, kd, ff, fm, a, d.Wear)
	o.Line(&powerDrillStep, nil, d.Torque(), d.RPM, d.Power())
	if t, q, ok := Maker(m.Key, d.D, d.Feed); ok {
		o.SetAll("thrust2 lbf, torque2 lbf-in", t, q)
		o.Line(&secondWayStep, nil, t, q)
	}
	if !v.Has("kd") {
		o.Cite("MH iron")
		o.Note("The work material factor is from memory of the handbook: confirm it before you rely on it.")
	}
	o.Note("As the point breaks through the drill pulls itself in and the twist jumps: clamp against twice the torque, " +
		"and ease the feed.")
	o.Note("Never hold a part in the hand under a drill; a stop to the left of it takes the twist.")
	return nil
}

// lighter gives the largest feed at which the drill takes no more power, or 0.
func (d Drilling) lighter(hp float64) float64 {
	lo, hi := 0.0, d.Feed
	for range 60 {
		d.Feed = (lo + hi) / 2
		if d.Power() > hp {
			hi = d.Feed
		} else {
			lo = d.Feed
		}
	}
	return lo
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

var tappingTorqueStep = worksheet.Step{What: "Tapping torque (mm, N/mm2)",
	Formula: "tan 30 kc K (D - Do)^2 (D + 2 Do)/24000", Numbers: "kc {0}, K {2}, D {3}, Do {3}", Result: "{N.m}",
	Source: "makers"}

var breaksStep = worksheet.Step{What: "The tap breaks near, reckoned (mm, N/mm2)",
	Formula: "pi 1000 (0.6 core)^3/16, low", Numbers: "core {3}", Result: "{N.m}", Source: "practice"}

// formed is the share of thread, per cent, that a forming tap's hole is usually drilled for. Common
// practice, no published source.
const formed = 65

func tapCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	t, err := thread.Parse(v.Text("thread"))
	if err != nil {
		return v.Refuse("thread", err.Error()+". Type it like 5/8-11 or M12.")
	}
	d, pitch := t.Inches(t.D), t.Inches(t.Pitch)
	hole := v.In("hole")
	forming := v.Choice("tap") == "form"
	least := d - float64(1.3*pitch)
	if hole >= d || hole < least {
		return v.Refuse("hole", o.Fill("a hole of {in} is no tap drill for {s}. It lies between {in} and {in}.", []string{t.String()}, hole, max(least, 0), d))
	}
	m, _ := Find(v.Choice("work"))
	kc := v.Or("kc", "MPa", m.Tapping)
	k := TapFactor(v.Choice("tap"), t.Coarse, m.Key)
	cutHole := hole
	if forming { // the plug tap's hole for the same thread, times two and a half
		cutHole = d - float64(pitch*.9743)
	}
	nm := TapTorque(float64(d*25.4), float64(cutHole*25.4), kc, k)
	o.SetAll("torque N.m, double N.m", nm, 2*nm)
	percent := 100 * (d - hole) / float64(1.29903811*pitch)
	if forming {
		percent = (d - hole) / float64(.0068*pitch)
	}
	o.SetAll("percent %, factor, resistance MPa", percent, k, kc)
	o.SetIf(v.Has("rpm"), "power hp", nm/.1129848290276167*v.As("rpm", "rpm")/63025)
	o.Line(&tappingTorqueStep, nil, kc, k, d*25.4, cutHole*25.4, nm)
	breaks, how := v.As("breaks", "N.m"), ""
	if !v.Has("breaks") {
		c := core(d, pitch)
		breaks, how = Breaks(c), " (reckoned)"
		o.Line(&breaksStep, nil, c, breaks)
		o.Note("What the tap breaks at is reckoned from its core, low: a good tap stands up to twice that, a nicked or " +
			"carbon steel one less. The maker's figure is better.")
	}
	o.Set("breaks", breaks, "N.m")
	o.Set("share", 100*nm/breaks, "%")
	o.SetFlag("ok", nm <= breaks)
	takes, _ := o.ReadApart("push", nm, breaks, "N.m")
	dull := o.Read("push", 2*nm, "N.m")
	at := o.Read("grip", breaks, "N.m") + how
	verdict := "The tap takes about " + takes + ", dull " + dull + "; it breaks near " + at + "."
	o.Head("Takes {=push N.m}, breaks at {=grip N.m}", nil, nm, breaks)
	o.Head("Takes {=push N.m}, breaks at {+grip N.m}", nil, nm, breaks)
	if 2*nm <= breaks {
		o.Fact("dull {+push N.m}", nil, 2*nm)
	}
	switch {
	case nm > breaks:
		headBreaks(o, nm, breaks)
		if wide, ok := tapHole(d, pitch, hole, kc, k, breaks, forming); ok {
			o.FactStop("hole {=micrometer in}", nil, wide)
		}
		if !forming {
			easier(o, &m, t, hole, kc, breaks)
		}
		o.Stop("The tap breaks near "+at+", and takes "+takes+".",
			"The torque is more than the tap stands."+tapWay(o, d, pitch, hole, kc, k, breaks, forming))
	case 2*nm > breaks:
		verdict = "The tap takes about " + takes + ", and dull or packed " + dull + ": it breaks near " + at + "."
		o.Head("Dull it takes {=push N.m}, breaks at {=grip N.m}", nil, 2*nm, breaks)
		o.Fact("▲ oil, back off often", nil)
		o.Caution("Dull or with packed chips it breaks: oil, back it off often, clear chips." +
			tapWay(o, d, pitch, hole, kc, k, breaks/2, forming))
	}
	if drill := o.Size(v.Length("hole")); forming && percent > 100 {
		mm := strings.Contains(v.Typed("hole"), "mm") || v.System == units.MetricSystem
		if mm { // as it is typed
			drill = o.Dec(hole*25.4, 3) + " mm"
		}
		right := d - float64(formed*.0068*pitch)
		verdict = drill + " is the drill of a cutting tap: a forming tap would pack and break. " + verdict
		o.Head("Hole too small for a forming tap", nil)
		o.Fact("a cutting tap's drill", nil)
		means := worksheet.Either(mm, o.Dec(right*25.4, 2)+" mm", o.Dec(right, 3)+" in")
		o.Ask("hole", means, drill+" is the drill of a cutting tap. Or "+means+", for a forming one?")
	}
	o.SetText("verdict", verdict)
	o.NoteIf(forming,
		"A forming tap takes two to three times a cutting tap; two and a half is reckoned, on the cutting tap's hole.")
	o.CautionIf(math.Abs(percent-70) > 25 && !forming,
		"This hole leaves {percent %} of thread: check the tap drill.", percent)
	o.Note("Cutting resistance is for sound metal and a sharp, oiled tap. Where it sticks, back it off; never lean on it. A broken tap is sharp: glasses on, no fingers.")
	return nil
}

// Breaks reckons what a tap breaks at in N.m, from the diameter of its thread's core in mm: the
// flutes leave what twists like a round bar of 0.6 of the core, T = pi tau d^3/16, at 1,000 N/mm2
// of shear in hardened high speed steel. Both are low and common practice, no published source;
// no public table of breaking torques was found.
func Breaks(core float64) float64 {
	d := .6 * core
	return math.Pi / 16 * 1000 * float64(d*d*d) / 1000
}

// tapHole gives the hole with which a cutting tap takes no more than a torque in N.m, where it
// leaves half the thread.
func tapHole(d, pitch, hole, kc, k, most float64, forming bool) (float64, bool) {
	lo, hi := hole, d
	for range 60 {
		if mid := (lo + hi) / 2; TapTorque(float64(d*25.4), float64(mid*25.4), kc, k) > most {
			lo = mid
		} else {
			hi = mid
		}
	}
	hi = math.Ceil(hi*1000) / 1000
	return hi, !forming && hi <= d-float64(.5*1.29903811*pitch)
}

// tapWay says it.
func tapWay(o *worksheet.Out, d, pitch, hole, kc, k, most float64, forming bool) string {
	wide, ok := tapHole(d, pitch, hole, kc, k, most, forming)
	if !ok {
		return ""
	}
	return o.Fill(" A hole of {micrometer in} would do, with {percent %} of thread, where the thread allows it.", nil,
		wide, 100*(d-wide)/float64(1.29903811*pitch))
}
