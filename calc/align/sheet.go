package align

import "datumbook/calc/worksheet"

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet { return []*worksheet.Sheet{&tramSheet, &shimSheet, &leverSheet} }

// The sources of this package.
var (
	fromGUM = worksheet.Source{Key: "GUM", Title: "JCGM 100:2008 Guide to the expression of uncertainty in " +
		"measurement: H.3 (straight line), F.2.2.1 (resolution), G.3 (few readings)"}
	fromISO230   = worksheet.Source{Key: "ISO 230-1", Title: "ISO 230-1:2012 Test code for machine tools, geometric accuracy: straightness and parallelism from indicator readings"}
	fromISO12780 = worksheet.Source{Key: "ISO 12780-1", Title: "ISO 12780-1:2011 Geometrical product " +
		"specifications, straightness: minimum zone"}
	fromGeometry = worksheet.Source{Key: "geometry", Title: "Geometry of a line, a plane and a lever"}
)

// ends are the words for positions along an axis.
var ends = []worksheet.Option{{Key: "first", Label: "left end"}, {Key: "middle", Label: "middle"},
	{Key: "last", Label: "right end"}}

var tramSheet = worksheet.Sheet{
	Name: "tram", Title: "Is it in line?", Question: "Is it in line, and which end moves?", Group: "line",
	About: []string{
		"Three questions, three answers, from readings along a fixed jaw, an angle plate, a machined edge. Lean: " +
			"what the two ends read apart, held against what you allow. Shape: how far the face is from a straight " +
			"line between two close parallel ones - hollow, proud, wavy. Doubt: from the needle alone, its " +
			"graduation and what a place read twice shows. A bow is no doubt: a face that reads the same at both " +
			"ends is in line, however it is bowed.",
		"Read the ends twice, and the first one again when you are done: what agrees makes it surer and never " +
			"worse. What does not repeat is loose, and nothing is moved until it is found.",
		"To move: leave the bolt at the pivot snug, put the indicator at the point you tap, and tap until it reads what the pivot reads - not zero, and not half.",
	},
	Drawing: "tram",
	Half:    tramHalf,
	Inputs: []worksheet.Input{
		{Key: "readings", Label: "Readings", Kind: worksheet.Table, Required: true, MinRows: 2, MaxRows: 60,
			Ask: "Left end reads?", Box: "readings",
			Example: "0, 0; 4, 0.0015; 8, 0.0035; 12, 0.005; 16, 0.006",
			Help: "Where along the face, left to right, and what the needle reads there, in the order they were " +
				"taken. Two stations show the lean, three a bow, five are good. A station may come more than once. " +
				"Without stations the places share the length evenly.",
			Columns: []worksheet.Column{{Key: "x", Label: "Station", Box: "at", Kind: worksheet.Length,
				Min: "-500 in", Max: "500 in", Optional: true}, ReadingColumn("reading", "Reading", "needle")}},
		{Key: "length", Label: "Length read", Ask: "How long?", Box: "length", Kind: worksheet.Length,
			Example: "16", Min: "0.1 in", Max: "500 in", Help: "From the first place to the last, where they have no " +
				"stations and share it evenly. What to move does not need it."},
		{Key: "pivot", Ask: "Which end stays?", Box: "stays", Label: "Pivot at", Kind: worksheet.Length, Default: "first", Example: "2", Min: "-500 in", Max: "500 in", Words: ends,
			Help: "Station of the bolt that stays snug, about which the part turns."},
		{Key: "tap", Ask: "Where is it tapped?", Box: "tapped at", Label: "Move at", Kind: worksheet.Length, Default: "last", Example: "22", Min: "-500 in", Max: "500 in", Words: ends,
			Help: "Station of the bolt or the spot where you tap or push."},
		{Key: "allow", Label: "Lean wanted within", Ask: "Wanted within?", Box: "wanted within", Needle: true,
			Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005",
			Min: "0 in", Max: "0.1 in",
			Help: "Over the length read. Half a thou is usual for an angle plate or a vise."},
		worksheet.Sense, worksheet.Graduation, Repeats,
		Side,
		{Key: "stylus", Ask: "Stylus at what angle?", Box: "stylus angle", Label: "Stylus angle", Kind: worksheet.Angle, Default: "0", Example: "20", Min: "0", Max: "70", Section: "Indicator",
			Help: "Lever indicators: between the stylus and the surface. Readings are taken times its cosine."},
		{Key: "clamp", Ask: "Where is its middle?", Box: "its middle", Label: "Its middle at", Kind: worksheet.Length, Default: "middle", Example: "9",
			Min: "-500 in", Max: "500 in", Words: ends, Section: "A flat part bolted on",
			Help: "Station of the middle of the part, where it is pulled down."},
		{Key: "thick", Ask: "How thick is the part?", Box: "part thick", Label: "How thick it is", Kind: worksheet.Length, Example: "2", Min: "0.05 in", Max: "50 in",
			Section: "A flat part bolted on", Help: "For what it takes to pull it into a hollow."},
		{Key: "wide", Ask: "How wide is the part?", Box: "part wide", Label: "How wide it is", Kind: worksheet.Length, Example: "6", Min: "0.05 in", Max: "200 in",
			Section: "A flat part bolted on", Help: "Across the line read."},
		{Key: "elastic", Ask: "How stiff is it?", Box: "its modulus", Label: "Its elastic modulus", Kind: worksheet.Stress, Default: "14500 ksi", Example: "14500",
			Min: "1000 ksi", Max: "60000 ksi", Section: "A flat part bolted on",
			Help: "Grey iron 12,000 to 16,000 ksi, steel 30,000."},
		{Key: "underthick", Ask: "How thick is the plate?", Box: "plate thick", Label: "How thick the plate is", Kind: worksheet.Length, Example: "3", Min: "0.05 in",
			Max: "50 in", Section: "A flat part bolted on", Help: "Of the same metal. Empty: it does not give."},
		{Key: "underwide", Ask: "How wide is the plate?", Box: "plate wide", Label: "How wide the plate is", Kind: worksheet.Length, Example: "8", Min: "0.05 in",
			Max: "200 in", Section: "A flat part bolted on", Help: "Across the line read."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "inline", Label: "In line", Kind: worksheet.Flag, Judges: true},
		{Key: "bowed", Label: "Bowed", Kind: worksheet.Flag},
		{Key: "total", Label: "Lean over the length read", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle", Main: true, Help: "+ where the right end is nearer the indicator."},
		{Key: "move", Label: "Move at the tapping point", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "aim", Main: true, Plan: true, Help: "+ towards the indicator, - away from it. Not given where " +
				"it is in line."},
		{Key: "aim", Label: "Tap until it reads", Kind: worksheet.Length, Digits: worksheet.FineDigits, Dial: "reads",
			Main: true, Plan: true, Help: "With the indicator left at the tapping point, zero not touched."},
		{Key: "straight", Label: "Straight within", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "hollow", Main: true, Help: "Between the two closest parallel lines that hold all stations."},
		{Key: "sure", Label: "Lean is sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "doubt", Main: true, Help: "At about 95 %."},
		{Key: "bow", Label: "Most off the line through the ends", Kind: worksheet.Length,
			Digits: worksheet.FineDigits, Dial: "needle", Help: "+ where it is nearer the indicator."},
		{Key: "shape", Label: "Shape", Kind: worksheet.Text},
		{Key: "lies", Label: "A flat part lies", Kind: worksheet.Text},
		{Key: "pull", Label: "To pull it into the hollow", Kind: worksheet.Force, Dial: "push",
			Help: "One bolt in the middle."},
		{Key: "stress", Label: "It is bent by", Kind: worksheet.Stress},
		{Key: "spring", Label: "And springs back by", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "hollow", Help: "When it is let go after the cut."},
		{Key: "slope", Label: "Tilt", Kind: worksheet.Slope},
		{Key: "perfoot", Label: "Tilt over a foot", Kind: worksheet.Length, Units: worksheet.Units{Inch: "in", Metric: "in"}, Digits: worksheet.Digits{Inch: 5, Metric: 5}},
		{Key: "per100", Label: "Tilt over 100 mm", Kind: worksheet.Length, Units: worksheet.Units{Inch: "mm", Metric: "mm"}, Digits: worksheet.Digits{Inch: 4, Metric: 4}},
		{Key: "angle", Label: "Tilt as an angle", Kind: worksheet.Angle, Digits: worksheet.Digits{Inch: 5, Metric: 5}},
		{Key: "dms", Label: "Degrees, minutes, seconds", Kind: worksheet.Text},
		{Key: "bowsure", Label: "That is sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "spread", Label: "Spread off the line", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle", Help: "Highest station less lowest, lean taken out."},
		{Key: "repeat", Label: "Repeats differ by", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle"},
		{Key: "length", Label: "Length read", Kind: worksheet.Length},
		{Key: "pivotx", Label: "Pivot", Kind: worksheet.Length},
		{Key: "tapx", Label: "Tapping point", Kind: worksheet.Length},
		{Key: "ends", Label: "Both ends, as read", Kind: worksheet.Text, Help: "A first row for tapping it in."},
		{Key: "stations", Label: "Stations", Kind: worksheet.Table, Help: "Towards the indicator is +.", Columns: []worksheet.Column{
			{Key: "x", Label: "Station", Kind: worksheet.Length},
			{Key: "mean", Label: "Reading", Kind: worksheet.Length, Units: Dialled},
			{Key: "line", Label: "On the line", Kind: worksheet.Length, Units: Dialled},
			{Key: "off", Label: "Off the line", Kind: worksheet.Length, Units: Dialled}}},
	},
	Sources: []worksheet.Source{fromGUM, FromDecision, fromISO230, fromISO12780, fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "readings", Text: "0 in, 0 in; 8 in, 0.0035 in; 16 in, 0.006 in"}},
	Compute: tramCompute,
}
