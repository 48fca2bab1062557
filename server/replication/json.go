package replication

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"

	"datumbook/server/web"
	"datumbook/store"
)

// asSent takes JSON as it was sent: names may repeat, and UTF-8 is checked where a text is taken.
var asSent = []jsontext.Options{jsontext.AllowDuplicateNames(true), jsontext.AllowInvalidUTF8(true)}

// errJSON marks a body that is not JSON or not of the shape asked for.
type errJSON struct{ says string }

func (e errJSON) Error() string { return e.says }

func notJSON(format string, args ...any) error { return errJSON{fmt.Sprintf(format, args...)} }

// source reads JSON from a stream and copies values out byte for byte.
type source struct {
	dec    *jsontext.Decoder
	r      io.Reader
	unread []byte              // read before r
	left   int64               // bytes of r that the value being read may still take
	ended  bool                // r has no more
	seen   int64               // bytes read for the value being read
	grow   func(n int64) error // told of that, where the value is kept in memory; may be nil
}

func newSource(r io.Reader) *source {
	s := &source{r: bufio.NewReaderSize(r, 32<<10)}
	s.dec = jsontext.NewDecoder(s, asSent...)
	s.allow(maxDoc)
	return s
}

// allow lets the next value take n bytes, plus a little read-ahead of the decoder.
func (s *source) allow(n int64) { s.left, s.seen = n+mib, 0 }

// Read gives the stream to the decoder.
func (s *source) Read(p []byte) (int, error) {
	if len(s.unread) > 0 {
		n := copy(p, s.unread)
		s.unread = s.unread[n:]
		return n, nil
	}
	if s.left <= 0 {
		return 0, errTooLarge(maxSent)
	}
	n, err := s.r.Read(p[:min(int64(len(p)), s.left)])
	s.left -= int64(n)
	if s.seen += int64(n); s.grow != nil {
		if err := s.grow(s.seen); err != nil {
			return 0, err
		}
	}
	s.ended = err == io.EOF
	return n, err
}

// fail maps a decoder error to one of ours.
func (s *source) fail(err error) error {
	var e *jsontext.SyntacticError
	if errors.As(err, &e) {
		return notJSON("invalid JSON at byte %d: %v", e.ByteOffset, e.Err)
	}
	return err
}

// kind peeks at the next token: '{', '[', '"', '0', 't', 'f' or 'n'; 0 is an error, which the next
// read returns.
func (s *source) kind() jsontext.Kind { return s.dec.PeekKind() }

// lacks reports whether the next token is of another kind, or missing.
func (s *source) lacks(kind jsontext.Kind) bool {
	k := s.kind()
	nothing := s.ended && len(bytes.TrimSpace(s.dec.UnreadBuffer())) == 0
	return k != kind && (k != 0 || nothing)
}

// members iterates over an object: fn gets each name as it was sent and must consume the value.
func (s *source) members(fn func(name []byte) error) error {
	var name []byte
	return s.walk('{', func() error {
		raw, err := s.dec.ReadValue()
		if err != nil {
			return s.fail(err)
		}
		name = append(name[:0], raw...)
		return fn(name)
	})
}

// items iterates over an array: fn must consume each value.
func (s *source) items(fn func() error) error { return s.walk('[', fn) }

func (s *source) walk(open jsontext.Kind, fn func() error) error {
	t, err := s.dec.ReadToken()
	if err == nil && t.Kind() != open {
		err = notJSON("invalid JSON: %s where %s should come", t.Kind(), open)
	}
	if err != nil {
		return s.fail(err)
	}
	for {
		switch s.kind() {
		case 0, '}', ']':
			_, err := s.dec.ReadToken()
			return s.fail(err)
		}
		if err := fn(); err != nil {
			return err
		}
	}
}

// value appends any value as it was sent, without white space.
func (s *source) value(dst []byte) ([]byte, error) {
	s.allow(maxSent)
	raw, err := s.dec.ReadValue()
	switch {
	case err != nil:
		return dst, s.fail(err)
	case deep(raw):
		return dst, errDeep
	}
	begin := len(dst)
	dst = append(dst, raw...)
	if !bytes.ContainsAny(raw[:1], "{[") {
		return dst, nil // no white space inside
	}
	sent := jsontext.Value(dst[begin:])
	err = sent.Compact(asSent...)
	return dst[:begin+len(sent)], s.fail(err)
}

func (s *source) skip() error {
	_, err := s.value(nil)
	return err
}

var errDeep = errJSON{fmt.Sprintf("invalid JSON: nested deeper than %d", maxDepth)}

// check refuses what some replica could not keep: half a surrogate pair, numbers beyond a double, and
// numbers of so many digits that reading them costs more than sending them.
func check(raw []byte) (err error) {
	if half := store.HalfPair(raw); half != "" {
		return fmt.Errorf("its text has %s, half a letter of two parts (a surrogate pair that was cut apart): "+
			"take it out, or write the whole letter", half)
	}
	store.EachNumber(raw, func(_ int, number []byte) bool {
		switch {
		case len(number) > maxDigits:
			err = fmt.Errorf("the number %s... has %d digits and signs, and at most %d are taken: round it, or "+
				"write it as a text", number[:20], len(number), maxDigits)
		case store.BeyondDouble(number):
			err = fmt.Errorf("the number %s is beyond what a computer's number holds (1.8e308): "+
				"write it as a text", web.Shorten(string(number), 40))
		}
		return err == nil
	})
	return err
}

func deep(raw []byte) bool {
	if bytes.Count(raw, []byte("["))+bytes.Count(raw, []byte("{")) < maxDepth {
		return false
	}
	dec := jsontext.NewDecoder(bytes.NewReader(raw), asSent...)
	for dec.StackDepth() <= maxDepth {
		if _, err := dec.ReadToken(); err != nil {
			return false
		}
	}
	return true
}

