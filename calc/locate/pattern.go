package locate

import (
	"math"

	"datumbook/calc/fitting"
)

// Circle is a bolt circle. Lengths are in inches, angles in degrees,
// counter-clockwise from the right.
type Circle struct {
	X, Y      float64 // centre
	Dia       float64
	Holes     int
	First     float64 // angle of hole 1
	Spread    float64 // from the first hole to the last; 0 for all round
	Clockwise bool
}

// Step is the angle from hole to hole: N gaps all round, N - 1 on an arc.
func (c Circle) Step() float64 {
	switch {
	case c.Spread == 0:
		return 360 / float64(c.Holes)
	case c.Holes < 2:
		return 0
	}
	return c.Spread / float64(c.Holes-1)
}

// Angle is the angle of hole i, counting from 0; up to 360 degrees.
func (c Circle) Angle(i int) float64 {
	way := 1.0
	if c.Clockwise {
		way = -1
	}
	a := math.Mod(c.First+float64(way*float64(float64(i)*c.Step())), 360)
	if a < 0 {
		a += 360
	}
	return a
}

// Chord is the straight distance between neighbours, D sin(step/2).
func (c Circle) Chord() float64 {
	half := float64(c.Step() * (degree / 2))
	return math.Abs(c.Dia * math.Sin(half))
}

// Places gives the holes in order.
func (c Circle) Places() []fitting.Point {
	out := make([]fitting.Point, c.Holes)
	for i := range out {
		cos, sin := cosSin(c.Angle(i))
		out[i] = fitting.Point{X: c.X + float64(float64(c.Dia*.5)*cos), Y: c.Y + float64(float64(c.Dia*.5)*sin)}
	}
	return out
}

// cosSin gives cosine and sine of an angle in degrees, exact at quarter turns.
func cosSin(deg float64) (cos, sin float64) {
	switch math.Mod(deg, 360) {
	case 0:
		return 1, 0
	case 90, -270:
		return 0, 1
	case 180, -180:
		return -1, 0
	case 270, -90:
		return 0, -1
	}
	rad := float64(deg * degree)
	return math.Cos(rad), math.Sin(rad)
}

// place turns (x, y) by an angle and shifts it.
func place(x, y, cos, sin, dx, dy float64) fitting.Point {
	return fitting.Point{
		X: dx + (float64(x*cos) - float64(y*sin)),
		Y: dy + (float64(x*sin) + float64(y*cos)),
	}
}

// Grid is rows of holes; a row is a grid of one. Lengths are in inches.
type Grid struct {
	X, Y           float64 // where hole 1, or the middle, stands
	Columns, Rows  int
	Across, Up     float64 // from column to column, from row to row
	Angle          float64 // of the rows, degrees
	Middle         bool    // X, Y is the middle
	BackAndForward bool    // every second row backwards, to shorten the path
}

// Places gives the holes, row by row.
func (g Grid) Places() []fitting.Point {
	cos, sin := cosSin(g.Angle)
	x0, y0 := 0.0, 0.0
	if g.Middle {
		x0 = -float64(g.Across * float64(g.Columns-1) * .5)
		y0 = -float64(g.Up * float64(g.Rows-1) * .5)
	}
	var out []fitting.Point
	for r := range g.Rows {
		for c := range g.Columns {
			if g.BackAndForward && r%2 == 1 {
				c = g.Columns - 1 - c
			}
			x, y := x0+float64(float64(c)*g.Across), y0+float64(float64(r)*g.Up)
			out = append(out, place(x, y, cos, sin, g.X, g.Y))
		}
	}
	return out
}

// CentreLine is the axis of a symmetric pattern. Lengths are in inches.
type CentreLine struct {
	X, Y  float64 // a point of it, from which Along is counted
	Angle float64 // degrees
}

// Couple is two holes across the line, or one on it where Across is 0.
type Couple struct{ Along, Across float64 }

// Places gives for each couple the hole on the left of the line, looking along
// it, and the one on the right.
func (l CentreLine) Places(couples []Couple) []fitting.Point {
	cos, sin := cosSin(l.Angle)
	var out []fitting.Point
	for _, c := range couples {
		half := float64(c.Across * .5)
		out = append(out, place(c.Along, half, cos, sin, l.X, l.Y))
		if half != 0 {
			out = append(out, place(c.Along, -half, cos, sin, l.X, l.Y))
		}
	}
	return out
}

// Mirror is a hole's place mirrored at the line.
func (l CentreLine) Mirror(p fitting.Point) fitting.Point {
	cos, sin := cosSin(l.Angle)
	dx, dy := p.X-l.X, p.Y-l.Y
	along := float64(dx*cos) + float64(dy*sin)
	off := float64(dy*cos) - float64(dx*sin)
	return place(along, -off, cos, sin, l.X, l.Y)
}
