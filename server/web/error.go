package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"time"
)

// Error is an error that a caller can act on.
type Error struct {
	Status  int           // HTTP status
	Name    string        // the protocol's word under /sync: "not_found", "forbidden" ...
	Field   string        // for people and for the app
	Message string        // a sentence: what was wrong and what to do
	Wait    time.Duration // when to retry; zero if it does not matter
}

// Error gives the sentence.
func (e *Error) Error() string { return e.Message }

// NewError makes an Error.
func NewError(status int, name, field, message string) *Error {
	return &Error{Status: status, Name: name, Field: field, Message: message}
}

// BadRequest makes an Error for a malformed request.
func BadRequest(field, message string) *Error {
	return NewError(http.StatusBadRequest, "bad_request", field, message)
}

// TooLarge makes the Error for a body over a limit in bytes.
func TooLarge(limit int64) *Error {
	message := fmt.Sprintf("the body is larger than the %s this takes: send less at once", size(limit))
	if limit == 0 {
		message = "this takes no body: send the request without one"
	}
	return NewError(http.StatusRequestEntityTooLarge, "too_large", "body", message)
}

func size(n int64) string {
	switch {
	case n >= 1<<20:
		return fmt.Sprintf("%d MiB", n>>20)
	case n >= 1<<10:
		return fmt.Sprintf("%d KiB", n>>10)
	default:
		return fmt.Sprintf("%d bytes", n)
	}
}

// known returns what the caller may know of an error; nil for internal ones.
func known(err error) *Error {
	var e *Error
	var big *http.MaxBytesError
	switch {
	case errors.As(err, &e):
		return e
	case errors.As(err, &big):
		return TooLarge(big.Limit)
	case errors.Is(err, io.ErrUnexpectedEOF):
		return BadRequest("body", "the body did not arrive whole: send it again")
	case errors.Is(err, os.ErrDeadlineExceeded), errors.Is(err, context.DeadlineExceeded):
		return NewError(http.StatusRequestTimeout, "timeout", "body",
			"the request took too long to arrive: send it again, or less at once")
	default:
		return nil
	}
}

// cutShort is the error of an answer already begun.
type cutShort struct{ cause error }

func (c *cutShort) Error() string { return "the answer was cut short" }

// CutShort makes the error of an answer already begun: the connection is cut, so that no client
// takes a part for the whole. The cause goes to the log; nil if the client has left.
func CutShort(cause error) error { return &cutShort{cause} }
