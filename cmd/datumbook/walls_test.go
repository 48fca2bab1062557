package main

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/base64"
	"encoding/json"
	"io"
	"log"
	"math/big"
	"net"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/server/replication"
)

// front is a proxy under a fixed address before an office, and changes what devices meet there:
// nothing, an office under another address, one with records of a newer form, a stranger, an
// expired certificate.
type front struct {
	*httptest.Server
	met        atomic.Pointer[meeting]
	good, past tls.Certificate
}

// meeting is what devices meet, and how long.
type meeting struct {
	mode  string
	until context.Context
	end   context.CancelFunc
	busy  sync.RWMutex // held for reading by open requests
}

func newFront(t *testing.T, office string) *front {
	f := &front{good: certificate(t, time.Now().Add(time.Hour)), past: certificate(t, time.Now().Add(-time.Hour))}
	f.set("")
	to := &url.URL{Scheme: "http", Host: office}
	proxy := &httputil.ReverseProxy{
		Rewrite: func(r *httputil.ProxyRequest) {
			r.SetURL(to)
			r.Out.Header.Del("Accept-Encoding")
			if r.Out.Header.Get("Origin") != "" {
				r.Out.Header.Set("Origin", "http://"+office)
			}
		},
		ModifyResponse: f.change,
		ErrorHandler: func(w http.ResponseWriter, _ *http.Request, _ error) {
			w.WriteHeader(http.StatusBadGateway)
			_ = http.NewResponseController(w).Flush()
		},
	}
	f.Server = httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		met := f.met.Load()
		met.busy.RLock()
		defer met.busy.RUnlock()
		ctx, done := context.WithCancel(r.Context())
		defer done()
		defer context.AfterFunc(met.until, done)()
		network := strings.HasPrefix(r.URL.Path, "/sync/") || strings.HasPrefix(r.URL.Path, "/api/")
		switch mode := met.mode; {
		case network && mode == "moved":
			w.Header().Set("Content-Type", "application/json")
			w.WriteHeader(http.StatusMisdirectedRequest)
			_, _ = io.WriteString(w, `{"error":"misdirected","reason":"This office goes by another name."}`)
		case network && mode == "stranger":
			_, _ = io.WriteString(w, "<!doctype html><title>Guest network</title><p>Please accept the terms.")
		default:
			proxy.ServeHTTP(w, r.WithContext(ctx))
		}
	}))
	// By connection: an address without a name would get the test server's own.
	f.TLS = &tls.Config{GetConfigForClient: func(*tls.ClientHelloInfo) (*tls.Config, error) {
		shown := f.good
		if f.met.Load().mode == "expired" {
			shown = f.past
		}
		return &tls.Config{Certificates: []tls.Certificate{shown}, SessionTicketsDisabled: true}, nil
	}}
	f.Config.ErrorLog = log.New(io.Discard, "", 0) // refused certificates are expected
	f.StartTLS()
	t.Cleanup(f.Close)
	return f
}

// set changes what is met. Open requests get an error status before connections close: where one
// closes without an answer, a browser retries by itself and reports nothing.
func (f *front) set(mode string) {
	until, end := context.WithCancel(context.Background())
	before := f.met.Swap(&meeting{mode: mode, until: until, end: end})
	if before == nil {
		return
	}
	before.end()
	before.busy.Lock()
	f.CloseClientConnections()
}

