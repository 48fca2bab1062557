package shoptext

import "datumbook/calc/units"

// Pin adds the unit to every bare term of a text, so that its meaning no longer depends on the unit
// of bare numbers. The text is read as stored; callers pinning typed text query fractions first.
// Text that ParseKept refuses, drill names, degrees with minutes, and text that would become too
// long stay unchanged.
func Pin(text string, dim units.Dim, unit units.Unit) string {
	if isPlain(text) && unit.Name != "" {
		return text + " " + unit.Name
	}
	p := parser{dim: dim, bare: unit}
	if _, f := p.read(text); f != nil || unit.Name == "" {
		return text
	}
	out, from := "", 0
	for _, end := range p.ends[:p.n] {
		if end > 0 {
			out += p.s[from:end] + " " + p.bare.Name
			from = end
		}
	}
	if out += p.s[from:]; from == 0 || len(out) > maxText {
		return text
	}
	return out
}

// isPlain reports a short decimal, the most common stored text: its value is not needed.
func isPlain(s string) bool {
	digits, points := 0, 0
	for i := range len(s) {
		switch c := s[i]; {
		case isDigit(c):
			digits++
		case c == '.':
			points++
		case c != '-' || i > 0:
			return false
		}
	}
	return digits > 0 && digits < 8 && points < 2
}
