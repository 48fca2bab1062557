package head

import (
	"math"
	"strconv"

	"datumbook/calc/align"
	"datumbook/calc/worksheet"
)

var squareSheet = worksheet.Sheet{
	Name: "square", Title: "Is it square?", Question: "Is the plate square, or is it the square?", Group: "line",
	About: []string{
		"An indicator run up a square reads the machine's error and the square's together. Turn the square - a cylinder square by half a turn - and read again: its own error changes sign, the machine's does not, and half the sum and half the difference part them.",
		"For an angle plate, read its face, then turn the plate and read it from the other side: now the machine's error changes sign and the plate's does not. The same readings, the other way about.",
		"A cylinder that tapers cannot be told from a leaning column: measure it at top and bottom.",
	},
	Drawing: "square",
	Inputs: []worksheet.Input{
		{Key: "turned", Label: "Read a second time", Kind: worksheet.Choice, Default: "square", Help: "What was turned round between the two sets of readings.",
			Options: []worksheet.Option{{Key: "square", Label: "square turned, same indicator"},
				{Key: "plate", Label: "plate turned, read from the other side"},
				{Key: "no", Label: "no: nothing was turned"}}},
		{Key: "readings", Label: "Readings", Kind: worksheet.Table, Required: true, Example: "0, 0, 0; 6, 0.0008, 0.0002; 12, 0.0016, 0.0004", MinRows: 2, MaxRows: 40,
			Help: "Height, reading, and the reading at that height after turning.",
			Columns: []worksheet.Column{{Key: "height", Label: "Height", Kind: worksheet.Length, Min: "-200 in", Max: "200 in"},
				{Key: "first", Label: "First", Kind: worksheet.Length, Min: "-100 in", Max: "100 in"},
				{Key: "second", Label: "Turned", Kind: worksheet.Length, Min: "-100 in", Max: "100 in",
					Optional: true}}},
		{Key: "allow", Label: "Allowed", Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0 in", Max: "0.1 in", Help: "Out of square over the height read."},
		{Key: "error", Label: "Known error of the square", Kind: worksheet.Length, Example: "0.0001", Min: "-0.1 in",
			Max: "0.1 in", Section: "Known square",
			Help: "From its certificate: + where its top leans towards the indicator. Read only where nothing was turned."},
		{Key: "within", Label: "Or certified within", Kind: worksheet.Length, Example: "0.0002", Min: "0 in",
			Max: "0.1 in", Section: "Known square", Help: "Either way: it is added to the doubt. Read only where " +
				"nothing was turned."},
		{Key: "errorover", Label: "over a height of", Kind: worksheet.Length, Default: "12 in", Example: "12", Min: "0.5 in", Max: "100 in", Section: "Known square", Help: "The height that error is for."},
		worksheet.Sense, worksheet.Graduation, align.Repeats,
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "is", Label: "Square", Kind: worksheet.Flag, Judges: true},
		{Key: "out", Label: "Out of square over the height", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle", Main: true, Help: "+ where the top leans towards the indicator."},
		{Key: "other", Label: "The other one's error over the height", Kind: worksheet.Length,
			Digits: worksheet.FineDigits, Dial: "needle", Main: true},
		{Key: "sure", Label: "Sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "doubt", Main: true, Help: "At about 95 %."},
		{Key: "machine", Label: "Machine's slope", Kind: worksheet.Slope, Help: "Of the slide that was moved, or of what was read against a known square."},
		{Key: "object", Label: "Square's or plate's slope", Kind: worksheet.Slope},
		{Key: "angle", Label: "As an angle", Kind: worksheet.Text},
		{Key: "spread", Label: "Straight within", Kind: worksheet.Length, Digits: worksheet.FineDigits, Dial: "hollow"},
		{Key: "height", Label: "Height read", Kind: worksheet.Length},
	},
	Sources: []worksheet.Source{fromISO230, fromGUM, align.FromDecision, fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "readings", Text: "0 in, 0 in, 0 in; 6 in, 0.0008 in, 0.0002 in; 12 in, 0.0016 in, 0.0004 in"}},
	Compute: squareCompute,
}

func squareCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	how := v.Choice("turned")
	grad := v.In("grad")
	align.Steps(o, grad)
	u := Upright{Noise: align.Noise{Grad: grad, Habit: v.In("repeat")}, Allow: v.In("allow"), Piece: how == "plate",
		Square: v.In("error") / v.In("errorover"), Within: v.In("within") / v.In("errorover")}
	for i := range v.Rows("readings") {
		h, _ := v.Cell("readings", i, 0, "in")
		a, _ := v.Cell("readings", i, 1, "in")
		b, set := v.Cell("readings", i, 2, "in")
		u.H, u.A = append(u.H, h), append(u.A, float64(way*a))
		if how == "no" {
			continue
		}
		if !set {
			return v.Refuse("readings", "row "+strconv.Itoa(i+1)+" has no reading after turning. Fill it in, or say that nothing was turned.")
		}
		u.B = append(u.B, float64(way*b))
	}
	s, f := Reverse(u)
	if f != nil {
		return f
	}
	o.SetAll("spread in, height in", s.Straight, s.Height)
	asked := slipped(v, o, grad, s.Height, u.A, u.B)
	if s.Trouble != nil && !asked {
		s.Trouble.Says(o, "the place at "+align.Long(o, s.Trouble.At.X))
		return nil
	}
	other := worksheet.Either(u.Piece, float64(s.Machine*s.Height), float64(s.Object*s.Height))
	o.SetAll("out in, sure in", s.T, s.U)
	o.SetIf(how != "no", "other in", other)
	o.SetAll("machine in/in, object in/in", s.Machine, s.Object)
	o.SetText("angle", align.DMS(math.Atan(s.T/s.Height)))
	s.work(how, o)
	if asked {
		return nil
	}
	over := s.over(o, ", its top ", s.Height)
	if how == "no" && !v.Given("error") && !v.Given("within") {
		o.SetText("verdict", "Leans "+align.Read(o, "needle", math.Abs(s.T))+
			over+", machine and square together: turn the square and read again to part them.")
		o.Note("Nothing is said of the square. Type its error, or what it is certified within, to judge the machine.")
	} else {
		what, tail := "The machine's slide", ""
		switch how {
		case "plate":
			what, tail = "The plate", " The machine itself leans "+align.Read(o, "needle", math.Abs(other))+"."
		case "no":
			what = "What was read"
		default:
			tail = " The square itself leans " + align.Read(o, "needle", math.Abs(other)) + "."
		}
		o.SetText("verdict", s.Says(o, what+" is square", what+" is out of square", over, "each end")+tail)
		o.SetFlag("is", !s.Out)
		s.Warn(o, "each end")
	}
	o.CautionIf(s.Straight > max(.0005, grad)+1e-9,
		"The readings are {hollow in} from a straight line: the face or the slide is bowed, or a reading is wrong. "+
			"One angle does not say it all.", s.Straight)
	o.NoteIf(len(u.H) == 2, "Two heights cannot show a bow. Read a third between them.")
	o.Note("Wipe the base: a chip under a square leans it more than most squares are out.")
	return nil
}

