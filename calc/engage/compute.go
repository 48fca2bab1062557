package engage

import (
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// joint reads the worksheet's values into the typed input.
func joint(v *worksheet.Values, o *worksheet.Out) (Joint, Metal, *worksheet.InputError) {
	var m Metal
	t, err := thread.Parse(v.Text("thread"))
	if err != nil {
		return Joint{}, m, v.Refuse("thread", err.Error()+".")
	}
	j := Joint{Thread: t, Hole: v.In("hole")}
	d := t.Inches(t.D)
	if g := v.Choice("bolt"); g == "own" {
		if !v.Has("boltsu") {
			return j, m, v.Refuse("boltsu", "it is missing. Type it like 120 ksi, or choose a grade of bolt.")
		}
		j.Bolt = v.As("boltsu", "psi")
	} else {
		psi, covered := Tensile(g, d)
		j.Bolt = psi
		o.CautionIf(!covered,
			"The standard of this bolt grade does not cover this diameter; its strength is taken as that of the nearest size. Ask the maker, or type your own figure.")
	}
	switch key := v.Choice("metal"); {
	case key != "own":
		m, _ = FindMetal(key)
	case !v.Has("tensile"):
		return j, m, v.Refuse("tensile", "it is missing. Type it like 30 ksi, or choose a metal.")
	default:
		m = Metal{Key: "own", Label: "the metal", Tensile: v.As("tensile", "psi"), Shear: v.As("shear", "psi")}
		if !v.Has("shear") {
			m.Shear = shearOfSteel * m.Tensile
			o.Note("The shear strength of the hole's metal is taken as 0.577 of its tensile strength, which suits steel and other ductile metals.")
		}
	}
	j.Tensile, j.Shear = m.Tensile, m.Shear
	return j, m, nil
}

func compute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	j, m, f := joint(v, o)
	if f != nil {
		return f
	}
	s, f := Length(j)
	if f != nil {
		if f.Field != "" {
			return v.Refuse(f.Field, f.Message)
		}
		return f
	}
	d := j.Thread.Inches(j.Thread.D)
	o.SetAll("needed in, diameters, breaks lbf, bytensile in, byshear in, equal in, turns",
		s.Needed, s.Needed/d, s.Break, s.ByTensile, s.ByShear, s.Equal,
		s.Needed/s.Pitch)
	if m.Rule > 0 {
		o.Set("rule", m.Rule*d, "in")
		o.Cite("practice")
	}
	o.SetAll("ratio, area in2, shearbolt in, shearhole in, minor in, percent %, dia in, pitch in",
		s.Ratio, s.Area, s.External, s.Internal, s.Minor, s.Percent,
		d, s.Pitch)
	work(j, s, o)
	o.AskUnit(v, "length", d/4, 8*d)
	doubts(v, o, j, m, s)
	if v.Has("length") {
		if f := withLength(v, o, s); f != nil {
			return f
		}
	} else {
		o.SetText("verdict", o.Fill("Needs {threadneed in} of full thread for the bolt to break before it strips. "+
			"How much there is was not said.", nil, s.Needed))
		o.Head("Needs {=threadneed in} of thread", nil, s.Needed)
		o.Fact(worksheet.Either(m.Key != "own", m.Label, ""), nil)
		o.Fact("stud breaks at {+grip lbf}", nil, s.Break)
		o.Wants("length")
	}
	say(v, o, j, m, s)
	return nil
}

