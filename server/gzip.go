package server

import (
	"net/http"

	"github.com/klauspost/compress/gzhttp"
)

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
