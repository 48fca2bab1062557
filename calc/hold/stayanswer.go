package hold

import (
	"math"
	"strconv"

	"datumbook/calc/joint"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

var caseNames = [...]string{"turning about the studs", "slipping along the plate", "tipping", "the stud's proof load",
	"nothing pulls, turns or tips it"}

func stayCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	g, f := tighten(v, o, true)
	if f != nil {
		return f
	}
	askMM(v, o, g.In.Bolt.D, "thick")
	s := setup{joint: g, lug: v.In("thick")}
	if f := s.read(v, o); f != nil {
		return f
	}
	t, f := s.try(&g.In)
	if f != nil {
		return v.Refuse(f.Field, f.Message)
	}
	o.SetText("ruling", t.ruling())
	set := func(key string, x float64) {
		if !math.IsInf(x, 0) {
			o.Set(key, min(x, 9999), "")
		}
	}
	if t.Over == nil && !t.None() { // else they are margins of a joint that is not to be made
		set("margin", t.margin())
		set("ratio", t.ratio)
		set("slip", t.Slip)
		set("turn", t.Turn)
		set("tip", t.Tip)
		set("boltroom", t.Bolt)
	}
	set("pin", t.Pin)
	if s.lug > 0 {
		set("bearing", over(g.In.Bolt.D*s.lug*v.As("su", "ksi")*1000, t.Pull))
	}
	if !math.IsInf(t.Tip, 0) {
		o.SetText("edge", t.Edge.String()+" edge")
	} else {
		o.SetText("edge", "nothing tips it")
	}
	n, p := float64(len(t.job.Studs)), t.Preload
	if s.force > 0 {
		o.SetText("worstway", Ways[t.way].Label)
	} else {
		o.SetText("worstway", "no cutting force")
	}
	o.SetAll("pull lbf, twist lbf-in, tipping lbf-in, preload lbf, most lbf, added lbf, proofload lbf",
		t.Pull, math.Abs(t.Twist), t.Moment, p.Aim, p.Max, t.Studs[t.WorstBolt].Tension, g.In.Bolt.ProofLoad())
	o.SetIf(t.Over == nil, "grip lbf, holding lbf-in, least lbf", t.job.Mu*max(float64(p.Min*n)-max(t.Out, 0), 0),
		t.Hold, p.Min)
	worksheet.SetRows(o, "each", t.job.Studs, func(i int, at [2]float64) []worksheet.Cell {
		return worksheet.Cells("iiff", nil, at[0], at[1], t.Studs[i].Shear, t.Studs[i].Tension)
	})
	at := t.job.Loads[1].At
	o.SetAll("pointx in, pointy in, pointz in", at.X, at.Y, at.Z)
	if s.force == 0 && g.bareNut(v) {
		// A washer that was not said is no refusal while the cut is still asked for: nor is it a torque.
		o.Wants("force")
		o.Fact("▲ nuts need a thick washer", nil)
		o.SetText("verdict", "No cut reckoned. Bare nuts press on too little metal there: say which washer.")
		return nil
	}
	o.Set("torque", t.Torque, "lbf-in")
	z := s.settles(v)
	lines, best := s.raise(o, t)
	o.SetLines("raise", lines)
	if s.judge(o, t, z, best) {
		s.first(o, t, &z, best)
		g.saySoft(o, true)
	} else {
		s.outs(o, t, best)
	}
	stayWork(g, t, o)
	s.say(o, t, z)
	return nil
}

// bareNut reports whether a nut presses on too little only because no washer was said, and its stud
// holds otherwise.
func (g *tightened) bareNut(v *worksheet.Values) bool {
	r := &g.R
	said := v.Given("washer") && (v.Choice("washer") == "none" || g.In.Washer.Thick > 0)
	return r.Bearing.Little && !said && r.Over == nil && r.Most > 0 &&
		(!g.In.Tapped() || r.Usable.Engaged > 0)
}

