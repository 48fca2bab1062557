package align

import (
	"math"
	"slices"
	"strconv"
	"strings"

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

// tramHalf asks for the other end.
func tramHalf(v *worksheet.Values, o *worksheet.Out) {
	if v.Rows("readings") > 0 {
		o.Question("Right end reads?")
	}
}

// Stations gives the place of each row of a table whose first column it is: as typed, else evenly
// between those before and behind, the length typed from end to end. Without any of both the places
// are counted, and true is returned.
func Stations(v *worksheet.Values, key, length string) (x []float64, counted bool, f *worksheet.InputError) {
	n := v.Rows(key)
	x, known := make([]float64, n), make([]bool, n)
	typed := false
	for i := range x {
		x[i], known[i] = v.Cell(key, i, 0, "in")
		typed = typed || known[i]
	}
	last := n - 1
	long := 0.0
	if length != "" {
		long = v.In(length)
	}
	if !typed && long == 0 {
		for i := range x {
			x[i] = float64(i)
		}
		return x, n > 1, nil
	}
	if long > 0 && n > 1 {
		if !known[0] {
			x[0], known[0] = worksheet.Either(known[last], x[last]-long, 0), true
		}
		if !known[last] {
			x[last], known[last] = x[0]+long, true
		}
	}
	for i, at := 0, 0; i < n; i++ {
		if known[i] {
			at = i
			continue
		}
		next := i
		for next < n && !known[next] {
			next++
		}
		if i == 0 || next == n {
			return x, false, v.Refuse(key, "row "+strconv.Itoa(i+1)+" has no place, and lies at an end. Type it, or the "+
				"length read, or no places at all.")
		}
		x[i] = x[at] + float64((x[next]-x[at])*float64(i-at)/float64(next-at))
	}
	return x, false, nil
}

func tramCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	tilt := v.As("stylus", "deg")
	factor := math.Cos(tilt * math.Pi / 180)
	grad := v.In("grad")
	Steps(o, grad)
	r := Run{Noise: Noise{Grad: grad * factor, Habit: v.In("repeat") * factor}, Allow: v.In("allow")}
	x, counted, f := Stations(v, "readings", "length")
	if f != nil {
		return f
	}
	first, last := slices.Min(x), slices.Max(x)
	low, high := math.Inf(1), math.Inf(-1)
	for i := range x {
		y, _ := v.Cell("readings", i, 1, "in")
		r.X, r.Y = append(r.X, x[i]), append(r.Y, way*factor*y)
		low, high = min(low, y), max(high, y)
	}
	if counted && (v.Has("pivot") && v.Word("pivot") == "" || v.Has("tap") && v.Word("tap") == "") {
		return v.Refuse(worksheet.Either(v.Word("pivot") == "", "pivot", "tap"),
			"it is a distance, and the readings have none. Type the length read, or choose an end.")
	}
	r.Pivot, r.Tap = stationOf(v, "pivot", first, last), stationOf(v, "tap", first, last)
	if !v.Given("tap") && v.Word("pivot") == "last" { // the other end than the one that stays
		r.Tap = first
	}
	l, f := Judge(r)
	if f != nil {
		return f
	}
	l.counted, l.way = counted, Way(v, l.Move)
	asked := Slip(o, grad, low, high, worksheet.Either(counted, 0, last-first),
		Table(v, o, "readings", 1, 1, grad, "in")...)
	o.SetIf(!counted, "length in, pivotx in, tapx in", last-first, r.Pivot, r.Tap)
	o.SetIf(l.Repeated, "repeat in", l.Repeat)
	worksheet.SetRows(o, "stations", l.Places, func(_ int, p Place) []worksheet.Cell {
		row := worksheet.Cells("iiii", nil, p.X, p.Mid(), l.at(p.X), p.Mid()-l.at(p.X))
		if counted {
			row[0] = worksheet.Txt(l.place(o, p.X))
		}
		return row
	})
	o.Set("spread", l.Shape.span(l.Places), "in")
	if l.Trouble != nil && !asked {
		l.Trouble.Says(o, l.name(o, l.Trouble.At.X))
		l.workTrouble(r, o)
		return nil
	}
	o.SetAll("total in, sure in", l.T, l.U)
	if !counted {
		o.SetAll("slope in/in, perfoot in, per100 mm", l.Slope, 12*l.Slope, 100*l.Slope)
		angle := math.Atan(l.Slope)
		o.Set("angle", angle, "rad")
		o.SetText("dms", DMS(angle))
	}
	ends := l.Places[len(l.Places)-1]
	o.SetText("ends", Full(o, way*l.Places[0].Mid())+", "+Full(o, way*ends.Mid()))
	if asked { // the slip first: nothing is judged on it
		return nil
	}
	l.work(r, o)
	o.SetFlag("inline", !l.Out)
	says := l.Says(o, "In line", "Out of line", worksheet.Either(counted, "", " over "+l.long(o)), "each end")
	l.first(o)
	if l.Out {
		says += " " + l.todo(r, o, way/factor)
	}
	l.Warn(o, "each end")
	o.SetText("verdict", says+l.shape(v, o))
	o.NoteIf(len(l.Places) < 3, "Two readings give the lean and nothing else: a middle reading shows a bow, or a "+
		"misread needle.")
	o.NoteIf(l.Out && math.Abs(r.Tap-r.Pivot) < (last-first)/4,
		"The tapping point is close to the pivot: a small slip there is a large turn. Tap farther out.")
	half := float64((last - first) / 2)
	o.NoteIf(max(r.Tap, r.Pivot) > last+half || min(r.Tap, r.Pivot) < first-half,
		"The pivot or the tapping point lies well outside the length read: what is wrong there is guessed from far "+
			"off.")
	o.Note("Lock the slides the way they will be locked for the cut, tighten in steps, and sweep again after " +
		"tightening: bolts move what was in line.")
	o.NoteIf(tilt > 0, "The readings were taken times the cosine of the stylus angle, {4}.", factor)
	return nil
}

