package hold

import (
	"math"
	"strings"

	"datumbook/calc/joint"
	"datumbook/calc/worksheet"
)

// What a part that is held says first: headlines and facts, from the figures of the answer.

// names are question and name in the box of the joint's inputs, as they are asked for where a part
// is held: of several studs.
var names = [...][3]string{
	{"thread", "What thread?", "thread"}, {"grade", "How strong?", "strength"}, {"torque", "Nuts how tight?", "nuts"},
	{"into", "What hole?", "hole"}, {"depth", "How deep a hole?", "hole depth"}, {"metal", "What metal?", "metal"},
	{"csk", "Countersink?", "countersink"}, {"stud", "Stud goes in?", "stud in"}, {"percent", "", "% of proof"},
	{"nutthick", "", "thread in nut"}, {"washerod", "", "washer across"}, {"washerthick", "", "washer thick"},
	{"seat", "", "hole or slot"}, {"mark", "", "wrench marks"}, {"lips", "Lips bear how much?", "lips bear"},
}

// asked gives inputs their questions and names.
func asked(in []worksheet.Input) []worksheet.Input {
	for i := range in {
		for j := range names {
			if n := &names[j]; n[0] == in[i].Key {
				in[i].Ask, in[i].Box = n[1], n[2]
			}
		}
	}
	return in
}

// offer is a way out that was tried, or one that makes it better: what is done, and the margin it
// gives.
type offer struct {
	brief  string
	torque float64 // lbf-in on the nuts
	margin float64
}

// mostNuts is the way out of setting the nuts as tight as the joint bears.
const mostNuts = "nuts"

// fact says it in few words: "stop beneath: 5 times".
func (w *offer) fact(o *worksheet.Out) string {
	if math.IsInf(w.margin, 0) {
		return w.brief
	}
	return w.brief + ": " + often(o.Fill("{margin }", nil, w.margin)) + " times"
}

// often is a margin in a few letters: no nought behind the point, and never more than 99.
func often(margin string) string {
	whole, behind, _ := strings.Cut(margin, ".")
	switch {
	case len(whole) > 2:
		return "99"
	case strings.Trim(behind, "0") == "":
		return whole
	case len(whole) == 2:
		return whole
	}
	return margin
}

// share is a margin under 1 as it stands before "of": ".84".
func share(margin string) string { return strings.TrimPrefix(margin, "0") }

// loses are the ways of letting go: what it does, what is said of it where it does, and what its
// edges are called.
var loses = [...]string{"turns", "slips", "tips", "a stud gives"}

// slides says where a part slips to, or about which edge it tips.
func (t *outcome) slides() string {
	var f Vec
	for _, l := range t.job.Loads {
		f.X += l.F.X
		f.Y += l.F.Y
	}
	if t.job.OnLedge && f.Y < 0 {
		f.Y = 0
	}
	switch {
	case t.which == Turns:
		return "Turns about the studs"
	case t.which == Tips:
		return "Tips over the " + t.Edge.String() + " edge"
	case t.job.SideStops || math.Abs(f.Y) >= math.Abs(f.X):
		return worksheet.Either(f.Y > 0, "Slips up the plate", "Slips down the plate")
	}
	return worksheet.Either(f.X < 0, "Slips left along the plate", "Slips right along the plate")
}

// stopFirst is the headline of a part that does not stay with its joint as it is.
func (s *setup) stopFirst(o *worksheet.Out, t *outcome, best []offer, have, want string) {
	switch {
	case t.which == Bolts:
		o.HeadStop("Studs may go past their proof", nil)
	case t.margin() <= 0 && t.Out > 0:
		o.HeadStop("The cut pulls it off the plate", nil)
	case s.joint.unsaid() && !s.joint.R.Typed:
		o.HeadStop("{+wrench lbf-in} is not enough: how deep?", nil, t.Torque)
		o.HeadStop("{+wrench lbf-in} is not enough", nil, t.Torque)
	case t.margin() < 1:
		o.HeadStop(t.slides(), nil)
	case len(best) > 0 && strings.HasPrefix(best[0].brief, mostNuts):
		o.HeadStop("Not enough: nuts to {+wrench lbf-in}", nil, best[0].torque)
	}
	o.HeadStop("Not enough: {s}, want {s}", []string{have, want})
	o.HeadStop("Not enough", nil)
}

