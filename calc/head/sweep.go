// Package head answers: is the head square, and what else is not?
//
// Sweep computes the spindle's tilt about both axes from indicator readings round a circle, apart
// from the surface's twist. Dish computes the hollow left by a tilted face mill, Square separates a
// plate's squareness from the square's by reversal, and Bar a spindle's direction from its bar's
// run-out.
package head

import (
	"math"
	"slices"

	"datumbook/calc/align"
	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

const degree = math.Pi / 180

// Sweep is a set of readings round a circle, in the order they were taken. Lengths are in inches; a
// larger reading means that the surface is nearer the spindle.
type Sweep struct {
	Angle []float64 // degrees from the right, counter-clockwise to the back
	Y     []float64 // readings
	Dia   float64   // diameter swept, 0 where it is not known
	Noise align.Noise
	Allow float64 // lean over the diameter that is good enough, of each axis
}

// Axis is the lean in one direction, judged over the diameter: + where the right, the back, reads
// nearer.
type Axis struct {
	align.Lean
	Read   bool    // two sides across, or angles enough for a wave
	Fitted bool    // from a wave, not from two sides across
	Mean   float64 // what both its sides read when square
}

// Lean is the spindle's tilt to the surface swept.
type Lean struct {
	Trouble     *align.Trouble // why there is no judgement
	Open        bool           // the sides do not add up, and were not swept again: no judgement
	Axes        [2]Axis        // right-left, nod
	X, Y        float64        // in/in, of the axes
	Direction   float64        // degrees, where the surface is nearest
	Over        float64        // lean over the diameter of what was read, inches
	Mean        float64        // the reading common to all sides when square
	Closure     float64        // (right + left) - (back + front)
	ClosureMost float64        // what it may be
	HasClosure  bool
	Second      float64 // amplitude of the twice-per-turn wave, inches
	SecondDir   float64 // degrees, where that wave is highest, 0 to 180
	HasSecond   bool
	Spread      float64 // most less least reading off the once-per-turn wave
	Repeat      float64 // most that readings at one angle differ
	Repeated    bool
	Sides       [4]*align.Place // right, back, left, front, where they were read
	Fitted, Off []float64       // by reading: on the once-per-turn wave, and reading less that
}

// Judge takes each axis by itself: two sides across give it whole, R - L over the diameter, as ISO
// 230-1 reports squareness of a spindle to a plane. An axis without its two sides is taken from
//
//	r = C + A cos t + B sin t
//
// fitted to three angles or more, A and B being the tilt times the radius; the twice-per-turn wave
// is fitted with it where five or more angles were read.
func Judge(s Sweep) (Lean, *worksheet.InputError) {
	var l Lean
	t, turn := make([]float64, len(s.Angle)), make([]float64, len(s.Angle))
	for i, a := range s.Angle {
		t[i], turn[i] = a*degree, turnOf(a)
	}
	places := align.Gather(turn, s.Y)
	n := s.Noise
	n.Take(places)
	for _, p := range places {
		l.Repeated = l.Repeated || p.N > 1
		l.Repeat = max(l.Repeat, p.High-p.Low)
	}
	l.Trouble = n.Trouble(turn, s.Y, places, n.Return())
	var side [4]*align.Place
	for i := range places {
		if q := places[i].X / 90; q == math.Trunc(q) {
			side[int(q)] = &places[i]
		}
	}
	fit, err := fitting.FitHarmonic(t, s.Y, false)
	if err == nil {
		l.second(t, s.Y, &fit)
	}
	l.Sides = side
	unit := [2]float64{fit.AUnit, fit.BUnit}
	why := "the angles lie too close together"
	if err != nil {
		why = err.Error()
	}
	waves := err == nil && max(fit.AUnit, fit.BUnit) < 25 // else the least slip of a reading is any lean
	read, sum := 0.0, 0.0
	for k := range l.Axes {
		a := &l.Axes[k]
		switch near, far := side[k], side[k+2]; {
		case near != nil && far != nil:
			*a = Axis{n.Ends(*far, *near, s.Allow), true, false, (near.Mid() + far.Mid()) / 2}
		case waves:
			wave := [2]float64{fit.A, fit.B}[k]
			q := 4 * unit[k] * unit[k]
			*a = Axis{n.Judge(2*wave, s.Allow, []float64{q}, []int{1}), true, true, fit.C}
		default:
			continue
		}
		read++
		sum += a.Mean
	}
	if read == 0 {
		return l, worksheet.Refuse("readings", "Readings: "+
			why+". Two sides across from each other give one axis, right and left or back and front; other angles "+
			"must be three at least.")
	}
	dia := worksheet.Either(s.Dia > 0, s.Dia, 1) // the lean over the swing does not need it
	l.X, l.Y = l.Axes[0].T/dia, l.Axes[1].T/dia
	l.Over = math.Sqrt(float64(l.Axes[0].T*l.Axes[0].T) + float64(l.Axes[1].T*l.Axes[1].T))
	l.Direction = math.Atan2(l.Y, l.X) / degree
	l.Mean = worksheet.Either(waves, fit.C, sum/read)
	l.close(side, &n)
	l.Fitted, l.Off = make([]float64, len(t)), make([]float64, len(t))
	for i := range t {
		l.Fitted[i] = l.Mean + float64(l.Axes[0].T/2*math.Cos(t[i])) + float64(l.Axes[1].T/2*math.Sin(t[i]))
		l.Off[i] = s.Y[i] - l.Fitted[i]
	}
	l.Spread = slices.Max(l.Off) - slices.Min(l.Off)
	return l, nil
}

// second fits the twice-per-turn wave with the other, where there are angles enough.
func (l *Lean) second(t, y []float64, fit *fitting.Harmonic) {
	second, err := fitting.FitHarmonic(t, y, true)
	if err != nil {
		return
	}
	*fit = second
	l.HasSecond = true
	l.Second = second.Amplitude2()
	l.SecondDir = math.Atan2(second.B2, second.A2) / 2 / degree
	if l.SecondDir < 0 {
		l.SecondDir += 180
	}
}

// close compares right + left with back + front where all four sides were read. A sum that is off
// is believed where each side was swept twice and repeats.
func (l *Lean) close(side [4]*align.Place, n *align.Noise) {
	again := true
	for _, p := range side {
		if p == nil {
			return
		}
		again = again && p.N > 1
	}
	l.HasClosure = true
	l.Closure = side[0].Mid() + side[2].Mid() - side[1].Mid() - side[3].Mid()
	l.ClosureMost = float64(n.Closure())
	l.Open = math.Abs(l.Closure) > l.ClosureMost+1e-9 && !again
}

// Out says whether an axis that was read is out, and Unread which was not: -1 where both were.
func (l *Lean) Out() bool { return l.Axes[0].Out || l.Axes[1].Out }

// Unread is the axis that was not read, -1 where both were.
func (l *Lean) Unread() int {
	for k := range l.Axes {
		if !l.Axes[k].Read {
			return k
		}
	}
	return -1
}

// Doubt is the greater doubt of the axes read.
func (l *Lean) Doubt() float64 { return max(l.Axes[0].U, l.Axes[1].U) }

// turnOf normalises an angle to 0 up to 360 degrees, the four sides exactly.
func turnOf(a float64) float64 {
	a = math.Mod(a, 360)
	if a < 0 {
		a += 360
	}
	if q := math.Round(a / 90); math.Abs(a-float64(90*q)) < .01 {
		return math.Mod(90*q, 360)
	}
	return a
}
