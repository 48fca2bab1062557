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
			Options: []worksheet.Option{{Key: "square", Label: "square turned, same indicator"}, {Key: "plate", Label: "plate turned, read from the other side"}, {Key: "no", Label: "no: the square is known"}}},
		{Key: "readings", Label: "Readings", Kind: worksheet.Table, Required: true, Example: "0, 0, 0; 6, 0.0008, 0.0002; 12, 0.0016, 0.0004", MinRows: 2, MaxRows: 40,
			Help: "Height, reading, and the reading at that height after turning.",
			Columns: []worksheet.Column{{Key: "height", Label: "Height", Kind: worksheet.Length, Min: "-200 in", Max: "200 in"},
				{Key: "first", Label: "First", Kind: worksheet.Length, Min: "-1 in", Max: "1 in"},
				{Key: "second", Label: "Turned", Kind: worksheet.Length, Min: "-1 in", Max: "1 in", Optional: true}}},
		{Key: "allow", Label: "Allowed", Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0 in", Max: "0.1 in", Help: "Out of square over the height read."},
		{Key: "error", Label: "Known error of the square", Kind: worksheet.Length, Default: "0 in", Example: "0.0001", Min: "-0.1 in", Max: "0.1 in", Section: "Known square",
			Help: "From its certificate: + where its top leans towards the indicator. Read only where nothing was turned."},
		{Key: "errorover", Label: "over a height of", Kind: worksheet.Length, Default: "12 in", Example: "12", Min: "0.5 in", Max: "100 in", Section: "Known square", Help: "The height that error is for."},
		worksheet.Sense, worksheet.Graduation,
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "is", Label: "Square", Kind: worksheet.Flag},
		{Key: "out", Label: "Out of square over the height", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Help: "+ where the top leans towards the indicator."},
		{Key: "other", Label: "The other one's error over the height", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true},
		{Key: "sure", Label: "Sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Help: "At about 95 %."},
		{Key: "machine", Label: "Machine's slope", Kind: worksheet.Slope, Help: "Of the slide that was moved, or of what was read against a known square."},
		{Key: "object", Label: "Square's or plate's slope", Kind: worksheet.Slope},
		{Key: "angle", Label: "As an angle", Kind: worksheet.Text},
		{Key: "spread", Label: "Spread off the lines", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "height", Label: "Height read", Kind: worksheet.Length},
	},
	Sources: []worksheet.Source{fromISO230, fromGUM, fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "readings", Text: "0 in, 0 in, 0 in; 6 in, 0.0008 in, 0.0002 in; 12 in, 0.0016 in, 0.0004 in"}},
	Compute: squareCompute,
}

func squareCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	how := v.Choice("turned")
	u := Upright{Grad: v.In("grad"), Allow: v.In("allow"), Piece: how == "plate", Square: v.In("error") / v.In("errorover")}
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
	what, other := "The machine's slide", "the square's own error is "
	if u.Piece {
		what, other = "The plate", "the machine's own error is "
	}
	if how == "no" {
		what = "What was read"
	}
	otherOut := worksheet.Either(u.Piece, float64(s.Machine*s.Height), float64(s.Object*s.Height))
	o.SetText("verdict", s.verdict(what, o)+tail(how, other, otherOut, o))
	o.SetFlag("is", s.State == align.InLine)
	align.Warn(o, s.State)
	o.SetAll("out in, sure in", s.Out, s.Sure)
	o.SetIf(how != "no", "other in", otherOut)
	o.SetAll("machine in/in, object in/in", s.Machine, s.Object)
	o.SetText("angle", align.DMS(math.Atan(s.Out/s.Height)))
	o.SetAll("spread in, height in", s.Spread, s.Height)
	s.work(how, o)
	if s.Spread > 3*max(u.Grad, u.Allow) {
		o.Caution("The readings stray " + align.Fine(o, s.Spread) + " off a straight line: the face or the slide is bowed, or a reading is wrong. One angle does not say it all.")
	}
	o.NoteIf(len(u.H) == 2, "Two heights cannot show a bow. Read a third between them.")
	o.NoteIf(how == "no",
		"Without a reversal the answer holds whatever the square's own error is: it is only as good as its certificate.")
	o.Note("Wipe the base: a chip under a square leans it more than most squares are out.")
	return nil
}

func tail(how, other string, out float64, o *worksheet.Out) string {
	if how == "no" {
		return ""
	}
	return " Of the readings, " + other + align.Fine(o, math.Abs(out)) + "."
}

func (s *Stand) verdict(what string, o *worksheet.Out) string {
	over := " over " + o.Len(s.Height)
	way := worksheet.Either(s.Out < 0, "away from", "towards")
	switch s.State {
	case align.Tilted:
		return what + " is out of square by " + align.Fine(o, math.Abs(s.Out)) + over + ", its top " + way + " the indicator."
	case align.Unknown:
		return "These readings cannot tell: they show " + align.Fine(o, math.Abs(s.Out)) + over + ", sure only to " + align.Fine(o, s.Sure) + "."
	}
	if math.Abs(s.Out) <= s.Sure {
		return what + " is square, as closely as these readings tell: " + align.Fine(o, s.Sure) + over + "."
	}
	return what + " is square within what you allow: " + align.Fine(o, math.Abs(s.Out)) + over + "."
}

