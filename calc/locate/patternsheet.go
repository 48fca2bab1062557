package locate

import (
	"math"
	"strconv"

	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

var boltsSheet = worksheet.Sheet{
	Name: "bolts", Title: "Bolt circle", Question: "Where are the holes of a circle?", Group: "where",
	About: []string{
		"Holes spaced round a circle, or over part of one, as coordinates for a readout or as turns of the handwheels. All round there are as many gaps as holes; on an arc there is one gap less, and that is the usual slip.",
		"The chord between neighbours is what calipers check after drilling.",
	},
	Drawing: "holes",
	Inputs: []worksheet.Input{
		{Key: "dia", Label: "Bolt circle", Kind: worksheet.Length, Example: "8", Min: "0.02 in", Max: "500 in", Help: "Diameter of the circle the holes stand on.", Required: true, Ask: "What circle?", Box: "circle"},
		{Key: "n", Label: "Holes", Kind: worksheet.Count, Example: "6", Min: "1", Max: "100", Help: "How many.", Required: true, Ask: "How many?", Box: "holes"},
		{Key: "first", Label: "Hole 1 stands at", Kind: worksheet.Angle, Default: "0", Example: "30", Min: "-360", Max: "360", Box: "hole 1 at", Help: "From the start below. Half a gap, to straddle the centre line."},
		{Key: "start", Label: "counted from", Kind: worksheet.Choice, Default: "right", Help: "Where 0 degrees is.", Options: []worksheet.Option{{Key: "right", Label: "the right (3 o'clock)"}, {Key: "top", Label: "the top (12 o'clock)"}}},
		{Key: "way", Label: "Going round", Kind: worksheet.Choice, Default: "ccw", Help: "Which way angles and holes are counted.", Options: []worksheet.Option{{Key: "ccw", Label: "against the clock"}, {Key: "cw", Label: "with the clock"}}},
		{Key: "spread", Label: "First to last hole", Kind: worksheet.Angle, Default: "round", Example: "90", Min: "0.1", Max: "359.9", Help: "Angle from the first hole to the last on an arc, or all the way round.", Words: []worksheet.Option{{Key: "round", Label: "all round"}}},
		{Key: "x", Label: "Centre X", Kind: worksheet.Length, Box: "middle X", Default: "0 in", Example: "0", Min: "-500 in", Max: "500 in", Help: "Where the circle's centre is."},
		{Key: "y", Label: "Centre Y", Kind: worksheet.Length, Box: "middle Y", Default: "0 in", Example: "0", Min: "-500 in", Max: "500 in", Help: "Where the circle's centre is."},
		acrossInput, nowInput, leadInput, divInput, turnInput, comeInput,
	},
	Results: []worksheet.Result{worksheet.Verdict,
		{Key: "chord", Label: "Chord between neighbours", Kind: worksheet.Length, Main: true, Dial: "touch",
			Help: "From centre to centre."},
		{Key: "step", Label: "Angle between neighbours", Kind: worksheet.Angle, Main: true, Dial: "sine",
			Digits: worksheet.Digits{Inch: 5, Metric: 5}},
		{Key: "across", Label: "Check across", Kind: worksheet.Length, Dial: "touch",
			Help: "From hole 1 to the hole farthest from it."},
		{Key: "gaps", Label: "Gaps", Kind: worksheet.Count},
		{Key: "close", Label: "Chord from last to first", Kind: worksheet.Length},
		{Key: "angles", Label: "Angles", Kind: worksheet.Table, Plan: true,
			Help: "Counter-clockwise from the right.",
			Columns: []worksheet.Column{{Key: "hole", Label: "Hole", Kind: worksheet.Count},
				{Key: "angle", Label: "Angle", Kind: worksheet.Angle}}},
		nearResult, holesResult, wheelsResult, stepsResult},
	Sources: []worksheet.Source{fromGeometry, fromMH, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "dia", Text: "8 in"}, {Key: "n", Text: "6"}},
	Compute: boltsCompute,
	Half: func(v *worksheet.Values, o *worksheet.Out) {
		switch {
		case v.Has("n"):
			o.Head("{s}", []string{counted(int(v.Num("n")))})
		case v.Has("dia"):
			o.Head("{s} circle", []string{typedSize(v, o, "dia")})
		}
	},
}

