// Package locate answers: where is it?
//
// Edges, middles and centres come from touches of a finder of known diameter; Skew maps the part's
// own coordinates to the machine's; patterns of holes are given as coordinates for a readout and as
// turns and divisions of the handwheels. Coordinates count to the right and to the back, as the
// spindle stands over the part.
package locate

import (
	"math"

	"datumbook/calc/align"
	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

const degree = math.Pi / 180

// Side is where the finder stands when it touches.
type Side string

// The sides of a part or of a wall.
const (
	Left  Side = "left"
	Right Side = "right"
	Front Side = "front"
	Back  Side = "back"
)

// Towards is +1 where the edge lies in the direction of counting from the
// finder, else -1.
func (s Side) Towards() float64 {
	return worksheet.Either(s == Left || s == Front, 1.0, -1)
}

// Edge is an edge that was touched. Lengths are in inches.
type Edge struct {
	Offset float64 // half the tip and the spacer
	Set    float64 // what the readout must show while touching
	Move   float64 // from touching to standing over the edge, signed
	At     float64 // where the edge is, by the readings
	Sure   float64 // half width of At at about 95 %; 0 without two readings
	Spread float64 // most less least reading
	HasAt  bool
}

// FindEdge computes an edge. It lies half the tip's diameter, plus any spacer, from the spindle's
// centre.
func FindEdge(side Side, tip, gap, want float64, reads []float64) (Edge, *worksheet.InputError) {
	way := side.Towards()
	e := Edge{Offset: float64(tip*.5) + gap}
	e.Move = float64(way * e.Offset)
	e.Set = want - e.Move
	if len(reads) == 0 {
		return e, nil
	}
	m, err := fitting.Summarise(reads)
	if err != nil {
		return e, worksheet.Refuse("reads", "Readings: "+err.Error()+".")
	}
	e.HasAt = true
	e.At = m.Mean + e.Move
	low, high := reads[0], reads[0]
	for _, r := range reads {
		low, high = min(low, r), max(high, r)
	}
	e.Spread = high - low
	if n := len(reads); n > 1 {
		e.Sure = align.Needle{SD: m.SD, Free: n - 1}.Sure(1 / math.Sqrt(float64(n)))
	}
	return e, nil
}

// Pair says how two edges were touched.
type Pair string

// The ways two edges are touched.
const (
	Outside Pair = "outside" // from both sides of a part or boss
	Inside  Pair = "inside"  // both walls of a slot
	Low     Pair = "low"     // like edges, both from the left or the front
	High    Pair = "high"    // like edges, both from the right or the back
)

// Middle is what lies between two touches. Lengths are in inches.
type Middle struct {
	At    float64 // middle of the two edges
	Width float64 // from edge to edge
	Move  float64 // from the second touch to the middle, signed
	Half  float64 // what the readout shows at the second touch when the middle is zero
}

// FindMiddle computes it: for two edges touched from opposite sides the tip cancels, (a + b)/2; the
// width is |b - a| less the tip outside and plus the tip inside. Like edges are both half a tip
// further on, and their distance is |b - a|.
func FindMiddle(p Pair, a, b, tip float64) (Middle, *worksheet.InputError) {
	m := Middle{At: float64((a + b) * .5), Width: math.Abs(b - a)}
	switch p {
	case Outside:
		m.Width -= tip
	case Inside:
		m.Width += tip
	case Low:
		m.At += float64(tip * .5)
	case High:
		m.At -= float64(tip * .5)
	}
	if m.Width <= 0 {
		return m, worksheet.Refuse("b", "Second reading: the two touches are closer together than the tip is thick. Check the readings, or choose inside for a slot.")
	}
	m.Move = m.At - b
	m.Half = -m.Move
	return m, nil
}

// Bore is a bore or boss found by touches. Lengths are in inches.
type Bore struct {
	fitting.Circle
	Dia    float64 // of the bore or boss
	Form   float64 // between two circles that hold all touches; 0 with three
	Sure   float64 // half width of the centre at about 95 %, in the worst direction
	Arc    float64 // degrees spanned by the touches
	Needle align.Needle
}

// FindBore fits a circle to where the spindle stood at each touch, by least
// squares of the distances, and takes the tip off: a bore is larger than the
// fitted circle by the tip, a boss smaller.
//
// repeat is how well a touch repeats, as a full width.
func FindBore(touches []fitting.Point, inside bool, tip, repeat float64) (Bore, *worksheet.InputError) {
	c, err := fitting.FitCircle(touches)
	if err != nil {
		return Bore{}, worksheet.Refuse("touches", "Touches: "+err.Error()+". They must lie on a curve, spread as far round as can be reached.")
	}
	b := Bore{Circle: c, Dia: float64(2*c.R) - tip, Arc: c.Arc / degree}
	if inside {
		b.Dia = float64(2*c.R) + tip
	}
	if b.Dia <= 0 {
		return b, worksheet.Refuse("tip", "Tip: it is larger than the circle of the touches. Check it, or choose inside for a bore.")
	}
	if len(touches) > 3 {
		b.Form = c.Form()
	}
	b.Needle = align.Needle{Grad: repeat, SD: c.SD, Free: c.Free}
	b.Sure = b.Needle.Sure(c.CentreUnit)
	return b, nil
}
