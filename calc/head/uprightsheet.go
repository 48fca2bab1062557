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
	Half:    squareHalf,
	Inputs: []worksheet.Input{
		{Key: "turned", Ask: "What was turned?", Box: "turned", Label: "Read a second time", Kind: worksheet.Choice, Default: "square", Help: "What was turned round between the two sets of readings.",
			Options: []worksheet.Option{{Key: "square", Label: "square turned, same indicator"},
				{Key: "plate", Label: "plate turned, read from the other side"},
				{Key: "no", Label: "no: nothing was turned"}}},
		{Key: "readings", Ask: "Bottom reads?", Box: "readings", Label: "Readings", Kind: worksheet.Table, Required: true, Example: "0, 0, 0; 6, 0.0008, 0.0002; 12, 0.0016, 0.0004", MinRows: 2, MaxRows: 40,
			Help: "Height, reading, and the reading at that height after turning. Heights may be left empty, from the " +
				"bottom up.",
			Columns: []worksheet.Column{{Key: "height", Label: "Height", Box: "height", Kind: worksheet.Length,
				Min: "-200 in", Max: "200 in", Optional: true}, align.ReadingColumn("first", "First", "as it stood"),
				{Key: "second", Label: "Turned", Box: "turned", Needle: true, Kind: worksheet.Length, Min: "-100 in",
					Max: "100 in", Optional: true}}},
		{Key: "height", Ask: "How high?", Box: "height", Label: "Height read", Kind: worksheet.Length, Example: "12",
			Min: "0.1 in", Max: "200 in", Help: "From the lowest place to the highest, where they have no heights and share " +
				"it evenly, from the bottom up."},
		{Key: "foot", Ask: "How deep is its foot?", Box: "foot", Label: "Depth of the plate's foot",
			Kind: worksheet.Length, Example: "6", Min: "0.1 in", Max: "200 in", Help: "From its front edge to its back, " +
				"for the shim under one of them."},
		{Key: "allow", Ask: "Wanted within?", Box: "wanted within", Label: "Allowed", Needle: true, Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0 in", Max: "0.1 in", Help: "Out of square over the height read."},
		{Key: "error", Ask: "How far off is the square?", Box: "its error", Label: "Known error of the square", Needle: true, Kind: worksheet.Length, Example: "0.0001", Min: "-0.1 in",
			Max: "0.1 in", Section: "Known square",
			Help: "From its certificate: + where its top leans towards the indicator. Read only where nothing was turned."},
		{Key: "within", Ask: "Certified within?", Box: "certified", Label: "Or certified within", Needle: true, Kind: worksheet.Length, Example: "0.0002", Min: "0 in",
			Max: "0.1 in", Section: "Known square", Help: "Either way: it is added to the doubt. Read only where " +
				"nothing was turned."},
		{Key: "errorover", Ask: "Over what height?", Box: "error over", Label: "over a height of", Kind: worksheet.Length, Default: "12 in", Example: "12", Min: "0.5 in", Max: "100 in", Section: "Known square", Help: "The height that error is for."},
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
		{Key: "shim", Label: "Shim under the plate's foot", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle", Plan: true, Help: "Under its front edge, nearer the indicator, where the top leans out."},
	},
	Sources: []worksheet.Source{fromISO230, fromGUM, align.FromDecision, fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "readings", Text: "0 in, 0 in, 0 in; 6 in, 0.0008 in, 0.0002 in; 12 in, 0.0016 in, 0.0004 in"}},
	Compute: squareCompute,
}

// squareHalf asks for the other end.
func squareHalf(v *worksheet.Values, o *worksheet.Out) {
	if v.Rows("readings") > 0 {
		o.Question("Top reads?")
	}
}

// crooked is how far readings up a square may be off a line before they are a chip or a square that
// rocks: two thou, or four graduations. Common practice, no published source.
func crooked(grad float64) float64 { return max(.002, 4*grad) + 1e-9 }

func squareCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	how := v.Choice("turned")
	grad := v.In("grad")
	align.Steps(o, grad)
	u := Upright{Noise: align.Noise{Grad: grad, Habit: v.In("repeat")}, Allow: v.In("allow"), Piece: how == "plate",
		Square: v.In("error") / v.In("errorover"), Within: v.In("within") / v.In("errorover")}
	x, counted, f := align.Stations(v, "readings", "height")
	if f != nil {
		return f
	}
	if counted && how == "no" && (v.Has("error") || v.Has("within")) {
		return v.Missing("height")
	}
	for i, h := range x {
		a, _ := v.Cell("readings", i, 1, "in")
		u.H, u.A = append(u.H, h), append(u.A, float64(way*a))
	}
	for i := range x {
		if how == "no" {
			break
		}
		b, set := v.Cell("readings", i, 2, "in")
		if !set {
			u.askTurned(o, i)
			return v.Refuse("readings", "row "+strconv.Itoa(i+1)+" has no reading after turning. Fill it in, or say that nothing was turned.")
		}
		u.B = append(u.B, float64(way*b))
	}
	s, f := Reverse(u)
	if f != nil {
		return f
	}
	s.counted = counted
	o.Set("spread", s.Straight, "in")
	o.SetIf(!counted, "height in", s.Height)
	asked := slipped(v, o, grad, worksheet.Either(counted, 0, s.Height), u.A, u.B)
	if s.Trouble != nil && !asked {
		s.Trouble.Says(o, s.place(o, s.Trouble.At.X, "the bottom", "the top"))
		return nil
	}
	other := worksheet.Either(u.Piece, float64(s.Machine*s.Height), float64(s.Object*s.Height))
	o.SetAll("out in, sure in", s.T, s.U)
	o.SetIf(how != "no", "other in", other)
	if !counted {
		o.SetAll("machine in/in, object in/in", s.Machine, s.Object)
		o.SetText("angle", align.DMS(math.Atan(s.T/s.Height)))
	}
	s.work(how, o)
	if asked {
		return nil
	}
	over := s.over(o, ", its top ", s.Height)
	if how == "no" && !v.Given("error") && !v.Given("within") {
		o.SetText("verdict", "Leans "+align.Read(o, "needle", math.Abs(s.T))+
			over+", machine and square together: turn the square and read again to part them.")
		leans := "Leans " + align.Told(o, "needle", math.Abs(s.T))
		o.Head(leans, nil)
		o.Head(leans+", plate and square", nil)
		o.Fact("turn the square and read again to part them", nil)
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
		bowed := 0.0
		if s.Straight > max(.0005, grad)+1e-9 {
			bowed = s.Straight
		}
		s.first(v, o, how, other, bowed)
		o.SetFlag("is", !s.Out)
		s.Warn(o, "each end")
	}
	if s.Straight > crooked(grad) {
		from := align.Read(o, "hollow", s.Straight)
		o.HeadStop("Readings "+from+" from a line", nil)
		o.FactStop("a chip, or the square rocks", nil)
		o.Stop("The readings are "+from+" from a straight line: a chip, or the square rocks.",
			"One angle does not say it: wipe the foot and the face, see that nothing rocks, and read again.")
	}
	o.CautionIf(s.Straight > max(.0005, grad)+1e-9 && s.Straight <= crooked(grad),
		"The readings are {hollow in} from a straight line: the face or the slide is bowed, or a reading is wrong. "+
			"One angle does not say it all.", s.Straight)
	o.NoteIf(len(u.H) == 2, "Two heights cannot show a bow. Read a third between them.")
	o.Note("Wipe the base: a chip under a square leans it more than most squares are out.")
	return nil
}

// askTurned asks for the next reading after turning, behind what is known before it.
func (u *Upright) askTurned(o *worksheet.Out, i int) {
	last := len(u.H) - 1
	if i == 0 {
		places := align.Gather(u.H, u.A)
		o.Head("Leans "+align.Told(o, "needle", math.Abs(places[len(places)-1].Mid()-places[0].Mid())), nil)
	}
	o.Question("Turned, " + worksheet.Either(i == 0, "bottom", worksheet.Either(i == last, "top", "the next")) + "?")
}

