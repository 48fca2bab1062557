package head

import (
	"math"
	"strconv"

	"datumbook/calc/align"
	"datumbook/calc/worksheet"
)

var sides = [4]struct {
	key   string
	angle float64
}{{"right", 0}, {"back", 90}, {"left", 180}, {"front", 270}}

// Words names the sides, for the two kinds of spindle.
type Words struct {
	Sides [4]string // right, back, left, front
	level bool
}

// WordsOf gives the names of the sides of a vertical or a level spindle.
func WordsOf(level bool) Words {
	if level {
		return Words{[4]string{"right", "top", "left", "bottom"}, true}
	}
	return Words{[4]string{"right", "back", "left", "front"}, false}
}

// both names the sides of an axis.
func (w Words) both(k int) string { return w.Sides[0+k] + " and " + w.Sides[2+k] }

// near gives the side of an axis that reads nearer, and the one across from it.
func (w Words) near(k int, t float64) (near, far string) {
	if t < 0 {
		return w.Sides[2+k], w.Sides[k]
	}
	return w.Sides[k], w.Sides[2+k]
}

// name names a place round the circle.
func (w Words) name(o *worksheet.Out, angle float64) string {
	if q := turnOf(angle) / 90; q == math.Trunc(q) {
		return "the " + w.Sides[int(q)]
	}
	return o.Fill("the side at {deg}", nil, turnOf(angle))
}

func sweepCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	grad := v.In("grad")
	align.Steps(o, grad)
	s := Sweep{Dia: v.In("swing"), Noise: align.Noise{Grad: grad, Habit: v.In("repeat")}, Allow: v.In("allow")}
	if v.Choice("is") == "radius" {
		s.Dia *= 2
	}
	low, high := math.Inf(1), math.Inf(-1)
	add := func(angle, y float64) {
		s.Angle, s.Y = append(s.Angle, angle), append(s.Y, float64(way*y))
		low, high = min(low, y), max(high, y)
	}
	var asks []align.Meant
	for _, side := range sides {
		if v.Has(side.key) {
			y := v.In(side.key)
			add(side.angle, y)
			if y != 0 {
				asks = append(asks, align.Meant{Field: side.key, Means: align.AsMeant(o, y, grad),
					What: v.Label(side.key) + ": ", Y: y})
			}
		}
	}
	for i := range v.Rows("readings") {
		a, _ := v.Cell("readings", i, 0, "deg")
		y, _ := v.Cell("readings", i, 1, "in")
		add(a, y)
	}
	if v.Rows("readings") > 0 {
		asks = append(asks, turns(v, o, grad))
	}
	w := WordsOf(v.Choice("machine") == "level")
	ask(v, w, o)
	if len(s.Y) < 2 {
		return v.Refuse("right", "an axis needs readings at its two sides. Type right and left, or back and front, "+
			"or all four, or a table of angles.")
	}
	l, f := Judge(s)
	if f != nil {
		return f
	}
	o.Question("")
	o.SetIf(l.HasClosure, "closure in", l.Closure)
	o.SetIf(l.HasSecond, "twist in, twistdir deg", l.Second, l.SecondDir)
	o.Set("spread", l.Spread, "in")
	o.SetIf(l.Repeated, "repeat in", l.Repeat)
	o.SetIf(s.Dia > 0, "dia in", s.Dia)
	o.Set("mean", way*l.Mean, "in")
	if l.Sides[0] != nil && l.Sides[1] != nil && l.Sides[2] != nil && l.Sides[3] != nil {
		round := ""
		for i, p := range l.Sides {
			round += worksheet.Either(i > 0, ", ", "") + align.Full(o, way*p.Mid())
		}
		o.SetText("round", round)
	}
	worksheet.SetRows(o, "points", s.Y, func(i int, _ float64) []worksheet.Cell {
		return worksheet.Cells("diii", nil, s.Angle[i], s.Y[i], l.Fitted[i]-l.Mean, l.Off[i])
	})
	asked := align.Slip(o, grad, low, high, s.Dia, asks...)
	if !asked && l.Troubled(w, o) {
		l.workClosure(o)
		return nil
	}
	l.answer(s, w, o)
	if asked { // the slip first: nothing is judged on it
		return nil
	}
	o.SetText("verdict", l.Says(o, w, s.Dia)+l.todoWords(w, way, o))
	l.First(o, w, s.Dia, way, l.turns(v, s.Dia), "Head square")
	l.flags(o)
	if f := l.adjust(v, w, s.Dia, way, o); f != nil {
		return f
	}
	if f := l.cut(v, s.Dia, o); f != nil {
		return f
	}
	l.say(s, w, o)
	return nil
}

