package uncertainty

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet {
	return []*worksheet.Sheet{&budgetSheet, &repeatSheet, &acceptSheet}
}

const group = "sure"

var (
	srcGUM = worksheet.Source{Key: "JCGM 100", Title: "JCGM 100:2008 Evaluation of measurement data - Guide to the expression of uncertainty in measurement"}
	fine   = worksheet.Digits{Inch: 7, Metric: 6}
	levels = []worksheet.Option{{Key: "two", Label: "k = 2, about 95 %"}, {Key: "p95", Label: "95 %"}, {Key: "p99", Label: "99 %"}, {Key: "p90", Label: "90 %"}}
)

// cover gives the part of the values a level is to hold, 0 for k = 2.
func cover(level string) float64 {
	switch level {
	case "p95":
		return 0.95
	case "p99":
		return 0.99
	case "p90":
		return 0.9
	}
	return 0
}

// unsure is an uncertainty as it is said: two figures, up (JCGM 100, 7.2.6).
func unsure(o *worksheet.Out, inches float64) string { return o.Read("unsure", inches, "in") }

// bare is the same without its unit and without noughts behind, for headlines.
func bare(o *worksheet.Out, inches float64) string {
	text := o.Fill("{=unsure in}", nil, inches)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// sizes are the dials on which a size is told.
var sizes = []string{"micrometer", "least", "most"}

// tellBy says how finely sizes are told beside their uncertainty: to its first figure, or to the
// step they were read to where that is coarser.
func tellBy(o *worksheet.Out, u, step float64) {
	to := 1.0
	if o.System == units.MetricSystem {
		to = 1 / 25.4
	}
	for u > 0 && to > u*(1+1e-9) && to > 1e-7 {
		to /= 10
	}
	for _, dial := range sizes {
		o.SetStep(dial, max(to, step), "in")
	}
}

// two writes an uncertainty in inches with two significant digits, in the run's system.
func two(o *worksheet.Out, inches float64) string { return digits(o, inches, true) }

// digits is two, or without the unit, for worked lines, four digits.
func digits(o *worksheet.Out, inches float64, unit bool) string {
	x, name, least := inches, " in", 10.0
	if o.System == units.MetricSystem {
		x, name = inches*25.4, " mm"
	}
	if !unit {
		name, least = "", 1000
	}
	places := 1
	for y := math.Abs(x); places < 10 && y < least && y > 0; places++ {
		y *= 10
	}
	return o.Dec(x, max(places-1, 1)) + name
}

// degrees writes degrees of freedom.
func degrees(o *worksheet.Out, df float64) string {
	if df == 0 {
		return "no end"
	}
	return o.Dec(df, 1)
}

var budgetSheet = worksheet.Sheet{
	Name: "sure", Title: "How sure", Question: "How far may this size be off?", Group: group, Drawing: "sure",
	About: []string{
		"Adds up what makes a measured or computed size unsure, by the international guide. Write one row for each thing: graduation, repeat, gauge, master, temperature, squareness. The answer names the row that matters most, which is the one to better.",
		"The sensitivity is how much the result changes for one unit of the row, 1 if it goes straight in. A row in another unit, such as degrees, is typed as a bare number, with the length one of it makes as its sensitivity.",
	},
	Inputs: []worksheet.Input{
		{Key: "parts", Label: "Contributions", Kind: worksheet.Table, Ask: "What could be off?", Box: "what", Required: true, MinRows: 1, MaxRows: 30, Example: "graduation, step, .0005; repeat, std, .0002, 1, 4",
			Help: "A row each: what it is, how it is known, its size, its sensitivity (1 if empty), its degrees of freedom (no end if empty; readings less one for a repeat).",
			Columns: []worksheet.Column{
				{Key: "what", Label: "What", Kind: worksheet.Text},
				{Key: "given", Label: "Known as", Kind: worksheet.Choice, Options: []worksheet.Option{
					{Key: "std", Label: "standard uncertainty"}, {Key: "k2", Label: "U with k = 2"}, {Key: "p95", Label: "95 % limits"}, {Key: "p99", Label: "99 % limits"},
					{Key: "limit", Label: "limits, plus or minus"}, {Key: "tri", Label: "limits, mostly near the middle"}, {Key: "swing", Label: "limits of a swing"},
					{Key: "step", Label: "graduation or last digit"}, {Key: "twice", Label: "graduation, difference of two readings"}}},
				{Key: "size", Label: "Size", Kind: worksheet.Length, Min: "0 in", Max: "1000 in"},
				{Key: "sens", Label: "Sensitivity", Box: "weight", Kind: worksheet.Number, Min: "-1000000", Max: "1000000", Optional: true},
				{Key: "df", Label: "Degrees of freedom", Box: "freedom", Kind: worksheet.Number, Min: "1", Max: "1000000", Optional: true}}},
		{Key: "level", Label: "How sure", Kind: worksheet.Choice, Default: "p95", Help: "The part of the values the answer is to hold.", Options: levels},
		{Key: "size", Label: "Result", Kind: worksheet.Length, Box: "size", Example: "2.0003", Min: "-1000 in", Max: "1000 in", Help: "The size itself, to state it with its uncertainty."},
		{Key: "corr", Label: "Correlations", Kind: worksheet.Table, Section: "Fine points", MaxRows: 60, Example: "1, 2, 0.5", Help: "Rows that go up and down together: number of one row, number of the other, correlation from -1 to 1.",
			Columns: []worksheet.Column{{Key: "one", Label: "Row", Kind: worksheet.Count, Min: "1", Max: "30"}, {Key: "other", Label: "Row", Kind: worksheet.Count, Min: "1", Max: "30"}, {Key: "r", Label: "Correlation", Kind: worksheet.Number, Min: "-1", Max: "1"}}},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "expanded", Label: "Expanded uncertainty U", Kind: worksheet.Length, Main: true, Digits: fine, Dial: "unsure"},
		{Key: "std", Label: "Standard uncertainty", Kind: worksheet.Length, Main: true, Digits: fine, Dial: "unsure"},
		{Key: "k", Label: "Coverage factor k", Kind: worksheet.Number, Digits: worksheet.Digits{Inch: 3, Metric: 3}},
		{Key: "df", Label: "Effective degrees of freedom", Kind: worksheet.Text},
		{Key: "biggest", Label: "Matters most", Kind: worksheet.Text, Main: true},
		{Key: "better", Label: "U if that were halved", Kind: worksheet.Length, Digits: fine, Dial: "unsure"},
		{Key: "budget", Label: "Budget", Kind: worksheet.Table, Columns: []worksheet.Column{{Key: "what", Label: "What", Kind: worksheet.Text}, {Key: "u", Label: "Standard uncertainty", Kind: worksheet.Text}, {Key: "sens", Label: "Sensitivity", Kind: worksheet.Text},
			{Key: "adds", Label: "Adds", Kind: worksheet.Text}, {Key: "df", Label: "Degrees of freedom", Kind: worksheet.Text}, {Key: "share", Label: "Of the square", Kind: worksheet.Percent}}},
	},
	Sources: []worksheet.Source{srcGUM, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "parts", Text: "graduation, step, .0005 in; repeat of five, std, .0002 in, 1, 4; indicator, limit, .0003 in; master, k2, .00004 in"}, {Key: "size", Text: "2.0003 in"}},
	Compute: computeBudget,
}