// name is what a station is called.
func (l *Lie) name(o *worksheet.Out, x float64) string {
	switch {
	case math.Abs(x-l.First) < 1e-6:
		return "the left end"
	case math.Abs(x-l.Last) < 1e-6:
		return "the right end"
	case l.counted:
		return l.place(o, x)
	}
	return "the place at " + Long(o, x)
}

// place is where a station is: its distance, or which of them it is.
func (l *Lie) place(o *worksheet.Out, x float64) string {
	switch {
	case !l.counted:
		return Long(o, x)
	case x == l.First:
		return "left end"
	case x == l.Last:
		return "right end"
	case x+x == l.First+l.Last:
		return "the middle"
	}
	return "place " + strconv.Itoa(int(x)+1)
}

// long is the length read.
func (l *Lie) long(o *worksheet.Out) string {
	return worksheet.Either(l.counted, "the length read", Long(o, l.Last-l.First))
}

// forms are what a face is called in a headline.
var forms = [...]string{Hollow: "hollow {s}", Crown: "proud {s}", Wavy: "but wavy by {s}", Spot: "one place {s} off"}

// first says first how the face lies: of one that is in line its shape, too. What moves is said by
// todo.
func (l *Lie) first(o *worksheet.Out) {
	over := worksheet.Either(l.counted, "", LongBare(o, l.Last-l.First))
	s := &l.Shape
	zone, where := Told(o, "hollow", s.Zone), l.where(o)
	place := strings.TrimPrefix(l.name(o, s.At.X), "the ")
	if s.Form == Spot {
		zone = Told(o, "needle", math.Abs(s.Off))
	}
	if l.Out {
		l.Off(o, worksheet.Either(l.counted, "", " in "+over))
		what := strings.TrimPrefix(o.Fill(forms[s.Form], []string{unitless(zone)}), "but ")
		switch s.Form {
		case Straight:
			o.Fact(worksheet.Either(len(l.Places) > 2, "no bow to read", ""), nil)
		case Spot:
			o.Fact("▲ "+what+": wipe it", nil)
		default:
			o.Fact(what+" "+where, nil)
		}
		return
	}
	var facts []string
	switch s.Form {
	case Straight:
	case Spot:
		facts = []string{place + ": wipe, read again"}
	case Hollow:
		facts = []string{"leave the ends", "do not pull a lug into the hollow"}
	default:
		facts = []string{"leave the ends, moving one is no cure"}
	}
	if len(facts) > 1 && !l.Sure {
		facts = facts[:1]
	}
	l.Lean.First(o, "In line", "end", worksheet.Either(l.counted, "", " over "+over), facts...)
	if s.Form == Straight {
		return
	}
	what := o.Fill(forms[s.Form], []string{zone})
	o.Head("In line, "+what, nil)
	if s.Form == Spot || s.Form == Wavy {
		return
	}
	o.Head("In line, "+worksheet.Either(where == "in the middle", "middle "+what, what+" "+where), nil)
}

