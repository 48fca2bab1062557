package weigh

import (
	"strconv"

	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet { return []*worksheet.Sheet{weighSheet, slingSheet, eyeSheet()} }

var weighSheet = &worksheet.Sheet{
	Name: "weigh", Title: "Weight and balance", Question: "What does it weigh, and where does it balance?", Group: "lift",
	About: []string{
		"A part made up of simple bodies, with holes and pockets cut out, gives its weight and its centre of gravity.",
		"Each row is a body. X, Y and Z place the middle of the face it stands on; its height runs along its axis from there. Along z, size A runs along x and B along y; along x, A along y and B along z; along y, A along x and B along z.",
		"Rows are taken in order: a cut takes out only metal of the rows above it, and only once; a body that stands in " +
			"another counts once.",
		"Castings come out heavier than their drawing. For lifting reckon with the weight that has the allowance on it, and weigh the part where it is anywhere near a limit.",
	},
	Drawing: "weigh",
	Inputs: []worksheet.Input{
		{Key: "metal", Label: "Metal", Kind: worksheet.Choice, Default: "grey", Options: metalOptions(worksheet.Option{Key: "own", Label: "My own density"}), Help: "What the part is made of. A row may name another."},
		{Key: "parts", Label: "Bodies and holes", Ask: "What shape?", Box: "body", Kind: worksheet.Table, Required: true, MinRows: 1, MaxRows: 60,
			Help: "One row each: add or cut, shape, sizes A, B, C, place X, Y, Z, axis, metal. What is not needed stays empty.", Example: "add, box, 12, 10, 1.5; cut, rod, 4, , 1.5, 3",
			Columns: []worksheet.Column{
				{Key: "do", Label: "Add or cut", Kind: worksheet.Choice, Options: []worksheet.Option{{Key: "add", Label: "Add"}, {Key: "cut", Label: "Cut"}}},
				{Key: "shape", Label: "Shape", Kind: worksheet.Choice, Options: shapeOptions()},
				{Key: "a", Label: "A", Kind: worksheet.Length, Min: "0.001 in", Max: "400 in"},
				{Key: "b", Label: "B", Kind: worksheet.Length, Min: "0 in", Max: "400 in", Optional: true},
				{Key: "c", Label: "C", Kind: worksheet.Length, Min: "0 in", Max: "400 in", Optional: true},
				{Key: "x", Label: "X", Kind: worksheet.Length, Min: "-1000 in", Max: "1000 in", Optional: true},
				{Key: "y", Label: "Y", Kind: worksheet.Length, Min: "-1000 in", Max: "1000 in", Optional: true},
				{Key: "z", Label: "Z", Kind: worksheet.Length, Min: "-1000 in", Max: "1000 in", Optional: true},
				{Key: "axis", Label: "Axis", Kind: worksheet.Choice, Optional: true, Options: []worksheet.Option{
					{Key: "z", Label: "+z"}, {Key: "x", Label: "+x"}, {Key: "y", Label: "+y"}, {Key: "-z", Label: "down z"}, {Key: "-x", Label: "down x"}, {Key: "-y", Label: "down y"}}},
				{Key: "metal", Label: "Metal", Kind: worksheet.Choice, Optional: true, Options: metalOptions()},
			}},
		{Key: "density", Label: "Own density", Ask: "How dense?", Box: "own density", Kind: worksheet.Density, Section: "Fine points", Example: "0.26", Min: "0.001 lb/in3", Max: "1 lb/in3", Help: "Used when the metal is 'own'."},
		{Key: "allow", Label: "Allowance for lifting", Box: "allowance", Kind: worksheet.Percent, Section: "Fine points", Default: "10", Min: "0", Max: "100", Help: "What a casting may weigh over its reckoned weight."},
		{Key: "scale", Label: "Weight on a scale", Ask: "Scale says?", Box: "scale", Kind: worksheet.Mass, Section: "Fine points", Example: "180 lb", Min: "0.01 lb", Max: "1000000 lb", Help: "If it has been weighed. The scale then counts, and the difference shows."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "weight", Label: "Weight", Kind: worksheet.Mass, Main: true, Dial: "weight"},
		{Key: "lift", Label: "Reckon for lifting", Kind: worksheet.Mass, Main: true, Dial: "lift"},
		{Key: "cgx", Label: "Balance, X", Kind: worksheet.Length, Main: true,
			Digits: worksheet.Digits{Inch: 3, Metric: 2}, Dial: "balance"},
		{Key: "cgy", Label: "Balance, Y", Kind: worksheet.Length, Main: true,
			Digits: worksheet.Digits{Inch: 3, Metric: 2}, Dial: "balance"},
		{Key: "cgz", Label: "Balance, Z", Kind: worksheet.Length, Main: true,
			Digits: worksheet.Digits{Inch: 3, Metric: 2}, Dial: "balance"},
		{Key: "volume", Label: "Volume", Kind: worksheet.Volume, Dial: "three"},
		{Key: "over", Label: "Scale over reckoned", Kind: worksheet.Percent, Dial: "percent"},
		{Key: "bodies", Label: "Body by body", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "body", Label: "Body", Kind: worksheet.Text}, {Key: "volume", Label: "Volume", Kind: worksheet.Volume}, {Key: "weight", Label: "Weight", Kind: worksheet.Mass},
			{Key: "x", Label: "X", Kind: worksheet.Length}, {Key: "y", Label: "Y", Kind: worksheet.Length}, {Key: "z", Label: "Z", Kind: worksheet.Length}}},
		{Key: "boxes", Label: "Extent of each", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "body", Label: "Body", Kind: worksheet.Text},
			{Key: "x1", Label: "X from", Kind: worksheet.Length}, {Key: "x2", Label: "X to", Kind: worksheet.Length},
			{Key: "y1", Label: "Y from", Kind: worksheet.Length}, {Key: "y2", Label: "Y to", Kind: worksheet.Length},
			{Key: "z1", Label: "Z from", Kind: worksheet.Length}, {Key: "z2", Label: "Z to", Kind: worksheet.Length}}},
	},
	Sources: []worksheet.Source{
		{Key: "MH", Title: "Machinery's Handbook, 31st edition: volumes of solids, center of gravity, densities of metals"},
		{Key: "statics", Title: "Statics: moments of the parts about each axis"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "metal", Text: "grey"}, {Key: "parts", Text: "add, box, 12in, 10in, 1.5in, 6in, 5in; cut, rod, 4in, , 1.5in, 9in, 5in"}},
	Compute: computeWeigh,
}

