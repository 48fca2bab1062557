package lan

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"math/big"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

const (
	// authorityFile holds key and certificate together, mode 0600: one file is replaced atomically,
	// two could get out of step.
	authorityFile = "authority.pem"

	authorityLife = 10 * 365 * 24 * time.Hour
	// leafLife is well under 825 days, the longest that phones take for a
	// server certificate from an authority their owner installed.
	leafLife  = 90 * 24 * time.Hour
	leafRenew = 30 * 24 * time.Hour // a new one is made with this much left
	backdate  = 24 * time.Hour      // for phones whose clock is behind
	lookEvery = time.Minute         // between checks for changed addresses
)

// localDomains are the domains the authority may sign for: those that no one
// owns on the internet (RFC 6762 local, RFC 6761 localhost, RFC 8375
// home.arpa, ICANN's internal) and lan, which many routers use.
var localDomains = []string{"local", "localhost", "home.arpa", "internal", "lan"}

// localRanges are the addresses it may sign for: loopback, private (RFC 1918),
// link-local (RFC 3927, RFC 4291), shared (RFC 6598), unique local (RFC 4193).
var localRanges = []string{"127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "100.64.0.0/10",
	"::1/128", "fc00::/7", "fe80::/10"}

// Authority is the shop's own certificate authority and the server certificate
// that it keeps renewed. It is safe for concurrent use.
type Authority struct {
	names     []string
	addresses func() ([]netip.Addr, error)
	now       func() time.Time
	log       *slog.Logger

	key  crypto.Signer
	cert *x509.Certificate

	mu     sync.Mutex
	leaf   *tls.Certificate
	looked time.Time
}

// Options set up an Authority.
type Options struct {
	Dir       string                       // where key and certificate are kept
	Names     []string                     // names the office is reached by, such as datumbook.local
	Addresses func() ([]netip.Addr, error) // addresses it is reached by; nil: this machine's
	Now       func() time.Time             // nil: the real clock
	Log       *slog.Logger                 // nil: silent
}

// OpenAuthority reads the authority from its folder or makes it at first start. A key readable by
// others gets its permissions fixed and is reported. An invalid or mismatched pair is an error that
// says what to do; it is never replaced silently, since every phone would have to trust the new one
// first.
func OpenAuthority(o Options) (*Authority, error) {
	a := &Authority{addresses: o.Addresses, now: o.Now, log: o.Log}
	if a.addresses == nil {
		a.addresses = MachineAddresses
	}
	if a.now == nil {
		a.now = time.Now
	}
	if a.log == nil {
		a.log = slog.New(slog.DiscardHandler)
	}
	for _, n := range o.Names {
		n = strings.TrimSuffix(strings.ToLower(n), ".")
		if !localName(n) {
			return nil, fmt.Errorf("name %q is not local: use one that ends in .local, .lan, .internal or .home.arpa, or bring a certificate of your own with --cert and --key", n)
		}
		a.names = append(a.names, n)
	}
	path := filepath.Join(o.Dir, authorityFile)
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		err = a.make(o.Dir)
	} else if err == nil {
		if err = a.read(text); err == nil {
			err = a.closeFile(path)
		} else {
			err = lost(path, err)
		}
	} else {
		err = lost(path, err)
	}
	if err != nil {
		return nil, err
	}
	if end := a.cert.NotAfter; !a.now().Before(end) {
		return nil, fmt.Errorf("the shop's certificate ran out on %s: check this machine's clock; if it is right, move %s away, start again, and install the new certificate on every phone",
			end.Format(time.DateOnly), path)
	}
	if _, err := a.renew(); err != nil {
		return nil, err
	}
	return a, nil
}

func lost(what string, err error) error {
	return fmt.Errorf("the shop's certificate in %s cannot be used: put the file back from a backup; or move it away, start again, and install the new certificate on every phone: %w", what, err)
}

// localName reports whether the authority's certificate lets it sign for a name.
func localName(n string) bool {
	if n == "" || len(n) > 253 || strings.ContainsAny(n, "*/:@ ") {
		return false
	}
	for _, d := range localDomains {
		if n == d || strings.HasSuffix(n, "."+d) {
			return true
		}
	}
	return false
}

// localAddress reports the same for an address.
func localAddress(ip netip.Addr) bool {
	for _, r := range localRanges {
		if netip.MustParsePrefix(r).Contains(ip.Unmap().WithZone("")) {
			return true
		}
	}
	return false
}

