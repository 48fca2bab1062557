package makeup

import (
	"math"
	"strconv"

	"datumbook/calc/quantity"
	"datumbook/calc/sheet"
	"datumbook/calc/shopnum"
)

// Sheets gives the worksheets of this room.
func Sheets() []*sheet.Sheet {
	return []*sheet.Sheet{&blocksSheet, &sineSheet, &shimsSheet, &triangleSheet, &arcSheet, &taperSheet, &divideSheet, &heatSheet}
}

const group = "makeup"

var (
	srcPractice = sheet.Source{Key: "practice", Title: "Common practice, no published source"}
	srcGeometry = sheet.Source{Key: "geometry", Title: "Plane geometry and trigonometry"}
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

// marked writes a block or leaf as it is marked: in inches to a tenth or in
// millimetres to half a micrometre, by preference in the system asked for.
func marked(l quantity.Length, metric bool) string {
	inch, _ := quantity.Round(l.Inches(), 4)
	m, _ := quantity.Round(l.MM(), 4)
	if metric && l%(um/10) == 0 || !metric && l%(in/10000) != 0 {
		for m.Places > 2 && m.Units%10 == 0 {
			m.Units, m.Places = m.Units/10, m.Places-1
		}
		return m.Text() + " mm"
	}
	return inch.Text() + " in"
}

// listed writes lengths in a row: .750 + .126.
func listed(blocks []quantity.Length, metric bool) string {
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

func plural(n int, one string) string {
	s := strconv.Itoa(n) + " " + one
	if n != 1 {
		s += "s"
	}
	return s
}

// chosen gives the blocks of the set chosen and whether they are metric.
func chosen(v *sheet.Values) (owned []quantity.Length, metric bool) {
	key := v.Choice("set")
	if key == "usual" {
		key = "in81"
		if v.System == quantity.MetricSystem {
			key = "mm88"
		}
	}
	owned, _ = Set(key)
	return owned, key[0] == 'm'
}

var blocksSheet = sheet.Sheet{
	Name: "blocks", Title: "Gauge blocks", Question: "Which blocks make up this height?", Group: group, Drawing: "blocks",
	About: []string{
		"Finds the fewest blocks of the set owned that make the height exactly, never one block twice. Sizes are added as whole numbers, so a stack that is found is exact.",
		"Where the set cannot make the height, the next stacks below and above are given.",
	},
	Inputs: []sheet.Input{
		{Key: "height", Label: "Height", Kind: sheet.Length, Required: true, Example: "3.9762", Min: "0.001 in", Max: "40 in", Help: "The height to make up."},
		{Key: "set", Label: "Set", Kind: sheet.Choice, Default: "usual", Help: "The set owned. 'usual' is the 81-piece inch set, or with metric units the 88-piece one.",
			Options: []sheet.Option{{Key: "usual", Label: "usual"}, {Key: "mine", Label: "my own list"}, {Key: "in81", Label: "81-piece inch"}, {Key: "in36", Label: "36-piece inch"}, {Key: "mm47", Label: "47-piece metric"}, {Key: "mm88", Label: "88-piece metric"}, {Key: "mm112", Label: "112-piece metric"}}},
		{Key: "mine", Label: "My blocks", Kind: sheet.List, Example: "2 3 4 in", Help: "Sizes of the blocks owned, where the set is 'my own list'. A size written twice is two blocks.", MaxRows: 130,
			Columns: []sheet.Column{{Key: "size", Label: "Size", Kind: sheet.Length, Min: "0.001 in", Max: "40 in"}}},
		{Key: "wear", Label: "Wear blocks", Kind: sheet.Length, Default: "none", Example: ".050", Min: "0.01 in", Max: "0.5 in", Help: "Thickness of one wear block; one goes on each end.",
			Words: []sheet.Option{{Key: "none", Label: "none"}}},
		{Key: "most", Label: "Most blocks", Kind: sheet.Count, Default: "6", Min: "1", Max: "8", Help: "Wear blocks not counted. Every wringing adds a little error."},
	},
	Results: []sheet.Result{
		{Key: "verdict", Label: "Answer", Kind: sheet.Text, Main: true},
		{Key: "exact", Label: "Exact", Kind: sheet.Flag},
		{Key: "count", Label: "Blocks", Kind: sheet.Count, Main: true, Digits: sheet.Digits{Inch: sheet.Whole, Metric: sheet.Whole}},
		{Key: "total", Label: "Stack", Kind: sheet.Length, Main: true, Digits: sheet.Digits{Inch: 6, Metric: 5}},
		{Key: "off", Label: "Stack less height", Kind: sheet.Length, Digits: sheet.Digits{Inch: 6, Metric: 5}},
		{Key: "stack", Label: "From the bottom up", Kind: sheet.Table, Columns: []sheet.Column{{Key: "block", Label: "Block", Kind: sheet.Text}, {Key: "size", Label: "Size", Kind: sheet.Length}, {Key: "sum", Label: "So far", Kind: sheet.Length}}},
		{Key: "below", Label: "Next below", Kind: sheet.Text},
		{Key: "above", Label: "Next above", Kind: sheet.Text},
	},
	Sources: []sheet.Source{
		{Key: "sets", Title: "Gauge block sets as boxed by the trade: 81-piece inch set as published in metrology course notes; other sets by common practice"},
		{Key: "NPL", Title: "National Physical Laboratory, length: how to select gauge blocks for a size combination"},
		srcPractice,
	},
	Example: []sheet.Pair{{Key: "height", Text: "3.9762 in"}, {Key: "set", Text: "in81"}},
	Compute: computeBlocks,
}

// Worked lines of computeBlocks.
var (
	heightBlocksStep = sheet.Step{What: "Height for the blocks", Formula: "height - 2 x wear block", Numbers: "{s} - 2 x {s}", Result: "{in}", Source: "NPL"}
	stackStep        = sheet.Step{What: "Stack", Formula: "sum of the blocks, in whole numbers", Numbers: "{s}", Result: "{s}", Source: "NPL"}
)

func computeBlocks(v *sheet.Values, o *sheet.Out) *sheet.Fault {
	owned, metric := chosen(v)
	switch mine := v.Choice("set") == "mine"; {
	case mine && v.Rows("mine") == 0:
		return v.Refuse("mine", "the set is your own list and none is given. Type the sizes owned.")
	case mine:
		metric = v.System == quantity.MetricSystem
		owned = make([]quantity.Length, v.Rows("mine"))
		for i := range owned {
			x, _ := v.Cell("mine", i, 0, "mm")
			owned[i] = quantity.FromMM(x)
		}
	case v.Given("mine"):
		o.Note("Your own list is not read: the set chosen is another. Choose 'my own list' to use it.")
	}
	height, wear := v.Length("height"), v.Length("wear")
	rest := height - 2*wear
	if rest < 1 {
		return v.Refuse("wear", o.Fill("two wear blocks are {in}, which is the whole height or more. Take thinner ones or none.", nil, 2*wear.Inches()))
	}
	most := int(v.Num("most"))
	s, found, sure := Blocks(rest, owned, most)
	if found {
		o.SetText("verdict", plural(len(s.Blocks), "block")+withWear(wear, metric)+": "+listed(s.Blocks, metric)+".")
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
		o.SetText("verdict", "No stack of up to "+plural(most, "block")+" makes it exactly. Nearest: "+listed(s.Blocks, metric)+withWear(wear, metric)+", off by "+marked(s.Total-rest, metric)+".")
		if below.Blocks != nil {
			o.SetText("below", marked(below.Total+2*wear, metric)+" = "+listed(below.Blocks, metric)+withWear(wear, metric))
		}
		if above.Blocks != nil {
			o.SetText("above", marked(above.Total+2*wear, metric)+" = "+listed(above.Blocks, metric)+withWear(wear, metric))
		}
		o.Refuse("This set cannot make the height exactly with up to " + plural(most, "block") + ".")
	}
	if !sure {
		o.Caution("The list is too mixed to search to the end: a shorter or nearer stack may be there.")
	}
	o.SetFlag("exact", found)
	o.Set("count", float64(len(s.Blocks)), "")
	total := s.Total + 2*wear
	o.SetLength("total", total)
	o.SetLength("off", total-height)
	stack := s.Blocks
	if wear > 0 {
		stack = append(append([]quantity.Length{wear}, stack...), wear)
	}
	var rows [][]sheet.Cell
	sum := quantity.Length(0)
	for _, b := range stack {
		sum += b
		rows = append(rows, []sheet.Cell{sheet.Txt(marked(b, metric)), sheet.Num(b.Inches(), "in"), sheet.Num(sum.Inches(), "in")})
	}
	o.SetTable("stack", rows)
	if wear > 0 {
		o.Line(&heightBlocksStep, []string{shopnum.Inches(height, 5), shopnum.Inches(wear, 5)}, rest.Inches())
	}
	o.Line(&stackStep, []string{listed(stack, metric), marked(total, metric)})
	o.Cite("sets")
	o.Note("Clean the faces, wring the blocks, and let them come to the temperature of the work. Handle them as little as may be.")
	o.Cite("practice")
	return nil
}

func withWear(wear quantity.Length, metric bool) string {
	if wear == 0 {
		return ""
	}
	return " and a " + marked(wear, metric) + " wear block on each end"
}
