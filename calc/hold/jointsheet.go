package hold

import (
	"math"
	"strings"

	"datumbook/calc/engage"
	"datumbook/calc/joint"
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

const (
	holePart = "What the stud screws into"
	nutPart  = "Nut and what it bears on"
)

// holeInputs describe the hole of the studs, the same on hold and torque.
var holeInputs = []worksheet.Input{
	{Key: "into", Label: "The stud screws into", Kind: worksheet.Choice, Default: "unsaid", Section: holePart,
		Help: "The thread in the hole is often the weakest part. With a depth and nothing here: a blind hole.",
		Options: []worksheet.Option{{Key: "unsaid", Label: "not said"}, {Key: "blind",
			Label: "a blind tapped hole"}, {Key: "through", Label: "a hole tapped right through"},
			{Key: "length", Label: "so much full thread, measured"}, {Key: "nut", Label: "a nut at the far side"}}},
	{Key: "depth", Label: "Depth", Kind: worksheet.Length, Example: "13/16", Min: "0.01 in", Max: "40 in",
		Section: holePart, Ask: "Hole how deep?", Box: "hole depth",
		Help: "Of a blind hole as drilled, of a tapped plate its thickness, else the full thread engaged."},
	{Key: "to", Label: "Depth is to the", Kind: worksheet.Choice, Default: "unsaid", Section: holePart,
		Help: "Of a blind hole. Not said: to the point, which leaves less thread.",
		Options: []worksheet.Option{{Key: "unsaid", Label: "not said"}, {Key: "shoulder",
			Label: "shoulder of the hole"}, {Key: "point", Label: "point of the drill"}, {Key: "thread",
			Label: "last full thread"}}},
	{Key: "tap", Label: "Finished with the tap", Kind: worksheet.Choice, Default: "unsaid", Section: holePart,
		Help: "Its longest usual chamfer has no full thread. Not said: plug.",
		Options: []worksheet.Option{{Key: "unsaid", Label: "not said"}, {Key: "taper", Label: "taper"},
			{Key: "plug", Label: "plug"}, {Key: "bottoming", Label: "bottoming"}}},
	{Key: "metal", Label: "Metal of the hole", Kind: worksheet.Choice, Default: "iron", Section: holePart,
		Help: "What is tapped: as a rule the plate."},
	{Key: "csk", Label: "Countersink", Kind: worksheet.Length, Example: "11/16", Min: "0.01 in", Max: "12 in",
		Section: holePart,
		Help:    "Diameter at the face. Empty: the thread and half a pitch.", Words: []worksheet.Option{{Key: "none",
			Label: "none"}}},
	{Key: "stud", Label: "Stud goes in", Kind: worksheet.Length, Example: "3/4", Min: "0.01 in", Max: "40 in",
		Section: holePart,
		Help:    "How far below the face its end comes, point and all. Empty: run down until it stops."},
	{Key: "drill", Label: "Tap drill", Kind: worksheet.Drill, Example: "17/32", Min: "0.005 in", Max: "6 in",
		Section: finePart, Help: "For the length of its point. Empty: the largest hole of the thread's class."},
	{Key: "point", Label: "Drill point angle", Kind: worksheet.Angle, Default: "118", Min: "60", Max: "180",
		Section: finePart, Help: "Included angle; 180 for a flat bottom."},
	{Key: "chamfer", Label: "Tap chamfer", Kind: worksheet.Number, Example: "1.5", Min: "0.5", Max: "15",
		Section: finePart, Help: "In pitches, measured on your tap. Empty: the longest usual: 10, 5 or 2."},
	{Key: "skin", Label: "Still to come off the face", Kind: worksheet.Length, Example: "1/16", Min: "0 in",
		Max: "5 in", Section: finePart, Help: "What is faced off after tapping comes off the thread."},
	{Key: "minor", Label: "Hole measured", Kind: worksheet.Length, Example: ".546", Min: "0.02 in", Max: "6 in",
		Section: finePart, Help: "Minor diameter of the tapped hole. Empty: the largest of its class."},
	{Key: "wall", Label: "Width of the boss", Kind: worksheet.Length, Example: "1", Min: "0.05 in", Max: "40 in",
		Section: finePart, Help: "Across the metal around the hole, where it is narrow. Empty: no edge near."},
}

// nutInput asks for the nut.
var nutInput = worksheet.Input{Key: "nut", Label: "Nut", Kind: worksheet.Choice, Default: "unsaid",
	Section: nutPart, Help: "Its class, from the marks on its face. Without any it is taken as the weakest.",
	Options: []worksheet.Option{{Key: "unsaid", Label: "unmarked, or not said"}, {Key: "j2", Label: "SAE grade 2"},
		{Key: "j5", Label: "SAE grade 5"}, {Key: "j8", Label: "SAE grade 8"},
		{Key: "n8", Label: "ISO class 8"}, {Key: "n10", Label: "ISO class 10"}}}

// seatInputs describe what nut and washer bear on, the same on hold and torque.
var seatInputs = []worksheet.Input{
	{Key: "nutthick", Label: "Thread in a thin nut", Kind: worksheet.Length, Example: "3/8", Min: "0.02 in",
		Max: "6 in", Section: nutPart, Help: "Of a jam nut, or one whose thread does not go through. Empty: a full " +
			"nut."},
	{Key: "washer", Label: "Washer", Kind: worksheet.Choice, Default: "none", Section: nutPart,
		Help: "Under the nut. Only the ring under the nut and a little more carries: a thin wide washer dishes.",
		Options: []worksheet.Option{{Key: "none", Label: "none, or not said"}, {Key: "narrow",
			Label: "type A narrow"}, {Key: "wide", Label: "type A wide"}, {Key: "iso7089", Label: "ISO 7089"},
			{Key: "iso7093", Label: "ISO 7093-1, large"}, {Key: "plate", Label: "plain, by its size"},
			{Key: "hard", Label: "hardened, by its size"}}},
	{Key: "washerod", Label: "Washer's outside", Kind: worksheet.Length, Example: "1-3/4", Min: "0.1 in",
		Max: "12 in", Section: nutPart, Help: "Of a washer by its size."},
	{Key: "washerthick", Label: "Washer's thickness", Kind: worksheet.Length, Example: "3/8", Min: "0.01 in",
		Max: "3 in", Section: nutPart, Help: "Of a washer by its size."},
	{Key: "bears", Label: "It bears over", Kind: worksheet.Choice, Default: "hole", Section: nutPart,
		Help: "What the stud comes through.",
		Options: []worksheet.Option{{Key: "hole", Label: "a round hole"}, {Key: "slot",
			Label: "a slot clean through"}, {Key: "open", Label: "an open slot, stud at its end"}}},
	{Key: "seat", Label: "Width of hole or slot", Kind: worksheet.Length, Example: "11/16", Min: "0.05 in",
		Max: "12 in", Section: nutPart, Help: "Empty: the stud and 1/16 in."},
	{Key: "lug", Label: "Metal it bears on", Kind: worksheet.Choice, Default: "iron", Section: nutPart,
		Help: "Of the lug or flange of the part."},
}

// markInput asks how finely the wrench is marked.
var markInput = worksheet.Input{Key: "mark", Label: "Marks of the wrench", Kind: worksheet.Torque,
	Example: "2 lbf-ft", Min: "0.1 lbf-ft", Max: "100 lbf-ft", Section: finePart,
	Help: "Torque is told in these steps. Empty: 5 lbf-ft, below 30 1; 5 N.m, below 40 1."}

// studInputs are the inputs of a stud, its hole and its nut. Their lists of metals are filled in
// here, so that the tables above stay data and no code that fills them.
func studInputs() []worksheet.Input {
	all := append(append([]worksheet.Input{}, boltInputs...), holeInputs...)
	return fill(append(all, nutInput, markInput))
}

// jointInputs are those of a whole joint: the seat too.
func jointInputs() []worksheet.Input { return fill(append(studInputs(), seatInputs...)) }

func fill(all []worksheet.Input) []worksheet.Input {
	for i := range all {
		switch all[i].Key {
		case "metal":
			all[i].Options = worksheet.OptionsOf(engage.Metals[:], engage.Metal.Option,
				worksheet.Option{Key: "iron", Label: "Grey iron, class not known"})
		case "lug":
			all[i].Options = worksheet.OptionsOf(joint.Surfaces[:],
				func(s joint.Surface) worksheet.Option { return worksheet.Option{Key: s.Key, Label: s.Label} })
		}
	}
	return all
}

// jointResults are the results of a joint, the same on every worksheet of this package.
var jointResults = []worksheet.Result{
	{Key: "weakest", Label: "Weakest part", Kind: worksheet.Text},
	{Key: "cap", Label: "Torque at most", Kind: worksheet.Torque, Dial: "wrench", Plan: true,
		Help: "What the weakest part bears, scatter and all."},
	{Key: "links", Label: "What each part bears", Kind: worksheet.Table, Columns: []worksheet.Column{
		{Key: "part", Label: "Part", Kind: worksheet.Text}, {Key: "bears", Label: "Bears", Kind: worksheet.Force}}},
	{Key: "usable", Label: "Usable thread", Kind: worksheet.Length, Dial: "thread"},
	{Key: "strip", Label: "Hole's thread bears", Kind: worksheet.Force, Dial: "grip"},
	{Key: "pressure", Label: "Pressure under the nut at most", Kind: worksheet.Stress, Dial: "three"},
	{Key: "beds", Label: "Pressure it beds in at", Kind: worksheet.Stress, Dial: "three"},
}

// wrench rounds a torque down to what a wrench shows.
func wrench(o *worksheet.Out) func(float64) float64 {
	return func(x float64) float64 { return o.Dialled("wrench", x, "lbf-in") }
}

// markWrench sets the wrench's marks: those typed, or finer ones if the torque typed needs them, so
// that it is told as it was typed.
func markWrench(v *worksheet.Values, o *worksheet.Out) {
	const unit = "lbf-in"
	if v.Has("mark") {
		o.SetStep("wrench", v.As("mark", unit), unit)
		return
	}
	if !v.Has("torque") {
		return
	}
	own := worksheet.Either(o.System == units.MetricSystem, "N.m", "lbf-ft")
	if typedUnit(v, own) != "" {
		o.SetStep("wrench", 1, own)
		return
	}
	x := v.As("torque", own)
	least := worksheet.Either(x < worksheet.Either(own == "N.m", 40.0, 30), 1.0, 5)
	for _, step := range []float64{least, 1, .5, .1, .01} {
		if math.Abs(x/step-math.Round(x/step)) < 1e-6 {
			if step != least {
				o.SetStep("wrench", step, own)
			}
			return
		}
	}
	o.SetStep("wrench", .01, own)
}

// typedUnit gives the unit a torque was typed in, where that is not the one the wrench is told in.
func typedUnit(v *worksheet.Values, own string) string {
	text := strings.TrimLeft(v.Typed("torque"), "+0123456789., /\t")
	dim, _ := worksheet.Torque.Dim()
	if u, ok := dim.Find(text); ok && text != "" && u.Name != own {
		return u.Name
	}
	return ""
}

// taken collects what was not said and taken for the worse.
type taken []string

func (t *taken) add(unsaid bool, what string) {
	if unsaid {
		*t = append(*t, what)
	}
}

// readHole reads what the stud screws into; a kind without its depth is as good as not said.
func readHole(v *worksheet.Values, o *worksheet.Out, t thread.Thread) (joint.Hole, taken) {
	var worse taken
	h := joint.Hole{Depth: v.In("depth"), ToPoint: v.Choice("to") != "shoulder", Drill: v.In("drill"),
		Angle: v.As("point", "deg"),
		Left:  1, CskDeg: 90, Skin: v.In("skin"), In: v.In("stud"), Minor: v.In("minor"), Wall: v.In("wall"),
		Csk: v.In("csk")}
	key := v.Choice("metal")
	h.Known = key != "iron"
	h.Metal, _ = engage.FindMetal(worksheet.Either(h.Known, key, "grey20"))
	switch into := v.Choice("into"); {
	case into == "nut" || into == "tee":
		h.Into = joint.Nutted
		return h, nil
	case !v.Has("depth"):
		return h, nil
	case into == "through":
		h.Into = joint.Tapped
	case into == "length":
		h.Into = joint.Length
	default:
		h.Into = joint.Blind
		if h.ToLast = v.Choice("to") == "thread"; h.ToLast {
			break
		}
		worse.add(v.Choice("to") == "unsaid", "the depth as to the drill's point")
		tap := v.Choice("tap")
		if tap == "unsaid" {
			tap = "plug"
		}
		worse.add(v.Choice("tap") == "unsaid" && !v.Has("chamfer"), "the tap as a plug tap, 5 threads of chamfer")
		c, _ := thread.LookupChamfer(tap)
		h.Chamfer = c.Max
		if v.Has("chamfer") {
			h.Chamfer = v.Num("chamfer")
		}
	}
	if !v.Has("csk") && h.Into != joint.Length {
		h.Csk = t.Inches(t.D + float64(.5*t.Pitch))
		worse.add(true, o.Fill("a countersink of {seat in}", nil, h.Csk))
	}
	worse.add(!h.Known, "grey iron as class 20")
	return h, worse
}

// readNut reads the nut.
func readNut(v *worksheet.Values) joint.Nut {
	if c := v.Choice("nut"); c != "unsaid" {
		return joint.Nut{Class: c}
	}
	return joint.Nut{}
}

// readSeat reads washer and seat.
func readSeat(v *worksheet.Values, o *worksheet.Out, t thread.Thread) (joint.Washer, joint.Seat, *worksheet.InputError) {
	d := t.Inches(t.D)
	s := joint.Seat{Opening: joint.Round, Wide: v.Or("seat", "in", d+1./16)}
	switch v.Choice("bears") {
	case "slot":
		s.Opening = joint.Slot
	case "open":
		s.Opening = joint.OpenSlot
	}
	s.Metal, _ = units.First(joint.Surfaces[:], func(x joint.Surface) bool { return x.Key == v.Choice("lug") })
	if s.Wide < d {
		return joint.Washer{}, s, v.Refuse("seat", "it is narrower than the stud. Check both.")
	}
	switch kind := v.Choice("washer"); kind {
	case "none":
		return joint.Washer{}, s, nil
	case "plate", "hard":
		w := joint.Washer{Inside: d + 1./16, Outside: v.In("washerod"), Thick: v.In("washerthick"),
			Hard: kind == "hard"}
		w.Most = w.Thick
		switch {
		case !v.Has("washerod") || !v.Has("washerthick"): // half described it is none
			o.Caution("A washer by its size needs its outside and its thickness: it is not counted yet.")
			return joint.Washer{}, s, nil
		case w.Outside <= w.Inside:
			return w, s, v.Refuse("washerod", "the washer is no wider than its own hole. Check it.")
		}
		return w, s, nil
	default:
		w, ok := joint.FindWasher(kind, t)
		if !ok {
			return w, s, v.Refuse("washer",
				"there is none for "+t.String()+" in the table. Choose one by its size, and give its outside and "+
					"thickness.")
		}
		return w, s, nil
	}
}

// wayNames say the four ways of stripping.
var wayNames = map[string]string{"a": "half the tensile strength", "b": "VDI 2230, over 1.5",
	"d": "NASA RP-1228, a third of the shear strength"}

// Worked lines of a joint.
var (
	shoulderStep = worksheet.Step{What: "Depth to the shoulder",
		Formula: "depth, less the point (d/2)/tan(a/2) where it is to the point", Numbers: "point {len}",
		Result: "{in}", Source: "geometry"}
	lastStep = worksheet.Step{What: "Last full thread", Formula: "shoulder - 1 P - c P",
		Numbers: "{len} - {len} - {2} x {len}", Result: "{in}", Source: "TM 9-254"}
	usableStep = worksheet.Step{What: "Usable thread",
		Formula: "Lf - (Dc - D1)/(2 tan(ac/2)) - what is still to come off", Numbers: "{len} - {len} - {len}",
		Result: "{in}", Source: "geometry"}
	engagedStep = worksheet.Step{What: "Thread engaged",
		Formula: "least of that and what the stud reaches less 2 P; 2 D counts at most", Numbers: "",
		Result: "{in}", Source: "B18.31.2"}
	halfStep = worksheet.Step{What: "Hole strips (a), half the tensile strength", Formula: "0.5 Su ASn LE",
		Numbers: "0.5 x {psi} x {len} x {len}", Result: "{s}", Source: "H28"}
	vdiStep = worksheet.Step{What: "Hole strips (b), shear ratio of the metal",
		Formula: "tau/Su x Su ASn LE C1 C3", Numbers: "{2} x {psi} x {len} x {len}, Rs {4}, C3 {4}", Result: "{s}",
		Source: "VDI 2230"}
	shearStep = worksheet.Step{What: "Hole strips (c), the metal's shear strength", Formula: "tau ASn LE",
		Numbers: "{psi} x {len} x {len}", Result: "{s}", Source: "SMED"}
	roughStep = worksheet.Step{What: "Hole strips (d), poor holes", Formula: "pi d2 tau LE/3",
		Numbers: "pi x {len} x {psi} x {len}/3", Result: "{s}", Source: "RP-1228"}
	limitStep = worksheet.Step{What: "Hole may be loaded to",
		Formula: "grey iron of unknown class: least of (a), (d); known class: (b)/1.5; other metals: (a)",
		Numbers: "{s}", Result: "{s}", Source: "practice"}
	studStep = worksheet.Step{What: "Stud's thread strips",
		Formula: "0.6 Sb ASs LE C1 C2, loaded to two thirds of it", Numbers: "0.6 x {ksi} x {len} x {len}, C2 {4}",
		Result: "{s}", Source: "VDI 2230"}
	nutStep = worksheet.Step{What: "Nut's proof load", Formula: "proof stress x stress area",
		Numbers: "{ksi} x {in2}", Result: "{s}", Source: "J995"}
	seatStep = worksheet.Step{What: "Pressed area under the nut",
		Formula: "pi/4 de^2 less hole or slot, de = least of outside and dw + 1.6 h",
		Numbers: "de {len}, {len} wide", Result: "{in2}", Source: "VDI 2230"}
	bedStep = worksheet.Step{What: "It beds in at", Formula: "p_G A, half p_G at the lip of a slot",
		Numbers: "{ksi} ({s}) x {in2}", Result: "{s}", Source: "VDI 2230"}
	capStep = worksheet.Step{What: "Torque the weakest part takes", Formula: "K D F_cap/(1 + s)",
		Numbers: "{3} x {len} x {s}/{3}, {s}", Result: "{lbf-in}", Source: "NSTS 08307"}
)

// showJoint writes what each part bears, and how it was found.
func (g *tightened) showJoint(o *worksheet.Out) {
	in, r := &g.In, &g.R
	o.SetText("weakest", r.Weakest.Part.String())
	o.Set("cap", r.Most, "lbf-in")
	worksheet.SetRows(o, "links", r.Links, func(_ int, l joint.Link) []worksheet.Cell {
		return worksheet.Cells("sf", []string{l.Part.String()}, l.Bears)
	})
	o.Line(&nutStep, []string{force(o, r.NutProof)}, in.Nut.Stress(in.Thread), in.Bolt.Area)
	if in.Tapped() {
		h, u, s := in.Hole, r.Usable, r.Strip
		o.SetAll("usable in, strip lbf", u.Engaged, s.Limit)
		if h.Into == joint.Blind && !h.ToLast {
			o.Line(&shoulderStep, nil, u.Point, u.Shoulder)
			o.Line(&lastStep, nil, u.Shoulder, h.Left*s.Pitch, h.Chamfer, s.Pitch, u.Full)
		}
		o.Line(&usableStep, nil, u.Full, u.Loss, h.Skin, u.Usable)
		o.Line(&engagedStep, nil, u.Engaged)
		m := h.Metal
		o.Line(&halfStep, []string{force(o, s.Half)}, m.Tensile, s.Internal, s.Length)
		o.Line(&vdiStep, []string{force(o, s.VDI)}, s.Ratio, m.Tensile, s.Internal, s.Length, s.Rs, joint.C3(s.Rs))
		o.Line(&shearStep, []string{force(o, s.Shear)}, m.Shear, s.Internal, s.Length)
		o.Line(&roughStep, []string{force(o, s.Rough)}, s.Middle, m.Shear, s.Length)
		o.Line(&limitStep, []string{wayNames[s.Way], force(o, s.Limit)})
		o.Line(&studStep, []string{force(o, s.Stud)}, in.Bolt.Su, s.External, s.Length, joint.C2(s.Rs))
	}
	if b := r.Bearing; in.Seat.Opening != joint.NoSeat {
		if b.Area > 0 {
			o.Set("pressure", r.Preload.Max/b.Area/1000, "ksi")
		}
		o.Set("beds", b.Limit, "ksi")
		o.Line(&seatStep, nil, b.Circle, in.Seat.Wide, b.Area)
		o.Line(&bedStep, []string{in.Seat.Metal.From, force(o, b.Bears)}, b.Limit, b.Area)
	}
	aim := in.Bolt.Tension(r.Cap, in.K)
	o.Line(&capStep, []string{force(o, aim*(1+in.Scatter)), r.Weakest.Part.String()}, in.K, in.Bolt.D,
		1+in.Scatter, r.Cap)
}

// sayJoint refuses a joint that no torque suits or a torque that overloads it, and says what was
// taken for the worse. Go is false where it refused.
func (g *tightened) sayJoint(o *worksheet.Out) (goes bool) {
	in, r := &g.In, &g.R
	typed := g.asTyped
	most := o.Fill("{wrench lbf-in}", nil, r.Most) + worksheet.Either(g.unsaid(),
		", until what it screws into is said", "")
	switch {
	case in.Tapped() && r.Usable.Engaged <= 0: // no washer helps that
		o.Stop("No full thread is left in that hole.",
			o.Fill("The last full thread lies at {thread in}; countersink and facing take {threadneed in}. Drill "+
				"deeper{s}.", []string{worksheet.Either(in.Hole.Chamfer > 2, ", or finish with a bottoming tap", "")},
				max(r.Usable.Full, 0), r.Usable.Loss+in.Hole.Skin))
	case in.Seat.Opening != joint.NoSeat && r.Bearing.Area <= 0:
		what := worksheet.Either(in.Seat.Opening == joint.Round, "hole", "slot")
		o.Stop("The nut falls into the "+what+": use a wider washer.", o.Fill("The "+what+" is {seat in} wide, and "+
			"nut or washer press on no more than {seat in}.", nil, in.Seat.Wide, r.Bearing.Circle))
	case r.Bearing.Little:
		o.Stop("The nut presses on too little metal: a thick washer over the slot.",
			o.Fill("Over that opening the nut or its washer presses on {three in2}, less than half the {three in2} "+
				"of the nut's own ring. It bends or pulls through.", nil, r.Bearing.Area, r.Bearing.Own))
	case r.Most <= 0 && in.Wrench(r.Cap) > 0:
		o.Stop("That share of the proof load is under the first mark of the wrench.",
			"So small a share of the proof load cannot be set. Ask for more, or give the marks of a finer wrench.")
	case r.Most <= 0 && r.Weakest.Part == joint.TheStrap:
		o.Stop("No torque is safe: the strap cannot take it.",
			"Under the first mark of the wrench the strap is bent past two thirds of its yield. Take a thicker or a "+
				"shorter one.")
	case r.Most <= 0:
		o.Stop("No torque is safe: "+r.Weakest.Part.String()+" bears next to nothing.",
			o.Fill("{s} bears {grip lbf} at most, scatter and all. That is under the first mark of the wrench.",
				[]string{upper(r.Weakest.Part.String())}, r.Weakest.Bears))
	case r.Over != nil && r.Over.Part == joint.TheStrap:
		// Said by the strap.
	case r.Over != nil:
		comes, bears := about(o, "push", r.Preload.Max), about(o, "grip", r.Over.Bears)
		what := worksheet.Either(r.Over.Part == joint.TheStud, "three quarters of the stud's proof load is ",
			r.Over.Part.String()+" bears ")
		o.Stop("Too tight: "+typed+" may pull to "+comes+", and "+what+bears+". At most "+most+".",
			o.Fill("At {s} the tension may come to {s}, with {share %} of scatter; {s}{s}.", []string{typed, comes,
				what, bears}, 100*in.Scatter))
		if meant := r.Torque / 12; o.System == units.InchSystem && meant <= r.Cap && meant > .2*r.Cap {
			o.Ask("torque", o.Dec(meant, 1)+" lbf-in", typed+" is far past what this joint bears. Were they lbf-in?")
		}
	default:
		goes = true
	}
	if len(g.worse) > 0 {
		o.Note("Not said, so taken for the worse: " + strings.Join(g.worse, "; ") + ".")
	}
	o.NoteIf(in.Nut.Stress(in.Thread) < in.Bolt.Su-.5,
		"The nut, unmarked or not of the stud's class, strips before the stud breaks. Its class should be no less "+
			"than the stud's.")
	o.NoteIf(in.Tapped() && !in.Thread.Coarse && strings.HasPrefix(in.Hole.Metal.Key, "grey"),
		"Fine threads crumble in grey iron.")
	o.NoteIf(r.Usable.Engaged > 2*in.Bolt.D,
		"Of more than two diameters of thread only two are counted: the turns at the face carry most of the load.")
	return goes
}

// saySoft says that a part beds in at the torque typed: with care where it goes like that, else
// among what it lets go by.
func (g *tightened) saySoft(o *worksheet.Out, goes bool) {
	r := &g.R
	if r.Soft == nil || r.Over != nil || r.None() || r.Soft.Part == joint.TheStrap {
		return
	}
	above := g.takes(r.Soft.Bears)
	text := o.Fill("At {s} {s} may bed in: the grip above {wrench lbf-in} is not counted on. A thicker washer.",
		[]string{g.asTyped, r.Soft.Part.String()}, above)
	if goes {
		o.Caution(text)
		return
	}
	o.FactStop("no grip above {+wrench lbf-in}", nil, above)
	o.Note(text)
}

// upper writes a sentence's first letter large.
func upper(s string) string { return string(rune(s[0]-'a'+'A')) + s[1:] }

// pull says what to pull the nuts to, and what is weakest.
func (g *tightened) pull(o *worksheet.Out) string {
	weak := g.R.Weakest.Part.String() + " is weakest"
	if !g.R.Typed {
		return o.Fill("Pull {wrench lbf-in}: {s}.", []string{weak}, g.R.Most)
	}
	if g.R.Soft != nil {
		may := worksheet.Either(g.R.Soft.Part == joint.TheStrap, "is past two thirds of its yield", "beds in")
		return o.Fill("At {s} {s}, and {s} above {wrench lbf-in}.", []string{g.asTyped, weak, may}, g.R.Most)
	}
	return o.Fill("At {s}; {s} takes {wrench lbf-in} at most.", []string{g.asTyped, g.R.Weakest.Part.String()},
		g.R.Cap)
}
