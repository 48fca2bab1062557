package joint

import (
	"math"

	"datumbook/calc/engage"
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// Into is what a stud is screwed into.
type Into uint8

// What a stud may be screwed into. Of Unsaid nothing is known; Nutted is a nut, tee nuts too.
const (
	Unsaid Into = iota
	Blind
	Tapped
	Length
	Nutted
)

// Hole is a tapped hole as it was made and the metal it is in. Lengths are in inches.
type Hole struct {
	Into    Into
	Depth   float64 // blind: as drilled; tapped through: the thickness; a length: full thread engaged
	ToPoint bool    // the depth is to the drill's point, not to its shoulder
	ToLast  bool    // the depth is to the last full thread, whatever lies under it
	Drill   float64 // diameter; 0 takes the thread's largest minor diameter
	Angle   float64 // included angle of the drill's point, degrees; 180 is flat
	Chamfer float64 // lead of the finishing tap, pitches
	Left    float64 // room left below the tap, pitches
	Csk     float64 // diameter of the countersink at the face, 0 for none
	CskDeg  float64 // its included angle
	Skin    float64 // what is cut off the face after tapping
	In      float64 // how far the stud goes in, with its point; 0 until it stops
	Minor   float64 // measured minor diameter; 0 the largest of its class
	Wall    float64 // width of the boss or wall around it; 0 far from any edge
	Metal   engage.Metal
	Known   bool // the class of the iron is known
}

// Usable is the thread a hole has. Lengths are in inches from the face, but for Loss and Engaged.
type Usable struct {
	Shoulder float64 // end of the drill's full diameter
	Point    float64 // length of the drill's point
	Stop     float64 // end of the tap
	Full     float64 // last full thread
	Loss     float64 // what the countersink takes
	Usable   float64 // full thread less that and what the face loses
	Engaged  float64 // of it what the stud stands in; 0 where there is none
}

// StudPoint is the length of a stud's end without full thread, in pitches: at most 2 on a tap-end
// stud (ASME B18.31.2, table).
const StudPoint = 2

// Thread gives the usable thread of a hole. A tap stops Left pitches short of the shoulder, and its
// last full thread lies its chamfer above that; a stud run down until it stops nests in the tap's
// lead, one that is in by a measured length loses its own point. The steps are geometry; what is
// left below a tap is common practice, chamfers by TM 9-254.
func (h *Hole) Thread(t thread.Thread) (Usable, error) {
	in, err := t.InternalLimits()
	if err != nil || h.Into == Unsaid || h.Into == Nutted {
		return Usable{}, err
	}
	minor, pitch := t.Inches(in.Minor.Max), t.Inches(t.Pitch)
	minor = max(minor, h.Minor)
	u := Usable{Full: h.Depth}
	if h.Csk > minor && h.Into != Length {
		u.Loss = (h.Csk - minor) / float64(2*math.Tan(h.CskDeg/360*math.Pi))
	}
	if h.Into == Blind && !h.ToLast {
		d := worksheet.Either(h.Drill > 0, h.Drill, minor)
		if h.Angle < 180 {
			u.Point = d / float64(2*math.Tan(h.Angle/360*math.Pi))
		}
		u.Shoulder = h.Depth
		if h.ToPoint {
			u.Shoulder -= u.Point
		}
		u.Stop = u.Shoulder - float64(h.Left*pitch)
		u.Full = u.Stop - float64(h.Chamfer*pitch)
	}
	u.Usable = u.Full - u.Loss - h.Skin
	u.Engaged = u.Usable
	if h.In > 0 && h.Into != Length {
		u.Engaged = min(u.Usable, h.In-float64(StudPoint*pitch)-u.Loss)
	}
	u.Engaged = max(u.Engaged, 0)
	return u, nil
}
