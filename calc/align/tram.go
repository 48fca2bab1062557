// Package align answers: is it aligned, and what aligns it?
//
// Tram fits a line and a parabola to indicator readings along an axis, separates tilt from bow, and
// says which end to move. Shims finds the lift under an edge or under feet and builds it from the
// owned leaves. Lever corrects a lever indicator for its stylus angle.
package align

import (
	"math"
	"slices"

	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

// Run is a set of readings along an axis. Lengths are in inches; a larger
// reading means that the surface is nearer the indicator.
type Run struct {
	X, Y       []float64 // stations and readings; a station may come more than once
	Grad       float64   // graduation of the indicator
	Pivot, Tap float64   // stations of the pivot and of the point that is moved
	Allow      float64   // tilt over the stations that is good enough
}

// State is what a run of readings amounts to.
type State int

// The states of a tilt.
const (
	InLine  State = iota // tilt is within what is allowed
	Tilted               // tilt exceeds the limit beyond doubt
	Unknown              // the readings are too uncertain to say
)

// Lie is the fitted position of the surface. Lengths are in inches.
type Lie struct {
	State      State
	Slope      float64 // in/in, + rises with x
	First      float64 // least x
	Last       float64 // greatest x
	Total      float64 // tilt over the stations
	TotalSure  float64 // half width of Total at about 95 %
	Stations   []Station
	Bow        float64 // height of the middle over the chord, of the parabola; + nearer the indicator
	BowSure    float64 // half width of Bow at about 95 %
	BowKnown   bool    // three stations or more, apart enough
	Bowed      bool    // Bow is more than its uncertainty and half a graduation
	Spread     float64 // most less least of the stations' means off the line
	Repeat     float64 // most that repeated readings of a station differ
	Repeated   bool
	Move       float64 // what the tapping point must move; + towards the indicator
	Aim        float64 // what the needle reads at the tapping point when done
	Needle     Needle
	SlopeUnit  float64
	MiddleUnit float64
}

// Station is one place along the axis.
type Station struct {
	X, Mean, Line, Off float64 // Off is Mean less Line
	N                  int
}

// Judge fits the readings and says how the surface lies.
//
// Method: line and parabola by least squares (JCGM 100:2008 H.3 for the line
// and its standard error); bow is the parabola's height over its own chord.
func Judge(r Run) (Lie, *worksheet.InputError) {
	var l Lie
	line, err := fitting.FitLine(r.X, r.Y, nil)
	if err != nil {
		return l, worksheet.Refuse("readings", "Readings: "+err.Error()+".")
	}
	l.Slope, l.SlopeUnit = line.Slope, line.SlopeUnit
	l.First, l.Last = slices.Min(r.X), slices.Max(r.X)
	span := l.Last - l.First
	if span < .1 {
		return l, worksheet.Refuse("readings", "Readings: the stations span less than 0.1 in. Take them further apart; tilt read over a short length says nothing of a long one.")
	}
	if math.Abs(r.Tap-r.Pivot) < .1 {
		return l, worksheet.Refuse("tap", "Move at: it is at the pivot, where moving turns nothing. Choose a point at least 0.1 in away from the pivot.")
	}
	l.group(r, line)
	l.Total = l.Slope * span
	l.Needle = Needle{Grad: r.Grad, SD: line.SD, Free: line.Free}
	if l.apart(span) >= 3 {
		if q, err := fitting.FitQuad(r.X, r.Y, nil); err == nil {
			l.BowKnown = true
			l.Bow, l.MiddleUnit = q.Middle(l.First, l.Last), q.MiddleUnit(l.First, l.Last)
			l.Needle = Needle{Grad: r.Grad, SD: q.SD, Free: q.Free}
		}
	}
	l.TotalSure = l.Needle.Sure(float64(l.SlopeUnit * span))
	l.BowSure = l.Needle.Sure(l.MiddleUnit)
	l.Bowed = l.BowKnown && math.Abs(l.Bow) > max(l.BowSure, r.Grad/2)
	l.Move = -float64(l.Slope * (r.Tap - r.Pivot))
	l.Aim = line.At(r.Pivot)
	l.State = StateOf(math.Abs(l.Total), l.TotalSure, r.Allow)
	return l, nil
}

// StateOf compares a size with what is allowed, given its uncertainty.
func StateOf(size, sure, allow float64) State {
	switch {
	case size > allow && size > sure:
		return Tilted
	case size <= allow && (size > sure || sure <= allow):
		return InLine
	}
	return Unknown
}

// group gathers the readings by station, in order of x.
func (l *Lie) group(r Run, line fitting.Line) {
	order := make([]int, len(r.X))
	for i := range order {
		order[i] = i
	}
	for i := range order { // insertion sort: few, and mostly sorted already
		for j := i; j > 0 && r.X[order[j]] < r.X[order[j-1]]; j-- {
			order[j], order[j-1] = order[j-1], order[j]
		}
	}
	var low, high float64
	least, most := math.Inf(1), math.Inf(-1)
	for at, i := range order {
		if at == 0 || r.X[i]-l.Stations[len(l.Stations)-1].X > 1e-6 {
			l.Stations = append(l.Stations, Station{X: r.X[i]})
			low, high = r.Y[i], r.Y[i]
		}
		s := &l.Stations[len(l.Stations)-1]
		s.N++
		s.Mean += (r.Y[i] - s.Mean) / float64(s.N)
		low, high = min(low, r.Y[i]), max(high, r.Y[i])
		if s.N > 1 {
			l.Repeated = true
			l.Repeat = max(l.Repeat, high-low)
		}
	}
	for i := range l.Stations {
		s := &l.Stations[i]
		s.Line = line.At(s.X)
		s.Off = s.Mean - s.Line
		least, most = min(least, s.Off), max(most, s.Off)
	}
	l.Spread = most - least
}

// apart counts stations at least a fiftieth of the span from the one before, so that a bow is not
// computed from two adjacent stations.
func (l *Lie) apart(span float64) int {
	n, at := 0, math.Inf(-1)
	for _, s := range l.Stations {
		if s.X-at >= span/50 {
			n++
			at = s.X
		}
	}
	return n
}
