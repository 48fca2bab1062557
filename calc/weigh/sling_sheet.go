package weigh

import (
	"math"
	"strconv"

	"datumbook/calc/worksheet"
)

var kilo = worksheet.Units{Inch: "lbf", Metric: "kN"}

var slingSheet = &worksheet.Sheet{
	Name: "sling", Title: "Sling tension", Question: "What does each sling leg carry?", Group: "lift",
	About: []string{
		"The flatter a sling leg lies, the harder it pulls: at 60 degrees from the horizontal a leg carries 1.155 of its share, at 45 degrees 1.414, at 30 degrees twice. Below 30 degrees slings are not rated.",
		"A rigid load on three or four legs may hang on two of them. Unless an equaliser shares the load, two legs are reckoned to carry all of it.",
		"The hook comes to hang plumb over the centre of gravity. The leg nearer to it carries more.",
	},
	Drawing: "sling",
	Inputs: []worksheet.Input{
		{Key: "weight", Label: "Weight", Ask: "What weight?", Box: "weight", Kind: worksheet.Mass, Required: true, Example: "600", Min: "0.1 lb", Max: "200000 lb", Help: "With the allowance for a casting, hooks and slings on it."},
		{Key: "how", Label: "Legs", Kind: worksheet.Choice, Default: "equal", Help: "All alike; two unlike because the balance is off the middle; or any lugs by their place.",
			Options: []worksheet.Option{{Key: "equal", Label: "All alike"}, {Key: "two", Label: "Two, balance off the middle"}, {Key: "lugs", Label: "Lugs by their place"}}},
		{Key: "legs", Label: "Number of legs", Ask: "Where are the lugs?", Box: "lug", Kind: worksheet.Choice, Default: "2", Help: "For legs that are all alike. Each side of a basket counts as a leg.",
			Options: []worksheet.Option{{Key: "1", Label: "1"}, {Key: "2", Label: "2"}, {Key: "3", Label: "3"}, {Key: "4", Label: "4"}}},
		{Key: "angle", Label: "Angle from the horizontal", Ask: "Leg angle?", Box: "angle", Kind: worksheet.Angle, Default: "60", Example: "60",
			Min: "1", Max: "90", Help: "Of each leg, not between the legs. Or give leg and rise below. Empty: the usual 60."},
		{Key: "leg", Label: "Leg length", Ask: "How long a leg?", Box: "leg", Kind: worksheet.Length, Example: "72", Min: "1 in", Max: "4000 in", Help: "From lug to hook, in place of the angle."},
		{Key: "rise", Label: "Hook above the lugs", Ask: "Hook how high?", Box: "rise", Kind: worksheet.Length, Example: "60", Min: "0.1 in", Max: "4000 in", Help: "Straight up, with the slings tight."},
		{Key: "near", Label: "Balance to first lug", Ask: "Balance to lug 1?", Box: "to lug 1", Kind: worksheet.Length, Section: "Two legs", Example: "24", Min: "0 in", Max: "2000 in", Help: "Level distance from the centre of gravity to the first lug."},
		{Key: "far", Label: "Balance to second lug", Ask: "Balance to lug 2?", Box: "to lug 2", Kind: worksheet.Length, Section: "Two legs", Example: "36", Min: "0 in", Max: "2000 in", Help: "Level distance to the second lug, on the other side."},
		{Key: "lugs", Label: "Lugs", Kind: worksheet.Table, Section: "Lugs by their place", MinRows: 1, MaxRows: 8, Example: "12, 8, 40; -12, 8, 40; -12, -8, 40; 12, -8, 40",
			Help:    "X and Y from the centre of gravity, and how far the hook is above that lug.",
			Columns: []worksheet.Column{{Key: "x", Label: "X", Kind: worksheet.Length, Min: "-2000 in", Max: "2000 in"}, {Key: "y", Label: "Y", Kind: worksheet.Length, Min: "-2000 in", Max: "2000 in"}, {Key: "rise", Label: "Hook above", Kind: worksheet.Length, Min: "0.1 in", Max: "4000 in"}}},
		{Key: "share", Label: "Who carries", Kind: worksheet.Choice, Section: "Fine points", Default: "two", Help: "Three or four legs alike on a rigid load: two legs, or all where an equaliser makes them share.",
			Options: []worksheet.Option{{Key: "two", Label: "Two legs carry all"}, {Key: "all", Label: "All, with an equaliser"}}},
		{Key: "hitch", Label: "Hitch", Kind: worksheet.Choice, Section: "Fine points", Default: "straight", Help: "Straight, or a basket whose sides are legs. A choker is rated about three quarters of that.",
			Options: []worksheet.Option{{Key: "straight", Label: "Straight"}, {Key: "choker", Label: "Choker"}}},
		{Key: "rated", Label: "Sling's rating", Ask: "What does the tag say?", Box: "tag", Kind: worksheet.Force, Units: kilo, Section: "Fine points", Example: "2000 lbf", Min: "1 lbf", Max: "1000000 lbf", Help: "Of one leg in straight vertical pull, from its tag. Empty: only the tension is worked out."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "tension", Label: "Most a leg carries", Kind: worksheet.Force, Units: kilo,
			Digits: worksheet.Digits{Inch: worksheet.Whole, Metric: 3}, Main: true, Dial: "sling"},
		{Key: "need", Label: "Rating needed", Kind: worksheet.Force, Units: kilo,
			Digits: worksheet.Digits{Inch: worksheet.Whole,
				Metric: 3}, Main: true, Plan: true, Dial: "sling", Help: "Of each leg in straight vertical pull."},
		{Key: "angle", Label: "Least angle", Kind: worksheet.Angle, Digits: worksheet.Digits{Inch: 1, Metric: 1},
			Main: true, Dial: "lay"},
		{Key: "lean", Label: "That leg leans, from the vertical", Kind: worksheet.Angle,
			Digits: worksheet.Digits{Inch: 1, Metric: 1}, Help: "Of the leg that pulls most: the worksheet 'eyebolt' takes it."},
		{Key: "factor", Label: "Tension over share", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 3, Metric: 3}},
		{Key: "inward", Label: "Inward pull on a lug", Kind: worksheet.Force, Units: kilo,
			Digits: worksheet.Digits{Inch: worksheet.Whole, Metric: 3}, Main: true, Dial: "sling"},
		{Key: "margin", Label: "Rating over what is asked", Kind: worksheet.Number,
			Digits: worksheet.Digits{Inch: 2, Metric: 2}, Plan: true, Dial: "margin"},
		{Key: "ok", Label: "Within the rating", Kind: worksheet.Flag, Judges: true},
		{Key: "legs", Label: "Leg by leg", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "leg", Label: "Leg", Kind: worksheet.Text}, {Key: "x", Label: "X", Kind: worksheet.Length}, {Key: "y", Label: "Y", Kind: worksheet.Length}, {Key: "rise", Label: "Hook above", Kind: worksheet.Length},
			{Key: "length", Label: "Length", Kind: worksheet.Length}, {Key: "angle", Label: "Angle", Kind: worksheet.Angle},
			{Key: "tension", Label: "Tension", Kind: worksheet.Force, Units: kilo}, {Key: "inward", Label: "Inward pull", Kind: worksheet.Force, Units: kilo}}},
	},
	Sources: []worksheet.Source{
		{Key: "B30.9", Title: "ASME B30.9 Slings: angles from the horizontal, hitches; 29 CFR 1926.251 Rigging equipment for material handling"},
		{Key: "statics", Title: "Statics: three forces through the hook"},
		{Key: "NAVEDTRA", Title: "US Navy NAVEDTRA 14081, wire rope slings: a rigid load on a three- or four-leg sling may hang on two legs"},
	},
	Example: []worksheet.Pair{{Key: "weight", Text: "600 lb"}, {Key: "legs", Text: "2"}, {Key: "angle", Text: "60"}, {Key: "rated", Text: "1000 lbf"}},
	Half:    slingHalf,
	Compute: computeSling,
}

