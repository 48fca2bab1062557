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

// words names the sides and what moves, for the two kinds of spindle.
type words struct {
	right, left, back, front string
	level                    bool
}

func wordsOf(v *worksheet.Values) words {
	if v.Choice("machine") == "level" {
		return words{"right", "left", "top", "bottom", true}
	}
	return words{"right", "left", "back", "front", false}
}

// pick names the side a tilt reads nearer at, and the one across from it.
func pick(tilt float64, plus, minus string) (near, far string) {
	if tilt < 0 {
		return minus, plus
	}
	return plus, minus
}

func sweepCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	s := Sweep{Dia: v.In("swing"), Grad: v.In("grad"), Allow: v.In("allow")}
	if v.Choice("is") == "radius" {
		s.Dia *= 2
	}
	add := func(angle, y float64) {
		s.Angle, s.Y = append(s.Angle, angle), append(s.Y, float64(way*y))
	}
	for _, side := range sides {
		if v.Has(side.key) {
			add(side.angle, v.In(side.key))
		}
	}
	for i := range v.Rows("readings") {
		a, _ := v.Cell("readings", i, 0, "deg")
		y, _ := v.Cell("readings", i, 1, "in")
		add(a, y)
	}
	if len(s.Y) < 3 {
		return v.Refuse("right", "a sweep needs readings at three sides, and four are usual. Type right, back, left and front, or a table of angles.")
	}
	l, f := Judge(s)
	if f != nil {
		return f
	}
	w := wordsOf(v)
	o.SetText("verdict", l.verdict(s, w, o))
	o.SetFlag("square", l.State == align.InLine)
	o.SetAll("over in, tiltx in/in, tilty in/in, sure in", l.Over, l.X, l.Y, l.Sure)
	o.SetIf(l.Over > 0, "nearest deg", l.Direction)
	o.Set("mean", way*l.Mean, "in")
	o.SetIf(l.HasClosure, "closure in", l.Closure)
	o.SetIf(l.HasSecond, "twist in, twistdir deg", l.Second, l.SecondDir)
	o.Set("spread", l.Spread, "in")
	o.SetIf(l.Repeated, "repeat in", l.Repeat)
	o.SetText("dmsx", align.DMS(math.Atan(l.X)))
	o.SetText("dmsy", align.DMS(math.Atan(l.Y)))
	o.Set("dia", s.Dia, "in")
	worksheet.SetRows(o, "points", s.Y, func(i int, _ float64) []worksheet.Cell {
		return worksheet.Cells("diii", nil, s.Angle[i], s.Y[i], l.Fitted[i]-l.Mean, l.Off[i])
	})
	l.work(s, o)
	if f := l.adjust(v, w, o); f != nil {
		return f
	}
	if f := l.cut(v, o); f != nil {
		return f
	}
	l.say(s, w, o)
	return nil
}

func (l *Lean) verdict(s Sweep, w words, o *worksheet.Out) string {
	size := o.Fill("{s} over {in}", []string{align.Fine(o, l.Over)}, s.Dia)
	switch l.State {
	case align.Unknown:
		return "These readings cannot tell: they show " + size + ", sure only to " + align.Fine(o, l.Sure) + ". Sweep again at more angles, wider, or with a finer indicator."
	case align.InLine:
		if l.Over <= l.Sure {
			return o.Fill("Square, as closely as these readings tell: {s} over {in}.", []string{align.Fine(o, l.Sure)}, s.Dia)
		}
		return "Square within what you allow: " + size + "."
	}
	nearX, _ := pick(l.X, w.right, w.left)
	nearY, _ := pick(l.Y, w.back, w.front)
	says := "Out of square by " + size + ": "
	x, y := math.Abs(l.X)*s.Dia, math.Abs(l.Y)*s.Dia
	part := func(size float64, near string) string { return align.Fine(o, size) + " nearer at the " + near }
	switch {
	case x < s.Grad/4:
		says += part(y, nearY)
	case y < s.Grad/4:
		says += part(x, nearX)
	default:
		says += part(x, nearX) + ", " + part(y, nearY)
	}
	return says + "."
}

// Worked lines of work.
var (
	onceTurnStep  = worksheet.Step{What: "Once-a-turn wave, by least squares", Formula: "r = C + A cos t + B sin t", Numbers: "{s}", Result: "A {s}, B {s}", Source: "geometry"}
	tiltAboutStep = worksheet.Step{What: "Tilt about both axes", Formula: "A/(D/2), B/(D/2)", Numbers: "{s}/{len}, {s}/{len}", Result: "{in/in}, {in/in}", Source: "ISO 230-1"}
	leanOverStep  = worksheet.Step{What: "Lean over the swing", Formula: "2 sqrt(A^2 + B^2)", Numbers: "", Result: "{s}", Source: "geometry"}
	closureStep   = worksheet.Step{What: "Closure", Formula: "(right + left) - (back + front)", Numbers: "", Result: "{s}", Source: "practice"}
	leanIsStep    = worksheet.Step{What: "Lean is sure to, about 95 %", Formula: "U = k u 2 sqrt(2/n)", Numbers: "k {2}, u {s}", Result: "{s}", Source: "GUM"}
)