// withLength judges the existing thread. Too short by both reckonings it strips before the bolt
// breaks, which stops unless a pull was given that it bears; too short by one is for care. A pull
// that is more than it bears by the more careful reckoning stops always.
func withLength(v *worksheet.Values, o *worksheet.Out, s Strength) *worksheet.InputError {
	lost := v.In("lost")
	if v.Word("lost") == "pitch" {
		lost = s.Pitch
		o.Note("One pitch is taken off for countersink and chamfered end. Type what does not count if you know it.")
	}
	l := v.In("length") - lost
	if l <= 0 {
		return v.Refuse("length", o.Fill("after taking off {in} that does not count, no full thread is left. Make the hole deeper.", nil, lost))
	}
	tens, shear, metal := s.Strip(l)
	low := min(tens, shear)
	o.SetAll("usable in, strip lbf, striptens lbf, stripshear lbf, pullout lbf", l, low, tens, shear, s.PullOut(l))
	o.Cite("RP-1228")
	first := "the bolt breaks"
	switch {
	case shear < s.Break && metal:
		first = "the thread of the hole strips"
	case shear < s.Break:
		first = "the thread of the bolt strips"
	case tens < s.Break:
		first = "in doubt: the two ways disagree"
	}
	o.SetText("first", first)
	least := min(s.ByTensile, s.ByShear)
	strips, breaks := o.ReadApart("grip", low, s.Break, "lbf")
	there, needed := o.Read("thread", l, "in"), o.Read("threadneed", s.Needed, "in")
	pull := v.As("pull", "lbf")
	o.SetFlag("holds", true)
	o.Head("Holds: the stud breaks first", nil)
	if pull > min(low, s.Break) {
		o.FactStop("{+grip lbf} at most", nil, min(low, s.Break)/2)
	} else {
		o.FactStop(worksheet.Either(s.Needed <= 2*s.j.Thread.Inches(s.j.Thread.D),
			"needs {=threadneed in} of thread", "insert, or a through bolt"), nil, s.Needed)
	}
	switch {
	case l >= s.Needed*1.1:
		o.SetText("verdict", "Holds: the bolt breaks first. "+there+" of full thread, "+needed+" needed.")
	case l >= s.Needed:
		o.SetText("verdict", "Holds, just: the bolt breaks first. "+there+" of full thread, "+needed+" needed.")
	case l >= least:
		o.Head("Holds by one reckoning only", nil)
		o.Fact("▲ needs {=threadneed in} by tension, {=threadneed in} by shear", nil, s.ByTensile, s.ByShear)
		o.SetText("verdict", o.Fill("Holds by one reckoning only: {s} of full thread, {threadneed in} needed by "+
			"that, {s} by the other.", []string{there, needed}, least))
		o.Caution("By the more careful reckoning the thread strips at " + strips + ", and the bolt breaks at " +
			"" + breaks + ".")
		ways(o, s, low)
	case pull > 0:
		o.Head("It strips first", nil)
		o.Head("Never past {+grip lbf}: it strips", nil, low)
		o.SetText("verdict", "Strips at "+strips+", before the bolt breaks: never pull it further.")
		o.Caution("By both reckonings the thread strips before the bolt breaks: " + strips + " against " + breaks + ".")
		ways(o, s, low)
	default:
		o.HeadStop("Strips before the stud breaks", nil)
		o.Stop("Too short: the thread strips at "+strips+", and the bolt breaks at "+breaks+".",
			o.Fill("By both reckonings the thread strips before the bolt breaks: {s} of full thread, {threadneed "+
				"in} needed by the one and {s} by the other.", []string{there, needed}, least))
		ways(o, s, low)
	}
	o.FactStop("has {=thread in}", nil, l)
	o.FactStop("strips at {+grip lbf}", nil, low)
	if pull > 0 {
		bears(v, o, s, l, low, there, strips)
	}
	o.Fact("{=thread in} of thread", nil, l)
	o.Fact("needs {=threadneed in}", nil, s.Needed)
	o.Fact("strips at {+grip lbf}", nil, low)
	return nil
}