func metalOptions(others ...worksheet.Option) []worksheet.Option {
	option := func(m Metal) worksheet.Option { return worksheet.Option{Key: m.Key, Label: m.Label} }
	return worksheet.OptionsOf(Metals[:], option, others...)
}

func shapeOptions() []worksheet.Option {
	option := func(n need) worksheet.Option { return worksheet.Option{Key: string(n.shape), Label: n.label} }
	return worksheet.OptionsOf(needs[:], option)
}

// bodies reads the table.
func bodies(v *worksheet.Values) ([]Body, *worksheet.InputError) {
	main, ok := Density(v.Choice("metal"))
	if !ok {
		if !v.Has("density") {
			return nil, v.Refuse("density", "it is missing. Type it like 0.26 lb/in3, or choose a metal.")
		}
		main = v.As("density", "lb/in3")
	}
	var out []Body
	for i := range v.Rows("parts") {
		b := Body{Shape: Shape(v.CellText("parts", i, 1)), Void: v.CellText("parts", i, 0) == "cut", Axis: Axis(v.CellText("parts", i, 8)), Density: main}
		b.A, _ = v.Cell("parts", i, 2, "in")
		b.B, _ = v.Cell("parts", i, 3, "in")
		b.C, _ = v.Cell("parts", i, 4, "in")
		b.X, _ = v.Cell("parts", i, 5, "in")
		b.Y, _ = v.Cell("parts", i, 6, "in")
		b.Z, _ = v.Cell("parts", i, 7, "in")
		if d, ok := Density(v.CellText("parts", i, 9)); ok {
			b.Density = d
		}
		if says := b.wrong(); says != "" {
			return nil, v.Refuse("parts", "row "+strconv.Itoa(i+1)+": "+says)
		}
		out = append(out, b)
	}
	return out, nil
}

// wrong says what a body lacks, or "".
func (s Body) wrong() string {
	for _, n := range needs {
		if n.shape != s.Shape {
			continue
		}
		switch {
		case n.c && !(s.C > 0):
			return "size C, the height, is missing. Type it in the third size."
		case n.b && !n.open && !(s.B > 0):
			return "size B is missing. Type it in the second size."
		}
	}
	switch {
	case s.Shape == Tube && s.B >= s.A:
		return "the bore B is not smaller than the outside A. Check both."
	case s.Shape == Ring && s.B > s.A:
		return "the bar B is thicker than the ring A is wide. Check both."
	}
	return ""
}

// Worked lines of computeWeigh.
var (
	volumeStep = worksheet.Step{What: "Volume",
		Formula: "metal added row by row, less what each cut finds there", Numbers: "", Result: "{in3}", Source: "MH"}
	weightStep        = worksheet.Step{What: "Weight", Formula: "sum of density x volume", Numbers: "", Result: "{lb}", Source: "MH"}
	balanceXStep      = worksheet.Step{What: "Balance, X", Formula: "sum of weight x X / weight", Numbers: "", Result: "{in}", Source: "statics"}
	balanceYStep      = worksheet.Step{What: "Balance, Y", Formula: "sum of weight x Y / weight", Numbers: "", Result: "{in}", Source: "statics"}
	balanceZStep      = worksheet.Step{What: "Balance, Z", Formula: "sum of weight x Z / weight", Numbers: "", Result: "{in}", Source: "statics"}
	weightLiftingStep = worksheet.Step{What: "Weight for lifting", Formula: "weight + allowance", Numbers: "{lb} + {1}%", Result: "{lb}", Source: "practice"}
)

