// Package servertest starts a real server on a free port with clients for each role and for slow,
// oversized and malformed requests.
package servertest

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/store"
)

// Office is a server that runs for one test.
type Office struct {
	*server.Server
	Kept  *Memory
	Clock *Clock
	Lines *Lines // what was logged
}

// Start opens a server on a free loopback port; change may set more fields
// first. The test's end closes it and requires that it closes cleanly.
func Start(t testing.TB, change func(*server.Server)) *Office {
	t.Helper()
	kept, clock, lines := &Memory{}, NewClock(), &Lines{}
	log := slog.New(slog.NewJSONHandler(lines, &slog.HandlerOptions{Level: slog.LevelDebug}))
	s := &server.Server{
		Addr:    "127.0.0.1:0",
		Assets:  App(),
		Sheets:  Echo{},
		Rules:   EchoRule,
		Pairing: &pairing.Service{Keeper: kept, Now: clock.Now, Log: log},
		Peer:    Ours,
		Version: "test",
		Log:     log,
	}
	if change != nil {
		change(s)
	}
	require.NoError(t, s.Open())
	t.Cleanup(func() { require.NoError(t, s.Close(context.Background())) })
	return &Office{Server: s, Kept: kept, Clock: clock, Lines: lines}
}

// Ours is the word of a system on which every connection is of the user that serves.
func Ours(net.Conn) bool { return true }

// Everywhere makes a server listen as on the shop's network, where every request needs a token.
func Everywhere(s *server.Server) { s.Addr = "0.0.0.0:0" }

// Local gives the address that reaches the server from this machine, also
// when it listens everywhere.
func (o *Office) Local() string {
	scheme, _, _ := strings.Cut(o.URL(), ":")
	return fmt.Sprintf("%s://127.0.0.1:%d", scheme, o.Port())
}

// Token pairs a device of the given role and gives its token and id.
func (o *Office) Token(t testing.TB, role store.Role) (token, id string) {
	t.Helper()
	code, err := o.Pairing.Show(role, "test")
	require.NoError(t, err)
	token, dev, err := o.Pairing.Trade(code.Text, "a "+role.String(), netip.MustParseAddr("192.0.2.7"))
	require.NoError(t, err)
	return token, dev.ID
}

// Request is one request and its options.
type Request struct {
	Method string
	Path   string
	Body   string
	Token  string // sent as a bearer token when not empty
	Host   string
	Header map[string]string
}

// Answer is a response, read to the end.
type Answer struct {
	Status int
	Header http.Header
	Body   string
}

// plainClient follows no redirects and decompresses nothing.
var plainClient = &http.Client{
	Transport:     &http.Transport{DisableCompression: true},
	CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	Timeout:       30 * time.Second,
}

// Do sends a request to the server.
func (o *Office) Do(t testing.TB, q Request) Answer {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), q.Method, o.Local()+q.Path, strings.NewReader(q.Body))
	require.NoError(t, err)
	if q.Body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	if q.Token != "" {
		r.Header.Set("Authorization", "Bearer "+q.Token)
	}
	for k, v := range q.Header {
		r.Header.Set(k, v)
	}
	r.Host = q.Host
	got, err := plainClient.Do(r)
	require.NoError(t, err)
	defer func() { _ = got.Body.Close() }()
	body, err := io.ReadAll(got.Body)
	require.NoError(t, err)
	return Answer{Status: got.StatusCode, Header: got.Header, Body: string(body)}
}

// App is a small built app: an entry page, a service worker, a manifest and two hashed files with
// compressed forms.
func App() fstest.MapFS {
	script := []byte(strings.Repeat("export const answer = 42;\n", 100))
	return fstest.MapFS{
		"index.html":               {Data: []byte("<!doctype html><title>Datumbook</title>")},
		"sw.js":                    {Data: []byte("self.addEventListener('fetch', () => {});")},
		"manifest.webmanifest":     {Data: []byte(`{"name":"Datumbook"}`)},
		"assets/app-1a2b3c.js":     {Data: script},
		"assets/app-1a2b3c.js.br":  {Data: []byte("brotli bytes")},
		"assets/app-1a2b3c.js.gz":  {Data: []byte("gzip bytes")},
		"assets/calc-4d5e6f.wasm":  {Data: []byte("\x00asm\x01\x00\x00\x00")},
		"assets/calc-4d5e6f.wasm2": {Data: []byte("?")},
	}
}

// EchoRule is the rules' one operation, "echo", which answers with its request.
func EchoRule(op string, request []byte) ([]byte, bool) { return request, op == "echo" }

// Echo is a Sheets whose one worksheet, "echo", answers with its inputs in
// order of their names; "no" always answers with an error.
type Echo struct{}

// Run answers.
func (Echo) Run(name, unit string, inputs map[string]string) (answer []byte, ok, found bool) {
	switch name {
	case "echo":
		return jsonOf(map[string]any{"unit": unit, "inputs": inputs}), true, true
	case "no":
		return []byte(`{"error":{"field":"depth","message":"too deep"}}`), false, true
	case "broken":
		panic("a worksheet broke")
	default:
		return nil, false, false
	}
}

// Describe lists the worksheets.
func (Echo) Describe() []byte { return []byte(`[{"name":"echo"},{"name":"no"}]`) }

// Clock is a clock that stands still until it is moved.
type Clock struct {
	mu  sync.Mutex
	now time.Time
}

// NewClock gives a clock at a fixed time.
func NewClock() *Clock { return &Clock{now: time.Date(2030, 3, 4, 5, 6, 7, 0, time.UTC)} }

// Now gives the clock's time.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

// Pass advances the clock.
func (c *Clock) Pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// Lines keeps what was logged.
type Lines struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

// Write keeps a line.
func (l *Lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.buf.Write(p)
}

// String gives everything logged so far.
func (l *Lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.buf.String()
}
