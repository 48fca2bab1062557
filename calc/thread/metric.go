package thread

import (
	"math"
	"strings"

	"datumbook/calc/units"
)

// isoTol is one pitch's row of the tables of ISO 965-1, in micrometres; 0 where
// the table has no entry.
type isoTol struct {
	p        float64
	g, f, e  float64    // fundamental deviations: G and g, f, e
	td1      [5]float64 // minor diameter of nuts, grades 4 to 8
	td4, td6 float64    // major diameter of screws, grades 4 and 6
	td8      float64
}

// isoPitches: ISO 965-1, fundamental deviations (table 1), TD1 (table 2), Td
// (table 3).
var isoPitches = [...]isoTol{
	{0.2, 17, 0, 0, [5]float64{38, 48, 0, 0, 0}, 36, 56, 0},
	{0.25, 18, 0, 0, [5]float64{45, 56, 71, 0, 0}, 42, 67, 0},
	{0.3, 18, 0, 0, [5]float64{53, 67, 85, 0, 0}, 48, 75, 0},
	{0.35, 19, 34, 0, [5]float64{63, 80, 100, 0, 0}, 53, 85, 0},
	{0.4, 19, 34, 0, [5]float64{71, 90, 112, 0, 0}, 60, 95, 0},
	{0.45, 20, 35, 0, [5]float64{80, 100, 125, 0, 0}, 63, 100, 0},
	{0.5, 20, 36, 50, [5]float64{90, 112, 140, 180, 0}, 67, 106, 0},
	{0.6, 21, 36, 53, [5]float64{100, 125, 160, 200, 0}, 80, 125, 0},
	{0.7, 22, 38, 56, [5]float64{112, 140, 180, 224, 0}, 90, 140, 0},
	{0.75, 22, 38, 56, [5]float64{118, 150, 190, 236, 0}, 90, 140, 0},
	{0.8, 24, 38, 60, [5]float64{125, 160, 200, 250, 315}, 95, 150, 236},
	{1, 26, 40, 60, [5]float64{150, 190, 236, 300, 375}, 112, 180, 280},
	{1.25, 28, 42, 63, [5]float64{170, 212, 265, 335, 425}, 132, 212, 335},
	{1.5, 32, 45, 67, [5]float64{190, 236, 300, 375, 475}, 150, 236, 375},
	{1.75, 34, 48, 71, [5]float64{212, 265, 335, 425, 530}, 170, 265, 425},
	{2, 38, 52, 71, [5]float64{236, 300, 375, 475, 600}, 180, 280, 450},
	{2.5, 42, 58, 80, [5]float64{280, 355, 450, 560, 710}, 212, 335, 530},
	{3, 48, 63, 85, [5]float64{315, 400, 500, 630, 800}, 236, 375, 600},
	{3.5, 53, 70, 90, [5]float64{355, 450, 560, 710, 900}, 265, 425, 670},
	{4, 60, 75, 95, [5]float64{375, 475, 600, 750, 950}, 300, 475, 750},
	{4.5, 63, 80, 100, [5]float64{425, 530, 670, 850, 1060}, 315, 500, 800},
	{5, 71, 85, 106, [5]float64{450, 560, 710, 900, 1120}, 335, 530, 850},
	{5.5, 75, 90, 112, [5]float64{475, 600, 750, 950, 1180}, 355, 560, 900},
	{6, 80, 95, 118, [5]float64{500, 630, 800, 1000, 1250}, 375, 600, 950},
	{8, 100, 118, 140, [5]float64{630, 800, 1000, 1250, 1600}, 450, 710, 1180},
}

// isoPitchTol is one size range and pitch of the pitch diameter tables of ISO
// 965-1, in micrometres; 0 where the table has no entry.
type isoPitchTol struct {
	over, upTo, p float64
	nut           [5]float64 // TD2, grades 4 to 8
	screw         [7]float64 // Td2, grades 3 to 9
}

