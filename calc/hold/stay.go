package hold

import (
	"math"

	"datumbook/calc/joint"
)

// Vec is a point in inches or a force in lbf: X along the plate, Y up it, Z out
// of its face towards the free end of the part.
type Vec struct{ X, Y, Z float64 }

// Load is a force and the point it acts at.
type Load struct{ F, At Vec }

// Contact is the rectangle of the plate the part bears on, in inches.
type Contact struct{ Left, Right, Bottom, Top float64 }

// Job is a part held against an upright face by studs of one size.
type Job struct {
	Studs     [][2]float64 // x, y of each, in
	Contact   Contact
	Bolt      *joint.Bolt
	Preload   joint.Preload
	Mu        float64 // friction of the faces
	Loads     []Load  // weight and cutting force
	OnLedge   bool    // a stop under the part carries what pushes down
	SideStops bool    // stops at both sides carry what pushes sideways
}

// Edge names the edges a part can tip about.
type Edge int

// The edges, in the order they are looked at.
const (
	BottomEdge Edge = iota
	TopEdge
	LeftEdge
	RightEdge
)

var edgeNames = [...]string{"bottom", "top", "left", "right"}

// String gives the edge's name.
func (e Edge) String() string { return edgeNames[e] }

// Stud is the load on one stud.
type Stud struct {
	Shear   float64 // lbf in the plane, pull and twist together
	Tension float64 // lbf added by tipping and by a pull away from the face, were the joint to open
}

// Held is the result of a job. Margins are capacity over demand; Inf where there is no demand.
type Held struct {
	Pull      float64 // force along the face, lbf
	Twist     float64 // moment in the plane about the studs' middle, lbf-in
	Out       float64 // force away from the face, lbf
	Studs     []Stud
	WorstPin  int // the stud with the most in the plane
	WorstBolt int // the stud with the most added tension

	Slip float64 // friction of all studs over the pull
	Turn float64 // friction at the worst stud over its share of pull and twist
	Tip  float64 // holding moment over tipping moment, worst edge
	Edge Edge    // that edge
	Moment,
	Hold float64 // lbf-in about it
	Bolt float64 // proof load over the most tension and the added tension
	Pin  float64 // one stud's shear strength over the whole pull
}

// Analyse computes a job: friction from the least preload against pull and twist, elastic bolt
// group (Shigley 8-57, NASA RP-1228); tipping as a rigid part about each edge of the contact, T_i =
// M h_i/sum h^2 (the same sources); studs as pins if it slips. Every stud must lie inside the
// contact and no two may share a place; Check says so.
func (j Job) Analyse() Held {
	h := Held{Studs: make([]Stud, len(j.Studs))}
	j.analyse(&h)
	return h
}

// analyse reckons into a result whose studs are as many as the job's; hundreds of ways, places and
// torques of one setup are reckoned for an answer.
func (j *Job) analyse(h *Held) {
	studs := h.Studs
	clear(studs)
	*h = Held{Studs: studs}
	n := float64(len(j.Studs))
	var cx, cy, f Vec
	for _, s := range j.Studs {
		cx.X += s[0] / n
		cy.Y += s[1] / n
	}
	for i := range j.Loads {
		l := &j.Loads[i]
		f.X += l.F.X
		f.Y += l.F.Y
		f.Z += l.F.Z
		h.Twist += float64((l.At.X-cx.X)*l.F.Y) - float64((l.At.Y-cy.Y)*l.F.X)
	}
	if j.OnLedge && f.Y < 0 {
		f.Y = 0
	}
	if j.SideStops {
		f.X = 0
	}
	h.Pull, h.Out = math.Hypot(f.X, f.Y), f.Z
	r2 := 0.0
	for _, s := range j.Studs {
		dx, dy := s[0]-cx.X, s[1]-cy.Y
		r2 += float64(dx*dx) + float64(dy*dy)
	}
	for i, s := range j.Studs {
		// Shigley 8-57: F'' = M r/sum r^2, at right angles to r.
		tx, ty := -h.Twist*(s[1]-cy.Y)/r2, h.Twist*(s[0]-cx.X)/r2
		h.Studs[i].Shear = math.Hypot(f.X/n+tx, f.Y/n+ty)
		if h.Studs[i].Shear > h.Studs[h.WorstPin].Shear {
			h.WorstPin = i
		}
	}
	grip := max(j.Preload.Min-max(f.Z, 0)/n, 0) // remaining clamp force of each stud
	h.Slip = over(j.Mu*grip*n, h.Pull)
	h.Turn = over(j.Mu*grip, h.Studs[h.WorstPin].Shear)
	h.Pin = over(j.Bolt.ShearLoad(), h.Pull)
	j.tip(h)
	for i := range h.Studs { // as Design of Machine Elements does in its example 7.8
		h.Studs[i].Tension += max(f.Z, 0) / n
	}
	h.Bolt = over(j.Bolt.ProofLoad(), j.Preload.Max+h.Studs[h.WorstBolt].Tension)
}

