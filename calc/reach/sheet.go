package reach

import "datumbook/calc/worksheet"

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet {
	return []*worksheet.Sheet{reachSheet, daylightSheet, foulSheet}
}

var sources = []worksheet.Source{
	{Key: "geometry", Title: "Geometry of a round cutter, a rectangular face and straight travels"},
	{Key: "FMP", Title: "Fundamentals of Machining Processes, 2nd edition, CRC Press 2013, section 6.3: length of travel in face milling"},
	worksheet.Practice,
}

const where, room, turret = "Where it stands", "Table and column", "Ram and turret"

var reachSheet = &worksheet.Sheet{
	Name: "reach", Title: "Travel for a face", Question: "Can the machine reach?", Group: "hold",
	About: []string{
		"A face mill has to start clear of the face and run clear at the other end, so it needs more travel than the face is long: the cutter's diameter and the run-out at both ends. The worksheet compares that with the travel, gives the window of places for the part that works and its middle, and says by how much it is short.",
		"Places are measured from the middle of the table along the feed and across it; on a horizontal borer the second direction is upright, measured from the table's top.",
		"The cutter may stop as soon as the face is cut (one end only) where it may stand over the face, or lift off, at the end of the cut.",
	},
	Drawing: "reach",
	Inputs: []worksheet.Input{
		{Key: "machine", Label: "Machine", Ask: "Which machine?", Kind: worksheet.Choice, Default: "mill", Help: "A knee or bed mill, a turret mill with a ram, or a horizontal borer: sets what the second direction is and what may be swung.",
			Options: []worksheet.Option{{Key: "mill", Label: "Knee mill"}, {Key: "turret", Label: "Turret"}, {Key: "borer", Label: "Borer"}}},
		{Key: "travel", Label: "Travel along the feed", Ask: "Travel along?", Box: "travel along", Kind: worksheet.Length, Example: "22", Min: "0.5 in", Max: "600 in", Help: "Table travel stop to stop, in the direction of the cut.", Required: true},
		{Key: "cross", Label: "Travel across it", Ask: "Travel across?", Box: "travel across", Kind: worksheet.Length, Example: "12", Min: "0 in", Max: "600 in", Help: "Saddle travel; on a borer the spindle's travel up and down.", Required: true},
		{Key: "long", Label: "Length of the face", Ask: "How long a face?", Box: "face long", Kind: worksheet.Length, Example: "14", Min: "0.05 in", Max: "600 in", Help: "Along the feed.", Required: true},
		{Key: "wide", Label: "Width of the face", Ask: "How wide a face?", Box: "face wide", Kind: worksheet.Length, Example: "5", Min: "0.05 in", Max: "600 in", Help: "Across the feed; on a borer its height.", Required: true},
		{Key: "cutter", Label: "Cutter diameter", Ask: "What cutter?", Box: "cutter", Kind: worksheet.Length, Example: "6", Min: "0.05 in", Max: "60 in", Help: "Over the cutting edges.", Required: true},
		{Key: "runout", Label: "Run-out", Ask: "How far past the face?", Box: "run-out", Kind: worksheet.Length, Example: "1/4", Default: "1/4 in", Min: "0 in", Max: "20 in", Help: "Clear distance between cutter and face at each end."},
		{Key: "ends", Label: "The cutter must clear", Ask: "Which ends clear?", Kind: worksheet.Choice, Default: "both", Help: "Both ends, or only the one it starts from: from the left end it cuts to the right.",
			Options: []worksheet.Option{{Key: "both", Label: "Both ends"}, {Key: "left", Label: "Left end"}, {Key: "right", Label: "Right end"}}},
		{Key: "offset", Label: "Cutter's middle off the face's", Ask: "How far off the middle?", Box: "off the middle", Kind: worksheet.Length, Section: where, Example: "1/2",
			Default: "0 in", Min: "-30 in", Max: "30 in", Help: "Across the feed, towards the column is plus; on a borer up. " +
				"Where one pass covers the face."},
		{Key: "atx", Label: "Face middle, along", Ask: "Where does it stand along?", Box: "stands at", Kind: worksheet.Length, Section: where, Example: "1", Min: "-600 in", Max: "600 in", Help: "From the table's middle, right is plus. Empty: the middle of the window."},
		{Key: "aty", Label: "Face middle, across", Ask: "Where does it stand across?", Box: "middle across", Kind: worksheet.Length, Section: where, Example: "0", Min: "-600 in", Max: "600 in", Help: "From the table's middle line, towards the column is plus; on a borer height above the table. Empty: the middle of the window."},
		{Key: "table", Label: "Table length", Ask: "How long a table?", Box: "table", Kind: worksheet.Length, Section: room, Example: "42", Min: "1 in", Max: "1000 in", Help: "With the next two, overhang beyond the table is worked out."},
		{Key: "left", Label: "Part beyond the face, left", Ask: "How far past the left end?", Box: "beyond left", Kind: worksheet.Length, Section: room, Example: "2", Default: "0 in", Min: "0 in", Max: "300 in", Help: "How far part and fixture stick out past the left end of the face."},
		{Key: "right", Label: "Part beyond the face, right", Ask: "How far past the right end?", Box: "beyond right", Kind: worksheet.Length, Section: room, Example: "2", Default: "0 in", Min: "0 in", Max: "300 in", Help: "The same on the right."},
		{Key: "throat", Label: "Spindle to column", Ask: "Spindle to column?", Box: "throat", Kind: worksheet.Length, Section: room, Example: "16", Min: "0 in", Max: "300 in", Help: "Throat: level distance from the spindle's middle to the column or its covers."},
		{Key: "rear", Label: "Part behind the face", Ask: "How much is behind the face?", Box: "behind it", Kind: worksheet.Length, Section: room, Example: "4", Default: "0 in", Min: "0 in", Max: "300 in", Help: "How far part, plate and studs stick out behind the face towards the column."},
		{Key: "ram", Label: "Ram reach", Ask: "How far out is the ram?", Box: "ram", Kind: worksheet.Length, Section: turret, Example: "18", Min: "0 in", Max: "200 in", Help: "Turret axis to spindle, as the ram stands."},
		{Key: "swing", Label: "Turret swung", Ask: "Swung how far?", Box: "swung", Kind: worksheet.Angle, Section: turret, Default: "0", Min: "-180", Max: "180", Help: "From straight out, to the right is plus."},
		{Key: "home", Label: "Ram reach over the middle line", Ask: "Ram over the middle line?", Box: "ram at middle", Kind: worksheet.Length, Section: turret, Example: "16", Min: "0 in", Max: "200 in", Help: "Ram reach at which the spindle stands over the table's middle line with the saddle in the middle. Empty: the ram reach, straight out."},
		{Key: "low", Label: "Cross travel starts at", Ask: "Where does the cross travel start?", Box: "cross from", Kind: worksheet.Length, Section: fine, Example: "-6", Min: "-600 in", Max: "600 in", Help: "Lowest place of the spindle across the table, from the same zero. Empty: half the travel before the middle line; on a borer the table's top."},
		{Key: "edge", Label: "Cutter past the long edges", Ask: "How far past the edges?", Box: "past the edges", Kind: worksheet.Length, Section: fine, Example: "1/8", Default: "1/8 in", Min: "0 in", Max: "30 in", Help: "How far the cutter hangs over the face's long edges, at least."},
		{Key: "step", Label: "Step between passes", Ask: "What step between passes?", Box: "step", Kind: worksheet.Percent, Section: fine, Default: "75", Min: "5", Max: "95", Help: "Of the cutter's diameter, where one pass does not cover the face."},
		{Key: "close", Label: "A close call is under", Ask: "Close is under?", Box: "close", Kind: worksheet.Length, Section: fine, Example: "1/4", Default: "1/4 in", Min: "0 in", Max: "10 in", Help: "Spare travel less than this is called close: stops, dials and castings are not that sure."},
	},
	Results: reachResults,
	Sources: sources,
	Example: []worksheet.Pair{{Key: "travel", Text: "22 in"}, {Key: "cross", Text: "12 in"},
		{Key: "long", Text: "14 in"}, {Key: "wide", Text: "5 in"}, {Key: "cutter", Text: "6 in"}, {Key: "throat",
			Text: "16 in"}, {Key: "rear", Text: "4 in"}},
	Compute: reachCompute, Half: reachHalf,
}

