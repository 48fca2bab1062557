package reach

import (
	"math"

	"datumbook/calc/worksheet"
)

const hang, head, fine = "Hanging part", "Head and bar", "Fine points"

var daylightSheet = &worksheet.Sheet{
	Name: "daylight", Title: "Room under the spindle", Question: "Is there daylight enough?", Group: "hold",
	About: []string{
		"Spindle nose to table, with the knee at its lowest, is all the daylight there is. Tool, fixture and part have to go in, with room to pass over studs and clamps above, and travel enough to come down to depth. The worksheet gives the nose-to-table distances that work, their middle, and what is short.",
		"On a horizontal borer read it level: the far face for the table, the saddle's travel for the knee's, and the spindle's travel for the quill's.",
	},
	Drawing: "daylight",
	Inputs: []worksheet.Input{
		{Key: "daylight", Label: "Most daylight", Ask: "Nose to table?", Box: "daylight", Kind: worksheet.Length, Example: "19", Min: "0.5 in", Max: "400 in", Help: "Spindle nose to table with the knee at its lowest, quill up.", Required: true},
		{Key: "knee", Label: "Knee travel", Ask: "Knee travel?", Box: "knee", Kind: worksheet.Length, Example: "16", Min: "0 in", Max: "400 in", Help: "How far the table rises from there.", Required: true},
		{Key: "feed", Label: "Fed by", Ask: "Fed by what?", Kind: worksheet.Choice, Default: "quill", Help: "What carries the tool to depth: the quill or spindle, or knee, table or saddle with the quill locked.",
			Options: []worksheet.Option{{Key: "quill", Label: "Quill feeds"}, {Key: "knee", Label: "Knee feeds"}}},
		{Key: "quill", Label: "Quill travel", Ask: "Quill travel?", Box: "quill", Kind: worksheet.Length, Example: "5", Default: "5 in", Min: "0.1 in", Max: "100 in", Help: "Spindle travel of a borer."},
		{Key: "tool", Label: "Tool from the nose", Ask: "How long a tool?", Box: "tool", Kind: worksheet.Length, Example: "4.5", Min: "0.01 in", Max: "100 in", Help: "Holder and tool: spindle nose to cutting edge.", Required: true},
		{Key: "under", Label: "Fixture under the part", Ask: "What is under the part?", Box: "under it", Kind: worksheet.Length, Example: "2", Default: "0 in", Min: "0 in", Max: "300 in", Help: "Parallels, packing, base of the plate."},
		{Key: "part", Label: "Part height to the finished surface", Ask: "How high a part?", Box: "part", Kind: worksheet.Length, Example: "6", Min: "0 in", Max: "300 in", Help: "From its underside to the surface that is cut.", Required: true},
		{Key: "depth", Label: "Depth below that surface", Ask: "How deep below that?", Box: "depth", Kind: worksheet.Length, Example: "1.2", Default: "0 in", Min: "0 in", Max: "100 in", Help: "To the drill's point, or the depth of a pocket."},
		{Key: "over", Label: "Highest thing above it", Ask: "What stands above it?", Box: "above it", Kind: worksheet.Length, Example: "3/4", Default: "0 in", Min: "0 in", Max: "100 in", Help: "Stud ends, straps, walls of the casting that the tool has to pass over."},
		{Key: "clear", Label: "Room above", Ask: "How much room above?", Box: "room above", Kind: worksheet.Length, Example: "1/2", Default: "1/2 in", Min: "0 in", Max: "20 in", Help: "Kept between tool and the highest thing. Half an inch lets chips be cleared from a drill."},
		{Key: "hang", Label: "Part hangs below the table's top", Ask: "How far does it hang down?", Box: "hangs", Kind: worksheet.Length, Section: hang, Example: "8", Min: "0 in", Max: "300 in", Help: "How far down it reaches beside the table."},
		{Key: "floor", Label: "Table's top to floor or base", Ask: "Table to floor?", Box: "to the floor", Kind: worksheet.Length, Section: hang, Example: "30", Min: "0 in", Max: "300 in", Help: "With the knee at its lowest, under the hanging part."},
		{Key: "tilt", Label: "Head tilted", Ask: "Tilted how far?", Box: "tilted", Kind: worksheet.Angle, Section: head, Default: "0", Min: "-90", Max: "90", Help: "Moves the nose sideways and up."},
		{Key: "arm", Label: "Pivot to nose", Ask: "Pivot to nose?", Box: "pivot to nose", Kind: worksheet.Length, Section: head, Example: "9", Min: "0 in", Max: "100 in", Help: "From the axis the head tilts about down to the spindle nose."},
		{Key: "bar", Label: "Bar diameter", Ask: "What bar?", Box: "bar", Kind: worksheet.Length, Section: head, Example: "1.5", Min: "0.1 in", Max: "20 in", Help: "For a boring bar or a borer's spindle: its overhang is judged against it."},
		{Key: "project", Label: "Tool out of its holder", Ask: "How far out of the holder?", Box: "out of holder", Kind: worksheet.Length, Section: fine, Example: "2.5", Min: "0.01 in", Max: "100 in", Help: "How far the tool stands out of the chuck or holder, so that the holder clears the work."},
		{Key: "drop", Label: "Drop to change tools", Ask: "Drop to change tools?", Box: "drop", Kind: worksheet.Length, Section: fine, Example: "1", Default: "1 in", Min: "0 in", Max: "30 in", Help: "What the holder needs to come down out of the nose."},
		{Key: "close", Label: "A close call is under", Ask: "Close is under?", Box: "close", Kind: worksheet.Length, Section: fine, Example: "1/4", Default: "1/4 in", Min: "0 in", Max: "10 in", Help: "Spare room less than this is called close."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "state", Label: "State", Kind: worksheet.Text, Help: "fits, close or short"},
		{Key: "ok", Label: "It fits", Kind: worksheet.Flag, Judges: true},
		{Key: "place", Label: "Set nose to table", Kind: worksheet.Length, Main: true, Digits: places, Dial: "rule"},
		{Key: "low", Label: "Nose to table, least", Kind: worksheet.Length, Main: true, Digits: places, Dial: "need"},
		{Key: "high", Label: "Nose to table, most", Kind: worksheet.Length, Main: true, Digits: places, Dial: "spare"},
		{Key: "spare", Label: "Spare at the tightest", Kind: worksheet.Length, Main: true, Digits: places, Dial: "spare"},
		{Key: "roomup", Label: "Spare above", Kind: worksheet.Length, Digits: places, Dial: "spare"},
		{Key: "roomdown", Label: "Spare below", Kind: worksheet.Length, Digits: places, Dial: "spare"},
		{Key: "quillspare", Label: "Spare quill travel", Kind: worksheet.Length, Digits: places, Dial: "spare"},
		{Key: "stroke", Label: "Stroke needed", Kind: worksheet.Length, Main: true, Digits: places, Dial: "need"},
		{Key: "lift", Label: "Tool lifts above the surface", Kind: worksheet.Length, Digits: places, Dial: "need"},
		{Key: "height", Label: "Finished surface above the table", Kind: worksheet.Length, Digits: places, Dial: "rule"},
		{Key: "tip", Label: "Cutting edge above the table, at depth", Kind: worksheet.Length, Digits: places, Dial: "rule"},
		{Key: "hangspare", Label: "Hanging part clears the floor by", Kind: worksheet.Length, Digits: places, Dial: "spare"},
		{Key: "change", Label: "Room to change tools here", Kind: worksheet.Length, Digits: places, Dial: "spare"},
		{Key: "holder", Label: "Holder clears the work by", Kind: worksheet.Length, Digits: places, Dial: "spare"},
		{Key: "tiltx", Label: "Nose moves sideways", Kind: worksheet.Length, Digits: places, Dial: "rule"},
		{Key: "tiltz", Label: "Nose rises", Kind: worksheet.Length, Digits: places, Dial: "rule"},
		{Key: "overhang", Label: "Overhang in bar diameters", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}},
		{Key: "ways", Label: "What to do", Kind: worksheet.Lines},
	},
	Sources: sources,
	Example: []worksheet.Pair{{Key: "daylight", Text: "19 in"}, {Key: "knee", Text: "16 in"}, {Key: "tool", Text: "4.5 in"}, {Key: "under", Text: "2 in"}, {Key: "part", Text: "6 in"}, {Key: "depth", Text: "1.2 in"}, {Key: "over", Text: "0.75 in"}},
	Compute: daylightCompute, Half: daylightHalf,
}

