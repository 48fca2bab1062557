package hold

import (
	"math"

	"datumbook/calc/worksheet"
)

// Strap is one strap clamp: a bar on a heel block and on the work, the stud
// between them. Lengths in inches.
type Strap struct {
	Heel float64 // a, heel to stud
	Work float64 // b, stud to work
}

// Share splits a stud's tension between work and heel by the lever:
// work = F a/(a + b), heel = F b/(a + b).
func (s Strap) Share(tension float64) (work, heel float64) {
	work = float64(tension*s.Heel) / (s.Heel + s.Work)
	return work, tension - work
}

// Bending gives the stress in ksi at the stud of a bar of the given width and
// thickness less the slot: 6 M/((w - slot) t^2), M = F a b/(a + b).
func (s Strap) Bending(tension, wide, thick, slot float64) float64 {
	m := tension * float64(s.Heel*s.Work) / (s.Heel + s.Work)
	return 6 * m / float64((wide-slot)*float64(thick*thick)) / 1000
}

func strapSheet() *worksheet.Sheet {
	in := []worksheet.Input{
		{Key: "clamps", Label: "Clamps", Kind: worksheet.Count, Required: true, Example: "2", Min: "1", Max: "40", Help: "How many strap clamps hold the part."},
		{Key: "heel", Label: "Heel to stud", Kind: worksheet.Length, Required: true, Example: "3", Min: "0.1 in", Max: "40 in", Help: "Along the strap, from the middle of the heel's bearing to the stud."},
		{Key: "nose", Label: "Stud to work", Kind: worksheet.Length, Required: true, Example: "2", Min: "0.1 in", Max: "40 in", Help: "From the stud to where the strap presses on the work. Keep it the shorter of the two."},
		{Key: "force", Label: "Cutting force along the table", Kind: worksheet.Force, Default: "0 lbf", Example: "250 lbf", Min: "0 lbf", Max: "50000 lbf", Help: "The worksheet 'power' gives it as force."},
		{Key: "lift", Label: "Cutting force lifting the part", Kind: worksheet.Force, Default: "0 lbf", Example: "50 lbf", Min: "0 lbf", Max: "50000 lbf", Help: "A steep helix or a drill breaking through pulls the part up."},
		{Key: "weight", Label: "Weight", Kind: worksheet.Mass, Default: "0 lb", Example: "180 lb", Min: "0 lb", Max: "20000 lb", Help: "Weight of the part, which presses it on the table."},
		{Key: "height", Label: "Height of the cut", Kind: worksheet.Length, Section: "Tipping", Example: "6", Min: "0 in", Max: "200 in", Help: "Above the table. With the next two, tipping is looked at."},
		{Key: "arm", Label: "Clamps to tipping edge", Kind: worksheet.Length, Section: "Tipping", Example: "5", Min: "0 in", Max: "200 in", Help: "From where the straps press, on the average, to the edge it would tip over."},
		{Key: "cgarm", Label: "Middle of weight to tipping edge", Kind: worksheet.Length, Section: "Tipping", Example: "4", Min: "0 in", Max: "200 in", Help: "Level distance from the middle of weight to the same edge."},
	}
	in = append(in, boltInputs...)
	in = append(in,
		worksheet.Input{Key: "mu", Label: "Friction on the table", Kind: worksheet.Number, Default: "0.12", Min: "0.02", Max: "0.8", Section: finePart, Help: "0.10 to 0.12 oily machined faces, 0.15 to 0.20 clean and dry, 0.3 with paper between."},
		worksheet.Input{Key: "wanted", Label: "Margin wanted", Kind: worksheet.Number, Default: "2.5", Min: "1", Max: "20", Section: finePart, Help: "2.5 is usual; more for an interrupted cut."},
		worksheet.Input{Key: "wide", Label: "Strap width", Kind: worksheet.Length, Example: "1.5", Min: "0.2 in", Max: "10 in", Section: finePart, Help: "With the thickness, the strap's bending is looked at."},
		worksheet.Input{Key: "thick", Label: "Strap thickness", Kind: worksheet.Length, Example: "3/4", Min: "0.1 in", Max: "6 in", Section: finePart, Help: "At the stud."},
		worksheet.Input{Key: "slot", Label: "Slot in the strap", Kind: worksheet.Length, Example: "11/16", Min: "0 in", Max: "6 in", Section: finePart, Help: "Width of the slot. Empty: the stud and 1/16 in."},
		worksheet.Input{Key: "yield", Label: "Yield of the strap", Kind: worksheet.Stress, Default: "45 ksi", Min: "10 ksi", Max: "200 ksi", Section: finePart, Help: "45 ksi is mild steel bar."})
	return &worksheet.Sheet{
		Name: "strap", Title: "Strap clamps", Question: "Will the clamps hold it?", Group: "hold",
		About: []string{
			"A strap clamp is a lever: the stud's pull is shared between the work and the heel block, and the nearer the stud is to the work, the more the work gets. The least tension of the studs, shared so, and the weight press the part on the table; friction holds it.",
			"The grip of the strap's nose on top is left out: a strap swings.",
		},
		Drawing: "strap",
		Inputs:  in,
		Results: []worksheet.Result{
			worksheet.Verdict,
			{Key: "stays", Label: "It stays", Kind: worksheet.Flag},
			{Key: "slip", Label: "Margin on slipping", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}, Main: true},
			{Key: "tip", Label: "Margin on tipping", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}, Main: true},
			{Key: "onwork", Label: "On the work, each, to count on", Kind: worksheet.Force, Main: true},
			{Key: "onheel", Label: "On the heel, each, at most", Kind: worksheet.Force},
			{Key: "share", Label: "Work's share of the stud", Kind: worksheet.Percent},
			{Key: "total", Label: "All clamps on the work", Kind: worksheet.Force},
			{Key: "friction", Label: "Friction to count on", Kind: worksheet.Force},
			{Key: "torque", Label: "Torque", Kind: worksheet.Torque, Main: true},
			{Key: "preload", Label: "Tension aimed at", Kind: worksheet.Force},
			{Key: "least", Label: "Tension to count on", Kind: worksheet.Force},
			{Key: "most", Label: "Tension it may come to", Kind: worksheet.Force},
			{Key: "bending", Label: "Bending of the strap at most", Kind: worksheet.Stress},
			{Key: "raise", Label: "What would raise it", Kind: worksheet.Lines},
		},
		Sources: append([]worksheet.Source{{Key: "lever", Title: "Law of the lever; bending of a bar, Machinery's Handbook, strength of materials"}}, boltSources...),
		Example: []worksheet.Pair{{Key: "clamps", Text: "2"}, {Key: "heel", Text: "3 in"}, {Key: "nose", Text: "2 in"}, {Key: "force", Text: "150 lbf"}, {Key: "weight", Text: "120 lb"}, {Key: "thread", Text: "5/8-11"}, {Key: "grade", Text: "sae5"}, {Key: "torque", Text: "80 lbf-ft"}},
		Compute: strapCompute,
	}
}

