package thread

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/units"
)

// parseUnified reads a tidied Unified designation: size, hyphen, threads per
// inch, then a series and a class, each optional.
func parseUnified(s string) (Thread, error) {
	u := units.Upper(s)
	u = strings.TrimPrefix(u, "NUMBER ")
	for _, p := range []string{"NO. ", "NO.", "NO "} {
		if rest, ok := strings.CutPrefix(u, p); ok {
			u = "#" + rest
			break
		}
	}
	u = timesToHyphen(u)
	head, series, class, err := splitUnified(s, u)
	if err != nil {
		return Thread{}, err
	}
	size, pitch, err := splitSize(s, head)
	if err != nil {
		return Thread{}, err
	}
	n, ok := number(pitch)
	if !ok {
		return Thread{}, &Error{Says: "the threads per inch in " + quote(s) + " cannot be read; write the size, a hyphen and the threads per inch", Try: "3/8-16"}
	}
	d, err := unifiedSize(s, size, n)
	if err != nil {
		return Thread{}, err
	}
	t, err := NewUnified(d, n)
	if err != nil {
		return Thread{}, err
	}
	if err := checkSeries(t, series); err != nil {
		return Thread{}, err
	}
	for _, c := range class {
		if err := t.setClass(c); err != nil {
			return Thread{}, err
		}
	}
	return t, nil
}

// timesToHyphen reads 1/2x13 as 1/2-13.
func timesToHyphen(u string) string {
	for i := 1; i+1 < len(u); i++ {
		if u[i] == 'X' && isDigit(u[i-1]) && isDigit(u[i+1]) {
			return u[:i] + "-" + u[i+1:]
		}
	}
	return u
}

// splitUnified cuts the series and the classes off the end of u.
func splitUnified(s, u string) (head, series string, class []string, err error) {
	bad := func() error {
		return &Error{Says: quote(s) + " is not a thread designation this can read; write the size, a hyphen, the threads per inch, and if you like the series and class", Try: "3/8-16 UNC-2B"}
	}
	cut := strings.IndexAny(u, "UNABCDEFGHIJKLMOPQRSTVWXYZ")
	head = u
	if cut < 0 {
		return head, "", nil, nil
	}
	// Step back over a class digit, as in 1/2-13-2B or 1/2-13 2B.
	if u[cut] == 'A' || u[cut] == 'B' {
		cut--
		if cut < 1 || u[cut-1] != '-' && u[cut-1] != ' ' {
			return "", "", nil, bad()
		}
	}
	head = strings.TrimRight(u[:cut], " -")
	for _, w := range strings.FieldsFunc(u[cut:], func(r rune) bool { return r == ' ' || r == '-' || r == '/' || r == ',' }) {
		switch {
		case len(w) == 2 && isDigit(w[0]) && (w[1] == 'A' || w[1] == 'B') && len(class) < 2:
			class = append(class, w)
		case series == "" && len(class) == 0 && isLetter(w[0]):
			series = w
		default:
			return "", "", nil, bad()
		}
	}
	return head, series, class, nil
}

// splitSize cuts "1-3/8-6" into "1-3/8" and "6" at the last hyphen.
func splitSize(s, head string) (size, pitch string, err error) {
	i := strings.LastIndexByte(head, '-')
	if i <= 0 || strings.Contains(head[i:], "/") {
		return "", "", &Error{Says: quote(s) + " has no threads per inch; write the size, a hyphen and the threads per inch" + pairsText(head), Try: tryText(head)}
	}
	return head[:i], units.Trim(head[i+1:]), nil
}

