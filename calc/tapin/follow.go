package tapin

import (
	"math"
	"strconv"

	"datumbook/calc/align"
	"datumbook/calc/head"
	"datumbook/calc/worksheet"
)

// Way is how the part is moved.
type Way string

// The ways.
const (
	Tap  Way = "tap"  // tapped at an end
	Shim Way = "shim" // shims under an end
	Head Way = "head" // a head turned by its adjusters
)

// Task is the input of a sequence. Lengths are in inches; a larger reading means nearer the
// indicator.
type Task struct {
	Way          Way
	Span         float64    // from A to B, or the diameter swept; 0 where the first is not known
	Allow        float64    // lean over Span that is good enough
	Certain      float64    // how sure, such as 0.95
	Grad, Repeat float64    // Repeat is 0 for a quarter of Grad
	Pivot        string     // "a", "b": the end that stays; "free" where neither does
	Reach        float64    // from the pivot to where it is tapped or shimmed; 0 takes Span
	Lead         [2]float64 // head: advance of the adjusters in a turn; 0 where not known
	Arm          [2]float64 // head: their distance from the pivot; 0 where not known
}

// Pair is a reading at each end, and the move made before it.
type Pair struct {
	A, B   float64
	At     string  // "a", "b", "none", or "" for what was told
	Ask    float64 // how far, + towards the indicator; where HasAsk
	HasAsk bool
}

// Round is a sweep of the head, and the turns made before it: + turns the top to
// the right, to the back. A missing turn is what was told.
type Round struct {
	Right, Back, Left, Front float64
	Turn                     [2]float64
	HasTurn                  [2]bool
}

// Past is one step of the sequence.
type Past struct {
	Axes   []Axis  // as they stood after it
	At     string  // end moved before it
	Chance float64 // that it is inside
	State  State
}

// Story is the whole sequence and what to do next.
type Story struct {
	Past   []Past
	Axes   []Axis
	Leans  []align.Lean // of the axes, by what was read since the last move
	Lie    align.Lie    // of a pair
	Sweep  head.Lean    // of the head
	State  State
	Chance float64
	At     string    // end to move: "a" or "b"
	Ask    []float64 // how far: inches at the tapping point, + towards the indicator; or turns
	Needle float64   // tap: reading to bring the needle to at that end
	Moves  int
}

// models returns the prior assumptions for each axis. Common practice, no published source: a plate
// springs back a tenth when it is tightened and one move in seven differs by more than a quarter; a
// shim acts nearly by its thickness; an adjuster with a known screw is known to a quarter.
func (t Task) models() []Model {
	m := Model{Guess: .9, GuessUnit: .25, Scatter: .15, Grad: t.Grad,
		Repeat: worksheet.Either(t.Repeat > 0, t.Repeat, t.Grad/4)}
	switch {
	case t.Way == Shim:
		m.Guess, m.GuessUnit, m.Scatter = .95, .12, .1
	case t.Way == Head:
		two := []Model{m, m}
		for i := range two {
			two[i].Scatter = .1
			if t.Lead[i] > 0 && t.Arm[i] > 0 {
				two[i].Guess = t.Lead[i] * t.Span / t.Arm[i]
				two[i].GuessUnit = two[i].Guess * .25
			} else { // a twentieth of an inch in a turn, ten inches away
				two[i].Guess = t.Span * .005
				two[i].GuessUnit = two[i].Guess * .6
			}
		}
		return two
	case t.Pivot == "free":
		m.Guess, m.GuessUnit, m.Scatter = 1.7, .6, .1 // no snug bolt to spring back
	}
	return []Model{m}
}

// lever is the lean over the span for a move of one at the tapping point.
func (t Task) lever() float64 {
	if t.Reach > 0 && t.Pivot != "free" {
		return t.Span / t.Reach
	}
	return 1
}

// noise is the needle's.
func (t Task) noise() align.Noise {
	return align.Noise{Grad: t.Grad, Habit: t.Repeat, Cover: t.Certain}
}

// Follow takes the pairs in order. A pair without a move was made as told; the first has none.
func Follow(t Task, pairs []Pair) (Story, *worksheet.InputError) {
	var s Story
	lever, since := t.lever(), 0 // the first pair after the last move
	for i, p := range pairs {
		y := p.B - p.A
		at := ""
		if i == 0 {
			if p.HasAsk && p.Ask != 0 || p.At == "a" || p.At == "b" {
				return s, worksheet.Refuse("pairs", "Pairs: row 1 names a move, but nothing was read before it. Leave the move of the first row empty.")
			}
			s.Axes = []Axis{Start(t.models()[0], y)}
		} else {
			at = p.At
			ask := p.Ask
			switch {
			case at == "none" && p.HasAsk && ask != 0:
				return s, worksheet.Refuse("pairs", "Pairs: row "+strconv.Itoa(i+1)+" moved nothing, yet names a distance. Name the end, or leave the distance empty.")
			case at == "none" || at == "" && !p.HasAsk && s.State != Move:
				at, ask = "", 0
			default:
				if at == "" {
					at = s.At
				}
				if !p.HasAsk {
					ask = s.Ask[0]
					if at != s.At {
						ask = -ask
					}
				}
			}
			if ask == 0 {
				at = ""
			}
			if at != "" {
				since = i
			}
			was := s.Axes[0].Y
			s.Axes[0].Step(float64(sign(at)*ask*lever), y)
			if t.Pivot == "free" && t.Way == Tap && at != "" {
				s.turnedAbout(at, p.A-pairs[i-1].A, y-was)
			}
		}
		if f := s.judgePairs(t, pairs[since:i+1]); f != nil {
			return s, f
		}
		s.past(t, at)
		s.plan(t, p)
	}
	return s, nil
}

