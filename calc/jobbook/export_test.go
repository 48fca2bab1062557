package jobbook

// Rules lists every worksheet, input and choice that prefilling names.
func Rules() [][3]string {
	var out [][3]string
	for _, r := range rules {
		for _, s := range split(r.sheets, ' ') {
			out = append(out, [3]string{s, r.input, ""})
		}
	}
	for _, w := range words {
		for _, s := range split(w[0], ' ') {
			pairs := split(w[3], ' ')
			for i := 1; i < len(pairs); i += 2 {
				out = append(out, [3]string{s, w[1], pairs[i]})
			}
		}
	}
	return append(out, [3]string{"hole", "stock"}, [3]string{"daylight", "under"}, [3]string{"accept", "low"}, [3]string{"accept", "high"},
		[3]string{"tram", "readings"}, [3]string{"shim", "readings"}, [3]string{"repeat", "readings"}, [3]string{"shims", "owned"})
}

// IsIdle reports a word that tells nothing of what a question is about.
func IsIdle(w string) bool { return isIdle(w) }

// HasSynonyms reports a word that goes by other names too.
func HasSynonyms(w string) bool { return len(readGroups()[stem(w)]) > 0 }

// Stem takes a word's endings off.
func Stem(w string) string { return stem(w) }

// Misspelt counts the letters in which two words differ.
func Misspelt(a, b string, most int) int { return misspelt(a, b, most) }

// Fractions turns fractions said in words into written ones.
func Fractions(list []string, unit string) []string { return fractions(list, unit) }
