// Package fits answers what size goes with it: clearance holes, counterbores and spotfaces for
// screws, the play of bolts in their holes, limits of size of a fit, and holes for dowel pins.
package fits

import (
	"strconv"

	"datumbook/calc/shoptext"
	"datumbook/calc/thread"
	"datumbook/calc/units"
)

const mmPerInch = 25.4 // exact

// Screw is a screw size of the clearance hole tables.
type Screw struct {
	Name   string  // "#10", "5/8", "M12"
	D      float64 // basic major diameter, in
	Metric bool
	row    int
}

// inchRow is one size of ASME B18.2.8 table 1a: drills and limits in
// thousandths of an inch, close, normal, loose; then the socket head of ASME
// B18.3 (diameter in thousandths, counterbore in 64ths, 0 where the standard
// has none) and the hexagon head of ASME B18.2.1 (across flats, across corners,
// height, each the most, in thousandths; 0 where there is none).
type inchRow struct {
	name                 string
	d                    int // ten thousandths
	drill                [3]string
	lim                  [3][2]int
	head, bore           int
	flats, corners, high int
}

var inchRows = [...]inchRow{
	{"#0", 600, [3]string{"#51", "#48", "3/32"}, [3][2]int{{67, 71}, {76, 82}, {94, 104}}, 96, 8, 0, 0, 0},
	{"#1", 730, [3]string{"#46", "#43", "#37"}, [3][2]int{{81, 85}, {89, 95}, {104, 114}}, 118, 10, 0, 0, 0},
	{"#2", 860, [3]string{"3/32", "#38", "#32"}, [3][2]int{{94, 98}, {102, 108}, {116, 126}}, 140, 12, 0, 0, 0},
	{"#3", 990, [3]string{"#36", "#32", "#30"}, [3][2]int{{106, 110}, {116, 122}, {128, 140}}, 161, 14, 0, 0, 0},
	{"#4", 1120, [3]string{"#31", "#30", "#27"}, [3][2]int{{120, 124}, {128, 135}, {144, 156}}, 183, 14, 0, 0, 0},
	{"#5", 1250, [3]string{"9/64", "5/32", "11/64"}, [3][2]int{{141, 146}, {156, 163}, {172, 184}}, 205, 16, 0, 0, 0},
	{"#6", 1380, [3]string{"#23", "#18", "#13"}, [3][2]int{{154, 159}, {170, 177}, {185, 197}}, 226, 18, 0, 0, 0},
	{"#8", 1640, [3]string{"#15", "#9", "#3"}, [3][2]int{{180, 185}, {196, 203}, {213, 225}}, 270, 20, 0, 0, 0},
	{"#10", 1900, [3]string{"#5", "#2", "B"}, [3][2]int{{206, 211}, {221, 228}, {238, 250}}, 312, 24, 0, 0, 0},
	{"1/4", 2500, [3]string{"17/64", "9/32", "19/64"}, [3][2]int{{266, 272}, {281, 290}, {297, 311}}, 375, 28, 438, 505, 163},
	{"5/16", 3125, [3]string{"21/64", "11/32", "23/64"}, [3][2]int{{328, 334}, {344, 354}, {359, 373}}, 469, 34, 500, 577, 211},
	{"3/8", 3750, [3]string{"25/64", "13/32", "27/64"}, [3][2]int{{391, 397}, {406, 416}, {422, 438}}, 562, 40, 562, 650, 243},
	{"7/16", 4375, [3]string{"29/64", "15/32", "31/64"}, [3][2]int{{453, 460}, {469, 479}, {484, 500}}, 656, 46, 625, 722, 291},
	{"1/2", 5000, [3]string{"17/32", "9/16", "39/64"}, [3][2]int{{531, 538}, {562, 572}, {609, 625}}, 750, 52, 750, 866, 323},
	{"5/8", 6250, [3]string{"21/32", "11/16", "47/64"}, [3][2]int{{656, 663}, {688, 698}, {734, 754}}, 938, 64, 938, 1083, 403},
	{"3/4", 7500, [3]string{"25/32", "13/16", "29/32"}, [3][2]int{{781, 789}, {812, 824}, {906, 926}}, 1125, 76, 1125, 1299, 483},
	{"7/8", 8750, [3]string{"29/32", "15/16", "1-1/32"}, [3][2]int{{906, 914}, {938, 950}, {1031, 1051}}, 1312, 88, 1312, 1516, 563},
	{"1 in", 10000, [3]string{"1-1/32", "1-3/32", "1-5/32"}, [3][2]int{{1031, 1039}, {1094, 1106}, {1156, 1181}}, 1500, 104, 1500, 1732, 627},
	{"1-1/8", 11250, [3]string{"1-5/32", "1-7/32", "1-5/16"}, [3][2]int{{1156, 1164}, {1219, 1235}, {1312, 1337}}, 1688, 0, 1688, 1949, 718},
	{"1-1/4", 12500, [3]string{"1-9/32", "1-11/32", "1-7/16"}, [3][2]int{{1281, 1291}, {1344, 1360}, {1438, 1463}}, 1875, 128, 1875, 2165, 813},
	{"1-3/8", 13750, [3]string{"1-7/16", "1-1/2", "1-39/64"}, [3][2]int{{1438, 1448}, {1500, 1516}, {1609, 1634}}, 2062, 0, 2062, 2382, 878},
	{"1-1/2", 15000, [3]string{"1-9/16", "1-5/8", "1-47/64"}, [3][2]int{{1562, 1572}, {1625, 1641}, {1734, 1759}}, 2250, 152, 2250, 2598, 974},
}

