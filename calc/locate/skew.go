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

// OffTip gives where an edge lies that a finder of a diameter touched in two places, standing on one
// side of it: half the diameter on, square to the edge. ok is false where the edge runs toward that
// side, so that the finder cannot have stood there.
func OffTip(p, q fitting.Point, side Side, tip float64) (from, to fitting.Point, ok bool) {
	dx, dy := q.X-p.X, q.Y-p.Y
	long := math.Sqrt(float64(dx*dx) + float64(dy*dy))
	if long == 0 {
		return p, q, true
	}
	nx, ny := -dy/long, dx/long
	toward := ny // of the two ways square to the edge, the one that leads from the finder to it
	if side == Left || side == Right {
		toward = nx
	}
	by := math.Copysign(float64(tip*.5), toward*side.Towards())
	nx, ny = float64(nx*by), float64(ny*by)
	return fitting.Point{X: p.X + nx, Y: p.Y + ny}, fitting.Point{X: q.X + nx, Y: q.Y + ny}, math.Abs(toward) > .5
}

// AlongEdge makes two touches along an edge into features: the part's zero is at
// the first, its X runs through the second.
func AlongEdge(p, q fitting.Point) []Feature {
	dx, dy := q.X-p.X, q.Y-p.Y
	return []Feature{{fitting.Point{}, p}, {fitting.Point{X: math.Sqrt(float64(dx*dx) + float64(dy*dy))}, q}}
}
