package chain

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/align"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Worked lines and sentences, as data.
var (
	meanStep  = worksheet.Step{What: "Expected", Formula: "L sum s a", Numbers: "{s}", Result: "{s}", Source: "geometry"}
	unitStep  = worksheet.Step{What: "Standard uncertainty", Formula: "u^2 = sum (c u)^2, c added with signs where one error comes twice", Numbers: "{s}", Result: "{s}", Source: "JCGM 100"}
	sureStep  = worksheet.Step{What: "Plus or minus, about 95 %", Formula: "U = 2 u", Numbers: "2 x {s}", Result: "{s}", Source: "JCGM 100"}
	worstStep = worksheet.Step{What: "At the very worst", Formula: "|expected| + sum |c| limit", Numbers: "", Result: "{s}", Source: "geometry"}
	afterStep = worksheet.Step{What: "Plus or minus, if {s} were read", Formula: "2 sqrt(u^2 - u_i^2 + u_new^2)", Numbers: "u {s}, u_i {s}, u_new {s}", Result: "{s}", Source: "JCGM 100"}
	shimStep  = worksheet.Step{What: "Shim", Formula: "expected/L x seat", Numbers: "{s}/{len} x {len}", Result: "{s}", Source: "geometry"}
	tryStep   = worksheet.Step{What: "Drawn many times, turned in space", Formula: "half of what holds 95 of 100", Numbers: "{0} trials", Result: "{s} +/- {s}", Source: "JCGM 101"}

	says = [...]string{
		"{s} to {s}: expect {s} off over {s}, plus or minus {s}. Nothing is said to be allowed.",
		"It comes out: the nearest to its limit, {s} to {s}, is expected {s} off over {s}, plus or minus {s}, and with " +
			"everything at its limit keeps within the {s} allowed.",
		"It should come out: the nearest to its limit, {s} to {s}, is expected {s} off over {s}, plus or minus {s}, of {s} " +
			"allowed.",
		"It may not come out: {s} to {s} is expected {s} off over {s}, plus or minus {s}, and {s} is allowed.",
		"It will not come out: {s} to {s} is expected {s} off over {s}, plus or minus {s}, and only {s} is allowed.",
	}
	short     = [...]string{"not asked", "within", "should", "may not", "will not"}
	edges     = [3][2]string{{"back", "front"}, {"left", "right"}, {"", ""}}
	readSays  = "Read {s}: the plus or minus goes from {s} to {s}."
	shimSays  = "Shim the {s} edge up by {s} in set-up {s}: that takes out the {s} expected."
	turnSays  = "Turn the part {s} by {s} over the seat in set-up {s}: that takes out the {s} expected."
	noneSays  = "Nothing on this list would better it: it is as good as these errors."
	careSays  = "Only what is on the list is in the answer: a chip that was not thought of, a part that springs when it is let go, or a face that was not the one named is not."
	angleSays = "Angles are taken as small and added; the trials do not do so."
)