// Worked lines of daylightCompute.
var (
	tiltedHeadStep  = worksheet.Step{What: "Tilted head", Formula: "x = arm sin, z = arm (1 - cos)", Numbers: "{len}, {2} deg", Result: "{in} sideways, {in} up", Source: "geometry"}
	toolClearStep   = worksheet.Step{What: "Tool clear above", Formula: "tool + fixture + part + over + clear", Numbers: "{len} + {len} + {len} + {len} + {len}", Result: "{in}", Source: "geometry"}
	toolDepthStep   = worksheet.Step{What: "Tool at depth, quill down", Formula: "tool + fixture + part - depth + quill", Numbers: "{len} + {len} - {len} + {len}", Result: "{in}", Source: "geometry"}
	toolDepthStep2  = worksheet.Step{What: "Tool at depth", Formula: "tool + fixture + part - depth", Numbers: "{len} + {len} - {len}", Result: "{in}", Source: "geometry"}
	leastNoseStep   = worksheet.Step{What: "Least nose to table", Formula: "daylight - knee travel", Numbers: "{len} - {len}", Result: "{in}", Source: "geometry"}
	hangingPartStep = worksheet.Step{What: "Hanging part over the floor, tool clear above", Formula: "floor + daylight - nose to table - hang - clear", Numbers: "{len} + {len} - {len} - {len} - {len}", Result: "{in}", Source: "geometry"}
)

func daylightCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	s := Stack{Daylight: v.In("daylight"), Knee: v.In("knee"), Tool: v.In("tool"), Under: v.In("under"), Part: v.In("part"),
		Depth: v.In("depth"), Over: v.In("over"), Clear: v.In("clear")}
	if s.Knee > s.Daylight {
		return v.Refuse("knee", "the knee cannot rise further than there is daylight. Check both.")
	}
	quill := v.Choice("feed") == "quill"
	if quill {
		s.Quill = v.In("quill")
	}
	if v.Has("hang") {
		if !v.Has("floor") {
			return v.Refuse("floor", "it is needed where the part hangs below the table. Fill it in.")
		}
		s.HasHang, s.Hang, s.Floor = true, v.In("hang"), v.In("floor")
	}
	set := func(key string, x float64) { o.Set(key, x, "in") }
	if tilt := v.As("tilt", "deg"); tilt != 0 && v.Has("arm") {
		x, z := Tilt(v.In("arm"), tilt)
		set("tiltx", x)
		set("tiltz", z)
		s.Daylight += z
		o.Line(&tiltedHeadStep, nil, v.In("arm"), tilt, x, z)
		o.Caution("With the head tilted the tool is not upright: lengths here are along the upright, and the quill feeds at the tilt.")
	}
	f := s.Fits()
	work := s.Under + s.Part
	set("height", work)
	set("tip", work-s.Depth)
	set("lift", f.Lift)
	set("stroke", f.Stroke)
	set("roomup", f.RoomUp)
	set("roomdown", f.RoomDown)
	set("spare", s.Spare())
	place := f.Low
	if s.Works() {
		set("low", f.Low)
		set("high", f.High)
		if quill {
			place = (f.Low + f.High) / 2
			set("quillspare", f.Quill)
		}
		set("place", place)
	}
	if s.HasHang {
		set("hangspare", f.Hang)
	}
	set("change", s.Daylight-work-s.Over-s.Tool-v.In("drop"))
	daylightSay(v, o, s, f, quill, place)
	o.Line(&toolClearStep, nil, s.Tool, s.Under, s.Part, s.Over, s.Clear, s.Tool+work+f.Lift)
	if quill {
		o.Line(&toolDepthStep, nil, s.Tool, work, s.Depth, s.Quill, f.Cut+s.Quill)
	} else {
		o.Line(&toolDepthStep2, nil, s.Tool, work, s.Depth, f.Cut)
	}
	o.Line(&leastNoseStep, nil, s.Daylight, s.Knee, s.Daylight-s.Knee)
	if s.HasHang {
		o.Line(&hangingPartStep, nil, s.Floor, s.Daylight, s.Tool+work+f.Lift, s.Hang, s.Clear, f.Hang)
	}
	return nil
}

