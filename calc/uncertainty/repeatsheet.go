package uncertainty

import (
	"math"
	"strconv"

	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

var repeatSheet = worksheet.Sheet{
	Name: "repeat", Title: "Repeated readings", Question: "What do these readings come to?", Group: group, Drawing: "repeat",
	About: []string{"Mean, scatter and uncertainty of readings of one size taken again and again: lift the gauge off and set it anew each time. The graduation and what all readings share are added; the reading farthest off is pointed out."},
	Inputs: []worksheet.Input{
		{Key: "readings", Label: "Readings", Kind: worksheet.List, Ask: "What does it read?", Box: "reading", Required: true, MinRows: 2, Example: "0 1.5 1 0.5 1 thou", Help: "At least two, of the same size, taken alike.",
			Columns: []worksheet.Column{{Key: "reading", Label: "Reading", Kind: worksheet.Length, Min: "-1000 in", Max: "1000 in"}}},
		{Key: "step", Label: "Graduation", Kind: worksheet.Length, Ask: "What step?", Box: "step", Example: ".0005", Min: "0 in", Max: "1 in", Help: "One graduation or the last digit, as it is read to."},
		{Key: "other", Label: "What all readings share", Kind: worksheet.Length, Box: "all share", Example: ".0001", Min: "0 in", Max: "1 in", Help: "Standard uncertainty of gauge, master and temperature, from 'How sure'."},
		{Key: "level", Label: "How sure", Kind: worksheet.Choice, Default: "p95", Help: "The part of the values the answer is to hold.", Options: levels},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "mean", Label: "Mean", Kind: worksheet.Length, Main: true, Digits: fine, Dial: "micrometer"},
		{Key: "expanded", Label: "Uncertainty U of the mean", Kind: worksheet.Length, Main: true, Digits: fine,
			Dial: "unsure"},
		{Key: "sd", Label: "Standard deviation", Kind: worksheet.Length, Main: true, Digits: fine, Dial: "unsure"},
		{Key: "range", Label: "Largest less smallest", Kind: worksheet.Length, Digits: fine},
		{Key: "count", Label: "Readings", Kind: worksheet.Count, Digits: worksheet.WholeDigits},
		{Key: "meanstd", Label: "Standard uncertainty of the mean, from scatter", Kind: worksheet.Length, Digits: fine},
		{Key: "std", Label: "Standard uncertainty of the mean, all in", Kind: worksheet.Length, Digits: fine},
		{Key: "one", Label: "Standard uncertainty of one reading", Kind: worksheet.Length, Digits: fine},
		{Key: "k", Label: "Coverage factor k", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 3, Metric: 3}},
		{Key: "df", Label: "Degrees of freedom", Kind: worksheet.Text},
		{Key: "far", Label: "Farthest off", Kind: worksheet.Text},
		{Key: "each", Label: "Readings less mean", Kind: worksheet.Table, Columns: []worksheet.Column{{Key: "number", Label: "Number", Kind: worksheet.Count}, {Key: "reading", Label: "Reading", Kind: worksheet.Length}, {Key: "off", Label: "Less mean", Kind: worksheet.Text}}},
	},
	Sources: []worksheet.Source{srcGUM, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "readings", Text: "0 0.5 1 0.5 0.5 thou"}, {Key: "step", Text: "0.0005 in"}},
	Compute: computeRepeat,
	Half: func(v *worksheet.Values, o *worksheet.Out) {
		if v.Rows("readings") == 1 {
			o.HeadStop("Read it again", nil)
			o.FactStop("{=in} so far", nil, v.List("readings", "in")[0])
		}
	},
}

// Worked lines of computeRepeat.
var (
	meanStep                = worksheet.Step{What: "Mean", Formula: "sum/n", Numbers: "of {s} readings", Result: "{s}", Source: "JCGM 100"}
	standardDeviationStep   = worksheet.Step{What: "Standard deviation", Formula: "s^2 = sum (x - mean)^2/(n - 1)", Numbers: "n = {s}", Result: "{s}", Source: "JCGM 100"}
	standardUncertaintyStep = worksheet.Step{What: "Standard uncertainty of the mean", Formula: "u^2 = s^2/n + step^2/12 + other^2", Numbers: "{s}^2/{s} + {s}^2/12 + {s}^2", Result: "{s}", Source: "JCGM 100"}
	expandedUncertaintyStep = worksheet.Step{What: "Expanded uncertainty", Formula: "U = k u", Numbers: "{3} x {s}", Result: "{s}", Source: "JCGM 100"}
)

