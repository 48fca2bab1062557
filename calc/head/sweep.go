// Package head answers: is the head square, and what else is not?
//
// Sweep fits a once-per-turn wave to indicator readings round a circle and computes the spindle's
// tilt about both axes, apart from the surface's twist. Dish computes the hollow left by a tilted
// face mill, Square separates a plate's squareness from the square's by reversal, and Bar a
// spindle's direction from its bar's run-out.
package head

import (
	"math"
	"slices"

	"datumbook/calc/align"
	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

const degree = math.Pi / 180

// Sweep is a set of readings round a circle. Lengths are in inches; a larger
// reading means that the surface is nearer the spindle.
type Sweep struct {
	Angle []float64 // degrees from the right, counter-clockwise to the back
	Y     []float64 // readings
	Dia   float64   // diameter swept
	Grad  float64   // graduation of the indicator
	Allow float64   // lean over the diameter that is good enough
}

// Lean is the spindle's tilt to the surface swept.
type Lean struct {
	State       align.State
	X, Y        float64 // in/in: + where the right, the back, reads higher
	Total       float64 // in/in, sqrt(X^2 + Y^2)
	Direction   float64 // degrees, where the surface is nearest
	Over        float64 // lean over the diameter, inches
	Sure        float64 // half width of Over at about 95 %
	Mean        float64 // the reading common to all sides when square
	Closure     float64 // (right + left) - (back + front)
	HasClosure  bool
	Second      float64 // amplitude of the twice-per-turn wave, inches
	SecondDir   float64 // degrees, where that wave is highest, 0 to 180
	HasSecond   bool
	Spread      float64 // most less least reading off the once-per-turn wave
	Repeat      float64 // most that readings at one angle differ
	Repeated    bool
	Fitted, Off []float64 // by reading: on the once-per-turn wave, and reading less that
	Needle      align.Needle
}

// Judge fits r = C + A cos t + B sin t to the readings, A and B being the tilt
// times the radius; the twice-per-turn wave is fitted with it where five or more
// angles were read.
//
// Four readings at right angles give A = (R - L)/2, B = (back - front)/2: the
// tilt is the difference over the diameter, as ISO 230-1 reports squareness of a
// spindle to a plane.
func Judge(s Sweep) (Lean, *worksheet.InputError) {
	var l Lean
	t := make([]float64, len(s.Angle))
	for i, a := range s.Angle {
		t[i] = a * degree
	}
	first, err := fitting.FitHarmonic(t, s.Y, false)
	if err != nil {
		return l, worksheet.Refuse("readings", "Readings: "+err.Error()+". A sweep needs three angles, and four at right angles are usual.")
	}
	best := first
	if second, err := fitting.FitHarmonic(t, s.Y, true); err == nil {
		best = second
		l.HasSecond = true
		l.Second = second.Amplitude2()
		l.SecondDir = math.Atan2(second.B2, second.A2) / 2 / degree
		if l.SecondDir < 0 {
			l.SecondDir += 180
		}
	}
	if best.A == 0 && best.B == 0 {
		best.A, best.B = 0, 0 // no minus zero
	}
	radius := s.Dia / 2
	l.X, l.Y, l.Mean = best.A/radius, best.B/radius, best.C
	l.Total = best.Amplitude() / radius
	l.Direction = best.Direction() / degree
	l.Over = 2 * best.Amplitude()
	l.Needle = align.Needle{Grad: s.Grad, SD: best.SD, Free: best.Free}
	l.Sure = l.Needle.Sure(2 * max(best.AUnit, best.BUnit))
	l.Fitted, l.Off = make([]float64, len(t)), make([]float64, len(t))
	for i := range t {
		l.Fitted[i] = best.C + float64(best.A*math.Cos(t[i])) + float64(best.B*math.Sin(t[i]))
		l.Off[i] = s.Y[i] - l.Fitted[i]
	}
	l.Spread = slices.Max(l.Off) - slices.Min(l.Off)
	l.quarters(s)
	l.State = align.StateOf(l.Over, l.Sure, s.Allow)
	return l, nil
}

// quarters compares the readings at one angle and, where all four sides were read, compares right +
// left with back + front.
func (l *Lean) quarters(s Sweep) {
	var sum [4]float64
	var n [4]int
	for i := range s.Angle {
		a := turnOf(s.Angle[i])
		for q := range sum {
			if math.Abs(a-float64(90*q)) < .01 || q == 0 && a > 359.99 {
				sum[q] += s.Y[i]
				n[q]++
			}
		}
		for j := range i {
			if d := math.Abs(a - turnOf(s.Angle[j])); d < .01 || d > 359.99 {
				l.Repeated = true
				l.Repeat = max(l.Repeat, math.Abs(s.Y[i]-s.Y[j]))
			}
		}
	}
	if min(n[0], n[1], n[2], n[3]) == 0 {
		return
	}
	for q := range sum {
		sum[q] /= float64(n[q])
	}
	l.HasClosure = true
	l.Closure = sum[0] + sum[2] - sum[1] - sum[3]
}

// turnOf normalises an angle to 0 up to 360 degrees.
func turnOf(a float64) float64 {
	a = math.Mod(a, 360)
	if a < 0 {
		a += 360
	}
	return a
}