// Worked lines of computeBudget.
var (
	combinedStandardStep     = worksheet.Step{What: "Combined standard uncertainty", Formula: "u_c^2 = sum (c u)^2 + 2 sum c u c u r", Numbers: "{s}", Result: "{s}", Source: "JCGM 100"}
	effectiveDegreesStep     = worksheet.Step{What: "Effective degrees of freedom", Formula: "nu = u_c^4 / sum ((c u)^4/nu_i)", Numbers: "{s}^4/({s})", Result: "{s}", Source: "JCGM 100"}
	expandedUncertaintyStep2 = worksheet.Step{What: "Expanded uncertainty", Formula: "U = k u_c", Numbers: "{3} x {s}", Result: "{s}", Source: "JCGM 100"}
)

func computeBudget(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	var parts []Part
	for i := range v.Rows("parts") {
		p := Part{Name: v.CellText("parts", i, 0), Given: Given(v.CellText("parts", i, 1)), Sens: 1}
		p.Value, _ = v.Cell("parts", i, 2, "in")
		if c, set := v.Cell("parts", i, 3, ""); set {
			p.Sens = c
		}
		p.DF, _ = v.Cell("parts", i, 4, "")
		parts = append(parts, p)
	}
	askThou(v, o, parts)
	corr, f := pairs(v, len(parts))
	if f != nil {
		return f
	}
	level := cover(v.Choice("level"))
	b, err := Combine(parts, corr, level)
	switch err {
	case nil:
	case ErrCorr:
		o.HeadStop("These cannot go together", nil)
		return v.Refuse("corr", err.Error()+": nothing or less is left. Check their signs and sizes.")
	default:
		o.HeadStop(worksheet.Either(err == ErrNone, "Every cause is nothing", "Too few readings behind it"), nil)
		return v.Refuse("parts", err.Error()+". Give at least one row a size and a sensitivity.")
	}
	o.SetAll("expanded in, std in, k", b.U, b.Std, b.K)
	o.SetText("df", degrees(o, b.DF))
	top, total := 0, 0.0
	for i, p := range parts {
		total += float64(p.Share() * p.Share())
		if p.Share() > parts[top].Share() {
			top = i
		}
	}
	var rows [][]worksheet.Cell
	terms, slack := "", ""
	for i, p := range parts {
		share := p.Share() * p.Share() / total * 100
		rows = append(rows, worksheet.Cells("sssss%", []string{p.Name, digits(o, p.Std(), p.Sens == 1),
			o.Dec(p.Sens, 7), two(o, p.Share()), degrees(o, p.DF)}, share))
		if i > 0 {
			terms += " + "
		}
		terms += digits(o, p.Share(), false) + "^2"
		if p.DF > 0 {
			slack += o.Fill(" + {s}^4/{1}", []string{digits(o, p.Share(), false)}, p.DF)
		}
	}
	o.SetTable("budget", rows)
	guess := guessed(parts, total)
	o.Head("Sure to ±{s}", []string{bare(o, b.U)})
	if guess {
		o.Caution("More than half of it is limits set by judgement. Read one of them a few times to be surer.")
		o.Fact("half of it has no readings", nil)
	}
	share := parts[top].Share() * parts[top].Share() / total * 100
	o.SetText("biggest", o.Fill("{s}: {0} % of the sum of squares", []string{parts[top].Name}, share))
	half := append([]Part(nil), parts...)
	half[top].Value /= 2
	if h, err := Combine(half, corr, level); err == nil {
		o.Set("better", h.U, "in")
		o.Fact("most from {s}", []string{parts[top].Name})
		o.Fact("halve that: ±{s}", []string{bare(o, h.U)})
	}
	tellBy(o, b.U, 0)
	said := "Sure to \u00b1" + unsure(o, b.U)
	if v.Has("size") {
		said = o.Read("micrometer", v.In("size"), "in") + " \u00b1 " + unsure(o, b.U)
	}
	if v.Has("size") {
		o.Head("{=micrometer in} ± {s}", []string{bare(o, b.U)}, v.In("size"))
	}
	if guess {
		o.Head("Sure to ±{s}: a guess", []string{bare(o, b.U)})
	}
	o.SetText("verdict", said+" ("+levelText(v.Choice("level"))+"); mostly from "+parts[top].Name+".")
	o.Line(&combinedStandardStep, []string{terms, two(o, b.Std)})
	if slack != "" && len(corr) == 0 {
		o.Line(&effectiveDegreesStep, []string{digits(o, b.Std, false), slack[3:], degrees(o, b.DF)})
	}
	o.Line(&expandedUncertaintyStep2, []string{digits(o, b.Std, false), two(o, b.U)}, b.K)
	o.NoteIf(len(corr) > 0,
		"With correlations the degrees of freedom have no meaning: k is of the normal distribution.")
	o.Note("This U is for this set-up on this day: work it out again when gauge, method, hands or temperature change. A mistake or a chip under the part is not in it.")
	o.Cite("practice")
	return nil
}

