package fits

import (
	"math"
	"strings"

	"datumbook/calc/shoptext"
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
		Ask: "Which screw?", Box: "screw",
		Help: "Its size or its thread: #10, 1/4, 5/8-11, 1-1/8, M12. From #0 to 1-1/2 and M1.6 to M48."}
}

// drillSize writes a drill with its diameter: "11/16 (.6875 in)".
func drillSize(o *worksheet.Out, name string, inches float64) string {
	if o.System == units.MetricSystem && strings.HasSuffix(name, " mm") {
		return name
	}
	return o.Fill("{s} ({micrometer in})", []string{name}, inches)
}

// figure cuts the unit off a length.
func figure(text string) string {
	n, _, _ := strings.Cut(text, " ")
	return n
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

// inward says that limits of size so close are read more finely, where the usual step would leave
// little or nothing between them.
func inward(o *worksheet.Out, lo, hi float64) {
	step, unit := .0001, "in"
	if o.System == units.MetricSystem {
		step, unit = .002, "mm"
		lo, hi = lo*mmPerInch, hi*mmPerInch
	}
	if hi-lo < 4*step {
		for _, dial := range [...]string{"least", "most"} {
			o.SetStep(dial, step/worksheet.Either(unit == "mm", 4, 10.), unit)
		}
	}
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
			Box:  "bolt",
			Help: "Largest diameter of the bolt itself. Empty: its nominal size."}},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "passes", Label: "It goes through", Kind: worksheet.Flag, Judges: true},
		{Key: "drill", Label: "Drill", Kind: worksheet.Text, Main: true},
		{Key: "min", Label: "Hole, least", Kind: worksheet.Length, Main: true, Dial: "least"},
		{Key: "max", Label: "Hole, most", Kind: worksheet.Length, Main: true, Dial: "most"},
		{Key: "play", Label: "Clearance, least", Kind: worksheet.Length, Main: true, Dial: "clear",
			Help: "On diameter."},
		{Key: "other", Label: "Or this drill", Kind: worksheet.Text, Help: "Of the other system of units, inside the limits."},
		{Key: "screw", Label: "Screw diameter", Kind: worksheet.Length},
		{Key: "dia", Label: "Drill diameter", Kind: worksheet.Length},
		{Key: "all", Label: "All fits", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "fit", Label: "Fit", Kind: worksheet.Text}, {Key: "drill", Label: "Drill", Kind: worksheet.Text},
			{Key: "min", Label: "Least", Kind: worksheet.Length, Fine: true},
			{Key: "max", Label: "Most", Kind: worksheet.Length, Fine: true},
			{Key: "play", Label: "Clearance", Kind: worksheet.Length}}},
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
	h := Clearance(s, f).exact()
	d := v.Or("bolt", "in", s.D)
	source := worksheet.Either(s.Metric, "ISO 273", "B18.2.8")
	room := o.Fill("Drill {s} for {s} screws, {s} fit: the hole may be {least in} to {most in}, {clear in} more "+
		"than the bolt at the least", []string{drillSize(o, h.Drill, h.Dia), s.Name, f.String()}, h.Min, h.Max, h.Min-d)
	o.Head("{s} drill, {s} fit", []string{h.Drill, f.String()})
	switch bolt, hole := o.ReadApart("micrometer", d, h.Min, "in"); {
	case d >= h.Min:
		o.HeadStop("Bolt is bigger than the hole", nil)
		for k := f + 1; k <= Loose; k++ {
			if x := Clearance(s, k).exact(); x.Min > d {
				o.FactStop("{s} fit: {s} drill", []string{k.String(), x.Drill})
				break
			}
		}
		o.FactStop("measures {s}", []string{figure(bolt)})
		o.FactStop("hole {s}", []string{figure(hole)})
		o.Stop("Bolt is bigger than the hole: measures "+bolt+", hole "+hole+".",
			"It does not pass. Check the measurement, or choose a looser fit or a larger screw size.")
	case d > s.D*1.02:
		room += "; it measures over its size"
		o.Fact("▲ bolt is over its size", nil)
		o.Caution("The bolt measures more than its nominal size. Plating, a bent shank or the wrong size?")
	case d < s.D*.93:
		o.Ask("size", likely(d, s.Metric), o.Fill("A {s} screw of {s}? That is another size.", []string{s.Name, bolt}))
	}
	o.Fact("hole {=least in} to {=most in}", nil, h.Min, h.Max)
	o.Fact("{=clear in} more than the bolt", nil, h.Min-d)
	o.SetText("verdict", room+".")
	o.SetFlag("passes", d < h.Min)
	o.SetText("drill", h.Drill)
	o.SetAll("min in, max in, play in, screw in, dia in", h.Min, h.Max, h.Min-d, d, h.Dia)
	if size, ok := OtherDrill(s, h); ok {
		o.SetText("other", drillSize(o, size.Name, size.Inches))
		o.Fact("or {s}", []string{size.Name})
	} else {
		o.SetText("other", "none lies inside the limits")
	}
	var rows [][]worksheet.Cell
	for k := Close; k <= Loose; k++ {
		x := Clearance(s, k).exact()
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
		{Key: "below", Label: "Head below the surface", Kind: worksheet.Length, Default: "0 in", Example: "1/32", Min: "0 in", Max: "4 in", Box: "below", Help: "How far the top of the head lies below the surface. 0 is level."},
		{Key: "sink", Label: "Let the hexagon head in", Kind: worksheet.Flag, Default: "no", Help: "Yes sinks the hexagon head like a socket head; no only spotfaces the surface."},
		{Key: "thick", Label: "Thickness of the part", Kind: worksheet.Length, Lately: "stock", Example: "1", Min: "0.01 in",
			Max: "40 in", Ask: "How thick?", Box: "plate", Help: "Empty: the metal under a head that is let in is not reckoned."},
		{Key: "washer", Label: "Washer, outside", Kind: worksheet.Length, Section: "Fine points", Example: "1-5/16", Min: "0 in", Max: "10 in", Box: "washer", Help: "Outside diameter of the washer under the head. Empty: none."},
		{Key: "wrench", Label: "Wrench socket, outside", Kind: worksheet.Length, Section: "Fine points", Example: "1-1/4", Min: "0 in", Max: "10 in", Box: "wrench socket", Help: "Outside diameter of the wrench socket that must go in. Empty: not reckoned with."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "drill", Label: "Drill", Kind: worksheet.Text, Main: true},
		{Key: "seats", Label: "Metal under the head", Kind: worksheet.Flag, Judges: true},
		{Key: "bore", Label: "Counterbore or spotface", Kind: worksheet.Length, Main: true, Dial: "cutter",
			Help: "A cutter that is sold."},
		{Key: "depth", Label: "Depth", Kind: worksheet.Length, Main: true, Plan: true, Dial: "quill",
			Help: "0 for a spotface: deep enough to clean up."},
		{Key: "left", Label: "Left under the head", Kind: worksheet.Length, Main: true, Dial: "left"},
		{Key: "head", Label: "Head, across", Kind: worksheet.Length, Help: "Diameter of a socket head, across the corners of a hexagon."},
		{Key: "flats", Label: "Across flats", Kind: worksheet.Length},
		{Key: "high", Label: "Head height", Kind: worksheet.Length},
		{Key: "hole", Label: "Clearance hole, least", Kind: worksheet.Length},
		{Key: "dia", Label: "Drill diameter", Kind: worksheet.Length},
		{Key: "ring", Label: "Seat under the head", Kind: worksheet.Length, Help: "Width of the ring the head bears on."},
		{Key: "steps", Label: "Steps", Kind: worksheet.Lines, Plan: true},
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
	counterboreStep = worksheet.Step{What: "Counterbore", Formula: "head or washer and a little room, up to a " +
		"cutter that is sold", Numbers: "{s}", Result: "{in}", Source: "practice"}
	spotfaceStep = worksheet.Step{What: "Spotface", Formula: "largest of corners + room, washer + 1/16 in, " +
		"wrench + 1/16 in, up to a cutter that is sold", Numbers: "{len}, {len}, {len}", Result: "{in}",
		Source: "practice"}
)