// askInside asks about a centre of gravity that lies outside what bears on the plate.
func askInside(v *worksheet.Values, o *worksheet.Out, key string, least, most float64) {
	x := v.In(key)
	within := func(x float64) bool { return x >= least && x <= most }
	if within(x) || !v.Given(key) {
		return
	}
	other, unit := x/25.4, worksheet.Either(o.System == units.MetricSystem, "in", "mm")
	if unit == "in" {
		other = x * 25.4
	}
	text := "The middle of weight lies outside the part at " + key[len("cg"):] + " " + v.Typed(key) + ". "
	switch bare, err := strconv.ParseFloat(v.Typed(key), 64); {
	case err == nil && within(other):
		o.Ask(key, v.Typed(key)+" "+unit, text+"Was it "+v.Typed(key)+" "+unit+"?")
	case err == nil && within(x/10):
		means := o.Dec(bare/10, 4)
		o.Ask(key, means, text+"Was it "+means+"?")
	default:
		o.Caution(text + "Check it, and the edges.")
	}
}

// settled is what a stud may lose as its faces bed in, by VDI 2230, and the margin then left.
type settled struct {
	joint.Settling
	short  bool    // a grip so short that it loses more than was reckoned with
	margin float64 // of the case that comes first
	falls  bool    // by its own weight
}

// settles reckons what a stud of a known lug may lose; the zero value where the lug was not said.
func (s *setup) settles(v *worksheet.Values) (z settled) {
	in := &s.joint.In
	if s.lug == 0 {
		return z
	}
	grip, inner := s.lug+in.Washer.Thick, worksheet.Either(in.Washer.Thick > 0, 2, 1)
	z.Settling = in.Bolt.Settles(grip, young(v.Choice("lug")), inner)
	p := &s.joint.R.Preload
	z.short = grip < 3*in.Bolt.D && z.Lost > float64(in.Settle*p.Aim)
	lost := *in
	lost.Settle = min(z.Lost/float64(p.Aim*(1-in.Scatter)), 1)
	if t, f := s.try(&lost); f == nil && z.short {
		h := t.alone()
		z.margin, z.falls = t.margin(), min(h.Slip, h.Turn, h.Tip) < 1
	}
	return z
}

// little reports whether settling leaves less than is wanted.
func (z *settled) little(wanted float64) bool { return z.short && z.margin < wanted }

// falls refuses a part that its own weight pulls off, turns or tips when the hoist lets go.
func (s *setup) falls(o *worksheet.Out, t *outcome) bool {
	h, n := t.alone(), float64(len(t.job.Studs))
	if t.None() || min(h.Slip, h.Turn, h.Tip) >= 1 {
		return false
	}
	const keep = " Keep the hoist on."
	friction := t.job.Mu * t.job.Preload.Min
	verdict := ""
	switch {
	case h.Slip < 1:
		holds, _ := o.ReadApart("pull", friction*n, h.Pull, "lbf")
		weighs := o.Dec(h.Pull, 1) + " lb"
		if o.System == units.MetricSystem {
			weighs = o.Dec(.45359237*h.Pull, 1) + " kg or " + apart(o.Read("push", h.Pull, "lbf"))
		}
		verdict = "It falls: friction holds " + apart(holds) + ", it weighs " + weighs + "."
		o.HeadStop("It falls: keep the hoist on", nil)
	case h.Turn < 1:
		verdict = o.Fill("It turns by its own weight: that asks {s} of one stud, and friction holds {s} there.",
			[]string{force(o, math.Ceil(h.Studs[h.WorstPin].Shear)), force(o, math.Floor(friction))})
		o.HeadStop("Weight turns it: keep the hoist on", nil)
	default:
		o.HeadStop("Weight tips it: keep the hoist on", nil)
		verdict = "It tips about the " + h.Edge.String() + " edge by its own weight."
	}
	o.Stop(verdict+keep, "What the nuts hold at "+s.joint.asTyped+" is less than the part asks without any cut. "+
		"The hoist stays on.")
	return true
}

