// Package chain answers: will the finished part come out square?
//
// A part goes through set-ups, each located on an earlier finished face. Every set-up turns the
// faces it finishes by a small angle against the locating face: seat, plate, tram, head, ways,
// heat. Predict adds these up along the chain, for each finished face to each datum, before
// anything is cut.
package chain

import (
	"math"
	"slices"
	"strconv"

	"datumbook/calc/worksheet"
)

// Setup is one clamping of the part, in order.
type Setup struct {
	Name string
	Down Side    // side of the part that is down
	Turn int     // quarter turns seen from above, counter-clockwise
	From int     // set-up that finished the face located on, from 1; 0 for the start
	Seat float64 // length of that face, inches
}

// Side is a side of the part: top is +z, right +x, back +y.
type Side string

// axis is the part's axis that a side faces.
func (s Side) axis() int {
	switch s {
	case "left", "right":
		return 0
	case "front", "back":
		return 1
	}
	return 2
}

// Kind says where an error comes from.
type Kind string

// partSide reports whether the error turns the part in the machine, so that the cut face comes out
// turned the other way; other errors turn the cut.
func (k Kind) partSide() bool { return k != "head" && k != "way" && k != "heat" }

// Cause is one contribution: a small turn about an axis of the machine, right
// handed: about x (to the right) + lifts the back, about y (to the back) + lifts
// the left, about z + turns counter-clockwise seen from above.
type Cause struct {
	Setup    int // from 1
	Kind     Kind
	Axis     int     // 0, 1, 2: machine's x, y, z
	Value    float64 // as measured, in/in; 0 for an assumption
	Half     float64 // measured: U with k = 2, in/in; assumed: limits either way
	Measured bool
	Mark     string // causes of one mark and axis are the same error
	Turned   bool   // the object with the error was turned half round
}

// Face is a finished face or hole pattern.
type Face struct {
	Name   string
	Setup  int // from 1
	Looks  Side
	Holes  bool
	To     int     // face it is measured to, from 1; 0 for the start
	Length float64 // over which the error is stated, inches
	Allow  float64 // 0 for none
}

// Plan is the whole job.
type Plan struct {
	Setups []Setup
	Causes []Cause
	Faces  []Face
}

// Error is the predicted error of a face to its datum about one axis of the
// part, in inches over the face's length.
type Error struct {
	Face, Axis int
	Mean       float64 // expected from what was measured
	Unit       float64 // standard uncertainty
	Worst      float64 // |Mean| and all limits one way
	parts      []part
}

// Sure is the half width at about 95 %, with k = 2 (JCGM 100 G.6.6).
func (e Error) Sure() float64 { return 2 * e.Unit }

// Reach is the largest error at about 95 %.
func (e Error) Reach() float64 { return math.Abs(e.Mean) + e.Sure() }

// part is the contribution of one error source, shared or not.
type part struct {
	first int     // cause it is first named in
	sens  float64 // in over the length for one in/in
}

// std is the standard uncertainty of a cause: U/2 of a reading, and of limits
// their half width over the root of 3 (JCGM 100 4.3.7).
func (c Cause) std() float64 {
	if c.Measured {
		return c.Half / 2
	}
	return c.Half / math.Sqrt(3)
}

// pose returns, for each machine axis, the part axis along it and its sign.
func (s Setup) pose() (axis [3]int, sign [3]float64) {
	axis, sign = [3]int{0, 1, 2}, [3]float64{1, 1, 1}
	switch s.Down {
	case "top": // turned over about x
		sign = [3]float64{1, -1, -1}
	case "left": // the right side is up
		axis, sign = [3]int{2, 1, 0}, [3]float64{-1, 1, 1}
	case "right":
		axis, sign = [3]int{2, 1, 0}, [3]float64{1, 1, -1}
	case "front":
		axis, sign = [3]int{0, 2, 1}, [3]float64{1, -1, 1}
	case "back":
		axis, sign = [3]int{0, 2, 1}, [3]float64{1, 1, -1}
	}
	for range s.Turn { // what pointed right points back, what pointed back points left
		axis[0], axis[1] = axis[1], axis[0]
		sign[0], sign[1] = -sign[1], sign[0]
	}
	return axis, sign
}

