package shoptext

import "datumbook/calc/units"

// Pin writes the unit behind every bare term of a text, so that it reads the
// same whatever a bare number means later. It takes the text for one that was
// kept; whoever pins what is just being typed asks about a fraction first. What
// ParseKept refuses, a drill's name, degrees with minutes, and what would
// become too long stay as they are.
func Pin(text string, dim units.Dim, unit units.Unit) string {
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
