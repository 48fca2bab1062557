package worksheet

import "datumbook/calc/field"

// Capital writes a name as the first word of a headline.
func Capital(name string) string {
	if name != "" && name[0] >= 'a' && name[0] <= 'z' {
		return string(name[0]-'a'+'A') + name[1:]
	}
	return name
}

// plainText turns the control characters with which inputs are packed for the phone into spaces, so
// that pasted ones mean the same everywhere.
func plainText(s string) string {
	for i := range len(s) {
		if s[i] == 0x1e || s[i] == 0x1f {
			b := []byte(s)
			for j := i; j < len(b); j++ {
				if b[j] == 0x1e || b[j] == 0x1f {
					b[j] = ' '
				}
			}
			return string(b)
		}
	}
	return s
}

// split cuts a text at a separator and at new lines and semicolons, and drops
// empty parts.
func split(s string, sep byte) []string {
	var out []string
	start := 0
	for i := 0; i <= len(s); i++ {
		if i == len(s) || s[i] == sep || s[i] == ';' || s[i] == '\n' {
			if part := field.Trimmed(s[start:i]); part != "" {
				out = append(out, part)
			}
			start = i + 1
		}
	}
	return out
}

// splitCells splits a row at its commas and keeps empty cells, appending to out.
func splitCells(out []string, s string) []string {
	start := 0
	for i := 0; i <= len(s); i++ {
		if i == len(s) || s[i] == ',' {
			out = append(out, field.Trimmed(s[start:i]))
			start = i + 1
		}
	}
	return out
}

// words cuts a text at its spaces; a word that does not begin a number (a unit,
// a fraction of a mixed number) stays with the number before it.
func words(s string) []string {
	var out []string
	for _, w := range split(spaced(s), ',') {
		c := w[0]
		starts := c >= '0' && c <= '9' || c == '.' || c == '-' || c == '+' || c == '#'
		if len(out) > 0 && (!starts || hasSlash(w) && !hasSlash(out[len(out)-1]) && wholeNumber(out[len(out)-1])) {
			out[len(out)-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

func spaced(s string) string {
	b := []byte(s)
	for i, c := range b {
		if field.IsSpace(c) {
			b[i] = ','
		}
	}
	return string(b)
}

func hasSlash(s string) bool {
	for i := range len(s) {
		if s[i] == '/' {
			return true
		}
	}
	return false
}

func wholeNumber(s string) bool {
	for i := range len(s) {
		if (s[i] < '0' || s[i] > '9') && (i > 0 || s[i] != '-') {
			return false
		}
	}
	return s != ""
}

// lastUnit gives the unit behind the last number where no other part carries
// one, else "".
func lastUnit(parts []string) string {
	if len(parts) < 2 {
		return ""
	}
	for _, p := range parts[:len(parts)-1] {
		if unitPart(p) != "" {
			return ""
		}
	}
	return unitPart(parts[len(parts)-1])
}

// unitPart gives what follows the digits of a number.
func unitPart(s string) string {
	i := len(s)
	for i > 0 {
		c := s[i-1]
		if c >= '0' && c <= '9' && !unitDigit(s, i-1) || c == '.' && i < len(s) && s[i] >= '0' && s[i] <= '9' || c == '-' && i == 1 {
			break
		}
		i--
	}
	return field.Trimmed(s[i:])
}

// unitDigit says whether the digit at i belongs to a unit such as in3/min.
func unitDigit(s string, i int) bool {
	return i > 0 && field.Lower(s[i-1]) >= 'a' && field.Lower(s[i-1]) <= 'z'
}
