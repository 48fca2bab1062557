package uncertainty

import (
	"math"

	"datumbook/calc/worksheet"
)

var acceptSheet = worksheet.Sheet{
	Name: "accept", Title: "Accept or reject", Question: "Is it inside, and how sure is that?", Group: group, Drawing: "accept",
	About: []string{
		"Holds a measured size with its uncertainty against the limits. The acceptance zone is the tolerance made smaller by a guard band, so that a part in it is good beyond doubt; or the tolerance itself, with the risk shared; or the tolerance made larger, so that only a part that is surely bad is thrown out.",
		"Which rule holds is agreed with who gets the part, before measuring. The drawing's and the customer's rules come first.",
	},
	Inputs: []worksheet.Input{
		{Key: "size", Label: "Measured", Kind: worksheet.Length, Ask: "What does it read?", Box: "measured", Required: true, Example: "2.00035", Min: "-1000 in", Max: "1000 in", Help: "The size as measured, corrected for what is known."},
		{Key: "unsure", Label: "Uncertainty", Kind: worksheet.Length, Ask: "How sure is that?", Box: "sure to ±", Required: true, Example: ".0002", Min: "0.0000001 in", Max: "10 in", Help: "Of the measured size, from 'How sure' or 'Repeated readings'."},
		{Key: "as", Label: "Given as", Kind: worksheet.Choice, Default: "k2", Help: "How the uncertainty is given.", Options: []worksheet.Option{{Key: "k2", Label: "U with k = 2"}, {Key: "std", Label: "standard uncertainty"}}},
		{Key: "low", Label: "Low limit", Kind: worksheet.Length, Ask: "What low limit?", Box: "low limit", Example: "1.9995", Min: "-1000 in", Max: "1000 in", Help: "Leave it empty where there is none."},
		{Key: "high", Label: "High limit", Kind: worksheet.Length, Ask: "What limits?", Box: "high limit", Example: "2.0005", Min: "-1000 in", Max: "1000 in", Help: "Leave it empty where there is none."},
		{Key: "rule", Label: "Rule", Kind: worksheet.Choice, Default: "in", Help: "Who is protected.", Options: []worksheet.Option{
			{Key: "in", Label: "sure it is good"}, {Key: "simple", Label: "half and half"}, {Key: "out", Label: "surely bad only"}}},
		{Key: "prob", Label: "Sureness at the edge", Kind: worksheet.Percent, Section: "Fine points", Example: "95", Min: "50", Max: "99.999", Help: "Sets the guard band by the probability wanted at the edge of the zone. Empty: the guard band is U, which is about 97.7 %."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "accept", Label: "Accept", Kind: worksheet.Flag, Judges: true, Main: true},
		{Key: "inside", Label: "Chance that it is inside", Kind: worksheet.Percent, Main: true, Dial: "chance",
			Digits: worksheet.Digits{Inch: 2, Metric: 2}},
		{Key: "zonelow", Label: "Accept from", Kind: worksheet.Length, Main: true, Digits: fine, Dial: "least"},
		{Key: "zonehigh", Label: "Accept to", Kind: worksheet.Length, Main: true, Digits: fine, Dial: "most"},
		{Key: "guard", Label: "Guard band", Kind: worksheet.Length, Digits: fine},
		{Key: "state", Label: "State", Kind: worksheet.Text},
		{Key: "toolow", Label: "Probability that it is too small", Kind: worksheet.Percent, Digits: worksheet.Digits{Inch: 2, Metric: 2}}, {Key: "toohigh", Label: "Probability that it is too large", Kind: worksheet.Percent, Digits: worksheet.Digits{Inch: 2, Metric: 2}},
		{Key: "ratio", Label: "Tolerance to the spread of measuring", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 2, Metric: 2}, Help: "Tolerance over 2 U: 4 and more is comfortable, below 1 it cannot be decided."},
		{Key: "size", Label: "Measured", Kind: worksheet.Length, Digits: fine}, {Key: "std", Label: "Standard uncertainty", Kind: worksheet.Length, Digits: fine},
		{Key: "low", Label: "Low limit", Kind: worksheet.Length, Digits: fine}, {Key: "high", Label: "High limit", Kind: worksheet.Length, Digits: fine},
	},
	Sources: []worksheet.Source{
		{Key: "JCGM 106", Title: "JCGM 106:2012 Evaluation of measurement data - The role of measurement uncertainty in conformity assessment, clauses 7 and 8"},
		srcGUM, {Key: "practice", Title: "Common practice, no published source: tolerance four times the uncertainty of measuring"},
	},
	Example: []worksheet.Pair{{Key: "size", Text: "2.00035 in"}, {Key: "unsure", Text: "0.0002 in"}, {Key: "low", Text: "1.9995 in"}, {Key: "high", Text: "2.0005 in"}},
	Compute: computeAccept,
}

