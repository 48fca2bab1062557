package tapin

import (
	"math"

	"datumbook/calc/align"
	"datumbook/calc/worksheet"
)

// Worked lines, as data.
var (
	leanStep     = worksheet.Step{What: "Lean, {s}", Formula: "E' = E + R move, then towards y by u^2(E)/(u^2(E) + u^2(y))", Numbers: "expected {s}, read {s}", Result: "{s}", Source: "least squares"}
	readStep     = worksheet.Step{What: "A lean read is sure to", Formula: "u = sqrt(2 s^2 + d^2/6)", Numbers: "s {s}, d {s}", Result: "{s}", Source: "JCGM 100"}
	responseStep = worksheet.Step{What: "It gives, for a move of one", Formula: "R by least squares", Numbers: "moves made: {0}", Result: "{4}, u {4}", Source: "least squares"}
	nextStep     = worksheet.Step{What: "Next move", Formula: "-E R/(R^2 + u^2(R) + (s R)^2), by the lever", Numbers: "E {s}, R {4}, u {4}, s {2}", Result: "{s}", Source: "least squares"}
	chanceStep   = worksheet.Step{What: "Chance that it is inside", Formula: "Phi((T - E)/u) - Phi((-T - E)/u)", Numbers: "T {s}, u {s}", Result: "{1} %", Source: "JCGM 106"}
	chance2Step  = worksheet.Step{What: "Chance that it is inside", Formula: "normal distribution over a circle of radius T", Numbers: "T {s}, u {s}", Result: "{1} %", Source: "JCGM 106"}

	says = [...]string{
		Move:  "Leans {s} over {in}. ",
		Again: "Leans {s} over {in}, and may be inside: move nothing, read again, and add the row with 'none' as what was moved.",
		Blind: "As near as this indicator can tell: {s} over {in}. It cannot show what you want as surely as you want it. Take a finer indicator, a wider span, or ask for less.",
		Done:  "Good enough: leans {s} over {in}, inside {s} with a chance of {1} %. Leave it, tighten in steps, and read once more.",
	}
	tapSays   = "Tap end {s} by {s} {s} the indicator: until the needle there reads {s}."
	shimSays  = "{s} {s} of shim {s} end {s}."
	turnSays  = "Turn the {s} adjuster {3} of a turn, the way that swings the top to the {s}."
	stuckSays = "The last move did nothing that shows: it sticks. Slacken the snug bolt a little, or tap harder, and ask the same again; a lighter tap only winds it up."
	wrongSays = "The last move went the other way. See that the right end was moved, which way the needle goes, and that nothing is loose; it was not learned from."
	manySays  = "Six moves and not in: look for a chip, a burr, a sprung plate or a loose gib before the next."
	closeSays = "Right and left do not close with back and front, by {s}: the surface is not flat there, a gib is loose or a reading is wrong."
	guessSays = "Nothing is learned yet: that it gives {0} % of what is asked, sure to {0} %, is assumed from common practice."
	holdSays  = "Where a bolt can be made snug at one end, do that and say which end stays: it then turns about a known place and comes in with fewer moves."
	headCare  = "Spindle stopped and out of gear. Support the head before its bolts are slack, as its maker says: it is heavy and may swing."
	tapCare   = "Spindle stopped. Tap with a soft hammer and keep hands from under the part: nothing that hangs or stands on edge is tapped without a bolt snug or a stop behind it."
)

func taskOf(v *worksheet.Values) Task {
	t := Task{Way: Way(v.Choice("mode")), Span: v.In("span"), Allow: v.In("allow"), Certain: .95, Grad: v.In("grad"), Repeat: v.In("repeat"), Pivot: v.Choice("pivot"), Reach: v.In("reach"),
		Lead: [2]float64{v.In("leadx"), v.In("leady")}, Arm: [2]float64{v.In("armx"), v.In("army")}}
	switch v.Choice("level") {
	case "p80":
		t.Certain = .8
	case "p90":
		t.Certain = .9
	case "p99":
		t.Certain = .99
	}
	return t
}

