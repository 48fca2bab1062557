package hold

import (
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// word is a choice that stands for a number.
type word struct {
	key, label string
	x          float64
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
		Canon: thread.Canon("5/8-11 or M16", ".", false),
		Help:  "Thread of the stud or bolt that is tightened: 5/8-11, M16."},
	{Key: "grade", Label: "Strength", Kind: worksheet.Choice, Default: "rod", Section: boltPart, Options: grades,
		Help: "Marked on the head or the end. Plain threaded rod, and anything unmarked, is taken as the weakest."},
	{Key: "torque", Label: "Torque on the nut", Kind: worksheet.Torque, Example: "60 lbf-ft", Min: "0.1 lbf-ft", Max: "5000 lbf-ft", Section: boltPart,
		Help: "What you pull it to. Empty: the share of the proof load below is aimed at."},
	{Key: "percent", Label: "Share of the proof load", Kind: worksheet.Percent, Default: "65", Min: "1", Max: "100", Section: boltPart,
		Help: "What to aim at where no torque is given. 75 is the most for studs used again, and only with a good wrench and oil."},
	{Key: "finish", Label: "Threads are", Kind: worksheet.Choice, Default: "oiled", Section: boltPart, Options: options(finishes[:]),
		Help: "Sets the torque factor K: the drier the thread, the less tension a torque gives."},
	{Key: "method", Label: "Tightened by", Kind: worksheet.Choice, Default: "wrench", Section: boltPart, Options: options(methods[:]),
		Help: "Sets how far the tension may be off what was aimed at."},
	{Key: "k", Label: "Torque factor K", Kind: worksheet.Number, Example: "0.17", Min: "0.05", Max: "0.6", Section: finePart,
		Help: "Where you know it better than the list does."},
	{Key: "scatter", Label: "Scatter", Kind: worksheet.Percent, Example: "30", Min: "0", Max: "60", Section: finePart,
		Help: "Plus and minus, where you know it better than the list does."},
	{Key: "settle", Label: "Settling", Kind: worksheet.Percent, Default: "5", Min: "0", Max: "50", Section: finePart,
		Help: "What paint, sand and scale under the faces give up after tightening."},
	{Key: "proof", Label: "Proof strength", Kind: worksheet.Stress, Example: "85 ksi", Min: "5 ksi", Max: "250 ksi", Section: finePart,
		Help: "For 'my own figures': the stress it stands without taking a set."},
	{Key: "tensile", Label: "Tensile strength", Kind: worksheet.Stress, Example: "120 ksi", Min: "5 ksi", Max: "300 ksi", Section: finePart,
		Help: "For 'my own figures': the stress it breaks at."},
}

// tightened is the result of the stud's inputs.
type tightened struct {
	Bolt
	Preload
	T       thread.Thread
	K, S    float64
	Settle  float64
	Torque  float64 // lbf-in
	General string  // the grade's label
}

// tighten reads the stud's inputs.
func tighten(v *worksheet.Values) (tightened, *worksheet.InputError) {
	var g tightened
	t, err := thread.Parse(v.Text("thread"))
	if err != nil {
		return g, v.Refuse("thread", err.Error()+". Type it like 5/8-11 or M16.")
	}
	g.T = t
	if z := Size(t); z.Pitch2 < z.D/2 {
		return g, v.Refuse("thread", "this pitch is too coarse for the diameter. Check both.")
	}
	grade := v.Choice("grade")
	for _, o := range grades {
		if o.Key == grade {
			g.General = o.Label
		}
	}
	if grade == "own" {
		if !v.Has("proof") || !v.Has("tensile") {
			return g, v.Refuse("proof", "your own figures need both the proof and the tensile strength. Fill in both, or choose a grade.")
		}
		g.Bolt = Size(t)
		g.Proof, g.Su = v.As("proof", "ksi"), v.As("tensile", "ksi")
		g.Yield = g.Proof
		if g.Su < g.Proof {
			return g, v.Refuse("tensile", "it is less than the proof strength. Check both figures.")
		}
	} else {
		b, ok := Grade(t, grade)
		if !ok {
			return g, v.Refuse("grade", g.General+" is not made in "+t.String()+". Choose a grade of the same system and size, or 'my own figures'.")
		}
		g.Bolt = b
	}
	g.K, g.S = pick(finishes[:], v.Choice("finish")), pick(methods[:], v.Choice("method"))
	if v.Has("k") {
		g.K = v.Num("k")
	}
	if v.Has("scatter") {
		g.S = v.Num("scatter") / 100
	}
	g.Settle = v.Num("settle") / 100
	aim := g.ProofLoad() * v.Num("percent") / 100
	if v.Has("torque") {
		aim = g.Tension(v.As("torque", "lbf-in"), g.K)
	}
	g.Preload = Scattered(aim, g.S, g.Settle)
	g.Torque = g.Bolt.Torque(aim, g.K)
	return g, nil
}