// tooTight are the headlines of a torque that a part of the joint does not bear.
var tooTight = [...]struct {
	part joint.Part
	text string
}{
	{joint.TheHole, "Strips the plate above {+wrench lbf-in}"}, {joint.TheNut, "Strips the nut above {+wrench lbf-in}"},
	{joint.TheStudThread, "Strips the stud above {+wrench lbf-in}"},
	{joint.TheLip, "The slot gives above {+wrench lbf-in}"},
	{joint.TheStrap, "Strap bends: thicker or shorter"},
}

// stopJoint is the headline of a joint that is not to be made so.
func (g *tightened) stopJoint(o *worksheet.Out) {
	in, r := &g.In, &g.R
	switch {
	case in.Tapped() && r.Usable.Engaged <= 0:
		g.noThread(o)
	case in.Seat.Opening != joint.NoSeat && r.Bearing.Area <= 0:
		o.HeadStop("Nut falls in: use a wider washer", nil)
	case r.Bearing.Little:
		o.HeadStop("Nuts need a thick washer", nil)
	case r.Most <= 0 && in.Wrench(r.Cap) > 0:
		o.HeadStop("Under the first mark of the wrench", nil)
	case r.Most <= 0 && r.Weakest.Part == joint.TheStrap:
		o.HeadStop("Strap bends: thicker or shorter", nil)
	case r.Most <= 0:
		o.HeadStop("No torque is safe", nil)
		o.FactStop(r.Weakest.Part.String()+" bears next to nothing", nil)
	case r.Over != nil:
		for i := range tooTight {
			if tooTight[i].part == r.Over.Part {
				o.HeadStop(tooTight[i].text, nil, r.Most)
			}
		}
		if r.Over.Part == joint.TheStud && g.grade == grades[0].Key {
			o.HeadStop("Too tight for rod: {=wrench lbf-in} at most", nil, r.Most)
		}
		o.HeadStop("Too tight: {+wrench lbf-in} at most", nil, r.Most)
	}
}

// noThread says how deep a hole is that has no full thread, and what gives it some, each reckoned.
func (g *tightened) noThread(o *worksheet.Out) {
	o.HeadStop("Hole {=in} deep: no full thread", nil, g.In.Hole.Depth)
	o.HeadStop("No full thread in that hole", nil)
	in := g.In
	if bottom(o, &in) != "" {
		if r, f := in.Make(); f == nil && r.Usable.Engaged > 0 {
			o.FactStop("bottoming tap: {=thread in} of thread", nil, r.Usable.Engaged)
		}
	}
	if in.Hole.Into == joint.Blind {
		long := joint.TapEnd(in.Thread)
		o.FactStop("{=threadneed in} deep: {=thread in} of thread", nil, in.Hole.Depth+long-g.R.Usable.Usable, long)
	}
}

// bearsOn is the fact of a nut that presses on too little.
func (g *tightened) bearsOn(o *worksheet.Out) {
	o.FactStop("bears on {=three in2} of {+three in2}", nil, max(g.R.Bearing.Area, 0), g.R.Bearing.Own)
}

// stayHalf says how tight the nuts may be while the part is not described yet.
func stayHalf(v *worksheet.Values, o *worksheet.Out) { halfTight(v, o, true) }

func halfTight(v *worksheet.Values, o *worksheet.Out, seat bool) {
	if !v.Has("thread") {
		return
	}
	if g, f := tighten(v, o, seat); f == nil && g.R.Over == nil && !g.R.None() {
		o.Head("Nuts {+wrench lbf-in}", nil, g.R.Torque)
	}
}

