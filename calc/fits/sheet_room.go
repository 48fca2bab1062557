package fits

import (
	"math"

	"datumbook/calc/drill"
	"datumbook/calc/worksheet"
)

var roomSheet = &worksheet.Sheet{
	Name: "room", Title: "Room for bolts", Question: "Will these bolts go through those holes?", Group: "fit",
	About: []string{
		"How far holes may be off before the bolts no longer go in. A floating bolt has clearance in both parts, and each part may use the whole clearance. A fixed bolt or stud is held by one part, and the two parts share the clearance.",
		"The position tolerance is a diameter: a hole may lie half of it from its true place in any direction.",
		"With two centre distances measured, it says whether two bolts go in, and to what size the holes must be opened if not.",
	},
	Drawing: "room",
	Inputs: []worksheet.Input{
		{Key: "how", Label: "Bolts", Kind: worksheet.Choice, Default: "fixed", Help: "Fixed: one part is tapped or holds studs. Floating: bolt and nut, clearance in both parts.",
			Options: []worksheet.Option{{Key: "fixed", Label: "Fixed (tapped or studs)"}, {Key: "floating", Label: "Floating (bolt and nut)"}}},
		{Key: "bolt", Label: "Bolt, largest", Kind: worksheet.Length, Required: true, Example: "5/8", Min: "0.02 in", Max: "10 in", Ask: "Which bolt?", Box: "bolt", Help: "The most the bolts measure."},
		{Key: "hole", Label: "Clearance hole, smallest", Kind: worksheet.Length, Example: "11/16", Min: "0.02 in", Max: "10 in", Ask: "Which hole?", Box: "hole", Help: "The least the clearance holes measure. Give this, or the position tolerance below."},
		{Key: "hole2", Label: "Hole in the other part", Kind: worksheet.Length, Example: "11/16", Min: "0.02 in", Max: "10 in", Box: "lower hole", Help: "Floating bolts only. Empty: the same."},
		{Key: "tol", Label: "Position tolerance wanted", Kind: worksheet.Length, Example: "1/32", Min: "0 in", Max: "2 in", Box: "may be off", Help: "As a diameter, the same for both parts. Gives the hole it takes."},
		{Key: "here", Label: "Centre distance, this part", Kind: worksheet.Length, Section: "Two holes", Example: "8.000", Min: "0.05 in", Max: "400 in", Ask: "Upper holes apart?", Box: "upper", Help: "Measured between two holes of the part with the clearance holes."},
		{Key: "there", Label: "Centre distance, other part", Kind: worksheet.Length, Section: "Two holes", Example: "8.040", Min: "0.05 in", Max: "400 in", Ask: "Lower holes apart?", Box: "lower", Help: "The same two on the other part."},
		{Key: "plate", Label: "Thickness with clearance holes", Kind: worksheet.Length, Lately: "stock", Section: "Leaning studs", Example: "3/4", Min: "0.01 in", Max: "40 in", Help: "Fixed bolts: how far the stud stands through. With the depth of thread it counts how much a leaning thread uses up."},
		{Key: "depth", Label: "Depth of thread", Kind: worksheet.Length, Section: "Leaning studs", Example: "1", Min: "0.01 in", Max: "40 in", Help: "Fixed bolts: how deep the tapped hole holds the stud. Empty: the tolerance is taken as projected through the plate."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "each", Label: "Position tolerance, each part", Kind: worksheet.Length, Main: true, Dial: "left",
			Help: "A diameter."},
		{Key: "need", Label: "Hole needed", Kind: worksheet.Length, Main: true, Dial: "least"},
		{Key: "drill", Label: "Drill for it", Kind: worksheet.Text, Main: true},
		{Key: "shift", Label: "May shift each way", Kind: worksheet.Length, Main: true, Dial: "left"},
		{Key: "spacing", Label: "Centre distances may differ by", Kind: worksheet.Length, Main: true, Dial: "left"},
		{Key: "differ", Label: "Centre distances differ by", Kind: worksheet.Length, Dial: "quill"},
		{Key: "goes", Label: "Two bolts go in", Kind: worksheet.Flag, Judges: true},
		{Key: "spare", Label: "To spare", Kind: worksheet.Length, Dial: "left",
			Help: "Less than nothing is how much is missing."},
		{Key: "open", Label: "Open both holes to", Kind: worksheet.Length, Dial: "least"},
		{Key: "openone", Label: "Or one hole to", Kind: worksheet.Length, Dial: "least"},
		{Key: "total", Label: "Tolerance of both parts together", Kind: worksheet.Length},
		{Key: "bolt", Label: "Bolt", Kind: worksheet.Length},
		{Key: "hole", Label: "Hole", Kind: worksheet.Length},
		{Key: "hole2", Label: "Hole in the other part", Kind: worksheet.Length},
		{Key: "ways", Label: "Ways out", Kind: worksheet.Lines},
	},
	Sources: []worksheet.Source{
		{Key: "Y14.5", Title: "ASME Y14.5-2009 Dimensioning and Tolerancing, nonmandatory appendix B: fixed and floating fasteners"},
		{Key: "geometry", Title: "Geometry of two holes and two bolts"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "how", Text: "fixed"}, {Key: "bolt", Text: "5/8 in"}, {Key: "hole", Text: "11/16 in"}, {Key: "here", Text: "8 in"}, {Key: "there", Text: "8.04 in"}},
	Compute: computeRoom,
}