// Worked lines of show.
var (
	tensionAimedStep = worksheet.Step{What: "Tension aimed at", Formula: "F = T/(K D)", Numbers: "{lbf-in}/({3} x {len})", Result: "{s}", Source: "Shigley"}
	tensionYouStep   = worksheet.Step{What: "Tension you can count on", Formula: "Fmin = F (1 - s)(1 - settling)", Numbers: "{s} x {3} x {3}", Result: "{s}", Source: "NSTS 08307"}
	tensionItStep    = worksheet.Step{What: "Tension it may come to", Formula: "Fmax = F (1 + s)", Numbers: "{s} x {3}", Result: "{s}", Source: "NSTS 08307"}
)

// show writes the worked lines of the tightening.
func (g tightened) show(o *worksheet.Out) {
	src := worksheet.Either(g.T.System == thread.Unified, "J429", "ISO 898-1")
	o.Work("Proof load of "+g.T.String()+", "+g.General, "proof strength x stress area",
		o.Fill("{ksi} x {in2}", nil, g.Proof, g.Area), force(o, g.ProofLoad()), src)
	o.Line(&tensionAimedStep, []string{force(o, g.Aim)}, g.Torque, g.K, g.D)
	o.Line(&tensionYouStep, []string{force(o, g.Aim), force(o, g.Min)}, 1-g.S, 1-g.Settle)
	o.Line(&tensionItStep, []string{force(o, g.Aim), force(o, g.Max)}, 1+g.S)
}

// force writes a force in whole pounds or newtons.
func force(o *worksheet.Out, lbf float64) string {
	return o.Scaled(lbf, 0, " lbf", 4.4482216152605, 0, " N")
}

// warn adds cautions for a tension close to the proof load.
func (g tightened) warn(o *worksheet.Out) {
	switch {
	case g.Max > g.ProofLoad():
		o.Refuse(o.Fill("With this scatter the stud may be pulled past its proof load: aim at no more than {0} % of it, or tighten a better way.", nil, 100/(1+g.S)))
	case g.Aim > .7501*g.ProofLoad():
		o.Caution("More than three quarters of the proof load: not for studs that are used again.")
	}
	o.NoteIf(g.General == grades[0].Label,
		"The stud's strength is not known, so it is taken as plain rod (33 ksi, or class 4.6).")
}

var boltSources = []worksheet.Source{
	{Key: "J429", Title: "SAE J429 Mechanical and Material Requirements for Externally Threaded Fasteners; ASTM A307 and A574 where named"},
	{Key: "ISO 898-1", Title: "ISO 898-1:2013 Mechanical properties of fasteners made of carbon steel and alloy steel, table 3"},
	{Key: "Shigley", Title: "Shigley's Mechanical Engineering Design, 9th edition, chapter 8"},
	{Key: "NSTS 08307", Title: "NASA NSTS 08307 Criteria for Preloaded Bolts, revision A, 1998, section 3"},
	worksheet.Practice,
}
