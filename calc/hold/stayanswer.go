package hold

import (
	"math"

	"datumbook/calc/worksheet"
)

var caseNames = [...]string{"turning about the studs", "slipping along the plate", "tipping", "the stud's proof load"}

func stayCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	g, f := tighten(v)
	if f != nil {
		return f
	}
	base, f := stayInput(v, g)
	if f != nil {
		return f
	}
	wanted := v.Num("wanted")
	j, h, at := worst(v, base, wanted)
	ratio, which := h.Ratio(wanted)
	margins := [...]float64{h.Turn, h.Slip, h.Tip, h.Bolt}
	name := caseNames[which]
	if which == Tips {
		name += " about the " + h.Edge.String() + " edge"
	}
	o.SetText("ruling", name)
	set := func(key string, x float64) {
		if !math.IsInf(x, 0) {
			o.Set(key, min(x, 9999), "")
		}
	}
	set("margin", margins[which])
	set("ratio", ratio)
	set("slip", h.Slip)
	set("turn", h.Turn)
	set("tip", h.Tip)
	set("boltroom", h.Bolt)
	set("pin", h.Pin)
	if v.Has("thick") {
		set("bearing", over(g.D*v.In("thick")*v.As("su", "ksi")*1000, h.Pull))
	}
	if !math.IsInf(h.Tip, 0) {
		o.SetText("edge", h.Edge.String()+" edge")
	} else {
		o.SetText("edge", "nothing tips it")
	}
	grip := j.Mu * max(float64(g.Min*float64(len(j.Studs)))-max(h.Out, 0), 0)
	if v.As("force", "lbf") > 0 {
		o.SetText("worstway", Ways[at].Label)
	} else {
		o.SetText("worstway", "no cutting force")
	}
	o.SetAll("pull lbf, grip lbf, twist lbf-in, tipping lbf-in, holding lbf-in, torque lbf-in, preload lbf, least lbf, most lbf, added lbf, proofload lbf",
		h.Pull, grip, math.Abs(h.Twist), h.Moment, h.Hold, g.Torque,
		g.Aim, g.Min, g.Max, h.Studs[h.WorstBolt].Tension, g.ProofLoad())
	worksheet.SetRows(o, "each", j.Studs, func(i int, s [2]float64) []worksheet.Cell {
		return worksheet.Cells("iiff", nil, s[0], s[1], h.Studs[i].Shear, h.Studs[i].Tension)
	})
	p := j.Loads[1].At
	o.SetAll("pointx in, pointy in, pointz in", p.X, p.Y, p.Z)
	o.SetFlag("stays", ratio >= 1)
	m := o.Dec(min(margins[which], 9999), 2)
	need := o.Dec(wanted, 1)
	if which == Bolts {
		need = "1"
	}
	switch {
	case ratio < 1 && margins[which] < 1:
		o.SetText("verdict", "It will not stay: "+name+" comes first, with a margin of "+m+".")
		o.Refuse("As set up, " + name + " is not held. Do not cut.")
	case ratio < 1:
		o.SetText("verdict", "Not enough: "+name+" comes first, with a margin of "+m+" where "+need+" is wanted.")
		o.Caution("The margin on " + name + " is less than you want.")
	case ratio < 1.15:
		o.SetText("verdict", "Close: it stays, and "+name+" comes first with a margin of "+m+" where "+need+" is wanted.")
	default:
		o.SetText("verdict", "It stays: "+name+" comes first, with a margin of "+m+" where "+need+" is wanted.")
	}
	o.SetLines("raise", raise(j, g, h, which, wanted, o))
	stayWork(j, g, h, o)
	stayCautions(j, g, h, wanted, o)
	return nil
}

// raise lists, in numbers, what would raise the critical margin.
func raise(j Job, g tightened, h Held, which Case, wanted float64, o *worksheet.Out) []string {
	var out []string
	proof := g.ProofLoad()
	most := proof / (1 + g.S) // aim that just keeps the most below the proof load
	if which != Bolts {
		margin := [...]float64{h.Turn, h.Slip, h.Tip}[which]
		if margin > 0 && margin < wanted && !math.IsInf(margin, 0) {
			aim := g.Aim * wanted / margin
			if which != Tips && h.Out > 0 { // the pull away from the plate is a fixed loss
				per := h.Out / float64(len(j.Studs))
				aim = (float64(wanted/margin*(g.Min-per)) + per) / float64((1-g.S)*(1-g.Settle))
			}
			t := o.Show(g.Bolt.Torque(aim, g.K), "lbf-in", worksheet.Torque)
			if aim <= most {
				out = append(out, "Pull the nuts to "+t+": that alone gives the margin wanted, and stays within the proof load.")
			} else {
				out = append(out, "More torque alone will not do: it would take "+t+", past what these studs stand.")
			}
		}
		need := math.Ceil(float64(len(j.Studs)) * wanted / max(margin, .01))
		if margin < wanted && need > float64(len(j.Studs)) && need <= 60 {
			out = append(out, o.Fill("More studs: about {0} like these in place of {0}, or the next size up.", nil, need, float64(len(j.Studs))))
		}
	}
	t := j
	switch which {
	case Turns, Slips:
		if !j.OnLedge {
			t.OnLedge = true
			out = append(out, "A ledge, parallel or jack beneath to carry the weight: slipping goes from "+times(o, h.Slip)+" to "+times(o, t.Analyse().Slip)+".")
		}
		if j.Mu < .2 {
			out = append(out, o.Fill("Clean, dry faces with paper between (friction about 0.3 in place of {2}): the margin rises {1} times.", nil, j.Mu, .3/j.Mu))
		}
		if which == Turns {
			out = append(out, "Studs further apart, with the cut and the weight nearer their middle.")
		}
	case Tips:
		out = append(out, "Studs further from the "+h.Edge.String()+" edge: holding goes with their distance from it.",
			"Bring the overhang in, or put a jack under the free end.")
	case Bolts:
		out = append(out, o.Fill("Aim at {s} at most ({lbf-in}), or take a stronger or larger stud.", []string{force(o, most)}, g.Bolt.Torque(most, g.K)),
			"Oil the threads and use a torque wrench: less scatter, more to count on.")
	}
	if which != Bolts {
		out = append(out, "A lighter cut: the force goes nearly with depth and feed.")
	}
	return out
}

