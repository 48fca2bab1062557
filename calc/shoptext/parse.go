// Package shoptext reads and writes numbers the way a machinist does: 5/8,
// 1-3/8, .750, 3/4+.015, 19.05mm, #7, F, 15 thou, 14d2'10".
//
// Lengths are exact: the text is turned into whole picometres without passing through a float64.
// Unreadable text is refused with a sentence on what was wrong and one on what to type.
package shoptext

import (
	"math"
	"strconv"

	"datumbook/calc/drill"
	"datumbook/calc/units"
)

// ParseError is a parse error: Says names what was wrong, Try what to type.
type ParseError struct{ Says, Try string }

func (f *ParseError) Error() string { return f.Says + " " + f.Try }

// Number is what was read: the value in the unit it was typed in, and for
// lengths the exact length. Note is a remark for the reader, or empty.
type Number struct {
	Value  float64
	Unit   units.Unit
	Length units.Length
	Note   string
}

// Base gives the value in the base unit of its kind.
func (n Number) Base() float64 { return n.Unit.ToBase(n.Value) }

// maxText bounds what is read, so that a pasted page is refused unparsed.
const maxText = 64

// Parse reads a quantity of the given kind; a bare number is in the unit bare. The text may be a
// whole number, a fraction, a mixed number, a decimal, a sum or difference of these, each with or
// without a unit; a length may also be a drill's name, an angle degrees, minutes and seconds. A
// fraction without a unit where a bare number is metric is queried: as often as not it is meant in
// inches.
func Parse(text string, dim units.Dim, bare units.Unit) (Number, *ParseError) {
	p := parser{dim: dim, bare: bare, asks: true}
	return p.read(text)
}

// ParseKept reads stored text, as Parse did before it queried fractions: a record keeps its
// meaning.
func ParseKept(text string, dim units.Dim, bare units.Unit) (Number, *ParseError) {
	p := parser{dim: dim, bare: bare}
	return p.read(text)
}

func (p *parser) read(text string) (Number, *ParseError) {
	dim := p.dim
	if len(text) > maxText {
		return Number{}, &ParseError{"is longer than any size.", "Type one number, like " + example(dim) + "."}
	}
	s := point(clean(text))
	if s == "" {
		return Number{}, &ParseError{"is empty.", "Type a number, like " + example(dim) + "."}
	}
	if dim == units.Span {
		if n, ok := parseDrill(s); ok {
			return n, nil
		}
	}
	if dim == units.Angle {
		if n, f, ok := parseDMS(s); ok || f != nil {
			return n, f
		}
	}
	p.s, p.shown = s, text
	return p.sum()
}

// example returns a valid text of this kind.
func example(dim units.Dim) string {
	switch dim {
	case units.Span:
		return "3/4, 1-3/8, .750 or 19.05mm"
	case units.Angle:
		return "118 or 14d2'10\""
	case units.None:
		return "1.5 or 3/4"
	}
	u := dim.Unit(units.InchSystem).Name
	m := dim.Unit(units.MetricSystem).Name
	if u == m {
		return "12 " + u
	}
	return "12 " + u + " or 12 " + m
}

// parseDrill reads #7, No. 7, 7 drill, F, F drill: names that are not numbers.
func parseDrill(s string) (Number, bool) {
	name := s
	if t, ok := cutSuffixFold(name, "drill"); ok {
		name = trim(t)
		if allDigits(name) {
			name = "#" + name
		}
	}
	if t, ok := cutPrefixFold(name, "no."); ok {
		name = "#" + trim(t)
	} else if t, ok := cutPrefixFold(name, "no "); ok {
		name = "#" + trim(t)
	}
	isLetter := len(name) == 1 && (name[0]|0x20 >= 'a' && name[0]|0x20 <= 'z')
	if !isLetter && (len(name) < 2 || name[0] != '#') {
		return Number{}, false
	}
	if name[0] == '#' {
		name = "#" + trim(name[1:])
	}
	size, ok := drill.Lookup(name)
	if !ok {
		return Number{}, false
	}
	in, _ := units.Span.Find("in")
	return Number{Value: size.Inches, Unit: in, Length: units.FromInches(size.Inches),
		Note: "drill " + size.Name + " is " + strconv.FormatFloat(size.Inches, 'f', -1, 64) + " in"}, true
}