// make generates a new authority and writes it to disk.
func (a *Authority) make(dir string) error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return fmt.Errorf("make the shop's key: %w", err)
	}
	serial, err := newSerial()
	if err != nil {
		return err
	}
	var ranges []*net.IPNet
	for _, r := range localRanges {
		_, n, err := net.ParseCIDR(r)
		if err != nil {
			return err
		}
		ranges = append(ranges, n)
	}
	now := a.now()
	template := &x509.Certificate{
		SerialNumber: serial,
		// The serial's first figures tell two shops' certificates apart in a phone's list.
		Subject:               pkix.Name{CommonName: fmt.Sprintf("Datumbook shop certificate %X", serial.Bytes()[:4])},
		NotBefore:             now.Add(-backdate),
		NotAfter:              now.Add(authorityLife),
		IsCA:                  true,
		BasicConstraintsValid: true,
		MaxPathLenZero:        true,
		KeyUsage:              x509.KeyUsageCertSign | x509.KeyUsageCRLSign,
		// Servers alone: it cannot vouch for mail, programs or clients. The constraints below name
		// only the two kinds of names that a server has.
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		// Critical, so that a client that does not know constraints refuses the certificate rather
		// than trust its holder for every bank. The systems of phones and desks know them; some do
		// not apply them to an authority that a user installed, hence: keep the file safe.
		PermittedDNSDomainsCritical: true,
		PermittedDNSDomains:         localDomains,
		PermittedIPRanges:           ranges,
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	if err != nil {
		return fmt.Errorf("make the shop's certificate: %w", err)
	}
	keyDER, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return fmt.Errorf("pack the shop's key: %w", err)
	}
	text := append(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}),
		pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: keyDER})...)
	if err := a.read(text); err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("make the folder for the shop's certificate: %w", err)
	}
	if err := writeWhole(dir, authorityFile, text); err != nil {
		return err
	}
	a.log.Info("shop certificate made", "fingerprint", a.Fingerprint(), "until", a.cert.NotAfter.Format(time.DateOnly))
	return nil
}

// read parses certificate and key and checks that they match and are what make would have made.
func (a *Authority) read(text []byte) error {
	var key any
	var cert *x509.Certificate
	var err error
	for block, rest := pem.Decode(text); block != nil; block, rest = pem.Decode(rest) {
		switch block.Type {
		case "CERTIFICATE":
			cert, err = x509.ParseCertificate(block.Bytes)
		case "PRIVATE KEY":
			key, err = x509.ParsePKCS8PrivateKey(block.Bytes)
		}
		if err != nil {
			return fmt.Errorf("the part %s: %w", block.Type, err)
		}
	}
	if key == nil || cert == nil {
		return errors.New("certificate or key is missing from it")
	}
	own, ok := key.(*ecdsa.PrivateKey)
	if !ok || !own.PublicKey.Equal(cert.PublicKey) {
		return errors.New("key and certificate do not belong together")
	}
	if !cert.IsCA || !cert.PermittedDNSDomainsCritical {
		return errors.New("this is not a certificate that Datumbook made")
	}
	a.key, a.cert = own, cert
	return nil
}

// closeFile removes other users' permissions.
func (a *Authority) closeFile(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return lost(path, err)
	}
	if !private || info.Mode().Perm()&0o077 == 0 {
		return nil
	}
	if err := os.Chmod(path, 0o600); err != nil {
		return fmt.Errorf("other users of this machine can read %s and it cannot be closed to them: %w", path, err)
	}
	a.log.Warn("other users of this machine could read the shop's key; it is closed now; if any of them may have copied it, make a new certificate", "file", path)
	return nil
}

// newSerial draws 127 bits whose first byte is never zero, so that the serial
// is positive and always of the same length.
func newSerial() (*big.Int, error) {
	var b [16]byte
	if _, err := rand.Read(b[:]); err != nil {
		return nil, fmt.Errorf("draw a serial number: %w", err)
	}
	b[0] = b[0]&0x7f | 0x40
	return new(big.Int).SetBytes(b[:]), nil
}

// Certificate gives the authority's certificate in DER form, as phones
// install it.
func (a *Authority) Certificate() []byte { return slices.Clone(a.cert.Raw) }

// Until gives the day the authority's certificate runs out.
func (a *Authority) Until() time.Time { return a.cert.NotAfter }

// Fingerprint gives the SHA-256 of the certificate as phones show it: pairs of
// capital figures with colons.
func (a *Authority) Fingerprint() string {
	sum := sha256.Sum256(a.cert.Raw)
	pairs := make([]string, len(sum))
	for i, b := range sum {
		pairs[i] = fmt.Sprintf("%02X", b)
	}
	return strings.Join(pairs, ":")
}

// TLS gives the server's configuration. The certificate is checked on each connection and renewed
// before it expires or when this machine's addresses change.
func (a *Authority) TLS() *tls.Config {
	return &tls.Config{
		MinVersion: tls.VersionTLS12,
		GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) {
			return a.renew()
		},
	}
}

