package fits

import (
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet {
	return []*worksheet.Sheet{clearSheet, boreSheet, roomSheet, fitSheet, dowelSheet}
}

func fitInput() worksheet.Input {
	return worksheet.Input{Key: "fit", Label: "Fit", Kind: worksheet.Choice, Default: "normal",
		Help:    "Normal unless you have a reason. Close only where the holes are drilled together or located well; loose where they may not line up.",
		Options: []worksheet.Option{{Key: "close", Label: "Close (fine)"}, {Key: "normal", Label: "Normal (medium)"}, {Key: "loose", Label: "Loose (coarse)"}}}
}

func sizeInput() worksheet.Input {
	return worksheet.Input{Key: "size", Label: "Screw", Kind: worksheet.Text, Required: true, Example: "5/8", Canon: canonScrew,
		Help: "Its size or its thread: #10, 1/4, 5/8-11, 1-1/8, M12. From #0 to 1-1/2 and M1.6 to M48."}
}

// drillSize writes a drill with its diameter: "11/16 (0.6875 in)".
func drillSize(o *worksheet.Out, name string, inches float64) string {
	return o.Fill("{s} ({in})", []string{name}, inches)
}

// fine writes a length with the digits limits of size need: four decimals of an inch or three of a
// millimetre, and one more if it is not zero.
func fine(o *worksheet.Out, inches float64) string {
	x, places, unit := inches, 5, " in"
	if o.System == units.MetricSystem {
		x, places, unit = inches*mmPerInch, 4, " mm"
	}
	d, _ := units.Round(x, places)
	if d.Units%10 == 0 {
		d.Units, d.Places = d.Units/10, d.Places-1
	}
	return d.Text() + unit
}

var clearSheet = &worksheet.Sheet{
	Name: "clear", Title: "Clearance hole", Question: "Which hole does the screw pass through?", Group: "fit",
	About: []string{
		"The hole a bolt, screw or stud passes through, with the drill and the limits of its size.",
		"The standard's normal fit for 1/2 and 5/8 is 1/16 over the screw: 9/16 and 11/16. Many wall charts print its close fit, 1/32 over, as the normal one.",
	},
	Drawing: "clear",
	Inputs: []worksheet.Input{sizeInput(), fitInput(),
		{Key: "bolt", Label: "Bolt measured", Kind: worksheet.Length, Section: "Fine points", Example: ".622", Min: "0.01 in", Max: "2.5 in",
			Help: "Largest diameter of the bolt itself. Empty: its nominal size."}},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "drill", Label: "Drill", Kind: worksheet.Text, Main: true},
		{Key: "min", Label: "Hole, least", Kind: worksheet.Length, Main: true},
		{Key: "max", Label: "Hole, most", Kind: worksheet.Length, Main: true},
		{Key: "play", Label: "Clearance, least", Kind: worksheet.Length, Main: true, Help: "On diameter."},
		{Key: "other", Label: "Or this drill", Kind: worksheet.Text, Help: "Of the other system of units, inside the limits."},
		{Key: "screw", Label: "Screw diameter", Kind: worksheet.Length},
		{Key: "dia", Label: "Drill diameter", Kind: worksheet.Length},
		{Key: "all", Label: "All fits", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "fit", Label: "Fit", Kind: worksheet.Text}, {Key: "drill", Label: "Drill", Kind: worksheet.Text},
			{Key: "min", Label: "Least", Kind: worksheet.Length}, {Key: "max", Label: "Most", Kind: worksheet.Length}, {Key: "play", Label: "Clearance", Kind: worksheet.Length}}},
	},
	Sources: []worksheet.Source{
		{Key: "B18.2.8", Title: "ASME B18.2.8-1999 (R2017) Clearance Holes for Bolts, Screws, and Studs"},
		{Key: "ISO 273", Title: "ISO 273:1979 Fasteners, clearance holes for bolts and screws"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "size", Text: "5/8"}, {Key: "fit", Text: "normal"}},
	Compute: computeClear,
}

var leastClearanceStep = worksheet.Step{What: "Least clearance, on diameter", Formula: "hole - screw", Numbers: "{len} - {len}", Result: "{in}", Source: "practice"}