// isoPitchDiameter: ISO 965-1, TD2 (table 4) and Td2 (table 5).
var isoPitchDiameter = [...]isoPitchTol{
	{0.99, 1.4, 0.2, [5]float64{40, 0, 0, 0, 0}, [7]float64{24, 30, 38, 48, 0, 0, 0}},
	{0.99, 1.4, 0.25, [5]float64{45, 56, 0, 0, 0}, [7]float64{26, 34, 42, 53, 0, 0, 0}},
	{0.99, 1.4, 0.3, [5]float64{48, 60, 75, 0, 0}, [7]float64{28, 36, 45, 56, 0, 0, 0}},
	{1.4, 2.8, 0.2, [5]float64{42, 0, 0, 0, 0}, [7]float64{25, 32, 40, 50, 0, 0, 0}},
	{1.4, 2.8, 0.25, [5]float64{48, 60, 0, 0, 0}, [7]float64{28, 36, 45, 56, 0, 0, 0}},
	{1.4, 2.8, 0.35, [5]float64{53, 67, 85, 0, 0}, [7]float64{32, 40, 50, 63, 80, 0, 0}},
	{1.4, 2.8, 0.4, [5]float64{56, 71, 90, 0, 0}, [7]float64{34, 42, 53, 67, 85, 0, 0}},
	{1.4, 2.8, 0.45, [5]float64{60, 75, 95, 0, 0}, [7]float64{36, 45, 56, 71, 90, 0, 0}},
	{2.8, 5.6, 0.35, [5]float64{56, 71, 90, 0, 0}, [7]float64{34, 42, 53, 67, 85, 0, 0}},
	{2.8, 5.6, 0.5, [5]float64{63, 80, 100, 125, 0}, [7]float64{38, 48, 60, 75, 95, 0, 0}},
	{2.8, 5.6, 0.6, [5]float64{71, 90, 112, 140, 0}, [7]float64{42, 53, 67, 85, 106, 0, 0}},
	{2.8, 5.6, 0.7, [5]float64{75, 95, 118, 150, 0}, [7]float64{45, 56, 71, 90, 112, 0, 0}},
	{2.8, 5.6, 0.75, [5]float64{75, 95, 118, 150, 0}, [7]float64{45, 56, 71, 90, 112, 0, 0}},
	{2.8, 5.6, 0.8, [5]float64{80, 100, 125, 160, 200}, [7]float64{48, 60, 75, 95, 118, 150, 190}},
	{5.6, 11.2, 0.75, [5]float64{85, 106, 132, 170, 0}, [7]float64{50, 63, 80, 100, 125, 0, 0}},
	{5.6, 11.2, 1, [5]float64{95, 118, 150, 190, 236}, [7]float64{56, 71, 90, 112, 140, 180, 224}},
	{5.6, 11.2, 1.25, [5]float64{100, 125, 160, 200, 250}, [7]float64{60, 75, 95, 118, 150, 190, 236}},
	{5.6, 11.2, 1.5, [5]float64{112, 140, 180, 224, 280}, [7]float64{67, 85, 106, 132, 170, 212, 265}},
	{11.2, 22.4, 1, [5]float64{100, 125, 160, 200, 250}, [7]float64{60, 75, 95, 118, 150, 190, 236}},
	{11.2, 22.4, 1.25, [5]float64{112, 140, 180, 224, 280}, [7]float64{67, 85, 106, 132, 170, 212, 265}},
	{11.2, 22.4, 1.5, [5]float64{118, 150, 190, 236, 300}, [7]float64{71, 90, 112, 140, 180, 224, 280}},
	{11.2, 22.4, 1.75, [5]float64{125, 160, 200, 250, 315}, [7]float64{75, 95, 118, 150, 190, 236, 300}},
	{11.2, 22.4, 2, [5]float64{132, 170, 212, 265, 335}, [7]float64{80, 100, 125, 160, 200, 250, 315}},
	{11.2, 22.4, 2.5, [5]float64{140, 180, 224, 280, 355}, [7]float64{85, 106, 132, 170, 212, 265, 335}},
	{22.4, 45, 1, [5]float64{106, 132, 170, 212, 0}, [7]float64{63, 80, 100, 125, 160, 200, 250}},
	{22.4, 45, 1.5, [5]float64{125, 160, 200, 250, 315}, [7]float64{75, 95, 118, 150, 190, 236, 300}},
	{22.4, 45, 2, [5]float64{140, 180, 224, 280, 355}, [7]float64{85, 106, 132, 170, 212, 265, 335}},
	{22.4, 45, 3, [5]float64{170, 212, 265, 335, 425}, [7]float64{100, 125, 160, 200, 250, 315, 400}},
	{22.4, 45, 3.5, [5]float64{180, 224, 280, 355, 450}, [7]float64{106, 132, 170, 212, 265, 335, 425}},
	{22.4, 45, 4, [5]float64{190, 236, 300, 375, 475}, [7]float64{112, 140, 180, 224, 280, 355, 450}},
	{22.4, 45, 4.5, [5]float64{200, 250, 315, 400, 500}, [7]float64{118, 150, 190, 236, 300, 375, 475}},
	{45, 90, 1.5, [5]float64{132, 170, 212, 265, 335}, [7]float64{80, 100, 125, 160, 200, 250, 315}},
	{45, 90, 2, [5]float64{150, 190, 236, 300, 375}, [7]float64{90, 112, 140, 180, 224, 280, 355}},
	{45, 90, 3, [5]float64{180, 224, 280, 355, 450}, [7]float64{106, 132, 170, 212, 265, 335, 425}},
	{45, 90, 4, [5]float64{200, 250, 315, 400, 500}, [7]float64{118, 150, 190, 236, 300, 375, 475}},
	{45, 90, 5, [5]float64{212, 265, 335, 425, 530}, [7]float64{125, 160, 200, 250, 315, 400, 500}},
	{45, 90, 5.5, [5]float64{224, 280, 355, 450, 560}, [7]float64{132, 170, 212, 265, 335, 425, 530}},
	{45, 90, 6, [5]float64{236, 300, 375, 475, 600}, [7]float64{140, 180, 224, 280, 355, 450, 560}},
	{90, 180, 2, [5]float64{160, 200, 250, 315, 400}, [7]float64{95, 118, 150, 190, 236, 300, 375}},
	{90, 180, 3, [5]float64{190, 236, 300, 375, 475}, [7]float64{112, 140, 180, 224, 280, 355, 450}},
	{90, 180, 4, [5]float64{212, 265, 335, 425, 530}, [7]float64{125, 160, 200, 250, 315, 400, 500}},
	{90, 180, 6, [5]float64{250, 315, 400, 500, 630}, [7]float64{150, 190, 236, 300, 375, 475, 600}},
	{90, 180, 8, [5]float64{280, 355, 450, 560, 710}, [7]float64{170, 212, 265, 335, 425, 530, 670}},
	{180, 355, 3, [5]float64{212, 265, 335, 425, 530}, [7]float64{125, 160, 200, 250, 315, 400, 500}},
	{180, 355, 4, [5]float64{236, 300, 375, 475, 600}, [7]float64{140, 180, 224, 280, 355, 450, 560}},
	{180, 355, 6, [5]float64{265, 335, 425, 530, 670}, [7]float64{160, 200, 250, 315, 400, 500, 630}},
	{180, 355, 8, [5]float64{300, 375, 475, 600, 750}, [7]float64{180, 224, 280, 355, 450, 560, 710}},
}

