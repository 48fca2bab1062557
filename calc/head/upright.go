package head

import (
	"math"
	"slices"

	"datumbook/calc/align"
	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

// Upright is a sweep up a square or a plate. Lengths are in inches; a larger
// reading means nearer the indicator.
type Upright struct {
	H      []float64 // heights
	A      []float64 // readings as set up first
	B      []float64 // readings after the reversal; nil without one
	Noise  align.Noise
	Allow  float64 // out of square over the height that is good enough
	Piece  bool    // the reversal turned the indicator to the other side
	Square float64 // known error of the square, in/in; read where B is nil
	Within float64 // what the square is certified within besides, in/in; read where B is nil
}

// Stand is the result of the sweep. Slopes are in/in, + where the top is nearer the indicator of
// the first set-up.
type Stand struct {
	align.Lean // of what was asked, over the height
	Trouble    *align.Trouble
	Machine    float64 // slope of the slide that was moved, or of the plate against a known square
	Object     float64 // slope of the square or piece
	First      float64 // slope of the first readings
	Second     float64 // slope of the second readings
	Height     float64
	Least      [2]float64 // machine and object by least squares, to compare
	Straight   float64    // between the closest parallel lines that hold all readings

	counted bool // the heights are not known, only their order
}

// Reverse separates the two errors. With the square turned in front of the same
// indicator its own error changes sign: machine (a + b)/2, square (a - b)/2. With
// the piece and the indicator's side both changed the machine's error changes
// sign: piece (a + b)/2, machine (a - b)/2. Without a reversal the square's known
// error is taken off, and what it is certified within is added to the doubt.
//
// Slopes are those of the lines through the ends; those by least squares are only to compare.
func Reverse(u Upright) (Stand, *worksheet.InputError) {
	var s Stand
	s.Height = slices.Max(u.H) - slices.Min(u.H)
	if s.Height < .1 {
		return s, worksheet.Refuse("readings", "Readings: the heights span less than 0.1 in. Read over more of the height.")
	}
	n := u.Noise
	var least [2]float64
	slope := func(k int, y []float64) (float64, []float64, []int) {
		if line, err := fitting.FitLine(u.H, y, nil); err == nil {
			least[k] = line.Slope
		}
		places := align.Gather(u.H, y)
		n.Take(places)
		if t := n.Trouble(u.H, y, places, n.Return()); t != nil && s.Trouble == nil {
			s.Trouble = t
		}
		s.Straight = max(s.Straight, align.ShapeOf(places, n.Grad).Zone)
		low, top := places[0], places[len(places)-1]
		return (top.Mid() - low.Mid()) / s.Height, []float64{1, 1}, []int{low.N, top.N}
	}
	a, squares, counts := slope(0, u.A)
	s.First, s.Object, s.Machine = a, u.Square, a-u.Square
	if u.B == nil {
		s.Least = [2]float64{least[0] - u.Square, u.Square}
		s.Lean = n.Judge(s.Machine*s.Height, u.Allow, squares, counts).Beside(float64(u.Within * s.Height))
		return s, nil
	}
	b, _, more := slope(1, u.B)
	s.Second, s.Machine, s.Object = b, (a+b)/2, (a-b)/2
	s.Least = [2]float64{(least[0] + least[1]) / 2, (least[0] - least[1]) / 2}
	if u.Piece {
		s.Machine, s.Object = s.Object, s.Machine
		s.Least[0], s.Least[1] = s.Least[1], s.Least[0]
	}
	out := worksheet.Either(u.Piece, s.Object, s.Machine)
	s.Lean = n.Judge(out*s.Height, u.Allow, []float64{.25, .25, .25, .25}, append(counts, more...))
	return s, nil
}

// Barred is a test bar in a spindle, read along its length in one plane with
// the spindle at two positions half a turn apart. Lengths are in inches.
type Barred struct {
	Z, A, B []float64 // distances from the nose, readings at 0 and at 180 degrees
	Noise   align.Noise
	Allow   float64 // out of parallel over the length that is good enough
}

// Pointing is the spindle's direction, and the bar's run-out apart from it.
type Pointing struct {
	align.Lean // over the length
	Trouble    *align.Trouble
	Slope      float64 // of the spindle's axis against the slide, in/in, + nearer the indicator farther out
	Length     float64
	Axis       []float64  // by reading: mean of the pair, the axis
	Offset     []float64  // by reading: half the difference, the bar's axis off the spindle's
	TIR        float64    // greatest full run-out in this plane
	Least      [2]float64 // spindle and bar by least squares, to compare
	BarSlope   float64    // bar's axis against the spindle's, in/in
}

// Point separates them: the mean of each pair is the spindle's axis, whatever the bar's run-out,
// and half the difference is the bar's.
//
// Source: ISO 230-1, tests of an axis of rotation with a mandrel.
func Point(b Barred) (Pointing, *worksheet.InputError) {
	var p Pointing
	p.Length = slices.Max(b.Z) - slices.Min(b.Z)
	if p.Length < .1 {
		return p, worksheet.Refuse("readings", "Readings: the places along the bar span less than 0.1 in. Read near the nose and near the end.")
	}
	for i := range b.Z {
		p.Axis = append(p.Axis, (b.A[i]+b.B[i])/2)
		p.Offset = append(p.Offset, (b.A[i]-b.B[i])/2)
		p.TIR = max(p.TIR, math.Abs(b.A[i]-b.B[i]))
	}
	s, f := Reverse(Upright{H: b.Z, A: b.A, B: b.B, Noise: b.Noise, Allow: b.Allow})
	p.Lean, p.Trouble, p.Slope, p.BarSlope, p.Least = s.Lean, s.Trouble, s.Machine, s.Object, s.Least
	return p, f
}
