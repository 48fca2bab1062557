package replication

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"strconv"
	"time"

	"github.com/go-json-experiment/json/jsontext"

	"datumbook/server/web"
	"datumbook/store"
)

func status(code int, name, reason string) error { return web.NewError(code, name, "", reason) }

func badRequest(reason string) error { return status(http.StatusBadRequest, "bad_request", reason) }

func errTooLarge(limit int64) error {
	return status(http.StatusRequestEntityTooLarge, "too_large", fmt.Sprintf("more than the %d MiB that are allowed", (limit+mib-1)/mib))
}

// kinds maps the store's errors to status and the protocol's word.
var kinds = map[store.Kind]struct {
	status int
	name   string
}{
	store.NotFound:    {http.StatusNotFound, "not_found"},
	store.Deleted:     {http.StatusNotFound, "not_found"},
	store.Conflict:    {http.StatusConflict, "conflict"},
	store.Bad:         {http.StatusBadRequest, "bad_request"},
	store.Invalid:     {http.StatusBadRequest, "doc_validation"},
	store.MissingStub: {http.StatusPreconditionFailed, "missing_stub"},
	store.TooLarge:    {http.StatusRequestEntityTooLarge, "too_large"},
	store.Damaged:     {http.StatusInternalServerError, "damaged"},
	store.Exists:      {http.StatusPreconditionFailed, "file_exists"},
	store.Full:        {http.StatusInsufficientStorage, "insufficient_storage"},
	store.Closed:      {http.StatusServiceUnavailable, "unavailable"},
	store.Busy:        {http.StatusServiceUnavailable, "unavailable"},
}

// errorOf gives an error its status, the protocol's word and its reason.
func errorOf(err error) *web.Error {
	e := web.NewError(http.StatusBadRequest, "bad_request", "", "")
	var size *http.MaxBytesError
	switch {
	case errors.As(err, &e):
	case errors.As(err, &size):
		e.Status, e.Name = http.StatusRequestEntityTooLarge, "too_large"
		e.Message = fmt.Sprintf("the request is larger than the %d bytes that are allowed", size.Limit)
	case isJSON(err):
		e.Message = err.Error()
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF), errors.Is(err, os.ErrDeadlineExceeded), errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		e.Message = "the request ended before it was whole"
	default:
		kind, ok := kinds[store.KindOf(err)]
		if !ok {
			return web.NewError(http.StatusInternalServerError, "internal_server_error", "", "")
		}
		e.Status, e.Name, e.Message = kind.status, kind.name, store.Sentence(err)
		if kind.status == http.StatusServiceUnavailable {
			e.Wait = 5 * time.Second
		}
	}
	return e
}

// answered maps a handler's errors to the protocol's words; internal errors stay as they are.
func (h *Handler) answered(do web.Handler) web.Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		err := do(w, r)
		if err == nil {
			return nil
		}
		if store.KindOf(err) == store.Damaged {
			h.logOf(w).Warn("damaged", "method", r.Method, "path", web.Shorten(r.URL.EscapedPath(), 200), "error", err)
		}
		if e := errorOf(err); e.Status != http.StatusInternalServerError || e.Name == "damaged" {
			return e
		}
		return err
	}
}

// stream writes a long answer in pieces. After the first piece an error can only cut the answer
// short, so that no client takes a part for the whole.
type stream struct {
	w    http.ResponseWriter
	buf  []byte
	code int
	kind string // of content
	sent bool
	err  error
}

func newStream(w http.ResponseWriter) *stream {
	return &stream{w: w, code: http.StatusOK, kind: "application/json", buf: make([]byte, 0, 8<<10)}
}

func (s *stream) Write(p []byte) (int, error) {
	s.buf = append(s.buf, p...)
	return len(p), s.spill(64 << 10)
}

func (s *stream) text(t string) { s.buf = append(s.buf, t...) }

// spill sends the buffer once it exceeds limit. A stream without a client only buffers.
func (s *stream) spill(limit int) error {
	if s.err != nil || len(s.buf) <= limit || s.w == nil {
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
		s.w.Header().Set("Content-Type", s.kind)
		s.w.Header().Set("Cache-Control", "no-store")
		s.w.WriteHeader(s.code)
	}
}

// flush sends the buffer to the client now.
func (s *stream) flush() error {
	s.begin()
	if err := s.spill(0); err != nil {
		return err
	}
	s.err = http.NewResponseController(s.w).Flush()
	return s.err
}

// end sends the rest. A short answer gets a Content-Length.
func (s *stream) end() error {
	if !s.sent {
		s.w.Header().Set("Content-Length", strconv.Itoa(len(s.buf)))
	}
	s.begin()
	_ = s.spill(0) // the client may have left
	return nil
}

// broke returns the error of a failed answer: an answer already begun is cut short.
func (s *stream) broke(err error) error {
	switch {
	case err == nil || !s.sent:
		return err
	case s.err != nil:
		return web.CutShort(nil)
	}
	return web.CutShort(err)
}

// appendString appends a string as JSON.
func appendString(dst []byte, s string) []byte {
	dst, _ = jsontext.AppendQuote(dst, s) // invalid UTF-8 becomes the replacement character
	return dst
}