func isoPitch(p float64) (isoTol, bool) {
	return units.First(isoPitches[:], func(r isoTol) bool { return r.p == p })
}

func isoPitchDia(d, p float64) (isoPitchTol, bool) {
	return units.First(isoPitchDiameter[:], func(r isoPitchTol) bool { return r.over < d && d <= r.upTo && r.p == p })
}

// isoClass is a metric class taken apart: "4H5H" is grade 4 on the pitch
// diameter, grade 5 on the minor, position H.
type isoClass struct {
	pitchGrade, crestGrade int
	position               byte
}

func splitISOClass(class string) (isoClass, bool) {
	ok := (len(class) == 2 || len(class) == 4) && isDigit(class[0]) && isLetter(class[1])
	if !ok {
		return isoClass{}, false
	}
	c := isoClass{int(class[0] - '0'), int(class[0] - '0'), class[1]}
	if len(class) == 4 {
		if !isDigit(class[2]) || class[3] != class[1] {
			return isoClass{}, false
		}
		c.crestGrade = int(class[2] - '0')
	}
	return c, strings.IndexByte("GHefgh", c.position) >= 0
}

// isoLimits: internal D1min = D1 + EI, D2min = D2 + EI; external dmax = d - es,
// d2max = d2 - es; the tolerances from the tables (ISO 965-1). Basic diameters
// are those of ISO 724, to three decimals.
func isoLimits(t Thread, class string) (Limits, error) {
	c, ok := splitISOClass(class)
	if !ok {
		return Limits{}, &Error{
			Says: "a metric thread has no class " + quote(class) + "; it is a grade and G or H for a hole, such as 6H, and a grade and e, f, g or h for a screw, such as 6g",
			Try:  isoName(t),
		}
	}
	none := &Error{
		Says: "ISO 965-1 gives no tolerance of class " + class + " for " + isoName(t) + "; the ordinary classes are 6H and 6g, and 5H and 6h up to M1.4",
		Try:  isoName(t),
	}
	row, ok1 := isoPitch(t.Pitch)
	pd, ok2 := isoPitchDia(t.D, t.Pitch)
	if !ok1 || !ok2 {
		return Limits{}, none
	}
	b := t.Basic()
	d2, d1 := round(b.Pitch, 3), round(b.Minor, 3)
	switch c.position {
	case 'G', 'H':
		return isoInternal(t, class, c, row, pd, d2, d1, none)
	}
	return isoExternal(t, class, c, row, pd, d2, d1, none)
}

