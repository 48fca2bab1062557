package server

import (
	"errors"
	"net/http"
	"time"

	"github.com/gorilla/mux"

	"datumbook/server/lan"
	"datumbook/server/pairing"
	"datumbook/server/web"
	"datumbook/store"
)

// deviceView is a device as the API shows it: everything but its token's hash.
type deviceView struct {
	ID      string     `json:"id"`
	Name    string     `json:"name"`
	Role    string     `json:"role"`
	Paired  time.Time  `json:"paired"`
	Seen    *time.Time `json:"seen,omitempty"`
	Revoked *time.Time `json:"revoked,omitempty"`
}

func viewOf(d store.Device) deviceView {
	v := deviceView{ID: d.ID, Name: d.Name, Role: d.Role.String(), Paired: d.Created}
	if !d.LastSeen.IsZero() {
		v.Seen = &d.LastSeen
	}
	if d.IsRevoked() {
		v.Revoked = &d.Revoked
	}
	return v
}

// pairTrade exchanges a one-time code for a device token.
func (s *Server) pairTrade(w http.ResponseWriter, r *http.Request) error {
	var in struct {
		Code string `json:"code"`
		Name string `json:"name"`
	}
	if err := web.ReadJSON(r, &in); err != nil {
		return err
	}
	token, dev, err := s.Pairing.Trade(in.Code, in.Name, remote(r))
	return admitted(w, token, dev, err)
}

// admitted answers a device that was let in with its token, which is told only here.
func admitted(w http.ResponseWriter, token string, dev store.Device, err error) error {
	if err != nil {
		return refused(err)
	}
	return web.JSON(w, http.StatusCreated, struct {
		Token  string     `json:"token"`
		Device deviceView `json:"device"`
	}{token, viewOf(dev)})
}

// pairShow creates a code for the owner to show.
func (s *Server) pairShow(w http.ResponseWriter, r *http.Request) error {
	var in struct {
		Role string `json:"role"`
	}
	if err := web.ReadJSON(r, &in); err != nil {
		return err
	}
	role, err := store.ParseRole(in.Role)
	if err != nil {
		return web.BadRequest("role", err.Error())
	}
	code, err := s.Pairing.Show(role, pairing.From(r.Context()).Name)
	if err != nil {
		return refused(err)
	}
	link := s.PairLink(code)
	qr, err := lan.NewQR(link)
	if err != nil {
		return err
	}
	return web.JSON(w, http.StatusCreated, struct {
		Code    string    `json:"code"`
		Role    string    `json:"role"`
		Expires time.Time `json:"expires"`
		Link    string    `json:"link"` // what the QR code holds
		QR      string    `json:"qr"`   // the QR code as an SVG drawing
	}{code.Text, code.Role.String(), code.Expires.UTC(), link, string(qr.SVG())})
}

// PairLink gives the address that a phone opens to pair with a code. The code is in the fragment,
// which browsers do not send: it reaches no log and no proxy.
func (s *Server) PairLink(c pairing.Code) string { return s.PhoneURL() + "/#pair=" + c.Digits() }

// me tells a device who it is here.
func (s *Server) me(w http.ResponseWriter, r *http.Request) error {
	who := pairing.From(r.Context())
	return web.JSON(w, http.StatusOK, struct {
		Device  string `json:"device"`
		Name    string `json:"name"`
		Role    string `json:"role"`
		Version string `json:"version"`
	}{who.Device, who.Name, who.Role.String(), s.Version})
}

func (s *Server) deviceList(w http.ResponseWriter, r *http.Request) error {
	all, err := s.Pairing.List()
	if err != nil {
		return err
	}
	out := make([]deviceView, 0, len(all))
	for _, d := range all {
		out = append(out, viewOf(d))
	}
	return web.JSON(w, http.StatusOK, out)
}

// deviceRename gives a device another name: an owner any, each device its own.
func (s *Server) deviceRename(w http.ResponseWriter, r *http.Request) error {
	var in struct {
		Name string `json:"name"`
	}
	if err := web.ReadJSON(r, &in); err != nil {
		return err
	}
	id, who := mux.Vars(r)["id"], pairing.From(r.Context())
	if id != who.Device && !who.Role.Allows(store.Owner) {
		return web.NewError(http.StatusForbidden, "forbidden", "role",
			"only an owner gives another device a name; this one may change its own")
	}
	name, err := s.Pairing.Rename(id, in.Name, who.Name)
	if err != nil {
		return refused(err)
	}
	return web.JSON(w, http.StatusOK, struct {
		Name string `json:"name"`
	}{name})
}

func (s *Server) deviceRevoke(w http.ResponseWriter, r *http.Request) error {
	id := mux.Vars(r)["id"]
	if err := s.Pairing.Revoke(id, pairing.From(r.Context()).Name); err != nil {
		return refused(err)
	}
	s.running.revoke(id, about(r))
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// refused maps a pairing refusal to its status.
func refused(err error) error {
	var no *pairing.Refusal
	switch {
	case errors.Is(err, pairing.ErrNoDevice):
		return web.NewError(http.StatusNotFound, "not_found", "device",
			"there is no device with that id: see the list of devices")
	case !errors.As(err, &no):
		return err
	}
	out := web.BadRequest(no.Field, no.Says)
	out.Wait = no.Wait
	switch {
	case no.Early:
		out.Status, out.Name = http.StatusTooManyRequests, "too_many_requests"
	case no.Wrong:
		out.Status, out.Name = http.StatusForbidden, "forbidden"
	}
	return out
}
