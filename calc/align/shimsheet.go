package align

import (
	"math"
	"slices"
	"strconv"

	"datumbook/calc/fitting"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

const usualShims = "0.001, 0.0015, 0.002, 0.003, 0.004, 0.005, 0.006, 0.007, 0.008, 0.010, 0.012, 0.015, 0.020, 0.025, 0.031 in"

var shimSheet = worksheet.Sheet{
	Name: "shim", Title: "Shim it up", Question: "What shim goes under which edge?", Group: "line",
	About: []string{
		"An edge: what the two ends of a line read apart is the tilt, and the shim is the tilt times the distance " +
			"from the edge it pivots on. Feet: readings over a surface give a plane, and each foot is lifted to " +
			"the highest of them, so that no shim is less than nothing. Amounts: type what each place needs.",
		"The packs are made of the leaves you own: the fewest that come close enough, else the nearest. The search is exact, in whole tenths and hundredths of a micrometre.",
	},
	Drawing: "shim",
	Inputs: []worksheet.Input{
		{Key: "by", Label: "Find it from", Kind: worksheet.Choice, Default: "edge", Help: "How the lift is found.",
			Options: []worksheet.Option{{Key: "edge", Label: "readings along a line, one edge"}, {Key: "feet", Label: "readings over a surface, feet"}, {Key: "amounts", Label: "amounts I know"}}},
		{Key: "readings", Label: "Readings", Kind: worksheet.Table, MinRows: 2, MaxRows: 60, Example: "2, 0, 0.004; 8, 0, 0.002; 14, 0, 0",
			Help: "Place and reading: x, y, reading. Along a line the y is not read and may be left empty.",
			Columns: []worksheet.Column{{Key: "x", Label: "x", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"},
				{Key: "y", Label: "y", Kind: worksheet.Length, Min: "-500 in", Max: "500 in", Optional: true},
				{Key: "reading", Label: "Reading", Kind: worksheet.Length, Min: "-100 in", Max: "100 in"}}},
		{Key: "pivot", Label: "Edge it pivots on", Kind: worksheet.Length, Example: "2", Min: "-500 in", Max: "500 in", Help: "Station of the edge that keeps its place. Empty: the end the readings show high."},
		{Key: "under", Label: "Shim goes under", Kind: worksheet.Length, Example: "14", Min: "-500 in", Max: "500 in", Help: "Station of the edge or bolt the shim goes under. Empty: the other end of the readings."},
		{Key: "feet", Label: "Feet", Kind: worksheet.Table, Example: "0, 0; 10, 0; 10, 8; 0, 8", MinRows: 1, MaxRows: 8,
			Help:    "Where it rests. Empty: where the readings were taken, the first eight.",
			Columns: []worksheet.Column{{Key: "x", Label: "x", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}, {Key: "y", Label: "y", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}}},
		{Key: "amounts", Label: "Amounts", Kind: worksheet.List, Example: "0.0046, 0.012", MinRows: 1, MaxRows: 8, Help: "The lift each place needs.",
			Columns: []worksheet.Column{{Key: "lift", Label: "Lift", Kind: worksheet.Length, Min: "0 in", Max: "2 in"}}},
		{Key: "owned", Label: "Shims owned", Kind: worksheet.List, Default: usualShims, Example: "0.001, 0.002, 0.005, 0.010", MinRows: 1, MaxRows: 24, Section: "Shims",
			Help:    "Thicknesses of the leaves in the drawer. Measure them: stock is not what it says.",
			Columns: []worksheet.Column{{Key: "leaf", Label: "Leaf", Kind: worksheet.Length, Min: "0.0002 in", Max: "1 in"}}},
		{Key: "each", Label: "Leaves of each", Kind: worksheet.Count, Default: "2", Min: "1", Max: "5", Section: "Shims", Help: "How often a thickness may come in one pack."},
		{Key: "most", Label: "Leaves in a pack, at most", Kind: worksheet.Count, Default: "3", Min: "1", Max: "4", Section: "Shims", Help: "Every leaf more is another place for a burr: three is plenty."},
		{Key: "near", Label: "Close enough", Kind: worksheet.Length, Default: "0.0002 in", Min: "0 in", Max: "0.01 in", Section: "Shims", Help: "A pack this near is taken before one with more leaves."},
		worksheet.Sense, worksheet.Graduation, Repeats,
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "need", Label: "Lift needed", Kind: worksheet.Length, Digits: worksheet.FineDigits, Dial: "needle",
			Main: true, Help: "The largest, where there are several."},
		{Key: "pack", Label: "Pack", Kind: worksheet.Text, Main: true, Plan: true},
		{Key: "total", Label: "Pack comes to", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "micrometer", Main: true, Plan: true},
		{Key: "over", Label: "Pack less lift", Kind: worksheet.Length, Digits: worksheet.FineDigits, Dial: "reads",
			Main: true, Plan: true},
		{Key: "leaves", Label: "Leaves", Kind: worksheet.Count},
		{Key: "places", Label: "Places", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "x", Label: "x", Kind: worksheet.Text}, {Key: "y", Label: "y", Kind: worksheet.Text},
			{Key: "lift", Label: "Lift", Kind: worksheet.Length, Units: Dialled},
			{Key: "pack", Label: "Pack", Kind: worksheet.Text},
			{Key: "over", Label: "Pack less lift", Kind: worksheet.Length, Units: Dialled}}},
		{Key: "choices", Label: "By number of leaves", Kind: worksheet.Table, Help: "For the largest lift.", Columns: []worksheet.Column{
			{Key: "leaves", Label: "Leaves", Kind: worksheet.Count},
			{Key: "pack", Label: "Pack", Kind: worksheet.Text},
			{Key: "over", Label: "Pack less lift", Kind: worksheet.Length, Units: Dialled}}},
		{Key: "slopex", Label: "Tilt along x", Kind: worksheet.Slope},
		{Key: "slopey", Label: "Tilt along y", Kind: worksheet.Slope},
		{Key: "spread", Label: "Spread off the line or plane", Kind: worksheet.Length, Digits: worksheet.FineDigits,
			Dial: "needle"},
	},
	Sources: []worksheet.Source{fromGUM, FromDecision, fromISO230, fromGeometry,
		{Key: "search", Title: "Every pack of the leaves owned, tried in whole picometres"}, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "readings", Text: "2 in, 0 in, 0.0046 in; 8 in, 0 in, 0.0023 in; 14 in, 0 in, 0 in"}},
	Compute: shimCompute,
}

