package thread

import (
	"slices"

	"datumbook/calc/units"
)

// isoSize is one diameter of ISO 261: its choice (1, 2 or 3), coarse pitch (0
// where it has none) and fine pitches, millimetres.
type isoSize struct {
	d      float64
	choice int
	coarse float64
	fine   []float64
}

// isoSizes is ISO 261, table of preferred diameters and pitches.
var isoSizes = [...]isoSize{
	{1, 1, 0.25, []float64{0.2}},
	{1.1, 2, 0.25, []float64{0.2}},
	{1.2, 1, 0.25, []float64{0.2}},
	{1.4, 2, 0.3, []float64{0.2}},
	{1.6, 1, 0.35, []float64{0.2}},
	{1.8, 2, 0.35, []float64{0.2}},
	{2, 1, 0.4, []float64{0.25}},
	{2.2, 2, 0.45, []float64{0.25}},
	{2.5, 1, 0.45, []float64{0.35}},
	{3, 1, 0.5, []float64{0.35}},
	{3.5, 2, 0.6, []float64{0.35}},
	{4, 1, 0.7, []float64{0.5}},
	{4.5, 2, 0.75, []float64{0.5}},
	{5, 1, 0.8, []float64{0.5}},
	{5.5, 3, 0, []float64{0.5}},
	{6, 1, 1, []float64{0.75}},
	{7, 2, 1, []float64{0.75}},
	{8, 1, 1.25, []float64{1, 0.75}},
	{9, 3, 1.25, []float64{1, 0.75}},
	{10, 1, 1.5, []float64{1.25, 1, 0.75}},
	{11, 3, 1.5, []float64{1, 0.75}},
	{12, 1, 1.75, []float64{1.5, 1.25, 1}},
	{14, 2, 2, []float64{1.5, 1.25, 1}},
	{15, 3, 0, []float64{1.5, 1}},
	{16, 1, 2, []float64{1.5, 1}},
	{17, 3, 0, []float64{1.5, 1}},
	{18, 2, 2.5, []float64{2, 1.5, 1}},
	{20, 1, 2.5, []float64{2, 1.5, 1}},
	{22, 2, 2.5, []float64{2, 1.5, 1}},
	{24, 1, 3, []float64{2, 1.5, 1}},
	{25, 3, 0, []float64{2, 1.5, 1}},
	{26, 3, 0, []float64{1.5}},
	{27, 2, 3, []float64{2, 1.5, 1}},
	{28, 3, 0, []float64{2, 1.5, 1}},
	{30, 1, 3.5, []float64{3, 2, 1.5, 1}},
	{32, 3, 0, []float64{2, 1.5}},
	{33, 2, 3.5, []float64{3, 2, 1.5}},
	{35, 3, 0, []float64{1.5}},
	{36, 1, 4, []float64{3, 2, 1.5}},
	{38, 3, 0, []float64{1.5}},
	{39, 2, 4, []float64{3, 2, 1.5}},
	{40, 3, 0, []float64{3, 2, 1.5}},
	{42, 1, 4.5, []float64{4, 3, 2, 1.5}},
	{45, 2, 4.5, []float64{4, 3, 2, 1.5}},
	{48, 1, 5, []float64{4, 3, 2, 1.5}},
	{50, 3, 0, []float64{3, 2, 1.5}},
	{52, 2, 5, []float64{4, 3, 2, 1.5}},
	{55, 3, 0, []float64{4, 3, 2, 1.5}},
	{56, 1, 5.5, []float64{4, 3, 2, 1.5}},
	{58, 3, 0, []float64{4, 3, 2, 1.5}},
	{60, 2, 5.5, []float64{4, 3, 2, 1.5}},
	{62, 3, 0, []float64{4, 3, 2, 1.5}},
	{64, 1, 6, []float64{4, 3, 2, 1.5}},
	{65, 3, 0, []float64{4, 3, 2, 1.5}},
	{68, 2, 6, []float64{4, 3, 2, 1.5}},
	{70, 3, 0, []float64{6, 4, 3, 2, 1.5}},
	{72, 1, 0, []float64{6, 4, 3, 2, 1.5}},
	{75, 3, 0, []float64{4, 3, 2, 1.5}},
	{76, 2, 0, []float64{6, 4, 3, 2, 1.5}},
	{78, 3, 0, []float64{2}},
	{80, 1, 0, []float64{6, 4, 3, 2, 1.5}},
	{82, 3, 0, []float64{2}},
	{85, 2, 0, []float64{6, 4, 3, 2}},
	{90, 1, 0, []float64{6, 4, 3, 2}},
	{95, 2, 0, []float64{6, 4, 3, 2}},
	{100, 1, 0, []float64{6, 4, 3, 2}},
	{105, 2, 0, []float64{6, 4, 3, 2}},
	{110, 1, 0, []float64{6, 4, 3, 2}},
	{115, 2, 0, []float64{6, 4, 3, 2}},
	{120, 2, 0, []float64{6, 4, 3, 2}},
	{125, 1, 0, []float64{8, 6, 4, 3, 2}},
	{130, 2, 0, []float64{8, 6, 4, 3, 2}},
	{135, 3, 0, []float64{6, 4, 3, 2}},
	{140, 1, 0, []float64{8, 6, 4, 3, 2}},
	{145, 3, 0, []float64{6, 4, 3, 2}},
	{150, 2, 0, []float64{8, 6, 4, 3, 2}},
	{155, 3, 0, []float64{6, 4, 3}},
	{160, 1, 0, []float64{8, 6, 4, 3}},
	{165, 3, 0, []float64{6, 4, 3}},
	{170, 2, 0, []float64{8, 6, 4, 3}},
	{175, 3, 0, []float64{6, 4, 3}},
	{180, 1, 0, []float64{8, 6, 4, 3}},
	{185, 3, 0, []float64{6, 4, 3}},
	{190, 2, 0, []float64{8, 6, 4, 3}},
	{195, 3, 0, []float64{6, 4, 3}},
	{200, 1, 0, []float64{8, 6, 4, 3}},
	{205, 3, 0, []float64{6, 4, 3}},
	{210, 2, 0, []float64{8, 6, 4, 3}},
	{215, 3, 0, []float64{6, 4, 3}},
	{220, 1, 0, []float64{8, 6, 4, 3}},
	{225, 3, 0, []float64{6, 4, 3}},
	{230, 3, 0, []float64{8, 6, 4, 3}},
	{235, 3, 0, []float64{6, 4, 3}},
	{240, 2, 0, []float64{8, 6, 4, 3}},
	{245, 3, 0, []float64{6, 4, 3}},
	{250, 1, 0, []float64{8, 6, 4, 3}},
	{255, 3, 0, []float64{6, 4}},
	{260, 2, 0, []float64{8, 6, 4}},
	{265, 3, 0, []float64{6, 4}},
	{270, 3, 0, []float64{8, 6, 4}},
	{275, 3, 0, []float64{6, 4}},
	{280, 1, 0, []float64{8, 6, 4}},
	{285, 3, 0, []float64{6, 4}},
	{290, 3, 0, []float64{8, 6, 4}},
	{295, 3, 0, []float64{6, 4}},
	{300, 2, 0, []float64{8, 6, 4}},
}

// lists reports whether ISO 261 gives the pitch for this diameter.
func (r isoSize) lists(p float64) bool {
	return slices.Contains(r.pitches(), p)
}

// pitches returns the listed pitches, coarse first.
func (r isoSize) pitches() []float64 {
	var list []float64
	if r.coarse > 0 {
		list = append(list, r.coarse)
	}
	return append(list, r.fine...)
}

func isoSizeFor(d float64) (isoSize, bool) {
	return units.First(isoSizes[:], func(r isoSize) bool { return r.d == d })
}

// AllISO returns every diameter and pitch of ISO 261 up to M300, first, second
// and third choice, by diameter and then coarse to fine.
func AllISO() []Thread {
	var list []Thread
	for _, r := range isoSizes {
		for _, p := range r.pitches() {
			list = append(list, Thread{
				System: ISO, D: r.d, Pitch: p, Series: "M",
				Standard: true, Coarse: p == r.coarse,
			})
		}
	}
	return list
}
