package server

import (
	"encoding/hex"
	"errors"
	"net"
	"net/http"
	"strconv"

	"datumbook/server/pairing"
	"datumbook/server/web"
)

// NearURL gives the address by which this machine itself reaches the server: the name that phones
// use may not be known here.
func (s *Server) NearURL() string {
	host, _, err := net.SplitHostPort(s.listener.Addr().String())
	if ip := net.ParseIP(host); err != nil || ip == nil || !ip.IsUnspecified() {
		return s.URL()
	}
	scheme := "http"
	if s.TLS != nil {
		scheme = "https"
	}
	return scheme + "://" + net.JoinHostPort("localhost", strconv.Itoa(s.Port()))
}

// ErrProxied says why there is no link for a browser of this machine.
var ErrProxied = errors.New("a proxy may run on this machine, and a browser here cannot be told from those behind it: " +
	"pair it with a code, which 'datumbook devices --pair owner' prints")

// OpenLink gives the link by which a browser of this machine gets a token, once. The key is in the
// fragment, which browsers do not send: it reaches no log. ErrProxied where a proxy is so near that
// nobody could use it.
func (s *Server) OpenLink() (string, error) {
	if s.proxied {
		return "", ErrProxied
	}
	key, err := s.Pairing.OpenKey()
	return s.NearURL() + "/#open=" + key, err
}

// openTrade exchanges the key of that link for a device token of this machine.
func (s *Server) openTrade(w http.ResponseWriter, r *http.Request) error {
	var in struct {
		Key string `json:"key"`
	}
	if err := web.ReadJSON(r, &in); err != nil {
		return err
	}
	if !s.fromThisMachine(r) {
		return web.NewError(http.StatusForbidden, "forbidden", "key",
			"this link is for the office machine itself; pair this device with a code from the office screen")
	}
	token, dev, err := s.Pairing.Open(in.Key, remote(r))
	return admitted(w, token, dev, err)
}

// openShow makes a new link; an earlier one that was not used is not good any more.
func (s *Server) openShow(w http.ResponseWriter, r *http.Request) error {
	s.Pairing.DropOpenKey()
	link, err := s.OpenLink()
	if errors.Is(err, ErrProxied) {
		return web.NewError(http.StatusConflict, "conflict", "proxy", err.Error())
	}
	if err != nil {
		return err
	}
	return web.JSON(w, http.StatusCreated, map[string]string{"link": link})
}

// prove answers a nonce. Anyone may ask: the answer is of use only to whoever has the token too.
func (s *Server) prove(w http.ResponseWriter, r *http.Request) error {
	nonce := r.URL.Query().Get("nonce")
	if raw, err := hex.DecodeString(nonce); err != nil || len(raw) != pairing.NonceSize {
		return web.BadRequest("nonce", "send a nonce of "+strconv.Itoa(pairing.NonceSize)+" bytes in hexadecimal")
	}
	return web.JSON(w, http.StatusOK, map[string]string{"proof": s.Prove(nonce)})
}
