// Package tapin answers: what do I tap next, and when is it good enough?
//
// It follows a sequence of readings with the moves made between them. What was read since the last
// move is judged as the worksheets for one reading judge it, so that the two never disagree; the
// response of this fixture or adjuster is learned from the moves, and tells how far to move next.
package tapin

import (
	"math"

	"datumbook/calc/align"
	"datumbook/calc/fitting"
)

// Model is the prior for a fixture before it has moved. The lean is in inches over the spacing
// read; moves are in the unit of the model (inches or turns).
type Model struct {
	Guess     float64 // change of the lean for a move of one, above 0
	GuessUnit float64 // its standard uncertainty
	Scatter   float64 // standard deviation of one move about the response, as a part of it
	Grad      float64 // graduation of the indicator
	Repeat    float64 // standard deviation of a repeated reading
}

// reading is the variance of a lean, the difference of two readings: the graduation as a uniform
// distribution, and the repeat, twice each.
//
// Source: JCGM 100:2008, F.2.2.1 and 5.1.2.
func (m Model) reading() float64 { return m.floor() + float64(2*m.Repeat*m.Repeat) }

// floor is the part of it that repeated readings do not reduce: a still needle is rounded the same
// way each time.
func (m Model) floor() float64 { return m.Grad * m.Grad / 6 }

// Axis is the estimate for one direction: the lean E and the response R, with their variances and
// covariance. Both follow from straight equations,
//
//	E' = E + R move + slip        y = E' + reading error
//
// so that the recursive least squares below (the Kalman filter of these two) is
// exact for errors of normal distribution.
type Axis struct {
	Model
	E, R         float64
	VarE, Cov    float64
	VarR         float64
	Before       float64 // lean expected before the last reading
	Y            float64 // last reading
	Asked        float64 // last move, in the model's unit
	Took         float64 // what the lean did, as a part of what was expected; 0 where nothing was asked
	Stuck, Wrong bool    // the last move did nothing, or went the other way
	Sticks       float64 // largest move that did nothing
	Held         int     // moves in a row that did nothing
	Moves, Reads int
}

// Start takes the first reading of the lean.
func Start(m Model, y float64) Axis {
	return Axis{Model: m, E: y, R: m.Guess, VarE: m.reading(), VarR: m.GuessUnit * m.GuessUnit, Before: y, Y: y, Reads: 1}
}

// Unit is the standard uncertainty of the lean.
func (a *Axis) Unit() float64 { return math.Sqrt(max(a.VarE, a.floor())) }

// RUnit is the standard uncertainty of the response.
func (a *Axis) RUnit() float64 { return math.Sqrt(max(a.VarR, 0)) }

// Step takes a move of ask (0 where nothing was moved) and the reading after it.
//
// A move without effect means friction, one in the wrong direction that something else moved:
// neither tells the response, which is unchanged. After a surprising move the response's
// uncertainty is reset to at least the prior's.
func (a *Axis) Step(ask, y float64) {
	v := a.reading()
	change, sure := y-a.E, 2*math.Sqrt(a.VarE+v)
	want := float64(a.R * ask)
	a.Asked, a.Took, a.Stuck, a.Wrong, a.Y = ask, 0, false, false, y
	a.Reads++
	if ask != 0 {
		a.Moves++
		a.Took = change / want
		away := change
		if want < 0 {
			away = -change
		}
		a.Wrong = away < -sure
		a.Stuck = !a.Wrong && math.Abs(want) > 2*sure && away < sure
		slip := math.Sqrt(a.VarE + float64(a.VarR*ask*ask) + float64(a.Scatter*a.Scatter*want*want) + v)
		if math.Abs(change-want) > 3*slip {
			a.VarR, a.Cov = max(a.VarR, a.GuessUnit*a.GuessUnit), 0
		}
	}
	switch {
	case a.Stuck:
		a.Held++
	case ask != 0:
		a.Held = 0
	}
	a.Before = a.E + want
	if a.Stuck || a.Wrong {
		// The lean is the reading; the response is unchanged.
		if a.Stuck {
			a.Sticks = max(a.Sticks, math.Abs(ask))
		}
		a.E, a.VarE, a.Cov = y, v, 0
		return
	}
	a.E = a.Before
	a.VarE += float64(2*ask*a.Cov) + float64(ask*ask*a.VarR) + float64(a.Scatter*a.Scatter*want*want)
	a.Cov += float64(ask * a.VarR)
	s := a.VarE + v
	gain, gainR := a.VarE/s, a.Cov/s
	miss := y - a.E
	a.E += float64(gain * miss)
	a.R += float64(gainR * miss)
	a.VarR -= float64(gainR * a.Cov)
	a.VarE = gain * v
	a.Cov -= float64(gain * a.Cov)
	a.R = min(max(a.R, a.Guess*.1), a.Guess*10)
}

// Next is the move with the least expected lean after it: less than lean/R if the response is
// uncertain, to avoid overshoot.
//
//	move = -lean R/(R^2 + u(R)^2 + (scatter R)^2)
func (a *Axis) Next(lean float64) float64 {
	if lean == 0 {
		return 0
	}
	r2 := float64(a.R * a.R)
	return -lean * a.R / (r2 + max(a.VarR, 0) + float64(a.Scatter*a.Scatter*r2))
}

// State is what to do next.
type State int

// The states of a sequence.
const (
	Move  State = iota // out: move it as told
	Again              // in, and reading again may make it sure
	Blind              // in, as near as this needle shows
	Done               // in, and sure
	Look               // the readings do not repeat or add up: nothing is moved on them
)

// StateOf says what follows from the leans judged.
func StateOf(leans ...align.Lean) State {
	state := Done
	for i := range leans {
		switch l := &leans[i]; {
		case l.Out:
			return Move
		case l.Sure:
		case l.More == 0:
			state = Blind
		case state == Done:
			state = Again
		}
	}
	return state
}

// Inside is the probability that leans e with standard uncertainties u all lie between two limits,
// allow either way (JCGM 106:2012, 7).
func Inside(e, u []float64, allow float64) float64 {
	chance := 1.0
	for i := range e {
		x := math.Abs(e[i])
		chance *= max(0, fitting.NormalCDF((allow-x)/u[i])-fitting.NormalCDF((-allow-x)/u[i]))
	}
	return chance
}
