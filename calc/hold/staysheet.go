package hold

import (
	"math"

	"datumbook/calc/joint"
	"datumbook/calc/worksheet"
)

const (
	cutPart  = "Cutting force"
	partPart = "The part"
	zeroPart = "Another zero"
)

func wayOptions() []worksheet.Option {
	option := func(w Way) worksheet.Option { return worksheet.Option{Key: w.Key, Label: w.Label} }
	return append([]worksheet.Option{{Key: "any", Label: "any way, the worst counts"}}, worksheet.OptionsOf(Ways[:], option)...)
}

func staySheet() *worksheet.Sheet {
	inputs := []worksheet.Input{
		{Key: "studs", Label: "Studs", Kind: worksheet.Table, Required: true, MinRows: 2, MaxRows: 40,
			Example: "-4,5; 4,5", Ask: "Which studs?", Box: "stud",
			Help: "Where each stud stands on the plate: x along it, y up it, from the middle of the lower edge of " +
				"what bears on it, or from any one zero. At least two.",
			Columns: []worksheet.Column{{Key: "x", Label: "x", Kind: worksheet.Length, Min: "-200 in", Max: "200 in"}, {Key: "y", Label: "y", Kind: worksheet.Length, Min: "-200 in", Max: "200 in"}}},
		{Key: "width", Label: "Bearing face, width", Kind: worksheet.Length, Example: "12", Min: "0.1 in",
			Max: "200 in", Ask: "How wide is the face?", Box: "face wide",
			Help: "Of what touches the plate. Zero is then the middle of its lower edge."},
		{Key: "height", Label: "Bearing face, height", Kind: worksheet.Length, Example: "8", Min: "0.1 in",
			Max: "200 in", Ask: "How high is the face?", Box: "face high",
			Help: "Of what touches the plate. Empty: as far above the studs as below them."},
		{Key: "left", Label: "Bears from x", Kind: worksheet.Length, Example: "-6", Min: "-200 in", Max: "200 in",
			Section: zeroPart, Ask: "Left end at?", Box: "left end",
			Help: "Left edge of what touches the plate, in the studs' zero. Empty: half the width."},
		{Key: "right", Label: "to x", Kind: worksheet.Length, Example: "6", Min: "-200 in", Max: "200 in",
			Section: zeroPart, Ask: "Right end at?", Box: "right end", Help: "Right edge of what touches the plate."},
		{Key: "bottom", Label: "and from y", Kind: worksheet.Length, Example: "0", Min: "-200 in", Max: "200 in",
			Section: zeroPart, Ask: "Lower edge at?", Box: "lower edge",
			Help: "Lower edge of what touches the plate. Empty: 0."},
		{Key: "top", Label: "to y", Kind: worksheet.Length, Example: "8", Min: "-200 in", Max: "200 in",
			Section: zeroPart, Ask: "Upper edge at?", Box: "upper edge", Help: "Upper edge of what touches the plate."},
		{Key: "weight", Label: "Weight", Kind: worksheet.Mass, Required: true, Example: "180 lb", Min: "0 lb",
			Max: "20000 lb", Section: partPart, Ask: "What weight?", Box: "weight",
			Help: "Weight of the part. The worksheet 'weigh' finds it."},
		{Key: "cgx", Label: "Its centre of gravity at x", Kind: worksheet.Length, Section: partPart, Example: "0",
			Min: "-200 in", Max: "200 in", Help: "Along the plate, in the studs' zero.", Default: "0",
			Ask: "Off the middle by?", Box: "off middle"},
		{Key: "cgy", Label: "at y", Kind: worksheet.Length, Section: partPart, Example: "4", Min: "-200 in",
			Max: "200 in", Ask: "Balances how high?", Box: "balance up",
			Help: "Up the plate, in the studs' zero. Empty: half way up the bearing face."},
		{Key: "cgz", Label: "out from the plate", Kind: worksheet.Length, Section: partPart, Example: "3.5",
			Min: "0 in", Max: "200 in", Required: true, Ask: "Balances how far out?", Box: "balance out",
			Help: "How far the centre of gravity stands off the plate's face."},
		{Key: "ledge", Box: "stop under", Label: "A stop beneath", Kind: worksheet.Flag, Default: "no", Section: partPart,
			Help: "Yes where a ledge, parallel or jack under the part carries its weight, so that it is not left to friction."},
		{Key: "sides", Box: "side stops", Label: "Stops at both sides", Kind: worksheet.Flag, Default: "no", Section: partPart,
			Help: "Yes where stops or keys take what pushes the part sideways along the plate."},
		{Key: "force", Label: "Cutting force", Kind: worksheet.Force, Example: "250 lbf", Min: "0 lbf",
			Max: "50000 lbf", Section: cutPart, Ask: "How hard a cut?", Box: "cut",
			Help: "The worksheet 'power' gives it as force. Take twice that for a dull cutter. Empty: none."},
		{Key: "way", Label: "It pushes the part", Kind: worksheet.Choice, Default: "any", Options: wayOptions(), Section: cutPart,
			Help: "A face mill pushes every way as it turns: leave it at 'any'."},
		{Key: "fx", Label: "It acts at x", Kind: worksheet.Length, Section: cutPart, Example: "5", Min: "-200 in",
			Max: "200 in", Box: "cut at X", Help: "Empty: the corner of the bearing face that is worst."},
		{Key: "fy", Label: "at y", Kind: worksheet.Length, Section: cutPart, Example: "8", Min: "-200 in",
			Max: "200 in", Box: "cut at Y", Help: "Empty: the corner of the bearing face that is worst."},
		{Key: "fz", Label: "out from the plate", Kind: worksheet.Length, Section: cutPart, Example: "7", Min: "0 in",
			Max: "200 in", Box: "cut out",
			Help: "Distance of the cut from the plate's face. Empty: twice that of the centre of gravity."},
	}
	inputs = append(inputs, asked(jointInputs())...)
	inputs = append(inputs,
		worksheet.Input{Key: "mu", Label: "Friction of the faces", Kind: worksheet.Number, Default: "0.12", Min: "0.02", Max: "0.8", Section: finePart,
			Help: "0.10 with oil to be seen, 0.12 wiped with a rag, 0.18 degreased and dry."},
		worksheet.Input{Key: "wanted", Label: "Margin wanted", Kind: worksheet.Number, Default: "2.5", Min: "1", Max: "20", Section: finePart,
			Help: "On slip and tipping. 2.5 is usual; more for an interrupted cut."},
		worksheet.Input{Key: "thick", Label: "Lug or flange thickness", Kind: worksheet.Length, Lately: "stock", Example: "3/4", Min: "0.05 in", Max: "20 in", Section: finePart,
			Help: "Of the casting at the stud: for landing on the studs, their length, settling, and the stud as a " +
				"pin in its hole."},
		worksheet.Input{Key: "su", Label: "Strength of the casting", Kind: worksheet.Stress, Default: "20 ksi", Min: "2 ksi", Max: "200 ksi", Section: finePart,
			Help: "Tensile strength. An old iron casting of unknown class: 20 ksi."})
	return &worksheet.Sheet{
		Name: "hold", Title: "Hung on an angle plate", Question: "Will it stay?", Group: "hold",
		About: []string{
			"A part held against an upright plate by studs stays there by friction: the least tension the studs may have, times the friction of the faces, against weight and cutting force together. The worksheet looks at slipping, turning about the studs, tipping about every edge, and the tension all this adds to a stud.",
			"It names the case that comes first and says what would raise it. Shear of the studs is only the second line: studs stand in clearance holes and one of them would carry everything first.",
		},
		Drawing: "hold",
		Inputs:  inputs,
		Results: append(stayResults, jointResults...),
		Sources: append(append([]worksheet.Source{
			{Key: "RP-1228", Title: "NASA Reference Publication 1228 Fastener Design Manual, 1990: bolt groups, shear of fasteners"},
			{Key: "statics", Title: "Statics of a rigid part on an edge"},
		}, holeSources...), boltSources...),
		Example: []worksheet.Pair{{Key: "studs", Text: "-4 in, 5 in; 4 in, 5 in"}, {Key: "width", Text: "12 in"}, {Key: "height",
			Text: "8 in"}, {Key: "weight", Text: "180 lb"}, {Key: "cgy", Text: "4 in"}, {Key: "cgz", Text: "3.5 in"}, {Key: "force", Text: "100 lbf"}, {Key: "way", Text: "left"},
			{Key: "fx", Text: "0 in"}, {Key: "fy", Text: "5 in"}, {Key: "fz", Text: "6 in"}, {Key: "thread",
				Text: "5/8-11"}, {Key: "grade", Text: "sae5"},
			{Key: "ledge", Text: "yes"}, {Key: "into", Text: "blind"}, {Key: "depth", Text: "13/16 in"},
			{Key: "to", Text: "shoulder"}, {Key: "tap", Text: "bottoming"}, {Key: "csk", Text: "11/16 in"},
			{Key: "thick", Text: "1-1/4 in"}, {Key: "washer", Text: "wide"}},
		Half:    stayHalf,
		Compute: stayCompute,
	}
}

