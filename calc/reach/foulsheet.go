package reach

import (
	"math"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

const path, swing = "Where the spindle goes", "Turning the part"

var foulSheet = &worksheet.Sheet{
	Name: "foul", Title: "What fouls what", Question: "Does anything hit?", Group: "hold",
	About: []string{
		"Work, fixture, straps and stud ends are boxes on the table; cutter body, holder, quill and head are rounds or " +
			"boxes on the spindle. The spindle goes over a rectangle with the cutting edge at one height, and the worksheet " +
			"finds the nearest pair, how far they clear or how deep they foul, and what would clear them.",
		"It is the cutter's body and the nut above it that hit studs, not the cutting edge: enter them too. A part that hangs below or beyond the table is a box like any other, and so are column, knee and floor where the table's travel brings them near (enter them as boxes on the head).",
	},
	Drawing: "foul",
	Inputs: []worksheet.Input{
		{Key: "boxes", Label: "On the table", Ask: "What stands on the table?", Box: "on the table", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 24, Example: "part, -7,7, -2.5,2.5, 0,6; stud, 8,8.6, 0,0.6, 0,6.5",
			Help:    "One row for each: name, x from, to, y from, to, z from, to. Any one zero; y towards the column, z up from the table.",
			Columns: []worksheet.Column{{Key: "name", Label: "Name", Kind: worksheet.Text}, {Key: "x1", Label: "x from", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "x2", Label: "to", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "y1", Label: "y from", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "y2", Label: "to", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "z1", Label: "z from", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "z2", Label: "to", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}}},
		{Key: "heads", Label: "On the spindle", Ask: "What is on the spindle?", Box: "on the spindle", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 12, Example: "cutter body, 0.1,2, 5.5; nose, 2,6, 8; column, 2,40, 24,30, 0,30",
			Help:    "One row for each: name, z from, to above the cutting edge, then width in x; for a box also its depth in y and how far its middle stands off the spindle in y and x. No depth means round.",
			Columns: []worksheet.Column{{Key: "name", Label: "Name", Kind: worksheet.Text}, {Key: "z1", Label: "z from", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "z2", Label: "to", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "w", Label: "width or diameter", Kind: worksheet.Length, Min: "-600 in", Max: "600 in"}, {Key: "d", Label: "depth", Kind: worksheet.Length, Min: "-600 in", Max: "600 in", Optional: true}, {Key: "offy", Label: "off in y", Kind: worksheet.Length, Min: "-600 in", Max: "600 in", Optional: true}, {Key: "offx", Label: "off in x", Kind: worksheet.Length, Min: "-600 in", Max: "600 in", Optional: true}}},
		{Key: "x1", Label: "Spindle from x", Ask: "Spindle from X?", Box: "from X", Kind: worksheet.Length, Section: path, Example: "-10.25", Min: "-600 in", Max: "600 in", Help: "The worksheet 'reach' gives it as the start of the spindle's way.", Required: true},
		{Key: "x2", Label: "to x", Ask: "Spindle to X?", Box: "to X", Kind: worksheet.Length, Section: path, Example: "10.25", Min: "-600 in", Max: "600 in", Help: "And the end.", Required: true},
		{Key: "y1", Label: "Spindle from y", Ask: "Spindle from Y?", Box: "from Y", Kind: worksheet.Length, Section: path, Example: "0", Default: "0 in", Min: "-600 in", Max: "600 in", Help: "First pass."},
		{Key: "y2", Label: "to y", Ask: "Spindle to Y?", Box: "to Y", Kind: worksheet.Length, Section: path, Example: "0", Default: "0 in", Min: "-600 in", Max: "600 in", Help: "Last pass."},
		{Key: "cut", Label: "Cutting edge at z", Ask: "At what height does it cut?", Box: "cut at", Kind: worksheet.Length, Section: path, Example: "6", Min: "-100 in", Max: "300 in", Help: "Height of the finished surface in the table's zero.", Required: true},
		{Key: "room", Label: "Room wanted", Ask: "How much room?", Box: "room", Kind: worksheet.Length, Section: fine, Example: "1/8", Default: "1/8 in", Min: "0 in", Max: "20 in", Help: "Least clear distance. 1/8 in (3 mm) over stud ends is usual."},
		{Key: "close", Label: "A close call is under", Ask: "Close is under?", Box: "close", Kind: worksheet.Length, Section: fine, Example: "1/4", Default: "1/4 in", Min: "0 in", Max: "10 in", Help: "Clear distance less than this is called close."},
		{Key: "skip", Label: "Cutting part", Ask: "Which of them is cut?", Box: "is cut", Kind: worksheet.Text, Section: fine, Example: "part",
			Help: "Name of the box that is cut: rounds near the cutting edge are not held against it. " +
				"All else has to lie below the edge."},
		{Key: "px", Label: "Turned about x", Ask: "Turned about X?", Box: "turned about X", Kind: worksheet.Length, Section: swing, Example: "0", Min: "-600 in", Max: "600 in", Help: "Where the part is turned about an upright axis for its next face."},
		{Key: "py", Label: "and y", Ask: "Turned about Y?", Box: "and Y", Kind: worksheet.Length, Section: swing, Example: "0", Min: "-600 in", Max: "600 in", Help: "The same, across."},
		{Key: "swingroom", Label: "Room about it", Ask: "Room about it?", Box: "room about it", Kind: worksheet.Length, Section: swing, Example: "15", Min: "0.1 in", Max: "600 in", Help: "Distance from that axis to the nearest thing: column, apron, cover."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "state", Label: "State", Kind: worksheet.Text, Help: "clear, close, too near or fouls"},
		{Key: "nearest", Label: "Nearest pair", Kind: worksheet.Length, Main: true, Digits: places, Dial: "clear"},
		{Key: "ok", Label: "Nothing hits", Kind: worksheet.Flag, Judges: true},
		{Key: "pair", Label: "Which", Kind: worksheet.Text, Main: true},
		{Key: "fouls", Label: "Pairs too near", Kind: worksheet.Count, Digits: worksheet.WholeDigits, Main: true},
		{Key: "ways", Label: "What to do", Kind: worksheet.Lines},
		{Key: "pairs", Label: "Pairs, nearest first", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "box", Label: "On the table", Kind: worksheet.Text}, {Key: "head", Label: "On the spindle", Kind: worksheet.Text}, {Key: "gap", Label: "Clear by", Kind: worksheet.Length}}},
		{Key: "swept", Label: "Farthest corner sweeps", Kind: worksheet.Length, Digits: places, Dial: "need"},
		{Key: "swingspare", Label: "Room left when it is turned", Kind: worksheet.Length, Digits: places, Dial: "spare"},
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

// foulWays says what clears a pair, each way tried; and the same shortly.
func foulWays(v *worksheet.Values, o *worksheet.Out, w work, g Gap, s Sweep) (text string, facts []string) {
	b, h, room := w.boxes[g.Box], w.heads[g.Head], v.In("room")
	step := worksheet.Either(v.System == units.MetricSystem, .2/25.4, .01)
	text = o.Fill("{s} and {s}: {need in} too near.", []string{b.Name, h.Name}, room-g.Distance)
	if asCut(v, w, g) {
		return text + " If " + b.Name + " is what is cut, name it as the part that is cut.",
			[]string{"is " + b.Name + " what is cut?"}
	}
	say := func(says, fact string, names []string, x float64) {
		text += o.Fill(says, names, x)
		facts = append(facts, o.Fill(fact, names, x))
	}
	for _, way := range w.waysOut(g, s, room, step) {
		keep := func(place, fact string, x float64) {
			say(" Keep the spindle "+way.text+place, fact, nil, x)
			if way.uncut > 1e-9 {
				text += o.Fill(": {need in} of the face stays uncut.", nil, way.uncut)
			} else {
				text += ": the face is still cut whole."
			}
		}
		switch way.text {
		case "shorter":
			say(" {s} {need in} lower.", "{s} {=need in} lower", []string{b.Name}, way.by)
		case "longer":
			say(" A holder {need in} longer.", "holder {=need in} longer", nil, way.by)
		case sides[0].limit:
			keep("{need in}", "stay right of X {=need in}", s.X1+way.by)
		case sides[1].limit:
			keep("{spare in}", "stay left of X {=spare in}", s.X2-way.by)
		case sides[2].limit:
			keep("{need in}", "stay behind Y {=need in}", s.Y1+way.by)
		case sides[3].limit:
			keep("{spare in}", "stay before Y {=spare in}", s.Y2-way.by)
		default:
			for j := range sides {
				switch {
				case sides[j].name != way.text:
				case fixed(b.Name): // all else is put the other way
					say(" Set the work, and the spindle's way with it, {need in} {s}.", "work {=need in} {s}",
						[]string{sides[j^1].name}, way.by)
				default:
					say(" {s} {need in} {s}, if it can be moved.", "{s} {=need in} {s}", []string{b.Name, way.text}, way.by)
				}
			}
		}
	}
	return text, facts
}

// asCut says whether a box that no name calls the part that is cut looks like it: its top is where
// the teeth run, within what a cut takes.
func asCut(v *worksheet.Values, w work, g Gap) bool {
	b := w.boxes[g.Box]
	if w.cut >= 0 || g.Head != w.teeth || fixed(b.Name) || math.Abs(b.Z2-v.In("cut")) > within {
		return false
	}
	for _, other := range w.boxes { // it is the largest, not a strap on it
		if !fixed(other.Name) && (other.X2-other.X1)*(other.Y2-other.Y1) > (b.X2-b.X1)*(b.Y2-b.Y1) {
			return false
		}
	}
	return true
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
	w := newWork(boxes, heads, v.Text("skip"))
	gaps := w.gaps(s)
	if len(gaps) == 0 {
		return v.Refuse("skip", "nothing is left to hold against each other. Enter the studs, straps and walls beside the part.")
	}
	room := v.In("room")
	const shown = 60 // rows of the table; the rest clear by more
	var rows [][]worksheet.Cell
	var ways, clears []string // clears: what clears the nearest pair
	bad := 0
	for _, g := range gaps {
		if len(rows) < shown {
			rows = append(rows, worksheet.Cells("ssi", []string{boxes[g.Box].Name, heads[g.Head].Name}, g.Distance))
		}
		if g.Distance < room-1e-9 {
			if bad++; asCut(v, w, g) {
				name := boxes[g.Box].Name
				o.Ask("skip", name, "Is "+name+" what is cut? Then name it as the part that is cut.")
			}
			if len(ways) < 6 {
				text, facts := foulWays(v, o, w, g, s)
				if ways = append(ways, text); bad == 1 {
					clears = facts
				}
			}
		}
	}
	near := gaps[0]
	o.Set("nearest", near.Distance, "in")
	o.SetText("pair", boxes[near.Box].Name+" and "+heads[near.Head].Name)
	o.Set("fouls", float64(bad), "")
	o.SetTable("pairs", rows)
	which := boxes[near.Box].Name + " and " + heads[near.Head].Name
	verdict, room1 := "", o.Size(v.Length("room"))
	state := "clear"
	one, two := worksheet.Capital(boxes[near.Box].Name), heads[near.Head].Name
	hits := near.Distance < 1e-9
	o.SetFlag("ok", bad == 0)
	switch {
	case hits:
		state = "fouls"
		by := worksheet.Either(near.Distance > -1e-9, "they touch", o.Fill("by {need in}", nil, -near.Distance))
		says := "It hits: " + which + ", " + by + "."
		if over := boxes[near.Box].Z2 - cut; near.Head == w.teeth && over > 1e-9 && near.Distance < 1e-9-over {
			says = o.Fill("{s} stands {need in} above the cut: the teeth hit it.", []string{boxes[near.Box].Name}, over)
			o.HeadStop("{s} stands {=need in} above the cut", []string{one}, over)
			o.HeadStop("{s} stands above the cut", []string{one})
		}
		if near.Distance > -1e-9 {
			o.HeadStop("{s} touches the {s}", []string{one, two})
			o.HeadStop("They touch on the way", nil)
		}
		o.HeadStop("{s} hits the {s} by {=need in}", []string{one, two}, -near.Distance)
		o.HeadStop("{s} hits by {=need in}", []string{one}, -near.Distance)
		o.HeadStop("It hits by {=need in}", nil, -near.Distance)
		for _, fact := range clears {
			o.FactStop(fact, nil)
		}
		o.Stop(says, "Something hits on the spindle's way. Do not run it.")
	case bad > 0:
		state = "too near"
		verdict = o.Fill("Too near: {s} {clear in} apart, {s} wanted.", []string{which, room1}, near.Distance)
		o.Head("Too near: {=clear in} clear", nil, near.Distance)
		o.Head("{s} {=clear in} from the {s}", []string{one, two}, near.Distance)
		o.Fact("▲ you want {s}", []string{room1})
		for _, fact := range clears {
			o.Fact(fact, nil)
		}
		o.Caution("A pair comes nearer than the room wanted.")
	case near.Distance <= v.In("close"):
		state = "close"
		verdict = o.Fill("Close call: {s} clear by {clear in}.", []string{which}, near.Distance)
		o.Head("Nothing hits: {=clear in} clear", nil, near.Distance)
		o.Fact("▲ measure both first", nil)
		o.Caution("Close call: measure both before you rely on it.")
	default:
		verdict = o.Fill("Nothing hits: the nearest, {s}, clear by {clear in}.", []string{which}, near.Distance)
		o.Head("Nothing hits: {=clear in} clear", nil, near.Distance)
	}
	o.SetText("state", state)
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
			if swept > v.In("swingroom")-room {
				sweeps, has := o.ReadApart("need", swept, v.In("swingroom"), "in")
				verdict += " It cannot be turned here."
				o.Fact("▲ cannot be turned here", nil)
				o.Caution("The part cannot be turned here: its corner sweeps " + sweeps + ", the room is " + has +
					o.Fill(" and {need in} is wanted between.", nil, room))
			}
		} else {
			o.Note("The room about the axis was not said: whether the part can be turned was not reckoned.")
		}
	}
	if bad == 0 {
		o.Fact("nearest: {s}", []string{which})
	}
	o.Fact("dry run by hand", nil)
	o.SetText("verdict", verdict)
	o.SetLines("ways", ways)
	h := heads[near.Head]
	b := boxes[near.Box]
	if near.Head == w.teeth && near.Box != w.cut {
		h.Z1 = min(h.Z1, 0)
	}
	zGap := between(b.Z1, b.Z2, cut+h.Z1, cut+h.Z2)
	o.Line(&nearestPairStep, nil, b.Z1, b.Z2, cut+h.Z1, cut+h.Z2, zGap)
	o.Line(&nearestPairAllStep, nil, near.Distance)
	o.Note("Boxes are what you entered: hoses, handles, swarf guards and the operator's hands are not in it. Dry run by hand, spindle off.")
	o.NoteIf(w.teeth < 0, "The cutter was not entered: its teeth were not held against anything.")
	o.NoteIf(math.Abs(cut) > 0,
		"Only the way at the cutting height is looked at: lift clear before you run to the start or change tools.")
	return nil
}
