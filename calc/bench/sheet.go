package bench

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Sheets gives the worksheets of this package.
func Sheets() []*worksheet.Sheet {
	return []*worksheet.Sheet{&blocksSheet, &sineSheet, &shimsSheet, &triangleSheet, &arcSheet, &taperSheet, &divideSheet, &heatSheet}
}

const group = "makeup"

var (
	srcGeometry = worksheet.Source{Key: "geometry", Title: "Plane geometry and trigonometry"}
)

const rad = math.Pi / 180

// dms writes an angle in degrees as 14d2'10".
func dms(deg float64) string {
	sign := ""
	if deg < 0 {
		sign, deg = "-", -deg
	}
	s := int(math.Floor(float64(deg*3600) + 0.5))
	return sign + strconv.Itoa(s/3600) + "d" + strconv.Itoa(s/60%60) + "'" + strconv.Itoa(s%60) + "\""
}

// marked writes a block or leaf as it is marked: in inches to a ten-thousandth without a leading
// nought, or in millimetres to half a micrometre, preferably in the system asked for.
func marked(l units.Length, metric bool) string {
	inch, _ := units.Round(l.Inches(), 4)
	m, _ := units.Round(l.MM(), 4)
	if metric && l%(um/10) == 0 || !metric && l%(in/10000) != 0 {
		for m.Places > 2 && m.Units%10 == 0 {
			m.Units, m.Places = m.Units/10, m.Places-1
		}
		return m.Text() + " mm"
	}
	return strings.TrimPrefix(inch.Text(), "0") + " in"
}

// listed joins lengths: .750 + .126.
func listed(blocks []units.Length, metric bool) string {
	out := ""
	if len(blocks) == 0 {
		return "none"
	}
	for i, b := range blocks {
		if i > 0 {
			out += " + "
		}
		out += marked(b, metric)
	}
	return out
}

// short writes a block as it is marked, without noughts behind and without the unit of the screen.
func short(l units.Length, metric bool, sys units.System) string {
	text, unit, _ := strings.Cut(marked(l, metric), " ")
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	if (unit == "mm") != (sys == units.MetricSystem) {
		text += " " + unit
	}
	return text
}

// fromTop lists blocks as they stand from the top: .1003 + .118 + 2.
func fromTop(o *worksheet.Out, blocks []units.Length, metric bool) string {
	out := ""
	for i := len(blocks) - 1; i >= 0; i-- {
		if out != "" {
			out += " + "
		}
		out += short(blocks[i], metric, o.System)
	}
	return out
}

func plural(n int, one string) string {
	s := strconv.Itoa(n) + " " + one
	if n != 1 {
		s += "s"
	}
	return s
}

// chosen gives the blocks of the set chosen and whether they are metric.
func chosen(v *worksheet.Values) (owned []units.Length, metric bool) {
	key := v.Choice("set")
	if key == "usual" {
		key = worksheet.Either(v.System == units.MetricSystem, "mm88", "in81")
	}
	owned, _ = Set(key)
	return owned, key[0] == 'm'
}

