package jobbook

import (
	"strconv"
	"unicode/utf8"
)

// Limits of the reader. A document is small; the rest is for inline pictures and for a whole book
// in one call.
const (
	maxBytes = 256 << 20 // bytes of one JSON text
	maxDepth = 100       // objects and arrays within each other
	inCall   = 2         // how deep documents stand in a request
)

// The kinds of a node.
const (
	null   byte = 0
	truth  byte = 't' // text is "true" or "false"
	number byte = '0' // text is the number as it was sent
	text   byte = 's' // text is the decoded string
	array  byte = 'a'
	object byte = 'o' // list[i] belongs to keys[i]
	raw    byte = 'r' // nested too deep to be read; text is the JSON
)

// node is one JSON value. Numbers keep every digit they were sent with.
type node struct {
	kind byte
	odd  bool // something in it is raw, or stands twice
	text string
	keys []string
	list []*node
}

// Builders. They are not inlined: at their many calls that would enlarge calc.wasm more than all
// the rest.

//go:noinline
func str(s string) *node { return &node{kind: text, text: s} }

//go:noinline
func newObject() *node { return &node{kind: object} }

//go:noinline
func newArray() *node { return &node{kind: array} }

//go:noinline
func flag(b bool) *node {
	if b {
		return &node{kind: truth, text: "true"}
	}
	return &node{kind: truth, text: "false"}
}

//go:noinline
func whole(n int) *node { return &node{kind: number, text: strconv.Itoa(n)} }

//go:noinline
func strs(list []string) *node {
	out := newArray()
	for _, s := range list {
		out.add(str(s))
	}
	return out
}

// add puts an element at the end of an array.
//
//go:noinline
func (n *node) add(v *node) { n.list = append(n.list, v) }

// put adds a member, and gives the object for the next.
//
//go:noinline
func (n *node) put(key string, v *node) *node {
	n.keys = append(n.keys, key)
	n.list = append(n.list, v)
	return n
}

// putStr adds a text.
//
//go:noinline
func (n *node) putStr(key, s string) *node { return n.put(key, str(s)) }

// putText adds a text unless it is empty.
//
//go:noinline
func (n *node) putText(key, s string) *node {
	if s == "" {
		return n
	}
	return n.putStr(key, s)
}

// putYes adds a true.
//
//go:noinline
func (n *node) putYes(key string, is bool) *node {
	if !is {
		return n
	}
	return n.put(key, flag(true))
}

// get finds a member; a missing one is a null node.
//
//go:noinline
func (n *node) get(key string) *node {
	if n.kind == object {
		for i := range n.keys {
			if n.keys[i] == key {
				return n.list[i]
			}
		}
	}
	return none
}

var none = &node{}

// str gives a member's text, or "".
//
//go:noinline
func (n *node) str(key string) string {
	if m := n.get(key); m.kind == text {
		return m.text
	}
	return ""
}

func (n *node) yes() bool { return n.kind == truth && n.text == "true" }

// reader parses RFC 8259 JSON.
type reader struct {
	s     string
	at    int
	depth int
	limit int // of the depth
	bad   string
	room  []node // preallocated for the next values: single allocations take longer than parsing
	like  *node  // the object read last: rows of a table share its keys
}

// parse reads one JSON text; problem is a sentence for the reader, or "".
func parse(b []byte) (n *node, problem string) {
	n, problem = parseTo(maxDepth, b)
	if n.odd {
		return none, unreadJSON
	}
	return n, problem
}

// unreadJSON is the problem of a text that is kept as it is, and not read.
const unreadJSON = "this cannot be read: it is nested too deep, or a member stands in it twice"

// parseTo reads a text in which what is nested deeper than the limit stays raw.
func parseTo(limit int, b []byte) (n *node, problem string) {
	if len(b) > maxBytes {
		return none, "this is longer than " + strconv.Itoa(maxBytes>>20) + " MB; hand it over in parts"
	}
	r := reading(string(b))
	r.limit = limit
	n = r.value()
	r.space()
	if r.bad == "" && r.at < len(r.s) {
		r.fail("something follows the end")
	}
	if r.bad != "" {
		return none, "this is not JSON that can be read: " + r.bad
	}
	return n, ""
}