// bears judges a pull; strips is what the thread bears, low, as it is read, there the thread.
func bears(v *worksheet.Values, o *worksheet.Out, s Strength, l, low float64, there, strips string) {
	pull := v.As("pull", "lbf")
	strength := min(low, s.Break)
	m := strength / pull
	o.Set("margin", m, "")
	asked, bears := o.Show(pull, "lbf", worksheet.Force), o.Read("grip", strength, "lbf")
	switch {
	case m < 1:
		o.HeadStop("Does not bear {+three lbf}", nil, pull)
		o.Stop("Does not bear that pull: "+asked+" asked, "+bears+" borne.",
			"The pull is more than the joint can bear. Do not load it.")
		ways(o, s, low)
	case m < 2:
		o.Head("Bears the pull only {margin } times", nil, m)
		o.Caution("The joint bears less than twice the pull. Look for more thread, a larger bolt or less pull.")
		o.SetText("verdict", o.Fill("Bears the pull only {margin } times. {s} of full thread.", []string{there}, m))
	default:
		if l < s.Needed {
			o.Head("Bears the pull {margin } times", nil, m)
			o.Fact("▲ strips before the stud breaks", nil)
			o.SetText("verdict", o.Fill("Bears the pull {margin } times, but strips at {s}, before the bolt "+
				"breaks.", []string{strips}, m))
		}
	}
	if rough := s.PullOut(l); pull > rough && m >= 1 {
		o.Fact("▲ worn, it pulls out at {+grip lbf}", nil, rough)
		o.Caution(o.Fill("If the thread is worn, loose or roughly cut it may pull out at {grip lbf}, below the "+
			"pull asked for.", nil, rough))
	}
}

// ways lists remedies for too little thread: more of it, if it is not past sharing the load, and a
// load that is half of what it bears.
func ways(o *worksheet.Out, s Strength, low float64) {
	var out []string
	d := s.j.Thread.Inches(s.j.Thread.D)
	if s.Needed <= 2*d {
		out = append(out, o.Fill("More thread: {threadneed in} of full thread.", nil, s.Needed))
	}
	out = append(out, o.Fill("Less load: {grip lbf} at most, half of what it bears.", nil, low/2),
		"A thread insert, which works on a larger thread in the hole's metal; a larger stud; or a through bolt "+
			"with a nut.")
	o.SetLines("ways", out)
}

// Worked lines of work.
var (
	tensileStressStep     = worksheet.Step{What: "Tensile stress area", Formula: "As = pi/4 ((d2 + d3)/2)^2", Numbers: "{s}", Result: "{s}", Source: "ISO 898-1"}
	tensileStressAreaStep = worksheet.Step{What: "Tensile stress area", Formula: "At = 0.7854 (D - 0.9743/n)^2", Numbers: "{s}", Result: "{s}", Source: "B1.1"}
	loadThatStep          = worksheet.Step{What: "Load that breaks the bolt", Formula: "F = tensile x At", Numbers: "{s} x {s}", Result: "{s}", Source: "J429"}
	shearAreaStep         = worksheet.Step{What: "Shear area of the bolt's thread, each unit of length", Formula: "ASs = pi n D1max [1/(2n) + 0.57735 (d2min - D1max)]", Numbers: "D1max {len}", Result: "{in}", Source: "B1.1"}
	shearAreaHoleStep     = worksheet.Step{What: "Shear area of the hole's thread, each unit of length", Formula: "ASn = pi n dmin [1/(2n) + 0.57735 (dmin - D2max)]", Numbers: "{s}", Result: "{in}", Source: "B1.1"}
	engagementHoleStep    = worksheet.Step{What: "Engagement in a hole as strong as the bolt", Formula: "LE = 2 At / ASs", Numbers: "2 x {s} / {in}", Result: "{in}", Source: "H28"}
	howMuchStep           = worksheet.Step{What: "How much weaker the hole is", Formula: "J = ASs x tensile of bolt / (ASn x tensile of hole)", Numbers: "{s}, {s}", Result: "{3}", Source: "H28"}
	engagementTensileStep = worksheet.Step{What: "Engagement by tensile strengths", Formula: "LE x J, J at least 1", Numbers: "{len} x {3}", Result: "{in}", Source: "H28"}
	engagementShearStep   = worksheet.Step{What: "Engagement by shear strengths", Formula: "F / least of (ASn x shear of hole, ASs x 0.577 tensile of bolt)", Numbers: "{s}, {s}", Result: "{in}", Source: "B1.1"}
)