// Worked lines of boltsCompute.
var (
	angleBetweenStep = worksheet.Step{What: "Angle between neighbours", Formula: "angle/gaps", Numbers: "{s}", Result: "{5} deg", Source: "geometry"}
	chordBetweenStep = worksheet.Step{What: "Chord between neighbours", Formula: "D sin(step/2)", Numbers: "{len} x sin({5})", Result: "{in}", Source: "MH"}
	holeStep         = worksheet.Step{What: "Hole 1", Formula: "X = Xc + D/2 cos(a), Y = Yc + D/2 sin(a)", Numbers: "a {5}", Result: "{s}", Source: "geometry"}
)

func boltsCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	c := Circle{X: v.In("x"), Y: v.In("y"), Dia: v.In("dia"), Holes: int(v.Num("n")), First: v.As("first", "deg"), Clockwise: v.Choice("way") == "cw"}
	if v.Word("spread") == "" {
		c.Spread = v.As("spread", "deg")
		if c.Holes < 2 {
			return v.Refuse("spread", "one hole has no spread. Leave it all round, or type more holes.")
		}
	}
	if c.Clockwise {
		c.First = -c.First
	}
	if v.Choice("start") == "top" {
		c.First += 90
	}
	holes := c.Places()
	gaps := c.Holes
	if c.Spread > 0 {
		gaps--
	}
	o.AskUnit(v, "dia", .1, 60)
	says := o.Fill("1 hole on {in}, at {s}.", []string{on(o, holes[0])}, c.Dia)
	if c.Holes > 1 {
		says = o.Fill("{s} on {in}, {touch in} from each to the next. Hole 1 is at {s}.",
			[]string{counted(c.Holes), on(o, holes[0])}, c.Dia, c.Chord())
	}
	headPattern(o, holes, "{s}, {=touch in} apart", c.Chord())
	o.SetText("verdict", says+crowded(v, o, holes))
	far, across := farthestOf(holes)
	check := worksheet.Either(c.Spread == 0 && c.Holes%2 == 0, "check across {=touch in}",
		"1 to "+strconv.Itoa(far+1)+" across {=touch in}")
	factPattern(v, o, holes, worksheet.Either(c.Holes > 3, check, ""), across)
	o.SetIf(c.Holes > 1, "across in", across)
	o.SetAll("chord in, step deg, gaps", c.Chord(), c.Step(), float64(gaps))
	last := holes[len(holes)-1]
	dx, dy := last.X-holes[0].X, last.Y-holes[0].Y
	o.Set("close", math.Sqrt(float64(dx*dx)+float64(dy*dy)), "in")
	worksheet.SetRows(o, "angles", holes, func(i int, _ fitting.Point) []worksheet.Cell {
		return worksheet.Cells("nd", nil, float64(i+1), c.Angle(i))
	})
	setHoles(o, holes)
	step := "360/" + strconv.Itoa(c.Holes)
	if c.Spread > 0 {
		step = o.Fill("{5}/{s}", []string{strconv.Itoa(gaps)}, c.Spread)
		o.Note("On an arc " + strconv.Itoa(c.Holes) + " holes have " + strconv.Itoa(gaps) + " gaps between them.")
	}
	o.Line(&angleBetweenStep, []string{step}, c.Step())
	o.Line(&chordBetweenStep, nil, c.Dia, c.Step()/2, c.Chord())
	o.Line(&holeStep, []string{at(o, holes[0])}, c.Angle(0))
	return patternWheels(v, o, holes)
}

