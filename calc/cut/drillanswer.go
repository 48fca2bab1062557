package cut

import (
	"math"

	"datumbook/calc/thread"
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
	d := Drilling{D: v.In("dia"), Feed: v.In("feed"), RPM: v.As("rpm", "rpm"), Kd: kd, Split: v.Choice("point") == "split", Piloted: v.Choice("point") == "pilot", Wear: wear(v.Choice("wear"), 1.30)}
	if v.Choice("wear") == "dull" {
		d.Wear = 1.5
	}
	e := efficiency(v.Choice("drive"))
	o.SetAll("thrust lbf, torque lbf-in, power hp, motorpower hp, force lbf, speed ft/min, feedrate in/min, factor",
		d.Thrust(), d.Torque(), d.Power(), d.Power()/e, d.Torque()/(d.D/2), Surface(d.RPM, d.D),
		d.Feed*d.RPM, kd)
	thrust, torque := o.Show(d.Thrust(), "lbf", worksheet.Force), o.Show(d.Torque(), "lbf-in", worksheet.Torque)
	verdict := o.Fill("It pushes with {s} and twists with {s}; {hp} at the motor.", []string{thrust, torque}, d.Power()/e)
	if v.Has("motor") {
		share := 100 * d.Power() / e / v.As("motor", "hp")
		o.Set("share", share, "%")
		if share > 100 {
			verdict = o.Fill("Too much for the motor: {hp} is asked, {0} % of it. Thrust {s}, torque {s}.", []string{thrust, torque}, d.Power()/e, share)
			o.Refuse("The hole asks more than the motor is rated for. Drill it in two steps, or feed less.")
		}
	}
	o.SetText("verdict", verdict)
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

var tappingTorqueStep = worksheet.Step{What: "Tapping torque (mm, N/mm2)", Formula: "tan 30 kc K (D - Do)^2 (D + 2 Do)/24000", Numbers: "kc {0}, K {2}, D {3}, Do {3}", Result: "{s}", Source: "makers"}

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
	text := o.Show(nm, "N.m", worksheet.Torque)
	verdict := o.Fill("The tap takes about {s} in a clean hole; reckon with {N.m} when it dulls or the chips pack.", []string{text}, 2*nm)
	o.SetIf(v.Has("rpm"), "power hp", nm/.1129848290276167*v.As("rpm", "rpm")/63025)
	if v.Has("breaks") {
		b := v.As("breaks", "N.m")
		o.Set("share", 100*nm/b, "%")
		switch {
		case nm > b:
			verdict = o.Fill("It breaks: the tap takes about {s} and breaks at {N.m}.", []string{text}, b)
			o.Refuse("The torque is more than the tap stands. Drill larger, or take a stronger tap.")
		case nm > b/2:
			o.Caution("More than half of what breaks the tap: oil, clear chips, and drill a larger hole if the thread allows.")
		}
	}
	o.SetText("verdict", verdict)
	o.Line(&tappingTorqueStep, []string{text}, kc, k, d*25.4, cutHole*25.4)
	o.NoteIf(forming,
		"A forming tap takes two to three times a cutting tap; two and a half is reckoned, on the cutting tap's hole.")
	o.CautionIf(math.Abs(percent-70) > 25 && !forming,
		"This hole leaves {0} % of thread: check the tap drill.", percent)
	o.Note("Cutting resistance is for sound metal and a sharp, oiled tap. Where it sticks, back it off; never lean on it. A broken tap is sharp: glasses on, no fingers.")
	return nil
}