// place is a position that is lifted.
type place struct {
	x, y       float64
	hasX, hasY bool
	lift       float64
	name       string // of an edge
}

// Worked lines of shimCompute.
var (
	liftStep = worksheet.Step{What: "Lift", Formula: "as typed", Numbers: "", Result: "{s} places", Source: "practice"}
	packStep = worksheet.Step{What: "Pack", Formula: "leaves added up, nearest to the lift", Numbers: "{s}", Result: "{s}", Source: "search"}
)

func shimCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	var places []place
	var f *worksheet.InputError
	grad := v.In("grad")
	Steps(o, grad)
	if v.Choice("by") != "amounts" && slipped(v, o, grad) {
		return nil
	}
	switch v.Choice("by") {
	case "amounts":
		if !v.Has("amounts") {
			return v.Refuse("amounts", "nothing is typed. Type the lift each place needs, like 0.0046.")
		}
		for _, a := range v.List("amounts", "in") {
			places = append(places, place{lift: a})
		}
		o.Line(&liftStep, []string{strconv.Itoa(len(places))})
	case "feet":
		places, f = byFeet(v, o)
	default:
		places, f = byEdge(v, o)
	}
	if f != nil || places == nil {
		return f
	}
	owned := make([]units.Length, v.Rows("owned"))
	for i := range owned {
		x, _ := v.Cell("owned", i, 0, "in")
		owned[i] = units.FromInches(x)
	}
	near := v.Length("near")
	each, most := int(v.Num("each")), int(v.Num("most"))
	big := 0
	for i := range places {
		if places[i].lift > places[big].lift {
			big = i
		}
	}
	var rows [][]worksheet.Cell
	var main Pack
	far := units.Length(0)
	for i, p := range places {
		want := units.FromInches(p.lift)
		packs := Packs(owned, each, most, want)
		pick := Choose(packs, want, near)
		far = max(far, abs(pick.Over(want)))
		rows = append(rows, worksheet.Cells("ssisi",
			[]string{coordinate(o, p.x, p.hasX), coordinate(o, p.y, p.hasY), packText(o, pick)}, p.lift, pick.Over(want).Inches()))
		if i == big {
			main = pick
			choices(o, packs, want)
		}
	}
	o.SetTable("places", rows)
	want := units.FromInches(places[big].lift)
	o.Set("need", places[big].lift, "in")
	o.SetText("pack", packText(o, main))
	o.SetLength("total", main.Total)
	o.SetLength("over", main.Over(want))
	o.Set("leaves", float64(len(main.Leaves)), "")
	o.Line(&packStep, []string{packText(o, main), Full(o, main.Total.Inches())})
	o.SetText("verdict", shimVerdict(o, places, big, main))
	if far > max(near, 5*units.Tenth) {
		o.Caution("The nearest pack misses by " + o.Read("doubt", far.Inches(), "in") +
			". Add the leaf that is missing to the drawer, or allow more leaves.")
	}
	o.NoteIf(len(main.Leaves) > 2,
		"Wipe every leaf: each face between leaves can hold a tenth or two of oil and burr. Put the thinnest between thicker ones, never outside.")
	o.Note("Read it again with the bolts tight: a pack settles when it is pulled down.")
	return nil
}

