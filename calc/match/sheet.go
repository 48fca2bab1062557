package match

import "datumbook/calc/sheet"

// Sheets gives the worksheets of this room.
func Sheets() []*sheet.Sheet { return []*sheet.Sheet{&matchSheet} }

const (
	near600 = "-600 in"
	far600  = "600 in"
	drilled = "Drilling new holes"
)

var (
	colFixture = sheet.Column{Key: "fixture", Label: "Fixture", Kind: sheet.Text}
	colFace    = sheet.Column{Key: "face", Label: "Face", Kind: sheet.Text, Optional: true}
	colX       = sheet.Column{Key: "x", Label: "X", Kind: sheet.Length, Min: near600, Max: far600}
	colY       = sheet.Column{Key: "y", Label: "Y", Kind: sheet.Length, Min: near600, Max: far600}
	colSize    = sheet.Column{Key: "size", Label: "Diameter or width", Kind: sheet.Length, Min: "0.02 in", Max: "20 in", Optional: true}
	colLong    = sheet.Column{Key: "long", Label: "Length", Kind: sheet.Length, Min: "0.02 in", Max: far600, Optional: true}
	colAngle   = sheet.Column{Key: "angle", Label: "Angle", Kind: sheet.Angle, Min: "-360", Max: "360", Optional: true}
	colWide    = sheet.Column{Key: "wide", Label: "Width", Kind: sheet.Length, Min: "0.1 in", Max: far600, Optional: true}
	colHigh    = sheet.Column{Key: "high", Label: "Height", Kind: sheet.Length, Min: "0.1 in", Max: far600, Optional: true}
	colThick   = sheet.Column{Key: "thick", Label: "Thickness", Kind: sheet.Length, Min: "0.05 in", Max: "40 in", Optional: true}
	colLeft    = sheet.Column{Key: "left", Label: "Left edge at X", Kind: sheet.Length, Min: near600, Max: far600, Optional: true}
	colBottom  = sheet.Column{Key: "bottom", Label: "Bottom edge at Y", Kind: sheet.Length, Min: near600, Max: far600, Optional: true}
	colKind    = sheet.Column{Key: "kind", Label: "Kind", Kind: sheet.Text}
	colTurn    = sheet.Column{Key: "turn", Label: "Turned", Kind: sheet.Angle}
	colOver    = sheet.Column{Key: "over", Label: "Turned over", Kind: sheet.Text}
	colRoom    = sheet.Column{Key: "room", Label: "Room left", Kind: sheet.Length}

	countDigits = sheet.Digits{Inch: sheet.Whole, Metric: sheet.Whole}

	partKinds  = []sheet.Option{{Key: "hole", Label: "clearance hole"}, {Key: "slot", Label: "slot"}, {Key: "tapped", Label: "tapped hole"}}
	placeKinds = []sheet.Option{{Key: "hole", Label: "clearance hole"}, {Key: "slot", Label: "slot"}, {Key: "tapped", Label: "tapped hole"}, {Key: "tslot", Label: "T-slot"}}
	keepKinds  = []sheet.Option{{Key: "rib", Label: "rib behind"}, {Key: "clear", Label: "keep clear"}}
)

