package hold

import (
	"math"
	"strings"

	"datumbook/calc/joint"
	"datumbook/calc/thread"
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
		{Key: "clamps", Label: "Clamps", Ask: "How many straps?", Box: "straps", Kind: worksheet.Count, Required: true, Example: "2", Min: "1", Max: "40", Help: "How many strap clamps hold the part."},
		{Key: "heel", Label: "Heel to stud", Ask: "Heel to stud?", Box: "heel to stud", Kind: worksheet.Length, Required: true, Example: "3", Min: "0.1 in", Max: "40 in", Help: "Along the strap, from the middle of the heel's bearing to the stud."},
		{Key: "nose", Label: "Stud to work", Ask: "Stud to part?", Box: "stud to part", Kind: worksheet.Length, Required: true, Example: "2", Min: "0.1 in", Max: "40 in", Help: "From the stud to where the strap presses on the work. Keep it the shorter of the two."},
		{Key: "force", Label: "Cutting force along the table", Ask: "How hard a cut?", Box: "cut", Kind: worksheet.Force, Example: "250 lbf", Min: "0 lbf", Max: "50000 lbf", Help: "The worksheet 'power' gives it as force."},
		{Key: "lift", Label: "Cutting force lifting the part", Ask: "Lifts how hard?", Box: "lift", Kind: worksheet.Force, Default: "0 lbf", Example: "50 lbf", Min: "0 lbf", Max: "50000 lbf", Help: "A steep helix or a drill breaking through pulls the part up."},
		{Key: "weight", Label: "Weight", Ask: "What weight?", Box: "weight", Kind: worksheet.Mass, Example: "180 lb", Min: "0 lb", Max: "20000 lb", Help: "Weight of the part, which presses it on the table."},
		{Key: "height", Label: "Height of the cut", Ask: "How high is the cut?", Box: "height of cut", Kind: worksheet.Length, Section: "Tipping", Example: "6", Min: "0 in", Max: "200 in", Help: "Above the table. With the next two, tipping is looked at."},
		{Key: "arm", Label: "Clamps to tipping edge", Ask: "Straps to edge?", Box: "straps to edge", Kind: worksheet.Length, Section: "Tipping", Example: "5", Min: "0 in", Max: "200 in", Help: "From where the straps press, on the average, to the edge it would tip over."},
		{Key: "cgarm", Label: "Centre of gravity to tipping edge", Ask: "Balance to edge?", Box: "balance to edge", Kind: worksheet.Length, Section: "Tipping", Example: "4", Min: "0 in", Max: "200 in", Help: "Level distance from the centre of gravity to the same edge."},
	}
	studs := studInputs()
	for i := range studs {
		if studs[i].Key == "into" {
			tee := worksheet.Option{Key: "tee", Label: "a tee nut in the table's slot"}
			old := studs[i].Options
			studs[i].Options = append([]worksheet.Option{old[0], tee}, old[1:]...)
		}
	}
	in = append(append(in, asked(studs)...),
		worksheet.Input{Key: "lips", Label: "A slot's lips bear", Kind: worksheet.Force, Example: "12000 lbf",
			Min: "1 lbf", Max: "500000 lbf", Section: holePart,
			Help: "For a tee nut: the pull on one that the table's maker allows. Empty: the lips are not reckoned."},
		worksheet.Input{Key: "mu", Label: "Friction on the table", Kind: worksheet.Number, Default: "0.12",
			Min: "0.02", Max: "0.8", Section: finePart,
			Help: "0.10 with oil to be seen, 0.12 wiped with a rag, 0.18 degreased and dry."},
		worksheet.Input{Key: "wanted", Label: "Margin wanted", Kind: worksheet.Number, Default: "2.5", Min: "1", Max: "20", Section: finePart, Help: "2.5 is usual; more for an interrupted cut."},
		worksheet.Input{Key: "wide", Label: "Strap width", Box: "strap wide", Kind: worksheet.Length, Example: "1.5", Min: "0.2 in", Max: "10 in", Section: finePart, Help: "With the thickness, the strap's bending is looked at."},
		worksheet.Input{Key: "thick", Label: "Strap thickness", Ask: "How thick a strap?", Box: "strap thick", Kind: worksheet.Length, Lately: "stock", Example: "3/4", Min: "0.1 in", Max: "6 in", Section: finePart, Help: "At the stud."},
		worksheet.Input{Key: "slot", Label: "Slot in the strap", Box: "slot wide", Kind: worksheet.Length, Example: "11/16", Min: "0 in", Max: "6 in", Section: finePart, Help: "Width of the slot. Empty: the stud and 1/16 in."},
		worksheet.Input{Key: "yield", Label: "Yield of the strap", Kind: worksheet.Stress, Default: "45 ksi", Min: "10 ksi", Max: "200 ksi", Section: finePart, Help: "45 ksi is mild steel bar."})
	return &worksheet.Sheet{
		Name: "strap", Title: "Strap clamps", Question: "Will the clamps hold it?", Group: "hold",
		About: []string{
			"A strap clamp is a lever: the stud's pull is shared between the work and the heel block, and the nearer the stud is to the work, the more the work gets. The least tension of the studs, shared so, and the weight press the part on the table; friction holds it.",
			"The grip of the strap's nose on top is left out: a strap swings.",
		},
		Drawing: "strap",
		Inputs:  in,
		Results: append([]worksheet.Result{
			worksheet.Verdict,
			{Key: "stays", Label: "It stays", Kind: worksheet.Flag, Judges: true},
			{Key: "slip", Label: "Margin on slipping", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2,
				Metric: 2}, Main: true, Dial: "margin"},
			{Key: "tip", Label: "Margin on tipping", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2,
				Metric: 2}, Main: true, Dial: "margin"},
			{Key: "onwork", Label: "On the work, each, to count on", Kind: worksheet.Force, Main: true, Dial: "grip"},
			{Key: "onheel", Label: "On the heel, each, at most", Kind: worksheet.Force, Dial: "push"},
			{Key: "share", Label: "Work's share of the stud", Kind: worksheet.Percent},
			{Key: "total", Label: "All clamps on the work", Kind: worksheet.Force},
			{Key: "friction", Label: "Friction to count on", Kind: worksheet.Force},
			{Key: "torque", Label: "Torque", Kind: worksheet.Torque, Main: true, Plan: true, Dial: "wrench"},
			{Key: "preload", Label: "Tension aimed at", Kind: worksheet.Force, Dial: "pull"},
			{Key: "least", Label: "Tension to count on", Kind: worksheet.Force, Dial: "grip"},
			{Key: "most", Label: "Tension it may come to", Kind: worksheet.Force, Dial: "push"},
			{Key: "bending", Label: "Bending of the strap at most", Kind: worksheet.Stress, Plan: true},
			{Key: "raise", Label: "What would raise it", Kind: worksheet.Lines},
		}, jointResults[:5]...),
		Sources: append(append([]worksheet.Source{{Key: "lever", Title: "Law of the lever; bending of a bar, " +
			"Machinery's Handbook, strength of materials"}, {Key: "RP-1228",
			Title: "NASA Reference Publication 1228 Fastener Design Manual, 1990: pull-out of tapped holes"}},
			holeSources...), boltSources...),
		Example: []worksheet.Pair{{Key: "clamps", Text: "2"}, {Key: "heel", Text: "3 in"}, {Key: "nose",
			Text: "2 in"}, {Key: "force", Text: "150 lbf"}, {Key: "weight", Text: "120 lb"}, {Key: "thread",
			Text: "5/8-11"}, {Key: "grade", Text: "sae5"}, {Key: "torque", Text: "60 lbf-ft"},
			{Key: "height", Text: "4 in"}, {Key: "arm", Text: "5 in"}, {Key: "cgarm", Text: "4 in"}, {Key: "wide",
				Text: "2 in"}, {Key: "thick", Text: "1-1/4 in"}, {Key: "into", Text: "tee"},
			{Key: "lips", Text: "12000 lbf"}},
		Half:    strapHalf,
		Compute: strapCompute,
	}
}