func times(o *worksheet.Out, x float64) string {
	if math.IsInf(x, 0) {
		return "nothing to hold"
	}
	return o.Dec(min(x, 9999), 2)
}

// Worked lines of stayWork.
var (
	pullAlongStep    = worksheet.Step{What: "Pull along the face", Formula: "V = sqrt(Vx^2 + Vy^2), weight and cutting force", Numbers: "", Result: "{s}", Source: "statics"}
	slippingStep     = worksheet.Step{What: "Slipping", Formula: "n mu (Fmin - out/n) / V", Numbers: "{s} x {3} x {s} / {s}", Result: "{s}", Source: "practice"}
	turningWorstStep = worksheet.Step{What: "Turning, worst stud", Formula: "mu (Fmin - out/n) / |V/n + M r/sum r^2|", Numbers: "M {lbf-in}, stud {0} takes {s}", Result: "{s}", Source: "RP-1228"}
	tensionAddedStep = worksheet.Step{What: "Tension added to the worst stud, were it to open", Formula: "T = M h/sum h^2 + out/n", Numbers: "", Result: "{s}", Source: "Shigley"}
	studAgainstStep  = worksheet.Step{What: "Stud against its proof load", Formula: "proof load / (Fmax + T)", Numbers: "{s} / ({s} + {s})", Result: "{s}", Source: "NSTS 08307"}
	oneStudStep      = worksheet.Step{What: "One stud as a pin", Formula: "0.60 Su At / V", Numbers: "{s} / {s}", Result: "{s}", Source: "RP-1228"}
)

func stayWork(j Job, g tightened, h Held, o *worksheet.Out) {
	g.show(o)
	n := o.Dec(float64(len(j.Studs)), 0)
	o.Line(&pullAlongStep, []string{force(o, h.Pull)})
	if !math.IsInf(h.Slip, 0) {
		o.Line(&slippingStep, []string{n, force(o, max(g.Min-max(h.Out, 0)/float64(len(j.Studs)), 0)), force(o, h.Pull), times(o, h.Slip)}, j.Mu)
	}
	o.Line(&turningWorstStep, []string{force(o, h.Studs[h.WorstPin].Shear), times(o, h.Turn)}, math.Abs(h.Twist), float64(h.WorstPin+1))
	if !math.IsInf(h.Tip, 0) {
		o.Work("Tipping about the "+h.Edge.String()+" edge", "sum(Fmin h) / M", o.Fill("{lbf-in} / {lbf-in}", nil, h.Hold, h.Moment), times(o, h.Tip), "statics")
	}
	o.Line(&tensionAddedStep, []string{force(o, h.Studs[h.WorstBolt].Tension)})
	o.Line(&studAgainstStep, []string{force(o, g.ProofLoad()), force(o, g.Max), force(o, h.Studs[h.WorstBolt].Tension), times(o, h.Bolt)})
	o.Line(&oneStudStep, []string{force(o, g.ShearLoad()), force(o, h.Pull), times(o, h.Pin)})
}

func stayCautions(j Job, g tightened, h Held, wanted float64, o *worksheet.Out) {
	g.warn(o)
	o.CautionIf(!j.OnLedge,
		"Nothing beneath carries the weight: it hangs on friction alone. Put a positive stop under it before you cut.")
	o.CautionIf(wanted < 2, "A margin under 2 leaves nothing for a dull cutter or a hard spot.")
	if h.Pin < wanted {
		o.Caution("If it slipped, one stud as a pin would carry it only " + times(o, h.Pin) + " times. Add dowels or a stop.")
	}
	o.Note("Held by friction; shear of the studs is only the second line. The part is taken as rigid and the plate as true: a rough face bears on its high spots.")
	o.Note("Check tightness after the first pass. Spindle stopped and power off while you tighten; hands never under a part that hangs.")
	o.Note("Where a fall would hurt someone, or the part hangs overhead, a qualified person decides, and local code rules.")
}