// daylightHalf says how much is needed, or how high a part may be, before all is typed.
func daylightHalf(v *worksheet.Values, o *worksheet.Out) {
	o.Next("part", "tool", "daylight", "knee")
	high := v.In("tool") + v.In("under") + v.In("over") + v.In("clear")
	switch {
	case !v.Has("tool"):
	case v.Has("part") && !v.Has("daylight"):
		o.Head("Stands {=need in} high", nil, high+v.In("part"))
	case v.Has("part") || !v.Has("daylight"):
	case v.In("daylight") > high:
		o.Head("Parts to {=spare in}", nil, v.In("daylight")-high)
	default:
		o.Fact("▲ no room under this tool", nil)
	}
}

// trial is a change of the stack and what it is called.
type trial struct {
	works      Stack
	says, fact string
}

// roundUp rounds a length up to what is set by a rule.
func roundUp(x float64) float64 { return math.Ceil(float64(x*100)-1e-9) / 100 }

// stackWays gives the changes with which the stack works: each was tried.
func stackWays(o *worksheet.Out, s Stack, f Fit) (ways []string) {
	var tries []trial
	try := func(change func(s *Stack), says, fact string, x ...float64) {
		t := s
		change(&t)
		if t.Tool > 0 && t.Under >= 0 && t.Hang >= 0 {
			tries = append(tries, trial{t, o.Fill(says, nil, x...), o.Fill(fact, nil, x...)})
		}
	}
	up := roundUp(max(-f.RoomUp, 0))
	if s.HasHang {
		up = roundUp(max(-f.RoomUp, -f.Hang, 0))
	}
	if up > 0 {
		try(func(s *Stack) { s.Tool -= up }, "A tool and holder {need in} shorter fits.", "holder {=need in} shorter", up)
		try(func(s *Stack) { s.Under -= up }, "{need in} less under the part fits.", "{=need in} less under it", up)
		try(func(s *Stack) { s.Daylight += up }, "A riser of {need in} under the head fits.",
			"a riser of {=need in}", up)
	}
	if s.HasHang && f.Hang < 0 {
		h := roundUp(-f.Hang)
		try(func(s *Stack) { s.Under, s.Hang = s.Under+h, s.Hang-h },
			"Stand the part {need in} higher: then it hangs clear.", "stand it {=need in} higher", h)
	}
	if down := roundUp(max(-f.RoomDown, 0)); down > 0 {
		try(func(s *Stack) { s.Tool += down }, "A tool or holder {need in} longer comes down.",
			"holder {=need in} longer", down)
		try(func(s *Stack) { s.Under += down }, "Packing of {need in} under the part brings it up.",
			"{=need in} of packing under it", down)
	}
	if s.Quill > 0 && f.Quill < 0 {
		try(func(s *Stack) { s.Quill = 0 }, "Feed with the knee: the quill is {need in} short of the stroke.",
			"feed with the knee", -f.Quill)
		if s.Quill >= s.Depth {
			t := s
			t.Over, t.Clear = 0, 0
			if t.Works() && f.RoomUp >= 0 {
				tries = append(tries, trial{t, o.Fill("The quill is {need in} short of the stroke: feed with it, and lower the "+
					"knee to clear the work.", nil, -f.Quill), "lower the knee to clear"})
			}
		}
	}
	for _, t := range tries {
		if t.works.Works() {
			ways = append(ways, t.says)
			o.FactStop(t.fact, nil)
		}
	}
	if ways == nil {
		o.FactStop("no one change makes it fit", nil)
		ways = []string{"No one change of tool, fixture or feed makes it fit."}
	}
	return ways
}

