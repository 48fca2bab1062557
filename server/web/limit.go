package web

import (
	"compress/flate"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"
)

// Limits are what a server puts on every request beside its route's own.
type Limits struct {
	Patience time.Duration   // how long a body or a write may stall
	Closing  context.Context // done when the server closes
}

// Apply puts the limits on a request: the body's size, before and after decompression, and the time
// for all of it. A stalled body is cut off sooner. The returned function must be called when the
// request is answered.
func (l Limits) Apply(w http.ResponseWriter, r *http.Request, rt Route) (*http.Request, func(), error) {
	if r.ContentLength > rt.Body {
		return nil, nil, TooLarge(rt.Body)
	}
	ctx := r.Context()
	var stop context.CancelFunc
	rc := http.NewResponseController(w)
	end := time.Time{}
	if rt.Time > 0 {
		end = time.Now().Add(rt.Time)
		ctx, stop = context.WithDeadline(ctx, end)
	} else {
		// A stream ends by itself, when the client leaves, or when the server closes; it has no
		// write deadline. See also body.Read.
		var cancel context.CancelCauseFunc
		ctx, cancel = context.WithCancelCause(ctx)
		unhook := context.AfterFunc(l.Closing, func() { cancel(errClosing) })
		if out, ok := w.(*Recorder); ok {
			out.patience = l.Patience
		}
		stop = func() {
			unhook()
			cancel(context.Canceled)
			_ = rc.SetWriteDeadline(time.Now().Add(l.Patience)) // for what is still buffered
		}
	}
	// Errors: test recorders have no deadlines to set; a closed connection shows at the next read
	// or write.
	_ = rc.SetWriteDeadline(end)
	r = r.WithContext(ctx)
	if r.Body == nil || r.Body == http.NoBody {
		_ = rc.SetReadDeadline(time.Time{})
		return r, stop, nil
	}
	out, _ := w.(*Recorder)
	in := io.ReadCloser(&body{ReadCloser: http.MaxBytesReader(w, r.Body, rt.Body),
		rc: rc, out: out, end: end, patience: l.Patience})
	switch enc := strings.ToLower(strings.TrimSpace(r.Header.Get("Content-Encoding"))); enc {
	case "", "identity":
	case "gzip", "x-gzip":
		in = &unzipped{packed: in, limit: rt.Body}
		r.Header = r.Header.Clone()
		r.Header.Del("Content-Encoding")
		r.Header.Del("Content-Length")
		r.ContentLength = -1
	default:
		stop()
		return nil, nil, NewError(http.StatusUnsupportedMediaType, "unsupported_media_type", "Content-Encoding",
			"bodies are taken plain or packed with gzip")
	}
	r.Body = in
	return r, stop, nil
}

// errClosing is the cause that a stream's context has when the server closes.
var errClosing = errors.New("the server is closing")

// body reads a request's body and extends the read deadline as bytes arrive: a stalled phone is cut
// off, a slow one is not.
type body struct {
	io.ReadCloser
	rc       *http.ResponseController
	out      *Recorder // may be nil
	end      time.Time // of the route's time; zero for a stream
	patience time.Duration
}

func (b *body) Read(p []byte) (int, error) {
	until := time.Now().Add(b.patience)
	if !b.end.IsZero() && b.end.Before(until) {
		until = b.end
	}
	if err := b.out.deadline(b.rc.SetReadDeadline, until); err != nil {
		return 0, err
	}
	n, err := b.ReadCloser.Read(p)
	if err == io.EOF {
		// Once the body is in, net/http goes on reading to notice a client that leaves. A deadline
		// left set would look like that and end a long poll. After any other error it stays, to
		// bound what net/http still reads of the body.
		_ = b.out.deadline(b.rc.SetReadDeadline, time.Time{})
	}
	return n, err
}

// What a packed body, or a packed attachment in one, may unpack to: a megabyte, and beyond that so
// many times its own length. Records and readings pack to a tenth, drawings as text to a thirtieth.
const (
	UnpackedFree  = 1 << 20
	UnpackedTimes = 50
)

// Unpacks reports whether n bytes are too many for so many packed ones.
func Unpacks(n, packed int64) bool { return n > UnpackedFree && n > UnpackedTimes*packed }

// counted counts the bytes read.
type counted struct {
	io.Reader
	n int64
}

func (c *counted) Read(p []byte) (int, error) {
	n, err := c.Reader.Read(p)
	c.n += int64(n)
	return n, err
}

// unzipped decompresses a gzip body and stops at the route's limit, or where it unpacks to more than
// anything honest does, however small the compressed form was.
type unzipped struct {
	packed io.ReadCloser
	zip    *gzip.Reader
	in     counted
	limit  int64
	got    int64
	err    error
}

func (u *unzipped) Read(p []byte) (int, error) {
	if u.err != nil {
		return 0, u.err
	}
	if u.zip == nil {
		u.in.Reader = u.packed
		zip, err := gzip.NewReader(&u.in)
		if err != nil {
			if errors.Is(err, io.EOF) {
				err = io.ErrUnexpectedEOF // empty input is not an empty gzip
			}
			u.err = badGzip(err)
			return 0, u.err
		}
		u.zip = zip
	}
	// One byte over the limit tells an exact fit from a longer body.
	if room := u.limit - u.got + 1; int64(len(p)) > room {
		p = p[:room]
	}
	n, err := u.zip.Read(p)
	u.got += int64(n)
	if u.got > u.limit {
		u.err = &http.MaxBytesError{Limit: u.limit}
		return max(n-1, 0), u.err
	}
	if Unpacks(u.got, u.in.n) {
		u.err = NewError(http.StatusRequestEntityTooLarge, "too_large", "body", fmt.Sprintf(
			"the body unpacks to more than %d times its length: send it without packing it", UnpackedTimes))
		return 0, u.err
	}
	if err != nil {
		u.err = badGzip(err)
	}
	return n, u.err
}

func (u *unzipped) Close() error { return u.packed.Close() }

// badGzip explains invalid gzip. It wraps io.ErrUnexpectedEOF, which every handler treats as an
// incomplete body.
func badGzip(err error) error {
	if errors.Is(err, gzip.ErrHeader) || errors.Is(err, gzip.ErrChecksum) || errors.As(err, new(flate.CorruptInputError)) {
		return fmt.Errorf("%w: the body is not whole gzip (%w)", io.ErrUnexpectedEOF, err)
	}
	return err
}
