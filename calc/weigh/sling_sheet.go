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
		{Key: "weight", Label: "Weight", Kind: worksheet.Mass, Required: true, Example: "600", Min: "0.1 lb", Max: "200000 lb", Help: "With the allowance for a casting, hooks and slings on it."},
		{Key: "how", Label: "Legs", Kind: worksheet.Choice, Default: "equal", Help: "All alike; two unlike because the balance is off the middle; or any lugs by their place.",
			Options: []worksheet.Option{{Key: "equal", Label: "All alike"}, {Key: "two", Label: "Two, balance off the middle"}, {Key: "lugs", Label: "Lugs by their place"}}},
		{Key: "legs", Label: "Number of legs", Kind: worksheet.Choice, Default: "2", Help: "For legs that are all alike. Each side of a basket counts as a leg.",
			Options: []worksheet.Option{{Key: "1", Label: "1"}, {Key: "2", Label: "2"}, {Key: "3", Label: "3"}, {Key: "4", Label: "4"}}},
		{Key: "angle", Label: "Angle from the horizontal", Kind: worksheet.Angle, Example: "60", Min: "1", Max: "90", Help: "Of each leg, not between the legs. Or give leg and rise below."},
		{Key: "leg", Label: "Leg length", Kind: worksheet.Length, Example: "72", Min: "1 in", Max: "4000 in", Help: "From lug to hook, in place of the angle."},
		{Key: "rise", Label: "Hook above the lugs", Kind: worksheet.Length, Example: "60", Min: "0.1 in", Max: "4000 in", Help: "Straight up, with the slings tight."},
		{Key: "near", Label: "Balance to first lug", Kind: worksheet.Length, Section: "Two legs", Example: "24", Min: "0 in", Max: "2000 in", Help: "Level distance from the centre of gravity to the first lug."},
		{Key: "far", Label: "Balance to second lug", Kind: worksheet.Length, Section: "Two legs", Example: "36", Min: "0 in", Max: "2000 in", Help: "Level distance to the second lug, on the other side."},
		{Key: "lugs", Label: "Lugs", Kind: worksheet.Table, Section: "Lugs by their place", MinRows: 1, MaxRows: 8, Example: "12, 8, 40; -12, 8, 40; -12, -8, 40; 12, -8, 40",
			Help:    "X and Y from the centre of gravity, and how far the hook is above that lug.",
			Columns: []worksheet.Column{{Key: "x", Label: "X", Kind: worksheet.Length, Min: "-2000 in", Max: "2000 in"}, {Key: "y", Label: "Y", Kind: worksheet.Length, Min: "-2000 in", Max: "2000 in"}, {Key: "rise", Label: "Hook above", Kind: worksheet.Length, Min: "0.1 in", Max: "4000 in"}}},
		{Key: "share", Label: "Who carries", Kind: worksheet.Choice, Section: "Fine points", Default: "two", Help: "Three or four legs alike on a rigid load: two legs, or all where an equaliser makes them share.",
			Options: []worksheet.Option{{Key: "two", Label: "Two legs carry all"}, {Key: "all", Label: "All, with an equaliser"}}},
		{Key: "hitch", Label: "Hitch", Kind: worksheet.Choice, Section: "Fine points", Default: "straight", Help: "A choker is rated about three quarters of the straight pull.",
			Options: []worksheet.Option{{Key: "straight", Label: "Straight, or basket"}, {Key: "choker", Label: "Choker"}}},
		{Key: "rated", Label: "Sling's rating", Kind: worksheet.Force, Units: kilo, Section: "Fine points", Example: "2000 lbf", Min: "1 lbf", Max: "1000000 lbf", Help: "Of one leg in straight vertical pull, from its tag. Empty: only the tension is worked out."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "tension", Label: "Most a leg carries", Kind: worksheet.Force, Units: kilo, Digits: worksheet.Digits{Inch: worksheet.Whole, Metric: 3}, Main: true},
		{Key: "need", Label: "Rating needed", Kind: worksheet.Force, Units: kilo, Digits: worksheet.Digits{Inch: worksheet.Whole, Metric: 3}, Main: true, Help: "Of each leg in straight vertical pull."},
		{Key: "angle", Label: "Least angle", Kind: worksheet.Angle, Digits: worksheet.Digits{Inch: 1, Metric: 1}, Main: true},
		{Key: "factor", Label: "Tension over share", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 3, Metric: 3}},
		{Key: "inward", Label: "Inward pull on a lug", Kind: worksheet.Force, Units: kilo, Digits: worksheet.Digits{Inch: worksheet.Whole, Metric: 3}, Main: true},
		{Key: "margin", Label: "Rating over tension", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}},
		{Key: "ok", Label: "Within the rating", Kind: worksheet.Flag},
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
	Compute: computeSling,
}

