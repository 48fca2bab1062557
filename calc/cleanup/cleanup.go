// Package cleanup answers one question: does the rough casting clean up?
//
// The finished part is moved inside the touched-off rough to maximise the least stock. If that is
// negative, no move cleans it up, and the faces short of stock are named.
package cleanup

import "math"

// Kind is what a feature of the finished part is.
type Kind uint8

// The kinds. Face, Bore and Boss are machined; Wall and Ring are the metal to keep between a
// machined feature and an as-cast surface.
const (
	Face Kind = iota // a plane: stock stands out along its normal
	Bore             // a hole: stock stands inside its radius
	Boss             // a round: stock stands outside its radius
	Wall             // behind a plane: touches lie on the as-cast side
	Ring             // around a bore: touches lie on the as-cast outside
)

// Feature is one surface of the finished part. Lengths are in one unit.
type Feature struct {
	Name   string
	Kind   Kind
	At     [3]float64 // a point of the plane, or of the axis
	Dir    [3]float64 // unit: outward normal of the plane, or along the axis
	Radius float64    // of a bore or boss
	Need   float64    // least stock to be left for the tool; least wall for Wall and Ring
}

// keep reports whether the feature is metal to keep.
func (f *Feature) keep() bool { return f.Kind == Wall || f.Kind == Ring }

// Touch is a point found on the rough.
type Touch struct {
	Feature int
	P       [3]float64
}

// Ask is the input. Free lists which of the six motions are allowed: along X, Y, Z, and turned
// about X, Y, Z through Pivot.
type Ask struct {
	Features []Feature
	Touches  []Touch
	Free     [6]bool
	Pivot    [3]float64
	MaxTurn  float64 // most turn about each axis, rad
	MaxShift float64 // most shift along each axis
}

// Move is how the finished part is moved: a point p of it comes to
// Turn (p - Pivot) + Pivot + Shift.
type Move struct {
	Turn  [3][3]float64
	Pivot [3]float64
	Shift [3]float64
	Angle [3]float64 // the turn as a vector, rad: along its axis, as long as the angle
}

// still is the identity move.
func still(pivot [3]float64) Move {
	return Move{Turn: [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, Pivot: pivot}
}

// Map returns where a point of the finished part lies in the rough.
func (m Move) Map(p [3]float64) [3]float64 {
	q := apply(&m.Turn, sub(p, m.Pivot))
	return [3]float64{q[0] + m.Pivot[0] + m.Shift[0], q[1] + m.Pivot[1] + m.Shift[1], q[2] + m.Pivot[2] + m.Shift[2]}
}

// Back gives where a point of the rough lies on the finished part.
func (m Move) Back(p [3]float64) [3]float64 {
	q := sub(sub(p, m.Pivot), m.Shift)
	var t [3][3]float64
	for i := range 3 {
		for j := range 3 {
			t[i][j] = m.Turn[j][i]
		}
	}
	q = apply(&t, q)
	return [3]float64{q[0] + m.Pivot[0], q[1] + m.Pivot[1], q[2] + m.Pivot[2]}
}

// turns gives the turns about X, Y and Z in radians that are the move's one turn: the casting goes
// the other way about the machine's X, then Y, then Z, each as far as its own says, and arrives.
// Read in another order they do not arrive.
func (m Move) turns() [3]float64 {
	t := &m.Turn // the casting turns by its transpose, Rz Ry Rx
	return [3]float64{-math.Atan2(t[1][2], t[2][2]), math.Asin(max(-1, min(1, t[0][2]))), -math.Atan2(t[0][1], t[0][0])}
}

// swing gives how far the casting is turned on the table, radians counter-clockwise seen from
// above, after it was tipped about a level line.
func (m Move) swing(up [3]float64) float64 {
	l := math.Sqrt(dot(m.Angle, m.Angle))
	if l < 1e-300 {
		return 0
	}
	s, c := math.Sincos(l / 2)
	return -2 * math.Atan2(float64(s/l)*dot(m.Angle, up), c)
}

// Stock is the stock at one touch.
type Stock struct {
	Laid  float64 // before any move: stock, or wall
	Best  float64 // after it
	Spare float64 // Best less what is needed
	Share float64 // its part in the shortage, 0 to 1; above 0 only for limiting touches
	grad  [6]float64
	n     [3]float64
}

// Result is the best move and the stock it leaves.
type Result struct {
	Move   Move
	Stocks []Stock // one for each touch
	Least  float64 // least spare of the machined touches
	Most   float64 // most stock there
	Laid   float64 // least spare before any move
	Cleans bool    // every machined touch has its stock and every wall its metal
	Walls  float64 // least spare of the walls; infinite where there are none
	Limit  bool    // a limit on shift or turn is active
	Proved bool    // the shares prove that no small move gives more; otherwise only searched
	Rounds int     // linear programmes solved
}

func dot(a, b [3]float64) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}

