package thread

import (
	"strconv"
	"strings"

	"datumbook/calc/units"
)

// MaxDesignation is the longest designation Parse reads, in bytes.
const MaxDesignation = 60

// Parse reads a screw thread designation in any of the ways it is written:
//
//	5/8-11 UNC-2B   5/8-11   .500-13   1-3/8-6   1 3/8-6 UNC-2B
//	10-24   #10-24   No. 10-24
//	M12   M12x1.75-6H   M12 x 1.25 - 6H   M12-1.25   M12x1.25-6H/6g
//
// in capitals or small letters, except that the letter of a metric class keeps
// its case: 6H is a hole and 6h is a screw. A Unified pair that no series lists
// comes back with Standard false and series UNS. Pipe, Whitworth, trapezoidal,
// Acme, left-hand and multiple-start threads, and anything that cannot be
// understood, are an *Error.
func Parse(text string) (Thread, error) {
	if len(text) > MaxDesignation {
		return Thread{}, &Error{Says: "a thread designation is at most " + strconv.Itoa(MaxDesignation) + " characters long", Try: "3/8-16 UNC-2B"}
	}
	s := tidy(text)
	if s == "" {
		return Thread{}, &Error{Says: "the thread is missing: give its size and pitch", Try: "3/8-16"}
	}
	if err := otherForm(s); err != nil {
		return Thread{}, err
	}
	if s[0] == 'M' || s[0] == 'm' {
		return parseISO(s)
	}
	return parseUnified(s)
}

// tidy normalises dashes, signs and spaces: single spaces, plain hyphens, x for times, no space
// around - and x.
func tidy(text string) string {
	var b strings.Builder
	space := false
	for _, r := range text {
		switch r {
		case ' ', '\t', '\n', '\r', '\u00a0', '\u2009', '\u202f', '"', '\u2033', '\u201d':
			space = true
			continue
		case '\u2010', '\u2011', '\u2012', '\u2013', '\u2014', '\u2212':
			r = '-'
		case '\u00d7', '*', 'X':
			r = 'x'
		case '\u2044':
			r = '/'
		case '\u00bc':
			vulgar(&b, "1/4")
			continue
		case '\u00bd':
			vulgar(&b, "1/2")
			continue
		case '\u00be':
			vulgar(&b, "3/4")
			continue
		case '\u215b':
			vulgar(&b, "1/8")
			continue
		case '\u215c':
			vulgar(&b, "3/8")
			continue
		case '\u215d':
			vulgar(&b, "5/8")
			continue
		case '\u215e':
			vulgar(&b, "7/8")
			continue
		}
		last := byte('-')
		if b.Len() > 0 {
			last = b.String()[b.Len()-1]
		}
		if space && last != '-' && last != 'x' && last != '/' && last != '#' && r != '-' && r != 'x' && r != '/' {
			b.WriteByte(' ')
		}
		space = false
		b.WriteRune(r)
	}
	return b.String()
}

// vulgar writes a one-character fraction, set off from a whole number before it.
func vulgar(b *strings.Builder, f string) {
	if s := b.String(); s != "" && isDigit(s[len(s)-1]) {
		b.WriteByte('-')
	}
	b.WriteString(f)
}

