package server

import (
	"net/http"
	"os"
	"runtime"
	"runtime/debug"

	"datumbook/server/replication"
	"datumbook/server/web"
)

// newSharing sets what each device's share is; package replication has the figures.
func newSharing() *web.Sharing {
	return &web.Sharing{
		Requests: replication.DeviceRequests, Waiting: replication.DeviceWaiting, Turns: max(2, runtime.GOMAXPROCS(0)),
		Free: replication.FreeMemory, Memory: replication.AllMemory, Device: replication.DeviceMemory,
	}
}

// LimitMemory lets the program free memory more eagerly once it has much, unless its owner set another
// limit. What is held for requests is bounded far below.
func LimitMemory() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(replication.ProcessMemory)
	}
}

// share gives a request its part of the machine, and serves it with that.
func (s *Server) share(w http.ResponseWriter, r *http.Request, q *request, serve http.Handler) error {
	part, err := s.sharing.Enter(r.Context(), q.who.Device, isFeed(r))
	if err != nil {
		return err
	}
	defer part.Leave()
	part.Evict = func() { web.CutOff(w) }
	r = r.WithContext(web.WithShare(r.Context(), part))
	part.Body(r)
	serve.ServeHTTP(part.Writer(w), r)
	return nil
}

// isFeed reports whether a request asks for an answer that stays open.
func isFeed(r *http.Request) bool {
	switch r.URL.Query().Get("feed") {
	case "longpoll", "continuous", "eventsource":
		return true
	}
	return false
}
