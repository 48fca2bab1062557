package cut

import (
	"math"

	"datumbook/calc/worksheet"
)

// Worked lines of powerCompute.
var (
	metalRemovedStep = worksheet.Step{What: "Metal removed", Formula: "Q = ap ae vf", Numbers: "{len} x {len} x {in/min}", Result: "{in3/min}", Source: "geometry"}
	feedPerStep      = worksheet.Step{What: "Feed per tooth", Formula: "fz = vf/(z n)", Numbers: "{0} teeth, {0} rpm", Result: "{in}", Source: "geometry"}
	powerMotorStep   = worksheet.Step{What: "Power at the motor", Formula: "Pm = Pc/E", Numbers: "{hp} / {2}", Result: "{s}", Source: "MH"}
	meanForceStep    = worksheet.Step{What: "Mean force along the rim", Formula: "Ft = 33000 Pc/V", Numbers: "{3} hp at {1} ft/min", Result: "{lbf}", Source: "MH"}
	teethCuttingStep = worksheet.Step{What: "Teeth cutting at once", Formula: "z asin(ae/D)/pi", Numbers: "", Result: "{2}", Source: "geometry"}
	mostForceStep    = worksheet.Step{What: "Most force, the whole number of teeth in the cut", Formula: "Ft x teeth rounded up/teeth", Numbers: "{lbf} x {0}/{2}", Result: "{s}", Source: "practice"}
)

func powerCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	m, _ := Find(v.Choice("work"))
	c := Milling{Depth: v.In("depth"), Width: v.In("width"), Feed: v.As("feed", "in/min"), Cutter: v.In("cutter"), Teeth: v.Num("teeth"), RPM: v.As("rpm", "rpm")}
	if c.Width > c.Cutter*(1+1e-9) {
		return v.Refuse("width", "it is more than the cutter's diameter. One pass cuts no wider than the cutter; give the width of one pass.")
	}
	hb := v.Or("hb", "", m.HB)
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
	hold := mean * math.Ceil(teeth-1e-9) / teeth // force of each tooth: mean/teeth
	o.SetAll("removal in3/min, power hp, motorpower hp, force lbf, mean lbf, torque lbf-in, speed ft/min, pertooth in, engaged, constant",
		q, hp, hp/e, hold, mean, SpindleTorque(hp, c.RPM),
		surface, fz, teeth, kp)
	if kc := m.Specific(fz); kc > 0 && len(m.Kp) > 0 {
		o.Set("second", kc*hpPerKc*q, "hp")
	}
	atMotor := o.Show(hp/e, "hp", worksheet.Power)
	holdText := o.Show(hold, "lbf", worksheet.Force)
	verdict := "It takes " + atMotor + " at the motor; hold the part against " + holdText + "."
	if v.Has("motor") {
		rated := v.As("motor", "hp")
		o.Set("share", 100*hp/e/rated, "%")
		deepest := c.Depth * rated * e / hp
		o.SetIf(deepest < 1e4, "deepest in", deepest)
		s := o.Dec(100*hp/e/rated, 0)
		switch {
		case hp/e > rated:
			verdict = o.Fill("Too much: it takes {s}, {s} % of the motor. {in} deep is the motor's rating.", []string{atMotor, s}, deepest)
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
	o.Line(&metalRemovedStep, nil, c.Depth, c.Width, c.Feed, q)
	o.Line(&feedPerStep, nil, c.Teeth, c.RPM, fz)
	o.Work(o.Fill("Power at the cutter, {s} at {0} HB", []string{m.Label}, hb), "Pc = Kp C Q W (hp, in3/min)", o.Fill("{3} x {3} x {3} x {2}", nil, kp, factor, q, w), o.Show(hp, "hp", worksheet.Power), src)
	o.Line(&powerMotorStep, []string{atMotor}, hp, e)
	o.Line(&meanForceStep, nil, hp, surface, mean)
	o.Line(&teethCuttingStep, nil, teeth)
	o.Line(&mostForceStep, []string{holdText}, mean, math.Ceil(teeth-1e-9), teeth)
	o.CautionIf(!inside,
		"This hardness lies outside the table of power constants for this metal; the nearest is taken.")
	o.NoteIf(src == "MH iron",
		"The power constant of this metal is from memory of the handbook: confirm it before you rely on it.")
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