// first says first whether what was asked is square, or which way its top leans; bowed is how far the
// readings are from a line, 0 where that is nothing.
func (s *Stand) first(v *worksheet.Values, o *worksheet.Out, how string, other, bowed float64) {
	over := worksheet.Either(s.counted, "", " in "+align.LongBare(o, s.Height))
	name, top, itself := "Slide square", "Slide leans", "square itself "
	switch how {
	case "plate":
		name, top, itself = "Plate square", "Plate's top leans", "machine itself "
	case "no":
		name, top, itself = "Square", "It leans", ""
	}
	off := align.Bare(o, "needle", math.Abs(other))
	var facts []string
	if itself != "" {
		facts = []string{itself + worksheet.Either(off == align.Unread, "true", off+" off")}
	}
	if !s.Out {
		s.Lean.First(o, name, "end", over, facts...)
		if bowed > 0 {
			o.Head(name+", but bowed", nil)
			o.Head(name+", but bowed "+align.Told(o, "hollow", bowed), nil)
		}
		return
	}
	out := worksheet.Either(s.T > 0, "out", "in")
	o.Head(top+" "+out, nil)
	o.Head(top+" "+out+" "+align.Told(o, "needle", math.Abs(s.T)), nil)
	if how == "plate" {
		edge := "under its " + worksheet.Either(s.T > 0, "front", "back") + " edge"
		if v.Has("foot") && !s.counted {
			shim := math.Abs(s.T) / s.Height * v.In("foot")
			o.Set("shim", shim, "in")
			edge = align.Bare(o, "needle", shim) + " " + edge
		}
		o.Fact("shim "+edge, nil)
	}
	s.Off(o, over)
	if bowed > 0 {
		facts = append([]string{"▲ bowed " + align.Bare(o, "hollow", bowed)}, facts...)
	}
	for _, f := range facts {
		o.Fact(f, nil)
	}
}

