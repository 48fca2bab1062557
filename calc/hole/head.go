package hole

import (
	"strings"

	"datumbook/calc/worksheet"
)

// bare gives a drill's name, or its size without the unit.
func bare(c *Candidate, o *worksheet.Out) string {
	return worksheet.Either(c.Name != "", c.Name, o.Fill("{=micrometer in}", nil, c.Dia))
}

// number cuts the unit off a length.
func number(text string) string {
	n, _, _ := strings.Cut(text, " ")
	return n
}

// makes says in a headline what makes the hole: "17/32 drill".
func (p *Plan) makes(o *worksheet.Out) string {
	if p.Pick.Bored {
		return o.Fill("Bore {=micrometer in}", nil, p.Pick.Dia)
	}
	return bare(&p.Pick, o) + " drill"
}

// drillKnown says which drill it is while a depth is missing.
func drillKnown(in Input, o *worksheet.Out) {
	in.Deepest, in.Through, in.Lead = false, false, 0
	in.Depth = in.Thread.Inches(in.Thread.D)
	if p, f := Make(in); f == nil && p.sized() {
		o.Head("{s}", []string{p.makes(o)})
	}
}

// head says first what to drill and how deep, by what the stop is zeroed with; cautions said what
// is careful about it before.
func (p *Plan) head(in Input, point bool, o *worksheet.Out) {
	with := []string{p.makes(o)}
	if in.Through {
		o.Head("{s}, right through", with)
		o.Fact("tap until the chamfer is out", nil)
		if !p.Weak {
			o.Fact("{diameters } D of thread", nil, diameters(in, p.Usable))
		}
		return
	}
	o.Head("{s}, {=quill in} deep", with, worksheet.Either(point, p.StopTip, p.StopEdge))
	if !p.FloorKnown {
		o.Fact("▲ floor not checked", nil)
	}
	o.Fact("{=thread in} full thread", nil, p.Full)
	if p.FloorKnown && !p.ThinFloor {
		o.Fact("{=left in} floor", nil, p.Floor)
	}
	o.Fact(worksheet.Either(point, "to the point", "to the shoulder"), nil)
}
