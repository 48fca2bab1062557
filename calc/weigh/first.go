package weigh

import (
	"math"
	"strings"
	"unicode/utf8"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What a lift says first: headlines and facts. A lift that is good ends with who decides it.

const decides = "a qualified person decides"

// starts is what starting and stopping make of a leg's pull at most: a quarter more, as the notes say.
const starts = 1.25

// degrees writes an angle as an eye reads it, flatter: "50°".
func degrees(o *worksheet.Out, deg float64) string { return o.Fill("{=lay deg}°", nil, deg) }

// tagged writes a rating as it was typed, bare: "1,600", "7.1".
func tagged(o *worksheet.Out, lbf float64) string {
	text, _, _ := strings.Cut(typed(o, lbf), " ")
	whole, behind, point := strings.Cut(text, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return whole + worksheet.Either(point, "."+behind, "")
}

// slingHalf says what the slings lift while the weight is not typed.
func slingHalf(v *worksheet.Values, o *worksheet.Out) {
	if !v.Has("rated") || v.Choice("how") != "equal" {
		return
	}
	n := float64(v.Choice("legs")[0] - '0')
	angle := worksheet.Either(n == 1, 90, v.As("angle", "deg"))
	if v.Has("leg") && v.Has("rise") && !v.Given("angle") && v.In("rise") <= v.In("leg") {
		angle = math.Asin(v.In("rise")/v.In("leg")) * 180 / math.Pi
	}
	if n > 2 && v.Choice("share") == "two" {
		n = 2
	}
	if angle < LeastAngle {
		return
	}
	each := v.As("rated", "lbf") * worksheet.Either(v.Choice("hitch") == "choker", .75, 1)
	o.Head("Lifts {+grip lb}", nil, each*n/Factor(angle))
	o.Fact("at {s}, nothing for starts and stops", []string{degrees(o, angle)})
}

// slingFirst gives headline and facts of a lift: need is the rating it takes, least the flattest
// leg's angle.
func slingFirst(v *worksheet.Values, o *worksheet.Out, h *hung, need, least float64) {
	rated := v.As("rated", "lbf")
	at := degrees(o, h.most.Angle)
	pull := o.Fill("{=sling lbf}", nil, need)
	pulls := worksheet.Either(v.Choice("hitch") == "choker", "asks", "pulls")
	flat := least < LeastAngle-1e-9
	if flat {
		angle, limit := o.ReadApart("lay", least, LeastAngle, "deg")
		o.HeadStop("{s}° is too flat: {s} at least", []string{bare(angle), bare(limit)})
		longer(o, h)
	}
	if v.Has("rated") && rated < need {
		asks, _ := o.ReadApart("sling", need, rated, "lbf")
		asked := []string{pulls, grouped(bare(asks)), tagged(o, rated)}
		o.HeadStop("Leg {s} {s}, tag says {s}", asked)
		o.HeadStop("Leg {s} {s}, tag {s}", asked)
		if up, ok := steeper(v, least, rated/need); ok && !flat {
			o.FactStop("{0}° would do", nil, up)
		}
		o.FactStop("or heavier slings", nil)
	}
	switch which := worksheet.Either(v.Choice("how") == "equal", "Each leg", "Worst leg"); {
	case !v.Has("rated"):
		o.Head("{s} {+sling lbf}", []string{which}, need)
		if len(h.legs) == 1 {
			o.Head("{+sling lbf}, straight up", nil, need)
		} else {
			o.Head("{s} {+sling lbf} at {s}", []string{which, at}, need)
		}
		o.Fact(worksheet.Either(least < 45, "slings of {=sling lbf} or more", "take slings of {=sling lbf} or more"), nil,
			starts*need)
	default:
		o.Head("Leg {s} {s}, tag says {s}", []string{pulls, pull, tagged(o, rated)})
		if h.usual {
			o.Head("At {s} leg {s} {s}, tag {s}", []string{at, pulls, pull, tagged(o, rated)})
		}
		if rated < starts*need {
			o.Fact(worksheet.Either(least < 45, "▲ starts add a quarter", "▲ starts and stops add a quarter"), nil)
		}
	}
	if least < 45 { // never without who decides
		o.Fact("▲ {s}: {s}", []string{degrees(o, least), decides})
		o.Care()
	} else if v.Has("rated") && !h.usual && len(h.legs) > 1 {
		o.Fact(at, nil)
	}
	if v.Choice("hitch") == "choker" {
		o.Fact("▲ choke at 120° or wider", nil)
	}
	if len(h.legs) > 1 && h.most.Angle < 89.5 && v.Has("rated") {
		o.Fact("eyebolts {=lay deg}° over", nil, math.Ceil(90-h.most.Angle-1e-6))
	}
	if least >= 45 {
		o.Fact(decides, nil)
	}
}

// bare drops the unit behind a number.
func bare(text string) string {
	n, _, _ := strings.Cut(text, " ")
	return n
}

// longer says how much longer the legs have to be not to lie too flat, where the lugs' places are
// known.
func longer(o *worksheet.Out, h *hung) {
	more := 0.0
	if h.places {
		for i, l := range h.lugs {
			if h.legs[i].Tension > 0 && h.legs[i].Angle < LeastAngle {
				out := math.Hypot(l.X, l.Y)
				more = max(more, out/math.Cos(LeastAngle*math.Pi/180)-h.legs[i].Length)
			}
		}
	}
	if more > 0 {
		o.FactStop("legs {=need in} longer, or a spreader", nil, more)
		return
	}
	o.FactStop("longer legs or a spreader", nil)
}

// eyeFirst gives headline and facts of an eyebolt.
func eyeFirst(
	v *worksheet.Values, o *worksheet.Out, e Eyebolt, allowed, pull, angle float64, plain, weak bool,
) {
	carries, _ := o.ReadApart("tag", allowed, pull, "lbf")
	figures := []string{grouped(bare(carries)), tagged(o, up(o, pull))}
	over := worksheet.Either(angle <= StraightPull, "straight pull", o.Dec(angle, 1)+"° over")
	switch {
	case !v.Flag("flat"):
		o.HeadStop("Across the eye: it bends", nil)
		o.FactStop("turn the eye to the pull with shims", nil)
	case plain && angle > StraightPull:
		o.HeadStop("Plain eyebolt: straight pull only", nil)
		o.FactStop("seated shoulder eyebolt, or a spreader", nil)
	case angle > SteepestPull:
		o.HeadStop("Eyebolt {s}: 45 at most", []string{over})
		o.FactStop("longer legs or a spreader", nil)
	case allowed == 0 || pull > allowed:
		if allowed == 0 {
			o.HeadStop("Too small an eyebolt {s}", []string{over})
		}
		o.HeadStop("Eye carries {s}, pull is {s}", figures)
		o.HeadStop("Eye carries {s}, no more", figures)
		if a, ok := straighter(e, v.As("rated", "lbf"), pull, angle); ok {
			o.FactStop("{0}° or less does", nil, a)
		}
		if big := bigger(e, pull, angle); big != "" {
			o.FactStop("or a {s} eyebolt", []string{big})
		}
		o.FactStop(over, nil)
	}
	switch {
	case weak:
	case !v.Given("angle"):
		o.Wants("angle")
		o.Head("Straight {s}", figures)
	case !v.Has("grip") || !(e.Dia > 0):
		if e.Dia > 0 {
			o.Wants("grip")
		}
		o.Head("Carries {s}", figures)
		o.Fact("pull is {s}", figures[1:])
	case pull > .8*allowed:
		o.Head("Carries it, just: {s} of {s}", []string{figures[1], figures[0]})
		o.Fact("▲ starts and stops add a quarter", nil)
	default:
		o.Head("Eye carries {s}, pull is {s}", figures)
		o.Head("Eye carries {s}, pull is {s} {s}", append(figures, worksheet.Either(o.System == units.MetricSystem,
			"kN", "lbf")))
	}
	o.Fact(over, nil)
	if !v.Has("rated") {
		o.Fact("▲ read its marking", nil)
	}
	o.Fact(decides, nil)
}

// up rounds a pull up to what is told of it.
func up(o *worksheet.Out, lbf float64) float64 {
	if o.System == units.MetricSystem {
		const kilo = 224.80894309971
		return math.Ceil(float64(lbf/kilo*1000)-1e-6) / 1000 * kilo
	}
	return math.Ceil(lbf - 1e-6)
}

// grouped sets the thousands of a whole number apart.
func grouped(whole string) string {
	if strings.Contains(whole, ".") {
		return whole
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return whole
}

// weighFirst gives headline and facts of a weight; over is what the scale reads over the reckoning
// in per cent, light from where it is not believed.
func weighFirst(v *worksheet.Values, o *worksheet.Out, t Total, lift, over, light float64) {
	o.Head("{+lift lb} to lift", nil, lift)
	weighs := o.Fill("weighs {=weight lb}", nil, t.Weight)
	switch {
	case v.Has("scale") && over < light:
		o.Head("{+lift lb} to lift: scale reads less", nil, lift)
		weighs = o.Fill("▲ {percent %} less: hoist carrying some?", nil, -over)
	case v.Has("scale") && over >= 0:
		o.Head("{+lift lb} to lift: scale says so", nil, lift)
		weighs = o.Fill("{percent %} over reckoned", nil, over)
	}
	o.Fact(weighs, nil)
	at := o.Fill("{=balance in} from left, {=balance in} from front, {=balance in} up", nil, t.Centre[0]-t.Low[0],
		t.Centre[1]-t.Low[1], t.Centre[2]-t.Low[2])
	if n := utf8.RuneCountInString(weighs + " · balances " + at); n <= worksheet.FactsMost {
		at = "balances " + at
	}
	o.Fact(at, nil)
}
