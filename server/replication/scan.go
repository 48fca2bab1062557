package replication

import (
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// maxDepth is how deep JSON may nest.
const maxDepth = 500

// errJSON marks a body that is not JSON or not of the shape asked for.
type errJSON struct{ says string }

func (e errJSON) Error() string { return e.says }

func notJSON(format string, args ...any) error { return errJSON{fmt.Sprintf(format, args...)} }

// scan reads JSON from a stream and copies out what is wanted, byte for byte, checking it on the way. After an error
// everything returns it again.
type scan struct {
	r    io.Reader
	buf  []byte
	pos  int
	end  int
	read int64 // bytes before buf
	max  int   // longest that what is copied may grow
	err  error
}

func newScan(r io.Reader) *scan { return &scan{r: r, buf: make([]byte, 32<<10), max: maxDoc} }

// fits refuses to copy on beyond the limit, however the value goes on.
func (s *scan) fits(dst []byte) error {
	if len(dst) > s.max && s.err == nil {
		s.err = errTooLarge(maxDoc)
	}
	return s.err
}

func (s *scan) fail(format string, args ...any) error {
	if s.err == nil {
		s.err = notJSON("invalid JSON at byte %d: %s", s.read+int64(s.pos), fmt.Sprintf(format, args...))
	}
	return s.err
}

// fill gets more bytes once all are used up; false at the end or after an error.
func (s *scan) fill() bool {
	if s.err != nil {
		return false
	}
	s.read += int64(s.end)
	s.pos, s.end = 0, 0
	for range 100 {
		n, err := s.r.Read(s.buf)
		s.end = n
		if n > 0 {
			return true // an error comes again with the next read
		}
		if err == io.EOF {
			return false
		}
		if err != nil {
			s.err = err
			return false
		}
	}
	s.err = io.ErrNoProgress
	return false
}

// byte looks at the next byte, 0 at the end.
func (s *scan) byte() byte {
	if s.pos == s.end && !s.fill() {
		return 0
	}
	return s.buf[s.pos]
}

// next looks at the next byte that is not white space, 0 at the end.
func (s *scan) next() byte {
	for {
		switch c := s.byte(); c {
		case ' ', '\t', '\n', '\r':
			s.pos++
		default:
			return c
		}
	}
}

// take goes past the byte c, which must come next but for white space.
func (s *scan) take(c byte) error {
	if got := s.next(); got != c || s.err != nil {
		return s.unexpected(got, fmt.Sprintf("%q", c))
	}
	s.pos++
	return nil
}

func (s *scan) unexpected(got byte, wanted string) error {
	if s.err != nil {
		return s.err
	}
	if s.pos == s.end {
		return s.fail("it ends where %s should come", wanted)
	}
	return s.fail("%q where %s should come", got, wanted)
}

// eof makes sure that nothing but white space follows.
func (s *scan) eof() error {
	if c := s.next(); s.err != nil || s.pos != s.end {
		return s.unexpected(c, "the end")
	}
	return nil
}

// members walks over an object: fn is called before each value with the raw key and must consume the value.
func (s *scan) members(fn func(key []byte) error) error {
	if err := s.take('{'); err != nil {
		return err
	}
	if s.next() == '}' {
		s.pos++
		return nil
	}
	var key []byte
	for {
		var err error
		if s.next() != '"' {
			return s.unexpected(s.byte(), "a name in quotes")
		}
		if key, err = s.string(key[:0]); err != nil {
			return err
		}
		if err := s.take(':'); err != nil {
			return err
		}
		s.next()
		if err := fn(key); err != nil {
			return err
		}
		switch c := s.next(); c {
		case ',':
			s.pos++
		case '}':
			s.pos++
			return nil
		default:
			return s.unexpected(c, "a comma or }")
		}
	}
}

// items walks over an array: fn must consume each value.
func (s *scan) items(fn func() error) error {
	if err := s.take('['); err != nil {
		return err
	}
	if s.next() == ']' {
		s.pos++
		return nil
	}
	for {
		s.next()
		if err := fn(); err != nil {
			return err
		}
		switch c := s.next(); c {
		case ',':
			s.pos++
		case ']':
			s.pos++
			return nil
		default:
			return s.unexpected(c, "a comma or ]")
		}
	}
}

// string appends a string as it was sent, with its quotes.
func (s *scan) string(dst []byte) ([]byte, error) {
	if c := s.byte(); c != '"' {
		return dst, s.unexpected(c, "a string")
	}
	dst = append(dst, '"')
	s.pos++
	for {
		if s.pos == s.end && !s.fill() {
			return dst, s.unexpected(0, "the end of a string")
		}
		i := s.pos
		for i < s.end && s.buf[i] != '"' && s.buf[i] != '\\' && s.buf[i] >= ' ' {
			i++
		}
		dst = append(dst, s.buf[s.pos:i]...)
		s.pos = i
		if err := s.fits(dst); err != nil {
			return dst, err
		}
		if i == s.end {
			continue
		}
		switch c := s.buf[i]; {
		case c == '"':
			s.pos++
			return append(dst, '"'), nil
		case c < ' ':
			return dst, s.fail("a control character inside a string")
		}
		var err error
		if dst, err = s.escape(dst); err != nil {
			return dst, err
		}
	}
}

// escape appends one escape sequence as it was sent.
func (s *scan) escape(dst []byte) ([]byte, error) {
	dst = append(dst, '\\')
	s.pos++
	c := s.byte()
	s.pos = min(s.pos+1, s.end)
	switch c {
	case '"', '\\', '/', 'b', 'f', 'n', 'r', 't':
		return append(dst, c), s.err
	case 'u':
		dst = append(dst, 'u')
		for range 4 {
			d := s.byte()
			if !(d >= '0' && d <= '9' || d >= 'a' && d <= 'f' || d >= 'A' && d <= 'F') {
				return dst, s.unexpected(d, "a hexadecimal digit")
			}
			dst = append(dst, d)
			s.pos++
		}
		return dst, nil
	default:
		return dst, s.fail("an unknown escape in a string")
	}
}

// value appends any value as it was sent.
func (s *scan) value(dst []byte, depth int) ([]byte, error) {
	if depth > maxDepth {
		return dst, s.fail("nested deeper than %d", maxDepth)
	}
	switch c := s.next(); {
	case c == '"':
		return s.string(dst)
	case c == '{' || c == '[':
		return s.nested(dst, depth)
	case c == '-' || c >= '0' && c <= '9':
		return s.number(dst)
	case c == 't':
		return s.word(dst, "true")
	case c == 'f':
		return s.word(dst, "false")
	case c == 'n':
		return s.word(dst, "null")
	default:
		return dst, s.unexpected(c, "a value")
	}
}

func (s *scan) nested(dst []byte, depth int) ([]byte, error) {
	open := s.byte()
	dst = append(dst, open)
	first := true
	add := func() error {
		if !first {
			dst = append(dst, ',')
		}
		first = false
		return s.fits(dst)
	}
	var err error
	if open == '[' {
		err = s.items(func() error {
			if err := add(); err != nil {
				return err
			}
			var err error
			dst, err = s.value(dst, depth+1)
			return err
		})
		return append(dst, ']'), err
	}
	err = s.members(func(key []byte) error {
		if err := add(); err != nil {
			return err
		}
		dst = append(append(dst, key...), ':')
		var err error
		dst, err = s.value(dst, depth+1)
		return err
	})
	return append(dst, '}'), err
}

func (s *scan) word(dst []byte, word string) ([]byte, error) {
	for i := range len(word) {
		if c := s.byte(); c != word[i] {
			return dst, s.unexpected(c, word)
		}
		s.pos++
	}
	return append(dst, word...), nil
}

// number appends a number as it was sent: every digit is kept.
func (s *scan) number(dst []byte) ([]byte, error) {
	take := func() { dst = append(dst, s.buf[s.pos]); s.pos++ }
	digits := func() error {
		if c := s.byte(); c < '0' || c > '9' {
			return s.unexpected(c, "a digit")
		}
		for c := s.byte(); c >= '0' && c <= '9'; c = s.byte() {
			take()
		}
		return s.fits(dst)
	}
	if s.byte() == '-' {
		take()
	}
	if s.byte() == '0' {
		take()
	} else if err := digits(); err != nil {
		return dst, err
	}
	if s.byte() == '.' {
		take()
		if err := digits(); err != nil {
			return dst, err
		}
	}
	if c := s.byte(); c == 'e' || c == 'E' {
		take()
		if c := s.byte(); c == '+' || c == '-' {
			take()
		}
		if err := digits(); err != nil {
			return dst, err
		}
	}
	return dst, s.err
}

// text reads a string and gives what it means.
func (s *scan) text() (string, error) {
	raw, err := s.string(nil)
	if err != nil {
		return "", err
	}
	return unquote(raw)
}

var errUTF8 = errJSON{"invalid JSON: a string is not UTF-8"}

// unquote gives the meaning of a raw string that was scanned already.
func unquote(raw []byte) (string, error) {
	plain := true
	for _, c := range raw {
		if c == '\\' {
			plain = false
			break
		}
	}
	if plain {
		if !utf8.Valid(raw) {
			return "", errUTF8
		}
		return string(raw[1 : len(raw)-1]), nil
	}
	var out string
	if err := decodeJSON(raw, &out); err != nil {
		return "", err
	}
	return out, nil
}

// isJSON reports whether an error is about the body's shape and not about reading it.
func isJSON(err error) bool {
	var e errJSON
	return errors.As(err, &e)
}