func isoInternal(t Thread, class string, c isoClass, row isoTol, pd isoPitchTol, d2, d1 float64, none *Error) (Limits, error) {
	tol2, tol1, ei := grade(pd.nut[:], 4, c.pitchGrade), grade(row.td1[:], 4, c.crestGrade), 0.0
	if c.position == 'G' {
		ei = row.g
	}
	if tol2 == 0 || tol1 == 0 {
		return Limits{}, none
	}
	ei, tol2, tol1 = ei/1000, tol2/1000, tol1/1000
	return Limits{
		Class:     class,
		Major:     atLeast(round(t.D+ei, 3)),
		Pitch:     both(round(d2+ei, 3), round(d2+ei+tol2, 3)),
		Minor:     both(round(d1+ei, 3), round(d1+ei+tol1, 3)),
		Allowance: ei, TolPitch: tol2, TolMinor: tol1,
	}, nil
}

func isoExternal(t Thread, class string, c isoClass, row isoTol, pd isoPitchTol, d2, d1 float64, none *Error) (Limits, error) {
	tol2 := grade(pd.screw[:], 3, c.pitchGrade)
	tol, es := 0.0, 0.0
	switch c.crestGrade {
	case 4:
		tol = row.td4
	case 6:
		tol = row.td6
	case 8:
		tol = row.td8
	}
	switch c.position {
	case 'g':
		es = row.g
	case 'f':
		es = row.f
	case 'e':
		es = row.e
	}
	if tol2 == 0 || tol == 0 || c.position != 'h' && es == 0 {
		return Limits{}, none
	}
	es, tol2, tol = es/1000, tol2/1000, tol/1000
	return Limits{
		Class: class, External: true,
		Major:     both(round(t.D-es-tol, 3), round(t.D-es, 3)),
		Pitch:     both(round(d2-es-tol2, 3), round(d2-es, 3)),
		Minor:     atMost(round(d1-es, 3)),
		Allowance: es, TolMajor: tol, TolPitch: tol2,
	}, nil
}

