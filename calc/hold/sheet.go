package hold

import "datumbook/calc/worksheet"

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet {
	return []*worksheet.Sheet{staySheet(), strapSheet(), torqueSheet()}
}

func torqueSheet() *worksheet.Sheet {
	in := boltInputs
	for i := range in {
		if in[i].Section == boltPart {
			in[i].Section = ""
		}
	}
	in = append(in,
		worksheet.Input{Key: "tension", Label: "Tension wanted", Kind: worksheet.Force, Example: "9000 lbf", Min: "1 lbf", Max: "500000 lbf",
			Help: "Give this to get the torque for it. Leave it empty where you give the torque."},
		worksheet.Input{Key: "fthread", Label: "Friction of the thread", Kind: worksheet.Number, Section: finePart, Example: "0.12", Min: "0.02", Max: "0.6",
			Help: "With this the torque is also worked out the long way, from thread and nut friction."},
		worksheet.Input{Key: "fnut", Label: "Friction under the nut", Kind: worksheet.Number, Section: finePart, Example: "0.12", Min: "0.02", Max: "0.6",
			Help: "Empty: the same as the thread's."},
		worksheet.Input{Key: "face", Label: "Mean diameter of the nut's face", Kind: worksheet.Length, Section: finePart, Example: "0.80", Min: "0.05 in", Max: "10 in",
			Help: "Half way between the hole and the outside of the nut's face. Empty: 1.25 diameters."})
	return &worksheet.Sheet{
		Name: "torque", Title: "Torque and tension", Question: "How tight is tight?", Group: "hold",
		About: []string{
			"A torque is only a guess at the tension: nine tenths of it goes into friction. This worksheet gives the tension for a torque, or the torque for a tension, and how far the tension may be off either way.",
			"For holding, count on the least; for the stud and the thread, reckon with the most.",
		},
		Inputs: in,
		Results: []worksheet.Result{
			worksheet.Verdict,
			{Key: "torque", Label: "Torque", Kind: worksheet.Torque, Main: true},
			{Key: "preload", Label: "Tension aimed at", Kind: worksheet.Force, Main: true},
			{Key: "least", Label: "Tension to count on", Kind: worksheet.Force, Main: true},
			{Key: "most", Label: "Tension it may come to", Kind: worksheet.Force, Main: true},
			{Key: "share", Label: "Share of the proof load", Kind: worksheet.Percent},
			{Key: "mostshare", Label: "Share it may come to", Kind: worksheet.Percent},
			{Key: "proofload", Label: "Proof load", Kind: worksheet.Force},
			{Key: "area", Label: "Stress area", Kind: worksheet.Area},
			{Key: "proof", Label: "Proof strength", Kind: worksheet.Stress},
			{Key: "tensile", Label: "Tensile strength", Kind: worksheet.Stress},
			{Key: "longway", Label: "Torque the long way", Kind: worksheet.Torque},
			{Key: "longk", Label: "Torque factor the long way", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 3, Metric: 3}},
		},
		Sources: boltSources,
		Example: []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "grade", Text: "sae5"}, {Key: "finish", Text: "dry"}, {Key: "percent", Text: "75"}},
		Compute: torqueCompute,
	}
}

var torqueLongStep = worksheet.Step{What: "Torque the long way", Formula: "F [d2/2 (tan l + ft sec 30)/(1 - ft tan l sec 30) + fb dm/2]", Numbers: "d2 {len}, P {len}, ft {3}, fb {3}, dm {len}", Result: "{lbf-in}", Source: "Shigley"}

func torqueCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	g, f := tighten(v)
	if f != nil {
		return f
	}
	if v.Has("tension") {
		if v.Has("torque") {
			return v.Refuse("tension", "torque and tension are both given. Leave one of them empty.")
		}
		aim := v.As("tension", "lbf")
		g.Preload = Scattered(aim, g.S, g.Settle)
		g.Torque = g.Bolt.Torque(aim, g.K)
	}
	proof := g.ProofLoad()
	o.SetAll("torque lbf-in, preload lbf, least lbf, most lbf, share %, mostshare %, proofload lbf, area in2, proof ksi, tensile ksi",
		g.Torque, g.Aim, g.Min, g.Max, 100*g.Aim/proof, 100*g.Max/proof,
		proof, g.Area, g.Proof, g.Su)
	t := o.Show(g.Torque, "lbf-in", worksheet.Torque)
	switch {
	case g.Aim > proof:
		o.SetText("verdict", "Too tight: "+t+" pulls the stud to "+force(o, g.Aim)+", and its proof load is "+force(o, proof)+".")
		o.Refuse("The tension aimed at is past the stud's proof load.")
	case g.Max > proof:
		o.SetText("verdict", "Close: "+t+" aims at "+force(o, g.Aim)+", but it may come to "+force(o, g.Max)+" and the proof load is "+force(o, proof)+".")
	default:
		o.SetText("verdict", t+" gives about "+force(o, g.Aim)+": count on "+force(o, g.Min)+", reckon with "+force(o, g.Max)+".")
	}
	g.show(o)
	if v.Has("fthread") || v.Has("fnut") {
		ft, fb, dm := v.Num("fthread"), v.Num("fnut"), v.In("face")
		if !v.Has("fthread") {
			ft = fb
		}
		if !v.Has("fnut") {
			fb = ft
		}
		if dm == 0 {
			dm = 1.25 * g.D
		}
		long := g.TorqueLong(g.Aim, ft, fb, dm)
		o.SetAll("longway lbf-in, longk", long, long/float64(g.Aim*g.D))
		o.Line(&torqueLongStep, nil, g.Pitch2, g.Pitch, ft, fb, dm, long)
	}
	g.warn(o)
	o.Note("K alone is uncertain by a third. Tighten the nut, not the stud, with the stud's thread clean and turned fully in by hand.")
	o.Note("A tapped hole must be deep enough to break the stud before it strips: check the thread's engagement against the most the tension may come to.")
	return nil
}