// slipped asks about readings that differ by more than an indicator's do.
func slipped(v *worksheet.Values, o *worksheet.Out, grad, over float64, readings ...[]float64) bool {
	low, high := math.Inf(1), math.Inf(-1)
	for _, list := range readings {
		for _, y := range list {
			low, high = min(low, y), max(high, y)
		}
	}
	return align.Slip(o, grad, low, high, over, align.Table(v, o, "readings", 1, 2, grad, "in")...)
}

// over says over what a lean was read, and which way it goes where it can be read.
func (s *Stand) over(o *worksheet.Out, what string, length float64) string {
	over := " over " + align.Long(o, length)
	if align.Read(o, "needle", math.Abs(s.T)) == align.Unread {
		return over
	}
	return over + what + worksheet.Either(s.T < 0, "away from", "towards") + " the indicator"
}

// Worked lines of work.
var (
	slopeFirstStep = worksheet.Step{What: "Slope of the first readings, by the ends",
		Formula: "a = (top - bottom)/H", Numbers: "", Result: "{s} in/in", Source: "geometry"}
	slopeSquareStep = worksheet.Step{What: "Slope, the square's taken off", Formula: "a - S", Numbers: "{s} - {s}",
		Result: "{s} in/in", Source: "geometry"}
	slopeAfterStep = worksheet.Step{What: "Slope after turning", Formula: "b = (top - bottom)/H", Numbers: "",
		Result: "{s} in/in", Source: "geometry"}
	plateMachineStep = worksheet.Step{What: "Plate, and machine", Formula: "(a + b)/2, (a - b)/2",
		Numbers: "{s}, {s}", Result: "{s}, {s} in/in", Source: "ISO 230-1"}
	leastStep = worksheet.Step{What: "To compare, both by least squares", Formula: "Sxy/Sxx of each",
		Numbers: "", Result: "{s}, {s} in/in", Source: "GUM"}
	machineSquareStep = worksheet.Step{What: "Machine, and square", Formula: "(a + b)/2, (a - b)/2", Numbers: "{s}, {s}", Result: "{s}, {s} in/in", Source: "ISO 230-1"}
)

