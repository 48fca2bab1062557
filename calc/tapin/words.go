package tapin

import (
	"math"
	"strings"

	"datumbook/calc/align"
	"datumbook/calc/head"
	"datumbook/calc/worksheet"
)

// Worked lines, as data.
var (
	leanStep     = worksheet.Step{What: "Lean, {s}", Formula: "E' = E + R move, then towards y by u^2(E)/(u^2(E) + u^2(y))", Numbers: "expected {s}, read {s}", Result: "{s}", Source: "least squares"}
	responseStep = worksheet.Step{What: "It gives, for a move of one", Formula: "R by least squares", Numbers: "moves made: {0}", Result: "{4}, u {4}", Source: "least squares"}
	nextStep     = worksheet.Step{What: "Next move", Formula: "-T R/(R^2 + u^2(R) + (s R)^2), by the lever",
		Numbers: "T {s}, R {4}, u {4}, s {2}", Result: "{s}", Source: "least squares"}
	chanceStep = worksheet.Step{What: "Chance that it is inside",
		Formula: "Phi((A - T)/u) - Phi((-A - T)/u), u = U/2, all axes", Numbers: "A {s}", Result: "{1} %",
		Source: "JCGM 106"}

	tapSays   = " Tap end {s} {s} {s} the indicator, until the needle there reads {s}."
	shimSays  = " {s} {s} of shim {s} end {s}."
	turnSays  = " Turn the {s} adjuster {s}, the way that swings the top to the {s}."
	smallSays = " That is too little to move by this needle."
	againSays = " Move nothing, read again, and add the row with 'none' as what was moved."
	doneSays  = " Leave it, tighten in steps, and read once more."
	stuckSays = "The last move did nothing that shows: it sticks. Slacken the snug bolt a little, or tap harder, and ask the same again; a lighter tap only winds it up."
	heldTop   = "It does not move: loosen it."
	heldSays  = "Two moves one after the other did nothing that shows. Slacken the bolt that was snug, see what else holds it, and ask the same again; neither was learned from."
	wrongTop  = "The last move went the other way."
	wrongSays = "See that the right end was moved, which way the needle goes, and that nothing is loose; it was " +
		"not learned from."
	manySays  = "Six moves and not in: look for a chip, a burr, a sprung plate or a loose gib before the next."
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
	align.Steps(o, t.Grad)
	way := worksheet.Turned(v)
	var s Story
	var f *worksheet.InputError
	key := worksheet.Either(t.Way == Head, "sweeps", "pairs")
	if !v.Has(key) {
		return v.Refuse(key, "nothing is typed. Type the readings taken so far, a row each time.")
	}
	if !v.Has("span") && (t.Way == Head || v.Has("reach")) {
		o.Question(worksheet.Either(t.Way == Head, "How wide is the swing?", ""))
		return v.Missing("span")
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
	if slipped(v, o, t, key) {
		return nil
	}
	s.answer(v, t, way, o)
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

// slipped asks about readings of one row that differ by more than an indicator's do.
func slipped(v *worksheet.Values, o *worksheet.Out, t Task, key string) bool {
	readings := worksheet.Either(t.Way == Head, 4, 2)
	var low, high float64
	text := ""
	for i := range v.Rows(key) {
		least, most := math.Inf(1), math.Inf(-1)
		row := ""
		for j := range readings {
			y, _ := v.Cell(key, i, j, "in")
			least, most = min(least, y), max(most, y)
			row += worksheet.Either(j > 0, ", ", "") + align.AsMeant(o, y, t.Grad)
		}
		if most-least > high-low {
			low, high = least, most
		}
		if t.Way == Head {
			for j := range 2 {
				turn, set := v.Cell(key, i, 4+j, "")
				row += worksheet.Either(set, ", "+o.Dec(turn, 6), ", ")
			}
		} else {
			by, set := v.Cell(key, i, 3, "in")
			row += ", " + v.CellText(key, i, 2) + ", " + worksheet.Either(set, align.AsMeant(o, by, t.Grad), "")
		}
		text += worksheet.Either(i > 0, "; ", "") + strings.TrimRight(row, ", ")
	}
	return align.Slip(o, t.Grad, low, high, t.Span, align.Meant{Field: key, Means: text})
}

func (s *Story) answer(v *worksheet.Values, t Task, way float64, o *worksheet.Out) {
	s.history(t, o)
	o.Set("moves", float64(s.Moves), "")
	if t.Way == Head {
		o.SetIf(s.Sweep.HasClosure, "closure in", s.Sweep.Closure)
		if s.Sweep.Troubled(head.WordsOf(false), o) {
			return
		}
	} else if s.Lie.Trouble != nil {
		s.Lie.Trouble.Says(o, "end "+worksheet.Either(s.Lie.Trouble.At.X == 0, "A", "B"))
		return
	}
	a := &s.Axes[0]
	text := ""
	if t.Way == Head {
		text = s.Sweep.Says(o, head.WordsOf(false), t.Span)
	} else {
		over := worksheet.Either(t.Span > 0, " over "+align.Long(o, t.Span), "")
		text = s.Leans[0].Says(o, "In line", "Out of line", over, "each end")
	}
	s.first(v, t, way, o)
	switch {
	case s.State == Again:
		text += againSays
	case s.State != Move:
		text += doneSays
	case t.Way == Head:
		text += s.turnWords(way, o)
	default:
		text += s.pairWords(t, way, o)
	}
	o.SetText("verdict", text)
	o.SetFlag("done", s.State != Move)
	unit := s.Leans[0].U
	if t.Way == Head {
		b := &s.Axes[1]
		unit = max(unit, s.Leans[1].U)
		o.SetAll("leany in, perturnx in, perturny in", s.Leans[1].T, a.R, b.R)
		if s.State == Move {
			o.SetAll("turnx, turny", s.Ask...)
		}
	} else {
		o.SetAll("gain %, gainsure %", 100*a.R, 200*a.RUnit())
	}
	o.SetAll("lean in, chance %, sure in", s.Leans[0].T, 100*s.Chance, unit)
	if a.Sticks > 0 && t.Way != Head {
		o.SetText("sticks", align.Full(o, a.Sticks/t.lever()))
	}
}

func upper(at string) string { return worksheet.Either(at == "a", "A", "B") }

func (s *Story) pairWords(t Task, way float64, o *worksheet.Out) string {
	ask := s.Ask[0]
	size := align.Read(o, "aim", math.Abs(ask))
	if size == align.Unread {
		return smallSays
	}
	o.SetText("end", upper(s.At))
	o.Set("move", ask, "in")
	if t.Way == Shim {
		if ask < 0 {
			return o.Fill(shimSays, []string{"Take out", size, "from under", upper(s.At)})
		}
		return o.Fill(shimSays, []string{"Put in", size, "more under", upper(s.At)})
	}
	aim := s.aim(t)
	o.Set("aim", way*aim, "in")
	to := worksheet.Either(ask < 0, "away from", "towards")
	return o.Fill(tapSays, []string{upper(s.At), size, to, align.Read(o, "reads", way*aim)})
}

// aim is the needle's mark before the one reckoned, so that too little is moved rather than too much.
func (s *Story) aim(t Task) float64 {
	half := t.Grad / 2
	if s.Ask[0] < 0 {
		return half * math.Ceil(s.Needle/half-1e-6)
	}
	return half * math.Floor(s.Needle/half+1e-6)
}

func (s *Story) turnWords(way float64, o *worksheet.Out) string {
	text := ""
	for k, turn := range s.Ask {
		if turn == 0 {
			continue
		}
		if math.Abs(turn) < 1./16 { // nobody sets less with a wrench
			text += " " + head.WordsOf(false).Move(k, &s.Sweep.Axes[k], way, o) + "."
			continue
		}
		words := [2][3]string{{"right-left", "right", "left"}, {"nod", "back", "front"}}[k]
		to := words[1]
		if turn < 0 {
			to = words[2]
		}
		text += o.Fill(turnSays, []string{words[0], head.Turn(o, turn), to})
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
				moved, asked = upper(p.At), align.Read(o, "reads", float64(a.Asked*sign(p.At)/t.lever()))
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
	for k := range s.Axes {
		a := &s.Axes[k]
		step := leanStep
		step.What = o.Fill(step.What, []string{t.name(k)})
		o.Line(&step, []string{align.FullBare(o, a.Before), align.FullBare(o, a.Y), align.Full(o, a.E)})
		o.Line(&responseStep, nil, float64(a.Moves), a.R, a.RUnit())
		if s.State == Look {
			continue
		}
		s.Leans[k].Work(o, t.name(k))
		if s.Leans[k].Out {
			move := a.Next(s.Leans[k].T)
			next := align.Full(o, float64(move/t.lever()))
			if t.Way == Head {
				next = o.Dec(move, 3) + " turn"
			}
			o.Line(&nextStep, []string{align.FullBare(o, s.Leans[k].T), next}, a.R, a.RUnit(), a.Scatter)
		}
	}
	if s.State != Look {
		o.Line(&chanceStep, []string{align.FullBare(o, t.Allow)}, 100*s.Chance)
	}
	o.Cite("practice")
}

func (s *Story) care(t Task, o *worksheet.Out) {
	for k := range s.Axes {
		a := &s.Axes[k]
		if a.Wrong {
			o.HeadStop("It went the other way", nil)
			o.FactStop("the right end? the needle's way?", nil)
			o.FactStop("see that nothing is loose", nil)
			o.Stop(wrongTop, wrongSays)
		}
		if a.Held > 1 {
			asked := align.Bare(o, "reads", math.Abs(a.Asked/t.lever()))
			o.HeadStop("It does not move: loosen it", nil)
			o.FactStop(worksheet.Either(t.Way == Head, "turned", "asked "+asked)+", gave none, twice", nil)
			o.FactStop("slacken, ask the same again", nil)
			o.Stop(heldTop, heldSays)
		}
		o.CautionIf(a.Stuck && a.Held < 2, stuckSays)
		o.NoteIf(a.Moves == 0 && t.Way != Head && t.Pivot == "free" && s.State == Move, holdSays)
		o.NoteIf(a.Moves == 0 && t.Way != Head && s.State == Move, guessSays, 100*a.R, 200*a.RUnit())
	}
	if t.Way == Head && s.State != Look {
		s.Sweep.Surface(o, t.Grad)
	}
	care := worksheet.Either(t.Way == Head, headCare, tapCare)
	switch s.State {
	case Move:
		o.Hurt(care)
		o.CautionIf(s.Moves >= 6, manySays)
	case Again, Blind:
		for k := range s.Leans {
			s.Leans[k].Warn(o, worksheet.Either(t.Way == Head, "both sides", "each end"))
		}
		o.Note(care)
	default:
		o.Note(care)
	}
}