func computeRoom(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	f, fixed := v.In("bolt"), v.Choice("how") == "fixed"
	plate, depth := v.In("plate"), v.In("depth")
	if v.Has("plate") != v.Has("depth") {
		key := worksheet.Either(v.Has("plate"), "depth", "plate")
		return v.Refuse(key, "thickness and depth of thread go together. Give both, or neither.")
	}
	if !v.Has("hole") && !v.Has("tol") {
		o.Head("{s} bolt", []string{figure(o.Size(v.Length("bolt")))})
		return v.Refuse("hole", "it is missing. Give the hole, or the position tolerance wanted.")
	}
	if !fixed && v.Has("plate") {
		o.Note("Thickness and depth of thread do not matter to floating bolts; they are left out.")
		plate, depth = 0, 0
	}
	o.Set("bolt", f, "in")
	if v.Has("tol") {
		needed(v, o, f, fixed, plate, depth)
	}
	if !v.Has("hole") {
		need := neededHole(v, f, fixed, plate, depth)
		o.Head("Holes of {=least in} or more", nil, need)
		o.Fact("drill {s}", []string{nextDrill(o, need)})
		o.Fact("each part off {=quill in} on diameter", nil, v.In("tol"))
		o.SetText("verdict", o.Fill("Holes of {least in} or more let the bolts in where each part's are off by no "+
			"more than {quill in} on diameter.", nil, need, v.In("tol")))
		return nil
	}
	h, h2 := v.In("hole"), v.In("hole")
	if v.Has("hole2") {
		h2 = v.In("hole2")
	}
	var r Room
	var bad *worksheet.InputError
	if fixed {
		r, bad = Fixed(f, h, plate, depth)
	} else {
		r, bad = Floating(f, h, h2)
	}
	if bad != nil {
		if bad.Field == "hole2" && !v.Has("hole2") {
			bad.Field = "hole"
		}
		return v.Refuse(bad.Field, bad.Message)
	}
	each := min(r.First, r.Second)
	o.SetAll("each in, total in, shift in, spacing in, hole in", each, r.Total, r.Shift, r.Spacing, h)
	o.SetIf(!fixed, "hole2 in", h2)
	roomLines(o, f, h, h2, plate, depth, r, fixed)
	o.SetText("verdict", o.Fill("Each part's holes may be off by {left in} on diameter. Do two bolts go in? Two "+
		"centre distances may differ by {left in}.", nil, each, r.Spacing))
	o.Head("Holes may be {=left in} off", nil, each)
	if !v.Has("here") || !v.Has("there") {
		o.Fact("each part, on diameter", nil)
		o.Fact("centres {=left in} apart", nil, r.Spacing)
		if v.Has("here") != v.Has("there") {
			o.Wants(worksheet.Either(v.Has("here"), "there", "here"))
		}
	}
	o.NoteIf(v.Has("here") != v.Has("there"), "Give both centre distances to see whether two bolts go in.")
	o.AskUnit(v, "bolt", .02, 4)
	o.AskUnit(v, "hole", .02, max(4, 3*f))
	if v.Has("here") && v.Has("there") {
		twoHoles(v, o, f, h, h2, r, fixed)
	}
	return nil
}

