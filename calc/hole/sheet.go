package hole

import (
	"datumbook/calc/drill"
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet { return []*worksheet.Sheet{tapped} }

var tapped = &worksheet.Sheet{
	Name:     "hole",
	Title:    "Tapped hole",
	Question: "Which drill, how deep, and does it fit?",
	Group:    "holes",
	About: []string{
		"From the finished surface down a blind tapped hole needs the full thread, the tap's chamfer, room for " +
			"chips, the drill's point and a floor. The plan adds them up, names the drill, and says what to do when " +
			"they do not fit.",
		"The drill is that of the usual tap drill tables, with the one reckoned from the percentage of thread " +
			"beside it. It is judged by the hole it makes: its size and the usual oversize, held against the limits " +
			"of the minor diameter of the thread's class. Percentage of thread is of the 0.6495 P height that tap " +
			"drill tables use.",
		"How far to tap is a mark on the tap, measured from its very end: a tap that follows a longer chamfer goes " +
			"in free and bites only a few turns before it. A count of turns can only warn.",
		"Depths are from the finished surface. What a facing cut takes off afterwards comes off the thread.",
	},
	Drawing: "hole",
	Inputs:  inputs,
	Results: results,
	Sources: []worksheet.Source{
		{Key: "B1.1", Title: "ASME B1.1-2003 Unified Inch Screw Threads, sections 5 and 8; rounding by ASME B1.30-2002"},
		{Key: "ISO 965-1", Title: "ISO 965-1:2013 ISO general purpose metric screw threads, tolerances; sizes by ISO 261:1998"},
		{Key: "MH", Title: "Machinery's Handbook, 31st edition: tap drill sizes, percentage of full thread, accuracy of drilled holes"},
		{Key: "taps", Title: "Usual tap drills: UNC and UNF by a tap maker's published list, from 1-1/8 up also " +
			"Machinery's Handbook, 31st edition, p. 2168; UNEF by a school shop chart, above 5/8 from memory; " +
			"metric by ISO 2306 from memory, in part a training handbook"},
		{Key: "H28", Title: "FED-STD-H28/2B and ASME B1.1-2003 appendix B: shear areas and length of engagement; metals as in the worksheet 'engage'"},
		{Key: "B94.11M", Title: "ASME B94.11M-1993 Twist Drills: drill sizes"},
		{Key: "TM 9-254", Title: "US Army TM 9-254 General Maintenance, paragraph 4-27: tap chamfers"},
		{Key: "geometry", Title: "Geometry of the cone and the depth budget"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "thread", Text: "3/8-16"}, {Key: "stock", Text: "7/8 in"}, {Key: "tap", Text: "bottoming"}},
	Compute: compute,
}

const tools, fine = "Tools", "Fine points"

var inputs = []worksheet.Input{
	{Key: "thread", Label: "Thread", Kind: worksheet.Thread, Required: true, Example: "3/8-16", Ask: "Which thread?",
		Box:   "thread",
		Help:  "Unified or ISO metric, with its class where you want another than 2B or 6H: 3/8-16, 3/8-16 UNC-2B, M12, M12x1.25-6H.",
		Canon: thread.Canon("3/8-16, 3/8-16 UNC-2B, M12 or M12x1.75-6H", true)},
	{Key: "depth", Label: "Full thread depth", Kind: worksheet.Length, Default: "deepest", Example: "1/2", Min: "0.01 in", Max: "40 in",
		Ask: "How deep?", Box: "depth",
		Help: "How deep the hole must be, measured to what you choose next; 'through' for a hole with no floor, whose " +
			"thickness is the stock's. Leave it empty for as deep as it goes.",
		Words: []worksheet.Option{{Key: "deepest", Label: "as deep as it goes"}, {Key: "through",
			Label: "through"}}},
	{Key: "to", Label: "Depth is to the", Kind: worksheet.Choice, Default: "thread", Help: "What the depth above is measured to.",
		Options: []worksheet.Option{{Key: "thread", Label: "last full thread"}, {Key: "shoulder", Label: "shoulder of the hole"}, {Key: "point", Label: "point of the drill"}}},
	{Key: "stock", Label: "Stock", Kind: worksheet.Length, Example: "7/8", Lately: "stock", Min: "0.02 in", Max: "40 in",
		Ask: "How thick?", Box: "plate",
		Help:  "Thickness under the surface, or 'through' for a hole with no floor. Empty: the floor is not checked.",
		Words: []worksheet.Option{{Key: "through", Label: "through"}}},
	{Key: "tap", Label: "Finishing tap", Kind: worksheet.Choice, Default: "bottoming", Help: "The tap that finishes the hole. Its longest usual chamfer is reckoned with.",
		Options: []worksheet.Option{{Key: "taper", Label: "Taper"}, {Key: "plug", Label: "Plug"}, {Key: "bottoming", Label: "Bottoming"}}},
	{Key: "work", Label: "Metal", Kind: worksheet.Choice, Default: "iron", Help: "Sets the percentage of thread, the chip room and the engagement usually wanted.",
		Options: []worksheet.Option{{Key: "iron", Label: "Grey iron"}, {Key: "steel", Label: "Steel"}, {Key: "stainless", Label: "Stainless"}, {Key: "aluminium", Label: "Aluminium"}, {Key: "bronze", Label: "Bronze"}}},
	{Key: "bolt", Label: "Screw's strength", Kind: worksheet.Choice, Section: fine, Default: "usual", Help: "For the engagement: 'usual' reckons with SAE grade 5 for a Unified and class 8.8 for a metric thread.",
		Options: []worksheet.Option{{Key: "usual", Label: "usual"}, {Key: "2", Label: "SAE grade 2"}, {Key: "5", Label: "SAE grade 5"}, {Key: "8", Label: "SAE grade 8"}, {Key: "rod", Label: "plain rod"}, {Key: "b7", Label: "B7 stud"}, {Key: "socket", Label: "socket head"},
			{Key: "4.6", Label: "class 4.6"}, {Key: "8.8", Label: "class 8.8"}, {Key: "10.9", Label: "class 10.9"}, {Key: "12.9", Label: "class 12.9"}}},
	{Key: "drills", Label: "Drills owned", Kind: worksheet.Choices, Section: tools, Default: "usual",
		Help: "The sets to choose from. 'usual' is the drill of the usual tables, else inch drills for a Unified " +
			"thread and metric drills for a metric one.",
		Options: []worksheet.Option{{Key: "usual", Label: "usual"}, {Key: "fraction", Label: "fractions"}, {Key: "number", Label: "numbers"}, {Key: "letter", Label: "letters"}, {Key: "metric", Label: "metric"}}},
	{Key: "drill", Label: "Use this drill", Kind: worksheet.Drill, Section: tools, Example: "5/16", Min: "0.005 in",
		Max: "6 in", Ask: "Which drill?", Box: "drill", Help: "A drill that must be used. Empty: that of the usual tables."},
	{Key: "point", Label: "Drill point angle", Kind: worksheet.Angle, Section: tools, Default: "118", Min: "60", Max: "180", Help: "Included angle: 118 for the usual drill, 135 for a split point, 180 for a flat bottom."},
	{Key: "method", Label: "Tap kind", Kind: worksheet.Choice, Section: tools, Default: "cut", Help: "A cutting tap, or a forming tap that rolls the thread.",
		Options: []worksheet.Option{{Key: "cut", Label: "cutting"}, {Key: "form", Label: "forming"}}},
	{Key: "zero", Label: "Stop is zeroed with the", Kind: worksheet.Choice, Section: tools, Default: "edge",
		Help:    "At the surface. What the depth in the headline is measured to; both stand in the steps.",
		Options: []worksheet.Option{{Key: "edge", Label: "full diameter"}, {Key: "point", Label: "point"}}},
	{Key: "percent", Label: "Percentage of thread", Kind: worksheet.Percent, Section: fine, Example: "75",
		Min: "30", Max: "100", Help: "What to aim at instead of the usual tables' drill. Empty: the tables; beside " +
			"them 75 is reckoned, stainless 60, forming taps 65."},
	{Key: "chamfer", Label: "Tap chamfer", Kind: worksheet.Number, Section: fine, Example: "1.5", Min: "0.5", Max: "15", Help: "In pitches, measured on your tap. Empty: the longest usual for its kind, 10, 5 or 2."},
	{Key: "before", Label: "Tap run before it", Kind: worksheet.Choice, Section: fine, Default: "usual",
		Help: "To the same depth. 'usual' is a plug tap before a bottoming tap.",
		Options: []worksheet.Option{{Key: "usual", Label: "usual"}, {Key: "none", Label: "none"}, {Key: "taper",
			Label: "Taper"}, {Key: "plug", Label: "Plug"}}},
	{Key: "lead", Label: "Its chamfer", Kind: worksheet.Number, Section: fine, Example: "4", Min: "0.5", Max: "15",
		Help: "In pitches, measured on the tap run before. Empty: the longest usual for its kind."},
	{Key: "centre", Label: "Point on the tap's end", Kind: worksheet.Length, Section: fine, Default: "0 in",
		Example: "1/8", Min: "0 in", Max: "2 in", Help: "How far a centre point stands out beyond the finishing " +
			"tap's chamfer."},
	{Key: "chips", Label: "Chip room", Kind: worksheet.Number, Section: fine, Example: "1", Min: "0", Max: "30", Help: "Room under the tap, in pitches. Empty: 1 in iron and bronze, else 2."},
	{Key: "floor", Label: "Least floor", Kind: worksheet.Length, Section: fine, Example: "1/8", Min: "0.001 in", Max: "20 in", Help: "The floor that must stay under the point. Empty: the largest of 1.5 pitches, 1/8 in (3 mm) and a quarter of the drill, as a caution only."},
	{Key: "csk", Label: "Countersink", Kind: worksheet.Length, Section: fine, Example: "11/16", Box: "csk",
		Min: "0.01 in", Max: "12 in", Help: "Diameter at the surface. Empty: the thread and half a pitch, up to the " +
			"next 1/16 in or half a millimetre.",
		Words: []worksheet.Option{{Key: "none", Label: "none"}}},
	{Key: "cskangle", Label: "Countersink angle", Kind: worksheet.Angle, Section: fine, Default: "90", Min: "60", Max: "120", Help: "Included angle, 82 or 90 as a rule."},
	{Key: "breakout", Label: "Run-out", Kind: worksheet.Length, Section: fine, Default: "1/16", Min: "0 in", Max: "2 in", Help: "How far the drill's lips run out of a through hole."},
}

var results = []worksheet.Result{
	worksheet.Verdict,
	{Key: "fits", Label: "It fits", Kind: worksheet.Flag, Judges: true},
	{Key: "drill", Label: "Drill", Kind: worksheet.Text, Main: true},
	{Key: "shoulder", Label: "Drill to the shoulder", Kind: worksheet.Length, Main: true, Dial: "quill"},
	{Key: "tip", Label: "Drill to the point", Kind: worksheet.Length, Main: true, Dial: "quill"},
	{Key: "full", Label: "Full thread", Kind: worksheet.Length, Main: true, Dial: "thread"},
	{Key: "floor", Label: "Floor left", Kind: worksheet.Length, Main: true, Dial: "left",
		Help: "Under the drill's point. Less than nothing is a hole in the far side."},
	{Key: "mark", Label: "Mark on the finishing tap", Kind: worksheet.Length, Main: true, Plan: true, Dial: "mark",
		Help: "From its very end. Level with the surface it is deep enough, whatever the count of turns."},
	{Key: "turns", Label: "Turns from its first bite", Kind: worksheet.Number, Main: true, Plan: true, Dial: "turn",
		Digits: worksheet.Digits{Inch: 1, Metric: 1}, Help: "Of the finishing tap, to the mark or until the chamfer " +
			"is out. The mark decides; the count only warns."},
	{Key: "free", Label: "Turns it goes in free", Kind: worksheet.Number, Main: true, Plan: true, Dial: "turn",
		Digits: worksheet.Digits{Inch: 2, Metric: 2}, Help: "In the thread of the tap run before, from the surface " +
			"to the first bite."},
	{Key: "bite", Label: "Its end at the first bite", Kind: worksheet.Length, Plan: true, Dial: "quill"},
	{Key: "ways", Label: "Ways out", Kind: worksheet.Lines},
	{Key: "steps", Label: "Steps", Kind: worksheet.Lines, Plan: true},
	{Key: "thread", Label: "Thread", Kind: worksheet.Text},
	{Key: "dia", Label: "Drill diameter", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 6, Metric: 4}},
	{Key: "percent", Label: "Percentage of thread, drill size", Kind: worksheet.Percent, Dial: "percent"},
	{Key: "likely", Label: "Percentage of thread, likely hole", Kind: worksheet.Percent, Dial: "percent"},
	{Key: "tabled", Label: "Drill of the usual tables", Kind: worksheet.Text},
	{Key: "reckoned", Label: "Drill by the percentage", Kind: worksheet.Text,
		Help: "The drill at hand whose likely hole comes nearest to the percentage aimed at."},
	{Key: "inlimits", Label: "Hole against the limits", Kind: worksheet.Text},
	{Key: "minormin", Label: "Minor diameter, least", Kind: worksheet.Length},
	{Key: "minormax", Label: "Minor diameter, most", Kind: worksheet.Length},
	{Key: "pitchmin", Label: "Pitch diameter, least", Kind: worksheet.Length},
	{Key: "pitchmax", Label: "Pitch diameter, most", Kind: worksheet.Length},
	{Key: "major", Label: "Major diameter, basic", Kind: worksheet.Length},
	{Key: "holelow", Label: "Hole with the least oversize", Kind: worksheet.Length},
	{Key: "holemean", Label: "Hole, likely", Kind: worksheet.Length},
	{Key: "holehigh", Label: "Hole with the most oversize", Kind: worksheet.Length},
	{Key: "runners", Label: "Other drills", Kind: worksheet.Table, Columns: []worksheet.Column{
		{Key: "drill", Label: "Drill", Kind: worksheet.Text},
		{Key: "dia", Label: "Diameter", Kind: worksheet.Length, Fine: true},
		{Key: "percent", Label: "Thread, drill size", Kind: worksheet.Percent},
		{Key: "likely", Label: "Thread, likely hole", Kind: worksheet.Percent},
		{Key: "inlimits", Label: "Against the limits", Kind: worksheet.Text}}},
	{Key: "chamferlen", Label: "Tap chamfer", Kind: worksheet.Length},
	{Key: "chiproom", Label: "Chip room", Kind: worksheet.Length},
	{Key: "reach", Label: "Tap reaches", Kind: worksheet.Length},
	{Key: "pointlen", Label: "Point length", Kind: worksheet.Length},
	{Key: "pitch", Label: "Pitch", Kind: worksheet.Length},
	{Key: "leastfloor", Label: "Least floor", Kind: worksheet.Length, Dial: "quill"},
	{Key: "deepest", Label: "Deepest full thread by tap", Kind: worksheet.Table, Columns: []worksheet.Column{
		{Key: "tap", Label: "Tap", Kind: worksheet.Text},
		{Key: "full", Label: "Full thread", Kind: worksheet.Length}}},
	{Key: "cskdia", Label: "Countersink", Kind: worksheet.Length, Dial: "quill"},
	{Key: "cskdepth", Label: "Countersink depth", Kind: worksheet.Length, Dial: "quill",
		Help: "From the edge of the drilled hole."},
	{Key: "stoptip", Label: "Stop reading, zero on the point", Kind: worksheet.Length, Plan: true, Dial: "quill",
		Help: "Quill stop or readout zeroed with the point touching the surface."},
	{Key: "stopedge", Label: "Stop reading, zero on the full diameter", Kind: worksheet.Length, Plan: true,
		Dial: "quill", Help: "Zeroed with the drill's full diameter level with the surface."},
	{Key: "usable", Label: "Usable thread", Kind: worksheet.Length, Dial: "thread",
		Help: "Full thread less what the countersink takes."},
	{Key: "engagement", Label: "Engagement", Kind: worksheet.Text},
	{Key: "needs", Label: "Engagement for the screw to break first", Kind: worksheet.Length, Dial: "threadneed",
		Help: "By the tensile strengths, the careful way. Weakest metal of its kind."},
	{Key: "needsshear", Label: "The same by the shear strengths", Kind: worksheet.Length, Dial: "threadneed"},
	{Key: "stock", Label: "Stock", Kind: worksheet.Length},
}

