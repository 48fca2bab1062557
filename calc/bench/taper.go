package bench

import (
	"math"
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// TaperHalf is the angle in degrees between side and axis of a taper that goes
// from one diameter to another over a length: tan(half) = (D - d)/(2 L).
func TaperHalf(big, small, length float64) float64 {
	return math.Atan2(big-small, 2*length) / rad
}

// DiscsHalf is the same of a taper that touches two discs or balls whose
// centres lie a distance apart on its axis: sin(half) = (D - d)/(2 C). The
// difference of the radii must be less than the distance.
func DiscsHalf(big, small, centres float64) float64 {
	return math.Asin((big-small)/2/centres) / rad
}

// PinsEnd is the diameter of a taper where it stands on the plate, from the
// size over two pins lying on the plate against its sides: d = M - p (1 +
// 1/tan((90 - half)/2)). half is less than 0 where the large end is down.
func PinsEnd(over, pin, half float64) float64 {
	return over - pin - pin/math.Tan((90-half)/2*rad)
}

// BallsMouth is the diameter at the face of a taper hole whose sides touch a
// ball with its centre at a depth below the face: D = 2 (R/cos(half) + c tan(half)).
func BallsMouth(ball, depth, half float64) float64 {
	return ball/math.Cos(half*rad) + float64(2*depth*math.Tan(half*rad))
}

var taperSheet = worksheet.Sheet{
	Name: "taper", Title: "Taper", Question: "What taper is it, and how is it set?", Group: group, Drawing: "taper",
	About: []string{
		"Taper from two diameters and a length, from its rate, ratio or angle, or measured: over two pins on blocks, by two discs, or by two balls in a hole. Rate and ratio are of the diameter; the angle is across the whole taper, and the half of it sets a swivelled slide.",
	},
	Inputs: []worksheet.Input{
		{Key: "from", Label: "Known", Kind: worksheet.Choice, Default: "ends", Help: "What the taper is worked out from.", Options: []worksheet.Option{
			{Key: "ends", Label: "two diameters and length"}, {Key: "rate", Label: "rate"}, {Key: "ratio", Label: "ratio"}, {Key: "angle", Label: "angle"},
			{Key: "pins", Label: "over pins"},
			{Key: "discs", Label: "two discs"}, {Key: "balls", Label: "two balls in a hole"}}},
		{Key: "big", Label: "Large diameter", Kind: worksheet.Length, Ask: "Large end?", Box: "large end", Example: "1", Min: "0.001 in", Max: "200 in", Help: "At the large end."},
		{Key: "small", Label: "Small diameter", Kind: worksheet.Length, Ask: "Small end?", Box: "small end", Example: "1", Min: "0.001 in", Max: "200 in", Help: "At the small end."},
		{Key: "length", Label: "Length", Kind: worksheet.Length, Ask: "How long?", Box: "length", Example: "1", Min: "0.001 in", Max: "200 in", Help: "Along the axis between those diameters."},
		{Key: "rate", Label: "Rate", Kind: worksheet.Slope, Ask: "How much in a foot?", Box: "rate", Example: "0.6", Min: "0.001 in/ft", Max: "100 in/ft", Help: "Change of diameter over length, as taper per foot or millimetres a metre."},
		{Key: "ratio", Label: "Ratio 1 to", Kind: worksheet.Number, Box: "1 in", Example: "10", Min: "0.1", Max: "1000", Help: "Length in which the diameter changes by one."},
		{Key: "angle", Label: "Angle", Kind: worksheet.Angle, Ask: "What whole angle?", Box: "whole angle", Example: "8d18'", Min: "0.01", Max: "170", Help: "The whole angle, from side to side."},
		{Key: "overall", Label: "Length between centres", Kind: worksheet.Length, Box: "between centres", Example: "10", Min: "0.1 in", Max: "400 in", Help: "Of the whole part, for the set-over of a tailstock."},
		{Key: "pin", Label: "Pin diameter", Kind: worksheet.Length, Ask: "Pins how thick?", Box: "pins", Section: "Over pins", Example: "1", Min: "0.001 in", Max: "200 in", Help: "Both pins alike."},
		{Key: "low", Label: "Over pins, low", Kind: worksheet.Length, Ask: "Over the pins on the plate?", Box: "over pins, low", Section: "Over pins", Example: "1", Min: "0.001 in", Max: "200 in", Help: "Pins on the plate."},
		{Key: "high", Label: "Over pins, high", Kind: worksheet.Length, Ask: "Over the pins on the blocks?", Box: "over pins, high", Section: "Over pins", Example: "1", Min: "0.001 in", Max: "200 in", Help: "Pins on the blocks."},
		{Key: "blocks", Label: "Blocks", Kind: worksheet.Length, Ask: "Blocks how high?", Box: "blocks", Section: "Over pins", Example: "1", Min: "0.001 in", Max: "200 in", Help: "Height of the blocks under the pins."},
		{Key: "disc1", Label: "Large disc", Kind: worksheet.Length, Box: "large disc", Section: "Discs", Example: "1", Min: "0.001 in", Max: "200 in", Help: "Diameter."},
		{Key: "disc2", Label: "Small disc", Kind: worksheet.Length, Box: "small disc", Section: "Discs", Example: "1", Min: "0.001 in", Max: "200 in", Help: "Diameter."},
		{Key: "apart", Label: "Centres apart", Kind: worksheet.Length, Ask: "Centres how far apart?", Box: "centres apart", Section: "Discs", Example: "1", Min: "0.001 in", Max: "200 in", Help: "From centre to centre."},
		{Key: "ball1", Label: "Large ball", Kind: worksheet.Length, Box: "large ball", Section: "Balls in a hole", Example: "1", Min: "0.001 in", Max: "200 in", Help: "Diameter."},
		{Key: "ball2", Label: "Small ball", Kind: worksheet.Length, Box: "small ball", Section: "Balls in a hole", Example: "1", Min: "0.001 in", Max: "200 in", Help: "Diameter."},
		{Key: "top1", Label: "Large ball's top", Kind: worksheet.Length, Ask: "Large ball how deep?", Box: "its top", Section: "Balls in a hole", Example: "1", Min: "-20 in", Max: "200 in", Help: "From the face down to it; less than nothing where it stands out."},
		{Key: "top2", Label: "Small ball's top", Kind: worksheet.Length, Ask: "Small ball how deep?", Box: "its top", Section: "Balls in a hole", Example: "1", Min: "-20 in", Max: "200 in", Help: "From the face down to it."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "rate", Label: "Rate", Kind: worksheet.Slope, Main: true, Dial: "four"}, {Key: "ratio",
			Label: "Ratio 1 to", Kind: worksheet.Number, Main: true, Dial: "four"},
		{Key: "angle", Label: "Angle, whole", Kind: worksheet.Angle, Main: true, Dial: "sine"}, {Key: "half",
			Label: "Half angle, to set a slide", Kind: worksheet.Angle, Main: true, Dial: "swivel"},
		{Key: "dms", Label: "Whole, half", Kind: worksheet.Text},
		{Key: "big", Label: "Large diameter", Kind: worksheet.Length, Dial: "micrometer"},
		{Key: "small", Label: "Small diameter", Kind: worksheet.Length, Dial: "micrometer"},
		{Key: "length", Label: "Length", Kind: worksheet.Length, Dial: "wheel"},
		{Key: "plate", Label: "Diameter at the plate", Kind: worksheet.Length, Dial: "touch"}, {Key: "mouth",
			Label: "Diameter at the face", Kind: worksheet.Length, Dial: "touch"},
		{Key: "setover", Label: "Tailstock set-over", Kind: worksheet.Length, Dial: "wheel"},
		{Key: "per", Label: "Advance for 0.001 in of diameter", Kind: worksheet.Length, Help: "How much further a gauge goes on when a thousandth comes off the diameter."},
	},
	Sources: []worksheet.Source{srcGeometry, {Key: "ISO 1119", Title: "ISO 1119:2011 Series of conical tapers and taper angles"}, {Key: "MH", Title: "Machinery's Handbook, 31st edition: tapers, rules for figuring and measuring"}, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "big", Text: "0.700 in"}, {Key: "small", Text: "0.572 in"}, {Key: "length", Text: "2.5625 in"}},
	Compute: computeTaper,
}

