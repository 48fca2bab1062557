// Package align answers: is it aligned, and what aligns it?
//
// Tram judges indicator readings along an axis: the lean by its ends, the shape by the closest
// parallel lines, the doubt by the needle alone; and says which end to move. Shims finds the lift
// under an edge or under feet and builds it from the owned leaves. Lever corrects a lever indicator
// for its stylus angle.
package align

import (
	"math"

	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

// Run is a set of readings along an axis, in the order they were taken. Lengths are in inches; a
// larger reading means that the surface is nearer the indicator.
type Run struct {
	X, Y       []float64 // stations and readings; a station may come more than once
	Noise      Noise
	Pivot, Tap float64 // stations of the pivot and of the point that is moved
	Allow      float64 // lean over the stations that is good enough
}

// Lie is how a surface lies. Lengths are in inches.
type Lie struct {
	Lean
	Trouble     *Trouble // why there is no judgement
	First, Last float64  // least x, greatest x
	Slope       float64  // in/in, + rises with x: of the line through the ends
	Least       float64  // the slope by least squares, to compare
	Places      []Place
	Shape       Shape
	ShapeSure   float64 // half width of the shape's Off at about 95 %
	Repeat      float64 // most that repeated readings of a station differ
	Repeated    bool
	Move        float64 // what the tapping point must move; + towards the indicator
	Aim         float64 // what the needle reads at the tapping point when done

	counted bool   // the places have no distances: they are counted
	way     string // the word for the move
}

// Judge says how the surface lies.
//
// Method: lean from the line through the ends (ISO 230-1, end-point line, from memory),
// straightness by the minimum zone (ISO 12780-1), doubt from repeats and graduation alone: what a
// face does between its ends is no noise. The line by least squares (JCGM 100:2008 H.3) is biased
// by uneven stations on a bowed face, and is only shown to compare.
func Judge(r Run) (Lie, *worksheet.InputError) {
	var l Lie
	line, err := fitting.FitLine(r.X, r.Y, nil)
	if err != nil {
		return l, worksheet.Refuse("readings", "Readings: "+err.Error()+".")
	}
	l.Least = line.Slope
	l.Places = Gather(r.X, r.Y)
	first, last := l.Places[0], l.Places[len(l.Places)-1]
	l.First, l.Last = first.X, last.X
	span := l.Last - l.First
	if span < .1 {
		return l, worksheet.Refuse("readings", "Readings: the stations span less than 0.1 in. Take them further apart; tilt read over a short length says nothing of a long one.")
	}
	if math.Abs(r.Tap-r.Pivot) < .1 {
		return l, worksheet.Refuse("tap", "Move at: it is at the pivot, where moving turns nothing. Choose a point at least 0.1 in away from the pivot.")
	}
	n := r.Noise
	n.Take(l.Places)
	for _, p := range l.Places {
		l.Repeated = l.Repeated || p.N > 1
		l.Repeat = max(l.Repeat, p.High-p.Low)
	}
	l.Trouble = n.Trouble(r.X, r.Y, l.Places, max(n.Return(), 1.1*n.Grad))
	l.Lean = n.Ends(first, last, r.Allow)
	l.Slope = l.T / span
	l.Shape = ShapeOf(l.Places, n.Grad)
	a := (l.Shape.At.X - l.First) / span
	squares := float64((1-a)*(1-a)) + float64(a*a)
	l.ShapeSure = n.Doubt(1/float64(l.Shape.At.N)+float64((1-a)*(1-a)/float64(first.N))+float64(a*a/float64(last.N)),
		1+squares)
	l.Move = -float64(l.Slope * (r.Tap - r.Pivot))
	l.Aim = l.at(r.Pivot)
	return l, nil
}

// at is the height of the line through the ends.
func (l *Lie) at(x float64) float64 { return along(l.Places[0], l.Places[len(l.Places)-1], x) }
