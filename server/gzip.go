package server

import (
	"net/http"

	"github.com/klauspost/compress/gzhttp"
)

// squeeze compresses JSON answers of more than a kilobyte with gzip if the client accepts it, at
// the fastest level, enough for one shop.
func squeeze(next http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(1024), gzhttp.CompressionLevel(1), gzhttp.EnableZstd(false),
		gzhttp.ContentTypes([]string{"application/json"}), gzhttp.KeepAcceptRanges())
	if err != nil {
		panic(err) // the options above are constants
	}
	packed := wrap(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		// The blank lines of a feed's heartbeat must not be buffered.
		switch r.URL.Query().Get("feed") {
		case "longpoll", "continuous", "eventsource":
			next.ServeHTTP(w, r)
		default:
			packed.ServeHTTP(w, r)
		}
	})
}