// hung is what the three ways to describe the legs come to.
type hung struct {
	legs   []Leg
	lugs   []Lug
	most   Leg
	places bool // the lugs stand where they are in truth
	swings bool // it does not hang as it is
	usual  bool // at the usual angle: none was typed
}

// Worked lines of computeSling.
var (
	inwardPullStep   = worksheet.Step{What: "Inward pull on a lug", Formula: "tension x cos(angle)", Numbers: "", Result: "{s}", Source: "statics"}
	ratingNeededStep = worksheet.Step{What: "Rating needed in a choker", Formula: "tension / 0.75", Numbers: "{s} / 0.75", Result: "{s}", Source: "B30.9"}
)

func computeSling(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	w := v.As("weight", "lb")
	var h hung
	var f *worksheet.InputError
	switch v.Choice("how") {
	case "two":
		h, f = twoLegs(v, o, w)
	case "lugs":
		h, f = byLugs(v, o, w)
	default:
		h, f = alike(v, o, w)
	}
	if f != nil {
		return f
	}
	if h.swings {
		o.SetFlag("ok", false)
		return nil
	}
	least := 90.0
	for i, l := range h.legs {
		if i == 0 || l.Tension > h.most.Tension {
			h.most = l
		}
		if l.Tension > 0 {
			least = min(least, l.Angle)
		}
	}
	inward := 0.0
	worksheet.SetRows(o, "legs", h.legs, func(i int, l Leg) []worksheet.Cell {
		inward = max(inward, l.Inward)
		p := h.lugs[i]
		return worksheet.Cells("siiiidff", []string{strconv.Itoa(i + 1)},
			p.X, p.Y, p.Rise, l.Length, l.Angle, l.Tension, l.Inward)
	})
	t := h.most.Tension
	o.SetAll("tension lbf, angle deg, inward lbf, lean deg", t, least, inward, 90-h.most.Angle)
	o.Line(&inwardPullStep, []string{say(o, inward)})
	need := t
	if v.Choice("hitch") == "choker" {
		need = t / .75
		o.Line(&ratingNeededStep, []string{say(o, t), say(o, need)})
	}
	o.Set("need", need, "lbf")
	judge(v, o, h, t, need, least)
	return nil
}

