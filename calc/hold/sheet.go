// Package hold answers whether a part stays where it is clamped while it is
// cut: tightening torque and preload with its scatter, a part hung on an angle
// plate by studs, and strap clamps on a table. Typed functions work in inches,
// pounds-force and ksi throughout.
package hold

import (
	"datumbook/calc/joint"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet {
	return []*worksheet.Sheet{staySheet(), strapSheet(), torqueSheet()}
}

func torqueSheet() *worksheet.Sheet {
	in := jointInputs()
	for i := range in {
		if in[i].Section == boltPart {
			in[i].Section = ""
		}
	}
	in = append(in,
		worksheet.Input{Key: "tension", Label: "Tension wanted", Kind: worksheet.Force, Example: "9000 lbf", Min: "1 lbf", Max: "500000 lbf",
			Ask: "What pull?", Box: "pull",
			Help: "Give this to get the torque for it. Leave it empty where you give the torque."},
		worksheet.Input{Key: "length", Label: "Thread in the hole", Kind: worksheet.Length, Section: holePart, Example: "3/4",
			Min: "0.01 in", Max: "40 in", Ask: "How deep?", Box: "goes in",
			Help: "How far the stud goes into its hole, as far as a rule goes: one pitch of it does not count. In place " +
				"of all that is asked of the hole."},
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
		Inputs: in, Drawing: "torque",
		Results: append([]worksheet.Result{
			worksheet.Verdict,
			{Key: "holds", Label: "The joint bears it", Kind: worksheet.Flag, Judges: true},
			{Key: "torque", Label: "Torque", Kind: worksheet.Torque, Main: true, Plan: true, Dial: "wrench"},
			{Key: "preload", Label: "Tension aimed at", Kind: worksheet.Force, Main: true, Dial: "pull"},
			{Key: "least", Label: "Tension to count on", Kind: worksheet.Force, Main: true, Dial: "grip"},
			{Key: "most", Label: "Tension it may come to", Kind: worksheet.Force, Main: true, Dial: "push"},
			{Key: "share", Label: "Share of the proof load", Kind: worksheet.Percent},
			{Key: "mostshare", Label: "Share it may come to", Kind: worksheet.Percent},
			{Key: "proofload", Label: "Proof load", Kind: worksheet.Force},
			{Key: "area", Label: "Stress area", Kind: worksheet.Area},
			{Key: "proof", Label: "Proof strength", Kind: worksheet.Stress},
			{Key: "tensile", Label: "Tensile strength", Kind: worksheet.Stress},
			{Key: "longway", Label: "Torque the long way", Kind: worksheet.Torque, Dial: "wrench"},
			{Key: "longk", Label: "Torque factor the long way", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 3, Metric: 3}},
			{Key: "ways", Label: "Ways out", Kind: worksheet.Lines},
		}, jointResults...),
		Sources: append(append([]worksheet.Source{{Key: "RP-1228",
			Title: "NASA Reference Publication 1228 Fastener Design Manual, 1990: pull-out of tapped holes"}},
			holeSources...), boltSources...),
		Example: []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "grade", Text: "sae5"}, {Key: "into",
			Text: "blind"}, {Key: "depth", Text: "13/16 in"}, {Key: "to", Text: "shoulder"},
			{Key: "tap", Text: "bottoming"}, {Key: "csk", Text: "11/16 in"}, {Key: "nut", Text: "j5"},
			{Key: "washer", Text: "wide"}},
		Compute: torqueCompute,
	}
}

var torqueLongStep = worksheet.Step{What: "Torque the long way", Formula: "F [d2/2 (tan l + ft sec 30)/(1 - ft tan l sec 30) + fb dm/2]", Numbers: "d2 {len}, P {len}, ft {3}, fb {3}, dm {len}", Result: "{lbf-in}", Source: "Shigley"}

var yieldStep = worksheet.Step{What: "For comparison: tension at nine tenths of yield, twist and all, and its " +
	"torque", Formula: "nu Rp A0/sqrt(1 + 3 [(3/2)(d2/d0)(P/(pi d2) + 1.155 mu)]^2)", Numbers: "mu {3}, Rp {ksi}",
	Result: "{s}, {lbf-in}", Source: "VDI 2230"}

func torqueCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	g, f := tighten(v, o, true)
	if f != nil {
		return f
	}
	if v.Has("length") {
		if f := g.byLength(v, o); f != nil {
			return f
		}
	}
	b := &g.In.Bolt
	if v.Has("tension") {
		if v.Has("torque") {
			return v.Refuse("tension", "torque and tension are both given. Leave one of them empty.")
		}
		g.In.Torque = b.Torque(v.As("tension", "lbf"), g.In.K)
		if f := g.make(v, o); f != nil {
			return f
		}
	}
	proof, p := b.ProofLoad(), g.R.Preload
	o.SetIf(g.R.Over == nil, "least lbf", p.Min)
	o.SetAll("torque lbf-in, preload lbf, most lbf, share %, mostshare %, proofload lbf, area in2, proof ksi, tensile ksi",
		g.R.Torque, p.Aim, p.Max, 100*p.Aim/proof, 100*p.Max/proof,
		proof, b.Area, b.Proof, b.Su)
	g.show(o)
	g.headline(v, o)
	goes := g.sayJoint(o)
	g.saySoft(o, goes)
	switch {
	case !goes:
		o.SetFlag("holds", false)
		o.SetLines("ways", g.ways(o))
	case g.unsaid():
		o.SetText("verdict", g.open(o))
	default:
		o.SetFlag("holds", true)
		gives := worksheet.Either(g.R.Typed, "It gives ", "That gives ")
		o.SetText("verdict", g.pull(o)+" "+gives+g.spread(o)+".")
	}
	if p.Aim > 0 && (v.Has("fthread") || v.Has("fnut")) {
		ft, fb := v.Or("fthread", "", v.Num("fnut")), v.Or("fnut", "", v.Num("fthread"))
		dm := v.Or("face", "in", 1.25*b.D)
		long := b.TorqueLong(p.Aim, ft, fb, dm)
		o.SetAll("longway lbf-in, longk", long, long/float64(p.Aim*b.D))
		o.Line(&torqueLongStep, nil, b.Pitch2, b.Pitch, ft, fb, dm, long)
		yield := b.AtYield(.9, ft)
		o.Line(&yieldStep, []string{force(o, yield)}, ft, b.Yield, b.TorqueLong(yield, ft, fb, dm))
	}
	o.Note("K alone is uncertain by a third. Tighten the nut, not the stud, with the stud's thread clean and turned fully in by hand.")
	return nil
}

// byLength takes the thread as a rule finds it, for a hole of which nothing else was said.
func (g *tightened) byLength(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	h := &g.In.Hole
	if v.Has("depth") || h.Into == joint.Nutted {
		return v.Refuse("length", "the hole is described besides. Leave one of them empty.")
	}
	h.Into, h.Depth, h.Csk = joint.Length, v.In("length")-g.In.Bolt.Pitch, 0
	if h.Depth <= 0 {
		return v.Refuse("length", "less than one pitch holds nothing. Make the hole deeper.")
	}
	if !h.Known {
		g.worse.add(true, "grey iron as class 20")
	}
	g.worse.add(true, "one pitch of the thread does not count")
	askMM(v, o, g.In.Bolt.D, "length")
	return g.make(v, o)
}

// open says what a torque gives where nothing is known of the hole.
func (g *tightened) open(o *worksheet.Out) string {
	const unsaid = "What the stud screws into was not said"
	switch common := joint.Common(g.In.Thread, g.In.Bolt.Su); {
	case !g.R.Typed && g.R.Weakest.Part == joint.TheCommonHole:
		return o.Fill("{s}. Until it is, no more than {wrench lbf-in}: a short hole in grey iron bears that.",
			[]string{unsaid}, g.R.Most)
	case g.R.Preload.Max > common:
		return o.Fill("{s} gives {s}. {s}: a short hole in grey iron bears {wrench lbf-in}.", []string{g.asTyped,
			g.spread(o), unsaid},
			g.In.Bolt.Torque(common/(1+g.In.Scatter), g.In.K))
	}
	return g.asTyped + " gives " + g.spread(o) + ". " + unsaid + "."
}
