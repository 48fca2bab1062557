package server

import (
	"net/http"
	"time"

	"datumbook/server/web"
)

// office tells the app how the office is reached, for the screen that shows phones the start page,
// the fingerprint to compare and the app's own address.
func (s *Server) office(w http.ResponseWriter, r *http.Request) error {
	var until *time.Time
	if !s.Until.IsZero() {
		until = &s.Until
	}
	return web.JSON(w, http.StatusOK, struct {
		App         string     `json:"app"`
		Start       string     `json:"start"`           // empty where there is no start page
		Fingerprint string     `json:"fingerprint"`     // of the certificate to install; empty where there is none
		Until       *time.Time `json:"until,omitempty"` // when the certificate expires
		Network     bool       `json:"network"`         // whether phones can reach it at all
		Version     string     `json:"version"`
	}{s.URL(), s.StartURL(), s.Fingerprint, until, !s.loopback, s.Version})
}

// backup sends a copy of the store while it serves. If it fails half way the connection is cut, so
// that it cannot pass as complete.
func (s *Server) backup(w http.ResponseWriter, r *http.Request) error {
	h := w.Header()
	h.Set("Content-Type", "application/octet-stream")
	h.Set("Content-Disposition", `attachment; filename="datumbook-`+s.Now().UTC().Format("2006-01-02-150405")+`.backup"`)
	out := &web.Recorder{ResponseWriter: w}
	err := s.Backup(r.Context(), out)
	if err != nil && out.Bytes > 0 {
		return web.CutShort(err)
	}
	if err != nil {
		h.Del("Content-Disposition")
	}
	return err
}
