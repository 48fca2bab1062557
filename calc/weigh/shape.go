// Package weigh answers three questions before a lift: what does the part weigh
// and where is its centre of gravity, what do the sling's legs carry, and what
// may an eyebolt carry at that angle?
package weigh

import (
	"math"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Shape is the form of a body.
type Shape string

// The shapes. A, B and C are their sizes; the height C runs along the body's
// axis from the face it stands on.
const (
	Box    Shape = "box"  // A by B, C high
	Rod    Shape = "rod"  // diameter A, C high
	Tube   Shape = "tube" // outside A, bore B, C high
	Hex    Shape = "hex"  // A across flats, C high
	Cone   Shape = "cone" // diameter A below, B above (none for a point), C high
	Dome   Shape = "dome" // half a ball of diameter A standing on its flat
	Ball   Shape = "ball" // diameter A, placed by its middle
	Pyr    Shape = "pyramid"
	Gable  Shape = "gable"  // A by B, a ridge along B over the middle, C high
	Ramp   Shape = "ramp"   // A by B, C high at the low end of A, nothing at the other
	RampR  Shape = "rampr"  // the same, high at the far end of A
	Half   Shape = "half"   // half a rod of diameter A, B long, lying on its flat
	Ring   Shape = "ring"   // round bar of diameter B bent to a mean diameter A, placed by its middle
	Fillet Shape = "fillet" // inside corner of radius A, B long, from the corner along A and upwards
)

// need says which of B and C a shape asks for.
type need struct {
	shape Shape
	label string
	b, c  bool
	open  bool // B may be left out
}

var needs = [...]need{
	{Box, "Box: A x B, C high", true, true, false},
	{Rod, "Rod: diameter A, C high", false, true, false},
	{Tube, "Tube: outside A, bore B, C high", true, true, false},
	{Hex, "Hexagon: A across flats, C high", false, true, false},
	{Cone, "Cone: diameter A below, B above, C high", true, true, true},
	{Dome, "Dome: half a ball, diameter A", false, false, false},
	{Ball, "Ball: diameter A, placed by its middle", false, false, false},
	{Pyr, "Pyramid: A x B, C high", true, true, false},
	{Gable, "Gable: A x B, ridge along B, C high", true, true, false},
	{Ramp, "Ramp: A x B, C high at the low end of A", true, true, false},
	{RampR, "Ramp: A x B, C high at the far end of A", true, true, false},
	{Half, "Half round: diameter A, B long, on its flat", true, false, false},
	{Ring, "Ring: mean diameter A, bar B, placed by its middle", true, false, false},
	{Fillet, "Fillet: radius A, B long", true, false, false},
}

// Axis is the direction a body's height runs in from the face it stands on.
type Axis string

// Body is one solid, or one void cut out of solids. Lengths are in inches, the
// density in pounds per cubic inch.
type Body struct {
	Shape   Shape
	A, B, C float64
	X, Y, Z float64 // middle of the face it stands on; of a ball or ring its middle; of a fillet its corner
	Axis    Axis    // "z" where empty; A and B run along the other two axes in the order x, y, z
	Void    bool
	Density float64
}

// local is a body in its own frame: volume, centre and extent along A, B and
// the height.
type local struct {
	volume float64
	centre [3]float64
	lo, hi [3]float64
}

// local computes a body by the formulas of solids (Machinery's Handbook, 31st ed., volumes of
// solids and center of gravity).
func (s Body) local() local {
	a, b, c := s.A, s.B, s.C
	l := local{lo: [3]float64{-a / 2, -b / 2, 0}, hi: [3]float64{a / 2, b / 2, c}}
	round := func() { l.lo[1], l.hi[1] = -a/2, a/2 }
	switch s.Shape {
	case Box:
		l.volume, l.centre[2] = a*b*c, c/2
	case Rod:
		l.volume, l.centre[2] = math.Pi/4*a*a*c, c/2
		round()
	case Tube:
		l.volume, l.centre[2] = math.Pi/4*float64((a-b)*(a+b))*c, c/2
		round()
	case Hex:
		l.volume, l.centre[2] = math.Sqrt(3)/2*a*a*c, c/2
		l.lo[0], l.hi[0] = -a/math.Sqrt(3), a/math.Sqrt(3)
		round()
	case Cone:
		sum := float64(a*a) + float64(a*b) + float64(b*b)
		l.volume = math.Pi / 12 * c * sum
		l.centre[2] = c * (float64(a*a) + float64(2*a*b) + float64(3*b*b)) / (4 * sum)
		w := max(a, b) / 2
		l.lo, l.hi = [3]float64{-w, -w, 0}, [3]float64{w, w, c}
	case Dome:
		l.volume, l.centre[2] = math.Pi/12*a*a*a, 3*a/16
		round()
		l.hi[2] = a / 2
	case Ball:
		l.volume = math.Pi / 6 * a * a * a
		round()
		l.lo[2], l.hi[2] = -a/2, a/2
	case Pyr:
		l.volume, l.centre[2] = a*b*c/3, c/4
	case Gable:
		l.volume, l.centre[2] = a*b*c/2, c/3
	case Ramp:
		l.volume, l.centre[2], l.centre[0] = a*b*c/2, c/3, -a/6
	case RampR:
		l.volume, l.centre[2], l.centre[0] = a*b*c/2, c/3, a/6
	case Half:
		l.volume, l.centre[2] = math.Pi/8*a*a*b, 2*a/(3*math.Pi)
		l.hi[2] = a / 2
	case Ring:
		l.volume = math.Pi * math.Pi / 4 * a * b * b
		w := (a + b) / 2
		l.lo, l.hi = [3]float64{-w, -w, -b / 2}, [3]float64{w, w, b / 2}
	case Fillet:
		l.volume = (1 - math.Pi/4) * a * a * b
		off := a * (10 - 3*math.Pi) / (3 * (4 - math.Pi))
		l.centre[0], l.centre[2] = off, off
		l.lo[0], l.hi[0], l.hi[2] = 0, a, a
	}
	return l
}

// place maps a point from the body's own frame to the part's axes.
func (s Body) place(p [3]float64) [3]float64 {
	axes, sense := s.frame()
	out := [3]float64{s.X, s.Y, s.Z}
	p[2] *= sense
	for i, a := range axes {
		out[a] += p[i]
	}
	return out
}

// Placed is a computed body in the part's axes: what it adds to those before it or takes out of
// them. A void's volume is positive.
type Placed struct {
	Volume   float64 // cubic inches
	Weight   float64 // pounds
	Centre   [3]float64
	Low, Top [3]float64 // the box it lies in
	Own      float64    // volume of the whole body
}

func (s Body) placed() Placed {
	l := s.local()
	p := Placed{Volume: l.volume, Own: l.volume, Weight: l.volume * s.Density, Centre: s.place(l.centre)}
	q, r := s.place(l.lo), s.place(l.hi)
	for i := range 3 {
		p.Low[i], p.Top[i] = min(q[i], r[i]), max(q[i], r[i])
	}
	return p
}

// Total is the whole part.
type Total struct {
	Volume, Weight float64 // in3, lb
	Centre         [3]float64
	Low, Top       [3]float64 // box round all solids
	Bodies         []Placed
	Idle           []int // rows, counted from 0, that add or take off nothing
	Partly         []int // rows of which a part adds or takes off nothing
}

// meets lists the rows before i whose boxes overlap its own.
func meets(placed []Placed, i int) (out []int) {
	const hair = 1e-6
	v := &placed[i]
	for j := range i {
		s, touch := &placed[j], true
		for d := range 3 {
			touch = touch && v.Low[d] < s.Top[d]-hair && s.Low[d] < v.Top[d]-hair
		}
		if touch {
			out = append(out, j)
		}
	}
	return out
}

// within says whether row i lies in the box of row j.
func within(placed []Placed, i, j int) bool {
	const hair = 1e-6
	in := true
	for d := range 3 {
		in = in && placed[i].Low[d] >= placed[j].Low[d]-hair && placed[i].Top[d] <= placed[j].Top[d]+hair
	}
	return in
}

// Weigh builds the part up row by row. A solid adds the metal that is not there yet, a void takes
// out what is there of the rows before it:
//
//	W = sum(density x volume);  centre = sum(W x centre of each) / W
//
// It refuses a part that would weigh nothing. The field of the fault is parts.
func Weigh(bodies []Body) (Total, *worksheet.InputError) {
	var t Total
	var moment [3]float64
	solid, pairs := false, 0
	for _, b := range bodies {
		t.Bodies = append(t.Bodies, b.placed())
	}
	for i := range bodies {
		pairs += len(meets(t.Bodies, i))
	}
	lines := 300 // across a body; many bodies in one place take their time
	if pairs > 8 {
		lines = worksheet.Either(pairs > 60, 60, 120)
	}
	for i, b := range bodies {
		t.Bodies[i].settle(bodies, t.Bodies, i, lines)
		p := &t.Bodies[i]
		sign := 1.0
		if b.Void {
			sign = -1
		} else {
			for k := range 3 {
				if !solid {
					t.Low[k], t.Top[k] = p.Low[k], p.Top[k]
				}
				t.Low[k], t.Top[k] = min(t.Low[k], p.Low[k]), max(t.Top[k], p.Top[k])
			}
			solid = true
		}
		t.Volume += float64(sign * p.Volume)
		t.Weight += float64(sign * p.Weight)
		for k := range 3 {
			moment[k] += float64(sign * float64(p.Weight*p.Centre[k]))
		}
		switch {
		case p.Volume < 1e-6*p.Own:
			t.Idle = append(t.Idle, i)
		case p.Volume < (1-1e-4)*p.Own:
			t.Partly = append(t.Partly, i)
		}
	}
	if !solid {
		return t, worksheet.Refuse("solid", "there is no solid among them. Add the body the holes are cut from.")
	}
	if most := t.Bodies[0].Weight; !(t.Weight > 1e-6*most) || !(t.Volume > 0) {
		return t, worksheet.Refuse("parts", "the holes take away all that the solids bring. Check the sizes and which rows "+
			"are cut.")
	}
	for i := range 3 {
		t.Centre[i] = moment[i] / t.Weight
	}
	return t, nil
}

// settle works out what row i adds or takes off, where it meets rows before it.
func (p *Placed) settle(bodies []Body, placed []Placed, i int, lines int) {
	at := meets(placed, i)
	void := bodies[i].Void
	switch {
	case len(at) == 0 && void:
		p.Volume, p.Weight = 0, 0
		return
	case len(at) == 0:
		return
	case len(at) == 1 && void && bodies[at[0]].Shape == Box && !bodies[at[0]].Void && within(placed, i, at[0]):
		p.Weight = p.Volume * bodies[at[0]].Density
		return
	}
	d := sliced(bodies, placed, i, at, lines)
	if !(d.own > 0) {
		return
	}
	p.Volume, p.Weight = float64(d.volume/d.own*p.Own), float64(d.weight/d.own*p.Own)
	if !(d.weight > 0) {
		return
	}
	for k := range 3 {
		if c, mid := d.moment[k]/d.weight, d.mid[k]/d.own; math.Abs(c-mid) > 1e-9*(p.Top[k]-p.Low[k]) {
			p.Centre[k] = c
		}
	}
}

// Metal is a material with its density in grams per cubic centimetre.
type Metal struct {
	Key, Label string
	Grams      float64
}

// Metals lists the materials known, by Machinery's Handbook, 31st ed., densities
// of metals and alloys, middle of the range it gives.
var Metals = [...]Metal{
	{"grey", "Grey iron", 7.2}, {"ductile", "Ductile iron", 7.1}, {"steel", "Steel", 7.85}, {"stainless", "Stainless steel", 8.0},
	{"aluminium", "Aluminium", 2.71}, {"brass", "Brass", 8.5}, {"bronze", "Bronze", 8.8}, {"albronze", "Aluminium bronze", 7.6},
	{"copper", "Copper", 8.94}, {"lead", "Lead", 11.34}, {"zinc", "Zinc alloy", 6.7}, {"magnesium", "Magnesium", 1.8},
}

// poundsPerInch3 turns grams per cubic centimetre into pounds per cubic inch,
// exactly.
const poundsPerInch3 = 16.387064 / 453.59237

// Density gives a metal's density in pounds per cubic inch.
func Density(key string) (float64, bool) {
	m, ok := units.First(Metals[:], func(m Metal) bool { return m.Key == key })
	return m.Grams * poundsPerInch3, ok
}