var blocksSheet = worksheet.Sheet{
	Name: "blocks", Title: "Gauge blocks", Question: "Which blocks make up this height?", Group: group, Drawing: "blocks",
	About: []string{
		"Finds the fewest blocks of the set owned that make the height exactly, never one block twice. Sizes are added as whole numbers, so a stack that is found is exact.",
		"Where the set cannot make the height, the next stacks below and above are given.",
	},
	Inputs: []worksheet.Input{
		{Key: "height", Label: "Height", Kind: worksheet.Length, Required: true, Ask: "What height?", Box: "height", Example: "3.9762", Min: "0.001 in",
			Max: "40 in", Help: "The height to make up."},
		{Key: "set", Label: "Set", Kind: worksheet.Choice, Default: "usual", Help: "The set owned. 'usual' is the 81-piece inch set, or with metric units the 88-piece one.",
			Options: []worksheet.Option{{Key: "usual", Label: "usual"}, {Key: "mine", Label: "my own list"}, {Key: "in81", Label: "81-piece inch"}, {Key: "in36", Label: "36-piece inch"}, {Key: "mm47", Label: "47-piece metric"}, {Key: "mm88", Label: "88-piece metric"}, {Key: "mm112", Label: "112-piece metric"}}},
		{Key: "mine", Label: "My blocks", Kind: worksheet.List, Ask: "Which blocks are yours?", Box: "your blocks", Example: "2 3 4 in", Help: "Sizes of the blocks owned, where the set is 'my own list'. A size written twice is two blocks.", MaxRows: 130,
			Columns: []worksheet.Column{{Key: "size", Label: "Size", Kind: worksheet.Length, Min: "0.001 in", Max: "40 in"}}},
		{Key: "wear", Label: "Wear blocks", Kind: worksheet.Length, Ask: "How thick are the wear blocks?", Default: "none", Example: ".050", Min: "0.01 in", Max: "0.5 in", Help: "Thickness of one wear block; one goes on each end.",
			Words: []worksheet.Option{{Key: "none", Label: "none"}}},
		{Key: "most", Label: "Most blocks", Kind: worksheet.Count, Default: "6", Min: "1", Max: "8", Help: "Wear blocks not counted. Every wringing adds a little error."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "exact", Label: "Exact", Kind: worksheet.Flag},
		{Key: "count", Label: "Blocks", Kind: worksheet.Count, Main: true, Digits: worksheet.WholeDigits},
		{Key: "total", Label: "Stack", Kind: worksheet.Length, Main: true, Dial: "block",
			Digits: worksheet.Digits{Inch: 6, Metric: 5}},
		{Key: "off", Label: "Stack less height", Kind: worksheet.Length, Digits: worksheet.Digits{Inch: 6, Metric: 5}},
		{Key: "stack", Label: "From the bottom up", Kind: worksheet.Table, Plan: true,
			Columns: []worksheet.Column{{Key: "block", Label: "Block", Kind: worksheet.Text}, {Key: "size",
				Label: "Size", Kind: worksheet.Length, Fine: true}, {Key: "sum", Label: "So far",
				Kind: worksheet.Length, Fine: true}}},
		{Key: "below", Label: "Next below", Kind: worksheet.Text},
		{Key: "above", Label: "Next above", Kind: worksheet.Text},
	},
	Sources: []worksheet.Source{
		{Key: "sets", Title: "Gauge block sets as boxed by the trade: 81-piece inch set as published in metrology course notes; other sets by common practice"},
		{Key: "NPL", Title: "National Physical Laboratory, length: how to select gauge blocks for a size combination"},
		worksheet.Practice,
	},
	Example: []worksheet.Pair{{Key: "height", Text: "3.9762 in"}, {Key: "set", Text: "in81"}},
	Compute: computeBlocks,
}

// Worked lines of computeBlocks.
var (
	heightBlocksStep = worksheet.Step{What: "Height for the blocks", Formula: "height - 2 x wear block", Numbers: "{s} - 2 x {s}", Result: "{in}", Source: "NPL"}
	stackStep        = worksheet.Step{What: "Stack", Formula: "sum of the blocks, in whole numbers", Numbers: "{s}", Result: "{s}", Source: "NPL"}
)

// farOff is how far a stack may be off and still be told as one to use: half a thou, about 0.01 mm.
const farOff = in / 2000