// need refuses the first empty key.
func need(v *worksheet.Values, keys ...string) *worksheet.InputError {
	for _, k := range keys {
		if !v.Has(k) {
			return v.Refuse(k, "is missing for this way of finding the taper. Type it, or choose another way.")
		}
	}
	return nil
}

// Worked lines of computeTaper.
var (
	rateRatioStep = worksheet.Step{What: "Rate and ratio", Formula: "rate = 2 tan(half), ratio = 1/rate", Numbers: "2 tan({5} deg)", Result: "{in/in}, 1 to {4}", Source: "geometry"}
	vernierStep   = worksheet.Step{What: "What the vernier leaves, in a foot of length",
		Formula: "24 (tan(half) - tan(set))", Numbers: "set {5} deg, half {5} deg", Result: "{in}", Source: "geometry"}
	setOverStep = worksheet.Step{What: "Set-over of the tailstock", Formula: "s = L rate/2",
		Numbers: "{len} x {6}/2", Result: "{in}", Source: "MH"}
)

func computeTaper(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	half, f := taperHalf(v, o)
	if f != nil {
		return f
	}
	slope := 2 * math.Tan(half*rad)
	o.SetAll("rate in/in, ratio, angle deg, half deg", slope, 1/slope, 2*half, half)
	o.SetText("dms", dms(2*half)+", "+dms(half))
	o.Set("per", 0.001/slope, "in")
	if f := taperEnds(v, o, slope); f != nil {
		return f
	}
	says := o.Fill("Set the slide to {swivel deg}: {four in/in}, 1 to {four }, {sine deg} across", nil, half, slope,
		1/slope, 2*half)
	if vernier := math.Round(half*12) / 12; half < 45 && math.Abs(half-vernier)*3600 > .5 {
		off := 2 * math.Abs(math.Tan(half*rad)-math.Tan(vernier*rad))
		o.Line(&vernierStep, nil, vernier, half, off*12)
		o.Note(o.Fill("The slide's vernier is read to 5 minutes, which leaves {hollow in} of diameter in a foot: "+
			"finish by an indicator over a length, or by the blue.", nil, off*12))
	}
	if half > 10 {
		says += "; over 10 degrees set it on a sine bar"
		o.Caution("A swivel is read to minutes: over 10 degrees set it by a sine bar and an indicator.")
	}
	headTaper(o, v, half, slope)
	o.SetText("verdict", says+".")
	for _, key := range [...]string{"big", "small", "length", "pin", "low", "high", "blocks", "disc1", "disc2",
		"apart", "ball1", "ball2"} {
		o.AskUnit(v, key, .02, 24)
	}
	o.Line(&rateRatioStep, nil, half, slope, 1/slope)
	if v.Has("overall") {
		set := v.In("overall") * slope / 2
		o.Set("setover", set, "in")
		o.Line(&setOverStep, nil, v.In("overall"), slope, set)
		o.CautionIf(set > 1,
			"A set-over of {wheel in} is more than most tailstocks take, and the centres no longer seat. Swivel the "+
				"slide or use a taper attachment.", set)
	}
	o.Note("Try a taper with bearing blue before the last cuts; angle figures alone do not make it seat.")
	o.Cite("practice")
	o.Cite("ISO 1119")
	return nil
}