// Worked lines of strapCompute.
var (
	workEachStep      = worksheet.Step{What: "On the work, each clamp", Formula: "Fmin a/(a + b)", Numbers: "{s} x {len}/({len} + {len})", Result: "{s}", Source: "lever"}
	frictionCountStep = worksheet.Step{What: "Friction to count on", Formula: "mu (n Fwork + weight - lift)", Numbers: "{3} x {s}", Result: "{s}", Source: "practice"}
	bendingStrapStep  = worksheet.Step{What: "Bending of the strap", Formula: "6 M/((w - slot) t^2), M = Fmax a b/(a + b)", Numbers: "{s}, slot {len}", Result: "{ksi}", Source: "lever"}
)

// strapped is a part under strap clamps.
type strapped struct {
	Strap
	wide, thick, slot, yield   float64 // of the bar; thick 0 where it was not said
	n, weight, side, lift      float64
	height, arm, cgarm         float64
	tips                       bool // the last three were said
	mu, wanted                 float64
	lips                       float64 // what a slot's lips bear, lbf
	tee                        bool    // the studs stand in tee nuts
	stop                       bool    // a stop carries the force along the table
	bent                       float64 // ksi
	slipping, tipping, pressed float64
}

// try reckons the margins at a preload.
func (s *strapped) try(p joint.Preload) {
	work, _ := s.Share(p.Min)
	s.pressed = max(float64(s.n*work)+s.weight-s.lift, 0)
	s.slipping, s.tipping = over(s.mu*s.pressed, worksheet.Either(s.stop, 0, s.side)), math.Inf(1)
	if s.lift > 0 {
		s.tipping = over(float64(s.n*work)+s.weight, s.lift) // lifted straight off counts with tipping
	}
	if s.tips {
		// The lift is taken to act at the far edge, twice the weight's arm away.
		m := float64(s.side*s.height) + float64(s.lift*2*s.cgarm)
		s.tipping = min(s.tipping, over(float64(float64(s.n*work)*s.arm)+float64(s.weight*s.cgarm), m))
	}
	if s.thick > 0 {
		s.bent = s.Bending(p.Max, s.wide, s.thick, s.slot)
	}
}

