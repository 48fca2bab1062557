// Package joint reckons one joint of a hung or clamped part as a whole: a stud in its hole, the
// thread that hole has as it was drilled and tapped, the nut, the washer and what it bears on. It
// names what gives first, and the torque that keeps the tension, scattered high, below it.
//
// Lengths are in inches, areas in square inches, loads in lbf, strengths in ksi, torques in lbf-in.
package joint

import (
	"math"

	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// Part is a part of the joint that may give.
type Part uint8

// The parts, in the order they are named where two give together.
const (
	TheStud Part = iota
	TheNut
	TheHole
	TheStudThread
	TheWasher
	TheSeat
	TheStrap
	TheLip
	TheCommonHole
)

var partNames = [...]string{"the stud", "the nut", "the hole's thread", "the stud's thread", "the washer under the nut",
	"what the nut bears on", "the strap", "the slot's lip", "a short hole in grey iron"}

// String names the part.
func (p Part) String() string { return partNames[p] }

// Link is a part and the tension it is to be loaded to at most, scatter and all. A soft one beds in
// or bends past it, and the grip falls, but nothing lets go.
type Link struct {
	Part
	Bears float64
	Soft  bool
}

// Input is a joint and how it is tightened.
type Input struct {
	Thread  thread.Thread
	Bolt    Bolt
	Hole    Hole
	Nut     Nut
	Washer  Washer
	Seat    Seat
	Others  []Link  // what else the tension loads: a strap
	K       float64 // torque factor
	Scatter float64 // of the tension at a set torque, as a fraction
	Settle  float64 // lost on the low side, as a fraction
	Share   float64 // of the proof load, to be aimed at at most
	Torque  float64 // on the nut; 0 takes the most the joint bears
	Wrench  func(torque float64) float64
}

// Result is what the joint bears and what it is pulled to.
type Result struct {
	Usable   Usable
	Strip    Strip
	Bearing  Bearing
	NutProof float64
	Links    []Link
	Weakest  Link    // the link that bears least
	Cap      float64 // torque that loads no link more than it bears, by what is known
	Most     float64 // that, or less by the share asked for or a hole not described, on the wrench
	Torque   float64 // what it is pulled to: typed, or Most
	Preload  Preload
	Typed    bool
	Over     *Link // the hard link that a typed torque overloads, the weakest of them
	Soft     *Link // the soft link it overloads
}

// scattered is the tension aimed at, its least and most at a torque.
func (in *Input) scattered(torque float64) Preload {
	return Scattered(in.Bolt.Tension(torque, in.K), in.Scatter, in.Settle)
}

// Make reckons the joint:
//
//	F_cap = least of 0.75 Sp At, the nut's proof load, the strip limit of the hole, the stud's thread
//	        over 1.5, p_G A of nut, washer and seat
//	F_nom = F_cap/(1 + s),  T = K D F_nom, rounded down on the wrench
//
// and from the rounded torque the least grip after scatter and settling. What is said of no link is
// left out; a hole nobody described counts as a short one only where a torque is sought. The fault
// names the field: thread, wall or hole.
func (in *Input) Make() (Result, *worksheet.InputError) {
	r := Result{NutProof: in.Nut.Proof(in.Thread, &in.Bolt)}
	u, err := in.Hole.Thread(in.Thread)
	if err != nil {
		return r, worksheet.Refuse("thread", err.Error()+".")
	}
	r.Usable = u
	r.Links = append(r.Links, Link{TheStud, .75 * in.Bolt.ProofLoad(), false}, Link{TheNut, r.NutProof, false})
	if in.Tapped() {
		s, f := Stripped(in.Thread, in.Bolt.Su, &in.Hole, u.Engaged)
		if f != nil {
			return r, f
		}
		r.Strip = s
		r.Links = append(r.Links, Link{TheHole, s.Limit, false}, Link{TheStudThread, s.Stud / 1.5, false})
	}
	if in.Seat.Opening != NoSeat {
		r.Bearing = Bear(in.Thread, in.Washer, in.Seat)
		r.Links = append(r.Links, Link{TheSeat, r.Bearing.Bears, true})
		if !math.IsInf(r.Bearing.Dent, 0) {
			r.Links = append(r.Links, Link{TheWasher, r.Bearing.Dent, true})
		}
	}
	r.Links = append(r.Links, in.Others...)
	r.Weakest = Link{Bears: math.Inf(1)}
	for _, l := range r.Links {
		if l.Bears < r.Weakest.Bears {
			r.Weakest = l
		}
	}
	aim := r.Weakest.Bears / (1 + in.Scatter)
	r.Cap = in.Bolt.Torque(aim, in.K)
	if in.Hole.Into == Unsaid {
		if common := Common(in.Thread, in.Bolt.Su); common < r.Weakest.Bears {
			aim = common / (1 + in.Scatter)
			r.Weakest = Link{TheCommonHole, common, false}
		}
	}
	aim = min(aim, in.Share*in.Bolt.ProofLoad())
	r.Most = in.Bolt.Torque(aim, in.K)
	if in.Wrench != nil {
		r.Most = in.Wrench(r.Most)
	}
	r.Tighten(in)
	return r, nil
}

// Tighten reckons a joint that was made with the torque that is typed now: nothing else of it may
// have changed.
func (r *Result) Tighten(in *Input) {
	r.Typed, r.Over, r.Soft = in.Torque > 0, nil, nil
	r.Torque = r.Most
	if r.Typed {
		r.Torque = in.Torque
	}
	r.Preload = in.scattered(r.Torque)
	r.overload(in)
}

// overload finds what a typed torque loads past what it bears. Where it beds in, no more grip is
// counted on than the torque gives that it bears.
func (r *Result) overload(in *Input) {
	for i := range r.Links {
		l := &r.Links[i]
		if !r.Typed || r.Preload.Max <= l.Bears*(1+1e-9) {
			continue
		}
		which := &r.Over
		if l.Soft {
			which = &r.Soft
		}
		if *which == nil || l.Bears < (*which).Bears {
			*which = l
		}
	}
	if r.Soft != nil && r.Soft.Part != TheStrap { // a bent bar still presses
		kept := Scattered(r.Soft.Bears/(1+in.Scatter), in.Scatter, in.Settle)
		r.Preload.Min = min(r.Preload.Min, kept.Min)
	}
}

// Tapped reports whether the stud stands in a thread whose hole was described.
func (in *Input) Tapped() bool { return in.Hole.Into != Unsaid && in.Hole.Into != Nutted }

// None reports whether no torque will do: no thread is left, the nut bears on too little, or the
// wrench has no mark so low.
func (r *Result) None() bool { return r.Most <= 0 || r.Bearing.Little }

// Settling is how much tension a joint loses as its faces bed in.
type Settling struct {
	Stud, Clamped float64 // stiffness, lbf/in
	Lost          float64 // lbf
	Micrometres   float64 // of bedding in
}

// Settles reckons the loss of a fully used stud: f_Z/(1/kS + 1/kP), f_Z 3 um for each of two
// threads, 4.5 under the nut and 2.5 for each inner face, machined faces loaded in shear (VDI 2230,
// table 5, from memory); kP by cones of 30 degrees (Shigley & Mischke, 5th edition, from memory).
// Grip is all that is clamped, young the modulus of the clamped metal in psi.
func (b *Bolt) Settles(grip, young float64, faces int) Settling {
	l := grip + float64(b.D/2)
	s := Settling{Stud: 30e6 * b.Area / l, Micrometres: 10.5 + float64(2.5*float64(faces))}
	cone := float64(.5774 * l)
	s.Clamped = .5774 * math.Pi * young * b.D /
		float64(2*math.Log(5*(cone+float64(.5*b.D))/(cone+float64(2.5*b.D))))
	s.Lost = s.Micrometres / 25400 / (1/s.Stud + 1/s.Clamped)
	return s
}

// LengthOf is a stud's length worked out and in stock.
type LengthOf struct {
	Out, In float64 // wanted out of the hole and in it
	Stock   float64 // the sum, up to the next eighth of an inch or 5 mm
	Past    float64 // what then stands past the nut
}

// StudLength gives the length of a stud: out the lug, washer and nut at their thickest and two
// pitches, in the full thread there is (ASME B18.31.2 studs come in steps; the two pitches are
// common practice).
func (in *Input) StudLength(lug, inside float64) LengthOf {
	_, most, least := Face(in.Thread)
	pitch := in.Bolt.Pitch
	l := LengthOf{Out: lug + in.Washer.Most + most + float64(2*pitch), In: inside}
	step := worksheet.Either(in.Thread.System == thread.ISO, 5/mm, .125)
	l.Stock = float64(math.Ceil((l.Out+l.In)/step-1e-9) * step)
	l.Past = l.Stock - l.In - lug - in.Washer.Thick - float64((most+least)/2)
	return l
}
