package hold

import (
	"math"

	"datumbook/calc/joint"
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// changes are the ways a joint is made to bear more, the cheapest first: each changes the joint and
// says what that is, or nothing where it does not apply. It is worth offering only if the joint it
// makes, reckoned again, does what is wanted.
var changes = [...]func(o *worksheet.Out, in *joint.Input) string{bottom, runDown, deepen, widen, strengthen}

// briefly are the same in few words, for facts.
var briefly = [...]string{"bottoming tap", "stud run down", "deeper hole", "thick washer", "stronger studs"}

func bottom(_ *worksheet.Out, in *joint.Input) string {
	if in.Hole.Into != joint.Blind || in.Hole.ToLast || in.Hole.Chamfer <= 2 {
		return ""
	}
	in.Hole.Chamfer = 2
	return "A bottoming tap run down to the same depth"
}

func runDown(_ *worksheet.Out, in *joint.Input) string {
	if in.Hole.Into != joint.Blind || in.Hole.In == 0 {
		return ""
	}
	in.Hole.In = 0
	return "The stud run down until it stops"
}

// deepen gives the hole the thread of a tap-end stud, one and a half diameters.
func deepen(o *worksheet.Out, in *joint.Input) string {
	h, long := &in.Hole, joint.TapEnd(in.Thread)
	was, err := h.Thread(in.Thread)
	if err != nil || !in.Tapped() || was.Engaged >= long {
		return ""
	}
	h.Into, h.Depth, h.Skin = joint.Length, long, 0
	return o.Fill("A deeper hole where the plate is thick enough, {threadneed in} of full thread", nil, long)
}

func widen(o *worksheet.Out, in *joint.Input) string {
	d := in.Bolt.D
	if in.Seat.Opening == joint.NoSeat || in.Washer.Thick >= .6*d {
		return ""
	}
	wide := math.Ceil(8*max(2.5*d, in.Seat.Wide+d)) / 8
	in.Washer = joint.Washer{Inside: d + 1./16, Outside: wide, Thick: .6 * d, Most: .6 * d, Hard: true}
	return o.Fill("A hardened plate washer {seat in} wide and {seat in} thick", nil, wide, in.Washer.Thick)
}

func strengthen(_ *worksheet.Out, in *joint.Input) string {
	name, key, nut := "Studs and nuts of grade 5", "sae5", "j5"
	if in.Thread.System == thread.ISO {
		name, key, nut = "Studs and nuts of class 8.8", "8.8", "n8"
	}
	b, ok := joint.Grade(in.Thread, key)
	if !ok || b.Proof <= in.Bolt.Proof {
		return ""
	}
	in.Bolt, in.Nut = b, joint.Nut{Class: nut}
	return name
}

// ways lists what would let the joint bear the torque typed, or any at all.
func (g *tightened) ways(o *worksheet.Out) []string {
	var out []string
	for _, c := range changes {
		in := g.In
		says := c(o, &in)
		if says == "" {
			continue
		}
		r, f := in.Make()
		if f == nil && !r.None() && r.Over == nil {
			out = append(out, o.Fill("{s}: the joint then bears {wrench lbf-in}.", []string{says}, in.Wrench(r.Cap)))
		}
	}
	return out
}