// larger says which of two ends is no taper's.
func larger(big, small float64) string {
	return worksheet.Either(small-big < 1e-6, "Both ends are one size", "Small end is the larger one")
}

// headTaper says how the taper is set. What a swivel's vernier cannot show is indicated, and what it
// does not hold is set on a sine bar.
func headTaper(o *worksheet.Out, v *worksheet.Values, half, slope float64) {
	metric := o.System == units.MetricSystem
	switch {
	case half > 10:
		o.Head("Over 10°: sine bar, {sine deg}", nil, half)
	case half < 1./24:
		o.Head("Indicate {incline in/in}", nil, slope)
	default:
		o.Head("Set the slide {swivel deg}", nil, half)
	}
	if v.Has("overall") {
		o.Fact(worksheet.Either(v.In("overall")*slope/2 > 1, "▲ set-over {=wheel in}: too much", "set over {=wheel in}"), nil,
			v.In("overall")*slope/2)
	}
	o.Fact("{s} in {s}", []string{strings.TrimPrefix(o.Fill("{=four in/in}", nil, slope), worksheet.Either(metric, "", "0")),
		worksheet.Either(metric, "a metre", "a foot")})
	ratio := o.Read("four", 1/slope, "")
	if strings.Contains(ratio, ".") {
		ratio = strings.TrimSuffix(strings.TrimRight(ratio, "0"), ".")
	}
	o.Fact("1 in {s}", []string{ratio})
	o.Fact("whole {sine deg}", nil, 2*half)
}

// byTyped gives the way a taper is found: the one chosen, else, where two diameters and a length are
// not there, the one whose sizes are typed.
func byTyped(v *worksheet.Values) string {
	if v.Given("from") || v.Has("big") && v.Has("small") && v.Has("length") {
		return v.Choice("from")
	}
	for _, way := range [...]struct{ key, keys string }{{"rate", "rate"}, {"ratio", "ratio"}, {"angle", "angle"},
		{"pins", "pin low high blocks"}, {"discs", "disc1 disc2 apart"}, {"balls", "ball1 ball2 top1 top2"}} {
		for _, key := range strings.Fields(way.keys) {
			if v.Given(key) {
				return way.key
			}
		}
	}
	return v.Choice("from")
}