// judge gives verdict and flag, and whether it goes like this. The flag says yes only of a part whose cut and whose studs' hole
// were said.
func (s *setup) judge(o *worksheet.Out, t *outcome, z settled, best []offer) (goes bool) {
	g, name := s.joint, t.ruling()
	falls := s.falls(o, t)
	g.stopJoint(o)
	goes = g.sayJoint(o) && !falls
	wanted := worksheet.Either(t.which == Bolts, 1, s.wanted)
	have, _ := o.ReadApart("margin", min(t.margin(), 9999), wanted, "")
	want := o.Dec(wanted, 2)
	loads := t.loads(s.force)
	if t.ratio < 1 {
		goes = false
		refusal, on := "As set up, "+name+" is not held. Do not cut.", ""
		if g.unsaid() && !g.R.Typed {
			on = o.Fill(" with the {wrench lbf-in} a short hole in grey iron bears", nil, t.Torque)
			refusal = "What the studs screw into was not said: a better thread may bear more torque. Do not cut."
		}
		if need, ok := s.needs(t); ok && t.which != Bolts && need > g.In.Wrench(t.Cap) && !g.unsaid() && !t.None() {
			refusal = o.Fill("{s} needs {wrench lbf-in} on the nuts, and {s} takes no more than {wrench lbf-in}: "+
				"no setting of the wrench does it. Do not cut.",
				[]string{upper(name), t.Weakest.Part.String()}, need, t.Cap)
		}
		s.stopFirst(o, t, best, have, want)
		switch {
		case t.which == Bolts:
			o.Stop("Not like this: with what the work adds a stud may be pulled past its proof load.",
				"A stud may come to "+about(o, "push",
					t.Preload.Max+t.Studs[t.WorstBolt].Tension)+" with what tipping and pull add; its proof load is "+
					about(o, "grip", g.In.Bolt.ProofLoad())+". Do not cut.")
		case t.margin() <= 0 && t.Out > 0:
			o.Stop("It will not stay"+on+": the cut pulls it off the plate.", refusal)
		case t.margin() < 1:
			o.Stop("It will not stay"+on+": "+name+" lets go at "+have+" of "+loads+".", refusal)
		default:
			o.Stop("Not enough"+on+": "+name+" lets go at "+have+" times "+loads+", and "+want+" is wanted.", refusal)
		}
	}
	s.sayLanding(o, t)
	if !goes || t.bends {
		o.SetFlag("stays", false)
		return false
	}
	comes := worksheet.Either(t.margin() < 2, "only ", "") + have + " times " + loads + "; " + name + " comes first"
	if t.ratio < 1.15 {
		comes = "just: " + have + " times " + loads + " where " + want + " is wanted; " + name + " comes first"
	}
	if t.which == Nothing {
		comes = "the cut only presses it on"
	}
	alone := worksheet.Either(t.job.OnLedge, "", " Nothing beneath carries the part.")
	if z.little(s.wanted) && s.force > 0 {
		comes += o.Fill("; {margin } once it has settled", nil, z.margin)
	}
	const unsaid = unsaidHole
	holds := worksheet.Either(s.share() > 0, "Holds its own weight", "Its weight was not said")
	lead := g.pull(o)
	if g.unsaid() {
		lead = unsaid + ". If it bears " + g.asTyped + ","
	}
	switch {
	case s.force == 0 && g.unsaid():
		o.SetText("verdict", holds+"; no cut reckoned. "+unsaid+"."+alone)
	case s.force == 0:
		o.SetText("verdict", lead+" "+holds+"; no cut reckoned."+alone)
	case g.unsaid():
		o.SetText("verdict", lead+" it stays, "+comes+"."+alone)
	default:
		o.SetFlag("stays", true)
		o.SetText("verdict", lead+worksheet.Either(t.which == Nothing, " It stays: ", " It stays, ")+comes+"."+alone)
	}
	return true
}