func computeClear(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	s, bad := FindScrew(v.Text("size"))
	if bad != nil {
		return v.Refuse("size", bad.Error())
	}
	f := fitOf(v.Choice("fit"))
	h := Clearance(s, f)
	d := s.D
	if v.Has("bolt") {
		d = v.In("bolt")
		if d >= h.Min {
			return v.Refuse("bolt", o.Fill("a bolt of {in} does not pass a hole of {in}. Check the measurement, or choose a larger screw size.", nil, d, h.Min))
		}
		o.CautionIf(d > s.D*1.02,
			"The bolt measures more than its nominal size. Plating, a bent shank or the wrong size?")
	}
	source := worksheet.Either(s.Metric, "ISO 273", "B18.2.8")
	o.SetText("verdict", o.Fill("Drill {s} for {s} screws, {s} fit; the hole may be {in} to {in}.", []string{drillSize(o, h.Drill, h.Dia), s.Name, f.String()}, h.Min, h.Max))
	o.SetText("drill", h.Drill)
	o.SetAll("min in, max in, play in, screw in, dia in", h.Min, h.Max, h.Min-d, d, h.Dia)
	if size, ok := OtherDrill(s, h); ok {
		o.SetText("other", drillSize(o, size.Name, size.Inches))
	} else {
		o.SetText("other", "none lies inside the limits")
	}
	var rows [][]worksheet.Cell
	for k := Close; k <= Loose; k++ {
		x := Clearance(s, k)
		rows = append(rows, worksheet.Cells("ssiii", []string{k.String(), x.Drill}, x.Min, x.Max, x.Min-d))
	}
	o.SetTable("all", rows)
	o.Work("Hole and drill", "table, "+f.String()+" fit", s.Name, drillSize(o, h.Drill, h.Dia), source)
	o.Line(&leastClearanceStep, nil, h.Min, d, h.Min-d)
	o.Note("A drill usually cuts a little over its size; the upper limit leaves room for that.")
	return nil
}

var boreSheet = &worksheet.Sheet{
	Name: "bore", Title: "Counterbore and spotface", Question: "How is the head let in or seated?", Group: "fit",
	About: []string{
		"A socket head is let into a counterbore so that it lies level with the surface or below it. A hexagon head on a rough casting needs a spotface, only deep enough to clean up, and wide enough for head, washer and wrench.",
	},
	Drawing: "bore",
	Inputs: []worksheet.Input{sizeInput(),
		{Key: "head", Label: "Head", Kind: worksheet.Choice, Default: "socket", Help: "Socket head cap screw, or hexagon head bolt or nut.",
			Options: []worksheet.Option{{Key: "socket", Label: "Socket head"}, {Key: "hex", Label: "Hexagon head"}}},
		fitInput(),
		{Key: "below", Label: "Head below the surface", Kind: worksheet.Length, Default: "0 in", Example: "1/32", Min: "0 in", Max: "4 in", Help: "How far the top of the head lies below the surface. 0 is level."},
		{Key: "sink", Label: "Let the hexagon head in", Kind: worksheet.Flag, Default: "no", Help: "Yes sinks the hexagon head like a socket head; no only spotfaces the surface."},
		{Key: "thick", Label: "Thickness of the part", Kind: worksheet.Length, Example: "1", Min: "0.01 in", Max: "40 in", Help: "Empty: what is left under the head is not worked out."},
		{Key: "washer", Label: "Washer, outside", Kind: worksheet.Length, Section: "Fine points", Example: "1-5/16", Min: "0 in", Max: "10 in", Help: "Outside diameter of the washer under the head. Empty: none."},
		{Key: "wrench", Label: "Wrench socket, outside", Kind: worksheet.Length, Section: "Fine points", Example: "1-1/4", Min: "0 in", Max: "10 in", Help: "Outside diameter of the wrench socket that must go in. Empty: not reckoned with."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "drill", Label: "Drill", Kind: worksheet.Text, Main: true},
		{Key: "bore", Label: "Counterbore or spotface", Kind: worksheet.Length, Main: true},
		{Key: "depth", Label: "Depth", Kind: worksheet.Length, Main: true, Help: "0 for a spotface: deep enough to clean up."},
		{Key: "left", Label: "Left under the head", Kind: worksheet.Length, Main: true},
		{Key: "head", Label: "Head, across", Kind: worksheet.Length, Help: "Diameter of a socket head, across the corners of a hexagon."},
		{Key: "flats", Label: "Across flats", Kind: worksheet.Length},
		{Key: "high", Label: "Head height", Kind: worksheet.Length},
		{Key: "hole", Label: "Clearance hole, least", Kind: worksheet.Length},
		{Key: "dia", Label: "Drill diameter", Kind: worksheet.Length},
		{Key: "ring", Label: "Seat under the head", Kind: worksheet.Length, Help: "Width of the ring the head bears on."},
		{Key: "steps", Label: "Steps", Kind: worksheet.Lines},
	},
	Sources: []worksheet.Source{
		{Key: "B18.3", Title: "ASME B18.3-2012 Socket Cap, Shoulder, and Set Screws: heads; drill and counterbore sizes"},
		{Key: "B18.2.1", Title: "ASME B18.2.1-2012 Square, Hex, Heavy Hex, and Askew Head Bolts and Screws: heads"},
		{Key: "ISO 4762", Title: "ISO 4762:2004 Hexagon socket head cap screws; counterbores by DIN 974-1:2008 row 1"},
		{Key: "ISO 4014", Title: "ISO 4014:2011 Hexagon head bolts"},
		{Key: "B18.2.8", Title: "ASME B18.2.8-1999 (R2017) Clearance Holes; metric holes by ISO 273:1979"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "size", Text: "1/2"}, {Key: "head", Text: "socket"}, {Key: "thick", Text: "1 in"}},
	Compute: computeBore,
}

