package shoptext

// Small byte helpers: the strings and unicode packages would enlarge calc.wasm.

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func isLetter(c byte) bool { c |= 0x20; return 'a' <= c && c <= 'z' }

func allDigits(s string) bool {
	for i := range len(s) {
		if !isDigit(s[i]) {
			return false
		}
	}
	return s != ""
}

func trim(s string) string {
	for s != "" && s[0] == ' ' {
		s = s[1:]
	}
	for s != "" && s[len(s)-1] == ' ' {
		s = s[:len(s)-1]
	}
	return s
}

func hasPrefixFold(s, prefix string) bool {
	if len(s) < len(prefix) {
		return false
	}
	for i := range len(prefix) {
		if fold(s[i]) != fold(prefix[i]) {
			return false
		}
	}
	return true
}

func cutPrefixFold(s, prefix string) (string, bool) {
	if !hasPrefixFold(s, prefix) {
		return s, false
	}
	return s[len(prefix):], true
}

func cutSuffixFold(s, suffix string) (string, bool) {
	if len(s) < len(suffix) || !hasPrefixFold(s[len(s)-len(suffix):], suffix) {
		return s, false
	}
	return s[:len(s)-len(suffix)], true
}

func fold(c byte) byte {
	if 'A' <= c && c <= 'Z' {
		return c | 0x20
	}
	return c
}

// isClean reports that nothing needs replacing or folding: most typed text, and all limits of the
// worksheets.
func isClean(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' || i > 0 && s[i] == s[i-1] && (s[i] == ' ' || s[i] == '\'') {
			return false
		}
	}
	return true
}

// twins maps look-alike characters of phone keyboards and pasted text to plain ones.
var twins = []struct{ from, to string }{
	{"\u2212", "-"}, {"\u2013", "-"}, {"\u2014", "-"}, {"\u2011", "-"},
	{"\u2032", "'"}, {"\u2019", "'"}, {"\u2033", "\""}, {"\u201d", "\""}, {"''", "\""},
	{"\u2044", "/"}, {"\u2215", "/"}, {"\u201a", ","}, {"\u00a0", " "}, {"\u202f", " "}, {"\t", " "}, {"\n", " "}, {"\r", " "},
	{"\u00bd", " 1/2"}, {"\u00bc", " 1/4"}, {"\u00be", " 3/4"},
	{"\u215b", " 1/8"}, {"\u215c", " 3/8"}, {"\u215d", " 5/8"}, {"\u215e", " 7/8"},
}

// clean replaces look-alike signs by the plain ones, folds runs of spaces and
// trims the ends.
func clean(s string) string {
	if s = trim(s); isClean(s) {
		return s
	}
	out := make([]byte, 0, len(s))
scan:
	for i := 0; i < len(s); {
		for _, t := range twins {
			if len(s)-i >= len(t.from) && s[i:i+len(t.from)] == t.from {
				out = append(out, t.to...)
				i += len(t.from)
				continue scan
			}
		}
		out = append(out, s[i])
		i++
	}
	folded := out[:0]
	for _, c := range out {
		if c == ' ' && (len(folded) == 0 || folded[len(folded)-1] == ' ') {
			continue
		}
		folded = append(folded, c)
	}
	return trim(string(folded))
}

// point writes decimal commas as points, as in 12,5 and 0,125. One before exactly three figures may
// mark thousands, 1,250: it stays, and is refused. A number with two marks has no decimal comma.
func point(s string) string {
	for i := range len(s) {
		if s[i] == ',' && isDecimal(s, i) {
			b := []byte(s)
			b[i] = '.'
			s = string(b)
		}
	}
	return s
}

func isDecimal(s string, comma int) bool {
	from, to, zero := comma-1, comma+1, true
	for from >= 0 && isDigit(s[from]) {
		zero = zero && s[from] == '0'
		from--
	}
	for to < len(s) && isDigit(s[to]) {
		to++
	}
	thousands := to-comma == 4 && !zero && comma-from <= 4
	return to-comma > 1 && !thousands && (from < 0 || !isMark(s[from])) && (to == len(s) || !isMark(s[to]))
}

func isMark(c byte) bool { return c == ',' || c == '.' }