func planOf(v *worksheet.Values) (Plan, *worksheet.InputError) {
	var p Plan
	for i := range v.Rows("setups") {
		from, _ := v.Cell("setups", i, 2, "")
		seat, _ := v.Cell("setups", i, 3, "in")
		turn, _ := v.Cell("setups", i, 4, "")
		p.Setups = append(p.Setups, Setup{v.CellText("setups", i, 0), Side(v.CellText("setups", i, 1)), int(turn), int(from), seat})
	}
	for i := range v.Rows("causes") {
		at, _ := v.Cell("causes", i, 0, "")
		value, measured := v.Cell("causes", i, 3, "in")
		half, given := v.Cell("causes", i, 4, "in")
		c := Cause{Setup: int(at), Kind: Kind(v.CellText("causes", i, 1)), Axis: int(v.CellText("causes", i, 2)[0] - 'x'), Measured: measured,
			Mark: v.CellText("causes", i, 6), Turned: v.CellText("causes", i, 7) == "turned"}
		over := p.over(v, i, c)
		c.Value, c.Half = value/over, half/over
		p.Causes = append(p.Causes, c)
		if given {
			continue
		}
		first := p.first(i)
		if first == i || measured {
			return p, v.Refuse("causes", "row "+strconv.Itoa(i+1)+" has no plus or minus. Give it one; only a row whose mark came before, about the same axis, may leave it and the reading empty.")
		}
		a := p.Causes[first]
		c.Value, c.Half, c.Measured = a.Value, a.Half, a.Measured
		p.Causes[i] = c
	}
	for i := range v.Rows("faces") {
		at, _ := v.Cell("faces", i, 1, "")
		to, _ := v.Cell("faces", i, 4, "")
		length, _ := v.Cell("faces", i, 5, "in")
		allow, _ := v.Cell("faces", i, 6, "in")
		p.Faces = append(p.Faces, Face{v.CellText("faces", i, 0), int(at), Side(v.CellText("faces", i, 2)), v.CellText("faces", i, 3) == "holes", int(to), length, allow})
	}
	return p, p.Check()
}

// over is the length a row's sizes are over: the set-up's seat where none is
// given. A set-up that is not there is refused later.
func (p *Plan) over(v *worksheet.Values, i int, c Cause) float64 {
	if x, given := v.Cell("causes", i, 5, "in"); given {
		return x
	}
	if c.Setup <= len(p.Setups) {
		return p.Setups[c.Setup-1].Seat
	}
	return 1
}

// thinnest is the thinnest leaf there is, inches: what is less is nothing a shim can take out.
// Common practice, no published source.
const thinnest = .0005

// state compares an error with its limit, as an index of says.
func state(e Error, allow float64) int {
	switch {
	case allow == 0:
		return 0
	case e.Worst <= allow:
		return 1
	case e.Reach() <= allow:
		return 2
	case math.Abs(e.Mean)-e.Sure() <= allow:
		return 3
	}
	return 4
}

func compute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	p, f := planOf(v)
	if f != nil {
		return f
	}
	errors := p.Predict()
	if len(errors) == 0 {
		return v.Refuse("faces", "no turn about any axis counts between these faces and their datums. Measure one to the start, or to another face.")
	}
	chief := p.Chief(errors)
	ok, asked := true, false
	worksheet.SetRows(o, "errors", errors, func(_ int, e Error) []worksheet.Cell {
		f := p.Faces[e.Face]
		s, allowed := state(e, f.Allow), ""
		if s > 0 {
			asked, allowed = true, align.Fine(o, f.Allow)
		}
		ok = ok && s < 3
		return worksheet.Cells("sssiiii/ss", []string{f.Name, p.datum(f), "xyz"[e.Axis : e.Axis+1], allowed, short[s]},
			f.Length, e.Mean, e.Sure(), e.Worst, e.Mean/f.Length)
	})
	if asked {
		o.SetFlag("ok", ok)
	}
	e := errors[chief]
	face := p.Faces[e.Face]
	fineOf := func(x float64) string { return align.Fine(o, x) }
	reckoned := func(x float64) string { return o.Read("reckoned", x, "in") }
	comes := state(e, face.Allow)
	off := reckoned(math.Abs(e.Mean))
	if off == reckoned(0) {
		off = "nothing"
	}
	verdict := o.Fill(says[comes], []string{face.Name, p.datum(face), off,
		o.Read("rule", face.Length, "in"), o.Read("doubt", e.Sure(), "in"), o.Allowed(face.Allow)})
	o.SetText("verdict", verdict)
	switch comes {
	case 2:
		o.Caution("With everything at its worst it would not come out.")
	case 3:
		o.Stop(verdict, "Better one of these errors before the cut: what betters it most is named.")
	case 4:
		o.Stop(verdict, "As these errors stand the face comes out off by more than is allowed. Better what is named first, "+
			"then cut.")
	}
	o.SetAll("expected in, sure in, worst in", e.Mean, e.Sure(), e.Worst)
	way := p.work(v, o, e)
	p.head(o, e, comes, way)
	if n := int(v.Num("trials")); n > 0 {
		t := p.Try([]Error{e}, n, 1)[0]
		half := float64((t.High - t.Low) * .5)
		o.SetAll("triedmid in, triedsure in", t.Mean, half)
		o.SetText("tried", fineOf(t.Mean)+" +/- "+fineOf(half))
		o.Line(&tryStep, []string{fineOf(t.Mean), fineOf(half)}, float64(n))
	}
	o.Note(careSays)
	o.Note(angleSays)
	o.Cite("practice")
	return nil
}