func say(o *worksheet.Out, lbf float64) string {
	if o.System.Name() == "mm" {
		return o.Dec(lbf*4.4482216152605/1000, 3) + " kN"
	}
	return o.Dec(lbf, 0) + " lbf"
}

// Worked lines of alike.
var (
	tensionOverStep = worksheet.Step{What: "Tension over share", Formula: "1 / sin(angle)", Numbers: "{1} deg", Result: "{3}", Source: "B30.9"}
	tensionLegStep  = worksheet.Step{What: "Tension in a leg", Formula: "weight / legs that carry x factor", Numbers: "{s} / {s} x {3}", Result: "{s}", Source: "B30.9"}
)

// alike computes legs that are all equal.
func alike(v *worksheet.Values, o *worksheet.Out, w float64) (hung, *worksheet.InputError) {
	n := int(v.Choice("legs")[0] - '0')
	angle := v.As("angle", "deg")
	length, rise := v.In("leg"), v.In("rise")
	usual := n > 1 && !v.Given("angle")
	switch {
	case n == 1:
		angle = 90
	case v.Given("angle"):
	case !v.Has("leg") || !v.Has("rise"):
		o.Note("No angle was said: the usual 60 degrees is taken. Give it, or leg length and the hook's height above " +
			"the lugs.")
	case rise > length:
		return hung{}, v.Refuse("rise", "the hook cannot be farther above the lug than the leg is long. Check both.")
	default:
		angle, usual = math.Asin(rise/length)*180/math.Pi, false
	}
	carry := n
	if n > 2 && v.Choice("share") == "two" {
		carry = 2
		o.Note("A rigid load on " + strconv.Itoa(n) + " legs may hang on two of them: two are reckoned to carry it all.")
		o.Cite("NAVEDTRA")
	}
	factor := Factor(angle)
	t := w / float64(carry) * factor
	o.Set("factor", factor, "")
	o.Line(&tensionOverStep, nil, angle, factor)
	o.Line(&tensionLegStep, []string{say(o, w), strconv.Itoa(carry), say(o, t)}, factor)
	if !(length > 0) {
		length = 72 // for the picture only: the tension does not depend on it
	}
	out := length * math.Cos(angle*math.Pi/180)
	if n == 1 {
		out = 0
	}
	h := hung{places: v.Has("leg") && n > 1, usual: usual}
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		h.lugs = append(h.lugs, Lug{out * math.Cos(a), out * math.Sin(a), length * math.Sin(angle*math.Pi/180)})
		h.legs = append(h.legs, Leg{length, angle, t, t * math.Cos(angle*math.Pi/180)})
	}
	return h, nil
}

