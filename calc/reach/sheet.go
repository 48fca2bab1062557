package reach

import "datumbook/calc/sheet"

// Sheets gives the worksheets of this room.
func Sheets() []*sheet.Sheet {
	return []*sheet.Sheet{reachSheet(), daylightSheet(), foulSheet()}
}

var sources = []sheet.Source{
	{Key: "geometry", Title: "Geometry of a round cutter, a rectangular face and straight travels"},
	{Key: "FMP", Title: "Fundamentals of Machining Processes, 2nd edition, CRC Press 2013, section 6.3: length of travel in face milling"},
	{Key: "practice", Title: "Common practice, no published source"},
}

func length(key, label, section, example, def, lo, hi, help string) sheet.Input {
	return sheet.Input{Key: key, Label: label, Kind: sheet.Length, Section: section, Example: example, Default: def, Min: lo, Max: hi, Help: help}
}

func required(i sheet.Input) sheet.Input { i.Required = true; return i }

func reachSheet() *sheet.Sheet {
	const where, room, turret, fine = "Where it stands", "Table and column", "Ram and turret", "Fine points"
	return &sheet.Sheet{
		Name: "reach", Title: "Travel for a face", Question: "Can the machine reach?", Group: "hold",
		About: []string{
			"A face mill has to start clear of the face and run clear at the other end, so it needs more travel than the face is long: the cutter's diameter and the run-out at both ends. The worksheet compares that with the travel, gives the window of places for the part that works and its middle, and says by how much it is short.",
			"Places are measured from the middle of the table along the feed and across it; on a horizontal borer the second direction is upright, measured from the table's top.",
			"The cutter may stop as soon as the face is cut (one end only) where it may stand over the face, or lift off, at the end of the cut.",
		},
		Drawing: "reach",
		Inputs: []sheet.Input{
			{Key: "machine", Label: "Machine", Kind: sheet.Choice, Default: "mill", Help: "Sets what the second direction is and what may be swung.",
				Options: []sheet.Option{{Key: "mill", Label: "knee or bed mill"}, {Key: "turret", Label: "turret mill with ram"}, {Key: "borer", Label: "horizontal borer"}}},
			required(length("travel", "Travel along the feed", "", "22", "", "0.5 in", "600 in", "Table travel stop to stop, in the direction of the cut.")),
			required(length("cross", "Travel across it", "", "12", "", "0 in", "600 in", "Saddle travel; on a borer the spindle's travel up and down.")),
			required(length("long", "Length of the face", "", "14", "", "0.05 in", "600 in", "Along the feed.")),
			required(length("wide", "Width of the face", "", "5", "", "0.05 in", "600 in", "Across the feed; on a borer its height.")),
			required(length("cutter", "Cutter diameter", "", "6", "", "0.05 in", "60 in", "Over the cutting edges.")),
			length("runout", "Run-out", "", "1/4", "1/4 in", "0 in", "20 in", "Clear distance between cutter and face at each end."),
			{Key: "ends", Label: "The cutter must clear", Kind: sheet.Choice, Default: "both", Help: "Both ends, or only the end it starts from.",
				Options: []sheet.Option{{Key: "both", Label: "both ends"}, {Key: "left", Label: "the left end, cutting to the right"}, {Key: "right", Label: "the right end, cutting to the left"}}},
			length("atx", "Face middle, along", where, "1", "", "-600 in", "600 in", "From the table's middle, right is plus. Empty: the middle of the window."),
			length("aty", "Face middle, across", where, "0", "", "-600 in", "600 in", "From the table's middle line, towards the column is plus; on a borer height above the table. Empty: the middle of the window."),
			length("table", "Table length", room, "42", "", "1 in", "1000 in", "With the next two, overhang beyond the table is worked out."),
			length("left", "Part beyond the face, left", room, "2", "0 in", "0 in", "300 in", "How far part and fixture stick out past the left end of the face."),
			length("right", "Part beyond the face, right", room, "2", "0 in", "0 in", "300 in", "The same on the right."),
			length("throat", "Spindle to column", room, "16", "", "0 in", "300 in", "Throat: level distance from the spindle's middle to the column or its covers."),
			length("rear", "Part behind the face", room, "4", "0 in", "0 in", "300 in", "How far part, plate and studs stick out behind the face towards the column."),
			length("ram", "Ram reach", turret, "18", "", "0 in", "200 in", "Turret axis to spindle, as the ram stands."),
			{Key: "swing", Label: "Turret swung", Kind: sheet.Angle, Section: turret, Default: "0", Min: "-180", Max: "180", Help: "From straight out, to the right is plus."},
			length("home", "Ram reach over the middle line", turret, "16", "", "0 in", "200 in", "Ram reach at which the spindle stands over the table's middle line with the saddle in the middle. Empty: the ram reach, straight out."),
			length("low", "Cross travel starts at", fine, "-6", "", "-600 in", "600 in", "Lowest place of the spindle across the table, from the same zero. Empty: half the travel before the middle line; on a borer the table's top."),
			length("edge", "Cutter past the long edges", fine, "1/8", "1/8 in", "0 in", "30 in", "How far the cutter hangs over the face's long edges, at least."),
			{Key: "step", Label: "Step between passes", Kind: sheet.Percent, Section: fine, Default: "75", Min: "5", Max: "95", Help: "Of the cutter's diameter, where one pass does not cover the face."},
			length("close", "A close call is under", fine, "1/4", "1/4 in", "0 in", "10 in", "Spare travel less than this is called close: stops, dials and castings are not that sure."),
		},
		Results: reachResults(),
		Sources: sources,
		Example: []sheet.Pair{{Key: "travel", Text: "22 in"}, {Key: "cross", Text: "12 in"}, {Key: "long", Text: "14 in"}, {Key: "wide", Text: "5 in"}, {Key: "cutter", Text: "6 in"}},
		Compute: reachCompute,
		Checks:  reachChecks,
	}
}