// places are the decimals of lengths on a rule.
var places = worksheet.Digits{Inch: 3, Metric: 2}

var reachResults = []worksheet.Result{
	worksheet.Verdict,
	{Key: "state", Label: "State", Kind: worksheet.Text, Help: "reaches, close or short"},
	{Key: "xplace", Label: "Best place along", Kind: worksheet.Length, Main: true, Digits: places, Dial: "rule"},
	{Key: "xwin", Label: "Window along", Kind: worksheet.Length, Main: true, Digits: places, Dial: "spare"},
	{Key: "yplace", Label: "Best place across", Kind: worksheet.Length, Main: true, Digits: places, Dial: "rule"},
	{Key: "ywin", Label: "Window across", Kind: worksheet.Length, Main: true, Digits: places, Dial: "spare"},
	{Key: "ok", Label: "It reaches", Kind: worksheet.Flag, Judges: true},
	{Key: "ways", Label: "What to do", Kind: worksheet.Lines},
	{Key: "side", Label: "Climb or conventional", Kind: worksheet.Text,
		Help: "For a spindle that turns clockwise, seen from it."},
	{Key: "xneed", Label: "Travel needed along", Kind: worksheet.Length, Main: true, Digits: places, Dial: "need"},
	{Key: "xspare", Label: "Spare travel along", Kind: worksheet.Length, Digits: places, Dial: "spare"},
	{Key: "yneed", Label: "Travel needed across", Kind: worksheet.Length, Digits: places, Dial: "need"},
	{Key: "yspare", Label: "Spare travel across", Kind: worksheet.Length, Digits: places, Dial: "spare"},
	{Key: "rows", Label: "Passes side by side", Kind: worksheet.Count, Main: true, Digits: worksheet.WholeDigits},
	{Key: "approach", Label: "Approach to full width", Kind: worksheet.Length, Digits: places, Dial: "need"},
	{Key: "xfrom", Label: "Window along, from", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "xto", Label: "to", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "yfrom", Label: "Window across, from", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "yto", Label: "to", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "usedx", Label: "Place taken along", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "usedy", Label: "Place taken across", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "sparel", Label: "Spare travel at the left end", Kind: worksheet.Length, Digits: places, Dial: "spare"},
	{Key: "sparer", Label: "Spare travel at the right end", Kind: worksheet.Length, Digits: places, Dial: "spare"},
	{Key: "clearl", Label: "Left end of travel: cutter clears the face by", Kind: worksheet.Length, Digits: places,
		Dial: "spare"},
	{Key: "clearr", Label: "Right end of travel: cutter clears the face by", Kind: worksheet.Length, Digits: places,
		Dial: "spare"},
	{Key: "startx", Label: "Spindle starts at", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "stopx", Label: "Spindle stops at", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "rowlow", Label: "First pass at", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "rowhigh", Label: "Last pass at", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "travlow", Label: "Travel along starts at", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "travhigh", Label: "Travel along ends at", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "crosslow", Label: "Travel across starts at", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "crosshigh", Label: "Travel across ends at", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "bigcutter", Label: "Largest cutter that clears both ends", Kind: worksheet.Length, Digits: places,
		Dial: "spare"},
	{Key: "overleft", Label: "Part beyond the table, left", Kind: worksheet.Length, Digits: places, Dial: "need"},
	{Key: "overright", Label: "Part beyond the table, right", Kind: worksheet.Length, Digits: places, Dial: "need"},
	{Key: "column", Label: "Room to the column", Kind: worksheet.Length, Digits: places, Dial: "spare"},
	{Key: "turretx", Label: "Spindle from the turret's axis, right", Kind: worksheet.Length, Digits: places, Dial: "rule"},
	{Key: "turrety", Label: "Spindle from the turret's axis, out", Kind: worksheet.Length, Digits: places, Dial: "rule"},
}