// unifiedSize reads the size part: a fraction, a mixed number, a decimal, a
// whole number of inches or a screw number.
func unifiedSize(s, size string, n float64) (float64, error) {
	bad := &Error{Says: "the size in " + quote(s) + " cannot be read; it is a fraction, a decimal of an inch or a screw number", Try: "3/8-16"}
	if rest, ok := strings.CutPrefix(size, "#"); ok {
		v, err := strconv.Atoi(rest)
		if err != nil || len(rest) > 2 || v < 0 {
			return 0, bad
		}
		if _, ok := rowFor(numberDiameter(v)); !ok || v > 12 {
			return 0, &Error{Says: "there is no screw size number " + rest + "; they are 0 to 6, 8, 10 and 12", Try: "10-24"}
		}
		return numberDiameter(v), nil
	}
	whole, frac := "", size
	if i := strings.IndexAny(size, "- +"); i >= 0 {
		if i == 0 {
			return 0, bad
		}
		whole, frac = size[:i], size[i+1:]
	}
	if a, b, ok := strings.Cut(frac, "/"); ok {
		num, err1 := strconv.Atoi(a)
		den, err2 := strconv.Atoi(b)
		w := 0
		var err3 error
		if whole != "" {
			w, err3 = strconv.Atoi(whole)
		}
		if err1 != nil || err2 != nil || err3 != nil || !allDigits(a+b+whole) || len(a)+len(b)+len(whole) > 8 {
			return 0, bad
		}
		if den != 2 && den != 4 && den != 8 && den != 16 && den != 32 && den != 64 {
			return 0, &Error{Says: "the size in " + quote(s) + " must be in halves, quarters, eighths, sixteenths, 32nds or 64ths", Try: "3/8-16"}
		}
		if num == 0 || whole != "" && num >= den {
			return 0, bad
		}
		return float64(w) + float64(num)/float64(den), nil
	}
	if whole != "" {
		return 0, bad
	}
	v, ok := number(frac)
	if !ok {
		return 0, bad
	}
	if !strings.Contains(frac, ".") {
		return wholeSize(v, n), nil
	}
	return decimalSize(frac, v, n)
}

func allDigits(s string) bool {
	for i := range len(s) {
		if !isDigit(s[i]) {
			return false
		}
	}
	return true
}

// wholeSize tells a screw number from whole inches: whichever a series lists
// with n threads per inch (no pair is in both), or else a screw number when
// there are 24 threads per inch or more.
func wholeSize(v, n float64) float64 {
	if v > 12 || v != math.Floor(v) {
		return v
	}
	asNumber, asInches := numberDiameter(int(v)), v
	if r, ok := rowFor(asNumber); ok && r.number >= 0 {
		if r.seriesOf(n) != "" {
			return asNumber
		}
		if q, ok := rowFor(asInches); n >= 24 && !(ok && q.seriesOf(n) != "") {
			return asNumber
		}
	}
	return asInches
}

// decimalSize reads a decimal size. Three-place decimals of a listed 64th, such
// as .438 for 7/16, are taken as that size when its series lists n.
func decimalSize(text string, v, n float64) (float64, error) {
	_, places, _ := strings.Cut(text, ".")
	if len(strings.TrimRight(places, "0")) > 4 {
		return 0, &Error{Says: "give a decimal thread size to at most four places", Try: ".4375-14"}
	}
	if _, ok := rowFor(v); ok {
		return v, nil
	}
	if len(places) == 3 || len(places) == 2 {
		for _, r := range unifiedSeries {
			if math.Abs(r.diameter()-v) <= 0.000501 && r.seriesOf(n) != "" {
				return r.diameter(), nil
			}
		}
	}
	return v, nil
}

// checkSeries says what is wrong when a series was typed that does not list the
// pair.
func checkSeries(t Thread, series string) error {
	if len(series) > 0 && strings.HasPrefix(series, "UNR") {
		series = "UN" + series[3:] // the rounded root is an external form of the same limits
	}
	switch series {
	case "", t.Series:
		return nil
	case "NC", "NF", "NEF", "NS", "N": // names before 1949; same pairs
		if "U"+series == t.Series || series == "N" && t.Standard {
			return nil
		}
	case "UN":
		if t.Standard { // 1-8 UN is listed as UNC and has the same limits
			return nil
		}
	case "UNC", "UNF", "UNEF", "UNS":
	default:
		return &Error{Says: quote(series) + " is not a Unified series; they are UNC, UNF, UNEF, UN and UNS", Try: t.String()}
	}
	if t.Standard {
		return &Error{Says: unifiedName(t) + " is not " + series + " but " + t.Series, Try: t.String()}
	}
	return &Error{
		Says: unifiedName(t) + " is in no standard series" + pairsSentence(t.D) + "; as a special it is UNS",
		Try:  unifiedName(t) + " UNS",
	}
}

