package cut

import (
	"math"

	"datumbook/calc/sheet"
)

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
