package lan

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/hex"
	"encoding/pem"
	"errors"
	"log/slog"
	"math/big"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

func newClock() *clock { return &clock{now: time.Date(2030, 3, 4, 5, 6, 7, 0, time.UTC)} }

func options(dir string, c *clock, ips ...string) Options {
	return Options{Dir: dir, Names: []string{"datumbook.local"}, Now: c.Now, Addresses: func() ([]netip.Addr, error) {
		var out []netip.Addr
		for _, s := range ips {
			out = append(out, netip.MustParseAddr(s))
		}
		return out, nil
	}}
}

func roots(a *Authority) *x509.CertPool {
	p := x509.NewCertPool()
	c, err := x509.ParseCertificate(a.Certificate())
	if err != nil {
		panic(err)
	}
	p.AddCert(c)
	return p
}

func verify(a *Authority, leaf *x509.Certificate, name string, at time.Time) error {
	_, err := leaf.Verify(x509.VerifyOptions{Roots: roots(a), DNSName: name, CurrentTime: at})
	return err
}

func leafOf(t *testing.T, a *Authority) *x509.Certificate {
	t.Helper()
	c, err := a.TLS().GetCertificate(&tls.ClientHelloInfo{})
	require.NoError(t, err)
	return c.Leaf
}

func TestAuthorityIsMadeOnceAndKept(t *testing.T) {
	dir, c := t.TempDir(), newClock()
	a, err := OpenAuthority(options(dir, c, "192.168.1.20", "8.8.8.8", "127.0.0.1", "fe80::1%eth0"))
	require.NoError(t, err)
	again, err := OpenAuthority(options(dir, c, "192.168.1.20"))
	require.NoError(t, err)
	assert.Equal(t, a.Certificate(), again.Certificate())

	info, err := os.Stat(filepath.Join(dir, authorityFile))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 1, "no half-written file is left behind")

	sum := sha256.Sum256(a.Certificate())
	assert.Equal(t, strings.ToUpper(hex.EncodeToString(sum[:])), strings.ReplaceAll(a.Fingerprint(), ":", ""))
	assert.Len(t, a.Fingerprint(), 95)

	leaf := leafOf(t, a)
	for _, name := range []string{"datumbook.local", "localhost", "192.168.1.20", "127.0.0.1", "fe80::1"} {
		assert.NoError(t, verify(a, leaf, name, c.Now()), name)
	}
	assert.Error(t, verify(a, leaf, "8.8.8.8", c.Now()), "a public address is left out")
	assert.Error(t, verify(a, leaf, "other.local", c.Now()))
	assert.LessOrEqual(t, leaf.NotAfter.Sub(leaf.NotBefore), 825*24*time.Hour)
	assert.Equal(t, []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, leaf.ExtKeyUsage)
	assert.False(t, leaf.IsCA)
}

// A stolen authority cannot sign for the internet: the constraints in its own
// certificate make every client refuse.
func TestAuthorityCannotSignForTheInternet(t *testing.T) {
	c := newClock()
	a, err := OpenAuthority(options(t.TempDir(), c, "10.0.0.5"))
	require.NoError(t, err)
	a.names = []string{"bank.example"}
	forged, err := a.sign(c.Now(), []netip.Addr{netip.MustParseAddr("10.0.0.5")})
	require.NoError(t, err)
	err = verify(a, forged.Leaf, "bank.example", c.Now())
	var invalid x509.CertificateInvalidError
	require.ErrorAs(t, err, &invalid)
	assert.Equal(t, x509.CANotAuthorizedForThisName, invalid.Reason)

	a.names = nil
	forged, err = a.sign(c.Now(), []netip.Addr{netip.MustParseAddr("8.8.8.8")})
	require.NoError(t, err)
	assert.Error(t, verify(a, forged.Leaf, "8.8.8.8", c.Now()))
}