// ask asks for the next side, round the circle: one side wants the one across from it first.
func ask(v *worksheet.Values, w Words, o *worksheet.Out) {
	next := 0
	for k, side := range sides {
		if across := sides[(k+2)%4]; v.Has(side.key) && !v.Has(across.key) {
			next = (k + 2) % 4
			break
		}
	}
	o.Question(align.Upper(w.Sides[next]) + " reads?")
}

// turns is what the table of angles was likely meant as.
func turns(v *worksheet.Values, o *worksheet.Out, grad float64) align.Meant {
	text := ""
	for i := range v.Rows("readings") {
		a, _ := v.Cell("readings", i, 0, "deg")
		y, _ := v.Cell("readings", i, 1, "in")
		text += worksheet.Either(i > 0, "; ", "") + o.Dec(a, 6) + ", " + align.AsMeant(o, y, grad)
	}
	return align.Meant{Field: "readings", Means: text}
}

// Troubled stops an answer where the readings forbid a judgement.
func (l *Lean) Troubled(w Words, o *worksheet.Out) bool {
	switch {
	case l.Trouble != nil:
		l.Trouble.Says(o, w.name(o, l.Trouble.At.X))
	case l.Open:
		off, most := align.Apart(o, "needle", math.Abs(l.Closure), l.ClosureMost)
		o.HeadStop("Sides do not add up: "+align.Shop(off), nil)
		o.HeadStop("Sides do not add up", nil)
		o.FactStop(w.Sides[0]+" + "+w.Sides[2]+" against "+w.Sides[1]+" + "+w.Sides[3], nil)
		o.FactStop("table, gib or a slip", nil)
		o.Stop("The sides do not add up: "+off+" between "+w.both(0)+", and "+w.both(1)+".",
			"More than the "+most+" this needle may be off: a reading is wrong, a gib is loose or the surface is "+
				"not flat there. Sweep all four sides again and add them; what repeats is believed. Nothing is "+
				"turned on these readings.")
	default:
		return false
	}
	return true
}

// flags says of each axis that was read whether it is square, and of the whole where both were.
func (l *Lean) flags(o *worksheet.Out) {
	for k, key := range [...]string{"squarex", "squarey"} {
		if l.Axes[k].Read {
			o.SetFlag(key, !l.Axes[k].Out)
		}
	}
	if l.Unread() < 0 || l.Out() {
		o.SetFlag("square", !l.Out())
	}
}

func (l *Lean) answer(s Sweep, w Words, o *worksheet.Out) {
	o.SetAll("over in, sure in", l.Over, l.Doubt())
	o.SetIf(l.Over > 0, "nearest deg", l.Direction)
	tilt := [2]float64{l.X, l.Y}
	for k := range l.Axes {
		if l.Axes[k].Read {
			if s.Dia > 0 {
				o.Set([...]string{"tiltx", "tilty"}[k], tilt[k], "in/in")
				o.SetText([...]string{"dmsx", "dmsy"}[k], align.DMS(math.Atan(tilt[k])))
			}
		}
	}
	l.work(s, w, o)
}

// Says judges the axes that were read, by name.
func (l *Lean) Says(o *worksheet.Out, w Words, dia float64) string {
	over := worksheet.Either(dia > 0, " over "+align.Long(o, dia), "")
	text := ""
	for k := range l.Axes {
		a := &l.Axes[k]
		if !a.Read {
			continue
		}
		near, _ := w.near(k, a.T)
		side := over
		if align.Read(o, "needle", math.Abs(a.T)) != align.Unread {
			side = over + ", nearer at the " + near
		}
		if l.Out() && !a.Out {
			text += worksheet.Either(text != "", " ", "") + align.Upper(w.both(k)) + " are within what you want."
			continue
		}
		what := align.Upper(w.both(k))
		text += worksheet.Either(text != "", " ", "") + a.Lean.Says(o, what+" square", what+" out of square", side,
			"both sides")
	}
	if k := l.Unread(); k >= 0 {
		text += " " + align.Upper(w.both(k)) + " were not read: that axis is not judged."
	}
	return text
}

