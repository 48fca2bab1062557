package hole

import (
	"math"
	"strconv"

	"datumbook/calc/sheet"
	"datumbook/calc/thread"
)

// verdict is the answer in one sentence.
func (p *Plan) verdict(in Input, o *sheet.Out) string {
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

// ways lists the ways out of a hole that does not fit, or that fits with less
// floor than habit leaves.
func (p *Plan) ways(in Input, o *sheet.Out) []string {
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

// asDrilled reads the depth as that of the drilled hole, which is how many say
// it: ok where that plan works.
func asDrilled(in Input) (Plan, bool) {
	if in.Deepest || in.Through || in.To != ToThread {
		return Plan{}, false
	}
	in.To = ToShoulder
	p, f := Make(in)
	return p, f == nil && p.Fits
}

// same is the deepest full thread with the tap at hand and the least floor.
func (p *Plan) same(in Input) float64 {
	return in.Stock - p.LeastFloor - p.PointLen - p.Chips - p.Chamfer
}

// steps is what is done at the machine, in order.
func (p *Plan) steps(in Input, o *sheet.Out) []string {
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
func (p *Plan) say(in Input, o *sheet.Out) {
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
	if !in.Through && p.Full <= 1e-9 {
		o.Refuse("No full thread is left at this depth.")
	}
	switch p.Pick.Grade {
	case Nominal:
		o.Caution("The hole is inside the limits only if " + p.Pick.Name + " cuts its own size; with a drill's usual oversize it comes out over. Drill a trial hole.")
	case Outside:
		o.Refuse("The hole is outside the minor diameter's limits for class " + p.Limits.Class + ".")
	}
	if p.Pick.Bored {
		o.Caution("No drill you own lands inside the limits: bore or ream to " + o.Len(p.Pick.Dia) + ".")
	}
	if p.Full > 0 && p.Weak {
		o.Caution("Engagement: " + o.Len(p.Usable) + " of usable thread is " + diameters(in, p.Usable) + " diameters, and " + string(in.Work) +
			" usually wants " + o.Dec(strongIn(in.Work), 1) + ". The thread may strip before the bolt breaks.")
	}
	if !in.Through && in.Chips >= 0 && in.Chips < 1 {
		o.Caution("Less than one pitch of chip room: clear the hole before the last turns, or the tap lands on its chips.")
	}
	if p.Shoulder > 4*p.Pick.Dia {
		o.Caution("Deeper than four drill diameters: the drill wanders and packs. Peck often, and go slower.")
	}
	if !in.Thread.Standard {
		o.Caution("This diameter and pitch are in no standard series: write the limits out on the drawing.")
	}
	if !p.FloorKnown && !in.Through {
		o.Note("The stock's thickness is not known, so the floor is not checked.")
	}
	if !in.Through {
		o.Note("On a rough casting the far wall may not be where it is drawn: probe it, and leave twice the floor where you cannot. Do not drill towards a pressure or oil wall on this plan.")
	}
	o.Note("Drills cut over size by how they are ground: drill a trial hole where the limits are close. Clear chips with the spindle stopped; goggles on.")
}

func diameters(in Input, x float64) string {
	d := inchesOf(in.Thread, in.Thread.D)
	return strconv.FormatFloat(math.Round(x/d*100)/100, 'f', 2, 64)
}

// work adds the worked lines.
func (p *Plan) work(in Input, o *sheet.Out) {
	t := in.Thread
	unit := t.System.Unit()
	src, profile := "B1.1", "D1 = D - 1.08253175 P, then the class tolerance"
	if t.System == thread.ISO {
		src, profile = "ISO 965-1", "D1 = D - 1.08253175 P + EI, then + TD1"
	}
	num := func(x float64) string { return o.Dec(x, 4) }
	o.Work("Limits of the minor diameter, class "+p.Limits.Class, profile,
		num(t.D)+" - 1.08253175 x "+o.Dec(t.Pitch, 6),
		num(p.Limits.Minor.Min)+" to "+num(p.Limits.Minor.Max)+" "+unit, src)
	hole, ownUnit := p.Pick.Mean, "in"
	if t.System == thread.ISO {
		hole, ownUnit = hole*25.4, "mm"
	}
	formula := "% = 100 (D - hole)/(1.29903811 P)"
	if in.Forming {
		formula = "% = (D - hole)/(0.0068 P)"
	}
	o.Work("Percentage of thread of the likely hole", formula,
		"D "+num(t.D)+", hole "+num(hole)+" "+ownUnit+", P "+o.Dec(t.Pitch, 6), o.Dec(p.Pick.Likely, 1)+"%", "MH")
	o.Work("Usual oversize of the drill", "hole = drill + oversize, by diameter",
		o.Bare(p.Pick.Dia)+" + "+o.Bare(p.Pick.Low-p.Pick.Dia)+" / "+o.Bare(p.Pick.Mean-p.Pick.Dia)+" / "+o.Bare(p.Pick.High-p.Pick.Dia),
		o.Bare(p.Pick.Low)+" / "+o.Bare(p.Pick.Mean)+" / "+o.Len(p.Pick.High), "MH")
	o.Work("Point length", "pl = (d/2)/tan(a/2)",
		"("+o.Bare(p.Pick.Dia)+"/2)/tan("+o.Dec(in.Point, 2)+"/2)", o.Len(p.PointLen), "geometry")
	if in.Through {
		o.Work("Travel of the point", "thickness + run-out + pl",
			o.Bare(in.Depth)+" + "+o.Bare(in.Run)+" + "+o.Bare(p.PointLen), o.Len(p.Tip), "geometry")
	} else {
		p.workBlind(in, o)
	}
	o.Work("Turns of the tap from first bite", "reach / P", o.Bare(p.Reach)+"/"+o.Bare(p.Pitch), o.Dec(p.Turns, 1), "geometry")
	if p.Csk > p.Pick.Dia {
		o.Work("Depth of the countersink from the hole's edge", "(Dc - d)/(2 tan(a/2))",
			"("+o.Bare(p.Csk)+" - "+o.Bare(p.Pick.Dia)+")/(2 tan("+o.Dec(in.CskDeg, 1)+"/2))", o.Len(p.CskDepth), "geometry")
	}
}

func (p *Plan) workBlind(in Input, o *sheet.Out) {
	o.Work("Tap chamfer", "ch = c P", o.Dec(p.Chamfer/p.Pitch, 2)+" x "+o.Bare(p.Pitch), o.Len(p.Chamfer), "TM 9-254")
	o.Work("Chip room", "k = pitches x P", o.Dec(p.Chips/p.Pitch, 2)+" x "+o.Bare(p.Pitch), o.Len(p.Chips), "practice")
	switch {
	case in.Deepest:
		o.Work("Depth to the point", "stock - least floor", o.Bare(in.Stock)+" - "+o.Bare(p.LeastFloor), o.Len(p.Tip), "practice")
	case in.To == ToPoint:
		o.Work("Depth to the point", "as asked", o.Bare(in.Depth), o.Len(p.Tip), "geometry")
	}
	if in.Deepest || in.To != ToThread {
		o.Work("Full thread", "shoulder - ch - k", o.Bare(p.Shoulder)+" - "+o.Bare(p.Chamfer)+" - "+o.Bare(p.Chips), o.Len(p.Full), "geometry")
	} else {
		o.Work("Depth to the shoulder", "full thread + ch + k", o.Bare(p.Full)+" + "+o.Bare(p.Chamfer)+" + "+o.Bare(p.Chips), o.Len(p.Shoulder), "geometry")
	}
	o.Work("Depth to the point", "shoulder + pl", o.Bare(p.Shoulder)+" + "+o.Bare(p.PointLen), o.Len(p.Tip), "geometry")
	if p.FloorKnown {
		o.Work("Floor left", "stock - point", o.Bare(in.Stock)+" - "+o.Bare(p.Tip), o.Len(p.Floor), "geometry")
	}
	o.Work("Least floor", "largest of 1.5 P, 1/8 in (3 mm) and d/4, or as typed", "P "+o.Bare(p.Pitch)+", d "+o.Bare(p.Pick.Dia), o.Len(p.LeastFloor), "practice")
}