// arm is how far a place lies from an edge, towards the inside.
func (c *Contact) arm(e Edge, x, y float64) float64 {
	switch e {
	case BottomEdge:
		return y - c.Bottom
	case TopEdge:
		return c.Top - y
	case LeftEdge:
		return x - c.Left
	}
	return c.Right - x
}

// lifts is the part of a force along the face that lifts the part off it about an edge.
func (f *Vec) lifts(e Edge) float64 {
	switch e {
	case BottomEdge:
		return -f.Y
	case TopEdge:
		return f.Y
	case LeftEdge:
		return -f.X
	}
	return f.X
}

// tip checks each edge of the contact in turn.
func (j *Job) tip(h *Held) {
	h.Tip = math.Inf(1)
	c := &j.Contact
	for e := BottomEdge; e <= RightEdge; e++ {
		m, hold, h2 := 0.0, 0.0, 0.0
		for i := range j.Loads {
			l := &j.Loads[i]
			m += float64(l.F.Z*c.arm(e, l.At.X, l.At.Y)) + float64(l.F.lifts(e)*l.At.Z)
		}
		if m <= 1e-9 {
			continue
		}
		for _, s := range j.Studs {
			a := c.arm(e, s[0], s[1])
			hold += float64(j.Preload.Min * a)
			h2 += float64(a * a)
		}
		if h2 <= 0 { // all studs are on this edge: nothing holds
			h.Tip, h.Edge, h.Moment, h.Hold = 0, e, m, 0
			continue
		}
		for i, s := range j.Studs {
			if t := m * c.arm(e, s[0], s[1]) / h2; t > h.Studs[i].Tension {
				h.Studs[i].Tension = t
			}
			if h.Studs[i].Tension > h.Studs[h.WorstBolt].Tension {
				h.WorstBolt = i
			}
		}
		if margin := over(hold, m); margin < h.Tip {
			h.Tip, h.Edge, h.Moment, h.Hold = margin, e, m, hold
		}
	}
}

// over divides; with no demand the margin is infinite.
func over(capacity, demand float64) float64 {
	if demand <= 1e-9 {
		return math.Inf(1)
	}
	return capacity / demand
}

// Way is a direction the cutting force may take.
type Way struct {
	Key, Label string
	Dir        Vec
}

// Ways are the six directions along the axes.
var Ways = [...]Way{
	{"down", "down", Vec{0, -1, 0}}, {"up", "up", Vec{0, 1, 0}},
	{"left", "left along the plate", Vec{-1, 0, 0}}, {"right", "right along the plate", Vec{1, 0, 0}},
	{"out", "away from the plate", Vec{0, 0, 1}}, {"in", "towards the plate", Vec{0, 0, -1}},
}

// Ratio is the smallest margin over its required value among the three failure modes; Case says
// which. The stud's proof load counts only where it is passed: what keeps a stud below it is the
// torque, and its margin is none on the cut. Where nothing is demanded the ratio is infinite.
func (h Held) Ratio(wanted float64) (ratio float64, which Case) {
	ratio, which = h.Bolt, Bolts
	if h.Bolt >= 1 {
		ratio, which = math.Inf(1), Nothing
	}
	for c, r := range [...]float64{h.Turn / wanted, h.Slip / wanted, h.Tip / wanted} {
		if r < ratio {
			ratio, which = r, Case(c)
		}
	}
	if which == Turns && h.Slip <= h.Turn*(1+1e-9) { // nothing twists it: all studs slip together
		which = Slips
	}
	return ratio, which
}

// Case is a failure mode.
type Case int

// The cases, in the order they are checked.
const (
	Turns Case = iota
	Slips
	Tips
	Bolts
	Nothing
)

func hypot(x, y float64) float64 { return math.Hypot(x, y) }