// landing is the stress in ksi that the part bends a stud with if it is landed on loose studs, each
// carrying its share at the lug's middle; 0 with a ledge beneath, and where the lug's thickness was
// not said.
func (s *setup) landing(b *joint.Bolt) float64 {
	if s.job.OnLedge {
		return 0
	}
	return b.Landing(s.share(), s.lug/2)
}

// share is a stud's share of the weight.
func (s *setup) share() float64 { return -s.job.Loads[0].F.Y / float64(len(s.job.Studs)) }

// sayLanding refuses a part that would bend its studs above half of their yield strength (common
// practice, no published source).
func (s *setup) sayLanding(o *worksheet.Out, t *outcome) {
	b, share := &s.joint.In.Bolt, s.share()
	if s.job.OnLedge || share <= 0 {
		return
	}
	if s.lug == 0 {
		o.NoteIf(true, "How thick the lugs are was not said: landed on loose studs, {push lbf} on each, lugs "+
			"thicker than {spare in} bend them. Land it on a ledge.",
			share, b.Yield/b.Landing(share, 1))
		return
	}
	bend := s.landing(b)
	o.Set("landing", bend, "ksi")
	o.Line(&landingStep, nil, share, s.lug/2, b.Core, bend)
	if t.bends {
		o.HeadStop("Do not land it on the studs", nil)
		o.Stop(o.Fill("Do not land it on the studs: {push lbf} on each bends them. Put a ledge beneath.", nil, share),
			o.Fill("Landed on loose studs it bends them with {three ksi}, and half of their yield strength is "+
				"{three ksi}. A ledge, parallel or jack carries it while the nuts are loose.", nil, bend, b.Yield/2))
	}
}

