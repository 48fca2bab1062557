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
}

// Plan is the hole as it will be made. Lengths are in inches, depths from the
// finished surface.
type Plan struct {
	Limits      thread.Limits // of the tapped hole, in the thread's own unit
	Pick        Candidate
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
	Turns       float64
	Csk         float64 // diameter, 0 for none
	CskDepth    float64
	Usable      float64 // full thread less what the countersink takes
	StopTip     float64 // travel from the point touching the surface
	StopEdge    float64 // travel from the full diameter level with the surface
	Fits        bool
	ThinFloor   bool
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
	if d := in.Thread.Inches(in.Thread.D); in.Drill >= d {
		return p, worksheet.Refuse("drill", "Drill: it is as large as the thread, so no thread would be left. Choose one below the thread's diameter.")
	}
	limits, err := in.Thread.InternalLimits()
	if err != nil {
		return p, worksheet.Refuse("thread", "Thread: "+err.Error())
	}
	p.Limits = limits
	p.Pitch = in.Thread.Inches(in.Thread.Pitch)
	p.Target = target(in)
	p.Pick, p.Runners = choose(in, limits, p.Target)
	d := p.Pick.Dia

	// Depth budget: trade geometry of the cone and of the tap's lead.
	p.PointLen = pointLength(d, in.Point)
	p.Chamfer = chamferPitches(in.Tap, in.Chamfer, in.Forming) * p.Pitch
	p.Chips = chipPitches(in) * p.Pitch
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
	p.Turns = max(0, p.Reach/p.Pitch)
	p.Usable = max(0, p.Full-p.cskLoss(in))
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
	p.Fits = true
	for i := range p.DeepestFull {
		p.DeepestFull[i] = in.Depth
	}
	p.FlatFull = in.Depth
}

// blind plans a hole with a floor.
func (p *Plan) blind(in Input) {
	over := p.Chamfer + p.Chips // from the last full thread to the shoulder
	switch {
	case in.Deepest:
		p.Tip = in.Stock - p.LeastFloor
		p.Shoulder = p.Tip - p.PointLen
		p.Full = p.Shoulder - over
	case in.To == ToShoulder:
		p.Shoulder = in.Depth
		p.Tip = p.Shoulder + p.PointLen
		p.Full = p.Shoulder - over
	case in.To == ToPoint:
		p.Tip = in.Depth
		p.Shoulder = p.Tip - p.PointLen
		p.Full = p.Shoulder - over
	default:
		p.Full = in.Depth
		p.Shoulder = p.Full + over
		p.Tip = p.Shoulder + p.PointLen
	}
	p.Reach = p.Full + p.Chamfer
	p.StopTip, p.StopEdge = p.Tip, p.Shoulder
	p.FloorKnown = in.Stock > 0
	p.Fits = p.Full > 1e-9
	if !p.FloorKnown {
		return
	}
	p.Floor = in.Stock - p.Tip
	p.Breaks = p.Floor <= 1e-9
	p.ThinFloor = p.Floor < p.LeastFloor-1e-9
	p.Fits = p.Fits && !p.Breaks && !(p.ThinFloor && in.Floor > 0)
	room := in.Stock - p.LeastFloor - p.Chips
	for i, t := range Taps {
		p.DeepestFull[i] = room - p.PointLen - float64(chamferPitches(t, 0, in.Forming)*p.Pitch)
	}
	p.FlatFull = room - p.Chamfer
}

// pointLength is pl = (d/2)/tan(a/2), the height of the drill's cone; a flat
// cutter (180 degrees) has none.
func pointLength(d, angle float64) float64 {
	if angle >= 180 {
		return 0
	}
	return d / 2 / math.Tan(angle/2*math.Pi/180)
}

// chamferPitches gives the tap's lead: the one typed, or the longest of its kind, since a plan must
// be valid for any tap of that kind.
func chamferPitches(t Tap, typed float64, forming bool) float64 {
	if typed > 0 {
		return typed
	}
	key := string(t)
	if forming {
		key = "forming " + key
	}
	c, ok := thread.LookupChamfer(key)
	if !ok {
		c, _ = thread.LookupChamfer(string(t))
	}
	return c.Max
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

// csk sets the countersink: the usual one opens the hole to the thread's
// diameter and half a pitch, so that the first thread is not raised.
func (p *Plan) csk(in Input) {
	p.Csk = in.Csk
	if in.Csk < 0 {
		p.Csk = in.Thread.Inches(in.Thread.D) + float64(p.Pitch*.5)
	}
	if p.Csk > p.Pick.Dia {
		p.CskDepth = (p.Csk - p.Pick.Dia) / 2 / math.Tan(in.CskDeg/2*math.Pi/180)
	}
}

// cskLoss is the thread the countersink takes: down to where its cone is as
// wide as the thread's major diameter.
func (p *Plan) cskLoss(in Input) float64 {
	d := in.Thread.Inches(in.Thread.D)
	if p.Csk <= d {
		return 0
	}
	return (p.Csk - d) / 2 / math.Tan(in.CskDeg/2*math.Pi/180)
}