// first gives headline and facts of a part that stays, or of what is still to be asked.
func (s *setup) first(o *worksheet.Out, t *outcome, z *settled, best []offer) {
	g := s.joint
	have, _ := o.ReadApart("margin", min(t.margin(), 9999), s.wanted, "")
	first := o.Fill("{s} first, {s} times {s}", []string{loses[min(t.which, Bolts)], often(have), s.asks(t)})
	switch {
	case s.force == 0:
		o.Wants("force")
		o.Head("Nuts {s}", []string{g.asTyped})
		if h := t.alone(); s.share() > 0 {
			o.Fact("holds {s} times its weight", []string{often(o.Fill("{margin }", nil, min(h.Slip, h.Turn, h.Tip, 9999)))})
		}
		if g.unsaid() {
			o.Fact("if the thread holds", nil)
		}
		return
	case g.unsaid():
		o.Wants("depth")
		o.Head("Nuts {s}", []string{g.asTyped})
		o.Fact("stays if the thread holds, {s} times {s}", []string{often(have), s.asks(t)})
		return
	case z.short && z.falls:
		o.Head("Stays now, falls once it settles", nil)
		o.Fact("▲ stop beneath", nil)
		o.Fact("tighten after the first cut", nil)
		return
	case z.little(s.wanted):
		o.Head("Stays: tighten after the first cut", nil)
		o.Fact("nuts {s}", []string{g.asTyped})
		o.Fact("▲ {s} times once it settles", []string{share(often(o.Fill("{margin }", nil, z.margin)))})
	case t.which == Nothing:
		o.Head("Stays: nuts {s}", []string{g.asTyped})
		o.Fact("the cut only presses it on", nil)
	case t.ratio < 1.15:
		o.Caution(barely)
		o.Head("Stays, just", nil)
		o.Head("Stays, just: {s}, want {s}", []string{have, o.Dec(s.wanted, 2)})
		o.Fact("{s} first", []string{loses[t.which]})
		o.Fact("nuts {s}", []string{g.asTyped})
		if len(best) > 0 {
			o.Fact(best[0].fact(o), nil)
		}
	default:
		o.Head("Stays", nil)
		o.Head("Stays: nuts {s}", []string{g.asTyped})
		o.Fact(first, nil)
	}
	if !s.job.OnLedge {
		o.Fact("▲ hoist on till tight", nil)
	}
	if soft := g.R.Soft; soft != nil {
		o.Fact("▲ nut beds in above {=wrench lbf-in}", nil, g.In.Bolt.Torque(soft.Bears/(1+g.In.Scatter), g.In.K))
	}
}

// barely is the caution of a margin that is hardly more than what is wanted.
const barely = "Hardly more than is wanted: a dull cutter or a hard spot takes it."

// asks is what a margin is over, in few words: "cut and weight".
func (s *setup) asks(t *outcome) string {
	return strings.TrimSuffix(strings.TrimPrefix(t.loads(s.force), "what "), " ask")
}

// said gives the fact of a headline that says how tight the nuts have to be.
func said(o *worksheet.Out, w *offer, now float64, head bool) bool {
	if !head || !strings.HasPrefix(w.brief, mostNuts) || math.IsInf(w.margin, 0) {
		return false
	}
	o.FactStop("{s} times now, {s} then", []string{often(o.Fill("{margin }", nil, now)), often(o.Fill("{margin }", nil,
		w.margin))})
	return true
}

// outs are the facts of a part that does not stay: two ways out, and by how much it lets go.
func (s *setup) outs(o *worksheet.Out, t *outcome, best []offer) {
	for i := range min(len(best), 2) {
		w := &best[i]
		if i == 0 && said(o, w, t.margin(), t.margin() >= 1 && t.ratio < 1 && !s.joint.unsaid()) {
			continue
		}
		if t.Over != nil && strings.HasPrefix(w.brief, mostNuts) {
			o.FactStop("stays at {=wrench lbf-in}: {s} times", []string{often(o.Fill("{margin }", nil, w.margin))}, w.torque)
			continue
		}
		o.FactStop(w.fact(o), nil)
	}
	s.joint.saySoft(o, false)
	switch {
	case s.joint.In.Tapped() && t.Usable.Engaged <= 0:
	case t.Bearing.Little:
		s.joint.bearsOn(o)
	case t.Over != nil || t.None() || t.bends || t.ratio >= 1 || t.which == Bolts || t.margin() <= 0:
	case t.margin() < 1:
		o.FactStop("{s} of {s}", []string{share(o.Fill("{margin }", nil, t.margin())), s.asks(t)})
	default:
		o.FactStop("{s} first", []string{loses[t.which]})
	}
}

