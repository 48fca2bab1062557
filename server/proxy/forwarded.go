package proxy

import "strings"

// element is what one proxy says in a Forwarded header.
type element struct{ node, host, proto string }

func nodes(said []element) []string {
	out := make([]string, len(said))
	for i, e := range said {
		out[i] = e.node
	}
	return out
}

// forwarded reads Forwarded headers (RFC 7239, section 4): elements with commas between them, each of
// pairs with semicolons between them, each a name, = and a token or a quoted text. ok is false where
// they are not well formed: nobody can say then where one proxy's word ends and the next begins.
func forwarded(lines []string) (said []element, ok bool) {
	for _, line := range lines {
		for rest := line; ; {
			e, pairs, after, ok := readElement(rest)
			if !ok {
				return nil, false
			}
			if pairs > 0 { // empty ones are no one's: RFC 9110, section 5.6.1
				said = append(said, e)
			}
			if after == "" {
				break
			}
			rest = after[1:]
		}
	}
	return said, true
}

// readElement reads up to the next comma, or to the line's end, and counts the pairs.
func readElement(line string) (e element, pairs int, rest string, ok bool) {
	seen := map[string]bool{}
	for rest = line; ; {
		rest = strings.TrimLeft(rest, " \t")
		switch {
		case rest == "" || rest[0] == ',':
			return e, len(seen), rest, true
		case rest[0] == ';':
			rest = rest[1:]
			continue
		}
		var name, value string
		if name, value, rest, ok = readPair(rest); !ok || seen[name] {
			return e, 0, "", false // the standard allows each name once
		}
		seen[name] = true
		switch name {
		case "for":
			e.node = value
		case "host":
			e.host = value
		case "proto":
			e.proto = value
		}
	}
}

// readPair reads one pair and what ends it, but for the comma.
func readPair(text string) (name, value, rest string, ok bool) {
	name, rest, found := strings.Cut(text, "=")
	if !found || !isToken(name) {
		return "", "", "", false
	}
	if strings.HasPrefix(rest, `"`) {
		value, rest, ok = readQuoted(rest[1:])
	} else {
		end := strings.IndexAny(rest, ",; \t")
		if end < 0 {
			end = len(rest)
		}
		value, rest = rest[:end], rest[end:]
		// Some proxies leave the quotes out round what is no token, an address with its port.
		ok = value != "" && !strings.Contains(value, `"`)
	}
	rest = strings.TrimLeft(rest, " \t")
	return strings.ToLower(name), value, rest, ok && (rest == "" || rest[0] == ',' || rest[0] == ';')
}

// readQuoted reads a quoted text (RFC 9110, section 5.6.4) after its first quote.
func readQuoted(text string) (value, rest string, ok bool) {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		switch c := text[i]; c {
		case '"':
			return b.String(), text[i+1:], true
		case '\\':
			if i++; i == len(text) {
				return "", "", false
			}
			b.WriteByte(text[i])
		default:
			b.WriteByte(c)
		}
	}
	return "", "", false
}

// isToken reports whether a text is a token (RFC 9110, section 5.6.2).
func isToken(s string) bool {
	for _, c := range []byte(s) {
		letter := 'a' <= c|0x20 && c|0x20 <= 'z' || '0' <= c && c <= '9'
		if !letter && !strings.ContainsRune("!#$%&'*+-.^_`|~", rune(c)) {
			return false
		}
	}
	return s != ""
}
