package server

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"time"

	"datumbook/server/pairing"
)

// Fault is an error that a caller can act on.
type Fault struct {
	Status int           // HTTP status
	Name   string        // the protocol's word under /sync: "not_found", "forbidden" ...
	Field  string        // what it is about, for people and for the app
	Says   string        // a sentence: what was wrong and what would do
	Wait   time.Duration // when to come back; zero if it does not matter
}

// Error gives the sentence.
func (f *Fault) Error() string { return f.Says }

func fault(status int, name, field, says string) *Fault {
	return &Fault{Status: status, Name: name, Field: field, Says: says}
}

func tooLarge(limit int64) *Fault {
	says := fmt.Sprintf("the body is larger than the %s this takes: send less at once", size(limit))
	if limit == 0 {
		says = "this takes no body: send the request without one"
	}
	return fault(http.StatusRequestEntityTooLarge, "too_large", "body", says)
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

// faultOf turns any error into what the caller may know. What is not ours to
// explain becomes a 500 that names the request, so that the log can be searched.
func faultOf(err error, requestID string) *Fault {
	var f *Fault
	var refused *pairing.Refusal
	var big *http.MaxBytesError
	switch {
	case errors.As(err, &f):
		return f
	case errors.As(err, &refused):
		out := fault(http.StatusBadRequest, "bad_request", refused.Field, refused.Says)
		out.Wait = refused.Wait
		switch {
		case refused.Early:
			out.Status, out.Name = http.StatusTooManyRequests, "too_many_requests"
		case refused.Wrong:
			out.Status, out.Name = http.StatusForbidden, "forbidden"
		}
		return out
	case errors.As(err, &big):
		return tooLarge(big.Limit)
	case errors.Is(err, pairing.ErrNoDevice):
		return fault(http.StatusNotFound, "not_found", "device", "there is no device with that id: see the list of devices")
	case errors.Is(err, io.ErrUnexpectedEOF):
		return fault(http.StatusBadRequest, "bad_request", "body", "the body did not arrive whole: send it again")
	case errors.Is(err, os.ErrDeadlineExceeded), errors.Is(err, context.DeadlineExceeded):
		return fault(http.StatusRequestTimeout, "timeout", "body", "the request took too long to arrive: send it again, or less at once")
	default:
		return fault(http.StatusInternalServerError, "internal_server_error", "",
			"the office machine could not do this; its log has the reason under "+requestID)
	}
}