// metricRow is one size of ISO 273, in tenths of a millimetre: close, normal
// and loose hole; the socket head of ISO 4762 and its counterbore by DIN 974-1
// row 1 (0 where it is not known); the hexagon head, flats and height. Where
// ISO 4014 made a head smaller than it was, the larger old one is kept.
type metricRow struct {
	d           int // tenths
	hole        [3]int
	head, bore  int
	flats, high int
}

var metricRows = [...]metricRow{
	{16, [3]int{17, 18, 20}, 30, 35, 32, 11}, {20, [3]int{22, 24, 26}, 38, 43, 40, 14}, {25, [3]int{27, 29, 31}, 45, 50, 50, 17},
	{30, [3]int{32, 34, 36}, 55, 65, 55, 20}, {40, [3]int{43, 45, 48}, 70, 80, 70, 28}, {50, [3]int{53, 55, 58}, 85, 100, 80, 35},
	{60, [3]int{64, 66, 70}, 100, 110, 100, 40}, {80, [3]int{84, 90, 100}, 130, 150, 130, 53}, {100, [3]int{105, 110, 120}, 160, 180, 170, 64},
	{120, [3]int{130, 135, 145}, 180, 200, 190, 75}, {140, [3]int{150, 155, 165}, 210, 240, 220, 88}, {160, [3]int{170, 175, 185}, 240, 260, 240, 100},
	{180, [3]int{190, 200, 210}, 270, 0, 270, 115}, {200, [3]int{210, 220, 240}, 300, 330, 300, 125}, {220, [3]int{230, 240, 260}, 330, 0, 340, 140},
	{240, [3]int{250, 260, 280}, 360, 400, 360, 150}, {270, [3]int{280, 300, 320}, 400, 0, 410, 170}, {300, [3]int{310, 330, 350}, 450, 500, 460, 187},
	{330, [3]int{340, 360, 380}, 500, 0, 500, 210}, {360, [3]int{370, 390, 420}, 540, 580, 550, 225}, {390, [3]int{400, 420, 450}, 580, 0, 600, 250},
	{420, [3]int{430, 450, 480}, 630, 0, 650, 260}, {450, [3]int{460, 480, 520}, 675, 0, 700, 280}, {480, [3]int{500, 520, 560}, 720, 0, 750, 300},
}

// FindScrew understands a screw size: #10, No. 10, 1/4, 5/8-11, 1-1/8, M12, M12x1.75. A bare whole
// number is ambiguous and refused, as is a size the tables lack.
func FindScrew(text string) (Screw, *shoptext.ParseError) {
	s := trim(text)
	if t, err := thread.Parse(s); err == nil {
		return bySize(s, t.D, t.System == thread.ISO)
	}
	if n, ok := number(s); ok {
		k := strconv.Itoa(n)
		return Screw{}, &shoptext.ParseError{Says: "'" + k + "' could be a screw number, millimetres or inches.", Try: "Write #" + k + ", M" + k + " or " + k + " in."}
	}
	if rest, ok := cut(s, "#"); ok {
		s = rest
	} else if rest, ok := cut(s, "no."); ok {
		s = rest
	} else if rest, ok := cut(s, "no "); ok {
		s = rest
	}
	if n, ok := number(s); ok {
		return bySize("#"+s, float64(60+13*n)/1000, false)
	}
	v, f := shoptext.Parse(s, units.Span, units.Span.Unit(units.InchSystem))
	if f != nil {
		return Screw{}, &shoptext.ParseError{Says: "'" + clip(text) + "' is not a screw size this can read.", Try: "Type it like #10, 1/4, 5/8 or M12."}
	}
	if v.Unit.Name == "mm" {
		return bySize(s, v.Length.MM(), true)
	}
	return bySize(s, v.Length.Inches(), false)
}

func bySize(shown string, d float64, metric bool) (Screw, *shoptext.ParseError) {
	if metric {
		for i, r := range metricRows {
			if x := float64(r.d) / 10; near(x, d) {
				return Screw{"M" + strconv.FormatFloat(x, 'f', -1, 64), x / mmPerInch, true, i}, nil
			}
		}
	} else {
		for i, r := range inchRows {
			if x := float64(r.d) / 10000; near(x, d) {
				return Screw{r.name, x, false, i}, nil
			}
		}
	}
	return Screw{}, &shoptext.ParseError{Says: "'" + clip(shown) + "' is not in the tables, which go from #0 to 1-1/2 and from M1.6 to M48.",
		Try: "Type the nearest size, like 5/8 or M12."}
}

func near(a, b float64) bool { return a-b < 1e-6 && b-a < 1e-6 }

func clip(s string) string {
	if len(s) > 30 {
		return s[:30] + "..."
	}
	return s
}

// number reads a whole number of one or two digits and nothing else.
func number(s string) (int, bool) {
	n := 0
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, s != "" && len(s) <= 2
}

func trim(s string) string {
	for s != "" && (s[0] == ' ' || s[0] == '\t') {
		s = s[1:]
	}
	for s != "" && (s[len(s)-1] == ' ' || s[len(s)-1] == '\t') {
		s = s[:len(s)-1]
	}
	return s
}

// cut removes a prefix, given in lower case, whatever its case.
func cut(s, prefix string) (string, bool) {
	if len(s) < len(prefix) {
		return s, false
	}
	for i := range len(prefix) {
		c := s[i]
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		if c != prefix[i] {
			return s, false
		}
	}
	return trim(s[len(prefix):]), true
}

func canonScrew(text string) (string, *shoptext.ParseError) {
	s, f := FindScrew(text)
	if f != nil {
		return text, f
	}
	return s.Name, nil
}
