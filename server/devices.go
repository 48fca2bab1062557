package server

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"time"

	"github.com/gorilla/mux"

	"datumbook/server/lan"
	"datumbook/server/pairing"
)

// readBody reads a small JSON object into v and refuses keys that v lacks.
func readBody(r *http.Request, v any) error {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return fault(http.StatusUnsupportedMediaType, "unsupported_media_type", "Content-Type", "send Content-Type: application/json")
	}
	all, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	dec := json.NewDecoder(bytes.NewReader(all))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return fault(http.StatusBadRequest, "bad_request", "body", "the JSON does not fit: "+jsonTrouble(err))
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return fault(http.StatusBadRequest, "bad_request", "body", "there is something after the JSON object: send one object alone")
	}
	return nil
}

// deviceView is a device as the API shows it: everything but its token's hash.
type deviceView struct {
	ID      string     `json:"id"`
	Name    string     `json:"name"`
	Role    string     `json:"role"`
	Paired  time.Time  `json:"paired"`
	Seen    *time.Time `json:"seen,omitempty"`
	Revoked *time.Time `json:"revoked,omitempty"`
}

func viewOf(d pairing.Device) deviceView {
	v := deviceView{ID: d.ID, Name: d.Name, Role: d.Role.String(), Paired: d.Paired}
	if !d.Seen.IsZero() {
		v.Seen = &d.Seen
	}
	if !d.Revoked.IsZero() {
		v.Revoked = &d.Revoked
	}
	return v
}

// pairTrade trades a one-time code for a device token.
func (s *Server) pairTrade(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Code string `json:"code"`
		Name string `json:"name"`
	}
	if err := readBody(r, &in); err != nil {
		s.failLogged(w, r, err)
		return
	}
	token, dev, err := s.Desk.Trade(in.Code, in.Name, remote(r))
	if err != nil {
		s.failLogged(w, r, err)
		return
	}
	writeJSON(w, http.StatusCreated, struct {
		Token  string     `json:"token"`
		Device deviceView `json:"device"`
	}{token, viewOf(dev)})
}

// pairShow draws a code for the owner to show.
func (s *Server) pairShow(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Role string `json:"role"`
	}
	if err := readBody(r, &in); err != nil {
		s.failLogged(w, r, err)
		return
	}
	role, err := pairing.ParseRole(in.Role)
	if err != nil {
		fail(w, r, fault(http.StatusBadRequest, "bad_request", "role", err.Error()))
		return
	}
	code, err := s.Desk.Show(role, pairing.From(r.Context()).Name)
	if err != nil {
		s.failLogged(w, r, err)
		return
	}
	link := s.PairLink(code)
	qr, err := lan.NewQR(link)
	if err != nil {
		s.failLogged(w, r, err)
		return
	}
	writeJSON(w, http.StatusCreated, struct {
		Code    string    `json:"code"`
		Role    string    `json:"role"`
		Expires time.Time `json:"expires"`
		Link    string    `json:"link"` // what the QR code holds
		QR      string    `json:"qr"`   // the QR code as an SVG drawing
	}{code.Text, code.Role.String(), code.Expires.UTC(), link, string(qr.SVG())})
}

// PairLink gives the address that a phone opens to pair with a code. The code
// stands behind the # sign, which browsers keep to themselves: it reaches no
// log and no proxy.
func (s *Server) PairLink(c pairing.Code) string { return s.URL() + "/#pair=" + c.Digits() }

// me tells a device what it is here.
func (s *Server) me(w http.ResponseWriter, r *http.Request) {
	who := pairing.From(r.Context())
	writeJSON(w, http.StatusOK, struct {
		Device  string `json:"device"`
		Name    string `json:"name"`
		Role    string `json:"role"`
		Version string `json:"version"`
	}{who.Device, who.Name, who.Role.String(), s.Version})
}

func (s *Server) deviceList(w http.ResponseWriter, r *http.Request) {
	all, err := s.Desk.List()
	if err != nil {
		s.failLogged(w, r, err)
		return
	}
	out := make([]deviceView, 0, len(all))
	for _, d := range all {
		out = append(out, viewOf(d))
	}
	writeJSON(w, http.StatusOK, out)
}

func (s *Server) deviceRevoke(w http.ResponseWriter, r *http.Request) {
	if err := s.Desk.Revoke(mux.Vars(r)["id"], pairing.From(r.Context()).Name); err != nil {
		s.failLogged(w, r, err)
		return
	}
	w.WriteHeader(http.StatusNoContent)
}