func shimVerdict(o *worksheet.Out, places []place, big int, main Pack) string {
	p := places[big]
	lift := Read(o, "needle", p.lift)
	if p.lift < 5e-6 || lift == Unread {
		return "No shim is needed: " + Unread + " is low."
	}
	where := ""
	if p.hasX {
		where = " under " + worksheet.Either(p.name != "", p.name, Long(o, p.x))
		if p.hasY {
			where += ", " + Long(o, p.y)
		}
	}
	says := "Lift " + lift + where + ": "
	if len(main.Leaves) == 0 {
		return says + "no leaf owned comes nearer than leaving it alone."
	}
	says += packText(o, main) + "."
	if len(places) > 1 {
		says += " The other places are in the table."
	}
	return says
}

// slipped asks about readings that differ by more than an indicator's do.
func slipped(v *worksheet.Values, o *worksheet.Out, grad float64) bool {
	rows := v.Rows("readings")
	if rows == 0 {
		return false
	}
	low, high, first, last := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i := range rows {
		x, _ := v.Cell("readings", i, 0, "in")
		y, _ := v.Cell("readings", i, 2, "in")
		low, high, first, last = min(low, y), max(high, y), min(first, x), max(last, x)
	}
	return Slip(o, grad, low, high, last-first, Table(v, o, "readings", 2, 1, grad, "in")...)
}

func coordinate(o *worksheet.Out, x float64, has bool) string {
	return worksheet.Either(has, Long(o, x), "")
}

// packText writes a pack as its leaves are marked: ".01 + .002 in".
func packText(o *worksheet.Out, p Pack) string {
	if len(p.Leaves) == 0 {
		return "none"
	}
	s := ""
	for i, l := range p.Leaves {
		if i > 0 {
			s += " + "
		}
		if o.System == units.MetricSystem {
			s += o.Dec(l.MM(), 4)
		} else {
			s += noughtless(o.Dec(l.Inches(), 5))
		}
	}
	return s + worksheet.Either(o.System == units.MetricSystem, " mm", " in")
}

func choices(o *worksheet.Out, packs []Pack, want units.Length) {
	worksheet.SetRows(o, "choices", packs, func(n int, p Pack) []worksheet.Cell {
		if n == 0 {
			return nil
		}
		return worksheet.Cells("nsi", []string{packText(o, p)}, float64(n), p.Over(want).Inches())
	})
}

var liftShimStep = worksheet.Step{What: "Lift at the shim", Formula: "T/L (pivot - shim)",
	Numbers: "{s}/{len} x ({len} - {len})", Result: "{s}", Source: "geometry"}

