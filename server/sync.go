package server

import (
	"fmt"

	"datumbook/server/pairing"
	"datumbook/server/replication"
)

// syncPath is where the replication protocol is mounted.
const syncPath = "/sync"

// SyncRoutes takes the protocol's own table in under /sync.
func SyncRoutes(h *replication.Handler) ([]Route, error) {
	var out []Route
	for _, rt := range h.Routes() {
		role, err := pairing.ParseRole(string(rt.Role))
		if err != nil {
			return nil, fmt.Errorf("route %s %s: %w", rt.Method, rt.Path, err)
		}
		one := Route{Method: rt.Method, Path: syncPath + rt.Path, Role: role, Body: rt.Body, Time: rt.Time, Handler: rt.Handler}
		out = append(out, one)
		if rt.Path == "/" {
			one.Path = syncPath // with and without the slash: never a redirect
			out = append(out, one)
		}
	}
	return out, nil
}
