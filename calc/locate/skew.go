package locate

import (
	"math"

	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

// Feature is a place known on the part and found on the machine. Lengths are in
// inches.
type Feature struct {
	Part, Machine fitting.Point
}

// Frame maps the part's coordinates to the machine's.
type Frame struct {
	fitting.Rigid
	Shift   fitting.Point // added to the fit; zero unless the first feature is held
	Angle   float64       // of the part's X to the machine's, degrees, counter-clockwise
	Stretch float64       // machine's distances over the part's, less 1
	Length  float64       // between the first and the last feature, on the part
}

// FindFrame fits the turn and the shift that lay the features on what was found,
// without stretching. With two features the middle between them agrees and what
// the distances differ by is shared.
func FindFrame(f []Feature) (Frame, *worksheet.InputError) {
	part, machine := make([]fitting.Point, len(f)), make([]fitting.Point, len(f))
	for i := range f {
		part[i], machine[i] = f[i].Part, f[i].Machine
	}
	r, err := fitting.FitRigid(part, machine)
	if err != nil {
		return Frame{}, worksheet.Refuse("features", "Features: "+err.Error()+". Two features must lie apart, on the part and on the machine.")
	}
	a, b := part[0], part[len(part)-1]
	dx, dy := b.X-a.X, b.Y-a.Y
	return Frame{r, fitting.Point{}, r.Angle() / degree, r.Stretch - 1, math.Sqrt(float64(dx*dx) + float64(dy*dy))}, nil
}

// HoldFirst shifts the frame so that the first feature lies exactly where it was
// found, and the whole misfit goes to the others.
func (f *Frame) HoldFirst() { f.Shift = f.Misses[0] }

// Place returns a part position in machine coordinates.
func (f Frame) Place(p fitting.Point) fitting.Point {
	m := f.Map(p)
	return fitting.Point{X: m.X + f.Shift.X, Y: m.Y + f.Shift.Y}
}

// AlongEdge makes two touches along an edge into features: the part's zero is at
// the first, its X runs through the second.
func AlongEdge(p, q fitting.Point) []Feature {
	dx, dy := q.X-p.X, q.Y-p.Y
	return []Feature{{fitting.Point{}, p}, {fitting.Point{X: math.Sqrt(float64(dx*dx) + float64(dy*dy))}, q}}
}
