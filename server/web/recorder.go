package web

import (
	"errors"
	"net/http"
	"sync"
	"time"
)

// Recorder records what was sent.
type Recorder struct {
	http.ResponseWriter
	Status   int           // 0: nothing yet
	Bytes    int64         // of the body
	patience time.Duration // for each write of a stream, which has no end time; zero for other answers

	mu  sync.Mutex // orders deadlines and cut
	cut bool
}

// errCut is what reading and writing give once the connection was cut off.
var errCut = errors.New("the connection was cut off")

// Cut ends reading the request and writing the answer, also those that wait for the other side.
func (rec *Recorder) Cut() {
	if rec == nil {
		return
	}
	rec.mu.Lock()
	defer rec.mu.Unlock()
	rec.cut = true
	rc := http.NewResponseController(rec.ResponseWriter)
	past := time.Now().Add(-time.Second)
	_ = rc.SetReadDeadline(past)
	_ = rc.SetWriteDeadline(past)
}

// deadline sets a deadline, unless the connection was cut off meanwhile.
func (rec *Recorder) deadline(set func(time.Time) error, at time.Time) error {
	if rec == nil {
		_ = set(at)
		return nil
	}
	rec.mu.Lock()
	defer rec.mu.Unlock()
	if rec.cut {
		return errCut
	}
	_ = set(at)
	return nil
}

// patient sets a deadline for one write of a stream, and clears it afterwards: left set, it would
// end an idle stream on HTTP/2. A client that stops reading is cut off, one that waits is not.
func (rec *Recorder) patient(write func()) error {
	set := func(time.Time) error { return nil }
	if rec.patience > 0 {
		set = http.NewResponseController(rec.ResponseWriter).SetWriteDeadline
	}
	if err := rec.deadline(set, time.Now().Add(rec.patience)); err != nil {
		return err
	}
	write()
	return rec.deadline(set, time.Time{})
}

// Unwrap lets http.ResponseController reach the connection.
func (rec *Recorder) Unwrap() http.ResponseWriter { return rec.ResponseWriter }

// WriteHeader records the status.
func (rec *Recorder) WriteHeader(status int) {
	if rec.Status == 0 && status >= 200 {
		rec.Status = status
	}
	rec.ResponseWriter.WriteHeader(status)
}

// Write counts bytes.
func (rec *Recorder) Write(p []byte) (n int, err error) {
	if rec.Status == 0 {
		rec.Status = http.StatusOK
	}
	if cut := rec.patient(func() { n, err = rec.ResponseWriter.Write(p) }); cut != nil {
		err = cut
	}
	rec.Bytes += int64(n)
	return n, err
}

// Flush sends what is written so far; streams need it.
func (rec *Recorder) Flush() {
	if rec.Status == 0 {
		rec.Status = http.StatusOK
	}
	_ = rec.patient(func() { _ = http.NewResponseController(rec.ResponseWriter).Flush() })
}