// todo says which end moves, how far and which way. Too little for the needle is not ordered.
func (l *Lie) todo(r Run, o *worksheet.Out, needle float64) string {
	size := Read(o, "aim", math.Abs(l.Move))
	where := strings.TrimPrefix(strings.TrimPrefix(l.name(o, r.Tap), "the "), "place ")
	if size == Unread {
		o.Head("Out by too little to tap", nil)
		return "That is too little to tap by this needle."
	}
	o.Head("Tap it "+l.way+" "+Shop(size), nil)
	o.Head(Upper(where)+": tap "+l.way+" "+Shop(size), nil)
	o.Fact("until it reads "+Mark(o, needle*l.Aim), nil)
	o.SetAll("move in, aim in", l.Move, needle*l.Aim)
	way := worksheet.Either(l.Move < 0, "away from", "towards")
	return "Keep " + l.name(o, r.Pivot) + ", tap " + l.name(o, r.Tap) + " " + size + " " + way +
		" the indicator, until the needle there reads " +
		Read(o, "reads", needle*l.Aim) + "."
}

// shape says what the face is between its ends, and whether a part may be bolted across it.
func (l *Lie) shape(v *worksheet.Values, o *worksheet.Out) string {
	s := &l.Shape
	o.SetIf(len(l.Places) > 2, "bow in, bowsure in, straight in", s.Off, l.ShapeSure, s.Zone)
	o.SetFlag("bowed", s.Form != Straight)
	if len(l.Places) > 2 {
		o.SetText("shape", shapes[s.Form])
	}
	if s.Form == Straight {
		return ""
	}
	o.Line(&zoneStep, []string{strconv.Itoa(len(l.Places)), Full(o, s.Zone)})
	zone, where := Read(o, "hollow", s.Zone), l.where(o)
	switch s.Form {
	case Spot:
		o.Caution("A chip, a burr or a misread needle first: its neighbours agree without it. Wipe, read it again, " +
			"then believe it.")
		return " One place, " + l.place(o, s.At.X) + ", stands " + Read(o, "needle", math.Abs(s.Off)) +
			worksheet.Either(s.Off > 0, " proud of", " hollow of") +
			" its neighbours: wipe it and read it again."
	case Crown:
		l.bolt(v, o)
		return " The face is proud " + zone + " " + where + ": moving an end does not cure that."
	case Wavy:
		l.bolt(v, o)
		return " The face is wavy, " + zone + " from straight, most " + where + ": moving an end does not cure that."
	}
	l.bolt(v, o)
	return " The face is hollow " + zone + " " + where + ": shim it before anything is bolted there."
}

// shapes names the forms.
var shapes = [...]string{Straight: "straight, as far as the needle shows", Hollow: "hollow", Crown: "proud",
	Wavy: "wavy", Spot: "one place off"}

// span is the most less the least of the places off the line through the ends.
func (s *Shape) span(places []Place) float64 {
	low, high := 0.0, 0.0
	for _, p := range places {
		off := p.Mid() - along(places[0], places[len(places)-1], p.X)
		low, high = min(low, off), max(high, off)
	}
	return high - low
}

// where says at which place a face is farthest off.
func (l *Lie) where(o *worksheet.Out) string {
	if middle := float64((l.First + l.Last) / 2); math.Abs(l.Shape.At.X-middle) < (l.Last-l.First)/6 {
		return "in the middle"
	}
	return "at " + l.place(o, l.Shape.At.X)
}

