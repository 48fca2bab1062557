package align

import (
	"math"
	"strconv"

	"datumbook/calc/worksheet"
)

// stationOf reads a pivot or tapping point that may be a word.
func stationOf(v *worksheet.Values, key string, first, last float64) float64 {
	switch v.Word(key) {
	case "first":
		return first
	case "middle":
		return (first + last) / 2
	case "last":
		return last
	}
	return v.In(key)
}

func tramCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	tilt := v.As("stylus", "deg")
	factor := math.Cos(tilt * math.Pi / 180)
	r := Run{Grad: v.In("grad"), Allow: v.In("allow")}
	first, last := math.Inf(1), math.Inf(-1)
	for i := range v.Rows("readings") {
		x, _ := v.Cell("readings", i, 0, "in")
		y, _ := v.Cell("readings", i, 1, "in")
		r.X, r.Y = append(r.X, x), append(r.Y, way*factor*y)
		first, last = min(first, x), max(last, x)
	}
	r.Pivot, r.Tap = stationOf(v, "pivot", first, last), stationOf(v, "tap", first, last)
	l, f := Judge(r)
	if f != nil {
		return f
	}
	o.SetText("verdict", l.verdict(r, o))
	o.SetFlag("inline", l.State == InLine)
	o.SetFlag("bowed", l.Bowed)
	o.SetAll("total in, move in, aim in", l.Total, l.Move, way*l.Aim/factor)
	o.SetIf(l.BowKnown, "bow in, bowsure in", l.Bow, l.BowSure)
	o.SetAll("sure in, slope in/in, perfoot in, per100 mm", l.TotalSure, l.Slope, 12*l.Slope, 100*l.Slope)
	angle := math.Atan(l.Slope)
	o.Set("angle", angle, "rad")
	o.SetText("dms", DMS(angle))
	o.Set("spread", l.Spread, "in")
	o.SetIf(l.Repeated, "repeat in", l.Repeat)
	o.SetAll("length in, pivotx in, tapx in", l.Last-l.First, r.Pivot, r.Tap)
	worksheet.SetRows(o, "stations", l.Stations, func(_ int, s Station) []worksheet.Cell {
		return worksheet.Cells("iiii", nil, s.X, s.Mean, s.Line, s.Off)
	})
	l.work(r, o)
	l.say(r, o)
	o.NoteIf(tilt > 0, "The readings were taken times the cosine of the stylus angle, {4}.", factor)
	return nil
}

// at names a station.
func at(o *worksheet.Out, x float64) string { return "x = " + o.Len(x) }

// verdict is the answer in a sentence or two.
func (l *Lie) verdict(r Run, o *worksheet.Out) string {
	size, over := Fine(o, math.Abs(l.Total)), " over "+o.Len(l.Last-l.First)
	bow := ""
	if l.Bowed {
		way := worksheet.Either(l.Bow > 0, "proud", "short")
		bow = "the middle is " + Fine(o, math.Abs(l.Bow)) + " " + way + " of the ends"
	}
	switch l.State {
	case Tilted:
		says := "Out of line by " + size + over + ": " + l.todo(r, o)
		if bow != "" {
			says += " It is bowed too: " + bow + ", and moving an end does not cure that."
		}
		return says
	case Unknown:
		says := "These readings cannot tell: they show " + size + " of tilt" + over + ", sure only to " + Fine(o, l.TotalSure) + ". Read again, with more stations or a finer indicator."
		if bow != "" {
			says += " It does look bowed: " + bow + "."
		}
		return says
	}
	if bow != "" {
		return "In line, but bowed: " + bow + ". Do not move an end, that would put it out of line."
	}
	if math.Abs(l.Total) <= l.TotalSure {
		return "In line, as closely as these readings tell: " + Fine(o, l.TotalSure) + " either way" + over + "."
	}
	return "In line within what you allow: " + size + " of tilt" + over + "."
}

// todo says which end moves which way.
func (l *Lie) todo(r Run, o *worksheet.Out) string {
	way := worksheet.Either(l.Move < 0, "away from", "towards")
	return "with the pivot at " + at(o, r.Pivot) + ", move " + at(o, r.Tap) + " by " + Fine(o, math.Abs(l.Move)) + " " + way + " the indicator."
}

