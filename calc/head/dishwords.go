package head

import (
	"math"

	"datumbook/calc/align"
	"datumbook/calc/sheet"
)

func dishCompute(v *sheet.Values, o *sheet.Out) *sheet.Fault {
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
	o.Set("hollow", f.Hollow, "in")
	o.Set("most", most, "in/in")
	o.Set("slope", f.Slope, "in")
	if v.Has("step") {
		o.Set("ridge", f.Ridge, "in")
	}
	if f.Radius > 0 && f.Radius < 1e7 {
		o.Set("radius", f.Radius, "in")
	}
	o.SetFlag("flat", f.Hollow <= flat)
	tilt := o.Show(p.Along, "in/in", sheet.Slope)
	o.SetText("verdict", "A hollow of "+tiny(o, f.Hollow)+" over "+o.Len(p.Width)+" of cut, at "+tilt+" along the feed.")
	o.Work("Hollow", "sin(phi) (sqrt(R^2 - near^2) - sqrt(R^2 - far^2))",
		"R "+o.Bare(p.Dia/2)+", near "+o.Bare(f.Near)+", far "+o.Bare(f.Far)+", phi "+tilt, tiny(o, f.Hollow), "geometry")
	o.Work("Most tilt for the flatness wanted", "the same, for phi", align.FineBare(o, flat), o.Show(most, "in/in", sheet.Slope), "geometry")
	if p.Across > 0 {
		o.Work("Slope across the cut", "tilt x width", o.Dec(p.Across, 7)+" x "+o.Bare(p.Width), align.Fine(o, f.Slope), "geometry")
	}
	if f.Hollow > flat {
		o.Caution("More than the flatness wanted. Square the head, take a narrower pass, or use a smaller cutter.")
	}
	if p.Along > .02 {
		o.Caution("More than 20 thou in an inch is no lean left over from squaring: check the unit of the tilt.")
	}
	o.Note("Springing of the part and the cutter's own wear are not in this. Prove the face with a straightedge and feelers, spindle stopped.")
	return nil
}

// tiny writes a millionth of an inch where it is one.
func tiny(o *sheet.Out, in float64) string {
	if o.System.Name() == "mm" {
		return o.Dec(float64(in*25.4), 5) + " mm"
	}
	return o.Dec(in, 6) + " in"
}
