package field

import (
	"math"
	"strconv"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// Range is what a quantity may be: its limits are read once, however many rows of a table are
// checked against them.
type Range struct {
	field  *Field
	dim    units.Dim
	bare   units.Unit
	lo, hi float64 // millimetres for a length, else the base unit
}

// Range reads the limits of a field.
func (f *Field) Range(s units.System) Range {
	r := Range{field: f, lo: math.Inf(-1), hi: math.Inf(1)}
	r.dim, _ = f.Kind.Dim()
	r.bare, _ = f.Unit(s)
	if f.Min != "" {
		r.lo = r.limit(f.Min)
	}
	if f.Max != "" {
		r.hi = r.limit(f.Max)
	}
	return r
}

// limit reads a limit of the description: a decimal, and a unit where it is not the bare one.
// Parsing it like user input takes ten times as long, and an office checks thousands of numbers a
// second.
func (r *Range) limit(text string) float64 {
	end := 0
	for end < len(text) && text[end] != ' ' {
		end++
	}
	x, err := decimal(text[:end])
	unit, known := r.bare, true
	if end < len(text) && text[end+1:] != unit.Name {
		unit, known = r.dim.Find(text[end+1:])
	}
	if err != nil || !known {
		panic("field: the limit '" + text + "' of " + r.field.Key + " cannot be read")
	}
	if r.dim == units.Span {
		return units.FromMM(unit.ToBase(x)).MM()
	}
	return unit.ToBase(x)
}

// decimal reads a decimal as strconv does. Of few digits it is the whole number they make, divided
// once, which rounds the same and takes a fifth of the time; a form reads hundreds of limits.
func decimal(text string) (float64, error) {
	n, tens, digits, point := 0.0, 1.0, 0, false
	for i := range len(text) {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
			n = float64(n*10) + float64(c-'0')
			if digits++; point {
				tens *= 10
			}
		case c == '.' && !point:
			point = true
		case c != '-' || i > 0:
			digits = 99
		}
	}
	if digits == 0 || digits > 15 {
		return strconv.ParseFloat(text, 64)
	}
	if text[0] == '-' {
		n = -n
	}
	return n / tens, nil
}

// Number reads a quantity as typed and checks its limits.
func (r *Range) Number(text string) (shoptext.Number, *shoptext.ParseError) {
	return r.read(text, shoptext.Parse)
}

// Kept reads a quantity as it was stored earlier, and checks its limits.
func (r *Range) Kept(text string) (shoptext.Number, *shoptext.ParseError) {
	return r.read(text, shoptext.ParseKept)
}

type reader func(string, units.Dim, units.Unit) (shoptext.Number, *shoptext.ParseError)

func (r *Range) read(text string, parse reader) (shoptext.Number, *shoptext.ParseError) {
	n, fault := parse(text, r.dim, r.bare)
	if fault == nil {
		fault = r.Holds(n, text)
	}
	return n, fault
}

// Holds checks a quantity read from a text against its limits.
func (r *Range) Holds(n shoptext.Number, text string) *shoptext.ParseError {
	base := n.Base()
	if r.dim == units.Span {
		base = n.Length.MM()
	}
	switch {
	case r.field.Kind == Count && n.Value != math.Trunc(n.Value):
		return refuse(text, "not a whole number.", "Type a whole number.")
	case base < r.lo:
		return refuse(text, "less than "+r.field.Min+", the least this takes.", r.try()+r.meant(n, text))
	case base > r.hi:
		return refuse(text, "more than "+r.field.Max+", the most this takes.", r.try()+r.meant(n, text))
	}
	return nil
}

// meant asks, of a length without a unit that is outside the limits, whether the other system's
// was meant, where it would then be within them.
func (r *Range) meant(n shoptext.Number, text string) string {
	other := "mm"
	if r.bare.System() == units.MetricSystem {
		other = "in"
	}
	unit, _ := r.dim.Find(other)
	if r.dim != units.Span || n.Unit.Name != r.bare.Name || hasLetter(text) {
		return ""
	}
	if x := unit.ToBase(n.Value); x < r.lo || x > r.hi {
		return ""
	}
	return " Or was " + Short(Trimmed(text)) + " " + other + " meant? Then type the unit with it."
}

// hasLetter says whether a text carries a unit.
func hasLetter(text string) bool {
	for i := range len(text) {
		if c := Lower(text[i]); c >= 'a' && c <= 'z' || c == '"' || c == '\'' || c >= 0x80 {
			return true
		}
	}
	return false
}

func refuse(text, says, try string) *shoptext.ParseError {
	return &shoptext.ParseError{Says: "'" + Short(Trimmed(text)) + "' is " + says, Try: try}
}

// try suggests a value within the limits.
func (r *Range) try() string {
	switch low, high := r.field.Min, r.field.Max; {
	case high == "":
		return "Type " + low + " or more."
	case low == "":
		return "Type " + high + " or less."
	default:
		return "Type a value from " + low + " to " + high + "."
	}
}

// Choose finds an option by its key or label, case aside.
func (f *Field) Choose(text string) (key string, fault *shoptext.ParseError) {
	for _, o := range f.Options {
		if o.Is(text) {
			return o.Key, nil
		}
	}
	return "", f.NoChoice(text)
}

// NoChoice says that a text is none of the options.
func (f *Field) NoChoice(text string) *shoptext.ParseError {
	list := ""
	for i, o := range f.Options {
		if i > 0 {
			list += ", "
		}
		list += o.Key
	}
	return refuse(text, "not one of its choices.", "Choose one of: "+list+".")
}

// Rows checks a number of rows, or what they are called, against the limits.
func (f *Field) Rows(n, most int, what string) *shoptext.ParseError {
	switch {
	case n < f.MinRows:
		return &shoptext.ParseError{Try: "Add more.",
			Says: "has " + strconv.Itoa(n) + " " + what + "s where at least " + strconv.Itoa(f.MinRows) + " are needed."}
	case n > most:
		return &shoptext.ParseError{Try: "Take some out.",
			Says: "has " + strconv.Itoa(n) + " " + what + "s where " + strconv.Itoa(most) + " is the most."}
	}
	return nil
}

// Fits checks a text against the maximum length.
func (f *Field) Fits(text string, most int) *shoptext.ParseError {
	if len(text) <= most {
		return nil
	}
	return &shoptext.ParseError{Says: "is longer than " + strconv.Itoa(most) + " characters.", Try: "Shorten it."}
}

// Missing is the sentence for a field that has to be filled in.
func (f *Field) Missing() string { return f.Label + " is missing." + f.Like() }

// Like suggests an example.
func (f *Field) Like() string {
	if f.Example == "" {
		return " Fill it in."
	}
	return " Type it like " + f.Example + "."
}

// Says prefixes a problem with the field's label; "" if there is none.
func (f *Field) Says(fault *shoptext.ParseError) string {
	if fault == nil {
		return ""
	}
	sep := " "
	if fault.Says != "" && fault.Says[0] == '\'' {
		sep = ": "
	}
	return f.Label + sep + fault.Says + " " + fault.Try
}