func sub(a, b [3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func scale(a [3]float64, k float64) [3]float64 {
	return [3]float64{float64(a[0] * k), float64(a[1] * k), float64(a[2] * k)}
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{float64(a[1]*b[2]) - float64(a[2]*b[1]), float64(a[2]*b[0]) - float64(a[0]*b[2]), float64(a[0]*b[1]) - float64(a[1]*b[0])}
}

func apply(t *[3][3]float64, v [3]float64) [3]float64 {
	return [3]float64{dot(t[0], v), dot(t[1], v), dot(t[2], v)}
}

// rotation is the turn by the vector w, by Rodrigues' formula.
func rotation(w [3]float64) [3][3]float64 {
	a := math.Sqrt(dot(w, w))
	t := [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	if a < 1e-300 {
		return t
	}
	s, c := math.Sincos(a)
	u := scale(w, 1/a)
	for i := range 3 {
		e := [3]float64{}
		e[i] = 1
		x := cross(u, e) // the column of the turn: c e + s (u x e) + (1-c)(u.e) u
		for j := range 3 {
			t[j][i] = float64(c*e[j]) + float64(s*x[j]) + float64((1-c)*u[i]*u[j])
		}
	}
	return t
}

// measure returns a touch's stock (or wall) at a move, and its derivative by a further move of the
// part: d/d(shift), d/d(turn) about the moved pivot. The stock is n.(p - f) of a plane, R - r of a
// bore, r - R of a boss.
//
// n is the direction, on the part, in which the rough point gains stock.
func (a *Ask) measure(m *Move, t *Touch) (stock float64, grad [6]float64, n [3]float64) {
	f := &a.Features[t.Feature]
	q := sub(m.Back(t.P), f.At)
	n = f.Dir
	switch f.Kind {
	case Face:
		stock = dot(n, q)
	case Wall:
		stock, n = -dot(n, q), scale(n, -1)
	default:
		r := sub(q, scale(f.Dir, dot(f.Dir, q)))
		d := math.Sqrt(dot(r, r))
		if d < 1e-12 { // on the axis every direction is equal
			d, r = 0, square(f.Dir)
		} else {
			r = scale(r, 1/d)
		}
		stock, n = d-f.Radius, r
		if f.Kind == Bore {
			stock, n = -stock, scale(r, -1)
		}
	}
	return stock, m.slope(t, n), n
}

// slope is the stock's derivative by a further move, if it grows along n: moving the part by (d, w)
// moves the rough on it the other way.
func (m *Move) slope(t *Touch, n [3]float64) (grad [6]float64) {
	n = apply(&m.Turn, n)
	w := cross(sub(sub(t.P, m.Pivot), m.Shift), n)
	for k := range 3 {
		grad[k], grad[3+k] = -n[k], -w[k]
	}
	return grad
}

// square returns a unit vector perpendicular to u.
func square(u [3]float64) [3]float64 {
	e := [3]float64{1, 0, 0}
	if math.Abs(u[0]) > .8 {
		e = [3]float64{0, 1, 0}
	}
	v := cross(u, e)
	return scale(v, 1/math.Sqrt(dot(v, v)))
}