// change changes the office's answers about itself.
func (f *front) change(r *http.Response) error {
	mode, path := f.met.Load().mode, r.Request.URL.Path
	var with func(said map[string]any)
	switch {
	case mode == "newer" && path == "/sync/":
		with = func(said map[string]any) { said["datumbook"] = map[string]int{"records": replication.Records + 1} }
	case mode == "last day" && path == "/api/office":
		with = func(said map[string]any) { said["until"] = f.past.Leaf.NotAfter.UTC().Format(time.RFC3339) }
	default:
		return nil
	}
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	var said map[string]any
	if err := json.Unmarshal(body, &said); err != nil {
		return err
	}
	with(said)
	if body, err = json.Marshal(said); err != nil {
		return err
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	r.ContentLength = int64(len(body))
	r.Header.Set("Content-Length", strconv.Itoa(len(body)))
	return nil
}

func certificate(t *testing.T, until time.Time) tls.Certificate {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	wanted := &x509.Certificate{
		SerialNumber: big.NewInt(time.Now().UnixNano()), NotBefore: until.Add(-48 * time.Hour), NotAfter: until,
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	raw, err := x509.CreateCertificate(rand.Reader, wanted, wanted, key.Public(), key)
	require.NoError(t, err)
	leaf, err := x509.ParseCertificate(raw)
	require.NoError(t, err)
	return tls.Certificate{Certificate: [][]byte{raw}, PrivateKey: key, Leaf: leaf}
}

// TestWalls: an office that moved, one with newer records, a stranger at its address and an expired
// certificate are each told in words with what to do; what was kept meanwhile stays, can be
// exported, and goes to the office when the connection error is gone.
func TestWalls(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	f := newFront(t, office.Addr)
	key := sha256.Sum256(f.good.Leaf.RawSubjectPublicKeyInfo)
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone, base64.StdEncoding.EncodeToString(key[:]))
	phone.Go(f.URL + "/")
	phone.Wait("the app is stored", `document.documentElement.dataset.stored === "all"`)
	kept, waiting := 0, "2 records and changes wait here." // the first makes its job too
	for _, wall := range []struct {
		mode string
		cure string
		says []string
	}{
		{"moved", "Save to a file", []string{"goes by another address now", "open the new address that the office screen shows"}},
		{"newer", "Look for the newer app", []string{"newer form than this app knows", "Update the app on this device"}},
		{"stranger", "", []string{"Something other than the office machine answers", "Records stay safe on this device"}},
		{"expired", "", []string{"The office's certificate ran out on", "The owner has to renew it", "put this device's clock right"}},
	} {
		t.Run(wall.mode, func(t *testing.T) {
			phone.Go(f.URL + "/#/where")
			phone.WaitText("Nothing waits.")
			if wall.mode == "expired" { // its last day was read while it was valid
				f.set("last day")
				phone.Reload()
				phone.Wait("the last day is noted", `(JSON.parse(localStorage["datumbook.office"] ?? "{}").until ?? "").startsWith(`+
					strconv.Quote(f.past.Leaf.NotAfter.UTC().Format("2006-01-02T15"))+`)`)
			}
			f.set(wall.mode)
			phone.WaitText(wall.says[0]) // by now nothing moves any more
			planHole(phone, f.URL, "Pump cover", "kept while it was "+wall.mode)
			kept++
			phone.Go(f.URL + "/#/where")
			for _, text := range wall.says {
				phone.WaitText(text)
			}
			look(t, phone, "wall-"+wall.mode)
			phone.WaitText(waiting)
			waiting = "1 record or change waits here."
			// Another network and an expired certificate are as if the office were out of reach.
			if wall.cure == "" {
				headSays(t, phone, "unreachable", "")
			} else {
				headSays(t, phone, "trouble", "stuck")
				phone.Wait("the strip has the key that cures", `[...document.querySelectorAll(".strip-wrong .button")].map((x) => x.textContent).join() === `+
					strconv.Quote(wall.cure))
			}

			browsertest.Eval[bool](phone, `navigator.canShare = () => true,
				navigator.share = async ({ files }) => { window.handed = await files[0].text(); }, true`)
			if wall.mode == "moved" {
				phone.Tap(`.strip-wrong .button`)
			} else {
				phone.Tap(`#one-file .button`)
			}
			phone.WaitText("Everything in one file")
			phone.Tap(`section:nth-of-type(1) .button.go`)
			phone.Wait("the file with it is handed over", `window.handed?.includes("kept while it was `+wall.mode+`")`)

			f.set("")
			phone.Go(f.URL + "/#/where")
			phone.Tap(`.form-foot .go`)
			phone.WaitText("Nothing waits.")
			assert.Equal(t, kept, planned(t, office.Addr), "at the office")
			headSays(t, phone, "office", "")
		})
	}
}

// planned counts the kept holes at an office on this machine.
func planned(t *testing.T, addr string) int {
	got, err := http.Get("http://" + addr + "/sync/shop/_all_docs?include_docs=true")
	require.NoError(t, err)
	defer got.Body.Close()
	text, err := io.ReadAll(got.Body)
	require.NoError(t, err)
	return bytes.Count(text, []byte("kept while it was "))
}
