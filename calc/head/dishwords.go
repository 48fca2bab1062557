package head

import (
	"math"
	"strings"

	"datumbook/calc/align"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Worked lines of dishCompute.
var (
	hollowStep      = worksheet.Step{What: "Hollow", Formula: "sin(phi) (sqrt(R^2 - near^2) - sqrt(R^2 - far^2))", Numbers: "R {len}, near {len}, far {len}, phi {s}", Result: "{s}", Source: "geometry"}
	mostTiltStep    = worksheet.Step{What: "Most tilt for the flatness wanted", Formula: "the same, for phi", Numbers: "{s}", Result: "{in/in}", Source: "geometry"}
	slopeAcrossStep = worksheet.Step{What: "Slope across the cut", Formula: "tilt x width", Numbers: "{7} x {len}", Result: "{s}", Source: "geometry"}
)

// first says first how hollow it cuts.
func first(o *worksheet.Out, f Face, p Pass, hollow string, flat float64) {
	lean := o.Scaled(p.Along*12000, 1, " a foot", 1./12, 2, " a metre")
	if f.Hollow > flat {
		o.Head("Too hollow by far", nil)
		o.Head("Hollows "+hollow, nil)
		o.Head("Hollows "+strings.TrimSuffix(hollow, unit(o))+", you want "+align.Full(o, flat), nil)
		o.Fact("leans "+lean, nil)
		o.Fact("narrower cut or square it", nil)
		return
	}
	o.Head("Flat enough", nil)
	o.Head("Flat enough: hollows "+hollow, nil)
	o.Fact(strings.TrimSuffix(align.Full(o, flat), unit(o))+" wanted", nil)
	o.Fact("leans "+lean, nil)
	o.Fact(worksheet.Either(f.Slope > 0, "slopes {=hollow in} across", ""), nil, f.Slope)
}

// unit is that of the needle.
func unit(o *worksheet.Out) string {
	return worksheet.Either(o.System == units.MetricSystem, " mm", " thou")
}

func dishCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	p := Pass{Dia: v.In("cutter"), Width: v.In("cutter"), Offset: math.Abs(v.In("offset")), Along: v.As("along", "in/in"), Across: v.As("across", "in/in"), Step: v.In("step")}
	if v.Has("width") {
		p.Width = v.In("width")
	}
	if p.Width > p.Dia {
		return v.Refuse("width", "it is wider than the cutter. Type the width of one pass.")
	}
	if p.Offset > 0 && float64(p.Width/2)+p.Offset > p.Dia/2 {
		if !v.Has("width") {
			return v.Refuse("width", "type it where the cutter is off the middle: a cut as wide as the cutter is always in its middle.")
		}
		return v.Refuse("offset", "the cut would reach beyond the cutter. At most half of what the cutter is wider than the cut.")
	}
	if p.Step > p.Dia {
		return v.Refuse("step", "passes farther apart than the cutter is wide leave metal standing between them. Type less than the cutter.")
	}
	f := Dish(p)
	flat := v.In("flat")
	most := MostTilt(p, flat)
	o.SetAll("hollow in, most in/in, slope in", f.Hollow, most, f.Slope)
	o.SetIf(v.Has("step"), "ridge in", f.Ridge)
	o.SetIf(f.Radius > 0 && f.Radius < 1e7, "radius in", f.Radius)
	o.SetFlag("flat", f.Hollow <= flat)
	tilt := o.Show(p.Along, "in/in", worksheet.Slope)
	hollow, _ := align.Apart(o, "hollow", f.Hollow, flat)
	first(o, f, p, hollow, flat)
	o.SetText("verdict", "Hollows "+hollow+" over "+align.Long(o, p.Width)+" of cut, you want "+align.Full(o, flat)+
		worksheet.Either(f.Hollow > flat, ": lean less, or cut narrower.", "."))
	o.Line(&hollowStep, []string{tilt, align.Full(o, f.Hollow)}, p.Dia/2, f.Near, f.Far)
	o.Line(&mostTiltStep, []string{align.FullBare(o, flat)}, most)
	if p.Across > 0 {
		o.Line(&slopeAcrossStep, []string{align.Full(o, f.Slope)}, p.Across, p.Width)
	}
	o.CautionIf(f.Hollow > flat,
		"More than the flatness wanted. Square the head, take a narrower pass, or use a smaller cutter.")
	if p.Along > .02 {
		if means := o.Dec(p.Along*12, 6) + " thou/ft"; o.System == units.InchSystem {
			o.Ask("along", means, "More than 20 thou in an inch is no lean left over from squaring: was "+
				means+" meant?")
		} else {
			o.Caution("More than 20 mm in a metre is no lean left over from squaring: check the unit of the tilt.")
		}
	}
	o.Note("Springing of the part and the cutter's own wear are not in this. Prove the face with a straightedge and feelers, spindle stopped.")
	return nil
}
