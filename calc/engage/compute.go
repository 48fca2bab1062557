package engage

import (
	"datumbook/calc/sheet"
	"datumbook/calc/thread"
)

// joint reads the worksheet's values into the typed input.
func joint(v *sheet.Values, o *sheet.Out) (Joint, Metal, *sheet.Fault) {
	var m Metal
	t, err := thread.Parse(v.Text("thread"))
	if err != nil {
		return Joint{}, m, v.Refuse("thread", err.Error()+".")
	}
	j := Joint{Thread: t, Hole: v.In("hole")}
	d := diameter(t)
	if g := v.Choice("bolt"); g == "own" {
		if !v.Has("boltsu") {
			return j, m, v.Refuse("boltsu", "it is missing. Type it like 120 ksi, or choose a grade of bolt.")
		}
		j.Bolt = v.As("boltsu", "psi")
	} else {
		psi, covered := Tensile(g, d)
		j.Bolt = psi
		if !covered {
			o.Caution("The standard of this bolt grade does not cover this diameter; its strength is taken as that of the nearest size. Ask the maker, or type your own figure.")
		}
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

func diameter(t thread.Thread) float64 {
	if t.System == thread.ISO {
		return t.D / 25.4
	}
	return t.D
}

func compute(v *sheet.Values, o *sheet.Out) *sheet.Fault {
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
	d := diameter(j.Thread)
	o.Set("needed", s.Needed, "in")
	o.Set("diameters", s.Needed/d, "")
	o.Set("breaks", s.Break, "lbf")
	o.Set("bytensile", s.ByTensile, "in")
	o.Set("byshear", s.ByShear, "in")
	o.Set("equal", s.Equal, "in")
	o.Set("turns", s.Needed/s.Pitch, "")
	if m.Rule > 0 {
		o.Set("rule", m.Rule*d, "in")
		o.Cite("practice")
	}
	o.Set("ratio", s.Ratio, "")
	o.Set("area", s.Area, "in2")
	o.Set("shearbolt", s.External, "in")
	o.Set("shearhole", s.Internal, "in")
	o.Set("minor", s.Minor, "in")
	o.Set("percent", s.Percent, "%")
	o.Set("dia", d, "in")
	o.Set("pitch", s.Pitch, "in")
	work(j, s, o)
	if v.Has("length") {
		if f := withLength(v, o, s); f != nil {
			return f
		}
	} else {
		o.SetText("verdict", "Give it "+o.Len(s.Needed)+" of full thread, "+o.Dec(s.Needed/d, 2)+" diameters, and the bolt breaks before the thread strips.")
	}
	say(v, o, j, m, s)
	return nil
}

// withLength judges the thread there is.
func withLength(v *sheet.Values, o *sheet.Out, s Strength) *sheet.Fault {
	lost := v.In("lost")
	if v.Word("lost") == "pitch" {
		lost = s.Pitch
		o.Note("One pitch is taken off for countersink and chamfered end. Type what does not count if you know it.")
	}
	l := v.In("length") - lost
	if l <= 0 {
		return v.Refuse("length", "after taking off "+o.Len(lost)+" that does not count, no full thread is left. Make the hole deeper.")
	}
	tens, shear, metal := s.Strip(l)
	low := min(tens, shear)
	o.Set("usable", l, "in")
	o.Set("strip", low, "lbf")
	o.Set("striptens", tens, "lbf")
	o.Set("stripshear", shear, "lbf")
	o.Set("pullout", s.PullOut(l), "lbf")
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
	there := o.Len(l) + " of full thread, " + o.Len(s.Needed) + " needed"
	switch least := min(s.ByTensile, s.ByShear); {
	case l >= s.Needed*1.1:
		o.SetText("verdict", "It holds: the bolt breaks first. "+there+".")
	case l >= s.Needed:
		o.SetText("verdict", "It holds, with little to spare: the bolt breaks first. "+there+".")
	case l >= least:
		o.SetText("verdict", "Doubtful: enough by one way of reckoning, "+o.Len(least)+", and short by the other. "+there+".")
		ways(o, s, low)
	default:
		o.SetText("verdict", "Not enough for the bolt's full strength: the thread strips first. "+there+".")
		ways(o, s, low)
	}
	if v.Has("pull") {
		pull := v.As("pull", "lbf")
		strength := min(low, s.Break)
		if pull > 0 {
			o.Set("margin", strength/pull, "")
			switch m := strength / pull; {
			case m < 1:
				o.Refuse("The pull is more than the joint can bear. Do not load it.")
			case m < 2:
				o.Caution("The joint bears less than twice the pull. Look for more thread, a larger bolt or less pull.")
			}
		}
		if rough := s.PullOut(l); pull > rough {
			o.Caution("If the thread is worn, loose or roughly cut it may pull out at " + o.Show(rough, "lbf", sheet.Force) + ", below the pull asked for.")
		}
	}
	return nil
}

// ways lists the ways out of too little thread.
func ways(o *sheet.Out, s Strength, low float64) {
	o.SetLines("ways", []string{
		"More thread: " + o.Len(s.Needed) + " of full thread is needed.",
		"Less load: the thread there is bears " + o.Show(low, "lbf", sheet.Force) + ". Tighten to well below that, half of it or less.",
		"A thread insert, which works on a larger thread in the hole's metal; a larger stud; or a through bolt with a nut.",
	})
}

func work(j Joint, s Strength, o *sheet.Out) {
	t := j.Thread
	ksi := func(psi float64) string { return o.Show(psi, "psi", sheet.Stress) }
	area := func(x float64) string { return o.Show(x, "in2", sheet.Area) }
	force := func(x float64) string { return o.Show(x, "lbf", sheet.Force) }
	if t.System == thread.ISO {
		o.Work("Tensile stress area", "As = pi/4 ((d2 + d3)/2)^2", t.String(), area(s.Area), "ISO 898-1")
	} else {
		o.Work("Tensile stress area", "At = 0.7854 (D - 0.9743/n)^2", t.String(), area(s.Area), "B1.1")
	}
	o.Work("Load that breaks the bolt", "F = tensile x At", ksi(j.Bolt)+" x "+area(s.Area), force(s.Break), "J429")
	o.Work("Shear area of the bolt's thread, each unit of length", "ASs = pi n D1max [1/(2n) + 0.57735 (d2min - D1max)]", "D1max "+o.Bare(s.Minor), o.Len(s.External), "B1.1")
	o.Work("Shear area of the hole's thread, each unit of length", "ASn = pi n dmin [1/(2n) + 0.57735 (dmin - D2max)]", t.String(), o.Len(s.Internal), "B1.1")
	o.Work("Engagement in a hole as strong as the bolt", "LE = 2 At / ASs", "2 x "+area(s.Area)+" / "+o.Len(s.External), o.Len(s.Equal), "H28")
	o.Work("How much weaker the hole is", "J = ASs x tensile of bolt / (ASn x tensile of hole)", ksi(j.Bolt)+", "+ksi(j.Tensile), o.Dec(s.Ratio, 3), "H28")
	o.Work("Engagement by tensile strengths", "LE x J, J at least 1", o.Bare(s.Equal)+" x "+o.Dec(max(1, s.Ratio), 3), o.Len(s.ByTensile), "H28")
	o.Work("Engagement by shear strengths", "F / least of (ASn x shear of hole, ASs x 0.577 tensile of bolt)", ksi(j.Shear)+", "+ksi(shearOfSteel*j.Bolt), o.Len(s.ByShear), "B1.1")
}

// say adds the cautions and notes.
func say(v *sheet.Values, o *sheet.Out, j Joint, m Metal, s Strength) {
	d := diameter(j.Thread)
	if m.Key != "own" {
		o.Cite("A48")
	}
	if m.Brittle {
		o.Cite("SMED")
		o.Caution("A grey iron class is the strength of a test bar cast beside the part; thick sections of the part itself may be a third weaker. Of an old casting nobody knows the class: take 20.")
		if !j.Thread.Coarse {
			o.Caution("Fine threads crumble in grey iron. Use the coarse thread where you have the choice.")
		}
	}
	if s.Needed > 2*d {
		o.Caution("More than two diameters of thread do not share the load: the turns nearest the face carry most of it. Think of an insert, a larger stud or a weaker bolt tightened less.")
	}
	if v.Has("hole") {
		hole := v.In("hole")
		switch {
		case hole < s.Minor-1e-9:
			o.Note("The measured hole is below the smallest the class allows; the smallest is reckoned with, since the tap brings it there.")
		case s.Percent < 50:
			o.Caution("The hole leaves only " + o.Dec(s.Percent, 0) + "% of thread. Below 50% the crests may bend over before they shear.")
		}
	}
	if j.Bolt > 100e3 {
		o.Note("Above 100,000 psi the standard also gives a smaller stress area. The larger is used here because it asks for more thread.")
	}
	o.Note("Bolts are often stronger than the least their grade allows. Where it matters that the bolt goes first, leave thread to spare.")
	o.Caution("This is for work holding and ordinary joints. For lifting, pressure or anything that can fall on somebody, a licensed engineer decides, and the thread is proof tested.")
}
