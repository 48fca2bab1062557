package proxy

import (
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// Came is how a request came.
type Came struct {
	Conn netip.Addr // of the other end of the connection; the zero Addr where it cannot be told
	From netip.Addr // of the client: what a named proxy says, else Conn
	Via  bool       // through a named proxy, or from the machine of one

	// Told: it carries a header such as proxies add, whoever sent it.
	Told bool
	// Silent: a named proxy does not say who the client is, or says two things.
	Silent bool
	// Hosts are the names by which the client called, with a port where it sent one. There is one,
	// but where a proxy says two, of which one may be the client's own invention.
	Hosts []string
	// Plain: by a named proxy's word, its client's connection was not encrypted.
	Plain bool
}

// tells are the headers by which a proxy shows itself.
var tells = []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-Ip", "Via"}

// Came reads how a request came.
//
// The client is found from the right: each proxy adds the address that called it at the end, so what
// the client had sent stands before, and the last address that is not a named proxy's is the client's.
//
// A proxy that writes one kind of header passes the other on as the client sent it. So where both are
// there and name two clients, neither is believed, and of hosts and schemes each has to be right.
func (n Named) Came(r *http.Request) Came {
	c := Came{Hosts: []string{r.Host}}
	if ap, err := netip.ParseAddrPort(r.RemoteAddr); err == nil {
		c.Conn = plain(ap.Addr())
	}
	c.From = c.Conn
	c.Told = slices.ContainsFunc(tells, func(h string) bool { return len(r.Header.Values(h)) > 0 })
	if c.Via = n.Has(c.Conn); !c.Via {
		return c
	}
	said, wellFormed := forwarded(r.Header.Values("Forwarded"))
	c.From, c.Silent = n.client(c.Conn, r.Header, said, wellFormed)
	var hosts, schemes []string
	if v := list(r.Header.Values("X-Forwarded-Host")); len(v) > 0 {
		hosts = append(hosts, v[len(v)-1])
	}
	if v := list(r.Header.Values("X-Forwarded-Proto")); len(v) > 0 {
		schemes = append(schemes, v[len(v)-1])
	}
	if len(said) > 0 {
		// Of several proxies the outermost knows: the one that heard the client.
		at := said[n.outermost(nodes(said))]
		hosts, schemes = append(hosts, at.host), append(schemes, at.proto)
	}
	none := func(s string) bool { return s == "" }
	if hosts = slices.DeleteFunc(hosts, none); len(hosts) > 0 {
		c.Hosts = slices.Compact(hosts)
	}
	c.Plain = slices.ContainsFunc(slices.DeleteFunc(schemes, none), func(s string) bool {
		return !strings.EqualFold(s, "https")
	})
	return c
}

// client gives the client's address; silent where the proxy named none that can be believed.
func (n Named) client(conn netip.Addr, h http.Header, said []element, wellFormed bool) (from netip.Addr, silent bool) {
	older := list(h.Values("X-Forwarded-For"))
	newer := nodes(said)
	names := slices.ContainsFunc(newer, func(s string) bool { return s != "" })
	switch {
	case !wellFormed:
		return conn, true
	case len(older) == 0 && !names:
		return conn, true
	case len(older) == 0:
		return n.end(conn, newer)
	case !names:
		return n.end(conn, older)
	}
	from, silent = n.end(conn, older)
	if other, _ := n.end(conn, newer); other != from {
		return conn, true
	}
	return from, silent
}

// outermost gives the place of the node that the outermost named proxy heard.
func (n Named) outermost(nodes []string) int {
	for i := len(nodes) - 1; i > 0; i-- {
		if a, ok := node(nodes[i]); !ok || !n.Has(a) {
			return i
		}
	}
	return 0
}

// end gives that node's address. Where it cannot be read the client is unknown, and counts as the
// proxy that is nearest to it.
func (n Named) end(conn netip.Addr, nodes []string) (from netip.Addr, silent bool) {
	at := n.outermost(nodes)
	if a, ok := node(nodes[at]); ok {
		return a, false
	}
	if at+1 < len(nodes) {
		conn, _ = node(nodes[at+1])
	}
	return conn, true
}

// node reads an address as proxies write it: with a port or without, IPv6 in brackets or bare.
func node(text string) (netip.Addr, bool) {
	a, err := netip.ParseAddr(strings.TrimSuffix(strings.TrimPrefix(text, "["), "]"))
	if err != nil {
		host, _, bad := net.SplitHostPort(text) // the port may be a word: RFC 7239, section 6.2
		if bad != nil {
			return netip.Addr{}, false
		}
		a, err = netip.ParseAddr(host)
	}
	if err != nil || a.IsUnspecified() {
		return netip.Addr{}, false
	}
	return plain(a), true
}

// list reads header lines of values with commas between them (RFC 9110, section 5.6.1).
func list(lines []string) []string {
	var out []string
	for _, line := range lines {
		for v := range strings.SplitSeq(line, ",") {
			if v = strings.TrimSpace(v); v != "" {
				out = append(out, v)
			}
		}
	}
	return out
}