// todoWords says which way the head goes.
func (l *Lean) todoWords(w Words, way float64, o *worksheet.Out) string {
	text := ""
	for k := range l.Axes {
		if l.Axes[k].Out {
			text += " " + w.Move(k, &l.Axes[k], way, o) + "."
		}
	}
	return text
}

// Move says how an axis is brought square. The sides meet half way, so that neither is the other's
// reading.
func (w Words) Move(k int, a *Axis, way float64, o *worksheet.Out) string {
	near, far := w.near(k, a.T)
	text := worksheet.Either(k == 0, "Swing", "Nod") + " the top of the head to the " + far
	if w.level {
		text = "Move the " + near + worksheet.Either(k == 0, " side", "") + " of the plate away from the spindle"
	}
	return text + " until " + w.both(k) + " both read " + align.Read(o, "reads", way*a.Mean)
}

// Worked lines of work.
var (
	acrossStep = worksheet.Step{What: "Lean, {s}", Formula: "T = one side - the side across", Numbers: "over {len}",
		Result: "{s}, {in/in}", Source: "ISO 230-1"}
	waveStep = worksheet.Step{What: "Lean, {s}", Formula: "twice the once-a-turn wave, r = C + A cos t + B sin " +
		"t by least squares", Numbers: "over {len}", Result: "{s}, {in/in}", Source: "geometry"}
	leanStep = worksheet.Step{What: "Lean over the swing, both together", Formula: "sqrt(Tx^2 + Ty^2)",
		Numbers: "{s} readings", Result: "{s}", Source: "geometry"}
	closureStep = worksheet.Step{What: "Closure", Formula: "(right + left) - (back + front), at most 4 sqrt(s0^2 + " +
		"d^2/12)", Numbers: "at most {s}", Result: "{s}", Source: "practice"}
)

func (l *Lean) work(s Sweep, w Words, o *worksheet.Out) {
	for k := range l.Axes {
		a := &l.Axes[k]
		if !a.Read {
			continue
		}
		step := worksheet.Either(a.Fitted, waveStep, acrossStep)
		step.What = o.Fill(step.What, []string{w.both(k)})
		if s.Dia == 0 {
			step.Numbers, step.Result = "", "{s}"
		}
		o.Line(&step, []string{align.Full(o, a.T)}, s.Dia, a.T/worksheet.Either(s.Dia > 0, s.Dia, 1))
		a.Work(o, w.both(k))
	}
	o.Line(&leanStep, []string{strconv.Itoa(len(s.Y)), align.Full(o, l.Over)})
	l.workClosure(o)
}

func (l *Lean) workClosure(o *worksheet.Out) {
	if l.HasClosure {
		o.Line(&closureStep, []string{align.Full(o, l.ClosureMost), align.Full(o, l.Closure)})
	}
}

// adjust says what to move, and by how many turns where the adjusters are known; an axis that is
// square or was not read is left alone.
func (l *Lean) adjust(v *worksheet.Values, w Words, dia, way float64, o *worksheet.Out) *worksheet.InputError {
	var todo []string
	for k, key := range [...]string{"x", "y"} {
		a := &l.Axes[k]
		dist, pitch := "dist"+key, "pitch"+key
		if v.Has(pitch) && !v.Has(dist) {
			return v.Refuse(dist, "its distance is missing. Type how far the screw is from the pivot, or leave the "+
				"advance empty.")
		}
		if !a.Out {
			continue
		}
		if v.Has(dist) && dia == 0 {
			return v.Missing("swing")
		}
		says := w.Move(k, a, way, o)
		if v.Has(dist) {
			adjuster := worksheet.Either(k == 0, "right-left adjuster", "nod adjuster")
			tilt := math.Abs(a.T) / dia
			move := tilt * v.In(dist)
			o.Set("move"+key, move, "in")
			o.Work("Move at the "+adjuster, "tilt x distance", o.Fill("{7} x {len}", nil, tilt, v.In(dist)),
				align.Full(o, move), "geometry")
			says += ": " + align.Read(o, "aim", move) + " at the " + adjuster
			if v.Has(pitch) {
				turn := move / v.In(pitch)
				o.Set("turn"+key, turn, "")
				o.Work("Turns of the "+adjuster, "move/advance", align.Full(o, move)+"/"+align.Full(o, v.In(pitch)),
					o.Dec(turn, 3), "geometry")
				says += ", " + Turn(o, turn)
			}
		}
		todo = append(todo, says+".")
	}
	if todo != nil {
		o.SetLines("todo", append(todo, "Snug the bolts in turn and sweep again after each: the head moves as they pull down."))
	}
	return nil
}

