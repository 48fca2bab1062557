package server

import "net/http"

// health answers a probe. It tells strangers only whether all is well; the
// reason goes to the log.
func (s *Server) health(w http.ResponseWriter, r *http.Request) {
	type state struct {
		OK      bool   `json:"ok"`
		Version string `json:"version,omitempty"`
	}
	if s.Ready != nil {
		if err := s.Ready(); err != nil {
			s.Log.Error("not ready", "id", about(r).id, "error", err)
			writeJSON(w, http.StatusServiceUnavailable, state{})
			return
		}
	}
	writeJSON(w, http.StatusOK, state{OK: true, Version: s.Version})
}