var rowSheet = worksheet.Sheet{
	Name: "row", Title: "Row of holes", Question: "Where are the holes of a row?", Group: "where",
	About: []string{
		"Holes in a line at one spacing, or shared out over a length, straight along an axis or at an angle; started from the first hole or laid about the middle.",
		"So many holes have one gap less between them.",
	},
	Drawing: "holes",
	Inputs: []worksheet.Input{
		{Key: "n", Label: "Holes", Kind: worksheet.Count, Example: "6", Min: "1", Max: "100", Help: "How many.", Required: true, Ask: "How many?", Box: "holes"},
		{Key: "pitch", Label: "Spacing", Kind: worksheet.Length, Example: "1.5", Min: "0.001 in", Max: "500 in", Ask: "How far apart?", Box: "gap", Help: "From hole to hole. Type this or the length."},
		{Key: "over", Label: "First to last hole", Kind: worksheet.Length, Example: "12", Min: "0.001 in", Max: "500 in", Box: "over all", Help: "The length they are shared out over, centre to centre."},
		{Key: "from", Label: "X and Y are of", Kind: worksheet.Choice, Default: "first", Help: "What stands there.", Options: []worksheet.Option{{Key: "first", Label: "the first hole"}, {Key: "middle", Label: "the row's middle"}}},
		{Key: "x", Label: "X", Kind: worksheet.Length, Box: "X", Default: "0 in", Example: "0", Min: "-500 in", Max: "500 in", Help: "Of the first hole or the middle."},
		{Key: "y", Label: "Y", Kind: worksheet.Length, Box: "Y", Default: "0 in", Example: "0", Min: "-500 in", Max: "500 in", Help: "Of the first hole or the middle."},
		{Key: "angle", Label: "Row goes at", Kind: worksheet.Angle, Default: "0", Example: "30", Min: "-360", Max: "360", Box: "angle", Help: "0 is along X to the right, 90 along Y to the back."},
		acrossInput, nowInput, leadInput, divInput, turnInput, comeInput,
	},
	Results: []worksheet.Result{worksheet.Verdict,
		{Key: "pitch", Label: "Spacing", Kind: worksheet.Length, Main: true, Dial: "readout",
			Digits: worksheet.FineDigits},
		{Key: "over", Label: "First to last", Kind: worksheet.Length, Main: true, Dial: "readout"},
		{Key: "gaps", Label: "Gaps", Kind: worksheet.Count},
		nearResult, holesResult, wheelsResult, stepsResult},
	Sources: []worksheet.Source{fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "n", Text: "5"}, {Key: "pitch", Text: "1.5 in"}},
	Compute: rowCompute,
}

// Worked lines of rowCompute.
var (
	lengthStep = worksheet.Step{What: "Length", Formula: "spacing x (holes - 1)", Numbers: "{len} x {s}", Result: "{in}", Source: "geometry"}
	holeKStep  = worksheet.Step{What: "Hole k", Formula: "X = X1 + (k - 1) spacing cos, Y = Y1 + (k - 1) spacing sin", Numbers: "angle {5}", Result: "{s} for k = 1", Source: "geometry"}
)

func rowCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	n := int(v.Num("n"))
	pitch := v.In("pitch")
	switch {
	case v.Has("pitch") && v.Has("over"):
		return v.Refuse("over", "spacing and length are both typed. Type one of them.")
	case n > 1 && !v.Has("pitch") && !v.Has("over"):
		o.Head("{s}", []string{counted(n)})
		return v.Refuse("pitch", "it is missing. Type the spacing, or the length from first to last hole.")
	case v.Has("over") && n < 2:
		return v.Refuse("over", "one hole has no length. Type more holes, or leave it empty.")
	case v.Has("over"):
		pitch = v.In("over") / float64(n-1)
	}
	g := Grid{X: v.In("x"), Y: v.In("y"), Columns: n, Rows: 1, Across: pitch, Angle: v.As("angle", "deg"), Middle: v.Choice("from") == "middle"}
	over := float64(pitch * float64(n-1))
	if over > 500 {
		return v.Refuse("pitch", "the row would be longer than 500 in. Type a smaller spacing or fewer holes.")
	}
	holes := g.Places()
	o.AskUnit(v, "pitch", .05, mostPitch)
	o.AskUnit(v, "over", .05, mostTravel)
	says := "1 hole, at " + on(o, holes[0]) + "."
	if n > 1 {
		says = o.Fill("{s}, {readout in} from each to the next, {readout in} from first to last; hole 1 at {s}.",
			[]string{counted(n), on(o, holes[0])}, pitch, over)
	}
	headPattern(o, holes, "{s}, {=readout in} apart", pitch)
	o.SetText("verdict", says+crowded(v, o, holes))
	factPattern(v, o, holes, worksheet.Either(n > 2, "over all {=readout in}", ""), over)
	o.SetAll("pitch in, over in, gaps", pitch, over, float64(n-1))
	setHoles(o, holes)
	o.Line(&lengthStep, []string{strconv.Itoa(n - 1)}, pitch, over)
	o.Line(&holeKStep, []string{at(o, holes[0])}, g.Angle)
	return patternWheels(v, o, holes)
}

