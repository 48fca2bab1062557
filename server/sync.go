package server

import (
	"net/http"

	"datumbook/server/replication"
	"datumbook/server/web"
)

// noSession answers GET and POST /_session in the protocol's words: there are tokens instead.
func noSession(w http.ResponseWriter, r *http.Request) error {
	return web.JSON(w, http.StatusNotFound, map[string]string{"error": "not_found", "reason": "missing"})
}

// SyncRoutes mounts the replication protocol's table under /sync.
func SyncRoutes(h *replication.Handler) []web.Route {
	const under = "/sync"
	var out []web.Route
	for _, rt := range h.Routes() {
		root := rt.Path == "/"
		rt.Path = under + rt.Path
		out = append(out, rt)
		if root {
			rt.Path = under // with and without the slash: never a redirect
			out = append(out, rt)
		}
	}
	return out
}
