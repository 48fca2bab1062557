package thread

import "datumbook/calc/units"

// The standard series and selected combinations of ASME B1.1 (table of standard
// series and selected combinations). Diameters are in 64ths of an inch, or the
// screw number for the small sizes. UNC, all of the 8-thread series and the
// 6-thread series to 2-3/4 were checked against print (testdata/basic.csv); the
// rest of the constant pitch combinations are from memory of that table.

// unifiedRow is one diameter and its threads per inch in each series.
type unifiedRow struct {
	number int     // screw number, -1 for a fractional size
	d64    int     // diameter in 64ths of an inch, 0 for a number size
	unc    float64 // 0 where the series has no such size
	unf    float64
	unef   float64
	un     []float64 // constant pitch series that the three above do not name
}

func (r unifiedRow) diameter() float64 {
	if r.number >= 0 {
		return numberDiameter(r.number)
	}
	return float64(r.d64) / 64
}

// numberDiameter returns the basic major diameter of a numbered screw size,
// 0.060 + 0.013 N inches (B1.1).
func numberDiameter(n int) float64 { return float64(60+13*n) / 1000 }

var unifiedSeries = [...]unifiedRow{
	{0, 0, 0, 80, 0, nil},
	{1, 0, 64, 72, 0, nil},
	{2, 0, 56, 64, 0, nil},
	{3, 0, 48, 56, 0, nil},
	{4, 0, 40, 48, 0, nil},
	{5, 0, 40, 44, 0, nil},
	{6, 0, 32, 40, 0, nil},
	{8, 0, 32, 36, 0, nil},
	{10, 0, 24, 32, 0, nil},
	{12, 0, 24, 28, 32, nil},
	{-1, 16, 20, 28, 32, nil},
	{-1, 20, 18, 24, 32, []float64{20, 28}},
	{-1, 24, 16, 24, 32, []float64{20, 28}},
	{-1, 28, 14, 20, 28, []float64{16, 32}},
	{-1, 32, 13, 20, 28, []float64{16, 32}},
	{-1, 36, 12, 18, 24, []float64{16, 20, 28, 32}},
	{-1, 40, 11, 18, 24, []float64{12, 16, 20, 28, 32}},
	{-1, 44, 0, 0, 24, []float64{12, 16, 20, 28, 32}},
	{-1, 48, 10, 16, 20, []float64{12, 28, 32}},
	{-1, 52, 0, 0, 20, []float64{12, 16, 28, 32}},
	{-1, 56, 9, 14, 20, []float64{12, 16, 28, 32}},
	{-1, 60, 0, 0, 20, []float64{12, 16, 28, 32}},
	{-1, 64, 8, 12, 20, []float64{16, 28, 32}},
	{-1, 68, 0, 0, 18, []float64{8, 12, 16, 20, 28}},
	{-1, 72, 7, 12, 18, []float64{8, 16, 20, 28}},
	{-1, 76, 0, 0, 18, []float64{8, 12, 16, 20, 28}},
	{-1, 80, 7, 12, 18, []float64{8, 16, 20, 28}},
	{-1, 84, 0, 0, 18, []float64{8, 12, 16, 20, 28}},
	{-1, 88, 6, 12, 18, []float64{8, 16, 20, 28}},
	{-1, 92, 0, 0, 18, []float64{6, 8, 12, 16, 20, 28}},
	{-1, 96, 6, 12, 18, []float64{8, 16, 20, 28}},
	{-1, 100, 0, 0, 18, []float64{6, 8, 12, 16, 20}},
	{-1, 104, 0, 0, 18, []float64{6, 8, 12, 16, 20}},
	{-1, 108, 0, 0, 18, []float64{6, 8, 12, 16, 20}},
	{-1, 112, 5, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 116, 0, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 120, 0, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 124, 0, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 128, 4.5, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 136, 0, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 144, 4.5, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 152, 0, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 160, 4, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 168, 0, 0, 0, []float64{4, 6, 8, 12, 16, 20}},
	{-1, 176, 4, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 184, 0, 0, 0, []float64{4, 6, 8, 12, 16, 20}},
	{-1, 192, 4, 0, 0, []float64{6, 8, 12, 16, 20}},
	{-1, 200, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 208, 4, 0, 0, []float64{6, 8, 12, 16}},
	{-1, 216, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 224, 4, 0, 0, []float64{6, 8, 12, 16}},
	{-1, 232, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 240, 4, 0, 0, []float64{6, 8, 12, 16}},
	{-1, 248, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 256, 4, 0, 0, []float64{6, 8, 12, 16}},
	{-1, 264, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 272, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 280, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 288, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 296, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 304, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 312, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 320, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 328, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 336, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 344, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 352, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 360, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 368, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 376, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
	{-1, 384, 0, 0, 0, []float64{4, 6, 8, 12, 16}},
}

// seriesOf returns the series that lists n threads per inch at this diameter,
// or "".
func (r unifiedRow) seriesOf(n float64) string {
	switch {
	case n == r.unc:
		return "UNC"
	case n == r.unf:
		return "UNF"
	case n == r.unef:
		return "UNEF"
	}
	for _, u := range r.un {
		if u == n {
			return "UN"
		}
	}
	return ""
}

// pitches returns the threads per inch the standard lists at this diameter,
// coarse first.
func (r unifiedRow) pitches() []float64 {
	var list []float64
	for _, n := range []float64{r.unc, r.unf, r.unef} {
		if n > 0 {
			list = append(list, n)
		}
	}
	return append(list, r.un...)
}

// rowFor returns the series row of a diameter in inches.
func rowFor(d float64) (unifiedRow, bool) {
	return units.First(unifiedSeries[:], func(r unifiedRow) bool { return r.diameter() == d })
}

// NewUnified returns the Unified thread of basic major diameter d inches and n threads per inch,
// Standard when the standard lists the pair and series UNS when it does not. The diameter must be
// from 0.06 to 6 in and n from 3 to 100, with from 2 to 150 pitches in the diameter (the standard's
// own go from 4 to 96; beyond 150 the tolerances exceed the thread); otherwise it returns an
// *Error.
func NewUnified(d, n float64) (Thread, error) {
	if !(d >= 0.06 && d <= 6) {
		return Thread{}, &Error{Says: "a Unified thread here is from number 0 (.060 in) to 6 in; that diameter is outside", Try: "3/8-16"}
	}
	if !(n >= 3 && n <= 100) {
		return Thread{}, &Error{Says: "threads per inch must be from 3 to 100", Try: "3/8-16"}
	}
	t := Thread{System: Unified, D: d, TPI: n, Pitch: 1 / n, Series: "UNS"}
	if r, ok := rowFor(d); ok {
		if s := r.seriesOf(n); s != "" {
			t.Series, t.Standard, t.Coarse = s, true, s == "UNC"
		}
	}
	if t.Pitch > d/2 {
		return Thread{}, &Error{Says: decimal(n) + " threads per inch is too coarse for " + sizeName(d) + ": the pitch would be more than half the diameter", Try: tryFor(d)}
	}
	if d*n > 150 {
		return Thread{}, &Error{Says: decimal(n) + " threads per inch is too fine for " + sizeName(d) + ": the standard's tolerances would leave no thread", Try: tryFor(d)}
	}
	return t, nil
}

// AllUnified returns every thread of the standard series and selected
// combinations, by diameter and then UNC, UNF, UNEF and constant pitch.
func AllUnified() []Thread {
	var list []Thread
	for _, r := range unifiedSeries {
		for _, n := range r.pitches() {
			s := r.seriesOf(n)
			list = append(list, Thread{
				System: Unified, D: r.diameter(), TPI: n, Pitch: 1 / n,
				Series: s, Standard: true, Coarse: s == "UNC",
			})
		}
	}
	return list
}