// guessed reports whether more than half of it is limits that nobody read: bounds by judgement,
// without readings or a certificate behind them (JCGM 100:2008, 4.3.1).
func guessed(parts []Part, total float64) bool {
	judged := 0.0
	for _, p := range parts {
		if s := p.Share(); p.DF == 0 && (p.Given == Limit || p.Given == Triangle || p.Given == Swing) {
			judged += float64(s * s)
		}
	}
	return judged > total/2
}

// coarsest is more than anything is read to, inches.
const coarsest = .05

// askThou asks about a graduation, a repeat or a limit that was likely typed in thou.
func askThou(v *worksheet.Values, o *worksheet.Out, parts []Part) {
	for i, p := range parts {
		if p.Sens != 1 || p.Value <= coarsest {
			continue
		}
		rows := strings.Split(v.Typed("parts"), ";")
		if i >= len(rows) {
			return
		}
		cells := strings.Split(rows[i], ",")
		if len(cells) < 3 {
			return
		}
		text := strings.TrimSpace(cells[2])
		cells[2] = " " + text + worksheet.Either(o.System == units.MetricSystem, " um", " thou")
		rows[i] = strings.Join(cells, ",")
		o.Ask("parts", strings.Join(rows, ";"), p.Name+": sure only to "+o.Size(units.FromInches(p.Value))+
			"? Then"+cells[2]+" was likely meant.")
		return
	}
}

func levelText(level string) string {
	l, ok := units.First(levels, func(l worksheet.Option) bool { return l.Key == level })
	return worksheet.Either(ok, l.Label, level)
}

// pairs reads the correlations.
func pairs(v *worksheet.Values, n int) ([]Pair, *worksheet.InputError) {
	var out []Pair
	for i := range v.Rows("corr") {
		a, _ := v.Cell("corr", i, 0, "")
		b, _ := v.Cell("corr", i, 1, "")
		r, _ := v.Cell("corr", i, 2, "")
		row := "row " + strconv.Itoa(i+1)
		switch {
		case int(a) > n || int(b) > n:
			return nil, v.Refuse("corr", row+" names a contribution that is not there. There are "+strconv.Itoa(n)+".")
		case a == b:
			return nil, v.Refuse("corr", row+" pairs a contribution with itself. Name two.")
		}
		p := Pair{int(min(a, b)) - 1, int(max(a, b)) - 1, r}
		for _, q := range out {
			if q.I == p.I && q.J == p.J {
				return nil, v.Refuse("corr", row+" gives a pair a second time. Take one out.")
			}
		}
		out = append(out, p)
	}
	return out, nil
}
