package match

import "datumbook/calc/worksheet"

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet { return []*worksheet.Sheet{&matchSheet} }

const (
	near600 = "-600 in"
	far600  = "600 in"
	drilled = "Drilling new holes"
)

var (
	colFixture = worksheet.Column{Key: "fixture", Label: "Fixture", Kind: worksheet.Text}
	colFace    = worksheet.Column{Key: "face", Label: "Face", Kind: worksheet.Text, Optional: true}
	colX       = worksheet.Column{Key: "x", Label: "X", Kind: worksheet.Length, Min: near600, Max: far600}
	colY       = worksheet.Column{Key: "y", Label: "Y", Kind: worksheet.Length, Min: near600, Max: far600}
	colSize    = worksheet.Column{Key: "size", Label: "Diameter or width", Box: "size", Kind: worksheet.Length, Min: "0.02 in", Max: "20 in", Optional: true}
	colLong    = worksheet.Column{Key: "long", Label: "Length", Kind: worksheet.Length, Min: "0.02 in", Max: far600, Optional: true}
	colAngle   = worksheet.Column{Key: "angle", Label: "Angle", Kind: worksheet.Angle, Min: "-360", Max: "360", Optional: true}
	colWide    = worksheet.Column{Key: "wide", Label: "Width", Kind: worksheet.Length, Min: "0.1 in", Max: far600, Optional: true}
	colHigh    = worksheet.Column{Key: "high", Label: "Height", Kind: worksheet.Length, Min: "0.1 in", Max: far600, Optional: true}
	colThick   = worksheet.Column{Key: "thick", Label: "Thickness", Kind: worksheet.Length, Min: "0.05 in", Max: "40 in", Optional: true}
	colLeft    = worksheet.Column{Key: "left", Label: "Left edge at X", Kind: worksheet.Length, Min: near600, Max: far600, Optional: true}
	colBottom  = worksheet.Column{Key: "bottom", Label: "Bottom edge at Y", Kind: worksheet.Length, Min: near600, Max: far600, Optional: true}
	colKind    = worksheet.Column{Key: "kind", Label: "Kind", Kind: worksheet.Text}
	colTurn    = worksheet.Column{Key: "turn", Label: "Turned", Kind: worksheet.Angle}
	colOver    = worksheet.Column{Key: "over", Label: "Turned over", Kind: worksheet.Text}
	colRoom    = worksheet.Column{Key: "room", Label: "Room left", Kind: worksheet.Length}

	partKinds  = []worksheet.Option{{Key: "hole", Label: "clearance hole"}, {Key: "slot", Label: "slot"}, {Key: "tapped", Label: "tapped hole"}}
	placeKinds = []worksheet.Option{{Key: "hole", Label: "clearance hole"}, {Key: "slot", Label: "slot"}, {Key: "tapped", Label: "tapped hole"}, {Key: "tslot", Label: "T-slot"}}
	keepKinds  = []worksheet.Option{{Key: "rib", Label: "rib behind"}, {Key: "clear", Label: "keep clear"}}
)

