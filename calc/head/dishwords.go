package head

import (
	"math"

	"datumbook/calc/align"
	"datumbook/calc/worksheet"
)

// Worked lines of dishCompute.
var (
	hollowStep      = worksheet.Step{What: "Hollow", Formula: "sin(phi) (sqrt(R^2 - near^2) - sqrt(R^2 - far^2))", Numbers: "R {len}, near {len}, far {len}, phi {s}", Result: "{s}", Source: "geometry"}
	mostTiltStep    = worksheet.Step{What: "Most tilt for the flatness wanted", Formula: "the same, for phi", Numbers: "{s}", Result: "{in/in}", Source: "geometry"}
	slopeAcrossStep = worksheet.Step{What: "Slope across the cut", Formula: "tilt x width", Numbers: "{7} x {len}", Result: "{s}", Source: "geometry"}
)

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
	o.SetText("verdict", o.Fill("A hollow of {s} over {in} of cut, at {s} along the feed.", []string{tiny(o, f.Hollow), tilt}, p.Width))
	o.Line(&hollowStep, []string{tilt, tiny(o, f.Hollow)}, p.Dia/2, f.Near, f.Far)
	o.Line(&mostTiltStep, []string{align.FineBare(o, flat)}, most)
	if p.Across > 0 {
		o.Line(&slopeAcrossStep, []string{align.Fine(o, f.Slope)}, p.Across, p.Width)
	}
	o.CautionIf(f.Hollow > flat,
		"More than the flatness wanted. Square the head, take a narrower pass, or use a smaller cutter.")
	o.CautionIf(p.Along > .02,
		"More than 20 thou in an inch is no lean left over from squaring: check the unit of the tilt.")
	o.Note("Springing of the part and the cutter's own wear are not in this. Prove the face with a straightedge and feelers, spindle stopped.")
	return nil
}

// tiny writes a millionth of an inch where it is one.
func tiny(o *worksheet.Out, in float64) string {
	return o.Scaled(in, 6, " in", 25.4, 5, " mm")
}