func compute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	t := taskOf(v)
	way := worksheet.Turned(v)
	var s Story
	var f *worksheet.InputError
	key := worksheet.Either(t.Way == Head, "sweeps", "pairs")
	if !v.Has(key) {
		return v.Refuse(key, "nothing is typed. Type the readings taken so far, a row each time.")
	}
	x := make([]float64, 6)
	has := make([]bool, 6)
	cells := func(i, n int) {
		for j := range n {
			unit := worksheet.Either(j > 3, "", "in")
			x[j], has[j] = v.Cell(key, i, j, unit)
			if j < 4 {
				x[j] *= way
			}
		}
	}
	if t.Way == Head {
		var rounds []Round
		for i := range v.Rows(key) {
			cells(i, 6)
			rounds = append(rounds, Round{x[0], x[1], x[2], x[3], [2]float64{x[4], x[5]}, [2]bool{has[4], has[5]}})
		}
		s, f = Sweeps(t, rounds)
	} else {
		var pairs []Pair
		for i := range v.Rows(key) {
			cells(i, 2)
			by, given := v.Cell(key, i, 3, "in")
			pairs = append(pairs, Pair{x[0], x[1], v.CellText(key, i, 2), by, given})
		}
		s, f = Follow(t, pairs)
	}
	if f != nil {
		return f
	}
	s.answer(t, way, o)
	s.work(t, o)
	s.care(t, o)
	return nil
}

func (t Task) name(k int) string {
	switch {
	case t.Way != Head:
		return "A to B"
	case k == 0:
		return "right-left"
	}
	return "nod"
}

// percent writes a part as whole per cent.
func percent(o *worksheet.Out, x float64) string { return o.Dec(100*x, 0) + " %" }

func (s *Story) answer(t Task, way float64, o *worksheet.Out) {
	total, unit := 0.0, 0.0
	for i := range s.Axes {
		total += float64(s.Axes[i].E * s.Axes[i].E)
		unit = max(unit, s.Axes[i].Unit())
	}
	fineOf := func(x float64) string { return align.Fine(o, x) }
	a := &s.Axes[0]
	text := o.Fill(says[s.State], []string{fineOf(math.Sqrt(total)), fineOf(t.Allow)}, t.Span, 100*s.Chance)
	if s.State == Move {
		if t.Way == Head {
			text += s.turnWords(o)
		} else {
			text += s.pairWords(t, way, o)
		}
	}
	o.SetText("verdict", text)
	o.SetFlag("done", s.State == Done)
	o.SetAll("lean in, chance %, sure in, moves", a.E, 100*s.Chance, 2*unit, float64(s.Moves))
	if t.Way == Head {
		b := &s.Axes[1]
		o.SetAll("leany in, perturnx in, perturny in, closure in", b.E, a.R, b.R, s.Closure)
		if s.State == Move {
			o.SetAll("turnx, turny", s.Ask...)
		}
	} else {
		o.SetAll("gain %, gainsure %", 100*a.R, 200*a.RUnit())
		if s.State == Move {
			o.SetText("end", upper(s.At))
			o.Set("move", s.Ask[0], "in")
			o.SetIf(t.Way == Tap, "aim in", way*s.Needle)
		}
	}
	if a.Sticks > 0 && t.Way != Head {
		o.SetText("sticks", fineOf(a.Sticks/t.lever()))
	}
	s.history(t, o)
}

func upper(at string) string { return worksheet.Either(at == "a", "A", "B") }

func (s *Story) pairWords(t Task, way float64, o *worksheet.Out) string {
	ask := s.Ask[0]
	size := align.Fine(o, math.Abs(ask))
	if t.Way == Shim {
		if ask < 0 {
			return o.Fill(shimSays, []string{"Take out", size, "from under", upper(s.At)})
		}
		return o.Fill(shimSays, []string{"Put in", size, "more under", upper(s.At)})
	}
	to := worksheet.Either(ask < 0, "away from", "towards")
	return o.Fill(tapSays, []string{upper(s.At), size, to, align.Fine(o, way*s.Needle)})
}

