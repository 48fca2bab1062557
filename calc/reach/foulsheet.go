package reach

import (
	"math"

	"datumbook/calc/worksheet"
)

const path, swing = "Where the spindle goes", "Turning the part"

var foulSheet = &worksheet.Sheet{
	Name: "foul", Title: "What fouls what", Question: "Does anything hit?", Group: "hold",
	About: []string{
		"Work, fixture, straps and stud ends are boxes on the table; cutter body, holder, quill and head are rounds or boxes on the spindle. The spindle goes over a rectangle with the cutting edge at one height, and the worksheet finds the nearest pair, how far they clear or how deep they foul, and the shortest way out.",
		"It is the cutter's body and the nut above it that hit studs, not the cutting edge: enter them too. A part that hangs below or beyond the table is a box like any other, and so are column, knee and floor where the table's travel brings them near (enter them as boxes on the head).",
	},
	Drawing: "foul",
	Inputs: []worksheet.Input{
		{Key: "boxes", Label: "On the table", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 24, Example: "part, -7,7, -2.5,2.5, 0,6; stud, 8,8.6, 0,0.6, 0,6.5",
			Help:    "One row for each: name, x from, to, y from, to, z from, to. Any one zero; y towards the column, z up from the table.",
			Columns: []worksheet.Column{{Key: "name", Label: "Name", Kind: worksheet.Text}, {Key: "x1", Label: "x from", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "x2", Label: "to", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "y1", Label: "y from", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "y2", Label: "to", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "z1", Label: "z from", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "z2", Label: "to", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}}},
		{Key: "heads", Label: "On the spindle", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 12, Example: "cutter body, 0.1,2, 5.5; nose, 2,6, 8; column, 2,40, 24,30, 0,30",
			Help:    "One row for each: name, z from, to above the cutting edge, then width in x; for a box also its depth in y and how far its middle stands off the spindle in y and x. No depth means round.",
			Columns: []worksheet.Column{{Key: "name", Label: "Name", Kind: worksheet.Text}, {Key: "z1", Label: "z from", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "z2", Label: "to", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "w", Label: "width or diameter", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "d", Label: "depth", Kind: worksheet.Length, Min: "-600 in", Max: "600 in", Optional: true}, {Key: "offy", Label: "off in y", Kind: worksheet.Length, Min: "-600 in", Max: "600 in", Optional: true}, {Key: "offx", Label: "off in x", Kind: worksheet.Length, Min: "-600 in", Max: "600 in", Optional: true}}},
		{Key: "x1", Label: "Spindle from x", Kind: worksheet.Length, Section: path, Example: "-10.25", Min: "-600 in", Max: "600 in", Help: "The worksheet 'reach' gives it as the start of the spindle's way.", Required: true},
		{Key: "x2", Label: "to x", Kind: worksheet.Length, Section: path, Example: "10.25", Min: "-600 in", Max: "600 in", Help: "And the end.", Required: true},
		{Key: "y1", Label: "Spindle from y", Kind: worksheet.Length, Section: path, Example: "0", Default: "0 in", Min: "-600 in", Max: "600 in", Help: "First pass."},
		{Key: "y2", Label: "to y", Kind: worksheet.Length, Section: path, Example: "0", Default: "0 in", Min: "-600 in", Max: "600 in", Help: "Last pass."},
		{Key: "cut", Label: "Cutting edge at z", Kind: worksheet.Length, Section: path, Example: "6", Min: "-100 in", Max: "300 in", Help: "Height of the finished surface in the table's zero.", Required: true},
		{Key: "room", Label: "Room wanted", Kind: worksheet.Length, Section: fine, Example: "1/8", Default: "1/8 in", Min: "0 in", Max: "20 in", Help: "Least clear distance. 1/8 in (3 mm) over stud ends is usual."},
		{Key: "close", Label: "A close call is under", Kind: worksheet.Length, Section: fine, Example: "1/4", Default: "1/4 in", Min: "0 in", Max: "10 in", Help: "Clear distance less than this is called close."},
		{Key: "skip", Label: "Cutting part", Kind: worksheet.Text, Section: fine, Example: "part", Help: "Name of the box that is cut: rounds that reach down to the cutting edge are not held against it."},
		{Key: "px", Label: "Turned about x", Kind: worksheet.Length, Section: swing, Example: "0", Min: "-600 in", Max: "600 in", Help: "Where the part is turned about an upright axis for its next face."},
		{Key: "py", Label: "and y", Kind: worksheet.Length, Section: swing, Example: "0", Min: "-600 in", Max: "600 in", Help: "The same, across."},
		{Key: "swingroom", Label: "Room about it", Kind: worksheet.Length, Section: swing, Example: "15", Min: "0.1 in", Max: "600 in", Help: "Distance from that axis to the nearest thing: column, apron, cover."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "state", Label: "State", Kind: worksheet.Text, Help: "clear, close or fouls"},
		{Key: "nearest", Label: "Nearest pair", Kind: worksheet.Length, Main: true, Digits: worksheet.Digits{Inch: 3, Metric: 2}},
		{Key: "pair", Label: "Which", Kind: worksheet.Text, Main: true},
		{Key: "fouls", Label: "Pairs too near", Kind: worksheet.Count, Digits: worksheet.WholeDigits, Main: true},
		{Key: "ways", Label: "What to do", Kind: worksheet.Lines},
		{Key: "pairs", Label: "Pairs, nearest first", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "box", Label: "On the table", Kind: worksheet.Text}, {Key: "head", Label: "On the spindle", Kind: worksheet.Text}, {Key: "gap", Label: "Clear by", Kind: worksheet.Length}}},
		{Key: "swept", Label: "Farthest corner sweeps", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 3, Metric: 2}}, {Key: "swingspare", Label: "Room left when it is turned", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 3, Metric: 2}},
		{Key: "sweeper", Label: "Farthest corner is of", Kind: worksheet.Text},
	},
	Sources: sources,
	Example: []worksheet.Pair{{Key: "boxes", Text: "part, -7 in, 7 in, -2.5 in, 2.5 in, 0 in, 6 in; stud, 8 in, 8.6 in, 0 in, 0.6 in, 0 in, 5.5 in"},
		{Key: "heads", Text: "cutter body, 0.1 in, 2 in, 5.5 in; nose, 2 in, 6 in, 8 in"}, {Key: "x1", Text: "-10.25 in"}, {Key: "x2", Text: "10.25 in"}, {Key: "cut", Text: "6 in"}, {Key: "skip", Text: "part"}},
	Compute: foulCompute,
}