// twoLegs works out two legs of which one is nearer the centre of gravity:
//
//	T1 = W D2 S1 / (H (D1 + D2)),  T2 = W D1 S2 / (H (D1 + D2))
func twoLegs(v *worksheet.Values, o *worksheet.Out, w float64) (hung, *worksheet.InputError) {
	for _, k := range []string{"rise", "near", "far"} {
		if !v.Has(k) {
			return hung{}, v.Refuse(k, "it is missing. Two unlike legs need the hook's height and both level distances.")
		}
	}
	rise, d1, d2 := v.In("rise"), v.In("near"), v.In("far")
	if d1+d2 <= 0 {
		return hung{}, v.Refuse("far", "both lugs lie at the centre of gravity. Give the level distances, or choose one leg.")
	}
	h := hung{places: true, lugs: []Lug{{-d1, 0, rise}, {d2, 0, rise}}}
	for i, l := range h.lugs {
		s := math.Hypot(l.X, rise)
		other := worksheet.Either(i == 1, d1, d2)
		t := w * other / (d1 + d2) * s / rise
		angle := math.Atan2(rise, math.Abs(l.X)) * 180 / math.Pi
		h.legs = append(h.legs, Leg{s, angle, t, t * math.Cos(angle*math.Pi/180)})
		n := strconv.Itoa(i + 1)
		o.Work("Tension in leg "+n, "W x other distance / both x leg / rise", o.Fill("{s} x {len} / {len} x {len} / {len}", []string{say(o, w)}, other, d1+d2, s, rise), say(o, t), "statics")
	}
	o.Cite("B30.9")
	return h, nil
}

// byLugs computes legs from the lugs' places.
func byLugs(v *worksheet.Values, o *worksheet.Out, w float64) (hung, *worksheet.InputError) {
	if v.Rows("lugs") == 0 {
		return hung{}, v.Refuse("lugs", "there are none. Give X, Y and the hook's height of each, like 12, 8, 40.")
	}
	h := hung{places: true}
	for i := range v.Rows("lugs") {
		x, _ := v.Cell("lugs", i, 0, "in")
		y, _ := v.Cell("lugs", i, 1, "in")
		r, _ := v.Cell("lugs", i, 2, "in")
		h.lugs = append(h.lugs, Lug{x, y, r})
	}
	legs, f := Hang(w, h.lugs)
	if f != nil {
		o.HeadStop("It will swing: hook not over it", nil)
		o.FactStop("a lug on the other side of the balance", nil)
		o.Stop("It will swing: the balance does not lie between the lugs.", v.Label("lugs")+": "+f.Message)
		return hung{swings: true}, nil
	}
	h.legs = legs
	worst := 0
	for i, l := range legs {
		if l.Tension > legs[worst].Tension {
			worst = i
		}
	}
	l := legs[worst]
	o.Work("Most in leg "+strconv.Itoa(worst+1), "sum(T x/L) = 0, sum(T y/L) = 0, sum(T rise/L) = W", o.Fill("angle {1} deg", nil, l.Angle), say(o, l.Tension), "statics")
	o.Cite("B30.9")
	o.NoteIf(len(legs) > 3,
		"More than three legs on a rigid load share it as chance and stretch will have it. Each figure is the most that leg can be made to carry; they do not add up to the weight.")
	return h, nil
}

// typed writes a force as it was typed, not rounded.
func typed(o *worksheet.Out, lbf float64) string {
	return o.Scaled(lbf, 1, " lbf", .0044482216152605, 3, " kN")
}

