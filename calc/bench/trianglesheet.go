package bench

import (
	"math"
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

var triangleSheet = worksheet.Sheet{
	Name: "triangle", Title: "Triangle", Question: "What are the other sides and angles?", Group: group, Drawing: "triangle",
	About: []string{
		"Three parts of a triangle, one of them a side, give the rest. Sides are a, b, c; the angle A is across from a, B from b, C from c. For a right triangle C is 90 degrees and two more parts will do: a and b are the legs, c the long side.",
		"Two sides and an angle across from the shorter of them may fit two triangles: both are given.",
	},
	Inputs: []worksheet.Input{
		{Key: "kind", Label: "Kind", Kind: worksheet.Choice, Default: "right", Help: "A right triangle has C at 90 degrees.",
			Options: []worksheet.Option{{Key: "right", Label: "right"}, {Key: "any", Label: "any"}}},
		{Key: "a", Label: "Side a", Kind: worksheet.Length, Box: "a", Example: "3", Min: "0.0001 in", Max: "1000 in", Help: "Across from angle A."},
		{Key: "b", Label: "Side b", Kind: worksheet.Length, Box: "b", Example: "3", Min: "0.0001 in", Max: "1000 in", Help: "Across from angle B."},
		{Key: "c", Label: "Side c", Kind: worksheet.Length, Box: "c", Example: "3", Min: "0.0001 in", Max: "1000 in", Help: "Across from angle C; the long side of a right triangle."},
		{Key: "anga", Label: "Angle A", Kind: worksheet.Angle, Box: "A", Example: "30", Min: "0.001", Max: "179.99", Help: "Between sides b and c."},
		{Key: "angb", Label: "Angle B", Kind: worksheet.Angle, Box: "B", Example: "30", Min: "0.001", Max: "179.99", Help: "Between sides a and c."},
		{Key: "angc", Label: "Angle C", Kind: worksheet.Angle, Box: "C", Example: "30", Min: "0.001", Max: "179.99", Help: "Between sides a and b; not read for a right triangle."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "a", Label: "Side a", Kind: worksheet.Length, Main: true, Dial: "wheel"}, {Key: "b", Label: "Side b",
			Kind: worksheet.Length, Main: true, Dial: "wheel"}, {Key: "c", Label: "Side c", Kind: worksheet.Length,
			Main: true, Dial: "wheel"},
		{Key: "anga", Label: "Angle A", Kind: worksheet.Angle, Main: true, Dial: "sine"}, {Key: "angb",
			Label: "Angle B", Kind: worksheet.Angle, Main: true, Dial: "sine"}, {Key: "angc", Label: "Angle C",
			Kind: worksheet.Angle, Dial: "sine"},
		{Key: "area", Label: "Area", Kind: worksheet.Area},
		{Key: "height", Label: "Height over side c", Kind: worksheet.Length, Dial: "wheel",
			Help: "From the corner C square to side c."},
		{Key: "foot", Label: "From A along c to the foot of that height", Kind: worksheet.Length},
		{Key: "other", Label: "The other triangle", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "part", Label: "Corner", Kind: worksheet.Text}, {Key: "side", Label: "Side", Kind: worksheet.Length}, {Key: "angle", Label: "Angle", Kind: worksheet.Angle}}},
	},
	Sources: []worksheet.Source{srcGeometry, {Key: "OpenStax", Title: "OpenStax Algebra and Trigonometry 2e, sections 10.1 and 10.2: laws of sines and cosines"}},
	Example: []worksheet.Pair{{Key: "a", Text: "3 in"}, {Key: "b", Text: "4 in"}},
	Compute: computeTriangle,
}

var (
	sideKeys  = [3]string{"a", "b", "c"}
	angleKeys = [3]string{"anga", "angb", "angc"}
)

var areaStep = worksheet.Step{What: "Area", Formula: "(1/2) a b sin C", Numbers: "{len} x {len} x sin({4})/2", Result: "{in2}", Source: "geometry"}

