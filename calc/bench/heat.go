package bench

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// reference is the temperature at which sizes match the drawing, in degrees Celsius: ISO 1:2022.
const reference = 20

// Grown is the factor by which a length at a temperature exceeds that at 20 degrees Celsius: 1 + a
// (t - 20), a in millionths per kelvin.
func Grown(ppm, celsius float64) float64 { return 1 + float64(float64(ppm*(celsius-reference))*1e-6) }

// At20 is the length a part has at 20 degrees Celsius, from what a gauge read
// when part and gauge had the temperatures given: L = reading x (gauge's
// growth)/(part's growth).
func At20(reading, gaugePPM, gaugeC, partPPM, partC float64) float64 {
	return float64(reading * (Grown(gaugePPM, gaugeC) / Grown(partPPM, partC)))
}

// metal has its expansion in millionths per kelvin near 20 degrees Celsius.
type metal struct {
	key string
	ppm float64
}

// metals: steel by NIST and JCGM 100 H.1, the others by the textbook table
// named in the worksheet's sources.
var metals = []metal{
	{"steel", 11.5}, {"iron", 11.4}, {"ductile", 11.2}, {"stainless", 17.2},
	{"aluminium", 23.6}, {"brass", 20.5}, {"bronze", 18}, {"titanium", 8.6},
}

func expansion(key string) float64 {
	for _, m := range metals {
		if m.key == key {
			return m.ppm
		}
	}
	return 0
}

