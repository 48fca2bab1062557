// Package drill holds twist drill sizes as they are printed, and how much larger
// than the drill its hole usually comes out. Diameters are plain inches with the
// exact millimetres beside them.
package drill

import (
	"slices"
	"strconv"
	"strings"

	"datumbook/calc/units"
)

// A Set is one of the four families a drill size is named in.
type Set int

// The families, in the order a size shared by several is listed.
const (
	Fraction Set = iota
	Number
	Letter
	Metric
)

// Sets lists all four families.
var Sets = []Set{Fraction, Number, Letter, Metric}

// String returns the family's name in lower case.
func (s Set) String() string {
	switch s {
	case Fraction:
		return "fraction"
	case Number:
		return "number"
	case Letter:
		return "letter"
	case Metric:
		return "metric"
	}
	return "unknown"
}

// A Size is one drill. The value in its own family's unit is exactly what the
// list prints; the other is that value through 25.4 mm to the inch.
type Size struct {
	Name   string  // "17/32", "1-3/8", "#7", "F", "10.2 mm"
	Set    Set     // the family the name belongs to
	Inches float64 // diameter, in
	MM     float64 // diameter, mm
}

// mmPerInch is exact by international agreement (1959).
const mmPerInch = 25.4

// Number drills 1 to 97 in ten-thousandths of an inch. There is no formula for
// them; the list is ASME B94.11M, table of twist drill sizes.
var numbers = [...]int{
	2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935, // 1-10
	1910, 1890, 1850, 1820, 1800, 1770, 1730, 1695, 1660, 1610, // 11-20
	1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285, // 21-30
	1200, 1160, 1130, 1110, 1100, 1065, 1040, 1015, 995, 980, // 31-40
	960, 935, 890, 860, 820, 810, 785, 760, 730, 700, // 41-50
	670, 635, 595, 550, 520, 465, 430, 420, 410, 400, // 51-60
	390, 380, 370, 360, 350, 330, 320, 310, 292, 280, // 61-70
	260, 250, 240, 225, 210, 200, 180, 160, 145, 135, // 71-80
	130, 125, 120, 115, 110, 105, 100, 95, 91, 87, // 81-90
	83, 79, 75, 71, 67, 63, 59, // 91-97
}

// Letter drills A to Z in thousandths of an inch, ASME B94.11M. E is 1/4 in
// exactly.
var letters = [...]int{
	234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295, // A-M
	302, 316, 323, 332, 339, 348, 358, 368, 377, 386, 397, 404, 413, // N-Z
}

// sizes is every drill, by diameter; equal diameters stand in Set order.
var sizes = build()

func build() []Size {
	var list []Size
	// Fractions: by 64ths to 2, by 32nds to 2-1/4, by 16ths to 3.
	for n := 1; n <= 3*64; n++ {
		if n > 2*64 && n%2 != 0 || n > 2*64+16 && n%4 != 0 {
			continue
		}
		list = append(list, inch(fractionName(n), Fraction, float64(n)/64))
	}
	for i, v := range numbers {
		list = append(list, inch("#"+strconv.Itoa(i+1), Number, float64(v)/10000))
	}
	for i, v := range letters {
		list = append(list, inch(string(rune('A'+i)), Letter, float64(v)/1000))
	}
	// Metric in hundredths: by 0.05 from 0.3 to 3, by 0.1 to 14, by 0.25 to 32,
	// by 0.5 to 50.
	for v := 30; v <= 5000; v += metricStep(v) {
		mm := float64(v) / 100
		list = append(list, Size{
			Name: strconv.FormatFloat(mm, 'f', -1, 64) + " mm", Set: Metric,
			Inches: mm / mmPerInch, MM: mm,
		})
	}
	var ordered []Size
	for _, i := range units.Order(len(list), func(i, j int) bool {
		a, b := &list[i], &list[j]
		return a.Inches < b.Inches || a.Inches == b.Inches && a.Set < b.Set
	}) {
		ordered = append(ordered, list[i])
	}
	return ordered
}

func metricStep(v int) int {
	switch {
	case v < 300:
		return 5
	case v < 1400:
		return 10
	case v < 3200:
		return 25
	}
	return 50
}

func inch(name string, set Set, in float64) Size {
	return Size{Name: name, Set: set, Inches: in, MM: in * mmPerInch}
}

// fractionName returns n/64 in lowest terms with a whole part, "1-3/8".
func fractionName(n int) string {
	whole, num, den := n/64, n%64, 64
	if num == 0 {
		return strconv.Itoa(whole)
	}
	for num%2 == 0 {
		num, den = num/2, den/2
	}
	name := strconv.Itoa(num) + "/" + strconv.Itoa(den)
	if whole > 0 {
		name = strconv.Itoa(whole) + "-" + name
	}
	return name
}

// All returns the drills of the given families by rising diameter, or of every
// family when none is given. The slice is the caller's to keep.
func All(sets ...Set) []Size {
	if len(sets) == 0 {
		return slices.Clone(sizes)
	}
	list := make([]Size, 0, len(sizes))
	for i := range sizes {
		if slices.Contains(sets, sizes[i].Set) {
			list = append(list, sizes[i])
		}
	}
	return list
}

// Between returns the drills from one diameter to another, in inches, both
// included, of the given families or of every family when none is given.
func Between(low, high float64, sets ...Set) []Size {
	from := 0
	for from < len(sizes) && sizes[from].Inches < low {
		from++
	}
	var list []Size
	for i := from; i < len(sizes) && sizes[i].Inches <= high; i++ {
		if len(sets) == 0 || slices.Contains(sets, sizes[i].Set) {
			list = append(list, sizes[i])
		}
	}
	return list
}

// Lookup finds a drill by the name on its shank or in its index: "17/32",
// "1-3/8" or "1 3/8", "#7", "no. 7", "F" or "letter f", "10.2 mm" or "10.2mm".
// A bare number such as "7" is not a name, since it could be number 7, 7 mm or
// 7 in, except the whole inches "1", "2" and "3".
func Lookup(name string) (Size, bool) {
	s := units.Lower(units.Trim(name))
	s = units.Trim(strings.TrimSuffix(s, "drill"))
	for _, p := range []string{"no.", "no ", "number "} {
		if rest, ok := strings.CutPrefix(s, p); ok {
			s = "#" + units.Trim(rest)
		}
	}
	s = units.Trim(strings.TrimPrefix(s, "letter "))
	if rest, ok := strings.CutSuffix(s, "mm"); ok {
		mm, err := strconv.ParseFloat(units.Trim(rest), 64)
		if err != nil {
			return Size{}, false
		}
		s = strconv.FormatFloat(mm, 'f', -1, 64) + " mm"
	} else if strings.Contains(s, "/") {
		s = strings.TrimSuffix(s, "\"")
		s = strings.ReplaceAll(s, " ", "-")
	}
	return units.First(sizes, func(z Size) bool { return units.Lower(z.Name) == s })
}

// Nearest returns the drill of the list nearest to the given diameter in
// inches, the larger of two equally near. It reports false for an empty list.
func Nearest(list []Size, inches float64) (Size, bool) {
	best, found := Size{}, false
	for _, s := range list {
		if !found || abs(s.Inches-inches) < abs(best.Inches-inches) ||
			abs(s.Inches-inches) == abs(best.Inches-inches) && s.Inches > best.Inches {
			best, found = s, true
		}
	}
	return best, found
}

func abs(x float64) float64 { return max(x, -x) }