var matchSheet = worksheet.Sheet{
	Name: "match", Title: "Fixture for a part", Question: "Which of my fixtures takes this part?", Group: "hold",
	About: []string{
		"The part is a pattern of holes and slots with the bolts they take; each fixture face is a pattern of holes, threads, slots and T-slots. The search goes through every face, turn and place and keeps those in which every bolt goes in, then sets the part where the tightest bolt has the most room. Nothing is sampled: what is not listed does not go.",
		"Room is a radius: how far that bolt could still be off before it binds. A bolt through two clearance holes floats and has half the clearance of each; a bolt in a thread has half the clearance of its hole. In slots a bolt may stand anywhere along the length. A T-nut is taken as central and two bolts long.",
		"Where nothing takes the part it says where to drill: fewest new holes first, at quarter turns, clear of edges, ribs, old holes and places kept clear, deep enough for the bolt to break before the thread where the plate allows it. Enter the new holes in the fixture's record with the reason given.",
		"It looks at bolts only. Whether the part clears the fixture, the table and the spindle is another worksheet, 'foul', and whether it stays put is 'stay'.",
	},
	Drawing: "match",
	Inputs: []worksheet.Input{
		{Key: "part", Label: "The part's places", Ask: "Which holes has the part?", Box: "hole", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: MaxSpots, Example: "hole, 0, 0, 5/8-11, 11/16; hole, 6, 0, 5/8-11, 11/16",
			Help:    "One row for each bolt: kind, X and Y of its centre seen from above as the part lies on the face, the bolt, diameter or width, and for a slot its length over the ends and the angle it runs at (0 along X). A tapped hole needs no diameter.",
			Columns: []worksheet.Column{{Key: "kind", Label: "Kind", Kind: worksheet.Choice, Options: partKinds}, colX, colY, {Key: "bolt", Label: "Bolt", Kind: worksheet.Thread}, colSize, colLong, colAngle}},
		{Key: "fixtures", Label: "Fixture faces", Ask: "Which fixtures?", Box: "face", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 400, Example: "angle plate, front, 12, 9, 1-1/2",
			Help:    "One row for each face: fixture, face, width, height, thickness, and where its left and bottom edge lie if not at 0. Sizes are only needed for drilling.",
			Columns: []worksheet.Column{colFixture, colFace, colWide, colHigh, colThick, colLeft, colBottom}},
		{Key: "places", Label: "Their holes and slots", Ask: "Which holes are in them?", Box: "old hole", Kind: worksheet.Table, MaxRows: 8000, Example: "angle plate, front, tapped, 3, 2, , 5/8-11; angle plate, front, slot, 6, 7, 11/16, , 4, 0",
			Help:    "One row for each: fixture, face, kind, X, Y, diameter or width, thread, length and angle of a slot. X and Y as seen looking at the face.",
			Columns: []worksheet.Column{colFixture, colFace, {Key: "kind", Label: "Kind", Kind: worksheet.Choice, Options: placeKinds}, colX, colY, colSize, {Key: "thread", Label: "Thread", Kind: worksheet.Thread, Optional: true}, colLong, colAngle}},
		{Key: "keep", Label: "Ribs and places to keep clear", Ask: "Where are the ribs?", Box: "rib", Kind: worksheet.Table, MaxRows: 2000, Example: "angle plate, front, rib, 6, 4.5, 3/4, 9",
			Help:    "One row for each: fixture, face, rib or clear, X and Y of its centre, width and height. New holes keep off them.",
			Columns: []worksheet.Column{colFixture, colFace, {Key: "kind", Label: "Kind", Kind: worksheet.Choice, Options: keepKinds}, colX, colY, {Key: "wide", Label: "Width", Kind: worksheet.Length, Min: "0.01 in", Max: far600}, {Key: "high", Label: "Height", Kind: worksheet.Length, Min: "0.01 in", Max: far600}}},
		{Key: "turn", Label: "Turns", Ask: "Which turns?", Kind: worksheet.Choice, Default: "quarter", Help: "Quarter turns keep the part square to the fixture; any turn will do where it is indicated in afterwards.",
			Options: []worksheet.Option{{Key: "quarter", Label: "quarter turns"}, {Key: "free", Label: "any turn"}}},
		{Key: "flip", Label: "May be turned over", Ask: "May it be turned over?", Kind: worksheet.Flag, Default: "no", Help: "The part may also lie on its other side, turned over about its Y axis."},
		{Key: "slack", Label: "Off square by at most", Ask: "How far off square?", Box: "off square", Kind: worksheet.Angle, Section: "Fine points", Default: "3", Min: "0", Max: "40", Help: "How far off a quarter turn the part may sit to let the bolts in."},
		{Key: "name", Label: "Part", Ask: "Which part?", Box: "part", Kind: worksheet.Text, Section: drilled, Example: "bearing bracket", Help: "Its name, for the reason put into the fixture's record."},
		{Key: "metal", Label: "Fixture's metal", Ask: "What metal is the fixture?", Kind: worksheet.Choice, Section: drilled, Default: "iron", Help: "Sets the length of thread wanted.",
			Options: []worksheet.Option{{Key: "iron", Label: "Grey iron"}, {Key: "steel", Label: "Steel"}, {Key: "stainless", Label: "Stainless"}, {Key: "aluminium", Label: "Aluminium"}, {Key: "bronze", Label: "Bronze"}}},
		{Key: "centre", Label: "Part's centre line at X", Ask: "Where is its centre line?", Box: "centre line", Kind: worksheet.Length, Section: drilled, Min: near600, Max: far600, Help: "New holes are laid alike on both sides of it. Empty: half way between the outermost places."},
		{Key: "edge", Label: "Centre of a hole to the edge", Ask: "How far from the edge?", Box: "to the edge", Kind: worksheet.Length, Section: drilled, Min: "0 in", Max: "40 in", Help: "At least. Empty: one and a half bolts."},
		{Key: "between", Label: "Metal between holes", Ask: "How much between holes?", Box: "between", Kind: worksheet.Length, Section: drilled, Min: "0 in", Max: "40 in", Help: "At least, to old holes and slots. Empty: one bolt."},
		{Key: "rib", Label: "Hole to a rib", Ask: "How far from a rib?", Box: "to a rib", Kind: worksheet.Length, Section: drilled, Min: "0 in", Max: "40 in", Help: "At least, edge to edge. Empty: half a bolt."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "takes", Label: "A fixture takes it", Kind: worksheet.Flag, Judges: true},
		{Key: "on", Label: "On", Kind: worksheet.Text, Main: true},
		{Key: "turned", Label: "Turned", Kind: worksheet.Angle, Main: true, Dial: "swivel",
			Help: "From the part's X to the face's X, counter-clockwise looking at the face."},
		{Key: "over", Label: "Turned over", Kind: worksheet.Flag},
		{Key: "px", Label: "Part's zero at X", Kind: worksheet.Length, Main: true, Dial: "wheel"},
		{Key: "py", Label: "Part's zero at Y", Kind: worksheet.Length, Main: true, Dial: "wheel"},
		{Key: "room", Label: "Room at the tightest bolt", Kind: worksheet.Length, Main: true, Dial: "clear",
			Help: "As a radius."},
		{Key: "ways", Label: "Ways found", Kind: worksheet.Count, Digits: worksheet.WholeDigits, Main: true},
		{Key: "bolts", Label: "Bolts", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "row", Label: "Part's place", Kind: worksheet.Count}, {Key: "in", Label: "Fixture's place", Kind: worksheet.Count}, colKind, colX, colY,
			{Key: "off", Label: "Off centre", Kind: worksheet.Length}, colRoom}},
		{Key: "list", Label: "Best ways", Kind: worksheet.Table, Columns: []worksheet.Column{colFixture, colFace, colTurn, colOver, colX, colY, colRoom}},
		{Key: "faces", Label: "Faces that take it", Kind: worksheet.Table, Columns: []worksheet.Column{colFixture, colFace, {Key: "ways", Label: "Ways", Kind: worksheet.Count}, colRoom}},
		{Key: "holes", Label: "Holes to drill", Kind: worksheet.Table, Help: "From the face's zero, and from the first hole.", Columns: []worksheet.Column{
			colX, colY, {Key: "dx", Label: "from the first, X", Kind: worksheet.Length}, {Key: "dy", Label: "Y", Kind: worksheet.Length},
			{Key: "make", Label: "Make", Kind: worksheet.Text}, {Key: "drill", Label: "Drill", Kind: worksheet.Text}, {Key: "dia", Label: "Diameter", Kind: worksheet.Length}, {Key: "depth", Label: "Depth to the shoulder", Kind: worksheet.Length}, {Key: "through", Label: "Goes through", Kind: worksheet.Text}, {Key: "thread", Label: "Thread", Kind: worksheet.Text},
			{Key: "why", Label: "Why", Kind: worksheet.Text}}},
		{Key: "plans", Label: "Faces that can be drilled", Kind: worksheet.Table, Columns: []worksheet.Column{colFixture, colFace, {Key: "new", Label: "New holes", Kind: worksheet.Count}, {Key: "old", Label: "Old places used", Kind: worksheet.Count}, colTurn, colOver, colX, colY, {Key: "spare", Label: "Beyond the margins", Kind: worksheet.Length}}},
		{Key: "steps", Label: "Steps", Kind: worksheet.Lines},
		{Key: "why", Label: "Face by face", Kind: worksheet.Table, Help: "The faces, best first, each with the reason.",
			Columns: []worksheet.Column{colFixture, colFace, {Key: "why", Label: "Why", Kind: worksheet.Text}}},
		{Key: "face", Label: "The face", Kind: worksheet.Table, Columns: []worksheet.Column{colFixture, colFace, colLeft, colBottom, colWide, colHigh, colThick}},
		{Key: "facing", Label: "Its places", Kind: worksheet.Table, Columns: []worksheet.Column{colKind, colX, colY, colSize, {Key: "thread", Label: "Thread", Kind: worksheet.Text}, colLong, colAngle}},
		{Key: "blocked", Label: "Its ribs and places kept clear", Kind: worksheet.Table, Columns: []worksheet.Column{colKind, colX, colY, colWide, colHigh}},
	},
	Sources: []worksheet.Source{
		{Key: "Y14.5", Title: "ASME Y14.5-2009 Dimensioning and Tolerancing, nonmandatory appendix B: fixed and floating fasteners"},
		{Key: "B18.2.8", Title: "ASME B18.2.8-1999 Clearance Holes for Bolts, Screws, and Studs; ISO 273"},
		{Key: "geometry", Title: "Geometry of turn and shift"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{
		{Key: "part", Text: "hole, 0 in, 0 in, 5/8-11, 0.6875 in; hole, 6 in, 0 in, 5/8-11, 0.6875 in; slot, 3 in, 4 in, 5/8-11, 0.6875 in, 1.5 in, 90"},
		{Key: "fixtures", Text: "angle plate, front, 12 in, 9 in, 1.5 in; sub-plate, , 20 in, 16 in, 2 in"},
		{Key: "places", Text: "angle plate, front, tapped, 3 in, 2 in, , 5/8-11; angle plate, front, tapped, 9.02 in, 2 in, , 5/8-11; angle plate, front, slot, 6 in, 6.2 in, 0.6875 in, , 4 in, 0; sub-plate, , tapped, 4 in, 4 in, , 5/8-11; sub-plate, , tapped, 4 in, 12 in, , 5/8-11"},
		{Key: "keep", Text: "angle plate, front, rib, 6 in, 4.5 in, 0.75 in, 9 in"},
	},
	Compute: compute,
}
