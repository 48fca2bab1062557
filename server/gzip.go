package server

import (
	"net/http"
	"sync/atomic"

	"github.com/klauspost/compress/gzhttp"

	"datumbook/server/replication"
)

// packing counts the answers being packed now.
var packing atomic.Int64

// squeeze compresses JSON answers of more than a kilobyte with gzip if the client accepts it, at
// the fastest level, enough for one shop.
//
// Only so many answers are packed at once; the others go plain.
func squeeze(next http.Handler) http.Handler {
	wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(1024), gzhttp.CompressionLevel(1), gzhttp.EnableZstd(false),
		gzhttp.ContentTypes([]string{"application/json"}), gzhttp.KeepAcceptRanges())
	if err != nil {
		panic(err) // the options above are constants
	}
	packed := wrap(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		// The blank lines of a feed's heartbeat must not be buffered.
		if isFeed(r) {
			next.ServeHTTP(w, r)
			return
		}
		// A packer takes half a megabyte as long as its client does not read.
		defer packing.Add(-1)
		if packing.Add(1) <= replication.AllPacked {
			packed.ServeHTTP(w, r)
		} else {
			next.ServeHTTP(w, r)
		}
	})
}
