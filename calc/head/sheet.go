package head

import (
	"datumbook/calc/align"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet {
	return []*worksheet.Sheet{&sweepSheet, &dishSheet, &squareSheet, &barSheet}
}

// The sources of this package.
var (
	fromISO230 = worksheet.Source{Key: "ISO 230-1", Title: "ISO 230-1:2012 Test code for machine tools, geometric " +
		"accuracy: squareness, axes of rotation, reversal"}
	fromGUM = worksheet.Source{Key: "GUM", Title: "JCGM 100:2008 Guide to the expression of uncertainty in " +
		"measurement: F.2.2.1 (resolution), G.3 (few readings)"}
	fromGeometry = worksheet.Source{Key: "geometry", Title: "Geometry of a tilted circle and of two lines"}
)

var sweepSheet = worksheet.Sheet{
	Name: "sweep", Title: "Is the head square?", Question: "Is the head square, and which way does it go?", Group: "line",
	About: []string{
		"An indicator swung round the spindle reads the surface at two sides across from each other for one axis, " +
			"at four for both, or at any number of angles. Each axis is judged by itself, and one that is square " +
			"is left alone. What does not change sign from side to side but rises and falls twice a turn is the " +
			"surface's own twist, or a saddle that sags, and no turn of the head removes it. Run-out of the " +
			"spindle does not show, because the same tip goes round.",
		"Four readings must close: right and left together as much as back and front together. Where they do not, " +
			"the table is not flat, a gib is loose or a reading is wrong: sweep all four again and type them under " +
			"'more readings'; what repeats is believed. The first side read once more at the end is always worth it.",
		"The top of a vertical head leans to the side that reads nearer. Bring both sides to their mean, not one to the other's reading.",
	},
	Drawing: "sweep",
	Inputs: []worksheet.Input{
		{Key: "machine", Ask: "Which way is the spindle?", Box: "spindle", Label: "Spindle", Kind: worksheet.Choice, Default: "vertical", Help: "Upright over the table, or level before an upright plate.",
			Options: []worksheet.Option{{Key: "vertical", Label: "vertical", Short: "Upright"}, {Key: "level", Label: "horizontal", Short: "Level"}}},
		{Key: "right", Ask: "Right reads?", Box: "right", Label: "Right", Needle: true, Kind: worksheet.Length, Example: "0.0015", Min: "-100 in", Max: "100 in",
			Help: "Reading at the right, seen from the operator."},
		{Key: "back", Ask: "Back reads?", Box: "back", Label: "Back or top", Needle: true, Kind: worksheet.Length, Example: "0.0015", Min: "-100 in", Max: "100 in",
			Help: "Reading at the column side; for a level spindle at the top."},
		{Key: "left", Ask: "Left reads?", Box: "left", Label: "Left", Needle: true, Kind: worksheet.Length, Example: "0.0015", Min: "-100 in", Max: "100 in",
			Help: "Reading at the left."},
		{Key: "front", Ask: "Front reads?", Box: "front", Label: "Front or bottom", Needle: true, Kind: worksheet.Length, Example: "0.0015", Min: "-100 in",
			Max: "100 in", Help: "Reading at the operator's side; for a level spindle at the bottom."},
		{Key: "readings", Ask: "What else was read?", Box: "more angles", Label: "More readings", Kind: worksheet.Table,
			Example: "0, 0.003; 90, 0.0005; 180, -0.001; 270, 0.0015", MinRows: 1, MaxRows: 72,
			Help: "Angle and reading: 0 is right, 90 back (top), 180 left, 270 front (bottom). Used together with the four above.",
			Columns: []worksheet.Column{{Key: "angle", Label: "Angle", Kind: worksheet.Angle, Min: "-360", Max: "720"},
				align.ReadingColumn("reading", "Reading", "needle")}},
		{Key: "swing", Ask: "How wide is the swing?", Box: "swing", Label: "Swing", Kind: worksheet.Length, Example: "10",
			Min: "0.5 in", Max: "120 in", Help: "Diameter of the circle the tip goes round, or its radius. What is turned " +
				"by the needle does not need it."},
		{Key: "is", Ask: "Across or half of it?", Box: "swing is", Label: "The swing is the", Kind: worksheet.Choice, Default: "diameter", Help: "What was measured.",
			Options: []worksheet.Option{{Key: "diameter", Label: "diameter"}, {Key: "radius", Label: "radius"}}},
		{Key: "allow", Ask: "Wanted within?", Box: "wanted within", Label: "Allowed", Needle: true, Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0 in",
			Max: "0.1 in", Help: "Lean over the swing's diameter, of each axis. Half a thou on ten inches is " +
				"usual; less for a wide face mill."},
		worksheet.Sense, worksheet.Graduation, align.Repeats,
		{Key: "distx", Ask: "Right-left screw, how far out?", Box: "screw out", Label: "Right-left adjuster from its pivot", Kind: worksheet.Length, Example: "10", Min: "0.005 in", Max: "100 in", Section: "Adjusters", Help: "Distance from the swivel's centre to the screw that swings the head right and left."},
		{Key: "pitchx", Ask: "Right-left screw, one turn?", Box: "its pitch", Label: "Its advance in a turn", Kind: worksheet.Length, Example: "10", Min: "0.005 in", Max: "2 in", Section: "Adjusters", Help: "Pitch of that screw: 1/20 in for 20 threads an inch."},
		{Key: "disty", Ask: "Nod screw, how far out?", Box: "screw out", Label: "Nod adjuster from its pivot", Kind: worksheet.Length, Example: "10", Min: "0.005 in", Max: "100 in", Section: "Adjusters", Help: "Distance from the nod's pivot to the screw that nods the head, or to the bolt you shim."},
		{Key: "pitchy", Ask: "Nod screw, one turn?", Box: "its pitch", Label: "Its advance in a turn", Kind: worksheet.Length, Example: "10", Min: "0.005 in", Max: "2 in", Section: "Adjusters", Help: "Pitch of that screw."},
		{Key: "cutter", Ask: "Which cutter?", Box: "face mill", Label: "Face mill", Kind: worksheet.Length, Example: "6", Min: "0.1 in", Max: "60 in", Section: "What it would cut", Help: "Diameter over its tips, for the hollow it would leave."},
		{Key: "width", Ask: "How wide is the cut?", Box: "cut", Label: "Width of cut", Kind: worksheet.Length, Example: "4", Min: "0.05 in", Max: "60 in", Section: "What it would cut", Help: "Empty: as wide as the cutter."},
		{Key: "feed", Ask: "Which way is the feed?", Box: "feed", Label: "Feed goes", Kind: worksheet.Choice, Default: "x", Section: "What it would cut", Help: "The tilt along the feed makes the hollow.",
			Options: []worksheet.Option{{Key: "x", Label: "right and left"}, {Key: "y", Label: "back and front"}}},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "square", Label: "Square", Kind: worksheet.Flag, Judges: true, Help: "Both axes."},
		{Key: "squarex", Label: "Right and left square", Kind: worksheet.Flag, Judges: true},
		{Key: "squarey", Label: "Back and front square", Kind: worksheet.Flag, Judges: true},
		{Key: "over", Label: "Lean over the swing", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Dial: "needle"},
		{Key: "tiltx", Label: "Right-left tilt", Kind: worksheet.Slope, Main: true,
			Help: "+ where the right reads nearer.", Dial: "incline"},
		{Key: "tilty", Label: "Back-front tilt", Kind: worksheet.Slope, Main: true,
			Help: "+ where the back (top) reads nearer.", Dial: "incline"},
		{Key: "turnx", Label: "Turns of the right-left adjuster", Kind: worksheet.Number, Main: true,
			Digits: worksheet.Digits{Inch: 3, Metric: 3}, Dial: "adjust", Plan: true},
		{Key: "turny", Label: "Turns of the nod adjuster", Kind: worksheet.Number, Main: true,
			Digits: worksheet.Digits{Inch: 3, Metric: 3}, Dial: "adjust", Plan: true},
		{Key: "hollow", Label: "Hollow a face mill would leave", Kind: worksheet.Length,
			Digits: worksheet.Digits{Inch: 6, Metric: 5}, Dial: "hollow", Main: true},
		{Key: "todo", Label: "What to do", Kind: worksheet.Lines, Plan: true},
		{Key: "sure", Label: "Lean is sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Help: "At about 95 %.", Dial: "doubt"},
		{Key: "nearest", Label: "Nearest at", Kind: worksheet.Angle, Help: "0 is right, 90 back or top.", Digits: worksheet.Digits{Inch: 1, Metric: 1}},
		{Key: "mean", Label: "All sides meet at", Kind: worksheet.Length, Digits: worksheet.FineDigits, Dial: "reads"},
		{Key: "closure", Label: "Right and left less back and front", Kind: worksheet.Length,
			Digits: worksheet.FineDigits, Help: "Nothing, on a flat table.", Dial: "needle"},
		{Key: "twist", Label: "Twice-a-turn wave", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Help: "Half its swing: the table's twist.", Dial: "needle"},
		{Key: "twistdir", Label: "Highest at, and opposite", Kind: worksheet.Angle, Digits: worksheet.Digits{Inch: 1, Metric: 1}},
		{Key: "spread", Label: "Spread off the tilt", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle"},
		{Key: "repeat", Label: "Repeats differ by", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle"},
		{Key: "movex", Label: "Move at the right-left adjuster", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "aim", Plan: true},
		{Key: "movey", Label: "Move at the nod adjuster", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "aim", Plan: true},
		{Key: "dmsx", Label: "Right-left, degrees", Kind: worksheet.Text},
		{Key: "dmsy", Label: "Back-front, degrees", Kind: worksheet.Text},
		{Key: "dia", Label: "Swing's diameter", Kind: worksheet.Length},
		{Key: "round", Label: "All four sides, as read", Kind: worksheet.Text, Help: "A first row for turning it in."},
		{Key: "points", Label: "Readings", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "angle", Label: "Angle", Kind: worksheet.Angle},
			{Key: "reading", Label: "Reading", Kind: worksheet.Length, Units: align.Dialled},
			{Key: "tilt", Label: "Of the tilt", Kind: worksheet.Length, Units: align.Dialled},
			{Key: "off", Label: "Off the tilt", Kind: worksheet.Length, Units: align.Dialled}}},
	},
	Sources: []worksheet.Source{fromISO230, fromGUM, align.FromDecision, fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "right", Text: "0.003 in"}, {Key: "back", Text: "0.0005 in"},
		{Key: "left", Text: "-0.001 in"}, {Key: "front", Text: "0.0015 in"}, {Key: "swing", Text: "10 in"}},
	Compute: sweepCompute,
}