// Worked lines of work.
var (
	slopeFirstStep    = worksheet.Step{What: "Slope of the first readings, by least squares", Formula: "a = Sxy/Sxx", Numbers: "", Result: "{s} in/in", Source: "geometry"}
	slopeSquareStep   = worksheet.Step{What: "Slope, the square's taken off", Formula: "a - S", Numbers: "{s} - {s}", Result: "{s} in/in", Source: "geometry"}
	slopeAfterStep    = worksheet.Step{What: "Slope after turning", Formula: "b = Sxy/Sxx", Numbers: "", Result: "{s} in/in", Source: "geometry"}
	plateMachineStep  = worksheet.Step{What: "Plate, and machine", Formula: "(a + b)/2, (a - b)/2", Numbers: "{s}, {s}", Result: "{s}, {s} in/in", Source: "ISO 230-1"}
	machineSquareStep = worksheet.Step{What: "Machine, and square", Formula: "(a + b)/2, (a - b)/2", Numbers: "{s}, {s}", Result: "{s}, {s} in/in", Source: "ISO 230-1"}
	sureAboutStep     = worksheet.Step{What: "Sure to, about 95 %", Formula: "U = k u H/sqrt(Sxx)", Numbers: "k {2}, u {s}", Result: "{s}", Source: "GUM"}
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
	o.Line(&sureAboutStep, []string{align.FineBare(o, s.Needle.One()), align.Fine(o, s.Sure)}, s.Needle.Factor())
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
				{Key: "first", Label: "At 0", Kind: worksheet.Length, Min: "-1 in", Max: "1 in"},
				{Key: "second", Label: "At 180", Kind: worksheet.Length, Min: "-1 in", Max: "1 in"}}},
		{Key: "allow", Label: "Allowed", Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0 in", Max: "0.1 in", Help: "Out of parallel over the length read."},
		worksheet.Sense, worksheet.Graduation,
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "inline", Label: "In line", Kind: worksheet.Flag},
		{Key: "out", Label: "Spindle out of line over the length", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Help: "+ where its far end is nearer the indicator."},
		{Key: "tir", Label: "Bar's run-out, full", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Help: "The most, in the plane read."},
		{Key: "sure", Label: "Sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true},
		{Key: "slope", Label: "Spindle's slope", Kind: worksheet.Slope},
		{Key: "barslope", Label: "Bar's slope against the spindle", Kind: worksheet.Slope},
		{Key: "angle", Label: "As an angle", Kind: worksheet.Text},
		{Key: "points", Label: "Along the bar", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "z", Label: "From the nose", Kind: worksheet.Length}, {Key: "axis", Label: "Axis", Kind: worksheet.Length, Units: worksheet.Thou},
			{Key: "offset", Label: "Bar off it", Kind: worksheet.Length, Units: worksheet.Thou}}},
	},
	Sources: []worksheet.Source{fromISO230, fromGUM, fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "readings", Text: "1 in, 0 in, 0.001 in; 13 in, 0.002 in, 0.0006 in"}},
	Compute: barCompute,
}

// Worked lines of barCompute.
var (
	spindleSStep   = worksheet.Step{What: "Spindle's axis at each place", Formula: "(first + second)/2", Numbers: "{s} places", Result: "{s}{s}", Source: "ISO 230-1"}
	barSStep       = worksheet.Step{What: "Bar's run-out", Formula: "|first - second|, the most", Numbers: "", Result: "{s}", Source: "ISO 230-1"}
	sureAboutStep2 = worksheet.Step{What: "Sure to, about 95 %", Formula: "U = k u L/sqrt(Sxx)", Numbers: "k {2}, u {s}", Result: "{s}", Source: "GUM"}
)

func barCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	b := Barred{Grad: v.In("grad"), Allow: v.In("allow")}
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
	s := Stand{State: p.State, Out: p.Out, Sure: p.Sure, Height: p.Length}
	over := " over " + o.Len(p.Length)
	says := ""
	switch p.State {
	case align.Tilted:
		end := worksheet.Either(p.Out < 0, "away from", "towards")
		says = "The spindle is out of line by " + align.Fine(o, math.Abs(p.Out)) + over + ", its far end " + end + " the indicator."
	case align.Unknown:
		says = s.verdict("", o)
	default:
		says = "The spindle is in line: " + align.Fine(o, math.Abs(p.Out)) + over + ", sure to " + align.Fine(o, p.Sure) + "."
	}
	o.SetText("verdict", says+" The bar runs out "+align.Fine(o, p.TIR)+" by itself.")
	o.SetFlag("inline", p.State == align.InLine)
	align.Warn(o, p.State)
	o.SetAll("out in, tir in, sure in, slope in/in, barslope in/in", p.Out, p.TIR, p.Sure, p.Slope, p.BarSlope)
	o.SetText("angle", align.DMS(math.Atan(p.Slope)))
	worksheet.SetRows(o, "points", b.Z, func(i int, _ float64) []worksheet.Cell {
		return worksheet.Cells("iii", nil, b.Z[i], p.Axis[i], p.Offset[i])
	})
	o.Line(&spindleSStep, []string{strconv.Itoa(len(b.Z)), align.Fine(o, p.Out), over})
	o.Line(&barSStep, []string{align.Fine(o, p.TIR)})
	o.Line(&sureAboutStep2, []string{align.FineBare(o, p.Needle.One()), align.Fine(o, p.Sure)}, p.Needle.Factor())
	o.CautionIf(p.TIR > .002,
		"The bar runs out more than two thou: clean taper and bar, seat it again, and look for a bruise.")
	o.Note("A long bar bends under its own weight: in the upright plane its end reads low by that much. Spindle turned by hand, out of gear.")
	return nil
}