var stayResults = []worksheet.Result{
	worksheet.Verdict,
	{Key: "stays", Label: "It stays", Kind: worksheet.Flag, Judges: true},
	{Key: "ruling", Label: "What lets go first", Kind: worksheet.Text, Main: true},
	{Key: "margin", Label: "Its margin", Kind: worksheet.Number, Main: true, Dial: "margin",
		Digits: worksheet.Digits{Inch: 2, Metric: 2}},
	{Key: "ratio", Label: "Margin over margin wanted", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}, Help: "One or more is enough."},
	{Key: "slip", Label: "Margin on slipping", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2,
		Metric: 2}, Main: true, Dial: "margin"},
	{Key: "turn", Label: "Margin on turning at the worst stud", Kind: worksheet.Number,
		Digits: worksheet.Digits{Inch: 2, Metric: 2}, Main: true, Dial: "margin"},
	{Key: "tip", Label: "Margin on tipping", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2},
		Main: true, Dial: "margin"},
	{Key: "edge", Label: "Tips about", Kind: worksheet.Text},
	{Key: "boltroom", Label: "Proof load over the most tension", Kind: worksheet.Number,
		Digits: worksheet.Digits{Inch: 2, Metric: 2}, Main: true, Plan: true, Dial: "margin"},
	{Key: "pin", Label: "One stud as a pin, if it slipped", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}},
	{Key: "bearing", Label: "The hole's bearing, if it slipped", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}},
	{Key: "raise", Label: "What would raise it", Kind: worksheet.Lines},
	{Key: "worstway", Label: "Worst direction of the cutting force", Kind: worksheet.Text},
	{Key: "pull", Label: "Pull along the face", Kind: worksheet.Force},
	{Key: "grip", Label: "Friction to count on", Kind: worksheet.Force},
	{Key: "twist", Label: "Twist about the studs' middle", Kind: worksheet.Torque, Units: worksheet.Units{Inch: "lbf-in"}},
	{Key: "tipping", Label: "Tipping moment", Kind: worksheet.Torque, Units: worksheet.Units{Inch: "lbf-in"}},
	{Key: "holding", Label: "Holding moment", Kind: worksheet.Torque, Units: worksheet.Units{Inch: "lbf-in"}},
	{Key: "torque", Label: "Torque", Kind: worksheet.Torque, Main: true, Plan: true, Dial: "wrench"},
	{Key: "preload", Label: "Tension aimed at, each stud", Kind: worksheet.Force, Dial: "pull"},
	{Key: "least", Label: "Tension to count on", Kind: worksheet.Force, Dial: "grip"},
	{Key: "most", Label: "Tension it may come to", Kind: worksheet.Force, Dial: "push"},
	{Key: "added", Label: "Tension added by tipping and pull", Kind: worksheet.Force, Dial: "push"},
	{Key: "landing", Label: "Bending of a stud the part lands on", Kind: worksheet.Stress, Dial: "three"},
	{Key: "long", Label: "Length of the studs", Kind: worksheet.Length, Plan: true, Dial: "need"},
	{Key: "steps", Label: "Steps", Kind: worksheet.Lines, Plan: true},
	{Key: "proofload", Label: "Proof load", Kind: worksheet.Force},
	{Key: "each", Label: "Each stud", Kind: worksheet.Table, Columns: []worksheet.Column{
		{Key: "x", Label: "x", Kind: worksheet.Length}, {Key: "y", Label: "y", Kind: worksheet.Length},
		{Key: "shear", Label: "In the plane", Kind: worksheet.Force}, {Key: "tension", Label: "Added tension", Kind: worksheet.Force}}},
	{Key: "left", Label: "Bears from x", Kind: worksheet.Length}, {Key: "right", Label: "to x",
		Kind: worksheet.Length}, {Key: "bottom", Label: "and from y", Kind: worksheet.Length}, {Key: "top",
		Label: "to y", Kind: worksheet.Length}, {Key: "middle", Label: "Centre of gravity at y", Kind: worksheet.Length},
	{Key: "pointx", Label: "Force taken at x", Kind: worksheet.Length}, {Key: "pointy", Label: "at y", Kind: worksheet.Length}, {Key: "pointz", Label: "out from the plate", Kind: worksheet.Length},
}