var gridSheet = worksheet.Sheet{
	Name: "grid", Title: "Grid of holes", Question: "Where are the holes of a grid?", Group: "where",
	About: []string{
		"Columns and rows of holes, from a corner or about the middle, straight or turned by an angle, in rows one way or to and fro.",
		"The diagonal over all is the check: calipers over it tell a squashed grid that the sides do not.",
	},
	Drawing: "holes",
	Inputs: []worksheet.Input{
		{Key: "nx", Label: "Columns", Kind: worksheet.Count, Example: "6", Min: "1", Max: "40", Help: "Holes in a row.", Required: true, Ask: "How many across?", Box: "across"},
		{Key: "ny", Label: "Rows", Kind: worksheet.Count, Example: "6", Min: "1", Max: "40", Help: "How many rows.", Required: true, Ask: "How many up?", Box: "up"},
		{Key: "px", Label: "Column spacing", Kind: worksheet.Length, Example: "2", Min: "0.001 in", Max: "500 in", Ask: "Gap across?", Box: "gap across", Help: "From column to column."},
		{Key: "py", Label: "Row spacing", Kind: worksheet.Length, Example: "1.5", Min: "0.001 in", Max: "500 in", Ask: "Gap up?", Box: "gap up", Help: "From row to row."},
		{Key: "from", Label: "X and Y are of", Kind: worksheet.Choice, Default: "first", Help: "What stands there.", Options: []worksheet.Option{{Key: "first", Label: "the first hole, a corner"}, {Key: "middle", Label: "the grid's middle"}}},
		{Key: "x", Label: "X", Kind: worksheet.Length, Box: "X", Default: "0 in", Example: "0", Min: "-500 in", Max: "500 in", Help: "Of the first hole or the middle."},
		{Key: "y", Label: "Y", Kind: worksheet.Length, Box: "Y", Default: "0 in", Example: "0", Min: "-500 in", Max: "500 in", Help: "Of the first hole or the middle."},
		{Key: "angle", Label: "Rows go at", Kind: worksheet.Angle, Default: "0", Example: "30", Min: "-360", Max: "360", Box: "angle", Help: "0 is along X to the right; a part lying askew, as 'skew' tells."},
		{Key: "order", Label: "Order", Kind: worksheet.Choice, Default: "fro", Help: "How the holes are counted.", Options: []worksheet.Option{{Key: "fro", Label: "to and fro"}, {Key: "rows", Label: "every row the same way"}}},
		acrossInput, nowInput, leadInput, divInput, turnInput, comeInput,
	},
	Results: []worksheet.Result{worksheet.Verdict,
		{Key: "n", Label: "Holes", Kind: worksheet.Count, Main: true},
		{Key: "diagonal", Label: "Diagonal over all", Kind: worksheet.Length, Main: true, Dial: "touch",
			Help: "From corner hole to corner hole."},
		{Key: "width", Label: "Over the columns", Kind: worksheet.Length},
		{Key: "height", Label: "Over the rows", Kind: worksheet.Length},
		nearResult, holesResult, wheelsResult, stepsResult},
	Sources: []worksheet.Source{fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "nx", Text: "3"}, {Key: "ny", Text: "2"}, {Key: "px", Text: "2 in"}, {Key: "py", Text: "3 in"}},
	Compute: gridCompute,
	Half: func(v *worksheet.Values, o *worksheet.Out) {
		for _, key := range [...]string{"nx", "ny"} {
			if v.Has(key) {
				o.Head(worksheet.Either(key == "nx", "{0} across", "{0} up"), nil, v.Num(key))
			}
		}
	},
}

