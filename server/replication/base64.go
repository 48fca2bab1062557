package replication

import (
	"encoding/base64"
	"io"
)

// base64 decodes a string of base64 into w while it arrives.
func (s *scan) base64(w io.Writer) error {
	if err := s.take('"'); err != nil {
		return err
	}
	var in [4096]byte
	var out [3072]byte
	n := 0
	padded := false
	decode := func(m int) error {
		if m > 0 && padded {
			return s.fail("base64 goes on after its end")
		}
		k, err := base64.StdEncoding.Strict().Decode(out[:], in[:m])
		if err != nil {
			return s.fail("an attachment's data is not base64")
		}
		padded = m > 0 && in[m-1] == '='
		if _, err := w.Write(out[:k]); err != nil {
			s.err = err
			return err
		}
		return nil
	}
	for {
		c := s.byte()
		if s.err != nil || s.pos == s.end {
			return s.unexpected(c, "the end of a string")
		}
		if c == '"' {
			s.pos++
			return decode(n)
		}
		if c == '\\' { // only \/ makes sense in base64
			s.pos++
			if c = s.byte(); c != '/' {
				return s.fail("an attachment's data is not base64")
			}
		}
		if c == '"' || c < ' ' {
			return s.fail("an attachment's data is not base64")
		}
		if n == 0 && s.end-s.pos > len(in) {
			// The quick way: a whole block at once, if nothing in it needs a look.
			m := len(in)
			for i, b := range s.buf[s.pos : s.pos+m] {
				if b == '"' || b == '\\' || b == '=' {
					m = i / 4 * 4
					break
				}
			}
			if m > 0 {
				copy(in[:], s.buf[s.pos:s.pos+m])
				s.pos += m
				if err := decode(m); err != nil {
					return err
				}
				continue
			}
		}
		in[n] = c
		n++
		s.pos++
		if n == len(in) {
			if err := decode(n); err != nil {
				return err
			}
			n = 0
		}
	}
}