// judge says whether it may be lifted: t is what the worst leg carries, need the rating it takes.
func judge(v *worksheet.Values, o *worksheet.Out, h hung, t, need, least float64) {
	flat := least < LeastAngle-1e-9
	const lugs = " Lugs, eyebolts and hook were not reckoned."
	at, who := o.Read("lay", h.most.Angle, "deg"), "Each leg pulls up to"
	flattest := ""
	if h.most.Angle > least+.5 { // it is not the leg that pulls most
		flattest = " The flattest leg lies at " + o.Read("lay", least, "deg") + "."
	}
	if len(h.legs) > 1 && v.Choice("how") != "equal" {
		who = "The leg that carries most pulls"
	}
	slingFirst(v, o, &h, need, least)
	text := o.Fill("{s} {sling lbf} at {s}: take slings tagged {sling lbf} or more in straight pull, for "+
		"starts and stops too. The tag was not said.", []string{who, at}, t, starts*need) + flattest + lugs
	if v.Has("rated") {
		rated := v.As("rated", "lbf")
		o.Set("margin", rated/need, "")
		o.SetFlag("ok", rated >= need && !flat)
		asks, _ := o.ReadApart("sling", need, rated, "lbf")
		tag := typed(o, rated)
		switch {
		case rated < need:
			way := " Use heavier ones."
			if up, ok := steeper(v, least, rated/need); ok {
				way = o.Fill(" Use heavier ones; at {0} degrees or steeper these would do.", nil, up)
			}
			o.Stop("Leg asks "+asks+", tag says "+tag+".", "The slings are overloaded."+way)
		case rated < starts*need:
			text = "Leg asks " + asks + " at " + at + ", tag says " + tag + ": little to spare." + flattest + lugs
			o.Hurt("Starting and stopping add a tenth to a quarter, and a quarter is over the tag. Take slings with room to " +
				"spare.")
		default:
			text = "Leg asks " + asks + " at " + at + ", tag says " + tag + "." + flattest + lugs
		}
	}
	switch {
	case flat:
		o.SetFlag("ok", false)
		angle, limit := o.ReadApart("lay", least, LeastAngle, "deg")
		o.Stop(angle+" is too flat: "+limit+" at least.",
			"A sling leg below 30 degrees from the horizontal is outside the sling standards: do not lift so."+rise(o, h))
		if v.Given("angle") && v.Choice("how") == "equal" {
			up := o.Dec(90-least, 2)
			o.Ask("angle", up, o.Dec(least, 2)+" from the horizontal? Measured from the vertical it would be "+up+".")
		}
	case least < 45:
		o.Hurt("A leg lies below 45 degrees. Some yards and many eyebolts allow no less; longer legs or a spreader are " +
			"better.")
	}
	o.SetText("verdict", text)
	if v.Choice("hitch") == "choker" {
		o.Hurt("Three quarters holds for a choke angle of 120 degrees or more. A choker drawn up tighter carries less: ask " +
			"the maker's table.")
	}
	o.Few()
	o.Note("Starting and stopping add a tenth to a quarter to these figures. Take slings with room to spare.")
	o.Note("The inward pull squeezes the load and bends lugs and eyebolts sideways: check those as well, with 'eyebolt'.")
	o.Note("A qualified person decides the lift, by the makers' tables and the local code. Use tagged gear in date, " +
		"look at it before use, keep everyone from under the load, and lift a hand's width first to see that it hangs level.")
}

// steeper gives the angle at which legs that are alike would be within their tag with a quarter to
// spare, where there is one: what a leg carries goes by 1/sin.
func steeper(v *worksheet.Values, angle, part float64) (up float64, ok bool) {
	s := 1.25 * math.Sin(angle*math.Pi/180) / part
	if v.Choice("how") != "equal" || v.Choice("legs") == "1" || s > 1 {
		return 0, false
	}
	return max(math.Ceil(math.Asin(s)*180/math.Pi-1e-9), LeastAngle), true
}

// rise gives how far the hook has to be above the lugs for no leg to be too flat, where the lugs'
// places are known.
func rise(o *worksheet.Out, h hung) string {
	if !h.places {
		return " Use longer legs or a spreader."
	}
	least := 0.0
	for i, l := range h.lugs {
		if h.legs[i].Tension > 0 {
			least = max(least, math.Hypot(l.X, l.Y)*math.Tan(LeastAngle*math.Pi/180))
		}
	}
	return o.Fill(" With longer legs and the hook {need in} above the lugs it would be 30; or use a spreader.", nil, least)
}