func computeWeigh(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	list, f := bodies(v)
	if f != nil {
		return f
	}
	t, bad := Weigh(list)
	if bad != nil {
		text := v.Label("parts") + ": " + bad.Message
		if bad.Field == "solid" {
			o.HeadStop("Nothing there to cut from", nil)
		}
		o.HeadStop("More cut out than there is", nil)
		o.FactStop("check the sizes, and which rows are cut", nil)
		o.Stop("More is cut out than there is.", text)
		if len(t.Bodies) == len(list) {
			tables(o, list, t)
		}
		return nil
	}
	const light = -10 // %, beyond which the scale is not believed
	lift, over := t.Weight*(1+v.Num("allow")/100), 0.0
	if v.Has("scale") {
		weight := v.As("scale", "lb")
		if weight > 10*t.Weight || t.Weight > 10*weight {
			return v.Refuse("scale", "scale and reckoning are more than ten times apart. Check the sizes, their units and the scale.")
		}
		over = 100 * (weight/t.Weight - 1)
		o.Set("over", over, "%")
		o.CautionIf(over > 15, "The scale reads {percent %} more than was reckoned. Look for a body that was left out, a "+
			"core that moved, or a wrong size.", over)
		if over >= light { // the heavier of the two
			lift = max(weight, t.Weight)
		} else {
			o.Hurt(o.Fill("The scale reads {percent %} less than was reckoned. Did hoist or blocking carry part of it, or "+
				"is a size wrong? Lift for the heavier until that is cleared.", nil, -over))
		}
	}
	o.SetAll("weight lb, lift lb, volume in3", t.Weight, lift, t.Volume)
	for i, key := range []string{"cgx", "cgy", "cgz"} {
		o.Set(key, t.Centre[i], "in")
	}
	says := o.Fill("{lift lb} to lift: it weighs {weight lb}", nil, lift, t.Weight)
	switch {
	case over < light:
		says = o.Fill("{lift lb} to lift, by the reckoning: the scale reads {percent %} less", nil, lift, -over)
	case v.Has("scale") && over < 0:
		says = o.Fill("{lift lb} to lift, as reckoned; the scale reads {percent %} less", nil, lift, -over)
	case v.Has("scale"):
		says = o.Fill("{lift lb} to lift, by the scale; {weight lb} reckoned", nil, lift, t.Weight)
	}
	o.SetText("verdict", o.Fill("{s}. It balances at X {balance in}, Y {balance in}, Z {balance in}.", []string{says},
		t.Centre[0], t.Centre[1], t.Centre[2]))
	if text := doubts(v, o, list, t); text != "" {
		o.SetText("verdict", text+" As typed: "+says+".")
	} else {
		weighFirst(v, o, t, lift, over, light)
	}
	tables(o, list, t)
	o.Line(&volumeStep, nil, t.Volume)
	o.Line(&weightStep, nil, t.Weight)
	o.Line(&balanceXStep, nil, t.Centre[0])
	o.Line(&balanceYStep, nil, t.Centre[1])
	o.Line(&balanceZStep, nil, t.Centre[2])
	if !v.Has("scale") || over < light {
		o.Line(&weightLiftingStep, nil, t.Weight, v.Num("allow"), lift)
	}
	for _, i := range t.Partly {
		p := &t.Bodies[i]
		what := worksheet.Either(list[i].Void, " takes off only {three in3} of its {three in3}: the rest lies outside the "+
			"metal that was there.",
			" adds only {three in3} of its {three in3}: the rest stands in bodies before it and counts once.")
		o.Note("Row " + strconv.Itoa(i+1) + o.Fill(what, nil, p.Volume, p.Own))
	}
	o.NoteIf(len(t.Partly) > 0, "Where bodies meet, what they have in common was added up in thin slices, to about a "+
		"thousandth of it.")
	o.NoteIf(!v.Given("metal") && !v.Has("scale"), "Grey iron was reckoned, as no metal was named.")
	o.Note("A reckoned weight is good to about 10% for a casting. Weigh it before a lift that comes near any limit, and " +
		"let a qualified person decide the lift.")
	return nil
}

func tables(o *worksheet.Out, list []Body, t Total) {
	var rows, boxes [][]worksheet.Cell
	for i, p := range t.Bodies {
		name := strconv.Itoa(i+1) + " " + string(list[i].Shape)
		sign := 1.0
		if list[i].Void {
			name, sign = name+", cut", -1
		}
		rows = append(rows, worksheet.Cells("svwiii", []string{name},
			sign*p.Volume, sign*p.Weight, p.Centre[0], p.Centre[1], p.Centre[2]))
		boxes = append(boxes, worksheet.Cells("siiiiii", []string{name},
			p.Low[0], p.Top[0], p.Low[1], p.Top[1], p.Low[2], p.Top[2]))
	}
	o.SetTable("bodies", rows)
	o.SetTable("boxes", boxes)
}