var leftStep = worksheet.Step{What: "Left under the head", Formula: "thickness - depth", Numbers: "{len} - {len}",
	Result: "{in}", Source: "practice"}

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
	if seat.Tabled = seat.Tabled && s.Metric == (o.System == units.MetricSystem); !seat.Tabled {
		seat.Bore = soldCutter(seat.Bore, o.System)
	}
	sunk := socket || v.Flag("sink")
	depth := worksheet.Either(sunk, seat.High+v.In("below"), 0.0)
	left := v.In("thick") - depth
	o.SetText("drill", seat.Hole.Drill)
	o.SetAll("bore in, depth in, head in", seat.Bore, depth, seat.Head)
	o.SetIf(seat.Flats > 0, "flats in", seat.Flats)
	o.SetAll("high in, hole in, dia in", seat.High, seat.Hole.Min, seat.Hole.Dia)
	across := worksheet.Either(!socket, seat.Flats, seat.Head)
	o.Set("ring", (across-seat.Hole.Dia)/2, "in")
	with := []string{drillSize(o, seat.Hole.Drill, seat.Hole.Dia)}
	says := o.Fill("Spotface {cutter in}, only until it is clean; drill {s} through", with, seat.Bore)
	steps := []string{"Drill " + with[0] + " through."}
	if sunk {
		says = o.Fill("Counterbore {cutter in}, {quill in} deep; drill {s} through", with, seat.Bore, depth)
		steps = append(steps, o.Fill("Counterbore {cutter in} to {quill in} from the surface.", nil, seat.Bore, depth))
	} else {
		steps = append(steps, o.Fill("Spotface {cutter in}, only until the seat is clean all round, square to the "+
			"hole.", nil, seat.Bore))
	}
	o.Head(worksheet.Either(sunk, "{=cutter in} counterbore, {=quill in} deep", "Spotface {=cutter in}, just clean"),
		nil, seat.Bore, depth)
	o.SetLines("steps", append(steps, "Break the edge of the hole so that the fillet under the head does not ride "+
		"on it."))
	switch {
	case v.Has("thick"):
		o.Set("left", left, "in")
		o.Line(&leftStep, nil, v.In("thick"), depth, left)
		o.SetFlag("seats", left > 0)
		if sunk {
			says += o.Fill("; {left in} left under the head", nil, left)
		}
		thick, high := o.ReadApart("quill", v.In("thick"), depth, "in")
		if left <= 0 {
			o.HeadStop("Head breaks through", nil)
			o.FactStop("plate {s}", []string{figure(thick)})
			o.FactStop("counterbore {s} deep", []string{figure(high)})
			o.FactStop("{=cutter in} across", nil, seat.Bore)
			o.Stop("Head breaks through: part "+thick+", counterbore "+high+" deep.",
				"The counterbore goes through the part. Let the head stand out, take a lower head, or a thicker part.")
		} else if sunk && left < s.D/2 {
			says += ", thin"
			o.Head("Only {=left in} left under the head", nil, left)
			if s.D/2 < v.In("thick") {
				o.Fact("▲ let it stand out {=quill in}", nil, float64(s.D*.5)-left)
			}
			o.Fact("{=cutter in} counterbore, {=quill in} deep", nil, seat.Bore, depth)
			out := o.Fill("Less than half a diameter is left under the head: it may break out under load. Letting "+
				"it stand out {quill in} leaves half a diameter.", nil, float64(s.D*.5)-left)
			o.Caution(worksheet.Either(s.D/2 < v.In("thick"), out, "Less than half a diameter is left under the "+
				"head: it may break out under load."))
		}
	case sunk:
		says += ". How thick is the part? The metal under the head is not reckoned"
	default:
		o.SetFlag("seats", true)
	}
	if sunk && !v.Has("thick") {
		o.Fact("▲ metal under it not checked", nil)
	}
	o.Fact("drill {s} through", []string{seat.Hole.Drill})
	if sunk && v.Has("thick") {
		o.Fact("{=left in} under the head", nil, left)
	}
	if w := v.In("washer"); w > 0 {
		o.Fact("washer {s}", []string{figure(o.Size(v.Length("washer")))})
	}
	o.SetText("verdict", says+".")
	if w := v.In("washer"); v.Has("washer") && w > 0 && w < seat.Hole.Min {
		o.Ask("washer", likely(2*s.D, s.Metric), o.Fill("A washer of {micrometer in} outside does not cover the "+
			"hole. Its inside?", nil, w))
	}
	o.AskUnit(v, "thick", 0, 20)
	o.AskUnit(v, "below", 0, 2*s.D)
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
	o.NoteIf(s.Metric && !socket && (near(s.D, 10/mmPerInch) || near(s.D, 12/mmPerInch) || near(s.D, 14/mmPerInch)),
		"M10, M12 and M14 heads are made in two widths, 16, 18 and 21 mm by ISO 4014 and 17, 19 and 22 mm before; the wider is reckoned with.")
	return nil
}

// soldCutter gives the next cutter that is sold: to 1/16 in or half a millimetre.
func soldCutter(d float64, sys units.System) float64 {
	dial := worksheet.DialOf("seat")
	step := dial.Inch[0].Step
	if sys == units.MetricSystem {
		step = dial.Metric[0].Step / mmPerInch
	}
	return math.Ceil(math.Round(d/step*1e6)/1e6) * step
}

// likely writes a size as it would be typed: to the nearest 1/16 in, or M and millimetres.
func likely(d float64, metric bool) string {
	if metric {
		return "M" + plain(math.Round(d*mmPerInch))
	}
	text, _ := shoptext.Fraction(units.FromInches(math.Round(d*16) / 16))
	return text
}
