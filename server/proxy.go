package server

import (
	"errors"
	"net/http"
	"strings"

	"datumbook/server/proxy"
	"datumbook/server/web"
)

// readProxies reads what the owner said of a proxy before the server.
func (s *Server) readProxies() (err error) {
	if s.Public == "" && len(s.Proxies) == 0 {
		return nil
	}
	if s.Public == "" {
		return errors.New("--proxy and --public go together: say with --public by which address phones reach the proxy, " +
			"for instance https://office.example")
	}
	if len(s.Proxies) == 0 {
		return errors.New("--proxy and --public go together: say with --proxy where the proxy's connections come from, " +
			"for instance 127.0.0.1 for a proxy on this machine, or whatever comes through it could pass for this machine")
	}
	if s.public, err = proxy.ParsePublic(s.Public); err != nil {
		return err
	}
	s.proxies, err = proxy.Parse(s.Proxies)
	s.proxied = s.proxies.HasNear()
	return err
}

// Proxied reports whether a proxy may run on this machine itself. Then no request is known to be of
// this machine: only a token gives a right.
func (s *Server) Proxied() bool { return s.proxied }

// tellSilent says once that a proxy does not tell whom it serves. A command of this machine tells
// nothing either, but does not call by the public name.
func (s *Server) tellSilent(c proxy.Came) {
	if !c.Via || !c.Silent || !c.Told && !s.isPublic(c.Hosts[0]) {
		return
	}
	s.silent.Do(func() {
		s.Log.Warn("the proxy does not say who calls, so that all who call through it count as one, also for wrong codes: "+
			"let it set X-Forwarded-For, and drop the Forwarded that clients send", "proxy", c.Conn.String())
	})
}

// isPublic reports whether a host is that of the public address.
func (s *Server) isPublic(host string) bool {
	return s.public != "" && bareHost(host) == bareHost(strings.TrimPrefix(s.public, "https://"))
}

// checkScheme refuses what came to a proxy without TLS: tokens must not go that way.
func (s *Server) checkScheme(r *http.Request) error {
	if !about(r).came.Plain {
		return nil
	}
	return web.NewError(http.StatusMisdirectedRequest, "misdirected", "scheme",
		"this came to the proxy without encryption: open "+s.public+" instead")
}