func computeTriangle(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	var t Triangle
	given := ""
	for i := range 3 {
		t.Side[i] = v.In(sideKeys[i])
		t.Angle[i] = v.As(angleKeys[i], "deg")
	}
	right := v.Choice("kind") == "right"
	if right {
		if v.Given("angc") && t.Angle[2] != 90 {
			o.HeadStop("C is 90° in a right triangle", nil)
			return v.Refuse("angc", "a right triangle has 90 degrees here. Choose the kind 'any', or leave it empty.")
		}
		t.Angle[2] = 90
		// Legs and long side alone would be three sides: then C follows.
		if t.Side[0] > 0 && t.Side[1] > 0 && t.Side[2] > 0 {
			o.HeadStop("Two sides will do: take one out", nil)
			return v.Refuse("c", "a right triangle is fixed by two sides. Leave one empty, or choose the kind 'any'.")
		}
	}
	for i := range 3 {
		if t.Side[i] > 0 {
			given += o.Fill(", {s} = {len}", []string{sideKeys[i]}, t.Side[i])
		}
		if t.Angle[i] > 0 {
			given += o.Fill(", {s} = {4} deg", []string{string(rune('A' + i))}, t.Angle[i])
		}
	}
	found, err := Solve(t)
	if err != nil {
		at := refused(o, t, err)
		says := "the triangle " + err.Error() + "."
		if err != errThree {
			says = err.Error() + ". Check these parts."
		} else if right {
			says += " The right angle is one of them: give two more, at least one a side."
		} else {
			says += " Give two or three sides and angles more or less."
		}
		return v.Refuse(at, says)
	}
	s := found[0]
	rule := "law of sines: a/sin A = b/sin B = c/sin C"
	switch {
	case t.Side[0] > 0 && t.Side[1] > 0 && t.Side[2] > 0:
		rule = "tan(A/2) = sqrt((s - b)(s - c)/(s(s - a))), s half the sum of the sides"
	case right:
		rule = "c^2 = a^2 + b^2, sin A = a/c, cos A = b/c, tan A = a/b"
	case sidesBeside(t):
		rule = "law of cosines: a^2 = b^2 + c^2 - 2 b c cos A"
	}
	for i := range 3 {
		o.Set(sideKeys[i], s.Side[i], "in")
		o.Set(angleKeys[i], s.Angle[i], "deg")
	}
	o.SetAll("area in2, height in, foot in", s.Area(), s.Side[1]*math.Sin(s.Angle[0]*rad), s.Side[1]*math.Cos(s.Angle[0]*rad))
	all := func(t Triangle) string {
		out := ""
		for i := range 3 {
			out += o.Fill("{s} {wheel in}, {s} {sine deg}", []string{sideKeys[i], string(rune('A' + i))}, t.Side[i],
				t.Angle[i])
			if i < 2 {
				out += "; "
			}
		}
		return out
	}
	verdict := all(s) + "."
	headTriangle(o, t, found)
	if len(found) == 2 {
		verdict = "Two triangles fit. One: " + all(s) + ". The other: " + all(found[1]) + "."
		o.Caution("Two triangles have these parts: see by the drawing which one is meant.")
		worksheet.SetRows(o, "other", found[1].Side[:], func(i int, side float64) []worksheet.Cell {
			return worksheet.Cells("sid", []string{string(rune('A' + i))}, side, found[1].Angle[i])
		})
	}
	o.SetText("verdict", verdict)
	full := ""
	for i := range 3 {
		full += o.Fill("{s} {in}, {s} {4} deg; ", []string{sideKeys[i], string(rune('A' + i))}, s.Side[i], s.Angle[i])
	}
	o.Work("Other parts", rule, given[2:], strings.TrimSuffix(full, "; "), "geometry")
	for i, key := range sideKeys {
		if j, k := (i+1)%3, (i+2)%3; v.Has(sideKeys[j]) || v.Has(sideKeys[k]) {
			o.AskUnit(v, key, .0001, 15*max(v.In(sideKeys[j]), v.In(sideKeys[k])))
		}
	}
	o.Line(&areaStep, nil, s.Side[0], s.Side[1], s.Angle[2], s.Area())
	o.Cite("OpenStax")
	return nil
}