// Worked lines of taperHalf.
var (
	halfAngleStep  = worksheet.Step{What: "Half angle", Formula: "atan(rate/2)", Numbers: "atan({7}/2)", Result: "{5} deg", Source: "geometry"}
	halfAngleStep2 = worksheet.Step{What: "Half angle", Formula: "atan(1/(2 x ratio))", Numbers: "atan(1/(2 x {4}))", Result: "{5} deg", Source: "geometry"}
	halfAngleStep3 = worksheet.Step{What: "Half angle", Formula: "sin(half) = (D - d)/(2 C)", Numbers: "({len} - {len})/(2 x {len})", Result: "{5} deg", Source: "geometry"}
	halfAngleStep4 = worksheet.Step{What: "Half angle", Formula: "tan(half) = (D - d)/(2 L)", Numbers: "({len} - {len})/(2 x {len})", Result: "{5} deg", Source: "geometry"}
)

// taperHalf finds the half angle by the chosen method.
func taperHalf(v *worksheet.Values, o *worksheet.Out) (half float64, f *worksheet.InputError) {
	switch byTyped(v) {
	case "rate":
		if f = need(v, "rate"); f == nil {
			half = math.Atan(v.As("rate", "in/in")/2) / rad
			o.Line(&halfAngleStep, nil, v.As("rate", "in/in"), half)
		}
	case "ratio":
		if f = need(v, "ratio"); f == nil {
			half = math.Atan(0.5/v.Num("ratio")) / rad
			o.Line(&halfAngleStep2, nil, v.Num("ratio"), half)
		}
	case "angle":
		if f = need(v, "angle"); f == nil {
			half = v.As("angle", "deg") / 2
		}
	case "pins":
		return overPins(v, o)
	case "discs":
		if f = need(v, "disc1", "disc2", "apart"); f != nil {
			return 0, f
		}
		a, b, c := v.In("disc1"), v.In("disc2"), v.In("apart")
		switch {
		case a-b < 1e-6:
			o.HeadStop("Small disc is the larger one", nil)
			return 0, v.Refuse("disc1", "must be larger than the small disc.")
		case c+1e-9 < float64((a+b)/2):
			o.HeadStop("The discs overlap", nil)
			o.FactStop("centres at least {=touch in} apart", nil, (a+b)/2)
			return 0, v.Refuse("apart", o.Fill("the discs would overlap: the least is {in}, where they touch.", nil, (a+b)/2))
		}
		half = DiscsHalf(a, b, c)
		o.Line(&halfAngleStep3, nil, a, b, c, half)
	case "balls":
		return byBalls(v, o)
	default:
		if f = need(v, "big", "small", "length"); f != nil {
			return 0, f
		}
		a, b, l := v.In("big"), v.In("small"), v.In("length")
		if a-b < 1e-6 {
			o.HeadStop(larger(a, b), nil)
			return 0, v.Refuse("big", "must be larger than the small diameter.")
		}
		half = TaperHalf(a, b, l)
		o.Line(&halfAngleStep4, nil, a, b, l, half)
	}
	return half, f
}

// Worked lines of overPins.
var (
	halfAngleStep5    = worksheet.Step{What: "Half angle", Formula: "tan(half) = (M2 - M1)/(2 H)", Numbers: "({len} - {len})/(2 x {len})", Result: "{5} deg", Source: "geometry"}
	diameterPlateStep = worksheet.Step{What: "Diameter at the plate", Formula: "d = M - p - p/tan((90 - half)/2); half below 0 with the large end down", Numbers: "{len} - {len} - {len}/tan((90 - {4})/2)", Result: "{in}", Source: "geometry"}
)