// Worked lines of gridCompute.
var (
	diagonalOverStep = worksheet.Step{What: "Diagonal over all", Formula: "sqrt(w^2 + h^2)", Numbers: "w {len}, h {len}", Result: "{in}", Source: "geometry"}
	holeGridStep     = worksheet.Step{What: "A hole of the grid", Formula: "X = X0 + x cos - y sin, Y = Y0 + x sin + y cos", Numbers: "angle {5}", Result: "{s} for hole 1", Source: "geometry"}
)

func gridCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	g := Grid{X: v.In("x"), Y: v.In("y"), Columns: int(v.Num("nx")), Rows: int(v.Num("ny")), Across: v.In("px"), Up: v.In("py"),
		Angle: v.As("angle", "deg"), Middle: v.Choice("from") == "middle", BackAndForward: v.Choice("order") == "fro"}
	o.Head("{s}", []string{counted(g.Columns * g.Rows)})
	switch {
	case g.Columns > 1 && !v.Has("px"):
		return v.Refuse("px", "it is missing. Type the distance from column to column.")
	case g.Rows > 1 && !v.Has("py"):
		return v.Refuse("py", "it is missing. Type the distance from row to row.")
	case g.Columns*g.Rows > 100:
		return v.Refuse("ny", "the grid has more than 100 holes. Do it in parts.")
	}
	w, h := float64(g.Across*float64(g.Columns-1)), float64(g.Up*float64(g.Rows-1))
	if max(w, h) > 500 {
		return v.Refuse("px", "the grid would be larger than 500 in. Type smaller spacings or fewer holes.")
	}
	diagonal := math.Sqrt(float64(w*w) + float64(h*h))
	holes := g.Places()
	o.AskUnit(v, "px", .05, mostPitch)
	o.AskUnit(v, "py", .05, mostPitch)
	says := "1 hole, at " + on(o, holes[0]) + "."
	if len(holes) > 1 {
		says = o.Fill("{s} over {readout in} by {readout in}; check {touch in} from corner to corner.",
			[]string{counted(len(holes))}, w, h, diagonal)
	}
	switch {
	case g.Rows == 1:
		headPattern(o, holes, "{s}, {=readout in} apart", g.Across)
	case g.Columns == 1:
		headPattern(o, holes, "{s}, {=readout in} apart", g.Up)
	default:
		headPattern(o, holes, "{s}, {=readout in} by {=readout in}", g.Across, g.Up)
	}
	o.SetText("verdict", says+crowded(v, o, holes))
	factPattern(v, o, holes, worksheet.Either(len(holes) > 2, "check corners {=touch in}", ""), diagonal)
	o.SetAll("n, diagonal in, width in, height in", float64(len(holes)), diagonal, w, h)
	setHoles(o, holes)
	o.Line(&diagonalOverStep, nil, w, h, diagonal)
	o.Line(&holeGridStep, []string{at(o, holes[0])}, g.Angle)
	return patternWheels(v, o, holes)
}