// parts are how the sides and angles of a triangle are told.
var parts = [6]string{"a {=wheel in}", "b {=wheel in}", "c {=wheel in}", "A {sine deg}", "B {sine deg}", "C {sine deg}"}

// part gives a side or an angle by its place in parts.
func (t Triangle) part(i int) float64 {
	if i < 3 {
		return t.Side[i]
	}
	return t.Angle[i-3]
}

// headTriangle says what was not given: a side and an angle first, then the others.
func headTriangle(o *worksheet.Out, given Triangle, found []Triangle) {
	var open []int
	for _, i := range [...]int{2, 1, 0, 3, 4, 5} { // the long side of a right triangle first
		if given.part(i) == 0 {
			open = append(open, i)
		}
	}
	if len(found) == 2 {
		o.Head("Two triangles fit", nil)
		for _, i := range open {
			text, _, _ := strings.Cut(parts[i], " ")
			_, place, _ := strings.Cut(parts[i], " ")
			o.Fact(text+" "+place+" or "+place, nil, found[0].part(i), found[1].part(i))
		}
		return
	}
	first, second := open[0], open[1]
	for _, i := range open[1:] {
		if i > 2 {
			second = i
			break
		}
	}
	o.Head(parts[first], nil, found[0].part(first))
	o.Head(parts[first]+", "+parts[second], nil, found[0].part(first), found[0].part(second))
	for _, i := range open {
		if i != first && i != second {
			o.Fact(parts[i], nil, found[0].part(i))
		}
	}
	o.Fact("{=wheel in} high over c", nil, found[0].Side[1]*math.Sin(found[0].Angle[0]*rad))
}

// refused says why there is no triangle, or how much more it takes, and at which part: one that was
// typed where the parts are wrong.
func refused(o *worksheet.Out, t Triangle, err error) string {
	n, sides, long, across := 0, 0, 0, 0
	sum, last := 0.0, "a"
	for i := range 6 {
		if x := t.part(i); x > 0 {
			n++
			last = worksheet.Either(i < 3, sideKeys[i%3], angleKeys[i%3])
			if i < 3 {
				sides++
				if sum += x; x > t.Side[long] {
					long = i
				}
			} else {
				across = i - 3
			}
		}
	}
	name := func(i int) []string { return []string{sideKeys[i]} }
	at := "a"
	switch err {
	case errThree:
		more := ""
		switch {
		case n < 3 && sides == 0:
			more = worksheet.Either(n == 2, "One more, a side", "Two more, one a side")
			more = worksheet.Either(n == 0, "Three of the six, one a side", more)
		case n < 3:
			more = worksheet.Either(n == 2, "One more side or angle", "Two more sides or angles")
		case sides == 0:
			more = "Give a side for one of the angles"
		default:
			more = worksheet.Either(n == 4, "One too many: take one out", "Too many: three will do")
			at = last
		}
		o.HeadStop(more, nil)
	case errNoClose:
		at = sideKeys[long]
		o.HeadStop("No such triangle", nil)
		o.FactStop("{s} is too long by {=wheel in}", name(long), 2*t.Side[long]-sum)
	case errNoAngle:
		at = last
		o.HeadStop("No such triangle", nil)
		o.FactStop("the angles make {sine deg} already", nil, t.Angle[0]+t.Angle[1]+t.Angle[2])
	default:
		at = sideKeys[across]
		o.HeadStop("No such triangle", nil)
		other := sum - t.Side[across]
		if short := float64(other*math.Sin(t.Angle[across]*rad)) - t.Side[across]; t.Angle[across] < 90 && short > 0 {
			o.FactStop("{s} is too short by {=wheel in}", name(across), short)
		} else {
			o.FactStop("{s} must be longer than {=wheel in}", name(across), other)
		}
	}
	return at
}

// sidesBeside reports whether the given angle is between the given sides.
func sidesBeside(t Triangle) bool {
	n := 0
	for i := range 3 {
		if t.Side[i] > 0 {
			n++
		}
	}
	for i := range 3 {
		if t.Angle[i] > 0 && t.Side[i] > 0 {
			return false
		}
	}
	return n == 2
}

