package chain

import "datumbook/calc/worksheet"

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet { return []*worksheet.Sheet{&chainSheet} }

var (
	sides = []worksheet.Option{{Key: "bottom", Label: "bottom"}, {Key: "top", Label: "top"}, {Key: "left", Label: "left"}, {Key: "right", Label: "right"}, {Key: "front", Label: "front"}, {Key: "back", Label: "back"}}
	kinds = []worksheet.Option{{Key: "seat", Label: "seat: chip, burr, bow", Short: "seat"}, {Key: "plate", Label: "plate out of square", Short: "plate"}, {Key: "tram", Label: "tram left over", Short: "tram"}, {Key: "head", Label: "head tilt", Short: "head"}, {Key: "way", Label: "machine's ways", Short: "ways"}, {Key: "heat", Label: "heat"}, {Key: "other", Label: "other, of the part", Short: "part"}}
)

var chainSheet = worksheet.Sheet{
	Name: "chain", Title: "Will it come out square?", Question: "Will the finished part come out square?", Group: "sure", Drawing: "chain",
	About: []string{
		"Each set-up is located on a face that an earlier one finished, and turns what it finishes by a small angle: a chip under the seat, a plate out of square, tram left over, a head that leans, ways that are not square, heat. Along the chain these add up. Give each its reading with how sure it is, or leave the reading empty and give the limits you assume.",
		"An error of the machine counts one way with the part one way up, and the other way with it turned over: say which side is down, and the signs follow. One plate that serves twice is one error, not two: give both rows the same mark.",
		"Before the cut it names the one reading, or the one shim, that would better the worst face most. The second opinion draws all errors many times and turns the part in space.",
	},
	Inputs: []worksheet.Input{
		{Key: "setups", Ask: "Which setups?", Box: "setups", Label: "Set-ups", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 12, Example: "bottom, top, 0, 10; top, bottom, 1, 10",
			Help: "In order: name, side that is down, set-up that finished that side (0 for the start), length of the seat, quarter turns counter-clockwise seen from above.",
			Columns: []worksheet.Column{{Key: "name", Label: "Set-up", Kind: worksheet.Text}, {Key: "down", Label: "Down", Kind: worksheet.Choice, Options: sides},
				{Key: "from", Label: "Located on", Kind: worksheet.Count, Min: "0", Max: "12"}, {Key: "seat", Label: "Seat", Kind: worksheet.Length, Min: "0.1 in", Max: "500 in"},
				{Key: "turn", Label: "Quarter turns", Box: "turns", Kind: worksheet.Count, Min: "0", Max: "3", Optional: true}}},
		{Key: "causes", Ask: "What may be off?", Box: "errors", Label: "Errors", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 60, Example: "1, seat, x, , 0.0005; 2, plate, x, 0.0008, 0.0002, 12, P",
			Help: "Set-up, what, about which axis of the machine, reading (empty: assumed), plus or minus, over which length (empty: the seat), mark if it comes more than once (reading and plus or minus may then be left to the first), 'turned' if what carries it was turned half round. About x + lifts the back, about y + lifts the left, about z + turns counter-clockwise from above: of the part for seat, plate and tram, of the cut for head, ways and heat.",
			Columns: []worksheet.Column{{Key: "setup", Label: "Set-up", Kind: worksheet.Count, Min: "1", Max: "12"}, {Key: "what", Label: "What", Kind: worksheet.Choice, Options: kinds},
				{Key: "axis", Label: "About", Kind: worksheet.Choice, Options: []worksheet.Option{{Key: "x", Label: "x, right", Short: "x"}, {Key: "y", Label: "y, back", Short: "y"}, {Key: "z", Label: "z, up", Short: "z"}}},
				{Key: "value", Label: "Reading", Needle: true, Kind: worksheet.Length, Min: "-1 in", Max: "1 in", Optional: true}, {Key: "pm", Label: "Plus or minus", Box: "±", Needle: true, Kind: worksheet.Length, Min: "0 in", Max: "1 in", Optional: true},
				{Key: "over", Label: "Over", Kind: worksheet.Length, Min: "0.1 in", Max: "500 in", Optional: true}, {Key: "mark", Label: "Mark", Kind: worksheet.Text, Optional: true},
				{Key: "way", Label: "Turned", Kind: worksheet.Choice, Options: []worksheet.Option{{Key: "same", Label: "same"}, {Key: "turned", Label: "turned"}}, Optional: true}}},
		{Key: "faces", Ask: "Which face to which?", Box: "faces", Label: "Finished faces", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 12, Example: "bottom, 1, bottom, face, 0, 10; top, 2, top, face, 1, 10, 0.001",
			Help: "Name, set-up that finishes it, where it looks, face or holes, row of this table it is measured to (0 for the start), over which length, what is allowed.",
			Columns: []worksheet.Column{{Key: "name", Label: "Face", Kind: worksheet.Text}, {Key: "setup", Label: "Set-up", Kind: worksheet.Count, Min: "1", Max: "12"}, {Key: "looks", Label: "Looks", Kind: worksheet.Choice, Options: sides},
				{Key: "is", Label: "Is", Kind: worksheet.Choice, Options: []worksheet.Option{{Key: "face", Label: "face"}, {Key: "holes", Label: "hole pattern"}}},
				{Key: "to", Label: "To row", Kind: worksheet.Count, Min: "0", Max: "12"}, {Key: "length", Label: "Over", Kind: worksheet.Length, Min: "0.1 in", Max: "500 in"},
				{Key: "allow", Label: "Allowed", Needle: true, Kind: worksheet.Length, Min: "0.00001 in", Max: "1 in", Optional: true}}},
		{Key: "better", Ask: "How sure is a reading?", Box: "reading sure to", Label: "A reading would be sure to", Needle: true, Kind: worksheet.Length, Default: "0.0002 in", Example: "0.0002", Min: "0 in", Max: "0.1 in", Section: "Fine points", Help: "Plus or minus, over the length of its row: what you could read a thing to if you took the trouble."},
		{Key: "trials", Ask: "How many trials?", Box: "trials", Label: "Trials", Kind: worksheet.Count, Default: "0", Example: "1000", Min: "0", Max: "1000", Section: "Fine points", Help: "Second opinion: so many times all errors are drawn and the part is turned in space. 0 for none."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "improve", Label: "What betters it most", Kind: worksheet.Text, Main: true},
		{Key: "expected", Label: "Expected, of the worst face", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Main: true, Dial: "reckoned", Help: "From what was read, with its sign."},
		{Key: "sure", Label: "Sure to, plus or minus", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Dial: "doubt", Help: "At about 95 %."},
		{Key: "worst", Label: "At the very worst", Kind: worksheet.Length, Digits: worksheet.FineDigits, Main: true,
			Dial: "doubt", Help: "Everything at its limit, all one way."},
		{Key: "ok", Label: "All within what is allowed", Kind: worksheet.Flag, Judges: true,
			Help: "At about 95 %, where something is allowed."},
		{Key: "after", Label: "Sure to, after that reading", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "shim", Label: "Shim that takes out what is expected", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "shimsetup", Label: "In set-up", Kind: worksheet.Count},
		{Key: "errors", Label: "Faces", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "face", Label: "Face", Kind: worksheet.Text}, {Key: "to", Label: "To", Kind: worksheet.Text}, {Key: "about", Label: "About the part's", Kind: worksheet.Text}, {Key: "over", Label: "Over", Kind: worksheet.Length},
			{Key: "expected", Label: "Expected", Kind: worksheet.Length, Units: worksheet.Thou}, {Key: "sure", Label: "Plus or minus", Kind: worksheet.Length, Units: worksheet.Thou}, {Key: "worst", Label: "At the worst", Kind: worksheet.Length, Units: worksheet.Thou},
			{Key: "angle", Label: "Expected angle", Kind: worksheet.Slope}, {Key: "allowed", Label: "Allowed", Kind: worksheet.Text}, {Key: "says", Label: "Comes out", Kind: worksheet.Text}}},
		{Key: "shares", Label: "What makes up the worst face", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "row", Label: "Row", Kind: worksheet.Count}, {Key: "what", Label: "What", Kind: worksheet.Text}, {Key: "expected", Label: "Adds", Kind: worksheet.Length, Units: worksheet.Thou}, {Key: "sure", Label: "Plus or minus", Kind: worksheet.Length, Units: worksheet.Thou},
			{Key: "share", Label: "Of the square", Kind: worksheet.Percent}, {Key: "after", Label: "Whole, if it were read", Kind: worksheet.Length, Units: worksheet.Thou}}},
		{Key: "tried", Label: "By trials", Kind: worksheet.Text},
		{Key: "triedmid", Label: "Expected, by trials", Kind: worksheet.Length, Digits: worksheet.FineDigits},
		{Key: "triedsure", Label: "Plus or minus, by trials", Kind: worksheet.Length, Digits: worksheet.FineDigits, Help: "Half of what holds 95 of 100 trials."},
	},
	Sources: []worksheet.Source{
		{Key: "JCGM 100", Title: "JCGM 100:2008 Guide to the expression of uncertainty in measurement: 5.1.2, 5.2.2 with F.1.2.3 (one error that enters twice), 4.3.7 (limits), G.6.6 (k = 2)"},
		{Key: "JCGM 101", Title: "JCGM 101:2008 Supplement 1 to the Guide: propagation of distributions using a Monte Carlo method, 7"},
		{Key: "geometry", Title: "Geometry of small turns, and of turns in space"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{
		{Key: "setups", Text: "bottom, top, 0, 10 in; top, bottom, 1, 10 in; front, back, 1, 6 in"},
		{Key: "causes", Text: "1, seat, x, , 0.001 in; 1, head, x, 0.0004 in, 0.0002 in, 12 in, H; 2, seat, x, , 0.0005 in; 2, head, x, , , , H; 3, plate, x, 0.0006 in, 0.0002 in, 12 in; 3, tram, x, , 0.0003 in, 12 in; 3, tram, y, 0.0002 in, 0.0002 in, 12 in"},
		{Key: "faces", Text: "bottom, 1, bottom, face, 0, 10 in; top, 2, top, face, 1, 10 in, 0.002 in; front, 3, front, face, 1, 6 in, 0.001 in"}},
	Compute: compute,
}
