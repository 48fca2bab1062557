package align

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What is said first of readings: headlines and facts that the worksheets of a needle share.

// Shop writes a reading as it is said: 1.5 thou is 1-1/2 thou.
func Shop(text string) string {
	number, thou := strings.CutSuffix(text, " thou")
	whole, part, _ := strings.Cut(number, ".")
	for _, q := range [...][2]string{{"25", "1/4"}, {"5", "1/2"}, {"75", "3/4"}} {
		if thou && part == q[0] {
			switch whole {
			case "", "-":
			case "0", "-0":
				whole = whole[:len(whole)-1]
			default:
				whole += "-"
			}
			return whole + q[1] + " thou"
		}
	}
	return text
}

// Told writes a length, given in inches, as it is read on a dial and said.
func Told(o *worksheet.Out, dial string, inches float64) string { return Shop(Read(o, dial, inches)) }

// Bare is Told without the unit, which the screen says once.
func Bare(o *worksheet.Out, dial string, inches float64) string {
	return unitless(Told(o, dial, inches))
}

// Wanted writes a small length that was typed, without its unit.
func Wanted(o *worksheet.Out, inches float64) string { return unitless(Shop(Full(o, inches))) }

// Mark writes what a needle shall read, with its sign and without its unit.
func Mark(o *worksheet.Out, inches float64) string {
	s := Bare(o, "reads", inches)
	return worksheet.Either(s != "0" && s[0] != '-', "+", "") + s
}

// LongBare is Long without the unit.
func LongBare(o *worksheet.Out, inches float64) string { return unitless(Long(o, inches)) }

func unitless(s string) string {
	for _, unit := range [...]string{" thou", " mm", " in"} {
		s = strings.TrimSuffix(s, unit)
	}
	return s
}

// First says first of a lean that it is in: good is what is said of it, end what is read again to be
// surer, over is behind what was read across, as " over 14". Other facts may stand before its own.
func (l *Lean) First(o *worksheet.Out, good, end, over string, facts ...string) {
	o.Head(good, nil)
	if !l.Sure {
		o.Head(good+", as near as it shows", nil)
	}
	for _, f := range facts {
		o.Fact(f, nil)
	}
	size := Bare(o, "needle", math.Abs(l.T))
	switch {
	case !l.Sure:
		o.Fact(l.cure(o, end), nil)
		o.Fact("sure only to ±{=doubt in}", nil, l.U)
	case size == Unread:
		o.Fact("within "+Wanted(o, l.Allow)+over, nil)
		o.Fact("nothing more you could read", nil)
	default:
		o.Fact(size+" off"+over+", "+Wanted(o, l.Allow)+" wanted", nil)
		o.Fact("sure to ±{=doubt in}", nil, l.U)
	}
}

// Off says as a fact how far out a lean is, and how surely.
func (l *Lean) Off(o *worksheet.Out, over string) {
	o.Fact(Bare(o, "needle", math.Abs(l.T))+" out"+over+", sure "+worksheet.Either(l.Sure, "", "only ")+
		"to ±{=doubt in}", nil, l.U)
}

// cure says in few words what makes a lean sure.
func (l *Lean) cure(o *worksheet.Out, end string) string {
	switch {
	case l.More == 1:
		return "one more reading of each " + end
	case l.More > 1:
		return strconv.Itoa(l.More) + " more readings of each " + end
	}
	if g := l.finer(needles(o)); g > 0 {
		return "a needle of " + Full(o, g) + " settles it"
	}
	return "so near the limit that no needle settles it"
}

// needles are those sold in the run's system.
func needles(o *worksheet.Out) []float64 {
	if o.System == units.MetricSystem {
		return mmNeedles
	}
	return inchNeedles
}

// first says first why there is no judgement.
func (t *Trouble) first(o *worksheet.Out, place, size string) {
	place, size = Upper(strings.TrimPrefix(strings.TrimPrefix(place, "the "), "place ")), Shop(size)
	if t.Drift {
		o.HeadStop(place+" reads "+size+" off now", nil)
		o.HeadStop(size+" off on return", nil)
		o.FactStop("something moved: read all again", nil)
		o.FactStop("stand, part, clamp, warmth", nil)
		return
	}
	o.HeadStop(place+" reads "+size+" apart", nil)
	o.HeadStop("It reads "+size+" apart", nil)
	o.FactStop("read twice: loose, or a chip", nil)
	o.FactStop("nothing moved till it repeats", nil)
}