// grade returns the tolerance of grade g from a row whose first entry is grade
// first, or 0.
func grade(row []float64, first, g int) float64 {
	if g < first || g-first >= len(row) {
		return 0
	}
	return row[g-first]
}

// parseISO reads a tidied metric designation: M, size, optionally a pitch after
// x or a hyphen, optionally classes after a hyphen.
func parseISO(s string) (Thread, error) {
	bad := &Error{Says: quote(s) + " is not a metric thread this can read; write M, the size, x and the pitch", Try: "M12x1.75"}
	body := strings.ReplaceAll(s[1:], ",", ".")
	body = strings.TrimPrefix(body, " ")
	parts := strings.FieldsFunc(body, func(r rune) bool { return r == 'x' || r == '-' || r == ' ' || r == '/' })
	if len(parts) == 0 || len(parts) > 4 {
		return Thread{}, bad
	}
	d, ok := number(parts[0])
	if !ok {
		return Thread{}, bad
	}
	parts = parts[1:]
	pitch := 0.0
	if len(parts) > 0 {
		if p, ok := number(parts[0]); ok {
			if p <= 0 {
				return Thread{}, bad
			}
			pitch, parts = p, parts[1:]
		}
	}
	t, err := NewISO(d, pitch)
	if err != nil {
		return Thread{}, err
	}
	for _, c := range parts {
		if err := t.setClass(c); err != nil {
			return Thread{}, err
		}
	}
	return t, nil
}

func isoName(t Thread) string { return "M" + decimal(t.D) + "x" + decimal(t.Pitch) }

// NewISO returns the metric thread of basic major diameter d and pitch p, in
// millimetres; a pitch of 0 means the coarse pitch. It is Standard when ISO 261
// lists the pair. A pair for which ISO 965-1 has no tolerances is an *Error that
// names the pitches of that diameter.
func NewISO(d, p float64) (Thread, error) {
	r, listed := isoSizeFor(d)
	if p == 0 {
		if !listed || r.coarse == 0 {
			return Thread{}, &Error{Says: "M" + decimal(d) + " has no coarse pitch in ISO 261, so the pitch must be given" + isoPairs(r, listed), Try: isoTry(d)}
		}
		p = r.coarse
	}
	t := Thread{System: ISO, D: d, Pitch: p, Series: "M"}
	if listed {
		t.Coarse = p == r.coarse
		t.Standard = r.lists(p)
	}
	if _, ok := isoPitchDia(d, p); !ok || math.IsNaN(d) {
		return Thread{}, &Error{Says: isoName(t) + " is in no series and ISO 965-1 has no tolerances for it" + isoPairs(r, listed), Try: isoTry(d)}
	}
	return t, nil
}

// isoPairs names the pitches listed for a diameter.
func isoPairs(r isoSize, listed bool) string {
	if !listed {
		return ""
	}
	s := "; M" + decimal(r.d) + " is listed with pitch "
	list := r.pitches()
	for i, p := range list {
		switch {
		case i > 0 && i == len(list)-1:
			s += " or "
		case i > 0:
			s += ", "
		}
		s += decimal(p)
	}
	return s
}

// isoTry returns a designation of the listed size nearest to d.
func isoTry(d float64) string {
	best := isoSizes[0]
	for _, r := range isoSizes {
		if math.Abs(r.d-d) < math.Abs(best.d-d) {
			best = r
		}
	}
	return "M" + decimal(best.d) + "x" + decimal(best.pitches()[0])
}