var pairsSheet = worksheet.Sheet{
	Name: "pairs", Title: "Pairs about a centre line", Question: "Where are the holes about a centre line?", Group: "where",
	About: []string{
		"Holes that stand in pairs about a centre line: how far along it, and how far apart across it. The line may run any way, through any point; a hole on the line is a pair with nothing across.",
		"Holes of one side can be carried over to the other: type them as places, and their mates are worked out.",
	},
	Drawing: "holes",
	Inputs: []worksheet.Input{
		{Key: "pairs", Label: "Pairs", Kind: worksheet.Table, Example: "0, 3; 2.5, 3; 6, 4.25", MinRows: 1, MaxRows: 30,
			Ask: "Which pairs?", Box: "pairs", Help: "How far along the line, and from hole to hole across it.",
			Columns: []worksheet.Column{{Key: "along", Label: "Along", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}, {Key: "across", Label: "Across", Kind: worksheet.Length, Min: "0 in", Max: "500 in", Box: "apart"}}},
		{Key: "one", Label: "Holes of one side", Kind: worksheet.Table, Example: "1, 2; 3, 2.5", MinRows: 1, MaxRows: 30, Help: "X and Y of holes whose mates across the line are wanted.", Columns: pointColumns},
		{Key: "x", Label: "The line goes through X", Kind: worksheet.Length, Box: "line's X", Default: "0 in", Example: "0", Min: "-500 in", Max: "500 in", Help: "A point of the centre line; distances along are counted from it."},
		{Key: "y", Label: "and Y", Kind: worksheet.Length, Box: "line's Y", Default: "0 in", Example: "0", Min: "-500 in", Max: "500 in", Help: "A point of the centre line."},
		{Key: "angle", Label: "The line runs at", Kind: worksheet.Angle, Default: "0", Example: "30", Min: "-360", Max: "360", Box: "angle", Help: "0 is along X to the right, 90 along Y to the back."},
		acrossInput, nowInput, leadInput, divInput, turnInput, comeInput,
	},
	Results: []worksheet.Result{worksheet.Verdict,
		{Key: "n", Label: "Holes", Kind: worksheet.Count, Main: true},
		{Key: "nearest", Label: "Nearest two holes", Kind: worksheet.Length, Main: true, Dial: "touch",
			Help: "From centre to centre."},
		nearResult, holesResult, wheelsResult, stepsResult},
	Sources: []worksheet.Source{fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "pairs", Text: "0 in, 3 in; 2.5 in, 3 in; 6 in, 4.25 in"}},
	Compute: pairsCompute,
}

var holesPairStep = worksheet.Step{What: "Holes of a pair", Formula: "along the line, half across to each side, turned and shifted", Numbers: "angle {5}", Result: "{s} for hole 1", Source: "geometry"}

// pairPoints gives pairs as places, to compare them.
func pairPoints(couples []Couple) []fitting.Point {
	out := make([]fitting.Point, len(couples))
	for i, c := range couples {
		out[i] = fitting.Point{X: c.Along, Y: c.Across}
	}
	return out
}

func pairsCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	l := CentreLine{v.In("x"), v.In("y"), v.As("angle", "deg")}
	var couples []Couple
	for i := range v.Rows("pairs") {
		a, _ := v.Cell("pairs", i, 0, "in")
		b, _ := v.Cell("pairs", i, 1, "in")
		couples = append(couples, Couple{a, b})
	}
	holes := l.Places(couples)
	for _, p := range points(v, "one") {
		holes = append(holes, p, l.Mirror(p))
	}
	if len(holes) == 0 {
		return v.Refuse("pairs", "no hole is typed. Type pairs, or holes of one side.")
	}
	asked := askTwice(v, o, "pairs", "Pair", pairPoints(couples))
	asked = askTwice(v, o, "one", "Hole", points(v, "one")) || asked
	o.AskUnits(v, "pairs", farthest(pairPoints(couples)), .05, mostTravel)
	says := o.Fill("{s} about a line through {s} at {sine deg}.", []string{counted(len(holes)), on(o,
		fitting.Point{X: l.X, Y: l.Y})}, l.Angle)
	_, _, near, _ := nearest(holes)
	headPattern(o, holes, "{s}, nearest {=touch in} apart", near)
	if asked {
		says += " One is typed twice."
	} else {
		says += crowded(v, o, holes)
	}
	o.SetText("verdict", says)
	factPattern(v, o, holes, "")
	o.Set("n", float64(len(holes)), "")
	o.SetIf(len(holes) > 1, "nearest in", near)
	setHoles(o, holes)
	o.Line(&holesPairStep, []string{at(o, holes[0])}, l.Angle)
	return patternWheels(v, o, holes)
}

