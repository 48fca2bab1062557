package align

import "datumbook/calc/worksheet"

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet { return []*worksheet.Sheet{&tramSheet, &shimSheet, &leverSheet} }

// The sources of this package.
var (
	fromGUM      = worksheet.Source{Key: "GUM", Title: "JCGM 100:2008 Guide to the expression of uncertainty in measurement: H.3 (straight line), F.2.2.1 (resolution), G.4 (few readings)"}
	fromISO230   = worksheet.Source{Key: "ISO 230-1", Title: "ISO 230-1:2012 Test code for machine tools, geometric accuracy: straightness and parallelism from indicator readings"}
	fromGeometry = worksheet.Source{Key: "geometry", Title: "Geometry of a line, a plane and a lever"}
)

// ends are the words for positions along an axis.
var ends = []worksheet.Option{{Key: "first", Label: "least x"}, {Key: "middle", Label: "middle"}, {Key: "last", Label: "greatest x"}}

var tramSheet = worksheet.Sheet{
	Name: "tram", Title: "Is it in line?", Question: "Is it in line, and which end moves?", Group: "line",
	About: []string{
		"Readings along an axis - a fixed jaw, an angle plate, a machined edge - are fitted by a straight line and by a parabola. The line is the tilt, the parabola's height over its chord is the bow. A face that reads the same at both ends and more in the middle is in line, but bowed: moving an end would put it out of line.",
		"Tilt counts only where it is larger than the readings can be wrong by. Read a station twice, the first one again at the end above all: what does not repeat is loose.",
		"To move: leave the bolt at the pivot snug, put the indicator at the point you tap, and tap until it reads what the pivot reads - not zero, and not half.",
	},
	Drawing: "tram",
	Inputs: []worksheet.Input{
		{Key: "readings", Label: "Readings", Kind: worksheet.Table, Required: true, Example: "0, 0; 4, 0.0015; 8, 0.0035; 12, 0.005; 16, 0.006", MinRows: 2, MaxRows: 60,
			Help: "Where along the axis, and what the needle reads there. Two stations show tilt, three show bow, five are good. A station may come more than once.",
			Columns: []worksheet.Column{{Key: "x", Label: "Station", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"},
				{Key: "reading", Label: "Reading", Kind: worksheet.Length, Min: "-1 in", Max: "1 in"}}},
		{Key: "pivot", Label: "Pivot at", Kind: worksheet.Length, Default: "first", Example: "2", Min: "-500 in", Max: "500 in", Words: ends,
			Help: "Station of the bolt that stays snug, about which the part turns."},
		{Key: "tap", Label: "Move at", Kind: worksheet.Length, Default: "last", Example: "22", Min: "-500 in", Max: "500 in", Words: ends,
			Help: "Station of the bolt or the spot where you tap or push."},
		{Key: "allow", Label: "Tilt allowed", Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0 in", Max: "0.1 in",
			Help: "Over the length read. Half a thou is usual for an angle plate or a vise."},
		worksheet.Sense, worksheet.Graduation,
		{Key: "stylus", Label: "Stylus angle", Kind: worksheet.Angle, Default: "0", Example: "20", Min: "0", Max: "70", Section: "Indicator",
			Help: "Lever indicators: between the stylus and the surface. Readings are taken times its cosine."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "inline", Label: "In line", Kind: worksheet.Flag},
		{Key: "bowed", Label: "Bowed", Kind: worksheet.Flag},
		{Key: "total", Label: "Tilt over the length read", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Help: "+ where the far end (greatest x) is nearer the indicator."},
		{Key: "move", Label: "Move at the tapping point", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Help: "+ towards the indicator, - away from it."},
		{Key: "aim", Label: "Tap until it reads", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Help: "With the indicator left at the tapping point, zero not touched."},
		{Key: "bow", Label: "Bow, middle over the ends", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Help: "+ where the middle is nearer the indicator."},
		{Key: "sure", Label: "Tilt is sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true, Help: "At about 95 %."},
		{Key: "slope", Label: "Tilt", Kind: worksheet.Slope},
		{Key: "perfoot", Label: "Tilt over a foot", Kind: worksheet.Length, Units: worksheet.Units{Inch: "in", Metric: "in"}, Digits: worksheet.Digits{Inch: 5, Metric: 5}},
		{Key: "per100", Label: "Tilt over 100 mm", Kind: worksheet.Length, Units: worksheet.Units{Inch: "mm", Metric: "mm"}, Digits: worksheet.Digits{Inch: 4, Metric: 4}},
		{Key: "angle", Label: "Tilt as an angle", Kind: worksheet.Angle, Digits: worksheet.Digits{Inch: 5, Metric: 5}},
		{Key: "dms", Label: "Degrees, minutes, seconds", Kind: worksheet.Text},
		{Key: "bowsure", Label: "Bow is sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "spread", Label: "Spread off the line", Kind: worksheet.Length, Digits: worksheet.FineDigits, Help: "Highest station less lowest, tilt taken out."},
		{Key: "repeat", Label: "Repeats differ by", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "length", Label: "Length read", Kind: worksheet.Length},
		{Key: "pivotx", Label: "Pivot", Kind: worksheet.Length},
		{Key: "tapx", Label: "Tapping point", Kind: worksheet.Length},
		{Key: "stations", Label: "Stations", Kind: worksheet.Table, Help: "Towards the indicator is +.", Columns: []worksheet.Column{
			{Key: "x", Label: "Station", Kind: worksheet.Length}, {Key: "mean", Label: "Reading", Kind: worksheet.Length, Units: worksheet.Thou},
			{Key: "line", Label: "On the line", Kind: worksheet.Length, Units: worksheet.Thou}, {Key: "off", Label: "Off the line", Kind: worksheet.Length, Units: worksheet.Thou}}},
	},
	Sources: []worksheet.Source{fromGUM, fromISO230, fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "readings", Text: "0 in, 0 in; 4 in, 0.0015 in; 8 in, 0.0035 in; 12 in, 0.005 in; 16 in, 0.006 in"}},
	Compute: tramCompute,
}