// parser reads one text. Every number is an exact fraction num/den until the unit is known.
type parser struct {
	s     string
	shown string
	at    int
	dim   units.Dim
	bare  units.Unit
	asks  bool // about fractions without a unit
	note  string
	n     int
	ends  [8]int // where each term without a unit ends, 0 for one with a unit
}

// term is one number of a sum: num/den in its unit.
type term struct {
	num, den uint64
	whole    bool // a plain whole number
	fraction bool
	unit     *units.Unit
	hasUnit  bool
	minus    bool
}

func (p *parser) fail(says string) *ParseError {
	return &ParseError{"'" + p.shown + "' " + says, "Type it like " + example(p.dim) + "."}
}

// sum reads [sign] term {sign term} and adds the terms up.
func (p *parser) sum() (Number, *ParseError) {
	var terms [8]term
	n := 0
	minus := p.sign()
	for {
		if n == len(terms) {
			return Number{}, p.fail("has too many parts.")
		}
		t, f := p.term()
		if f != nil {
			return Number{}, f
		}
		t.minus = minus
		terms[n] = t
		if !t.hasUnit {
			p.ends[n] = p.at
		}
		n++
		p.n = n
		p.space()
		if p.at == len(p.s) {
			break
		}
		feet := t.hasUnit && t.unit.Name == "ft"
		switch c := p.s[p.at]; {
		case c == '+':
			minus = false
			p.at++
		case c == '-' && feet: // 3'-2 5/8": the dash is no minus
			p.at++
		case c == '-':
			minus = true
			p.at++
			if f := p.ambiguous(t); f != nil {
				return Number{}, f
			}
		case feet && isDigit(c): // 3' 2"
		case c == ',':
			return Number{}, p.fail("has a comma that may mark thousands. Write the decimal with a point.")
		case c == '/':
			return Number{}, p.fail("has one stroke too many.")
		case isLetter(c) || c >= 0x80:
			return Number{}, p.badUnit()
		default:
			return Number{}, p.fail("cannot be read from '" + p.s[p.at:] + "' on.")
		}
		if p.space(); p.at == len(p.s) {
			return Number{}, p.fail("stops short.")
		}
	}
	return p.add(terms[:n])
}

// ambiguous refuses 1-3 and 10-24: a thread, a typing error, or an unlikely subtraction.
func (p *parser) ambiguous(before term) *ParseError {
	if !before.whole || before.hasUnit {
		return nil
	}
	rest, i := p.s[p.at:], 0
	for i < len(rest) && rest[i] == ' ' {
		i++
	}
	j := i
	for j < len(rest) && isDigit(rest[j]) {
		j++
	}
	if j > i && (j == len(rest) || (rest[j] != '/' && rest[j] != '.')) {
		return p.fail("could be a mixed size with its fraction missing, or a thread.")
	}
	return nil
}

func (p *parser) sign() (minus bool) {
	p.space()
	if p.at < len(p.s) && (p.s[p.at] == '-' || p.s[p.at] == '+') {
		minus = p.s[p.at] == '-'
		p.at++
		p.space()
	}
	return minus
}

func (p *parser) space() {
	for p.at < len(p.s) && p.s[p.at] == ' ' {
		p.at++
	}
}

// term reads one number and its unit.
func (p *parser) term() (term, *ParseError) {
	t, f := p.number()
	if f != nil {
		return t, f
	}
	save := p.at
	p.space()
	if u, n := p.matchUnit(); n > 0 {
		p.at += n
		t.unit, t.hasUnit = u, true
		return t, nil
	}
	p.at = save
	return t, nil
}

