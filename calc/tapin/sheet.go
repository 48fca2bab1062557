package tapin

import (
	"datumbook/calc/align"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet { return []*worksheet.Sheet{&tapSheet} }

var (
	ends = []worksheet.Option{{Key: "a", Label: "end A", Short: "A"}, {Key: "b", Label: "end B", Short: "B"},
		{Key: "none", Label: "nothing, read again", Short: "none"}}
)

var tapSheet = worksheet.Sheet{
	Name: "tapin", Title: "Tap it in", Question: "What do I tap next, and is it good enough?", Group: "line", Drawing: "tapin",
	About: []string{
		"Read both ends, do what it tells, read again, and add a row. After each row it says which end to tap or shim and how far, or which adjuster to turn, and it stops when the part is inside what you want, as surely as you want it. A row that says nothing of the move before it was made as told.",
		"From each move it learns how much this fixture gives for what is asked of it: a plate springs back when it is tightened, and none does quite what it is told. The next move allows for that. A move that did nothing is taken as friction and not learned from. Where neither end is held it sees from both needles where the part turned, and goes on at the end farther from there.",
		"What was read since the last move is judged as a single reading is: in if the lean is within what you " +
			"want, with a doubt from the graduation and from how well the needle repeats. Reading again helps " +
			"against the second, not against the first, and never makes it worse.",
	},
	Inputs: []worksheet.Input{
		{Key: "mode", Ask: "How is it moved?", Box: "moved by", Label: "It is moved by", Kind: worksheet.Choice, Default: "tap", Help: "How the lean is taken out.",
			Options: []worksheet.Option{{Key: "tap", Label: "tapping an end", Short: "Tap"},
				{Key: "shim", Label: "shims under an end", Short: "Shim"}, {Key: "head", Label: "adjusters of the head", Short: "Head"}}},
		{Key: "pairs", Label: "Readings so far", Ask: "A end reads?", Box: "readings", Kind: worksheet.Table,
			Example: "0, 0.006; 0, 0.0016", MinRows: 1, MaxRows: 40,
			Help: "A row each time: the needle at A, at B, what was moved before it and how far. Leave the move empty where it was made as told, and write none where it was only read again; + is towards the indicator.",
			Columns: []worksheet.Column{align.ReadingColumn("a", "At A", "A"), align.ReadingColumn("b", "At B", "B"),
				{Key: "moved", Label: "Moved", Box: "moved", Kind: worksheet.Choice, Options: ends, Optional: true},
				{Key: "by", Label: "By", Box: "by", Needle: true, Kind: worksheet.Length, Min: "-100 in", Max: "100 in",
					Optional: true}}},
		{Key: "sweeps", Label: "Sweeps so far", Ask: "Right reads?", Box: "sweeps", Kind: worksheet.Table,
			Example: "0.003, 0.0005, -0.001, 0.0015", MinRows: 1, MaxRows: 40,
			Help: "For a head: right, back, left, front, and the turns made before it. + turns swing the top to the right, to the back; empty where made as told.",
			Columns: []worksheet.Column{align.ReadingColumn("right", "Right", "right"),
				align.ReadingColumn("back", "Back", "back"), align.ReadingColumn("left", "Left", "left"),
				align.ReadingColumn("front", "Front", "front"),
				{Key: "turnx", Label: "Turns right-left", Box: "turned", Kind: worksheet.Number, Min: "-20", Max: "20",
					Optional: true},
				{Key: "turny", Label: "Turns nod", Box: "turned", Kind: worksheet.Number, Min: "-20", Max: "20",
					Optional: true}}},
		{Key: "span", Ask: "How far from A to B?", Box: "A to B", Label: "From A to B, or the swing", Kind: worksheet.Length,
			Example: "12", Min: "0.5 in", Max: "500 in", Help: "Between the two places read, where it is known; for a head " +
				"the diameter swept."},
		{Key: "allow", Label: "Lean wanted within", Ask: "Wanted within?", Box: "wanted within", Needle: true, Kind: worksheet.Length, Default: "0.0005 in", Example: "0.0005", Min: "0.00001 in", Max: "0.1 in", Help: "Over that length, either way."},
		{Key: "level", Ask: "How sure?", Box: "how sure", Label: "How sure", Kind: worksheet.Choice, Default: "p95",
			Help:    "In how many cases of 100 the doubt is to cover what it may be off.",
			Options: []worksheet.Option{{Key: "p80", Label: "80 %"}, {Key: "p90", Label: "90 %"}, {Key: "p95", Label: "95 %"}, {Key: "p99", Label: "99 %"}}},
		{Key: "pivot", Ask: "Which end stays?", Box: "stays", Label: "The end that stays", Kind: worksheet.Choice, Default: "a", Help: "Where a bolt is snug, or the edge it rests on.",
			Options: []worksheet.Option{{Key: "a", Label: "A"}, {Key: "b", Label: "B"}, {Key: "free", Label: "neither"}}},
		{Key: "reach", Ask: "Where is it moved?", Box: "pivot to tap", Label: "Pivot to where it is moved", Kind: worksheet.Length, Example: "15", Min: "0.5 in", Max: "500 in", Section: "Fine points", Help: "Where you tap or shim, from the end that stays. Empty: at the other end read."},
		worksheet.Graduation,
		align.Repeats,
		worksheet.Sense,
		align.Side,
		{Key: "leadx", Ask: "Right-left screw, one turn?", Box: "its pitch", Label: "Right-left adjuster, advance in a turn", Kind: worksheet.Length, Example: "0.05", Min: "0.005 in", Max: "2 in", Section: "Head", Help: "Pitch of the screw. Empty: a twentieth of an inch, ten inches out, is assumed until it is learned."},
		{Key: "armx", Ask: "Right-left screw, how far out?", Box: "screw out", Label: "Right-left adjuster from its pivot", Kind: worksheet.Length, Example: "10", Min: "0.5 in", Max: "100 in", Section: "Head", Help: "Distance from the swivel's centre to the screw."},
		{Key: "leady", Ask: "Nod screw, one turn?", Box: "its pitch", Label: "Nod adjuster, advance in a turn", Kind: worksheet.Length, Example: "0.05", Min: "0.005 in", Max: "2 in", Section: "Head", Help: "Pitch of the screw."},
		{Key: "army", Ask: "Nod screw, how far out?", Box: "screw out", Label: "Nod adjuster from its pivot", Kind: worksheet.Length, Example: "10", Min: "0.5 in", Max: "100 in", Section: "Head", Help: "Distance from the nod's pivot to the screw."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "done", Label: "Within what is wanted", Kind: worksheet.Flag, Judges: true},
		{Key: "end", Label: "End to move", Kind: worksheet.Text, Plan: true},
		{Key: "move", Label: "Move there", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Help: "+ towards the indicator, - away from it; a shim of + goes in.", Dial: "aim", Plan: true},
		{Key: "aim", Label: "Until it reads", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Help: "With the indicator left at that end, zero not touched, before tightening.", Dial: "reads",
			Plan: true},
		{Key: "turnx", Label: "Turns, right-left", Kind: worksheet.Number, Main: true,
			Digits: worksheet.Digits{Inch: 3, Metric: 3}, Help: "+ swings the top to the right.", Dial: "adjust",
			Plan: true},
		{Key: "turny", Label: "Turns, nod", Kind: worksheet.Number, Main: true,
			Digits: worksheet.Digits{Inch: 3, Metric: 3}, Help: "+ nods the top to the back.", Dial: "adjust",
			Plan: true},
		{Key: "lean", Label: "Lean now", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Help: "+ where B, or the right, is nearer the indicator.", Dial: "needle"},
		{Key: "leany", Label: "Lean now, nod", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Help: "+ where the back is nearer.", Dial: "needle"},
		{Key: "chance", Label: "Chance that it is inside", Kind: worksheet.Percent, Main: true, Dial: "chance"},
		{Key: "sure", Label: "Lean is sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Help: "At about 95 %.", Dial: "doubt"},
		{Key: "gain", Label: "It gives, of what is asked", Kind: worksheet.Percent, Dial: "percent"},
		{Key: "gainsure", Label: "That is sure to, plus or minus", Kind: worksheet.Percent, Help: "At about 95 %.",
			Dial: "share"},
		{Key: "perturnx", Label: "Lean for a turn, right-left", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle"},
		{Key: "perturny", Label: "Lean for a turn, nod", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle"},
		{Key: "sticks", Label: "Largest move that did nothing", Kind: worksheet.Text},
		{Key: "closure", Label: "Right and left less back and front", Kind: worksheet.Length,
			Digits: worksheet.FineDigits, Help: "Nothing, on a flat table.", Dial: "needle"},
		{Key: "moves", Label: "Moves made", Kind: worksheet.Count},
		{Key: "history", Label: "So far", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "row", Label: "Row", Kind: worksheet.Count}, {Key: "axis", Label: "Direction", Kind: worksheet.Text}, {Key: "moved", Label: "Moved", Kind: worksheet.Text}, {Key: "asked", Label: "Asked", Kind: worksheet.Text},
			{Key: "expected", Label: "Lean expected", Kind: worksheet.Length, Units: align.Dialled},
			{Key: "lean", Label: "Lean read", Kind: worksheet.Length, Units: align.Dialled},
			{Key: "best", Label: "Lean, best known", Kind: worksheet.Length, Units: align.Dialled},
			{Key: "took", Label: "Of what was expected", Kind: worksheet.Text}, {Key: "chance", Label: "Chance inside", Kind: worksheet.Percent}}},
	},
	Sources: []worksheet.Source{
		{Key: "GUM", Title: "JCGM 100:2008 Guide to the expression of uncertainty in measurement: F.2.2.1 " +
			"(resolution), 5.1.2 (sum of squares), G.3 (few readings)"},
		{Key: "ISO 230-1", Title: "ISO 230-1:2012 Test code for machine tools, geometric accuracy: end-point line, " +
			"squareness of a spindle"},
		{Key: "JCGM 106", Title: "JCGM 106:2012 The role of measurement uncertainty in conformity assessment: 7 " +
			"(probability of being within limits), 8.2 (simple acceptance)"},
		{Key: "least squares", Title: "Weighted least squares of lean and response together, taken one reading at a time"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "pairs", Text: "0 in, 0.0060 in; 0 in, 0.0016 in"}, {Key: "span", Text: "12 in"}},
	Compute: compute,
}