func computeRepeat(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	x := v.List("readings", "in")
	r, err := Repeat(x, v.In("step"), v.In("other"), cover(v.Choice("level")))
	if err != nil {
		return v.Refuse("readings", err.Error()+".")
	}
	o.SetAll("mean in, sd in, range in, count, meanstd in, std in, one in",
		r.Mean, r.SD, r.High-r.Low, float64(r.N), r.MeanErr, r.Std,
		r.One)
	o.SetText("df", degrees(o, r.DF))
	n := strconv.Itoa(r.N)
	mean := o.Show(r.Mean, "in", worksheet.Length)
	o.Line(&meanStep, []string{n, mean})
	o.Line(&standardDeviationStep, []string{n, two(o, r.SD)})
	if r.K == 0 {
		o.SetText("verdict", "All "+n+" readings are "+mean+": that says nothing of how sure they are. Give the graduation.")
		o.Head("All {s} read {=in}", []string{n}, r.Mean)
		o.Head("All {s} read {=micrometer in}", []string{n}, r.Mean)
		o.Wants("step")
		o.Caution("Readings that never differ are rounder than the size: give the graduation, or read finer.")
	} else {
		o.SetAll("expanded in, k", r.U, r.K)
		tellBy(o, r.U, 0)
		o.SetText("verdict", o.Read("micrometer", r.Mean, "in")+" \u00b1 "+unsure(o, r.U)+" ("+
			levelText(v.Choice("level"))+"), from "+n+" readings that scatter by "+unsure(o, r.SD)+".")
		o.Line(&standardUncertaintyStep, []string{digits(o, r.SD, false), n, digits(o, v.In("step"), false), digits(o, v.In("other"), false), two(o, r.Std)})
		o.Line(&expandedUncertaintyStep, []string{digits(o, r.Std, false), two(o, r.U)}, r.K)
	}
	headRepeat(v, o, x, r)
	if !v.Has("step") {
		o.Note("The graduation was not given, so what rounding adds is not in.")
	} else if r.SD < 0.29*v.In("step") && r.K > 0 {
		o.Note("The readings repeat within the graduation: rounding rules, and more readings help little.")
	}
	if r.Off > 0 {
		o.SetText("far", o.Fill("number {s}, {1} standard deviations off", []string{strconv.Itoa(r.Far + 1)}, r.Off))
	}
	if r.N >= 6 && r.Off > 2.2 {
		o.Caution("Reading " + strconv.Itoa(r.Far+1) + " stands apart: look for a slip or a chip, and take it again. Do not strike it out without a reason.")
	}
	if i, by := apart(x, v.In("step")); by > 0 {
		o.Caution("Reading " + strconv.Itoa(i+1) + " lies " + o.Read("micrometer", by, "in") +
			" from the others: is a digit " +
			"wrong? Take it again.")
	}
	o.CautionIf(walks(x), "The readings walk one way: something warms, settles or creeps. Wait, and take them again.")
	worksheet.SetRows(o, "each", x, func(i int, y float64) []worksheet.Cell {
		return worksheet.Cells("nis", []string{two(o, y-r.Mean)}, float64(i+1), y)
	})
	o.Cite("practice")
	return nil
}

// headRepeat says what the readings come to, or which to take again, and what most of the doubt is.
func headRepeat(v *worksheet.Values, o *worksheet.Out, x []float64, r Readings) {
	if r.K == 0 {
		return
	}
	i, by := apart(x, v.In("step"))
	far := r.N >= 6 && r.Off > 2.2
	known := o.Fill("{=micrometer in} ± {s}", []string{bare(o, r.U)}, r.Mean)
	o.Head("{s}", []string{known})
	switch {
	case by > 0:
		o.Head("Take reading {s} again", []string{strconv.Itoa(i + 1)})
		o.Fact("{=micrometer in} from the others", nil, by)
		o.Fact("{s}", []string{known})
	case walks(x):
		o.Head("Wait: the readings walk one way", nil)
		o.Fact("{s}", []string{known})
	case far:
		o.Head("Take reading {s} again", []string{strconv.Itoa(r.Far + 1)})
		o.Fact("it stands apart", nil)
		o.Fact("{s}", []string{known})
	default:
		o.Fact("{s} readings", []string{strconv.Itoa(r.N)})
	}
	step := v.In("step") * v.In("step") / 12
	scatter, other := float64(r.MeanErr*r.MeanErr), float64(v.In("other")*v.In("other"))
	switch {
	case !v.Has("step"):
		o.Fact("its step is not in it", nil)
	case step > scatter+other:
		o.Fact("the step is most of it", nil)
	case other > scatter+step:
		o.Fact("what they share is most of it", nil)
	default:
		o.Fact("the scatter is most of it", nil)
	}
}

// apart finds a reading that lies from all others by more than ten times what they differ among
// themselves, a step at least: more likely a slip than scatter. Common practice, no published
// source.
func apart(x []float64, step float64) (int, float64) {
	if len(x) < 3 {
		return 0, 0
	}
	for i, y := range x {
		low, high, near := math.Inf(1), math.Inf(-1), math.Inf(1)
		for j, z := range x {
			if j != i {
				low, high, near = min(low, z), max(high, z), min(near, math.Abs(y-z))
			}
		}
		if near > 10*max(high-low, step, .0001) {
			return i, near
		}
	}
	return 0, 0
}

// walks says whether readings taken one after the other drift: whether the slope is four times its
// own standard error or more, which happens by chance about once in a hundred times with six
// readings. Common practice, no published source.
func walks(x []float64) bool {
	if len(x) < 6 {
		return false
	}
	n := make([]float64, len(x))
	for i := range n {
		n[i] = float64(i)
	}
	l, err := fitting.FitLine(n, x, nil)
	return err == nil && l.Slope != 0 && l.SlopeErr*4 <= max(l.Slope, -l.Slope)
}
