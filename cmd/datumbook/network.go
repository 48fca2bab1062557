package main

import (
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"datumbook/pwa/floor"
	"datumbook/server"
	"datumbook/server/lan"
	"datumbook/store"
)

// network is what serve --lan adds: a certificate that phones can install, a name on the shop's
// network, and a start page.
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
		own, err := tls.LoadX509KeyPair(cfg.cert, cfg.key)
		if err != nil {
			return n, fmt.Errorf("the certificate and its key cannot be used: %w", err)
		}
		s.TLS = &tls.Config{Certificates: []tls.Certificate{own}, MinVersion: tls.VersionTLS12}
		s.Until = own.Leaf.NotAfter.UTC()
		return n, nil
	}
	n.authority, err = lan.OpenAuthority(lan.Options{Dir: cfg.data, Names: []string{cfg.name}, Log: log})
	if err != nil {
		return n, err
	}
	s.TLS = n.authority.TLS()
	s.Fingerprint = n.authority.Fingerprint()
	s.Until = n.authority.Until().UTC()
	if cfg.public != "" {
		return n, nil // there is nothing to install on a phone that comes through the proxy
	}
	s.StartAddr = cfg.startAddr
	s.Start = func(app string) (http.Handler, error) { return lan.NewStartPage(n.authority, app, floor.Said()) }
	return n, nil
}

// announce announces the name once the port is known.
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

// welcome tells the owner where phones go and, while there is no owner yet, shows the code that
// pairs the first one.
func (n *network) welcome(c *console, s *server.Server) error {
	if n.authority != nil && s.Public == "" {
		fmt.Fprintf(c.out, "Certificate fingerprint, to compare with the phone:\n  %s\n", n.authority.Fingerprint())
	}
	if err := n.showStart(c, s); err != nil {
		return err
	}
	owned, err := s.Pairing.HasOwner()
	if err != nil || owned {
		return err
	}
	code, err := s.Pairing.Show(store.Owner, "office")
	if err != nil {
		return err
	}
	fmt.Fprintf(c.out, "Nobody owns this office yet. Pair the owner's device within ten minutes: open %s\nor type the code %s there.\n", s.PairLink(code), code.Text)
	return showQR(c, s.PairLink(code))
}

// showStart prints the addresses a new phone starts at, the first as a code to
// scan.
func (n *network) showStart(c *console, s *server.Server) error {
	if s.Public != "" {
		fmt.Fprintf(c.out, "A new phone starts at %s, through the proxy at %s\n", s.PhoneURL(), strings.Join(s.Proxies, ", "))
		return showQR(c, s.PhoneURL())
	}
	addresses, err := lan.MachineAddresses()
	if err != nil {
		return err
	}
	scheme, port := "https", s.Port()
	if s.StartURL() != "" {
		scheme = "http"
		if u, err := url.Parse(s.StartURL()); err == nil {
			port, _ = strconv.Atoi(u.Port())
		}
	}
	for i, a := range lan.PhoneAddresses(addresses) {
		where := scheme + "://" + net.JoinHostPort(a.String(), strconv.Itoa(port))
		fmt.Fprintf(c.out, "A new phone starts at %s\n", where)
		if i == 0 {
			if err := showQR(c, where); err != nil {
				return err
			}
		}
	}
	return nil
}

// showQR prints a code to scan.
func showQR(c *console, text string) error {
	qr, err := lan.NewQR(text)
	if err != nil {
		return err
	}
	fmt.Fprintln(c.out, qr.Text())
	return nil
}
