package field

// Byte helpers for typed text: the strings package's, with all of Unicode, are larger.

// Trimmed cuts the spaces at both ends.
func Trimmed(s string) string {
	for s != "" && IsSpace(s[0]) {
		s = s[1:]
	}
	for s != "" && IsSpace(s[len(s)-1]) {
		s = s[:len(s)-1]
	}
	return s
}

// IsSpace tells a space, a tab or the end of a line.
func IsSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }

// Short truncates typed text before it is quoted back.
func Short(s string) string {
	for i := range s {
		if i >= 40 {
			return s[:i] + "..."
		}
	}
	return s
}

// Is compares a text with an option's key or label, case aside.
func (o Option) Is(text string) bool {
	text = Trimmed(text)
	return foldEqual(text, o.Key) || foldEqual(text, o.Label)
}

func foldEqual(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range len(a) {
		if Lower(a[i]) != Lower(b[i]) {
			return false
		}
	}
	return true
}

// Lower returns the lower case of a letter.
func Lower(c byte) byte {
	if 'A' <= c && c <= 'Z' {
		return c + 'a' - 'A'
	}
	return c
}