var heatSheet = worksheet.Sheet{
	Name: "heat", Title: "Warm part", Question: "What size is it at 20 C (68 F)?", Group: group, Drawing: "heat",
	About: []string{
		"Sizes on drawings are at 20 C (68 F). A part and a gauge of one metal at one temperature read true whatever the temperature; of two metals, or at two temperatures, the reading is corrected for both.",
		"Give the drawing's size as well, and the reading to work to now is answered.",
	},
	Inputs: []worksheet.Input{
		{Key: "reading", Label: "Reading", Kind: worksheet.Length, Ask: "What does it read?", Box: "reads now", Required: true, Example: "20.005", Min: "0.001 in", Max: "1000 in", Help: "What the gauge reads now."},
		{Key: "part", Label: "Part's metal", Kind: worksheet.Choice, Default: "iron", Help: "What the part is made of.", Options: []worksheet.Option{{Key: "steel", Label: "Steel"}, {Key: "iron", Label: "Grey iron"}, {Key: "ductile", Label: "Ductile iron"}, {Key: "stainless", Label: "Stainless, 304"}, {Key: "aluminium", Label: "Aluminium, 6061"}, {Key: "brass", Label: "Brass, free-cutting"}, {Key: "bronze", Label: "Bearing bronze"}, {Key: "titanium", Label: "Titanium"}, {Key: "own", Label: "my own figure"}}},
		{Key: "tpart", Label: "Part's temperature", Kind: worksheet.Temperature, Ask: "How warm is the part?", Box: "part's warmth", Required: true, Example: "83", Min: "-40 C", Max: "200 C", Help: "Of the metal, not of the air: a part just cut is warmer than the shop."},
		{Key: "gauge", Label: "Gauge's metal", Kind: worksheet.Choice, Default: "steel", Help: "Of the frame, scale or master that carries the length.", Options: []worksheet.Option{{Key: "steel", Label: "Steel"}, {Key: "iron", Label: "Grey iron"}, {Key: "ductile", Label: "Ductile iron"}, {Key: "stainless", Label: "Stainless, 304"}, {Key: "aluminium", Label: "Aluminium, 6061"}, {Key: "brass", Label: "Brass, free-cutting"}, {Key: "bronze", Label: "Bearing bronze"}, {Key: "titanium", Label: "Titanium"}, {Key: "own", Label: "my own figure"}, {Key: "true", Label: "reads true at any temperature"}}},
		{Key: "tgauge", Label: "Gauge's temperature", Kind: worksheet.Temperature, Ask: "How warm is the gauge?", Box: "gauge's warmth",
			Example: "68",
			Min:     "-40 C", Max: "100 C",
			Help: "Empty: it is asked for; a gauge on the part for an hour is as warm as the part."},
		{Key: "want", Label: "Drawing's size", Kind: worksheet.Length, Ask: "What size is wanted?", Box: "wanted size", Example: "20", Min: "0.001 in", Max: "1000 in", Help: "The size wanted at 20 C, to answer what to work to now."},
		{Key: "ownpart", Label: "Part's expansion", Kind: worksheet.Expansion, Ask: "How much does the part grow?", Section: "Fine points", Example: "6.4", Min: "0 ppm/K", Max: "100 ppm/K", Help: "Growth in millionths of the length for each degree, where the metal is 'my own figure'."},
		{Key: "owngauge", Label: "Gauge's expansion", Kind: worksheet.Expansion, Ask: "How much does the gauge grow?", Section: "Fine points", Example: "6.4", Min: "0 ppm/K", Max: "100 ppm/K", Help: "Growth in millionths of the length for each degree, where the metal is 'my own figure'."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "ready", Label: "Fit to measure", Kind: worksheet.Flag, Judges: true,
			Help: "Near enough to 20 C, part and gauge near enough to each other."},
		{Key: "size", Label: "Size at 20 C", Kind: worksheet.Length, Main: true, Plan: true, Dial: "micrometer",
			Digits: worksheet.FineDigits},
		{Key: "change", Label: "Correction", Kind: worksheet.Length, Main: true, Dial: "micrometer",
			Digits: worksheet.FineDigits, Help: "To be added to the reading."},
		{Key: "aim", Label: "Work to this reading now", Kind: worksheet.Length, Main: true, Plan: true,
			Dial: "micrometer", Digits: worksheet.FineDigits},
		{Key: "degree", Label: "One degree Celsius of the part is worth", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 6, Metric: 5}},
		{Key: "doubt", Label: "If the expansions are 10 % off", Kind: worksheet.Length, Dial: "doubt",
			Digits: worksheet.Digits{Inch: 6, Metric: 5}, Help: "Both taken at 10 % off, as square root of the sum " +
				"of squares."},
		{Key: "partppm", Label: "Part's expansion", Kind: worksheet.Expansion}, {Key: "gaugeppm", Label: "Gauge's expansion", Kind: worksheet.Expansion},
	},
	Sources: []worksheet.Source{
		{Key: "ISO 1", Title: "ISO 1:2022 Standard reference temperature for the specification of geometrical and dimensional properties"},
		{Key: "NIST", Title: "Journal of Research of NIST 99 (1994) 31, Uncertainties in Dimensional Measurements Made at Nonstandard Temperatures: expansion of steel and aluminium"},
		{Key: "metals", Title: "Fundamentals of Materials Science and Engineering, 3rd edition, table B.6: linear coefficients of thermal expansion"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "reading", Text: "20.005 in"}, {Key: "tpart", Text: "83 F"}, {Key: "tgauge", Text: "70 F"}, {Key: "want", Text: "20 in"}},
	Compute: computeHeat,
}

// Worked lines of computeHeat.
var (
	readingWorkStep = worksheet.Step{What: "Reading to work to", Formula: "size x (1 + ap (tp - 20))/(1 + ag (tg - 20))", Numbers: "{len} x {8}/{8}", Result: "{in}", Source: "ISO 1"}
	sizeCStep       = worksheet.Step{What: "Size at 20 C", Formula: "L = reading x (1 + ag (tg - 20))/(1 + ap (tp - 20))", Numbers: "{len} x {8}/{8}", Result: "{in}", Source: "ISO 1"}
	oneDegreeStep   = worksheet.Step{What: "One degree Celsius of the part", Formula: "reading x ap", Numbers: "{len} x {2}e-6", Result: "{in}", Source: "metals"}
)

// awayStep shows what the warmth is judged by.
var awayStep = worksheet.Step{What: "Part from 20 C, and part from gauge", Formula: "tp - 20, tp - tg", Numbers: "",
	Result: "{2} C, {2} C", Source: "practice"}