func computeAccept(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	y, u := v.In("size"), v.In("unsure")
	if v.Choice("as") == "k2" {
		u /= 2
	}
	l := Limits{math.Inf(-1), math.Inf(1)}
	if v.Has("low") {
		l.Low = v.In("low")
	}
	if v.Has("high") {
		l.High = v.In("high")
	}
	switch {
	case !v.Has("low") && !v.Has("high"):
		return v.Refuse("high", "is missing, and so is the low limit. Type one or both.")
	case l.High-l.Low < 1e-7:
		o.HeadStop("High limit is the lower one", nil)
		return v.Refuse("high", "must be above the low limit.")
	}
	rule := Rule(v.Choice("rule"))
	guard := 2 * u
	if v.Has("prob") {
		guard = u * Guard(v.Num("prob")/100)
	}
	if rule == Share {
		guard = 0
	}
	z := l.Zone(rule, guard)
	inside, low, high := l.Conforms(y, u), Limits{math.Inf(-1), l.Low}.Conforms(y, u), Limits{l.High, math.Inf(1)}.Conforms(y, u)
	if math.IsInf(l.Low, -1) {
		low = 0
	}
	if math.IsInf(l.High, 1) {
		high = 0
	}
	o.SetAll("size in, std in, guard in, inside %, toolow %, toohigh %",
		y, u, guard, inside*100, low*100, high*100)
	o.SetIf(v.Has("low"), "low in", l.Low)
	o.SetIf(v.Has("high"), "high in", l.High)
	tellBy(o, 2*u, 0)
	if z.Empty() {
		o.SetFlag("accept", false)
		o.SetText("state", "cannot be decided")
		o.HeadStop("Cannot tell: gauge too coarse", nil)
		o.FactStop("doubt takes the whole tolerance", nil)
		o.FactStop("sure to ±{s}", []string{bare(o, 2*u)})
		o.Stop("Cannot tell: guard bands of "+unsure(o, guard)+" take the whole tolerance.",
			"The tolerance is smaller than what the measuring leaves unsure. Measure it better before deciding.")
	} else {
		o.SetFlag("accept", z.Holds(y))
		o.SetText("state", decide(o, rule, l, guard, y, inside))
		o.SetIf(!math.IsInf(z.Low, -1), "zonelow in", z.Low)
		o.SetIf(!math.IsInf(z.High, 1), "zonehigh in", z.High)
	}
	tellFacts(v, o, l, y, u)
	workAccept(v, o, l, z, y, u, guard)
	risk := "Rule 'sure it is good': who gets the part is protected, and some good parts near the limits are turned away."
	switch rule {
	case Share:
		risk = "Rule 'half and half': at the limit itself the chance of a wrong decision is even; both sides carry it."
	case ProveOut:
		risk = "Rule 'surely bad only': who makes the part is protected, and some bad parts near the limits are passed."
	}
	o.Note(risk + " The agreed rule of the order comes first.")
	o.Cite("JCGM 100")
	return nil
}

// decide puts the decision in words, with how far inside or outside the size lies, and gives its
// state. A value within a guard band of a limit is in doubt under the rules with one.
func decide(o *worksheet.Out, rule Rule, l Limits, guard, y, chance float64) string {
	room := min(y-l.Low, l.High-y)
	off := o.Read("micrometer", math.Abs(room), "in")
	within := l.Holds(y)
	says := worksheet.Either(within, "inside by "+off, worksheet.Either(y > l.High, "too big by ", "too small by ")+off)
	if off == o.Read("micrometer", 0, "in") {
		says = "it measures at the limit itself"
	}
	odds := o.Fill(" {s} in 100 that it is inside.", []string{percent(o, chance)})
	headAccept(o, rule, l, guard, y, chance)
	surely, surelyOut := l.Zone(ProveIn, guard).Holds(y), !l.Zone(ProveOut, guard).Holds(y)
	switch {
	case rule == Share && within:
		o.SetText("verdict", "Accept: "+says+"."+odds)
		return "in"
	case rule == Share:
		o.Stop("Reject: "+says+"."+odds, "It measures outside the limits.")
		return "out"
	case surelyOut:
		o.Stop("Reject: "+says+", and surely.", "It is outside the limits by more than the guard band.")
		return "surely out"
	case rule == ProveIn && surely:
		o.SetText("verdict", "Accept: "+says+", and surely."+odds)
		return "surely in"
	case rule == ProveIn:
		o.SetText("verdict", "In doubt, not accepted: "+says+"."+odds)
		o.Caution("It lies within the guard band of a limit. Measure it better, or ask who gets the part.")
		return "in doubt"
	case within:
		o.SetText("verdict", "Accept: "+says+"."+odds)
		return "in"
	}
	o.SetText("verdict", "In doubt, accepted by this rule: "+says+"."+odds)
	o.Caution("It measures outside, but by less than the guard band, so it is not proven out.")
	return "in doubt"
}