func daylightSay(v *worksheet.Values, o *worksheet.Out, s Stack, f Fit, quill bool, place float64) {
	var ways []string
	spare := s.Spare()
	state, verdict := "fits", ""
	unsaid, open := "", ""
	for _, u := range [...]struct{ key, text, fact string }{{"under", "fixture", "fixture"}, {"depth", "depth", "depth"},
		{"over", "the highest thing above", "top"}} {
		if !v.Given(u.key) {
			open += worksheet.Either(open == "", "▲ not said: ", ", ") + u.fact
			unsaid += worksheet.Either(unsaid == "", " Not said, and reckoned as nothing: ", ", ") + u.text
		}
	}
	if unsaid != "" {
		unsaid += "."
	}
	switch {
	case !s.Works():
		state, ways = "short", stackWays(o, s, f)
		what := "under the spindle"
		switch {
		case f.RoomUp >= 0 && quill && f.Quill < 0 && f.Quill <= f.RoomDown:
			what = "of quill travel"
		case f.RoomUp >= 0 && f.RoomDown < 0:
			what = "of coming down"
		case f.RoomUp >= 0 && s.HasHang && f.Hang < 0:
			what = "over the floor"
		}
		o.HeadStop("{=need in} short {s}", []string{what}, -spare)
		o.Stop(o.Fill("{need in} short {s}.", []string{what}, -spare), "The stack does not fit under the spindle.")
	case spare <= v.In("close"):
		state, verdict = "close", o.Fill("Fits, {spare in} to spare: close.", nil, spare)
		toSpare(o, "Fits, ", spare)
		o.Fact("▲ measure before you rely on it", nil)
		o.Caution("Close call: measure daylight, tool and part before you rely on it.")
	default:
		verdict = o.Fill("Fits, {spare in} to spare.", nil, spare)
		toSpare(o, "Fits, ", spare)
	}
	if unsaid == "" || state == "short" {
		o.SetFlag("ok", state != "short")
	}
	if state != "short" {
		if quill {
			ways = append(ways, o.Fill("Set the knee so that nose to table is {rule in}, and feed with the quill.", nil, place))
		} else {
			ways = append(ways, o.Fill("Quill up and locked: nose to table goes from {rule in} at depth to {rule in} clear "+
				"above.", nil, f.Low, f.High))
		}
	}
	if c := s.Daylight - s.Under - s.Part - s.Over - s.Tool - v.In("drop"); c < 0 {
		o.Fact("▲ run the table aside to change tools", nil)
		o.Caution(o.Fill("Tools cannot be changed over the work: it takes {need in} more. Run the table aside.", nil, -c))
	}
	if v.Has("project") {
		h := v.In("project") - s.Depth
		o.Set("holder", h-s.Over, "in")
		if h < s.Over {
			verdict += o.Fill(" The holder may hit by {need in}.", nil, s.Over-h)
			o.Fact("▲ holder may hit by {=need in}", nil, s.Over-h)
			o.Caution(o.Fill("The holder comes down past the highest thing beside the hole before the tool is at depth: it "+
				"may hit by {need in}.", nil, s.Over-h))
		}
	}
	if v.Has("bar") {
		out := s.Tool
		if quill {
			out += max(place-f.Cut, 0) // the quill at depth
		}
		ratio := out / v.In("bar")
		o.Set("overhang", ratio, "")
		if ratio > 5 {
			o.Fact("▲ bar out {1} times its diameter", nil, ratio)
		}
		o.CautionIf(ratio > 5,
			"The bar stands out {1} times its diameter: past four or five it chatters. Shorten it, take a thicker one, or support its end.", ratio)
	}
	if v.As("tilt", "deg") != 0 && v.Has("arm") {
		o.Fact("▲ quill feeds at the tilt", nil)
	}
	o.Fact(open, nil)
	if quill {
		o.Fact("nose to table {=rule in}", nil, place)
	} else {
		o.Fact("nose to table {=rule in} to {=rule in}", nil, f.Low, f.High)
	}
	o.Fact("stroke {=need in}", nil, f.Stroke)
	if s.Over > 0 {
		o.Fact("clears the top by {=spare in}", nil, s.Clear)
	}
	for _, key := range [...]string{"part", "tool", "under"} {
		o.AskMillimetres(v.In(key) > 3*s.Daylight, key, v.In(key))
	}
	o.Few()
	o.SetText("state", state)
	o.SetText("verdict", verdict+unsaid)
	o.SetLines("ways", ways)
	o.Note("Lower the tool by hand over the work once, spindle off, before the first cut.")
}
