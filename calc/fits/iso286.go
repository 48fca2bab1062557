package fits

import "strconv"

// ISO 286-1:2010, sizes to 500 mm. The values are those of its tables 1 to 5 and not of its
// formulas, which the tables round irregularly.

// steps are the upper ends of the size steps of the standard tolerances, mm.
var steps = [...]float64{3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500}

// halves are the upper ends of the finer steps of the large deviations, mm.
var halves = [...]float64{3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450, 500}

// grades: IT1 to IT14 in tenths of a micrometre; IT15 to IT18 are ten times
// IT10 to IT13.
var grades = [14][13]int32{
	{8, 10, 10, 12, 15, 15, 20, 25, 35, 45, 60, 70, 80},
	{12, 15, 15, 20, 25, 25, 30, 40, 50, 70, 80, 90, 100},
	{20, 25, 25, 30, 40, 40, 50, 60, 80, 100, 120, 130, 150},
	{30, 40, 40, 50, 60, 70, 80, 100, 120, 140, 160, 180, 200},
	{40, 50, 60, 80, 90, 110, 130, 150, 180, 200, 230, 250, 270},
	{60, 80, 90, 110, 130, 160, 190, 220, 250, 290, 320, 360, 400},
	{100, 120, 150, 180, 210, 250, 300, 350, 400, 460, 520, 570, 630},
	{140, 180, 220, 270, 330, 390, 460, 540, 630, 720, 810, 890, 970},
	{250, 300, 360, 430, 520, 620, 740, 870, 1000, 1150, 1300, 1400, 1550},
	{400, 480, 580, 700, 840, 1000, 1200, 1400, 1600, 1850, 2100, 2300, 2500},
	{600, 750, 900, 1100, 1300, 1600, 1900, 2200, 2500, 2900, 3200, 3600, 4000},
	{1000, 1200, 1500, 1800, 2100, 2500, 3000, 3500, 4000, 4600, 5200, 5700, 6300},
	{1400, 1800, 2200, 2700, 3300, 3900, 4600, 5400, 6300, 7200, 8100, 8900, 9700},
	{2500, 3000, 3600, 4300, 5200, 6200, 7400, 8700, 10000, 11500, 13000, 14000, 15500},
}

// deviation is one letter: the shaft's fundamental deviation in micrometres by size step, without
// its sign. Letters a to g lie below the basic size (upper deviation es), k to zc above it (lower
// deviation ei). Rows of 13 follow steps, rows of 25 halves; a short row lacks the larger sizes,
// none marks a missing size.
type deviation struct {
	letter string
	um     []int16
}

const none = -1

var below = [...]deviation{
	{"a", []int16{270, 270, 280, 290, 290, 300, 300, 310, 320, 340, 360, 380, 410, 460, 520, 580, 660, 740, 820, 920, 1050, 1200, 1350, 1500, 1650}},
	{"b", []int16{140, 140, 150, 150, 150, 160, 160, 170, 180, 190, 200, 220, 240, 260, 280, 310, 340, 380, 420, 480, 540, 600, 680, 760, 840}},
	{"c", []int16{60, 70, 80, 95, 95, 110, 110, 120, 130, 140, 150, 170, 180, 200, 210, 230, 240, 260, 280, 300, 330, 360, 400, 440, 480}},
	{"cd", []int16{34, 46, 56}},
	{"d", []int16{20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190, 210, 230}},
	{"e", []int16{14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110, 125, 135}},
	{"ef", []int16{10, 14, 18}},
	{"f", []int16{6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56, 62, 68}},
	{"fg", []int16{4, 6, 8}},
	{"g", []int16{2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17, 18, 20}},
	{"h", []int16{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}},
}

var above = [...]deviation{
	{"k", []int16{0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5}},
	{"m", []int16{2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23}},
	{"n", []int16{4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40}},
	{"p", []int16{6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68}},
	{"r", []int16{10, 15, 19, 23, 23, 28, 28, 34, 34, 41, 43, 51, 54, 63, 65, 68, 77, 80, 84, 94, 98, 108, 114, 126, 132}},
	{"s", []int16{14, 19, 23, 28, 28, 35, 35, 43, 43, 53, 59, 71, 79, 92, 100, 108, 122, 130, 140, 158, 170, 190, 208, 232, 252}},
	{"t", []int16{none, none, none, none, none, none, 41, 48, 54, 66, 75, 91, 104, 122, 134, 146, 166, 180, 196, 218, 240, 268, 294, 330, 360}},
	{"u", []int16{18, 23, 28, 33, 33, 41, 48, 60, 70, 87, 102, 124, 144, 170, 190, 210, 236, 258, 284, 315, 350, 390, 435, 490, 540}},
	{"v", []int16{none, none, none, none, 39, 47, 55, 68, 81, 102, 120, 146, 172, 202, 228, 252, 284, 310, 340, 385, 425, 475, 530, 595, 660}},
	{"x", []int16{20, 28, 34, 40, 45, 54, 64, 80, 97, 122, 146, 178, 210, 248, 280, 310, 350, 385, 425, 475, 525, 590, 660, 740, 820}},
	{"y", []int16{none, none, none, none, none, 63, 75, 94, 114, 144, 174, 214, 254, 300, 340, 380, 425, 470, 520, 580, 650, 730, 820, 920, 1000}},
	{"z", []int16{26, 35, 42, 50, 60, 73, 88, 112, 136, 172, 210, 258, 310, 365, 415, 465, 520, 575, 640, 710, 790, 900, 1000, 1100, 1250}},
	{"za", []int16{32, 42, 52, 64, 77, 98, 118, 148, 180, 226, 274, 335, 400, 470, 535, 600, 670, 740, 820, 920, 1000, 1150, 1300, 1450, 1600}},
	{"zb", []int16{40, 50, 67, 90, 108, 136, 160, 200, 242, 300, 360, 445, 525, 620, 700, 780, 880, 960, 1050, 1200, 1300, 1500, 1650, 1850, 2100}},
	{"zc", []int16{60, 80, 97, 130, 150, 188, 218, 274, 325, 405, 480, 585, 690, 800, 900, 1000, 1150, 1250, 1350, 1550, 1700, 1900, 2100, 2400, 2600}},
}