func (l *Lean) work(s Sweep, o *worksheet.Out) {
	n := strconv.Itoa(len(s.Y)) + " readings"
	r := s.Dia / 2
	o.Line(&onceTurnStep, []string{n, align.Fine(o, float64(l.X*r)), align.Fine(o, float64(l.Y*r))})
	o.Line(&tiltAboutStep, []string{align.FineBare(o, float64(l.X*r)), align.FineBare(o, float64(l.Y*r))}, r, r, l.X, l.Y)
	o.Line(&leanOverStep, []string{align.Fine(o, l.Over)})
	if l.HasClosure {
		o.Line(&closureStep, []string{align.Fine(o, l.Closure)})
	}
	o.Line(&leanIsStep, []string{align.FineBare(o, l.Needle.One()), align.Fine(o, l.Sure)}, l.Needle.Factor())
}

// adjust says what to move, and by how many turns where the adjusters are known.
func (l *Lean) adjust(v *worksheet.Values, w words, o *worksheet.Out) *worksheet.InputError {
	_, farX := pick(l.X, w.right, w.left)
	_, farY := pick(l.Y, w.back, w.front)
	nearX, _ := pick(l.X, w.right, w.left)
	nearY, _ := pick(l.Y, w.back, w.front)
	type axis struct {
		tilt                        float64
		dist, pitch, move, turn     string
		do, name, alike, adjustName string
	}
	axes := [2]axis{
		{l.X, "distx", "pitchx", "movex", "turnx", "Swing the top of the head to the " + farX, "right-left", "right and left read alike", "right-left adjuster"},
		{l.Y, "disty", "pitchy", "movey", "turny", "Nod the top of the head to the " + farY, "nod", "back and front read alike", "nod adjuster"},
	}
	if w.level {
		axes[0].do = "Move the " + nearX + " side of the plate away from the spindle"
		axes[1].do = "Move the " + nearY + " of the plate away from the spindle"
		axes[1].alike = "top and bottom read alike"
	}
	var todo []string
	for _, a := range axes {
		if v.Has(a.pitch) && !v.Has(a.dist) {
			return v.Refuse(a.dist, "its distance is missing. Type how far the screw is from the pivot, or leave the advance empty.")
		}
		says := a.do + " until " + a.alike + ", half way between what they read now"
		if l.State == align.InLine {
			says = ""
		}
		if v.Has(a.dist) {
			move := math.Abs(a.tilt) * v.In(a.dist)
			o.Set(a.move, move, "in")
			o.Work("Move at the "+a.adjustName, "tilt x distance", o.Fill("{7} x {len}", nil, math.Abs(a.tilt), v.In(a.dist)), align.Fine(o, move), "geometry")
			if says != "" {
				says += ": " + align.Fine(o, move) + " at the " + a.adjustName
			}
			if v.Has(a.pitch) {
				turns := move / v.In(a.pitch)
				o.Set(a.turn, turns, "")
				o.Work("Turns of the "+a.adjustName, "move/advance", o.Fill("{s}/{len}", []string{align.FineBare(o, move)}, v.In(a.pitch)), o.Dec(turns, 3), "geometry")
				if says != "" {
					says += o.Fill(", {3} of a turn", nil, turns)
				}
			}
		}
		if says != "" {
			todo = append(todo, says+".")
		}
	}
	if todo != nil {
		o.SetLines("todo", append(todo, "Snug the bolts in turn and sweep again after each: the head moves as they pull down."))
	}
	return nil
}

var hollowStep2 = worksheet.Step{What: "Hollow", Formula: "sin(phi) (D/2 - sqrt((D/2)^2 - (B/2)^2))", Numbers: "D {len}, B {len}, phi {in/in}", Result: "{s}", Source: "geometry"}

// cut reports the hollow a face mill would leave.
func (l *Lean) cut(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	if !v.Has("cutter") {
		return nil
	}
	p := Pass{Dia: v.In("cutter"), Width: v.In("cutter"), Along: l.X}
	if v.Choice("feed") == "y" {
		p.Along = l.Y
	}
	if v.Has("width") {
		p.Width = v.In("width")
	}
	if p.Width > p.Dia {
		return v.Refuse("width", "it is wider than the cutter. Type the width of one pass.")
	}
	f := Dish(p)
	o.Set("hollow", f.Hollow, "in")
	o.Line(&hollowStep2, []string{align.Fine(o, f.Hollow)}, p.Dia, p.Width, math.Abs(p.Along))
	return nil
}

func (l *Lean) say(s Sweep, w words, o *worksheet.Out) {
	if l.Repeated && l.Repeat > 2*s.Grad {
		o.Refuse("Readings at one angle differ by " + align.Fine(o, l.Repeat) + ", more than two graduations: the arm, the quill or a gib is loose. Find it before trusting any of this.")
	}
	if l.HasClosure && math.Abs(l.Closure) > 2*s.Grad {
		o.Caution("Right and left do not close with back and front, by " + align.Fine(o, l.Closure) + ": the surface is not flat there, a gib is loose, or a reading is wrong. Sweep it again, and on parallels or a plate.")
	}
	if l.HasSecond && l.Second > max(s.Grad, l.Over/4) {
		o.Caution("A wave of twice a turn is left, " + align.Fine(o, 2*l.Second) + " from high to low: the surface is twisted or the saddle sags. Turning the head does not remove it.")
	}
	o.NoteIf(w.level,
		"On a level spindle the arm droops by its own weight and reads it top to bottom. Sweep a bar held in the same pose, or turn the arm in the clamp, and take the droop off.")
	o.Note("Spindle stopped and out of gear, turned by hand; the tip must not fall into a slot. Support the head before its bolts are slack, as its maker says: it is heavy and may swing.")
	align.Warn(o, l.State)
}