var dishSheet = worksheet.Sheet{
	Name: "dish", Title: "Hollow of a face mill", Question: "How hollow does it cut?", Group: "line",
	About: []string{
		"A face mill that leans along its feed cuts with one edge lower than the other, and the low edge sweeps a hollow. How deep depends on the tilt, the cutter and the width of the cut. Leaning across the feed it cuts flat but sloped, and leaves a step from pass to pass.",
		"Some shops lean the head by a hair so that the trailing edge clears. That is a choice, not an error; this tells what it costs.",
	},
	Drawing: "dish",
	Inputs: []worksheet.Input{
		{Key: "cutter", Ask: "Which cutter?", Box: "face mill", Label: "Face mill", Kind: worksheet.Length, Required: true, Example: "6", Min: "0.1 in", Max: "60 in", Help: "Diameter over its tips."},
		{Key: "width", Ask: "How wide is the cut?", Box: "cut", Label: "Width of cut", Kind: worksheet.Length, Example: "4", Min: "0.01 in", Max: "60 in", Help: "Empty: as wide as the cutter."},
		{Key: "along", Ask: "Lean along the feed?", Box: "lean along", Label: "Tilt along the feed", Kind: worksheet.Slope, Default: "0.001 in/ft", Example: "0.001", Min: "0 in/ft", Max: "2 in/ft", Help: "How much the head leans towards or against the feed: in/ft, or mm/m, in/in."},
		{Key: "across", Ask: "Lean across the feed?", Box: "lean across", Label: "Tilt across the feed", Kind: worksheet.Slope, Default: "0 in/ft", Example: "0.001", Min: "0 in/ft", Max: "2 in/ft", Help: "How much it leans sideways."},
		{Key: "offset", Ask: "How far off the middle?", Box: "off middle", Label: "Cutter off the middle of the cut", Kind: worksheet.Length, Default: "0 in", Example: "0.5", Min: "-60 in", Max: "60 in", Section: "More", Help: "0 where the cutter runs along the middle of the face."},
		{Key: "step", Ask: "How far from pass to pass?", Box: "step", Label: "From pass to pass", Kind: worksheet.Length, Example: "3", Min: "0 in", Max: "60 in", Section: "More", Help: "How far the cutter is moved over for the next pass."},
		{Key: "flat", Ask: "How flat is it wanted?", Box: "hollow wanted", Label: "Flatness wanted", Needle: true, Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0.00001 in", Max: "0.1 in", Section: "More", Help: "The hollow that is allowed; from it comes the most tilt."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "hollow", Label: "Hollow", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 6, Metric: 5},
			Dial: "hollow", Main: true},
		{Key: "most", Label: "Most tilt along the feed", Kind: worksheet.Slope, Dial: "incline", Main: true,
			Help: "For the flatness wanted."},
		{Key: "slope", Label: "Slope across the cut", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "hollow", Main: true, Help: "One side of the cut over the other."},
		{Key: "ridge", Label: "Step between passes", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "hollow", Main: true},
		{Key: "radius", Label: "Radius of the hollow", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 1, Metric: 0}, Help: "At its lowest line."},
		{Key: "flat", Label: "Flat enough", Kind: worksheet.Flag, Judges: true},
	},
	Sources: []worksheet.Source{fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "cutter", Text: "6 in"}, {Key: "width", Text: "4 in"}},
	Compute: dishCompute,
}
