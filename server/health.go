package server

import (
	"net/http"

	"datumbook/server/web"
)

// health answers a probe. It reports only whether the server works; the reason is logged.
func (s *Server) health(w http.ResponseWriter, r *http.Request) error {
	type state struct {
		OK      bool   `json:"ok"`
		Version string `json:"version,omitempty"`
	}
	if s.Ready != nil {
		if err := s.Ready(); err != nil {
			s.Log.Error("not ready", "id", about(r).id, "error", err)
			return web.JSON(w, http.StatusServiceUnavailable, state{})
		}
	}
	return web.JSON(w, http.StatusOK, state{OK: true, Version: s.Version})
}