// Worked lines of strapCompute.
var (
	workEachStep      = worksheet.Step{What: "On the work, each clamp", Formula: "Fmin a/(a + b)", Numbers: "{s} x {len}/({len} + {len})", Result: "{s}", Source: "lever"}
	frictionCountStep = worksheet.Step{What: "Friction to count on", Formula: "mu (n Fwork + weight - lift)", Numbers: "{3} x {s}", Result: "{s}", Source: "practice"}
	bendingStrapStep  = worksheet.Step{What: "Bending of the strap", Formula: "6 M/((w - slot) t^2), M = Fmax a b/(a + b)", Numbers: "{s}, slot {len}", Result: "{ksi}", Source: "lever"}
)

func strapCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	g, f := tighten(v)
	if f != nil {
		return f
	}
	s := Strap{v.In("heel"), v.In("nose")}
	n := v.Num("clamps")
	work, _ := s.Share(g.Min)
	_, heel := s.Share(g.Max)
	w, side, lift, wanted := v.As("weight", "lb"), v.As("force", "lbf"), v.As("lift", "lbf"), v.Num("wanted")
	press := max(float64(n*work)+w-lift, 0)
	friction := v.Num("mu") * press
	slip, tip := over(friction, side), math.Inf(1)
	if lift > 0 {
		tip = over(float64(n*work)+w, lift) // lifted straight off counts with tipping
	}
	if v.Has("height") && v.Has("arm") && v.Has("cgarm") {
		// The lift is taken to act at the far edge, twice the weight's arm away.
		m := float64(side*v.In("height")) + float64(lift*2*v.In("cgarm"))
		tip = min(tip, over(float64(float64(n*work)*v.In("arm"))+float64(w*v.In("cgarm")), m))
	}
	least := min(slip, tip)
	for _, r := range [...]struct {
		key string
		x   float64
	}{{"slip", slip}, {"tip", tip}} {
		key, x := r.key, r.x
		if !math.IsInf(x, 0) {
			o.Set(key, min(x, 9999), "")
		}
	}
	o.SetAll("onwork lbf, onheel lbf, share %, total lbf, friction lbf, torque lbf-in, preload lbf, least lbf, most lbf",
		work, heel, 100*s.Heel/(s.Heel+s.Work), n*work, friction, g.Torque,
		g.Aim, g.Min, g.Max)
	what := worksheet.Either(tip < slip, "lifting and tipping", "slipping")
	o.SetFlag("stays", least >= wanted && g.Max <= g.ProofLoad())
	switch {
	case g.Max > g.ProofLoad():
		o.SetText("verdict", "Not like this: the studs may be pulled to "+force(o, g.Max)+", past their proof load of "+force(o, g.ProofLoad())+".")
	case math.IsInf(least, 0):
		o.SetText("verdict", "Each clamp presses on the work with "+force(o, work)+" to count on. Give the cutting force to see whether it holds.")
	case least < 1:
		o.SetText("verdict", o.Fill("It will not stay: {s} comes first, with a margin of {2}.", []string{what}, least))
		o.Refuse("As set up, " + what + " is not held. Do not cut.")
	case least < wanted:
		o.SetText("verdict", o.Fill("Not enough: {s} comes first, with a margin of {2} where {1} is wanted.", []string{what}, least, wanted))
	case least < 1.15*wanted:
		o.SetText("verdict", o.Fill("Close: it stays, and {s} comes first with a margin of {2} where {1} is wanted.", []string{what}, least, wanted))
	default:
		o.SetText("verdict", o.Fill("It stays: {s} comes first, with a margin of {2} where {1} is wanted.", []string{what}, min(least, 9999), wanted))
	}
	strapRaise(s, g, n, least, wanted, o)
	g.show(o)
	o.Line(&workEachStep, []string{force(o, g.Min), force(o, work)}, s.Heel, s.Heel, s.Work)
	o.Line(&frictionCountStep, []string{force(o, press), force(o, friction)}, v.Num("mu"))
	if v.Has("wide") && v.Has("thick") {
		slot := v.Or("slot", "in", g.D+1.0/16)
		if slot > .9*v.In("wide") {
			return v.Refuse("wide", "the slot leaves hardly any strap. Check the width and the slot.")
		}
		b := s.Bending(g.Max, v.In("wide"), v.In("thick"), slot)
		o.Set("bending", b, "ksi")
		o.Line(&bendingStrapStep, []string{force(o, g.Max)}, slot, b)
		if b > v.As("yield", "ksi") {
			o.Refuse("The strap bends before the stud is tight: take a thicker strap, a shorter one, or less torque.")
		} else if b > .67*v.As("yield", "ksi") {
			o.Caution("The strap is loaded past two thirds of its yield.")
		}
	}
	g.warn(o)
	o.CautionIf(s.Work > s.Heel,
		"The stud is nearer the heel than the work: the heel gets the larger share. Move the stud towards the work.")
	o.Note("Heel level with the work or a hair higher; support straight under the nose, never over a hollow; stops against the cut wherever you can.")
	o.Note("Spindle stopped while you tighten. Check every clamp after the first pass.")
	return nil
}

func strapRaise(s Strap, g tightened, n, least, wanted float64, o *worksheet.Out) {
	if math.IsInf(least, 0) {
		o.SetLines("raise", nil)
		return
	}
	var out []string
	if s.Work >= s.Heel/2 {
		w, _ := Strap{s.Heel + float64(s.Work/2), float64(s.Work / 2)}.Share(g.Min)
		was, _ := s.Share(g.Min)
		out = append(out, "Move the stud half way to the work: each clamp gives "+force(o, w)+" in place of "+force(o, was)+".")
	}
	if least < wanted {
		if need := math.Ceil(n * wanted / max(least, .01)); need <= 60 {
			out = append(out, o.Fill("About {0} clamps like these in place of {0}.", nil, need, n))
		}
		aim := g.Aim * wanted / max(least, .01)
		if aim*(1+g.S) <= g.ProofLoad() {
			out = append(out, o.Fill("Pull the nuts to about {lbf-in}.", nil, g.Bolt.Torque(aim, g.K)))
		} else {
			out = append(out, "Torque alone will not do it with these studs.")
		}
	}
	out = append(out, "A stop against the cut takes the slipping off the clamps altogether.", "Paper under the part, or a clean dry face.")
	o.SetLines("raise", out)
}
