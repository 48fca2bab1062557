package shoptext

import "datumbook/calc/units"

// Pin writes the unit behind every bare term of a text, so that it reads the
// same whatever a bare number means later. It takes the text for one that was
// kept; whoever pins what is just being typed asks about a fraction first. What
// ParseKept refuses, a drill's name, degrees with minutes, and what would
// become too long stay as they are.
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

// isPlain tells a short decimal, which most of what is kept is: no need to read
// it to know what it is.
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