var arcSheet = worksheet.Sheet{
	Name: "arc", Title: "Arc and chord", Question: "What radius has this arc?", Group: group, Drawing: "arc",
	About: []string{"Two of radius, chord, rise and angle of an arc give the other two, the length along the arc and the area cut off. The rise (sagitta) is how far the arc stands out from the middle of its chord: measure chord and rise to find the radius of a worn or broken part."},
	Inputs: []worksheet.Input{
		{Key: "radius", Label: "Radius", Kind: worksheet.Length, Box: "radius", Example: "2", Min: "0.0001 in", Max: "1000 in", Help: "Of the circle."},
		{Key: "chord", Label: "Chord", Kind: worksheet.Length, Box: "chord", Example: "2", Min: "0.0001 in", Max: "1000 in", Help: "Straight across the arc's ends."},
		{Key: "rise", Label: "Rise", Kind: worksheet.Length, Box: "rise", Example: "2", Min: "0.0001 in", Max: "1000 in", Help: "From the middle of the chord to the arc."},
		{Key: "angle", Label: "Angle", Kind: worksheet.Angle, Box: "angle", Example: "60", Min: "0.1", Max: "359", Help: "At the centre, from end to end of the arc."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "radius", Label: "Radius", Kind: worksheet.Length, Main: true, Dial: "wheel"}, {Key: "chord",
			Label: "Chord", Kind: worksheet.Length, Main: true, Dial: "touch"},
		{Key: "rise", Label: "Rise", Kind: worksheet.Length, Main: true, Dial: "touch"}, {Key: "angle",
			Label: "Angle", Kind: worksheet.Angle, Main: true, Dial: "sine"},
		{Key: "length", Label: "Along the arc", Kind: worksheet.Length, Dial: "touch"}, {Key: "area", Label: "Area between chord and arc", Kind: worksheet.Area},
		{Key: "feel", Label: "Radius changed by 0.001 in of rise", Kind: worksheet.Length, Help: "With the chord as it is. A flat arc shows little rise, and its radius is poorly known."},
	},
	Sources: []worksheet.Source{srcGeometry, {Key: "MH", Title: "Machinery's Handbook, 31st edition: segments of circles, table for radius 1"}},
	Example: []worksheet.Pair{{Key: "chord", Text: "4 in"}, {Key: "rise", Text: "0.5 in"}},
	Compute: computeArc,
}

// Worked lines of computeArc.
var (
	radiusStep    = worksheet.Step{What: "Radius", Formula: "r = (c^2/4 + h^2)/(2h)", Numbers: "({len}^2/4 + {len}^2)/(2 x {len})", Result: "{in}", Source: "geometry"}
	chordRiseStep = worksheet.Step{What: "Chord and rise", Formula: "c = 2 r sin(t/2), h = r (1 - cos(t/2))", Numbers: "r {len}, t {4} deg", Result: "{in}, {in}", Source: "geometry"}
	alongArcStep  = worksheet.Step{What: "Along the arc", Formula: "s = r t, t in radians", Numbers: "{len} x {6}", Result: "{in}", Source: "geometry"}
)

// known is the step a radius is told to where a thou of rise changes it so much: the power of ten
// not above it, in the unit of the system.
func known(feel float64, sys units.System) float64 {
	if sys == units.MetricSystem {
		feel *= 25.4
	}
	step := .001
	for step*10 <= feel {
		step *= 10
	}
	return step
}