var dialsSheet = worksheet.Sheet{
	Name: "dials", Title: "Handwheels and dials", Question: "How many turns, and what on the dial?", Group: "where",
	About: []string{
		"Coordinates as whole turns of the handwheels and what the dials then show. Slack between screw and nut is kept on one side by coming to every place the same way: a place that lies back is gone past by half a turn or more, and come up to again.",
		"The numbers are rounded to the dial's division from the zero, not from hole to hole, so that nothing adds up.",
	},
	Drawing: "dials",
	Inputs: []worksheet.Input{
		{Key: "holes", Label: "Places", Kind: worksheet.Table, Required: true, Example: "0, 3.25; -3.0909, 1.0043; 1.9103, -2.6293", MinRows: 1, MaxRows: 100, Ask: "Which places?", Box: "places", Help: "X and Y of each place, in the order they are done.", Columns: pointColumns},
		nowInput,
		{Key: "leadx", Label: "X travel in a turn", Kind: worksheet.Length, Box: "X in a turn", Default: "0.2 in", Example: "0.2", Min: "0.01 in", Max: "2 in", Help: "0.200 in where the screw has five threads an inch; 5 mm on many metric machines."},
		{Key: "leady", Label: "Y travel in a turn", Kind: worksheet.Length, Box: "Y in a turn", Default: "0.2 in", Example: "0.2", Min: "0.01 in", Max: "2 in", Help: "Of the saddle's handwheel."},
		{Key: "div", Label: "Division of the dials", Kind: worksheet.Length, Default: "0.001 in", Example: "0.001", Min: "0.0001 in", Max: "0.1 in", Help: "The smallest step."},
		{Key: "xdial", Label: "X dial's numbers", Kind: worksheet.Choice, Default: "rise", Help: "As X grows, that is as the spindle goes to the right over the part.", Options: []worksheet.Option{{Key: "rise", Label: "rise with X"}, {Key: "fall", Label: "fall as X grows"}}},
		{Key: "ydial", Label: "Y dial's numbers", Kind: worksheet.Choice, Default: "rise", Help: "As Y grows, that is as the spindle goes to the back over the part.", Options: []worksheet.Option{{Key: "rise", Label: "rise with Y"}, {Key: "fall", Label: "fall as Y grows"}}},
		{Key: "clock", Label: "Turned clockwise, the dials' numbers", Kind: worksheet.Choice, Default: "rise",
			Help: clockHelp, Options: clockOptions},
		{Key: "come", Label: "Come to each place", Kind: worksheet.Choice, Default: "up", Help: comeHelp, Options: comeOptions},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "back", Label: "Places gone past and come back to", Kind: worksheet.Count, Main: true, Help: "Another order of the places may need fewer."},
		{Key: "over", Label: "Most that rounding leaves out", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Main: true, Dial: "doubt"},
		wheelsResult, stepsResult,
	},
	Sources: []worksheet.Source{fromGeometry, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "holes", Text: "0 in, 3.25 in; -3.0909 in, 1.0043 in; 1.9103 in, -2.6293 in"}},
	Compute: dialsCompute,
}

func dialsCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	down := v.Choice("come") == "down"
	anti := v.Choice("clock") == "fall"
	dx := Dial{v.Length("leadx"), v.Length("div"), v.Choice("xdial") == "fall", down, anti}
	dy := Dial{v.Length("leady"), v.Length("div"), v.Choice("ydial") == "fall", down, anti}
	if f := dx.Check("leadx", "div"); f != nil {
		return f
	}
	if f := dy.Check("leady", "div"); f != nil {
		return f
	}
	holes := points(v, "holes")
	back, worst := 0, 0.0
	var stops [2][]Stop
	for k, d := range [...]Dial{dx, dy} {
		stops[k] = d.Stops(lengths(holes, k == 1))
		for _, s := range stops[k] {
			if s.Past {
				back++
			}
			worst = max(worst, math.Abs(s.Over.Inches()))
		}
	}
	stepWheel(v, o)
	says := worksheet.Either(len(holes) == 1, "1 place", strconv.Itoa(len(holes))+" places")
	switch back {
	case 0:
	case 1:
		says += "; go past and come back once"
	default:
		says += "; go past and come back " + strconv.Itoa(back) + " times"
	}
	o.SetText("verdict", says+". Hole 1: X "+stopText(o, dx, stops[0][0])+", Y "+stopText(o, dy, stops[1][0])+".")
	i := max(0, goTo(v, o, holes))
	headStop(o, i, stops[0][i], stops[1][i])
	askTwice(v, o, "holes", "Place", holes)
	o.AskUnits(v, "holes", farthest(holes), .05, mostWheel)
	o.SetAll("back, over in", float64(back), worst)
	setWheels(o, holes, dx, dy)
	return nil
}
