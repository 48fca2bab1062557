package replication

import (
	"compress/gzip"
	"context"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"strconv"
	"strings"
	"unicode/utf8"

	"datumbook/store"
)

// refusal is an error with its place in the protocol.
type refusal struct {
	status int
	name   string // the protocol's word
	reason string
}

func (e *refusal) Error() string { return e.name + ": " + e.reason }

func status(code int, name, reason string) error { return &refusal{code, name, reason} }

func badRequest(reason string) error { return status(http.StatusBadRequest, "bad_request", reason) }

func errTooLarge(limit int64) error {
	return status(http.StatusRequestEntityTooLarge, "too_large", fmt.Sprintf("more than the %d MiB that are allowed", (limit+mib-1)/mib))
}

// refusalOf gives an error its status, the protocol's word and its reason.
func refusalOf(err error) *refusal {
	var ours *refusal
	var size *http.MaxBytesError
	switch {
	case errors.As(err, &ours):
		return ours
	case errors.As(err, &size):
		return &refusal{http.StatusRequestEntityTooLarge, "too_large", fmt.Sprintf("the request is larger than the %d bytes that are allowed", size.Limit)}
	case isJSON(err):
		return &refusal{http.StatusBadRequest, "bad_request", err.Error()}
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF), errors.Is(err, os.ErrDeadlineExceeded), errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		return &refusal{http.StatusBadRequest, "bad_request", "the request ended before it was whole"}
	}
	says := store.Sentence(err)
	switch store.KindOf(err) {
	case store.NotFound:
		return &refusal{http.StatusNotFound, "not_found", says}
	case store.Deleted:
		return &refusal{http.StatusNotFound, "not_found", "deleted"}
	case store.Conflict:
		return &refusal{http.StatusConflict, "conflict", says}
	case store.Bad:
		return &refusal{http.StatusBadRequest, "bad_request", says}
	case store.Invalid:
		return &refusal{http.StatusBadRequest, "doc_validation", says}
	case store.MissingStub:
		return &refusal{http.StatusPreconditionFailed, "missing_stub", says}
	case store.TooLarge:
		return &refusal{http.StatusRequestEntityTooLarge, "too_large", says}
	case store.Exists:
		return &refusal{http.StatusPreconditionFailed, "file_exists", says}
	case store.Full:
		return &refusal{http.StatusInsufficientStorage, "insufficient_storage", says}
	case store.Closed, store.Busy:
		return &refusal{http.StatusServiceUnavailable, "unavailable", says}
	default:
		return &refusal{http.StatusInternalServerError, "internal_server_error", ""}
	}
}

// fail answers with an error, always as a JSON object.
func (h *Handler) fail(w http.ResponseWriter, r *http.Request, err error) {
	e := refusalOf(err)
	if e.status == http.StatusInternalServerError {
		id := w.Header().Get("X-Request-Id")
		if id == "" {
			var b [8]byte
			rand.Read(b[:])
			id = hex.EncodeToString(b[:])
		}
		e = &refusal{e.status, e.name, "something went wrong here; the office's log tells more under " + id}
		if h.Log != nil {
			h.Log.Error("sync request failed", "id", id, "method", r.Method, "error", err)
		}
	}
	if e.status == http.StatusServiceUnavailable {
		w.Header().Set("Retry-After", "5")
	}
	for _, k := range []string{"Content-Encoding", "Content-Length", "Content-Range", "ETag", "Last-Modified"} {
		w.Header().Del(k)
	}
	answer(w, e.status, map[string]string{"error": e.name, "reason": e.reason})
}

// answer writes a value of our own as JSON.
func answer(w http.ResponseWriter, code int, v any) {
	text, err := json.Marshal(v)
	if err != nil {
		panic(err) // our own types always marshal
	}
	answerRaw(w, code, append(text, '\n'))
}

// answerRaw writes ready JSON.
func answerRaw(w http.ResponseWriter, code int, text []byte) {
	header(w)
	w.Header().Set("Content-Length", strconv.Itoa(len(text)))
	w.WriteHeader(code)
	_, _ = w.Write(text) // a client that has left is no one's error
}

