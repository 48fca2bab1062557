package bench

import (
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

var shimsSheet = worksheet.Sheet{
	Name: "shims", Title: "Shim pack", Question: "Which shims make up this gap?", Group: group, Drawing: "shims",
	About: []string{
		"Makes a thickness up from the shims owned, no leaf oftener than it is there: the fewest leaves that come as near as you ask, or the nearest there is. Every count of leaves that brings the pack nearer is listed.",
	},
	Inputs: []worksheet.Input{
		{Key: "want", Ask: "How thick is the gap?", Box: "gap", Label: "Thickness", Kind: worksheet.Length, Required: true, Example: ".0265", Min: "0.0005 in", Max: "2 in", Help: "The thickness to make up."},
		{Key: "owned", Ask: "Which leaves are there?", Box: "leaves", Label: "Shims owned", Kind: worksheet.Table, MaxRows: 24, MinRows: 1, Example: ".001 in, 4; .002 in, 4",
			Default: ".001 in;.0015 in;.002 in;.003 in;.004 in;.005 in;.006 in;.007 in;.008 in;.010 in;.012 in;.015 in;.020 in;.025 in;.031 in",
			Help:    "A row for each thickness, with how many are there. No count means as many as wanted.",
			Columns: []worksheet.Column{{Key: "thick", Label: "Thickness", Kind: worksheet.Length, Min: "0.0001 in", Max: "1 in"}, {Key: "have", Label: "How many", Kind: worksheet.Count, Min: "0", Max: "100", Optional: true}}},
		{Key: "near", Ask: "How near?", Box: "near enough", Needle: true, Label: "Near enough", Kind: worksheet.Length, Default: "0.0005 in", Min: "0 in", Max: "0.1 in", Help: "How far off the pack may be."},
		{Key: "most", Ask: "How many leaves at most?", Box: "most leaves", Label: "Most leaves", Kind: worksheet.Count, Default: "5", Min: "1", Max: "12", Help: "A thick pack of many leaves is springy."},
	},
	Results: []worksheet.Result{
		worksheet.Verdict,
		{Key: "total", Label: "Pack", Kind: worksheet.Length, Main: true, Plan: true, Dial: "block",
			Digits: worksheet.FineDigits},
		{Key: "off", Label: "Pack less thickness", Kind: worksheet.Length, Main: true, Dial: "block",
			Digits: worksheet.FineDigits},
		{Key: "count", Label: "Leaves", Kind: worksheet.Count, Main: true, Digits: worksheet.WholeDigits},
		{Key: "near", Label: "Near enough", Kind: worksheet.Flag, Judges: true},
		{Key: "leaves", Label: "Leaves in order", Kind: worksheet.Table, Plan: true,
			Columns: []worksheet.Column{{Key: "thick", Label: "Leaf", Kind: worksheet.Length, Fine: true}}},
		{Key: "choices", Label: "By number of leaves", Kind: worksheet.Table, Columns: []worksheet.Column{
			{Key: "count", Label: "Leaves", Kind: worksheet.Count},
			{Key: "total", Label: "Pack", Kind: worksheet.Length, Fine: true},
			{Key: "off", Label: "Off by", Kind: worksheet.Length, Fine: true},
			{Key: "pack", Label: "Of", Kind: worksheet.Text}}},
	},
	Sources: []worksheet.Source{{Key: "sum", Title: "Sums of whole steps, every one looked at"}, worksheet.Practice},
	Example: []worksheet.Pair{{Key: "want", Text: ".0265 in"}},
	Compute: computeShims,
}

// Worked lines of computeShims.
var (
	packStep = worksheet.Step{What: "Pack", Formula: "sum of the leaves", Numbers: "{s}", Result: "{s}", Source: "sum"}
	offStep  = worksheet.Step{What: "Off by", Formula: "pack - thickness", Numbers: "{s} - {s}", Result: "{s}", Source: "sum"}
)

// springy is the number of leaves beyond which a pack gives under load. Common practice, no
// published source.
const springy = 4

func computeShims(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	var owned []Leaf
	for i := range v.Rows("owned") {
		thick, _ := v.Cell("owned", i, 0, "mm")
		have, set := v.Cell("owned", i, 1, "")
		if !set {
			have = MostLeaves
		}
		owned = append(owned, Leaf{units.FromMM(thick), int(have)})
	}
	want, near, metric := v.Length("want"), v.Length("near"), v.System == units.MetricSystem
	packs, err := Leaves(want, owned, int(v.Num("most")))
	if err != nil {
		return v.Refuse("owned", err.Error()+". Give thicknesses in one unit and a count of at least one of something.")
	}
	p := Choose(packs, near)
	o.AskUnit(v, "want", .0005, .3)
	n := len(p.Blocks)
	o.SetFlag("near", size(p.Over) <= near)
	says := worksheet.Either(n == 1, "1 leaf", plural(n, "leave")) + ": " + listed(p.Blocks, metric)
	switch off := marked(size(p.Over), metric); {
	case n == 0 && size(p.Over) <= near:
		says = "No shim: the thickness itself is within what you call near enough."
	case n == 0:
		thin := units.Length(0)
		for _, l := range owned {
			if l.Have > 0 && (thin == 0 || l.Thick < thin) {
				thin = l.Thick
			}
		}
		o.HeadStop("Thinnest leaf is too thick", nil)
		o.FactStop("gap "+bareMark(want, metric)+", thinnest "+bareMark(thin, metric), nil)
		o.FactStop("paper or stone the other side", nil)
		o.Stop("Thinnest leaf is too thick: "+marked(want, metric)+" wanted, thinnest "+marked(thin, metric)+".",
			"It would miss by more than leaving the gap as it is. Take paper or a thinner leaf, or stone the other "+
				"side.")
	case p.Over == 0:
		says += ", exactly."
	default:
		says += ", " + off + worksheet.Either(p.Over > 0, " over.", " short.")
	}
	if n > 0 && size(p.Over) > near {
		says = strings.TrimSuffix(says, ".") + ": no pack of these comes closer."
		o.Caution("No pack of up to " + plural(int(v.Num("most")), "leave") + " comes within " + marked(near,
			metric) + ".")
	}
	if n > springy && size(p.Over) <= near {
		says = strings.TrimSuffix(says, ".") + "; springy."
		o.Caution(plural(n, "leave") + " are springy: one thicker leaf in place of some is better.")
	}
	o.SetText("verdict", says)
	shimsFirst(o, p, near, metric)
	o.SetLength("total", p.Total)
	o.SetLength("off", p.Over)
	o.Set("count", float64(len(p.Blocks)), "")
	worksheet.SetRows(o, "leaves", outsideThick(p.Blocks), func(_ int, b units.Length) []worksheet.Cell {
		return worksheet.Cells("i", nil, b.Inches())
	})
	worksheet.SetRows(o, "choices", packs, func(_ int, c Pack) []worksheet.Cell {
		return worksheet.Cells("niis", []string{listed(c.Blocks, metric)},
			float64(len(c.Blocks)), c.Total.Inches(), c.Over.Inches())
	})
	o.Line(&packStep, []string{listed(p.Blocks, metric), marked(p.Total, metric)})
	o.Line(&offStep, []string{marked(p.Total, metric), marked(want, metric), marked(p.Over, metric)})
	o.Note("Deburr and wipe every leaf, keep the thinnest inside, and gauge the pack clamped: each joint adds about 0.0001 to 0.0002 in (0.003 to 0.005 mm). Tighten, then indicate again.")
	o.Cite("practice")
	return nil
}

// bareMark writes a leaf as it is marked, without its unit.
func bareMark(l units.Length, metric bool) string {
	text := strings.TrimSuffix(marked(l, metric), worksheet.Either(metric, " mm", " in"))
	if point := strings.IndexByte(text, '.'); !metric && len(text) == point+5 {
		text = strings.TrimSuffix(text, "0") // .0250 is .025, and .0100 is .010
	}
	return text
}

// shimsFirst says first which leaves are taken, or why they are not good.
func shimsFirst(o *worksheet.Out, p Pack, near units.Length, metric bool) {
	n := len(p.Blocks)
	leaves := make([]string, n)
	for i, b := range p.Blocks {
		leaves[i] = bareMark(b, metric)
	}
	pack, short := strings.Join(leaves, " + "), size(p.Over) > near
	off := worksheet.Either(p.Over == 0, "exact", bareMark(size(p.Over), metric)+worksheet.Either(p.Over < 0, " short", " over"))
	switch {
	case n == 0:
		o.Head("No shim needed", nil)
		o.Fact(off, nil)
		return
	case n > springy && !short:
		o.Head(plural(n, "leave")+": springy", nil)
		o.Fact(pack, nil)
		o.Fact("one thicker leaf is better", nil)
		o.Fact(off, nil)
		return
	}
	o.Head(worksheet.Either(n == 1, "1 leaf", plural(n, "leave")), nil)
	o.Head(strings.Join(leaves, "+"), nil)
	o.Head(pack, nil)
	if short {
		o.Fact("▲ "+off, nil)
		o.Fact("the drawer has no closer", nil)
		return
	}
	o.Fact(off, nil)
	o.Fact(worksheet.Either(n > 1, plural(n, "leave"), ""), nil)
}

// outsideThick lays leaves so that the two thickest are outside.
func outsideThick(leaves []units.Length) []units.Length {
	if len(leaves) < 3 {
		return leaves
	}
	out := append([]units.Length{leaves[0]}, leaves[2:]...)
	return append(out, leaves[1])
}
