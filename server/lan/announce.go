package lan

import (
	"errors"
	"fmt"
	"log"
	"log/slog"
	"net"
	"net/netip"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/hashicorp/mdns"
	"github.com/miekg/dns"
)

// serviceType is the registered DNS-SD type for a secure web page. The name of
// the machine is what phones need; the service makes it show up in browsers
// for such things.
const serviceType = "_https._tcp"

// refresh is how often interfaces and addresses are read again: DHCP may assign a new address, a
// cable may be plugged in.
const refresh = 30 * time.Second

// Announcer answers on the local network to the office's name (multicast DNS,
// RFC 6762), on every interface, until it is closed.
type Announcer struct {
	o    AnnounceOptions
	stop chan struct{}
	done sync.WaitGroup

	mu      sync.Mutex
	servers []closer
	shown   string // interfaces and addresses the servers run on
}

type closer interface{ Shutdown() error }

// AnnounceOptions set up an Announcer.
type AnnounceOptions struct {
	Name      string // such as datumbook.local
	Port      int
	Addresses func() ([]netip.Addr, error) // nil: this machine's
	Log       *slog.Logger                 // nil: silent

	interfaces func() ([]net.Interface, error)
	listen     func(*mdns.Config) (closer, error)
	every      time.Duration
}

// Announce starts answering. Without multicast it returns an error with the workaround: the
// addresses work without the name. Afterwards, address changes are followed and errors logged.
func Announce(o AnnounceOptions) (*Announcer, error) {
	name := strings.TrimSuffix(strings.ToLower(o.Name), ".")
	if label, ok := strings.CutSuffix(name, ".local"); !ok || strings.Contains(label, ".") || !dnsLabel(label) {
		return nil, fmt.Errorf("name %q cannot be announced: use one word and .local, for instance datumbook.local", o.Name)
	}
	if o.Port < 1 || o.Port > 65535 {
		return nil, fmt.Errorf("port %d cannot be announced: it must be 1 to 65535", o.Port)
	}
	o.Name = name
	if o.Addresses == nil {
		o.Addresses = MachineAddresses
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	if o.interfaces == nil {
		o.interfaces = net.Interfaces
	}
	if o.listen == nil {
		o.listen = func(c *mdns.Config) (closer, error) { return mdns.NewServer(c) }
	}
	if o.every == 0 {
		o.every = refresh
	}
	a := &Announcer{o: o, stop: make(chan struct{})}
	if err := a.renew(); err != nil {
		return nil, err
	}
	a.done.Go(a.follow)
	return a, nil
}

// dnsLabel reports whether a word is a valid host name label (RFC 1123).
func dnsLabel(s string) bool {
	if s == "" || len(s) > 63 || s[0] == '-' || s[len(s)-1] == '-' {
		return false
	}
	for _, r := range s {
		if (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' {
			return false
		}
	}
	return true
}

func (a *Announcer) follow() {
	tick := time.NewTicker(a.o.every)
	defer tick.Stop()
	for {
		select {
		case <-a.stop:
			return
		case <-tick.C:
			if err := a.renew(); err != nil {
				a.o.Log.Warn("the office's name is not announced", "error", err)
			}
		}
	}
}

// renew restarts answering where interfaces or addresses have changed.
func (a *Announcer) renew() error {
	all, err := a.o.Addresses()
	if err != nil {
		return err
	}
	ips := PhoneAddresses(all)
	cards, err := a.o.interfaces()
	if err != nil {
		return fmt.Errorf("list this machine's network interfaces: %w", err)
	}
	cards = slices.DeleteFunc(cards, func(c net.Interface) bool {
		return c.Flags&net.FlagUp == 0 || c.Flags&net.FlagMulticast == 0 || c.Flags&net.FlagLoopback != 0
	})
	shown := fmt.Sprint(ips)
	for _, c := range cards {
		shown += fmt.Sprintf(" %d:%s", c.Index, c.Name)
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if shown == a.shown {
		return nil
	}
	if len(ips) == 0 || len(cards) == 0 {
		return errors.New("this machine is on no network that phones could share: connect it, or start without announcing")
	}
	zone, err := newZone(a.o.Name, a.o.Port, ips)
	if err != nil {
		return err
	}
	a.shut()
	var errs []error
	for i := range cards {
		s, err := a.o.listen(&mdns.Config{Zone: zone, Iface: &cards[i], Logger: quietLog(a.o.Log)})
		if err != nil {
			errs = append(errs, fmt.Errorf("%s: %w", cards[i].Name, err))
			continue
		}
		a.servers = append(a.servers, s)
	}
	if len(a.servers) == 0 {
		return fmt.Errorf("the name %s cannot be announced on this network; phones can use the address with figures: %w", a.o.Name, errors.Join(errs...))
	}
	a.shown = shown
	a.o.Log.Info("name announced", "name", a.o.Name, "addresses", fmt.Sprint(ips))
	return nil
}

func (a *Announcer) shut() {
	for _, s := range a.servers {
		if err := s.Shutdown(); err != nil {
			a.o.Log.Warn("an announcement did not end cleanly", "error", err)
		}
	}
	a.servers, a.shown = nil, ""
}

// Close stops answering.
func (a *Announcer) Close() error {
	close(a.stop)
	a.done.Wait()
	a.mu.Lock()
	defer a.mu.Unlock()
	a.shut()
	return nil
}

// quietLog logs the library's remarks about other machines' packets, which are not our errors, at
// the lowest level.
func quietLog(l *slog.Logger) *log.Logger { return slog.NewLogLogger(l.Handler(), slog.LevelDebug) }

// zone answers questions about the office's name in whatever case they are
// asked (RFC 6762, 16: names compare without regard to case).
type zone struct{ service *mdns.MDNSService }

func newZone(name string, port int, ips []netip.Addr) (zone, error) {
	label, _, _ := strings.Cut(name, ".")
	var plain []net.IP
	for _, ip := range ips {
		plain = append(plain, ip.AsSlice())
	}
	s, err := mdns.NewMDNSService(label, serviceType, "local.", name+".", port, plain, []string{"path=/"})
	if err != nil {
		return zone{}, fmt.Errorf("announce %s: %w", name, err)
	}
	return zone{s}, nil
}

// Records answers one question.
func (z zone) Records(q dns.Question) []dns.RR {
	if class := q.Qclass &^ (1 << 15); class != dns.ClassINET && class != dns.ClassANY {
		return nil
	}
	q.Name = strings.ToLower(q.Name)
	if q.Name == z.service.HostName && q.Qtype == dns.TypeANY {
		// The library answers ANY for its service alone.
		four, six := q, q
		four.Qtype, six.Qtype = dns.TypeA, dns.TypeAAAA
		return append(z.service.Records(four), z.service.Records(six)...)
	}
	return z.service.Records(q)
}