// tooFar is how far from the reference a part may be and still be measured: 40 F. Common practice,
// no published source.
const tooFar = 40 / 1.8

// mostSoak is how far apart part and gauge may be and still be measured without a word, in kelvin.
// Common practice, no published source.
const mostSoak = 2

// degrees writes a difference of temperature given in kelvin: to 1 F or half a degree Celsius.
func degrees(o *worksheet.Out, kelvin float64) string {
	if o.System == units.MetricSystem {
		return o.Dec(math.Round(kelvin*2)/2, 1) + " C"
	}
	return o.Dec(kelvin*1.8, 0) + " F"
}

// askScale asks about a temperature that only makes sense in a shop on the other scale.
func askScale(v *worksheet.Values, o *worksheet.Out, key string) {
	text := v.Typed(key)
	if x, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err != nil || !v.Given(key) {
		return
	} else if metric := o.System == units.MetricSystem; metric && x >= 50 && x <= 110 {
		o.Ask(key, text+" F", v.Label(key)+": "+text+" C? Or "+text+" F?")
	} else if !metric && x >= 10 && x <= 40 {
		o.Ask(key, text+" C", v.Label(key)+": "+text+" F? Or "+text+" C?")
	}
}

// bareDegrees writes a difference of temperature as degrees does, without the scale.
func bareDegrees(o *worksheet.Out, kelvin float64) string {
	text, _, _ := strings.Cut(degrees(o, kelvin), " ")
	return text
}

// at20 is the reference temperature in the run's scale.
func at20(o *worksheet.Out) string {
	return worksheet.Either(o.System == units.MetricSystem, "20°", "68°")
}

// headHeat says what to work to, or what the size is, and what waiting is worth. aim is the reading
// to work to.
func headHeat(v *worksheet.Values, o *worksheet.Out, known bool, size, aim, ap float64) {
	reading, at := v.In("reading"), []string{at20(o)}
	if !known {
		o.Head("{=micrometer in} if as warm as the part", nil, size)
		o.Wants("tgauge")
		return
	}
	soak := math.Abs(v.As("tpart", "C") - v.Or("tgauge", "C", v.As("tpart", "C")))
	switch {
	case soak > mostSoak:
		o.Head("Let it soak: {s}° apart", []string{bareDegrees(o, soak)})
		o.Fact("worth {=micrometer in} now, and moving", nil, reading*soak*ap*1e-6)
	case v.Has("want"):
		o.Head("Work to {=micrometer in} now", nil, aim)
	default:
		o.Head("It is {=micrometer in} at {s}", at, size)
	}
	if v.Has("want") || soak > mostSoak {
		o.Fact("reads {=in}, is {=micrometer in} at {s}", at, reading, size)
	} else {
		o.Fact("reads {=in}", nil, reading)
	}
	if worth := reading * ap * 1e-6 / worksheet.Either(o.System == units.MetricSystem, 1, 1.8); worth >= .00005 {
		o.Fact("a degree is {=micrometer in}", nil, worth)
	}
}

