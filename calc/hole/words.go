package hole

import (
	"datumbook/calc/engage"
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// verdict is the answer in one sentence.
func (p *Plan) verdict(in Input, o *worksheet.Out) string {
	with := "Drill " + p.Pick.Name
	if p.Pick.Bored {
		with = "Bore or ream " + o.Len(p.Pick.Dia)
	}
	switch {
	case in.Through:
		return with + " through, tap " + in.Thread.String() + " until the chamfer is out."
	case p.Breaks:
		says := "It does not fit: the point comes out " + o.Len(-p.Floor) + " beyond the stock."
		if alt, ok := asDrilled(in); ok {
			says += " Drilled " + o.Len(in.Depth) + " deep to the shoulder it is workable: " + o.Len(alt.Full) + " of full thread, " + o.Len(alt.Floor) + " of floor."
		}
		return says
	case p.Full <= 1e-9:
		return "It does not fit: chamfer and chip room take the whole depth, and no full thread is left."
	case p.ThinFloor && in.Floor > 0:
		return "It does not fit: " + o.Len(p.Floor) + " of floor would be left, and you want " + o.Len(p.LeastFloor) + "."
	case p.ThinFloor:
		return "It works, with a thin floor: " + with + ", " + o.Len(p.Shoulder) + " to the shoulder; " + o.Len(p.Floor) + " is left under the point."
	case p.FloorKnown:
		return "It fits: " + with + ", " + o.Len(p.Shoulder) + " to the shoulder; " + o.Len(p.Floor) + " is left under the point."
	}
	return with + ", " + o.Len(p.Shoulder) + " to the shoulder, " + o.Len(p.Tip) + " to the point."
}

// ways lists remedies for a hole that does not fit, or has less floor than usual.
func (p *Plan) ways(in Input, o *worksheet.Out) []string {
	if in.Through || p.Fits && !p.ThinFloor {
		return nil
	}
	var out []string
	first := "Less thread: with this tap " + o.Len(p.same(in)) + " of full thread leaves the least floor of " + o.Len(p.LeastFloor) + "."
	if p.same(in) <= 0 {
		first = "Less thread will not do with this tap: its chamfer, the chip room, the point and the least floor of " + o.Len(p.LeastFloor) + " take all the stock."
	}
	if alt, ok := asDrilled(in); ok {
		first += " If " + o.Len(in.Depth) + " is how deep you drill, to the shoulder, it works: " + o.Len(alt.Full) +
			" of full thread and " + o.Len(alt.Floor) + " of floor under the point."
	}
	out = append(out, first)
	second := "A flat floor: square the bottom with an end mill or a flat drill, and up to " + o.Len(p.FlatFull) + " of full thread goes in with the least floor."
	if p.FlatFull <= 0 {
		second = "A flat floor alone is not enough here."
	}
	if b := p.DeepestFull[2]; in.Tap != Bottoming && in.Chamfer == 0 && b > p.same(in) {
		second += " Or finish with a bottoming tap: " + o.Len(max(b, 0)) + " of full thread with the drilled point."
	}
	out = append(out, second)
	return append(out, "Go through: if nothing is behind, drill and tap right through "+o.Len(in.Stock)+
		"; else take a smaller or finer thread, or have the section built up.")
}

// asDrilled takes the depth as that of the drilled hole, as many state it: ok if that plan works.
func asDrilled(in Input) (Plan, bool) {
	if in.Deepest || in.Through || in.To != ToThread {
		return Plan{}, false
	}
	in.To = ToShoulder
	p, f := Make(in)
	return p, f == nil && p.Fits
}

// same is the deepest full thread with the given tap and the least floor.
func (p *Plan) same(in Input) float64 {
	return in.Stock - p.LeastFloor - p.PointLen - p.Chips - p.Chamfer
}

// steps is what is done at the machine, in order.
func (p *Plan) steps(in Input, o *worksheet.Out) []string {
	out := []string{"Face or spot the surface the depths are measured from, then centre drill."}
	d := p.Pick.Name
	if p.Pick.Bored {
		d = o.Len(p.Pick.Dia) + " (drill under size, then bore or ream)"
	}
	if in.Through {
		out = append(out, "Drill "+d+" through: "+o.Len(p.Tip)+" of travel from the point touching the surface, so that the lips run out by "+o.Len(in.Run)+".")
	} else {
		out = append(out, "Touch the point on the surface, zero the stop or the readout, and drill "+d+" to "+o.Len(p.StopTip)+
			"; zeroed with the full diameter level with the surface, to "+o.Len(p.StopEdge)+".")
	}
	if p.Shoulder > 3*p.Pick.Dia {
		out = append(out, "Peck: the first peck two to three drill diameters, then one, then a half; clear the chips each time.")
	}
	if !in.Through {
		out = append(out, "Clear the chips out and gauge the depth to the shoulder before tapping.")
	}
	if p.Csk > p.Pick.Dia {
		out = append(out, "Countersink to "+o.Len(p.Csk)+" at "+o.Dec(in.CskDeg, 1)+" degrees, "+o.Len(p.CskDepth)+" below the hole's edge.")
	}
	turns := o.Dec(p.Turns, 1) + " turns from the first bite"
	switch {
	case in.Forming:
		out = append(out, "Form the thread with plenty of lubricant: "+turns+".")
	case in.Through:
		out = append(out, "Tap "+in.Thread.String()+" until the chamfer is out: about "+turns+".")
	case in.Tap == Taper:
		out = append(out, "Tap "+in.Thread.String()+" with the taper tap: "+turns+"; mark the tap and stop there.")
	default:
		out = append(out, "Start "+in.Thread.String()+" with a taper or plug tap, clear the chips, and finish with the "+string(in.Tap)+" tap: "+turns+"; mark the tap and stop there.")
	}
	return append(out, "Gauge the thread, measure the full depth, and write down what was found.")
}

// say adds the plan's cautions to the answer.
func (p *Plan) say(in Input, o *worksheet.Out) {
	switch {
	case in.Through:
	case p.Breaks:
		o.Refuse("The drilled point breaks through: it ends " + o.Len(p.Tip) + " down in " + o.Len(in.Stock) + " of stock.")
	case p.ThinFloor && in.Floor > 0:
		o.Refuse("The floor of " + o.Len(p.Floor) + " is less than the " + o.Len(p.LeastFloor) + " you want to leave.")
	case p.ThinFloor:
		o.Caution("The floor is thin: " + o.Len(p.Floor) + " where habit leaves " + o.Len(p.LeastFloor) +
			" (the largest of 1.5 pitches, 1/8 in and a quarter of the drill). The point may lift the far side.")
	}
	o.RefuseIf(!in.Through && p.Full <= 1e-9, "No full thread is left at this depth.")
	switch p.Pick.Grade {
	case Nominal:
		o.Caution("The hole is inside the limits only if " + p.Pick.Name + " cuts its own size; with a drill's usual oversize it comes out over. Drill a trial hole.")
	case Outside:
		o.Refuse("The hole is outside the minor diameter's limits for class " + p.Limits.Class + ".")
	}
	if p.Pick.Bored {
		o.Caution("No drill you own lands inside the limits: bore or ream to " + o.Len(p.Pick.Dia) + ".")
	}
	switch {
	case p.Full <= 0:
	case !p.Weak && p.Usable < max(p.Needs, p.NeedsShear):
		o.Note(o.Fill("Engagement: with {in} of usable thread, {2} diameters, a screw of {s} breaks before the thread strips by the one reckoning; by the more careful one {in} is wanted.",
			[]string{gradeName(p.Bolt)}, p.Usable, diameters(in, p.Usable), max(p.Needs, p.NeedsShear)))
	case !p.Weak:
	case p.Needs > 0:
		o.Caution(o.Fill("Engagement: {in} of usable thread is {2} diameters. For a screw of {s} to break before the thread strips, {in} is needed by the tensile strengths and {in} by the shear strengths.",
			[]string{gradeName(p.Bolt)}, p.Usable, diameters(in, p.Usable), p.Needs, p.NeedsShear))
	default:
		o.Caution(o.Fill("Engagement: {in} of usable thread is {2} diameters, and {s} usually wants {1}. The thread may strip before the bolt breaks.",
			[]string{string(in.Work)}, p.Usable, diameters(in, p.Usable), strongIn(in.Work)))
	}
	o.CautionIf(!in.Through && in.Chips >= 0 && in.Chips < 1,
		"Less than one pitch of chip room: clear the hole before the last turns, or the tap lands on its chips.")
	o.CautionIf(p.Shoulder > 4*p.Pick.Dia,
		"Deeper than four drill diameters: the drill wanders and packs. Peck often, and go slower.")
	if says := in.Thread.Notice(); says != "" {
		o.Caution(says)
	}
	o.NoteIf(!p.FloorKnown && !in.Through, "The stock's thickness is not known, so the floor is not checked.")
	o.NoteIf(!in.Through,
		"On a rough casting the far wall may not be where it is drawn: probe it, and leave twice the floor where you cannot. Do not drill towards a pressure or oil wall on this plan.")
	o.Note("Drills cut over size by how they are ground: drill a trial hole where the limits are close. Clear chips with the spindle stopped; goggles on.")
}

// diameters gives a length in diameters of the thread.
func diameters(in Input, x float64) float64 { return x / in.Thread.Inches(in.Thread.D) }

// gradeName gives the label of a screw's strength class.
func gradeName(key string) string {
	g, ok := units.First(engage.Grades[:], func(g engage.Grade) bool { return g.Key == key })
	return worksheet.Either(ok, g.Label, key)
}

// The worked lines. Lengths are in inches; limits in the thread's own unit.
var (
	limitsStep  = worksheet.Step{What: "Limits of the minor diameter, class and series of the thread", Formula: "D1 = D - 1.08253175 P, then the class tolerance", Numbers: "class {s}: {4} - 1.08253175 x {6}", Result: "{4} to {4} {s}", Source: "B1.1"}
	percentStep = worksheet.Step{What: "Percentage of thread of the likely hole", Formula: "% = 100 (D - hole)/(1.29903811 P)", Numbers: "D {4}, hole {4} {s}, P {6}", Result: "{1}%", Source: "MH"}
	overStep    = worksheet.Step{What: "Usual oversize of the drill", Formula: "hole = drill + oversize, by diameter", Numbers: "{len} + {len} / {len} / {len}", Result: "{len} / {len} / {in}", Source: "MH"}
	pointStep   = worksheet.Step{What: "Point length", Formula: "pl = (d/2)/tan(a/2)", Numbers: "({len}/2)/tan({2}/2)", Result: "{in}", Source: "geometry"}
	travelStep  = worksheet.Step{What: "Travel of the point", Formula: "thickness + run-out + pl", Numbers: "{len} + {len} + {len}", Result: "{in}", Source: "geometry"}
	turnsStep   = worksheet.Step{What: "Turns of the tap from first bite", Formula: "reach / P", Numbers: "{len}/{len}", Result: "{1}", Source: "geometry"}
	cskStep     = worksheet.Step{What: "Depth of the countersink from the hole's edge", Formula: "(Dc - d)/(2 tan(a/2))", Numbers: "({len} - {len})/(2 tan({1}/2))", Result: "{in}", Source: "geometry"}
	chamferStep = worksheet.Step{What: "Tap chamfer", Formula: "ch = c P", Numbers: "{2} x {len}", Result: "{in}", Source: "TM 9-254"}
	chipsStep   = worksheet.Step{What: "Chip room", Formula: "k = pitches x P", Numbers: "{2} x {len}", Result: "{in}", Source: "practice"}
	deepStep    = worksheet.Step{What: "Depth to the point", Formula: "stock - least floor", Numbers: "{len} - {len}", Result: "{in}", Source: "practice"}
	askedStep   = worksheet.Step{What: "Depth to the point", Formula: "as asked", Numbers: "{len}", Result: "{in}", Source: "geometry"}
	fullStep    = worksheet.Step{What: "Full thread", Formula: "shoulder - ch - k", Numbers: "{len} - {len} - {len}", Result: "{in}", Source: "geometry"}
	shoulderAdd = worksheet.Step{What: "Depth to the shoulder", Formula: "full thread + ch + k", Numbers: "{len} + {len} + {len}", Result: "{in}", Source: "geometry"}
	tipStep     = worksheet.Step{What: "Depth to the point", Formula: "shoulder + pl", Numbers: "{len} + {len}", Result: "{in}", Source: "geometry"}
	floorStep   = worksheet.Step{What: "Floor left", Formula: "stock - point", Numbers: "{len} - {len}", Result: "{in}", Source: "geometry"}
	needStep    = worksheet.Step{What: "Engagement for the screw to break first", Formula: "LE = 2 At/(ASs/LE), times J where the hole is the weaker; by shear At Su/(tau ASn/LE)", Numbers: "{s} in {s}", Result: "{in} by tensile, {in} by shear", Source: "H28"}
	leastStep   = worksheet.Step{What: "Least floor", Formula: "largest of 1.5 P, 1/8 in (3 mm) and d/4, or as typed", Numbers: "P {len}, d {len}", Result: "{in}", Source: "practice"}
)

// work adds the worked lines.
func (p *Plan) work(in Input, o *worksheet.Out) {
	t, k := in.Thread, p.Pick
	unit, limits, percent := t.System.Unit(), limitsStep, percentStep
	hole, own := k.Mean, "in"
	if t.System == thread.ISO {
		limits.Formula, limits.Source = "D1 = D - 1.08253175 P + EI, then + TD1", "ISO 965-1"
		hole, own = hole*25.4, "mm"
	}
	if in.Forming {
		percent.Formula = "% = (D - hole)/(0.0068 P)"
	}
	o.Line(&limits, []string{p.Limits.Class, unit}, t.D, t.Pitch, p.Limits.Minor.Min, p.Limits.Minor.Max)
	o.Line(&percent, []string{own}, t.D, hole, t.Pitch, k.Likely)
	o.Line(&overStep, nil, k.Dia, k.Low-k.Dia, k.Mean-k.Dia, k.High-k.Dia, k.Low, k.Mean, k.High)
	o.Line(&pointStep, nil, k.Dia, in.Point, p.PointLen)
	if in.Through {
		o.Line(&travelStep, nil, in.Depth, in.Run, p.PointLen, p.Tip)
	} else {
		p.workBlind(in, o)
	}
	o.Line(&turnsStep, nil, p.Reach, p.Pitch, p.Turns)
	if p.Needs > 0 {
		o.Line(&needStep, []string{gradeName(p.Bolt), string(in.Work)}, p.Needs, p.NeedsShear)
	}
	if p.Csk > k.Dia {
		o.Line(&cskStep, nil, p.Csk, k.Dia, in.CskDeg, p.CskDepth)
	}
}

func (p *Plan) workBlind(in Input, o *worksheet.Out) {
	o.Line(&chamferStep, nil, p.Chamfer/p.Pitch, p.Pitch, p.Chamfer)
	o.Line(&chipsStep, nil, p.Chips/p.Pitch, p.Pitch, p.Chips)
	switch {
	case in.Deepest:
		o.Line(&deepStep, nil, in.Stock, p.LeastFloor, p.Tip)
	case in.To == ToPoint:
		o.Line(&askedStep, nil, in.Depth, p.Tip)
	}
	if in.Deepest || in.To != ToThread {
		o.Line(&fullStep, nil, p.Shoulder, p.Chamfer, p.Chips, p.Full)
	} else {
		o.Line(&shoulderAdd, nil, p.Full, p.Chamfer, p.Chips, p.Shoulder)
	}
	o.Line(&tipStep, nil, p.Shoulder, p.PointLen, p.Tip)
	if p.FloorKnown {
		o.Line(&floorStep, nil, in.Stock, p.Tip, p.Floor)
	}
	o.Line(&leastStep, nil, p.Pitch, p.Pick.Dia, p.LeastFloor)
}