func readBoxes(v *worksheet.Values) ([]Box, *worksheet.InputError) {
	out := make([]Box, v.Rows("boxes"))
	for i := range out {
		b := &out[i]
		b.Name = v.CellText("boxes", i, 0)
		for k, p := range [...]*float64{&b.X1, &b.X2, &b.Y1, &b.Y2, &b.Z1, &b.Z2} {
			*p, _ = v.Cell("boxes", i, k+1, "in")
		}
		if b.X1 > b.X2 || b.Y1 > b.Y2 || b.Z1 > b.Z2 {
			return nil, v.Refuse("boxes", b.Name+" has a from larger than its to. Turn the two round.")
		}
	}
	return out, nil
}

func readHeads(v *worksheet.Values) ([]Head, *worksheet.InputError) {
	out := make([]Head, v.Rows("heads"))
	for i := range out {
		h := &out[i]
		h.Name = v.CellText("heads", i, 0)
		h.Z1, _ = v.Cell("heads", i, 1, "in")
		h.Z2, _ = v.Cell("heads", i, 2, "in")
		w, _ := v.Cell("heads", i, 3, "in")
		d, box := v.Cell("heads", i, 4, "in")
		h.Round, h.Radius, h.HalfX, h.HalfY = !box, w/2, w/2, d/2
		h.OffY, _ = v.Cell("heads", i, 5, "in")
		h.OffX, _ = v.Cell("heads", i, 6, "in")
		if h.Z1 > h.Z2 {
			return nil, v.Refuse("heads", h.Name+" has a z from larger than its to. Turn the two round.")
		}
		if w < 0 || d < 0 {
			return nil, v.Refuse("heads", h.Name+" has a size below nothing. Check its width and depth.")
		}
		if h.Round && (h.OffX != 0 || h.OffY != 0) {
			return nil, v.Refuse("heads", h.Name+" is round, so it stands about the spindle. Give its depth to make it a box, or leave the offsets out.")
		}
	}
	return out, nil
}

// Worked lines of foulCompute.
var (
	farthestCornerStep = worksheet.Step{What: "Farthest corner when the part is turned", Formula: "sqrt(a^2 + b^2)", Numbers: "{s}", Result: "{in}", Source: "geometry"}
	nearestPairStep    = worksheet.Step{What: "Nearest pair, upright", Formula: "distance of the spans", Numbers: "{len} to {len} and {len} to {len}", Result: "{in}", Source: "geometry"}
	nearestPairAllStep = worksheet.Step{What: "Nearest pair, in all", Formula: "sqrt(upright^2 + plan^2), or the one that is open", Numbers: "", Result: "{in}", Source: "geometry"}
)

func foulCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	boxes, f := readBoxes(v)
	if f != nil {
		return f
	}
	heads, f := readHeads(v)
	if f != nil {
		return f
	}
	cut := v.In("cut")
	s := Sweep{min(v.In("x1"), v.In("x2")), max(v.In("x1"), v.In("x2")), min(v.In("y1"), v.In("y2")), max(v.In("y1"), v.In("y2")), cut, cut}
	var gaps []Gap
	for _, g := range Gaps(boxes, heads, s) {
		if skip := v.Text("skip"); skip != "" && boxes[g.Box].Name == skip && heads[g.Head].Round && heads[g.Head].Z1 <= .5 && boxes[g.Box].Z2 <= cut+heads[g.Head].Z1+1e-6 {
			continue
		}
		gaps = append(gaps, g)
	}
	if len(gaps) == 0 {
		return v.Refuse("skip", "nothing is left to hold against each other. Enter the studs, straps and walls beside the part.")
	}
	room := v.In("room")
	const shown = 60 // rows of the table; the rest clear by more
	var rows [][]worksheet.Cell
	var ways []string
	bad := 0
	for _, g := range gaps {
		if len(rows) < shown {
			rows = append(rows, worksheet.Cells("ssi", []string{boxes[g.Box].Name, heads[g.Head].Name}, g.Distance))
		}
		if g.Distance < room-1e-9 {
			bad++
			if len(ways) < 6 {
				ways = append(ways, o.Fill("{s} and {s}: {in} too near; the shortest way out is to move the work {s}.", []string{boxes[g.Box].Name, heads[g.Head].Name, g.Move.String()}, room-g.Distance))
			}
		}
	}
	near := gaps[0]
	o.Set("nearest", near.Distance, "in")
	o.SetText("pair", boxes[near.Box].Name+" and "+heads[near.Head].Name)
	o.Set("fouls", float64(bad), "")
	o.SetTable("pairs", rows)
	which := boxes[near.Box].Name + " and " + heads[near.Head].Name
	switch {
	case near.Distance < 0:
		o.SetText("state", "fouls")
		o.SetText("verdict", o.Fill("It hits: {s} foul by {in}.", []string{which}, -near.Distance))
		o.Refuse("Something hits on the spindle's way. Do not run it.")
	case bad > 0:
		o.SetText("state", "fouls")
		o.SetText("verdict", o.Fill("Too near: {s} clear by only {in} where {in} is wanted.", []string{which}, near.Distance, room))
		o.Caution("A pair comes nearer than the room wanted.")
	case near.Distance <= v.In("close"):
		o.SetText("state", "close")
		o.SetText("verdict", o.Fill("Close call: {s} clear by {in}.", []string{which}, near.Distance))
		o.Caution("Close call: measure both before you rely on it.")
	default:
		o.SetText("state", "clear")
		o.SetText("verdict", o.Fill("Nothing hits: the nearest are {s}, clear by {in}.", []string{which}, near.Distance))
	}
	if v.Has("px") && v.Has("py") {
		swept, who := 0.0, 0
		for i, b := range boxes {
			if r := Swept(b.X1, b.X2, b.Y1, b.Y2, v.In("px"), v.In("py")); r > swept {
				swept, who = r, i
			}
		}
		o.Set("swept", swept, "in")
		o.SetText("sweeper", boxes[who].Name)
		o.Line(&farthestCornerStep, []string{boxes[who].Name}, swept)
		if v.Has("swingroom") {
			o.Set("swingspare", v.In("swingroom")-swept, "in")
			o.CautionIf(swept > v.In("swingroom")-room,
				"The part cannot be turned here: its corner sweeps {in} and the room is {in}.", swept, v.In("swingroom"))
		}
	}
	o.SetLines("ways", ways)
	h := heads[near.Head]
	b := boxes[near.Box]
	zGap := between(b.Z1, b.Z2, cut+h.Z1, cut+h.Z2)
	o.Line(&nearestPairStep, nil, b.Z1, b.Z2, cut+h.Z1, cut+h.Z2, zGap)
	o.Line(&nearestPairAllStep, nil, near.Distance)
	o.Note("Boxes are what you entered: hoses, handles, swarf guards and the operator's hands are not in it. Dry run by hand, spindle off.")
	o.NoteIf(math.Abs(cut) > 0,
		"Only the way at the cutting height is looked at: lift clear before you run to the start or change tools.")
	return nil
}