// setup is a hung part: its joint, and the cutting force with the ways and places it may act.
type setup struct {
	job    Job
	joint  *tightened
	force  float64
	ways   []int // of Ways
	xs, ys []float64
	z      float64
	wanted float64
	lug    float64 // thickness of the lugs, 0 where it was not said
}

// read reads the job.
func (s *setup) read(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	c, f := face(v, o)
	if f != nil {
		return f
	}
	j := Job{Mu: v.Num("mu"), OnLedge: v.Flag("ledge"), SideStops: v.Flag("sides"), Contact: c}
	for i := range v.Rows("studs") {
		x, _ := v.Cell("studs", i, 0, "in")
		y, _ := v.Cell("studs", i, 1, "in")
		if x < c.Left || x > c.Right || y < c.Bottom || y > c.Top {
			return v.Refuse("studs", "a stud stands outside the face the part bears on, where tightening it bends "+
				"the part instead of holding it. Check the studs and the edges.")
		}
		for _, s := range j.Studs {
			if math.Hypot(x-s[0], y-s[1]) < .1 {
				return v.Refuse("studs", "two studs stand in one place. Give each its own.")
			}
		}
		j.Studs = append(j.Studs, [2]float64{x, y})
	}
	middle := v.Or("cgy", "in", (c.Bottom+c.Top)/2)
	o.NoteIf(!v.Has("cgy"), "Its centre of gravity is taken half way up the bearing face.")
	j.Loads = []Load{{Vec{0, -v.As("weight", "lb"), 0}, Vec{v.In("cgx"), middle, v.In("cgz")}}}
	o.SetAll("left in, right in, bottom in, top in, middle in", c.Left, c.Right, c.Bottom, c.Top, middle)
	askInside(v, o, "cgx", c.Left, c.Right)
	askInside(v, o, "cgy", c.Bottom, c.Top)
	s.job, s.force, s.wanted = j, v.As("force", "lbf"), v.Num("wanted")
	s.xs, s.ys = []float64{c.Left, c.Right}, []float64{c.Bottom, c.Top}
	if v.Has("fx") {
		s.xs = []float64{v.In("fx")}
	}
	if v.Has("fy") {
		s.ys = []float64{v.In("fy")}
	}
	s.z = v.Or("fz", "in", 2*v.In("cgz"))
	for i, w := range Ways {
		if way := v.Choice("way"); way == "any" || way == w.Key {
			s.ways = append(s.ways, i)
		}
	}
	return nil
}

