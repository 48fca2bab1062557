package lan

import (
	"errors"
	"net"
	"net/netip"
	"sync"
	"testing"
	"time"

	"github.com/hashicorp/mdns"
	"github.com/miekg/dns"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestZoneAnswers(t *testing.T) {
	z, err := newZone("datumbook.local", 8471, []netip.Addr{netip.MustParseAddr("192.168.1.20"), netip.MustParseAddr("fd00::20")})
	require.NoError(t, err)
	ask := func(name string, kind, class uint16) []string {
		var out []string
		for _, rr := range z.Records(dns.Question{Name: name, Qtype: kind, Qclass: class}) {
			switch r := rr.(type) {
			case *dns.A:
				out = append(out, r.A.String())
			case *dns.AAAA:
				out = append(out, r.AAAA.String())
			case *dns.SRV:
				out = append(out, r.Target)
				assert.Equal(t, uint16(8471), r.Port)
			case *dns.PTR:
				out = append(out, r.Ptr)
			}
		}
		return out
	}
	const wantsUnicast = 1 << 15 // RFC 6762, 18.12
	for _, c := range []struct {
		name, asked string
		kind, class uint16
		want        []string
	}{
		{"IPv4", "datumbook.local.", dns.TypeA, dns.ClassINET, []string{"192.168.1.20"}},
		{"IPv6", "datumbook.local.", dns.TypeAAAA, dns.ClassINET, []string{"fd00::20"}},
		{"any", "datumbook.local.", dns.TypeANY, dns.ClassINET, []string{"192.168.1.20", "fd00::20"}},
		{"capitals", "DatumBook.LOCAL.", dns.TypeA, dns.ClassINET, []string{"192.168.1.20"}},
		{"wants unicast", "datumbook.local.", dns.TypeA, dns.ClassINET | wantsUnicast, []string{"192.168.1.20"}},
		{"other name", "other.local.", dns.TypeA, dns.ClassINET, nil},
		{"other class", "datumbook.local.", dns.TypeA, dns.ClassCHAOS, nil},
		{"browse", "_https._tcp.local.", dns.TypePTR, dns.ClassINET, []string{"datumbook._https._tcp.local.", "datumbook.local.", "192.168.1.20", "fd00::20"}},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, ask(c.asked, c.kind, c.class)) })
	}
}

type fakeServer struct{ shut *int }

func (f fakeServer) Shutdown() error { *f.shut++; return nil }

func TestAnnouncerFollowsTheNetwork(t *testing.T) {
	var mu sync.Mutex
	ips := []netip.Addr{netip.MustParseAddr("192.168.1.20")}
	started, shut := []string{}, 0
	a, err := Announce(AnnounceOptions{
		Name: "Datumbook.local.", Port: 8471,
		Addresses: func() ([]netip.Addr, error) {
			mu.Lock()
			defer mu.Unlock()
			return ips, nil
		},
		interfaces: func() ([]net.Interface, error) {
			up := net.FlagUp | net.FlagMulticast
			return []net.Interface{
				{Index: 1, Name: "lo", Flags: up | net.FlagLoopback},
				{Index: 2, Name: "lan0", Flags: up},
				{Index: 3, Name: "down0", Flags: net.FlagMulticast},
				{Index: 4, Name: "tun0", Flags: net.FlagUp},
				{Index: 5, Name: "lan1", Flags: up},
			}, nil
		},
		listen: func(c *mdns.Config) (closer, error) {
			mu.Lock()
			defer mu.Unlock()
			if c.Iface.Name == "lan1" {
				return nil, errors.New("no multicast here")
			}
			got := c.Zone.Records(dns.Question{Name: "datumbook.local.", Qtype: dns.TypeA, Qclass: dns.ClassINET})
			started = append(started, c.Iface.Name+" "+got[0].(*dns.A).A.String())
			return fakeServer{&shut}, nil
		},
		every: time.Millisecond,
	})
	require.NoError(t, err)
	time.Sleep(20 * time.Millisecond)
	mu.Lock()
	assert.Equal(t, []string{"lan0 192.168.1.20"}, started, "one card has multicast; nothing changed since")
	ips = []netip.Addr{netip.MustParseAddr("192.168.1.33")}
	mu.Unlock()
	require.Eventually(t, func() bool {
		mu.Lock()
		defer mu.Unlock()
		return len(started) == 2
	}, 5*time.Second, time.Millisecond)
	require.NoError(t, a.Close())
	assert.Equal(t, []string{"lan0 192.168.1.20", "lan0 192.168.1.33"}, started)
	assert.Equal(t, 2, shut, "the old one and the new one are ended")
}

func TestAnnounceRefusals(t *testing.T) {
	one := func() ([]netip.Addr, error) { return []netip.Addr{netip.MustParseAddr("10.0.0.1")}, nil }
	card := func() ([]net.Interface, error) {
		return []net.Interface{{Index: 2, Name: "lan0", Flags: net.FlagUp | net.FlagMulticast}}, nil
	}
	deaf := func(*mdns.Config) (closer, error) { return nil, errors.New("not permitted") }
	none := func() ([]netip.Addr, error) { return nil, nil }
	for _, c := range []struct {
		name string
		o    AnnounceOptions
		want string
	}{
		{"not local", AnnounceOptions{Name: "shop.example", Port: 1}, ".local"},
		{"two words", AnnounceOptions{Name: "a.b.local", Port: 1}, "one word"},
		{"blank in it", AnnounceOptions{Name: "my shop.local", Port: 1}, "one word"},
		{"dash first", AnnounceOptions{Name: "-shop.local", Port: 1}, "one word"},
		{"no port", AnnounceOptions{Name: "shop.local"}, "1 to 65535"},
		{"no network", AnnounceOptions{Name: "shop.local", Port: 1, Addresses: none, interfaces: card}, "no network"},
		{"no multicast", AnnounceOptions{Name: "shop.local", Port: 1, Addresses: one, interfaces: card, listen: deaf}, "address with figures"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Announce(c.o)
			assert.ErrorContains(t, err, c.want)
		})
	}
}