// Nor for anything but servers.
func TestAuthoritySignsForServersAlone(t *testing.T) {
	c := newClock()
	a, err := OpenAuthority(options(t.TempDir(), c, "10.0.0.5"))
	require.NoError(t, err)
	for _, use := range []x509.ExtKeyUsage{x509.ExtKeyUsageClientAuth, x509.ExtKeyUsageCodeSigning,
		x509.ExtKeyUsageEmailProtection} {
		template := &x509.Certificate{SerialNumber: big.NewInt(7), NotBefore: c.Now().Add(-time.Hour),
			NotAfter: c.Now().Add(time.Hour), ExtKeyUsage: []x509.ExtKeyUsage{use, x509.ExtKeyUsageServerAuth},
			DNSNames: []string{"datumbook.local"}}
		key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
		require.NoError(t, err)
		der, err := x509.CreateCertificate(rand.Reader, template, a.cert, key.Public(), a.key)
		require.NoError(t, err)
		forged, err := x509.ParseCertificate(der)
		require.NoError(t, err)
		check := func(use x509.ExtKeyUsage) error {
			_, err := forged.Verify(x509.VerifyOptions{Roots: roots(a), CurrentTime: c.Now(),
				KeyUsages: []x509.ExtKeyUsage{use}})
			return err
		}
		assert.NoError(t, check(x509.ExtKeyUsageServerAuth))
		assert.Error(t, check(use), "use %d", use)
	}
	assert.True(t, a.cert.PermittedDNSDomainsCritical)
	assert.Contains(t, a.cert.PermittedDNSDomains, "local")
	assert.Len(t, a.cert.PermittedIPRanges, len(localRanges))
}

// An authority that was made before it named its use goes on: phones trust it already.
func TestEarlierAuthorityKeepsWorking(t *testing.T) {
	c, dir := newClock(), t.TempDir()
	a, err := OpenAuthority(options(dir, c, "10.0.0.5"))
	require.NoError(t, err)
	earlier := *a.cert
	earlier.ExtKeyUsage, earlier.ExtraExtensions = nil, nil
	der, err := x509.CreateCertificate(rand.Reader, &earlier, &earlier, a.key.Public(), a.key)
	require.NoError(t, err)
	key, err := x509.MarshalPKCS8PrivateKey(a.key)
	require.NoError(t, err)
	text := append(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}),
		pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: key})...)
	require.NoError(t, os.WriteFile(filepath.Join(dir, authorityFile), text, 0o600))

	again, err := OpenAuthority(options(dir, c, "10.0.0.5"))
	require.NoError(t, err)
	assert.Equal(t, der, again.Certificate(), "not replaced")
	assert.Empty(t, again.cert.ExtKeyUsage)
	assert.NoError(t, verify(again, leafOf(t, again), "datumbook.local", c.Now()))
}

func TestLeafIsRenewed(t *testing.T) {
	c := newClock()
	ips := []string{"192.168.1.20"}
	o := options(t.TempDir(), c)
	broken := false
	o.Addresses = func() ([]netip.Addr, error) {
		if broken {
			return nil, errors.New("no interfaces")
		}
		var out []netip.Addr
		for _, s := range ips {
			out = append(out, netip.MustParseAddr(s))
		}
		return out, nil
	}
	a, err := OpenAuthority(o)
	require.NoError(t, err)
	first := leafOf(t, a)

	c.pass(59 * 24 * time.Hour)
	assert.Equal(t, first, leafOf(t, a), "31 days left: kept")
	c.pass(2 * 24 * time.Hour)
	second := leafOf(t, a)
	assert.NotEqual(t, first, second, "29 days left: renewed")
	assert.NoError(t, verify(a, second, "192.168.1.20", c.Now()))

	ips = append(ips, "192.168.7.9")
	assert.Equal(t, second, leafOf(t, a), "not looked at again within a minute")
	c.pass(2 * time.Minute)
	third := leafOf(t, a)
	assert.NoError(t, verify(a, third, "192.168.7.9", c.Now()), "a new address is taken in")

	broken = true
	c.pass(2 * time.Minute)
	assert.Equal(t, third, leafOf(t, a), "addresses that cannot be listed change nothing")
	c.pass(80 * 24 * time.Hour)
	assert.NoError(t, verify(a, leafOf(t, a), "192.168.7.9", c.Now()), "but age still renews, with the old addresses")

	c.pass(-100 * 24 * time.Hour)
	assert.Error(t, verify(a, third, "192.168.7.9", c.Now()))
	assert.NoError(t, verify(a, leafOf(t, a), "192.168.7.9", c.Now().Add(time.Hour)), "a clock put back gets a leaf that fits it")
}

func TestLeafNeverOutlivesTheAuthority(t *testing.T) {
	c := newClock()
	a, err := OpenAuthority(options(t.TempDir(), c, "10.1.1.1"))
	require.NoError(t, err)
	c.pass(authorityLife - 5*24*time.Hour)
	assert.Equal(t, a.Until().UTC(), leafOf(t, a).NotAfter.UTC())
}

