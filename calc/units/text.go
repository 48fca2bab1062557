package units

// Small helpers for typed text. They know ASCII letters only, which is all that designations and
// units are made of: the strings package's Unicode folding would add some kilobytes to calc.wasm.

// Upper gives s with its ASCII letters in capitals.
func Upper(s string) string { return cased(s, 'a', 'z') }

// Lower gives s with its ASCII letters in lower case.
func Lower(s string) string { return cased(s, 'A', 'Z') }

// cased changes the case of the letters from first to last.
func cased(s string, first, last byte) string {
	b := []byte(s)
	for i, c := range b {
		if first <= c && c <= last {
			b[i] = c ^ 0x20
		}
	}
	return string(b)
}

// Trim cuts white space off both ends.
func Trim(s string) string {
	for s != "" && white(s[0]) {
		s = s[1:]
	}
	for s != "" && white(s[len(s)-1]) {
		s = s[:len(s)-1]
	}
	return s
}

func white(c byte) bool { return c == ' ' || '\t' <= c && c <= '\r' }