// needs finds the torque, rounded up on the wrench, from which every margin is as wanted; ok is
// false where none does it.
func (s *setup) needs(t *outcome) (float64, bool) {
	in := s.joint.In
	in.Seat.Opening = joint.NoSeat // past what the seat bears no grip is counted on
	made, f := in.Make()
	enough := func(torque float64) bool {
		in.Torque = torque
		made.Tighten(&in)
		r := s.with(&in, &made)
		return min(r.Turn, r.Slip, r.Tip) >= s.wanted*(1-1e-12)
	}
	low, high := t.Torque, 50*max(t.Torque, t.Cap, 1)
	if f != nil || !enough(high) {
		return 0, false
	}
	for range 60 {
		// Between two marks of the wrench there is nothing more to find.
		if mark := in.Wrench(low); mark < low*(1-1e-9) && mark == in.Wrench(high) {
			break
		}
		if mid := (low + high) / 2; enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return upOn(in.Wrench, high), true
}

// upOn rounds a torque up to the next mark of a wrench.
func upOn(wrench func(float64) float64, x float64) float64 {
	down := wrench(x)
	if down >= x*(1-1e-9) {
		return down
	}
	for more := x / 1000; ; more *= 1.1 {
		if up := wrench(x + more); up > down {
			return up
		}
	}
}

// raise lists what lets it stay, or where it stays already what makes it stay better: each change
// is reckoned as the setup itself is before it is offered.
func (s *setup) raise(o *worksheet.Out, now *outcome) (out []string, best []offer) {
	was := now.stays()
	try := func(says, brief string, r *outcome, f *worksheet.InputError) {
		if f != nil || !r.stays() || was && r.ratio < 1.05*now.ratio || math.IsInf(r.margin(), 0) && was {
			return
		}
		if r.Torque != now.Torque && !s.joint.unsaid() {
			nuts := o.Fill("{wrench lbf-in}", nil, r.Torque)
			says += ", and " + nuts + " on the nuts"
			brief += worksheet.Either(brief == mostNuts, " to ", ", nuts ") + nuts
		}
		best = append(best, offer{brief, r.Torque, min(r.margin(), worksheet.Either(math.IsInf(r.margin(), 0),
			math.Inf(1), 9999))})
		if math.IsInf(r.margin(), 0) {
			out = append(out, says+": nothing is left to hold.")
			return
		}
		out = append(out, o.Fill("{s}: {margin } times.", []string{says}, min(r.margin(), 9999)))
	}
	free := s.joint.In // what the joint bears, where the torque typed is too much
	if now.Over != nil {
		free.Torque = 0
	}
	if !s.joint.unsaid() {
		in := s.joint.In
		in.Torque, in.Share = 0, 1
		r, f := s.try(&in)
		try("The most the joint bears", mostNuts, r, f)
	}
	for i, c := range changes {
		in := s.joint.In
		if says := c(o, &in); says != "" {
			in.Torque = 0
			if r, f := s.try(&in); f == nil && (r.Most > now.Most || now.None()) {
				try(says, briefly[i], r, f)
			}
		}
	}
	if now.Over != nil && (len(out) > 0 || s.joint.unsaid()) { // less torque is all it takes
		return out, best
	}
	change := func(says, brief string, ok bool, do func(t *setup)) {
		if !ok {
			return
		}
		t := *s
		t.job.Loads = []Load{s.job.Loads[0]}
		do(&t)
		r, f := t.try(&free)
		try(says, brief, r, f)
	}
	change("A ledge, parallel or jack beneath that carries the weight", "stop beneath", !s.job.OnLedge,
		func(t *setup) { t.job.OnLedge = true })
	change("Stops at both sides", "stops at both sides", !s.job.SideStops, func(t *setup) { t.job.SideStops = true })
	change("Faces degreased and dry, friction 0.18", "dry faces", s.job.Mu < .18, func(t *setup) { t.job.Mu = .18 })
	change("A jack under the overhang that carries the weight", "jack under the overhang", now.which == Tips,
		func(t *setup) { t.job.Loads[0].F = Vec{} })
	change("Two more studs between the outer two", "two more studs", true, func(t *setup) { t.job.Studs = s.between() })
	if now.ratio >= 1 {
		return out, best
	}
	if now.Bearing.Little && len(best) == 0 { // a washer is wanted first, and alone it is not enough
		if says := widen(o, &free); says != "" {
			free.Torque = 0
			if light, ok := s.lighter(o, &free); ok {
				t := *s
				t.force = light
				r, f := t.try(&free)
				cut := about(o, "grip", light)
				try(says+" and a cut of no more than "+cut, "thick washer, cut of "+cut, r, f)
			}
		}
		return out, best
	}
	if light, ok := s.lighter(o, &free); ok {
		t := *s
		t.force = light
		r, f := t.try(&free)
		try("A cut of no more than "+about(o, "grip", light), "cut of "+about(o, "grip", light)+" at most", r, f)
	}
	return out, best
}

// between adds two studs on the line between the two that stand farthest apart.
func (s *setup) between() [][2]float64 {
	var a, b [2]float64
	far := -1.0
	for i, p := range s.job.Studs {
		for _, q := range s.job.Studs[i+1:] {
			if d := math.Hypot(p[0]-q[0], p[1]-q[1]); d > far {
				a, b, far = p, q, d
			}
		}
	}
	part := func(f float64) [2]float64 {
		return [2]float64{a[0] + float64(f*(b[0]-a[0])), a[1] + float64(f*(b[1]-a[1]))}
	}
	return append(append([][2]float64{}, s.job.Studs...), part(1./3), part(2./3))
}

// lighter finds the largest cutting force it stays under, to two figures.
func (s *setup) lighter(o *worksheet.Out, in *joint.Input) (float64, bool) {
	t := *s
	made, f := in.Make()
	holds := func(force float64) bool {
		t.force = force
		return t.with(in, &made).stays()
	}
	if s.force == 0 || f != nil || !holds(0) {
		return 0, false
	}
	low, high := 0.0, s.force
	told := func(force float64) float64 { return o.Dialled("grip", force, "lbf") }
	lowTold, highTold := told(low), told(high)
	for range 40 {
		if lowTold == highTold {
			break // both figures are found
		}
		if mid := (low + high) / 2; holds(mid) {
			low, lowTold = mid, told(mid)
		} else {
			high, highTold = mid, told(mid)
		}
	}
	return lowTold, lowTold >= 1 && holds(lowTold)
}

func times(o *worksheet.Out, x float64) string {
	if math.IsInf(x, 0) {
		return "nothing to hold"
	}
	return o.Dec(min(x, 9999), 2)
}

// Worked lines of stayWork.
var (
	pullAlongStep    = worksheet.Step{What: "Pull along the face", Formula: "V = sqrt(Vx^2 + Vy^2), weight and cutting force", Numbers: "", Result: "{s}", Source: "statics"}
	slippingStep     = worksheet.Step{What: "Slipping", Formula: "n mu (Fmin - out/n) / V", Numbers: "{s} x {3} x {s} / {s}", Result: "{s}", Source: "practice"}
	turningWorstStep = worksheet.Step{What: "Turning, worst stud", Formula: "mu (Fmin - out/n) / |V/n + M r/sum r^2|", Numbers: "M {lbf-in}, stud {0} takes {s}", Result: "{s}", Source: "RP-1228"}
	tensionAddedStep = worksheet.Step{What: "Tension added to the worst stud, were it to open", Formula: "T = M h/sum h^2 + out/n", Numbers: "", Result: "{s}", Source: "Shigley"}
	studAgainstStep  = worksheet.Step{What: "Stud against its proof load", Formula: "proof load / (Fmax + T)", Numbers: "{s} / ({s} + {s})", Result: "{s}", Source: "NSTS 08307"}
	oneStudStep      = worksheet.Step{What: "One stud as a pin", Formula: "0.60 Su At / V", Numbers: "{s} / {s}", Result: "{s}", Source: "RP-1228"}
	landingStep      = worksheet.Step{What: "Stud bent by the part landed on it", Formula: "32 F a/(pi d3^3)",
		Numbers: "{lbf}, a {len}, d3 {len}", Result: "{ksi}", Source: "statics"}
	settlingStep = worksheet.Step{What: "Settling of a fully used stud", Formula: "f_Z/(1/kS + 1/kP)",
		Numbers: "{1} um, kS {0}, kP {0} lbf/in", Result: "{s}", Source: "VDI 2230"}
)

func stayWork(g *tightened, t *outcome, o *worksheet.Out) {
	g.show(o)
	p, n := t.Preload, float64(len(t.job.Studs))
	o.Line(&pullAlongStep, []string{force(o, t.Pull)})
	if !math.IsInf(t.Slip, 0) {
		o.Line(&slippingStep, []string{o.Dec(n, 0), force(o, max(p.Min-max(t.Out, 0)/n, 0)), force(o, t.Pull),
			times(o, t.Slip)}, t.job.Mu)
	}
	o.Line(&turningWorstStep, []string{force(o, t.Studs[t.WorstPin].Shear), times(o, t.Turn)}, math.Abs(t.Twist),
		float64(t.WorstPin+1))
	if !math.IsInf(t.Tip, 0) {
		o.Work("Tipping about the "+t.Edge.String()+" edge", "sum(Fmin h) / M", o.Fill("{lbf-in} / {lbf-in}", nil,
			t.Hold, t.Moment), times(o, t.Tip), "statics")
	}
	added := t.Studs[t.WorstBolt].Tension
	o.Line(&tensionAddedStep, []string{force(o, added)})
	o.Line(&studAgainstStep, []string{force(o, g.In.Bolt.ProofLoad()), force(o, p.Max), force(o, added), times(o,
		t.Bolt)})
	o.Line(&oneStudStep, []string{force(o, g.In.Bolt.ShearLoad()), force(o, t.Pull), times(o, t.Pin)})
}

// youngs are the moduli of what may be clamped, psi, by the keys of joint.Surfaces.
func young(lug string) float64 {
	switch lug {
	case "iron", "iron30":
		return 14.5e6
	case "alcast", "al7075":
		return 10e6
	case "ductile":
		return 24e6
	}
	return 30e6
}

// say adds cautions, notes and steps.
func (s *setup) say(o *worksheet.Out, t *outcome, z settled) {
	in := &s.joint.In
	if !s.job.OnLedge {
		o.Hurt("Nothing beneath carries the weight: it hangs on friction alone. The hoist stays on until the nuts " +
			"are tight, and takes the weight before they are slackened.")
	}
	o.CautionIf(s.wanted < 2 && t.margin() < 2, "A margin under 2 leaves nothing for a dull cutter or a hard spot.")
	if t.Pin < s.wanted {
		o.Note("If it slipped, one stud as a pin would carry it only " + o.Read("margin", t.Pin,
			"") + " times. Add dowels or a stop.")
	}
	if s.lug > 0 {
		o.Line(&settlingStep, []string{force(o, z.Lost)}, z.Micrometres, z.Stud, z.Clamped)
		text := "A grip this short may lose " + about(o, "push", z.Lost) + " as it settles, where " +
			about(o, "push", float64(in.Settle*t.Preload.Aim)) + " is reckoned: "
		const again = "tighten again after the first cut, or use thick washers."
		switch {
		case !z.short || t.ratio < 1:
		case z.falls:
			o.Hurt(text + "friction then holds less than the weight. Put a ledge beneath; " + again)
		case z.little(s.wanted):
			o.Caution(o.Fill("{s}{margin } times is left, and {s} is wanted. {s}", []string{text,
				o.Dec(s.wanted, 2), upper(again)}, z.margin))
		default:
			o.Note(text + again)
		}
	}
	o.Note("Held by friction; shear of the studs is only the second line. The part is taken as rigid and the plate as true: a rough face bears on its high spots.")
	o.Note("Where a fall would hurt someone, or the part hangs overhead, a qualified person decides, and local code rules.")
	s.steps(o, t)
}

// steps is what is done, in order; the stages of tightening and the pull after the first cut as VDI
// 2230 and NSTS 08307 ask for, the rest common practice.
func (s *setup) steps(o *worksheet.Out, t *outcome) {
	in := &s.joint.In
	down := "Run the studs in by hand; one that stops early stands out more than the others: back it out and look."
	if s.lug > 0 && t.Usable.Engaged > 0 {
		l := in.StudLength(s.lug, t.Usable.Engaged+t.Usable.Loss)
		o.Set("long", l.Stock, "in")
		long := o.Read("need", l.Stock, "in")
		if o.System == units.InchSystem {
			long = o.Size(units.FromInches(l.Stock))
		}
		down = o.Fill("Studs {s} long: {rule in} into the hole, {rule in} past the nut. Check that end against the "+
			"cut. ", []string{long}, l.In, l.Past) + down
	}
	land := "Lock the lift or table before hands go under. Hoist slack but hooked, the part on its ledge."
	if !s.job.OnLedge {
		land = "Lock the lift before hands go near. The hoist carries the part until the nuts are tight: not on " +
			"the studs, which bend."
	}
	o.SetLines("steps", []string{down, land,
		o.Fill("Nuts with the turned face down, on a spotface where the lug is as cast. Snug them, the indicator "+
			"on the part. Then {wrench lbf-in}, {wrench lbf-in} and {wrench "+
			"lbf-in}, from the stiff middle out and across; a last round until no nut moves.",
			nil, .3*t.Torque, .7*t.Torque, t.Torque),
		o.Fill("Indicate again. After the first roughing cut {wrench lbf-in} once more, spindle stopped.", nil,
			t.Torque),
		"To take it off: the hoist takes the weight first, then slacken the nuts."})
}