func TestAuthorityRefusals(t *testing.T) {
	c := newClock()
	fresh := func(t *testing.T) (dir, file string) {
		dir = t.TempDir()
		_, err := OpenAuthority(options(dir, c, "10.1.1.1"))
		require.NoError(t, err)
		return dir, filepath.Join(dir, authorityFile)
	}
	t.Run("name of the internet", func(t *testing.T) {
		o := options(t.TempDir(), c)
		for _, n := range []string{"shop.example.com", "*.local", "local:8470", "", "notlocal"} {
			o.Names = []string{n}
			_, err := OpenAuthority(o)
			assert.ErrorContains(t, err, "--cert", n)
		}
	})
	t.Run("cut short", func(t *testing.T) {
		dir, file := fresh(t)
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, n := range []int{0, 10, len(text) / 2, len(text) - 30} {
			require.NoError(t, os.WriteFile(file, text[:n], 0o600))
			_, err = OpenAuthority(options(dir, c))
			assert.ErrorContains(t, err, "put the file back from a backup", "%d bytes", n)
		}
	})
	t.Run("another shop's key", func(t *testing.T) {
		dir, file := fresh(t)
		_, other := fresh(t)
		mine, err := os.ReadFile(file)
		require.NoError(t, err)
		theirs, err := os.ReadFile(other)
		require.NoError(t, err)
		at := bytes.Index(theirs, []byte("-----BEGIN PRIVATE"))
		mixed := append(mine[:bytes.Index(mine, []byte("-----BEGIN PRIVATE"))], theirs[at:]...)
		require.NoError(t, os.WriteFile(file, mixed, 0o600))
		_, err = OpenAuthority(options(dir, c))
		assert.ErrorContains(t, err, "do not belong together")
	})
	t.Run("run out", func(t *testing.T) {
		dir, _ := fresh(t)
		late := newClock()
		late.pass(authorityLife + time.Hour)
		_, err := OpenAuthority(options(dir, late))
		assert.ErrorContains(t, err, "check this machine's clock")
	})
	t.Run("open to others", func(t *testing.T) {
		dir, file := fresh(t)
		require.NoError(t, os.Chmod(file, 0o644))
		var said bytes.Buffer
		o := options(dir, c)
		o.Log = slog.New(slog.NewTextHandler(&said, nil))
		_, err := OpenAuthority(o)
		require.NoError(t, err)
		info, err := os.Stat(file)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
		assert.Contains(t, said.String(), "could read the shop's key")
	})
	t.Run("a file where the folder should be", func(t *testing.T) {
		file := filepath.Join(t.TempDir(), "taken")
		require.NoError(t, os.WriteFile(file, nil, 0o600))
		_, err := OpenAuthority(options(file, c))
		assert.Error(t, err)
	})
}

func TestHandshake(t *testing.T) {
	a, err := OpenAuthority(Options{Dir: t.TempDir(), Names: []string{"datumbook.local"}})
	require.NoError(t, err)
	l, err := tls.Listen("tcp", "127.0.0.1:0", a.TLS())
	require.NoError(t, err)
	defer func() { _ = l.Close() }()
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go func() { _ = c.(*tls.Conn).Handshake(); _ = c.Close() }()
		}
	}()
	dial := func(c *tls.Config) error {
		got, err := tls.Dial("tcp", l.Addr().String(), c)
		if err == nil {
			_ = got.Close()
		}
		return err
	}
	assert.NoError(t, dial(&tls.Config{RootCAs: roots(a), ServerName: "datumbook.local"}))
	assert.NoError(t, dial(&tls.Config{RootCAs: roots(a)}), "by the address")
	assert.Error(t, dial(&tls.Config{RootCAs: x509.NewCertPool()}), "a phone that has not installed it")
	assert.Error(t, dial(&tls.Config{RootCAs: roots(a), MaxVersion: tls.VersionTLS11}))
}

func TestPhoneAddresses(t *testing.T) {
	var in []netip.Addr
	for _, s := range []string{"127.0.0.1", "fd00::5", "192.168.1.4", "fe80::2%en0", "8.8.8.8", "::1", "10.0.0.3", "169.254.3.3", "2001:db8::1", "::ffff:10.0.0.3"} {
		in = append(in, netip.MustParseAddr(s))
	}
	var out []string
	for _, ip := range PhoneAddresses(in) {
		out = append(out, ip.String())
	}
	assert.Equal(t, []string{"10.0.0.3", "192.168.1.4", "fd00::5"}, out)

	mine, err := MachineAddresses()
	require.NoError(t, err)
	assert.Contains(t, mine, netip.MustParseAddr("127.0.0.1"))
}