func header(w http.ResponseWriter) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
}

// stream writes a long answer piece by piece. After the first piece an error can only cut the answer short, so that no client
// takes half for whole.
type stream struct {
	w    http.ResponseWriter
	buf  []byte
	code int
	kind string // of content; empty: JSON
	sent bool
	err  error
}

func newStream(w http.ResponseWriter) *stream {
	return &stream{w: w, code: http.StatusOK, buf: make([]byte, 0, 8<<10)}
}

func (s *stream) Write(p []byte) (int, error) {
	s.buf = append(s.buf, p...)
	return len(p), s.spill(64 << 10)
}

func (s *stream) text(t string) { s.buf = append(s.buf, t...) }

// spill sends what waits once it is more than limit.
func (s *stream) spill(limit int) error {
	if s.err != nil || len(s.buf) <= limit {
		return s.err
	}
	s.begin()
	_, s.err = s.w.Write(s.buf)
	s.buf = s.buf[:0]
	return s.err
}

func (s *stream) begin() {
	if !s.sent {
		s.sent = true
		header(s.w)
		if s.kind != "" {
			s.w.Header().Set("Content-Type", s.kind)
		}
		s.w.WriteHeader(s.code)
	}
}

// flush sends all that waits to the client now.
func (s *stream) flush() error {
	s.begin()
	if err := s.spill(0); err != nil {
		return err
	}
	s.err = http.NewResponseController(s.w).Flush()
	return s.err
}

// end sends the rest. A short answer gets its length.
func (s *stream) end() {
	if !s.sent {
		s.w.Header().Set("Content-Length", strconv.Itoa(len(s.buf)))
	}
	s.begin()
	_ = s.spill(0)
}

// broke ends an answer that met an error.
func (h *Handler) broke(w http.ResponseWriter, r *http.Request, s *stream, err error) {
	if !s.sent {
		h.fail(w, r, err)
		return
	}
	if s.err == nil && h.Log != nil {
		h.Log.Error("sync answer cut short", "method", r.Method, "error", err)
	}
	panic(http.ErrAbortHandler)
}

// unpack limits a body and unpacks gzip. The server's own doors do this for the routes they admit.
func (h *Handler) unpack(w http.ResponseWriter, r *http.Request, limit int64) bool {
	if r.ContentLength > limit {
		h.fail(w, r, errTooLarge(limit))
		return false
	}
	if r.Body == nil || r.Body == http.NoBody {
		return true
	}
	r.Body = http.MaxBytesReader(w, r.Body, limit)
	switch strings.ToLower(r.Header.Get("Content-Encoding")) {
	case "", "identity":
		return true
	case "gzip":
		zip, err := gzip.NewReader(r.Body)
		if err != nil {
			h.fail(w, r, badRequest("the body is not gzip"))
			return false
		}
		r.Body = http.MaxBytesReader(w, zip, limit)
		r.Header.Del("Content-Encoding")
		r.ContentLength = -1
		return true
	default:
		h.fail(w, r, status(http.StatusUnsupportedMediaType, "unsupported_media_type", "bodies are taken plain or packed with gzip"))
		return false
	}
}

// appendString appends a string as JSON.
func appendString(dst []byte, s string) []byte {
	const hexDigits = "0123456789abcdef"
	dst = append(dst, '"')
	for i := 0; i < len(s); {
		c := s[i]
		if c < utf8.RuneSelf {
			switch {
			case c == '"' || c == '\\':
				dst = append(dst, '\\', c)
			case c < ' ' || c == 0x7f:
				dst = append(dst, '\\', 'u', '0', '0', hexDigits[c>>4], hexDigits[c&15])
			default:
				dst = append(dst, c)
			}
			i++
			continue
		}
		r, n := utf8.DecodeRuneInString(s[i:])
		if r == utf8.RuneError && n == 1 {
			dst = append(dst, "\ufffd"...)
		} else {
			dst = append(dst, s[i:i+n]...)
		}
		i += n
	}
	return append(dst, '"')
}