var matchSheet = sheet.Sheet{
	Name: "match", Title: "Fixture for a part", Question: "Which of my fixtures takes this part?", Group: "hold",
	About: []string{
		"The part is a pattern of holes and slots with the bolts they take; each fixture face is a pattern of holes, threads, slots and T-slots. The search goes through every face, turn and place and keeps those in which every bolt goes in, then sets the part where the tightest bolt has the most room. Nothing is sampled: what is not listed does not go.",
		"Room is a radius: how far that bolt could still be off before it binds. A bolt through two clearance holes floats and has half the clearance of each; a bolt in a thread has half the clearance of its hole. In slots a bolt may stand anywhere along the length. A T-nut is taken as central and two bolts long.",
		"Where nothing takes the part it says where to drill: fewest new holes first, at quarter turns, clear of edges, ribs, old holes and places kept clear, deep enough for the bolt to break before the thread where the plate allows it. Enter the new holes in the fixture's record with the reason given.",
		"It looks at bolts only. Whether the part clears the fixture, the table and the spindle is another worksheet, 'foul', and whether it stays put is 'stay'.",
	},
	Drawing: "match",
	Inputs: []sheet.Input{
		{Key: "part", Label: "The part's places", Kind: sheet.Table, Required: true, MinRows: 1, MaxRows: MaxSpots, Example: "hole, 0, 0, 5/8-11, 11/16; hole, 6, 0, 5/8-11, 11/16",
			Help:    "One row for each bolt: kind, X and Y of its centre seen from above as the part lies on the face, the bolt, diameter or width, and for a slot its length over the ends and the angle it runs at (0 along X). A tapped hole needs no diameter.",
			Columns: []sheet.Column{{Key: "kind", Label: "Kind", Kind: sheet.Choice, Options: partKinds}, colX, colY, {Key: "bolt", Label: "Bolt", Kind: sheet.Thread}, colSize, colLong, colAngle}},
		{Key: "fixtures", Label: "Fixture faces", Kind: sheet.Table, Required: true, MinRows: 1, MaxRows: 400, Example: "angle plate, front, 12, 9, 1-1/2",
			Help:    "One row for each face: fixture, face, width, height, thickness, and where its left and bottom edge lie if not at 0. Sizes are only needed for drilling.",
			Columns: []sheet.Column{colFixture, colFace, colWide, colHigh, colThick, colLeft, colBottom}},
		{Key: "places", Label: "Their holes and slots", Kind: sheet.Table, MaxRows: 8000, Example: "angle plate, front, tapped, 3, 2, , 5/8-11; angle plate, front, slot, 6, 7, 11/16, , 4, 0",
			Help:    "One row for each: fixture, face, kind, X, Y, diameter or width, thread, length and angle of a slot. X and Y as seen looking at the face.",
			Columns: []sheet.Column{colFixture, colFace, {Key: "kind", Label: "Kind", Kind: sheet.Choice, Options: placeKinds}, colX, colY, colSize, {Key: "thread", Label: "Thread", Kind: sheet.Thread, Optional: true}, colLong, colAngle}},
		{Key: "keep", Label: "Ribs and places to keep clear", Kind: sheet.Table, MaxRows: 2000, Example: "angle plate, front, rib, 6, 4.5, 3/4, 9",
			Help:    "One row for each: fixture, face, rib or clear, X and Y of its centre, width and height. New holes keep off them.",
			Columns: []sheet.Column{colFixture, colFace, {Key: "kind", Label: "Kind", Kind: sheet.Choice, Options: keepKinds}, colX, colY, {Key: "wide", Label: "Width", Kind: sheet.Length, Min: "0.01 in", Max: far600}, {Key: "high", Label: "Height", Kind: sheet.Length, Min: "0.01 in", Max: far600}}},
		{Key: "turn", Label: "Turns", Kind: sheet.Choice, Default: "quarter", Help: "Quarter turns keep the part square to the fixture; any turn will do where it is indicated in afterwards.",
			Options: []sheet.Option{{Key: "quarter", Label: "quarter turns"}, {Key: "free", Label: "any turn"}}},
		{Key: "flip", Label: "May be turned over", Kind: sheet.Flag, Default: "no", Help: "The part may also lie on its other side, turned over about its Y axis."},
		{Key: "slack", Label: "Off square by at most", Kind: sheet.Angle, Section: "Fine points", Default: "3", Min: "0", Max: "40", Help: "How far off a quarter turn the part may sit to let the bolts in."},
		{Key: "name", Label: "Part", Kind: sheet.Text, Section: drilled, Example: "bearing bracket", Help: "Its name, for the reason put into the fixture's record."},
		{Key: "metal", Label: "Fixture's metal", Kind: sheet.Choice, Section: drilled, Default: "iron", Help: "Sets the length of thread wanted.",
			Options: []sheet.Option{{Key: "iron", Label: "Grey iron"}, {Key: "steel", Label: "Steel"}, {Key: "stainless", Label: "Stainless"}, {Key: "aluminium", Label: "Aluminium"}, {Key: "bronze", Label: "Bronze"}}},
		{Key: "centre", Label: "Part's centre line at X", Kind: sheet.Length, Section: drilled, Min: near600, Max: far600, Help: "New holes are laid alike on both sides of it. Empty: half way between the outermost places."},
		{Key: "edge", Label: "Centre of a hole to the edge", Kind: sheet.Length, Section: drilled, Min: "0 in", Max: "40 in", Help: "At least. Empty: one and a half bolts."},
		{Key: "between", Label: "Metal between holes", Kind: sheet.Length, Section: drilled, Min: "0 in", Max: "40 in", Help: "At least, to old holes and slots. Empty: one bolt."},
		{Key: "rib", Label: "Hole to a rib", Kind: sheet.Length, Section: drilled, Min: "0 in", Max: "40 in", Help: "At least, edge to edge. Empty: half a bolt."},
	},
	Results: []sheet.Result{
		{Key: "verdict", Label: "Answer", Kind: sheet.Text, Main: true},
		{Key: "takes", Label: "A fixture takes it", Kind: sheet.Flag},
		{Key: "on", Label: "On", Kind: sheet.Text, Main: true},
		{Key: "turned", Label: "Turned", Kind: sheet.Angle, Main: true, Help: "From the part's X to the face's X, counter-clockwise looking at the face."},
		{Key: "over", Label: "Turned over", Kind: sheet.Flag},
		{Key: "px", Label: "Part's zero at X", Kind: sheet.Length, Main: true},
		{Key: "py", Label: "Part's zero at Y", Kind: sheet.Length, Main: true},
		{Key: "room", Label: "Room at the tightest bolt", Kind: sheet.Length, Main: true, Help: "As a radius."},
		{Key: "ways", Label: "Ways found", Kind: sheet.Count, Digits: countDigits, Main: true},
		{Key: "bolts", Label: "Bolts", Kind: sheet.Table, Columns: []sheet.Column{
			{Key: "row", Label: "Part's place", Kind: sheet.Count}, {Key: "in", Label: "Fixture's place", Kind: sheet.Count}, colKind, colX, colY,
			{Key: "off", Label: "Off centre", Kind: sheet.Length}, colRoom}},
		{Key: "list", Label: "Best ways", Kind: sheet.Table, Columns: []sheet.Column{colFixture, colFace, colTurn, colOver, colX, colY, colRoom}},
		{Key: "faces", Label: "Faces that take it", Kind: sheet.Table, Columns: []sheet.Column{colFixture, colFace, {Key: "ways", Label: "Ways", Kind: sheet.Count}, colRoom}},
		{Key: "holes", Label: "Holes to drill", Kind: sheet.Table, Help: "From the face's zero, and from the first hole.", Columns: []sheet.Column{
			colX, colY, {Key: "dx", Label: "from the first, X", Kind: sheet.Length}, {Key: "dy", Label: "Y", Kind: sheet.Length},
			{Key: "make", Label: "Make", Kind: sheet.Text}, {Key: "drill", Label: "Drill", Kind: sheet.Text}, {Key: "dia", Label: "Diameter", Kind: sheet.Length}, {Key: "depth", Label: "Depth to the shoulder", Kind: sheet.Length}, {Key: "through", Label: "Goes through", Kind: sheet.Text}, {Key: "thread", Label: "Thread", Kind: sheet.Text},
			{Key: "why", Label: "Why", Kind: sheet.Text}}},
		{Key: "plans", Label: "Faces that can be drilled", Kind: sheet.Table, Columns: []sheet.Column{colFixture, colFace, {Key: "new", Label: "New holes", Kind: sheet.Count}, {Key: "old", Label: "Old places used", Kind: sheet.Count}, colTurn, colOver, colX, colY, {Key: "spare", Label: "Beyond the margins", Kind: sheet.Length}}},
		{Key: "steps", Label: "Steps", Kind: sheet.Lines},
		{Key: "face", Label: "The face", Kind: sheet.Table, Columns: []sheet.Column{colFixture, colFace, colLeft, colBottom, colWide, colHigh, colThick}},
		{Key: "facing", Label: "Its places", Kind: sheet.Table, Columns: []sheet.Column{colKind, colX, colY, colSize, {Key: "thread", Label: "Thread", Kind: sheet.Text}, colLong, colAngle}},
		{Key: "blocked", Label: "Its ribs and places kept clear", Kind: sheet.Table, Columns: []sheet.Column{colKind, colX, colY, colWide, colHigh}},
	},
	Sources: []sheet.Source{
		{Key: "Y14.5", Title: "ASME Y14.5-2009 Dimensioning and Tolerancing, nonmandatory appendix B: fixed and floating fasteners"},
		{Key: "B18.2.8", Title: "ASME B18.2.8-1999 Clearance Holes for Bolts, Screws, and Studs; ISO 273"},
		{Key: "geometry", Title: "Geometry of turn and shift"},
		{Key: "practice", Title: "Common practice, no published source"},
	},
	Example: []sheet.Pair{
		{Key: "part", Text: "hole, 0 in, 0 in, 5/8-11, 0.6875 in; hole, 6 in, 0 in, 5/8-11, 0.6875 in; slot, 3 in, 4 in, 5/8-11, 0.6875 in, 1.5 in, 90"},
		{Key: "fixtures", Text: "angle plate, front, 12 in, 9 in, 1.5 in; sub-plate, , 20 in, 16 in, 2 in"},
		{Key: "places", Text: "angle plate, front, tapped, 3 in, 2 in, , 5/8-11; angle plate, front, tapped, 9.02 in, 2 in, , 5/8-11; angle plate, front, slot, 6 in, 6.2 in, 0.6875 in, , 4 in, 0; sub-plate, , tapped, 4 in, 4 in, , 5/8-11; sub-plate, , tapped, 4 in, 12 in, , 5/8-11"},
		{Key: "keep", Text: "angle plate, front, rib, 6 in, 4.5 in, 0.75 in, 9 in"},
	},
	Compute: compute,
}
