package cleanup

import "datumbook/calc/worksheet"

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet { return []*worksheet.Sheet{&cleanSheet} }

const (
	far  = "600 in"
	back = "-600 in"
)

var (
	dirs = []worksheet.Option{{Key: "+x", Label: "right, +X"}, {Key: "-x", Label: "left, -X"}, {Key: "+y", Label: "back, +Y"}, {Key: "-y", Label: "front, -Y"}, {Key: "+z", Label: "up, +Z"}, {Key: "-z", Label: "down, -Z"}, {Key: "given", Label: "as given in the last three"}}
	ways = []worksheet.Option{{Key: "x", Label: "shift along X"}, {Key: "y", Label: "shift along Y"}, {Key: "z", Label: "shift along Z"}, {Key: "rx", Label: "turn about X"}, {Key: "ry", Label: "turn about Y"}, {Key: "rz", Label: "turn about Z"}}

	colX       = worksheet.Column{Key: "x", Label: "X", Kind: worksheet.Length, Min: back, Max: far}
	colY       = worksheet.Column{Key: "y", Label: "Y", Kind: worksheet.Length, Min: back, Max: far}
	colZ       = worksheet.Column{Key: "z", Label: "Z", Kind: worksheet.Length, Min: back, Max: far}
	colFeature = worksheet.Column{Key: "feature", Label: "Surface", Kind: worksheet.Text}
	colShare   = worksheet.Column{Key: "share", Label: "Share in the shortage", Kind: worksheet.Percent}
)