func computeArc(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	got := Arc{v.In("radius"), v.In("chord"), v.In("rise"), v.As("angle", "deg")}
	a, err := SolveArc(got)
	if err != nil {
		key := "radius"
		switch err {
		case errChord:
			key = "chord"
			o.HeadStop("No such arc", nil)
			o.FactStop("the chord is {=touch in} at the most", nil, 2*got.Radius)
		case errRise:
			key = "rise"
			o.HeadStop("Rise cannot be that high", nil)
			o.FactStop("at most {=touch in}", nil, 2*got.Radius)
		default:
			o.HeadStop(got.lacks(), nil)
		}
		return v.Refuse(key, err.Error()+". Check the parts given.")
	}
	o.SetAll("radius in, chord in, rise in, angle deg, length in, area in2",
		a.Radius, a.Chord, a.Rise, a.Angle, a.Length(), a.Segment())
	loosely, feel := "", 0.0
	if a.Chord > 1e-4*a.Radius { // r = c^2/(8h) + h/2, so dr/dh = 1/2 - c^2/(8 h^2)
		q := a.Chord / a.Rise
		feel = 0.001 * math.Abs(0.5-float64(q*q/8))
		o.Set("feel", feel, "in")
		if got.Chord > 0 && got.Rise > 0 && feel > .001 {
			o.SetStep("wheel", known(feel, o.System), worksheet.Either(o.System == units.MetricSystem, "mm", "in"))
		}
		if feel > 0.02*a.Radius {
			loosely = ", loosely"
			o.Caution(o.Fill("The arc is flat: a thousandth of an inch more or less of rise changes the radius by "+
				"{wheel in}. Measure over a longer chord.", nil, feel))
		}
	}
	o.SetText("verdict", o.Fill("Radius {wheel in}{s}; chord {touch in}, rise {touch in}, angle {sine deg}; {touch "+
		"in} along the arc.", []string{loosely}, a.Radius, a.Chord, a.Rise, a.Angle, a.Length()))
	headArc(o, got, a, feel, loosely)
	if got.Chord > 0 {
		o.AskUnit(v, "rise", .001, 15*got.Chord)
	}
	if got.Rise+got.Radius > 0 {
		o.AskUnit(v, "chord", .001, worksheet.Either(got.Rise > 0, 400*got.Rise, 50*got.Radius))
	}
	o.Line(&radiusStep, nil, a.Chord, a.Rise, a.Rise, a.Radius)
	o.Line(&chordRiseStep, nil, a.Radius, a.Angle, a.Chord, a.Rise)
	o.Line(&alongArcStep, nil, a.Radius, a.Angle*rad, a.Length())
	o.NoteIf(got.Radius > 0 && got.Chord > 0,
		"The arc of half a circle or less was taken; the rest of the circle has the same chord and a rise of {touch "+
			"in}.", 2*a.Radius-a.Rise)
	o.Cite("MH")
	return nil
}

// lacks says what else an arc takes.
func (a Arc) lacks() string {
	n := 0
	for _, x := range [4]float64{a.Radius, a.Chord, a.Rise, a.Angle} {
		if x > 0 {
			n++
		}
	}
	switch {
	case n > 2:
		return "Two of the four will do"
	case a.Chord > 0:
		return "Rise?"
	}
	return "Chord?"
}

// headArc says what was not given, and how well it is known. feel is the change of the radius with
// a thou of rise.
func headArc(o *worksheet.Out, got, a Arc, feel float64, loosely string) {
	switch {
	case got.Radius == 0:
		o.Head("Radius {=wheel in}{s}", []string{loosely}, a.Radius)
	case got.Chord == 0 && got.Rise == 0:
		o.Head("Chord {=touch in}, rise {=touch in}", nil, a.Chord, a.Rise)
	case got.Chord == 0:
		o.Head("Chord {=touch in}", nil, a.Chord)
	default:
		o.Head("Rise {=touch in}", nil, a.Rise)
		o.Head("Rise {=touch in}, angle {sine deg}", nil, a.Rise, a.Angle)
	}
	metric := o.System == units.MetricSystem
	worth := func(then string) {
		o.Fact("{s} of rise is {=two in} of radius{s}", []string{worksheet.Either(metric, "0.01", "a thou"), then},
			feel*worksheet.Either(metric, 10/25.4, 1))
	}
	if loosely != "" {
		worth(": longer chord")
		return
	}
	o.Fact("{=touch in} along the arc", nil, a.Length())
	if got.Radius == 0 && feel > .0005 {
		worth("")
	}
}