func (s *Story) turnWords(o *worksheet.Out) string {
	text := ""
	for k, turn := range s.Ask {
		if turn == 0 {
			continue
		}
		words := [2][3]string{{"right-left", "right", "left"}, {"nod", "back", "front"}}[k]
		to := words[1]
		if turn < 0 {
			to = words[2]
		}
		if text != "" {
			text += " "
		}
		text += o.Fill(turnSays, []string{words[0], to}, math.Abs(turn))
	}
	return text
}

// history answers with the sequence as it was followed.
func (s *Story) history(t Task, o *worksheet.Out) {
	var rows [][]worksheet.Cell
	for i, p := range s.Past {
		for k := range p.Axes {
			a := &p.Axes[k]
			moved, asked, took := "", "", ""
			switch {
			case i == 0:
			case a.Asked == 0:
				moved = "nothing"
			case t.Way == Head:
				moved, asked = "adjuster", o.Dec(a.Asked, 3)+" turn"
			default:
				moved, asked = upper(p.At), align.Fine(o, float64(a.Asked*sign(p.At)/t.lever()))
			}
			if a.Asked != 0 && math.Abs(a.Took) < 100 {
				took = percent(o, a.Took)
			}
			if a.Stuck {
				took = "stuck"
			}
			if a.Wrong {
				took = "wrong way"
			}
			rows = append(rows, worksheet.Cells("nsssiiis%", []string{t.name(k), moved, asked, took},
				float64(i+1), a.Before, a.Y, a.E, 100*p.Chance))
		}
	}
	o.SetTable("history", rows)
}

func (s *Story) work(t Task, o *worksheet.Out) {
	bare := func(x float64) string { return align.FineBare(o, x) }
	for k := range s.Axes {
		a := &s.Axes[k]
		step := leanStep
		step.What = o.Fill(step.What, []string{t.name(k)})
		o.Line(&step, []string{bare(a.Before), bare(a.Y), align.Fine(o, a.E)})
		o.Line(&responseStep, nil, float64(a.Moves), a.R, a.RUnit())
		if s.State == Move {
			next := align.Fine(o, float64(a.Next()/t.lever()))
			if t.Way == Head {
				next = o.Dec(a.Next(), 3) + " turn"
			}
			o.Line(&nextStep, []string{bare(a.E), next}, a.R, a.RUnit(), a.Scatter)
		}
	}
	a := &s.Axes[0]
	o.Line(&readStep, []string{bare(t.Repeat), bare(t.Grad), align.Fine(o, math.Sqrt(a.reading()))})
	last := worksheet.Either(len(s.Axes) > 1, &chance2Step, &chanceStep)
	o.Line(last, []string{bare(t.Allow), bare(a.Unit())}, 100*s.Chance)
	o.Cite("practice")
}

func (s *Story) care(t Task, o *worksheet.Out) {
	for k := range s.Axes {
		a := &s.Axes[k]
		o.CautionIf(a.Stuck, stuckSays)
		o.RefuseIf(a.Wrong, wrongSays)
		o.NoteIf(a.Moves == 0 && t.Way != Head && t.Pivot == "free" && s.State == Move, holdSays)
		o.NoteIf(a.Moves == 0 && t.Way != Head && s.State == Move, guessSays, 100*a.R, 200*a.RUnit())
	}
	o.CautionIf(s.State == Move && s.Moves >= 6, manySays)
	if math.Abs(s.Closure) > 2*t.Grad+float64(4*t.Repeat) {
		o.Caution(o.Fill(closeSays, []string{align.Fine(o, s.Closure)}))
	}
	if t.Way == Head {
		o.Caution(headCare)
	} else {
		o.Caution(tapCare)
	}
}