// node makes a value.
func (r *reader) node(kind byte, s string) *node {
	if len(r.room) == 0 {
		r.room = make([]node, min(32, 4+len(r.s)>>4))
	}
	n := &r.room[0]
	r.room = r.room[1:]
	n.kind, n.text = kind, s
	return n
}

// reading begins to read a text.
func reading(s string) reader { return reader{s: s, like: none, limit: maxDepth} }

func (r *reader) fail(what string) {
	if r.bad == "" {
		r.bad = what + " at byte " + strconv.Itoa(r.at)
	}
}

func (r *reader) space() {
	for r.at < len(r.s) && (r.s[r.at] == ' ' || r.s[r.at] == '\n' || r.s[r.at] == '\r' || r.s[r.at] == '\t') {
		r.at++
	}
}

// take reads one byte if it is c.
func (r *reader) take(c byte) bool {
	if r.at < len(r.s) && r.s[r.at] == c {
		r.at++
		return true
	}
	return false
}

func (r *reader) value() *node {
	r.space()
	if r.at >= len(r.s) {
		r.fail("it ends too early")
		return none
	}
	switch c := r.s[r.at]; {
	case c == '"':
		return r.node(text, r.string())
	case c == '{' || c == '[':
		return r.nest(c)
	case c == '-' || isDigit(c):
		return r.node(number, r.number())
	}
	for _, w := range literals {
		if len(r.s)-r.at >= len(w.text) && r.s[r.at:r.at+len(w.text)] == w.text {
			r.at += len(w.text)
			if w.kind == null {
				return none
			}
			return w
		}
	}
	r.fail("a value is missing")
	return none
}

var literals = []*node{{kind: truth, text: "true"}, {kind: truth, text: "false"}, {kind: null, text: "null"}}

func (r *reader) nest(open byte) *node {
	if r.depth >= r.limit {
		return r.skip()
	}
	r.at++
	r.depth++
	out := r.node(array, "")
	end := byte(']')
	if open == '{' {
		out.kind, end = object, '}'
		out.keys = make([]string, 0, len(r.like.keys))
		out.list = make([]*node, 0, len(r.like.keys))
	}
	r.space()
	for r.bad == "" && !r.take(end) {
		if len(out.list) > 0 && !r.take(',') {
			r.fail("a comma is missing")
			break
		}
		if out.kind == object {
			key := r.name()
			if r.bad != "" {
				break
			}
			out.keys = append(out.keys, key)
		}
		v := r.value()
		out.odd = out.odd || v.odd
		out.list = append(out.list, v)
		r.space()
	}
	if out.kind == object && r.bad == "" {
		if n := len(out.keys); same(out.keys, r.like.keys) {
			out.keys = r.like.keys[:n:n] // once for all rows
		} else if twice(out.keys) {
			out.odd = true
		}
		if !out.odd {
			r.like = out
		}
	}
	r.depth--
	return out
}

// name reads a member's name and the colon after it.
func (r *reader) name() string {
	r.space()
	if r.at >= len(r.s) || r.s[r.at] != '"' {
		r.fail("a member's name is missing")
		return ""
	}
	s := r.string()
	if r.space(); !r.take(':') {
		r.fail("a colon is missing")
	}
	return s
}

// skip reads an object or array without building it, and without a call for each level: however
// deep it is, it stays as it was sent, and what stands beside it is read.
func (r *reader) skip() *node {
	start := r.at
	var ends []byte // what closes those that are open
	for r.bad == "" {
		r.space()
		if r.at < len(r.s) && (r.s[r.at] == '{' || r.s[r.at] == '[') {
			end := r.s[r.at] + 2 // in ASCII
			ends = append(ends, end)
			r.at++
			if r.space(); r.at >= len(r.s) || r.s[r.at] != end {
				if end == '}' {
					r.name()
				}
				continue
			}
		} else {
			r.value()
		}
		for r.bad == "" {
			r.space()
			last := len(ends) - 1
			if r.take(ends[last]) {
				if ends = ends[:last]; last == 0 {
					n := r.node(raw, r.s[start:r.at])
					n.odd = true
					return n
				}
				continue
			}
			if !r.take(',') {
				r.fail("a comma is missing")
			} else if ends[last] == '}' {
				r.name()
			}
			break
		}
	}
	return none
}

