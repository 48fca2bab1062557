package fits

import "datumbook/calc/worksheet"

// Room is the play of bolts in their holes. Lengths are in inches.
type Room struct {
	First, Second float64 // position tolerance, a diameter, of each part's holes
	Total         float64 // of both parts together
	Shift         float64 // how far one part may move on the other, each way
	Spacing       float64 // how much two centre distances may differ
}

// Floating returns the play if both parts have clearance holes, T = H - F for each part (ASME
// Y14.5-2009, appendix B.3). F is the largest bolt, H1 and H2 the smallest holes. The fault names
// the field bolt, hole or hole2.
func Floating(f, h1, h2 float64) (Room, *worksheet.InputError) {
	if h1 <= f {
		return Room{}, tooSmall("hole")
	}
	if h2 <= f {
		return Room{}, tooSmall("hole2")
	}
	r := Room{First: h1 - f, Second: h2 - f}
	r.Total = r.First + r.Second
	r.Shift = r.Total / 2
	r.Spacing = r.Total
	return r, nil
}

// Fixed returns the play if one part holds the bolt, by thread or press: T1 + T2 = H - F, shared
// equally (ASME Y14.5-2009, appendix B.4). Where the tapped hole's tolerance is not projected
// through the plate, a tilted thread counts twice: H = F + T1 + T2 (1 + 2P/D), P the plate and D
// the depth of thread (appendix B.5); thread 0 means it is projected.
func Fixed(f, h, plate, thread float64) (Room, *worksheet.InputError) {
	if h <= f {
		return Room{}, tooSmall("hole")
	}
	lean := worksheet.Either(thread > 0, float64(2*plate)/thread, 0.0)
	t := (h - f) / (2 + lean)
	return Room{First: t, Second: t, Total: (h - f) / (1 + float64(lean*.5)), Shift: float64((h - f) * .5), Spacing: h - f}, nil
}

func tooSmall(field string) *worksheet.InputError {
	return worksheet.Refuse(field, "the bolt does not pass the hole. Make the hole larger than the bolt.")
}

// HoleForFloating gives the smallest hole for a position tolerance: H = F + T.
func HoleForFloating(f, t float64) float64 { return f + t }

// HoleForFixed gives it where one part holds the bolt: H = F + 2T, or with a
// tolerance that is not projected F + T + T (1 + 2P/D).
func HoleForFixed(f, t, plate, thread float64) float64 {
	lean := worksheet.Either(thread > 0, float64(2*plate)/thread, 0.0)
	return f + float64(t*(2+lean))
}

// OpenBoth gives the hole, in both places of one part, that admits two bolts when the centre
// distances differ; OpenOne the hole if only one of the two is opened. Other is the play in the
// facing part's hole, H - F, 0 where that part holds the bolts.
func OpenBoth(f, differ, other float64) float64 { return f + max(0, differ-other) }

// OpenOne is described with OpenBoth; stays is the hole left as it is.
func OpenOne(f, differ, other, stays float64) float64 {
	return f + max(0, 2*(differ-other)-(stays-f))
}