// input reads the worksheet's values into the typed input.
func input(v *worksheet.Values) (Input, *worksheet.InputError) {
	t, err := thread.Parse(v.Text("thread"))
	if err != nil {
		return Input{}, v.Refuse("thread", err.Error())
	}
	in := Input{
		Thread: t, Depth: v.In("depth"), Deepest: v.Word("depth") == "deepest", To: To(v.Choice("to")),
		Stock: v.In("stock"), Through: v.Word("stock") != "",
		Tap: Tap(v.Choice("tap")), Chamfer: v.Num("chamfer"), Forming: v.Choice("method") == "form",
		Work: Work(v.Choice("work")), Percent: v.Num("percent"), Drill: v.In("drill"), Point: v.As("point", "deg"),
		Chips: -1, Floor: v.In("floor"), Csk: -1, CskDeg: v.As("cskangle", "deg"), Run: v.In("breakout"),
		Usual: v.Choices("drills", "usual"), Mark: markOf(v.System), Rule: ruleOf(v.System),
		Lead: v.Num("lead"), Centre: v.In("centre"),
	}
	if v.Word("depth") == "through" {
		in.Through, in.Depth, in.Stock = true, in.Stock, 0
	}
	switch before := v.Choice("before"); {
	case in.Through:
	case before == "usual" && in.Tap == Bottoming && !in.Forming:
		in.Before = Plug
	case before != "usual" && before != "none":
		in.Before = Tap(before)
	}
	if v.Has("chips") {
		in.Chips = v.Num("chips")
	}
	if b := v.Choice("bolt"); b != "usual" {
		in.Bolt = b
	}
	if v.Has("csk") {
		in.Csk = v.In("csk") // 0 for the word none
	}
	for _, s := range drill.Sets {
		if in.Usual && offered(s, t) || v.Choices("drills", s.String()) {
			in.Sets = append(in.Sets, s)
		}
	}
	return in, nil
}

