package cut

import (
	"math"

	"datumbook/calc/worksheet"
)

// Worked lines of powerCompute.
var (
	metalRemovedStep = worksheet.Step{What: "Metal removed", Formula: "Q = ap ae vf", Numbers: "{len} x {len} x {in/min}", Result: "{in3/min}", Source: "geometry"}
	feedPerStep      = worksheet.Step{What: "Feed per tooth", Formula: "fz = vf/(z n)", Numbers: "{0} teeth, {0} rpm", Result: "{in}", Source: "geometry"}
	chipStep         = worksheet.Step{What: "Chip, thickest and mean",
		Formula: "fz sin(phi) nearest the front, fz (cos phi1 - cos phi2)/(phi2 - " +
			"phi1)", Numbers: "phi {2} to {2} deg", Result: "{in}, {in}", Source: "geometry"}
	powerMotorStep = worksheet.Step{What: "Power at the motor", Formula: "Pm = Pc/E", Numbers: "{hp} / {2}",
		Result: "{hp}", Source: "MH"}
	meanForceStep = worksheet.Step{What: "Mean force along the rim", Formula: "Fm = 33000 Pc/V",
		Numbers: "{3} hp at {1} ft/min", Result: "{lbf}", Source: "MH"}
	teethCuttingStep = worksheet.Step{What: "Teeth cutting at once, mean", Formula: "z (phi2 - phi1)/(2 pi)",
		Numbers: "", Result: "{2}", Source: "geometry"}
	toothLoadStep = worksheet.Step{What: "Most on one tooth", Formula: "F1 = 396000 Kp C W ap fz sin(phi)",
		Numbers: "396000 x {3} x {3} x {2} x {len} x {4}", Result: "{lbf}", Source: "geometry"}
	mostForceStep = worksheet.Step{What: "Force to hold against",
		Formula: "Fm + F1: more than any instant, as teeth enter and " +
			"leave", Numbers: "{lbf} + {lbf}", Result: "{lbf}", Source: "geometry"}
	pushStep = worksheet.Step{What: "Mean push on the part",
		Formula: "sums of Ft cos + Fr sin and -Ft sin + Fr cos, Fr = 0.4 " +
			"Ft", Numbers: "", Result: "{lbf} ahead, {lbf} to the left", Source: "practice"}
	depthLeftStep = worksheet.Step{What: "Depth at the motor's rating", Formula: "ap x rating/Pm",
		Numbers: "{len} x {hp}/{hp}", Result: "{in}", Source: "MH"}
)

// cutting is what a milling cut takes: W the state of the edges, e the drive's efficiency.
type cutting struct {
	Milling
	m           Material
	kp, own, hb float64 // power constant and the one typed, hardness
	inside      bool
	factor      float64
	w, e        float64
}

// at works out constant and factor, which go by the feed per tooth.
func (c *cutting) at(feed float64) {
	c.Feed = feed
	c.kp, c.inside = c.m.PowerConstant(c.hb, c.PerTooth())
	c.factor = FeedFactor(c.PerTooth())
	if len(c.m.Kp) == 0 {
		c.factor = 1
	}
	if c.own > 0 {
		c.kp, c.inside = c.own, true
	}
}

// hp is the power at the cutter.
func (c *cutting) hp() float64 { return PowerAtCutter(c.kp, c.factor, c.Removal(), c.w) }

// slower gives the fastest table feed at which the motor is not asked more than its rating, and
// the edges no thicker a chip than most, to two figures and tried, or 0.
func (c cutting) slower(rated, most float64) float64 {
	lo, hi := 0.0, c.Feed
	tooMuch := func() bool { return c.hp()/c.e > rated || c.PerTooth()*c.Front() > most*(1+1e-9) }
	for range 60 {
		c.at((lo + hi) / 2)
		if tooMuch() {
			hi = c.Feed
		} else {
			lo = c.Feed
		}
	}
	unit := math.Pow(10, math.Floor(math.Log10(max(lo, 1e-9)))-1)
	lo = math.Floor(lo/unit+1e-9) * unit
	c.at(lo)
	if tooMuch() || c.PerTooth() < .001 {
		return 0
	}
	return lo
}

// asked reads a cut, but for its feed.
func asked(v *worksheet.Values) cutting {
	m, _ := Find(v.Choice("work"))
	c := cutting{m: m, own: v.Num("kp"), hb: v.Or("hb", "", m.HB), w: wear(v.Choice("wear"), 1.15),
		e: efficiency(v.Choice("drive"))}
	c.Milling = Milling{Depth: v.In("depth"), Width: v.In("width"), Cutter: v.In("cutter"), Teeth: v.Num("teeth"),
		RPM:    v.As("rpm", "rpm"),
		Offset: worksheet.Either(v.Choice("hand") == "left", -1.0, 1) * v.In("offset")}
	return c
}

func powerCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	c := asked(v)
	m, left := c.m, v.Choice("hand") == "left"
	if c.Width > c.Cutter*(1+1e-9) {
		return v.Refuse("width", "it is more than the cutter's diameter. One pass cuts no wider than the cutter; give the width of one pass.")
	}
	if math.Abs(c.Offset)+float64(c.Width/2) > float64(c.Cutter/2)*(1+1e-9) {
		return v.Refuse("offset", o.Fill("so far off, the cutter does not cover the width. It is {in} at most.", nil,
			(c.Cutter-c.Width)/2))
	}
	c.at(v.As("feed", "in/min"))
	fz, hp, surface := c.PerTooth(), c.hp(), Surface(c.RPM, c.Cutter)
	kc := psiPerHP * float64(c.kp*c.factor) * c.w
	mean, tooth, hold, push := c.Mean(kc), c.Tooth(kc), c.Hold(kc), c.Pushes(kc)
	thick, thin := c.Chip()
	if left {
		push.Y = -push.Y
	}
	o.SetAll("removal in3/min, power hp, motorpower hp, force lbf, mean lbf, tooth lbf, torque lbf-in, speed ft/min, "+
		"pertooth in, thickest in, chip in, engaged, constant",
		c.Removal(), hp, hp/c.e, hold, mean, tooth, SpindleTorque(hp, c.RPM), surface, fz, thick, thin, c.Engaged(), c.kp)
	o.SetAll("ahead lbf, aheadlow lbf, aheadhigh lbf, across lbf, worst lbf", push.X, push.XLow, push.XTop, push.Y,
		push.Worst)
	if second := m.Specific(fz); second > 0 && len(m.Kp) > 0 {
		o.Set("second", second*hpPerKc*c.Removal(), "hp")
	}
	powerSay(v, o, &c, tooth, hold, push)
	o.Line(&metalRemovedStep, nil, c.Depth, c.Width, c.Feed, c.Removal())
	o.Line(&feedPerStep, nil, c.Teeth, c.RPM, fz)
	enters, leaves := c.Arc()
	o.Line(&chipStep, nil, enters*180/math.Pi, leaves*180/math.Pi, thick, thin)
	src := m.KpFrom
	if v.Has("kp") {
		src = "practice"
	} else if len(m.Kp) == 0 {
		src = "makers"
	}
	o.Work(o.Fill("Power at the cutter, {s} at {0} HB", []string{m.Label}, c.hb), "Pc = Kp C Q W (hp, in3/min)",
		o.Fill("{3} x {3} x {3} x {2}", nil, c.kp, c.factor, c.Removal(), c.w), o.Show(hp, "hp", worksheet.Power), src)
	o.Line(&powerMotorStep, nil, hp, c.e, hp/c.e)
	if v.Has("motor") {
		rated := v.As("motor", "hp")
		o.Line(&depthLeftStep, nil, c.Depth, rated, hp/c.e, c.Depth*rated*c.e/hp)
	}
	o.Line(&meanForceStep, nil, hp, surface, mean)
	o.Line(&teethCuttingStep, nil, c.Engaged())
	o.Line(&toothLoadStep, nil, c.kp, c.factor, c.w, c.Depth, thick, tooth)
	o.Line(&mostForceStep, nil, mean, tooth, hold)
	o.Line(&pushStep, nil, push.X, push.Y)
	o.NoteIf(src == "MH iron", "The power constant of this metal is from memory of the handbook: confirm it before you "+
		"rely on it.")
	o.Note("Feed factor C, edge factor W and drive efficiency are from memory of the handbook; belts slip and edges dull, so stay under the rating. Take twice the force for a dull cutter or a hard skin.")
	return nil
}

