package jobbook

import (
	"strconv"
	"strings"

	"datumbook/calc/shoptext"
	"datumbook/calc/thread"
	"datumbook/calc/units"
)

// Marks before the keys of sizes and threads in the index. They cannot be typed, so no word equals
// one.
const (
	sizeMark   = "\x02"
	threadMark = "\x03"
)

// chunks splits a text at spaces and separators. Parts of a number stay with it: 5/8-11, 8", #7,
// .750, 2026-03-09.
func chunks(s string) []string {
	var out []string
	for _, at := range spans(s) {
		out = append(out, lower(s[at[0]:at[1]]))
	}
	return out
}

// spans is where the chunks of a text begin and end.
func spans(s string) (out [][2]int) {
	start := -1
	for i := 0; i <= len(s); i++ {
		apart := i == len(s)
		if !apart {
			switch s[i] {
			case ' ', '\n', '\t', '\r', ',', ';', '(', ')', '[', ']', '!', '?', '=':
				apart = true
			}
		}
		switch {
		case !apart && start < 0:
			start = i
		case apart && start >= 0:
			if from, to := bareEnds(s, start, i); from < to {
				out = append(out, [2]int{from, to})
			}
			start = -1
		}
	}
	return out
}

// bareEnds trims points and colons at the ends of a chunk, and quotes at its front.
func bareEnds(s string, from, to int) (int, int) {
	for from < to && strings.IndexByte(".:/-", s[to-1]) >= 0 {
		to--
	}
	for from < to && (strings.IndexByte("\"':-+", s[from]) >= 0 ||
		s[from] == '.' && (to-from < 2 || !isDigit(s[from+1]))) {
		from++
	}
	if from < to && s[to-1] == '"' && !isDigit(s[from]) && s[from] != '.' {
		to--
	}
	return from, to
}

// lower turns capitals into small letters: ASCII, and the Latin, Greek and
// Cyrillic letters that stand a fixed step apart.
func lower(s string) string {
	plainASCII := true
	for i := range len(s) {
		plainASCII = plainASCII && s[i] < 0x80 && (s[i] < 'A' || s[i] > 'Z')
	}
	if plainASCII {
		return s
	}
	out := make([]rune, 0, len(s))
	for _, r := range s {
		switch {
		case 'A' <= r && r <= 'Z', 0xC0 <= r && r <= 0xDE && r != 0xD7, 0x391 <= r && r <= 0x3A9, 0x410 <= r && r <= 0x42F:
			r += 0x20
		case 0x400 <= r && r <= 0x40F:
			r += 0x50
		}
		out = append(out, r)
	}
	return string(out)
}

// parts are the runs of letters and digits in a chunk.
func parts(c string) []string {
	var out []string
	start := -1
	for i := 0; i <= len(c); i++ {
		word := i < len(c) && (isDigit(c[i]) || c[i] >= 0x80 || 'a' <= c[i] && c[i] <= 'z')
		switch {
		case word && start < 0:
			start = i
		case !word && start >= 0:
			out = append(out, c[start:i])
			start = -1
		}
	}
	return out
}

func sizeKey(l units.Length) string { return sizeMark + strconv.FormatInt(int64(l), 36) }

// threadKey is the same for every notation of a thread, whatever its class.
func threadKey(c string) (string, bool) {
	digit, dash := false, false
	for i := range len(c) {
		digit = digit || isDigit(c[i])
		dash = dash || c[i] == '-' || c[i] == 'x' || i == 0 && c[i] == 'm'
	}
	if !digit || !dash || len(c) > 24 {
		return "", false
	}
	t, err := thread.Parse(c)
	if err != nil {
		return "", false
	}
	t.Internal, t.External = "", ""
	return threadMark + t.String(), true
}

// size reads a chunk, with the chunks after it where they end in a unit, as a length: 8 in, 1 3/8
// in. used is how many chunks it took; bare reports a missing unit.
func size(list []string, unit string) (l units.Length, used int, bare bool) {
	dim := units.Span
	in := dim.Unit(system(unit))
	c := list[0]
	if c == "" || !isDigit(c[0]) && c[0] != '.' {
		return 0, 0, false
	}
	for used = 1; used <= min(3, len(list)); used++ {
		if used > 1 {
			if c += " " + list[used-1]; isDigit(list[used-1][0]) {
				continue
			}
			if _, ok := dim.Find(list[used-1]); !ok {
				break
			}
			if n, fault := shoptext.ParseKept(c, dim, in); fault == nil {
				return n.Length, used, false
			}
		}
	}
	n, fault := shoptext.ParseKept(list[0], dim, in)
	if fault != nil {
		return 0, 0, false
	}
	return n.Length, 1, shoptext.Pin(list[0], dim, in) != list[0]
}

// tokens returns every index key of a text: its words, the whole chunk where it is more than a
// word, sizes that carry a unit, threads.
func tokens(s string, add func(key string)) {
	list := chunks(s)
	for i, c := range list {
		add(c)
		if p := parts(c); len(p) > 1 || len(p) == 1 && p[0] != c {
			for _, w := range p {
				add(w)
			}
		}
		if key, ok := threadKey(c); ok {
			add(key)
		}
		if l, used, bare := size(list[i:], ""); used > 0 && !bare {
			add(sizeKey(l))
		}
	}
}
