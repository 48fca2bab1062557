package store

import (
	"bytes"
	"slices"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// HalfPair gives the first half of a surrogate pair that stands alone in JSON text, as \ud83d; "" where
// there is none. It stands for no letter, and some replicas refuse the whole text for it.
func HalfPair(raw []byte) string {
	at := halfPair(raw)
	if at < 0 {
		return ""
	}
	return string(raw[at : at+escapeSize])
}

const escapeSize = len(`\u0000`)

func halfPair(raw []byte) int {
	for i := 0; i < len(raw); { // a last \ alone takes it one beyond the end
		k := bytes.IndexByte(raw[i:], '\\')
		if k < 0 {
			return -1
		}
		i += k
		switch first := escaped(raw[i:]); {
		case first < 0xd800 || first > 0xdfff:
			i += 2 // past a \\ too
		case first < 0xdc00 && escaped(raw[i+escapeSize:])&^0x3ff == 0xdc00:
			i += 2 * escapeSize
		default:
			return i
		}
	}
	return -1
}

// escaped reads \uXXXX at the beginning of a text; -1 where there is none.
func escaped(raw []byte) int {
	if len(raw) < escapeSize || raw[0] != '\\' || raw[1] != 'u' {
		return -1
	}
	n, err := strconv.ParseUint(string(raw[2:escapeSize]), 16, 16)
	if err != nil {
		return -1
	}
	return int(n)
}

// EachNumber calls fn with each number of JSON text and where it begins, until fn says no.
func EachNumber(raw []byte, fn func(at int, number []byte) bool) {
	for i := 0; i < len(raw); i++ {
		switch c := raw[i]; {
		case c == '"':
			for i++; i < len(raw) && raw[i] != '"'; i++ {
				if raw[i] == '\\' {
					i++
				}
			}
		case c == '-' || '0' <= c && c <= '9':
			begin := i
			for i < len(raw) && (raw[i] >= '0' && raw[i] <= '9' || strings.IndexByte("+-.eE", raw[i]) >= 0) {
				i++
			}
			if !fn(begin, raw[begin:i]) {
				return
			}
			i--
		}
	}
}

// BeyondDouble reports whether a number is greater than a double holds.
func BeyondDouble(number []byte) bool {
	if len(number) < 300 && !bytes.ContainsAny(number, "eE") {
		return false
	}
	_, err := strconv.ParseFloat(string(number), 64)
	return err != nil
}

// WellFormed gives a document's members in a form that every replica can read. What is refused today
// may be in a store that an earlier version wrote, where one such record would stop a cluster for
// good: half a surrogate pair, which means nothing, is given as the replacement character, and a
// number beyond a double as a text with the same digits. Members without such are given as they are.
func WellFormed(members []byte) []byte {
	if at := halfPair(members); at >= 0 {
		whole := make([]byte, 0, len(members))
		for ; at >= 0; at = halfPair(members) {
			whole = append(append(whole, members[:at]...), `\ufffd`...)
			members = members[at+escapeSize:]
		}
		members = append(whole, members...)
	}
	var out []byte
	done := 0
	EachNumber(members, func(at int, number []byte) bool {
		if BeyondDouble(number) {
			out = append(append(out, members[done:at]...), '"')
			out = append(append(out, number...), '"')
			done = at + len(number)
		}
		return true
	})
	if done == 0 {
		return members
	}
	return append(out, members[done:]...)
}

// sameMembers reports whether two bodies say the same. A replica may write the members in another
// order, numbers and texts in another way (1.50 as 1.5, 1e3 as 1000.0).
func sameMembers(a, b []byte) bool {
	return bytes.Equal(a, b) || bytes.Equal(canonical(a), canonical(b))
}

func canonical(members []byte) []byte {
	v := jsontext.Value(slices.Concat([]byte{'{'}, WellFormed(members), []byte{'}'}))
	err := v.Canonicalize(jsontext.AllowDuplicateNames(true), jsontext.AllowInvalidUTF8(true),
		jsontext.CanonicalizeRawInts(false)) // whole numbers keep all digits
	if err != nil {
		return members
	}
	return v
}
