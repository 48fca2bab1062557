package server_test

import (
	"bufio"
	"crypto/tls"
	"crypto/x509"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/pwa/floor"
	"datumbook/server"
	"datumbook/server/lan"
	"datumbook/server/servertest"
	"datumbook/server/web"
	"datumbook/store"
)

// The shop's network as a phone meets it: the start page, the certificate,
// then the app over HTTPS, paired by a code.
func TestPhoneOnTheShopNetwork(t *testing.T) {
	authority, err := lan.OpenAuthority(lan.Options{Dir: t.TempDir(), Names: []string{"datumbook.local"}})
	require.NoError(t, err)
	o := servertest.Start(t, func(s *server.Server) {
		servertest.Everywhere(s)
		s.Hosts = []string{"datumbook.local"}
		s.TLS = authority.TLS()
		s.StartAddr = "127.0.0.1:0"
		s.Start = func(app string) (http.Handler, error) { return lan.NewStartPage(authority, app, floor.Said()) }
		s.Patience = 200 * time.Millisecond
		s.Sync = []web.Route{{Method: "GET", Path: "/sync/feed", Role: store.Reader,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				for range 3 {
					_, _ = io.WriteString(w, "\n")
					_ = http.NewResponseController(w).Flush()
					time.Sleep(500 * time.Millisecond)
				}
				_, _ = io.WriteString(w, `{"results":[]}`)
			})}}
	})
	assert.Regexp(t, `^https://datumbook\.local:\d+$`, o.URL())

	// 1. the start page, before anything is trusted
	get := func(path, host string) (*http.Response, string) {
		r, err := http.NewRequest("GET", o.StartURL()+path, nil)
		require.NoError(t, err)
		r.Host = host
		got, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		body, err := io.ReadAll(got.Body)
		require.NoError(t, err)
		_ = got.Body.Close()
		return got, string(body)
	}
	page, body := get("/", "")
	assert.Equal(t, 200, page.StatusCode)
	assert.Contains(t, body, authority.Fingerprint())
	assert.Contains(t, body, o.URL())
	assert.Empty(t, page.Header.Get("Strict-Transport-Security"), "it would lock phones out of this very page")
	other, _ := get("/", "evil.example")
	assert.Equal(t, http.StatusMisdirectedRequest, other.StatusCode)
	for _, path := range []string{"/sync/", "/api/calc", "/healthz", "/metrics", "/sw.js"} {
		nothing, _ := get(path, "")
		assert.Equal(t, 404, nothing.StatusCode, path)
	}
	_, der := get("/datumbook-shop.crt", "")

	// 2. a phone that has not installed it gets nowhere; one that has, does
	cert, err := x509.ParseCertificate([]byte(der))
	require.NoError(t, err)
	roots := x509.NewCertPool()
	roots.AddCert(cert)
	phone := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}, ForceAttemptHTTP2: true}}
	_, err = http.Get(o.Local() + "/healthz")
	assert.ErrorContains(t, err, "certificate")
	got, err := phone.Get(o.Local() + "/")
	require.NoError(t, err)
	assert.Equal(t, 200, got.StatusCode)
	assert.Equal(t, 2, got.ProtoMajor)
	_ = got.Body.Close()

	// 3. paired
	code, err := o.Pairing.Show(store.Operator, "office")
	require.NoError(t, err)
	assert.Equal(t, o.URL()+"/#pair="+code.Digits(), o.PairLink(code))
	got, err = phone.Post(o.Local()+"/api/pair", "application/json", strings.NewReader(`{"code":"`+code.Text+`","name":"Mill phone"}`))
	require.NoError(t, err)
	var in struct{ Token string }
	all, err := io.ReadAll(got.Body)
	require.NoError(t, err)
	_ = got.Body.Close()
	read(t, string(all), &in)

	// 4. a feed over HTTP/2 that is quiet for longer than a stalled client is
	// waited for
	r, err := http.NewRequest("GET", o.Local()+"/sync/feed?feed=longpoll", nil)
	require.NoError(t, err)
	r.Header.Set("Authorization", "Bearer "+in.Token)
	got, err = phone.Do(r)
	require.NoError(t, err)
	last, err := io.ReadAll(bufio.NewReader(got.Body))
	require.NoError(t, err)
	assert.Equal(t, 2, got.ProtoMajor)
	assert.Equal(t, "\n\n\n"+`{"results":[]}`, string(last))
	_ = got.Body.Close()

	// and without the token, also from this machine, nothing
	got, err = phone.Get(o.Local() + "/api/devices")
	require.NoError(t, err)
	_ = got.Body.Close()
	assert.Equal(t, 401, got.StatusCode)
}