// face reads what bears on the plate: by its edges in the studs' zero, or by its size where zero is
// the middle of its lower edge.
func face(v *worksheet.Values, o *worksheet.Out) (c Contact, f *worksheet.InputError) {
	o.AskUnit(v, "width", .5, 72)
	o.AskUnit(v, "height", .5, 72)
	wide := v.In("width")
	c = Contact{Left: -wide / 2, Right: wide / 2, Bottom: v.In("bottom")}
	switch {
	case v.Has("left") && v.Has("right"):
		c.Left, c.Right = v.In("left"), v.In("right")
	case !v.Has("width"):
		return c, v.Refuse("width", "it is missing. Give how wide the face that touches the plate is.")
	case v.Has("left"):
		c.Left, c.Right = v.In("left"), v.In("left")+wide
	case v.Has("right"):
		c.Left, c.Right = v.In("right")-wide, v.In("right")
	}
	switch {
	case v.Has("top"):
		c.Top = v.In("top")
	case v.Has("height"):
		c.Top = c.Bottom + v.In("height")
	default:
		low, high := math.Inf(1), math.Inf(-1)
		for i := range v.Rows("studs") {
			y, _ := v.Cell("studs", i, 1, "in")
			low, high = min(low, y), max(high, y)
		}
		c.Top = high + low - c.Bottom
		o.Note("The bearing face is taken to reach as far above the studs as below them.")
	}
	switch least := .1; {
	case c.Right-c.Left < least:
		return c, v.Refuse(worksheet.Either(v.Has("width"), "width", "right"),
			"the face the part bears on has no size. Give its left and right at least 0.1 in apart, or its width.")
	case c.Top-c.Bottom < least:
		return c, v.Refuse(worksheet.Either(v.Has("top"), "top", "height"),
			"the face the part bears on has no size. Give its bottom and top at least 0.1 in apart, or its height.")
	}
	return c, nil
}

