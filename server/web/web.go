// Package web is the HTTP code the parts of the server share: routes, handlers that return errors,
// request limits, and the one place that writes answers and errors.
package web

import (
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"

	"datumbook/store"
)

// Handler answers a request, or returns the error that is the answer.
type Handler func(w http.ResponseWriter, r *http.Request) error

// Route is one line of the table.
type Route struct {
	Method  string
	Path    string        // a gorilla/mux template, matched on the escaped path
	Role    store.Role    // the least role allowed
	Body    int64         // largest body in bytes, compressed and decompressed; zero: none
	Time    time.Duration // longest; zero: a stream that ends by itself
	Handler Handler       // sees only requests that passed all middleware

	Near  bool // nobody on this machine needs a token, also on the shop's network: no records in it
	Free  bool // a device without a token may, all such as one device: nothing of the shop's in it
	Plain bool // never gzipped: precompressed files, secrets
}

// DataPolicy is the content security policy of data, which allows nothing: an attachment opened by
// its address, of whatever type, can neither run scripts nor load.
const DataPolicy = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox"

// IsData reports whether a path belongs to the API or the protocol, so that errors there are JSON
// and never a page.
func IsData(path string) bool { return under(path, "/api") || under(path, "/sync") }

func under(path, area string) bool { return path == area || strings.HasPrefix(path, area+"/") }

// JSON answers with a value of our own.
func JSON(w http.ResponseWriter, status int, v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return Raw(w, status, append(body, '\n'))
}

// Raw answers with encoded JSON.
func Raw(w http.ResponseWriter, status int, body []byte) error {
	h := w.Header()
	h.Set("Content-Type", "application/json")
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(status)
	_, _ = w.Write(body) // the client may have left
	return nil
}

// Serve makes a handler out of one that returns errors.
func Serve(h Handler, log *slog.Logger) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			Fail(w, r, err, log)
		}
	})
}

// Fail answers with an error in the format of the part that was called: the protocol's under /sync,
// field and message under /api, a plain sentence elsewhere. Internal errors are a 500 with the
// request's id; the reason is logged.
func Fail(w http.ResponseWriter, r *http.Request, err error, log *slog.Logger) {
	h := w.Header()
	id := h.Get("X-Request-Id")
	if cut := (*cutShort)(nil); errors.As(err, &cut) {
		if cut.cause != nil {
			log.Error("answer cut short", "id", id, "method", r.Method, "error", cut.cause)
		}
		panic(http.ErrAbortHandler)
	}
	protocol := under(r.URL.Path, "/sync")
	e := known(err)
	if e == nil {
		log.Error("request failed", "id", id, "method", r.Method, "error", err)
		e = NewError(http.StatusInternalServerError, "internal_server_error", "",
			"the office machine could not do this; its log has the reason under "+id)
		if protocol {
			e.Message = "something went wrong here; the office's log tells more under " + id
		}
	}
	for _, k := range []string{"Content-Encoding", "Content-Length", "Content-Range", "ETag", "Last-Modified"} {
		h.Del(k)
	}
	h.Set("Content-Security-Policy", DataPolicy)
	if e.Wait > 0 {
		h.Set("Retry-After", strconv.Itoa(int(math.Ceil(e.Wait.Seconds()))))
	}
	if e.Status == http.StatusUnauthorized {
		h.Set("WWW-Authenticate", `Bearer realm="Datumbook"`)
	}
	switch {
	case protocol:
		_ = JSON(w, e.Status, map[string]string{"error": e.Name, "reason": e.Message})
	case IsData(r.URL.Path):
		_ = JSON(w, e.Status, map[string]any{"error": map[string]string{"field": e.Field, "message": e.Message}})
	default:
		h.Set("Cache-Control", "no-store")
		h.Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(e.Status)
		_, _ = io.WriteString(w, e.Message+"\n")
	}
}
