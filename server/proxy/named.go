// Package proxy tells who calls where a reverse proxy stands before the server: which connections
// are those of proxies that the owner named, and what these say of the client in X-Forwarded-For,
// X-Forwarded-Host and X-Forwarded-Proto, or in Forwarded (RFC 7239). Said by anybody else, it is
// not believed.
package proxy

import (
	"fmt"
	"net"
	"net/netip"
	"net/url"
	"slices"
	"strings"
)

// Named is the proxies that the owner named.
type Named struct{ at []netip.Prefix }

// Parse reads addresses and networks, such as 127.0.0.1, fd00::5 or 10.0.5.0/24.
func Parse(names []string) (Named, error) {
	var n Named
	for _, name := range names {
		p, err := parsePrefix(strings.TrimSpace(name))
		if err != nil {
			return Named{}, fmt.Errorf("--proxy %q: %w", name, err)
		}
		n.at = append(n.at, p)
	}
	return n, nil
}

func parsePrefix(name string) (netip.Prefix, error) {
	if a, err := netip.ParseAddr(name); err == nil {
		if a.IsUnspecified() {
			return netip.Prefix{}, fmt.Errorf("this is no one's address: %s", example)
		}
		a = plain(a)
		return netip.PrefixFrom(a, a.BitLen()), nil
	}
	p, err := netip.ParsePrefix(name)
	if err != nil {
		return p, fmt.Errorf("this is neither an address nor a network: %s", example)
	}
	if p.Addr().Is4In6() && p.Bits() >= 96 {
		p = netip.PrefixFrom(p.Addr().Unmap(), p.Bits()-96)
	}
	if p.Bits() == 0 {
		return p, fmt.Errorf("this is everybody, and whoever calls could then say that he is somebody else: %s", example)
	}
	if p != p.Masked() {
		return p, fmt.Errorf("this is an address within a network: write %s for it alone, or %s for the whole network",
			p.Addr(), p.Masked())
	}
	return p, nil
}

const example = "write where the proxy's connections come from, for instance 127.0.0.1 for a proxy on this machine, " +
	"10.0.5.2 or 10.0.5.0/24"

// plain gives an address in the form in which all are compared.
func plain(a netip.Addr) netip.Addr { return a.Unmap().WithZone("") }

// Has reports whether an address is that of a named proxy.
func (n Named) Has(a netip.Addr) bool {
	a = plain(a)
	return slices.ContainsFunc(n.at, func(p netip.Prefix) bool { return p.Contains(a) })
}

// HasNear reports whether a named proxy may run on this machine itself, by the addresses that it has
// now. Where they cannot be told, it may.
func (n Named) HasNear() bool {
	if len(n.at) == 0 {
		return false
	}
	// All of loopback is one machine's, whichever address of it the proxy calls from.
	loopback := []netip.Prefix{netip.MustParsePrefix("127.0.0.0/8"), netip.MustParsePrefix("::1/128")}
	for _, p := range n.at {
		if slices.ContainsFunc(loopback, p.Overlaps) {
			return true
		}
	}
	own, err := net.InterfaceAddrs()
	if err != nil {
		return true
	}
	return slices.ContainsFunc(own, func(a net.Addr) bool {
		p, err := netip.ParsePrefix(a.String())
		return err != nil || n.Has(p.Addr())
	})
}

// ParsePublic reads the address by which phones reach the proxy and gives it as browsers write an
// origin: https, a name in small letters, and a port where it is not the usual one.
func ParsePublic(text string) (string, error) {
	no := func(why string) (string, error) {
		return "", fmt.Errorf("--public %q: %s", text, why)
	}
	u, err := url.Parse(strings.TrimSpace(text))
	if err != nil || u.Host == "" || u.Hostname() == "" {
		return no("this is no address: write it as phones open it, for instance https://office.example")
	}
	if u.Scheme != "https" {
		return no("phones keep the app only from an https address: let the proxy end TLS, and write https://" + u.Host)
	}
	if u.Path != "" && u.Path != "/" {
		return no("the app needs a name of its own and does not work below a path: write https://" + u.Host +
			", and let the proxy pass that whole name on")
	}
	if u.User != nil || u.RawQuery != "" || u.ForceQuery || u.Fragment != "" {
		return no("only a name, and a port where it is not 443, belong here: write https://" + u.Host)
	}
	host := strings.TrimSuffix(strings.ToLower(u.Hostname()), ".")
	for _, c := range host {
		switch {
		case c > '~':
			return no("write the name as browsers send it, in ASCII letters (xn--...)")
		case c == '*' || c == ' ' || c == '%' || c == ',':
			return no("write one name, for instance https://office.example")
		}
	}
	if strings.Contains(host, ":") {
		host = "[" + host + "]"
	}
	if port := u.Port(); port != "" && port != "443" {
		host += ":" + port
	}
	return "https://" + host, nil
}
