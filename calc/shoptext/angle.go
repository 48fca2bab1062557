package shoptext

import "datumbook/calc/units"

// parseDMS reads degrees, minutes and seconds: 14d2'10", 14:02:10, 14 2 10,
// 14°2'. ok is false where the text is not of that form; a single number with
// or without a unit is left to the common parser.
func parseDMS(s string) (n Number, f *ParseError, ok bool) {
	sign := 1.0
	rest := s
	if rest[0] == '-' || rest[0] == '+' {
		if rest[0] == '-' {
			sign = -1
		}
		rest = trim(rest[1:])
	}
	var part [3]float64
	var count int
	note := ""
	for rest != "" {
		p := parser{s: rest, shown: s, dim: units.None}
		whole, digits, fault := p.digits()
		if fault != nil || digits == 0 && p.peek() != '.' {
			return n, nil, false
		}
		t := term{num: whole, den: 1}
		if p.peek() == '.' {
			if t, fault = p.decimal(whole, digits); fault != nil {
				return n, nil, false
			}
		}
		if count == 3 {
			return n, &ParseError{"'" + s + "' has more than degrees, minutes and seconds.", "Type it like 14d2'10\"."}, false
		}
		part[count] = float64(t.num) / float64(t.den)
		if count > 0 && part[count] >= 60 {
			note = "minutes or seconds of 60 and more were added up"
		}
		rest = rest[p.at:]
		if count < 2 && t.den > 1 && trim(rest) != "" && count > 0 {
			// 14 2.5 10: only the last part may have decimals
			return n, nil, false
		}
		mark, width := dmsMark(rest)
		if width == 0 && trim(rest) != "" {
			return n, nil, false
		}
		if mark >= 0 && mark != count {
			return n, nil, false
		}
		count++
		rest = trim(rest[width:])
	}
	if count < 2 {
		return n, nil, false
	}
	deg := part[0] + part[1]/60 + part[2]/3600
	return Number{Value: sign * deg, Unit: units.Angle.Unit(units.InchSystem), Note: note}, nil, true
}

// dmsMark finds the separator of two parts: which part it closes (-1 if the mark does not say) and
// its length in bytes.
func dmsMark(s string) (part, width int) {
	if s == "" {
		return -1, 0
	}
	switch s[0] {
	case 'd', 'D':
		return 0, 1
	case '\'':
		return 1, 1
	case '"':
		return 2, 1
	case ':', ' ':
		return -1, 1
	}
	if hasPrefixFold(s, "°") {
		return 0, len("°")
	}
	return -1, 0
}