var cleanSheet = worksheet.Sheet{
	Name: "cleanup", Title: "Clean-up of a casting", Question: "Does the rough casting clean up?", Group: "where",
	About: []string{
		"Touch the rough off where it will be machined, at least twice on a face and in three places around a bore, in the coordinates of the part as you would lay it out first. The worksheet moves the finished part inside the rough, shift and turn, until the least stock anywhere is as large as it can be, and of all such places takes the one with the least stock to remove at the thickest.",
		"Where the best that can be had is less than nothing, no setting of the casting cleans it up, and the surfaces that hold the answer are named: moved away from one, another starves by as much. Their shares say how much each has to do with it.",
		"A wall is metal that must stay between a machined face and a surface left as cast: touch the as-cast side. A ring is the same around a bore. Walls are kept before stock is shared out.",
		"The turn comes out as shims under the supports you give and a turn on the table; the shift as the depth of the " +
			"finished surface under each touch, for layout lines.",
		"Once it is shimmed or turned, every coordinate from before is dead: it is touched off again, and the steps say " +
			"what those touches have to read. Only where it stays as it lies is the place of the part's zero on the rough " +
			"given.",
	},
	Drawing: "cleanup",
	Inputs: []worksheet.Input{
		{Key: "features", Label: "Finished surfaces", Ask: "Which faces?", Box: "face", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 40, Example: "top, face, +z, 0, 0, 4; bore, bore, +z, 5, 3, 0, 3",
			Help: "One row for each: name, kind, the way it faces (for a bore or round the way its axis runs), X, Y, Z of a point on it or on its axis, diameter, and least stock (for wall and ring the least metal). The last three are the direction where it is none of the six.",
			Columns: []worksheet.Column{{Key: "name", Label: "Name", Kind: worksheet.Text},
				{Key: "kind", Label: "Kind", Kind: worksheet.Choice, Options: []worksheet.Option{{Key: "face", Label: "flat face"}, {Key: "bore", Label: "bore"}, {Key: "boss", Label: "round outside"}, {Key: "wall", Label: "wall behind a face"}, {Key: "ring", Label: "metal around a bore"}}},
				{Key: "dir", Label: "Faces", Kind: worksheet.Choice, Options: dirs}, colX, colY, colZ,
				{Key: "dia", Label: "Diameter", Kind: worksheet.Length, Min: "0.01 in", Max: far, Optional: true}, {Key: "need", Label: "At least", Kind: worksheet.Length, Min: "-1 in", Max: "20 in", Optional: true},
				{Key: "nx", Label: "Direction X", Kind: worksheet.Number, Min: "-1000", Max: "1000", Optional: true}, {Key: "ny", Label: "Direction Y", Kind: worksheet.Number, Min: "-1000", Max: "1000", Optional: true}, {Key: "nz", Label: "Direction Z", Kind: worksheet.Number, Min: "-1000", Max: "1000", Optional: true}}},
		{Key: "touches", Label: "Touches on the rough", Ask: "Where is it touched?", Box: "touch", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 200, Example: "top, 1, 1, 4.12; top, 9, 1, 4.2; top, 5, 5, 4.15",
			Help: "One row for each: the surface it belongs to, X, Y, Z. The point on the metal itself: take off the tip's radius first.", Columns: []worksheet.Column{colFeature, colX, colY, colZ}},
		{Key: "free", Label: "It may be moved", Ask: "Which ways may it move?", Kind: worksheet.Choices, Default: "x, y, z, rx, ry, rz", Help: "The ways the casting can be set. Leave out those that are fixed, and those that nothing was touched for.", Options: ways},
		{Key: "need", Label: "Least stock", Ask: "How much stock at least?", Box: "least stock", Kind: worksheet.Length, Default: "0 in", Min: "-1 in", Max: "5 in", Help: "Wanted on every machined surface that has no own in the table."},
		{Key: "supports", Label: "Supports", Ask: "Where does it stand?", Box: "support", Kind: worksheet.Table, Section: "Setting it", MaxRows: 12, Example: "front left, 0, 0, 0; front right, 10, 0, 0; back, 5, 6, 0",
			Help: "Where it stands on the table and shims can go: name, X, Y, Z.", Columns: []worksheet.Column{{Key: "name", Label: "Name", Kind: worksheet.Text}, colX, colY, colZ}},
		{Key: "up", Label: "Up from the table", Ask: "Which way is up?", Kind: worksheet.Choice, Section: "Setting it", Default: "+z", Help: "The way that is up as it stands.", Options: dirs[:6]},
		{Key: "maxturn", Label: "Most turn", Ask: "Turned how far at most?", Box: "most turn", Kind: worksheet.Angle, Section: "Fine points", Default: "2", Min: "0.001", Max: "15", Help: "About each axis."},
		{Key: "maxshift", Label: "Most shift", Ask: "Shifted how far at most?", Box: "most shift", Kind: worksheet.Length, Section: "Fine points", Default: "1 in", Min: "0.001 in", Max: "20 in", Help: "Along each axis, of the middle of the touches."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "cleans", Label: "It cleans up", Kind: worksheet.Flag, Judges: true},
		{Key: "least", Label: "Least stock to spare", Kind: worksheet.Length, Main: true, Dial: "stock",
			Help: "Over what is wanted. Less than nothing is what is missing."},
		{Key: "laid", Label: "The same as laid out", Kind: worksheet.Length, Main: true, Dial: "stock"},
		{Key: "most", Label: "Most stock", Kind: worksheet.Length, Main: true, Dial: "need"},
		{Key: "ways", Label: "Ways out", Kind: worksheet.Lines},
		{Key: "dx", Label: "Drawing's shift in X", Kind: worksheet.Length, Plan: true, Dial: "wheel",
			Help: "Of the finished part in the rough, at the middle of the touches."},
		{Key: "dy", Label: "Drawing's shift in Y", Kind: worksheet.Length, Plan: true, Dial: "wheel"},
		{Key: "dz", Label: "Drawing's shift in Z", Kind: worksheet.Length, Plan: true, Dial: "wheel"},
		{Key: "rx", Label: "Drawing's turn about X, first", Kind: worksheet.Angle, Plan: true, Dial: "swivel",
			Help: "Of the finished part in the rough, right-handed. The casting goes the other way: about the machine's X, " +
				"then Y, then Z, in this order."},
		{Key: "ry", Label: "Drawing's turn about Y, second", Kind: worksheet.Angle, Plan: true, Dial: "swivel"},
		{Key: "rz", Label: "Drawing's turn about Z, third", Kind: worksheet.Angle, Plan: true, Dial: "swivel"},
		{Key: "turn", Label: "Drawing's three turns as one", Kind: worksheet.Angle, Plan: true, Dial: "swivel"},
		{Key: "about", Label: "Drawing's one turn is about", Kind: worksheet.Text, Plan: true,
			Help: "Of the finished part in the rough, right-handed. The casting goes the other way."},
		{Key: "zx", Label: "Part's zero comes to X", Kind: worksheet.Length, Main: true, Plan: true, Dial: "wheel",
			Help: "On the rough as it was touched off. Not given where the casting is turned or shimmed: it is touched off " +
				"again then."},
		{Key: "zy", Label: "Part's zero comes to Y", Kind: worksheet.Length, Main: true, Plan: true, Dial: "wheel"},
		{Key: "zz", Label: "Part's zero comes to Z", Kind: worksheet.Length, Main: true, Plan: true, Dial: "wheel"},
		{Key: "shims", Label: "Shims", Kind: worksheet.Table, Plan: true,
			Columns: []worksheet.Column{{Key: "name", Label: "Support", Kind: worksheet.Text}, colX, colY, colZ,
				{Key: "shim", Label: "Shim", Kind: worksheet.Length}}},
		{Key: "swing", Label: "Turn the casting on the table", Kind: worksheet.Slope, Plan: true, Dial: "incline",
			Help: "After it is shimmed; counter-clockwise seen from above where it is more than nothing."},
		{Key: "steps", Label: "Setting it", Kind: worksheet.Lines, Plan: true},
		{Key: "surfaces", Label: "Surface by surface", Kind: worksheet.Table, Columns: []worksheet.Column{colFeature, {Key: "laid", Label: "Least as laid out", Kind: worksheet.Length}, {Key: "least", Label: "Least", Kind: worksheet.Length}, {Key: "most", Label: "Most", Kind: worksheet.Length}, {Key: "spare", Label: "To spare", Kind: worksheet.Length}, colShare}},
		{Key: "stock", Label: "Touch by touch", Kind: worksheet.Table, Help: "The finished surface lies so far under the touch.", Columns: []worksheet.Column{colFeature, colX, colY, colZ, {Key: "laid", Label: "As laid out", Kind: worksheet.Length}, {Key: "best", Label: "Stock", Kind: worksheet.Length}, {Key: "spare", Label: "To spare", Kind: worksheet.Length}, colShare}},
		{Key: "walls", Label: "Least metal to spare in walls", Kind: worksheet.Length},
		{Key: "outline", Label: "The finished surfaces", Kind: worksheet.Table, Columns: []worksheet.Column{colFeature, {Key: "kind", Label: "Kind", Kind: worksheet.Text}, colX, colY, colZ, {Key: "nx", Label: "Faces X", Kind: worksheet.Number}, {Key: "ny", Label: "Faces Y", Kind: worksheet.Number}, {Key: "nz", Label: "Faces Z", Kind: worksheet.Number}, {Key: "dia", Label: "Diameter", Kind: worksheet.Length}}},
	},
	Sources: []worksheet.Source{
		{Key: "geometry", Title: "Geometry of planes and cylinders under shift and turn (Rodrigues' formula)"},
		{Key: "Chvatal", Title: "V. Chvatal, Linear Programming, 1983: best least by a linear programme, and its duals as proof"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{
		{Key: "features", Text: "left, face, -x, 0 in, 0 in, 0 in; right, face, +x, 10 in, 0 in, 0 in; front, face, -y, 0 in, 0 in, 0 in; back, face, +y, 0 in, 6 in, 0 in"},
		{Key: "touches", Text: "left, -0.1 in, 1 in, 0 in; left, -0.16 in, 5 in, 0 in; right, 10.22 in, 1 in, 0 in; right, 10.12 in, 5 in, 0 in; front, 1 in, -0.05 in, 0 in; front, 9 in, -0.13 in, 0 in; back, 1 in, 6.24 in, 0 in; back, 9 in, 6.14 in, 0 in"},
		{Key: "free", Text: "x, y, rz"},
	},
	Compute: compute,
}