func reachResults() []sheet.Result {
	l := func(key, label string, main bool) sheet.Result {
		return sheet.Result{Key: key, Label: label, Kind: sheet.Length, Main: main, Digits: sheet.Digits{Inch: 3, Metric: 2}}
	}
	return []sheet.Result{
		{Key: "verdict", Label: "Answer", Kind: sheet.Text, Main: true},
		{Key: "state", Label: "State", Kind: sheet.Text, Help: "reaches, close or short"},
		l("xplace", "Best place along", true), l("xwin", "Window along", true),
		l("yplace", "Best place across", true), l("ywin", "Window across", true),
		{Key: "ways", Label: "What to do", Kind: sheet.Lines},
		l("xneed", "Travel needed along", true), l("xspare", "Spare travel along", false),
		l("yneed", "Travel needed across", false), l("yspare", "Spare travel across", false),
		{Key: "rows", Label: "Passes side by side", Kind: sheet.Count, Main: true, Digits: sheet.Digits{Inch: sheet.Whole, Metric: sheet.Whole}},
		l("approach", "Approach to full width", false),
		l("xfrom", "Window along, from", false), l("xto", "to", false),
		l("yfrom", "Window across, from", false), l("yto", "to", false),
		l("usedx", "Place taken along", false), l("usedy", "Place taken across", false),
		l("clearl", "Left end of travel: cutter clears the face by", false), l("clearr", "Right end of travel: cutter clears the face by", false),
		l("startx", "Spindle starts at", false), l("stopx", "Spindle stops at", false),
		l("rowlow", "First pass at", false), l("rowhigh", "Last pass at", false),
		l("travlow", "Travel along starts at", false), l("travhigh", "Travel along ends at", false),
		l("crosslow", "Travel across starts at", false), l("crosshigh", "Travel across ends at", false),
		l("bigcutter", "Largest cutter that clears both ends", false),
		l("overleft", "Part beyond the table, left", false), l("overright", "Part beyond the table, right", false),
		l("column", "Room to the column", false),
		l("turretx", "Spindle from the turret's axis, right", false), l("turrety", "Spindle from the turret's axis, out", false),
	}
}