func (s *strapped) least() float64 { return min(s.slipping, s.tipping) }

// link is the strap as a part of the joint: it is to be bent to two thirds of its yield strength at
// most (common practice). The lips of a slot bear what its maker says.
func (s *strapped) link() (links []joint.Link) {
	if s.thick > 0 {
		links = append(links, joint.Link{Part: joint.TheStrap,
			Bears: s.yield / 1.5 / s.Bending(1, s.wide, s.thick, s.slot), Soft: true})
	}
	if s.tee && s.lips > 0 {
		links = append(links, joint.Link{Part: joint.TheLip, Bears: s.lips})
	}
	return links
}

func strapCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	s := strapped{Strap: Strap{v.In("heel"), v.In("nose")}, n: v.Num("clamps"), weight: v.As("weight", "lb"),
		side: v.As("force", "lbf"), lift: v.As("lift", "lbf"),
		height: v.In("height"), arm: v.In("arm"), cgarm: v.In("cgarm"),
		tips: v.Has("height") && v.Has("arm") && v.Has("cgarm"),
		lips: v.As("lips", "lbf"), tee: v.Choice("into") == "tee",
		mu: v.Num("mu"), wanted: v.Num("wanted"), yield: v.As("yield", "ksi")}
	if v.Has("wide") && v.Has("thick") {
		t, _ := thread.Parse(v.Text("thread"))
		s.wide, s.thick, s.slot = v.In("wide"), v.In("thick"), v.Or("slot", "in", t.Inches(t.D)+1.0/16)
		if s.slot > .9*s.wide {
			return v.Refuse("wide", "the slot leaves hardly any strap. Check the width and the slot.")
		}
	}
	g, f := tighten(v, o, false, s.link()...)
	if f != nil {
		return f
	}
	p := g.R.Preload
	s.try(p)
	work, _ := s.Share(p.Min)
	_, heel := s.Share(p.Max)
	usable := g.R.Over == nil && g.R.Most > 0 && s.bent <= s.yield // else no margin is one
	for i, x := range [...]float64{s.slipping, s.tipping} {
		if usable && !math.IsInf(x, 0) {
			o.Set([...]string{"slip", "tip"}[i], min(x, 9999), "")
		}
	}
	o.SetAll("share %, torque lbf-in, preload lbf, most lbf", 100*s.Heel/(s.Heel+s.Work), g.R.Torque, p.Aim, p.Max)
	o.SetIf(usable, "onwork lbf, onheel lbf, total lbf, friction lbf, least lbf", work, heel, s.n*work,
		s.mu*s.pressed, p.Min)
	best := s.raise(g, o)
	if s.judge(g, o, best) {
		s.first(g, o)
	}
	g.show(o)
	o.Line(&workEachStep, []string{force(o, p.Min), force(o, work)}, s.Heel, s.Heel, s.Work)
	o.Line(&frictionCountStep, []string{force(o, s.pressed), force(o, s.mu*s.pressed)}, s.mu)
	if s.thick > 0 && g.R.Most > 0 {
		o.Set("bending", s.bent, "ksi")
		o.Line(&bendingStrapStep, []string{force(o, p.Max)}, s.slot, s.bent)
	}
	o.NoteIf(s.Work > s.Heel,
		"The stud is nearer the heel than the work: the heel gets the larger share. Move the stud towards the work.")
	o.Note("Heel level with the work or a hair higher; support straight under the nose, never over a hollow; stops against the cut wherever you can.")
	o.Note("A thick washer or flanged nut over the strap's slot. Studs in the table: through the tee nut no " +
		"farther than flush, or they jack the slot's lips off.")
	o.Note("Spindle stopped while you tighten. Check every clamp after the first pass.")
	return nil
}