// powerSay writes the verdict, what the motor has to say, and which way the part is pushed.
func powerSay(v *worksheet.Values, o *worksheet.Out, c *cutting, tooth, hold float64, push Push) {
	fz, most := c.PerTooth(), c.m.Face.hi
	thick := float64(fz * c.Front())
	at := c.hp() / c.e
	side := worksheet.Either(push.Y < 0, "right", "left")
	ahead := worksheet.Either(push.X < 0, "back, with the table's feed", "ahead, against the table's feed")
	end := worksheet.Either(push.X < 0, "comes from", "goes to")
	// The words go by the larger of the two.
	along := math.Abs(push.X) > math.Abs(push.Y)
	tail := o.Fill("; hold the part against {push lbf}, most {s}.", []string{worksheet.Either(along, ahead,
		"to the "+side+" of the cutter's way")}, hold)
	verdict := o.Fill("It takes {motor hp} at the motor", nil, at) + tail +
		" Whether the motor has it was not reckoned: type its power."
	slow := 0.0 // the feed that gives the edges no more than they stand
	if thick > most*(1+1e-9) {
		slow = c.Feed * most / thick
		if slow >= .01 {
			o.Fact("{+tablefeed in/min} gives {=tooth in}", nil, slow, most*fz/thick)
		}
	}
	bare, motor := ofMotor(o, at, v.As("motor", "hp"))
	powerFirst(o, bare, motor, at, v.As("motor", "hp"), hold, fz, push.X < 0)
	if v.Has("motor") {
		rated := v.As("motor", "hp")
		o.Set("share", 100*at/rated, "%")
		deepest := c.Depth * rated / at
		o.SetIf(deepest < 1e4, "deepest in", deepest)
		o.SetFlag("ok", at <= rated)
		takes, _ := o.ReadApart("motor", at, rated, "hp")
		has := o.Scaled(rated, 3, " hp", .74569987158227022, 3, " kW")
		switch {
		case at > rated:
			way := ""
			o.HeadStop("Too much: {s} of {s}", []string{bare, motor})
			if deepest >= .005 && thick <= most*(1+1e-9) {
				way = o.Fill(" Cut no deeper than {pass in}.", nil, deepest)
				o.FactStop("{=pass in} deep is all it has", nil, deepest)
			}
			if slow := c.slower(rated, most); slow > 0 {
				o.FactStop(worksheet.Either(way == "", "{+tablefeed in/min}", "or {+tablefeed in/min}"), nil, slow)
				way += o.Fill(" {s} {tablefeed in/min}.", []string{worksheet.Either(way == "", "Feed", "Or feed")}, slow)
			}
			o.Stop("Too much: "+takes+" of "+has+"."+way, "The cut asks more than the motor is rated for."+
				worksheet.Either(way == "", " Take less depth or width.", way))
		case at > .85*rated:
			verdict = "It pulls, just: " + takes + " of " + has + tail
			o.Caution("Little of the motor is left for a hard spot or a dulling edge.")
		default:
			verdict = "It pulls: " + takes + " of " + has + tail
		}
	}
	if thick > most*(1+1e-9) {
		heavy := o.Fill("{tooth in} a tooth is a heavy chip: edges will break.", nil, fz)
		verdict = heavy + " " + verdict
		way := ""
		o.Head("{=tooth in} a tooth: edges will chip", nil, fz)
		if slow >= .01 {
			way = o.Fill(" {tablefeed in/min} gives {tooth in}.", nil, slow, most*fz/thick)
		}
		o.Caution(o.Fill("Each tooth takes {push lbf} at {tooth in} a tooth; {tooth in} is the most that the tables give in "+
			"this metal.", nil, tooth, fz, most) + way)
		if slip := fz / 25.4; fz > 4*most && slip >= .0003 && v.System.Name() == "in" {
			text := o.Dec(c.Feed, 3)
			o.Ask("feed", text+" mm/min", o.Fill("{s} in/min is {tooth in} a tooth. Or {s} mm/min?", []string{text, text}, fz))
		}
	}
	thinnest := thick
	if !v.Given("offset") && c.Width < float64(c.Cutter/2) {
		thinnest = fz / Thinned(c.Width, c.Cutter)
	}
	o.NoteIf(len(c.m.Kp) > 0 && c.m.KpFrom == ironTable && thinnest < .0015,
		"The thickest chip may be only {4} in: in iron under about 0.0015 in the edges rub. Feed more.", thinnest)
	if push.X < 0 {
		o.Caution(o.Fill("It climbs: the cut pulls the table along, by {push lbf} at most, and draws the part into the "+
			"cutter. Take up the lost motion or lock on; not on a casting with its scale.", nil, -push.XLow))
	}
	if !c.inside {
		o.Caution("This hardness lies outside the table of power constants for this metal; the nearest is taken.")
	}
	o.SetText("verdict", verdict)
	o.SetText("push", o.Fill("{push lbf} to the {s} of the cutter's way and {push lbf} {s}, on average",
		[]string{side, ahead}, math.Abs(push.Y), math.Abs(push.X)))
	first, second := "on the "+side+" of the cutter's way", "at the end of the part that the cutter "+end
	if along {
		first, second = second, first
	}
	o.Note("Put the stop " + first + ", and one " + second + " too, as seen from the spindle. On a horizontal " +
		"spindle feed so that they push to the plate or the ledge, never off it.")
	o.Few()
	o.NoteIf(!v.Given("offset") && c.Width < c.Cutter,
		"Reckoned with the cutter's middle over the middle of the cut; say where it stands if it does not.")
}

// wear gives W of the handbook, from memory: sharp 1, in use as given, dull 1.5.
func wear(key string, used float64) float64 {
	switch key {
	case "sharp":
		return 1
	case "dull":
		return 1.5
	}
	return used
}
