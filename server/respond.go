package server

import (
	"encoding/json"
	"io"
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/klauspost/compress/gzhttp"
)

// The two content security policies. The app needs its own scripts, styles,
// pictures and connections, and leave to compile WebAssembly; nothing inline
// and nothing from elsewhere. Data needs nothing at all: an attachment that is
// opened by its address, whatever it claims to be, can neither run nor load.
const (
	appPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: blob:; " +
		"font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; " +
		"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
	dataPolicy = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox"
)

// answer remembers what went out.
type answer struct {
	http.ResponseWriter
	status   int
	bytes    int64
	patience time.Duration // for each write of a stream, which has no end time; zero for other answers
}

// patient gives one write of a stream its time, and takes it back afterwards: a
// deadline left standing would end an idle stream on HTTP/2. A client that
// stops reading is let go, one that waits for news is not.
func (a *answer) patient(write func()) {
	if a.patience == 0 {
		write()
		return
	}
	rc := http.NewResponseController(a.ResponseWriter)
	_ = rc.SetWriteDeadline(time.Now().Add(a.patience))
	write()
	_ = rc.SetWriteDeadline(time.Time{})
}

// Unwrap lets http.ResponseController reach the connection.
func (a *answer) Unwrap() http.ResponseWriter { return a.ResponseWriter }

func (a *answer) WriteHeader(status int) {
	if a.status == 0 && status >= 200 {
		a.status = status
	}
	a.ResponseWriter.WriteHeader(status)
}

func (a *answer) Write(p []byte) (n int, err error) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	a.patient(func() { n, err = a.ResponseWriter.Write(p) })
	a.bytes += int64(n)
	return n, err
}

// Flush sends what is written so far; streams need it.
func (a *answer) Flush() {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	a.patient(func() { _ = http.NewResponseController(a.ResponseWriter).Flush() })
}

// writeRaw answers with JSON that is ready as bytes.
func writeRaw(w http.ResponseWriter, status int, body []byte) {
	h := w.Header()
	h.Set("Content-Type", "application/json")
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(status)
	_, _ = w.Write(body) // a client that left is no one's error
}

// writeJSON answers with a value of our own.
func writeJSON(w http.ResponseWriter, status int, v any) {
	body, err := json.Marshal(v)
	if err != nil {
		panic(err) // our own types always marshal
	}
	writeRaw(w, status, append(body, '\n'))
}

// fail answers with an error in the words of the part that was asked: the
// protocol's under /sync, field and message under /api, a plain sentence
// elsewhere. An error that is not a fault is logged by whoever met it.
func fail(w http.ResponseWriter, r *http.Request, err error) {
	f := faultOf(err, about(r).id)
	h := w.Header()
	for _, k := range []string{"Content-Encoding", "Content-Length", "ETag", "Last-Modified"} {
		h.Del(k)
	}
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Security-Policy", dataPolicy)
	if f.Wait > 0 {
		h.Set("Retry-After", strconv.Itoa(int(math.Ceil(f.Wait.Seconds()))))
	}
	if f.Status == http.StatusUnauthorized {
		h.Set("WWW-Authenticate", `Bearer realm="Datumbook"`)
	}
	p := r.URL.Path
	switch {
	case isOurs(p) && strings.HasPrefix(p, "/sync"):
		writeJSON(w, f.Status, struct {
			Error  string `json:"error"`
			Reason string `json:"reason"`
		}{f.Name, f.Says})
	case isOurs(p):
		type inner struct {
			Field   string `json:"field"`
			Message string `json:"message"`
		}
		writeJSON(w, f.Status, struct {
			Error inner `json:"error"`
		}{inner{f.Field, f.Says}})
	default:
		h.Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(f.Status)
		_, _ = io.WriteString(w, f.Says+"\n")
	}
}

// failLogged is fail for errors that come from below: those that become a 500
// are logged with the request's id.
func (s *Server) failLogged(w http.ResponseWriter, r *http.Request, err error) {
	if faultOf(err, "").Status == http.StatusInternalServerError {
		s.Log.Error("request failed", "id", about(r).id, "route", about(r).route, "error", err)
	}
	fail(w, r, err)
}

// squeeze packs JSON answers of more than a kilobyte with gzip when the client
// takes it. The fastest level: the office machine serves a shop, not the world.
func squeeze(next http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(1024), gzhttp.CompressionLevel(1), gzhttp.EnableZstd(false),
		gzhttp.ContentTypes([]string{"application/json"}), gzhttp.KeepAcceptRanges())
	if err != nil {
		panic(err) // the options above are constants
	}
	packed := wrap(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		// A feed that sends a blank line now and then must not wait in a buffer.
		switch r.URL.Query().Get("feed") {
		case "longpoll", "continuous", "eventsource":
			next.ServeHTTP(w, r)
		default:
			packed.ServeHTTP(w, r)
		}
	})
}