// judge gives verdict and flag, and whether it goes like this: a bent strap before every other word.
func (s *strapped) judge(g *tightened, o *worksheet.Out, best []offer) bool {
	what := worksheet.Either(s.tipping < s.slipping, "lifting and tipping", "slipping")
	stop := s.bent > s.yield
	s.stopFirst(g, o, best)
	if stop && g.R.Most > 0 {
		bends, yields := o.ReadApart("three", s.bent, s.yield, "ksi")
		o.Stop(o.Fill("The strap bends: {s} in it, and it yields at {s}. At most {wrench lbf-in}.", []string{bends,
			yields}, g.R.Most),
			"The strap bends before the stud is tight: take a thicker strap, a shorter one, or less torque.")
	}
	goes := g.sayJoint(o) && !stop
	if soft := g.R.Soft; soft != nil && soft.Part == joint.TheStrap && goes {
		o.Caution(o.Fill("At {s} the strap may be loaded past two thirds of its yield: {wrench lbf-in} keeps "+
			"below.", []string{g.asTyped}, g.R.Most))
	}
	least := s.least()
	have, _ := o.ReadApart("margin", min(least, 9999), s.wanted, "")
	want := o.Dec(s.wanted, 2)
	on, refusal := "", "As set up, "+what+" is not held. Do not cut."
	if g.unsaid() && !g.R.Typed {
		on = o.Fill(" with the {wrench lbf-in} a short hole in grey iron bears", nil, g.R.Torque)
		refusal = "What the studs screw into was not said: a better thread may bear more torque. Do not cut."
	}
	switch {
	case !goes:
	case least < 1:
		o.Stop("It will not stay"+on+": "+what+" lets go at "+have+" of the cut.", refusal)
	case least < s.wanted:
		o.Stop("Not enough"+on+": "+what+" lets go at "+have+" times the cut, and "+want+" is wanted.", refusal)
	}
	g.saySoft(o, goes && least >= s.wanted)
	if !goes || least < s.wanted {
		o.SetFlag("stays", false)
		return false
	}
	var open []string
	if !s.tips {
		open = append(open, "tipping")
	}
	if s.thick == 0 {
		open = append(open, "the strap's bending")
	}
	if s.tee && s.lips == 0 {
		open = append(open, "the slot's lips")
	}
	lead, stays, tail := g.pull(o), "It stays", ""
	if g.unsaid() {
		lead, stays = unsaidHole+". If it bears "+g.asTyped+",", "it stays"
	}
	if len(open) > 0 {
		list := strings.Join(open, ", ")
		if i := strings.LastIndex(list, ", "); i > 0 {
			list = list[:i] + " and" + list[i+1:]
		}
		tail = " " + upper(list) + " not reckoned."
	}
	switch {
	case math.IsInf(least, 0):
		work, _ := s.Share(g.R.Preload.Min)
		holds := worksheet.Either(s.weight > 0, "Holds its own weight", "Its weight was not said")
		if g.unsaid() {
			lead = unsaidHole + "."
		}
		o.SetText("verdict", o.Fill("{s} {s}; no cut reckoned: each clamp presses with {s}.{s}",
			[]string{lead, holds, about(o, "grip", work), tail}))
		return true
	case !s.tips:
		o.SetText("verdict", lead+worksheet.Either(g.unsaid(), " it", " It")+" does not slip, "+have+
			" times the cut."+tail)
		return true
	case least < 1.15*s.wanted:
		o.SetText("verdict", lead+" "+stays+", just: "+have+" times the cut where "+want+" is wanted; "+what+
			" comes first."+tail)
	default:
		o.SetText("verdict", lead+" "+stays+", "+have+" times the cut; "+what+" comes first."+tail)
	}
	if len(open) == 0 && !g.unsaid() {
		o.SetFlag("stays", true)
	}
	return true
}