// renew returns the leaf certificate, a new one where needed. If making one fails, one that is
// still valid stays in use.
func (a *Authority) renew() (*tls.Certificate, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	now := a.now()
	// Listing addresses costs system calls, so not on each connection. A clock set back lists
	// again.
	if since := now.Sub(a.looked); a.leaf != nil && since >= 0 && since < lookEvery {
		return a.leaf, nil
	}
	a.looked = now
	ips, err := a.addresses()
	if err != nil {
		a.log.Warn("this machine's addresses cannot be listed", "error", err)
		if a.leaf != nil {
			ips = fromNet(a.leaf.Leaf.IPAddresses)
		}
	}
	ips = tidy(ips)
	if a.leaf != nil && covers(a.leaf.Leaf, ips) && now.Add(leafRenew).Before(a.leaf.Leaf.NotAfter) && now.After(a.leaf.Leaf.NotBefore) {
		return a.leaf, nil
	}
	leaf, err := a.sign(now, ips)
	if err != nil {
		if a.leaf != nil && now.Before(a.leaf.Leaf.NotAfter) {
			a.log.Error("the server certificate cannot be renewed", "error", err, "until", a.leaf.Leaf.NotAfter)
			return a.leaf, nil
		}
		return nil, err
	}
	a.leaf = leaf
	a.log.Info("server certificate made", "names", leaf.Leaf.DNSNames, "addresses", len(ips), "until", leaf.Leaf.NotAfter.Format(time.DateOnly))
	return leaf, nil
}

// sign makes a server certificate. Its key is only in memory.
func (a *Authority) sign(now time.Time, ips []netip.Addr) (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, fmt.Errorf("make a server key: %w", err)
	}
	serial, err := newSerial()
	if err != nil {
		return nil, err
	}
	end := now.Add(leafLife)
	if a.cert.NotAfter.Before(end) {
		end = a.cert.NotAfter
	}
	template := &x509.Certificate{
		SerialNumber: serial,
		Subject:      pkix.Name{CommonName: "Datumbook office"},
		NotBefore:    now.Add(-backdate),
		NotAfter:     end,
		KeyUsage:     x509.KeyUsageDigitalSignature,
		ExtKeyUsage:  []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		DNSNames:     append(slices.Clone(a.names), "localhost"),
	}
	for _, ip := range ips {
		template.IPAddresses = append(template.IPAddresses, ip.AsSlice())
	}
	der, err := x509.CreateCertificate(rand.Reader, template, a.cert, key.Public(), a.key)
	if err != nil {
		return nil, fmt.Errorf("make a server certificate: %w", err)
	}
	leaf, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, fmt.Errorf("read the new server certificate: %w", err)
	}
	return &tls.Certificate{Certificate: [][]byte{der, a.cert.Raw}, PrivateKey: key, Leaf: leaf}, nil
}

// tidy sorts addresses and drops duplicates and those the authority may not sign for.
func tidy(ips []netip.Addr) []netip.Addr {
	var out []netip.Addr
	for _, ip := range ips {
		if ip = ip.Unmap().WithZone(""); ip.IsValid() && localAddress(ip) {
			out = append(out, ip)
		}
	}
	slices.SortFunc(out, netip.Addr.Compare)
	return slices.Compact(out)
}

// covers reports whether a certificate names every address.
func covers(leaf *x509.Certificate, ips []netip.Addr) bool {
	have := fromNet(leaf.IPAddresses)
	for _, ip := range ips {
		if !slices.Contains(have, ip) {
			return false
		}
	}
	return true
}

func fromNet(ips []net.IP) []netip.Addr {
	var out []netip.Addr
	for _, ip := range ips {
		if a, ok := netip.AddrFromSlice(ip); ok {
			out = append(out, a.Unmap())
		}
	}
	return out
}

// MachineAddresses lists this machine's own addresses, loopback too.
func MachineAddresses() ([]netip.Addr, error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, fmt.Errorf("list this machine's addresses: %w", err)
	}
	var out []netip.Addr
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok {
			if ip, ok := netip.AddrFromSlice(n.IP); ok {
				out = append(out, ip.Unmap())
			}
		}
	}
	return out, nil
}

// PhoneAddresses picks from a machine's addresses those a phone can use, most
// likely first: private IPv4, then unique local IPv6. Link-local IPv6 needs a
// zone that no phone can type.
func PhoneAddresses(all []netip.Addr) []netip.Addr {
	var four, six []netip.Addr
	for _, ip := range tidy(all) {
		switch {
		case ip.IsLoopback() || ip.IsLinkLocalUnicast():
		case ip.Is4():
			four = append(four, ip)
		default:
			six = append(six, ip)
		}
	}
	return append(four, six...)
}
