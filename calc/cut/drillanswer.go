package cut

import (
	"math"

	"datumbook/calc/sheet"
	"datumbook/calc/thread"
)

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