func (p *Plan) datum(f Face) string {
	if f.To == 0 {
		return "the start"
	}
	return p.Faces[f.To-1].Name
}

// name describes a cause: what, and in which set-up.
func (p *Plan) name(i int) string {
	c := p.Causes[i]
	s := ""
	for _, k := range kinds {
		if k.Key == string(c.Kind) {
			s = k.Label
		}
	}
	if c.Mark != "" {
		s += " " + c.Mark
	}
	return s + ", set-up " + strconv.Itoa(c.Setup) + " (row " + strconv.Itoa(i+1) + ")"
}

// work shows how the chief error came about and what reduces it, and gives that in few words.
func (p *Plan) work(v *worksheet.Values, o *worksheet.Out, e Error) string {
	bare := func(x float64) string { return align.FineBare(o, x) }
	fineOf := func(x float64) string { return align.Fine(o, x) }
	shares := p.Shares(e, func(c int) float64 { return v.In("better") / p.over(v, c, p.Causes[c]) })
	var rows [][]worksheet.Cell
	means, units := "0", "0"
	best := -1
	for i, s := range shares {
		rows = append(rows, worksheet.Cells("nsii%i", []string{p.name(s.Cause)},
			float64(s.Cause+1), s.Mean, 2*s.Unit, 100*s.Part, s.After))
		if i == 0 {
			means, units = bare(s.Mean), bare(s.Unit)+"^2"
		} else {
			means, units = means+" + "+bare(s.Mean), units+" + "+bare(s.Unit)+"^2"
		}
		if s.Better < s.Unit && (best < 0 || s.After < shares[best].After) {
			best = i
		}
	}
	o.SetTable("shares", rows)
	o.Line(&meanStep, []string{means, fineOf(e.Mean)})
	o.Line(&unitStep, []string{units, fineOf(e.Unit)})
	o.Line(&sureStep, []string{bare(e.Unit), fineOf(e.Sure())})
	o.Line(&worstStep, []string{fineOf(e.Worst)})

	improve, gain, way := noneSays, 0.0, ""
	if best >= 0 {
		s := shares[best]
		gain = e.Sure() - s.After
		improve = o.Fill(readSays, []string{p.name(s.Cause), o.Read("doubt", e.Sure(), "in"), o.Read("doubt", s.After, "in")})
		o.Set("after", s.After, "in")
		way = o.Fill("read the {s} of setup {0}", []string{few[p.Causes[s.Cause].Kind]}, float64(p.Causes[s.Cause].Setup)) +
			o.Fill(": ±{=doubt in} becomes ±{=doubt in}", nil, e.Sure(), s.After)
		step := afterStep
		step.What = o.Fill(step.What, []string{p.name(s.Cause)})
		o.Line(&step, []string{bare(e.Unit), bare(s.Unit), bare(s.Better), fineOf(s.After)})
	}
	cure, ok := p.Cure(e)
	if ok && cure.Shim >= thinnest {
		cured := o.Fill("shim its {s} {=reckoned in} in setup {0}", []string{edge(cure)}, cure.Shim, float64(cure.Setup))
		if cure.Axis == 2 {
			cured = o.Fill("turn it {=reckoned in} in setup {0}", nil, cure.Shim, float64(cure.Setup))
		}
		way = worksheet.Either(math.Abs(e.Mean) > gain, cured, way)
		o.SetAll("shim in, shimsetup", cure.Shim, float64(cure.Setup))
		o.Line(&shimStep, []string{bare(math.Abs(e.Mean)), fineOf(cure.Shim)}, p.Faces[e.Face].Length, p.Setups[cure.Setup-1].Seat)
		if math.Abs(e.Mean) > gain {
			improve = o.Fill(shimSays, []string{edge(cure), o.Read("reckoned", cure.Shim, "in"), strconv.Itoa(cure.Setup),
				o.Read("reckoned", math.Abs(e.Mean), "in")})
			if cure.Axis == 2 {
				improve = o.Fill(turnSays,
					[]string{edge(cure), o.Read("reckoned", cure.Shim, "in"), strconv.Itoa(cure.Setup),
						o.Read("reckoned", math.Abs(e.Mean), "in")})
			}
		}
	}
	o.SetText("improve", improve)
	return way
}

