package web

import (
	"net/http"
	"time"
)

// Recorder records what was sent.
type Recorder struct {
	http.ResponseWriter
	Status   int           // 0: nothing yet
	Bytes    int64         // of the body
	patience time.Duration // for each write of a stream, which has no end time; zero for other answers
}

// patient sets a deadline for one write of a stream, and clears it afterwards: left set, it would
// end an idle stream on HTTP/2. A client that stops reading is cut off, one that waits is not.
func (rec *Recorder) patient(write func()) {
	if rec.patience == 0 {
		write()
		return
	}
	rc := http.NewResponseController(rec.ResponseWriter)
	_ = rc.SetWriteDeadline(time.Now().Add(rec.patience))
	write()
	_ = rc.SetWriteDeadline(time.Time{})
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
	rec.patient(func() { n, err = rec.ResponseWriter.Write(p) })
	rec.Bytes += int64(n)
	return n, err
}

// Flush sends what is written so far; streams need it.
func (rec *Recorder) Flush() {
	if rec.Status == 0 {
		rec.Status = http.StatusOK
	}
	rec.patient(func() { _ = http.NewResponseController(rec.ResponseWriter).Flush() })
}
