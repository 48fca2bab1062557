package registry

import "datumbook/calc/worksheet"

// Separators of the packed form in which the phone passes inputs: they cannot be typed.
const (
	afterKey  = '\x1f'
	afterText = '\x1e'
)

// Unpack reads inputs packed as key, unit separator, text, record separator;
// the separator after the last text may be left out.
func Unpack(packed string) []worksheet.Pair {
	var out []worksheet.Pair
	var p worksheet.Pair
	start := 0
	for i := range len(packed) {
		switch packed[i] {
		case afterKey:
			p.Key = packed[start:i]
			start = i + 1
		case afterText:
			p.Text = packed[start:i]
			start = i + 1
			out = append(out, p)
			p = worksheet.Pair{}
		}
	}
	if p.Key != "" {
		p.Text = packed[start:]
		out = append(out, p)
	}
	return out
}

// Pack is the inverse of Unpack. A separator inside a text becomes a space, as
// it does in every worksheet.
func Pack(pairs []worksheet.Pair) string {
	var b []byte
	for _, p := range pairs {
		b = append(b, p.Key...)
		b = append(b, afterKey)
		at := len(b)
		b = append(b, p.Text...)
		for i := at; i < len(b); i++ {
			if b[i] == afterKey || b[i] == afterText {
				b[i] = ' '
			}
		}
		b = append(b, afterText)
	}
	return string(b)
}
