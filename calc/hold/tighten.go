package hold

import (
	"strconv"
	"strings"

	"datumbook/calc/joint"
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// word is a choice that stands for a number.
type word struct {
	key, label string
	x          float64
}

// grades are the choices of the worksheets.
var grades = []worksheet.Option{
	{Key: "rod", Label: "unknown or threaded rod"},
	{Key: "sae1", Label: "SAE grade 1"}, {Key: "sae2", Label: "SAE grade 2"}, {Key: "sae4", Label: "SAE grade 4 stud"},
	{Key: "sae5", Label: "SAE grade 5"}, {Key: "sae8", Label: "SAE grade 8"}, {Key: "a574",
		Label: "ASTM A574 socket head"},
	{Key: "4.6", Label: "ISO class 4.6"}, {Key: "4.8", Label: "ISO class 4.8"}, {Key: "5.8", Label: "ISO class 5.8"},
	{Key: "8.8", Label: "ISO class 8.8"}, {Key: "10.9", Label: "ISO class 10.9"}, {Key: "12.9",
		Label: "ISO class 12.9"},
	{Key: "own", Label: "my own figures"},
}

// finishes: torque factors K by the bolt's condition, Shigley table 8-15.
var finishes = [...]word{
	{"oiled", "oiled (K 0.18)", .18}, {"dry", "as supplied, or not known (K 0.20)", .20}, {"zinc", "zinc plated (K 0.20)", .20},
	{"black", "black and dry (K 0.30)", .30}, {"cadmium", "cadmium plated (K 0.16)", .16}, {"antiseize", "anti-seize paste (K 0.12)", .12},
}

// methods: scatter of the preload by the way of tightening, NSTS 08307 3.4 and
// Machinery's Handbook, accuracy of bolt preload.
var methods = [...]word{
	{"wrench", "torque wrench, oiled threads (25 %)", .25}, {"wrenchdry", "torque wrench, dry threads (35 %)", .35},
	{"feel", "by feel (35 %)", .35}, {"turn", "turn of the nut (15 %)", .15},
	{"washer", "load-indicating washer (10 %)", .10}, {"stretch", "measured stretch (5 %)", .05},
}

func options(words []word) []worksheet.Option {
	return worksheet.OptionsOf(words, func(w word) worksheet.Option { return worksheet.Option{Key: w.key, Label: w.label} })
}

func pick(words []word, key string) float64 {
	w, ok := units.First(words, func(w word) bool { return w.key == key })
	return worksheet.Either(ok, w, words[0]).x
}

const (
	boltPart = "Stud and tightening"
	finePart = "Fine points"
)

// boltInputs are the stud's inputs, the same on every worksheet of this package.
var boltInputs = []worksheet.Input{
	{Key: "thread", Label: "Stud thread", Kind: worksheet.Thread, Required: true, Example: "5/8-11", Section: boltPart,
		Ask: "Which stud?", Box: "stud",
		Canon: thread.Canon("5/8-11 or M16", false),
		Help:  "Thread of the stud or bolt that is tightened: 5/8-11, M16."},
	{Key: "grade", Label: "Strength", Kind: worksheet.Choice, Default: "rod", Section: boltPart, Options: grades,
		Help: "Marked on the head or the end. Plain threaded rod, and anything unmarked, is taken as the weakest."},
	{Key: "torque", Label: "Torque on the nut", Kind: worksheet.Torque, Example: "60 lbf-ft", Min: "0.1 lbf-ft", Max: "5000 lbf-ft", Section: boltPart,
		Ask: "Nut torque?", Box: "nut torque",
		Help: "What you pull it to. Empty: the most that the weakest part bears."},
	{Key: "percent", Label: "Share of the proof load", Kind: worksheet.Percent, Default: "65", Min: "1", Max: "100", Section: boltPart,
		Help: "What to aim at where no torque is given, at most: with scatter no part is pulled past what it " +
			"bears, the stud not past 75."},
	{Key: "finish", Label: "Threads are", Kind: worksheet.Choice, Default: "oiled", Section: boltPart, Options: options(finishes[:]),
		Help: "Sets the torque factor K: the drier the thread, the less tension a torque gives."},
	{Key: "method", Label: "Tightened by", Kind: worksheet.Choice, Default: "wrench", Section: boltPart, Options: options(methods[:]),
		Help: "Sets how far the tension may be off what was aimed at. Nothing typed: a torque wrench, threads as " +
			"above."},
	{Key: "k", Label: "Torque factor K", Kind: worksheet.Number, Example: "0.17", Min: "0.05", Max: "0.6", Section: finePart,
		Help: "Where you know it better than the list does."},
	{Key: "scatter", Label: "Scatter", Kind: worksheet.Percent, Example: "30", Min: "0", Max: "60", Section: finePart,
		Help: "Plus and minus, where you know it better than the list does."},
	{Key: "settle", Label: "Settling", Kind: worksheet.Percent, Default: "5", Min: "0", Max: "50", Section: finePart,
		Help: "What the faces give up after tightening. 10 with paint, paper, scale or an as-cast face between."},
	{Key: "proof", Label: "Proof strength", Kind: worksheet.Stress, Example: "85 ksi", Min: "5 ksi", Max: "250 ksi", Section: finePart,
		Help: "For 'my own figures': the stress it stands without taking a set."},
	{Key: "tensile", Label: "Tensile strength", Kind: worksheet.Stress, Example: "120 ksi", Min: "5 ksi", Max: "300 ksi", Section: finePart,
		Help: "For 'my own figures': the stress it breaks at."},
}

// tightened is the stud's joint as typed and what it comes to.
type tightened struct {
	In      joint.Input
	R       joint.Result
	General string // the grade's label
	grade   string // its key
	asTyped string // the torque as typed, or what the nuts are pulled to
	worse   taken  // what was not said of the hole
}

// tighten reads the inputs of the stud, its hole and nut, and those of the nut's seat where the
// worksheet asks for them. Others are what the stud loads besides.
func tighten(v *worksheet.Values, o *worksheet.Out, seat bool, others ...joint.Link) (*tightened,
	*worksheet.InputError) {
	g := &tightened{}
	in := &g.In
	t, err := thread.Parse(v.Text("thread"))
	if err != nil {
		return g, v.Refuse("thread", err.Error()+". Type it like 5/8-11 or M16.")
	}
	in.Thread, in.Bolt = t, joint.Size(t)
	if in.Bolt.Pitch2 < in.Bolt.D/2 {
		return g, v.Refuse("thread", "this pitch is too coarse for the diameter. Check both.")
	}
	grade := v.Choice("grade")
	g.grade = grade
	for _, o := range grades {
		if o.Key == grade {
			g.General = o.Label
		}
	}
	if grade == "own" {
		if !v.Has("proof") || !v.Has("tensile") {
			return g, v.Refuse("proof", "your own figures need both the proof and the tensile strength. Fill in both, or choose a grade.")
		}
		in.Bolt.Proof, in.Bolt.Su = v.As("proof", "ksi"), v.As("tensile", "ksi")
		in.Bolt.Yield = in.Bolt.Proof
		if in.Bolt.Su < in.Bolt.Proof {
			return g, v.Refuse("tensile", "it is less than the proof strength. Check both figures.")
		}
	} else {
		b, ok := joint.Grade(t, grade)
		if !ok {
			return g, v.Refuse("grade", g.General+" is not made in "+t.String()+". Choose a grade of the same system and size, or 'my own figures'.")
		}
		in.Bolt = b
	}
	in.K, in.Scatter = v.Or("k", "", pick(finishes[:], v.Choice("finish"))), pick(methods[:], v.Choice("method"))
	if !v.Given("method") { // a wrench is told less by threads without oil
		switch v.Choice("finish") {
		case "dry", "zinc", "black":
			in.Scatter = .35
		case "cadmium":
			in.Scatter = .30
		}
	}
	if v.Has("scatter") {
		in.Scatter = v.Num("scatter") / 100
	}
	in.Settle, in.Share, in.Others = v.Num("settle")/100, v.Num("percent")/100, others
	in.Torque = v.As("torque", "lbf-in")
	in.Nut = readNut(v)
	if in.Nut.Class != "" && in.Nut.Stress(t) == 0 {
		return g, v.Refuse("nut", "there is no such nut in this size. Choose another.")
	}
	askMM(v, o, in.Bolt.D, "depth")
	in.Hole, g.worse = readHole(v, o, t)
	if seat {
		in.Nut.Thick = v.In("nutthick")
		var f *worksheet.InputError
		if in.Washer, in.Seat, f = readSeat(v, o, t); f != nil {
			return g, f
		}
	}
	markWrench(v, o)
	in.Wrench = wrench(o)
	return g, g.make(v, o)
}

// askMM asks whether a length far too large for the stud was typed in millimetres.
func askMM(v *worksheet.Values, o *worksheet.Out, d float64, key string) {
	text := v.Typed(key)
	if _, err := strconv.ParseFloat(text, 64); err != nil || o.System == units.MetricSystem {
		return
	}
	if x := v.In(key); x > 8*d && x < 4*25.4*d {
		o.Ask(key, text+" mm", v.Label(key)+": "+text+" in for a stud of "+o.Fill("{rule in}", nil,
			d)+"? Was it "+text+" mm?")
	}
}

// make reckons the joint.
func (g *tightened) make(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	r, f := g.In.Make()
	if f != nil {
		return v.Refuse(worksheet.Either(f.Field == "hole", "minor", f.Field), f.Message)
	}
	g.R = r
	g.asTyped = o.Fill("{wrench lbf-in}", nil, r.Torque)
	own := worksheet.Either(o.System == units.MetricSystem, "N.m", "lbf-ft")
	if u := typedUnit(v, own); u != "" && v.Has("torque") {
		g.asTyped = o.Dec(v.As("torque", u), 2) + " " + u
	}
	return nil
}

// unsaidHole says so.
const unsaidHole = "What the studs screw into was not said"

// unsaid reports whether nothing is known of what the stud screws into.
func (g *tightened) unsaid() bool { return g.In.Hole.Into == joint.Unsaid }

// Worked lines of show.
var (
	tensionAimedStep = worksheet.Step{What: "Tension aimed at", Formula: "F = T/(K D)", Numbers: "{lbf-in}/({3} x {len})", Result: "{s}", Source: "Shigley"}
	tensionYouStep   = worksheet.Step{What: "Tension you can count on", Formula: "Fmin = F (1 - s)(1 - settling)", Numbers: "{s} x {3} x {3}", Result: "{s}", Source: "NSTS 08307"}
	tensionItStep    = worksheet.Step{What: "Tension it may come to", Formula: "Fmax = F (1 + s)", Numbers: "{s} x {3}", Result: "{s}", Source: "NSTS 08307"}
)

// show writes the worked lines of the tightening.
func (g *tightened) show(o *worksheet.Out) {
	in, p := &g.In, g.R.Preload
	src := worksheet.Either(in.Thread.System == thread.Unified, "J429", "ISO 898-1")
	o.Work("Proof load of "+in.Thread.String()+", "+g.General, "proof strength x stress area",
		o.Fill("{ksi} x {in2}", nil, in.Bolt.Proof, in.Bolt.Area), force(o, in.Bolt.ProofLoad()), src)
	g.showJoint(o)
	o.Line(&tensionAimedStep, []string{force(o, p.Aim)}, g.R.Torque, in.K, in.Bolt.D)
	o.Line(&tensionYouStep, []string{force(o, p.Aim), force(o, p.Min)}, 1-in.Scatter, 1-in.Settle)
	o.Line(&tensionItStep, []string{force(o, p.Aim), force(o, p.Max)}, 1+in.Scatter)
	o.NoteIf(g.General == grades[0].Label,
		"The stud's strength is not known, so it is taken as plain rod (33 ksi, or class 4.6).")
}

// force writes a force in whole pounds or newtons, for worked lines.
func force(o *worksheet.Out, lbf float64) string {
	return o.Scaled(lbf, 0, " lbf", 4.4482216152605, 0, " N")
}

// about writes a force on a dial, its thousands set apart: "12,000 lbf".
func about(o *worksheet.Out, dial string, lbf float64) string { return apart(o.Read(dial, lbf, "lbf")) }

// apart sets the thousands of a whole number apart.
func apart(text string) string {
	number, unit, _ := strings.Cut(text, " ")
	for i := len(number) - 3; i > 0 && !strings.Contains(number, "."); i -= 3 {
		number = number[:i] + "," + number[i:]
	}
	return number + " " + unit
}

// spread writes a tension and what it may come to: "about 16,000 lbf (12,000 to 20,000)".
func (g *tightened) spread(o *worksheet.Out) string {
	p := g.R.Preload
	least, unit, _ := strings.Cut(about(o, "grip", p.Min), " ")
	return "about " + about(o, "pull", p.Aim) + " (" + least + " to " + strings.TrimSuffix(about(o, "push", p.Max),
		" "+unit) + ")"
}

var boltSources = []worksheet.Source{
	{Key: "J429", Title: "SAE J429 Mechanical and Material Requirements for Externally Threaded Fasteners; ASTM A307 and A574 where named"},
	{Key: "ISO 898-1", Title: "ISO 898-1:2013 Mechanical properties of fasteners made of carbon steel and alloy steel, table 3"},
	{Key: "Shigley", Title: "Shigley's Mechanical Engineering Design, 9th edition, chapter 8"},
	{Key: "NSTS 08307", Title: "NASA NSTS 08307 Criteria for Preloaded Bolts, revision A, 1998, section 3"},
	{Key: "J995", Title: "SAE J995 nuts; ISO 898-2 nuts; sizes by ASME B18.2.2 and ISO 4032"},
	{Key: "VDI 2230", Title: "VDI 2230 part 1 (2003): shear ratios, bearing, settling, from memory; Alexander's " +
		"factors, SAE paper 770420, from memory; pressures as a fastener maker prints them"},
	worksheet.Practice,
}

// holeSources are those of the hole and what the nut bears on.
var holeSources = []worksheet.Source{
	{Key: "H28", Title: "FED-STD-H28/2B and ASME B1.1-2003 appendix B: shear areas, stripping at half the tensile " +
		"strength"},
	{Key: "SMED", Title: "Mechanical Engineering Design, 5th edition, table A-22: shear strength of grey iron; " +
		"metals as in the worksheet 'engage'"},
	{Key: "TM 9-254", Title: "US Army TM 9-254 General Maintenance, paragraph 4-27: tap chamfers"},
	{Key: "B18.31.2", Title: "ASME B18.31.2 studs; washers by ASME B18.21.1, ISO 7089 and ISO 7093-1"},
	{Key: "geometry", Title: "Geometry of the drilled hole and its countersink"},
}
