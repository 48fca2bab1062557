package main

import (
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"strconv"

	"datumbook/server"
	"datumbook/server/lan"
)

// network is what serve --lan adds: a certificate phones can be taught to
// trust, a name on the shop's network, and a start page.
type network struct {
	name      string
	authority *lan.Authority // nil with a certificate of the shop's own
	announcer *lan.Announcer
}

// openNetwork sets the server up for the shop's network before it opens.
func openNetwork(cfg serveConfig, s *server.Server, log *slog.Logger) (network, error) {
	n := network{name: cfg.name}
	if s.Addr == "" {
		s.Addr = ":8470"
	}
	addresses, err := lan.MachineAddresses()
	if err != nil {
		return n, err
	}
	s.Hosts = []string{cfg.name}
	for _, a := range addresses {
		s.Hosts = append(s.Hosts, a.String())
	}
	if (cfg.cert == "") != (cfg.key == "") {
		return n, errors.New("--cert and --key go together: name both files")
	}
	if cfg.cert != "" {
		pair, err := tls.LoadX509KeyPair(cfg.cert, cfg.key)
		if err != nil {
			return n, fmt.Errorf("the certificate and its key cannot be used: %w", err)
		}
		s.TLS = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
		return n, nil
	}
	n.authority, err = lan.OpenAuthority(lan.Options{Dir: cfg.data, Names: []string{cfg.name}, Log: log})
	if err != nil {
		return n, err
	}
	s.TLS = n.authority.TLS()
	s.StartAddr = cfg.startAddr
	s.Start = func(app string) (http.Handler, error) { return lan.NewStartPage(n.authority, app) }
	return n, nil
}

// announce gives the name out once the port is known.
func (n *network) announce(s *server.Server, log *slog.Logger) error {
	a, err := lan.Announce(lan.AnnounceOptions{Name: n.name, Port: s.Port(), Log: log})
	n.announcer = a
	return err
}

func (n *network) close() {
	if n.announcer != nil {
		_ = n.announcer.Close()
	}
}

// print tells the owner where phones go, with a code to scan.
func (n *network) print(c *console, s *server.Server) {
	if n.authority != nil {
		fmt.Fprintf(c.out, "Certificate fingerprint, to compare with the phone:\n  %s\n", n.authority.Fingerprint())
	}
	addresses, err := lan.MachineAddresses()
	if err != nil {
		return
	}
	first := ""
	for _, a := range lan.PhoneAddresses(addresses) {
		where := "https://" + netip.AddrPortFrom(a, uint16(s.Port())).String()
		if s.StartURL() != "" {
			if _, port, err := net.SplitHostPort(s.StartAddr); err == nil {
				if p, err := strconv.ParseUint(port, 10, 16); err == nil {
					where = "http://" + netip.AddrPortFrom(a, uint16(p)).String()
				}
			}
		}
		fmt.Fprintf(c.out, "A new phone starts at %s\n", where)
		if first == "" {
			first = where
		}
	}
	if first == "" {
		return
	}
	if qr, err := lan.NewQR(first); err == nil {
		fmt.Fprintln(c.out, qr.Text())
	}
}