func compute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	in, f := input(v)
	if f != nil {
		return f
	}
	p, f := Make(in)
	if f != nil {
		if f.Field == "stock" || f.Field == "depth" {
			drillKnown(in, o)
		}
		return f
	}
	t := in.Thread
	d := t.Inches(t.D)
	o.AskUnit(v, "depth", d/4, 12*d)
	o.AskUnit(v, "stock", d/4, worksheet.Either(in.Deepest, 14*d, max(12, 20*d)))
	o.SetText("verdict", p.verdict(in, o))
	p.stops(in, o)
	if p.FloorKnown || in.Through || !p.Fits {
		o.SetFlag("fits", p.Fits)
	}
	if p.sized() { // the depths of another drill would be followed
		o.SetText("drill", named(&p.Pick, o))
		o.SetAll("shoulder in, tip in, full in", p.Shoulder, p.Tip, max(0, p.Full))
	}
	if p.FloorKnown && p.sized() {
		o.Set("floor", p.Floor, "in")
		o.SetLength("stock", v.Length("stock"))
	}
	o.SetAll("turns, pitch in", p.Bite.Turns, p.Pitch)
	o.SetIf(!in.Through, "mark in", p.Mark)
	o.SetIf(p.Lead > 0, "free, bite in", p.Bite.Free, p.Bite.Tip)
	if ways := p.ways(in, o); len(ways) > 0 {
		o.SetLines("ways", ways)
	}
	o.SetLines("steps", p.steps(in, o))
	o.SetText("thread", t.String())
	o.SetAll("dia in, percent %, likely %", p.Pick.Dia, p.Pick.Percent, p.Pick.Likely)
	o.SetText("inlimits", p.Pick.Grade.Say())
	beside := func(c *Candidate) string {
		return o.Fill("{s}, {percent %} of thread", []string{named(c, o)}, c.Percent)
	}
	if p.Tabled.Name != "" {
		o.SetText("tabled", beside(&p.Tabled))
	}
	o.SetText("reckoned", beside(&p.Reckoned))
	unit := t.System.Unit()
	o.Set("minormin", p.Limits.Minor.Min, unit)
	o.Set("minormax", p.Limits.Minor.Max, unit)
	o.Set("pitchmin", p.Limits.Pitch.Min, unit)
	o.Set("pitchmax", p.Limits.Pitch.Max, unit)
	o.Set("major", t.D, unit)
	o.SetAll("holelow in, holemean in, holehigh in", p.Pick.Low, p.Pick.Mean, p.Pick.High)
	worksheet.SetRows(o, "runners", p.Runners, func(_ int, c Candidate) []worksheet.Cell {
		return worksheet.Cells("si%%s", []string{named(&c, o), c.Grade.Say()}, c.Dia, c.Percent, c.Likely)
	})
	o.SetAll("chamferlen in, chiproom in, reach in, pointlen in",
		p.Chamfer, p.Chips, max(0, p.Reach), p.PointLen)
	if p.FloorKnown {
		o.Set("leastfloor", p.LeastFloor, "in")
		var rows [][]worksheet.Cell
		for i, tap := range Taps {
			rows = append(rows, worksheet.Cells("si", []string{string(tap)}, max(0, p.DeepestFull[i])))
		}
		o.SetTable("deepest", append(rows, worksheet.Cells("si", []string{"this tap, flat floor"}, max(0, p.FlatFull))))
	}
	o.SetIf(p.Csk > p.Pick.Dia && p.sized(), "cskdia in, cskdepth in", p.Csk, p.CskDepth)
	o.SetAll("stoptip in, stopedge in, usable in", p.StopTip, p.StopEdge, p.Usable)
	if in.Csk > 0 && in.Csk <= p.Pick.Dia {
		o.Ask("csk", "none", "Countersink: "+p.noSink(in, o)+". Its diameter at the surface is wanted.")
	}
	o.SetText("engagement", o.Fill("{diameters } diameters; {s} usually gets {1}, which is {threadneed in}",
		[]string{string(in.Work)}, diameters(in, p.Usable), strongIn(in.Work), p.Strong))
	o.SetIf(p.Needs > 0, "needs in, needsshear in", p.Needs, p.NeedsShear)
	o.Cite("B94.11M")
	p.work(in, o)
	p.say(in, o)
	p.head(in, v.Choice("zero") == "point", o)
	return nil
}