// turns of the adjusters, + to the near side; 0 where they are not known.
func (l *Lean) turns(v *worksheet.Values, dia float64) (t [2]float64) {
	for k, key := range [...]string{"x", "y"} {
		if v.Has("dist"+key) && v.Has("pitch"+key) && dia > 0 && l.Axes[k].Out {
			t[k] = l.Axes[k].T / dia * v.In("dist"+key) / v.In("pitch"+key)
		}
	}
	return t
}

// Turn writes a turn of an adjuster as a wrench makes it.
func Turn(o *worksheet.Out, turns float64) string {
	turns = math.Abs(turns)
	if turns < 1./16 {
		return "less than 1/16 turn"
	}
	return o.Read("adjust", turns, "") + " turn"
}

var hollowStep2 = worksheet.Step{What: "Hollow", Formula: "sin(phi) (D/2 - sqrt((D/2)^2 - (B/2)^2))", Numbers: "D {len}, B {len}, phi {in/in}", Result: "{s}", Source: "geometry"}

// cut reports the hollow a face mill would leave.
func (l *Lean) cut(v *worksheet.Values, dia float64, o *worksheet.Out) *worksheet.InputError {
	if !v.Has("cutter") {
		return nil
	}
	if dia == 0 {
		o.Note("The hollow is not reckoned: the swing was not typed.")
		return nil
	}
	k := worksheet.Either(v.Choice("feed") == "y", 1, 0)
	p := Pass{Dia: v.In("cutter"), Width: v.In("cutter"), Along: [2]float64{l.X, l.Y}[k]}
	if v.Has("width") {
		p.Width = v.In("width")
	}
	if p.Width > p.Dia {
		return v.Refuse("width", "it is wider than the cutter. Type the width of one pass.")
	}
	if !l.Axes[k].Read {
		o.Note("The hollow is not reckoned: the axis along the feed was not read.")
		return nil
	}
	f := Dish(p)
	o.Set("hollow", f.Hollow, "in")
	o.Line(&hollowStep2, []string{align.Full(o, f.Hollow)}, p.Dia, p.Width, math.Abs(p.Along))
	o.Fact(align.LongBare(o, p.Dia)+" cutter hollows {=hollow in}", nil, f.Hollow)
	return nil
}

func (l *Lean) say(s Sweep, w Words, o *worksheet.Out) {
	worst := &l.Axes[0] // the axis with most to say
	for k := range l.Axes {
		if a := &l.Axes[k]; a.Read && (!worst.Read || a.Out && !worst.Out || a.Out == worst.Out && worst.Sure &&
			!a.Sure) {
			worst = a
		}
	}
	worst.Warn(o, "both sides")
	l.Surface(o, s.Noise.Grad)
	o.NoteIf(l.Axes[0].Fitted || l.Axes[1].Fitted,
		"An axis without a reading at both its sides is taken from the wave through all angles, on a flat surface.")
	o.NoteIf(w.level,
		"On a level spindle the arm droops by its own weight and reads it top to bottom. Sweep a bar held in the same pose, or turn the arm in the clamp, and take the droop off.")
	o.Note("Spindle stopped and out of gear, turned by hand; the tip must not fall into a slot. Support the head before its bolts are slack, as its maker says: it is heavy and may swing.")
}

// Surface warns of a surface that no turn of the head makes flat.
func (l *Lean) Surface(o *worksheet.Out, grad float64) {
	switch {
	case l.HasSecond && l.Second > max(grad, l.Over/4):
		o.Caution("A wave of twice a turn is left, " + align.Read(o, "needle", 2*l.Second) +
			" from high to low: the surface is twisted or the saddle sags. Turning the head does not remove it.")
	case l.HasClosure && math.Abs(l.Closure) > l.ClosureMost+1e-9:
		o.Caution("The sides do not add up, by " + align.Read(o, "needle", math.Abs(l.Closure)) +
			", and repeat: the surface is not flat there. Sweep on parallels or a plate to be sure of the head.")
	}
}
