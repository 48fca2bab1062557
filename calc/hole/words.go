package hole

import (
	"strings"

	"datumbook/calc/drill"
	"datumbook/calc/engage"
	"datumbook/calc/shoptext"
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// named gives a drill's name, or its size where it has none.
func named(c *Candidate, o *worksheet.Out) string {
	return worksheet.Either(c.Name != "", c.Name, o.Read("micrometer", c.Dia, "in"))
}

// tool says what makes the hole: "17/32 drill".
func (p *Plan) tool(o *worksheet.Out) string {
	if p.Pick.Bored {
		return o.Fill("Bore or ream {micrometer in}", nil, p.Pick.Dia)
	}
	return named(&p.Pick, o) + " drill"
}

// sized writes a length that was typed: a fraction as one.
func sized(o *worksheet.Out, x float64) string {
	if s, ok := shoptext.Fraction(units.FromInches(x)); ok && o.System == units.InchSystem {
		return s + " in"
	}
	return o.Read("quill", x, "in")
}

// positive writes how much is missing, from a number that is less than nothing on a dial that shows
// less: the missing part is shown larger.
func positive(o *worksheet.Out, dial string, x float64) string {
	return strings.TrimPrefix(o.Read(dial, x, "in"), "-")
}

// verdict is the answer in a sentence or two: what to drill, what comes of it, and what is weak.
func (p *Plan) verdict(in Input, o *worksheet.Out) string {
	says := p.tool(o)
	if in.Through {
		says += o.Fill(" right through, tap {s} until the chamfer is out: {diameters } D of thread",
			[]string{in.Thread.String()}, diameters(in, p.Usable))
	} else {
		says += o.Fill(", {quill in} deep to the shoulder: {thread in} full thread", nil, p.Shoulder, p.Full)
		if p.FloorKnown {
			says += o.Fill(", {left in} floor", nil, p.Floor)
		}
		if p.FloorKnown && p.ThinFloor {
			says += ", thin"
		}
	}
	says += p.strips(in, o)
	if in.Csk > 0 && in.Csk <= p.Pick.Dia {
		says += "; " + p.noSink(in, o)
	}
	if p.Pick.Grade == Over || p.Pick.Grade == Under {
		says += "; the drill is " + p.Pick.Grade.Say()
	}
	if !p.FloorKnown && !in.Through {
		return says + ". How thick is the stock? The floor is not reckoned."
	}
	return says + "."
}

// strips says that the thread may be too short for the screw, "" where it is not.
func (p *Plan) strips(in Input, o *worksheet.Out) string {
	if !p.Weak {
		return ""
	}
	return o.Fill("; {diameters } D may strip before the screw breaks", nil, diameters(in, p.Usable))
}

// noSink says that the countersink asked for is smaller than the hole.
func (p *Plan) noSink(in Input, o *worksheet.Out) string {
	return "no countersink, " + sized(o, in.Csk) + " is smaller than the hole"
}

// stops refuses what cannot be done, the gravest first, each with its verdict.
func (p *Plan) stops(in Input, o *worksheet.Out) {
	unit := in.Thread.System.Unit()
	least, most := in.Thread.Inches(p.Limits.Minor.Min), in.Thread.Inches(p.Limits.Minor.Max)
	name := named(&p.Pick, o)
	switch k := &p.Pick; {
	case p.sized():
	case k.Grade == Formed && k.Percent > 100:
		o.HeadStop("{s}: hole too small to form", []string{bare(k, o)})
		o.Stop(o.Fill("{s}: hole too small to form, {percent %} of thread.", []string{name}, k.Percent),
			"The forming tap would jam and break: above 100% there is no room for the metal it moves.")
	case k.Grade == Formed:
		o.HeadStop("{s}: hole too big to form", []string{bare(k, o)})
		o.Stop(o.Fill("{s}: hole too big to form, {percent %} of thread.", []string{name}, k.Percent),
			"Less than 40% of thread: the crests do not meet, and it strips.")
	case k.Dia < least:
		o.HeadStop("{s}: hole too small by {=micrometer in}", []string{bare(k, o)}, least-k.Mean)
		o.Stop(o.Fill("{s}: hole too small by {micrometer in}, {percent %} of thread.", []string{name},
			least-k.Mean, k.Percent),
			o.Fill("The hole comes out under the least minor diameter for class {s}, {micrometer "+unit+"}: the tap "+
				"binds and breaks.", []string{p.Limits.Class}, p.Limits.Minor.Min))
	default:
		o.HeadStop("{s}: hole too big by {=micrometer in}", []string{bare(k, o)}, k.Mean-most)
		o.Stop(o.Fill("{s}: hole too big by {micrometer in}, {percent %} of thread.", []string{name}, k.Mean-most,
			k.Likely),
			o.Fill("The hole comes out over the most minor diameter for class {s}, {micrometer "+unit+"}.",
				[]string{p.Limits.Class}, p.Limits.Minor.Max))
	}
	switch {
	case in.Through:
	case p.FloorKnown && p.Breaks:
		o.HeadStop("Comes out {s} below the plate", []string{number(positive(o, "left", p.Floor))})
		o.Stop("Comes out "+positive(o, "left", p.Floor)+" behind the stock.",
			o.Fill("The drilled point breaks through: it would end {quill in} down in {s} of stock.",
				[]string{sized(o, in.Stock)}, p.Tip))
	case p.FloorKnown && p.TooThin:
		was, wanted := o.ReadApart("left", p.Floor, p.surely(), "in")
		o.HeadStop("Floor {s}: may come out behind", []string{number(was)})
		o.Stop("Floor "+was+": too thin, less than "+wanted+" may come out behind.",
			"How the point is ground and how the quill is set may take it.")
	case p.FloorKnown && p.ThinFloor && in.Floor > 0:
		was, wanted := o.ReadApart("left", p.Floor, p.LeastFloor, "in")
		o.HeadStop("Floor {s}, you want {s}", []string{number(was), number(wanted)})
		o.Stop("Floor "+was+", you want "+wanted+".", "Less floor would be left under the point than the least you "+
			"typed.")
	}
	switch {
	case p.Full <= 1e-9:
		o.HeadStop("No full thread left", nil)
		o.Stop("No full thread left.", "The tap's chamfer and the room for chips take the whole depth.")
	case !p.short(in):
	case p.Full < float64(leastThreads*p.Pitch)-1e-9:
		o.HeadStop("Only {=thread in} of full thread", nil, p.Full)
		o.Stop(o.Fill("Only {thread in} of full thread.", nil, p.Full),
			"Fewer than three full threads hold nothing to speak of.")
	default:
		o.HeadStop(worksheet.Either(p.Usable > 0, "Countersink leaves {=thread in} thread",
			"Countersink takes all the thread"), nil, p.Usable)
		o.Stop(o.Fill("Only {thread in} of thread left: the countersink takes {quill in}.", nil, p.Usable,
			p.CskLoss), "Fewer than three threads below the countersink hold nothing to speak of.")
	}
}

// ways lists remedies for a hole that does not fit, or has less floor than usual. Each is tried
// before it is offered, and says what is still weak. In a few words it stands under the headline of
// a hole that does not fit.
func (p *Plan) ways(in Input, o *worksheet.Out) []string {
	var out []string
	first := "" // the drill that the others count on
	if !p.sized() {
		in.Drill, in.Percent = 0, 0
		other, f := Make(in)
		if f != nil || !other.sized() {
			return nil
		}
		best := &other.Pick
		first = "Take the " + named(best, o) + " drill"
		if best.Bored {
			first = o.Fill("Bore or ream the hole to {micrometer in}", nil, best.Dia)
		}
		o.FactStop(worksheet.Either(best.Bored, "bore {s}", "take the {s} drill"), []string{bare(best, o)})
		if other.Fits {
			return []string{first + o.Fill(": {percent %} of thread", nil, best.Percent) +
				worksheet.Either(other.ThinFloor, o.Fill(", {left in} floor, thin", nil, other.Floor), "") +
				other.strips(in, o) + "."}
		}
		p, first = &other, first+". "
	}
	if p.Fits && !p.ThinFloor {
		return nil
	}
	add := func(text string, after *Plan, fact string, x float64) {
		o.FactStop(fact, nil, x)
		out = append(out, first+text+after.strips(in, o)+".")
	}
	if sunk := in; p.short(in) {
		if sunk.Csk = -1; in.Csk > 0 {
			if alt, ok := works(sunk); ok {
				add(o.Fill("Countersink to {s}: {thread in} of thread stays", []string{sized(o, alt.Csk)}, alt.Usable),
					&alt, "countersink to {=seat in}", alt.Csk)
			}
		}
	}
	if in.Through && len(out) == 0 {
		o.FactStop("finer thread, or a thicker part", nil)
		out = append(out, first+"Take a finer thread, or a thicker part.")
	}
	if in.Through {
		return out
	}
	if alt, ok := asDrilled(in); ok {
		add(o.Fill("If {quill in} is how deep you drill, to the shoulder, it works as it is: {thread "+
			"in} of full thread and {left in} of floor under the point", nil, in.Depth, alt.Full, alt.Floor), &alt, "", 0)
		defer o.FactStop("or drill {=quill in}", nil, in.Depth) // behind the thread that goes in
	}
	with := in
	with.Deepest, with.To, with.Depth = true, ToThread, 0
	if in.Stock == 0 {
		o.FactStop("drill deeper", nil)
		return append(out, first+o.Fill("Drill deeper: three full threads take {quill in} to the shoulder.", nil,
			p.Shoulder-p.Full+p.CskLoss+float64(leastThreads*p.Pitch)))
	}
	fits, ok := works(with)
	switch {
	case ok && fits.Full < p.Full:
		add(o.Fill("Less thread: {thread in} with this tap, drilled {quill in} to the shoulder, "+
			"leaves the floor of {left in}", nil, fits.Full, fits.Shoulder, fits.Floor), &fits,
			"most full thread {=thread in}", fits.Full)
	case ok && p.short(in):
		add(o.Fill("More thread: up to {thread in} with this tap, drilled {quill in} to the shoulder, "+
			"leaves a floor of {left in}", nil, fits.Full, fits.Shoulder, fits.Floor), &fits,
			"up to {=thread in} goes in", fits.Full)
	}
	if ok && !p.Breaks && !p.ThinFloor {
		return out
	}
	flat := with
	flat.Point = 180
	if f, ok := works(flat); ok && in.Point < 180 {
		add(o.Fill("A flat floor: square the bottom with an end mill or a flat drill, and up to "+
			"{thread in} of full thread goes in", nil, f.Full), &f, "flat-bottomed {=thread in}", f.Full)
	}
	if in.Tap != Bottoming {
		short := with
		short.Tap, short.Chamfer, short.Before = Bottoming, 0, Plug
		if b, ok := works(short); ok {
			add(o.Fill("Finish with a bottoming tap: up to {thread in} of full thread with the "+
				"drilled point", nil, b.Full), &b, "bottoming tap {=thread in}", b.Full)
		}
	}
	open := with
	open.Deepest, open.Through, open.Depth, open.Before = false, true, in.Stock, ""
	if t, ok := works(open); ok && t.Usable >= float64(leastThreads*t.Pitch) {
		add("Go through: if nothing is behind, drill and tap right through the "+sized(o, in.Stock), &t,
			"or right through", 0)
	}
	o.FactStop("smaller or finer thread", nil)
	return append(out, "Take a smaller or finer thread, or have the section built up.")
}

// works makes a plan and says whether it will do with the usual floor.
func works(in Input) (Plan, bool) {
	p, f := Make(in)
	return p, f == nil && p.Fits && !p.ThinFloor
}

// asDrilled takes the depth as that of the drilled hole, as many state it: ok if that plan works.
func asDrilled(in Input) (Plan, bool) {
	if in.Deepest || in.Through || in.To != ToThread || in.Stock == 0 {
		return Plan{}, false
	}
	in.To = ToShoulder
	return works(in)
}

// steps is what is done at the machine, in order.
func (p *Plan) steps(in Input, o *worksheet.Out) []string {
	out := []string{"Face or spot the surface the depths are measured from, then centre drill."}
	d := p.tool(o)
	if p.Pick.Bored {
		d += " after a drill under size"
	}
	if in.Through {
		out = append(out, o.Fill("{s}: {need in} of travel from the point touching the surface, so that the lips "+
			"run out by {s}.", []string{d, sized(o, in.Run)}, p.Tip))
	} else {
		out = append(out, o.Fill("Touch the point on the surface, zero the stop or the readout. {s}, to {quill in}; "+
			"zeroed with the full diameter level with the surface, to {quill in}.", []string{d}, p.StopTip, p.StopEdge))
	}
	if p.Shoulder > 3*p.Pick.Dia {
		out = append(out, "Peck: the first peck two to three drill diameters, then one, then a half; clear the chips each time.")
	}
	if !in.Through {
		out = append(out, "Clear the chips out and gauge the depth to the shoulder before tapping.")
	}
	if p.Csk > p.Pick.Dia {
		out = append(out, o.Fill("Countersink to {s} at {1} degrees, {quill in} below the hole's edge.",
			[]string{sized(o, p.Csk)}, in.CskDeg, p.CskDepth))
	}
	return append(append(out, p.tapSteps(in, o)...), "Gauge the thread, measure the full depth, and write down what "+
		"was found.")
}

// tapSteps says how it is tapped: by the mark on the tap. A count of turns only warns.
func (p *Plan) tapSteps(in Input, o *worksheet.Out) []string {
	name := in.Thread.String()
	verb := worksheet.Either(in.Forming, "Form", "Tap")
	if in.Through {
		return []string{o.Fill(verb+" {s} until the chamfer is out: about {turn } turns from the face.",
			[]string{name}, p.Bite.Turns)}
	}
	oil := worksheet.Either(in.Forming, ", with plenty of lubricant", "")
	mark := o.Fill("mark it {mark in} from its very end and stop when the mark is level with the surface", nil, p.Mark)
	if p.Lead == 0 {
		return []string{o.Fill(verb+" {s} with the {s} tap"+oil+": {s}, about {turn } turns from the face. The mark "+
			"decides, the count only warns.", []string{name, string(in.Tap), mark}, p.Bite.Turns)}
	}
	first := o.Fill(verb+" {s} with the {s} tap"+oil+", its end to the same depth: mark it {mark in} from its end. "+
		"Clear the chips.", []string{name, string(in.Before)}, p.Reach)
	bite := o.Fill("bites about {turn } turns before the mark", nil, p.Bite.Turns)
	if p.Most-p.Fewest > .1 {
		bite = o.Fill("bites {turn } to {turn } turns before the mark", nil, p.Fewest, p.Most)
	}
	return []string{first, o.Fill("Finish with the {s} tap: {s}. It goes in free for about {turn } turns and {s}; "+
		"if it turns hard sooner, stop. The mark decides, the count only warns.", []string{string(in.Tap), mark,
		bite}, p.Bite.Free)}
}

// say adds the plan's cautions to the answer: the two gravest, the lesser ones as notes.
func (p *Plan) say(in Input, o *worksheet.Out) {
	o.NoteIf(!in.Through,
		"On a rough casting the far wall may not be where it is drawn: probe it, and leave twice the floor where "+
			"you cannot. Do not drill towards a pressure or oil wall on this plan.")
	if !p.Fits {
		return
	}
	const trial = "▲ drill a trial hole"
	said := 0
	caution := func(holds bool, fact string, x float64, text string) {
		switch {
		case !holds:
		case said < 2:
			said++
			o.Fact(fact, nil, x)
			o.Caution(text)
		default:
			o.Note(text)
		}
	}
	k := &p.Pick
	caution(!in.Through && p.FloorKnown && p.ThinFloor && !p.Breaks && in.Floor == 0, "▲ thin floor {=left in}",
		p.Floor, o.Fill(
			"The floor is thin: {left in} where habit leaves {quill in} (the largest of 1.5 pitches, 1/8 in or 3 mm, "+
				"and a quarter of the drill). The point may lift the far side.", nil, p.Floor, p.LeastFloor))
	weak := ""
	if p.Full > 0 && p.Weak {
		weak = o.Fill("{thread in} of usable thread is {diameters } D, and {s} usually wants {1}: it may strip "+
			"before the bolt breaks.", []string{string(in.Work)}, p.Usable, diameters(in, p.Usable), strongIn(in.Work))
		if p.Needs > 0 {
			weak = o.Fill("{thread in} of usable thread is {diameters } D. For a screw of {s} to break before it "+
				"strips, {threadneed in} is needed by the tensile strengths and {threadneed in} by the shear "+
				"strengths.",
				[]string{gradeName(p.Bolt)}, p.Usable, diameters(in, p.Usable), p.Needs, p.NeedsShear)
		}
	}
	caution(weak != "", "▲ {diameters } D may strip", diameters(in, p.Usable), weak)
	caution(k.Bored && k.Grade != Formed, "▲ no drill at hand fits", 0, o.Fill("No drill at hand lands inside the limits: bore or ream to "+
		"{micrometer in}.", nil, k.Dia))
	class := in.Thread.Internal != "" // class work: the hole may be gauged
	oversize := "The hole may come out over the most minor diameter, " + o.Read("micrometer", p.Limits.Minor.Max,
		in.Thread.System.Unit()) + ", with a drill's usual oversize: a plug for the minor diameter may drop in. "
	oversize += o.Fill("It still leaves {percent %} of thread.", nil, k.Likely)
	caution(class && (k.Grade == Nominal || k.Grade == Over), trial, 0, oversize+" For gauged work drill a trial hole.")
	caution(k.Grade == Under, trial, 0, o.Fill("The drill is {micrometer in} under the least minor diameter and counts on "+
		"cutting big: where it cuts its size the tap binds. Drill a trial hole.", nil,
		in.Thread.Inches(p.Limits.Minor.Min)-k.Dia))
	caution(k.Grade == Formed && p.sized() && k.Percent > 85, "▲ {percent %} of thread may jam", k.Percent, o.Fill("{percent %} of thread with a forming tap is "+
		"tight: it may jam. 65 to 75 is usual.", nil, k.Percent))
	caution(!in.Through && in.Chips >= 0 && in.Chips < 1, "▲ clear the chips", 0,
		"Less than one pitch of chip room: clear the hole before the last turns, or the tap lands on its chips.")
	caution(p.Shoulder > 4*k.Dia && !in.Through, "▲ peck: deep", 0, "Deeper than four drill diameters: the drill wanders and packs. "+
		"Peck often, and go slower.")
	caution(in.Thread.Notice() != "", "▲ not a standard thread", 0, in.Thread.Notice())
	if !class && (k.Grade == Nominal || k.Grade == Over) {
		o.Note(oversize)
	}
	if p.Full > 0 && !p.Weak && p.Usable < max(p.Needs, p.NeedsShear) {
		o.Note(o.Fill("With {thread in} of usable thread, {diameters } D, a screw of {s} breaks before it strips by "+
			"the one reckoning; by the more careful one {threadneed in} is wanted.",
			[]string{gradeName(p.Bolt)}, p.Usable, diameters(in, p.Usable), max(p.Needs, p.NeedsShear)))
	}
	if in.Forming {
		by, more := "a thou", .001
		if o.System == units.MetricSystem {
			by, more = "0.02 mm", .02/25.4
		}
		o.Note(o.Fill("The hole must be on size, {micrometer in} for {percent %}: {s} larger takes {share %} of "+
			"thread off. Drill a trial hole.", []string{by}, in.Thread.Inches(holeFor(in, p.Target)), p.Target,
			more/(.0068*p.Pitch)))
	}
	if name, ok := in.Thread.TapDrill(); ok && name == p.Pick.Name && in.Thread.System == thread.Unified &&
		strings.HasSuffix(name, "mm") {
		o.Note("The inch drill of many charts for this thread is under the least minor diameter and counts on " +
			"cutting big; this metric one is inside.")
	}
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
	tableStep = worksheet.Step{What: "Tap drill of the usual tables", Formula: "table", Numbers: "{s}",
		Result: "{s}, {len}: {1}%, {s}", Source: "taps"}
	reckonedStep = worksheet.Step{What: "Drill reckoned from the percentage",
		Formula: "hole = D - % x 1.29903811 P/100, the drill at hand that comes nearest inside the limits",
		Numbers: "aimed at {1}%", Result: "{s}, {len}: {1}%, {s}", Source: "MH"}
	limitsStep = worksheet.Step{What: "Limits of the minor diameter, class and series of the thread",
		Formula: "D1 = D - 1.08253175 P, then the class tolerance", Numbers: "class {s}: {4} - 1.08253175 x {6}",
		Result: "{4} to {4} {s}", Source: "B1.1"}
	percentStep = worksheet.Step{What: "Percentage of thread of the likely hole",
		Formula: "% = 100 (D - hole)/(1.29903811 P)", Numbers: "D {4}, hole {4} {s}, P {6}", Result: "{1}%",
		Source: "MH"}
	overStep = worksheet.Step{What: "Usual oversize of the drill",
		Formula: "hole = drill + oversize, by diameter", Numbers: "{len} + {len} / {len} / {len}",
		Result: "{len} / {len} / {in}", Source: "MH"}
	pointStep = worksheet.Step{What: "Point length", Formula: "pl = (d/2)/tan(a/2)",
		Numbers: "({len}/2)/tan({2}/2)", Result: "{in}", Source: "geometry"}
	travelStep = worksheet.Step{What: "Travel of the point", Formula: "thickness + run-out + pl",
		Numbers: "{len} + {len} + {len}", Result: "{in}", Source: "geometry"}
	markStep = worksheet.Step{What: "Mark on the tap, from its very end",
		Formula: "z2 = shoulder - k, and the point on the tap's end", Numbers: "{len} - {len} + {len}",
		Result: "{in}", Source: "geometry"}
	biteStep = worksheet.Step{What: "End of the tap at its first bite",
		Formula: "zb = z1 - (c1 - c2) P, or z1 c2/c1 where the tap before cut no full thread",
		Numbers: "z1 {len}, c1 {2}, c2 {2}, P {len}", Result: "{in}", Source: "geometry"}
	turnsStep = worksheet.Step{What: "Turns from the bite to the mark", Formula: "(z2 - zb)/P",
		Numbers: "({len} - {len})/{len}", Result: "{2}, after {2} free", Source: "geometry"}
	outStep = worksheet.Step{What: "Turns of the tap until the chamfer is out",
		Formula: "(thickness + ch + P)/P", Numbers: "{len}/{len}", Result: "{1}", Source: "geometry"}
	cskStep = worksheet.Step{What: "Depth of the countersink from the hole's edge",
		Formula: "(Dc - d)/(2 tan(a/2))", Numbers: "({len} - {len})/(2 tan({1}/2))", Result: "{in}", Source: "geometry"}
	usableStep = worksheet.Step{What: "Usable thread below the countersink",
		Formula: "full thread - (Dc - D1)/(2 tan(a/2)), D1 the largest minor diameter",
		Numbers: "{len} - ({len} - {len})/(2 tan({1}/2))", Result: "{in}", Source: "geometry"}
	chamferStep = worksheet.Step{What: "Tap chamfer", Formula: "ch = c P", Numbers: "{2} x {len}", Result: "{in}",
		Source: "TM 9-254"}
	chipsStep = worksheet.Step{What: "Chip room", Formula: "k = pitches x P, or what the tap's own point takes",
		Numbers: "{2} x {len}", Result: "{in}", Source: "practice"}
	deepStep = worksheet.Step{What: "Depth to the point", Formula: "stock - least floor, to a mark of the stop",
		Numbers: "{len} - {len}", Result: "{in}", Source: "practice"}
	askedStep = worksheet.Step{What: "Depth to the point", Formula: "as asked, to a mark of the stop",
		Numbers: "{len}", Result: "{in}", Source: "geometry"}
	addStep = worksheet.Step{What: "Depth to the point", Formula: "full thread + ch + k + pl, to a mark of the " +
		"stop", Numbers: "{len} + {len} + {len} + {len}", Result: "{in}", Source: "geometry"}
	asideStep = worksheet.Step{What: "Depth to the point", Formula: "shoulder + pl, to a mark of the stop",
		Numbers: "{len} + {len}", Result: "{in}", Source: "geometry"}
	shoulderStep = worksheet.Step{What: "Depth to the shoulder", Formula: "point - pl", Numbers: "{len} - {len}",
		Result: "{in}", Source: "geometry"}
	fullStep = worksheet.Step{What: "Full thread", Formula: "shoulder - ch - k",
		Numbers: "{len} - {len} - {len}", Result: "{in}", Source: "geometry"}
	floorStep = worksheet.Step{What: "Floor left", Formula: "stock - point", Numbers: "{len} - {len}",
		Result: "{in}", Source: "geometry"}
	needStep = worksheet.Step{What: "Engagement for the screw to break first",
		Formula: "LE = 2 At/(ASs/LE), times J where the hole is the weaker; by shear At Su/(tau ASn/LE)",
		Numbers: "{s} in {s}; there is {len}", Result: "{in} by tensile, {in} by shear", Source: "H28"}
	leastStep = worksheet.Step{What: "Least floor", Formula: "largest of 1.5 P, 1/8 in (3 mm) and d/4, or as " +
		"typed; refused under a quarter of it or .03 in", Numbers: "P {len}, d {len}", Result: "{in}; {in}",
		Source: "practice"}
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
	if c := &p.Tabled; c.Name != "" {
		o.Line(&tableStep, []string{t.String(), c.Name, c.Grade.Say()}, c.Dia, c.Percent)
	}
	o.Line(&reckonedStep, []string{named(&p.Reckoned, o), p.Reckoned.Grade.Say()}, p.Target, p.Reckoned.Dia,
		p.Reckoned.Percent)
	o.Line(&limits, []string{p.Limits.Class, unit}, t.D, t.Pitch, p.Limits.Minor.Min, p.Limits.Minor.Max)
	o.Line(&percent, []string{own}, t.D, hole, t.Pitch, k.Likely)
	o.Line(&overStep, nil, k.Dia, k.Low-k.Dia, k.Mean-k.Dia, k.High-k.Dia, k.Low, k.Mean, k.High)
	o.Line(&pointStep, nil, k.Dia, in.Point, p.PointLen)
	if in.Through {
		o.Line(&travelStep, nil, in.Depth, in.Run, p.PointLen, p.Tip)
		o.Line(&outStep, nil, p.Reach, p.Pitch, p.Bite.Turns)
	} else {
		p.workBlind(in, o)
	}
	if p.Needs > 0 {
		o.Line(&needStep, []string{gradeName(p.Bolt), string(in.Work)}, p.Usable, p.Needs, p.NeedsShear)
	}
	if p.Csk > k.Dia {
		o.Line(&cskStep, nil, p.Csk, k.Dia, in.CskDeg, p.CskDepth)
		o.Line(&usableStep, nil, p.Full, p.Csk, t.Inches(p.Limits.Minor.Max), in.CskDeg, p.Usable)
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
	case in.To == ToShoulder:
		o.Line(&asideStep, nil, in.Depth, p.PointLen, p.Tip)
	default:
		o.Line(&addStep, nil, in.Depth, p.Chamfer, p.Chips, p.PointLen, p.Tip)
	}
	o.Line(&shoulderStep, nil, p.Tip, p.PointLen, p.Shoulder)
	o.Line(&fullStep, nil, p.Shoulder, p.Chamfer, p.Chips, p.Full)
	if p.FloorKnown {
		o.Line(&floorStep, nil, in.Stock, p.Tip, p.Floor)
	}
	o.Line(&leastStep, nil, p.Pitch, p.Pick.Dia, p.LeastFloor, p.surely())
	o.Line(&markStep, nil, p.Shoulder, p.Chips, in.Centre, p.Mark)
	if p.Lead > 0 {
		o.Line(&biteStep, nil, p.Reach, p.Lead, p.Chamfer/p.Pitch, p.Pitch, p.Bite.Tip)
	}
	o.Line(&turnsStep, nil, p.Reach, p.Bite.Tip, p.Pitch, p.Bite.Turns, p.Bite.Free)
}

// markOf is the step of the quill's stop in a system of units, in inches.
func markOf(sys units.System) float64 {
	d := worksheet.DialOf("quill")
	if sys == units.MetricSystem {
		return d.Metric[0].Step / 25.4
	}
	return d.Inch[0].Step
}

// ruleOf is the step of the usual countersink in a system of units, in inches.
func ruleOf(sys units.System) float64 {
	return worksheet.Either(sys == units.MetricSystem, .5/25.4, 1.0/16)
}

// offered says whether a drill is one of the usual sets.
func offered(s drill.Set, t thread.Thread) bool {
	return (s == drill.Metric) == (t.System == thread.ISO)
}