func (s *Stand) work(how string, o *worksheet.Out) {
	num := func(x float64) string { return o.Dec(x, 8) }
	o.Line(&slopeFirstStep, []string{num(s.First)})
	switch how {
	case "no":
		o.Line(&slopeSquareStep, []string{num(s.First), num(s.Object), num(s.Machine)})
	case "plate":
		o.Line(&slopeAfterStep, []string{num(s.Second)})
		o.Line(&plateMachineStep, []string{num(s.First), num(s.Second), num(s.Object), num(s.Machine)})
	default:
		o.Line(&slopeAfterStep, []string{num(s.Second)})
		o.Line(&machineSquareStep, []string{num(s.First), num(s.Second), num(s.Machine), num(s.Object)})
	}
	s.Work(o, "over the height")
	o.Line(&leastStep, []string{num(s.Least[0]), num(s.Least[1])})
}

var barSheet = worksheet.Sheet{
	Name: "bar", Title: "Test bar in the spindle", Question: "Is the spindle in line, or is it the bar?", Group: "line",
	About: []string{
		"Run an indicator along a bar in the spindle, then turn the spindle half a turn and run along it again. The mean of each pair is where the spindle's axis lies; half the difference is how far the bar is off it. One is the machine's, the other the taper's and the bar's.",
		"Read in the side plane and in the upright plane, each by itself.",
	},
	Drawing: "bar",
	Inputs: []worksheet.Input{
		{Key: "readings", Label: "Readings", Kind: worksheet.Table, Required: true, Example: "1, 0, 0.001; 13, 0.002, 0.0006", MinRows: 2, MaxRows: 30,
			Help: "Distance from the nose, reading, and the reading there after half a turn of the spindle.",
			Columns: []worksheet.Column{{Key: "z", Label: "From the nose", Kind: worksheet.Length, Min: "0 in", Max: "100 in"},
				{Key: "first", Label: "At 0", Kind: worksheet.Length, Min: "-100 in", Max: "100 in"},
				{Key: "second", Label: "At 180", Kind: worksheet.Length, Min: "-100 in", Max: "100 in"}}},
		{Key: "allow", Label: "Allowed", Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0 in", Max: "0.1 in", Help: "Out of parallel over the length read."},
		worksheet.Sense, worksheet.Graduation, align.Repeats,
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "inline", Label: "In line", Kind: worksheet.Flag, Judges: true},
		{Key: "out", Label: "Spindle out of line over the length", Kind: worksheet.Length,
			Digits: worksheet.FineDigits, Dial: "needle", Main: true,
			Help: "+ where its far end is nearer the indicator."},
		{Key: "tir", Label: "Bar's run-out, full", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle", Main: true, Help: "The most, in the plane read."},
		{Key: "sure", Label: "Sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "doubt", Main: true},
		{Key: "slope", Label: "Spindle's slope", Kind: worksheet.Slope},
		{Key: "barslope", Label: "Bar's slope against the spindle", Kind: worksheet.Slope},
		{Key: "angle", Label: "As an angle", Kind: worksheet.Text},
		{Key: "points", Label: "Along the bar", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "z", Label: "From the nose", Kind: worksheet.Length},
			{Key: "axis", Label: "Axis", Kind: worksheet.Length, Units: align.Dialled},
			{Key: "offset", Label: "Bar off it", Kind: worksheet.Length, Units: align.Dialled}}},
	},
	Sources: []worksheet.Source{fromISO230, fromGUM, align.FromDecision, fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "readings", Text: "1 in, 0 in, 0.001 in; 13 in, 0.002 in, 0.0006 in"}},
	Compute: barCompute,
}