// place names a place by its end, or by where it is.
func (s *Stand) place(o *worksheet.Out, x float64, first, last string) string {
	switch {
	case !s.counted:
		return "the place at " + align.Long(o, x)
	case x == 0:
		return first
	case x == s.Height:
		return last
	}
	return "place " + strconv.Itoa(int(x)+1)
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
	over := worksheet.Either(s.counted, "", " over "+align.Long(o, length))
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
	if s.counted {
		s.Work(o, "over the height")
		return
	}
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
	Half:    barHalf,
	Inputs: []worksheet.Input{
		{Key: "readings", Ask: "At the nose reads?", Box: "readings", Label: "Readings", Kind: worksheet.Table, Required: true, Example: "1, 0, 0.001; 13, 0.002, 0.0006", MinRows: 2, MaxRows: 30,
			Help: "Distance from the nose, reading, and the reading there after half a turn of the spindle.",
			Columns: []worksheet.Column{{Key: "z", Label: "From the nose", Box: "from the nose", Kind: worksheet.Length,
				Min: "0 in", Max: "100 in", Optional: true}, align.ReadingColumn("first", "At 0", "first"),
				align.ReadingColumn("second", "At 180", "half a turn on")}},
		{Key: "length", Ask: "How long?", Box: "length", Label: "Length read", Kind: worksheet.Length, Example: "12",
			Min: "0.1 in", Max: "100 in", Help: "From the place at the nose to the far one, where they have no distances " +
				"and share it evenly."},
		{Key: "allow", Ask: "Wanted within?", Box: "wanted within", Label: "Allowed", Needle: true, Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0 in", Max: "0.1 in", Help: "Out of parallel over the length read."},
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

// barHalf asks for the other end.
func barHalf(v *worksheet.Values, o *worksheet.Out) {
	if v.Rows("readings") > 0 {
		o.Question("Far end reads?")
	}
}

// worthless is the run-out of a bar beyond which it is not worth reading: five thou. Common practice,
// no published source.
const worthless = .005 + 1e-9

func barCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	way := worksheet.Turned(v)
	grad := v.In("grad")
	align.Steps(o, grad)
	b := Barred{Noise: align.Noise{Grad: grad, Habit: v.In("repeat")}, Allow: v.In("allow")}
	x, counted, f := align.Stations(v, "readings", "length")
	if f != nil {
		return f
	}
	for i, z := range x {
		p, _ := v.Cell("readings", i, 1, "in")
		q, _ := v.Cell("readings", i, 2, "in")
		b.Z, b.A, b.B = append(b.Z, z), append(b.A, float64(way*p)), append(b.B, float64(way*q))
	}
	p, f := Point(b)
	if f != nil {
		return f
	}
	s := Stand{Lean: p.Lean, Height: p.Length, counted: counted}
	o.Set("tir", p.TIR, "in")
	worksheet.SetRows(o, "points", b.Z, func(i int, _ float64) []worksheet.Cell {
		row := worksheet.Cells("iii", nil, b.Z[i], p.Axis[i], p.Offset[i])
		if counted {
			row[0] = worksheet.Txt(s.place(o, b.Z[i], "at the nose", "far end"))
		}
		return row
	})
	asked := slipped(v, o, grad, worksheet.Either(counted, 0, p.Length), b.A, b.B)
	if p.Trouble != nil && !asked {
		p.Trouble.Says(o, s.place(o, p.Trouble.At.X, "the nose", "the far end"))
		return nil
	}
	o.SetAll("out in, sure in", p.T, p.U)
	length := "the length read"
	if !counted {
		o.SetAll("slope in/in, barslope in/in", p.Slope, p.BarSlope)
		o.SetText("angle", align.DMS(math.Atan(p.Slope)))
		length = align.Long(o, p.Length)
	}
	o.Line(&spindleStep, []string{strconv.Itoa(len(b.Z)), align.Full(o, p.T), length})
	o.Line(&barStep, []string{align.Full(o, p.TIR)})
	p.Work(o, "over the length")
	if !counted {
		o.Line(&leastStep, []string{o.Dec(p.Least[0], 8), o.Dec(p.Least[1], 8)})
	}
	if asked {
		return nil
	}
	over := s.over(o, ", its far end ", p.Length)
	o.SetText("verdict", p.Says(o, "The spindle is in line", "The spindle is out of line", over, "each end")+
		" The bar runs out "+align.Read(o, "needle", p.TIR)+" by itself.")
	p.first(o, worksheet.Either(counted, "", align.LongBare(o, p.Length)))
	o.SetFlag("inline", !p.Out)
	p.Warn(o, "each end")
	if p.TIR > worthless {
		o.HeadStop("Bar runs out "+align.Bare(o, "needle", p.TIR)+": clean the taper", nil)
		o.HeadStop("Bar runs out: clean the taper", nil)
		o.FactStop("more than it is worth reading", nil)
		o.FactStop("look for a bruise, seat it again", nil)
		o.Stop("The bar runs out "+align.Read(o, "needle", p.TIR)+": clean the taper.",
			"More than five thou is more than it is worth reading: clean taper and bar, seat it again, and look for a "+
				"bruise.")
	}
	o.CautionIf(p.TIR > .002 && p.TIR <= worthless,
		"The bar runs out more than two thou: clean taper and bar, seat it again, and look for a bruise.")
	o.Note("A long bar bends under its own weight: in the upright plane its end reads low by that much. Spindle turned by hand, out of gear.")
	return nil
}

// first says first whether the spindle points along the slide, the bar's own run-out apart.
func (p *Pointing) first(o *worksheet.Out, over string) {
	off := align.Bare(o, "needle", p.TIR)
	bar := worksheet.Either(off == align.Unread, "bar true", "bar runs out "+off+" by itself")
	if !p.Out {
		p.First(o, "Spindle true", "end", worksheet.Either(over == "", "", " in "+over), bar)
		if p.TIR > .002 && p.Sure {
			o.Head("Spindle true, bar runs out", nil)
			o.Head("Spindle true, bar runs out "+off, nil)
		}
		return
	}
	size := align.Told(o, "needle", math.Abs(p.T))
	o.Head("Far end off", nil)
	o.Head("Far end "+size+" off", nil)
	if over != "" {
		o.Head("Far end "+size+" off, over "+over, nil)
	}
	o.Fact(worksheet.Either(p.T > 0, "toward the needle", "away from the needle"), nil)
	o.Fact(worksheet.Either(off == align.Unread, "", "bar's own "+off+" taken out"), nil)
	o.Fact("sure "+worksheet.Either(p.Sure, "", "only ")+"to ±{=doubt in}", nil, p.U)
}