func overPins(v *worksheet.Values, o *worksheet.Out) (float64, *worksheet.InputError) {
	if f := need(v, "pin", "low", "high", "blocks"); f != nil {
		return 0, f
	}
	low, high, h := v.In("low"), v.In("high"), v.In("blocks")
	if math.Abs(high-low) < 1e-6 {
		o.HeadStop("Both read the same: no taper", nil)
		return 0, v.Refuse("high", "is the same as the low one: there is no taper. Measure again.")
	}
	signed := TaperHalf(high, low, h)
	end := PinsEnd(low, v.In("pin"), signed)
	if end < 0 {
		o.HeadStop("Less than the pins take up", nil)
		return 0, v.Refuse("low", "it is less than the pins take up at this angle. Check it and the pin's diameter.")
	}
	o.Set("plate", end, "in")
	o.Fact("{=touch in} at the plate", nil, end)
	half := math.Abs(signed)
	o.Line(&halfAngleStep5, nil, max(high, low), min(high, low), h, half)
	o.Line(&diameterPlateStep, nil, low, v.In("pin"), v.In("pin"), signed, end)
	return half, nil
}

// Worked lines of byBalls.
var (
	centresApartStep = worksheet.Step{What: "Centres apart", Formula: "C = (small top + d/2) - (large top + D/2)", Numbers: "{len} - {len}", Result: "{in}", Source: "geometry"}
	diameterFaceStep = worksheet.Step{What: "Diameter at the face", Formula: "D = 2 (R/cos(half) + c tan(half))", Numbers: "R {len}, c {len}", Result: "{in}", Source: "geometry"}
)

func byBalls(v *worksheet.Values, o *worksheet.Out) (float64, *worksheet.InputError) {
	if f := need(v, "ball1", "ball2", "top1", "top2"); f != nil {
		return 0, f
	}
	a, b := v.In("ball1"), v.In("ball2")
	ca, cb := v.In("top1")+float64(a/2), v.In("top2")+float64(b/2)
	c := cb - ca
	switch {
	case a-b < 1e-6:
		o.HeadStop("Small ball is the larger one", nil)
		return 0, v.Refuse("ball1", "must be larger than the small ball.")
	case (a-b)/2 > 0.99*c:
		o.HeadStop("Small ball must lie deeper", nil)
		return 0, v.Refuse("top2", o.Fill("the small ball must lie deeper: centres {in} apart cannot touch one taper.", nil, c))
	}
	half := DiscsHalf(a, b, c)
	o.Line(&centresApartStep, nil, cb, ca, c)
	o.Line(&halfAngleStep3, nil, a, b, c, half)
	mouth := BallsMouth(a, ca, half)
	if mouth <= 0 {
		o.HeadStop("Closes below the face", nil)
		return 0, v.Refuse("top1", "the taper would close below the face. Check the depths.")
	}
	o.Set("mouth", mouth, "in")
	o.Fact("{=touch in} at the face", nil, mouth)
	o.Line(&diameterFaceStep, nil, a/2, ca, mouth)
	return half, nil
}

// Worked lines of taperEnds.
var (
	smallDiameterStep = worksheet.Step{What: "Small diameter", Formula: "d = D - L rate", Numbers: "{len} - {len} x {6}", Result: "{in}", Source: "MH"}
	largeDiameterStep = worksheet.Step{What: "Large diameter", Formula: "D = d + L rate", Numbers: "{len} + {len} x {6}", Result: "{in}", Source: "MH"}
)

// taperEnds computes diameters and length: two of them give the third.
func taperEnds(v *worksheet.Values, o *worksheet.Out, slope float64) *worksheet.InputError {
	big, small, l := v.In("big"), v.In("small"), v.In("length")
	switch hasB, hasS, hasL := v.Has("big"), v.Has("small"), v.Has("length"); {
	case hasB && hasL && !hasS:
		if small = big - float64(l*slope); small < 0 {
			o.HeadStop("Runs to a point in {=touch in}", nil, big/slope)
			return v.Refuse("length", o.Fill("the taper runs out to a point {in} from the large end. Take a shorter length.", nil, big/slope))
		}
		o.Line(&smallDiameterStep, nil, big, l, slope, small)
	case hasS && hasL && !hasB:
		big = small + float64(l*slope)
		o.Line(&largeDiameterStep, nil, small, l, slope, big)
	case hasB && hasS:
		if big <= small {
			o.HeadStop(larger(big, small), nil)
			return v.Refuse("big", "must be larger than the small diameter.")
		}
		if length := (big - small) / slope; !hasL || byTyped(v) == "ends" {
			l = length
		} else if math.Abs(length-l) > 0.0005+float64(0.0005*length) {
			o.Caution(o.Fill("These diameters lie {touch in} apart on this taper, not {touch in}.", nil, length, l))
			o.Fact("▲ ends {=touch in} apart, not {=touch in}", nil, length, l)
		}
	default:
		return nil
	}
	o.SetAll("big in, small in, length in", big, small, l)
	return nil
}
