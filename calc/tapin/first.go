package tapin

import (
	"math"
	"strconv"

	"datumbook/calc/align"
	"datumbook/calc/head"
	"datumbook/calc/worksheet"
)

// first says first what moves next, or that it is good enough.
func (s *Story) first(v *worksheet.Values, t Task, way float64, o *worksheet.Out) {
	if t.Way == Head {
		s.firstHead(t, way, o)
		return
	}
	l := &s.Leans[0]
	over := worksheet.Either(t.Span > 0, " over "+align.LongBare(o, t.Span), "")
	switch {
	case s.State != Move && s.Moves > 0 && s.State == Done:
		o.Head("Good enough: tighten, read again", nil)
		size := align.Bare(o, "needle", math.Abs(l.T))
		o.Fact(worksheet.Either(size == align.Unread, "nothing more you could read", size+" off"+over), nil)
		o.Fact("{=chance %} in 100 sure", nil, 100*s.Chance)
	case s.State != Move:
		l.First(o, "In line", "end", over)
	default:
		s.firstPair(v, t, way, o)
	}
}

// firstPair says which end moves, and how far.
func (s *Story) firstPair(v *worksheet.Values, t Task, way float64, o *worksheet.Out) {
	ask, at, a := s.Ask[0], upper(s.At), &s.Axes[0]
	size := align.Told(o, "aim", math.Abs(ask))
	o.Fact(worksheet.Either(s.Moves >= 6, "▲ "+strconv.Itoa(s.Moves)+" moves: look for a chip", ""), nil)
	o.Fact(worksheet.Either(a.Stuck, "▲ it stuck: tap harder", ""), nil)
	gives := "gives {=percent %} %, not learned yet"
	if a.Moves > 0 {
		gives = worksheet.Either(t.Way == Shim, "shims here give {=percent %} %", "this plate gives {=percent %} %")
	}
	switch {
	case size == align.Unread:
		o.Head("Out by too little to "+worksheet.Either(t.Way == Shim, "shim", "tap"), nil)
	case t.Way == Shim && ask < 0:
		o.Head("Take "+size+" from under "+at, nil)
		o.Fact(gives, nil, 100*a.R)
	case t.Way == Shim:
		o.Head("Put "+size+" more under "+at, nil)
		o.Fact(gives, nil, 100*a.R)
	default:
		o.Head(at+" end: tap "+align.Way(v, ask)+" "+size, nil)
		o.Fact("until the needle reads "+align.Mark(o, way*s.aim(t)), nil)
		o.Fact(gives, nil, 100*a.R)
	}
	s.Leans[0].Off(o, worksheet.Either(t.Span > 0, " in "+align.LongBare(o, t.Span), ""))
}

// firstHead says how the head is turned.
func (s *Story) firstHead(t Task, way float64, o *worksheet.Out) {
	var turns [2]float64
	var facts []string
	for k := range s.Axes {
		a := &s.Axes[k]
		if s.Leans[k].Out {
			turns[k] = s.Ask[k]
		}
		if s.State == Move && a.Stuck {
			facts = append(facts, "▲ it stuck: slacken a bolt")
		}
	}
	switch {
	case s.State == Move && s.Moves >= 6:
		facts = append(facts, "▲ "+strconv.Itoa(s.Moves)+" moves: look for a chip")
	case s.State == Move && facts == nil:
		facts = []string{"snug, sweep again"}
	case s.State == Done && s.Moves > 0:
		facts = []string{o.Fill("{=chance %} in 100 sure", nil, 100*s.Chance)}
	}
	good := worksheet.Either(s.State == Done && s.Moves > 0, "Good enough: snug, sweep again", "Head square")
	s.Sweep.First(o, head.WordsOf(false), t.Span, way, turns, good, facts...)
}