// number reads 3, .75, 3/4, 1-3/8 and 1 3/8.
func (p *parser) number() (term, *ParseError) {
	whole, digits, f := p.digits()
	if f != nil {
		return term{}, f
	}
	if p.peek() == '.' {
		return p.decimal(whole, digits)
	}
	if digits == 0 {
		if p.at < len(p.s) && isLetter(p.s[p.at]) {
			return term{}, p.fail("is not a number.")
		}
		return term{}, p.fail("has no number where one is due.")
	}
	if p.peek() == '/' && p.at+1 < len(p.s) && (isDigit(p.s[p.at+1]) || p.s[p.at+1] == '/') || p.peek() == '/' && p.at+1 == len(p.s) {
		return p.fraction(0, whole)
	}
	// a mixed number: whole, a dash or a space, then num/den
	if save := p.at; p.peek() == '-' || p.peek() == ' ' {
		p.at++
		num, n, f := p.digits()
		if f == nil && n > 0 && p.peek() == '/' {
			return p.fraction(whole, num)
		}
		p.at = save
	}
	return term{num: whole, den: 1, whole: true}, nil
}

// decimal reads the part behind the point.
func (p *parser) decimal(whole uint64, before int) (term, *ParseError) {
	p.at++
	start := p.at
	frac, after, f := p.digits()
	if f != nil {
		return term{}, f
	}
	if before+after == 0 {
		return term{}, p.fail("has a point and no digits.")
	}
	if before+after > 15 {
		return term{}, p.fail("has more digits than can be kept.")
	}
	if p.peek() == '.' {
		return term{}, p.fail("has two points in it.")
	}
	if p.peek() == '/' && p.at+1 < len(p.s) && isDigit(p.s[p.at+1]) {
		return term{}, p.fail("has a point inside a fraction.")
	}
	den := uint64(1)
	for range p.at - start {
		den *= 10
	}
	return term{num: whole*den + frac, den: den}, nil
}

// fraction reads /den behind num and adds the whole number.
func (p *parser) fraction(whole, num uint64) (term, *ParseError) {
	p.at++
	den, n, f := p.digits()
	switch {
	case f != nil:
		return term{}, f
	case n == 0:
		return term{}, p.fail("has no bottom number in its fraction.")
	case den == 0:
		return term{}, p.fail("divides by zero.")
	case den > 1_000_000 || num > 1_000_000 || whole > 1_000_000:
		return term{}, p.fail("has a number too large for a fraction.")
	case p.peek() == '/':
		return term{}, p.fail("has one stroke too many.")
	}
	if den&(den-1) != 0 && p.dim == units.Span {
		p.note = "the fraction's bottom number is not 2, 4, 8, 16, 32 or 64"
	}
	if whole > 0 && num >= den {
		p.note = "the fraction is one or more: the whole was added up"
	}
	return term{num: whole*den + num, den: den, fraction: true}, nil
}

// digits reads a run of digits.
func (p *parser) digits() (v uint64, n int, f *ParseError) {
	for p.at < len(p.s) && isDigit(p.s[p.at]) {
		v = v*10 + uint64(p.s[p.at]-'0')
		p.at++
		if n++; n > 15 {
			return 0, n, p.fail("has more digits than can be kept.")
		}
	}
	return v, n, nil
}

func (p *parser) peek() byte {
	if p.at < len(p.s) {
		return p.s[p.at]
	}
	return 0
}

// matchUnit finds the longest unit of this kind at this position.
func (p *parser) matchUnit() (best *units.Unit, length int) {
	rest := p.s[p.at:]
	if rest == "" {
		return nil, 0
	}
	first := rest[0] | 0x20
	try := func(name string, u *units.Unit) {
		if len(name) > length && hasPrefixFold(rest, name) &&
			(len(rest) == len(name) || !isLetter(rest[len(name)]) || !isLetter(name[len(name)-1])) {
			best, length = u, len(name)
		}
	}
	units := p.dim.Units()
	for i := range units {
		u := &units[i]
		if u.Name != "" && u.Name[0]|0x20 == first {
			try(u.Name, u)
		}
		for _, a := range u.Aliases {
			if a[0]|0x20 == first { // rules most units out
				try(a, u)
			}
		}
	}
	return best, length
}