// effect is how a cause turns the faces of its set-up: part axis and sign.
func (p *Plan) effect(c Cause) (axis int, sign float64) {
	axes, signs := p.Setups[c.Setup-1].pose()
	sign = signs[c.Axis]
	if c.Kind.partSide() != c.Turned { // both reverse the sign
		sign = -sign
	}
	return axes[c.Axis], sign
}

// way returns the sign of each set-up's errors in a face's error to its datum: +1 on the face's
// chain alone, -1 on the datum's alone, 0 on both or none.
func (p *Plan) way(f Face) []float64 {
	w := make([]float64, len(p.Setups)+1)
	for s := f.Setup; s > 0; s = p.Setups[s-1].From {
		w[s]++
	}
	if f.To > 0 {
		for s := p.Faces[f.To-1].Setup; s > 0; s = p.Setups[s-1].From {
			w[s]--
		}
	}
	return w
}

// axes lists the part's axes about which a face's error to its datum counts: a turn about a plane
// face's normal does not tilt it, and likewise for its datum. A hole pattern counts about all
// three.
func (p *Plan) axes(f Face) []int {
	var out []int
	for a := range 3 {
		if !f.Holes && a == f.Looks.axis() {
			continue
		}
		if f.To > 0 {
			if d := p.Faces[f.To-1]; !d.Holes && a == d.Looks.axis() {
				continue
			}
		}
		out = append(out, a)
	}
	return out
}

// Check refuses invalid references and errors.
func (p *Plan) Check() *worksheet.InputError {
	row := func(i int) string { return "row " + strconv.Itoa(i+1) }
	for i, s := range p.Setups {
		if s.From > i {
			return worksheet.Refuse("setups", "Set-ups: "+row(i)+" is located on a face of set-up "+strconv.Itoa(s.From)+", which is not before it. Name an earlier set-up, or 0 for the start.")
		}
	}
	for i, c := range p.Causes {
		if c.Setup > len(p.Setups) {
			return worksheet.Refuse("causes", "Errors: "+row(i)+" names set-up "+strconv.Itoa(c.Setup)+", and there are "+strconv.Itoa(len(p.Setups))+". Name one of them.")
		}
		if math.Abs(c.Value)+c.Half > .05 {
			return worksheet.Refuse("causes", "Errors: "+row(i)+" comes to more than 0.05 in an inch, which is no small error. Check its size and the length it is over.")
		}
		if j := p.first(i); j != i {
			b := p.Causes[j]
			if b.Measured != c.Measured || !alike(b.Value, c.Value) || !alike(b.Half, c.Half) {
				return worksheet.Refuse("causes", "Errors: "+row(i)+" has the mark of "+row(j)+" but not its size. One mark is one error: give both the same, or leave the mark out.")
			}
		}
	}
	for i, f := range p.Faces {
		switch {
		case f.Setup > len(p.Setups):
			return worksheet.Refuse("faces", "Faces: "+row(i)+" names set-up "+strconv.Itoa(f.Setup)+", and there are "+strconv.Itoa(len(p.Setups))+". Name one of them.")
		case f.To > len(p.Faces):
			return worksheet.Refuse("faces", "Faces: "+row(i)+" is measured to row "+strconv.Itoa(f.To)+", which is not there. Name a row of this table, or 0 for the start.")
		case f.To == i+1:
			return worksheet.Refuse("faces", "Faces: "+row(i)+" is measured to itself. Name another row, or 0 for the start.")
		}
	}
	return nil
}

func alike(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(a) }

// first is the first cause with cause i's mark and axis, and so the same error: i itself without a
// mark.
func (p *Plan) first(i int) int {
	c := p.Causes[i]
	if c.Mark != "" {
		for j := range i {
			if p.Causes[j].Mark == c.Mark && p.Causes[j].Axis == c.Axis {
				return j
			}
		}
	}
	return i
}

