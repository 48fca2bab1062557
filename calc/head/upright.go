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
	Grad   float64
	Allow  float64 // out of square over the height that is good enough
	Piece  bool    // the reversal turned the indicator to the other side
	Square float64 // known error of the square, in/in; read where B is nil
}

// Stand is the result of the sweep. Slopes are in/in, + where the top is nearer the indicator of
// the first set-up.
type Stand struct {
	State   align.State
	Machine float64 // slope of the slide that was moved, or of the plate against a known square
	Object  float64 // slope of the square or piece
	First   float64 // slope of the first readings
	Second  float64 // slope of the second readings
	Height  float64
	Out     float64 // out of square over the height, of what was asked
	Sure    float64 // half width of Out at about 95 %
	Spread  float64 // most less least off the fitted lines
	Needle  align.Needle
}

// Reverse separates the two errors. With the square turned in front of the same
// indicator its own error changes sign: machine (a + b)/2, square (a - b)/2. With
// the piece and the indicator's side both changed the machine's error changes
// sign: piece (a + b)/2, machine (a - b)/2. Without a reversal the square's known
// error is taken off.
//
// Lines are fitted by least squares, as squareness standards are evaluated.
func Reverse(u Upright) (Stand, *worksheet.InputError) {
	var s Stand
	s.Height = slices.Max(u.H) - slices.Min(u.H)
	if s.Height < .1 {
		return s, worksheet.Refuse("readings", "Readings: the heights span less than 0.1 in. Read over more of the height.")
	}
	a, err := fitting.FitLine(u.H, u.A, nil)
	if err != nil {
		return s, worksheet.Refuse("readings", "Readings: "+err.Error()+".")
	}
	s.First, s.Spread = a.Slope, a.Range()
	sd, free, unit := a.SD, a.Free, a.SlopeUnit
	if u.B == nil {
		s.Object = u.Square
		s.Machine = s.First - u.Square
	} else {
		b, err := fitting.FitLine(u.H, u.B, nil)
		if err != nil {
			return s, worksheet.Refuse("readings", "Readings: "+err.Error()+".")
		}
		s.Second, s.Spread = b.Slope, max(s.Spread, b.Range())
		mean, diff := (a.Slope+b.Slope)/2, (a.Slope-b.Slope)/2
		s.Machine, s.Object = mean, diff
		if u.Piece {
			s.Machine, s.Object = diff, mean
		}
		sd = math.Sqrt((float64(a.SD*a.SD) + float64(b.SD*b.SD)) / 2)
		free, unit = a.Free+b.Free, a.SlopeUnit/math.Sqrt2
	}
	s.Needle = align.Needle{Grad: u.Grad, SD: sd, Free: free}
	s.Out = s.Machine * s.Height
	if u.Piece && u.B != nil {
		s.Out = s.Object * s.Height
	}
	s.Sure = s.Needle.Sure(float64(unit * s.Height))
	s.State = align.StateOf(math.Abs(s.Out), s.Sure, u.Allow)
	return s, nil
}

// Barred is a test bar in a spindle, read along its length in one plane with
// the spindle at two positions half a turn apart. Lengths are in inches.
type Barred struct {
	Z, A, B []float64 // distances from the nose, readings at 0 and at 180 degrees
	Grad    float64
	Allow   float64 // out of parallel over the length that is good enough
}

// Pointing is the spindle's direction, and the bar's run-out apart from it.
type Pointing struct {
	State    align.State
	Slope    float64 // of the spindle's axis against the slide, in/in, + nearer the indicator farther out
	Length   float64
	Out      float64   // over the length, inches
	Sure     float64   // half width of Out at about 95 %
	Axis     []float64 // by reading: mean of the pair, the axis
	Offset   []float64 // by reading: half the difference, the bar's axis off the spindle's
	TIR      float64   // greatest full run-out in this plane
	BarSlope float64   // bar's axis against the spindle's, in/in
	Needle   align.Needle
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
	axis, err := fitting.FitLine(b.Z, p.Axis, nil)
	if err != nil {
		return p, worksheet.Refuse("readings", "Readings: "+err.Error()+".")
	}
	bar, err := fitting.FitLine(b.Z, p.Offset, nil)
	if err != nil {
		return p, worksheet.Refuse("readings", "Readings: "+err.Error()+".")
	}
	p.Slope, p.BarSlope = axis.Slope, bar.Slope
	p.Out = p.Slope * p.Length
	// A mean of two readings is surer by sqrt 2; its own scatter shows in SD.
	p.Needle = align.Needle{Grad: b.Grad / math.Sqrt2, SD: axis.SD, Free: axis.Free}
	p.Sure = p.Needle.Sure(float64(axis.SlopeUnit * p.Length))
	p.State = align.StateOf(math.Abs(p.Out), p.Sure, b.Allow)
	return p, nil
}
