// Package hole answers one question: which drill, how deep, and does it fit?
//
// A tapped hole in a casting is a depth budget: from the surface down the full thread, the tap's
// chamfer, room for chips, the drill's point and the floor that must stay. Plan adds them up,
// chooses an owned drill and, if the depth is too small, lists the remedies.
package hole

import (
	"math"

	"datumbook/calc/drill"
	"datumbook/calc/engage"
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// Tap is the lead of the tap that finishes the hole.
type Tap string

// The taps of a set, by the length of their chamfer.
const (
	Taper     Tap = "taper"
	Plug      Tap = "plug"
	Bottoming Tap = "bottoming"
)

// To says what the wanted depth is measured to.
type To string

// The ends a depth may be measured to.
const (
	ToThread   To = "thread"   // the last full thread
	ToShoulder To = "shoulder" // the full diameter of the drill
	ToPoint    To = "point"    // the tip of the drill
)

// Work is the metal of the part.
type Work string

// The metals with different practice.
const (
	Iron      Work = "iron"
	Steel     Work = "steel"
	Stainless Work = "stainless"
	Aluminium Work = "aluminium"
	Bronze    Work = "bronze"
)

// Input is what a plan starts from. Lengths are in inches.
type Input struct {
	Thread  thread.Thread
	Depth   float64 // wanted depth, measured to To; not read where Deepest
	Deepest bool    // as deep as it goes
	To      To
	Stock   float64 // thickness; 0 where it is not known
	Through bool    // the hole goes through; Depth is then the thickness
	Tap     Tap
	Chamfer float64 // pitches; 0 takes the longest of the tap's kind
	Forming bool    // a tap that rolls the thread instead of cutting it
	Work    Work
	Percent float64 // wanted percentage of thread; 0 takes the metal's habit
	Sets    []drill.Set
	Drill   float64 // diameter of the drill that must be used; 0 chooses one
	Point   float64 // included angle of the drill's point, degrees; 180 is flat
	Chips   float64 // room under the tap, pitches; negative takes the metal's habit
	Floor   float64 // least floor to leave; 0 takes the usual rule
	Csk     float64 // countersink diameter at the surface; negative takes the usual
	CskDeg  float64 // included angle of the countersink
	Run     float64 // how far the drill's edges run out of a through hole
	Bolt    string  // strength class of the screw, a key of engage.Grades; "" takes the usual one
	Usual   bool    // the tap drill of the usual tables is at hand, whatever Sets holds
	Mark    float64 // step of the quill's stop, to which the depth is set; 0 sets it exactly
	Rule    float64 // step up to which the usual countersink is taken; 0 takes it exactly
	Before  Tap     // tap run to the same depth before; "" for none
	Lead    float64 // its chamfer, pitches; 0 takes the longest of its kind
	Centre  float64 // point on the finishing tap's end, beyond its chamfer
}

// Plan is the hole as it will be made. Lengths are in inches, depths from the
// finished surface.
type Plan struct {
	Limits      thread.Limits // of the tapped hole, in the thread's own unit
	Pick        Candidate
	Tabled      Candidate // the drill of the usual tables; no Name where they have none
	Reckoned    Candidate // the drill by the percentage aimed at
	Runners     []Candidate
	Target      float64 // percentage of thread aimed at
	Pitch       float64
	Chamfer     float64 // length of the tap's chamfer
	Chips       float64 // room under the tap
	PointLen    float64
	Full        float64 // full thread, negative where none is left
	Reach       float64 // depth the tap's end must come to
	Shoulder    float64
	Tip         float64
	Floor       float64 // under the point; negative breaks through
	LeastFloor  float64
	FloorKnown  bool
	Lead        float64 // chamfer of the tap run before, pitches; 0 for none
	Bite        thread.Bite
	Fewest      float64 // turns from the bite to the mark, over the chamfers such taps may have
	Most        float64
	Mark        float64 // on the finishing tap, from its very end
	Csk         float64 // diameter, 0 for none
	CskDepth    float64
	CskLoss     float64 // thread that the countersink takes
	Usable      float64 // full thread less what the countersink takes
	StopTip     float64 // travel from the point touching the surface
	StopEdge    float64 // travel from the full diameter level with the surface
	Fits        bool
	ThinFloor   bool
	TooThin     bool // so little floor that grind and quill take it
	Breaks      bool
	Strong      float64 // engagement the metal usually wants
	Bolt        string  // strength class reckoned with, a key of engage.Grades
	Needs       float64 // engagement for the screw to break first, the more careful way; 0 where it cannot be told
	NeedsShear  float64 // the same by the shear strengths
	Weak        bool
	DeepestFull [3]float64 // with a taper, plug and bottoming tap; less than 0 where none
	FlatFull    float64    // deepest full thread with the floor made flat
}

// Taps lists the taps in the order of Plan.DeepestFull.
var Taps = [3]Tap{Taper, Plug, Bottoming}

// Make computes the plan. It refuses inputs that contradict each other with a fault naming the
// field; a hole that does not fit is no fault but a plan that says so.
func Make(in Input) (Plan, *worksheet.InputError) {
	var p Plan
	if in.Forming && in.Work == Iron {
		return p, worksheet.Refuse("method", "Method: grey iron does not form, it crumbles. Use a cutting tap.")
	}
	if f := checkDepths(in); f != nil {
		return p, f
	}
	if in.Lead > 0 && in.Before == "" && !in.Through {
		return p, worksheet.Refuse("lead", "Its chamfer: no tap is run before this one. Choose which, or leave it "+
			"empty.")
	}
	if d := in.Thread.Inches(in.Thread.D); in.Drill >= d {
		return p, worksheet.Refuse("drill", "Drill: it is as large as the thread, so no thread would be left. Choose one below the thread's diameter.")
	}
	if in.Thread.External != "" && in.Thread.Internal == "" {
		return p, worksheet.Refuse("thread", "Thread: "+in.Thread.External+" is a class of screws. A tapped hole "+
			"takes "+
			worksheet.Either(in.Thread.System == thread.ISO, "6H, or another with a capital letter.",
				"2B, or 1B or 3B."))
	}
	limits, err := in.Thread.InternalLimits()
	if err != nil {
		return p, worksheet.Refuse("thread", "Thread: "+err.Error())
	}
	p.Limits = limits
	p.Pitch = in.Thread.Inches(in.Thread.Pitch)
	p.Target = target(in)
	p.choose(in, limits)
	d := p.Pick.Dia

	// Depth budget: trade geometry of the cone and of the tap's lead.
	p.PointLen = thread.PointLength(d, in.Point)
	p.Chamfer = chamferPitches(in.Tap, in.Chamfer, in.Forming) * p.Pitch
	p.Chips = max(chipPitches(in)*p.Pitch, in.Centre-p.PointLen) // the tap's own point may land first
	p.LeastFloor = in.Floor
	if in.Floor == 0 {
		p.LeastFloor = usualFloor(in, d, p.Pitch)
	}
	p.csk(in)
	if in.Through {
		p.through(in)
	} else {
		p.blind(in)
	}
	p.tapping(in)
	p.CskLoss = thread.CskLoss(p.Csk, in.Thread.Inches(limits.Minor.Max), in.CskDeg)
	p.Usable = max(0, p.Full-p.CskLoss)
	p.Fits = p.Fits && !p.short(in)
	p.Strong = strongIn(in.Work) * in.Thread.Inches(in.Thread.D)
	p.engage(in)
	wants := worksheet.Either(p.Needs > 0, min(p.Needs, p.NeedsShear), p.Strong)
	p.Weak = p.Usable < wants-1e-9
	return p, nil
}

// metals is the metal assumed for each work: the weakest of its kind, since the class of an old
// casting is not known. Stainless varies too much to be told.
var metals = [...]struct {
	work  Work
	metal string
}{{Iron, "grey20"}, {Steel, "mild"}, {Aluminium, "al356"}, {Bronze, "bronze"}}

// engage computes the engagement at which the screw breaks before the thread strips, in the likely
// hole.
func (p *Plan) engage(in Input) {
	p.Bolt = in.Bolt
	if p.Bolt == "" {
		p.Bolt = "5"
		if in.Thread.System == thread.ISO {
			p.Bolt = "8.8"
		}
	}
	for i := range metals {
		if metals[i].work != in.Work {
			continue
		}
		if s, f := engage.Needed(in.Thread, p.Bolt, metals[i].metal, p.Pick.Mean); f == nil {
			p.Needs, p.NeedsShear = s.Needed, s.ByShear
		}
	}
}

func checkDepths(in Input) *worksheet.InputError {
	switch {
	case in.Through && in.Deepest:
		return worksheet.Refuse("depth", "Full thread depth: a hole that goes through needs the thickness here. Type it, like 1-1/4.")
	case in.Through && in.Depth == 0:
		return worksheet.Refuse("stock", "Stock: a hole that goes through needs the thickness. Type it, like 1-1/4.")
	case !in.Through && in.Deepest && in.Stock == 0:
		return worksheet.Refuse("stock", "Stock is missing: 'as deep as it goes' depends on the thickness. Type it, like 7/8, or type a depth.")
	}
	return nil
}

// through plans a hole with no floor. The tap runs until its chamfer is out.
func (p *Plan) through(in Input) {
	p.Full = in.Depth
	p.Shoulder = in.Depth + in.Run
	p.Tip = p.Shoulder + p.PointLen
	p.Reach = in.Depth + p.Chamfer + p.Pitch
	p.StopTip, p.StopEdge = p.Tip, p.Shoulder
	p.Fits = p.sized()
	for i := range p.DeepestFull {
		p.DeepestFull[i] = in.Depth
	}
	p.FlatFull = in.Depth
}

// blind plans a hole with a floor. The depth to the point is what the quill's stop is set to, or to
// the shoulder where that was asked for; the others follow from it.
func (p *Plan) blind(in Input) {
	over := p.Chamfer + p.Chips // from the last full thread to the shoulder
	switch {
	case in.Deepest:
		p.Tip = onMark(in.Stock-p.LeastFloor, 0, in, p.LeastFloor)
	case in.To == ToShoulder:
		p.Tip = onMark(in.Depth, p.PointLen, in, p.LeastFloor)
	case in.To == ToPoint:
		p.Tip = onMark(in.Depth, 0, in, p.LeastFloor)
	default:
		p.Tip = onMark(in.Depth+over+p.PointLen, 0, in, p.LeastFloor)
	}
	p.Shoulder = p.Tip - p.PointLen
	p.Full = p.Shoulder - over
	p.Reach = p.Full + p.Chamfer
	p.StopTip, p.StopEdge = p.Tip, p.Shoulder
	p.FloorKnown = in.Stock > 0
	p.Fits = p.sized()
	if !p.FloorKnown {
		return
	}
	p.Floor = in.Stock - p.Tip
	p.Breaks = p.Floor <= 1e-9
	p.ThinFloor = p.Floor < p.LeastFloor-1e-9
	p.TooThin = p.Floor < p.surely()-1e-9
	p.Fits = p.Fits && !p.TooThin && !(p.ThinFloor && in.Floor > 0)
	room := in.Stock - p.LeastFloor - p.Chips
	for i, t := range Taps {
		p.DeepestFull[i] = room - p.PointLen - float64(chamferPitches(t, 0, in.Forming)*p.Pitch)
	}
	p.FlatFull = in.Stock - p.LeastFloor - p.Chamfer - max(float64(chipPitches(in)*p.Pitch), in.Centre)
}

// leastThreads is the fewest full threads that make a blind hole worth tapping. Common practice, no
// published source.
const leastThreads = 3

// short says whether too few threads are left below the countersink. A thin plate is tapped through
// all the same where one thread is left, unless it is the countersink asked for that leaves so few.
func (p *Plan) short(in Input) bool {
	least := float64(leastThreads * p.Pitch)
	if in.Through && (p.Full < least || in.Csk < 0) {
		least = p.Pitch
	}
	return p.Usable < least-1e-9
}

// surely is the floor below which the point's grind and the quill may take all of it: .03 in, or a
// quarter of the least floor. Common practice, no published source.
func (p *Plan) surely() float64 { return max(.03, p.LeastFloor/4) }

// sized says whether the drill makes a hole that the tap can cut this thread in.
func (p *Plan) sized() bool {
	return p.Pick.Grade != Outside && !(p.Pick.Grade == Formed && (p.Pick.Percent > 100 || p.Pick.Percent < 40))
}

// onMark sets a depth to a mark of the quill's stop, the deeper one if the wanted floor still
// holds, else the shallower, and gives the depth to the point, which lies that much deeper.
func onMark(depth, point float64, in Input, floor float64) float64 {
	if in.Mark <= 0 {
		return depth + point
	}
	steps := math.Round(depth/in.Mark*1e6) / 1e6
	tip := float64(math.Ceil(steps)*in.Mark) + point
	if in.Stock > 0 && in.Stock-tip < floor-1e-9 {
		tip = float64(math.Floor(steps)*in.Mark) + point
	}
	return tip
}

// tapping reckons where the finishing tap first cuts, and its mark. A tap run before it goes to the
// same depth.
func (p *Plan) tapping(in Input) {
	reach, own := max(0, p.Reach), p.Chamfer/p.Pitch
	p.Mark = reach + in.Centre
	if in.Before != "" && !in.Through {
		p.Lead = chamferPitches(in.Before, in.Lead, in.Forming)
	}
	if p.Lead <= own+1e-9 {
		p.Lead = 0
		p.Bite = thread.FirstBite(0, 0, reach, own, p.Pitch)
		p.Fewest, p.Most = p.Bite.Turns, p.Bite.Turns
		return
	}
	turns := func(lead, chamfer float64) float64 {
		return thread.FirstBite(reach, max(lead, chamfer), reach, chamfer, p.Pitch).Turns
	}
	p.Bite = thread.FirstBite(reach, p.Lead, reach, own, p.Pitch)
	least, most := own, own
	if in.Chamfer == 0 {
		least = chamferOf(in.Tap, in.Forming).Min
	}
	shortest, longest := p.Lead, p.Lead
	if in.Lead == 0 {
		shortest = chamferOf(in.Before, in.Forming).Min
	}
	p.Fewest, p.Most = turns(shortest, most), turns(longest, least)
}

// chamferPitches gives the tap's lead: the one typed, or the longest of its kind, since a plan must
// be valid for any tap of that kind.
func chamferPitches(t Tap, typed float64, forming bool) float64 {
	if typed > 0 {
		return typed
	}
	return chamferOf(t, forming).Max
}

// chamferOf finds the leads of a kind of tap.
func chamferOf(t Tap, forming bool) thread.Chamfer {
	key := string(t)
	if forming {
		key = "forming " + key
	}
	c, ok := thread.LookupChamfer(key)
	if !ok {
		c, _ = thread.LookupChamfer(string(t))
	}
	return c
}

// chipPitches is the room under the tap: iron crumbles and packs little, other
// metals make strings, a forming tap makes none. Common practice, no published
// source.
func chipPitches(in Input) float64 {
	switch {
	case in.Chips >= 0:
		return in.Chips
	case in.Forming || in.Work == Iron || in.Work == Bronze:
		return 1
	}
	return 2
}

// usualFloor is the usual floor left under a drilled point: the largest of 1.5 pitches, 1/8 in (3
// mm for a metric thread) and a quarter of the drill. Common practice, no published source.
func usualFloor(in Input, d, pitch float64) float64 {
	least := worksheet.Either(in.Thread.System == thread.ISO, 3/25.4, 0.125)
	return max(least, 1.5*pitch, d/4)
}

// strongIn is how many diameters of thread a metal usually wants so that the
// bolt breaks first. Common practice, no published source.
func strongIn(w Work) float64 {
	switch w {
	case Iron, Bronze:
		return 1.5
	case Aluminium:
		return 2
	}
	return 1
}

// csk sets the countersink: the usual one opens the hole to the thread's diameter and half a pitch,
// up to what a rule shows, so that the first thread is not raised. Under 1/4 in the rule's step is
// quartered.
func (p *Plan) csk(in Input) {
	p.Csk = in.Csk
	if in.Csk < 0 {
		p.Csk = in.Thread.Inches(in.Thread.D) + float64(p.Pitch*.5)
		if step := worksheet.Either(p.Csk < .25, in.Rule/4, in.Rule); step > 0 {
			p.Csk = math.Ceil(math.Round(p.Csk/step*1e6)/1e6) * step
		}
	}
	if p.Csk > p.Pick.Dia {
		p.CskDepth = (p.Csk - p.Pick.Dia) / 2 / math.Tan(in.CskDeg/2*math.Pi/180)
	}
}