func neededHole(v *worksheet.Values, f float64, fixed bool, plate, depth float64) float64 {
	if fixed {
		return HoleForFixed(f, v.In("tol"), plate, depth)
	}
	return HoleForFloating(f, v.In("tol"))
}

func needed(v *worksheet.Values, o *worksheet.Out, f float64, fixed bool, plate, depth float64) {
	need := neededHole(v, f, fixed, plate, depth)
	o.Set("need", need, "in")
	o.SetText("drill", nextDrill(o, need))
	formula := "H = F + T"
	switch {
	case fixed && depth > 0:
		formula = "H = F + T + T (1 + 2P/D)"
	case fixed:
		formula = "H = F + 2T"
	}
	o.Work("Hole needed", formula, o.Fill("F {len}, T {len}", nil, f, v.In("tol")), o.Len(need), "Y14.5")
}

// Worked lines of roomLines.
var (
	positionToleranceStep      = worksheet.Step{What: "Position tolerance of each part", Formula: "T = (H - F) / (2 + 2P/D)", Numbers: "({len} - {len}) / (2 + 2 x {len}/{len})", Result: "{in}", Source: "Y14.5"}
	positionToleranceEachStep  = worksheet.Step{What: "Position tolerance of each part", Formula: "T = (H - F) / 2", Numbers: "({len} - {len}) / 2", Result: "{in}", Source: "Y14.5"}
	positionToleranceFirstStep = worksheet.Step{What: "Position tolerance, first part", Formula: "T = H - F", Numbers: "{len} - {len}", Result: "{in}", Source: "Y14.5"}
	positionToleranceOtherStep = worksheet.Step{What: "Position tolerance, other part", Formula: "T = H - F", Numbers: "{len} - {len}", Result: "{in}", Source: "Y14.5"}
	howMuchStep                = worksheet.Step{What: "How much two centre distances may differ", Formula: "clearances of one place, added up", Numbers: "", Result: "{in}", Source: "geometry"}
)

func roomLines(o *worksheet.Out, f, h, h2, plate, depth float64, r Room, fixed bool) {
	switch {
	case fixed && depth > 0:
		o.Line(&positionToleranceStep, nil, h, f, plate, depth, r.First)
	case fixed:
		o.Line(&positionToleranceEachStep, nil, h, f, r.First)
		o.Note("The studs are taken to stand square, the tapped hole's tolerance as projected. If they lean, give " +
			"plate and depth of thread.")
	default:
		o.Line(&positionToleranceFirstStep, nil, h, f, r.First)
		o.Line(&positionToleranceOtherStep, nil, h2, f, r.Second)
	}
	o.Line(&howMuchStep, nil, r.Spacing)
}

var centreDistancesStep = worksheet.Step{What: "Centre distances differ by", Formula: "other part - this part", Numbers: "{len} - {len}", Result: "{in}", Source: "geometry"}