// hung is what the three ways to describe the legs come to.
type hung struct {
	legs []Leg
	lugs []Lug
	most Leg
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
	o.SetAll("tension lbf, angle deg, inward lbf", t, least, inward)
	o.Line(&inwardPullStep, []string{say(o, inward)})
	need := t
	if v.Choice("hitch") == "choker" {
		need = t / .75
		o.Line(&ratingNeededStep, []string{say(o, t), say(o, need)})
	}
	o.Set("need", need, "lbf")
	judge(v, o, t, need, least)
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
	switch {
	case n == 1:
		angle = 90
	case v.Has("angle"):
	case !v.Has("leg") || !v.Has("rise"):
		return hung{}, v.Refuse("angle", "it is missing. Give the angle, or leg length and the hook's height above the lugs.")
	case rise > length:
		return hung{}, v.Refuse("rise", "the hook cannot be farther above the lug than the leg is long. Check both.")
	default:
		angle = math.Asin(rise/length) * 180 / math.Pi
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
	h := hung{}
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
	h := hung{lugs: []Lug{{-d1, 0, rise}, {d2, 0, rise}}}
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
	h := hung{}
	for i := range v.Rows("lugs") {
		x, _ := v.Cell("lugs", i, 0, "in")
		y, _ := v.Cell("lugs", i, 1, "in")
		r, _ := v.Cell("lugs", i, 2, "in")
		h.lugs = append(h.lugs, Lug{x, y, r})
	}
	legs, f := Hang(w, h.lugs)
	if f != nil {
		return h, v.Refuse("lugs", f.Message)
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

// judge says whether it may be lifted.
func judge(v *worksheet.Values, o *worksheet.Out, t, need, least float64) {
	text := "Each leg must carry up to " + say(o, t) + "; use slings rated " + say(o, need) + " or more in straight pull."
	if v.Has("rated") {
		rated := v.As("rated", "lbf")
		o.Set("margin", rated/need, "")
		o.SetFlag("ok", rated >= need)
		if rated >= need {
			text = "Within the rating: up to " + say(o, need) + " asked of slings rated " + say(o, rated) + "."
		} else {
			text = "Too much for these slings: up to " + say(o, need) + " asked of a rating of " + say(o, rated) + "."
			o.Refuse("The slings are overloaded. Use heavier ones, longer legs, or a spreader.")
		}
	}
	switch {
	case least < LeastAngle-1e-9:
		text = o.Fill("Do not lift so: a leg lies at {1} degrees, and below 30 degrees slings are not rated. Use longer legs or a spreader.", nil, least)
		o.Refuse("A sling leg below 30 degrees from the horizontal is outside the sling standards.")
	case least < 45:
		o.Caution("A leg lies below 45 degrees. Some yards and many eyebolts allow no less; longer legs or a spreader are better.")
	}
	o.SetText("verdict", text)
	o.CautionIf(v.Choice("hitch") == "choker",
		"Three quarters holds for a choke angle of 120 degrees or more. A choker drawn up tighter carries less: ask the maker's table.")
	o.Caution("Starting and stopping add a tenth to a quarter to these figures. Take slings with room to spare.")
	o.Caution("The inward pull squeezes the load and bends lugs and eyebolts sideways: check those as well.")
	o.Caution("A qualified person decides the lift. Use tagged gear in date, look at it before use, keep everyone from under the load, and lift a hand's width first to see that it hangs level.")
}