// badUnit lists the units this kind takes.
func (p *parser) badUnit() *ParseError {
	list := ""
	for i, u := range p.dim.Units() {
		if u.Name == "" || i > 0 && u.Name == p.dim.Units()[i-1].Name {
			continue
		}
		if list != "" {
			list += ", "
		}
		list += u.Name
	}
	if list == "" {
		return p.fail("has letters in it, and this takes a plain number.")
	}
	return p.fail("has a unit this does not take. It takes " + list + ".")
}

// of gives the unit a term is in.
func (p *parser) of(t term) *units.Unit {
	if t.hasUnit {
		return t.unit
	}
	return &p.bare
}

// shared returns the single unit at the end of a sum, as in 10+5 mm; nil for any other sum.
func shared(terms []term) *units.Unit {
	last := len(terms) - 1
	for i := range last {
		if terms[i].hasUnit {
			return nil
		}
	}
	return terms[last].unit
}

// unsaid is the error for a part that may be in either of two units.
func (p *parser) unsaid() *ParseError {
	return p.fail("has a part without a unit; write the unit behind each part.")
}

// askFraction refuses a fraction that may or may not be in inches.
func (p *parser) askFraction(terms []term) *ParseError {
	inch, sum := "in", 0.0
	for _, t := range terms {
		if t.hasUnit || len(terms) > 1 && p.bare.Name != "mm" {
			return p.unsaid()
		}
		v := float64(t.num) / float64(t.den)
		if t.minus {
			v = -v
		}
		sum += v
	}
	if p.bare.Name == "um" {
		inch = "thou"
	}
	d, _ := units.Round(sum, 4)
	plain, minus := cutPrefixFold(d.Trim(), "-")
	if len(plain) > 1 && plain[0] == '0' {
		plain = plain[1:] // .75, as a shop writes it
	}
	if minus {
		plain = "-" + plain
	}
	return &ParseError{"'" + p.shown + "' is a fraction without a unit.",
		"Write " + p.s + " " + inch + ", or " + plain + " " + p.bare.Name + "."}
}

// add converts the terms to one unit and sums them.
func (p *parser) add(terms []term) (Number, *ParseError) {
	// One unit at the end of a sum applies to all of it if it is the other system's own: 10+5 mm is
	// 15 mm also where a bare number is inches. After a sub-unit, as in 3/4+15 thou, the bare terms
	// may be inches.
	end := shared(terms)
	if len(terms) > 1 && end != nil && end.System() != p.bare.System() && end.Name == p.dim.Unit(end.System()).Name {
		p.bare = *end
	}
	unit := &p.bare
	for _, t := range terms {
		if t.hasUnit {
			unit = t.unit
			break
		}
	}
	for _, t := range terms {
		switch {
		case t.hasUnit && t.unit.System() != unit.System():
			return Number{}, p.fail("mixes inch and metric.")
		case !t.hasUnit && len(terms) > 1 && unit.System() != p.bare.System():
			return Number{}, p.unsaid()
		case p.asks && t.fraction && !t.hasUnit && p.dim == units.Span && p.bare.System() == units.MetricSystem &&
			(end == nil || end.Name != p.bare.Name):
			return Number{}, p.askFraction(terms)
		case !t.hasUnit && len(terms) > 1:
			unit = &p.bare
		}
	}
	if p.dim == units.Temperature && len(terms) > 1 {
		return Number{}, p.fail("adds temperatures up.")
	}
	out := Number{Unit: *unit, Note: p.note}
	if p.dim == units.Span {
		for _, t := range terms {
			l, ok := toLength(t, p.of(t))
			if !ok || out.Length > 1<<61 || out.Length < -1<<61 {
				return Number{}, p.fail("is too large.")
			}
			if t.minus {
				l = -l
			}
			out.Length += l
		}
		pm := math.Round(unit.Scale * float64(units.Millimetre))
		out.Value = float64(out.Length) / pm
		return out, nil
	}
	for _, t := range terms {
		v := float64(t.num) / float64(t.den)
		if of := p.of(t); of.Name != unit.Name {
			v = unit.FromBase(of.ToBase(v))
		}
		if t.minus {
			v = -v
		}
		out.Value += v
	}
	return out, nil
}