func computeBlocks(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	owned, metric := chosen(v)
	switch mine := v.Choice("set") == "mine"; {
	case mine && v.Rows("mine") == 0:
		return v.Refuse("mine", "the set is your own list and none is given. Type the sizes owned.")
	case mine:
		metric = v.System == units.MetricSystem
		owned = make([]units.Length, v.Rows("mine"))
		for i := range owned {
			x, _ := v.Cell("mine", i, 0, "mm")
			owned[i] = units.FromMM(x)
		}
	case v.Given("mine"):
		o.Note("Your own list is not read: the set chosen is another. Choose 'my own list' to use it.")
	}
	height, wear := v.Length("height"), v.Length("wear")
	o.AskUnit(v, "height", .02, 16)
	rest := height - 2*wear
	if rest < 1 {
		o.HeadStop("Wear blocks are the whole height", nil)
		return v.Refuse("wear", o.Fill("two wear blocks are {in}, which is the whole height or more. Take thinner ones or none.", nil, 2*wear.Inches()))
	}
	most := int(v.Num("most"))
	s, found, sure := Blocks(rest, owned, most)
	if found {
		o.SetText("verdict", plural(len(s.Blocks), "block")+withWear(wear,
			metric)+worksheet.Either(len(s.Blocks) == 1 && wear == 0, " makes ", " make ")+marked(height,
			metric)+": "+listed(s.Blocks, metric)+".")
		o.Head("{s}{s}{s}", []string{plural(len(s.Blocks), "block"), worksheet.Either(len(s.Blocks) == 1 && wear == 0,
			" makes ", " make "), short(height, metric, o.System)})
		o.Fact("{s}", []string{fromTop(o, s.Blocks, metric)})
	} else {
		below, above, sureToo := Nearest(rest, owned, most)
		sure = sure && sureToo
		s = below
		if below.Blocks == nil || above.Blocks != nil && above.Total-rest < rest-below.Total {
			s = above
		}
		if s.Blocks == nil {
			return v.Refuse("mine", "no stack can be made of these. Add sizes.")
		}
		if below.Blocks != nil {
			o.SetText("below", marked(below.Total+2*wear, metric)+" = "+listed(below.Blocks, metric)+withWear(wear, metric))
		}
		if above.Blocks != nil {
			o.SetText("above", marked(above.Total+2*wear, metric)+" = "+listed(above.Blocks, metric)+withWear(wear, metric))
		}
		off := s.Total - rest
		nearest := plural(len(s.Blocks), "block") + withWear(wear, metric) + ", " + o.Read("least",
			size(off).Inches(), "in") + worksheet.Either(off > 0, " over", " under")
		if size(off) > farOff {
			o.HeadStop("This set cannot make {s}", []string{short(height, metric, o.System)})
			o.FactStop("nearest {=least in}{s}", []string{worksheet.Either(off > 0, " over", " under")}, size(off).Inches())
			o.FactStop("another set, or a parallel", nil)
			o.Stop("This set does not make it: nearest is "+nearest+".", "No stack of up to "+plural(most,
				"block")+" comes within half a thou (0.01 mm). Use blocks of another set, or an adjustable parallel.")
		} else {
			o.SetText("verdict", nearest+": "+listed(s.Blocks, metric)+", the nearest of this set.")
			o.Caution("This set cannot make the height exactly with up to " + plural(most, "block") + ".")
			o.Head("{s}, {=least in}{s}", []string{plural(len(s.Blocks), "block"), worksheet.Either(off > 0, " over",
				" under")}, size(off).Inches())
			o.Fact("{s}", []string{fromTop(o, s.Blocks, metric)})
			o.Fact("nearest of this set", nil)
		}
	}
	if !sure {
		o.Caution("The list is too mixed to search to the end: a shorter or nearer stack may be there.")
		o.Fact("▲ too mixed a list to search out", nil)
	}
	if wear > 0 {
		o.Fact("{s} wear block each end", []string{short(wear, metric, o.System)})
	}
	if len(s.Blocks) > 1 {
		o.Fact("from the top", nil)
	}
	o.SetFlag("exact", found)
	o.Set("count", float64(len(s.Blocks)), "")
	total := s.Total + 2*wear
	o.SetLength("total", total)
	o.SetLength("off", total-height)
	stack := s.Blocks
	if wear > 0 {
		stack = append(append([]units.Length{wear}, stack...), wear)
	}
	sum := units.Length(0)
	worksheet.SetRows(o, "stack", stack, func(_ int, b units.Length) []worksheet.Cell {
		sum += b
		return worksheet.Cells("sii", []string{marked(b, metric)}, b.Inches(), sum.Inches())
	})
	if wear > 0 {
		o.Line(&heightBlocksStep, []string{shoptext.Inches(height, 5), shoptext.Inches(wear, 5)}, rest.Inches())
	}
	o.Line(&stackStep, []string{listed(stack, metric), marked(total, metric)})
	o.Cite("sets")
	o.Note("Clean the faces, wring the blocks, and let them come to the temperature of the work. Handle them as little as may be.")
	o.Cite("practice")
	return nil
}

func withWear(wear units.Length, metric bool) string {
	if wear == 0 {
		return ""
	}
	return " and a " + marked(wear, metric) + " wear block on each end"
}