// twoHoles judges two measured centre distances.
func twoHoles(v *worksheet.Values, o *worksheet.Out, f, h, h2 float64, r Room, fixed bool) {
	differ := math.Abs(v.In("here") - v.In("there"))
	goes := differ <= r.Spacing+1e-9
	other := worksheet.Either(!fixed, h2-f, 0.0)
	o.Set("differ", differ, "in")
	o.SetFlag("goes", goes)
	o.Set("spare", r.Spacing-differ, "in")
	o.Line(&centreDistancesStep, nil, v.In("there"), v.In("here"), v.In("there")-v.In("here"))
	o.AskUnit(v, "here", .05, 8*v.In("there"))
	o.AskUnit(v, "there", .05, 8*v.In("here"))
	are, may := o.ReadApart("left", differ, r.Spacing, "in")
	if goes {
		o.Head("Both go in, {=left in} to spare", nil, r.Spacing-differ)
		says := o.Fill("Both bolts go in, {left in} to spare: the centre distances differ by {s} and may differ by "+
			"{s}", []string{are, may}, r.Spacing-differ)
		if tight := r.Spacing-differ < .1*r.Spacing; tight {
			says += "; a burr or a leaning stud takes that"
			o.Fact("▲ a burr or a lean takes that", nil)
			o.Caution("There is almost nothing to spare; a burr or a leaning stud stops it. Open the holes by a drill.")
		}
		o.Fact("centres {s} apart", []string{figure(are)})
		o.Fact("may be {s}", []string{figure(may)})
		o.SetText("verdict", says+".")
		return
	}
	o.HeadStop("Second will not go in", nil)
	o.Stop("Second bolt will not go in: centre distances "+are+" apart, may be "+may+".",
		"The second bolt is off by more than the holes leave.")
	if differ > r.Spacing+h {
		o.FactStop("are they the same two holes?", nil)
		o.FactStop("centres {s} apart", []string{figure(are)})
		o.SetLines("ways", []string{"Check that the two distances are of the same two holes: they differ by more " +
			"than a hole."})
		return
	}
	both := OpenBoth(f, differ, other)
	one := OpenOne(f, differ, other, h)
	flats := nutFlats(f)
	var ways []string
	for _, way := range []struct {
		key, text, fact string
		hole            float64
	}{{"open", "Open both holes of this part to {least in} or more, drill {s}.", "open both to {=least in}", both},
		{"openone", "Open one of the two to {least in} or more, drill {s}.", "or one to {=least in}", one}} {
		if drilled(way.hole) <= flats-bears {
			o.FactStop(worksheet.Either(len(ways) > 0 || way.key == "open", way.fact, "open one to {=least in}"), nil,
				way.hole)
			o.Set(way.key, way.hole, "in")
			ways = append(ways, o.Fill(way.text, []string{nextDrill(o, way.hole)}, way.hole))
		}
	}
	if len(ways) < 2 {
		o.FactStop("slot one by {=need in}", nil, differ-r.Spacing)
		o.Line(&coversStep, nil, flats, bears, flats-bears)
		ways = append(ways, o.Fill("Open no hole past {left in}: a nut {micrometer in} across its flats would not "+
			"bear, or fall through.", nil, flats-bears, flats))
	}
	o.FactStop("{s} apart, may be {s}", []string{figure(are), figure(may)})
	ways = append(ways, o.Fill("Slot one hole along the line of centres by {need in}.", nil, differ-r.Spacing))
	o.SetLines("ways", append(ways, "Under a hole opened well over the bolt, or a slot, put a thick washer."))
}

// bears is how much wider than its hole a nut must be across the flats, in inches. Common practice,
// no published source.
const bears = 1. / 16

var coversStep = worksheet.Step{What: "Largest hole that the nut covers", Formula: "across flats - 1/16 in",
	Numbers: "{len} - {len}", Result: "{in}", Source: "practice"}

// nutFlats is the width across flats of the nut for a bolt, in inches: that of the head of its size
// (ASME B18.2.1, ISO 4014), else one and a half diameters.
func nutFlats(bolt float64) float64 {
	flats := 1.5 * bolt
	for _, r := range inchRows {
		if d := float64(r.d) / 10000; r.flats > 0 && d >= bolt-1e-6 && bolt > .93*d {
			return float64(r.flats) / 1000
		}
	}
	for _, r := range metricRows {
		if d := float64(r.d) / 10 / mmPerInch; d >= bolt-1e-6 && bolt > .93*d {
			return float64(r.flats) / 10 / mmPerInch
		}
	}
	return flats
}

// drilled is the size of the next drill at or above a diameter, or the diameter.
func drilled(d float64) float64 {
	for _, s := range drill.Between(d-1e-9, 99, drill.Fraction) {
		return s.Inches
	}
	return d
}

// nextDrill gives the next drill at or above a diameter.
func nextDrill(o *worksheet.Out, d float64) string {
	for _, s := range drill.Between(d-1e-9, 99, drill.Fraction) {
		return drillSize(o, s.Name, s.Inches)
	}
	return "none that large: bore it"
}