// pairsSentence names the threads per inch the standard lists for a diameter.
func pairsSentence(d float64) string {
	r, ok := rowFor(d)
	if !ok {
		return ""
	}
	list := r.pitches()
	s := "; with that diameter it lists "
	for i, n := range list {
		switch {
		case i > 0 && i == len(list)-1:
			s += " and "
		case i > 0:
			s += ", "
		}
		s += decimal(n)
	}
	return s + " threads per inch"
}

// Notice returns one sentence to show beside a thread that the standard does not
// list, or a class it does not list for that thread; "" for an ordinary one.
func (t Thread) Notice() string {
	switch {
	case t.D == 0:
		return ""
	case t.System == ISO && !t.Standard:
		r, listed := isoSizeFor(t.D)
		return isoName(t) + " is not in ISO 261" + isoPairs(r, listed) + "; the limits are ISO 965-1 for its size and pitch"
	case !t.Standard:
		return unifiedName(t) + " is in no standard series" + pairsSentence(t.D) +
			"; the limits are those of a special, UNS, for a length of engagement of nine pitches"
	case t.System == Unified && (t.Internal == "1B" || t.External == "1A") &&
		(t.D < 0.25 || t.Series != "UNC" && t.Series != "UNF"):
		return "class 1 is standard only for UNC and UNF from 1/4 in up"
	}
	return ""
}

// setClass notes a class as internal or external after checking that the
// thread has it.
func (t *Thread) setClass(class string) error {
	l, err := t.Limits(class)
	if err != nil {
		return err
	}
	if l.External && t.External == "" {
		t.External = class
		return nil
	}
	if !l.External && t.Internal == "" {
		t.Internal = class
		return nil
	}
	return &Error{Says: "give one class for the hole and one for the screw at most", Try: "3/8-16 UNC-2B"}
}

// sizeName prints a Unified diameter: "#10", "1-3/8", ".520".
func sizeName(d float64) string {
	if r, ok := rowFor(d); ok && r.number >= 0 {
		return "#" + strconv.Itoa(r.number)
	}
	n := int(d * 64)
	if float64(n)/64 != d {
		return decimalSizeName(d)
	}
	whole, num, den := n/64, n%64, 64
	if num == 0 {
		return strconv.Itoa(whole)
	}
	for num%2 == 0 {
		num, den = num/2, den/2
	}
	s := strconv.Itoa(num) + "/" + strconv.Itoa(den)
	if whole > 0 {
		return strconv.Itoa(whole) + "-" + s
	}
	return s
}

// decimalSizeName prints a size to four places, ".5200": four, so that it is
// never taken for a rounded fraction when read back.
func decimalSizeName(d float64) string {
	return strings.TrimPrefix(strconv.FormatFloat(d, 'f', 4, 64), "0")
}

// unifiedName prints size and threads per inch so that Parse takes them the
// same way: "5/8-11", "10-24", and "#2-30" or "1.0000-30" where a bare number
// could be either.
func unifiedName(t Thread) string {
	name := sizeName(t.D)
	if bare, ok := strings.CutPrefix(name, "#"); ok && t.Standard {
		name = bare
	} else if v, err := strconv.Atoi(name); err == nil && wholeSize(float64(v), t.TPI) != t.D {
		name = decimalSizeName(t.D)
	}
	return name + "-" + decimal(t.TPI)
}

// tryFor returns a standard designation of the diameter, or a common one.
func tryFor(d float64) string {
	if r, ok := rowFor(d); ok {
		t, err := NewUnified(d, r.pitches()[0])
		if err == nil {
			return t.String()
		}
	}
	return "3/8-16"
}

// pairsText names the standard pairs for a size typed without a pitch.
func pairsText(size string) string {
	d, err := unifiedSize(size, size, 0)
	if err != nil {
		return ""
	}
	return pairsSentence(d)
}

// tryText returns a standard designation for a size typed without a pitch.
func tryText(size string) string {
	if d, err := unifiedSize(size, size, 0); err == nil {
		return tryFor(d)
	}
	return "3/8-16"
}
