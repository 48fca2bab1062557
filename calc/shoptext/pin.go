package shoptext

import "datumbook/calc/units"

// Pin writes the unit behind every bare term of a text, so that it reads the
// same whatever a bare number means later. What Parse refuses, a drill's name,
// degrees with minutes, and what would become too long stay as they are.
func Pin(text string, dim units.Dim, unit units.Unit) string {
	if _, f := Parse(text, dim, unit); f != nil || unit.Name == "" {
		return text
	}
	s := clean(text)
	if _, ok := parseDrill(s); ok && dim == units.Span {
		return text
	}
	if dim == units.Angle {
		if _, _, ok := parseDMS(s); ok {
			return text
		}
	}
	p := parser{s: s, shown: text, dim: dim, bare: unit}
	if _, f := p.sum(); f != nil {
		return text
	}
	out, from := "", 0
	for _, end := range p.ends[:p.n] {
		if end > 0 {
			out += s[from:end] + " " + p.bare.Name
			from = end
		}
	}
	if out += s[from:]; from == 0 || len(out) > maxText {
		return text
	}
	return out
}