func computeHeat(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	pick := func(metal, own string) (float64, *worksheet.InputError) {
		if v.Choice(metal) != "own" {
			return expansion(v.Choice(metal)), nil // 0 for a gauge without thermal error
		}
		if !v.Has(own) {
			return 0, v.Refuse(own, "the metal is 'my own figure' and none is given. Type one, like 6.4.")
		}
		return v.As(own, "ppm/K"), nil
	}
	ap, f := pick("part", "ownpart")
	if f != nil {
		return f
	}
	ag, f := pick("gauge", "owngauge")
	if f != nil {
		return f
	}
	tp := v.As("tpart", "C")
	tg := v.Or("tgauge", "C", tp)
	reading := v.In("reading")
	size := At20(reading, ag, tg, ap, tp)
	known := v.Has("tgauge") || v.Choice("gauge") == "true"
	o.SetIf(known, "size in, change in", size, size-reading)
	o.Set("degree", reading*ap*1e-6, "in")
	gp, gg := float64(reading*ap*(tp-reference))*1e-7, float64(reading*ag*(tg-reference))*1e-7
	doubt := math.Sqrt(float64(gp*gp) + float64(gg*gg))
	o.SetAll("doubt in, partppm ppm/K, gaugeppm ppm/K", doubt, ap, ag)
	verdict := o.Fill("At 20 C (68 F) it is {micrometer in}", nil, size)
	switch off := o.Read("micrometer", math.Abs(size-reading), "in"); {
	case off == o.Read("micrometer", 0, "in"):
		verdict += ", as read."
	case size < reading:
		verdict += ": " + off + " less than read."
	default:
		verdict += ": " + off + " more than read."
	}
	if !known {
		verdict = o.Fill("How warm is the gauge? At 20 C (68 F) the part is {micrometer in} if the gauge is as warm "+
			"as it, {micrometer in} if the gauge is at 20 C (68 F).", nil, size, At20(reading, ag, reference, ap, tp))
	}
	o.NoteIf(!known, "The worked lines take the gauge to be as warm as the part.")
	aim := v.In("want") * (Grown(ap, tp) / Grown(ag, tg))
	if v.Has("want") {
		o.SetIf(known, "aim in", aim)
		if known {
			verdict = o.Fill("Work to {micrometer in} now, for {micrometer in} at 20 C (68 F). ", nil, aim,
				v.In("want")) + verdict
		} else {
			verdict = o.Fill("How warm is the gauge? For {micrometer in} at 20 C (68 F) work to {micrometer in} if "+
				"the gauge is as warm as the part, to {micrometer in} if it is at 20 C (68 F).", nil, v.In("want"),
				aim, v.In("want")*Grown(ap, tp))
		}
		o.Line(&readingWorkStep, nil, v.In("want"), Grown(ap, tp), Grown(ag, tg), aim)
		o.AskUnit(v, "reading", .001, 8*v.In("want"))
		o.AskUnit(v, "want", .001, 8*reading)
	}
	headHeat(v, o, known, size, aim, ap)
	askScale(v, o, "tpart")
	askScale(v, o, "tgauge")
	away, soak := math.Abs(tp-reference), math.Abs(tp-tg)
	o.Line(&awayStep, nil, tp-reference, tp-tg)
	if known {
		o.SetFlag("ready", away <= tooFar && soak <= mostSoak)
	}
	switch {
	case away > tooFar:
		o.HeadStop(worksheet.Either(tp > reference, "Too warm to measure", "Too cold to measure"), nil)
		o.FactStop("let it soak", nil)
		o.FactStop("{s}° {s} {s}", []string{bareDegrees(o, away), worksheet.Either(tp > reference, "over", "under"), at20(o)})
		o.Stop("Too "+worksheet.Either(tp > reference, "warm", "cold")+" to measure: "+degrees(o,
			away)+worksheet.Either(tp > reference, " over ", " under "+
			"")+worksheet.Either(o.System == units.MetricSystem, "20 C.", "68 F."),
			"So far from it the metal's own figure is worth more than a close tolerance. Let it soak; a casting "+
				"just cut, about an hour for each inch of wall.")
	case soak > mostSoak:
		verdict = "Let it soak: part and gauge are " + degrees(o, soak) + " apart. " + verdict
		o.Caution("Part and gauge change while you measure. Let both soak; for a casting just cut, about an hour " +
			"for each inch of wall.")
	}
	o.SetText("verdict", verdict)
	o.Line(&sizeCStep, nil, reading, Grown(ag, tg), Grown(ap, tp), size)
	o.Line(&oneDegreeStep, nil, reading, ap, reading*ap*1e-6)
	o.Cite("NIST")
	o.NoteIf(v.Choice("part") == "iron",
		"Published figures for grey iron run from about 10.5 to 11.4 millionths per kelvin; ask for the figure of your iron where it matters.")
	o.Cite("practice")
	return nil
}