// byEdge finds the lift of one edge from readings along a line, by the line through its ends; no
// place where the readings forbid it.
func byEdge(v *worksheet.Values, o *worksheet.Out) ([]place, *worksheet.InputError) {
	if !v.Has("readings") {
		return nil, v.Refuse("readings", "nothing is typed. Type x, y and reading of at least two places, like 2, 0, 0.004; 14, 0, 0.")
	}
	way := worksheet.Turned(v)
	r := Run{Noise: Noise{Grad: v.In("grad"), Habit: v.In("repeat")}}
	for i := range v.Rows("readings") {
		a, _ := v.Cell("readings", i, 0, "in")
		b, _ := v.Cell("readings", i, 2, "in")
		r.X, r.Y = append(r.X, a), append(r.Y, way*b)
	}
	low, high := slices.Min(r.X), slices.Max(r.X)
	r.Pivot, r.Tap = low, high
	if high-low < .1 {
		return nil, v.Refuse("readings", "the stations span less than 0.1 in along x. Take them further apart.")
	}
	l, f := Judge(r)
	if f != nil {
		return nil, f
	}
	if l.Trouble != nil {
		l.Trouble.Says(o, l.name(o, l.Trouble.At.X))
		return nil, nil
	}
	pivot, under := high, low // the low end is shimmed, the high one stays
	if l.Slope < 0 {
		pivot, under = low, high
	}
	if v.Has("pivot") {
		pivot = v.In("pivot")
		if !v.Has("under") && math.Abs(pivot-under) < .1 {
			under = low + high - under
		}
	}
	if v.Has("under") {
		under = v.In("under")
		if !v.Has("pivot") && math.Abs(pivot-under) < .1 {
			pivot = low + high - pivot
		}
	}
	if math.Abs(pivot-under) < .1 {
		return nil, v.Refuse("under", "it is at the pivot, where a shim tilts nothing. Choose a place at least 0.1 in away.")
	}
	lift := float64(l.Slope * (pivot - under))
	o.SetAll("slopex in/in, spread in", l.Slope, l.Shape.span(l.Places))
	o.Line(&tiltEndsStep, []string{FullBare(o, l.Places[len(l.Places)-1].Mid()), FullBare(o, l.Places[0].Mid()),
		Full(o, l.T)})
	o.Line(&liftShimStep, []string{FullBare(o, l.T), Full(o, lift)}, high-low, pivot, under)
	if lift < -hair && math.Abs(l.T) > r.Noise.Grad/2 {
		o.Caution("The edge at " + Long(o, under) + " is the high one: a shim there makes it worse. The shim goes " +
			"under the other edge, at " + Long(o, pivot) + ".")
		under = pivot
	}
	o.CautionIf(l.Shape.Form == Spot, "One place stands off its neighbours, which agree: a chip or a burr first. "+
		"Wipe it and read it again.")
	if math.Abs(l.T) < r.Noise.Grad-hair { // less than the needle shows: not ordered
		lift = 0
		o.Note("The ends read less than a graduation apart: no shim is reckoned from that.")
	}
	return []place{{x: under, hasX: true, lift: math.Abs(lift), name: l.name(o, under)}}, nil
}

// Worked lines of byFeet.
var (
	planeZStep   = worksheet.Step{What: "Plane z = p x + q y + r, by least squares", Formula: "sum of squares least", Numbers: "{s} readings", Result: "p {8}, q {8} in/in", Source: "GUM"}
	liftFootStep = worksheet.Step{What: "Lift of a foot", Formula: "highest foot - this foot, on the plane", Numbers: "{s} feet", Result: "at most {s}", Source: "geometry"}
)

// byFeet finds the lift of each foot from readings over a surface.
func byFeet(v *worksheet.Values, o *worksheet.Out) ([]place, *worksheet.InputError) {
	if !v.Has("readings") {
		return nil, v.Refuse("readings", "nothing is typed. Type x, y and reading of at least three places that are not in one line.")
	}
	way := worksheet.Turned(v)
	var heights []fitting.Point3
	var feet []fitting.Point
	for i := range v.Rows("readings") {
		x, _ := v.Cell("readings", i, 0, "in")
		y, set := v.Cell("readings", i, 1, "in")
		z, _ := v.Cell("readings", i, 2, "in")
		if !set {
			return nil, v.Refuse("readings", "row "+strconv.Itoa(i+1)+" has no y, and feet need both. Fill it in, or choose readings along a line.")
		}
		heights = append(heights, fitting.Point3{X: x, Y: y, Z: way * z})
		if len(feet) < 8 {
			feet = append(feet, fitting.Point{X: x, Y: y})
		}
	}
	if v.Has("feet") {
		feet = nil
		for i := range v.Rows("feet") {
			x, _ := v.Cell("feet", i, 0, "in")
			y, _ := v.Cell("feet", i, 1, "in")
			feet = append(feet, fitting.Point{X: x, Y: y})
		}
	}
	lifts, plane, f := Feet(heights, feet)
	if f != nil {
		return nil, f
	}
	o.SetAll("slopex in/in, slopey in/in, spread in", plane.P, plane.Q, plane.Range())
	o.Line(&planeZStep, []string{strconv.Itoa(len(heights))}, plane.P, plane.Q)
	out := make([]place, len(lifts))
	worst := 0.0
	for i, l := range lifts {
		out[i] = place{x: l.X, y: l.Y, hasX: true, hasY: true, lift: l.Lift}
		worst = max(worst, l.Lift)
	}
	o.Line(&liftFootStep, []string{strconv.Itoa(len(lifts)), Full(o, worst)})
	o.NoteIf(len(lifts) > 3,
		"Four feet and more do not find one plane by themselves: pull down evenly, and feel for a foot that is loose.")
	if worst > 1 {
		return nil, v.Refuse("feet", "a foot would need more than an inch of lift. Check the places: they are far outside the readings.")
	}
	return out, nil
}