// eof makes sure that nothing but white space follows.
func (s *source) eof() error {
	_, err := s.dec.ReadToken()
	switch {
	case errors.Is(err, io.EOF):
		return nil
	case err == nil:
		return notJSON("invalid JSON: something follows its end")
	}
	return s.fail(err)
}

// text reads a string and returns its decoded value.
func (s *source) text() (string, error) {
	s.allow(maxDoc)
	raw, err := s.dec.ReadValue()
	if err != nil {
		return "", s.fail(err)
	}
	return unquote(raw)
}

var (
	errUTF8 = errJSON{"invalid JSON: a string is not UTF-8"}
	errHalf = errJSON{`a text has half a letter of two parts (a surrogate pair that was cut apart, as \ud83d): ` +
		"take it out, or write the whole letter"}
)

// unquote decodes a string that was read already.
func unquote(raw []byte) (string, error) {
	if !utf8.Valid(raw) {
		return string(raw[1 : len(raw)-1]), errUTF8
	}
	if bytes.IndexByte(raw, '\\') < 0 {
		return string(raw[1 : len(raw)-1]), nil
	}
	text, _ := jsontext.AppendUnquote(nil, raw) // half a surrogate pair becomes U+FFFD
	if store.HalfPair(raw) != "" {
		return string(text), errHalf
	}
	return string(text), nil
}

var errBase64 = errJSON{"invalid JSON: an attachment's data is not base64"}

// base64 stream-decodes a base64 string, already peeked at, into w. The JSON decoder would hold it
// in memory whole, so it is bypassed and restarted behind the string at the same depth.
func (s *source) base64(w io.Writer) error {
	s.allow(maxRequest)
	grow := s.grow
	s.grow = nil // nothing of it is kept here
	defer func() { s.grow, s.seen = grow, 0 }()
	text := bytes.Clone(s.dec.UnreadBuffer())
	s.unread = append(text[bytes.IndexByte(text, '"')+1:], s.unread...)
	buf, out := make([]byte, 0, 32<<10), make([]byte, 24<<10)
	for ended, padded := false, false; !ended; {
		n, err := s.Read(buf[len(buf):cap(buf)])
		text := buf[:len(buf)+n]
		if end := bytes.IndexByte(text, '"'); end >= 0 {
			ended = true
			s.unread = slices.Concat(text[end+1:], s.unread)
			text = text[:end]
		} else if errors.Is(err, io.EOF) {
			return io.ErrUnexpectedEOF
		} else if err != nil {
			return err
		}
		if bytes.IndexByte(text, '\\') >= 0 { // only \/ makes sense in base64
			text = bytes.ReplaceAll(text, []byte(`\/`), []byte(`/`))
		}
		whole := len(text)
		if !ended {
			whole = len(bytes.TrimSuffix(text, []byte(`\`))) / 4 * 4
		}
		// The library skips line ends, which JSON does not allow in a string.
		if whole > 0 && padded || bytes.IndexByte(text, '\n') >= 0 || bytes.IndexByte(text, '\r') >= 0 {
			return errBase64
		}
		k, err := base64.StdEncoding.Strict().Decode(out, text[:whole])
		if err != nil {
			return errBase64
		}
		padded = padded || whole > 0 && text[whole-1] == '='
		if _, err := w.Write(out[:k]); err != nil {
			return err
		}
		buf = append(buf[:0], text[whole:]...)
	}
	return s.resume()
}

// resume brings a new decoder to the current position, with a string read as the value.
func (s *source) resume() error {
	var lead []byte
	tokens := 1
	for i := 1; i <= s.dec.StackDepth(); i++ {
		if kind, _ := s.dec.StackIndex(i); kind == '[' {
			lead = append(lead, '[')
			tokens++
		} else {
			lead = append(lead, `{"":`...)
			tokens += 2
		}
	}
	s.unread = slices.Concat(lead, []byte(`""`), s.unread)
	s.dec.Reset(s, asSent...)
	for range tokens {
		if _, err := s.dec.ReadToken(); err != nil {
			return s.fail(err)
		}
	}
	return nil
}

// isJSON reports whether an error is about the JSON and not about reading it.
func isJSON(err error) bool { return errors.As(err, new(errJSON)) }

// decodeJSON is for small bodies: it refuses mismatches and trailing data.
func decodeJSON(text []byte, v any) error {
	if err := json.Unmarshal(text, v); err != nil {
		return errJSON{"invalid JSON: " + strings.TrimPrefix(err.Error(), "json: ")}
	}
	return nil
}

// readAsked reads the body of a request to read, with the memory for what is made of it.
func readAsked(r *http.Request) ([]byte, error) {
	var text []byte
	for {
		text = slices.Grow(text, 32<<10)
		n, err := r.Body.Read(text[len(text):cap(text)])
		text = text[:len(text)+n]
		if hold := holdFor(r, 4*int64(len(text))); hold != nil {
			return nil, hold
		}
		if errors.Is(err, io.EOF) {
			return text, nil
		}
		if err != nil {
			return nil, err
		}
	}
}

// holdFor makes sure of memory for a request. Peers are trusted with it.
func holdFor(r *http.Request, n int64) error {
	if isPeer(r) {
		return nil
	}
	return web.ShareOf(r.Context()).Hold(n)
}

// readJSON reads a small body.
func readJSON(r io.Reader, limit int64, v any) error {
	text, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err != nil {
		return err
	}
	if int64(len(text)) > limit {
		return errTooLarge(limit)
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return errJSON{"the body is empty; JSON was expected"}
	}
	return decodeJSON(text, v)
}
