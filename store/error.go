package store

import (
	"errors"
	"fmt"
)

// Kind classifies an [Error], so that the server can pick a status and the command line a hint.
type Kind string

// The kinds, by when they occur.
const (
	// When a store is opened, restored or verified.
	Busy     Kind = "busy"      // another process has the file open
	ReadOnly Kind = "read only" // the file or its folder cannot be written
	Missing  Kind = "missing"   // no file there
	Foreign  Kind = "foreign"   // the file is not a store
	Newer    Kind = "newer"     // written by a later version
	Damaged  Kind = "damaged"   // truncated, flipped bits, or otherwise inconsistent

	// When something is asked for.
	NotFound Kind = "not found" // no such book, document, revision, attachment, device
	Deleted  Kind = "deleted"   // the document's winner is a deletion
	Closed   Kind = "closed"    // the store is closed or being replaced

	// When something is written.
	Conflict    Kind = "conflict"     // the revision to be replaced is not a leaf
	Exists      Kind = "exists"       // a book of that name is there already
	Bad         Kind = "bad"          // malformed: id, revision, JSON
	Invalid     Kind = "invalid"      // a member beginning with _ that the protocol does not know
	MissingStub Kind = "missing stub" // an attachment stub that no ancestor has
	TooLarge    Kind = "too large"    // over a size limit
	Full        Kind = "full"         // the disk or quota is full
	Failed      Kind = "failed"       // the disk or the system refused for another reason
)

// Error is an error with a kind and a plain sentence; Err, where there is one, is the cause for the
// log.
type Error struct {
	Kind Kind
	Says string
	Err  error
}

// Error gives the sentence and, after it, the cause.
func (f *Error) Error() string {
	if f.Err != nil {
		return f.Says + ": " + f.Err.Error()
	}
	return f.Says
}

// Unwrap gives the cause.
func (f *Error) Unwrap() error { return f.Err }

// KindOf gives the kind of the first Error in err's chain; an error that holds none is Failed, nil
// is "".
func KindOf(err error) Kind {
	if err == nil {
		return ""
	}
	var f *Error
	if errors.As(err, &f) {
		return f.Kind
	}
	return Failed
}

// Sentence gives the plain sentence of the first Error in err's chain, or err's own text.
func Sentence(err error) string {
	if err == nil {
		return ""
	}
	var f *Error
	if errors.As(err, &f) {
		return f.Says
	}
	return err.Error()
}

func newError(kind Kind, format string, args ...any) *Error {
	return &Error{Kind: kind, Says: fmt.Sprintf(format, args...)}
}

func wrapError(kind Kind, err error, format string, args ...any) *Error {
	return &Error{Kind: kind, Says: fmt.Sprintf(format, args...), Err: err}
}