// judgePairs judges the pairs since the last move as a line through two stations.
func (s *Story) judgePairs(t Task, pairs []Pair) *worksheet.InputError {
	span := worksheet.Either(t.Span > 0, t.Span, 1) // what is moved does not depend on it
	run := align.Run{Noise: t.noise(), Tap: span, Allow: t.Allow}
	for _, p := range pairs {
		run.X, run.Y = append(run.X, 0, span), append(run.Y, p.A, p.B)
	}
	l, f := align.Judge(run)
	s.Lie, s.Leans = l, []align.Lean{l.Lean}
	s.State = worksheet.Either(l.Trouble != nil, Look, StateOf(l.Lean))
	return f
}

// sign is the effect on the lean B - A of a move towards the indicator at an end.
func sign(at string) float64 { return worksheet.Either(at == "a", -1.0, 1) }

func end(a bool) string { return worksheet.Either(a, "a", "b") }

// turnedAbout computes from both readings where an unbolted part pivoted: A moved by da while the
// lean changed by d, so the pivot is -da/d of the way from A. From then on the end farther from the
// pivot is moved, where the same error of the move changes the lean less. A needle zeroed at A each
// time gives no information.
func (s *Story) turnedAbout(at string, da, d float64) {
	a := &s.Axes[0]
	if a.Stuck || a.Wrong || math.Abs(d) < 6*math.Sqrt(a.reading()) {
		return
	}
	lever := -da / d // of end A
	if at == "b" {
		lever = 1 - lever
	}
	if lever < .1 || lever > .45 {
		return
	}
	k := lever / (1 - lever) // the other end gives so much less
	a.R *= k
	a.VarR *= k * k
	a.Cov *= k
	s.At = end(at == "b")
}

// past keeps the step.
func (s *Story) past(t Task, at string) {
	var e, u []float64
	for i := range s.Leans {
		e, u = append(e, s.Leans[i].T), append(u, s.Leans[i].Unit())
	}
	s.Chance = worksheet.Either(s.State == Look, 0, Inside(e, u, t.Allow))
	s.Past = append(s.Past, Past{append([]Axis(nil), s.Axes...), at, s.Chance, s.State})
	s.Moves = 0
	for _, a := range s.Axes {
		s.Moves = max(s.Moves, a.Moves)
	}
}

// plan computes the next move of a pair, told or not.
func (s *Story) plan(t Task, p Pair) {
	lean := s.Axes[0].Next(s.Leans[0].T)
	switch {
	case t.Pivot == "b":
		s.At = "a"
	case t.Pivot == "a":
		s.At = "b"
	case t.Way == Shim: // a shim lifts
		s.At = end(lean < 0)
	case s.At == "": // first away from the indicator, then always that end
		s.At = end(lean > 0)
	}
	s.Ask = []float64{lean * sign(s.At) / t.lever()}
	s.Needle = p.B
	if s.At == "a" {
		s.Needle = p.A
	}
	s.Needle += float64(sign(s.At) * lean)
}

// Sweeps follows the head. What was swept since the last turn is read by head.Judge: the lean over
// the diameter about both axes.
func Sweeps(t Task, rounds []Round) (Story, *worksheet.InputError) {
	var s Story
	since := 0
	for i, r := range rounds {
		y := [2]float64{r.Right - r.Left, r.Back - r.Front}
		if i == 0 {
			if r.Turn[0] != 0 || r.Turn[1] != 0 {
				return s, worksheet.Refuse("sweeps", "Sweeps: row 1 names turns, but nothing was read before it. Leave the turns of the first row empty.")
			}
			for k, m := range t.models() {
				s.Axes = append(s.Axes, Start(m, y[k]))
			}
		} else {
			for k := range s.Axes {
				turn := r.Turn[k]
				if !r.HasTurn[k] && s.State == Move {
					turn = s.Ask[k]
				}
				if turn != 0 {
					since = i
				}
				s.Axes[k].Step(turn, y[k])
			}
		}
		sweep := head.Sweep{Dia: t.Span, Noise: t.noise(), Allow: t.Allow}
		for _, r := range rounds[since : i+1] {
			sweep.Angle = append(sweep.Angle, 0, 90, 180, 270)
			sweep.Y = append(sweep.Y, r.Right, r.Back, r.Left, r.Front)
		}
		l, f := head.Judge(sweep)
		if f != nil {
			return s, f
		}
		s.Sweep, s.Leans = l, []align.Lean{l.Axes[0].Lean, l.Axes[1].Lean}
		s.State = worksheet.Either(l.Trouble != nil || l.Open, Look, StateOf(s.Leans...))
		s.past(t, "")
		s.Ask = make([]float64, 2)
		for k := range s.Axes { // an axis that is in is left alone
			if s.Leans[k].Out {
				s.Ask[k] = s.Axes[k].Next(s.Leans[k].T)
			}
		}
	}
	return s, nil
}