// bolt says how a stiff flat part lies on the face, and what pulling it down does. A gap over a
// thou or a third of what is allowed is shimmed, not pulled: common practice, no published source.
func (l *Lie) bolt(v *worksheet.Values, o *worksheet.Out) {
	c := l.Shape.Lies(l.Places, stationOf(v, "clamp", l.First, l.Last))
	span := l.Last - l.First
	if c.Rocks {
		lean := [2]string{Read(o, "needle", c.Slope[0]*span), Read(o, "needle", c.Slope[1]*span)}
		o.SetText("lies", "rocks on "+l.place(o, c.A.X)+": leans "+lean[0]+" or "+lean[1]+" over "+l.long(o))
		o.Caution("A flat part bolted on there rocks on " + l.name(o, c.A.X) + ", " +
			Read(o, "needle", math.Abs(c.Slope[0]-c.Slope[1])*span) +
			" from one way to the other over " + l.long(o) + ": shim it where it is open, do not pull it over.")
		return
	}
	o.SetText("lies", "on "+l.place(o, c.A.X)+" and "+l.place(o, c.B.X)+": leans "+
		Read(o, "needle", c.Slope[0]*span)+" over "+l.long(o))
	if c.Gap <= hair {
		o.Caution("A flat part bolted on there lies on " + l.name(o, c.A.X) + " and " + l.name(o, c.B.X) +
			" alone: shim it where it is open, do not pull it down.")
		return
	}
	gap := Read(o, "hollow", c.Gap)
	says := "A flat part bolted on there lies on " + l.name(o, c.A.X) + " and " + l.name(o, c.B.X) + ", open " + gap +
		" at " + l.place(o, c.GapAt) +
		": shim it to touch. Pulled down it bends, and springs back when it is let go."
	if v.Has("thick") && v.Has("wide") && !l.counted {
		part := Strip{v.In("thick"), v.In("wide"), c.B.X - c.A.X, v.As("elastic", "psi")}
		force, stress := part.Close(c.Gap)
		o.SetAll("pull lbf, stress psi", force, stress)
		o.Line(&closeStep, []string{FullBare(o, c.Gap)}, part.Span, part.Thick, part.Wide, force, stress)
		back := c.Gap
		if v.Has("underthick") && v.Has("underwide") {
			back = part.Springs(c.Gap, Strip{v.In("underthick"), v.In("underwide"), part.Span, part.E})
			o.Line(&springStep, []string{FullBare(o, c.Gap), Full(o, back)})
		}
		o.Set("spring", back, "in")
		says += " " + o.Fill("About {push lbf} in the middle closes it.", nil, force)
	}
	if c.Gap > .001+hair || c.Gap > l.Allow/3+hair {
		o.Caution(says)
		return
	}
	o.Note(says)
}

// Worked lines of work.
var (
	tiltEndsStep = worksheet.Step{What: "Lean, by the ends",
		Formula: "T = last - first, each the mid of its readings", Numbers: "{s} - {s}", Result: "{s}",
		Source: "ISO 230-1"}
	tiltLeastStep = worksheet.Step{What: "To compare, by least squares", Formula: "b L = Sxy/Sxx L", Numbers: "{s}",
		Result: "{s}", Source: "GUM"}
	moveStep = worksheet.Step{What: "Move at the tapping point", Formula: "-T/L (tap - pivot)",
		Numbers: "-{s}/{len} x ({len} - {len})", Result: "{s}", Source: "geometry"}
	zoneStep = worksheet.Step{What: "Straight within, the two closest parallel lines",
		Formula: "every pair of places tried", Numbers: "{s} places", Result: "{s}", Source: "ISO 12780-1"}
	driftStep = worksheet.Step{What: "Drift taken off in the order read", Formula: "y - d i/n",
		Numbers: "d {s}, n {0}", Result: "{s}", Source: "practice"}
	closeStep = worksheet.Step{What: "To close the gap in the middle",
		Formula: "F = 4 E b t^3 h/L^3, s = 6 E t h/L^2", Numbers: "h {s}, L {len}, t {len}, b {len}",
		Result: "{lbf}, {psi}", Source: "geometry"}
	springStep = worksheet.Step{What: "The part's share of it", Formula: "h k/(k + kp), by stiffness",
		Numbers: "h {s}", Result: "{s}", Source: "geometry"}
)

func (l *Lie) work(r Run, o *worksheet.Out) {
	n := strconv.Itoa(len(r.X)) + " readings at " + strconv.Itoa(len(l.Places)) + " stations"
	span := l.Last - l.First
	o.Line(&tiltEndsStep, []string{FullBare(o, l.Places[len(l.Places)-1].Mid()), FullBare(o, l.Places[0].Mid()),
		Full(o, l.T)})
	l.Work(o, "the lean")
	o.Line(&tiltLeastStep, []string{n, Full(o, l.Least*span)})
	if l.Out {
		o.Line(&moveStep, []string{FullBare(o, l.T), Full(o, l.Move)}, span, r.Tap, r.Pivot)
	}
}

// workTrouble shows what the readings would be with the drift taken off.
func (l *Lie) workTrouble(r Run, o *worksheet.Out) {
	n := len(r.X) - 1
	d := Drift(r.X, r.Y)
	if !l.Trouble.Drift || math.Abs(r.X[n]-r.X[0]) > 1e-6 {
		return
	}
	text := ""
	for i, y := range undrifted(r.Y[:n], d) {
		text += worksheet.Either(i > 0, ", ", "") + FullBare(o, y)
	}
	o.Line(&driftStep, []string{FullBare(o, d), text}, float64(n))
}

// undrifted takes a drift that came evenly off readings in their order.
func undrifted(y []float64, d float64) []float64 {
	out := make([]float64, len(y))
	for i := range y {
		out[i] = y[i] - float64(d*float64(i)/float64(len(y)))
	}
	return out
}