// strapHalf says what is known of straps before they are all described.
func strapHalf(v *worksheet.Values, o *worksheet.Out) { halfTight(v, o, false) }

// lets is how a part under straps lets go.
func (s *strapped) lets() string {
	switch {
	case s.slipping <= s.tipping:
		return "slides"
	case s.tips:
		return "tips"
	}
	return "lifts"
}

// stopFirst gives headline and facts of straps that do not hold.
func (s *strapped) stopFirst(g *tightened, o *worksheet.Out, best []offer) {
	if s.bent > s.yield && g.R.Most > 0 {
		o.HeadStop("Strap bends: thicker or shorter", nil)
		o.FactStop("this one is done at {+wrench lbf-in}", nil, g.R.Most)
	}
	g.stopJoint(o)
	least := s.least()
	have, _ := o.ReadApart("margin", min(least, 9999), s.wanted, "")
	goes := g.R.Over == nil && g.R.Most > 0 && s.bent <= s.yield
	for i := range min(len(best), 2) {
		if i > 0 || !said(o, &best[i], least, goes && least >= 1 && least < s.wanted && !g.unsaid()) {
			o.FactStop(best[i].fact(o), nil)
		}
	}
	switch {
	case least >= s.wanted || !goes:
		return
	case g.unsaid() && !g.R.Typed:
		o.HeadStop("{+wrench lbf-in} is not enough: how deep?", nil, g.R.Torque)
		o.HeadStop("{+wrench lbf-in} is not enough", nil, g.R.Torque)
	case least < 1:
		o.HeadStop(map[string]string{"slides": "Part slides on the table", "tips": "Part tips over its edge",
			"lifts": "The cut lifts the part"}[s.lets()], nil)
		o.FactStop("{s} of the cut", []string{share(have)})
		return
	case len(best) > 0 && strings.HasPrefix(best[0].brief, mostNuts):
		o.HeadStop("Not enough: nuts to {+wrench lbf-in}", nil, best[0].torque)
	}
	o.HeadStop("Not enough: {s}, want {s}", []string{have, o.Dec(s.wanted, 2)})
	o.HeadStop("Not enough", nil)
	o.FactStop("{s} first", []string{s.lets()})
}

// first gives headline and facts of straps that hold, or of what is still to be asked.
func (s *strapped) first(g *tightened, o *worksheet.Out) {
	least := s.least()
	have, _ := o.ReadApart("margin", min(least, 9999), s.wanted, "")
	nuts := []string{g.asTyped, often(have)}
	work, _ := s.Share(g.R.Preload.Min)
	tip := worksheet.Either(s.tips, "", "▲ tipping not reckoned")
	lip := worksheet.Either(s.tee && s.lips == 0, "▲ slot's lips not reckoned", "")
	o.Head("Nuts {s}", nuts)
	switch {
	case math.IsInf(least, 0):
		o.Wants("force")
		o.Fact("each strap presses with {+grip lbf}", nil, work)
	case g.unsaid():
		o.Wants("depth")
		o.Fact("stays if the thread holds, {s} times the cut", nuts[1:])
	case s.thick == 0:
		o.Wants("thick")
		o.Fact("{s} first, {s} times the cut", []string{s.lets(), nuts[1]})
		o.Fact(tip, nil)
	case tip != "" || lip != "":
		o.Head("Nuts {s}: {s} times the cut", nuts)
		o.Fact(tip, nil)
		o.Fact(lip, nil)
	case least < 1.15*s.wanted:
		o.Head("Stays, just: {s}, want {s}", []string{have, o.Dec(s.wanted, 2)})
		o.Caution(barely)
		o.Fact("{s} first", []string{s.lets()})
		o.Fact("nuts {s}", nuts)
	default:
		o.Head("Stays: nuts {s}", nuts)
		o.Fact("{s} first, {s} times the cut", []string{s.lets(), nuts[1]})
	}
	if soft := g.R.Soft; soft != nil && soft.Part == joint.TheStrap {
		o.Fact("▲ strap past two thirds of its yield", nil)
	}
}