func same(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// twice reports whether a name occurs twice.
func twice(keys []string) bool {
	if len(keys) < 2 {
		return false
	}
	if len(keys) > 12 {
		order := arrange(len(keys), func(a, b int) int { return compare(keys[a], keys[b]) })
		for i := 1; i < len(order); i++ {
			if keys[order[i]] == keys[order[i-1]] {
				return true
			}
		}
		return false
	}
	for i := range keys {
		for j := range i {
			if keys[i] == keys[j] {
				return true
			}
		}
	}
	return false
}

// number reads -?(0|[1-9][0-9]*)(.[0-9]+)?([eE][+-]?[0-9]+)?
func (r *reader) number() string {
	start := r.at
	r.take('-')
	if !r.take('0') {
		r.digits()
	}
	if r.take('.') {
		r.digits()
	}
	if r.take('e') || r.take('E') {
		if !r.take('+') {
			r.take('-')
		}
		r.digits()
	}
	return r.s[start:r.at]
}

func (r *reader) digits() {
	start := r.at
	for r.at < len(r.s) && isDigit(r.s[r.at]) {
		r.at++
	}
	if r.at == start {
		r.fail("a digit is missing")
	}
}

func (r *reader) string() string {
	r.at++
	start := r.at
	for r.at < len(r.s) {
		switch c := r.s[r.at]; {
		case c == '"':
			s := r.s[start:r.at]
			r.at++
			if !utf8.ValidString(s) {
				return string([]rune(s)) // invalid UTF-8 becomes U+FFFD
			}
			return s
		case c == '\\':
			return r.escaped(start)
		case c < 0x20:
			r.fail("a string holds a control character")
			return ""
		}
		r.at++
	}
	r.fail("a string has no end")
	return ""
}

// escaped reads a string that holds at least one backslash.
func (r *reader) escaped(start int) string {
	b := append([]byte(nil), r.s[start:r.at]...)
	for r.at < len(r.s) {
		c := r.s[r.at]
		r.at++
		switch {
		case c == '"':
			if !utf8.Valid(b) {
				return string([]rune(string(b)))
			}
			return string(b)
		case c < 0x20:
			r.fail("a string holds a control character")
			return ""
		case c != '\\':
			b = append(b, c)
			continue
		}
		if r.at >= len(r.s) {
			break
		}
		c = r.s[r.at]
		r.at++
		switch c {
		case '"', '\\', '/':
			b = append(b, c)
		case 'b':
			b = append(b, '\b')
		case 'f':
			b = append(b, '\f')
		case 'n':
			b = append(b, '\n')
		case 'r':
			b = append(b, '\r')
		case 't':
			b = append(b, '\t')
		case 'u':
			b = utf8.AppendRune(b, r.unicode())
		default:
			r.fail("a backslash is followed by something it cannot be")
			return ""
		}
	}
	r.fail("a string has no end")
	return ""
}

// unicode reads the digits after \u, and the second half of a pair.
func (r *reader) unicode() rune {
	first := r.hex4()
	if first < 0xD800 || first > 0xDFFF {
		return first
	}
	if first < 0xDC00 && len(r.s)-r.at >= 6 && r.s[r.at] == '\\' && r.s[r.at+1] == 'u' {
		back := r.at
		r.at += 2
		second := r.hex4()
		if second >= 0xDC00 && second <= 0xDFFF {
			return (first-0xD800)<<10 + (second - 0xDC00) + 0x10000
		}
		r.at = back
	}
	return utf8.RuneError // half a surrogate pair is invalid
}

func (r *reader) hex4() rune {
	if len(r.s)-r.at < 4 {
		r.fail("a \\u needs four digits")
		return 0
	}
	var v rune
	for range 4 {
		d, ok := hexDigit(r.s[r.at])
		if !ok {
			r.fail("a \\u needs four digits")
			return 0
		}
		v = v<<4 | rune(d)
		r.at++
	}
	return v
}

func hexDigit(c byte) (byte, bool) {
	switch {
	case isDigit(c):
		return c - '0', true
	case 'a' <= c|0x20 && c|0x20 <= 'f':
		return c | 0x20 - 'a' + 10, true
	}
	return 0, false
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