// outcome is a setup reckoned: the worst of all ways and places of the cutting force.
type outcome struct {
	Held
	joint.Result
	job   Job
	way   int
	ratio float64 // least margin over what is wanted of it
	which Case
	bends bool // landed on its studs it bends them
}

// try reckons the setup with a joint.
func (s *setup) try(in *joint.Input) (*outcome, *worksheet.InputError) {
	r, f := in.Make()
	if f != nil {
		return nil, f
	}
	return s.with(in, &r), nil
}

// with reckons the setup with a joint that was made: the worst of all ways and places of the cut.
func (s *setup) with(in *joint.Input, r *joint.Result) *outcome {
	n := len(s.job.Studs)
	room := make([]Stud, 2*n)
	t := s.job
	t.Bolt, t.Preload = &in.Bolt, r.Preload
	t.Loads = []Load{s.job.Loads[0], {}}
	worst := &outcome{way: -1}
	worst.Studs = room[:n:n]
	try := Held{Studs: room[n:]}
	var at Load
	for _, way := range s.ways {
		d := Ways[way].Dir
		for _, x := range s.xs {
			for _, y := range s.ys {
				t.Loads[1] = Load{Vec{s.force * d.X, s.force * d.Y, s.force * d.Z}, Vec{x, y, s.z}}
				t.analyse(&try)
				if ratio, which := try.Ratio(s.wanted); worst.way < 0 || ratio < worst.ratio {
					worst.Held, try.Studs = try, worst.Studs
					worst.way, worst.ratio, worst.which, at = way, ratio, which, t.Loads[1]
				}
			}
		}
	}
	t.Loads[1] = at
	worst.job, worst.Result, worst.bends = t, *r, s.landing(&in.Bolt) > in.Bolt.Yield/2
	return worst
}

// margin is the ruling margin.
func (t *outcome) margin() float64 {
	return t.of(t.which)
}

// of is the margin of a case.
func (h *Held) of(c Case) float64 {
	return [...]float64{h.Turn, h.Slip, h.Tip, h.Bolt, math.Inf(1)}[c]
}

// alone reckons the part without a cut, as it hangs when the hoist lets go.
func (t *outcome) alone() Held {
	j := t.job
	j.Loads = j.Loads[:1]
	return j.Analyse()
}

// loads says what the margin is over: the cut, the weight, or both where the weight too is asked of
// the case that comes first.
func (t *outcome) loads(force float64) string {
	j := t.job
	j.Loads = j.Loads[1:]
	h := j.Analyse()
	switch {
	case force == 0:
		return "its weight"
	case math.Abs(h.of(t.which)-t.margin()) <= 1e-9*t.margin():
		return "the cut"
	}
	return "what cut and weight ask"
}

// stays reports whether the joint bears its torque and the part stays with the margin wanted.
func (t *outcome) stays() bool { return t.Over == nil && !t.None() && !t.bends && t.ratio >= 1 }

// ruling names the case that comes first.
func (t *outcome) ruling() string {
	name := caseNames[t.which]
	if t.which == Tips {
		name += " about the " + t.Edge.String() + " edge"
	}
	return name
}