// Worked lines of work.
var (
	tiltLeastSquaresStep = worksheet.Step{What: "Tilt, by least squares", Formula: "b = Sxy/Sxx", Numbers: "{s}", Result: "{8} in/in", Source: "GUM"}
	tiltOverStep         = worksheet.Step{What: "Tilt over the length read", Formula: "b L", Numbers: "{8} x {len}", Result: "{s}", Source: "geometry"}
	moveTappingStep      = worksheet.Step{What: "Move at the tapping point", Formula: "-b (tap - pivot)", Numbers: "-{8} x ({len} - {len})", Result: "{s}", Source: "geometry"}
	bowMiddleStep        = worksheet.Step{What: "Bow: middle of the fitted parabola over its chord", Formula: "-c (L/2)^2", Numbers: "L {len}", Result: "{s}", Source: "ISO 230-1"}
	oneReadingStep       = worksheet.Step{What: "One reading is sure to", Formula: "u = sqrt(s^2 + d^2/12)", Numbers: "s {s}, d {s}", Result: "{s}", Source: "GUM"}
	tiltIsStep           = worksheet.Step{What: "Tilt is sure to, about 95 %", Formula: "U = k u L/sqrt(Sxx)", Numbers: "{2} x {s} x {3}", Result: "{s}", Source: "GUM"}
)

func (l *Lie) work(r Run, o *worksheet.Out) {
	n := strconv.Itoa(len(r.X)) + " readings at " + strconv.Itoa(len(l.Stations)) + " stations"
	span := l.Last - l.First
	o.Line(&tiltLeastSquaresStep, []string{n}, l.Slope)
	o.Line(&tiltOverStep, []string{Fine(o, l.Total)}, l.Slope, span)
	o.Line(&moveTappingStep, []string{Fine(o, l.Move)}, l.Slope, r.Tap, r.Pivot)
	if l.BowKnown {
		o.Line(&bowMiddleStep, []string{Fine(o, l.Bow)}, span)
	}
	o.Line(&oneReadingStep, []string{FineBare(o, l.Needle.SD), FineBare(o, l.Needle.Grad), Fine(o, l.Needle.One())})
	o.Line(&tiltIsStep, []string{FineBare(o, l.Needle.One()), Fine(o, l.TotalSure)}, l.Needle.Factor(), float64(l.SlopeUnit*span))
}

// Warn adds a caution that something exceeds its limit, or may exceed it.
func Warn(o *worksheet.Out, s State) {
	o.CautionIf(s == Tilted, "More than you allow: what is cut now comes out as far off.")
	o.CautionIf(s == Unknown, "Not known to be within what you allow.")
}

func (l *Lie) say(r Run, o *worksheet.Out) {
	if l.Repeated && l.Repeat > 2*r.Grad {
		o.Refuse("A station read twice differs by " + Fine(o, l.Repeat) + ", more than two graduations: something is loose - a gib, the indicator's arm, the part. Find it before trusting any of this.")
	}
	Warn(o, l.State)
	o.CautionIf(l.State == Tilted && l.Bowed && math.Abs(l.Bow) > math.Abs(l.Total)/3,
		"The bow is more than a third of the tilt: look for a chip under the part, or a plate that is sprung. Do not pull it straight with the bolts.")
	if !l.BowKnown {
		o.Note("Two stations cannot show bow, nor a misread needle. Read a third between them.")
	} else if l.Needle.Free == 0 {
		o.Note("Three readings leave none to spare, so how sure the answer is comes from the graduation alone. More stations, or the first one read again, would show the scatter.")
	}
	o.CautionIf(math.Abs(r.Tap-r.Pivot) < (l.Last-l.First)/4,
		"The tapping point is close to the pivot: a small slip there is a large turn. Tap farther out.")
	half := float64((l.Last - l.First) / 2)
	o.CautionIf(max(r.Tap, r.Pivot) > l.Last+half || min(r.Tap, r.Pivot) < l.First-half,
		"The pivot or the tapping point lies well outside the length read: what is wrong there is guessed from far off.")
	o.Note("Lock the slides the way they will be locked for the cut, tighten in steps, and sweep again after tightening: bolts move what was in line.")
}