// otherForm returns the refusal for a thread of another form, hand or number of
// starts.
func otherForm(s string) error {
	u := units.Upper(s)
	refuse := func(what string) error {
		return &Error{Says: what, Try: "3/8-16 UNC-2B"}
	}
	words := strings.FieldsFunc(u, func(r rune) bool { return r == ' ' || r == '-' || r == ',' })
	for _, w := range words {
		switch w {
		case "LH", "LEFT":
			return refuse("this is a left-hand thread; the limits here are for right-hand threads only, so leave LH out and mind the hand yourself")
		case "START", "STARTS", "DOUBLE", "TRIPLE":
			return refuse("a multiple-start thread is not covered; only single-start Unified and ISO metric threads are")
		}
		for _, p := range [...]struct{ mark, what string }{
			{"NPS", "NPS is a straight pipe thread with its own limits; only Unified and ISO metric threads are covered"},
			{"NPT", "NPT is a taper pipe thread; only straight Unified and ISO metric threads are covered"},
			{"ANPT", "ANPT is a taper pipe thread; only straight Unified and ISO metric threads are covered"},
			{"BSPT", "BSPT is a taper pipe thread of 55 degree form; only Unified and ISO metric threads are covered"},
			{"BSP", "BSP is a pipe thread of 55 degree form; only Unified and ISO metric threads are covered"},
			{"BSW", "BSW is a Whitworth thread of 55 degree form; only Unified and ISO metric threads are covered"},
			{"BSF", "BSF is a Whitworth-form thread of 55 degrees; only Unified and ISO metric threads are covered"},
			{"BSC", "BSC is a cycle thread with its own limits; only Unified and ISO metric threads are covered"},
			{"BA", "BA is a thread of 47-1/2 degree form; only Unified and ISO metric threads are covered"},
			{"ACME", "an Acme thread is of 29 degree form; only Unified and ISO metric threads are covered"},
			{"STUB", "a stub Acme thread is of 29 degree form; only Unified and ISO metric threads are covered"},
			{"BUTT", "a buttress thread is not covered; only Unified and ISO metric threads are"},
			{"UNJ", "UNJ has its own root and minor diameter limits; only UN and ISO metric M threads are covered"},
			{"UNM", "UNM is a miniature thread with its own limits; only UNC, UNF, UNEF, UN and ISO metric M threads are covered"},
			{"MJ", "MJ has its own root and minor diameter limits; only UN and ISO metric M threads are covered"},
			{"TR", "Tr is a trapezoidal thread of 30 degree form; only Unified and ISO metric M threads are covered"},
			{"PG", "Pg is a conduit thread of 80 degree form; only Unified and ISO metric threads are covered"},
			{"RC", "Rc is a taper pipe thread of 55 degree form; only Unified and ISO metric threads are covered"},
			{"RP", "Rp is a pipe thread of 55 degree form; only Unified and ISO metric threads are covered"},
			{"NC5", "class 5 interference-fit threads have their own limits; only classes 1, 2 and 3 are covered"},
			{"NH", "NH is a hose thread with its own limits; only Unified and ISO metric threads are covered"},
		} {
			if strings.HasPrefix(w, p.mark) && (len(w) == len(p.mark) || !isLetter(w[len(p.mark)]) || len(p.mark) > 2) {
				return refuse(p.what)
			}
		}
		if (w[0] == 'G' || w[0] == 'R') && (len(w) == 1 || isDigit(w[1])) {
			return refuse(w[:1] + " is a pipe thread of 55 degree form; only Unified and ISO metric threads are covered")
		}
	}
	return nil
}

func isDigit(c byte) bool  { return '0' <= c && c <= '9' }
func isLetter(c byte) bool { return 'A' <= c && c <= 'Z' || 'a' <= c && c <= 'z' }

func quote(s string) string { return "'" + s + "'" }

// decimal prints a value without a trailing zero.
func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// number reads plain digits with at most one point, as machinists write them:
// "13", ".500", "4.5". Exponents, signs, hexadecimal and words are refused.
func number(s string) (float64, bool) {
	digits, points := 0, 0
	for i := range len(s) {
		switch {
		case isDigit(s[i]):
			digits++
		case s[i] == '.':
			points++
		default:
			return 0, false
		}
	}
	if digits == 0 || digits > 9 || points > 1 {
		return 0, false
	}
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil
}

// String returns the canonical designation, "5/8-11 UNC-2B", "10-24 UNC",
// "M12x1.75-6H". Parse reads it back to an equal Thread.
func (t Thread) String() string {
	var s string
	if t.D == 0 {
		return ""
	}
	if t.System == ISO {
		s = "M" + decimal(t.D) + "x" + decimal(t.Pitch)
	} else {
		s = unifiedName(t) + " " + t.Series
	}
	switch {
	case t.Internal != "" && t.External != "":
		s += "-" + t.Internal + "/" + t.External
	case t.Internal != "" || t.External != "":
		s += "-" + t.Internal + t.External
	}
	return s
}