// Predict gives the error of each face about each axis that counts. The plan
// must have passed Check.
//
// Angles are small: they add along the chain. Causes of one mark are one
// quantity, whose sensitivities add with their signs before they are squared:
// correlation +1 in JCGM 100 5.2.2, note 1.
//
//	u^2 = sum over errors (sum over set-ups c)^2 u_i^2
func (p *Plan) Predict() []Error {
	var out []Error
	for i, f := range p.Faces {
		w := p.way(f)
		for _, a := range p.axes(f) {
			e := Error{Face: i, Axis: a}
			for j, c := range p.Causes {
				axis, sign := p.effect(c)
				if axis != a || w[c.Setup] == 0 {
					continue
				}
				first := p.first(j)
				at := slices.IndexFunc(e.parts, func(x part) bool { return x.first == first })
				if at < 0 {
					at = len(e.parts)
					e.parts = append(e.parts, part{first: first})
				}
				e.parts[at].sens += float64(w[c.Setup] * sign * f.Length)
			}
			square := 0.0
			for _, x := range e.parts {
				c := p.Causes[x.first]
				e.Mean += float64(x.sens * c.Value)
				u := float64(x.sens * c.std())
				square += float64(u * u)
				e.Worst += float64(math.Abs(x.sens) * c.Half)
			}
			e.Unit = math.Sqrt(square)
			e.Worst += math.Abs(e.Mean)
			out = append(out, e)
		}
	}
	return out
}

// Chief returns the error that is largest relative to its limit or, without limits, to its length.
func (p *Plan) Chief(errors []Error) int {
	best, most := 0, -1.0
	asked := slices.ContainsFunc(p.Faces, func(f Face) bool { return f.Allow > 0 })
	for i, e := range errors {
		f := p.Faces[e.Face]
		bad := e.Reach() / f.Length
		if asked {
			if f.Allow == 0 {
				continue
			}
			bad = e.Reach() / f.Allow
		}
		if bad > most {
			best, most = i, bad
		}
	}
	return best
}

// Share is the contribution of one error, and the gain from measuring it.
type Share struct {
	Cause  int     // the first row that names it
	Mean   float64 // contribution to the expected error, inches over the length
	Unit   float64 // contribution as a standard uncertainty
	Part   float64 // of the variance, 0 to 1
	After  float64 // Sure of the whole with this measured better
	Better float64 // standard uncertainty it would then have, inches over the length
}

// Shares returns them, largest first. better is the U (k = 2) of a measurement, in/in, for each
// cause.
func (p *Plan) Shares(e Error, better func(c int) float64) []Share {
	var out []Share
	square := float64(e.Unit * e.Unit)
	for _, x := range e.parts {
		c := p.Causes[x.first]
		s := Share{Cause: x.first, Mean: x.sens * c.Value, Unit: math.Abs(x.sens) * c.std()}
		s.Better = min(s.Unit, math.Abs(x.sens)*better(x.first)*.5)
		u2 := float64(s.Unit * s.Unit)
		if square > 0 {
			s.Part = u2 / square
		}
		s.After = 2 * math.Sqrt(max(0, square-u2)+float64(s.Better*s.Better))
		at := len(out)
		for at > 0 && out[at-1].Unit < s.Unit {
			at--
		}
		out = slices.Insert(out, at, s)
	}
	return out
}

// Cure is the shim that removes the expected error.
type Cure struct {
	Setup int     // from 1
	Axis  int     // machine's axis about which the part is turned
	Turn  float64 // in/in, right handed
	Shim  float64 // over the set-up's seat, inches
}

// Cure returns the last set-up in the chain where turning the part removes the expected error, and
// the turn. ok is false where the face and its datum are finished in one set-up.
func (p *Plan) Cure(e Error) (Cure, bool) {
	f := p.Faces[e.Face]
	w := p.way(f)
	for s := len(p.Setups); s > 0; s-- {
		if w[s] == 0 {
			continue
		}
		axes, signs := p.Setups[s-1].pose()
		for m := range axes {
			if axes[m] == e.Axis {
				// Turning the part in the machine turns the face the other way.
				turn := e.Mean / f.Length * w[s] * signs[m]
				return Cure{s, m, turn, math.Abs(turn) * p.Setups[s-1].Seat}, true
			}
		}
	}
	return Cure{}, false
}