// jShaft: lower deviation of j5 and j6, and of j7, below the basic size.
var jShaft = [2][13]int16{
	{2, 2, 2, 3, 4, 5, 7, 9, 11, 13, 16, 18, 20},
	{4, 4, 5, 6, 8, 10, 12, 15, 18, 21, 26, 28, 32},
}

// jHole: upper deviation of J6, J7 and J8, above the basic size.
var jHole = [3][13]int16{
	{2, 5, 5, 6, 8, 10, 13, 16, 18, 22, 25, 29, 33},
	{4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36, 39, 43},
	{6, 10, 12, 15, 20, 24, 28, 34, 41, 47, 55, 60, 66},
}

func step(ends []float64, mm float64) int {
	for i, e := range ends {
		if mm <= e {
			return i
		}
	}
	return -1
}

// itMicrons gives the standard tolerance IT1 to IT18 in micrometres for a size
// above 0 to 500 mm; 0 outside.
func itMicrons(grade int, mm float64) float64 {
	i := step(steps[:], mm)
	if i < 0 || !(mm > 0) || grade < 1 || grade > 18 {
		return 0
	}
	if grade > 14 {
		return float64(grades[grade-6][i])
	}
	return float64(grades[grade-1][i]) / 10
}

func find(rows []deviation, letter string, mm float64) (float64, bool) {
	for _, r := range rows {
		if r.letter != letter {
			continue
		}
		i := step(steps[:], mm)
		if len(r.um) == len(halves) {
			i = step(halves[:], mm)
		}
		if i < 0 || i >= len(r.um) || r.um[i] == none {
			return 0, false
		}
		return float64(r.um[i]), true
	}
	return 0, false
}

// ShaftZone gives the lower and upper deviation, in micrometres, of a shaft's
// class such as "g", 6 at a size of above 0 to 500 mm. ok is false where ISO
// 286 has no such class at that size.
func ShaftZone(letter string, grade int, mm float64) (lower, upper float64, ok bool) {
	it := itMicrons(grade, mm)
	if it == 0 {
		return 0, 0, false
	}
	if es, found := find(below[:], letter, mm); found {
		return -es - it, -es, true
	}
	switch letter {
	case "js":
		return -it / 2, it / 2, true
	case "j":
		if grade < 5 || grade > 8 || grade == 8 && mm > 3 {
			return 0, 0, false
		}
		ei := 6.0 // j8, to 3 mm only
		if grade < 8 {
			ei = float64(jShaft[max(0, grade-6)][step(steps[:], mm)])
		}
		return -ei, it - ei, true
	case "k":
		if grade < 4 || grade > 7 {
			return 0, it, true
		}
	}
	ei, found := find(above[:], letter, mm)
	return ei, ei + it, found
}

// HoleZone gives the lower and upper deviation, in micrometres, of a hole's
// class such as "H", 7. Holes A to H mirror the shafts. For K, M and N to grade
// 8 and for P to ZC to grade 7 the mirrored deviation is raised by the
// difference to the next finer grade (ISO 286-1, 4.3.2.5), so that H7/p6 and
// P7/h6 are the same fit.
func HoleZone(letter string, grade int, mm float64) (lower, upper float64, ok bool) {
	it := itMicrons(grade, mm)
	small := lowered(letter)
	if it == 0 || small == letter {
		return 0, 0, false
	}
	if ei, found := find(below[:], small, mm); found {
		return ei, ei + it, true
	}
	switch small {
	case "js":
		return -it / 2, it / 2, true
	case "j":
		if grade < 6 || grade > 8 {
			return 0, 0, false
		}
		es := float64(jHole[grade-6][step(steps[:], mm)])
		return es - it, es, true
	}
	ei, found := find(above[:], small, mm)
	if !found {
		return 0, 0, false
	}
	es := -ei
	last := 7
	if small == "k" || small == "m" || small == "n" {
		last = 8
	}
	switch {
	case small == "k" && grade > 8 && mm > 3:
		return 0, 0, false
	case small == "n" && grade > 8 && mm > 3:
		es = 0
	case small == "m" && grade == 6 && mm > 250 && mm <= 315:
		es = -9 // the standard's own exception; the rule gives -11
	case mm > 3 && grade <= last && grade >= 3:
		es += it - itMicrons(grade-1, mm)
	}
	return es - it, es, true
}

func lowered(s string) string {
	b := []byte(s)
	for i, c := range b {
		if 'A' <= c && c <= 'Z' {
			b[i] = c + 'a' - 'A'
		}
	}
	return string(b)
}

func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
