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
	fingerprint := s.Fingerprint
	if !s.Until.IsZero() {
		until = &s.Until
	}
	if s.public != "" { // a phone meets the proxy's certificate, which every phone trusts
		fingerprint, until = "", nil
	}
	return web.JSON(w, http.StatusOK, struct {
		App         string     `json:"app"`              // that phones open
		Public      string     `json:"public,omitempty"` // the same where it is a proxy's; else empty
		Start       string     `json:"start"`            // empty where there is no start page
		Fingerprint string     `json:"fingerprint"`      // of the certificate to install; empty where there is none
		Until       *time.Time `json:"until,omitempty"`  // when the certificate expires
		Network     bool       `json:"network"`          // whether phones can reach it at all
		Version     string     `json:"version"`
	}{s.PhoneURL(), s.public, s.StartURL(), fingerprint, until, !s.loopback || s.public != "", s.Version})
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