// few names a cause in one word.
var few = map[Kind]string{"seat": "seat", "plate": "plate", "tram": "tram", "head": "head", "way": "ways", "heat": "heat",
	"other": "part"}

// head says first how the worst face comes out; way is what betters it most.
func (p *Plan) head(o *worksheet.Out, e Error, comes int, way string) {
	f := p.Faces[e.Face]
	unit := worksheet.Either(o.System == units.MetricSystem, " mm", " thou")
	bare := func(s string) string { return strings.TrimSuffix(s, unit) }
	off := bare(o.Read("reckoned", math.Abs(e.Mean), "in"))
	if off == o.Read("reckoned", 0, "in") {
		off = "0"
	}
	sure := bare(o.Read("doubt", e.Sure(), "in"))
	s := []string{named(f.Name), off, sure, o.Allowed(f.Allow)}
	of := []string{off, o.Allowed(f.Allow)}
	faces := []string{f.Name, p.datum(f)}
	switch comes {
	case 0:
		o.Head("{s} ± {s}"+unit, []string{off, sure})
		o.Head("{s} {s} ± {s}"+unit, s)
		o.Question("Allowed?")
	case 1:
		o.Head("Comes out", nil)
		o.Head("Comes out: {s} of {s}", of)
		o.Fact("{s} to {s}", faces)
		o.Fact("sure to {s}", []string{sure})
		o.Fact("even at the worst", nil)
	case 2:
		o.Head("Should come out", nil)
		o.Head("Should come out: {s} of {s}", of)
		o.Fact("{s}", []string{way})
		o.Fact("{s} to {s}", faces)
	case 3:
		o.HeadStop("May not: {s} {s} ± {s} of {s}", s)
		o.HeadStop("May not come out: {s} of {s}", of)
		o.HeadStop("May not come out", nil)
	case 4:
		o.HeadStop("{s} comes out {s} of {s}", []string{s[0], off, of[1]})
		o.HeadStop("Off by {s} of {s}", of)
		o.HeadStop("Does not come out", nil)
	}
	o.FactStop("{s}", []string{way})
	o.FactStop("{s} to {s}", faces)
	o.FactStop("sure to {s}", []string{sure})
}

// named writes a face's name as a headline begins.
func named(s string) string {
	if s != "" && s[0] >= 'a' && s[0] <= 'z' {
		return align.Upper(s)
	}
	return s
}

// edge names the edge that is lifted, or the way the part is turned.
func edge(c Cure) string {
	k := worksheet.Either(c.Turn < 0, 1, 0)
	if c.Axis == 2 {
		return [2]string{"counter-clockwise seen from above", "clockwise seen from above"}[k]
	}
	return edges[c.Axis][k]
}