// headAccept says good, bad or in doubt, and by how much.
func headAccept(o *worksheet.Out, rule Rule, l Limits, guard, y, chance float64) {
	room := min(y-l.Low, l.High-y)
	at := o.Read("micrometer", math.Abs(room), "in") == o.Read("micrometer", 0, "in")
	within, off := l.Holds(y), math.Abs(room)
	odds := []string{percent(o, chance)}
	switch {
	case at:
		o.HeadStop("Just past the limit", nil)
	case y > l.High:
		o.HeadStop("Too big by {=micrometer in}", nil, off)
	default:
		o.HeadStop("Too small by {=micrometer in}", nil, off)
	}
	o.FactStop(worksheet.Either(rule == Share, "{s} in 100 inside", "and surely"), odds)
	switch inDoubt := rule != Share && !l.Zone(ProveIn, guard).Holds(y) && (rule == ProveIn || !within); {
	case inDoubt && at:
		o.Head("In doubt: right at the limit", nil)
	case inDoubt:
		side := worksheet.Either(y > l.High, "over", worksheet.Either(within, "inside", "under"))
		o.Head("In doubt: {=micrometer in} {s}", []string{side}, off)
		o.Head("In doubt: {=micrometer in} {s} the limit", []string{side}, off)
	case at:
		o.Head("Good: right at the limit", nil)
	default:
		o.Head("Good: inside by {=micrometer in}", nil, off)
	}
	if !l.Zone(ProveIn, guard).Holds(y) || rule == Share {
		o.Fact("{s} in 100 inside", odds)
	}
	switch {
	case rule == ProveIn && !l.Zone(ProveIn, guard).Holds(y):
		o.Fact("measure finer, or ask", nil)
	case rule == ProveOut && !within:
		o.Fact("passes: not surely bad", nil)
	}
}

// tellFacts says the size with its doubt, and the limits.
func tellFacts(v *worksheet.Values, o *worksheet.Out, l Limits, y, u float64) {
	o.Fact("{=micrometer in} ± {s}", []string{bare(o, 2*u)}, y)
	if ratio := (l.High - l.Low) / (4 * u); ratio < 4 {
		o.Fact("▲ tolerance {margin } times the spread", nil, ratio)
	}
	switch low, high := v.In("low"), v.In("high"); {
	case v.Has("low") && v.Has("high"):
		o.Fact("limits {=in}, {=in}", nil, low, high)
	case v.Has("low"):
		o.Fact("limit {=in}", nil, low)
	default:
		o.Fact("limit {=in}", nil, high)
	}
}

// percent writes a chance as so many in 100; 99 is the most that is said.
func percent(o *worksheet.Out, chance float64) string {
	text := o.Read("chance", chance*100, "%")
	return text[:len(text)-1]
}

// Worked lines of workAccept.
var (
	guardBandStep = worksheet.Step{What: "Guard band", Formula: "g = z u, Phi(z) = the probability wanted",
		Numbers: "{3} x {s}", Result: "{s}", Source: "JCGM 106"}
	guardBandStep2 = worksheet.Step{What: "Guard band", Formula: "g = U = 2 u", Numbers: "2 x {s}",
		Result: "{s}", Source: "JCGM 106"}
	insideByStep = worksheet.Step{What: "Inside by", Formula: "min(y - T_L, T_U - y), in doubt from -g to g",
		Numbers: "{s}, g = {s}", Result: "{s}", Source: "JCGM 106"}
	probabilityThatStep = worksheet.Step{What: "Probability that it is inside", Formula: "p = Phi((T_U - y)/u) - Phi((T_L - y)/u)", Numbers: "{s} - {s}", Result: "{2} %", Source: "JCGM 106"}
	toleranceSpreadStep = worksheet.Step{What: "Tolerance to the spread of measuring", Formula: "C_m = T/(4 u)", Numbers: "{s}/(4 x {s})", Result: "{2}", Source: "JCGM 106"}
)

func workAccept(v *worksheet.Values, o *worksheet.Out, l, z Limits, y, u, guard float64) {
	if v.Has("prob") && Rule(v.Choice("rule")) != Share {
		o.Line(&guardBandStep, []string{digits(o, u, false), two(o, guard)}, Guard(v.Num("prob")/100))
	} else if guard > 0 {
		o.Line(&guardBandStep2, []string{digits(o, u, false), two(o, guard)})
	}
	room := min(y-l.Low, l.High-y)
	whole := func(x float64) string { return o.Scaled(x, 7, "", 25.4, 6, "") }
	more, less := l.High, y
	if y-l.Low < l.High-y {
		more, less = y, l.Low
	}
	nearest := whole(more) + " - " + whole(less)
	o.Line(&insideByStep, []string{nearest, two(o, guard), digits(o, room, true)})
	high, low := "1", "0"
	if v.Has("high") {
		high = o.Fill("Phi({3})", nil, (l.High-y)/u)
	}
	if v.Has("low") {
		low = o.Fill("Phi({3})", nil, (l.Low-y)/u)
	}
	o.Line(&probabilityThatStep, []string{high, low}, l.Conforms(y, u)*100)
	if !v.Has("low") || !v.Has("high") {
		return
	}
	ratio := (l.High - l.Low) / (4 * u)
	o.Set("ratio", ratio, "")
	o.Line(&toleranceSpreadStep, []string{digits(o, l.High-l.Low, false), digits(o, u, false)}, ratio)
	if ratio < 4 && !z.Empty() {
		o.Caution(o.Fill("The tolerance is only {margin } times the spread of measuring, where 4 is the usual wish: expect "+
			"parts in doubt.", nil, ratio))
		o.Cite("practice")
	}
}