// Worked lines of barCompute.
var (
	spindleStep = worksheet.Step{What: "Spindle's axis at each place, and over the length",
		Formula: "(first + second)/2, last less first", Numbers: "{s} places", Result: "{s} over {s}",
		Source: "ISO 230-1"}
	barStep = worksheet.Step{What: "Bar's run-out", Formula: "|first - second|, the most", Numbers: "",
		Result: "{s}", Source: "ISO 230-1"}
)

func barCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	grad := v.In("grad")
	align.Steps(o, grad)
	b := Barred{Noise: align.Noise{Grad: grad, Habit: v.In("repeat")}, Allow: v.In("allow")}
	for i := range v.Rows("readings") {
		z, _ := v.Cell("readings", i, 0, "in")
		p, _ := v.Cell("readings", i, 1, "in")
		q, _ := v.Cell("readings", i, 2, "in")
		b.Z, b.A, b.B = append(b.Z, z), append(b.A, float64(way*p)), append(b.B, float64(way*q))
	}
	p, f := Point(b)
	if f != nil {
		return f
	}
	o.Set("tir", p.TIR, "in")
	worksheet.SetRows(o, "points", b.Z, func(i int, _ float64) []worksheet.Cell {
		return worksheet.Cells("iii", nil, b.Z[i], p.Axis[i], p.Offset[i])
	})
	asked := slipped(v, o, grad, p.Length, b.A, b.B)
	if p.Trouble != nil && !asked {
		p.Trouble.Says(o, "the place at "+align.Long(o, p.Trouble.At.X))
		return nil
	}
	o.SetAll("out in, sure in, slope in/in, barslope in/in", p.T, p.U, p.Slope, p.BarSlope)
	o.SetText("angle", align.DMS(math.Atan(p.Slope)))
	o.Line(&spindleStep, []string{strconv.Itoa(len(b.Z)), align.Full(o, p.T), align.Long(o, p.Length)})
	o.Line(&barStep, []string{align.Full(o, p.TIR)})
	p.Work(o, "over the length")
	o.Line(&leastStep, []string{o.Dec(p.Least[0], 8), o.Dec(p.Least[1], 8)})
	if asked {
		return nil
	}
	s := Stand{Lean: p.Lean}
	over := s.over(o, ", its far end ", p.Length)
	o.SetText("verdict", p.Says(o, "The spindle is in line", "The spindle is out of line", over, "each end")+
		" The bar runs out "+align.Read(o, "needle", p.TIR)+" by itself.")
	o.SetFlag("inline", !p.Out)
	p.Warn(o, "each end")
	o.CautionIf(p.TIR > .002,
		"The bar runs out more than two thou: clean taper and bar, seat it again, and look for a bruise.")
	o.Note("A long bar bends under its own weight: in the upright plane its end reads low by that much. Spindle turned by hand, out of gear.")
	return nil
}
