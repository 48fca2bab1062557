package align

import (
	"math"
	"slices"
	"strconv"
	"strings"

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
	Half:    tramHalf,
	Inputs: []worksheet.Input{
		{Key: "by", Ask: "How is it found?", Box: "found from", Label: "Find it from", Kind: worksheet.Choice, Default: "edge", Help: "How the lift is found.",
			Options: []worksheet.Option{{Key: "edge", Label: "readings along a line, one edge"}, {Key: "feet", Label: "readings over a surface, feet"}, {Key: "amounts", Label: "amounts I know"}}},
		{Key: "readings", Ask: "Left end reads?", Box: "readings", Label: "Readings", Kind: worksheet.Table, MinRows: 2, MaxRows: 60, Example: "2, 0, 0.004; 8, 0, 0.002; 14, 0, 0",
			Help: "Place and reading: x, y, reading. Along a line the y is not read and may be left empty; x too, " +
				"from the left, where the edge lies under the ends.",
			Columns: []worksheet.Column{{Key: "x", Label: "x", Kind: worksheet.Length, Min: "-500 in",
				Max: "500 in", Optional: true},
				{Key: "y", Label: "y", Kind: worksheet.Length, Min: "-500 in", Max: "500 in", Optional: true},
				ReadingColumn("reading", "Reading", "needle")}},
		{Key: "pivot", Ask: "Which edge stays?", Box: "stays at", Label: "Edge it pivots on", Kind: worksheet.Length, Example: "2", Min: "-500 in", Max: "500 in", Help: "Station of the edge that keeps its place. Empty: the end the readings show high."},
		{Key: "under", Ask: "Which edge?", Box: "shim at", Label: "Shim goes under", Kind: worksheet.Length, Example: "14", Min: "-500 in", Max: "500 in", Help: "Station of the edge or bolt the shim goes under. Empty: the other end of the readings."},
		{Key: "feet", Ask: "Where are the feet?", Box: "feet", Label: "Feet", Kind: worksheet.Table, Example: "0, 0; 10, 0; 10, 8; 0, 8", MinRows: 1, MaxRows: 8,
			Help:    "Where it rests. Empty: where the readings were taken, the first eight.",
			Columns: []worksheet.Column{{Key: "x", Label: "x", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}, {Key: "y", Label: "y", Kind: worksheet.Length, Min: "-500 in", Max: "500 in"}}},
		{Key: "amounts", Ask: "How thick is the gap?", Box: "gap", Label: "Amounts", Kind: worksheet.List, Example: "0.0046, 0.012", MinRows: 1, MaxRows: 8, Help: "The lift each place needs.",
			Columns: []worksheet.Column{{Key: "lift", Label: "Lift", Box: "lift", Needle: true, Kind: worksheet.Length, Min: "0 in", Max: "2 in"}}},
		{Key: "owned", Ask: "Which leaves are there?", Box: "leaves", Label: "Shims owned", Kind: worksheet.List, Default: usualShims, Example: "0.001, 0.002, 0.005, 0.010", MinRows: 1, MaxRows: 24, Section: "Shims",
			Help:    "Thicknesses of the leaves in the drawer. Measure them: stock is not what it says.",
			Columns: []worksheet.Column{{Key: "leaf", Label: "Leaf", Kind: worksheet.Length, Min: "0.0002 in", Max: "1 in"}}},
		{Key: "each", Ask: "How many of each?", Box: "of each", Label: "Leaves of each", Kind: worksheet.Count, Default: "2", Min: "1", Max: "5", Section: "Shims", Help: "How often a thickness may come in one pack."},
		{Key: "most", Ask: "How many leaves at most?", Box: "most leaves", Label: "Leaves in a pack, at most", Kind: worksheet.Count, Default: "3", Min: "1", Max: "4", Section: "Shims", Help: "Every leaf more is another place for a burr: three is plenty."},
		{Key: "near", Ask: "How near?", Box: "near enough", Label: "Close enough", Needle: true, Kind: worksheet.Length, Default: "0.0002 in", Min: "0 in", Max: "0.01 in", Section: "Shims", Help: "A pack this near is taken before one with more leaves."},
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
	counted    bool   // without distances
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
	all := make([]Pack, len(places))
	far := units.Length(0)
	for i, p := range places {
		want := units.FromInches(p.lift)
		packs := Packs(owned, each, most, want)
		pick := Choose(packs, want, near)
		far, all[i] = max(far, abs(pick.Over(want))), pick
		rows = append(rows, worksheet.Cells("ssisi",
			[]string{p.at(o), coordinate(o, p.y, p.hasY), packText(o, pick)}, p.lift, pick.Over(want).Inches()))
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
	short := far > max(near, 5*units.Tenth)
	if short {
		o.Caution("The nearest pack misses by " + o.Read("doubt", far.Inches(), "in") +
			". Add the leaf that is missing to the drawer, or allow more leaves.")
	}
	if len(main.Leaves) == 0 && want > near && Read(o, "needle", places[big].lift) != Unread {
		tooThick(o, want, slices.Min(owned))
	}
	shimFirst(v, o, places, big, all, short)
	o.NoteIf(len(main.Leaves) > 2,
		"Wipe every leaf: each face between leaves can hold a tenth or two of oil and burr. Put the thinnest between thicker ones, never outside.")
	o.Note("Read it again with the bolts tight: a pack settles when it is pulled down.")
	return nil
}

// tooThick stops where the thinnest leaf would miss by more than leaving it.
func tooThick(o *worksheet.Out, want, thinnest units.Length) {
	lift, thin := Full(o, want.Inches()), Full(o, thinnest.Inches())
	o.Stop("Thinnest leaf is too thick: lift "+lift+", thinnest "+thin+".",
		"It would miss by more than leaving it as it is. Take paper or a thinner leaf, or stone the other side.")
	o.HeadStop("Thinnest leaf is too thick", nil)
	o.FactStop("lift "+lift+", thinnest "+unitless(thin), nil)
	o.FactStop("paper or stone the other side", nil)
}

// shimFirst says first which pack goes where: of one place, or of as many as have room.
func shimFirst(v *worksheet.Values, o *worksheet.Out, places []place, big int, packs []Pack, short bool) {
	main, lift := packs[big], Bare(o, "needle", places[big].lift)
	said, n, stay := "", 0, ""
	for i := range places {
		if len(packs[i].Leaves) == 0 {
			stay += worksheet.Either(stay == "", " ", ", ") + strconv.Itoa(i+1)
			continue
		}
		n++
		said += worksheet.Either(n > 1, ", ", "") + "{s} " + strconv.Itoa(i+1) + " " + leaves(o, packs[i], "+")
	}
	word := worksheet.Either(v.Choice("by") == "feet", "foot", "gap")
	words := []string{Upper(word), word, word, word, word, word, word, word}
	pack := leaves(o, main, "+")
	switch {
	case n == 0:
		o.Head("No shim needed", nil)
		o.Fact(worksheet.Either(lift == Unread, Unread+" is low", "low by "+lift+", near enough"), nil)
		return
	case v.Choice("by") == "edge":
		under := strings.TrimSuffix(strings.TrimPrefix(places[big].name, "the "), " end")
		under = worksheet.Either(under == "left" || under == "right", " under the "+under, strings.TrimPrefix(under, "place"))
		o.Head(pack, nil)
		o.Head(pack+under, nil)
		o.Head(leaves(o, main, " + ")+under, nil)
	case len(places) == 1:
		o.Head(pack, nil)
		o.Head(leaves(o, main, " + "), nil)
	case n == 1:
		in := worksheet.Either(word == "foot", " under ", " in ")
		o.Head(pack+" "+word+" "+strconv.Itoa(big+1), nil)
		o.Head(pack+in+word+" "+strconv.Itoa(big+1), nil)
	default:
		o.Head("{0} packs", nil, float64(n))
		o.Head(Upper(word)+" "+strconv.Itoa(big+1)+" "+pack+", {0} more", nil, float64(n-1))
		o.Head(said, words)
	}
	over := main.Over(units.FromInches(places[big].lift))
	off := unitless(o.Read("reckoned", abs(over).Inches(), "in"))
	fact := worksheet.Either(over < 0, " short", " over")
	switch {
	case short && off == Unread: // another place's pack
		o.Fact("▲ no closer pack in the drawer", nil)
	case short:
		o.Fact("▲ "+off+fact+": the drawer has no closer", nil)
	case off == Unread:
		o.Fact("exact", nil)
	default:
		o.Fact("pack "+off+fact, nil)
	}
	o.Fact("lift "+lift, nil)
	if stay != "" {
		feet := worksheet.Either(len(places)-n > 1, "feet"+stay+" stay", "foot"+stay+" stays")
		o.Fact(worksheet.Either(v.Choice("by") == "feet", feet, ""), nil)
	} else if len(main.Leaves) > 1 {
		o.Fact("{0} leaves", nil, float64(len(main.Leaves)))
	}
}

// leaves writes a pack as its leaves are marked, without their unit: .010 has its three places.
func leaves(o *worksheet.Out, p Pack, between string) string {
	all := bareLeaves(o, p)
	for i, s := range all {
		if o.System != units.MetricSystem && s[0] == '.' && len(s) < 4 {
			all[i] = (s + "00")[:4]
		}
	}
	return strings.Join(all, between)
}

func bareLeaves(o *worksheet.Out, p Pack) []string {
	all := make([]string, len(p.Leaves))
	for i, l := range p.Leaves {
		all[i] = worksheet.Either(o.System == units.MetricSystem, o.Dec(l.MM(), 4), noughtless(o.Dec(l.Inches(), 5)))
	}
	return all
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

// at is a place's x, or its name.
func (p *place) at(o *worksheet.Out) string {
	return worksheet.Either(p.counted, p.name, coordinate(o, p.x, p.hasX))
}

func coordinate(o *worksheet.Out, x float64, has bool) string {
	return worksheet.Either(has, Long(o, x), "")
}

// packText writes a pack as its leaves are marked: ".01 + .002 in".
func packText(o *worksheet.Out, p Pack) string {
	if len(p.Leaves) == 0 {
		return "none"
	}
	return strings.Join(bareLeaves(o, p), " + ") + worksheet.Either(o.System == units.MetricSystem, " mm", " in")
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
	x, counted, f := Stations(v, "readings", "")
	if f != nil {
		return nil, f
	}
	for i := range x {
		b, _ := v.Cell("readings", i, 2, "in")
		r.X, r.Y = append(r.X, x[i]), append(r.Y, way*b)
	}
	for _, key := range [...]string{"pivot", "under"} {
		if counted && v.Has(key) {
			return nil, v.Refuse(key, "it is a distance, and the readings have none. Type where they were taken.")
		}
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
	l.counted = counted
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
	o.SetIf(!counted, "slopex in/in", l.Slope)
	o.Set("spread", l.Shape.span(l.Places), "in")
	o.Line(&tiltEndsStep, []string{FullBare(o, l.Places[len(l.Places)-1].Mid()), FullBare(o, l.Places[0].Mid()),
		Full(o, l.T)})
	o.Line(&liftShimStep, []string{FullBare(o, l.T), Full(o, lift)}, high-low, pivot, under)
	if lift < -hair && math.Abs(l.T) > r.Noise.Grad/2 {
		o.Caution("The edge at " + Long(o, under) + " is the high one: a shim there makes it worse. The shim goes " +
			"under the other edge, at " + Long(o, pivot) + ".")
		o.Fact("▲ the other edge than named", nil)
		under = pivot
	}
	o.CautionIf(l.Shape.Form == Spot, "One place stands off its neighbours, which agree: a chip or a burr first. "+
		"Wipe it and read it again.")
	if math.Abs(l.T) < r.Noise.Grad-hair { // less than the needle shows: not ordered
		lift = 0
		o.Note("The ends read less than a graduation apart: no shim is reckoned from that.")
	}
	return []place{{x: under, hasX: true, lift: math.Abs(lift), name: l.name(o, under), counted: counted}}, nil
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
		x, at := v.Cell("readings", i, 0, "in")
		y, set := v.Cell("readings", i, 1, "in")
		z, _ := v.Cell("readings", i, 2, "in")
		if !set || !at {
			return nil, v.Refuse("readings", "row "+strconv.Itoa(i+1)+" has no "+worksheet.Either(at, "y", "x")+", and feet need both. Fill it in, or choose readings along a line.")
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
