package head

import (
	"math"
	"strings"

	"datumbook/calc/align"
	"datumbook/calc/worksheet"
)

// What is said first of a head that was swept.

// First says first which way the head goes, or that it is square: turns are those of its adjusters,
// 0 where they are not known or less than a wrench sets; good is what is said of a head that is
// square; facts may stand before its own.
func (l *Lean) First(o *worksheet.Out, w Words, dia, way float64, turns [2]float64, good string, facts ...string) {
	over := worksheet.Either(dia > 0, " on "+align.LongBare(o, dia), "")
	if !l.Out() {
		l.firstSquare(o, w, over, good, facts)
		return
	}
	k := 0 // the axis that is farther out
	if a, b := &l.Axes[0], &l.Axes[1]; !a.Out || b.Out && math.Abs(b.T) > math.Abs(a.T) {
		k = 1
	}
	both := l.Axes[0].Out && l.Axes[1].Out
	for i := range turns {
		if math.Abs(turns[i]) < 1./16 {
			turns[i] = 0
		}
	}
	o.Head(w.until(k, &l.Axes[k], way, o), nil)
	switch {
	case both && turns[0] != 0 && turns[1] != 0:
		o.Head("{s}: {=adjust } turn {s}, {=adjust } {s}", []string{w.top(), w.far(0, l), w.far(1, l)},
			math.Abs(turns[0]), math.Abs(turns[1]))
	case turns[k] != 0:
		o.Head("{s} {s} {=adjust } turn", []string{w.top(), w.far(k, l)}, math.Abs(turns[k]))
	}
	for _, f := range facts {
		o.Fact(f, nil)
	}
	if both && turns[1-k] == 0 {
		o.Fact("then "+strings.TrimPrefix(w.until(1-k, &l.Axes[1-k], way, o), w.top()+" "), nil)
	}
	near, _ := w.near(k, l.Axes[k].T)
	size := align.Bare(o, "needle", math.Abs(l.Axes[k].T))
	if size != align.Unread {
		o.Fact(near+" "+size+" nearer"+over, nil)
	}
	if !l.Axes[k].Sure {
		o.Fact("sure only to ±{=doubt in}", nil, l.Axes[k].U)
	}
	switch {
	case both:
	case l.Unread() >= 0:
		o.Fact(w.axis(l.Unread())+" not swept", nil)
	default:
		o.Fact("leave the "+w.axis(1-k), nil)
	}
}

// firstSquare says first that what was swept is square.
func (l *Lean) firstSquare(o *worksheet.Out, w Words, over, good string, facts []string) {
	k := 0 // the axis with most to say
	if a, b := &l.Axes[0], &l.Axes[1]; !a.Read || b.Read && (a.Sure && !b.Sure || a.Sure == b.Sure && math.Abs(b.T) >
		math.Abs(a.T)) {
		k = 1
	}
	if u := l.Unread(); u >= 0 {
		both := align.Upper(w.both(1 - u))
		l.Axes[k].First(o, both+" square", "side", over, append(facts, w.axis(u)+" not swept")...)
		if !l.Axes[k].Sure {
			o.Head(both+" as near as it shows", nil)
		}
		return
	}
	l.Axes[k].First(o, good, "side", over, facts...)
}

// axis names an axis of the head, or of the plate before a level one.
func (w Words) axis(k int) string {
	if w.level {
		return w.both(k)
	}
	return [...]string{"swing", "nod"}[k]
}

// top is what goes: the top of the head, or the plate.
func (w Words) top() string { return worksheet.Either(w.level, "Plate's", "Top") }

// far is the way it goes.
func (w Words) far(k int, l *Lean) string {
	near, far := w.near(k, l.Axes[k].T)
	return worksheet.Either(w.level, near+" away", far)
}

// until says how an axis is brought square by the needle.
func (w Words) until(k int, a *Axis, way float64, o *worksheet.Out) string {
	near, far := w.near(k, a.T)
	mark := align.Mark(o, way*a.Mean)
	if w.level {
		return align.Upper(near) + " away until it reads " + mark
	}
	return "Top " + far + " until " + near + " reads " + mark
}