// raise lists what lets it stay, or stay better; each change is reckoned before it is offered.
func (s *strapped) raise(g *tightened, o *worksheet.Out) (best []offer) {
	was := g.R.Over == nil && g.R.Most > 0 && s.bent <= s.yield && s.least() >= s.wanted
	var out []string
	try := func(says, brief string, ok bool, change func(s *strapped, in *joint.Input)) bool {
		if !ok {
			return false
		}
		t, in := *s, g.In
		change(&t, &in)
		in.Others = t.link()
		r, f := in.Make()
		if f != nil || r.Over != nil || r.Most <= 0 || t.thick != s.thick && r.Soft != nil {
			return false
		}
		t.try(r.Preload)
		if t.bent > t.yield || t.least() < t.wanted || was && (math.IsInf(t.least(), 0) || t.least() < 1.05*s.least()) {
			return false
		}
		if r.Torque != g.R.Torque {
			nuts := o.Fill("{wrench lbf-in}", nil, r.Torque)
			says += ", and " + nuts + " on the nuts"
			brief += worksheet.Either(brief == mostNuts, " to ", ", nuts ") + nuts
		}
		best = append(best, offer{brief, r.Torque, t.least()})
		if math.IsInf(t.least(), 0) {
			says += "."
		} else {
			says += o.Fill(": {margin } times.", nil, min(t.least(), 9999))
		}
		out = append(out, says)
		return true
	}
	if math.IsInf(s.least(), 0) && was {
		o.SetLines("raise", nil)
		return nil
	}
	free := func(in *joint.Input) { in.Torque, in.Share = 0, 1 }
	try("The most the joint bears", mostNuts, true, func(_ *strapped, in *joint.Input) { free(in) })
	try("The stud moved half way to the work", "stud nearer the part", s.Work >= s.Heel/2, func(t *strapped, in *joint.Input) {
		t.Strap = Strap{s.Heel + float64(s.Work/2), s.Work / 2}
		if g.R.Over != nil || s.bent > s.yield {
			free(in)
		}
	})
	thicker := func(wide float64, set func(in *joint.Input)) bool {
		says := "Straps {seat in} thick"
		if wide > s.wide {
			says += o.Fill(" and {seat in} wide", nil, wide)
		}
		for x := math.Floor(float64(8*s.thick)+1) / 8; x <= 2; x += .125 {
			if try(o.Fill(says, nil, x), o.Fill("{=seat in} thick", nil, x), true, func(t *strapped, in *joint.Input) {
				t.thick, t.wide = x, wide
				set(in)
			}) {
				return true
			}
		}
		return false
	}
	as := func(*joint.Input) {}
	if s.thick > 0 && (s.bent > s.yield || g.R.Weakest.Part == joint.TheStrap) {
		_ = thicker(s.wide, as) || thicker(s.wide, free) || thicker(2*s.wide, as) || thicker(2*s.wide, free)
	}
	if !was && !g.unsaid() {
		for i, c := range changes {
			in := g.In
			says := c(o, &in)
			try(says, briefly[i], says != "", func(_ *strapped, to *joint.Input) {
				*to = in
				free(to)
			})
		}
		heavy, bolt, ok := heavier(&g.In, g.grade)
		try("Studs of "+heavy.String()+" where slots and straps take them", "studs of "+heavy.String(), ok && g.In.Hole.Into == joint.Nutted,
			func(t *strapped, in *joint.Input) {
				t.slot += bolt.D - in.Bolt.D
				in.Thread, in.Bolt = heavy, bolt
				free(in)
			})
	}
	more := s.n
	for t := *s; !was && more <= 2*s.n; t.n = more {
		if t.try(g.R.Preload); t.least() >= s.wanted {
			break
		}
		more++
	}
	if more > s.n && more <= 2*s.n {
		try(o.Fill("{0} clamps like these in place of {0}", nil, more, s.n), o.Fill("{0} straps", nil, more), true, func(t *strapped,
			_ *joint.Input) {
			t.n = more
		})
	}
	try("A stop against the cut", "stop against the cut", s.side > 0, func(t *strapped, _ *joint.Input) { t.stop = true })
	try("Faces degreased and dry, friction 0.18", "dry table", s.mu < .18, func(t *strapped, _ *joint.Input) { t.mu = .18 })
	o.SetLines("raise", out)
	return best
}

// heavier gives the next coarse thread that is common for studs, in the same grade.
func heavier(in *joint.Input, grade string) (thread.Thread, joint.Bolt, bool) {
	list := worksheet.Either(in.Thread.System == thread.ISO, "M8 M10 M12 M16 M20 M24 M30",
		"5/16-18 3/8-16 1/2-13 5/8-11 3/4-10 7/8-9 1-8")
	for _, name := range strings.Fields(list) {
		t, err := thread.Parse(name)
		if err != nil || t.D <= in.Thread.D {
			continue
		}
		if b, ok := joint.Grade(t, grade); ok {
			return t, b, true
		}
		b := joint.Size(t)
		b.Proof, b.Yield, b.Su = in.Bolt.Proof, in.Bolt.Yield, in.Bolt.Su
		return t, b, grade == "own"
	}
	return in.Thread, in.Bolt, false
}
