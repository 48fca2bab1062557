package web

import (
	"net/http"
	"time"
)

// Recorder remembers what went out.
type Recorder struct {
	http.ResponseWriter
	Status   int           // 0: nothing yet
	Bytes    int64         // of the body
	patience time.Duration // for each write of a stream, which has no end time; zero for other answers
}

// patient gives one write of a stream its time, and takes it back afterwards: a
// deadline left standing would end an idle stream on HTTP/2. A client that
// stops reading is let go, one that waits for news is not.
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

// WriteHeader notes the status.
func (rec *Recorder) WriteHeader(status int) {
	if rec.Status == 0 && status >= 200 {
		rec.Status = status
	}
	rec.ResponseWriter.WriteHeader(status)
}

// Write counts.
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