func work(j Joint, s Strength, o *worksheet.Out) {
	t := j.Thread
	ksi := func(psi float64) string { return o.Show(psi, "psi", worksheet.Stress) }
	area := func(x float64) string { return o.Show(x, "in2", worksheet.Area) }
	force := func(x float64) string { return o.Show(x, "lbf", worksheet.Force) }
	if t.System == thread.ISO {
		o.Line(&tensileStressStep, []string{t.String(), area(s.Area)})
	} else {
		o.Line(&tensileStressAreaStep, []string{t.String(), area(s.Area)})
	}
	o.Line(&loadThatStep, []string{ksi(j.Bolt), area(s.Area), force(s.Break)})
	o.Line(&shearAreaStep, nil, s.Minor, s.External)
	o.Line(&shearAreaHoleStep, []string{t.String()}, s.Internal)
	o.Line(&engagementHoleStep, []string{area(s.Area)}, s.External, s.Equal)
	o.Line(&howMuchStep, []string{ksi(j.Bolt), ksi(j.Tensile)}, s.Ratio)
	o.Line(&engagementTensileStep, nil, s.Equal, max(1, s.Ratio), s.ByTensile)
	o.Line(&engagementShearStep, []string{ksi(j.Shear), ksi(shearOfSteel * j.Bolt)}, s.ByShear)
}

// doubts are the facts behind the cautions that say and joint give.
func doubts(v *worksheet.Values, o *worksheet.Out, j Joint, m Metal, s Strength) {
	if m.Brittle && !j.Thread.Coarse {
		o.Fact("▲ fine threads crumble in iron", nil)
	}
	if hole := v.In("hole"); hole >= s.Minor-1e-9 && hole > 0 && s.Percent < 50 {
		o.Fact("▲ only {chance %} of thread", nil, s.Percent)
	}
	if _, covered := Tensile(v.Choice("bolt"), j.Thread.Inches(j.Thread.D)); !covered && v.Choice("bolt") != "own" {
		o.Fact("▲ its grade ends before this size", nil)
	}
}

// say adds cautions and notes.
func say(v *worksheet.Values, o *worksheet.Out, j Joint, m Metal, s Strength) {
	d := j.Thread.Inches(j.Thread.D)
	if m.Key != "own" {
		o.Cite("A48")
	}
	if m.Brittle {
		o.Cite("SMED")
		o.Note("A grey iron class is the strength of a test bar cast beside the part; thick sections of the part " +
			"itself may be a third weaker. Of an old casting nobody knows the class: take 20.")
		o.CautionIf(!j.Thread.Coarse,
			"Fine threads crumble in grey iron. Use the coarse thread where you have the choice.")
	}
	o.NoteIf(s.Needed > 2*d,
		"More than two diameters of thread do not share the load: the turns nearest the face carry most of it. Think of an insert, a larger stud or a weaker bolt tightened less.")
	if v.Has("hole") {
		hole := v.In("hole")
		switch {
		case hole < s.Minor-1e-9:
			o.Note("The measured hole is below the smallest the class allows; the smallest is reckoned with, since the tap brings it there.")
		case s.Percent < 50:
			o.Caution(o.Fill("The hole leaves only {chance %} of thread. Below 50% the crests may bend over before "+
				"they shear.", nil, s.Percent))
		}
	}
	o.NoteIf(j.Bolt > 100e3,
		"Above 100,000 psi the standard also gives a smaller stress area. The larger is used here because it asks for more thread.")
	o.Note("Bolts are often stronger than the least their grade allows. Where it matters that the bolt goes first, leave thread to spare.")
	o.Note("This is for work holding and ordinary joints. For lifting, pressure or anything that can fall on " +
		"somebody, a licensed engineer decides, and the thread is proof tested.")
}