// Worked lines of computeBore.
var (
	counterboreStep = worksheet.Step{What: "Counterbore", Formula: "head or washer and a little room", Numbers: "{s}", Result: "{in}", Source: "practice"}
	spotfaceStep    = worksheet.Step{What: "Spotface", Formula: "largest of corners + room, washer + 1/16 in, wrench + 1/16 in", Numbers: "{len}, {len}, {len}", Result: "{in}", Source: "practice"}
)

func computeBore(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	s, bad := FindScrew(v.Text("size"))
	if bad != nil {
		return v.Refuse("size", bad.Error())
	}
	f := fitOf(v.Choice("fit"))
	socket := v.Choice("head") == "socket"
	var seat Seat
	source := "B18.3"
	if socket {
		seat = SocketSeat(s, f)
		if seat.Bore = max(seat.Bore, v.In("washer")+1.0/32); v.Has("washer") {
			seat.Tabled = false
		}
		if s.Metric {
			source = "ISO 4762"
		}
	} else {
		seat = HexSeat(s, f, v.In("washer"), v.In("wrench"))
		if source = "B18.2.1"; s.Metric {
			source = "ISO 4014"
		}
		if !seat.HasHead {
			return v.Refuse("head", "the standard for hexagon heads starts at 1/4 in. Choose a socket head or a larger screw.")
		}
	}
	sunk := socket || v.Flag("sink")
	depth := worksheet.Either(sunk, seat.High+v.In("below"), 0.0)
	o.SetText("drill", seat.Hole.Drill)
	o.SetAll("bore in, depth in, head in", seat.Bore, depth, seat.Head)
	o.SetIf(seat.Flats > 0, "flats in", seat.Flats)
	o.SetAll("high in, hole in, dia in", seat.High, seat.Hole.Min, seat.Hole.Dia)
	across := worksheet.Either(!socket, seat.Flats, seat.Head)
	o.Set("ring", (across-seat.Hole.Dia)/2, "in")
	first := "Drill " + drillSize(o, seat.Hole.Drill, seat.Hole.Dia) + " through"
	steps := []string{first + "."}
	if sunk {
		o.SetText("verdict", o.Fill("Counterbore {in}, {in} deep; drill {s} through.", []string{drillSize(o, seat.Hole.Drill, seat.Hole.Dia)}, seat.Bore, depth))
		steps = append(steps, o.Fill("Counterbore {in} to {in} from the surface.", nil, seat.Bore, depth))
	} else {
		o.SetText("verdict", o.Fill("Spotface {in} until it cleans up; drill {s} through.", []string{drillSize(o, seat.Hole.Drill, seat.Hole.Dia)}, seat.Bore))
		steps = append(steps, o.Fill("Spotface {in}, only until the seat is clean all round, square to the hole.", nil, seat.Bore))
	}
	steps = append(steps, "Break the edge of the hole so that the fillet under the head does not ride on it.")
	o.SetLines("steps", steps)
	o.Work("Clearance hole", "table, "+f.String()+" fit", s.Name, drillSize(o, seat.Hole.Drill, seat.Hole.Dia), "B18.2.8")
	o.Work("Head", "table", s.Name, o.Fill("{in} across, {in} high", nil, seat.Head, seat.High), source)
	switch {
	case socket && seat.Tabled:
		o.Work("Counterbore", "table", s.Name, o.Len(seat.Bore), source)
	case socket:
		o.Line(&counterboreStep, []string{s.Name}, seat.Bore)
	default:
		o.Line(&spotfaceStep, nil, seat.Head, v.In("washer"), v.In("wrench"), seat.Bore)
	}
	if v.Has("thick") {
		left := v.In("thick") - depth
		o.Set("left", left, "in")
		switch {
		case left <= 0:
			o.Refuse("The counterbore goes through the part.")
		case left < s.D/2:
			o.Caution("Less than half a diameter is left under the head. It may break out under load.")
		}
	}
	o.NoteIf(s.Metric && !socket && (near(s.D, 10/mmPerInch) || near(s.D, 12/mmPerInch) || near(s.D, 14/mmPerInch)),
		"M10, M12 and M14 heads are made in two widths, 16, 18 and 21 mm by ISO 4014 and 17, 19 and 22 mm before; the wider is reckoned with.")
	return nil
}
